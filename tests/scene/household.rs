//! More of what is laid out in rows and columns at home: what is eaten, written on, hung up or kept in trays.

use image::RgbImage;
use rand::Rng;
use rand_chacha::ChaCha8Rng;

use super::grids::{
    Make, STEEP, Thing, around, cell, dark_or_pale, glyph, loud, picture_of, rounded,
};
use super::{Colour, any_colour};

/// The kinds of things, by name.
const HOUSEHOLD: [(&str, Make); 11] = [
    ("chocolate", Make::Laid(chocolate, STEEP)),
    ("paper notes", Make::Laid(paper_notes, STEEP)),
    ("tray", Make::Laid(tray, STEEP)),
    ("crossword", Make::Laid(crossword, STEEP)),
    ("table of symbols", Make::Laid(table_of_symbols, STEEP)),
    ("sheet", Make::Laid(sheet, STEEP)),
    ("basket weave", Make::Laid(basket_weave, STEEP)),
    ("grille", Make::Laid(grille, STEEP)),
    ("photo wall", Make::Laid(photo_wall, STEEP)),
    ("patchwork", Make::Laid(patchwork, STEEP)),
    ("paint box", Make::Laid(paint_box, STEEP)),
];

/// A picture without a cube, and the kind of thing that it shows. The same number gives the same picture.
pub fn at_home(number: u64, rng: &mut ChaCha8Rng) -> (&'static str, RgbImage) {
    let (kind, make) = &HOUSEHOLD[(number % HOUSEHOLD.len() as u64) as usize];
    (kind, picture_of(make, rng))
}

fn shaded(colour: Colour, share: f64) -> Colour {
    colour.map(|c| c * share)
}

/// Raised pieces of one colour, lit from one side.
fn chocolate(rng: &mut ChaCha8Rng) -> Thing {
    let (columns, rows) = [(3, 5), (4, 6), (2, 4), (4, 4), (6, 10)][rng.random_range(0..5)];
    let own = [[90.0, 55.0, 35.0], [230.0, 215.0, 180.0], any_colour(rng)][rng.random_range(0..3)];
    let bevel = rng.random_range(0.05..0.18);
    let groove = rng.random_range(0.02..0.08);
    let depth = rng.random_range(0.1..0.4);
    let (across, down) = (rng.random_range(-1.0..1.0), rng.random_range(-1.0..1.0));
    Thing {
        columns,
        rows,
        rim: rng.random_range(0.0..0.15),
        paint: Box::new(move |u, v| {
            let Some((_, _, x, y)) = cell(columns, rows, u, v) else {
                return around(columns, rows, 0.15, u, v).then_some(shaded(own, 0.8));
            };
            let out = x.abs().max(y.abs());
            Some(if out > 0.5 - groove {
                shaded(own, 0.55)
            } else if out < 0.5 - groove - bevel {
                own
            } else if x.abs() > y.abs() {
                shaded(own, 1.0 + depth * across * x.signum())
            } else {
                shaded(own, 1.0 + depth * down * y.signum())
            })
        }),
    }
}

/// Square notes stuck on a board by hand.
fn paper_notes(rng: &mut ChaCha8Rng) -> Thing {
    let (columns, rows) = [(4, 3), (5, 2), (4, 4), (3, 5), (6, 4)][rng.random_range(0..5)];
    let board = any_colour(rng);
    let half = rng.random_range(0.36..0.47);
    let crooked = rng.random_range(0.02..0.08);
    let colours = loud(rng);
    let notes: Vec<(f64, f64, f64, Colour)> = (0..columns * rows)
        .map(|_| {
            (
                rng.random_range(-crooked..crooked),
                rng.random_range(-crooked..crooked),
                rng.random_range(-crooked..crooked),
                colours[rng.random_range(0..3)],
            )
        })
        .collect();
    let written = rng.random_bool(0.5);
    Thing {
        columns,
        rows,
        rim: 0.7,
        paint: Box::new(move |u, v| {
            let Some((i, k, x, y)) = cell(columns, rows, u, v) else {
                return around(columns, rows, 0.7, u, v).then_some(board);
            };
            let (right, down, turned, own) = notes[k * columns + i];
            let (x, y) = (x - right, y - down);
            let (x, y) = (x + turned * y, y - turned * x);
            let line = written
                && x.abs() < 0.25
                && [-0.15, 0.0, 0.15]
                    .iter()
                    .any(|l: &f64| (y - l).abs() < 0.02);
            Some(match x.abs().max(y.abs()) < half {
                true if line => [40.0, 40.0, 80.0],
                true => own,
                false => board,
            })
        }),
    }
}

