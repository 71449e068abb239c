//! What the engine is given.

use datasheets::{
    DecoderSheet, EnclosureSheet, KeepAliveSheet, LampKind, LampSheet, Shelf, SocketSheet, SpeakerSheet,
};
use finding::Path;
use quantities::{Current, Power, Resistance, Voltage};
use workorder::{LampPlan, Speaker, Train, WorkOrder};

/// A work order with everything that is needed to judge it.
#[derive(Debug, Clone, Copy)]
pub struct Job<'a> {
    /// The order.
    pub order: &'a WorkOrder,
    /// The part sheets at hand.
    pub shelf: &'a Shelf,
    /// Its place in a train, where it runs in one.
    pub train: Option<TrainPlace<'a>>,
}

/// The place of an order's unit in a train.
#[derive(Debug, Clone, Copy)]
pub struct TrainPlace<'a> {
    /// The train.
    pub train: &'a Train,
    /// Which of its units this is, from 0.
    pub index: usize,
    /// The orders of its units, in the order of the train; none where one is not at hand.
    pub orders: &'a [Option<&'a WorkOrder>],
}

/// Track voltage where an order does not tell one: a usual command station for the smaller scales (practice, stage 6).
const USUAL_TRACK_VOLTS: f64 = 15.0;

/// A lamp's electrical facts, from its sheet or from the survey.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LampFacts {
    /// Kind of lamp.
    pub kind: LampKind,
    /// Rated or forward voltage.
    pub voltage: Voltage,
    /// Rated current.
    pub current: Current,
    /// Resistor that is built in.
    pub built_in_resistor: Option<Resistance>,
    /// Rating of that resistor.
    pub built_in_rating: Option<Power>,
}

impl<'a> Job<'a> {
    /// The sheet of the planned decoder.
    #[must_use]
    pub fn decoder(&self) -> Option<&'a DecoderSheet> {
        self.shelf.decoders.get(self.order.plan.as_ref()?.decoder.as_ref()?)
    }

    /// The sheet of the socket that was found.
    #[must_use]
    pub fn socket(&self) -> Option<&'a SocketSheet> {
        self.shelf.socket(self.order.survey.as_ref()?.socket.as_ref()?)
    }

    /// The sheet of a speaker.
    #[must_use]
    pub fn speaker_sheet(&self, speaker: &Speaker) -> Option<&'a SpeakerSheet> {
        self.shelf.speakers.get(speaker.part.as_ref()?)
    }

    /// The sheet of a speaker's box.
    #[must_use]
    pub fn enclosure(&self, speaker: &Speaker) -> Option<&'a EnclosureSheet> {
        self.shelf.enclosures.get(speaker.enclosure.as_ref()?)
    }

    /// The sheet of the planned keep-alive.
    #[must_use]
    pub fn keep_alive(&self) -> Option<&'a KeepAliveSheet> {
        self.shelf.keep_alives.get(self.order.plan.as_ref()?.keep_alive.as_ref()?)
    }

    /// Nominal impedance of a speaker, as the order or its sheet tells it.
    #[must_use]
    pub fn impedance(&self, speaker: &Speaker) -> Option<Resistance> {
        speaker.impedance.or_else(|| Some(self.speaker_sheet(speaker)?.speaker.impedance))
    }

    /// Rated power of a speaker, as the order or its sheet tells it.
    #[must_use]
    pub fn rating(&self, speaker: &Speaker) -> Option<Power> {
        speaker.rating.or_else(|| Some(self.speaker_sheet(speaker)?.speaker.rating))
    }

    /// The track voltage that the model will run on.
    #[must_use]
    pub fn track_voltage(&self) -> Voltage {
        let stated = self.order.plan.as_ref().and_then(|plan| plan.track_voltage);
        stated
            .or_else(|| Voltage::from_volts(USUAL_TRACK_VOLTS))
            .unwrap_or_else(|| unreachable!("15 V is in range"))
    }

    /// The planned lamps, each with the path of its facts.
    pub fn lamps(&self) -> impl Iterator<Item = (Path, &'a LampPlan)> {
        self.order
            .plan
            .iter()
            .flat_map(|plan| &plan.lamp)
            .map(|lamp| (Path::new(format!("plan.lamp.{}", lamp.name)), lamp))
    }

    /// The electrical facts of a planned lamp; none where neither sheet nor survey tells them all.
    #[must_use]
    pub fn lamp_facts(&self, lamp: &LampPlan) -> Option<LampFacts> {
        let sheet: Option<&LampSheet> = lamp.part.as_ref().and_then(|part| self.shelf.lamps.get(part));
        if let Some(sheet) = sheet {
            let data = &sheet.lamp;
            return Some(LampFacts {
                kind: data.kind,
                voltage: data.voltage,
                current: data.current,
                built_in_resistor: data.built_in_resistor,
                built_in_rating: data.resistor_rating,
            });
        }
        let found =
            self.order.survey.as_ref()?.lamp.iter().find(|found| Some(&found.name) == lamp.found.as_ref())?;
        Some(LampFacts {
            kind: found.kind,
            voltage: found.voltage?,
            current: found.current?,
            built_in_resistor: None,
            built_in_rating: None,
        })
    }
}
