//! The colour of each sticker of a found face: the centre of every cell, less what lies on it.
//!
//! A sticker's own colour is the densest cloud among its pixels. A finger, a logo or a scratch makes another cloud;
//! a highlight adds the lamp's colour and pulls a tail of brighter, paler pixels out of the true one.

use image::RgbImage;
use palette::{LinSrgb, Srgb};

use super::look::{Patch, Point};
use super::plane::Homography;
use super::quad::Quad;

/// Samples along each side of a cell: at most `GRID * GRID` pixels are read for a sticker, however near the cube is.
/// More costs time in proportion; fewer lets sensor noise through.
const GRID: usize = 12;

/// Half the side of the sampled square in cells. A layer 5 degrees out of line moves its stickers by up to 0.13 of a
/// cell and the groove takes 0.06, so 0.3 keeps to the sticker; a larger square sees more past a logo or a finger.
const REACH: f32 = 0.3;

/// Width of a colour cloud in 8-bit levels: sensor noise and JPEG blocks stay within, other colours do not.
const CLOUD: f32 = 12.0;

/// 8-bit value from which a channel counts as clipped; JPEG moves a clipped 255 by a few levels.
const CLIPPED: u8 = 252;

/// Pixels that the search for the densest cloud starts from, and how far apart they are in reading order: 29 steps by five
/// columns and two rows or three, so that the starts lie all over the sticker.
const STARTS: usize = 14;
const STRIDE: usize = 29;

/// Fewest pixels inside the picture from which a colour can be told.
const FEWEST: usize = 12;

/// Reads the nine stickers of a face whose grid corners are `lattice` (as in
/// [`FaceView::lattice`](super::look::FaceView::lattice)), in the same `[row][column]` order. A sticker mostly outside
/// the picture comes back with `agreeing` 0.
pub fn sample(image: &RgbImage, lattice: &[[Point; 4]; 4]) -> [[Patch; 3]; 3] {
    std::array::from_fn(|row| {
        std::array::from_fn(|column| {
            let cell = [
                lattice[row][column],
                lattice[row][column + 1],
                lattice[row + 1][column + 1],
                lattice[row + 1][column],
            ];
            patch(&pixels(image, &cell))
        })
    })
}

/// The pixels under a square grid in the middle of a cell; points outside the picture are left out.
fn pixels(image: &RgbImage, cell: &[Point; 4]) -> Vec<Pixel> {
    let plane = Homography::onto(&Quad(*cell));
    let (width, height) = image.dimensions();
    let mut found = Vec::with_capacity(GRID * GRID);
    for row in 0..GRID {
        for column in 0..GRID {
            let at = |i: usize| 0.5 + REACH * (2.0 * (i as f32 + 0.5) / GRID as f32 - 1.0);
            let Point { x, y } = plane.map(at(column), at(row));
            if x >= 0.0 && y >= 0.0 && (x as u32) < width && (y as u32) < height {
                let image::Rgb([red, green, blue]) = *image.get_pixel(x as u32, y as u32);
                found.push(Pixel::new(red, green, blue));
            }
        }
    }
    found
}

/// One pixel in 8-bit encoded levels, where camera noise is about as wide in the dark as in the light.
#[derive(Clone, Copy)]
struct Pixel {
    encoded: [f32; 3],
    linear: LinSrgb<f32>,
    clipped: bool,
}

impl Pixel {
    fn new(red: u8, green: u8, blue: u8) -> Self {
        Pixel {
            encoded: [red.into(), green.into(), blue.into()],
            linear: Srgb::new(red, green, blue).into_linear(),
            clipped: red.max(green).max(blue) >= CLIPPED,
        }
    }

    /// The least of the three channels, in levels.
    fn weakest(&self) -> f32 {
        self.encoded.into_iter().fold(f32::INFINITY, f32::min)
    }

    /// Squared distance to a colour, in levels.
    fn distance2(&self, to: &[f32; 3]) -> f32 {
        let [a, b, c] = self.encoded;
        (a - to[0]).powi(2) + (b - to[1]).powi(2) + (c - to[2]).powi(2)
    }
}

