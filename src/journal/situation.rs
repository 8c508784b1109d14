//! The situations that a slot's pair can be in, by what is seen, the same for every slot, cross, turn of the top and in the
//! mirror.

use std::fmt;

use crate::coach::saying::SightName;
use crate::coach::{self, Hand, Relation, Spot, english};
use crate::cube::{Amount, Colour, Cube, Held, Turn};
use crate::solve::Slot;

/// How the pair of a slot lies, solved pairs aside.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Situation {
    /// On top or in its own slot.
    Placed(Placed),
    /// A piece is in another slot.
    Trapped(Trapped),
}

/// One of the 22 sights with the pair on top or in its own slot, mirror images counted once: its number, from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Placed(u8);

/// Which pieces of the pair are in a slot that is not theirs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Trapped {
    Corner,
    Edge,
    Both,
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
            (true, true) => Some(Situation::Trapped(Trapped::Both)),
            (true, false) => Some(Situation::Trapped(Trapped::Corner)),
            (false, true) => Some(Situation::Trapped(Trapped::Edge)),
            (false, false) => {
                let (number, _) = coach::sight_number(&spot)?;
                Placed::numbered(number).map(Situation::Placed)
            }
        }
    }

    /// All 25: the placed ones in the order of teaching, then the trapped ones.
    pub fn all() -> impl Iterator<Item = Situation> {
        let trapped = [Trapped::Corner, Trapped::Edge, Trapped::Both];
        Placed::all()
            .map(Situation::Placed)
            .chain(trapped.map(Situation::Trapped))
    }

    /// The situation of this name, as [`Situation`] is written. Names that journals had before are understood.
    pub fn named(name: &str) -> Option<Situation> {
        let named = Situation::all().find(|situation| situation.to_string() == name);
        named.or_else(|| earlier::placed(name).map(Situation::Placed))
    }
}

impl Placed {
    /// All 22, in the order of teaching.
    pub fn all() -> impl Iterator<Item = Placed> {
        (1..=coach::SIGHTS as u8).map(Placed)
    }

    /// The one with this number, from 1.
    pub fn numbered(number: usize) -> Option<Placed> {
        let number = u8::try_from(number).ok()?;
        Placed::all().find(|placed| placed.0 == number)
    }

    /// Its number, from 1.
    pub fn number(self) -> usize {
        self.0.into()
    }

    /// Its name in two to five words; `cross` is the colour of the cross.
    pub fn name(self, cross: Colour) -> String {
        english::sight(SightName {
            number: self.number(),
            cross,
        })
    }

    pub fn relation(self) -> Relation {
        coach::sight_relation(self.number())
    }

    /// This situation in place, with the slot at the front right; cross and other pairs are solved.
    pub fn example(self, cross: Colour, slot: Slot) -> Option<Held> {
        coach::example(self.number(), Hand::Right, cross, slot)
    }

    /// States with this situation in a slot, it and its mirror, each after every turn of the top; cross and other pairs are
    /// solved.
    pub fn states(self, cross: Colour, slot: Slot) -> Vec<Cube> {
        let example = |hand| coach::example(self.number(), hand, cross, slot);
        let top = cross.opposite().home_face();
        let turned = |cube: Cube, quarters| match Amount::of_quarters(quarters) {
            Some(amount) => cube.apply(Turn::new(top, amount)),
            None => cube,
        };
        [Hand::Right, Hand::Left]
            .into_iter()
            .filter_map(example)
            .flat_map(|held| (0..4).map(move |quarters| turned(held.cube, quarters)))
            .collect()
    }
}

