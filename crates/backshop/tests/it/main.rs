//! The program as a person runs it: exit codes, what it says, bad input, and runs that are killed.

mod bad_input;
mod commands;
mod killed;
mod program;
