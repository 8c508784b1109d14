//! A small projective renderer: a cube with known lattices, or grids that are none, before a cluttered wall.

use image::{Rgb, RgbImage};
use rand::Rng;
use rand_chacha::ChaCha8Rng;

type Vector = [f64; 3];
type Matrix = [[f64; 3]; 3];
pub type Colour = [f64; 3];

/// Stickers' colours as a camera gives them: white, yellow, red, orange, green, blue.
const STICKERS: [Colour; 6] = [
    [235.0, 235.0, 230.0],
    [235.0, 205.0, 40.0],
    [190.0, 40.0, 45.0],
    [240.0, 120.0, 40.0],
    [40.0, 150.0, 75.0],
    [35.0, 65.0, 160.0],
];

/// What a cube is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Plastic {
    Black,
    White,
    /// No plastic between the colours but a thin dark groove.
    Coloured,
}

/// A plane of the scene: its map to the picture, and what it looks like at a point of the plane (`None` outside).
pub struct Plane {
    pub to_picture: Matrix,
    pub paint: Box<dyn Fn(f64, f64) -> Option<Colour>>,
}

/// A picture before it is drawn.
pub struct Scene {
    pub width: u32,
    pub height: u32,
    pub wall: Colour,
    /// From the back to the front.
    pub planes: Vec<Plane>,
    /// Discs in front of everything: middle, radius, colour.
    pub discs: Vec<(f64, f64, f64, Colour)>,
    /// Standard deviation of the noise, 8-bit levels.
    pub noise: f64,
    /// Times that a box of 3x3 pixels blurs the picture.
    pub blur: u32,
    /// Light, as a share of full.
    pub light: f64,
}

