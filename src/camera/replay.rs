//! Files in place of a camera: a folder of pictures, one picture, a Motion-JPEG or a Y4M film.

use std::cmp::Ordering;
use std::collections::VecDeque;
use std::fmt;
use std::fs::{self, File};
use std::io::{self, Read, Seek};
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant};

use image::RgbImage;

use super::mjpeg::Mjpeg;
use super::picture::{self, PictureError, load_picture};
use super::reel::{Reel, Slot};
use super::source::{Feed, Frame, FrameSource, Trouble, TroubleKind};
use super::y4m::{self, Y4m};
use crate::input::{self, shown};

/// How fast a replay runs. No frame is ever left out; only the waiting differs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pace {
    /// Each frame not before its time, as from a camera.
    RealTime,
    /// Each frame as soon as it is asked for.
    AsFast,
}

/// Why a path gives no frames.
#[derive(Debug)]
pub enum ReplayError {
    /// The path itself, or the one picture there.
    Picture(PictureError),
    /// A folder without any picture.
    NoPictures(PathBuf),
    /// A folder or film none of whose pictures can be read; why the first cannot.
    NothingReadable(PathBuf, String),
    /// Not a film that can be read, and why.
    Film(PathBuf, y4m::HeaderFault),
    /// Not a number of frames a second between 0.01 and 1000.
    Rate(f64),
}

impl fmt::Display for ReplayError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ReplayError::Picture(e) => e.fmt(f),
            ReplayError::NoPictures(path) => write!(
                f,
                "{}: no pictures in this folder\ngive a folder of JPEG, PNG, WebP or BMP files",
                shown(path)
            ),
            ReplayError::NothingReadable(path, first) => write!(
                f,
                "{}: none of the pictures can be read; of the first: {first}\nrecord it again, or give another",
                shown(path)
            ),
            ReplayError::Film(path, fault) => write!(f, "{}: {fault}", shown(path)),
            ReplayError::Rate(rate) => write!(
                f,
                "\"{rate}\": no such frame rate\ngive frames a second from 0.01 to 1000"
            ),
        }
    }
}

impl std::error::Error for ReplayError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            ReplayError::Picture(e) => e.source(),
            _ => None,
        }
    }
}

/// Opens what is at `path` in place of a camera: a folder of pictures in the order of their names (numbers in names count
/// as numbers, so `2.jpg` comes before `10.jpg`), one picture, or a Motion-JPEG or Y4M film.
///
/// Frame `n` is at `n / fps` seconds, whatever a film says of its own rate. A frame that is damaged is left out,
/// and keeps its place in time. `fps` is from 0.01 to 1000.
pub fn open_frames(path: &Path, fps: f64, pace: Pace) -> Result<Box<dyn FrameSource>, ReplayError> {
    if !(0.01..=1000.0).contains(&fps) {
        return Err(ReplayError::Rate(fps));
    }
    let mut replay = Replay {
        reel: open_reel(path)?,
        ahead: None,
        to_tell: VecDeque::new(),
        fps,
        pace,
        started: None,
        number: 0,
        short: false,
    };
    // The first picture is read now, so that a path with nothing to see is an error and not an empty film.
    let mut first_fault = None;
    loop {
        match replay.reel.next_slot() {
            Slot::Bad(why) => {
                replay.leave_out(&why);
                first_fault.get_or_insert(why);
            }
            Slot::End => {
                let why = first_fault.unwrap_or_else(|| "there is none".into());
                return Err(ReplayError::NothingReadable(path.to_owned(), why));
            }
            slot => {
                replay.ahead = Some(slot);
                return Ok(Box::new(replay));
            }
        }
    }
}

