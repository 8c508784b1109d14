//! Second stage: connected regions of even colour, bounded by edges.

use super::shrink::Shrunk;

/// Largest step between neighbouring pixels inside a region, one search a value, in 8-bit levels. Low values keep stickers
/// apart whose groove or colour step is faint; high ones keep a noisy or shaded sticker whole.
pub const STEPS: [u8; 4] = [10, 17, 28, 46];

/// Pixels of one row, `start..end`, that belong to one region.
#[derive(Clone, Copy, Debug)]
pub struct Run {
    pub row: u16,
    pub start: u16,
    pub end: u16,
    region: u32,
}

/// The regions of one picture at one step value. Each region's runs lie together, from the top down.
#[derive(Debug, Default)]
pub struct Regions {
    range: Vec<u8>,
    bytes: Vec<u8>,
    runs: Vec<Run>,
    parents: Vec<u32>,
    areas: Vec<u32>,
    starts: Vec<u32>,
    sorted: Vec<Run>,
}

impl Regions {
    /// Measures how much the colour changes at each place: the largest range of a channel over 2x2 pixels. The value at
    /// `(x, y)` belongs to the corner that the pixels `(x, y)` to `(x + 1, y + 1)` share.
    pub fn measure(&mut self, picture: &Shrunk) {
        let (width, height) = (picture.width, picture.height);
        self.range.clear();
        self.range.resize(width * height, 255);
        if width < 2 || height < 2 {
            return;
        }
        let stride = width * 3;
        self.bytes.resize(stride, 0);
        for y in 0..height - 1 {
            let upper = &picture.rgb[y * stride..(y + 1) * stride];
            let lower = &picture.rgb[(y + 1) * stride..(y + 2) * stride];
            let next = upper[3..].iter().zip(&lower[3..]);
            for ((out, (&a, &b)), (&c, &d)) in
                self.bytes.iter_mut().zip(upper.iter().zip(lower)).zip(next)
            {
                *out = a.max(b).max(c.max(d)) - a.min(b).min(c.min(d));
            }
            let row = &mut self.range[y * width..(y + 1) * width - 1];
            for (out, channels) in row.iter_mut().zip(self.bytes.chunks_exact(3)) {
                *out = channels[0].max(channels[1]).max(channels[2]);
            }
        }
    }

    /// Finds the regions whose changes stay below `step`, and calls `each` with the area and the runs of every region
    /// of `smallest` to `largest` pixels.
    pub fn find(
        &mut self,
        width: usize,
        step: u8,
        smallest: u32,
        largest: u32,
        mut each: impl FnMut(u32, &[Run]),
    ) {
        self.collect_runs(width, step);
        self.join_runs();
        let count = self.areas.len();
        // A counting sort brings each wanted region's runs together.
        self.starts.clear();
        self.starts.resize(count + 1, 0);
        for run in &mut self.runs {
            run.region = root(&mut self.parents, run.region);
            self.areas[run.region as usize] += u32::from(run.end - run.start);
        }
        let areas = &self.areas;
        let wanted = |region: u32| (smallest..=largest).contains(&areas[region as usize]);
        for run in &self.runs {
            if wanted(run.region) {
                self.starts[run.region as usize + 1] += 1;
            }
        }
        for i in 0..count {
            self.starts[i + 1] += self.starts[i];
        }
        let total = self.starts[count] as usize;
        self.sorted.clear();
        self.sorted.resize(
            total,
            Run {
                row: 0,
                start: 0,
                end: 0,
                region: 0,
            },
        );
        // `parents` serves as the write position of each region: it is not needed any more.
        self.parents.clear();
        self.parents.extend_from_slice(&self.starts[..count]);
        for run in &self.runs {
            if wanted(run.region) {
                let at = &mut self.parents[run.region as usize];
                self.sorted[*at as usize] = *run;
                *at += 1;
            }
        }
        let mut at = 0;
        while at < total {
            let region = self.sorted[at].region;
            let end = self.starts[region as usize + 1] as usize;
            each(self.areas[region as usize], &self.sorted[at..end]);
            at = end;
        }
    }

