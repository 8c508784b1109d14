//! Coordinates and distance tables for a cross on the down face and the pair of the front-right slot.
//!
//! A piece's whereabouts is one number below 24: `2 * place + flip` for an edge, `3 * place + twist` for a corner. A
//! cross is the whereabouts of its four edges; those of its 190,080 states get numbers in a row. A cube with another
//! cross or slot is looked at in the hold that brings them there, so one set of tables serves all.
//!
//! Every table gives a lower bound of the turns still needed (half-turn metric): searches that use them find routes
//! that are proven shortest.

use crate::cube::{Corner, Cube, Edge, Hold, Turn};
use std::sync::OnceLock;

/// States of a cross.
const CROSSES: usize = 190_080;
/// Whereabouts of one piece.
const SPOTS: usize = 24;

const CROSS_EDGES: [Edge; 4] = [Edge::DF, Edge::DR, Edge::DB, Edge::DL];
const PAIR_CORNER: Corner = Corner::DRF;
const PAIR_EDGE: Edge = Edge::FR;

/// Crosses with a piece are measured to here; those further off are known to need at least one turn more. One deeper
/// takes four times as long to build and makes no search faster.
const MEASURED: u8 = 6;

/// The whereabouts of the cross and the pair that the tables speak of.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Spots {
    pub cross: u32,
    pub corner: u8,
    pub edge: u8,
}

/// Where each turn takes a piece, and how far off crosses with pieces are.
pub struct Tables {
    edge_turned: [[u8; 18]; SPOTS],
    corner_turned: [[u8; 18]; SPOTS],
    pub cross_turned: Vec<[u32; 18]>,
    /// Turns from a cross to the solved one.
    pub cross: Vec<u8>,
    /// For each cross, how many turns are needed at least until it is solved together with the corner, by the corner's
    /// spot, and then together with the edge, by [`SPOTS`] and the edge's spot. Side by side they share a cache line.
    with_piece: Vec<[u8; 2 * SPOTS]>,
    rank: Vec<u32>,
}

impl Tables {
    /// The tables, built at first use.
    pub fn get() -> &'static Tables {
        static TABLES: OnceLock<Tables> = OnceLock::new();
        TABLES.get_or_init(Tables::build)
    }

    fn build() -> Tables {
        let mut edge_turned = [[0; 18]; SPOTS];
        let mut corner_turned = [[0; 18]; SPOTS];
        for turn in Turn::ALL {
            let turned = Cube::solved().apply(turn);
            for spot in 0..SPOTS as u8 {
                let (place, o) = turned.find_edge(Edge::ALL[usize::from(spot / 2)]);
                edge_turned[usize::from(spot)][turn.index()] = 2 * place as u8 + (o + spot) % 2;
                let (place, o) = turned.find_corner(Corner::ALL[usize::from(spot / 3)]);
                corner_turned[usize::from(spot)][turn.index()] = 3 * place as u8 + (o + spot) % 3;
            }
        }
        let (crosses, rank) = number_crosses();
        let cross_turned: Vec<[u32; 18]> = crosses
            .iter()
            .map(|edges| {
                std::array::from_fn(|t| rank[packed(edges.map(|e| edge_turned[usize::from(e)][t]))])
            })
            .collect();
        let solved = rank[packed(CROSS_EDGES.map(|e| 2 * e as u8))];
        let cross = measure(CROSSES, &[solved as usize], u8::MAX - 1, |state, to| {
            for (t, next) in cross_turned[state].iter().enumerate() {
                to[t] = *next as usize;
            }
        });
        let mut tables = Tables {
            edge_turned,
            corner_turned,
            cross_turned,
            cross,
            with_piece: Vec::new(),
            rank,
        };
        tables.with_piece = tables.measured(&[Spots {
            cross: solved,
            corner: 3 * PAIR_CORNER as u8,
            edge: 2 * PAIR_EDGE as u8,
        }]);
        tables
    }

    /// For each cross, how many turns are needed at least until it is as in one of `goals` together with the corner, and
    /// together with the edge, in the form of [`Tables::with_piece`].
    fn measured(&self, goals: &[Spots]) -> Vec<[u8; 2 * SPOTS]> {
        let measured = |turned: &[[u8; 18]; SPOTS], piece: fn(&Spots) -> u8| {
            let at = |goal: &Spots| SPOTS * goal.cross as usize + usize::from(piece(goal));
            let from: Vec<usize> = goals.iter().map(at).collect();
            measure(CROSSES * SPOTS, &from, MEASURED, |state, to| {
                let (crosses, spots) = (&self.cross_turned[state / SPOTS], &turned[state % SPOTS]);
                for t in 0..18 {
                    to[t] = SPOTS * crosses[t] as usize + usize::from(spots[t]);
                }
            })
        };
        let with_corner = measured(&self.corner_turned, |goal| goal.corner);
        let with_edge = measured(&self.edge_turned, |goal| goal.edge);
        let mut with_piece = vec![[0; 2 * SPOTS]; CROSSES];
        for (i, both) in with_piece.iter_mut().enumerate() {
            let (corners, edges) = both.split_at_mut(SPOTS);
            corners.copy_from_slice(&with_corner[SPOTS * i..][..SPOTS]);
            edges.copy_from_slice(&with_edge[SPOTS * i..][..SPOTS]);
        }
        with_piece
    }

    /// Bounds towards other goals than the solved pair.
    pub fn towards(&self, goals: &[Spots]) -> Towards {
        let pairs: Vec<usize> = goals.iter().map(Spots::pair).collect();
        let pair = measure(SPOTS * SPOTS, &pairs, u8::MAX - 1, |state, to| {
            for (t, next) in to.iter_mut().enumerate() {
                let corner = self.corner_turned[state / SPOTS][t];
                let edge = self.edge_turned[state % SPOTS][t];
                *next = SPOTS * usize::from(corner) + usize::from(edge);
            }
        });
        Towards {
            with_piece: self.measured(goals),
            pair,
        }
    }

    /// A cube's cross (the colour that is down in this hold), by number.
    pub fn cross_of(&self, cube: &Cube, hold: Hold) -> u32 {
        self.rank[packed(CROSS_EDGES.map(|edge| edge_spot(cube, hold, edge)))]
    }

    /// A cube's cross and front-right pair, as they are in this hold.
    pub fn spots(&self, cube: &Cube, hold: Hold) -> Spots {
        Spots {
            cross: self.cross_of(cube, hold),
            corner: corner_spot(cube, hold, PAIR_CORNER),
            edge: edge_spot(cube, hold, PAIR_EDGE),
        }
    }

    /// After a turn in hand, by [`Turn::index`].
    pub fn turned(&self, spots: Spots, turn: usize) -> Spots {
        Spots {
            cross: self.cross_turned[spots.cross as usize][turn],
            corner: self.corner_turned[usize::from(spots.corner)][turn],
            edge: self.edge_turned[usize::from(spots.edge)][turn],
        }
    }

    /// At least so many turns until cross and pair are solved; 0 only when they are.
    pub fn at_least(&self, spots: Spots) -> u8 {
        let bounds = &self.with_piece[spots.cross as usize];
        bounds[usize::from(spots.corner)].max(bounds[SPOTS + usize::from(spots.edge)])
    }
}

