//! The little that a schema does not tell: how a key is spelled on a page, which texts are long, and what the keys of keyed tables are.

/// Words of keys that are spelled otherwise in a sentence.
const SPELLED: [(&str, &str); 3] = [("dc", "DC"), ("cv", "CV"), ("cvs", "CVs")];

/// Free texts that people fill with more than a few words.
const LONG: [&str; 3] = ["note", "reason", "wanted"];

/// A key as a label: `stall-current` becomes "Stall current".
pub(crate) fn label(key: &str) -> String {
    let mut words = spelled(key);
    if let Some(first) = words.get(..1) {
        words = format!("{}{}", first.to_uppercase(), &words[1..]);
    }
    words
}

/// A key within a sentence: `dc-resistance` becomes "DC resistance".
pub(crate) fn spelled(key: &str) -> String {
    // Keys of keyed tables (`F2`, `CV29`) and of nobody's schema stay as they are.
    if !key.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-') {
        return key.to_owned();
    }
    key.split('-')
        .map(|word| SPELLED.iter().find(|(plain, _)| *plain == word).map_or(word, |(_, spelled)| spelled))
        .collect::<Vec<_>>()
        .join(" ")
}

/// Whether a free text usually has more than a few words.
pub(crate) fn is_long(key: &str) -> bool {
    LONG.contains(&key)
}

/// What the keys of a keyed table are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KeyKind {
    /// Function keys, `F0` to `F68` (as `datasheets::Key`).
    FunctionKey,
    /// CVs, `CV1` to `CV1024` (as `datasheets::CvKey`).
    Cv,
    /// Anything.
    Free,
}

impl KeyKind {
    /// The highest function key.
    pub const HIGHEST_KEY: u8 = 68;

    /// The kind by the keyed table's own key. The schema of a keyed table does not tell what its keys are.
    pub(crate) fn of(key: &str) -> Self {
        match key {
            "keys" => Self::FunctionKey,
            "cv" | "defaults" => Self::Cv,
            _ => Self::Free,
        }
    }

    /// How to write such a key.
    #[must_use]
    pub fn help(self) -> &'static str {
        match self {
            Self::FunctionKey => "a function key, F0 to F68",
            Self::Cv => "a CV, CV1 to CV1024",
            Self::Free => "a key",
        }
    }

    /// Keys worth offering for a choice; none where there are too many to choose from.
    pub(crate) fn offered(self) -> Vec<String> {
        match self {
            Self::FunctionKey => (0..=Self::HIGHEST_KEY).map(|number| format!("F{number}")).collect(),
            Self::Cv | Self::Free => Vec::new(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{label, spelled};

    #[test]
    fn labels() {
        assert_eq!(label("stall-current"), "Stall current");
        assert_eq!(label("dc-resistance"), "DC resistance");
        assert_eq!(label("F2"), "F2");
        assert_eq!(label(""), "");
        assert_eq!(label("élan"), "élan");
        assert_eq!(spelled("keep-alive"), "keep alive");
    }
}
