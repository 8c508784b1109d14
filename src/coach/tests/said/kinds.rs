//! The kinds of things that are said, each with its check: it panics at what is not so, and counts how often such a thing was said.

use super::english::{check_english, check_turns, spoken};
use super::reader::{self, sentences};
use super::{Said, spot};
use crate::coach::english;
use crate::coach::saying::{
    CrossSaying, Deed, Mechanism, PairReason, PairSaying, Saying, TopSaying, TurnSaying, Use, say,
};
use crate::coach::{Level, Marks, PairAdvice, Relation, Rung, Text, advise_held, words};
use crate::cube::{Colour, Edge, Face, Move, htm, rotations};
use crate::solve;

/// What one text must always lead to: wherever the first is said, the second is the same.
pub struct Bond {
    pub never: &'static str,
    pub pairs: fn(&Said) -> Vec<(String, String)>,
}

pub const BONDS: [Bond; 2] = [
    Bond {
        never: "one text to look for, two routes",
        pairs: looked_for,
    },
    Bond {
        never: "one pattern of the last layer, two sequences",
        pairs: pattern,
    },
];

/// Every sentence about a pair is read and looked for on the stickers.
pub fn read(said: &Said) -> usize {
    let mut read = 0;
    for (slot, pair) in said.open() {
        for route in &pair.routes {
            read += reader::read(&said.held, slot, route);
        }
    }
    if let Some((slot, _)) = said.next() {
        read += reader::read_seen(&said.held, slot, &english::text(&said.advice.hints[1]));
        let rung = &said.advice.rungs[3];
        if said.is_plain() {
            let turns = said.advice.next_turns();
            let [sentence, why] = [&rung.sentence, &rung.why].map(english::text);
            read += reader::read_idea(&said.held, slot, &sentence, &why, &turns);
        }
    }
    read
}

pub fn letters(said: &Said) -> usize {
    let read = |(_, _, step): (_, _, &crate::coach::Step)| check_turns(&english::text(&step.say));
    let counts: Vec<usize> = said.steps().map(read).collect();
    assert!(counts.iter().all(|turns| *turns > 0));
    counts.len()
}

pub fn heard(said: &Said) -> usize {
    let advice = &said.advice;
    check_english(&english::text(&advice.say));
    for rung in &advice.rungs {
        check_english(&english::text(&rung.text()));
        let count = sentences(&english::text(&rung.sentence)).count();
        assert!((1..=2).contains(&count), "{rung:?}");
    }
    for (_, _, step) in said.steps() {
        let told = english::text(&step.say);
        check_english(&told);
        check_english(&english::text(&step.why));
        let one = sentences(&told).count() <= 2;
        assert!(one || step.idea == Deed::ShorterWay, "{told}");
    }
    for route in advice.routes() {
        check_english(&english::text(&route.idea));
        check_english(&english::text(&route.look_for));
    }
    advice.rungs.len()
}

/// What a child would not know, or would know by another word.
const NEVER: [&str; 12] = [
    " half way ",
    " halfway ",
    " right side up ",
    " back to the right ",
    " in itself ",
    " by its end ",
    " right to each other ",
    " stand right ",
    " changes two corners ",
    " not the right way round ",
    " counterclockwise ",
    " degrees ",
];

pub fn one_vocabulary(said: &Said) -> usize {
    let advice = &said.advice;
    let steps = advice.routes().iter().flat_map(|route| &route.steps);
    let steps = steps.flat_map(|step| [&step.say, &step.why]);
    let routes = advice.routes().iter();
    let routes = routes.flat_map(|route| [&route.idea, &route.look_for]);
    let rungs = advice
        .rungs
        .iter()
        .flat_map(|rung| [&rung.sentence, &rung.why]);
    let all = steps.chain(routes).chain(rungs).chain([&advice.say]);
    let mut count = 0;
    for text in all.map(english::text) {
        let mut low = format!(" {} ", text.to_lowercase());
        low.retain(|c| c.is_ascii_alphanumeric() || c == ' ');
        let met = NEVER.iter().find(|bad| low.contains(**bad));
        assert_eq!(met, None, "{text}");
        // Numbers are words; only letters for turns have digits.
        let words = text.split('(').map(|part| match part.split_once(')') {
            Some((_, after)) => after,
            None => part,
        });
        for part in words {
            assert!(!part.contains(|c: char| c.is_ascii_digit()), "{text}");
        }
        count += 1;
    }
    count
}

