//! A whole solve: cross, four pairs with order and routes chosen together, last layer.
//!
//! Pair by pair the shortest route is taken for whichever pair is nearest. A beam search looks at many orders and
//! routes at once, longer ones too, and keeps the most promising: a route that leaves the other pairs well placed pays
//! for itself.

use super::cross::cross_routes;
use super::last_layer::{LookStep, Style, last_layer, short_turns};
use super::pair::{Limits, pair_routes};
use super::slot::{Slot, SlotSet, cross_solved, pairs_solved};
use super::tables::Tables;
use crate::cube::{Cube, Face, Held, Move, Turn, htm};
use std::collections::HashMap;

/// Tenths of a turn still to come for each turn that the bounds of the unsolved pairs add up to. They add up to more than
/// is needed in the end, since turns for one pair help others; tried from 4 to 11, and 6 gave the least totals.
const GUESS: usize = 6;

/// How hard to look for a short solve.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Shortest crosses looked at.
    pub crosses: usize,
    /// States kept for each number of solved pairs.
    pub beam: usize,
    /// Routes looked at for each pair of each state.
    pub routes: usize,
    /// How many turns longer than the pair's shortest these may be.
    pub longer: u8,
    /// They must have fewer turns than the nearest pair's shortest and so many more.
    pub spread: u8,
    /// Routes looked at for the last pair: the more, the more last layers there are to choose from.
    pub last_routes: usize,
}

/// A solve from a hold, every part from the hold that the one before ends in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Part {
    Cross(Vec<Move>),
    /// A pair that the turns before it have solved has no moves.
    Pair(Slot, Vec<Move>),
    LastLayer(Vec<LookStep>),
}

impl Effort {
    /// The nearest pair by its shortest route, again and again.
    pub const PAIR_BY_PAIR: Effort = Effort {
        crosses: 1,
        beam: 1,
        routes: 1,
        longer: 0,
        spread: 0,
        last_routes: 1,
    };
    /// Some tens of milliseconds.
    pub const FULL: Effort = Effort {
        crosses: 16,
        beam: 16,
        routes: 3,
        longer: 1,
        spread: 3,
        last_routes: 20,
    };
}

impl Part {
    /// Its moves.
    pub fn moves(&self) -> Vec<Move> {
        match self {
            Part::Cross(moves) | Part::Pair(_, moves) => moves.clone(),
            Part::LastLayer(steps) => steps.iter().flat_map(|s| s.moves.iter().copied()).collect(),
        }
    }
}

/// A state on the way.
#[derive(Clone)]
struct BeamNode {
    cube: Cube,
    /// The cross, then the pairs, with the turns (of the home orientation) that solve them.
    made: Vec<(Option<Slot>, Vec<Turn>)>,
    solved: SlotSet,
    turns: usize,
    /// Weight of turns that are awkward in hand, to choose between equals.
    awkward: usize,
}

/// Solves the cube on the cross of the colour that is down. The parts together solve it from this hold; what is solved
/// already has no part.
pub fn whole(held: &Held, effort: &Effort, style: Style) -> Vec<Part> {
    let cross = held.hold.down();
    let mut parts = Vec::new();
    let mut at = *held;
    let mut told = pairs_solved(&held.cube, cross);
    for (slot, turns) in best(held, effort, style).map_or(Vec::new(), |node| node.made) {
        let moves: Vec<Move> = turns
            .iter()
            .map(|&turn| held.hold.turn_in_hand(turn).into())
            .collect();
        at = at.after(&moves);
        match slot {
            Some(slot) => {
                told = told.with(slot);
                parts.push(Part::Pair(slot, moves));
            }
            None if cross_solved(&held.cube, cross) => {}
            None => parts.push(Part::Cross(moves)),
        }
        let solved = pairs_solved(&at.cube, cross);
        let on_the_way = solved.iter().filter(|&slot| !told.contains(slot));
        parts.extend(on_the_way.map(|slot| Part::Pair(slot, Vec::new())));
        told = solved;
    }
    if at.cube != Cube::solved() {
        parts.extend(last_layer(&at, style).map(Part::LastLayer));
    }
    parts
}

/// Turns of a solve in the half-turn metric.
pub fn total_turns(parts: &[Part]) -> usize {
    parts.iter().map(|part| htm(&part.moves())).sum()
}

