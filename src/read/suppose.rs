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
    /// Log-likelihood (natural) of the centres alone, 0 for the likeliest colour of each.
    pub score: f32,
}

/// Suppositions this far (nats) below the best are dropped.
const UNLIKELY: f32 = 14.0;

/// The likeliest suppositions for the looks, at most `most` of them, the best first. None when no face is seen, or
/// when a corner view's centres run against every legal cube.
pub fn suppositions(looks: &[LookEvidence], mirrored: bool, most: usize) -> Vec<Supposition> {
    let mut partial = vec![Supposition {
        placed: Vec::new(),
        mirrored,
        score: 0.0,
    }];
    for look in looks {
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
        next.sort_by(|a, b| b.score.total_cmp(&a.score));
        let best = next.first().map_or(0.0, |s| s.score);
        next.retain(|s| s.score >= best - UNLIKELY);
        next.truncate(4 * most);
        partial = next;
    }
    partial.truncate(most);
    partial
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
