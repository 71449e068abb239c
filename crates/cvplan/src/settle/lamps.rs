//! Lamps: how each output behaves and how bright it is.

use datasheets::{DecoderSheet, LawKind, Output, RoleName};
use finding::Path;
use quantities::Percent;
use workorder::{LampPlan, WorkOrder};

use crate::gap::Gap;
use crate::settle::Settlement;
use crate::standard::{byte, byte_of};

pub(super) fn settle(order: &WorkOrder, sheet: &DecoderSheet, settlement: &mut Settlement) {
    for lamp in order.plan.iter().flat_map(|plan| &plan.lamp) {
        let Some(output) = sheet.output.iter().find(|output| output.name == lamp.output) else { continue };
        let number = u8::try_from(output.number.get()).unwrap_or(u8::MAX);
        effect(lamp, output, number, sheet, settlement);
        brightness(lamp, number, sheet, settlement);
    }
}

fn effect(lamp: &LampPlan, output: &Output, number: u8, sheet: &DecoderSheet, settlement: &mut Settlement) {
    let Some(effect) = lamp.effect else { return };
    let wish = Path::new(format!("plan.lamp.{}.effect", lamp.name));
    let found = sheet.role(RoleName::OutputEffect(number)).and_then(|role| {
        let choice = role.choices.iter().find(|choice| choice.is.effect == Some(effect)).cloned()?;
        Some((role, choice))
    });
    match found {
        Some((role, choice)) => {
            settlement.targets.want_role(
                &role,
                byte(choice.value),
                &wish,
                format!("{}: {effect}", lamp.name),
            );
        }
        None if effect == datasheets::LampEffect::Steady => {}
        None => settlement.gaps.push(Gap::NoEffect { wish, output: output.name.to_string(), effect }),
    }
}

fn brightness(lamp: &LampPlan, number: u8, sheet: &DecoderSheet, settlement: &mut Settlement) {
    let Some(wished) = lamp.brightness else { return };
    let wish = Path::new(format!("plan.lamp.{}.brightness", lamp.name));
    let role = sheet.role(RoleName::OutputBrightness(number));
    let share = role.as_ref().and_then(|role| {
        let law = role.law.as_ref().filter(|law| law.kind == LawKind::Share)?;
        Some((role, f64::from(law.full?.get())))
    });
    let Some((role, full)) = share else {
        settlement.gaps.push(Gap::NoCv {
            wish,
            what: format!("{} at {wished} of full brightness", lamp.name),
            place: None,
        });
        return;
    };
    let (least, most) = role.limits();
    let number = (wished.as_percent() / 100.0 * full).round();
    let value = byte_of(number).0.clamp(least, most);
    let reached = Percent::from_percent(f64::from(value) / full * 100.0)
        .map_or_else(String::new, |share| share.to_string());
    if number > f64::from(most) || number < f64::from(least) {
        settlement.gaps.push(Gap::BeyondLimit {
            wish: wish.clone(),
            wanted: format!("{wished} of full brightness"),
            nearest: reached.clone(),
        });
    }
    settlement.targets.want_role(
        role,
        value,
        &wish,
        format!("{} at {reached} of full brightness", lamp.name),
    );
}
