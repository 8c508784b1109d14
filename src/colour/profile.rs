//! Profiles: what the six colours of one cube look like to one camera under one light, kept as JSON.

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

use palette::LinSrgb;
use serde::{Deserialize, Serialize};

use crate::cube::{Colour, Scheme};
use crate::files::save;
use crate::input::{self, Fault, Kind, printable, printable_within, shown};
use crate::sight::Patch;

use super::difference::hue_difference;
use super::neighbours::Neighbours;

/// The version of the file's form that this program writes and reads.
pub const SCHEMA: u32 = 1;

/// Samples of a patch below this agreement (glare, a finger, a logo) do not enter a profile.
const AGREEING: f32 = 0.6;

/// The most characters of what the JSON library says of a file, which quotes it.
const MOST_QUOTED: usize = 160;

/// Colours of which a profile may have no sample; they are taken to be of typical plastic.
const MOST_MISSING: usize = 1;

/// Two colours of a profile nearer than this (CIEDE2000, level apart) cannot be right: the same sticker twice.
const SAME: f64 = 1.0;

/// A calibration: each colour's samples under one light.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Profile {
    schema: u32,
    /// The name that the user gave; also the file's name without its ending.
    pub name: String,
    /// The camera as the system calls it; empty when pictures came from files.
    #[serde(default)]
    pub camera: String,
    /// When the profile was made, as an ISO 8601 date.
    #[serde(default)]
    pub made: String,
    /// The colours of the faces by [`Face::index`](crate::cube::Face::index), where it is known how they lie.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    scheme: Option<[Colour; 6]>,
    /// Whether each picture that the samples are from showed several colours, as one of a scrambled cube does: only then is it known
    /// how they lie to each other, since cameras balance each picture anew.
    #[serde(default)]
    together: bool,
    colours: Samples,
    /// A sum over all else, by which a file that was changed is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    sum: Option<String>,
}

/// Linear rgb as the camera gave it, 0 to 1, for each colour; empty for colours that were not told at calibration.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Samples {
    white: Vec<[f32; 3]>,
    red: Vec<[f32; 3]>,
    green: Vec<[f32; 3]>,
    yellow: Vec<[f32; 3]>,
    orange: Vec<[f32; 3]>,
    blue: Vec<[f32; 3]>,
}

impl Samples {
    fn of(&self, colour: Colour) -> &[[f32; 3]] {
        match colour {
            Colour::White => &self.white,
            Colour::Red => &self.red,
            Colour::Green => &self.green,
            Colour::Yellow => &self.yellow,
            Colour::Orange => &self.orange,
            Colour::Blue => &self.blue,
        }
    }

    /// Colours without a sample.
    fn missing(&self) -> Vec<Colour> {
        let all = Colour::ALL.into_iter();
        all.filter(|colour| self.of(*colour).is_empty()).collect()
    }

    /// The colour in the middle of a colour's samples.
    fn median(&self, colour: Colour) -> LinSrgb<f64> {
        let [red, green, blue] = [0, 1, 2].map(|channel| {
            let mut values: Vec<f32> = self.of(colour).iter().map(|rgb| rgb[channel]).collect();
            values.sort_by(f32::total_cmp);
            f64::from(values.get(values.len() / 2).copied().unwrap_or_default())
        });
        LinSrgb::new(red, green, blue)
    }

    /// Two colours that are the same.
    fn too_similar(&self) -> Option<(Colour, Colour)> {
        let told = |colour: &Colour| !self.of(*colour).is_empty();
        let all: Vec<Colour> = Colour::ALL.into_iter().filter(told).collect();
        let pairs = all
            .iter()
            .enumerate()
            .flat_map(|(i, a)| all[..i].iter().map(move |b| (*b, *a)));
        let same =
            |(a, b): &(Colour, Colour)| hue_difference(self.median(*a), self.median(*b)) < SAME;
        pairs.into_iter().find(same)
    }

    fn of_mut(&mut self, colour: Colour) -> &mut Vec<[f32; 3]> {
        match colour {
            Colour::White => &mut self.white,
            Colour::Red => &mut self.red,
            Colour::Green => &mut self.green,
            Colour::Yellow => &mut self.yellow,
            Colour::Orange => &mut self.orange,
            Colour::Blue => &mut self.blue,
        }
    }
}

