//! Runs over fake rails: good ends, bad decoders, and cuts at every packet.

mod cuts;
mod decoders;

use cvplan::{Settlement, settle};
use datasheets::{CvPlace, DecoderSheet, Sheet, Shelf, read_sheet};
use workorder::read_order;

use super::{Event, Job, Report, Run, RunError, Verdict};
use crate::fake::{FakeDecoder, FakeRails};
use crate::journal::Entry;
use crate::link::VirtualLink;
use crate::permit::Permit;

const FLAT: &str = include_str!("../../../../demo/parts/demo-21-sound.toml");
const PAGED: &str = include_str!("../../../../demo/parts/demo-8-paged.toml");

/// A sheet, wishes settled for it, and a decoder as delivered.
struct Case {
    sheet: DecoderSheet,
    settled: Settlement,
    decoder: FakeDecoder,
}

fn case(sheet_text: &str, wishes: &str) -> Case {
    let Sheet::Decoder(sheet) =
        read_sheet("sheet", sheet_text).unwrap_or_else(|faults| panic!("{faults}")).value
    else {
        panic!("no decoder sheet")
    };
    let text = format!("[order]\nnumber = \"X\"\nmodel = \"x\"\nscale = \"HO\"\n{wishes}");
    let order =
        read_order("order", &text, &Shelf::standard()).unwrap_or_else(|faults| panic!("{faults}")).value;
    let settled = settle(&order, &sheet);
    let mut decoder = FakeDecoder::holding(&[]);
    for range in &sheet.decoder.cvs {
        for cv in range.first..=range.last {
            decoder.memory.insert(CvPlace { page: None, cv }, 0);
        }
    }
    decoder.memory.extend(sheet.content_on_delivery());
    for (cv, value) in [(1, 3), (7, sheet.decoder.version.get()), (8, sheet.decoder.manufacturer.get())] {
        decoder.memory.insert(CvPlace { page: None, cv }, u8::try_from(value).unwrap());
    }
    decoder.has_pages = decoder.memory.keys().any(|place| place.page.is_some());
    Case { sheet: *sheet, settled, decoder }
}

impl Case {
    fn job(&self) -> Job<'_> {
        Job {
            name: "X",
            targets: &self.settled.targets,
            sheet: &self.sheet,
            identity: None,
            earlier: None,
            permit: Permit::without_job(),
        }
    }

    /// Runs from begin to end over these rails.
    fn run(&self, rails: &mut FakeRails) -> (Result<Report, RunError>, Vec<Entry>, Vec<Event>) {
        let mut run = Run::begin(self.job(), Vec::new()).unwrap();
        let mut events = Vec::new();
        let report = run.proceed(&mut VirtualLink::new(rails), |event, _| events.push(event.clone()));
        (report, run.journal().clone(), events)
    }

    /// Runs with a decoder and expects the wishes met.
    #[track_caller]
    fn check_fulfilled(&self, decoder: FakeDecoder) -> (Report, FakeDecoder) {
        let mut rails = FakeRails::with(vec![decoder]);
        let (report, ..) = self.run(&mut rails);
        let report = report.unwrap_or_else(|error| panic!("{error}"));
        assert!(report.is_fulfilled(), "{report:#?}");
        let decoder = rails.decoders.remove(0);
        for target in self.settled.targets.iter() {
            let content = decoder.memory[&target.place];
            assert!(target.is_met_by(content), "{} holds {content}", target.place);
        }
        (report, decoder)
    }
}

const WISHES: &str = r#"
[address]
form = "long"
number = 1234
[manners]
acceleration = "22.4 s"
analog = false
[voice]
horn = { chimes = 3 }
"#;

const SHORT_ADDRESS: &str = "[address]\nform = \"short\"\nnumber = 21\n[manners]\nanalog = false\n";

fn held(decoder: &FakeDecoder, cvs: &[u16]) -> Vec<Option<u8>> {
    cvs.iter().map(|cv| decoder.content(*cv)).collect()
}

#[test]
fn a_decoder_is_programmed_and_proved() {
    let case = case(FLAT, WISHES);
    let (report, decoder) = case.check_fulfilled(case.decoder.clone());
    assert_eq!(held(&decoder, &[3, 17, 18, 29]), [Some(25), Some(196), Some(210), Some(34)]);
    assert_eq!(report.targets.len(), case.settled.targets.len());
    assert_eq!(report.snapshot.unwrap().plain(3), Some(6), "the snapshot has what was there before");
    // Guesses were right for most CVs of a decoder as delivered.
    assert!(report.rail_times.readings < report.rail_times.readings_plain, "{:?}", report.rail_times);
}

