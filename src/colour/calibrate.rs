//! Making a profile from six pictures of a solved cube, in any order: each face must be of one colour, the six must
//! differ, and their names follow from all six together.

use std::fmt;

use palette::LinSrgb;

use crate::cube::Colour;
use crate::sight::Patch;

use super::difference::difference;
use super::light::Relight;
use super::model::Model;
use super::profile::{Profile, ProfileError};

/// Least agreement of a patch that counts as clear.
const CLEAR: f32 = 0.6;

/// Fewest clear stickers of a face.
const FEWEST: usize = 5;

/// Greatest CIEDE2000, level apart, of a sticker from its face's middle on a face of one colour. Light that falls
/// unevenly and a lamp's sheen make up to 4 (over 60 rendered faces); two colours of one cube are 8 apart or more.
const EVEN: f64 = 6.0;

/// Stickers of a face that may lie further off, for a highlight or a finger.
const OFF: usize = 2;

/// Least CIEDE2000 between two faces, level apart; below it no reading would be sure.
const APART: f64 = 5.0;

/// Why six faces do not make a profile. Faces are counted from 0 in the order given.
#[derive(Debug)]
pub enum CalibrationError {
    /// Another number of faces than six.
    Count(usize),
    /// Glare, a finger or blur hides most of a face.
    Unclear { face: usize },
    /// A face shows stickers of different colours.
    Mixed { face: usize },
    /// Two faces can't be told apart, or one was shown twice.
    Alike {
        faces: (usize, usize),
        difference: f64,
    },
    /// The profile itself is not possible.
    Profile(ProfileError),
}

impl fmt::Display for CalibrationError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            CalibrationError::Count(count) => {
                write!(
                    f,
                    "{count} faces were seen, not six\nshow each face of the solved cube once"
                )
            }
            CalibrationError::Unclear { face } => write!(
                f,
                "face {}: most of its stickers are hidden, blurred or under glare\ntilt the cube out of the lamp's reflection and keep fingers on the edges",
                face + 1
            ),
            CalibrationError::Mixed { face } => write!(
                f,
                "face {}: its stickers are not all of one colour\ncalibrate with a solved cube, and without a coloured light on one side",
                face + 1
            ),
            CalibrationError::Alike {
                faces: (one, other),
                difference,
            } => write!(
                f,
                "faces {} and {} look the same (CIEDE2000 {difference:.1})\nshow each face once; if you did, use a whiter or brighter light, such as daylight",
                one + 1,
                other + 1
            ),
            CalibrationError::Profile(cause) => cause.fmt(f),
        }
    }
}

impl std::error::Error for CalibrationError {}

impl From<ProfileError> for CalibrationError {
    fn from(cause: ProfileError) -> Self {
        CalibrationError::Profile(cause)
    }
}

impl Profile {
    /// A profile from the six faces of a solved cube, each its nine patches, in any order.
    pub fn from_looks(name: &str, faces: &[[[Patch; 3]; 3]]) -> Result<Profile, CalibrationError> {
        if faces.len() != 6 {
            return Err(CalibrationError::Count(faces.len()));
        }
        let mut middles = Vec::new();
        for (face, patches) in faces.iter().enumerate() {
            middles.push(middle_of_one_colour(face, patches.as_flattened())?);
        }
        for (other, b) in middles.iter().enumerate() {
            for (one, a) in middles[..other].iter().enumerate() {
                let difference = level_free(a, b);
                if difference < APART {
                    return Err(CalibrationError::Alike {
                        faces: (one, other),
                        difference,
                    });
                }
            }
        }
        let namings = Model::generic().name_centres(&middles, &Relight::drift());
        let colours = &namings.first().ok_or(CalibrationError::Count(0))?.colours;
        let mut labelled: Vec<(Patch, Colour)> = Vec::new();
        for ((face, middle), &colour) in faces.iter().zip(&middles).zip(colours) {
            let even = |p: &&Patch| is_clear(p) && level_free(p, middle) <= EVEN;
            labelled.extend(
                face.as_flattened()
                    .iter()
                    .filter(even)
                    .map(|p| (*p, colour)),
            );
        }
        Ok(Profile::from_labelled(name, &labelled)?)
    }
}

fn is_clear(patch: &Patch) -> bool {
    patch.agreeing >= CLEAR
}

/// The most typical clear patch of a face, if the others are of the same colour.
fn middle_of_one_colour(face: usize, patches: &[Patch]) -> Result<Patch, CalibrationError> {
    let clear: Vec<&Patch> = patches.iter().filter(|p| is_clear(p)).collect();
    if clear.len() < FEWEST {
        return Err(CalibrationError::Unclear { face });
    }
    let total = |p: &Patch| {
        clear
            .iter()
            .map(|q| level_free(p, q).min(EVEN))
            .sum::<f64>()
    };
    let mut middle = *clear[0];
    for &patch in &clear[1..] {
        if total(patch) < total(&middle) {
            middle = *patch;
        }
    }
    let off = clear
        .iter()
        .filter(|p| level_free(p, &middle) > EVEN)
        .count();
    if off > OFF {
        return Err(CalibrationError::Mixed { face });
    }
    Ok(middle)
}

/// CIEDE2000 of two patches, after the brighter one is dimmed to the other's luminance: the same sticker lit less
/// differs by nothing.
fn level_free(a: &Patch, b: &Patch) -> f64 {
    let [a, b]: [LinSrgb<f64>; 2] = [a.rgb.into_format(), b.rgb.into_format()];
    // Luminance weights of IEC 61966-2-1 (sRGB).
    let luminance =
        |c: LinSrgb<f64>| (0.2126 * c.red + 0.7152 * c.green + 0.0722 * c.blue).max(1e-6);
    let (of_a, of_b) = (luminance(a), luminance(b));
    let level = of_a.min(of_b);
    difference(a * (level / of_a), b * (level / of_b))
}
