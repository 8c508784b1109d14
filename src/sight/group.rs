//! The faces that make one cube: each found face's neighbours are looked for where its pose has them.

use super::alike::alike_around;
use super::alone::{cells_around, ends_all_around, stands_alone};
use super::candidate::{Candidate, MOST_TILTED, refine, refine_hidden};
use super::cut::is_moved;
use super::frame::framed;
use super::grooves::{View, Views, measure};
use super::look::{Joint, Side};
use super::plane::Homography;
use super::pose::Pose;
use super::quads::Quad;
use super::seams::parted;
use super::verify::{is_face, may_be_face, shown, weigh};

/// Largest root mean square distance of a group's corners from those of one cube, in cells.
const MOST_APART: f64 = 0.11;

/// The same for two faces, which leave more to chance.
const MOST_APART_PAIR: f64 = 0.08;

/// Most shapes around two faces that are like their cells. More are around faces that lie across the cube's own, too.
const MOST_ALIKE: u32 = 2;

/// Most signs of a board's frame around one of two faces. The other lies where a board has its frame, and so much chance is rare.
const MOST_FRAMED_PAIR: u32 = 4;

/// Most signs of cells around one of two faces. Those of the other face, and of chance, are fewer.
const MOST_CELLS_PAIR: u32 = 16;

/// Fewest pairs of neighbouring cells of a face that meet as stickers do, of 12, in the mean over several faces; a lone one needs more.
const PARTED: u32 = 7;

/// Lowest score of a face that is tied to another.
const FAINTEST: f64 = 18.0;

/// Fewest cells in sight of a face of which a hand hides the rest: beside one other face, and beside two.
const SHOWN: usize = 5;
const SHOWN_BESIDE_TWO: usize = 4;

/// Nothing is in front of any cell.
pub const ALL_IN_SIGHT: [[bool; 3]; 3] = [[false; 3]; 3];

/// A face of a cube that is being put together.
#[derive(Clone, Copy, Debug)]
pub struct Member {
    /// The side of the first face that it lies beyond; `None` for the first itself.
    pub side: Option<usize>,
    pub face: Candidate,
    /// Cells that something is in front of, `[row][column]`. Where there are any, it is a face only because the others say that there must be
    /// one.
    pub hidden: [[bool; 3]; 3],
}

impl Member {
    fn whole(side: Option<usize>, face: Candidate) -> Member {
        Member {
            side,
            face,
            hidden: ALL_IN_SIGHT,
        }
    }

    fn is_whole(&self) -> bool {
        self.hidden == ALL_IN_SIGHT
    }
}

/// A cube as it is being put together.
#[derive(Clone, Debug)]
pub struct Group {
    pub faces: Vec<Member>,
    pub pose: Pose,
    /// Root mean square distance of the faces' corners from those of one cube, in cells.
    pub error: f64,
}

impl Group {
    pub fn score(&self) -> f64 {
        let faces = self
            .faces
            .iter()
            .map(|member| (member.face.score() - 8.0).max(0.0))
            .sum::<f64>();
        // The cube is held towards the camera, so of two likely ones the larger is meant.
        let size = self
            .faces
            .iter()
            .map(|member| member.face.cell())
            .fold(1.0, f64::max);
        faces - 20.0 * (self.error - 0.05).max(0.0) + 14.0 * size.log10()
    }

    /// Whether the faces together make a cube that can be believed. `quads` are all shapes in the picture that may be stickers.
    pub fn is_cube(&self, views: &Views, quads: &[Quad]) -> bool {
        let whole = self.whole();
        let total: f64 = whole.iter().map(|face| face.score()).sum();
        match whole.as_slice() {
            [face] if self.faces.len() == 1 => {
                !face.is_steep() && is_sure_square(face, views, quads)
            }
            // Where another face shows in part, that tells that its cells are squares, however steep they lie.
            [face] => is_sure_alone(face, views, quads),
            faces => {
                total > 21.0 * faces.len() as f64
                    && (faces.len() > 2 || self.is_sure_pair(faces, views, quads))
                    && parted_in_all(faces, views) >= PARTED * faces.len() as u32
            }
        }
    }

    /// Whether it is a face alone that could be believed if it were turned more towards the camera.
    pub fn is_steep_face(&self, views: &Views, quads: &[Quad]) -> bool {
        match self.faces.as_slice() {
            [Member { face, .. }] => face.is_steep() && is_sure_square(face, views, quads),
            _ => false,
        }
    }

    /// The faces of which nothing is hidden.
    fn whole(&self) -> Vec<&Candidate> {
        let whole = self.faces.iter().filter(|member| member.is_whole());
        whole.map(|member| &member.face).collect()
    }

