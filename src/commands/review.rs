//! `review`: one solve looked at again: where its time went, part by part, and one thing to practise.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;

use image::RgbImage;
use serde::Serialize;

use super::args::ReviewArgs;
use super::files::write_whole;
use super::outcome::{Ended, Exit, Failure, SCHEMA, print_document, print_prose};
use super::recorder::fewest;
use super::review_page;
use super::{clock, profiles, recorder};
use crate::camera::{Pace as FramePace, open_frames};
use crate::journal::{Pace, last_solve, paces_of, read_paces};
use crate::live::{Listener, Moment, Session, Stopwatch, watch};
use crate::read::Reader;

/// Seconds that a turn too many costs, and one of the whole cube; judgements, no source.
const TURN: f64 = 0.4;
const ROTATION: f64 = 0.6;

/// Seconds of looking that a pair may take, from common practice among those who have just learnt the method; no source.
const LOOK: f64 = 2.0;

/// What is printed with `--json`.
#[derive(Serialize)]
struct Document<'a> {
    schema: u32,
    outcome: &'static str,
    say: &'a str,
    parts: &'a [Pace],
    /// The part with the slowest look.
    slowest: Option<&'a str>,
    practise: Option<&'a str>,
}

/// A solve to be reviewed.
pub struct Review {
    pub parts: Vec<Pace>,
    /// The picture at the beginning of each part's longest look, where there is one.
    pub pictures: Vec<Option<RgbImage>>,
    /// All parts that are kept, this solve's among them, oldest first.
    pub history: Vec<Pace>,
}

/// Reviews a film, or the last solve that was kept.
pub fn run(args: &ReviewArgs) -> Ended {
    let review = match &args.film {
        Some(film) => of_film(film, args)?,
        None => of_last(args)?,
    };
    let say = review.say();
    if let Some(path) = &args.html {
        write_whole(path, review_page::page(&review).as_bytes())?;
    }
    let slowest = review.slowest().map(|pace| pace.part.as_str());
    let practise = review.practise();
    if args.json {
        print_document(&Document {
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

fn kept_in(args: &ReviewArgs) -> Option<PathBuf> {
    recorder::place(&args.keep).map(|journal| paces_of(&journal))
}

fn of_last(args: &ReviewArgs) -> Result<Review, Failure> {
    let file = kept_in(args).ok_or_else(|| Failure::usage("there is no journal to look in"))?;
    let history = read_paces(&file)
        .map_err(|error| Failure::usage(format!("{}: {error}", file.display())))?;
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

impl Review {
    /// The part with the longest look.
    pub fn slowest(&self) -> Option<&Pace> {
        let watched = self.parts.iter().filter(|pace| pace.watched);
        watched.max_by(|a, b| a.longest_look.total_cmp(&b.longest_look))
    }

    /// The one thing by which most time would be saved, in a sentence.
    pub fn practise(&self) -> Option<String> {
        let watched = || self.parts.iter().filter(|pace| pace.watched);
        let spare = |pace: &Pace| {
            pace.fewest
                .map_or(0, |fewest| pace.turns.saturating_sub(fewest))
        };
        let by_turns = watched().max_by_key(|pace| spare(pace))?;
        let by_look = self.slowest()?;
        let by_rotations = watched().max_by_key(|pace| pace.rotations)?;
        let costs = [
            f64::from(spare(by_turns)) * TURN,
            by_look.longest_look - LOOK,
            f64::from(by_rotations.rotations) * ROTATION,
        ];
        let most = (0..3).max_by(|a, b| costs[*a].total_cmp(&costs[*b]))?;
        if costs[most] <= 0.0 {
            return Some("Nothing stands out: go on like this, and look for the next pair while you place one.".into());
        }
        Some(match most {
            0 => format!(
                "Practise the {}: {} turns, where {} do. `pairsight drill --worst` sets such a pair up.",
                named(by_turns),
                by_turns.turns,
                by_turns.fewest.unwrap_or_default()
            ),
            1 => format!(
                "Look ahead: before the {} you stood still for {:.1} s. While you place a pair, look for the next one's corner.",
                named(by_look),
                by_look.longest_look
            ),
            _ => format!(
                "Turn the whole cube less: {} times in the {}. Learn the same idea for the slots at the back.",
                by_rotations.rotations,
                named(by_rotations)
            ),
        })
    }

    fn say(&self) -> String {
        if self.parts.is_empty() {
            return "No part of a solve was seen from its beginning to its end. Show the cube by two opposite corners first, then solve it before the camera.".into();
        }
        let mut text =
            String::from("part                  looking  turning  turns  fewest  whole  pauses");
        for pace in &self.parts {
            let fewest = pace.fewest.map_or("-".into(), |fewest| fewest.to_string());
            let guess = if pace.watched {
                ""
            } else {
                "  (not all turns were seen)"
            };
            text.push_str(&format!(
                "\n{:20} {:6.1} s {:6.1} s {:6} {:>7} {:6} {:7}{guess}",
                pace.part,
                pace.looking,
                pace.turning,
                pace.turns,
                fewest,
                pace.rotations,
                pace.pauses
            ));
        }
        if let Some(slowest) = self.slowest() {
            text.push_str(&format!(
                "\nThe slowest look, {:.1} s, was in the {}.",
                slowest.longest_look,
                named(slowest)
            ));
        }
        if let Some(practise) = self.practise() {
            text.push('\n');
            text.push_str(&practise);
        }
        text
    }
}

/// A part as it is called in a sentence.
pub fn named(pace: &Pace) -> String {
    match pace.part.as_str() {
        part if part.contains('-') => format!("{part} pair"),
        part => part.to_owned(),
    }
}
