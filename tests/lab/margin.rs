//! How the margin maps to the chance of a wrong reading, by simulated cubes shown by measured stickers.

use pairsight::read::SURE;
use rand::{SeedableRng, seq::IndexedRandom};
use rand_chacha::ChaCha8Rng;

use super::harness::each::each;
use super::readings::margin::{Looks, Told, shown};
use super::simulated::Stages;
use super::table::Table;

#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    stages: Stages,
    /// Cubes for each way of showing
    #[arg(long, default_value_t = 1_000)]
    cubes: u64,
    /// Name the wrong ones
    #[arg(long)]
    name: bool,
}

/// Margins that are compared as thresholds.
const THRESHOLDS: [f64; 3] = [SURE - 1.0, SURE, SURE + 1.0];

/// Margins (nats) from which the tail is fitted: below, states are told apart by little more than chance.
const TAIL: f64 = 2.0;

/// Width of the bins that the fit is made in.
const BIN: f64 = 0.25;

/// Times that scans are drawn anew for the bound on the fit.
const DRAWS: usize = 200;

pub fn measure(args: &Args) -> Table {
    let columns = [
        "shown",
        "cubes",
        "never told",
        "wrong above 2",
        "wrong above SURE",
        "told, %",
        "fit",
        "expected wrong of told",
        "at most (95 %)",
    ];
    let mut table = Table::new(
        "margin",
        format!(
            "Simulated cubes, one in fifty put together wrongly, by the margin of their best state. Wrong at margin m: \
             1 / (1 + exp(a + b m)), fitted from {TAIL} on; what is told, and expected to be wrong of it, with thresholds of \
             {THRESHOLDS:?}, and a bound over scans drawn anew."
        ),
        &columns,
    );
    let stages = args.stages.load();
    let mut rng = ChaCha8Rng::seed_from_u64(9);
    let mut group = 0;
    for (calibrated, with) in [(true, "with a profile"), (false, "without")] {
        let mut together = vec![Histogram::new(); stages.len()];
        for looks in Looks::ALL {
            group += 1;
            let all = each(
                args.cubes,
                || (),
                |(), i| shown(&stages, looks, calibrated, group, args.stages.first + i),
            );
            let mut by_stage = vec![Histogram::new(); stages.len()];
            for shown in all {
                by_stage[shown.stage].count(shown.told, shown.margin);
                let wrong = shown.told == Told::Wrong;
                if wrong && (shown.margin.abs() >= SURE || args.name && shown.margin.abs() >= TAIL)
                {
                    println!("wrong: {}", shown.what);
                }
            }
            table.row(cells(
                &format!("{}, {with}", looks.name()),
                &by_stage,
                &mut rng,
            ));
            for (sum, histogram) in together.iter_mut().zip(&by_stage) {
                sum.add(histogram);
            }
        }
        table.row(cells(&format!("all, {with}"), &together, &mut rng));
    }
    table
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
        all.filter(move |(centre, ..)| *centre > margin)
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

/// A row of what was seen, the fit, and what each threshold would tell.
fn cells(name: &str, by_stage: &[Histogram], rng: &mut ChaCha8Rng) -> [String; 9] {
    let sum = Histogram::sum(by_stage.iter());
    let tail = Tail::fit(&sum);
    let drawn: Vec<Tail> = (0..DRAWS)
        .map(|_| {
            let any = |_| by_stage.choose(rng).expect("there are stages");
            let drawn: Vec<&Histogram> = (0..by_stage.len()).map(any).collect();
            Tail::fit(&Histogram::sum(drawn.into_iter()))
        })
        .collect();
    let wrong = |from: f64| {
        sum.from(from)
            .map(|(.., wrong)| wrong)
            .sum::<f64>()
            .to_string()
    };
    let by_threshold = |of: &dyn Fn(f64) -> String| THRESHOLDS.map(of).join(", ");
    [
        name.to_owned(),
        sum.all().to_string(),
        sum.never.to_string(),
        wrong(TAIL),
        wrong(SURE),
        by_threshold(&|threshold| format!("{:.1}", 100.0 * sum.told(threshold) / sum.all())),
        format!("{:.2} + {:.3} m", tail.at_zero, tail.slope),
        by_threshold(&|threshold| format!("{:.1e}", tail.told_wrong(&sum, threshold))),
        by_threshold(&|threshold| {
            let mut all: Vec<f64> = drawn
                .iter()
                .map(|t| t.told_wrong(&sum, threshold))
                .collect();
            all.sort_by(f64::total_cmp);
            format!("{:.1e}", all[DRAWS * 95 / 100])
        }),
    ]
}
