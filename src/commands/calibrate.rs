//! `calibrate`: learns one cube's colours under one light, from its six faces, and keeps them as a profile.

use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use serde::Serialize;

use super::args::CalibrateArgs;
use super::cameras::{chosen, needs_camera};
use crate::camera::{Feed, FrameSource, Pace, Webcam, open_frames};
use crate::colour::{LightReport, Model, Profile, Relight};
use crate::front::clock::today;
use crate::front::interrupt::stop_on_interrupt;
use crate::front::outcome::{
    Ended, Exit, Failure, SCHEMA, print_aside, print_document, print_prose,
};
use crate::input::shown;
use crate::live::Gathering;
use crate::sight::Finder;

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
    let gathered = match &args.frames {
        Some(frames) => {
            let mut source = open_frames(frames, 15.0, Pace::AsFast)
                .map_err(|error| Failure::usage(error.to_string()))?;
            gather(source.as_mut(), &stop, args)?
        }
        None => {
            needs_camera()?;
            let camera = chosen(args.camera.as_deref())?;
            print_line(
                args,
                "Show the cube to the camera, corner by corner or face by face, solved or not, and hold still.",
            );
            gather(&mut Webcam::open(camera), &stop, args)?
        }
    };
    let (mut profile, missing) = made(&gathered, &args.name)?;
    profile.made = today();
    profile
        .save(&path)
        .map_err(|error| Failure::failed(error.to_string()))?;
    let report = Model::from_profile(&profile).judge_light(&Relight::none());
    let say = format!(
        "The profile is kept in {}. {}{}",
        shown(&path),
        report.say(),
        besides(&profile, missing)
    );
    if args.json {
        print_document(&document(say, path.display().to_string(), &report))?;
    } else {
        print_prose(&say)?;
    }
    Ok(Exit::Done)
}

/// The profile of what was seen and, where a colour is not among it, which.
fn made(gathered: &Gathering, name: &str) -> Result<(Profile, Option<String>), Failure> {
    gathered
        .profile(name)
        .map(|profile| (profile, None))
        .or_else(|error| match gathered.partial(name) {
            Some((profile, missing)) => Ok((profile, Some(missing))),
            None => Err(error),
        })
        .map_err(|error| {
            let (cause, remedy) = error.split_once('\n').unwrap_or((&error, ""));
            Failure {
                exit: Exit::Unsure,
                cause: cause.into(),
                remedy: (!remedy.is_empty()).then(|| remedy.into()),
            }
        })
}

/// What else is to be said of a profile.
fn besides(profile: &Profile, missing: Option<String>) -> String {
    let mut say = String::new();
    if let Some(missing) = missing {
        say.push_str(&format!(
            " Of one colour I go by what is usual: {missing}. Show the face again, or the corners of the scrambled cube."
        ));
    }
    match profile.scheme() {
        _ if !profile.is_together() => say.push_str(
            " A scrambled cube shown corner by corner makes a better profile: a camera balances each picture anew, and a face of one \
             colour misleads it. How the colours lie I take to be as usual: white opposite yellow, red opposite orange, green opposite blue.",
        ),
        Some(scheme) => {
            if let Some(unlike) = scheme.say() {
                say.push_str(&format!(" Mind that {unlike}."));
            }
        }
        None => say.push_str(
            " I cannot tell whether these pictures are mirrored, so how the colours lie is not kept.",
        ),
    }
    say
}

/// Takes looks until a profile can be made, the source ends or the person stops it.
fn gather(
    source: &mut dyn FrameSource,
    stop: &AtomicBool,
    args: &CalibrateArgs,
) -> Result<Gathering, Failure> {
    let mut finder = Finder::new();
    let mut gathered = Gathering::default();
    // All of a file is seen, so that each face's best look is found; a person need not wait.
    let live = args.frames.is_none();
    while !stop.load(Ordering::Relaxed) && (!live || gathered.profile(&args.name).is_err()) {
        match source.next(Duration::from_millis(100)) {
            Feed::Frame(frame) => {
                let (t, look) = (frame.at.as_secs_f64(), finder.look(&frame.image));
                let before = gathered.count();
                if live {
                    gathered.see(t, &look);
                } else {
                    gathered.see_file(t, &look);
                }
                if gathered.count() > before {
                    print_line(args, &format!("{} of 6", gathered.count()));
                }
            }
            Feed::Trouble(trouble) => print_aside(format_args!("pairsight: {trouble}")),
            Feed::Quiet => {}
            Feed::End => break,
        }
    }
    gathered.end();
    Ok(gathered)
}

/// A line for a person who waits.
fn print_line(args: &CalibrateArgs, line: &str) {
    if !args.json {
        print_aside(line);
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
