//! `coach`: watches the cube in the learner's hands and coaches, from a camera or from frames in its place.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use super::args::CoachArgs;
use super::cameras::failure;
use super::onscreen::{Manner, show};
use super::outcome::{Ended, Exit, Failure};
use super::profiles;
use super::recorder::{Recorder, Recording};
use super::telling::Terminal;
use crate::camera::{FrameSource, Pace, Webcam, list_cameras, open_frames};
use crate::live::{Session, watch};
use crate::page::{Options, Page};
use crate::read::Reader;

/// Coaches until the frames end or the person stops it.
pub fn run(args: &CoachArgs) -> Ended {
    let profile = profiles::load(&args.profile)?;
    let source: Box<dyn FrameSource> = match &args.watch.frames {
        Some(path) => {
            let pace = if args.no_page {
                Pace::AsFast
            } else {
                Pace::RealTime
            };
            open_frames(path, args.watch.fps, pace)
                .map_err(|error| Failure::usage(error.to_string()))?
        }
        None => {
            if args.no_page {
                needs_camera()?;
            }
            Box::new(Webcam::open(args.watch.camera))
        }
    };
    let session = Session::new(Reader::new(profile.as_ref()), args.cross);
    let stop = stop_on_interrupt()?;
    let terminal = Recording {
        audience: Terminal::new(args.events),
        recorder: Recorder::open(&args.keep, None, args.watch.frames.is_some()),
    };
    if args.no_page {
        let (mut source, mut session, mut terminal) = (source, session, terminal);
        watch(source.as_mut(), &mut session, &mut terminal, &stop)?;
    } else {
        let options = Options { port: args.port };
        let page = Page::start(options).map_err(|error| Failure::failed(error.to_string()))?;
        let manner = Manner {
            replay: args.watch.frames.is_some(),
            quiet: args.quiet,
            profile,
            profiles: args.profile.calibration_dir.clone(),
        };
        show(page, source, session, terminal, manner, &stop)?;
    }
    Ok(Exit::Done)
}

/// Without a page there is no other camera to turn to, so a machine without any is told at once.
fn needs_camera() -> Result<(), Failure> {
    let cameras = list_cameras().map_err(|trouble| failure(&trouble))?;
    if cameras.is_empty() {
        return Err(Failure::failed("no camera was found")
            .remedy("plug one in, or give pictures with --frames"));
    }
    Ok(())
}

/// A flag that an interrupt (Ctrl-C) or a request to end sets, so that the loop ends cleanly.
pub fn stop_on_interrupt() -> Result<Arc<AtomicBool>, Failure> {
    let stop = Arc::new(AtomicBool::new(false));
    let flag = Arc::clone(&stop);
    ctrlc::set_handler(move || flag.store(true, Ordering::Relaxed))
        .map_err(|error| Failure::failed(format!("interrupts: {error}")))?;
    Ok(stop)
}
