//! The words that the coach uses, each with a cube that shows it: first those for turns, then those for pairs.

use std::sync::Arc;

use crate::coach::{Hand, example, words};
use crate::cube::{Colour, Cube, Face, Held, Hold, Move, Net, Scheme};
use crate::draw::{Others, Stickers, marked};
use crate::page::Term;
use crate::solve::Slot;

/// The cross that the examples show.
const CROSS: Colour = Colour::White;

/// Turns whose words teach all the others.
const TURNS: [(&str, &str); 7] = [
    (
        "R",
        "The side goes the way its stickers in front of you go: up.",
    ),
    ("L", "The same on the left: downwards."),
    (
        "U",
        "The top goes the way its row in front of you goes: to the left.",
    ),
    ("U2", "Half a turn: twice as far, either way."),
    ("F", "The front turns like the hands of a clock."),
    (
        "R'",
        "A stroke after the letter means the other way: downwards.",
    ),
    ("y", "The whole cube turns; no layer does."),
];

/// What the words for pairs mean, with the number of a sight that shows it.
const SIGHTS: [(&str, &str, usize); 5] = [
    (
        "A pair",
        "A corner with the cross colour, and the edge with its two other colours.",
        3,
    ),
    (
        "Its slot",
        "The place between two sides where the pair belongs. A broken line marks it.",
        3,
    ),
    (
        "Joined",
        "The two touch, and both their colours match: three turns insert them.",
        1,
    ),
    (
        "Ready",
        "The two are apart, and three turns insert both.",
        2,
    ),
    (
        "Apart",
        "Not ready yet: first they must be made joined or ready.",
        3,
    ),
];

/// What a pair and its slot are, in a line, for when they first come up.
pub const PAIR: &str =
    "A pair: a corner with the cross colour, and the edge with its two other colours.";
/// What a slot is.
pub const SLOT: &str = "A slot: the place between two sides where a pair belongs.";

/// All words, in the order of teaching, on cubes of a scheme.
pub fn lexicon(scheme: Scheme) -> Arc<[Term]> {
    let turns = TURNS
        .into_iter()
        .filter_map(|(notation, say)| turn(notation, say));
    let sights = SIGHTS
        .into_iter()
        .filter_map(|(name, say, number)| sight(name, say, number));
    let painted = |term: Term| Term {
        stickers: term.stickers.painted(scheme),
        ..term
    };
    turns.chain(sights).map(painted).collect()
}

fn turn(notation: &str, say: &str) -> Option<Term> {
    let moves: Vec<Move> = crate::cube::parse_moves(notation).ok()?;
    let held = Held {
        cube: Cube::solved(),
        hold: Hold::new(CROSS, Colour::Green)?,
    };
    Some(Term {
        name: words::sentence(&words::turn(*moves.first()?)),
        say: say.into(),
        stickers: Stickers::of_net(&Net::of_held(&held)),
        turn: Some(notation.into()),
        from_left: matches!(moves.first(), Some(Move::Outer(turn)) if turn.face == Face::L),
    })
}

fn sight(name: &str, say: &str, number: usize) -> Option<Term> {
    let slot = Slot::ALL[0];
    let held = example(number, Hand::Right, CROSS, slot)?;
    Some(Term {
        name: name.into(),
        say: say.into(),
        stickers: marked(&held, slot, Others::Pale),
        turn: None,
        from_left: false,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_has_a_drawing_and_a_sentence_of_at_most_fifteen_words() {
        let all = lexicon(Scheme::USUAL);
        assert_eq!(all.len(), TURNS.len() + SIGHTS.len());
        let sentences = all.iter().map(|term| term.say.as_str()).chain([PAIR, SLOT]);
        for sentence in sentences.flat_map(|say| say.split(". ")) {
            assert!(sentence.split(' ').count() <= 16, "{sentence}");
        }
        let framed = |term: &Term| term.stickers.0.iter().flatten().filter(|s| s.pair).count();
        assert!(
            all.iter()
                .all(|term| term.turn.is_some() || framed(term) == 5)
        );
    }
}
