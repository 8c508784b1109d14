//! How the cube is held: one of 24 orientations of the whole, and what moves made from a hold do.

use super::{Colour, Corner, Cube, Edge, Face, Move, Turn};
use serde::{Deserialize, Serialize};

/// One of the 24 ways to hold a cube, told by the centres.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Hold {
    /// The centre colour at each face in hand, by [`Face::index`].
    centres: [Colour; 6],
}

/// A cube in hand: its state, and how it is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Held {
    pub cube: Cube,
    pub hold: Hold,
}

/// The two colours that tell a hold, as JSON has it.
#[derive(Serialize, Deserialize)]
struct DownFront {
    down: Colour,
    front: Colour,
}

impl Hold {
    /// White up, green in front: the scrambling orientation of the World Cube Association.
    pub const HOME: Hold = Hold {
        centres: Colour::ALL,
    };

    /// The hold with these colours down and in front; none when they are equal or opposite.
    pub fn new(down: Colour, front: Colour) -> Option<Hold> {
        Hold::all().find(|h| h.colour_at(Face::D) == down && h.colour_at(Face::F) == front)
    }

    /// All 24.
    pub fn all() -> impl Iterator<Item = Hold> {
        // Each colour brought on top, then the four turns about the upright axis.
        let tops = [
            (Face::R, 0),
            (Face::R, 1),
            (Face::R, 2),
            (Face::R, 3),
            (Face::F, 1),
            (Face::F, 3),
        ];
        tops.into_iter().flat_map(|(axis, quarters)| {
            let top = Hold::HOME.rotated(axis, quarters);
            (0..4).map(move |q| top.rotated(Face::U, q))
        })
    }

    /// The hold whose centres, by [`Face::index`], are these; none when no turn of the usual scheme gives them.
    pub fn of_centres(centres: [Colour; 6]) -> Option<Hold> {
        Hold::all().find(|h| h.centres == centres)
    }

    /// The hold after turning the whole cube clockwise, looking at the face `axis`, by so many quarter turns.
    pub fn rotated(self, axis: Face, quarters: usize) -> Hold {
        let mut centres = self.centres;
        for face in Face::ALL {
            centres[face.carried(axis, quarters).index()] = self.colour_at(face);
        }
        Hold { centres }
    }

    /// The centre colour at a face in hand.
    pub fn colour_at(self, face: Face) -> Colour {
        self.centres[face.index()]
    }

    /// The face in hand that has this centre.
    pub fn face_at(self, colour: Colour) -> Face {
        Face::ALL[self.centres.iter().position(|&c| c == colour).unwrap_or(0)]
    }

    /// The colour of the down centre.
    pub fn down(self) -> Colour {
        self.colour_at(Face::D)
    }

    /// The colour of the front centre.
    pub fn front(self) -> Colour {
        self.colour_at(Face::F)
    }

    /// The home face that is at a face in hand.
    pub fn home_face(self, in_hand: Face) -> Face {
        self.colour_at(in_hand).home_face()
    }

    /// The face in hand at which a home face is.
    pub fn face_in_hand(self, home: Face) -> Face {
        self.face_at(home.home_colour())
    }

    /// The place in hand at which a home place is.
    pub fn corner_in_hand(self, home: Corner) -> Corner {
        place_corner(home, |f| self.face_in_hand(f))
    }

    /// The home place that is at a place in hand.
    pub fn corner_at_home(self, in_hand: Corner) -> Corner {
        place_corner(in_hand, |f| self.home_face(f))
    }

    /// The place in hand at which a home place is.
    pub fn edge_in_hand(self, home: Edge) -> Edge {
        place_edge(home, |f| self.face_in_hand(f))
    }

    /// The home place that is at a place in hand.
    pub fn edge_at_home(self, in_hand: Edge) -> Edge {
        place_edge(in_hand, |f| self.home_face(f))
    }

    /// A turn made in this hold, as a turn in the home orientation.
    pub fn turn_at_home(self, in_hand: Turn) -> Turn {
        Turn::new(self.home_face(in_hand.face), in_hand.amount)
    }

    /// A turn in the home orientation, as it is made in this hold.
    pub fn turn_in_hand(self, home: Turn) -> Turn {
        Turn::new(self.face_in_hand(home.face), home.amount)
    }

    /// Turns moves made from this hold into home turns of outer layers, and gives the hold they end in.
    pub fn follow(self, moves: &[Move]) -> (Vec<Turn>, Hold) {
        let mut home = Vec::with_capacity(moves.len());
        let mut hold = self;
        for m in moves {
            let (turns, rotation) = m.as_turns();
            home.extend(turns.into_iter().map(|t| hold.turn_at_home(t)));
            if let Some((axis, quarters)) = rotation {
                hold = hold.rotated(axis, quarters);
            }
        }
        (home, hold)
    }
}

// A hold carries places to places, so there is always an answer; the place itself stands in for none.
fn place_corner(place: Corner, map: impl Fn(Face) -> Face) -> Corner {
    Corner::with_faces(place.faces().map(map)).unwrap_or(place)
}

fn place_edge(place: Edge, map: impl Fn(Face) -> Face) -> Edge {
    Edge::of_faces(place.faces().map(map)).map_or(place, |(edge, _)| edge)
}

impl Default for Hold {
    fn default() -> Hold {
        Hold::HOME
    }
}

impl Serialize for Hold {
    fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        DownFront {
            down: self.down(),
            front: self.front(),
        }
        .serialize(s)
    }
}

impl<'de> Deserialize<'de> for Hold {
    fn deserialize<D: serde::Deserializer<'de>>(d: D) -> Result<Hold, D::Error> {
        let DownFront { down, front } = DownFront::deserialize(d)?;
        Hold::new(down, front).ok_or_else(|| {
            let (down, front) = (down.name(), front.name());
            serde::de::Error::custom(format!(
                "{down} down and {front} in front cannot be held at once"
            ))
        })
    }
}

impl Held {
    /// The cube held white up, green in front.
    pub fn home(cube: Cube) -> Held {
        Held {
            cube,
            hold: Hold::HOME,
        }
    }

    /// After one move of any kind. A slice or wide turn moves the centres, so it changes the hold.
    pub fn apply(self, m: &Move) -> Held {
        self.after(std::slice::from_ref(m))
    }

    /// After a sequence of moves.
    pub fn after(self, moves: &[Move]) -> Held {
        let (turns, hold) = self.hold.follow(moves);
        let cube = turns.into_iter().fold(self.cube, Cube::apply);
        Held { cube, hold }
    }
}
