//! How the elements and nodes of a circuit hang together, apart from their values.
//!
//! What it is: the condition of every element, the nodes that share another's voltage, and the nodes whose voltage
//! nothing determines, at DC or above.
//! What it is not: numbers.

use crate::circuit::{Branch, Circuit, Condition};
use crate::joined::Joined;

/// The shape of a circuit at DC or above.
#[derive(Debug, Clone)]
pub(crate) struct Shape {
    /// By element.
    pub(crate) conditions: Vec<Condition>,
    /// Nodes that hang on the fed circuit without current, each with the node whose voltage it shares.
    pub(crate) hanging: Vec<(usize, usize)>,
    /// By node: whether its voltage is determined.
    pub(crate) is_reached: Vec<bool>,
}

impl Shape {
    /// At DC a capacitor is a break, so what hangs behind one is not connected.
    pub(crate) fn of(circuit: &Circuit, is_dc: bool) -> Self {
        let conducts = |branch: &Branch| {
            branch.plus != branch.minus && !(is_dc && circuit.laws[branch.law].is_capacitor())
        };
        let on_a_way = branches_on_a_way(circuit, conducts);
        let mut is_fed = vec![false; circuit.n_nodes];
        (is_fed[circuit.plus], is_fed[circuit.minus]) = (true, true);
        // Elements without current hold their ends at one voltage.
        let mut held = Joined::apart(circuit.n_nodes);
        for (branch, is_on_a_way) in circuit.branches.iter().zip(&on_a_way) {
            if *is_on_a_way {
                (is_fed[branch.plus], is_fed[branch.minus]) = (true, true);
            } else if conducts(branch) {
                held.join(branch.plus, branch.minus);
            }
        }
        let mut fed_node_of = vec![None; circuit.n_nodes];
        for node in (0..circuit.n_nodes).filter(|node| is_fed[*node]) {
            fed_node_of[held.find(node)] = Some(node);
        }
        let mut hanging = Vec::new();
        let mut is_reached = is_fed.clone();
        for node in (0..circuit.n_nodes).filter(|node| !is_fed[*node]) {
            if let Some(fed_node) = fed_node_of[held.find(node)] {
                hanging.push((node, fed_node));
                is_reached[node] = true;
            }
        }
        let condition = |(branch, is_on_a_way): (&Branch, bool)| {
            if branch.plus == branch.minus {
                Condition::ShortCircuited
            } else if is_on_a_way {
                Condition::Driven
            } else if is_reached[branch.plus] || is_reached[branch.minus] {
                Condition::OpenEnded
            } else {
                Condition::NotConnected
            }
        };
        let conditions = circuit.branches.iter().zip(on_a_way).map(condition).collect();
        Self { conditions, hanging, is_reached }
    }
}

/// Whether each branch lies on a simple path from amplifier plus to minus: it then is in one biconnected block with the
/// source. Depth-first search with low points (Tarjan, SIAM J. Comput. 1, 1972, from memory), begun by walking the source
/// itself from plus to minus and kept on a stack of its own, so that a long chain cannot exhaust the thread's.
fn branches_on_a_way(circuit: &Circuit, conducts: impl Fn(&Branch) -> bool) -> Vec<bool> {
    let mut edges_at: Vec<Vec<(usize, usize)>> = vec![Vec::new(); circuit.n_nodes];
    for (edge, branch) in circuit.branches.iter().enumerate().filter(|(_, branch)| conducts(branch)) {
        edges_at[branch.plus].push((edge, branch.minus));
        edges_at[branch.minus].push((edge, branch.plus));
    }
    let mut entered = vec![0_usize; circuit.n_nodes];
    let mut low = vec![0_usize; circuit.n_nodes];
    let mut next_edge = vec![0_usize; circuit.n_nodes];
    (entered[circuit.plus], entered[circuit.minus], low[circuit.minus]) = (1, 2, 1);
    let mut n_entered = 2;
    let mut path: Vec<(usize, usize)> = vec![(circuit.minus, usize::MAX)];
    let mut open_edges: Vec<usize> = Vec::new();
    while let Some(&(node, by_edge)) = path.last() {
        if let Some(&(edge, other)) = edges_at[node].get(next_edge[node]) {
            next_edge[node] += 1;
            if edge == by_edge {
                continue;
            }
            if entered[other] == 0 {
                n_entered += 1;
                (entered[other], low[other]) = (n_entered, n_entered);
                open_edges.push(edge);
                path.push((other, edge));
            } else if entered[other] < entered[node] {
                open_edges.push(edge);
                low[node] = low[node].min(entered[other]);
            }
            continue;
        }
        path.pop();
        let Some(&(parent, _)) = path.last() else { break };
        low[parent] = low[parent].min(low[node]);
        if low[node] >= entered[parent] {
            // The block below this edge hangs on `parent` alone: no way leads through it.
            while open_edges.pop().is_some_and(|edge| edge != by_edge) {}
        }
    }
    let mut is_on_a_way = vec![false; circuit.branches.len()];
    for edge in open_edges {
        is_on_a_way[edge] = true;
    }
    is_on_a_way
}
