//! A program that dies at any packet, and any beginning of a journal: the run is taken up and ends the same.

use std::cell::{Cell, RefCell};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::rc::Rc;

use datasheets::CvPlace;

use super::{Case, FLAT, PAGED, SHORT_ADDRESS, case};
use crate::fake::{Cut, FakeDecoder, FakeRails, Killed, Lock};
use crate::journal::{Entry, Journal, JournalError};
use crate::link::VirtualLink;
use crate::rails::Rails;
use crate::run::{Report, Run};

/// What must be the same however the run came to its end.
#[derive(Debug, PartialEq)]
struct End {
    decoder: Vec<(CvPlace, u8)>,
    verdicts: Vec<String>,
    snapshot: Option<cvplan::Image>,
}

fn end(decoder: &FakeDecoder, report: &Report) -> End {
    let targets = report.targets.iter().map(|target| {
        format!("{} {:?} {:?} {:?}", target.place, target.before, target.after, target.verdict)
    });
    let disturbed = report.disturbed.iter().map(|disturbed| format!("{disturbed:?}"));
    End {
        decoder: decoder.memory.iter().map(|(place, value)| (*place, *value)).collect(),
        verdicts: targets.chain(disturbed).chain([format!("{:?}", report.standing)]).collect(),
        snapshot: report.snapshot.clone(),
    }
}

/// Takes up a run and lets it go on until it ends or the program dies.
fn live(case: &Case, rails: &mut FakeRails, journal: &mut Vec<Entry>) -> Option<Report> {
    let earlier = journal.clone();
    let lived = catch_unwind(AssertUnwindSafe(|| {
        let mut run = Run::take_up(case.job(), &earlier, &mut *journal).unwrap();
        run.proceed(&mut VirtualLink::new(&mut *rails), |_, _| {}).unwrap_or_else(|error| panic!("{error}"))
    }));
    match lived {
        Ok(report) => Some(report),
        Err(death) if death.is::<Killed>() => None,
        Err(other) => std::panic::resume_unwind(other),
    }
}

/// Lets a run go from begin to end and keeps what a cut in the middle of each packet would have left: the rails without
/// power, and how many entries were written. Then takes each up, some of them with a second cut a few packets later.
fn check_every_packet(case: &Case, decoder: &FakeDecoder) {
    let shared = Shared::with(FakeRails::with(vec![decoder.clone()]));
    let mut watching = Watching { rails: shared.clone(), entries: Vec::new() };
    let mut run = Run::begin(case.job(), &mut watching).unwrap();
    let report = run.proceed(&mut VirtualLink::new(shared.clone()), |_, _| {}).unwrap();
    let expected = end(&shared.rails.borrow().decoders[0], &report);
    let journal: Vec<Entry> = watching.entries.into_iter().map(|(entry, _)| entry).collect();
    let cuts = shared.cuts.take();
    assert_eq!(cuts.len(), usize::try_from(shared.rails.borrow().n_packets).unwrap());
    for (index, (mut rails, n_entries)) in cuts.into_iter().enumerate() {
        let mut journal = journal[..n_entries].to_vec();
        // A second cut, for a seventh of them: each costs a whole take-up more.
        let later = u32::try_from(40 + index % 97).unwrap();
        rails.cut = (index % 7 == 0).then_some(Cut::Killed { at_packet: rails.n_packets + later });
        let report = live(case, &mut rails, &mut journal)
            .unwrap_or_else(|| live(case, &mut rails, &mut journal).expect("nothing cuts it any more"));
        assert_eq!(end(&rails.decoders[0], &report), expected, "cut in packet {}", index + 1);
    }
}

#[test]
fn a_cut_at_any_packet_ends_the_same() {
    // CV1 with its side effects on CV19 and CV29.
    let paged = case(PAGED, SHORT_ADDRESS);
    let mut decoder = paged.decoder.clone();
    decoder.memory.insert(CvPlace { page: None, cv: 29 }, 14 + 32);
    decoder.memory.insert(CvPlace { page: None, cv: 19 }, 5);
    check_every_packet(&paged, &decoder);
}

