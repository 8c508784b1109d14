//! The cube as the learner holds it, seen from the front and a little above, with the next turn as an arrow on it.

use super::arrow::{self, Half};
use super::geometry::{Flat, Solid, View, outward, reading, sticker_corners};
use super::{Stickers, ink, outline};
use crate::cube::{Face, Move};

/// Page units for one sticker.
const UNIT: f32 = 60.0;
/// Degrees that the viewer stands to the side of the front face, and above.
const TURN: f32 = 36.0;
const RISE: f32 = 30.0;
/// The view from behind is this much smaller: it is looked at for a moment only.
const BEHIND: f32 = 0.46;

/// What to draw.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeldCube<'a> {
    /// As held: the front face is the one towards the learner.
    pub stickers: &'a Stickers,
    /// The next move, as made from this hold.
    pub arrow: Option<Move>,
    /// The viewer sees the left face in place of the right one.
    pub from_left: bool,
    /// Also shows the same cube from behind, small and to the right of it.
    pub behind: bool,
}

/// An SVG of the cube as held.
pub fn held(cube: &HeldCube) -> String {
    let turn = if cube.from_left { -TURN } else { TURN };
    let mut body = String::new();
    let view = View::new(turn, RISE, UNIT);
    draw_cube(&mut body, cube, &view);
    let (side, top, bottom) = (3.4, 3.1, 3.0);
    let mut right = side;
    if cube.behind {
        let beside = Flat::new(4.7 * UNIT, 1.15 * UNIT);
        let view = View::new(turn + 180.0, RISE, UNIT * BEHIND).moved(beside);
        draw_cube(&mut body, cube, &view);
        right = 6.2;
    }
    let box_ = [-side, -top, side + right, top + bottom].map(|v| v * UNIT);
    ink::document(box_, "the cube as you hold it", &body)
}

fn draw_cube(out: &mut String, cube: &HeldCube, view: &View) {
    let near: Vec<Face> = Face::ALL
        .into_iter()
        .filter(|f| view.sees(outward(*f)))
        .collect();
    if let Some(Move::Rotation(axis, amount)) = cube.arrow {
        arrow::whole(out, axis.like(), amount, view, Half::Behind);
    }
    for &face in &near {
        draw_face(out, cube.stickers, face, view);
    }
    outline::draw(out, cube.stickers, view);
    match cube.arrow {
        Some(Move::Rotation(axis, amount)) => {
            arrow::whole(out, axis.like(), amount, view, Half::InFront)
        }
        Some(turn) => arrow::layer(out, turn, view, &near),
        None => {}
    }
}

fn draw_face(out: &mut String, stickers: &Stickers, face: Face, view: &View) {
    let plate = [(0, 0), (2, 1), (8, 2), (6, 3)]
        .map(|(sticker, corner)| view.project(sticker_corners(face, sticker)[corner]));
    ink::plate(out, &plate, view.scale() * 0.1);
    let (right, down) = upright(face, view);
    for (i, sticker) in stickers.face(face).iter().enumerate() {
        let corners = sticker_corners(face, i).map(|p| view.project(p));
        ink::sticker(out, sticker, corners, Some((right, down)));
    }
}

/// The axes of a letter that lies on a face, turned by quarters until it stands as upright as it can be seen.
fn upright(face: Face, view: &View) -> (Flat, Flat) {
    let (right, down) = reading(face);
    let zero = view.project(Solid::default());
    let seen = |way: Solid| view.project(way) - zero;
    [
        (right, down),
        (down * -1.0, right),
        (right * -1.0, down * -1.0),
        (down, right * -1.0),
    ]
    .map(|(right, down)| (seen(right), seen(down)))
    .into_iter()
    .max_by(|a, b| (a.0.x + a.1.y).total_cmp(&(b.0.x + b.1.y)))
    .unwrap_or((seen(right), seen(down)))
}
