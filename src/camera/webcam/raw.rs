//! A frame as the camera coded it. It is decoded here: nokhwa does not tell how many bytes of a buffer are in use, and its own
//! decoder can panic on damaged frames.

use std::time::Instant;

use image::{Rgb, RgbImage};

use super::choice::{CameraFormat, Coding};
use crate::camera::jpeg::{self, JpegFault};
use crate::camera::yuv::{self, Range};

/// A frame on its way from the camera to whoever looks at it.
pub(super) struct RawFrame {
    pub bytes: Vec<u8>,
    pub format: CameraFormat,
    pub number: u64,
    pub taken: Instant,
    /// When the camera was opened.
    pub opened: Instant,
}

impl RawFrame {
    /// The picture; an error if it is damaged or not of the size agreed on.
    pub fn decode(&self) -> Result<RgbImage, JpegFault> {
        let CameraFormat { width, height, .. } = self.format;
        let image = match self.format.coding {
            Coding::Mjpg => jpeg::decode(&self.bytes)?.image.into_rgb8(),
            Coding::Yuyv => yuyv(&self.bytes, width, height).ok_or(JpegFault::CutOff)?,
        };
        if image.dimensions() != (width, height) {
            let (width, height) = image.dimensions();
            let what = format!("it came as {width} x {height} pixels");
            return Err(JpegFault::Damaged(what));
        }
        Ok(image)
    }
}

/// What of the buffer that a camera call gave is the frame. The driver maps buffers of the greatest length and does not
/// tell how much of one is in use.
pub(super) fn used<'a>(buffer: &'a [u8], format: &CameraFormat) -> &'a [u8] {
    let len = match format.coding {
        Coding::Mjpg => jpeg::extent(buffer).map_or(0, |extent| extent.len),
        Coding::Yuyv => format.width as usize * format.height as usize * 2,
    };
    &buffer[..len.min(buffer.len())]
}

/// Pairs of pixels: Y, U, Y, V. `None` if there are too few of them.
fn yuyv(bytes: &[u8], width: u32, height: u32) -> Option<RgbImage> {
    let row = width.div_ceil(2) as usize * 4;
    let bytes = bytes.get(..row * height as usize)?;
    Some(RgbImage::from_fn(width, height, |x, y| {
        let pair = &bytes[y as usize * row + x as usize / 2 * 4..][..4];
        let luma = pair[x as usize % 2 * 2];
        Rgb(yuv::to_rgb(luma, pair[1], pair[3], Range::Limited))
    }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::testing::{flat_jpeg, furthest};

    fn frame(coding: Coding, bytes: Vec<u8>) -> RawFrame {
        RawFrame {
            bytes,
            format: CameraFormat {
                coding,
                width: 32,
                height: 16,
                fps: 30,
            },
            number: 0,
            taken: Instant::now(),
            opened: Instant::now(),
        }
    }

    #[test]
    fn pairs_of_pixels_share_their_chroma() {
        // BT.601 codes of red at three quarters, as in colour bars, beside black.
        let bytes = [65, 100, 16, 212].repeat(32 * 16 / 2);
        let image = frame(Coding::Yuyv, bytes).decode().unwrap();
        let left = image.get_pixel(0, 0);
        assert!(left[0].abs_diff(191) <= 1 && left[1] <= 1 && left[2] <= 1);
        assert!(image.get_pixel(1, 15)[0] > 100);
    }

    #[test]
    fn short_frames_and_those_of_another_size_are_refused() {
        let whole = vec![128; 32 * 16 * 2];
        assert!(frame(Coding::Yuyv, whole[1..].to_vec()).decode().is_err());
        assert!(frame(Coding::Yuyv, whole).decode().is_ok());
        let jpeg = flat_jpeg([90, 100, 110]);
        assert!(
            frame(Coding::Mjpg, jpeg[..jpeg.len() / 2].to_vec())
                .decode()
                .is_err()
        );
        assert!(frame(Coding::Mjpg, jpeg[500..].to_vec()).decode().is_err());
        let mut other = frame(Coding::Mjpg, jpeg.clone());
        other.format.width = 64;
        assert!(other.decode().is_err());
        let image = frame(Coding::Mjpg, jpeg).decode().unwrap();
        assert!(furthest(&image, [90, 100, 110]) < 5);
    }

    #[test]
    fn only_the_bytes_in_use_of_a_mapped_buffer_are_taken() {
        let jpeg = flat_jpeg([90, 100, 110]);
        let format = frame(Coding::Mjpg, Vec::new()).format;
        let buffer = [&jpeg[..], &[0; 5000]].concat();
        assert_eq!(used(&buffer, &format), jpeg);
        assert!(used(&[0; 5000], &format).is_empty());
        let pairs = CameraFormat {
            coding: Coding::Yuyv,
            ..format
        };
        assert_eq!(used(&[0; 5000], &pairs).len(), 1024);
        assert_eq!(used(&[0; 50], &pairs).len(), 50);
    }
}
