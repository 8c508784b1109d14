//! Names of what is done, used and seen.

use crate::cube::Colour;
use crate::solve::{LookGoal, Slot, Style};

use super::super::ideas::Idea;
use super::cross::CrossEdges;

/// What a step is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Deed {
    Idea(Idea),
    /// The top is turned, so that a lift can follow.
    IntoPlace,
    TurnTheCube,
    /// Turns that are no lifts.
    ShorterWay,
    /// These edges of the cross are brought down.
    Edges(CrossEdges),
    LineUp,
    Look(LookGoal),
    /// Back to where a slip was made.
    WayBack,
}

/// What a route uses.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Use {
    Idea(Idea),
    BackSlot,
    EmptySlot,
    NoRotation,
    Keyhole,
    Sledgehammer,
    /// Looks of the last layer that turn its pieces over.
    Orientation(Style),
    /// Looks that move them to their places.
    Permutation(Style),
    /// The trade's name of a case of the last layer.
    Case(&'static str),
}

/// Which sight a pair is, by its number, on the cross of a colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SightName {
    pub number: usize,
    pub cross: Colour,
}

/// Which pair it is, by its slot on the cross of a colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PairName {
    pub slot: Slot,
    pub cross: Colour,
}
