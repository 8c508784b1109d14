//! Third stage: each proposed outline is straightened to a patch, and the judge net says how likely it is a face, where its
//! corners are rather, and what covers its stickers.

use super::nets::Nets;
use super::plane::Homography;
use super::pyramid::Source;
use super::quad::Quad;

/// Side of a patch, pixels.
const SIDE: usize = 64;

/// Half the side of a patch, in cells from the face's centre: the face and three quarters of a cell around it.
const REACH: f32 = 2.25;

/// Numbers that the net gives for a patch: log-odds of a face, moves of the four corners in cells, log-odds of cover for the nine
/// stickers.
const MARKS: usize = 18;

/// Log-odds under which an outline is not followed up once it was moved. What is far from its face looks like none at first.
const HOPELESS: f32 = -6.5;

/// Mean move of the corners, in cells, under which an outline has come to rest: about what corners are off in the end.
const AT_REST: f32 = 0.06;

/// Outlines nearer to each other than this, in cells, have come to the same face.
const SAME: f32 = 0.5;

/// What makes natural log-odds of the net's number for a face: factor and offset, by a logistic fit on pictures that it was not trained
/// on: 720 drawn by `training/hardships.py`, 256 parts of photographs and 1,392 of drawings without a cube.
const FACE: (f32, f32) = (1.18, -1.92);

/// An outline that was judged.
#[derive(Clone, Copy, Debug)]
pub struct Judged {
    pub quad: Quad,
    /// Natural log-odds that it is a face.
    pub score: f32,
    /// Chance that something lies on a sticker, row by row from the first corner.
    pub covered: [f32; 9],
}

/// Judges outlines and moves their corners, again and again until they rest, but at most so many times. Gives those that may be
/// faces, likeliest first; of those that come to the same face, one. The score is of an outline as it was before its last move.
pub fn judge(
    nets: &Nets,
    source: &Source,
    quads: &[Quad],
    most: usize,
    patches: &mut Vec<f32>,
) -> Vec<Judged> {
    let mut moving = quads.to_vec();
    let mut judged: Vec<Judged> = Vec::new();
    for time in 1..=most {
        let step = step(nets, source, &moving, patches);
        moving.clear();
        for (from, one) in step {
            if !one.quad.is_outline() || time > 1 && one.score < HOPELESS {
                continue;
            }
            if time == most || from.apart(&one.quad) < AT_REST {
                judged.push(one);
            } else if moving.iter().all(|other| other.apart(&one.quad) > SAME) {
                moving.push(one.quad);
            }
        }
    }
    judged.sort_by(|a, b| b.score.total_cmp(&a.score));
    let mut kept: Vec<Judged> = Vec::new();
    for one in judged {
        if kept.iter().all(|other| other.quad.apart(&one.quad) > SAME) {
            kept.push(one);
        }
    }
    kept
}

/// Judges outlines once, likeliest first: each with what it became.
fn step(
    nets: &Nets,
    source: &Source,
    quads: &[Quad],
    patches: &mut Vec<f32>,
) -> Vec<(Quad, Judged)> {
    if quads.is_empty() {
        return Vec::new();
    }
    patches.resize(quads.len() * 3 * SIDE * SIDE, 0.0);
    for (quad, patch) in quads.iter().zip(patches.chunks_exact_mut(3 * SIDE * SIDE)) {
        straighten(source, quad, patch);
    }
    let marks = nets.judge(patches, quads.len(), SIDE);
    let verdicts = marks.chunks_exact(MARKS).map(Verdict::of_marks);
    let mut judged: Vec<(Quad, Judged)> = std::iter::zip(quads, verdicts)
        .map(|(quad, verdict)| (*quad, verdict.of(quad)))
        .collect();
    judged.sort_by(|(_, a), (_, b)| b.score.total_cmp(&a.score));
    judged
}

/// What the net says of one patch.
struct Verdict {
    face: f32,
    moves: [(f32, f32); 4],
    covered: [f32; 9],
}

impl Verdict {
    fn of_marks(marks: &[f32]) -> Self {
        Verdict {
            face: marks[0],
            moves: std::array::from_fn(|i| (marks[1 + 2 * i], marks[2 + 2 * i])),
            covered: std::array::from_fn(|i| marks[9 + i]),
        }
    }

    /// The outline with its corners moved.
    fn moved(&self, quad: &Quad) -> Quad {
        let plane = Homography::onto(quad);
        let corner =
            |i: usize, x: f32, y: f32| plane.map_cells(x + self.moves[i].0, y + self.moves[i].1);
        Quad([
            corner(0, -1.5, -1.5),
            corner(1, 1.5, -1.5),
            corner(2, 1.5, 1.5),
            corner(3, -1.5, 1.5),
        ])
    }

