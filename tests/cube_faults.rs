//! What is said about cubes and texts that are wrong.

use pairsight::cube::*;
use proptest::prelude::*;
use serde_json::{Value, json};

fn assembled(
    cube: Cube,
    change: impl Fn(&mut [(Corner, u8); 8], &mut [(Edge, u8); 12]),
) -> Vec<Fault> {
    let (mut corners, mut edges) = (cube.corners(), cube.edges());
    change(&mut corners, &mut edges);
    Cube::from_pieces(corners, edges).unwrap_err()
}

fn kinds(faults: &[Fault]) -> Vec<FaultKind> {
    faults.iter().map(|f| f.kind).collect()
}

fn solved_net() -> Value {
    json!({
        "up": ["www", "www", "www"], "left": ["ooo", "ooo", "ooo"], "front": ["ggg", "ggg", "ggg"],
        "right": ["rrr", "rrr", "rrr"], "back": ["bbb", "bbb", "bbb"], "down": ["yyy", "yyy", "yyy"],
    })
}

/// The solved net with some rows written anew, as (face, row, text).
fn net_with(rows: &[(&str, usize, &str)]) -> Value {
    let mut net = solved_net();
    for &(face, row, text) in rows {
        net[face][row] = text.into();
    }
    net
}

fn faults_of(net: Value) -> Vec<Fault> {
    Net::from_json(&net).unwrap().to_cube().unwrap_err()
}

#[test]
fn a_twisted_corner_of_a_solved_cube_is_named() {
    for place in Corner::ALL {
        for (o, way, back) in [
            (1, " counter-clockwise", " clockwise"),
            (2, " clockwise", " counter-clockwise"),
        ] {
            let faults = assembled(Cube::solved(), |corners, _| corners[place.index()].1 = o);
            assert_eq!(kinds(&faults), [FaultKind::TwistedCorner]);
            let [a, b, c] = place.colours().map(Colour::name);
            assert!(
                faults[0]
                    .say
                    .contains(&format!("the {a}, {b} and {c} centres meet")),
                "{faults:?}"
            );
            assert!(
                faults[0].say.ends_with(way) && faults[0].repair.contains(back),
                "{faults:?}"
            );
        }
    }
}

/// Looking at the corner of the white, green and red stickers with white on top, green is on the left: on a corner
/// turned clockwise white has gone to the right, to the red centre.
#[test]
fn the_way_of_a_twist_is_the_way_the_hand_turns() {
    let net = net_with(&[("up", 2, "wwg"), ("front", 0, "ggr"), ("right", 0, "wrr")]);
    let faults = faults_of(net);
    assert_eq!(
        faults[0].say,
        "the corner where the white, green and red centres meet is twisted a third of a turn clockwise"
    );
    assert_eq!(
        faults[0].repair,
        "twist that corner a third of a turn counter-clockwise in its place; if it does not give easily, take the cube apart there"
    );
    assert_eq!(
        faults[0].places,
        [[Colour::White, Colour::Green, Colour::Red]]
    );
}

#[test]
fn a_flipped_edge_is_named_even_one_turn_from_solved() {
    for turn in Turn::ALL {
        let faults = assembled(Cube::solved().apply(turn), |_, edges| edges[0].1 ^= 1);
        assert_eq!(kinds(&faults), [FaultKind::FlippedEdge]);
        assert_eq!(
            faults[0].say,
            "the edge between the white and green centres is flipped"
        );
    }
}

#[test]
fn two_swapped_pieces_of_a_solved_cube_are_named() {
    let faults = assembled(Cube::solved(), |_, edges| edges.swap(0, 8));
    assert_eq!(kinds(&faults), [FaultKind::SwappedPieces]);
    assert_eq!(
        faults[0].say,
        "two edges have changed places: the one between the white and green centres and the one between the green and \
         red centres"
    );
    let faults = assembled(Cube::solved(), |corners, _| corners.swap(0, 7));
    assert!(
        faults[0]
            .say
            .starts_with("two corners have changed places: the one where"),
        "{faults:?}"
    );
}

#[test]
fn all_faults_of_a_cube_are_listed() {
    let faults = assembled(Cube::random(7), |corners, edges| {
        corners[3].1 += 1;
        edges[5].1 += 1;
        edges.swap(1, 2);
    });
    let all = [
        FaultKind::TwistedCorner,
        FaultKind::FlippedEdge,
        FaultKind::SwappedPieces,
    ];
    assert_eq!(kinds(&faults), all);
    assert!(
        faults
            .iter()
            .all(|f| f.repair.contains("nobody can tell which") && f.places.is_empty()),
        "{faults:?}"
    );
}

