//! Whether all that is said is true, over a few of all ways and solves; the laboratory's `truth` goes through as many as are
//! asked for.

use std::collections::HashMap;
use std::sync::LazyLock;

use super::said::kinds::{self, BONDS};
use super::said::{PairCase, Said, english as read_back, solve};
use crate::coach::{Level, Text, advise, english, words};
use crate::cube::{Amount, Cube, Move, Scheme, Slice, Turn, parse_moves};

/// How many random cubes are solved by the hints.
const SOLVES: u64 = 60;

static ALL: LazyLock<Vec<Said>> = LazyLock::new(|| {
    let placed = PairCase::all()
        .into_iter()
        .filter(PairCase::is_one_of_few)
        .flat_map(PairCase::said);
    let level = |seed: u64| Level::ALL[seed as usize / 6 % 4];
    let solves = (0..SOLVES).flat_map(|seed| solve(seed, level(seed)));
    placed.chain(solves).collect()
});

/// Runs a check over all; something of its kind is said at least so often.
fn everywhere(check: fn(&Said) -> usize, least: usize) {
    let said: usize = ALL.iter().map(check).sum();
    println!("said {said} times");
    assert!(said >= least, "{said}");
}

#[test]
fn all_that_is_said_of_a_pair_is_true_of_its_stickers() {
    everywhere(kinds::read, 50_000);
}

#[test]
fn what_is_heard_at_once_is_two_short_sentences() {
    everywhere(kinds::heard, 1);
}

#[test]
fn one_thing_has_one_word_that_a_child_knows() {
    everywhere(kinds::one_vocabulary, 1);
}

#[test]
fn no_colour_is_named_that_is_not_of_the_pair() {
    everywhere(kinds::own_colours, 1);
}

#[test]
fn the_last_rung_tells_the_first_turns_of_the_route_up_to_one_lift() {
    everywhere(kinds::next_few, 1);
}

#[test]
fn turns_in_words_and_in_letters_are_the_same() {
    everywhere(kinds::letters, 1);
}

#[test]
fn no_rung_shows_or_tells_what_a_later_one_is_for() {
    everywhere(kinds::keeps_back, 1);
}

#[test]
fn a_corner_that_ends_as_it_was_is_not_said_to_be_turned() {
    everywhere(kinds::turned, 1);
}

#[test]
fn what_was_just_put_into_a_slot_is_not_still_there() {
    everywhere(kinds::still, 1);
}

#[test]
fn two_that_agree_where_they_touch_are_not_said_not_to() {
    everywhere(kinds::touching, 1);
}

#[test]
fn no_pair_left_takes_fewer_turns_where_that_is_said() {
    everywhere(kinds::fewest, 1);
}

#[test]
fn the_reason_for_a_pair_says_nothing_of_what_others_share() {
    everywhere(kinds::reason, 1);
}

#[test]
fn left_and_right_are_not_called_the_far_side() {
    everywhere(kinds::far_side, 1);
}

#[test]
fn as_many_looks_are_left_as_are_said() {
    everywhere(kinds::looks_left, 1);
}

#[test]
fn only_an_edge_that_is_not_down_is_brought_down() {
    everywhere(kinds::brought_down, 1);
}

#[test]
fn a_flipped_edge_alone_is_called_that_and_no_more() {
    everywhere(kinds::one_wrong, 1);
}

#[test]
fn shorter_ways_are_told_only_where_they_have_a_name_and_save_two_turns_or_a_turn_of_the_cube() {
    everywhere(kinds::shorter, 1);
}

#[test]
fn at_the_first_level_a_turn_of_the_cube_is_said_and_above_it_there_is_none() {
    everywhere(kinds::turn_of_the_cube, 1);
}

#[test]
fn the_next_pair_is_named_before_the_present_one_is_in() {
    everywhere(kinds::ahead, 1);
}

/// What to look for tells apart what has another route, and what is seen of the last layer what has another sequence.
#[test]
fn one_text_to_look_for_has_one_route() {
    for bond in &BONDS {
        let mut known = HashMap::new();
        for (text, moves) in ALL.iter().flat_map(bond.pairs) {
            let before = known.entry(text.clone()).or_insert_with(|| moves.clone());
            assert_eq!(*before, moves, "{}: {text}", bond.never);
        }
        println!("{}: {} texts", bond.never, known.len());
        assert!(!known.is_empty());
    }
}

#[test]
fn a_cube_of_another_scheme_is_told_of_in_its_own_colours() {
    let schemes: Vec<Scheme> = Scheme::all().collect();
    let mut texts = 0;
    for (i, said) in ALL.iter().enumerate().step_by(3) {
        let scheme = schemes[i / 3 % schemes.len()];
        let check = |text: &Text| {
            let own = english::text_of(text, scheme);
            assert_eq!(own, scheme.in_words(&english::text(text)), "{text:?}");
        };
        let routes = said.advice.routes();
        let steps = routes.iter().flat_map(|route| &route.steps);
        steps.clone().for_each(|step| {
            let own = english::deed_of(&step.idea, scheme);
            assert_eq!(own, scheme.in_words(&english::deed(&step.idea)));
        });
        let steps = steps.flat_map(|step| [&step.say, &step.why]);
        let routes = routes
            .iter()
            .flat_map(|route| [&route.idea, &route.look_for]);
        let all = steps.chain(routes).chain(&said.advice.hints);
        texts += all.chain([&said.advice.say]).map(check).count();
    }
    println!("{texts} texts");
    assert!(texts > 10_000, "{texts}");
}

#[test]
fn a_cube_that_was_given_once_is_told_the_same_again() {
    let cube = Cube::solved().after(&parse_moves("R U R' U' F R2 D' L B").expect("moves"));
    assert_eq!(advise(&cube, None, true), advise(&cube, None, true));
}

#[test]
fn turns_in_words_are_the_turns_in_notation() {
    let slices = [Slice::M, Slice::E, Slice::S].into_iter();
    let slices = slices.flat_map(|s| Amount::ALL.map(|a| Move::Slice(s, a)));
    let turns = Turn::ALL
        .into_iter()
        .flat_map(|t| [Move::Outer(t), Move::Wide(t)]);
    for turn in turns.chain(slices) {
        let text = words::turn(turn);
        assert_eq!(read_back::turn_of(&text), Some(turn), "{text}");
    }
}
