//! Reading scans with truth: right, unsure and wrong, by condition and difficulty, from the true outlines or with
//! `PAIRSIGHT_FIND=1` as the finder sees them. `PAIRSIGHT_SCANS` names another folder than the pictures carried here.
//! `cargo test --release --test reading tables -- --nocapture` prints the tables.

use super::scans::{self, Scan, Setup};
use pairsight::cube::{Colour, Cube, FaultKind, Turn};
use pairsight::read::{Outcome, Reader, Reading};
use pairsight::sight::{Finder, Look};
use std::collections::BTreeMap;
use std::time::{Duration, Instant};

#[derive(Clone, Copy, Debug, PartialEq)]
enum Verdict {
    Right,
    Unsure,
    Wrong,
}

#[derive(Default)]
struct Count {
    right: usize,
    unsure: usize,
    wrong: usize,
}

/// Whether a picture of this file name is shown.
type IsShown = fn(&str) -> bool;

/// Which pictures of a scan are shown.
const SHOWN: [(&str, IsShown); 3] = [
    ("six faces", |file| !file.starts_with('c')),
    ("two corners", |file| file.starts_with('c')),
    ("all eight", |_| true),
];

fn verdict(scan: &Scan, reading: &Reading) -> Verdict {
    match reading.outcome {
        Outcome::Read if scan.legal && reading.net == Some(scan.state) => Verdict::Right,
        Outcome::Read => Verdict::Wrong,
        Outcome::Impossible if scan.legal => Verdict::Wrong,
        Outcome::Impossible => Verdict::Right,
        Outcome::Incomplete | Outcome::Unsure => Verdict::Unsure,
    }
}

fn read(setup: &Setup, calibrated: bool, looks: impl Iterator<Item = Look>) -> Reading {
    let mut reader = Reader::new(calibrated.then_some(&setup.profile));
    looks.for_each(|look| reader.add(look));
    reader.read()
}

fn load() -> Vec<Setup> {
    let root = scans::folder();
    if std::env::var_os("PAIRSIGHT_FIND").is_some() {
        let mut finder = Finder::new();
        scans::load(&root, &mut |image, _| finder.look(image))
    } else {
        scans::load(&root, &mut |image, picture| {
            scans::true_look(image, picture)
        })
    }
}

#[test]
fn nothing_is_read_wrong() {
    let setups = load();
    let mut wrong = Vec::new();
    for calibrated in [true, false] {
        let with = if calibrated {
            "with a profile"
        } else {
            "without a profile"
        };
        for (shown, shows) in SHOWN {
            let mut table: BTreeMap<String, Count> = BTreeMap::new();
            let mut times = Vec::new();
            for setup in &setups {
                for scan in &setup.scans {
                    let looks = scan.looks.iter().filter(|(file, _)| shows(file));
                    let start = Instant::now();
                    let reading = read(setup, calibrated, looks.map(|(_, look)| look.clone()));
                    times.push(start.elapsed());
                    let verdict = verdict(scan, &reading);
                    let rows = scan
                        .conditions
                        .iter()
                        .cloned()
                        .chain([format!("({})", scan.difficulty)]);
                    for row in rows.chain(["(all)".into()]) {
                        let count = table.entry(row).or_default();
                        match verdict {
                            Verdict::Right => count.right += 1,
                            Verdict::Unsure => count.unsure += 1,
                            Verdict::Wrong => count.wrong += 1,
                        }
                    }
                    if verdict != Verdict::Right {
                        let line = format!(
                            "{verdict:?}: {} {with} from {shown} ({}, {:?}), margin {:.1}: {}",
                            scan.name,
                            scan.difficulty,
                            scan.conditions,
                            reading.margin,
                            reading.say
                        );
                        println!("{line}");
                        if verdict == Verdict::Wrong {
                            wrong.push(line);
                        }
                    }
                }
            }
            times.sort();
            let [median, most] =
                [times[times.len() / 2], times[times.len() - 1]].map(|t: Duration| t.as_millis());
            println!("\n{shown} {with}: {median} ms median, {most} ms worst");
            println!("{:<14}{:>6}{:>8}{:>7}", "", "right", "unsure", "wrong");
            for (
                row,
                Count {
                    right,
                    unsure,
                    wrong,
                },
            ) in table
            {
                println!("{row:<14}{right:>6}{unsure:>8}{wrong:>7}");
            }
            println!();
        }
    }
    assert!(wrong.is_empty(), "read wrong:\n{}", wrong.join("\n"));
}

