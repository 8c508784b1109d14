//! Where two faces of a cube are seen, the edges that they do not share say where the third must be: one seen so slantwise that the
//! finder's map does not show it well is looked for there.

use super::look::Point;
use super::quad::Quad;

/// A point or a line of the projective plane.
type Projective = [f64; 3];

/// The line through two points, or the point where two lines meet.
fn cross(a: Projective, b: Projective) -> Projective {
    std::array::from_fn(|i| {
        let (j, k) = ((i + 1) % 3, (i + 2) % 3);
        a[j] * b[k] - a[k] * b[j]
    })
}

fn point(p: Point) -> Projective {
    [f64::from(p.x), f64::from(p.y), 1.0]
}

fn line(a: Point, b: Point) -> Projective {
    cross(point(a), point(b))
}

/// The outlines that a third face can have beside two, one at each end of the edge that they share: side `i` of the one and side `k`
/// of the other. Of those that are turned away from the camera there is none. Exact but for a lens that bends lines.
pub fn third_faces(a: &Quad, b: &Quad, (i, k): (usize, usize)) -> impl Iterator<Item = Quad> {
    let (a, b) = (|n: usize| a.0[(i + n) % 4], |n: usize| b.0[(k + n) % 4]);
    // From each end of the edge: along the one face to its far corner, along the other, and the sides of both that run beside these.
    let first = beside([a(0), a(3), a(1), a(2)], [b(1), b(2), b(0), b(3)]);
    let second = beside([b(0), b(3), b(1), b(2)], [a(1), a(2), a(0), a(3)]);
    [first, second].into_iter().flatten()
}

/// The outline of the face between two. Of each: the corner that all share, the next one along the edge that it shares with that face,
/// and the two corners across from these.
fn beside(one: [Point; 4], other: [Point; 4]) -> Option<Quad> {
    let vanishing = |[from, to, from_across, to_across]: [Point; 4]| {
        cross(line(from, to), line(from_across, to_across))
    };
    let [x, y, w] = cross(
        cross(point(one[1]), vanishing(other)),
        cross(point(other[1]), vanishing(one)),
    );
    let far = Point {
        x: (x / w) as f32,
        y: (y / w) as f32,
    };
    let corner = Point {
        x: (one[0].x + other[0].x) / 2.0,
        y: (one[0].y + other[0].y) / 2.0,
    };
    Some(Quad([other[1], corner, one[1], far])).filter(Quad::is_outline)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sight::quad::distance;
    use crate::sight::testing::{any_lens, any_pose, seen};
    use proptest::prelude::*;

    /// The sides along which two faces meet.
    fn shared(a: &Quad, b: &Quad) -> (usize, usize) {
        let gap = |(i, k): (usize, usize)| {
            distance(a.0[i], b.0[(k + 1) % 4]) + distance(a.0[(i + 1) % 4], b.0[k])
        };
        let all = (0..16).map(|n| (n / 4, n % 4));
        all.min_by(|x, y| gap(*x).total_cmp(&gap(*y))).unwrap()
    }

    proptest! {
        #[test]
        fn of_three_faces_any_two_foretell_the_third(
            lens in any_lens(),
            pose in any_pose(),
            turns in prop::array::uniform3(0usize..4),
        ) {
            let faces = seen(&lens, &pose);
            prop_assume!(faces.len() == 3);
            let quads: Vec<Quad> = std::iter::zip(&faces, turns).map(|(face, turn)| face.quad.turned(turn)).collect();
            for missing in 0..3 {
                let (a, b) = (&quads[(missing + 1) % 3], &quads[(missing + 2) % 3]);
                let foretold: Vec<Quad> = third_faces(a, b, shared(a, b)).collect();
                let nearest = foretold.iter().map(|quad| quad.apart(&quads[missing])).fold(f32::INFINITY, f32::min);
                prop_assert!(nearest < 0.6, "{nearest} {foretold:?} {:?}", quads[missing]);
            }
        }
    }
}
