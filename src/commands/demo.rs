//! `demo`: coaching on pictures that the program carries, with what was seen and drawn written to a folder.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::annotate::annotate;
use super::args::DemoArgs;
use super::coach::observe;
use super::files::write_whole;
use super::story::{FOLLOWED, FPS, Narrator, Story};
use crate::camera::{Frame, FrameSource, Pace, open_frames};
use crate::draw::to_png;
use crate::front::display::{Asked, DisplayOptions};
use crate::front::interrupt::stop_on_interrupt;
use crate::front::outcome::{Ended, Exit, Failure, print_prose};
use crate::front::terminal::Terminal;
use crate::input::shown;
use crate::live::{Event, Listener, Moment, Session, Timed, drawing};
use crate::page::{Options, Page};
use crate::read::Reader;
use crate::sight::Look;

/// Pixels of the drawn cube for each unit of the drawing.
const SCALE: f32 = 2.0;

/// Coaches on the film.
pub fn run(args: &DemoArgs) -> Ended {
    let mut film = tempfile::Builder::new()
        .suffix(".mjpeg")
        .tempfile()
        .and_then(|mut file| file.write_all(FOLLOWED).map(|()| file))
        .map_err(|error| Failure::failed(format!("temporary folder: {error}")))?;
    film.flush()?;
    let source: Box<dyn FrameSource> = match args.page {
        true => Box::new(Story::new()),
        false => open_frames(film.path(), FPS, Pace::AsFast)
            .map_err(|error| Failure::failed(error.to_string()))?,
    };
    let session = Session::new(Reader::new(None), None);
    let mut narrator = Narrator::default();
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
                "It runs again and again until you press Ctrl-C. With your own cube: pairsight coach",
            )?;
        }
    }
    let stop = stop_on_interrupt()?;
    let page = match args.page {
        true => Some(page()?),
        false => None,
    };
    let mut listeners: Vec<&mut dyn Listener> = vec![&mut terminal, &mut album];
    if args.page {
        listeners.insert(0, &mut narrator);
    }
    observe(source, page, session, listeners, &stop)?;
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

/// The page, on which the film runs as it was taken.
fn page() -> Result<(Page, DisplayOptions), Failure> {
    let page =
        Page::start(Options::default()).map_err(|error| Failure::failed(error.to_string()))?;
    let options = DisplayOptions {
        replay: true,
        quiet: false,
        profile: None,
        profiles: PathBuf::from("calibration"),
        asked: Asked::default(),
        kept: None,
        journal: None,
    };
    Ok((page, options))
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
        let svg = drawing(known, session.scheme());
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
