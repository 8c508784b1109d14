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
    /// More pixels than [`MAX_PIXELS`], or than can be decoded in several passes: width and height as declared.
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

/// More segments than any picture has: an ICC profile of the largest size takes 255, the largest EXIF and its kin a few.
const MOST_SEGMENTS: usize = 2048;

/// More scans than any encoder writes; each costs a pass over the whole picture. Usual are 1 to 10.
const MOST_SCANS: usize = 100;

/// The most bytes that pixels and coefficients may take together: room for 48 megapixels in several passes without subsampling.
const MOST_HELD: u64 = 480 << 20;

/// Bytes that decoding holds: three for each pixel and, in several passes, two for each coefficient until the last pass (T.81, G.1;
/// the frame header, B.2.2, tells how many samples each component has of a pixel).
fn held(bytes: &[u8], extent: &Extent) -> u64 {
    let frame = extent.segments.iter().find(|s| is_frame(s.code));
    let Some(&[_, h1, h0, w1, w0, _, ref components @ ..]) =
        frame.map(|frame| &bytes[frame.content.clone()])
    else {
        return 0;
    };
    let side = |high: u8, low: u8| u64::from(high) << 8 | u64::from(low);
    let pixels = side(h1, h0) * side(w1, w0);
    let of_each = components.chunks_exact(3).map(|c| [c[1] >> 4, c[1] & 15]);
    let samples = |[across, down]: [u8; 2]| u64::from(across) * u64::from(down);
    let most = |axis: usize| of_each.clone().map(|c| c[axis]).max().unwrap_or(1);
    let whole = samples([most(0), most(1)]).max(1);
    let passes = extent.find(code::SCAN).count();
    let coefficients = match extent.sequential() {
        Some(_) if passes == 1 => 0,
        _ => pixels * of_each.clone().map(samples).sum::<u64>() / whole,
    };
    3 * pixels + 2 * coefficients
}

/// Whether a marker opens a frame header: those of the arithmetic coders included, but not tables (T.81, table B.1).
fn is_frame(code: u8) -> bool {
    (0xc0..=0xcf).contains(&code) && !matches!(code, code::HUFFMAN_TABLES | 0xc8 | 0xcc)
}

/// Whether a frame header among these bytes declares more pixels than `most`.
#[cfg(any(test, fuzzing))]
pub(super) fn claims_more_than(bytes: &[u8], most: u32) -> bool {
    // Marker, length, precision, then height and width (T.81, B.2.2).
    bytes.windows(9).any(|w| {
        let side = |at: usize| u32::from(w[at]) << 8 | u32::from(w[at + 1]);
        w[0] == 0xff && (0xc0..=0xcf).contains(&w[1]) && side(5) * (side(7) >> 1) > most / 2
    })
}

/// Walks the markers of the picture at the start of `bytes`, to its end. What follows it is of no concern.
pub(super) fn extent(bytes: &[u8]) -> Result<Extent, JpegFault> {
    Walk::default().on(bytes)
}

/// A walk over the markers of a picture that starts at offset 0. Where the bytes end too early it goes on from there
/// when there are more of them, so that a picture costs its length, however many pieces it comes in.
#[derive(Debug, Default)]
pub(super) struct Walk {
    /// Up to here all is well.
    at: usize,
    segments: Vec<Segment>,
    scans: usize,
    /// In entropy-coded data: the number that the next restart marker must have.
    restart: Option<u8>,
}

impl Walk {
    /// How many bytes it has got through.
    pub fn reached(&self) -> usize {
        self.at
    }

    /// Walks on. `bytes` are those of the calls before and more. After a fault other than [`JpegFault::CutOff`] it is at
    /// its end.
    pub fn on(&mut self, bytes: &[u8]) -> Result<Extent, JpegFault> {
        if !bytes.starts_with(&MAGIC) {
            return Err(JpegFault::NoMagic);
        }
        self.at = self.at.max(2);
        loop {
            self.entropy_coded(bytes)?;
            let (code, behind) = self.marker(bytes)?;
            match code {
                code::END if self.scans == 0 => {
                    return Err(JpegFault::Damaged("it ends before its pixels".into()));
                }
                code::END => {
                    self.at = behind;
                    let segments = std::mem::take(&mut self.segments);
                    return Ok(Extent {
                        len: behind,
                        segments,
                    });
                }
                code::START => {
                    return Err(JpegFault::Damaged("another one begins inside it".into()));
                }
                // Markers that stand alone.
                0x01 => self.at = behind,
                code if code::RESTART.contains(&code) => self.at = behind,
                code => self.segment(bytes, code, behind)?,
            }
        }
    }

    /// The code of the next marker and where its content starts.
    fn marker(&mut self, bytes: &[u8]) -> Result<(u8, usize), JpegFault> {
        match bytes.get(self.at) {
            Some(0xff) => {}
            Some(_) => return Err(JpegFault::Damaged("no marker where one must be".into())),
            None => return Err(JpegFault::CutOff),
        }
        // Any number of 0xff may fill the space before the code.
        let fill = bytes[self.at..].iter().position(|&b| b != 0xff);
        let Some(fill) = fill else {
            self.at = bytes.len() - 1;
            return Err(JpegFault::CutOff);
        };
        self.at += fill - 1;
        Ok((bytes[self.at + 1], self.at + 2))
    }

    /// Steps over a segment whose length is at `length_at`.
    fn segment(&mut self, bytes: &[u8], code: u8, length_at: usize) -> Result<(), JpegFault> {
        let length = bytes.get(length_at..length_at + 2);
        let length = length.ok_or(JpegFault::CutOff)?;
        let length = usize::from(length[0]) << 8 | usize::from(length[1]);
        if length < 2 {
            return Err(JpegFault::Damaged("a segment shorter than its head".into()));
        }
        let content = length_at + 2..length_at + length;
        if content.end > bytes.len() {
            return Err(JpegFault::CutOff);
        }
        let scan = code == code::SCAN;
        self.scans += usize::from(scan);
        if self.segments.len() == MOST_SEGMENTS || self.scans > MOST_SCANS {
            return Err(JpegFault::Damaged("it has too many parts".into()));
        }
        self.restart = scan.then_some(0);
        self.at = content.end;
        self.segments.push(Segment {
            code,
            start: length_at - 2,
            content,
        });
        Ok(())
    }

    /// Steps over entropy-coded data, if there are any here, to the marker that ends them. Restart markers count from 0 to
    /// 7 and round again, so a lost packet shows as a gap in their numbers.
    fn entropy_coded(&mut self, bytes: &[u8]) -> Result<(), JpegFault> {
        while let Some(restart) = self.restart {
            let step = bytes[self.at..].iter().position(|&b| b == 0xff);
            self.at = step.map_or(bytes.len(), |step| self.at + step);
            match bytes.get(self.at + 1).ok_or(JpegFault::CutOff)? {
                0x00 => self.at += 2,
                0xff => self.at += 1,
                code if code::RESTART.contains(code) => {
                    if code & 7 != restart {
                        return Err(JpegFault::Damaged("a piece of it is missing".into()));
                    }
                    self.restart = Some((restart + 1) & 7);
                    self.at += 2;
                }
                _ => self.restart = None,
            }
        }
        Ok(())
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
    let pixels = u64::from(width) * u64::from(height);
    if pixels > MAX_PIXELS || held(&whole, &extent) > MOST_HELD {
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
