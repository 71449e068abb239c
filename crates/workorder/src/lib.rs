//! Work orders and trains: what people state, wish and measure about one locomotive and about units that run together.
//!
//! What it is: the documents, in the order in which the work is done, and the checks between their facts and the shelf
//! (references to parts that do not exist, terminals that nobody has).
//! What it is not: answers. Nothing here is computed; loads, levels and settings come from the rooms above.

mod dossier;
mod motion;
mod order;
mod parts;
mod plan;
mod progress;
mod resolve;
mod survey;
mod terminal;
mod train;
mod voice;

#[cfg(test)]
mod tests;

pub use dossier::{Dossier, DossierHead, Lesson, Opening};
pub use motion::{Address, AddressForm, Contact, Manners, SpeedSteps};
pub use order::{OrderHead, Override, Scale, WorkOrder};
pub use parts::{Component, ComponentKind, Facing, Polarity, Speaker, Wire};
pub use plan::{LampPlan, Plan};
pub use progress::{Progress, WaitsFor, WorkStage};
pub use resolve::{read_dossier, read_order, read_train, resolve, terminals};
pub use survey::{FoundLamp, Pad, Survey};
pub use terminal::Terminal;
pub use train::{Train, TrainHead, Unit, UnitDirection};
pub use voice::{BellWish, HornWish, Levels, PrimeMover, Voice};
