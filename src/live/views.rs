//! The views of one showing of the cube, gathered from a stream: what held still in it, and photographs where nothing does.

use super::photographs::{Photographs, TooMany};
use super::showing::Showing;
use super::steady::Steady;
use crate::sight::Look;

/// Seconds without any face after which the cube has left the picture. Shorter: a missed frame ends a showing; longer: a quick
/// second showing is taken for the first.
const LEFT: f64 = 0.45;

/// Seconds between two frames in which nobody looked: the camera was gone or stood still. A stream whose frames always lie so
/// far apart is too slow for anything to hold still in it.
const UNWATCHED: f64 = 0.5;

/// Seconds unwatched after which what was seen of the cube before is forgotten: it may have been turned meanwhile.
const FORGOTTEN: f64 = 60.0;

/// Gathers views.
#[derive(Debug, Default)]
pub struct Views {
    steady: Steady,
    photographs: Photographs,
    showing: Option<Showing>,
    /// A cube that leaves the picture and comes back shows the same state.
    lasting: bool,
    now: f64,
}

/// What a frame brought.
#[derive(Debug, Default)]
pub struct Gathered {
    /// A view that held still: its place in the showing.
    pub view: Option<usize>,
    /// The cube has left the picture, so the showing is over.
    pub left: bool,
}

impl Views {
    /// Of a cube that stays in its state: what leaves the picture ends nothing.
    pub fn lasting() -> Views {
        Views {
            lasting: true,
            ..Views::default()
        }
    }

    /// Takes the look of a frame, `t` seconds into the stream.
    pub fn see(&mut self, t: f64, look: &Look) -> Gathered {
        let mut gathered = Gathered::default();
        let seconds = t - self.now;
        self.now = t;
        // While no frames come nobody sees whether the cube is taken away, so the showing goes on after them. Its clock stands.
        if seconds > FORGOTTEN && !self.lasting {
            gathered.left = self.leave();
        } else if seconds > UNWATCHED
            && let Some(showing) = &mut self.showing
        {
            showing.interrupt(seconds);
        }
        self.photographs.add(look);
        if let Some(still) = self.steady.step(t, look) {
            self.photographs.held_still();
            let showing = self.showing.get_or_insert_with(|| Showing::from(t));
            gathered.view = Some(showing.add(t, still));
        }
        match (&mut self.showing, look.faces.is_empty()) {
            (Some(showing), false) => showing.seen = t,
            (None, false) => self.showing = Some(Showing::from(t)),
            (Some(showing), true) if !self.lasting && t - showing.seen > LEFT => {
                gathered.left = self.leave();
            }
            _ => {}
        }
        gathered
    }

    /// Forgets all but the newest view: what was seen before is another state.
    pub fn begin_again(&mut self) {
        if let Some(showing) = &mut self.showing {
            showing.restart(self.now);
        }
    }

    /// Ends the showing, if there is one.
    pub fn leave(&mut self) -> bool {
        self.showing.take().is_some()
    }

    /// Forgets what lies still now, too.
    pub fn look_away(&mut self) {
        self.leave();
        self.steady = Steady::new();
    }

    /// The showing under way.
    pub fn showing(&self) -> Option<&Showing> {
        self.showing.as_ref()
    }

    /// The same, to be changed.
    pub fn showing_mut(&mut self) -> Option<&mut Showing> {
        self.showing.as_mut()
    }

    /// The looks of the showing, oldest first.
    pub fn looks(&self) -> &[Look] {
        self.showing.as_ref().map_or(&[], Showing::looks)
    }

    /// At the end of the stream: a showing of the photographs, where nothing ever held still.
    ///
    /// # Errors
    /// Where there are more than photographs can be.
    pub fn end(&mut self) -> Result<bool, TooMany> {
        let looks = self.photographs.take()?;
        if looks.is_empty() {
            return Ok(false);
        }
        let mut showing = Showing::from(self.now);
        for look in looks {
            showing.add(self.now, look);
        }
        self.showing = Some(showing);
        Ok(true)
    }
}
