//! The work order.

use datasheets::{Deed, Key};
use documents::{Checked, Checker, Keyed, Name, OneOrMore};
use finding::Path;

use crate::motion::{Address, AddressForm, Contact, Manners};
use crate::parts::{Component, ComponentKind, Speaker};
use crate::plan::Plan;
use crate::progress::Progress;
use crate::survey::Survey;
use crate::terminal::Terminal;
use crate::voice::{Levels, Voice};

documents::words! {
    /// Scales (NEM 010; HO and O by NMRA).
    pub enum Scale: "a scale" {
        /// 1:220.
        Z = "Z",
        /// 1:160.
        N = "N",
        /// 1:120.
        TT = "TT",
        /// 1:87 by NEM.
        H0 = "H0",
        /// 1:87.09 by NMRA.
        HO = "HO",
        /// 1:64.
        S = "S",
        /// 1:48 by NMRA.
        O = "O",
        /// 1:45 by NEM.
        Zero = "0",
        /// 1:32.
        One = "1",
        /// 1:22.5.
        Two = "II",
    }
}

documents::record! {
    /// What the job is.
    pub struct OrderHead {
        /// Its number.
        pub number: Name,
        /// The model.
        pub model: String,
        /// Its scale.
        pub scale: Scale,
        /// Whose it is.
        pub client: Option<String>,
        /// The prototype: railway, class, number, year.
        pub prototype: Option<String>,
        /// What is wanted, in the client's words.
        pub wanted: Option<String>,
        /// The day it came in.
        pub received: Option<String>,
        /// Whether it is our invention.
        pub invented: Option<bool>,
        /// Anything else worth knowing.
        pub note: Option<String>,
    }
}

documents::record! {
    /// A stop that somebody took upon themselves, with the reason.
    pub struct Override {
        /// The rule that stops.
        pub rule: Name,
        /// Why it is set aside.
        pub reason: String,
    }
}

documents::record! {
    /// One locomotive's conversion, from opening the shell to handing it back.
    pub struct WorkOrder {
        /// What the job is.
        pub order: OrderHead,
        /// What was found and measured.
        pub survey: Option<Survey>,
        /// What shall be built.
        pub plan: Option<Plan>,
        /// What first contact showed.
        pub contact: Option<Contact>,
        /// The address to answer to.
        pub address: Option<Address>,
        /// How it shall move.
        pub manners: Option<Manners>,
        /// What it shall sound like.
        pub voice: Option<Voice>,
        /// How loud each sound shall be.
        pub levels: Option<Levels>,
        /// What each function key does.
        pub keys: Keyed<Key, OneOrMore<Deed>>,
        /// Stops that somebody took upon themselves.
        pub r#override: Vec<Override>,
        /// How far the work is, as far as somebody must say it.
        pub progress: Option<Progress>,
    }
}

impl WorkOrder {
    /// The speakers that will be in the model: those found and not taken out, and those put in. Each with the path of
    /// its facts.
    pub fn planned_speakers(&self) -> impl Iterator<Item = (Path, &Speaker)> {
        let goes_out =
            |speaker: &&Speaker| !self.plan.as_ref().is_some_and(|plan| plan.remove.contains(&speaker.name));
        let found = self.survey.iter().flat_map(|survey| &survey.speaker).filter(goes_out);
        let planned = self.plan.iter().flat_map(|plan| &plan.speaker);
        found
            .map(|speaker| (Path::new(format!("survey.speaker.{}", speaker.name)), speaker))
            .chain(planned.map(|speaker| (Path::new(format!("plan.speaker.{}", speaker.name)), speaker)))
    }
}

impl Checked for WorkOrder {
    fn check(&self, checker: &mut Checker) {
        let survey_names = self.survey.iter().flat_map(|survey| {
            named("survey.speaker", survey.speaker.iter().map(|speaker| &speaker.name))
                .chain(named("survey.component", survey.component.iter().map(|component| &component.name)))
        });
        let plan_names = self.plan.iter().flat_map(|plan| {
            named("plan.speaker", plan.speaker.iter().map(|speaker| &speaker.name))
                .chain(named("plan.component", plan.component.iter().map(|component| &component.name)))
        });
        checker.unique("speakers or components", survey_names.chain(plan_names));
        if let Some(survey) = &self.survey {
            checker.unique("pads", named("survey.pad", survey.pad.iter().map(|pad| &pad.name)));
            checker.unique("lamps", named("survey.lamp", survey.lamp.iter().map(|lamp| &lamp.name)));
        }
        if let Some(plan) = &self.plan {
            checker.unique("lamps", named("plan.lamp", plan.lamp.iter().map(|lamp| &lamp.name)));
        }
        self.check_parts(checker);
        self.check_numbers(checker);
    }
}

fn named<'a>(
    list: &'static str,
    names: impl Iterator<Item = &'a Name> + 'a,
) -> impl Iterator<Item = (Path, &'a Name)> {
    names.map(move |name| (Path::new(format!("{list}.{name}.name")), name))
}

impl WorkOrder {
    fn check_parts(&self, checker: &mut Checker) {
        let found =
            self.survey.iter().flat_map(|survey| survey.speaker.iter().map(|speaker| ("survey", speaker)));
        let planned = self.plan.iter().flat_map(|plan| plan.speaker.iter().map(|speaker| ("plan", speaker)));
        for (stage, speaker) in found.chain(planned) {
            let path = Path::new(format!("{stage}.speaker.{}", speaker.name));
            check_speaker(speaker, &path, checker);
        }
        let found = self
            .survey
            .iter()
            .flat_map(|survey| survey.component.iter().map(|component| ("survey", component)));
        let planned =
            self.plan.iter().flat_map(|plan| plan.component.iter().map(|component| ("plan", component)));
        for (stage, component) in found.chain(planned) {
            let path = Path::new(format!("{stage}.component.{}", component.name));
            check_component(component, &path, checker);
        }
    }

