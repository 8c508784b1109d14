//! Whole readings of scans with truth: what a learner meets who shows six faces, two corners or all eight pictures, with the profile
//! of the setup's calibration and without one.

use std::collections::BTreeMap;
use std::fs::read_to_string;
use std::path::PathBuf;
use std::time::Instant;

use pairsight::cube::Net;
use pairsight::read::{FaceReading, Outcome, Reader, Reading, Work, explain};
use pairsight::sight::Look;

use super::harness::each::each;
use super::harness::outlines::judge;
use super::harness::shots::Face;
use super::readings::scans::{Scan, Setup, Spoil, Taking, load_taken, read};
use super::readings::table::{Presentation, Verdict, rows, verdict};
use super::table::Table;

#[derive(clap::Args)]
pub struct Args {
    /// Folders of scans with their truth.json
    #[arg(required = true)]
    folders: Vec<PathBuf>,
    /// Faces as the truth tells them, and not as they are found
    #[arg(long)]
    true_outlines: bool,
    /// Say whether pictures are mirrored, as a learner may
    #[arg(long)]
    told_mirrored: bool,
    /// Balance each picture anew, as cheap webcams do
    #[arg(long)]
    balances: bool,
    /// Blur the pictures of scans by a Gaussian of so much of a sticker's side
    #[arg(long, conflicts_with = "smeared")]
    blurred: Option<f32>,
    /// Smear them sideways by so much of a sticker's side
    #[arg(long)]
    smeared: Option<f32>,
    /// Name the readings that are not right, and what they lose to
    #[arg(long)]
    name: bool,
}

/// What is shown of a scan.
const SHOWN: [(Presentation, &str); 3] = [
    (Presentation::SixFaces, "six faces"),
    (Presentation::TwoCorners, "two corners"),
    (Presentation::AllEight, "all eight"),
];

const COLUMNS: [&str; 11] = [
    "condition",
    "scans",
    "faces found",
    "whole corners",
    "false",
    "six faces, profile",
    "two corners, profile",
    "all eight, profile",
    "six faces",
    "two corners",
    "all eight",
];

/// Columns of readings.
const READINGS: usize = 2 * SHOWN.len();

/// Doubts that rows are made of.
const DOUBTS: [f32; 7] = [0.0, 0.02, 0.05, 0.1, 0.2, 0.5, 1.01];

/// What was counted under one condition.
#[derive(Default)]
struct Row {
    scans: usize,
    /// Faces found of those that the pictures are about, and faces found where none is.
    found: [usize; 2],
    corners: [usize; 2],
    wrong: usize,
    /// By column: right, unsure, wrong, asked.
    readings: [[usize; 4]; READINGS],
}

/// A reading's worth, and how it went.
struct Told {
    verdict: Verdict,
    milliseconds: f64,
    line: String,
}

/// What became of a scan.
struct Counted {
    seen: Row,
    told: Vec<Told>,
    /// By column: the doubt of each sticker that was told, and whether it is right.
    doubts: [Vec<(f32, bool)>; READINGS],
    /// The same of single pictures, with a profile and without.
    single: [Vec<(f32, bool)>; 2],
}

pub fn measure(args: &Args) -> Table {
    let mut table = Table::new(
        "reading",
        "Whole readings of scans, right/unsure/wrong (unsure includes what was not seen and is asked for), by what is shown, with the \
         profile of the setup's calibration pictures and without. Rows `doubt` have of the stickers that were told, by their doubt: \
         how many, how many were wrong, and how many should be; those of readings that are told, and of single pictures. Row \
         `milliseconds`: median and longest of a reading, less finding.",
        &COLUMNS,
    );
    let taking = Taking {
        finds: !args.true_outlines,
        balances: args.balances,
        spoil: (args.blurred.map(Spoil::Blurred)).or(args.smeared.map(Spoil::Smeared)),
    };
    let mut rows: BTreeMap<(usize, String), Row> = BTreeMap::new();
    let mut times: [Vec<f64>; READINGS] = Default::default();
    let mut doubts: [Vec<(f32, bool)>; READINGS] = Default::default();
    let mut single: [Vec<(f32, bool)>; 2] = Default::default();
    for folder in &args.folders {
        let set = folder.file_name().unwrap_or_default().to_string_lossy();
        let setups = load_taken(folder, taking);
        let scans: Vec<(&Setup, &Scan)> = setups
            .iter()
            .flat_map(|setup| setup.scans.iter().map(move |scan| (setup, scan)))
            .collect();
        let counted = each(
            scans.len() as u64,
            || (),
            |(), n| count(args, scans[n as usize].0, scans[n as usize].1),
        );
        for ((_, scan), counted) in scans.iter().zip(counted) {
            for (column, told) in counted.told.iter().enumerate() {
                times[column].push(told.milliseconds);
                if args.name && told.verdict != Verdict::Right || told.verdict == Verdict::Wrong {
                    println!("{}", told.line);
                }
            }
            for row in conditions(scan) {
                let first = usize::from(!row.starts_with("all"));
                rows.entry((first, format!("{set}: {row}")))
                    .or_default()
                    .add(&counted);
            }
            for (all, own) in doubts.iter_mut().zip(counted.doubts) {
                all.extend(own);
            }
            for (all, own) in single.iter_mut().zip(counted.single) {
                all.extend(own);
            }
        }
    }
    for ((_, name), row) in rows {
        table.row(row.cells(name));
    }
    reliability(&mut table, "read", &doubts.each_ref().map(Vec::as_slice));
    let [own, general] = single.each_ref().map(Vec::as_slice);
    reliability(
        &mut table,
        "one picture",
        &[&[], &[], own, &[], &[], general],
    );
    let mut cells = COLUMNS.map(|_| String::from("-"));
    cells[0] = "milliseconds".into();
    for (cell, times) in cells[COLUMNS.len() - READINGS..].iter_mut().zip(&mut times) {
        times.sort_by(f64::total_cmp);
        let (median, last) = (times[times.len() / 2], times[times.len() - 1]);
        *cell = format!("{median:.0}, {last:.0}");
    }
    table.row(cells);
    table
}

