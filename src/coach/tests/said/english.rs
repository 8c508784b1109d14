//! The form of what is said: words for turns, short sentences.

use super::reader::sentences;
use crate::cube::{Amount, Face, Move, Slice, Turn, parse_moves};

/// Reads a turn back from words, by the words alone.
pub fn turn_of(text: &str) -> Option<Move> {
    let text = text.to_ascii_lowercase();
    type Make = fn(Turn) -> Move;
    let layers: [(&str, Face, Make); 15] = [
        ("right side ", Face::R, Move::Outer),
        ("left side ", Face::L, Move::Outer),
        ("right two layers ", Face::R, Move::Wide),
        ("left two layers ", Face::L, Move::Wide),
        ("top two layers ", Face::U, Move::Wide),
        ("bottom two layers ", Face::D, Move::Wide),
        ("front two layers ", Face::F, Move::Wide),
        ("back two layers ", Face::B, Move::Wide),
        ("top ", Face::U, Move::Outer),
        ("bottom ", Face::D, Move::Outer),
        ("front ", Face::F, Move::Outer),
        ("back layer ", Face::B, Move::Outer),
        ("middle column ", Face::L, |t| {
            Move::Slice(Slice::M, t.amount)
        }),
        ("middle row ", Face::D, |t| Move::Slice(Slice::E, t.amount)),
        ("middle slice between front and back ", Face::F, |t| {
            Move::Slice(Slice::S, t.amount)
        }),
    ];
    let found = layers
        .into_iter()
        .find_map(|(name, face, make)| Some((face, make, text.strip_prefix(name)?)));
    let (face, make, way) = found?;
    if way == "half a turn" {
        return Some(make(Turn::new(face, Amount::Half)));
    }
    // Where a sticker that faces the learner (for the back: its top row) goes.
    let (from, to) = match (face, way) {
        (Face::R | Face::L, "upwards") => (Face::F, Face::U),
        (Face::R | Face::L, "downwards") => (Face::F, Face::D),
        (Face::U | Face::D, "to the left") => (Face::F, Face::L),
        (Face::U | Face::D, "to the right") => (Face::F, Face::R),
        (Face::F, "clockwise") | (Face::B, "to the right") => (Face::U, Face::R),
        (Face::F, "anticlockwise") | (Face::B, "to the left") => (Face::U, Face::L),
        _ => return None,
    };
    [Amount::Quarter, Amount::Counter]
        .into_iter()
        .find(|a| from.carried(face, a.quarters()) == to)
        .map(|a| make(Turn::new(face, a)))
}

/// Checks "Join them. Right side upwards, top to the left (R U).", in which an aim may stand before the turns. Returns how
/// many turns were read.
pub fn check_turns(text: &str) -> usize {
    let mut read = 0;
    for part in text.split(')').filter(|part| part.contains('(')) {
        let (said, notation) = part.split_once(" (").expect("notation");
        let moves = parse_moves(notation).unwrap_or_else(|e| panic!("{part}: {e}"));
        read += moves.len();
        let said = said.trim_start_matches(". ");
        if said.starts_with("Turn the cube") {
            assert!(
                moves.iter().all(|m| matches!(m, Move::Rotation(..))),
                "{part}"
            );
            continue;
        }
        let aim = said
            .split(". ")
            .take_while(|sentence| spoken(sentence).is_none());
        let turns = said.split(". ").skip(aim.count());
        let found: Option<Vec<Vec<Move>>> = turns.map(spoken).collect();
        assert_eq!(found.map(|all| all.concat()), Some(moves), "{part}");
    }
    read
}

/// The turns that are spoken: "right side upwards, top to the left".
pub fn spoken(said: &str) -> Option<Vec<Move>> {
    said.split(", ").map(turn_of).collect()
}

/// Checks the form of what is said: whole sentences, each short enough to be heard once.
pub fn check_english(text: &str) {
    assert!(text.ends_with(['.', '?', '!']), "{text}");
    assert!(text.starts_with(|c: char| c.is_uppercase()), "{text}");
    for bad in ["  ", "..", " .", " ,", "()", ": ."] {
        assert!(!text.contains(bad), "{bad:?} in: {text}");
    }
    for sentence in sentences(text) {
        let spoken = sentence.split(" (").next().unwrap_or_default();
        let words = spoken
            .split([' ', '-'])
            .filter(|word| !word.is_empty())
            .count();
        assert!(words <= 15, "{words} words: {sentence}");
        assert!(
            sentence.starts_with(|c: char| c.is_uppercase()),
            "{sentence} in: {text}"
        );
    }
}
