//! Rooms without a cube, drawn: shelves, tiles, windows, keyboards, calendars, cloths of squares, hands and faces, before a camera
//! that sways, with its noise and a light that flickers.

use image::imageops::{FilterType, crop_imm, resize};
use image::{Rgb, RgbImage};
use imageproc::drawing::{draw_filled_ellipse_mut, draw_polygon_mut};
use imageproc::point::Point;
use rand::seq::IndexedRandom;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// Width and height of the camera's picture.
const SIZE: (u32, u32) = (640, 480);

/// Pixels by which the camera sways each way.
const SWAY: u32 = 24;

/// Drawn so many times as large and shrunk, so that edges are soft.
const FINER: u32 = 2;

type Colour = [f64; 3];

/// A room, larger than the picture by what the camera sways.
pub struct Room {
    wall: RgbImage,
    /// What moves in it: a hand or a head. Its middle, its sizes, and how fast it goes about.
    mover: [f64; 6],
    skin: Rgb<u8>,
    /// Differences of values by noise, to be begun anywhere.
    noise: Vec<i16>,
    rng: ChaCha8Rng,
}

impl Room {
    /// The room of that number; each is another one.
    pub fn new(number: u64) -> Room {
        let mut rng = ChaCha8Rng::seed_from_u64(number);
        let wall = drawn(&mut rng);
        let skin = *[[224, 172, 140], [198, 134, 96], [141, 85, 54], [90, 56, 37]]
            .choose(&mut rng)
            .expect("skins");
        let level = rng.random_range(1.0..7.0f64);
        // A sum of three even numbers is near enough to a normal one.
        let noise = (0..100_003)
            .map(|_| {
                let sum: f64 = (0..3).map(|_| rng.random_range(-1.0..1.0)).sum();
                (level * sum) as i16
            })
            .collect();
        let mover = [
            rng.random_range(0.0..640.0),
            rng.random_range(200.0..480.0),
            rng.random_range(25.0..110.0),
            rng.random_range(25.0..140.0),
            rng.random_range(0.05..1.2),
            rng.random_range(0.0..160.0),
        ];
        Room {
            wall,
            mover,
            skin: Rgb(skin),
            noise,
            rng,
        }
    }

    /// What the camera shows after so many seconds.
    pub fn picture(&mut self, t: f64) -> RgbImage {
        let sway = f64::from(SWAY);
        let x = sway + (sway - 1.0) * (t * 0.37).sin() * (t * 0.11).cos();
        let y = sway + (sway - 1.0) * (t * 0.29).cos();
        let (width, height) = SIZE;
        let mut picture = crop_imm(&self.wall, x as u32, y as u32, width, height).to_image();
        let [across, down, wide, high, often, far] = self.mover;
        let centre = (
            (across + far * (t * often).sin()) as i32,
            (down + 0.4 * far * (t * often * 0.7).cos()) as i32,
        );
        draw_filled_ellipse_mut(&mut picture, centre, wide as i32, high as i32, self.skin);
        let flicker = 1.0 + 0.04 * (t * 41.0).sin();
        let lit: [i16; 256] = std::array::from_fn(|value| (value as f64 * flicker) as i16);
        let first = self.rng.random_range(0..self.noise.len());
        let noise = self.noise.iter().cycle().skip(first);
        for (value, noise) in picture.iter_mut().zip(noise) {
            *value = (lit[usize::from(*value)] + noise).clamp(0, 255) as u8;
        }
        picture
    }
}

fn drawn(rng: &mut ChaCha8Rng) -> RgbImage {
    let (width, height) = (SIZE.0 + 2 * SWAY, SIZE.1 + 2 * SWAY);
    let base = colour(rng, 0.25);
    let slope = [0, 1].map(|_| rng.random_range(-0.35..0.35));
    let mut room = RgbImage::from_fn(FINER * width, FINER * height, |x, y| {
        let at = [f64::from(x) / 1400.0, f64::from(y) / 1100.0];
        let light = 1.0 + slope[0] * at[0] + slope[1] * at[1];
        pixel(base, light)
    });
    for _ in 0..rng.random_range(4..11) {
        thing(&mut room, rng);
    }
    resize(&room, width, height, FilterType::Triangle)
}

