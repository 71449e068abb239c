//! Pages printed to PDF by an installed browser.
//!
//! What it is: a search for a browser of the Chromium family under its usual names, and one headless run of it.
//! What it is not: a typesetting engine. One in the program was measured and costs six minutes of cold build, for what a browser on
//! nearly every machine does as well.
//!
//! Source: Chromium's command-line switches `--headless` and `--print-to-pdf` (from its own help; tried with one version).

use std::fs;
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use crate::error::ShopError;

/// Names under which browsers of the Chromium family are installed.
const NAMES: [&str; 8] = [
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
    "microsoft-edge",
    "brave-browser",
    "vivaldi",
];
/// Places of the same where programs are not found by name.
const PLACES: [&str; 4] = [
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
    "C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe",
];
/// The environment variable that names another browser.
const VARIABLE: &str = "BACKSHOP_BROWSER";

/// Prints a page that stands alone. The page's own style decides about the paper.
///
/// # Errors
/// [`ShopError::NoBrowser`], [`ShopError::Browser`], and a temporary folder that cannot be written.
pub fn to_pdf(page: &str) -> Result<Vec<u8>, ShopError> {
    let browser = browser().ok_or_else(|| ShopError::NoBrowser { names: NAMES.to_vec() })?;
    let folder = tempfile::Builder::new().prefix("backshop-").tempdir();
    let folder = folder.map_err(|cause| ShopError::Write { path: std::env::temp_dir(), cause })?;
    let (html, pdf) = (folder.path().join("card.html"), folder.path().join("card.pdf"));
    fs::write(&html, page).map_err(|cause| ShopError::Write { path: html.clone(), cause })?;
    let failed = |what: String| ShopError::Browser { browser: browser.display().to_string(), what };
    let said = folder.path().join("said.txt");
    let run = |more: &[&str]| {
        let mut child = Command::new(&browser)
            .args(["--headless", "--disable-gpu", "--no-first-run", "--no-pdf-header-footer"])
            .args(more)
            // A profile of its own: one that is open in a window would take the page over and print nothing.
            .arg(format!("--user-data-dir={}", folder.path().join("profile").display()))
            .arg(format!("--print-to-pdf={}", pdf.display()))
            .arg(&html)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            // Into a file, for a pipe that nobody reads from would hold a talkative browser up.
            .stderr(fs::File::create(&said)?)
            .spawn()?;
        wait(&mut child)
    };
    run(&[]).map_err(|cause| failed(cause.to_string()))?;
    // Root gets no sandbox, and is told to name this switch. The page is ours and loads nothing.
    const WITHOUT_SANDBOX: &str = "--no-sandbox";
    let told = || fs::read(&said).map(|said| String::from_utf8_lossy(&said).into_owned()).unwrap_or_default();
    if !pdf.exists() && told().contains(WITHOUT_SANDBOX) {
        run(&[WITHOUT_SANDBOX]).map_err(|cause| failed(cause.to_string()))?;
    }
    match fs::read(&pdf) {
        Ok(bytes) if bytes.starts_with(b"%PDF-") => Ok(bytes),
        _ => Err(failed(last_lines(&told()))),
    }
}

/// Waits until a browser has ended; one that does not is ended, and what it has printed by then counts.
fn wait(child: &mut Child) -> std::io::Result<()> {
    const PATIENCE: Duration = Duration::from_secs(60);
    const LOOK_EVERY: Duration = Duration::from_millis(20);
    let until = Instant::now() + PATIENCE;
    while child.try_wait()?.is_none() {
        if Instant::now() > until {
            child.kill()?;
            child.wait()?;
            return Ok(());
        }
        thread::sleep(LOOK_EVERY);
    }
    Ok(())
}

/// The browser to print with; none where none is installed.
fn browser() -> Option<PathBuf> {
    if let Some(named) = std::env::var_os(VARIABLE).filter(|named| !named.is_empty()) {
        return Some(PathBuf::from(named));
    }
    let path = std::env::var_os("PATH").unwrap_or_default();
    let folders: Vec<PathBuf> = std::env::split_paths(&path).collect();
    let by_name = NAMES.iter().flat_map(|name| {
        let file = format!("{name}{}", std::env::consts::EXE_SUFFIX);
        folders.iter().map(move |folder| folder.join(&file))
    });
    by_name.chain(PLACES.iter().map(PathBuf::from)).find(|candidate| candidate.is_file())
}

/// The last lines that a browser said.
fn last_lines(text: &str) -> String {
    let lines: Vec<&str> = text.lines().filter(|line| !line.trim().is_empty()).collect();
    let last = lines.len().saturating_sub(3);
    if lines.is_empty() { "it ended without a word".to_owned() } else { lines[last..].join("; ") }
}
