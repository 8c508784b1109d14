//! How likely each colour is for a patch, under a light, and how the light and the colours follow from patches.
//!
//! A sticker is modelled after Shafer's dichromatic reflection (1985): `gain * (shade * colour + specular * white)`, plus
//! noise. The gains are those of the light on the face (von Kries); shade and specular part (gloss, stray light) differ from
//! sticker to sticker. So lightness counts little, hue counts much, and a paler hue costs less than another hue.

use palette::LinSrgb;

use crate::cube::Colour;
use crate::sight::Patch;

use super::gauss::{Spread, Vector, dot};
use super::light::{FACE_LEVEL, LightEstimate};
use super::profile::Profile;
use super::scale::{FLOOR, LogRgb, Seen, channels};

/// Standard deviation of the light's level from sticker to sticker of a face, natural log units: distance and angle to
/// near lamps, shadow of the hand.
const SHADE: f64 = 0.24;

/// Standard deviation of each channel apart, log units: the camera's colour processing, uneven plastic.
const TINT: f64 = 0.04;

/// Share of a light's change of tint that one gain a channel gets wrong, since spectra and plastics differ.
const METAMERISM: f64 = 0.15;

/// Standard deviation of each channel in linear units: black level, chroma subsampling, quantisation.
const NOISE: f64 = 0.006;

/// Share of the spread of a patch's pixels that its centre may be off by.
const SPREAD: f64 = 0.15;

/// Standard deviation of the colour of a highlight against the face's white, as a share of the highlight.
const SPECULAR_TINT: f64 = 0.35;

/// Kinds of specular light by strength: mean and standard deviation, in shares of the face's white. From the sheen of every
/// plastic to a lamp's mirror image.
const SPECULARS: [(f64, f64); 5] = [
    (0.0, 0.06),
    (0.04, 0.02),
    (0.12, 0.06),
    (0.36, 0.18),
    (1.1, 0.5),
];

/// How well the stickers of a face can be seen.
struct Clearness {
    /// Share of faces.
    share: f64,
    /// Share of stickers with each of [`SPECULARS`].
    specular_shares: [f64; SPECULARS.len()],
    /// Share of patches that show something else altogether, though all their pixels agree.
    stray: f64,
}

/// Most faces are clear. On one in ten a lamp's mirror image, a finger or a grid out of place troubles several stickers.
/// Judged by the log-loss over scans; half or twice these shares change little.
const CLEARNESSES: [Clearness; 2] = [
    Clearness {
        share: 0.9,
        specular_shares: [0.7315, 0.205, 0.061, 0.0018, 0.0007],
        stray: 0.0003,
    },
    Clearness {
        share: 0.1,
        specular_shares: [0.566, 0.158, 0.048, 0.164, 0.064],
        stray: 0.027,
    },
];

/// Share of patches of any face that show something else altogether.
const STRAY: f64 = 0.003;

/// Density of that something else: even over the scale's range of about 2.6 in each channel.
const STRAY_DENSITY: f64 = 1.0 / 17.6;

/// Degrees of freedom of the distribution about each colour: more would trust the far tail of a normal distribution.
const TAIL: f64 = 8.0;

/// Standard deviation of a profile's median colours in their own light, log units: nine stickers each, lit a little unlike each other.
const PROFILE: f64 = 0.01;

/// How well a profile's colours are known against each other.
struct Known {
    /// Standard deviation of a colour's level, log units, and of each channel besides.
    level: f64,
    tint: f64,
}

/// Each colour in pictures of its own, as of a solved cube: a camera sets exposure and white balance anew for each.
const APART: Known = Known {
    level: 0.3,
    tint: 0.1,
};

/// All colours in each picture, as of a scrambled cube.
const TOGETHER: Known = Known {
    level: 0.1,
    tint: 0.05,
};

/// Further standard deviation of a channel that was clipped at calibration.
const PROFILE_CLIPPED: f64 = 0.2;

/// Level from which a channel of a profile counts as clipped.
const CLIPPED: f64 = 0.95;

/// Least standard deviation of a colour estimated from a session, log units: its light is uncertain too.
const ADAPTED: f64 = 0.03;

/// By how much orange is yellower than red, green less blue as shares of red, where that begins to tell them apart.
const ORDER: f64 = 0.02;

