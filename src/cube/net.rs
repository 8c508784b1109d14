//! The stickers of a cube as they are seen, in the usual unfolded net. A net need not be a legal cube.

use super::{Colour, Corner, Cube, Edge, Face, Fault, Held, Hold, net_faults};
use crate::input::printable;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::{error::Error, fmt};

/// Fifty-four stickers, held any way, with six different centres.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Net {
    /// By [`Face::index`], then row and column as seen looking straight at the face in the net.
    faces: [[[Colour; 3]; 3]; 6],
}

/// A net that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NetError {
    /// Not a JSON object.
    NotANet,
    /// A face is not there.
    FaceMissing(Face),
    /// A face is not a list of three texts.
    Rows(Face),
    /// A row, from 1, has not three letters.
    RowLength {
        face: Face,
        row: usize,
        text: String,
    },
    /// A row, from 1, has a letter that stands for no colour.
    Letter {
        face: Face,
        row: usize,
        letter: char,
    },
    /// Two faces have the same centre.
    SameCentre(Face, Face, Colour),
}

/// The order in which a net's faces are written.
const WRITTEN: [Face; 6] = [Face::U, Face::L, Face::F, Face::R, Face::B, Face::D];

impl Net {
    /// A net from its stickers by [`Face::index`], row and column.
    pub fn new(faces: [[[Colour; 3]; 3]; 6]) -> Result<Net, NetError> {
        for (i, a) in WRITTEN.into_iter().enumerate() {
            for &b in &WRITTEN[..i] {
                let centre = faces[a.index()][1][1];
                if centre == faces[b.index()][1][1] {
                    return Err(NetError::SameCentre(b, a, centre));
                }
            }
        }
        Ok(Net { faces })
    }

    /// The stickers of a cube held white up, green in front.
    pub fn of(cube: &Cube) -> Net {
        let mut net = Net {
            faces: Colour::ALL.map(|c| [[c; 3]; 3]),
        };
        for place in Corner::ALL {
            let (piece, o) = cube.corner_at(place);
            for k in 0..3 {
                let (row, column) = sticker_at(place.faces()[k], &place.faces());
                let colour = piece.colours()[(k + 3 - usize::from(o)) % 3];
                net.faces[place.faces()[k].index()][row][column] = colour;
            }
        }
        for place in Edge::ALL {
            let (piece, o) = cube.edge_at(place);
            for k in 0..2 {
                let (row, column) = sticker_at(place.faces()[k], &place.faces());
                let colour = piece.colours()[(k + usize::from(o)) % 2];
                net.faces[place.faces()[k].index()][row][column] = colour;
            }
        }
        net
    }

    /// The stickers of a cube as it is held.
    pub fn of_held(held: &Held) -> Net {
        Net::of(&held.cube).seen_through(|face| held.hold.home_face(face))
    }

    /// A face's stickers by row and column.
    pub fn face(&self, face: Face) -> [[Colour; 3]; 3] {
        self.faces[face.index()]
    }

    /// All stickers by [`Face::index`], row and column.
    pub fn faces(&self) -> &[[[Colour; 3]; 3]; 6] {
        &self.faces
    }

    /// The sticker of `face` next to the faces in `toward`: none for the centre, one for an edge, two for a corner.
    pub fn sticker(&self, face: Face, toward: &[Face]) -> Colour {
        let (row, column) = sticker_at(face, toward);
        self.faces[face.index()][row][column]
    }

    /// How the cube is held, told by its centres; none when they are not in the usual scheme.
    pub fn hold(&self) -> Option<Hold> {
        Hold::of_centres(self.faces.map(|face| face[1][1]))
    }

    /// The same cube held white up, green in front; none when its centres are not in the usual scheme.
    pub fn normalised(&self) -> Option<Net> {
        let hold = self.hold()?;
        Some(self.seen_through(|face| hold.face_in_hand(face)))
    }

    /// The state that the stickers show, however they are held, or all that is wrong with them.
    pub fn to_cube(&self) -> Result<Cube, Vec<Fault>> {
        net_faults::cube_of(self)
    }

    /// The colours at a corner place, in the order of its name.
    pub fn corner(&self, place: Corner) -> [Colour; 3] {
        place.faces().map(|face| self.sticker(face, &place.faces()))
    }

    /// The colours at an edge place, in the order of its name.
    pub fn edge(&self, place: Edge) -> [Colour; 2] {
        place.faces().map(|face| self.sticker(face, &place.faces()))
    }

