//! The searches' promise of fewest turns, against plain breadth-first search that knows nothing but how a cube turns.

use pairsight::cube::*;
use pairsight::solve::*;
use std::collections::HashMap;

/// The pieces that must come home, as a number that says where they all are.
struct Goal {
    corners: Vec<Corner>,
    edges: Vec<Edge>,
}

impl Goal {
    fn of(cross: Colour, slots: SlotSet) -> Goal {
        let crossed = Edge::ALL
            .into_iter()
            .filter(|e| e.colours().contains(&cross));
        Goal {
            corners: slots.iter().map(|slot| slot.corner(cross)).collect(),
            edges: crossed
                .chain(slots.iter().map(|slot| slot.edge(cross)))
                .collect(),
        }
    }

    fn key(&self, cube: &Cube) -> u64 {
        let corners = self.corners.iter().map(|&piece| {
            let (place, o) = cube.find_corner(piece);
            3 * place as u64 + u64::from(o)
        });
        let edges = self.edges.iter().map(|&piece| {
            let (place, o) = cube.find_edge(piece);
            2 * place as u64 + u64::from(o)
        });
        corners.chain(edges).fold(0, |key, spot| 24 * key + spot)
    }

    /// Distance of every state up to `deepest` turns from the goal.
    fn measured(&self, deepest: u8) -> HashMap<u64, u8> {
        let mut distance = HashMap::from([(self.key(&Cube::solved()), 0)]);
        let mut frontier = vec![Cube::solved()];
        for depth in 1..=deepest {
            let mut next = Vec::new();
            for cube in frontier {
                for turned in Turn::ALL.map(|turn| cube.apply(turn)) {
                    distance.entry(self.key(&turned)).or_insert_with(|| {
                        next.push(turned);
                        depth
                    });
                }
            }
            if next.is_empty() {
                break;
            }
            frontier = next;
        }
        distance
    }
}

/// Depth-first from the cube until within the measured distances; the least total, if any up to `ahead` turns out.
fn meet(
    cube: Cube,
    goal: &Goal,
    near: &HashMap<u64, u8>,
    ahead: u8,
    last: Option<Face>,
) -> Option<u8> {
    let here = near.get(&goal.key(&cube)).copied();
    if ahead == 0 {
        return here;
    }
    let onward = Turn::ALL
        .into_iter()
        .filter(|turn| Some(turn.face) != last)
        .filter_map(|turn| meet(cube.apply(turn), goal, near, ahead - 1, Some(turn.face)))
        .map(|turns| turns + 1);
    onward.chain(here).min()
}

fn after(cube: Cube, route: &[Turn]) -> Cube {
    route.iter().fold(cube, |cube, &turn| cube.apply(turn))
}

/// The number of crosses at each distance is published in many places; the figures here are from memory.
#[test]
fn crosses_lie_as_far_off_as_published() {
    let mut counts = [0; 9];
    for (_, distance) in Goal::of(Colour::White, SlotSet::EMPTY).measured(u8::MAX) {
        counts[usize::from(distance)] += 1;
    }
    assert_eq!(counts, [1, 15, 158, 1394, 9809, 46381, 97254, 34966, 102]);
}

#[test]
fn no_cross_is_nearer_than_said() {
    for cross in Colour::ALL {
        let goal = Goal::of(cross, SlotSet::EMPTY);
        let distances = goal.measured(u8::MAX);
        for seed in 0..3000 {
            let cube = Cube::random(seed);
            assert_eq!(cross_turns(&cube, cross), distances[&goal.key(&cube)]);
        }
    }
}

