//! What is connected to what: terminals, wires, elements, the amplifier.
//!
//! What it is: the description of a circuit in the words of the survey. Terminals are named as on the bench sheet
//! (`A.red`, `board.S1`, `frame`), a wire joins two of them, an accidental short is a wire too, and a terminal that
//! nothing joins is an open end.
//! What it is not: a solved circuit; [`crate::Solver`] does that.

use std::collections::HashMap;

use quantities::{Capacitance, Inductance, Resistance, Voltage};
use thiserror::Error;

use crate::driver::Load;
use crate::saturated::saturated;

/// One element of a netlist, in the order in which they were added.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ElementId(pub(crate) usize);

impl ElementId {
    /// Its place in [`Netlist::elements`], counted from zero.
    #[must_use]
    pub fn index(self) -> usize {
        self.0
    }
}

/// What an element does.
#[derive(Debug, Clone, PartialEq)]
pub enum Component {
    /// A resistor. One of 0 ohm is a wire.
    Resistor(Resistance),
    /// A capacitor; above 0 F.
    Capacitor(Capacitance),
    /// An inductor without resistance of its own. One of 0 H is a wire.
    Inductor(Inductance),
    /// A speaker. A positive voltage on its plus terminal moves the cone outward.
    Speaker(Load),
}

/// A two-terminal part.
#[derive(Debug, Clone, PartialEq)]
pub struct Element {
    /// What it is called in answers.
    pub name: String,
    /// What it does.
    pub component: Component,
    pub(crate) plus: usize,
    pub(crate) minus: usize,
}

/// The bridge amplifier that feeds the circuit: an ideal voltage between two terminals, neither of which is ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Source {
    pub(crate) plus: usize,
    pub(crate) minus: usize,
    pub(crate) volts: f64,
}

/// Why something cannot be added to a netlist.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum NetlistError {
    /// Two elements would have one name.
    #[error("there are two elements named {name}: give each a name of its own")]
    SameName {
        /// The name.
        name: String,
    },
    /// An element has no value to compute with.
    #[error("{name} has a value of zero: {cure}")]
    NoValue {
        /// The element.
        name: String,
        /// What to do instead.
        cure: &'static str,
    },
    /// There is an amplifier already.
    #[error(
        "a second amplifier between {plus} and {minus}: a circuit is fed by one channel, describe two circuits"
    )]
    SecondAmplifier {
        /// The terminal meant as plus.
        plus: String,
        /// The terminal meant as minus.
        minus: String,
    },
}

/// A circuit as it is described.
///
/// ```
/// use electrics::{Load, Netlist};
/// use quantities::{Frequency, Resistance, Voltage};
/// let eight_ohm = Load::Nominal(Resistance::from_ohms(8.0).unwrap());
/// let mut netlist = Netlist::new();
/// netlist.amplifier("board.S1", "board.S2", Voltage::from_volts(2.83).unwrap())?;
/// netlist.speaker("A", "A.red", "A.black", eight_ohm.clone())?;
/// netlist.speaker("B", "B.red", "B.black", eight_ohm)?;
/// for (from, to) in [("board.S1", "A.red"), ("board.S1", "B.red"), ("A.black", "board.S2"), ("B.black", "board.S2")] {
///     netlist.wire(from, to);
/// }
/// let solution = netlist.solve_at(Frequency::from_hertz(1000.0).unwrap())?;
/// assert_eq!(solution.impedance().unwrap().re, 4.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Default)]
pub struct Netlist {
    names: Vec<String>,
    by_name: HashMap<String, usize>,
    elements: Vec<Element>,
    wires: Vec<(usize, usize)>,
    source: Option<Source>,
}

impl Netlist {
    /// A netlist with nothing in it.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Feeds the circuit from an ideal bridge amplifier: `voltage` (RMS) between two terminals.
    ///
    /// # Errors
    /// There is an amplifier already; its voltage is zero.
    pub fn amplifier(&mut self, plus: &str, minus: &str, voltage: Voltage) -> Result<(), NetlistError> {
        if self.source.is_some() {
            return Err(NetlistError::SecondAmplifier { plus: plus.to_owned(), minus: minus.to_owned() });
        }
        if voltage.as_volts() == 0.0 {
            let cure = "give the voltage at which the circuit is to be judged";
            return Err(NetlistError::NoValue { name: "the amplifier".to_owned(), cure });
        }
        let (plus, minus) = (self.terminal_index(plus), self.terminal_index(minus));
        self.source = Some(Source { plus, minus, volts: voltage.as_volts() });
        Ok(())
    }

    /// Adds a speaker; a positive voltage on `plus` moves its cone outward.
    ///
    /// # Errors
    /// The name is taken; the load is 0 ohm.
    pub fn speaker(
        &mut self,
        name: &str,
        plus: &str,
        minus: &str,
        load: Load,
    ) -> Result<ElementId, NetlistError> {
        if load.dc_resistance().as_ohms() == 0.0 {
            let cure = "a shorted speaker is a wire between its terminals";
            return Err(NetlistError::NoValue { name: name.to_owned(), cure });
        }
        self.element(name, plus, minus, Component::Speaker(load))
    }

    /// Adds a resistor; one of 0 ohm joins its terminals as a wire does.
    ///
    /// # Errors
    /// The name is taken.
    pub fn resistor(
        &mut self,
        name: &str,
        plus: &str,
        minus: &str,
        value: Resistance,
    ) -> Result<ElementId, NetlistError> {
        self.element(name, plus, minus, Component::Resistor(value))
    }

