//! What the tests of this module share.

use std::fs;
use std::path::PathBuf;

use image::{Rgb, RgbImage};

/// A file made by `tests/fixtures/pictures/make.py`, which see.
pub fn fixture_path(name: &str) -> PathBuf {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/fixtures/pictures");
    PathBuf::from(folder).join(name)
}

pub fn fixture(name: &str) -> Vec<u8> {
    fs::read(fixture_path(name)).unwrap()
}

/// What another library makes of a fixture: colours in a row.
pub fn expected(name: &str) -> Vec<[u8; 3]> {
    let all: serde_json::Value = serde_json::from_slice(&fixture("expected.json")).unwrap();
    serde_json::from_value(all[name].clone()).unwrap()
}

/// A picture in one colour as a JPEG, its sides multiples of 16.
pub fn flat_jpeg(colour: [u8; 3]) -> Vec<u8> {
    let mut bytes = Vec::new();
    image::codecs::jpeg::JpegEncoder::new_with_quality(&mut bytes, 95)
        .encode_image(&RgbImage::from_pixel(32, 16, Rgb(colour)))
        .unwrap();
    bytes
}

/// The largest difference between a pixel and `colour`.
pub fn furthest(image: &RgbImage, colour: [u8; 3]) -> u8 {
    let apart = |p: &Rgb<u8>| (0..3).map(|c| p[c].abs_diff(colour[c])).max().unwrap();
    image.pixels().map(apart).max().unwrap()
}
