//! How long a whole decode takes: six faces at unknown rolls, clear and noisy. One core.

use criterion::{Criterion, criterion_group, criterion_main};
use pairsight::cube::{Cube, Face, Net, Turn};
use pairsight::read::{LookEvidence, alternatives, search, suppositions};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use std::hint::black_box;

/// Evidence of one look a face, each colour's weight blurred by `noise` nats.
fn looks(cube: &Cube, noise: f32, rng: &mut ChaCha8Rng) -> Vec<LookEvidence> {
    let net = Net::of(cube);
    Face::ALL
        .map(|face| {
            let rows = net.face(face);
            let table = std::array::from_fn(|i| {
                let colour = rows[i / 3][i % 3].index();
                std::array::from_fn(|c| {
                    let clear = if c == colour { 0.0 } else { -9.0 };
                    clear + noise * rng.random_range(-1.0f32..1.0)
                })
            });
            LookEvidence {
                faces: vec![table],
                joints: Vec::new(),
            }
        })
        .into()
}

fn decode(looks: &[LookEvidence]) -> f32 {
    let placed = &suppositions(looks, false, 1)[0].placed;
    search(&alternatives(looks, placed, false)).best()
}

fn decoding(c: &mut Criterion) {
    let mut rng = ChaCha8Rng::seed_from_u64(1);
    let mut group = c.benchmark_group("decode six faces");
    let turned = Turn::ALL
        .iter()
        .step_by(5)
        .fold(Cube::solved(), |cube, &t| cube.apply(t));
    for (name, cube, noise) in [
        ("scrambled, clear", Cube::random(7), 0.0),
        ("scrambled, noisy", Cube::random(7), 5.0),
        ("scrambled, very noisy", Cube::random(7), 8.0),
        ("solved", Cube::solved(), 3.0),
        ("four turns", turned, 3.0),
    ] {
        let looks = looks(&cube, noise, &mut rng);
        group.bench_function(name, |b| b.iter(|| decode(black_box(&looks))));
    }
    group.finish();
}

criterion_group!(benches, decoding);
criterion_main!(benches);
