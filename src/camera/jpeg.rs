//! JPEG as cameras and files give it: where one picture ends, whether it is whole, and its pixels.
//!
//! A plain decoder fills what is missing with grey and says nothing, and a grey sticker is a wrong sticker. So the
//! markers are walked first (ITU-T T.81, Annex B): a picture that was cut off, or whose restart markers do not count up,
//! is refused before decoding, and the decoder then runs in its strict mode.

use std::borrow::Cow;
use std::fmt;
use std::ops::Range;

use image::{DynamicImage, GrayImage, RgbImage};
use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

use super::source::MAX_PIXELS;

mod entropy;
mod tables;

/// The first bytes of every JPEG: start of image, then the first byte of another marker.
pub(super) const MAGIC: [u8; 3] = [0xff, 0xd8, 0xff];

/// Why bytes are not one whole JPEG picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum JpegFault {
    /// The bytes do not begin as a JPEG does.
    NoMagic,
    /// The bytes end before the picture does.
    CutOff,
    /// More pixels than [`MAX_PIXELS`]: width and height as declared.
    TooBig(u32, u32),
    /// Whole to look at, but what is inside contradicts itself.
    Damaged(String),
}

impl fmt::Display for JpegFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            JpegFault::NoMagic => write!(f, "no JPEG picture begins here"),
            JpegFault::CutOff => write!(f, "the picture is cut off"),
            JpegFault::TooBig(width, height) => {
                write!(f, "{width} x {height} pixels are too many")
            }
            JpegFault::Damaged(what) => write!(f, "the picture is damaged ({what})"),
        }
    }
}

impl std::error::Error for JpegFault {}

/// Marker codes (T.81, table B.1) that matter here.
mod code {
    pub const BASELINE: u8 = 0xc0;
    pub const EXTENDED: u8 = 0xc1;
    pub const HUFFMAN_TABLES: u8 = 0xc4;
    pub const RESTART: std::ops::RangeInclusive<u8> = 0xd0..=0xd7;
    pub const START: u8 = 0xd8;
    pub const END: u8 = 0xd9;
    pub const SCAN: u8 = 0xda;
    pub const RESTART_INTERVAL: u8 = 0xdd;
}

/// A marker and the content of the segment that it opens, as offsets.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Segment {
    code: u8,
    /// Where the marker starts.
    start: usize,
    /// Without the length. Behind that of a scan lies its entropy-coded data.
    content: Range<usize>,
}

/// What the markers of one picture tell.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Extent {
    /// Bytes from the start marker to behind the end marker.
    pub len: usize,
    segments: Vec<Segment>,
}

impl Extent {
    fn find(&self, code: u8) -> impl Iterator<Item = &Segment> {
        self.segments.iter().filter(move |s| s.code == code)
    }

    /// The frame header of a picture coded in one pass with Huffman codes.
    fn sequential(&self) -> Option<&Segment> {
        self.find(code::BASELINE)
            .chain(self.find(code::EXTENDED))
            .next()
    }
}

/// Walks the markers of the picture at the start of `bytes`, to its end. What follows it is of no concern.
pub(super) fn extent(bytes: &[u8]) -> Result<Extent, JpegFault> {
    if !bytes.starts_with(&MAGIC) {
        return Err(JpegFault::NoMagic);
    }
    let mut walk = Walk { bytes, at: 2 };
    let mut extent = Extent::default();
    loop {
        let (code, start) = walk.marker()?;
        match code {
            code::END if extent.find(code::SCAN).next().is_none() => {
                return Err(JpegFault::Damaged("it ends before its pixels".into()));
            }
            code::END => {
                extent.len = walk.at;
                return Ok(extent);
            }
            code::START => {
                return Err(JpegFault::Damaged("another one begins inside it".into()));
            }
            // Markers that stand alone.
            0x01 => continue,
            code if code::RESTART.contains(&code) => continue,
            _ => {}
        }
        let content = walk.segment()?;
        extent.segments.push(Segment {
            code,
            start,
            content,
        });
        if code == code::SCAN {
            walk.entropy_coded()?;
        }
    }
}

