//! The change of light between a profile and a face: what is believed of it, and how sure.

use super::gauss::{Spread, Vector, dot};

/// Standard deviation, in natural log units, of a lamp's or the white balance's change since calibration, for each
/// channel against the others. From lamp light (about 2,900 K) to daylight (6,500 K) the red-to-blue ratio changes by a
/// factor near 3, log 1.1, most of which a camera's own balance takes back.
const DRIFT_TINT: f64 = 0.3;

/// The same for all channels together: exposure and distance to the lamp.
const DRIFT_LEVEL: f64 = 0.5;

/// Between two faces of one cube in one room: a window, a lamp or a screen on each side changes the tint...
const FACE_TINT: f64 = 0.22;

/// ...and the angle to the lamp changes the level much.
pub(super) const FACE_LEVEL: f64 = 0.4;

/// A belief about how the light on a face differs from the profile's: a normal distribution over the natural logarithm
/// of the gain of each linear channel (von Kries). Prior and result of [`Model::fit`](super::Model::fit) alike.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LightEstimate {
    pub(super) mean: Vector,
    pub(super) covariance: Spread,
}

impl LightEstimate {
    /// Before anything is seen: about the profile's light, with the drift of lamp, white balance and exposure that is
    /// usual between two evenings.
    pub fn drift() -> LightEstimate {
        LightEstimate {
            mean: [0.0; 3],
            covariance: spread_of(DRIFT_LEVEL, DRIFT_TINT),
        }
    }

    /// Exactly the profile's light.
    pub fn none() -> LightEstimate {
        LightEstimate {
            mean: [0.0; 3],
            covariance: Spread::even(1e-9),
        }
    }

    /// What this belief about one face, or about all faces seen so far, says of another face in the same room: about the
    /// same tint, another level.
    pub fn for_another_face(&self) -> LightEstimate {
        let mut covariance = self.covariance;
        covariance.add(&spread_of(FACE_LEVEL, FACE_TINT), 1.0);
        LightEstimate {
            mean: self.mean,
            covariance,
        }
    }

    /// The same light, but at any level that a face may be lit at.
    pub(super) fn at_any_level(&self) -> LightEstimate {
        LightEstimate {
            mean: self.mean,
            covariance: spread_of(FACE_LEVEL, FACE_TINT),
        }
    }

    /// The change of tint alone.
    pub(super) fn at_level_zero(&self) -> LightEstimate {
        let level = self.mean.iter().sum::<f64>() / 3.0;
        LightEstimate {
            mean: self.mean.map(|g| g - level),
            covariance: self.covariance,
        }
    }

    /// Natural logarithm of how likely `prior` held these gains to be, relative to its mean.
    pub(super) fn log_density_under(&self, prior: &LightEstimate) -> f64 {
        let off = [0, 1, 2].map(|c| self.mean[c] - prior.mean[c]);
        -0.5 * dot(&off, &prior.covariance.inverse().times(&off))
    }

    /// The natural logarithm of how well a light fitted from `prior` could be expected before: its distance from the
    /// prior, and the share of the prior's room that it kept (Laplace's approximation of the evidence). With it, fits
    /// to differently labelled patches can be compared.
    pub fn log_occam_factor(&self, prior: &LightEstimate) -> f64 {
        let off = [0, 1, 2].map(|c| self.mean[c] - prior.mean[c]);
        let far = dot(&off, &prior.covariance.inverse().times(&off));
        let kept = self.covariance.determinant() / prior.covariance.determinant();
        0.5 * (kept.min(1.0).ln() - far)
    }

    /// The most likely gain of the linear red, green and blue channel against the profile.
    pub fn gains(&self) -> [f64; 3] {
        self.mean.map(f64::exp)
    }

    /// How far the balance of the channels, level apart, is from the profile's: its square, in natural log units. A cube's
    /// colours keep to von Kries' rule only roughly when the lamp's spectrum changes, the less the further it has moved.
    pub(super) fn tint_squared(&self) -> f64 {
        let tint = self.at_level_zero().mean;
        dot(&tint, &tint)
    }
}

fn spread_of(level: f64, tint: f64) -> Spread {
    let mut covariance = Spread::even(tint * tint);
    covariance.add_along(&[1.0; 3], level * level);
    covariance
}
