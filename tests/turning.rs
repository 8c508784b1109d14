//! Turning in view, by simulation: hands turn a cube before the camera, look by look; what is told must be true, and in time.

use pairsight::cube::{Amount, Cube, Face, Held, Hold, Move, Moves, Scheme, Turn, parse_moves};
use pairsight::live::{Event, PairColours, Part, Timed};
use rand::SeedableRng;
use rand::seq::IndexedRandom;
use rand_chacha::ChaCha8Rng;

use crate::hands::{Act, Eye, Scene, eye, mid_solve};

/// The hint's turns and what comes after them, once it is known.
fn route(scene: &Scene) -> Moves {
    scene.session.known().expect("it was read").moves()
}

fn started(seed: u64, fps: f64, rung: u8) -> Scene {
    let rng = &mut ChaCha8Rng::seed_from_u64(seed);
    let cube = mid_solve(rng);
    let scene = Scene::new(cube, eye(rng), fps, rung, seed);
    let read = scene.count(|event| matches!(event, Event::Read { .. }));
    assert_eq!(read, 1, "{seed}: {:?}", scene.told);
    scene
}

#[test]
fn right_turns_in_view_tick_and_nothing_else_is_said() {
    let mut delays = Vec::new();
    for seed in 0..12 {
        let mut scene = started(seed, [5.0, 10.0, 15.0, 30.0, 60.0][seed as usize % 5], 4);
        let moves = route(&scene);
        scene.make(&moves, 0.3, 0.5);
        assert_eq!(scene.wrong(), [""; 0], "{seed}");
        assert_eq!(
            scene.count(|e| matches!(e, Event::Slip { .. })),
            0,
            "{seed} {moves:?} {:?}",
            scene.told
        );
        assert_eq!(
            scene.count(|e| matches!(e, Event::Followed { .. })),
            1,
            "{seed} {moves:?} {:?}",
            scene.told
        );
        delays.extend(scene.delays());
    }
    let in_time = delays.iter().flatten().filter(|d| **d <= 0.5).count();
    println!(
        "{in_time} of {} in half a second: {delays:.2?}",
        delays.len()
    );
    assert!(in_time * 10 >= delays.len() * 9, "{delays:?}");
}

/// Where colours lie close together, two looks at one corner were taken for looks at two, and a turn was never told.
#[test]
fn turns_of_a_faded_cube_are_told() {
    let (mut told, mut all) = (0, 0);
    for seed in 700..708 {
        let rng = &mut ChaCha8Rng::seed_from_u64(seed);
        let cube = mid_solve(rng);
        let faded = Eye {
            faded: 0.5,
            ..eye(rng)
        };
        let mut scene = Scene::new(cube, faded, 15.0, 4, seed);
        if scene.session.known().is_none() {
            continue;
        }
        let moves = route(&scene);
        scene.make(&moves, 0.3, 0.5);
        assert_eq!(scene.wrong(), [""; 0], "{seed}");
        let delays = scene.delays();
        all += delays.len();
        told += delays.iter().flatten().filter(|d| **d <= 0.5).count();
    }
    println!("{told} of {all}");
    assert!(all > 10 && told * 10 >= all * 9, "{told} of {all}");
}

#[test]
fn a_wrong_turn_on_the_top_rung_is_named_with_the_way_back() {
    let mut named = 0;
    for seed in 100..112 {
        let rng = &mut ChaCha8Rng::seed_from_u64(seed);
        let mut scene = started(seed, 15.0, 4);
        let moves = route(&scene);
        let at = moves.iter().position(|m| m.htm() > 0).expect("a turn");
        let (turns, _) = moves[at].as_turns();
        let others: Vec<Turn> = Turn::ALL
            .into_iter()
            .filter(|t| t.face != turns[0].face)
            .collect();
        let wrong = *others.choose(rng).expect("others");
        scene.make(&moves[..at], 0.3, 0.5);
        scene.make(&[wrong.into()], 0.3, 1.0);
        assert_eq!(scene.wrong(), [""; 0], "{seed}");
        let slip = scene.told.iter().find_map(|timed| match &timed.event {
            Event::Slip { undo, .. } => Some(undo.clone()),
            _ => None,
        });
        // Where the turn before it was not told in time, both are taken back.
        let slip = slip.filter(|undo| undo.len() == 1);
        named += usize::from(slip.is_some());
        if let Some(undo) = slip {
            let held = scene.hands.held;
            let back = Held {
                hold: hint_hold(&scene),
                ..held
            }
            .after(&undo);
            assert_eq!(
                back.cube,
                held.cube.apply(held.hold.turn_at_home(wrong.inverse())),
                "{seed}"
            );
            scene.make(
                &[Turn::new(wrong.face, wrong.amount.inverse()).into()],
                0.3,
                0.6,
            );
            scene.make(&moves[at..], 0.3, 0.5);
            assert_eq!(scene.wrong(), [""; 0], "{seed}");
            assert_eq!(
                scene.count(|e| matches!(e, Event::Followed { .. })),
                1,
                "{seed}: {:?}",
                scene.told
            );
        }
    }
    assert!(named >= 11, "{named}");
}