proptest! {
    /// On a mixed cube no place is blamed, since nobody can know it.
    #[test]
    fn no_corner_of_a_mixed_cube_is_blamed(seed: u64, place in 0..8usize, o in 1..3u8) {
        let faults = assembled(Cube::random(seed), |corners, _| corners[place].1 += o);
        prop_assert_eq!(kinds(&faults), [FaultKind::TwistedCorner]);
        prop_assert!(!faults[0].say.contains("centres meet"));
        prop_assert!(faults[0].repair.starts_with("twist any one corner"));
    }

    /// The advice given mends the cube.
    #[test]
    fn any_corner_twisted_back_as_advised_mends_the_cube(seed: u64, was in 0..8usize, any in 0..8usize) {
        let cube = Cube::random(seed);
        let (mut corners, edges) = (cube.corners(), cube.edges());
        corners[was].1 += 1;
        let faults = Cube::from_pieces(corners, edges).unwrap_err();
        prop_assert!(faults[0].say.ends_with("counter-clockwise"));
        prop_assert!(faults[0].repair.contains("a third of a turn clockwise"));
        corners[any].1 += 2;
        prop_assert!(Cube::from_pieces(corners, edges).is_ok());
    }

    /// Whatever stickers are shown, there is a verdict and every fault says something.
    #[test]
    fn any_stickers_get_a_verdict(stickers in prop::collection::vec(0..6usize, 54)) {
        let mut faces = [[[Colour::White; 3]; 3]; 6];
        for (i, &colour) in stickers.iter().enumerate() {
            faces[i / 9][i % 9 / 3][i % 3] = Colour::ALL[colour];
        }
        for (i, face) in faces.iter_mut().enumerate() {
            face[1][1] = Colour::ALL[(i * 5 + stickers[0]) % 6];
        }
        if let Ok(net) = Net::new(faces) {
            let faults = net.to_cube().err().unwrap_or_default();
            prop_assert!(faults.iter().all(|f| !f.say.is_empty() && !f.repair.is_empty()));
        }
    }

    #[test]
    fn any_text_is_read_or_refused_at_its_place(text in "[URFDLBMESxyzw2' a-z]{0,20}") {
        match text.parse::<Moves>() {
            Ok(moves) => prop_assert_eq!(moves.len(), text.split_whitespace().count()),
            Err(error) => {
                let at: String = text.chars().skip(error.column - 1).take(error.token.chars().count()).collect();
                prop_assert_eq!(at, error.token);
            }
        }
    }

    #[test]
    fn any_scheme_but_the_usual_one_is_a_fault(order in Just(Colour::ALL.to_vec()).prop_shuffle()) {
        let net = Net::new(std::array::from_fn(|i| [[order[i]; 3]; 3])).unwrap();
        match net.hold() {
            Some(_) => prop_assert_eq!(net.to_cube(), Ok(Cube::solved())),
            None => {
                let kind = kinds(&net.to_cube().unwrap_err());
                let opposite = |i: usize| order[i].opposite() == order[i + 3];
                let mirrored = opposite(0) && opposite(1) && opposite(2);
                prop_assert_eq!(kind, [if mirrored { FaultKind::Mirrored } else { FaultKind::SwappedPieces }]);
            }
        }
    }

    #[test]
    fn a_cube_seen_in_a_mirror_is_known_for_one(seed: u64) {
        let net = Net::of(&Cube::random(seed));
        let flipped = net.faces().map(|face| face.map(|[a, b, c]| [c, b, a]));
        let faults = Net::new(flipped).unwrap().to_cube().unwrap_err();
        prop_assert_eq!(kinds(&faults), [FaultKind::Mirrored]);
        let mut crossed = flipped;
        crossed.swap(Face::L.index(), Face::R.index());
        let faults = Net::new(crossed).unwrap().to_cube().unwrap_err();
        prop_assert_eq!(kinds(&faults), [FaultKind::Mirrored]);
    }
}

#[test]
fn impossible_pieces_and_counts_are_all_listed() {
    // The white-green edge shows white twice; the white-blue one shows yellow for white.
    let faults = faults_of(net_with(&[("front", 0, "gwg"), ("up", 0, "wyw")]));
    let said: Vec<&str> = faults.iter().map(|f| f.say.as_str()).collect();
    assert_eq!(
        said,
        [
            "8 green stickers instead of 9",
            "10 yellow stickers instead of 9",
            "the edge between the white and green centres shows white-white, and no edge has these two colours",
            "the yellow-blue edge is there twice, between the white and blue centres and between the yellow and blue \
             centres; missing: white-green edge, white-blue edge",
        ]
    );
}

