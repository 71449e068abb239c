//! `shop find`: a search over everything.

use clap::Args;
use serde_json::json;
use shop::{ShopError, Store};

use crate::commands::{Outcome, Output};

/// Search all documents; the last letters of each word may be missing
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The words; a document is found that has them all
    #[arg(value_name = "WORD", required = true)]
    words: Vec<String>,
    /// How many hits at most
    #[arg(long, default_value_t = 20, value_name = "NUMBER")]
    most: usize,
}

pub(crate) fn run(arguments: &Arguments, store: &Store, out: &mut Output) -> Result<Outcome, ShopError> {
    store.settle();
    let hits = store.search(&arguments.words.join(" "), arguments.most)?;
    let excerpt = |pieces: &[(String, bool)]| {
        let text: String = pieces.iter().map(|(text, _)| text.as_str()).collect();
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    if out.is_json() {
        let hits: Vec<serde_json::Value> = hits
            .iter()
            .map(|hit| {
                json!({
                    "kind": hit.key.kind.word(),
                    "name": hit.key.name,
                    "title": hit.title,
                    "excerpt": excerpt(&hit.excerpt),
                })
            })
            .collect();
        out.json(&json!({ "hits": hits }));
    } else {
        for hit in &hits {
            out.data(&format!("{} {}: {}", hit.key.kind, hit.key.name, hit.title));
            out.data(&format!("    {}", excerpt(&hit.excerpt)));
        }
    }
    if hits.is_empty() {
        out.talk("nothing was found");
        return Ok(Outcome::ToMend);
    }
    Ok(Outcome::Well)
}
