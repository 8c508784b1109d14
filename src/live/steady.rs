//! Tells still from moving: follows the found faces from frame to frame and keeps the best look of each view.
//!
//! A view is a run of frames whose faces lie close to where they lay one frame before. Its best look is handed on once
//! the cube has held still, so that a layer or a whole cube in motion is never taken for a state.

use crate::sight::{FaceView, Look, Point};

/// Mean movement of a face's outline from one frame to the next, as a share of its side, below which it holds still.
/// Larger: quicker to answer, more blur let in. A resting hand trembles by one or two percent.
const STILL: f32 = 0.05;

/// Frames that must hold still before their look counts: two steps, so that a turning point of a swing is not enough.
const STILL_FRAMES: u32 = 3;

/// After this many still frames the view's look is handed on again when a better one has come.
const AGAIN_AFTER: u32 = 5;

/// What a frame did to the view.
#[derive(Debug, Default)]
pub struct Step {
    /// A look that held still: evidence.
    pub still: Option<Look>,
    /// No face has been seen in this frame.
    pub away: bool,
}

/// Follows one stream of looks.
#[derive(Debug, Default)]
pub struct Steady {
    last: Option<Look>,
    /// Frames that held still since the last that did not.
    still: u32,
    since_handed: u32,
    best: Option<(f32, Look)>,
}

impl Steady {
    pub fn new() -> Self {
        Self::default()
    }

    /// Takes the next frame's look.
    pub fn step(&mut self, look: Look) -> Step {
        if look.faces.is_empty() {
            *self = Steady::default();
            return Step {
                still: None,
                away: true,
            };
        }
        let moved = self.last.as_ref().and_then(|last| movement(last, &look));
        let mut step = Step::default();
        match moved {
            Some(by) if by < STILL => {
                self.still += 1;
                self.since_handed += 1;
                self.keep(&look, by);
                if self.still + 1 == STILL_FRAMES
                    || (self.still + 1 > STILL_FRAMES && self.since_handed >= AGAIN_AFTER)
                {
                    step.still = self.hand_on();
                }
            }
            _ => {
                *self = Steady::default();
                self.keep(&look, 0.0);
            }
        }
        self.last = Some(look);
        step
    }

    fn keep(&mut self, look: &Look, movement: f32) {
        let quality = quality(look) - 2.0 * movement;
        if self.best.as_ref().is_none_or(|(held, _)| quality > *held) {
            self.best = Some((quality, look.clone()));
        }
    }

    fn hand_on(&mut self) -> Option<Look> {
        self.since_handed = 0;
        self.best.take().map(|(_, look)| look)
    }
}

/// How much a look is worth as evidence: its faces' fits, added up.
pub fn quality(look: &Look) -> f32 {
    look.faces.iter().map(|face| face.fit).sum()
}

/// The least mean movement of any face that both looks show, as a share of its side; `None` where none can be paired.
///
/// A corner view whose third face comes and goes is still one view, so the best paired face decides - except that looks
/// with the same number of faces must have all of them paired.
pub fn movement(before: &Look, after: &Look) -> Option<f32> {
    let moved: Vec<f32> = after
        .faces
        .iter()
        .filter_map(|face| {
            before
                .faces
                .iter()
                .map(|old| overlaid(old, face).0)
                .min_by(f32::total_cmp)
        })
        .collect();
    let worst = moved.iter().copied().max_by(f32::total_cmp)?;
    let best = moved.iter().copied().min_by(f32::total_cmp)?;
    Some(if before.faces.len() == after.faces.len() {
        worst
    } else {
        best.max(STILL)
    })
}

/// How far a face moved, as a share of its side, and the roll (quarter turns) by which the old outline lies on the new:
/// the new one's corner `i` is the old one's corner `i + roll`.
pub fn overlaid(before: &FaceView, after: &FaceView) -> (f32, usize) {
    let (old, new) = (before.outline(), after.outline());
    let side = (0..4)
        .map(|i| distance(new[i], new[(i + 1) % 4]))
        .sum::<f32>()
        / 4.0;
    (0..4)
        .map(|roll| {
            let apart = (0..4)
                .map(|i| distance(old[(i + roll) % 4], new[i]))
                .sum::<f32>()
                / 4.0;
            (apart / side.max(1.0), roll)
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap_or((f32::INFINITY, 0))
}

fn distance(a: Point, b: Point) -> f32 {
    (a.x - b.x).hypot(a.y - b.y)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sight::Patch;

    fn look(x: f32, roll: usize) -> Look {
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
        };
        let face = FaceView {
            lattice,
            patches: [[patch; 3]; 3],
            fit: 1.0,
            tilt: 0.0,
            problems: vec![],
        };
        Look {
            size: (640, 480),
            faces: vec![face],
            joints: vec![],
            problems: vec![],
        }
    }

    fn handed(frames: impl IntoIterator<Item = Look>) -> usize {
        let mut steady = Steady::new();
        frames
            .into_iter()
            .filter_map(|l| steady.step(l).still)
            .count()
    }

    #[test]
    fn a_still_cube_is_handed_on_whatever_roll_the_finder_gives_it() {
        assert_eq!(handed((0..3).map(|i| look(100.0 + i as f32, i % 4))), 1);
    }

    #[test]
    fn a_moving_cube_is_not_evidence() {
        assert_eq!(handed((0..20).map(|i| look(100.0 + 12.0 * i as f32, 0))), 0);
    }

    #[test]
    fn a_cube_that_stays_is_handed_on_again_but_not_each_frame() {
        let times = handed((0..23).map(|_| look(100.0, 0)));
        assert!((2..=5).contains(&times), "{times}");
    }
}
