//! Weighing: what speaks for and against each cause.
//!
//! The weights are our own judgement of the rows that each cause names; what matters is their order, which the tests
//! hold against the faults of the demo. Ten is as good as proof, two is a hint.

use datasheets::CvPlace;

use super::cause::Cause;
use super::symptoms::{Facts, Symptoms};
use crate::acknowledgement::{Evidence, Excess, limits};
use crate::link::LinkError;
use crate::programmer::{PowerOnReading, PowerOnState};
use crate::run::RunError;
use crate::standard::{PAGE_HIGH, PAGE_LOW, plain};
use crate::strategy::{Content, IdentityError};

/// What speaks for and against a cause.
#[derive(Debug, Clone, Default)]
pub(super) struct Weighed {
    pub(super) weight: i32,
    pub(super) fits: Vec<String>,
    pub(super) contradicts: Vec<String>,
}

impl Weighed {
    fn fits(&mut self, is_so: bool, weight: i32, reason: impl FnOnce() -> String) {
        if is_so {
            self.weight += weight;
            self.fits.push(reason());
        }
    }

    fn contradicts(&mut self, is_so: bool, weight: i32, reason: impl FnOnce() -> String) {
        if is_so {
            self.weight -= weight;
            self.contradicts.push(reason());
        }
    }
}

/// Less than this is no rise but noise, mA (own choice: a few standard deviations of a decent track).
const SOME_RISE: f64 = 8.0;

pub(super) fn weigh(cause: Cause, symptoms: &Symptoms, facts: &Facts) -> Weighed {
    let seen = Seen { symptoms, facts };
    let mut weighed = Weighed::default();
    match cause {
        Cause::NothingOnTheRails => seen.nothing_on_the_rails(&mut weighed),
        Cause::ContactComesAndGoes => seen.contact_comes_and_goes(&mut weighed),
        Cause::RailsShorted => seen.rails_shorted(&mut weighed),
        Cause::MotorShortsWhenFed => seen.motor_shorts_when_fed(&mut weighed),
        Cause::MotorLeadOpen => seen.motor_lead_open(&mut weighed),
        Cause::PulseTooWeak => seen.pulse_too_weak(&mut weighed),
        Cause::KeepAliveHidesPulse => seen.keep_alive_hides_pulse(&mut weighed),
        Cause::TrackTooWeak => seen.track_too_weak(&mut weighed),
        Cause::LockClosed => seen.lock_closed(&mut weighed),
        Cause::TwoDecodersAnswer => seen.two_decoders_answer(&mut weighed),
        Cause::NotTheExpectedDecoder => seen.not_the_expected_decoder(&mut weighed),
        Cause::ModeTooSmall => seen.mode_too_small(&mut weighed),
        Cause::PageNotTaken => seen.page_not_taken(&mut weighed),
        Cause::CvNotThere => seen.cv_not_there(&mut weighed),
        Cause::DecoderDead => seen.decoder_dead(&mut weighed),
    }
    weighed
}

/// The symptoms, asked in the words of the causes.
struct Seen<'a> {
    symptoms: &'a Symptoms,
    facts: &'a Facts,
}

