//! The usual causes, with how each is found and cured.
//!
//! Source: the reference text on practice, sections 2.1, 2.4 and 2.6; each entry names its rows.

/// A usual cause of trouble on the programming track.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// Nothing draws current.
    NothingOnTheRails,
    /// The contact comes and goes.
    ContactComesAndGoes,
    /// The rails are joined.
    RailsShorted,
    /// A brush touches frame or rail, and the decoder feeds it.
    MotorShortsWhenFed,
    /// The motor carries no pulse.
    MotorLeadOpen,
    /// The pulse is too small.
    PulseTooWeak,
    /// A keep-alive gives the pulse in place of the rails.
    KeepAliveHidesPulse,
    /// The programming track is too weak for the decoder.
    TrackTooWeak,
    /// The decoder lock is closed.
    LockClosed,
    /// Two decoders answer.
    TwoDecodersAnswer,
    /// It is another decoder.
    NotTheExpectedDecoder,
    /// The mode does not reach the CV.
    ModeTooSmall,
    /// The page of CV257 to CV512 is not taken.
    PageNotTaken,
    /// The decoder does not have the CV, or its maker fixed it.
    CvNotThere,
    /// The decoder is broken.
    DecoderDead,
}

impl Cause {
    /// All of them, those first whose test is cheap and safe.
    pub const ALL: [Self; 15] = [
        Self::NothingOnTheRails,
        Self::ContactComesAndGoes,
        Self::RailsShorted,
        Self::MotorShortsWhenFed,
        Self::TwoDecodersAnswer,
        Self::NotTheExpectedDecoder,
        Self::LockClosed,
        Self::ModeTooSmall,
        Self::PageNotTaken,
        Self::CvNotThere,
        Self::MotorLeadOpen,
        Self::PulseTooWeak,
        Self::KeepAliveHidesPulse,
        Self::TrackTooWeak,
        Self::DecoderDead,
    ];

    /// What is known about it.
    #[must_use]
    pub fn text(self) -> &'static CauseText {
        match self {
            Self::NothingOnTheRails => &NOTHING_ON_THE_RAILS,
            Self::ContactComesAndGoes => &CONTACT_COMES_AND_GOES,
            Self::RailsShorted => &RAILS_SHORTED,
            Self::MotorShortsWhenFed => &MOTOR_SHORTS_WHEN_FED,
            Self::MotorLeadOpen => &MOTOR_LEAD_OPEN,
            Self::PulseTooWeak => &PULSE_TOO_WEAK,
            Self::KeepAliveHidesPulse => &KEEP_ALIVE_HIDES_PULSE,
            Self::TrackTooWeak => &TRACK_TOO_WEAK,
            Self::LockClosed => &LOCK_CLOSED,
            Self::TwoDecodersAnswer => &TWO_DECODERS_ANSWER,
            Self::NotTheExpectedDecoder => &NOT_THE_EXPECTED_DECODER,
            Self::ModeTooSmall => &MODE_TOO_SMALL,
            Self::PageNotTaken => &PAGE_NOT_TAKEN,
            Self::CvNotThere => &CV_NOT_THERE,
            Self::DecoderDead => &DECODER_DEAD,
        }
    }

    /// Whether the power must stay off until it is found.
    #[must_use]
    pub fn is_dangerous(self) -> bool {
        matches!(self, Self::RailsShorted | Self::MotorShortsWhenFed)
    }
}

/// What is known about a cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CauseText {
    /// Its name, which is the name of the finding's rule.
    pub name: &'static str,
    /// One line that says what it is.
    pub what: &'static str,
    /// Why it shows as it does.
    pub why: &'static str,
    /// The next test: what to do to be sure.
    pub next_test: &'static str,
    /// What to do once it is sure.
    pub cure: &'static str,
    /// Where it is from.
    pub source: &'static str,
}

/// What is known about the cause of this name.
#[must_use]
pub fn explain_cause(name: &str) -> Option<&'static CauseText> {
    Cause::ALL.into_iter().map(Cause::text).find(|text| text.name == name)
}

