//! The card: what the documents, the engine and a run know, put into the structs that the room of paper prints.

use std::collections::BTreeMap;
use std::path::Path;

use cvplan::{Image, Target};
use datasheets::Deed;
use paper::{
    BitRange, Card, CardFinding, Care, Caution, CvContent, CvRow, Head, Key, KeyDeed, Labelled, PaperSize,
    Proof, Proven, Setting, Settings, Topic, TrainPlace, TrainUnit,
};
use workorder::{AddressForm, UnitDirection, WorkOrder};

use crate::desk::{CheckedOrder, Desk, TrainMembership};
use crate::drawing;
use crate::error::ShopError;
use crate::files;
use crate::print::to_pdf;
use crate::sound::{SoundReport, sound_report};

/// What a run adds to the card.
#[derive(Debug, Clone, Default)]
pub struct ProofFacts {
    /// What the decoder held before anything was written.
    pub before: Image,
    /// What it held when it was read back.
    pub after: Image,
    /// The proof section.
    pub proof: Proof,
}

/// The card of an order; with the facts of a run where there was one.
#[must_use]
pub fn card_of(desk: &Desk, checked: &CheckedOrder, proof: Option<&ProofFacts>) -> Card {
    card_with(desk, checked, &sound_report(desk, checked), proof)
}

/// The same from a report of the speakers that is at hand.
#[must_use]
pub fn card_with(
    desk: &Desk,
    checked: &CheckedOrder,
    report: &SoundReport,
    proof: Option<&ProofFacts>,
) -> Card {
    let order = &checked.document.value;
    Card {
        head: head(desk, order, proof),
        findings: checked.inspection.findings.iter().map(|finding| card_finding(order, finding)).collect(),
        cold_checks: drawing::cold_checks(report),
        settings: settings(checked, proof),
        keys: keys(order),
        train: checked.train.as_ref().map(train),
        proof: proof.map(|facts| Proof { figures: drawing::figures(report), ..facts.proof.clone() }),
        care: Care { notes: Vec::new(), cautions: cautions(desk, order) },
        sources: sources(checked),
    }
}

fn head(desk: &Desk, order: &WorkOrder, proof: Option<&ProofFacts>) -> Head {
    let text = |told: &Option<String>| told.clone().unwrap_or_default();
    let decoder = order.plan.as_ref().and_then(|plan| plan.decoder.as_ref());
    let title = decoder.and_then(|name| desk.shelf.decoders.get(name)).map(|sheet| sheet.part.title.clone());
    let mut dates: Vec<Labelled> =
        order.order.received.iter().map(|day| Labelled::new("received", day.clone())).collect();
    dates.extend(proof.map(|facts| Labelled::new("proven", facts.proof.when.clone())));
    Head {
        order: order.order.number.to_string(),
        model: order.order.model.clone(),
        scale: order.order.scale.to_string(),
        client: text(&order.order.client),
        prototype: text(&order.order.prototype),
        wanted: text(&order.order.wanted),
        decoder: match (decoder, title) {
            (Some(name), Some(title)) => format!("{name}: {title}"),
            (Some(name), None) => name.to_string(),
            (None, _) => String::new(),
        },
        address: order.address.as_ref().map_or_else(String::new, |address| address.number.get().to_string()),
        address_form: order
            .address
            .as_ref()
            .map_or_else(String::new, |address| format!("{} address", address.form)),
        dates,
        parts: parts(desk, order),
        is_invented: order.order.invented == Some(true),
    }
}

fn parts(desk: &Desk, order: &WorkOrder) -> Vec<Labelled> {
    let mut parts: Vec<Labelled> = order
        .planned_speakers()
        .map(|(_, speaker)| {
            let title = speaker
                .part
                .as_ref()
                .and_then(|part| desk.shelf.speakers.get(part))
                .map(|sheet| sheet.part.title.clone());
            let told = title.or_else(|| speaker.impedance.map(|load| load.to_string())).unwrap_or_default();
            let boxed = speaker.enclosure.as_ref().map_or_else(String::new, |name| format!(", in {name}"));
            Labelled::new(format!("speaker {}", speaker.name), format!("{told}{boxed}"))
        })
        .collect();
    if let Some(name) = order.plan.as_ref().and_then(|plan| plan.keep_alive.as_ref()) {
        let title = desk
            .shelf
            .keep_alives
            .get(name)
            .map_or_else(|| name.to_string(), |sheet| sheet.part.title.clone());
        parts.push(Labelled::new("keep-alive", title));
    }
    parts
}

