//! The ledger from outside: files, other processes, kills, damage.
//!
//! What it is: everything that needs a real file or a second program. Programs are this test binary, started again with one
//! test's name and a variable that tells it to be the other program.

// `cfg(test)` is always so here; it tells clippy that helper functions may unwrap as tests may.
#[cfg(test)]
mod backups;
#[cfg(test)]
mod browsers;
#[cfg(test)]
mod damage;
#[cfg(test)]
mod forms;
#[cfg(test)]
mod kill;
#[cfg(test)]
mod lock;
#[cfg(test)]
mod places;
#[cfg(test)]
mod programs;
#[cfg(test)]
mod sample;
