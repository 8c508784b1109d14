//! Pictures with what was found drawn on them: each sticker's colour as a letter, and its doubt; and what the stages of finding saw.

use std::io::Cursor;
use std::path::Path;
use std::time::Duration;

use image::{ImageFormat, RgbImage};

use super::files::write_whole;
use crate::cube::Colour;
use crate::draw::{MarkedFace, lay_over, marks, outlines};
use crate::front::outcome::Failure;
use crate::input::shown;
use crate::read::{FaceReading, LookReading};
use crate::sight::{FaceView, Look, Point, Stage, Trace};

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
    let drawing = marks(
        picture.width(),
        picture.height(),
        &marked_faces(look, reading),
    );
    write_drawn(picture, &drawing, file)
}

/// The faces of a look, each with what was read on it.
fn marked_faces(look: &Look, reading: Option<&LookReading>) -> Vec<MarkedFace> {
    let mirrored = reading.is_some_and(|reading| reading.mirrored);
    let told = |face: &FaceView| {
        let mut all = reading.iter().flat_map(|reading| &reading.faces);
        all.find(|told| told.is_of(face))
    };
    look.faces
        .iter()
        .map(|face| marked(face, told(face), mirrored))
        .collect()
}

/// Writes the picture once for each stage that finds places, with those places. `file` is the annotated picture's name: the stage's
/// number and name are put behind its stem.
pub fn annotate_stages(picture: &RgbImage, trace: &Trace, file: &Path) -> Result<(), Failure> {
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    let proposals = trace
        .proposals
        .iter()
        .map(|(quad, _)| quad.to_vec())
        .collect();
    let judged = trace.judged.iter().map(|(quad, _)| quad.to_vec()).collect();
    let stages: [(Stage, Vec<Vec<Point>>); 2] = [(Stage::Find, proposals), (Stage::Judge, judged)];
    for (number, (stage, seen)) in stages.into_iter().enumerate() {
        let drawing = outlines(picture.width(), picture.height(), &seen);
        let name = format!("{stem}-{}-{}.png", number + 1, stage.name());
        write_drawn(picture, &drawing, &file.with_file_name(name))?;
    }
    Ok(())
}

/// How long the stages took, in the order of their first run: `shrink 0.41 ms, quads 3.20 ms`.
pub fn stage_times(trace: &Trace) -> String {
    let mut sums: Vec<(Stage, Duration)> = Vec::new();
    for &(stage, time) in &trace.times {
        match sums.iter_mut().find(|(other, _)| *other == stage) {
            Some((_, sum)) => *sum += time,
            None => sums.push((stage, time)),
        }
    }
    let told: Vec<String> = sums
        .iter()
        .map(|(stage, time)| format!("{} {:.2} ms", stage.name(), time.as_secs_f64() * 1e3))
        .collect();
    told.join(", ")
}

fn write_drawn(picture: &RgbImage, drawing: &str, file: &Path) -> Result<(), Failure> {
    let failed = |cause: String| Failure::failed(format!("{}: {cause}", shown(file)));
    let mut picture = picture.clone();
    lay_over(&mut picture, drawing).map_err(|error| failed(error.to_string()))?;
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::live::testing;

    /// A face in that place with what was read on it, all of one colour.
    fn read(x: f32, letter: char) -> (FaceView, FaceReading) {
        let face = testing::look(x, 0).faces.remove(0);
        let reading = FaceReading {
            centre: Colour::from_letter(letter).unwrap(),
            outline: face.outline().map(|corner| [corner.x, corner.y]),
            stickers: [0; 3].map(|_| letter.to_string().repeat(3)),
            doubt: [[0.0; 3]; 3],
        };
        (face, reading)
    }

    fn centres(look: &Look, read: Vec<FaceReading>) -> Vec<Option<Colour>> {
        let reading = LookReading {
            image: None,
            problems: Vec::new(),
            mirrored: false,
            faces: read,
        };
        let marked = marked_faces(look, Some(&reading));
        marked.iter().map(|face| face.colours[1][1]).collect()
    }

    #[test]
    fn a_face_that_was_left_out_gets_none_of_the_others_letters() {
        let ((one, _), (other, told)) = (read(100.0, 'r'), read(300.0, 'g'));
        let look = Look {
            faces: vec![one, other],
            ..Look::default()
        };
        assert_eq!(centres(&look, vec![told]), [None, Some(Colour::Green)]);
    }
}
