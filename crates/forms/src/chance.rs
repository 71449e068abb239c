//! Orders written in any way, and edits of them, by chance.

use finding::Path;
use proptest::prelude::*;
use serde_json::Value;

use crate::edit::{add_entry, move_entry, remove_entry, set, unset};
use crate::error::EditError;
use crate::layout::Layout;
use crate::rename::rename;

/// Pieces of orders, in all the ways in which tables can be written.
const PIECES: [&str; 32] = [
    "survey.socket = \"x\"\n",
    "survey.decoder-space.width = \"1 mm\" # dotted\n",
    "voice = { horn.chimes = 5, bell = {} }\n",
    "voice.horn = { chimes = 5 }\n",
    "keys = { F0 = \"horn\", \"F2\" = ['bell'] } # braces\n",
    "  address = {\n    # which\n    form = \"long\", # form\n    number = 1_000\n  }\n",
    "plan = { wire = [{ from = \"A.1\" }, { to = \"frame\" },] }\n",
    "plan.remove = [\"A\", # a\n  \"B\"\n]\n",
    "unknown = 2026-01-01\n",
    "\"odd.key\".x = '''\n# text\n'''\n",
    "# a comment\n",
    "\n",
    "[order]\nnumber = \"V-1\" # ours\nmodel = \"\"\"\nrail\ncar\"\"\"\n",
    "[survey]\n",
    "[survey] # found\nstall-current = \"1 A\"\n\n",
    "  [survey.decoder-space]\n  length = \"1 mm\"\n",
    "# wire\n[[survey.wire]]\nfrom = \"A.red\"\nto = \"frame\"\n\n",
    "[[survey.wire]]\n",
    "[[ survey . speaker ]]\nname = \"A\"\nterminals = [ \"red\", \"black\" ]\n",
    "[[survey.speaker]]\nname = 'A'\nfaces = \"out\" # second of the name\n",
    "[[survey.speaker]]\nname = \"B\"\n\n# end\n",
    "[plan]\ndecoder = \"x\"\nlamp = [\n  { name = \"l\", does = \"horn\" }, # one\n  { name = \"m\" } # two\n]\n",
    "[plan]\n",
    "[[plan.lamp]]\nname = \"l\"\n[[plan.wire]]\nfrom = \"A.red\"\n",
    "[voice.horn]\nchimes = 2\n",
    "[voice]\nhorn = {\n  chimes = 5, # five\n  notes = [\"A4\"],\n}\n",
    "[contact.cv]\nCV8 = 13\n\n\n",
    "[keys]\nF0 = \"headlight\"\nF10 = [\n  \"horn\",\n]\n",
    "[levels]\r\nmaster = \"-3 dB\" # c\r\n\r\n",
    "[manners]\nspeed-table = [1,2,3]",
    "[[override]]\nrule = \"r\"\n",
    "[address]\nconsist = \"text\"\n",
];

/// Texts that are TOML, in any order of pieces.
pub(crate) fn texts() -> impl Strategy<Value = String> {
    prop::collection::vec(0..PIECES.len(), 0..10).prop_map(|chosen| {
        chosen.iter().fold(String::new(), |text, piece| {
            let more = format!("{text}{}", PIECES[*piece]);
            if Layout::parse(&more).is_ok() { more } else { text }
        })
    })
}

pub(crate) const PATHS: [&str; 36] = [
    "order.number",
    "order.note",
    "survey.socket",
    "survey.stall-current",
    "survey.decoder-space.length",
    "survey.decoder-space.width",
    "survey.speaker",
    "survey.speaker.A",
    "survey.speaker.A.part",
    "survey.speaker.#2.part",
    "survey.speaker.B.terminals",
    "survey.wire",
    "survey.wire.1",
    "survey.wire.1.to",
    "survey.wire.2.colour",
    "survey.pad",
    "plan",
    "plan.decoder",
    "plan.remove",
    "plan.remove.1",
    "plan.lamp",
    "plan.lamp.l",
    "plan.lamp.m.does",
    "plan.wire",
    "plan.wire.2",
    "plan.wire.1.to",
    "voice.horn",
    "voice.horn.chimes",
    "voice.horn.notes",
    "voice.bell.kind",
    "keys.F0",
    "keys.F10",
    "contact.cv.CV8",
    "address.number",
    "odd.key",
    "override",
];

#[derive(Debug, Clone)]
pub(crate) enum Act {
    Set(usize, usize),
    Unset(usize),
    Add(usize),
    Remove(usize),
    Move(usize, usize),
    Rename(usize),
}

pub(crate) fn acts() -> impl Strategy<Value = Act> {
    let path = 0..PATHS.len();
    prop_oneof![
        4 => (path.clone(), 0_usize..4).prop_map(|(path, value)| Act::Set(path, value)),
        3 => path.clone().prop_map(Act::Unset),
        2 => path.clone().prop_map(Act::Add),
        1 => path.clone().prop_map(Act::Remove),
        1 => (path.clone(), 0_usize..4).prop_map(|(path, place)| Act::Move(path, place)),
        1 => path.prop_map(Act::Rename),
    ]
}

pub(crate) fn perform(schema: &Value, text: &str, act: &Act) -> Result<String, EditError> {
    let path = |index: &usize| Path::new(PATHS[*index]);
    match act {
        Act::Set(at, value) => set(schema, text, &path(at), ["7", "a, b", "two\nlines", ""][*value]),
        Act::Unset(at) => unset(schema, text, &path(at)),
        Act::Add(at) => add_entry(schema, text, &path(at), &[("name", "new")])
            .or_else(|_| add_entry(schema, text, &path(at), &[]))
            .map(|(text, _)| text),
        Act::Remove(at) => remove_entry(schema, text, &path(at)),
        Act::Move(at, place) => move_entry(text, &path(at), *place),
        Act::Rename(at) => rename(schema, text, &path(at), "renamed").map(|renamed| renamed.text),
    }
}
