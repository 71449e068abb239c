//! The track room on the virtual bench: the demo's orders programmed and proved, its faults diagnosed.

// `cfg(test)` is always so here; it tells clippy that helper functions may unwrap as tests may.
#[cfg(test)]
mod demo;
#[cfg(test)]
mod dirt;
#[cfg(test)]
mod faults;
#[cfg(test)]
mod on_the_main;
#[cfg(test)]
mod program;
