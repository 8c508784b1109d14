//! Which face or corner to show next.

use super::explain::Explained;
use super::reading::Ask;
use crate::cube::{Colour, Corner, Face, Scheme};

/// The face or corner that would settle most: what is missing first, else what the likely states differ in.
pub fn ask(explained: &Explained, missing: &[Colour]) -> Ask {
    match missing {
        [one] => show_face(*one),
        [_, _, ..] => show_corner(best_corner(|corner| {
            let missing = corner
                .colours()
                .iter()
                .filter(|c| missing.contains(c))
                .count();
            missing as f64
        })),
        [] => show_corner(best_corner(|corner| differing(explained, corner))),
    }
}

impl Ask {
    /// With the colours of a scheme in place of the roles that they have in the usual one.
    pub fn in_scheme(self, scheme: Scheme) -> Ask {
        Ask {
            show: self.show.into_iter().map(|c| scheme.colour(c)).collect(),
            say: scheme.in_words(&self.say),
        }
    }
}

/// Asks for one face.
pub fn show_face(colour: Colour) -> Ask {
    Ask {
        show: vec![colour],
        say: format!("show me the face with the {} centre", colour.name()),
    }
}

/// Asks for one corner.
pub fn show_corner(corner: Corner) -> Ask {
    let colours = corner.colours();
    let [a, b, c] = colours.map(Colour::name);
    Ask {
        show: colours.to_vec(),
        say: format!(
            "show me the corner where the {a}, {b} and {c} centres meet, all three faces at once"
        ),
    }
}

/// The first of the corners with the highest worth.
fn best_corner(worth: impl Fn(Corner) -> f64) -> Corner {
    let better = |a: Corner, b: Corner| if worth(b) > worth(a) { b } else { a };
    Corner::ALL.into_iter().fold(Corner::UFR, better)
}

/// How many stickers of a corner's three faces tell the rivals from the best, each rival by its weight.
fn differing(explained: &Explained, corner: Corner) -> f64 {
    let Some((best, rivals)) = explained.explanations.split_first() else {
        return 0.0;
    };
    let shown = best.state.colours();
    let faces = corner.faces().map(Face::index);
    let one = |rival: &super::Explanation| {
        let other = rival.state.colours();
        let cells =
            (0..54).filter(|cell| faces.contains(&(cell / 9)) && shown[*cell] != other[*cell]);
        (rival.score - best.score).clamp(-30.0, 0.0).exp() * cells.count() as f64
    };
    rivals.iter().map(one).sum()
}