/// Most that it can count (nats) against two colours that they lie the other way round. A judgement.
const UNORDERED: f64 = 6.0;

/// A patch with the colour that it is taken to have.
#[derive(Clone, Copy, Debug)]
pub struct Observation {
    pub patch: Patch,
    pub colour: Colour,
}

/// What the six colours look like under one light, with how sure that is.
#[derive(Clone, Debug)]
pub struct Model {
    /// In the order of [`Colour::ALL`].
    shades: [Shade; 6],
}

/// One colour under the model's light.
#[derive(Clone, Copy, Debug)]
struct Shade {
    mean: LinSrgb<f64>,
    /// Of the mean's natural logarithm.
    covariance: Spread,
    /// The same in the very light that the model is of.
    within: Spread,
}

/// What a patch should read.
struct Expected {
    at: LogRgb,
    /// How much of a shift of a channel's log gain arrives on the scale, 0 (black) to 1.
    response: Vector,
    /// As `response`, for the colour's own light alone, without the specular light.
    own: Vector,
    /// By how much the variance of a linear channel counts on the scale.
    steepness: Vector,
    covariance: Spread,
}

impl Expected {
    /// The covariance for a patch, with the noise of its pixels.
    fn covariance_for(&self, seen: &Seen) -> Spread {
        let noise = NOISE.powi(2) + (SPREAD * seen.noise).powi(2);
        let mut covariance = self.covariance;
        covariance.add(&Spread::diagonal(self.steepness), noise);
        covariance
    }
}

/// The six colours under one light, each with the kinds of specular light.
pub struct Under {
    colours: [[Expected; SPECULARS.len()]; 6],
}

impl Under {
    /// The natural logarithm of the likelihood of each colour for each of the patches of one face, in the order of
    /// [`Colour::ALL`], up to constants shared by the six. The light's doubt is part of it. No colour is ever ruled
    /// out: a patch under glare, clipped, or whose pixels disagree says little.
    ///
    /// What troubles one sticker often troubles its neighbours, so a patch is believed the less, the worse the
    /// others of its face can be seen.
    pub fn log_likelihoods<const N: usize>(&self, patches: &[Patch; N]) -> [[f64; 6]; N] {
        let likelihoods = patches.each_ref().map(|patch| self.likelihoods(patch));
        let evidence = |of_patch: &[f64; 6]| of_patch.iter().sum::<f64>().ln();
        let evidence = likelihoods.map(|by_clearness| by_clearness.each_ref().map(evidence));
        std::array::from_fn(|k| {
            let others = |i: usize| {
                let all: f64 = evidence.iter().map(|e| e[i]).sum();
                CLEARNESSES[i].share.ln() + all - evidence[k][i]
            };
            let poor = 1.0 / (1.0 + (others(0) - others(1)).exp());
            std::array::from_fn(|c| {
                let [if_clear, if_poor] = likelihoods[k].map(|likelihoods| likelihoods[c]);
                (if_clear * (1.0 - poor) + if_poor * poor).ln()
            })
        })
    }

    /// The likelihoods of the colours for a patch of a face that is as clear as each of [`CLEARNESSES`].
    fn likelihoods(&self, patch: &Patch) -> [[f64; 6]; CLEARNESSES.len()] {
        let seen = Seen::new(patch);
        let density = |expected: &Expected| {
            let covariance = expected.covariance_for(&seen);
            let off = seen.off(&expected.at);
            let far = dot(&off, &covariance.inverse().times(&off));
            student(far, covariance.determinant())
        };
        let densities = self
            .colours
            .each_ref()
            .map(|by_specular| by_specular.each_ref().map(density));
        CLEARNESSES.each_ref().map(|clearness| {
            let stray = stray_share(&seen, clearness.stray);
            densities.map(|by_specular| {
                let own: f64 = by_specular
                    .iter()
                    .zip(&clearness.specular_shares)
                    .map(|(d, share)| d * share)
                    .sum();
                (1.0 - stray) * own + stray * STRAY_DENSITY
            })
        })
    }
}

