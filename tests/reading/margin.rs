//! How the margin maps to the chance of a wrong reading, by simulation: cubes drawn at random, every other one in the
//! middle of a solve and one in fifty put together wrongly, shown as people show them by stickers measured in one
//! scan, and read by the whole reader. `PAIRSIGHT_CUBES=20000 PAIRSIGHT_SCANS=/a/folder PAIRSIGHT_FIND=1 cargo test
//! --test all reading::margin -- --nocapture` prints the tables; with `PAIRSIGHT_ONLY=setup-08/scan-01` those of one scan.

use super::stage::{Colours, Stage, any_cube, colours, stages};
use crate::harness::amount::amount;
use crate::harness::each::each;
use pairsight::cube::{Face, Net};
use pairsight::read::{Outcome, Reader, Reading, SURE, Work, explain};
use rand::{Rng, SeedableRng, seq::IndexedRandom, seq::SliceRandom};
use rand_chacha::ChaCha8Rng;

/// Margins that are compared as thresholds.
const THRESHOLDS: [f64; 8] = [6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 14.0];

/// Margins (nats) from which the tail is fitted: below, states are told apart by little more than chance.
const TAIL: f64 = 2.0;

/// Width of the bins that the fit is made in.
const BIN: f64 = 0.25;

/// Share of cubes put together wrongly: about what the reader holds to be usual.
const FAULTY: f64 = 0.02;

/// Times that scans are drawn anew for the bound on the fit.
const DRAWS: usize = 200;

/// What is shown of a cube.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Looks {
    SixFaces,
    TwoCorners,
    AllEight,
    /// Any three to eight of the pictures, each at most once.
    Mixture,
}

impl Looks {
    const ALL: [Looks; 4] = [
        Looks::SixFaces,
        Looks::TwoCorners,
        Looks::AllEight,
        Looks::Mixture,
    ];

    fn name(self) -> &'static str {
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
enum Told {
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

/// Right and wrong best states of one scan by margin, in bins.
#[derive(Clone)]
struct Histogram {
    right: Vec<f64>,
    wrong: Vec<f64>,
    never: f64,
}

impl Histogram {
    fn new() -> Histogram {
        let none = vec![0.0; (32.0 / BIN) as usize];
        Histogram {
            right: none.clone(),
            wrong: none,
            never: 0.0,
        }
    }

    fn count(&mut self, told: Told, margin: f64) {
        let bin = ((margin.abs() / BIN) as usize).min(self.right.len() - 1);
        match told {
            Told::Right => self.right[bin] += 1.0,
            Told::Wrong => self.wrong[bin] += 1.0,
            Told::Never => self.never += 1.0,
        }
    }

    fn add(&mut self, other: &Histogram) {
        for (sum, x) in self.right.iter_mut().zip(&other.right) {
            *sum += x;
        }
        for (sum, x) in self.wrong.iter_mut().zip(&other.wrong) {
            *sum += x;
        }
        self.never += other.never;
    }

    fn sum<'a>(all: impl Iterator<Item = &'a Histogram>) -> Histogram {
        all.fold(Histogram::new(), |mut sum, histogram| {
            sum.add(histogram);
            sum
        })
    }

    /// Margin, right and wrong of the bins from a margin on.
    fn from(&self, margin: f64) -> impl Iterator<Item = (f64, f64, f64)> {
        let bins = self.right.iter().zip(&self.wrong).enumerate();
        let all = bins.map(|(i, (&right, &wrong))| ((i as f64 + 0.5) * BIN, right, wrong));
        all.filter(move |(middle, ..)| *middle > margin)
    }

    fn all(&self) -> f64 {
        self.from(0.0)
            .map(|(_, right, wrong)| right + wrong)
            .sum::<f64>()
            + self.never
    }

    fn told(&self, threshold: f64) -> f64 {
        self.from(threshold)
            .map(|(_, right, wrong)| right + wrong)
            .sum()
    }
}

/// The chance that a best state with this margin is wrong: `1 / (1 + exp(at_zero + slope * margin))`.
#[derive(Clone, Copy, Debug)]
struct Tail {
    at_zero: f64,
    slope: f64,
}

impl Tail {
    /// By maximum likelihood (logistic regression, Newton's method), with half a wrong state at the far end so that no
    /// wrong state at all does not mean certainty.
    fn fit(histogram: &Histogram) -> Tail {
        let mut tail = Tail {
            at_zero: 0.0,
            slope: 0.8,
        };
        for _ in 0..60 {
            let [mut g0, mut g1, mut h00, mut h01, mut h11] = [0.0, 0.0, 1e-9, 0.0, 1e-9];
            for (margin, right, wrong) in histogram.from(TAIL) {
                let p = tail.wrong(margin);
                let off = p * (right + wrong) - wrong;
                let curve = p * (1.0 - p) * (right + wrong);
                g0 += off;
                g1 += off * margin;
                h00 += curve;
                h01 += curve * margin;
                h11 += curve * margin * margin;
            }
            let det = h00 * h11 - h01 * h01;
            tail.at_zero += ((h11 * g0 - h01 * g1) / det).clamp(-1.0, 1.0);
            tail.slope = (tail.slope + ((h00 * g1 - h01 * g0) / det).clamp(-0.1, 0.1)).max(0.05);
        }
        tail
    }

