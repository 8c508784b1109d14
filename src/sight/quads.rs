//! Third stage: regions that are parallelograms, as a sticker is after a nearly affine view.

use super::look::Point;
use super::regions::Run;

/// A region's best parallelogram, in pixels.
#[derive(Clone, Copy, Debug)]
pub struct Quad {
    /// Middle.
    pub x: f32,
    pub y: f32,
    /// The two sides as vectors; `u` to `v` turns from x to y (clockwise in the picture).
    pub u: [f32; 2],
    pub v: [f32; 2],
    /// Pixels in the region.
    pub area: f32,
    /// How well the region fills the parallelogram and has its corners, 0 to 1.
    pub shape: f32,
}

impl Quad {
    /// The four corners, clockwise in the picture.
    pub fn corners(&self) -> [Point; 4] {
        [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)].map(|(a, b)| Point {
            x: self.x + a * self.u[0] + b * self.v[0],
            y: self.y + a * self.u[1] + b * self.v[1],
        })
    }

    /// The same quad in a picture `factor` times as large.
    pub fn scaled(self, factor: f32) -> Quad {
        Quad {
            x: self.x * factor,
            y: self.y * factor,
            u: self.u.map(|value| value * factor),
            v: self.v.map(|value| value * factor),
            area: self.area * factor * factor,
            shape: self.shape,
        }
    }
}

/// Adds a quad, unless a better one of much the same place and size is there; replaces a worse one.
pub fn keep(quads: &mut Vec<Quad>, quad: Quad) {
    let same = quads.iter_mut().find(|other| {
        let reach = 0.2 * other.area.min(quad.area).sqrt();
        (other.x - quad.x).abs() < reach
            && (other.y - quad.y).abs() < reach
            && (0.5..2.0).contains(&(other.area / quad.area))
    });
    match same {
        Some(other) if other.shape < quad.shape => *other = quad,
        Some(_) => {}
        None => quads.push(quad),
    }
}

/// Fits a parallelogram to a region by its moments, or `None` if the region is no parallelogram.
///
/// The second moments whiten the region: a parallelogram becomes a square with sides of the square root of 12, of any roll. Its
/// area then tells how solid it is, and the fourth-order moment `E[(a + ib)^4]`, which is `-2.4 exp(4i roll)` for
/// that square and 0 for a disc, tells its roll and how square its corners are.
pub fn fit(area: u32, runs: &[Run]) -> Option<Quad> {
    let n = f64::from(area);
    let (mut sum_x, mut sum_y) = (0.0, 0.0);
    for run in runs {
        let (start, end) = (f64::from(run.start), f64::from(run.end));
        sum_x += (end * end - start * start) * 0.5;
        sum_y += (end - start) * (f64::from(run.row) + 0.5);
    }
    let (mean_x, mean_y) = (sum_x / n, sum_y / n);

    // Moments of the pixels as boxes: exact integrals along each run.
    let mut m = Moments::default();
    for run in runs {
        let (p, q) = (f64::from(run.start) - mean_x, f64::from(run.end) - mean_x);
        let (p2, q2) = (p * p, q * q);
        let x0 = q - p;
        let x1 = (q2 - p2) / 2.0;
        let x2 = (q2 * q - p2 * p) / 3.0;
        let x3 = (q2 * q2 - p2 * p2) / 4.0;
        let x4 = (q2 * q2 * q - p2 * p2 * p) / 5.0;
        let y = f64::from(run.row) + 0.5 - mean_y;
        let y2 = y * y;
        m.xx += x2;
        m.xy += x1 * y;
        m.yy += x0 * (y2 + 1.0 / 12.0);
        m.x4 += x4;
        m.x3y += x3 * y;
        m.x2y2 += x2 * (y2 + 1.0 / 12.0);
        m.xy3 += x1 * (y2 + 0.25) * y;
        m.y4 += x0 * (y2 * y2 + y2 / 2.0 + 1.0 / 80.0);
    }
    let (xx, xy, yy) = (m.xx / n, m.xy / n, m.yy / n);
    let determinant = xx * yy - xy * xy;
    if determinant < 0.2 {
        return None;
    }
    let fill = n / (12.0 * determinant.sqrt());
    if !(0.72..1.2).contains(&fill) {
        return None;
    }
    // Cholesky factor of the covariance, and its inverse: a = alpha x, b = beta x + gamma y.
    let l11 = xx.sqrt();
    let l21 = xy / l11;
    let l22 = (yy - l21 * l21).sqrt();
    let (a, b, c) = (1.0 / l11, -l21 / (l11 * l22), 1.0 / l22);
    let (x4, x3y, x2y2, xy3, y4) = (m.x4 / n, m.x3y / n, m.x2y2 / n, m.xy3 / n, m.y4 / n);
    let aaaa = a.powi(4) * x4;
    let aaab = a.powi(3) * (b * x4 + c * x3y);
    let aabb = a * a * (b * b * x4 + 2.0 * b * c * x3y + c * c * x2y2);
    let abbb =
        a * (b.powi(3) * x4 + 3.0 * b * b * c * x3y + 3.0 * b * c * c * x2y2 + c.powi(3) * xy3);
    let bbbb = b.powi(4) * x4
        + 4.0 * b.powi(3) * c * x3y
        + 6.0 * b * b * c * c * x2y2
        + 4.0 * b * c.powi(3) * xy3
        + c.powi(4) * y4;
    let (re, im) = (aaaa - 6.0 * aabb + bbbb, 4.0 * (aaab - abbb));
    let corners = re.hypot(im) / 2.4;
    if corners < 0.35 {
        return None;
    }
    let roll = (-im).atan2(-re) / 4.0;
    let (sin, cos) = roll.sin_cos();
    let side = 12f64.sqrt();
    let back = |p: f64, q: f64| [(side * l11 * p) as f32, (side * (l21 * p + l22 * q)) as f32];
    Some(Quad {
        x: (mean_x + 0.5) as f32,
        y: (mean_y + 0.5) as f32,
        u: back(cos, sin),
        v: back(-sin, cos),
        area: area as f32,
        shape: (corners.min(1.0) * (1.0 - (fill - 1.0).abs())) as f32,
    })
}

#[derive(Default)]
struct Moments {
    xx: f64,
    xy: f64,
    yy: f64,
    x4: f64,
    x3y: f64,
    x2y2: f64,
    xy3: f64,
    y4: f64,
}