/// Compartments, their walls' shade in them, some with things inside.
fn tray(rng: &mut ChaCha8Rng) -> Thing {
    let (columns, rows) = [(4, 3), (5, 4), (2, 7), (4, 7), (6, 6), (3, 4)][rng.random_range(0..6)];
    let wall = any_colour(rng);
    let floor = shaded(wall, rng.random_range(0.6..0.95));
    let thick = rng.random_range(0.03..0.12);
    let shade = rng.random_range(0.0..0.3);
    let colours = loud(rng);
    let filled: Vec<Option<(usize, f64)>> = (0..columns * rows)
        .map(|_| {
            rng.random_bool(0.6).then(|| {
                (
                    rng.random_range(0..colours.len()),
                    rng.random_range(0.15..0.75),
                )
            })
        })
        .collect();
    let heaped = rng.random_bool(0.5);
    Thing {
        columns,
        rows,
        rim: 0.2,
        paint: Box::new(move |u, v| {
            let Some((i, k, x, y)) = cell(columns, rows, u, v) else {
                return around(columns, rows, 0.2, u, v).then_some(wall);
            };
            if x.abs().max(y.abs()) > 0.5 - thick {
                return Some(wall);
            }
            let inside = match filled[k * columns + i] {
                // A heap covers the floor from wall to wall; a thing lies in its middle.
                Some((own, _)) if heaped => colours[own],
                Some((own, radius)) if x.hypot(y) < radius * 0.5 => colours[own],
                _ => floor,
            };
            let shaded_side = x < -0.5 + thick + shade || y < -0.5 + thick + shade;
            Some(shaded(inside, if shaded_side { 0.7 } else { 1.0 }))
        }),
    }
}

fn crossword(rng: &mut ChaCha8Rng) -> Thing {
    let count = rng.random_range(5..14);
    let (paper, line) = ([238.0, 236.0, 230.0], [30.0; 3]);
    let thin = rng.random_range(0.02..0.07);
    let black: Vec<bool> = (0..count * count).map(|_| rng.random_bool(0.2)).collect();
    let letters: Vec<bool> = (0..count * count).map(|_| rng.random_bool(0.4)).collect();
    let tinted = any_colour(rng);
    Thing {
        columns: count,
        rows: count,
        rim: 0.8,
        paint: Box::new(move |u, v| {
            Some(match cell(count, count, u, v) {
                Some((_, _, x, y)) if x.abs().max(y.abs()) > 0.5 - thin => line,
                Some((i, k, ..)) if black[k * count + i] => line,
                Some((i, k, x, y))
                    if letters[k * count + i] && glyph(x * 2.0, y * 2.0, i + 3 * k) =>
                {
                    line
                }
                Some((i, k, ..)) if (i * 7 + k * 5) % 11 == 0 => tinted,
                Some(_) => paper,
                None => return around(count, count, 0.8, u, v).then_some(paper),
            })
        }),
    }
}