const NOTHING_ON_THE_RAILS: CauseText = CauseText {
    name: "nothing-on-the-rails",
    what: "the decoder gets no power",
    why: "a decoder draws some milliamperes as soon as the rails have power; none means wrong track, an output that is not \
          wired, dirty wheels or a pickup lead that is off",
    next_test: "put a locomotive that is known to read on the same track; then a test lamp across the rails",
    cure: "wire the output, clean wheels and rails, mend the pickup lead",
    source: "practice, row 38",
};
const CONTACT_COMES_AND_GOES: CauseText = CauseText {
    name: "contact-comes-and-goes",
    what: "the contact between rails and decoder comes and goes",
    why: "while contact is lost the current falls to nothing and packets are missed, so answers are missing or late",
    next_test: "press the locomotive down and read CV8 again; measure each wheel to the decoder's lead: below 1 ohm",
    cure: "clean wheels and rails, bend the pickups; put a weight on the locomotive while it is programmed",
    source: "practice, rows 12 and 38",
};
const RAILS_SHORTED: CauseText = CauseText {
    name: "rails-shorted",
    what: "something joins the rails",
    why: "more than 250 mA after 100 ms is a short or a load that no decoder at rest is",
    next_test: "power off: measure rail to rail with the decoder out, coupled and apart, trucks swung both ways: above 10 kohm",
    cure: "find what bridges the rails: drawbar, truck turned round, handrail, filings",
    source: "S-9.2.3 §E; practice, rows 9 and 14, and section 2.6",
};
const MOTOR_SHORTS_WHEN_FED: CauseText = CauseText {
    name: "motor-shorts-when-fed",
    what: "the motor touches a rail or the frame: the acknowledgement itself is a short",
    why: "a decoder answers by feeding the motor; a brush on the frame lets far more flow than the motor alone would",
    next_test: "power off, decoder out: measure each brush to the frame and to each rail: OL, above 1 Mohm",
    cure: "insulate the brush or tab before any more power is put on; the decoder's motor output may have suffered",
    source: "practice, rows 1 and 3",
};
const MOTOR_LEAD_OPEN: CauseText = CauseText {
    name: "motor-lead-open",
    what: "nothing carries the acknowledgement: a motor lead is open",
    why: "the decoder is there and draws its quiescent current, but the pulse of 60 mA goes through the motor",
    next_test: "decoder out: measure across its motor outputs: 12 to 50 ohm",
    cure: "solder the motor lead, see to brushes and plug; in a vehicle without a motor put a resistor there",
    source: "practice, row 36; S-9.2.3 §D",
};
const PULSE_TOO_WEAK: CauseText = CauseText {
    name: "pulse-too-weak",
    what: "the decoder answers, but with less than 60 mA",
    why: "the current rises as it does for an acknowledgement, but not far enough to count: a motor of high resistance, a \
          lamp or resistor in its place, or a poor joint in its lead",
    next_test: "decoder out: measure across its motor outputs: above 130 ohm, less than 60 mA flows at 8 V",
    cure: "lower the resistance across the motor outputs while programming: 100 ohm beside it will do",
    source: "practice, row 36; S-9.2.3 §D",
};
const KEEP_ALIVE_HIDES_PULSE: CauseText = CauseText {
    name: "keep-alive-hides-pulse",
    what: "the keep-alive gives the acknowledgement in place of the rails",
    why: "a full keep-alive feeds the motor for the 6 ms of the pulse, so that the rails hardly see it; an empty one draws \
          current while it fills up",
    next_test: "take the keep-alive off, or wait until it is full, and read CV8 again",
    cure: "program without the keep-alive; fit it with a switch or plug",
    source: "practice, rows 14 and 37",
};
const TRACK_TOO_WEAK: CauseText = CauseText {
    name: "track-too-weak",
    what: "the decoder needs more, or takes it less steadily, than the programming track bears",
    why: "above 100 mA of quiescent current, or with a current that swings by more than 30 mA, a step of 60 mA is hard to tell",
    next_test: "read the quiescent current: at most 100 mA and steady; switch the sound off and read again",
    cure: "use a booster for the programming track; take lamps and keep-alive off while programming",
    source: "practice, row 37; S-9.2.3 §E; RCN-216 (digest)",
};
const LOCK_CLOSED: CauseText = CauseText {
    name: "lock-closed",
    what: "the decoder lock is closed: CV15 and CV16 differ",
    why: "a locked decoder refuses writes (S-9.2.2), and by RCN-225 reading too; only CV15 can be written",
    next_test: "write the likely lock number to CV15: 1 motor, 2 sound, 3 other; then read CV8",
    cure: "write the content of CV16 to CV15, and note the lock number in the dossier",
    source: "practice, row 39; S-9.2.2 and RCN-225 CV15/16",
};
const TWO_DECODERS_ANSWER: CauseText = CauseText {
    name: "two-decoders-answer",
    what: "two decoders answer together",
    why: "each says yes to its own value: bits are acknowledged as 1 and as 0, and readings contradict each other",
    next_test: "look for a second decoder or sound module; read CV8 with one of them unplugged",
    cure: "unplug one, or give them different numbers in CV16 and lock the one that is not meant",
    source: "practice, rows 40 and 41",
};
const NOT_THE_EXPECTED_DECODER: CauseText = CauseText {
    name: "not-the-expected-decoder",
    what: "another decoder is on the track than the one that is meant",
    why: "CV8 and CV7, or what other CVs hold, are not what they should be",
    next_test: "compare CV8 and CV7 with the sheet and with the label of the decoder",
    cure: "put the right locomotive on the track, or name the decoder that is really in it",
    source: "practice, row 41",
};
const MODE_TOO_SMALL: CauseText = CauseText {
    name: "mode-too-small",
    what: "the decoder obeys only a mode that does not reach this CV",
    why: "address-only mode reaches CV1, register mode eight registers; direct mode was tried and not obeyed",
    next_test: "read CV8 with another programmer in direct mode; a noisy contact can make direct mode fail",
    cure: "program the CV on the main, where the decoder hears all of them",
    source: "S-9.2.3 §E and §F",
};
const PAGE_NOT_TAKEN: CauseText = CauseText {
    name: "page-not-taken",
    what: "the decoder does not take the page of CV257 to CV512",
    why: "CV31 and CV32 must hold the page before such a CV is reached; a decoder without pages has neither",
    next_test: "read CV31 and CV32",
    cure: "choose the sheet of the decoder that is really there; open its lock if it has one",
    source: "practice, row 47; S-9.2.2 CV31/32",
};
const CV_NOT_THERE: CauseText = CauseText {
    name: "cv-not-there",
    what: "the decoder does not have this CV, or not all of its bits",
    why: "a missing CV acknowledges every bit and no value; a bit for a feature that the decoder lacks must not be set",
    next_test: "look the CV up in the decoder's own manual",
    cure: "correct the sheet; the nearest that the decoder can do is what it holds now",
    source: "RCN-214 (digest); S-9.2.2 and RCN-225, rule for bit-coded CVs; practice, row 46",
};
const DECODER_DEAD: CauseText = CauseText {
    name: "decoder-dead",
    what: "the decoder is broken",
    why: "it draws current and does nothing; that is left when everything else is ruled out",
    next_test: "put the decoder on a test load, or a known good decoder into this socket",
    cure: "find what killed it (motor to frame, stall current, socket) before the next one goes in",
    source: "practice, rows 3, 4 and 7, and section 2.6",
};
