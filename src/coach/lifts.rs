//! Lifts: the only actions of plain routes, beside turns of the top and of the whole cube.
//!
//! A lift turns a side so that one slot comes up into the top layer, turns the top, and turns the side back. Whatever
//! happens on top meanwhile, the cross and the three other slots come back as they were: that is why a route made of
//! lifts, top turns and whole-cube turns can be followed without fear.

use crate::cube::{Amount, Axis, Edge, Face, Move, Turn};

use super::spot::{Spot, across};

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
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Lift {
    pub out: Turn,
    pub top: Amount,
}

impl Lift {
    /// The lift's three moves.
    pub fn moves(self) -> [Move; 3] {
        let top = Turn::new(Face::U, self.top);
        [self.out.into(), top.into(), self.out.inverse().into()]
    }

    /// The same in the mirror between front and right.
    pub fn reflected(self) -> Lift {
        let Turn { face, amount } = self.out;
        Lift {
            out: Turn::new(across(face), amount.inverse()),
            top: self.top.inverse(),
        }
    }

    /// The same after turning the whole cube about the upright axis by so many clockwise quarter turns.
    pub fn rotated(self, quarters: usize) -> Lift {
        let Turn { face, amount } = self.out;
        Lift {
            out: Turn::new(face.carried(Face::U, quarters), amount),
            ..self
        }
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

    /// The action that moves begin with, and the moves after it.
    pub fn first(moves: &[Move]) -> Option<(Act, &[Move])> {
        match *moves {
            [Move::Rotation(Axis::Y, amount), ref rest @ ..] => Some((Act::Rotate(amount), rest)),
            [
                Move::Outer(Turn {
                    face: Face::U,
                    amount,
                }),
                ref rest @ ..,
            ] => Some((Act::Top(amount), rest)),
            [
                Move::Outer(out),
                Move::Outer(top),
                Move::Outer(back),
                ref rest @ ..,
            ] => {
                let side = !matches!(out.face, Face::U | Face::D) && out.amount != Amount::Half;
                let lift = Lift {
                    out,
                    top: top.amount,
                };
                (side && top.face == Face::U && back == out.inverse())
                    .then_some((Act::Lift(lift), rest))
            }
            _ => None,
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
