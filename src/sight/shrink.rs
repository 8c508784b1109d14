//! First stage: a smaller copy of the picture to search in.

use image::RgbImage;

use super::grooves::View;

/// The search works on pictures whose shorter side is about so long, in pixels. More costs time; less loses thin grooves of far cubes.
const SEARCH_SIDE: u32 = 360;

/// A picture shrunk by a whole factor, each pixel the mean of a square block.
///
/// A position `(x, y)` of the full picture lies at `(x / factor, y / factor)` in this one, pixel middles being at
/// halves in both.
#[derive(Debug, Default)]
pub struct Shrunk {
    pub width: usize,
    pub height: usize,
    /// Full pixels to a shrunk one, along each side.
    pub factor: usize,
    /// Interleaved red, green, blue, row by row.
    pub rgb: Vec<u8>,
    /// Sums of a row of blocks, of each column of pixels and of each block.
    sums: Vec<u16>,
    blocks: Vec<u16>,
}

impl Shrunk {
    /// Replaces the content by `picture` shrunk. A rest of less than a block at the right and bottom is left out.
    pub fn fill(&mut self, picture: &RgbImage) {
        let (full_width, full_height) = picture.dimensions();
        let shorter = f64::from(full_width.min(full_height));
        let factor = ((shorter / f64::from(SEARCH_SIDE)).round() as usize).clamp(1, 16);
        self.factor = factor;
        self.width = full_width as usize / factor;
        self.height = full_height as usize / factor;
        self.rgb.clear();
        self.rgb.resize(self.width * self.height * 3, 0);
        let stride = full_width as usize * 3;
        let used = self.width * factor * 3;
        let full = picture.as_raw();
        if factor == 1 {
            self.rgb
                .copy_from_slice(&full[..self.width * self.height * 3]);
            return;
        }
        self.sums.resize(used, 0);
        self.blocks.resize(used, 0);
        let scale = (1u32 << 16) / (factor * factor) as u32;
        for (y, out) in self.rgb.chunks_exact_mut(self.width.max(1) * 3).enumerate() {
            self.sums.fill(0);
            for row in 0..factor {
                let start = (y * factor + row) * stride;
                for (sum, &value) in self.sums.iter_mut().zip(&full[start..start + used]) {
                    *sum += u16::from(value);
                }
            }
            // The block that starts at every place, though one in `factor` is wanted: so all are summed side by side.
            self.blocks.copy_from_slice(&self.sums);
            for part in 1..factor {
                for (block, &sum) in self.blocks.iter_mut().zip(&self.sums[3 * part..]) {
                    *block += sum;
                }
            }
            let wanted = self.blocks.chunks_exact(factor * 3);
            for (pixel, block) in out.chunks_exact_mut(3).zip(wanted) {
                for (channel, &sum) in pixel.iter_mut().zip(block) {
                    *channel = ((u32::from(sum) * scale + (1 << 15)) >> 16) as u8;
                }
            }
        }
    }

    /// The pixels, to be measured.
    pub fn view(&self) -> View<'_> {
        View {
            rgb: &self.rgb,
            width: self.width,
            height: self.height,
            factor: self.factor,
        }
    }

    /// Replaces the content by `other` at half its size.
    pub fn halve(&mut self, other: &Shrunk) {
        self.factor = other.factor * 2;
        self.width = other.width / 2;
        self.height = other.height / 2;
        self.rgb.clear();
        self.rgb.resize(self.width * self.height * 3, 0);
        let stride = other.width * 3;
        for (y, out) in self.rgb.chunks_exact_mut(self.width.max(1) * 3).enumerate() {
            let upper = &other.rgb[2 * y * stride..(2 * y + 1) * stride];
            let lower = &other.rgb[(2 * y + 1) * stride..(2 * y + 2) * stride];
            let blocks = upper.chunks_exact(6).zip(lower.chunks_exact(6));
            for (pixel, (a, b)) in out.chunks_exact_mut(3).zip(blocks) {
                for k in 0..3 {
                    let sum = u16::from(a[k])
                        + u16::from(a[k + 3])
                        + u16::from(b[k])
                        + u16::from(b[k + 3]);
                    pixel[k] = ((sum + 2) / 4) as u8;
                }
            }
        }
    }
}