#[test]
fn looks_at_two_cubes_are_never_read_as_one() {
    let setups = load();
    let (mut named, mut unsure) = (0, 0);
    for setup in &setups {
        for pair in setup
            .scans
            .windows(2)
            .filter(|pair| pair[0].state != pair[1].state)
        {
            let corners = |scan: &Scan, i: usize| {
                scan.looks
                    .iter()
                    .filter(|(file, _)| file.starts_with('c'))
                    .nth(i)
                    .map(|(_, look)| look.clone())
            };
            let faces = pair[0]
                .looks
                .iter()
                .filter(|(file, _)| !file.starts_with('c'));
            let first = faces
                .map(|(_, look)| look.clone())
                .chain(corners(&pair[0], 0));
            let then = [corners(&pair[1], 0), corners(&pair[1], 1)]
                .into_iter()
                .flatten();
            let reading = read(setup, true, first.chain(then));
            assert_ne!(
                reading.outcome,
                Outcome::Read,
                "{} and {}",
                pair[0].name,
                pair[1].name
            );
            match reading.outcome {
                Outcome::Impossible => named += 1,
                _ => unsure += 1,
            }
        }
    }
    println!("two cubes: {named} named, {unsure} unsure, 0 read");
}

#[test]
fn a_missing_face_is_asked_for_or_not_needed() {
    let setups = load();
    let (mut right, mut asked) = (0, 0);
    for setup in &setups {
        for scan in setup.scans.iter().filter(|scan| scan.legal) {
            for left_out in 0..6 {
                let faces = scan.looks.iter().filter(|(file, _)| !file.starts_with('c'));
                let looks = faces
                    .enumerate()
                    .filter(|(i, _)| *i != left_out)
                    .map(|(_, (_, look))| look.clone());
                let reading = read(setup, true, looks);
                match reading.outcome {
                    Outcome::Read => {
                        assert_eq!(
                            reading.net,
                            Some(scan.state),
                            "{} without face {left_out}",
                            scan.name
                        );
                        right += 1;
                    }
                    _ => {
                        let ask = reading
                            .ask
                            .expect("a reading that is not sure asks for more");
                        assert!(
                            !ask.show.is_empty()
                                && ask.show.iter().all(|c| Colour::ALL.contains(c))
                        );
                        asked += 1;
                    }
                }
            }
        }
    }
    println!("five faces: {right} right, {asked} asked for more, 0 wrong");
}

#[test]
fn a_corner_tells_which_of_the_likely_states_it_shows() {
    let setups = load();
    let (mut told, mut all) = (0, 0);
    for setup in &setups {
        let reader = Reader::new(Some(&setup.profile));
        for scan in setup.scans.iter().filter(|scan| scan.legal) {
            let truth = scan.state.to_cube().expect("a legal cube");
            let states: Vec<Cube> = [truth]
                .into_iter()
                .chain(Turn::ALL.map(|turn| truth.apply(turn)))
                .chain((0..20).map(Cube::random))
                .collect();
            for (file, look) in scan.looks.iter().filter(|(file, _)| file.starts_with('c')) {
                let scores = reader.score_candidates(&states, std::slice::from_ref(look));
                let Some(first) = scores.first() else {
                    continue;
                };
                let rival = scores[1..]
                    .iter()
                    .map(|s| s.log_likelihood)
                    .fold(f64::NEG_INFINITY, f64::max);
                assert!(
                    first.log_likelihood > rival - 4.0,
                    "{}/{file}: {first:?} against {rival}",
                    scan.name
                );
                all += 1;
                told += usize::from(first.log_likelihood > rival + 4.0 && first.contradictions < 2);
            }
        }
    }
    println!("likely states: {told} of {all} corners tell the right one");
}

#[test]
fn a_cube_turned_between_looks_is_noticed() {
    // Two scans of one cube stand in for its two states; the same corner is shown in both.
    let setups = load();
    let mut noticed = 0;
    for setup in &setups {
        for pair in setup
            .scans
            .windows(2)
            .filter(|pair| pair.iter().all(|s| s.legal))
        {
            let corners = |scan: &Scan| -> Vec<Look> {
                scan.looks
                    .iter()
                    .filter(|(file, _)| file.starts_with('c'))
                    .map(|(_, look)| look.clone())
                    .collect()
            };
            let looks = [corners(&pair[0]), corners(&pair[1])].concat();
            let reading = read(setup, true, looks.into_iter());
            assert_ne!(
                reading.outcome,
                Outcome::Read,
                "{} and {}",
                pair[0].name,
                pair[1].name
            );
            noticed += usize::from(
                reading
                    .faults
                    .iter()
                    .any(|f| f.kind == FaultKind::TurnedBetweenLooks),
            );
        }
    }
    println!("turned between looks: {noticed} named");
    assert!(noticed > 0);
}
