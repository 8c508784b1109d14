//! Picture files: JPEG, PNG, WebP and BMP, told apart by their first bytes, to upright 8-bit sRGB.

use std::fmt;
use std::io::{self, BufRead, BufReader, Cursor, Read, Seek};
use std::path::{Path, PathBuf};

use image::error::ImageError;
use image::metadata::Orientation;
use image::{ColorType, DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits, RgbImage};

use super::icc::{self, ToSrgb};
use super::jpeg::{self, JpegFault};
use super::source::MAX_PIXELS;
use super::{narrow, orientation};
use crate::input::{self, Fault, Kind, printable_within, shown};

/// What a decoder may need beside the samples: some rows, and the picture's metadata, colour profile included.
const MOST_BESIDE: u64 = 32 * 1024 * 1024;

/// The most characters of what a decoder says.
const MOST_QUOTED: usize = 160;

/// The first bytes of a file tell what it is.
const HEAD: u64 = 512;

/// A picture file, decoded and made upright.
#[derive(Clone, Debug)]
pub struct Picture {
    /// Upright, sRGB-encoded, transparent places filled with mid-grey.
    pub image: RgbImage,
    /// What an embedded colour profile lacked to be used, in a few words; the colours were then taken as sRGB.
    pub profile_unused: Option<String>,
    /// How the picture lay in its file.
    pub layout: Layout,
}

/// How a picture lies in its file, compared with the upright one.
#[derive(Clone, Copy, Debug)]
pub struct Layout {
    /// What was done to the stored picture to make it upright.
    orientation: Orientation,
    /// Width and height as stored.
    stored: (u32, u32),
}

impl Layout {
    /// The place in the picture as stored of a point of [`Picture::image`].
    ///
    /// Both in pixels: x right, y down, the centre of the top-left pixel at (0.5, 0.5).
    pub fn to_stored(&self, point: (f32, f32)) -> (f32, f32) {
        orientation::to_stored(self.orientation, self.stored, point)
    }

    /// Width and height in pixels of the picture as stored.
    pub fn stored_size(&self) -> (u32, u32) {
        self.stored
    }
}

/// A picture file that cannot be used: which and why.
#[derive(Debug)]
pub struct PictureError {
    pub path: PathBuf,
    pub fault: PictureFault,
}

/// Why a picture file cannot be used.
#[derive(Debug)]
pub enum PictureFault {
    /// The file is not read at all.
    File(Fault),
    /// No bytes.
    Empty,
    /// Width and height as declared: more than [`MAX_PIXELS`].
    TooManyPixels(u32, u32),
    /// Not one of the formats; what it seems to be, where that shows.
    UnknownFormat(Option<&'static str>),
    /// Begins as a picture and ends too early.
    CutOff,
    /// Contradicts itself, or uses what no decoder here knows: what the decoder said.
    Damaged(String),
}

impl fmt::Display for PictureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let PictureError { path, fault } = self;
        write!(f, "{}: {fault}\n{}", shown(path), fault.remedy())
    }
}

impl fmt::Display for PictureFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PictureFault::File(fault) => fault.fmt(f),
            PictureFault::Empty => write!(f, "the file is empty"),
            PictureFault::TooManyPixels(width, height) => {
                write!(f, "{width} x {height} pixels are too many")
            }
            PictureFault::UnknownFormat(None) => write!(f, "not a picture"),
            PictureFault::UnknownFormat(Some(seems)) => {
                write!(f, "not a picture that can be read, but {seems}")
            }
            PictureFault::CutOff => write!(f, "the picture is cut off"),
            PictureFault::Damaged(what) => write!(f, "the picture is damaged ({what})"),
        }
    }
}

