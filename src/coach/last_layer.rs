//! The last layer told look by look: what to see, the sequence for it, and the rungs of hints.

use crate::cube::{Axis, Corner, Edge, Face, Held, Move, Moves, Net, Turn};
use crate::solve::{self, LookGoal, LookStep, Style};

use super::ladder::{Marks, Rung};
use super::route::{Route, Step};
use super::words;

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
        [one] if one.look == LookGoal::Aligned => "Only the top is left to turn.".to_string(),
        [_] => "One look is left.".into(),
        more => format!(
            "{} looks are left.",
            words::sentence(&words::count(more.len()))
        ),
    };
    let mut at = *held;
    let mut steps = Vec::new();
    for look in &looks {
        steps.push(Step {
            idea: name(look.look).into(),
            say: format!("{}.", say(look)),
            why: format!("{} {}", see(&at, look.look), aim(&at, look)),
            moves: Moves(look.moves.clone()),
        });
        at = at.after(&look.moves);
    }
    let named = looks
        .iter()
        .filter(|l| !l.case.is_empty())
        .map(|l| l.case.to_string());
    let look_for = match looks.first() {
        Some(first) => see(held, first.look),
        None => String::new(),
    };
    let count = match style {
        Style::Plain => "two-look",
        Style::Short => "one-look",
    };
    let turned = |l: &LookStep| matches!(l.look, LookGoal::EdgesTurned | LookGoal::CornersTurned);
    let mut uses = Vec::new();
    if looks.iter().any(turned) {
        uses.push(format!("{count} orientation"));
    }
    if looks
        .iter()
        .any(|l| !turned(l) && l.look != LookGoal::Aligned)
    {
        uses.push(format!("{count} permutation"));
    }
    uses.extend(named);
    Some(Route::new(style, steps, uses, idea, look_for))
}

/// The moves of a look in words: what makes it ready, then the sequence.
fn say(look: &LookStep) -> String {
    let (ready, sequence) = split(&look.moves);
    let ready = ready.map(|m| match m {
        Move::Rotation(Axis::Y, amount) => {
            format!("Turn the cube {} ({m})", words::rotation(Axis::Y, amount))
        }
        _ => words::turns(&[m]),
    });
    let sequence = (!sequence.is_empty()).then(|| words::turns(sequence));
    let parts: Vec<String> = ready.into_iter().chain(sequence).collect();
    parts.join(". ")
}

/// The turn of the top or of the cube that comes before a sequence, and the sequence.
fn split(moves: &[Move]) -> (Option<Move>, &[Move]) {
    match moves.split_first() {
        Some((&first @ Move::Outer(Turn { face: Face::U, .. }), rest)) => (Some(first), rest),
        Some((&first @ Move::Rotation(Axis::Y, _), rest)) => (Some(first), rest),
        _ => (None, moves),
    }
}

/// What a look is called.
fn name(look: LookGoal) -> &'static str {
    match look {
        LookGoal::EdgesTurned => "turn the edges up",
        LookGoal::CornersTurned => "turn the corners up",
        LookGoal::CornersPlaced => "place the corners",
        LookGoal::EdgesPlaced => "place the edges",
        LookGoal::Aligned => "line up",
    }
}

/// The side faces in reading order of a top layer.
const SIDES: [Face; 4] = [Face::F, Face::R, Face::B, Face::L];

fn top_name(held: &Held) -> &'static str {
    held.hold.down().opposite().name()
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
fn see(held: &Held, look: LookGoal) -> String {
    match look {
        LookGoal::EdgesTurned => see_edges_up(held),
        LookGoal::CornersTurned if SIDES.iter().all(|side| edge_is_up(held, *side)) => {
            see_corners_up(held)
        }
        LookGoal::CornersTurned => format!("{} {}", see_edges_up(held), see_corners_up(held)),
        LookGoal::CornersPlaced => see_twins(held),
        LookGoal::EdgesPlaced if twins(held).len() == SIDES.len() => see_rows(held),
        LookGoal::EdgesPlaced => see_colours(held),
        LookGoal::Aligned => format!(
            "The top layer is in order; its front row belongs {}.",
            words::at_side(edge_sides(held, Face::F)[1])
        ),
    }
}

