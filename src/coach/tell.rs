//! A chain of lifts told as steps: what to do, and why, in the five ideas of the plain route. Free a trapped piece; part
//! pieces that touch wrongly; bring corner and edge into a relation that a three-turn insert finishes; insert; check.

use crate::cube::{Amount, Axis, Colour, Edge, Face, Moves, Turn};

use super::lifts::{Act, Lift, own_lifts};
use super::route::Step;
use super::spot::{Relation, Spot};
use super::words;

/// The colours of the pair that is told of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pair {
    pub cross: Colour,
    pub sides: [Colour; 2],
}

/// What a lift is good for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Idea {
    Free,
    Part,
    Bring,
    Insert,
}

impl Idea {
    /// What a lift does for the pair as it lies.
    pub fn of(before: &Spot, lift: Lift) -> Idea {
        let slot = Some(lift.slot());
        if before.after(&lift.moves()).is_solved() {
            Idea::Insert
        } else if before.corner_slot() == slot || before.edge_slot() == slot {
            Idea::Free
        } else if before.relation() == Relation::Misjoined {
            Idea::Part
        } else {
            Idea::Bring
        }
    }
}

/// The steps of a chain from where the pair lies.
pub fn steps(acts: &[Act], start: Spot, pair: Pair) -> Vec<Step> {
    let mut at = start;
    let mut steps = Vec::with_capacity(acts.len());
    for (i, &act) in acts.iter().enumerate() {
        let step = step(act, &at, next_lift(&acts[i + 1..]), pair);
        at = at.after(&step.moves);
        steps.push(step);
    }
    steps
}

/// One action told. `next`: the lift that it makes ready for.
pub fn step(act: Act, at: &Spot, next: Option<Lift>, pair: Pair) -> Step {
    let moves = act.moves();
    let after = at.after(&moves);
    let (say, why) = match act {
        Act::Rotate(amount) => (
            format!(
                "Turn the whole cube {} ({}).",
                words::rotation(Axis::Y, amount),
                Moves(moves.clone())
            ),
            why_rotate(&after, next, pair),
        ),
        Act::Top(_) => {
            let arrivals = arrivals(&after).map_or_else(String::new, |a| format!(": {a}"));
            let say = format!("Turn the {}{arrivals}.", words::turns(&moves));
            (say, why_top(&after, next, pair))
        }
        Act::Lift(lift) => tell_lift(at, lift, pair),
    };
    Step {
        say,
        why,
        moves: Moves(moves),
    }
}

/// The lift that comes next, wherever the cube or the top is turned before it.
fn next_lift(acts: &[Act]) -> Option<Lift> {
    acts.iter().find_map(|act| match act {
        Act::Lift(lift) => Some(*lift),
        _ => None,
    })
}

/// What of the pair a slot holds: "corner", "edge", "corner and edge".
fn held_in(spot: &Spot, slot: Edge) -> Option<&'static str> {
    let corner = spot.corner_slot() == Some(slot);
    let edge = spot.edge_slot() == Some(slot);
    match (corner, edge) {
        (true, true) => Some("corner and edge"),
        (true, false) => Some("corner"),
        (false, true) => Some("edge"),
        (false, false) => None,
    }
}

fn why_rotate(after: &Spot, next: Option<Lift>, pair: Pair) -> String {
    let own = words::slot(after.slot());
    let [a, b] = pair.sides.map(Colour::name);
    let trapped = next.and_then(|l| Some((l.slot(), held_in(after, l.slot())?)));
    match trapped {
        Some((slot, pieces)) if slot != after.slot() => format!(
            "The slot that holds the {pieces} is at the {} then, in view and in reach.",
            words::slot(slot)
        ),
        _ => format!("The slot between {a} and {b} is at the {own} then, in view and in reach."),
    }
}

/// Where the pieces of the pair that are on top have come to.
fn arrivals(after: &Spot) -> Option<String> {
    let corner = after.corner_on_top().then(|| {
        let [_, a, b] = after.corner_at().faces();
        format!("the corner comes to the {}", words::column([a, b]))
    });
    let edge = after
        .edge_on_top()
        .then(|| to_side(after.edge_at().faces()[1]));
    match (corner, edge) {
        (Some(corner), Some(edge)) => Some(format!("{corner}, the edge {edge}")),
        (Some(corner), None) => Some(corner),
        (None, Some(edge)) => Some(format!("the edge comes {edge}")),
        (None, None) => None,
    }
}

fn to_side(face: Face) -> &'static str {
    match face {
        Face::F => "to the front",
        Face::B => "to the back",
        Face::R => "to the right",
        _ => "to the left",
    }
}

