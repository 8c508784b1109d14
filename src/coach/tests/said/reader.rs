//! A reader of what is said of a pair that knows nothing of how it is made: it takes places, colours, relations and movements
//! out of the words and looks for them on the stickers. A sentence that it does not know fails.

use crate::coach::{Route, Step, english};
use crate::cube::{Amount, Colour, Corner, Edge, Face, Held, Move, Net, Turn};
use crate::solve::{self, Slot};

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

    /// Where the edge is on top, beside the top.
    fn edge_side(&self) -> Option<Face> {
        let on_top = self.edge.contains(&Face::U);
        let side = self.edge.into_iter().find(|f| *f != Face::U);
        side.filter(|_| on_top)
    }

    fn corner_up(&self) -> bool {
        self.corner.contains(&Face::U)
    }

    fn edge_up(&self) -> bool {
        self.edge.contains(&Face::U)
    }

    /// The faces of the pair's own slot.
    fn own(&self) -> [Face; 2] {
        let [a, b] = self.sides.map(Colour::name);
        self.slot_between(a, b)
    }

    fn in_slot(faces: &[Face], slot: &[Face]) -> bool {
        !faces.contains(&Face::U) && slot.iter().all(|f| faces.contains(f))
    }

    fn corner_home(&self) -> bool {
        Seen::in_slot(&self.corner, &self.own())
    }

    fn edge_home(&self) -> bool {
        Seen::in_slot(&self.edge, &self.own())
    }

    /// How the corner shows its colours, by face.
    fn corner_looks(&self) -> Vec<Colour> {
        self.corner.iter().map(|f| self.corner_shows(*f)).collect()
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

/// Whether the pair is not joined, and three turns, after one of the top or none, take it in.
fn one_insert_away(held: &Held, slot: Slot) -> bool {
    let cross = held.hold.down();
    let tops = Amount::ALL.map(|a| vec![Move::from(Turn::new(Face::U, a))]);
    let tops = tops.into_iter().chain([vec![]]);
    let sides = [Face::F, Face::R, Face::B, Face::L];
    let mut lifts = sides.into_iter().flat_map(|face| {
        [Amount::Quarter, Amount::Counter]
            .into_iter()
            .flat_map(move |amount| {
                Amount::ALL.map(move |top| {
                    let out = Turn::new(face, amount);
                    [out, Turn::new(Face::U, top), out.inverse()].map(Move::from)
                })
            })
    });
    let tops: Vec<Vec<Move>> = tops.collect();
    lifts.any(|lift| {
        tops.iter().any(|top| {
            let end = held.after(top).after(&lift).cube;
            solve::pair_solved(&end, cross, slot)
        })
    })
}

/// Reads a route's steps one after the other; returns how many things were found and checked.
pub fn read(held: &Held, slot: Slot, route: &Route) -> usize {
    let mut at = *held;
    let mut checked = 0;
    for step in &route.steps {
        checked += read_step(&at, slot, step);
        at = at.after(&step.moves);
    }
    checked + read_seen(held, slot, &english::text(&route.look_for))
}

/// Reads a step: for what it is said to be, and every sentence of why.
fn read_step(at: &Held, slot: Slot, step: &Step) -> usize {
    let mut held = vec![*at];
    for m in &step.moves[..] {
        held.push(held[held.len() - 1].apply(m));
    }
    let seen: Vec<Seen> = held.iter().map(|held| Seen::of(held, slot)).collect();
    let end = &held[held.len() - 1];
    let [say, why] = [&step.say, &step.why].map(english::text);
    let fault = |text: &str| {
        panic!(
            "{text:?} in {say:?} {why:?} ({} on {})",
            step.moves, at.cube
        )
    };
    if let Some((head, _)) = say.split_once(". ")
        && !is_aim(head, &seen, at, end, slot)
    {
        fault(head);
    }
    // "It .." goes on about the layer of the sentence before.
    let why = why.replace(". It ", " and ");
    let sentences: Vec<&str> = sentences(&why).collect();
    for text in &sentences {
        if !is_so(text, &seen, end, slot, &step.moves) {
            fault(text);
        }
    }
    assert!(!sentences.is_empty(), "nothing is said of {}", step.moves);
    sentences.len() + 1
}

/// The sentences of a text.
pub fn sentences(text: &str) -> impl Iterator<Item = &str> {
    text.split_inclusive(['.', '?', '!'])
        .map(str::trim)
        .filter(|text| !text.is_empty())
}

/// What a lift is said to be for.
fn is_aim(head: &str, seen: &[Seen], before: &Held, end: &Held, slot: Slot) -> bool {
    let (was, is) = (&seen[0], &seen[seen.len() - 1]);
    match head {
        "Insert both" => solve::pair_solved(&end.cube, is.cross, slot),
        "Join them" => was.touch() != Some(true) && is.touch() == Some(true),
        "Make them ready" => {
            !one_insert_away(before, slot) && one_insert_away(end, slot) && is.touch() != Some(true)
        }
        "Put the corner aside" => {
            was.corner_up() && was.edge_up() && is.corner_home() && is.edge_up()
        }
        "Change them over" => {
            was.corner_up() && was.edge_home() && is.corner_home() && is.edge_up()
        }
        "Free the corner" => !was.corner_up() && is.corner_up(),
        "Free the edge" => !was.edge_up() && is.edge_up(),
        "Free both" => !was.corner_up() && !was.edge_up() && is.corner_up() && is.edge_up(),
        // No aim, but the first turns of several sentences.
        turns if super::english::spoken(turns).is_some() => true,
        "Move them" => {
            was.corner_looks() != is.corner_looks()
                || was.corner != is.corner
                || was.edge != is.edge
        }
        _ => false,
    }
}

/// Reads the idea of the turns that come next, a lift after turns of the cube or the top, and the reason for it. Returns how many
/// things were read.
pub fn read_idea(held: &Held, slot: Slot, idea: &str, reason: &str, turns: &[Move]) -> usize {
    let (ready, lift) = turns.split_at(turns.len() - 3);
    let before = held.after(ready);
    let mut all = vec![before];
    for m in lift {
        all.push(all[all.len() - 1].apply(m));
    }
    let end = all[3];
    let seen: Vec<Seen> = all.iter().map(|held| Seen::of(held, slot)).collect();
    let so = is_idea(idea.trim_end_matches('.'), &seen, &before, &end, slot);
    assert!(so, "{idea:?} with {turns:?} on {}", held.cube);
    let so = is_reason(reason, &seen, &before, &end, slot);
    assert!(so, "{reason:?} with {turns:?} on {}", held.cube);
    2
}

fn is_idea(text: &str, seen: &[Seen], before: &Held, end: &Held, slot: Slot) -> bool {
    let (was, is) = (&seen[0], &seen[3]);
    let aim = |head: &str| is_aim(head, seen, before, end, slot);
    if let Some((head, way)) = text.split_once(": ") {
        let way_is_so = match way {
            "hide the corner, move the edge, come back" => {
                let moved = seen[1].edge != seen[2].edge;
                was.corner_up() && !seen[1].corner_up() && is.corner_up() && moved
            }
            "hide the edge, move the corner, come back" => {
                let moved = seen[1].corner != seen[2].corner;
                was.edge_up() && !seen[1].edge_up() && is.edge_up() && moved
            }
            "the top brings the corner over, closing turns it" => {
                seen[1].corner != seen[2].corner && closing_turns_the_corner(seen)
            }
            "open its slot, slide it over, close" => was.touch() == Some(true),
            "opening the slot brings the corner to its edge" => {
                was.touch() != Some(true) && seen[1].touch() == Some(true)
            }
            _ => false,
        };
        let head = match head {
            "Insert the joined pair" => "Insert both",
            "Make them ready for one insert" => "Make them ready",
            other => other,
        };
        return way_is_so && aim(head);
    }
    match text.split_once(", ") {
        Some(("Put the corner into the slot", "so that the edge comes out")) => {
            aim("Change them over") && !was.edge_up() && is.edge_up()
        }
        Some(("Put the corner into its slot", "away from the edge")) => aim("Put the corner aside"),
        Some((head, "so that it comes out joined" | "so that they come out joined")) => {
            aim(head) && is.touch() == Some(true)
        }
        Some((head, "so that one insert can follow")) => {
            aim(head) && is.touch() != Some(true) && one_insert_away(end, slot)
        }
        None => aim(text.trim_end_matches(" first")),
        _ => false,
    }
}

fn is_reason(text: &str, seen: &[Seen], before: &Held, end: &Held, slot: Slot) -> bool {
    let (was, is) = (&seen[0], &seen[3]);
    let cross = was.cross.name();
    let up = was.corner_up() && was.edge_up();
    let looks_up = was.corner_up() && was.corner_shows(Face::U) == was.cross;
    let same = up && was.corner_shows(Face::U) == was.edge_shows(Face::U);
    let elsewhere = |up: fn(&Seen) -> bool, home: fn(&Seen) -> bool| !up(was) && !home(was);
    let capital = crate::coach::words::sentence(cross);
    let text = text.replace(&capital, "White").replace(cross, "white");
    match text.as_str() {
        "Joined, they go in as one." => was.touch() == Some(true),
        "Ready, they join while the slot opens." => {
            was.touch() != Some(true) && seen[1].touch() == Some(true)
        }
        "White is beside the edge, so first they have to part." => {
            let side = was.edge_side().expect("a side");
            was.touch() == Some(false) && was.corner_shows(side) == was.cross
        }
        "White looks sideways and the top colours are the same: they can join." => {
            up && !looks_up && same && is.touch() == Some(true)
        }
        "White looks sideways and the top colours differ: one lift makes them ready." => {
            up && !looks_up && !same && one_insert_away(end, slot)
        }
        "While white looks up, no insert takes them in." => {
            looks_up && !one_insert_away(before, slot)
        }
        "A corner goes in together with its edge." => was.corner_home() && was.edge_up(),
        "An edge goes in together with its corner." => was.edge_home() && was.corner_up(),
        "What sits wrongly has to come out and go in anew." => {
            was.corner_home()
                && was.edge_home()
                && !solve::pair_solved(&before.cube, was.cross, slot)
        }
        "A piece in another slot comes out first." => {
            let corner = elsewhere(Seen::corner_up, Seen::corner_home);
            let edge = elsewhere(Seen::edge_up, Seen::edge_home);
            corner && is.corner_up() || edge && is.edge_up()
        }
        _ => false,
    }
}

/// Whether the last of three turns leaves the corner on top with the cross colour elsewhere than before them.
fn closing_turns_the_corner(seen: &[Seen]) -> bool {
    let looks = |seen: &Seen| {
        let shown = |f: &Face| seen.corner.contains(f) && seen.corner_shows(*f) == seen.cross;
        Face::ALL.into_iter().find(shown)
    };
    let moved = seen[2].corner != seen[3].corner || looks(&seen[2]) != looks(&seen[3]);
    moved && looks(&seen[0]) != looks(&seen[3]) && seen[3].corner_up()
}

/// Whether a sentence is so of a step's turns: of what was seen before and after each of them.
fn is_so(text: &str, seen: &[Seen], end: &Held, slot: Slot, moves: &[Move]) -> bool {
    let (was, is) = (&seen[0], &seen[seen.len() - 1]);
    let hides = |up: fn(&Seen) -> bool| up(was) && !up(&seen[1]) && !up(&seen[2]) && up(is);
    let comes_up = |up: fn(&Seen) -> bool| !up(was) && up(&seen[1]) && up(is);
    let corner_moved = |i: usize| {
        seen[i].corner != seen[i + 1].corner || seen[i].corner_looks() != seen[i + 1].corner_looks()
    };
    let edge_moved = |i: usize| seen[i].edge != seen[i + 1].edge;
    let joined = |seen: &Seen| seen.touch() == Some(true);
    let corner_turned = || closing_turns_the_corner(seen);
    if let Some(told) = text.strip_prefix("Corner at the ") {
        let told = told.trim_end_matches('.');
        let (corner, edge) = told.split_once("; edge ").unwrap_or((told, ""));
        let edge = (!edge.is_empty()).then(|| place_word(edge));
        return is.corner_up()
            && corner_is(is, corner)
            && edge.map_or(!is.edge_up(), |side| is.edge_side() == Some(side));
    }
    if let Some(edge) = text.strip_prefix("Edge ") {
        return !is.corner_up() && is.edge_side() == Some(place_word(edge.trim_end_matches('.')));
    }
    if let Some(pieces) = between(text, "The slot with the ", " comes to the ") {
        let column = between(text, " comes to the ", ".").expect("a place");
        let there = |faces: &[Face]| Seen::stands(faces, column) && !faces.contains(&Face::U);
        return (!pieces.contains("corner") || there(&is.corner))
            && (!pieces.contains("edge") || there(&is.edge));
    }
    if let Some(two) = between(text, "The slot between ", " comes to the ") {
        let column = between(text, " comes to the ", ".").expect("a place");
        let (a, b) = two.split_once(" and ").expect("two colours");
        return Seen::stands(&is.slot_between(a, b), column);
    }
    if let Some((layer, told)) = one_layer(text) {
        // Turn by turn: the next turn of that layer that does what is told and no more.
        let did = |i: &usize| {
            layer_of(&moves[*i]) == Some(layer) && moves_so(&seen[*i], &seen[*i + 1], told)
        };
        if (0..moves.len()).any(|i| did(&i)) {
            return true;
        }
    }
    let lifted = |up: fn(&Seen) -> bool| {
        seen.len() == 4
            && layer_of(&moves[0]).is_some_and(|layer| text.starts_with(&format!("The {layer} ")))
            && comes_up(up)
    };
    let ends: Vec<&str> = text.split(" brings ").collect();
    match ends[..] {
        [_, "the corner up, and the top moves it aside."] => {
            return lifted(Seen::corner_up) && corner_moved(1);
        }
        [_, "the edge up, and the top moves it aside."] => {
            return lifted(Seen::edge_up) && edge_moved(1);
        }
        [_, "both up, and the top moves them aside."] => {
            return lifted(Seen::corner_up)
                && lifted(Seen::edge_up)
                && corner_moved(1)
                && edge_moved(1);
        }
        [_, "the corner to its edge; then both go in."] => {
            return joined(&seen[1])
                && !joined(was)
                && solve::pair_solved(&end.cube, is.cross, slot);
        }
        _ => {}
    }
    match text {
        "The corner hides below while the top moves the edge." => {
            hides(Seen::corner_up) && edge_moved(1) && !edge_moved(0) && !edge_moved(2)
        }
        "The edge hides below while the top moves the corner." => {
            hides(Seen::edge_up) && corner_moved(1)
        }
        "The corner hides below; the edge comes up, and the top moves it." => {
            hides(Seen::corner_up) && comes_up(Seen::edge_up) && edge_moved(1)
        }
        "The edge hides below; the corner comes up, and the top moves it." => {
            hides(Seen::edge_up) && comes_up(Seen::corner_up) && corner_moved(1)
        }
        "The edge comes up; the top moves both, and closing turns the corner." => {
            comes_up(Seen::edge_up) && corner_moved(1) && edge_moved(1) && corner_turned()
        }
        "The top moves both, and closing turns the corner." => {
            corner_moved(1) && edge_moved(1) && corner_turned()
        }
        "The edge comes up and out, and the corner goes in." => {
            comes_up(Seen::edge_up) && was.corner_up() && !is.corner_up()
        }
        "The top brings the corner over the open slot, and closing takes it in." => {
            corner_moved(1) && seen[2].corner_up() && is.corner_home()
        }
        "Now they are joined." => joined(is),
        "Now they are ready: one insert takes both in." => {
            one_insert_away(end, slot) && !joined(is)
        }
        "Now both are on top." => is.corner_up() && is.edge_up() && !joined(is),
        "Now the corner is in its slot, and the edge is on top." => {
            is.corner_home() && is.edge_up()
        }
        "Now the corner is on top, and the edge is in its slot." => {
            is.edge_home() && is.corner_up()
        }
        "Now the edge is on top; the corner comes next." => {
            is.edge_up() && !is.corner_up() && !is.corner_home()
        }
        "Now the corner is on top; the edge comes next." => {
            is.corner_up() && !is.edge_up() && !is.edge_home()
        }
        "Now both are in slots." => !is.corner_up() && !is.edge_up(),
        "Now both are home, and the cross is whole." => {
            solve::pair_solved(&end.cube, is.cross, slot)
                && solve::cross_solved(&end.cube, is.cross)
        }
        _ if text.starts_with("Check: ") => {
            let [a, b] = is.sides.map(Colour::name);
            text == format!("Check: {a} is at the {a} centre, {b} at {b}.")
                && solve::pair_solved(&end.cube, is.cross, slot)
        }
        "Open the slot, slide the pair over it, close it." => {
            joined(was) && solve::pair_solved(&end.cube, is.cross, slot)
        }
        _ => false,
    }
}

/// "back right, white looking right".
fn corner_is(seen: &Seen, told: &str) -> bool {
    let (place, looks) = told.split_once(", ").expect("where it looks");
    let (colour, way) = looks.split_once(" looking ").expect("a way");
    let way = face(way.rsplit(' ').next().expect("a way"));
    Seen::stands(&seen.corner, place)
        && seen.cross.name() == colour
        && seen.corner_shows(way) == seen.cross
}

/// "at the front", "on the left".
fn place_word(text: &str) -> Face {
    face(text.rsplit(' ').next().expect("a word"))
}

/// "The right side brings the corner up.": the layer and what it does.
fn one_layer(text: &str) -> Option<(&'static str, &str)> {
    let rest = text.strip_prefix("The ")?.trim_end_matches('.');
    ["right side", "left side", "front", "back", "top", "bottom"]
        .into_iter()
        .find_map(|layer| Some((layer, rest.strip_prefix(layer)?.trim_start())))
}

fn layer_of(m: &Move) -> Option<&'static str> {
    match m {
        Move::Outer(turn) => Some(match turn.face {
            Face::U => "top",
            Face::D => "bottom",
            Face::R => "right side",
            Face::L => "left side",
            Face::F => "front",
            Face::B => "back",
        }),
        _ => None,
    }
}