fn edge_is_up(held: &Held, side: Face) -> bool {
    edge_sides(held, side)[0] == Face::U
}

fn see_edges_up(held: &Held) -> String {
    let top = top_name(held);
    let up = SIDES.into_iter().filter(|side| edge_is_up(held, *side));
    let up: Vec<String> = up.map(|side| words::at_side(side).to_string()).collect();
    match up.len() {
        0 => format!("{} is up on none of the four edges.", words::sentence(top)),
        4 => format!("{} is up on all four edges.", words::sentence(top)),
        n => {
            let s = if n == 1 { "" } else { "s" };
            format!(
                "{} is up on the edge{s} {}.",
                words::sentence(top),
                words::list(&up)
            )
        }
    }
}

/// Which corners show the top's colour on top, and where the others show it.
fn see_corners_up(held: &Held) -> String {
    let top = top_name(held);
    let looks = TOP_CORNERS.map(|place| {
        let shown = corner_sides(held, place).into_iter();
        let own = shown
            .filter(|(_, colour)| *colour == Face::U)
            .map(|(on, _)| on)
            .next();
        (place, own.unwrap_or(Face::U))
    });
    let up: Vec<String> = looks
        .iter()
        .filter(|(_, looks)| *looks == Face::U)
        .map(|(place, _)| {
            let [_, a, b] = place.faces();
            words::column([a, b]).to_string()
        })
        .collect();
    let aside: Vec<String> = SIDES
        .into_iter()
        .filter_map(
            |side| match looks.iter().filter(|(_, looks)| *looks == side).count() {
                0 => None,
                1 => Some(format!("one {}", words::at_side(side))),
                _ => Some(format!("two {}", words::at_side(side))),
            },
        )
        .collect();
    let capital = words::sentence(top);
    let beside = format!("Sideways: {}.", words::list(&aside));
    match up.len() {
        0 => format!("{capital} is up on none of the four corners. {beside}"),
        4 => format!("{capital} is up on all four corners."),
        n => {
            let s = if n == 1 { "" } else { "s" };
            format!(
                "{capital} is up on the corner{s} at the {}. {beside}",
                words::list(&up)
            )
        }
    }
}

fn see_twins(held: &Held) -> String {
    let sides: Vec<String> = twins(held)
        .into_iter()
        .map(|s| words::at_side(s).to_string())
        .collect();
    match sides.len() {
        0 => "On no side do the two top corners show the same colour.".into(),
        4 => "On every side the two top corners show the same colour.".into(),
        _ => format!(
            "{} both top corners show one colour.",
            words::sentence(&words::list(&sides))
        ),
    }
}

/// With the corners in order: the row that is of one colour, and where an edge across from it belongs.
fn see_rows(held: &Held) -> String {
    let row = |side: Face| side_colours(held, side).first().copied();
    let shown = |side: Face| edge_sides(held, side)[1];
    let whole = SIDES
        .into_iter()
        .find(|side| row(*side) == Some(shown(*side)));
    let edge = whole.map_or(Face::F, Face::opposite);
    let home = SIDES
        .into_iter()
        .find(|side| row(*side) == Some(shown(edge)));
    let home = words::at_side(home.unwrap_or(edge));
    match whole {
        Some(side) => format!(
            "{} the row matches; the {} edge belongs {home}.",
            words::sentence(words::at_side(side)),
            edge.name()
        ),
        None => format!("No edge fits its corners; the front edge belongs {home}."),
    }
}

