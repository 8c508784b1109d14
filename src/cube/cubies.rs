//! A state as one line in Singmaster's order: each piece named by the home faces of its colours, in the order of the
//! place's faces. The solved cube is `UF UR UB UL DF DR DB DL FR FL BR BL UFR URB UBL ULF DRF DFL DLB DBR`.

use super::{Corner, Cube, Edge, Face, Fault};
use crate::input::printable;
use std::{error::Error, fmt, str::FromStr};

/// A line that is no state.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CubiesError {
    /// Not twenty pieces.
    Count(usize),
    /// The word at this position, from 1, names no piece of its kind.
    Piece { token: String, position: usize },
    /// Well-formed, but not a legal cube.
    Impossible(Vec<Fault>),
}

impl fmt::Display for Cube {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        for (i, (piece, o)) in self.edges().into_iter().enumerate() {
            let gap = if i == 0 { "" } else { " " };
            f.write_str(gap)?;
            (0..2).try_for_each(|k| letter(f, piece.faces()[(k + usize::from(o)) % 2]))?;
        }
        for (piece, o) in self.corners() {
            f.write_str(" ")?;
            (0..3).try_for_each(|k| letter(f, piece.faces()[(k + 3 - usize::from(o)) % 3]))?;
        }
        Ok(())
    }
}

fn letter(f: &mut fmt::Formatter, face: Face) -> fmt::Result {
    write!(f, "{}", face.letter())
}

impl FromStr for Cube {
    type Err = CubiesError;

    fn from_str(line: &str) -> Result<Cube, CubiesError> {
        let words: Vec<&str> = line.split_whitespace().collect();
        if words.len() != 20 {
            return Err(CubiesError::Count(words.len()));
        }
        let faces = |i: usize| -> Option<Vec<_>> {
            words[i]
                .chars()
                .map(|c| Face::from_letter(c).map(Face::home_colour))
                .collect()
        };
        let unknown = |i: usize| CubiesError::Piece {
            token: words[i].into(),
            position: i + 1,
        };
        let mut edges = [(Edge::UF, 0); 12];
        for (i, edge) in edges.iter_mut().enumerate() {
            let colours = faces(i).and_then(|f| f.try_into().ok());
            *edge = colours
                .and_then(Edge::of_colours)
                .ok_or_else(|| unknown(i))?;
        }
        let mut corners = [(Corner::UFR, 0); 8];
        for (i, corner) in corners.iter_mut().enumerate() {
            let colours = faces(12 + i).and_then(|f| f.try_into().ok());
            *corner = colours
                .and_then(Corner::of_colours)
                .ok_or_else(|| unknown(12 + i))?;
        }
        Cube::from_pieces(corners, edges).map_err(CubiesError::Impossible)
    }
}

impl fmt::Display for CubiesError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            CubiesError::Count(n) => {
                write!(
                    f,
                    "{n} pieces instead of 20\nname twelve edges, then eight corners, with spaces between"
                )
            }
            CubiesError::Piece { token, position } => {
                let kind = if *position <= 12 { "edge" } else { "corner" };
                let token = printable(token);
                write!(
                    f,
                    "\"{token}\" at position {position} is no {kind} of the cube\nname it by its home faces, as UF or UFR"
                )
            }
            CubiesError::Impossible(faults) => {
                write!(f, "not a legal cube")?;
                faults
                    .iter()
                    .try_for_each(|fault| write!(f, "\n{}: {}", fault.say, fault.repair))
            }
        }
    }
}

impl Error for CubiesError {}
