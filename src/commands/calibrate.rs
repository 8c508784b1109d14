//! `calibrate`: learns one cube's colours under one light, from its six faces, and keeps them as a profile.

use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use serde::Serialize;

use super::args::CalibrateArgs;
use super::cameras::{chosen, failure, needs_camera};
use crate::camera::{Feed, FrameSource, Pace, Webcam, open_frames};
use crate::colour::{LightEstimate, LightReport, Model, Profile};
use crate::front::clock::today;
use crate::front::interrupt::stop_on_interrupt;
use crate::front::outcome::{
    Ended, Exit, Failure, SCHEMA, print_aside, print_document, print_prose,
};
use crate::input::shown;
use crate::live::Gathering;
use crate::sight::Finder;

#[derive(Serialize)]
struct ProfileDocument {
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
    let report = Model::from_profile(&profile).judge_light(&LightEstimate::none());
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

/// Takes looks until a profile can be made, the source ends or the person stops it. A camera that gives no picture at first is not
/// waited for: nobody may be there to hear what is wrong. One that was lost later is.
fn gather(
    source: &mut dyn FrameSource,
    stop: &AtomicBool,
    args: &CalibrateArgs,
) -> Result<Gathering, Failure> {
    let mut finder = Finder::new();
    let mut gathered = Gathering::default();
    // All of a file is seen, so that each face's best look is found; a person need not wait.
    let live = args.frames.is_none();
    let mut has_begun = !live;
    while !stop.load(Ordering::Relaxed) && (!live || gathered.profile(&args.name).is_err()) {
        match source.next(Duration::from_millis(100)) {
            Feed::Frame(frame) => {
                has_begun = true;
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
            Feed::Trouble(trouble) if !has_begun => return Err(failure(&trouble)),
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

fn document(say: String, profile: String, report: &LightReport) -> ProfileDocument {
    ProfileDocument {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::{Frame, Trouble, TroubleKind};
    use image::RgbImage;
    use std::path::PathBuf;

    /// A camera that says this, and then nothing for ever.
    struct Stuck(std::vec::IntoIter<Feed>);

    impl FrameSource for Stuck {
        fn next(&mut self, _: Duration) -> Feed {
            self.0.next().unwrap_or(Feed::Quiet)
        }
    }

    fn busy() -> Feed {
        Feed::Trouble(Trouble {
            kind: TroubleKind::Busy,
            say: "the lens (/dev/video0) is in use by another program".into(),
            remedy: "close that program".into(),
        })
    }

    fn gathered(feeds: Vec<Feed>, stop: &AtomicBool) -> Result<Gathering, Failure> {
        let args = CalibrateArgs {
            name: "lamp".into(),
            frames: None,
            camera: None,
            calibration_dir: PathBuf::from("nowhere"),
            json: true,
        };
        gather(&mut Stuck(feeds.into_iter()), stop, &args)
    }

    /// It once waited in the terminal for ever.
    #[test]
    fn a_camera_that_gives_no_picture_ends_the_command_with_what_to_do() {
        let failure = gathered(vec![Feed::Quiet, busy()], &AtomicBool::new(false))
            .expect_err("there is nothing to see");
        assert_eq!(failure.exit, Exit::Failed);
        let words = failure.to_string();
        assert!(words.contains("/dev/video0"), "{words}");
        assert_eq!(failure.remedy.as_deref(), Some("close that program"));
    }

    /// One that is lost on the way may come back.
    #[test]
    fn a_camera_that_was_lost_is_waited_for() {
        let frame = Frame {
            image: RgbImage::new(64, 48),
            at: Duration::ZERO,
            number: 0,
            name: None,
        };
        let feeds = vec![Feed::Frame(frame), busy(), Feed::End];
        assert!(gathered(feeds, &AtomicBool::new(false)).is_ok());
    }
}
