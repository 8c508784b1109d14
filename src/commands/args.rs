//! The command line, as typed: plain values only. What follows from them is worked out in each command's file.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};
use clap_complete::Shell;

use crate::cube::Colour;

/// Sees a cube through a webcam and coaches the first two layers, pair by pair
#[derive(Debug, Parser)]
#[command(
    name = "pairsight",
    version,
    propagate_version = true,
    arg_required_else_help = true
)]
pub struct Cli {
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Read a cube from pictures of its faces or corners
    Read(ReadArgs),
    /// Say what state a cube is in and whether it can be solved
    Inspect(InspectArgs),
    /// Say what to do next with a cube, and why: the pair to solve, four hints, and its routes
    Advise(AdviseArgs),
    /// Learn your cube's colours under your light; the cube need not be solved
    Calibrate(CalibrateArgs),
    /// List the cameras and what they offer
    Cameras(CamerasArgs),
    /// Watch the cube in your hands and coach, turn by turn
    Coach(CoachArgs),
    /// Practise one situation: bring the cube into it, and be watched and helped while you solve it
    ///
    /// The fewest turns that lead to it are told; the cross and the other pairs stay solved. How it went is kept in the
    /// journal.
    Drill(DrillArgs),
    /// Show what was practised: how often each situation was met, with how much help, in how many turns
    ///
    /// Coaching and drills keep this by themselves. Several learners' files are shown side by side.
    Journal(JournalArgs),
    /// Look at one solve again: for each pair the seconds of looking and of turning, the turns against the fewest, and one thing to
    /// practise
    Review(ReviewArgs),
    /// Write the printable guide: every situation of a slot with pictures, the plain route and the short one
    Guide(GuideArgs),
    /// Coach on pictures that the program carries: no camera needed
    Demo(DemoArgs),
    /// Print what lets a shell complete pairsight's commands and options
    ///
    /// For bash: pairsight completions bash > ~/.local/share/bash-completion/completions/pairsight
    Completions(CompletionsArgs),
    /// Print the manual page, or write one for each command to a folder
    ///
    /// To read it at once: pairsight man | man -l -
    Man(ManArgs),
}

/// Which colours to read by.
#[derive(Debug, Clone, Args)]
pub struct ProfileArgs {
    /// A profile's name, or a profile file
    #[arg(long, value_name = "NAME|FILE")]
    pub profile: Option<String>,
    /// The folder that holds profiles
    #[arg(long, value_name = "DIR", default_value = "calibration")]
    pub calibration_dir: PathBuf,
    /// The pictures are mirrored, or (no) are not: no picture tells that from a cube whose colours run the other way round
    #[arg(long, value_name = "yes|no", num_args = 0..=1, require_equals = true, default_missing_value = "yes", value_parser = clap::builder::BoolishValueParser::new())]
    pub mirrored: Option<bool>,
}

/// Where frames come from.
#[derive(Debug, Args)]
pub struct WatchArgs {
    /// Frames in place of the camera: a folder of pictures, one picture, a Motion-JPEG or Y4M file
    #[arg(long, value_name = "PATH")]
    pub frames: Option<PathBuf>,
    /// Frames a second of --frames
    #[arg(long, value_name = "N", default_value_t = 15.0, value_parser = rate)]
    pub fps: f64,
    /// The camera: its number or a part of its name, as `cameras` lists them; the first that works when not given
    #[arg(long, value_name = "NAME")]
    pub camera: Option<String>,
}

/// Where a cube's state comes from.
#[derive(Debug, Args)]
#[group(required = true, multiple = false)]
pub struct StateArgs {
    /// A net as JSON, or what `read --json` printed; `-` for standard input
    #[arg(long, value_name = "FILE")]
    pub net: Option<PathBuf>,
    /// Moves from the solved cube, held white up and green in front
    #[arg(long, value_name = "MOVES", allow_hyphen_values = true)]
    pub scramble: Option<String>,
}

#[derive(Debug, Args)]
pub struct ReadArgs {
    #[command(flatten)]
    pub profile: ProfileArgs,
    /// Print one JSON document
    #[arg(long)]
    pub json: bool,
    /// Write pictures of what was found to this folder
    #[arg(long, value_name = "DIR")]
    pub annotate: Option<PathBuf>,
    /// With --annotate: also write what each stage of finding saw, and say how long each took
    #[arg(long, requires = "annotate")]
    pub stages: bool,
    /// Pictures of one cube, in any order, any way up
    #[arg(required = true, value_name = "IMAGE")]
    pub images: Vec<PathBuf>,
}

