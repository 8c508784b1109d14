//! The cross and one pair in fewest turns.

use pairsight::cube::*;
use pairsight::solve::*;
use proptest::prelude::*;

fn colours() -> impl Strategy<Value = Colour> {
    prop::sample::select(&Colour::ALL[..])
}

fn with_cross(seed: u64, cross: Colour) -> Cube {
    let cube = Cube::random(seed);
    let route = cross_routes(&cube, cross, 1).remove(0);
    route.into_iter().fold(cube, Cube::apply)
}

#[test]
fn slots_are_named_as_they_follow_each_other() {
    let names = |cross| Slot::ALL.map(|slot| slot.name(cross));
    assert_eq!(
        names(Colour::White),
        ["green-red", "red-blue", "blue-orange", "orange-green"]
    );
    assert_eq!(names(Colour::Yellow), names(Colour::White));
    // Looking straight at the blue face with white above it, the ring runs clockwise white, orange, yellow, red.
    assert_eq!(
        names(Colour::Green),
        ["white-orange", "orange-yellow", "yellow-red", "red-white"]
    );
    assert_eq!(
        names(Colour::Blue),
        ["white-red", "red-yellow", "yellow-orange", "orange-white"]
    );
    for cross in Colour::ALL {
        for slot in Slot::ALL {
            let [a, b] = slot.colours(cross);
            assert_eq!(Slot::named(&slot.name(cross), cross), Some(slot));
            assert_eq!(
                Slot::named(&format!("{}-{}", b.name(), a.name()), cross),
                Some(slot)
            );
            let hold = slot.hold(cross);
            assert_eq!(hold.down(), cross);
            assert_eq!(hold.corner_in_hand(slot.corner(cross)), Corner::DRF);
            assert_eq!(hold.edge_in_hand(slot.edge(cross)), Edge::FR);
        }
    }
    assert_eq!(Slot::named("green-blue", Colour::White), None);
    assert_eq!(Slot::named("white-green", Colour::White), None);
}

proptest! {
    #[test]
    fn a_cross_route_solves_the_cross_in_the_turns_promised(seed: u64, cross in colours()) {
        let cube = Cube::random(seed);
        let turns = cross_turns(&cube, cross);
        let routes = cross_routes(&cube, cross, 8);
        prop_assert!(!routes.is_empty());
        for route in routes {
            prop_assert_eq!(route.len(), usize::from(turns));
            prop_assert!(cross_solved(&route.into_iter().fold(cube, Cube::apply), cross));
        }
    }

    #[test]
    fn a_pair_route_keeps_the_cross_and_the_solved_pairs(seed: u64, cross in colours(), first in 0..4usize) {
        let mut cube = with_cross(seed, cross);
        for i in 0..4 {
            let slot = Slot::ALL[(first + i) % 4];
            let kept = pairs_solved(&cube, cross);
            let route = shortest_pair(&cube, cross, slot, kept, &Limits::default()).unwrap();
            prop_assert_eq!(route.is_empty(), kept.contains(slot));
            cube = route.into_iter().fold(cube, Cube::apply);
            prop_assert!(cross_solved(&cube, cross));
            prop_assert!(kept.with(slot).is_subset(pairs_solved(&cube, cross)));
        }
        prop_assert!(stage(&cube, cross) >= Stage::LastLayer);
    }

    /// The way back is one of the routes looked at, so none given may be longer.
    #[test]
    fn no_route_is_longer_than_the_way_the_cube_was_mixed(
        turns in prop::collection::vec(prop::sample::select(&Turn::ALL[..]), 0..8),
        cross in colours(),
        slots in 0..16usize,
    ) {
        let mixed = turns.iter().fold(Cube::solved(), |cube, &turn| cube.apply(turn));
        let keep = SlotSet::subsets().nth(slots).unwrap();
        let route = shortest_pair(&mixed, cross, Slot::ALL[0], keep, &Limits::default()).unwrap();
        prop_assert!(route.len() <= turns.len());
        let solved = route.into_iter().fold(mixed, Cube::apply);
        prop_assert!(cross_solved(&solved, cross));
        prop_assert!(keep.with(Slot::ALL[0]).is_subset(pairs_solved(&solved, cross)));
    }
}
