//! What must not matter to a reading, and cubes that look alike face by face.

use super::stage::{Colours, Stage, colours, mid_solve, stages};
use pairsight::cube::{Cube, Net, Turn};
use pairsight::read::{Outcome, Reader, Reading};
use pairsight::sight::{FaceView, Look};
use rand::{Rng, SeedableRng, seq::SliceRandom};
use rand_chacha::ChaCha8Rng;

/// Cubes tried on each stage.
const CUBES: u64 = 2;

fn read(stage: &Stage, looks: &[Look]) -> Reading {
    let mut reader = Reader::new(Some(&stage.profile));
    looks.iter().for_each(|look| reader.add(look.clone()));
    reader.read()
}

fn show(stage: &Stage, cube: &Colours, pictures: &[usize], rng: &mut ChaCha8Rng) -> Vec<Look> {
    let shown = pictures.iter();
    shown.map(|&p| stage.show(cube, p, rng)).collect()
}

/// The same picture with its grid begun at another corner.
fn rolled(face: &FaceView, quarters: usize) -> FaceView {
    (0..quarters).fold(face.clone(), |from, _| FaceView {
        lattice: std::array::from_fn(|r| std::array::from_fn(|c| from.lattice[3 - c][r])),
        patches: std::array::from_fn(|r| std::array::from_fn(|c| from.patches[2 - c][r])),
        ..from
    })
}

/// The picture of a single face as a mirroring camera gives it.
fn mirrored(look: &Look) -> Look {
    let mut look = look.clone();
    for face in &mut look.faces {
        for row in &mut face.lattice {
            row.reverse();
            row.iter_mut().for_each(|p| p.x = look.size.0 as f32 - p.x);
        }
        face.patches.iter_mut().for_each(|row| row.reverse());
    }
    look
}

fn net(reading: &Reading) -> Option<Colours> {
    reading.net.as_ref().map(colours)
}

#[test]
fn roll_order_and_repetition_change_nothing() {
    for (at, stage) in stages().iter().enumerate() {
        for seed in 0..CUBES {
            let mut rng = ChaCha8Rng::seed_from_u64(seed << 8 | at as u64);
            let cube = colours(&Net::of(&Cube::random(rng.random())));
            let six = show(stage, &cube, &stage.pictures(false), &mut rng);
            let once = read(stage, &six);
            let mut changed = six.clone();
            for look in changed.iter_mut().filter(|look| look.faces.len() == 1) {
                look.faces[0] = rolled(&look.faces[0], rng.random_range(0..4));
            }
            let again = changed[rng.random_range(0..changed.len())].clone();
            changed.push(again);
            changed.shuffle(&mut rng);
            let then = read(stage, &changed);
            let what = format!("{}: {} then {}", stage.name, once.say, then.say);
            assert_eq!(
                (then.outcome, net(&then)),
                (once.outcome, net(&once)),
                "{what}"
            );
            assert!((then.margin - once.margin).abs() < 0.5, "{what}");
            assert_eq!(then.looks.len(), changed.len());
        }
    }
}

#[test]
fn a_turn_of_the_solved_cube_is_not_told_from_single_faces() {
    let mut asked = 0;
    for (at, stage) in stages().iter().enumerate() {
        let mut rng = ChaCha8Rng::seed_from_u64(at as u64);
        let turn = Turn::ALL[rng.random_range(0..Turn::ALL.len())];
        let turned = Cube::solved().apply(turn);
        let cube = colours(&Net::of(&turned));
        let mut looks = show(stage, &cube, &stage.pictures(false), &mut rng);
        let reading = read(stage, &looks);
        // A half turn looks like no other cube.
        if turned.apply(turn) != Cube::solved() {
            assert_ne!(
                reading.outcome,
                Outcome::Read,
                "{} after {turn:?}",
                stage.name
            );
            let ask = reading.ask.expect("more is asked for");
            asked += usize::from(ask.show.len() == 3);
        }
        looks.extend(show(stage, &cube, &stage.pictures(true), &mut rng));
        let told = net(&read(stage, &looks));
        assert!(
            told.is_none_or(|told| told == cube),
            "{} after {turn:?}",
            stage.name
        );
    }
    assert!(asked > 0);
}

#[test]
fn mirrored_faces_are_set_right_or_not_told() {
    for (at, stage) in stages().iter().enumerate() {
        for seed in 0..CUBES {
            let mut rng = ChaCha8Rng::seed_from_u64(seed << 8 | at as u64);
            let cube = match seed % 2 {
                0 => mid_solve(&mut rng),
                _ => Turn::ALL[..4].iter().fold(Cube::solved(), |cube, _| {
                    cube.apply(Turn::ALL[rng.random_range(0..Turn::ALL.len())])
                }),
            };
            let cube = colours(&Net::of(&cube));
            let six = show(stage, &cube, &stage.pictures(false), &mut rng);
            let looks: Vec<Look> = six
                .iter()
                .filter(|l| l.faces.len() == 1)
                .map(mirrored)
                .collect();
            let reading = read(stage, &looks);
            assert_ne!(
                reading.outcome,
                Outcome::Impossible,
                "{}: {}",
                stage.name,
                reading.say
            );
            let told = net(&reading);
            assert!(
                told.is_none_or(|told| told == cube),
                "{}: {}",
                stage.name,
                reading.say
            );
        }
    }
}
