//! A chain of lifts told as steps: what to do, and why, in the five ideas of the plain route. Free a trapped piece; part
//! pieces that touch wrongly; bring corner and edge into a relation that a three-turn insert finishes; insert; check.

use crate::cube::{Axis, Colour, Edge, Face, Move, Moves};

use super::describe::{Pair, carried, held_in, one_insert_away, standing};
use super::lifts::{Act, Lift};
use super::plan::Idea;
use super::route::Step;
use super::spot::{Relation, Spot};
use super::words;

/// The steps of a chain from where the pair lies.
pub fn steps(acts: &[Act], start: Spot, pair: Pair) -> Vec<Step> {
    let mut at = start;
    let mut steps = Vec::with_capacity(acts.len());
    for (i, &act) in acts.iter().enumerate() {
        let next = next_lift(&acts[i + 1..]).map(Next::Lift);
        let step = step(act, &at, next, pair);
        at = at.after(&step.moves);
        steps.push(step);
    }
    steps
}

/// What an action makes ready for.
#[derive(Clone, Copy)]
pub enum Next<'a> {
    Lift(Lift),
    /// Turns that are no lift.
    Block(&'a [Move]),
}

/// One action told, and what it makes ready for.
pub fn step(act: Act, at: &Spot, next: Option<Next>, pair: Pair) -> Step {
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

fn why_rotate(after: &Spot, next: Option<Next>, pair: Pair) -> String {
    let own = words::slot(after.slot());
    let [a, b] = pair.sides.map(Colour::name);
    let trapped = match next {
        Some(Next::Lift(lift)) => held_in(after, lift.slot()).map(|held| (lift.slot(), held)),
        _ => None,
    };
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

fn why_top(after: &Spot, next: Option<Next>, pair: Pair) -> String {
    match next {
        Some(Next::Lift(lift)) => why_top_before_lift(after, lift, pair),
        Some(Next::Block(moves)) => why_top_before_block(after, moves),
        None => standing(after, pair),
    }
}

/// The first of the turns that takes hold of the pair, and where they lead.
fn why_top_before_block(after: &Spot, moves: &[Move]) -> String {
    let mut at = *after;
    let first = moves.iter().find_map(|m| {
        let before = at;
        at = at.after(&[*m]);
        Some((*m, carried(&before, &at)?))
    });
    let end = if after.after(moves).is_solved() {
        "both go home with the turns that follow"
    } else {
        "the turns that follow lead on from there"
    };
    match first {
        Some((Move::Outer(turn), does)) => {
            format!(
                "From here the {} {does}, and {end}.",
                words::side(turn.face)
            )
        }
        _ => format!("From here {end}."),
    }
}

fn why_top_before_lift(after: &Spot, lift: Lift, pair: Pair) -> String {
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
