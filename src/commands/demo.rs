//! `demo`: coaching on pictures that the program carries, with what was seen and drawn written to a folder.

use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::annotate::annotate;
use super::args::DemoArgs;
use super::coach::observe;
use super::files::write_whole;
use super::interrupt::stop_on_interrupt;
use super::onscreen::Manner;
use super::outcome::{Ended, Exit, Failure, print_prose};
use super::telling::Terminal;
use crate::camera::{Feed, Frame, FrameSource, Pace, open_frames};
use crate::draw::to_png;
use crate::input::shown;
use crate::live::{Event, Listener, Moment, Session, Timed, drawing};
use crate::page::{Options, Page};
use crate::read::Reader;
use crate::sight::Look;

/// A learner shows a cube with one pair left, makes the three turns out of the picture, and shows it again.
const FILM: &[u8] = include_bytes!("../../test_images/films/followed.mjpeg");

/// Frames a second of the film.
const FPS: f64 = 10.0;

/// Pixels of the drawn cube for each unit of the drawing.
const SCALE: f32 = 2.0;

/// Coaches on the film.
pub fn run(args: &DemoArgs) -> Ended {
    let mut film = tempfile::Builder::new()
        .suffix(".mjpeg")
        .tempfile()
        .and_then(|mut file| file.write_all(FILM).map(|()| file))
        .map_err(|error| Failure::failed(format!("temporary folder: {error}")))?;
    film.flush()?;
    let source: Box<dyn FrameSource> = match args.page {
        true => Box::new(Again::new(film.path())?),
        false => open(film.path(), Pace::AsFast)?,
    };
    let session = Session::new(Reader::new(None), None);
    let mut terminal = Terminal::new(args.events);
    let mut album = Album {
        out: args.out.clone(),
        written: Vec::new(),
        moments: 0,
    };
    if !args.events {
        print_prose("A learner shows a cube to the camera, a corner and then the opposite one.")?;
        if args.page {
            print_prose(
                "The film runs again and again until you press Ctrl-C. With your own cube: pairsight coach",
            )?;
        }
    }
    let stop = stop_on_interrupt()?;
    let page = match args.page {
        true => Some(page()?),
        false => None,
    };
    observe(
        source,
        page,
        session,
        vec![&mut terminal, &mut album],
        &stop,
    )?;
    if !args.events {
        let list: Vec<String> = album
            .written
            .iter()
            .map(|path| format!("  {}", shown(path)))
            .collect();
        print_prose(&format!(
            "\nPictures of what was seen, and the drawn cube:\n{}",
            list.join("\n")
        ))?;
    }
    Ok(Exit::Done)
}

fn open(film: &Path, pace: Pace) -> Result<Box<dyn FrameSource>, Failure> {
    open_frames(film, FPS, pace).map_err(|error| Failure::failed(error.to_string()))
}

/// The film over and over, at the pace at which it was taken: a page whose film has ended is a page on which nothing can be done.
struct Again {
    film: PathBuf,
    run: Box<dyn FrameSource>,
    /// When this run began, and when its last frame was taken, in the time of all runs.
    began: Duration,
    last: Duration,
}

impl Again {
    fn new(film: &Path) -> Result<Again, Failure> {
        Ok(Again {
            film: film.into(),
            run: open(film, Pace::RealTime)?,
            began: Duration::ZERO,
            last: Duration::ZERO,
        })
    }
}

impl FrameSource for Again {
    fn next(&mut self, wait: Duration) -> Feed {
        match self.run.next(wait) {
            Feed::Frame(frame) => {
                self.last = self.began + frame.at;
                Feed::Frame(Frame {
                    at: self.last,
                    ..frame
                })
            }
            Feed::End => match open(&self.film, Pace::RealTime) {
                Ok(run) => {
                    self.run = run;
                    self.began = self.last + Duration::from_secs_f64(1.0 / FPS);
                    Feed::Quiet
                }
                // The film is gone, and with it what there is to show.
                Err(_) => Feed::End,
            },
            feed => feed,
        }
    }
}

/// The page, on which the film runs as it was taken.
fn page() -> Result<(Page, Manner), Failure> {
    let page =
        Page::start(Options::default()).map_err(|error| Failure::failed(error.to_string()))?;
    let manner = Manner {
        replay: true,
        quiet: false,
        profile: None,
        profiles: PathBuf::from("calibration"),
        cross: None,
        kept: None,
        journal: None,
    };
    Ok((page, manner))
}

/// Keeps a picture of each moment at which something was told.
struct Album {
    out: PathBuf,
    written: Vec<PathBuf>,
    /// Moments kept so far.
    moments: usize,
}

impl Album {
    fn keep(
        &mut self,
        frame: &Frame,
        look: &Look,
        session: &Session,
        event: &Timed,
    ) -> Result<(), Failure> {
        let name = match &event.event {
            Event::Read { .. } => "read",
            Event::Followed { .. } => "followed",
            Event::Slip { .. } => "slip",
            Event::Hint { .. } => return self.keep_drawing(session),
            _ => return Ok(()),
        };
        self.moments += 1;
        let file = self.out.join(format!("{:02}-{name}.png", self.moments));
        let (look, told) = session
            .view()
            .map_or((look, None), |(look, told)| (look, Some(told)));
        annotate(&frame.image, look, told, &file)?;
        self.written.push(file);
        Ok(())
    }

    fn keep_drawing(&mut self, session: &Session) -> Result<(), Failure> {
        let Some(known) = session.known() else {
            return Ok(());
        };
        let svg = drawing(known);
        self.moments += 1;
        let stem = format!("{:02}-hint", self.moments);
        let png = to_png(&svg, SCALE).map_err(|error| Failure::failed(error.to_string()))?;
        for (ending, content) in [("svg", svg.as_bytes()), ("png", &png)] {
            let file: PathBuf = Path::new(&self.out).join(format!("{stem}.{ending}"));
            write_whole(&file, content)?;
            self.written.push(file);
        }
        Ok(())
    }
}

impl Listener for Album {
    fn hear(&mut self, moment: &mut Moment, session: &mut Session) -> io::Result<()> {
        let Some((frame, look)) = &moment.seen else {
            return Ok(());
        };
        for event in &moment.events {
            self.keep(frame, look, session, event)
                .map_err(|failure| io::Error::other(failure.to_string()))?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The demo's page once ended in a void: its film ran out.
    #[test]
    fn the_film_runs_again_and_its_time_goes_on() {
        let mut film = tempfile::Builder::new()
            .suffix(".mjpeg")
            .tempfile()
            .expect("a file");
        film.write_all(FILM).expect("it is written");
        let mut again = Again {
            run: open(film.path(), Pace::AsFast).expect("a film"),
            film: film.path().into(),
            began: Duration::ZERO,
            last: Duration::ZERO,
        };
        let mut times = Vec::new();
        while again.began == Duration::ZERO {
            if let Feed::Frame(frame) = again.next(Duration::from_secs(1)) {
                times.push(frame.at);
            }
        }
        assert!(times.len() > 100, "{}", times.len());
        let next = loop {
            if let Feed::Frame(frame) = again.next(Duration::from_secs(1)) {
                break frame.at;
            }
        };
        assert!(times.is_sorted() && next > *times.last().expect("frames"));
    }
}
