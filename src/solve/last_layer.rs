//! The last layer by sequences: in two looks of orientation and two of permutation, or one of each.

use super::sequences::*;
use super::slot::{SlotSet, cross_solved, pairs_solved};
use super::tables::{corner_spot, edge_spot};
use crate::cube::{Amount, Axis, Corner, Cube, Edge, Face, Held, Move, Turn, htm, rotations};
use std::sync::OnceLock;

/// What one look at the last layer brings about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Look {
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

/// How a last layer is solved.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Style {
    /// Four looks of few cases each: sixteen sequences in all.
    Plain,
    /// One look of orientation and one of permutation, the fewest turns that such sequences give together.
    Short,
}

/// One look: what it brings about, the case's name, and the moves, which start with turning the layer or the cube.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LookStep {
    pub look: Look,
    /// The trade's name for the case; empty for [`Look::Aligned`].
    pub case: &'static str,
    pub moves: Vec<Move>,
}

/// The last layer as its pieces lie. Whereabouts are as in the tables: `3 * place + twist`, `2 * place + flip`.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
struct Top {
    corners: [u8; 4],
    edges: [u8; 4],
}

/// A sequence, and where it takes the pieces of the last layer from each whereabouts.
struct Ready {
    name: &'static str,
    moves: Vec<Move>,
    turns: usize,
    corner_to: [u8; 12],
    edge_to: [u8; 8],
}

struct Book {
    looks: [(Look, Vec<Ready>); 4],
    turn_all: Vec<Ready>,
    place_all: Vec<Ready>,
}

/// A sequence with what goes before it.
#[derive(Clone, Copy)]
struct Choice {
    /// Quarter turns of the top layer before it.
    top: usize,
    /// Quarter turns of the whole cube before it.
    whole: usize,
    sequence: &'static Ready,
}

/// The steps that solve the last layer from this hold; none unless the cross is down and the first two layers are
/// solved. The layer's own steps are left out where they have nothing to do.
pub fn last_layer(held: &Held, style: Style) -> Option<Vec<LookStep>> {
    let top = Top::of(held)?;
    let mut steps = Vec::new();
    let (mut top, mut angle) = (top, 0);
    for (look, choice) in match style {
        Style::Plain => four_looks(top),
        Style::Short => two_looks(top),
    } {
        steps.push(LookStep {
            look,
            case: choice.sequence.name,
            moves: choice.moves(),
        });
        (top, angle) = choice.applied(top, angle);
    }
    let moves = turn_top(top.quarters_off());
    if !moves.is_empty() {
        steps.push(LookStep {
            look: Look::Aligned,
            case: "",
            moves,
        });
    }
    Some(steps)
}

/// The fewest turns in which [`Style::Short`] solves the last layer.
pub(super) fn short_turns(held: &Held) -> Option<usize> {
    let steps = last_layer(held, Style::Short)?;
    Some(steps.iter().map(|step| htm(&step.moves)).sum())
}

fn four_looks(mut top: Top) -> Vec<(Look, Choice)> {
    let mut angle = 0;
    let mut chosen = Vec::new();
    for (look, sequences) in &Book::get().looks {
        if top.has(*look) {
            continue;
        }
        let fitting = choices(sequences).filter(|c| c.applied(top, angle).0.has(*look));
        // Turning the layer is easier than turning the cube, so it is chosen where both will do.
        if let Some(choice) = fitting.min_by_key(|c| (c.turns() + c.rotations(), c.rotations())) {
            chosen.push((*look, choice));
            (top, angle) = choice.applied(top, angle);
        }
    }
    chosen
}

fn two_looks(top: Top) -> Vec<(Look, Choice)> {
    let book = Book::get();
    let firsts = options(top, 0, Look::CornersTurned, &book.turn_all);
    let mut best: Option<((usize, usize), Vec<(Look, Choice)>)> = None;
    for first in firsts {
        let (then, angle) = first.map_or((top, 0), |choice| choice.applied(top, 0));
        for second in options(then, angle, Look::EdgesPlaced, &book.place_all) {
            let end = second.map_or(then, |choice| choice.applied(then, angle).0);
            let chosen: Vec<(Look, Choice)> =
                [(Look::CornersTurned, first), (Look::EdgesPlaced, second)]
                    .into_iter()
                    .filter_map(|(look, choice)| Some((look, choice?)))
                    .collect();
            let turns: usize = chosen.iter().map(|(_, c)| c.turns()).sum();
            let turns = turns + usize::from(end.quarters_off() != 0);
            let rotations = chosen.iter().map(|(_, c)| c.rotations()).sum();
            if best
                .as_ref()
                .is_none_or(|(cost, _)| (turns, rotations) < *cost)
            {
                best = Some(((turns, rotations), chosen));
            }
        }
    }
    best.map_or(Vec::new(), |(_, chosen)| chosen)
}

/// The ways to bring a look about: nothing when it is so already.
fn options(top: Top, angle: usize, look: Look, sequences: &'static [Ready]) -> Vec<Option<Choice>> {
    if top.has(look) {
        return vec![None];
    }
    choices(sequences)
        .filter(|c| c.applied(top, angle).0.has(look))
        .map(Some)
        .collect()
}

