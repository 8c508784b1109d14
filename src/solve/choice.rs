//! Which cross to speak of when nobody has said.

use super::{cross_solved, pairs_solved};
use crate::cube::{Colour, Cube};

/// The solved cross with most pairs solved, the first in [`Colour::ALL`] among equals; white where none is solved.
pub fn usual_cross(cube: &Cube) -> Colour {
    Colour::ALL
        .into_iter()
        .filter(|colour| cross_solved(cube, *colour))
        .rev()
        .max_by_key(|colour| pairs_solved(cube, *colour).len())
        .unwrap_or(Colour::White)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cube::parse_moves;

    fn after(moves: &str) -> Cube {
        Cube::solved().after(&parse_moves(moves).expect("a legal sequence"))
    }

    #[test]
    fn a_solved_cross_is_found_whatever_its_colour() {
        assert_eq!(usual_cross(&Cube::solved()), Colour::White);
        assert_eq!(usual_cross(&after("R U R' U'")), Colour::Yellow);
        assert_eq!(usual_cross(&after("R D R' D'")), Colour::White);
        assert_eq!(
            usual_cross(&after("R U F D L B R U F D L B")),
            Colour::White
        );
    }
}
