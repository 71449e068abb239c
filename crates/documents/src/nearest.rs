//! The nearest known word to one that is not known.

/// The candidate that a person most likely meant; none where nothing is near.
///
/// Near means at most a third of the letters wrong, by the edit distance with swaps of neighbours counted as one
/// (Damerau 1964, optimal string alignment form).
///
/// ```
/// assert_eq!(documents::nearest("stall-curent", ["stall-current", "socket"]), Some("stall-current"));
/// assert_eq!(documents::nearest("colour", ["stall-current", "socket"]), None);
/// ```
#[must_use]
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // Longer than any key of ours: not a slip of the pen, and not worth a table of that size.
    const LONGEST: usize = 80;
    let letters: Vec<char> = word.to_lowercase().chars().collect();
    if letters.len() > LONGEST {
        return None;
    }
    let allowed = (letters.len() / 3).max(1);
    candidates
        .into_iter()
        .map(|candidate| {
            (distance(&letters, &candidate.to_lowercase().chars().collect::<Vec<_>>()), candidate)
        })
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

fn distance(left: &[char], right: &[char]) -> usize {
    let width = right.len() + 1;
    let mut table = vec![0; (left.len() + 1) * width];
    for row in 0..=left.len() {
        for column in 0..=right.len() {
            table[row * width + column] = if row == 0 || column == 0 {
                row + column
            } else {
                let at = |r: usize, c: usize| table[r * width + c];
                let changed = usize::from(left[row - 1] != right[column - 1]);
                let mut least = (at(row - 1, column) + 1)
                    .min(at(row, column - 1) + 1)
                    .min(at(row - 1, column - 1) + changed);
                if row > 1
                    && column > 1
                    && left[row - 1] == right[column - 2]
                    && left[row - 2] == right[column - 1]
                {
                    least = least.min(at(row - 2, column - 2) + 1);
                }
                least
            };
        }
    }
    table[table.len() - 1]
}
