//! Every placement of every pair, with every set of solved neighbours, for a cross of every colour.

use std::collections::BTreeMap;

use super::fixture::{placements, spots};
use crate::coach::chains;
use crate::coach::lifts::Ways;
use crate::coach::{Route, Spot, Style, pairs, short, tell};
use crate::cube::{Colour, Held, htm, rotations};
use crate::solve::{self, Slot, SlotSet};

/// Runs a route and checks its promise.
fn check(held: &Held, slot: Slot, keep: SlotSet, route: &Route) {
    let cross = held.hold.down();
    let after = held.after(&route.moves);
    let shown = || {
        format!(
            "{slot:?} keeping {keep:?}: {} on {:?}",
            route.moves, held.cube
        )
    };
    assert!(
        solve::cross_solved(&after.cube, cross),
        "cross broken by {}",
        shown()
    );
    assert_eq!(after.hold.down(), cross, "cross not down after {}", shown());
    let solved = solve::pairs_solved(&after.cube, cross);
    assert!(solved.contains(slot), "pair not solved by {}", shown());
    assert!(keep.is_subset(solved), "solved pair broken by {}", shown());
    assert_eq!(route.turns, htm(&route.moves));
    assert_eq!(route.rotations, rotations(&route.moves));
    let joined: Vec<_> = route.steps.iter().flat_map(|s| s.moves.0.clone()).collect();
    assert_eq!(joined, route.moves.0);
}

fn neighbours(slot: Slot) -> impl Iterator<Item = SlotSet> {
    SlotSet::subsets().filter(move |set| !set.contains(slot))
}

#[test]
fn there_are_384_placements_of_a_pair() {
    assert_eq!(spots().len(), 384);
    assert_eq!(
        placements(Colour::Red, Slot::ALL[1], SlotSet::EMPTY).len(),
        384
    );
}

#[test]
fn plain_routes_keep_their_promise_in_every_case() {
    let mut lengths = BTreeMap::new();
    for cross in Colour::ALL {
        for slot in Slot::ALL {
            for keep in neighbours(slot) {
                for cube in placements(cross, slot, keep) {
                    for hold in pairs::holds(cross).into_iter() {
                        let held = Held { cube, hold };
                        let spot = pairs::spot(&held, slot);
                        let (acts, _) = chains::plain(spot).expect("a plain route");
                        let steps = tell::steps(&acts, spot, pairs::pair(cross, slot));
                        let none = String::new;
                        let route = Route::new(Style::Plain, steps, Vec::new(), none(), none());
                        check(&held, slot, keep, &route);
                        *lengths.entry(route.turns).or_insert(0_usize) += 1;
                    }
                }
            }
        }
    }
    let (sum, count) = lengths
        .iter()
        .fold((0, 0), |(s, c), (len, n)| (s + len * n, c + n));
    let mean = sum as f64 / count as f64;
    let longest = lengths.keys().last();
    println!("plain routes: {count}, mean {mean:.3} turns, longest {longest:?}, {lengths:?}");
    assert!(mean <= 8.0, "mean {mean}");
    assert!(longest <= Some(&12));
}

#[test]
fn the_table_of_plain_chains_costs_no_more_than_a_search() {
    for spot in chains::all_spots(Spot::SOLVED) {
        let (acts, cost) = chains::plain(spot).expect("a plain chain");
        let (_, searched) = chains::chain(spot, &Ways::PLAIN).expect("a plain chain");
        assert_eq!(cost, searched, "{spot:?}");
        let end = acts.iter().fold(spot, |at, act| act.on(at));
        assert!(end.is_solved());
    }
}

#[test]
fn short_routes_keep_their_promise_and_are_never_longer_than_plain_ones() {
    let (mut sum, mut longest, mut count) = (0, 0, 0);
    for (i, cross) in Colour::ALL.into_iter().enumerate() {
        let slot = Slot::ALL[i % 4];
        for keep in neighbours(slot) {
            for cube in placements(cross, slot, keep) {
                let hold = pairs::holds(cross)[0];
                let held = Held { cube, hold };
                let spot = pairs::spot(&held, slot);
                let (acts, _) = chains::plain(spot).expect("a plain route");
                let plain: usize = acts.iter().map(|a| htm(&a.moves())).sum();
                let moves = short::moves(&held, slot, keep).expect("a short route");
                let turns = htm(&moves);
                assert!(
                    turns <= plain,
                    "{slot:?} {keep:?}: {turns} turns against {plain}"
                );
                sum += turns;
                count += 1;
                longest = longest.max(turns);
            }
        }
    }
    println!(
        "short routes: {count}, mean {:.3} turns, longest {longest}",
        sum as f64 / count as f64
    );
    assert!(longest <= 9);
}
