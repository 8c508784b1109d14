//! What the tests of this folder look at: the faces of a cube, projected by a lens.

use proptest::prelude::*;

use super::look::Point;
use super::quad::Quad;

/// A lens with barrel distortion, as webcams have it.
#[derive(Clone, Copy, Debug)]
pub struct Lens {
    /// Half the angle that the picture's width spans, radians.
    half_angle: f32,
    /// How much the rim is drawn in: the radius, in half widths, is multiplied by `1 - barrel * radius^2`.
    barrel: f32,
}

/// Where a cube is: turns about the three axes in order, and its centre in half sides of the cube.
#[derive(Clone, Copy, Debug)]
pub struct Pose {
    turns: [f32; 3],
    centre: [f32; 3],
}

/// One face that is turned towards the lens.
#[derive(Clone, Copy, Debug)]
pub struct SeenFace {
    pub quad: Quad,
}

/// From 40 to 100 degrees.
pub fn any_lens() -> impl Strategy<Value = Lens> {
    (20.0..50.0f32, 0.0..0.12f32).prop_map(|(degrees, barrel)| Lens {
        half_angle: degrees.to_radians(),
        barrel,
    })
}

/// Anywhere, any way up, from as near as it fits to far.
pub fn any_pose() -> impl Strategy<Value = Pose> {
    let turn = 0.0..std::f32::consts::TAU;
    (
        prop::array::uniform3(turn),
        -1.5..1.5f32,
        -1.0..1.0f32,
        4.5..16.0f32,
    )
        .prop_map(|(turns, x, y, z)| Pose {
            turns,
            centre: [x, y, z],
        })
}

/// The faces of a cube that show at least a tenth of what they would from the front, in a picture of 640x480.
pub fn seen(lens: &Lens, pose: &Pose) -> Vec<SeenFace> {
    let turned = |mut v: [f32; 3]| {
        for (axis, angle) in pose.turns.into_iter().enumerate() {
            let (sin, cos) = angle.sin_cos();
            let (a, b) = ((axis + 1) % 3, (axis + 2) % 3);
            (v[a], v[b]) = (cos * v[a] - sin * v[b], sin * v[a] + cos * v[b]);
        }
        v
    };
    let picture = |v: [f32; 3]| {
        let scale = 1.0 / (v[2] * lens.half_angle.tan());
        let (x, y) = (v[0] * scale, v[1] * scale);
        let radial = 1.0 - lens.barrel * (x * x + y * y);
        Point {
            x: 320.0 + 320.0 * x * radial,
            y: 240.0 + 320.0 * y * radial,
        }
    };
    let mut faces = Vec::new();
    for (axis, sign) in (0..6).map(|i| (i / 2, if i % 2 == 0 { 1.0 } else { -1.0 })) {
        let place = |a: f32, b: f32| {
            let mut v = [0.0; 3];
            (v[axis], v[(axis + 1) % 3], v[(axis + 2) % 3]) = (sign, a, b);
            let v = turned(v);
            std::array::from_fn(|k| v[k] + pose.centre[k])
        };
        let centre: [f32; 3] = place(0.0, 0.0);
        let outward: [f32; 3] = std::array::from_fn(|k| centre[k] - pose.centre[k]);
        let towards: f32 = -(0..3).map(|k| outward[k] * centre[k]).sum::<f32>();
        let distance = centre.iter().map(|c| c * c).sum::<f32>().sqrt();
        // Seen from outside, the corners run clockwise on one side of each axis and the other way on the other.
        let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
        let mut quad = Quad(corners.map(|(a, b)| picture(place(a, b))));
        if !quad.is_outline() {
            quad.0.reverse();
        }
        if towards / distance > 0.1 {
            faces.push(SeenFace { quad });
        }
    }
    faces
}
