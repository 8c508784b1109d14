//! The last layer as its pieces lie, and what the known sequences do to it.

use super::sequences::*;
use super::slot::{SlotSet, cross_solved, pairs_solved};
use super::tables::{corner_spot, edge_spot};
use crate::cube::{Amount, Axis, Corner, Cube, Edge, Face, Held, Move, Turn, htm, rotations};
use std::sync::OnceLock;

/// What one look at the last layer brings about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum LookGoal {
    /// The edges show the top colour on top.
    EdgesTurned,
    /// The corners do too: the top is one colour.
    CornersTurned,
    /// The corners are in their places, but for a turn of the layer.
    CornersPlaced,
    /// The edges are too.
    EdgesPlaced,
    /// The layer is turned to fit the rest.
    Aligned,
}

/// A last layer. Whereabouts are as in the tables: `3 * place + twist`, `2 * place + flip`, places 0 to 3.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Top {
    corners: [u8; 4],
    edges: [u8; 4],
}

/// A sequence, and where it takes the pieces of the last layer from each whereabouts.
pub struct Ready {
    pub name: &'static str,
    moves: Vec<Move>,
    turns: usize,
    corner_to: [u8; 12],
    edge_to: [u8; 8],
}

/// All known sequences, ready for use.
pub struct Book {
    pub looks: [(LookGoal, Vec<Ready>); 4],
    pub turn_all: Vec<Ready>,
    pub place_all: Vec<Ready>,
}

/// A sequence with what goes before it.
#[derive(Clone, Copy)]
pub struct Execution {
    /// Quarter turns of the top layer before it.
    top: usize,
    /// Quarter turns of the whole cube before it.
    whole: usize,
    pub sequence: &'static Ready,
}

/// Each sequence after a turn of the layer or of the cube.
pub fn executions(sequences: &'static [Ready]) -> impl Iterator<Item = Execution> {
    let before = (0..4)
        .map(|top| (top, 0))
        .chain((1..4).map(|whole| (0, whole)));
    before.flat_map(move |(top, whole)| {
        sequences.iter().map(move |sequence| Execution {
            top,
            whole,
            sequence,
        })
    })
}

/// The move that turns the top so far, if it must turn.
pub fn turn_top(quarters: usize) -> Option<Move> {
    let amount = Amount::of_quarters(quarters);
    amount.map(|amount| Move::Outer(Turn::new(Face::U, amount)))
}

/// A spot with its place moved on around the layer.
fn moved_on(spot: u8, sides: u8, places: usize) -> u8 {
    (spot + sides * (places % 4) as u8) % (4 * sides)
}

impl Execution {
    /// Its cost in the half-turn metric.
    pub fn turns(&self) -> usize {
        self.sequence.turns + usize::from(self.top != 0)
    }

    /// Turns of the whole cube in it.
    pub fn rotations(&self) -> usize {
        usize::from(self.whole != 0) + rotations(&self.sequence.moves)
    }

    /// Its moves, from the hold it is made in.
    pub fn moves(&self) -> Vec<Move> {
        let whole = Amount::of_quarters(self.whole).map(|amount| Move::Rotation(Axis::Y, amount));
        let before = turn_top(self.top).into_iter().chain(whole);
        before.chain(self.sequence.moves.iter().copied()).collect()
    }

    /// The layer after it, and the angle of the hold. The layer is always seen from the first hold; at angle `a` the
    /// hold has been turned by `a` quarters of `y`.
    pub fn applied(&self, top: Top, angle: usize) -> (Top, usize) {
        let angle = (angle + self.whole) % 4;
        let Ready {
            corner_to, edge_to, ..
        } = self.sequence;
        // `U` and `y` carry each place to the one before it.
        let before = 8 - self.top - angle;
        let through = |spot: u8, sides: u8, to: &[u8]| {
            moved_on(to[usize::from(moved_on(spot, sides, before))], sides, angle)
        };
        let top = Top {
            corners: top.corners.map(|spot| through(spot, 3, corner_to)),
            edges: top.edges.map(|spot| through(spot, 2, edge_to)),
        };
        (top, angle)
    }
}

impl Top {
    /// Different [`Top::turning`]s lie below this.
    pub const TURNINGS: usize = 81 * 16;
    /// Different [`Top::order`]s lie below this.
    pub const ORDERS: usize = 1 << 16;

    /// The last layer of a cube in hand; none unless the cross is down and the first two layers are solved.
    pub fn of(held: &Held) -> Option<Top> {
        let cross = held.hold.down();
        let ready =
            cross_solved(&held.cube, cross) && pairs_solved(&held.cube, cross) == SlotSet::ALL;
        ready.then(|| Top {
            corners: [0, 1, 2, 3].map(|i| corner_spot(&held.cube, held.hold, Corner::ALL[i])),
            edges: [0, 1, 2, 3].map(|i| edge_spot(&held.cube, held.hold, Edge::ALL[i])),
        })
    }

