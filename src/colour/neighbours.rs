//! The nearest samples of a profile, for telling a sample that does not belong to its colour.

use std::num::NonZero;

use kiddo::{ImmutableKdTree, SquaredEuclidean};
use palette::LinSrgb;

use crate::cube::Colour;

use super::scale::LogRgb;

/// Neighbours that are asked about a sample, besides itself.
const ASKED: NonZero<usize> = NonZero::new(6).expect("six is not zero");

/// Labelled samples in a tree that is built once. Trees that grow fail on many samples with a coordinate in common, as
/// the 8-bit values of a still camera have.
pub(super) struct Neighbours {
    tree: ImmutableKdTree<f64, 3>,
    colours: Vec<Colour>,
}

impl Neighbours {
    /// None of no samples.
    pub fn of(samples: &[(LinSrgb<f32>, Colour)]) -> Option<Neighbours> {
        let points: Vec<[f64; 3]> = samples.iter().map(|(s, _)| point(s)).collect();
        Some(Neighbours {
            tree: ImmutableKdTree::new_from_slice(&points).ok()?,
            colours: samples.iter().map(|(_, colour)| *colour).collect(),
        })
    }

    /// Whether most samples near this one, which is itself among them, bear another label: the rule by which Wilson
    /// (1972) edits the samples of a nearest-neighbour classifier.
    pub fn is_stray(&self, sample: &LinSrgb<f32>, colour: Colour) -> bool {
        let near = self
            .tree
            .query(&point(sample))
            .nearest_n::<SquaredEuclidean<f64>>(ASKED)
            .execute();
        let other = near
            .iter()
            .filter(|n| self.colours[n.item as usize] != colour)
            .count();
        2 * other > near.len()
    }
}

fn point(sample: &LinSrgb<f32>) -> [f64; 3] {
    LogRgb::of(sample.into_format()).0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn samples_that_are_all_the_same_do_no_harm() {
        // A still camera gives thousands of equal 8-bit samples, or samples equal in one channel.
        let mut samples = vec![(LinSrgb::new(0.5, 0.1, 0.1), Colour::Red); 3000];
        samples.extend((0..3000).map(|i| {
            (
                LinSrgb::new(0.5, 0.3 + 1e-4 * i as f32, 0.1),
                Colour::Orange,
            )
        }));
        let neighbours = Neighbours::of(&samples).unwrap();
        assert!(!neighbours.is_stray(&samples[0].0, Colour::Red));
        assert!(neighbours.is_stray(&samples[0].0, Colour::Orange));
        assert!(!neighbours.is_stray(&samples[5000].0, Colour::Orange));
    }

    #[test]
    fn a_lone_sample_belongs_to_its_colour() {
        let sample = LinSrgb::new(0.5, 0.1, 0.1);
        let neighbours = Neighbours::of(&[(sample, Colour::Red)]).unwrap();
        assert!(!neighbours.is_stray(&sample, Colour::Red));
    }
}
