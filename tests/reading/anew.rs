//! Whole readings of scans whose pictures are taken anew: from farther away, turned, under another lamp than the one of the calibration,
//! with other exposures and more noise. The laboratory takes them more often (`anew`).

use super::scans::{Scan, Setup, load, read};
use super::table::{Column, PRESENTATIONS, Presentation, Verdict, print, rows, verdict};
use crate::harness::each::each;
use crate::harness::retake::{Light, gains, make_noisy, moved};
use crate::harness::scan_folder::carried;
use pairsight::sight::{Finder, Look};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use std::ops::Range;
use std::path::Path;
use std::time::{Duration, Instant};

/// How much smaller a cube is that is farther away; none is so near that the picture cuts it.
const FARTHER: Range<f32> = 0.75..0.95;

/// How far a camera's exposure is another one from picture to picture, as a share.
const EXPOSURE: f32 = 0.05;

/// The looks of a scan, its pictures taken anew.
fn taken_anew(
    folder: &Path,
    scan: &Scan,
    finder: &mut Finder,
    rng: &mut ChaCha8Rng,
) -> Vec<(String, Look)> {
    let lamp = gains(rng);
    let mut take = |file: &str| {
        let picture = image::open(folder.join(&scan.name).join(file)).expect("a picture");
        let scale = rng.random_range(FARTHER);
        let (mut picture, _) = moved(&picture.to_rgb8(), scale, rng);
        let exposure = 1.0 + rng.random_range(-EXPOSURE..EXPOSURE);
        let light = Light {
            gamma: 1.0,
            gains: lamp.map(|gain| exposure * gain),
        };
        light.shine(&mut picture);
        make_noisy(&mut picture, rng);
        finder.look(&picture)
    };
    let files = scan.looks.iter().map(|(file, _)| file);
    files.map(|file| (file.clone(), take(file))).collect()
}

/// One reading: its column of the table, what it is worth, and how long it took.
type Told = (usize, Verdict, Duration);

/// Reads a scan in all ways to show it, with a profile and without.
fn read_anew(
    setup: &Setup,
    scan: &Scan,
    looks: &[(String, Look)],
    rng: &mut ChaCha8Rng,
) -> Vec<Told> {
    let mut told = Vec::new();
    for (number, (presentation, name)) in PRESENTATIONS.into_iter().enumerate() {
        let shown = presentation.of(looks, rng);
        for (calibrated, column) in [(true, number), (false, PRESENTATIONS.len() + number)] {
            let start = Instant::now();
            let reading = read(setup, calibrated, None, shown.iter().cloned());
            let time = start.elapsed();
            let verdict = verdict(scan, &reading);
            if verdict != Verdict::Right && presentation != Presentation::Mixture {
                println!(
                    "{verdict:?}: {}, {name}, profile {calibrated}: margin {:.1}. {}",
                    scan.name, reading.margin, reading.say
                );
            }
            told.push((column, verdict, time));
        }
    }
    told
}

/// Reads each scan of a folder so often, beginning with the presentation of a number: the table's columns, and what was read wrong.
pub fn count(
    folder: &Path,
    rounds: u64,
    first: u64,
) -> ([Column; 2 * PRESENTATIONS.len()], Vec<String>) {
    let mut finder = Finder::new();
    let setups = load(folder, None, &mut |picture, _| finder.look(picture));
    let scans: Vec<(&Setup, &Scan)> = setups
        .iter()
        .flat_map(|setup| setup.scans.iter().map(move |scan| (setup, scan)))
        .collect();
    let read = each(
        rounds * scans.len() as u64,
        Finder::new,
        |finder, number| {
            let (setup, scan) = scans[number as usize % scans.len()];
            let mut rng = ChaCha8Rng::seed_from_u64(first + number);
            let looks = taken_anew(folder, scan, finder, &mut rng);
            (scan, read_anew(setup, scan, &looks, &mut rng))
        },
    );
    let mut columns: [Column; 2 * PRESENTATIONS.len()] = Default::default();
    let mut wrong = Vec::new();
    for (number, (scan, told)) in read.into_iter().enumerate() {
        for (column, verdict, time) in told {
            columns[column].count(&rows(scan), verdict);
            columns[column].times.push(time);
            if verdict == Verdict::Wrong {
                wrong.push(format!("{number}: {}, column {column}", scan.name));
            }
        }
    }
    (columns, wrong)
}

#[test]
fn nothing_is_read_wrong_from_pictures_taken_anew() {
    let (columns, wrong) = count(&carried(), 1, 0);
    print(&columns);
    assert!(wrong.is_empty(), "read wrong:\n{}", wrong.join("\n"));
}
