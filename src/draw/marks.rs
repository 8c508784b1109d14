//! Marks laid over a picture: the faces that were found, and what was read on each sticker.

use std::fmt::Write;

use super::geometry::Flat;
use super::{glyph, ink};
use crate::cube::Colour;
use crate::sight::Point;

/// A sticker with at least this chance of being wrong is marked as doubtful.
const DOUBT: f32 = 0.05;

/// A face found in a picture, with what was read.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkedFace {
    /// The 4x4 corners of the grid, `[row][column]`, in pixels.
    pub lattice: [[Point; 4]; 4],
    /// `None` where a sticker was not read.
    pub colours: [[Option<Colour>; 3]; 3],
    /// Chance that a sticker is wrong, 0 to 1.
    pub doubt: [[f32; 3]; 3],
}

/// An SVG of the size of the picture, transparent but for the marks.
///
/// Each sticker gets a badge of the colour that was read, with its letter; a doubtful one has a broken frame and a
/// question mark.
pub fn marks(width: u32, height: u32, faces: &[MarkedFace]) -> String {
    let mut body = String::new();
    for face in faces {
        let at = |r: usize, c: usize| {
            let p = face.lattice[r][c];
            Flat::new(p.x, p.y)
        };
        let outline = [at(0, 0), at(0, 3), at(3, 3), at(3, 0)];
        let side = (0..4)
            .map(|i| (outline[(i + 1) % 4] - outline[i]).length())
            .fold(f32::INFINITY, f32::min);
        let line = (side / 60.0).max(1.5);
        for (colour, width) in [(ink::BODY, line * 2.2), (ink::PAPER, line)] {
            let _ = write!(
                body,
                "<polygon points=\"{}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{width:.1}\" \
                 stroke-linejoin=\"round\"/>",
                ink::points(&outline)
            );
        }
        for r in 0..3 {
            for c in 0..3 {
                let corners = [at(r, c), at(r, c + 1), at(r + 1, c + 1), at(r + 1, c)];
                badge(&mut body, corners, face.colours[r][c], face.doubt[r][c]);
            }
        }
    }
    let view = [0.0, 0.0, width as f32, height as f32];
    ink::document(view, "what was found", &body)
}

/// An SVG of the size of the picture, transparent but for outlines in pixels of the picture.
pub fn outlines(width: u32, height: u32, of: &[Vec<Point>]) -> String {
    let mut body = String::new();
    let line = (width.min(height) as f32 / 450.0).max(1.0);
    for outline in of {
        let corners: Vec<Flat> = outline.iter().map(|p| Flat::new(p.x, p.y)).collect();
        for (colour, width) in [(ink::BODY, line * 2.4), (ink::PAPER, line)] {
            let _ = write!(
                body,
                "<polygon points=\"{}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{width:.1}\"/>",
                ink::points(&corners)
            );
        }
    }
    let view = [0.0, 0.0, width as f32, height as f32];
    ink::document(view, "what a stage saw", &body)
}

fn badge(out: &mut String, corners: [Flat; 4], colour: Option<Colour>, doubt: f32) {
    let centre = Flat::mean(&corners);
    let wide = (corners[1] + corners[2] - corners[0] - corners[3]).length() * 0.5;
    let tall = (corners[2] + corners[3] - corners[0] - corners[1]).length() * 0.5;
    // The badge stands upright whatever the roll of the face, so that its letter reads at once.
    let radius = wide.min(tall) * 0.31;
    let doubtful = doubt >= DOUBT || colour.is_none();
    let frame = if doubtful {
        let _ = write!(
            out,
            "<polygon points=\"{}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{:.1}\" stroke-dasharray=\"{:.1} \
             {:.1}\" stroke-linejoin=\"round\"/>",
            ink::points(&corners.map(|c| centre + (c - centre) * 0.88)),
            ink::DOUBT,
            (radius * 0.22).max(1.5),
            radius * 0.6,
            radius * 0.4
        );
        ink::DOUBT
    } else {
        ink::BODY
    };
    let _ = write!(
        out,
        "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"{radius:.1}\" fill=\"{}\" stroke=\"{frame}\" stroke-width=\"{:.1}\"/>",
        centre.x,
        centre.y,
        ink::fill(colour),
        (radius * 0.16).max(1.0)
    );
    let size = radius * 1.05;
    glyph::stroke(
        out,
        ink::letter(colour),
        centre,
        Flat::new(size * 0.86, 0.0),
        Flat::new(0.0, size),
        &format!("stroke=\"{}\"", ink::letter_ink(colour)),
        (radius * 0.2).max(1.0),
    );
    if doubtful && colour.is_some() {
        let beside = centre + Flat::new(radius * 1.12, -radius * 1.0);
        let half = radius * 0.62;
        let _ = write!(
            out,
            "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"{half:.1}\" fill=\"{}\"/>",
            beside.x,
            beside.y,
            ink::DOUBT
        );
        glyph::stroke(
            out,
            '?',
            beside,
            Flat::new(half * 0.9, 0.0),
            Flat::new(0.0, half * 1.1),
            &format!("stroke=\"{}\"", ink::PAPER),
            (half * 0.24).max(1.0),
        );
    }
}
