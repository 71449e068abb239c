//! Roles: where a setting lives in a decoder, and what its numbers mean.

use std::fmt;
use std::str::FromStr;

use documents::declared::serde_json::{Value, json};
use documents::{Bounded, Checker, Definitions, Node, Read, Reader};
use finding::Path;
use quantities::{Duration, Gain};

use crate::key::Key;
use crate::words::Choice;

/// A CV's number.
pub type CvNumber = Bounded<1, 1024>;
/// A CV's content.
pub type CvValue = Bounded<0, 255>;

documents::words! {
    /// The sounds that have a recording and a level of their own.
    pub enum VoicePart: "a part of the voice" {
        /// Prime mover.
        Engine = "engine",
        /// Horn or whistle.
        Horn = "horn",
        /// Bell.
        Bell = "bell",
        /// Head-end power.
        HeadEndPower = "head-end-power",
        /// Dynamic brake.
        DynamicBrake = "dynamic-brake",
    }
}

/// What a setting is for, in words: `voice.horn`, `level.master`, `output.3.effect`, `key.F2`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RoleName {
    /// Which recording a part of the voice uses.
    Voice(VoicePart),
    /// How loud a part of the voice is.
    Level(VoicePart),
    /// How loud all of it is.
    MasterLevel,
    /// How the lamp on a function output behaves.
    OutputEffect(u8),
    /// How bright a function output is.
    OutputBrightness(u8),
    /// What a function key does.
    KeyDeed(Key),
}

impl fmt::Display for RoleName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Voice(part) => write!(f, "voice.{part}"),
            Self::Level(part) => write!(f, "level.{part}"),
            Self::MasterLevel => f.write_str("level.master"),
            Self::OutputEffect(output) => write!(f, "output.{output}.effect"),
            Self::OutputBrightness(output) => write!(f, "output.{output}.brightness"),
            Self::KeyDeed(key) => write!(f, "key.{key}"),
        }
    }
}

impl FromStr for RoleName {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let part = |word: &str| VoicePart::ALL.iter().copied().find(|part| part.word() == word);
        let output = |digits: &str| digits.parse::<u8>().ok().filter(|number| *number >= 1);
        let mut steps = text.split('.');
        let found = match (steps.next(), steps.next(), steps.next(), steps.next()) {
            (Some("voice"), Some(word), None, None) => part(word).map(Self::Voice),
            (Some("level"), Some("master"), None, None) => Some(Self::MasterLevel),
            (Some("level"), Some(word), None, None) => part(word).map(Self::Level),
            (Some("output"), Some(digits), Some("effect"), None) => output(digits).map(Self::OutputEffect),
            (Some("output"), Some(digits), Some("brightness"), None) => {
                output(digits).map(Self::OutputBrightness)
            }
            (Some("key"), Some(key), None, None) => key.parse().ok().map(Self::KeyDeed),
            _ => None,
        };
        found.ok_or_else(|| {
            let parts: Vec<&str> = VoicePart::ALL.iter().map(|part| part.word()).collect();
            format!(
                "roles are `voice.PART`, `level.PART`, `level.master`, `output.N.effect`, `output.N.brightness` and `key.FN`, \
                 with PART one of {}",
                parts.join(", ")
            )
        })
    }
}

impl Read for RoleName {
    fn read(node: &Node<'_>, reader: &mut Reader) -> Option<Self> {
        let text = reader.text(node, "a role")?;
        text.parse().map_err(|help: String| reader.fault(node, format!("`{text}` is not a role"), help)).ok()
    }

    fn schema(_: &mut Definitions) -> Value {
        json!({ "type": "string", "examples": ["voice.horn", "level.master", "output.3.effect", "key.F2"] })
    }
}

/// Which bits of a CV belong to a role: `"3"` or `"0-3"`, numbered from 0 as the standard does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BitRange {
    lowest: u8,
    highest: u8,
}

impl BitRange {
    /// All eight bits.
    pub const WHOLE: BitRange = BitRange { lowest: 0, highest: 7 };

    /// A checked range, both ends included.
    #[must_use]
    pub fn new(lowest: u8, highest: u8) -> Option<Self> {
        (lowest <= highest && highest <= 7).then_some(Self { lowest, highest })
    }