/// The placed situations that words speak of: the one of that number or name, or else all whose name has those words.
/// The colour of the cross may be named or called the cross colour. Empty where none is meant.
pub fn matching(words: &str) -> Vec<Placed> {
    let words = plain(words)
        .replace("touching wrongly", "touching")
        .replace("cross colour", "cross");
    if let Ok(number) = words.parse() {
        return Placed::numbered(number).into_iter().collect();
    }
    let words: Vec<&str> = words.split(' ').filter(|word| !word.is_empty()).collect();
    let colour = |word: &str| Colour::ALL.iter().any(|c| c.name() == word) || word == "cross";
    let word = |word: &str| match colour(word) {
        true => "white".to_string(),
        false => word.to_string(),
    };
    let words: Vec<String> = words.into_iter().map(word).collect();
    let all = || Placed::all().map(|placed| (placed, plain(&placed.name(Colour::White))));
    let whole = words.join(" ");
    let is_named = |(placed, name): &(Placed, String)| {
        *name == whole || format!("{} {name}", placed.number()) == whole
    };
    if let Some((placed, _)) = all().find(is_named) {
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
    let together = of(&|name| format!(" {name} ").contains(&format!(" {} ", words.join(" "))));
    if !together.is_empty() {
        return together;
    }
    of(&|name| {
        words
            .iter()
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

/// Number and name, for a white cross.
impl fmt::Display for Placed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.0, self.name(Colour::White))
    }
}

/// Names of the 41 situations that journals had before mirror images were counted as one.
mod earlier {
    use super::Placed;
    use crate::coach;
    use crate::cube::Face;

    /// The situation of such a name: "joined: corner over its slot, cross colour looking left; edge in front, front colour
    /// on top".
    pub fn placed(name: &str) -> Option<Placed> {
        let (corner, edge) = name.split_once(": ")?.1.split_once("; ")?;
        let (at, looks) = corner.split_once(", cross colour ")?;
        let looks = looking(looks)?;
        let corner = match at {
            "corner over its slot" => turned([Face::U, Face::F, Face::R], looks)?,
            "corner in its slot" => turned([Face::D, Face::R, Face::F], looks)?,
            _ => return None,
        };
        let edge = match edge.split_once(", ")? {
            ("edge in its slot", "each colour on its own side") => [Face::F, Face::R],
            ("edge in its slot", _) => [Face::R, Face::F],
            (at, "front colour on top") => [Face::U, side(at)?],
            (at, _) => [side(at)?, Face::U],
        };
        let spot = coach::Spot {
            corner,
            edge,
            home: [Face::F, Face::R],
        };
        let (number, _) = coach::sight_number(&spot)?;
        Placed::numbered(number)
    }

    /// A corner's faces, counter-clockwise, from the one on which it shows the cross colour. Its home shows the cross
    /// colour, the right and the front colour in that order round.
    fn turned(faces: [Face; 3], looks: Face) -> Option<[Face; 3]> {
        let at = faces.iter().position(|face| *face == looks)?;
        let [cross, first, second] = [0, 1, 2].map(|k| faces[(at + k) % 3]);
        Some([cross, second, first])
    }

    fn looking(words: &str) -> Option<Face> {
        Some(match words {
            "looking up" => Face::U,
            "looking down" => Face::D,
            "looking at you" => Face::F,
            "looking right" => Face::R,
            _ => return None,
        })
    }

    fn side(words: &str) -> Option<Face> {
        Some(match words {
            "edge at the front" => Face::F,
            "edge at the back" => Face::B,
            "edge on the right" => Face::R,
            "edge on the left" => Face::L,
            _ => return None,
        })
    }
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::*;
    use crate::solve::{SlotSet, cross_solved, pairs_solved};

    #[test]
    fn there_are_22_and_their_names_differ_and_are_found() {
        let all: Vec<Placed> = Placed::all().collect();
        let names: HashSet<String> = all.iter().map(|placed| placed.to_string()).collect();
        assert_eq!((all.len(), names.len()), (22, 22), "{names:#?}");
        for placed in all {
            assert_eq!(matching(&placed.number().to_string()), [placed]);
            assert_eq!(matching(&placed.to_string()), [placed]);
            for cross in Colour::ALL {
                assert_eq!(matching(&placed.name(cross)), [placed]);
            }
        }
        for situation in Situation::all() {
            assert_eq!(Situation::named(&situation.to_string()), Some(situation));
        }
    }

    #[test]
    fn states_have_their_situation_and_keep_all_else() {
        for placed in Placed::all() {
            for (cross, slot) in [(Colour::Red, Slot::ALL[2]), (Colour::Yellow, Slot::ALL[1])] {
                for cube in placed.states(cross, slot) {
                    assert_eq!(
                        Situation::of(&cube, cross, slot),
                        Some(Situation::Placed(placed))
                    );
                    assert!(cross_solved(&cube, cross));
                    assert_eq!(pairs_solved(&cube, cross), SlotSet::ALL.without(slot));
                }
            }
        }
    }

    #[test]
    fn words_narrow_down_and_unknown_words_find_none() {
        assert_eq!(matching("joined").len(), 1);
        assert_eq!(matching("Touching wrongly"), matching("touching"));
        assert_eq!(
            matching("white up, same across"),
            matching("up yellow across same")
        );
        assert_eq!(matching("corner in slot").len(), 3);
        assert!(matching("sidewards").is_empty() && matching("").is_empty());
        assert!(matching("0").is_empty() && matching("23").is_empty());
    }

    #[test]
    fn names_that_journals_had_before_are_understood() {
        for (name, number) in [
            (
                "joined: corner over its slot, cross colour looking at you; edge on the right, right colour on top",
                2,
            ),
            (
                "both in slot: corner in its slot, cross colour looking down; edge in its slot, colours on each other's sides",
                22,
            ),
        ] {
            let placed = Situation::named(name);
            assert!(
                matches!(placed, Some(Situation::Placed(_))),
                "{name} {number}"
            );
        }
        assert_eq!(Situation::named("joined: nothing of the kind"), None);
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
