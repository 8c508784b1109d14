//! Chains of lifts: the only actions of reasoned routes.
//!
//! A lift turns a side so that one slot comes up into the top layer, turns the top, and turns the side back. Whatever
//! happens on top meanwhile, the cross and the three other slots come back as they were: that is why a route made of
//! lifts, top turns and whole-cube turns can be followed without fear, and why it needs nothing learnt by heart.

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
pub(super) const OUT: [Turn; 8] = [
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

pub(super) fn cost(act: Act) -> u32 {
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

/// The lifts of the pair's own slot.
pub fn own_lifts(spot: &Spot) -> impl Iterator<Item = Lift> {
    let own = spot.slot();
    OUT.into_iter()
        .filter(move |&out| lifted_slot(out) == own)
        .flat_map(|out| Amount::ALL.map(|top| Lift { out, top }))
}

/// Clockwise quarter turns, seen from above, from the pair's slot to another.
pub(super) fn offset(spot: &Spot, slot: Edge) -> usize {
    let own = spot.slot();
    (0..4)
        .find(|&k| {
            let faces = own.faces().map(|f| f.carried(Face::U, k));
            Edge::of_faces(faces).is_some_and(|(edge, _)| edge == slot)
        })
        .unwrap_or(0)
}
