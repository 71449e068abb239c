//! The choice among everything that is as good as the target.
//!
//! What it is: branch and bound. Speakers are put into the places of a layout one by one; wires that already run between
//! two nets are counted, and a branch whose least possible cost is no better than the best so far is left.
//! What it is not: unlimited; see [`MOST_LOOKS`].

use super::cost::Nets;
use super::layout::Layout;
use super::{Board, Rework};

/// How many complete or partial fillings are looked at before the search ends with the best it has. Random wirings of six
/// equal speakers took up to 23 000 without tie points and up to 940 000 with four, of eight equal ones 200 000 and 1 800 000.
const MOST_LOOKS: usize = 3_000_000;

/// The best nets found.
pub(super) struct Best {
    nets: Nets,
    is_least: bool,
}

impl Best {
    pub(super) fn described(&self, board: &Board) -> Rework {
        self.nets.steps(board, self.is_least)
    }
}

/// A terminal without a net yet.
const NONE: usize = usize::MAX;

struct Search<'a> {
    board: &'a Board,
    wires_at: Vec<Vec<usize>>,
    net_of: Vec<usize>,
    n_crossing: usize,
    best: Option<(usize, Nets)>,
    n_looks: usize,
}

/// The cheapest nets over all layouts.
pub(super) fn least(board: &Board, layouts: &[Layout]) -> Best {
    let n_terminals = board.names.len();
    let mut wires_at = vec![Vec::new(); n_terminals];
    for (wire, [from, to]) in board.wires.iter().enumerate() {
        wires_at[*from].push(wire);
        if from != to {
            wires_at[*to].push(wire);
        }
    }
    let mut search =
        Search { board, wires_at, net_of: vec![NONE; n_terminals], n_crossing: 0, best: None, n_looks: 0 };
    for layout in layouts {
        let [plus, minus] = layout.amplifier;
        let ways = if layout.may_turn { vec![[plus, minus], [minus, plus]] } else { vec![[plus, minus]] };
        for nets in ways {
            let amplifier = board.amplifier.into_iter().zip(nets);
            let set: Vec<(usize, usize)> = amplifier.chain(layout.fixed.iter().copied()).collect();
            search.with(&set, |search| search.fill(layout, 0, &mut vec![false; board.speakers.len()]));
        }
    }
    let is_least = search.n_looks <= MOST_LOOKS;
    match search.best {
        Some((_, nets)) => Best { nets, is_least },
        None => unreachable!("a target has a layout, and its first filling is always looked at"),
    }
}

impl Search<'_> {
    /// Does something with some terminals given their nets.
    fn with(&mut self, set: &[(usize, usize)], inner: impl FnOnce(&mut Self)) {
        let n_crossing = self.n_crossing;
        for &(terminal, net) in set {
            self.net_of[terminal] = net;
            for &wire in &self.wires_at[terminal] {
                let [from, to] = self.board.wires[wire].map(|end| self.net_of[end]);
                if from != NONE && to != NONE && from != to {
                    self.n_crossing += 1;
                }
            }
        }
        inner(self);
        for &(terminal, _) in set {
            self.net_of[terminal] = NONE;
        }
        self.n_crossing = n_crossing;
    }

    /// Whether this branch cannot become cheaper than the best. With `C` wires between nets at least, at most the others
    /// lie within nets, and each of those makes one connection at most.
    fn is_hopeless(&mut self, layout: &Layout) -> bool {
        self.n_looks += 1;
        let Some((best, _)) = &self.best else { return false };
        if self.n_looks > MOST_LOOKS {
            return true;
        }
        let n_wanted = 2 + 2 * layout.places.len() + layout.fixed.len();
        let n_staying = self.board.wires.len() - self.n_crossing;
        let needs = n_wanted.saturating_sub(layout.n_nets + n_staying);
        // C + 2D - M, where M is at most C and at most D.
        (self.n_crossing + needs).max(2 * needs) >= *best
    }

    fn fill(&mut self, layout: &Layout, place: usize, is_used: &mut Vec<bool>) {
        if self.is_hopeless(layout) {
            return;
        }
        let Some(&(nets, kind)) = layout.places.get(place) else {
            let ties: Vec<usize> = (0..self.net_of.len()).filter(|tie| self.net_of[*tie] == NONE).collect();
            return self.tie(layout, &ties);
        };
        for speaker in 0..self.board.speakers.len() {
            let (terminals, of_kind) = self.board.speakers[speaker];
            if is_used[speaker] || of_kind != kind {
                continue;
            }
            is_used[speaker] = true;
            let set = [(terminals[0], nets[0]), (terminals[1], nets[1])];
            self.with(&set, |search| search.fill(layout, place + 1, is_used));
            is_used[speaker] = false;
        }
    }

    /// Gives each tie point the net of a neighbour, or none.
    fn tie(&mut self, layout: &Layout, ties: &[usize]) {
        if self.is_hopeless(layout) {
            return;
        }
        let Some((&tie, later)) = ties.split_first() else {
            return self.look(layout);
        };
        let mut nets = self.nets_near(tie, ties);
        nets.push(layout.n_nets);
        for net in nets {
            self.with(&[(tie, net)], |search| search.tie(layout, later));
        }
    }

    /// The nets that a tie point can reach over tie points which have none yet.
    fn nets_near(&self, tie: usize, open: &[usize]) -> Vec<usize> {
        let mut reached = vec![tie];
        let mut nets = Vec::new();
        let mut next = 0;
        while let Some(&terminal) = reached.get(next) {
            next += 1;
            for &wire in &self.wires_at[terminal] {
                for end in self.board.wires[wire] {
                    if open.contains(&end) {
                        if !reached.contains(&end) {
                            reached.push(end);
                        }
                    } else if !nets.contains(&self.net_of[end]) {
                        nets.push(self.net_of[end]);
                    }
                }
            }
        }
        nets
    }

    fn look(&mut self, layout: &Layout) {
        let mut is_wanted = vec![false; self.net_of.len()];
        let of_speakers = self.board.speakers.iter().flat_map(|(terminals, _)| *terminals);
        let wanted =
            of_speakers.chain(self.board.amplifier).chain(layout.fixed.iter().map(|(fixed, _)| *fixed));
        wanted.for_each(|terminal| is_wanted[terminal] = true);
        let nets = Nets { net_of: self.net_of.clone(), n_nets: layout.n_nets, is_wanted };
        let cost = nets.cost(&self.board.wires);
        if self.best.as_ref().is_none_or(|(best, _)| cost < *best) {
            self.best = Some((cost, nets));
        }
    }
}
