//! Pictures without a cube give no face: drawn grids of many kinds, and photographs.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use image::RgbImage;
use image::imageops::{FilterType, crop_imm, flip_horizontal, flip_vertical, resize, rotate90};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::{each, keep, pictures};
use crate::scene::{at_home, nothing};

/// Crops of one photograph that are looked at one after the other, so that it is read once.
const CROPS: u64 = 20;

#[test]
fn no_face_is_found_in_drawn_grids() {
    nothing_is_found("drawn", 160, nothing);
}

#[test]
fn no_face_is_found_in_drawn_things_at_home() {
    nothing_is_found("home", 110, at_home);
}

/// Draws pictures without a cube by their number, and looks for faces in them.
fn nothing_is_found(
    name: &str,
    few: u64,
    draw: fn(u64, &mut ChaCha8Rng) -> (&'static str, RgbImage),
) {
    let count = pictures(few);
    let results = each(count, |finder, number| {
        let rng = &mut ChaCha8Rng::seed_from_u64(1_000_000 + super::first() + number);
        let (kind, picture) = draw(number, rng);
        let look = finder.look(&picture);
        if !look.faces.is_empty() {
            keep(&format!("{name}-{number}"), &picture, &look);
        }
        (kind, !look.faces.is_empty(), look.too_steep)
    });
    let steep = results.iter().filter(|(.., steep)| *steep).count();
    println!("{steep} of {count} seem to show a face too much from the side");
    let mut wrong: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (number, (kind, found, _)) in results.into_iter().enumerate() {
        let numbers = wrong.entry(kind).or_default();
        if found {
            numbers.push(number);
        }
    }
    for (kind, numbers) in &wrong {
        println!("{kind:16} {:>3} with a face: {numbers:?}", numbers.len());
    }
    assert!(
        wrong.values().all(Vec::is_empty),
        "faces found in pictures without a cube, of {count}: {wrong:?}"
    );
}

/// A part of a photograph, in the size of a webcam's picture.
fn part(photograph: &RgbImage, rng: &mut ChaCha8Rng) -> RgbImage {
    let (wide, high) = [(640, 480), (1280, 720)][usize::from(rng.random_bool(0.25))];
    let (full_wide, full_high) = photograph.dimensions();
    let whole =
        (f64::from(full_wide) / f64::from(wide)).min(f64::from(full_high) / f64::from(high));
    let share = rng.random_range(0.15..1.0f64) * whole;
    let (w, h) = (
        (f64::from(wide) * share) as u32,
        (f64::from(high) * share) as u32,
    );
    let (w, h) = (w.clamp(1, full_wide), h.clamp(1, full_high));
    let x = rng.random_range(0..=full_wide - w);
    let y = rng.random_range(0..=full_high - h);
    let mut picture = resize(
        &crop_imm(photograph, x, y, w, h).to_image(),
        wide,
        high,
        FilterType::Triangle,
    );
    if rng.random_bool(0.5) {
        picture = flip_horizontal(&picture);
    }
    if rng.random_bool(0.2) {
        picture = flip_vertical(&picture);
    }
    if rng.random_bool(0.1) {
        picture = rotate90(&picture);
    }
    let gain = rng.random_range(0.5..1.3);
    for value in picture.iter_mut() {
        *value = (f64::from(*value) * gain).min(255.0) as u8;
    }
    picture
}

fn photographs(folder: &Path) -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("PAIRSIGHT_PHOTOGRAPHS names a folder")
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.is_file())
        .collect();
    files.sort();
    files
}

/// The folder of photographs without a cube is named by `PAIRSIGHT_PHOTOGRAPHS`.
#[test]
fn no_face_is_found_in_photographs() {
    let Some(folder) = std::env::var_os("PAIRSIGHT_PHOTOGRAPHS").map(PathBuf::from) else {
        return;
    };
    let files = photographs(&folder);
    assert!(!files.is_empty(), "no photographs in {}", folder.display());
    let rounds = pictures(1000).div_ceil(CROPS);
    let results = each(rounds, |finder, round| {
        let path = &files[round as usize % files.len()];
        let Ok(photograph) = image::open(path) else {
            println!("{}: cannot be read, left out", path.display());
            return (0, Vec::new());
        };
        let photograph = photograph.to_rgb8();
        let rng = &mut ChaCha8Rng::seed_from_u64(2_000_000 + super::first() + round);
        let mut wrong = Vec::new();
        for crop in 0..CROPS {
            let picture = part(&photograph, rng);
            let look = finder.look(&picture);
            if !look.faces.is_empty() {
                keep(&format!("photo-{round}-{crop}"), &picture, &look);
                wrong.push(format!("{} part {round}-{crop}", path.display()));
            }
        }
        (CROPS, wrong)
    });
    let seen: u64 = results.iter().map(|(seen, _)| seen).sum();
    let wrong: Vec<String> = results.into_iter().flat_map(|(_, wrong)| wrong).collect();
    println!(
        "{} of {seen} parts of {} photographs with a face",
        wrong.len(),
        files.len()
    );
    assert!(
        seen > 0,
        "no photograph in {} can be read",
        folder.display()
    );
    assert!(
        wrong.is_empty(),
        "faces found in photographs without a cube: {wrong:#?}"
    );
}
