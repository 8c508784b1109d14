//! Whole readings of pictures taken anew: from farther away, turned, under another lamp, with other exposures and more noise.

use std::path::PathBuf;

use super::harness::scan_folder::carried;
use super::readings::anew::count;
use super::readings::table::{Column, PRESENTATIONS};
use super::table::Table;

#[derive(clap::Args)]
pub struct Args {
    /// A folder of scans with its truth.json; those that the project carries if none is given
    #[arg(long)]
    scans: Option<PathBuf>,
    /// Times that each scan is taken
    #[arg(long, default_value_t = 10)]
    rounds: u64,
    /// The number of the first, to take others
    #[arg(long, default_value_t = 0)]
    first: u64,
}

pub fn measure(args: &Args) -> Table {
    let names = PRESENTATIONS.map(|(_, name)| name);
    let mut columns = vec!["scans".to_owned()];
    columns.extend(names.iter().map(|name| format!("{name}, profile")));
    columns.extend(names.iter().map(ToString::to_string));
    let columns: Vec<&str> = columns.iter().map(String::as_str).collect();
    let mut table = Table::new(
        "anew",
        "Readings of pictures taken anew, right/unsure/wrong/asked, with a profile and without; last their milliseconds, median and longest.",
        &columns,
    );
    let folder = args.scans.clone().unwrap_or_else(carried);
    let (counted, wrong) = count(&folder, args.rounds, args.first);
    for wrong in wrong {
        println!("wrong: {wrong}");
    }
    for row in counted[0].rows() {
        table.row(
            [row.clone()]
                .into_iter()
                .chain(counted.iter().map(|c| c.cell(&row))),
        );
    }
    table.row(
        ["milliseconds".to_owned()]
            .into_iter()
            .chain(counted.iter().map(Column::time)),
    );
    table
}
