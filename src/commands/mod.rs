//! One file a command: parse, call, print.
//!
//! `main` hands the command line to [`run`]. A command returns how it ended; prose errors go to stderr here, and with
//! `--json` stdout still holds one document.

mod advise;
mod annotate;
mod args;
mod calibrate;
mod cameras;
mod coach;
mod completions;
mod demo;
mod drill;
mod files;
mod guide;
mod inspect;
mod journal;
mod keeping;
mod man;
mod profiles;
mod read;
mod review;
mod reviewed;
mod seeing;
mod state;
mod story;

use std::ffi::OsString;

use clap::Parser;
use clap::error::ErrorKind;

pub use crate::front::Exit;
use args::{Cli, Command};

use crate::front::outcome::{ErrorDocument, Failure, Stop, print_aside, print_document};
use crate::input::printable_within;

/// The most characters of a line in which the command line's parser quotes what was typed.
const WIDEST: usize = 160;

/// Runs the program on a command line (the program's name first) and says how it ended.
pub fn run(line: impl IntoIterator<Item = OsString>) -> Exit {
    let line: Vec<OsString> = line.into_iter().collect();
    let json = line.iter().any(|word| word == "--json");
    let cli = match Cli::try_parse_from(&line) {
        Ok(cli) => cli,
        Err(error) => return bad_line(&error, json),
    };
    let ended = match cli.command {
        Command::Inspect(args) => inspect::run(&args),
        Command::Read(args) => read::run(&args),
        Command::Coach(args) => coach::run(&args),
        Command::Drill(args) => drill::run(&args),
        Command::Journal(args) => journal::run(&args),
        Command::Review(args) => review::run(&args),
        Command::Guide(args) => guide::run(&args),
        Command::Demo(args) => demo::run(&args),
        Command::Advise(args) => advise::run(&args),
        Command::Calibrate(args) => calibrate::run(&args),
        Command::Cameras(args) => cameras::run(&args),
        Command::Completions(args) => completions::run(&args),
        Command::Man(args) => man::run(&args),
    };
    match ended {
        Ok(exit) => exit,
        Err(Stop::Unread) => Exit::Done,
        Err(Stop::Failed(failure)) => {
            print_aside(format_args!("pairsight: {failure}"));
            report(&failure, json)
        }
    }
}

/// A command line that clap refuses, or that asks for help or the version.
fn bad_line(error: &clap::Error, json: bool) -> Exit {
    if matches!(
        error.kind(),
        ErrorKind::DisplayHelp | ErrorKind::DisplayVersion
    ) {
        // Nothing sensible is left to do where even help cannot be written.
        let _ = error.print();
        return Exit::Done;
    }
    // It quotes the words that were typed.
    let text = error.to_string();
    let lines = text
        .trim_end()
        .lines()
        .map(|line| printable_within(line, WIDEST));
    let text = lines.collect::<Vec<_>>().join("\n");
    print_aside(&text);
    report(&Failure::usage(text.trim_start_matches("error: ")), json)
}

fn report(failure: &Failure, json: bool) -> Exit {
    if json && print_document(&ErrorDocument::from(failure)).is_err() {
        return Exit::Failed;
    }
    failure.exit
}
