//! Picture files: JPEG, PNG, WebP and BMP, told apart by their first bytes, to upright 8-bit sRGB.

use std::fmt;
use std::fs::{self, File};
use std::io::{self, Cursor, Read};
use std::path::{Path, PathBuf};

use image::error::ImageError;
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits, Rgb, RgbImage};

use super::jpeg::{self, JpegFault};
use super::source::MAX_PIXELS;
use super::{icc, orientation};

/// The most bytes that a picture file may have.
const MAX_BYTES: u64 = 256 * 1024 * 1024;

/// What shows through transparent places, an sRGB value: mid-grey, as neither stickers nor plastic are.
const BEHIND: u8 = 128;

/// A picture file, decoded and made upright.
#[derive(Clone, Debug)]
pub struct Picture {
    /// Upright, sRGB-encoded, transparent places filled with mid-grey.
    pub image: RgbImage,
    /// What an embedded colour profile lacked to be used, in a few words; the colours were then taken as sRGB.
    pub profile_unused: Option<String>,
    /// What was done to the stored picture to make it upright.
    orientation: Orientation,
    /// Width and height as stored.
    stored: (u32, u32),
}

impl Picture {
    /// The place in the picture as stored of a point of [`Picture::image`].
    ///
    /// Both in pixels: x right, y down, the middle of the top-left pixel at (0.5, 0.5).
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
    /// The file cannot be read at all.
    Io(io::Error),
    /// A folder, a device or the like.
    NotAFile,
    /// No bytes.
    Empty,
    /// More than 256 MiB.
    TooManyBytes(u64),
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
        write!(f, "{}: {fault}\n{}", path.display(), fault.remedy())
    }
}

impl fmt::Display for PictureFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PictureFault::Io(e) if e.kind() == io::ErrorKind::NotFound => {
                write!(f, "no such file or folder")
            }
            PictureFault::Io(e) if e.kind() == io::ErrorKind::PermissionDenied => {
                write!(f, "not allowed to read it")
            }
            PictureFault::Io(e) => write!(f, "it cannot be read ({e})"),
            PictureFault::NotAFile => write!(f, "not a file"),
            PictureFault::Empty => write!(f, "the file is empty"),
            PictureFault::TooManyBytes(bytes) => {
                write!(f, "{} MB are too many for a picture", bytes / 1_000_000)
            }
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
            PictureFault::Io(e) if e.kind() == io::ErrorKind::NotFound => {
                "check the name and the folder"
            }
            PictureFault::Io(e) if e.kind() == io::ErrorKind::PermissionDenied => {
                "change the permissions, or copy it to a place of your own"
            }
            PictureFault::NotAFile => "name the picture files themselves",
            PictureFault::TooManyBytes(_) | PictureFault::TooManyPixels(..) => {
                "save it smaller; 1280 pixels across are enough"
            }
            PictureFault::UnknownFormat(_) => "save it as JPEG, PNG, WebP or BMP",
            PictureFault::Io(_)
            | PictureFault::Empty
            | PictureFault::CutOff
            | PictureFault::Damaged(_) => {
                "copy it again from where it came from, or take the picture again"
            }
        }
    }
}

impl std::error::Error for PictureError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match &self.fault {
            PictureFault::Io(e) => Some(e),
            _ => None,
        }
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
                PictureFault::Damaged(words.join(" "))
            }
        }
    }
}

/// Reads the picture at `path`.
///
/// The format is told by the first bytes, not by the name. EXIF orientation and an embedded colour profile are applied.
/// Of an animated picture the first frame is taken. A picture that is cut off is an error, never part of a picture.
pub fn load_picture(path: &Path) -> Result<Picture, PictureError> {
    read_file(path)
        .and_then(|bytes| decode_picture(&bytes))
        .map_err(|fault| PictureError {
            path: path.to_owned(),
            fault,
        })
}

fn read_file(path: &Path) -> Result<Vec<u8>, PictureFault> {
    // Looked at before it is opened: opening a pipe waits for a writer.
    let about = fs::metadata(path).map_err(PictureFault::Io)?;
    if !about.is_file() {
        return Err(PictureFault::NotAFile);
    }
    if about.len() > MAX_BYTES {
        return Err(PictureFault::TooManyBytes(about.len()));
    }
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(PictureFault::Io)?;
    file.take(MAX_BYTES)
        .read_to_end(&mut bytes)
        .map_err(PictureFault::Io)?;
    Ok(bytes)
}

/// The picture in the bytes of a file.
pub(super) fn decode_picture(bytes: &[u8]) -> Result<Picture, PictureFault> {
    let stored = match format(bytes)? {
        ImageFormat::Jpeg => decode_jpeg(bytes)?,
        other => decode_other(bytes, other)?,
    };
    let size = (stored.image.width(), stored.image.height());
    let (converted, profile_unused) = match stored.icc {
        None => (stored.image, None),
        Some(profile) => match icc::to_srgb(&stored.image, &profile) {
            Ok(converted) => (converted, None),
            Err(why) => (stored.image, Some(why)),
        },
    };
    let mut upright = DynamicImage::ImageRgb8(opaque(converted));
    upright.apply_orientation(stored.orientation);
    Ok(Picture {
        image: upright.into_rgb8(),
        profile_unused,
        orientation: stored.orientation,
        stored: size,
    })
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
    image: DynamicImage,
    orientation: Orientation,
    icc: Option<Vec<u8>>,
}

fn decode_jpeg(bytes: &[u8]) -> Result<Stored, PictureFault> {
    let decoded = jpeg::decode(bytes)?;
    let orientation = decoded
        .exif
        .as_deref()
        .and_then(Orientation::from_exif_chunk)
        .unwrap_or(Orientation::NoTransforms);
    Ok(Stored {
        image: decoded.image,
        orientation,
        icc: decoded.icc,
    })
}

fn decode_other(bytes: &[u8], format: ImageFormat) -> Result<Stored, PictureFault> {
    let mut limits = Limits::default();
    // 16 bits in four channels, and as much again for the decoder's own needs.
    limits.max_alloc = Some(MAX_PIXELS * 16);
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
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
    let icc = decoder.icc_profile().unwrap_or(None);
    Ok(Stored {
        image: DynamicImage::from_decoder(decoder)?,
        orientation,
        icc,
    })
}

/// Rounds to 8 bits and fills transparent places with [`BEHIND`], mixing encoded values as browsers do.
fn opaque(image: DynamicImage) -> RgbImage {
    if !image.color().has_alpha() {
        return image.into_rgb8();
    }
    let image = image.into_rgba8();
    RgbImage::from_fn(image.width(), image.height(), |x, y| {
        let [r, g, b, alpha] = image.get_pixel(x, y).0.map(u32::from);
        let mix = |c: u32| ((c * alpha + u32::from(BEHIND) * (255 - alpha) + 127) / 255) as u8;
        Rgb([mix(r), mix(g), mix(b)])
    })
}

#[cfg(test)]
mod tests;
