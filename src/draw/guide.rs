//! The printable guide: one self-contained HTML page with the plain route's ideas and every situation of a slot, made by
//! the code that coaches.

use std::fmt::Write;

use super::{Drawn, Others, Stickers, held, situation};
use crate::coach::words;
use crate::coach::{Lesson, Relation, Route, Style, lessons};
use crate::cube::{Amount, Axis, Colour, Cube, Face, Held, Move, Net, Turn};
use crate::solve::Slot;

/// The guide for one slot of a cross, as a whole HTML document.
pub fn guide(cross: Colour, slot: Slot) -> String {
    let lessons = lessons(cross, slot);
    let mut body = String::new();
    // Writing to a String cannot fail.
    let _ = write!(
        body,
        "{}{}{}",
        intro(cross, slot, lessons.len()),
        turns(cross, slot),
        ideas(&lessons)
    );
    let mut number = 0;
    for relation in RELATIONS {
        let (title, note) = about(relation);
        let _ = write!(
            body,
            "<section><h2>{title}</h2><p>{note}</p><div class=\"cards\">"
        );
        for lesson in lessons.iter().filter(|l| l.relation == relation) {
            number += 1;
            body.push_str(&card(number, lesson));
        }
        body.push_str("</div></section>");
    }
    format!(
        "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" \
         content=\"width=device-width\"><title>First two layers, pair by pair</title><style>{STYLE}</style></head>\
         <body><main>{body}</main></body></html>\n"
    )
}

const RELATIONS: [Relation; 6] = [
    Relation::Joined,
    Relation::Misjoined,
    Relation::Apart,
    Relation::CornerInSlot,
    Relation::EdgeInSlot,
    Relation::BothInSlots,
];

const STYLE: &str = "\
body{margin:0;background:#fbf9f4;color:#20242c;font:15px/1.45 system-ui,sans-serif}\
main{max-width:1100px;margin:0 auto;padding:24px}\
h1{font-size:30px;margin:0 0 8px}h2{font-size:21px;margin:28px 0 4px;border-top:3px solid #20242c;padding-top:10px}\
h3{font-size:16px;margin:0 0 6px}p{margin:4px 0 8px}\
.cards{display:grid;grid-template-columns:repeat(auto-fill,minmax(320px,1fr));gap:14px}\
.card{border:1px solid #b9b4a6;border-radius:8px;padding:10px 12px;background:#fff;break-inside:avoid}\
.card svg{display:block;margin:0 auto 6px}\
.turns{display:grid;grid-template-columns:repeat(auto-fill,minmax(150px,1fr));gap:8px;text-align:center}\
.turns svg{display:block;margin:0 auto}\
ol{margin:4px 0 6px;padding-left:20px}li{margin:3px 0}\
.moves{font-weight:600;white-space:nowrap}.short{border-top:1px dashed #b9b4a6;padding-top:6px}\
.why{color:#4a505c;font-size:13px}\
@media print{body{background:#fff;font-size:11px}main{max-width:none;padding:0}.cards{display:block;columns:3;column-gap:10px}\
.card{margin:0 0 10px;padding:8px 10px}h2,h2+p{break-after:avoid}.why{font-size:10px}}";

fn intro(cross: Colour, slot: Slot, count: usize) -> String {
    let [a, b] = slot.colours(cross).map(Colour::name);
    let hold = slot.hold(cross);
    let cross = cross.name();
    format!(
        "<h1>First two layers, pair by pair</h1><p>Hold the cube with the {cross} cross down and {front} in front. The \
         slot between {a} and {b} is at the front right. It belongs to the {cross}-{a}-{b} corner and the {a}-{b} edge: \
         together they are a pair. Pictures have a line around each of the two pieces and show their slot in a broken line; a small cube beside \
         the large one is the same cube seen from behind. Grey pieces do not matter.</p><p>There are {count} ways that a pair \
         can lie on top or in its own slot, not counting turns of the top. All of them are here. The other slots and the \
         other colours work the same way.</p>",
        front = hold.front().name(),
    )
}

/// How turns are named, with an arrow for each.
fn turns(cross: Colour, slot: Slot) -> String {
    let now = Held {
        cube: Cube::solved(),
        hold: slot.hold(cross),
    };
    let stickers = Stickers::of_net(&Net::of_held(&now));
    let sides = [Face::R, Face::L, Face::U, Face::F, Face::D, Face::B].into_iter();
    let quarter = [Amount::Quarter, Amount::Counter];
    let turns = sides.flat_map(|f| quarter.map(|a| Move::from(Turn::new(f, a))));
    let whole = quarter.map(|a| Move::Rotation(Axis::Y, a));
    let mut figures = String::new();
    for m in turns.chain(whole) {
        let picture = held(&Drawn {
            stickers: &stickers,
            arrow: Some(m),
            from_left: matches!(m, Move::Outer(t) if t.face == Face::L),
            behind: false,
        });
        let _ = write!(
            figures,
            "<div>{}{}<br><span class=\"moves\">{m}</span></div>",
            scaled(&picture, 0.33),
            words::sentence(&words::turn(m))
        );
    }
    format!(
        "<section><h2>Turns in words</h2><p>{} A 2 behind a letter means half way round.</p><div class=\"turns\">\
         {figures}</div></section>",
        words::TURN_WORDS
    )
}

