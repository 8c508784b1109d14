//! Pulls moments from a source of frames and a session, and hands them to whoever listens.

use std::io;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::Duration;

use super::event::{Event, Kind, Timed};
use super::gaze::Gaze;
use super::known::Known;
use super::session::Session;
use crate::camera::{Feed, Frame, FrameSource, Trouble};
use crate::cube::{Cube, parse_moves};
use crate::sight::Look;

/// The longest wait for a frame before the stop flag is looked at again.
const WAIT: Duration = Duration::from_millis(100);

/// What came of one wait for a frame.
#[derive(Debug, Default)]
pub struct Moment {
    /// Seconds of the stream.
    pub now: f64,
    /// The frame, and what was found in it; none while no frame comes.
    pub seen: Option<(Frame, Look)>,
    /// What is to be told, often nothing.
    pub events: Vec<Timed>,
    /// A sentence of a listener's own on these events, such as how practice went, for those who listen after it.
    pub remark: Option<String>,
    /// No moment follows.
    pub ended: bool,
}

/// Whoever does something with what the loop sees and tells.
pub trait Listener {
    /// Takes one moment. The session may be changed for the moments to come.
    ///
    /// # Errors
    /// When telling fails the loop ends.
    fn hear(&mut self, moment: &mut Moment, session: &mut Session) -> io::Result<()>;
}

/// A source of frames with the session that looks at them.
pub struct Watch<'a> {
    source: &'a mut dyn FrameSource,
    gaze: Gaze,
    now: f64,
    ended: bool,
}

impl<'a> Watch<'a> {
    /// Nothing has been looked at yet.
    pub fn new(source: &'a mut dyn FrameSource) -> Self {
        Watch::with(source, Gaze::default())
    }

    /// The same by a gaze that may know some of the pictures.
    pub fn with(source: &'a mut dyn FrameSource, gaze: Gaze) -> Self {
        Watch {
            source,
            gaze,
            now: 0.0,
            ended: false,
        }
    }

    /// Goes on until the source ends or `stop` is set; each moment goes to the listeners in their order.
    ///
    /// # Errors
    /// The first that a listener meets.
    pub fn run(
        &mut self,
        session: &mut Session,
        listeners: &mut [&mut dyn Listener],
        stop: &AtomicBool,
    ) -> io::Result<()> {
        while let Some(mut moment) = self.next(session, stop.load(Ordering::Relaxed)) {
            for listener in listeners.iter_mut() {
                listener.hear(&mut moment, session)?;
            }
        }
        Ok(())
    }

    /// The next moment, after a tenth of a second at the latest; none after the last. To `stop` makes this the last one.
    pub fn next(&mut self, session: &mut Session, stop: bool) -> Option<Moment> {
        if self.ended {
            return None;
        }
        let mut moment = Moment::default();
        match (!stop).then(|| self.source.next(WAIT)) {
            Some(Feed::Frame(frame)) => {
                self.now = frame.at.as_secs_f64();
                let look = self.gaze.look(self.now, &frame.image);
                moment.events = session.see(self.now, &look);
                moment.seen = Some((frame, look));
            }
            Some(Feed::Trouble(trouble)) => {
                moment.events.push(Timed::new(self.now, troubled(&trouble)))
            }
            Some(Feed::Quiet) => {}
            Some(Feed::End) | None => {
                moment.events = session.end();
                moment.ended = true;
                self.ended = true;
            }
        }
        moment.now = self.now;
        Some(moment)
    }
}

/// Watches from a source's beginning to its end, as [`Watch::run`] does.
///
/// # Errors
/// The first that a listener meets.
pub fn watch(
    source: &mut dyn FrameSource,
    session: &mut Session,
    listeners: &mut [&mut dyn Listener],
    stop: &AtomicBool,
) -> io::Result<()> {
    thread::spawn(build_tables);
    Watch::new(source).run(session, listeners, stop)
}

/// Has advice worked out for a cube at each stage, so that the first learner need not wait for tables built at first use.
fn build_tables() {
    for moves in ["F R U' B2", "L' U L", "U"] {
        if let Ok(moves) = parse_moves(moves) {
            Known::new(Cube::solved().after(&moves), None);
        }
    }
}

fn troubled(trouble: &Trouble) -> Event {
    Event::Trouble {
        kind: Kind::Camera(trouble.kind),
        text: format!("{}\n{}", trouble.say, trouble.remedy),
    }
}
