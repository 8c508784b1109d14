//! What people have around them that is laid out in rows and columns, and is no cube.

use std::f64::consts::TAU;

use image::RgbImage;
use rand::Rng;
use rand_chacha::ChaCha8Rng;

use super::{Colour, Plane, Rod, Scene, any_colour, turn};

/// What a thing looks like at a point of its plane, in cells from its middle.
type Paint = Box<dyn Fn(f64, f64) -> Option<Colour>>;

/// A thing to be drawn: its columns, its rows, what is around them in cells, and its looks.
pub struct Thing {
    pub columns: usize,
    pub rows: usize,
    pub rim: f64,
    pub paint: Paint,
}

/// How a scene of one kind is set up.
pub enum Make {
    /// One thing lies somewhere in a room, up to so many degrees to the line of sight.
    Laid(fn(&mut ChaCha8Rng) -> Thing, f64),
    Staged(fn(&mut ChaCha8Rng) -> Scene),
}

/// The kinds of things, by name.
const KINDS: [(&str, Make); 17] = [
    ("chess board", Make::Laid(chess_board, STEEP)),
    ("colour chart", Make::Laid(colour_chart, STEEP)),
    ("tiles", Make::Laid(tiles, STEEP)),
    ("few cells", Make::Laid(few_cells, STEEP)),
    ("keyboard", Make::Laid(keyboard, STEEP)),
    ("keypad", Make::Laid(keypad, STEEP)),
    ("calendar", Make::Laid(calendar, STEEP)),
    ("bookshelf", Make::Laid(bookshelf, STEEP)),
    ("checked shirt", Make::Laid(checked_cloth, STEEP)),
    ("windows", Make::Laid(windows, STEEP)),
    ("pixel art", Make::Laid(pixel_art, STEEP)),
    ("square code", Make::Laid(square_code, STEEP)),
    ("bricks", Make::Laid(bricks, STEEP)),
    ("icons", Make::Laid(icons, STEEP)),
    ("oblong cells", Make::Laid(oblong_cells, FLAT)),
    ("held board", Make::Staged(held_board)),
    ("framed boards", Make::Staged(framed_boards)),
];

/// A picture without a cube, and the kind of thing that it shows. The same number gives the same picture.
pub fn nothing(number: u64, rng: &mut ChaCha8Rng) -> (&'static str, RgbImage) {
    let (kind, make) = &KINDS[(number % KINDS.len() as u64) as usize];
    (kind, picture_of(make, rng))
}

/// Draws a scene as a camera takes it: noisy, out of focus, dark or moved, each by chance.
pub fn picture_of(make: &Make, rng: &mut ChaCha8Rng) -> RgbImage {
    let mut scene = match make {
        Make::Laid(thing, steepest) => scene_of(thing(rng), *steepest, rng),
        Make::Staged(scene) => scene(rng),
    };
    scene.noise = rng.random_range(0.5..7.0);
    scene.blur = rng.random_range(0..3);
    scene.light = rng.random_range(0.4..1.0);
    if rng.random_bool(0.15) {
        let (sin, cos) = rng.random_range(0.0..TAU).sin_cos();
        let long = rng.random_range(2.0..9.0);
        scene.motion = [cos * long, sin * long];
    }
    scene.draw(rng)
}

/// Largest tilts of things to the line of sight, degrees. Oblong cells look square when they are steep.
pub const STEEP: f64 = 50.0;
const FLAT: f64 = 20.0;

/// Lays a thing down somewhere in a room.
fn scene_of(thing: Thing, steepest: f64, rng: &mut ChaCha8Rng) -> Scene {
    let (width, height) = [(640, 480), (640, 480), (1280, 720)][rng.random_range(0..3)];
    let mut scene = Scene::new(width, height, rng);
    scene.clutter(10, rng);
    lay(&mut scene, thing, steepest, rng);
    scene
}

/// Lays a thing before all that is in the scene.
fn lay(scene: &mut Scene, thing: Thing, steepest: f64, rng: &mut ChaCha8Rng) {
    let (wide, high) = (f64::from(scene.width), f64::from(scene.height));
    let longer = thing.columns.max(thing.rows) as f64;
    let pitch = rng
        .random_range(14.0..90.0f64)
        .min(rng.random_range(0.7..1.5) * high / longer);
    let focal = rng.random_range(0.75..1.3) * wide;
    let tilt = rng.random_range(0.0..steepest).to_radians();
    let axes = turn(
        rng.random_range(0.0..TAU),
        tilt,
        [0.0, rng.random_range(0.0..TAU)][rng.random_range(0..2)],
    );
    let at = [
        rng.random_range(-0.25..0.25) * wide,
        rng.random_range(-0.25..0.25) * high,
        focal,
    ];
    let (column, row) = (axes[0].map(|v| v * pitch), axes[1].map(|v| v * pitch));
    scene.planes.push(Plane {
        to_picture: scene.project(column, row, at, focal),
        reach: longer / 2.0 + thing.rim,
        paint: thing.paint,
    });
}

