//! Names: of steps, ideas, sights, slips and levels.

use serde::{Serialize, Serializer};

use crate::cube::{Colour, Scheme};
use crate::solve::{LookGoal, Style};

use super::super::follow::SlipKind;
use super::super::ideas::Idea;
use super::super::level::Level;
use super::super::method;
use super::super::saying::{CrossEdges, Deed, PairName, SightName, Use};
use super::colours::Colours;
use super::words;

/// What a step is called, of a cube of the usual scheme.
pub fn deed(deed: &Deed) -> String {
    deed_of(deed, Scheme::USUAL)
}

/// What a step is called, of a cube of a scheme.
pub fn deed_of(deed: &Deed, scheme: Scheme) -> String {
    match deed {
        Deed::Idea(one) => idea(*one).into(),
        Deed::IntoPlace => "into place".into(),
        Deed::TurnTheCube => "turn the cube".into(),
        Deed::ShorterWay => "shorter way".into(),
        Deed::Edges(some) => edges(some, Colours(scheme)),
        Deed::LineUp => "line up".into(),
        Deed::Look(goal) => look(*goal).into(),
        Deed::WayBack => "way back".into(),
    }
}

fn look(goal: LookGoal) -> &'static str {
    match goal {
        LookGoal::EdgesTurned => "turn the edges up",
        LookGoal::CornersTurned => "turn the corners up",
        LookGoal::CornersPlaced => "place the corners",
        LookGoal::EdgesPlaced => "place the edges",
        LookGoal::Aligned => "line up",
    }
}

/// An idea's name, the same wherever it is spoken of.
pub fn idea(idea: Idea) -> &'static str {
    match idea {
        Idea::Free => "free",
        Idea::Park => "put aside",
        Idea::Join => "join",
        Idea::Ready => "make ready",
        Idea::Move => "move",
        Idea::Insert => "three-turn insert",
    }
}

/// The trade's name of what a route uses.
pub fn used(one: Use) -> &'static str {
    match one {
        Use::Idea(one) => idea(one),
        Use::BackSlot => "back slot",
        Use::EmptySlot => "empty slot",
        Use::NoRotation => "no rotation",
        Use::Keyhole => "keyhole",
        Use::Sledgehammer => "sledgehammer",
        Use::Orientation(Style::Plain) => "two-look orientation",
        Use::Orientation(Style::Short) => "one-look orientation",
        Use::Permutation(Style::Plain) => "two-look permutation",
        Use::Permutation(Style::Short) => "one-look permutation",
        Use::Case(name) => name,
    }
}

/// "white-green, white-red and white-blue".
pub fn edges(edges: &CrossEdges, colours: Colours) -> String {
    let cross = colours.name(edges.cross);
    let name = |side: &Colour| format!("{cross}-{}", colours.name(*side));
    words::list(&edges.sides.iter().map(name).collect::<Vec<_>>())
}

/// The name of a sight, in two to five words.
pub fn sight(sight: SightName) -> String {
    let name = sight.number.checked_sub(1).and_then(|i| SIGHTS.get(i));
    name.unwrap_or(&"no such sight")
        .replace("CROSS", sight.cross.name())
}

const SIGHTS: [&str; method::COUNT] = [
    "joined pair",
    "ready pair",
    "same tops, CROSS across",
    "same tops, same across",
    "different tops, CROSS across",
    "CROSS up, same across",
    "CROSS up, different across",
    "same tops, CROSS touching",
    "different tops, CROSS touching",
    "different tops, colours touching",
    "CROSS up, different touching",
    "CROSS up, same touching",
    "corner in slot, CROSS down",
    "corner in slot, CROSS below",
    "corner in slot, CROSS aside",
    "edge in slot, CROSS sideways",
    "flipped edge, CROSS sideways",
    "flipped edge, CROSS up",
    "edge in slot, CROSS up",
    "both in slot, both wrong",
    "both in slot, corner twisted",
    "both in slot, edge flipped",
];

/// What a slip is, in a few words.
pub fn slip(kind: SlipKind) -> &'static str {
    match kind {
        SlipKind::Direction => "turned the wrong way",
        SlipKind::Face => "another layer turned",
        SlipKind::MirrorSide => "the opposite side turned",
        SlipKind::Amount => "turned too far or not far enough",
        SlipKind::LeftOut => "a turn left out",
        SlipKind::Extra => "one turn too many",
        SlipKind::Order => "turns in the wrong order",
        SlipKind::Rotation => "the cube held another way",
    }
}

/// What a level of coaching is, in a few words.
pub fn level(level: Level) -> &'static str {
    match level {
        Level::Front => "the method in front",
        Level::Still => "without turning the cube",
        Level::Short => "shorter ways",
        Level::Ahead => "looking ahead",
    }
}

impl Serialize for Deed {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&deed(self))
    }
}

impl Serialize for Use {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(used(*self))
    }
}

impl Serialize for PairName {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&self.slot.name(self.cross))
    }
}

impl Serialize for SightName {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&sight(*self))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn names_of_sights_are_two_to_five_words_and_differ() {
        let name = |number| {
            sight(SightName {
                number,
                cross: Colour::White,
            })
        };
        let names: HashSet<String> = (1..=method::COUNT).map(name).collect();
        assert_eq!(names.len(), method::COUNT);
        for name in names {
            assert!((2..=5).contains(&name.split(' ').count()), "{name}");
        }
    }
}