    /// Adds a capacitor.
    ///
    /// # Errors
    /// The name is taken; the value is 0 F.
    pub fn capacitor(
        &mut self,
        name: &str,
        plus: &str,
        minus: &str,
        value: Capacitance,
    ) -> Result<ElementId, NetlistError> {
        if value.as_farads() == 0.0 {
            let cure = "a capacitor of 0 F passes nothing, leave it out";
            return Err(NetlistError::NoValue { name: name.to_owned(), cure });
        }
        self.element(name, plus, minus, Component::Capacitor(value))
    }

    /// Adds an inductor without resistance; one of 0 H joins its terminals as a wire does.
    ///
    /// # Errors
    /// The name is taken.
    pub fn inductor(
        &mut self,
        name: &str,
        plus: &str,
        minus: &str,
        value: Inductance,
    ) -> Result<ElementId, NetlistError> {
        self.element(name, plus, minus, Component::Inductor(value))
    }

    /// Joins two terminals; names that were not met before become terminals. A wire from a terminal to itself does
    /// nothing.
    pub fn wire(&mut self, from: &str, to: &str) {
        let ends = (self.terminal_index(from), self.terminal_index(to));
        self.wires.push(ends);
    }

    /// Names a terminal without connecting it: an open end.
    pub fn terminal(&mut self, name: &str) {
        self.terminal_index(name);
    }

    /// Every terminal, in the order in which they were first named.
    pub fn terminals(&self) -> impl ExactSizeIterator<Item = &str> {
        self.names.iter().map(String::as_str)
    }

    /// Every element with its handle.
    pub fn elements(&self) -> impl ExactSizeIterator<Item = (ElementId, &Element)> {
        self.elements.iter().enumerate().map(|(idx, element)| (ElementId(idx), element))
    }

    /// The handle of the element of that name.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<ElementId> {
        self.elements.iter().position(|element| element.name == name).map(ElementId)
    }

    /// The name of an element.
    ///
    /// # Panics
    /// If the handle is of another, longer netlist.
    #[must_use]
    pub fn name_of(&self, id: ElementId) -> &str {
        &self.elements[id.0].name
    }

    /// The names of an element's plus and minus terminal.
    ///
    /// # Panics
    /// If the handle is of another, longer netlist.
    #[must_use]
    pub fn terminals_of(&self, id: ElementId) -> (&str, &str) {
        let element = &self.elements[id.0];
        (&self.names[element.plus], &self.names[element.minus])
    }

    /// The names of the amplifier's plus and minus terminal.
    #[must_use]
    pub fn amplifier_terminals(&self) -> Option<(&str, &str)> {
        self.source.map(|source| (self.names[source.plus].as_str(), self.names[source.minus].as_str()))
    }

    /// Every wire with the names of its ends.
    pub fn wires(&self) -> impl ExactSizeIterator<Item = (&str, &str)> {
        self.wires.iter().map(|&(from, to)| (self.names[from].as_str(), self.names[to].as_str()))
    }

    /// The same circuit with one wire taken out, by its place in [`Self::wires`].
    ///
    /// # Panics
    /// If there are not that many wires.
    #[must_use]
    pub fn without_wire(&self, wire_idx: usize) -> Self {
        let mut changed = self.clone();
        changed.wires.remove(wire_idx);
        changed
    }

    /// The same circuit with an element replaced by a break: its terminals stay, it does not conduct.
    /// The handles of later elements move down by one.
    ///
    /// # Panics
    /// If the handle is of another, longer netlist.
    #[must_use]
    pub fn without_element(&self, id: ElementId) -> Self {
        let mut changed = self.clone();
        changed.elements.remove(id.0);
        changed
    }

    /// The same circuit with every speaker given another load: the nominal arithmetic is this with
    /// [`Load::Nominal`].
    #[must_use]
    pub fn with_loads(&self, mut load_of: impl FnMut(ElementId, &Load) -> Load) -> Self {
        let mut changed = self.clone();
        for (idx, element) in changed.elements.iter_mut().enumerate() {
            if let Component::Speaker(load) = &mut element.component {
                *load = load_of(ElementId(idx), load);
            }
        }
        changed
    }

    /// Puts an ohm-meter in place of the amplifier. At DC an inductor is a wire to it.
    pub(crate) fn set_probes(&mut self, plus: usize, minus: usize) {
        self.source = Some(Source { plus, minus, volts: 1.0 });
        for element in &mut self.elements {
            if let Component::Inductor(value) = &mut element.component {
                *value = saturated(0.0);
            }
        }
    }

    pub(crate) fn index_of(&self, terminal: &str) -> Option<usize> {
        self.by_name.get(terminal).copied()
    }

    pub(crate) fn source(&self) -> Option<Source> {
        self.source
    }

    pub(crate) fn element_list(&self) -> &[Element] {
        &self.elements
    }

    pub(crate) fn wire_list(&self) -> &[(usize, usize)] {
        &self.wires
    }

    fn element(
        &mut self,
        name: &str,
        plus: &str,
        minus: &str,
        component: Component,
    ) -> Result<ElementId, NetlistError> {
        if self.find(name).is_some() {
            return Err(NetlistError::SameName { name: name.to_owned() });
        }
        let (plus, minus) = (self.terminal_index(plus), self.terminal_index(minus));
        self.elements.push(Element { name: name.to_owned(), component, plus, minus });
        Ok(ElementId(self.elements.len() - 1))
    }

    fn terminal_index(&mut self, name: &str) -> usize {
        if let Some(&known) = self.by_name.get(name) {
            return known;
        }
        self.names.push(name.to_owned());
        self.by_name.insert(name.to_owned(), self.names.len() - 1);
        self.names.len() - 1
    }
}
