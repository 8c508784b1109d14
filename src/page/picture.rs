//! A picture on its way to the tabs.

use std::sync::{Arc, OnceLock};

use axum::body::Bytes;
use image::codecs::jpeg::JpegEncoder;
use image::{RgbImage, imageops};

/// Wider pictures are shrunk to this many pixels: it is about what the page has room for.
const WIDEST: u32 = 960;
/// JPEG quality, 1 to 100: lower shows blocks around stickers, higher costs bytes for nothing that can be seen.
const QUALITY: u8 = 80;

/// A picture as JPEG; one that is not coded yet is coded when the first tab asks.
#[derive(Default)]
pub struct Picture {
    image: Option<RgbImage>,
    jpeg: OnceLock<Bytes>,
}

impl Picture {
    pub fn of_jpeg(jpeg: Arc<[u8]>) -> Picture {
        Picture {
            image: None,
            jpeg: Bytes::from_owner(jpeg).into(),
        }
    }

    pub fn of_image(image: RgbImage) -> Picture {
        Picture {
            image: Some(image),
            jpeg: OnceLock::new(),
        }
    }

    /// The JPEG file; empty when there is no picture.
    pub fn jpeg(&self) -> Bytes {
        let coded = || self.image.as_ref().and_then(code).unwrap_or_default();
        self.jpeg.get_or_init(coded).clone()
    }
}

/// A JPEG file of an image; none where the image has no pixels.
fn code(image: &RgbImage) -> Option<Bytes> {
    let shrunk = (image.width() > WIDEST).then(|| {
        let height = u64::from(image.height()) * u64::from(WIDEST) / u64::from(image.width());
        imageops::thumbnail(image, WIDEST, (height as u32).max(1))
    });
    let image = shrunk.as_ref().unwrap_or(image);
    let mut file = Vec::new();
    JpegEncoder::new_with_quality(&mut file, QUALITY)
        .encode_image(image)
        .ok()?;
    Some(file.into())
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{ImageFormat, Rgb};

    #[test]
    fn an_image_becomes_a_jpeg_of_at_most_the_widest_size() {
        for (size, expected) in [((640, 480), (640, 480)), ((1920, 1080), (960, 540))] {
            let picture =
                Picture::of_image(RgbImage::from_pixel(size.0, size.1, Rgb([200, 40, 30])));
            let file = picture.jpeg();
            let back = image::load_from_memory_with_format(&file, ImageFormat::Jpeg).unwrap();
            assert_eq!((back.width(), back.height()), expected);
            let Rgb([r, g, b]) = *back.to_rgb8().get_pixel(100, 100);
            assert!(r.abs_diff(200) < 6 && g.abs_diff(40) < 6 && b.abs_diff(30) < 6);
            assert_eq!(picture.jpeg().as_ptr(), file.as_ptr(), "coded once");
        }
    }

    #[test]
    fn no_picture_and_an_empty_one_are_no_file() {
        assert!(Picture::default().jpeg().is_empty());
        assert!(Picture::of_image(RgbImage::new(0, 0)).jpeg().is_empty());
    }
}
