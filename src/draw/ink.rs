//! The palette and the few SVG elements that all drawings are made of.

use std::fmt::Write;

use super::glyph;
use super::{Sticker, geometry::Flat};
use crate::cube::Colour;

/// The plastic between stickers.
pub const BODY: &str = "#262a33";
/// Paper of a drawing's notes, and the light half of frames.
pub const PAPER: &str = "#fbf9f4";
/// Doubt about a sticker in a picture: a colour that no sticker has.
pub const DOUBT: &str = "#d6249f";
/// An unread sticker.
const UNKNOWN: &str = "#8b8f98";

/// A sticker whose colour does not matter.
const BLANK: &str = "#6b707b";

/// Fill of a sticker.
pub fn fill(colour: Option<Colour>) -> &'static str {
    match colour {
        Some(Colour::White) => "#f7f5ee",
        Some(Colour::Yellow) => "#f4cf2f",
        Some(Colour::Red) => "#c22f38",
        Some(Colour::Orange) => "#f08a2c",
        Some(Colour::Green) => "#1a7d41",
        Some(Colour::Blue) => "#2a5db5",
        None => UNKNOWN,
    }
}

/// Colour of the letter on a sticker: the one of dark and light that stands out more.
pub fn letter_ink(colour: Option<Colour>) -> &'static str {
    match colour {
        Some(Colour::White | Colour::Yellow | Colour::Orange) => "#262a33",
        _ => "#fbf9f4",
    }
}

/// The character drawn on a sticker.
pub fn letter(colour: Option<Colour>) -> char {
    colour.map_or('?', Colour::letter)
}

/// `x,y x,y ..` for a `points` attribute.
pub fn points(of: &[Flat]) -> String {
    let mut text = String::new();
    for (i, p) in of.iter().enumerate() {
        let gap = if i == 0 { "" } else { " " };
        // Writing to a String cannot fail.
        let _ = write!(text, "{gap}{:.1},{:.1}", p.x, p.y);
    }
    text
}

/// A document of the given size in user units, drawn `view` = (left, top, width, height).
pub fn document(view: [f32; 4], title: &str, body: &str) -> String {
    let [x, y, w, h] = view;
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{x:.1} {y:.1} {w:.1} {h:.1}\" width=\"{w:.0}\" \
         height=\"{h:.0}\" role=\"img\"><title>{title}</title>{body}</svg>"
    )
}

/// A sticker on the flat quad `corners` (clockwise from the start of its face's rows), with its letter.
///
/// `upright` gives the letter's own axes (right, down) when the quad's would turn or mirror it.
pub fn sticker(out: &mut String, s: &Sticker, corners: [Flat; 4], upright: Option<(Flat, Flat)>) {
    let centre = Flat::mean(&corners);
    let right = (corners[1] + corners[2] - corners[0] - corners[3]) * 0.5;
    let down = (corners[2] + corners[3] - corners[0] - corners[1]) * 0.5;
    let unit = right.length().min(down.length());
    let shown = corners.map(|c| centre + (c - centre) * 0.80);
    let opacity = if s.dim { 0.4 } else { 1.0 };
    let fill = if s.blank { BLANK } else { fill(s.colour) };
    // The stroke of the fill's own colour rounds the corners whatever the projection.
    let _ = write!(
        out,
        "<polygon points=\"{}\" fill=\"{fill}\" stroke=\"{fill}\" stroke-width=\"{:.1}\" stroke-linejoin=\"round\" \
         opacity=\"{opacity}\"/>",
        points(&shown),
        unit * 0.12,
    );
    if s.blank {
        return;
    }
    let (right, down) = upright.unwrap_or((right, down));
    glyph::stroke(
        out,
        letter(s.colour),
        centre,
        right * 0.46,
        down * 0.46,
        &format!(
            "stroke=\"{}\" stroke-opacity=\"{}\"",
            letter_ink(s.colour),
            if s.dim { 0.6 } else { 1.0 }
        ),
        unit * 0.075,
    );
}

/// The plastic of a whole face.
pub fn plate(out: &mut String, corners: &[Flat; 4], round: f32) {
    let _ = write!(
        out,
        "<polygon points=\"{}\" fill=\"{1}\" stroke=\"{1}\" stroke-width=\"{round:.1}\" stroke-linejoin=\"round\"/>",
        points(corners),
        BODY
    );
}
