//! Faces found in a folder of scans, as a table.

use std::collections::BTreeMap;
use std::time::Instant;

use pairsight::sight::{Finder, Problem};

use super::judge::{judge, overlap, promise};
use super::shots::{list, shots};
use crate::harness::scan_folder::finish;

#[derive(Default)]
struct Row {
    found: usize,
    faces: usize,
    wrong: usize,
    overlaps: Vec<f64>,
    times: Vec<f64>,
    /// Faces found, and how many of them have each problem.
    told: usize,
    problems: BTreeMap<String, usize>,
}

impl Row {
    /// Share of the faces found that have a problem.
    fn share(&self, problem: Problem) -> f64 {
        let having = self.problems.get(&format!("{problem:?}"));
        having.copied().unwrap_or(0) as f64 / self.told.max(1) as f64
    }
}

fn part(values: &mut [f64], share: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    values
        .get(((values.len().max(1) - 1) as f64 * share) as usize)
        .copied()
        .unwrap_or(0.0)
}

#[test]
fn scans_are_found() {
    let mut finder = Finder::new();
    let mut rows: BTreeMap<String, Row> = BTreeMap::new();
    for pictured in shots() {
        let (path, shot) = (&pictured.path, &pictured.shot);
        let mut labels: Vec<String> = list(&pictured.scan["conditions"])
            .iter()
            .filter_map(|c| c.as_str().map(str::to_owned))
            .collect();
        labels.extend(pictured.scan["difficulty"].as_str().map(str::to_owned));
        labels.push(finish(&pictured.setup));
        labels.push("all".to_owned());
        let picture = image::open(path).expect("a picture").to_rgb8();
        let start = Instant::now();
        let look = finder.look(&picture);
        let time = start.elapsed().as_secs_f64() * 1e3;
        let faces = list(&shot["faces"]);
        let outlines = pictured.outlines();
        let (best, wrong) = judge(&look, &outlines);
        let main: Vec<f64> = faces
            .iter()
            .zip(best)
            .filter(|(face, _)| face["main"] == true)
            .map(|(_, best)| best)
            .collect();
        if wrong > 0 || main.iter().any(|&best| best <= 0.8) {
            println!("{}: overlaps {main:.2?}, {wrong} wrong", path.display());
        }
        let view = shot["view"].as_str().unwrap_or_default().to_owned();
        for label in labels.iter().chain([&view]) {
            let row = rows.entry(label.clone()).or_default();
            row.faces += main.len();
            row.found += main.iter().filter(|&&best| best > 0.8).count();
            row.wrong += wrong;
            row.overlaps.extend(&main);
            row.times.push(time);
        }
        for face in &look.faces {
            let found = face.outline().map(|p| [f64::from(p.x), f64::from(p.y)]);
            let truth = std::iter::zip(faces, &outlines)
                .find(|(_, outline)| overlap(&found, outline) > 0.8);
            let Some((truth, _)) = truth else { continue };
            let hidden = list(&truth["occluded"])
                .iter()
                .filter_map(|part| part["share"].as_f64())
                .fold(0.0, f64::max);
            let hand = match hidden {
                0.0 => Some("no hand on it"),
                share if share > 0.5 => Some("a hand on it"),
                _ => None,
            };
            let unsharp = shot["defocus"] == true || shot["motion_px"].is_number();
            let sharp = if unsharp { "unsharp" } else { "sharp" };
            let more = hand.into_iter().chain([sharp]).map(str::to_owned);
            for label in labels.iter().cloned().chain(more) {
                let row = rows.entry(label).or_default();
                row.told += 1;
                for problem in &face.problems {
                    *row.problems.entry(format!("{problem:?}")).or_default() += 1;
                }
            }
        }
    }
    println!(
        "{:14} {:>12} {:>7} {:>6} {:>8} {:>14}",
        "condition", "main faces", "found", "wrong", "overlap", "ms mid / 95 %"
    );
    for (label, row) in rows.iter_mut().filter(|(_, row)| row.faces > 0) {
        println!(
            "{label:14} {:>5} / {:>4} {:>6.1}% {:>6} {:>8.3} {:>6.1} / {:.1}",
            row.found,
            row.faces,
            100.0 * row.found as f64 / row.faces.max(1) as f64,
            row.wrong,
            part(&mut row.overlaps, 0.5),
            part(&mut row.times, 0.5),
            part(&mut row.times, 0.95)
        );
    }
    for (label, row) in rows.iter().filter(|(_, row)| row.told > 0) {
        println!(
            "{label:14} {:>4} faces, of which {:?}",
            row.told, row.problems
        );
    }
    assert_eq!(rows["all"].wrong, 0, "faces found where there are none");
    let share = |label: &str, problem| rows.get(label).map_or(0.0, |row| row.share(problem));
    assert_eq!(
        share("no hand on it", Problem::Hidden),
        0.0,
        "something is said to hide stickers where no hand does"
    );
    for (with, without, problem) in [
        ("unsharp", "easy", Problem::Blur),
        ("glare", "easy", Problem::Glare),
        ("a hand on it", "no hand on it", Problem::Hidden),
    ] {
        if rows.get(with).is_some_and(|row| row.told >= 8) {
            assert!(
                share(with, problem) > 1.5 * share(without, problem),
                "{problem:?} is told as often of '{without}' as of '{with}'"
            );
        }
    }
    for label in ["easy", "normal", "hard"] {
        if let Some(row) = rows.get(label) {
            promise(label, row.found, row.faces);
        }
    }
}
