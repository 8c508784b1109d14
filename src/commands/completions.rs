//! `completions`: what lets a shell complete the command line.

use clap::CommandFactory;
use clap_complete::Shell;

use super::args::{Cli, CompletionsArgs};
use crate::front::outcome::{Ended, Exit, print_prose};

/// Prints a shell's completions.
pub fn run(args: &CompletionsArgs) -> Ended {
    print_prose(script(args.shell).trim_end())?;
    Ok(Exit::Done)
}

fn script(shell: Shell) -> String {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "pairsight", &mut script);
    String::from_utf8_lossy(&script).into_owned()
}

#[cfg(test)]
mod tests {
    use clap::ValueEnum;

    use super::*;

    #[test]
    fn every_shell_is_told_of_every_command() {
        for shell in Shell::value_variants() {
            let script = script(*shell);
            for command in Cli::command().get_subcommands() {
                assert!(
                    script.contains(command.get_name()),
                    "{shell} {}",
                    command.get_name()
                );
            }
        }
    }
}
