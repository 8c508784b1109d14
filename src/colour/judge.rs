//! Judging a light before a session: which colours it brings close, what that will cost, and what to do about it.

use palette::LinSrgb;

use crate::cube::Colour;
use crate::sight::Patch;

use super::difference::{difference, hue_difference};
use super::light::LightEstimate;
use super::model::Model;
use super::scale::channels;

/// CIEDE2000 to the profile's light below which a light counts as the same, level apart. Of 32 rendered scans of two corners in their
/// profile's light the farthest came out at 7.5, as a lamp does not light all faces alike. A change that is nearer goes unsaid and costs
/// no reading: the light is fitted to each.
const LIKE: f64 = 8.0;

/// CIEDE2000 between two colours, at one luminance, below which a person should do something.
const CLOSE: f64 = 12.0;

/// Expected share of wrong single stickers above which a person should do something: one in a cube or so.
const DOUBTFUL: f64 = 0.03;

/// Level of a colour's brightest channel below which it is too dark, and above which it clips.
const DARK: f64 = 0.12;
const BRIGHT: f64 = 0.97;

/// Ratio of white's strongest to weakest channel that a camera's white balance leaves only under a coloured light.
const TINTED: f64 = 1.9;

/// What a person may do about a light, the most helpful first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Remedy {
    /// The picture is too dark.
    AddLight,
    /// Colours clip.
    Dim,
    /// The lamp's light is reddish or yellowish.
    Cooler,
    /// The lamp's or the screen's light is bluish.
    Warmer,
    /// Colours are close though the light is neutral: reflections, or poor lamps.
    Turn,
}

impl Remedy {
    /// A sentence in the imperative.
    pub fn say(self) -> &'static str {
        match self {
            Remedy::AddLight => "It is dark: add a lamp, or go nearer to the window.",
            Remedy::Dim => "It is too bright: turn the lamp away, or close the blind a little.",
            Remedy::Cooler => "The light is warm: use daylight or a whiter lamp.",
            Remedy::Warmer => {
                "The light is bluish: lower the screen's brightness, or turn on a lamp."
            }
            Remedy::Turn => {
                "Turn the lamp so that it does not shine back from the cube, and close the blind if the sun is on it."
            }
        }
    }
}

/// How well a light lets the six colours be told apart.
#[derive(Clone, Debug, PartialEq)]
pub struct LightReport {
    /// The two colours that are closest, and their CIEDE2000 at one luminance.
    pub closest: (Colour, Colour),
    pub difference: f64,
    /// Expected share, 0 to 1, of stickers whose colour is wrong when each is judged alone. The whole cube taken together
    /// puts most of them right.
    pub doubtful: f64,
    /// What to do; nothing in a good light.
    pub remedies: Vec<Remedy>,
}

impl LightReport {
    /// The report in a sentence or a few.
    pub fn say(&self) -> String {
        let (one, other) = (self.closest.0.name(), self.closest.1.name());
        let percent = (100.0 * self.doubtful).ceil();
        let mut text = if self.remedies.is_empty() {
            format!(
                "The light is good: all six colours are well apart ({one} and {other} are closest)."
            )
        } else if self.difference < CLOSE || self.doubtful > DOUBTFUL {
            format!(
                "In this light {one} and {other} are close: {percent} % of the stickers will be doubtful."
            )
        } else {
            "The colours are well apart, but the light could be better.".to_owned()
        };
        for remedy in &self.remedies {
            text.push(' ');
            text.push_str(remedy.say());
        }
        text
    }
}

impl Model {
    /// How well the six colours can be told apart under this light.
    pub fn judge_light(&self, light: &LightEstimate) -> LightReport {
        let colours = Colour::ALL.map(|c| self.colour(c, light));
        let mut closest = (Colour::White, Colour::Red);
        let mut least = f64::INFINITY;
        for (i, a) in colours.iter().enumerate() {
            for (j, b) in colours.iter().enumerate().skip(i + 1) {
                let d = hue_difference(*a, *b);
                if d < least {
                    (closest, least) = ((Colour::ALL[i], Colour::ALL[j]), d);
                }
            }
        }
        let doubtful = self.in_its_light().doubtful(light);
        LightReport {
            closest,
            difference: least,
            doubtful,
            remedies: remedies(&colours, least < CLOSE || doubtful > DOUBTFUL),
        }
    }

    /// Mean CIEDE2000 over the six colours between this light and the model's own, at the same level.
    pub fn light_distance(&self, light: &LightEstimate) -> f64 {
        let level = light.at_level_zero();
        let total: f64 = Colour::ALL
            .into_iter()
            .map(|c| {
                difference(
                    self.colour(c, &LightEstimate::none()),
                    self.colour(c, &level),
                )
            })
            .sum();
        total / 6.0
    }

    /// Whether this light is much the same as the model's own.
    pub fn is_like(&self, light: &LightEstimate) -> bool {
        self.light_distance(light) < LIKE
    }

    /// Expected share of wrong stickers, each judged alone: every colour in light and shade, clean and with a sheen.
    fn doubtful(&self, light: &LightEstimate) -> f64 {
        let face = light.for_another_face();
        let white = self.colour(Colour::White, light);
        let mut doubt = Vec::new();
        for colour in Colour::ALL {
            let body = self.colour(colour, light);
            for shade in [0.6, 0.8, 1.0, 1.2] {
                for specular in [0.0, 0.0, 0.04, 0.1] {
                    let likelihoods =
                        self.log_likelihoods(&clean(body * shade + white * specular), &face);
                    let own = likelihoods[colour.index()];
                    let sum: f64 = likelihoods.iter().map(|l| (l - own).exp()).sum();
                    doubt.push(1.0 - 1.0 / sum);
                }
            }
        }
        doubt.iter().sum::<f64>() / doubt.len() as f64
    }
}

/// A patch without faults of its own.
fn clean(linear: LinSrgb<f64>) -> Patch {
    let clip = |x: f64| x.clamp(0.0, 1.0);
    Patch {
        rgb: LinSrgb::new(clip(linear.red), clip(linear.green), clip(linear.blue)).into_format(),
        spread: 0.03,
        clipped: if channels(linear).into_iter().any(|x| x >= 1.0) {
            1.0
        } else {
            0.0
        },
        agreeing: 1.0,
        covered: 0.0,
    }
}

fn remedies(colours: &[LinSrgb<f64>; 6], bad: bool) -> Vec<Remedy> {
    let mut remedies = Vec::new();
    let brightest = colours.map(|c| channels(c).into_iter().fold(0.0, f64::max));
    if brightest.iter().filter(|x| **x < DARK).count() > 1 {
        remedies.push(Remedy::AddLight);
    }
    if brightest.iter().filter(|x| **x > BRIGHT).count() > 1 {
        remedies.push(Remedy::Dim);
    }
    let white = channels(colours[Colour::White.index()]);
    let (low, high) = white
        .iter()
        .fold((f64::INFINITY, 0.0f64), |(l, h), &x| (l.min(x), h.max(x)));
    if bad && high / low > TINTED {
        remedies.push(if white[0] > white[2] {
            Remedy::Cooler
        } else {
            Remedy::Warmer
        });
    }
    if bad && remedies.is_empty() {
        remedies.push(Remedy::Turn);
    }
    remedies
}
