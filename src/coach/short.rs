//! The route of fewest turns, told in the same words as the plain one where it is made of the same actions.

use crate::cube::{Amount, Face, Held, Move, Moves, Turn, htm};
use crate::solve::{self, Limits, Slot, SlotSet, Style};

use super::describe::{self, Pair};
use super::lifts::{Act, Lift};
use super::route::{Route, Step};
use super::spot::Spot;
use super::tell;
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
        .min_by_key(|moves| awkward(&parts(held, moves, keep)))
}

fn in_hand(held: &Held, turns: &[Turn]) -> Vec<Move> {
    let hold = |t: &Turn| held.hold.turn_in_hand(*t).into();
    turns.iter().map(hold).collect()
}

/// A part of a route, from one moment at which the cross and the pairs to keep are whole to the next.
enum Part {
    Act(Act),
    /// Turns that are neither of the top alone nor a lift.
    Block(Vec<Move>),
}

/// Cuts a route where the cross and the pairs to keep are whole.
fn parts(held: &Held, moves: &[Move], keep: SlotSet) -> Vec<Part> {
    let cross = held.hold.down();
    let mut at = *held;
    let mut parts = Vec::new();
    let mut part = Vec::new();
    for &next in moves {
        at = at.apply(&next);
        part.push(next);
        let whole = solve::cross_solved(&at.cube, cross)
            && keep.is_subset(solve::pairs_solved(&at.cube, cross));
        if whole {
            parts.push(told(std::mem::take(&mut part)));
        }
    }
    if !part.is_empty() {
        parts.push(Part::Block(part));
    }
    parts
}

fn told(moves: Vec<Move>) -> Part {
    match moves[..] {
        [
            Move::Outer(Turn {
                face: Face::U,
                amount,
            }),
        ] => Part::Act(Act::Top(amount)),
        [_, _, _] => lift_at(&moves).map_or(Part::Block(moves), |lift| Part::Act(Act::Lift(lift))),
        _ => Part::Block(moves),
    }
}

/// The lift that these moves start with.
fn lift_at(moves: &[Move]) -> Option<Lift> {
    match Act::first(moves)? {
        (Act::Lift(lift), _) => Some(lift),
        _ => None,
    }
}

/// How hard a route is in hand: turns that are no lift, and turns of the back and the bottom.
fn awkward(parts: &[Part]) -> usize {
    let hidden = |m: &Move| match m {
        Move::Outer(Turn { face: Face::B, .. }) => 3,
        Move::Outer(Turn { face: Face::D, .. }) => 2,
        Move::Outer(Turn { face: Face::F, .. }) => 1,
        _ => 0,
    };
    let weight = |part: &Part| match part {
        Part::Act(act) => act.moves().iter().map(hidden).sum::<usize>(),
        Part::Block(block) => 2 + block.iter().map(|m| 2 + hidden(m)).sum::<usize>(),
    };
    parts.iter().map(weight).sum()
}

/// The short route told. `plain` is the plain route for the same pair from the same hold.
pub fn route(held: &Held, slot: Slot, keep: SlotSet, spot: Spot, plain: &Route) -> Option<Route> {
    let pair = Pair {
        cross: held.hold.down(),
        sides: slot.colours(held.hold.down()),
    };
    let mut moves = moves(held, slot, keep)?;
    // Where the plain route is as short and leaves the cube in hand as it is, there is nothing better to learn.
    if plain.turns == htm(&moves) && plain.rotations == 0 {
        moves = plain.moves.0.clone();
    }
    let steps = steps(&parts(held, &moves, keep), spot, pair);
    let uses = uses(held, &moves, slot, keep, spot, plain);
    let idea = idea(&moves, &uses, plain);
    let empty = empty_slots(held, &moves, slot, keep);
    let empty = empty.map(|slot| words::slot(held.hold.edge_in_hand(slot.edge(pair.cross))));
    let look_for = look_for(&empty.collect::<Vec<_>>(), spot, pair);
    Some(Route::new(Style::Short, steps, uses, idea, look_for))
}

fn steps(parts: &[Part], start: Spot, pair: Pair) -> Vec<Step> {
    let mut at = start;
    let mut steps = Vec::new();
    for (i, part) in parts.iter().enumerate() {
        let step = match part {
            Part::Act(act) => {
                let next = match parts.get(i + 1) {
                    Some(Part::Act(Act::Lift(lift))) => Some(*lift),
                    _ => None,
                };
                tell::step(*act, &at, next, pair)
            }
            Part::Block(block) => tell_block(block, &at),
        };
        at = at.after(&step.moves);
        steps.push(step);
    }
    steps
}

