//! The method: for each way that a pair can lie, one thing to do next, the same in every slot and for every cross, mirrored
//! for its mirror.
//!
//! One principle runs through it: open a slot, so that one piece hides below; turn the top, which moves the other; close
//! the slot. Two pieces on top come to be joined or ready, and one of three inserts takes them in. A piece in a slot comes
//! out first. `RULES` is all of it for pairs on top and in their own slot: 22 sights, mirror images counted once, each
//! with one lift. What is to be done after the lift is looked up anew, so that whoever looks again is told the same.

use std::collections::HashMap;
use std::sync::LazyLock;

use crate::cube::{Amount, Edge, Face, Turn};

use super::lifts::{Act, Lift, OUT, lifted_slot};
use super::spot::{Relation, Spot};

use Amount::{Counter, Half, Quarter};
use Face::{B, D, F, L, R, U};

/// What to do at one sight, as it is when the top has been turned so that the pair is in place, its slot at the front right.
#[derive(Clone, Copy, Debug)]
struct Rule {
    /// Where the corner shows the cross colour, the front colour and the right colour.
    corner: [Face; 3],
    /// Where the edge shows the front and the right colour.
    edge: [Face; 2],
    /// The lift to do.
    lift: Lift,
    /// The insert that follows without a turn of the top, where it is not the one that is looked up.
    then: Option<Lift>,
}

const fn right(top: Amount) -> Lift {
    Lift {
        out: Turn::new(R, Quarter),
        top,
    }
}

const fn front(top: Amount) -> Lift {
    Lift {
        out: Turn::new(F, Counter),
        top,
    }
}

const fn rule(corner: [Face; 3], edge: [Face; 2], lift: Lift) -> Rule {
    Rule {
        corner,
        edge,
        lift,
        then: None,
    }
}

/// What to do at each sight for the right hand, in the order of teaching; a sight's number is its place here, from 1. Found by
/// comparing all chains of at most three lifts of the pair's own slot: each has as few turns as any of them, and what
/// follows its lift is the route of another sight.
const RULES: [Rule; 22] = [
    // On top, the inserts: joined; ready.
    rule([L, U, F], [U, F], right(Counter)),
    rule([R, F, U], [U, B], right(Quarter)),
    // The cross colour sideways, apart: the top colours the same, twice; different.
    rule([R, U, B], [U, L], right(Quarter)),
    rule([R, U, B], [U, F], right(Half)),
    rule([B, R, U], [U, F], right(Quarter)),
    // The cross colour up, apart.
    rule([U, F, L], [U, R], right(Half)),
    rule([U, L, B], [U, R], front(Counter)),
    // Touching wrongly: sideways, the top colours the same; different, twice; the cross colour up, twice.
    rule([F, U, R], [U, F], front(Quarter)),
    rule([B, R, U], [U, B], right(Counter)),
    rule([F, L, U], [U, L], front(Half)),
    rule([U, R, F], [U, R], right(Half)),
    rule([U, R, F], [U, F], right(Quarter)),
    // The corner in its slot: the cross colour down; sideways, twice.
    rule([D, F, R], [U, B], front(Quarter)),
    rule([R, D, F], [U, L], front(Quarter)),
    Rule {
        then: Some(right(Half)),
        ..rule([F, R, D], [U, R], front(Half))
    },
    // The edge in its slot: the cross colour sideways, the edge the right way round and flipped; up, flipped and right.
    rule([R, U, B], [F, R], right(Counter)),
    rule([F, L, U], [R, F], front(Counter)),
    rule([U, B, R], [R, F], front(Half)),
    rule([U, R, F], [F, R], right(Quarter)),
    // Both in their slot: both wrong; the corner twisted; the edge flipped.
    rule([F, R, D], [R, F], front(Quarter)),
    rule([F, R, D], [F, R], right(Counter)),
    rule([D, F, R], [R, F], front(Quarter)),
];

/// The side on which the pair's slot is when the last insert takes it in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Hand {
    Right,
    Left,
}

/// What to do next with a pair.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Next {
    /// The number of the sight, 1 to 22; none while a piece is in another slot.
    number: Option<usize>,
    hand: Hand,
    /// The turn of the top that brings the pair into place. Moves are for the slot at the front right.
    top: Option<Amount>,
    lift: Lift,
    then: Option<Lift>,
}

/// Where the cube may be turned to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holding {
    /// The slot in front, so that nothing is done out of sight.
    InFront,
    /// As it is: the same turns where the slot is.
    Still,
}

