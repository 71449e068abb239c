//! `listen`: the prototype's voice through the wiring as found and as planned, as sound files.

use std::path::PathBuf;

use clap::Args;
use serde_json::json;
use shop::{Desk, ShopError};

use crate::commands::{Common, Outcome, Output};

/// Write sound files of the prototype's voice through the speakers as found and as planned
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The work order
    #[arg(value_name = "ORDER")]
    order: PathBuf,
    /// Where the files go
    #[arg(long, default_value = "listen", value_name = "FOLDER")]
    to: PathBuf,
}

pub(crate) fn run(arguments: &Arguments, common: &Common, out: &mut Output) -> Result<Outcome, ShopError> {
    let desk = Desk::around(&arguments.order, &common.more_parts)?;
    let checked = desk.check(&arguments.order)?;
    let recordings = shop::listen(&desk, &checked, &arguments.to)?;
    if recordings.is_empty() {
        out.talk("the order has no speakers to listen to");
    }
    let is_made = recordings.iter().all(|recording| recording.made.is_ok());
    if out.is_json() {
        let rows: Vec<serde_json::Value> = recordings
            .iter()
            .map(|recording| {
                json!({
                    "file": recording.made.is_ok().then(|| recording.path.display().to_string()),
                    "title": recording.title,
                    "clipped-percent": recording.made.as_ref().ok().map(|share| share.as_percent()),
                    "reason": recording.made.as_ref().err(),
                })
            })
            .collect();
        out.json(&json!({ "recordings": rows }));
    } else {
        for recording in &recordings {
            let line = match &recording.made {
                Ok(clipped) if clipped.as_percent() > 0.05 => {
                    format!(
                        "{}  {}; the amplifier clips {clipped} of it",
                        recording.path.display(),
                        recording.title
                    )
                }
                Ok(_) => format!("{}  {}", recording.path.display(), recording.title),
                Err(reason) => format!("{}: not made, {reason}", recording.title),
            };
            out.data(&line);
        }
        if is_made && !recordings.is_empty() {
            out.talk(
                "begin softly: 85 dB(A) over eight hours harms; never listen with the ear at the speaker",
            );
        }
    }
    Ok(if is_made { Outcome::Well } else { Outcome::ToMend })
}
