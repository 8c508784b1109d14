//! Turns to be made.

use crate::cube::{Amount, Axis, Move};

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TurnSaying {
    /// In words with the notation beside them.
    Written(Vec<Move>),
    /// As they are spoken.
    Spoken(Vec<Move>),
    /// The same, after something else.
    ThenSpoken(Vec<Move>),
    /// First this one.
    First(Move),
    /// In notation only.
    Letters(Vec<Move>),
    /// So many that they are not spoken.
    MakeThese { count: usize, then: bool },
    /// Of the whole cube, with the notation.
    CubeWritten(Axis, Amount),
    /// Of the whole cube about the upright axis.
    Cube(Amount),
    /// The same, and then the top.
    CubeThenTop(Amount, Vec<Move>),
    /// After them the learner looks again.
    LookAgain,
}
