//! The route of fewest turns, told in the same words as the plain one where it is made of the same actions.

use crate::cube::{Amount, Face, Held, Move, Moves, Turn, htm};
use crate::solve::{self, Limits, Slot, SlotSet};

use super::lifts::{Act, Lift};
use super::route::{Route, Step, Style};
use super::spot::{Relation, Spot};
use super::tell::{self, Pair};
use super::words;

/// How many of the shortest routes are compared for the one that is easiest in hand.
const CANDIDATES: usize = 8;

/// The easiest in hand of the shortest routes for a pair, from the hold; none when the pair cannot be solved so, which
/// no legal state with its cross solved shows.
pub fn moves(held: &Held, slot: Slot, keep: SlotSet) -> Option<Vec<Move>> {
    let cross = held.hold.down();
    let limits = Limits::default();
    solve::all_shortest(&held.cube, cross, slot, keep, &limits, CANDIDATES)
        .into_iter()
        .map(|turns| in_hand(held, &turns))
        .min_by_key(|moves| awkward(moves))
}

fn in_hand(held: &Held, turns: &[Turn]) -> Vec<Move> {
    let hold = |t: &Turn| held.hold.turn_in_hand(*t).into();
    turns.iter().map(hold).collect()
}

/// A part of a route.
enum Part {
    Act(Act),
    /// Turns that are no lift.
    Block(Vec<Move>),
}

/// Cuts a route into top turns, lifts, and what lies between them.
fn parts(moves: &[Move]) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    let mut rest = moves;
    while let Some((&first, after)) = rest.split_first() {
        if let Some(lift) = lift_at(rest) {
            parts.push(Part::Act(Act::Lift(lift)));
            rest = &rest[3..];
            continue;
        }
        let top = match first {
            Move::Outer(turn) if turn.face == Face::U => Some(turn.amount),
            _ => None,
        };
        let in_block = matches!(parts.last(), Some(Part::Block(_))) && lift_at(after).is_none();
        match (top, parts.last_mut()) {
            (Some(amount), _) if !in_block => parts.push(Part::Act(Act::Top(amount))),
            (_, Some(Part::Block(block))) => block.push(first),
            _ => parts.push(Part::Block(vec![first])),
        }
        rest = after;
    }
    parts
}

/// The lift that these moves start with.
fn lift_at(moves: &[Move]) -> Option<Lift> {
    let [Move::Outer(out), Move::Outer(top), Move::Outer(back), ..] = *moves else {
        return None;
    };
    let side = !matches!(out.face, Face::U | Face::D) && out.amount != Amount::Half;
    (side && top.face == Face::U && back == out.inverse()).then_some(Lift {
        out,
        top: top.amount,
    })
}

/// How hard a route is in hand: turns that are no lift, and turns of the back and the bottom.
fn awkward(moves: &[Move]) -> usize {
    let blocks = parts(moves).into_iter().map(|part| match part {
        Part::Act(_) => 0,
        Part::Block(block) => 2 + 2 * block.len(),
    });
    let hidden = moves.iter().map(|m| match m {
        Move::Outer(Turn { face: Face::B, .. }) => 3,
        Move::Outer(Turn { face: Face::D, .. }) => 2,
        Move::Outer(Turn { face: Face::F, .. }) => 1,
        _ => 0,
    });
    blocks.sum::<usize>() + hidden.sum::<usize>()
}

/// The short route told. `plain` is the plain route for the same pair from the same hold.
pub fn route(
    held: &Held,
    slot: Slot,
    keep: SlotSet,
    spot: Spot,
    pair: Pair,
    plain: &Route,
) -> Option<Route> {
    let moves = moves(held, slot, keep)?;
    let steps = steps(&moves, spot, pair);
    let uses = uses(held, &moves, slot, keep, spot, plain);
    let idea = idea(&moves, &uses, plain);
    let look_for = look_for(&uses, spot, pair);
    Some(Route::new(Style::Short, steps, uses, idea, look_for))
}

fn steps(moves: &[Move], start: Spot, pair: Pair) -> Vec<Step> {
    let parts = parts(moves);
    let mut at = start;
    let mut steps = Vec::new();
    for (i, part) in parts.iter().enumerate() {
        let next = match parts.get(i + 1) {
            Some(Part::Act(Act::Lift(lift))) => Some(*lift),
            _ => None,
        };
        let step = match part {
            Part::Act(act) => tell::step(*act, &at, next, pair),
            Part::Block(block) => tell_block(block, &at, pair),
        };
        at = at.after(&step.moves);
        steps.push(step);
    }
    steps
}

fn tell_block(block: &[Move], before: &Spot, pair: Pair) -> Step {
    let after = before.after(block);
    let why = if after.is_solved() {
        let [a, b] = pair.sides.map(|c| c.name());
        format!(
            "Together these turns put corner and edge into the slot between {a} and {b}, and what they moved of the \
             cross is back in its place."
        )
    } else {
        format!(
            "After it {}. {}",
            tell::places(&after, pair),
            tell::standing(&after, pair)
        )
    };
    Step {
        say: format!("{}.", words::sentence(&words::turns(block))),
        why,
        moves: Moves(block.to_vec()),
    }
}

