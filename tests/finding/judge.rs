//! Holds found faces against true ones.

use pairsight::sight::Look;

/// Clockwise in the picture.
pub type Corners = [[f64; 2]; 4];

fn area(points: &[[f64; 2]]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points
        .iter()
        .zip(next)
        .map(|(a, b)| a[0] * b[1] - a[1] * b[0])
        .sum::<f64>()
        / 2.0
}

/// Shared area over united area of two convex outlines that run clockwise.
pub fn overlap(a: &Corners, b: &Corners) -> f64 {
    let mut shared = a.to_vec();
    for i in 0..4 {
        let (p, q) = (b[i], b[(i + 1) % 4]);
        let side = |r: [f64; 2]| (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
        let whole = std::mem::take(&mut shared);
        for (k, &from) in whole.iter().enumerate() {
            let to = whole[(k + 1) % whole.len()];
            let (s, t) = (side(from), side(to));
            if s >= 0.0 {
                shared.push(from);
            }
            if (s >= 0.0) != (t >= 0.0) {
                let part = s / (s - t);
                shared.push([
                    from[0] + part * (to[0] - from[0]),
                    from[1] + part * (to[1] - from[1]),
                ]);
            }
        }
    }
    let common = if shared.len() > 2 { area(&shared) } else { 0.0 };
    common / (area(a) + area(b) - common)
}

/// The outline of 16 lattice points, clockwise in the picture even if the picture is mirrored.
pub fn outline(lattice: &[[f64; 2]]) -> Corners {
    let corners = [lattice[0], lattice[3], lattice[15], lattice[12]];
    if area(&corners) < 0.0 {
        [corners[0], corners[3], corners[2], corners[1]]
    } else {
        corners
    }
}

pub fn outlines(look: &Look) -> Vec<Corners> {
    look.faces
        .iter()
        .map(|face| face.outline().map(|p| [f64::from(p.x), f64::from(p.y)]))
        .collect()
}

/// Holds pictures of a difficulty to the share of their faces that must be found.
pub fn promise(label: &str, found: usize, faces: usize) {
    let least = if label == "hard" { 0.92 } else { 0.99 };
    // One corner view may be missed in any set.
    let missed = (faces - found) as f64;
    assert!(
        missed <= (3.0f64).max((1.0 - least) * faces as f64),
        "{label}: {found} of {faces} faces found"
    );
}

/// What was found in some pictures.
#[derive(Default)]
pub struct Tally {
    pub pictures: usize,
    /// Faces that should be found, and those that were.
    pub faces: usize,
    pub found: usize,
    /// Faces that were found where there are none.
    pub wrong: usize,
}

impl Tally {
    /// Counts one more picture.
    pub fn count(&mut self, faces: usize, found: usize, wrong: usize) {
        self.pictures += 1;
        self.faces += faces;
        self.found += found;
        self.wrong += wrong;
    }

    /// Percentage of the faces that were found.
    pub fn share(&self) -> f64 {
        100.0 * self.found as f64 / self.faces.max(1) as f64
    }
}

/// Best overlap of each true face, and how many found faces are no true face.
pub fn judge(look: &Look, truths: &[Corners]) -> (Vec<f64>, usize) {
    let found = outlines(look);
    let best = |one: &Corners, many: &[Corners]| {
        many.iter()
            .map(|other| overlap(one, other))
            .fold(0.0, f64::max)
    };
    let wrong = found.iter().filter(|face| best(face, truths) < 0.8).count();
    (
        truths.iter().map(|truth| best(truth, &found)).collect(),
        wrong,
    )
}
