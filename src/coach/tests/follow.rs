//! Following along: the likely states are all different, every way back leads back, every chance counts.

use std::collections::HashSet;

use proptest::prelude::*;

use super::said::english::check_english;
use crate::coach::follow::{SlipKind, likely};
use crate::coach::{advise, english};
use crate::cube::{Colour, Cube, Held, Hold, Move, Moves, parse_moves};

fn moves(text: &str) -> Vec<Move> {
    parse_moves(text).expect("moves")
}

fn check(start: &Held, route: &[Move]) {
    let right: Vec<Cube> = (0..=route.len())
        .map(|n| start.after(&route[..n]).cube)
        .collect();
    let goal = right[route.len()];
    let all = likely(start, route);
    let states: HashSet<Cube> = all.iter().map(|l| l.cube).collect();
    assert_eq!(states.len(), all.len(), "states repeat");
    assert!(right.iter().all(|cube| states.contains(cube)));
    for one in &all {
        assert_eq!(one.along(), right.contains(&one.cube), "{one:?}");
        assert_eq!(start.after(&one.made).cube, one.cube);
        let now = Held {
            cube: one.cube,
            hold: start.hold,
        };
        let back = now.after(&one.undo);
        assert!(
            right.contains(&back.cube),
            "{} does not lead back",
            one.undo
        );
        assert_eq!(back.after(&one.then).cube, goal, "{one:?}");
        for text in [one.say(), one.first_word(), one.way_back()].map(|text| english::text(&text)) {
            assert!(text.ends_with('.') && !text.contains("  "), "{text}");
        }
        let first = english::text(&one.first_word());
        check_english(&first);
        assert!(!first.contains('('), "no turns yet");
    }
    let total: f64 = all.iter().map(|l| l.prior.exp()).sum();
    assert!((total - 1.0).abs() < 1e-9, "chances add up to {total}");
    assert_eq!(all[0].cube, goal, "the route followed is the likeliest");
}

#[test]
fn the_slips_of_a_plain_route_are_named_and_undone() {
    let hold = Hold::new(Colour::Yellow, Colour::Red).expect("a hold");
    let start = Held {
        cube: Cube::random(7),
        hold,
    };
    let route = moves("R U' R'");
    let find = |made: &str| {
        let cube = start.after(&moves(made)).cube;
        likely(&start, &route)
            .into_iter()
            .find(|l| l.cube == cube)
            .expect("foreseen")
    };
    let wrong_way = find("R U' R");
    let slip = wrong_way.slip.as_ref().expect("a slip");
    assert_eq!((slip.kind, slip.at), (SlipKind::Direction, 3));
    assert_eq!(
        (slip.did.to_string(), slip.meant.to_string()),
        ("R".into(), "R'".into())
    );
    assert_eq!(wrong_way.undo.to_string(), "R'");
    assert_eq!(wrong_way.then.to_string(), "R'");

    let mirror = find("L' U' R'");
    let slip = mirror.slip.as_ref().expect("a slip");
    assert_eq!((slip.kind, slip.at), (SlipKind::Face, 1));
    assert_eq!(mirror.undo.to_string(), "R U L");

    let other_side = find("L' U' L");
    assert_eq!(
        other_side.slip.as_ref().map(|s| s.kind),
        Some(SlipKind::MirrorSide)
    );
    assert_eq!(
        find("R R'").slip.as_ref().map(|s| s.kind),
        None,
        "back at the start"
    );
    assert_eq!(
        find("R U2 R'").slip.as_ref().map(|s| s.kind),
        Some(SlipKind::Amount)
    );
    assert_eq!(
        find("R U").slip.as_ref().map(|s| s.kind),
        Some(SlipKind::Direction)
    );
    assert!(find("R U'").along());
}

#[test]
fn a_route_made_from_the_wrong_hold_is_foreseen() {
    let start = Held {
        cube: Cube::random(3),
        hold: Hold::HOME,
    };
    let route = moves("y U R U' R'");
    let forgot = start.after(&moves("U R U' R'")).cube;
    let found = likely(&start, &route)
        .into_iter()
        .find(|l| l.cube == forgot)
        .expect("foreseen");
    assert_eq!(
        found.slip.as_ref().map(|s| s.kind),
        Some(SlipKind::Rotation)
    );
    assert_eq!(found.undo, Moves(moves("R U R' U'")));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn every_way_back_leads_back(seed in any::<u64>(), cross in 0..6usize) {
        let cross = Colour::ALL[cross];
        let advice = advise(&Cube::random(seed), Some(cross), true);
        let mut at = Held { cube: Cube::random(seed), hold: advice.hold };
        for part in advice.solution.expect("a solution") {
            if !part.moves.is_empty() && part.moves.len() < 16 {
                check(&at, &part.moves);
            }
            at = at.after(&part.moves);
        }
    }
}
