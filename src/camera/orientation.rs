//! Turning a picture upright, and finding in the stored picture what was seen in the upright one.

use image::metadata::Orientation;

/// Where the upright point (`x`, `y`) lies in the picture as stored, which is `width` x `height` pixels.
///
/// Both are in pixels from the outer corner of the top-left pixel, x right, y down, so that the centre of that pixel is
/// (0.5, 0.5). `orientation` is what was done to the stored picture to make it upright.
pub(super) fn to_stored(
    orientation: Orientation,
    (width, height): (u32, u32),
    (x, y): (f32, f32),
) -> (f32, f32) {
    let (w, h) = (width as f32, height as f32);
    match orientation {
        Orientation::NoTransforms => (x, y),
        Orientation::FlipHorizontal => (w - x, y),
        Orientation::Rotate180 => (w - x, h - y),
        Orientation::FlipVertical => (x, h - y),
        // Clockwise by a quarter turn: the stored left column, read upwards, became the top row.
        Orientation::Rotate90 => (y, h - x),
        Orientation::Rotate270 => (w - y, x),
        // Turned clockwise and then flipped left to right, which swaps x and y.
        Orientation::Rotate90FlipH => (y, x),
        Orientation::Rotate270FlipH => (w - y, h - x),
    }
}

#[cfg(test)]
mod tests {
    use image::{DynamicImage, RgbImage};

    use super::*;

    #[test]
    fn every_orientation_maps_each_pixel_back_to_where_it_was_stored() {
        let stored = RgbImage::from_fn(5, 3, |x, y| image::Rgb([x as u8, y as u8, 7]));
        for exif in 1..=8 {
            let orientation = Orientation::from_exif(exif).unwrap();
            let mut upright = DynamicImage::from(stored.clone());
            upright.apply_orientation(orientation);
            for (x, y, pixel) in upright.to_rgb8().enumerate_pixels() {
                let centre = (x as f32 + 0.5, y as f32 + 0.5);
                let (sx, sy) = to_stored(orientation, stored.dimensions(), centre);
                let expected = (f32::from(pixel[0]) + 0.5, f32::from(pixel[1]) + 0.5);
                assert_eq!((sx, sy), expected, "orientation {exif}, pixel {x}, {y}");
            }
        }
    }
}
