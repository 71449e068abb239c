//! A text told by what differs from another one.
//!
//! What it is: the bytes that both have in front and at the back, and the piece between. While a person types, a revision
//! then costs a few bytes and not the whole document again.
//! What it is not: a comparison for people; it knows one changed stretch.

/// How to make a text from another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Splice<'a> {
    /// How many bytes of the other text stand in front.
    pub(crate) front: usize,
    /// How many bytes of the other text stand at the back.
    pub(crate) back: usize,
    /// What stands between.
    pub(crate) piece: &'a str,
}

impl<'a> Splice<'a> {
    /// How to make `to` from `from`. Cuts fall between characters.
    pub(crate) fn between(from: &str, to: &'a str) -> Self {
        let most = from.len().min(to.len());
        let mut front = from.bytes().zip(to.bytes()).take_while(|(left, right)| left == right).count();
        while !from.is_char_boundary(front) || !to.is_char_boundary(front) {
            front -= 1;
        }
        let same_back =
            from.bytes().rev().zip(to.bytes().rev()).take_while(|(left, right)| left == right).count();
        // What stands in front is not counted again.
        let mut back = same_back.min(most - front);
        while !from.is_char_boundary(from.len() - back) || !to.is_char_boundary(to.len() - back) {
            back -= 1;
        }
        Self { front, back, piece: &to[front..to.len() - back] }
    }

    /// The text; none where this was not made for `from`.
    pub(crate) fn apply(self, from: &str) -> Option<String> {
        let back_at = from.len().checked_sub(self.back).filter(|at| *at >= self.front)?;
        let (front, back) = (from.get(..self.front)?, from.get(back_at..)?);
        Some([front, self.piece, back].concat())
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::Splice;

    #[test]
    fn one_word_costs_one_word() {
        let splice = Splice::between("horn = 3\nbell = 1\n", "horn = 5\nbell = 1\n");
        assert_eq!(splice, Splice { front: 7, back: 10, piece: "5" });
    }

    #[test]
    fn repeated_letters_are_counted_once() {
        assert_eq!(Splice::between("aaa", "aaaa"), Splice { front: 3, back: 0, piece: "a" });
        assert_eq!(Splice::between("aaaa", "aaa"), Splice { front: 3, back: 0, piece: "" });
    }

    #[test]
    fn a_splice_for_another_text_is_noticed() {
        assert_eq!(Splice { front: 4, back: 4, piece: "" }.apply("short"), None);
        assert_eq!(Splice { front: 1, back: 0, piece: "" }.apply("é"), None);
    }

    proptest! {
        #[test]
        fn leads_back(from in "[aäß€]{0,12}", to in "[aäß€]{0,12}") {
            prop_assert_eq!(Splice::between(&from, &to).apply(&from), Some(to));
        }

        #[test]
        fn never_panics(front in 0usize..9, back in 0usize..9, from in "[aä]{0,6}") {
            let _ = Splice { front, back, piece: "x" }.apply(&from);
        }
    }
}
