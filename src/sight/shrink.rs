//! First stage: the picture as the finder net sees it, small and padded.

use image::RgbImage;

use super::pyramid::{Level, Pyramid};

/// About how many pixels the finder sees. More costs time in proportion; fewer loses far cubes.
const PIXELS: f64 = 256.0 * 192.0;

/// The net halves its input five times.
const MULTIPLE: usize = 32;

/// Pixels at least around a picture that is seen from afar, both sides together: faces that reach beyond it are seen, too.
const RIM: usize = 24;

/// A picture shrunk by taking the mean of each area.
///
/// A position `(x, y)` of the picture lies at `(x * scale, y * scale)` in this one, pixel centres being at halves in both.
#[derive(Debug, Default)]
pub struct Shrunk {
    /// Width and height in pixels, multiples of [`MULTIPLE`].
    pub width: usize,
    pub height: usize,
    /// Pixels of this one to one of the picture, along each side; at most 1.
    pub scale: f32,
    /// Red, green and blue planes of `height` rows; sRGB-encoded, black -0.5 and white 0.5. What lies beyond the picture is 0.
    pub values: Vec<f32>,
    /// How many columns and rows show the picture.
    pub filled: (usize, usize),
    /// Of each row: the sums of columns.
    sums: Vec<f32>,
    spans: Vec<Span>,
}

/// The pixels that make one of the shrunk picture's along a side: the first, and the weight of each.
#[derive(Clone, Debug, Default)]
struct Span {
    first: usize,
    weights: Vec<f32>,
}

/// How big a picture is shown to the finder: width, height, scale.
fn fit(width: u32, height: u32) -> (usize, usize, f64) {
    let (w, h) = (f64::from(width), f64::from(height));
    let scale = (PIXELS / (w * h)).sqrt().min(1.0);
    let multiple = |side: f64| ((side / MULTIPLE as f64).round() as usize).max(1) * MULTIPLE;
    let (wide, high) = (multiple(w * scale), multiple(h * scale));
    let scale = (wide as f64 / w).min(high as f64 / h).min(1.0);
    (wide, high, scale)
}

impl Shrunk {
    /// How often a picture is best halved before it is shrunk: what is left is a factor from 2 to 4, at which the blocks'
    /// borders matter little.
    fn depth(width: u32, height: u32) -> usize {
        let (.., scale) = fit(width.max(1), height.max(1));
        ((0.5 / scale).log2().floor()).max(0.0) as usize
    }

    /// Replaces the content by the picture shrunk. The pyramid is of the whole picture.
    pub fn fill(&mut self, picture: &RgbImage, pyramid: &Pyramid) {
        let (width, height) = picture.dimensions();
        let (wide, high, scale) = fit(width.max(1), height.max(1));
        (self.width, self.height, self.scale) = (wide, high, scale as f32);
        self.values.clear();
        self.values.resize(3 * wide * high, 0.0);
        let source = pyramid.level(picture, Self::depth(width, height));
        let step = 1.0 / (scale * source.factor as f64);
        // Only whole pixels: half a pixel beyond the rim would be half dark.
        let whole = |side: u32, most: usize| ((f64::from(side) * scale + 1e-6) as usize).min(most);
        self.filled = (whole(width, wide), whole(height, high));
        let (columns, rows) = self.filled;
        self.spans.clear();
        self.spans
            .extend((0..columns).map(|x| Span::new(x, step, source.width)));
        for y in 0..rows {
            self.sum_rows(&source, &Span::new(y, step, source.height));
            for (x, span) in self.spans.iter().enumerate() {
                let mut pixel = [0.0; 3];
                let columns = self.sums[3 * span.first..].chunks_exact(3);
                for (weight, column) in span.weights.iter().zip(columns) {
                    for (sum, &value) in pixel.iter_mut().zip(column) {
                        *sum += weight * value;
                    }
                }
                for (k, value) in pixel.into_iter().enumerate() {
                    self.values[(k * high + y) * wide + x] = value / 255.0 - 0.5;
                }
            }
        }
    }

    /// The same from twice as far, in the middle of a plane with a rim: what is too near or too blurred to look like a face may look
    /// like one there. Beside it, where its first pixel is.
    pub fn at_half_size(&self) -> (Shrunk, [usize; 2]) {
        let filled = (self.filled.0 / 2, self.filled.1 / 2);
        let room = |side: usize| (side + RIM).next_multiple_of(MULTIPLE);
        let (width, height) = (room(filled.0), room(filled.1));
        let (left, top) = ((width - filled.0) / 2, (height - filled.1) / 2);
        let mut values = vec![0.0; 3 * width * height];
        for k in 0..3 {
            let plane = &self.values[k * self.width * self.height..];
            for (y, x) in (0..filled.1).flat_map(|y| (0..filled.0).map(move |x| (y, x))) {
                let above = 2 * y * self.width + 2 * x;
                let four = [above, above + 1, above + self.width, above + self.width + 1];
                let mean = four.iter().map(|&at| plane[at]).sum::<f32>() / 4.0;
                values[(k * height + top + y) * width + left + x] = mean;
            }
        }
        let afar = Shrunk {
            width,
            height,
            scale: self.scale / 2.0,
            values,
            filled,
            ..Shrunk::default()
        };
        (afar, [left, top])
    }

