//! Whether what a lattice lies on is a face: sides of stickers where they should be, and no grid going on beyond.

use super::grooves::{Border, Borders, Cell, OUTWARD, View, abreast, measure_cell, units};
use super::plane::Homography;

/// How far a side may be from its place and still count, in cells.
const NEAR: f32 = 0.075;

/// A cell of the same grid has borders at least this strong, as a share of the middle one of the nine. Fingers over the rim lie about as
/// wide as stickers, but end less sharply.
const ALIKE: f32 = 0.35;

/// Sides towards a neighbouring sticker.
pub const ALL_INNER: u32 = 24;

/// What the sides of a lattice say.
#[derive(Clone, Copy, Debug, Default)]
pub struct Evidence {
    /// Sides towards a neighbouring sticker that are where they should be, of 24.
    pub inner: u32,
    /// Sides towards a neighbouring sticker where any change of colour was seen, of 24.
    pub seen: u32,
    /// Sides at the face's rim that are where they should be, of 12.
    pub outer: u32,
    /// The same for each of the four inner lines, of 6.
    pub lines: [u32; 4],
    /// The same for each side of the rim, in the order of [`OUTWARD`], of 3.
    pub rims: [u32; 4],
    /// Sides towards a neighbour in the same row that are where they should be, for each row, of 4; then the same for the columns.
    pub strips: [u32; 6],
    /// Middle distance in which the colour changes at the inner sides that count, in cells.
    pub rise: f32,
    /// Cells of one colour, of 9.
    pub even: u32,
    /// Mean distance of the inner sides that count, in cells.
    pub error: f32,
}

/// Counts the sides that fit.
pub fn weigh(borders: &Borders, margin: f32) -> Evidence {
    let mut evidence = Evidence::default();
    let mut total = 0.0;
    let mut rises = [0.0; ALL_INNER as usize];
    for (row, cells) in borders.iter().enumerate() {
        for (column, cell) in cells.iter().enumerate() {
            evidence.even += u32::from(cell.is_even());
            for (side, border) in cell.sides.iter().enumerate() {
                if border.change == 0.0 {
                    continue;
                }
                let off = border.offset + margin;
                let (dx, dy) = OUTWARD[side];
                let at = if dx != 0.0 {
                    column as f32 - 1.0 + 0.5 * dx
                } else {
                    row as f32 - 1.0 + 0.5 * dy
                };
                if at.abs() > 1.0 {
                    // Without a groove at the cube's edge the sticker goes on to the lattice line.
                    if off > -NEAR && off < NEAR + margin {
                        evidence.outer += 1;
                        evidence.rims[side] += 1;
                    }
                } else {
                    evidence.seen += 1;
                    if off.abs() < NEAR {
                        rises[evidence.inner as usize] = border.rise;
                        evidence.inner += 1;
                        evidence.lines[usize::from(dx == 0.0) * 2 + usize::from(at > 0.0)] += 1;
                        evidence.strips[if dx == 0.0 { 3 + column } else { row }] += 1;
                        total += off.abs();
                    }
                }
            }
        }
    }
    let rises = &mut rises[..evidence.inner as usize];
    rises.sort_by(f32::total_cmp);
    evidence.rise = rises.get(rises.len() / 2).copied().unwrap_or(0.0);
    evidence.error = total / evidence.inner.max(1) as f32;
    evidence
}

/// Whether the sides make a face: enough of them, on every line.
pub fn is_face(evidence: &Evidence) -> bool {
    evidence.even >= 7
        && evidence.inner >= 16
        && evidence.inner + evidence.outer >= 25
        && evidence.lines.iter().all(|&line| line >= 3)
        && evidence.rims.iter().filter(|&&rim| rim >= 1).count() >= 3
}

/// Whether the sides make a face beyond doubt, without the help of others: a finger may hide a sticker or two, but every row and
/// column shows. Boards partly covered by something else are the ones to be told apart here.
pub fn is_clear(evidence: &Evidence) -> bool {
    evidence.inner >= 17
        && evidence.outer >= 8
        && evidence.inner + evidence.outer >= 29
        && (evidence.outer == 12 || evidence.strips.iter().all(|&strip| strip >= 2))
        && (evidence.inner >= 23 || evidence.rims.iter().all(|&rim| rim >= 1))
}

