//! Making a profile from six pictures of a solved cube, in any order: each face must be of one colour, the six must
//! differ, and their names follow from all six together.

use std::fmt;

use crate::cube::{Colour, Scheme};
use crate::sight::Patch;

use super::difference::hue_difference;
use super::light::LightEstimate;
use super::model::Model;
use super::profile::{Profile, ProfileError};

/// Least agreement of a patch that counts as clear.
const CLEAR: f32 = 0.6;

/// Fewest clear stickers of a face.
const FEWEST: usize = 5;

/// Greatest CIEDE2000, level apart, of a sticker from its face's medoid on a face of one colour. Light that falls
/// unevenly and a lamp's sheen make up to 4 (over 60 rendered faces); two colours of one cube are 8 apart or more.
const EVEN: f64 = 6.0;

/// Stickers of a face that may lie further off, for a highlight or a finger.
const OFF: usize = 2;

/// Least CIEDE2000 between two faces, level apart; below it no reading would be sure.
pub(super) const APART: f64 = 5.0;

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
    TooSimilar {
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
            CalibrationError::TooSimilar {
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
        let mut medoids = Vec::new();
        for (face, patches) in faces.iter().enumerate() {
            medoids.push(medoid_of_one_colour(face, patches.as_flattened())?);
        }
        for (other, b) in medoids.iter().enumerate() {
            for (one, a) in medoids[..other].iter().enumerate() {
                let difference = level_free(a, b);
                if difference < APART {
                    return Err(CalibrationError::TooSimilar {
                        faces: (one, other),
                        difference,
                    });
                }
            }
        }
        let namings = Model::generic().name_centres(&medoids, &LightEstimate::drift());
        let colours = &namings.first().ok_or(CalibrationError::Count(0))?.colours;
        let mut labelled: Vec<(Patch, Colour)> = Vec::new();
        for ((face, medoid), &colour) in faces.iter().zip(&medoids).zip(colours) {
            let even = |p: &&Patch| is_clear(p) && level_free(p, medoid) <= EVEN;
            labelled.extend(
                face.as_flattened()
                    .iter()
                    .filter(even)
                    .map(|p| (*p, colour)),
            );
        }
        // Single faces do not tell how they lie. That is taken to be as usual, and said.
        Ok(Profile::from_labelled(name, &labelled)?.of_scheme(Scheme::USUAL))
    }
}

fn is_clear(patch: &Patch) -> bool {
    patch.agreeing >= CLEAR
}

/// The most typical clear patch of a face, if the others are of the same colour.
pub(super) fn medoid_of_one_colour(
    face: usize,
    patches: &[Patch],
) -> Result<Patch, CalibrationError> {
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
    let mut medoid = *clear[0];
    for &patch in &clear[1..] {
        if total(patch) < total(&medoid) {
            medoid = *patch;
        }
    }
    let off = clear
        .iter()
        .filter(|p| level_free(p, &medoid) > EVEN)
        .count();
    if off > OFF {
        return Err(CalibrationError::Mixed { face });
    }
    Ok(medoid)
}

/// How different the colours of two patches are, whatever the light's level on each.
pub(super) fn level_free(a: &Patch, b: &Patch) -> f64 {
    hue_difference(a.rgb.into_format(), b.rgb.into_format())
}

#[cfg(test)]
mod tests {
    use super::*;
    use palette::LinSrgb;

    fn patch([red, green, blue]: [f32; 3]) -> Patch {
        Patch {
            rgb: LinSrgb::new(red, green, blue),
            spread: 0.02,
            clipped: 0.0,
            agreeing: 1.0,
            covered: 0.0,
        }
    }

    /// A solved cube's faces in the order of [`Colour::ALL`] under a warm lamp, lit unevenly.
    fn faces() -> [[[Patch; 3]; 3]; 6] {
        let colours = [
            [0.8, 0.65, 0.45],
            [0.45, 0.05, 0.04],
            [0.08, 0.3, 0.06],
            [0.8, 0.5, 0.03],
            [0.7, 0.16, 0.03],
            [0.05, 0.09, 0.25],
        ];
        colours.map(|c| {
            std::array::from_fn(|row| {
                std::array::from_fn(|column| {
                    let level = 0.7 + 0.05 * (row + 2 * column) as f32;
                    patch(c.map(|x| x * level))
                })
            })
        })
    }

    #[test]
    fn faces_get_their_names_in_any_order() {
        let mut faces = faces();
        let known = faces;
        for turn in 0..6 {
            faces.rotate_left(1);
            faces.swap(turn, (turn * 2 + 1) % 6);
            let profile = Profile::from_looks("lamp", &faces).unwrap();
            for colour in Colour::ALL {
                let samples = profile.samples(colour);
                assert_eq!(samples.len(), 9);
                let own = known[colour.index()].as_flattened();
                assert!(samples.iter().all(|s| own.iter().any(|p| p.rgb == *s)));
            }
        }
    }

    #[test]
    fn a_cube_that_is_not_solved_is_refused() {
        let mut faces = faces();
        let (red, green) = (faces[1], faces[2]);
        (faces[1][0], faces[2][0]) = (green[0], red[0]);
        let error = Profile::from_looks("lamp", &faces).unwrap_err();
        assert!(
            matches!(error, CalibrationError::Mixed { face: 1 }),
            "{error}"
        );
    }

    #[test]
    fn a_face_shown_twice_is_refused() {
        let mut faces = faces();
        faces[5] = faces[2];
        let error = Profile::from_looks("lamp", &faces).unwrap_err();
        assert!(
            matches!(error, CalibrationError::TooSimilar { faces: (2, 5), .. }),
            "{error}"
        );
    }

    #[test]
    fn a_hidden_face_and_a_missing_one_are_refused() {
        let mut faces = faces();
        for patch in faces[3].as_flattened_mut().iter_mut().take(6) {
            patch.agreeing = 0.3;
        }
        let error = Profile::from_looks("lamp", &faces).unwrap_err();
        assert!(
            matches!(error, CalibrationError::Unclear { face: 3 }),
            "{error}"
        );
        let error = Profile::from_looks("lamp", &faces[..5]).unwrap_err();
        assert!(matches!(error, CalibrationError::Count(5)), "{error}");
    }

    #[test]
    fn a_highlight_or_a_finger_on_a_face_is_left_out() {
        let mut faces = faces();
        faces[1][0][0] = patch([1.0, 0.95, 0.9]);
        faces[1][2][2] = patch([0.4, 0.25, 0.2]);
        let profile = Profile::from_looks("lamp", &faces).unwrap();
        assert_eq!(profile.samples(Colour::Red).len(), 7);
    }
}
