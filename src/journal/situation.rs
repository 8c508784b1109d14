//! Names of the situations of a slot, the same for every slot, cross and turn of the top.
//!
//! They are the coach's names, after the relation of the two pieces. Two pairs are in one situation when they lie alike
//! with the slot at the front right, but for turns of the top.

use std::fmt;
use std::sync::LazyLock;

use crate::coach::{self, Relation, Spot};
use crate::cube::{Amount, Colour, Cube, Face, Held, Turn};
use crate::solve::Slot;

/// How the pair of a slot lies, solved pairs aside.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Situation {
    /// On top or in its own slot.
    Placed(Placed),
    /// A piece is in another slot.
    Trapped(Trapped),
}

/// One of the 41 situations with the pair on top or in its own slot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Placed(Spot);

/// Which pieces of the pair are in a slot that is not theirs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Trapped {
    Corner,
    Edge,
    Both,
}

/// All placed situations with their names, easiest relation and shortest plain route first.
static PLACED: LazyLock<Vec<(Placed, String)>> = LazyLock::new(|| {
    let (cross, slot) = (Colour::White, Slot::ALL[0]);
    let named = |held: Held| match Situation::of(&held.cube, cross, slot) {
        Some(Situation::Placed(placed)) => Some((placed, name(placed, &held, slot))),
        _ => None,
    };
    coach::situations(cross, slot)
        .into_iter()
        .filter_map(named)
        .collect()
});

/// The relation, and where the pieces are in the coach's words.
fn name(placed: Placed, held: &Held, slot: Slot) -> String {
    let relation = match placed.relation() {
        Relation::Joined => "joined",
        Relation::Misjoined => "misjoined",
        Relation::Apart => "apart",
        Relation::CornerInSlot => "corner in slot",
        Relation::EdgeInSlot => "edge in slot",
        Relation::BothInSlots => "both in slot",
    };
    format!("{relation}: {}", coach::situation_name(held, slot))
}

impl Situation {
    /// How a slot's pair lies; none when it is solved.
    pub fn of(cube: &Cube, cross: Colour, slot: Slot) -> Option<Situation> {
        let held = Held {
            cube: *cube,
            hold: slot.hold(cross),
        };
        let spot = Spot::of(&held, cross, slot.colours(cross))?;
        let elsewhere = |at: Option<_>| at.is_some_and(|at| at != spot.slot());
        match (elsewhere(spot.corner_slot()), elsewhere(spot.edge_slot())) {
            _ if spot.is_solved() => None,
            (true, true) => Some(Situation::Trapped(Trapped::Both)),
            (true, false) => Some(Situation::Trapped(Trapped::Corner)),
            (false, true) => Some(Situation::Trapped(Trapped::Edge)),
            (false, false) => Some(Situation::Placed(Placed(upright(spot)))),
        }
    }

    /// All 44: the placed ones in the order of teaching, then the trapped ones.
    pub fn all() -> impl Iterator<Item = Situation> {
        let trapped = [Trapped::Corner, Trapped::Edge, Trapped::Both];
        Placed::all()
            .map(Situation::Placed)
            .chain(trapped.map(Situation::Trapped))
    }

    /// The situation of this name, as [`Situation`] is written.
    pub fn named(name: &str) -> Option<Situation> {
        Situation::all().find(|situation| situation.to_string() == name)
    }
}

impl Placed {
    /// All 41, in the order of teaching.
    pub fn all() -> impl Iterator<Item = Placed> {
        PLACED.iter().map(|(placed, _)| *placed)
    }

    pub fn relation(self) -> Relation {
        self.0.relation()
    }

    /// This situation as its name has it, with the slot at the front right and the corner over it or the edge in front; cross and other pairs are solved.
    pub fn example(self, cross: Colour, slot: Slot) -> Option<Held> {
        let hold = slot.hold(cross);
        let cubes = self.states(cross, slot).into_iter();
        cubes.map(|cube| Held { cube, hold }).find(|held| {
            let spot = Spot::of(held, cross, slot.colours(cross));
            spot.is_some_and(|spot| spot == self.0 || spot.swapped() == self.0)
        })
    }

    /// States with this situation in a slot, one for each turn of the top; cross and other pairs are solved.
    pub fn states(self, cross: Colour, slot: Slot) -> Vec<Cube> {
        let wanted = Some(Situation::Placed(self));
        let cube = coach::situations(cross, slot)
            .into_iter()
            .map(|held| held.cube)
            .find(|cube| Situation::of(cube, cross, slot) == wanted);
        let top = cross.opposite().home_face();
        let turned = |cube: Cube, quarters| match Amount::of_quarters(quarters) {
            Some(amount) => cube.apply(Turn::new(top, amount)),
            None => cube,
        };
        cube.into_iter()
            .flat_map(|cube| (0..4).map(move |quarters| turned(cube, quarters)))
            .collect()
    }
}

