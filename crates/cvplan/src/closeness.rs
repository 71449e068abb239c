//! How near a recording comes to a wish, and in what it differs.
//!
//! The weights are our own judgement of what is heard first: the kind of engine, then the strokes (they double or
//! halve the firing frequency), the number of chimes, the way the engine gets its air, and last single cylinders.

use datasheets::{Choice, Traits};

/// What a whole other kind of thing costs: never offered as the nearest.
const OTHER_KIND: u32 = 1000;

/// How near a recording is to a wish.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Closeness {
    /// Zero for all that was wished; more for less.
    pub cost: u32,
    /// In what it differs, in words.
    pub differences: Vec<String>,
}

impl Closeness {
    /// Whether it is the same kind of thing at all.
    #[must_use]
    pub fn is_same_kind(&self) -> bool {
        self.cost < OTHER_KIND
    }

    fn add(&mut self, cost: u32, words: String) {
        self.cost += cost;
        self.differences.push(words);
    }

    fn compare<T: PartialEq>(
        &mut self,
        wanted: Option<T>,
        is: Option<T>,
        words: impl FnOnce(T, Option<T>) -> (u32, String),
    ) {
        if let Some(wanted) = wanted
            && is.as_ref() != Some(&wanted)
        {
            let (cost, words) = words(wanted, is);
            self.add(cost, words);
        }
    }
}

/// A choice with its closeness to a wish.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranked<'a> {
    /// The choice.
    pub choice: &'a Choice,
    /// How near it is.
    pub closeness: Closeness,
}

/// The choices of a role, nearest first; equal ones in the order of the sheet.
#[must_use]
pub fn rank<'a>(wanted: &Traits, choices: &'a [Choice]) -> Vec<Ranked<'a>> {
    let mut ranked: Vec<Ranked<'a>> = choices
        .iter()
        .filter(|choice| choice.is.present != Some(false))
        .map(|choice| Ranked { choice, closeness: closeness(wanted, &choice.is) })
        .collect();
    ranked.sort_by_key(|ranked| ranked.closeness.cost);
    ranked
}

fn closeness(wanted: &Traits, is: &Traits) -> Closeness {
    let mut found = Closeness { cost: 0, differences: Vec::new() };
    let unknown = |what: &str| format!("its {what} is not told");
    found.compare(wanted.kind, is.kind, |wanted, is| {
        (OTHER_KIND, is.map_or_else(|| unknown("kind"), |is| format!("{is} instead of {wanted}")))
    });
    found.compare(wanted.strokes, is.strokes, |wanted, is| {
        let words = is.map_or_else(
            || unknown("number of strokes"),
            |is| format!("{} strokes instead of {}", is.get(), wanted.get()),
        );
        (if is.is_some() { 60 } else { 10 }, words)
    });
    found.compare(wanted.aspiration, is.aspiration, |wanted, is| {
        (
            if is.is_some() { 16 } else { 4 },
            is.map_or_else(|| unknown("aspiration"), |is| format!("{is} instead of {wanted}")),
        )
    });
    found.compare(wanted.cylinders, is.cylinders, |wanted, is| match is {
        None => (4, unknown("number of cylinders")),
        Some(is) => (
            3 * u32::from(wanted.get().abs_diff(is.get())),
            format!("{} cylinders instead of {}", is.get(), wanted.get()),
        ),
    });
    found.compare(wanted.chimes, is.chimes, |wanted, is| match is {
        None => (10, unknown("number of chimes")),
        Some(is) => (
            10 + 20 * u32::from(wanted.get().abs_diff(is.get())),
            format!("{} chimes instead of {}", is.get(), wanted.get()),
        ),
    });
    if !wanted.notes.is_empty() && !is.notes.is_empty() {
        let missing: Vec<String> =
            wanted.notes.iter().filter(|note| !is.notes.contains(note)).map(ToString::to_string).collect();
        if !missing.is_empty() {
            let cost = 2 * u32::try_from(missing.len()).unwrap_or(u32::MAX / 4);
            found.add(cost, format!("without the notes {}", missing.join(", ")));
        }
    } else if !wanted.notes.is_empty() {
        found.add(1, "its notes are not told".to_owned());
    }
    found.compare(wanted.bell, is.bell, |wanted, is| {
        (
            if is.is_some() { 20 } else { 4 },
            is.map_or_else(|| unknown("kind"), |is| format!("{is} instead of {wanted}")),
        )
    });
    found.compare(wanted.head_end_power, is.head_end_power, |wanted, is| {
        (OTHER_KIND, is.map_or_else(|| unknown("kind"), |is| format!("{is} instead of {wanted}")))
    });
    found
}
