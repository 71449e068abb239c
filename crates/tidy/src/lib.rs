//! Housekeeping: what the architecture promises, checked against the tree.
//!
//! What it is: tests only. `ARCHITECTURE.md` has a table of rooms with what each may lean on; the manifests must agree
//! with it. Every source file opens with its purpose and stays readable in length.

#[cfg(test)]
mod tests;
