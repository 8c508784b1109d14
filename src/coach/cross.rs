//! The cross stage: its routes edge by edge, the hold for it, and the rungs of hints.

use crate::cube::{Colour, Cube, Edge, Face, Held, Hold, Move, Moves, Turn, htm};
use crate::solve;

use super::edges::one_by_one;
use super::route::{Route, Step, Style};
use super::words;

/// How many of the shortest routes are compared for the one that is easiest in hand.
const CANDIDATES: usize = 12;

/// The hold among these in which the cross goes easiest.
pub fn choose_hold(cube: &Cube, holds: &[Hold]) -> Hold {
    let eased = |hold: &&Hold| {
        let held = Held {
            cube: *cube,
            hold: **hold,
        };
        awkward(&shortest(&held))
    };
    holds.iter().min_by_key(eased).copied().unwrap_or_default()
}

/// Turns of the back and the front are harder than those of the sides.
fn awkward(moves: &[Move]) -> usize {
    let weight = |m: &Move| match m {
        Move::Outer(Turn { face: Face::B, .. }) => 4,
        Move::Outer(Turn { face: Face::F, .. }) => 1,
        _ => 0,
    };
    moves.iter().map(weight).sum()
}

/// The easiest in hand of the shortest routes for the cross of the hold's down colour.
pub fn shortest(held: &Held) -> Vec<Move> {
    let hold = held.hold;
    solve::cross_routes(&held.cube, hold.down(), CANDIDATES)
        .iter()
        .map(|route| route.iter().map(|t| hold.turn_in_hand(*t).into()).collect())
        .min_by_key(|moves: &Vec<Move>| awkward(moves))
        .unwrap_or_default()
}

/// The routes for the cross: edge by edge, and the shortest.
pub fn routes(held: &Held) -> Vec<Route> {
    let cross = held.hold.down().name();
    let moves = shortest(held);
    let idea = format!(
        "The {cross} cross in {}, the fewest there are, all four edges planned together.",
        words::turn_count(htm(&moves))
    );
    let look_for =
        format!("Look where the four {cross} edges are before the first turn, and plan all of it.");
    let short = Route::new(
        Style::Short,
        steps(held, &moves),
        Vec::new(),
        idea,
        look_for,
    );
    vec![plain(held), short]
}

/// One edge after the other.
fn plain(held: &Held) -> Route {
    let cross = held.hold.down();
    let edges = edges(cross);
    let (brought, last) = one_by_one(held, edges.map(|(edge, _)| edge));
    let mut at = *held;
    let mut steps = Vec::new();
    for bring_one in brought {
        steps.push(bring(&at, &bring_one.turns, &[edges[bring_one.edge]]));
        at = at.after(&bring_one.turns);
    }
    steps.extend(last.map(|turn| line_up(&[turn])));
    let idea = format!(
        "One edge after the other: each comes down beside those that are down, and the {} cross is turned to its centres \
         at the end.",
        cross.name()
    );
    let look_for = format!(
        "Look for the {} edge that is nearest to its place beside the others.",
        cross.name()
    );
    Route::new(Style::Plain, steps, Vec::new(), idea, look_for)
}

fn line_up(turns: &[Move]) -> Step {
    Step {
        say: format!("Turn the {}.", words::turns(turns)),
        why: "The four edges stand right to each other; this brings each to the centre of its side colour.".into(),
        moves: Moves(turns.to_vec()),
    }
}

/// The four edges of the cross, in the order of the side colours.
fn edges(cross: Colour) -> [(Edge, Colour); 4] {
    solve::side_colours(cross).map(|side| (edge(cross, side), side))
}

/// The edge of the cross with a side colour.
pub fn edge(cross: Colour, side: Colour) -> Edge {
    Edge::of_colours([cross, side]).map_or(Edge::DF, |(edge, _)| edge)
}

fn is_bottom(m: &Move) -> bool {
    matches!(m, Move::Outer(Turn { face: Face::D, .. }))
}

