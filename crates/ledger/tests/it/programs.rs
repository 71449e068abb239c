//! Folders of our own, and other programs.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicU32, Ordering};

/// The variable that tells a test to be the other program; its value is the shop's file.
const ROLE: &str = "LEDGER_TEST_OTHER_PROGRAM";

/// A folder that is taken away with all that is in it.
pub(crate) struct Folder(PathBuf);

impl Folder {
    pub(crate) fn new() -> Self {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let folder = std::env::temp_dir().join(format!("ledger-{}-{count}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        Self(folder)
    }

    pub(crate) fn path(&self) -> &Path {
        &self.0
    }

    pub(crate) fn file(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

/// The shop's file, where this process is the other program.
pub(crate) fn other_programs_shop() -> Option<PathBuf> {
    std::env::var_os(ROLE).map(PathBuf::from)
}

/// This test binary as another program that runs one test; its standard input and output are pipes.
pub(crate) fn command(binary: &Path, test: &str, shop: &Path) -> Command {
    let mut command = Command::new(binary);
    command
        .args(["--exact", test, "--nocapture", "--test-threads=1"])
        .env(ROLE, shop)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command
}

/// Starts the other program.
pub(crate) fn start(test: &str, shop: &Path) -> Child {
    command(&std::env::current_exe().unwrap(), test, shop).spawn().unwrap()
}