    /// The net whose sticker on a face, next to others, is that of this one on the mapped face next to the mapped
    /// others. The map is a turn of the whole cube or a reflection.
    pub(super) fn seen_through(&self, map: impl Fn(Face) -> Face) -> Net {
        let mut net = *self;
        for face in Face::ALL {
            let [above, right, below, left] = face.around();
            for (row, vertical) in [&[above][..], &[], &[below]].into_iter().enumerate() {
                for (column, sideways) in [&[left][..], &[], &[right]].into_iter().enumerate() {
                    let toward: Vec<Face> =
                        vertical.iter().chain(sideways).map(|&f| map(f)).collect();
                    net.faces[face.index()][row][column] = self.sticker(map(face), &toward);
                }
            }
        }
        net
    }

    /// Reads a net from JSON.
    pub fn from_json(value: &Value) -> Result<Net, NetError> {
        let object = value.as_object().ok_or(NetError::NotANet)?;
        let mut faces = Colour::ALL.map(|c| [[c; 3]; 3]);
        for face in WRITTEN {
            let rows = object.get(face.name()).ok_or(NetError::FaceMissing(face))?;
            let rows = rows
                .as_array()
                .filter(|r| r.len() == 3)
                .ok_or(NetError::Rows(face))?;
            for (i, row) in rows.iter().enumerate() {
                let text = row.as_str().ok_or(NetError::Rows(face))?;
                faces[face.index()][i] = parse_row(face, i + 1, text)?;
            }
        }
        Net::new(faces)
    }
}

fn parse_row(face: Face, row: usize, text: &str) -> Result<[Colour; 3], NetError> {
    let colours = text
        .chars()
        .map(|letter| Colour::from_letter(letter).ok_or(NetError::Letter { face, row, letter }))
        .collect::<Result<Vec<_>, _>>()?;
    colours.try_into().map_err(|_| NetError::RowLength {
        face,
        row,
        text: text.into(),
    })
}

/// Row and column, on a face, of the sticker next to others.
pub fn sticker_at(face: Face, toward: &[Face]) -> (usize, usize) {
    let [above, right, below, left] = face.around();
    let along = |first, last| match (toward.contains(&first), toward.contains(&last)) {
        (true, _) => 0,
        (_, true) => 2,
        _ => 1,
    };
    (along(above, below), along(left, right))
}

#[derive(Serialize)]
struct Written {
    up: [String; 3],
    left: [String; 3],
    front: [String; 3],
    right: [String; 3],
    back: [String; 3],
    down: [String; 3],
}

impl Serialize for Net {
    fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        let [up, left, front, right, back, down] = WRITTEN.map(|face| {
            self.face(face)
                .map(|row| row.map(Colour::letter).iter().collect::<String>())
        });
        Written {
            up,
            left,
            front,
            right,
            back,
            down,
        }
        .serialize(s)
    }
}

impl<'de> Deserialize<'de> for Net {
    fn deserialize<D: serde::Deserializer<'de>>(d: D) -> Result<Net, D::Error> {
        Net::from_json(&Value::deserialize(d)?).map_err(serde::de::Error::custom)
    }
}

/// The cube's net as JSON, as `inspect --net` takes it.
impl fmt::Display for Cube {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let net = serde_json::to_string(&Net::of(self)).map_err(|_| fmt::Error)?;
        f.write_str(&net)
    }
}

impl fmt::Display for NetError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            NetError::NotANet => {
                write!(
                    f,
                    "not a net\na net is an object with up, left, front, right, back and down"
                )
            }
            NetError::FaceMissing(face) => {
                write!(
                    f,
                    "face \"{}\" is missing\nadd its three rows of three letters",
                    face.name()
                )
            }
            NetError::Rows(face) => {
                let name = face.name();
                write!(
                    f,
                    "face \"{name}\" is not three rows\nwrite it as three texts of three letters"
                )
            }
            NetError::RowLength { face, row, text } => {
                let (name, text) = (face.name(), printable(text));
                write!(
                    f,
                    "row {row} of face \"{name}\" is \"{text}\"\na row has three letters"
                )
            }
            NetError::Letter { face, row, letter } => {
                let (name, letter) = (face.name(), printable(&letter.to_string()));
                write!(
                    f,
                    "row {row} of face \"{name}\" has the unknown letter \"{letter}\"\nthe letters are w y r o g b"
                )
            }
            NetError::SameCentre(a, b, colour) => {
                let (a, b, colour) = (a.name(), b.name(), colour.name());
                write!(
                    f,
                    "faces \"{a}\" and \"{b}\" both have a {colour} centre\nthe six centres differ: look at both again"
                )
            }
        }
    }
}

impl Error for NetError {}
