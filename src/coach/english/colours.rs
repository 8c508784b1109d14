//! What colours are called, on a cube of any scheme.

use crate::cube::{Colour, Scheme};
use crate::solve::Slot;

/// Sayings name colours by their places in the usual scheme; a cube of another one has other colours there.
#[derive(Clone, Copy)]
pub struct Colours(pub Scheme);

impl Colours {
    /// The colours at these places.
    pub fn at<const N: usize>(self, places: [Colour; N]) -> [Colour; N] {
        places.map(|colour| self.0.colour(colour))
    }

    pub fn name(self, place: Colour) -> &'static str {
        self.0.colour(place).name()
    }

    /// A pair by its side colours, as in "green-red".
    pub fn pair(self, slot: Slot, cross: Colour) -> String {
        let [a, b] = slot.colours(cross).map(|colour| self.name(colour));
        format!("{a}-{b}")
    }
}
