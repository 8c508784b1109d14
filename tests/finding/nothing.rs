//! Pictures without a cube.

use image::{Rgb, RgbImage};
use pairsight::sight::Finder;
use proptest::prelude::*;

#[test]
fn small_and_odd_pictures_are_survived() {
    let mut finder = Finder::new();
    for (width, height) in [
        (0, 0),
        (1, 1),
        (2, 3),
        (1, 400),
        (400, 1),
        (37, 53),
        (641, 361),
        (5000, 16),
    ] {
        let picture = RgbImage::from_fn(width, height, |x, y| {
            Rgb([(x * 7) as u8, (y * 13) as u8, 90])
        });
        assert!(finder.look(&picture).faces.is_empty(), "{width} x {height}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Slopes, stripes and noise of any colours are no cube.
    #[test]
    fn plain_things_give_no_face(
        base in prop::array::uniform3(20.0..235.0f32),
        slope in prop::array::uniform3(-0.15..0.15f32),
        wave in (3.0..90.0f32, 0.0..3.1f32, 0.0..100.0f32),
        noise in 0u32..40,
    ) {
        let (length, angle, height) = wave;
        let (sin, cos) = angle.sin_cos();
        let picture = RgbImage::from_fn(640, 480, |x, y| {
            let grain = (x.wrapping_mul(2_654_435_761) ^ y.wrapping_mul(2_246_822_519)) >> 7;
            let grain = (grain % (2 * noise + 1)) as f32 - noise as f32;
            let (x, y) = (x as f32 - 320.0, y as f32 - 240.0);
            let stripe = height * ((x * cos + y * sin) / length * std::f32::consts::TAU).sin().signum();
            Rgb(std::array::from_fn(|k| (base[k] + slope[k] * x + stripe + grain).clamp(0.0, 255.0) as u8))
        });
        let look = Finder::new().look(&picture);
        prop_assert!(look.faces.is_empty(), "{:?}", look.faces);
    }
}