/// Turns told one by one: what each does to corner and edge, and what stands at the end.
fn tell_block(block: &[Move], before: &Spot) -> Step {
    let mut at = *before;
    let mut told = Vec::new();
    for m in block {
        let next = at.after(&[*m]);
        if let Move::Outer(turn) = m {
            told.extend(describe::carried(words::side(turn.face), &at, &next));
        }
        at = next;
    }
    told.push(if at.is_solved() {
        "Now both are home, and the cross is whole.".into()
    } else {
        describe::standing(&at).into()
    });
    Step {
        idea: "shorter way".into(),
        say: format!("{}.", words::turns(block)),
        why: told.join(" "),
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
    name(goes_in_at_the_back(spot, moves), "back slot");
    name(touches_empty_slot(held, moves, slot, keep), "empty slot");
    name(plain.rotations > 0, "no rotation");
    name(is_keyhole(moves), "keyhole");
    name(has_sledgehammer(moves), "sledgehammer");
    uses
}

/// Whether the pair's slot is at the back, and the last turn that moves a piece of the pair is of a side beside it.
fn goes_in_at_the_back(start: Spot, moves: &[Move]) -> bool {
    let mut at = start;
    let mut home = None;
    for m in moves {
        let next = at.after(&[*m]);
        if (next.corner, next.edge) != (at.corner, at.edge) {
            home = side(m);
        }
        at = next;
    }
    let beside = start.slot().faces();
    !beside.contains(&Face::F) && home.is_some_and(|turn| beside.contains(&turn.face))
}

/// Whether the route changes a slot that is not solved yet and is not the pair's own.
pub fn touches_empty_slot(held: &Held, moves: &[Move], slot: Slot, keep: SlotSet) -> bool {
    empty_slots(held, moves, slot, keep).next().is_some()
}

/// The slots, not solved yet and not the pair's own, that the route changes.
fn empty_slots(
    held: &Held,
    moves: &[Move],
    slot: Slot,
    keep: SlotSet,
) -> impl Iterator<Item = Slot> {
    let held = *held;
    let cross = held.hold.down();
    let after = held.after(moves).cube;
    Slot::ALL
        .into_iter()
        .filter(move |&other| other != slot && !keep.contains(other))
        .filter(move |other| {
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
    let bottom = |m: &&Move| matches!(m, Move::Outer(Turn { face: Face::D, .. }));
    let turns: Vec<&Move> = moves.iter().filter(bottom).collect();
    matches!(turns[..], [away, back] if *back == away.inverse())
}

/// Four quarter turns of two neighbouring sides, each turned and turned back in alternation.
fn has_sledgehammer(moves: &[Move]) -> bool {
    moves.windows(4).any(|w| {
        let side = |m: &Move| match m {
            Move::Outer(t) if !matches!(t.face, Face::U | Face::D) && t.amount != Amount::Half => {
                Some(*t)
            }
            _ => None,
        };
        match (side(&w[0]), side(&w[1]), side(&w[2]), side(&w[3])) {
            (Some(a), Some(b), Some(c), Some(d)) => {
                a.inverse() == c
                    && b.inverse() == d
                    && a.face != b.face
                    && a.face != b.face.opposite()
            }
            _ => false,
        }
    })
}

/// The turn of a side, none for any other.
fn side(m: &Move) -> Option<Turn> {
    match m {
        Move::Outer(turn) if !matches!(turn.face, Face::U | Face::D) => Some(*turn),
        _ => None,
    }
}

/// The first turn of a side is undone by the last turn of all, and that side does not turn between.
fn opens_around(moves: &[Move]) -> bool {
    let (Some(first), Some(last)) = (moves.iter().find_map(side), moves.last().and_then(side))
    else {
        return false;
    };
    let same = |m: &&Move| side(m).is_some_and(|turn| turn.face == first.face);
    moves.len() > 4 && last == first.inverse() && moves.iter().filter(same).count() == 2
}

/// A side turns while another one is open that is closed later.
fn overlaps(moves: &[Move]) -> bool {
    moves.iter().enumerate().any(|(i, m)| {
        let Some(open) = side(m) else { return false };
        let rest = &moves[i + 1..];
        let closed = rest
            .iter()
            .position(|m| side(m).is_some_and(|turn| turn.face == open.face));
        closed.is_some_and(|at| {
            rest[at] == m.inverse() && rest[..at].iter().any(|m| side(m).is_some())
        })
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
        format!("{}, no more", words::turn_count(turns))
    };
    let why = if has("keyhole") {
        "the bottom makes room for a moment"
    } else if has("empty slot") {
        "it uses an empty slot"
    } else if has("sledgehammer") {
        "two sides turn against each other"
    } else if has("back slot") {
        "it goes straight in at the back"
    } else if has("no rotation") {
        "the cube is not turned"
    } else if opens_around(moves) {
        "one side stays open while the two join"
    } else if overlaps(moves) {
        "one side turns while another is open"
    } else {
        "no way is shorter"
    };
    format!("{}: {why}.", words::sentence(&gain))
}

/// How it looks where this way is: the sight, the places, and what must be free.
fn look_for(empty: &[&str], spot: Spot, pair: Pair) -> String {
    let slots: Vec<String> = empty.iter().map(|slot| format!("the {slot}")).collect();
    let also = match slots.is_empty() {
        true => String::new(),
        false => format!(
            " {} slot must be empty.",
            words::sentence(&words::list(&slots))
        ),
    };
    format!(
        "{} {}{also}",
        describe::relation(&spot, pair),
        describe::places(&spot, pair)
    )
}
