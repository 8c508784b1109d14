//! Y4M films: a line of parameters, then for each frame a line `FRAME` and its planes.

use std::fmt;
use std::fs::File;
use std::io::{BufRead, BufReader, Read};

use image::{Rgb, RgbImage};

use super::reel::{Reel, Slot};
use super::source::MAX_PIXELS;
use super::yuv::{self, Range};
use crate::input::printable;

/// The first bytes of every Y4M film.
pub(super) const MAGIC: &[u8] = b"YUV4MPEG2";

/// The most bytes that a line of parameters may have.
const MAX_LINE: u64 = 4096;

/// Why the first line of a film does not tell how to read it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum HeaderFault {
    /// No line end, or not text.
    NoHeader,
    /// Width or height are missing, nought or no numbers: what was found.
    NoSize(String),
    /// More pixels than [`MAX_PIXELS`].
    TooBig(u32, u32),
    /// A layout of samples that is not read here: its name.
    Layout(String),
}

impl fmt::Display for HeaderFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            HeaderFault::NoHeader => write!(
                f,
                "the film's first line is damaged\nrecord or convert it again"
            ),
            HeaderFault::NoSize(found) => write!(
                f,
                "the film's first line gives no width and height (\"{found}\")\nrecord or convert it again"
            ),
            HeaderFault::TooBig(width, height) => write!(
                f,
                "{width} x {height} pixels are too many\nconvert it; 1280 pixels across are enough"
            ),
            HeaderFault::Layout(name) => write!(
                f,
                "films with samples laid out as \"{name}\" are not read\nconvert it to 8 bits, 4:2:0"
            ),
        }
    }
}

/// How samples are laid out, from the first line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Header {
    width: u32,
    height: u32,
    /// By how many bits chroma is smaller across and down; without chroma `None`.
    chroma: Option<(u32, u32)>,
    range: Range,
}

impl Header {
    fn parse(line: &str) -> Result<Header, HeaderFault> {
        let (mut width, mut height) = (None, None);
        let mut chroma = Some((1, 1));
        // Without a word on it the range is the limited one of BT.601 (common practice, no source).
        let mut range = Range::Limited;
        for word in line.split_ascii_whitespace().skip(1) {
            let (key, value) = word.split_at_checked(1).unwrap_or((word, ""));
            match key {
                "W" => width = value.parse().ok(),
                "H" => height = value.parse().ok(),
                "C" => chroma = layout(value)?,
                "X" if value == "COLORRANGE=FULL" => range = Range::Full,
                _ => {}
            }
        }
        match (width, height) {
            (Some(width @ 1..), Some(height @ 1..)) => {
                if u64::from(width) * u64::from(height) > MAX_PIXELS {
                    return Err(HeaderFault::TooBig(width, height));
                }
                Ok(Header {
                    width,
                    height,
                    chroma,
                    range,
                })
            }
            _ => Err(HeaderFault::NoSize(printable(line.trim_end()))),
        }
    }

    /// Width and height of each chroma plane.
    fn chroma_size(&self) -> (usize, usize) {
        let Some((across, down)) = self.chroma else {
            return (0, 0);
        };
        let shrunk = |side: u32, bits: u32| (side.div_ceil(1 << bits)) as usize;
        (shrunk(self.width, across), shrunk(self.height, down))
    }

    fn frame_len(&self) -> usize {
        let (width, height) = self.chroma_size();
        self.width as usize * self.height as usize + 2 * width * height
    }

    /// `planes` is [`Header::frame_len`] long. Each pixel takes the chroma sample that covers it.
    fn to_rgb(self, planes: &[u8]) -> RgbImage {
        let width = self.width as usize;
        let (luma, chroma) = planes.split_at(width * self.height as usize);
        let (across, down) = self.chroma.unwrap_or((0, 0));
        let (chroma_width, chroma_height) = self.chroma_size();
        let (u, v) = chroma.split_at(chroma_width * chroma_height);
        RgbImage::from_fn(self.width, self.height, |x, y| {
            let at = (y >> down) as usize * chroma_width + (x >> across) as usize;
            let sample = |plane: &[u8]| plane.get(at).copied().unwrap_or(128);
            let luma = luma[y as usize * width + x as usize];
            Rgb(yuv::to_rgb(luma, sample(u), sample(v), self.range))
        })
    }
}

/// The chroma shift that a layout's name stands for. All 8-bit ones but that with transparency are known; they differ
/// otherwise only in where chroma samples sit, by half a pixel.
fn layout(name: &str) -> Result<Option<(u32, u32)>, HeaderFault> {
    match name {
        "420" | "420jpeg" | "420mpeg2" | "420paldv" => Ok(Some((1, 1))),
        "422" => Ok(Some((1, 0))),
        "411" => Ok(Some((2, 0))),
        "444" => Ok(Some((0, 0))),
        "mono" => Ok(None),
        other => Err(HeaderFault::Layout(printable(other))),
    }
}

/// A Y4M film being read.
pub(super) struct Y4m<R = BufReader<File>> {
    file: R,
    header: Header,
    planes: Vec<u8>,
    ended: bool,
}

impl Y4m {
    pub fn open(file: File) -> Result<Self, HeaderFault> {
        Y4m::new(BufReader::new(file))
    }
}

impl<R: BufRead> Y4m<R> {
    pub fn new(mut file: R) -> Result<Self, HeaderFault> {
        let line = line(&mut file).ok_or(HeaderFault::NoHeader)?;
        if !line.as_bytes().starts_with(MAGIC) {
            return Err(HeaderFault::NoHeader);
        }
        Ok(Y4m {
            file,
            header: Header::parse(&line)?,
            planes: Vec::new(),
            ended: false,
        })
    }

    fn bad(&mut self, why: &str) -> Slot {
        // Frames have no marks to find the next one by.
        self.ended = true;
        Slot::Bad(why.to_owned())
    }
}

impl<R: BufRead + Send> Reel for Y4m<R> {
    fn next_slot(&mut self) -> Slot {
        if self.ended || self.file.fill_buf().is_ok_and(|ahead| ahead.is_empty()) {
            return Slot::End;
        }
        match line(&mut self.file) {
            Some(line) if line.split_ascii_whitespace().next() == Some("FRAME") => {}
            _ => return self.bad("no frame begins where one must"),
        }
        let wanted = self.header.frame_len();
        self.planes.clear();
        let frame = self.file.by_ref().take(wanted as u64);
        match { frame }.read_to_end(&mut self.planes) {
            Ok(got) if got == wanted => Slot::Picture(self.header.to_rgb(&self.planes), None),
            _ => self.bad("the last frame is cut off"),
        }
    }
}

/// The next line without its end, if it is text and not too long.
fn line(file: &mut impl BufRead) -> Option<String> {
    let mut bytes = Vec::new();
    file.by_ref()
        .take(MAX_LINE)
        .read_until(b'\n', &mut bytes)
        .ok()?;
    if bytes.pop()? != b'\n' {
        return None;
    }
    String::from_utf8(bytes).ok()
}

#[cfg(test)]
mod tests;