pub fn own_colours(said: &Said) -> usize {
    let cross = said.cross();
    let names = |text: &str, colour: Colour| {
        let mut words = text.split(|c: char| !c.is_ascii_alphabetic());
        words.any(|word| word == colour.name())
    };
    let foreign = |text: &str, slot: solve::Slot| {
        let own = slot.colours(cross);
        let mut others = Colour::ALL
            .into_iter()
            .filter(|colour| *colour != cross && !own.contains(colour));
        let met = others.find(|colour| names(text, *colour));
        assert_eq!(met, None, "{text}");
    };
    let mut count = 0;
    for (_, slot, step) in said.steps() {
        foreign(&english::text(&step.say), slot);
        foreign(&english::text(&step.why), slot);
        count += 2;
    }
    if let Some((slot, _)) = said.next() {
        let ahead = said.advice.ahead.as_ref();
        let ahead = ahead.map_or_else(String::new, |ahead| english::text(&ahead.say));
        for hint in &said.advice.hints {
            foreign(&english::text(hint).replace(&ahead, ""), slot);
            count += 1;
        }
    }
    count
}

pub fn next_few(said: &Said) -> usize {
    let (Some((slot, _)), Some(route)) = (said.next(), said.advice.told()) else {
        return 0;
    };
    let advice = &said.advice;
    let (told, all) = (advice.next_turns(), advice.hinted());
    assert!(
        !told.is_empty() && all.starts_with(&told),
        "{told} of {all}"
    );
    let end = said.held.after(&told).cube;
    let rung = &advice.rungs[4];
    let done = solve::pair_solved(&end, said.cross(), slot);
    assert!(advice.rungs[..4].iter().all(|rung| rung.turns.is_empty()));
    if said.is_plain() {
        assert!((3..=5).contains(&told.len()), "{told}");
        assert!(solve::cross_solved(&end, said.cross()));
        // The words are the turns.
        let sentence = english::text(&rung.sentence);
        let lift = sentences(&sentence).last().expect("a sentence");
        let lift = lift.trim_end_matches('.');
        let lift = lift.strip_prefix("Then ").unwrap_or(lift);
        let turns = Some(&told[told.len() - 3..]);
        assert_eq!(spoken(lift).as_deref(), turns, "{sentence}");
        match &advice.ahead {
            Some(ahead) => assert_eq!(rung.why, ahead.say),
            None => assert_eq!(rung.why == say(TurnSaying::LookAgain), !done, "{rung:?}"),
        }
    } else {
        assert!(route.turns <= 9, "{route:?}");
        assert_eq!(read_turns(rung), told.0, "{rung:?}");
    }
    1
}

/// The turns that a rung of a shorter way tells in words.
fn read_turns(rung: &Rung) -> Vec<Move> {
    let turns = |sentence: &str| {
        let few = sentence.trim_end_matches('.');
        spoken(few.strip_prefix("Then ").unwrap_or(few))
    };
    let text = english::text(&rung.text());
    sentences(&text).filter_map(turns).flatten().collect()
}

/// Neither where the two are nor what they are to each other before the second rung, and no turns before the last.
pub fn keeps_back(said: &Said) -> usize {
    let Some((slot, _)) = said.next() else {
        return 0;
    };
    let [question, which, see, idea, turns] = &said.advice.rungs;
    assert_eq!(question.sentence, say(PairSaying::WhichPair));
    let marks = [question, which, see, idea, turns].map(|rung| rung.marks);
    let wanted = [
        Marks::NONE,
        Marks::PIECES,
        Marks::PLACES,
        Marks::PLACES,
        Marks::TURNS,
    ];
    assert_eq!(marks, wanted);
    for word in [
        "slot", "top", "front", "joined", "apart", "touch", "ready", "free", "insert",
    ] {
        for rung in [question, which] {
            let text = english::text(&rung.text()).to_lowercase();
            let mut words = text.split(|c: char| !c.is_ascii_alphabetic());
            assert!(!words.any(|told| told == word), "{word}: {text}");
        }
    }
    let pieces = PairSaying::LookForPieces(slot, said.cross());
    assert_eq!(which.sentence, say(pieces));
    5
}

