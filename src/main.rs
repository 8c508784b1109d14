//! The `pairsight` program: parses the command line, dispatches, and sets the exit code.

fn main() {}
