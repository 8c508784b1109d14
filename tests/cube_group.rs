//! The cube against the cube group as sympy computes it, and against the law of one reassembly in twelve.
//! `fixtures/cube_group.py` made `fixtures/cube_group.json`.

use pairsight::cube::*;
use proptest::prelude::*;
use serde::Deserialize;
use std::collections::BTreeMap;

#[derive(Deserialize)]
struct Facts {
    order: String,
    moves: BTreeMap<String, Vec<usize>>,
    orders: Vec<Order>,
    nets: Vec<Verdict>,
}

#[derive(Deserialize)]
struct Order {
    moves: Moves,
    order: usize,
}

#[derive(Deserialize)]
struct Verdict {
    net: String,
    legal: bool,
    /// What must be found wrong, where that is known.
    kinds: Option<Vec<FaultKind>>,
}

/// The order in which the fixture writes a net's faces.
const WRITTEN: [Face; 6] = [Face::U, Face::L, Face::F, Face::R, Face::B, Face::D];

fn facts() -> Facts {
    serde_json::from_str(include_str!("fixtures/cube_group.json")).unwrap()
}

fn net_of(letters: &str) -> Net {
    let colours: Vec<Colour> = letters
        .chars()
        .map(|c| Colour::from_letter(c).unwrap())
        .collect();
    let mut faces = Colour::ALL.map(|c| [[c; 3]; 3]);
    for (face, nine) in WRITTEN.into_iter().zip(colours.chunks(9)) {
        faces[face.index()] = [0, 1, 2].map(|row| [0, 1, 2].map(|column| nine[3 * row + column]));
    }
    Net::new(faces).unwrap()
}

fn letters_of(net: &Net) -> Vec<Colour> {
    WRITTEN
        .into_iter()
        .flat_map(|face| net.face(face).into_iter().flatten())
        .collect()
}

#[test]
fn every_move_carries_the_stickers_as_a_rotation_of_space_does() {
    let moves = facts().moves;
    assert_eq!(
        moves.len(),
        18,
        "six outer turns, six wide ones, three slices, three rotations"
    );
    for (name, to) in moves {
        let made = parse_moves(&name).unwrap();
        for (seed, hold) in Hold::all().enumerate() {
            let held = Held {
                cube: Cube::random(seed as u64),
                hold,
            };
            let before = letters_of(&Net::of_held(&held));
            let after = letters_of(&Net::of_held(&held.after(&made)));
            for (from, &to) in to.iter().enumerate() {
                assert_eq!(
                    before[from], after[to],
                    "{name} from sticker {from} to {to}"
                );
            }
        }
    }
}

#[test]
fn the_group_has_the_order_of_one_reassembly_in_twelve() {
    let factorial = |n: u128| (1..=n).product::<u128>();
    let reassemblies = factorial(8) * 3u128.pow(8) * factorial(12) * 2u128.pow(12);
    let order: u128 = facts().order.parse().unwrap();
    assert_eq!(order, 43_252_003_274_489_856_000);
    assert_eq!(order * 12, reassemblies);
}

#[test]
fn sequences_repeat_after_their_order() {
    for Order { moves, order } in facts().orders {
        let once = Cube::solved().after(&moves);
        let mut cube = once;
        let mut times = 1;
        while cube != Cube::solved() {
            cube = cube.compose(&once);
            times += 1;
        }
        assert_eq!(times, order, "{moves}");
    }
}

#[test]
fn a_thousand_nets_are_judged_as_the_group_judges_them() {
    let nets = facts().nets;
    assert_eq!(nets.len(), 1000);
    assert!(nets.iter().filter(|n| n.legal).count() >= 400);
    for Verdict {
        net: letters,
        legal,
        kinds,
    } in nets
    {
        let net = net_of(&letters);
        match net.to_cube() {
            Ok(cube) => {
                assert!(legal, "taken for legal: {letters}");
                assert_eq!(Some(Net::of(&cube)), net.normalised());
            }
            Err(faults) => {
                assert!(!legal, "taken for illegal: {letters}: {faults:?}");
                assert!(!faults.is_empty());
                if let Some(kinds) = kinds {
                    assert_eq!(
                        faults.iter().map(|f| f.kind).collect::<Vec<_>>(),
                        kinds,
                        "{letters}"
                    );
                }
            }
        }
    }
}

/// The piece at each place, with its orientation.
type Pieces = ([(Corner, u8); 8], [(Edge, u8); 12]);

/// A reassembly: pieces in any order, any way round.
fn reassemblies() -> impl Strategy<Value = Pieces> {
    (
        Just(Corner::ALL.to_vec()).prop_shuffle(),
        prop::array::uniform8(0..3u8),
        Just(Edge::ALL.to_vec()).prop_shuffle(),
        prop::array::uniform12(0..2u8),
    )
        .prop_map(|(corners, twists, edges, flips)| {
            let corners = std::array::from_fn(|i| (corners[i], twists[i]));
            (corners, std::array::from_fn(|i| (edges[i], flips[i])))
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]
    /// The reassemblies fall into twelve classes, told apart by a twist, a flip and a swap; one class is legal.
    #[test]
    fn one_reassembly_in_twelve_is_legal((corners, edges) in reassemblies()) {
        let mut legal = 0;
        for class in 0..12u8 {
            let (mut corners, mut edges) = (corners, edges);
            corners[usize::from(class) % 8].1 += class % 3;
            edges[usize::from(class)].1 += class / 3 % 2;
            if class / 6 == 1 {
                edges.swap(0, 11);
            }
            match Cube::from_pieces(corners, edges) {
                Ok(cube) => {
                    legal += 1;
                    prop_assert_eq!(cube.corners(), corners.map(|(p, o)| (p, o % 3)));
                    prop_assert_eq!(cube.edges(), edges.map(|(p, o)| (p, o % 2)));
                }
                Err(faults) => prop_assert!((1..=3).contains(&faults.len())),
            }
        }
        prop_assert_eq!(legal, 1);
    }
}
