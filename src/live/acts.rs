//! The clear acts by which a learner asks for more help: taking the cube away for a clear while and showing it again unchanged,
//! or holding it up close. Covering it, putting it down beside the keyboard and shifting one's grip are none.

use super::steady::overlaid;
use crate::sight::{FaceView, Look};

/// Seconds out of the picture that are a clear while.
pub const CLEARLY_AWAY: f64 = 0.9;

/// Seconds out of the picture after which it was put down rather than taken away for more help.
const PUT_DOWN: f64 = 6.0;

/// A cube that comes back so near (shares of a face's side) to where it was last seen was only covered: taken away it moves before
/// it goes.
const SAME_PLACE: f32 = 0.25;

/// Seconds between two frames in which nobody looked.
const UNWATCHED: f64 = 0.5;

/// Seconds for which a cube that comes back must rest to be shown, not only picked up.
const SHOWN: f64 = 0.5;

/// A face so many times as long as usual is held up close.
const CLOSE: f32 = 1.5;

/// For so many seconds.
const HELD_UP: f64 = 2.0;

/// Share by which the usual size follows that of a frame.
const FOLLOWS: f32 = 0.03;

/// Watches for clear acts.
#[derive(Debug, Default)]
pub struct Acts {
    /// What was last seen of the cube.
    last: Option<Look>,
    /// For how long it has been out of the picture, seconds in which frames came; none while it is in it.
    away: Option<f64>,
    /// It came back, and what it shows has not been answered: for how long it was away, and where it was before.
    back: Option<(f64, Look)>,
    now: f64,
    /// The length of a face's side as the cube was held when it was last answered, pixels; none before that. What comes into the
    /// picture first is often a part of it, or something else.
    usual: Option<f32>,
    close_since: Option<f64>,
    /// This holding up has been taken note of.
    close_noted: bool,
}

impl Acts {
    /// Takes a frame's look, `t` seconds into the stream.
    pub fn step(&mut self, t: f64, look: &Look) {
        let seconds = t - std::mem::replace(&mut self.now, t);
        // A clock may be set back, too.
        let is_watched = (0.0..UNWATCHED).contains(&seconds);
        let watched = if is_watched { seconds } else { 0.0 };
        if look.faces.is_empty() {
            self.away = Some(self.away.unwrap_or_default() + watched);
            return;
        }
        if let (Some(away), Some(last)) = (self.away.take(), &self.last) {
            let longest = self.back.as_ref().map_or(0.0, |(longest, _)| *longest);
            if away + watched > longest {
                self.back = Some((away + watched, last.clone()));
            }
        }
        self.last = Some(look.clone());
        let Some(usual) = self.usual else { return };
        let side = side(look);
        if side > CLOSE * usual {
            self.close_since.get_or_insert(t);
        } else {
            self.usual = Some(usual + FOLLOWS * (side - usual));
            self.close_since = None;
            self.close_noted = false;
        }
    }

    /// Whether the cube came back after a clear while, and what it shows has not been answered.
    pub fn is_shown(&self) -> bool {
        self.back
            .as_ref()
            .is_some_and(|(away, _)| *away > CLEARLY_AWAY)
    }

    /// Whether it came back unchanged from where it had been taken, neither covered nor put down.
    fn is_shown_again(&self) -> bool {
        let (Some((away, before)), Some(now)) = (&self.back, &self.last) else {
            return false;
        };
        (CLEARLY_AWAY..PUT_DOWN).contains(away) && !is_in_place(before, now)
    }

    /// What it shows is answered, or it is turned in view.
    pub fn answered(&mut self) {
        self.back = None;
        self.usual = self.last.as_ref().map(side);
        self.close_since = None;
    }

    /// Whether more help is asked for now by a cube that has rested for so many seconds in the state that is known. Once for each act.
    pub fn asks_for_more(&mut self, rested: f64) -> bool {
        if rested < SHOWN {
            return false;
        }
        let shown = self.is_shown_again();
        self.back = None;
        let held_up = self
            .close_since
            .is_some_and(|since| self.now - since > HELD_UP);
        let close = held_up && !std::mem::replace(&mut self.close_noted, held_up);
        shown || close
    }
}

/// Whether a face lies where one lay before. Others may not have been seen.
fn is_in_place(before: &Look, now: &Look) -> bool {
    let near = |old: &FaceView| {
        now.faces
            .iter()
            .any(|face| overlaid(old, face).0 < SAME_PLACE)
    };
    before.faces.iter().any(near)
}

/// The longest side of the faces, pixels.
fn side(look: &Look) -> f32 {
    let sides = look.faces.iter().flat_map(|face| {
        let outline = face.outline();
        (0..4).map(move |i| {
            let (a, b) = (outline[i], outline[(i + 1) % 4]);
            (a.x - b.x).hypot(a.y - b.y)
        })
    });
    sides.fold(0.0, f32::max)
}
