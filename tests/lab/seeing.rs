//! Faces found in pictures of cubes, and in photographs without one.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::Instant;

use image::RgbImage;
use image::imageops::{FilterType, crop_imm, flip_horizontal, resize, rotate90};
use pairsight::sight::{FaceView, Finder, Look, Problem};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::harness::outlines::{Judged, judge};
use super::harness::shots::{Face, shots};
use super::process;
use super::table::Table;

#[derive(clap::Args)]
pub struct Args {
    /// A folder of scans with their truth.json; may be given several times
    #[arg(long)]
    scans: Vec<PathBuf>,
    /// A folder of photographs without a cube; may be given several times
    #[arg(long)]
    nothing: Vec<PathBuf>,
    /// Parts of each photograph without a cube, cut out, turned and lit at random
    #[arg(long, default_value_t = 1)]
    parts: u64,
    /// Shrink pictures of cubes to so many rows
    #[arg(long)]
    rows: Option<u32>,
    /// Name the pictures in which faces are missed or wrong
    #[arg(long)]
    name: bool,
    /// Keep those without a cube in which one was found in this folder
    #[arg(long)]
    keep: Option<PathBuf>,
}

/// What was counted under one condition.
#[derive(Default)]
struct Row {
    pictures: usize,
    faces: usize,
    found: usize,
    corners: usize,
    whole: usize,
    wrong: usize,
    /// Distances of corners as shares of a side, percent.
    off: Vec<f64>,
    times: Vec<f64>,
}

impl Row {
    fn count(&mut self, faces: &[Face], is_corner: bool, judged: &Judged, time: f64) {
        let main = || {
            std::iter::zip(faces, &judged.found)
                .filter(|(face, _)| face.is_main)
                .map(|(_, found)| found)
        };
        self.pictures += 1;
        self.faces += main().count();
        self.found += main().flatten().count();
        self.corners += usize::from(is_corner);
        self.whole += usize::from(is_corner && main().all(Option::is_some));
        self.wrong += judged.wrong();
        self.off
            .extend(main().flatten().map(|(_, off)| 100.0 * off));
        self.times.push(time);
    }

    fn cells(mut self, name: String) -> [String; 9] {
        let share = |part: usize, of: usize| match of {
            0 => "-".to_owned(),
            _ => format!("{:.1} % of {of}", 100.0 * part as f64 / of as f64),
        };
        [
            name,
            self.pictures.to_string(),
            share(self.found, self.faces),
            share(self.whole, self.corners),
            self.wrong.to_string(),
            part(&mut self.off, 0.5),
            part(&mut self.off, 0.95),
            format!(
                "{:.2}",
                self.times.iter().sum::<f64>() / self.times.len().max(1) as f64
            ),
            part(&mut self.times, 0.95),
        ]
    }
}

/// The value under which such a share of all lies.
fn part(values: &mut [f64], share: f64) -> String {
    values.sort_by(f64::total_cmp);
    let at = ((values.len().max(1) - 1) as f64 * share) as usize;
    values.get(at).map_or("-".into(), |v| format!("{v:.2}"))
}

const COLUMNS: [&str; 9] = [
    "condition",
    "pictures",
    "faces found",
    "whole corners",
    "false",
    "off, % of a side",
    "off, 95 %",
    "ms, mean",
    "ms, 95 %",
];

