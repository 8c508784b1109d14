//! Holds found faces against true ones.

use pairsight::sight::{FaceView, Look};

use super::shots::Face;

/// Clockwise in the picture.
pub type Corners = [[f64; 2]; 4];

/// Mean distance of the corners, in cells, within which a face is found where it is.
pub const IN_PLACE: f64 = 0.35;

/// What a look is worth, held against the truth.
pub struct Judged {
    /// For each true face the number of the found one, and the mean distance of their corners as a share of a side.
    pub found: Vec<Option<(usize, f64)>>,
    /// For each found face, whether it is a true one.
    pub is_true: Vec<bool>,
}

impl Judged {
    /// The numbers of found faces, each with that of the true one.
    pub fn pairs(&self) -> impl Iterator<Item = (usize, usize)> {
        let truths = self.found.iter().enumerate();
        truths.filter_map(|(truth, found)| Some(((*found)?.0, truth)))
    }

    /// How many found faces are no face.
    pub fn wrong(&self) -> usize {
        self.is_true.iter().filter(|is_true| !**is_true).count()
    }
}

/// Holds a look against the faces in sight.
pub fn judge(look: &Look, truths: &[Face]) -> Judged {
    let own: Vec<Corners> = outlines(look);
    let found = truths.iter().map(|truth| {
        own.iter()
            .map(|one| apart(one, &truth.outline))
            .enumerate()
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .filter(|(_, apart)| *apart < IN_PLACE)
            .map(|(i, apart)| (i, apart / 3.0))
    });
    let is_true = own.iter().map(|one| {
        truths
            .iter()
            .any(|truth| apart(one, &truth.outline) < IN_PLACE)
    });
    Judged {
        found: found.collect(),
        is_true: is_true.collect(),
    }
}

/// Mean distance of the corners in cells of the second outline, under the best quarter turn.
pub fn apart(one: &Corners, truth: &Corners) -> f64 {
    let distance = |p: [f64; 2], q: [f64; 2]| (p[0] - q[0]).hypot(p[1] - q[1]);
    let perimeter: f64 = (0..4).map(|i| distance(truth[i], truth[(i + 1) % 4])).sum();
    let turned = |turn: usize| -> f64 {
        (0..4)
            .map(|i| distance(one[(i + turn) % 4], truth[i]))
            .sum()
    };
    let least = (0..4).map(turned).fold(f64::INFINITY, f64::min);
    (least / 4.0) / (perimeter / 12.0)
}

/// The area, square pixels.
pub fn area([a, b, c, d]: &Corners) -> f64 {
    ((c[0] - a[0]) * (d[1] - b[1]) - (d[0] - b[0]) * (c[1] - a[1])).abs() / 2.0
}

/// The outline of 16 lattice points, clockwise in the picture even if the picture is mirrored.
pub fn outline(lattice: &[[f64; 2]]) -> Corners {
    let [a, b, c, d] = [lattice[0], lattice[3], lattice[15], lattice[12]];
    let twice = (c[0] - a[0]) * (d[1] - b[1]) - (c[1] - a[1]) * (d[0] - b[0]);
    match twice < 0.0 {
        true => [a, d, c, b],
        false => [a, b, c, d],
    }
}

pub fn outlines(look: &Look) -> Vec<Corners> {
    let corners = |face: &FaceView| face.outline().map(|p| [f64::from(p.x), f64::from(p.y)]);
    look.faces.iter().map(corners).collect()
}
