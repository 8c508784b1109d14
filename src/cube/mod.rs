//! The cube itself: colours, faces, pieces, places, moves, notation, nets and legality. No search, no I/O.

mod colour;

pub use colour::{Colour, Face};