/// The main colour of a sticker's pixels: the centre of the densest cloud's less hazy half. A highlight adds to every
/// channel, so it shows most in the weakest one; what is added to all patches alike is taken back with the light.
fn patch(pixels: &[Pixel]) -> Patch {
    if pixels.len() < FEWEST {
        return Patch {
            rgb: LinSrgb::new(0.0, 0.0, 0.0),
            spread: 1.0,
            clipped: 0.0,
            agreeing: 0.0,
            covered: 0.0,
        };
    }
    let centre = densest(pixels);
    let mut distances: Vec<f32> = pixels.iter().map(|p| p.distance2(&centre).sqrt()).collect();
    let half = distances.len() / 2;
    let (_, &mut median, _) = distances.select_nth_unstable_by(half, f32::total_cmp);
    let limit = (2.0 * median).clamp(CLOUD, 3.0 * CLOUD);
    let mut kept: Vec<&Pixel> = pixels
        .iter()
        .filter(|p| p.distance2(&centre) <= limit * limit)
        .collect();
    let agreeing = kept.len() as f32 / (GRID * GRID) as f32;
    let half = kept.len().div_ceil(2);
    if half > 0 {
        kept.select_nth_unstable_by(half - 1, |a, b| a.weakest().total_cmp(&b.weakest()));
        kept.truncate(half);
    }

    let channel =
        |pick: fn(&LinSrgb<f32>) -> f32| median_and_spread(kept.iter().map(|p| pick(&p.linear)));
    let (red, green, blue) = (
        channel(|c| c.red),
        channel(|c| c.green),
        channel(|c| c.blue),
    );
    let brightest = red.0.max(green.0).max(blue.0).max(1.0 / 255.0);
    let clipped = pixels.iter().filter(|p| p.clipped).count();
    Patch {
        rgb: LinSrgb::new(red.0, green.0, blue.0),
        spread: red.1.max(green.1).max(blue.1) / brightest,
        clipped: clipped as f32 / pixels.len() as f32,
        agreeing,
        covered: 0.0,
    }
}

/// The centre of the densest cloud: the best of a few starting pixels by how much lies near it, then moved to the
/// weighted centre of what lies near it until it rests (mean shift, with weights of Cauchy's form).
fn densest(pixels: &[Pixel]) -> [f32; 3] {
    let nearness = |d2: f32| 1.0 / (1.0 + d2 / (CLOUD * CLOUD));
    // Every other pixel is enough to choose a start by.
    let density = |at: &[f32; 3]| {
        let near = pixels.iter().step_by(2).map(|p| nearness(p.distance2(at)));
        near.sum::<f32>()
    };
    let starts = (0..STARTS).map(|i| &pixels[i * STRIDE % pixels.len()]);
    let mut centre = starts
        .map(|p| (density(&p.encoded), p.encoded))
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map_or([0.0; 3], |(_, at)| at);
    for _ in 0..4 {
        let mut sum = [0.0; 3];
        let mut total = 0.0;
        for pixel in pixels {
            let weight = nearness(pixel.distance2(&centre)).powi(2);
            total += weight;
            for (s, e) in sum.iter_mut().zip(pixel.encoded) {
                *s += weight * e;
            }
        }
        centre = sum.map(|s| s / total);
    }
    centre
}

