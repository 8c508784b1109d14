//! Pictures taken anew: from another place, in another light, with the noise of another moment.

use image::RgbImage;
use imageproc::geometric_transformations::{Border, Interpolation, Projection, warp};
use imageproc::noise::gaussian_noise_mut;
use rand::Rng;
use rand_chacha::ChaCha8Rng;

/// A picture larger or smaller by `scale`, a little turned, and where its points lie now. A pixel's middle lies at whole numbers there.
pub fn moved(picture: &RgbImage, scale: f32, rng: &mut ChaCha8Rng) -> (RgbImage, Projection) {
    moved_by(picture, scale, rng.random_range(-0.35..0.35))
}

/// The same, turned by an angle in radians.
pub fn moved_by(picture: &RgbImage, scale: f32, turn: f32) -> (RgbImage, Projection) {
    let (width, height) = picture.dimensions();
    let (x, y) = (width as f32 / 2.0, height as f32 / 2.0);
    let to = Projection::translate(x, y)
        * Projection::rotate(turn)
        * Projection::scale(scale, scale)
        * Projection::translate(-x, -y);
    let moved = warp(picture, to, Interpolation::Bicubic, Border::Replicate);
    (moved, to)
}

/// What a lamp and a camera's settings make of the light, in shares of the 8-bit range: a tone curve, then a gain for each channel.
#[derive(Clone, Copy)]
pub struct Light {
    pub gamma: f32,
    pub gains: [f32; 3],
}

impl Light {
    pub fn shine(&self, picture: &mut RgbImage) {
        for pixel in picture.pixels_mut() {
            for (value, gain) in pixel.0.iter_mut().zip(self.gains) {
                let light = (f32::from(*value) / 255.0).powf(self.gamma) * gain;
                *value = (255.0 * light).round() as u8;
            }
        }
    }
}

/// Gains of lamps, redder or bluer, brighter or darker.
pub fn gains(rng: &mut ChaCha8Rng) -> [f32; 3] {
    std::array::from_fn(|_| rng.random_range(0.85..1.1))
}

/// A camera's noise, half a level to three.
pub fn make_noisy(picture: &mut RgbImage, rng: &mut ChaCha8Rng) {
    let levels = rng.random_range(0.5..3.0);
    gaussian_noise_mut(picture, 0.0, levels, rng.random());
}
