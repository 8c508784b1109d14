//! Turns of whole solves.

use pairsight::coach::{Level, advise, advise_held, english};
use pairsight::cube::{Colour, Cube, Held, htm, rotations};
use pairsight::solve::{Effort, Style};

use super::table::Table;
use super::whole::means;
use crate::harness::each::each;

#[derive(clap::Args)]
pub struct Args {
    /// Random cubes
    #[arg(long, default_value_t = 1_000)]
    solves: u64,
}

pub fn measure(args: &Args) -> Table {
    let mut table = Table::new(
        "solves",
        "Mean turns (HTM) of whole solves of random cubes; every solve is checked to end solved and to keep what it promises.",
        &[
            "effort",
            "style",
            "cubes",
            "cross and pairs",
            "all",
            "turns of the cube",
        ],
    );
    let efforts = [
        ("pair by pair", Effort::PAIR_BY_PAIR),
        ("looking ahead", Effort::FULL),
    ];
    for (effort, one) in efforts {
        for (style, which) in [("short", Style::Short), ("plain", Style::Plain)] {
            let (pairs, all) = means(args.solves, one, which);
            table.row([
                effort.into(),
                style.into(),
                args.solves.to_string(),
                format!("{pairs:.2}"),
                format!("{all:.2}"),
                "-".into(),
            ]);
        }
    }
    for level in Level::ALL {
        let all = each(args.solves, || (), |(), seed| by_the_hints(seed, level));
        let mean = |of: fn(&Told) -> usize| {
            let sum: usize = all.iter().map(of).sum();
            format!("{:.2}", sum as f64 / args.solves as f64)
        };
        table.row([
            "by the hints".into(),
            format!("level {}: {}", level.number(), english::level(level)),
            args.solves.to_string(),
            mean(|told| told.pairs),
            mean(|told| told.all),
            mean(|told| told.rotations),
        ]);
    }
    table
}

/// Turns of one solve by the hints alone.
struct Told {
    pairs: usize,
    all: usize,
    rotations: usize,
}

/// Solves a cube by the hints, the hold kept as the learner has it.
fn by_the_hints(seed: u64, level: Level) -> Told {
    let (cube, cross) = (Cube::random(seed), Colour::ALL[seed as usize % 6]);
    let hold = advise(&cube, Some(cross), false).hold;
    let mut at = Held { cube, hold };
    let mut told = Told {
        pairs: 0,
        all: 0,
        rotations: 0,
    };
    for _ in 0..12 {
        if at.cube == Cube::solved() {
            return told;
        }
        let advice = advise_held(&at, level, None);
        let moves = advice.hinted();
        told.all += htm(&moves);
        if advice.last_layer.is_none() {
            told.pairs += htm(&moves);
            told.rotations += rotations(&moves);
        }
        at = at.after(&moves);
    }
    panic!(
        "{seed}: not solved by the hints of level {}",
        level.number()
    );
}
