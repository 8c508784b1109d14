//! How the two pieces of a pair lie in hand, the cross down, and what moves do to them.

use serde::{Deserialize, Serialize};

use crate::cube::{Amount, Axis, Colour, Corner, Edge, Face, Held, Move, Turn};

/// A pair as it lies in hand. All faces are in hand: `Face::F` is the one towards the learner.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Spot {
    /// Where the corner shows its cross colour, the first and the second side colour.
    pub corner: [Face; 3],
    /// Where the edge shows the first and the second side colour.
    pub edge: [Face; 2],
    /// Where the centres of the two side colours are: between them is the slot.
    pub home: [Face; 2],
}

/// How corner and edge lie to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Relation {
    /// Both in the top layer and touching, both side colours agreeing along the touch.
    #[serde(rename = "joined")]
    Joined,
    /// Both in the top layer and touching, but not so.
    #[serde(rename = "misjoined")]
    Misjoined,
    /// Both in the top layer, not touching.
    #[serde(rename = "apart")]
    Apart,
    /// The corner in a slot, the edge in the top layer.
    #[serde(rename = "corner in slot")]
    CornerInSlot,
    /// The edge in a slot, the corner in the top layer.
    #[serde(rename = "edge in slot")]
    EdgeInSlot,
    /// Each in a slot, the same or different ones, solved or not.
    #[serde(rename = "both in slots")]
    BothInSlots,
}

impl Spot {
    /// Solved at the front right.
    pub const SOLVED: Spot = Spot {
        corner: [Face::D, Face::R, Face::F],
        edge: [Face::R, Face::F],
        home: [Face::R, Face::F],
    };

    /// The pair with these side colours, as it lies in hand.
    pub fn of(held: &Held, cross: Colour, sides: [Colour; 2]) -> Option<Spot> {
        let [first, second] = sides;
        let corner = Corner::with_colours([cross, first, second])?;
        let (edge, _) = Edge::of_colours(sides)?;
        let in_hand = |f: Face| held.hold.face_in_hand(f);
        let shows = |colours: &[Colour], faces: &[Face], want: Colour| {
            let k = colours.iter().position(|&c| c == want)?;
            Some(in_hand(faces[k]))
        };
        let (cc, cf) = (corner.colours(), held.cube.corner_faces(corner));
        let (ec, ef) = (edge.colours(), held.cube.edge_faces(edge));
        Some(Spot {
            corner: [
                shows(&cc, &cf, cross)?,
                shows(&cc, &cf, first)?,
                shows(&cc, &cf, second)?,
            ],
            edge: [shows(&ec, &ef, first)?, shows(&ec, &ef, second)?],
            home: sides.map(|c| held.hold.face_at(c)),
        })
    }

    /// The same pair with its side colours named in the other order.
    pub fn swapped(self) -> Spot {
        let [cross, first, second] = self.corner;
        let turned = |[a, b]: [Face; 2]| [b, a];
        Spot {
            corner: [cross, second, first],
            edge: turned(self.edge),
            home: turned(self.home),
        }
    }

    /// The place of the corner in hand.
    pub fn corner_at(&self) -> Corner {
        // Three faces that a corner shows always meet in a place.
        Corner::with_faces(self.corner).unwrap_or(Corner::UFR)
    }

    /// The place of the edge in hand.
    pub fn edge_at(&self) -> Edge {
        Edge::of_faces(self.edge).map_or(Edge::UF, |(edge, _)| edge)
    }

    /// The slot's place in hand, by its edge.
    pub fn slot(&self) -> Edge {
        Edge::of_faces(self.home).map_or(Edge::FR, |(edge, _)| edge)
    }

    /// Where the corner's cross colour looks.
    pub fn looks(&self) -> Face {
        self.corner[0]
    }

    pub fn corner_on_top(&self) -> bool {
        self.corner.contains(&Face::U)
    }

    pub fn edge_on_top(&self) -> bool {
        self.edge.contains(&Face::U)
    }

