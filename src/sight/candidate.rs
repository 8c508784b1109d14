//! A place proposed for a face: moved onto the stickers, then believed or not.

use super::grooves::{Borders, View, Views, improve, measure, measure_lit};
use super::plane::Homography;
use super::pose::Pose;
use super::verify::{Evidence, beyond, is_clear, is_face, weigh};

/// Faces that the camera sees at a steeper angle than this are left out, degrees.
pub const MOST_TILTED: f64 = 72.0;

/// The same for a face alone: its cells are little steeper than 35 degrees and squares within this much.
const LEAST_STEEP: f64 = 42.0;
const SQUARE: f64 = 0.068;

/// Root mean square distance of a face's corners from those of a square that is passed over, in pixels; and that may be chance, in cells. How far
/// a tilted face's cells are from squares is told by its perspective, and that by little, of a small one by few pixels.
const ROUGH: f64 = 0.4;
const NEARLY_SQUARE: f64 = 0.035;

/// Furthest that a face's cells may be from squares on their own, in angle or in the ratio of the sides.
const LEAST_SQUARE: f64 = 0.5;

/// Half the side of what the picture must show of a face, in cells: all but a tenth of a cell at the rim.
const PART: f64 = 1.4;

/// A face that has been measured.
#[derive(Clone, Copy, Debug)]
pub struct Candidate {
    pub plane: Homography,
    pub margin: f64,
    pub evidence: Evidence,
    /// How much the grid seems to go on beyond each side, most first.
    pub beyond: [u32; 4],
    pub pose: Pose,
}

impl Candidate {
    pub fn score(&self) -> f64 {
        let e = &self.evidence;
        f64::from(e.inner + e.outer)
            - 400.0 * f64::from(e.error)
            - 2.0 * f64::from(self.beyond[0].saturating_sub(3))
            - f64::from(self.beyond[1].saturating_sub(3))
    }

    /// Whether the camera sees it too much from the side for a face alone. Cells that are no squares by the perspective of the whole face are
    /// those of a face that is turned further.
    pub fn is_steep(&self) -> bool {
        let pose = if self.pose.error < SQUARE {
            self.pose
        } else {
            self.settled().map_or(self.pose, |(pose, _)| pose)
        };
        pose.tilt() >= LEAST_STEEP
    }

    /// Whether the sides alone make a face of a cube, however steep. Highlights are allowed for here only: other faces are tied to their
    /// neighbours.
    pub fn is_clear(&self, view: &View) -> bool {
        let margin = self.margin as f32;
        self.beyond[0] + self.beyond[1] < 8
            && is_clear(&weigh(&measure_lit(view, &self.plane, margin), margin))
    }

    /// Whether its cells are squares, as far as can be told.
    pub fn is_square(&self) -> bool {
        self.pose.error < SQUARE || self.is_within(ROUGH)
    }

    /// Whether they may be, though they seem not to be quite.
    pub fn may_be_square(&self) -> bool {
        self.is_within(NEARLY_SQUARE * self.cell())
    }

    /// Whether its corners are so near to those of a square, pixels.
    fn is_within(&self, far: f64) -> bool {
        self.settled().is_some_and(|(_, apart)| apart < far)
    }

    /// The pose of a square that is nearest to it, and how far its corners are from that, pixels.
    fn settled(&self) -> Option<(Pose, f64)> {
        self.pose.settle(&[(None, self.plane.outline())])
    }

    /// Mean side of a cell, pixels.
    pub fn cell(&self) -> f64 {
        let o = self.plane.outline();
        (0..4)
            .map(|i| (o[i].0 - o[(i + 1) % 4].0).hypot(o[i].1 - o[(i + 1) % 4].1))
            .sum::<f64>()
            / 12.0
    }

    /// The same face with its grid turned by quarter turns.
    pub fn turned(&self, turns: usize) -> Candidate {
        let (sin, cos) = [(0.0, 1.0), (1.0, 0.0), (0.0, -1.0), (-1.0, 0.0)][turns];
        Candidate {
            plane: self
                .plane
                .after(&[[cos, -sin, 0.0], [sin, cos, 0.0], [0.0, 0.0, 1.0]]),
            ..*self
        }
    }
}

