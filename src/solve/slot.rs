//! Slots, pairs and stages: the trade's names for what is done of a solve, for a cross of any colour.

use crate::cube::{Colour, Corner, Cube, Edge, Face, Hold};
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// One of the four slots beside a cross, 0 to 3, each known by its two side colours. Which colours they are depends on the cross.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Slot(u8);

/// Some of the four slots.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub struct SlotSet(u8);

/// How far a solve has come, for a given cross.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Stage {
    #[serde(rename = "cross")]
    Cross,
    #[serde(rename = "pairs")]
    Pairs,
    #[serde(rename = "last layer")]
    LastLayer,
    #[serde(rename = "solved")]
    Solved,
}

/// The order in which a first side colour is looked for.
const FIRST: [Colour; 6] = [
    Colour::White,
    Colour::Green,
    Colour::Red,
    Colour::Blue,
    Colour::Orange,
    Colour::Yellow,
];

/// The four side colours of a cross: green, red, blue, orange for white and yellow; for another cross as they follow
/// each other clockwise, seen from the opposite face, from the first of white, green, red, blue, orange, yellow.
pub fn side_colours(cross: Colour) -> [Colour; 4] {
    if matches!(cross, Colour::White | Colour::Yellow) {
        return [Colour::Green, Colour::Red, Colour::Blue, Colour::Orange];
    }
    let ring = cross.opposite().home_face().around().map(Face::home_colour);
    let first = FIRST
        .into_iter()
        .find_map(|c| ring.iter().position(|&r| r == c));
    let first = first.unwrap_or(0);
    [0, 1, 2, 3].map(|i| ring[(first + i) % 4])
}

impl Slot {
    /// All four, in the order of their names.
    pub const ALL: [Slot; 4] = [Slot(0), Slot(1), Slot(2), Slot(3)];

    /// Position in [`Slot::ALL`], 0 to 3.
    pub fn index(self) -> usize {
        usize::from(self.0)
    }

    /// The two side colours, in the order of the slot's name.
    pub fn colours(self, cross: Colour) -> [Colour; 2] {
        let sides = side_colours(cross);
        [sides[self.index()], sides[(self.index() + 1) % 4]]
    }

    /// The slot between two side colours, in either order; none when they are not neighbours beside this cross.
    pub fn between(colours: [Colour; 2], cross: Colour) -> Option<Slot> {
        let [a, b] = colours;
        Slot::ALL.into_iter().find(|slot| {
            let own = slot.colours(cross);
            own == [a, b] || own == [b, a]
        })
    }

    /// The slot with this name, `green-red` or `red-green`, in any case.
    pub fn named(name: &str, cross: Colour) -> Option<Slot> {
        let (a, b) = name.split_once('-')?;
        let colour = |name: &str| {
            let name = name.trim().to_ascii_lowercase();
            Colour::ALL.into_iter().find(|c| c.name() == name)
        };
        Slot::between([colour(a)?, colour(b)?], cross)
    }

    /// The name: its side colours, as in `green-red`.
    pub fn name(self, cross: Colour) -> String {
        let [a, b] = self.colours(cross);
        format!("{}-{}", a.name(), b.name())
    }

    /// The corner piece that belongs here.
    pub fn corner(self, cross: Colour) -> Corner {
        let [a, b] = self.colours(cross).map(Colour::home_face);
        // Neighbouring side colours and the cross always share a corner.
        Corner::with_faces([cross.home_face(), a, b]).unwrap_or(Corner::UFR)
    }

    /// The edge piece that belongs here.
    pub fn edge(self, cross: Colour) -> Edge {
        let faces = self.colours(cross).map(Colour::home_face);
        Edge::of_faces(faces).map_or(Edge::UF, |(edge, _)| edge)
    }

    /// The hold with the cross down and this slot at the front right.
    pub fn hold(self, cross: Colour) -> Hold {
        static HOLDS: LazyLock<[[Hold; 4]; 6]> = LazyLock::new(|| {
            Colour::ALL.map(|cross| Slot::ALL.map(|slot| front_right(slot.colours(cross), cross)))
        });
        HOLDS[cross.index()][self.index()]
    }
}

fn front_right(sides: [Colour; 2], cross: Colour) -> Hold {
    let [a, b] = sides;
    let mut holds = Hold::all().filter(|hold| hold.down() == cross);
    let fits = |hold: &Hold| {
        let shown = [hold.front(), hold.colour_at(Face::R)];
        shown == [a, b] || shown == [b, a]
    };
    holds.find(fits).unwrap_or_default()
}

impl SlotSet {
    pub const EMPTY: SlotSet = SlotSet(0);
    pub const ALL: SlotSet = SlotSet(15);

    pub fn contains(self, slot: Slot) -> bool {
        self.0 >> slot.0 & 1 == 1
    }

    /// This set and the slot.
    pub fn with(self, slot: Slot) -> SlotSet {
        SlotSet(self.0 | 1 << slot.0)
    }

    /// This set but for the slot.
    pub fn without(self, slot: Slot) -> SlotSet {
        SlotSet(self.0 & !(1 << slot.0))
    }

    /// Whether all of these are in `other` too.
    pub fn is_subset(self, other: SlotSet) -> bool {
        self.0 & !other.0 == 0
    }

    pub fn len(self) -> usize {
        self.0.count_ones() as usize
    }

    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// The slots, in order.
    pub fn iter(self) -> impl Iterator<Item = Slot> {
        Slot::ALL
            .into_iter()
            .filter(move |&slot| self.contains(slot))
    }

    /// All sixteen sets.
    pub fn subsets() -> impl Iterator<Item = SlotSet> {
        (0..16).map(SlotSet)
    }
}

impl FromIterator<Slot> for SlotSet {
    fn from_iter<I: IntoIterator<Item = Slot>>(slots: I) -> SlotSet {
        slots.into_iter().fold(SlotSet::EMPTY, SlotSet::with)
    }
}

/// Whether the four edges of a cross are at home.
pub fn cross_solved(cube: &Cube, cross: Colour) -> bool {
    let mut edges = Edge::ALL
        .into_iter()
        .filter(|e| e.colours().contains(&cross));
    edges.all(|edge| cube.edge_at(edge) == (edge, 0))
}

/// Whether a slot's corner and edge are at home.
pub fn pair_solved(cube: &Cube, cross: Colour, slot: Slot) -> bool {
    let (corner, edge) = (slot.corner(cross), slot.edge(cross));
    cube.corner_at(corner) == (corner, 0) && cube.edge_at(edge) == (edge, 0)
}

/// The slots whose pairs are at home.
pub fn pairs_solved(cube: &Cube, cross: Colour) -> SlotSet {
    Slot::ALL
        .into_iter()
        .filter(|&slot| pair_solved(cube, cross, slot))
        .collect()
}

/// How far a solve on this cross has come.
pub fn stage(cube: &Cube, cross: Colour) -> Stage {
    if *cube == Cube::solved() {
        Stage::Solved
    } else if !cross_solved(cube, cross) {
        Stage::Cross
    } else if pairs_solved(cube, cross) != SlotSet::ALL {
        Stage::Pairs
    } else {
        Stage::LastLayer
    }
}
