//! What is as good as the target: the orders of series parts, as nets with places for speakers.
//!
//! What it is: a series-parallel target read as a tree, every order of the parts of its series written out.
//! What it is not: the swapping of equal speakers; [`super::search`] does that while it fills the places.

use std::collections::BTreeMap;

use super::{Board, ReworkError, Target};
use crate::arrangement::Arrangement;

/// Nets with places for speakers.
#[derive(Debug, Clone)]
pub(super) struct Layout {
    pub(super) n_nets: usize,
    /// The nets of the amplifier's plus and minus.
    pub(super) amplifier: [usize; 2],
    /// Where a speaker of some kind goes: the nets of its plus and minus.
    pub(super) places: Vec<([usize; 2], usize)>,
    /// Other terminals with a net of their own or one that the drawing gives them.
    pub(super) fixed: Vec<(usize, usize)>,
    /// Whether the amplifier's nets may be swapped.
    pub(super) may_turn: bool,
}

/// A series-parallel network of speakers in either direction.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Tree {
    /// A speaker of that kind, and whether its minus is on the side of amplifier plus.
    Speaker {
        kind: usize,
        is_turned: bool,
    },
    Series(Vec<Tree>),
    Parallel(Vec<Tree>),
}

impl Tree {
    fn turned(self) -> Self {
        match self {
            Self::Speaker { kind, is_turned } => Self::Speaker { kind, is_turned: !is_turned },
            Self::Series(parts) => Self::Series(parts.into_iter().rev().map(Self::turned).collect()),
            Self::Parallel(parts) => Self::Parallel(parts.into_iter().map(Self::turned).collect()),
        }
    }

    /// The same network with every set of parts in one order, so that equal networks compare equal.
    fn sorted(self) -> Self {
        let sort = |parts: Vec<Self>| {
            let mut parts: Vec<Self> = parts.into_iter().map(Self::sorted).collect();
            parts.sort();
            parts
        };
        match self {
            Self::Speaker { .. } => self,
            Self::Series(parts) => Self::Series(sort(parts)),
            Self::Parallel(parts) => Self::Parallel(sort(parts)),
        }
    }

    fn in_series(parts: [Self; 2]) -> Self {
        Self::Series(
            parts
                .into_iter()
                .flat_map(|part| if let Self::Series(parts) = part { parts } else { vec![part] })
                .collect(),
        )
    }

    fn in_parallel(parts: [Self; 2]) -> Self {
        Self::Parallel(
            parts
                .into_iter()
                .flat_map(|part| if let Self::Parallel(parts) = part { parts } else { vec![part] })
                .collect(),
        )
    }

    /// The tree with the parts of every series in every order that makes a difference. The tree is sorted.
    fn orders(&self) -> Vec<Self> {
        match self {
            Self::Speaker { .. } => vec![self.clone()],
            Self::Parallel(parts) => choices(parts).into_iter().map(Self::Parallel).collect(),
            Self::Series(parts) => {
                let mut found = Vec::new();
                permute(parts, &mut vec![false; parts.len()], &mut Vec::new(), &mut |order| {
                    found.extend(choices(order).into_iter().map(Self::Series));
                });
                found
            }
        }
    }

    /// Lays the tree between two nets.
    fn lay(&self, [plus, minus]: [usize; 2], layout: &mut Layout) {
        match self {
            Self::Speaker { kind, is_turned: false } => layout.places.push(([plus, minus], *kind)),
            Self::Speaker { kind, is_turned: true } => layout.places.push(([minus, plus], *kind)),
            Self::Parallel(parts) => parts.iter().for_each(|part| part.lay([plus, minus], layout)),
            Self::Series(parts) => {
                let mut before = plus;
                for (place, part) in parts.iter().enumerate() {
                    let after = if place + 1 == parts.len() { minus } else { layout.new_net() };
                    part.lay([before, after], layout);
                    before = after;
                }
            }
        }
    }
}

/// Every way to choose one order of each part.
fn choices(parts: &[Tree]) -> Vec<Vec<Tree>> {
    let mut chosen = vec![Vec::new()];
    for part in parts {
        let orders = part.orders();
        chosen = chosen
            .into_iter()
            .flat_map(|before: Vec<Tree>| {
                orders
                    .iter()
                    .map(move |order| before.iter().chain([order]).cloned().collect())
                    .collect::<Vec<_>>()
            })
            .collect();
    }
    chosen
}