/// Median, and the standard deviation that the median absolute deviation stands for in a normal distribution.
fn median_and_spread(values: impl Iterator<Item = f32>) -> (f32, f32) {
    let mut values: Vec<f32> = values.collect();
    let half = values.len() / 2;
    if values.is_empty() {
        return (0.0, 1.0);
    }
    let (_, &mut median, _) = values.select_nth_unstable_by(half, f32::total_cmp);
    for v in &mut values {
        *v = (*v - median).abs();
    }
    let (_, &mut deviation, _) = values.select_nth_unstable_by(half, f32::total_cmp);
    (median, 1.4826 * deviation)
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::Rgb;

    /// A 3x3 face of side 90 px at (10, 10), each cell painted by `paint(row, column, u, v)`.
    fn face(paint: impl Fn(usize, usize, f32, f32) -> [u8; 3]) -> (RgbImage, [[Point; 4]; 4]) {
        let mut image = RgbImage::new(110, 110);
        for y in 0..90u32 {
            for x in 0..90u32 {
                let (u, v) = ((x % 30) as f32 / 30.0, (y % 30) as f32 / 30.0);
                let colour = paint((y / 30) as usize, (x / 30) as usize, u, v);
                image.put_pixel(10 + x, 10 + y, Rgb(colour));
            }
        }
        let at = |i: usize| 10.0 + 30.0 * i as f32;
        let lattice =
            std::array::from_fn(|r| std::array::from_fn(|c| Point { x: at(c), y: at(r) }));
        (image, lattice)
    }

    fn assert_close(patch: &Patch, [red, green, blue]: [u8; 3]) {
        let want: LinSrgb<f32> = Srgb::new(red, green, blue).into_linear();
        let off = (patch.rgb - want).into_components();
        let off = off.0.abs().max(off.1.abs()).max(off.2.abs());
        assert!(off < 0.01, "{patch:?} should be {want:?}");
    }

    #[test]
    fn every_cell_gives_its_own_colour() {
        let colour = |r: usize, c: usize| [40 + 70 * r as u8, 40 + 70 * c as u8, 90];
        let (image, lattice) = face(|r, c, _, _| colour(r, c));
        let patches = sample(&image, &lattice);
        for (r, row) in patches.iter().enumerate() {
            for (c, patch) in row.iter().enumerate() {
                assert_close(patch, colour(r, c));
                assert_eq!(
                    (patch.agreeing, patch.clipped, patch.spread),
                    (1.0, 0.0, 0.0)
                );
            }
        }
    }

    #[test]
    fn what_lies_on_a_sticker_is_left_out_and_counted() {
        let red = [170, 30, 40];
        let finger = |u: f32| if u < 0.42 { [200, 150, 120] } else { red };
        let glare = |u: f32, v: f32| if u + v < 0.9 { [255, 250, 248] } else { red };
        let logo = |u: f32, v: f32| {
            if (u - 0.5).abs() + (v - 0.5).abs() < 0.25 {
                [20, 20, 20]
            } else {
                [210, 212, 215]
            }
        };
        let (image, lattice) = face(|r, c, u, v| match (r, c) {
            (0, 0) => finger(u),
            (0, 1) => glare(u, v),
            (1, 1) => logo(u, v),
            _ => red,
        });
        let patches = sample(&image, &lattice);
        for (r, c) in [(0, 0), (0, 1)] {
            assert_close(&patches[r][c], red);
            assert!(patches[r][c].agreeing < 0.8);
        }
        assert!(patches[0][1].clipped > 0.2);
        assert_close(&patches[1][1], [210, 212, 215]);
        assert_eq!(patches[2][2].agreeing, 1.0);
    }

    #[test]
    fn a_layer_out_of_line_keeps_clear_of_grooves_and_neighbours() {
        // The top row slides by 0.13 of a cell, as a layer 5 degrees out of line does; grooves are 6 % wide.
        let (image, lattice) = face(|r, c, u, v| {
            let u = if r == 0 { u - 0.13 } else { u };
            if !(0.06..=0.94).contains(&u) || !(0.06..=0.94).contains(&v) {
                [15, 15, 15]
            } else {
                [60 + 60 * c as u8, 120, 60]
            }
        });
        let patches = sample(&image, &lattice);
        for (c, patch) in patches[0].iter().enumerate() {
            assert_close(patch, [60 + 60 * c as u8, 120, 60]);
            assert!(patch.agreeing > 0.9);
        }
    }

    #[test]
    fn a_face_outside_the_picture_agrees_with_nothing() {
        let (image, _) = face(|_, _, _, _| [200, 200, 200]);
        let far = [[Point {
            x: -500.0,
            y: 900.0,
        }; 4]; 4];
        for patch in sample(&image, &far).as_flattened() {
            assert_eq!(patch.agreeing, 0.0);
            assert!(patch.rgb.red.is_finite());
        }
    }
}
