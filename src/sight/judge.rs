//! Third stage: each proposed outline is straightened to a patch, and the judge net says how likely it is a face, where its
//! corners are rather, and what covers its stickers.

use super::nets::Nets;
use super::plane::Homography;
use super::pyramid::Source;
use super::quad::Quad;

/// Side of a patch, pixels.
const SIDE: usize = 64;

/// Half the side of a patch, in cells from the face's middle: the face and three quarters of a cell around it.
const REACH: f32 = 2.25;

/// Numbers that the net gives for a patch: log-odds of a face, moves of the four corners in cells, log-odds of cover for the nine
/// stickers.
const MARKS: usize = 18;

/// Log-odds by the net under which an outline is not followed up.
const HOPELESS: f32 = -6.0;

/// Outlines nearer to each other than this, in cells, have come to the same face.
const SAME: f32 = 0.5;

/// What makes natural log-odds of the net's number for a face, measured on pictures that it was not trained on: factor, offset.
const FACE: (f32, f32) = (1.0, 0.0);
/// The same for covered stickers.
const COVERED: (f32, f32) = (1.0, 0.0);

/// An outline that was judged.
#[derive(Clone, Copy, Debug)]
pub struct Judged {
    pub quad: Quad,
    /// Natural log-odds that it is a face.
    pub score: f32,
    /// Chance that something lies on a sticker, row by row from the first corner.
    pub covered: [f32; 9],
}

/// Judges outlines in so many steps, each of which moves their corners, and gives those that may be faces, likeliest first; of those
/// that come to the same face, one. The score is of the outline as the last step found it.
pub fn judge(
    nets: &Nets,
    source: &Source,
    quads: &[Quad],
    steps: usize,
    patches: &mut Vec<f32>,
) -> Vec<Judged> {
    let mut judged = step(nets, source, quads, patches);
    for _ in 1..steps {
        let quads: Vec<Quad> = judged.iter().map(|one| one.quad).collect();
        judged = step(nets, source, &quads, patches);
    }
    judged
}

/// Judges outlines once.
fn step(nets: &Nets, source: &Source, quads: &[Quad], patches: &mut Vec<f32>) -> Vec<Judged> {
    if quads.is_empty() {
        return Vec::new();
    }
    patches.resize(quads.len() * 3 * SIDE * SIDE, 0.0);
    for (quad, patch) in quads.iter().zip(patches.chunks_exact_mut(3 * SIDE * SIDE)) {
        straighten(source, quad, patch);
    }
    let marks = nets.judge(patches, quads.len(), SIDE);
    let verdicts = marks.chunks_exact(MARKS).map(Verdict::of_marks);
    let mut judged: Vec<Judged> = std::iter::zip(quads, verdicts)
        .filter(|(_, verdict)| verdict.face > HOPELESS)
        .map(|(quad, verdict)| verdict.of(quad))
        .filter(|one| one.quad.is_outline())
        .collect();
    judged.sort_by(|a, b| b.score.total_cmp(&a.score));
    let mut kept: Vec<Judged> = Vec::new();
    for one in judged {
        if kept.iter().all(|other| other.quad.apart(&one.quad) > SAME) {
            kept.push(one);
        }
    }
    kept
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
        let odds = |(factor, offset): (f32, f32), mark: f32| factor * mark + offset;
        Judged {
            quad: self.moved(quad),
            score: odds(FACE, self.face),
            covered: self
                .covered
                .map(|mark| 1.0 / (1.0 + (-odds(COVERED, mark)).exp())),
        }
    }
}

/// How often the picture is halved before a patch of this outline is taken, so that a pixel of the one is about one of the other.
pub fn depth(quad: &Quad) -> usize {
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