/// The state with cross and pairs solved that promises the least total.
fn best(held: &Held, effort: &Effort, style: Style) -> Option<BeamNode> {
    let cross = held.hold.down();
    let mut beams: [HashMap<Cube, BeamNode>; 5] = Default::default();
    for route in cross_routes(&held.cube, cross, effort.crosses) {
        keep(
            &mut beams,
            BeamNode::start(held).extended(held, None, route),
        );
    }
    for solved in 0..4 {
        let count = if solved == 3 {
            effort.last_routes
        } else {
            effort.routes
        };
        for node in promising(std::mem::take(&mut beams[solved]), held, effort.beam) {
            let (cube, keeping) = (&node.cube, node.solved);
            let mut limits = Limits::default();
            for slot in node.nearest_first(held) {
                let routes = pair_routes(cube, cross, slot, keeping, &limits, effort.longer, count);
                if let Some(shortest) = routes.first() {
                    let fewer = shortest.len() as u8 + effort.spread;
                    limits.most = limits.most.min(fewer.saturating_sub(1));
                }
                for route in routes {
                    keep(&mut beams, node.extended(held, Some(slot), route));
                }
            }
        }
    }
    let total = |node: &BeamNode| {
        let last = match style {
            Style::Short => short_turns(&Held {
                cube: node.cube,
                hold: held.hold,
            }),
            Style::Plain => None,
        };
        (node.turns + last.unwrap_or(0), node.turns, node.awkward)
    };
    let ends = std::mem::take(&mut beams[4]).into_values();
    ends.min_by(|a, b| total(a).cmp(&total(b)).then_with(|| a.made.cmp(&b.made)))
}

/// Puts a node among those with as many pairs solved, unless its state was reached as well already.
fn keep(beams: &mut [HashMap<Cube, BeamNode>; 5], node: BeamNode) {
    let beam = &mut beams[node.solved.len()];
    let cost = |node: &BeamNode| (node.turns, node.awkward);
    if beam
        .get(&node.cube)
        .is_none_or(|known| cost(&node) < cost(known))
    {
        beam.insert(node.cube, node);
    }
}

/// The nodes that promise the least total, best first.
fn promising(beam: HashMap<Cube, BeamNode>, held: &Held, count: usize) -> Vec<BeamNode> {
    let mut nodes: Vec<_> = beam
        .into_values()
        .map(|node| ((node.promise(held), node.awkward), node))
        .collect();
    // The last key puts equals in one order whatever order the map had.
    nodes.sort_by(|(a, n), (b, m)| a.cmp(b).then_with(|| n.made.cmp(&m.made)));
    nodes.truncate(count);
    nodes.into_iter().map(|(_, node)| node).collect()
}

impl BeamNode {
    fn start(held: &Held) -> BeamNode {
        let solved = SlotSet::EMPTY;
        BeamNode {
            cube: held.cube,
            made: Vec::new(),
            solved,
            turns: 0,
            awkward: 0,
        }
    }

    fn extended(&self, held: &Held, slot: Option<Slot>, route: Vec<Turn>) -> BeamNode {
        let mut next = self.clone();
        next.cube = route.iter().fold(self.cube, |cube, &turn| cube.apply(turn));
        next.solved = pairs_solved(&next.cube, held.hold.down());
        next.turns += route.len();
        next.awkward += awkward(held, &route);
        next.made.push((slot, route));
        next
    }

    /// The pairs that are not solved, the one that seems nearest first.
    fn nearest_first(&self, held: &Held) -> Vec<Slot> {
        let mut open: Vec<(u8, Slot)> = self.bounds(held).collect();
        open.sort();
        open.into_iter().map(|(_, slot)| slot).collect()
    }

    /// For each pair that is not solved, how many turns it needs at least by itself.
    fn bounds(&self, held: &Held) -> impl Iterator<Item = (u8, Slot)> {
        let open = Slot::ALL
            .into_iter()
            .filter(|&slot| !self.solved.contains(slot));
        open.map(|slot| {
            let spots = Tables::get().spots(&self.cube, slot.hold(held.hold.down()));
            (Tables::get().at_least(spots), slot)
        })
    }

    /// Turns so far and a guess of those to come, in tenths.
    fn promise(&self, held: &Held) -> usize {
        let bounds: usize = self.bounds(held).map(|(bound, _)| usize::from(bound)).sum();
        10 * self.turns + GUESS * bounds
    }
}

/// Turns of the back count most, then those of the bottom, then those of the front.
fn awkward(held: &Held, route: &[Turn]) -> usize {
    let weight = |turn: &Turn| match held.hold.face_in_hand(turn.face) {
        Face::B => 4,
        Face::D => 2,
        Face::F => 1,
        _ => 0,
    };
    route.iter().map(weight).sum()
}
