//! Films of hands that turn a cube in view, drawn with their truth (`src/sight/training/films.py`): what the whole path from the frame to
//! the words makes of them.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use pairsight::camera::{Feed, FrameSource, Pace, open_frames};
use pairsight::cube::{Amount, Colour, Cube, Hold, Net, Turn};
use pairsight::live::{Event, Kind, Seen, Session, Timed, Watch};
use pairsight::read::Reader;
use serde::Deserialize;

use super::process;
use super::table::Table;
use crate::harness::each::each;

#[derive(clap::Args)]
pub struct Args {
    /// The folder of films
    folder: PathBuf,
    /// Only films whose names begin so
    #[arg(long, default_value = "")]
    film: String,
    /// One frame in so many
    #[arg(long, default_value_t = 1)]
    one_in: usize,
    /// Print all that is told, and each turn that is not
    #[arg(long)]
    told: bool,
}

/// Something that hands do, seconds of the film.
#[derive(Deserialize)]
struct Span {
    began: f64,
    ended: f64,
}

#[derive(Deserialize)]
struct Made {
    began: f64,
    ended: f64,
    layer: Colour,
    quarters: usize,
    slip: bool,
}

#[derive(Deserialize)]
struct State {
    t: f64,
    net: Net,
}

/// What is true of a film.
#[derive(Deserialize)]
struct Truth {
    kind: String,
    fps: f64,
    /// When the cube has been shown and is held as the hint has it.
    begins: f64,
    turns: Vec<Made>,
    rests: Vec<Span>,
    part_way: Vec<Span>,
    states: Vec<State>,
    frames: Vec<serde_json::Value>,
}

/// What came of a film, or of all of a kind.
#[derive(Clone, Debug, Default)]
struct Came {
    films: usize,
    frames: usize,
    read: usize,
    turns: usize,
    /// From the end of each turn that was told to its tick, seconds.
    delays: Vec<f64>,
    /// Turns that were told by the end of the next rest.
    by_rest: usize,
    slips: usize,
    named: usize,
    in_passing: usize,
    wrong: usize,
    climbed: usize,
    /// Whole-cube turns told and not made.
    turned_whole: usize,
    rotations: usize,
    rotations_told: usize,
    /// Requests and troubles told while a layer was part way, and all of them after the cube was read.
    part_way: usize,
    asked: usize,
    /// States other than the one that was meant, at the end.
    lost: usize,
}

/// Longest that what is told of a state may come after it, seconds.
const OUTLIVED: f64 = 2.0;

/// A turn's last part may look done, seconds.
const EARLY: f64 = 0.12;

/// Seconds from what shows a slip within which it is to be named.
const NAMED: f64 = 1.0;

/// Frames come one in so many.
struct Thinned<'a>(&'a mut dyn FrameSource, usize);

impl FrameSource for Thinned<'_> {
    fn next(&mut self, wait: Duration) -> Feed {
        for _ in 1..self.1 {
            match self.0.next(wait) {
                Feed::Frame(_) => {}
                other => return other,
            }
        }
        self.0.next(wait)
    }
}

impl Truth {
    /// The states that the cube is in, each from when on; whole-cube turns make no other.
    fn states(&self) -> Vec<(f64, Cube)> {
        let mut states: Vec<(f64, Cube)> = Vec::new();
        for state in &self.states {
            let cube = state.net.to_cube().expect("a film's states are legal");
            if states.last().is_none_or(|(_, last)| *last != cube) {
                states.push((state.t, cube));
            }
        }
        states
    }

    /// The holds that the cube is in, each from when until when.
    fn holds(&self) -> Vec<(f64, f64, Hold)> {
        let mut holds: Vec<(f64, f64, Hold)> = Vec::new();
        for state in &self.states {
            let hold = state.net.hold().expect("a cube of the usual scheme");
            match holds.last_mut() {
                Some((_, _, last)) if *last == hold => {}
                last => {
                    if let Some((_, to, _)) = last {
                        *to = state.t;
                    }
                    holds.push((state.t, f64::INFINITY, hold));
                }
            }
        }
        holds
    }

