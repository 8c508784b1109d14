//! What a route is said to use, read from its turns and the cube alone.

use super::said::placements::placements;
use crate::coach::saying::{PairSaying, Saying, ShortGain, Use};
use crate::coach::{Idea, Level, Route, pairs};
use crate::cube::{Amount, Colour, Cube, Face, Held, Move, Turn};
use crate::solve::{self, Slot, SlotSet};

fn side(m: &Move) -> Option<Turn> {
    match m {
        Move::Outer(turn) if !matches!(turn.face, Face::U | Face::D) => Some(*turn),
        _ => None,
    }
}

fn of_bottom(m: &Move) -> bool {
    matches!(m, Move::Outer(Turn { face: Face::D, .. }))
}

/// The corner and the edge in a slot.
fn held_in(cube: &Cube, cross: Colour, slot: Slot) -> impl PartialEq + use<> {
    (
        cube.corner_at(slot.corner(cross)),
        cube.edge_at(slot.edge(cross)),
    )
}

/// Where the pieces of a slot's pair are.
fn pieces_at(cube: &Cube, cross: Colour, slot: Slot) -> impl PartialEq + use<> {
    (
        cube.find_corner(slot.corner(cross)),
        cube.find_edge(slot.edge(cross)),
    )
}

/// The faces beside a slot, in hand.
fn beside(held: &Held, slot: Slot) -> [Face; 2] {
    slot.colours(held.hold.down()).map(|colour| {
        let is = |face: &Face| held.hold.colour_at(*face) == colour;
        Face::ALL.into_iter().find(is).expect("a face")
    })
}

/// Whether what a route is said to use is so.
fn is_so(
    named: Use,
    held: &Held,
    slot: Slot,
    solved: SlotSet,
    route: &Route,
    plain: &Route,
) -> bool {
    let cross = held.hold.down();
    let end = held.after(&route.moves);
    let turns = &route.moves[..];
    match named {
        Use::NoRotation => plain.rotations > 0 && turns.iter().all(|m| matches!(m, Move::Outer(_))),
        // It stays at the back, and the turn that takes the pair home is of a side beside it.
        Use::BackSlot => {
            let faces = beside(&end, slot);
            let pieces = |n: usize| pieces_at(&held.after(&turns[..n]).cube, cross, slot);
            let moved = |n: &usize| pieces(*n) != pieces(n - 1);
            let last = (1..=turns.len()).rev().find(moved).expect("the pair moves");
            let side = side(&turns[last - 1]);
            let home = side.is_some_and(|turn| faces.contains(&turn.face));
            !faces.contains(&Face::F) && faces == beside(held, slot) && home
        }
        // Another slot that was open changes what it holds, and it held neither piece.
        Use::EmptySlot => Slot::ALL.into_iter().any(|other| {
            let (corner, edge) = (
                held.cube.corner_at(other.corner(cross)).0,
                held.cube.edge_at(other.edge(cross)).0,
            );
            other != slot
                && !solved.contains(other)
                && corner != slot.corner(cross)
                && edge != slot.edge(cross)
                && held_in(&held.cube, cross, other) != held_in(&end.cube, cross, other)
        }),
        // The bottom is turned away and back, with other turns between.
        Use::Keyhole => {
            let at: Vec<usize> = (0..turns.len()).filter(|i| of_bottom(&turns[*i])).collect();
            matches!(at[..], [a, b] if b > a + 1 && turns[b] == turns[a].inverse())
        }
        Use::Sledgehammer => turns.windows(4).any(|four| {
            let [Some(a), Some(b), Some(c), Some(d)] = [0, 1, 2, 3].map(|i| side(&four[i])) else {
                return false;
            };
            let quarters = [a, b].iter().all(|t| t.amount != Amount::Half);
            let neighbours = a.face.around().contains(&b.face);
            quarters && neighbours && c == a.inverse() && d == b.inverse()
        }),
        // A side opens, the top turns, the side closes, and all but this pair was whole before.
        Use::Idea(Idea::Insert) => ends_in(turns, |before, after| {
            let at = held.after(before).cube;
            !solve::pair_solved(&at, cross, slot)
                && solve::cross_solved(&at, cross)
                && solved.is_subset(solve::pairs_solved(&at, cross))
                && solve::pair_solved(&held.after(after).cube, cross, slot)
        }),
        // Of the lifts, one does what is named.
        Use::Idea(idea) => (0..turns.len()).any(|n| {
            ends_in(&turns[..=n], |before, after| {
                let (was, is) = (held.after(before), held.after(after));
                let up = |held: &Held| on_top(held, slot);
                match idea {
                    Idea::Free => up(&was) != [true; 2] && up(&is) != up(&was),
                    Idea::Park => up(&was)[0] && up(&is) == [false, true],
                    _ => up(&was) == [true; 2] && up(&is) == [true; 2],
                }
            })
        }),
        other => panic!("{other:?} is nothing of a pair"),
    }
}

