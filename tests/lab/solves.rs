//! Turns of whole solves.

use pairsight::solve::{Effort, Style};

use super::table::Table;
use super::whole::means;

#[derive(clap::Args)]
pub struct Args {
    /// Random cubes
    #[arg(long, default_value_t = 1_000)]
    cubes: u64,
}

pub fn measure(args: &Args) -> Table {
    let mut table = Table::new(
        "solves",
        "Mean turns (HTM) of whole solves of random cubes; every solve is checked to end solved and to keep what it promises.",
        &["effort", "style", "cubes", "cross and pairs", "all"],
    );
    let efforts = [
        ("pair by pair", Effort::PAIR_BY_PAIR),
        ("looking ahead", Effort::FULL),
    ];
    for (effort, one) in efforts {
        for (style, which) in [("short", Style::Short), ("plain", Style::Plain)] {
            let (pairs, all) = means(args.cubes, one, which);
            table.row([
                effort.into(),
                style.into(),
                args.cubes.to_string(),
                format!("{pairs:.2}"),
                format!("{all:.2}"),
            ]);
        }
    }
    table
}