/// A place in the bytes of one picture.
struct Walk<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl Walk<'_> {
    fn byte(&mut self) -> Result<u8, JpegFault> {
        let byte = *self.bytes.get(self.at).ok_or(JpegFault::CutOff)?;
        self.at += 1;
        Ok(byte)
    }

    /// Steps over the next marker; gives its code and the offset it starts at.
    fn marker(&mut self) -> Result<(u8, usize), JpegFault> {
        if self.byte()? != 0xff {
            return Err(JpegFault::Damaged("no marker where one must be".into()));
        }
        loop {
            // Any number of 0xff may fill the space before the code.
            match self.byte()? {
                0xff => {}
                code => return Ok((code, self.at - 2)),
            }
        }
    }

    /// Steps over a segment's length and content; gives the place of the content.
    fn segment(&mut self) -> Result<Range<usize>, JpegFault> {
        let length = usize::from(self.byte()?) << 8 | usize::from(self.byte()?);
        if length < 2 {
            return Err(JpegFault::Damaged("a segment shorter than its head".into()));
        }
        let start = self.at;
        self.at += length - 2;
        if self.at > self.bytes.len() {
            return Err(JpegFault::CutOff);
        }
        Ok(start..self.at)
    }

    /// Steps over entropy-coded data to the marker that ends it. Restart markers count from 0 to 7 and round again, so
    /// a lost packet shows as a gap in their numbers.
    fn entropy_coded(&mut self) -> Result<(), JpegFault> {
        let mut restart = 0;
        loop {
            let ahead = &self.bytes[self.at..];
            let step = ahead
                .iter()
                .position(|&b| b == 0xff)
                .ok_or(JpegFault::CutOff)?;
            self.at += step;
            match self.bytes.get(self.at + 1).ok_or(JpegFault::CutOff)? {
                0x00 => self.at += 2,
                0xff => self.at += 1,
                code if code::RESTART.contains(code) => {
                    if code & 7 != restart {
                        return Err(JpegFault::Damaged("a piece of it is missing".into()));
                    }
                    restart = (restart + 1) & 7;
                    self.at += 2;
                }
                _ => return Ok(()),
            }
        }
    }
}

/// A decoded picture, not yet turned upright or converted to sRGB.
pub(super) struct Decoded {
    /// Grey or RGB, 8 bits.
    pub image: DynamicImage,
    pub exif: Option<Vec<u8>>,
    pub icc: Option<Vec<u8>>,
}

/// Decodes the one picture at the start of `bytes`; all of it or nothing.
pub(super) fn decode(bytes: &[u8]) -> Result<Decoded, JpegFault> {
    let mut extent = extent(bytes)?;
    let mut whole = Cow::Borrowed(&bytes[..extent.len]);
    if let Some(scan) = scan_without_tables(&extent) {
        whole = Cow::Owned(with_tables(&whole, scan));
        extent = self::extent(&whole)?;
    }
    let options = DecoderOptions::default()
        .set_strict_mode(true)
        .set_max_width(usize::from(u16::MAX))
        .set_max_height(usize::from(u16::MAX));
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(whole.as_ref()), options);
    let damaged = |e: zune_jpeg::errors::DecodeErrors| JpegFault::Damaged(one_line(&e));
    decoder.decode_headers().map_err(damaged)?;
    let no_size = || JpegFault::Damaged("it has no size".into());
    let (width, height) = decoder.dimensions().ok_or_else(no_size)?;
    // A JPEG's sides fit 16 bits.
    let (width, height) = (width as u32, height as u32);
    if u64::from(width) * u64::from(height) > MAX_PIXELS {
        return Err(JpegFault::TooBig(width, height));
    }
    entropy::check(&whole, &extent)?;
    let grey = decoder.input_colorspace() == Some(ColorSpace::Luma);
    let out = if grey {
        ColorSpace::Luma
    } else {
        ColorSpace::RGB
    };
    decoder.set_options(options.jpeg_set_out_colorspace(out));
    let samples = decoder.decode().map_err(damaged)?;
    let image = if grey {
        GrayImage::from_raw(width, height, samples).map(DynamicImage::from)
    } else {
        RgbImage::from_raw(width, height, samples).map(DynamicImage::from)
    };
    Ok(Decoded {
        image: image.ok_or_else(|| JpegFault::Damaged("pixels are missing".into()))?,
        exif: decoder.exif().cloned(),
        icc: decoder.icc_profile(),
    })
}

/// Where the first scan starts, if the picture leaves its Huffman tables out.
fn scan_without_tables(extent: &Extent) -> Option<usize> {
    let has_tables = extent.find(code::HUFFMAN_TABLES).next().is_some();
    let scan = extent.find(code::SCAN).next()?;
    (extent.sequential().is_some() && !has_tables).then_some(scan.start)
}

/// Many webcams leave the Huffman tables out, since they are always the standard ones: puts these before the scan.
fn with_tables(picture: &[u8], scan: usize) -> Vec<u8> {
    let (head, scan) = picture.split_at(scan);
    [head, &tables::segment(), scan].concat()
}

/// A decoder's message without line breaks and quotes, for use inside a sentence.
fn one_line(error: &dyn fmt::Debug) -> String {
    let text = format!("{error:?}");
    let words: Vec<&str> = text.split_whitespace().collect();
    words.join(" ").replace('"', "")
}

#[cfg(test)]
mod tests;
