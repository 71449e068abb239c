//! The ledger from outside: files, other processes, kills, damage.
//!
//! What it is: everything that needs a real file or a second program. Programs are this test binary, started again with one
//! test's name and a variable that tells it to be the other program.

mod backups;
mod browsers;
mod damage;
mod forms;
mod kill;
mod lock;
mod places;
mod programs;
mod sample;
