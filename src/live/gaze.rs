//! Where to look in each frame: while the cube rests its faces are where they were, else anywhere in the picture.

use image::RgbImage;

use super::steady::movement;
use super::track::same_view;
use crate::sight::{Finder, Look};

/// Seconds after which all of the picture is looked at again: another side of the cube may have come into sight.
const WHOLE: f64 = 0.2;

/// Seconds between two frames beyond which a face may be anywhere.
const GAP: f64 = 0.2;

/// A face that moves by less than this share of its side from frame to frame is looked for where it was: a third of a sticker, of
/// the half that can be followed.
const STAYS: f32 = 0.11;

/// Looks at one frame after the other.
#[derive(Debug, Default)]
pub struct Gaze {
    finder: Finder,
    last: Option<(f64, Look)>,
    /// The faces stayed where they were in the last frame.
    stays: bool,
    /// When all of the picture was last looked at, seconds.
    whole_at: f64,
}

impl Gaze {
    /// Finds the faces in a frame, `t` seconds into the stream.
    pub fn look(&mut self, t: f64, picture: &RgbImage) -> Look {
        let followed = self.follow(t, picture);
        let look = followed.unwrap_or_else(|| {
            self.whole_at = t;
            self.finder.look(picture)
        });
        let last = self.last.replace((t, look.clone()));
        self.stays = last.is_some_and(|(at, last)| t - at < GAP && stays(&last, &look));
        look
    }

    /// The faces where they were; none where they may be elsewhere, or one of them is no longer there or another one.
    fn follow(&mut self, t: f64, picture: &RgbImage) -> Option<Look> {
        let (at, last) = self.last.as_ref()?;
        if !self.stays || t - at >= GAP || t - self.whole_at >= WHOLE {
            return None;
        }
        let look = self.finder.follow(picture, last);
        (stays(last, &look) && same_view(last, &look)).then_some(look)
    }
}

fn stays(before: &Look, after: &Look) -> bool {
    movement(before, after).is_some_and(|by| by < STAYS)
}