/// A face of the cube as the scene has it: the 16 grid corners, row by row, and its angle to the line of sight in degrees.
pub struct Truth {
    pub lattice: Vec<[f64; 2]>,
    pub tilt: f64,
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
            discs: Vec::new(),
            noise: 3.0,
            blur: 0,
            light: 1.0,
        }
    }

    /// Books, boxes and posters behind the cube.
    pub fn clutter(&mut self, count: usize, rng: &mut ChaCha8Rng) {
        for _ in 0..count {
            let (w, h) = (rng.random_range(8.0..90.0), rng.random_range(30.0..200.0));
            let (x, y) = (
                rng.random_range(0.0..self.width as f64),
                rng.random_range(0.0..self.height as f64),
            );
            let (sin, cos) = rng.random_range(-0.3..0.3f64).sin_cos();
            let colour = [0, 1, 2].map(|_| rng.random_range(10.0..240.0));
            self.planes.push(Plane {
                to_picture: [
                    [w * cos, -h * sin, x],
                    [w * sin, h * cos, y],
                    [0.0, 0.0, 1.0],
                ],
                paint: Box::new(move |u, v| (u.abs() < 0.5 && v.abs() < 0.5).then_some(colour)),
            });
        }
    }

    /// A flat grid of `rows` x `columns` cells: a board, a chart, a keyboard, tiles. `colours` are dealt at random; `gap` is the share of a cell between
    /// cells and `frame` the rim around them in cells.
    pub fn board(
        &mut self,
        cells: (usize, usize),
        colours: &[Colour],
        between: Colour,
        (gap, frame): (f64, f64),
        rng: &mut ChaCha8Rng,
    ) {
        let (rows, columns) = cells;
        let deal: Vec<Colour> = (0..rows * columns)
            .map(|_| colours[rng.random_range(0..colours.len())])
            .collect();
        let (half_w, half_h) = (columns as f64 / 2.0, rows as f64 / 2.0);
        let pitch = rng
            .random_range(18.0..70.0f64)
            .min(0.8 * self.height as f64 / rows.max(columns) as f64);
        let away = self.height as f64 * rng.random_range(0.9..1.4);
        let tilt = rng.random_range(0.0..40.0f64).to_radians();
        let axes = turn(
            rng.random_range(0.0..std::f64::consts::TAU),
            tilt,
            rng.random_range(0.0..std::f64::consts::TAU),
        );
        let at = [
            rng.random_range(-0.25..0.25) * self.width as f64,
            rng.random_range(-0.25..0.25) * self.height as f64,
            away,
        ];
        let (column, row) = (axes[0].map(|v| v * pitch), axes[1].map(|v| v * pitch));
        let to_picture = self.project(column, row, at, away);
        self.planes.push(Plane {
            to_picture,
            paint: Box::new(move |u, v| {
                let (x, y) = (u + half_w, v + half_h);
                if x < -frame || y < -frame || x > columns as f64 + frame || y > rows as f64 + frame
                {
                    return None;
                }
                let (i, k) = (x.floor(), y.floor());
                let on = |t: f64| t > gap / 2.0 && t < 1.0 - gap / 2.0;
                let cell = i >= 0.0
                    && k >= 0.0
                    && i < columns as f64
                    && k < rows as f64
                    && on(x - i)
                    && on(y - k);
                Some(if cell {
                    deal[k as usize * columns + i as usize]
                } else {
                    between
                })
            }),
        });
    }

    /// A cube `size` pixels high (about), seen at a corner or at one face tilted by `tilt` radians. Gives the faces' truth.
    pub fn cube(
        &mut self,
        plastic: Plastic,
        size: f64,
        corner: bool,
        tilt: f64,
        rng: &mut ChaCha8Rng,
    ) -> Vec<Truth> {
        let focal = rng.random_range(0.75..1.3) * self.width as f64;
        let roll = rng.random_range(0.0..std::f64::consts::TAU);
        let axes = if corner {
            // The diagonal towards the camera, give or take some degrees.
            let diagonal = turn(
                rng.random_range(-0.12..0.12) + 0.785,
                0.955 + rng.random_range(-0.1..0.1),
                0.0,
            );
            compose(turn(0.0, 0.0, roll), diagonal)
        } else {
            turn(rng.random_range(0.0..std::f64::consts::TAU), tilt, roll)
        };
        // The nearest corner is closer than the middle, and larger.
        let away = focal * 3.0 / size + 1.5;
        let reach = |side: u32| (0.5 * (side as f64 - 1.75 * size)).max(0.0) / focal * away;
        let at = [reach(self.width), reach(self.height)].map(|r| {
            if r > 0.0 {
                rng.random_range(-r..=r)
            } else {
                0.0
            }
        });
        let centre = [at[0], at[1], away];
        let mut truths = Vec::new();
        for face in 0..6 {
            let (k, sign) = (face % 3, if face < 3 { 1.0 } else { -1.0 });
            let outward = axes[k].map(|v| v * sign);
            // Columns and rows that run clockwise in the picture: column x row points into the cube.
            let (column, row) = (axes[(k + 2) % 3].map(|v| v * sign), axes[(k + 1) % 3]);
            let middle = [0, 1, 2].map(|i| centre[i] + 1.5 * outward[i]);
            let facing = -dot(outward, middle) / dot(middle, middle).sqrt();
            if facing < 0.02 {
                continue;
            }
            let deal: Vec<Colour> = (0..9).map(|_| STICKERS[rng.random_range(0..6)]).collect();
            let shade = 0.55 + 0.45 * facing;
            let to_picture = self.project(column, row, middle, focal);
            self.planes.push(Plane {
                to_picture,
                paint: Box::new(move |u, v| {
                    (u.abs() <= 1.5 && v.abs() <= 1.5).then(|| {
                        let sticker =
                            deal[((v + 1.5) as usize).min(2) * 3 + ((u + 1.5) as usize).min(2)];
                        paint_cell(plastic, sticker, (u, v)).map(|c| c * shade)
                    })
                }),
            });
            let mut lattice = Vec::new();
            for i in 0..16 {
                let (x, y) = map(&to_picture, (i % 4) as f64 - 1.5, (i / 4) as f64 - 1.5);
                lattice.push([x, y]);
            }
            truths.push(Truth {
                lattice,
                tilt: facing.acos().to_degrees(),
            });
        }
        truths
    }

    /// The map of a plane whose axes and middle are in camera coordinates.
    fn project(&self, column: Vector, row: Vector, middle: Vector, focal: f64) -> Matrix {
        let (cx, cy) = (self.width as f64 / 2.0, self.height as f64 / 2.0);
        let image = |v: Vector| [focal * v[0] + cx * v[2], focal * v[1] + cy * v[2], v[2]];
        let (a, b, c) = (image(column), image(row), image(middle));
        [0, 1, 2].map(|i| [a[i], b[i], c[i]])
    }

    /// Draws the scene with four samples a pixel.
    pub fn draw(&self, rng: &mut ChaCha8Rng) -> RgbImage {
        let (width, height) = (self.width as usize, self.height as usize);
        let mut pixels = vec![[0.0; 3]; width * height];
        let planes: Vec<(Matrix, Option<[usize; 4]>, &Plane)> = self
            .planes
            .iter()
            .map(|plane| (inverse(&plane.to_picture), self.extent(plane), plane))
            .collect();
        for (i, pixel) in pixels.iter_mut().enumerate() {
            let (px, py) = (i % width, i / width);
            for sample in 0..4 {
                let (x, y) = (
                    px as f64 + 0.25 + 0.5 * (sample % 2) as f64,
                    py as f64 + 0.25 + 0.5 * (sample / 2) as f64,
                );
                let disc = self
                    .discs
                    .iter()
                    .rev()
                    .find(|disc| (disc.0 - x).hypot(disc.1 - y) < disc.2)
                    .map(|disc| disc.3);
                let seen = disc.or_else(|| {
                    planes.iter().rev().find_map(|(back, extent, plane)| {
                        let near = extent.is_none_or(|[x0, y0, x1, y1]| {
                            (x0..=x1).contains(&px) && (y0..=y1).contains(&py)
                        });
                        if !near {
                            return None;
                        }
                        let (u, v) = map(back, x, y);
                        (plane.paint)(u, v)
                    })
                });
                let colour = seen.unwrap_or(self.wall);
                for k in 0..3 {
                    pixel[k] += 0.25 * self.light * colour[k];
                }
            }
        }
        for _ in 0..self.blur {
            pixels = boxed(&pixels, width, height);
        }
        RgbImage::from_fn(self.width, self.height, |x, y| {
            let pixel = pixels[y as usize * width + x as usize];
            Rgb(pixel.map(|c| {
                let noise: f64 = (0..4).map(|_| rng.random_range(-0.5..0.5)).sum();
                (c + noise * 1.73 * self.noise).round().clamp(0.0, 255.0) as u8
            }))
        })
    }

    /// The pixels that a plane's cells may cover: `[left, top, right, bottom]`, found by its outer corners; `None` for all.
    fn extent(&self, plane: &Plane) -> Option<[usize; 4]> {
        let corners = [(-7.0, -7.0), (7.0, -7.0), (7.0, 7.0), (-7.0, 7.0)].map(|(u, v)| {
            let h = &plane.to_picture;
            let w = h[2][0] * u + h[2][1] * v + h[2][2];
            (w > 0.0).then(|| map(h, u, v))
        });
        let mut span = [f64::MAX, f64::MAX, 0.0, 0.0];
        for corner in corners {
            let (x, y) = corner?;
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

fn paint_cell(plastic: Plastic, sticker: Colour, (u, v): (f64, f64)) -> Colour {
    let off = |t: f64| ((t + 1.5).rem_euclid(1.0) - 0.5).abs();
    let (x, y) = (off(u), off(v));
    match plastic {
        Plastic::Coloured => {
            let rim = u.abs() > 1.44 || v.abs() > 1.44;
            if !rim && x.max(y) > 0.465 {
                [20.0, 20.0, 22.0]
            } else {
                sticker
            }
        }
        Plastic::Black | Plastic::White => {
            let rounded = (x - 0.33).max(0.0).hypot((y - 0.33).max(0.0)) < 0.09 || x.min(y) < 0.33;
            if x.max(y) < 0.42 && rounded {
                sticker
            } else if plastic == Plastic::Black {
                [22.0, 22.0, 24.0]
            } else {
                // White plastic, in the shade of the stickers' rims.
                [196.0, 196.0, 194.0]
            }
        }
    }
}

/// Directions after a tilt by `tilt` about an axis in the picture at `about`, then a roll; each in camera coordinates.
fn turn(about: f64, tilt: f64, roll: f64) -> Matrix {
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
fn compose(by: Matrix, axes: Matrix) -> Matrix {
    axes.map(|axis| [0, 1, 2].map(|i| (0..3).map(|k| axis[k] * by[k][i]).sum()))
}

fn map(h: &Matrix, x: f64, y: f64) -> (f64, f64) {
    let w = h[2][0] * x + h[2][1] * y + h[2][2];
    (
        (h[0][0] * x + h[0][1] * y + h[0][2]) / w,
        (h[1][0] * x + h[1][1] * y + h[1][2]) / w,
    )
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

fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}
