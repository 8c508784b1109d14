//! A reader of the steps' sentences that knows nothing of how they are made: it takes places, colours and movements out
//! of the words and looks for them on the stickers.

use crate::coach::words::side;
use crate::coach::{Route, Step};
use crate::cube::{Colour, Corner, Edge, Face, Held, Net};
use crate::solve::Slot;

/// What the learner sees of a pair at one moment.
struct Seen {
    net: Net,
    /// The faces that the corner and the edge are on.
    corner: [Face; 3],
    edge: [Face; 2],
    cross: Colour,
    sides: [Colour; 2],
}

impl Seen {
    fn of(held: &Held, slot: Slot) -> Seen {
        let net = Net::of_held(held);
        let cross = held.hold.down();
        let sides = slot.colours(cross);
        let shows = |faces: &[Face], colours: &[Colour]| {
            let mut seen: Vec<Colour> = faces.iter().map(|f| sticker(&net, *f, faces)).collect();
            let mut wanted = colours.to_vec();
            seen.sort();
            wanted.sort();
            seen == wanted
        };
        let corner = Corner::ALL.map(Corner::faces).into_iter();
        let edge = Edge::ALL.map(Edge::faces).into_iter();
        Seen {
            corner: { corner }
                .find(|faces| shows(faces, &[cross, sides[0], sides[1]]))
                .expect("the corner"),
            edge: { edge }
                .find(|faces| shows(faces, &sides))
                .expect("the edge"),
            net,
            cross,
            sides,
        }
    }

    fn corner_shows(&self, face: Face) -> Colour {
        sticker(&self.net, face, &self.corner)
    }

    fn edge_shows(&self, face: Face) -> Colour {
        sticker(&self.net, face, &self.edge)
    }

    /// Whether both are on top side by side; then, whether they agree where they touch.
    fn touch(&self) -> Option<bool> {
        let [up, beside] = self.edge;
        let on_top = up == Face::U && self.corner.contains(&Face::U);
        (on_top && self.corner.contains(&beside)).then(|| {
            [up, beside]
                .iter()
                .all(|f| self.corner_shows(*f) == self.edge_shows(*f))
        })
    }

    /// Whether a piece on these faces stands at a place such as "the front right" or "the back".
    fn stands(faces: &[Face], place: &str) -> bool {
        place.split(' ').all(|word| faces.contains(&face(word)))
    }

    fn slot_between(&self, a: &str, b: &str) -> [Face; 2] {
        [a, b].map(|name| {
            let is = |f: &Face| self.net.sticker(*f, &[]).name() == name;
            Face::ALL.into_iter().find(is).expect("a centre")
        })
    }
}

fn sticker(net: &Net, face: Face, faces: &[Face]) -> Colour {
    let others: Vec<Face> = faces.iter().copied().filter(|f| *f != face).collect();
    net.sticker(face, &others)
}

fn face(word: &str) -> Face {
    match word {
        "front" | "you" => Face::F,
        "back" => Face::B,
        "right" => Face::R,
        "left" => Face::L,
        "up" | "top" => Face::U,
        "down" => Face::D,
        other => panic!("no such way: {other}"),
    }
}

/// The words between two others, if both are there in this order.
fn between<'a>(text: &'a str, from: &str, to: &str) -> Option<&'a str> {
    let rest = &text[text.find(from)? + from.len()..];
    Some(&rest[..rest.find(to)?])
}

/// Reads a route's steps one after the other; returns how many things were found and checked.
pub fn read(held: &Held, slot: Slot, route: &Route) -> usize {
    let mut at = *held;
    let mut checked = 0;
    for step in &route.steps {
        let after = at.after(&step.moves);
        checked += read_step(&at, &after, slot, step);
        at = after;
    }
    checked
}