/// Coloured fields with letters in them, in blocks of one colour and of ragged outline.
fn table_of_symbols(rng: &mut ChaCha8Rng) -> Thing {
    let (columns, rows) = [(18, 7), (10, 5), (8, 8)][rng.random_range(0..3)];
    let colours = loud(rng);
    let ground = dark_or_pale(rng);
    let ink = dark_or_pale(rng);
    let gap = rng.random_range(0.03..0.12);
    let block = rng.random_range(2..5);
    let lettered = rng.random_bool(0.7);
    let tops: Vec<usize> = (0..columns).map(|_| rng.random_range(0..3)).collect();
    Thing {
        columns,
        rows,
        rim: 0.5,
        paint: Box::new(move |u, v| match cell(columns, rows, u, v) {
            Some((i, k, x, y)) if k >= tops[i] && x.abs().max(y.abs()) < 0.5 - gap => {
                let letter = lettered && glyph((x + 0.1) * 2.5, y * 2.5, i * 3 + k);
                let own = colours[(i / block + k / block) % colours.len()];
                Some(if letter { ink } else { own })
            }
            _ => around(columns, rows, 0.5, u, v).then_some(ground),
        }),
    }
}

/// A sheet of oblong cells, some filled with colours.
fn sheet(rng: &mut ChaCha8Rng) -> Thing {
    let (columns, rows) = (rng.random_range(4..8), rng.random_range(8..20));
    let long = rng.random_range(1.3..3.5);
    let colours = loud(rng);
    let (paper, line) = ([[245.0; 3], [30.0; 3]][rng.random_range(0..2)], [150.0; 3]);
    let thin = rng.random_range(0.02..0.08);
    let filled: Vec<Option<usize>> = (0..columns * rows)
        .map(|_| {
            rng.random_bool(0.5)
                .then(|| rng.random_range(0..colours.len()))
        })
        .collect();
    Thing {
        columns: (columns as f64 * long) as usize + 1,
        rows,
        rim: 0.1,
        paint: Box::new(move |u, v| match cell(columns, rows, u / long, v) {
            Some((_, _, x, y)) if x.abs() * long > 0.5 * long - thin || y.abs() > 0.5 - thin => {
                Some(line)
            }
            Some((i, k, ..)) => Some(filled[k * columns + i].map_or(paper, |own| colours[own])),
            None => None,
        }),
    }
}

/// Strips that lie across each other in twos and threes.
fn basket_weave(rng: &mut ChaCha8Rng) -> Thing {
    let count = rng.random_range(5..12);
    let own = any_colour(rng);
    let strips = rng.random_range(1..4) as f64;
    let joint = shaded(own, [0.5, 1.3][rng.random_range(0..2)]);
    let thin = rng.random_range(0.02..0.05);
    let shades: Vec<f64> = (0..31).map(|_| rng.random_range(0.8..1.2)).collect();
    Thing {
        columns: count,
        rows: count,
        rim: 0.0,
        paint: Box::new(move |u, v| {
            let (i, k, x, y) = cell(count, count, u, v)?;
            let (along, across) = if (i + k) % 2 == 0 { (x, y) } else { (y, x) };
            let strip = (across + 0.5) * strips;
            let edge = (strip - strip.round()).abs() / strips;
            let at = (i * 5 + k * 11 + strip as usize * 3) % shades.len();
            Some(if edge < thin || along.abs() > 0.5 - thin {
                joint
            } else {
                shaded(own, shades[at])
            })
        }),
    }
}

/// Bars before something whose colours change from place to place.
fn grille(rng: &mut ChaCha8Rng) -> Thing {
    let (columns, rows) = (rng.random_range(3..8), rng.random_range(4..8));
    let bars = dark_or_pale(rng);
    let (one, two) = (any_colour(rng), any_colour(rng));
    let thin = rng.random_range(0.03..0.12);
    let sharp = rng.random_range(0.3..6.0);
    let slope = rng.random_range(-1.0..1.0);
    Thing {
        columns,
        rows,
        rim: rng.random_range(0.0..0.3),
        paint: Box::new(move |u, v| match cell(columns, rows, u, v) {
            Some((_, _, x, y)) if x.abs().max(y.abs()) < 0.5 - thin => {
                let share = 0.5 + 0.5 * (sharp * (v + slope * u)).sin();
                Some([0, 1, 2].map(|i| one[i] + share * (two[i] - one[i])))
            }
            _ => around(columns, rows, 0.3, u, v).then_some(bars),
        }),
    }
}

