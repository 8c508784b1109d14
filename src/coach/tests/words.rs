//! What is said, checked against the stickers: places, colours, turns.

use super::fixture::placements;
use super::reader;
use crate::coach::{advise_held, pairs, words};
use crate::cube::{Amount, Colour, Face, Held, Move, Net, Slice, Turn, parse_moves};
use crate::solve::{Slot, SlotSet};

/// The faces of a column's words.
fn column(text: &str) -> Option<[Face; 2]> {
    let front = if text.starts_with("front") {
        Face::F
    } else {
        Face::B
    };
    let side = if text.ends_with("right") {
        Face::R
    } else {
        Face::L
    };
    matches!(
        text,
        "front right" | "front left" | "back right" | "back left"
    )
    .then_some([front, side])
}

/// The faces of a corner's place, from its words.
fn corner_place(text: &str) -> Option<[Face; 3]> {
    let (level, text) = if let Some(text) = text.strip_suffix(" of the top layer") {
        (Face::U, text.strip_prefix("at the ")?)
    } else {
        (
            Face::D,
            text.strip_prefix("at the bottom of the ")?
                .strip_suffix(" slot")?,
        )
    };
    column(text).map(|[a, b]| [level, a, b])
}

/// The faces of an edge's place, from its words.
fn edge_place(text: &str) -> Option<[Face; 2]> {
    if let Some(side) = text.strip_suffix(" of the top layer") {
        let side = match side {
            "at the front" => Face::F,
            "at the back" => Face::B,
            "on the right" => Face::R,
            "on the left" => Face::L,
            _ => return None,
        };
        return Some([Face::U, side]);
    }
    column(text.strip_prefix("in the ")?.strip_suffix(" slot")?)
}

fn looking(text: &str) -> Option<Face> {
    Some(match text {
        "looking up" | "on top" => Face::U,
        "looking down" => Face::D,
        "looking at you" => Face::F,
        "looking to the back" => Face::B,
        "looking right" => Face::R,
        "looking left" => Face::L,
        _ => return None,
    })
}

fn colour(name: &str) -> Colour {
    Colour::ALL
        .into_iter()
        .find(|c| c.name() == name)
        .expect("a colour")
}

/// The sticker on `face` of the piece between `faces`, as the net has it.
fn sticker(net: &Net, face: Face, faces: &[Face]) -> Colour {
    let others: Vec<Face> = faces.iter().copied().filter(|f| *f != face).collect();
    net.sticker(face, &others)
}

/// Checks a second rung against the stickers that the learner sees.
fn check_places(text: &str, held: &Held, net: &Net) {
    let mut parts = text.split(". ");
    let corner = parts.next().expect("the corner");
    let (name, place) = corner
        .strip_prefix("The ")
        .and_then(|t| t.split_once(" corner is "))
        .expect("corner");
    let (place, looks) = place.rsplit_once(", ").expect("where it looks");
    let faces = corner_place(place).unwrap_or_else(|| panic!("no such place: {place}"));
    let (cross, looks) = looks.split_once(' ').expect("a colour");
    let looks = looking(looks).unwrap_or_else(|| panic!("no such way to look: {looks}"));
    assert_eq!(sticker(net, looks, &faces), colour(cross), "{text}");
    assert_eq!(held.hold.down(), colour(cross));
    let mut shown: Vec<Colour> = faces.iter().map(|f| sticker(net, *f, &faces)).collect();
    let mut named: Vec<Colour> = name.split('-').map(colour).collect();
    shown.sort();
    named.sort();
    assert_eq!(shown, named, "{text}");

    let edge = parts.next().expect("the edge");
    let (name, place) = edge
        .strip_prefix("The ")
        .and_then(|t| t.split_once(" edge is "))
        .expect("edge");
    let (place, seen) = place.split_once(", ").expect("what it shows");
    let faces = edge_place(place).unwrap_or_else(|| panic!("no such place: {place}"));
    for one in seen.trim_end_matches('.').split(" and ") {
        let (shown, way) = one.split_once(' ').expect("a colour");
        let way = looking(way).unwrap_or_else(|| panic!("no such way to look: {way}"));
        assert_eq!(sticker(net, way, &faces), colour(shown), "{text}");
        assert!(name.split('-').any(|n| n == shown));
    }
}

/// Checks "at the front right of the top layer, white looking up, and the edge is .." against the stickers.
fn check_both(text: &str, held: &Held, net: &Net, slot: Slot) {
    let cross = held.hold.down();
    let [a, b] = slot.colours(cross);
    let (corner, edge) = text.split_once(", and the edge is ").expect("both");
    let (place, looks) = corner.rsplit_once(", ").expect("where it looks");
    let faces = corner_place(place).unwrap_or_else(|| panic!("no such place: {place}"));
    let way = looks
        .strip_prefix(cross.name())
        .and_then(|t| looking(t.trim()));
    assert_eq!(sticker(net, way.expect("a way"), &faces), cross, "{text}");
    let all = |faces: &[Face]| -> Vec<Colour> {
        let mut all: Vec<Colour> = faces.iter().map(|f| sticker(net, *f, faces)).collect();
        all.sort();
        all
    };
    let sorted = |mut colours: Vec<Colour>| {
        colours.sort();
        colours
    };
    assert_eq!(all(&faces), sorted(vec![cross, a, b]), "{text}");
    let faces =
        edge_place(edge.trim_end_matches('.')).unwrap_or_else(|| panic!("no such place: {edge}"));
    assert_eq!(all(&faces), sorted(vec![a, b]), "{text}");
}