/// Why a profile could not be made, read or written.
#[derive(Debug)]
pub enum ProfileError {
    /// The file could not be read or written.
    Io { path: PathBuf, cause: io::Error },
    /// The file is not JSON of the profile's form.
    Malformed { path: PathBuf, cause: String },
    /// The file was written for another version of the form.
    Version { path: PathBuf, found: u64 },
    /// The name cannot be a file's name.
    Name(String),
    /// No usable sample of a colour was seen.
    NoSample(Colour),
}

impl fmt::Display for ProfileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ProfileError::Io { path, cause } if cause.kind() == io::ErrorKind::NotFound => write!(
                f,
                "{}: no such profile\nmake one with `pairsight calibrate NAME`, or name the folder with --calibration-dir",
                shown(path)
            ),
            ProfileError::Io { path, cause } => write!(
                f,
                "{}: {cause}\ncheck that the folder exists and may be read and written",
                shown(path)
            ),
            ProfileError::Malformed { path, cause } => write!(
                f,
                "{}: not a colour profile: {cause}\nmake it again with `pairsight calibrate NAME`",
                shown(path)
            ),
            ProfileError::Version { path, found } => write!(
                f,
                "{}: profile of schema {found}, but this program reads schema {SCHEMA}\nmake it again with `pairsight calibrate NAME`",
                shown(path)
            ),
            ProfileError::Name(name) => write!(
                f,
                "\"{}\": cannot name a profile\nuse letters, digits, '-' and '_', at most 64 of them",
                printable(name)
            ),
            ProfileError::NoSample(colour) => write!(
                f,
                "no clear sticker of the colour {} was seen\nshow that face again, flat to the camera and without glare",
                colour.name()
            ),
        }
    }
}

impl std::error::Error for ProfileError {}

impl Profile {
    /// A profile from patches of known colour, in any state of the cube. Left out are patches with glare or something on
    /// them, and those that lie among patches of another colour; an error names a colour without any left.
    pub fn from_labelled(name: &str, patches: &[(Patch, Colour)]) -> Result<Profile, ProfileError> {
        let clear = patches
            .iter()
            .filter(|(patch, _)| patch.agreeing >= AGREEING);
        let clear: Vec<(LinSrgb<f32>, Colour)> =
            clear.map(|(patch, colour)| (patch.rgb, *colour)).collect();
        let neighbours = Neighbours::of(&clear);
        let mut colours = Samples::default();
        for (rgb, colour) in clear {
            let stray = neighbours
                .as_ref()
                .is_some_and(|n| n.is_stray(&rgb, colour));
            if !stray {
                colours.of_mut(colour).push([rgb.red, rgb.green, rgb.blue]);
            }
        }
        if let Some(&[colour, ..]) = colours.missing().get(MOST_MISSING..) {
            return Err(ProfileError::NoSample(colour));
        }
        check_name(name)?;
        Ok(Profile {
            schema: SCHEMA,
            name: name.to_owned(),
            camera: String::new(),
            made: String::new(),
            scheme: None,
            together: false,
            colours,
            sum: None,
        })
    }

    /// The same, of samples of which each picture had several colours, for a cube of this scheme.
    pub fn together(self, scheme: Option<Scheme>) -> Profile {
        Profile {
            together: true,
            scheme: scheme.map(Scheme::colours),
            ..self
        }
    }

    /// Whether the colours were seen together.
    pub fn is_together(&self) -> bool {
        self.together
    }

    /// How the cube's colours lie, where that is known.
    pub fn scheme(&self) -> Option<Scheme> {
        self.scheme.and_then(Scheme::of_centres)
    }

    /// The same for a cube whose colours lie in a way that is known.
    pub fn of_scheme(self, scheme: Scheme) -> Profile {
        Profile {
            scheme: Some(scheme.colours()),
            ..self
        }
    }

    /// The colours that were not told when the profile was made.
    pub fn missing(&self) -> Vec<Colour> {
        self.colours.missing()
    }

