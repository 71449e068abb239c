//! Functions: from the keys that are on to the outputs and deeds that are on.
//!
//! What it is: which functions the decoder holds on, by its own address and by that of its consist, and the function map in
//! its three forms: the standard's matrix, one CV a key, one CV a deed.
//! What it is not: what an output looks like (`lamps`) or sounds like (`voice`).
//!
//! Source: S-9.2.1 §C (F0 has a state for each direction); S-9.2.2 CV21, CV22 and Table 2; RCN-225 CV21/22 (reference text
//! 4.5, 4.9, contradiction C8).

use std::collections::BTreeSet;

use datasheets::{CvPlace, DecoderSheet, Deed, IndexPage, Key, KeyMapMethod, RoleName};
use dcc::cv::{ConsistFunctions, FunctionKey};
use dcc::{Direction, Function, FunctionStates};

use crate::memory::Memory;

/// Number of the output for the front light (RCN-225: "LV").
pub(crate) const FRONT: u16 = 1;
/// Number of the output for the rear light (RCN-225: "LH").
pub(crate) const REAR: u16 = 2;

/// Which functions follow the consist address, and whether the own address still counts for them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct ConsistMask {
    functions: ConsistFunctions,
    is_rcn: bool,
}

impl ConsistMask {
    /// CV21 and CV22.
    pub(crate) fn of(memory: &Memory, is_rcn: bool) -> Self {
        Self { functions: ConsistFunctions::from_cvs(memory.plain(21), memory.plain(22)), is_rcn }
    }
}

/// Through which address a packet reached the decoder.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Via {
    /// All decoders were meant.
    Broadcast,
    /// Its own address.
    Own,
    /// The address of its consist.
    Consist,
}

/// The functions that are on, F0 separately for each direction because CV22 lets them follow different addresses.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Functions {
    forward: FunctionStates,
    reverse: FunctionStates,
}

impl Functions {
    /// Whether a function is on while the locomotive faces a direction.
    pub(crate) fn is_on(&self, function: Function, direction: Direction) -> bool {
        if direction.is_forward() { self.forward.is_on(function) } else { self.reverse.is_on(function) }
    }

    /// Takes over the state of a function that a packet carried. `mask` is there while the decoder is in a consist.
    ///
    /// By NMRA a masked function listens to both addresses, by RCN-225 to that of the consist only.
    pub(crate) fn hear(&mut self, function: Function, is_on: bool, via: Via, mask: Option<ConsistMask>) {
        for direction in [Direction::Forward, Direction::Reverse] {
            let follows = mask.is_some_and(|mask| mask.functions.follows(function, direction));
            let is_only_consist = follows && mask.is_some_and(|mask| mask.is_rcn);
            let is_heard = match via {
                Via::Broadcast => true,
                Via::Own => !is_only_consist,
                Via::Consist => follows,
            };
            if is_heard {
                let states = if direction.is_forward() { &mut self.forward } else { &mut self.reverse };
                states.set(function, is_on);
            }
        }
    }
}

/// What is on.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Active {
    /// Numbers of the outputs that are on.
    pub(crate) outputs: BTreeSet<u16>,
    /// Deeds that are on.
    pub(crate) deeds: BTreeSet<Deed>,
}

/// The function map of a decoder, worked out from its memory once after each change.
#[derive(Debug, Clone, Default)]
pub(crate) struct FunctionMap {
    rows: Vec<Row>,
}

#[derive(Debug, Clone)]
struct Row {
    function: Function,
    /// In which direction the row holds; both when none.
    when: Option<Direction>,
    does: Does,
}

#[derive(Debug, Clone, Copy)]
enum Does {
    Output(u16),
    Deed(Deed),
}

impl FunctionMap {
    /// The map as the memory holds it.
    pub(crate) fn of(memory: &Memory, sheet: &DecoderSheet) -> Self {
        let highest = sheet.key_map.highest_key.get();
        let functions = || (0..=highest).filter_map(|number| Function::new(u8::try_from(number).ok()?).ok());
        let rows = match sheet.key_map.method {
            KeyMapMethod::Matrix => matrix_rows(memory, sheet),
            KeyMapMethod::KeyTable => {
                functions().filter_map(|function| key_row(function, memory, sheet)).collect()
            }
            KeyMapMethod::DeedTable => deed_rows(memory, sheet),
        };
        Self { rows }
    }

    /// Whether any key at all is tied to a deed.
    pub(crate) fn reaches(&self, deed: Deed, sheet: &DecoderSheet) -> bool {
        self.rows.iter().any(|row| match row.does {
            Does::Deed(tied) => tied == deed,
            Does::Output(number) => sheet.output(number).and_then(|output| output.does) == Some(deed),
        })
    }

