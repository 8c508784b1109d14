//! The printable guide: first all sights of a pair on two sheets, then the method in words, made by the code that coaches.

use maud::{Markup, PreEscaped, html};

use super::document;
use crate::coach::{Idea, Lesson, Relation, Route, english, lessons, words};
use crate::cube::{Amount, Axis, Colour, Cube, Face, Held, Move, Net, Turn};
use crate::draw::{HeldCube, Others, Stickers, held, situation};
use crate::solve::Slot;

/// The guide for one slot of a cross.
pub fn guide(cross: Colour, slot: Slot) -> String {
    let lessons = lessons(cross, slot);
    let content = html! {
        (overview(cross, &lessons))
        (method(cross, slot))
        (turns(cross, slot))
        (in_full(&lessons))
    };
    document("First two layers, pair by pair", STYLE, &content)
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
fn overview(cross: Colour, lessons: &[Lesson]) -> Markup {
    html! {
        h1 { "First two layers, pair by pair" }
        p {
            "Turn the top until you meet a picture, its slot at the front right. For its mirror image, the slot at the front \
             left, make the turns of the left hand. The " (cross.name()) " cross is down."
        }
        @for sheet in lessons.chunks(ON_A_SHEET) {
            div.sheet {
                @for lesson in sheet { (sight(lesson)) }
            }
        }
    }
}

fn sight(lesson: &Lesson) -> Markup {
    let moves = |side: &str, route: Option<&Route>| {
        html! {
            @match route {
                Some(route) => { (side) " " span.moves { (route.moves.to_string()) } }
                None => "its own mirror",
            }
        }
    };
    let ideas = lesson.routes.first().map(|route| {
        let uses: Vec<&str> = route.uses.iter().map(|one| english::used(*one)).collect();
        uses.join(", ")
    });
    html! {
        div.sight {
            (picture(lesson, 0.42))
            h3 { (lesson.number) ". " (english::sight(lesson.name)) }
            p.idea { (ideas.unwrap_or_default()) }
            (moves("right", lesson.routes.first()))
            br;
            (moves("left", lesson.mirrored_route.as_ref()))
        }
    }
}

/// The method in words: the principle, the one question, and the ideas by their names.
fn method(cross: Colour, slot: Slot) -> Markup {
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
    html! {
        section {
            h2 { "The method" }
            p {
                "A slot belongs to a corner and an edge: the slot between " (a) " and " (b) " to the "
                (cross) "-" (a) "-" (b) " corner and the " (a) "-" (b) " edge. Pictures have a line around the two, and a \
                 broken line around their slot; the small cube is the same one seen from behind. Grey pieces do not \
                 matter. What is shown here is the same for every slot and every colour."
            }
            p {
                b { "One principle." }
                " Open the pair's own slot, so that one piece hides below; turn the top, which moves the other; close the \
                 slot. The cross and the other slots come back with it."
            }
            p {
                b { "One question." }
                " Both on top, " (cross) " sideways: are the two top colours the same? Same: the lift makes them join. \
                 Different: it makes them ready. Only where " (cross) " touches the edge and the top colours are the same \
                 they first part."
            }
            p { b { "Ideas." } }
            ol {
                @for (idea, text) in ideas {
                    li { b { (words::sentence(english::idea(idea))) "." } " " (text) }
                }
            }
            p { "After each lift look again: what is next is what you see then." }
        }
    }
}

/// How turns are named, with an arrow for each.
fn turns(cross: Colour, slot: Slot) -> Markup {
    let now = Held {
        cube: Cube::solved(),
        hold: slot.hold(cross),
    };
    let stickers = Stickers::of_net(&Net::of_held(&now));
    let sides = [Face::R, Face::L, Face::U, Face::F, Face::D, Face::B].into_iter();
    let quarter = [Amount::Quarter, Amount::Counter];
    let turns = sides.flat_map(|f| quarter.map(|a| Move::from(Turn::new(f, a))));
    let whole = quarter.map(|a| Move::Rotation(Axis::Y, a));
    let drawn = |m: Move| {
        held(&HeldCube {
            stickers: &stickers,
            arrow: Some(m),
            from_left: matches!(m, Move::Outer(t) if t.face == Face::L),
            behind: false,
        })
    };
    html! {
        section {
            h2 { "Turns in words" }
            p { (words::TURN_WORDS) " A 2 behind a letter means half a turn." }
            div.turns {
                @for m in turns.chain(whole) {
                    div {
                        (scaled(&drawn(m), 0.33))
                        (words::sentence(&words::turn(m)))
                        br;
                        span.moves { (m.to_string()) }
                    }
                }
            }
        }
    }
}

/// A kind of sights by its name, and which are of it.
type Kind = (&'static str, fn(&Lesson) -> bool);

/// The kinds of sights, in the order of teaching.
const KINDS: [Kind; 4] = [
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
fn in_full(lessons: &[Lesson]) -> Markup {
    html! {
        div.cards {
            @for (title, of_kind) in KINDS {
                @for (i, lesson) in lessons.iter().filter(|lesson| of_kind(lesson)).enumerate() {
                    // A heading never stands alone at the end of a column.
                    div.whole {
                        @if i == 0 { h2 { (title) } }
                        (card(lesson))
                    }
                }
            }
        }
    }
}

fn card(lesson: &Lesson) -> Markup {
    html! {
        div.card {
            (picture(lesson, 0.34))
            h3 { (lesson.number) ". " (english::sight(lesson.name)) }
            p { (english::text(&lesson.see)) }
            @if let Some(plain) = lesson.routes.first() {
                p { b { (english::text(&plain.idea)) } }
                ol {
                    @for step in &plain.steps {
                        li { (english::text(&step.say)) br; span.why { (english::text(&step.why)) } }
                    }
                }
                @for other in lesson.routes.iter().filter(|route| route.is_worth_offering(plain)) {
                    p.why { span.moves { (other.moves.to_string()) } " " (english::text(&other.idea)) }
                }
            }
        }
    }
}

fn picture(lesson: &Lesson, factor: f32) -> Markup {
    let drawn = situation(&lesson.held, lesson.slot, None, Others::FirstLayersAtHome);
    scaled(&drawn, factor)
}

/// A drawing at another size.
fn scaled(svg: &str, factor: f32) -> Markup {
    let size = |name: &str| -> Option<f32> {
        let (_, rest) = svg.split_once(&format!(" {name}=\""))?;
        rest.split('"').next()?.parse().ok()
    };
    let (Some(width), Some(height)) = (size("width"), size("height")) else {
        return PreEscaped(svg.to_owned());
    };
    let old = format!("width=\"{width:.0}\" height=\"{height:.0}\"");
    let (width, height) = (width * factor, height * factor);
    let new = format!("width=\"{width:.0}\" height=\"{height:.0}\"");
    PreEscaped(svg.replacen(&old, &new, 1))
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
                        "{:?}",
                        lesson.name
                    );
                }
                assert_eq!(lesson.routes[0].rotations, 0);
            }
        }
    }
}