/// The rows that a scan counts in.
fn conditions(scan: &Scan) -> Vec<String> {
    let mut conditions = rows(scan);
    if !scan.is_mirrored {
        conditions.push("all that are not mirrored".into());
    }
    conditions
}

fn count(args: &Args, setup: &Setup, scan: &Scan) -> Counted {
    let mut counted = Counted {
        seen: seen(scan),
        told: Vec::new(),
        doubts: Default::default(),
        single: Default::default(),
    };
    let mirrored = args.told_mirrored.then_some(scan.is_mirrored);
    for (with, calibrated) in [(0, true), (1, false)] {
        for (shown, (presentation, name)) in SHOWN.into_iter().enumerate() {
            let column = with * SHOWN.len() + shown;
            let chosen: Vec<usize> = (0..scan.looks.len())
                .filter(|&i| presentation.shows(&scan.looks[i].0))
                .collect();
            let looks = || chosen.iter().map(|&i| scan.looks[i].1.clone());
            let (reading, milliseconds) = timed(|| read(setup, calibrated, mirrored, looks()));
            let verdict = verdict(scan, &reading);
            counted.told.push(Told {
                verdict,
                milliseconds,
                line: format!(
                    "{verdict:?}: {}, {name}, profile {calibrated}, {:?}: margin {:.1}, {milliseconds:.0} ms, like the profile {:?}. {}",
                    scan.name,
                    scan.traits.iter().filter(|t| t.0 == "condition").map(|t| &t.1).collect::<Vec<_>>(),
                    reading.margin,
                    reading.light.map(|light| (light.like_profile, light.distance.round())),
                    reading.say
                ),
            });
            if reading.outcome == Outcome::Read {
                counted.doubts[column] = doubts(scan, &chosen, &reading);
            } else if args.name {
                counted.told[column].line += &rivals(setup, calibrated, mirrored, looks());
            }
        }
        for i in 0..scan.looks.len() {
            let alone = read(
                setup,
                calibrated,
                mirrored,
                [scan.looks[i].1.clone()].into_iter(),
            );
            counted.single[with].extend(doubts(scan, &[i], &alone));
        }
    }
    counted
}

/// What a reading that is not told loses to: how far the rivals are behind, and in what they are others.
fn rivals(
    setup: &Setup,
    calibrated: bool,
    mirrored: Option<bool>,
    looks: impl Iterator<Item = Look>,
) -> String {
    let looks: Vec<Look> = looks.collect();
    let mut reader = Reader::new(setup.profile.as_ref().filter(|_| calibrated));
    reader.take_mirrored(mirrored);
    let explained = explain(reader.judge(), &looks, &Work::new());
    let Some((best, others)) = explained.explanations.split_first() else {
        return String::new();
    };
    let behind = others.iter().take(3).map(|other| {
        let colours = [best, other].map(|e| e.state.colours());
        let cells = (0..54).filter(|&cell| colours[0][cell] != colours[1][cell]);
        let (own, frame) = (&best.association.frame, &other.association.frame);
        format!(
            " {:.1} (legal {}, {} cells, scheme {}, mirrored {}, exchanged {:?})",
            best.score - other.score,
            other.flaw.none(),
            cells.count(),
            if own.scheme == frame.scheme {
                "same"
            } else {
                "another"
            },
            frame.mirrored,
            frame.exchanged(),
        )
    });
    format!(
        " Behind by{}; unsearched {:.1}; the best is legal {}",
        behind.collect::<String>(),
        explained.searched,
        best.flaw.none()
    )
}

/// Faces found and missed.
fn seen(scan: &Scan) -> Row {
    let mut row = Row {
        scans: 1,
        ..Row::default()
    };
    for ((file, look), truth) in scan.looks.iter().zip(&scan.truths) {
        let judged = judge(look, truth);
        let main = || {
            let faces = truth.iter().zip(&judged.found);
            faces
                .filter(|(face, _)| face.is_main)
                .map(|(_, found)| found)
        };
        row.found[0] += main().flatten().count();
        row.found[1] += main().count();
        if Presentation::TwoCorners.shows(file) {
            row.corners[0] += usize::from(main().all(Option::is_some));
            row.corners[1] += 1;
        }
        row.wrong += judged.wrong();
    }
    row
}

