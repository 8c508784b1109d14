//! Which face of the cube each found face may be: told by the centres, as far as they can be told apart.

use super::evidence::{Assignment, LookEvidence, Weights, assignments, log_ratios};
use super::frame::{Frame, Known};
use crate::cube::Face;

/// One reading of all centres.
#[derive(Clone, Debug, PartialEq)]
pub struct Association {
    /// The faces of each look, in the look's order.
    pub assigned: Vec<Vec<Assignment>>,
    /// How the colours lie, and whether the pictures are mirrored.
    pub frame: Frame,
    /// Log-likelihood (natural) of the centres alone, 0 for the likeliest colour of each, with the prior of what
    /// people show.
    pub score: f32,
}

/// A face left unseen though enough faces were shown, as log-odds (natural): people show each face once. A judgement.
const OVERLOOKED: f32 = -5.0;

/// Partial associations kept while looks are added.
const BEAM: usize = 400;

/// Associations this far (nats) below the best are dropped.
const UNLIKELY: f32 = 14.0;

impl Association {
    /// Whether both take every look alike.
    pub fn assigns_as(&self, other: &Association) -> bool {
        self.frame == other.frame && self.assigned == other.assigned
    }

    /// Log-odds (natural) of showing the faces so, before anything is seen.
    pub fn prior(&self) -> f32 {
        let faces = || self.assigned.iter().flatten();
        let seen = faces().fold(0, |seen, p| seen | 1 << p.face.index());
        overlooked(seen, faces().count(), 0)
    }

    /// The same with that of the frame, as log-odds against the likeliest frame.
    pub fn prior_in(&self, known: Known) -> f64 {
        f64::from(self.prior()) + self.frame.prior(known)
    }
}

/// An association of the first looks: the way chosen for each, the faces seen (a bit each), the score.
#[derive(Clone)]
struct Partial {
    chosen: Vec<u16>,
    seen: u8,
    score: f32,
}

/// The likeliest associations for the looks in a frame, at most `most` of them, the best first. None when a corner view's
/// centres run against every cube in that frame.
pub fn associations(looks: &[LookEvidence], frame: &Frame, most: usize) -> Vec<Association> {
    let ways: Vec<Vec<Way>> = looks
        .iter()
        .map(|look| ways(look, frame.mirrored))
        .collect();
    let all = looks.iter().map(|look| look.faces.len()).sum::<usize>();
    let mut shown = 0;
    let mut partial = vec![Partial {
        chosen: Vec::new(),
        seen: 0,
        score: 0.0,
    }];
    for (look, ways) in looks.iter().zip(&ways) {
        shown += look.faces.len();
        let rank = |seen: u8, score: f32| score + overlooked(seen, all, all - shown);
        let mut next: Vec<(f32, usize, usize)> = Vec::with_capacity(partial.len() * ways.len());
        for (i, before) in partial.iter().enumerate() {
            for (j, way) in ways.iter().enumerate() {
                next.push((rank(before.seen | way.seen, before.score + way.score), i, j));
            }
        }
        next.sort_by(|a, b| b.0.total_cmp(&a.0));
        let best = next.first().map_or(0.0, |n| n.0);
        next.retain(|n| n.0 >= best - UNLIKELY);
        next.truncate(BEAM);
        let extended = next.iter().map(|&(_, i, j)| {
            let (before, way) = (&partial[i], &ways[j]);
            let mut chosen = before.chosen.clone();
            chosen.push(j as u16);
            Partial {
                chosen,
                seen: before.seen | way.seen,
                score: before.score + way.score,
            }
        });
        partial = extended.collect();
    }
    partial.truncate(most);
    let full = |p: &Partial| Association {
        assigned: p
            .chosen
            .iter()
            .zip(&ways)
            .map(|(&j, w)| w[usize::from(j)].assignment.clone())
            .collect(),
        frame: *frame,
        score: p.score + overlooked(p.seen, all, 0),
    };
    partial.iter().map(full).collect()
}

/// What it costs that faces stay unseen: `all` are shown, `left` of them are still to be assigned.
fn overlooked(seen: u8, all: usize, left: usize) -> f32 {
    OVERLOOKED * all.min(6).saturating_sub(seen.count_ones() as usize + left) as f32
}

/// One way to take a look's faces.
struct Way {
    score: f32,
    seen: u8,
    assignment: Vec<Assignment>,
}

/// All that one look's faces may be, by its joints alone.
pub fn assignments_of(
    look: &LookEvidence,
    mirrored: bool,
) -> impl Iterator<Item = Vec<Assignment>> {
    ways(look, mirrored).into_iter().map(|way| way.assignment)
}

/// What a look's faces may be.
fn ways(look: &LookEvidence, mirrored: bool) -> Vec<Way> {
    let centres: Vec<Weights> = look
        .faces
        .iter()
        .map(|table| log_ratios(&table[4]))
        .collect();
    let mut ways = Vec::new();
    extend(&centres, &mut Vec::new(), 0.0, &mut |faces, score| {
        if let Some(assignment) = assignments(&look.joints, faces, mirrored) {
            let seen = faces.iter().fold(0, |seen, face| seen | 1 << face.index());
            ways.push(Way {
                score,
                seen,
                assignment,
            });
        }
    });
    ways
}

fn extend(
    centres: &[Weights],
    faces: &mut Vec<Face>,
    score: f32,
    found: &mut impl FnMut(&[Face], f32),
) {
    match centres.get(faces.len()) {
        None => found(faces, score),
        Some(weights) => {
            for face in Face::ALL {
                if !faces.contains(&face) {
                    let weight = weights[face.index()];
                    faces.push(face);
                    extend(centres, faces, score + weight, found);
                    faces.pop();
                }
            }
        }
    }
}
