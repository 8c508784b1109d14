//! Tells still from moving: follows the found faces from frame to frame and keeps the best look of each view.
//!
//! A view holds still while its faces stay within a small reach for some time, whatever the rate of the frames. Its best
//! look is handed on then, so that a layer or a whole cube in motion is never taken for a state.

use std::collections::VecDeque;

use crate::sight::{FaceView, Joint, Look, Point, Side};

/// How far the faces' outlines may lie from where they lay before, as a mean share of a face's side. A resting hand
/// trembles by up to 0.08 in a fifth of a second; a layer turned by six degrees moves its face by 0.07, and the rows beside it
/// no longer fit. Larger: quicker to answer, more blur let in.
const REACH: f32 = 0.09;

/// Seconds that faces must hold still before their look counts.
const HOLD: f64 = 0.12;

/// Frames that must hold still: two steps, so that a turning point of a swing is not enough at a low rate.
const FRAMES: usize = 3;

/// Seconds after which a look says nothing of now: a camera that stuck may go on with another state.
const STALE: f64 = 1.0;

/// Seconds after which a view that still holds still is handed on again.
const AGAIN: f64 = 0.5;

/// Log-odds of being a face (nats) from which one is announced and drawn: of twenty such, nineteen are. What is less likely is evidence
/// for a reading, which weighs it, and no news for a learner.
pub const ANNOUNCED: f32 = 3.0;

/// Follows one stream of looks.
#[derive(Debug, Default)]
pub struct Steady {
    /// Looks of the view as it is held now, oldest first, all within reach of the newest: no more than [`HOLD`] needs.
    held: VecDeque<(f64, Look)>,
    /// When this view was last handed on, seconds.
    handed: Option<f64>,
}

impl Steady {
    pub fn new() -> Self {
        Self::default()
    }

    /// Takes the look of a frame that was taken `t` seconds into the stream, and gives the best look of a view that has
    /// held still: once when it has, and again each [`AGAIN`].
    pub fn step(&mut self, t: f64, look: &Look) -> Option<Still> {
        if look.faces.is_empty() {
            *self = Steady::default();
            return None;
        }
        let near = |(at, old): &(f64, Look)| {
            t - at < STALE && movement(old, look).is_some_and(|by| by < REACH)
        };
        if !self.held.iter().all(near) {
            *self = Steady::default();
        }
        self.held.push_back((t, look.clone()));
        while self.still_since(1, t) {
            self.held.pop_front();
        }
        let due = self.handed.is_none_or(|handed| t - handed >= AGAIN);
        if !due || !self.still_since(0, t) {
            return None;
        }
        self.handed = Some(t);
        self.best()
    }

    /// Whether the looks from one of them to the newest are enough.
    fn still_since(&self, from: usize, t: f64) -> bool {
        self.held.len() >= from + FRAMES && t - self.held[from].0 >= HOLD
    }

    /// The best look, with those of its faces that another look shows, too: one frame by itself may show a face where none is.
    fn best(&self) -> Option<Still> {
        let looks = self.held.iter().map(|(_, look)| look);
        let best = looks
            .clone()
            .max_by(|a, b| quality(a).total_cmp(&quality(b)))?;
        let scores = |face: &FaceView| -> Vec<f32> {
            let same = looks.clone().flat_map(|look| same_face(face, look));
            same.map(|other| other.score).collect()
        };
        let look = with_faces(best, |face| scores(face).len() > 1);
        let mean = |face| {
            let scores = scores(face);
            scores.iter().sum::<f32>() / scores.len() as f32
        };
        let odds = look.faces.iter().map(mean).collect();
        Some(Still { look, odds }).filter(|still| !still.look.faces.is_empty())
    }
}

/// A view that held still.
#[derive(Clone, Debug)]
pub struct Still {
    pub look: Look,
    /// How likely each of its faces is one, as log-odds (nats): what all frames say in the mean. The best of them says more than is so.
    pub odds: Vec<f32>,
}

impl From<Look> for Still {
    /// By one picture alone.
    fn from(look: Look) -> Still {
        let odds = look.faces.iter().map(|face| face.score).collect();
        Still { look, odds }
    }
}

/// The face of another look that lies where this one does.
fn same_face<'a>(face: &FaceView, look: &'a Look) -> Option<&'a FaceView> {
    let mut others = look.faces.iter();
    others.find(|other| overlaid(other, face).0 < REACH)
}

