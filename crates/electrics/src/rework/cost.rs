//! What it costs to reach one definite set of nets, and how it is done.
//!
//! What it is: `C + 2D - M` of [`super`], counted, and its steps written out.
//! What it is not: the choice among the nets that would do.

use super::{Board, Rework, Step};
use crate::joined::Joined;

/// The net of every terminal. Tie points may be on none, which is written as the number of nets.
#[derive(Debug, Clone)]
pub(super) struct Nets {
    pub(super) net_of: Vec<usize>,
    pub(super) n_nets: usize,
    /// Whether a terminal belongs to its net; tie points may hang on one but need not.
    pub(super) is_wanted: Vec<bool>,
}

/// The wires, sorted by what becomes of them.
struct Sorted {
    /// Wires between two nets.
    crossing: Vec<usize>,
    /// The pieces that the wires within nets leave.
    pieces: Joined,
    /// How many connections each net needs.
    needs: Vec<usize>,
    /// For each crossing wire, the net that it is given to.
    given_to: Vec<Option<usize>>,
}

impl Nets {
    /// How many joints it takes to get there.
    pub(super) fn cost(&self, wires: &[[usize; 2]]) -> usize {
        let sorted = self.sort(wires);
        let n_used = sorted.given_to.iter().flatten().count();
        sorted.crossing.len() + 2 * sorted.needs.iter().sum::<usize>() - n_used
    }

    fn sort(&self, wires: &[[usize; 2]]) -> Sorted {
        let n_terminals = self.net_of.len();
        let mut pieces = Joined::apart(n_terminals);
        let mut crossing = Vec::new();
        for (wire, [from, to]) in wires.iter().enumerate() {
            if self.net_of[*from] == self.net_of[*to] {
                pieces.join(*from, *to);
            } else {
                crossing.push(wire);
            }
        }
        // Pieces of tie points alone need no connection, and a wire anchored on one is of no use.
        let mut is_counted = vec![false; n_terminals];
        let mut n_pieces = vec![0_usize; self.n_nets + 1];
        for terminal in (0..n_terminals).filter(|terminal| self.is_wanted[*terminal]) {
            let piece = pieces.find(terminal);
            if !std::mem::replace(&mut is_counted[piece], true) {
                n_pieces[self.net_of[terminal]] += 1;
            }
        }
        let needs: Vec<usize> = n_pieces.iter().map(|n| n.saturating_sub(1)).collect();
        let useful = |terminal: usize, pieces: &mut Joined| {
            let net = self.net_of[terminal];
            (needs[net] > 0 && is_counted[pieces.find(terminal)]).then_some(net)
        };
        let options: Vec<[Option<usize>; 2]> =
            crossing.iter().map(|wire| wires[*wire].map(|end| useful(end, &mut pieces))).collect();
        let given_to = most_given(&options, &needs);
        Sorted { crossing, pieces, needs, given_to }
    }

    /// The steps that reach the nets.
    pub(super) fn steps(&self, board: &Board, is_least: bool) -> Rework {
        let Sorted { crossing, mut pieces, given_to, .. } = self.sort(&board.wires);
        let (mut lifts, mut joins, mut sleeves) = (Vec::new(), Vec::new(), Vec::new());
        let is_kept = |wire: &usize| crossing.binary_search(wire).is_err();
        let mut wires: Vec<[usize; 2]> =
            (0..board.wires.len()).filter(is_kept).map(|wire| board.wires[wire]).collect();
        let name = |terminal: usize| board.names[terminal].clone();
        for (wire, net) in crossing.iter().zip(&given_to) {
            let [from, to] = board.wires[*wire];
            let (stays, lifted) = match net {
                Some(net) if self.net_of[to] == *net => (to, from),
                _ => (from, to),
            };
            lifts.push(Step::Lift { terminal: name(stays), from: name(lifted) });
            let other = net.and_then(|_| self.other_piece(stays, &mut pieces, board));
            if let Some(other) = other {
                pieces.join(stays, other);
                joins.push(Step::Join { terminal: name(stays), to: name(other) });
                wires.push([stays, other]);
            } else {
                sleeves.push(Step::Sleeve { terminal: name(stays) });
            }
        }
        for terminal in (0..self.net_of.len()).filter(|terminal| self.is_wanted[*terminal]) {
            while let Some(other) = self.other_piece(terminal, &mut pieces, board) {
                pieces.join(terminal, other);
                joins.push(Step::Lay { from: name(terminal), to: name(other) });
                wires.push([terminal, other]);
            }
        }
        let steps: Vec<Step> = lifts.into_iter().chain(joins).chain(sleeves).collect();
        Rework {
            n_joints: steps.iter().map(Step::n_joints).sum(),
            steps,
            wires: wires.into_iter().map(|[from, to]| (name(from), name(to))).collect(),
            nets: self.named(board),
            is_least,
        }
    }

    /// A terminal of the same net in another piece: one that is no speaker's, if there is a choice.
    fn other_piece(&self, terminal: usize, pieces: &mut Joined, board: &Board) -> Option<usize> {
        let others: Vec<usize> = (0..self.net_of.len())
            .filter(|other| self.is_wanted[*other] && self.net_of[*other] == self.net_of[terminal])
            .filter(|other| !pieces.is_joined(*other, terminal))
            .collect();
        others.iter().find(|other| !board.is_speaker(**other)).or(others.first()).copied()
    }

    fn named(&self, board: &Board) -> Vec<Vec<String>> {
        let mut nets = vec![Vec::new(); self.n_nets];
        for (terminal, net) in self.net_of.iter().enumerate() {
            if self.is_wanted[terminal] {
                nets[*net].push(board.names[terminal].clone());
            }
        }
        nets.retain(|net| net.len() > 1);
        nets
    }
}

/// Gives as many wires as possible to one of their nets each, no net more than it needs: augmenting paths (Kuhn 1955, from
/// memory).
fn most_given(options: &[[Option<usize>; 2]], needs: &[usize]) -> Vec<Option<usize>> {
    let mut given_to = vec![None; options.len()];
    for wire in 0..options.len() {
        give(wire, options, needs, &mut given_to, &mut vec![false; needs.len()]);
    }
    given_to
}

fn give(
    wire: usize,
    options: &[[Option<usize>; 2]],
    needs: &[usize],
    given_to: &mut Vec<Option<usize>>,
    is_tried: &mut [bool],
) -> bool {
    for net in options[wire].into_iter().flatten() {
        if std::mem::replace(&mut is_tried[net], true) {
            continue;
        }
        let holders: Vec<usize> =
            (0..given_to.len()).filter(|holder| given_to[*holder] == Some(net)).collect();
        let has_room = holders.len() < needs[net];
        if has_room || holders.into_iter().any(|holder| give(holder, options, needs, given_to, is_tried)) {
            given_to[wire] = Some(net);
            return true;
        }
    }
    false
}