/// The cell that a point lies in and its place there, from -0.5 to 0.5; `None` outside.
pub fn cell(columns: usize, rows: usize, u: f64, v: f64) -> Option<(usize, usize, f64, f64)> {
    let (x, y) = (u + columns as f64 / 2.0, v + rows as f64 / 2.0);
    let inside = x >= 0.0 && y >= 0.0 && x < columns as f64 && y < rows as f64;
    inside.then(|| (x as usize, y as usize, x.fract() - 0.5, y.fract() - 0.5))
}

pub fn around(columns: usize, rows: usize, rim: f64, u: f64, v: f64) -> bool {
    u.abs() < columns as f64 / 2.0 + rim && v.abs() < rows as f64 / 2.0 + rim
}

/// Square cells of colours dealt at random from `colours`, with `gap` cells of `between` between them and a frame of `rim` around them.
fn board(
    columns: usize,
    rows: usize,
    colours: &[Colour],
    between: Colour,
    (gap, rim): (f64, f64),
    rng: &mut ChaCha8Rng,
) -> Thing {
    let deal: Vec<Colour> = (0..rows * columns)
        .map(|_| colours[rng.random_range(0..colours.len())])
        .collect();
    dealt(columns, rows, deal, between, (gap, rim))
}

fn dealt(
    columns: usize,
    rows: usize,
    deal: Vec<Colour>,
    between: Colour,
    (gap, rim): (f64, f64),
) -> Thing {
    Thing {
        columns,
        rows,
        rim,
        paint: Box::new(move |u, v| {
            let on = |t: f64| t.abs() < 0.5 - gap / 2.0;
            match cell(columns, rows, u, v) {
                Some((i, k, x, y)) if on(x) && on(y) => Some(deal[k * columns + i]),
                _ => around(columns, rows, rim, u, v).then_some(between),
            }
        }),
    }
}

pub fn loud(rng: &mut ChaCha8Rng) -> Vec<Colour> {
    (0..7).map(|_| any_colour(rng)).collect()
}

pub fn dark_or_pale(rng: &mut ChaCha8Rng) -> Colour {
    [[25.0; 3], [225.0; 3]][rng.random_range(0..2)]
}

fn frame(rng: &mut ChaCha8Rng) -> (f64, f64) {
    (rng.random_range(0.03..0.2), rng.random_range(0.0..0.6))
}

/// A mark like a letter: two strokes in a cell, `true` on them.
pub fn glyph(x: f64, y: f64, seed: usize) -> bool {
    let angle = |k: usize| ((seed * 7 + k * 13) % 8) as f64 * TAU / 16.0;
    let stroke = |k: usize| {
        let (sin, cos) = angle(k).sin_cos();
        (x * sin - y * cos).abs() < 0.12 && (x * cos + y * sin).abs() < 0.5
    };
    stroke(0) || stroke(1)
}

fn chess_board(rng: &mut ChaCha8Rng) -> Thing {
    let side = [8, 8, 10, 6, 7][rng.random_range(0..5)];
    let (one, other) = ([any_colour(rng), [20.0; 3]], [any_colour(rng), [235.0; 3]]);
    let (one, other) = (one[rng.random_range(0..2)], other[rng.random_range(0..2)]);
    let deal = (0..side * side)
        .map(|i| {
            if (i % side + i / side) % 2 == 0 {
                one
            } else {
                other
            }
        })
        .collect();
    dealt(
        side,
        side,
        deal,
        dark_or_pale(rng),
        (0.0, rng.random_range(0.0..0.6)),
    )
}

fn colour_chart(rng: &mut ChaCha8Rng) -> Thing {
    let (columns, rows) = [(6, 4), (4, 6), (14, 10), (5, 4)][rng.random_range(0..4)];
    board(
        columns,
        rows,
        &loud(rng),
        dark_or_pale(rng),
        frame(rng),
        rng,
    )
}