impl PictureFault {
    /// What to do about it.
    pub fn remedy(&self) -> &'static str {
        match self {
            PictureFault::File(Fault::NotAFile) => "name the picture files themselves",
            PictureFault::File(Fault::TooLarge(_)) | PictureFault::TooManyPixels(..) => {
                "save it smaller; 1280 pixels across are enough"
            }
            PictureFault::File(fault) => fault.remedy(),
            PictureFault::UnknownFormat(_) => "save it as JPEG, PNG, WebP or BMP",
            PictureFault::Empty | PictureFault::CutOff | PictureFault::Damaged(_) => {
                "copy it again from where it came from, or take the picture again"
            }
        }
    }

    /// The picture may be whole: the system had no handle left to open it with.
    pub(super) fn is_shortage(&self) -> bool {
        matches!(self, PictureFault::File(fault) if fault.is_shortage())
    }
}

impl std::error::Error for PictureError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match &self.fault {
            PictureFault::File(fault) => Some(fault),
            _ => None,
        }
    }
}

impl From<Fault> for PictureFault {
    fn from(fault: Fault) -> Self {
        PictureFault::File(fault)
    }
}

impl From<io::Error> for PictureFault {
    fn from(error: io::Error) -> Self {
        PictureFault::File(Fault::Io(error))
    }
}

impl From<JpegFault> for PictureFault {
    fn from(fault: JpegFault) -> Self {
        match fault {
            JpegFault::NoMagic => PictureFault::UnknownFormat(None),
            JpegFault::CutOff => PictureFault::CutOff,
            JpegFault::TooBig(width, height) => PictureFault::TooManyPixels(width, height),
            JpegFault::Damaged(what) => PictureFault::Damaged(what),
        }
    }
}

impl From<ImageError> for PictureFault {
    fn from(error: ImageError) -> Self {
        match error {
            ImageError::IoError(e) if e.kind() == io::ErrorKind::UnexpectedEof => {
                PictureFault::CutOff
            }
            other => {
                let text = other.to_string();
                let words: Vec<&str> = text.split_whitespace().collect();
                PictureFault::Damaged(printable_within(&words.join(" "), MOST_QUOTED))
            }
        }
    }
}

/// Reads the picture at `path`.
///
/// The format is told by the first bytes, not by the name. EXIF orientation and an embedded colour profile are applied.
/// Of an animated picture the first frame is taken. A picture that is cut off is an error, never part of a picture.
pub fn load_picture(path: &Path) -> Result<Picture, PictureError> {
    let stored = read_stored(path).and_then(Stored::upright);
    stored.map_err(|fault| PictureError {
        path: path.to_owned(),
        fault,
    })
}

fn read_stored(path: &Path) -> Result<Stored, PictureFault> {
    let file = input::open(path)?;
    if file.metadata()?.len() > Kind::Picture.most() {
        return Err(Fault::TooLarge(Kind::Picture).into());
    }
    let mut head = Vec::new();
    (&file).take(HEAD).read_to_end(&mut head)?;
    (&file).rewind()?;
    match format(&head)? {
        ImageFormat::Jpeg => decode_jpeg(&input::limited(file, Kind::Picture)?),
        other => decode_other(BufReader::new(file), other),
    }
}

/// The picture in the bytes of a file.
pub(super) fn decode_picture(bytes: &[u8]) -> Result<Picture, PictureFault> {
    let stored = match format(bytes)? {
        ImageFormat::Jpeg => decode_jpeg(bytes)?,
        other => decode_other(Cursor::new(bytes), other)?,
    };
    stored.upright()
}

/// The format that the first bytes of a file tell, if it can be read here.
pub(super) fn format(bytes: &[u8]) -> Result<ImageFormat, PictureFault> {
    if bytes.is_empty() {
        return Err(PictureFault::Empty);
    }
    match image::guess_format(bytes) {
        Ok(
            format @ (ImageFormat::Jpeg | ImageFormat::Png | ImageFormat::WebP | ImageFormat::Bmp),
        ) => Ok(format),
        _ => Err(PictureFault::UnknownFormat(seems(bytes))),
    }
}

