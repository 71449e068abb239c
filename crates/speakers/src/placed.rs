//! A speaker as it sits in the model: driver, box, place, polarity.

use acoustics::driver::{Completed, Outline, Preference, Sheet, SheetCheck};
use acoustics::{Air, ClosedBox, Driver, Enclosure, Opening, System};
use datasheets::{EnclosureSheet, Shelf, SpeakerSheet};
use electrics::{CoilModel, DriverImpedance, ImpedanceTable, Load, Marking, Motional, Mount};
use finding::Path;
use quantities::{Frequency, Length, MeterReading, Power, Resistance, Volume};
use thiserror::Error;
use workorder::{Facing, Polarity, Speaker};

/// Something that nobody told and a usual value stands in for.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumption {
    /// What was not told.
    pub what: String,
    /// What was taken instead.
    pub taken: String,
    /// By which rule.
    pub rule: String,
}

/// What is known of the box behind a speaker.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxFacts {
    /// Its sheet's name.
    pub name: String,
    /// Free air inside.
    pub volume: Volume,
    /// An opening that is not closed.
    pub leak: Option<Length>,
}

/// Why a speaker cannot be computed with.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum PlacedError {
    /// Neither sheet nor order tells what it is.
    #[error("nothing tells what speaker {name} is")]
    Unknown {
        /// The speaker.
        name: String,
    },
    /// Its sheet makes no driver.
    #[error("the sheet of speaker {name} makes no driver: {cause}")]
    NoDriver {
        /// The speaker.
        name: String,
        /// Why.
        cause: String,
    },
}

/// A speaker as it sits in the model.
#[derive(Debug, Clone)]
pub struct Placed {
    /// Its name.
    pub name: String,
    /// The path of its facts.
    pub path: Path,
    /// Its leads, plus first.
    pub leads: (String, String),
    /// Nominal impedance.
    pub nominal: Resistance,
    /// Rated power.
    pub rating: Power,
    /// The driver in its box.
    pub system: System,
    /// The box, where there is one.
    pub box_facts: Option<BoxFacts>,
    /// What had to be assumed.
    pub assumed: Vec<Assumption>,
    /// Which way it faces.
    pub mount: Mount,
    /// How well its polarity is known.
    pub marking: Marking,
    /// Where it sits along the model.
    pub at: Length,
    /// What the meter showed across it, where it was a number.
    pub measured: Option<Resistance>,
    /// Whether its sheet tells the coil's resistance.
    pub is_coil_told: bool,
    /// Speakers of one kind are the same part in the same box, facing the same way.
    pub kind: String,
    /// What contradicts itself on its sheet.
    pub check: SheetCheck,
    coil_losses: Option<datasheets::CoilLosses>,
}

