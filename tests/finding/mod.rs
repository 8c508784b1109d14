//! Finding the cube: drawn cubes are found where they are, pictures without a cube give no face, and a table over a folder
//! of scans.

mod anew;
mod carried;
mod covered;
mod cubes;
mod judge;
mod nothing;
mod scans;
mod sequences;
mod shots;
mod steep;

use std::path::PathBuf;

use image::RgbImage;
use pairsight::sight::{Finder, Look};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::harness::amount::amount;
use crate::harness::each::each as each_of;
use cubes::Drawn;
use judge::outlines;

/// How many pictures a test draws: more with `PAIRSIGHT_PICTURES` set.
fn pictures(usual: u64) -> u64 {
    amount("PAIRSIGHT_PICTURES", usual)
}

/// The number of the first picture that is drawn.
fn first() -> u64 {
    amount("PAIRSIGHT_FIRST", 0)
}

/// Keeps a picture in which something was not found as it is, if `PAIRSIGHT_KEEP` names a folder.
fn keep(name: &str, picture: &RgbImage, look: &Look) {
    let Some(folder) = std::env::var_os("PAIRSIGHT_KEEP").map(PathBuf::from) else {
        return;
    };
    println!("{name}: {:.0?}", outlines(look));
    picture
        .save(folder.join(format!("{name}.png")))
        .expect("PAIRSIGHT_KEEP names a folder that takes files");
}

/// Works through `0..count` on all processors, each with its own finder; results come in order.
fn each<T: Send>(count: u64, work: impl Fn(&mut Finder, u64) -> T + Sync) -> Vec<T> {
    each_of(count, Finder::new, work)
}

#[test]
fn a_look_depends_on_nothing_but_the_picture() {
    let picture = Drawn::new(77).picture;
    let (_, other) = crate::scene::nothing(3, &mut ChaCha8Rng::seed_from_u64(3));
    let mut finder = Finder::new();
    let first = outlines(&finder.look(&picture));
    finder.look(&other);
    assert_eq!(first, outlines(&finder.look(&picture)));
    assert_eq!(first, outlines(&Finder::new().look(&picture)));
}

#[test]
fn small_and_odd_pictures_are_survived() {
    let mut finder = Finder::new();
    for (width, height) in [
        (0, 0),
        (1, 1),
        (2, 3),
        (1, 400),
        (400, 1),
        (37, 53),
        (641, 361),
        (5000, 16),
    ] {
        let picture = image::RgbImage::from_fn(width, height, |x, y| {
            image::Rgb([(x * 7) as u8, (y * 13) as u8, 90])
        });
        assert!(finder.look(&picture).faces.is_empty(), "{width} x {height}");
    }
}