fn card_finding(order: &WorkOrder, finding: &finding::Finding) -> CardFinding {
    let entry = order.r#override.iter().find(|entry| entry.rule.as_str() == finding.rule);
    CardFinding { finding: finding.clone(), overridden: entry.map(|entry| entry.reason.clone()) }
}

fn settings(checked: &CheckedOrder, proof: Option<&ProofFacts>) -> Settings {
    let Some(settlement) = &checked.inspection.answers.settlement else { return Settings::default() };
    Settings {
        meanings: meanings(settlement.targets.iter()),
        list: cv_list(settlement.targets.iter(), proof),
    }
}

/// One row for each wish and meaning, with all the CVs that hold it.
fn meanings<'a>(targets: impl Iterator<Item = &'a Target>) -> Vec<Setting> {
    let mut rows: BTreeMap<(String, String), Setting> = BTreeMap::new();
    let mut order = Vec::new();
    for target in targets {
        for because in &target.because {
            let key = (because.wish.to_string(), because.words.clone());
            let (what, to) = because.words.split_once(": ").map_or_else(
                || (last_step(because.wish.as_str()), because.words.clone()),
                |(what, to)| (what.to_owned(), to.to_owned()),
            );
            let row = rows.entry(key.clone()).or_insert_with(|| {
                order.push(key);
                Setting { topic: topic(because.wish.as_str()), what, to, cvs: Vec::new() }
            });
            row.cvs.push(CvContent {
                place: paper_place(target.place),
                bits: bits(because.mask),
                value: (target.value & because.mask) >> because.mask.trailing_zeros().min(7),
            });
        }
    }
    order.iter().filter_map(|key| rows.remove(key)).collect()
}

/// The whole list: what each CV holds where that is known, in full where wishes decide all of it.
fn cv_list<'a>(targets: impl Iterator<Item = &'a Target>, proof: Option<&ProofFacts>) -> Vec<CvRow> {
    targets
        .filter_map(|target| {
            let before = proof.and_then(|facts| facts.before.get(target.place));
            let whole = if target.mask == u8::MAX {
                Some(target.value)
            } else {
                before.map(|content| target.merged(content))
            };
            let after = proof.and_then(|facts| facts.after.get(target.place));
            let words: Vec<&str> = target.because.iter().map(|because| because.words.as_str()).collect();
            let value = whole?;
            Some(CvRow {
                place: paper_place(target.place),
                value,
                meaning: words.join("; "),
                previous: before,
                proof: match after {
                    None => Proven::Unread,
                    Some(content) if content == value => Proven::Same,
                    Some(content) => Proven::Differs(content),
                },
            })
        })
        .collect()
}

fn paper_place(place: datasheets::CvPlace) -> paper::CvPlace {
    paper::CvPlace { page: place.page, cv: place.cv }
}

/// The span of a mask; none for a whole CV. Masks of wishes have no holes.
fn bits(mask: u8) -> Option<BitRange> {
    let (lowest, highest) = (mask.trailing_zeros().min(7), 7 - mask.leading_zeros().min(7));
    let byte = |bit: u32| u8::try_from(bit).unwrap_or(7);
    (mask != u8::MAX).then(|| BitRange { lowest: byte(lowest), highest: byte(highest) })
}

fn topic(wish: &str) -> Topic {
    match wish.split('.').next() {
        Some("address") => Topic::Address,
        Some("manners") => Topic::Motion,
        Some("voice") => Topic::Voice,
        Some("levels") => Topic::Levels,
        Some("plan") => Topic::Lamps,
        _ => Topic::Keys,
    }
}

fn last_step(path: &str) -> String {
    path.rsplit('.').next().unwrap_or(path).replace('-', " ")
}

fn keys(order: &WorkOrder) -> Vec<Key> {
    order
        .keys
        .0
        .iter()
        .map(|(key, deeds)| Key {
            number: key.number(),
            deeds: deeds.0.iter().map(|deed| KeyDeed::new(deed.word())).collect(),
            note: deeds.0.contains(&Deed::Horn).then(|| "hold".to_owned()),
        })
        .collect()
}