#[test]
fn on_lower_rungs_turns_are_only_counted() {
    for seed in 200..204 {
        let mut scene = started(seed, 15.0, 1);
        let before = scene.told.len();
        let wrong = parse_moves("R U' F").expect("moves");
        scene.make(&wrong, 0.3, 0.6);
        let said: Vec<&Timed> = scene.told[before..]
            .iter()
            .filter(|timed| {
                !matches!(
                    timed.event,
                    Event::Turn { .. }
                        | Event::Still {}
                        | Event::Rotated { .. }
                        | Event::Saw { .. }
                )
            })
            .collect();
        assert!(said.is_empty(), "{seed}: {said:?}");
        assert_eq!(
            scene.count(|e| matches!(e, Event::Turn { .. })),
            3,
            "{seed}: {:?}",
            scene.told
        );
        assert_eq!(
            scene.session.known().map(|k| k.cube()),
            Some(scene.hands.held.cube)
        );
    }
}

/// One rest alone told turns that were never made: fingers lay so that they looked like them.
#[test]
fn turns_too_fast_to_follow_are_made_out_by_the_second_rest() {
    let mut found = 0;
    for seed in 300..308 {
        let rng = &mut ChaCha8Rng::seed_from_u64(seed);
        let mut scene = started(seed, 15.0, 1);
        let mut moves: Vec<Move> = Vec::new();
        while moves.len() < 4 {
            let turn = *Turn::ALL.choose(rng).expect("a turn");
            if moves.last().is_none_or(|last| !matches!(last, Move::Outer(t) if t.face == turn.face || t.face == turn.face.opposite())) {
                moves.push(turn.into());
            }
        }
        scene.make(&moves, 0.12, 0.0);
        scene.act(Act::Rest(1.0));
        assert_eq!(scene.wrong(), [""; 0], "{seed}");
        scene.act(Act::Cover(0.6));
        scene.act(Act::Rest(1.0));
        assert_eq!(scene.wrong(), [""; 0], "{seed}");
        found +=
            usize::from(scene.session.known().map(|k| k.cube()) == Some(scene.hands.held.cube));
    }
    assert!(found >= 7, "{found}");
}

/// A whole route made without a pause was out of reach, though every turn of it was the next one.
#[test]
fn an_expected_route_made_without_a_pause_is_told_at_the_first_rest() {
    let (mut told, mut all) = (0, 0);
    for seed in 320..328 {
        let mut scene = started(seed, 15.0, 4);
        let moves = route(&scene);
        let few = &moves[..moves.len().min(6)];
        if few.len() < 4 {
            continue;
        }
        scene.make(few, 0.12, 0.0);
        scene.act(Act::Rest(0.6));
        assert_eq!(scene.wrong(), [""; 0], "{seed}");
        all += 1;
        told += usize::from(scene.session.known().map(|k| k.cube()) == Some(scene.hands.held.cube));
    }
    assert!(all >= 4 && told + 1 >= all, "{told} of {all}");
}

