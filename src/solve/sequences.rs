//! Sequences for the last layer, as learners of the trade know them (common practice, no source). Each keeps the
//! first two layers and ends in the hold it starts from; `tests/last_layer.rs` proves that they serve every case.

use crate::cube::{Move, parse_moves};

/// A sequence and the name of the case that it is for.
pub struct Known {
    pub name: &'static str,
    pub moves: &'static str,
}

impl Known {
    pub fn parsed(&self) -> Vec<Move> {
        parse_moves(self.moves).unwrap_or_default()
    }
}

const fn known(name: &'static str, moves: &'static str) -> Known {
    Known { name, moves }
}

/// Turn the edges' top colour up: three cases.
pub const TURN_EDGES: &[Known] = &[
    known("line", "F R U R' U' F'"),
    known("bent line", "F U R U' R' F'"),
    known("dot", "F R U R' U' F' Fw R U R' U' Fw'"),
];

/// With the edges so, turn the corners' top colour up: seven cases.
pub const TURN_CORNERS: &[Known] = &[
    known("one corner up, Sune", "R U R' U R U2 R'"),
    known("one corner up, anti-Sune", "R U2 R' U' R U' R'"),
    known("no corner up, H", "R U R' U R U' R' U R U2 R'"),
    known("no corner up, Pi", "R U2 R2 U' R2 U' R2 U2 R"),
    known("two corners up, headlights", "R2 D' R U2 R' D R U2 R"),
    known("two corners up, T", "Rw U R' U' Rw' F R F'"),
    known("two corners up, bow tie", "F' Rw U R' U' Rw' F R"),
];

/// With the top colour up everywhere, bring the corners to their places: two cases.
pub const PLACE_CORNERS: &[Known] = &[
    known("T", "R U R' U' R' F R2 U' R' U' R U R' F'"),
    known("Y", "F R U' R' U' R U R' F' R U R' U' R' F R F'"),
];

/// Last, bring the edges to their places: four cases.
pub const PLACE_EDGES: &[Known] = &[
    known("Ua", "R U' R U R U R U' R' U' R2"),
    known("Ub", "R2 U R U R' U' R' U' R' U R'"),
    known("H", "M2 U M2 U2 M2 U M2"),
    known("Z", "M' U M2 U M2 U M' U2 M2"),
];

/// Turn the whole top colour up at once, beside the cases of [`TURN_CORNERS`].
pub const TURN_ALL: &[Known] = &[
    known("dot", "R U2 R2 F R F' U2 R' F R F'"),
    known("dot", "F R U R' U' F' Fw R U R' U' Fw'"),
    known("dot", "Fw R U R' U' Fw' U' F R U R' U' F'"),
    known("dot", "Fw R U R' U' Fw' U F R U R' U' F'"),
    known("square", "Rw' U2 R U R' U Rw"),
    known("square", "Rw U2 R' U' R U' Rw'"),
    known("small lightning", "Rw U R' U R U2 Rw'"),
    known("small lightning", "Rw' U' R U' R' U2 Rw"),
    known("fish", "R U R' U' R' F R2 U R' U' F'"),
    known("fish", "R U R' U R' F R F' R U2 R'"),
    known("small lightning", "Rw U R' U R' F R F' R U2 Rw'"),
    known("small lightning", "F R U R' U' F' U F R U R' U' F'"),
    known("knight", "F U R U' R2 F' R U R U' R'"),
    known("knight", "R' F R U R' F' R F U' F'"),
    known("knight", "Rw' U' Rw R' U' R U Rw' U Rw"),
    known("knight", "Rw U Rw' R U R' U' Rw U' Rw'"),
    known("dot", "R U R' U R' F R F' U2 R' F R F'"),
    known("dot", "Rw U R' U R U2 Rw2 U' R U' R' U2 Rw"),
    known("dot", "M U R U R' U' M' R' F R F'"),
    known("dot", "Rw U R' U' M2 U R U' R' U' M'"),
    known("all corners up", "Rw U R' U' M U R U' R'"),
    known("awkward", "R U R' U' R U' R' F' U' F R U R'"),
    known("awkward", "F R' F R2 U' R' U' R U R' F2"),
    known("P", "R' U' F U R U' R' F' R"),
    known("P", "L U F' U' L' U L F L'"),
    known("T", "R U R' U' R' F R F'"),
    known("C", "R U R2 U' R' F R U R U' F'"),
    known("fish", "R U2 R2 F R F' R U2 R'"),
    known("W", "L' U' L U' L' U L U L F' L' F"),
    known("fish", "F R U' R' U' R U R' F'"),
    known("W", "R U R' U R U' R' U' R' F R F'"),
    known("big lightning", "L F' L' U' L U F U' L'"),
    known("big lightning", "R' F R U R' U' F' U R"),
    known("awkward", "R U R' U R U2 R' F R U R' U' F'"),
    known("awkward", "R' U' R U' R' U2 R F R U R' U' F'"),
    known("P", "F' U' L' U L F"),
    known("P", "F U R U' R' F'"),
    known("T", "F R U R' U' F'"),
    known("C", "R' U' R' F R F' U R"),
    known("small L", "R' U' R' F R F' R' F R F' U R"),
    known("small L", "F R U R' U' R U R' U' F'"),
    known("small L", "Rw U' Rw2 U Rw2 U Rw2 U' Rw"),
    known("small L", "Rw' U Rw2 U' Rw2 U' Rw2 U Rw'"),
    known("line", "F U R U' R' U R U' R' F'"),
    known("line", "R' F' U' F U' R U R' U R"),
    known("small L", "Rw' U' R U' R' U R U' R' U2 Rw"),
    known("small L", "Rw U R' U R U' R' U R U2 Rw'"),
    known("line", "R U2 R2 U' R U' R' U2 F R F'"),
    known("line", "Rw U Rw' U R U' R' U R U' R' Rw U' Rw'"),
    known("all corners up", "R U R' U' M' U R U' Rw'"),
];

