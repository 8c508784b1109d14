//! The cross stage: its routes edge by edge, the hold for it, and the rungs of hints.

use crate::cube::{Amount, Colour, Cube, Edge, Face, Held, Hold, Move, Moves, Turn, htm};
use crate::solve::{self, Style};

use super::edges::one_by_one;
use super::ladder::{Marks, Rung};
use super::route::{Route, Step};
use super::saying::{CrossEdges, CrossSaying, Deed, Lead, Text, TurnSaying, say, say_all};

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
    let cross = held.hold.down();
    let moves = shortest(held);
    let turns = htm(&moves);
    let short = Route::new(
        Style::Short,
        steps(held, &moves),
        Vec::new(),
        say(CrossSaying::PlannedTogether { cross, turns }),
        say(CrossSaying::FindAllFour(cross)),
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
    Route::new(
        Style::Plain,
        steps,
        Vec::new(),
        say(CrossSaying::OneAfterTheOther(cross)),
        say(CrossSaying::LookForNearest(cross)),
    )
}

fn line_up(turns: &[Move]) -> Step {
    Step {
        idea: Deed::LineUp,
        say: say(TurnSaying::Written(turns.to_vec())),
        why: say(CrossSaying::EachComesToItsCentre),
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
    let named = CrossEdges {
        cross: held.hold.down(),
        sides: done.iter().map(|(_, side)| *side).collect(),
    };
    let whence = done.iter().map(|(edge, side)| {
        let side = (done.len() > 1).then_some(*side);
        edge_at(held, *edge, side)
    });
    let is_down = |(edge, _): &(Edge, Colour)| {
        held.hold.edge_in_hand(held.cube.find_edge(*edge).0).faces()[0] == Face::D
    };
    let aim = match done.iter().all(is_down) {
        true => CrossSaying::MoveHome(named.clone()),
        false => CrossSaying::BringDown(named.clone()),
    };
    Step {
        say: say(aim).and(say(TurnSaying::Written(moves.to_vec()))),
        why: say_all(whence),
        idea: Deed::Edges(named),
        moves: Moves(moves.to_vec()),
    }
}

/// Where a cross edge is, with where its cross colour looks.
fn edge_at(held: &Held, edge: Edge, side: Option<Colour>) -> CrossSaying {
    let cross = held.hold.down();
    let k = edge.colours().iter().position(|c| *c == cross).unwrap_or(0);
    let (at, _) = held.cube.find_edge(edge);
    CrossSaying::EdgeAt {
        side,
        at: held.hold.edge_in_hand(at),
        cross,
        looks: held.hold.face_in_hand(held.cube.edge_faces(edge)[k]),
    }
}

/// How the turns for the first edge that they bring down are found, by how it lies.
fn how(held: &Held, open: &[(Edge, Colour)], moves: &[Move]) -> CrossSaying {
    let after = held.after(moves);
    let moved = open.iter().find(|(edge, _)| {
        let (was, is) = (held.cube.find_edge(*edge), after.cube.find_edge(*edge));
        let down = |place: Edge| held.hold.edge_in_hand(place).faces()[0] == Face::D;
        was != is && down(is.0)
    });
    let Some((edge, _)) = moved else {
        return CrossSaying::TurnBottom;
    };
    let at = |held: &Held| held.hold.edge_in_hand(held.cube.find_edge(*edge).0).faces();
    // The turns that carry it, bottom and top aside.
    let mut now = *held;
    let mut carried = Vec::new();
    for m in moves {
        let next = now.apply(m);
        if at(&now) != at(&next) && !matches!(m, Move::Outer(turn) if turn.face == Face::U) {
            carried.push(*m);
        }
        now = next;
    }
    let turns_of = |face: Face| {
        let is_it = |m: &Move| matches!(m, Move::Outer(turn) if turn.face == face);
        moves.iter().any(is_it)
    };
    let lead = match (turns_of(Face::U), turns_of(Face::D)) {
        (_, true) => Lead::BringPlaceBelow,
        (true, false) => Lead::BringOver,
        (false, false) => Lead::PlaceIsBelow,
    };
    match carried[..] {
        [one] => CrossSaying::TakeDown {
            lead,
            half: matches!(one, Move::Outer(turn) if turn.amount == Amount::Half),
        },
        _ => CrossSaying::DownInTwo,
    }
}

/// The question and the four rungs: which edges; where one of them is; the idea; the turns for that one.
pub fn rungs(held: &Held, routes: &[Route]) -> [Rung; 5] {
    let cross = held.hold.down();
    let open: Vec<_> = edges(cross)
        .into_iter()
        .filter(|(edge, _)| held.cube.edge_at(*edge) != (*edge, 0))
        .collect();
    let wanted = CrossEdges {
        cross,
        sides: open.iter().map(|(_, side)| *side).collect(),
    };
    let question = Rung::new(
        say(CrossSaying::WhereAreTheFour(cross)),
        say(CrossSaying::FindAllFirst),
        Marks::NONE,
    );
    let which = Rung::new(
        say(CrossSaying::LookFor(wanted)),
        match 4 - open.len() {
            0 => Text::NOTHING,
            home => say(CrossSaying::HomeAlready(home)),
        },
        Marks::PIECES,
    );
    let Some((route, first)) = routes.first().and_then(|r| Some((r, r.steps.first()?))) else {
        return [question, which.clone(), which.clone(), which.clone(), which];
    };
    let line_up = route.moves.iter().all(is_bottom);
    let see = match &first.idea {
        Deed::Edges(first_edges) if !line_up => Rung::new(
            say(CrossSaying::BeginWith(first_edges.clone())),
            first.why.clone(),
            Marks::PLACES,
        ),
        _ => Rung::new(say(CrossSaying::AllDown), Text::NOTHING, Marks::PLACES),
    };
    let (idea, why) = match line_up {
        true => (CrossSaying::TurnOnlyBottom, CrossSaying::EachMustMeet),
        false => (how(held, &open, &first.moves), CrossSaying::OrderCounts),
    };
    let idea = Rung::new(say(idea), say(why), Marks::PLACES);
    let after = match route.steps.len() > 1 {
        true => say(TurnSaying::LookAgain),
        false => say(CrossSaying::CheckEach),
    };
    let spoken = say(TurnSaying::Spoken(first.moves.to_vec()));
    let turns = Rung::new(spoken, after, Marks::TURNS).with(&route.steps[..1]);
    [question, which, see, idea, turns]
}