/// A pair to bring home and those to keep, each seen in its own hold.
pub type PairSpots = [Spots; 4];

impl Spots {
    /// A number below `SPOTS * SPOTS` for the two pieces of the pair.
    fn pair(&self) -> usize {
        SPOTS * usize::from(self.corner) + usize::from(self.edge)
    }
}

/// How far cross and pair are from the nearest of some goals.
pub struct Towards {
    /// As in [`Tables`].
    with_piece: Vec<[u8; 2 * SPOTS]>,
    /// Turns until corner and edge are where a goal has them, whatever the cross, by [`Spots::pair`].
    pair: Vec<u8>,
}

impl Towards {
    /// At least so many turns until cross and pair are as in a goal; 0 only when they are, if the goals have one cross.
    pub fn at_least(&self, spots: Spots) -> u8 {
        let bounds = &self.with_piece[spots.cross as usize];
        let cross = bounds[usize::from(spots.corner)].max(bounds[SPOTS + usize::from(spots.edge)]);
        cross.max(self.pair[spots.pair()])
    }
}

/// Numbers the sets of four different edges with flips: the sets by number, and the numbers by [`packed`] set.
fn number_crosses() -> (Vec<[u8; 4]>, Vec<u32>) {
    let mut crosses = Vec::with_capacity(CROSSES);
    let mut rank = vec![u32::MAX; SPOTS.pow(4)];
    for (i, slot) in rank.iter_mut().enumerate() {
        let edges = [3, 2, 1, 0].map(|place| (i / SPOTS.pow(place) % SPOTS) as u8);
        let apart = (0..4).all(|a| (0..a).all(|b| edges[a] / 2 != edges[b] / 2));
        if apart {
            *slot = crosses.len() as u32;
            crosses.push(edges);
        }
    }
    (crosses, rank)
}

fn packed(edges: [u8; 4]) -> usize {
    edges
        .into_iter()
        .fold(0, |i, spot| SPOTS * i + usize::from(spot))
}

/// Distances from the nearest of `from`, breadth first, up to `deepest`; states further off get one more than that.
fn measure(
    states: usize,
    from: &[usize],
    deepest: u8,
    neighbours: impl Fn(usize, &mut [usize; 18]),
) -> Vec<u8> {
    let mut distance = vec![deepest + 1; states];
    for &state in from {
        distance[state] = 0;
    }
    let mut frontier = from.to_vec();
    let mut to = [0; 18];
    for depth in 1..=deepest {
        let mut next = Vec::new();
        for &state in &frontier {
            neighbours(state, &mut to);
            for &t in &to {
                if distance[t] > depth {
                    distance[t] = depth;
                    next.push(t);
                }
            }
        }
        if next.is_empty() {
            break;
        }
        frontier = next;
    }
    distance
}

/// The whereabouts, in this hold, of the piece that belongs at an edge place in hand.
pub fn edge_spot(cube: &Cube, hold: Hold, in_hand: Edge) -> u8 {
    let colours = in_hand.faces().map(|face| hold.colour_at(face));
    let (piece, order) = Edge::of_colours(colours).unwrap_or((Edge::UF, 0));
    let faces = cube.edge_faces(piece);
    let faces = [0, 1].map(|k| hold.face_in_hand(faces[(k + usize::from(order)) % 2]));
    Edge::of_faces(faces).map_or(0, |(place, o)| 2 * place as u8 + o)
}

/// The whereabouts, in this hold, of the piece that belongs at a corner place in hand.
pub fn corner_spot(cube: &Cube, hold: Hold, in_hand: Corner) -> u8 {
    let colours = in_hand.faces().map(|face| hold.colour_at(face));
    let (piece, order) = Corner::of_colours(colours).unwrap_or((Corner::UFR, 0));
    let faces = cube.corner_faces(piece);
    let faces = [0, 1, 2].map(|k| hold.face_in_hand(faces[(k + 3 - usize::from(order)) % 3]));
    Corner::of_faces(faces).map_or(0, |(place, o)| 3 * place as u8 + o)
}
