//! Gathering the six faces of a solved cube from many looks, each face once.

use super::calibrate::{APART, CalibrationError, level_free, medoid_of_one_colour};
use super::light::LightEstimate;
use super::model::Model;
use super::profile::Profile;
use crate::cube::{Colour, Scheme};
use crate::sight::Patch;

/// The faces of one colour seen so far, each with its most typical patch.
#[derive(Clone, Debug, Default)]
pub struct SolvedFaces {
    faces: Vec<Gathered>,
}

#[derive(Clone, Debug)]
struct Gathered {
    medoid: Patch,
    patches: [[Patch; 3]; 3],
    fit: f32,
}

/// What came of offering a face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Offered {
    /// A face not seen before.
    New,
    /// A face seen before; the better look of the two is kept.
    Known,
    /// Not a face of one colour, or most of it is hidden.
    NotOneColour,
    /// Like a face seen before and like another one too: the light does not keep them apart.
    Full,
}

impl SolvedFaces {
    /// Takes a face's patches, with how well the finder liked it.
    pub fn offer(&mut self, patches: &[[Patch; 3]; 3], fit: f32) -> Offered {
        let Ok(medoid) = medoid_of_one_colour(0, patches.as_flattened()) else {
            return Offered::NotOneColour;
        };
        let new = Gathered {
            medoid,
            patches: *patches,
            fit,
        };
        let same = |known: &&mut Gathered| level_free(&known.medoid, &medoid) < APART;
        let full = self.faces.len() == 6;
        match self.faces.iter_mut().find(same) {
            Some(known) if fit > known.fit => {
                *known = new;
                Offered::Known
            }
            Some(_) => Offered::Known,
            None if full => Offered::Full,
            None => {
                self.faces.push(new);
                Offered::New
            }
        }
    }

    /// The most typical patch of each face so far, in the order of showing.
    pub fn medoids(&self) -> Vec<Patch> {
        self.faces.iter().map(|face| face.medoid).collect()
    }

    /// Faces so far, 0 to 6.
    pub fn count(&self) -> usize {
        self.faces.len()
    }

    /// The profile of fewer faces, one a colour, as far as these can be named; none where too much is missing.
    pub fn partial(&self, name: &str) -> Option<Profile> {
        let namings = Model::generic().name_centres(&self.medoids(), &LightEstimate::drift());
        let colours = namings.into_iter().next()?.colours;
        let faces = self.faces.iter().zip(colours);
        let labelled: Vec<(Patch, Colour)> = faces
            .flat_map(|(face, colour)| {
                face.patches
                    .as_flattened()
                    .iter()
                    .map(move |&p| (p, colour))
            })
            .collect();
        let profile = Profile::from_labelled(name, &labelled).ok()?;
        Some(profile.of_scheme(Scheme::USUAL))
    }

    /// The profile of the six faces.
    pub fn profile(&self, name: &str) -> Result<Profile, CalibrationError> {
        let patches: Vec<[[Patch; 3]; 3]> = self.faces.iter().map(|face| face.patches).collect();
        Profile::from_looks(name, &patches)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use palette::LinSrgb;

    fn face(red: f32, green: f32, blue: f32) -> [[Patch; 3]; 3] {
        let rgb = LinSrgb::new(red, green, blue);
        [[Patch {
            rgb,
            spread: 0.02,
            clipped: 0.0,
            agreeing: 1.0,
            covered: 0.0,
        }; 3]; 3]
    }

    #[test]
    fn each_face_is_gathered_once_however_often_it_is_seen() {
        let mut faces = SolvedFaces::default();
        assert_eq!(faces.offer(&face(0.7, 0.7, 0.7), 0.5), Offered::New);
        assert_eq!(faces.offer(&face(0.6, 0.6, 0.6), 0.6), Offered::Known);
        assert_eq!(faces.offer(&face(0.5, 0.05, 0.03), 0.6), Offered::New);
        assert_eq!(faces.count(), 2);
        assert!(matches!(
            faces.profile("two"),
            Err(CalibrationError::Count(2))
        ));
    }

    #[test]
    fn a_mixed_face_is_not_gathered() {
        let mut mixed = face(0.7, 0.7, 0.7);
        mixed[1] = face(0.5, 0.05, 0.03)[1];
        assert_eq!(
            SolvedFaces::default().offer(&mixed, 1.0),
            Offered::NotOneColour
        );
    }
}