/// Reads a turn back from words, by the words alone.
fn turn_of(text: &str) -> Option<Move> {
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
        ("back ", Face::B, Move::Outer),
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
    if way == "half way round" {
        return Some(make(Turn::new(face, Amount::Half)));
    }
    // Where a sticker that faces the learner (for the back: its top row) goes.
    let (from, to) = match (face, way) {
        (Face::R | Face::L, "up") => (Face::F, Face::U),
        (Face::R | Face::L, "down") => (Face::F, Face::D),
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

#[test]
fn turns_in_words_are_the_turns_in_notation() {
    let slices = [Slice::M, Slice::E, Slice::S].into_iter();
    let slices = slices.flat_map(|s| Amount::ALL.map(|a| Move::Slice(s, a)));
    let turns = Turn::ALL
        .into_iter()
        .flat_map(|t| [Move::Outer(t), Move::Wide(t)]);
    for turn in turns.chain(slices) {
        let text = words::turn(turn);
        assert_eq!(turn_of(&text), Some(turn), "{text}");
    }
}

/// Checks "right side up, top to the left (R U)".
pub fn check_turns(text: &str) {
    for part in text.split(". ").filter(|p| p.contains('(')) {
        let (said, notation) = part.split_once(" (").expect("notation");
        let notation = notation.split(')').next().expect("a bracket");
        let moves = parse_moves(notation).unwrap_or_else(|e| panic!("{part}: {e}"));
        if said.starts_with("Turn the whole cube") {
            assert!(
                moves.iter().all(|m| matches!(m, Move::Rotation(..))),
                "{part}"
            );
            continue;
        }
        let said = said
            .rsplit(": ")
            .next()
            .expect("turns")
            .trim_start_matches("Turn the ");
        let read: Option<Vec<Move>> = said.split(", ").map(turn_of).collect();
        assert_eq!(read, Some(moves), "{part}");
    }
}

pub fn check_english(text: &str) {
    assert!(text.ends_with('.'), "{text}");
    assert!(text.starts_with(|c: char| c.is_uppercase()), "{text}");
    for bad in [
        "  ",
        "..",
        " .",
        " ,",
        "()",
        ": .",
        "their own slot it",
        "no turns",
    ] {
        assert!(!text.contains(bad), "{bad:?} in: {text}");
    }
}

#[test]
fn all_that_is_said_of_a_pair_is_true_of_its_stickers() {
    let mut read = 0;
    for (number, cross) in Colour::ALL.into_iter().enumerate() {
        let slot = Slot::ALL[number % 4];
        let others = SlotSet::ALL.without(slot);
        let colours = slot.colours(cross);
        for keep in [SlotSet::EMPTY, others] {
            for (n, cube) in placements(cross, slot, keep).into_iter().enumerate() {
                // Two of the four holds for each, so that all colours and holds are met in the time that there is.
                let holds = pairs::holds(cross).into_iter();
                for hold in holds.skip((n + number) % 2).step_by(2) {
                    let held = Held { cube, hold };
                    let net = Net::of_held(&held);
                    if crate::solve::pair_solved(&cube, cross, slot) {
                        continue;
                    }
                    let choice = pairs::Choice {
                        slot,
                        hold,
                        reason: "it is asked for".into(),
                    };
                    let hints = pairs::hints(&held, &choice);
                    check_places(&hints[1], &held, &net);
                    check_turns(&hints[3]);
                    let advice = pairs::advise(&held, slot);
                    let said = advice.routes.iter().flat_map(|route| {
                        let steps = route
                            .steps
                            .iter()
                            .flat_map(|s| [s.say.clone(), s.why.clone()]);
                        steps.chain([route.idea.clone(), route.look_for.clone()])
                    });
                    let all: Vec<String> = said.chain(hints.clone()).collect();
                    for text in &all {
                        check_english(text);
                        for c in Colour::ALL {
                            let told = text
                                .split(|c: char| !c.is_ascii_alphabetic())
                                .any(|w| w == c.name());
                            assert!(!told || c == cross || colours.contains(&c), "{c:?}: {text}");
                        }
                    }
                    for step in advice.routes.iter().flat_map(|r| &r.steps) {
                        check_turns(&step.say);
                    }
                    for route in &advice.routes {
                        let told = reader::read(&held, slot, route);
                        assert!(told > 0, "nothing to see in {route:#?}");
                        read += told;
                        for step in &route.steps {
                            assert!(step.why.len() > 20, "no reason: {step:?}");
                        }
                        if let Some(places) =
                            route.look_for.strip_prefix("Look for this: the corner is ")
                        {
                            check_both(places, &held, &net, slot);
                        }
                    }
                }
            }
        }
    }
    println!("{read} things read and found so");
}

#[test]
fn four_hints_at_every_stage() {
    let mut cube = crate::cube::Cube::solved();
    for m in parse_moves("R U R' F2 D L B' U2 R D2").expect("moves") {
        cube = cube.after(&[m]);
        let held = Held {
            cube,
            hold: pairs::holds(Colour::White)[0],
        };
        for hint in advise_held(&held, false).hints {
            check_english(&hint);
        }
    }
}