impl Placed {
    /// A speaker of an order. `otherwise_at` is where it is taken to sit when nobody says.
    ///
    /// # Errors
    /// Nothing tells what it is; its sheet makes no driver.
    pub fn of(
        path: Path,
        speaker: &Speaker,
        shelf: &Shelf,
        otherwise_at: Length,
    ) -> Result<Self, PlacedError> {
        let name = speaker.name.to_string();
        let part = speaker.part.as_ref().and_then(|part| shelf.speakers.get(part));
        let unknown = || PlacedError::Unknown { name: name.clone() };
        let nominal = speaker.impedance.or_else(|| Some(part?.speaker.impedance)).ok_or_else(unknown)?;
        let rating = speaker.rating.or_else(|| Some(part?.speaker.rating)).ok_or_else(unknown)?;
        let sheet = sheet_of(part, nominal, rating);
        let air = Air::default();
        let completed = sheet
            .complete(&air, Preference::Construction)
            .map_err(|cause| PlacedError::NoDriver { name: name.clone(), cause: cause.to_string() })?;
        let box_sheet = speaker.enclosure.as_ref().and_then(|name| shelf.enclosures.get(name));
        let assumed = assumptions(&completed);
        let enclosure = enclosure(box_sheet, part);
        let leads = speaker.leads();
        Ok(Self {
            leads: (leads.0.to_string(), leads.1.to_string()),
            nominal,
            rating,
            system: System::new(completed.driver, enclosure, air),
            box_facts: box_sheet.map(|sheet| BoxFacts {
                name: sheet.part.name.to_string(),
                volume: sheet.enclosure.volume,
                leak: sheet.enclosure.leak,
            }),
            assumed,
            mount: if speaker.faces == Some(Facing::In) { Mount::MagnetOutward } else { Mount::FrontOutward },
            marking: match speaker.polarity() {
                Polarity::Marked => Marking::Marked,
                Polarity::Tested => Marking::Tested,
                Polarity::Unknown => Marking::Unknown,
            },
            at: speaker.at.unwrap_or(otherwise_at),
            measured: match speaker.dc_resistance {
                Some(MeterReading::Exactly(resistance)) => Some(resistance),
                _ => None,
            },
            is_coil_told: sheet.coil_resistance.is_some(),
            kind: format!(
                "{}/{nominal}/{}/{:?}",
                speaker.part.as_ref().map_or("", |name| name.as_str()),
                speaker.enclosure.as_ref().map_or("", |name| name.as_str()),
                speaker.faces
            ),
            check: sheet.check(&air),
            coil_losses: part.and_then(|part| part.speaker.parameters.as_ref()?.coil_losses.clone()),
            name,
            path,
        })
    }

    /// Notes that its place was assumed.
    pub(crate) fn assume_place(&mut self) {
        self.assumed.push(Assumption {
            what: format!("place of {}", self.name),
            taken: self.at.to_string(),
            rule: "side by side, when nobody says where (our choice)".to_owned(),
        });
    }

    /// The driver.
    #[must_use]
    pub fn driver(&self) -> &Driver {
        self.system.driver()
    }

    /// Its impedance as an electrical load, its box included.
    #[must_use]
    pub fn load(&self) -> Load {
        let parameters = self.driver().parameters();
        let is_leaky =
            matches!(self.system.enclosure(), Enclosure::Box(closed) if !closed.openings().is_empty());
        if is_leaky {
            // A box with a hole is no plain stiffness; the impedance is taken from the acoustical side, point by point.
            if let Some(table) = self.impedance_table() {
                return Load::Tabulated(table);
            }
        }
        let coil = match &self.coil_losses {
            Some(losses) => CoilModel::Lr2 {
                le: parameters.coil_inductance,
                l2: losses.inductance,
                r2: losses.resistance,
            },
            None => CoilModel::Ideal(parameters.coil_inductance),
        };
        let motional = Motional {
            bl: parameters.force_factor,
            mms: parameters.moving_mass,
            cms: parameters.compliance,
            rms: parameters.mechanical_resistance,
            box_stiffness: self.box_stiffness(),
        };
        match DriverImpedance::new(parameters.coil_resistance, coil, Some(motional)) {
            Ok(driver) => Load::Driver(driver),
            // The driver's parameters are above zero, so this does not happen; the coil's resistance is the honest rest.
            Err(_) => Load::Nominal(parameters.coil_resistance),
        }
    }

    /// The stiffness of the air behind the cone in N/m: that of the suspension times the ratio of Vas to the box.
    fn box_stiffness(&self) -> f64 {
        self.system.compliance_ratio() / self.driver().parameters().compliance.as_metres_per_newton()
    }

    fn impedance_table(&self) -> Option<ImpedanceTable> {
        let grid = electrics::frequencies(Frequency::from_hertz(20.0)?, Frequency::from_hertz(20_000.0)?, 48);
        let rows: Vec<_> = grid.iter().map(|at| (*at, self.system.impedance(*at).as_ohms())).collect();
        ImpedanceTable::new(self.driver().parameters().coil_resistance, &rows).ok()
    }

    /// How far another speaker's cone is from this one's.
    #[must_use]
    pub fn spacing(&self, other: &Self) -> Length {
        Length::from_metres((self.at.as_metres() - other.at.as_metres()).abs()).unwrap_or(self.at)
    }

