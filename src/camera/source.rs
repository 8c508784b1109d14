//! What every source of frames has in common.

use std::fmt;
use std::time::Duration;

use image::RgbImage;
use serde::Serialize;

/// The most pixels that a picture may declare: room for a 48-megapixel telephone camera.
pub const MAX_PIXELS: u64 = 64 * 1024 * 1024;

/// One picture of a stream.
#[derive(Clone, Debug)]
pub struct Frame {
    /// Upright, sRGB-encoded.
    pub image: RgbImage,
    /// When it was taken, from the start of the stream.
    pub at: Duration,
    /// Its place in the stream, from 0. Frames that were damaged or missed leave gaps.
    pub number: u64,
    /// The file's name, where each frame is a file.
    pub name: Option<String>,
}

/// What a source has to say when it is asked.
#[derive(Clone, Debug)]
pub enum Feed {
    /// The next frame; of a live camera the newest one.
    Frame(Frame),
    /// Something is wrong that a person should know. Said once; the source goes on if it can.
    Trouble(Trouble),
    /// Nothing new within the time given.
    Quiet,
    /// There will be nothing more.
    End,
}

/// Something wrong with a source, in words for the person in front of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trouble {
    pub kind: TroubleKind,
    /// What is wrong, and where.
    pub say: String,
    /// What to do about it.
    pub remedy: String,
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}\n{}", self.say, self.remedy)
    }
}

/// The kinds of trouble a source can have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum TroubleKind {
    /// This program was built without webcam support.
    Unsupported,
    /// There is no camera.
    NoCamera,
    /// The system does not let this program use the camera.
    Denied,
    /// Another program has the camera.
    Busy,
    /// The camera does not answer while it is being opened.
    NoAnswer,
    /// The camera answers, but what it offers cannot be used.
    Unusable,
    /// The camera was pulled out.
    Unplugged,
    /// The camera is there and sends nothing.
    Frozen,
    /// The pictures are black.
    Dark,
    /// A frame cannot be decoded, or many of them.
    Damaged,
    /// The system has no handles left to open the next frame's file with; the frame itself may be whole.
    NoHandles,
}

/// A stream of frames: a camera, or files in its place.
pub trait FrameSource: Send {
    /// The next thing the source has to say. Waits no longer than `wait`, apart from decoding.
    fn next(&mut self, wait: Duration) -> Feed;

    /// Where the system keeps the camera that frames come from, such as `/dev/video0`; none while no camera is open.
    fn node(&self) -> Option<String> {
        None
    }
}
