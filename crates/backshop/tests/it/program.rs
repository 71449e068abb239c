//! Running the program in a folder of its own.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A folder that goes away with the test.
pub(crate) struct Folder(PathBuf);

impl Folder {
    pub(crate) fn new(name: &str) -> Self {
        let folder = std::env::temp_dir().join(format!("backshop-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).unwrap();
        Self(folder)
    }

    /// A folder with the demo's documents in it.
    pub(crate) fn with_demo(name: &str) -> Self {
        let folder = Self::new(name);
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo");
        copy(&demo, &folder.0);
        folder
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }

    pub(crate) fn write(&self, name: &str, content: impl AsRef<[u8]>) -> PathBuf {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, content).unwrap();
        path
    }

    /// Runs the program in this folder.
    pub(crate) fn run(&self, arguments: &[&str]) -> Ran {
        let output = self.command(arguments).output().unwrap();
        Ran(output)
    }

    pub(crate) fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_backshop"));
        command.current_dir(&self.0).args(arguments).env("NO_COLOR", "1");
        command
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy(&path, &target);
        } else {
            std::fs::copy(&path, &target).unwrap();
        }
    }
}

/// What a run said.
pub(crate) struct Ran(pub(crate) Output);

impl Ran {
    pub(crate) fn code(&self) -> i32 {
        self.0.status.code().expect("it was not killed")
    }

    pub(crate) fn out(&self) -> String {
        String::from_utf8(self.0.stdout.clone()).unwrap()
    }

    pub(crate) fn talk(&self) -> String {
        String::from_utf8(self.0.stderr.clone()).unwrap()
    }

    pub(crate) fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out()).unwrap_or_else(|error| panic!("{error}: {}", self.out()))
    }

    /// Fails unless it ended with a code, showing what it said.
    #[track_caller]
    pub(crate) fn ends_with(self, code: i32) -> Self {
        assert_eq!(self.code(), code, "out: {}\ntalk: {}", self.out(), self.talk());
        self
    }
}