#[test]
fn pieces_that_are_there_twice_are_listed_beside_impossible_ones() {
    let faults = faults_of(net_with(&[("front", 0, "grg"), ("up", 0, "wgw")]));
    let said: Vec<&str> = faults.iter().map(|f| f.say.as_str()).collect();
    assert!(
        said.iter()
            .any(|s| s.starts_with("the white-red edge is there twice")),
        "{said:?}"
    );
    assert!(
        said.iter()
            .any(|s| s.contains("shows green-blue, and no edge has")),
        "{said:?}"
    );
}

#[test]
fn a_piece_that_is_there_twice_is_named_with_the_one_that_is_missing() {
    let faults = faults_of(net_with(&[("front", 0, "grg")]));
    let twice = faults.iter().find(|f| f.say.contains("twice")).unwrap();
    assert_eq!(
        twice.say,
        "the white-red edge is there twice, between the white and green centres and between the white and red centres; \
         missing: white-green edge"
    );
}

#[test]
fn a_corner_whose_colours_run_the_wrong_way_is_named() {
    let faults = faults_of(net_with(&[("front", 0, "ggr"), ("right", 0, "grr")]));
    assert_eq!(kinds(&faults), [FaultKind::NoSuchPiece]);
    assert_eq!(
        faults[0].say,
        "the corner where the white, green and red centres meet shows white-red-green, which run the wrong way round for \
         such a corner"
    );
}

#[test]
fn nets_that_cannot_be_read_say_where_and_what_to_do() {
    let error = |net: &Value| Net::from_json(net).unwrap_err().to_string();
    let mut missing = solved_net();
    missing.as_object_mut().unwrap().remove("back");
    assert_eq!(
        error(&missing),
        "face \"back\" is missing\nadd its three rows of three letters"
    );
    let mut two_rows = solved_net();
    two_rows["left"] = json!(["ooo", "ooo"]);
    assert!(error(&two_rows).starts_with("face \"left\" is not three rows\n"));
    let mut number = solved_net();
    number["left"] = json!(["ooo", "ooo", 3]);
    assert!(error(&number).starts_with("face \"left\" is not three rows\n"));
    let long = net_with(&[("right", 1, "rrrr")]);
    assert_eq!(
        error(&long),
        "row 2 of face \"right\" is \"rrrr\"\na row has three letters"
    );
    let pink = net_with(&[("down", 2, "ypy")]);
    assert_eq!(
        error(&pink),
        "row 3 of face \"down\" has the unknown letter \"p\"\nthe letters are w y r o g b"
    );
    let same = net_with(&[("back", 1, "bgb")]);
    assert!(error(&same).starts_with("faces \"front\" and \"back\" both have a green centre\n"));
    assert!(error(&json!([1, 2])).starts_with("not a net\n"));
    let capitals = net_with(&[("up", 0, "WWW")]);
    assert_eq!(
        Net::from_json(&capitals).unwrap().to_cube(),
        Ok(Cube::solved())
    );
}

#[test]
fn move_texts_that_cannot_be_read_point_at_the_word() {
    for (text, column, token, reason) in [
        (
            "R U Q F",
            5,
            "Q",
            "a move starts with one of U R F D L B, M E S or x y z",
        ),
        ("R3", 1, "R3", "a move ends in nothing, ' or 2"),
        ("U RUR'", 3, "RUR'", "moves are separated by spaces"),
        (
            "  F2  rw",
            7,
            "rw",
            "only a capital U R F D L B can be wide",
        ),
        ("Y", 1, "Y", "rotations are small letters: y"),
        (
            "é R",
            1,
            "é",
            "a move starts with one of U R F D L B, M E S or x y z",
        ),
    ] {
        let error = parse_moves(text).unwrap_err();
        assert_eq!(
            (error.column, error.token.as_str(), error.reason.as_str()),
            (column, token, reason)
        );
    }
    let loose = "R2' r u2 Fw\u{2019}\tM' x2\n";
    assert_eq!(
        loose.parse::<Moves>().unwrap().to_string(),
        "R2 Rw Uw2 Fw' M' x2"
    );
    assert_eq!("".parse::<Moves>().unwrap().len(), 0);
}

#[test]
fn moves_are_counted_in_the_half_turn_metric() {
    let moves: Moves = "y2 R U2 M Rw' x D".parse().unwrap();
    assert_eq!((htm(&moves), rotations(&moves)), (6, 2));
}

#[test]
fn a_net_may_show_any_colours_where_the_counts_are_wrong() {
    let faults = faults_of(net_with(&[("up", 0, "yyy"), ("up", 2, "yyy")]));
    assert!(kinds(&faults).contains(&FaultKind::ColourCount));
    assert!(kinds(&faults).contains(&FaultKind::NoSuchPiece));
}