/// Whether turns end in a lift, and what is asked of the turns before it and with it is so.
fn ends_in(turns: &[Move], so: impl Fn(&[Move], &[Move]) -> bool) -> bool {
    let Some(start) = turns.len().checked_sub(3) else {
        return false;
    };
    let (before, last) = turns.split_at(start);
    let [a, b, c] = last else { return false };
    let top = matches!(b, Move::Outer(Turn { face: Face::U, .. }));
    top && side(a).is_some() && *c == a.inverse() && so(before, turns)
}

/// Whether one side is said to stay open while the two join.
fn opens_around(route: &Route) -> bool {
    let is_it = |saying: &Saying| {
        let Saying::Pair(PairSaying::Shorter { by, .. }) = saying else {
            return false;
        };
        *by == ShortGain::OpensAround
    };
    route.idea.sayings().iter().any(is_it)
}

/// Whether corner and edge of a slot are in the top layer.
fn on_top(held: &Held, slot: Slot) -> [bool; 2] {
    let cross = held.hold.down();
    let top = cross.opposite().home_face();
    let (corner, _) = held.cube.find_corner(slot.corner(cross));
    let (edge, _) = held.cube.find_edge(slot.edge(cross));
    [corner.faces().contains(&top), edge.faces().contains(&top)]
}

#[test]
fn what_a_route_is_said_to_use_it_does() {
    let mut counts = std::collections::HashMap::new();
    for (i, cross) in Colour::ALL.into_iter().enumerate() {
        let slot = Slot::ALL[i % 4];
        let next = Slot::ALL[(i + 1) % 4];
        let others = SlotSet::ALL.without(slot);
        for solved in [SlotSet::EMPTY, SlotSet::EMPTY.with(next), others] {
            for (n, cube) in placements(cross, slot, solved).into_iter().enumerate() {
                if solve::pair_solved(&cube, cross, slot) {
                    continue;
                }
                let solved = solve::pairs_solved(&cube, cross);
                let hold = pairs::holds(cross)[(i + n) % 4];
                let held = Held { cube, hold };
                let routes = pairs::routes(&held, slot, solved, Level::Front);
                for (at, route) in routes.iter().enumerate() {
                    let end = held.after(&route.moves).cube;
                    let whole = solve::pairs_solved(&end, cross);
                    assert!(solve::cross_solved(&end, cross));
                    assert!(solved.with(slot).is_subset(whole), "{route:?}");
                    for named in &route.uses {
                        *counts.entry(*named).or_insert(0) += 1;
                        let so = is_so(*named, &held, slot, solved, route, &routes[0]);
                        assert!(so, "{named:?}: {} on {cube}", route.moves);
                    }
                    // Only the short route may be the plain one again, and none takes fewer turns than it.
                    let same = |other: &Route| other.moves == route.moves;
                    assert!(at == 1 || !routes[..at].iter().any(same), "{routes:?}");
                    assert!(route.turns >= routes[1].turns, "{routes:?}");
                    if opens_around(route) {
                        let turns: Vec<Turn> = route.moves.iter().filter_map(side).collect();
                        let face = turns[0].face;
                        let of_it = turns.iter().filter(|turn| turn.face == face);
                        assert!(of_it.count() == 2 && turns.last() == Some(&turns[0].inverse()));
                    }
                    assert_eq!(route.idea.sayings().len(), 1, "{:?}", route.idea);
                }
            }
        }
    }
    println!("{counts:?}");
    assert_eq!(counts.len(), 10, "every idea is met: {counts:?}");
}
