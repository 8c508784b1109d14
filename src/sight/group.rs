//! Fourth stage: which faces belong to one cube, by the edges that they share.
//!
//! Nothing is assumed of the lens or of the cube's pose: two faces of a cube share the two corners of an edge, under any lens, and
//! that is all that is asked, loosely, for layers stand out of line and corners are rounded.

use super::judge::Judged;
use super::look::{Joint, Side};
use super::quad::{Quad, distance};

/// How far apart the ends of a shared edge may lie, in cells.
const LOOSE: f32 = 0.75;

/// Of the nine stickers of a face, so many may have their centres inside another one's outline: as outlines are a little off.
/// Faces that share more are two guesses at one.
const SHARED: usize = 1;

/// What an edge that fits adds to the log-odds of a cube: two faces seldom lie so by chance.
const EDGE: f32 = 2.0;

/// What each doubling of the area adds to the log-odds that this is the cube that is shown, and not one in the background.
const DOUBLING: f32 = 0.5;

const SIDES: [Side; 4] = [Side::Top, Side::Right, Side::Bottom, Side::Left];

/// The faces of one cube, likeliest first, and the edges between them.
#[derive(Clone, Debug, Default)]
pub struct Group {
    pub faces: Vec<Judged>,
    pub joints: Vec<Joint>,
}

/// The one cube that is told: a face, two that share an edge, or three that share all they can, whichever has most for it.
/// `judged` comes likeliest first.
pub fn group(judged: &[Judged]) -> Group {
    let faces = without_rivals(judged);
    let joint = |a: usize, b: usize| shared_edge(&faces[a].quad, &faces[b].quad);
    let mut best = (f32::NEG_INFINITY, Vec::new());
    let mut weigh = |members: &[usize], edges: usize| {
        let scores: f32 = members.iter().map(|&i| faces[i].score).sum();
        let area: f32 = members.iter().map(|&i| faces[i].quad.area()).sum();
        let weight = scores + EDGE * edges as f32 + DOUBLING * area.max(1.0).log2();
        if weight > best.0 {
            best = (weight, members.to_vec());
        }
    };
    for a in 0..faces.len() {
        weigh(&[a], 0);
        for b in a + 1..faces.len() {
            if joint(a, b).is_none() {
                continue;
            }
            weigh(&[a, b], 1);
            for c in b + 1..faces.len() {
                if joint(a, c).is_some() && joint(b, c).is_some() {
                    weigh(&[a, b, c], 3);
                }
            }
        }
    }
    let members = best.1;
    let mut joints = Vec::new();
    for (k, &second) in members.iter().enumerate() {
        for (i, &first) in members[..k].iter().enumerate() {
            if let Some((a, b)) = joint(first, second) {
                joints.push(Joint {
                    a: (i, SIDES[a]),
                    b: (k, SIDES[b]),
                });
            }
        }
    }
    Group {
        faces: members.iter().map(|&i| faces[i]).collect(),
        joints,
    }
}

/// The faces, less those that lie upon a likelier one.
fn without_rivals(judged: &[Judged]) -> Vec<Judged> {
    let mut kept: Vec<Judged> = Vec::new();
    for face in judged {
        let lies_upon = |other: &Judged| {
            within(&face.quad, &other.quad).max(within(&other.quad, &face.quad)) > SHARED
        };
        if !kept.iter().any(lies_upon) {
            kept.push(*face);
        }
    }
    kept
}

/// How many of a face's nine stickers have their centres inside another outline.
fn within(face: &Quad, other: &Quad) -> usize {
    let plane = super::plane::Homography::onto(face);
    (0..9)
        .map(|i| plane.map_cells((i % 3) as f32 - 1.0, (i / 3) as f32 - 1.0))
        .filter(|&at| other.holds(at))
        .count()
}

