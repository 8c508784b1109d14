//! A painted cube and what the page is told about it: pictures whose truth is known by construction.

use std::sync::Arc;

use image::codecs::jpeg::JpegEncoder;
use image::{Rgb, RgbImage};
use pairsight::cube::{Colour, Cube, Net, parse_moves};
use pairsight::draw::{Drawn, Stickers, held};
use pairsight::page::{Drawing, Found, FoundFace, Light, Say, Shown, Sticker};

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

/// The cube of the hint, with its next turn.
pub fn drawing() -> Drawing {
    let cube = Cube::solved().after(&parse_moves("R U R' U'").unwrap());
    let stickers = Stickers::of_net(&Net::of(&cube));
    let svg = held(&Drawn {
        stickers: &stickers,
        arrow: parse_moves("U'").unwrap().first().copied(),
        from_left: false,
        behind: false,
    });
    Drawing {
        svg: svg.into(),
        description: "the cube held white up, green in front".into(),
    }
}

/// A hint at the fourth rung, with everything on the page that can be there at once.
pub fn hint() -> Shown {
    Shown {
        sentence: "Put the green-red pair into its slot in front on the right.".into(),
        why: "The corner and the edge are joined above the slot, so three turns take them in together."
            .into(),
        rung: 4,
        seen: vec![Colour::White, Colour::Green, Colour::Red],
        found: Some(found()),
        drawing: Some(drawing()),
        moves: ["U", "R", "U'", "R'"].map(String::from).to_vec(),
        present: 2,
        waiting: "Make the turns, then show the pair.".into(),
        say: Say {
            serial: 1,
            text: "Put the green-red pair into its slot.".into(),
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