/// A colour, greyer the smaller `vivid` (0 to 1).
fn colour(rng: &mut ChaCha8Rng, vivid: f64) -> Colour {
    let grey = rng.random_range(0.1..0.95);
    std::array::from_fn(|_| grey + vivid * (rng.random_range(0.0..1.0) - grey))
}

fn pixel(colour: Colour, light: f64) -> Rgb<u8> {
    Rgb(colour.map(|c| (255.0 * c * light).clamp(0.0, 255.0) as u8))
}

/// Something with columns and rows, seen from any side: books are one row, keys many. None has three of each, as a face has.
fn thing(room: &mut RgbImage, rng: &mut ChaCha8Rng) {
    let kinds = [
        // Columns, rows, gap between them as a share, how vivid, how narrow a cell may be.
        (3..18, 1..2, 0.06, 0.9, 0.25),
        (4..12, 4..9, 0.08, 0.2, 0.9),
        (2..4, 2..3, 0.12, 0.3, 0.6),
        (6..15, 4..6, 0.2, 0.15, 0.9),
        (5..8, 4..7, 0.05, 0.35, 0.8),
        (4..9, 4..9, 0.01, 0.9, 0.95),
        (1..2, 1..2, 0.0, 0.8, 0.4),
        (2..3, 2..6, 0.1, 0.9, 0.8),
    ];
    let (columns, rows, gap, vivid, narrow) = kinds.choose(rng).expect("kinds").clone();
    let (columns, rows) = (rng.random_range(columns), rng.random_range(rows));
    let (room_width, room_height) = room.dimensions();
    let cell = rng.random_range(10.0..110.0) * f64::from(FINER);
    let width = cell * f64::from(columns) * rng.random_range(narrow..1.0);
    let height = cell * f64::from(rows) * if rows == 1 { 3.0 } else { 1.0 };
    let centre = [
        rng.random_range(0.0..f64::from(room_width)),
        rng.random_range(0.0..f64::from(room_height)),
    ];
    // A plane turned about two axes, before a camera at three widths.
    let turn = rng.random_range(-0.5..0.5f64);
    let [yaw, pitch] = [0, 1].map(|_| rng.random_range(-0.9..0.9f64));
    let place = |u: f64, v: f64| {
        let (x, y) = (width * (u - 0.5), height * (v - 0.5));
        let (x, y) = (
            x * turn.cos() - y * turn.sin(),
            x * turn.sin() + y * turn.cos(),
        );
        let depth = 1.0 + (x * yaw.sin() + y * pitch.sin()) / (3.0 * width.max(height));
        Point::new(
            (centre[0] + x * yaw.cos() / depth) as i32,
            (centre[1] + y * pitch.cos() / depth) as i32,
        )
    };
    let mut patch = |[left, top, right, bottom]: [f64; 4], colour: Rgb<u8>| {
        let corners = [(left, top), (right, top), (right, bottom), (left, bottom)];
        let corners = corners.map(|(u, v)| place(u, v));
        // What is too far to be seen is no polygon.
        if corners[0] != corners[3] && corners.windows(2).all(|pair| pair[0] != pair[1]) {
            draw_polygon_mut(room, &corners, colour);
        }
    };
    let ground = colour(rng, 0.2);
    patch([-0.03, -0.03, 1.03, 1.03], pixel(ground, 1.0));
    let few: Vec<Colour> = (0..rng.random_range(1..7))
        .map(|_| colour(rng, vivid))
        .collect();
    for row in 0..rows {
        for column in 0..columns {
            let (u, v) = (f64::from(column), f64::from(row));
            let within = [u + gap, v + gap, u + 1.0 - gap, v + 1.0 - gap];
            let across = [columns, rows, columns, rows].map(f64::from);
            let shade = rng.random_range(0.85..1.15);
            let colour = few.choose(rng).expect("colours");
            patch(
                std::array::from_fn(|i| within[i] / across[i]),
                pixel(*colour, shade),
            );
        }
    }
}
