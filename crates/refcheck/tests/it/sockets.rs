//! The socket sheets against the standards' pin tables: NEM 651 (2017) p. 1, NEM 652 (2017) p. 1, NEM 660 (2015), NEM 658 and
//! NEM 662 (2016), as tabulated in the project's digest of the wire standards, section 8.

use datasheets::{PinSignal, Shelf, SocketSheet};
use documents::Name;

use PinSignal::{
    Aux1, Aux2, Aux3, Aux4, Aux5, Aux6, Aux7, BusClock, BusData, CommonPlus, FrontLight, General, Ground,
    Index, Input, KeepAlivePlus, LogicSupply, MotorMinus, MotorPlus, PickupLeft, PickupRight, RearLight,
    SpeakerA, SpeakerB,
};

fn socket(name: &str) -> SocketSheet {
    Shelf::standard().socket(&Name::new(name).unwrap()).unwrap_or_else(|| panic!("{name}")).clone()
}

#[track_caller]
fn has_pins(name: &str, pins: &[(u16, PinSignal)]) {
    let sheet = socket(name);
    let told: Vec<(u16, PinSignal)> =
        sheet.socket.pin.iter().map(|pin| (pin.number.get(), pin.signal)).collect();
    let mut sorted = pins.to_vec();
    sorted.sort_by_key(|(number, _)| *number);
    assert_eq!(told, sorted, "{name}");
}

/// NEM 660 (2015), RCN-121: digest section 8.6.
#[test]
fn nem_660() {
    has_pins(
        "NEM660",
        &[
            (1, Input),
            (2, Input),
            (3, Aux6),
            (4, Aux4),
            (5, BusClock),
            (6, BusData),
            (7, RearLight),
            (8, FrontLight),
            (9, SpeakerA),
            (10, SpeakerB),
            (11, Index),
            (12, LogicSupply),
            (13, Aux3),
            (14, Aux2),
            (15, Aux1),
            (16, CommonPlus),
            (17, Aux5),
            (18, MotorMinus),
            (19, MotorPlus),
            (20, Ground),
            (21, PickupLeft),
            (22, PickupRight),
        ],
    );
    let sheet = socket("NEM660");
    let logic: Vec<u16> =
        sheet.socket.pin.iter().filter(|pin| pin.logic == Some(true)).map(|pin| pin.number.get()).collect();
    assert_eq!(logic, [3, 4, 13, 17], "AUX3 to AUX6 are logic signals of at most 0.5 mA");
    assert_eq!(sheet.socket.space.unwrap().to_string(), "30 mm × 15.5 mm × 6.5 mm");
}

/// NEM 651 (2017) p. 1: digest section 8.2.
#[test]
fn nem_651() {
    has_pins(
        "NEM651",
        &[
            (1, MotorPlus),
            (2, MotorMinus),
            (3, PickupRight),
            (4, PickupLeft),
            (5, FrontLight),
            (6, RearLight),
        ],
    );
}

/// NEM 652 (2017) p. 1: digest section 8.3; pin 3 is free or AUX1.
#[test]
fn nem_652() {
    has_pins(
        "NEM652",
        &[
            (1, MotorPlus),
            (2, RearLight),
            (3, Aux1),
            (4, PickupLeft),
            (5, MotorMinus),
            (6, FrontLight),
            (7, CommonPlus),
            (8, PickupRight),
        ],
    );
}

/// NEM 658, RCN-122: digest section 8.7. The smaller members have the pins of the larger that it marks.
#[test]
fn nem_658() {
    let twelve = [
        (7, FrontLight),
        (8, MotorPlus),
        (9, CommonPlus),
        (10, MotorMinus),
        (11, Index),
        (12, PickupRight),
        (13, RearLight),
        (14, PickupLeft),
        (15, SpeakerA),
        (16, Aux1),
        (17, SpeakerB),
        (18, Aux2),
    ];
    let sixteen: Vec<_> =
        twelve.into_iter().chain([(3, BusClock), (4, BusData), (5, Ground), (6, KeepAlivePlus)]).collect();
    let twenty_two: Vec<_> = sixteen
        .iter()
        .copied()
        .chain([(1, General), (2, Aux3), (19, Aux4), (20, Aux5), (21, Aux6), (22, Aux7)])
        .collect();
    has_pins("PluX12", &twelve);
    has_pins("PluX16", &sixteen);
    has_pins("PluX22", &twenty_two);
}

/// NEM 662 (2016), RCN-118: digest section 8.8.
#[test]
fn nem_662() {
    let both = [
        (1, PickupRight),
        (2, MotorPlus),
        (3, Aux1),
        (4, Aux3),
        (5, Ground),
        (6, CommonPlus),
        (8, FrontLight),
        (9, PickupLeft),
        (10, PickupLeft),
        (11, MotorMinus),
        (12, Aux2),
        (13, Aux4),
        (14, Ground),
        (15, CommonPlus),
        (17, RearLight),
        (18, PickupRight),
    ];
    let plain: Vec<_> = both.into_iter().chain([(7, Aux6), (16, Aux5)]).collect();
    let sound: Vec<_> = both.into_iter().chain([(7, SpeakerB), (16, SpeakerA)]).collect();
    has_pins("Next18", &plain);
    has_pins("Next18-S", &sound);
}
