//! A painted cube and what the page is told about it: pictures whose truth is known by construction.

use std::sync::Arc;

use image::codecs::jpeg::JpegEncoder;
use image::{Rgb, RgbImage};
use pairsight::coach::words;
use pairsight::cube::{Colour, Cube, Held, Hold, Moves, parse_moves};
use pairsight::draw::{Others, corner_asked, marked};
use pairsight::page::{
    Drawing, Found, FoundFace, Light, Progress, Say, Scene, Shown, SlotState, Sticker, Term, Turns,
};
use pairsight::solve::Slot;

pub const SIZE: (u32, u32) = (640, 480);

use Colour::{Blue as B, Green as G, Orange as O, Red as R, White as W, Yellow as Y};

/// The first point of the outline, the steps to the second and to the fourth, and the stickers row by row.
type PaintedFace = ([f32; 2], [f32; 2], [f32; 2], [Colour; 9]);

/// Three faces about one corner.
const FACES: [PaintedFace; 3] = [
    (
        [320.0, 70.0],
        [130.0, 70.0],
        [-130.0, 75.0],
        [W, W, O, W, W, W, G, W, W],
    ),
    (
        [190.0, 145.0],
        [130.0, 70.0],
        [5.0, 165.0],
        [G, G, B, G, G, G, R, G, G],
    ),
    (
        [320.0, 215.0],
        [130.0, -75.0],
        [-5.0, 170.0],
        [R, R, Y, R, R, R, B, R, R],
    ),
];

fn paint(colour: Colour) -> Rgb<u8> {
    Rgb(match colour {
        W => [232, 232, 226],
        Y => [235, 205, 50],
        R => [180, 30, 40],
        O => [240, 125, 30],
        G => [25, 140, 70],
        B => [30, 75, 175],
    })
}

/// A desk, and the cube `shift` pixels to the right of its usual place.
pub fn picture(shift: f32) -> RgbImage {
    RgbImage::from_fn(SIZE.0, SIZE.1, |px, py| {
        let (x, y) = (px as f32 + 0.5 - shift, py as f32 + 0.5);
        for (at, along, down, stickers) in FACES {
            let det = along[0] * down[1] - along[1] * down[0];
            let (dx, dy) = (x - at[0], y - at[1]);
            let u = 3.0 * (dx * down[1] - dy * down[0]) / det;
            let v = 3.0 * (along[0] * dy - along[1] * dx) / det;
            if (0.0..3.0).contains(&u) && (0.0..3.0).contains(&v) {
                let inside = |t: f32| (0.08..0.92).contains(&t.fract());
                let sticker = stickers[3 * v as usize + u as usize];
                let plastic = Rgb([22, 22, 24]);
                return if inside(u) && inside(v) {
                    paint(sticker)
                } else {
                    plastic
                };
            }
        }
        let shade = (70.0 + 60.0 * y / SIZE.1 as f32) as u8;
        Rgb([shade, shade.saturating_sub(8), shade.saturating_sub(20)])
    })
}

pub fn jpeg(picture: &RgbImage) -> Arc<[u8]> {
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, 88)
        .encode_image(picture)
        .unwrap();
    bytes.into()
}

/// The faces of [`picture`] at shift 0, with one doubtful and one unknown sticker.
pub fn found() -> Arc<Found> {
    let faces = FACES.map(|(at, along, down, stickers)| {
        let point = |u: f32, v: f32| [0, 1].map(|i| at[i] + u * along[i] + v * down[i]);
        let sticker = |n: usize| Sticker {
            colour: Some(stickers[n]),
            doubtful: false,
        };
        FoundFace {
            outline: [point(0., 0.), point(1., 0.), point(1., 1.), point(0., 1.)],
            stickers: Some([0, 1, 2].map(|r| [0, 1, 2].map(|c| sticker(3 * r + c)))),
        }
    });
    let mut faces = faces.to_vec();
    if let Some(stickers) = &mut faces[2].stickers {
        stickers[0][2].doubtful = true;
        stickers[2][0].colour = None;
    }
    Arc::new(Found { size: SIZE, faces })
}

/// The cube of the hint, with its pair and slot marked.
pub fn drawing() -> Drawing {
    let cube = Cube::solved().after(&parse_moves("L' U' L U'").unwrap());
    let hold = Hold::new(Colour::White, Colour::Green).unwrap();
    let slot = Slot::between([Colour::Green, Colour::Orange], Colour::White).unwrap();
    Drawing {
        stickers: marked(&Held { cube, hold }, slot, Others::Pale),
        from_left: false,
        description: "Hold it with white down and green in front.".into(),
    }
}

/// The corner that is to be shown at first.
pub fn any_corner() -> Drawing {
    Drawing {
        stickers: corner_asked(&[]),
        from_left: false,
        description: "Any corner, three faces at once.".into(),
    }
}

pub fn turns(idea: &str, moves: &str) -> Turns {
    Turns {
        idea: idea.into(),
        moves: moves.split(' ').map(String::from).collect(),
        words: moves
            .split(' ')
            .map(|m| words::turn(m.parse::<Moves>().unwrap()[0]))
            .collect(),
    }
}

/// A turn and a pair, explained.
pub fn lexicon() -> Arc<[Term]> {
    let Drawing { stickers, .. } = drawing();
    let term = |name: &str, say: &str, turn: Option<&str>| Term {
        name: name.into(),
        say: say.into(),
        stickers: stickers.clone(),
        turn: turn.map(String::from),
        from_left: false,
    };
    Arc::new([
        term(
            "Right side upwards",
            "The side goes the way its stickers in front of you go: up.",
            Some("R"),
        ),
        term(
            "A pair",
            "A corner with the cross colour, and the edge with its two other colours.",
            None,
        ),
    ])
}

/// One pair is left.
pub fn progress() -> Progress {
    let slot = |place, colours, solved: bool| SlotState {
        place,
        colours,
        solved,
        now: !solved,
    };
    Progress {
        cross: true,
        cross_colour: W,
        slots: [
            slot("front right", [G, O], false),
            slot("front left", [G, R], true),
            slot("back left", [B, R], true),
            slot("back right", [B, O], true),
        ],
        last: false,
    }
}

/// A hint at the fourth rung, with everything on the page that can be there at once.
pub fn hint() -> Shown {
    Shown {
        scene: Scene::Coaching,
        passed: "Well done, the green-red pair is in its slot.".into(),
        sentence: "Put the green-orange pair into its slot in front on the right.".into(),
        why: "The two are joined above the slot.".into(),
        rung: 4,
        seen: vec![Colour::White, Colour::Green, Colour::Red],
        found: Some(found()),
        drawing: Some(drawing()),
        turns: vec![turns("Make room", "U R"), turns("Insert", "U' R'")],
        present: 2,
        progress: Some(progress()),
        waiting: "Make the turns, then show the cube.".into(),
        say: Say {
            serial: 1,
            text: "Put the green-orange pair into its slot.".into(),
        },
        light: Some(Light {
            profile: "desk lamp".into(),
            like_profile: true,
            distance: Some(1.8),
            closest: None,
            advice: String::new(),
            ..Light::default()
        }),
        profiles: vec!["desk lamp".into(), "window".into()],
        ..Shown::default()
    }
}
