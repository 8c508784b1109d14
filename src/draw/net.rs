//! The unfolded net: up above front; left, front, right, back in a row; down below front.

use super::geometry::Flat;
use super::{Stickers, ink};
use crate::cube::Face;

/// Page units for one sticker.
const UNIT: f32 = 40.0;
/// Gap between faces.
const GAP: f32 = 8.0;

/// An SVG of the whole cube unfolded, a letter on every sticker.
pub fn net(stickers: &Stickers) -> String {
    let mut body = String::new();
    for face in Face::ALL {
        let (column, row) = match face {
            Face::U => (1.0, 0.0),
            Face::L => (0.0, 1.0),
            Face::F => (1.0, 1.0),
            Face::R => (2.0, 1.0),
            Face::B => (3.0, 1.0),
            Face::D => (1.0, 2.0),
        };
        let start = Flat::new(column, row) * (3.0 * UNIT + GAP) + Flat::new(GAP, GAP);
        let side = Flat::new(3.0 * UNIT, 3.0 * UNIT);
        body.push_str(&format!(
            "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\" rx=\"7\" fill=\"{}\"/>",
            start.x,
            start.y,
            side.x,
            side.y,
            ink::BODY
        ));
        for (i, sticker) in stickers.face(face).iter().enumerate() {
            let at = |c: usize, r: usize| {
                start + Flat::new((i % 3 + c) as f32 * UNIT, (i / 3 + r) as f32 * UNIT)
            };
            let corners = [at(0, 0), at(1, 0), at(1, 1), at(0, 1)];
            ink::sticker(&mut body, sticker, corners, None);
        }
    }
    let width = 12.0 * UNIT + 5.0 * GAP;
    let height = 9.0 * UNIT + 4.0 * GAP;
    ink::document([0.0, 0.0, width, height], "the cube unfolded", &body)
}
