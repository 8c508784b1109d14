//! Whole states: every stage, every cross colour, the form of the JSON.

use proptest::prelude::*;

use super::said::english::check_english;
use crate::coach::saying::{CrossSaying, PairName, Saying, Text};
use crate::coach::{Level, Outcome, Style, advise, advise_held, cross_colour, english};
use crate::cube::{Amount, Colour, Cube, Face, Held, Net, Turn, htm, parse_moves};
use crate::solve::{self, Stage};

fn scrambled(text: &str) -> Cube {
    Cube::solved().after(&parse_moves(text).expect("moves"))
}

/// Follows the advice until the cube is solved, checking each step on the way.
fn solve_by_hints(cube: Cube, cross: Colour) -> usize {
    let mut turns = 0;
    let mut at = Held {
        cube,
        hold: advise(&cube, Some(cross), false).hold,
    };
    for _ in 0..12 {
        let advice = advise_held(&at, Level::Front, None);
        assert_eq!(advice.hold, at.hold, "the hold stays");
        for hint in &advice.hints {
            check_english(&english::text(hint));
        }
        let moves = advice.hinted();
        let before = advice.stage;
        if before == Stage::Solved {
            return turns;
        }
        assert!(!moves.is_empty(), "{advice:?}");
        let next = at.after(&moves);
        match before {
            Stage::Cross => assert!(solve::cross_solved(&next.cube, cross)),
            Stage::Pairs => {
                let solved = solve::pairs_solved(&at.cube, cross);
                let now = solve::pairs_solved(&next.cube, cross);
                assert!(solved.is_subset(now) && solved != now);
                assert!(solve::cross_solved(&next.cube, cross));
            }
            _ => assert_eq!(solve::pairs_solved(&next.cube, cross), solve::SlotSet::ALL),
        }
        turns += htm(&moves);
        at = next;
    }
    panic!("not solved by the hints: {cube:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn the_hints_solve_any_cube_on_any_cross(seed in any::<u64>(), cross in 0..6usize) {
        let turns = solve_by_hints(Cube::random(seed), Colour::ALL[cross]);
        prop_assert!(turns < 110, "{turns} turns");
    }

    #[test]
    fn cross_routes_solve_the_cross_and_the_optimal_one_is_among_them(seed in any::<u64>(), cross in 0..6usize) {
        let (cube, cross) = (Cube::random(seed), Colour::ALL[cross]);
        prop_assume!(!solve::cross_solved(&cube, cross));
        let advice = advise(&cube, Some(cross), false);
        let held = Held { cube, hold: advice.hold };
        let routes = advice.cross.expect("routes").routes;
        for route in &routes {
            let end = held.after(&route.moves);
            prop_assert!(solve::cross_solved(&end.cube, cross));
            prop_assert_eq!(end.hold, held.hold);
            prop_assert_eq!(route.turns, htm(&route.moves));
            for step in &route.steps {
                check_english(&english::text(&step.say));
                check_english(&english::text(&step.why));
            }
        }
        prop_assert_eq!(routes[0].style, Style::Plain);
        let fewest = usize::from(solve::cross_turns(&cube, cross));
        prop_assert_eq!(routes[1].turns, fewest);
        prop_assert!(routes[0].turns <= 14);
    }

    #[test]
    fn the_whole_solution_solves_any_cube(seed in any::<u64>(), cross in 0..6usize) {
        let cube = Cube::random(seed);
        let advice = advise(&cube, Some(Colour::ALL[cross]), true);
        let mut at = Held { cube, hold: advice.hold };
        let parts = advice.solution.expect("a solution");
        // Pairs that are there at the start and stay while the cross is made need no part; all others have one.
        let solved = |cube: &Cube| solve::pairs_solved(cube, Colour::ALL[cross]);
        let mut given: Vec<_> = solved(&cube).iter().collect();
        for part in &parts {
            at = at.after(&part.moves);
            if part.stage == "cross" {
                given.retain(|slot| solved(&at.cube).contains(*slot));
            }
        }
        let pairs = parts.iter().filter(|p| p.stage == "pair").count();
        prop_assert_eq!(pairs, 4 - given.len());
        prop_assert_eq!(at.cube, Cube::solved());
    }
}

/// How many edges of a cross are said to be in the right order.
fn in_order(text: &Text) -> Option<usize> {
    text.sayings().iter().find_map(|saying| match saying {
        Saying::Cross(CrossSaying::InOrder(count)) => Some(*count),
        _ => None,
    })
}

#[test]
fn the_easiest_cross_is_named_with_what_is_seen_on_it() {
    for seed in 0..300 {
        let cube = Cube::random(seed);
        let cross = Colour::ALL[seed as usize % 6];
        let advice = advise(&cube, Some(cross), false);
        let easiest = advice
            .easiest_cross
            .expect("no random cube here has its cross");
        let fewest = Colour::ALL.map(|c| solve::cross_turns(&cube, c));
        assert_eq!(fewest.iter().min(), Some(&easiest.turns));
        assert_eq!(solve::cross_turns(&cube, easiest.colour), easiest.turns);
        assert!(solve::cross_turns(&cube, cross) > easiest.turns || easiest.colour == cross);
        let said = english::text(&advice.say);
        assert!(said.contains(&english::text(&easiest.say)), "{said}");
        // Turn the face of the cross only: as many edges stand at their centres as are said to stand right.
        let face = easiest.colour.home_face();
        let at_home = |cube: &Cube| {
            let net = Net::of(cube);
            let right = |side: &Face| {
                net.sticker(face, &[*side]) == easiest.colour
                    && net.sticker(*side, &[face]) == side.home_colour()
            };
            face.around().iter().filter(|side| right(side)).count()
        };
        let turned = Amount::ALL.map(|amount| cube.apply(Turn::new(face, amount)));
        let standing = turned.iter().map(at_home).max().max(Some(at_home(&cube)));
        match in_order(&easiest.say) {
            Some(said) => assert_eq!(Some(said), standing, "{easiest:?}"),
            None => assert!(standing < Some(2), "{easiest:?}"),
        }
    }
}

