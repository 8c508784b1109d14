//! One pair in fewest turns, keeping the cross and chosen pairs: iterative deepening (Korf 1985) with the admissible
//! bounds of the tables, so that a route it gives is proven shortest.

use super::cross::repeats;
use super::slot::{Slot, SlotSet};
use super::tables::{PairSpots, Tables};
use crate::cube::{Colour, Cube, Face, Hold, Turn};

/// Some of the eighteen turns, in the home orientation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TurnSet(u32);

/// What a route may use.
#[derive(Clone, Copy, Debug)]
pub struct Limits {
    /// The turns it may be made of.
    pub allowed: TurnSet,
    /// The most turns it may have. With all turns allowed there is always a route of 20 (Rokicki and others 2010: no
    /// cube is further from solved); with few there may be none, and a large limit takes long to exhaust.
    pub most: u8,
}

impl TurnSet {
    pub const ALL: TurnSet = TurnSet((1 << 18) - 1);

    /// All turns of these faces of the home orientation.
    pub fn of_faces(faces: &[Face]) -> TurnSet {
        Turn::ALL
            .into_iter()
            .filter(|turn| faces.contains(&turn.face))
            .collect()
    }

    pub fn contains(self, turn: Turn) -> bool {
        self.0 >> turn.index() & 1 == 1
    }
}

impl FromIterator<Turn> for TurnSet {
    fn from_iter<I: IntoIterator<Item = Turn>>(turns: I) -> TurnSet {
        TurnSet(
            turns
                .into_iter()
                .fold(0, |set, turn| set | 1 << turn.index()),
        )
    }
}

impl Default for Limits {
    fn default() -> Limits {
        Limits {
            allowed: TurnSet::ALL,
            most: 20,
        }
    }
}

/// The shortest route (turns in the home orientation) that ends with the cross, the slot's pair and all pairs of
/// `keep` solved; none when no route within the limits does it. Neither the cross nor those pairs need be solved before.
pub fn shortest_pair(
    cube: &Cube,
    cross: Colour,
    slot: Slot,
    keep: SlotSet,
    limits: &Limits,
) -> Option<Vec<Turn>> {
    pair_routes(cube, cross, slot, keep, limits, 0, 1).pop()
}

/// All shortest routes, at most `count` of them.
pub fn all_shortest(
    cube: &Cube,
    cross: Colour,
    slot: Slot,
    keep: SlotSet,
    limits: &Limits,
    count: usize,
) -> Vec<Vec<Turn>> {
    pair_routes(cube, cross, slot, keep, limits, 0, count)
}

/// Routes in order of their turns: all shortest ones, then those up to `longer` turns longer, at most `count` in all.
/// No route passes through its goal before its end.
pub fn pair_routes(
    cube: &Cube,
    cross: Colour,
    slot: Slot,
    keep: SlotSet,
    limits: &Limits,
    longer: u8,
    count: usize,
) -> Vec<Vec<Turn>> {
    let mut search = Search::new(cross, slot, keep, limits, count);
    let start = search.start(cube);
    let mut last = limits.most;
    let mut depth = search.at_least(&start);
    while depth <= last && search.found.len() < count {
        search.deepen(&start, depth);
        if !search.found.is_empty() && last == limits.most {
            last = last.min(depth + longer);
        }
        depth += 1;
    }
    search.found
}

struct Search {
    tables: &'static Tables,
    /// For each slot that must be solved at the end, the pair's own first, the hold that it is seen in.
    holds: Vec<Hold>,
    /// Allowed home turns, with what each is in every slot's hold.
    turns: Vec<(Turn, [u8; 4])>,
    route: Vec<Turn>,
    found: Vec<Vec<Turn>>,
    count: usize,
}

impl Search {
    fn new(cross: Colour, slot: Slot, keep: SlotSet, limits: &Limits, count: usize) -> Search {
        let slots = std::iter::once(slot).chain(keep.without(slot).iter());
        let holds: Vec<Hold> = slots.map(|slot| slot.hold(cross)).collect();
        let in_holds = |turn: Turn| {
            let mut seen = [0; 4];
            for (seen, hold) in seen.iter_mut().zip(&holds) {
                *seen = hold.turn_in_hand(turn).index() as u8;
            }
            (turn, seen)
        };
        let turns = Turn::ALL
            .into_iter()
            .filter(|&turn| limits.allowed.contains(turn))
            .map(in_holds)
            .collect();
        let tables = Tables::get();
        Search {
            tables,
            holds,
            turns,
            route: Vec::new(),
            found: Vec::new(),
            count,
        }
    }

    fn start(&self, cube: &Cube) -> PairSpots {
        let mut node = [self.tables.spots(cube, self.holds[0]); 4];
        for (spots, &hold) in node.iter_mut().zip(&self.holds) {
            *spots = self.tables.spots(cube, hold);
        }
        node
    }

    fn at_least(&self, node: &PairSpots) -> u8 {
        let tracked = &node[..self.holds.len()];
        tracked
            .iter()
            .map(|&s| self.tables.at_least(s))
            .max()
            .unwrap_or(0)
    }

    /// Finds the routes of exactly `left` more turns that reach the goal no sooner.
    fn deepen(&mut self, node: &PairSpots, left: u8) {
        if left == 0 {
            self.found.push(self.route.clone());
            return;
        }
        for i in 0..self.turns.len() {
            let (turn, in_holds) = self.turns[i];
            if repeats(self.route.last().copied(), turn) {
                continue;
            }
            let mut next = *node;
            let mut near = true;
            let mut done = true;
            for k in 0..self.holds.len() {
                next[k] = self.tables.turned(node[k], usize::from(in_holds[k]));
                let bound = self.tables.at_least(next[k]);
                done &= bound == 0;
                if bound > left - 1 {
                    near = false;
                    break;
                }
            }
            if near && (!done || left == 1) {
                self.route.push(turn);
                self.deepen(&next, left - 1);
                self.route.pop();
                if self.found.len() >= self.count {
                    return;
                }
            }
        }
    }
}
