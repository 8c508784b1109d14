//! The views of one track of the cube, gathered from a stream: what held still in it, and photographs where nothing does.

use super::photographs::{Photographs, TooMany};
use super::steady::Steady;
use super::track::Track;
use crate::sight::Look;

/// Seconds without any face after which the cube has left the picture. Shorter: a missed frame ends a track; longer: a quick
/// second track is taken for the first.
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
    track: Option<Track>,
    /// A cube that leaves the picture and comes back shows the same state.
    lasting: bool,
    now: f64,
}

/// What a frame brought.
#[derive(Debug, Default)]
pub struct Gathered {
    /// A view that held still: its place in the track.
    pub view: Option<usize>,
    /// The cube has left the picture, so the track is over.
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
        // While no frames come nobody sees whether the cube is taken away, so the track goes on after them. Its clock stands.
        if seconds > FORGOTTEN && !self.lasting {
            gathered.left = self.leave();
        } else if seconds > UNWATCHED
            && let Some(track) = &mut self.track
        {
            track.interrupt(seconds);
        }
        self.photographs.add(look);
        if let Some(still) = self.steady.step(t, look) {
            self.photographs.held_still();
            let track = self.track.get_or_insert_with(|| Track::from(t));
            gathered.view = Some(track.add(t, still));
        }
        match (&mut self.track, look.faces.is_empty()) {
            (Some(track), false) => track.seen = t,
            (None, false) => self.track = Some(Track::from(t)),
            (Some(track), true) if !self.lasting && t - track.seen > LEFT => {
                gathered.left = self.leave();
            }
            _ => {}
        }
        gathered
    }

    /// Forgets all but the newest view: what was seen before is another state.
    pub fn begin_again(&mut self) {
        if let Some(track) = &mut self.track {
            track.restart(self.now);
        }
    }

    /// Ends the track, if there is one.
    pub fn leave(&mut self) -> bool {
        self.track.take().is_some()
    }

    /// Forgets what lies still now, too.
    pub fn look_away(&mut self) {
        self.leave();
        self.steady = Steady::new();
    }

    /// The track under way.
    pub fn track(&self) -> Option<&Track> {
        self.track.as_ref()
    }

    /// The same, to be changed.
    pub fn track_mut(&mut self) -> Option<&mut Track> {
        self.track.as_mut()
    }

    /// The looks of the track, oldest first.
    pub fn looks(&self) -> &[Look] {
        self.track.as_ref().map_or(&[], Track::looks)
    }

    /// Of each of them, how likely its faces are such, as log-odds (nats).
    pub fn odds(&self) -> &[Vec<f32>] {
        self.track.as_ref().map_or(&[], Track::odds)
    }

    /// At the end of the stream: a track of the photographs, where nothing ever held still.
    ///
    /// # Errors
    /// Where there are more than photographs can be.
    pub fn end(&mut self) -> Result<bool, TooMany> {
        let looks = self.photographs.take()?;
        if looks.is_empty() {
            return Ok(false);
        }
        let mut track = Track::from(self.now);
        for look in looks {
            track.add(self.now, look.into());
        }
        self.track = Some(track);
        Ok(true)
    }
}
