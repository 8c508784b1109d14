//! A calibration on the page: the faces of a cube are gathered while the learner shows them.

use std::path::Path;

use palette::Srgb;

use super::words::in_one_line;
use crate::coach::words;
use crate::colour::{LightEstimate, LightReport, Model, Profile};
use crate::cube::Colour;
use crate::front::clock::today;
use crate::live::Gathering;
use crate::page::{Calibration, Closest, Swatch};
use crate::sight::Look;

/// A calibration under way.
pub struct Calibrating {
    gathered: Gathering,
    /// The colours that are read by now: of the profile in use, or of no cube in particular.
    present: Model,
    /// A name to offer.
    name: String,
}

impl Calibrating {
    /// Starts one; the profile in use is compared with it.
    pub fn new(profile: Option<&Profile>) -> Calibrating {
        Calibrating {
            gathered: Gathering::default(),
            present: profile.map_or_else(Model::generic, Model::from_profile),
            name: profile.map_or_else(|| "my-cube".into(), |profile| profile.name.clone()),
        }
    }

    /// Takes the faces of a look that held still; whether there is something new to show.
    pub fn see(&mut self, t: f64, look: &Look) -> bool {
        self.gathered.see(t, look)
    }

    /// How far it has come.
    pub fn shown(&self) -> Calibration {
        let profile = self.gathered.profile(&self.name);
        let ask = match &profile {
            Ok(_) => "All six colours are known. Keep them under a name.".into(),
            Err(error) => to_do_first(error),
        };
        let report = profile.as_ref().ok().map(report);
        let before = self.gathered.judged_by(&self.present);
        Calibration {
            ask,
            swatches: self.swatches(),
            closest: report.as_ref().map(closest),
            advice: report.as_ref().map(advice).unwrap_or_default(),
            doubtful_before: before.map(|report| report.doubtful as f32),
            doubtful_after: report.map(|report| report.doubtful as f32),
            complete: profile.is_ok(),
            name: self.name.clone(),
        }
    }

    /// Centres of the faces seen so far.
    pub fn seen(&self) -> Vec<Colour> {
        self.gathered.seen()
    }

    /// Centres of the faces that are asked for.
    pub fn asked(&self) -> Vec<Colour> {
        self.gathered.asked()
    }

    /// Writes the finished profile into a folder.
    ///
    /// # Errors
    /// In words, when faces are missing, the name does not do, or the file cannot be written.
    pub fn keep(&self, name: &str, folder: &Path) -> Result<Profile, String> {
        let mut profile = self.gathered.profile(name)?;
        profile.made = today();
        Profile::path(folder, name)
            .and_then(|path| profile.save(&path))
            .map_err(|error| error.to_string())?;
        Ok(profile)
    }

    /// The colours so far as the camera sees them: of each, the sticker of middling brightness.
    fn swatches(&self) -> Vec<Swatch> {
        let samples = self.gathered.samples();
        let one = |colour: Colour| {
            let mut own: Vec<_> = samples
                .iter()
                .filter(|(_, named)| *named == colour)
                .map(|(patch, _)| patch.rgb)
                .collect();
            let sum = |rgb: &palette::LinSrgb<f32>| rgb.red + rgb.green + rgb.blue;
            own.sort_by(|a, b| sum(a).total_cmp(&sum(b)));
            let median = *own.get(own.len() / 2)?;
            let rgb: Srgb<u8> = Srgb::<f32>::from_linear(median).into_format();
            Some(Swatch {
                colour,
                rgb: [rgb.red, rgb.green, rgb.blue],
            })
        };
        Colour::ALL.into_iter().filter_map(one).collect()
    }
}

/// A cause and what to do about it, the other way round: the first sentence is read from two metres.
fn to_do_first(error: &str) -> String {
    let lines: Vec<&str> = error.lines().rev().collect();
    in_one_line(&lines.join("\n"))
}

/// How well a profile's own light tells the colours apart.
pub fn report(profile: &Profile) -> LightReport {
    Model::from_profile(profile).judge_light(&LightEstimate::none())
}

/// CIEDE2000 above which two colours are told apart at a glance, and below which a reader errs between them. Judgements.
const EASY: f64 = 20.0;
const HARD: f64 = 10.0;

/// The two colours that are hardest to tell apart.
pub fn closest(report: &LightReport) -> Closest {
    let (a, b) = report.closest;
    let how = match report.difference {
        easy if easy >= EASY => "are easy to tell apart here",
        hard if hard < HARD => "are hard to tell apart here",
        _ => "can be told apart here",
    };
    Closest {
        a,
        b,
        say: words::sentence(&format!("{} and {} {how}.", a.name(), b.name())),
    }
}

/// What to change about the light.
pub fn advice(report: &LightReport) -> String {
    let remedies: Vec<&str> = report.remedies.iter().map(|remedy| remedy.say()).collect();
    remedies.join(" ")
}
