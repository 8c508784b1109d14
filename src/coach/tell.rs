//! Steps in words: what to do, and why it works. One sentence of each is short enough to be heard once.

use crate::cube::{Axis, Colour, Move, Moves};

use super::describe::{self, Pair, held_in, in_place, is_ready, standing};
use super::ideas::{Fate, Idea, Way};
use super::lifts::{Act, Lift};
use super::route::Step;
use super::see::{Sight, Tops};
use super::spot::{Relation, Spot};
use super::words;

/// What to do when a pair is in.
pub const CHECK: &str = "Check that both colours meet their centres.";

/// The steps of a route from where the pair lies.
pub fn steps(acts: &[Act], start: Spot, pair: Pair) -> Vec<Step> {
    let mut at = start;
    let mut steps = Vec::with_capacity(acts.len());
    for (i, &act) in acts.iter().enumerate() {
        steps.push(step(act, &at, next_lift(&acts[i + 1..]), pair));
        at = act.on(at);
    }
    steps
}

/// One action told, with the lift that it makes ready for.
pub fn step(act: Act, before: &Spot, next: Option<Lift>, pair: Pair) -> Step {
    let moves = act.moves();
    let after = act.on(*before);
    let (idea, say, why) = match act {
        Act::Rotate(amount) => (
            "turn the cube".to_string(),
            format!(
                "Turn the cube {} ({}).",
                words::rotation(Axis::Y, amount),
                Moves(moves.clone())
            ),
            why_rotate(&after, next, pair),
        ),
        Act::Top(_) => (
            "into place".to_string(),
            format!("{}.", words::turns(&moves)),
            in_place(&after, pair).unwrap_or_default(),
        ),
        Act::Lift(lift) => {
            let idea = Idea::of(before, lift);
            (
                idea.name().into(),
                format!("{}. {}.", head(idea, before, lift), words::turns(&moves)),
                format!("{} {}", mechanism(before, lift), result(idea, &after, pair)),
            )
        }
    };
    Step {
        idea,
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

fn why_rotate(after: &Spot, next: Option<Lift>, pair: Pair) -> String {
    let [a, b] = pair.sides.map(Colour::name);
    let trapped = next.filter(|lift| lift.slot() != after.slot());
    match trapped.and_then(|lift| Some((lift, held_in(after, lift.slot())?))) {
        Some((lift, pieces)) => format!(
            "The slot with the {pieces} comes to the {}.",
            words::slot(lift.slot())
        ),
        None => format!(
            "The slot between {a} and {b} comes to the {}.",
            words::slot(after.slot())
        ),
    }
}

/// What a lift is for, as an order.
fn head(idea: Idea, before: &Spot, lift: Lift) -> &'static str {
    match (idea, held_in(before, lift.slot())) {
        (Idea::Insert, _) => "Insert both",
        (Idea::Join, _) => "Join them",
        (Idea::Ready, _) => "Make them ready",
        (Idea::Park, Some(_)) => "Change them over",
        (Idea::Park, None) => "Put the corner aside",
        (Idea::Free, Some("corner")) => "Free the corner",
        (Idea::Free, Some("edge")) => "Free the edge",
        (Idea::Free, _) => "Free both",
        (Idea::Move, _) => "Move them",
    }
}

/// The idea of a lift with what it leads to, in one sentence.
pub fn idea(idea: Idea, before: &Spot, lift: Lift) -> String {
    let after = before.after(&lift.moves());
    let head = head(idea, before, lift);
    let both = held_in(before, lift.slot()) == Some("corner and edge");
    let it = if both { "they come" } else { "it comes" };
    match idea {
        Idea::Free if after.relation() == Relation::Joined => {
            format!("{head}, so that {it} out joined.")
        }
        Idea::Free if is_ready(&after) => format!("{head}, so that one insert can follow."),
        Idea::Free => format!("{head} first."),
        Idea::Join => format!("{head}: {}.", hiding(before, lift)),
        Idea::Ready => format!("{head} for one insert: {}.", hiding(before, lift)),
        Idea::Park if both => format!("{head}."),
        Idea::Park => match held_in(before, lift.slot()) {
            Some(_) => "Put the corner into the slot, so that the edge comes out.".into(),
            None => "Put the corner into its slot, away from the edge.".into(),
        },
        Idea::Move => format!("{head}."),
        Idea::Insert if before.relation() == Relation::Joined => {
            "Insert the joined pair: open its slot, slide it over, close.".into()
        }
        Idea::Insert => "Insert both: opening the slot brings the corner to its edge.".into(),
    }
}

/// Which piece hides while the other is moved.
fn hiding(before: &Spot, lift: Lift) -> &'static str {
    let way = Way::of(before, lift);
    match (way.corner, way.edge) {
        (Fate::Hides, _) => "hide the corner, move the edge, come back",
        (_, Fate::Hides) => "hide the edge, move the corner, come back",
        _ => "the top brings the corner over, closing turns it",
    }
}

