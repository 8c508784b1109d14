//! What is said, and whether it is true: every way that a pair can lie, and whole solves by the hints. Each kind of thing that was
//! once said falsely has a check of its own. The tests run them over a few, the laboratory over as many as are asked for, so
//! nothing here knows more than what the library shows to everybody.

pub mod english;
pub mod kinds;
pub mod placements;
pub mod reader;

use crate::coach::{Advice, Level, PairAdvice, Spot, Step, Style, advise, advise_held};
use crate::cube::{Colour, Cube, Held, Hold};
use crate::solve::{self, Slot, SlotSet};

/// An advice, and the cube in hand that it is for.
pub struct Said {
    pub held: Held,
    pub advice: Advice,
}

/// Where a pair is put: at every place in turn, the pairs of `keep` solved.
#[derive(Clone, Copy, Debug)]
pub struct PairCase {
    pub cross: Colour,
    pub slot: Slot,
    pub keep: SlotSet,
    pub level: Level,
}

impl PairCase {
    /// One slot and one level for each cross, with no other pair solved or with all.
    pub fn is_one_of_few(&self) -> bool {
        let n = self.cross.index() % 4;
        self.slot == Slot::ALL[n]
            && self.level == Level::ALL[n]
            && (self.keep.is_empty() || self.keep == SlotSet::ALL.without(self.slot))
    }

    /// Each cross, slot, set of other pairs solved and level.
    pub fn all() -> Vec<PairCase> {
        let mut all = Vec::new();
        for cross in Colour::ALL {
            for slot in Slot::ALL {
                for keep in SlotSet::subsets().filter(|keep| !keep.contains(slot)) {
                    all.extend(Level::ALL.map(|level| PairCase {
                        cross,
                        slot,
                        keep,
                        level,
                    }));
                }
            }
        }
        all
    }

    /// What is said of the pair wherever it lies, from one hold after the other.
    pub fn said(self) -> impl Iterator<Item = Said> {
        let PairCase { cross, slot, .. } = self;
        let fronts = solve::side_colours(cross);
        let open = placements::placements(cross, slot, self.keep)
            .into_iter()
            .filter(move |cube| !solve::pair_solved(cube, cross, slot));
        open.enumerate().map(move |(n, cube)| {
            let front = fronts[(n + slot.index()) % 4];
            let hold = Hold::new(cross, front).expect("a hold");
            let held = Held { cube, hold };
            let advice = advise_held(&held, self.level, Some(slot));
            Said { held, advice }
        })
    }
}

/// What is said on the way of a random cube that is solved by the hints at a level, the hold kept throughout. Every other cube is
/// looked at again after each few turns.
pub fn solve(seed: u64, level: Level) -> Vec<Said> {
    let cross = Colour::ALL[seed as usize % 6];
    let cube = Cube::random(seed);
    let hold = advise(&cube, Some(cross), false).hold;
    let mut held = Held { cube, hold };
    let mut all = Vec::new();
    while held.cube != Cube::solved() {
        assert!(all.len() < 60, "{seed} is not solved by the hints");
        let advice = advise_held(&held, level, None);
        let moves = match seed % 2 {
            0 => advice.hinted(),
            _ => advice.next_turns(),
        };
        all.push(Said { held, advice });
        held = held.after(&moves);
    }
    all
}

impl Said {
    pub fn cross(&self) -> Colour {
        self.held.hold.down()
    }

    /// The pairs that are not solved.
    pub fn open(&self) -> impl Iterator<Item = (Slot, &PairAdvice)> {
        let pairs = self.advice.pairs.iter().flatten();
        pairs
            .filter(|pair| !pair.solved)
            .map(|pair| (pair.slot.slot, pair))
    }

    /// The pair that comes next.
    pub fn next(&self) -> Option<(Slot, &PairAdvice)> {
        self.open()
            .find(|(_, pair)| Some(pair.slot) == self.advice.next)
    }

    pub fn spot(&self, slot: Slot) -> Spot {
        spot(&self.held, slot)
    }

    /// Every step of every route for a pair, with the cube before it.
    pub fn steps(&self) -> impl Iterator<Item = (Held, Slot, &Step)> {
        let routes = self
            .open()
            .flat_map(|(slot, pair)| pair.routes.iter().map(move |route| (slot, route)));
        routes.flat_map(|(slot, route)| {
            let mut at = self.held;
            route.steps.iter().map(move |step| {
                let before = at;
                at = at.after(&step.moves);
                (before, slot, step)
            })
        })
    }

    /// Whether the hints lead along the method.
    pub fn is_plain(&self) -> bool {
        self.advice
            .told()
            .is_some_and(|route| route.style == Style::Plain)
    }
}

/// How a slot's pair lies in hand.
pub fn spot(held: &Held, slot: Slot) -> Spot {
    let cross = held.hold.down();
    Spot::of(held, cross, slot.colours(cross)).expect("a pair")
}
