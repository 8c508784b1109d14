//! The six colours and the six faces, in the home orientation: white up, green in front, red right.

use serde::{Deserialize, Serialize};

/// A sticker's colour, by its home face in the usual scheme.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Colour {
    White,
    Red,
    Green,
    Yellow,
    Orange,
    Blue,
}

/// A side of the cube as it is held. In the home orientation face `F` shows `F.home_colour()`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Face {
    U,
    R,
    F,
    D,
    L,
    B,
}

impl Colour {
    /// All six, in the order of [`Face::ALL`]: `Colour::ALL[i]` is at home on `Face::ALL[i]`.
    pub const ALL: [Colour; 6] = [
        Colour::White,
        Colour::Red,
        Colour::Green,
        Colour::Yellow,
        Colour::Orange,
        Colour::Blue,
    ];

    /// Position in [`Colour::ALL`], 0 to 5.
    pub fn index(self) -> usize {
        self as usize
    }

    /// The letter used in nets: `w r g y o b`.
    pub fn letter(self) -> char {
        ['w', 'r', 'g', 'y', 'o', 'b'][self.index()]
    }

    /// The colour of a net letter, in either case.
    pub fn from_letter(letter: char) -> Option<Colour> {
        let letter = letter.to_ascii_lowercase();
        Colour::ALL.into_iter().find(|c| c.letter() == letter)
    }

    /// The English name, lower case.
    pub fn name(self) -> &'static str {
        ["white", "red", "green", "yellow", "orange", "blue"][self.index()]
    }

    /// The face that this colour's centre sits on in the home orientation.
    pub fn home_face(self) -> Face {
        Face::ALL[self.index()]
    }

    /// The colour of the opposite centre.
    pub fn opposite(self) -> Colour {
        Colour::ALL[(self.index() + 3) % 6]
    }
}

impl Face {
    /// All six; opposite faces are three apart.
    pub const ALL: [Face; 6] = [Face::U, Face::R, Face::F, Face::D, Face::L, Face::B];

    /// Position in [`Face::ALL`], 0 to 5.
    pub fn index(self) -> usize {
        self as usize
    }

    /// The face across the cube.
    pub fn opposite(self) -> Face {
        Face::ALL[(self.index() + 3) % 6]
    }

    /// The colour whose centre is here in the home orientation.
    pub fn home_colour(self) -> Colour {
        Colour::ALL[self.index()]
    }

    /// The four faces around this one, clockwise as seen looking straight at it, starting with the one above it in
    /// the usual unfolded net.
    pub fn around(self) -> [Face; 4] {
        use Face::*;
        match self {
            U => [B, R, F, L],
            R => [U, B, D, F],
            F => [U, R, D, L],
            D => [F, R, B, L],
            L => [U, F, D, B],
            B => [U, L, D, R],
        }
    }

    /// Where this face goes when the whole cube is turned clockwise, looking at `axis`, by `quarters` quarter turns.
    pub fn carried(self, axis: Face, quarters: usize) -> Face {
        let ring = axis.around();
        match ring.iter().position(|&f| f == self) {
            Some(i) => ring[(i + quarters) % 4],
            None => self,
        }
    }

    /// The face's letter in move and piece names.
    pub fn letter(self) -> char {
        ['U', 'R', 'F', 'D', 'L', 'B'][self.index()]
    }

    /// The face of a capital letter.
    pub fn from_letter(letter: char) -> Option<Face> {
        Face::ALL.into_iter().find(|f| f.letter() == letter)
    }

    /// The name used in nets: `up right front down left back`.
    pub fn name(self) -> &'static str {
        ["up", "right", "front", "down", "left", "back"][self.index()]
    }
}
