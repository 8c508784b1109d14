//! Drawings: nets, cubes as they are held, and marks for annotated pictures, as SVG text and PNG.
//!
//! Every builder is a pure function that returns a whole SVG document. No fonts are used: letters and digits are
//! strokes of our own (see [`glyph`]), so a drawing looks the same in a page, a file and a raster picture, and no
//! sticker is ever told by its colour alone.

mod arrow;
mod geometry;
pub mod glyph;
mod held;
mod ink;
mod marks;
mod net;
mod outline;
mod raster;
mod situation;

pub use held::{HeldCube, held};
pub use marks::{MarkedFace, marks, outlines};
pub use net::net;
pub use raster::{DrawError, lay_over, raster, to_png};
pub use situation::{
    Others, corner_asked, marked, marked_cross, marked_places, marked_top, situation,
};

use serde::Serialize;

use crate::cube::{Colour, Face, Net, Scheme};

/// One sticker to draw.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Sticker {
    /// `None` draws an empty sticker with a question mark.
    pub colour: Option<Colour>,
    /// Belongs to the pair that is spoken of: its piece is drawn with a whole line around it.
    pub pair: bool,
    /// Belongs to the slot that the pair goes to: drawn with a broken line around it.
    pub slot: bool,
    /// Of no importance now: drawn pale.
    pub dim: bool,
    /// HeldCube grey, without a letter: its colour does not matter.
    pub blank: bool,
}

/// The stickers of all faces, in the order of [`Face::ALL`], each face as rows in reading order of the unfolded net.
#[derive(Clone, Debug, PartialEq, Eq, Default, Serialize)]
pub struct Stickers(pub [[Sticker; 9]; 6]);

impl Stickers {
    /// Stickers of the colours that `colour` gives for each face and index 0 to 8.
    pub fn from_colours(colour: impl Fn(Face, usize) -> Option<Colour>) -> Stickers {
        Stickers(Face::ALL.map(|face| {
            std::array::from_fn(|i| Sticker {
                colour: colour(face, i),
                ..Sticker::default()
            })
        }))
    }

    /// The stickers of a net, none marked. `Net::of_held` gives the net of a cube as it is held.
    pub fn of_net(net: &Net) -> Stickers {
        Stickers::from_colours(|face, i| Some(net.face(face)[i / 3][i % 3]))
    }

    /// The same on a cube of a scheme.
    pub fn painted(mut self, scheme: Scheme) -> Stickers {
        for sticker in self.0.iter_mut().flatten() {
            sticker.colour = sticker.colour.map(|colour| scheme.colour(colour));
        }
        self
    }

    /// One face, as rows in reading order.
    pub fn face(&self, face: Face) -> &[Sticker; 9] {
        &self.0[face.index()]
    }

    /// One sticker, to mark it.
    pub fn at_mut(&mut self, face: Face, index: usize) -> &mut Sticker {
        &mut self.0[face.index()][index]
    }
}

#[cfg(test)]
mod tests;