fn open_reel(path: &Path) -> Result<Box<dyn Reel>, ReplayError> {
    let fault = |fault| {
        ReplayError::Picture(PictureError {
            path: path.to_owned(),
            fault,
        })
    };
    if fs::metadata(path).map_err(|e| fault(e.into()))?.is_dir() {
        let folder = Folder::open(path).map_err(|e| fault(e.into()))?;
        if folder.files.is_empty() {
            return Err(ReplayError::NoPictures(path.to_owned()));
        }
        return Ok(Box::new(folder));
    }
    let file = input::open(path).map_err(|e| fault(e.into()))?;
    let head = start_of(&file).map_err(|e| fault(e.into()))?;
    if head.starts_with(y4m::MAGIC) {
        let film = Y4m::open(file).map_err(|e| ReplayError::Film(path.to_owned(), e))?;
        return Ok(Box::new(film));
    }
    if has_extension(path, &["mjpg", "mjpeg"]) && !head.is_empty() {
        return Ok(Box::new(Mjpeg::new(file)));
    }
    let only = load_picture(path).map_err(ReplayError::Picture)?;
    Ok(Box::new(One {
        picture: Some((only.image, file_name(path))),
    }))
}

/// The first bytes of a file, which is then at its start again.
fn start_of(mut file: &File) -> io::Result<Vec<u8>> {
    let mut head = Vec::new();
    file.take(16).read_to_end(&mut head)?;
    file.rewind()?;
    Ok(head)
}

fn has_extension(path: &Path, wanted: &[&str]) -> bool {
    path.extension()
        .is_some_and(|e| wanted.iter().any(|w| e.eq_ignore_ascii_case(w)))
}

fn file_name(path: &Path) -> Option<String> {
    path.file_name().map(|n| n.to_string_lossy().into_owned())
}

/// A single picture.
struct One {
    picture: Option<(RgbImage, Option<String>)>,
}

impl Reel for One {
    fn next_slot(&mut self) -> Slot {
        match self.picture.take() {
            Some((image, name)) => Slot::Picture(image, name),
            None => Slot::End,
        }
    }
}

/// The pictures of a folder, those in folders below it left out.
struct Folder {
    /// Last one first.
    files: Vec<PathBuf>,
}

impl Folder {
    fn open(path: &Path) -> io::Result<Folder> {
        let mut files = Vec::new();
        for entry in fs::read_dir(path)? {
            let path = entry?.path();
            let hidden = file_name(&path).is_none_or(|n| n.starts_with('.'));
            if !hidden && path.is_file() && is_picture(&path) {
                files.push(path);
            }
        }
        files.sort_by(|a, b| by_name(b, a));
        Ok(Folder { files })
    }
}

impl Reel for Folder {
    fn next_slot(&mut self) -> Slot {
        let Some(path) = self.files.pop() else {
            return Slot::End;
        };
        match load_picture(&path) {
            Ok(picture) => Slot::Picture(picture.image, file_name(&path)),
            Err(error) => {
                let text = error.to_string();
                let why = text.lines().next().unwrap_or_default().to_owned();
                if !error.fault.is_shortage() {
                    return Slot::Bad(why);
                }
                self.files.push(path);
                Slot::NotNow(why)
            }
        }
    }

    fn tells_of_bad_slots(&self) -> bool {
        true
    }
}

/// By name or by content: other files of a folder (notes, lists) are passed over in silence, broken pictures are not.
fn is_picture(path: &Path) -> bool {
    let by_content = || {
        let file = input::open(path).ok()?;
        Some(picture::format(&start_of(&file).ok()?).is_ok())
    };
    has_extension(path, &["jpg", "jpeg", "png", "webp", "bmp"]) || by_content() == Some(true)
}

fn by_name(a: &Path, b: &Path) -> Ordering {
    let (a, b) = (file_name(a), file_name(b));
    let (a, b) = (a.unwrap_or_default(), b.unwrap_or_default());
    natural_order(&a, &b)
}

