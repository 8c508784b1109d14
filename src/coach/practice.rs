//! How a cube in hand comes into a situation to be practised, so that the way there does not tell the way back.
//!
//! The pair is first taken out and the rest mixed by a few lifts at random, then brought where it is wanted by the fewest
//! turns. Undoing some of the last turns never solves it.

use crate::cube::{Amount, Colour, Cube, Move, Turn, simplified};
use crate::solve::{self, Slot, SlotSet, shortest_to};

use super::lifts::{Act, Lift, OUT};

/// How often a mixing is tried before the best so far is taken.
const TRIES: u64 = 24;

/// Turns (in the home orientation) after which a pair lies as in one of `goals`, the cross is whole and the pairs of `keep`
/// are solved. The same `seed` gives the same turns. None only where there are none: without a goal.
pub fn blind_setup(
    cube: &Cube,
    cross: Colour,
    slot: Slot,
    goals: &[Cube],
    keep: SlotSet,
    seed: u64,
) -> Option<Vec<Turn>> {
    let mut dice = Dice(seed);
    let mut least: Option<Vec<Turn>> = None;
    for _ in 0..TRIES {
        let goal = *goals.get(dice.below(goals.len()))?;
        let mixed = mixing(cube, cross, slot, keep, &mut dice);
        let between = mixed.iter().fold(*cube, |cube, turn| cube.apply(*turn));
        let Some(rest) = shortest_to(&between, cross, slot, &[goal], keep) else {
            continue;
        };
        let all: Vec<Move> = mixed.into_iter().chain(rest).map(Move::from).collect();
        let turns: Vec<Turn> = simplified(&all)
            .into_iter()
            .filter_map(|m| match m {
                Move::Outer(turn) => Some(turn),
                _ => None,
            })
            .collect();
        if is_blind(cube, cross, slot, &turns) {
            return Some(turns);
        }
        least.get_or_insert(turns);
    }
    least
}

/// A few lifts at random: of the pair's own slot, and of those that need not be kept. Before the cross is whole none.
fn mixing(cube: &Cube, cross: Colour, slot: Slot, keep: SlotSet, dice: &mut Dice) -> Vec<Turn> {
    if !solve::cross_solved(cube, cross) {
        return Vec::new();
    }
    let hold = slot.hold(cross);
    let free = |lift: &Lift| {
        let faces = lift.slot().faces().map(|face| hold.colour_at(face));
        let lifted = Slot::between(faces, cross);
        lifted.is_some_and(|lifted| !keep.contains(lifted))
    };
    let lifts: Vec<Lift> = OUT
        .into_iter()
        .flat_map(|out| Amount::ALL.map(|top| Lift { out, top }))
        .filter(free)
        .collect();
    let own: Vec<Lift> = lifts
        .iter()
        .filter(|lift| {
            Slot::between(lift.slot().faces().map(|f| hold.colour_at(f)), cross) == Some(slot)
        })
        .copied()
        .collect();
    let top = |dice: &mut Dice| Act::Top(Amount::ALL[dice.below(3)]);
    let mut acts = vec![top(dice)];
    acts.extend(dice.one_of(&own).map(Act::Lift));
    acts.push(top(dice));
    acts.extend(dice.one_of(&lifts).map(Act::Lift));
    let moves = acts.iter().flat_map(|act| act.moves());
    let (turns, _) = hold.follow(&moves.collect::<Vec<Move>>());
    turns
}

/// Whether undoing only some of the last turns never solves the pair, and the last layer is mixed too.
fn is_blind(start: &Cube, cross: Colour, slot: Slot, turns: &[Turn]) -> bool {
    let states = turns.iter().scan(*start, |cube, turn| {
        *cube = cube.apply(*turn);
        Some(*cube)
    });
    let states: Vec<Cube> = states.collect();
    let solved =
        |cube: &Cube| solve::cross_solved(cube, cross) && solve::pair_solved(cube, cross, slot);
    // Turns of the top alone at the start lead to nothing new.
    let first = states.iter().position(|cube| !solved(cube)).unwrap_or(0);
    let Some(end) = states.last() else {
        return false;
    };
    let top = cross.opposite();
    let placed = crate::cube::Edge::ALL
        .into_iter()
        .filter(|edge| edge.colours().contains(&top) && end.edge_at(*edge) == (*edge, 0));
    !states[first..].iter().any(solved) && placed.count() < 3
}

/// Steele, Lea and Flood's SplitMix64 (2014).
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % n.max(1) as u64) as usize
    }

    fn one_of<T: Copy>(&mut self, all: &[T]) -> Option<T> {
        all.get(self.below(all.len())).copied()
    }
}
