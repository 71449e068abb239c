//! Decoder sheets.

use std::collections::BTreeMap;
use std::str::FromStr;

use documents::declared::serde_json::{Value, json};
use documents::{Bounded, Checked, Checker, Definitions, Keyed, Name, Node, Read, Reader};
use finding::Path;
use quantities::{Current, Duration, Power, Resistance, Voltage};

use crate::key::CvKey;
use crate::key_map::{KeyMap, KeyMapMethod};
use crate::part::{Part, Size};
use crate::role::{CvPlace, CvValue, Role, RoleName, value};
use crate::words::{Choice, Deed};

documents::words! {
    /// What a function output can drive.
    pub enum OutputKind: "a kind of output" {
        /// A switch to minus that drives a lamp.
        Amplified = "amplified",
        /// A signal for another switch, at most 0.5 mA (NEM 660): never a lamp.
        Logic = "logic",
        /// No pin at all: something inside, such as a sound.
        Internal = "internal",
    }
}

documents::words! {
    /// The ways of service-mode programming (S-9.2.3).
    pub enum ServiceMode: "a service mode" {
        /// CV number and value in one packet; bits too.
        Direct = "direct",
        /// Through the page register.
        Paged = "paged",
        /// Eight registers.
        Register = "register",
        /// CV1 only.
        AddressOnly = "address-only",
    }
}

documents::words! {
    /// Which standard's text a decoder follows where the two differ (CV20, CV22, CV27, CV28).
    pub enum StandardReading: "a standard" {
        /// NMRA S-9.2.2.
        Nmra = "NMRA",
        /// RailCommunity RCN-225.
        Rcn = "RCN",
    }
}

/// A span of CVs, `"1-8"` or `"29"`, that a decoder has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CvRange {
    /// First CV.
    pub first: u16,
    /// Last CV, included.
    pub last: u16,
}

impl Read for CvRange {
    fn read(node: &Node<'_>, reader: &mut Reader) -> Option<Self> {
        let text = reader.text(node, "CVs like \"29\" or \"1-8\"")?;
        text.parse()
            .map_err(|help: String| reader.fault(node, format!("`{text}` is not a span of CVs"), help))
            .ok()
    }

    fn schema(_: &mut Definitions) -> Value {
        json!({ "type": "string", "pattern": "^[0-9]+(-[0-9]+)?$" })
    }
}

documents::record! {
    /// The sound amplifier.
    pub struct Amplifier {
        /// Sine power into the load below.
        pub power: Power,
        /// The load at which that power is told.
        pub load: Resistance,
        /// The least nominal load that it stands.
        pub least_load: Resistance,
    }
}

documents::record! {
    /// A function output.
    pub struct Output {
        /// Its number in the standard's matrix: 1 front light, 2 rear light, 3 AUX1 …
        pub number: Bounded<1, 32>,
        /// Its name on the pads or pins.
        pub name: Name,
        /// What it can drive.
        pub kind: OutputKind,
        /// The current it stands.
        pub current: Option<Current>,
        /// What it sets off, for internal outputs: a sound.
        pub does: Option<Deed>,
    }
}

documents::record! {
    /// Electrical, mechanical and standard facts of a decoder.
    pub struct DecoderData {
        /// The sockets it plugs into, by sheet name; `"wires"` for one with free leads.
        pub sockets: Vec<Name>,
        /// Outer size without wires.
        pub size: Option<Size>,
        /// Motor current it stands for ever.
        pub motor_current: Current,
        /// Motor current it stands for a moment.
        pub motor_peak: Option<Current>,
        /// Everything together.
        pub total_current: Option<Current>,
        /// Highest track voltage.
        pub most_voltage: Option<Voltage>,
        /// Maker's number in CV8; 13 is the standard's number for home-made and public-domain decoders.
        pub manufacturer: CvValue,
        /// Version number in CV7.
        pub version: CvValue,
        /// Ways of service-mode programming; address-only is always there.
        pub modes: Vec<ServiceMode>,
        /// Which standard's text it follows.
        pub reading: StandardReading,
        /// The CVs it has, besides those of its roles.
        pub cvs: Vec<CvRange>,
        /// What one count of CV3 and CV4 adds to the time from stop to full speed; 0.896 s by S-9.2.2.
        pub momentum_count: Option<Duration>,
        /// Whether CV15 and CV16 lock it.
        pub lock: bool,
        /// Idle current on the programming track.
        pub idle_current: Option<Current>,
        /// Whether a keep-alive can be joined to it.
        pub keep_alive: Option<bool>,
    }
}

documents::record! {
    /// The sheet of a decoder.
    pub struct DecoderSheet {
        /// The head of the sheet.
        pub part: Part,
        /// Electrical, mechanical and standard facts.
        pub decoder: DecoderData,
        /// The sound amplifier, of a sound decoder.
        pub amplifier: Option<Amplifier>,
        /// Function outputs.
        pub output: Vec<Output>,
        /// How keys are tied to what they do.
        pub key_map: KeyMap,
        /// Where settings live.
        pub role: Vec<Role>,
        /// What plain CVs hold on delivery; CVs left out hold the standard's default.
        pub defaults: Keyed<CvKey, CvValue>,
    }
}

impl DecoderSheet {
    /// The role of a name, as written in the sheet or as it follows from the key table.
    #[must_use]
    pub fn role(&self, name: RoleName) -> Option<Role> {
        self.role
            .iter()
            .find(|role| role.name == name)
            .cloned()
            .or_else(|| self.key_map.key_roles().into_iter().find(|role| role.name == name))
    }

