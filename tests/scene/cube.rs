//! A cube of some kind, somewhere, with fingers, glare and lamps.

use rand::Rng;
use rand_chacha::ChaCha8Rng;

use super::{Colour, Matrix, Plane, Rod, Scene, Vector, compose, dot, map, turn};

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
    /// Coloured plastic, parted by dark grooves this wide, in cells.
    Coloured(f64),
}

/// How the picture shows the cube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum View {
    /// One face, its normal this far from the line of sight, radians.
    Face(f64),
    /// Three faces; the diagonal this far from the line of sight, radians.
    Corner(f64),
}

/// A far lamp: the direction towards it in camera coordinates, and its colour as shares of full light.
#[derive(Clone, Copy, Debug)]
pub struct Lamp {
    pub towards: Vector,
    pub colour: Vector,
}

/// How a face looks, but for its colours.
#[derive(Clone, Copy, Debug)]
pub struct Finish {
    pub plastic: Plastic,
    /// Share of the stickers with chipped corners and scratches.
    pub worn: f64,
    /// Strength of a highlight on each face, as a share of full light.
    pub glare: f64,
}

/// What is to be drawn.
#[derive(Clone, Debug)]
pub struct Cube {
    pub finish: Finish,
    pub view: View,
    /// Height of the cube in the picture, as a share of the picture's.
    pub height: f64,
    /// Light that comes from everywhere, as a share of full.
    pub ambient: f64,
    pub lamps: Vec<Lamp>,
    /// Fingers over the rim of the cube.
    pub fingers: usize,
}

/// A face of the cube as the scene has it: the 16 grid corners, row by row, and its angle to the line of sight in degrees.
pub struct Truth {
    pub lattice: Vec<[f64; 2]>,
    pub tilt: f64,
}

/// Where a cube stands: its axes and its middle in camera coordinates, in stickers.
struct Stand {
    axes: Matrix,
    centre: Vector,
    focal: f64,
}

impl Stand {
    /// The silhouette's span in the picture: left, top, right, bottom.
    fn span(&self, scene: &Scene) -> [f64; 4] {
        let mut span = [f64::MAX, f64::MAX, f64::MIN, f64::MIN];
        for corner in 0..8 {
            let sign = |k: usize| if corner >> k & 1 == 0 { -1.5 } else { 1.5 };
            let at: Vector = std::array::from_fn(|i| {
                self.centre[i] + (0..3).map(|k| sign(k) * self.axes[k][i]).sum::<f64>()
            });
            let x = self.focal * at[0] / at[2] + f64::from(scene.width) / 2.0;
            let y = self.focal * at[1] / at[2] + f64::from(scene.height) / 2.0;
            span = [
                span[0].min(x),
                span[1].min(y),
                span[2].max(x),
                span[3].max(y),
            ];
        }
        span
    }

    /// A place where the cube is as high as wanted and wholly in the picture.
    fn find(scene: &Scene, cube: &Cube, rng: &mut ChaCha8Rng) -> Self {
        let focal = rng.random_range(0.75..1.3) * f64::from(scene.width);
        let roll = rng.random_range(0.0..std::f64::consts::TAU);
        let about = rng.random_range(0.0..std::f64::consts::TAU);
        let axes = match cube.view {
            View::Face(tilt) => turn(about, tilt, roll),
            View::Corner(off) => {
                let diagonal = turn(std::f64::consts::FRAC_PI_4, 2f64.sqrt().atan(), 0.0);
                compose(turn(about, off, roll), diagonal)
            }
        };
        let wanted = cube.height * f64::from(scene.height);
        let mut stand = Stand {
            axes,
            centre: [0.0, 0.0, focal * 3.0 / wanted + 1.5],
            focal,
        };
        for _ in 0..6 {
            let span = stand.span(scene);
            stand.centre[2] *= (span[3] - span[1]) / wanted;
        }
        for aim in [1.0, 0.6, 0.3, 0.0] {
            let mut moved = Stand { ..stand };
            for (k, side) in [(0, scene.width), (1, scene.height)] {
                let reach = 0.5 * f64::from(side) / focal * stand.centre[2];
                moved.centre[k] = aim * reach * rng.random_range(-1.0..1.0);
            }
            let span = moved.span(scene);
            let inside = span[0] > 4.0
                && span[1] > 4.0
                && span[2] < f64::from(scene.width) - 4.0
                && span[3] < f64::from(scene.height) - 4.0;
            if inside {
                return moved;
            }
        }
        stand
    }
}

