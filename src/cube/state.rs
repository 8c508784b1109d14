//! The state of a cube, always a legal one: which piece sits where, and which way round.

use super::{Corner, Edge, Face, Fault, Held, Move, Turn, faults};
use std::sync::LazyLock;

/// A legal state, seen from the centres in the home orientation (white up, green in front).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Cube {
    // By place: the index of the piece there, and its orientation as `piece.rs` defines it.
    corner: [u8; 8],
    twist: [u8; 8],
    edge: [u8; 12],
    flip: [u8; 12],
}

static TURNED: LazyLock<[Cube; 18]> = LazyLock::new(|| Turn::ALL.map(solved_and_turned));

impl Cube {
    /// Every piece at home.
    pub const fn solved() -> Cube {
        Cube {
            corner: [0, 1, 2, 3, 4, 5, 6, 7],
            twist: [0; 8],
            edge: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11],
            flip: [0; 12],
        }
    }

    /// A state from the piece at each place, with its orientation (taken modulo 3 and 2). All that keeps it from
    /// being legal is listed.
    pub fn from_pieces(
        corners: [(Corner, u8); 8],
        edges: [(Edge, u8); 12],
    ) -> Result<Cube, Vec<Fault>> {
        let cube = Cube {
            corner: corners.map(|(piece, _)| piece as u8),
            twist: corners.map(|(_, o)| o % 3),
            edge: edges.map(|(piece, _)| piece as u8),
            flip: edges.map(|(_, o)| o % 2),
        };
        let found = faults::of_pieces(&cube.corners(), &cube.edges());
        if found.is_empty() {
            Ok(cube)
        } else {
            Err(found)
        }
    }

    /// The piece at a corner place, with its orientation.
    pub fn corner_at(&self, place: Corner) -> (Corner, u8) {
        let i = place.index();
        (Corner::ALL[usize::from(self.corner[i])], self.twist[i])
    }

    /// The piece at an edge place, with its orientation.
    pub fn edge_at(&self, place: Edge) -> (Edge, u8) {
        let i = place.index();
        (Edge::ALL[usize::from(self.edge[i])], self.flip[i])
    }

    /// The piece and orientation at every corner place.
    pub fn corners(&self) -> [(Corner, u8); 8] {
        Corner::ALL.map(|place| self.corner_at(place))
    }

    /// The piece and orientation at every edge place.
    pub fn edges(&self) -> [(Edge, u8); 12] {
        Edge::ALL.map(|place| self.edge_at(place))
    }

    /// Where a corner piece is, with its orientation there.
    pub fn find_corner(&self, piece: Corner) -> (Corner, u8) {
        let i = self
            .corner
            .iter()
            .position(|&p| p == piece as u8)
            .unwrap_or(0);
        (Corner::ALL[i], self.twist[i])
    }

    /// Where an edge piece is, with its orientation there.
    pub fn find_edge(&self, piece: Edge) -> (Edge, u8) {
        let i = self
            .edge
            .iter()
            .position(|&p| p == piece as u8)
            .unwrap_or(0);
        (Edge::ALL[i], self.flip[i])
    }

    /// The faces on which a corner piece shows its stickers, in the order of its name.
    pub fn corner_faces(&self, piece: Corner) -> [Face; 3] {
        let (place, o) = self.find_corner(piece);
        let faces = place.faces();
        [0, 1, 2].map(|k| faces[(k + usize::from(o)) % 3])
    }

    /// The faces on which an edge piece shows its stickers, in the order of its name.
    pub fn edge_faces(&self, piece: Edge) -> [Face; 2] {
        let (place, o) = self.find_edge(piece);
        let faces = place.faces();
        [0, 1].map(|k| faces[(k + usize::from(o)) % 2])
    }

    /// After a turn of an outer layer.
    pub fn apply(self, turn: Turn) -> Cube {
        self.compose(&TURNED[turn.index()])
    }

    /// After moves made from the home orientation. How it is held then is forgotten; see [`Held::after`].
    pub fn after(self, moves: &[Move]) -> Cube {
        Held::home(self).after(moves).cube
    }

    /// This state with what was done to a solved cube to reach `then` done to it.
    pub fn compose(&self, then: &Cube) -> Cube {
        let mut to = Cube::solved();
        for i in 0..8 {
            let from = usize::from(then.corner[i]);
            to.corner[i] = self.corner[from];
            to.twist[i] = (self.twist[from] + then.twist[i]) % 3;
        }
        for i in 0..12 {
            let from = usize::from(then.edge[i]);
            to.edge[i] = self.edge[from];
            to.flip[i] = self.flip[from] ^ then.flip[i];
        }
        to
    }

    /// What undoes this state: composed with it either way round it gives the solved cube.
    pub fn inverse(&self) -> Cube {
        let mut to = Cube::solved();
        for i in 0..8 {
            let piece = usize::from(self.corner[i]);
            to.corner[piece] = i as u8;
            to.twist[piece] = (3 - self.twist[i]) % 3;
        }
        for i in 0..12 {
            let piece = usize::from(self.edge[i]);
            to.edge[piece] = i as u8;
            to.flip[piece] = self.flip[i];
        }
        to
    }

    /// A state drawn evenly from all; the same seed gives the same state.
    pub fn random(seed: u64) -> Cube {
        let mut state = seed;
        let mut below = |n: usize| (next_random(&mut state) % n as u64) as usize;
        let mut cube = Cube::solved();
        for i in (1..8).rev() {
            cube.corner.swap(i, below(i + 1));
        }
        for i in (1..12).rev() {
            cube.edge.swap(i, below(i + 1));
        }
        if faults::is_odd(&cube.corner) != faults::is_odd(&cube.edge) {
            cube.edge.swap(0, 1);
        }
        for i in 1..8 {
            cube.twist[i] = below(3) as u8;
        }
        for i in 1..12 {
            cube.flip[i] = below(2) as u8;
        }
        cube.twist[0] = (21 - cube.twist.iter().sum::<u8>()) % 3;
        cube.flip[0] = cube.flip.iter().sum::<u8>() % 2;
        cube
    }
}

impl Default for Cube {
    fn default() -> Cube {
        Cube::solved()
    }
}

/// Steele, Lea and Flood's SplitMix64 (2014).
fn next_random(state: &mut u64) -> u64 {
    *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let mut z = *state;
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

fn solved_and_turned(turn: Turn) -> Cube {
    let q = turn.amount.quarters();
    let mut cube = Cube::solved();
    for piece in Corner::ALL
        .into_iter()
        .filter(|c| c.faces().contains(&turn.face))
    {
        let faces = piece.faces().map(|f| f.carried(turn.face, q));
        if let Some((place, o)) = Corner::of_faces(faces) {
            cube.corner[place.index()] = piece as u8;
            cube.twist[place.index()] = o;
        }
    }
    for piece in Edge::ALL
        .into_iter()
        .filter(|e| e.faces().contains(&turn.face))
    {
        let faces = piece.faces().map(|f| f.carried(turn.face, q));
        if let Some((place, o)) = Edge::of_faces(faces) {
            cube.edge[place.index()] = piece as u8;
            cube.flip[place.index()] = o;
        }
    }
    cube
}
