//! Whether all that is said is true: of every way that a pair can lie, and of whole solves. Each kind of thing that was once
//! said falsely has a check of its own.

use std::collections::HashMap;

use super::fixture::placements;
use super::reader::{self, sentences};
use super::words::{check_english, check_turns, spoken};
use crate::coach::{Advice, Level, Marks, PairAdvice, Relation, Route, advise, advise_held, pairs};
use crate::cube::{Colour, Cube, Edge, Face, Held, Move, Moves, htm, parse_moves, rotations};
use crate::solve::{self, Slot, SlotSet, Stage};

/// How many random cubes are solved by the hints.
const SOLVES: u64 = 60;

/// Every way that a pair can lie, for a cross of every colour: the advice for that pair.
fn every_pair(mut check: impl FnMut(&Held, Slot, &Advice, &PairAdvice)) {
    for (number, cross) in Colour::ALL.into_iter().enumerate() {
        let slot = Slot::ALL[number % 4];
        let level = Level::ALL[number % 2];
        for keep in [SlotSet::EMPTY, SlotSet::ALL.without(slot)] {
            for (n, cube) in placements(cross, slot, keep).into_iter().enumerate() {
                if solve::pair_solved(&cube, cross, slot) {
                    continue;
                }
                let hold = pairs::holds(cross)[(n + number) % 4];
                let held = Held { cube, hold };
                let advice = advise_held(&held, level, Some(slot));
                let all = advice.pairs.iter().flatten();
                let pair = all.clone().find(|pair| pair.slot == slot.name(cross));
                check(&held, slot, &advice, pair.expect("its advice"));
            }
        }
    }
}

/// Every advice on the way of whole solves, at every level in turn, the hold kept throughout.
fn every_advice(mut check: impl FnMut(&Held, &Advice)) {
    for seed in 0..SOLVES {
        let cross = Colour::ALL[seed as usize % 6];
        let level = Level::ALL[seed as usize / 6 % 4];
        let cube = Cube::random(seed);
        let hold = advise(&cube, Some(cross), false).hold;
        let mut at = Held { cube, hold };
        while at.cube != Cube::solved() {
            let advice = advise_held(&at, level, None);
            check(&at, &advice);
            at = at.after(&advice.hinted());
        }
    }
}

/// The pair that comes next.
fn next_pair(advice: &Advice) -> Option<&PairAdvice> {
    advice
        .pairs
        .iter()
        .flatten()
        .find(|pair| Some(&pair.slot) == advice.next.as_ref())
}

#[test]
fn all_that_is_said_of_a_pair_is_true_of_its_stickers() {
    let mut read = 0;
    every_pair(|held, slot, advice, pair| {
        read += reader::read_seen(held, slot, &advice.hints[1]);
        for route in &pair.routes {
            read += reader::read(held, slot, route);
            for step in &route.steps {
                assert!(check_turns(&step.say) > 0, "{step:?}");
            }
        }
    });
    println!("{read} things read and found so");
    assert!(read > 50_000);
}

#[test]
fn what_is_heard_at_once_is_two_short_sentences() {
    let mut heard = 0;
    let mut check = |advice: &Advice| {
        for rung in &advice.rungs {
            check_english(&rung.text());
            assert!(
                (1..=2).contains(&sentences(&rung.sentence).count()),
                "{rung:?}"
            );
            heard += 1;
        }
        for route in advice.pairs.iter().flatten().flat_map(|pair| &pair.routes) {
            for step in &route.steps {
                check_english(&step.say);
                check_english(&step.why);
                let one = sentences(&step.say).count() <= 2;
                assert!(one || step.idea == "shorter way", "{}", step.say);
            }
        }
        for route in advice.routes() {
            check_english(&route.idea);
            check_english(&route.look_for);
        }
    };
    every_pair(|_, _, advice, _| check(advice));
    every_advice(|_, advice| check(advice));
    println!("{heard} rungs");
}

#[test]
fn no_colour_is_named_that_is_not_of_the_pair() {
    every_pair(|held, slot, advice, pair| {
        let cross = held.hold.down();
        let own = slot.colours(cross);
        let steps = pair.routes.iter().flat_map(|route| &route.steps);
        let said = steps.flat_map(|step| [&step.say, &step.why]);
        for text in said.chain(&advice.hints) {
            for colour in Colour::ALL {
                let mut words = text.split(|c: char| !c.is_ascii_alphabetic());
                let told = words.any(|word| word == colour.name());
                assert!(
                    !told || colour == cross || own.contains(&colour),
                    "{colour:?}: {text}"
                );
            }
        }
    });
}

