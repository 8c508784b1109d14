//! Moves in the notation of Article 12 of the World Cube Association Regulations, with the slice turns `M E S` as the
//! trade uses them: reading, writing, counting, undoing and tidying.

use super::Face;
use crate::input::printable;
use serde::{Deserialize, Serialize};
use std::{error::Error, fmt, ops::Deref, str::FromStr};

/// How far a layer turns, clockwise as seen looking at its face.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Amount {
    /// A clockwise quarter turn.
    Quarter,
    /// A half turn.
    Half,
    /// A counter-clockwise quarter turn.
    Counter,
}

/// A turn of one outer layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Turn {
    pub face: Face,
    pub amount: Amount,
}

/// A middle layer. `M` turns as `L` does, `E` as `D`, `S` as `F`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Slice {
    M,
    E,
    S,
}

/// An axis of the whole cube. `x` turns as `R` does, `y` as `U`, `z` as `F`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Axis {
    X,
    Y,
    Z,
}

/// One move as a person makes it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Move {
    /// `R`: one outer layer.
    Outer(Turn),
    /// `Rw`: the outer layer with the middle layer beside it.
    Wide(Turn),
    /// `M`: a middle layer alone.
    Slice(Slice, Amount),
    /// `x`: the whole cube.
    Rotation(Axis, Amount),
}

/// A sequence of moves. Reads from and writes to text: `R U' F2 Rw x`.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Moves(pub Vec<Move>);

/// A move text that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MoveError {
    /// The word that is not a move.
    pub token: String,
    /// Where it starts, in characters from 1.
    pub column: usize,
    /// What is wrong with it and what would be right.
    pub reason: String,
}

impl Amount {
    /// All three.
    pub const ALL: [Amount; 3] = [Amount::Quarter, Amount::Half, Amount::Counter];

    /// Clockwise quarter turns, 1 to 3.
    pub fn quarters(self) -> usize {
        self as usize + 1
    }

    /// The amount of so many quarter turns; none when nothing is left to turn.
    pub fn of_quarters(quarters: usize) -> Option<Amount> {
        match quarters % 4 {
            0 => None,
            q => Some(Amount::ALL[q - 1]),
        }
    }

    /// The amount that undoes this one.
    pub fn inverse(self) -> Amount {
        match self {
            Amount::Quarter => Amount::Counter,
            Amount::Half => Amount::Half,
            Amount::Counter => Amount::Quarter,
        }
    }

    fn suffix(self) -> &'static str {
        ["", "2", "'"][self as usize]
    }
}

impl Turn {
    /// All eighteen: `Turn::ALL[3 * face + amount]`.
    pub const ALL: [Turn; 18] = {
        let mut all = [Turn::new(Face::U, Amount::Quarter); 18];
        let mut i = 0;
        while i < 18 {
            all[i] = Turn::new(Face::ALL[i / 3], Amount::ALL[i % 3]);
            i += 1;
        }
        all
    };

    /// A turn of `face` by `amount`.
    pub const fn new(face: Face, amount: Amount) -> Turn {
        Turn { face, amount }
    }

    /// Position in [`Turn::ALL`], 0 to 17.
    pub fn index(self) -> usize {
        3 * self.face.index() + self.amount as usize
    }

    /// The turn that undoes this one.
    pub fn inverse(self) -> Turn {
        Turn::new(self.face, self.amount.inverse())
    }
}

impl Slice {
    /// The face whose direction the slice follows.
    pub fn like(self) -> Face {
        [Face::L, Face::D, Face::F][self as usize]
    }
}

impl Axis {
    /// The face whose direction the rotation follows.
    pub fn like(self) -> Face {
        [Face::R, Face::U, Face::F][self as usize]
    }
}

impl Move {
    /// The move that undoes this one.
    pub fn inverse(self) -> Move {
        self.with_amount(self.amount().inverse())
    }

    /// How far it turns.
    pub fn amount(self) -> Amount {
        match self {
            Move::Outer(turn) | Move::Wide(turn) => turn.amount,
            Move::Slice(_, amount) | Move::Rotation(_, amount) => amount,
        }
    }

