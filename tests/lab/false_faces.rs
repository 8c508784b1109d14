//! Things that are no face, cut out of photographs at random places and mixed into true looks: none may make a reading wrong.

use std::path::{Path, PathBuf};

use image::RgbImage;
use pairsight::sight::{FaceView, Look, Point, sample};
use rand::seq::{IndexedMutRandom, IndexedRandom};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::harness::each::each;
use super::readings::rivals::{Verdict, put, summed, with_false};
use super::readings::stage::Stage;
use super::seeing::{files, random_crop};
use super::simulated::Stages;
use super::table::Table;

#[derive(clap::Args)]
pub struct Args {
    /// A folder of photographs without a cube
    folder: PathBuf,
    #[command(flatten)]
    stages: Stages,
    #[arg(long, default_value_t = 1_000)]
    readings: u64,
}

/// Faces cut out of each photograph.
const OF_EACH: usize = 40;

/// Readings between two lines that say how far it is.
const BATCH: u64 = 200;

pub fn measure(args: &Args) -> Table {
    let mut table = Table::new(
        "false-faces",
        "Simulated readings of true looks with one to three faces among them that are none: cut out of photographs at random places and \
         scored as likely faces are, alone, beside a true face, in place of one of a corner, or the same twice. Right, asked for more, \
         wrong.",
        &[
            "photographs",
            "cut out",
            "readings",
            "right",
            "asked",
            "wrong",
        ],
    );
    let stages = args.stages.load();
    let (photographs, faces) = cut(&args.folder);
    let mut all = [0; 3];
    for first in (0..args.readings).step_by(BATCH as usize) {
        let count = BATCH.min(args.readings - first);
        let first = args.stages.first + first;
        let read = each(
            count,
            || (),
            |(), n| read_with_faces(&stages, first + n, &faces),
        );
        let counts = summed(&read as &[Verdict], &format!("from {first}"));
        let counts = [counts.right, counts.asked, counts.wrong];
        all = std::array::from_fn(|i| all[i] + counts[i]);
    }
    let [right, asked, wrong] = all;
    let readings = args.readings as usize;
    table.row([photographs, faces.len(), readings, right, asked, wrong]);
    table
}

/// A cube with faces beside it that were cut out of photographs at random places: alone, beside a true face, in place of one that shares
/// its edges with others, or the same twice.
fn read_with_faces(stages: &[Stage], n: u64, cut: &[FaceView]) -> Verdict {
    let mixed_in = |_: &Stage, looks: &mut Vec<Look>, rng: &mut ChaCha8Rng| {
        for _ in 0..rng.random_range(1..4) {
            let mut face = cut.choose(rng).expect("there are faces").clone();
            face.score = rng.random_range(-3.0..6.0);
            match rng.random_range(0..4) {
                0 => put(face, true, looks, rng),
                1 => put(face, false, looks, rng),
                2 => {
                    let look = looks.choose_mut(rng).expect("there are looks");
                    let own = look.faces.choose_mut(rng);
                    own.into_iter().for_each(|own| own.patches = face.patches);
                }
                _ => {
                    put(face.clone(), true, looks, rng);
                    put(face, true, looks, rng);
                }
            }
        }
    };
    with_false(stages, n, mixed_in)
}

/// How many photographs there are, and what was cut out of them.
fn cut(folder: &Path) -> (usize, Vec<FaceView>) {
    let files = files(folder);
    let cut = each(
        files.len() as u64,
        || (),
        |(), n| {
            let Ok(photograph) = image::open(&files[n as usize]) else {
                return Vec::new();
            };
            let photograph = photograph.to_rgb8();
            let rng = &mut ChaCha8Rng::seed_from_u64(n);
            let picture = random_crop(&photograph, rng);
            (0..OF_EACH).map(|_| face(&picture, rng)).collect()
        },
    );
    let count = cut.iter().filter(|faces| !faces.is_empty()).count();
    (count, cut.concat())
}

/// A quadrilateral somewhere in a picture, sampled as a face is.
fn face(picture: &RgbImage, rng: &mut ChaCha8Rng) -> FaceView {
    let (width, height) = (picture.width() as f32, picture.height() as f32);
    let side = rng.random_range(0.08..0.6) * width.min(height);
    let angle = rng.random_range(0.0..std::f32::consts::TAU);
    let reach = 0.8 * side;
    let centre = [width, height]
        .map(|full| rng.random_range(reach.min(full / 2.0)..=(full - reach).max(full / 2.0)));
    let corner = |k: usize, rng: &mut ChaCha8Rng| {
        let (sin, cos) = (angle + k as f32 * std::f32::consts::FRAC_PI_2).sin_cos();
        let far = side * rng.random_range(0.5..0.8);
        Point {
            x: centre[0] + far * cos,
            y: centre[1] + far * sin,
        }
    };
    let corners = [0, 1, 2, 3].map(|k| corner(k, rng));
    let between = |a: Point, b: Point, t: f32| Point {
        x: a.x + t * (b.x - a.x),
        y: a.y + t * (b.y - a.y),
    };
    let lattice = std::array::from_fn(|row| {
        let down = row as f32 / 3.0;
        let ends = [
            between(corners[0], corners[3], down),
            between(corners[1], corners[2], down),
        ];
        std::array::from_fn(|column| between(ends[0], ends[1], column as f32 / 3.0))
    });
    FaceView {
        patches: sample(picture, &lattice),
        lattice,
        score: 0.0,
        problems: Vec::new(),
    }
}