#[test]
fn a_cut_at_any_packet_leaves_the_right_page() {
    let paged = case(PAGED, "[voice]\nhorn = { chimes = 6 }\n[keys]\nF5 = \"horn\"\n");
    check_every_packet(&paged, &paged.decoder);
}

#[test]
fn a_cut_at_any_packet_leaves_pair_and_lock_whole() {
    let flat = case(FLAT, "[address]\nform = \"long\"\nnumber = 1234\n");
    let mut decoder = flat.decoder.clone();
    decoder.lock = Some(Lock::Writes);
    decoder.has_pair = true;
    decoder.memory.insert(CvPlace { page: None, cv: 15 }, 1);
    decoder.memory.insert(CvPlace { page: None, cv: 16 }, 2);
    check_every_packet(&flat, &decoder);
}

/// Rails that a journal can look at while a link drives them.
#[derive(Clone)]
struct Shared {
    rails: Rc<RefCell<FakeRails>>,
    n_entries: Rc<Cell<usize>>,
    /// The rails as a cut in the middle of each packet leaves them, and the number of entries by then.
    cuts: Rc<RefCell<Vec<(FakeRails, usize)>>>,
}

impl Shared {
    fn with(rails: FakeRails) -> Self {
        Self { rails: Rc::new(RefCell::new(rails)), n_entries: Rc::default(), cuts: Rc::default() }
    }
}

impl Rails for Shared {
    fn set_power(&mut self, is_on: bool) {
        self.rails.borrow_mut().set_power(is_on);
    }

    fn drive(&mut self, half_bits: &[u32], milliamperes: &mut Vec<f32>) {
        let mut cut = self.rails.borrow().clone();
        cut.heard.clear();
        cut.drive(&half_bits[..half_bits.len() / 2], &mut Vec::new());
        cut.set_power(false);
        self.cuts.borrow_mut().push((cut, self.n_entries.get()));
        self.rails.borrow_mut().drive(half_bits, milliamperes);
    }

    fn wait(&mut self, microseconds: u64) {
        self.rails.borrow_mut().wait(microseconds);
    }
}

/// A journal that keeps the decoder's state with each entry.
struct Watching {
    rails: Shared,
    entries: Vec<(Entry, FakeDecoder)>,
}

impl Journal for Watching {
    fn append(&mut self, entry: &Entry) -> Result<(), JournalError> {
        self.entries.push((entry.clone(), self.rails.rails.borrow().decoders[0].clone()));
        self.rails.n_entries.set(self.entries.len());
        Ok(())
    }
}

/// Every beginning of a journal, with the decoder as it was when its last entry was written, and as it was just before
/// the next one: a cut in between may have left it either way.
#[test]
fn every_beginning_of_a_journal_is_taken_up() {
    let paged = case(PAGED, &format!("{SHORT_ADDRESS}[voice]\nhorn = {{ chimes = 6 }}\n"));
    let shared = Shared::with(FakeRails::with(vec![paged.decoder.clone()]));
    let mut watching = Watching { rails: shared.clone(), entries: Vec::new() };
    let mut run = Run::begin(paged.job(), &mut watching).unwrap();
    let report = run.proceed(&mut VirtualLink::new(shared.clone()), |_, _| {}).unwrap();
    let expected = end(&shared.rails.borrow().decoders[0], &report);
    let (journal, states): (Vec<Entry>, Vec<FakeDecoder>) = watching.entries.into_iter().unzip();
    for n_entries in 1..=journal.len() {
        for decoder in &states[n_entries - 1..states.len().min(n_entries + 1)] {
            let mut beginning = journal[..n_entries].to_vec();
            let mut rails = FakeRails::with(vec![decoder.clone()]);
            let mut run = Run::take_up(paged.job(), &journal[..n_entries], &mut beginning).unwrap();
            let result = run.proceed(&mut VirtualLink::new(&mut rails), |_, _| {});
            let report = result.unwrap_or_else(|error| panic!("{n_entries} entries: {error}"));
            assert_eq!(end(&rails.decoders[0], &report), expected, "{n_entries} entries");
        }
    }
}