    /// Half way of each half turn: from when, until when, and which state that is.
    fn half_ways(&self, states: &[(f64, Cube)]) -> Vec<(f64, f64, Cube)> {
        let halves = self.turns.iter().filter(|turn| turn.quarters == 2);
        let mut all = Vec::new();
        for half in halves {
            let before = states.iter().rev().find(|(t, _)| *t < half.ended - 1e-6);
            for amount in [Amount::Quarter, Amount::Counter] {
                let turn = Turn::new(half.layer.home_face(), amount);
                let half_way =
                    before.map(|(_, cube)| (half.began, half.ended + 0.5, cube.apply(turn)));
                all.extend(half_way);
            }
        }
        all
    }
}

fn cube_of(event: &Event) -> Option<Cube> {
    match event {
        Event::Read { net, .. }
        | Event::Turn { net, .. }
        | Event::Followed { net, .. }
        | Event::Slip { net, .. } => net.to_cube().ok(),
        _ => None,
    }
}

/// All that is told of a film.
fn play(film: &Path, truth: &Truth, rung: u8, one_in: usize) -> Vec<Timed> {
    let mut source = open_frames(film, truth.fps, Pace::AsFast).expect("the film opens");
    let mut source = Thinned(source.as_mut(), one_in);
    let mut session = Session::new(Reader::new(None), None).on_rung(rung);
    let mut watch = Watch::new(&mut source);
    let mut told = Vec::new();
    while let Some(moment) = watch.next(&mut session, false) {
        told.extend(moment.events);
    }
    told
}

fn judge(name: &str, truth: &Truth, rung: u8, told: &[Timed], is_noted: bool) -> Came {
    let states = truth.states();
    let half_ways = truth.half_ways(&states);
    let read = told
        .iter()
        .find(|timed| matches!(timed.event, Event::Read { .. }));
    let is_read = read.is_some_and(|timed| timed.t < truth.begins + 0.3);
    let mut came = Came {
        films: 1,
        frames: truth.frames.len(),
        read: usize::from(is_read),
        ..Came::default()
    };
    let until = |at: usize| states.get(at + 1).map_or(f64::INFINITY, |(t, _)| *t);
    let mut ticked: Vec<Option<f64>> = vec![None; states.len()];
    let holds = truth.holds();
    let mut followed = vec![false; holds.len()];
    let mut at = 0;
    for timed in told {
        let t = timed.t;
        let note = |what: &str| eprintln!("{name} {t}: {what}: {:?}", timed.event);
        match &timed.event {
            Event::Hint { level, .. } if *level > rung => {
                came.climbed += 1;
                note("climbed");
            }
            Event::Ask { .. } | Event::Trouble { .. } if t > truth.begins => {
                came.asked += 1;
                let is_part_way = |span: &Span| span.began <= t && t < span.ended + 0.2;
                came.part_way += usize::from(truth.part_way.iter().any(is_part_way));
                if matches!(
                    timed.event,
                    Event::Trouble {
                        kind: Kind::Seen(Seen::Mirrored | Seen::ImpossibleCube),
                        ..
                    }
                ) {
                    came.wrong += 1;
                    note("wrong");
                }
            }
            Event::Rotated { hold } => match holds.iter().position(|(from, to, was)| {
                was.down() == hold.down
                    && was.front() == hold.front
                    && (from - EARLY..to + OUTLIVED).contains(&t)
            }) {
                Some(at) => followed[at] = true,
                None => {
                    came.turned_whole += 1;
                    note("not held so");
                }
            },
            Event::Slip { .. } if !truth.turns.iter().any(|turn| turn.slip && turn.began < t) => {
                came.wrong += 1;
                note("no slip");
            }
            _ => {}
        }
        let Some(cube) = cube_of(&timed.event) else {
            continue;
        };
        let is = |k: &usize| states[*k].1 == cube;
        if let Some(now) = (at + 1..states.len()).find(|k| is(k) && states[*k].0 <= t + EARLY) {
            ticked[at + 1..=now].fill(Some(t));
            at = now;
        } else if !(0..=at).any(|k| is(&k) && t < until(k) + OUTLIVED) {
            if half_ways
                .iter()
                .any(|(from, to, half_way)| (*from..*to).contains(&t) && *half_way == cube)
            {
                came.in_passing += 1;
            } else {
                came.wrong += 1;
                note("wrong");
            }
        }
    }
    if !is_read {
        return came;
    }
    let after = holds
        .iter()
        .zip(&followed)
        .skip(1)
        .filter(|((from, to, _), _)| *from > truth.begins && to - from > 0.4);
    let after: Vec<bool> = after.map(|(_, followed)| *followed).collect();
    came.rotations = after.len();
    came.rotations_told = after.iter().filter(|followed| **followed).count();
    came.lost = usize::from(at + 1 != states.len());
    came.turns = truth.turns.len();
    for turn in &truth.turns {
        let state = states
            .iter()
            .position(|(t, _)| (*t - turn.ended).abs() < 2e-3);
        let tick = state.and_then(|state| ticked[state]);
        let rest = truth
            .rests
            .iter()
            .find(|rest| rest.began > turn.ended - 2e-3 && rest.ended - rest.began >= 0.2);
        came.delays.extend(tick.map(|t| t - turn.ended));
        came.by_rest +=
            usize::from(tick.is_some_and(|t| rest.is_none_or(|rest| t <= rest.ended + 0.05)));
        if is_noted {
            eprintln!(
                "{name}: {} by {} quarters, done at {:.2}: {tick:?}",
                turn.layer.name(),
                turn.quarters,
                turn.ended
            );
        }
        if turn.slip {
            came.slips += 1;
            let window = turn.ended - EARLY..turn.ended + NAMED;
            let names = |timed: &Timed| {
                matches!(timed.event, Event::Slip { .. }) && window.contains(&timed.t)
            };
            came.named += usize::from(told.iter().any(names));
        }
    }
    came
}