/// Why the lift is the right one for what is seen, in one sentence.
pub fn reason(spot: &Spot, pair: Pair) -> String {
    let cross = pair.cross.name();
    let capital = words::sentence(cross);
    match Sight::of(spot) {
        Some(Sight::OnTop {
            tops,
            touching,
            beside,
        }) => {
            use super::see::Beside;
            match (tops, touching, beside) {
                (Tops::Same, true, Beside::Same) => "Joined, they go in as one.".into(),
                (Tops::Different, false, Beside::Other) => {
                    "Ready, they join while the slot opens.".into()
                }
                (Tops::Same, true, _) => {
                    format!("{capital} is beside the edge, so first they have to part.")
                }
                (Tops::Same, false, _) => format!(
                    "{capital} looks sideways and the top colours are the same: they can join."
                ),
                (Tops::Different, ..) => format!(
                    "{capital} looks sideways and the top colours differ: one lift makes them ready."
                ),
                (Tops::Cross, ..) => {
                    format!("While {cross} looks up, no insert takes them in.")
                }
            }
        }
        Some(Sight::CornerIn(_)) => "A corner goes in together with its edge.".into(),
        Some(Sight::EdgeIn { .. }) => "An edge goes in together with its corner.".into(),
        Some(Sight::BothIn { .. }) => "What sits wrongly has to come out and go in anew.".into(),
        None => "A piece in another slot comes out first.".into(),
    }
}

/// How things stand after a lift.
fn result(idea: Idea, after: &Spot, pair: Pair) -> String {
    let [a, b] = pair.sides.map(Colour::name);
    match idea {
        Idea::Insert => format!("Check: {a} is at the {a} centre, {b} at {b}."),
        _ => standing(after).into(),
    }
}

/// What the three turns of a lift do to the two pieces, in one sentence.
fn mechanism(before: &Spot, lift: Lift) -> String {
    let met = before.turned(lift.out);
    let side = words::side(lift.out.face);
    let Way { corner, edge } = Way::of(before, lift);
    match (corner, edge) {
        (Fate::GoesIn, Fate::GoesIn) if before.relation() == Relation::Joined => {
            "Open the slot, slide the pair over it, close it.".into()
        }
        (_, _) if Idea::of(before, lift) == Idea::Insert && met.relation() == Relation::Joined => {
            format!("The {side} brings the corner to its edge; then both go in.")
        }
        (Fate::Hides, Fate::Moved) => "The corner hides below while the top moves the edge.".into(),
        (Fate::Moved, Fate::Hides) => "The edge hides below while the top moves the corner.".into(),
        (Fate::Hides, Fate::ComesOut) => {
            "The corner hides below; the edge comes up, and the top moves it.".into()
        }
        (Fate::ComesOut, Fate::Hides) => {
            "The edge hides below; the corner comes up, and the top moves it.".into()
        }
        (Fate::ComesOut, Fate::ComesOut) => {
            format!("The {side} brings both up, and the top moves them aside.")
        }
        (Fate::ComesOut, Fate::Turned) | (Fate::ComesOut, Fate::Moved | Fate::Stays) => {
            format!("The {side} brings the corner up, and the top moves it aside.")
        }
        (Fate::Turned, Fate::ComesOut) => {
            "The edge comes up; the top moves both, and closing turns the corner.".into()
        }
        (Fate::Moved | Fate::Stays, Fate::ComesOut) => {
            format!("The {side} brings the edge up, and the top moves it aside.")
        }
        (Fate::GoesIn, Fate::ComesOut) => {
            "The edge comes up and out, and the corner goes in.".into()
        }
        (Fate::GoesIn, Fate::Moved) => {
            "The top brings the corner over the open slot, and closing takes it in.".into()
        }
        (Fate::Turned, Fate::Moved) => "The top moves both, and closing turns the corner.".into(),
        _ => turn_by_turn(before, lift),
    }
}

/// What each turn of a lift does, where there is no shorter way to say it.
fn turn_by_turn(before: &Spot, lift: Lift) -> String {
    let mut at = *before;
    let mut told = Vec::new();
    for m in lift.moves() {
        let next = at.after(&[m]);
        if let Move::Outer(turn) = m {
            told.extend(describe::carried(words::side(turn.face), &at, &next));
        }
        at = next;
    }
    told.join(" ")
}

/// The turns of a part of a route as they are spoken, without notation: at most two sentences.
pub fn spoken(acts: &[Act]) -> String {
    let rotation = acts.iter().find_map(|act| match act {
        Act::Rotate(amount) => Some(words::rotation(Axis::Y, *amount)),
        _ => None,
    });
    let words_of = |wanted: fn(&Act) -> bool| {
        let act = acts.iter().find(|act| wanted(act));
        act.map(|act| words::spoken(&act.moves()))
    };
    let top = words_of(|act| matches!(act, Act::Top(_)));
    let lift = words_of(|act| matches!(act, Act::Lift(_)));
    let first = match (rotation, top) {
        (Some(cube), Some(top)) => {
            let cube = cube.trim_start_matches("so that ").replace("comes ", "");
            Some(format!(
                "Turn the cube, {cube}, then the {}.",
                words::within(&top)
            ))
        }
        (Some(cube), None) => Some(format!("Turn the cube {cube}.")),
        (None, Some(top)) => Some(format!("{top}.")),
        (None, None) => None,
    };
    let lift = lift.map(|turns| match first {
        Some(_) => format!("Then {}.", words::within(&turns)),
        None => format!("{turns}."),
    });
    let all: Vec<String> = first.into_iter().chain(lift).collect();
    all.join(" ")
}
