//! Whole solves of random cubes: none fails, and looking at orders and routes together saves turns.

use pairsight::cube::*;
use pairsight::solve::*;

use crate::harness::each::each;

/// Solves one cube, checks all that is promised of the parts, and returns the turns of cross and pairs and of all.
fn solve(seed: u64, effort: &Effort, style: Style) -> (usize, usize) {
    let cross = Colour::ALL[seed as usize % 6];
    let cube = Cube::random(seed);
    let held = Held {
        cube,
        hold: Slot::ALL[seed as usize / 6 % 4].hold(cross),
    };
    let parts = whole(&held, effort, style);
    let mut at = held;
    let mut told = pairs_solved(&cube, cross);
    let mut last = 0;
    for part in &parts {
        let before = pairs_solved(&at.cube, cross);
        let crossed = cross_solved(&at.cube, cross);
        at = at.after(&part.moves());
        assert_eq!(at.hold.down(), cross, "{seed}");
        assert!(cross_solved(&at.cube, cross), "{seed}");
        match part {
            Part::Cross(moves) => assert_eq!(
                moves.len(),
                usize::from(cross_turns(&cube, cross)),
                "{seed}"
            ),
            Part::Pair(slot, moves) => {
                assert!(
                    crossed && before.is_subset(pairs_solved(&at.cube, cross)),
                    "{seed}"
                );
                assert!(pair_solved(&at.cube, cross, *slot), "{seed}");
                assert_eq!(moves.is_empty(), before.contains(*slot), "{seed}");
                told = told.with(*slot);
            }
            Part::LastLayer(_) => {
                assert_eq!((before, told), (SlotSet::ALL, SlotSet::ALL), "{seed}");
                last = htm(&part.moves());
            }
        }
    }
    assert_eq!(at.cube, Cube::solved(), "{seed}");
    let all = total_turns(&parts);
    (all - last, all)
}

/// Mean turns of cross and pairs and of all, over so many random cubes.
pub fn means(cubes: u64, effort: Effort, style: Style) -> (f64, f64) {
    let turns = each(cubes, || (), |(), seed| solve(seed, &effort, style));
    let (pairs, all) = turns
        .iter()
        .fold((0, 0), |sum, turns| (sum.0 + turns.0, sum.1 + turns.1));
    let mean = |sum: usize| sum as f64 / cubes as f64;
    (mean(pairs), mean(all))
}

#[test]
fn five_thousand_cubes_are_solved() {
    means(5_000, Effort::PAIR_BY_PAIR, Style::Short);
}

/// `lab solves` counts more cubes.
#[test]
fn looking_ahead_saves_turns() {
    let cubes = 30;
    let greedy = means(cubes, Effort::PAIR_BY_PAIR, Style::Short);
    let full = means(cubes, Effort::FULL, Style::Short);
    assert!(full.1 < greedy.1 - 10.0, "{greedy:?} {full:?}");
    // With nothing to choose among last layers all the effort goes to the pairs.
    let pairs = means(cubes, Effort::FULL, Style::Plain);
    assert!(pairs.0 < greedy.0 - 4.0, "{greedy:?} {pairs:?}");
}

#[test]
fn a_cube_that_needs_nothing_gets_nothing() {
    for hold in Hold::all() {
        let held = Held {
            cube: Cube::solved(),
            hold,
        };
        assert_eq!(whole(&held, &Effort::FULL, Style::Short), []);
        let turned = held.after(&parse_moves("U2").unwrap());
        let parts = whole(&turned, &Effort::FULL, Style::Plain);
        assert!(
            matches!(&parts[..], [Part::LastLayer(steps)] if steps.len() == 1),
            "{parts:?}"
        );
    }
}
