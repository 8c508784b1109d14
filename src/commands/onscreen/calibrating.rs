//! A calibration on the page: the faces of a solved cube are gathered while the learner shows them.

use std::path::Path;

use palette::Srgb;

use super::words::in_one_line;
use crate::colour::{LightReport, Model, Offered, Profile, Relight, SolvedFaces};
use crate::commands::calibrate::today;
use crate::live::steady::Steady;
use crate::page::{Calibration, Closest, Swatch};
use crate::sight::Look;

/// A calibration under way.
pub struct Calibrating {
    steady: Steady,
    faces: SolvedFaces,
    /// Why the last face that held still was not taken.
    refused: &'static str,
    /// Expected share of doubtful stickers with the profile in use.
    before: Option<f64>,
    /// A name to offer.
    name: String,
}

impl Calibrating {
    /// Starts one; the profile in use is compared with it.
    pub fn new(profile: Option<&Profile>) -> Calibrating {
        Calibrating {
            steady: Steady::new(),
            faces: SolvedFaces::default(),
            refused: "",
            before: profile.map(|profile| report(profile).doubtful),
            name: profile.map_or_else(|| "my-cube".into(), |profile| profile.name.clone()),
        }
    }

    /// Takes the faces of a look that held still; whether there is something new to show.
    pub fn see(&mut self, t: f64, look: &Look) -> bool {
        let Some(still) = self.steady.step(t, look) else {
            return false;
        };
        for face in &still.faces {
            self.refused = match self.faces.offer(&face.patches, face.fit) {
                Offered::New | Offered::Known => "",
                Offered::NotOneColour => {
                    "That face is not of one colour: solve the cube first, and keep fingers at the edges."
                }
                Offered::Full => "That face looks like two others: use a whiter or brighter light.",
            };
        }
        !still.faces.is_empty()
    }

    /// How far it has come.
    pub fn shown(&self) -> Calibration {
        let profile = self.faces.profile(&self.name);
        let count = self.faces.count();
        let ask = match (count, &profile) {
            (6, Ok(_)) => "All six faces are seen. Keep the profile under a name.".into(),
            (6, Err(error)) => in_one_line(&error.to_string()),
            _ => format!(
                "Show each face of the solved cube, and hold still: {count} of 6. {}",
                self.refused
            ),
        };
        let report = profile.as_ref().ok().map(report);
        Calibration {
            ask,
            swatches: self.swatches(),
            closest: report.as_ref().map(closest),
            advice: report.as_ref().map(advice).unwrap_or_default(),
            doubtful_before: self.before.map(|share| share as f32),
            doubtful_after: report.map(|report| report.doubtful as f32),
            complete: profile.is_ok(),
            name: self.name.clone(),
        }
    }

    /// Writes the finished profile into a folder.
    ///
    /// # Errors
    /// In words, when faces are missing, the name does not do, or the file cannot be written.
    pub fn keep(&self, name: &str, folder: &Path) -> Result<Profile, String> {
        let mut profile = self
            .faces
            .profile(name)
            .map_err(|error| error.to_string())?;
        profile.made = today();
        Profile::path(folder, name)
            .and_then(|path| profile.save(&path))
            .map_err(|error| error.to_string())?;
        Ok(profile)
    }

    /// The faces so far as the camera sees them, each under its likeliest name.
    fn swatches(&self) -> Vec<Swatch> {
        let middles = self.faces.middles();
        let namings = Model::generic().name_centres(&middles, &Relight::drift());
        let colours = namings
            .into_iter()
            .next()
            .map(|naming| naming.colours)
            .unwrap_or_default();
        middles
            .iter()
            .zip(colours)
            .map(|(patch, colour)| {
                let rgb: Srgb<u8> = Srgb::<f32>::from_linear(patch.rgb).into_format();
                Swatch {
                    colour,
                    rgb: [rgb.red, rgb.green, rgb.blue],
                }
            })
            .collect()
    }
}

/// How well a profile's own light tells the colours apart.
pub fn report(profile: &Profile) -> LightReport {
    Model::from_profile(profile).judge_light(&Relight::none())
}

/// The two colours that are hardest to tell apart.
pub fn closest(report: &LightReport) -> Closest {
    Closest {
        a: report.closest.0,
        b: report.closest.1,
        distance: report.difference as f32,
    }
}

/// What to change about the light.
pub fn advice(report: &LightReport) -> String {
    let remedies: Vec<&str> = report.remedies.iter().map(|remedy| remedy.say()).collect();
    remedies.join(" ")
}
