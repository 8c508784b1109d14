//! Cubes that were never pictured, shown by measured stickers: rivals of the usual cube, things that are no face, changed profiles, a
//! wrong sticker, cubes turned while they are shown, and slips.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use clap::ValueEnum;
use pairsight::sight::{FaceView, Finder};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::harness::each::each;
use super::harness::scan_folder::carried;
use super::readings::faulty::wrong_sticker;
use super::readings::following::tally;
use super::readings::rivals::{
    Verdict, centres, changed_profile, false_faces, foreign_profile, scheme, summed,
};
use super::readings::scans::Taking;
use super::readings::stage::{Stage, stages_of};
use super::readings::turned::shown;
use super::seeing::{files, random_crop};
use super::table::Table;

/// Where stickers are measured, and which cubes are drawn.
#[derive(clap::Args)]
pub struct Stages {
    /// A folder of scans with its truth.json; those that the project carries if none is given
    #[arg(long)]
    scans: Option<PathBuf>,
    /// Only scans whose name has this in it
    #[arg(long, default_value = "")]
    only: String,
    /// Faces as they are found, and not as the truth tells them
    #[arg(long)]
    find: bool,
    /// Balance each picture anew, as cheap webcams do
    #[arg(long)]
    balances: bool,
    /// The number of the first cube, to draw others
    #[arg(long, default_value_t = 0)]
    pub first: u64,
}

impl Stages {
    /// # Panics
    /// Where there are none.
    pub fn load(&self) -> Vec<Stage> {
        let folder = self.scans.clone().unwrap_or_else(carried);
        let taking = Taking {
            finds: self.find,
            balances: self.balances,
            spoil: None,
        };
        let mut stages = stages_of(&folder, taking);
        stages.retain(|stage| stage.name.contains(&self.only));
        assert!(!stages.is_empty(), "no scan in {}", folder.display());
        stages
    }
}

#[derive(clap::Args)]
pub struct Args {
    /// What is shown; all of it if nothing is named
    #[arg(value_enum)]
    kinds: Vec<Kind>,
    #[command(flatten)]
    stages: Stages,
    /// A folder of photographs without a cube: what is taken for a face in them is put beside cubes, too
    #[arg(long)]
    nothing: Option<PathBuf>,
    /// Cubes of each kind
    #[arg(long, default_value_t = 1_000)]
    cubes: u64,
}

#[derive(Clone, Copy, Debug, PartialEq, ValueEnum)]
enum Kind {
    /// Cubes of other schemes, straight and mirrored
    Schemes,
    /// Cubes with two centres exchanged
    Centres,
    /// Things beside the cube that are no face of it
    FalseFaces,
    /// The same cubes without them
    NoFalseFaces,
    /// Profiles of other cubes
    ForeignProfiles,
    /// Profiles with changed bytes
    ChangedProfiles,
    /// Cubes with a sticker of a wrong colour
    WrongStickers,
}

impl Kind {
    fn show(self, stages: &[Stage], found: &[FaceView], n: u64) -> Option<Verdict> {
        match self {
            Kind::Schemes => Some(scheme(stages, n)),
            Kind::Centres => Some(centres(stages, n)),
            Kind::FalseFaces => Some(false_faces(stages, n, Some(found))),
            Kind::NoFalseFaces => Some(false_faces(stages, n, None)),
            Kind::ForeignProfiles => Some(foreign_profile(stages, n)),
            Kind::ChangedProfiles => changed_profile(stages, n),
            Kind::WrongStickers => Some(wrong_sticker(stages, n)),
        }
    }
}

pub fn rivals(args: &Args) -> Table {
    let mut table = Table::new(
        "rivals",
        "Simulated showings of what may be taken for another cube than it is: right, asked for more, wrong. Where no legal cube is \
         shown, to say so is right.",
        &["shown", "readings", "right", "asked", "wrong", "right, %"],
    );
    let stages = args.stages.load();
    let found = args.nothing.as_deref().map(found_in).unwrap_or_default();
    println!("{} things in photographs are taken for a face", found.len());
    let kinds = match &args.kinds[..] {
        [] => Kind::value_variants(),
        kinds => kinds,
    };
    for &kind in kinds {
        let all = each(
            args.cubes,
            || (),
            |(), n| kind.show(&stages, &found, args.stages.first + n),
        );
        let all: Vec<Verdict> = all.into_iter().flatten().collect();
        let counts = summed(&all, &format!("{kind:?}"));
        table.row([
            format!("{kind:?}"),
            all.len().to_string(),
            counts.right.to_string(),
            counts.asked.to_string(),
            counts.wrong.to_string(),
            format!(
                "{:.1}",
                100.0 * counts.right as f64 / all.len().max(1) as f64
            ),
        ]);
    }
    table
}

/// What is taken for a face in parts of photographs without a cube.
fn found_in(folder: &Path) -> Vec<FaceView> {
    let files = files(folder);
    let found = each(files.len() as u64, Finder::new, |finder, n| {
        let Ok(photograph) = image::open(&files[n as usize]) else {
            return Vec::new();
        };
        let photograph = photograph.to_rgb8();
        let rng = &mut ChaCha8Rng::seed_from_u64(n);
        let mut look = || finder.look(&random_crop(&photograph, rng)).faces;
        (0..PARTS).flat_map(|_| look()).collect()
    });
    found.concat()
}

/// Parts cut out of each photograph.
const PARTS: usize = 5;

#[derive(clap::Args)]
pub struct SimulatedArgs {
    #[command(flatten)]
    stages: Stages,
    #[arg(long, default_value_t = 1_000)]
    cubes: u64,
}

pub fn turned(args: &SimulatedArgs) -> Table {
    let mut table = Table::new(
        "turned",
        "Cubes that are turned while they are shown, by what is told of them; `Third` and `Blamed` are wrong.",
        &["told", "cubes"],
    );
    let stages = args.stages.load();
    let all = each(
        args.cubes,
        || (),
        |(), n| shown(&stages, args.stages.first + n),
    );
    let mut fates = BTreeMap::new();
    for (fate, _) in all.into_iter().flatten() {
        *fates.entry(fate).or_insert(0) += 1;
    }
    for (fate, count) in fates {
        table.row([format!("{fate:?}"), count.to_string()]);
    }
    table
}

pub fn slips(args: &SimulatedArgs) -> Table {
    let mut table = Table::new(
        "slips",
        "A hint is given, something is done, foreseen or not, and a corner is shown; where that does not tell, another one is asked for.",
        &[
            "done",
            "showings",
            "told at once",
            "after asking",
            "asks still",
            "wrong",
        ],
    );
    let mut stages = args.stages.load();
    stages.retain(Stage::has_corners);
    for (name, is_foreseen) in [("something foreseen", true), ("something else", false)] {
        let tally = tally(&stages, args.stages.first, args.cubes, is_foreseen);
        let counts = [
            tally.count(),
            tally.at_once,
            tally.after_asking,
            tally.asks_still,
            tally.wrong,
        ];
        table.row(
            [name.to_owned()]
                .into_iter()
                .chain(counts.map(|n| n.to_string())),
        );
    }
    table
}