/// Of each sticker that is told, its doubt, and whether it is right.
fn doubts(scan: &Scan, chosen: &[usize], reading: &Reading) -> Vec<(f32, bool)> {
    let mut doubts = Vec::new();
    for (&i, told) in chosen.iter().zip(&reading.looks) {
        let look: &Look = &scan.looks[i].1;
        let judged = judge(look, &scan.truths[i]);
        for (face, truth) in judged.pairs() {
            let of_face = |told: &&FaceReading| told.is_of(&look.faces[face]);
            if let Some(told) = told.faces.iter().find(of_face) {
                doubts.extend(stickers(told, &scan.truths[i][truth], &scan.state));
            }
        }
    }
    doubts
}

/// The stickers of a face that was told: the doubt of each, and whether it is right.
fn stickers(told: &FaceReading, truth: &Face, state: &Net) -> Vec<(f32, bool)> {
    let net = serde_json::to_value(state).unwrap_or_default();
    let letter = |row: usize, column: usize| {
        let rows = net[&truth.name].as_array()?;
        rows.get(row)?.as_str()?.chars().nth(column)
    };
    let apart = |turns: usize| -> f64 {
        let corners = told.outline.iter().enumerate();
        let apart = |(i, p): (usize, &[f32; 2])| {
            let q = truth.corners[(i + turns) % 4];
            (f64::from(p[0]) - q[0]).hypot(f64::from(p[1]) - q[1])
        };
        corners.map(apart).sum()
    };
    let turns = (0..4)
        .min_by(|&a, &b| apart(a).total_cmp(&apart(b)))
        .unwrap_or(0);
    let mut stickers = Vec::new();
    for row in 0..3 {
        for column in 0..3 {
            let (r, c) = (0..turns).fold((row, column), |(r, c), _| (c, 2 - r));
            let right = told.stickers[row].chars().nth(column) == letter(r, c);
            stickers.push((told.doubt[row][column], right));
        }
    }
    stickers
}

impl Row {
    fn add(&mut self, counted: &Counted) {
        let seen = &counted.seen;
        self.scans += seen.scans;
        for k in 0..2 {
            self.found[k] += seen.found[k];
            self.corners[k] += seen.corners[k];
        }
        self.wrong += seen.wrong;
        for (column, told) in self.readings.iter_mut().zip(&counted.told) {
            column[told.verdict as usize] += 1;
        }
    }

    fn cells(self, name: String) -> [String; COLUMNS.len()] {
        let share = |[part, of]: [usize; 2]| match of {
            0 => "-".to_owned(),
            _ => format!("{:.1} % of {of}", 100.0 * part as f64 / of as f64),
        };
        let mut cells = COLUMNS.map(|_| String::new());
        cells[0] = name;
        cells[1] = self.scans.to_string();
        cells[2] = share(self.found);
        cells[3] = share(self.corners);
        cells[4] = self.wrong.to_string();
        for (cell, [right, unsure, wrong, asked]) in cells[COLUMNS.len() - READINGS..]
            .iter_mut()
            .zip(self.readings)
        {
            *cell = format!("{right}/{}/{wrong}", unsure + asked);
        }
        cells
    }
}

/// Rows of how many stickers of a doubt are wrong.
fn reliability(table: &mut Table, of: &str, columns: &[&[(f32, bool)]; READINGS]) {
    for bin in DOUBTS.windows(2) {
        let mut cells = COLUMNS.map(|_| String::from("-"));
        cells[0] = format!("doubt {} to {}, {of}", bin[0], bin[1].min(1.0));
        for (cell, doubts) in cells[COLUMNS.len() - READINGS..].iter_mut().zip(columns) {
            let own = || {
                doubts
                    .iter()
                    .filter(|(doubt, _)| (bin[0]..bin[1]).contains(doubt))
            };
            let wrong = own().filter(|(_, right)| !right).count();
            let meant: f32 = own().map(|(doubt, _)| doubt).sum();
            if own().count() > 0 {
                *cell = format!("{}, {wrong} of {meant:.1}", own().count());
            }
        }
        table.row(cells);
    }
}

/// What something gives, and the milliseconds that a processor worked on it.
fn timed<T>(work: impl FnOnce() -> T) -> (T, f64) {
    let (start, worked) = (Instant::now(), worked());
    let made = work();
    let wall = start.elapsed().as_secs_f64() * 1e3;
    let after = self::worked();
    (made, worked.zip(after).map_or(wall, |(from, to)| to - from))
}

/// Milliseconds that processors have worked on this thread, where the system tells it (Linux's schedstat, in nanoseconds).
fn worked() -> Option<f64> {
    let text = read_to_string("/proc/thread-self/schedstat").ok()?;
    Some(text.split_whitespace().next()?.parse::<f64>().ok()? / 1e6)
}
