//! Chains of lifts: the only actions of reasoned routes.
//!
//! A lift turns a side so that one slot comes up into the top layer, turns the top, and turns the side back. Whatever
//! happens on top meanwhile, the cross and the three other slots come back as they were: that is why a route made of
//! lifts, top turns and whole-cube turns can be followed without fear, and why it needs nothing learnt by heart.

use std::cmp::Reverse;
use std::collections::BinaryHeap;
use std::sync::LazyLock;

use crate::cube::{Amount, Axis, Edge, Face, Move, Turn};

use super::spot::Spot;

/// One action of a chain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Act {
    /// Turn the whole cube about the upright axis.
    Rotate(Amount),
    /// Turn the top layer.
    Top(Amount),
    Lift(Lift),
}

/// Bring a slot up with `out`, turn the top, bring it back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lift {
    pub out: Turn,
    pub top: Amount,
}

/// What a chain may use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ways {
    /// Slots that may be lifted although they hold neither piece, counted in clockwise quarter turns (seen from above)
    /// from the pair's own slot. The pair's own slot and one that holds a piece of it may always be lifted.
    pub free: [bool; 4],
    /// Whether a trapped piece must be freed before the pair's own slot is used.
    pub free_first: bool,
    /// Whether slots at the back may be lifted where they are.
    pub back: bool,
    /// Whether the whole cube may be turned.
    pub rotate: bool,
}

impl Ways {
    /// The plain way: lift only what holds a piece of the pair or is its slot, only in front.
    pub const PLAIN: Ways = Ways {
        free: [false; 4],
        free_first: true,
        back: false,
        rotate: true,
    };
}

impl Lift {
    /// The lift's three moves.
    pub fn moves(self) -> [Move; 3] {
        let top = Turn::new(Face::U, self.top);
        [self.out.into(), top.into(), self.out.inverse().into()]
    }

    /// The slot that it brings up, by its edge place.
    pub fn slot(self) -> Edge {
        lifted_slot(self.out)
    }
}

impl Act {
    /// The pair after it.
    pub fn on(self, spot: Spot) -> Spot {
        match self {
            Act::Rotate(amount) => spot.rotated(amount),
            Act::Top(amount) => spot.turned(Turn::new(Face::U, amount)),
            Act::Lift(lift) => spot
                .turned(lift.out)
                .turned(Turn::new(Face::U, lift.top))
                .turned(lift.out.inverse()),
        }
    }

    pub fn moves(self) -> Vec<Move> {
        match self {
            Act::Rotate(amount) => vec![Move::Rotation(Axis::Y, amount)],
            Act::Top(amount) => vec![Turn::new(Face::U, amount).into()],
            Act::Lift(lift) => lift.moves().to_vec(),
        }
    }
}

/// The slot whose pieces a quarter turn of a side brings up into the top layer.
pub fn lifted_slot(out: Turn) -> Edge {
    let q = out.amount.quarters();
    let side = out.face.around().into_iter();
    let comes_up = |f: &Face| f.carried(out.face, q) == Face::U;
    side.filter(comes_up)
        .find_map(|f| Edge::of_faces([out.face, f]))
        .map_or(Edge::FR, |(edge, _)| edge)
}

/// The eight quarter turns that lift a slot; those of slots in front come first.
const OUT: [Turn; 8] = [
    Turn::new(Face::R, Amount::Quarter),
    Turn::new(Face::L, Amount::Counter),
    Turn::new(Face::F, Amount::Counter),
    Turn::new(Face::F, Amount::Quarter),
    Turn::new(Face::R, Amount::Counter),
    Turn::new(Face::L, Amount::Quarter),
    Turn::new(Face::B, Amount::Quarter),
    Turn::new(Face::B, Amount::Counter),
];

// What an action costs a learner, in quarters of a turn. A lift is one thought whatever its turns, so it costs more than
// they do; turning the whole cube costs no turn but a new look. Larger values make fewer lifts (rotations) at the price
// of more turns.
const TURN: u32 = 4;
const THOUGHT: u32 = 4;
const ROTATION: u32 = 6;
// Small preferences between equals: turning a side is easier in hand than turning the front, the front than the back.
const FRONT: u32 = 1;
const BACK: u32 = 2;
const HALF: u32 = 1;

fn cost(act: Act) -> u32 {
    let half = |amount| if amount == Amount::Half { HALF } else { 0 };
    match act {
        Act::Rotate(amount) => ROTATION + half(amount),
        Act::Top(amount) => TURN + half(amount),
        Act::Lift(Lift { out, top }) => {
            let hand = match out.face {
                Face::F => FRONT,
                Face::B => BACK,
                _ => 0,
            };
            3 * TURN + THOUGHT + half(top) + hand
        }
    }
}

/// The chain that costs a learner least, and its cost; none when `ways` do not lead to the solved pair (Dijkstra 1959).
pub fn chain(start: Spot, ways: &Ways) -> Option<(Vec<Act>, u32)> {
    let mut best = vec![u32::MAX; Spot::COUNT];
    let mut came: Vec<Option<(Spot, Act)>> = vec![None; Spot::COUNT];
    let mut open = BinaryHeap::new();
    let mut spots = vec![start];
    best[start.index()] = 0;
    open.push(Reverse((0, 0)));
    while let Some(Reverse((so_far, at))) = open.pop() {
        let spot = spots[at];
        if so_far > best[spot.index()] {
            continue;
        }
        if spot.is_solved() {
            return Some((ordered(walk_back(&came, spot)), so_far));
        }
        for act in acts(&spot, ways) {
            let next = act.on(spot);
            let price = so_far + cost(act);
            let i = next.index();
            if price < best[i] {
                best[i] = price;
                came[i] = Some((spot, act));
                spots.push(next);
                open.push(Reverse((price, spots.len() - 1)));
            }
        }
    }
    None
}