    /// What is on, with these functions on and the locomotive facing this way.
    pub(crate) fn active(&self, functions: &Functions, direction: Direction, sheet: &DecoderSheet) -> Active {
        let mut active = Active::default();
        let on = self.rows.iter().filter(|row| {
            row.when.is_none_or(|when| when == direction) && functions.is_on(row.function, direction)
        });
        for row in on {
            match row.does {
                Does::Output(number) => active.switch_on(number, sheet),
                Does::Deed(deed) => {
                    active.deeds.insert(deed);
                    for number in outputs_of(deed, direction, sheet) {
                        active.switch_on(number, sheet);
                    }
                }
            }
        }
        active
    }
}

impl Active {
    fn switch_on(&mut self, number: u16, sheet: &DecoderSheet) {
        if let Some(output) = sheet.output(number) {
            self.outputs.insert(number);
            self.deeds.extend(output.does);
        }
    }
}

/// S-9.2.2 Table 2: CV33 F0 forward, CV34 F0 reverse, CV35 to CV46 F1 to F12.
fn matrix_rows(memory: &Memory, sheet: &DecoderSheet) -> Vec<Row> {
    let highest = sheet.key_map.highest_key.get();
    let map = memory.function_matrix();
    let keys = FunctionKey::all().filter(|key| u16::from(key.function().get()) <= highest);
    let rows = keys.flat_map(|key| {
        let when = match key {
            FunctionKey::F0_FORWARD => Some(Direction::Forward),
            FunctionKey::F0_REVERSE => Some(Direction::Reverse),
            _ => None,
        };
        let outputs = map.outputs_of(key).map(u16::from).filter(|number| sheet.output(*number).is_some());
        outputs
            .map(move |number| Row { function: key.function(), when, does: Does::Output(number) })
            .collect::<Vec<_>>()
    });
    rows.collect()
}

fn key_row(function: Function, memory: &Memory, sheet: &DecoderSheet) -> Option<Row> {
    let role = sheet.role(RoleName::KeyDeed(Key::new(function.get())?))?;
    let value = role.bit_range().extract(memory.get(role.place())?);
    let choice = role.choices.iter().find(|choice| choice.value.get() == u16::from(value))?;
    let does = match (choice.is.output, choice.is.does) {
        (Some(output), _) => Does::Output(output.get()),
        (None, Some(deed)) => Does::Deed(deed),
        (None, None) => return None,
    };
    Some(Row { function, when: None, does })
}

fn deed_rows(memory: &Memory, sheet: &DecoderSheet) -> Vec<Row> {
    let rows = sheet.key_map.deed.iter().filter_map(|entry| {
        let page = entry.page.as_ref().map(IndexPage::pair);
        let key = memory.get(CvPlace { page, cv: entry.cv.get() })?;
        let function = Function::new(key).ok().filter(|_| key != sheet.key_map.no_key_value())?;
        Some(Row { function, when: None, does: Does::Deed(entry.does) })
    });
    rows.collect()
}

/// The outputs that a deed switches where it is not tied to one by number: the lights at both ends by their standard
/// numbers, anything else by the output that the sheet names for it.
fn outputs_of(deed: Deed, direction: Direction, sheet: &DecoderSheet) -> Vec<u16> {
    let ahead = if direction.is_forward() { FRONT } else { REAR };
    match deed {
        Deed::Headlight => vec![ahead],
        Deed::RearLight => vec![REAR],
        _ => {
            let named = sheet.output.iter().filter(|output| output.does == Some(deed));
            named.map(|output| output.number.get()).collect()
        }
    }
}

#[cfg(test)]
mod tests {
    use dcc::{Direction, Function};

    use super::{ConsistMask, Functions, Via};
    use crate::memory::{Memory, plain};
    use crate::tests::sheet;

    fn mask(cv21: u8, cv22: u8, is_rcn: bool) -> ConsistMask {
        let mut memory = Memory::on_delivery(&sheet("standard"));
        memory.store(plain(21), cv21);
        memory.store(plain(22), cv22);
        ConsistMask::of(&memory, is_rcn)
    }

    #[test]
    fn f0_follows_the_consist_in_the_directions_that_cv22_names() {
        let mut functions = Functions::default();
        functions.hear(Function::F0, true, Via::Consist, Some(mask(0, 1, false)));
        assert!(functions.is_on(Function::F0, Direction::Forward));
        assert!(!functions.is_on(Function::F0, Direction::Reverse));
    }

    #[test]
    fn without_a_consist_only_its_own_address_is_heard() {
        let f1 = Function::new(1).unwrap();
        let mut functions = Functions::default();
        functions.hear(f1, true, Via::Consist, None);
        assert!(!functions.is_on(f1, Direction::Forward));
        functions.hear(f1, true, Via::Own, None);
        assert!(functions.is_on(f1, Direction::Forward) && functions.is_on(f1, Direction::Reverse));
    }

    #[test]
    fn rcn_gives_a_masked_function_to_the_consist_alone() {
        let f1 = Function::new(1).unwrap();
        for (is_rcn, is_heard) in [(false, true), (true, false)] {
            let mut functions = Functions::default();
            functions.hear(f1, true, Via::Own, Some(mask(1, 0, is_rcn)));
            assert_eq!(functions.is_on(f1, Direction::Forward), is_heard);
        }
    }
}