fn tiles(rng: &mut ChaCha8Rng) -> Thing {
    let base = any_colour(rng);
    let near: Vec<Colour> = (0..3)
        .map(|_| base.map(|c| c + rng.random_range(-12.0..12.0)))
        .collect();
    let grout = base.map(|c| c + [-60.0, 50.0][rng.random_range(0..2)]);
    let count = rng.random_range(5..12);
    board(
        count,
        count,
        &near,
        grout,
        (rng.random_range(0.03..0.1), 0.0),
        rng,
    )
}

/// Boards, drawers, games and boxes of a few cells; none has three by three.
fn few_cells(rng: &mut ChaCha8Rng) -> Thing {
    let cells = [
        (4, 4),
        (5, 5),
        (2, 2),
        (2, 3),
        (3, 5),
        (4, 3),
        (1, 3),
        (3, 4),
        (4, 2),
    ];
    let (columns, rows) = cells[rng.random_range(0..cells.len())];
    board(
        columns,
        rows,
        &loud(rng),
        dark_or_pale(rng),
        frame(rng),
        rng,
    )
}

fn keyboard(rng: &mut ChaCha8Rng) -> Thing {
    let (columns, rows) = (rng.random_range(10..15), rng.random_range(4..6));
    let (key, ink) = [
        ([50.0; 3], [215.0; 3]),
        ([225.0; 3], [60.0; 3]),
        ([70.0, 75.0, 90.0], [230.0; 3]),
    ][rng.random_range(0..3)];
    let (body, loud_key) = (any_colour(rng), any_colour(rng));
    let gap = rng.random_range(0.08..0.22);
    let loud_share = rng.random_range(1..9);
    Thing {
        columns,
        rows,
        rim: 0.4,
        paint: Box::new(move |u, v| {
            let high = (v + rows as f64 / 2.0).floor();
            let shift = [0.0, 0.5, 0.75, 0.25, 0.0, 0.4][high.rem_euclid(6.0) as usize];
            match cell(columns, rows, u - shift, v) {
                Some((i, k, x, y)) if x.abs().max(y.abs()) < 0.5 - gap / 2.0 => {
                    let own = if (i * 5 + k * 3) % 11 < loud_share / 2 {
                        loud_key
                    } else {
                        key
                    };
                    let top = x.abs() < 0.36 && (y + 0.05).abs() < 0.36;
                    if glyph((x + 0.12) * 3.0, (y + 0.14) * 3.0, i + k * columns) {
                        Some(ink)
                    } else {
                        Some(own.map(|c| if top { c } else { c * 0.8 }))
                    }
                }
                _ => around(columns, rows, 0.4, u, v).then_some(body),
            }
        }),
    }
}

fn keypad(rng: &mut ChaCha8Rng) -> Thing {
    let (columns, rows) = [(3, 4), (4, 5), (3, 5), (4, 4), (5, 7)][rng.random_range(0..5)];
    let colours = [any_colour(rng), any_colour(rng)];
    let (body, ink) = (dark_or_pale(rng), any_colour(rng));
    let half = rng.random_range(0.3..0.46);
    let round = rng.random_range(0.0..0.25);
    let rim = rng.random_range(0.1..0.8);
    let marked = rng.random_bool(0.7);
    Thing {
        columns,
        rows,
        rim,
        paint: Box::new(move |u, v| match cell(columns, rows, u, v) {
            Some((i, k, x, y)) if rounded(x, y, half, round) => {
                let on = marked && glyph(x * 2.2, y * 2.2, i * 3 + k);
                let other = i + 1 == columns || k + 1 == rows;
                Some(if on { ink } else { colours[usize::from(other)] })
            }
            _ => around(columns, rows, rim, u, v).then_some(body),
        }),
    }
}

pub fn rounded(x: f64, y: f64, half: f64, round: f64) -> bool {
    let inner = half - round;
    let (x, y) = ((x.abs() - inner).max(0.0), (y.abs() - inner).max(0.0));
    x.hypot(y) <= round.max(1e-9)
}

