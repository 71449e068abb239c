//! Which things are joined: disjoint sets with path halving.
//!
//! What it is: union by size (Tarjan, *Efficiency of a good but not linear set union algorithm*, JACM 22, 1975, from
//! memory), so that ten thousand wires take no time.
//! What it is not: a graph; it forgets which wire did the joining.

/// A partition of `0..n` that only grows coarser.
#[derive(Debug, Clone)]
pub(crate) struct Joined {
    parent: Vec<usize>,
    size: Vec<usize>,
}

impl Joined {
    /// Everything apart.
    pub(crate) fn apart(n: usize) -> Self {
        Self { parent: (0..n).collect(), size: vec![1; n] }
    }

    /// The representative of the set that `item` is in.
    pub(crate) fn find(&mut self, mut item: usize) -> usize {
        while self.parent[item] != item {
            self.parent[item] = self.parent[self.parent[item]];
            item = self.parent[item];
        }
        item
    }

    /// Joins two sets; true if they were apart.
    pub(crate) fn join(&mut self, a: usize, b: usize) -> bool {
        let (a, b) = (self.find(a), self.find(b));
        if a == b {
            return false;
        }
        let (small, large) = if self.size[a] < self.size[b] { (a, b) } else { (b, a) };
        self.parent[small] = large;
        self.size[large] += self.size[small];
        true
    }

    /// Whether two items are in one set.
    pub(crate) fn is_joined(&mut self, a: usize, b: usize) -> bool {
        self.find(a) == self.find(b)
    }

    /// Numbers the sets from zero in the order of their first members: the set of every item, and how many there are.
    pub(crate) fn numbered(&mut self) -> (Vec<usize>, usize) {
        let n = self.parent.len();
        let mut number_of_root = vec![usize::MAX; n];
        let mut n_sets = 0;
        let mut sets = Vec::with_capacity(n);
        for item in 0..n {
            let root = self.find(item);
            if number_of_root[root] == usize::MAX {
                number_of_root[root] = n_sets;
                n_sets += 1;
            }
            sets.push(number_of_root[root]);
        }
        (sets, n_sets)
    }
}
