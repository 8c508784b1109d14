//! Cubes that are turned while they are shown: named or asked about, and never told as a third cube or as one that was put together
//! wrongly. `PAIRSIGHT_ROUNDS` draws more than four of each scan.

use super::amount::amount;
use super::stage::{Stage, colours, mid_solve, stages};
use pairsight::cube::{Cube, FaultKind, Net, Turn};
use pairsight::read::{Outcome, Reader};
use rand::{Rng, SeedableRng, seq::SliceRandom};
use rand_chacha::ChaCha8Rng;

/// What became of the showings, by count.
#[derive(Debug, Default)]
struct Counts {
    /// One of its two states was told: the looks from before the turns, or from after, do not show the difference.
    either: usize,
    named: usize,
    /// More was asked for, and that it may have been turned was said.
    suspected: usize,
    asked: usize,
    /// A third state was told.
    third: usize,
    /// The cube was said to be put together wrongly.
    blamed: usize,
}

/// The numbers of the pictures that are shown, in order.
fn pictures(stage: &Stage, rng: &mut ChaCha8Rng) -> Vec<usize> {
    let faces = stage.pictures(false);
    let corners = stage.pictures(true);
    let mut pictures = match rng.random_range(0..3) {
        0 => faces,
        1 => corners,
        _ => [faces, corners].concat(),
    };
    pictures.shuffle(rng);
    pictures
}

#[test]
fn a_cube_turned_while_it_is_shown_is_no_third_cube() {
    let rounds = amount("PAIRSIGHT_ROUNDS", 4);
    let mut counts = Counts::default();
    for (at, stage) in stages().iter().enumerate() {
        for seed in 0..rounds {
            let mut rng = ChaCha8Rng::seed_from_u64(seed << 8 | at as u64);
            let before = match seed % 2 {
                0 => Cube::random(rng.random()),
                _ => mid_solve(&mut rng),
            };
            let turns = rng.random_range(1..4);
            let after = (0..turns).fold(before, |cube, _| {
                cube.apply(Turn::ALL[rng.random_range(0..Turn::ALL.len())])
            });
            if after == before {
                continue;
            }
            let pictures = pictures(stage, &mut rng);
            if pictures.len() < 2 {
                continue;
            }
            let turned_at = rng.random_range(1..pictures.len());
            let mut reader = Reader::new(Some(&stage.profile));
            for (i, &picture) in pictures.iter().enumerate() {
                let shown = if i < turned_at { &before } else { &after };
                reader.add(stage.show(&colours(&Net::of(shown)), picture, &mut rng));
            }
            let reading = reader.read();
            let what = format!(
                "{} seed {seed}, {turned_at} of {} pictures before {turns} turns: {:.1} {}",
                stage.name,
                pictures.len(),
                reading.margin,
                reading.say
            );
            match (reading.outcome, reading.cube) {
                (Outcome::Read, Some(cube)) if cube == before || cube == after => {
                    counts.either += 1
                }
                (Outcome::Read, _) => {
                    println!("a third cube: {what}");
                    counts.third += 1;
                }
                (Outcome::Impossible, _) => {
                    let is_turn = |kind| kind == FaultKind::TurnedBetweenLooks;
                    if reading.faults.iter().any(|fault| is_turn(fault.kind)) {
                        counts.named += 1;
                    } else {
                        println!("blamed: {what}");
                        counts.blamed += 1;
                    }
                }
                _ if reading.say.contains("turned in between") => counts.suspected += 1,
                _ => counts.asked += 1,
            }
        }
    }
    println!("turned while it is shown: {counts:?}");
    assert_eq!(counts.third + counts.blamed, 0);
    assert!(counts.named + counts.suspected > counts.asked);
}