/// All that the sides of the top layer show.
fn see_colours(held: &Held) -> String {
    let net = Net::of_held(held);
    let row = |side: Face| {
        let row = |k: usize| net.face(side)[0][k].name();
        let [a, b, c] = [0, 1, 2].map(row);
        format!("{} {a} {b} {c}", side.name())
    };
    let [front, right, back, left] = SIDES.map(row);
    format!("The top rows, from the left: {front}; {right}. And {back}; {left}.")
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

/// What a look's sequence is for, in one sentence.
fn aim(held: &Held, step: &LookStep) -> String {
    let top = top_name(held);
    let case = words::sentence(step.case);
    match step.look {
        LookGoal::EdgesTurned => format!("{case}. Its turns bring {top} up on all four edges."),
        LookGoal::CornersTurned => format!("{case}. Its turns bring {top} up everywhere on top."),
        LookGoal::CornersPlaced => {
            format!("{case}. Its turns swap two corners, and two edges with them.")
        }
        LookGoal::EdgesPlaced => format!("{case}. Its turns bring the top layer into order."),
        LookGoal::Aligned => "Only the top has to turn until each side is of one colour.".into(),
    }
}

const LOOK_AGAIN: &str = "Then look again.";
const END: &str = "Then each side is of one colour.";

/// The question and the rungs for the look that comes next on the plain route.
pub fn rungs(held: &Held, routes: &[Route]) -> [Rung; 5] {
    let top = top_name(held);
    let looks = solve::last_layer(held, solve::Style::Plain).unwrap_or_default();
    let (Some(look), Some(step)) = (looks.first(), routes.first().and_then(|r| r.steps.first()))
    else {
        return Default::default();
    };
    let which = match look.look {
        LookGoal::EdgesTurned => format!("Look at the four top edges: where is {top} on them?"),
        LookGoal::CornersTurned => format!("Look at the four top corners: where is {top} on them?"),
        LookGoal::CornersPlaced => "Look at the top corners from the sides.".into(),
        LookGoal::EdgesPlaced => "Look at the four top edges from the sides.".into(),
        LookGoal::Aligned => "Nearly done: look at the top layer as a whole.".into(),
    };
    let (ready, sequence) = split(&look.moves);
    let ready_to = ready.map(|m| (m, held.apply(&m)));
    let (idea, seen) = match ready_to {
        Some((m, after)) if !sequence.is_empty() => (
            format!("First {}.", order(m)),
            format!("Then {}", words::within(&see(&after, look.look))),
        ),
        _ => (aim(held, look), String::new()),
    };
    let first = ready.filter(|_| !sequence.is_empty());
    let first = first.map(|m| format!("First {}.", order(m)));
    let (rest, after) = match (sequence, ready) {
        ([], Some(m)) => (format!("{}.", words::spoken(&[m])), END.into()),
        (few, _) if few.len() <= 6 && first.is_none() => {
            (format!("{}.", words::spoken(few)), LOOK_AGAIN.into())
        }
        (few, _) if few.len() <= 3 => {
            let few = words::within(&words::spoken(few));
            (format!("Then {few}."), LOOK_AGAIN.into())
        }
        // Too many to be heard at once: they stand in letters, and beside them as they are made.
        (all, _) => {
            let make = if first.is_some() { "Then make" } else { "Make" };
            let letters: Vec<String> = all.iter().map(|m| m.to_string()).collect();
            (
                format!("{make} these {}.", words::turn_count(all.len())),
                format!("Here they are in letters ({}).", letters.join(" ")),
            )
        }
    };
    let told: Vec<String> = first.into_iter().chain([rest]).collect();
    [
        Rung::new(
            format!("What do you see on the {top} side?"),
            "",
            Marks::NONE,
        ),
        Rung::new(which, "", Marks::PIECES),
        Rung::new(see(held, look.look), "", Marks::PLACES),
        Rung::new(idea, seen, Marks::PLACES),
        Rung::new(told.join(" "), after, Marks::TURNS).with(std::slice::from_ref(step)),
    ]
}

/// The turn that brings the pattern into place, as an order without its first capital.
fn order(m: Move) -> String {
    match m {
        Move::Outer(_) => format!("turn the {}", words::turn(m)),
        _ => words::turn(m),
    }
}

/// The moves that the last rung tells.
pub fn hinted(routes: &[Route]) -> Moves {
    let first = routes.first().and_then(|r| r.steps.first());
    first.map_or_else(Moves::default, |step| step.moves.clone())
}
