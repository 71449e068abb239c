//! Loudspeakers in boxes, how they radiate, and sound that is synthesised and heard through them.
//!
//! What it is: the acoustical half of "what will it sound like". Parameters of a driver (even from a poor sheet) and
//! its box in, responses, limits, losses and rendered sound out.
//! What it is not: a circuit solver. The complex current or voltage at each driver comes from the electrical room
//! through whoever calls both. No files, no clock, no outside randomness; the same call gives the same answer.
//!
//! Source: the project's digest on acoustics and electrics (`acoustics-electrics.md`), cited as "digest" with its
//! section; the papers behind it are named at each formula.
#![cfg_attr(not(test), deny(clippy::disallowed_methods))]

mod air;
mod alignment;
pub mod bands;
mod cabinet;
pub mod choice;
pub mod driver;
mod enclosure;
mod installation;
pub mod limits;
mod listening;
pub mod mixing;
mod phasor;
pub mod radiation;
pub mod render;
mod response;
mod saturate;
pub mod sound;
mod sources;
mod system;

pub use air::Air;
pub use alignment::Alignment;
pub use cabinet::{Cabinet, Drive, DriveCountError, Motion, Mounted, Mounting};
pub use driver::Driver;
pub use enclosure::{ClosedBox, Enclosure, EnclosureError, Opening};
pub use installation::{BandHeard, Heard, Installation, InstallationError, a_weighted_around};
pub use listening::{Listening, Space, table_top_limit};
pub use phasor::{CurrentPhasor, ImpedancePhasor, PressurePhasor, VoltagePhasor, VolumeVelocityPhasor};
pub use response::{Response, ResponseError, logarithmic_grid};
pub use sources::{Position, Source, pressure_at, pressure_on_axis, radiated_power};
pub use system::System;
