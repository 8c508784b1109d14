//! What was gained and lost, and praise for it.

use crate::cube::Colour;
use crate::solve::SlotSet;

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ProgressSaying {
    In(SolvedParts),
    /// Another pair than the hint was for.
    InInstead(SolvedParts),
    CrossWhole(Colour),
    CrossWholeAnd(SolvedParts),
    CrossApart(Colour),
    CrossApartAnd(SolvedParts),
    CameOut(SolvedParts),
}

/// A cross, or only pairs beside it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SolvedParts {
    pub cross: Colour,
    pub with_cross: bool,
    pub pairs: SlotSet,
}

impl SolvedParts {
    /// The cross by its colour, pairs by their slots.
    pub fn names(&self) -> Vec<String> {
        let pairs = self.pairs.iter().map(|slot| slot.name(self.cross));
        let cross = self.with_cross.then(|| self.cross.name().to_owned());
        cross.into_iter().chain(pairs).collect()
    }
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
