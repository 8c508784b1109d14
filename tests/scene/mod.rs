//! A small projective renderer: flat things before a cluttered wall. `cube` draws cubes with known lattices, `grids` and
//! `household` draw what people have around them that is no cube.

mod cube;
mod grids;
mod household;

use image::{Rgb, RgbImage};
use rand::Rng;
use rand_chacha::ChaCha8Rng;

pub use cube::{Cube, Finish, Lamp, Plastic, Truth, View, lone_face};
pub use grids::nothing;
pub use household::at_home;

pub type Vector = [f64; 3];
pub type Matrix = [[f64; 3]; 3];
/// Red, green, blue in 8-bit levels.
pub type Colour = [f64; 3];

/// A plane of the scene: its map to the picture, and what it looks like at a point of the plane (`None` outside).
pub struct Plane {
    pub to_picture: Matrix,
    /// Nothing is painted further from the plane's middle than this, along each axis.
    pub reach: f64,
    pub paint: Box<dyn Fn(f64, f64) -> Option<Colour>>,
}

/// Something round in front of everything, as a finger is: all within `radius` of the line between two points.
pub struct Rod {
    pub ends: [[f64; 2]; 2],
    pub radius: f64,
    pub colour: Colour,
}

/// A picture before it is drawn.
pub struct Scene {
    pub width: u32,
    pub height: u32,
    pub wall: Colour,
    /// From the back to the front.
    pub planes: Vec<Plane>,
    /// In front of all planes.
    pub rods: Vec<Rod>,
    /// Standard deviation of the noise, 8-bit levels.
    pub noise: f64,
    /// Times that a box of 3x3 pixels blurs the picture.
    pub blur: u32,
    /// How far the picture moves during the exposure, pixels.
    pub motion: [f64; 2],
    /// Light, as a share of full.
    pub light: f64,
}

impl Scene {
    pub fn new(width: u32, height: u32, rng: &mut ChaCha8Rng) -> Self {
        let grey = rng.random_range(40.0..190.0);
        let wall = [0, 1, 2].map(|_| grey + rng.random_range(-20.0..20.0));
        Self {
            width,
            height,
            wall,
            planes: Vec::new(),
            rods: Vec::new(),
            noise: 3.0,
            blur: 0,
            motion: [0.0; 2],
            light: 1.0,
        }
    }

    /// Books, boxes and posters behind the cube.
    pub fn clutter(&mut self, count: usize, rng: &mut ChaCha8Rng) {
        for _ in 0..count {
            let (w, h) = (rng.random_range(8.0..90.0), rng.random_range(30.0..200.0));
            let x = rng.random_range(0.0..f64::from(self.width));
            let y = rng.random_range(0.0..f64::from(self.height));
            let (sin, cos) = rng.random_range(-0.3..0.3f64).sin_cos();
            let colour = any_colour(rng);
            self.planes.push(Plane {
                to_picture: [
                    [w * cos, -h * sin, x],
                    [w * sin, h * cos, y],
                    [0.0, 0.0, 1.0],
                ],
                reach: 0.5,
                paint: Box::new(move |u, v| (u.abs() < 0.5 && v.abs() < 0.5).then_some(colour)),
            });
        }
    }

    /// The map of a plane whose axes and middle are in camera coordinates (x right, y down, z ahead), for a focal length in pixels.
    pub fn project(&self, column: Vector, row: Vector, middle: Vector, focal: f64) -> Matrix {
        let (cx, cy) = (f64::from(self.width) / 2.0, f64::from(self.height) / 2.0);
        let image = |v: Vector| [focal * v[0] + cx * v[2], focal * v[1] + cy * v[2], v[2]];
        let (a, b, c) = (image(column), image(row), image(middle));
        [0, 1, 2].map(|i| [a[i], b[i], c[i]])
    }

    /// Draws the scene with four samples a pixel.
    pub fn draw(&self, rng: &mut ChaCha8Rng) -> RgbImage {
        let (width, height) = (self.width as usize, self.height as usize);
        let planes: Vec<(Matrix, Option<[usize; 4]>, &Plane)> = self
            .planes
            .iter()
            .map(|plane| (inverse(&plane.to_picture), self.extent(plane), plane))
            .collect();
        let mut pixels = vec![[0.0; 3]; width * height];
        for (i, pixel) in pixels.iter_mut().enumerate() {
            let (px, py) = (i % width, i / width);
            for sample in 0..4 {
                let x = px as f64 + 0.25 + 0.5 * f64::from(sample % 2);
                let y = py as f64 + 0.25 + 0.5 * f64::from(sample / 2);
                let rod = self.rods.iter().rev().find_map(|rod| rod.paint(x, y));
                let seen = rod.or_else(|| {
                    planes.iter().rev().find_map(|(back, extent, plane)| {
                        let near = extent.is_none_or(|[x0, y0, x1, y1]| {
                            (x0..=x1).contains(&px) && (y0..=y1).contains(&py)
                        });
                        let (u, v) = near.then(|| map(back, x, y))?;
                        (plane.paint)(u, v)
                    })
                });
                let colour = seen.unwrap_or(self.wall);
                for k in 0..3 {
                    pixel[k] += 0.25 * self.light * colour[k];
                }
            }
        }
        if self.motion != [0.0; 2] {
            pixels = moved(&pixels, width, height, self.motion);
        }
        for _ in 0..self.blur {
            pixels = boxed(&pixels, width, height);
        }
        RgbImage::from_fn(self.width, self.height, |x, y| {
            let pixel = pixels[y as usize * width + x as usize];
            Rgb(pixel.map(|c| {
                // The sum of four even numbers is nearly normal; its standard deviation is 147.8.
                let sum: f64 = rng.random::<[u8; 4]>().map(f64::from).iter().sum();
                let noise = (sum - 510.0) / 147.8 * self.noise;
                (c + noise).round().clamp(0.0, 255.0) as u8
            }))
        })
    }

