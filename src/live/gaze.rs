//! Where to look in each frame: while the cube rests its faces are where they were, else anywhere in the picture. A picture that comes
//! again is not looked at again.

use std::fmt;

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

/// Pictures that were looked at, and what they showed. The same picture always shows the same.
pub trait Album: fmt::Debug {
    /// What a picture showed; none where it is not in the album.
    fn find(&self, picture: &RgbImage) -> Option<Look>;

    /// Takes in a picture that was looked at.
    fn keep(&mut self, picture: &RgbImage, look: &Look);
}

/// The last picture alone: a driver may send one more than once, and a film may stand still.
#[derive(Debug, Default)]
struct Last(Option<(RgbImage, Look)>);

impl Album for Last {
    fn find(&self, picture: &RgbImage) -> Option<Look> {
        let (last, look) = self.0.as_ref()?;
        (last == picture).then(|| look.clone())
    }

    fn keep(&mut self, picture: &RgbImage, look: &Look) {
        self.0 = Some((picture.clone(), look.clone()));
    }
}

/// Looks at one frame after the other.
#[derive(Debug)]
pub struct Gaze {
    finder: Finder,
    album: Box<dyn Album>,
    last: Option<(f64, Look)>,
    /// The faces stayed where they were in the last frame.
    stays: bool,
    /// When all of the picture was last looked at, seconds.
    whole_at: f64,
}

impl Default for Gaze {
    fn default() -> Self {
        Gaze::with(Box::new(Last::default()))
    }
}

impl Gaze {
    /// Looks at no picture that is in the album.
    pub fn with(album: Box<dyn Album>) -> Self {
        Gaze {
            finder: Finder::new(),
            album,
            last: None,
            stays: false,
            whole_at: 0.0,
        }
    }

    /// Finds the faces in a frame, `t` seconds into the stream.
    pub fn look(&mut self, t: f64, picture: &RgbImage) -> Look {
        let followed = self.follow(t, picture);
        let look = followed.unwrap_or_else(|| {
            self.whole_at = t;
            self.whole(picture)
        });
        let last = self.last.replace((t, look.clone()));
        self.stays = last.is_some_and(|(at, last)| t - at < GAP && stays(&last, &look));
        look
    }

    /// The faces anywhere in the picture.
    fn whole(&mut self, picture: &RgbImage) -> Look {
        self.album.find(picture).unwrap_or_else(|| {
            let look = self.finder.look(picture);
            self.album.keep(picture, &look);
            look
        })
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
