//! The faces that make one cube: each found face's neighbours are looked for where its pose has them.

use super::alike::alike_around;
use super::alone::{parted, stands_alone};
use super::candidate::{Candidate, MOST_TILTED, refine};
use super::grooves::{View, Views, measure};
use super::look::{Joint, Side};
use super::plane::Homography;
use super::pose::Pose;
use super::quads::Quad;
use super::verify::{is_face, may_be_face, weigh};

/// Largest root mean square distance of a group's corners from those of one cube, in cells.
const MOST_APART: f64 = 0.11;

/// The same for two faces, which leave more to chance.
const MOST_APART_PAIR: f64 = 0.08;

/// Most shapes around two faces that are like their cells. More are around faces that lie across the cube's own, too.
const MOST_ALIKE: u32 = 2;

/// Fewest pairs of neighbouring cells of a face that meet as stickers do, of 12, in the mean over several faces; a lone one needs more.
const PARTED: u32 = 7;

/// Lowest score of a face that is tied to another.
const FAINTEST: f64 = 18.0;

/// A cube as it is being put together: faces with the side of the first that they lie beyond (`None` for the first itself).
#[derive(Clone, Debug)]
pub struct Group {
    pub faces: Vec<(Option<usize>, Candidate)>,
    pub pose: Pose,
    /// Root mean square distance of the faces' corners from those of one cube, in cells.
    pub error: f64,
}

impl Group {
    pub fn score(&self) -> f64 {
        let faces = self
            .faces
            .iter()
            .map(|(_, face)| face.score() - 8.0)
            .sum::<f64>();
        // The cube is held towards the camera, so of two likely ones the larger is meant.
        let size = self
            .faces
            .iter()
            .map(|(_, face)| face.cell())
            .fold(1.0, f64::max);
        faces - 20.0 * (self.error - 0.05).max(0.0) + 14.0 * size.log10()
    }

    /// Whether the faces together make a cube that can be believed. `quads` are all shapes in the picture that may be stickers.
    pub fn is_cube(&self, views: &Views, quads: &[Quad]) -> bool {
        let total: f64 = self.faces.iter().map(|(_, face)| face.score()).sum();
        match self.faces.as_slice() {
            [(_, face)] => !face.is_steep() && is_sure_alone(face, views, quads),
            faces => {
                total > 21.0 * faces.len() as f64
                    && (faces.len() > 2 || self.is_sure_pair(quads))
                    && self.parted(views) >= PARTED * faces.len() as u32
            }
        }
    }

    /// Whether it is a face alone that could be believed if it were turned more towards the camera.
    pub fn is_steep_face(&self, views: &Views, quads: &[Quad]) -> bool {
        match self.faces.as_slice() {
            [(_, face)] => face.is_steep() && is_sure_alone(face, views, quads),
            _ => false,
        }
    }

    /// Whether two faces lie as those of one cube do, and are no part of something larger.
    fn is_sure_pair(&self, quads: &[Quad]) -> bool {
        let faces: Vec<&Candidate> = self.faces.iter().map(|(_, face)| face).collect();
        let around = |face: &&Candidate| alike_around(face, &faces, quads);
        self.error < MOST_APART_PAIR && faces.iter().map(around).sum::<u32>() <= MOST_ALIKE
    }

    /// Pairs of neighbouring cells that meet as stickers do, 12 a face.
    fn parted(&self, views: &Views) -> u32 {
        self.faces
            .iter()
            .map(|(_, face)| parted(&views.of(&face.plane), &face.plane))
            .sum()
    }

    /// The sides along which the faces touch; faces are named by their places in `faces`.
    pub fn joints(&self) -> Vec<Joint> {
        let mut joints = Vec::new();
        for (j, &(side, _)) in self.faces.iter().enumerate() {
            for (i, &(other, _)) in self.faces[..j].iter().enumerate() {
                if let Some((a, b)) = shared_edge(other, side) {
                    joints.push(Joint {
                        a: (i, SIDES[a]),
                        b: (j, SIDES[b]),
                    });
                }
            }
        }
        joints
    }

    /// Whether no better cube need be looked for.
    pub fn is_certain(&self) -> bool {
        match self.faces.as_slice() {
            [(_, face)] => face.score() > 28.0,
            faces => faces.len() == 3,
        }
    }
}

/// Sides as [`Pose::face`] numbers them.
const SIDES: [Side; 4] = [Side::Right, Side::Bottom, Side::Left, Side::Top];