fn read_step(at: &Held, end: &Held, slot: Slot, step: &Step) -> usize {
    let (before, after) = (Seen::of(at, slot), Seen::of(end, slot));
    let Step { say, why, .. } = step;
    let mut checked = 0;
    let mut so = |what: bool| {
        assert!(what, "{say} {why} ({} on {})", step.moves, at.cube);
        checked += 1;
    };
    if let Some(place) = between(say, "the corner comes to the ", ".") {
        let (corner, edge) = place
            .split_once(", the edge to the ")
            .unwrap_or((place, ""));
        so(after.corner.contains(&Face::U) && Seen::stands(&after.corner, corner));
        if !edge.is_empty() {
            so(after.edge.contains(&Face::U) && Seen::stands(&after.edge, edge));
        }
    }
    if let Some(place) = between(say, "the edge comes to the ", ".") {
        so(after.edge.contains(&Face::U) && Seen::stands(&after.edge, place));
    }
    let named = |pieces: &str, slot: &str| {
        let in_slot = |faces: &[Face]| Seen::stands(faces, slot) && !faces.contains(&Face::U);
        (!pieces.contains("corner") || in_slot(&before.corner))
            && (!pieces.contains("edge") || in_slot(&before.edge))
    };
    if let Some(place) = between(why, "is trapped in the ", " slot") {
        let piece = if why.starts_with("The corner") {
            "corner"
        } else {
            "edge"
        };
        so(named(piece, place));
    }
    if let Some(place) = between(why, "Both are trapped in the ", " slot") {
        so(named("corner and edge", place));
    }
    if let Some(pieces) = between(why, "The slot that holds the ", " is at the ") {
        let place = between(why, " is at the ", " then").expect("a place");
        let there = |faces: &[Face]| Seen::stands(faces, place) && !faces.contains(&Face::U);
        so(!pieces.contains("corner") || there(&after.corner));
        so(!pieces.contains("edge") || there(&after.edge));
    }
    if let Some(two) = between(why, "The slot between ", " is at the ") {
        let place = between(why, " is at the ", " then").expect("a place");
        let (a, b) = two.split_once(" and ").expect("two colours");
        so(Seen::stands(&after.slot_between(a, b), place));
    }
    if let Some(told) = between(why, "The corner stands over its slot, ", ":") {
        let (colour, way) = told.split_once(" looking ").expect("where it looks");
        let way = face(way.rsplit(' ').next().expect("a way"));
        so(after.cross.name() == colour && after.corner_shows(way) == after.cross);
        let [a, b] = after.sides.map(Colour::name);
        let mut over = after.slot_between(a, b).to_vec();
        over.push(Face::U);
        so(over.iter().all(|f| after.corner.contains(f)));
    }
    if let Some(told) = between(why, "on the corner looking ", ", and one insert") {
        so(after.corner_shows(face(told.rsplit(' ').next().expect("a way"))) == after.cross);
    }
    if why.contains("Now they are joined") {
        so(after.touch() == Some(true));
    }
    if why.contains("they touch with colours that do not agree") {
        so(after.touch() == Some(false));
    }
    if why.starts_with("They touch, but their colours do not agree") {
        so(before.touch() == Some(false));
    }
    if why.starts_with("They are joined") {
        so(before.touch() == Some(true));
    }
    if why.starts_with("While ") {
        so(before.corner_shows(Face::U) == before.cross);
    }
    for (told, on_top) in [
        ("Now both are on top", [true, true]),
        ("Now both are in slots", [false, false]),
        (
            "Now the edge is on top and the corner still in a slot",
            [false, true],
        ),
        (
            "Now the corner is on top and the edge still in a slot",
            [true, false],
        ),
    ] {
        if why.contains(told) {
            so([
                after.corner.contains(&Face::U),
                after.edge.contains(&Face::U),
            ] == on_top);
        }
    }
    if let Some(place) = between(
        why,
        "carries the corner to the ",
        ", where it meets its edge",
    ) {
        let met = Seen::of(&at.after(&step.moves[..1]), slot);
        so(Seen::stands(&met.corner, place) && met.touch() == Some(true));
    }
    if why.contains("Check: ") {
        so(after.corner.contains(&Face::D) && !after.edge.contains(&Face::U));
        so(crate::solve::pair_solved(&end.cube, after.cross, slot));
        let [a, b] = after.sides.map(Colour::name);
        so(why.contains(&format!("{a} meets the {a} centre and {b} the {b} centre")));
    }
    if let Some(told) = between(why, "Follow corner and edge: ", ".") {
        let clauses: Vec<&str> = told.split("; ").collect();
        so(clauses.len() == step.moves.len());
        let mut at = *at;
        for (told, m) in clauses.iter().zip(&step.moves[..]) {
            let moved = at.apply(m);
            let did = told.strip_prefix(&crate::coach::words::turn(*m));
            so(did.is_some_and(|did| {
                moves_so(&Seen::of(&at, slot), &Seen::of(&moved, slot), did.trim())
            }));
            at = moved;
        }
    }
    if why.contains("At the end both are home") {
        so(crate::solve::pair_solved(&end.cube, after.cross, slot));
    }
    for clauses in why.split(". ").filter_map(told_of_a_lift) {
        let mut at = *at;
        for ((layer, told), m) in clauses.iter().zip(&step.moves[..]) {
            let moved = at.apply(m);
            let turned = match m {
                crate::cube::Move::Outer(turn) => side(turn.face),
                _ => "",
            };
            so(*layer == turned);
            so(moves_so(
                &Seen::of(&at, slot),
                &Seen::of(&moved, slot),
                told,
            ));
            at = moved;
        }
    }
    checked
}

