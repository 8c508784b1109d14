//! This module's parsers as a fuzzer calls them.

use std::io::Cursor;

use super::jpeg;
use super::mjpeg::Mjpeg;
use super::reel::{Reel, Slot};
use super::y4m::Y4m;

/// Larger pictures only cost time here, and are decoded by a library.
const LARGE: u32 = 1 << 20;

/// A picture that decodes has the size that its extent lies in.
pub fn jpeg(bytes: &[u8]) {
    if let Ok(extent) = jpeg::extent(bytes) {
        assert!(extent.len <= bytes.len());
        if !jpeg::claims_more_than(bytes, LARGE)
            && let Ok(decoded) = jpeg::decode(bytes)
        {
            let (width, height) = (decoded.image.width(), decoded.image.height());
            assert!(width > 0 && height > 0);
        }
    }
}

/// A film has no more slots than bytes, and an end.
pub fn mjpeg(bytes: &[u8]) {
    if jpeg::claims_more_than(bytes, LARGE) {
        return;
    }
    runs_out(Mjpeg::new(Cursor::new(bytes)), bytes.len());
}

pub fn y4m(bytes: &[u8]) {
    // A megapixel needs as many bytes, and there are none to give; the picture is made only when they are there.
    if let Ok(film) = Y4m::new(Cursor::new(bytes)) {
        runs_out(film, bytes.len());
    }
}

fn runs_out(mut reel: impl Reel, most: usize) {
    for _ in 0..=most {
        match reel.next_slot() {
            Slot::Picture(image, _) => assert!(image.width() > 0 && image.height() > 0),
            Slot::Bad(why) => assert!(!why.is_empty() && !why.contains('\n')),
            Slot::NotNow(why) => panic!("{why}"),
            Slot::End => return,
        }
    }
    panic!("no end to it");
}
