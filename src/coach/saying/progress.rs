//! What was gained and lost, and praise for it.

use crate::cube::Colour;
use crate::solve::SlotSet;

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ProgressSaying {
    In(Pairs),
    /// Another pair than the hint was for.
    InInstead(Pairs),
    CrossWhole(Colour),
    CrossWholeAnd(Pairs),
    CrossApart(Colour),
    CrossApartAnd(Pairs),
    CameOut(Pairs),
}

/// Some pairs of a cross.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pairs {
    pub cross: Colour,
    pub slots: SlotSet,
}

/// What was good about how a pair was done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Praise {
    /// Without help, and with so many turns fewer than last time.
    UnaidedAndFewer(usize),
    Unaided,
    Fewer(usize),
    FoundTheTurns,
}