fn calendar(rng: &mut ChaCha8Rng) -> Thing {
    let (columns, rows) = (7, rng.random_range(5..7));
    let (paper, line) = (
        [235.0, 234.0, 228.0],
        [[120.0; 3], [30.0; 3]][rng.random_range(0..2)],
    );
    let colours = loud(rng);
    let ink = any_colour(rng).map(|c| c * 0.5);
    let thin = rng.random_range(0.015..0.05);
    let marked: Vec<bool> = (0..42).map(|_| rng.random_bool(0.25)).collect();
    Thing {
        columns,
        rows,
        rim: 0.9,
        paint: Box::new(move |u, v| match cell(columns, rows, u, v) {
            Some((i, k, x, y)) => Some(if x.abs().max(y.abs()) > 0.5 - thin {
                line
            } else if glyph((x + 0.25) * 3.0, (y + 0.22) * 3.0, i + 7 * k) {
                ink
            } else if marked[k * columns + i] {
                colours[(i + k) % colours.len()]
            } else {
                paper
            }),
            None => around(columns, rows, 0.9, u, v).then_some(if v < 0.0 { ink } else { paper }),
        }),
    }
}

fn bookshelf(rng: &mut ChaCha8Rng) -> Thing {
    let (columns, rows) = (rng.random_range(5..11), rng.random_range(2..5));
    let mut books = Vec::new();
    for _ in 0..rows {
        let mut x = 0.0;
        while x < columns as f64 {
            let wide = rng.random_range(0.15..0.9);
            books.push((
                x,
                x + wide,
                rng.random_range(0.02..0.35),
                any_colour(rng),
                any_colour(rng),
            ));
            x += wide;
        }
        books.push((f64::MAX, 0.0, 0.0, [0.0; 3], [0.0; 3]));
    }
    let shelves: Vec<Vec<_>> = books
        .split(|book| book.0 == f64::MAX)
        .map(<[_]>::to_vec)
        .collect();
    let wood = [110.0, 80.0, 55.0];
    Thing {
        columns,
        rows,
        rim: 0.15,
        paint: Box::new(move |u, v| {
            let Some((_, k, _, y)) = cell(columns, rows, u, v) else {
                return around(columns, rows, 0.15, u, v).then_some(wood);
            };
            let x = u + columns as f64 / 2.0;
            if y > 0.45 {
                return Some(wood);
            }
            let book = shelves[k].iter().find(|book| x >= book.0 && x < book.1);
            Some(match book {
                Some(&(from, to, top, own, label)) if y > top - 0.5 => {
                    let edge = (x - from).min(to - x) < 0.02;
                    let band = (y + 0.2).abs() < 0.06 || (y - 0.3).abs() < 0.04;
                    if band {
                        label
                    } else {
                        own.map(|c| if edge { c * 0.6 } else { c })
                    }
                }
                _ => [35.0, 28.0, 24.0],
            })
        }),
    }
}

fn checked_cloth(rng: &mut ChaCha8Rng) -> Thing {
    let count = rng.random_range(6..14);
    let (ground, one, other) = (any_colour(rng), any_colour(rng), any_colour(rng));
    let (wide, thin) = (rng.random_range(0.3..0.6), rng.random_range(0.0..0.1));
    let wave = rng.random_range(0.0..0.15);
    Thing {
        columns: count,
        rows: count,
        rim: 0.0,
        paint: Box::new(move |u, v| {
            if !around(count, count, 0.0, u, v) {
                return None;
            }
            let (u, v) = (u + wave * (0.9 * v).sin(), v + wave * (0.7 * u).sin());
            let band = |t: f64| t.rem_euclid(1.0);
            let weave = |t: f64| {
                let t = band(t);
                if t < wide {
                    one
                } else if (t - 0.8).abs() < thin {
                    other
                } else {
                    ground
                }
            };
            let (warp, weft) = (weave(u), weave(v));
            Some([0, 1, 2].map(|i| 0.5 * (warp[i] + weft[i])))
        }),
    }
}

fn windows(rng: &mut ChaCha8Rng) -> Thing {
    let (columns, rows) = (rng.random_range(4..9), rng.random_range(3..7));
    let (wall, pale) = (any_colour(rng), [220.0; 3]);
    let glass: Vec<Colour> = (0..columns * rows)
        .map(|_| [60.0, 75.0, 95.0].map(|c| c * rng.random_range(0.4..1.8)))
        .collect();
    let half = [rng.random_range(0.25..0.42), rng.random_range(0.3..0.45)];
    let panes = [
        rng.random_range(1..4) as f64,
        [1.0, 2.0, 4.0][rng.random_range(0..3)],
    ];
    let bar = rng.random_range(0.02..0.06);
    Thing {
        columns,
        rows,
        rim: 0.6,
        paint: Box::new(move |u, v| {
            let Some((i, k, x, y)) = cell(columns, rows, u, v) else {
                return around(columns, rows, 0.6, u, v).then_some(wall);
            };
            let inside = x.abs() < half[0] && y.abs() < half[1];
            if !inside {
                return Some(wall);
            }
            let on_bar = |t: f64, half: f64, panes: f64| {
                let place = (t + half) / (2.0 * half) * panes;
                (place - place.round()).abs() * 2.0 * half / panes < bar
            };
            Some(
                if on_bar(x, half[0], panes[0]) || on_bar(y, half[1], panes[1]) {
                    pale
                } else {
                    glass[k * columns + i]
                },
            )
        }),
    }
}