/// The trade's names of the ideas in a route.
fn uses(
    held: &Held,
    moves: &[Move],
    slot: Slot,
    keep: SlotSet,
    spot: Spot,
    plain: &Route,
) -> Vec<String> {
    let mut uses = Vec::new();
    let mut name = |when: bool, what: &str| {
        if when {
            uses.push(what.to_string());
        }
    };
    let last = moves.len().saturating_sub(3);
    name(lift_at(&moves[last..]).is_some(), "three-turn insert");
    name(!spot.slot().faces().contains(&Face::F), "back slot");
    name(touches_empty_slot(held, moves, slot, keep), "empty slot");
    name(plain.rotations > 0, "no rotation");
    name(is_keyhole(moves), "keyhole");
    name(has_sledgehammer(moves), "sledgehammer");
    uses
}

/// Whether the route changes a slot that is not solved yet and is not the pair's own.
pub fn touches_empty_slot(held: &Held, moves: &[Move], slot: Slot, keep: SlotSet) -> bool {
    let cross = held.hold.down();
    let after = held.after(moves).cube;
    Slot::ALL
        .into_iter()
        .filter(|&other| other != slot && !keep.contains(other))
        .any(|other| {
            let (corner, edge) = (other.corner(cross), other.edge(cross));
            let holds = |cube: &crate::cube::Cube| (cube.corner_at(corner), cube.edge_at(edge));
            // A slot that held a piece of the pair is not empty: it had to be opened.
            let (c, e) = holds(&held.cube);
            let trapped = c.0 == slot.corner(cross) || e.0 == slot.edge(cross);
            !trapped && holds(&after) != holds(&held.cube)
        })
}

/// The bottom is turned away and back around other turns.
fn is_keyhole(moves: &[Move]) -> bool {
    let bottom = |m: &Move| matches!(m, Move::Outer(Turn { face: Face::D, .. }));
    moves.iter().filter(|m| bottom(m)).count() == 2
}

/// Four turns of two neighbouring sides, each turned and turned back in alternation.
fn has_sledgehammer(moves: &[Move]) -> bool {
    moves.windows(4).any(|w| {
        let side = |m: &Move| match m {
            Move::Outer(t) if !matches!(t.face, Face::U | Face::D) => Some(*t),
            _ => None,
        };
        match (side(&w[0]), side(&w[1]), side(&w[2]), side(&w[3])) {
            (Some(a), Some(b), Some(c), Some(d)) => {
                a.inverse() == c && b.inverse() == d && a.face != b.face
            }
            _ => false,
        }
    })
}

fn idea(moves: &[Move], uses: &[String], plain: &Route) -> String {
    let has = |name: &str| uses.iter().any(|u| u == name);
    let (turns, more) = (htm(moves), plain.turns);
    if moves == &plain.moves[..] {
        return "The plain route is already the shortest there is.".into();
    }
    let gain = if turns < more {
        format!(
            "{} instead of {}",
            words::turn_count(turns),
            words::count(more)
        )
    } else {
        format!("{}, no more than the plain route", words::turn_count(turns))
    };
    let why = if has("keyhole") {
        "the bottom is turned aside for a moment, so that one piece goes in where there is room, and is then turned back"
    } else if has("empty slot") {
        "it works through a slot that is not solved yet, where nothing can be spoilt"
    } else if has("sledgehammer") {
        "two neighbouring sides turn against each other, which turns the pair round without a turn of the top"
    } else if has("back slot") {
        "it goes straight into the slot at the back"
    } else if has("no rotation") {
        "it takes the pieces where they are, without turning the whole cube"
    } else {
        "bringing the two together already carries them towards their slot"
    };
    format!("{}: {why}.", words::sentence(&gain))
}

fn look_for(uses: &[String], spot: Spot, pair: Pair) -> String {
    let has = |name: &str| uses.iter().any(|u| u == name);
    let cross = pair.cross.name();
    let seen = match spot.relation() {
        Relation::CornerInSlot => format!(
            "a corner in a slot with {cross} {}",
            words::looking(spot.looks())
        ),
        Relation::BothInSlots => "both pieces in slots".into(),
        relation => format!(
            "a corner on top with {cross} {} and its edge {}",
            words::looking(spot.looks()),
            match relation {
                Relation::Joined => "joined to it",
                Relation::Misjoined => "touching it wrongly",
                Relation::EdgeInSlot => "in a slot",
                _ => "apart from it",
            }
        ),
    };
    let also = if has("empty slot") {
        ", while a slot beside it is still empty"
    } else if has("back slot") {
        ", with its own slot at the back"
    } else {
        ""
    };
    format!("Look for {seen}{also}.")
}
