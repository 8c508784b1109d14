//! Where a solve is, and what comes next.

use crate::cube::Colour;
use crate::solve::Slot;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StageSaying {
    NextCross(Colour),
    /// The cross is done, and so many pairs.
    CrossDone(Colour, usize),
    NextPair(Slot, Colour),
    /// The pair to look for while another one goes in.
    Meanwhile(Slot, Colour),
    TwoLayersDone,
    Solved,
    /// The rungs where all is solved.
    MixAgain,
    NothingLeft,
    EverySideWhole,
    TwentyTurnsMix,
    NoTurnsNeeded,
}