fn pixel_art(rng: &mut ChaCha8Rng) -> Thing {
    let side = rng.random_range(8..20);
    let colours = loud(rng);
    let mut deal = vec![colours[0]; side * side];
    for at in 0..deal.len() {
        deal[at] = match rng.random_range(0..10) {
            0..3 if at >= 1 => deal[at - 1],
            3..6 if at >= side => deal[at - side],
            _ => colours[rng.random_range(0..colours.len())],
        };
    }
    let gap = [0.0, 0.0, 0.06, 0.12][rng.random_range(0..4)];
    dealt(
        side,
        side,
        deal,
        dark_or_pale(rng),
        (gap, rng.random_range(0.0..0.4)),
    )
}

fn square_code(rng: &mut ChaCha8Rng) -> Thing {
    let side = [21, 25, 8, 10, 6][rng.random_range(0..5)];
    let mut deal: Vec<Colour> = (0..side * side)
        .map(|_| [[15.0; 3], [240.0; 3]][rng.random_range(0..2)])
        .collect();
    if side > 20 {
        for (x0, y0) in [(0, 0), (side - 7, 0), (0, side - 7)] {
            for (x, y) in (0..49).map(|i| (i % 7, i / 7)) {
                let ring = (x as i32 - 3).abs().max((y as i32 - 3).abs());
                deal[(y0 + y) * side + x0 + x] = if ring == 2 { [240.0; 3] } else { [15.0; 3] };
            }
        }
    }
    dealt(side, side, deal, [240.0; 3], (0.0, 1.5))
}

fn bricks(rng: &mut ChaCha8Rng) -> Thing {
    let (columns, rows) = (rng.random_range(5..10), rng.random_range(5..12));
    let base = any_colour(rng);
    let mortar = base.map(|c| 0.5 * c + 90.0);
    let long = [1.0, 1.0, 2.0, 1.5][rng.random_range(0..4)];
    let shift = [0.5, 0.33, 0.2][rng.random_range(0..3)];
    let shades: Vec<f64> = (0..29).map(|_| rng.random_range(0.7..1.3)).collect();
    Thing {
        columns,
        rows,
        rim: 0.0,
        paint: Box::new(move |u, v| {
            if !around(columns, rows, 0.0, u, v) {
                return None;
            }
            let row = v.floor();
            let x = (u + shift * row) / long;
            let (x, y, at) = (
                x - x.floor() - 0.5,
                v - row - 0.5,
                x.floor() * 3.0 + row * 7.0,
            );
            let shade = shades[at.rem_euclid(29.0) as usize];
            let on = x.abs() * long < 0.5 * long - 0.05 && y.abs() < 0.45;
            Some(if on { base.map(|c| c * shade) } else { mortar })
        }),
    }
}

fn icons(rng: &mut ChaCha8Rng) -> Thing {
    let (columns, rows) = [(4, 6), (5, 4), (6, 3), (4, 4), (3, 5)][rng.random_range(0..5)];
    let colours = loud(rng);
    let ground = any_colour(rng);
    let (half, round) = (rng.random_range(0.25..0.38), rng.random_range(0.03..0.2));
    Thing {
        columns,
        rows,
        rim: 0.5,
        paint: Box::new(move |u, v| match cell(columns, rows, u, v) {
            Some((i, k, x, y)) if rounded(x, y, half, round) => {
                let own = colours[(i * 3 + k * 5) % colours.len()];
                let inner = colours[(i + k * 2 + 1) % colours.len()];
                let mark = match (i + k) % 3 {
                    0 => x.hypot(y) < 0.6 * half,
                    1 => glyph(x * 2.5, y * 2.5, i + 5 * k),
                    _ => rounded(x, y, 0.5 * half, 0.05),
                };
                Some(if mark { inner } else { own })
            }
            _ => around(columns, rows, 0.5, u, v).then_some(ground),
        }),
    }
}