    /// The bits as a mask of the CV.
    #[must_use]
    pub fn mask(self) -> u8 {
        (u8::MAX >> (7 - self.highest)) & (u8::MAX << self.lowest)
    }

    /// The largest value that these bits hold.
    #[must_use]
    pub fn most(self) -> u8 {
        self.mask() >> self.lowest
    }

    /// A value put in place; none where it needs more bits.
    #[must_use]
    pub fn place(self, value: u8) -> Option<u8> {
        (value <= self.most()).then(|| value << self.lowest)
    }

    /// The value that a CV's content holds in these bits.
    #[must_use]
    pub fn extract(self, content: u8) -> u8 {
        (content & self.mask()) >> self.lowest
    }
}

impl fmt::Display for BitRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.lowest == self.highest {
            write!(f, "{}", self.lowest)
        } else {
            write!(f, "{}-{}", self.lowest, self.highest)
        }
    }
}

impl Read for BitRange {
    fn read(node: &Node<'_>, reader: &mut Reader) -> Option<Self> {
        let text = reader.text(node, "bits like \"3\" or \"0-3\"")?;
        let (lowest, highest) = text.split_once('-').unwrap_or((text, text));
        let range = match (lowest.trim().parse(), highest.trim().parse()) {
            (Ok(lowest), Ok(highest)) => Self::new(lowest, highest),
            _ => None,
        };
        if range.is_none() {
            reader.fault(
                node,
                format!("`{text}` are not bits of a CV"),
                "a CV has bits 0 to 7: write \"3\" or \"0-3\"",
            );
        }
        range
    }

    fn schema(_: &mut Definitions) -> Value {
        json!({ "type": "string", "pattern": "^[0-7](-[0-7])?$" })
    }
}

documents::record! {
    /// A page of CV257–512: what CV31 and CV32 must hold (S-9.2.2 CV31/32; reference text 4.11).
    pub struct IndexPage {
        /// CV31.
        pub high: CvValue,
        /// CV32.
        pub low: CvValue,
    }
}

/// A CV told from all others of a decoder: its number and, for CV257–512, its page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CvPlace {
    /// CV31 and CV32, where the CV is seen through a page.
    pub page: Option<(u8, u8)>,
    /// The CV's number.
    pub cv: u16,
}

impl fmt::Display for CvPlace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.page {
            None => write!(f, "CV{}", self.cv),
            Some((high, low)) => write!(f, "CV{} (page {high}/{low})", self.cv),
        }
    }
}

documents::words! {
    /// How a register's number turns into a physical thing.
    pub enum LawKind: "a law" {
        /// The number is an amplitude: n plays at 20·log10(n/full) dB.
        Amplitude = "amplitude",
        /// The number counts decibels: n plays at (n − zero)·step.
        Decibels = "decibels",
        /// The number is a share: n is n/full of the whole.
        Share = "share",
        /// The number counts time: n lasts n·second.
        Seconds = "seconds",
    }
}

documents::record! {
    /// The law of a register.
    pub struct Law {
        /// Which law.
        pub kind: LawKind,
        /// The number that stands for the whole: laws `amplitude` and `share`.
        pub full: Option<Bounded<1, 255>>,
        /// The number that stands for 0 dB: law `decibels`.
        pub zero: Option<CvValue>,
        /// What one count is worth: law `decibels`.
        pub step: Option<Gain>,
        /// What one count is worth: law `seconds`.
        pub second: Option<Duration>,
    }
}

documents::record! {
    /// A CV value that must be there before a role may be written.
    pub struct Setting {
        /// The CV.
        pub cv: CvNumber,
        /// Its value.
        pub value: CvValue,
    }
}

documents::record! {
    /// Where a setting lives in a decoder and what its numbers mean.
    pub struct Role {
        /// What the setting is for.
        pub name: RoleName,
        /// The CV it lives in.
        pub cv: CvNumber,
        /// The bits of that CV that are its own; all eight when left out.
        pub bits: Option<BitRange>,
        /// The page that must be selected; only for CV257–512.
        pub page: Option<IndexPage>,
        /// The value the decoder is delivered with, before it is shifted to its bits.
        pub default: Option<CvValue>,
        /// The least value that the decoder accepts.
        pub least: Option<CvValue>,
        /// The greatest value that the decoder accepts.
        pub most: Option<CvValue>,
        /// What each value stands for.
        pub choices: Vec<Choice>,
        /// How the number turns into a physical thing.
        pub law: Option<Law>,
        /// What must be written first.
        pub before: Vec<Setting>,
        /// Anything else worth knowing.
        pub note: Option<String>,
    }
}