pub fn measure(args: &Args) -> Table {
    let mut table = Table::new(
        "seeing",
        "Faces found within 0.35 of a sticker of their place (mean of the corners), corners of cubes with all their faces, faces \
         found where none is, how far corners are off, and a processor's time for a look. Rows `score` show how many of the \
         faces given with such log-odds are faces, and beside it how many should be.",
        &COLUMNS,
    );
    let mut finder = Finder::new();
    let mut rows: BTreeMap<(usize, String), Row> = BTreeMap::new();
    let mut scores: Vec<(f32, bool)> = Vec::new();
    let mut told = Told::default();
    for folder in &args.scans {
        let set = folder.file_name().unwrap_or_default().to_string_lossy();
        for shot in shots(folder) {
            let (picture, faces) = shrunk(shot.picture(), &shot.faces, args.rows);
            let (look, time) = timed(&mut finder, &picture);
            let judged = judge(&look, &faces);
            scores.extend(
                look.faces
                    .iter()
                    .map(|face| face.score)
                    .zip(judged.is_true.clone()),
            );
            for (face, truth) in judged.pairs() {
                let (face, truth) = (&look.faces[face], &faces[truth]);
                let sharp = if shot.is_unsharp { "unsharp" } else { "sharp" };
                told.count(Problem::Blur, sharp, face);
                if truth.hidden == 0.0 {
                    told.count(Problem::Hidden, "without a hand on it", face);
                } else if truth.hidden > 0.5 {
                    told.count(Problem::Hidden, "with a hand on it", face);
                }
            }
            let missed = std::iter::zip(&faces, &judged.found)
                .filter(|(face, found)| face.is_main && found.is_none())
                .count();
            if args.name && (missed > 0 || judged.wrong() > 0) {
                println!(
                    "{}: {missed} missed, {} wrong, {:?}",
                    shot.path.display(),
                    judged.wrong(),
                    look.frame
                );
            }
            let labels = shot
                .labels
                .iter()
                .map(|label| (1, format!("{set}: {label}")));
            for label in labels.chain([(0, format!("{set}: all"))]) {
                let row = rows.entry(label).or_default();
                row.count(&faces, shot.is_corner, &judged, time);
            }
        }
    }
    for folder in &args.nothing {
        let set = folder
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        let row = rows.entry((0, format!("{set}: no cube"))).or_default();
        for (number, path) in files(folder).iter().enumerate() {
            let Ok(photograph) = image::open(path) else {
                continue;
            };
            let photograph = photograph.to_rgb8();
            for part in 0..args.parts {
                let rng = &mut ChaCha8Rng::seed_from_u64(number as u64 * 1000 + part);
                let picture = random_crop(&photograph, rng);
                let (look, time) = timed(&mut finder, &picture);
                row.pictures += 1;
                row.times.push(time);
                // A person counts pictures in which something is taken for a cube.
                told.add(
                    "frame fault told of pictures without a cube".into(),
                    look.frame.is_some(),
                );
                let likely = look.faces.iter().any(|face| face.score > 0.0);
                row.wrong += usize::from(likely);
                scores.extend(look.faces.iter().map(|face| (face.score, false)));
                if likely && let Some(keep) = &args.keep {
                    let name = format!(
                        "{}-{part}.png",
                        path.file_stem().unwrap_or_default().to_string_lossy()
                    );
                    println!(
                        "{name}: {:?}",
                        look.faces
                            .iter()
                            .map(|f| (f.score, f.outline()))
                            .collect::<Vec<_>>()
                    );
                    if let Err(error) = picture.save(keep.join(&name)) {
                        eprintln!("lab: {name}: {error}");
                    }
                }
            }
        }
    }
    for ((_, name), row) in rows {
        table.row(row.cells(name));
    }
    told.rows(&mut table);
    reliability(&mut table, &scores);
    calibration(&mut table, &scores);
    table
}

/// How often a problem is told of faces that have it, and of others.
#[derive(Default)]
struct Told(BTreeMap<String, (usize, usize)>);

impl Told {
    fn count(&mut self, problem: Problem, faces: &str, face: &FaceView) {
        let name = format!("{problem:?} told of faces {faces}");
        self.add(name, face.problems.contains(&problem));
    }

    fn add(&mut self, name: String, is_told: bool) {
        let (told, all) = self.0.entry(name).or_default();
        *told += usize::from(is_told);
        *all += 1;
    }

    fn rows(&self, table: &mut Table) {
        for (name, (told, all)) in &self.0 {
            let mut cells = COLUMNS.map(|_| String::from("-"));
            cells[0].clone_from(name);
            cells[2] = format!("{:.1} % of {all}", 100.0 * *told as f64 / *all as f64);
            table.row(cells);
        }
    }
}

/// Rows of how many faces of a score are faces.
fn reliability(table: &mut Table, scores: &[(f32, bool)]) {
    for low in (-2..12).step_by(2) {
        let bin = || {
            scores
                .iter()
                .filter(|(score, _)| (low..low + 2).contains(&(score.floor() as i32)))
        };
        let (all, right) = (bin().count(), bin().filter(|(_, is_true)| *is_true).count());
        if all == 0 {
            continue;
        }
        let meant: f32 = bin().map(|(score, _)| 1.0 / (1.0 + (-score).exp())).sum();
        let mut cells = COLUMNS.map(|_| String::from("-"));
        cells[0] = format!("score {low} to {}", low + 2);
        cells[2] = format!("{:.1} % of {all}", 100.0 * right as f64 / all as f64);
        cells[3] = format!("{:.1} % meant", 100.0 * meant / all as f32);
        cells[4] = (all - right).to_string();
        table.row(cells);
    }
}

