//! Journals as one page, with drawings and plots inside, light or dark as the reader likes.

use std::fmt::Write;

use chrono::DateTime;
use maud::{Markup, PreEscaped, html};

use super::document;
use crate::coach::{Level, advise_held, english};
use crate::cube::Colour;
use crate::draw::{self, Others};
use crate::journal::{Attempt, Pace, Placed, Situation, Tally, habits, tally, worst};
use crate::solve::Slot;

/// One learner's journal.
#[derive(Clone, Debug)]
pub struct Learner {
    pub name: String,
    /// Oldest first.
    pub attempts: Vec<Attempt>,
    /// Where the time of solves went, oldest first.
    pub paces: Vec<Pace>,
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
.wide{overflow-x:auto}table{border-collapse:collapse;width:100%}th,td{text-align:left;vertical-align:top;padding:5px 8px;\
border-top:1px solid var(--line)}td svg,.plot svg{max-width:100%;height:auto}td.of{min-width:240px}\
.weak{display:flex;flex-wrap:wrap;gap:12px}.weak>div{flex:1 1 200px;max-width:300px;break-inside:avoid}.weak svg{width:150px;height:auto;display:block}\
.weak p,.weak h3{margin:2px 0}.weak h3{font-size:15px}\
.soft{color:var(--soft);font-size:13px}.well{fill:var(--well)}.help{fill:var(--help)}.left{fill:var(--left)}circle.help{fill:none;stroke:var(--help);stroke-width:2}\
.axis{stroke:var(--line)}.curve{fill:none;stroke:var(--well);stroke-width:2}.curve.helped{stroke:var(--help)}text{fill:var(--ink);font-size:11px}\
.key svg{vertical-align:middle}@page{margin:12mm}@media print{body{background:#fff;font-size:10.5px;line-height:1.3}main{max-width:none;padding:0}h1{font-size:19px}h2{font-size:15px;margin:12px 0 4px}\
.soft{font-size:9.5px}.weak svg{width:36mm}.plots{display:flex;flex-wrap:wrap;gap:0 6mm}.table{break-before:page}.table h2{margin-top:0}th,td{padding:1.2mm 2mm}td svg{height:2.5mm}tr,.plot{break-inside:avoid}thead{display:table-header-group}\
.well,.help,.left{print-color-adjust:exact;-webkit-print-color-adjust:exact}}";

/// The whole page, for one learner or several side by side.
pub fn journal(learners: &[Learner]) -> String {
    let content = html! {
        h1 { "What was practised" }
        p.key {
            "Of the pairs met: " (swatch("well")) " solved without help, "
            (swatch("help")) " solved with more hints or after a slip, "
            (swatch("left")) " not finished."
        }
        section.learners {
            @for learner in learners { (summary(learner)) }
        }
        (situations(learners))
    };
    document("What was practised", STYLE, &content)
}

fn summary(learner: &Learner) -> Markup {
    let attempts = &learner.attempts;
    let unhelped = attempts.iter().filter(|a| a.unhelped()).count();
    html! {
        div {
            h2 { (learner.name) }
            @if let Some(days) = days(attempts) {
                p {
                    "Pairs met " (days) ": " (attempts.len()) ", " (unhelped)
                    " of them solved without help."
                }
                (weakest(attempts))
                @for habit in habits(attempts) { p { (habit) } }
                div.plots {
                    div.plot {
                        p.soft { "Share solved without help, over ten pairs at a time" }
                        (progress(attempts))
                    }
                    div.plot {
                        p.soft { "Turns more than the fewest, pair by pair" }
                        (turns(attempts))
                    }
                    @if let Some(plot) = times(&learner.paces) {
                        div.plot {
                            p.soft { "Seconds a pair, over ten pairs at a time: " (swatch("help")) " looking, " (swatch("well")) " turning" }
                            (plot)
                        }
                    }
                }
            } @else {
                p { "Nothing yet." }
            }
        }
    }
}

/// How many situations are told to be practised first.
const WEAKEST: usize = 3;

/// What goes worst, with its picture, what to do there, and how to practise it.
fn weakest(attempts: &[Attempt]) -> Markup {
    let mut left: Vec<Placed> = Placed::all().collect();
    let mut weak = Vec::new();
    while weak.len() < WEAKEST
        && let Some(next) = worst(attempts, &left)
    {
        left.retain(|placed| *placed != next);
        weak.push(next);
    }
    let numbers: Vec<String> = weak.iter().map(|p| p.number().to_string()).collect();
    html! {
        @if !weak.is_empty() {
            p { "To practise first: " strong { "pairsight drill " (numbers.join(" ")) } }
            div.weak { @for placed in weak { (one_weak(placed)) } }
            p.soft {
                "Held with the slot at the front right, the top turned until the corner is over the slot or the edge \
                 is in front."
            }
        }
    }
}

fn one_weak(placed: Placed) -> Markup {
    let (cross, slot) = (SHOWN.0, Slot::ALL[SHOWN.1]);
    let held = placed.example(cross, slot);
    let advice = held.map(|held| advise_held(&held, Level::Front, Some(slot)));
    let route = advice.as_ref().and_then(|advice| advice.routes().first());
    html! {
        div {
            h3 { (placed.to_string()) }
            (picture(placed))
            @if let Some(route) = route {
                p { (english::text(&route.idea)) }
                p { strong { (route.moves.to_string()) } }
            }
        }
    }
}

/// When the attempts were made; none where there are none.
fn days(attempts: &[Attempt]) -> Option<String> {
    // A clock that was set back puts days out of order.
    let whens = || attempts.iter().map(|attempt| attempt.start.when);
    let (first, last) = (day(whens().min()?), day(whens().max()?));
    Some(if first == last {
        format!("on {first}")
    } else {
        format!("from {first} to {last}")
    })
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

/// A number of the drawing's units, to a tenth.
fn tenth(x: f64) -> String {
    format!("{x:.1}")
}

/// The days of the first, the middle and the last of what is drawn.
fn span(whens: &[i64]) -> [String; 3] {
    let at = |i: usize| whens.get(i).map_or_else(String::new, |when| day(*when));
    let last = whens.len().saturating_sub(1);
    [0, last / 2, last].map(at)
}

fn plot(
    title: &str,
    labels: [(f64, String); 2],
    [first, middle, last]: [String; 3],
    most: f64,
    inside: &Markup,
) -> Markup {
    html! {
        svg xmlns="http://www.w3.org/2000/svg" role="img" width=(WIDTH) height=(HEIGHT)
            viewBox={ "0 0 " (WIDTH) " " (HEIGHT) }
        {
            title { (title) }
            @for (value, label) in labels {
                @let y = up(value, most);
                line.axis x1=(LEFT) y1=(tenth(y)) x2=(WIDTH) y2=(tenth(y)) {}
                text x=(tenth(LEFT - 4.0)) y=(tenth(y + 4.0)) text-anchor="end" { (label) }
            }
            (inside)
            text x=(LEFT) y=(tenth(HEIGHT - 3.0)) { (first) }
            @if middle != first && middle != last {
                text x=(tenth((LEFT + WIDTH) / 2.0)) y=(tenth(HEIGHT - 3.0)) text-anchor="middle" { (middle) }
            }
            @if last != first {
                text x=(WIDTH) y=(tenth(HEIGHT - 3.0)) text-anchor="end" { (last) }
            }
        }
    }
}

/// Pairs over which a curve is smoothed.
const WINDOW: usize = 10;

fn progress(attempts: &[Attempt]) -> Markup {
    let share = |i: usize| {
        let window = &attempts[(i + 1).saturating_sub(WINDOW)..=i];
        window.iter().filter(|a| a.unhelped()).count() as f64 / window.len() as f64
    };
    let shares: Vec<f64> = (0..attempts.len()).map(share).collect();
    let curve = html! { polyline.curve points=(points(&shares, 1.0)) {} };
    let labels = [(0.0, "0 %".to_owned()), (1.0, "100 %".to_owned())];
    let whens: Vec<i64> = attempts.iter().map(|a| a.start.when).collect();
    plot(
        "Share solved without help",
        labels,
        span(&whens),
        1.0,
        &curve,
    )
}

fn turns(attempts: &[Attempt]) -> Markup {
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
    let scale = f64::from(most);
    let dots = html! {
        @for (i, (attempt, over)) in known.iter().enumerate() {
            circle.(if attempt.unhelped() { "well" } else { "help" })
                cx=(tenth(across(i, known.len()))) cy=(tenth(up(f64::from(*over), scale))) r="3"
            {
                title {
                    (day(attempt.start.when)) ", " (attempt.start.situation.to_string()) ": "
                    (over) " more than " (attempt.start.best)
                }
            }
        }
    };
    let labels = [(0.0, "0".to_owned()), (scale, most.to_string())];
    let whens: Vec<i64> = known.iter().map(|(a, _)| a.start.when).collect();
    plot(
        "Turns more than the fewest",
        labels,
        span(&whens),
        scale,
        &dots,
    )
}

/// Seconds of looking and of turning, pair by pair of whole solves; none where fewer than two were timed.
fn times(paces: &[Pace]) -> Option<Markup> {
    let pairs: Vec<&Pace> = paces.iter().filter(|pace| pace.is_timed_pair()).collect();
    if pairs.len() < 2 {
        return None;
    }
    let mean = |of: fn(&Pace) -> f64| -> Vec<f64> {
        (0..pairs.len())
            .map(|i| {
                let window = &pairs[(i + 1).saturating_sub(WINDOW)..=i];
                window.iter().map(|pace| of(pace)).sum::<f64>() / window.len() as f64
            })
            .collect()
    };
    let (looking, turning) = (mean(|pace| pace.looking), mean(|pace| pace.turning));
    let most = looking
        .iter()
        .chain(&turning)
        .fold(4.0f64, |a, b| a.max(*b))
        .ceil();
    let curves = html! {
        polyline.curve.helped points=(points(&looking, most)) {}
        polyline.curve points=(points(&turning, most)) {}
    };
    let labels = [
        (0.0, "0\u{a0}s".to_owned()),
        (most, format!("{most}\u{a0}s")),
    ];
    Some(plot(
        "Seconds of looking and of turning",
        labels,
        span(&pairs.iter().map(|pace| pace.solve).collect::<Vec<_>>()),
        most,
        &curves,
    ))
}

/// A curve through values, from the first to the last.
fn points(values: &[f64], most: f64) -> String {
    let mut points = String::new();
    for (i, value) in values.iter().enumerate() {
        // Writing to a String cannot fail.
        let _ = write!(
            points,
            "{:.1},{:.1} ",
            across(i, values.len()),
            up(*value, most)
        );
    }
    points.trim_end().to_owned()
}

/// A row for each situation that anybody met, a column for each learner.
fn situations(learners: &[Learner]) -> Markup {
    let tallies: Vec<Vec<Tally>> = learners.iter().map(|l| tally(&l.attempts)).collect();
    let met = |situation: &Situation| tallies.iter().flatten().any(|t| t.situation == *situation);
    let all: Vec<Situation> = Situation::all().filter(met).collect();
    let most = tallies.iter().flatten().map(|t| t.seen).max().unwrap_or(1);
    html! {
        @if !all.is_empty() {
            div.wide.table {
                h2 { "Situation by situation" }
                table {
                    thead {
                        tr {
                            th { "Situation" }
                            @for learner in learners { th { (learner.name) } }
                        }
                    }
                    tbody {
                        @for situation in all { (row(situation, &tallies, most)) }
                    }
                }
            }
        }
    }
}

fn row(situation: Situation, tallies: &[Vec<Tally>], most: u32) -> Markup {
    html! {
        tr {
            td { (situation.to_string()) }
            @for own in tallies {
                td.of {
                    @match own.iter().find(|t| t.situation == situation) {
                        Some(tally) => (cell(tally, most)),
                        None => span.soft { "not met" },
                    }
                }
            }
        }
    }
}

fn picture(placed: Placed) -> Markup {
    let (cross, slot) = (SHOWN.0, Slot::ALL[SHOWN.1]);
    let drawn = placed
        .example(cross, slot)
        .map(|held| draw::situation(&held, slot, None, Others::FirstLayersAtHome));
    PreEscaped(drawn.unwrap_or_default())
}

/// One learner's record of one situation: a bar, and the numbers.
fn cell(tally: &Tally, most: u32) -> Markup {
    let scale = 200.0 / f64::from(most.max(1));
    let [well, help, left] = [
        tally.solved_without_help,
        tally.solved - tally.solved_without_help,
        tally.seen - tally.solved,
    ];
    // Each part of the bar starts where those before it end.
    let parts = [
        ("well", 0, well),
        ("help", well, help),
        ("left", well + help, left),
    ];
    html! {
        svg xmlns="http://www.w3.org/2000/svg" role="img" width="200" height="12" viewBox="0 0 200 12" {
            title { (well) " without help, " (help) " with help, " (left) " not finished" }
            @for (class, before, count) in parts {
                rect.(class) x=(tenth(scale * f64::from(before))) y="0"
                    width=(tenth(scale * f64::from(count))) height="12" {}
            }
        }
        " " (well) " of " (tally.seen) " without help"
        br;
        span.soft title=(tally.hints_told()) {
            (tally.turns.told())
            @if let Some(seconds) = tally.seconds { ", in " (format!("{seconds:.0}")) "\u{a0}s" }
            ", " (tally.slips_told())
        }
    }
}

fn swatch(class: &str) -> Markup {
    html! {
        svg xmlns="http://www.w3.org/2000/svg" width="12" height="12" {
            rect.(class) width="12" height="12" {}
        }
    }
}

/// A day, as in 2026-03-14.
fn day(when: i64) -> String {
    DateTime::from_timestamp(when, 0)
        .map_or_else(|| "?".into(), |time| time.format("%Y-%m-%d").to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::Event;
    use crate::journal::testing::{attempt, placed};

    fn learner(name: &str) -> Learner {
        let events = [
            Event::Rung(2),
            Event::Slip(None),
            Event::Solved { turns: Some(11) },
        ];
        let attempts = (0..Placed::all().count())
            .map(|i| attempt(placed(i), 1_700_000_000 + i as i64, &events[i % 3..]));
        Learner {
            name: name.into(),
            attempts: attempts.collect(),
            paces: Vec::new(),
        }
    }

    #[test]
    fn a_page_needs_nothing_from_outside_and_shows_every_learner_and_situation() {
        let html = journal(&[
            learner("Ana <b>"),
            learner("Bo"),
            Learner {
                name: "New".into(),
                attempts: Vec::new(),
                paces: Vec::new(),
            },
        ]);
        let outside = html.replace("http://www.w3.org/2000/svg", "");
        for link in [
            "http:", "https:", "<script", "<link", "<img", "url(", "@import", "<b>",
        ] {
            assert!(!outside.contains(link), "{link}");
        }
        assert!(html.contains("Ana &lt;b&gt;") && html.contains("Nothing yet."));
        let met = Placed::all().count();
        assert_eq!(html.matches("<tr>").count(), 1 + met);
        assert_eq!(html.matches("not met").count(), met);
        for tag in ["svg", "table", "section", "div", "td", "tr"] {
            let opened = html.matches(&format!("<{tag} ")).count()
                + html.matches(&format!("<{tag}>")).count();
            assert_eq!(opened, html.matches(&format!("</{tag}>")).count(), "{tag}");
        }
        assert!(html.contains("prefers-color-scheme:dark"));
    }

    #[test]
    fn the_three_weakest_come_first_with_what_to_do_and_the_axes_have_days() {
        let mut ana = learner("Ana");
        ana.attempts[0].start.when -= 30 * 24 * 60 * 60;
        let html = journal(&[ana]);
        let (weak, table) = html.split_once("<table>").expect("a table");
        assert_eq!(weak.matches("<h3>").count(), WEAKEST);
        assert!(weak.contains("To practise first: <strong>pairsight drill "));
        assert_eq!(table.matches("viewBox=\"-204").count(), 0, "no pictures");
        assert!(weak.contains(">2023-10-15</text>") && weak.contains(">2023-11-14</text>"));
    }

    #[test]
    fn no_plot_leaves_its_field() {
        let html = journal(&[learner("Ana")]);
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