/// The sides along which two faces meet: both run clockwise, so along a shared edge they run against each other.
fn shared_edge(a: &Quad, b: &Quad) -> Option<(usize, usize)> {
    let gap = |i: usize, k: usize| {
        let cell = a.side(i).max(b.side(k)) / 3.0;
        let first = distance(a.0[i], b.0[(k + 1) % 4]);
        let second = distance(a.0[(i + 1) % 4], b.0[k]);
        first.max(second) / cell
    };
    (0..16)
        .map(|n| (n / 4, n % 4))
        .map(|(i, k)| (gap(i, k), (i, k)))
        .filter(|(gap, _)| *gap < LOOSE)
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, sides)| sides)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sight::testing::{SeenFace, any_lens, any_pose, seen};
    use proptest::prelude::*;

    fn judged(face: &SeenFace, score: f32) -> Judged {
        Judged {
            quad: face.quad,
            score,
            covered: [0.0; 9],
        }
    }

    proptest! {
        #[test]
        fn faces_of_a_cube_are_one_group_under_any_lens(
            lens in any_lens(),
            pose in any_pose(),
            scores in prop::array::uniform3(-1.0..9.0f32),
            turns in prop::array::uniform3(0usize..4),
        ) {
            let faces = seen(&lens, &pose);
            prop_assume!(!faces.is_empty());
            let all: Vec<Judged> = faces
                .iter()
                .zip(scores)
                .zip(turns)
                .map(|((face, score), turn)| Judged { quad: face.quad.turned(turn), ..judged(face, score) })
                .collect();
            let group = group(&all);
            prop_assert_eq!(group.faces.len(), faces.len());
            prop_assert_eq!(group.joints.len(), faces.len() * (faces.len() - 1) / 2);
            for joint in &group.joints {
                prop_assert!(joint.a.0 < joint.b.0 && joint.b.0 < faces.len());
                // Each face's side faces the other face: its centre is the nearest of all four to the other's.
                let [a, b] = [joint.a.0, joint.b.0].map(|i| &group.faces[i].quad);
                let side = SIDES.iter().position(|side| *side == joint.a.1).unwrap();
                let other = SIDES.iter().position(|side| *side == joint.b.1).unwrap();
                prop_assert!(distance(a.0[side], b.0[(other + 1) % 4]) < 0.1 * a.cell());
            }
        }

        #[test]
        fn what_lies_upon_a_likelier_face_is_left_out(lens in any_lens(), pose in any_pose(), slip in 0.8..1.2f32) {
            let faces = seen(&lens, &pose);
            prop_assume!(!faces.is_empty());
            let mut all: Vec<Judged> = faces.iter().map(|face| judged(face, 5.0)).collect();
            // Three by three stickers of which six are the face's.
            let plane = super::super::plane::Homography::onto(&faces[0].quad);
            let moved = [(-1.5, -1.5), (1.5, -1.5), (1.5, 1.5), (-1.5, 1.5)];
            let beside = Quad(moved.map(|(x, y): (f32, f32)| plane.map_cells(x + slip, y)));
            prop_assume!(beside.is_outline());
            all.push(Judged { quad: beside, ..judged(&faces[0], 3.0) });
            prop_assert_eq!(group(&all).faces.len(), faces.len());
        }
    }

    #[test]
    fn of_two_cubes_the_likelier_is_told_and_of_equal_ones_the_nearer() {
        let square = |x: f32, side: f32, score: f32| Judged {
            quad: Quad(
                [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)].map(|(u, v)| {
                    super::super::look::Point {
                        x: x + side * u,
                        y: side * v,
                    }
                }),
            ),
            score,
            covered: [0.0; 9],
        };
        let (far, near) = (square(0.0, 60.0, 5.0), square(300.0, 200.0, 5.0));
        let told = |all: &[Judged]| {
            group(all)
                .faces
                .iter()
                .map(|f| f.quad.0[0].x)
                .collect::<Vec<_>>()
        };
        assert_eq!(told(&[far, near]), [300.0]);
        let doubted = square(300.0, 200.0, 0.0);
        assert_eq!(told(&[far, doubted]), [0.0]);
        assert_eq!(told(&[]), [0.0; 0]);
    }
}
