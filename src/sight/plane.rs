//! The plane of a face: from the unit square to the picture.

use super::look::Point;
use super::quad::Quad;

/// The projective map that takes the corners (0,0), (1,0), (1,1), (0,1) of the unit square to the corners of a quadrilateral
/// (Heckbert 1989, "Fundamentals of texture mapping and image warping", section 2.2.3). As rows `x`, `y`, `w` over `(u, v, 1)`.
#[derive(Clone, Copy, Debug)]
pub struct Homography {
    rows: [[f32; 3]; 3],
}

impl Homography {
    pub fn onto(quad: &Quad) -> Self {
        let [p0, p1, p2, p3] = quad.0.map(|p| (f64::from(p.x), f64::from(p.y)));
        let (dx1, dx2, sx) = (p1.0 - p2.0, p3.0 - p2.0, p0.0 - p1.0 + p2.0 - p3.0);
        let (dy1, dy2, sy) = (p1.1 - p2.1, p3.1 - p2.1, p0.1 - p1.1 + p2.1 - p3.1);
        let area = dx1 * dy2 - dx2 * dy1;
        // A quadrilateral without area has no inside; its first corner stands for all of it.
        let (g, h) = if area.abs() > f64::EPSILON {
            ((sx * dy2 - dx2 * sy) / area, (dx1 * sy - sx * dy1) / area)
        } else {
            (0.0, 0.0)
        };
        let rows = [
            [p1.0 - p0.0 + g * p1.0, p3.0 - p0.0 + h * p3.0, p0.0],
            [p1.1 - p0.1 + g * p1.1, p3.1 - p0.1 + h * p3.1, p0.1],
            [g, h, 1.0],
        ];
        Self {
            rows: rows.map(|row| row.map(|value| value as f32)),
        }
    }

    /// The picture of a point of the unit square, or of its surroundings. Points near the horizon and beyond it stay
    /// before it.
    pub fn map(&self, u: f32, v: f32) -> Point {
        let [x, y, w] = self.rows.map(|[a, b, c]| a * u + b * v + c);
        let w = w.max(0.05);
        Point { x: x / w, y: y / w }
    }

    /// The picture of a point in cells from the centre of a face of three by three, whose corners lie at 1.5 either way.
    pub fn map_cells(&self, x: f32, y: f32) -> Point {
        self.map((x + 1.5) / 3.0, (y + 1.5) / 3.0)
    }

    /// The 4x4 grid corners of a face of three by three, `[row][column]`.
    pub fn lattice(&self) -> [[Point; 4]; 4] {
        let line = |i: usize| i as f32 - 1.5;
        std::array::from_fn(|row| {
            std::array::from_fn(|column| self.map_cells(line(column), line(row)))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sight::quad::distance;

    /// Maps found by OpenCV, with the script that made them beside them.
    #[derive(serde::Deserialize)]
    struct Golden {
        exact: Vec<Exact>,
    }

    #[derive(serde::Deserialize)]
    struct Exact {
        corners: [[f32; 2]; 4],
        lattice: Vec<[f32; 2]>,
    }

    #[test]
    fn four_corners_give_the_map_that_opencv_gives() {
        let golden: Golden =
            serde_json::from_str(include_str!("../../tests/fixtures/homography.json")).unwrap();
        assert_eq!(golden.exact.len(), 20);
        let point = |[x, y]: [f32; 2]| Point { x, y };
        for case in golden.exact {
            let lattice = Homography::onto(&Quad(case.corners.map(point))).lattice();
            for (own, published) in lattice.as_flattened().iter().zip(case.lattice) {
                assert!(distance(*own, point(published)) < 0.01, "{own:?}");
            }
        }
    }

    #[test]
    fn a_tilted_square_is_mapped_projectively() {
        // A plane seen at a slant: the centre of the square lies where the diagonals cross, not at the corners' mean.
        let quad = Quad(
            [(0.0, 0.0), (90.0, 20.0), (90.0, 60.0), (0.0, 100.0)].map(|(x, y)| Point { x, y }),
        );
        let centre = Homography::onto(&quad).map(0.5, 0.5);
        // Diagonals (0,0)-(90,60) and (90,20)-(0,100) meet at x = 100 / (2/3 + 8/9).
        let x = 100.0 / (2.0 / 3.0 + 8.0 / 9.0);
        assert!((centre.x - x).abs() < 1e-3 && (centre.y - x * 2.0 / 3.0).abs() < 1e-3);
    }
}
