//! The last layer told look by look: what to see, the sequence for it, and the rungs of hints.

use crate::cube::{Axis, Colour, Corner, Edge, Face, Held, Move, Moves, Net, Turn};
use crate::solve::{self, LookGoal, LookStep, Style};

use super::ladder::{Marks, Rung};
use super::route::{Route, Step};
use super::saying::{Deed, Few, Text, TopSaying, TurnSaying, Use, say, say_all};

/// The plain route of up to four looks and the short one of up to two, from the hold.
pub fn routes(held: &Held) -> Vec<Route> {
    [Style::Plain, Style::Short]
        .into_iter()
        .filter_map(|style| route(held, style))
        .collect()
}

fn route(held: &Held, style: Style) -> Option<Route> {
    let looks = solve::last_layer(held, style)?;
    let idea = match &looks[..] {
        [one] if one.look == LookGoal::Aligned => TopSaying::OnlyTopIsLeft,
        more => TopSaying::LooksLeft(more.len()),
    };
    let mut at = *held;
    let mut steps = Vec::new();
    for look in &looks {
        steps.push(Step {
            idea: Deed::Look(look.look),
            say: turns_of(look),
            why: see(&at, look.look).and(say(aim(&at, look))),
            moves: Moves(look.moves.clone()),
        });
        at = at.after(&look.moves);
    }
    let named = looks
        .iter()
        .filter(|l| !l.case.is_empty())
        .map(|l| Use::Case(l.case));
    let look_for = match looks.first() {
        Some(first) => see(held, first.look),
        None => Text::NOTHING,
    };
    let turned = |l: &LookStep| matches!(l.look, LookGoal::EdgesTurned | LookGoal::CornersTurned);
    let mut uses = Vec::new();
    if looks.iter().any(turned) {
        uses.push(Use::Orientation(style));
    }
    if looks
        .iter()
        .any(|l| !turned(l) && l.look != LookGoal::Aligned)
    {
        uses.push(Use::Permutation(style));
    }
    uses.extend(named);
    Some(Route::new(style, steps, uses, say(idea), look_for))
}

/// The moves of a look: what makes it ready, then the sequence.
fn turns_of(look: &LookStep) -> Text {
    let (ready, sequence) = split(&look.moves);
    let ready = ready.map(|m| match m {
        Move::Rotation(axis, amount) => TurnSaying::CubeWritten(axis, amount),
        _ => TurnSaying::Written(vec![m]),
    });
    let sequence = (!sequence.is_empty()).then(|| TurnSaying::Written(sequence.to_vec()));
    say_all(ready.into_iter().chain(sequence))
}

/// The turn of the top or of the cube that comes before a sequence, and the sequence.
fn split(moves: &[Move]) -> (Option<Move>, &[Move]) {
    match moves.split_first() {
        Some((&first @ Move::Outer(Turn { face: Face::U, .. }), rest)) => (Some(first), rest),
        Some((&first @ Move::Rotation(Axis::Y, _), rest)) => (Some(first), rest),
        _ => (None, moves),
    }
}

/// The side faces in reading order of a top layer.
const SIDES: [Face; 4] = [Face::F, Face::R, Face::B, Face::L];

fn top_colour(held: &Held) -> Colour {
    held.hold.down().opposite()
}

/// The colour in hand at a sticker of the top layer, as home face.
fn edge_sides(held: &Held, side: Face) -> [Face; 2] {
    // Colours as faces in hand of their centres: [on top, on the side].
    let Some((place, o)) = Edge::of_faces([Face::U, side].map(|f| held.hold.home_face(f))) else {
        return [Face::U, side];
    };
    let (piece, flip) = held.cube.edge_at(place);
    let shown = [0, 1].map(|k| piece.faces()[(k + 2 - usize::from(flip)) % 2]);
    let [a, b] = if o == 0 { shown } else { [shown[1], shown[0]] };
    [a, b].map(|f| held.hold.face_in_hand(f))
}

/// The colours of a top corner, as faces in hand of their centres, by the face that they are on.
fn corner_sides(held: &Held, place: Corner) -> [(Face, Face); 3] {
    let home = held.hold.corner_at_home(place);
    let (piece, twist) = held.cube.corner_at(home);
    [0, 1, 2].map(|k| {
        let on = held.hold.face_in_hand(home.faces()[k]);
        let colour = piece.faces()[(k + 3 - usize::from(twist)) % 3];
        (on, held.hold.face_in_hand(colour))
    })
}

const TOP_CORNERS: [Corner; 4] = [Corner::UFR, Corner::URB, Corner::UBL, Corner::ULF];

/// What can be seen of the layer for a look, of what it has to set right.
fn see(held: &Held, look: LookGoal) -> Text {
    match look {
        LookGoal::EdgesTurned => say(see_edges_up(held)),
        LookGoal::CornersTurned if SIDES.iter().all(|side| edge_is_up(held, *side)) => {
            see_corners_up(held)
        }
        LookGoal::CornersTurned => say(see_edges_up(held)).and(see_corners_up(held)),
        LookGoal::CornersPlaced => say(TopSaying::Twins(twins(held))),
        LookGoal::EdgesPlaced if twins(held).len() == SIDES.len() => say(see_rows(held)),
        LookGoal::EdgesPlaced => say(see_colours(held)),
        LookGoal::Aligned => say(TopSaying::InOrder(edge_sides(held, Face::F)[1])),
    }
}

fn edge_is_up(held: &Held, side: Face) -> bool {
    edge_sides(held, side)[0] == Face::U
}

fn see_edges_up(held: &Held) -> TopSaying {
    let is_up = |side: &Face| edge_is_up(held, *side);
    TopSaying::EdgesUp {
        top: top_colour(held),
        sides: SIDES.into_iter().filter(is_up).collect(),
    }
}