impl Scene {
    /// Puts a cube into the scene. Gives the truth of the faces that are seen.
    pub fn cube(&mut self, cube: &Cube, rng: &mut ChaCha8Rng) -> Vec<Truth> {
        let stand = Stand::find(self, cube, rng);
        let mut truths = Vec::new();
        for face in 0..6 {
            let (k, sign) = (face % 3, if face < 3 { 1.0 } else { -1.0 });
            let outward = stand.axes[k].map(|v| v * sign);
            // Columns and rows that run clockwise in the picture: column x row points into the cube.
            let column = stand.axes[(k + 2) % 3].map(|v| v * sign);
            let row = stand.axes[(k + 1) % 3];
            let middle = [0, 1, 2].map(|i| stand.centre[i] + 1.5 * outward[i]);
            let facing = -dot(outward, middle) / dot(middle, middle).sqrt();
            if facing < 0.02 {
                continue;
            }
            let mut light = [cube.ambient; 3];
            for lamp in &cube.lamps {
                let share = dot(outward, lamp.towards).max(0.0);
                light = [0, 1, 2].map(|i| light[i] + share * lamp.colour[i]);
            }
            let to_picture = self.project(column, row, middle, stand.focal);
            self.planes.push(Plane {
                to_picture,
                reach: 1.5,
                paint: face_paint(cube.finish, light, rng),
            });
            let lattice = (0..16)
                .map(|i| {
                    let (column, row) = (f64::from(i % 4) - 1.5, f64::from(i / 4) - 1.5);
                    let (x, y) = map(&to_picture, column, row);
                    [x, y]
                })
                .collect();
            truths.push(Truth {
                lattice,
                tilt: facing.acos().to_degrees(),
            });
        }
        for _ in 0..cube.fingers {
            self.rods.push(finger(&truths, rng));
        }
        truths
    }
}

/// Puts one face of a cube into the scene, its normal this far from the line of sight (radians), as if the hand hid all others.
pub fn lone_face(scene: &mut Scene, tilt: f64, rng: &mut ChaCha8Rng) {
    let axes = turn(
        rng.random_range(0.0..std::f64::consts::TAU),
        tilt,
        rng.random_range(0.0..std::f64::consts::TAU),
    );
    let focal = f64::from(scene.width) * rng.random_range(0.8..1.2);
    let side = f64::from(scene.height) * rng.random_range(0.35..0.7);
    let middle = [0.0, 0.0, 3.0 * focal / side];
    let to_picture = scene.project(axes[0], axes[1], middle, focal);
    let plastic = if rng.random_bool(0.5) {
        Plastic::Black
    } else {
        Plastic::Coloured(0.07)
    };
    let finish = Finish {
        plastic,
        worn: 0.0,
        glare: 0.0,
    };
    scene.planes.push(Plane {
        to_picture,
        reach: 1.5,
        paint: face_paint(finish, [0.9; 3], rng),
    });
}

/// A finger from outside onto an outer sticker of the face that is seen best, never onto its middle.
fn finger(truths: &[Truth], rng: &mut ChaCha8Rng) -> Rod {
    let face = &truths
        .iter()
        .min_by(|a, b| a.tilt.total_cmp(&b.tilt))
        .expect("some face of a cube is always seen")
        .lattice;
    let mix = |a: [f64; 2], b: [f64; 2], t: f64| [0, 1].map(|k| a[k] + t * (b[k] - a[k]));
    let corners = [face[0], face[3], face[15], face[12]];
    let middle = mix(corners[0], corners[2], 0.5);
    let side = rng.random_range(0..4);
    let rim = mix(
        corners[side],
        corners[(side + 1) % 4],
        rng.random_range(0.1..0.9),
    );
    let long = (corners[0][0] - corners[1][0]).hypot(corners[0][1] - corners[1][1]);
    let skin = [
        [225.0, 180.0, 150.0],
        [150.0, 105.0, 80.0],
        [95.0, 65.0, 50.0],
    ];
    Rod {
        ends: [
            mix(middle, rim, 3.0),
            mix(middle, rim, rng.random_range(0.85..1.1)),
        ],
        radius: long * rng.random_range(0.1..0.17),
        colour: skin[rng.random_range(0..3)],
    }
}