impl Model {
    /// The colours of a calibrated cube.
    pub fn from_profile(profile: &Profile) -> Model {
        let generic = Model::generic();
        let like = generic.light_of(profile);
        let shade = |colour| {
            let samples = profile.samples(colour);
            if samples.is_empty() {
                // Typical plastic, in the light that the other colours show.
                let mean = generic.colour(colour, &like);
                return Shade {
                    mean,
                    ..generic.shades[colour.index()]
                };
            }
            let mean = |channel: fn(&LinSrgb<f32>) -> f32| {
                median(samples.iter().map(|s| f64::from(channel(s))))
            };
            let mean = LinSrgb::new(mean(|s| s.red), mean(|s| s.green), mean(|s| s.blue));
            let known = if profile.is_together() {
                TOGETHER
            } else {
                APART
            };
            let within = |x: f64| {
                if x > CLIPPED {
                    PROFILE_CLIPPED
                } else {
                    PROFILE
                }
            };
            let deviation = channels(mean).map(|x| within(x).max(known.tint));
            let mut covariance = Spread::diagonal(deviation.map(|d| d * d));
            covariance.add_along(&[1.0; 3], known.level * known.level);
            let within = Spread::diagonal(channels(mean).map(|x| within(x).powi(2)));
            Shade {
                mean,
                covariance,
                within,
            }
        };
        Model {
            shades: Colour::ALL.map(shade),
        }
    }

    /// The light in which a profile was made, by its colours.
    fn light_of(&self, profile: &Profile) -> LightEstimate {
        let sampled = Colour::ALL.into_iter().flat_map(|colour| {
            let samples = profile.samples(colour).into_iter();
            samples.map(move |rgb| Observation {
                patch: Patch {
                    rgb,
                    spread: 0.02,
                    clipped: 0.0,
                    agreeing: 1.0,
                    covered: 0.0,
                },
                colour,
            })
        });
        self.fit_room(&sampled.collect::<Vec<_>>(), &LightEstimate::drift())
    }

