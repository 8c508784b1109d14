//! Journals as one page: HTML with drawings and plots inside, nothing from outside, light or dark as the reader likes.

use std::fmt::Write;

use chrono::DateTime;

use super::{Attempt, Placed, Situation, Tally, tally, worst};
use crate::coach::words;
use crate::cube::Colour;
use crate::draw::{self, Others};
use crate::solve::Slot;

/// One learner's journal.
#[derive(Clone, Debug)]
pub struct Learner {
    pub name: String,
    /// Oldest first.
    pub attempts: Vec<Attempt>,
}

/// The cross and the slot that pictures show.
const SHOWN: (Colour, usize) = (Colour::White, 0);

const STYLE: &str = "\
:root{color-scheme:light dark;--page:#fbf9f4;--ink:#20242c;--soft:#565d6b;--line:#b9b4a6;--well:#19703f;--help:#c98a12;\
--left:#a9a9a9}\
@media(prefers-color-scheme:dark){:root{--page:#16181d;--ink:#ece9e1;--soft:#a9afbc;--line:#4c525e;--well:#4fbf83;\
--help:#e0ab45;--left:#6a6f79}}\
body{margin:0;background:var(--page);color:var(--ink);font:15px/1.45 system-ui,sans-serif}\
main{max-width:1200px;margin:0 auto;padding:24px}h1{font-size:28px;margin:0 0 8px}h2{font-size:20px;margin:24px 0 6px}\
.learners{display:flex;flex-wrap:wrap;gap:24px}.learners>div{flex:1 1 340px}\
.wide{overflow-x:auto}table{border-collapse:collapse;width:100%}th,td{text-align:left;vertical-align:top;padding:8px;\
border-top:1px solid var(--line)}td svg,.plot svg{max-width:100%;height:auto}td.of{min-width:240px}.pic svg{width:150px;height:auto;display:block}\
.soft{color:var(--soft);font-size:13px}.well{fill:var(--well)}.help{fill:var(--help)}.left{fill:var(--left)}circle.help{fill:none;stroke:var(--help);stroke-width:2}\
.axis{stroke:var(--line)}.curve{fill:none;stroke:var(--well);stroke-width:2}text{fill:var(--ink);font-size:11px}\
.key svg{vertical-align:middle}@media print{main{max-width:none;padding:0}tr,.plot{break-inside:avoid}thead{display:table-header-group}\
.well,.help,.left{print-color-adjust:exact;-webkit-print-color-adjust:exact}}";

/// The whole page, for one learner or several side by side.
pub fn page(learners: &[Learner]) -> String {
    let mut body = String::from("<h1>What was practised</h1>");
    // Writing to a String cannot fail.
    let _ = write!(
        body,
        "<p class=\"key\">Of the pairs met: {} solved without help, {} solved with more hints or after a slip, {} not \
         finished.</p><section class=\"learners\">",
        swatch("well"),
        swatch("help"),
        swatch("left")
    );
    for learner in learners {
        body.push_str(&summary(learner));
    }
    body.push_str("</section>");
    body.push_str(&situations(learners));
    format!(
        "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" \
         content=\"width=device-width\"><title>What was practised</title><style>{STYLE}</style></head>\
         <body><main>{body}</main></body></html>\n"
    )
}

fn summary(learner: &Learner) -> String {
    let attempts = &learner.attempts;
    let unhelped = attempts.iter().filter(|a| a.unhelped()).count();
    let mut text = format!("<div><h2>{}</h2>", escaped(&learner.name));
    // A clock that was set back puts days out of order.
    let days = || attempts.iter().map(|attempt| attempt.start.when);
    let (Some(first), Some(last)) = (days().min(), days().max()) else {
        text.push_str("<p>Nothing yet.</p></div>");
        return text;
    };
    let days = match (day(first), day(last)) {
        (first, last) if first == last => format!("on {first}"),
        (first, last) => format!("from {first} to {last}"),
    };
    let all: Vec<Placed> = Placed::all().collect();
    let worst = worst(attempts, &all).map_or_else(String::new, |placed| {
        format!(
            "<div class=\"worst pic\"><p>What goes worst is “{placed}”.</p>{}</div>",
            picture(placed)
        )
    });
    let _ = write!(
        text,
        "<p>Pairs met {days}: {}, {unhelped} of them solved without help.</p>{worst}\
         <div class=\"plot\"><p class=\"soft\">Share solved without help, over ten pairs at a time</p>{}</div>\
         <div class=\"plot\"><p class=\"soft\">Turns more than the fewest, pair by pair</p>{}</div></div>",
        attempts.len(),
        progress(attempts),
        turns(attempts)
    );
    text
}