/// Bring all pieces to their places at once, beside [`PLACE_CORNERS`] and [`PLACE_EDGES`].
pub const PLACE_ALL: &[Known] = &[
    known("Aa", "x R' U R' D2 R U' R' D2 R2 x'"),
    known("Ab", "x R2 D2 R U R' D2 R U' R x'"),
    known("E", "x' R U' R' D R U R' D' R U R' D R U' R' D' x"),
    known("F", "R' U' F' R U R' U' R' F R2 U' R' U' R U R' U R"),
    known("Ga", "R2 U R' U R' U' R U' R2 U' D R' U R D'"),
    known("Gb", "R' U' R U D' R2 U R' U R U' R U' R2 D"),
    known("Gc", "R2 U' R U' R U R' U R2 U D' R U' R' D"),
    known("Gd", "R U R' U' D R2 U' R U' R' U R' U R2 D'"),
    known("Ja", "L' U' L F L' U' L U L F' L2 U L"),
    known("Jb", "R U R' F' R U R' U' R' F R2 U' R'"),
    known(
        "Na",
        "R U R' U R U R' F' R U R' U' R' F R2 U' R' U2 R U' R'",
    ),
    known("Nb", "R' U R U' R' F' U' F R U R' F R' F' R U' R"),
    known("Ra", "R U' R' U' R U R D R' U' R D' R' U2 R'"),
    known("Rb", "R2 F R U R U' R' F' R U2 R' U2 R"),
    known("V", "R' U R' U' R D' R' D R' U D' R2 U' R2 D R2"),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cube::{Corner, Cube, Edge, Hold};
    use std::collections::BTreeSet;

    fn all() -> impl Iterator<Item = &'static Known> {
        [
            TURN_EDGES,
            TURN_CORNERS,
            PLACE_CORNERS,
            PLACE_EDGES,
            TURN_ALL,
            PLACE_ALL,
        ]
        .into_iter()
        .flatten()
    }

    #[test]
    fn every_sequence_keeps_the_first_two_layers_and_the_hold() {
        for known in all() {
            let moves = parse_moves(known.moves).unwrap();
            assert_eq!(Hold::HOME.follow(&moves).1, Hold::HOME, "{}", known.moves);
            let done = Cube::solved().after(&moves);
            assert!(
                (4..8).all(|i| done.corners()[i] == (Corner::ALL[i], 0)),
                "{}",
                known.moves
            );
            assert!(
                (4..12).all(|i| done.edges()[i] == (Edge::ALL[i], 0)),
                "{}",
                known.moves
            );
        }
    }

    /// What the top shows before a sequence that turns it all up: for each corner and edge how it is turned, from the
    /// side that gives the least list, so that it is the same for the four ways to look at it.
    fn pattern(known: &Known) -> Vec<u8> {
        let before = Cube::solved().after(&known.parsed()).inverse();
        let side = |first: usize| {
            (0..4).flat_map(move |i| {
                let at = (first + i) % 4;
                [before.corners()[at].1, before.edges()[at].1]
            })
        };
        (0..4)
            .map(|first| side(first).collect::<Vec<u8>>())
            .min()
            .unwrap()
    }

    /// 3^3 * 2^3 = 216 ways for the top to be turned are 58 patterns when looked at from all sides, the turned one
    /// among them.
    #[test]
    fn there_is_one_sequence_for_each_pattern_of_the_top() {
        let patterns: BTreeSet<Vec<u8>> =
            TURN_CORNERS.iter().chain(TURN_ALL).map(pattern).collect();
        assert_eq!(patterns.len(), 57);
        assert_eq!(TURN_CORNERS.len() + TURN_ALL.len(), 57);
        for known in TURN_ALL {
            let shape = pattern(known);
            let flipped: Vec<bool> = (0..4).map(|i| shape[2 * i + 1] == 1).collect();
            let count = flipped.iter().filter(|f| **f).count();
            let opposite = flipped[0] == flipped[2] && flipped[1] == flipped[3];
            assert_eq!(known.name == "dot", count == 4, "{}", known.moves);
            assert_eq!(
                known.name == "all corners up",
                count < 4 && (0..4).all(|i| shape[2 * i] == 0),
                "{}",
                known.moves
            );
            match known.name {
                "line" | "T" | "C" | "big lightning" | "knight" => {
                    assert!(opposite, "{}", known.moves)
                }
                "small L" | "P" | "W" | "fish" | "square" | "small lightning" | "awkward" => {
                    assert!(!opposite, "{}", known.moves)
                }
                _ => {}
            }
        }
    }
}
