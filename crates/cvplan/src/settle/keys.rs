//! Function keys, by each of the methods in which decoders tie keys to deeds.

use datasheets::{CvPlace, DecoderSheet, Deed, Key, KeyMapMethod, Role, RoleName, Travel};
use dcc::cv::FunctionKey;
use finding::Path;
use workorder::{LampPlan, WorkOrder};

use crate::gap::Gap;
use crate::settle::Settlement;
use crate::standard::{self, byte};

pub(super) fn settle(order: &WorkOrder, sheet: &DecoderSheet, settlement: &mut Settlement) {
    let wishes: Vec<KeyWish<'_>> = order
        .keys
        .0
        .iter()
        .map(|(key, deeds)| KeyWish { key: *key, deeds: &deeds.0, wish: Path::new(format!("keys.{key}")) })
        .filter(|wish| is_heard(wish, sheet, settlement))
        .collect();
    match sheet.key_map.method {
        KeyMapMethod::Matrix => matrix(&wishes, order, sheet, settlement),
        KeyMapMethod::KeyTable => key_table(&wishes, order, sheet, settlement),
        KeyMapMethod::DeedTable => deed_table(&wishes, sheet, settlement),
    }
}

struct KeyWish<'a> {
    key: Key,
    deeds: &'a [Deed],
    wish: Path,
}

fn is_heard(wish: &KeyWish<'_>, sheet: &DecoderSheet, settlement: &mut Settlement) -> bool {
    let highest = sheet.key_map.highest_key.get();
    let is_heard = u16::from(wish.key.number()) <= highest;
    if !is_heard {
        settlement.gaps.push(Gap::NoKey { wish: wish.wish.clone(), key: wish.key, highest });
    }
    is_heard
}

/// An output that a key shall switch.
struct Wanted<'a> {
    output: u16,
    deed: Deed,
    lamp: Option<&'a LampPlan>,
}

/// The outputs that do a deed: those that planned lamps hang on, and internal ones.
fn outputs_for<'a>(deed: Deed, order: &'a WorkOrder, sheet: &DecoderSheet) -> Vec<Wanted<'a>> {
    let lamps =
        order.plan.iter().flat_map(|plan| &plan.lamp).filter(|lamp| lamp.does == deed).filter_map(|lamp| {
            let output = sheet.output.iter().find(|output| output.name == lamp.output)?;
            Some(Wanted { output: output.number.get(), deed, lamp: Some(lamp) })
        });
    let internal = sheet.output.iter().filter(|output| output.does == Some(deed)).map(|output| Wanted {
        output: output.number.get(),
        deed,
        lamp: None,
    });
    lamps.chain(internal).collect()
}

/// A wished bit of the matrix.
struct MatrixBit {
    key: FunctionKey,
    bit: u8,
    wish: Path,
    words: String,
}

/// The standard's matrix (S-9.2.2 Table 2): wished bits set, and outputs that got a key of their own taken from the
/// keys that had them on delivery.
fn matrix(wishes: &[KeyWish<'_>], order: &WorkOrder, sheet: &DecoderSheet, settlement: &mut Settlement) {
    let mut claimed: Vec<u16> = Vec::new();
    let mut bits: Vec<MatrixBit> = Vec::new();
    for wish in wishes {
        for &deed in wish.deeds {
            let wanted = outputs_for(deed, order, sheet);
            if wanted.is_empty() {
                settlement.gaps.push(Gap::NoDeed { wish: wish.wish.clone(), key: wish.key, deed });
            }
            for one in wanted {
                for key in matrix_keys(wish, &one, settlement) {
                    let Some(bit) = standard::matrix_bit(key, one.output) else {
                        settlement.gaps.push(Gap::OutOfReach {
                            wish: wish.wish.clone(),
                            key: wish.key,
                            deed,
                            output: one.output,
                            reaching: standard::keys_reaching(one.output),
                        });
                        continue;
                    };
                    claimed.push(one.output);
                    bits.push(MatrixBit {
                        key,
                        bit,
                        wish: wish.wish.clone(),
                        words: format!("{}: {}", wish.key, one.told()),
                    });
                }
            }
        }
    }
    settlement.gaps.dedup();
    for key in FunctionKey::all() {
        let place = CvPlace { page: None, cv: standard::matrix_cv(key) };
        if !sheet.has(place) {
            continue;
        }
        if let Some(wish) = wishes.iter().find(|wish| standard::matrix_keys(wish.key).any(|one| one == key)) {
            // A wished key does what is wished and nothing else.
            let of_this: Vec<&MatrixBit> = bits.iter().filter(|bit| bit.key == key).collect();
            let value = of_this.iter().fold(0, |value, bit| value | bit.bit);
            let words: Vec<&str> = of_this.iter().map(|bit| bit.words.as_str()).collect();
            let words = if words.is_empty() { format!("{key}: nothing") } else { words.join("; ") };
            let because = of_this.first().map_or(&wish.wish, |bit| &bit.wish);
            settlement.targets.want(place, 0xFF, value, because, words);
        } else {
            let taken = claimed
                .iter()
                .filter_map(|output| standard::matrix_bit(key, *output))
                .fold(0, |taken, bit| taken | bit);
            if taken != 0 {
                settlement.targets.want(
                    place,
                    taken,
                    0,
                    &Path::new("keys"),
                    "these outputs have keys of their own",
                );
            }
        }
    }
}

/// The keys of the matrix that a wish writes: F0 has one for each direction, the other keys one for both.
fn matrix_keys(wish: &KeyWish<'_>, wanted: &Wanted<'_>, settlement: &mut Settlement) -> Vec<FunctionKey> {
    let keys: Vec<FunctionKey> = standard::matrix_keys(wish.key).collect();
    let when = wanted.lamp.and_then(|lamp| lamp.when);
    match (keys.as_slice(), when) {
        (&[forward, _], Some(Travel::Forward)) => vec![forward],
        (&[_, reverse], Some(Travel::Reverse)) => vec![reverse],
        (_, None) => keys,
        (_, Some(_)) => {
            let lamp = wanted.lamp.map_or_else(String::new, |lamp| lamp.name.to_string());
            settlement.gaps.push(Gap::NoDirection { wish: wish.wish.clone(), key: wish.key, lamp });
            keys
        }
    }
}

impl Wanted<'_> {
    fn told(&self) -> String {
        match self.lamp {
            Some(lamp) => format!("{} (output {})", lamp.name, self.output),
            None => format!("{} (output {})", self.deed, self.output),
        }
    }
}