fn why_top(after: &Spot, next: Option<Lift>, pair: Pair) -> String {
    let Some(lift) = next else {
        return "This brings the pair into place.".into();
    };
    let side = words::side(lift.out.face);
    let result = after.after(&lift.moves());
    match (Idea::of(after, lift), after.relation()) {
        (Idea::Insert, Relation::Joined) => format!(
            "From here the {side} can open the slot without touching the joined pair, and the pair can slide in."
        ),
        (Idea::Insert, _) => format!(
            "The corner stands over its slot, {} {}: from here the {side} carries the corner to its edge.",
            pair.cross.name(),
            words::looking(after.looks())
        ),
        (Idea::Free, _) => {
            let trapped = held_in(after, lift.slot()).unwrap_or("corner");
            let waiting = if trapped == "corner" {
                "edge"
            } else {
                "corner"
            };
            match result.relation() {
                Relation::Joined => {
                    format!("Here the {trapped} will come out right beside the {waiting}.")
                }
                Relation::Apart if one_insert_away(&result) => format!(
                    "With the {waiting} here, one insert will do once the {trapped} is out."
                ),
                _ => format!("Here the {waiting} stays clear while the {trapped} comes out."),
            }
        }
        (Idea::Part, _) => format!("From here the {side} can take the two apart."),
        (Idea::Bring, _) if result.relation() == Relation::Joined => {
            format!("From here the {side} can bring the two together.")
        }
        (Idea::Bring, _) => format!("From here the {side} can turn the corner round."),
    }
}

fn tell_lift(before: &Spot, lift: Lift, pair: Pair) -> (String, String) {
    let moves = lift.moves();
    let after = before.after(&moves);
    let idea = Idea::of(before, lift);
    let pieces = held_in(before, lift.slot());
    let head = match idea {
        Idea::Free => format!("Free the {}", pieces.unwrap_or("pieces")),
        Idea::Part => "Part corner and edge".into(),
        Idea::Bring if after.relation() == Relation::Joined => {
            "Bring corner and edge together".into()
        }
        Idea::Bring => "Turn the corner round".into(),
        Idea::Insert => "Insert the pair".into(),
    };
    let say = format!("{head}: {}.", words::turns(&moves));
    let why = match idea {
        Idea::Insert => why_insert(before, lift, pair),
        _ => {
            let reason = match idea {
                Idea::Free => why_trapped(before, lift.slot(), pair),
                Idea::Part => "They touch, but their colours do not agree where they touch, so they cannot go in \
                               together."
                    .into(),
                _ => why_not_yet(before, pair),
            };
            let result = standing(&after, pair);
            format!("{reason} {} {result}", mechanism(before, lift))
        }
    };
    (say, why)
}

fn why_insert(before: &Spot, lift: Lift, pair: Pair) -> String {
    let side = words::side(lift.out.face);
    let [a, b] = pair.sides.map(Colour::name);
    let how = if before.relation() == Relation::Joined {
        format!(
            "They are joined, so they go in as one: the {side} opens the slot, the top slides the pair over it, and the \
             {side} takes the pair home."
        )
    } else {
        let met = before.turned(lift.out);
        let [_, c, d] = met.corner_at().faces();
        format!(
            "The {side} carries the corner to the {}, where it meets its edge; the top slides both over the slot, and \
             the {side} takes them home.",
            words::column([c, d])
        )
    };
    let cross = pair.cross.name();
    format!(
        "{how} Check: beside the slot, {a} meets the {a} centre and {b} the {b} centre, and the {cross} cross is whole."
    )
}

fn why_trapped(before: &Spot, slot: Edge, pair: Pair) -> String {
    let at = words::slot(slot);
    let own = slot == before.slot();
    let cross = pair.cross.name();
    match held_in(before, slot) {
        Some("corner and edge") if own => {
            "Both are in their own slot, but not the right way round, so they have to come out first.".into()
        }
        Some("corner") if own && before.looks() == Face::D => format!(
            "The corner sits in its own slot, {cross} down, but its edge is not there, and it has to go in with its edge."
        ),
        Some(piece) if own => {
            format!("The {piece} is in its own slot, but it has to go in together with its partner.")
        }
        Some("corner and edge") => {
            format!("Both are trapped in the {at} slot, which is not theirs.")
        }
        Some(piece) => format!("The {piece} is trapped in the {at} slot, which is not its own."),
        None => String::new(),
    }
}

