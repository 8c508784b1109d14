//! `guide`: the printable guide to the situations of a slot.

use super::args::GuideArgs;
use super::files::write_whole;
use crate::front::outcome::{Ended, Exit, print_prose};
use crate::paper;
use crate::solve::Slot;

/// Writes the guide for the first slot of a cross.
pub fn run(args: &GuideArgs) -> Ended {
    let html = paper::guide(args.cross, Slot::ALL[0]);
    match &args.out {
        Some(path) => write_whole(path, html.as_bytes())?,
        None => print_prose(html.trim_end())?,
    }
    Ok(Exit::Done)
}
