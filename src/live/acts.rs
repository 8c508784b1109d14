//! The clear acts by which a learner asks for more help: taking the cube away for a clear while and showing it again unchanged,
//! or holding it up close. Covering it, putting it down beside the keyboard and shifting one's grip are none.

use super::steady::movement;
use crate::sight::Look;

/// Seconds out of the picture that are a clear while.
pub const CLEARLY_AWAY: f64 = 0.9;

/// The same, where the cube comes back where it was last seen: a hand may only have covered it.
const NOT_COVERED: f64 = 2.5;

/// A cube that comes back so near (shares of a face's side) to where it was may have been covered.
const SAME_PLACE: f32 = 0.5;

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
    last: Option<Look>,
    /// Where it last lay at rest.
    rested: Option<Look>,
    gone: bool,
    /// For how long it was out of the picture, seconds in which frames came.
    away: f64,
    now: f64,
    /// It came back after a clear while, and has not been turned since.
    shown: bool,
    /// The usual length of a face's side, pixels.
    usual: Option<f32>,
    close_since: Option<f64>,
    /// This holding up has been taken note of.
    close_noted: bool,
}

impl Acts {
    /// Takes a frame's look, `t` seconds into the stream; `still` where it rests.
    pub fn step(&mut self, t: f64, look: &Look, still: bool) {
        let seconds = t - std::mem::replace(&mut self.now, t);
        if look.faces.is_empty() || self.gone {
            self.away += if seconds < UNWATCHED { seconds } else { 0.0 };
        }
        if look.faces.is_empty() {
            self.gone = true;
            return;
        }
        let away = std::mem::take(&mut self.away);
        if std::mem::take(&mut self.gone)
            && let Some(last) = &self.last
        {
            // Taken away it moves before it goes; covered it does not, and is where it was.
            let is_near = |a: &Look, b: &Look| movement(a, b).is_some_and(|by| by < SAME_PLACE);
            let went_from_rest = self
                .rested
                .as_ref()
                .is_some_and(|rested| is_near(rested, last));
            let clearly = if went_from_rest && is_near(last, look) {
                NOT_COVERED
            } else {
                CLEARLY_AWAY
            };
            self.shown |= away > clearly;
        }
        self.last = Some(look.clone());
        if still {
            self.rested = Some(look.clone());
        }
        let side = side(look);
        let usual = *self.usual.get_or_insert(side);
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
        self.shown
    }

    /// What it shows is answered, or it is turned in view.
    pub fn answered(&mut self) {
        self.shown = false;
    }

    /// Whether more help is asked for now by a cube that has rested for so many seconds in the state that is known. Once for each act.
    pub fn asks_for_more(&mut self, t: f64, rested: f64) -> bool {
        if self.shown && rested > SHOWN {
            self.shown = false;
            return true;
        }
        let held_up = self.close_since.is_some_and(|since| t - since > HELD_UP) && rested > SHOWN;
        if held_up && !self.close_noted {
            self.close_noted = true;
            return true;
        }
        false
    }
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
