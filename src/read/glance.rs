//! What one frame says of states, quickly enough for every frame: for following a cube whose state was known a moment ago.
//!
//! The faces of a look may be taken in a few ways (which face of the cube, which way up). For each way the light is fitted to the
//! centres and to those stickers that are as expected, and every sticker gets its likelihoods once; then any number of states
//! are scored by adding up 54 numbers or fewer.

use super::association::Association;
use super::evidence::{Assignment, LookEvidence, Weights, log_ratios, rolled, transposed};
use super::explain::{Fit, likely_centres};
use super::frame::Frame;
use super::lights::{Labels, best_rolls, centre_labels, state_labels};
use super::places::Arrangement;
use super::reader::Reader;
use super::work::Work;
use crate::cube::{Cube, Face, Scheme};
use crate::sight::Look;

/// The colour (as an index) of every sticker of the net.
pub type Painted = [u8; 54];

/// A sticker speaks against what is expected of it from here on (nats), and tells nothing of the light.
const AGAINST: f32 = 4.0;

/// The colours of a state's stickers: nine a face in the order of [`Face::ALL`], rows as in a net.
pub fn painted(cube: &Cube) -> Painted {
    Arrangement::of(cube).colours().map(|colour| colour as u8)
}

/// What one look says.
#[derive(Clone, Debug)]
pub struct Glance {
    ways: Vec<Way>,
}

/// One way to take all faces of a look.
#[derive(Clone, Debug)]
pub struct Way {
    /// For each face of the look, the cube's face, and the quarter turns clockwise that bring the picture's rows to the net's.
    pub assigned: Vec<(Face, u8)>,
    /// The stickers that are in sight: where on the net, and the log-likelihood of each colour there, 0 for the likeliest.
    stickers: Vec<(u8, Weights)>,
    /// Log-chance of this way before states are compared; 0 for the likeliest.
    pub prior: f64,
}

impl Way {
    /// Log-likelihood (natural) of the stickers in sight for a state.
    pub fn score(&self, painted: &Painted) -> f64 {
        let sum: f32 = self
            .stickers
            .iter()
            .map(|(cell, weights)| weights[usize::from(painted[usize::from(*cell)])])
            .sum();
        f64::from(sum)
    }

    /// The same for a state of which nothing is known: each sticker but the centres may have any colour.
    pub fn score_of_any(&self) -> f64 {
        let any = |(cell, weights): &(u8, Weights)| {
            if cell % 9 == 4 {
                return f64::from(weights[usize::from(cell / 9)]);
            }
            let mean = weights.iter().map(|w| f64::from(*w).exp()).sum::<f64>() / 6.0;
            mean.ln()
        };
        self.stickers.iter().map(any).sum()
    }
}

impl Glance {
    /// The ways to take the look's faces.
    pub fn ways(&self) -> &[Way] {
        &self.ways
    }

    /// The ways, to change how likely each is by what was seen before.
    pub fn ways_mut(&mut self) -> &mut [Way] {
        &mut self.ways
    }

    /// Log-likelihood of the look for a state, taken in the way that suits it best, and which that is.
    pub fn score(&self, painted: &Painted) -> (f64, usize) {
        let scores = self.ways.iter().map(|way| way.prior + way.score(painted));
        let best = scores.enumerate().max_by(|a, b| a.1.total_cmp(&b.1));
        best.map_or((0.0, 0), |(at, score)| (score, at))
    }

    /// The same for a state of which nothing is known, in whichever way: of many ways one fits some state well by chance.
    pub fn score_of_any(&self) -> f64 {
        let scores = self.ways.iter().map(|way| way.prior + way.score_of_any());
        let scores: Vec<f64> = scores.collect();
        let best = scores.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        best + scores.iter().map(|s| (s - best).exp()).sum::<f64>().ln()
    }
}