/// The number of the sight of a pair that is on top or in its own slot, 1 to [`COUNT`], and the hand that it is for. None
/// for a solved pair, and while a piece is in another slot.
pub fn number(spot: &Spot) -> Option<(usize, Hand)> {
    let next = METHOD.get(&facing(*spot).0)?;
    Some((next.number?, next.hand))
}

/// How the two lie to each other at a sight.
pub fn relation(number: usize) -> Relation {
    example(number).map_or(Relation::BothInSlots, |spot| spot.relation())
}

/// How many sights there are, mirror images counted once.
pub const COUNT: usize = RULES.len();

/// An example of a sight, in place.
pub fn example(number: usize) -> Option<Spot> {
    RULES.get(number.checked_sub(1)?).map(Rule::spot)
}

/// The plain route of a pair as it lies: empty when it is solved.
pub fn acts(spot: Spot, holding: Holding) -> Vec<Act> {
    let (facing, turned) = facing(spot);
    // Seen from the slot, the cube in hand is turned so much.
    let now = (4 - turned) % 4;
    let done = lifts(facing);
    let held = match holding {
        Holding::Still => vec![now; done.len()],
        Holding::InFront => in_front(now, &done),
    };
    let mut acts = Vec::new();
    let mut at = now;
    for (one, held) in done.iter().zip(held) {
        acts.extend(Amount::of_quarters(held + 4 - at).map(Act::Rotate));
        acts.extend(one.top.map(Act::Top));
        acts.push(Act::Lift(one.lift.rotated(held)));
        at = held;
    }
    acts
}

/// One lift of a route, for the slot at the front right.
#[derive(Clone, Copy)]
struct Done {
    top: Option<Amount>,
    lift: Lift,
    /// The hand, for a lift of the pair's own slot.
    own: Option<Hand>,
}

fn lifts(mut spot: Spot) -> Vec<Done> {
    let mut done = Vec::new();
    while let Some(next) = METHOD.get(&spot) {
        let lift = Done {
            top: next.top,
            lift: next.lift,
            own: (next.lift.slot() == spot.slot()).then_some(next.hand),
        };
        let then = next.then.map(|lift| Done {
            top: None,
            lift,
            own: Some(next.hand),
        });
        for one in std::iter::once(lift).chain(then) {
            spot = one.top.map_or(spot, |top| Act::Top(top).on(spot));
            spot = Act::Lift(one.lift).on(spot);
            done.push(one);
        }
    }
    done
}

/// How the cube is held for each lift, in quarter turns from the slot at the front right: what is lifted in front, the
/// cube turned as seldom as can be.
fn in_front(now: usize, done: &[Done]) -> Vec<usize> {
    let Some((first, rest)) = done.split_first() else {
        return Vec::new();
    };
    let may = |held: &usize| match first.own {
        Some(Hand::Right) => *held == 0,
        Some(Hand::Left) => *held == 1,
        None => first.lift.rotated(*held).slot().faces().contains(&F),
    };
    // As it is first, then a quarter turn either way.
    let holds = [0, 1, 3, 2].map(|more| (now + more) % 4);
    let ways = holds.into_iter().filter(may).map(|held| {
        let mut all = vec![held];
        all.extend(in_front(held, rest));
        all
    });
    let turned = |all: &Vec<usize>| {
        let before = std::iter::once(&now).chain(all);
        before.zip(all).filter(|(a, b)| a != b).count()
    };
    ways.min_by_key(turned).unwrap_or_default()
}

/// The pair with its slot at the front right and the front colour first, and the clockwise quarter turns of the cube
/// that bring it there.
fn facing(spot: Spot) -> (Spot, usize) {
    let turned = |quarters| Amount::of_quarters(quarters).map_or(spot, |a| spot.rotated(a));
    (0..4)
        .flat_map(|q| [(turned(q), q), (turned(q).swapped(), q)])
        .find(|(spot, _)| spot.home == HOME)
        .unwrap_or((spot, 0))
}

const HOME: [Face; 2] = [F, R];

impl Rule {
    fn spot(&self) -> Spot {
        Spot {
            corner: self.corner,
            edge: self.edge,
            home: HOME,
        }
    }
}

/// What to do for every way that a pair can lie, its slot at the front right.
static METHOD: LazyLock<HashMap<Spot, Next>> = LazyLock::new(|| {
    let mut method = HashMap::new();
    for (i, rule) in RULES.iter().enumerate() {
        let next = Next {
            number: Some(i + 1),
            hand: Hand::Right,
            top: None,
            lift: rule.lift,
            then: rule.then,
        };
        enter(&mut method, rule.spot(), next);
    }
    // A piece in another slot is freed first: where one slot holds it, then where two do.
    for slots in [1, 2] {
        let sights: Vec<Spot> = all().filter(|s| trapped(s).len() == slots).collect();
        for spot in sights {
            if !method.contains_key(&spot)
                && let Some((start, next)) = freeing(spot, &method)
            {
                enter(&mut method, start, next);
            }
        }
    }
    method
});