    fn of(&self, quad: &Quad) -> Judged {
        let (factor, offset) = FACE;
        Judged {
            quad: self.moved(quad),
            score: factor * self.face + offset,
            covered: self.covered.map(|mark| 1.0 / (1.0 + (-mark).exp())),
        }
    }
}

/// How often the picture is halved before a patch of this outline is taken, so that a pixel of the one is about one of the other.
fn depth(quad: &Quad) -> usize {
    let side = (0..4).map(|i| quad.side(i)).sum::<f32>() / 4.0;
    let pixels = side / 3.0 * 2.0 * REACH / SIDE as f32;
    pixels.log2().round().max(0.0) as usize
}

/// Fills a patch with what lies under and around an outline: three planes, black -0.5 and white 0.5, 0 beyond the picture.
fn straighten(source: &Source, quad: &Quad, patch: &mut [f32]) {
    let level = source.level(depth(quad));
    let plane = Homography::onto(quad);
    let cells = |i: usize| REACH * (2.0 * (i as f32 + 0.5) / SIDE as f32 - 1.0);
    for row in 0..SIDE {
        for column in 0..SIDE {
            let at = plane.map_cells(cells(column), cells(row));
            let pixel = level
                .read(at)
                .map_or([0.0; 3], |rgb| rgb.map(|c| c / 255.0 - 0.5));
            for (k, value) in pixel.into_iter().enumerate() {
                patch[(k * SIDE + row) * SIDE + column] = value;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sight::pyramid::Pyramid;
    use crate::sight::testing::{any_lens, any_pose, seen};
    use image::RgbImage;
    use proptest::prelude::*;

    /// Red tells how far right a pixel of the picture is, green how far down.
    fn slopes() -> RgbImage {
        RgbImage::from_fn(640, 480, |x, y| {
            image::Rgb([(x * 255 / 640) as u8, (y * 255 / 480) as u8, 255])
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(40))]

        #[test]
        fn a_patch_shows_each_place_of_the_face_where_it_belongs(lens in any_lens(), pose in any_pose()) {
            let picture = slopes();
            let mut pyramid = Pyramid::default();
            pyramid.fill(&picture, [0, 0, 640, 480]);
            let source = Source { picture: &picture, pyramid: &pyramid };
            for face in seen(&lens, &pose) {
                let mut patch = vec![9.0; 3 * SIDE * SIDE];
                straighten(&source, &face.quad, &mut patch);
                let plane = Homography::onto(&face.quad);
                for (row, column) in (0..SIDE).step_by(7).flat_map(|r| (0..SIDE).map(move |c| (r, c))) {
                    let cell = |i: usize| -2.25 + 4.5 * (i as f32 + 0.5) / 64.0;
                    let at = plane.map_cells(cell(column), cell(row));
                    let [red, green, blue] = [0, 1, 2].map(|k| patch[(k * SIDE + row) * SIDE + column]);
                    // Away from the picture's rim, where pixels stand for what is beyond it, too.
                    if (8.0..632.0).contains(&at.x) && (8.0..472.0).contains(&at.y) {
                        prop_assert!((red + 0.5 - at.x / 640.0).abs() < 0.01, "{red} at {at:?}");
                        prop_assert!((green + 0.5 - at.y / 480.0).abs() < 0.01, "{green} at {at:?}");
                        prop_assert!((blue - 0.5).abs() < 1e-3);
                    } else if !(0.0..640.0).contains(&at.x) || !(0.0..480.0).contains(&at.y) {
                        prop_assert_eq!([red, green, blue], [0.0; 3]);
                    }
                }
            }
        }
    }

    #[test]
    fn moves_are_made_in_the_plane_of_the_face() {
        let quad = Quad(
            [
                (100.0, 100.0),
                (190.0, 100.0),
                (190.0, 190.0),
                (100.0, 190.0),
            ]
            .map(|(x, y)| crate::sight::look::Point { x, y }),
        );
        let mut marks = [0.0; MARKS];
        (marks[1], marks[6]) = (0.5, -1.0);
        let moved = Verdict::of_marks(&marks).moved(&quad);
        assert_eq!(moved.0.map(|p| p.x), [115.0, 190.0, 190.0, 100.0]);
        assert_eq!(moved.0.map(|p| p.y), [100.0, 100.0, 160.0, 190.0]);
    }
}
