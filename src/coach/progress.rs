//! What a learner has gained or lost between two showings, whichever way was taken: any right way is right.

use crate::cube::{Colour, Cube};
use crate::solve::{self, Slot, SlotSet};

use super::words;

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

    /// The names of what was gained: the cross by its colour, pairs by their slots.
    pub fn gained_names(&self) -> Vec<String> {
        self.names(self.cross_gained, self.gained)
    }

    /// The names of what was lost.
    pub fn lost_names(&self) -> Vec<String> {
        self.names(self.cross_lost, self.lost)
    }

    fn names(&self, cross: bool, pairs: SlotSet) -> Vec<String> {
        let pairs = pairs.iter().map(|slot| slot.name(self.cross));
        let cross = cross.then(|| self.cross.name().to_owned());
        cross.into_iter().chain(pairs).collect()
    }

    /// What happened, in at most two sentences; none when nothing was gained or lost. `wanted` is the pair that the hint
    /// was for.
    pub fn say(&self, wanted: Option<Slot>) -> Option<String> {
        let others: SlotSet = self
            .gained
            .iter()
            .filter(|slot| Some(*slot) != wanted)
            .collect();
        let as_hinted = wanted.is_some_and(|slot| self.gained.contains(slot));
        let gained = self.gained_names();
        let good = match (wanted, others.len(), as_hinted) {
            _ if gained.is_empty() => None,
            (Some(_), 1.., false) if !self.cross_gained => Some(format!(
                "{} {} in: another pair than I had in mind, and right.",
                words::sentence(&words::list(&gained)),
                is(&gained)
            )),
            _ if self.cross_gained && self.gained.is_empty() => {
                Some(format!("The {} cross is whole.", self.cross.name()))
            }
            _ if self.cross_gained => {
                let pairs = self.names(false, self.gained);
                Some(format!(
                    "The {} cross is whole, and {} {} in.",
                    self.cross.name(),
                    words::list(&pairs),
                    is(&pairs)
                ))
            }
            _ => Some(format!(
                "{} {} in.",
                words::sentence(&words::list(&gained)),
                is(&gained)
            )),
        };
        let pairs = self.names(false, self.lost);
        let bad = match (self.cross_lost, pairs.is_empty()) {
            (false, true) => None,
            (true, true) => Some(format!("The {} cross came apart.", self.cross.name())),
            (true, false) => Some(format!(
                "The {} cross came apart, and {} came out.",
                self.cross.name(),
                words::list(&pairs)
            )),
            (false, false) => Some(format!(
                "{} came out.",
                words::sentence(&words::list(&pairs))
            )),
        };
        let all: Vec<String> = good.into_iter().chain(bad).collect();
        (!all.is_empty()).then(|| all.join(" "))
    }
}

fn is(names: &[String]) -> &'static str {
    if names.len() == 1 { "is" } else { "are" }
}

impl Doing {
    /// What was good about it, in a short sentence; none where there is nothing to praise.
    pub fn praise(&self) -> Option<String> {
        let fewer = match (self.turns, self.last_time) {
            (Some(now), Some(then)) if now < then => Some((then - now) as usize),
            _ => None,
        };
        let unhelped = self.rung == 0 && self.slips == 0;
        match (unhelped, fewer) {
            (true, Some(n)) => Some(format!(
                "Without help, and {} fewer than last time.",
                words::turn_count(n)
            )),
            (true, None) => Some("All by yourself.".into()),
            (false, Some(n)) => Some(format!(
                "{} fewer than last time.",
                words::sentence(&words::turn_count(n))
            )),
            (false, None) if self.rung > 0 && self.rung < 4 && self.slips == 0 => {
                Some("And you found the turns yourself.".into())
            }
            (false, None) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cube::parse_moves;

    fn cube(moves: &str) -> Cube {
        Cube::solved().after(&parse_moves(moves).expect("moves"))
    }

    fn said(before: &str, after: &str, wanted: usize) -> Option<String> {
        let change = Progress::between(&cube(before), &cube(after), Colour::Yellow);
        change.say(Some(Slot::ALL[wanted]))
    }

    // Held white up and green in front, R U R' takes out the green-red pair of a yellow cross, L' U L the orange-green one.

    #[test]
    fn the_pair_that_was_hinted_is_in() {
        assert_eq!(said("R U R'", "", 0).as_deref(), Some("Green-red is in."));
    }

    #[test]
    fn another_pair_than_the_hinted_one_is_right_too() {
        assert_eq!(
            said("L' U L", "", 0).as_deref(),
            Some("Orange-green is in: another pair than I had in mind, and right.")
        );
    }

    #[test]
    fn what_came_out_is_named() {
        assert_eq!(
            said("", "R U R'", 0).as_deref(),
            Some("Green-red came out.")
        );
        assert_eq!(
            said("L' U L", "R U R'", 0).as_deref(),
            Some(
                "Orange-green is in: another pair than I had in mind, and right. Green-red came out."
            )
        );
        assert_eq!(said("U", "U2", 0), None);
    }

    #[test]
    fn the_cross_is_gained_and_lost() {
        let text = said("", "R", 0).expect("something is lost");
        assert!(text.starts_with("The yellow cross came apart"), "{text}");
        let text = said("R", "", 0).expect("something is gained");
        assert!(text.starts_with("The yellow cross is whole"), "{text}");
    }

    #[test]
    fn praise_says_what_was_good() {
        let doing = Doing {
            turns: Some(7),
            last_time: Some(9),
            ..Doing::default()
        };
        assert_eq!(
            doing.praise().as_deref(),
            Some("Without help, and two turns fewer than last time.")
        );
        let helped = Doing {
            rung: 4,
            slips: 1,
            ..Doing::default()
        };
        assert_eq!(helped.praise(), None);
    }
}
