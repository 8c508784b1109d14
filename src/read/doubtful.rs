//! A face of which one picture alone shows too little, and for which the cube's other faces vouch.
//!
//! A highlight, a finger or blur can leave so little of a face that it might be anything in rows and columns. But where the
//! other five faces were read, little is left open about the sixth: something else would hardly have nine colours that make
//! a legal cube with theirs.

use super::evidence::{Table, levelled};
use super::explain::Explanation;
use super::relight::Labels;

/// Ways in which what is no face might still go with the other five: four rolls, and the orders of the four edges around it.
/// Its corners are known from their other two stickers.
const WAYS: f64 = 4.0 * 24.0;

/// Odds that what looks most like a face, in a picture meant to show one, is one. A judgement: in 11 of 900 drawn cubes that were
/// missed something was taken for a face at first, and each time it was one.
const ODDS: f64 = 9.0;

/// Natural log-odds that one face of a look is the cube's, by its stickers.
pub fn vouched(explanation: &Explanation, look: usize, face: usize) -> f64 {
    let table = &explanation.evidence[look].faces[face];
    let labels = &explanation.labels[look][face];
    better_than_any(table, labels) + (ODDS / WAYS).ln()
}

/// How much better (nats) stickers go with the colours that a state gives them than any would, each colour as likely as another. A
/// sticker of which nothing is seen says nothing.
fn better_than_any(table: &Table, labels: &Labels) -> f64 {
    let stickers = table.iter().zip(labels).filter_map(|(weights, label)| {
        let weights = levelled(weights).map(f64::from);
        let all: f64 = weights.iter().map(|w| w.exp()).sum();
        label.map(|own| weights[own] - all.ln() + (weights.len() as f64).ln())
    });
    stickers.sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::SURE;

    /// Nine stickers that are to be red, of which so many clearly are and so many clearly are white.
    fn vouched(red: usize, white: usize) -> f64 {
        let sticker = |i: usize| {
            let mut weights = [0.0; 6];
            let seen = if i < red {
                Some(1)
            } else if i < red + white {
                Some(0)
            } else {
                None
            };
            if let Some(colour) = seen {
                weights = [-9.0; 6];
                weights[colour] = 0.0;
            }
            weights
        };
        better_than_any(&std::array::from_fn(sticker), &[Some(1); 9]) + (ODDS / WAYS).ln()
    }

    #[test]
    fn a_face_is_vouched_for_by_most_of_its_stickers() {
        // With two hidden and one more unseen it still is; with half of it unseen, or one of another colour, it is not.
        assert!(vouched(9, 0) > SURE && vouched(6, 0) > SURE);
        assert!(vouched(5, 0) < SURE && vouched(8, 1) < SURE && vouched(0, 9) < 0.0);
        assert!((vouched(0, 0) - (ODDS / WAYS).ln()).abs() < 1e-9);
    }
}
