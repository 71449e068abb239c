//! A wiring: speakers, components, wires and pads at the amplifier, as found or as planned.

use datasheets::{PinSignal, Shelf};
use electrics::{ElementId, Netlist, NetlistError, PlacedSpeaker};
use finding::Path;
use quantities::Length;
use thiserror::Error;
use workorder::{Component, ComponentKind, Pad, Speaker, Terminal, Wire, WorkOrder};

use crate::amplified::Amplified;
use crate::placed::{Placed, PlacedError};

/// Which of the two wirings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WiringState {
    /// As the survey found it.
    Found,
    /// As the plan wants it.
    Planned,
}

/// Why a wiring cannot be computed with.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum WiringError {
    /// A speaker is not known well enough.
    #[error(transparent)]
    Placed(#[from] PlacedError),
    /// An element has no usable value.
    #[error(transparent)]
    Netlist(#[from] NetlistError),
    /// A component has no value.
    #[error("component {name} has no value")]
    NoValue {
        /// The component.
        name: String,
    },
}

/// A wiring with everything that is needed to compute with it.
#[derive(Debug, Clone)]
pub struct Wiring {
    /// Which one it is.
    pub state: WiringState,
    /// The speakers, in the order of the documents.
    pub speakers: Vec<Placed>,
    /// The speakers' elements in the circuit, in the same order.
    pub elements: Vec<ElementId>,
    /// The circuit, fed with the amplifier's full level.
    pub netlist: Netlist,
    /// The amplifier.
    pub amplifier: Amplified,
    /// The wires by their ends, pads that reach the amplifier left as pads.
    pub wires: Vec<(String, String)>,
    /// The terminals that stand for the amplifier's outputs in wires: pads where there are any, else the outputs themselves.
    pub outputs: (String, String),
}

impl Wiring {
    /// The wiring of the survey; none where it has no speakers.
    #[must_use]
    pub fn found(order: &WorkOrder, shelf: &Shelf) -> Option<Result<Self, WiringError>> {
        let survey = order.survey.as_ref().filter(|survey| !survey.speaker.is_empty())?;
        let speakers: Vec<(Path, &Speaker)> = survey
            .speaker
            .iter()
            .map(|speaker| (Path::new(format!("survey.speaker.{}", speaker.name)), speaker))
            .collect();
        Some(Self::of(WiringState::Found, order, shelf, &speakers, survey.component.iter(), &survey.wire))
    }

    /// The wiring of the plan, by its own wires where it has any, else by those of the survey; none without speakers.
    #[must_use]
    pub fn planned(order: &WorkOrder, shelf: &Shelf) -> Option<Result<Self, WiringError>> {
        let plan = order.plan.as_ref()?;
        let speakers: Vec<(Path, &Speaker)> = order.planned_speakers().collect();
        if speakers.is_empty() {
            return None;
        }
        let survey = order.survey.as_ref();
        let found = survey.map_or(&[] as &[Wire], |survey| &survey.wire);
        let wires = if plan.wire.is_empty() { found } else { &plan.wire };
        let components = survey.into_iter().flat_map(|survey| &survey.component).chain(&plan.component);
        Some(Self::of(WiringState::Planned, order, shelf, &speakers, components, wires))
    }

    fn of<'a>(
        state: WiringState,
        order: &WorkOrder,
        shelf: &Shelf,
        speakers: &[(Path, &Speaker)],
        components: impl Iterator<Item = &'a Component>,
        wires: &[Wire],
    ) -> Result<Self, WiringError> {
        let decoder = order.plan.as_ref().and_then(|plan| shelf.decoders.get(plan.decoder.as_ref()?));
        let amplifier = Amplified::of(decoder.and_then(|sheet| sheet.amplifier.as_ref()));
        let speakers = place(speakers, shelf)?;
        let pads = order.survey.as_ref().map_or(&[] as &[Pad], |survey| &survey.pad);
        let outputs = (output(pads, PinSignal::SpeakerA, "1"), output(pads, PinSignal::SpeakerB, "2"));
        let mut netlist = Netlist::new();
        netlist.amplifier(&outputs.0, &outputs.1, amplifier.full_level())?;
        let mut elements = Vec::with_capacity(speakers.len());
        for speaker in &speakers {
            elements.push(netlist.speaker(
                &speaker.name,
                &speaker.leads.0,
                &speaker.leads.1,
                speaker.load(),
            )?);
        }
        for component in components {
            add_component(&mut netlist, component)?;
        }
        let wires: Vec<(String, String)> =
            wires.iter().map(|wire| (wire.from.to_string(), wire.to.to_string())).collect();
        for (from, to) in &wires {
            netlist.wire(from, to);
        }
        join_pads(&mut netlist, pads);
        Ok(Self { state, speakers, elements, netlist, amplifier, wires, outputs })
    }

    /// The speakers as the polarity analysis wants them.
    #[must_use]
    pub fn placed(&self) -> Vec<PlacedSpeaker> {
        self.speakers
            .iter()
            .zip(&self.elements)
            .map(|(speaker, element)| PlacedSpeaker {
                speaker: *element,
                mount: speaker.mount,
                marking: speaker.marking,
            })
            .collect()
    }

    /// The same wiring with one speaker alone at the amplifier: what the others are measured against.
    ///
    /// # Errors
    /// As for any circuit.
    pub fn alone(&self, index: usize) -> Result<Self, WiringError> {
        let speaker = self.speakers[index].clone();
        let mut netlist = Netlist::new();
        netlist.amplifier(&self.outputs.0, &self.outputs.1, self.amplifier.full_level())?;
        let element = netlist.speaker(&speaker.name, &speaker.leads.0, &speaker.leads.1, speaker.load())?;
        let wires = vec![
            (speaker.leads.0.clone(), self.outputs.0.clone()),
            (speaker.leads.1.clone(), self.outputs.1.clone()),
        ];
        netlist.wire(&speaker.leads.0, &self.outputs.0);
        netlist.wire(&speaker.leads.1, &self.outputs.1);
        Ok(Self {
            state: self.state,
            speakers: vec![speaker],
            elements: vec![element],
            netlist,
            amplifier: self.amplifier,
            wires,
            outputs: self.outputs.clone(),
        })
    }
}

