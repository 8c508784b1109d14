//! A picture at full, half, a quarter ... of its size, for whoever looks at a part of it coarser than the camera took it.

use image::RgbImage;

use super::look::Point;

/// Most halvings: the judge sees a face that fills a picture of 8K with a pixel to a pixel.
const DEPTH: usize = 6;

/// The part of a picture that is halved, in pixels: left, top, right, bottom.
pub type Region = [u32; 4];

/// One halved copy. Its pixel `(x, y)` is the mean of the block of `factor` by `factor` pixels of the picture whose first is
/// `(left + factor * x, top + factor * y)`.
#[derive(Debug, Default)]
struct Halved {
    width: usize,
    height: usize,
    rgb: Vec<u8>,
    /// Of a row of blocks: the sums of columns.
    sums: Vec<u16>,
}

/// Halved copies of a part of a picture, made anew for each picture. Keeps its buffers.
#[derive(Debug, Default)]
pub struct Pyramid {
    left: u32,
    top: u32,
    halved: Vec<Halved>,
}

/// A picture and its pyramid.
#[derive(Clone, Copy)]
pub struct Source<'a> {
    pub picture: &'a RgbImage,
    pub pyramid: &'a Pyramid,
}

impl<'a> Source<'a> {
    /// The level halved so often, or the smallest there is.
    pub fn level(&self, depth: usize) -> Level<'a> {
        self.pyramid.level(self.picture, depth)
    }
}

/// One size of a picture, to be read.
#[derive(Clone, Copy)]
pub struct Level<'a> {
    /// Width and height of the picture, pixels of the picture.
    size: [f32; 2],
    left: f32,
    top: f32,
    /// Pixels of the picture to one of this level, along each side.
    pub factor: usize,
    pub width: usize,
    pub height: usize,
    pub rgb: &'a [[u8; 3]],
}

impl Pyramid {
    /// Halves a part of the picture, again and again.
    pub fn fill(&mut self, picture: &RgbImage, region: Region) {
        let [left, top, right, bottom] = region;
        (self.left, self.top) = (left, top);
        self.halved.resize_with(DEPTH, Halved::default);
        let stride = picture.width() as usize * 3;
        let start = top as usize * stride + left as usize * 3;
        let (mut width, mut height) = ((right - left) as usize, (bottom - top) as usize);
        for step in 0..DEPTH {
            let (done, rest) = self.halved.split_at_mut(step);
            match done.last() {
                None => rest[0].halve(&picture.as_raw()[start..], stride, width, height),
                Some(last) => rest[0].halve(&last.rgb, width * 3, width, height),
            }
            (width, height) = (rest[0].width, rest[0].height);
        }
    }

    /// The level halved so often, or the smallest there is.
    pub fn level<'a>(&'a self, picture: &'a RgbImage, depth: usize) -> Level<'a> {
        let size = [picture.width() as f32, picture.height() as f32];
        match depth.min(DEPTH).checked_sub(1) {
            None => Level {
                size,
                left: 0.0,
                top: 0.0,
                factor: 1,
                width: picture.width() as usize,
                height: picture.height() as usize,
                rgb: picture.as_raw().as_chunks().0,
            },
            Some(at) => Level {
                size,
                left: self.left as f32,
                top: self.top as f32,
                factor: 2 << at,
                width: self.halved[at].width,
                height: self.halved[at].height,
                rgb: self.halved[at].rgb.as_chunks().0,
            },
        }
    }
}

impl Level<'_> {
    /// The colour at a place of the picture, in 8-bit levels, between the pixels' centres; `None` beyond the picture.
    pub fn read(&self, at: Point) -> Option<[f32; 3]> {
        let [width, height] = self.size;
        if !(at.x >= 0.0 && at.y >= 0.0 && at.x < width && at.y < height) {
            return None;
        }
        let place = |at: f32, from: f32, length: usize| {
            let at = ((at - from) / self.factor as f32 - 0.5).clamp(0.0, (length - 1) as f32);
            let first = (at as usize).min(length.saturating_sub(2));
            (first, at - first as f32)
        };
        let (left, across) = place(at.x, self.left, self.width);
        let (top, down) = place(at.y, self.top, self.height);
        let right = (left + 1).min(self.width - 1);
        let bottom = (top + 1).min(self.height - 1);
        let pixel = |x: usize, y: usize| self.rgb[y * self.width + x].map(f32::from);
        let (a, b) = (pixel(left, top), pixel(right, top));
        let (c, d) = (pixel(left, bottom), pixel(right, bottom));
        Some(std::array::from_fn(|k| {
            let between = |p: [f32; 3], q: [f32; 3]| p[k] + across * (q[k] - p[k]);
            let (upper, lower) = (between(a, b), between(c, d));
            upper + down * (lower - upper)
        }))
    }
}

impl Halved {
    /// Takes on half the size of a picture. What is left over of an odd one stands for a whole block.
    fn halve(&mut self, rgb: &[u8], stride: usize, width: usize, height: usize) {
        (self.width, self.height) = (width.div_ceil(2), height.div_ceil(2));
        self.rgb.resize(self.width * self.height * 3, 0);
        self.sums.clear();
        self.sums.resize(self.width * 6, 0);
        for (y, out) in self.rgb.chunks_exact_mut(self.width * 3).enumerate() {
            let row = |y: usize| &rgb[y.min(height - 1) * stride..][..width * 3];
            for (sum, (&a, &b)) in self
                .sums
                .iter_mut()
                .zip(row(2 * y).iter().zip(row(2 * y + 1)))
            {
                *sum = u16::from(a) + u16::from(b);
            }
            if width % 2 == 1 {
                let last = 3 * (width - 1);
                self.sums.copy_within(last..last + 3, last + 3);
            }
            let (blocks, _) = self.sums.as_chunks::<6>();
            for (pixel, [a, b, c, d, e, f]) in out.chunks_exact_mut(3).zip(blocks) {
                pixel.copy_from_slice(&[a + d, b + e, c + f].map(|sum| ((sum + 2) / 4) as u8));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_level_holds_the_means_of_blocks() {
        let picture = RgbImage::from_fn(13, 9, |x, y| {
            image::Rgb([(x * 19) as u8, (y * 27) as u8, (x * y) as u8])
        });
        let mut pyramid = Pyramid::default();
        pyramid.fill(&picture, [4, 2, 12, 8]);
        let level = pyramid.level(&picture, 1);
        assert_eq!((level.width, level.height, level.factor), (4, 3, 2));
        for y in 0..3 {
            for x in 0..4 {
                let block = [(0, 0), (1, 0), (0, 1), (1, 1)]
                    .map(|(dx, dy)| picture.get_pixel(4 + 2 * x + dx, 2 + 2 * y + dy).0);
                for k in 0..3 {
                    let mean = block.iter().map(|p| f32::from(p[k])).sum::<f32>() / 4.0;
                    let own = f32::from(level.rgb[(4 * y + x) as usize][k]);
                    assert!((own - mean).abs() <= 0.5, "{x} {y} {k}");
                }
            }
        }
        let level = pyramid.level(&picture, 2);
        assert_eq!((level.width, level.height, level.factor), (2, 2, 4));
        assert_eq!((level.left, level.top), (4.0, 2.0));
        assert_eq!(level.read(Point { x: 13.0, y: 3.0 }), None);
    }
}