// Plots are drawn in a field of this size, with room for the labels of the axes.
const WIDTH: f64 = 340.0;
const HEIGHT: f64 = 120.0;
const LEFT: f64 = 44.0;
const FOOT: f64 = 18.0;

/// Where the `i`th of `count` things is, from the left.
fn across(i: usize, count: usize) -> f64 {
    let steps = count.saturating_sub(1).max(1) as f64;
    LEFT + 6.0 + (WIDTH - LEFT - 12.0) * i as f64 / steps
}

/// Where a value between 0 and `most` is, from the top.
fn up(value: f64, most: f64) -> f64 {
    let room = HEIGHT - FOOT - 10.0;
    10.0 + room * (1.0 - value / most)
}

fn plot(title: &str, labels: [(f64, String); 2], most: f64, inside: &str) -> String {
    let mut axes = String::new();
    for (value, label) in labels {
        let y = up(value, most);
        let _ = write!(
            axes,
            "<line class=\"axis\" x1=\"{LEFT}\" y1=\"{y:.1}\" x2=\"{WIDTH}\" y2=\"{y:.1}\"/>\
             <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{label}</text>",
            LEFT - 4.0,
            y + 4.0
        );
    }
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"{WIDTH}\" height=\"{HEIGHT}\" \
         viewBox=\"0 0 {WIDTH} {HEIGHT}\"><title>{title}</title>{axes}{inside}<text x=\"{LEFT}\" y=\"{:.1}\">first</text>\
         <text x=\"{WIDTH}\" y=\"{:.1}\" text-anchor=\"end\">last</text></svg>",
        HEIGHT - 3.0,
        HEIGHT - 3.0
    )
}

fn progress(attempts: &[Attempt]) -> String {
    const WINDOW: usize = 10;
    let mut points = String::new();
    for i in 0..attempts.len() {
        let window = &attempts[(i + 1).saturating_sub(WINDOW)..=i];
        let share = window.iter().filter(|a| a.unhelped()).count() as f64 / window.len() as f64;
        let _ = write!(
            points,
            "{:.1},{:.1} ",
            across(i, attempts.len()),
            up(share, 1.0)
        );
    }
    let curve = format!(
        "<polyline class=\"curve\" points=\"{}\"/>",
        points.trim_end()
    );
    let labels = [(0.0, "0 %".to_owned()), (1.0, "100 %".to_owned())];
    plot("Share solved without help", labels, 1.0, &curve)
}

fn turns(attempts: &[Attempt]) -> String {
    let over = |a: &Attempt| Some(a.ended?.turns?.saturating_sub(a.start.best));
    let known: Vec<(&Attempt, u32)> = attempts
        .iter()
        .filter_map(|a| Some((a, over(a)?)))
        .collect();
    let most = known
        .iter()
        .map(|(_, over)| *over)
        .max()
        .unwrap_or(0)
        .max(4);
    let mut dots = String::new();
    for (i, (attempt, over)) in known.iter().enumerate() {
        let class = if attempt.unhelped() { "well" } else { "help" };
        let _ = write!(
            dots,
            "<circle class=\"{class}\" cx=\"{:.1}\" cy=\"{:.1}\" r=\"3\"><title>{}, {}: {over} more than {}</title></circle>",
            across(i, known.len()),
            up(f64::from(*over), f64::from(most)),
            day(attempt.start.when),
            attempt.start.situation,
            attempt.start.best
        );
    }
    let labels = [(0.0, "0".to_owned()), (f64::from(most), most.to_string())];
    plot("Turns more than the fewest", labels, f64::from(most), &dots)
}

/// A row for each situation that anybody met, a column for each learner.
fn situations(learners: &[Learner]) -> String {
    let tallies: Vec<Vec<Tally>> = learners.iter().map(|l| tally(&l.attempts)).collect();
    let met = |situation: &Situation| tallies.iter().flatten().any(|t| t.situation == *situation);
    let all: Vec<Situation> = Situation::all().filter(met).collect();
    if all.is_empty() {
        return String::new();
    }
    let most = tallies.iter().flatten().map(|t| t.seen).max().unwrap_or(1);
    let mut text = String::from(
        "<h2>Situation by situation</h2><p class=\"soft\">Held with the slot at the front right, the top turned until \
         the corner is over the slot or the edge is in front.</p><div class=\"wide\"><table><thead><tr><th></th><th>\
         Situation</th>",
    );
    for learner in learners {
        let _ = write!(text, "<th>{}</th>", escaped(&learner.name));
    }
    text.push_str("</tr></thead><tbody>");
    for situation in all {
        let picture = match situation {
            Situation::Placed(placed) => picture(placed),
            Situation::Trapped(_) => String::new(),
        };
        let name = words::sentence(&situation.to_string());
        let _ = write!(text, "<tr><td class=\"pic\">{picture}</td><td>{name}</td>");
        for own in &tallies {
            let tally = own.iter().find(|t| t.situation == situation);
            let told = tally.map_or_else(
                || "<span class=\"soft\">not met</span>".into(),
                |t| cell(t, most),
            );
            let _ = write!(text, "<td class=\"of\">{told}</td>");
        }
        text.push_str("</tr>");
    }
    text.push_str("</tbody></table></div>");
    text
}