impl Role {
    /// The role's bits.
    #[must_use]
    pub fn bit_range(&self) -> BitRange {
        self.bits.unwrap_or(BitRange::WHOLE)
    }

    /// The role's CV with its page.
    #[must_use]
    pub fn place(&self) -> CvPlace {
        CvPlace { page: self.page.as_ref().map(IndexPage::pair), cv: self.cv.get() }
    }

    /// The least and greatest value that may be written.
    #[must_use]
    pub fn limits(&self) -> (u8, u8) {
        let most = self.bit_range().most();
        (self.least.map_or(0, value), self.most.map_or(most, value).min(most))
    }

    pub(crate) fn check(&self, path: &Path, checker: &mut Checker) {
        let bits = self.bit_range();
        let too_big = |value: CvValue| value.get() > u16::from(bits.most());
        if let Some(default) = self.default.filter(|default| too_big(*default)) {
            checker.fault(
                path.join("default"),
                format!("the default {} does not fit into bits {bits}", default.get()),
                format!("bits {bits} hold 0 to {}", bits.most()),
            );
        }
        check_page(self.cv.get(), self.page.as_ref(), path, checker);
        check_choices(&self.choices, bits, path, checker);
        if let (Some(least), Some(most)) = (self.least, self.most)
            && least > most
        {
            checker.fault(
                path.join("least"),
                format!("least {} is above most {}", least.get(), most.get()),
                "swap them",
            );
        }
        if let Some(law) = &self.law {
            law.check(&path.join("law"), checker);
        }
    }
}

impl IndexPage {
    /// CV31 and CV32.
    #[must_use]
    pub fn pair(&self) -> (u8, u8) {
        (value(self.high), value(self.low))
    }
}

impl Law {
    fn check(&self, path: &Path, checker: &mut Checker) {
        let missing = match self.kind {
            LawKind::Amplitude | LawKind::Share => self.full.is_none().then_some("full"),
            LawKind::Decibels => {
                if self.zero.is_none() {
                    Some("zero")
                } else {
                    self.step.is_none().then_some("step")
                }
            }
            LawKind::Seconds => self.second.is_none().then_some("second"),
        };
        if let Some(key) = missing {
            checker.fault(
                path.clone(),
                format!("the law `{}` needs `{key}`", self.kind),
                format!("add `{key} = …`"),
            );
        }
    }
}

/// A bounded number as the byte it is.
pub(crate) fn value(number: CvValue) -> u8 {
    // The bounds of the type keep it within a byte.
    u8::try_from(number.get()).unwrap_or(u8::MAX)
}

pub(crate) fn check_page(cv: u16, page: Option<&IndexPage>, path: &Path, checker: &mut Checker) {
    let is_indexed = (257..=512).contains(&cv);
    if page.is_some() && !is_indexed {
        checker.fault(
            path.join("page"),
            format!("CV{cv} is not seen through a page"),
            "pages are for CV257 to CV512 only (S-9.2.2 CV31/32)",
        );
    }
    if page.is_none() && is_indexed {
        checker.fault(
            path.join("cv"),
            format!("CV{cv} is seen through a page, but no page is given"),
            "add `page = { high = …, low = … }`; page 0/1 is plain CV257–512 (RCN-225)",
        );
    }
}

pub(crate) fn check_choices(choices: &[Choice], bits: BitRange, path: &Path, checker: &mut Checker) {
    for (index, choice) in choices.iter().enumerate() {
        let at = path.join("choices").join(index + 1).join("value");
        if choice.value.get() > u16::from(bits.most()) {
            let help = format!("bits {bits} hold 0 to {}", bits.most());
            checker.fault(
                at,
                format!("the value {} does not fit into bits {bits}", choice.value.get()),
                help,
            );
        } else if choices[..index].iter().any(|earlier| earlier.value == choice.value) {
            checker.fault(at, format!("the value {} is given twice", choice.value.get()), "keep one of them");
        }
    }
}
