//! Which face of the cube each found face may be: told by the centres, as far as they can be told apart.

use super::evidence::{LookEvidence, Placing, Weights, levelled, placings};
use crate::cube::Face;

/// One reading of all centres.
#[derive(Clone, Debug, PartialEq)]
pub struct Supposition {
    /// The faces of each look, in the look's order.
    pub placed: Vec<Vec<Placing>>,
    /// Whether the pictures show the cube as in a mirror.
    pub mirrored: bool,
    /// Log-likelihood (natural) of the centres alone, 0 for the likeliest colour of each, with the prior of what
    /// people show.
    pub score: f32,
}

/// A face left unseen though enough faces were shown, as log-odds (natural): people show each face once. A judgement.
const OVERLOOKED: f32 = -5.0;

/// Partial suppositions kept while looks are added.
const BEAM: usize = 400;

/// Suppositions this far (nats) below the best are dropped.
const UNLIKELY: f32 = 14.0;

impl Supposition {
    /// Log-odds (natural) of showing the faces so, before anything is seen.
    pub fn prior(&self) -> f32 {
        overlooked(&self.placed, 0)
    }
}

/// The likeliest suppositions for the looks, at most `most` of them, the best first. None when no face is seen, or
/// when a corner view's centres run against every legal cube.
pub fn suppositions(looks: &[LookEvidence], mirrored: bool, most: usize) -> Vec<Supposition> {
    let mut partial = vec![Supposition {
        placed: Vec::new(),
        mirrored,
        score: 0.0,
    }];
    let mut left = looks.iter().map(|look| look.faces.len()).sum::<usize>();
    for look in looks {
        left -= look.faces.len();
        let ways = ways(look, mirrored);
        let mut next = Vec::with_capacity(partial.len() * ways.len());
        for before in &partial {
            for (score, placing) in &ways {
                let mut placed = before.placed.clone();
                placed.push(placing.clone());
                next.push(Supposition {
                    placed,
                    mirrored,
                    score: before.score + score,
                });
            }
        }
        let rank = |s: &Supposition| s.score + overlooked(&s.placed, left);
        next.sort_by(|a, b| rank(b).total_cmp(&rank(a)));
        let best = next.first().map_or(0.0, rank);
        next.retain(|s| rank(s) >= best - UNLIKELY);
        next.truncate(BEAM);
        partial = next;
    }
    partial.truncate(most);
    for supposition in &mut partial {
        supposition.score += overlooked(&supposition.placed, 0);
    }
    partial
}

/// What it costs that faces stay unseen though `left` more are to come.
fn overlooked(placed: &[Vec<Placing>], left: usize) -> f32 {
    let placings = || placed.iter().flatten();
    let shown = placings().count();
    let seen = Face::ALL
        .iter()
        .filter(|&&face| placings().any(|p| p.face == face))
        .count();
    let could = (shown + left).min(6);
    OVERLOOKED * could.saturating_sub(seen + left) as f32
}

/// What a look's faces may be, with the score of each way.
fn ways(look: &LookEvidence, mirrored: bool) -> Vec<(f32, Vec<Placing>)> {
    let centres: Vec<Weights> = look.faces.iter().map(|table| levelled(&table[4])).collect();
    let mut ways = Vec::new();
    extend(&centres, &mut Vec::new(), 0.0, &mut |faces, score| {
        if let Some(placing) = placings(&look.joints, faces, mirrored) {
            ways.push((score, placing));
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
