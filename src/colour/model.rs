//! How likely each colour is for a patch, under a light, and how the light follows from known colours.
//!
//! A sticker's linear colour is modelled as `gain * colour * shade + haze * white + noise`: the light's gains are those
//! of the face, shade and haze (gloss, stray light) differ from sticker to sticker. All of it is judged on the scale
//! `ln(x + FLOOR)` of each channel, where shade and gains are shifts and dark channels keep their sensor noise.

use crate::cube::Colour;
use crate::sight::Patch;

use super::gauss::{Spread, Vector, dot};
use super::light::{FACE_LEVEL, Relight};
use super::profile::Profile;

/// Linear level below which a channel says little: black level, quantisation and gamut clipping live there.
const FLOOR: f64 = 0.02;

/// Standard deviation of the light from sticker to sticker of a face, natural log units.
const SHADE: f64 = 0.12;

/// Standard deviation of gloss and stray light, as a fraction of the face's white.
const HAZE: f64 = 0.012;

/// Standard deviation of each channel apart: the camera's colour processing, uneven plastic.
const TINT: f64 = 0.05;

/// Standard deviation of each channel in linear units: black level, chroma subsampling, quantisation.
const NOISE: f64 = 0.006;

/// Share of the tint of a changed light that von Kries' rule gets wrong, since spectra and plastics differ.
const METAMERISM: f64 = 0.2;

/// Degrees of freedom of the heavy-tailed distribution about each colour.
const TAIL: f64 = 4.0;

/// Share of good patches that show something else altogether.
const STRAY: f64 = 0.003;

/// Density of that something else: even over the scale's range of about 3.9 in each channel.
const STRAY_DENSITY: f64 = 1.0 / 60.0;

/// A patch with the colour that it is taken to have, and how far to trust that, 0 to 1.
#[derive(Clone, Copy, Debug)]
pub struct Observation {
    pub patch: Patch,
    pub colour: Colour,
    pub weight: f64,
}

/// What the six colours look like under one light, with how sure that is.
#[derive(Clone, Debug)]
pub struct Model {
    shades: [Shade; 6],
}

/// One colour under the model's light.
#[derive(Clone, Copy, Debug)]
struct Shade {
    /// Linear rgb.
    middle: Vector,
    /// Of the middle, on the log scale.
    covariance: Spread,
}

/// A prediction for one colour under one light, on the log scale.
struct Expected {
    at: Vector,
    /// How much of a channel's log gain arrives on the scale: 1 in the light, less near the floor, 0 when clipped.
    response: Vector,
    covariance: Spread,
}

impl Model {
    /// The colours of a calibrated cube.
    pub fn from_profile(profile: &Profile) -> Model {
        Model {
            shades: Colour::ALL.map(|colour| {
                let samples = profile.samples(colour);
                let middle = [0, 1, 2].map(|c| median(samples.iter().map(|s| component(s, c))));
                Shade {
                    middle,
                    covariance: Spread::even(0.02 * 0.02),
                }
            }),
        }
    }

    /// The colours of an unknown cube under a light near the camera's white: typical plastics, broadly.
    ///
    /// Source: linear values of common pigmented plastic, from memory; no picture was used.
    pub fn generic() -> Model {
        let shade = |red: f64, green: f64, blue: f64| {
            let mut covariance = Spread::even(0.25 * 0.25);
            covariance.add_along(&[1.0; 3], 0.2 * 0.2);
            Shade {
                middle: [red, green, blue],
                covariance,
            }
        };
        Model {
            shades: [
                shade(0.75, 0.75, 0.75),
                shade(0.50, 0.05, 0.06),
                shade(0.08, 0.37, 0.10),
                shade(0.78, 0.65, 0.05),
                shade(0.72, 0.20, 0.04),
                shade(0.05, 0.10, 0.40),
            ],
        }
    }

    /// The light of a face (or of all faces of a room together) from patches whose colours are known or guessed: the
    /// most likely gains given `prior`, and their remaining doubt. Patches that fit badly count little, so a few wrong
    /// guesses do no harm.
    pub fn fit(&self, observations: &[Observation], prior: &Relight) -> Relight {
        self.fit_with(observations, prior, 0.0)
    }

    /// As [`Model::fit`], for patches of several faces of one room: each may be lit at its own level.
    pub fn fit_room(&self, observations: &[Observation], prior: &Relight) -> Relight {
        self.fit_with(observations, prior, FACE_LEVEL)
    }