    /// The pixels that a plane may cover: `[left, top, right, bottom]`; `None` for all.
    fn extent(&self, plane: &Plane) -> Option<[usize; 4]> {
        let mut span = [f64::MAX, f64::MAX, 0.0, 0.0];
        for (u, v) in [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)] {
            let (u, v) = (u * plane.reach, v * plane.reach);
            let h = &plane.to_picture;
            if h[2][0] * u + h[2][1] * v + h[2][2] <= 0.0 {
                return None;
            }
            let (x, y) = map(h, u, v);
            span = [
                span[0].min(x),
                span[1].min(y),
                span[2].max(x),
                span[3].max(y),
            ];
        }
        Some(span.map(|v| v.max(0.0) as usize))
    }
}

impl Rod {
    /// Darker towards its sides, as a round thing is.
    fn paint(&self, x: f64, y: f64) -> Option<Colour> {
        let [[ax, ay], [bx, by]] = self.ends;
        let (dx, dy) = (bx - ax, by - ay);
        let along = ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy).max(1e-9);
        let along = along.clamp(0.0, 1.0);
        let off = (x - ax - along * dx).hypot(y - ay - along * dy) / self.radius;
        (off < 1.0).then(|| self.colour.map(|c| c * (1.0 - 0.45 * off * off)))
    }
}

pub fn any_colour(rng: &mut ChaCha8Rng) -> Colour {
    [0, 1, 2].map(|_| rng.random_range(10.0..245.0))
}

/// Directions after a tilt by `tilt` about an axis in the picture at `about`, then a roll; each in camera coordinates.
pub fn turn(about: f64, tilt: f64, roll: f64) -> Matrix {
    let spin = |angle: f64| {
        let (s, c) = angle.sin_cos();
        [[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]]
    };
    let (s, c) = tilt.sin_cos();
    let lean = [[1.0, 0.0, 0.0], [0.0, c, s], [0.0, -s, c]];
    compose(
        spin(roll),
        compose(spin(-about), compose(lean, spin(about))),
    )
}

/// The rows of `axes`, each turned by `by` (whose rows are the images of the coordinate axes).
pub fn compose(by: Matrix, axes: Matrix) -> Matrix {
    axes.map(|axis| [0, 1, 2].map(|i| (0..3).map(|k| axis[k] * by[k][i]).sum()))
}

pub fn map(h: &Matrix, x: f64, y: f64) -> (f64, f64) {
    let w = h[2][0] * x + h[2][1] * y + h[2][2];
    (
        (h[0][0] * x + h[0][1] * y + h[0][2]) / w,
        (h[1][0] * x + h[1][1] * y + h[1][2]) / w,
    )
}

pub fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// The inverse but for a factor, which a homography does not feel.
fn inverse(m: &Matrix) -> Matrix {
    let minor = |i: usize, k: usize| {
        let (a, b) = ((i + 1) % 3, (i + 2) % 3);
        let (c, d) = ((k + 1) % 3, (k + 2) % 3);
        m[a][c] * m[b][d] - m[a][d] * m[b][c]
    };
    [0, 1, 2].map(|k| [0, 1, 2].map(|i| minor(i, k)))
}

fn boxed(pixels: &[Colour], width: usize, height: usize) -> Vec<Colour> {
    let mut out = pixels.to_vec();
    for y in 1..height - 1 {
        for x in 1..width - 1 {
            let mut sum = [0.0; 3];
            for (dx, dy) in (0..9).map(|i| (i % 3, i / 3)) {
                for k in 0..3 {
                    sum[k] += pixels[(y + dy - 1) * width + x + dx - 1][k];
                }
            }
            out[y * width + x] = sum.map(|c| c / 9.0);
        }
    }
    out
}

/// The mean of the picture over a straight move by `by` pixels about its place.
fn moved(pixels: &[Colour], width: usize, height: usize, by: [f64; 2]) -> Vec<Colour> {
    let steps = (by[0].hypot(by[1]).ceil() as usize).max(1) + 1;
    let mut out = vec![[0.0; 3]; pixels.len()];
    for step in 0..steps {
        let share = step as f64 / (steps - 1) as f64 - 0.5;
        let shift = by.map(|b| (b * share).round() as isize);
        for y in 0..height {
            let from_y = (y as isize + shift[1]).clamp(0, height as isize - 1) as usize;
            for x in 0..width {
                let from_x = (x as isize + shift[0]).clamp(0, width as isize - 1) as usize;
                for k in 0..3 {
                    out[y * width + x][k] += pixels[from_y * width + from_x][k] / steps as f64;
                }
            }
        }
    }
    out
}
