//! `calibrate`: learns one cube's colours under one light, from its six faces, and keeps them as a profile.

use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, SystemTime};

use serde::Serialize;

use super::args::CalibrateArgs;
use super::coach::stop_on_interrupt;
use super::outcome::{Ended, Exit, Failure, SCHEMA, print_document, print_prose};
use crate::camera::{Feed, FrameSource, Pace, Webcam, open_frames};
use crate::colour::{LightReport, Model, Profile, Relight, SolvedFaces};
use crate::live::steady::Steady;
use crate::sight::{Finder, Look};

#[derive(Serialize)]
struct Document {
    schema: u32,
    outcome: &'static str,
    say: String,
    profile: String,
    light: Light,
}

/// How well the light tells the colours apart.
#[derive(Serialize)]
struct Light {
    closest: [&'static str; 2],
    /// CIEDE2000 at one luminance.
    difference: f64,
    /// Expected share of stickers, each judged alone, whose colour is wrong.
    doubtful: f64,
}

/// Makes or renews a profile.
pub fn run(args: &CalibrateArgs) -> Ended {
    let path = Profile::path(&args.calibration_dir, &args.name)
        .map_err(|error| Failure::usage(error.to_string()))?;
    let stop = stop_on_interrupt()?;
    let faces = match &args.frames {
        Some(frames) => {
            let mut source = open_frames(frames, 15.0, Pace::AsFast)
                .map_err(|error| Failure::usage(error.to_string()))?;
            gather(source.as_mut(), &stop, args, |_, look, faces| {
                offer(look, faces)
            })?
        }
        None => {
            let mut steady = Steady::new();
            print_line(
                args,
                "Show each face of the solved cube to the camera, one after the other, and hold still.",
            );
            gather(
                &mut Webcam::open(None),
                &stop,
                args,
                move |t, look, faces| {
                    steady
                        .step(t, look)
                        .is_some_and(|still| offer(&still, faces))
                },
            )?
        }
    };
    if faces.count() < 6 {
        return Err(Failure {
            exit: Exit::Unsure,
            cause: format!("{} of six faces of one colour were seen", faces.count()),
            remedy: Some(
                "show every face of the solved cube, without glare and with fingers at the edges"
                    .into(),
            ),
        });
    }
    let mut profile = faces.profile(&args.name).map_err(|error| Failure {
        exit: Exit::Unsure,
        cause: error.to_string(),
        remedy: None,
    })?;
    profile.made = today();
    profile
        .save(&path)
        .map_err(|error| Failure::failed(error.to_string()))?;
    let report = Model::from_profile(&profile).judge_light(&Relight::none());
    let say = format!(
        "The profile is kept in {}. {}",
        path.display(),
        report.say()
    );
    if args.json {
        print_document(&document(say, path.display().to_string(), &report))?;
    } else {
        print_prose(&say)?;
    }
    Ok(Exit::Done)
}

/// Takes looks until six faces are there, the source ends or the person stops it.
fn gather(
    source: &mut dyn FrameSource,
    stop: &AtomicBool,
    args: &CalibrateArgs,
    mut take: impl FnMut(f64, &Look, &mut SolvedFaces) -> bool,
) -> Result<SolvedFaces, Failure> {
    let mut finder = Finder::new();
    let mut faces = SolvedFaces::default();
    // All of a file is seen, so that each face's best look is found; a person need not wait.
    let live = args.frames.is_none();
    while !stop.load(Ordering::Relaxed) && (!live || faces.count() < 6) {
        match source.next(Duration::from_millis(100)) {
            Feed::Frame(frame) => {
                let t = frame.at.as_secs_f64();
                if take(t, &finder.look(&frame.image), &mut faces) {
                    print_line(args, &format!("{} of 6", faces.count()));
                }
            }
            Feed::Trouble(trouble) => eprintln!("pairsight: {trouble}"),
            Feed::Quiet => {}
            Feed::End => break,
        }
    }
    Ok(faces)
}

/// Offers the faces of a look; says whether one of them is new.
fn offer(look: &Look, faces: &mut SolvedFaces) -> bool {
    let before = faces.count();
    for face in &look.faces {
        faces.offer(&face.patches, face.fit);
    }
    faces.count() > before
}

/// A line for a person who waits.
fn print_line(args: &CalibrateArgs, line: &str) {
    if !args.json {
        eprintln!("{line}");
    }
}

fn document(say: String, profile: String, report: &LightReport) -> Document {
    Document {
        schema: SCHEMA,
        outcome: "calibrated",
        say,
        profile,
        light: Light {
            closest: [report.closest.0.name(), report.closest.1.name()],
            difference: report.difference,
            doubtful: report.doubtful,
        },
    }
}

/// Today's date by the system's clock, as ISO 8601 (UTC). After Howard Hinnant's `civil_from_days` (public domain).
pub fn today() -> String {
    let days = SystemTime::now()
        .duration_since(SystemTime::UNIX_EPOCH)
        .map_or(0, |t| t.as_secs() / 86_400) as i64;
    let z = days + 719_468;
    let era = z.div_euclid(146_097);
    let day_of_era = z.rem_euclid(146_097);
    let year_of_era =
        (day_of_era - day_of_era / 1_460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
    let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let month_from_march = (5 * day_of_year + 2) / 153;
    let day = day_of_year - (153 * month_from_march + 2) / 5 + 1;
    let month = if month_from_march < 10 {
        month_from_march + 3
    } else {
        month_from_march - 9
    };
    let year = year_of_era + era * 400 + i64::from(month <= 2);
    format!("{year:04}-{month:02}-{day:02}")
}
