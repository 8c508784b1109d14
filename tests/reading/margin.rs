//! Whether a sure margin is one: cubes drawn at random, every other one in the middle of a solve and one in fifty put together
//! wrongly, shown as people show them by stickers measured in one scan, and read by the whole reader. The laboratory maps margins to
//! the chance of a wrong reading (`margin`).

use super::stage::{Colours, Stage, any_cube, colours, stages};
use crate::harness::each::each;
use pairsight::cube::{Face, Net};
use pairsight::read::{Outcome, Reader, Reading, SURE, Work, explain};
use rand::{Rng, SeedableRng, seq::SliceRandom};
use rand_chacha::ChaCha8Rng;

/// Share of cubes put together wrongly: about what the reader holds to be usual.
const FAULTY: f64 = 0.02;

/// Cubes of each kind that the test shows: a sample of those of the laboratory's table `margin`.
const SAMPLE: u64 = 8;

/// What is shown of a cube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Looks {
    SixFaces,
    TwoCorners,
    AllEight,
    /// Any three to eight of the pictures, each at most once.
    Mixture,
}

impl Looks {
    pub const ALL: [Looks; 4] = [
        Looks::SixFaces,
        Looks::TwoCorners,
        Looks::AllEight,
        Looks::Mixture,
    ];

    pub fn name(self) -> &'static str {
        match self {
            Looks::SixFaces => "six faces",
            Looks::TwoCorners => "two corners",
            Looks::AllEight => "all eight",
            Looks::Mixture => "a mixture",
        }
    }

    fn pictures(self, stage: &Stage, rng: &mut ChaCha8Rng) -> Vec<usize> {
        let both = || [stage.pictures(false), stage.pictures(true)].concat();
        match self {
            Looks::SixFaces => stage.pictures(false),
            Looks::TwoCorners => stage.pictures(true),
            Looks::AllEight => both(),
            Looks::Mixture => {
                let mut pictures = both();
                pictures.shuffle(rng);
                pictures.truncate(rng.random_range(3..9));
                pictures
            }
        }
    }
}

/// One reading, as far as the margin is concerned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Told {
    /// The best state is the true one; told when the margin reaches the threshold.
    Right,
    /// The best state is another one; told when the margin reaches the threshold.
    Wrong,
    /// Not told at any margin: stickers contradict, or faces are missing.
    Never,
}

/// A cube to show, and whether it is a legal one.
fn cube(rng: &mut ChaCha8Rng) -> (Colours, bool) {
    let mut cube = colours(&Net::of(&any_cube(rng)));
    let legal = !rng.random_bool(FAULTY);
    if !legal {
        put_together_wrongly(&mut cube, rng);
    }
    (cube, legal)
}

/// Flips an edge, twists a corner or swaps two edges.
fn put_together_wrongly(cube: &mut Colours, rng: &mut ChaCha8Rng) {
    let [u, r, f] = [Face::U, Face::R, Face::F].map(|face| 9 * face.index());
    match rng.random_range(0..3) {
        0 => cube.swap(u + 7, f + 1),
        1 => {
            let corner = [u + 8, f + 2, r];
            let [a, b, c] = corner.map(|cell| cube[cell]);
            for (cell, colour) in corner.into_iter().zip([b, c, a]) {
                cube[cell] = colour;
            }
        }
        _ => {
            cube.swap(u + 7, u + 5);
            cube.swap(f + 1, r + 1);
        }
    }
}

fn told(reader: &Reader, reading: &Reading, truth: &Colours, legal: bool) -> Told {
    let right = match reading.outcome {
        Outcome::Read => legal && reading.net.as_ref().map(colours) == Some(*truth),
        Outcome::Impossible => !legal,
        // The threshold alone stands between these and a telling.
        Outcome::Unsure if reading.say.starts_with("More than one cube") => {
            let explained = explain(reader.judge(), reader.looks(), &Work::new());
            let best = explained.explanations.first();
            best.is_some_and(|best| best.state.colours() == *truth)
        }
        _ => return Told::Never,
    };
    if right { Told::Right } else { Told::Wrong }
}

/// A cube that was shown and read.
pub struct Shown {
    /// The number of its stage.
    #[allow(dead_code, reason = "the laboratory counts by it")]
    pub stage: usize,
    pub told: Told,
    pub margin: f64,
    /// What was shown, and what was said.
    pub what: String,
}

/// Shows a cube; `group` draws others.
pub fn shown(stages: &[Stage], looks: Looks, calibrated: bool, group: u64, i: u64) -> Shown {
    let mut rng = ChaCha8Rng::seed_from_u64(i << 8 | group);
    let at = rng.random_range(0..stages.len());
    let stage = &stages[at];
    let (cube, legal) = cube(&mut rng);
    let mut reader = Reader::new(calibrated.then_some(&stage.profile));
    for picture in looks.pictures(stage, &mut rng) {
        reader.add(stage.show(&cube, picture, &mut rng));
    }
    let reading = reader.read();
    Shown {
        stage: at,
        told: told(&reader, &reading, &cube, legal),
        margin: reading.margin,
        what: format!(
            "cube {i} from {} of {}, profile {calibrated}, legal {legal}: {}, margin {:.1}",
            looks.name(),
            stage.name,
            reading.say,
            reading.margin
        ),
    }
}

#[test]
fn no_sure_reading_is_wrong() {
    let stages = stages();
    let mut wrong = Vec::new();
    for (group, calibrated) in [(1, true), (2, false)] {
        for (at, looks) in (0..).zip(Looks::ALL) {
            let group = group << 4 | at;
            let all = each(
                SAMPLE,
                || (),
                |(), i| shown(stages, looks, calibrated, group, i),
            );
            wrong.extend(
                all.into_iter()
                    .filter(|shown| shown.told == Told::Wrong && shown.margin.abs() >= SURE),
            );
        }
    }
    let wrong: Vec<String> = wrong.into_iter().map(|shown| shown.what).collect();
    assert!(wrong.is_empty(), "told wrong:\n{}", wrong.join("\n"));
}
