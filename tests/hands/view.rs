//! What a finder that does its work would say of a cube in sight.

use pairsight::colour::{LightEstimate, Model};
use pairsight::cube::{Colour, Face, Held, Net, Scheme, Turn};
use pairsight::sight::{FaceView, Joint, Look, Patch, Point, Side};
use palette::LinSrgb;
use rand::Rng;
use rand_chacha::ChaCha8Rng;

type Vector = [f64; 3];

/// A camera before the cube, and what troubles it.
#[derive(Clone, Debug)]
pub struct Eye {
    /// Degrees by which the cube is turned to the left, and tilted towards the camera.
    pub yaw: f64,
    pub tilt: f64,
    /// Pixels from the middle of the cube to the middle of a face.
    pub size: f64,
    /// The picture is mirrored.
    pub mirrored: bool,
    /// How the cube's colours lie.
    pub scheme: Scheme,
    /// Standard deviation of a sticker's brightness, as a share of it, and of each channel.
    pub shade: f64,
    pub tint: f64,
    /// Share of stickers on the rim of faces that a finger covers.
    pub fingers: f64,
    /// Share of faces that are not found, in a frame of a still cube.
    pub missed: f64,
    /// Share of faces that are not found while a layer of them is on its way. Of pictures of such cubes, 40 with two or three broken
    /// faces each, 4 gave one (lab/tables/2026-11-30-seeing.md): nine of ten at least.
    pub broken: f64,
    /// Share of stickers that look like any colour, whatever they are.
    pub stray: f64,
    /// Share of the way to grey by which the colours are faded.
    pub faded: f64,
    /// Pixels of trembling.
    pub trembling: f64,
    /// Pixels by which the cube lies below the middle of the picture.
    pub aside: f64,
}

impl Default for Eye {
    fn default() -> Eye {
        Eye {
            yaw: -35.0,
            tilt: 30.0,
            size: 60.0,
            mirrored: false,
            scheme: Scheme::USUAL,
            shade: 0.12,
            tint: 0.03,
            fingers: 0.03,
            missed: 0.1,
            broken: 0.6,
            stray: 0.003,
            faded: 0.0,
            trembling: 0.8,
            aside: 0.0,
        }
    }
}

/// Least cosine between a face's normal and the line of sight at which it is found.
const SEEN: f64 = 0.34;

/// Degrees out of line from which a layer keeps its faces from being found as they are.
const OUT_OF_LINE: f64 = 10.0;

/// The origin (where a face's first row begins in the usual net), the way along the row, the way down.
fn frame_of(face: Face) -> [Vector; 3] {
    match face {
        Face::U => [[-1.0, 1.0, -1.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]],
        Face::F => [[-1.0, 1.0, 1.0], [1.0, 0.0, 0.0], [0.0, -1.0, 0.0]],
        Face::R => [[1.0, 1.0, 1.0], [0.0, 0.0, -1.0], [0.0, -1.0, 0.0]],
        Face::L => [[-1.0, 1.0, -1.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]],
        Face::B => [[1.0, 1.0, -1.0], [-1.0, 0.0, 0.0], [0.0, -1.0, 0.0]],
        Face::D => [[-1.0, -1.0, 1.0], [1.0, 0.0, 0.0], [0.0, 0.0, -1.0]],
    }
}

fn normal(face: Face) -> Vector {
    match face {
        Face::U => [0.0, 1.0, 0.0],
        Face::D => [0.0, -1.0, 0.0],
        Face::F => [0.0, 0.0, 1.0],
        Face::B => [0.0, 0.0, -1.0],
        Face::R => [1.0, 0.0, 0.0],
        Face::L => [-1.0, 0.0, 0.0],
    }
}

/// A vector turned about an axis, right-handed, degrees (Rodrigues' formula).
fn turned(v: Vector, axis: Vector, degrees: f64) -> Vector {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let dot = v[0] * axis[0] + v[1] * axis[1] + v[2] * axis[2];
    let cross = [
        axis[1] * v[2] - axis[2] * v[1],
        axis[2] * v[0] - axis[0] * v[2],
        axis[0] * v[1] - axis[1] * v[0],
    ];
    std::array::from_fn(|i| v[i] * cos + cross[i] * sin + axis[i] * dot * (1.0 - cos))
}

impl Eye {
    pub fn nothing(&self) -> Look {
        Look {
            size: (640, 480),
            ..Look::default()
        }
    }

    /// A cube that holds still, so many times as near.
    pub fn still(&self, held: &Held, near: f64, rng: &mut ChaCha8Rng) -> Look {
        self.look(held, near, &|v| v, None, self.missed, rng)
    }

    /// The whole cube on its way about a face's axis, clockwise by so many degrees.
    pub fn rotated(&self, held: &Held, face: Face, degrees: f64, rng: &mut ChaCha8Rng) -> Look {
        let on_its_way = |v: Vector| turned(v, normal(face), -degrees);
        // What moves is blurred: half of it is not found.
        self.look(held, 1.0, &on_its_way, None, 0.5, rng)
    }

    /// A layer on its way, clockwise by so many degrees.
    pub fn turning(&self, held: &Held, turn: Turn, degrees: f64, rng: &mut ChaCha8Rng) -> Look {
        let nearest = (degrees / 90.0).round() * 90.0;
        let quarters = (nearest / 90.0).rem_euclid(4.0) as usize;
        let so_far = pairsight::cube::Amount::of_quarters(quarters).map_or(*held, |amount| {
            held.apply(&Turn::new(turn.face, amount).into())
        });
        let off = (degrees - nearest).abs();
        let moving = (off > OUT_OF_LINE).then_some(turn.face);
        self.look(&so_far, 1.0, &|v| v, moving, self.missed.max(0.3), rng)
    }