/// Places the speakers along the model: where the order says, else side by side.
fn place(speakers: &[(Path, &Speaker)], shelf: &Shelf) -> Result<Vec<Placed>, PlacedError> {
    // Phone-type parts are 11 to 20 mm wide; 20 mm lets the widest of them stand side by side (our choice).
    const USUAL_SPACING_METRES: f64 = 0.02;
    let mut placed = Vec::with_capacity(speakers.len());
    let mut next = 0.0;
    for (path, speaker) in speakers {
        let otherwise_at =
            Length::from_metres(next).unwrap_or_else(|| unreachable!("a dozen speakers fit any range"));
        let mut one = Placed::of(path.clone(), speaker, shelf, otherwise_at)?;
        // Where a speaker that is alone sits changes nothing.
        if speakers.len() > 1 && speaker.at.is_none() {
            one.assume_place();
        }
        next = one.at.as_metres() + USUAL_SPACING_METRES;
        placed.push(one);
    }
    Ok(placed)
}

fn terminal(output: &str) -> String {
    Terminal::of(Terminal::AMPLIFIER, output).to_string()
}

fn output(pads: &[Pad], signal: PinSignal, otherwise: &str) -> String {
    let pad = pads.iter().find(|pad| pad.signal == signal);
    pad.map_or_else(
        || terminal(otherwise),
        |pad| Terminal::of(Terminal::BOARD, pad.name.as_str()).to_string(),
    )
}

/// Pads that carry the loudspeaker signals are joined to the amplifier once the decoder is plugged in.
fn join_pads(netlist: &mut Netlist, pads: &[Pad]) {
    for pad in pads {
        let name = Terminal::of(Terminal::BOARD, pad.name.as_str());
        match pad.signal {
            PinSignal::SpeakerA => netlist.wire(name.as_str(), &terminal("1")),
            PinSignal::SpeakerB => netlist.wire(name.as_str(), &terminal("2")),
            _ => {}
        }
    }
}

fn add_component(netlist: &mut Netlist, component: &Component) -> Result<(), WiringError> {
    let name = component.name.as_str();
    let (one, two) = (format!("{name}.1"), format!("{name}.2"));
    let no_value = || WiringError::NoValue { name: name.to_owned() };
    match component.kind {
        ComponentKind::Resistor => {
            netlist.resistor(name, &one, &two, component.resistance.ok_or_else(no_value)?)?
        }
        ComponentKind::Capacitor => {
            netlist.capacitor(name, &one, &two, component.capacitance.ok_or_else(no_value)?)?
        }
        ComponentKind::Inductor => {
            netlist.inductor(name, &one, &two, component.inductance.ok_or_else(no_value)?)?
        }
    };
    Ok(())
}