/// Every order of sorted parts; equal parts are not swapped.
fn permute(parts: &[Tree], is_used: &mut [bool], order: &mut Vec<Tree>, found: &mut impl FnMut(&[Tree])) {
    if order.len() == parts.len() {
        return found(order);
    }
    let mut before: Option<&Tree> = None;
    for (place, part) in parts.iter().enumerate() {
        if is_used[place] || before == Some(part) {
            continue;
        }
        before = Some(part);
        is_used[place] = true;
        order.push(part.clone());
        permute(parts, is_used, order, found);
        order.pop();
        is_used[place] = false;
    }
}

impl Layout {
    fn new(board: &Board) -> Self {
        let mut layout =
            Self { n_nets: 2, amplifier: [0, 1], places: Vec::new(), fixed: Vec::new(), may_turn: true };
        for &terminal in &board.apart {
            let net = layout.new_net();
            layout.fixed.push((terminal, net));
        }
        layout
    }

    fn new_net(&mut self) -> usize {
        self.n_nets += 1;
        self.n_nets - 1
    }

    /// Gives each speaker that is left over a place by itself.
    fn add_idle(&mut self, kinds: impl Iterator<Item = usize>) {
        for kind in kinds {
            let nets = [self.new_net(), self.new_net()];
            self.places.push((nets, kind));
        }
    }
}

/// Every layout that is as good as the target.
pub(super) fn layouts(board: &Board, target: &Target) -> Result<Vec<Layout>, ReworkError> {
    match target {
        Target::Arrangement(arrangement) => {
            let mut used = arrangement.speakers();
            used.sort_unstable();
            if let Some(twice) = used.windows(2).find(|pair| pair[0] == pair[1]) {
                return Err(ReworkError::UsedTwice { what: format!("speaker number {}", twice[0]) });
            }
            let n_speakers = board.speakers.len();
            if let Some(&number) = used.iter().find(|number| **number >= n_speakers) {
                return Err(ReworkError::NoSuchSpeaker { number, n_speakers });
            }
            let tree = tree_of(board, arrangement);
            let idle = (0..n_speakers).filter(|speaker| !used.contains(speaker));
            Ok(layouts_of(board, tree, &idle.collect::<Vec<_>>()))
        }
        Target::Nets(nets) => layouts_of_nets(board, nets),
    }
}

fn tree_of(board: &Board, arrangement: &Arrangement) -> Tree {
    let inner = |parts: &[Arrangement]| parts.iter().map(|part| tree_of(board, part)).collect();
    match arrangement {
        Arrangement::Speaker(speaker) => Tree::Speaker { kind: board.speakers[*speaker].1, is_turned: false },
        Arrangement::Series(parts) => Tree::Series(inner(parts)),
        Arrangement::Parallel(parts) => Tree::Parallel(inner(parts)),
    }
}

fn layouts_of(board: &Board, tree: Tree, idle: &[usize]) -> Vec<Layout> {
    let lay = |tree: Tree| {
        let mut layout = Layout::new(board);
        tree.lay(layout.amplifier, &mut layout);
        layout.add_idle(idle.iter().map(|speaker| board.speakers[*speaker].1));
        layout
    };
    tree.sorted().orders().into_iter().map(lay).collect()
}

