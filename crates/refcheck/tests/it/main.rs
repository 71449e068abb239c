//! One integration binary for all outside checks; each module names its document and section.

// `cfg(test)` is always so here; it tells clippy that helper functions may unwrap as tests may.
#[cfg(test)]
mod acoustics;
#[cfg(test)]
mod bench;
#[cfg(test)]
mod dcc;
#[cfg(test)]
mod electrics;
#[cfg(test)]
mod sockets;
#[cfg(test)]
mod track;