    /// The same move by another amount.
    pub fn with_amount(self, amount: Amount) -> Move {
        match self {
            Move::Outer(turn) => Move::Outer(Turn::new(turn.face, amount)),
            Move::Wide(turn) => Move::Wide(Turn::new(turn.face, amount)),
            Move::Slice(slice, _) => Move::Slice(slice, amount),
            Move::Rotation(axis, _) => Move::Rotation(axis, amount),
        }
    }

    /// Cost in the half-turn metric: 1 for an outer or wide turn, 2 for a slice turn, 0 for a rotation.
    pub fn htm(self) -> usize {
        match self {
            Move::Outer(_) | Move::Wide(_) => 1,
            Move::Slice(..) => 2,
            Move::Rotation(..) => 0,
        }
    }

    /// The move as outer-layer turns followed by a rotation of the whole cube: what it does to the pieces as seen from
    /// the centres. A slice turn is two outer turns the other way and a rotation; a wide turn is one turn of the
    /// opposite layer and a rotation. The rotation is the face it turns like, and its clockwise quarters.
    pub fn as_turns(self) -> (Vec<Turn>, Option<(Face, usize)>) {
        let q = self.amount().quarters();
        match self {
            Move::Outer(turn) => (vec![turn], None),
            Move::Wide(Turn { face, amount }) => {
                (vec![Turn::new(face.opposite(), amount)], Some((face, q)))
            }
            Move::Slice(slice, amount) => {
                let face = slice.like();
                let turns = vec![
                    Turn::new(face, amount.inverse()),
                    Turn::new(face.opposite(), amount),
                ];
                (turns, Some((face, q)))
            }
            Move::Rotation(axis, _) => (Vec::new(), Some((axis.like(), q))),
        }
    }

    /// The axis it turns about, as the one of its two faces that comes first in [`Face::ALL`].
    fn axis(self) -> usize {
        let face = match self {
            Move::Outer(turn) | Move::Wide(turn) => turn.face,
            Move::Slice(slice, _) => slice.like(),
            Move::Rotation(axis, _) => axis.like(),
        };
        face.index() % 3
    }
}

impl From<Turn> for Move {
    fn from(turn: Turn) -> Move {
        Move::Outer(turn)
    }
}

/// Turns in the half-turn metric.
pub fn htm(moves: &[Move]) -> usize {
    moves.iter().map(|m| m.htm()).sum()
}

/// Rotations of the whole cube, `y2` counting one.
pub fn rotations(moves: &[Move]) -> usize {
    moves
        .iter()
        .filter(|m| matches!(m, Move::Rotation(..)))
        .count()
}

/// The moves that undo these.
pub fn inverse(moves: &[Move]) -> Vec<Move> {
    moves.iter().rev().map(|m| m.inverse()).collect()
}

/// The same sequence with repeated turns of a layer joined (`R R` to `R2`, `R L R'` to `L`) and null ones dropped.
pub fn simplified(moves: &[Move]) -> Vec<Move> {
    let mut kept: Vec<Move> = Vec::new();
    for &next in moves {
        let mate = kept
            .iter()
            .rposition(|m| m.axis() != next.axis())
            .map_or(0, |i| i + 1);
        let same = (mate..kept.len()).find(|&i| kept[i].with_amount(next.amount()) == next);
        match same {
            None => kept.push(next),
            Some(i) => {
                let quarters = kept[i].amount().quarters() + next.amount().quarters();
                match Amount::of_quarters(quarters) {
                    Some(amount) => kept[i] = kept[i].with_amount(amount),
                    None => drop(kept.remove(i)),
                }
            }
        }
    }
    kept
}

/// Reads a sequence of moves separated by spaces. The error points at the first word that is not a move.
pub fn parse_moves(text: &str) -> Result<Vec<Move>, MoveError> {
    let mut moves = Vec::new();
    let mut word = String::new();
    for (i, c) in text.chars().chain([' ']).enumerate() {
        if !c.is_whitespace() {
            word.push(c);
        } else if !word.is_empty() {
            let column = i + 1 - word.chars().count();
            moves.push(parse_move(&word).map_err(|reason| MoveError {
                token: word.clone(),
                column,
                reason,
            })?);
            word.clear();
        }
    }
    Ok(moves)
}

