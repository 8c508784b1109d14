//! What a learner has gained or lost between two showings, whichever way was taken: any right way is right.

use crate::cube::{Colour, Cube};
use crate::solve::{self, Slot, SlotSet};

use super::saying::{Pairs, Praise, ProgressSaying, Text, say_all};

/// What of a cross and its pairs one state has that another has not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    pub cross: Colour,
    /// The cross is whole now and was not, or the other way round.
    pub cross_gained: bool,
    pub cross_lost: bool,
    /// Pairs that count: those beside a whole cross.
    pub gained: SlotSet,
    pub lost: SlotSet,
}

/// How a pair was done, to be praised for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Doing {
    /// The highest rung of help, 0 for none.
    pub rung: u8,
    pub slips: u32,
    /// Turns made, where they are known.
    pub turns: Option<u32>,
    /// Turns made the last time in this situation.
    pub last_time: Option<u32>,
}

impl Progress {
    /// What happened between two states of a cube.
    pub fn between(before: &Cube, after: &Cube, cross: Colour) -> Progress {
        let whole = |cube: &Cube| solve::cross_solved(cube, cross);
        let pairs = |cube: &Cube| solve::pairs_solved(cube, cross);
        let (was, is) = (pairs(before), pairs(after));
        let less = |a: SlotSet, b: SlotSet| a.iter().filter(|slot| !b.contains(*slot)).collect();
        Progress {
            cross,
            cross_gained: whole(after) && !whole(before),
            cross_lost: whole(before) && !whole(after),
            gained: less(is, was),
            lost: less(was, is),
        }
    }

    fn pairs(&self, slots: SlotSet) -> Pairs {
        Pairs {
            cross: self.cross,
            slots,
        }
    }

    /// What happened, in at most two sayings; nothing when nothing was gained or lost. `wanted` is the pair that the hint
    /// was for.
    pub fn say(&self, wanted: Option<Slot>) -> Text {
        say_all(self.good(wanted).into_iter().chain(self.bad()))
    }

    fn good(&self, wanted: Option<Slot>) -> Option<ProgressSaying> {
        let pairs = self.pairs(self.gained);
        let is_as_hinted = wanted.is_none_or(|slot| self.gained.contains(slot));
        match (self.cross_gained, self.gained.is_empty()) {
            (false, true) => None,
            (true, true) => Some(ProgressSaying::CrossWhole(self.cross)),
            (true, false) => Some(ProgressSaying::CrossWholeAnd(pairs)),
            (false, false) if is_as_hinted => Some(ProgressSaying::In(pairs)),
            (false, false) => Some(ProgressSaying::InInstead(pairs)),
        }
    }

    fn bad(&self) -> Option<ProgressSaying> {
        let pairs = self.pairs(self.lost);
        match (self.cross_lost, self.lost.is_empty()) {
            (false, true) => None,
            (true, true) => Some(ProgressSaying::CrossApart(self.cross)),
            (true, false) => Some(ProgressSaying::CrossApartAnd(pairs)),
            (false, false) => Some(ProgressSaying::CameOut(pairs)),
        }
    }
}

impl Doing {
    /// What was good about it; none where there is nothing to praise.
    pub fn praise(&self) -> Option<Praise> {
        let fewer = match (self.turns, self.last_time) {
            (Some(now), Some(then)) if now < then => Some((then - now) as usize),
            _ => None,
        };
        let unhelped = self.rung == 0 && self.slips == 0;
        match (unhelped, fewer) {
            (true, Some(n)) => Some(Praise::UnaidedAndFewer(n)),
            (true, None) => Some(Praise::Unaided),
            (false, Some(n)) => Some(Praise::Fewer(n)),
            (false, None) if self.rung > 0 && self.rung < 4 && self.slips == 0 => {
                Some(Praise::FoundTheTurns)
            }
            (false, None) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::saying::say;
    use super::*;
    use crate::cube::parse_moves;

    fn cube(moves: &str) -> Cube {
        Cube::solved().after(&parse_moves(moves).expect("moves"))
    }

    fn said(before: &str, after: &str, wanted: usize) -> Text {
        let change = Progress::between(&cube(before), &cube(after), Colour::Yellow);
        change.say(Some(Slot::ALL[wanted]))
    }

    /// A pair of the yellow cross.
    fn pair(slot: usize) -> Pairs {
        Pairs {
            cross: Colour::Yellow,
            slots: SlotSet::EMPTY.with(Slot::ALL[slot]),
        }
    }

    // Held white up and green in front, R U R' takes out the green-red pair of a yellow cross, L' U L the orange-green one.

    #[test]
    fn the_pair_that_was_hinted_is_in() {
        assert_eq!(said("R U R'", "", 0), say(ProgressSaying::In(pair(0))));
    }

    #[test]
    fn another_pair_than_the_hinted_one_is_right_too() {
        let instead = say(ProgressSaying::InInstead(pair(3)));
        assert_eq!(said("L' U L", "", 0), instead);
    }

    #[test]
    fn what_came_out_is_named() {
        let out = ProgressSaying::CameOut(pair(0));
        assert_eq!(said("", "R U R'", 0), say(out.clone()));
        let both = say_all([ProgressSaying::InInstead(pair(3)), out]);
        assert_eq!(said("L' U L", "R U R'", 0), both);
        assert_eq!(said("U", "U2", 0), Text::NOTHING);
    }

    #[test]
    fn the_cross_is_gained_and_lost() {
        // The pairs on the red side go with the cross.
        let red = Pairs {
            slots: SlotSet::EMPTY.with(Slot::ALL[0]).with(Slot::ALL[1]),
            ..pair(0)
        };
        let lost = ProgressSaying::CrossApartAnd(red);
        let gained = ProgressSaying::CrossWholeAnd(red);
        assert_eq!(said("", "R", 0), say(lost));
        assert_eq!(said("R", "", 0), say(gained));
    }

    #[test]
    fn praise_says_what_was_good() {
        let doing = Doing {
            turns: Some(7),
            last_time: Some(9),
            ..Doing::default()
        };
        assert_eq!(doing.praise(), Some(Praise::UnaidedAndFewer(2)));
        let helped = Doing {
            rung: 4,
            slips: 1,
            ..Doing::default()
        };
        assert_eq!(helped.praise(), None);
    }
}