    fn check_numbers(&self, checker: &mut Checker) {
        if let Some(manners) = &self.manners
            && !matches!(manners.speed_table.len(), 0 | 28)
        {
            checker.fault(
                Path::new("manners.speed-table"),
                format!("the speed table has {} entries", manners.speed_table.len()),
                "write 28 numbers, for steps 1 to 28 (S-9.2.2 CV67 to CV94)",
            );
        }
        let stall_voltage = self.survey.as_ref().and_then(|survey| survey.stall_voltage);
        let track_voltage = self.plan.as_ref().and_then(|plan| plan.track_voltage);
        for (path, voltage) in
            [("survey.stall-voltage", stall_voltage), ("plan.track-voltage", track_voltage)]
        {
            if let Some(voltage) = voltage.filter(|voltage| voltage.as_volts() <= 0.0) {
                checker.fault(
                    Path::new(path),
                    format!("{voltage} between the rails"),
                    "write the amount alone, above zero: \"15 V\"",
                );
            }
        }
        for lamp in self.survey.iter().flat_map(|survey| &survey.lamp) {
            let is_nothing = lamp.voltage.is_some_and(|voltage| voltage.as_volts() <= 0.0)
                || lamp.current.is_some_and(|current| current.as_amperes() <= 0.0);
            if is_nothing {
                checker.fault(
                    Path::new(format!("survey.lamp.{}", lamp.name)),
                    "a lamp needs a voltage and a current above zero",
                    "write both, or leave out what was not measured",
                );
            }
        }
        if let Some(address) = &self.address {
            let number = address.number.get();
            if address.form == AddressForm::Short && !(1..=127).contains(&number) {
                checker.fault(
                    Path::new("address.number"),
                    format!("{number} is no short address"),
                    "short addresses are 1 to 127 (S-9.2.2 CV1); write `form = \"long\"` for this one",
                );
            }
        }
        for (index, entry) in self.r#override.iter().enumerate() {
            if entry.reason.trim().is_empty() {
                checker.fault(
                    Path::new(format!("override.{}.reason", index + 1)),
                    "an override without a reason",
                    "write why this stop may be set aside",
                );
            }
        }
    }
}

/// The least nominal impedance that is believed, as on speaker sheets; a shorted speaker is a wire between its leads.
const LEAST_IMPEDANCE_OHMS: f64 = 0.5;

fn check_name(name: &Name, path: &Path, checker: &mut Checker) {
    if Terminal::TAKEN.contains(&name.as_str()) {
        checker.fault(
            path.join("name"),
            format!("`{name}` means something else in wires"),
            "give it another name, like \"A\" or \"R1\"",
        );
    }
}

fn check_speaker(speaker: &Speaker, path: &Path, checker: &mut Checker) {
    check_name(&speaker.name, path, checker);
    if let Some(impedance) = speaker.impedance.filter(|ohms| ohms.as_ohms() < LEAST_IMPEDANCE_OHMS) {
        checker.fault(
            path.join("impedance"),
            format!("no speaker has {impedance}"),
            "write the nominal impedance: 4, 6, 8, 16 or 32 ohm",
        );
    }
    if let Some(rating) = speaker.rating.filter(|rating| rating.as_watts() <= 0.0) {
        checker.fault(
            path.join("rating"),
            format!("no speaker is rated {rating}"),
            "write the rated noise power",
        );
    }
    if !matches!(speaker.terminals.len(), 0 | 2) {
        checker.fault(
            path.join("terminals"),
            format!("speaker {} has {} leads", speaker.name, speaker.terminals.len()),
            "name its two leads, plus first where that is known: [\"red\", \"black\"]",
        );
    } else if speaker.terminals.len() == 2 && speaker.terminals[0] == speaker.terminals[1] {
        checker.fault(
            path.join("terminals"),
            "both leads have the same name",
            "name them differently, by colour or place",
        );
    }
    if speaker.part.is_none() && (speaker.impedance.is_none() || speaker.rating.is_none()) {
        checker.fault(
            path.clone(),
            format!("nothing tells what speaker {} is", speaker.name),
            "name its part sheet (`part = \"…\"`), or its `impedance` and `rating`",
        );
    }
}

fn check_component(component: &Component, path: &Path, checker: &mut Checker) {
    check_name(&component.name, path, checker);
    if component.capacitance.is_some_and(|capacitance| capacitance.as_farads() <= 0.0) {
        checker.fault(
            path.join("capacitance"),
            "a capacitor of nothing passes nothing",
            "write its value, or leave it out",
        );
    }
    let (key, is_there) = match component.kind {
        ComponentKind::Resistor => ("resistance", component.resistance.is_some()),
        ComponentKind::Capacitor => ("capacitance", component.capacitance.is_some()),
        ComponentKind::Inductor => ("inductance", component.inductance.is_some()),
    };
    if !is_there {
        checker.fault(
            path.clone(),
            format!("{} {} has no value", component.kind, component.name),
            format!("add `{key} = \"…\"`"),
        );
    }
}
