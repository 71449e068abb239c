//! How many frequency points a second the solver does.

fn main() {
    divan::main();
}