/// "The right side brings .., the top .., and the right side ..": the three layers with what each does.
fn told_of_a_lift(text: &str) -> Option<[(&str, &str); 3]> {
    let (rest, third) = text.strip_prefix("The ")?.split_once(", and the ")?;
    let (first, second) = rest.split_once(", the top ")?;
    let layer = |text: &'_ str| -> Option<usize> {
        ["right side ", "left side ", "front ", "back "]
            .iter()
            .find(|name| text.starts_with(**name))
            .map(|name| name.len())
    };
    let (a, b) = (layer(first)?, layer(third)?);
    Some([
        (first[..a].trim_end(), &first[a..]),
        ("top", second),
        (third[..b].trim_end(), third[b..].trim_end_matches('.')),
    ])
}

/// Whether a turn did to corner and edge what is told, and nothing else.
fn moves_so(before: &Seen, after: &Seen, told: &str) -> bool {
    let told = told.replace("corner and edge", "the pair");
    let mut verb = "";
    let (mut corner, mut edge) = (false, false);
    for part in told.split(" and ") {
        let mut rest = part;
        for one in ["brings ", "takes ", "carries ", "moves "] {
            if let Some(after) = part.strip_prefix(one) {
                (verb, rest) = (one.trim_end(), after);
            }
        }
        let pieces: &[(&[Face], &[Face])] = if let Some(way) = rest.strip_prefix("the pair") {
            (corner, edge, rest) = (true, true, way);
            &[(&before.corner, &after.corner), (&before.edge, &after.edge)]
        } else if let Some(way) = rest.strip_prefix("the corner") {
            (corner, rest) = (true, way);
            &[(&before.corner, &after.corner)]
        } else if let Some(way) = rest.strip_prefix("the edge") {
            (edge, rest) = (true, way);
            &[(&before.edge, &after.edge)]
        } else {
            continue;
        };
        let place = rest.trim().strip_prefix("to the ");
        let right = |(from, to): &(&[Face], &[Face])| {
            let (was, is) = (from.contains(&Face::U), to.contains(&Face::U));
            match verb {
                "brings" => !was && is && rest == " up",
                "takes" => was && !is && rest == " down",
                "carries" => was && is && place.is_some_and(|place| Seen::stands(to, place)),
                "moves" => !was && !is && place.is_some_and(|place| stands_below(to, place)),
                _ => false,
            }
        };
        if !pieces.iter().all(right) {
            return false;
        }
    }
    let turned = |same: bool, told: bool| same != told;
    turned(
        stickers(before, &before.corner) == stickers(after, &after.corner)
            && before.corner == after.corner,
        corner,
    ) && turned(
        stickers(before, &before.edge) == stickers(after, &after.edge) && before.edge == after.edge,
        edge,
    )
}

/// "front right slot", "front right of the bottom layer".
fn stands_below(faces: &[Face], place: &str) -> bool {
    let bottom = place.strip_suffix(" of the bottom layer");
    let place = bottom.or(place.strip_suffix(" slot"));
    place.is_some_and(|place| Seen::stands(faces, place))
        && faces.contains(&Face::D) == bottom.is_some()
}

fn stickers(seen: &Seen, faces: &[Face]) -> Vec<Colour> {
    faces
        .iter()
        .map(|f| sticker(&seen.net, *f, faces))
        .collect()
}
