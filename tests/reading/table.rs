//! Reading scans with truth, in one table: right, unsure, wrong and asked by what the truth tells of cube, light and pictures,
//! for what people show, with a profile and without. Worn stickers and a lamp of another colour on each side are laid
//! over the measured stickers, so that these rows are there whatever the scans show.
//! The laboratory reads more (`reading`).

use super::scans::{Scan, is_corner, load_carried, read};
use pairsight::read::{Outcome, Reading};
use pairsight::sight::{Look, Patch};
use rand::{Rng, SeedableRng, seq::SliceRandom};
use rand_chacha::ChaCha8Rng;
use std::collections::BTreeMap;
use std::time::{Duration, Instant};

/// Which pictures of a scan are shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Presentation {
    SixFaces,
    TwoCorners,
    AllEight,
    /// Any three to eight of the eight.
    Mixture,
}

/// The ways to show a scan, and what they are called.
pub const PRESENTATIONS: [(Presentation, &str); 4] = [
    (Presentation::SixFaces, "six faces"),
    (Presentation::TwoCorners, "two corners"),
    (Presentation::AllEight, "all eight"),
    (Presentation::Mixture, "mixtures"),
];

impl Presentation {
    /// Whether a picture with this file name is shown; for mixtures it may be.
    pub fn shows(self, file: &str) -> bool {
        match self {
            Presentation::SixFaces => !is_corner(file),
            Presentation::TwoCorners => is_corner(file),
            Presentation::AllEight | Presentation::Mixture => true,
        }
    }

    /// The looks to read.
    pub fn of(self, looks: &[(String, Look)], rng: &mut ChaCha8Rng) -> Vec<Look> {
        let shown = looks.iter().filter(|(file, _)| self.shows(file));
        match self {
            Presentation::SixFaces | Presentation::TwoCorners | Presentation::AllEight => {
                shown.map(|(_, look)| look.clone()).collect()
            }
            Presentation::Mixture => {
                let mut all: Vec<Look> = shown.map(|(_, look)| look.clone()).collect();
                all.shuffle(rng);
                all.truncate(rng.random_range(3..9));
                all
            }
        }
    }
}

/// What a scan's looks become before they are read.
type Overlay = fn(Look, &mut ChaCha8Rng) -> Look;

const OVERLAYS: [(&str, Overlay); 2] = [
    ("worn stickers (laid over)", worn),
    ("lamp colour a side (laid over)", lit_from_sides),
];

/// Stickers through which, here and there, much of the plastic shows.
fn worn(mut look: Look, rng: &mut ChaCha8Rng) -> Look {
    let plastic = if rng.random_bool(0.5) { 0.03 } else { 0.6 };
    for patch in patches(&mut look) {
        let bare = rng.random_range(0.0f32..0.6).powi(2);
        for x in [
            &mut patch.rgb.red,
            &mut patch.rgb.green,
            &mut patch.rgb.blue,
        ] {
            *x += bare * (plastic - *x);
        }
        patch.spread = (patch.spread + bare / 2.0).min(0.5);
        patch.agreeing *= 1.0 - bare;
    }
    look
}

/// Gains of a camera balanced for a lamp between them: tungsten, daylight from a window, a greenish tube.
const LAMPS: [[f32; 3]; 3] = [[1.3, 1.0, 0.65], [0.8, 1.0, 1.3], [0.9, 1.1, 0.9]];

/// Each face of a corner under another lamp, single faces under any.
fn lit_from_sides(mut look: Look, rng: &mut ChaCha8Rng) -> Look {
    let mut lamps = LAMPS;
    lamps.shuffle(rng);
    for (face, [red, green, blue]) in look.faces.iter_mut().zip(lamps) {
        for patch in face.patches.as_flattened_mut() {
            let rgb = &mut patch.rgb;
            *rgb = [(rgb.red * red), (rgb.green * green), (rgb.blue * blue)]
                .map(|x| x.min(1.0))
                .into();
        }
    }
    look
}

