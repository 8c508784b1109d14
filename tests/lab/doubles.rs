//! Two stickers of a cube seen as other colours.

use super::decoding::Doubles;
use super::harness::each::each;
use super::table::Table;

#[derive(clap::Args)]
pub struct Args {
    /// Random cubes
    #[arg(long, default_value_t = 100)]
    states: u64,
    /// Errors of each, drawn at random; all with 28,200 or more
    #[arg(long, default_value_t = 1_000)]
    of_each: usize,
    /// The number of the first cube, to go on where another run stopped
    #[arg(long, default_value_t = 0)]
    first: u64,
}

pub fn measure(args: &Args) -> Table {
    let mut table = Table::new(
        "doubles",
        "Six faces with two stickers seen clearly as other colours: read right, unsure, nearer to another cube than to the true one. The \
         run stops where one is read wrong.",
        &[
            "cubes",
            "errors",
            "right",
            "unsure",
            "nearer to another cube",
        ],
    );
    let all = each(
        args.states,
        || (),
        |(), n| Doubles::of(args.first + n, args.of_each),
    );
    let sum = |of: fn(&Doubles) -> usize| all.iter().map(of).sum::<usize>();
    let counts = [sum(|c| c.right), sum(|c| c.unsure), sum(|c| c.fellows)];
    let head = [args.states as usize, counts.iter().sum()];
    table.row(head.into_iter().chain(counts));
    table
}
