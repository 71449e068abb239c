//! Documents: TOML files read with every fault at once, and their JSON Schema from the same declaration.
//!
//! What it is: [`record!`](crate::record) and [`words!`](crate::words) declare what a document may hold, once; from that come the reader
//! (quantities with units, unknown keys with the nearest known one, all faults with line and column) and the schema.
//! What it is not: a place for what documents mean. Work orders and part sheets are declared in the rooms above.
//!
//! Why not serde: it stops at the first fault and gives keys no place; a person mending a file wants them all.
//!
//! ```
//! documents::record! {
//!     /// The motor as surveyed.
//!     pub struct Motor {
//!         /// Current with the motor held.
//!         pub stall_current: Option<quantities::Current>,
//!     }
//! }
//! impl documents::Checked for Motor {}
//!
//! let read = documents::read::<Motor>("motor.toml", "stall-current = \"0.62 A\"").unwrap();
//! assert_eq!(read.value.stall_current.unwrap().to_string(), "620 mA");
//!
//! let faults = documents::read::<Motor>("motor.toml", "stall-curent = 0.62").unwrap_err();
//! assert!(faults.to_string().contains("motor.toml:1:1: unknown key `stall-curent`"));
//! assert!(faults.to_string().contains("did you mean `stall-current`?"));
//! ```

mod declare;
mod fault;
mod name;
mod nearest;
mod read;
mod reader;
mod schema;
mod source;
mod values;

#[cfg(test)]
mod tests;

pub use fault::{Fault, Faults};
pub use name::Name;
pub use nearest::nearest;
pub use read::{Checked, Checker, Document, MOST_BYTES, decode, read};
pub use reader::{Node, Read, Reader};
pub use schema::{Definitions, schema};
pub use source::{Position, Source};
pub use values::{Bounded, Keyed, OneOrMore};

/// What [`record!`](crate::record) and [`words!`](crate::words) expand to; not for use by hand.
#[doc(hidden)]
pub mod declared {
    pub use crate::declare::{Table, described, kebab, read_word, word_schema};
    pub use serde_json;
}
