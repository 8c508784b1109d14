//! Looks to test with.

use crate::sight::{FaceView, Look, Patch, Point};

/// One grey face of 90 pixels, `x` from the left, whose grid starts at a corner chosen by `roll`.
pub fn look(x: f32, roll: usize) -> Look {
    let at = |r: usize, c: usize| Point {
        x: x + 30.0 * c as f32,
        y: 100.0 + 30.0 * r as f32,
    };
    let mut lattice = [[Point::default(); 4]; 4];
    for (r, row) in lattice.iter_mut().enumerate() {
        for (c, point) in row.iter_mut().enumerate() {
            let (mut i, mut j) = (r, c);
            for _ in 0..roll {
                (i, j) = (j, 3 - i);
            }
            *point = at(i, j);
        }
    }
    let patch = Patch {
        rgb: palette::LinSrgb::new(0.5, 0.5, 0.5),
        spread: 0.0,
        clipped: 0.0,
        agreeing: 1.0,
        covered: 0.0,
    };
    let face = FaceView {
        lattice,
        patches: [[patch; 3]; 3],
        score: 9.0,
        problems: vec![],
    };
    Look {
        size: (640, 480),
        faces: vec![face],
        joints: vec![],
        frame: None,
    }
}
