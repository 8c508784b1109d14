//! Where the sides of the nine stickers really lie, near where a lattice says they should.

use super::plane::{Homography, System};

/// Interleaved RGB pixels whose side is `factor` full-size pixels.
#[derive(Clone, Copy)]
pub struct View<'a> {
    pub rgb: &'a [u8],
    pub width: usize,
    pub height: usize,
    pub factor: usize,
}

impl View<'_> {
    /// Width and height of the picture, full-size pixels.
    pub fn size(&self) -> (u32, u32) {
        (
            (self.width * self.factor) as u32,
            (self.height * self.factor) as u32,
        )
    }
}

/// The same picture in two sizes.
pub struct Views<'a> {
    pub small: View<'a>,
    pub full: View<'a>,
}

impl<'a> Views<'a> {
    /// The smaller view if a cell is large enough in it to be measured: that is faster, and less noisy.
    pub fn of(&self, plane: &Homography) -> View<'a> {
        let (a, b, c) = (
            plane.map(0.0, 0.0),
            plane.map(1.0, 0.0),
            plane.map(0.0, 1.0),
        );
        let side = (b.0 - a.0)
            .hypot(b.1 - a.1)
            .min((c.0 - a.0).hypot(c.1 - a.1));
        if side / self.small.factor as f64 >= LARGE {
            self.small
        } else {
            self.full
        }
    }
}

/// Shorter side of a cell that can be measured well, in pixels.
const LARGE: f64 = 30.0;

/// Samples across a sticker's side: the first `INSIDE` of them lie on the sticker and give its colour.
const TAPS: usize = 24;
const INSIDE: usize = 6;
/// Distance of the first sample inside the cell's border, and between samples, in cells.
const FIRST: f32 = -0.36;
const SPACING: f32 = 0.026;
/// Samples along a sticker's side, whose mean makes one tap.
const ALONG: usize = 6;
/// Furthest of those samples from the side's middle, in cells.
const REACH: f32 = 0.25;
/// Positions along a line are walked in fixed point.
const FIXED_BITS: u32 = 12;
const FIXED: f32 = (1 << FIXED_BITS) as f32;
/// A change of colour this large ends the sticker, in 8-bit levels summed over the channels, whatever follows.
const CERTAIN: f32 = 60.0;
/// A smaller change than this is no border.
const FAINT: f32 = 16.0;
/// A sticker whose colour changes this much over the inner samples is lit unevenly.
const SHADED: f32 = 12.0;
/// Fastest change on the sticker for that, as a share of the change at its side.
const SLOW: f32 = 0.3;
/// Slowest change at its side, over two samples, as a share of the largest difference from the sticker's middle.
const SHARP: f32 = 0.4;

/// One side of one cell.
#[derive(Clone, Copy, Debug, Default)]
pub struct Border {
    /// Where the sticker's colour ends, in cells outward from the lattice line; 0 where nothing was seen.
    pub offset: f32,
    /// Largest change of colour there, 8-bit levels summed over the channels; 0 where nothing was seen.
    pub change: f32,
    /// Distance in which most of that change happens, in cells: large where the picture is blurred.
    pub rise: f32,
}

/// A cell as measured.
#[derive(Clone, Copy, Debug, Default)]
pub struct Cell {
    /// The sides: right, bottom, left, top.
    pub sides: [Border; 4],
    /// Which sides the picture does not hold.
    pub outside: [bool; 4],
    /// Largest difference between the colours inside the four sides, 8-bit levels summed over the channels.
    pub unevenness: f32,
}

impl Cell {
    /// Whether it is of one colour: differs less within than from what is around it.
    pub fn is_even(&self) -> bool {
        let strongest = self
            .sides
            .iter()
            .map(|side| side.change)
            .fold(0.0, f32::max);
        self.unevenness < 0.5 * strongest
    }
}

/// The nine cells, `[row][column]`.
pub type Borders = [[Cell; 3]; 3];

/// Unit vectors out of a cell, in the order of [`Cell::sides`].
pub const OUTWARD: [(f32, f32); 4] = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)];

/// The middles of three cells abreast, so far from a face's middle in a direction.
pub fn abreast((dx, dy): (f32, f32), far: f32) -> [(f32, f32); 3] {
    [-1.0, 0.0, 1.0].map(|s| (far * dx - dy * s, far * dy + dx * s))
}

