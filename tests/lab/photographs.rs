//! Photographs of real cubes with the colours of their stickers, at their own size and in a webcam's frame.

use std::collections::BTreeMap;
use std::path::PathBuf;

use image::imageops::{FilterType, overlay, resize};
use image::{Rgb, RgbImage};
use pairsight::read::{Outcome, Reader};
use pairsight::sight::Finder;
use serde::Deserialize;

use super::table::Table;

#[derive(clap::Args)]
pub struct Args {
    /// A folder of photographs with their labels.json: by file name the `faces` in it, each three rows of letters in any turning
    folder: PathBuf,
    /// Name the photographs in which a face is missed or a sticker told wrongly
    #[arg(long)]
    name: bool,
}

#[derive(Deserialize)]
struct Labels {
    photos: BTreeMap<String, Label>,
}

#[derive(Deserialize)]
struct Label {
    faces: Vec<String>,
}

/// A face's letters, row by row.
type Letters = Vec<char>;

/// The frame that photographs are fitted into, pixels, and the shares of it that they take; none: as they are.
const FRAME: (u32, u32) = (640, 480);
const SHARES: [Option<f32>; 4] = [None, Some(1.0), Some(0.75), Some(0.5)];

/// Stickers of nine that must agree for a face to be the one that is labelled.
const SAME: usize = 5;

pub fn measure(args: &Args) -> Table {
    let mut table = Table::new(
        "photographs",
        "Real cubes: faces of which most stickers are told as labelled, stickers of these that are told right, faces told that are not \
         labelled, and states told of single photographs. Fitted into a frame of 640 x 480, they take so much of it.",
        &[
            "size",
            "photographs",
            "faces",
            "found",
            "stickers right",
            "other faces",
            "states told",
        ],
    );
    let labels = std::fs::read_to_string(args.folder.join("labels.json")).expect("labels.json");
    let labels: Labels = serde_json::from_str(&labels).expect("labels.json is as it should be");
    for share in SHARES {
        let mut sum = Counted::default();
        for (file, label) in &labels.photos {
            let photograph = image::open(args.folder.join(file)).expect("a photograph");
            let photograph = photograph.to_rgb8();
            let picture = share.map_or_else(|| photograph.clone(), |s| fitted(&photograph, s));
            let counted = count(&picture, label);
            let is_whole = counted.found == counted.faces && counted.right == 9 * counted.found;
            if args.name && !(is_whole && counted.others == 0) {
                println!("{share:?} {file}: {counted:?}");
            }
            sum.add(&counted);
        }
        let size = share.map_or("own".into(), |share| format!("{} %", 100.0 * share));
        table.row([
            size,
            labels.photos.len().to_string(),
            sum.faces.to_string(),
            sum.found.to_string(),
            format!("{} of {}", sum.right, 9 * sum.found),
            sum.others.to_string(),
            sum.states.to_string(),
        ]);
    }
    table
}

#[derive(Debug, Default)]
struct Counted {
    faces: usize,
    found: usize,
    right: usize,
    others: usize,
    states: usize,
}

impl Counted {
    fn add(&mut self, other: &Counted) {
        self.faces += other.faces;
        self.found += other.found;
        self.right += other.right;
        self.others += other.others;
        self.states += other.states;
    }
}

/// What is read of one photograph, without a profile.
fn count(picture: &RgbImage, label: &Label) -> Counted {
    let mut reader = Reader::new(None);
    reader.add(Finder::new().look(picture));
    let reading = reader.read();
    let mut told: Vec<Letters> = { reading.looks.iter().flat_map(|look| &look.faces) }
        .map(|face| face.stickers.concat().chars().collect())
        .collect();
    let mut counted = Counted {
        faces: label.faces.len(),
        states: usize::from(reading.outcome == Outcome::Read),
        ..Counted::default()
    };
    for face in &label.faces {
        let letters: Letters = face.split_whitespace().flat_map(str::chars).collect();
        let alike = |told: &Letters| alike(told, &letters);
        let best = (0..told.len()).max_by_key(|&i| alike(&told[i]));
        let right = best.map_or(0, |i| alike(&told[i]));
        if let Some(best) = best.filter(|_| right >= SAME) {
            counted.found += 1;
            counted.right += right;
            told.remove(best);
        }
    }
    counted.others = told.len();
    counted
}

/// Stickers that two faces have alike in the turning that suits them best.
fn alike(one: &Letters, other: &Letters) -> usize {
    let turned = |turn: usize, row: usize, column: usize| match turn {
        0 => (row, column),
        1 => (2 - column, row),
        2 => (2 - row, 2 - column),
        _ => (column, 2 - row),
    };
    let same = |turn: usize| {
        let places = (0..9).map(|i| (i, turned(turn, i / 3, i % 3)));
        places
            .filter(|&(i, (row, column))| one.get(i) == other.get(3 * row + column))
            .count()
    };
    (0..4).map(same).max().unwrap_or(0)
}

/// The photograph in the middle of a grey frame, as large as such a share of the frame lets it be.
fn fitted(photograph: &RgbImage, share: f32) -> RgbImage {
    let (wide, high) = photograph.dimensions();
    let room = [(FRAME.0, wide), (FRAME.1, high)];
    let scale = room.map(|(frame, own)| share * frame as f32 / own as f32);
    let scale = scale[0].min(scale[1]);
    let size = |side: u32| ((side as f32 * scale).round() as u32).max(1);
    let small = resize(photograph, size(wide), size(high), FilterType::Triangle);
    let mut frame = RgbImage::from_pixel(FRAME.0, FRAME.1, Rgb([90; 3]));
    let middle = |frame: u32, own: u32| i64::from(frame / 2) - i64::from(own / 2);
    let at = [
        middle(FRAME.0, small.width()),
        middle(FRAME.1, small.height()),
    ];
    overlay(&mut frame, &small, at[0], at[1]);
    frame
}