#[test]
fn idle_hands_climb_no_rung_and_nothing_is_told_of_them() {
    for seed in 400..406 {
        let mut scene = started(seed, 15.0, 2);
        let before = scene.told.len();
        let part_way = Turn::new(Face::U, Amount::Quarter);
        for act in [
            Act::Cover(1.2),
            Act::Rest(0.8),
            Act::Cover(2.0),
            Act::Rest(0.8),
            Act::PartWay(part_way, 24.0, 1.5),
            Act::Rest(0.5),
            Act::PartWay(part_way, 45.0, 1.5),
            Act::Rest(0.5),
            Act::Rotate(Face::U, 1, 0.7),
            Act::Rest(0.8),
            Act::Rotate(Face::U, 3, 0.7),
            Act::Rest(0.8),
            Act::Swap(Cube::random(seed + 1), 1.0),
        ] {
            scene.act(act);
        }
        let said: Vec<&Timed> = scene.told[before..]
            .iter()
            .filter(|timed| {
                !matches!(
                    timed.event,
                    Event::Still {} | Event::Rotated { .. } | Event::Saw { .. } | Event::Ask { .. }
                )
            })
            .collect();
        assert!(said.is_empty(), "{seed}: {said:?}");
    }
}

/// Another cube, half under hands, was told as a slip of the one before: of the states that slips may have led to while the cube was away,
/// one looked like it.
#[test]
fn another_cube_that_comes_in_its_place_is_no_slip() {
    for seed in 800..812 {
        let mut scene = started(seed, 10.0, 4);
        let hold = scene.hands.held.hold;
        let before = scene.told.len();
        scene.act(Act::Away(hold, 1.0));
        scene.hands.eye.fingers = 0.5;
        let other = mid_solve(&mut ChaCha8Rng::seed_from_u64(seed + 1000));
        scene.act(Act::Swap(other, 2.0));
        for told in &scene.told[before..] {
            let (Event::Turn { net, .. } | Event::Slip { net, .. } | Event::Followed { net, .. }) =
                &told.event
            else {
                continue;
            };
            let state = Scheme::state(net).map(|(_, state)| state);
            assert_eq!(state, Some(other), "{seed}: {told:?}");
        }
    }
}

#[test]
fn help_is_given_to_a_cube_held_up_close_or_taken_away_and_shown_again() {
    let level = |scene: &Scene| scene.session.known().map(|known| known.level());
    let mut scene = started(500, 15.0, 1);
    let hold = scene.hands.held.hold;
    scene.act(Act::Rest(3.0));
    assert_eq!(level(&scene), Some(1));
    scene.act(Act::Close(3.0));
    assert_eq!(level(&scene), Some(2));
    scene.act(Act::Rest(1.0));
    // It moves before it goes.
    scene.act(Act::Rotate(Face::R, 1, 0.6));
    scene.act(Act::Away(hold, 1.5));
    scene.act(Act::Rest(1.0));
    assert_eq!(level(&scene), Some(3));
    scene.act(Act::Rest(3.0));
    assert_eq!(level(&scene), Some(3));
}

#[test]
fn a_mirrored_feed_is_followed_and_told_of_once() {
    let rng = &mut ChaCha8Rng::seed_from_u64(600);
    let cube = mid_solve(rng);
    let eye = Eye {
        mirrored: true,
        ..Eye::default()
    };
    let mut scene = Scene::new(cube, eye, 15.0, 4, 600);
    let moves = route(&scene);
    scene.make(&moves, 0.3, 0.5);
    assert_eq!(scene.wrong(), [""; 0]);
    assert_eq!(
        scene.count(|e| matches!(e, Event::Trouble { .. })),
        1,
        "{:?}",
        scene.told
    );
    assert_eq!(
        scene.count(|e| matches!(e, Event::Followed { .. })),
        1,
        "{:?}",
        scene.told
    );
}

#[test]
fn the_cube_is_drawn_as_it_is_held_once_it_was_turned_over() {
    let mut scene = started(700, 15.0, 4);
    let moves = route(&scene);
    let at = moves.iter().position(|m| m.htm() > 0).expect("a turn");
    scene.make(&moves[..=at], 0.3, 0.6);
    scene.act(Act::Rotate(Face::U, 1, 0.7));
    scene.act(Act::Rest(1.0));
    let turned = scene.told.iter().rev().find_map(|timed| match timed.event {
        Event::Rotated { hold } => Hold::new(hold.down, hold.front),
        _ => None,
    });
    assert_eq!(turned, Some(scene.hands.held.hold), "{:?}", scene.told);
}

/// The hold that the last hint's turns start from.
fn hint_hold(scene: &Scene) -> Hold {
    let hold = scene.told.iter().rev().find_map(|timed| match timed.event {
        Event::Hint { hold, .. } => Hold::new(hold.down, hold.front),
        _ => None,
    });
    hold.expect("a hint")
}