/// Enters what to do for a pair in place, for the same after each turn of the top, and for the mirror of all these.
fn enter(method: &mut HashMap<Spot, Next>, spot: Spot, next: Next) {
    let mirrored = Next {
        hand: match next.hand {
            Hand::Right => Hand::Left,
            Hand::Left => Hand::Right,
        },
        top: None,
        lift: next.lift.reflected(),
        then: next.then.map(Lift::reflected),
        ..next
    };
    for (spot, next) in [(spot, next), (spot.reflected(), mirrored)] {
        for (quarters, turned) in tops(spot).into_iter().enumerate() {
            let top = Amount::of_quarters(quarters).map(Amount::inverse);
            method.entry(turned).or_insert(Next { top, ..next });
        }
    }
}

/// How a piece is freed from another slot: lifted out, with the top turned first, so that the least is left to do.
fn freeing(spot: Spot, method: &HashMap<Spot, Next>) -> Option<(Spot, Next)> {
    let slots = trapped(&spot);
    let ways = tops(spot).into_iter().flat_map(|start| {
        let outs = OUT
            .into_iter()
            .filter(|out| slots.contains(&lifted_slot(*out)));
        let lifts = outs.flat_map(|out| Amount::ALL.map(|top| Lift { out, top }));
        lifts.filter_map(move |lift| {
            let after = Act::Lift(lift).on(start);
            let next = method.get(&after)?;
            let straight_on = next.top.is_none() && next.lift.out.face == lift.out.face;
            // A sight that is its own mirror has one hand, so what leads to it could not be mirrored.
            let one_handed = tops(after).contains(&after.reflected());
            (!straight_on && !one_handed).then_some((start, lift, after, next.hand))
        })
    });
    let least = ways.min_by_key(|(_, lift, after, hand)| effort(*lift, *after, *hand, method))?;
    let (start, lift, _, hand) = least;
    let next = Next {
        number: None,
        hand,
        top: None,
        lift,
        then: None,
    };
    Some((start, next))
}

/// The pair as it is, and after each turn of the top.
fn tops(spot: Spot) -> [Spot; 4] {
    let [a, b, c] = Amount::ALL.map(|amount| spot.turned(Turn::new(U, amount)));
    [spot, a, b, c]
}

/// What a way of freeing costs a learner, in halves of a turn: a turn of the cube between is a new look.
fn effort(lift: Lift, after: Spot, hand: Hand, method: &HashMap<Spot, Next>) -> usize {
    let own = if hand == Hand::Right { 0 } else { 1 };
    let in_front = lift.rotated(own).slot().faces().contains(&F);
    let mut turns = 0;
    let mut at = after;
    while let Some(next) = method.get(&at) {
        turns += 3 * (1 + usize::from(next.then.is_some())) + usize::from(next.top.is_some());
        let then = next.then.map(Act::Lift);
        let acts = next.top.map(Act::Top).into_iter();
        let acts = acts.chain([Act::Lift(next.lift)]).chain(then);
        at = acts.fold(at, |spot, act| act.on(spot));
    }
    2 * turns + 3 * usize::from(!in_front) + usize::from(lift.top == Half)
}

/// The slots, by their edge places, that are not the pair's own and hold a piece of it.
pub fn trapped(spot: &Spot) -> Vec<Edge> {
    let own = spot.slot();
    let mut slots: Vec<Edge> = [spot.corner_slot(), spot.edge_slot()]
        .into_iter()
        .flatten()
        .filter(|slot| *slot != own)
        .collect();
    slots.dedup();
    slots
}

/// Every way that a pair can lie with its slot at the front right, solved included: 8 places and 3 ways for the corner, 8
/// places and 2 ways for the edge.
pub fn all() -> impl Iterator<Item = Spot> {
    let solved = Spot {
        corner: [D, F, R],
        edge: HOME,
        home: HOME,
    };
    let mut seen = vec![solved];
    let mut i = 0;
    while i < seen.len() {
        let tops = Amount::ALL.map(Act::Top).into_iter();
        let lifts = OUT
            .into_iter()
            .flat_map(|out| Amount::ALL.map(|top| Act::Lift(Lift { out, top })));
        for act in tops.chain(lifts) {
            let to = act.on(seen[i]);
            if !seen.contains(&to) {
                seen.push(to);
            }
        }
        i += 1;
    }
    seen.into_iter()
}
