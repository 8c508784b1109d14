//! `completions`: what lets a shell complete the command line.

use clap::CommandFactory;

use super::args::{Cli, CompletionsArgs};
use super::outcome::{Ended, Exit, print_prose};

/// Prints a shell's completions.
pub fn run(args: &CompletionsArgs) -> Ended {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "pairsight", &mut script);
    print_prose(String::from_utf8_lossy(&script).trim_end())?;
    Ok(Exit::Done)
}