impl Seen<'_> {
    fn nothing_on_the_rails(&self, weighed: &mut Weighed) {
        let is_gone = matches!(self.link_error(), Some(LinkError::NoCurrent { .. }));
        weighed
            .fits(is_gone && !self.had_contact(), 10, || "no current flows, and none did before".to_owned());
    }

    fn contact_comes_and_goes(&self, weighed: &mut Weighed) {
        let is_gone = matches!(self.link_error(), Some(LinkError::NoCurrent { .. }));
        weighed.fits(is_gone && self.had_contact(), 10, || "current flowed, and then no more".to_owned());
        if let Some(fall) = self.fall() {
            weighed.fits(true, 6, || format!("the current fell by {} for a moment", fall.fall()));
        }
        weighed.fits(self.is_unclear(), 2, || self.unclear_words());
        let is_unsettled = matches!(self.identity_content(), Some(Content::Unsettled { .. }));
        weighed.fits(is_unsettled && self.fall().is_some(), 3, || {
            "a value reads differently each time".to_owned()
        });
    }

    fn rails_shorted(&self, weighed: &mut Weighed) {
        if let Some(LinkError::OverCurrent { excess: Excess::Sustained, evidence, act }) = self.link_error() {
            weighed.fits(true, 10, || format!("{} flows while {act}", evidence.baseline()));
        }
    }

    fn motor_shorts_when_fed(&self, weighed: &mut Weighed) {
        if let Some(LinkError::OverCurrent { excess: Excess::AtAStroke, evidence, act }) = self.link_error() {
            weighed.fits(true, 12, || format!("the current leapt to {} while {act}", evidence.baseline()));
        }
    }

    fn motor_lead_open(&self, weighed: &mut Weighed) {
        let Some(power_on) = self.silence() else { return };
        let is_sound = power_on.state == PowerOnState::Sound;
        weighed.fits(is_sound, 4, || format!("the decoder draws {power_on} and answers in no mode"));
        let rise = self.rise();
        weighed.fits(rise < SOME_RISE, 5, || format!("the current never rises: {rise:.1} mA at most"));
        weighed.contradicts(rise >= SOME_RISE, 8, || {
            format!("the current rises by {rise:.1} mA, so something carries it")
        });
    }

    fn pulse_too_weak(&self, weighed: &mut Weighed) {
        let rise = self.rise();
        if self.silence().is_some() {
            weighed.fits(rise >= SOME_RISE, 5, || {
                format!("the current rises by {rise:.1} mA when the decoder should answer; 60 mA are wanted")
            });
            let length = self.highest_rise().map_or(0.0, |rise| rise.pulse().as_seconds() * 1e3);
            weighed.fits(length > 3.0, 5, || {
                format!("that rise lasts {length:.1} ms, as an acknowledgement does")
            });
        }
        let weakest = self.symptoms.tally.and_then(|tally| tally.weakest);
        let least = f64::from(limits::STEP_LEAST) * 1e-3;
        if let Some(weakest) = weakest.filter(|weakest| weakest.step().as_amperes() < least) {
            weighed.fits(true, 3, || format!("acknowledgements rise by no more than {}", weakest.step()));
        }
    }

    fn keep_alive_hides_pulse(&self, weighed: &mut Weighed) {
        let Some(power_on) = self.silence() else { return };
        let is_fitted = self.facts.has_keep_alive;
        weighed.fits(is_fitted == Some(true), 4, || "a keep-alive is fitted".to_owned());
        weighed.contradicts(is_fitted == Some(false), 10, || "no keep-alive is fitted".to_owned());
        let inrush = (power_on.peak().as_amperes() - power_on.idle().as_amperes()) * 1e3;
        weighed.fits(inrush > f64::from(limits::SWING_MOST), 3, || {
            format!(
                "after switching on the current was {inrush:.0} mA above its later value: something filled up"
            )
        });
        let rise = self.rise();
        let is_whole = self.highest_rise().is_some_and(|rise| rise.pulse().as_seconds() > 0.003);
        weighed.fits((SOME_RISE..f64::from(limits::FALL)).contains(&rise), 4, || {
            format!("the current rises by {rise:.1} mA: part of a pulse comes through")
        });
        weighed.contradicts(is_whole, 4, || "a pulse of full length comes through".to_owned());
    }

    fn track_too_weak(&self, weighed: &mut Weighed) {
        let Some(power_on) = self.symptoms.power_on else { return };
        let is_in_trouble = self.silence().is_some() || self.is_unclear();
        weighed.fits(power_on.state == PowerOnState::Heavy && is_in_trouble, 6, || {
            format!("the decoder draws {} with everything off; 100 mA are allowed", power_on.idle())
        });
        weighed.fits(self.is_unclear() && self.fall().is_none(), 5, || self.unclear_words());
        weighed.fits(power_on.state == PowerOnState::Unsteady, 3, || {
            format!("the current swings by {} after switching on", power_on.swing())
        });
        if let Some(sheet) = self.facts.idle_current {
            let is_more = power_on.idle().as_amperes() > 2.0 * sheet.as_amperes();
            weighed.fits(is_more && is_in_trouble, 2, || {
                format!("the sheet says {sheet} with everything off, it is {}", power_on.idle())
            });
        }
    }

    fn lock_closed(&self, weighed: &mut Weighed) {
        if let Some((Content::Value(key), Content::Value(number))) = &self.symptoms.lock {
            weighed.fits(key != number, 8, || format!("CV15 is {key}, CV16 is {number}"));
            weighed.contradicts(key == number, 8, || format!("CV15 and CV16 are both {key}"));
        }
        if let Some(error @ LinkError::Locked { .. }) = self.link_error() {
            weighed.fits(true, 10, || error.to_string());
        }
        let is_refused = matches!(self.symptoms.error, Some(RunError::WritesRefused { .. }));
        weighed.fits(is_refused, 4, || "none of the first writes was taken".to_owned());
        let is_lockable = self.facts.is_lockable != Some(false);
        let is_hidden = self.silence().is_some() && self.facts.is_lockable == Some(true);
        weighed
            .fits(is_hidden, 2, || "a locked decoder may answer for nothing but its lock number".to_owned());
        weighed.contradicts(!is_lockable, 3, || "its sheet knows no lock".to_owned());
    }

    fn two_decoders_answer(&self, weighed: &mut Weighed) {
        if let Some(RunError::Identity(IdentityError::Contradiction { cv, value, bit })) =
            &self.symptoms.error
        {
            weighed.fits(true, 10, || {
                format!("{cv} reads {value}, yet bit {} of it is acknowledged as 0 too", bit.get())
            });
        }
        if let Some(content @ Content::Unsettled { .. }) = self.identity_content() {
            weighed.fits(true, 7, || format!("CV8 or CV7 gives {content}"));
        }
        weighed.contradicts(self.fall().is_some(), 4, || {
            "the contact comes and goes, which does the same".to_owned()
        });
        let idle = self.symptoms.power_on.map(|power_on| power_on.idle().as_amperes());
        if let (Some(idle), Some(sheet)) = (idle, self.facts.idle_current.filter(|_| weighed.weight > 0)) {
            weighed.fits(idle > 1.3 * sheet.as_amperes(), 2, || {
                format!("more current flows than the {sheet} of one decoder")
            });
        }
    }

    fn not_the_expected_decoder(&self, weighed: &mut Weighed) {
        match &self.symptoms.error {
            Some(RunError::UnexpectedDecoder { expected, found }) => {
                weighed.fits(true, 10, || format!("it has {found}, the sheet says {expected}"));
            }
            Some(error @ (RunError::OtherDecoder { .. } | RunError::ImageDisagrees { .. })) => {
                weighed.fits(true, 10, || error.to_string());
            }
            _ => {}
        }
        if let (Some(found), Some(expected)) = (self.symptoms.identity, self.facts.identity) {
            weighed.fits(found != expected && weighed.weight == 0, 8, || {
                format!("it has {found}, the sheet says {expected}")
            });
        }
    }

    fn mode_too_small(&self, weighed: &mut Weighed) {
        if let Some(error @ (LinkError::OutOfReach { .. } | LinkError::NotInThisMode { .. })) =
            self.link_error()
        {
            weighed.fits(true, 10, || error.to_string());
        }
    }

    fn page_not_taken(&self, weighed: &mut Weighed) {
        if let Some(RunError::RegisterRefused { place, value }) = &self.symptoms.error {
            let is_page = [plain(PAGE_HIGH), plain(PAGE_LOW)].contains(place);
            weighed.fits(is_page, 9, || format!("{place} does not take {value}"));
        }
        if let Some(RunError::RegisterUnread { place, content }) = &self.symptoms.error {
            weighed
                .fits(true, if self.fall().is_some() { 4 } else { 8 }, || format!("{place} gives {content}"));
        }
        let (paged, others): (Vec<_>, Vec<_>) = self.unmet().partition(|place| place.page.is_some());
        weighed.fits(!paged.is_empty() && others.is_empty(), 6, || {
            format!("only CVs on pages are not as they should be: {}", listed(&paged))
        });
    }

    fn cv_not_there(&self, weighed: &mut Weighed) {
        let absent: Vec<CvPlace> = self
            .symptoms
            .unmet
            .iter()
            .filter(|(_, content)| *content == Content::Absent)
            .map(|(place, _)| *place)
            .collect();
        weighed.fits(!absent.is_empty(), 7, || {
            format!("bits of {} are acknowledged as 0 and as 1", listed(&absent))
        });
        let n_met = self.symptoms.n_met;
        let unmet: Vec<CvPlace> = self.unmet().collect();
        weighed.fits(n_met > 0 && !unmet.is_empty(), 4, || {
            format!("{n_met} other CVs were taken, {} not", listed(&unmet))
        });
    }

    fn decoder_dead(&self, weighed: &mut Weighed) {
        if let Some(power_on) = self.silence() {
            weighed.fits(true, 1, || format!("the decoder draws {power_on} and answers in no mode"));
        }
    }

    fn link_error(&self) -> Option<&LinkError> {
        match &self.symptoms.error {
            Some(RunError::Link(error) | RunError::Identity(IdentityError::Link(error))) => Some(error),
            _ => None,
        }
    }

    fn identity_content(&self) -> Option<&Content> {
        match &self.symptoms.error {
            Some(RunError::Identity(IdentityError::Unread { content, .. })) => Some(content),
            _ => None,
        }
    }

    /// What switching on showed, of a decoder that answered nothing at all.
    fn silence(&self) -> Option<PowerOnReading> {
        match self.link_error() {
            Some(LinkError::NoAnswer { power_on }) => Some(*power_on),
            _ => None,
        }
    }

    fn had_contact(&self) -> bool {
        self.symptoms.tally.is_some_and(|tally| tally.n_acknowledged > 0)
            || self.symptoms.power_on.is_some_and(|power_on| power_on.state != PowerOnState::Nothing)
    }

    fn highest_rise(&self) -> Option<Evidence> {
        self.symptoms.tally.and_then(|tally| tally.highest_rise)
    }

    /// The highest rise that was no acknowledgement, mA.
    fn rise(&self) -> f64 {
        self.highest_rise().map_or(0.0, |rise| rise.step().as_amperes() * 1e3)
    }

    /// A question during which the current fell to nothing, or nearly so, from something.
    fn fall(&self) -> Option<Evidence> {
        let nothing = f64::from(limits::NOTHING) * 1e-3;
        let idle = self.symptoms.power_on.map(|power_on| power_on.idle().as_amperes());
        self.symptoms.tally.and_then(|tally| tally.deepest_fall).filter(|evidence| {
            // While contact is gone for long the baseline itself is nothing.
            let idle = idle.unwrap_or(evidence.baseline().as_amperes());
            idle > 2.0 * nothing && evidence.fall().as_amperes() > 0.8 * idle
        })
    }

    fn is_unclear(&self) -> bool {
        let is_many = self.symptoms.tally.is_some_and(|tally| 20 * tally.n_unclear > tally.n_asked);
        is_many || matches!(self.link_error(), Some(LinkError::Unclear { .. }))
    }

    fn unclear_words(&self) -> String {
        match self.symptoms.tally {
            Some(tally) => format!("{} of {} questions came back unclear", tally.n_unclear, tally.n_asked),
            None => "the answers came back unclear".to_owned(),
        }
    }

    fn unmet(&self) -> impl Iterator<Item = CvPlace> + '_ {
        self.symptoms.unmet.iter().map(|(place, _)| *place)
    }
}

fn listed(places: &[CvPlace]) -> String {
    places.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}
