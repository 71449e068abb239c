//! Which terminals wires join, and by which wires.
//!
//! What it is: connectivity by wires alone, as a continuity tester hears it: parts in between count as breaks.
//! What it is not: the circuit; parts, currents and loads are the electrical room's matter.

use std::collections::{BTreeMap, VecDeque};

use datasheets::PinSignal;
use workorder::{Pad, Terminal, Wire};

/// Terminals joined by wires into nodes.
#[derive(Debug, Clone, Default)]
pub struct Joints {
    places: BTreeMap<String, usize>,
    /// The node of every terminal.
    nodes: Vec<usize>,
    /// The terminals that each terminal is joined to, with the number of the wire from 0; none for a pad's own
    /// connection with the amplifier.
    neighbours: Vec<Vec<(usize, Option<usize>)>>,
}

impl Joints {
    /// Joins terminals by wires. Pads that carry the loudspeaker signals are joined to the amplifier, as they are once
    /// the decoder is plugged in.
    #[must_use]
    pub(super) fn of(wires: &[Wire], pads: &[Pad]) -> Self {
        let mut joints = Self::default();
        for (number, wire) in wires.iter().enumerate() {
            joints.join(wire.from.as_str(), wire.to.as_str(), Some(number));
        }
        for pad in pads {
            let terminal = Terminal::of(Terminal::BOARD, pad.name.as_str());
            if let Some(output) = amplifier_output(pad.signal) {
                joints.join(terminal.as_str(), output.as_str(), None);
            }
        }
        joints.number_nodes();
        joints
    }

    /// Whether wires join two terminals; a terminal that no wire names is joined to itself only.
    #[must_use]
    pub fn are_joined(&self, one: &str, other: &str) -> bool {
        one == other || self.node(one).is_some_and(|node| self.node(other) == Some(node))
    }

    /// The node of a terminal; none where no wire names it.
    #[must_use]
    pub fn node(&self, terminal: &str) -> Option<usize> {
        self.places.get(terminal).map(|place| self.nodes[*place])
    }

    /// The first wire that ends at a terminal, by its number from 0.
    #[must_use]
    pub fn wire_at(&self, terminal: &str) -> Option<usize> {
        let neighbours = &self.neighbours[*self.places.get(terminal)?];
        neighbours.iter().filter_map(|(_, wire)| *wire).min()
    }

    /// The wires along a shortest way between two terminals, from one to the other; empty where there is none.
    #[must_use]
    pub fn way(&self, from: &str, to: &str) -> Vec<usize> {
        let (Some(&start), Some(&end)) = (self.places.get(from), self.places.get(to)) else {
            return Vec::new();
        };
        if self.nodes[start] != self.nodes[end] {
            return Vec::new();
        }
        // Breadth first from the far end, so that the steps come out in the order from the near one.
        let mut step_of = BTreeMap::from([(end, (end, None))]);
        let mut waiting = VecDeque::from([end]);
        while let Some(place) = waiting.pop_front() {
            if place == start {
                break;
            }
            for &(next, wire) in &self.neighbours[place] {
                step_of.entry(next).or_insert_with(|| {
                    waiting.push_back(next);
                    (place, wire)
                });
            }
        }
        let mut wires = Vec::new();
        let mut place = start;
        while place != end {
            let Some(&(next, wire)) = step_of.get(&place) else { break };
            wires.extend(wire);
            place = next;
        }
        wires
    }

    fn join(&mut self, from: &str, to: &str, wire: Option<usize>) {
        let (from, to) = (self.place(from), self.place(to));
        self.neighbours[from].push((to, wire));
        self.neighbours[to].push((from, wire));
    }

    fn place(&mut self, terminal: &str) -> usize {
        if let Some(&known) = self.places.get(terminal) {
            return known;
        }
        let place = self.neighbours.len();
        self.places.insert(terminal.to_owned(), place);
        self.neighbours.push(Vec::new());
        place
    }

    fn number_nodes(&mut self) {
        const UNSEEN: usize = usize::MAX;
        self.nodes = vec![UNSEEN; self.neighbours.len()];
        for start in 0..self.neighbours.len() {
            if self.nodes[start] != UNSEEN {
                continue;
            }
            // A node is named after its first terminal.
            self.nodes[start] = start;
            let mut waiting = vec![start];
            while let Some(place) = waiting.pop() {
                for &(next, _) in &self.neighbours[place] {
                    if self.nodes[next] == UNSEEN {
                        self.nodes[next] = start;
                        waiting.push(next);
                    }
                }
            }
        }
    }
}

/// The amplifier output that a pad's signal is; none for other signals.
pub(super) fn amplifier_output(signal: PinSignal) -> Option<Terminal> {
    match signal {
        PinSignal::SpeakerA => Some(Terminal::of(Terminal::AMPLIFIER, "1")),
        PinSignal::SpeakerB => Some(Terminal::of(Terminal::AMPLIFIER, "2")),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use workorder::{Pad, Wire};

    use super::Joints;

    fn joints(wires: &[(&str, &str)], pads: &[Pad]) -> Joints {
        let wire = |(from, to): &(&str, &str)| Wire {
            from: from.parse().unwrap(),
            to: to.parse().unwrap(),
            colour: None,
            note: None,
        };
        Joints::of(&wires.iter().map(wire).collect::<Vec<_>>(), pads)
    }

    #[test]
    fn ways_are_shortest_and_name_their_wires_in_order() {
        let joints =
            joints(&[("A.red", "board.S1"), ("board.S1", "R.1"), ("R.1", "frame"), ("A.red", "R.1")], &[]);
        assert_eq!(joints.way("A.red", "frame"), [3, 2]);
        assert_eq!(joints.way("frame", "A.red"), [2, 3]);
        assert!(joints.are_joined("board.S1", "frame"));
        assert!(joints.way("A.red", "A.black").is_empty() && joints.way("A.red", "A.red").is_empty());
        assert_eq!(joints.wire_at("R.1"), Some(1));
    }

    #[test]
    fn loudspeaker_pads_are_the_amplifier() {
        let pad = Pad { name: documents::Name::new("S1").unwrap(), signal: datasheets::PinSignal::SpeakerA };
        let joints = joints(&[("A.red", "board.S1")], &[pad]);
        assert!(joints.are_joined("A.red", "amplifier.1"));
        assert!(!joints.are_joined("A.red", "amplifier.2"));
        assert_eq!(joints.way("amplifier.1", "A.red"), [0]);
    }
}
