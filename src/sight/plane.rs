//! Homographies of a face's plane, and the small least-squares systems that fit them.

use super::look::Point;

/// Maps a face's plane to the picture. In the plane one sticker is one unit wide and the face's middle is `(0, 0)`: lattice lines
/// lie at -1.5, -0.5, 0.5 and 1.5. In the picture units are full-size pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Homography(pub [[f64; 3]; 3]);

impl Homography {
    /// The picture of a point of the plane. Points on the horizon give values that are not finite.
    pub fn map(&self, x: f64, y: f64) -> (f64, f64) {
        let h = &self.0;
        let w = h[2][0] * x + h[2][1] * y + h[2][2];
        (
            (h[0][0] * x + h[0][1] * y + h[0][2]) / w,
            (h[1][0] * x + h[1][1] * y + h[1][2]) / w,
        )
    }

    /// Applies `first`, then `self`.
    pub fn after(&self, first: &[[f64; 3]; 3]) -> Homography {
        let mut out = [[0.0; 3]; 3];
        for (out, row) in out.iter_mut().zip(&self.0) {
            for (k, value) in out.iter_mut().enumerate() {
                *value = (0..3).map(|i| row[i] * first[i][k]).sum();
            }
        }
        let scale = out[2][2];
        Homography(out.map(|row| row.map(|value| value / scale)))
    }

    /// Scales the picture's units.
    pub fn scaled(&self, factor: f64) -> Homography {
        let [a, b, c] = self.0;
        Homography([
            a.map(|value| value * factor),
            b.map(|value| value * factor),
            c,
        ])
    }

    /// The 4x4 grid corners, `[row][column]`.
    pub fn lattice(&self) -> [[Point; 4]; 4] {
        std::array::from_fn(|row| {
            std::array::from_fn(|column| {
                let (x, y) = self.map(column as f64 - 1.5, row as f64 - 1.5);
                Point {
                    x: x as f32,
                    y: y as f32,
                }
            })
        })
    }

    /// The outer corners, clockwise.
    pub fn outline(&self) -> [(f64, f64); 4] {
        [
            self.map(-1.5, -1.5),
            self.map(1.5, -1.5),
            self.map(1.5, 1.5),
            self.map(-1.5, 1.5),
        ]
    }

    /// The map that takes each plane point of `pairs` nearest to its picture point, in the least-squares sense of the linear
    /// equations; affine for fewer than `full` pairs. Pairs are `(plane, picture)`.
    pub fn fit(pairs: &[([f64; 2], [f64; 2])], full: usize) -> Option<Homography> {
        let affine = pairs.len() < full.max(4);
        // Centre and scale the picture points, for a well-conditioned system.
        let n = pairs.len() as f64;
        let mean = [0, 1].map(|k| pairs.iter().map(|(_, to)| to[k]).sum::<f64>() / n);
        let spread = pairs
            .iter()
            .map(|(_, to)| (to[0] - mean[0]).hypot(to[1] - mean[1]))
            .sum::<f64>()
            / n;
        let scale = 1.0 / spread.max(1e-6);
        let mut system = System::<8>::new();
        for &([x, y], to) in pairs {
            let (u, v) = ((to[0] - mean[0]) * scale, (to[1] - mean[1]) * scale);
            system.add([x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y], u, 1.0);
            system.add([0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y], v, 1.0);
        }
        if affine {
            system.hold(6, 1e9);
            system.hold(7, 1e9);
        }
        let p = system.solve()?;
        let unscale = [
            [1.0 / scale, 0.0, mean[0]],
            [0.0, 1.0 / scale, mean[1]],
            [0.0, 0.0, 1.0],
        ];
        Some(Homography(unscale).after(&[
            [p[0], p[1], p[2]],
            [p[3], p[4], p[5]],
            [p[6], p[7], 1.0],
        ]))
    }
}

/// Normal equations of a linear least-squares problem with `N` unknowns.
pub struct System<const N: usize> {
    matrix: [[f64; N]; N],
    right: [f64; N],
}

