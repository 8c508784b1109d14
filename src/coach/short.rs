//! The route of fewest turns, told in the same words as the plain one where it is made of the same actions.

use crate::cube::{Amount, Edge, Face, Held, Move, Moves, Turn, htm};
use crate::solve::{self, Limits, Slot, SlotSet, Style};

use super::describe::{self, Pair};
use super::ideas::Idea;
use super::lifts::{Act, Lift};
use super::route::{Route, Step};
use super::saying::{Deed, PairSaying, ShortGain, Text, TurnSaying, Use, say};
use super::spot::Spot;
use super::tell;

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
    let idea = say(idea(&moves, &uses, plain));
    let empty = empty_slots(held, &moves, slot, keep);
    let empty = empty.map(|slot| held.hold.edge_in_hand(slot.edge(pair.cross)));
    let empty: Vec<Edge> = empty.collect();
    let must_be_empty = match empty.is_empty() {
        true => Text::NOTHING,
        false => say(PairSaying::MustBeEmpty(empty)),
    };
    let look_for = describe::look_for(&spot, pair).and(must_be_empty);
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
    let end = before.after(block);
    let standing = match end.is_solved() {
        true => PairSaying::BothHome,
        false => PairSaying::Now(describe::standing(&end)),
    };
    Step {
        idea: Deed::ShorterWay,
        say: say(TurnSaying::Written(block.to_vec())),
        why: tell::turn_by_turn(before, block).and(say(standing)),
        moves: Moves(block.to_vec()),
    }
}

/// The ideas in a route that have names in the trade.
fn uses(
    held: &Held,
    moves: &[Move],
    slot: Slot,
    keep: SlotSet,
    spot: Spot,
    plain: &Route,
) -> Vec<Use> {
    let last = moves.len().saturating_sub(3);
    let all = [
        (lift_at(&moves[last..]).is_some(), Use::Idea(Idea::Insert)),
        (goes_in_at_the_back(spot, moves), Use::BackSlot),
        (touches_empty_slot(held, moves, slot, keep), Use::EmptySlot),
        (plain.rotations > 0, Use::NoRotation),
        (is_keyhole(moves), Use::Keyhole),
        (has_sledgehammer(moves), Use::Sledgehammer),
    ];
    let is_used = all.into_iter().filter(|(is_used, _)| *is_used);
    is_used.map(|(_, one)| one).collect()
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

fn idea(moves: &[Move], uses: &[Use], plain: &Route) -> PairSaying {
    if moves == &plain.moves[..] {
        return PairSaying::PlainIsShortest;
    }
    let turns = htm(moves);
    PairSaying::Shorter {
        turns,
        than: (turns < plain.turns).then_some(plain.turns),
        by: gain(moves, uses),
    }
}

fn gain(moves: &[Move], uses: &[Use]) -> ShortGain {
    let named = [
        (Use::Keyhole, ShortGain::Keyhole),
        (Use::EmptySlot, ShortGain::EmptySlot),
        (Use::Sledgehammer, ShortGain::Sledgehammer),
        (Use::BackSlot, ShortGain::BackSlot),
        (Use::NoRotation, ShortGain::NoRotation),
    ];
    let named = named.into_iter().find(|(one, _)| uses.contains(one));
    match named {
        Some((_, gain)) => gain,
        None if opens_around(moves) => ShortGain::OpensAround,
        None if overlaps(moves) => ShortGain::Overlaps,
        None => ShortGain::Unnamed,
    }
}
