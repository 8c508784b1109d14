//! The last layer's sequences over all its 62,208 states.

use pairsight::cube::*;
use pairsight::solve::*;

/// All states with the first two layers solved for a cross, by what the pieces of the last layer can do.
fn all_states(mut each: impl FnMut(Cube)) {
    let orders: Vec<[usize; 4]> = (0..256)
        .map(|i| [i / 64, i / 16 % 4, i / 4 % 4, i % 4])
        .filter(|o| (0..4).all(|i| o.contains(&i)))
        .collect();
    let odd = |o: &[usize; 4]| {
        (0..4)
            .flat_map(|i| (0..i).map(move |j| (j, i)))
            .filter(|&(j, i)| o[j] > o[i])
            .count()
            % 2
    };
    for corners in &orders {
        for edges in orders.iter().filter(|edges| odd(edges) == odd(corners)) {
            for turned in 0..216u8 {
                let (twist, flip) = (turned / 8, turned % 8);
                let twists = [twist % 3, twist / 3 % 3, twist / 9];
                let flips = [flip % 2, flip / 2 % 2, flip / 4];
                let (mut c, mut e) = (Cube::solved().corners(), Cube::solved().edges());
                for i in 0..4 {
                    let last_twist = (9 - twists.iter().sum::<u8>()) % 3;
                    let last_flip = flips.iter().sum::<u8>() % 2;
                    c[i] = (
                        Corner::ALL[corners[i]],
                        *twists.get(i).unwrap_or(&last_twist),
                    );
                    e[i] = (Edge::ALL[edges[i]], *flips.get(i).unwrap_or(&last_flip));
                }
                each(Cube::from_pieces(c, e).unwrap());
            }
        }
    }
}

fn solved_in(style: Style, most_looks: usize) -> usize {
    let hold = Hold::new(Colour::Yellow, Colour::Red).unwrap();
    let mut states = 0;
    let mut turns = 0;
    all_states(|cube| {
        states += 1;
        let held = Held { cube, hold };
        let steps = last_layer(&held, style).unwrap();
        assert!(steps.len() <= most_looks, "{cube}: {steps:?}");
        let moves: Vec<Move> = steps.into_iter().flat_map(|step| step.moves).collect();
        let end = held.after(&moves);
        assert_eq!(end.cube, Cube::solved(), "{cube}: {}", Moves(moves));
        assert_eq!(end.hold.down(), Colour::Yellow);
        turns += htm(&moves);
    });
    assert_eq!(states, 62_208);
    turns
}

/// Four looks and the last turn of the layer.
#[test]
fn every_last_layer_is_solved_in_four_looks() {
    let turns = solved_in(Style::Plain, 5);
    println!(
        "mean turns of the last layer in four looks: {:.2}",
        turns as f64 / 62_208.0
    );
}

#[test]
fn every_last_layer_is_solved_in_two_looks() {
    let turns = solved_in(Style::Short, 3);
    println!(
        "mean turns of the last layer in two looks: {:.2}",
        turns as f64 / 62_208.0
    );
}

/// A yellow cross shares the sides' order with the home orientation; the others are reached by looking at the cube in
/// another hold, so a few states of each must do.
#[test]
fn a_last_layer_of_any_colour_is_solved_from_any_hold() {
    for (seed, hold) in Hold::all().enumerate() {
        let cross = hold.down();
        let mut cube = Cube::random(seed as u64);
        for turn in cross_routes(&cube, cross, 1).remove(0) {
            cube = cube.apply(turn);
        }
        assert_eq!(last_layer(&Held { cube, hold }, Style::Plain), None);
        for slot in Slot::ALL {
            let kept = pairs_solved(&cube, cross);
            let route = shortest_pair(&cube, cross, slot, kept, &Limits::default()).unwrap();
            cube = route.into_iter().fold(cube, Cube::apply);
        }
        for style in [Style::Plain, Style::Short] {
            let held = Held { cube, hold };
            let steps = last_layer(&held, style).unwrap();
            let end = steps
                .iter()
                .fold(held, |held, step| held.after(&step.moves));
            assert_eq!(end.cube, Cube::solved());
        }
    }
}
