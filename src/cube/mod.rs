//! The cube itself: colours, faces, pieces, places, moves, notation, nets and legality. No search, no I/O.

mod colour;
mod faults;
mod hold;
mod moves;
mod net;
mod net_faults;
mod piece;
mod scheme;
mod state;

pub use colour::{Colour, Face};
pub(crate) use faults::is_odd;
pub use faults::{Fault, FaultKind};
pub use hold::{Held, Hold};
pub use moves::{
    Amount, Axis, Move, MoveError, Moves, Slice, Turn, htm, inverse, parse_moves, rotations,
    simplified,
};
pub use net::{Net, NetError, sticker_at};
pub use piece::{Corner, Edge};
pub use scheme::Scheme;
pub use state::Cube;
