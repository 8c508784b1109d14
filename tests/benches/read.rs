//! How long it takes to decode six faces at unknown rolls, clear and noisy, and to read whole scans: lights, centres, rolls and
//! state, from looks to the answer. One core.

use criterion::{Criterion, criterion_group, criterion_main};
use pairsight::cube::{Cube, Face, Net, Turn};
use pairsight::read::{Frame, LookEvidence, Outcome, Work, alternatives, associations, search};
use pairsight::sight::Look;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use scans::{load_carried, read};
use std::hint::black_box;

#[allow(dead_code, reason = "tests ask more of the harness")]
#[path = "../harness/mod.rs"]
mod harness;
#[allow(dead_code, reason = "tests ask more of scans")]
#[path = "../reading/scans.rs"]
mod scans;

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
    let assigned = &associations(looks, &Frame::USUAL, 1)[0].assigned;
    search(&alternatives(looks, assigned, false), &Work::new()).best()
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

/// Whole readings of the carried scans, or of a folder's, one after another.
fn reading(c: &mut Criterion) {
    let setups = load_carried();
    let scans: Vec<_> = setups
        .iter()
        .flat_map(|setup| setup.scans.iter().map(move |scan| (setup, scan)))
        .filter(|(_, scan)| scan.legal)
        .collect();
    let mut group = c.benchmark_group("read a scan");
    for (calibrated, with) in [(true, "with a profile"), (false, "without")] {
        for (corners, shown) in [(false, "six faces"), (true, "two corners")] {
            let looks = |at: usize| -> Vec<Look> {
                let (_, scan) = scans[at % scans.len()];
                scan.shown(corners).collect()
            };
            let read_one = |at: usize| {
                let (setup, _) = scans[at % scans.len()];
                read(setup, calibrated, None, looks(at).into_iter())
            };
            let is_right = |at: &usize| {
                let reading = read_one(*at);
                reading.outcome == Outcome::Read && reading.net == Some(scans[*at].1.state)
            };
            let right = (0..scans.len()).filter(is_right).count();
            let name = format!("{shown}, {with} ({right} of {} right)", scans.len());
            group.bench_function(name, |b| {
                let mut number = 0..;
                b.iter(|| number.next().map(|at: usize| read_one(black_box(at))));
            });
        }
    }
    group.finish();
}

criterion_group!(benches, decoding, reading);
criterion_main!(benches);
