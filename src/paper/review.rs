//! One solve looked at again: its parts as bars, the slowest look with its picture, and the times over weeks.

use std::collections::BTreeMap;
use std::io::Cursor;

use base64::prelude::{BASE64_STANDARD, Engine};
use chrono::{DateTime, Datelike};
use image::RgbImage;
use image::imageops::{FilterType, resize};
use maud::{Markup, PreEscaped, html};

use super::document;
use crate::coach::words;
use crate::draw::{self, HeldCube, Stickers};
use crate::journal::Pace;

/// What is told of a solve.
#[derive(Clone, Debug)]
pub struct Solve<'a> {
    pub parts: &'a [Pace],
    pub slowest: Option<Slowest<'a>>,
    /// The one thing to practise, in a sentence.
    pub practise: Option<String>,
    /// The parts of all solves, oldest first.
    pub history: &'a [Pace],
}

/// The part with the slowest look.
#[derive(Clone, Debug)]
pub struct Slowest<'a> {
    pub pace: &'a Pace,
    /// As it is called in a sentence.
    pub name: String,
    /// What was seen when it began.
    pub picture: Option<&'a RgbImage>,
}

const STYLE: &str = "\
:root{color-scheme:light dark;--page:#fbf9f4;--ink:#20242c;--soft:#565d6b;--line:#b9b4a6;--look:#3f6fb5;--turn:#c98a12}\
@media(prefers-color-scheme:dark){:root{--page:#16181d;--ink:#ece9e1;--soft:#a9afbc;--line:#4c525e;--look:#7fa8e6;--turn:#e0ab45}}\
body{margin:0;background:var(--page);color:var(--ink);font:15px/1.45 system-ui,sans-serif}\
main{max-width:900px;margin:0 auto;padding:24px}svg{max-width:100%;height:auto}.look{fill:var(--look)}.turn{fill:var(--turn)}\
text{fill:var(--ink);font-size:12px}.axis{stroke:var(--line)}.soft{color:var(--soft)}img,.pic svg{max-width:320px;height:auto}\
polyline{fill:none;stroke-width:2}polyline.look{stroke:var(--look)}polyline.turn{stroke:var(--turn)}";

/// Width of a plot, and the room for labels at its left.
const WIDTH: f64 = 640.0;
const LEFT: f64 = 170.0;
/// Room for the words beside a bar, "twenty-seven turns" at most.
const LABEL: f64 = 120.0;
const BAR: f64 = 26.0;

/// Pixels of the picture's width.
const PICTURE: u32 = 320;

/// The whole page.
pub fn review(solve: &Solve) -> String {
    let content = html! {
        h1 { "One solve" }
        p { "Seconds of " b { "looking" } " " (key("look")) " and of " b { "turning" } " " (key("turn")) }
        (bars(solve.parts))
        @if let Some(slowest) = &solve.slowest {
            h2 { "The slowest look" }
            p { (format!("{:.1} s, in the {}.", slowest.pace.longest_look, slowest.name)) }
            div.pic {
                @if let Some(picture) = slowest.picture.and_then(inline) {
                    img alt="the cube then" src=(picture);
                }
                (drawn(slowest.pace))
            }
        }
        @if let Some(practise) = &solve.practise {
            h2 { "To practise" }
            p { (practise.replace('`', "")) }
        }
        @if let Some(weeks) = over_weeks(solve.history) {
            h2 { "Over weeks" }
            p.soft { "Mean seconds a pair" }
            (weeks)
        }
    };
    document("One solve", STYLE, &content)
}

fn key(class: &str) -> Markup {
    html! {
        svg width="14" height="14" role="img" aria-label=(class) { rect.(class) width="14" height="14" {} }
    }
}