    fn sum_rows(&mut self, source: &Level, span: &Span) {
        let stride = source.width;
        self.sums.clear();
        self.sums.resize(3 * stride, 0.0);
        let rows = source.rgb[span.first * stride..].chunks_exact(stride);
        for (&weight, row) in span.weights.iter().zip(rows) {
            for (sum, &value) in self.sums.iter_mut().zip(row.as_flattened()) {
                *sum += weight * f32::from(value);
            }
        }
    }
}

impl Span {
    /// What the shrunk pixel `at` takes of a side of `length` pixels when it is `step` of them wide.
    fn new(at: usize, step: f64, length: usize) -> Self {
        let (from, to) = (
            at as f64 * step,
            ((at + 1) as f64 * step).min(length as f64),
        );
        let first = (from.floor() as usize).min(length - 1);
        let last = (to.ceil() as usize).clamp(first + 1, length);
        let covered = |i: usize| (to.min((i + 1) as f64) - from.max(i as f64)).max(0.0);
        let whole: f64 = (first..last).map(covered).sum();
        let weights = (first..last)
            .map(|i| if whole > 0.0 { covered(i) / whole } else { 1.0 })
            .map(|weight| weight as f32)
            .collect();
        Span { first, weights }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shrunk(picture: &RgbImage) -> Shrunk {
        let (width, height) = picture.dimensions();
        let mut pyramid = Pyramid::default();
        pyramid.fill(picture, [0, 0, width, height]);
        let mut shrunk = Shrunk::default();
        shrunk.fill(picture, &pyramid);
        shrunk
    }

    #[test]
    fn from_afar_the_picture_lies_in_the_middle_at_half_the_size() {
        let picture = RgbImage::from_fn(250, 190, |x, _| {
            image::Rgb([if x < 100 { 255 } else { 0 }, 128, 0])
        });
        let (afar, [left, top]) = shrunk(&picture).at_half_size();
        assert_eq!(afar.values.len(), 3 * afar.width * afar.height);
        assert!(afar.filled.0 + left <= afar.width && afar.filled.1 + top <= afar.height);
        // A point of the picture, and one beyond its rim.
        let red = |x: f32, y: f32| {
            let x = (x * afar.scale) as isize + left as isize;
            let y = (y * afar.scale) as isize + top as isize;
            afar.values[y as usize * afar.width + x as usize]
        };
        assert_eq!(red(90.0, 95.0), 0.5);
        assert_eq!(red(110.0, 95.0), -0.5);
        assert_eq!(red(-4.0, 95.0), 0.0);
        assert_eq!(red(125.0, -4.0), 0.0);
    }

    #[test]
    fn pictures_of_all_shapes_fit() {
        for (width, height, wide, high) in [
            (640, 480, 256, 192),
            (1280, 720, 288, 160),
            (720, 1280, 160, 288),
            (1920, 1080, 288, 160),
            (200, 200, 192, 192),
            (1, 400, 32, 416),
            (5000, 16, 3904, 32),
        ] {
            let (w, h, scale) = fit(width, height);
            assert_eq!((w, h), (wide, high), "{width} x {height}");
            assert!(scale <= 1.0 && f64::from(width) * scale <= w as f64 + 1e-6);
            assert!(f64::from(height) * scale <= h as f64 + 1e-6);
        }
    }

    #[test]
    fn a_slope_stays_a_slope_and_the_rest_is_padded() {
        for (width, height) in [
            (1280, 720),
            (640, 480),
            (611, 333),
            (200, 200),
            (2560, 1440),
        ] {
            let slope = |t: u32, side: u32| (255 * t / side) as u8;
            let picture = RgbImage::from_fn(width, height, |x, y| {
                image::Rgb([slope(x, width), slope(y, height), 255])
            });
            let shrunk = shrunk(&picture);
            let (columns, rows) = (
                (width as f32 * shrunk.scale + 1e-4) as usize,
                (height as f32 * shrunk.scale + 1e-4) as usize,
            );
            let plane = shrunk.width * shrunk.height;
            for (at, &red) in shrunk.values[..plane].iter().enumerate() {
                let (x, y) = (at % shrunk.width, at / shrunk.width);
                let [green, blue] = [1, 2].map(|k| shrunk.values[k * plane + at]);
                if x >= columns || y >= rows {
                    assert_eq!([red, green, blue], [0.0; 3]);
                    continue;
                }
                let want =
                    |at: usize, side: u32| (at as f32 + 0.5) / shrunk.scale / side as f32 - 0.5;
                assert!((red - want(x, width)).abs() < 0.01, "{width}: {x} {red}");
                assert!(
                    (green - want(y, height)).abs() < 0.01,
                    "{width}: {y} {green}"
                );
                assert!((blue - 0.5).abs() < 1e-4);
            }
        }
    }
}
