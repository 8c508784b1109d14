//! What was done beside what was told.

use crate::cube::{Colour, Move, Moves};

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FollowSaying {
    Right,
    RightSoFar,
    NothingTurned,
    GoOn(Vec<Move>),
    GoBack(Vec<Move>),
    Otherwise(Difference),
    LookAgain,
    SolvedWell,
    /// There was a shorter way, from the hold by the colours down and in front.
    HadShorter {
        moves: Moves,
        down: Colour,
        front: Colour,
    },
}

/// What went otherwise; turns are counted from one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Difference {
    WrongWay(usize),
    AnotherLayer(usize),
    OppositeSideFrom(usize),
    TooFar(usize),
    NotFarEnough(usize),
    LeftOut(usize),
    OneTooMany,
    WrongOrder,
    HeldOtherwise,
    CubeNotTurned,
}