    /// All roles: those written in the sheet and those of the key table.
    #[must_use]
    pub fn roles(&self) -> Vec<Role> {
        self.role.iter().cloned().chain(self.key_map.key_roles()).collect()
    }

    /// The output of a number.
    #[must_use]
    pub fn output(&self, number: u16) -> Option<&Output> {
        self.output.iter().find(|output| output.number.get() == number)
    }

    /// Whether the decoder has a CV.
    #[must_use]
    pub fn has(&self, place: CvPlace) -> bool {
        let is_plain = place.page.is_none()
            && self.decoder.cvs.iter().any(|range| (range.first..=range.last).contains(&place.cv));
        is_plain || self.content_on_delivery().contains_key(&place)
    }

    /// What a wanted deed is called forth by, for a sound on board: the choices that are not silence.
    #[must_use]
    pub fn recordings(&self, name: RoleName) -> Vec<Choice> {
        self.role(name).map_or_else(Vec::new, |role| {
            role.choices.into_iter().filter(|choice| choice.is.present != Some(false)).collect()
        })
    }

    /// The content of every CV that the sheet speaks of, on delivery. Plain CVs without a word in the sheet are not here:
    /// the standard's defaults hold for them.
    #[must_use]
    pub fn content_on_delivery(&self) -> BTreeMap<CvPlace, u8> {
        let mut content = BTreeMap::new();
        for role in self.roles() {
            let default = role.bit_range().place(role.default.map_or(0, value)).unwrap_or(0);
            *content.entry(role.place()).or_insert(0) |= default;
        }
        for entry in &self.key_map.deed {
            let place = CvPlace { page: entry.page.as_ref().map(crate::IndexPage::pair), cv: entry.cv.get() };
            content.insert(place, entry.default.map_or(self.key_map.no_key_value(), value));
        }
        for (key, default) in &self.defaults.0 {
            content.insert(CvPlace { page: None, cv: key.number() }, value(*default));
        }
        content
    }
}

impl Checked for DecoderSheet {
    fn check(&self, checker: &mut Checker) {
        let path = |list: &str, index: usize| Path::new(format!("{list}.{}", index + 1));
        let output_path = |output: &Output| Path::new(format!("output.{}.number", output.name));
        checker.unique(
            "outputs",
            self.output
                .iter()
                .map(|output| (Path::new(format!("output.{}.name", output.name)), &output.name)),
        );
        for (index, output) in self.output.iter().enumerate() {
            if self.output[..index].iter().any(|earlier| earlier.number == output.number) {
                checker.fault(
                    output_path(output),
                    format!("output number {} is given twice", output.number.get()),
                    "number each output once",
                );
            }
        }
        // Roles have a `name` key, so their paths hold it; role names have dots and are therefore told by number.
        for (index, role) in self.role.iter().enumerate() {
            role.check(&path("role", index), checker);
            if self.role[..index].iter().any(|earlier| earlier.name == role.name) {
                checker.fault(
                    path("role", index).join("name"),
                    format!("the role `{}` is given twice", role.name),
                    "keep one of them",
                );
            }
        }
        self.check_overlaps(checker);
        self.key_map.check(&Path::new("key-map"), checker);
        if let Some(amplifier) = &self.amplifier
            && amplifier.load < amplifier.least_load
        {
            checker.fault(
                Path::new("amplifier.load"),
                format!(
                    "the power is told at {}, below the least load {}",
                    amplifier.load, amplifier.least_load
                ),
                "tell the power at a load that the amplifier stands",
            );
        }
    }
}

impl DecoderSheet {
    /// Roles that claim the same bits of the same CV.
    fn check_overlaps(&self, checker: &mut Checker) {
        let mut owners: BTreeMap<(CvPlace, u8), RoleName> = BTreeMap::new();
        let n_written = self.role.len();
        for (index, role) in self.roles().iter().enumerate() {
            let path = if index < n_written {
                Path::new(format!("role.{}.cv", index + 1))
            } else {
                Path::new("key-map.cv")
            };
            let bits = (0..8).filter(|bit| role.bit_range().mask() & (1 << bit) != 0);
            let clash = bits.filter_map(|bit| owners.insert((role.place(), bit), role.name)).next();
            if let Some(other) = clash {
                checker.fault(
                    path,
                    format!("roles `{other}` and `{}` overlap in {}", role.name, role.place()),
                    "give each role bits of its own (`bits = \"0-3\"`)",
                );
            }
        }
        if self.key_map.method == KeyMapMethod::DeedTable {
            for (index, entry) in self.key_map.deed.iter().enumerate() {
                let place =
                    CvPlace { page: entry.page.as_ref().map(crate::IndexPage::pair), cv: entry.cv.get() };
                if let Some(other) = owners.get(&(place, 0)) {
                    checker.fault(
                        Path::new(format!("key-map.deed.{}.cv", index + 1)),
                        format!("role `{other}` and the row for `{}` overlap in {place}", entry.does),
                        "give each its own CV",
                    );
                }
            }
        }
    }
}

impl FromStr for CvRange {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let (first, last) = text.split_once('-').unwrap_or((text, text));
        first
            .trim()
            .parse()
            .ok()
            .zip(last.trim().parse().ok())
            .filter(|(first, last)| *first >= 1 && first <= last && *last <= 1024)
            .map(|(first, last)| Self { first, last })
            .ok_or_else(|| "write \"29\" or \"1-8\", within 1 to 1024".to_owned())
    }
}