#[test]
fn the_last_rung_tells_the_first_turns_of_the_route_up_to_one_lift() {
    every_pair(|held, slot, advice, _| {
        let told = advice.next_turns();
        let all = advice.hinted();
        assert!(
            !told.is_empty() && all.starts_with(&told),
            "{told} of {all}"
        );
        assert!((3..=5).contains(&told.len()), "{told}");
        let whole = held.after(&told).cube;
        assert!(solve::cross_solved(&whole, held.hold.down()));
        let rung = &advice.rungs[4];
        // The words are the turns.
        let words: Vec<&str> = sentences(&rung.sentence).collect();
        let lift = words.last().expect("a sentence").trim_end_matches('.');
        let lift = lift.strip_prefix("Then ").unwrap_or(lift);
        assert_eq!(
            spoken(lift).as_deref(),
            Some(&told[told.len() - 3..]),
            "{}",
            rung.sentence
        );
        let done = solve::pair_solved(&whole, held.hold.down(), slot);
        assert_eq!(rung.why == "Then look again.", !done, "{rung:?}");
        assert!(advice.rungs[..4].iter().all(|rung| rung.turns.is_empty()));
    });
}

#[test]
fn no_rung_shows_or_tells_what_a_later_one_is_for() {
    every_pair(|_, _, advice, pair| {
        let [question, which, see, idea, turns] = &advice.rungs;
        assert_eq!(question.sentence, "Which pair do you see?");
        let marks = [question, which, see, idea, turns].map(|rung| rung.marks);
        let wanted = [
            Marks::NONE,
            Marks::PIECES,
            Marks::PLACES,
            Marks::PLACES,
            Marks::TURNS,
        ];
        assert_eq!(marks, wanted);
        // Neither where the two are nor what they are to each other before the second rung.
        for word in [
            "slot", "top", "front", "joined", "apart", "touch", "ready", "free", "insert",
        ] {
            for rung in [question, which] {
                let mut words = rung.text().to_lowercase().replace(['.', ','], " ");
                words.push(' ');
                assert!(
                    !words.contains(&format!(" {word} ")),
                    "{word}: {}",
                    rung.text()
                );
            }
        }
        assert!(which.sentence.contains(&pair.corner) && which.sentence.contains(&pair.edge));
    });
}

#[test]
fn a_corner_that_ends_as_it_was_is_not_said_to_be_turned() {
    let mut said = 0;
    every_pair(|held, slot, _, pair| {
        for route in &pair.routes {
            let mut at = *held;
            for step in &route.steps {
                let end = at.after(&step.moves);
                if step.why.contains("closing turns the corner") {
                    said += 1;
                    let looks = |held: &Held| pairs::spot(held, slot).looks();
                    assert_ne!(looks(&at), looks(&end), "{step:?}");
                }
                at = end;
            }
        }
    });
    assert!(said > 0);
}

#[test]
fn what_was_just_put_into_a_slot_is_not_still_there() {
    every_pair(|_, _, advice, pair| {
        let steps = pair.routes.iter().flat_map(|route| &route.steps);
        for text in steps.map(|step| &step.why).chain(&advice.hints) {
            assert!(!text.contains("still"), "{text}");
        }
    });
}

#[test]
fn two_that_agree_where_they_touch_are_not_said_not_to() {
    let mut said = 0;
    every_pair(|held, slot, advice, _| {
        let see = &advice.rungs[2].sentence;
        if see.contains("their side colours differ") {
            said += 1;
            let spot = pairs::spot(held, slot);
            // The faces on which both show a colour, and the colours there.
            let agree = |k: usize| spot.corner[k + 1] == spot.edge[k];
            let beside = (0..2).any(|k| agree(k) && spot.edge[k] != Face::U);
            assert!(spot.relation() == Relation::Misjoined && !beside, "{see}");
        }
    });
    assert!(said > 0);
}