/// The films of a folder, by name.
fn films(args: &Args) -> Vec<(String, PathBuf, Truth)> {
    let folder = fs::read_dir(&args.folder).expect("the folder of films");
    let mut paths: Vec<PathBuf> = folder.map(|entry| entry.expect("a file").path()).collect();
    paths.sort();
    paths
        .into_iter()
        .filter(|path| path.extension().is_some_and(|it| it == "json"))
        .map(|path| {
            let name = path
                .file_stem()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned();
            let text = fs::read_to_string(&path).expect("the film's truth");
            let truth: Truth =
                serde_json::from_str(&text).unwrap_or_else(|e| panic!("{name}: {e}"));
            (name, path.with_extension("mjpeg"), truth)
        })
        .filter(|(name, ..)| name.starts_with(&args.film))
        .collect()
}

/// The rung that hints start on: the top one, where turns are told, but where rungs may be climbed by accident.
fn rung(kind: &str) -> u8 {
    match kind {
        "idle" | "another" => 1,
        _ => 4,
    }
}

fn added(all: &[Came]) -> Came {
    let mut sum = Came::default();
    for came in all {
        sum.films += came.films;
        sum.frames += came.frames;
        sum.read += came.read;
        sum.turns += came.turns;
        sum.delays.extend(&came.delays);
        sum.by_rest += came.by_rest;
        sum.slips += came.slips;
        sum.named += came.named;
        sum.in_passing += came.in_passing;
        sum.wrong += came.wrong;
        sum.climbed += came.climbed;
        sum.turned_whole += came.turned_whole;
        sum.rotations += came.rotations;
        sum.rotations_told += came.rotations_told;
        sum.part_way += came.part_way;
        sum.asked += came.asked;
        sum.lost += came.lost;
    }
    sum.delays.sort_by(f64::total_cmp);
    sum
}