/// The text of the last hint.
fn hint(scene: &Scene) -> String {
    let text = scene
        .told
        .iter()
        .rev()
        .find_map(|timed| match &timed.event {
            Event::Hint { text, .. } => Some(text.clone()),
            _ => None,
        });
    text.expect("a hint")
}

#[test]
fn the_first_thing_asked_is_which_pair_is_seen_and_nothing_is_shown() {
    let scene = started(800, 15.0, 0);
    assert!(
        hint(&scene).starts_with("Which pair do you see?"),
        "{:?}",
        scene.told
    );
    let known = scene.session.known().expect("read");
    assert!(!known.marks().pieces && !known.gives_turns());
}

/// Once all turns of a pair were told after the first right one.
#[test]
fn on_the_top_rung_the_next_turns_are_told_when_those_before_are_made() {
    let mut looked_again = 0;
    for seed in 820..823 {
        let mut scene = started(seed, 15.0, 4);
        let moves = route(&scene);
        let hints = |scene: &Scene| scene.count(|e| matches!(e, Event::Hint { .. }));
        let told = scene
            .session
            .known()
            .expect("read")
            .advice()
            .next_turns()
            .len();
        let before = hints(&scene);
        scene.make(&moves[..told - 1], 0.3, 0.6);
        assert_eq!(hints(&scene), before, "{seed}: {:?}", scene.told);
        scene.make(&moves[told - 1..told], 0.3, 0.6);
        assert_eq!(hints(&scene), before + 1, "{seed}: {:?}", scene.told);
        assert!(
            hint(&scene).split_whitespace().count() <= 30,
            "{}",
            hint(&scene)
        );
        if told < moves.len() {
            looked_again += 1;
            let next = scene.session.known().expect("read").moves();
            scene.make(&next, 0.3, 0.6);
            assert_eq!(
                scene.count(|e| matches!(e, Event::Followed { .. })),
                1,
                "{seed}"
            );
        }
        assert_eq!(scene.wrong(), [""; 0], "{seed}");
    }
    assert!(looked_again > 0);
}

/// The first cubes of some whose hint has a half turn among its first three moves, the moves before it made: with the moves, and the
/// place of the half turn among them.
fn before_half_turns(seeds: std::ops::Range<u64>) -> impl Iterator<Item = (Scene, Moves, usize)> {
    let scenes = seeds.filter_map(|seed| {
        let rng = &mut ChaCha8Rng::seed_from_u64(seed);
        let cube = mid_solve(rng);
        let moves = pairsight::coach::advise(&cube, None, false).hinted();
        let is_half = |m: &Move| matches!(m, Move::Outer(t) if t.amount == Amount::Half);
        let at = moves.iter().position(is_half).filter(|at| *at < 3)?;
        let mut scene = Scene::new(cube, eye(rng), 15.0, 4, seed);
        scene.make(&moves[..at], 0.3, 0.6);
        Some((scene, moves, at))
    });
    scenes.take(2)
}

/// Hesitation after half of a half turn was answered by nothing, or as a slip.
#[test]
fn half_of_a_half_turn_is_on_the_way_and_the_rest_is_told_in_hesitation() {
    let mut tried = 0;
    for (mut scene, moves, at) in before_half_turns(840..870) {
        let half = moves[at].with_amount(Amount::Quarter);
        scene.make(&[half], 0.3, 2.0);
        assert_eq!(scene.count(|e| matches!(e, Event::Slip { .. })), 0);
        assert!(
            hint(&scene).starts_with("Right so far. Go on:"),
            "{:?}",
            scene.told
        );
        assert_eq!(scene.session.known().expect("read").moves()[0], half);
        tried += 1;
    }
    assert_eq!(tried, 2);
}

/// A layer that was turned on after its half turn was taken for half way of it: "right so far".
#[test]
fn what_is_turned_on_past_a_half_turn_that_was_seen_is_a_slip() {
    let mut tried = 0;
    for (mut scene, moves, at) in before_half_turns(840..870) {
        scene.make(&moves[at..=at], 0.4, 0.6);
        let on = moves[at].with_amount(Amount::Quarter);
        scene.make(&[on], 0.3, 2.0);
        assert_eq!(scene.wrong(), [""; 0]);
        let undo = scene.told.iter().find_map(|timed| match &timed.event {
            Event::Slip { undo, .. } => Some(undo.clone()),
            _ => None,
        });
        assert_eq!(undo, Some(Moves(vec![on.inverse()])), "{:?}", scene.told);
        tried += 1;
    }
    assert_eq!(tried, 2);
}