/// Chips and scratches of one sticker, in cells from its middle.
#[derive(Clone, Copy, Default)]
struct Wear {
    /// A corner that is gone, and how much of it.
    chip: Option<([f64; 2], f64)>,
    /// A line on which the colour is pale: a point, a direction and half its width.
    scratch: Option<([f64; 2], [f64; 2], f64)>,
}

impl Wear {
    fn some(rng: &mut ChaCha8Rng) -> Self {
        let corner = [0, 1].map(|_| if rng.random_bool(0.5) { 0.42 } else { -0.42 });
        let (sin, cos) = rng.random_range(0.0..std::f64::consts::PI).sin_cos();
        let at = [0, 1].map(|_| rng.random_range(-0.3..0.3));
        Self {
            chip: rng
                .random_bool(0.7)
                .then(|| (corner, rng.random_range(0.1..0.32))),
            scratch: rng
                .random_bool(0.5)
                .then(|| (at, [cos, sin], rng.random_range(0.01..0.03))),
        }
    }
}

fn face_paint(
    finish: Finish,
    light: Vector,
    rng: &mut ChaCha8Rng,
) -> Box<dyn Fn(f64, f64) -> Option<Colour>> {
    let deal: [Colour; 9] = std::array::from_fn(|_| STICKERS[rng.random_range(0..6)]);
    let wear: [Wear; 9] = std::array::from_fn(|_| {
        if rng.random_bool(finish.worn) {
            Wear::some(rng)
        } else {
            Wear::default()
        }
    });
    let highlight = [0, 1].map(|_| rng.random_range(-1.3..1.3));
    let wide = rng.random_range(0.25..0.7f64);
    Box::new(move |u, v| {
        if u.abs() > 1.5 || v.abs() > 1.5 {
            return None;
        }
        let (column, row) = (((u + 1.5) as usize).min(2), ((v + 1.5) as usize).min(2));
        let at = [u - column as f64 + 1.0, v - row as f64 + 1.0];
        let cell = row * 3 + column;
        let own = cell_colour(finish.plastic, deal[cell], wear[cell], at, (u, v));
        let shine = finish.glare
            * (-((u - highlight[0]).powi(2) + (v - highlight[1]).powi(2)) / (wide * wide)).exp();
        Some([0, 1, 2].map(|k| own[k] * light[k] + 255.0 * shine))
    })
}

fn cell_colour(
    plastic: Plastic,
    sticker: Colour,
    wear: Wear,
    at: [f64; 2],
    (u, v): (f64, f64),
) -> Colour {
    let [x, y] = at.map(f64::abs);
    let body = match plastic {
        Plastic::Coloured(groove) => {
            let rim = u.abs() > 1.44 || v.abs() > 1.44;
            if !rim && x.max(y) > 0.5 - groove / 2.0 {
                return [20.0, 20.0, 22.0];
            }
            sticker
        }
        Plastic::Black => [22.0, 22.0, 24.0],
        // White plastic, in the shade of the stickers' rims.
        Plastic::White => [196.0, 196.0, 194.0],
    };
    let rounded = (x - 0.33).max(0.0).hypot((y - 0.33).max(0.0)) < 0.09 || x.min(y) < 0.33;
    let chipped = wear
        .chip
        .is_some_and(|(corner, size)| (at[0] - corner[0]).hypot(at[1] - corner[1]) < size);
    if x.max(y) > 0.42 || !rounded || chipped {
        return body;
    }
    let scratched = wear.scratch.is_some_and(|(from, along, half)| {
        ((at[0] - from[0]) * along[1] - (at[1] - from[1]) * along[0]).abs() < half
    });
    if scratched {
        sticker.map(|c| 0.6 * c + 90.0)
    } else {
        sticker
    }
}