    fn collect_runs(&mut self, width: usize, step: u8) {
        self.runs.clear();
        if width == 0 {
            return;
        }
        for (y, row) in self.range.chunks_exact(width).enumerate() {
            let mut start = first(row, 0, step, Is::Below);
            while start < width {
                let end = first(row, start, step, Is::AtLeast);
                let region = self.runs.len() as u32;
                self.runs.push(Run {
                    row: y as u16,
                    start: start as u16,
                    end: end as u16,
                    region,
                });
                start = first(row, end, step, Is::Below);
            }
        }
    }

    fn join_runs(&mut self) {
        let count = self.runs.len();
        self.parents.clear();
        self.parents.extend(0..count as u32);
        self.areas.clear();
        self.areas.resize(count, 0);
        // Two rows are walked in step: `above` trails in the row before.
        let (mut above, mut row_start) = (0, 0);
        for at in 0..count {
            let run = self.runs[at];
            if run.row != self.runs[row_start].row {
                above = if self.runs[row_start].row + 1 == run.row {
                    row_start
                } else {
                    at
                };
                row_start = at;
            }
            while above < row_start && self.runs[above].end <= run.start {
                above += 1;
            }
            let mut other = above;
            while other < row_start && self.runs[other].start < run.end {
                let a = root(&mut self.parents, at as u32);
                let b = root(&mut self.parents, other as u32);
                self.parents[a.max(b) as usize] = a.min(b);
                other += 1;
            }
        }
    }
}

/// How a value is to compare with a step.
#[derive(Clone, Copy, PartialEq)]
enum Is {
    Below,
    AtLeast,
}

/// The first place from `from` on whose value compares so with a step of less than 128; the row's length if none does. Eight values are compared
/// at once.
fn first(row: &[u8], from: usize, step: u8, wanted: Is) -> usize {
    const ONES: u64 = 0x0101_0101_0101_0101;
    const HIGHEST: u64 = 0x80 * ONES;
    let mut at = from;
    while let Some(values) = row[at..].first_chunk() {
        let values = u64::from_le_bytes(*values);
        // The highest bit of each byte keeps the borrow of the others out of the next byte, and is left if there was none.
        let at_least = (((values | HIGHEST) - u64::from(step) * ONES) | values) & HIGHEST;
        let found = match wanted {
            Is::AtLeast => at_least,
            Is::Below => at_least ^ HIGHEST,
        };
        if found != 0 {
            return at + found.trailing_zeros() as usize / 8;
        }
        at += 8;
    }
    let is_wanted = |&value: &u8| (value >= step) == (wanted == Is::AtLeast);
    row[at..]
        .iter()
        .position(is_wanted)
        .map_or(row.len(), |skip| at + skip)
}

/// Finds a region's first run, halving the path on the way.
fn root(parents: &mut [u32], mut at: u32) -> u32 {
    while parents[at as usize] != at {
        let grand = parents[parents[at as usize] as usize];
        parents[at as usize] = grand;
        at = grand;
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_found_by_their_step_wherever_they_lie() {
        for step in STEPS {
            for value in 0..=255 {
                for (length, at) in
                    (0..20).flat_map(|length| (0..length).map(move |at| (length, at)))
                {
                    // One value among others that are not wanted.
                    let (wanted, others) = match value < step {
                        true => (Is::Below, 255 - value),
                        false => (Is::AtLeast, (255 - value) % step),
                    };
                    let mut row = vec![others; length];
                    row[at] = value;
                    assert_eq!(first(&row, 0, step, wanted), at, "{value} by {step}");
                    assert_eq!(first(&row, at + 1, step, wanted), length);
                }
            }
        }
    }
}