/// Reads what is said of how a pair lies: the relation, then the places. Returns how many things were read.
pub fn read_seen(held: &Held, slot: Slot, text: &str) -> usize {
    let seen = Seen::of(held, slot);
    let mut read = 0;
    for sentence in sentences(text) {
        let so = lies_so(sentence, &seen, held, slot);
        assert!(so, "{sentence:?} in {text:?} on {}", held.cube);
        read += 1;
    }
    read
}

fn lies_so(text: &str, seen: &Seen, held: &Held, slot: Slot) -> bool {
    let cross = seen.cross.name();
    let looks_up = || seen.corner_up() && seen.corner_shows(Face::U) == seen.cross;
    let tops = || (seen.corner_shows(Face::U), seen.edge_shows(Face::U));
    let side = seen.edge_side();
    // What the corner shows at a face, where it is there.
    let shows = |f: Face| seen.corner.contains(&f).then(|| seen.corner_shows(f));
    let beside = || side.and_then(shows);
    let across = || side.and_then(|f| shows(f.opposite()));
    let edge_side = || side.map(|f| seen.edge_shows(f));
    let on_top = seen.corner_up() && seen.edge_up();
    let corner = ["The corner is at the ", "The corner is in the "];
    if let Some(told) = corner.iter().find_map(|start| text.strip_prefix(start)) {
        let told = told.trim_end_matches('.');
        let on_top = text.contains(" of the top, ");
        let place = told.replace(" of the top", "").replace(" slot", "");
        return on_top == seen.corner_up() && corner_is(seen, &place);
    }
    let edge = text.strip_prefix("The edge is ");
    let placed = |told: &&str| {
        ["at ", "on ", "in the "]
            .iter()
            .any(|p| told.starts_with(p))
    };
    if let Some(told) = edge.filter(placed) {
        let (place, shows) = told
            .trim_end_matches('.')
            .split_once(", ")
            .expect("what it shows");
        let right_place = match place.strip_suffix(" of the top") {
            Some(place) => side == Some(place_word(place)),
            None => {
                let column = between(place, "in the ", " slot").expect("a slot");
                !seen.edge_up() && Seen::stands(&seen.edge, column)
            }
        };
        let (colour, way) = shows.split_once(' ').expect("a colour");
        let way = face(way.rsplit(' ').next().expect("a way"));
        return right_place && seen.edge.contains(&way) && seen.edge_shows(way).name() == colour;
    }
    if let Some(told) = text.strip_prefix("They touch wrongly: ") {
        let about = |part: &str| match part.trim_end_matches('.') {
            "the top colours match" => tops().0 == tops().1,
            "the top colours differ" => tops().0 != tops().1 && !looks_up(),
            "their side colours match" => beside() == edge_side(),
            "their side colours differ" => {
                beside().is_some() && beside() != edge_side() && beside() != Some(seen.cross)
            }
            part if part == format!("{cross} is beside the edge") => beside() == Some(seen.cross),
            part if part == format!("{cross} looks up") => looks_up(),
            _ => false,
        };
        return seen.touch() == Some(false) && told.split(", and ").all(about);
    }
    if let Some(told) = text.strip_prefix("They are apart; ") {
        let about = |part: &str| match part.trim_end_matches('.') {
            "the top colours match" => tops().0 == tops().1,
            "the top colours differ" => tops().0 != tops().1 && !looks_up(),
            "their colours across the top match" => across() == edge_side(),
            "their colours across the top differ" => {
                across().is_some() && across() != edge_side() && across() != Some(seen.cross)
            }
            part if part == format!("{cross} is across from the edge") => {
                across() == Some(seen.cross)
            }
            part if part == format!("{cross} looks up") => looks_up(),
            _ => false,
        };
        return on_top
            && seen.touch().is_none()
            && !one_insert_away(held, slot)
            && told.split(", and ").all(about);
    }
    // Turned until the edge stands over the centre of its side colour, what the corner shows below it.
    let below = || {
        let colour = edge_side()?;
        let over = Face::ALL
            .into_iter()
            .find(|f| seen.net.sticker(*f, &[]) == colour)?;
        shows(over)
    };
    let flipped = || {
        let own = seen.own();
        own.iter()
            .all(|f| seen.edge_shows(*f) != seen.net.sticker(*f, &[]))
    };
    let twisted = || seen.corner_shows(Face::D) != seen.cross;
    match text {
        "The corner is in its slot." => seen.corner_home(),
        "They are joined: they touch, and both their colours match." => seen.touch() == Some(true),
        "They are ready: they are apart, and one insert takes both in." => {
            on_top && seen.touch().is_none() && one_insert_away(held, slot)
        }
        "Both are in their slot, the corner twisted and the edge flipped." => {
            seen.corner_home() && seen.edge_home() && twisted() && flipped()
        }
        "Both are in their slot, and the corner is twisted." => {
            seen.corner_home() && seen.edge_home() && twisted() && !flipped()
        }
        "Both are in their slot, and the edge is flipped." => {
            seen.corner_home() && seen.edge_home() && !twisted() && flipped()
        }
        "The corner is in another slot, and the edge is on top." => {
            !seen.corner_up() && !seen.corner_home() && seen.edge_up()
        }
        "The edge is in another slot, and the corner is on top." => {
            !seen.edge_up() && !seen.edge_home() && seen.corner_up()
        }
        "The corner is in its slot, and the edge is in another." => {
            seen.corner_home() && !seen.edge_up() && !seen.edge_home()
        }
        "The edge is in its slot, and the corner is in another." => {
            seen.edge_home() && !seen.corner_up() && !seen.corner_home()
        }
        "Both are in one slot, which is not theirs." => {
            Seen::in_slot(&seen.corner, &seen.edge) && !seen.edge_home()
        }
        "Both are in other slots, each in its own." => {
            !seen.corner_up()
                && !seen.edge_up()
                && !seen.corner_home()
                && !seen.edge_home()
                && !Seen::in_slot(&seen.corner, &seen.edge)
        }
        _ if text.ends_with(" slot must be empty.") => {
            let named = |slot: &Slot| {
                let place = held.hold.edge_in_hand(slot.edge(seen.cross)).faces();
                let across = if place.contains(&Face::F) {
                    "front"
                } else {
                    "back"
                };
                let aside = if place.contains(&Face::R) {
                    "right"
                } else {
                    "left"
                };
                text.to_lowercase()
                    .contains(&format!("the {across} {aside}"))
            };
            let solved = solve::pairs_solved(&held.cube, seen.cross);
            let mut empty = Slot::ALL.into_iter().filter(named).peekable();
            empty.peek().is_some() && empty.all(|slot| !solved.contains(slot))
        }
        _ if text
            == format!("The corner is in its slot, {cross} down, and its edge is on top.") =>
        {
            seen.corner_home() && seen.edge_up() && !twisted()
        }
        _ if text.starts_with("With the edge over its own centre, ") => {
            let above = text.ends_with(&format!(" {cross} is below it."));
            let aside = text.ends_with(&format!(" {cross} is not below it."));
            seen.corner_home()
                && twisted()
                && (below() == Some(seen.cross)) == above
                && above != aside
        }
        _ if text.starts_with("The edge is in its slot") => {
            let rest = text
                .strip_prefix("The edge is in its slot")
                .expect("so it starts");
            let (way, looks) = rest.split_once("; ").expect("two parts");
            let up = looks == format!("{cross} on its corner looks up.");
            let sideways = looks == format!("{cross} on its corner looks sideways.");
            seen.edge_home()
                && seen.corner_up()
                && (way == ", flipped") == flipped()
                && up == looks_up()
                && up != sideways
        }
        _ => false,
    }
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

/// "front right slot", "lower front right".
fn stands_below(faces: &[Face], place: &str) -> bool {
    let bottom = place.strip_prefix("lower ");
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
