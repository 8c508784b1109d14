//! Judging a light before a session: which colours it brings close, what that will cost, and what to do about it.

use palette::LinSrgb;

use crate::cube::Colour;
use crate::sight::Patch;

use super::difference::difference;
use super::light::Relight;
use super::model::Model;
use super::scale::channels;

/// CIEDE2000 to the profile's light below which a light counts as the same, level apart. Two faces of one cube in one
/// room differ by about this much.
const LIKE: f64 = 6.0;

/// CIEDE2000 between two colours below which a person should do something.
const CLOSE: f64 = 12.0;

/// Share of doubtful stickers above which a person should do something: one in a face or so.
const DOUBTFUL: f64 = 0.1;

/// A sticker whose best colour is less sure than this is doubtful.
const SURE: f64 = 0.95;

/// Level of white below which the picture is too dark, and of any channel above which it clips.
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
    /// The two colours that are closest, and their CIEDE2000 with level apart.
    pub closest: (Colour, Colour),
    pub difference: f64,
    /// Share of single stickers, 0 to 1, that will be doubtful before the whole cube is taken together.
    pub doubtful: f64,
    /// What to do; nothing in a good light.
    pub remedies: Vec<Remedy>,
}

impl LightReport {
    /// The report in a sentence or a few.
    pub fn say(&self) -> String {
        let (one, other) = (self.closest.0.name(), self.closest.1.name());
        let percent = (100.0 * self.doubtful).round();
        let mut text = if self.remedies.is_empty() {
            format!(
                "The light is good: all six colours are well apart ({one} and {other} are closest)."
            )
        } else {
            format!(
                "In this light {one} and {other} look alike; about {percent} % of the stickers will be doubtful."
            )
        };
        if !self.remedies.is_empty() && self.difference >= CLOSE && self.doubtful < DOUBTFUL {
            text = "The colours are apart, but the light could be better.".to_owned();
        }
        for remedy in &self.remedies {
            text.push(' ');
            text.push_str(remedy.say());
        }
        text
    }
}

impl Model {
    /// How well the six colours can be told apart under this light.
    pub fn judge_light(&self, light: &Relight) -> LightReport {
        let colours = Colour::ALL.map(|c| self.colour(c, light));
        let mut closest = (Colour::White, Colour::Red);
        let mut least = f64::INFINITY;
        for (i, a) in colours.iter().enumerate() {
            for (j, b) in colours.iter().enumerate().skip(i + 1) {
                let d = difference(*a, *b);
                if d < least {
                    (closest, least) = ((Colour::ALL[i], Colour::ALL[j]), d);
                }
            }
        }
        let doubtful = self.doubtful(light);
        LightReport {
            closest,
            difference: least,
            doubtful,
            remedies: remedies(&colours, least < CLOSE || doubtful > DOUBTFUL),
        }
    }

    /// Mean CIEDE2000 over the six colours between this light and the model's own, at the same level.
    pub fn light_distance(&self, light: &Relight) -> f64 {
        let level = light.at_level_zero();
        let total: f64 = Colour::ALL
            .into_iter()
            .map(|c| difference(self.colour(c, &Relight::none()), self.colour(c, &level)))
            .sum();
        total / 6.0
    }

    /// Whether this light is much the same as the model's own.
    pub fn is_like(&self, light: &Relight) -> bool {
        self.light_distance(light) < LIKE
    }

    /// Share of stickers whose colour is doubtful on their own: each colour in light and shade, clean and with a sheen.
    fn doubtful(&self, light: &Relight) -> f64 {
        let face = light.for_another_face();
        let white = self.colour(Colour::White, light);
        let mut doubtful = 0;
        let mut all = 0;
        for colour in Colour::ALL {
            let body = self.colour(colour, light);
            for shade in [0.6, 0.8, 1.0, 1.2] {
                for haze in [0.0, 0.0, 0.04, 0.1] {
                    let likelihoods =
                        self.log_likelihoods(&clean(body * shade + white * haze), &face);
                    let top = likelihoods[colour.index()];
                    let share = 1.0 / likelihoods.iter().map(|l| (l - top).exp()).sum::<f64>();
                    doubtful += usize::from(share < SURE);
                    all += 1;
                }
            }
        }
        doubtful as f64 / all as f64
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
    }
}

fn remedies(colours: &[LinSrgb<f64>; 6], bad: bool) -> Vec<Remedy> {
    let mut remedies = Vec::new();
    let white = channels(colours[Colour::White.index()]);
    let (low, high) = (
        white.into_iter().fold(1.0, f64::min),
        white.into_iter().fold(0.0, f64::max),
    );
    if high < DARK {
        remedies.push(Remedy::AddLight);
    }
    let clipped = colours
        .iter()
        .filter(|c| channels(**c).into_iter().any(|x| x > BRIGHT));
    if clipped.count() > 1 {
        remedies.push(Remedy::Dim);
    }
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
