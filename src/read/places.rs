//! Where the stickers of each place lie on the net, and what colours each way of filling a place shows there.

use crate::cube::{Corner, Cube, Edge, Face};
use std::sync::LazyLock;

/// A sticker of the net: `9 * face + 3 * row + column`, in the order of [`Face::ALL`].
pub type Cell = usize;

/// One way to fill all places, legal or not: by place, `piece * 3 + twist` and `piece * 2 + flip`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Arrangement {
    pub corners: [u8; 8],
    pub edges: [u8; 12],
}

/// Tables of places and ways.
pub struct Places {
    /// The cells of each corner place, in the order of its name.
    pub corner: [[Cell; 3]; 8],
    /// The cells of each edge place, in the order of its name.
    pub edge: [[Cell; 2]; 12],
    /// The colours (as indices) that a way shows on the cells of a corner place.
    pub corner_way: [[usize; 3]; 24],
    /// The same for an edge place.
    pub edge_way: [[usize; 2]; 24],
}

/// The tables, made once.
pub static PLACES: LazyLock<Places> = LazyLock::new(|| Places {
    corner: Corner::ALL.map(|place| {
        let f = place.faces();
        [0, 1, 2].map(|k| corner_cell(f[k], f[(k + 1) % 3], f[(k + 2) % 3]))
    }),
    edge: Edge::ALL.map(|place| {
        let [a, b] = place.faces();
        [edge_cell(a, b), edge_cell(b, a)]
    }),
    corner_way: std::array::from_fn(|way| {
        let colours = Corner::ALL[way / 3].colours();
        [0, 1, 2].map(|k| colours[(k + 3 - way % 3) % 3].index())
    }),
    edge_way: std::array::from_fn(|way| {
        let colours = Edge::ALL[way / 2].colours();
        [0, 1].map(|k| colours[(k + way % 2) % 2].index())
    }),
});

/// The side of a face that another touches: 0 top, 1 right, 2 bottom, 3 left in the net; none for the face itself
/// and the one across.
pub fn side_towards(face: Face, other: Face) -> Option<usize> {
    face.around().iter().position(|&f| f == other)
}

fn edge_cell(face: Face, other: Face) -> Cell {
    let side = side_towards(face, other).unwrap_or(0);
    9 * face.index() + [1, 5, 7, 3][side]
}

fn corner_cell(face: Face, a: Face, b: Face) -> Cell {
    let sides = [a, b].map(|f| side_towards(face, f).unwrap_or(0));
    // The corner clockwise after side `i` lies between it and the next.
    let first = match sides {
        [i, j] if (i + 1) % 4 == j => i,
        [_, j] => j,
    };
    9 * face.index() + [2, 8, 6, 0][first]
}

impl Arrangement {
    /// The pieces of a cube.
    pub fn of(cube: &Cube) -> Arrangement {
        Arrangement {
            corners: cube.corners().map(|(piece, o)| piece.index() as u8 * 3 + o),
            edges: cube.edges().map(|(piece, o)| piece.index() as u8 * 2 + o),
        }
    }

    /// The cube, when it is a legal one.
    pub fn cube(&self) -> Option<Cube> {
        Cube::from_pieces(
            self.corners
                .map(|w| (Corner::ALL[usize::from(w / 3)], w % 3)),
            self.edges.map(|w| (Edge::ALL[usize::from(w / 2)], w % 2)),
        )
        .ok()
    }

    /// The colour (as an index) of every cell.
    pub fn colours(&self) -> [usize; 54] {
        let mut colours = std::array::from_fn(|cell| cell / 9);
        for (cells, &way) in PLACES.corner.iter().zip(&self.corners) {
            for (k, &cell) in cells.iter().enumerate() {
                colours[cell] = PLACES.corner_way[usize::from(way)][k];
            }
        }
        for (cells, &way) in PLACES.edge.iter().zip(&self.edges) {
            for (k, &cell) in cells.iter().enumerate() {
                colours[cell] = PLACES.edge_way[usize::from(way)][k];
            }
        }
        colours
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cube::Net;

    #[test]
    fn colours_are_those_of_the_net() {
        for seed in 0..200 {
            let cube = Cube::random(seed);
            let arrangement = Arrangement::of(&cube);
            let net: Vec<usize> = Net::of(&cube)
                .faces()
                .iter()
                .flatten()
                .flatten()
                .map(|c| c.index())
                .collect();
            assert_eq!(arrangement.colours().to_vec(), net);
            assert_eq!(arrangement.cube(), Some(cube));
        }
    }
}