pub fn turned(said: &Said) -> usize {
    let mut count = 0;
    for (at, slot, step) in said.steps() {
        if turns_corner(&step.why) {
            count += 1;
            let end = at.after(&step.moves);
            assert_ne!(
                spot(&at, slot).looks(),
                spot(&end, slot).looks(),
                "{step:?}"
            );
        }
    }
    count
}

/// Whether closing the slot is said to turn the corner.
fn turns_corner(text: &Text) -> bool {
    text.sayings().iter().any(|saying| {
        let Saying::Pair(PairSaying::Mechanism(how)) = saying else {
            return false;
        };
        matches!(
            how,
            Mechanism::EdgeComesUpCornerTurns | Mechanism::BothMoveCornerTurns
        )
    })
}

pub fn still(said: &Said) -> usize {
    let whys = said.steps().map(|(_, _, step)| &step.why);
    let texts = whys.chain(&said.advice.hints);
    let mut count = 0;
    for text in texts.map(english::text) {
        assert!(!text.contains("still"), "{text}");
        count += 1;
    }
    count
}

pub fn touching(said: &Said) -> usize {
    let mut count = 0;
    for (slot, pair) in said.open() {
        let see = english::text(&pair.routes[0].look_for);
        if see.contains("their side colours differ") {
            count += 1;
            let spot = said.spot(slot);
            // The faces on which both show a colour, and the colours there.
            let agree = |k: usize| spot.corner[k + 1] == spot.edge[k];
            let beside = (0..2).any(|k| agree(k) && spot.edge[k] != Face::U);
            assert!(spot.relation() == Relation::Misjoined && !beside, "{see}");
        }
    }
    count
}

/// Why the next pair comes now.
fn pair_reason(said: &Said) -> PairReason {
    match said.advice.rungs[1].why.sayings() {
        [Saying::Pair(PairSaying::Reason(why))] => *why,
        other => panic!("no reason: {other:?}"),
    }
}

pub fn fewest(said: &Said) -> usize {
    let Some((_, pair)) = said.next() else {
        return 0;
    };
    let own = &pair.routes[0];
    let others = || said.open().map(|(_, other)| &other.routes[0]);
    match pair_reason(said) {
        PairReason::Fewest(turns) => {
            assert_eq!(turns, own.turns);
            assert!(others().all(|other| other.turns >= turns));
        }
        PairReason::LeastWork(turns) => {
            assert_eq!(turns, own.turns);
            let mut fewer = others().filter(|other| other.turns < turns).peekable();
            assert!(fewer.peek().is_some());
            assert!(fewer.all(|other| other.rotations > own.rotations));
        }
        PairReason::Last => {
            assert_eq!(said.open().count(), 1);
            return 0;
        }
        PairReason::Wanted => return 0,
    }
    1
}

pub fn reason(said: &Said) -> usize {
    if said.next().is_none() {
        return 0;
    }
    let why = english::text(&said.advice.rungs[1].why);
    for claim in ["as it lies", "freed", "both of its pieces", "on top"] {
        assert!(!why.contains(claim), "{why}");
    }
    1
}

pub fn far_side(said: &Said) -> usize {
    let whys = said.steps().map(|(_, _, step)| &step.why);
    let mut count = 0;
    for text in whys.chain(&said.advice.hints).map(english::text) {
        let far = text.contains("far side") || text.contains("across from its");
        assert!(!far, "{text}");
        count += 1;
    }
    count
}

pub fn looks_left(said: &Said) -> usize {
    let mut count = 0;
    for route in said.advice.last_layer.iter().flat_map(|last| &last.routes) {
        let number = match route.idea.sayings() {
            [Saying::Top(TopSaying::LooksLeft(number))] => *number,
            idea => {
                assert_eq!(idea, say(TopSaying::OnlyTopIsLeft).sayings());
                1
            }
        };
        assert_eq!(number, route.steps.len(), "{route:?}");
        count += 1;
    }
    count
}

