//! Trains: units that run together.

use documents::{Bounded, Checked, Checker, Name};
use finding::Path;

documents::words! {
    /// Which way a unit faces in the train.
    pub enum UnitDirection: "a direction" {
        /// Its front looks to the front of the train.
        Forward = "forward",
        /// Its front looks to the rear.
        Reversed = "reversed",
    }
}

documents::record! {
    /// What the train is.
    pub struct TrainHead {
        /// Its name.
        pub name: Name,
        /// One line that says what it is.
        pub title: Option<String>,
        /// The consist address that all units answer to.
        pub consist_address: Bounded<1, 127>,
        /// Whether it is our invention.
        pub invented: Option<bool>,
    }
}

documents::record! {
    /// One unit, in the order of the train from the front.
    pub struct Unit {
        /// The number of its work order.
        pub order: Name,
        /// Which way it faces.
        pub direction: UnitDirection,
        /// Whether it supplies the train with electricity.
        pub powers_train: Option<bool>,
    }
}

documents::record! {
    /// Units that run together, from the front.
    pub struct Train {
        /// What the train is.
        pub train: TrainHead,
        /// Its units, from the front.
        pub unit: Vec<Unit>,
    }
}

impl Checked for Train {
    fn check(&self, checker: &mut Checker) {
        if self.unit.is_empty() {
            checker.fault(
                Path::new("train"),
                "the train has no units",
                "add `[[unit]]` entries, from the front",
            );
        }
        let orders = self
            .unit
            .iter()
            .enumerate()
            .map(|(index, unit)| (Path::new(format!("unit.{}.order", index + 1)), &unit.order));
        checker.unique("units", orders);
    }
}
