//! Runs a session on a source of frames until the source ends or the caller has enough.

use std::io;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::Duration;

use super::event::{Event, Kind, Timed};
use super::known::Known;
use super::session::Session;
use crate::camera::{Feed, Frame, FrameSource, Trouble};
use crate::cube::{Cube, parse_moves};
use crate::sight::{Finder, Look};

/// The longest wait for a frame before the stop flag is looked at again.
const WAIT: Duration = Duration::from_millis(100);

/// Who is told what the loop sees.
pub trait Audience {
    /// One frame, what was found in it, and what is to be told after it (often nothing).
    ///
    /// # Errors
    /// When telling fails the loop ends.
    fn frame(
        &mut self,
        frame: &Frame,
        look: &Look,
        session: &Session,
        events: &[Timed],
    ) -> io::Result<()>;

    /// Before each frame, and while none comes: the moment to change how the session reads.
    fn between(&mut self, _session: &mut Session) {}

    /// Something to tell without a frame, such as trouble with the camera.
    fn event(&mut self, event: &Timed) -> io::Result<()>;

    /// A sentence of its own on what it was told last, such as how practice went; given out once.
    fn remark(&mut self) -> Option<String> {
        None
    }

    /// What is told once the frames have ended.
    fn ended(&mut self, _session: &Session, events: &[Timed]) -> io::Result<()> {
        events.iter().try_for_each(|event| self.event(event))
    }
}

/// Whoever lends an audience keeps what it has written.
impl<A: Audience> Audience for &mut A {
    fn between(&mut self, session: &mut Session) {
        (**self).between(session);
    }

    fn frame(
        &mut self,
        frame: &Frame,
        look: &Look,
        session: &Session,
        events: &[Timed],
    ) -> io::Result<()> {
        (**self).frame(frame, look, session, events)
    }

    fn event(&mut self, event: &Timed) -> io::Result<()> {
        (**self).event(event)
    }

    fn remark(&mut self) -> Option<String> {
        (**self).remark()
    }

    fn ended(&mut self, session: &Session, events: &[Timed]) -> io::Result<()> {
        (**self).ended(session, events)
    }
}

/// Watches until the source ends or `stop` is set, and ends the session.
pub fn watch(
    source: &mut dyn FrameSource,
    session: &mut Session,
    audience: &mut dyn Audience,
    stop: &AtomicBool,
) -> io::Result<()> {
    thread::spawn(build_tables);
    let mut finder = Finder::new();
    let mut now = 0.0;
    while !stop.load(Ordering::Relaxed) {
        audience.between(session);
        match source.next(WAIT) {
            Feed::Frame(frame) => {
                now = frame.at.as_secs_f64();
                let look = finder.look(&frame.image);
                let events = session.see(now, &look);
                audience.frame(&frame, &look, session, &events)?;
            }
            Feed::Trouble(trouble) => audience.event(&Timed::new(now, troubled(&trouble)))?,
            Feed::Quiet => {}
            Feed::End => break,
        }
    }
    let events = session.end();
    audience.ended(session, &events)
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