fn parse_move(word: &str) -> Result<Move, String> {
    let mut rest = word.chars();
    let letter = rest.next().unwrap_or(' ');
    let mut rest = rest.as_str();
    let wide = rest.strip_prefix('w');
    rest = wide.unwrap_or(rest);
    let amount = match rest {
        "" => Amount::Quarter,
        "2" => Amount::Half,
        // The second and third marks are what phones and word processors make of an apostrophe.
        "'" | "\u{2019}" | "\u{2032}" => Amount::Counter,
        "2'" | "2\u{2019}" | "2\u{2032}" => Amount::Half,
        _ if rest.starts_with(|c| "URFDLBMESxyz".contains(c)) => {
            return Err("moves are separated by spaces".into());
        }
        _ => return Err("a move ends in nothing, ' or 2".into()),
    };
    let outer = Face::from_letter(letter);
    let lower = Face::from_letter(letter.to_ascii_uppercase());
    match (letter, outer, lower, wide) {
        (_, Some(face), _, None) => Ok(Move::Outer(Turn::new(face, amount))),
        (_, Some(face), _, Some(_)) | (_, None, Some(face), None) => {
            Ok(Move::Wide(Turn::new(face, amount)))
        }
        ('M', _, _, None) => Ok(Move::Slice(Slice::M, amount)),
        ('E', _, _, None) => Ok(Move::Slice(Slice::E, amount)),
        ('S', _, _, None) => Ok(Move::Slice(Slice::S, amount)),
        ('x', _, _, None) => Ok(Move::Rotation(Axis::X, amount)),
        ('y', _, _, None) => Ok(Move::Rotation(Axis::Y, amount)),
        ('z', _, _, None) => Ok(Move::Rotation(Axis::Z, amount)),
        ('X' | 'Y' | 'Z', _, _, None) => Err(format!(
            "rotations are small letters: {}",
            letter.to_ascii_lowercase()
        )),
        ('m' | 'e' | 's', _, _, None) => Err(format!(
            "slice turns are capitals: {}",
            letter.to_ascii_uppercase()
        )),
        (.., Some(_)) => Err("only a capital U R F D L B can be wide".into()),
        _ => Err("a move starts with one of U R F D L B, M E S or x y z".into()),
    }
}

impl fmt::Display for Turn {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "{}{}", self.face.letter(), self.amount.suffix())
    }
}

impl fmt::Display for Move {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Move::Outer(turn) => turn.fmt(f),
            Move::Wide(turn) => write!(f, "{}w{}", turn.face.letter(), turn.amount.suffix()),
            Move::Slice(slice, amount) => write!(f, "{slice:?}{}", amount.suffix()),
            Move::Rotation(axis, amount) => {
                let letter = ['x', 'y', 'z'][*axis as usize];
                write!(f, "{letter}{}", amount.suffix())
            }
        }
    }
}

impl fmt::Display for Moves {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        for (i, m) in self.0.iter().enumerate() {
            let gap = if i == 0 { "" } else { " " };
            write!(f, "{gap}{m}")?;
        }
        Ok(())
    }
}

impl FromStr for Moves {
    type Err = MoveError;
    fn from_str(text: &str) -> Result<Moves, MoveError> {
        parse_moves(text).map(Moves)
    }
}

impl TryFrom<String> for Moves {
    type Error = MoveError;
    fn try_from(text: String) -> Result<Moves, MoveError> {
        text.parse()
    }
}

impl From<Moves> for String {
    fn from(moves: Moves) -> String {
        moves.to_string()
    }
}

impl Deref for Moves {
    type Target = [Move];
    fn deref(&self) -> &[Move] {
        &self.0
    }
}

impl<M: Into<Move>> FromIterator<M> for Moves {
    fn from_iter<I: IntoIterator<Item = M>>(moves: I) -> Moves {
        Moves(moves.into_iter().map(Into::into).collect())
    }
}

impl fmt::Display for MoveError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let MoveError {
            token,
            column,
            reason,
        } = self;
        let token = printable(token);
        write!(f, "\"{token}\" at column {column} is not a move\n{reason}")
    }
}

impl Error for MoveError {}
