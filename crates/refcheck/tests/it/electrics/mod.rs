//! The electrical room against outside truth.

mod cases;
mod circuits;
mod meter;
mod nalgebra;
mod ngspice;
mod parts;
mod random;
