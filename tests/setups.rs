//! Bringing a pair into a situation: the fewest turns, held to a breadth-first walk over whole cubes.

use std::collections::{HashMap, HashSet};

use pairsight::cube::{Colour, Cube, Turn, parse_moves};
use pairsight::journal::{Placed, Situation};
use pairsight::solve::{Slot, SlotSet, cross_solved, pairs_solved, shortest_to};

/// The fewest turns to each situation of a slot, as far as `depth`, found by walking through all cubes around `start`.
fn walked(
    start: Cube,
    cross: Colour,
    slot: Slot,
    keep: SlotSet,
    depth: usize,
) -> HashMap<Placed, usize> {
    let mut seen = HashSet::from([start]);
    let mut frontier = vec![start];
    let mut found = HashMap::new();
    for turns in 0..=depth {
        for cube in &frontier {
            if cross_solved(cube, cross)
                && keep.is_subset(pairs_solved(cube, cross))
                && let Some(Situation::Placed(placed)) = Situation::of(cube, cross, slot)
            {
                found.entry(placed).or_insert(turns);
            }
        }
        if turns < depth {
            let next = frontier
                .iter()
                .flat_map(|cube| Turn::ALL.map(|t| cube.apply(t)));
            frontier = next.filter(|cube| seen.insert(*cube)).collect();
        }
    }
    found
}

fn after(moves: &str) -> Cube {
    Cube::solved().after(&parse_moves(moves).expect("a legal sequence"))
}

/// Every setup is right, and as short as the walk says, or longer than it went.
fn check(start: Cube, cross: Colour, slot: Slot, keep: SlotSet, depth: usize) -> usize {
    let truth = walked(start, cross, slot, keep, depth);
    for placed in Placed::all() {
        let goals = placed.states(cross, slot);
        let setup = shortest_to(&start, cross, slot, &goals, keep).expect("a setup");
        let end = setup.iter().fold(start, |cube, turn| cube.apply(*turn));
        assert!(cross_solved(&end, cross), "{placed}");
        assert!(keep.is_subset(pairs_solved(&end, cross)), "{placed}");
        assert_eq!(
            Situation::of(&end, cross, slot),
            Some(Situation::Placed(placed))
        );
        match truth.get(&placed) {
            Some(turns) => assert_eq!(setup.len(), *turns, "{placed}"),
            None => assert!(setup.len() > depth, "{placed}: {setup:?}"),
        }
    }
    truth.len()
}

#[test]
fn from_a_solved_cube_no_setup_is_shorter() {
    let (cross, slot) = (Colour::White, Slot::ALL[0]);
    let near = check(Cube::solved(), cross, slot, SlotSet::ALL.without(slot), 5);
    assert!(near >= 3, "{near} situations within five turns");
}

#[test]
fn from_a_cube_with_two_pairs_open_no_setup_is_shorter() {
    let (cross, slot) = (Colour::Yellow, Slot::ALL[0]);
    let start = after("R U R' L' U2 L U");
    let keep = pairs_solved(&start, cross);
    assert!(cross_solved(&start, cross) && keep.len() == 2 && !keep.contains(slot));
    let near = check(start, cross, slot, keep, 5);
    assert!(near >= 3, "{near} situations within five turns");
}

#[test]
fn a_cross_that_is_not_built_is_built_on_the_way() {
    let (cross, slot) = (Colour::White, Slot::ALL[3]);
    check(after("R F"), cross, slot, SlotSet::EMPTY, 4);
}

#[test]
fn a_pair_that_lies_so_needs_no_turn() {
    let (cross, slot) = (Colour::Blue, Slot::ALL[2]);
    for placed in Placed::all().step_by(5) {
        let goals = placed.states(cross, slot);
        let setup = shortest_to(&goals[3], cross, slot, &goals, SlotSet::ALL);
        assert_eq!(setup, Some(Vec::new()));
    }
}