/// Ten turns or more are only known to be more than nine here; the rest must agree exactly.
#[test]
fn no_pair_is_nearer_than_said() {
    let mut checked = [0; 16];
    for (cross, first, kept) in [
        (Colour::White, 0, 0),
        (Colour::Red, 1, 1),
        (Colour::Yellow, 2, 2),
        (Colour::Blue, 3, 3),
    ] {
        let slot = Slot::ALL[first];
        let keep: SlotSet = (1..=kept).map(|i| Slot::ALL[(first + i) % 4]).collect();
        let goal = Goal::of(cross, keep.with(slot));
        let near = goal.measured(5);
        for seed in 0..40 {
            let mut cube = Cube::random(seed);
            cube = after(cube, &cross_routes(&cube, cross, 1)[0]);
            for other in keep.iter() {
                let solved = pairs_solved(&cube, cross);
                let route = shortest_pair(&cube, cross, other, solved, &Limits::default());
                cube = after(cube, &route.unwrap());
            }
            let route = shortest_pair(&cube, cross, slot, keep, &Limits::default()).unwrap();
            assert_eq!(goal.key(&after(cube, &route)), goal.key(&Cube::solved()));
            checked[route.len()] += 1;
            match meet(cube, &goal, &near, 4, None) {
                Some(turns) => assert_eq!(route.len(), usize::from(turns)),
                None => assert!(route.len() > 9),
            }
        }
    }
    assert!(
        checked[..10].iter().sum::<usize>() > 150,
        "too few could be checked: {checked:?}"
    );
}

/// A cube with the cross and three pairs solved, and the fourth pair's pieces where they are asked for.
fn last_pair(slot: Slot, corner: (Corner, u8), edge: (Edge, u8)) -> Cube {
    let (own_corner, own_edge) = (slot.corner(Colour::White), slot.edge(Colour::White));
    let (mut corners, mut edges) = (Cube::solved().corners(), Cube::solved().edges());
    corners.swap(own_corner.index(), corner.0.index());
    edges.swap(own_edge.index(), edge.0.index());
    corners[corner.0.index()].1 = corner.1;
    edges[edge.0.index()].1 = edge.1;
    // Other pieces of the last layer make the cube legal.
    let other_corner = Corner::ALL
        .into_iter()
        .find(|c| c.faces()[0] == Face::D && *c != corner.0);
    corners[other_corner.unwrap().index()].1 += 3 - corner.1;
    let others = Edge::ALL
        .into_iter()
        .filter(|e| e.faces()[0] == Face::D && *e != edge.0);
    let others: Vec<usize> = others.map(Edge::index).collect();
    edges[others[0]].1 += edge.1;
    if (own_corner == corner.0) != (own_edge == edge.0) {
        edges.swap(others[0], others[1]);
    }
    Cube::from_pieces(corners, edges).unwrap()
}

/// All 150 ways that the last pair can lie when the other three are solved.
#[test]
fn no_last_pair_is_nearer_than_said() {
    let (cross, slot) = (Colour::White, Slot::ALL[0]);
    let keep = SlotSet::ALL.without(slot);
    let goal = Goal::of(cross, SlotSet::ALL);
    let near = goal.measured(5);
    let mut counts = [0; 16];
    let places = |faces: &[Face], own: bool| faces[0] == Face::D || own;
    for corner in Corner::ALL
        .into_iter()
        .filter(|c| places(&c.faces(), *c == slot.corner(cross)))
    {
        for edge in Edge::ALL
            .into_iter()
            .filter(|e| places(&e.faces(), *e == slot.edge(cross)))
        {
            for turned in 0..6 {
                let cube = last_pair(slot, (corner, turned % 3), (edge, turned / 3));
                assert!(cross_solved(&cube, cross) && keep.is_subset(pairs_solved(&cube, cross)));
                let route = shortest_pair(&cube, cross, slot, keep, &Limits::default()).unwrap();
                counts[route.len()] += 1;
                match meet(cube, &goal, &near, 4, None) {
                    Some(turns) => assert_eq!(route.len(), usize::from(turns)),
                    None => assert!(route.len() > 9),
                }
            }
        }
    }
    assert_eq!(counts.iter().sum::<usize>(), 150);
    println!("last pairs by turns: {counts:?}");
}

