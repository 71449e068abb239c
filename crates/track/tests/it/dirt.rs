//! Dirt and noise of any degree: a run may give up, but what it claims is so.

use bench::{Locomotive, read_truth};
use proptest::prelude::*;
use track::{Content, Run, Verdict, VirtualLink};

use crate::demo::{Order, shelf};

/// How often a person presses the locomotive down and lets the run go on.
const ATTEMPTS: usize = 6;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn what_a_run_claims_is_so(
        wrong in 0.0_f64..1.5,
        losses in 0_u16..900,
        loss in 1_u16..8,
        noise in 0.0_f64..8.0,
        seed: u64,
        is_paged: bool,
    ) {
        let order = Order::of_demo(if is_paged { "V-0036" } else { "V-0033" });
        let text = format!(
            "truth.title = \"dirty\"\ndecoder.part = \"{}\"\nmotor.resistance = \"20 ohm\"\n[pickup]\n\
             wrong-half-bits = \"{wrong:.3} %\"\nlosses-per-minute = {losses}\nloss = \"{loss} ms\"\n\
             current-noise = \"{noise:.2} mA\"\n",
            order.sheet.part.name,
        );
        let truth = read_truth("dirty", &text, shelf()).unwrap_or_else(|faults| panic!("{faults}")).value;
        let mut link = VirtualLink::new(Locomotive::new(&truth, shelf(), seed).unwrap());
        let delivered = link.programmer().rails().memory();
        let mut run = Run::begin(order.job(), Vec::new()).unwrap();
        let ended = (0..ATTEMPTS).any(|_| run.proceed(&mut link, |_, _| {}).is_ok());
        let report = run.report();
        let memory = link.programmer().rails().memory();
        let holds = |memory: &[_], place| {
            memory.iter().find(|(one, _)| *one == place).map(|(_, value): &(_, u8)| *value).unwrap()
        };
        for target in &report.targets {
            if let Some(Content::Value(before)) = target.before {
                prop_assert_eq!(before, holds(&delivered, target.place), "{} before", target.place);
            }
            let is_met = holds(&memory, target.place) & target.mask == target.value;
            match target.verdict {
                Verdict::Met => prop_assert!(is_met, "{} is said to be met", target.place),
                Verdict::NotMet => prop_assert!(!is_met, "{} is said not to be met", target.place),
                Verdict::Unknown { .. } => {}
            }
        }
        prop_assert!(!report.is_fulfilled() || ended);
        // What nobody wanted is as it was, page and lock included.
        for (place, value) in delivered.iter().filter(|_| ended) {
            if order.settled.targets.get(*place).is_none() {
                prop_assert_eq!(holds(&memory, *place), *value, "{} was nobody's business", place);
            }
        }
    }
}

/// Dirt of which every fifth packet is lost still lets a run come to its end, when the locomotive is pressed down once or twice.
#[test]
fn moderate_dirt_is_got_through() {
    let order = Order::of_demo("V-0031");
    let text = "truth.title = \"dirty\"\ndecoder.part = \"demo-21-sound\"\nmotor.resistance = \"20 ohm\"\n[pickup]\n\
        wrong-half-bits = \"0.2 %\"\nlosses-per-minute = 120\nloss = \"3 ms\"\ncurrent-noise = \"5 mA\"\n";
    let truth = read_truth("dirty", text, shelf()).unwrap_or_else(|faults| panic!("{faults}")).value;
    for seed in 0..6 {
        let mut link = VirtualLink::new(Locomotive::new(&truth, shelf(), seed).unwrap());
        let mut run = Run::begin(order.job(), Vec::new()).unwrap();
        assert!((0..3).any(|_| run.proceed(&mut link, |_, _| {}).is_ok()), "seed {seed}");
        assert!(run.report().is_fulfilled(), "seed {seed}: {:#?}", run.report());
    }
}
