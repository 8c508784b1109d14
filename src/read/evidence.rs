//! What the looks say, sticker by sticker, and how it is laid on the net once centres, rolls and mirroring are supposed.

use super::places::side_towards;
use crate::cube::Face;
use crate::sight::{Joint, Side};

/// Log-likelihood (natural) of each colour, in the order of `Colour::ALL`. Only differences matter; all equal says
/// nothing.
pub type Weights = [f32; 6];

/// A face's nine stickers, row by row.
pub type Table = [Weights; 9];

/// The evidence of one look: its faces' stickers in picture order, and how the faces are joined.
#[derive(Clone, Debug, Default)]
pub struct LookEvidence {
    pub faces: Vec<Table>,
    pub joints: Vec<Joint>,
}

/// One sticker can never speak louder than this (nats), whatever its likelihoods: it may be a finger or a reflection.
pub const STICKER_CAP: f32 = 12.0;

/// Looks at the same face share errors of light and colour: `n` of them weigh as `n` to this power.
const SHARED: f32 = 0.7;

/// What one face of a look is taken for: the cube's face, and how many quarter turns clockwise bring the picture's
/// rows to the net's; `None` where the look alone does not tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Assignment {
    pub face: Face,
    pub roll: Option<u8>,
}

/// Mirrors a face across its main diagonal: the walk around it runs the other way.
pub fn transposed<T: Copy>(face: &[T; 9]) -> [T; 9] {
    std::array::from_fn(|i| face[i % 3 * 3 + i / 3])
}

/// Turns a face clockwise by quarters.
pub fn rolled<T: Copy>(face: &[T; 9], quarters: u8) -> [T; 9] {
    let mut to = *face;
    for _ in 0..quarters % 4 {
        let from = to;
        to = std::array::from_fn(|i| from[(2 - i % 3) * 3 + i / 3]);
    }
    to
}

/// Likelihoods relative to the best, with the cap.
pub fn log_ratios(weights: &Weights) -> Weights {
    let most = weights.iter().copied().fold(f32::NEG_INFINITY, f32::max);
    weights.map(|w| {
        let w = w - most;
        if w.is_nan() { 0.0 } else { w.max(-STICKER_CAP) }
    })
}

/// The number of a side: top, right, bottom, left; in a mirrored picture, of the transposed face.
fn side_number(side: Side, mirrored: bool) -> u8 {
    let i = match side {
        Side::Top => 0,
        Side::Right => 1,
        Side::Bottom => 2,
        Side::Left => 3,
    };
    if mirrored { 3 - i } else { i }
}

/// The rolls that joints force on a look's faces when these are taken for `faces`; `None` when they cannot be so.
pub fn assignments(joints: &[Joint], faces: &[Face], mirrored: bool) -> Option<Vec<Assignment>> {
    let mut assigned: Vec<Assignment> = faces
        .iter()
        .map(|&face| Assignment { face, roll: None })
        .collect();
    for joint in joints {
        for ((at, side), (other, _)) in [(joint.a, joint.b), (joint.b, joint.a)] {
            let home = side_towards(*faces.get(at)?, *faces.get(other)?)? as u8;
            let roll = (home + 4 - side_number(side, mirrored)) % 4;
            if assigned[at]
                .roll
                .replace(roll)
                .is_some_and(|known| known != roll)
            {
                return None;
            }
        }
    }
    let repeated = (1..faces.len()).any(|i| faces[..i].contains(&faces[i]));
    (!repeated).then_some(assigned)
}

/// For each face of the cube, the ways its stickers may have been seen: one table for each choice of unknown rolls.
/// Never empty; an unseen face has one table of zeros.
pub type Alternatives = [Vec<Table>; 6];

/// A face seen several times at unknown rolls keeps at most this many alternatives.
const MOST_ALTERNATIVES: usize = 16;

/// Alternatives this far (nats) below the best of their face cannot matter.
const HOPELESS: f32 = 45.0;

/// Lays the looks on the net as they are assigned.
pub fn alternatives(
    looks: &[LookEvidence],
    assigned: &[Vec<Assignment>],
    mirrored: bool,
) -> Alternatives {
    Face::ALL.map(|face| {
        let mut fixed: Option<Table> = None;
        let mut loose: Vec<Table> = Vec::new();
        let mut seen = 0;
        for (look, assignments) in looks.iter().zip(assigned) {
            for (table, assignment) in look
                .faces
                .iter()
                .zip(assignments)
                .filter(|(_, p)| p.face == face)
            {
                let mut table = table.map(|w| log_ratios(&w));
                if mirrored {
                    table = transposed(&table);
                }
                seen += 1;
                match assignment.roll {
                    Some(roll) => {
                        fixed = Some(sum(&fixed.unwrap_or_default(), &rolled(&table, roll)))
                    }
                    None => loose.push(table),
                }
            }
        }
        let mut tables = vec![fixed.unwrap_or_default()];
        // The face that says most first, so that the others have something to be laid against.
        loose = highest_first(loose).map(|(_, table)| table).collect();
        for table in &loose {
            let rolls: [Table; 4] = [0, 1, 2, 3].map(|roll| rolled(table, roll));
            let laid = { tables.iter() }.flat_map(|t| rolls.each_ref().map(|r| sum(t, r)));
            let mut laid = highest_first(laid).peekable();
            let best = laid.peek().map_or(0.0, |(ceiling, _)| *ceiling);
            tables = { laid.take_while(|(ceiling, _)| *ceiling > best - HOPELESS) }
                .take(MOST_ALTERNATIVES)
                .map(|(_, table)| table)
                .collect();
        }
        let weight = shared_weight(seen);
        for w in tables.iter_mut().flatten().flatten() {
            *w *= weight;
        }
        tables
    })
}

/// Tables by their ceilings, the highest first.
fn highest_first(tables: impl IntoIterator<Item = Table>) -> impl Iterator<Item = (f32, Table)> {
    let mut rated: Vec<(f32, Table)> = { tables.into_iter() }
        .map(|table| (ceiling(&table), table))
        .collect();
    rated.sort_by(|a, b| b.0.total_cmp(&a.0));
    rated.into_iter()
}

/// What each of `seen` looks at one face counts.
pub fn shared_weight(seen: usize) -> f32 {
    (seen.max(1) as f32).powf(SHARED - 1.0)
}

fn sum(a: &Table, b: &Table) -> Table {
    std::array::from_fn(|i| std::array::from_fn(|c| a[i][c] + b[i][c]))
}

/// No state can make a face more likely than this.
fn ceiling(table: &Table) -> f32 {
    table
        .iter()
        .map(|w| w.iter().copied().fold(f32::NEG_INFINITY, f32::max))
        .sum()
}
