//! `coach`: watches the cube in the learner's hands and coaches, from a camera or from frames in its place.

use std::io;
use std::path::PathBuf;
use std::sync::atomic::AtomicBool;

use super::args::{CoachArgs, KeepArgs, ProfileArgs, ScreenArgs, WatchArgs};
use super::cameras::{chosen, needs_camera};
use super::keeping::{place, place_of, practised};
use super::{journal, profiles};
use crate::camera::{FrameSource, Pace, Webcam, open_frames};
use crate::coach::Level;
use crate::colour::Profile;
use crate::cube::Colour;
use crate::front::display::{Asked, DisplayOptions, place_of_choices, show};
use crate::front::interrupt::stop_on_interrupt;
use crate::front::outcome::{Ended, Exit, Failure};
use crate::front::recorder::Recorder;
use crate::front::terminal::Terminal;
use crate::journal::opened;
use crate::live::{Listener, Session, watch};
use crate::page::{Options, Page, Paper, Papers};
use crate::paper;
use crate::solve::Slot;

/// Coaches until the frames end or the person stops it.
pub fn run(args: &CoachArgs) -> Ended {
    let profile = profiles::load(&args.profile)?;
    let source = source(&args.watch, !args.screen.no_page)?;
    // A journal that cannot be read is told of when it is to be written.
    let before = practised(&args.keep).unwrap_or_default();
    let level = args.level.and_then(Level::numbered);
    let session = Session::new(
        profiles::reader(&args.profile, profile.as_ref()),
        args.cross,
    )
    .at_level(level.unwrap_or_else(|| opened(&before)))
    .on_rung(args.rung);
    let stop = stop_on_interrupt()?;
    let mut terminal = Terminal::new(args.events);
    let mut recorder = Recorder::open(
        place_of(&args.keep, args.watch.frames.is_some()),
        &[],
        before,
    );
    let asked = Asked {
        cross: args.cross,
        level,
        mirrored: args.profile.mirrored,
    };
    let page = page(
        &args.screen,
        &args.watch,
        &args.profile,
        &args.keep,
        asked,
        profile,
    )?;
    observe(
        source,
        page,
        session,
        vec![&mut recorder, &mut terminal],
        &stop,
    )?;
    Ok(Exit::Done)
}

/// The camera, or the frames in its place; a page shows frames at the pace at which they were taken.
pub fn source(watch: &WatchArgs, with_page: bool) -> Result<Box<dyn FrameSource>, Failure> {
    let Some(path) = &watch.frames else {
        if !with_page {
            needs_camera()?;
        }
        let camera = chosen(watch.camera.as_deref())?;
        return Ok(Box::new(Webcam::open(camera)));
    };
    let pace = if with_page {
        Pace::RealTime
    } else {
        Pace::AsFast
    };
    open_frames(path, watch.fps, pace).map_err(|error| Failure::usage(error.to_string()))
}

/// The page and how it is shown; none where it is not wanted.
pub fn page(
    screen: &ScreenArgs,
    watch: &WatchArgs,
    profiles: &ProfileArgs,
    keep: &KeepArgs,
    asked: Asked,
    profile: Option<Profile>,
) -> Result<Option<(Page, DisplayOptions)>, Failure> {
    if screen.no_page {
        return Ok(None);
    }
    let options = Options { port: screen.port };
    let page = Page::start(options).map_err(|error| Failure::failed(error.to_string()))?;
    let replay = watch.frames.is_some();
    let journal = place(keep);
    page.keep_papers(papers(journal.clone()));
    let options = DisplayOptions {
        replay,
        quiet: screen.quiet,
        profile,
        profiles: profiles.calibration_dir.clone(),
        asked,
        // A replay is nobody's choice.
        kept: place_of_choices().filter(|_| !replay),
        journal,
    };
    Ok(Some((page, options)))
}

/// Makes the documents that the page links to.
fn papers(journal: Option<PathBuf>) -> Papers {
    Box::new(move |paper| match paper {
        Paper::Journal => journal::page(journal.as_deref()).map_err(|failure| failure.to_string()),
        Paper::Guide => Ok(paper::guide(Colour::White, Slot::ALL[0])),
    })
}

/// Watches until the frames end or `stop` is set, with the page, which listens last, or without it.
pub fn observe(
    mut source: Box<dyn FrameSource>,
    page: Option<(Page, DisplayOptions)>,
    mut session: Session,
    mut listeners: Vec<&mut dyn Listener>,
    stop: &AtomicBool,
) -> io::Result<()> {
    match page {
        Some((page, options)) => show(page, source, session, listeners, options, stop),
        None => watch(source.as_mut(), &mut session, &mut listeners, stop),
    }
}