/// The six lines that lead away from a side of a face, so far from its middle; `None` where the picture does not hold them.
pub fn leading_away(
    view: &View,
    plane: &[[f32; 3]; 3],
    side: usize,
    far: f32,
) -> impl Iterator<Item = Option<Border>> {
    let cells = abreast(OUTWARD[side], far).map(|(x, y)| measure_cell(view, plane, x, y));
    let across = [(side + 1) % 4, (side + 3) % 4];
    cells
        .into_iter()
        .flat_map(move |cell| across.map(|k| (!cell.outside[k]).then_some(cell.sides[k])))
}

/// The 12 pairs of neighbouring cells of a face: the middle of the first, and the direction to the second.
pub fn neighbours() -> impl Iterator<Item = ((f32, f32), (f32, f32))> {
    let ways = [(OUTWARD[0], OUTWARD[1]), (OUTWARD[1], OUTWARD[0])];
    ways.into_iter()
        .flat_map(|((dx, dy), (across_x, across_y))| {
            [-1.0, 0.0].into_iter().flat_map(move |along| {
                [-1.0, 0.0, 1.0].map(|across| {
                    let at = (
                        dx * along + across_x * across,
                        dy * along + across_y * across,
                    );
                    (at, (dx, dy))
                })
            })
        })
}

/// Colours across a sticker's side, from inside outward.
type Taps = [[f32; 3]; TAPS];

/// Measures the four sides of the cell around `(x, y)` of the plane.
pub fn measure_cell(view: &View, plane: &[[f32; 3]; 3], x: f32, y: f32) -> Cell {
    measure_cell_by(view, plane, x, y, border)
}

fn measure_cell_by(
    view: &View,
    plane: &[[f32; 3]; 3],
    x: f32,
    y: f32,
    border: impl Fn(&Taps) -> Border,
) -> Cell {
    let mut cell = Cell::default();
    let (mut low, mut high) = ([f32::MAX; 3], [f32::MIN; 3]);
    for (side, direction) in OUTWARD.into_iter().enumerate() {
        match taps(view, plane, (x, y), direction) {
            Some(taps) => {
                cell.sides[side] = border(&taps);
                let colour = mean(&taps[..INSIDE]);
                for k in 0..3 {
                    low[k] = low[k].min(colour[k]);
                    high[k] = high[k].max(colour[k]);
                }
            }
            None => cell.outside[side] = true,
        }
    }
    cell.unevenness = (0..3).map(|k| (high[k] - low[k]).max(0.0)).sum();
    cell
}

/// Measures all sides of a 3x3 face.
pub fn measure(view: &View, plane: &Homography) -> Borders {
    measure_by(view, plane, border)
}

/// The same where a highlight on a sticker may hide how far its colour goes, but not where it ends: a side of an unevenly lit sticker may
/// lie where the colour changes fastest, if that is nearer to its place on a lattice whose stickers have a margin of `margin` cells.
pub fn measure_lit(view: &View, plane: &Homography, margin: f32) -> Borders {
    measure_by(view, plane, |taps| {
        let border = border(taps);
        let off = |offset: f32| (offset + margin).abs();
        match fastest(taps, border.change) {
            Some(offset) if border.change > 0.0 && off(offset) < off(border.offset) => {
                Border { offset, ..border }
            }
            _ => border,
        }
    })
}

fn measure_by(view: &View, plane: &Homography, border: impl Fn(&Taps) -> Border) -> Borders {
    let plane = units(view, plane);
    std::array::from_fn(|row| {
        std::array::from_fn(|column| {
            measure_cell_by(view, &plane, column as f32 - 1.0, row as f32 - 1.0, &border)
        })
    })
}

/// `plane` in the view's own units.
pub fn units(view: &View, plane: &Homography) -> [[f32; 3]; 3] {
    plane
        .scaled(1.0 / view.factor as f64)
        .0
        .map(|row| row.map(|value| value as f32))
}

fn taps(view: &View, h: &[[f32; 3]; 3], cell: (f32, f32), direction: (f32, f32)) -> Option<Taps> {
    let depths = std::array::from_fn(|at| 0.5 + FIRST + SPACING * at as f32);
    colours(view, h, cell, direction, depths)
}

/// The side at which the colour has changed by half, or by enough to be certain.
fn border(taps: &Taps) -> Border {
    let colour = mean(&taps[..INSIDE]);
    let change = taps.map(|tap| apart(tap, colour));
    let largest = change[INSIDE..].iter().copied().fold(0.0, f32::max);
    if largest < FAINT {
        return Border::default();
    }
    let reaches = |share: f32| {
        change
            .iter()
            .position(|&c| c >= share * largest)
            .unwrap_or(0)
    };
    let rise = SPACING * (reaches(0.8) - reaches(0.2)) as f32;
    let level = (largest / 2.0).min(CERTAIN / 2.0);
    let Some(at) = (INSIDE..TAPS).find(|&tap| change[tap] >= level) else {
        return Border::default();
    };
    let (before, after) = (change[at - 1], change[at]);
    let part = if after > before {
        ((level - before) / (after - before)).clamp(0.0, 1.0)
    } else {
        1.0
    };
    Border {
        offset: FIRST + SPACING * (at as f32 - 1.0 + part),
        change: largest,
        rise,
    }
}

