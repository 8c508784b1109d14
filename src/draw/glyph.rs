//! A small alphabet of strokes: the six colour letters, digits and the marks that drawings need.
//!
//! Each character is a path in a box from (-0.5, -0.5) to (0.5, 0.5), x right, y down. It is drawn as a line with
//! round ends, so that no font is needed.

use std::fmt::Write;

use super::geometry::Flat;

/// The strokes of a character, as SVG path commands `M L C` with absolute coordinates in the unit box. Letters are
/// drawn as capitals, whichever case is asked for; `None` when the alphabet has no such character.
pub fn strokes(of: char) -> Option<&'static str> {
    Some(match of.to_ascii_lowercase() {
        'w' => "M -.46 -.5 L -.25 .5 L 0 -.2 L .25 .5 L .46 -.5",
        'y' => "M -.36 -.5 L 0 0 L .36 -.5 M 0 0 L 0 .5",
        'r' => "M -.3 .5 L -.3 -.5 L .04 -.5 C .4 -.5 .4 .04 .04 .04 L -.3 .04 M .02 .04 L .34 .5",
        'o' => {
            "M 0 -.5 C .26 -.5 .4 -.28 .4 0 C .4 .28 .26 .5 0 .5 C -.26 .5 -.4 .28 -.4 0 C -.4 -.28 -.26 -.5 0 -.5"
        }
        'g' => {
            "M .34 -.3 C .26 -.44 .14 -.5 .02 -.5 C -.24 -.5 -.38 -.28 -.38 0 C -.38 .28 -.24 .5 .02 .5 \
             C .2 .5 .36 .38 .36 .08 L .06 .08"
        }
        'b' => {
            "M -.3 -.5 L -.3 .5 L .06 .5 C .42 .5 .42 -.04 .06 -.04 L -.3 -.04 M .04 -.04 C .36 -.04 .36 -.5 .04 -.5 \
             L -.3 -.5"
        }
        '0' => {
            "M 0 -.5 C .24 -.5 .32 -.28 .32 0 C .32 .28 .24 .5 0 .5 C -.24 .5 -.32 .28 -.32 0 C -.32 -.28 -.24 -.5 0 \
             -.5 M .16 -.28 L -.16 .28"
        }
        '1' => "M -.22 -.28 L .04 -.5 L .04 .5 M -.2 .5 L .26 .5",
        '2' => "M -.28 -.26 C -.26 -.6 .3 -.62 .28 -.22 C .27 0 -.1 .2 -.3 .5 L .32 .5",
        '3' => {
            "M -.28 -.5 L .28 -.5 L -.04 -.08 C .4 -.1 .42 .5 -.02 .5 C -.16 .5 -.26 .43 -.32 .32"
        }
        '4' => "M .14 .5 L .14 -.5 L -.34 .2 L .34 .2",
        '5' => {
            "M .28 -.5 L -.22 -.5 L -.26 -.04 C -.1 -.18 .34 -.18 .34 .17 C .34 .56 -.14 .6 -.32 .36"
        }
        '6' => {
            "M .24 -.5 C -.1 -.36 -.32 -.1 -.32 .18 C -.32 .6 .32 .6 .32 .18 C .32 -.16 -.2 -.16 -.31 .12"
        }
        '7' => "M -.32 -.5 L .32 -.5 L -.08 .5",
        '8' => {
            "M 0 -.06 C -.34 -.06 -.34 -.5 0 -.5 C .34 -.5 .34 -.06 0 -.06 C -.42 -.06 -.42 .5 0 .5 C .42 .5 .42 -.06 0 \
             -.06"
        }
        '9' => {
            "M -.24 .5 C .1 .36 .32 .1 .32 -.18 C .32 -.6 -.32 -.6 -.32 -.18 C -.32 .16 .2 .16 .31 -.12"
        }
        '?' => "M -.26 -.28 C -.22 -.6 .3 -.6 .28 -.2 C .27 .02 0 0 0 .22 M 0 .48 L 0 .5",
        '!' => "M 0 -.5 L 0 .2 M 0 .48 L 0 .5",
        _ => return None,
    })
}

/// Draws a character about `centre`, the box's axes mapped to `right` and `down` (so it lies on a slanted face as a
/// printed letter would). `paint` is the stroke's attributes. A character outside the alphabet draws nothing.
pub fn stroke(
    out: &mut String,
    of: char,
    centre: Flat,
    right: Flat,
    down: Flat,
    paint: &str,
    width: f32,
) {
    let Some(path) = strokes(of) else { return };
    let mut d = String::new();
    let mut x = None;
    for word in path.split_ascii_whitespace() {
        match (word.parse::<f32>(), x.take()) {
            (Ok(value), None) => x = Some(value),
            (Ok(y), Some(x)) => {
                let p = centre + right * x + down * y;
                // Writing to a String cannot fail.
                let _ = write!(d, "{:.1} {:.1} ", p.x, p.y);
            }
            (Err(_), _) => d.push_str(word),
        }
    }
    let _ = write!(
        out,
        "<path d=\"{}\" fill=\"none\" {paint} stroke-width=\"{width:.1}\" stroke-linecap=\"round\" \
         stroke-linejoin=\"round\"/>",
        d.trim_end()
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_letter_digit_and_mark_is_a_path_inside_its_box() {
        for c in "wyrogbWYROGB0123456789?!".chars() {
            let path = strokes(c).unwrap_or_else(|| panic!("no strokes for {c}"));
            let numbers: Vec<f32> = path
                .split_ascii_whitespace()
                .filter_map(|w| w.parse().ok())
                .collect();
            assert_eq!(numbers.len() % 2, 0, "{c}: coordinates come in pairs");
            // Control points of curves may lie outside by a little; the curve itself does not reach them.
            assert!(
                numbers.iter().all(|n| n.abs() <= 0.63),
                "{c} leaves its box"
            );
        }
        assert_eq!(strokes('k'), None);
    }
}
