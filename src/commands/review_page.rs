//! A review as one page: its parts as bars, the slowest look with its picture, and the times over weeks. Nothing from outside.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::io::Cursor;

use chrono::{DateTime, Datelike};
use image::RgbImage;
use image::imageops::{FilterType, resize};

use super::review::{Review, named};
use crate::coach::words;
use crate::cube::Held;
use crate::draw::{self, Drawn, Stickers};
use crate::journal::Pace;

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
const BAR: f64 = 26.0;

/// The whole page.
pub fn page(review: &Review) -> String {
    let mut body = String::from("<h1>One solve</h1>");
    // Writing to a String cannot fail.
    let _ = write!(
        body,
        "<p>Seconds of <b>looking</b> {} and of <b>turning</b> {}</p>{}",
        key("look"),
        key("turn"),
        bars(&review.parts)
    );
    if let Some(slowest) = review.slowest() {
        let at = review.parts.iter().position(|pace| pace == slowest);
        let picture = at
            .and_then(|at| review.pictures[at].as_ref())
            .and_then(inline);
        let _ = write!(
            body,
            "<h2>The slowest look</h2><p>{:.1} s, in the {}.</p><div class=\"pic\">{}{}</div>",
            slowest.longest_look,
            named(slowest),
            picture.unwrap_or_default(),
            drawn(slowest)
        );
    }
    if let Some(practise) = review.practise() {
        let _ = write!(
            body,
            "<h2>To practise</h2><p>{}</p>",
            practise.replace('`', "")
        );
    }
    if let Some(weeks) = over_weeks(&review.history) {
        let _ = write!(
            body,
            "<h2>Over weeks</h2><p class=\"soft\">Mean seconds a pair</p>{weeks}"
        );
    }
    format!(
        "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\">\
         <title>One solve</title><style>{STYLE}</style></head><body><main>{body}</main></body></html>\n"
    )
}

fn key(class: &str) -> String {
    format!(
        "<svg width=\"14\" height=\"14\" role=\"img\" aria-label=\"{class}\"><rect class=\"{class}\" width=\"14\" height=\"14\"/></svg>"
    )
}

/// A bar a part: looking, then turning.
fn bars(parts: &[Pace]) -> String {
    let longest = parts
        .iter()
        .map(|p| p.looking + p.turning)
        .fold(1.0, f64::max);
    let scale = (WIDTH - LEFT - 60.0) / longest;
    let height = BAR * parts.len() as f64;
    let mut svg = format!(
        "<svg viewBox=\"0 0 {WIDTH} {height}\" width=\"{WIDTH}\" role=\"img\" aria-label=\"looking and turning, part by part\">"
    );
    for (pace, at) in parts.iter().zip(0..) {
        let y = BAR * f64::from(at) + 4.0;
        let (look, turn) = (scale * pace.looking, scale * pace.turning);
        let turns = words::turn_count(pace.turns as usize);
        let _ = write!(
            svg,
            "<text x=\"0\" y=\"{:.1}\">{}</text><rect class=\"look\" x=\"{LEFT}\" y=\"{y}\" width=\"{look:.1}\" height=\"18\"/>\
             <rect class=\"turn\" x=\"{:.1}\" y=\"{y}\" width=\"{turn:.1}\" height=\"18\"/><text x=\"{:.1}\" y=\"{:.1}\">{turns}</text>",
            y + 14.0,
            pace.part,
            LEFT + look,
            LEFT + look + turn + 6.0,
            y + 14.0
        );
    }
    svg + "</svg>"
}

/// The cube as it was at the slowest look.
fn drawn(pace: &Pace) -> String {
    let Some(cube) = pace.looked_at.as_ref().and_then(|net| net.to_cube().ok()) else {
        return String::new();
    };
    draw::held(&Drawn {
        stickers: &Stickers::of_net(&crate::cube::Net::of_held(&Held::home(cube))),
        arrow: None,
        from_left: false,
        behind: true,
    })
}

/// A picture of the film, small, as part of the page.
fn inline(picture: &RgbImage) -> Option<String> {
    let height = 320 * picture.height() / picture.width().max(1);
    let small = resize(picture, 320, height.max(1), FilterType::Triangle);
    let mut bytes = Cursor::new(Vec::new());
    small.write_to(&mut bytes, image::ImageFormat::Jpeg).ok()?;
    Some(format!(
        "<img alt=\"the cube then\" src=\"data:image/jpeg;base64,{}\">",
        base64(bytes.get_ref())
    ))
}

/// RFC 4648, section 4.
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let bits = three
            .iter()
            .fold(0u32, |bits, byte| bits << 8 | u32::from(*byte))
            << (8 * (3 - three.len()));
        for at in 0..4 {
            let letter = LETTERS[(bits >> (18 - 6 * at) & 63) as usize];
            text.push(if at <= three.len() {
                char::from(letter)
            } else {
                '='
            });
        }
    }
    text
}

/// Mean seconds of looking and of turning a pair, by weeks; none of a single one.
fn over_weeks(history: &[Pace]) -> Option<String> {
    let mut weeks: BTreeMap<(i32, u32), (f64, f64, f64)> = BTreeMap::new();
    for pace in history
        .iter()
        .filter(|pace| pace.watched && pace.part.contains('-'))
    {
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
    let mut svg = format!(
        "<svg viewBox=\"0 0 {WIDTH} 170\" width=\"{WIDTH}\" role=\"img\" aria-label=\"mean seconds a pair by weeks\">\
         <line class=\"axis\" x1=\"40\" y1=\"140\" x2=\"{WIDTH}\" y2=\"140\"/><text x=\"0\" y=\"24\">{most:.1} s</text><text x=\"0\" y=\"144\">0 s</text>"
    );
    for (class, which) in [("look", 0), ("turn", 1)] {
        let points: Vec<String> = (0..means.len())
            .map(|at| format!("{:.1},{:.1}", x(at), y(means[at][which])))
            .collect();
        let _ = write!(
            svg,
            "<polyline class=\"{class}\" points=\"{}\"/>",
            points.join(" ")
        );
    }
    for (at, (year, week)) in weeks
        .keys()
        .enumerate()
        .filter(|(at, _)| *at == 0 || *at == weeks.len() - 1)
    {
        let _ = write!(
            svg,
            "<text x=\"{:.1}\" y=\"160\" text-anchor=\"{}\">{year}, week {week}</text>",
            x(at),
            if at == 0 { "start" } else { "end" }
        );
    }
    Some(svg + "</svg>")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The test vectors of RFC 4648, section 10.
    #[test]
    fn base64_is_as_published() {
        let published = [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ];
        for (plain, coded) in published {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }
}