fn mean(taps: &[[f32; 3]]) -> [f32; 3] {
    let count = taps.len() as f32;
    std::array::from_fn(|k| taps.iter().map(|tap| tap[k]).sum::<f32>() / count)
}

/// The middle value of each channel.
pub fn middle(colours: &[[f32; 3]]) -> [f32; 3] {
    std::array::from_fn(|k| {
        let mut channel: Vec<f32> = colours.iter().map(|colour| colour[k]).collect();
        channel.sort_by(f32::total_cmp);
        channel[channel.len() / 2]
    })
}

/// The channels of a colour together.
pub fn sum(colour: [f32; 3]) -> f32 {
    colour.iter().sum()
}

/// Distance between colours, 8-bit levels summed over the channels.
pub fn apart(a: [f32; 3], b: [f32; 3]) -> f32 {
    (0..3).map(|k| (a[k] - b[k]).abs()).sum()
}

/// Where the colour of an unevenly lit sticker first changes about as fast as anywhere, in cells outward from the lattice line; `None` for
/// other stickers. How far the colour has changed since the sticker's middle says little beside a highlight.
fn fastest(taps: &Taps, change: f32) -> Option<f32> {
    let (start, end) = (mean(&taps[..INSIDE / 2]), mean(&taps[INSIDE / 2..INSIDE]));
    if apart(start, end) < SHADED {
        return None;
    }
    let mut steps = [0f32; TAPS];
    for at in 1..TAPS - 1 {
        steps[at] = apart(taps[at - 1], taps[at + 1]);
    }
    let largest = |steps: &[f32]| steps.iter().copied().fold(0.0, f32::max);
    let most = largest(&steps[INSIDE..]);
    // What is printed on a cell has sides of its own; light changes slowly. In a blurred picture all does.
    if most < FAINT.max(SHARP * change) || largest(&steps[..INSIDE]) > SLOW * most {
        return None;
    }
    let at =
        (INSIDE..TAPS - 1).find(|&at| steps[at] >= 0.6 * most && steps[at] >= steps[at + 1])?;
    // The vertex of the parabola through three steps.
    let (before, after) = (steps[at - 1], steps[at + 1]);
    let bend = before - 2.0 * steps[at] + after;
    let part = if bend < 0.0 {
        0.5 * (before - after) / bend
    } else {
        0.0
    };
    Some(FIRST + SPACING * (at as f32 + part.clamp(-0.5, 0.5)))
}

/// The mean colour along a line across the outward direction, `depth` cells out from the middle of the cell at `(x, y)`; `None` where it leaves
/// the picture.
pub fn tap(
    view: &View,
    h: &[[f32; 3]; 3],
    cell: (f32, f32),
    direction: (f32, f32),
    depth: f32,
) -> Option<[f32; 3]> {
    colours(view, h, cell, direction, [depth]).map(|[colour]| colour)
}

