//! How the pair lies, in words: where its pieces are, what they show, how they lie to each other, what a turn does to them.

use crate::cube::{Colour, Edge, Face};

use super::see::{Beside, CornerIn, Sight, Tops, edge_side};
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

/// Whether the two are on top and one insert takes them in, though they are not joined, once the top is turned.
pub fn is_ready(spot: &Spot) -> bool {
    let ready = Sight::OnTop {
        tops: Tops::Different,
        touching: false,
        beside: Beside::Other,
    };
    Sight::of(spot) == Some(ready)
}

/// Where corner and edge are, with what can be seen on them, in two sentences.
pub fn places(spot: &Spot, pair: Pair) -> String {
    let cross = pair.cross.name();
    let corner = format!("{cross} {}", words::looking(spot.looks()));
    format!(
        "The corner is {}, {corner}. The edge is {}, {}.",
        words::corner_place(spot.corner_at()),
        words::edge_place(spot.edge_at()),
        edge_shows(spot, pair)
    )
}

/// What tells which way round an edge is.
fn edge_shows(spot: &Spot, pair: Pair) -> String {
    let [a, b] = pair.sides.map(Colour::name);
    let [first, second] = spot.edge;
    if first == Face::U {
        format!("{a} on top")
    } else if second == Face::U {
        format!("{b} on top")
    } else {
        format!("{a} {}", words::looking(first))
    }
}

/// How the two lie to each other, in one sentence.
pub fn relation(spot: &Spot, pair: Pair) -> String {
    let cross = pair.cross.name();
    match Sight::of(spot) {
        Some(sight) => seen(sight, cross),
        None => elsewhere(spot).into(),
    }
}

fn seen(sight: Sight, cross: &str) -> String {
    match sight {
        Sight::OnTop {
            tops,
            touching,
            beside,
        } => on_top(tops, touching, beside, cross),
        Sight::CornerIn(CornerIn::Down) => {
            format!("The corner is in its slot, {cross} down, and its edge is on top.")
        }
        Sight::CornerIn(CornerIn::Below) => {
            format!(
                "The corner is in its slot. With the edge over its own centre, {cross} is below it."
            )
        }
        Sight::CornerIn(CornerIn::Aside) => {
            format!(
                "The corner is in its slot. With the edge over its own centre, {cross} is not below it."
            )
        }
        Sight::EdgeIn { flipped, up } => {
            let looks = if up { "looks up" } else { "looks sideways" };
            let way = if flipped { ", flipped" } else { "" };
            format!("The edge is in its slot{way}; {cross} on its corner {looks}.")
        }
        Sight::BothIn {
            corner_wrong: true,
            edge_wrong: true,
        } => "Both are in their slot, the corner twisted and the edge flipped.".into(),
        Sight::BothIn {
            corner_wrong: true, ..
        } => "Both are in their slot, and the corner is twisted.".into(),
        Sight::BothIn { .. } => "Both are in their slot, and the edge is flipped.".into(),
    }
}

fn on_top(tops: Tops, touching: bool, beside: Beside, cross: &str) -> String {
    let colours = match tops {
        Tops::Cross => format!("{cross} looks up"),
        Tops::Same => "the top colours match".into(),
        Tops::Different => "the top colours differ".into(),
    };
    match (tops, touching, beside) {
        (Tops::Same, true, Beside::Same) => {
            "They are joined: they touch, and both their colours match.".into()
        }
        (Tops::Different, false, Beside::Other) => {
            "They are ready: they are apart, and one insert takes both in.".into()
        }
        (_, true, Beside::Cross) => {
            format!("They touch wrongly: {colours}, and {cross} is beside the edge.")
        }
        (_, true, Beside::Same) => {
            format!("They touch wrongly: {colours}, and their side colours match.")
        }
        (_, true, Beside::Other) => {
            format!("They touch wrongly: {colours}, and their side colours differ.")
        }
        (_, false, Beside::Cross) => {
            format!("They are apart; {colours}, and {cross} is across from the edge.")
        }
        (_, false, Beside::Same) => {
            format!("They are apart; {colours}, and their colours across the top match.")
        }
        (_, false, Beside::Other) => {
            format!("They are apart; {colours}, and their colours across the top differ.")
        }
    }
}

