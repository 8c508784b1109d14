//! How the pair lies, in words: where its pieces are, what they show, how they lie to each other, what a turn does to them.

use crate::cube::{Amount, Colour, Edge, Face, Turn};

use super::lifts::{Lift, own_lifts};
use super::spot::{Relation, Spot};
use super::words;

/// The colours of the pair that is told of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pair {
    pub cross: Colour,
    pub sides: [Colour; 2],
}

/// What of the pair a slot holds: "corner", "edge", "corner and edge".
pub fn held_in(spot: &Spot, slot: Edge) -> Option<&'static str> {
    let corner = spot.corner_slot() == Some(slot);
    let edge = spot.edge_slot() == Some(slot);
    match (corner, edge) {
        (true, true) => Some("corner and edge"),
        (true, false) => Some("corner"),
        (false, true) => Some("edge"),
        (false, false) => None,
    }
}

/// Where corner and edge are: "the corner is .., white looking up, and the edge is ..".
pub fn places(spot: &Spot, pair: Pair) -> String {
    format!(
        "the corner is {}, {} {}, and the edge is {}",
        words::corner_place(spot.corner_at()),
        pair.cross.name(),
        words::looking(spot.looks()),
        words::edge_place(spot.edge_at())
    )
}

/// Where corner and edge are, by their full names and with what can be seen on them.
pub fn places_named(spot: &Spot, pair: Pair) -> String {
    let [a, b] = pair.sides.map(Colour::name);
    let [first, second] = spot.edge;
    let shown = if first == Face::U {
        format!(", {a} on top")
    } else if second == Face::U {
        format!(", {b} on top")
    } else {
        format!(
            ", {a} {} and {b} {}",
            words::looking(first),
            words::looking(second)
        )
    };
    format!(
        "the {} is {}, {} {}. The {} is {}{shown}",
        words::corner(pair.cross, pair.sides),
        words::corner_place(spot.corner_at()),
        pair.cross.name(),
        words::looking(spot.looks()),
        words::edge(pair.sides),
        words::edge_place(spot.edge_at()),
    )
}

/// What the relation means.
pub fn relation(spot: &Spot, pair: Pair) -> String {
    let own = |slot: Option<Edge>| slot == Some(spot.slot());
    let cross = pair.cross.name();
    match spot.relation() {
        Relation::Joined => {
            "They are joined: they touch, and their colours agree where they touch.".into()
        }
        Relation::Misjoined => {
            "They touch, but their colours do not agree where they touch.".into()
        }
        Relation::Apart if one_insert_away(spot) => {
            "They are apart, but so that one insert can take both in.".into()
        }
        Relation::Apart if spot.looks() == Face::U => {
            format!(
                "They are apart, and {cross} on the corner looks up, so no single insert can take them in."
            )
        }
        Relation::Apart => "They are apart, and no single insert can take them in yet.".into(),
        Relation::CornerInSlot if own(spot.corner_slot()) => {
            "The corner is in its own slot, but without its edge.".into()
        }
        Relation::CornerInSlot => "The corner is trapped in a slot that is not its own.".into(),
        Relation::EdgeInSlot if own(spot.edge_slot()) => {
            "The edge is in its own slot, but without its corner.".into()
        }
        Relation::EdgeInSlot => "The edge is trapped in a slot that is not its own.".into(),
        Relation::BothInSlots
            if spot.corner_slot() == spot.edge_slot() && own(spot.edge_slot()) =>
        {
            "Both are in their own slot, but not the right way round.".into()
        }
        Relation::BothInSlots if spot.corner_slot() == spot.edge_slot() => {
            "Both are trapped in one slot, which is not theirs.".into()
        }
        Relation::BothInSlots => "Each is in a slot, and not together.".into(),
    }
}

/// How things stand after a step that is not the last.
pub fn standing(after: &Spot, pair: Pair) -> String {
    let near = one_insert_away(after);
    let cross = pair.cross.name();
    match after.relation() {
        Relation::Joined => "Now they are joined: they touch, and their colours agree.".into(),
        Relation::Apart if near => format!(
            "Now both are on top and apart, {cross} on the corner {}, and one insert can take them in.",
            words::looking(after.looks())
        ),
        Relation::Apart => "Now both are on top, apart.".into(),
        Relation::Misjoined => {
            "Now both are on top; they touch with colours that do not agree, which comes next."
                .into()
        }
        Relation::CornerInSlot => "Now the edge is on top and the corner still in a slot.".into(),
        Relation::EdgeInSlot => "Now the corner is on top and the edge still in a slot.".into(),
        Relation::BothInSlots => "Now both are in slots.".into(),
    }
}

/// Whether one insert solves the pair once the top is turned.
pub fn one_insert_away(spot: &Spot) -> bool {
    let top = |k| Amount::of_quarters(k).map(|amount| Turn::new(Face::U, amount));
    let turned = |k| top(k).map_or(*spot, |turn| spot.turned(turn));
    let tops = [0, 1, 2, 3].map(turned);
    let solves = |lift: Lift| tops.iter().any(|s| s.after(&lift.moves()).is_solved());
    own_lifts(spot).any(solves)
}

/// What one turn did to corner and edge, as a verb with objects; none when it moved neither.
pub fn carried(before: &Spot, after: &Spot) -> Option<String> {
    let corner = (before.corner != after.corner).then(|| {
        let [_, a, b] = after.corner_at().faces();
        let column = words::column([a, b]);
        let place = match after.corner_on_top() {
            true => column.to_owned(),
            false => format!("{column} of the bottom layer"),
        };
        moved(before.corner_on_top(), after.corner_on_top(), &place)
    });
    let edge = (before.edge != after.edge).then(|| {
        let [a, b] = after.edge_at().faces();
        let place = match a {
            Face::U => plain_side(b).to_owned(),
            Face::D => format!("{} of the bottom layer", plain_side(b)),
            _ => format!("{} slot", words::column([a, b])),
        };
        moved(before.edge_on_top(), after.edge_on_top(), &place)
    });
    match (corner, edge) {
        (Some(to), Some(at)) if to == at => Some(format!("{} corner and edge{}", to.0, to.1)),
        (Some((verb, to)), Some((same, at))) if verb == same => {
            Some(format!("{verb} the corner{to} and the edge{at}"))
        }
        (Some((verb, to)), Some((other, at))) => {
            Some(format!("{verb} the corner{to} and {other} the edge{at}"))
        }
        (Some((verb, to)), None) => Some(format!("{verb} the corner{to}")),
        (None, Some((verb, to))) => Some(format!("{verb} the edge{to}")),
        (None, None) => None,
    }
}

fn moved(was_on_top: bool, is_on_top: bool, place: &str) -> (&'static str, String) {
    match (was_on_top, is_on_top) {
        (false, true) => ("brings", " up".into()),
        (true, false) => ("takes", " down".into()),
        (true, true) => ("carries", format!(" to the {place}")),
        (false, false) => ("moves", format!(" to the {place}")),
    }
}

fn plain_side(face: Face) -> &'static str {
    match face {
        Face::F => "front",
        Face::B => "back",
        Face::R => "right",
        _ => "left",
    }
}