/// Each sequence after a turn of the layer or of the cube.
fn choices(sequences: &'static [Ready]) -> impl Iterator<Item = Choice> {
    let before = (0..4)
        .map(|top| (top, 0))
        .chain((1..4).map(|whole| (0, whole)));
    before.flat_map(move |(top, whole)| {
        sequences.iter().map(move |sequence| Choice {
            top,
            whole,
            sequence,
        })
    })
}

impl Choice {
    fn turns(&self) -> usize {
        self.sequence.turns + usize::from(self.top != 0)
    }

    fn rotations(&self) -> usize {
        usize::from(self.whole != 0) + rotations(&self.sequence.moves)
    }

    fn moves(&self) -> Vec<Move> {
        let whole = Amount::of_quarters(self.whole).map(|amount| Move::Rotation(Axis::Y, amount));
        let before = turn_top(self.top).into_iter().chain(whole);
        before.chain(self.sequence.moves.iter().copied()).collect()
    }

    /// The layer after it, and the angle of the hold. The layer is seen from the first hold; at angle `a` the hold
    /// has been turned by `a` quarters of `y`.
    fn applied(&self, top: Top, angle: usize) -> (Top, usize) {
        let angle = (angle + self.whole) % 4;
        let (corner_to, edge_to) = (&self.sequence.corner_to, &self.sequence.edge_to);
        let through = |spot: u8, sides: u8, to: &[u8]| {
            // `y` and `U` carry each place to the one before it.
            let turned = moved_on(spot, sides, 8 - self.top - angle);
            moved_on(to[usize::from(turned)], sides, angle)
        };
        let top = Top {
            corners: top.corners.map(|spot| through(spot, 3, corner_to)),
            edges: top.edges.map(|spot| through(spot, 2, edge_to)),
        };
        (top, angle)
    }
}

/// A spot with its place moved on around the layer.
fn moved_on(spot: u8, sides: u8, places: usize) -> u8 {
    (spot + sides * (places % 4) as u8) % (4 * sides)
}

fn turn_top(quarters: usize) -> Vec<Move> {
    let amount = Amount::of_quarters(quarters);
    amount
        .map(|amount| Move::Outer(Turn::new(Face::U, amount)))
        .into_iter()
        .collect()
}

impl Top {
    fn of(held: &Held) -> Option<Top> {
        let cross = held.hold.down();
        let ready =
            cross_solved(&held.cube, cross) && pairs_solved(&held.cube, cross) == SlotSet::ALL;
        ready.then(|| Top {
            corners: [0, 1, 2, 3].map(|i| corner_spot(&held.cube, held.hold, Corner::ALL[i])),
            edges: [0, 1, 2, 3].map(|i| edge_spot(&held.cube, held.hold, Edge::ALL[i])),
        })
    }

    fn has(&self, look: Look) -> bool {
        let edges_turned = self.edges.iter().all(|spot| spot % 2 == 0);
        let corners_turned = self.corners.iter().all(|spot| spot % 3 == 0);
        let off = |i: u8, spot: u8, sides: u8| (4 + spot / sides - i) % 4;
        let first = off(0, self.corners[0], 3);
        let corners_placed = (0..4).all(|i| off(i, self.corners[usize::from(i)], 3) == first);
        let edges_placed = (0..4).all(|i| off(i, self.edges[usize::from(i)], 2) == first);
        let turned = edges_turned && corners_turned;
        match look {
            Look::EdgesTurned => edges_turned,
            Look::CornersTurned => turned,
            Look::CornersPlaced => turned && corners_placed,
            Look::EdgesPlaced => turned && corners_placed && edges_placed,
            Look::Aligned => turned && corners_placed && edges_placed && first == 0,
        }
    }

    /// Quarter turns of the top that bring its first corner home.
    fn quarters_off(&self) -> usize {
        usize::from(self.corners[0] / 3)
    }
}

impl Book {
    fn get() -> &'static Book {
        static BOOK: OnceLock<Book> = OnceLock::new();
        BOOK.get_or_init(|| {
            let ready =
                |lists: &[&[Known]]| lists.iter().copied().flatten().map(Ready::of).collect();
            Book {
                looks: [
                    (Look::EdgesTurned, ready(&[TURN_EDGES])),
                    (Look::CornersTurned, ready(&[TURN_CORNERS])),
                    (Look::CornersPlaced, ready(&[PLACE_CORNERS])),
                    (Look::EdgesPlaced, ready(&[PLACE_EDGES])),
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
        let mut corner_to = [0; 12];
        for spot in 0..12u8 {
            let (place, o) = done.find_corner(Corner::ALL[usize::from(spot / 3)]);
            corner_to[usize::from(spot)] = 3 * place as u8 + (o + spot) % 3;
        }
        let mut edge_to = [0; 8];
        for spot in 0..8u8 {
            let (place, o) = done.find_edge(Edge::ALL[usize::from(spot / 2)]);
            edge_to[usize::from(spot)] = 2 * place as u8 + (o + spot) % 2;
        }
        Ready {
            name: known.name,
            turns: htm(&moves),
            moves,
            corner_to,
            edge_to,
        }
    }
}
