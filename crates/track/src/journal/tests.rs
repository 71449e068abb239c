//! Every entry comes back from its line as it went in, and nothing else is taken for one.

use dcc::Microseconds;
use proptest::prelude::*;

use super::{Cost, Entry, PlaceRecord, PlanKind, ReadJournalError, StepRecord, WantedRecord, read_journal};
use crate::acknowledgement::Evidence;
use crate::permit::Overridden;
use crate::strategy::{Content, Identity};

fn place() -> impl Strategy<Value = PlaceRecord> {
    (1_u16..=1024, any::<Option<(u8, u8)>>()).prop_map(|(cv, page)| PlaceRecord { cv, page })
}

fn content() -> impl Strategy<Value = Content> {
    prop_oneof![
        any::<u8>().prop_map(Content::Value),
        Just(Content::Absent),
        Just(Content::Silent),
        any::<Vec<u8>>().prop_map(|spelled| Content::Unsettled { spelled }),
    ]
}

fn cost() -> impl Strategy<Value = Cost> {
    any::<u64>().prop_map(|span| Cost::of(Microseconds::from_micros(span)))
}

fn evidence() -> impl Strategy<Value = Option<Evidence>> {
    let measured = (0.0_f32..300.0, 0.0_f32..30.0, 0.0_f32..60.0, 0.0_f32..300.0, any::<u32>());
    proptest::option::of(measured.prop_map(|(baseline, noise, swing, step, pulse)| {
        Evidence::measured(baseline, noise, swing, step, Microseconds::from_micros(u64::from(pulse)))
    }))
}

fn step() -> impl Strategy<Value = StepRecord> {
    prop_oneof![
        (place(), any::<u8>(), any::<u8>()).prop_map(|(place, from, to)| StepRecord::Write {
            place,
            from,
            to
        }),
        (place(), any::<u8>()).prop_map(|(place, value)| StepRecord::Ensure { place, value }),
        any::<(u8, u8)>().prop_map(|(high, low)| StepRecord::Select { high, low }),
    ]
}

fn wanted() -> impl Strategy<Value = WantedRecord> {
    (place(), any::<u8>(), any::<u8>(), any::<Vec<(String, String)>>())
        .prop_map(|(place, mask, value, because)| WantedRecord { place, mask, value, because })
}

fn entry() -> impl Strategy<Value = Entry> {
    let overridden = (".*", ".*").prop_map(|(rule, reason)| Overridden { rule, reason });
    let few = 0..4_usize;
    let begun = (
        ".*",
        ".*",
        proptest::collection::vec(wanted(), few.clone()),
        proptest::collection::vec(place(), few.clone()),
        proptest::collection::vec(overridden, few.clone()),
    )
        .prop_map(|(job, decoder, wanted, to_read, overridden)| Entry::Begun {
            job,
            decoder,
            wanted,
            to_read,
            overridden,
        });
    let read = (place(), content(), any::<u32>(), evidence(), cost(), proptest::option::of(cost())).prop_map(
        |(place, content, n_tries, evidence, cost, plain)| Entry::Read {
            place,
            content,
            n_tries,
            evidence,
            cost,
            plain,
        },
    );
    let proved = (place(), content(), evidence(), cost(), proptest::option::of(cost())).prop_map(
        |(place, content, evidence, cost, plain)| Entry::Proved { place, content, evidence, cost, plain },
    );
    let planned = (any::<bool>(), proptest::collection::vec(step(), few)).prop_map(|(is_undo, steps)| {
        Entry::Planned { kind: if is_undo { PlanKind::Undo } else { PlanKind::Program }, steps }
    });
    let small = prop_oneof![
        (any::<Vec<String>>(), cost()).prop_map(|(modes, cost)| Entry::Connected {
            modes,
            power_on: None,
            cost
        }),
        (any::<(u8, u8)>(), cost()).prop_map(|((manufacturer, version), cost)| Entry::Identified {
            identity: Identity { manufacturer, version },
            cost
        }),
        (any::<usize>(), cost()).prop_map(|(n_compared, cost)| Entry::Recognised { n_compared, cost }),
        any::<usize>().prop_map(|n_cvs| Entry::SnapshotTaken { n_cvs }),
        any::<(u16, u8)>().prop_map(|(cv, value)| Entry::Setting { cv, value }),
        (any::<(u16, u8)>(), cost()).prop_map(|((cv, value), cost)| Entry::Set { cv, value, cost }),
        any::<usize>().prop_map(|step| Entry::Writing { step }),
        (any::<(usize, u32)>(), evidence(), cost()).prop_map(|((step, n_writes), evidence, cost)| {
            Entry::Written { step, n_writes, evidence, cost }
        }),
        (any::<usize>(), content(), cost()).prop_map(|(step, holds, cost)| Entry::Refused {
            step,
            holds,
            cost
        }),
        cost().prop_map(|cost| Entry::Proving { cost }),
        (any::<Vec<u16>>(), cost()).prop_map(|(unverified, cost)| Entry::Closed { unverified, cost }),
        Just(Entry::Finished),
        ".*".prop_map(|reason| Entry::Cancelled { reason }),
        ".*".prop_map(|reason| Entry::Undoing { reason }),
        (".*", cost()).prop_map(|(what, cost)| Entry::Interrupted { what, cost }),
        Just(Entry::TakenUp),
    ];
    prop_oneof![begun, read, proved, planned, small]
}

proptest! {
    #[test]
    fn what_is_written_is_read(entries in proptest::collection::vec(entry(), 0..6)) {
        let text: String = entries.iter().map(Entry::to_line).collect();
        prop_assert_eq!(text.lines().count(), entries.len(), "one line each");
        let recovered = read_journal(&text).unwrap();
        prop_assert_eq!(recovered.entries, entries);
        prop_assert!(!recovered.is_torn);
    }

    /// A cut while a line is written loses that line and nothing before it.
    #[test]
    fn a_torn_line_does_not_count(entry in entry(), share in 0.0_f64..1.0) {
        let line = entry.to_line();
        let n_chars = line.chars().count() - 1;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of a short line")]
        let kept: String = line.chars().take((share * n_chars as f64) as usize).collect();
        let recovered = read_journal(&format!("{line}{kept}")).unwrap();
        prop_assert_eq!(recovered.entries, [entry]);
        prop_assert_eq!(recovered.is_torn, !kept.is_empty());
    }

    #[test]
    fn no_text_makes_it_panic(text in ".*") {
        let _ = read_journal(&text);
    }
}

#[test]
fn another_version_is_refused() {
    let text =
        "{\"version\":1,\"entry\":\"taken-up\"}\n{\"version\":2,\"entry\":{\"leapt\":{\"far\":true}}}\n";
    let error = read_journal(text).unwrap_err();
    assert_eq!(error, ReadJournalError::Version { line: 2, found: 2 });
    assert_eq!(error.to_string(), "line 2 of the journal has version 2; this program reads version 1");
}

#[test]
fn an_unknown_entry_is_named() {
    let error = read_journal("\n{\"version\":1,\"entry\":\"leapt\"}\n").unwrap_err();
    assert!(
        error.to_string().starts_with("line 2 of the journal is no entry: unknown variant `leapt`"),
        "{error}"
    );
    let error =
        read_journal("{\"version\":1,\"entry\":{\"writing\":{\"step\":1,\"more\":2}}}\n").unwrap_err();
    assert!(error.to_string().contains("unknown field `more`"), "{error}");
}
