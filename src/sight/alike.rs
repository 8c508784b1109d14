//! Shapes around a face that are like its cells. Woven cloth has waves, and keys stand out of step: the cells of such a grid are not where those of
//! a regular one would be, but they are alike. What is behind a cube has few shapes as large as its stickers, turned the same way.

use super::candidate::Candidate;
use super::lattice::coordinates;
use super::quads::{Quad, keep};

/// Furthest middle of a shape that counts, in cells from the face's middle along its rows and columns: the next cell of a grid, though out
/// of place. Boards on a wall behind a cube are seldom as near.
const NEIGHBOURHOOD: f32 = 2.5;

/// Nearest middle of a shape that is off a face, likewise.
const OFF: f32 = 1.7;

/// Largest ratio of the sides of shapes that are alike, and how far the ends of their sides may be apart across them, in sides.
const ALIKE: f32 = 1.4;
const ASKEW: f32 = 0.3;

/// Least [`Quad::shape`] of a shape that counts: the tips of the fingers that hold a cube are as large as its stickers, but round.
const LEAST_SHAPE: f32 = 0.6;

/// The shapes of `quads` near a face that are like its cells, those on any of `faces` left out. One that is there twice counts once.
pub fn alike_around(face: &Candidate, faces: &[&Candidate], quads: &[Quad]) -> u32 {
    let sides = Sides::of(face);
    let faces: Vec<Sides> = faces.iter().map(|face| Sides::of(face)).collect();
    let mut alike = Vec::new();
    for &quad in quads {
        if quad.shape >= LEAST_SHAPE
            && sides.place(&quad) <= NEIGHBOURHOOD
            && sides.are_like(&quad)
            && faces.iter().all(|sides| sides.place(&quad) >= OFF)
        {
            keep(&mut alike, quad);
        }
    }
    alike.len() as u32
}

/// The middle cell of a face, as a parallelogram.
struct Sides {
    middle: [f32; 2],
    u: [f32; 2],
    v: [f32; 2],
    /// Side of a sticker in cells.
    sticker: f32,
}

impl Sides {
    fn of(face: &Candidate) -> Sides {
        let at = |x, y| {
            let (x, y) = face.plane.map(x, y);
            [x as f32, y as f32]
        };
        let between = |a: [f32; 2], b: [f32; 2]| [b[0] - a[0], b[1] - a[1]];
        Sides {
            middle: at(0.0, 0.0),
            u: between(at(-0.5, 0.0), at(0.5, 0.0)),
            v: between(at(0.0, -0.5), at(0.0, 0.5)),
            sticker: 1.0 - 2.0 * face.margin as f32,
        }
    }

    /// How far the quad's middle is from the face's along its rows or its columns, whichever is more, in cells.
    fn place(&self, quad: &Quad) -> f32 {
        let d = [quad.x - self.middle[0], quad.y - self.middle[1]];
        let [x, y] = coordinates(d, self.u, self.v);
        x.abs().max(y.abs())
    }

    /// Whether the quad has a sticker's sides, by whatever quarter turn.
    fn are_like(&self, quad: &Quad) -> bool {
        let [a, b] = [quad.u, quad.v]
            .map(|side| coordinates(side, self.u, self.v).map(|value| value / self.sticker));
        let fits = |along: f32, across: f32| {
            (1.0 / ALIKE..ALIKE).contains(&along.abs()) && across.abs() < ASKEW
        };
        (fits(a[0], a[1]) && fits(b[1], b[0])) || (fits(a[1], a[0]) && fits(b[0], b[1]))
    }
}

#[cfg(test)]
mod tests {
    use super::super::plane::Homography;
    use super::super::pose::Pose;
    use super::super::verify::Evidence;
    use super::*;

    const CELL: f64 = 40.0;

    /// A face seen from the front, its middle at this point.
    fn face(x: f64, y: f64) -> Candidate {
        let plane = Homography([[CELL, 0.0, x], [0.0, CELL, y], [0.0, 0.0, 1.0]]);
        Candidate {
            plane,
            margin: 0.05,
            evidence: Evidence::default(),
            beyond: [0; 4],
            pose: Pose::of(&plane, (640, 480)).unwrap(),
        }
    }

    /// A square shape so many cells from the middle of the picture, with a side in cells, rolled by an angle.
    fn shape((x, y): (f32, f32), side: f32, degrees: f32) -> Quad {
        let cell = CELL as f32;
        let (sin, cos) = degrees.to_radians().sin_cos();
        let side = side * cell;
        Quad {
            x: 320.0 + x * cell,
            y: 240.0 + y * cell,
            u: [side * cos, side * sin],
            v: [-side * sin, side * cos],
            area: side * side,
            shape: 1.0,
        }
    }

    #[test]
    fn shapes_like_cells_count_wherever_they_lie_around_the_face() {
        let face = face(320.0, 240.0);
        let around = |place, side, degrees| {
            let quads = [shape(place, side, degrees)];
            alike_around(&face, &[&face], &quads) == 1
        };
        for place in [(2.0, 0.0), (-2.1, 0.4), (1.3, -1.9), (2.4, 2.4)] {
            for degrees in [0.0, -8.0, 8.0, 90.0, 188.0, 270.0] {
                assert!(around(place, 0.9, degrees), "{place:?} at {degrees}");
            }
            assert!(!around(place, 0.5, 0.0) && !around(place, 1.5, 0.0));
            assert!(!around(place, 0.9, 30.0) && !around(place, 0.9, 45.0));
        }
        let round = Quad {
            shape: 0.5,
            ..shape((2.0, 0.0), 0.9, 0.0)
        };
        assert_eq!(alike_around(&face, &[&face], &[round]), 0);
        for place in [(0.0, 0.0), (1.0, -1.0), (1.4, 0.0), (3.0, 0.0), (2.0, 2.9)] {
            assert!(!around(place, 0.9, 0.0), "{place:?}");
        }
    }

    #[test]
    fn the_cells_of_the_other_face_are_no_sign() {
        let (one, other) = (face(320.0, 240.0), face(320.0 + 3.0 * CELL, 240.0));
        let quads = [
            shape((2.0, 1.0), 0.9, 0.0),
            shape((2.0, -2.0), 0.9, 0.0),
            shape((-2.0, 0.0), 0.9, 0.0),
        ];
        assert_eq!(alike_around(&one, &[&one], &quads), 3);
        assert_eq!(alike_around(&one, &[&one, &other], &quads), 2);
        // Of these the other face has one beside it.
        assert_eq!(alike_around(&other, &[&one, &other], &quads), 1);
    }
}