fn patches(look: &mut Look) -> impl Iterator<Item = &mut Patch> {
    look.faces
        .iter_mut()
        .flat_map(|face| face.patches.as_flattened_mut())
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Verdict {
    Right,
    /// All faces were seen, and a corner or face is asked for all the same.
    Unsure,
    Wrong,
    /// A face was not seen, and is asked for.
    Asked,
}

/// How a reading is to be judged by what the scan shows.
pub fn verdict(scan: &Scan, reading: &Reading) -> Verdict {
    match reading.outcome {
        Outcome::Read if scan.legal && reading.net == Some(scan.state) => Verdict::Right,
        Outcome::Read => Verdict::Wrong,
        Outcome::Impossible if scan.legal => Verdict::Wrong,
        Outcome::Impossible => Verdict::Right,
        Outcome::Unsure => Verdict::Unsure,
        Outcome::Incomplete => Verdict::Asked,
    }
}

/// The rows that a scan belongs to.
pub fn rows(scan: &Scan) -> Vec<String> {
    let traits = scan.traits.iter();
    let traits = traits.map(|(name, value)| format!("{name}: {value}"));
    std::iter::once("all".to_owned()).chain(traits).collect()
}

/// Right, unsure, wrong and asked by row, and how long each reading took.
#[derive(Default)]
pub struct Column {
    rows: BTreeMap<String, [usize; 4]>,
    pub times: Vec<Duration>,
}

impl Column {
    pub fn count(&mut self, rows: &[String], verdict: Verdict) {
        for row in rows {
            self.rows.entry(row.clone()).or_default()[verdict as usize] += 1;
        }
    }

    /// The names of its rows.
    pub fn rows(&self) -> Vec<String> {
        self.rows.keys().cloned().collect()
    }

    /// Right/unsure/wrong/asked of a row.
    pub fn cell(&self, row: &str) -> String {
        let counts = self.rows.get(row).copied().unwrap_or_default();
        counts.map(|n| n.to_string()).join("/")
    }

    /// Median and longest time, milliseconds.
    pub fn time(&self) -> String {
        let mut times: Vec<u128> = self.times.iter().map(Duration::as_millis).collect();
        times.sort();
        format!("{}, {}", times[times.len() / 2], times[times.len() - 1])
    }
}

/// Prints a column for each of [`PRESENTATIONS`] with a profile, then for each without.
pub fn print(columns: &[Column]) {
    let line = |name: &str, cells: Vec<String>| {
        let cells: String = cells.iter().map(|cell| format!("{cell:>15}")).collect();
        println!("{name:<32}{cells}");
    };
    println!(
        "{:<32}{:>30}{:>60}",
        "", "with a profile", "without a profile"
    );
    let names = PRESENTATIONS.iter().chain(&PRESENTATIONS);
    line(
        "right/unsure/wrong/asked",
        names.map(|(_, name)| (*name).to_owned()).collect(),
    );
    for row in columns[0].rows() {
        line(
            &row,
            columns.iter().map(|column| column.cell(&row)).collect(),
        );
    }
    line(
        "ms, median and longest",
        columns.iter().map(Column::time).collect(),
    );
}

#[test]
fn nothing_is_read_wrong() {
    let setups = load_carried();
    let mut wrong = Vec::new();
    let mut columns = Vec::new();
    for calibrated in [true, false] {
        for (presentation, name) in PRESENTATIONS {
            let mut column = Column::default();
            let scans = setups
                .iter()
                .flat_map(|s| s.scans.iter().map(move |c| (s, c)));
            for (number, (setup, scan)) in scans.enumerate() {
                // Drawn for each scan anew, so that one that is seen otherwise than before leaves the others as they were.
                let mut rng = ChaCha8Rng::seed_from_u64(11);
                rng.set_stream(number as u64);
                let mut told = |looks: Vec<Look>, rows: &[String]| {
                    let start = Instant::now();
                    let reading = read(setup, calibrated, None, looks.into_iter());
                    column.times.push(start.elapsed());
                    let verdict = verdict(scan, &reading);
                    column.count(rows, verdict);
                    if !reading.missing.is_empty() {
                        column.count(&["shown: not all faces".into()], verdict);
                    }
                    let line = format!(
                        "{verdict:?}: {}, {name}, profile {calibrated}, {rows:?}: margin {:.1}. {}",
                        scan.name, reading.margin, reading.say
                    );
                    if verdict != Verdict::Right && presentation != Presentation::Mixture {
                        println!("{line}");
                    }
                    if verdict == Verdict::Wrong {
                        wrong.push(line);
                    }
                    reading
                };
                let rows = rows(scan);
                let reading = told(presentation.of(&scan.looks, &mut rng), &rows);
                if reading.outcome != Outcome::Read && reading.outcome != Outcome::Impossible {
                    let ask = reading.ask.expect("who is not sure asks for more");
                    assert!(!ask.show.is_empty(), "{}: {}", scan.name, ask.say);
                }
                for (overlay, lay) in OVERLAYS {
                    let mut rng = ChaCha8Rng::seed_from_u64(12);
                    rng.set_stream(number as u64);
                    let looks = presentation.of(&scan.looks, &mut rng).into_iter();
                    let looks = looks.map(|look| lay(look, &mut rng)).collect();
                    told(looks, &[format!("simulated: {overlay}")]);
                }
            }
            columns.push(column);
        }
    }
    print(&columns);
    assert!(wrong.is_empty(), "read wrong:\n{}", wrong.join("\n"));
}