/// A bar a part: looking, then turning.
fn bars(parts: &[Pace]) -> Markup {
    let whole = |pace: &Pace| pace.looking + pace.turning;
    let scale = (WIDTH - LEFT - LABEL) / parts.iter().map(whole).fold(1.0, f64::max);
    let height = BAR * parts.len() as f64;
    html! {
        svg viewBox=(format!("0 0 {WIDTH} {height}")) width=(WIDTH) role="img" aria-label="looking and turning, part by part" {
            @for (at, pace) in parts.iter().enumerate() {
                @let y = BAR * at as f64 + 4.0;
                @let [look, turn] = [pace.looking, pace.turning].map(|seconds| scale * seconds);
                text x="0" y=(tenth(y + 14.0)) { (pace.part) }
                rect.look x=(LEFT) y=(y) width=(tenth(look)) height="18" {}
                rect.turn x=(tenth(LEFT + look)) y=(y) width=(tenth(turn)) height="18" {}
                text x=(tenth(LEFT + look + turn + 6.0)) y=(tenth(y + 14.0)) { (words::turn_count(pace.turns as usize)) }
            }
        }
    }
}

fn tenth(value: f64) -> String {
    format!("{value:.1}")
}

/// The cube as it was at the slowest look.
fn drawn(pace: &Pace) -> Markup {
    let drawing = pace.looked_at.as_ref().map(|net| {
        draw::held(&HeldCube {
            stickers: &Stickers::of_net(net),
            arrow: None,
            from_left: false,
            behind: true,
        })
    });
    PreEscaped(drawing.unwrap_or_default())
}

/// A picture, small, as an address that holds it (RFC 2397).
fn inline(picture: &RgbImage) -> Option<String> {
    let height = PICTURE * picture.height() / picture.width().max(1);
    let small = resize(picture, PICTURE, height.max(1), FilterType::Triangle);
    let mut bytes = Cursor::new(Vec::new());
    small.write_to(&mut bytes, image::ImageFormat::Jpeg).ok()?;
    let coded = BASE64_STANDARD.encode(bytes.get_ref());
    Some(format!("data:image/jpeg;base64,{coded}"))
}

/// Mean seconds of looking and of turning a pair, by weeks; none of a single one.
fn over_weeks(history: &[Pace]) -> Option<Markup> {
    let mut weeks: BTreeMap<(i32, u32), (f64, f64, f64)> = BTreeMap::new();
    for pace in history.iter().filter(|pace| pace.is_timed_pair()) {
        let week = DateTime::from_timestamp(pace.solve, 0)?.iso_week();
        let sum = weeks.entry((week.year(), week.week())).or_default();
        *sum = (sum.0 + pace.looking, sum.1 + pace.turning, sum.2 + 1.0);
    }
    if weeks.len() < 2 {
        return None;
    }
    let means: Vec<[f64; 2]> = weeks.values().map(|(l, t, n)| [l / n, t / n]).collect();
    let most = means.iter().flatten().copied().fold(1.0, f64::max);
    let x = |at: usize| 40.0 + (WIDTH - 60.0) * at as f64 / (means.len() - 1) as f64;
    let y = |value: f64| 140.0 - 120.0 * value / most;
    let line = |which: usize| -> String {
        let points = means.iter().enumerate();
        let points: Vec<String> = points
            .map(|(at, mean)| format!("{:.1},{:.1}", x(at), y(mean[which])))
            .collect();
        points.join(" ")
    };
    let named = |(year, week): &(i32, u32)| format!("{year}, week {week}");
    Some(html! {
        svg viewBox=(format!("0 0 {WIDTH} 170")) width=(WIDTH) role="img" aria-label="mean seconds a pair by weeks" {
            line.axis x1="40" y1="140" x2=(WIDTH) y2="140" {}
            text x="0" y="24" { (tenth(most)) " s" }
            text x="0" y="144" { "0 s" }
            @for (class, which) in [("look", 0), ("turn", 1)] { polyline.(class) points=(line(which)) {} }
            @if let Some(first) = weeks.keys().next() {
                text x=(tenth(x(0))) y="160" text-anchor="start" { (named(first)) }
            }
            @if let Some(last) = weeks.keys().next_back() {
                text x=(tenth(x(means.len() - 1))) y="160" text-anchor="end" { (named(last)) }
            }
        }
    })
}
