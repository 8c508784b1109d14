//! What the words speak of, marked in light and dark only, so that it shows beside every colour and in grey: around each
//! piece of the pair a whole line, around their slot a broken one.

use std::fmt::Write;

use super::geometry::{Flat, Solid, View, outward, sticker_corners};
use super::{Sticker, Stickers, ink};
use crate::cube::Face;

/// One side of a sticker's cell, and where the cell's piece is.
struct Side {
    piece: [i8; 3],
    ends: [Solid; 2],
}

/// Marks the pair's pieces and the slot, as far as they are seen.
pub fn draw(out: &mut String, stickers: &Stickers, view: &View) {
    let slot = open_sides(stickers, view, |s| s.slot, |_, _| true);
    let pair = open_sides(stickers, view, |s| s.pair, |a, b| a.piece == b.piece);
    let unit = view.scale();
    let lines = |sides: &[Side]| -> String { sides.iter().map(|side| line(side, view)).collect() };
    let mut stroke = |path: &str, colour: &str, width: f32, more: &str| {
        let _ = write!(
            out,
            "<path d=\"{path}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{:.1}\" stroke-linejoin=\"round\"{more}/>",
            unit * width
        );
    };
    if !slot.is_empty() {
        let path = lines(&slot);
        let dash = format!(" stroke-dasharray=\"{:.1} {0:.1}\"", unit / 6.0);
        stroke(&path, ink::BODY, 0.2, " stroke-linecap=\"square\"");
        stroke(&path, ink::PAPER, 0.13, &dash);
    }
    if !pair.is_empty() {
        let path = lines(&pair);
        stroke(&path, ink::BODY, 0.22, " stroke-linecap=\"round\"");
        stroke(&path, ink::PAPER, 0.12, " stroke-linecap=\"round\"");
    }
}

/// The sides of marked cells that are seen and that no other marked and seen cell of the same whole lies at.
fn open_sides(
    stickers: &Stickers,
    view: &View,
    marked: impl Fn(&Sticker) -> bool,
    whole: impl Fn(&Side, &Side) -> bool,
) -> Vec<Side> {
    let mut sides: Vec<(Side, bool)> = Vec::new();
    for face in Face::ALL.into_iter().filter(|f| view.sees(outward(*f))) {
        for (i, _) in stickers
            .face(face)
            .iter()
            .enumerate()
            .filter(|(_, s)| marked(s))
        {
            for side in sides_of(face, i) {
                let mut open = true;
                for (other, still) in &mut sides {
                    if centre(other) == centre(&side) && whole(other, &side) {
                        (*still, open) = (false, false);
                    }
                }
                sides.push((side, open));
            }
        }
    }
    sides
        .into_iter()
        .filter(|(_, open)| *open)
        .map(|(side, _)| side)
        .collect()
}

fn sides_of(face: Face, index: usize) -> [Side; 4] {
    let corners = sticker_corners(face, index);
    let cell = (corners[0] + corners[2]) * 0.5;
    let inside = cell + outward(face) * -0.5;
    std::array::from_fn(|i| Side {
        piece: [inside.x, inside.y, inside.z].map(|v| v.round() as i8),
        ends: [corners[i], corners[(i + 1) % 4]],
    })
}

/// Where a side lies, in quarters of a sticker, so that it can be compared.
fn centre(side: &Side) -> [i8; 3] {
    let [a, b] = side.ends;
    let sum = (a + b) * 2.0;
    [sum.x, sum.y, sum.z].map(|v| v.round() as i8)
}

/// A side as path commands.
fn line(side: &Side, view: &View) -> String {
    let [a, b]: [Flat; 2] = side.ends.map(|end| view.project(end));
    format!("M{:.1} {:.1}L{:.1} {:.1}", a.x, a.y, b.x, b.y)
}