    fn wrong(self, margin: f64) -> f64 {
        1.0 / (1.0 + (self.at_zero + self.slope * margin).exp())
    }

    /// The share expected to be wrong of all that is told with a threshold.
    fn told_wrong(self, histogram: &Histogram, threshold: f64) -> f64 {
        let wrong: f64 = histogram
            .from(threshold)
            .map(|(margin, right, wrong)| self.wrong(margin) * (right + wrong))
            .sum();
        wrong / histogram.told(threshold).max(1.0)
    }
}

/// Prints what was seen by margin, the fit, and what each threshold would tell.
fn print(name: &str, by_stage: &[Histogram], rng: &mut ChaCha8Rng) {
    let sum = Histogram::sum(by_stage.iter());
    let tail = Tail::fit(&sum);
    println!(
        "\n{name}: {} cubes, {} not told at any margin",
        sum.all(),
        sum.never
    );
    println!(
        "{:>12}{:>9}{:>8}{:>10}",
        "margin", "right", "wrong", "expected"
    );
    for from in (0..32).step_by(2).map(f64::from) {
        let bins = || {
            sum.from(from)
                .take_while(|(margin, ..)| *margin < from + 2.0)
        };
        let right: f64 = bins().map(|(_, right, _)| right).sum();
        let wrong: f64 = bins().map(|(.., wrong)| wrong).sum();
        let expected: f64 = bins().map(|(m, r, w)| tail.wrong(m) * (r + w)).sum();
        println!(
            "{from:>5} to {:>3}{right:>9}{wrong:>8}{expected:>10.4}",
            from + 2.0
        );
    }
    let drawn: Vec<Tail> = (0..DRAWS)
        .map(|_| {
            let any = |_| by_stage.choose(rng).expect("there are stages");
            let drawn: Vec<&Histogram> = (0..by_stage.len()).map(any).collect();
            Tail::fit(&Histogram::sum(drawn.into_iter()))
        })
        .collect();
    println!(
        "wrong at margin m: 1 / (1 + exp({:.2} + {:.3} m))",
        tail.at_zero, tail.slope
    );
    println!(
        "{:>9}{:>9}{:>9}{:>14}{:>14}",
        "threshold", "told", "wrong", "expected", "at most (95 %)"
    );
    for threshold in THRESHOLDS {
        let mut drawn: Vec<f64> = drawn
            .iter()
            .map(|t| t.told_wrong(&sum, threshold))
            .collect();
        drawn.sort_by(f64::total_cmp);
        println!(
            "{threshold:>9}{:>8.2}%{:>9}{:>14.1e}{:>14.1e}",
            100.0 * sum.told(threshold) / sum.all(),
            sum.from(threshold).map(|(.., wrong)| wrong).sum::<f64>(),
            tail.told_wrong(&sum, threshold),
            drawn[DRAWS * 95 / 100],
        );
    }
}

#[test]
fn no_sure_reading_is_wrong() {
    let cubes = amount("PAIRSIGHT_CUBES", 60);
    let only = std::env::var("PAIRSIGHT_ONLY").unwrap_or_default();
    let mut stages = stages();
    stages.retain(|stage| stage.name.contains(&only));
    assert!(!stages.is_empty());
    let mut rng = ChaCha8Rng::seed_from_u64(9);
    let mut wrong = Vec::new();
    let mut group = 0;
    for calibrated in [true, false] {
        let with = if calibrated {
            "with a profile"
        } else {
            "without a profile"
        };
        let mut together = vec![Histogram::new(); stages.len()];
        for looks in Looks::ALL {
            group += 1;
            let read = each(
                cubes,
                || (),
                |(), i| {
                    let mut rng = ChaCha8Rng::seed_from_u64(i << 8 | group);
                    let at = rng.random_range(0..stages.len());
                    let stage = &stages[at];
                    let (cube, legal) = cube(&mut rng);
                    let mut reader = Reader::new(calibrated.then_some(&stage.profile));
                    for picture in looks.pictures(stage, &mut rng) {
                        reader.add(stage.show(&cube, picture, &mut rng));
                    }
                    let reading = reader.read();
                    let told = told(&reader, &reading, &cube, legal);
                    let what = format!(
                        "cube {i} from {} {with}, {}, legal {legal}: {}, margin {:.1}",
                        looks.name(),
                        stage.name,
                        reading.say,
                        reading.margin
                    );
                    (at, told, reading.margin, what)
                },
            );
            let mut by_stage = vec![Histogram::new(); stages.len()];
            for (at, told, margin, what) in read {
                by_stage[at].count(told, margin);
                if told == Told::Wrong && margin.abs() >= TAIL {
                    println!("wrong: {what}");
                }
                if told == Told::Wrong && margin.abs() >= SURE {
                    wrong.push(what);
                }
            }
            print(&format!("{} {with}", looks.name()), &by_stage, &mut rng);
            for (sum, histogram) in together.iter_mut().zip(&by_stage) {
                sum.add(histogram);
            }
        }
        print(&format!("all of these {with}"), &together, &mut rng);
    }
    assert!(wrong.is_empty(), "told wrong:\n{}", wrong.join("\n"));
}
