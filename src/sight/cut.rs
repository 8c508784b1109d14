//! Faces that the picture's rim cuts. Two rows of a cube and something beyond them may pass for a face; that the cube goes on where the picture
//! ends gives it away.

use super::candidate::Candidate;
use super::grooves::{Border, OUTWARD, View, abreast, leading_away, measure, units};
use super::verify::{count_in_place, faintest, lies_there};

/// Middle of what is looked at right beyond a side, in cells from the face's middle: as near as it may be without the rim itself.
pub const AT_SIDE: f32 = 1.77;

/// How far beyond a side the picture must go on so that another row there would be seen, in cells.
const IN_SIGHT: f32 = 0.8;

/// Fewest sides in place of the cells across from a side that is cut, of 12. What is no row of the face has some by chance.
const ROW: usize = 6;

/// Fewest lines beyond a cut side, of 6, that tell that the grid goes on if none of those in sight is out of place.
const LINES: usize = 3;

/// Whether the picture's rim cuts off a row of what is taken for a face: beyond a side that the rim is near the lines go on as far as can be seen,
/// or the row across from it is none.
pub fn is_moved(view: &View, face: &Candidate) -> bool {
    let cut: Vec<usize> = (0..4).filter(|&side| is_cut(view, face, side)).collect();
    if cut.is_empty() {
        return false;
    }
    let borders = measure(view, &face.plane);
    let faintest = faintest(&borders);
    let margin = face.margin as f32;
    let plane = units(view, &face.plane);
    cut.into_iter().any(|side| {
        let direction = OUTWARD[side];
        let across = abreast(direction, -1.0).map(|(x, y)| &borders[at(y)][at(x)]);
        let in_place = across.map(|cell| count_in_place(cell, faintest, margin));
        let seen: Vec<Border> = leading_away(view, &plane, side, AT_SIDE)
            .flatten()
            .collect();
        in_place.iter().sum::<usize>() < ROW || all_go_on(&seen, faintest, margin)
    })
}

/// Whether the picture ends so near to a face that another row of it would not be seen.
pub fn is_near_rim(view: &View, face: &Candidate) -> bool {
    (0..4).any(|side| is_cut(view, face, side))
}

/// Whether the picture ends so near to a side that another row there would not be seen.
fn is_cut(view: &View, face: &Candidate, side: usize) -> bool {
    let (width, height) = view.size();
    abreast(OUTWARD[side], 1.5 + IN_SIGHT)
        .into_iter()
        .any(|(x, y)| {
            let (x, y) = face.plane.map(f64::from(x), f64::from(y));
            x < 0.0 || y < 0.0 || x > f64::from(width) || y > f64::from(height)
        })
}

/// The row or column of a cell of the face.
fn at(middle: f32) -> usize {
    (middle + 1.0).round() as usize
}

/// Whether all lines that lead away from a side and are in sight go on there.
fn all_go_on(seen: &[Border], faintest: f32, margin: f32) -> bool {
    seen.len() >= LINES && seen.iter().all(|line| lies_there(line, faintest, margin))
}

#[cfg(test)]
mod tests {
    use super::super::testing::{CELL, Front, sticker};
    use super::*;

    const MARGIN: f64 = 0.08;
    const COLOURS: [[u8; 3]; 3] = [[225, 225, 222], [190, 25, 35], [20, 60, 170]];

    /// Whether the face in the middle seems moved where the picture ends so many cells above it, and the cube is up by so many rows of
    /// stickers: none, or one that is cut, so that the face's last row is not of the cube but what is behind it.
    fn seems_moved(room: f64, up: f64) -> bool {
        let mut front = Front::painted(|u, v| match sticker(u, v + up, MARGIN) {
            Some((row, column)) => COLOURS[(row + column) % 3],
            None if u.abs().max((v + up).abs()) < 1.5 => [20, 20, 22],
            None => [150, 140, 120],
        });
        front.cut_above(((1.5 + room) * CELL) as usize);
        is_moved(&front.view(), &front.face(MARGIN))
    }

    #[test]
    fn a_face_near_the_rim_stays_one() {
        for room in [0.1, 0.3, 0.6, 1.0] {
            assert!(!seems_moved(room, 0.0), "{room}");
        }
    }

    #[test]
    fn a_face_is_near_the_rim_where_another_row_would_not_be_seen() {
        let is_near = |room: f64| {
            let mut front = Front::three_colours([20, 20, 22], |_, _| [150, 140, 120]);
            front.cut_above(((1.5 + room) * CELL) as usize);
            is_near_rim(&front.view(), &front.face(MARGIN))
        };
        assert!(is_near(0.0) && is_near(0.7));
        assert!(!is_near(0.9));
    }

    #[test]
    fn two_rows_and_what_is_beyond_them_are_none() {
        for room in [0.1, 0.3, 0.6, 0.75] {
            assert!(seems_moved(room, 1.0), "{room}");
        }
    }
}
