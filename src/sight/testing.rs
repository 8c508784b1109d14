//! What the tests of this folder look at: a face seen from the front, in the middle of a picture.

use super::candidate::Candidate;
use super::grooves::{View, measure};
use super::plane::Homography;
use super::pose::Pose;
use super::verify::weigh;

const SIZE: (usize, usize) = (640, 480);

/// Margin of the stickers of [`Front::three_colours`], in cells.
pub const MARGIN: f64 = 0.08;

pub const WHITE: [u8; 3] = [225, 225, 222];
pub const RED: [u8; 3] = [190, 25, 35];
pub const BLUE: [u8; 3] = [20, 60, 170];
pub const BLACK: [u8; 3] = [20, 20, 22];

/// Side of a cell, pixels.
pub const CELL: f64 = 60.0;

/// A picture, and the plane of the face in it.
pub struct Front {
    rgb: Vec<u8>,
    height: usize,
    pub plane: Homography,
}

impl Front {
    /// The picture with this colour at each place, in cells from the face's middle.
    pub fn painted(colour: impl Fn(f64, f64) -> [u8; 3]) -> Front {
        let middle = [SIZE.0, SIZE.1].map(|side| side as f64 / 2.0);
        let cells = |at: usize, k: usize| (at as f64 + 0.5 - middle[k]) / CELL;
        let colour = |x: usize, y: usize| colour(cells(x, 0), cells(y, 1));
        Front {
            rgb: (0..SIZE.1)
                .flat_map(|y| (0..SIZE.0).flat_map(move |x| [(x, y)]))
                .flat_map(|(x, y)| colour(x, y))
                .collect(),
            height: SIZE.1,
            plane: Homography([
                [CELL, 0.0, middle[0]],
                [0.0, CELL, middle[1]],
                [0.0, 0.0, 1.0],
            ]),
        }
    }

    /// A face on `plastic`, its left column white, the rest red in the middle row and blue else, with `beyond` around it.
    pub fn three_colours(plastic: [u8; 3], beyond: impl Fn(f64, f64) -> [u8; 3]) -> Front {
        Front::painted(|u, v| match sticker(u, v, MARGIN) {
            Some((_, 0)) => WHITE,
            Some((1, _)) => RED,
            Some(_) => BLUE,
            None if u.abs().max(v.abs()) < 1.5 => plastic,
            None => beyond(u, v),
        })
    }

    /// Leaves out what is further than so many pixels above the face's middle.
    pub fn cut_above(&mut self, pixels: usize) {
        let out = SIZE.1 / 2 - pixels;
        self.rgb.drain(..3 * SIZE.0 * out);
        self.height -= out;
        self.plane = Homography([[1.0, 0.0, 0.0], [0.0, 1.0, -(out as f64)], [0.0, 0.0, 1.0]])
            .after(&self.plane.0);
    }

    /// The colour at a place, in cells from the face's middle.
    pub fn at(&self, u: f64, v: f64) -> [u8; 3] {
        let (x, y) = self.plane.map(u, v);
        let at = 3 * (y as usize * SIZE.0 + x as usize);
        [self.rgb[at], self.rgb[at + 1], self.rgb[at + 2]]
    }

    pub fn view(&self) -> View<'_> {
        View {
            rgb: &self.rgb,
            width: SIZE.0,
            height: self.height,
            factor: 1,
        }
    }

    /// The face with sticker margins of so many cells.
    pub fn face(&self, margin: f64) -> Candidate {
        Candidate {
            plane: self.plane,
            margin,
            evidence: weigh(&measure(&self.view(), &self.plane), margin as f32),
            beyond: [0; 4],
            pose: Pose::of(&self.plane, (SIZE.0 as u32, self.height as u32)).expect("it is seen"),
        }
    }
}

/// The row and column of the sticker at a place, in cells from the face's middle; `None` on the plastic and beyond the face.
pub fn sticker(u: f64, v: f64, margin: f64) -> Option<(usize, usize)> {
    let on_sticker = |t: f64| t.abs() < 1.5 && ((t + 1.5).fract() - 0.5).abs() < 0.5 - margin;
    (on_sticker(u) && on_sticker(v)).then_some(((v + 1.5) as usize, (u + 1.5) as usize))
}
