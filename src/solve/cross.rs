//! The cross in fewest turns, from a table of all its states.

use super::tables::Tables;
use crate::cube::{Colour, Cube, Hold, Turn};

/// The fewest turns (half-turn metric) that solve the cross of a colour, 0 to 8.
pub fn cross_turns(cube: &Cube, cross: Colour) -> u8 {
    let tables = Tables::get();
    tables.cross[tables.cross_of(cube, hold(cross)) as usize]
}

/// Routes of fewest turns that solve the cross, at most `most` of them, as turns in the home orientation. A solved
/// cross has one empty route.
pub fn cross_routes(cube: &Cube, cross: Colour, most: usize) -> Vec<Vec<Turn>> {
    let tables = Tables::get();
    let hold = hold(cross);
    let mut routes = Vec::new();
    let start = tables.cross_of(cube, hold);
    descend(tables, start, &mut Vec::new(), most, &mut |route| {
        routes.push(route.iter().map(|&t| hold.turn_at_home(t)).collect());
    });
    routes
}

/// Walks every way down the table; gives up to `most` routes and returns how many are left to give.
fn descend(
    tables: &Tables,
    state: u32,
    route: &mut Vec<Turn>,
    most: usize,
    give: &mut impl FnMut(&[Turn]),
) -> usize {
    let distance = tables.cross[state as usize];
    if most == 0 {
        return 0;
    }
    if distance == 0 {
        give(route);
        return most - 1;
    }
    let mut left = most;
    for turn in Turn::ALL {
        let next = tables.cross_turned[state as usize][turn.index()];
        if tables.cross[next as usize] < distance && !repeats(route.last().copied(), turn) {
            route.push(turn);
            left = descend(tables, next, route, left, give);
            route.pop();
        }
    }
    left
}

/// Whether a turn after another only says again what could be said shorter or in one agreed order: the same face
/// twice, or two opposite faces in the order other than that of [`Face::ALL`](crate::cube::Face::ALL).
pub(super) fn repeats(last: Option<Turn>, turn: Turn) -> bool {
    last.is_some_and(|last| {
        let (a, b) = (last.face, turn.face);
        a == b || (a.opposite() == b && a > b)
    })
}

/// Any hold with the cross down.
fn hold(cross: Colour) -> Hold {
    Hold::all()
        .find(|hold| hold.down() == cross)
        .unwrap_or_default()
}