/// The side of each of two faces along which they touch. `None` stands for the first face, a number for the face beyond that side of it. Such
/// faces touch each other at sides of the same directions: the right one's bottom is the bottom one's right.
fn shared_edge(one: Option<usize>, other: Option<usize>) -> Option<(usize, usize)> {
    match (one, other) {
        (None, Some(side)) => Some((side, (side + 2) % 4)),
        (Some(a), Some(b)) if a % 2 != b % 2 => Some((b, a)),
        _ => None,
    }
}

fn is_sure_alone(face: &Candidate, views: &Views, quads: &[Quad]) -> bool {
    let view = views.of(&face.plane);
    face.is_clear(&view) && stands_alone(&view, face, quads)
}

/// A face together with the other faces of its cube that can be seen. `others` are faces found on their own.
pub fn complete(face: &Candidate, others: &[Candidate], views: &Views, size: (u32, u32)) -> Group {
    let mut group = Group {
        faces: vec![(None, *face)],
        pose: face.pose,
        error: face.pose.error,
    };
    for _ in 0..2 {
        for side in 0..4 {
            let expected = group.pose.face(side);
            if expected.tilt() > MOST_TILTED
                || group.faces.iter().any(|&(other, _)| other == Some(side))
            {
                continue;
            }
            let plane = expected.plane();
            let view = views.of(&plane);
            let predicted = refine(&view, &plane, size);
            let turned = others
                .iter()
                .flat_map(|other| (0..4).map(|turns| other.turned(turns)));
            let found = predicted
                .into_iter()
                .chain(turned)
                .filter(|found| touch(face, found, side))
                .max_by(|a, b| a.score().total_cmp(&b.score()));
            let good = |found: &Candidate| is_face(&found.evidence) && found.score() > FAINTEST;
            let found = match found.filter(good) {
                None if group.faces.len() > 1 => faint(&view, &plane, face.margin, size),
                found => found,
            };
            let Some(found) = found else { continue };
            let mut faces = group.faces.clone();
            faces.push((Some(side), found));
            let seen: Vec<_> = faces
                .iter()
                .map(|(side, face)| (*side, face.plane.outline()))
                .collect();
            let Some((pose, apart)) = group.pose.settle(&seen) else {
                continue;
            };
            let error = apart / face.cell();
            if error < MOST_APART {
                group = Group { faces, pose, error };
            }
        }
    }
    group
}

/// A face just where the others' pose has it, if nothing speaks against it.
fn faint(view: &View, plane: &Homography, margin: f64, size: (u32, u32)) -> Option<Candidate> {
    let evidence = weigh(&measure(view, plane), margin as f32);
    let pose = Pose::of(plane, size)?;
    may_be_face(&evidence).then_some(Candidate {
        plane: *plane,
        margin,
        evidence,
        beyond: [0; 4],
        pose,
    })
}

/// Whether `found` shares the edge at `side` of `face`.
fn touch(face: &Candidate, found: &Candidate, side: usize) -> bool {
    let (a, b) = (face.plane.outline(), found.plane.outline());
    let pairs = [
        [(1, 0), (2, 3)],
        [(3, 0), (2, 1)],
        [(0, 1), (3, 2)],
        [(0, 3), (1, 2)],
    ][side];
    pairs
        .iter()
        .all(|&(i, k)| (a[i].0 - b[k].0).hypot(a[i].1 - b[k].1) < 0.4 * face.cell())
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIZE: (u32, u32) = (640, 480);

    /// The ends of a side in the picture, the first as the outline runs.
    fn ends(pose: &Pose, side: usize) -> [(f64, f64); 2] {
        let outline = pose.plane().outline();
        let first = [1, 2, 3, 0][side];
        [outline[first], outline[(first + 1) % 4]]
    }

    #[test]
    fn faces_touch_where_their_sides_lie_on_each_other() {
        let plane = Homography([[40.0, 7.0, 300.0], [-5.0, 44.0, 220.0], [0.01, -0.02, 1.0]]);
        let first = Pose::of(&plane, SIZE).unwrap();
        let pose = |side: Option<usize>| side.map_or(first, |side| first.face(side));
        let all = || [None, Some(0), Some(1), Some(2), Some(3)].into_iter();
        for (one, other) in all().flat_map(|one| all().skip(1).map(move |other| (one, other))) {
            let touching = (0..4)
                .flat_map(|a| (0..4).map(move |b| (a, b)))
                .find(|&(a, b)| {
                    let (p, q) = (ends(&pose(one), a), ends(&pose(other), b));
                    let near = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).hypot(a.1 - b.1) < 1e-6;
                    near(p[0], q[1]) && near(p[1], q[0])
                });
            assert_eq!(shared_edge(one, other), touching, "{one:?} {other:?}");
        }
    }
}
