//! What every file of frames gives: pictures one after the other.

use image::RgbImage;

/// One place in the order of a reel.
pub(super) enum Slot {
    /// A picture and, where it is a file of its own, its name.
    Picture(RgbImage, Option<String>),
    /// A picture that cannot be read, and why in one line.
    Bad(String),
    /// The next picture cannot be opened for lack of handles, and may be whole: it is to be asked for again. Why, in one line.
    NotNow(String),
    End,
}

/// Pictures one after the other.
pub(super) trait Reel: Send {
    fn next_slot(&mut self) -> Slot;

    /// Whether a person should hear of each bad slot: yes for files that somebody put there, no for frames of a film.
    fn tells_of_bad_slots(&self) -> bool {
        false
    }
}