fn picture(placed: Placed) -> String {
    let (cross, slot) = (SHOWN.0, Slot::ALL[SHOWN.1]);
    let held = placed.example(cross, slot);
    held.map_or_else(String::new, |held| {
        draw::situation(&held, slot, None, Others::FirstLayersAtHome)
    })
}

/// One learner's record of one situation: a bar, and the numbers.
fn cell(tally: &Tally, most: u32) -> String {
    let scale = 200.0 / f64::from(most.max(1));
    let parts = [
        ("well", tally.solved_without_help),
        ("help", tally.solved - tally.solved_without_help),
        ("left", tally.seen - tally.solved),
    ];
    let mut bar = String::new();
    let mut x = 0.0;
    for (class, count) in parts {
        let width = scale * f64::from(count);
        let _ = write!(
            bar,
            "<rect class=\"{class}\" x=\"{x:.1}\" y=\"0\" width=\"{width:.1}\" height=\"12\"/>"
        );
        x += width;
    }
    let over = tally.turns.told();
    let seconds = tally
        .seconds
        .map_or_else(String::new, |s| format!(", in {s:.0}\u{a0}s"));
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"200\" height=\"12\" viewBox=\"0 0 200 12\">\
         <title>{} without help, {} with help, {} not finished</title>{bar}</svg><br>{} of {} without help<br>\
         <span class=\"soft\">{over}{seconds}<br>{}<br>{}</span>",
        parts[0].1,
        parts[1].1,
        parts[2].1,
        tally.solved_without_help,
        tally.seen,
        tally.hints_told(),
        tally.slips_told()
    )
}

fn swatch(class: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"12\" height=\"12\"><rect class=\"{class}\" width=\"12\" \
         height=\"12\"/></svg>"
    )
}

/// A day, as in 2026-03-14.
fn day(when: i64) -> String {
    DateTime::from_timestamp(when, 0)
        .map_or_else(|| "?".into(), |time| time.format("%Y-%m-%d").to_string())
}

/// Text that HTML takes as it is.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::Event;
    use crate::journal::testing::{attempt, placed};

    fn learner(name: &str) -> Learner {
        let events = [
            Event::Rung(2),
            Event::Slip,
            Event::Solved { turns: Some(11) },
        ];
        let attempts =
            (0..22).map(|i| attempt(placed(i), 1_700_000_000 + i as i64, &events[i % 3..]));
        Learner {
            name: name.into(),
            attempts: attempts.collect(),
        }
    }

    #[test]
    fn a_page_needs_nothing_from_outside_and_shows_every_learner_and_situation() {
        let html = page(&[
            learner("Ana <b>"),
            learner("Bo"),
            Learner {
                name: "New".into(),
                attempts: Vec::new(),
            },
        ]);
        let outside = html.replace("http://www.w3.org/2000/svg", "");
        for link in [
            "http:", "https:", "<script", "<link", "<img", "url(", "@import", "<b>",
        ] {
            assert!(!outside.contains(link), "{link}");
        }
        assert!(html.contains("Ana &lt;b&gt;") && html.contains("Nothing yet."));
        assert_eq!(html.matches("<tr>").count(), 1 + 41);
        assert_eq!(html.matches("not met").count(), 41);
        for tag in ["svg", "table", "section", "div", "td", "tr"] {
            let opened = html.matches(&format!("<{tag} ")).count()
                + html.matches(&format!("<{tag}>")).count();
            assert_eq!(opened, html.matches(&format!("</{tag}>")).count(), "{tag}");
        }
        assert!(html.contains("prefers-color-scheme:dark"));
    }

    #[test]
    fn no_plot_leaves_its_field() {
        let html = page(&[learner("Ana")]);
        for name in ["cx", "cy"] {
            for part in html.split(&format!(" {name}=\"")).skip(1) {
                let at: f64 = part
                    .split('"')
                    .next()
                    .and_then(|n| n.parse().ok())
                    .expect("a number");
                assert!((0.0..=WIDTH).contains(&at), "{name} {at}");
            }
        }
    }
}
