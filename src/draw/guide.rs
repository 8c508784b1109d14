//! The printable guide: one self-contained HTML page, first all sights of a pair on two sheets, then the method in words, made
//! by the code that coaches.

use std::fmt::Write;

use super::{Drawn, Others, Stickers, held, situation};
use crate::coach::{Idea, Lesson, Relation, Route, lessons, words};
use crate::cube::{Amount, Axis, Colour, Cube, Face, Held, Move, Net, Turn};
use crate::solve::Slot;

/// The guide for one slot of a cross, as a whole HTML document.
pub fn guide(cross: Colour, slot: Slot) -> String {
    let lessons = lessons(cross, slot);
    let body = [
        overview(cross, &lessons),
        method(cross, slot),
        turns(cross, slot),
        in_full(&lessons),
    ];
    format!(
        "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" \
         content=\"width=device-width\"><title>First two layers, pair by pair</title><style>{STYLE}</style></head>\
         <body><main>{}</main></body></html>\n",
        body.concat()
    )
}

const STYLE: &str = "\
body{margin:0;background:#fbf9f4;color:#20242c;font:15px/1.45 system-ui,sans-serif}\
main{max-width:1000px;margin:0 auto;padding:24px}\
h1{font-size:28px;margin:0 0 4px}h2{font-size:21px;margin:24px 0 4px;border-top:3px solid #20242c;padding-top:10px}\
h3{font-size:15px;margin:0 0 4px}p{margin:4px 0 8px}\
.sheet{display:grid;grid-template-columns:repeat(3,1fr);gap:8px;margin:8px 0 16px}\
.sight,.card{border:1px solid #b9b4a6;border-radius:8px;padding:6px 8px;background:#fff;break-inside:avoid}\
.sight{text-align:center}.sight svg{display:block;margin:0 auto}\
.sight h3{font-size:14px;margin:0}\
.idea{color:#4a505c;font-size:12px;margin:0}\
.cards{columns:2;column-gap:12px;margin-top:12px}.cards h2{margin-top:0}.card{margin:0 0 10px;display:inline-block;width:100%;box-sizing:border-box}\
.whole{break-inside:avoid}.card svg{float:right;margin:0 0 4px 8px}\
.turns{display:grid;grid-template-columns:repeat(auto-fill,minmax(130px,1fr));gap:6px;text-align:center}\
.turns svg{display:block;margin:0 auto}.turns div{break-inside:avoid}\
ol{margin:4px 0 6px;padding-left:20px;clear:none}li{margin:2px 0}\
.moves{font-weight:600;white-space:nowrap}\
.why{color:#4a505c;font-size:13px}\
@page{margin:12mm}\
@media print{body{background:#fff;font-size:10.5px;line-height:1.35}main{max-width:none;padding:0}\
h1{font-size:19px;margin:0}h2{font-size:15px;margin:12px 0 3px;padding-top:6px;border-top-width:2px}\
h1+p{margin:2px 0 0}.sheet{gap:2mm;margin:2mm 0 0;break-after:page}\
.sight{height:56mm;box-sizing:border-box;padding:1.5mm;overflow:hidden}.sight svg{height:34mm;width:auto}\
.sight h3{font-size:11px}.sight .moves{font-size:11px}.idea{font-size:9.5px}\
.turns{grid-template-columns:repeat(7,1fr)}.turns svg{height:20mm;width:auto}.card svg{height:27mm;width:auto}\
h2,h2+p{break-after:avoid}.why{font-size:9.5px}.cards{column-gap:5mm}.card{margin:0 0 2.5mm;padding:2mm}}";

/// How many sights stand on one sheet.
const ON_A_SHEET: usize = 12;

/// All sights: drawing, number, name, ideas and turns.
fn overview(cross: Colour, lessons: &[Lesson]) -> String {
    let mut sheets = format!(
        "<h1>First two layers, pair by pair</h1><p>Turn the top until you meet a picture: its slot is at the front right. \
         Beside it or in the mirror, its slot at the front left, make the turns of the left hand. The {} cross is down.</p>",
        cross.name()
    );
    for sheet in lessons.chunks(ON_A_SHEET) {
        sheets.push_str("<div class=\"sheet\">");
        for lesson in sheet {
            sheets.push_str(&sight(lesson));
        }
        sheets.push_str("</div>");
    }
    sheets
}

fn sight(lesson: &Lesson) -> String {
    let picture = situation(&lesson.held, lesson.slot, None, Others::FirstLayersAtHome);
    let moves = |side: &str, route: Option<&Route>| {
        let told = |route: &Route| format!("{side} <span class=\"moves\">{}</span>", route.moves);
        route.map_or_else(|| "its own mirror".into(), told)
    };
    let ideas = lesson.routes.first().map(|route| route.uses.join(", "));
    format!(
        "<div class=\"sight\">{}<h3>{}. {}</h3><p class=\"idea\">{}</p>{}<br>{}</div>",
        scaled(&picture, 0.42),
        lesson.number,
        lesson.name,
        ideas.unwrap_or_default(),
        moves("right", lesson.routes.first()),
        moves("left", lesson.mirrored_route.as_ref()),
    )
}