/// A right turn that was turned back again was answered by nothing: the cube was on the way, as before it.
#[test]
fn a_right_turn_that_is_turned_back_is_a_slip_and_made_again_it_is_right() {
    let mut scene = started(880, 15.0, 4);
    let moves = scene.session.known().expect("read").moves();
    scene.make(&moves[..2], 0.3, 0.6);
    let (last, before) = (moves[1], scene.told.len());
    scene.make(&[last.inverse()], 0.3, 1.5);
    let undo = scene.told[before..]
        .iter()
        .find_map(|timed| match &timed.event {
            Event::Slip { undo, .. } => Some(undo.clone()),
            _ => None,
        });
    assert_eq!(undo, Some(Moves(vec![last])), "{:?}", scene.told);
    scene.make(&[last], 0.3, 0.6);
    assert!(!scene.session.known().expect("followed").slipped());
    assert_eq!(scene.count(|e| matches!(e, Event::Slip { .. })), 1);
    assert_eq!(scene.wrong(), [""; 0]);
}

#[test]
fn another_pair_than_the_hinted_one_is_right_and_said_to_be() {
    let mut scene = started(880, 15.0, 0);
    let known = scene.session.known().expect("read").clone();
    let advice = known.advice();
    let other = advice
        .pairs
        .iter()
        .flatten()
        .find(|pair| !pair.solved && Some(pair.slot) != advice.next);
    let other = other.expect("two pairs are open");
    scene.make(&other.routes[0].moves, 0.3, 0.5);
    let told = scene.told.iter().find_map(|timed| match &timed.event {
        Event::Followed {
            gained, lost, text, ..
        } => Some((gained.clone(), lost.clone(), text.clone())),
        _ => None,
    });
    let (gained, lost, text) = told.expect("it is told");
    assert_eq!(
        (gained, lost.len()),
        (
            vec![Part::Pair(PairColours::of(
                other.slot.slot,
                other.slot.cross
            ))],
            0
        )
    );
    assert!(
        text.ends_with("another pair than I had in mind, and right."),
        "{text}"
    );
}

/// A slip that is shown below the top rung: first what is different, and the way back only when it is shown again.
#[test]
fn below_the_top_rung_the_way_back_comes_with_the_second_showing() {
    let mut scene = started(900, 15.0, 1);
    let moves = route(&scene);
    let at = moves.iter().position(|m| m.htm() > 0).expect("a turn");
    let (turns, _) = moves[at].as_turns();
    scene.make(&moves[..at], 0.3, 0.5);
    let wrong = Turn::new(
        Face::ALL
            .into_iter()
            .find(|f| f.index() != turns[0].face.index() && *f != turns[0].face.opposite())
            .expect("a face"),
        Amount::Quarter,
    );
    scene.make(&[wrong.into()], 0.3, 0.8);
    let slips = |scene: &Scene| scene.count(|e| matches!(e, Event::Slip { .. }));
    assert_eq!(slips(&scene), 0, "{:?}", scene.told);
    // Not every holding up is seen for long enough.
    let close = |scene: &mut Scene, is_answered: &dyn Fn(&Scene) -> bool| {
        for _ in 0..3 {
            if !is_answered(scene) {
                scene.act(Act::Close(3.0));
                scene.act(Act::Rest(1.0));
            }
        }
    };
    close(&mut scene, &|scene: &Scene| slips(scene) > 0);
    let slip = scene.told.iter().find_map(|timed| match &timed.event {
        Event::Slip {
            way_back,
            text,
            undo,
            ..
        } => Some((*way_back, text.clone(), undo.clone())),
        _ => None,
    });
    let (way_back, text, undo) = slip.expect("asked about, it is told");
    assert!(
        !way_back && text.ends_with("Look again.") && undo.len() == 1,
        "{text}"
    );
    let level = scene.session.known().map(|known| known.level());
    close(&mut scene, &|scene: &Scene| {
        hint(scene).starts_with("Go back:")
    });
    assert!(hint(&scene).starts_with("Go back:"), "{:?}", scene.told);
    assert_eq!(scene.session.known().map(|known| known.level()), level);
}