#[test]
fn a_pair_that_is_asked_for_comes_first() {
    for seed in 0..40 {
        let cross = Colour::ALL[seed as usize % 6];
        let start = advise(&Cube::random(seed), Some(cross), false);
        let held = Held {
            cube: Cube::random(seed),
            hold: start.hold,
        };
        let cube = held.after(&start.hinted()).cube;
        for slot in solve::Slot::ALL {
            if solve::pair_solved(&cube, cross, slot) {
                continue;
            }
            let held = Held {
                cube,
                hold: slot.hold(cross),
            };
            let advice = advise_held(&held, Level::Front, Some(slot));
            assert_eq!(advice.next, Some(PairName { slot, cross }));
            let end = held.after(&advice.hinted()).cube;
            assert!(solve::pair_solved(&end, cross, slot));
        }
    }
}

#[test]
fn every_stage_is_named_and_has_what_belongs_to_it() {
    for (scramble, stage) in [
        ("R U F", Stage::Cross),
        ("L U2 L' U R U R'", Stage::Pairs),
        ("R U R' U R U2 R'", Stage::LastLayer),
        ("", Stage::Solved),
    ] {
        let advice = advise(&scrambled(scramble), Some(Colour::Yellow), false);
        assert_eq!(advice.stage, stage, "{scramble}");
        assert_eq!(advice.cross.is_some(), stage == Stage::Cross);
        assert_eq!(advice.pairs.is_some(), stage == Stage::Pairs);
        assert_eq!(advice.next.is_some(), stage == Stage::Pairs);
        assert_eq!(advice.last_layer.is_some(), stage == Stage::LastLayer);
        assert_eq!(advice.outcome == Outcome::Solved, stage == Stage::Solved);
        assert_eq!(advice.hold.down(), Colour::Yellow);
    }
}

#[test]
fn the_solved_cross_with_most_pairs_is_taken_up() {
    // Yellow's cross and three of its pairs stand; the other crosses are broken.
    assert_eq!(
        cross_colour(&scrambled("L U2 L'"), Colour::White),
        Colour::Yellow
    );
    assert_eq!(
        cross_colour(&scrambled("R U2 F L D"), Colour::Blue),
        Colour::Blue
    );
    assert_eq!(cross_colour(&Cube::solved(), Colour::White), Colour::White);
}

#[test]
fn a_pair_that_is_joined_or_ready_is_chosen_before_one_that_is_trapped() {
    // Yellow down: one pair is three turns from its slot, another is in its slot the wrong way round.
    let cube = scrambled("F' U2 F U L' U L U' L' U L");
    let advice = advise(&cube, Some(Colour::Yellow), false);
    let pairs = advice.pairs.expect("pairs");
    let cost = |slot: PairName| {
        let pair = pairs.iter().find(|p| p.slot == slot).expect("pair");
        pair.routes
            .first()
            .map_or(usize::MAX, |r| r.turns + 2 * r.rotations)
    };
    let next = advice.next.expect("next");
    let least = pairs.iter().map(|p| cost(p.slot)).min().expect("four");
    assert!(
        cost(next) <= least + 1,
        "{next:?} costs {} of {least}",
        cost(next)
    );
}

#[test]
fn the_json_has_the_promised_names() {
    let advice = advise(&scrambled("L U2 L' U R U R'"), None, true);
    let json = serde_json::to_value(&advice).expect("JSON");
    assert_eq!(json["schema"], 1);
    assert_eq!(json["outcome"], "advice");
    assert_eq!(json["stage"], "pairs");
    assert_eq!(json["hold"]["down"], "yellow");
    assert!(json["hold"]["front"].is_string());
    let pairs = json["pairs"].as_array().expect("pairs");
    let slots: Vec<&str> = pairs.iter().filter_map(|p| p["slot"].as_str()).collect();
    assert_eq!(
        slots,
        ["green-red", "red-blue", "blue-orange", "orange-green"]
    );
    let open = pairs
        .iter()
        .find(|p| p["solved"] == false)
        .expect("an open pair");
    assert_eq!(
        open["corner"],
        format!("yellow-{}", open["edge"].as_str().expect("edge"))
    );
    for key in ["corner_at", "edge_at", "corner_faces", "relation"] {
        assert!(open["case"][key].is_string(), "{key}");
    }
    let route = &open["routes"][0];
    assert_eq!(route["style"], "plain");
    assert_eq!(open["routes"][1]["style"], "short");
    for key in ["moves", "turns", "rotations", "uses", "steps"] {
        assert!(!route[key].is_null(), "{key}");
    }
    for key in ["say", "why", "moves"] {
        assert!(route["steps"][0][key].is_string(), "{key}");
    }
    assert_eq!(json["hints"].as_array().map(Vec::len), Some(4));
    assert_eq!(json["faults"].as_array().map(Vec::len), Some(0));
    assert_eq!(json["solution"][0]["stage"], "pair");
}