    /// The sum over all that the file says: FNV-1a (Fowler, Noll, Vo), 64 bits, of its JSON.
    fn summed(&self) -> String {
        let content = Profile {
            sum: None,
            ..self.clone()
        };
        let text = serde_json::to_string(&content).unwrap_or_default();
        let sum = text.bytes().fold(0xcbf2_9ce4_8422_2325u64, |sum, byte| {
            (sum ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
        });
        format!("{sum:016x}")
    }

    /// The samples of one colour; none where it was not told.
    pub fn samples(&self, colour: Colour) -> Vec<LinSrgb<f32>> {
        self.colours
            .of(colour)
            .iter()
            .map(|&[red, green, blue]| LinSrgb::new(red, green, blue))
            .collect()
    }

    /// Where the profile of this name lies in a folder of profiles.
    pub fn path(folder: &Path, name: &str) -> Result<PathBuf, ProfileError> {
        check_name(name)?;
        Ok(folder.join(format!("{name}.json")))
    }

    /// Reads and checks a profile.
    pub fn load(path: &Path) -> Result<Profile, ProfileError> {
        match input::text(path, Kind::Profile) {
            Ok(text) => Profile::parse(&text, path),
            Err(Fault::Io(cause)) => Err(ProfileError::Io {
                path: path.to_owned(),
                cause,
            }),
            Err(fault) => Err(ProfileError::Malformed {
                path: path.to_owned(),
                cause: fault.to_string(),
            }),
        }
    }

    /// Reads a profile from JSON; `path` is for messages.
    pub fn parse(text: &str, path: &Path) -> Result<Profile, ProfileError> {
        let malformed = |cause: String| ProfileError::Malformed {
            path: path.to_owned(),
            cause: printable_within(&cause, MOST_QUOTED),
        };
        let value: serde_json::Value =
            serde_json::from_str(text).map_err(|e| malformed(e.to_string()))?;
        match value.get("schema").and_then(serde_json::Value::as_u64) {
            Some(found) if found == u64::from(SCHEMA) => {}
            Some(found) => {
                return Err(ProfileError::Version {
                    path: path.to_owned(),
                    found,
                });
            }
            None => return Err(malformed("the field \"schema\" is missing".into())),
        }
        // From the text again: only so does a message name the line.
        let profile: Profile = serde_json::from_str(text).map_err(|e| malformed(e.to_string()))?;
        if profile
            .sum
            .as_ref()
            .is_some_and(|sum| *sum != profile.summed())
        {
            return Err(malformed("it was changed since it was made".into()));
        }
        if let Some(&[colour, ..]) = profile.missing().get(MOST_MISSING..) {
            return Err(malformed(format!("no samples of {}", colour.name())));
        }
        for colour in Colour::ALL {
            let mut values = profile.colours.of(colour).as_flattened().iter();
            if let Some(bad) = values.find(|x| !(0.0..=1.0).contains(*x)) {
                return Err(malformed(format!(
                    "a sample of {} has the value {bad}, outside 0 to 1",
                    colour.name()
                )));
            }
        }
        if let Some((a, b)) = profile.colours.too_similar() {
            return Err(malformed(format!(
                "{} and {} are the same colour in it",
                a.name(),
                b.name()
            )));
        }
        if profile
            .scheme
            .is_some_and(|colours| Scheme::of_centres(colours).is_none())
        {
            return Err(malformed("its scheme has a colour twice".into()));
        }
        Ok(profile)
    }

    /// Writes the profile in one step: whoever reads it sees the old one or the new one, never a half.
    pub fn save(&self, path: &Path) -> Result<(), ProfileError> {
        let io = |cause| ProfileError::Io {
            path: path.to_owned(),
            cause,
        };
        let summed = Profile {
            sum: Some(self.summed()),
            ..self.clone()
        };
        let mut text = serde_json::to_string_pretty(&summed).map_err(|e| io(e.into()))?;
        text.push('\n');
        save(path, text.as_bytes()).map_err(io)
    }
}

/// A name that is also a safe file name on every system.
fn check_name(name: &str) -> Result<(), ProfileError> {
    let fits = |c: char| c.is_alphanumeric() || c == '-' || c == '_';
    if (1..=64).contains(&name.len()) && name.chars().all(fits) {
        Ok(())
    } else {
        Err(ProfileError::Name(name.to_owned()))
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;

    fn patch(red: f32, green: f32, blue: f32) -> Patch {
        Patch {
            rgb: LinSrgb::new(red, green, blue),
            spread: 0.0,
            clipped: 0.0,
            agreeing: 1.0,
            covered: 0.0,
        }
    }

    /// Nine samples a colour, at different levels.
    fn labelled() -> Vec<(Patch, Colour)> {
        let colours = [
            [0.8, 0.8, 0.8],
            [0.5, 0.05, 0.06],
            [0.08, 0.35, 0.1],
            [0.8, 0.6, 0.05],
            [0.7, 0.2, 0.04],
            [0.05, 0.1, 0.4],
        ];
        let nine = |(colour, [r, g, b]): (Colour, [f32; 3])| {
            (0..9).map(move |i| {
                let level = 0.9 + 0.02 * i as f32;
                (patch(r * level, g * level, b * level), colour)
            })
        };
        Colour::ALL
            .into_iter()
            .zip(colours)
            .flat_map(nine)
            .collect()
    }

    #[test]
    fn a_profile_comes_back_from_its_file() {
        let folder = tempfile::tempdir().unwrap();
        let mut profile = Profile::from_labelled("desk-lamp", &labelled()).unwrap();
        profile.camera = "built-in".into();
        profile.made = "2026-03-01".into();
        let path = Profile::path(&folder.path().join("new"), "desk-lamp").unwrap();
        profile.save(&path).unwrap();
        let loaded = Profile::load(&path).unwrap();
        assert_eq!(loaded.summed(), profile.summed());
        assert_eq!(loaded.scheme(), None);
        // Saving again replaces the file and leaves nothing else behind.
        profile.save(&path).unwrap();
        assert_eq!(fs::read_dir(path.parent().unwrap()).unwrap().count(), 1);
    }

    #[test]
    fn a_failed_save_leaves_the_old_profile_whole() {
        let folder = tempfile::tempdir().unwrap();
        let profile = Profile::from_labelled("lamp", &labelled()).unwrap();
        // A folder where the file should go can't be replaced by a file.
        let path = folder.path().join("lamp.json");
        fs::create_dir(&path).unwrap();
        fs::write(path.join("inside"), "x").unwrap();
        assert!(matches!(profile.save(&path), Err(ProfileError::Io { .. })));
        assert_eq!(fs::read_to_string(path.join("inside")).unwrap(), "x");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn bad_files_are_named_with_cause_and_remedy() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("lamp.json");
        let error = Profile::load(&path).unwrap_err().to_string();
        assert!(
            error.contains("lamp.json: no such profile") && error.contains("pairsight calibrate"),
            "{error}"
        );

        let good =
            serde_json::to_string_pretty(&Profile::from_labelled("lamp", &labelled()).unwrap())
                .unwrap();
        assert!(Profile::parse(&good, &path).is_ok());
        let check = |text: &str, cause: &str| {
            let error = Profile::parse(text, &path).unwrap_err().to_string();
            assert!(
                error.starts_with(&path.display().to_string()) && error.contains(cause),
                "{error}"
            );
            assert!(error.contains("\nmake it again"), "{error}");
        };
        check("", "EOF");
        check(&good[..good.len() / 2], "line");
        check("[1, 2]", "\"schema\" is missing");
        check(
            &good.replace("\"schema\": 1", "\"schema\": 99"),
            "schema 99",
        );
        check(&good.replace("\"orange\"", "\"pink\""), "pink");
        check(
            &good.replace("0.8,", "-3.0,").replace("0.72,", "7.0,"),
            "outside 0 to 1",
        );
        let mut none: serde_json::Value = serde_json::from_str(&good).unwrap();
        none["colours"]["blue"] = serde_json::json!([]);
        assert_eq!(
            Profile::parse(&none.to_string(), &path).unwrap().missing(),
            [Colour::Blue]
        );
        none["colours"]["red"] = serde_json::json!([]);
        check(&none.to_string(), "no samples of blue");
        let mut same: serde_json::Value = serde_json::from_str(&good).unwrap();
        same["colours"]["orange"] = same["colours"]["red"].clone();
        check(&same.to_string(), "red and orange are the same");
    }

    #[test]
    fn names_are_safe_file_names() {
        for name in ["", "../x", "a/b", "a.b", "a b", "nul\0", &"x".repeat(65)] {
            let error = Profile::path(Path::new("calibration"), name).unwrap_err();
            assert!(matches!(error, ProfileError::Name(_)), "{name}");
        }
        let path = Profile::path(Path::new("calibration"), "Küche_2").unwrap();
        assert_eq!(path, Path::new("calibration/Küche_2.json"));
    }

    #[test]
    fn stray_and_hidden_samples_stay_out() {
        let mut patches = labelled();
        patches.push((patches[0].0, Colour::Blue));
        let mut hidden = patches[9].0;
        hidden.agreeing = 0.2;
        patches.push((hidden, Colour::Red));
        let profile = Profile::from_labelled("lamp", &patches).unwrap();
        assert!(
            Colour::ALL
                .into_iter()
                .all(|c| profile.samples(c).len() == 9)
        );

        patches.retain(|(_, colour)| *colour != Colour::Green && *colour != Colour::Blue);
        let error = Profile::from_labelled("lamp", &patches).unwrap_err();
        assert!(matches!(error, ProfileError::NoSample(Colour::Blue)));
    }
}
