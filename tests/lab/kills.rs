//! Practice that is killed, as by `kill -9`.

use std::path::PathBuf;

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::harness::kills::{Came, Practice};
use super::table::Table;

#[derive(clap::Args)]
pub struct Args {
    /// Runs that are killed
    #[arg(long, default_value_t = 200)]
    kills: usize,
    /// The moments' number
    #[arg(long, default_value_t = 0)]
    first: u64,
    /// The program; without it the one that was built beside this one
    #[arg(long)]
    program: Option<PathBuf>,
}

/// The program in the folder above the one of examples.
fn beside() -> PathBuf {
    let own = std::env::current_exe().expect("this program lies somewhere");
    let folder = own.ancestors().nth(2).expect("cargo's folder");
    folder.join(format!("pairsight{}", std::env::consts::EXE_SUFFIX))
}

pub fn measure(args: &Args) -> Table {
    let mut table = Table::new(
        "kills",
        "Practice on the carried films, killed at a random moment of its run, all runs of a row into one journal. A note is an event that goes \
         into the journal; it is told once its line is written. Lost: told and not in the journal.",
        &[
            "practice",
            "killed",
            "told nothing",
            "told some",
            "told all",
            "notes told",
            "notes kept",
            "runs that lost",
        ],
    );
    let program = args.program.clone().unwrap_or_else(beside);
    let folder = tempfile::tempdir().expect("a folder");
    let mut rng = ChaCha8Rng::seed_from_u64(args.first);
    let all = Practice::all(&program, folder.path());
    for (at, practice) in all.iter().enumerate() {
        let (clean, length) = practice.undisturbed();
        assert_eq!(clean.told, clean.kept, "{practice:?}");
        let runs = (at..args.kills).step_by(all.len());
        let came: Vec<Came> = runs.map(|_| practice.killed(length, &mut rng)).collect();
        let runs = |is: &dyn Fn(&Came) -> bool| came.iter().filter(|one| is(one)).count();
        let sum = |of: &dyn Fn(&Came) -> usize| came.iter().map(of).sum::<usize>();
        let nothing = runs(&|one| one.told == 0);
        let whole = runs(&|one| one.told >= clean.told);
        table.row([
            practice.name(),
            came.len().to_string(),
            nothing.to_string(),
            (came.len() - nothing - whole).to_string(),
            whole.to_string(),
            sum(&|one| one.told).to_string(),
            sum(&|one| one.kept).to_string(),
            runs(&|one| one.kept < one.told).to_string(),
        ]);
    }
    table
}