impl Reader {
    /// What a look says of states much like `expected`, in a picture that is `mirrored` or not; none where it shows no face, or
    /// centres that no cube has.
    pub fn glance(&self, look: &Look, mirrored: bool, expected: &Cube) -> Option<Glance> {
        if look.faces.is_empty() {
            return None;
        }
        let judge = self.judge();
        let frame = Frame::of(judge.known.scheme.unwrap_or(Scheme::USUAL), mirrored);
        let work = Work::new();
        let looks = std::slice::from_ref(look);
        let state = Arrangement::of(expected);
        let mut ways = Vec::new();
        for association in likely_centres(judge, looks, &[frame], &work) {
            let centres = centre_labels(&association);
            let fit = Fit::new(judge, looks, &centres, &frame, &work);
            let rolls = best_rolls(&state, &association, &fit.evidence);
            let shown = state_labels(&state, &association, &rolls);
            let agreeing = agreeing(&fit.evidence[0], &shown[0], &centres[0]);
            let fit = Fit::new(judge, looks, &[agreeing], &frame, &work);
            ways.extend(all_rolls(&association, &fit.evidence[0]));
        }
        let best = ways
            .iter()
            .map(|w| w.prior)
            .fold(f64::NEG_INFINITY, f64::max);
        for way in &mut ways {
            way.prior -= best;
        }
        (!ways.is_empty()).then_some(Glance { ways })
    }
}

/// Labels of the centres and of the stickers that go with what is expected of them.
fn agreeing(evidence: &LookEvidence, shown: &[Labels], centres: &[Labels]) -> Vec<Labels> {
    let faces = evidence.faces.iter().zip(shown).zip(centres);
    faces
        .map(|((table, shown), centre)| {
            std::array::from_fn(|i| {
                let fits = |c: &usize| log_ratios(&table[i])[*c] > -AGAINST;
                centre[i].or(shown[i].filter(fits))
            })
        })
        .collect()
}

/// A reading of the centres with every choice of the rolls that it leaves open.
fn all_rolls(association: &Association, evidence: &LookEvidence) -> Vec<Way> {
    let mut ways = vec![Way {
        assigned: Vec::new(),
        stickers: Vec::new(),
        prior: f64::from(association.score),
    }];
    for (assignment, table) in association.assigned[0].iter().zip(&evidence.faces) {
        let Assignment { face, roll } = *assignment;
        let table = table.map(|weights| log_ratios(&weights));
        let table = if association.frame.mirrored {
            transposed(&table)
        } else {
            table
        };
        let rolls = roll.map_or(0..4, |roll| roll..roll + 1);
        ways = ways
            .iter()
            .flat_map(|way| {
                rolls.clone().map(move |roll| {
                    let mut way = way.clone();
                    way.assigned.push((face, roll));
                    let net = rolled(&table, roll);
                    let cell = |i: usize| (9 * face.index() + i) as u8;
                    way.stickers.extend((0..9).map(|i| (cell(i), net[i])));
                    way
                })
            })
            .collect();
    }
    ways
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cube::Turn;

    /// Half hidden, one face alone was told as a turn: of the 24 ways to take it one fitted some state.
    #[test]
    fn a_face_of_which_little_is_seen_speaks_for_no_state() {
        // Two stickers tell their colour, the rest and the centre nothing.
        let red = std::array::from_fn(|colour| if colour == 2 { 0.0 } else { -8.0 });
        let table = |i: usize| if i < 2 { red } else { [0.0; 6] };
        let ways = Face::ALL.into_iter().flat_map(|face| {
            (0..4u8).map(move |roll| {
                let net = rolled(&std::array::from_fn(table), roll);
                Way {
                    assigned: vec![(face, roll)],
                    stickers: (0..9)
                        .map(|i| ((9 * face.index() + i) as u8, net[i]))
                        .collect(),
                    prior: 0.0,
                }
            })
        });
        let glance = Glance {
            ways: ways.collect(),
        };
        let any = glance.score_of_any();
        for turn in Turn::ALL {
            let cube = Cube::solved().apply(turn);
            let score = glance.score(&painted(&cube)).0;
            assert!(score - any < 1.0, "{turn:?}: {score} {any}");
        }
    }
}
