//! How a cube is held before the camera: which centre is up, and which looks at the camera.

use crate::cube::{Face, Hold};
use crate::sight::{FaceView, Look, Point};

/// By how much (share of a side) a face must lie above another to be the upper one.
const ABOVE: f32 = 0.35;

/// The hold that a look shows: up is the face that lies uppermost and looks up, in front the larger one of the rest. `placed`
/// says which face of the cube each is, and by how many quarter turns clockwise its rows come to the net's.
pub fn posture(look: &Look, placed: &[(Face, u8)], mirrored: bool) -> Option<Hold> {
    let faces: Vec<(&FaceView, Face, u8)> = look
        .faces
        .iter()
        .zip(placed)
        .map(|(view, &(face, roll))| (view, face, roll))
        .collect();
    let height = |view: &FaceView| middle(view).y;
    let side = faces
        .iter()
        .map(|(view, ..)| length(view))
        .fold(0.0, f32::max);
    let mut by_height = faces.clone();
    by_height.sort_by(|a, b| height(a.0).total_cmp(&height(b.0)));
    let (first, last) = (by_height.first()?, by_height.last()?);
    let apart = |a: &FaceView, b: &FaceView| height(b) - height(a) > ABOVE * side;
    let is_alone = |one: &FaceView, others: &[(&FaceView, Face, u8)], above: bool| {
        others.iter().all(|(other, ..)| match above {
            true => apart(one, other),
            false => apart(other, one),
        })
    };
    let (up, rest) = match by_height.len() {
        1 => (None, &by_height[..]),
        _ if is_alone(first.0, &by_height[1..], true) => (Some(first.1), &by_height[1..]),
        n if n > 2 && is_alone(last.0, &by_height[..n - 1], false) => {
            (Some(last.1.opposite()), &by_height[..n - 1])
        }
        _ => (None, &by_height[..]),
    };
    let (view, front, roll) = rest.iter().max_by(|a, b| area(a.0).total_cmp(&area(b.0)))?;
    let up = up.unwrap_or_else(|| above(view, *front, *roll, mirrored));
    Hold::new(up.opposite().home_colour(), front.home_colour())
}

/// The face of the cube that lies beyond the side of a face that looks up in the picture.
fn above(view: &FaceView, face: Face, roll: u8, mirrored: bool) -> Face {
    let outline = view.outline();
    let height = |i: &usize| outline[*i].y + outline[(i + 1) % 4].y;
    let top = (0..4)
        .min_by(|a, b| height(a).total_cmp(&height(b)))
        .unwrap_or(0);
    let side = if mirrored { 3 - top } else { top };
    face.around()[(side + usize::from(roll)) % 4]
}

fn middle(view: &FaceView) -> Point {
    let outline = view.outline();
    Point {
        x: outline.iter().map(|p| p.x).sum::<f32>() / 4.0,
        y: outline.iter().map(|p| p.y).sum::<f32>() / 4.0,
    }
}

fn length(view: &FaceView) -> f32 {
    let outline = view.outline();
    let side = |i: usize| {
        let (a, b) = (outline[i], outline[(i + 1) % 4]);
        (a.x - b.x).hypot(a.y - b.y)
    };
    (0..4).map(side).sum::<f32>() / 4.0
}

/// Pixels, by the shoelace formula.
fn area(view: &FaceView) -> f32 {
    let outline = view.outline();
    let twice: f32 = (0..4)
        .map(|i| {
            let (a, b) = (outline[i], outline[(i + 1) % 4]);
            a.x * b.y - b.x * a.y
        })
        .sum();
    twice.abs() / 2.0
}