/// Every sequence of so many turns in which no turn repeats a face and opposite faces come in one order.
fn sequences(turns: usize) -> Vec<Vec<Turn>> {
    let mut all = vec![vec![]];
    for _ in 0..turns {
        all = all
            .iter()
            .flat_map(|route: &Vec<Turn>| {
                let last = route.last().map(|turn| turn.face);
                let fits = move |face: Face| {
                    last.is_none_or(|l| face != l && !(face == l.opposite() && face < l))
                };
                let turns = Turn::ALL.into_iter().filter(move |turn| fits(turn.face));
                turns.map(move |turn| [&route[..], &[turn]].concat())
            })
            .collect();
    }
    all
}

#[test]
fn all_shortest_routes_are_found() {
    let (cross, slot) = (Colour::White, Slot::ALL[0]);
    let keep: SlotSet = [Slot::ALL[2]].into_iter().collect();
    let goal = Goal::of(cross, keep.with(slot));
    let home = goal.key(&Cube::solved());
    for (i, scramble) in sequences(4)
        .iter()
        .enumerate()
        .filter(|(i, _)| i % 1201 == 0)
    {
        let cube = after(Cube::solved(), scramble);
        let mut expected: Vec<Vec<Turn>> = Vec::new();
        for turns in 0..=4 {
            let reaching = |route: &Vec<Turn>| goal.key(&after(cube, route)) == home;
            expected = sequences(turns).into_iter().filter(reaching).collect();
            if !expected.is_empty() {
                break;
            }
        }
        let mut found = all_shortest(&cube, cross, slot, keep, &Limits::default(), 10_000);
        found.sort();
        expected.sort();
        assert_eq!(found, expected, "scramble {i}");
        let longer = pair_routes(&cube, cross, slot, keep, &Limits::default(), 1, 10_000);
        assert_eq!(&longer[..found.len()].len(), &expected.len());
        assert!(
            longer
                .iter()
                .all(|route| goal.key(&after(cube, route)) == home)
        );
        assert!(
            longer[found.len()..]
                .iter()
                .all(|route| route.len() == found[0].len() + 1)
        );
    }
}

#[test]
fn limits_are_kept() {
    let (cross, slot) = (Colour::White, Slot::ALL[0]);
    let faces = [Face::D, Face::R, Face::F];
    let limits = Limits {
        allowed: TurnSet::of_faces(&faces),
        most: 9,
    };
    for seed in 0..50 {
        // Mixed with the same faces, so that there is a way back.
        let turns: Vec<Turn> = (0..7).map(|i| Turn::ALL[(seed * 7 + i * i) % 18]).collect();
        let turns: Vec<Turn> = turns
            .into_iter()
            .filter(|t| faces.contains(&t.face))
            .collect();
        let cube = after(Cube::solved(), &turns);
        let route = shortest_pair(&cube, cross, slot, SlotSet::ALL, &limits).unwrap();
        assert!(route.len() <= turns.len());
        assert!(route.iter().all(|turn| faces.contains(&turn.face)));
        assert_eq!(pairs_solved(&after(cube, &route), cross), SlotSet::ALL);
    }
    let cube = after(Cube::solved(), &[Turn::new(Face::R, Amount::Quarter)]);
    let only_up = Limits {
        allowed: TurnSet::of_faces(&[Face::U]),
        ..Limits::default()
    };
    assert_eq!(
        shortest_pair(&cube, cross, slot, SlotSet::EMPTY, &only_up),
        None
    );
    let no_turns = Limits {
        most: 0,
        ..Limits::default()
    };
    assert_eq!(
        shortest_pair(&cube, cross, slot, SlotSet::EMPTY, &no_turns),
        None
    );
    assert_eq!(
        shortest_pair(&Cube::solved(), cross, slot, SlotSet::ALL, &no_turns),
        Some(vec![])
    );
}
