//! `explain`: what a rule checks and why, from the catalogue.

use clap::Args;
use serde_json::json;
use shop::ShopError;

use crate::commands::{Outcome, Output};
use crate::render;

/// Explain a rule; without a name, list them all
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The rule's name, as findings show it in brackets
    #[arg(value_name = "RULE")]
    rule: Option<String>,
}

pub(crate) fn run(arguments: &Arguments, out: &mut Output) -> Result<Outcome, ShopError> {
    match &arguments.rule {
        None if out.is_json() => {
            let rules: Vec<serde_json::Value> = inspection::rules().map(render::json::rule).collect();
            out.json(&json!({ "rules": rules }));
        }
        None => out.data(&render::terminal::rule_list()),
        Some(name) => match (inspection::explain(name), track::explain_cause(name)) {
            (Some(rule), _) if out.is_json() => out.json(&render::json::rule(rule)),
            (Some(rule), _) => {
                let text = render::terminal::rule(rule, out.style());
                out.data(&text);
            }
            (None, Some(cause)) if out.is_json() => out.json(&render::json::cause(cause)),
            (None, Some(cause)) => out.data(&render::terminal::cause(cause)),
            (None, None) => {
                let near =
                    documents::nearest(name, inspection::rules().map(|rule| rule.name)).map(str::to_owned);
                return Err(ShopError::Unknown { what: "rule", name: name.clone(), near });
            }
        },
    }
    Ok(Outcome::Well)
}
