//! The acoustical room against outside truth.

mod cases;
mod closed_box;
mod figures;
mod locomotive;
mod radiation;
mod scipy;
mod sheets;
mod weighting;
