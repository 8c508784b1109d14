//! How long it takes to sample three faces of a picture, to judge their 27 stickers under a light fitted from the
//! centres, and to name six centres. The stickers told right are counted beside the times.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use image::{Rgb, RgbImage};
use pairsight::colour::{LightEstimate, Model, Observation};
use pairsight::cube::Colour;
use pairsight::sight::{Patch, Point, sample};

/// The faces' width in the picture, pixels.
const SIDE: u32 = 240;

/// Three faces beside each other, each sticker in another colour than the one before it.
fn colour_at(face: usize, row: usize, column: usize) -> Colour {
    Colour::ALL[(face * 2 + row * 3 + column) % 6]
}

fn picture() -> (RgbImage, [[[Point; 4]; 4]; 3]) {
    let shades: [[u32; 3]; 6] = [
        [215, 212, 205],
        [185, 60, 62],
        [80, 165, 85],
        [218, 198, 60],
        [215, 120, 55],
        [60, 90, 170],
    ];
    let cell = SIDE / 3;
    let picture = RgbImage::from_fn(3 * SIDE, SIDE, |x, y| {
        let (column, row) = (x % SIDE / cell, y / cell);
        let colour = colour_at((x / SIDE) as usize, row as usize, column as usize);
        let noise = (x * 7 + y * 13) % 9;
        Rgb(shades[colour.index()].map(|level| (level + noise) as u8))
    });
    let lattice = |face: u32| {
        let at = |i: usize, from: u32| (from + i as u32 * cell) as f32;
        std::array::from_fn(|row| {
            std::array::from_fn(|column| Point {
                x: at(column, face * SIDE),
                y: at(row, 0),
            })
        })
    };
    (picture, [0, 1, 2].map(lattice))
}

/// The colours told right of 27.
fn judged(model: &Model, faces: &[[[Patch; 3]; 3]; 3]) -> usize {
    let mut right = 0;
    for (face, patches) in faces.iter().enumerate() {
        let centre = Observation {
            patch: patches[1][1],
            colour: colour_at(face, 1, 1),
        };
        let light = model.fit(&[centre], &LightEstimate::drift());
        for (i, patch) in patches.as_flattened().iter().enumerate() {
            let likelihoods = model.log_likelihoods(patch, &light);
            let truth = likelihoods[colour_at(face, i / 3, i % 3).index()];
            right += usize::from(likelihoods.iter().all(|l| *l <= truth));
        }
    }
    right
}

fn colours(bench: &mut Criterion) {
    let (picture, lattices) = picture();
    let sampled = || {
        lattices
            .each_ref()
            .map(|lattice| sample(black_box(&picture), lattice))
    };
    bench.bench_function("sample three faces", |b| b.iter(sampled));

    let (model, faces) = (Model::generic(), sampled());
    let right = judged(&model, &faces);
    bench.bench_function(&format!("judge 27 stickers ({right} right)"), |b| {
        b.iter(|| judged(&model, black_box(&faces)));
    });

    let centres: Vec<Patch> = Colour::ALL
        .iter()
        .map(|c| {
            let at = (0..27).find(|i| colour_at(i / 9, i / 3 % 3, i % 3) == *c);
            let at = at.expect("every colour is in the picture");
            faces[at / 9][at / 3 % 3][at % 3]
        })
        .collect();
    let named = model.name_centres(&centres, &LightEstimate::drift())[0].colours == Colour::ALL;
    bench.bench_function(&format!("name six centres (right: {named})"), |b| {
        b.iter(|| model.name_centres(black_box(&centres), &LightEstimate::drift()));
    });
}

criterion_group!(benches, colours);
criterion_main!(benches);
