//! The demo: the Vesper Lake scenario, carried in the program and laid out as a folder of documents.

use std::path::{Path, PathBuf};

use rust_embed::RustEmbed;

use crate::error::ShopError;
use crate::files;

#[derive(RustEmbed)]
#[folder = "$CARGO_MANIFEST_DIR/../../demo"]
struct Scenario;

/// What became of the demo's documents.
#[derive(Debug, Default)]
pub struct DemoFolder {
    /// Written now.
    pub written: Vec<PathBuf>,
    /// Left alone because they were there and differ: somebody has worked on them.
    pub kept: Vec<PathBuf>,
}

/// Lays the demo's documents out in a folder. A document that is there already and differs is left alone.
///
/// # Errors
/// A folder or file that cannot be written.
pub fn lay_out_demo(folder: &Path) -> Result<DemoFolder, ShopError> {
    let mut demo = DemoFolder::default();
    for name in Scenario::iter() {
        let Some(document) = Scenario::get(&name) else { continue };
        let path = folder.join(name.as_ref());
        if let Some(parent) = path.parent() {
            files::make_folder(parent)?;
        }
        if !path.exists() {
            files::write_whole(&path, &document.data)?;
            demo.written.push(path);
        } else if files::read_document(&path).map_or(true, |text| text.as_bytes() != document.data.as_ref()) {
            demo.kept.push(path);
        }
    }
    Ok(demo)
}

/// The demo's documents that stand in a folder of their kind: folder, name and text, in order of their names. The faults to practise on
/// are not among them; they are put into a truth by hand.
pub(crate) fn demo_documents() -> Vec<(String, String, String)> {
    let document = |file: std::borrow::Cow<'static, str>| {
        let (folder, name) = file.strip_suffix(".toml")?.split_once('/')?;
        if name.contains('/') {
            return None;
        }
        let text = String::from_utf8(Scenario::get(&file)?.data.into_owned()).ok()?;
        Some((folder.to_owned(), name.to_owned(), text))
    };
    Scenario::iter().filter_map(document).collect()
}
