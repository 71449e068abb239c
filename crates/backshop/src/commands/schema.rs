//! `schema`: the JSON Schema of a kind of document.

use clap::Args;
use datasheets::PartKind;
use shop::ShopError;
use workorder::{Train, WorkOrder};

use crate::commands::{Outcome, Output};

/// Print the JSON Schema of a kind of document
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// order, train, decoder, speaker, enclosure, lamp, keep-alive or socket
    #[arg(value_name = "KIND")]
    kind: String,
}

pub(crate) fn run(arguments: &Arguments, out: &mut Output) -> Result<Outcome, ShopError> {
    let kind = PartKind::ALL.iter().copied().find(|kind| kind.word() == arguments.kind);
    let schema = match (arguments.kind.as_str(), kind) {
        ("order", _) => documents::schema::<WorkOrder>("Backshop work order"),
        ("train", _) => documents::schema::<Train>("Backshop train"),
        (_, Some(kind)) => datasheets::sheet_schema(kind),
        (name, None) => {
            let known = PartKind::ALL.iter().map(|kind| kind.word()).chain(["order", "train"]);
            let near = documents::nearest(name, known).map(str::to_owned);
            return Err(ShopError::Unknown { what: "kind of document", name: name.to_owned(), near });
        }
    };
    out.json(&schema);
    Ok(Outcome::Well)
}
