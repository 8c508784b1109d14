//! Frames that are handed over one by one as JPEG files, as a browser's camera gives them.

use std::time::Duration;

use super::jpeg::{self, JpegFault};
use super::source::Frame;

impl Frame {
    /// Decodes a frame, taken `at` from the start of the stream.
    ///
    /// # Errors
    /// When it is not a whole JPEG picture.
    pub fn from_jpeg(bytes: &[u8], at: Duration, number: u64) -> Result<Frame, JpegFault> {
        Ok(Frame {
            image: jpeg::decode(bytes)?.image.into_rgb8(),
            at,
            number,
            name: None,
        })
    }
}