    /// The slot, by its edge place, that holds the corner; none when it is in the top layer.
    pub fn corner_slot(&self) -> Option<Edge> {
        let sides: Vec<Face> = upright(&self.corner);
        match sides[..] {
            [a, b] if !self.corner_on_top() => Edge::of_faces([a, b]).map(|(edge, _)| edge),
            _ => None,
        }
    }

    /// The slot that holds the edge; none when it is in the top layer.
    pub fn edge_slot(&self) -> Option<Edge> {
        (!self.edge_on_top()).then(|| self.edge_at())
    }

    pub fn is_solved(&self) -> bool {
        self.corner == [Face::D, self.home[0], self.home[1]] && self.edge == self.home
    }

    pub fn relation(&self) -> Relation {
        match (self.corner_on_top(), self.edge_on_top()) {
            (false, false) => Relation::BothInSlots,
            (false, true) => Relation::CornerInSlot,
            (true, false) => Relation::EdgeInSlot,
            (true, true) if !self.edge.iter().all(|f| self.corner.contains(f)) => Relation::Apart,
            (true, true) if self.corner[1..] == self.edge => Relation::Joined,
            (true, true) => Relation::Misjoined,
        }
    }

    /// After one turn of an outer layer.
    pub fn turned(self, turn: Turn) -> Spot {
        let q = turn.amount.quarters();
        let carry = |on: bool, f: Face| if on { f.carried(turn.face, q) } else { f };
        let (c, e) = (
            self.corner.contains(&turn.face),
            self.edge.contains(&turn.face),
        );
        Spot {
            corner: self.corner.map(|f| carry(c, f)),
            edge: self.edge.map(|f| carry(e, f)),
            home: self.home,
        }
    }

    /// After turning the whole cube about the upright axis.
    pub fn rotated(self, amount: Amount) -> Spot {
        let carry = |f: Face| f.carried(Face::U, amount.quarters());
        Spot {
            corner: self.corner.map(carry),
            edge: self.edge.map(carry),
            home: self.home.map(carry),
        }
    }

    /// After outer turns and `y` rotations. Other moves are not part of a pair's routes and leave it as it is.
    pub fn after(self, moves: &[Move]) -> Spot {
        moves.iter().fold(self, |spot, m| match *m {
            Move::Outer(turn) => spot.turned(turn),
            Move::Rotation(Axis::Y, amount) => spot.rotated(amount),
            _ => spot,
        })
    }

    /// Reflected in the plane through the front right and the back left column: how the mirrored pair of the same slot
    /// lies. The side colours change places with it, so that each keeps its centre's face.
    pub fn reflected(self) -> Spot {
        Spot {
            corner: self.corner.map(across),
            edge: self.edge.map(across),
            home: self.home.map(across),
        }
        .swapped()
    }

    /// A number below [`Spot::COUNT`], different for all spots of one order of side colours.
    pub fn index(&self) -> usize {
        let corner = self.corner_at();
        let twist = corner.faces().iter().position(|&f| f == self.corner[0]);
        let (edge, flip) = Edge::of_faces(self.edge).unwrap_or((Edge::UF, 0));
        let home = Face::U.around().iter().position(|&f| f == self.home[0]);
        let corner = corner.index() * 3 + twist.unwrap_or(0);
        let edge = edge.index() * 2 + usize::from(flip);
        (corner * 24 + edge) * 4 + home.unwrap_or(0)
    }

    pub const COUNT: usize = 24 * 24 * 4;
}

/// The face that takes a face's place in the mirror between front and right.
pub(super) fn across(face: Face) -> Face {
    match face {
        Face::F => Face::R,
        Face::R => Face::F,
        Face::B => Face::L,
        Face::L => Face::B,
        Face::U | Face::D => face,
    }
}

/// The faces that are neither up nor down.
fn upright(faces: &[Face]) -> Vec<Face> {
    let side = |f: &Face| !matches!(f, Face::U | Face::D);
    faces.iter().copied().filter(side).collect()
}
