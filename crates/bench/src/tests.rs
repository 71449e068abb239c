//! What the unit tests of this room share.

use datasheets::{DecoderSheet, Shelf, read_sheet};

/// The sheets of the demo's decoders beside the standard ones.
pub(crate) fn shelf() -> Shelf {
    let mut shelf = Shelf::standard();
    for (name, text) in [
        ("demo-21-sound.toml", include_str!("../../../demo/parts/demo-21-sound.toml")),
        ("demo-8-paged.toml", include_str!("../../../demo/parts/demo-8-paged.toml")),
    ] {
        shelf.add(read_sheet(name, text).unwrap_or_else(|faults| panic!("{faults}")).value);
    }
    shelf
}

/// A decoder sheet by its name.
pub(crate) fn sheet(name: &str) -> DecoderSheet {
    shelf().decoders.get(name).unwrap().clone()
}