/// The same for several depths; `None` where any line leaves the picture. Most of the time of a search is spent here, so what is the same for all
/// lines is worked out together.
fn colours<const N: usize>(
    view: &View,
    h: &[[f32; 3]; 3],
    (x, y): (f32, f32),
    (dx, dy): (f32, f32),
    depths: [f32; N],
) -> Option<[[f32; 3]; N]> {
    // The ends of the lines are mapped exactly. Within a part of a cell perspective hardly bends the rest.
    let ends = |s: f32| {
        let (mut us, mut vs) = ([0f32; N], [0f32; N]);
        for ((u, v), depth) in us.iter_mut().zip(&mut vs).zip(depths) {
            let (px, py) = (x + dx * depth - dy * s, y + dy * depth + dx * s);
            let w = FIXED / (h[2][0] * px + h[2][1] * py + h[2][2]);
            *u = (h[0][0] * px + h[0][1] * py + h[0][2]) * w;
            *v = (h[1][0] * px + h[1][1] * py + h[1][2]) * w;
        }
        let within = |values: &[f32; N], end: usize| {
            let end = end as f32 * FIXED;
            let each = values.iter().map(|&value| value >= 0.0 && value < end);
            each.fold(true, |all, inside| all & inside)
        };
        let inside = within(&us, view.width) & within(&vs, view.height);
        inside.then(|| (us.map(|u| u as i32), vs.map(|v| v as i32)))
    };
    let (first, last) = (ends(-REACH)?, ends(REACH)?);
    let parts = ALONG as i32 - 1;
    let mut colours = [[0f32; 3]; N];
    for (i, colour) in colours.iter_mut().enumerate() {
        let (mut u, mut v) = (first.0[i], first.1[i]);
        let (du, dv) = ((last.0[i] - u) / parts, (last.1[i] - v) / parts);
        // Red and blue are summed side by side, 16 bits apart.
        let (mut red_blue, mut green) = (0u32, 0u32);
        for _ in 0..ALONG {
            let at = (v >> FIXED_BITS) as usize * view.width + (u >> FIXED_BITS) as usize;
            let pixel = pixel(view.rgb, at)?;
            red_blue += pixel & 0x00ff_00ff;
            green += (pixel >> 8) & 0xff;
            u += du;
            v += dv;
        }
        let sums = [red_blue & 0xffff, green, red_blue >> 16];
        *colour = sums.map(|sum| sum as f32 * (1.0 / ALONG as f32));
    }
    Some(colours)
}

/// The pixel at a place of a picture, red in the lowest byte; what is in the highest one is no part of it.
fn pixel(rgb: &[u8], at: usize) -> Option<u32> {
    let rest = rgb.get(3 * at..)?;
    // One load instead of three, for all but the last pixel.
    if let Some(bytes) = rest.first_chunk() {
        return Some(u32::from_le_bytes(*bytes));
    }
    let &[red, green, blue] = rest.first_chunk()?;
    Some(u32::from_le_bytes([red, green, blue, 0]))
}

/// How far each measured side is from where the lattice with sticker margins of `margin` has it.
fn equations(borders: &Borders) -> Vec<([f64; 9], f64, f64)> {
    let mut rows = Vec::with_capacity(36);
    for (row, cells) in borders.iter().enumerate() {
        for (column, cell) in cells.iter().enumerate() {
            for (border, (dx, dy)) in cell.sides.iter().zip(OUTWARD) {
                if border.change == 0.0 {
                    continue;
                }
                let (x, y) = (
                    column as f64 - 1.0 + 0.5 * f64::from(dx),
                    row as f64 - 1.0 + 0.5 * f64::from(dy),
                );
                let outer = x.abs() > 1.4 || y.abs() > 1.4;
                let weight = if outer && (x.abs() > 1.4 && dx != 0.0 || y.abs() > 1.4 && dy != 0.0)
                {
                    0.5
                } else {
                    1.0
                };
                // offset = -margin + direction . shift(x, y), with shift the first-order change of a homography.
                let (dx, dy) = (f64::from(dx), f64::from(dy));
                let turn = dx * x + dy * y;
                let equation = [
                    dx * x,
                    dx * y,
                    dx,
                    dy * x,
                    dy * y,
                    dy,
                    -turn * x,
                    -turn * y,
                    -1.0,
                ];
                rows.push((equation, f64::from(border.offset), weight));
            }
        }
    }
    rows
}

/// One step towards the lattice that explains the measured sides; also the sticker's margin in cells.
pub fn improve(plane: &Homography, borders: &Borders) -> Option<(Homography, f64)> {
    let rows = equations(borders);
    if rows.len() < 10 {
        return None;
    }
    let mut solution = [0.0; 9];
    solution[8] = 0.05;
    for round in 0..5 {
        let scale: f64 = if round == 0 { 0.2 } else { 0.06 };
        let mut system = System::<9>::new();
        for (equation, value, weight) in &rows {
            let predicted: f64 = equation.iter().zip(&solution).map(|(a, b)| a * b).sum();
            let off = (value - predicted) / scale;
            system.add(*equation, *value, weight / (1.0 + off * off).powi(2));
        }
        for (i, hold) in [0.05, 0.05, 0.02, 0.05, 0.05, 0.02, 0.2, 0.2]
            .into_iter()
            .enumerate()
        {
            system.hold(i, hold);
        }
        let mut prior = [0.0; 9];
        prior[8] = 1.0;
        system.add(prior, 0.04, 0.5);
        solution = system.solve()?;
    }
    let [a, b, c, d, e, f, g, h, margin] = solution;
    let update = [[1.0 + a, b, c], [d, 1.0 + e, f], [g, h, 1.0]];
    Some((plane.after(&update), margin))
}
