//! `review`: one solve looked at again, from a film or from what was kept.

use std::io;
use std::path::Path;
use std::sync::atomic::AtomicBool;

use image::RgbImage;
use serde::Serialize;

use super::args::ReviewArgs;
use super::files::write_whole;
use super::journal::refused;
use super::keeping::place;
use super::profiles;
use super::reviewed::{Review, named};
use crate::camera::{Pace as FramePace, open_frames};
use crate::front::clock;
use crate::front::outcome::{Ended, Exit, Failure, SCHEMA, print_document, print_prose};
use crate::front::recorder::fewest;
use crate::journal::{Journal, Pace, last_solve};
use crate::live::{Listener, Moment, Session, Stopwatch, watch};
use crate::paper;
use crate::read::Reader;

/// What is printed with `--json`.
#[derive(Serialize)]
struct ReviewDocument<'a> {
    schema: u32,
    outcome: &'static str,
    say: &'a str,
    parts: &'a [Pace],
    /// The part with the slowest look.
    slowest: Option<&'a str>,
    practise: Option<&'a str>,
}

/// Reviews a film, or the last solve that was kept.
pub fn run(args: &ReviewArgs) -> Ended {
    let review = match &args.film {
        Some(film) => of_film(film, args)?,
        None => of_last(args)?,
    };
    let say = review.say();
    if let Some(path) = &args.html {
        write_whole(path, page(&review).as_bytes())?;
    }
    let slowest = review.slowest().map(|pace| pace.part.as_str());
    let practise = review.practise();
    if args.json {
        print_document(&ReviewDocument {
            schema: SCHEMA,
            outcome: if review.parts.is_empty() {
                "unsure"
            } else {
                "review"
            },
            say: &say,
            parts: &review.parts,
            slowest,
            practise: practise.as_deref(),
        })?;
    } else {
        print_prose(&say)?;
    }
    Ok(match review.parts.is_empty() {
        true => Exit::Unsure,
        false => Exit::Done,
    })
}

fn page(review: &Review) -> String {
    let at = |slowest: &Pace| review.parts.iter().position(|pace| pace == slowest);
    paper::review(&paper::Solve {
        parts: &review.parts,
        slowest: review.slowest().map(|pace| paper::Slowest {
            pace,
            name: named(pace),
            picture: at(pace).and_then(|at| review.pictures[at].as_ref()),
        }),
        practise: review.practise(),
        history: &review.history,
    })
}

fn of_last(args: &ReviewArgs) -> Result<Review, Failure> {
    let none = || Failure::usage("there is no journal to look in");
    let file = place(&args.keep).ok_or_else(none)?;
    let history = match file.exists() {
        true => Journal::paces(&file).map_err(|error| refused(&error))?,
        false => Vec::new(),
    };
    let parts = last_solve(&history).to_vec();
    Ok(Review {
        pictures: vec![None; parts.len()],
        parts,
        history,
    })
}

fn of_film(film: &Path, args: &ReviewArgs) -> Result<Review, Failure> {
    let mut source = open_frames(film, args.fps, FramePace::AsFast)
        .map_err(|error| Failure::usage(error.to_string()))?;
    let profile = profiles::load(&args.profile)?;
    let mut session = Session::new(Reader::new(profile.as_ref()), args.cross);
    let mut reviewer = Reviewer {
        stopwatch: Stopwatch::new(clock::now()),
        parts: Vec::new(),
        pictures: Vec::new(),
        first: None,
        longest: None,
    };
    watch(
        source.as_mut(),
        &mut session,
        &mut [&mut reviewer],
        &AtomicBool::new(false),
    )
    .map_err(|error| Failure::failed(error.to_string()))?;
    Ok(Review {
        history: reviewer.parts.clone(),
        parts: reviewer.parts,
        pictures: reviewer.pictures,
    })
}

/// Times a film, and keeps the picture of each part's longest look.
struct Reviewer {
    stopwatch: Stopwatch,
    parts: Vec<Pace>,
    pictures: Vec<Option<RgbImage>>,
    /// When the present look began, and its picture.
    first: Option<(f64, RgbImage)>,
    /// The longest look of the part so far: seconds and picture.
    longest: Option<(f64, RgbImage)>,
}

impl Listener for Reviewer {
    fn hear(&mut self, moment: &mut Moment, session: &mut Session) -> io::Result<()> {
        let fewest = session.known().and_then(fewest);
        for timed in &moment.events {
            if let Some(pace) = self.stopwatch.take(timed, fewest) {
                self.parts.push(pace);
                self.pictures
                    .push(self.longest.take().map(|(_, picture)| picture));
            }
            if !Stopwatch::begins_a_look(&timed.event) {
                continue;
            }
            let Some((frame, _)) = &moment.seen else {
                continue;
            };
            let look = self.first.replace((timed.t, frame.image.clone()));
            if let Some((began, picture)) = look
                && self
                    .longest
                    .as_ref()
                    .is_none_or(|(longest, _)| timed.t - began > *longest)
            {
                self.longest = Some((timed.t - began, picture));
            }
        }
        Ok(())
    }
}