/// What a file seems to be that is no picture for us.
fn seems(bytes: &[u8]) -> Option<&'static str> {
    if bytes.get(4..8) == Some(b"ftyp") {
        return match bytes.get(8..12) {
            Some(b"heic" | b"heix" | b"mif1" | b"msf1") => Some("an HEIF picture"),
            Some(b"avif" | b"avis") => Some("an AVIF picture"),
            _ => Some("a film"),
        };
    }
    let known: [(&[u8], &str); 7] = [
        (b"GIF8", "a GIF picture"),
        (b"II*\0", "a TIFF or raw picture"),
        (b"MM\0*", "a TIFF or raw picture"),
        (b"%PDF", "a PDF document"),
        (b"PK\x03\x04", "an archive"),
        (b"RIFF", "a film or a sound"),
        (b"YUV4MPEG2", "a Y4M film"),
    ];
    if let Some((_, what)) = known.iter().find(|(magic, _)| bytes.starts_with(magic)) {
        return Some(what);
    }
    let start = &bytes[..bytes.len().min(512)];
    let is_text = std::str::from_utf8(start).is_ok_and(|s| !s.contains('\0'));
    is_text.then_some("text")
}

/// A picture as it lies in its file.
struct Stored {
    /// Row by row, laid out as `colour` says.
    samples: Vec<u8>,
    colour: ColorType,
    size: (u32, u32),
    orientation: Orientation,
    /// A colour profile, or why there is one that could not be had.
    icc: Option<Result<Vec<u8>, String>>,
}

impl Stored {
    fn upright(self) -> Result<Picture, PictureFault> {
        let (width, height) = self.size;
        let has_colour = self.colour.has_color();
        let profile = self
            .icc
            .map(|icc| icc.and_then(|profile| ToSrgb::new(&profile, has_colour)));
        let (mut to_srgb, profile_unused) = match profile {
            None => (None, None),
            Some(Ok(to_srgb)) => (Some(to_srgb), None),
            Some(Err(why)) => (None, Some(printable_within(&why, MOST_QUOTED))),
        };
        let samples = narrow::narrow(self.samples, self.colour, to_srgb.as_mut())
            .map_err(PictureFault::Damaged)?;
        let image = RgbImage::from_raw(width, height, samples)
            .ok_or_else(|| PictureFault::Damaged("pixels are missing".into()))?;
        let mut upright = DynamicImage::ImageRgb8(image);
        upright.apply_orientation(self.orientation);
        Ok(Picture {
            image: upright.into_rgb8(),
            profile_unused,
            layout: Layout {
                orientation: self.orientation,
                stored: self.size,
            },
        })
    }
}

fn decode_jpeg(bytes: &[u8]) -> Result<Stored, PictureFault> {
    let decoded = jpeg::decode(bytes)?;
    let orientation = decoded
        .exif
        .as_deref()
        .and_then(Orientation::from_exif_chunk)
        .unwrap_or(Orientation::NoTransforms);
    Ok(Stored {
        size: (decoded.image.width(), decoded.image.height()),
        colour: decoded.image.color(),
        samples: decoded.image.into_bytes(),
        orientation,
        icc: decoded.icc.map(Ok),
    })
}

fn decode_other(
    mut file: impl BufRead + Seek,
    format: ImageFormat,
) -> Result<Stored, PictureFault> {
    let is_in_png = format == ImageFormat::Png && icc::is_in_png(&mut file)?;
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_BESIDE);
    let mut reader = ImageReader::with_format(file, format);
    reader.limits(limits);
    let mut decoder = reader.into_decoder()?;
    let (width, height) = decoder.dimensions();
    if width == 0 || height == 0 {
        return Err(PictureFault::Damaged("it has no size".into()));
    }
    if u64::from(width) * u64::from(height) > MAX_PIXELS {
        return Err(PictureFault::TooManyPixels(width, height));
    }
    // Broken metadata must not cost the picture.
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let icc = match decoder.icc_profile() {
        Ok(None) if is_in_png => Some(Err("it is too large or damaged".into())),
        Ok(icc) => icc.map(Ok),
        Err(error) => Some(Err(error.to_string())),
    };
    let colour = decoder.color_type();
    // Eight bytes at most for each of the pixels counted above.
    let mut samples = vec![0; decoder.total_bytes() as usize];
    decoder.read_image(&mut samples)?;
    Ok(Stored {
        samples,
        colour,
        size: (width, height),
        orientation,
        icc,
    })
}

#[cfg(test)]
mod tests;