fn ideas(lessons: &[Lesson]) -> String {
    let texts = [
        (
            "Free",
            "A piece in a slot cannot be joined to its partner. Lift it out: a side brings it up, the top turns it \
                  aside, the side goes back.",
        ),
        (
            "Part",
            "Two pieces that touch with colours that do not agree would go in wrongly. Lift one of them away from \
                  the other.",
        ),
        (
            "Bring together",
            "Bring corner and edge so that they join, or so that the corner stands over its slot with its \
                            edge across: then three turns will do.",
        ),
        (
            "Insert",
            "A side opens the slot, the top brings the pair over it, the side takes it home. The cross and the \
                    other slots come back with the side.",
        ),
        (
            "Check",
            "Beside the slot the edge and the corner match the centres, and the cross is whole.",
        ),
    ];
    let mut items = String::new();
    for (name, text) in texts {
        let _ = write!(items, "<li><b>{name}.</b> {text}</li>");
    }
    let length = |style: Style| {
        let turns = lessons
            .iter()
            .filter_map(|l| l.routes.iter().find(|r| r.style == style));
        let turns: Vec<usize> = turns.map(|r| r.turns).collect();
        turns.iter().sum::<usize>() as f64 / turns.len().max(1) as f64
    };
    format!(
        "<section><h2>Five ideas</h2><ol>{items}</ol><p>Nothing has to be learnt by heart for the plain routes: {:.1} \
         turns on average over these situations. The shortest routes need {:.1}.</p></section>",
        length(Style::Plain),
        length(Style::Short)
    )
}

fn about(relation: Relation) -> (&'static str, &'static str) {
    match relation {
        Relation::Joined => (
            "Joined",
            "Corner and edge touch on top, and their colours agree where they touch.",
        ),
        Relation::Misjoined => (
            "Touching wrongly",
            "They touch on top, but their colours do not agree.",
        ),
        Relation::Apart => ("Apart", "Both are on top and do not touch."),
        Relation::CornerInSlot => (
            "Corner in its slot",
            "The corner is at the bottom of its slot, the edge on top.",
        ),
        Relation::EdgeInSlot => (
            "Edge in its slot",
            "The edge is in its slot, the corner on top.",
        ),
        Relation::BothInSlots => (
            "Both in their slot",
            "Both are in their slot, but not the right way round.",
        ),
    }
}

fn card(number: usize, lesson: &Lesson) -> String {
    let picture = situation(&lesson.held, lesson.slot, None, Others::FirstLayersAtHome);
    let mut card = format!(
        "<div class=\"card\"><h3>{number}</h3>{}",
        scaled(&picture, 0.42)
    );
    let _ = write!(card, "<p>{}</p>", lesson.see);
    if let Some(plain) = lesson.routes.first() {
        let _ = write!(card, "<p><b>{}</b></p><ol>", plain.idea);
        for step in &plain.steps {
            let _ = write!(
                card,
                "<li>{}<br><span class=\"why\">{}</span></li>",
                step.say, step.why
            );
        }
        let _ = write!(
            card,
            "</ol><p><span class=\"moves\">{}</span></p>",
            plain.moves
        );
        for other in lesson
            .routes
            .iter()
            .filter(|r| r.moves != plain.moves && r.turns < plain.turns)
        {
            card.push_str(&shorter(other));
        }
    }
    card.push_str("</div>");
    card
}

fn shorter(route: &Route) -> String {
    format!(
        "<p class=\"short\"><span class=\"moves\">{}</span><br>{} {}</p>",
        route.moves, route.idea, route.look_for
    )
}

/// A drawing at another size.
fn scaled(svg: &str, factor: f32) -> String {
    let size = |name: &str| -> Option<f32> {
        let (_, rest) = svg.split_once(&format!(" {name}=\""))?;
        rest.split('"').next()?.parse().ok()
    };
    let (Some(width), Some(height)) = (size("width"), size("height")) else {
        return svg.to_string();
    };
    let old = format!("width=\"{width:.0}\" height=\"{height:.0}\"");
    let new = format!(
        "width=\"{:.0}\" height=\"{:.0}\"",
        width * factor,
        height * factor
    );
    svg.replacen(&old, &new, 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_guide_has_every_situation_once_and_needs_nothing_from_outside() {
        let html = guide(Colour::White, Slot::ALL[0]);
        assert_eq!(html.matches("<div class=\"card\">").count(), 22);
        for number in 1..=22 {
            assert!(html.contains(&format!("<h3>{number}</h3>")));
        }
        let outside = html.replace("http://www.w3.org/2000/svg", "");
        for link in [
            "http:", "https:", "<script", "<link", "<img", "url(", "@import",
        ] {
            assert!(!outside.contains(link), "{link}");
        }
        assert_eq!(html.matches("<svg").count(), html.matches("</svg>").count());
    }

    #[test]
    fn routes_of_the_guide_solve_their_situations() {
        for slot in Slot::ALL {
            for lesson in lessons(Colour::Red, slot) {
                for route in &lesson.routes {
                    assert_eq!(
                        crate::solve::pairs_solved(
                            &lesson.held.after(&route.moves).cube,
                            Colour::Red
                        ),
                        crate::solve::SlotSet::ALL
                    );
                }
            }
        }
    }
}