/// Three by three cells that are a third longer than wide, or more: pictures on a wall, drawers, cards.
fn oblong_cells(rng: &mut ChaCha8Rng) -> Thing {
    let colours = loud(rng);
    let deal: Vec<Colour> = (0..9)
        .map(|_| colours[rng.random_range(0..colours.len())])
        .collect();
    let stretch = rng.random_range(1.35..2.2);
    let gap = rng.random_range(0.05..0.3);
    let rim = rng.random_range(0.0..0.4);
    let ground = dark_or_pale(rng);
    Thing {
        columns: 3,
        rows: (3.0 * stretch) as usize + 1,
        rim,
        paint: Box::new(move |u, v| {
            let v = v / stretch;
            match cell(3, 3, u, v) {
                Some((i, k, x, y))
                    if x.abs() < 0.5 - gap / 2.0
                        && y.abs() * stretch < 0.5 * stretch - gap / 2.0 =>
                {
                    Some(deal[k * 3 + i])
                }
                _ => around(3, 3, rim, u, v).then_some(ground),
            }
        }),
    }
}

/// A board partly behind a hand. Enough of it shows to tell that it is none of a cube's faces.
fn held_board(rng: &mut ChaCha8Rng) -> Scene {
    let (columns, rows) = [(6, 4), (8, 8), (5, 5), (4, 6), (7, 5)][rng.random_range(0..5)];
    let thing = board(
        columns,
        rows,
        &loud(rng),
        dark_or_pale(rng),
        frame(rng),
        rng,
    );
    let mut scene = scene_of(thing, STEEP, rng);
    let skin = [[225.0, 180.0, 150.0], [150.0, 105.0, 80.0]][rng.random_range(0..2)];
    let high = f64::from(scene.height);
    for _ in 0..rng.random_range(1..5) {
        let from = [
            rng.random_range(0.0..1.0) * f64::from(scene.width),
            [-0.1, 1.1][rng.random_range(0..2)] * high,
        ];
        let to = [
            from[0] + rng.random_range(-0.1..0.1) * high,
            rng.random_range(0.25..0.75) * high,
        ];
        scene.rods.push(Rod {
            ends: [from, to],
            radius: rng.random_range(0.02..0.06) * high,
            colour: skin,
        });
    }
    scene
}

/// Boards with raised squares, some with three by three of them: a frame is around them that is wider than a cube's rim, of the stuff that is
/// between them and lies in their shade. They may be in front of each other.
fn framed_boards(rng: &mut ChaCha8Rng) -> Scene {
    let mut scene = scene_of(framed_board(rng), STEEP, rng);
    for _ in 0..rng.random_range(0..4) {
        lay(&mut scene, framed_board(rng), STEEP, rng);
    }
    scene
}

fn framed_board(rng: &mut ChaCha8Rng) -> Thing {
    let (columns, rows) = [
        (3, 3),
        (3, 3),
        (4, 3),
        (5, 3),
        (2, 4),
        (2, 3),
        (4, 4),
        (2, 2),
    ][rng.random_range(0..8)];
    let chequered = rng.random_bool(0.3);
    let colours = loud(rng);
    let frame = dark_or_pale(rng).map(|c| c * rng.random_range(0.7..1.0) + 10.0);
    let shade = rng.random_range(0.6..1.0);
    let gap = rng.random_range(0.05..0.14);
    let wide = rng.random_range(0.2..0.4);
    let (thick, side) = (rng.random_range(0.0..0.25), rng.random_range(0.5..1.1));
    let deal: Vec<Colour> = (0..columns * rows)
        .map(|i| match (i % columns + i / columns) % 2 {
            odd if chequered => colours[odd],
            _ => colours[rng.random_range(0..colours.len())],
        })
        .collect();
    Thing {
        columns,
        rows,
        rim: wide + thick,
        paint: Box::new(move |u, v| {
            let half = 0.5 - gap / 2.0;
            match cell(columns, rows, u, v) {
                Some((i, k, x, y)) if x.abs().max(y.abs()) < half => Some(deal[k * columns + i]),
                // Only between cells, not at the rim, is the stuff in the shade.
                Some(_) if around(columns, rows, -gap / 2.0, u, v) => {
                    Some(frame.map(|c| c * shade))
                }
                _ if around(columns, rows, wide - gap / 2.0, u, v) => Some(frame),
                // Seen from the side, as thick as it is.
                _ if u > 0.0
                    && around(columns, rows, wide + thick, u, v)
                    && v.abs() < rows as f64 / 2.0 + wide =>
                {
                    Some(frame.map(|c| c * side))
                }
                _ => None,
            }
        }),
    }
}
