//! The program as a person runs it: exit codes, what it says, bad input, and runs that are killed.

// `cfg(test)` is always so here; it tells clippy that helper functions may unwrap as tests may.
#[cfg(test)]
mod bad_input;
#[cfg(test)]
mod commands;
#[cfg(test)]
mod killed;
#[cfg(test)]
mod program;
#[cfg(test)]
mod served;
#[cfg(test)]
mod shop;
