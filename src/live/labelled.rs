//! What a reading makes of the stickers of its looks.

use palette::LinSrgb;

use crate::colour::{LightEstimate, Model, Observation, Profile, ProfileError};
use crate::cube::Colour;
use crate::read::Reading;
use crate::sight::{Look, Patch};

/// A profile of a cube that was read for sure, in whatever state it is; of a scheme that is known only as far as it is `known` whether the
/// pictures are mirrored.
pub fn profile(
    name: &str,
    looks: &[Look],
    reading: &Reading,
    known: bool,
) -> Result<Profile, ProfileError> {
    let faces = labelled(looks, reading);
    let all: Vec<(Patch, Colour)> = faces.concat();
    let mut profile = Profile::from_labelled(name, &all)?;
    for _ in 0..ROUNDS {
        profile = Profile::from_labelled(name, &in_one_light(&profile, &faces))?;
    }
    Ok(profile.together(known.then_some(reading.scheme)))
}

/// Rounds of fitting each face's light against the colours so far; more change nothing.
const ROUNDS: usize = 3;

/// Share of a sticker's pixels that may be clipped before its colour is left as it is.
const CLIPPED: f32 = 0.25;

/// The stickers as all faces would show them in the light of the average face. Of a solved cube each colour has a face, and
/// its light, of its own; on any other the stickers of one colour are lit unlike each other, and their middle would be
/// that of no light.
fn in_one_light(profile: &Profile, faces: &[Vec<(Patch, Colour)>]) -> Vec<(Patch, Colour)> {
    let model = Model::from_profile(profile);
    let relit = faces.iter().flat_map(|face| {
        let observations: Vec<Observation> = face
            .iter()
            .map(|&(patch, colour)| Observation { patch, colour })
            .collect();
        let light = model.fit(&observations, &LightEstimate::none().for_another_face());
        let [red, green, blue] = light.gains().map(|gain| gain as f32);
        face.iter().map(move |&(patch, colour)| {
            // Of a clipped channel nobody knows what it would have been; near 1 it counts as clipped.
            let relit = |x: f32, gain: f32| {
                if patch.clipped > CLIPPED {
                    x
                } else {
                    (x / gain).min(1.0)
                }
            };
            let LinSrgb {
                red: r,
                green: g,
                blue: b,
                ..
            } = patch.rgb;
            let rgb = LinSrgb::new(relit(r, red), relit(g, green), relit(b, blue));
            (Patch { rgb, ..patch }, colour)
        })
    });
    relit.collect()
}

/// Every sticker that was read, with its colour, face by face. A mirrored look was read transposed, and faces that are
/// none of the cube's were left out.
pub fn labelled(looks: &[Look], reading: &Reading) -> Vec<Vec<(Patch, Colour)>> {
    let mut all = Vec::new();
    for (look, told) in looks.iter().zip(&reading.looks) {
        for read in &told.faces {
            let Some(face) = look.faces.iter().find(|face| read.is_of(face)) else {
                continue;
            };
            let mut stickers = Vec::new();
            for (row, letters) in read.stickers.iter().enumerate() {
                for (column, letter) in letters.chars().enumerate() {
                    let (r, c) = if told.mirrored {
                        (column, row)
                    } else {
                        (row, column)
                    };
                    let colour = Colour::from_letter(letter);
                    stickers.extend(colour.map(|colour| (face.patches[r][c], colour)));
                }
            }
            all.push(stickers);
        }
    }
    all
}
