//! The address and the consist address (S-9.2.2 CV1, CV17/18, CV19, CV29 bit 5; reference text 4.6).

use datasheets::{CvPlace, DecoderSheet};
use finding::Path;
use workorder::{Address, AddressForm};

use crate::settle::Settlement;
use crate::standard;

pub(super) fn settle(address: &Address, sheet: &DecoderSheet, settlement: &mut Settlement) {
    let wish = Path::new("address.number");
    let number = address.number.get();
    let plain = |cv| CvPlace { page: None, cv };
    match address.form {
        AddressForm::Short => {
            if settlement.has_plain(sheet, 1, &wish, "a short address") {
                let value = u8::try_from(number).unwrap_or(u8::MAX);
                settlement.targets.want(plain(1), 0xFF, value, &wish, format!("short address {number}"));
                settlement.targets.want(
                    plain(29),
                    standard::LONG_ADDRESS,
                    0,
                    &Path::new("address.form"),
                    "the short address counts",
                );
            }
        }
        AddressForm::Long => {
            if settlement.has_plain(sheet, 17, &wish, "a long address")
                && settlement.has_plain(sheet, 18, &wish, "a long address")
            {
                for (cv, value) in standard::long_address(number).into_iter().flatten() {
                    settlement.targets.want(plain(cv), 0xFF, value, &wish, format!("long address {number}"));
                }
                let form = Path::new("address.form");
                settlement.targets.want(
                    plain(29),
                    standard::LONG_ADDRESS,
                    standard::LONG_ADDRESS,
                    &form,
                    "the long address counts",
                );
            }
        }
    }
    settle_consist(address, sheet, settlement);
}

/// A consist address that nobody wishes is set to none: one that was left behind lets lamps and sound work while the
/// model does not move (practice, row 51).
fn settle_consist(address: &Address, sheet: &DecoderSheet, settlement: &mut Settlement) {
    let place = CvPlace { page: None, cv: 19 };
    let wish = Path::new("address.consist");
    match address.consist.map(|consist| consist.get()).filter(|consist| *consist > 0) {
        None if sheet.has(place) => settlement.targets.want(place, 0xFF, 0, &wish, "in no consist"),
        Some(consist) if settlement.has_plain(sheet, 19, &wish, "a consist address") => {
            let is_reversed = address.consist_reversed == Some(true);
            let facing = if is_reversed { ", reversed" } else { "" };
            if let Some(value) = standard::consist_address(consist, is_reversed) {
                settlement.targets.want(
                    place,
                    0xFF,
                    value,
                    &wish,
                    format!("consist address {consist}{facing}"),
                );
            }
        }
        None | Some(_) => {}
    }
}
