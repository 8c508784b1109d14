//! The laboratory: measurements over many drawn or measured cubes, too long for tests. Each writes a table with its date, commit,
//! machine, command and counts under `tests/lab/tables`, and prints it.
//!
//! `cargo run --release --features lab --example lab -- --help` lists them. Tests keep a small, exact sample of each.

mod anew;
mod clutter;
#[path = "../decoding.rs"]
#[allow(unused, reason = "tests use the rest")]
mod decoding;
mod doubles;
mod false_faces;
mod films;
#[path = "../hands/mod.rs"]
#[allow(unused, reason = "tests use the rest")]
mod hands;
#[path = "../harness/mod.rs"]
#[allow(dead_code, reason = "tests use the rest")]
mod harness;
mod hours;
mod kills;
mod margin;
mod photographs;
mod process;
mod reading;
#[path = "../reading/mod.rs"]
#[allow(unused, reason = "tests use the rest")]
mod readings;
#[path = "../../src/coach/tests/said/mod.rs"]
#[allow(unused, reason = "tests use the rest")]
mod said;
mod seeing;
mod simulated;
mod solves;
mod table;
mod told;
mod truth;
mod turning;
#[path = "../whole.rs"]
#[allow(unused, reason = "tests use the rest")]
mod whole;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};
// What is said is checked by the library's own tests, which call its modules so.
use pairsight::{coach, cube, solve};
use table::Table;

#[derive(Parser)]
#[command(about = "Measures pairsight over many cubes, and keeps what it counted")]
struct Lab {
    #[command(subcommand)]
    what: What,
    /// The folder for the table
    #[arg(long, global = true, default_value = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/lab/tables"))]
    tables: PathBuf,
    /// Print the table and keep none
    #[arg(long, global = true)]
    only_print: bool,
}

#[derive(Subcommand)]
enum What {
    /// Whole readings of pictures taken anew, in other light and from other places
    Anew(anew::Args),
    /// Two stickers of a cube seen as other colours
    Doubles(doubles::Args),
    /// Drawn films of hands that turn a cube in view
    Films(films::Args),
    /// Things that are no face among true looks, simulated
    FalseFaces(false_faces::Args),
    /// How the margin of simulated cubes maps to the chance of a wrong reading
    Margin(margin::Args),
    /// Photographs of real cubes, at their own size and in a webcam's frame
    Photographs(photographs::Args),
    /// Whole readings of scans by what is shown, with a profile and without
    Reading(reading::Args),
    /// What may be taken for another cube than it is, simulated
    Rivals(simulated::Args),
    /// Long hours at full speed: clutter, idle hands, practice with the page open
    Hours(hours::Args),
    /// Practice that is killed at random moments, and whether its journal has all that was told
    Kills(kills::Args),
    /// Faces found in pictures of cubes and in photographs without one
    Seeing(seeing::Args),
    /// What was done after a hint, shown by a corner or two, simulated
    Slips(simulated::SimulatedArgs),
    /// Turns of whole solves of random cubes, pair by pair and looking ahead
    Solves(solves::Args),
    /// Cubes that are turned while they are shown, simulated
    Turned(simulated::SimulatedArgs),
    /// What one simulated learner is told
    Told(told::Args),
    /// Whether all that is said is true: all placements, and whole solves
    Truth(truth::Args),
    /// Learners who turn in view, simulated look by look
    Turning(turning::Args),
}

impl What {
    fn measure(&self) -> Table {
        match self {
            What::Anew(args) => anew::measure(args),
            What::Doubles(args) => doubles::measure(args),
            What::Films(args) => films::measure(args),
            What::FalseFaces(args) => false_faces::measure(args),
            What::Margin(args) => margin::measure(args),
            What::Photographs(args) => photographs::measure(args),
            What::Rivals(args) => simulated::rivals(args),
            What::Slips(args) => simulated::slips(args),
            What::Turned(args) => simulated::turned(args),
            What::Reading(args) => reading::measure(args),
            What::Hours(args) => hours::measure(args),
            What::Kills(args) => kills::measure(args),
            What::Seeing(args) => seeing::measure(args),
            What::Solves(args) => solves::measure(args),
            What::Told(args) => told::measure(args),
            What::Truth(args) => truth::measure(args),
            What::Turning(args) => turning::measure(args),
        }
    }
}

fn main() -> ExitCode {
    let lab = Lab::parse();
    let run = table::Run::begin();
    let table = lab.what.measure();
    let text = run.describe(&table);
    print!("{text}");
    if lab.only_print {
        return ExitCode::SUCCESS;
    }
    match run.keep(&table, &text, &lab.tables) {
        Ok(path) => {
            println!("\nkept in {}", path.display());
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("lab: {}: {error}", lab.tables.display());
            ExitCode::FAILURE
        }
    }
}