/// The placed situations that words speak of: the one of that very name, or else all whose name has those words. Words
/// that say the same are understood. Empty where none is meant.
pub fn matching(words: &str) -> Vec<Placed> {
    let words = plain(words)
        .replace("touching wrongly", "misjoined")
        .replace("touch wrongly", "misjoined")
        .replace("top layer", "on top");
    let all = || Placed::all().map(|placed| (placed, plain(&placed.to_string())));
    if let Some((placed, _)) = all().find(|(_, name)| *name == words) {
        return vec![placed];
    }
    let of = |fits: &dyn Fn(&str) -> bool| -> Vec<Placed> {
        let fitting = all().filter(|(_, name)| fits(name));
        fitting.map(|(placed, _)| placed).collect()
    };
    if words.is_empty() {
        return Vec::new();
    }
    // As they stand, or else in any order.
    let together = of(&|name| format!(" {name} ").contains(&format!(" {words} ")));
    if !together.is_empty() {
        return together;
    }
    of(&|name| {
        words
            .split(' ')
            .all(|word| name.split(' ').any(|own| own == word))
    })
}

/// Lower case words with one space between.
fn plain(words: &str) -> String {
    let letters = words.to_lowercase();
    let parts = letters.split(|c: char| !c.is_alphanumeric());
    parts
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// The same for all pairs in one situation: the side colours in one order, and the top turned so that the corner is over
/// its slot, or else the edge is in front.
fn upright(spot: Spot) -> Spot {
    let spot = if spot.home == Spot::SOLVED.home {
        spot
    } else {
        spot.swapped()
    };
    (0..4)
        .map(|quarters| match Amount::of_quarters(quarters) {
            Some(amount) => spot.turned(Turn::new(Face::U, amount)),
            None => spot,
        })
        .find(is_upright)
        .unwrap_or(spot)
}

fn is_upright(spot: &Spot) -> bool {
    if spot.corner_on_top() {
        spot.home.iter().all(|face| spot.corner.contains(face))
    } else {
        !spot.edge_on_top() || spot.edge.contains(&Face::F)
    }
}

impl fmt::Display for Situation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Situation::Placed(placed) => placed.fmt(f),
            Situation::Trapped(Trapped::Corner) => f.write_str("corner trapped in another slot"),
            Situation::Trapped(Trapped::Edge) => f.write_str("edge trapped in another slot"),
            Situation::Trapped(Trapped::Both) => f.write_str("both trapped in other slots"),
        }
    }
}

impl fmt::Display for Placed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let named = PLACED.iter().find(|(placed, _)| placed == self);
        f.write_str(named.map_or("unknown", |(_, name)| name))
    }
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::*;
    use crate::solve::{SlotSet, cross_solved, pairs_solved};

    #[test]
    fn there_are_41_and_their_names_differ_and_are_found() {
        let all: Vec<Placed> = Placed::all().collect();
        let names: HashSet<String> = all.iter().map(|placed| placed.to_string()).collect();
        assert_eq!((all.len(), names.len()), (41, 41), "{names:#?}");
        for placed in all {
            assert_eq!(matching(&placed.to_string()), [placed]);
        }
        for situation in Situation::all() {
            assert_eq!(Situation::named(&situation.to_string()), Some(situation));
        }
    }

    #[test]
    fn every_slot_and_cross_has_the_same_41() {
        let wanted: HashSet<Placed> = Placed::all().collect();
        for cross in Colour::ALL {
            for slot in Slot::ALL {
                let found: HashSet<Placed> = coach::situations(cross, slot)
                    .iter()
                    .filter_map(|held| match Situation::of(&held.cube, cross, slot)? {
                        Situation::Placed(placed) => Some(placed),
                        Situation::Trapped(_) => None,
                    })
                    .collect();
                assert_eq!(found, wanted, "{cross:?} {slot:?}");
            }
        }
    }

    #[test]
    fn states_have_their_situation_and_keep_all_else() {
        for placed in Placed::all() {
            let (cross, slot) = (Colour::Red, Slot::ALL[2]);
            let states = placed.states(cross, slot);
            assert_eq!(states.iter().collect::<HashSet<_>>().len(), 4);
            for cube in states {
                assert_eq!(
                    Situation::of(&cube, cross, slot),
                    Some(Situation::Placed(placed))
                );
                assert!(cross_solved(&cube, cross));
                assert_eq!(pairs_solved(&cube, cross), SlotSet::ALL.without(slot));
            }
        }
    }

    #[test]
    fn words_narrow_down_and_unknown_words_find_none() {
        let joined = matching("Joined");
        assert!(joined.len() > 1 && joined.iter().all(|p| p.relation() == Relation::Joined));
        assert_eq!(matching("touching wrongly"), matching("misjoined"));
        assert_eq!(matching("apart, looking up").len(), 4);
        assert_eq!(matching("corner in slot").len(), 6);
        assert_eq!(matching("edge in slot").len(), 6);
        assert_eq!(matching("up apart"), matching("apart up"));
        assert!(matching("sideways").is_empty() && matching("").is_empty());
    }

    #[test]
    fn a_piece_in_another_slot_is_trapped() {
        let cube = Cube::solved().after(&crate::cube::parse_moves("L' U L U2").expect("moves"));
        let trapped =
            Cube::solved().after(&crate::cube::parse_moves("L U L' R U R'").expect("moves"));
        let kinds = |cube: &Cube| {
            let of = |slot| Situation::of(cube, Colour::Yellow, slot);
            Slot::ALL.map(of).into_iter().flatten().count()
        };
        assert_eq!(kinds(&cube), 1);
        assert!(kinds(&trapped) >= 2);
    }
}