impl<const N: usize> System<N> {
    pub fn new() -> Self {
        Self {
            matrix: [[0.0; N]; N],
            right: [0.0; N],
        }
    }

    /// Adds the equation `row . unknowns = value`.
    pub fn add(&mut self, row: [f64; N], value: f64, weight: f64) {
        for (i, &a) in row.iter().enumerate() {
            self.right[i] += weight * a * value;
            for (out, &b) in self.matrix[i].iter_mut().zip(&row) {
                *out += weight * a * b;
            }
        }
    }

    /// Draws unknown `i` towards zero.
    pub fn hold(&mut self, i: usize, weight: f64) {
        self.matrix[i][i] += weight;
    }

    /// Solves by Gaussian elimination with pivoting; `None` if the system is singular.
    pub fn solve(mut self) -> Option<[f64; N]> {
        for i in 0..N {
            let pivot = (i..N)
                .max_by(|&a, &b| self.matrix[a][i].abs().total_cmp(&self.matrix[b][i].abs()))?;
            if self.matrix[pivot][i].abs() < 1e-12 {
                return None;
            }
            self.matrix.swap(i, pivot);
            self.right.swap(i, pivot);
            for row in i + 1..N {
                let factor = self.matrix[row][i] / self.matrix[i][i];
                for k in i..N {
                    self.matrix[row][k] -= factor * self.matrix[i][k];
                }
                self.right[row] -= factor * self.right[i];
            }
        }
        let mut out = [0.0; N];
        for i in (0..N).rev() {
            let known: f64 = (i + 1..N).map(|k| self.matrix[i][k] * out[k]).sum();
            out[i] = (self.right[i] - known) / self.matrix[i][i];
        }
        out.iter().all(|value| value.is_finite()).then_some(out)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: [[f64; 2]; 4] = [[-1.5, -1.5], [1.5, -1.5], [1.5, 1.5], [-1.5, 1.5]];

    /// Maps found by OpenCV, with the script that made them beside them.
    #[derive(serde::Deserialize)]
    struct Golden {
        exact: Vec<Exact>,
        fitted: Vec<Fitted>,
    }

    #[derive(serde::Deserialize)]
    struct Exact {
        corners: [[f64; 2]; 4],
        matrix: [[f64; 3]; 3],
        lattice: Vec<[f64; 2]>,
    }

    #[derive(serde::Deserialize)]
    struct Fitted {
        points: Vec<[f64; 2]>,
        lattice: Vec<[f64; 2]>,
    }

    fn golden() -> Golden {
        serde_json::from_str(include_str!("../../tests/fixtures/homography.json")).unwrap()
    }

    fn plane_points() -> impl Iterator<Item = [f64; 2]> {
        (0..16).map(|i| [f64::from(i % 4) - 1.5, f64::from(i / 4) - 1.5])
    }

    fn furthest(plane: &Homography, lattice: &[[f64; 2]]) -> f64 {
        let points = plane.lattice().into_iter().flatten().zip(lattice);
        points
            .map(|(p, [x, y])| (f64::from(p.x) - x).hypot(f64::from(p.y) - y))
            .fold(0.0, f64::max)
    }

    #[test]
    fn four_points_give_the_map_that_opencv_gives() {
        for case in golden().exact {
            let pairs: Vec<_> = SQUARE.into_iter().zip(case.corners).collect();
            let plane = Homography::fit(&pairs, 4).unwrap();
            for (own, published) in plane.0.iter().flatten().zip(case.matrix.iter().flatten()) {
                assert!((own - published).abs() < 1e-4 * (1.0 + published.abs()));
            }
            assert!(furthest(&plane, &case.lattice) < 0.01);
        }
    }

    #[test]
    fn sixteen_points_with_noise_give_about_the_map_that_opencv_gives() {
        for case in golden().fitted {
            let pairs: Vec<_> = plane_points().zip(case.points).collect();
            let plane = Homography::fit(&pairs, 4).unwrap();
            let off = furthest(&plane, &case.lattice);
            assert!(off < 0.2, "{off} pixels");
        }
    }
}
