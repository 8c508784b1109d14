//! Bringing a pair where it is wanted, in fewest turns, keeping the cross and chosen pairs: as for solving a pair, but
//! with bounds towards the wanted places.

use super::cross::repeats;
use super::slot::{Slot, SlotSet};
use super::tables::{PairSpots, Spots, Tables, Towards};
use crate::cube::{Colour, Cube, Hold, Turn};

/// No state is further than this from another (Rokicki and others 2010).
const MOST: u8 = 20;

/// The fewest turns (in the home orientation) after which the cross and the pairs of `keep` are solved and the pair of
/// `slot` lies as in one of `goals`, each a cube with the cross solved; of those only the two pieces of that pair count.
/// None of it need be so before. None only without a goal, or where the goals leave no room for the pairs to keep.
pub fn shortest_to(
    cube: &Cube,
    cross: Colour,
    slot: Slot,
    goals: &[Cube],
    keep: SlotSet,
) -> Option<Vec<Turn>> {
    let mut search = Search::new(cross, slot, goals, keep.without(slot));
    let mut start = [search.tables.spots(cube, slot.hold(cross)); 4];
    for (spots, &hold) in start.iter_mut().zip(&search.holds) {
        *spots = search.tables.spots(cube, hold);
    }
    let least = search.at_least(&start);
    (least..=MOST)
        .find(|&depth| search.deepen(&start, depth))
        .map(|_| search.route)
}

struct Search {
    tables: &'static Tables,
    goals: Towards,
    /// The hold in which the pair to bring is seen, and those of the pairs to keep.
    holds: Vec<Hold>,
    /// Home turns, with what each is in every hold.
    turns: [(Turn, [usize; 4]); 18],
    route: Vec<Turn>,
}

impl Search {
    fn new(cross: Colour, slot: Slot, goals: &[Cube], keep: SlotSet) -> Search {
        let tables = Tables::get();
        let wanted: Vec<Spots> = goals
            .iter()
            .map(|goal| tables.spots(goal, slot.hold(cross)))
            .collect();
        let slots = std::iter::once(slot).chain(keep.iter());
        let holds: Vec<Hold> = slots.map(|slot| slot.hold(cross)).collect();
        let turns = Turn::ALL.map(|turn| {
            let mut seen = [0; 4];
            for (seen, hold) in seen.iter_mut().zip(&holds) {
                *seen = hold.turn_in_hand(turn).index();
            }
            (turn, seen)
        });
        Search {
            tables,
            goals: tables.towards(&wanted),
            holds,
            turns,
            route: Vec::new(),
        }
    }

    /// At least so many turns until all is as wanted; 0 only when it is.
    fn at_least(&self, node: &PairSpots) -> u8 {
        node[1..self.holds.len()]
            .iter()
            .map(|&kept| self.tables.at_least(kept))
            .fold(self.goals.at_least(node[0]), u8::max)
    }

    /// Whether at most `left` more turns reach the goal; then they end the route.
    fn deepen(&mut self, node: &PairSpots, left: u8) -> bool {
        let least = self.at_least(node);
        if least == 0 || least > left {
            return least == 0;
        }
        for i in 0..self.turns.len() {
            let (turn, in_holds) = self.turns[i];
            if repeats(self.route.last().copied(), turn) {
                continue;
            }
            let mut next = *node;
            for k in 0..self.holds.len() {
                next[k] = self.tables.turned(node[k], in_holds[k]);
            }
            self.route.push(turn);
            if self.deepen(&next, left - 1) {
                return true;
            }
            self.route.pop();
        }
        false
    }
}