/// Which corners show the top's colour on top, and where the others show it.
fn see_corners_up(held: &Held) -> Text {
    let looks = TOP_CORNERS.map(|place| {
        let mut shown = corner_sides(held, place).into_iter();
        let own = shown.find(|(_, colour)| *colour == Face::U);
        (place, own.map_or(Face::U, |(on, _)| on))
    });
    let up = looks.iter().filter(|(_, looks)| *looks == Face::U);
    let columns: Vec<[Face; 2]> = up
        .map(|(place, _)| {
            let [_, a, b] = place.faces();
            [a, b]
        })
        .collect();
    let aside = SIDES.into_iter().filter_map(|side| {
        match looks.iter().filter(|(_, looks)| *looks == side).count() {
            0 => None,
            1 => Some((side, Few::One)),
            _ => Some((side, Few::Two)),
        }
    });
    let aside = (columns.len() < SIDES.len()).then(|| TopSaying::CornersAside(aside.collect()));
    let top = top_colour(held);
    say(TopSaying::CornersUp { top, columns }).and(say_all(aside))
}

/// With the corners in order: the row that is of one colour, and where an edge across from it belongs.
fn see_rows(held: &Held) -> TopSaying {
    let row = |side: Face| side_colours(held, side).first().copied();
    let shown = |side: Face| edge_sides(held, side)[1];
    let whole = SIDES
        .into_iter()
        .find(|side| row(*side) == Some(shown(*side)));
    let edge = whole.map_or(Face::F, Face::opposite);
    let home = SIDES
        .into_iter()
        .find(|side| row(*side) == Some(shown(edge)));
    let home = home.unwrap_or(edge);
    match whole {
        Some(row) => TopSaying::RowMatches { row, edge, home },
        None => TopSaying::NoEdgeFits { home },
    }
}

/// All that the sides of the top layer show.
fn see_colours(held: &Held) -> TopSaying {
    let net = Net::of_held(held);
    TopSaying::Rows(SIDES.map(|side| (side, net.face(side)[0])))
}

/// The two corners' colours on a side, as faces in hand of their centres.
fn side_colours(held: &Held, side: Face) -> Vec<Face> {
    let corners = TOP_CORNERS
        .into_iter()
        .flat_map(|place| corner_sides(held, place));
    corners
        .filter(|(on, _)| *on == side)
        .map(|(_, colour)| colour)
        .collect()
}

/// Sides on which both corners show the same colour.
fn twins(held: &Held) -> Vec<Face> {
    let same = |side: &Face| matches!(side_colours(held, *side)[..], [a, b] if a == b);
    SIDES.into_iter().filter(same).collect()
}

/// What a look's sequence is for.
fn aim(held: &Held, step: &LookStep) -> TopSaying {
    TopSaying::Aim {
        case: step.case,
        goal: step.look,
        top: top_colour(held),
    }
}

/// Turns that are heard at once, after others and alone.
const MOST_THEN: usize = 3;
const MOST_AT_ONCE: usize = 6;

/// The question and the rungs for the look that comes next on the plain route.
pub fn rungs(held: &Held, routes: &[Route]) -> [Rung; 5] {
    let top = top_colour(held);
    let looks = solve::last_layer(held, Style::Plain).unwrap_or_default();
    let (Some(look), Some(step)) = (looks.first(), routes.first().and_then(|r| r.steps.first()))
    else {
        return Default::default();
    };
    let (ready, sequence) = split(&look.moves);
    let ready_to = ready.map(|m| (m, held.apply(&m)));
    let (idea, seen) = match ready_to {
        Some((m, after)) if !sequence.is_empty() => {
            (say(TurnSaying::First(m)), see(&after, look.look).then())
        }
        _ => (say(aim(held, look)), Text::NOTHING),
    };
    let (turns, after) = turns_at_once(ready, sequence);
    [
        Rung::new(
            say(TopSaying::WhatDoYouSee(top)),
            Text::NOTHING,
            Marks::NONE,
        ),
        Rung::new(
            say(TopSaying::LookAt(look.look, top)),
            Text::NOTHING,
            Marks::PIECES,
        ),
        Rung::new(see(held, look.look), Text::NOTHING, Marks::PLACES),
        Rung::new(idea, seen, Marks::PLACES),
        Rung::new(turns, after, Marks::TURNS).with(std::slice::from_ref(step)),
    ]
}

/// The turns of a look as they are heard, and what comes after them.
fn turns_at_once(ready: Option<Move>, sequence: &[Move]) -> (Text, Text) {
    let first = ready.filter(|_| !sequence.is_empty());
    let then = first.is_some();
    let (rest, after) = match (sequence, ready) {
        ([], Some(m)) => (TurnSaying::Spoken(vec![m]), say(TopSaying::EachSideIsWhole)),
        (few, _) if few.len() <= MOST_AT_ONCE && !then => {
            (TurnSaying::Spoken(few.to_vec()), say(TurnSaying::LookAgain))
        }
        (few, _) if few.len() <= MOST_THEN => (
            TurnSaying::ThenSpoken(few.to_vec()),
            say(TurnSaying::LookAgain),
        ),
        // Too many to be heard at once: they stand in letters, and beside them as they are made.
        (all, _) => (
            TurnSaying::MakeThese {
                count: all.len(),
                then,
            },
            say(TurnSaying::Letters(all.to_vec())),
        ),
    };
    let first = first.map(TurnSaying::First);
    (say_all(first.into_iter().chain([rest])), after)
}

/// The moves that the last rung tells.
pub fn hinted(routes: &[Route]) -> Moves {
    let first = routes.first().and_then(|r| r.steps.first());
    first.map_or_else(Moves::default, |step| step.moves.clone())
}