    /// The fit, with a further standard deviation of each patch's level.
    fn fit_with(&self, observations: &[Observation], prior: &Relight, level: f64) -> Relight {
        let prior_precision = prior.covariance.inverse();
        let mut light = *prior;
        for _ in 0..8 {
            let mut precision = prior_precision;
            let mut pull = prior_precision.times(&subtract(&prior.mean, &light.mean));
            for o in observations {
                let mut expected = self.expected(o.colour, &light, &o.patch);
                expected
                    .covariance
                    .add_along(&expected.response, level * level);
                let inverse = expected.covariance.inverse();
                let off = subtract(&scale_of(&o.patch), &expected.at);
                let far = dot(&off, &inverse.times(&off));
                let trust = o.weight * (1.0 - stray_share(&o.patch)) * (TAIL + 3.0) / (TAIL + far);
                precision.add(&inverse.scaled(&expected.response), trust);
                let push = inverse.times(&off);
                for ((p, x), r) in pull.iter_mut().zip(push).zip(expected.response) {
                    *p += trust * x * r;
                }
            }
            light.covariance = precision.inverse();
            let step = light.covariance.times(&pull);
            for (m, s) in light.mean.iter_mut().zip(step) {
                *m += s.clamp(-1.0, 1.0);
            }
            if dot(&step, &step) < 1e-8 {
                break;
            }
        }
        light
    }

    /// The natural logarithm of the likelihood of each colour, in the order of [`Colour::ALL`], up to a constant shared
    /// by the six. The light's doubt is part of it.
    pub fn log_likelihoods(&self, patch: &Patch, light: &Relight) -> [f64; 6] {
        let seen = scale_of(patch);
        let stray = stray_share(patch);
        Colour::ALL.map(|colour| {
            let mut expected = self.expected(colour, light, patch);
            expected
                .covariance
                .add(&light.covariance.scaled(&expected.response), 1.0);
            let off = subtract(&seen, &expected.at);
            let far = dot(&off, &expected.covariance.inverse().times(&off));
            ((1.0 - stray) * student(far, expected.covariance.determinant())
                + stray * STRAY_DENSITY)
                .ln()
        })
    }

    /// What a patch of this colour should read under this light, and how far it may stray, the light's doubt apart.
    fn expected(&self, colour: Colour, light: &Relight, patch: &Patch) -> Expected {
        let shade = &self.shades[colour.index()];
        let white = &self.shades[Colour::White.index()].middle;
        let gains = light.gains();
        let full = [0, 1, 2].map(|c| shade.middle[c] * gains[c]);
        let level = full.map(|x| x.clamp(0.0, 1.0));
        let share = |x: Vector| [0, 1, 2].map(|c| x[c] / (level[c] + FLOOR));
        let response = [0, 1, 2].map(|c| {
            if full[c] < 1.0 {
                level[c] / (level[c] + FLOOR)
            } else {
                0.0
            }
        });
        let haze = share([0, 1, 2].map(|c| white[c] * gains[c]));
        let tint = TINT.hypot(METAMERISM * light.tint());
        let brightest = f64::from(patch.rgb.red.max(patch.rgb.green).max(patch.rgb.blue));
        let noise = NOISE.hypot(f64::from(patch.spread) * brightest * 0.5);
        let mut covariance = Spread::diagonal(
            [0, 1, 2].map(|c| (tint * response[c]).powi(2) + (noise / (level[c] + FLOOR)).powi(2)),
        );
        covariance.add_along(&response, SHADE * SHADE);
        covariance.add_along(&haze, HAZE * HAZE);
        covariance.add(&shade.covariance.scaled(&response), 1.0);
        Expected {
            at: level.map(|x| (x + FLOOR).ln()),
            response,
            covariance,
        }
    }
}

/// Where a patch lies on the log scale.
fn scale_of(patch: &Patch) -> Vector {
    [patch.rgb.red, patch.rgb.green, patch.rgb.blue]
        .map(|x| (f64::from(x).clamp(0.0, 1.0) + FLOOR).ln())
}

/// The chance that a patch shows something else than its sticker's colour.
fn stray_share(patch: &Patch) -> f64 {
    let lost = f64::from(1.0 - patch.agreeing).clamp(0.0, 1.0);
    (STRAY + 0.5 * lost * lost).min(1.0)
}

/// Density of the three-dimensional Student distribution with [`TAIL`] degrees of freedom, at the squared Mahalanobis
/// distance `far`, for a scale matrix of the given determinant.
fn student(far: f64, determinant: f64) -> f64 {
    // Γ(7/2) / (Γ(2) (4π)^(3/2)) for four degrees of freedom and three dimensions.
    const NORMALISER: f64 = 3.323_350_970_447_843 / 44.546_623_974_653_66;
    NORMALISER / determinant.sqrt() * (1.0 + far / TAIL).powf(-(TAIL + 3.0) / 2.0)
}

fn subtract(a: &Vector, b: &Vector) -> Vector {
    [0, 1, 2].map(|i| a[i] - b[i])
}

fn component(s: &palette::LinSrgb<f32>, channel: usize) -> f64 {
    f64::from([s.red, s.green, s.blue][channel])
}

fn median(values: impl Iterator<Item = f64>) -> f64 {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    match values.len() {
        0 => 0.0,
        n => (values[(n - 1) / 2] + values[n / 2]) / 2.0,
    }
}