/// The method in words: the principle, the one question, and the ideas by their names.
fn method(cross: Colour, slot: Slot) -> String {
    let [a, b] = slot.colours(cross).map(Colour::name);
    let cross = cross.name();
    let ideas = [
        (
            Idea::Free,
            "A piece in a slot comes out: its slot opens, the top moves it aside, the slot closes.",
        ),
        (
            Idea::Join,
            "One piece hides below while the top brings the other; it comes back, and they are joined.",
        ),
        (
            Idea::Ready,
            "The same, and they stand so that one insert takes both in.",
        ),
        (
            Idea::Park,
            "The corner goes into its slot for a moment, away from the edge.",
        ),
        (
            Idea::Insert,
            "The slot opens, the top brings the pair over it, the slot closes.",
        ),
    ];
    let mut items = String::new();
    for (idea, text) in ideas {
        // Writing to a String cannot fail.
        let _ = write!(
            items,
            "<li><b>{}.</b> {text}</li>",
            words::sentence(idea.name())
        );
    }
    format!(
        "<section><h2>The method</h2><p>A slot belongs to a corner and an edge: the slot between {a} and {b} to the \
         {cross}-{a}-{b} corner and the {a}-{b} edge. Pictures have a line around the two, and a broken line around their \
         slot; the small cube is the same one seen from behind. Grey pieces do not matter. What is shown here is the same for every slot \
         and every colour.</p><p><b>One principle.</b> Open the pair's own slot, so that one piece hides below; turn the top, \
         which moves the other; close the slot. The cross and the other slots come back with it.</p><p><b>One question.</b> \
         Both on top, {cross} sideways: are the two top colours the same? Same: the lift makes them join. Different: it \
         makes them ready. Only where {cross} touches the edge and the top colours are the same they first part.</p>\
         <p><b>Ideas.</b></p><ol>{items}</ol><p>After each lift look again: what is next is what you see then.</p></section>"
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
        "<section><h2>Turns in words</h2><p>{} A 2 behind a letter means half a turn.</p><div class=\"turns\">\
         {figures}</div></section>",
        words::TURN_WORDS
    )
}

/// The kinds of sights, in the order of teaching.
const KINDS: [(&str, fn(&Lesson) -> bool); 4] = [
    ("The inserts", |lesson| lesson.number <= 2),
    ("On top, apart", |lesson| {
        lesson.number > 2 && lesson.relation == Relation::Apart
    }),
    ("On top, touching wrongly", |lesson| {
        lesson.relation == Relation::Misjoined
    }),
    ("In its slot", |lesson| {
        use Relation::{BothInSlots, CornerInSlot, EdgeInSlot};
        matches!(lesson.relation, CornerInSlot | EdgeInSlot | BothInSlots)
    }),
];

/// Every sight with what to see, what to do, and why, in one flow, so that sheets fill.
fn in_full(lessons: &[Lesson]) -> String {
    let mut text = String::from("<div class=\"cards\">");
    for (title, of_kind) in KINDS {
        let mut heading = format!("<h2>{title}</h2>");
        for lesson in lessons.iter().filter(|lesson| of_kind(lesson)) {
            // A heading never stands alone at the end of a column.
            let _ = write!(text, "<div class=\"whole\">{heading}{}</div>", card(lesson));
            heading.clear();
        }
    }
    text.push_str("</div>");
    text
}

fn card(lesson: &Lesson) -> String {
    let picture = situation(&lesson.held, lesson.slot, None, Others::FirstLayersAtHome);
    let mut card = format!(
        "<div class=\"card\">{}<h3>{}. {}</h3><p>{}</p>",
        scaled(&picture, 0.34),
        lesson.number,
        lesson.name,
        lesson.see
    );
    if let Some(plain) = lesson.routes.first() {
        let _ = write!(card, "<p><b>{}</b></p><ol>", plain.idea);
        for step in &plain.steps {
            let _ = write!(
                card,
                "<li>{}<br><span class=\"why\">{}</span></li>",
                step.say, step.why
            );
        }
        card.push_str("</ol>");
        let shorter = |route: &&Route| route.is_worth_telling(plain);
        for other in lesson.routes.iter().filter(shorter) {
            let _ = write!(
                card,
                "<p class=\"why\"><span class=\"moves\">{}</span> {}</p>",
                other.moves, other.idea
            );
        }
    }
    card.push_str("</div>");
    card
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
    fn the_guide_has_every_sight_twice_and_needs_nothing_from_outside() {
        let html = guide(Colour::White, Slot::ALL[0]);
        assert_eq!(html.matches("<div class=\"sight\">").count(), 22);
        assert_eq!(html.matches("<div class=\"card\">").count(), 22);
        for number in 1..=22 {
            assert_eq!(html.matches(&format!("<h3>{number}. ")).count(), 2);
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
    fn routes_of_the_guide_solve_their_sights_for_both_hands() {
        use crate::solve::{SlotSet, pairs_solved};
        for slot in Slot::ALL {
            for lesson in lessons(Colour::Red, slot) {
                let mirrored = lesson
                    .mirrored_route
                    .as_ref()
                    .map(|r| (&lesson.mirrored, r));
                let routes = lesson.routes.iter().map(|route| (&lesson.held, route));
                for (held, route) in routes.chain(mirrored) {
                    let end = held.after(&route.moves).cube;
                    assert_eq!(
                        pairs_solved(&end, Colour::Red),
                        SlotSet::ALL,
                        "{}",
                        lesson.name
                    );
                }
                assert_eq!(lesson.routes[0].rotations, 0);
            }
        }
    }
}
