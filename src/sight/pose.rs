//! Fifth stage: the cube's place in space, which ties the faces of a corner view together.

use super::plane::{Homography, System};

/// Focal lengths to be expected, as a share of the picture's longer side: common webcams have 0.7 to 1.4.
const FOCAL: [f64; 7] = [0.7, 0.78, 0.86, 0.95, 1.05, 1.2, 1.4];

type Vector = [f64; 3];

/// A face of a cube: the side of the first face that it lies beyond (`None` for the first itself), and its corners in the
/// picture.
pub type Seen = (Option<usize>, [(f64, f64); 4]);

/// Where a face lies in space, in units of one sticker, seen by a camera at the origin (x right, y down, z ahead).
#[derive(Clone, Copy, Debug)]
pub struct Pose {
    /// Focal length in pixels.
    pub focal: f64,
    /// Middle of the picture in pixels.
    pub centre: (f64, f64),
    /// Directions of the face's columns, its rows, and into the cube.
    pub axes: [Vector; 3],
    /// The face's middle.
    pub middle: Vector,
    /// How far the plane's picture is from that of a square grid: 0 is exact, 0.1 a tenth in angle or in the ratio of the sides.
    pub error: f64,
}

impl Pose {
    /// The pose of a face from its homography, with the focal length that makes its cells squarest.
    pub fn of(plane: &Homography, size: (u32, u32)) -> Option<Pose> {
        let longer = f64::from(size.0.max(size.1));
        FOCAL
            .iter()
            .filter_map(|&focal| Pose::with(plane, size, focal * longer))
            .min_by(|a, b| {
                let cost = |pose: &Pose| {
                    pose.error * pose.error + 0.002 * (pose.focal / (0.9 * longer)).ln().powi(2)
                };
                cost(a).total_cmp(&cost(b))
            })
    }

    /// The pose of a face when the focal length is known.
    pub fn with(plane: &Homography, size: (u32, u32), focal: f64) -> Option<Pose> {
        let centre = (f64::from(size.0) / 2.0, f64::from(size.1) / 2.0);
        let h = &plane.0;
        let column = |k: usize| {
            [
                (h[0][k] - centre.0 * h[2][k]) / focal,
                (h[1][k] - centre.1 * h[2][k]) / focal,
                h[2][k],
            ]
        };
        let (a, b, middle) = (column(0), column(1), column(2));
        let (long_a, long_b) = (length(a), length(b));
        let cosine = dot(a, b) / (long_a * long_b);
        let error = cosine.hypot((long_a / long_b).ln());
        // The nearest pair of perpendicular directions.
        let (a, b) = (scale(a, 1.0 / long_a), scale(b, 1.0 / long_b));
        let (sum, difference) = (unit(add(a, b))?, unit(add(a, scale(b, -1.0)))?);
        let half = std::f64::consts::FRAC_1_SQRT_2;
        let x = scale(add(sum, difference), half);
        let y = scale(add(sum, scale(difference, -1.0)), half);
        let distance = 1.0 / (long_a * long_b).sqrt();
        Some(Pose {
            focal,
            centre,
            axes: [x, y, cross(x, y)],
            middle: scale(middle, distance),
            error,
        })
    }

    /// Angle between the face's normal and the line of sight to its middle, degrees.
    pub fn tilt(&self) -> f64 {
        (dot(self.axes[2], self.middle) / length(self.middle))
            .clamp(-1.0, 1.0)
            .acos()
            .to_degrees()
    }

    /// The face of the same cube that lies beyond one side of this one: 0 right, 1 bottom, 2 left, 3 top. The sides where they touch are
    /// the new face's left, top, right and bottom.
    pub fn face(&self, side: usize) -> Pose {
        let [x, y, z] = self.axes;
        let minus = |v: Vector| scale(v, -1.0);
        let (outward, column, row) = match side {
            0 => (x, z, y),
            1 => (y, x, z),
            2 => (minus(x), minus(z), y),
            _ => (minus(y), x, minus(z)),
        };
        let middle = add(add(self.middle, scale(z, 1.5)), scale(outward, 1.5));
        Pose {
            axes: [column, row, minus(outward)],
            middle,
            ..*self
        }
    }