/// Cuts the route after the last turn, but for turns of the bottom, that moves one of the edges; what is left lines the
/// cross up.
fn steps(held: &Held, moves: &[Move]) -> Vec<Step> {
    let cross = held.hold.down();
    let edges = edges(cross);
    let mut last_move = [None; 4];
    let mut at = *held;
    for (i, m) in moves.iter().enumerate() {
        let next = at.apply(m);
        for (k, (edge, _)) in edges.iter().enumerate() {
            let moved = at.cube.find_edge(*edge) != next.cube.find_edge(*edge);
            if moved && !is_bottom(m) {
                last_move[k] = Some(i);
            }
        }
        at = next;
    }
    let mut steps = Vec::new();
    let mut at = *held;
    let mut from = 0;
    for i in 0..moves.len() {
        let done: Vec<usize> = (0..4).filter(|k| last_move[*k] == Some(i)).collect();
        if done.is_empty() {
            continue;
        }
        steps.push(bring(
            &at,
            &moves[from..=i],
            &done.iter().map(|k| edges[*k]).collect::<Vec<_>>(),
        ));
        at = at.after(&moves[from..=i]);
        from = i + 1;
    }
    if from < moves.len() {
        steps.push(line_up(&moves[from..]));
    }
    steps
}

fn bring(held: &Held, moves: &[Move], done: &[(Edge, Colour)]) -> Step {
    let cross = held.hold.down();
    let names: Vec<String> = done
        .iter()
        .map(|(_, side)| format!("{}-{}", cross.name(), side.name()))
        .collect();
    let s = if names.len() == 1 { "" } else { "s" };
    let whence: Vec<String> = done
        .iter()
        .map(|(edge, side)| {
            format!(
                "the {}-{} edge is {}",
                cross.name(),
                side.name(),
                place(held, *edge)
            )
        })
        .collect();
    let it = if names.len() == 1 { "it" } else { "them" };
    Step {
        say: format!(
            "Bring the {} edge{s} down: {}.",
            words::list(&names),
            words::turns(moves)
        ),
        why: format!(
            "{}; these turns bring {it} to the bottom with {} looking down, where {it} can stay.",
            words::sentence(&words::list(&whence)),
            cross.name()
        )
        .replace("where them can", "where they can"),
        moves: Moves(moves.to_vec()),
    }
}

/// Where a cross edge is, with where its cross colour looks.
fn place(held: &Held, edge: Edge) -> String {
    let cross = held.hold.down();
    let k = edge.colours().iter().position(|c| *c == cross).unwrap_or(0);
    let looks = held.hold.face_in_hand(held.cube.edge_faces(edge)[k]);
    let (at, _) = held.cube.find_edge(edge);
    format!(
        "{}, {} {}",
        middle(held.hold.edge_in_hand(at)),
        cross.name(),
        words::looking(looks)
    )
}

fn middle(at: Edge) -> String {
    match at.faces()[0] {
        Face::U | Face::D => words::edge_place(at),
        _ => format!("at the {} of the middle layer", words::slot(at)),
    }
}

/// The four rungs: which edges; what to see in them; the idea; the turns.
pub fn hints(held: &Held, routes: &[Route]) -> [String; 4] {
    let cross = held.hold.down();
    let name = |side: &Colour| format!("{}-{}", cross.name(), side.name());
    let (home, open): (Vec<_>, Vec<_>) = edges(cross)
        .into_iter()
        .partition(|(edge, _)| held.cube.edge_at(*edge) == (*edge, 0));
    let names: Vec<String> = open.iter().map(|(_, side)| name(side)).collect();
    let s = if names.len() == 1 { "" } else { "s" };
    let rest: Vec<String> = home.iter().map(|(_, side)| name(side)).collect();
    let rest = match rest.len() {
        0 => String::new(),
        1 => format!(" The {} edge is home already.", rest[0]),
        _ => format!(" The {} edges are home already.", words::list(&rest)),
    };
    let which = format!("Look for the {} edge{s}.{rest}", words::list(&names));
    let see: Vec<String> = open
        .iter()
        .map(|(edge, side)| format!("The {} edge is {}.", name(side), place(held, *edge)))
        .collect();
    let Some(route) = routes.first() else {
        return [which, see.join(" "), String::new(), String::new()];
    };
    let order: Vec<String> = route
        .steps
        .iter()
        .map(|step| {
            step.say
                .split([':', '('])
                .next()
                .unwrap_or_default()
                .trim()
                .to_string()
        })
        .map(|text| text.replace("Bring", "bring").replace("Turn", "turn"))
        .collect();
    let turned_only = route.moves.iter().all(is_bottom);
    let idea = if turned_only {
        "The four stand right to each other: only the bottom has to turn until each is at its centre.".into()
    } else {
        format!(
            "One edge after the other, in {}: {}. What is down need not be beside its centre at once, as long as all that \
             is down stands right to each other.",
            words::turn_count(route.turns),
            order.join(", then ")
        )
    };
    let turns: Vec<String> = route
        .steps
        .iter()
        .map(|s| words::sentence(&words::turns(&s.moves)))
        .collect();
    [which, see.join(" "), idea, format!("{}.", turns.join(". "))]
}