pub fn brought_down(said: &Said) -> usize {
    let cross = said.cross();
    let mut count = 0;
    for route in said.advice.cross.iter().flat_map(|cross| &cross.routes) {
        let mut at = said.held;
        for step in &route.steps {
            if let Some(Saying::Cross(CrossSaying::BringDown(edges))) = step.say.sayings().first() {
                count += 1;
                let is_down = |side: &Colour| {
                    let (edge, _) = Edge::of_colours([cross, *side]).expect("an edge");
                    let (place, _) = at.cube.find_edge(edge);
                    place.faces().contains(&cross.home_face())
                };
                assert!(!edges.sides.iter().all(is_down), "{step:?}");
            }
            at = at.after(&step.moves);
        }
    }
    count
}

pub fn one_wrong(said: &Said) -> usize {
    let (cross, cube) = (said.cross(), &said.held.cube);
    let mut count = 0;
    for (slot, pair) in said.open() {
        let see = english::text(&pair.routes[0].look_for);
        let (corner, edge) = (slot.corner(cross), slot.edge(cross));
        let (c, e) = (cube.find_corner(corner), cube.find_edge(edge));
        if (c.0, e.0) == (corner, edge) {
            count += 1;
            assert_eq!(see.contains("twisted"), c.1 != 0, "{see}");
            assert_eq!(see.contains("flipped"), e.1 != 0, "{see}");
        }
        assert!(!see.contains("right way round"), "{see}");
    }
    count
}

pub fn shorter(said: &Said) -> usize {
    let (Some((_, pair)), Some(route)) = (said.next(), said.advice.told()) else {
        return 0;
    };
    let plain = &pair.routes[0];
    if route.moves == plain.moves {
        return 0;
    }
    assert!(said.advice.level >= 3);
    assert!(route.turns + 2 <= plain.turns || route.rotations < plain.rotations);
    let named = [Use::EmptySlot, Use::Keyhole, Use::Sledgehammer];
    let has_name = route.uses.iter().any(|one| named.contains(one));
    assert!(has_name, "{route:?}");
    1
}

/// At the first level a turn of the cube is said, and above it there is none.
pub fn turn_of_the_cube(said: &Said) -> usize {
    if said.next().is_none() {
        return 0;
    }
    let advice = &said.advice;
    assert_eq!(advice.hold, said.held.hold, "the hold stays");
    if advice.level == 1 {
        let sentence = english::text(&advice.rungs[4].sentence);
        let told = sentence.contains("Turn the cube");
        let first = matches!(advice.next_turns().first(), Some(Move::Rotation(..)));
        assert_eq!(told, first, "{sentence}");
    } else {
        assert_eq!(rotations(&advice.hinted()), 0);
    }
    usize::from(htm(&advice.hinted()) > 0)
}

/// At the highest level the pair after the next is named before the next one is in.
pub fn ahead(said: &Said) -> usize {
    let Some(ahead) = &said.advice.ahead else {
        return 0;
    };
    assert_eq!(said.advice.level, 4);
    let after = said.held.after(&said.advice.hinted());
    let then = advise_held(&after, Level::Ahead, None);
    assert_eq!(then.next, Some(ahead.slot));
    assert_ne!(said.advice.next, Some(ahead.slot));
    1
}

/// What to look for at a level, with the cross down and the slot at a place, whatever the colours are called.
fn looked_for(said: &Said) -> Vec<(String, String)> {
    let cross = said.cross();
    let one = |(slot, pair): (solve::Slot, &PairAdvice)| {
        let plain = &pair.routes[0];
        let mut text = english::text(&plain.look_for).replace(cross.name(), "CROSS");
        let names = slot.colours(cross).map(Colour::name);
        for (name, place) in names.iter().zip(["FIRST", "SECOND"]) {
            text = text.replace(name, place);
        }
        let home = said.spot(slot).home.map(Face::name).join(" ");
        let turned = if said.advice.level == 1 {
            "in front"
        } else {
            "still"
        };
        let key = format!("{turned}, slot {home}: {text}");
        (key, plain.moves.to_string())
    };
    said.open().map(one).collect()
}

/// What to see on the last layer, whatever the colour on top is called.
fn pattern(said: &Said) -> Vec<(String, String)> {
    let Some(last) = &said.advice.last_layer else {
        return Vec::new();
    };
    let top = said.cross().opposite().name();
    let see = english::text(&said.advice.rungs[2].sentence)
        .replace(top, "TOP")
        .replace(&words::sentence(top), "TOP");
    vec![(see, last.routes[0].steps[0].moves.to_string())]
}