fn layouts_of_nets(board: &Board, nets: &[Vec<String>]) -> Result<Vec<Layout>, ReworkError> {
    // The net of every terminal of a part; those in no net get one to themselves.
    let mut net_of: BTreeMap<usize, usize> = BTreeMap::new();
    for (net, terminals) in nets.iter().enumerate() {
        for name in terminals {
            let terminal = board.by_name[name];
            if net_of.insert(terminal, net).is_some() {
                return Err(ReworkError::UsedTwice { what: name.clone() });
            }
            let other = terminals.iter().find(|other| *other != name);
            if let (true, Some(other)) = (board.apart.contains(&terminal), other) {
                return Err(ReworkError::NotApart { terminal: name.clone(), other: other.clone() });
            }
        }
    }
    let mut n_nets = nets.len();
    let parts = board.speakers.iter().map(|(terminals, _)| terminals).chain([&board.amplifier]);
    for terminal in parts.flatten().chain(&board.apart) {
        net_of.entry(*terminal).or_insert_with(|| {
            n_nets += 1;
            n_nets - 1
        });
    }
    let is_part = |terminal: usize| {
        board.is_speaker(terminal) || board.amplifier.contains(&terminal) || board.apart.contains(&terminal)
    };
    let others =
        || net_of.iter().map(|(terminal, net)| (*terminal, *net)).filter(|(terminal, _)| !is_part(*terminal));
    let has_others = others().any(|(_, net)| net_of.values().filter(|other| **other == net).count() > 1);
    if let (false, Some((tree, idle))) = (has_others, tree_of_nets(board, &net_of)) {
        return Ok(layouts_of(board, tree, &idle));
    }
    let nets_of = |terminals: [usize; 2]| terminals.map(|terminal| net_of[&terminal]);
    let apart = board.apart.iter().map(|terminal| (*terminal, net_of[terminal]));
    Ok(vec![Layout {
        n_nets,
        amplifier: nets_of(board.amplifier),
        places: board.speakers.iter().map(|(terminals, kind)| (nets_of(*terminals), *kind)).collect(),
        fixed: apart.chain(others()).collect(),
        may_turn: !has_others,
    }])
}

/// The nets read as a series-parallel network, with the speakers that are connected to nothing; none if they are not one.
/// Edges between the same two nets become one, and so do two edges that alone meet at a net.
fn tree_of_nets(board: &Board, net_of: &BTreeMap<usize, usize>) -> Option<(Tree, Vec<usize>)> {
    let ends = board.amplifier.map(|terminal| net_of[&terminal]);
    let n_on = |net: usize| net_of.values().filter(|other| **other == net).count();
    let mut edges: Vec<([usize; 2], Tree)> = Vec::new();
    let mut idle = Vec::new();
    for (speaker, (terminals, kind)) in board.speakers.iter().enumerate() {
        let nets = terminals.map(|terminal| net_of[&terminal]);
        if nets[0] == nets[1] {
            return None;
        }
        if nets.iter().all(|net| n_on(*net) == 1) {
            idle.push(speaker);
        } else {
            edges.push((nets, Tree::Speaker { kind: *kind, is_turned: false }));
        }
    }
    while let Some((one, other, nets, tree)) = edges.iter().enumerate().find_map(|(one, edge)| {
        edges[..one].iter().enumerate().find_map(|(other, earlier)| {
            let (nets, tree) = merged(earlier, edge, &edges, ends)?;
            Some((one, other, nets, tree))
        })
    }) {
        edges.remove(one);
        edges[other] = (nets, tree);
    }
    match <[_; 1]>::try_from(edges) {
        Ok([(nets, tree)]) if nets == ends => Some((tree, idle)),
        Ok([(nets, tree)]) if nets == [ends[1], ends[0]] => Some((tree.turned(), idle)),
        _ => None,
    }
}

/// Two edges as one, if they lie in parallel or alone in series.
fn merged(
    (a_nets, a): &([usize; 2], Tree),
    (b_nets, b): &([usize; 2], Tree),
    edges: &[([usize; 2], Tree)],
    ends: [usize; 2],
) -> Option<([usize; 2], Tree)> {
    let turned = |[plus, minus]: [usize; 2]| [minus, plus];
    if a_nets == b_nets {
        return Some((*a_nets, Tree::in_parallel([a.clone(), b.clone()])));
    }
    if *a_nets == turned(*b_nets) {
        return Some((*a_nets, Tree::in_parallel([a.clone(), b.clone().turned()])));
    }
    let middle = *a_nets.iter().find(|net| b_nets.contains(net) && !ends.contains(net))?;
    if edges.iter().filter(|(nets, _)| nets.contains(&middle)).count() != 2 {
        return None;
    }
    let (a_nets, a) =
        if a_nets[1] == middle { (*a_nets, a.clone()) } else { (turned(*a_nets), a.clone().turned()) };
    let (b_nets, b) =
        if b_nets[0] == middle { (*b_nets, b.clone()) } else { (turned(*b_nets), b.clone().turned()) };
    Some(([a_nets[0], b_nets[1]], Tree::in_series([a, b])))
}