/// For a pair with a piece in a slot that is not its own.
fn elsewhere(spot: &Spot) -> &'static str {
    let own = Some(spot.slot());
    match (spot.corner_slot(), spot.edge_slot()) {
        (corner, edge) if corner == edge => "Both are in one slot, which is not theirs.",
        (Some(_), None) => "The corner is in another slot, and the edge is on top.",
        (None, Some(_)) => "The edge is in another slot, and the corner is on top.",
        (corner, _) if corner == own => "The corner is in its slot, and the edge is in another.",
        (_, edge) if edge == own => "The edge is in its slot, and the corner is in another.",
        _ => "Both are in other slots, each in its own.",
    }
}

/// How things stand after a step that is not the last, in one sentence.
pub fn standing(after: &Spot) -> &'static str {
    let own = Some(after.slot());
    match after.relation() {
        Relation::Joined => "Now they are joined.",
        _ if is_ready(after) => "Now they are ready: one insert takes both in.",
        Relation::Apart | Relation::Misjoined => "Now both are on top.",
        Relation::CornerInSlot if after.corner_slot() == own => {
            "Now the corner is in its slot, and the edge is on top."
        }
        Relation::CornerInSlot => "Now the edge is on top; the corner comes next.",
        Relation::EdgeInSlot if after.edge_slot() == own => {
            "Now the corner is on top, and the edge is in its slot."
        }
        Relation::EdgeInSlot => "Now the corner is on top; the edge comes next.",
        Relation::BothInSlots => "Now both are in slots.",
    }
}

/// Where corner and edge stand when the top was turned: "Corner at the back right, white looking right; edge at the front."
pub fn in_place(spot: &Spot, pair: Pair) -> Option<String> {
    let corner = spot.corner_on_top().then(|| {
        let [_, a, b] = spot.corner_at().faces();
        format!(
            "orner at the {}, {} {}",
            words::column([a, b]),
            pair.cross.name(),
            words::looking(spot.looks())
        )
    });
    let edge = spot
        .edge_on_top()
        .then(|| format!("dge {}", words::at_side(edge_side(spot))));
    match (corner, edge) {
        (Some(corner), Some(edge)) => Some(format!("C{corner}; e{edge}.")),
        (Some(corner), None) => Some(format!("C{corner}.")),
        (None, Some(edge)) => Some(format!("E{edge}.")),
        (None, None) => None,
    }
}

/// What one turn of a layer did to corner and edge, in one or two short sentences; none when it moved neither.
pub fn carried(layer: &str, before: &Spot, after: &Spot) -> Option<String> {
    let corner = (before.corner != after.corner).then(|| {
        let [_, a, b] = after.corner_at().faces();
        let column = words::column([a, b]);
        let place = match after.corner_on_top() {
            true => column.to_owned(),
            false => format!("lower {column}"),
        };
        moved(before.corner_on_top(), after.corner_on_top(), &place)
    });
    let edge = (before.edge != after.edge).then(|| {
        let [a, b] = after.edge_at().faces();
        let place = match a {
            Face::U => plain_side(b).to_owned(),
            Face::D => format!("lower {}", plain_side(b)),
            _ => format!("{} slot", words::column([a, b])),
        };
        moved(before.edge_on_top(), after.edge_on_top(), &place)
    });
    Some(match (corner, edge) {
        (Some((verb, to)), Some((same, at))) if verb == same && to == at => {
            format!("The {layer} {verb} corner and edge{to}.")
        }
        (Some((verb, to)), Some((also, at))) => {
            format!("The {layer} {verb} the corner{to}. It {also} the edge{at}.")
        }
        (Some((verb, to)), None) => format!("The {layer} {verb} the corner{to}."),
        (None, Some((verb, to))) => format!("The {layer} {verb} the edge{to}."),
        (None, None) => return None,
    })
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