fn train(member: &TrainMembership) -> TrainPlace {
    let units = member.train.unit.iter().zip(&member.orders).enumerate().map(|(index, (unit, order))| {
        let powers = unit.powers_train == Some(true);
        let leads = index == 0 || index + 1 == member.train.unit.len();
        let duties = [leads.then_some("horn and bell when it leads"), powers.then_some("powers the train")];
        TrainUnit {
            order: unit.order.to_string(),
            model: order.as_ref().map_or_else(String::new, |order| order.order.model.clone()),
            address: order.as_ref().and_then(|order| order.address.as_ref()).map_or_else(
                String::new,
                |address| {
                    let form = if address.form == AddressForm::Long { "long" } else { "short" };
                    format!("{} ({form})", address.number.get())
                },
            ),
            is_reversed: unit.direction == UnitDirection::Reversed,
            is_this: index == member.index,
            duties: duties.into_iter().flatten().map(str::to_owned).collect(),
        }
    });
    TrainPlace {
        title: member.train.train.title.clone().unwrap_or_else(|| member.train.train.name.to_string()),
        consist_address: member.train.train.consist_address.get().to_string(),
        units: units.collect(),
        notes: Vec::new(),
    }
}

/// The cautions that apply to what is in this model and was done to it.
fn cautions(desk: &Desk, order: &WorkOrder) -> Vec<Caution> {
    let mut cautions = vec![
        Caution::LiveRails,
        Caution::HotDecoder,
        Caution::SmallParts,
        Caution::Soldering,
        Caution::Static,
    ];
    let has_speakers = order.planned_speakers().next().is_some();
    if has_speakers {
        cautions.extend([Caution::LoudTests, Caution::Magnets]);
    }
    let plan = order.plan.as_ref();
    if plan.is_some_and(|plan| plan.keep_alive.is_some()) {
        cautions.push(Caution::KeepAlive);
    }
    let has_bulbs = plan.is_some_and(|plan| {
        plan.lamp.iter().any(|lamp| {
            let sheet = lamp.part.as_ref().and_then(|part| desk.shelf.lamps.get(part));
            sheet.is_some_and(|sheet| sheet.lamp.kind == datasheets::LampKind::Bulb) || lamp.found.is_some()
        })
    });
    if has_bulbs {
        cautions.push(Caution::HotLamps);
    }
    if order.survey.as_ref().is_some_and(|survey| survey.stall_current.is_some()) {
        cautions.push(Caution::StallTests);
    }
    cautions
}

/// The sources of the rules that spoke, each once.
fn sources(checked: &CheckedOrder) -> Vec<String> {
    let mut sources: Vec<String> = Vec::new();
    for finding in &checked.inspection.findings {
        let line = format!("{}: {}", finding.rule, finding.source);
        if !sources.contains(&line) {
            sources.push(line);
        }
    }
    sources
}

/// An order's card as a page that stands alone.
#[must_use]
pub fn card_page(desk: &Desk, checked: &CheckedOrder, proof: Option<&ProofFacts>, size: PaperSize) -> String {
    paper::card(&card_of(desk, checked, proof), size)
}

/// Writes an order's card as a page.
///
/// # Errors
/// A file that cannot be written.
pub fn write_card(
    desk: &Desk,
    checked: &CheckedOrder,
    proof: Option<&ProofFacts>,
    size: PaperSize,
    file: &Path,
) -> Result<(), ShopError> {
    write(file, card_page(desk, checked, proof, size).as_bytes())
}

/// Writes an order's card as a PDF, printed by an installed browser.
///
/// # Errors
/// As [`to_pdf`], and a file that cannot be written.
pub fn write_card_pdf(
    desk: &Desk,
    checked: &CheckedOrder,
    proof: Option<&ProofFacts>,
    size: PaperSize,
    file: &Path,
) -> Result<(), ShopError> {
    write(file, &to_pdf(&card_page(desk, checked, proof, size))?)
}

fn write(file: &Path, content: &[u8]) -> Result<(), ShopError> {
    if let Some(folder) = file.parent() {
        files::make_folder(folder)?;
    }
    files::write_whole(file, content)
}