    /// The pose that brings several faces of one cube nearest to where they were seen, and the root mean square distance of
    /// their corners then, in pixels.
    pub fn settle(&self, seen: &[Seen]) -> Option<(Pose, f64)> {
        let longer = 2.0 * self.centre.0.max(self.centre.1);
        let mut pose = *self;
        let residuals = |pose: &Pose| -> Vec<f64> {
            seen.iter()
                .flat_map(|(side, corners)| {
                    let plane = side.map_or(*pose, |side| pose.face(side)).plane();
                    let apart = plane
                        .outline()
                        .into_iter()
                        .zip(*corners)
                        .map(|(a, b)| [a.0 - b.0, a.1 - b.1]);
                    apart.flatten().collect::<Vec<_>>()
                })
                .collect()
        };
        let pull = 0.05
            * (self.plane().map(1.5, 0.0).0 - self.plane().map(-1.5, 0.0).0)
                .abs()
                .max(1.0);
        for _ in 0..8 {
            let base = residuals(&pose);
            let step = 1e-4;
            let columns: Vec<Vec<f64>> = (0..7)
                .map(|k| {
                    let mut change = [0.0; 7];
                    change[k] = step;
                    let moved = residuals(&pose.changed(&change));
                    moved
                        .iter()
                        .zip(&base)
                        .map(|(a, b)| (a - b) / step)
                        .collect()
                })
                .collect();
            let mut system = System::<7>::new();
            for (i, value) in base.iter().enumerate() {
                system.add(std::array::from_fn(|k| columns[k][i]), -value, 1.0);
            }
            // The focal length is drawn towards a usual one.
            let mut focal = [0.0; 7];
            focal[6] = pull / 0.2;
            system.add(focal, -pull / 0.2 * (pose.focal / (0.9 * longer)).ln(), 1.0);
            pose = pose.changed(&system.solve()?);
        }
        let rest = residuals(&pose);
        let square = rest.iter().map(|value| value * value).sum::<f64>() / rest.len() as f64;
        Some((pose, square.sqrt()))
    }

    /// A pose turned by a small rotation vector, its middle moved (in shares of its distance), its focal length scaled.
    fn changed(&self, by: &[f64; 7]) -> Pose {
        let turn = [by[0], by[1], by[2]];
        let turned = |v: Vector| {
            let angle = length(turn);
            if angle < 1e-12 {
                return v;
            }
            let axis = scale(turn, 1.0 / angle);
            let (sin, cos) = angle.sin_cos();
            add(
                add(scale(v, cos), scale(cross(axis, v), sin)),
                scale(axis, dot(axis, v) * (1.0 - cos)),
            )
        };
        let far = length(self.middle);
        Pose {
            axes: self.axes.map(turned),
            middle: add(self.middle, scale([by[3], by[4], by[5]], far)),
            focal: self.focal * by[6].exp(),
            ..*self
        }
    }

    /// The homography of the face in this pose.
    pub fn plane(&self) -> Homography {
        let [x, y, _] = self.axes;
        let column = |v: Vector| {
            [
                self.focal * v[0] + self.centre.0 * v[2],
                self.focal * v[1] + self.centre.1 * v[2],
                v[2],
            ]
        };
        let (a, b, c) = (column(x), column(y), column(self.middle));
        Homography([0, 1, 2].map(|k| [a[k], b[k], c[k]].map(|value| value / c[2])))
    }
}

fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn add(a: Vector, b: Vector) -> Vector {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

fn scale(a: Vector, factor: f64) -> Vector {
    a.map(|value| value * factor)
}

fn length(a: Vector) -> f64 {
    dot(a, a).sqrt()
}

fn unit(a: Vector) -> Option<Vector> {
    let long = length(a);
    (long > 1e-9).then(|| scale(a, 1.0 / long))
}

fn cross(a: Vector, b: Vector) -> Vector {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}