/// Whether the sides do not speak against a face where two other faces of the cube say that one must be: grooves may be too
/// faint to be seen, as between white stickers on white plastic in bright light, but those seen must be in place.
pub fn may_be_face(evidence: &Evidence) -> bool {
    evidence.even >= 7 && evidence.inner >= 8 && 4 * evidence.inner >= 3 * evidence.seen
}

/// Fewest sides in place of a cell that nothing is in front of.
const SHOWN: usize = 3;

/// Cells that nothing is in front of, `[row][column]`: of one colour, with most of their sides where they should be.
pub fn shown(borders: &Borders, margin: f32) -> [[bool; 3]; 3] {
    let faintest = faintest(borders);
    let is_shown = |cell: Cell| count_in_place(&cell, faintest, margin) >= SHOWN;
    borders.map(|row| row.map(is_shown))
}

/// How much each side of the face looks as if the grid went on beyond it: sides of the next three cells that are where those of
/// the same lattice would be, of 9; the sides that touch the face do not count, and of cells that leave the picture the rest tells.
pub fn beyond(view: &View, plane: &Homography, borders: &Borders, margin: f32) -> [u32; 4] {
    let plane = units(view, plane);
    let faintest = faintest(borders);
    std::array::from_fn(|side| {
        let next = abreast(OUTWARD[side], 2.0).map(|(x, y)| measure_cell(view, &plane, x, y));
        let (mut count, mut known) = (0, 0);
        for cell in &next {
            known += (0..4)
                .filter(|&k| k != (side + 2) % 4 && !cell.outside[k])
                .count() as u32;
            let in_place = in_place(cell, faintest, margin);
            count += (0..4)
                .filter(|&k| k != (side + 2) % 4 && in_place[k])
                .count() as u32;
        }
        if known >= 5 && count + 1 >= known {
            9
        } else {
            count
        }
    })
}

/// The faintest side of a cell that would be of the same grid as these.
pub fn faintest(borders: &Borders) -> f32 {
    let mut changes: Vec<f32> = borders
        .iter()
        .flatten()
        .flat_map(|cell| cell.sides.map(|side| side.change))
        .collect();
    changes.sort_by(f32::total_cmp);
    ALIKE * changes[changes.len() / 2]
}

/// The sides of a cell of one colour that are where those of a lattice with this margin would be, and not too faint.
pub fn in_place(cell: &Cell, faintest: f32, margin: f32) -> [bool; 4] {
    cell.sides
        .map(|side| cell.is_even() && lies_there(&side, faintest, margin))
}

/// Whether a side is where that of a lattice with this margin would be, and not too faint.
pub fn lies_there(side: &Border, faintest: f32, margin: f32) -> bool {
    side.change > faintest && (side.offset + margin).abs() < NEAR
}

/// How many sides of a cell are in place, of 4.
pub fn count_in_place(cell: &Cell, faintest: f32, margin: f32) -> usize {
    let in_place = in_place(cell, faintest, margin);
    in_place.into_iter().filter(|&fits| fits).count()
}

#[cfg(test)]
mod tests {
    use super::super::grooves::measure;
    use super::super::testing::{Front, sticker};
    use super::*;

    #[test]
    fn cells_behind_a_finger_are_not_shown() {
        // It comes from the right onto the middle of the face.
        let finger = |u: f64, v: f64| u > -0.2 && v.abs() < 0.4;
        let front = Front::painted(|u, v| match sticker(u, v, 0.06) {
            _ if finger(u, v) => [190, 140, 115],
            Some((row, column)) if (row + column) % 2 == 0 => [200, 30, 40],
            Some(_) => [30, 160, 60],
            None if u.abs().max(v.abs()) < 1.5 => [20; 3],
            None => [150; 3],
        });
        let shown = shown(&measure(&front.view(), &front.plane), 0.06);
        assert_eq!(shown, [[true; 3], [true, false, false], [true; 3]]);
    }
}