/// The plain chain, from a table of all spots.
pub fn plain(start: Spot) -> Option<(Vec<Act>, u32)> {
    /// One table for each way round that a slot's first side colour can be.
    static TABLES: LazyLock<[Vec<Best>; 2]> = LazyLock::new(|| {
        [
            plain_table(Spot::SOLVED),
            plain_table(Spot::SOLVED.swapped()),
        ]
    });
    let mirrored = start.home[0].carried(Face::U, 1) != start.home[1];
    let table = &TABLES[usize::from(mirrored)];
    let mut at = start;
    let mut acts = Vec::new();
    while let Some(act) = table[at.index()].act {
        acts.push(act);
        at = act.on(at);
    }
    at.is_solved()
        .then(|| (ordered(acts), table[start.index()].cost))
}

/// What to do first at a spot, and what the whole chain costs.
#[derive(Clone, Copy)]
struct Best {
    cost: u32,
    act: Option<Act>,
}

fn plain_table(solved: Spot) -> Vec<Best> {
    let never = Best {
        cost: u32::MAX,
        act: None,
    };
    let mut table = vec![never; Spot::COUNT];
    let spots = all_spots(solved);
    for spot in spots.iter().filter(|s| s.is_solved()) {
        table[spot.index()].cost = 0;
    }
    // Costs only fall, and each sweep settles chains of one more action.
    let mut settled = false;
    while !settled {
        settled = true;
        for &spot in &spots {
            for act in acts(&spot, &Ways::PLAIN) {
                let onward = table[act.on(spot).index()].cost;
                let cost = onward.saturating_add(cost(act));
                if cost < table[spot.index()].cost {
                    table[spot.index()] = Best {
                        cost,
                        act: Some(act),
                    };
                    settled = false;
                }
            }
        }
    }
    table
}

/// Every way a pair can lie: 384 for each of the four places of its slot.
pub fn all_spots(solved: Spot) -> Vec<Spot> {
    let anywhere = Ways {
        free: [true; 4],
        free_first: false,
        back: true,
        rotate: true,
    };
    let mut seen = vec![false; Spot::COUNT];
    let mut spots = vec![solved];
    seen[solved.index()] = true;
    let mut i = 0;
    while let Some(&spot) = spots.get(i) {
        for next in acts(&spot, &anywhere).into_iter().map(|act| act.on(spot)) {
            if !std::mem::replace(&mut seen[next.index()], true) {
                spots.push(next);
            }
        }
        i += 1;
    }
    spots
}

/// The same chain with the whole cube turned before the top where one follows the other, so that a step that speaks of
/// places speaks of the hold of the step after it.
fn ordered(mut acts: Vec<Act>) -> Vec<Act> {
    for i in 1..acts.len() {
        if let (Act::Top(_), Act::Rotate(_)) = (acts[i - 1], acts[i]) {
            acts.swap(i - 1, i);
        }
    }
    acts
}

fn walk_back(came: &[Option<(Spot, Act)>], solved: Spot) -> Vec<Act> {
    let mut acts = Vec::new();
    let mut at = solved;
    while let Some((before, act)) = came[at.index()] {
        acts.push(act);
        at = before;
    }
    acts.reverse();
    acts
}

/// What may be done at a spot.
fn acts(spot: &Spot, ways: &Ways) -> Vec<Act> {
    let mut acts = Vec::with_capacity(18);
    if ways.rotate {
        acts.extend(Amount::ALL.map(Act::Rotate));
    }
    acts.extend(Amount::ALL.map(Act::Top));
    let own = spot.slot();
    let trapped = [spot.corner_slot(), spot.edge_slot()];
    let elsewhere = trapped.iter().flatten().any(|&slot| slot != own);
    for out in OUT {
        let slot = lifted_slot(out);
        let in_reach = ways.back || slot.faces().contains(&Face::F);
        let may = if slot == own {
            !(ways.free_first && elsewhere) || trapped.contains(&Some(slot))
        } else {
            trapped.contains(&Some(slot)) || ways.free[offset(spot, slot)]
        };
        if in_reach && may {
            acts.extend(Amount::ALL.map(|top| Act::Lift(Lift { out, top })));
        }
    }
    acts
}

/// The lifts of the pair's own slot.
pub fn own_lifts(spot: &Spot) -> impl Iterator<Item = Lift> {
    let own = spot.slot();
    OUT.into_iter()
        .filter(move |&out| lifted_slot(out) == own)
        .flat_map(|out| Amount::ALL.map(|top| Lift { out, top }))
}

/// Clockwise quarter turns, seen from above, from the pair's slot to another.
fn offset(spot: &Spot, slot: Edge) -> usize {
    let own = spot.slot();
    (0..4)
        .find(|&k| {
            let faces = own.faces().map(|f| f.carried(Face::U, k));
            Edge::of_faces(faces).is_some_and(|(edge, _)| edge == slot)
        })
        .unwrap_or(0)
}