/// Square pictures, each of a few fields of colour, in mounts.
fn photo_wall(rng: &mut ChaCha8Rng) -> Thing {
    let (columns, rows) = [(3, 3), (4, 3), (4, 4), (5, 2), (3, 4)][rng.random_range(0..5)];
    let (mount, ground) = (dark_or_pale(rng), any_colour(rng));
    let half = rng.random_range(0.38..0.48);
    let wide = rng.random_range(0.0..0.1);
    let colours = loud(rng);
    let pictures: Vec<[usize; 4]> = (0..columns * rows)
        .map(|_| [(); 4].map(|()| rng.random_range(0..colours.len())))
        .collect();
    let lines: Vec<(f64, f64)> = (0..columns * rows)
        .map(|_| (rng.random_range(-0.2..0.2), rng.random_range(-0.2..0.2)))
        .collect();
    Thing {
        columns,
        rows,
        rim: 0.3,
        paint: Box::new(move |u, v| {
            let Some((i, k, x, y)) = cell(columns, rows, u, v) else {
                return around(columns, rows, 0.3, u, v).then_some(ground);
            };
            let out = x.abs().max(y.abs());
            if out > half {
                return Some(ground);
            }
            if out > half - wide {
                return Some(mount);
            }
            let (fields, line) = (&pictures[k * columns + i], lines[k * columns + i]);
            let at = usize::from(x > line.0) + 2 * usize::from(y > line.1);
            Some(colours[fields[at]])
        }),
    }
}

/// Patches sewn together, some of two colours, with a border around all.
fn patchwork(rng: &mut ChaCha8Rng) -> Thing {
    let (columns, rows) = [(4, 5), (6, 6), (5, 7), (4, 4)][rng.random_range(0..4)];
    let colours = loud(rng);
    let border = any_colour(rng);
    let seam = rng.random_range(0.0..0.06);
    let patches: Vec<(usize, usize, u32)> = (0..columns * rows)
        .map(|_| {
            (
                rng.random_range(0..colours.len()),
                rng.random_range(0..colours.len()),
                rng.random_range(0..4),
            )
        })
        .collect();
    Thing {
        columns,
        rows,
        rim: 0.6,
        paint: Box::new(move |u, v| {
            let Some((i, k, x, y)) = cell(columns, rows, u, v) else {
                return around(columns, rows, 0.6, u, v).then_some(border);
            };
            let (one, two, pattern) = patches[k * columns + i];
            if x.abs().max(y.abs()) > 0.5 - seam {
                return Some(border);
            }
            let second = match pattern {
                0 => x > y,
                1 => x.abs() + y.abs() < 0.35,
                _ => false,
            };
            Some(colours[if second { two } else { one }])
        }),
    }
}

/// Round or square pans of paint in a box.
fn paint_box(rng: &mut ChaCha8Rng) -> Thing {
    let (columns, rows) = [(6, 2), (4, 3), (4, 4), (3, 4), (6, 4)][rng.random_range(0..5)];
    let body = dark_or_pale(rng);
    let colours = loud(rng);
    let deal: Vec<Colour> = (0..columns * rows)
        .map(|_| colours[rng.random_range(0..colours.len())])
        .collect();
    let half = rng.random_range(0.32..0.46);
    let round = rng.random_range(0.05..0.3);
    let well = rng.random_range(0.0..0.06);
    Thing {
        columns,
        rows,
        rim: rng.random_range(0.1..0.5),
        paint: Box::new(move |u, v| match cell(columns, rows, u, v) {
            Some((i, k, x, y)) if rounded(x, y, half, round) => Some(deal[k * columns + i]),
            Some((_, _, x, y)) if rounded(x, y, half + well, round) => Some(shaded(body, 0.6)),
            _ => around(columns, rows, 0.5, u, v).then_some(body),
        }),
    }
}
