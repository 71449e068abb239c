//! What is refused, and how openings scale.

use proptest::prelude::*;
use quantities::Quantity;

use super::*;

fn q<Q: Quantity>(text: &str) -> Q {
    Q::parse(text).unwrap()
}

#[test]
fn impossible_boxes() {
    let tight = || ClosedBox::tight(q("5 cm3")).unwrap();
    let text = |result: Result<ClosedBox, EnclosureError>| result.unwrap_err().to_string();
    assert_eq!(text(ClosedBox::tight(q("0 cm3"))), "a box needs a volume above zero");
    assert_eq!(
        text(tight().filled(1.5)),
        "fill can raise the effective volume 1 to 1.4 times, not 1.5 times"
    );
    assert_eq!(text(tight().lossy(0.0)), "the Q of the box's losses must be above zero, not 0");
    assert_eq!(text(tight().resized(q("0 cm3"))), "a box needs a volume above zero");
}

#[test]
fn resizing_keeps_everything_else() {
    let hole = Opening::Round { diameter: q("1 mm"), length: q("1 mm") };
    let closed = ClosedBox::tight(q("5 cm3")).unwrap().filled(1.2).unwrap().lossy(4.0).unwrap().opened(hole);
    let half = closed.clone().resized(q("2.5 cm3")).unwrap();
    assert_eq!((half.openings(), half.loss_q()), (closed.openings(), closed.loss_q()));
    assert_eq!(half.effective_volume().to_string(), "3 cm³");
}

proptest! {
    /// A slit that is as wide as it is long in the plane has about the mass of the round hole of the same area, for
    /// the ends are taken alike; and a narrow one resists far more than a wide one.
    #[test]
    fn slits_and_holes(millimetres in 0.3..3.0f64, wall in 0.5..3.0f64) {
        let air = Air::default();
        let side: Length = saturated(millimetres * 1e-3);
        let length: Length = saturated(wall * 1e-3);
        let square = Opening::Slit { width: side, span: side, length };
        let round = Opening::Round { diameter: side * (4.0 / std::f64::consts::PI).sqrt(), length };
        let ratio = square.mass_kilograms_per_metre_to_the_fourth(&air) / round.mass_kilograms_per_metre_to_the_fourth(&air);
        prop_assert!((1.0..=1.2).contains(&ratio), "{ratio}");
        let narrow = Opening::Slit { width: side / 4.0, span: side * 4.0, length };
        let resists = narrow.resistance_pascal_seconds_per_cubic_metre() / square.resistance_pascal_seconds_per_cubic_metre();
        prop_assert!((resists / 16.0 - 1.0).abs() < 1e-9, "cube of the width against the span: {resists}");
    }
}
