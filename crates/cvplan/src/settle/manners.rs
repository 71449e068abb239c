//! Direction, speed steps, momentum and speed curve (S-9.2.2 CV2 to CV6, CV29, CV67 to CV94; reference text 4.2, 4.3).

use datasheets::{CvPlace, DecoderSheet};
use finding::Path;
use quantities::{Duration, Percent};
use workorder::{Manners, SpeedSteps};

use crate::gap::Gap;
use crate::settle::Settlement;
use crate::standard;

pub(super) fn settle(manners: &Manners, sheet: &DecoderSheet, settlement: &mut Settlement) {
    let bit = |settlement: &mut Settlement, mask: u8, key: &str, is_on: Option<bool>, words: [&str; 2]| {
        if let Some(is_on) = is_on {
            let place = CvPlace { page: None, cv: 29 };
            let value = if is_on { mask } else { 0 };
            settlement.targets.want(
                place,
                mask,
                value,
                &Path::new(format!("manners.{key}")),
                words[usize::from(is_on)],
            );
        }
    };
    bit(
        settlement,
        standard::REVERSED,
        "reversed",
        manners.reversed,
        ["forward as built", "forward is the other way round"],
    );
    let many_steps = manners.speed_steps.map(|steps| steps != SpeedSteps::Fourteen);
    bit(
        settlement,
        standard::MANY_STEPS,
        "speed-steps",
        many_steps,
        ["14 speed steps", "28 or 128 speed steps"],
    );
    bit(settlement, standard::ANALOG, "analog", manners.analog, ["digital only", "runs on plain DC too"]);
    bit(
        settlement,
        standard::FEEDBACK,
        "feedback",
        manners.feedback,
        ["bi-directional communication off", "bi-directional communication on"],
    );

    let count = sheet.decoder.momentum_count.map_or(standard::MOMENTUM_COUNT_SECONDS, Duration::as_seconds);
    momentum(settlement, sheet, 3, "acceleration", manners.acceleration, count);
    momentum(settlement, sheet, 4, "deceleration", manners.deceleration, count);
    level(settlement, sheet, 2, "start-level", manners.start_level);
    level(settlement, sheet, 6, "middle-level", manners.middle_level);
    level(settlement, sheet, 5, "top-level", manners.top_level);
    speed_table(settlement, sheet, manners);
}

fn momentum(
    settlement: &mut Settlement,
    sheet: &DecoderSheet,
    cv: u16,
    key: &str,
    wished: Option<Duration>,
    count: f64,
) {
    let wish = Path::new(format!("manners.{key}"));
    let Some(wished) = wished else { return };
    if !settlement.has_plain(sheet, cv, &wish, key) {
        return;
    }
    let (value, is_beyond) = standard::byte_of((wished.as_seconds() / count).round());
    let reached =
        Duration::from_seconds(f64::from(value) * count).map_or_else(String::new, |time| time.to_string());
    if is_beyond {
        settlement.gaps.push(Gap::BeyondLimit {
            wish: wish.clone(),
            wanted: format!("{key} in {wished}"),
            nearest: reached.clone(),
        });
    }
    settlement.targets.want(
        CvPlace { page: None, cv },
        0xFF,
        value,
        &wish,
        format!("{key} over the whole range in {reached}"),
    );
}

fn level(settlement: &mut Settlement, sheet: &DecoderSheet, cv: u16, key: &str, wished: Option<Percent>) {
    let wish = Path::new(format!("manners.{key}"));
    let Some(wished) = wished else { return };
    if !settlement.has_plain(sheet, cv, &wish, key) {
        return;
    }
    // CV5 and CV6 hold 2 at least: 0 and 1 mean "not used" (S-9.2.2 CV5, CV6).
    let least = if cv == 2 { 0 } else { 2 };
    let (value, is_beyond) = standard::byte_of((wished.as_percent() / 100.0 * 255.0).round());
    let value = value.max(least);
    let words = format!("motor at {:.0} % of full", f64::from(value) / 2.55);
    if is_beyond {
        settlement.gaps.push(Gap::BeyondLimit {
            wish: wish.clone(),
            wanted: format!("{key} of {wished}"),
            nearest: words.clone(),
        });
    }
    settlement.targets.want(CvPlace { page: None, cv }, 0xFF, value, &wish, words);
}

fn speed_table(settlement: &mut Settlement, sheet: &DecoderSheet, manners: &Manners) {
    if manners.speed_table.is_empty() {
        return;
    }
    let wish = Path::new("manners.speed-table");
    if !settlement.has_plain(sheet, 67, &wish, "a speed table") {
        return;
    }
    for (cv, entry) in (67..).zip(&manners.speed_table) {
        let value = standard::byte(*entry);
        settlement.targets.want(
            CvPlace { page: None, cv },
            0xFF,
            value,
            &wish,
            format!("speed table, step {}", cv - 66),
        );
    }
    let place = CvPlace { page: None, cv: 29 };
    settlement.targets.want(
        place,
        standard::SPEED_TABLE,
        standard::SPEED_TABLE,
        &wish,
        "the speed table counts",
    );
}
