//! The cross edge by edge: the plain route that needs no planning of all four at once.

use std::collections::{HashMap, VecDeque};

use crate::cube::{Amount, Edge, Face, Held, Move, Turn};

/// Where a cross edge is in hand: the faces on which it shows the cross colour and its side colour.
type Lies = [Face; 2];

/// Turns in the order in which they are tried, so that the easier of equals is found: the sides first, the back last.
const ORDER: [Face; 6] = [Face::R, Face::L, Face::U, Face::D, Face::F, Face::B];

/// Bringing one edge down: which of the given edges it is, and the turns.
pub struct Bring {
    pub edge: usize,
    pub turns: Vec<Move>,
}

/// The cross edge by edge from the hold, its down colour being the cross: first the edge that takes the fewest turns to
/// stand right to those that are down. A turn of the bottom may be left at the end, which brings them to their centres.
pub fn one_by_one(held: &Held, edges: [Edge; 4]) -> (Vec<Bring>, Option<Move>) {
    let cross = held.hold.down();
    let lies = |edge: Edge, faces: [Face; 2]| {
        let in_hand = faces.map(|f| held.hold.face_in_hand(f));
        let first = edge.colours()[0] == cross;
        if first {
            in_hand
        } else {
            [in_hand[1], in_hand[0]]
        }
    };
    let homes = edges.map(|edge| lies(edge, edge.faces()));
    let mut now = edges.map(|edge| lies(edge, held.cube.edge_faces(edge)));
    let mut down = most_down(&now, &homes);
    let mut brought = Vec::new();
    while down.len() < edges.len() {
        let open = (0..edges.len()).filter(|k| !down.contains(k));
        let ways = open.filter_map(|k| Some((k, way(&now, &homes, &down, k)?)));
        let Some((edge, turns)) = ways.min_by_key(|(_, turns)| turns.len()) else {
            break;
        };
        for lies in &mut now {
            *lies = turns.iter().fold(*lies, |at, turn| turned(at, *turn));
        }
        // Another edge may have come down with it.
        down.push(edge);
        let offset = quarters_off(&now, &homes, &down).unwrap_or(0);
        let stands = |k: &usize| around(now[*k], offset) == homes[*k];
        down = (0..edges.len()).filter(stands).collect();
        let turns = turns.into_iter().map(Move::from).collect();
        brought.push(Bring { edge, turns });
    }
    let last = quarters_off(&now, &homes, &down).and_then(Amount::of_quarters);
    (
        brought,
        last.map(|amount| Turn::new(Face::D, amount).into()),
    )
}

fn turned(lies: Lies, turn: Turn) -> Lies {
    if lies.contains(&turn.face) {
        lies.map(|f| f.carried(turn.face, turn.amount.quarters()))
    } else {
        lies
    }
}

/// After clockwise quarter turns of the bottom.
fn around(lies: Lies, quarters: usize) -> Lies {
    match Amount::of_quarters(quarters) {
        Some(amount) => turned(lies, Turn::new(Face::D, amount)),
        None => lies,
    }
}

/// The quarter turns of the bottom that bring all of `down` home at once; none when they do not stand right to each other.
fn quarters_off(now: &[Lies; 4], homes: &[Lies; 4], down: &[usize]) -> Option<usize> {
    (0..4).find(|&q| down.iter().all(|&k| around(now[k], q) == homes[k]))
}

/// The largest set of edges that are down and stand right to each other; among equals the one that is home.
fn most_down(now: &[Lies; 4], homes: &[Lies; 4]) -> Vec<usize> {
    let standing =
        |q: usize| -> Vec<usize> { (0..4).filter(|&k| around(now[k], q) == homes[k]).collect() };
    let sets = (0..4).map(standing);
    sets.rev().max_by_key(Vec::len).unwrap_or_default()
}

/// The fewest turns after which edge `k` and those of `down` stand right to each other at the bottom.
fn way(now: &[Lies; 4], homes: &[Lies; 4], down: &[usize], k: usize) -> Option<Vec<Turn>> {
    let wanted: Vec<usize> = down.iter().copied().chain([k]).collect();
    let mut came: HashMap<Vec<Lies>, Option<Turn>> = HashMap::new();
    let mut open = VecDeque::new();
    let start: Vec<Lies> = wanted.iter().map(|&w| now[w]).collect();
    came.insert(start.clone(), None);
    open.push_back(start);
    let done = |at: &[Lies]| {
        (0..4).any(|q| {
            at.iter()
                .zip(&wanted)
                .all(|(&lies, &w)| around(lies, q) == homes[w])
        })
    };
    while let Some(at) = open.pop_front() {
        if done(&at) {
            return Some(walk_back(&came, at));
        }
        for turn in ORDER
            .into_iter()
            .flat_map(|f| Amount::ALL.map(|a| Turn::new(f, a)))
        {
            let next: Vec<Lies> = at.iter().map(|&lies| turned(lies, turn)).collect();
            if !came.contains_key(&next) {
                came.insert(next.clone(), Some(turn));
                open.push_back(next);
            }
        }
    }
    None
}

fn walk_back(came: &HashMap<Vec<Lies>, Option<Turn>>, mut at: Vec<Lies>) -> Vec<Turn> {
    let mut turns = Vec::new();
    while let Some(Some(turn)) = came.get(&at) {
        turns.push(*turn);
        at = at
            .iter()
            .map(|&lies| turned(lies, turn.inverse()))
            .collect();
    }
    turns.reverse();
    turns
}
