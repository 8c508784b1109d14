//! Stickers that speak against the best state: something lies on them, or the cube is not what it is taken for.

use super::evidence::{STICKER_CAP, levelled, rolled, shared_weight, transposed};
use super::explain::Explanation;
use crate::cube::{Colour, Face, Fault, Net};

/// A sticker of the net that contradicts the state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Misfit {
    /// As in `places`.
    pub cell: usize,
    /// The colour it seems to have.
    pub seen: usize,
    /// Nats by which that colour explains it better.
    pub loss: f32,
    /// Looks that say so.
    pub looks: usize,
}

/// Nats from which a sticker contradicts. Right readings of a hard scan reach 5 at times.
const CONTRADICTION: f32 = 7.5;

/// The weights of every cell of the net, summed over looks, and how many looks show it.
fn net_weights(explanation: &Explanation) -> ([[f32; 6]; 54], [usize; 6]) {
    let mut sums = [[0.0; 6]; 54];
    let mut counts = [0; 6];
    let supposition = &explanation.supposition;
    for ((look, placings), rolls) in explanation
        .evidence
        .iter()
        .zip(&supposition.placed)
        .zip(&explanation.rolls)
    {
        for ((table, placing), &roll) in look.faces.iter().zip(placings).zip(rolls) {
            let mut table = table.map(|w| levelled(&w));
            if supposition.mirrored {
                table = transposed(&table);
            }
            let face = placing.face.index();
            counts[face] += 1;
            for (i, weights) in rolled(&table, roll).iter().enumerate() {
                for (sum, w) in sums[9 * face + i].iter_mut().zip(weights) {
                    *sum += w;
                }
            }
        }
    }
    (sums, counts)
}

/// All stickers that contradict the state, and the loss of all stickers together.
pub fn misfits(explanation: &Explanation) -> (Vec<Misfit>, f32) {
    let colours = explanation.state.colours();
    let (sums, counts) = net_weights(explanation);
    let mut all = 0.0;
    let mut found = Vec::new();
    for (cell, weights) in sums.iter().enumerate() {
        let looks = counts[cell / 9];
        let seen = likeliest(weights);
        let loss = (weights[seen] - weights[colours[cell]]) * shared_weight(looks);
        all += loss.min(STICKER_CAP);
        if loss > CONTRADICTION {
            found.push(Misfit {
                cell,
                seen,
                loss,
                looks,
            });
        }
    }
    (found, all)
}

/// What the stickers show when those that contradict are taken at their word.
pub fn faults_as_seen(explanation: &Explanation, misfits: &[Misfit]) -> Vec<Fault> {
    let mut colours = explanation.state.colours();
    for misfit in misfits {
        colours[misfit.cell] = misfit.seen;
    }
    let net = Net::new(Face::ALL.map(|face| {
        std::array::from_fn(|r| {
            std::array::from_fn(|c| Colour::ALL[colours[9 * face.index() + 3 * r + c]])
        })
    }));
    match net {
        Ok(net) => net.to_cube().err().unwrap_or_default(),
        Err(_) => Vec::new(),
    }
}

fn likeliest(weights: &[f32; 6]) -> usize {
    (0..6).fold(
        0,
        |best, c| if weights[c] > weights[best] { c } else { best },
    )
}
