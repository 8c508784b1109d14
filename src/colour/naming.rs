//! Which of six patches is which colour, when each colour is there once: the centres of a cube, or its solved faces.

use crate::cube::Colour;
use crate::sight::Patch;

use super::light::LightEstimate;
use super::model::{Model, Observation};

/// Namings that are fitted with their own light; the others are left out by what each patch alone says of them.
const FITTED: usize = 40;

/// One way to name some patches, each with another colour.
#[derive(Clone, Debug)]
pub struct Naming {
    /// The colours in the order of the patches.
    pub colours: Vec<Colour>,
    /// The light of the room that suits this naming best.
    pub light: LightEstimate,
    /// Natural logarithm of its likelihood, up to a constant shared by all namings of the same patches.
    pub score: f64,
}

impl Model {
    /// The most likely ways to name up to six patches of different colours, best first. Each may lie on a face of its
    /// own, lit at its own level, in one room whose light is near `prior`. None for no patches, or for more than six.
    pub fn name_centres(&self, patches: &[Patch], prior: &LightEstimate) -> Vec<Naming> {
        if patches.is_empty() || patches.len() > Colour::ALL.len() {
            return Vec::new();
        }
        let face = prior.for_another_face();
        let unary: Vec<[f64; 6]> = patches
            .iter()
            .map(|p| self.log_likelihoods(p, &face))
            .collect();
        let mut namings = Vec::new();
        assign(&unary, &mut Vec::new(), 0.0, &mut namings);
        namings.sort_by(|a, b| b.1.total_cmp(&a.1));
        namings.truncate(FITTED);
        let mut fitted: Vec<Naming> = namings
            .into_iter()
            .map(|(colours, _)| self.suited(patches, colours, prior))
            .collect();
        fitted.sort_by(|a, b| b.score.total_cmp(&a.score));
        fitted
    }

    /// A naming with the light that suits it.
    fn suited(&self, patches: &[Patch], colours: Vec<Colour>, prior: &LightEstimate) -> Naming {
        let stickers = patches.iter().copied().zip(colours.iter().copied());
        let observations: Vec<Observation> = stickers
            .map(|(patch, colour)| Observation { patch, colour })
            .collect();
        let light = self.fit_room(&observations, prior);
        let face = light.at_any_level();
        let fits: f64 = observations
            .iter()
            .map(|o| self.log_likelihoods(&o.patch, &face)[o.colour.index()])
            .sum();
        Naming {
            score: fits + light.log_density_under(prior),
            colours,
            light,
        }
    }
}

/// Every way to give the patches from `taken.len()` on colours that are not taken yet.
fn assign(
    unary: &[[f64; 6]],
    taken: &mut Vec<Colour>,
    score: f64,
    into: &mut Vec<(Vec<Colour>, f64)>,
) {
    let Some(here) = unary.get(taken.len()) else {
        into.push((taken.clone(), score));
        return;
    };
    for colour in Colour::ALL {
        if !taken.contains(&colour) {
            taken.push(colour);
            assign(unary, taken, score + here[colour.index()], into);
            taken.pop();
        }
    }
}