/// Letters by their code, runs of digits by the number they write; names that differ in leading zeros only, by code.
fn natural_order(a: &str, b: &str) -> Ordering {
    let (mut left, mut right) = (a, b);
    while let (Some(x), Some(y)) = (left.chars().next(), right.chars().next()) {
        if x.is_ascii_digit() && y.is_ascii_digit() {
            let (x, rest_x) = number(left);
            let (y, rest_y) = number(right);
            let order = x.len().cmp(&y.len()).then(x.cmp(y));
            if order.is_ne() {
                return order;
            }
            (left, right) = (rest_x, rest_y);
        } else {
            if x != y {
                return x.cmp(&y);
            }
            (left, right) = (&left[x.len_utf8()..], &right[y.len_utf8()..]);
        }
    }
    left.len().cmp(&right.len()).then(a.cmp(b))
}

/// The digits at the start of `text` without leading zeros, and what follows.
fn number(text: &str) -> (&str, &str) {
    let end = text
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(text.len());
    let (digits, rest) = text.split_at(end);
    (digits.trim_start_matches('0'), rest)
}

/// A reel that runs at a rate.
struct Replay {
    reel: Box<dyn Reel>,
    /// A slot already read.
    ahead: Option<Slot>,
    /// Why pictures were left out, where a person is to hear of each.
    to_tell: VecDeque<String>,
    fps: f64,
    pace: Pace,
    started: Option<Instant>,
    number: u64,
    /// The lack of handles has been told, and has not ended.
    short: bool,
}

/// How long to wait before a picture is asked for again that could not be opened for lack of handles.
const BREATH: Duration = Duration::from_millis(50);

impl Replay {
    /// When the next slot is due, from the start.
    fn due(&self) -> Duration {
        // 1000 years at the slowest rate: a film is shorter.
        Duration::from_secs_f64((self.number as f64 / self.fps).min(3e10))
    }

    /// Waits for the next slot's time, `wait` at most; tells whether it has come.
    fn is_time(&mut self, wait: Duration) -> bool {
        if self.pace == Pace::AsFast {
            return true;
        }
        let started = *self.started.get_or_insert_with(Instant::now);
        let left = self.due().saturating_sub(started.elapsed());
        thread::sleep(left.min(wait));
        left <= wait
    }

    /// Passes over a picture that cannot be read. It keeps its place in time.
    fn leave_out(&mut self, why: &str) {
        self.number += 1;
        if self.reel.tells_of_bad_slots() {
            self.to_tell.push_back(why.to_owned());
        }
    }

    /// What is said of a lack of handles: something once, then nothing.
    fn not_now(&mut self, why: String, wait: Duration) -> Feed {
        if std::mem::replace(&mut self.short, true) {
            thread::sleep(wait.min(BREATH));
            return Feed::Quiet;
        }
        Feed::Trouble(Trouble {
            kind: TroubleKind::NoHandles,
            say: why,
            remedy: "close other programs or tabs; it is tried again and again".into(),
        })
    }
}

impl FrameSource for Replay {
    fn next(&mut self, wait: Duration) -> Feed {
        loop {
            if let Some(why) = self.to_tell.pop_front() {
                return Feed::Trouble(Trouble {
                    kind: TroubleKind::Damaged,
                    say: why,
                    remedy: "it is left out; the others go on".into(),
                });
            }
            let slot = self.ahead.take();
            let slot = slot.unwrap_or_else(|| self.reel.next_slot());
            match slot {
                Slot::Picture(image, name) => {
                    self.short = false;
                    if !self.is_time(wait) {
                        self.ahead = Some(Slot::Picture(image, name));
                        return Feed::Quiet;
                    }
                    let (at, number) = (self.due(), self.number);
                    self.number += 1;
                    return Feed::Frame(Frame {
                        image,
                        at,
                        number,
                        name,
                    });
                }
                Slot::Bad(why) => self.leave_out(&why),
                Slot::NotNow(why) => return self.not_now(why, wait),
                Slot::End => {
                    self.ahead = Some(Slot::End);
                    return Feed::End;
                }
            }
        }
    }
}

#[cfg(test)]
mod tests;
