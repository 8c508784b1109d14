//! How the pair lies: where its pieces are, what they show, how they lie to each other, what a turn does to them.

use crate::cube::{Colour, Edge, Face};

use super::saying::{
    Carry, CornerThere, Elsewhere, PairSaying, Pieces, Standing, Text, Whereabouts, say, say_all,
};
use super::see::{Sight, edge_side, is_ready};
use super::spot::{Relation, Spot};

/// The colours of the pair that is told of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pair {
    pub cross: Colour,
    pub sides: [Colour; 2],
}

/// What of the pair a slot holds.
pub fn held_in(spot: &Spot, slot: Edge) -> Option<Pieces> {
    let corner = spot.corner_slot() == Some(slot);
    let edge = spot.edge_slot() == Some(slot);
    match (corner, edge) {
        (true, true) => Some(Pieces::Both),
        (true, false) => Some(Pieces::Corner),
        (false, true) => Some(Pieces::Edge),
        (false, false) => None,
    }
}

/// What the two are to each other, and where they are.
pub fn look_for(spot: &Spot, pair: Pair) -> Text {
    say(relation(spot, pair)).and(places(spot, pair))
}

/// Where corner and edge are, with what can be seen on them.
pub fn places(spot: &Spot, pair: Pair) -> Text {
    let corner = PairSaying::CornerAt {
        at: spot.corner_at(),
        cross: pair.cross,
        looks: spot.looks(),
    };
    say_all([corner, edge_at(spot, pair)])
}

fn edge_at(spot: &Spot, pair: Pair) -> PairSaying {
    let [a, b] = pair.sides;
    let [first, second] = spot.edge;
    // A colour on top tells at once which way round an edge is.
    let (colour, looks) = match second {
        Face::U => (b, second),
        _ => (a, first),
    };
    PairSaying::EdgeAt {
        at: spot.edge_at(),
        colour,
        looks,
    }
}

/// How the two lie to each other.
pub fn relation(spot: &Spot, pair: Pair) -> PairSaying {
    match Sight::of(spot) {
        Some(sight) => PairSaying::Seen(sight, pair.cross),
        None => PairSaying::Elsewhere(elsewhere(spot)),
    }
}

/// For a pair with a piece in a slot that is not its own.
fn elsewhere(spot: &Spot) -> Elsewhere {
    let own = Some(spot.slot());
    match (spot.corner_slot(), spot.edge_slot()) {
        (corner, edge) if corner == edge => Elsewhere::BothInOneSlot,
        (Some(_), None) => Elsewhere::CornerAndEdgeOnTop,
        (None, Some(_)) => Elsewhere::EdgeAndCornerOnTop,
        (corner, _) if corner == own => Elsewhere::EdgeAndCornerHome,
        (_, edge) if edge == own => Elsewhere::CornerAndEdgeHome,
        _ => Elsewhere::EachInItsOwn,
    }
}

/// How things stand after a step that is not the last.
pub fn standing(after: &Spot) -> Standing {
    let own = Some(after.slot());
    match after.relation() {
        Relation::Joined => Standing::Joined,
        _ if is_ready(after) => Standing::Ready,
        Relation::Apart | Relation::Misjoined => Standing::BothOnTop,
        Relation::CornerInSlot if after.corner_slot() == own => Standing::CornerHome,
        Relation::CornerInSlot => Standing::CornerLeft,
        Relation::EdgeInSlot if after.edge_slot() == own => Standing::EdgeHome,
        Relation::EdgeInSlot => Standing::EdgeLeft,
        Relation::BothInSlots => Standing::BothInSlots,
    }
}

/// Where corner and edge stand when the top was turned; nothing of what is not on top.
pub fn in_place(spot: &Spot, pair: Pair) -> Text {
    let [_, a, b] = spot.corner_at().faces();
    let corner = spot.corner_on_top().then_some(CornerThere {
        column: [a, b],
        cross: pair.cross,
        looks: spot.looks(),
    });
    let edge = spot.edge_on_top().then(|| edge_side(spot));
    match (corner, edge) {
        (None, None) => Text::NOTHING,
        _ => say(PairSaying::InPlace { corner, edge }),
    }
}

/// What one turn of a layer did to corner and edge; none when it moved neither.
pub fn carried(layer: Face, before: &Spot, after: &Spot) -> Option<PairSaying> {
    let corner = (before.corner != after.corner).then(|| {
        let [_, a, b] = after.corner_at().faces();
        let to = match after.corner_on_top() {
            true => Whereabouts::Column([a, b]),
            false => Whereabouts::LowerColumn([a, b]),
        };
        carry(before.corner_on_top(), after.corner_on_top(), to)
    });
    let edge = (before.edge != after.edge).then(|| {
        let [a, b] = after.edge_at().faces();
        let to = match a {
            Face::U => Whereabouts::Side(b),
            Face::D => Whereabouts::LowerSide(b),
            _ => Whereabouts::Slot([a, b]),
        };
        carry(before.edge_on_top(), after.edge_on_top(), to)
    });
    (corner.is_some() || edge.is_some()).then_some(PairSaying::Carried {
        layer,
        corner,
        edge,
    })
}

fn carry(was_on_top: bool, is_on_top: bool, to: Whereabouts) -> Carry {
    match (was_on_top, is_on_top) {
        (false, true) => Carry::Up,
        (true, false) => Carry::Down,
        (true, true) => Carry::OnTop(to),
        (false, false) => Carry::Below(to),
    }
}
