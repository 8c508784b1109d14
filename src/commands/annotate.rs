//! Pictures with what was found drawn on them: each sticker's colour as a letter, and its doubt.

use std::io::Cursor;
use std::path::Path;

use image::{ImageFormat, RgbImage};

use super::files::write_whole;
use super::outcome::Failure;
use crate::cube::Colour;
use crate::draw::{MarkedFace, lay_over, marks};
use crate::read::{FaceReading, LookReading};
use crate::sight::{FaceView, Look, Point};

/// The annotated picture's file name: numbered, so that pictures of one name from several folders do not collide.
pub fn annotated_name(picture: &Path, number: usize) -> String {
    let stem = picture
        .file_stem()
        .map(|stem| stem.to_string_lossy().into_owned())
        .unwrap_or_default();
    format!("{:02}-{stem}.png", number + 1)
}

/// Writes the picture with the marks of a look. Faces that were not read are outlined only.
pub fn annotate(
    picture: &RgbImage,
    look: &Look,
    reading: Option<&LookReading>,
    file: &Path,
) -> Result<(), Failure> {
    let failed = |cause: String| Failure::failed(format!("{}: {cause}", file.display()));
    let mirrored = reading.is_some_and(|reading| reading.mirrored);
    let faces: Vec<MarkedFace> = look
        .faces
        .iter()
        .enumerate()
        .map(|(i, face)| {
            marked(
                face,
                reading.and_then(|reading| reading.faces.get(i)),
                mirrored,
            )
        })
        .collect();
    let mut picture = picture.clone();
    let drawing = marks(picture.width(), picture.height(), &faces);
    lay_over(&mut picture, &drawing).map_err(|error| failed(error.to_string()))?;
    let mut png = Cursor::new(Vec::new());
    picture
        .write_to(&mut png, ImageFormat::Png)
        .map_err(|error| failed(error.to_string()))?;
    write_whole(file, png.get_ref())
}

/// A found face with what was read on it. A mirrored one was read transposed, so its grid is taken so too.
fn marked(face: &FaceView, reading: Option<&FaceReading>, mirrored: bool) -> MarkedFace {
    let lattice: [[Point; 4]; 4] = if mirrored {
        std::array::from_fn(|row| std::array::from_fn(|column| face.lattice[column][row]))
    } else {
        face.lattice
    };
    let Some(reading) = reading else {
        return MarkedFace {
            lattice,
            colours: [[None; 3]; 3],
            doubt: [[0.0; 3]; 3],
        };
    };
    let colours = std::array::from_fn(|row| {
        let mut letters = reading.stickers[row].chars();
        std::array::from_fn(|_| letters.next().and_then(Colour::from_letter))
    });
    MarkedFace {
        lattice,
        colours,
        doubt: reading.doubt,
    }
}