    /// Whether a look has nothing to do.
    pub fn has(&self, look: LookGoal) -> bool {
        let edges_turned = self.edges.iter().all(|spot| spot % 2 == 0);
        let corners_turned = self.corners.iter().all(|spot| spot % 3 == 0);
        let off = |i: u8, spot: u8, sides: u8| (4 + spot / sides - i) % 4;
        let first = off(0, self.corners[0], 3);
        let corners_placed = (0..4).all(|i| off(i, self.corners[usize::from(i)], 3) == first);
        let edges_placed = (0..4).all(|i| off(i, self.edges[usize::from(i)], 2) == first);
        let turned = edges_turned && corners_turned;
        match look {
            LookGoal::EdgesTurned => edges_turned,
            LookGoal::CornersTurned => turned,
            LookGoal::CornersPlaced => turned && corners_placed,
            LookGoal::EdgesPlaced => turned && corners_placed && edges_placed,
            LookGoal::Aligned => turned && corners_placed && edges_placed && first == 0,
        }
    }

    /// Quarter turns of the top that bring its first corner home.
    pub fn quarters_off(&self) -> usize {
        usize::from(self.corners[0] / 3)
    }

    /// How the pieces are turned, place by place, as a number.
    pub fn turning(&self) -> usize {
        let corners = self
            .corners
            .iter()
            .map(|spot| spot % 3 * 3u8.pow(u32::from(spot / 3)));
        let edges = self.edges.iter().map(|spot| (spot % 2) << (spot / 2));
        16 * usize::from(corners.sum::<u8>()) + usize::from(edges.sum::<u8>())
    }

    /// Where the pieces are, as a number.
    pub fn order(&self) -> usize {
        let corners = self.corners.iter().map(|spot| spot / 3);
        corners
            .chain(self.edges.iter().map(|spot| spot / 2))
            .fold(0, |n, place| 4 * n + usize::from(place))
    }

    /// All orders of pieces that show the top colour on top everywhere.
    pub fn all_turned() -> impl Iterator<Item = Top> {
        let places = |n: usize| [n / 64, n / 16 % 4, n / 4 % 4, n % 4].map(|place| place as u8);
        let orders = move || {
            (0..256)
                .map(places)
                .filter(|o| (0..4).all(|place| o.contains(&place)))
        };
        orders().flat_map(move |corners| {
            orders().map(move |edges| Top {
                corners: corners.map(|p| 3 * p),
                edges: edges.map(|p| 2 * p),
            })
        })
    }

    /// All ways that the pieces can be turned while in their places.
    pub fn all_placed() -> impl Iterator<Item = Top> {
        let corners = (0..81u8).map(|n| [n % 3, 3 + n / 3 % 3, 6 + n / 9 % 3, 9 + n / 27]);
        corners.flat_map(|corners| {
            let edges = (0..16u8).map(|n| [n % 2, 2 + n / 2 % 2, 4 + n / 4 % 2, 6 + n / 8]);
            edges.map(move |edges| Top { corners, edges })
        })
    }
}

impl Book {
    pub fn get() -> &'static Book {
        static BOOK: OnceLock<Book> = OnceLock::new();
        BOOK.get_or_init(|| {
            let ready =
                |lists: &[&[Known]]| lists.iter().copied().flatten().map(Ready::of).collect();
            Book {
                looks: [
                    (LookGoal::EdgesTurned, ready(&[TURN_EDGES])),
                    (LookGoal::CornersTurned, ready(&[TURN_CORNERS])),
                    (LookGoal::CornersPlaced, ready(&[PLACE_CORNERS])),
                    (LookGoal::EdgesPlaced, ready(&[PLACE_EDGES])),
                ],
                turn_all: ready(&[TURN_CORNERS, TURN_ALL]),
                place_all: ready(&[PLACE_CORNERS, PLACE_EDGES, PLACE_ALL]),
            }
        })
    }
}

impl Ready {
    fn of(known: &Known) -> Ready {
        let moves = known.parsed();
        let done = Cube::solved().after(&moves);
        let corner_to = std::array::from_fn(|spot| {
            let (place, o) = done.find_corner(Corner::ALL[spot / 3]);
            3 * place as u8 + (o + spot as u8) % 3
        });
        let edge_to = std::array::from_fn(|spot| {
            let (place, o) = done.find_edge(Edge::ALL[spot / 2]);
            2 * place as u8 + (o + spot as u8) % 2
        });
        Ready {
            name: known.name,
            turns: htm(&moves),
            moves,
            corner_to,
            edge_to,
        }
    }
}