/// The delay within which so large a share of all turns was told, seconds.
fn quantile(came: &Came, share: f64) -> String {
    let at = (share * came.turns as f64).ceil() as usize;
    match came.delays.get(at.saturating_sub(1)) {
        Some(delay) => format!("{delay:.2}"),
        None => "-".into(),
    }
}

pub fn measure(args: &Args) -> Table {
    let films = films(args);
    let before = process::worked_in_all();
    let all = each(
        films.len() as u64,
        || (),
        |(), number| {
            let (name, path, truth) = &films[number as usize];
            let rung = rung(&truth.kind);
            let told = play(path, truth, rung, args.one_in.max(1));
            if args.told {
                let lines: Vec<String> = told
                    .iter()
                    .map(|timed| format!("{name}: {timed:?}"))
                    .collect();
                eprintln!("{}", lines.join("\n"));
            }
            judge(name, truth, rung, &told, args.told)
        },
    );
    let worked = process::worked_in_all()
        .zip(before)
        .map(|(now, before)| now - before);
    let frames: usize = all
        .iter()
        .map(|came| came.frames / args.one_in.max(1))
        .sum();
    let cost = worked.map_or("-".into(), |ms| format!("{:.0}", ms / frames.max(1) as f64));
    let mut table = Table::new(
        "films",
        format!(
            "Drawn films of hands that turn a cube in view, played as `coach --frames` plays them, without a profile. Turns of films in which the cube was \
             read: told within 0.3 and 0.5 s of their end, by the end of the next rest of 0.2 s, at any time; then the delay (s) by which a half, \
             three quarters and nine tenths of all turns were told. Slips named within {NAMED} s. Half ways of half turns told in passing. Wrong: a \
             state that was not, a slip that was none, a false word on mirrors or faults. Rungs climbed unasked. Whole-cube turns, those of them told, and those told that were none. Asked: requests and troubles after \
             the cube was shown, of them while a layer was part way. Lost: the last state was never told. \
             All of it took {cost} ms of a processor a frame, decoding included.",
        ),
        &[
            "kind",
            "films",
            "read",
            "turns",
            "0.3 s",
            "0.5 s",
            "by rest",
            "told",
            "half",
            "3/4",
            "9/10",
            "slips",
            "named",
            "in passing",
            "wrong",
            "climbed",
            "whole",
            "of it",
            "false",
            "asked",
            "part way",
            "lost",
        ],
    );
    let mut kinds: Vec<&str> = films
        .iter()
        .map(|(_, _, truth)| truth.kind.as_str())
        .collect();
    kinds.sort_unstable();
    kinds.dedup();
    for kind in kinds.into_iter().chain(["all"]) {
        let of_kind: Vec<Came> = std::iter::zip(&films, &all)
            .filter(|((_, _, truth), _)| kind == "all" || truth.kind == kind)
            .map(|(_, came)| came.clone())
            .collect();
        let came = added(&of_kind);
        let by = |seconds: f64| {
            came.delays
                .iter()
                .filter(|delay| **delay <= seconds)
                .count()
        };
        table.row([
            kind.to_owned(),
            came.films.to_string(),
            came.read.to_string(),
            came.turns.to_string(),
            by(0.3).to_string(),
            by(0.5).to_string(),
            came.by_rest.to_string(),
            came.delays.len().to_string(),
            quantile(&came, 0.5),
            quantile(&came, 0.75),
            quantile(&came, 0.9),
            came.slips.to_string(),
            came.named.to_string(),
            came.in_passing.to_string(),
            came.wrong.to_string(),
            came.climbed.to_string(),
            came.rotations.to_string(),
            came.rotations_told.to_string(),
            came.turned_whole.to_string(),
            came.asked.to_string(),
            came.part_way.to_string(),
            came.lost.to_string(),
        ]);
    }
    table
}
