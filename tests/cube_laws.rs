//! The laws of the cube group, nets and holds, on random states.

use pairsight::cube::*;
use proptest::prelude::*;

fn cubes() -> impl Strategy<Value = Cube> {
    any::<u64>().prop_map(Cube::random)
}

fn any_move() -> impl Strategy<Value = Move> {
    let amount = prop::sample::select(&Amount::ALL[..]);
    let turn = prop::sample::select(&Turn::ALL[..]);
    prop_oneof![
        turn.clone().prop_map(Move::Outer),
        turn.prop_map(Move::Wide),
        (
            prop::sample::select(&[Slice::M, Slice::E, Slice::S][..]),
            amount.clone()
        )
            .prop_map(|(slice, amount)| Move::Slice(slice, amount)),
        (
            prop::sample::select(&[Axis::X, Axis::Y, Axis::Z][..]),
            amount
        )
            .prop_map(|(axis, amount)| Move::Rotation(axis, amount)),
    ]
}

fn move_lists() -> impl Strategy<Value = Vec<Move>> {
    prop::collection::vec(any_move(), 0..30)
}

fn holds() -> impl Strategy<Value = Hold> {
    prop::sample::select(Hold::all().collect::<Vec<_>>())
}

proptest! {
    #[test]
    fn moves_and_their_inverse_give_the_cube_back(cube in cubes(), hold in holds(), moves in move_lists()) {
        let held = Held { cube, hold };
        let there = held.after(&moves);
        prop_assert_eq!(there.after(&inverse(&moves)), held);
    }

    #[test]
    fn moves_survive_being_written_and_read(moves in move_lists()) {
        let text = Moves(moves.clone()).to_string();
        prop_assert_eq!(parse_moves(&text).unwrap(), moves);
    }

    #[test]
    fn tidying_keeps_what_moves_do(cube in cubes(), hold in holds(), moves in move_lists()) {
        let held = Held { cube, hold };
        let tidy = simplified(&moves);
        prop_assert_eq!(held.after(&tidy), held.after(&moves));
        prop_assert!(tidy.len() <= moves.len() && htm(&tidy) <= htm(&moves));
        prop_assert_eq!(simplified(&tidy), tidy);
    }

    #[test]
    fn a_state_and_its_inverse_cancel(a in cubes(), b in cubes()) {
        prop_assert_eq!(a.compose(&a.inverse()), Cube::solved());
        prop_assert_eq!(a.inverse().compose(&a), Cube::solved());
        prop_assert_eq!(a.compose(&b).inverse(), b.inverse().compose(&a.inverse()));
    }

    #[test]
    fn doing_moves_is_composing_with_what_they_do(cube in cubes(), moves in move_lists()) {
        prop_assert_eq!(cube.after(&moves), cube.compose(&Cube::solved().after(&moves)));
    }

    #[test]
    fn a_net_of_any_hold_gives_the_state_back(cube in cubes(), hold in holds()) {
        let net = Net::of_held(&Held { cube, hold });
        prop_assert_eq!(net.hold(), Some(hold));
        prop_assert_eq!(net.normalised(), Some(Net::of(&cube)));
        prop_assert_eq!(net.to_cube(), Ok(cube));
        let json = serde_json::to_value(net).unwrap();
        prop_assert_eq!(Net::from_json(&json), Ok(net));
    }

    #[test]
    fn pieces_are_found_where_they_are(cube in cubes()) {
        for piece in Corner::ALL {
            let (place, o) = cube.find_corner(piece);
            prop_assert_eq!(cube.corner_at(place), (piece, o));
            prop_assert_eq!(Corner::of_faces(cube.corner_faces(piece)), Some((place, o)));
        }
        for piece in Edge::ALL {
            let (place, o) = cube.find_edge(piece);
            prop_assert_eq!(cube.edge_at(place), (piece, o));
            prop_assert_eq!(Edge::of_faces(cube.edge_faces(piece)), Some((place, o)));
        }
    }

    #[test]
    fn places_are_mapped_into_the_hand_and_back(hold in holds()) {
        for place in Corner::ALL {
            prop_assert_eq!(hold.corner_at_home(hold.corner_in_hand(place)), place);
        }
        for place in Edge::ALL {
            prop_assert_eq!(hold.edge_at_home(hold.edge_in_hand(place)), place);
        }
    }
}

#[test]
fn there_are_24_holds() {
    let all: std::collections::HashSet<Hold> = Hold::all().collect();
    assert_eq!(all.len(), 24);
    for hold in all {
        assert_eq!(Hold::new(hold.down(), hold.front()), Some(hold));
    }
    assert_eq!(Hold::new(Colour::Red, Colour::Orange), None);
    assert_eq!(Hold::new(Colour::Red, Colour::Red), None);
}

/// The moves of a face as WCA Article 12 defines them, followed by hand on the stickers of a solved cube.
#[test]
fn single_moves_carry_the_right_stickers() {
    let front_after = |text: &str| {
        let held = Held::home(Cube::solved()).after(&parse_moves(text).unwrap());
        Net::of_held(&held)
            .face(Face::F)
            .map(|row| row.iter().map(|c| c.letter()).collect::<String>())
    };
    assert_eq!(front_after("R"), ["ggy", "ggy", "ggy"]);
    assert_eq!(front_after("L"), ["wgg", "wgg", "wgg"]);
    assert_eq!(front_after("U"), ["rrr", "ggg", "ggg"]);
    assert_eq!(front_after("D"), ["ggg", "ggg", "ooo"]);
    assert_eq!(front_after("M"), ["gwg", "gwg", "gwg"]);
    assert_eq!(front_after("E"), ["ggg", "ooo", "ggg"]);
    assert_eq!(front_after("Rw"), ["gyy", "gyy", "gyy"]);
    assert_eq!(front_after("r2"), ["gbb", "gbb", "gbb"]);
    assert_eq!(front_after("Uw'"), ["ooo", "ooo", "ggg"]);
    assert_eq!(front_after("x"), ["yyy"; 3]);
    assert_eq!(front_after("y"), ["rrr"; 3]);
    assert_eq!(front_after("x y"), ["rrr"; 3]);
    assert_eq!(front_after("z y"), ["www"; 3]);
}
