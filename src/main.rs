//! The `pairsight` program: parses the command line, dispatches, and sets the exit code.

use std::process::ExitCode;

fn main() -> ExitCode {
    pairsight::commands::run(std::env::args_os()).into()
}