#[test]
fn no_pair_left_takes_fewer_turns_where_that_is_said() {
    let (mut said, mut all) = (0, 0);
    every_advice(|held, advice| {
        let Some(pair) = next_pair(advice) else {
            return;
        };
        let why = &advice.rungs[1].why;
        let turns = |pair: &PairAdvice| pair.routes.first().map(|route| route.turns);
        let others = || advice.pairs.iter().flatten().filter_map(turns);
        let own = turns(pair).expect("a route");
        all += 1;
        if why.starts_with("No pair left takes fewer turns") {
            said += 1;
            assert!(others().all(|turns| turns >= own), "{why}");
        } else if why.contains("no pair is less work") {
            let work = |pair: &PairAdvice| {
                let plain = pair.routes.first()?;
                Some(2 * plain.turns + 3 * plain.rotations)
            };
            let own = work(pair).expect("a route");
            let mut rest = advice.pairs.iter().flatten().filter_map(work);
            assert!(rest.all(|work| work >= own), "{why}");
        } else {
            assert_eq!(why, "It is the last pair.");
            assert_eq!(solve::pairs_solved(&held.cube, held.hold.down()).len(), 3);
        }
    });
    println!("{said} of {all} times no pair left takes fewer turns");
    assert!(said > 0);
}

#[test]
fn the_reason_for_a_pair_says_nothing_of_what_others_share() {
    every_advice(|_, advice| {
        let why = &advice.rungs[1].why;
        for claim in ["as it lies", "freed", "both of its pieces", "on top"] {
            assert!(next_pair(advice).is_none() || !why.contains(claim), "{why}");
        }
    });
}

#[test]
fn left_and_right_are_not_called_the_far_side() {
    every_pair(|_, _, advice, pair| {
        let steps = pair.routes.iter().flat_map(|route| &route.steps);
        for text in steps.map(|step| &step.why).chain(&advice.hints) {
            assert!(
                !text.contains("far side") && !text.contains("across from its"),
                "{text}"
            );
        }
    });
}

#[test]
fn as_many_looks_are_left_as_are_said() {
    let mut said = 0;
    every_advice(|_, advice| {
        for route in advice.last_layer.iter().flat_map(|last| &last.routes) {
            let count = route.idea.split(' ').next().expect("a word").to_lowercase();
            let number = (1..=5).find(|n| crate::coach::words::count(*n) == count);
            match number {
                Some(n) => assert_eq!(n, route.steps.len(), "{}", route.idea),
                None => assert_eq!(route.steps.len(), 1, "{}", route.idea),
            }
            said += 1;
        }
    });
    assert!(said > 0);
}

#[test]
fn only_an_edge_that_is_not_down_is_brought_down() {
    let mut said = 0;
    every_advice(|held, advice| {
        for route in advice.cross.iter().flat_map(|cross| &cross.routes) {
            let mut at = *held;
            for step in &route.steps {
                let cross = held.hold.down();
                if let Some(names) = step.say.strip_prefix("Bring ") {
                    said += 1;
                    let names = names.split(" down").next().expect("names");
                    let down = |name: &str| {
                        let side = name.rsplit('-').next().expect("a colour");
                        let side = Colour::ALL.into_iter().find(|c| c.name() == side);
                        let colours = [cross, side.expect("a colour")];
                        let (edge, _) = Edge::of_colours(colours).expect("an edge");
                        let (place, _) = at.cube.find_edge(edge);
                        place.faces().contains(&cross.home_face())
                    };
                    let all = names.split([',', ' ']).filter(|word| word.contains('-'));
                    assert!(!all.clone().all(down), "{}", step.say);
                }
                at = at.after(&step.moves);
            }
        }
    });
    assert!(said > 0);
}

#[test]
fn a_flipped_edge_alone_is_called_that_and_no_more() {
    every_pair(|held, slot, advice, _| {
        let cross = held.hold.down();
        let see = &advice.rungs[2].sentence;
        let (corner, edge) = (slot.corner(cross), slot.edge(cross));
        let (c, e) = (held.cube.find_corner(corner), held.cube.find_edge(edge));
        if (c.0, e.0) == (corner, edge) {
            assert_eq!(see.contains("twisted"), c.1 != 0, "{see}");
            assert_eq!(see.contains("flipped"), e.1 != 0, "{see}");
        }
        assert!(!see.contains("right way round"), "{see}");
    });
}

/// What to look for, at a level and with the cross down, tells apart what has another plain route.
#[test]
fn one_text_to_look_for_has_one_route() {
    let mut known: HashMap<(u8, Vec<Face>, String), Moves> = HashMap::new();
    every_pair(|held, slot, advice, pair| {
        let spot = pairs::spot(held, slot);
        let plain = &pair.routes[0];
        // The same words for the same slot in hand, whatever the colours are called.
        let cross = held.hold.down();
        let mut text = plain.look_for.replace(cross.name(), "CROSS");
        let names = slot.colours(cross).map(Colour::name);
        let mut home = spot.home.to_vec();
        for (name, place) in names.iter().zip(["FIRST", "SECOND"]) {
            text = text.replace(name, place);
        }
        home.extend(spot.home);
        let before = known
            .entry((advice.level, home, text))
            .or_insert_with(|| plain.moves.clone());
        assert_eq!(*before, plain.moves, "{}", plain.look_for);
    });
    println!("{} texts", known.len());
}

