//! Advice: one state at the pairs stage, the whole solve, the states that a learner may be in. Beside each time stands
//! how many answers were right.

use std::hint::black_box;

use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use pairsight::coach::{self, follow};
use pairsight::cube::{Cube, Held};
use pairsight::solve;

/// States with the white cross solved, from random ones.
fn with_cross(count: u64) -> Vec<Cube> {
    (0..count)
        .map(|seed| {
            let cube = Cube::random(seed);
            let advice = coach::advise(&cube, None, false);
            Held {
                cube,
                hold: advice.hold,
            }
            .after(&advice.hinted())
            .cube
        })
        .collect()
}

fn advice(c: &mut Criterion) {
    let cubes = with_cross(200);
    let right = cubes.iter().filter(|cube| {
        let advice = coach::advise(cube, None, false);
        let held = Held {
            cube: **cube,
            hold: advice.hold,
        };
        let cross = advice.hold.down();
        let before = solve::pairs_solved(&held.cube, cross).len();
        solve::pairs_solved(&held.after(&advice.hinted()).cube, cross).len() > before
    });
    println!(
        "next pair solved by the hint: {} of {}",
        right.count(),
        cubes.len()
    );
    let mut next = cubes.iter().cycle();
    c.bench_function("advice for a state with its cross", |b| {
        b.iter_batched(
            || next.next(),
            |cube| cube.map(|c| coach::advise(black_box(c), None, false)),
            BatchSize::SmallInput,
        )
    });
    let whole: Vec<Cube> = (0..40).map(Cube::random).collect();
    let solved = whole.iter().filter(|cube| {
        let advice = coach::advise(cube, None, true);
        let start = Held {
            cube: **cube,
            hold: advice.hold,
        };
        let parts = advice.solution.unwrap_or_default();
        parts
            .iter()
            .fold(start, |at, part| at.after(&part.moves))
            .cube
            == Cube::solved()
    });
    println!("solved as a whole: {} of {}", solved.count(), whole.len());
    let mut next = whole.iter().cycle();
    c.bench_function("whole advice for a random state", |b| {
        b.iter_batched(
            || next.next(),
            |cube| cube.map(|c| coach::advise(black_box(c), None, true)),
            BatchSize::SmallInput,
        )
    });
}

fn following(c: &mut Criterion) {
    let cube = with_cross(1)[0];
    let advice = coach::advise(&cube, None, false);
    let held = Held {
        cube,
        hold: advice.hold,
    };
    let route = advice.hinted();
    let likely = follow::likely(&held, &route);
    let right = likely.iter().filter(|l| held.after(&l.made).cube == l.cube);
    println!(
        "likely states that their moves lead to: {} of {}",
        right.count(),
        likely.len()
    );
    c.bench_function("likely states after a route", |b| {
        b.iter(|| follow::likely(black_box(&held), &route))
    });
}

criterion_group!(benches, advice, following);
criterion_main!(benches);