    /// Whether two faces lie as those of one cube do, and are no part of something larger.
    fn is_sure_pair(&self, faces: &[&Candidate], views: &Views, quads: &[Quad]) -> bool {
        let around = |face: &&Candidate| alike_around(face, faces, quads);
        let is_whole = |face: &&Candidate| {
            let view = views.of(&face.plane);
            framed(&view, face) <= MOST_FRAMED_PAIR
                && !is_moved(&view, face)
                && cells_around(&view, face) <= MOST_CELLS_PAIR
        };
        self.error < MOST_APART_PAIR
            && faces.iter().map(around).sum::<u32>() <= MOST_ALIKE
            && faces.iter().all(is_whole)
    }

    /// The sides along which the faces touch; faces are named by their places in `faces`.
    pub fn joints(&self) -> Vec<Joint> {
        let mut joints = Vec::new();
        for (j, face) in self.faces.iter().enumerate() {
            for (i, other) in self.faces[..j].iter().enumerate() {
                if let Some((a, b)) = shared_edge(other.side, face.side) {
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
            [only] => only.face.score() > 28.0 && only.face.is_square(),
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
    face.is_clear(&view) && stands_alone(&view, face, quads) && !is_moved(&view, face)
}

/// The same, and that its cells are squares: nearly is enough where nothing around it is like a larger grid.
fn is_sure_square(face: &Candidate, views: &Views, quads: &[Quad]) -> bool {
    let is_square = face.is_square();
    (is_square || face.may_be_square())
        && is_sure_alone(face, views, quads)
        && (is_square || ends_all_around(&views.of(&face.plane), face, quads))
}

/// Pairs of neighbouring cells that meet as stickers do, 12 a face.
fn parted_in_all(faces: &[&Candidate], views: &Views) -> u32 {
    faces
        .iter()
        .map(|face| parted(&views.of(&face.plane), &face.plane))
        .sum()
}

/// A face together with the other faces of its cube that can be seen. `others` are faces found on their own.
pub fn complete(face: &Candidate, others: &[Candidate], views: &Views, size: (u32, u32)) -> Group {
    let mut group = Group {
        faces: vec![Member::whole(None, *face)],
        pose: face.pose,
        error: face.pose.error,
    };
    // Faces of which a part shows are looked for when all others have been found: those tell better where.
    for in_part in [false, true] {
        for side in 0..4 {
            if group.faces.iter().any(|other| other.side == Some(side)) {
                continue;
            }
            let Some(found) = beyond(&group, side, in_part, others, views, size) else {
                continue;
            };
            let vouches_alone = !found.is_whole() && group.faces.len() == 1;
            let most_apart = if vouches_alone {
                MOST_APART_PAIR
            } else {
                MOST_APART
            };
            let mut faces = group.faces.clone();
            faces.push(found);
            let seen: Vec<_> = faces
                .iter()
                .map(|member| (member.side, member.face.plane.outline()))
                .collect();
            let Some((pose, apart)) = group.pose.settle(&seen) else {
                continue;
            };
            let error = apart / face.cell();
            if error < most_apart {
                group = Group { faces, pose, error };
            }
        }
    }
    group
}

/// The face beyond a side of the group's first, where the camera sees it; `in_part` if a hand may hide some of it.
fn beyond(
    group: &Group,
    side: usize,
    in_part: bool,
    others: &[Candidate],
    views: &Views,
    size: (u32, u32),
) -> Option<Member> {
    let expected = group.pose.face(side);
    if expected.tilt() > MOST_TILTED {
        return None;
    }
    let first = &group.faces[0].face;
    let beside_two = group.faces.len() > 1;
    let plane = expected.plane();
    let view = views.of(&plane);
    let turned = others
        .iter()
        .flat_map(|other| (0..4).map(|turns| other.turned(turns)));
    let found = refine(&view, &plane, size)
        .map(|(face, _)| face)
        .into_iter()
        .chain(turned)
        .filter(|found| touch(first, found, side))
        .max_by(|a, b| a.score().total_cmp(&b.score()))
        .filter(|found| is_face(&found.evidence) && found.score() > FAINTEST)
        .or_else(|| {
            let faint = || faint(&view, &plane, first.margin, size);
            beside_two.then(faint).flatten()
        });
    if found.is_none() && in_part {
        let fewest = if beside_two { SHOWN_BESIDE_TWO } else { SHOWN };
        return partly_hidden(&view, &plane, side, size, fewest)
            .filter(|found| touch(first, &found.face, side));
    }
    found.map(|face| Member::whole(Some(side), face))
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

/// A face beyond a side, of which so many cells are in sight.
fn partly_hidden(
    view: &View,
    plane: &Homography,
    side: usize,
    size: (u32, u32),
    fewest: usize,
) -> Option<Member> {
    let (face, borders) = refine_hidden(view, plane, size)?;
    let shown = shown(&borders, face.margin as f32);
    let count = shown.as_flattened().iter().filter(|&&shown| shown).count();
    (count >= fewest).then(|| Member {
        side: Some(side),
        face,
        hidden: shown.map(|row| row.map(|shown| !shown)),
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