/// A look with some of its faces only.
pub fn with_faces(look: &Look, is_kept: impl Fn(&FaceView) -> bool) -> Look {
    let kept: Vec<usize> = (0..look.faces.len())
        .filter(|at| is_kept(&look.faces[*at]))
        .collect();
    let place = |(at, side): (usize, Side)| Some((kept.iter().position(|old| *old == at)?, side));
    let joints = look.joints.iter();
    Look {
        faces: kept.iter().map(|at| look.faces[*at].clone()).collect(),
        joints: joints
            .filter_map(|joint| Some((place(joint.a)?, place(joint.b)?)))
            .map(|(a, b)| Joint { a, b })
            .collect(),
        ..look.clone()
    }
}

/// How far the nearest face of an earlier look lies from this one, as a share of its side.
pub fn nearest(face: &FaceView, before: &Look) -> f32 {
    let apart = before.faces.iter().map(|other| overlaid(other, face).0);
    apart.fold(f32::INFINITY, f32::min)
}

/// How much a look is worth as evidence: its faces' fits, added up.
pub fn quality(look: &Look) -> f32 {
    look.faces.iter().map(|face| face.score).sum()
}

/// The largest mean movement of a face that both looks show, as a share of its side; `None` where either shows none.
///
/// The third face of a corner view comes and goes, so each face of the look with fewer faces is paired.
pub fn movement(a: &Look, b: &Look) -> Option<f32> {
    let (fewer, more) = if a.faces.len() < b.faces.len() {
        (a, b)
    } else {
        (b, a)
    };
    fewer
        .faces
        .iter()
        .map(|face| nearest(face, more))
        .max_by(f32::total_cmp)
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
    use crate::live::testing::look;

    fn handed(fps: f64, frames: impl IntoIterator<Item = Look>) -> usize {
        let mut steady = Steady::new();
        (0..)
            .zip(frames)
            .filter(|(i, look)| steady.step(f64::from(*i) / fps, look).is_some())
            .count()
    }

    #[test]
    fn a_still_cube_is_handed_on_whatever_roll_the_finder_gives_it() {
        for (fps, frames) in [(5.0, 3), (10.0, 3), (30.0, 5)] {
            let look = |i: usize| look(100.0 + i as f32, i % 4);
            assert_eq!(handed(fps, (0..frames - 1).map(look)), 0, "{fps}");
            assert_eq!(handed(fps, (0..frames).map(look)), 1, "{fps}");
        }
    }

    #[test]
    fn a_moving_cube_is_not_evidence() {
        // One side a second at either rate.
        for fps in [10.0, 30.0] {
            let look = |i| look(100.0 + 90.0 * i as f32 / fps as f32, 0);
            assert_eq!(handed(fps, (0..20).map(look)), 0, "{fps}");
        }
    }

    #[test]
    fn a_cube_that_stays_is_handed_on_again_but_not_each_frame() {
        for fps in [10.0, 30.0] {
            let times = handed(fps, (0..2 * fps as usize).map(|_| look(100.0, 0)));
            assert_eq!(times, 4, "{fps}");
        }
    }

    /// Beside a cube that held still, a thing in which one frame found a face was announced as one of its faces, and read with it.
    #[test]
    fn a_face_that_one_frame_shows_alone_is_not_handed_on() {
        for frames in [&[1][..], &[1, 2]] {
            let mut steady = Steady::new();
            let seen = (0..3).filter_map(|frame| {
                let mut seen = look(100.0, frame);
                if frames.contains(&frame) {
                    seen.faces.extend(look(400.0, 0).faces);
                    let (a, b) = ((0, Side::Right), (1, Side::Left));
                    seen.joints.push(Joint { a, b });
                }
                steady.step(frame as f64 / 10.0, &seen)
            });
            let handed: Vec<Look> = seen.map(|still: Still| still.look).collect();
            let [still] = &handed[..] else {
                panic!("{handed:?}");
            };
            assert_eq!(still.faces.len(), frames.len());
            assert_eq!(still.joints.len(), frames.len() - 1);
        }
    }

    /// Boards of squares in a room were announced once in a hundred frames one looked much like a face.
    #[test]
    fn one_frame_that_looks_much_like_a_face_does_not_stand_for_all() {
        let mut steady = Steady::new();
        let frames = [1.0, 5.0, 0.0].into_iter().enumerate();
        let seen = frames.filter_map(|(frame, score)| {
            let mut look = look(100.0, frame);
            look.faces[0].score = score;
            steady.step(frame as f64 / 10.0, &look)
        });
        let odds: Vec<f32> = seen.flat_map(|still| still.odds).collect();
        assert_eq!(odds, [2.0]);
    }

    #[test]
    fn a_view_from_before_the_camera_stuck_is_forgotten() {
        let mut steady = Steady::new();
        let times = [0.0, 0.1, 5.0, 5.1, 5.2];
        let handed = times.map(|t| steady.step(t, &look(100.0, 0)).is_some());
        assert_eq!(handed, [false, false, false, false, true]);
    }
}
