//! `read`: one cube from pictures of its faces or corners.

use std::path::Path;

use super::annotate::{annotate, annotate_stages, annotated_name, stage_times};
use super::args::ReadArgs;
use super::profiles;
use super::state;
use crate::camera::{Layout, load_picture};
use crate::front::outcome::{Ended, Exit, Failure, print_aside, print_document, print_prose};
use crate::input::shown;
use crate::read::{MIRRORED, Outcome, Reading};
use crate::sight::{Finder, Look};

/// What is kept of a picture.
struct Seen {
    layout: Layout,
    look: Look,
}

/// Reads the cube that the pictures show.
pub fn run(args: &ReadArgs) -> Ended {
    let profile = profiles::load(&args.profile)?;
    let mut reader = profiles::reader(&args.profile, profile.as_ref());
    let mut finder = Finder::new();
    let mut seen: Vec<Seen> = Vec::new();
    for (number, path) in args.images.iter().enumerate() {
        progress(args, number, path);
        let picture = load_picture(path).map_err(|error| Failure::usage(error.to_string()))?;
        if let Some(why) = &picture.profile_unused {
            print_aside(format_args!(
                "{}: its colour profile is not used ({why}); its colours are taken as sRGB",
                shown(path)
            ));
        }
        let (look, trace) = finder.look_traced(&picture.image);
        if let Some(folder) = args.annotate.as_ref().filter(|_| args.stages) {
            print_aside(format_args!("{}: {}", shown(path), stage_times(&trace)));
            let file = folder.join(annotated_name(path, number));
            annotate_stages(&picture.image, &trace, &file)?;
        }
        reader.add(look.clone());
        seen.push(Seen {
            layout: picture.layout,
            look,
        });
    }
    let mut reading = reader.read();
    if let Some(folder) = &args.annotate {
        write_annotated(folder, args, &seen, &reading)?;
    }
    as_stored(&mut reading, args, &seen);
    if args.json {
        print_document(&reading)?;
    } else {
        print_prose(&prose(&reading))?;
    }
    Ok(match reading.outcome {
        Outcome::Read => Exit::Done,
        Outcome::Incomplete | Outcome::Unsure => Exit::Unsure,
        Outcome::Impossible => Exit::Impossible,
    })
}

/// A line for a person who waits for more than a picture or two.
fn progress(args: &ReadArgs, number: usize, path: &Path) {
    if !args.json && args.images.len() > 2 {
        print_aside(format_args!(
            "looking at {} ({} of {})",
            shown(path),
            number + 1,
            args.images.len()
        ));
    }
}

/// Names each look's picture, and gives its outlines in pixels of the picture as stored, clockwise on the cube.
fn as_stored(reading: &mut Reading, args: &ReadArgs, seen: &[Seen]) {
    for ((look, seen), path) in reading.looks.iter_mut().zip(seen).zip(&args.images) {
        look.image = Some(path.display().to_string());
        for point in look.faces.iter_mut().flat_map(|face| &mut face.outline) {
            let (x, y) = seen.layout.to_stored((point[0], point[1]));
            *point = [x, y];
        }
    }
}

/// Each picture is loaded once more: to keep all of them until the end would take a gigabyte for eight photographs.
fn write_annotated(
    folder: &Path,
    args: &ReadArgs,
    seen: &[Seen],
    reading: &Reading,
) -> Result<(), Failure> {
    for (number, ((seen, told), path)) in seen
        .iter()
        .zip(&reading.looks)
        .zip(&args.images)
        .enumerate()
    {
        let file = folder.join(annotated_name(path, number));
        let picture = load_picture(path).map_err(|error| Failure::usage(error.to_string()))?;
        annotate(&picture.image, &seen.look, Some(told), &file)?;
    }
    Ok(())
}

/// What is said of a reading; what to show again is part of that. Of faults the remedies are told too.
fn prose(reading: &Reading) -> String {
    let mut text = match reading.faults[..] {
        [] => state::sentence(&reading.say),
        _ => state::listed("What was shown cannot be one legal cube:", &reading.faults),
    };
    if !reading.faults.is_empty() && reading.looks.iter().any(|look| look.mirrored) {
        text.push_str(&format!("\n{}", state::sentence(MIRRORED)));
    }
    if let Some(net) = &reading.net {
        text.push_str(&format!("\n{}", state::net_text(net)));
    }
    text
}
