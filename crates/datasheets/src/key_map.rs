//! How a decoder ties function keys to what they do.

use documents::{Bounded, Checker};
use finding::Path;

use crate::key::Key;
use crate::role::{CvNumber, CvValue, IndexPage, Role, RoleName, check_page, value};
use crate::words::{Choice, Deed};

documents::words! {
    /// The ways in which decoders tie keys to deeds.
    pub enum KeyMapMethod: "a key-map method" {
        /// The standard's matrix CV33–46: each key reaches some of the outputs (S-9.2.2 Table 2).
        Matrix = "matrix",
        /// One CV a key, holding the number of what the key does.
        KeyTable = "key table",
        /// One CV a deed, holding the number of its key.
        DeedTable = "deed table",
    }
}

documents::record! {
    /// One row of a deed table.
    pub struct DeedEntry {
        /// What the row is for.
        pub does: Deed,
        /// The CV that holds the key's number.
        pub cv: CvNumber,
        /// The page that must be selected; only for CV257–512.
        pub page: Option<IndexPage>,
        /// The key it is delivered with.
        pub default: Option<CvValue>,
    }
}

documents::record! {
    /// How a decoder ties function keys to what they do.
    pub struct KeyMap {
        /// The way it does so.
        pub method: KeyMapMethod,
        /// The highest key that it hears.
        pub highest_key: Bounded<0, 68>,
        /// Key table: the CV of F0; the other keys follow it.
        pub cv: Option<CvNumber>,
        /// Key table: how many CVs one key takes; 1 when left out.
        pub stride: Option<Bounded<1, 16>>,
        /// Key table: the page that must be selected; only for CV257–512.
        pub page: Option<IndexPage>,
        /// Key table: what each number does.
        pub choices: Vec<Choice>,
        /// Deed table: its rows.
        pub deed: Vec<DeedEntry>,
        /// Deed table: the number that stands for "no key"; 255 when left out.
        pub no_key: Option<CvValue>,
        /// Key table: the content of each key's CV on delivery, from F0 up; 0 when left out.
        pub defaults: Vec<CvValue>,
    }
}

impl KeyMap {
    /// The number of a deed table that stands for "no key".
    #[must_use]
    pub fn no_key_value(&self) -> u8 {
        self.no_key.map_or(255, value)
    }

    /// The roles of a key table, one for each key; none for the other methods.
    #[must_use]
    pub fn key_roles(&self) -> Vec<Role> {
        let (KeyMapMethod::KeyTable, Some(first)) = (self.method, self.cv) else {
            return Vec::new();
        };
        let stride = self.stride.map_or(1, Bounded::get);
        (0..=self.highest_key.get())
            .filter_map(|number| {
                let key = Key::new(u8::try_from(number).ok()?)?;
                Some(Role {
                    name: RoleName::KeyDeed(key),
                    cv: CvNumber::new(first.get() + number * stride)?,
                    bits: None,
                    page: self.page.clone(),
                    default: self.defaults.get(usize::from(number)).copied().or_else(|| CvValue::new(0)),
                    least: None,
                    most: None,
                    choices: self.choices.clone(),
                    law: None,
                    before: Vec::new(),
                    note: None,
                })
            })
            .collect()
    }

    pub(crate) fn check(&self, path: &Path, checker: &mut Checker) {
        match self.method {
            KeyMapMethod::Matrix => {}
            KeyMapMethod::KeyTable => self.check_key_table(path, checker),
            KeyMapMethod::DeedTable => {
                if self.deed.is_empty() {
                    checker.fault(path.clone(), "a deed table has no rows", "add `[[key-map.deed]]` entries");
                }
                for (index, entry) in self.deed.iter().enumerate() {
                    check_page(
                        entry.cv.get(),
                        entry.page.as_ref(),
                        &path.join("deed").join(index + 1),
                        checker,
                    );
                }
            }
        }
        if self.method == KeyMapMethod::Matrix && self.highest_key.get() > 12 {
            checker.fault(
                path.join("highest-key"),
                "the standard's matrix reaches keys F0 to F12 only",
                "write 12 or less (S-9.2.2 Table 2)",
            );
        }
    }

    fn check_key_table(&self, path: &Path, checker: &mut Checker) {
        let Some(first) = self.cv else {
            checker.fault(path.clone(), "a key table needs the CV of F0", "add `cv = …`");
            return;
        };
        let last = first.get() + self.highest_key.get() * self.stride.map_or(1, Bounded::get);
        if last > 1024 || (first.get() <= 512 && first.get() > 256 && last > 512) {
            checker.fault(
                path.join("highest-key"),
                format!("the key table would reach CV{last}"),
                "a page ends at CV512 and all CVs at CV1024",
            );
        }
        check_page(first.get(), self.page.as_ref(), path, checker);
        crate::role::check_choices(&self.choices, crate::role::BitRange::WHOLE, path, checker);
        for (index, choice) in self.choices.iter().enumerate() {
            if choice.is.does.is_none() && choice.is.output.is_none() && choice.is.present != Some(false) {
                checker.fault(
                    path.join("choices").join(index + 1),
                    format!("the value {} does not say what it does", choice.value.get()),
                    "add `does = \"…\"`, `output = …`, or `present = false` for the value that means nothing",
                );
            }
        }
    }
}
