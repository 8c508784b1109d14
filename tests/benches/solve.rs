//! Speed of the searches, with the count of right answers beside it.

use criterion::{Criterion, criterion_group, criterion_main};
use pairsight::cube::{Colour, Cube, Held};
use pairsight::solve::*;
use std::time::Instant;

/// The tables' own time, then every pair step of many solves: median, worst, and how many were right.
fn pairs(c: &mut Criterion) {
    let start = Instant::now();
    cross_turns(&Cube::solved(), Colour::White);
    println!("tables ready in {:?}", start.elapsed());

    let mut times = Vec::new();
    let mut right = 0;
    let mut total = 0;
    for seed in 0..2000 {
        let cross = Colour::ALL[seed as usize % 6];
        let mut cube = Cube::random(seed);
        for turn in cross_routes(&cube, cross, 1).remove(0) {
            cube = cube.apply(turn);
        }
        let mut kept = pairs_solved(&cube, cross);
        while kept != SlotSet::ALL {
            let slot = Slot::ALL.into_iter().find(|&s| !kept.contains(s)).unwrap();
            let start = Instant::now();
            let route = shortest_pair(&cube, cross, slot, kept, &Limits::default());
            times.push((start.elapsed(), kept.len()));
            cube = route
                .unwrap_or_default()
                .into_iter()
                .fold(cube, Cube::apply);
            total += 1;
            right += usize::from(
                cross_solved(&cube, cross) && kept.with(slot).is_subset(pairs_solved(&cube, cross)),
            );
            kept = pairs_solved(&cube, cross);
        }
    }
    for kept in 0..4 {
        let mut times: Vec<_> = times.iter().filter(|t| t.1 == kept).map(|t| t.0).collect();
        times.sort();
        if let Some(worst) = times.last() {
            println!(
                "keeping {kept}: median {:?}, worst {worst:?}",
                times[times.len() / 2]
            );
        }
    }
    println!("pairs right: {right} of {total}");

    let mut seed = 0;
    c.bench_function("pair, first of a random cube", |b| {
        b.iter(|| {
            seed += 1;
            let mut cube = Cube::random(seed);
            for turn in cross_routes(&cube, Colour::White, 1).remove(0) {
                cube = cube.apply(turn);
            }
            shortest_pair(
                &cube,
                Colour::White,
                Slot::ALL[0],
                SlotSet::EMPTY,
                &Limits::default(),
            )
        })
    });
}

/// Whole solves, with how many of the first hundred end solved.
fn solves(c: &mut Criterion) {
    for (name, effort) in [
        ("pair by pair", Effort::PAIR_BY_PAIR),
        ("together", Effort::FULL),
    ] {
        let solve = |seed| {
            let held = Held {
                cube: Cube::random(seed),
                hold: Slot::ALL[0].hold(Colour::White),
            };
            let parts = whole(&held, &effort, Style::Short);
            let end = parts
                .iter()
                .fold(held, |held, part| held.after(&part.moves()));
            (end.cube == Cube::solved(), total_turns(&parts))
        };
        let solved: Vec<(bool, usize)> = (0..100).map(solve).collect();
        let right = solved.iter().filter(|s| s.0).count();
        let mean = solved.iter().map(|s| s.1).sum::<usize>() as f64 / 100.0;
        println!("solves right, {name}: {right} of 100, mean turns {mean:.2}");
        let mut seed = 0;
        c.bench_function(&format!("whole solve, {name}"), |b| {
            b.iter(|| {
                seed += 1;
                solve(seed)
            })
        });
    }
}

criterion_group!(benches, pairs, solves);
criterion_main!(benches);