/// One CV a key: each key does one thing.
fn key_table(wishes: &[KeyWish<'_>], order: &WorkOrder, sheet: &DecoderSheet, settlement: &mut Settlement) {
    for wish in wishes {
        let Some(role) = sheet.role(RoleName::KeyDeed(wish.key)) else { continue };
        let mut values: Vec<(u8, String)> = Vec::new();
        for &deed in wish.deeds {
            let found = values_for(deed, &role, order, sheet);
            if found.is_empty() {
                settlement.gaps.push(Gap::NoDeed { wish: wish.wish.clone(), key: wish.key, deed });
            }
            values.extend(found);
        }
        values.dedup_by_key(|(value, _)| *value);
        if values.len() > 1 {
            settlement.gaps.push(Gap::TooManyDeeds {
                wish: wish.wish.clone(),
                key: wish.key,
                n_deeds: values.len(),
            });
        }
        if let Some((value, words)) = values.first() {
            settlement.targets.want_role(&role, *value, &wish.wish, format!("{}: {words}", wish.key));
        }
    }
}

/// The values of a key's CV that do a deed: by its name, or by the outputs that planned lamps hang on.
fn values_for(deed: Deed, role: &Role, order: &WorkOrder, sheet: &DecoderSheet) -> Vec<(u8, String)> {
    if let Some(choice) = role.choices.iter().find(|choice| choice.is.does == Some(deed)) {
        return vec![(byte(choice.value), deed.to_string())];
    }
    outputs_for(deed, order, sheet)
        .iter()
        .filter_map(|wanted| {
            let choice = role
                .choices
                .iter()
                .find(|choice| choice.is.output.is_some_and(|output| output.get() == wanted.output))?;
            Some((byte(choice.value), wanted.told()))
        })
        .collect()
}

/// One CV a deed, holding its key.
fn deed_table(wishes: &[KeyWish<'_>], sheet: &DecoderSheet, settlement: &mut Settlement) {
    for wish in wishes {
        for &deed in wish.deeds {
            match sheet.key_map.deed.iter().find(|entry| entry.does == deed) {
                Some(entry) => {
                    let place = CvPlace {
                        page: entry.page.as_ref().map(datasheets::IndexPage::pair),
                        cv: entry.cv.get(),
                    };
                    settlement.targets.want(
                        place,
                        0xFF,
                        wish.key.number(),
                        &wish.wish,
                        format!("{}: {deed}", wish.key),
                    );
                }
                None => settlement.gaps.push(Gap::NoDeed { wish: wish.wish.clone(), key: wish.key, deed }),
            }
        }
    }
    let wished: Vec<Deed> = wishes.iter().flat_map(|wish| wish.deeds).copied().collect();
    for entry in sheet.key_map.deed.iter().filter(|entry| !wished.contains(&entry.does)) {
        let key = entry.default.map(byte);
        if let Some(wish) = wishes.iter().find(|wish| Some(wish.key.number()) == key) {
            let place =
                CvPlace { page: entry.page.as_ref().map(datasheets::IndexPage::pair), cv: entry.cv.get() };
            let words = format!("{} no longer on {}", entry.does, wish.key);
            settlement.targets.want(place, 0xFF, sheet.key_map.no_key_value(), &wish.wish, words);
        }
    }
}