#[test]
fn one_pattern_of_the_last_layer_has_one_sequence() {
    let mut known: HashMap<String, Moves> = HashMap::new();
    let mut met = 0;
    for seed in 0..20 * SOLVES {
        let cross = Colour::ALL[seed as usize % 6];
        let Some(held) = last_layer(seed, cross) else {
            continue;
        };
        let advice = advise_held(&held, Level::Front, None);
        let Some(last) = &advice.last_layer else {
            continue;
        };
        met += 1;
        // Front and hold do not matter to the words but for the colour on top.
        let top = held.hold.down().opposite().name();
        let see = advice.rungs[2]
            .sentence
            .replace(top, "TOP")
            .replace(&crate::coach::words::sentence(top), "TOP");
        let step = &last.routes[0].steps[0];
        let before = known
            .entry(see.clone())
            .or_insert_with(|| step.moves.clone());
        assert_eq!(*before, step.moves, "{see}");
    }
    println!("{met} last layers, {} texts", known.len());
}

/// A cube with a mixed last layer.
fn last_layer(seed: u64, cross: Colour) -> Option<Held> {
    let cube = Cube::random(seed);
    let mut at = Held {
        cube,
        hold: advise(&cube, Some(cross), false).hold,
    };
    for _ in 0..8 {
        match solve::stage(&at.cube, cross) {
            Stage::LastLayer => return Some(at),
            Stage::Solved => return None,
            _ => at = at.after(&advise_held(&at, Level::Still, None).hinted()),
        }
    }
    None
}

#[test]
fn shorter_ways_are_told_only_where_they_have_a_name_and_save_two_turns_or_a_turn_of_the_cube() {
    let mut told = 0;
    every_advice(|_, advice| {
        let (Some(pair), Some(route)) = (next_pair(advice), advice.told()) else {
            return;
        };
        let plain: &Route = &pair.routes[0];
        if route.moves != plain.moves {
            told += 1;
            assert!(advice.level >= 3);
            assert!(route.turns + 2 <= plain.turns || route.rotations < plain.rotations);
            let named = ["empty slot", "keyhole", "sledgehammer"];
            assert!(
                route.uses.iter().any(|name| named.contains(&name.as_str())),
                "{route:?}"
            );
        }
    });
    println!("{told} shorter ways told");
}

#[test]
fn at_the_first_level_a_turn_of_the_cube_is_said_and_above_it_there_is_none() {
    let (mut turns, mut turned, mut cubes) = (0, 0, 0);
    every_advice(|held, advice| {
        if advice.next.is_none() {
            return;
        }
        let moves: Vec<Move> = advice.hinted().0;
        assert_eq!(advice.hold, held.hold, "the hold stays");
        if advice.level == 1 {
            let said = advice.rungs[4].sentence.contains("Turn the cube");
            let first = matches!(advice.next_turns().first(), Some(Move::Rotation(..)));
            assert_eq!(said, first, "{}", advice.rungs[4].sentence);
            turned += rotations(&moves);
        } else {
            assert_eq!(rotations(&moves), 0);
            turns += htm(&moves);
            cubes += usize::from(solve::pairs_solved(&held.cube, held.hold.down()).len() == 3);
        }
    });
    println!(
        "{turned} turns of the cube at the first level; above it {turns} turns, {cubes} last pairs"
    );
}

#[test]
fn the_next_pair_is_named_before_the_present_one_is_in() {
    let (mut named_ahead, mut with_cross) = (0, 0);
    every_advice(|held, advice| {
        let Some(ahead) = &advice.ahead else { return };
        assert_eq!(advice.level, 4);
        named_ahead += 1;
        let after = held.after(&advice.hinted());
        let then = advise_held(&after, Level::Ahead, None);
        assert_eq!(then.next.as_ref(), Some(&ahead.slot));
        with_cross += usize::from(advice.next.is_none());
        assert_ne!(Some(&ahead.slot), advice.next.as_ref());
    });
    assert!(named_ahead > with_cross && with_cross > 0);
}

#[test]
fn a_cube_that_was_given_once_is_told_the_same_again() {
    let cube = Cube::solved().after(&parse_moves("R U R' U' F R2 D' L B").expect("moves"));
    assert_eq!(advise(&cube, None, true), advise(&cube, None, true));
}