#[test]
fn events_come_in_their_order() {
    let case = case(PAGED, &format!("{SHORT_ADDRESS}[voice]\nhorn = {{ chimes = 6 }}\n"));
    let (_, _, events) = case.run(&mut FakeRails::with(vec![case.decoder.clone()]));
    let mut kinds: Vec<&str> = Vec::new();
    for event in &events {
        let kind = match event {
            Event::Connected { .. } => "connected",
            Event::Identified(_) => "identified",
            Event::Recognised => "recognised",
            Event::CvRead { .. } => "read",
            Event::SnapshotTaken(_) => "snapshot",
            Event::Planned { .. } => "planned",
            Event::PageSelected { .. } => "page",
            Event::CvWritten { .. } => "written",
            Event::CvRefused { .. } => "refused",
            Event::ProofBegun => "proof",
            Event::CvProved { .. } => "proved",
            Event::Closed => "closed",
            Event::Finished => "finished",
        };
        if kinds.last() != Some(&kind) {
            kinds.push(kind);
        }
    }
    assert_eq!(
        kinds,
        [
            "connected",
            "identified",
            "read",
            "snapshot",
            "planned",
            "page",
            "written",
            "page",
            "written",
            "proof",
            "connected",
            "recognised",
            "proved",
            "closed",
            "finished"
        ]
    );
}

#[test]
fn pages_are_put_back_and_the_address_stays_whole() {
    let wishes = SHORT_ADDRESS.replace("number = 21", "number = 21\nconsist = 5");
    let case = case(PAGED, &format!("{wishes}[voice]\nhorn = {{ chimes = 6 }}\n"));
    let mut delivered = case.decoder.clone();
    // CV31/32 as somebody left them, a long address and a consist that writing CV1 will clear.
    for (cv, value) in [(31, 16), (32, 2), (29, 14 + 32), (19, 5)] {
        delivered.memory.insert(CvPlace { page: None, cv }, value);
    }
    let (report, decoder) = case.check_fulfilled(delivered);
    assert_eq!(held(&decoder, &[31, 32]), [Some(16), Some(2)]);
    assert_eq!(decoder.memory[&CvPlace { page: Some((16, 1)), cv: 258 }], 6);
    assert_eq!(held(&decoder, &[1, 29]), [Some(21), Some(10)]);
    assert_eq!(decoder.content(19), Some(5), "cleared by CV1 and brought back");
    assert!(report.disturbed.is_empty());
}

#[test]
fn a_second_run_writes_nothing() {
    let case = case(FLAT, WISHES);
    let (_, decoder) = case.check_fulfilled(case.decoder.clone());
    let mut rails = FakeRails::with(vec![decoder]);
    let (report, entries, _) = case.run(&mut rails);
    assert!(report.unwrap().is_fulfilled());
    assert!(!entries.iter().any(|entry| matches!(entry, Entry::Writing { .. } | Entry::Setting { .. })));
}

#[test]
fn what_cannot_be_read_is_not_written_and_said_to_be_unknown() {
    let case = case(FLAT, WISHES);
    let mut poor = case.decoder.clone();
    poor.memory.remove(&CvPlace { page: None, cv: 123 });
    let mut rails = FakeRails::with(vec![poor]);
    let (report, ..) = case.run(&mut rails);
    let report = report.unwrap();
    assert!(!report.is_fulfilled());
    let unknown: Vec<_> = report.targets.iter().filter(|target| target.verdict != Verdict::Met).collect();
    assert_eq!(unknown.len(), 1);
    assert_eq!(unknown[0].place, CvPlace { page: None, cv: 123 });
    assert!(matches!(unknown[0].verdict, Verdict::Unknown { why: super::Doubt::NotReadBefore }));
    assert_eq!(rails.decoders[0].content(123), None);
}

#[test]
fn the_journal_is_read_back_as_it_was_written() {
    let case = case(PAGED, SHORT_ADDRESS);
    let (_, entries, _) = case.run(&mut FakeRails::with(vec![case.decoder.clone()]));
    let text: String = entries.iter().map(Entry::to_line).collect();
    let recovered = crate::journal::read_journal(&text).unwrap();
    assert_eq!((recovered.entries, recovered.is_torn), (entries.clone(), false));
    let torn = crate::journal::read_journal(&text[..text.len() - 5]).unwrap();
    assert_eq!((torn.entries.len(), torn.is_torn), (entries.len() - 1, true));
}
