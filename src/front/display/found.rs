//! The faces found in the live picture, with what was read on them while they hold still.

use crate::cube::Colour;
use crate::live::steady::{ANNOUNCED, nearest};
use crate::page::{Found, FoundFace, Sticker};
use crate::read::{FaceReading, LookReading};
use crate::sight::Look;

/// A face that has moved by more than this share of its side since it was read is another view: its letters would lie
/// on the wrong stickers.
const MOVED: f32 = 0.3;

/// A face that lies further from all of the frame before, as a share of its side, is shown by one frame alone, and may be none.
const ALONE: f32 = 0.7;

/// A sticker whose chance to be wrong is above this is marked as doubtful.
const DOUBTFUL: f32 = 0.05;

/// The likely faces of a look that the frame before showed, too; `told` is the reading of the last view that held still.
pub fn found(look: &Look, before: &Look, told: Option<&LookReading>) -> Found {
    let faces = look
        .faces
        .iter()
        .filter(|face| face.score >= ANNOUNCED && nearest(face, before) < ALONE)
        .map(|face| {
            let outline = face.outline().map(|p| [p.x, p.y]);
            told.and_then(|reading| {
                reading
                    .faces
                    .iter()
                    .find_map(|read| laid_on(&outline, read))
            })
            .unwrap_or(FoundFace {
                outline,
                stickers: None,
            })
        })
        .collect();
    Found {
        size: look.size,
        faces,
    }
}

/// A face in the live picture with the stickers of its reading, if it is where it was read.
fn laid_on(outline: &[[f32; 2]; 4], read: &FaceReading) -> Option<FoundFace> {
    let reach = MOVED * side(&read.outline);
    let near = |at: &[f32; 2]| outline.iter().copied().find(|p| distance(*p, *at) < reach);
    let mut corners = [[0.0; 2]; 4];
    for (corner, at) in corners.iter_mut().zip(&read.outline) {
        *corner = near(at)?;
    }
    let stickers = std::array::from_fn(|row| {
        let mut letters = read.stickers[row].chars();
        std::array::from_fn(|column| Sticker {
            colour: letters.next().and_then(Colour::from_letter),
            doubtful: read.doubt[row][column] > DOUBTFUL,
        })
    });
    Some(FoundFace {
        outline: corners,
        stickers: Some(stickers),
    })
}

fn distance(a: [f32; 2], b: [f32; 2]) -> f32 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// The shortest side, so that no corner is ever near two others.
fn side(outline: &[[f32; 2]; 4]) -> f32 {
    (0..4)
        .map(|i| distance(outline[i], outline[(i + 1) % 4]))
        .fold(f32::INFINITY, f32::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::live::testing::look;

    /// In clutter an outline flashed up about things in which a single frame found a face.
    #[test]
    fn a_face_is_drawn_once_two_frames_show_it() {
        let nothing = Look::default();
        let (here, moved, elsewhere) = (look(100.0, 0), look(130.0, 2), look(300.0, 0));
        let drawn = |before: &Look| found(&here, before, None).faces.len();
        assert_eq!(
            [&nothing, &elsewhere, &moved, &here].map(drawn),
            [0, 0, 1, 1]
        );
    }

    fn read() -> FaceReading {
        FaceReading {
            centre: Colour::Green,
            outline: [
                [100.0, 100.0],
                [160.0, 100.0],
                [160.0, 160.0],
                [100.0, 160.0],
            ],
            stickers: ["wgr", "ogb", "ybw"].map(String::from),
            doubt: [[0.0, 0.2, 0.0], [0.0; 3], [0.0; 3]],
        }
    }

    #[test]
    fn letters_stay_on_a_face_that_moved_a_little_whatever_its_first_corner() {
        let moved = [
            [165.0, 102.0],
            [164.0, 163.0],
            [104.0, 161.0],
            [103.0, 101.0],
        ];
        let face = laid_on(&moved, &read()).expect("the same face");
        assert_eq!(face.outline, [moved[3], moved[0], moved[1], moved[2]]);
        let stickers = face.stickers.expect("it was read");
        assert_eq!(
            stickers[0].map(|s| s.colour),
            [Some(Colour::White), Some(Colour::Green), Some(Colour::Red)]
        );
        assert_eq!(stickers[0].map(|s| s.doubtful), [false, true, false]);
    }

    #[test]
    fn a_face_that_moved_far_has_none() {
        let moved = read().outline.map(|[x, y]| [x + 25.0, y]);
        assert_eq!(laid_on(&moved, &read()), None);
    }
}