/// Why two pieces on top cannot be inserted as they stand.
fn why_not_yet(before: &Spot, pair: Pair) -> String {
    let cross = pair.cross.name();
    match before.relation() {
        Relation::Apart if before.looks() == Face::U => {
            format!("While {cross} looks up on the corner, no single insert can take the two in.")
        }
        Relation::Apart => {
            "As these two stand to each other, no single insert can take them in.".into()
        }
        _ => "These two cannot go in yet.".into(),
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

/// What each of a lift's three turns does to the two pieces.
fn mechanism(before: &Spot, lift: Lift) -> String {
    let [out, top, back] = lift.moves();
    let side = words::side(lift.out.face);
    let up = before.after(&[out]);
    let over = up.after(&[top]);
    let down = over.after(&[back]);
    let first = carried(before, &up).unwrap_or_else(|| "opens the slot".into());
    let second = carried(&up, &over).unwrap_or_else(|| "puts another piece in its place".into());
    let third = carried(&over, &down).unwrap_or_else(|| "goes back without them".into());
    format!("The {side} {first}, the top {second}, and the {side} {third}.")
}

/// What one turn did to corner and edge, as a verb with objects; none when it moved neither.
pub fn carried(before: &Spot, after: &Spot) -> Option<String> {
    let corner = (before.corner != after.corner).then(|| {
        let [_, a, b] = after.corner_at().faces();
        moved(
            before.corner_on_top(),
            after.corner_on_top(),
            words::column([a, b]),
        )
    });
    let edge = (before.edge != after.edge).then(|| {
        let [a, b] = after.edge_at().faces();
        let place = if a == Face::U { plain_side(b) } else { "" };
        moved(before.edge_on_top(), after.edge_on_top(), place)
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
        _ if place.is_empty() => ("moves", " below".into()),
        _ => ("carries", format!(" to the {place}")),
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

/// The lifts of a chain, each with its idea and with how the pair lies before it.
pub fn ideas(acts: &[Act], start: Spot) -> Vec<(Idea, Spot, Lift)> {
    let mut at = start;
    let mut ideas = Vec::new();
    for act in acts {
        if let Act::Lift(lift) = act {
            ideas.push((Idea::of(&at, *lift), at, *lift));
        }
        at = at.after(&act.moves());
    }
    ideas
}

/// The plan of a chain in one sentence without its end: "first free the edge from its slot, then insert ..".
pub fn plan(ideas: &[(Idea, Spot, Lift)]) -> String {
    let parts: Vec<String> = ideas
        .iter()
        .map(|(idea, before, lift)| plan_part(*idea, before, *lift))
        .collect();
    match &parts[..] {
        [] => "nothing is left to do".into(),
        [one] => one.clone(),
        [first, rest @ ..] => format!("first {first}, then {}", rest.join(", then ")),
    }
}

fn plan_part(idea: Idea, before: &Spot, lift: Lift) -> String {
    let after = before.after(&lift.moves());
    let joins = after.relation() == Relation::Joined;
    match idea {
        Idea::Free => {
            let pieces = held_in(before, lift.slot()).unwrap_or("pieces");
            let whose = if lift.slot() == before.slot() {
                "its own slot"
            } else {
                "the slot it is trapped in"
            };
            let whose = if pieces == "corner and edge" {
                whose
                    .replace("its own", "their own")
                    .replace("it is", "they are")
            } else {
                whose.into()
            };
            let so = if joins {
                " so that it comes out joined to its partner"
            } else {
                ""
            };
            let so = if pieces == "corner and edge" && joins {
                " so that they come out joined"
            } else {
                so
            };
            format!("free the {pieces} from {whose}{so}")
        }
        Idea::Part if joins => "part the two so that they join again the right way".into(),
        Idea::Part => "part the two, which touch the wrong way".into(),
        Idea::Bring if joins => "bring the two together so that they join".into(),
        Idea::Bring => "turn the corner round so that an insert fits".into(),
        Idea::Insert if before.relation() == Relation::Joined => {
            "insert the joined pair with three turns".into()
        }
        Idea::Insert => "insert with three turns that join the two on the way".into(),
    }
}

/// What makes the plan work.
pub fn why_plan(ideas: &[(Idea, Spot, Lift)], pair: Pair) -> String {
    let [a, b] = pair.sides.map(Colour::name);
    match ideas.last() {
        Some((_, before, _)) if before.relation() == Relation::Joined => format!(
            "A joined pair goes in as one: open the slot between {a} and {b}, slide the pair over it, close it."
        ),
        Some(_) => format!(
            "With the corner over its slot, {} looking sideways, and the edge on the far side, opening the slot between {a} and {b} carries \
             the corner to its edge.",
            pair.cross.name()
        ),
        None => String::new(),
    }
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