/// A row of the factor and the offset that would make log-odds of the scores: the likeliest of a logistic model, by Newton's steps.
/// 1 and 0 where they are log-odds already.
fn calibration(table: &mut Table, scores: &[(f32, bool)]) {
    let (mut factor, mut offset) = (1.0, 0.0);
    for _ in 0..30 {
        let [mut a, mut b, mut aa, mut ab, mut bb] = [0.0, 0.0, 1e-9, 0.0, 1e-9];
        for &(score, is_true) in scores {
            let score = f64::from(score);
            let chance = 1.0 / (1.0 + (-(factor * score + offset)).exp());
            let (miss, weight) = (
                f64::from(u8::from(is_true)) - chance,
                chance * (1.0 - chance),
            );
            a += miss * score;
            b += miss;
            aa += weight * score * score;
            ab += weight * score;
            bb += weight;
        }
        let area = aa * bb - ab * ab;
        factor += (bb * a - ab * b) / area;
        offset += (aa * b - ab * a) / area;
    }
    let mut cells = COLUMNS.map(|_| String::from("-"));
    cells[0] = "log-odds by score: factor, offset".into();
    cells[2] = format!("{factor:.2}");
    cells[3] = format!("{offset:.2}");
    table.row(cells);
}

/// A look, and the milliseconds that a processor worked on it.
fn timed(finder: &mut Finder, picture: &RgbImage) -> (Look, f64) {
    let (start, worked) = (Instant::now(), process::worked());
    let look = finder.look(picture);
    let wall = start.elapsed().as_secs_f64() * 1e3;
    (
        look,
        worked
            .zip(process::worked())
            .map_or(wall, |(before, after)| after - before),
    )
}

/// The picture with so many rows, if it has more, and its faces there.
fn shrunk(picture: RgbImage, faces: &[Face], rows: Option<u32>) -> (RgbImage, Vec<Face>) {
    let mut faces = faces.to_vec();
    let (width, height) = picture.dimensions();
    let Some(rows) = rows.filter(|&rows| rows < height) else {
        return (picture, faces);
    };
    let columns = (f64::from(width * rows) / f64::from(height)).round() as u32;
    let by = [
        f64::from(columns) / f64::from(width),
        f64::from(rows) / f64::from(height),
    ];
    for corner in faces.iter_mut().flat_map(|face| &mut face.outline) {
        *corner = [corner[0] * by[0], corner[1] * by[1]];
    }
    (resize(&picture, columns, rows, FilterType::Triangle), faces)
}

/// A part of a photograph as a webcam's picture.
pub fn random_crop(photograph: &RgbImage, rng: &mut ChaCha8Rng) -> RgbImage {
    let (wide, high) = [(640, 480), (1280, 720)][rng.random_range(0..2)];
    let (full_wide, full_high) = photograph.dimensions();
    let whole =
        (f64::from(full_wide) / f64::from(wide)).min(f64::from(full_high) / f64::from(high));
    let share = rng.random_range(0.4..1.0f64) * whole;
    let size = |side: u32, most: u32| ((f64::from(side) * share) as u32).clamp(1, most);
    let (w, h) = (size(wide, full_wide), size(high, full_high));
    let x = rng.random_range(0..=full_wide - w);
    let y = rng.random_range(0..=full_high - h);
    let part = crop_imm(photograph, x, y, w, h).to_image();
    let mut picture = resize(&part, wide, high, FilterType::Triangle);
    if rng.random_bool(0.5) {
        picture = flip_horizontal(&picture);
    }
    if rng.random_bool(0.1) {
        picture = rotate90(&picture);
    }
    let gain = rng.random_range(0.6..1.3);
    for value in picture.iter_mut() {
        *value = (f64::from(*value) * gain).min(255.0) as u8;
    }
    picture
}

/// The files of a folder and of those in it, by name.
pub fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let mut files: Vec<PathBuf> = entries
        .flat_map(|entry| match entry.path() {
            path if path.is_dir() => files(&path),
            path => vec![path],
        })
        .collect();
    files.sort();
    files
}