    /// The level that this one alone gives at 1 W into its nominal impedance and 1 m, for ranking.
    #[must_use]
    pub fn sensitivity(&self, at: Frequency) -> quantities::SoundPressureLevel {
        let volts =
            quantities::Voltage::of_power(Power::from_watts(1.0).unwrap_or(self.rating), self.nominal);
        self.system.level(at, volts, &acoustics::Listening::at_one_metre())
    }
}

/// The driver of a sheet in a box, and whether anything had to be assumed.
///
/// # Errors
/// The sheet makes no driver.
pub(crate) fn sheet_system(
    part: &SpeakerSheet,
    box_sheet: Option<&EnclosureSheet>,
) -> Result<(System, bool), acoustics::driver::DriverError> {
    let air = Air::default();
    let sheet = sheet_of(Some(part), part.speaker.impedance, part.speaker.rating);
    let completed = sheet.complete(&air, Preference::Construction)?;
    Ok((System::new(completed.driver, enclosure(box_sheet, Some(part)), air), !completed.assumed.is_empty()))
}

/// What a sheet prints, for the acoustical side.
fn sheet_of(part: Option<&SpeakerSheet>, nominal: Resistance, rating: Power) -> Sheet {
    let mut sheet = Sheet { nominal_impedance: Some(nominal), rated_power: Some(rating), ..Sheet::default() };
    let Some(part) = part else { return sheet };
    let size = &part.speaker.size;
    sheet.outline = Some(if size.length == size.width {
        Outline::Round(size.length)
    } else {
        Outline::Rectangular(size.length, size.width)
    });
    if let Some(told) = &part.speaker.parameters {
        sheet.coil_resistance = told.coil_resistance;
        sheet.coil_inductance = told.coil_inductance;
        sheet.force_factor = told.force_factor;
        sheet.moving_mass = told.moving_mass;
        sheet.compliance = told.compliance;
        sheet.mechanical_resistance = told.mechanical_resistance;
        sheet.piston_area = told.piston_area;
        sheet.resonance = told.resonance;
        sheet.mechanical_q = told.mechanical_quality.map(datasheets::Quality::get);
        sheet.electrical_q = told.electrical_quality.map(datasheets::Quality::get);
        sheet.total_q = told.total_quality.map(datasheets::Quality::get);
        sheet.equivalent_volume = told.equivalent_volume;
        sheet.peak_excursion = told.linear_travel;
    }
    sheet
}

fn enclosure(sheet: Option<&EnclosureSheet>, part: Option<&SpeakerSheet>) -> Enclosure {
    // The detour of the rear wave round a bare driver: about its diameter plus its depth (digest, section 2.11).
    let bare = || {
        let size = part.map(|part| &part.speaker.size);
        let path = size.map_or(0.02, |size| {
            size.length.as_metres().max(size.width.as_metres()) + size.height.as_metres()
        });
        Enclosure::Unboxed {
            path: Length::from_metres(path).unwrap_or_else(|| unreachable!("a part's size is in range")),
        }
    };
    let Some(sheet) = sheet else { return bare() };
    let Ok(closed) = ClosedBox::tight(sheet.enclosure.volume) else { return bare() };
    let open = sheet.enclosure.leak.filter(|leak| leak.as_metres() > 0.0);
    let closed = match open {
        Some(diameter) => {
            // A usual wall where the sheet tells none: 1 mm of plastic (common practice).
            let wall = sheet.enclosure.wall.or_else(|| Length::from_metres(1e-3)).unwrap_or(diameter);
            closed.opened(Opening::Round { diameter, length: wall })
        }
        None => closed,
    };
    Enclosure::Box(closed)
}

fn assumptions(completed: &Completed) -> Vec<Assumption> {
    let one = |assumed: &acoustics::driver::Assumed| Assumption {
        what: assumed.value.to_string(),
        taken: assumed.taken.clone(),
        rule: format!("{} ({})", assumed.rule, assumed.source),
    };
    completed.assumed.iter().map(one).collect()
}