    fn look(
        &self,
        held: &Held,
        near: f64,
        way: &dyn Fn(Vector) -> Vector,
        moving: Option<Face>,
        missed: f64,
        rng: &mut ChaCha8Rng,
    ) -> Look {
        let net = Net::of_held(held);
        let shake = [0, 1].map(|_| self.trembling * rng.random_range(-1.0..1.0));
        let to_camera = |v: Vector| {
            let v = turned(way(v), [0.0, 1.0, 0.0], self.yaw);
            turned(v, [1.0, 0.0, 0.0], self.tilt)
        };
        let mut look = self.nothing();
        let mut seen: Vec<(Face, u8)> = Vec::new();
        for face in Face::ALL {
            if to_camera(normal(face))[2] < SEEN || rng.random_bool(missed) || moving == Some(face)
            {
                continue;
            }
            let beside = moving.and_then(|layer| face.around().iter().position(|f| *f == layer));
            // Of a face that a layer on its way belongs to, the rest may be taken for all of it.
            if beside.is_some() && rng.random_bool(self.broken) {
                continue;
            }
            let roll = rng.random_range(0..4u8);
            let [origin, along, down] = frame_of(face);
            let at = |row: usize, column: usize| {
                let v: Vector = std::array::from_fn(|i| {
                    origin[i] + (along[i] * column as f64 + down[i] * row as f64) * 2.0 / 3.0
                });
                let v = to_camera(v);
                let x = 320.0 + near * self.size * v[0] + shake[0];
                Point {
                    x: if self.mirrored { 640.0 - x } else { x } as f32,
                    y: (240.0 + self.aside - near * self.size * v[1] + shake[1]) as f32,
                }
            };
            let patches: [[Patch; 3]; 3] = std::array::from_fn(|row| {
                std::array::from_fn(|column| {
                    let out_of_line = beside.is_some_and(|side| match side {
                        0 => row == 0,
                        1 => column == 2,
                        2 => row == 2,
                        _ => column == 0,
                    });
                    let is_rim = row != 1 || column != 1;
                    self.patch(net.face(face)[row][column], is_rim, out_of_line, rng)
                })
            });
            let lattice: [[Point; 4]; 4] =
                std::array::from_fn(|row| std::array::from_fn(|column| at(row, column)));
            // As a mirror shows it, the walk about the face runs the other way.
            let (lattice, patches) = match self.mirrored {
                true => (transposed(lattice), transposed(patches)),
                false => (lattice, patches),
            };
            look.faces.push(FaceView {
                lattice: rolled(lattice, 4 - roll),
                patches: rolled(patches, 4 - roll),
                score: 9.0,
                problems: Vec::new(),
            });
            seen.push((face, roll));
        }
        for a in 0..seen.len() {
            for b in a + 1..seen.len() {
                if seen[a].0 != seen[b].0.opposite() {
                    look.joints.push(Joint {
                        a: (a, self.side(seen[a], seen[b].0)),
                        b: (b, self.side(seen[b], seen[a].0)),
                    });
                }
            }
        }
        look
    }

    /// The side of a face's grid, as it lies in the picture, that another face is beyond.
    fn side(&self, (face, roll): (Face, u8), other: Face) -> Side {
        let net = face
            .around()
            .iter()
            .position(|f| *f == other)
            .expect("beside it");
        let net = if self.mirrored { 3 - net } else { net };
        let sides = [Side::Top, Side::Right, Side::Bottom, Side::Left];
        sides[(net + 4 - usize::from(roll)) % 4]
    }

    fn patch(
        &self,
        colour: Colour,
        is_rim: bool,
        out_of_line: bool,
        rng: &mut ChaCha8Rng,
    ) -> Patch {
        let covered = is_rim && rng.random_bool(self.fingers);
        let shows_another = out_of_line && rng.random_bool(0.5) || rng.random_bool(self.stray);
        let colour = match shows_another {
            true => Colour::ALL[rng.random_range(0..6)],
            false => self.scheme.colour(colour),
        };
        let middle = if covered {
            // Skin, roughly; from memory.
            LinSrgb::new(0.5, 0.27, 0.18)
        } else {
            let full = Model::generic().colour(colour, &LightEstimate::none());
            let grey = (full.red + full.green + full.blue) / 3.0;
            let faded = |x: f64| x + (grey - x) * self.faded;
            LinSrgb::new(faded(full.red), faded(full.green), faded(full.blue))
        };
        let shade = 1.0 + self.shade * rng.random_range(-1.7..1.7);
        let mut channel = |x: f64| {
            (x * shade * (1.0 + self.tint * rng.random_range(-1.7..1.7))).clamp(0.001, 1.0) as f32
        };
        Patch {
            rgb: LinSrgb::new(
                channel(middle.red),
                channel(middle.green),
                channel(middle.blue),
            ),
            spread: 0.03,
            clipped: 0.0,
            agreeing: if covered { 0.0 } else { 0.95 },
            covered: if covered { 1.0 } else { 0.0 },
        }
    }
}

/// Turned clockwise by quarters.
fn rolled<T: Copy, const N: usize>(from: [[T; N]; N], quarters: u8) -> [[T; N]; N] {
    (0..quarters % 4).fold(from, |from, _| {
        std::array::from_fn(|row| std::array::from_fn(|column| from[N - 1 - column][row]))
    })
}

fn transposed<T: Copy, const N: usize>(from: [[T; N]; N]) -> [[T; N]; N] {
    std::array::from_fn(|row| std::array::from_fn(|column| from[column][row]))
}
