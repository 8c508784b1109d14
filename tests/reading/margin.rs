//! How the margin maps to the chance of a wrong reading, by simulation: cubes drawn at random whose stickers carry
//! evidence measured in the scans (`PAIRSIGHT_SCANS`, or the pictures carried here), each cube with the evidence of one
//! scan. Further stickers are replaced by evidence of another colour, to see what happens where scans seldom lead.
//! `PAIRSIGHT_CUBES=20000 cargo test --release --test reading margin -- --nocapture` prints the table.

use super::scans;
use pairsight::colour::Model;
use pairsight::cube::{Cube, Face, Net};
use pairsight::read::{
    Arrangement, LookEvidence, Placing, SURE, Weights, alternatives, explain, search, suppositions,
};
use pairsight::sight::Look;
use rand::{Rng, SeedableRng, seq::IndexedRandom};
use rand_chacha::ChaCha8Rng;

/// Shares of stickers that show another colour altogether.
const STRAYS: [f64; 2] = [0.0, 0.003];

/// Nats from which a sticker contradicts a state, as the reader has it: then it is not sure, whatever the margin.
const CONTRADICTION: f32 = 7.5;

/// Measured evidence by true colour, of one scan.
type Pool = [Vec<Weights>; 6];

fn pools() -> Vec<Pool> {
    let setups = scans::load(&scans::folder(), &mut |image, picture| {
        scans::true_look(image, picture)
    });
    let mut pools = Vec::new();
    for setup in &setups {
        let model = Model::from_profile(&setup.profile);
        for scan in setup.scans.iter().filter(|scan| scan.legal) {
            let looks: Vec<Look> = scan.looks.iter().map(|(_, look)| look.clone()).collect();
            let explained = explain(&model, false, &looks);
            let Some(best) = explained.explanations.first() else {
                continue;
            };
            if best.state.cube().map(|cube| Net::of(&cube)) != Some(scan.state) {
                continue;
            }
            let mut pool = Pool::default();
            for (look, labels) in best.evidence.iter().zip(&best.labels) {
                for (table, labels) in look.faces.iter().zip(labels) {
                    for (weights, colour) in table.iter().zip(labels.iter().flatten()) {
                        pool[*colour].push(*weights);
                    }
                }
            }
            pools.push(pool);
        }
    }
    pools
}

/// Six single faces of a cube, any way up.
fn looks(cube: &Cube, pool: &Pool, stray: f64, rng: &mut ChaCha8Rng) -> Vec<LookEvidence> {
    let net = Net::of(cube);
    let mut sticker = |colour: usize, centre: bool| {
        let stray = !centre && rng.random_bool(stray);
        let shown = if stray {
            (colour + rng.random_range(1..6)) % 6
        } else {
            colour
        };
        pool[shown].choose(rng).copied().unwrap_or_default()
    };
    let face = |face: Face| {
        let rows = net.face(face);
        let table = std::array::from_fn(|i| sticker(rows[i / 3][i % 3].index(), i == 4));
        LookEvidence {
            faces: vec![table],
            joints: Vec::new(),
        }
    };
    Face::ALL.map(face).into()
}

/// Whether some sticker contradicts a state.
fn contradicts(state: &Arrangement, placed: &[Vec<Placing>], looks: &[LookEvidence]) -> bool {
    let colours = state.colours();
    let of_face = |(look, placed): (&LookEvidence, &Vec<Placing>)| {
        let at = |roll: usize| -> Vec<f32> {
            let cell = |i: usize| (0..roll).fold(i, |i, _| (2 - i % 3) * 3 + i / 3);
            (0..9)
                .map(|i| {
                    let weights = &look.faces[0][cell(i)];
                    let most = weights.iter().copied().fold(f32::NEG_INFINITY, f32::max);
                    weights[colours[9 * placed[0].face.index() + i]] - most
                })
                .collect()
        };
        let best = (0..4)
            .map(at)
            .max_by(|a, b| a.iter().sum::<f32>().total_cmp(&b.iter().sum()));
        best.is_some_and(|losses| losses.iter().any(|&loss| loss < -CONTRADICTION))
    };
    looks.iter().zip(placed).any(of_face)
}

#[derive(Default)]
struct Bin {
    contradicted: usize,
    right: usize,
    wrong: usize,
}

#[test]
fn no_sure_reading_is_wrong() {
    let cubes: u64 = std::env::var("PAIRSIGHT_CUBES")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(300);
    let pools = pools();
    assert!(!pools.is_empty());
    let mut rng = ChaCha8Rng::seed_from_u64(9);
    println!(
        "{:>8} {:>11} {:>8} {:>13} {:>8} {:>8}",
        "strays", "margin", "right", "contradicted", "wrong", "share"
    );
    for stray in STRAYS {
        let mut bins: Vec<Bin> = (0..16).map(|_| Bin::default()).collect();
        for seed in 0..cubes {
            let cube = Cube::random(seed);
            let pool = pools.choose(&mut rng).expect("there are pools");
            let looks = looks(&cube, pool, stray, &mut rng);
            let Some(supposed) = suppositions(&looks, false, 1).into_iter().next() else {
                continue;
            };
            let found = search(&alternatives(&looks, &supposed.placed, false));
            let second = found.legal.get(1).map_or(f32::NEG_INFINITY, |h| h.score);
            let flawed = found.flawed.map_or(f32::NEG_INFINITY, |h| h.score);
            let margin = found.best() - second.max(flawed).max(found.unexplored);
            let bin = &mut bins[(margin.max(0.0) / 2.0).min(15.0) as usize];
            let best = &found.legal[0].state;
            if contradicts(best, &supposed.placed, &looks) {
                bin.contradicted += 1;
            } else if best.cube() == Some(cube) {
                bin.right += 1;
            } else {
                bin.wrong += 1;
            }
        }
        let sure = (SURE / 2.0).ceil() as usize;
        let unsure: usize = cubes as usize
            - bins[sure..]
                .iter()
                .map(|b| b.right + b.wrong)
                .sum::<usize>();
        for (i, bin) in bins.iter().enumerate() {
            let Bin {
                contradicted,
                right,
                wrong,
            } = bin;
            if right + wrong + contradicted == 0 {
                continue;
            }
            let share = *wrong as f64 / (right + wrong).max(1) as f64;
            let (from, to) = (2 * i, 2 * i + 2);
            println!(
                "{stray:>8} {from:>4} to {to:>3} {right:>8} {contradicted:>13} {wrong:>8} {share:>8.4}"
            );
        }
        println!(
            "{stray:>8} unsure: {:.2} %",
            100.0 * unsure as f64 / cubes as f64
        );
        let wrong: usize = bins[sure..].iter().map(|b| b.wrong).sum();
        assert_eq!(wrong, 0, "with {stray} strays");
    }
}