#[derive(Debug, Args)]
pub struct InspectArgs {
    #[command(flatten)]
    pub state: StateArgs,
    /// The cross to speak of
    #[arg(long, value_name = "COLOUR", value_parser = colour)]
    pub cross: Option<Colour>,
    /// Print one JSON document
    #[arg(long)]
    pub json: bool,
}

/// Where a cube's state, or many, come from.
#[derive(Debug, Args)]
#[group(required = true, multiple = false)]
pub struct StatesArgs {
    /// A net as JSON, or what `read --json` printed; `-` for standard input
    #[arg(long, value_name = "FILE")]
    pub net: Option<PathBuf>,
    /// Moves from the solved cube, held white up and green in front
    #[arg(long, value_name = "MOVES", allow_hyphen_values = true)]
    pub scramble: Option<String>,
    /// One net a line in, one document a line out
    #[arg(long, value_name = "FILE")]
    pub batch: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub struct AdviseArgs {
    #[command(flatten)]
    pub states: StatesArgs,
    /// The cross to build
    #[arg(long, value_name = "COLOUR", value_parser = colour)]
    pub cross: Option<Colour>,
    /// What to coach: 1 the method with the slot in front, 2 without turning the cube, 3 shorter ways too, 4 looking ahead
    #[arg(long, value_name = "LEVEL", default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=4))]
    pub level: u8,
    /// Give the whole solution as well
    #[arg(long)]
    pub whole: bool,
    /// Print one JSON document
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub struct CalibrateArgs {
    /// The profile's name, such as `desk-lamp`
    pub name: String,
    /// Pictures of all six faces in place of the camera: a folder of pictures, a Motion-JPEG or Y4M file
    #[arg(long, value_name = "PATH")]
    pub frames: Option<PathBuf>,
    /// The camera: its number or a part of its name, as `cameras` lists them; the first that works when not given
    #[arg(long, value_name = "NAME")]
    pub camera: Option<String>,
    /// The folder that holds profiles
    #[arg(long, value_name = "DIR", default_value = "calibration")]
    pub calibration_dir: PathBuf,
    /// Print one JSON document
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub struct CamerasArgs {
    /// Print one JSON document
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub struct CoachArgs {
    #[command(flatten)]
    pub watch: WatchArgs,
    #[command(flatten)]
    pub profile: ProfileArgs,
    /// The cross to build
    #[arg(long, value_name = "COLOUR", value_parser = colour)]
    pub cross: Option<Colour>,
    /// What to coach: 1 the method with the slot in front, 2 without turning the cube, 3 shorter ways too, 4 looking ahead; what
    /// practice has opened when not given
    #[arg(long, value_name = "1..4", value_parser = clap::value_parser!(u8).range(1..=4))]
    pub level: Option<u8>,
    /// How much each hint tells at first: 0 only asks, 1 which pair, 2 what its two pieces are to each other, 3 the idea, 4 the turns
    #[arg(long, value_name = "0..4", default_value_t = 0, value_parser = clap::value_parser!(u8).range(0..=4))]
    pub rung: u8,
    /// Print one JSON object a line for each event
    #[arg(long)]
    pub events: bool,
    #[command(flatten)]
    pub screen: ScreenArgs,
    #[command(flatten)]
    pub keep: KeepArgs,
}

/// How coaching is shown.
#[derive(Debug, Args)]
pub struct ScreenArgs {
    /// Do not open the page; coach in the terminal
    #[arg(long)]
    pub no_page: bool,
    /// Never speak
    #[arg(long)]
    pub quiet: bool,
    /// The page's port; a free one when not given
    #[arg(long, value_name = "PORT")]
    pub port: Option<u16>,
}

/// Where practice is kept.
#[derive(Debug, Args)]
pub struct KeepArgs {
    /// Keep what was practised in this file, not in your data folder
    #[arg(long, value_name = "FILE", conflicts_with = "no_journal")]
    pub journal: Option<PathBuf>,
    /// Keep nothing of what was practised
    #[arg(long)]
    pub no_journal: bool,
}

#[derive(Debug, Args)]
pub struct DrillArgs {
    /// What to practise in turn: numbers, or words such as "joined" or "white up" (`--list` prints all); without any,
    /// what is due
    #[arg(value_name = "SITUATION")]
    pub situations: Vec<String>,
    /// Practise what went worst so far; with situations, the worst of them
    #[arg(long)]
    pub worst: bool,
    /// Practise what is due, as without any situation
    #[arg(long, conflicts_with_all = ["worst", "situations"])]
    pub due: bool,
    /// Print all situations by number and name, with when they are due
    #[arg(long, conflicts_with_all = ["situations", "worst", "frames"])]
    pub list: bool,
    /// Practise seeing alone, in the terminal: say what the two pieces of each pair are to each other, without a cube
    #[arg(long, conflicts_with_all = ["situations", "worst", "due", "list", "frames", "events", "net", "scramble"])]
    pub seeing: bool,
    /// The cross that is kept
    #[arg(long, value_name = "COLOUR", value_parser = colour)]
    pub cross: Option<Colour>,
    /// The cube in hand: a net as JSON, or what `read --json` printed; `-` for standard input; solved when not given
    #[arg(long, value_name = "FILE", conflicts_with = "scramble")]
    pub net: Option<PathBuf>,
    /// The cube in hand: moves from the solved cube, held white up and green in front
    #[arg(long, value_name = "MOVES", allow_hyphen_values = true)]
    pub scramble: Option<String>,
    #[command(flatten)]
    pub watch: WatchArgs,
    #[command(flatten)]
    pub profile: ProfileArgs,
    /// Print one JSON object a line for each event
    #[arg(long, conflicts_with = "json")]
    pub events: bool,
    /// Print one JSON document and open no page; without --frames nothing is watched
    #[arg(long)]
    pub json: bool,
    #[command(flatten)]
    pub screen: ScreenArgs,
    #[command(flatten)]
    pub keep: KeepArgs,
}

#[derive(Debug, Args)]
pub struct ReviewArgs {
    /// The film of a solve: a folder of pictures, a Motion-JPEG or Y4M file
    #[arg(value_name = "FILM", required_unless_present = "last")]
    pub film: Option<PathBuf>,
    /// The last solve before the camera
    #[arg(long, conflicts_with = "film")]
    pub last: bool,
    /// Frames a second of the film
    #[arg(long, value_name = "N", default_value_t = 15.0, value_parser = rate)]
    pub fps: f64,
    /// The cross that was built
    #[arg(long, value_name = "COLOUR", value_parser = colour)]
    pub cross: Option<Colour>,
    #[command(flatten)]
    pub profile: ProfileArgs,
    /// Print one JSON document
    #[arg(long)]
    pub json: bool,
    /// Write a page with plots to this file
    #[arg(long, value_name = "OUT")]
    pub html: Option<PathBuf>,
    #[command(flatten)]
    pub keep: KeepArgs,
}

#[derive(Debug, Args)]
pub struct JournalArgs {
    /// Journals to read, one for each learner; your own when not given
    #[arg(long, value_name = "FILE", num_args = 1..)]
    pub journal: Vec<PathBuf>,
    /// Print one JSON document
    #[arg(long)]
    pub json: bool,
    /// Write a page with plots to this file
    #[arg(long, value_name = "OUT")]
    pub html: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub struct GuideArgs {
    /// The file to write; standard output when not given
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// The cross that the guide shows
    #[arg(long, value_name = "COLOUR", value_parser = colour, default_value = "white")]
    pub cross: Colour,
}

#[derive(Debug, Args)]
pub struct DemoArgs {
    /// The folder for the annotated pictures and drawings
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// Show the page as well
    #[arg(long)]
    pub page: bool,
    /// Print one JSON object a line for each event
    #[arg(long)]
    pub events: bool,
}

#[derive(Debug, Args)]
pub struct CompletionsArgs {
    pub shell: Shell,
}

#[derive(Debug, Args)]
pub struct ManArgs {
    /// Write the pages of all commands to this folder
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}

fn colour(text: &str) -> Result<Colour, String> {
    let wanted = text.to_ascii_lowercase();
    Colour::ALL
        .into_iter()
        .find(|c| c.name() == wanted || c.letter().to_string() == wanted)
        .ok_or_else(|| "give one of white, yellow, red, orange, green, blue".into())
}

fn rate(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(n) if (0.1..=240.0).contains(&n) => Ok(n),
        _ => Err("give frames a second, from 0.1 to 240".into()),
    }
}
