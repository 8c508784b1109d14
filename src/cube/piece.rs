//! Corners and edges, both as pieces and as the places where pieces sit, in Singmaster's order.
//!
//! A piece is named by its home place. Its stickers are numbered in the order of the letters of its name; a corner's
//! run counter-clockwise. A piece in a place has orientation `o` when its sticker `k` lies on the place's face
//! `(k + o) % n`, with `n` 3 for corners and 2 for edges.

use super::{Colour, Face};
use Face::*;
use std::fmt;

/// An edge piece, or the place that is its home.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[rustfmt::skip]
pub enum Edge { UF, UR, UB, UL, DF, DR, DB, DL, FR, FL, BR, BL }

/// A corner piece, or the place that is its home.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[rustfmt::skip]
pub enum Corner { UFR, URB, UBL, ULF, DRF, DFL, DLB, DBR }

#[rustfmt::skip]
const EDGE_FACES: [[Face; 2]; 12] = [
    [U, F], [U, R], [U, B], [U, L], [D, F], [D, R], [D, B], [D, L], [F, R], [F, L], [B, R], [B, L],
];
#[rustfmt::skip]
const CORNER_FACES: [[Face; 3]; 8] = [
    [U, F, R], [U, R, B], [U, B, L], [U, L, F], [D, R, F], [D, F, L], [D, L, B], [D, B, R],
];

impl Edge {
    /// All twelve, in Singmaster's order.
    #[rustfmt::skip]
    pub const ALL: [Edge; 12] = [
        Edge::UF, Edge::UR, Edge::UB, Edge::UL, Edge::DF, Edge::DR,
        Edge::DB, Edge::DL, Edge::FR, Edge::FL, Edge::BR, Edge::BL,
    ];

    /// Position in [`Edge::ALL`], 0 to 11.
    pub fn index(self) -> usize {
        self as usize
    }

    /// The faces of the place, in the order of its name.
    pub fn faces(self) -> [Face; 2] {
        EDGE_FACES[self.index()]
    }

    /// The colours of the piece, in the order of its name.
    pub fn colours(self) -> [Colour; 2] {
        self.faces().map(Face::home_colour)
    }

    /// The edge between two faces, with the orientation of a piece whose sticker 0 is on `faces[0]`.
    pub fn of_faces(faces: [Face; 2]) -> Option<(Edge, u8)> {
        Edge::ALL.into_iter().find_map(|edge| {
            let [a, b] = edge.faces();
            match faces {
                f if f == [a, b] => Some((edge, 0)),
                f if f == [b, a] => Some((edge, 1)),
                _ => None,
            }
        })
    }

    /// The edge piece with two colours, with the orientation it has when it shows them in this order on a place.
    pub fn of_colours(colours: [Colour; 2]) -> Option<(Edge, u8)> {
        Edge::of_faces(colours.map(Colour::home_face))
    }
}

impl Corner {
    /// All eight, in Singmaster's order.
    #[rustfmt::skip]
    pub const ALL: [Corner; 8] = [
        Corner::UFR, Corner::URB, Corner::UBL, Corner::ULF,
        Corner::DRF, Corner::DFL, Corner::DLB, Corner::DBR,
    ];

    /// Position in [`Corner::ALL`], 0 to 7.
    pub fn index(self) -> usize {
        self as usize
    }

    /// The faces of the place, in the order of its name.
    pub fn faces(self) -> [Face; 3] {
        CORNER_FACES[self.index()]
    }

    /// The colours of the piece, in the order of its name.
    pub fn colours(self) -> [Colour; 3] {
        self.faces().map(Face::home_colour)
    }

    /// The corner where three faces meet, with the orientation of a piece whose sticker 0 is on `faces[0]`. The
    /// faces must run counter-clockwise.
    pub fn of_faces(faces: [Face; 3]) -> Option<(Corner, u8)> {
        let [a, b, c] = faces;
        Corner::ALL
            .into_iter()
            .find_map(|corner| match corner.faces() {
                f if f == [a, b, c] => Some((corner, 0)),
                f if f == [b, c, a] => Some((corner, 2)),
                f if f == [c, a, b] => Some((corner, 1)),
                _ => None,
            })
    }

    /// The corner with three faces in any order.
    pub fn with_faces(faces: [Face; 3]) -> Option<Corner> {
        let [a, b, c] = faces;
        Corner::of_faces([a, b, c])
            .or_else(|| Corner::of_faces([a, c, b]))
            .map(|(corner, _)| corner)
    }

    /// The corner piece whose colours are these, counter-clockwise, with the orientation it has when it shows them
    /// in this order on a place.
    pub fn of_colours(colours: [Colour; 3]) -> Option<(Corner, u8)> {
        let faces = colours.map(Colour::home_face);
        // A place reads its piece's sticker (k - o), so the shift is the inverse of that of `of_faces`.
        Corner::of_faces(faces).map(|(corner, o)| (corner, (3 - o) % 3))
    }

    /// The corner piece with three colours in any order.
    pub fn with_colours(colours: [Colour; 3]) -> Option<Corner> {
        Corner::with_faces(colours.map(Colour::home_face))
    }
}

impl fmt::Display for Edge {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        self.faces()
            .iter()
            .try_for_each(|face| write!(f, "{}", face.letter()))
    }
}

impl fmt::Display for Corner {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        self.faces()
            .iter()
            .try_for_each(|face| write!(f, "{}", face.letter()))
    }
}