/// Whether a square of the face's plane, `half` cells from its middle to its sides, lies in the picture: of a grid that the picture's rim
/// cuts nobody can tell how it goes on.
pub fn inside(plane: &Homography, half: f64, size: (u32, u32)) -> bool {
    let over = |x: f64, y: f64| {
        let (x, y) = plane.map(x, y);
        x < 0.0 || y < 0.0 || x > f64::from(size.0) || y > f64::from(size.1)
    };
    ![(-half, -half), (half, -half), (half, half), (-half, half)]
        .into_iter()
        .any(|(x, y)| over(x, y))
}

/// Moves a proposed lattice onto the stickers, and accepts it if they make a face.
pub fn settle(views: &Views, plane: &Homography, size: (u32, u32)) -> Option<Candidate> {
    let view = &views.of(plane);
    let (mut face, borders) = refine(view, plane, size)?;
    if !is_face(&face.evidence)
        || !inside(&face.plane, PART, size)
        || face.pose.error > LEAST_SQUARE
        || face.pose.tilt() > MOST_TILTED
    {
        return None;
    }
    face.beyond = beyond(view, &face.plane, &borders, face.margin as f32);
    face.beyond.sort_unstable_by(|a, b| b.cmp(a));
    (face.beyond[0] < 6).then_some(face)
}

/// Moves a lattice onto the stickers. Also gives the sides as measured where it came to lie.
pub fn refine(view: &View, plane: &Homography, size: (u32, u32)) -> Option<(Candidate, Borders)> {
    refine_while(view, plane, size, [0, 6, 10, 13])
}

/// The same where a hand may hide much of the face.
pub fn refine_hidden(
    view: &View,
    plane: &Homography,
    size: (u32, u32),
) -> Option<(Candidate, Borders)> {
    refine_while(view, plane, size, [3, 4, 6, 8])
}

/// Moves a lattice as long as so many inner sides are in place before each round.
fn refine_while(
    view: &View,
    plane: &Homography,
    size: (u32, u32),
    fewest: [u32; 4],
) -> Option<(Candidate, Borders)> {
    let mut plane = *plane;
    let mut margin = 0.05;
    for fewest in fewest {
        let borders = measure(view, &plane);
        // Most proposals are none: leave those early that could hardly get better.
        let evidence = weigh(&borders, margin as f32);
        if evidence.seen < 12 || evidence.inner < fewest {
            return None;
        }
        (plane, margin) = improve(&plane, &borders)?;
    }
    let borders = measure(view, &plane);
    let face = Candidate {
        plane,
        margin,
        evidence: weigh(&borders, margin as f32),
        beyond: [0; 4],
        pose: Pose::of(&plane, size)?,
    };
    Some((face, borders))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sight::testing::Front;

    /// A face with sides of so many pixels in the middle that grow from right to left as those of a face do that is turned away by an angle
    /// of this sine, but are no narrower than they are high.
    fn stretched(side: f64, sine: f64) -> Candidate {
        let focal = 0.9 * 640.0;
        let plane = Homography([
            [side + 320.0 * sine * side / focal, 0.0, 320.0],
            [240.0 * sine * side / focal, side, 240.0],
            [sine * side / focal, 0.0, 1.0],
        ]);
        Candidate {
            plane,
            pose: Pose::of(&plane, (640, 480)).unwrap(),
            ..Front::painted(|_, _| [0; 3]).face(0.05)
        }
    }

    #[test]
    fn how_square_small_cells_are_is_told_by_parts_of_a_pixel() {
        for side in [10.0, 25.0, 60.0] {
            assert!(stretched(side, 0.0).is_square(), "{side}");
        }
        assert!(stretched(10.0, 0.6).is_square());
        assert!(!stretched(25.0, 0.6).is_square() && stretched(25.0, 0.6).may_be_square());
        assert!(!stretched(60.0, 0.6).may_be_square());
    }

    #[test]
    fn cells_that_are_longer_than_wide_are_squares_seen_from_the_side() {
        let oblong = |long: f64| Candidate {
            plane: Homography([
                [20.0, 0.0, 320.0],
                [0.0, 20.0 * long, 240.0],
                [0.0, 0.0, 1.0],
            ]),
            ..stretched(20.0, 0.0)
        };
        let face = |long: f64| {
            let face = oblong(long);
            let pose = Pose::of(&face.plane, (640, 480)).unwrap();
            Candidate { pose, ..face }
        };
        assert!(!face(1.0).is_steep());
        assert!(face(1.5).is_steep());
        // Without perspective its own pose does not tell.
        assert!(face(1.5).pose.tilt() < 10.0);
    }
}