    /// The colours of a cube never seen before, near the camera's white: typical plastics, broadly.
    ///
    /// The means are common pigmented plastics in linear sRGB, from memory; no picture was used.
    pub fn generic() -> Model {
        let shade = |red: f64, green: f64, blue: f64| {
            let mut covariance = Spread::even(0.25 * 0.25);
            covariance.add_along(&[1.0; 3], 0.2 * 0.2);
            Shade {
                mean: LinSrgb::new(red, green, blue),
                covariance,
                within: covariance,
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

    /// The light of one face from patches whose colours are known or guessed: the most likely gains given `prior`, and
    /// their remaining doubt. Patches that fit badly count little, so a few wrong guesses do no harm.
    pub fn fit(&self, observations: &[Observation], prior: &LightEstimate) -> LightEstimate {
        self.fit_with(observations, prior, 0.0)
    }

    /// As [`Model::fit`], for patches of several faces of one room, each of which may be lit at its own level.
    pub fn fit_room(&self, observations: &[Observation], prior: &LightEstimate) -> LightEstimate {
        self.fit_with(observations, prior, FACE_LEVEL)
    }

    /// The fit (Gauss-Newton, reweighted), with a further standard deviation of each patch's level.
    fn fit_with(
        &self,
        observations: &[Observation],
        prior: &LightEstimate,
        level: f64,
    ) -> LightEstimate {
        let mut light = *prior;
        let seen: Vec<(usize, Seen)> = observations
            .iter()
            .map(|o| (o.colour.index(), Seen::new(&o.patch)))
            .collect();
        for _ in 0..8 {
            let mut system = System::new(&prior.mean, &prior.covariance, &light.mean);
            let expected = Colour::ALL.map(|colour| {
                let mut expected = self.expected(colour, &light, SPECULARS[0]);
                expected
                    .covariance
                    .add_along(&expected.response, level * level);
                expected
            });
            for (colour, seen) in &seen {
                let expected = &expected[*colour];
                system.add(expected, seen, &expected.response);
            }
            let step;
            (step, light.covariance) = system.solve();
            add(&mut light.mean, &step);
            if dot(&step, &step) < 1e-8 {
                break;
            }
        }
        light
    }

    /// The colours as a session shows them: this model's, moved as far as the patches of each face under its light
    /// demand. With few patches, or patches of low weight, a colour stays where it was.
    pub fn adapt(&self, faces: &[(LightEstimate, Vec<Observation>)]) -> Model {
        let mut adapted = self.clone();
        for colour in Colour::ALL {
            let seen: Vec<(&LightEstimate, Vec<Seen>)> = faces
                .iter()
                .map(|(light, observations)| {
                    let own = observations.iter().filter(|o| o.colour == colour);
                    (light, own.map(|o| Seen::new(&o.patch)).collect())
                })
                .filter(|(_, seen): &(_, Vec<Seen>)| !seen.is_empty())
                .collect();
            let prior = self.shades[colour.index()];
            let before = channels(prior.mean).map(|x| x.max(1e-4).ln());
            let mut now = before;
            let mut covariance = prior.covariance;
            for _ in 0..4 {
                let mut system = System::new(&before, &prior.covariance, &now);
                for (light, seen) in &seen {
                    let mut expected = adapted.expected(colour, light, SPECULARS[0]);
                    expected.covariance.add(
                        &adapted.shades[colour.index()]
                            .covariance
                            .scaled(&expected.own),
                        -1.0,
                    );
                    expected
                        .covariance
                        .add(&light.covariance.scaled(&expected.response), 1.0);
                    for seen in seen {
                        system.add(&expected, seen, &expected.own);
                    }
                }
                let step;
                (step, covariance) = system.solve();
                add(&mut now, &step);
                let [red, green, blue] = now.map(f64::exp);
                adapted.shades[colour.index()].mean = LinSrgb::new(red, green, blue);
            }
            covariance.add(&Spread::even(ADAPTED * ADAPTED), 1.0);
            adapted.shades[colour.index()].covariance = covariance;
        }
        adapted
    }

    /// The natural logarithm of how well colours adapted from `prior` could be expected before: their distance from the
    /// prior's, the share of its room that they kept, and whether orange is yellower than red. As
    /// [`LightEstimate::log_occam_factor`], for colours.
    pub fn log_occam_factor(&self, prior: &Model) -> f64 {
        let one = |(now, prior): (&Shade, &Shade)| {
            let [a, b] = [now, prior].map(|s| channels(s.mean).map(|x| x.max(1e-4).ln()));
            let off = [0, 1, 2].map(|c| a[c] - b[c]);
            let far = dot(&off, &prior.covariance.inverse().times(&off));
            let kept = now.covariance.determinant() / prior.covariance.determinant();
            0.5 * (kept.min(1.0).ln() - far)
        };
        self.shades.iter().zip(&prior.shades).map(one).sum::<f64>() + self.order()
    }

    /// The natural logarithm of how likely red and orange are not each other's names. However pale the plastic and warm the
    /// lamp, orange lies between red and yellow; a mirrored cube with the two exchanged would be a legal one.
    fn order(&self) -> f64 {
        let yellowness = |colour: Colour| {
            let mean = self.shades[colour.index()].mean;
            (mean.green - mean.blue) / mean.red.max(1e-4)
        };
        let ahead = (yellowness(Colour::Orange) - yellowness(Colour::Red)) / ORDER;
        -(-ahead).exp().ln_1p().min(UNORDERED)
    }

    /// The colours as they are in the model's own light, whatever is known of them in another.
    pub(super) fn in_its_light(&self) -> Model {
        Model {
            shades: self.shades.map(|shade| Shade {
                covariance: shade.within,
                ..shade
            }),
        }
    }

    /// The natural logarithm of the likelihood of each colour for one patch, as [`Under::log_likelihoods`].
    pub fn log_likelihoods(&self, patch: &Patch, light: &LightEstimate) -> [f64; 6] {
        let [log_likelihoods] = self.under(light).log_likelihoods(&[*patch]);
        log_likelihoods
    }

    /// The six colours under a light.
    pub fn under(&self, light: &LightEstimate) -> Under {
        Under {
            colours: Colour::ALL.map(|colour| {
                SPECULARS.map(|specular| {
                    let mut expected = self.expected(colour, light, specular);
                    expected
                        .covariance
                        .add(&light.covariance.scaled(&expected.response), 1.0);
                    expected
                })
            }),
        }
    }

    /// The linear colour that a sticker should read under this light, for drawing and for messages.
    pub fn colour(&self, colour: Colour, light: &LightEstimate) -> LinSrgb<f64> {
        let [red, green, blue] = light.gains();
        self.shades[colour.index()].mean * LinSrgb::new(red, green, blue)
    }

    /// What a patch of this colour should read under this light and this much specular light, and how far it may stray from that,
    /// the light's doubt and the noise of its pixels apart.
    fn expected(
        &self,
        colour: Colour,
        light: &LightEstimate,
        (specular, specular_deviation): (f64, f64),
    ) -> Expected {
        let body = channels(self.colour(colour, light));
        let white = channels(self.colour(Colour::White, light));
        let full = [0, 1, 2].map(|c| body[c] + specular * white[c]);
        let slope = |x: Vector| [0, 1, 2].map(|c| x[c] / (full[c] + FLOOR));
        let (response, own, towards_white) = (slope(full), slope(body), slope(white));
        let tint = TINT.powi(2) + METAMERISM.powi(2) * light.tint_squared();
        let mut covariance = Spread::diagonal([0, 1, 2].map(|c| {
            tint * own[c].powi(2) + (SPECULAR_TINT * specular * towards_white[c]).powi(2)
        }));
        covariance.add_along(&own, SHADE * SHADE);
        covariance.add_along(&towards_white, specular_deviation * specular_deviation);
        covariance.add(&self.shades[colour.index()].covariance.scaled(&own), 1.0);
        let [red, green, blue] = full;
        Expected {
            at: LogRgb::of(LinSrgb::new(red, green, blue)),
            response,
            own,
            steepness: full.map(|x| (x + FLOOR).powi(-2)),
            covariance,
        }
    }
}

/// The normal equations of one step of a fit of three unknowns with a normal prior.
struct System {
    precision: Spread,
    pull: Vector,
}

impl System {
    fn new(prior: &Vector, covariance: &Spread, now: &Vector) -> System {
        let precision = covariance.inverse();
        System {
            pull: precision.times(&[0, 1, 2].map(|c| prior[c] - now[c])),
            precision,
        }
    }

    /// Adds a patch that the unknowns move by `response`; the further off it lies, the less it counts.
    fn add(&mut self, expected: &Expected, seen: &Seen, response: &Vector) {
        let off = seen.off(&expected.at);
        let inverse = expected.covariance_for(seen).inverse();
        let push = inverse.times(&off);
        let trust = (1.0 - stray_share(seen, STRAY)) * (TAIL + 3.0) / (TAIL + dot(&off, &push));
        self.precision.add(&inverse.scaled(response), trust);
        for c in 0..3 {
            self.pull[c] += trust * push[c] * response[c];
        }
    }

    /// The step to take, at most one unit in each, and the unknowns' remaining covariance.
    fn solve(&self) -> (Vector, Spread) {
        let covariance = self.precision.inverse();
        (
            covariance.times(&self.pull).map(|s| s.clamp(-1.0, 1.0)),
            covariance,
        )
    }
}

/// The chance that a patch shows something else than its sticker's colour: certain when none of its pixels agree, and
/// `least` while most of them do, since then the densest cloud is the sticker's own.
fn stray_share(seen: &Seen, least: f64) -> f64 {
    least + (1.0 - least) * seen.lost.powi(3)
}

/// Density of the three-dimensional Student distribution with [`TAIL`] degrees of freedom, at the squared Mahalanobis
/// distance `far`, for a scale matrix of the given determinant.
fn student(far: f64, determinant: f64) -> f64 {
    // Γ(11/2) / (Γ(4) (8π)^(3/2)) for eight degrees of freedom and three dimensions.
    const NORMALISER: f64 = 0.069_238_193;
    let x = 1.0 + far / TAIL;
    // To the power of (TAIL + 3) / 2.
    NORMALISER / (determinant * x).sqrt() / x.powi(5)
}

fn add(to: &mut Vector, step: &Vector) {
    for (x, s) in to.iter_mut().zip(step) {
        *x += s;
    }
}

/// The centre value; 0 of none.
fn median(values: impl Iterator<Item = f64>) -> f64 {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    match values.len() {
        0 => 0.0,
        n => (values[(n - 1) / 2] + values[n / 2]) / 2.0,
    }
}

#[cfg(test)]
mod tests;
