//! Motion-JPEG: JPEG pictures one after the other in a file, as most webcams send them.

use std::fs::File;
use std::io::Read;

use super::jpeg::{JpegFault, MAGIC, Walk};
use super::picture;
use super::reel::{Reel, Slot};

/// Bytes read at a time.
const CHUNK: u64 = 1 << 20;

/// A picture with more bytes than this is given up as damaged.
const MAX_FRAME: usize = 64 << 20;

/// How many pictures are looked for inside the bytes that broken ones claim. A picture cut off in the middle of a segment
/// claims the start of the next; a camera's picture has one or two small ones in it. More are no camera's, and each costs
/// another walk over the same bytes.
const MOST_INSIDE: usize = 16;

/// A Motion-JPEG film being read. A broken picture costs no other: the next one is found by its start marker.
pub(super) struct Mjpeg<R = File> {
    file: R,
    bytes: Vec<u8>,
    /// Where the bytes begin that have not been given out.
    start: usize,
    ended: bool,
    /// Over the picture that begins there.
    walk: Walk,
    /// How many bytes from `start` on the broken pictures before claim, and how many of those there were.
    claimed: usize,
    broken: usize,
}

impl<R: Read> Mjpeg<R> {
    pub fn new(file: R) -> Self {
        Mjpeg {
            file,
            bytes: Vec::new(),
            start: 0,
            ended: false,
            walk: Walk::default(),
            claimed: 0,
            broken: 0,
        }
    }

    fn ahead(&self) -> &[u8] {
        &self.bytes[self.start..]
    }

    fn read_more(&mut self) {
        self.bytes.drain(..self.start);
        self.start = 0;
        let got = self.file.by_ref().take(CHUNK).read_to_end(&mut self.bytes);
        // A file that cannot be read on is as good as ended there.
        self.ended = !matches!(got, Ok(1..));
    }

    /// Goes on by so many bytes, to where another picture may begin.
    fn pass(&mut self, bytes: usize) {
        self.start += bytes;
        self.walk = Walk::default();
        self.claimed = self.claimed.saturating_sub(bytes);
        if self.claimed == 0 {
            self.broken = 0;
        }
    }

    /// Drops what cannot be a picture, up to the next start marker; says whether there was a picture in it: only
    /// pictures hold start and end markers, and the text between the parts of a stream does not.
    fn resync(&mut self) -> bool {
        self.claimed = self.claimed.max(self.walk.reached());
        self.broken += 1;
        let mut from = match self.broken {
            0..=MOST_INSIDE => 1,
            _ => self.claimed.max(1),
        };
        let mut next = self.next_start(from);
        while next.is_none() && !self.ended && self.ahead().len() < MAX_FRAME {
            // The marker may lie astride the end of what has been read.
            from = from.max(self.ahead().len() - MAGIC.len());
            self.read_more();
            next = self.next_start(from);
        }
        let end = next.unwrap_or(self.ahead().len());
        let dropped = &self.ahead()[..end];
        let picture =
            dropped.starts_with(&MAGIC) || dropped.windows(2).any(|two| two == [0xff, 0xd9]);
        self.pass(end);
        picture
    }

    fn next_start(&self, from: usize) -> Option<usize> {
        let found = self.ahead().get(from..)?.windows(MAGIC.len());
        { found }.position(|at| at == MAGIC).map(|at| from + at)
    }
}

impl<R: Read + Send> Reel for Mjpeg<R> {
    fn next_slot(&mut self) -> Slot {
        loop {
            if self.ahead().len() < MAGIC.len() {
                if self.ended {
                    return Slot::End;
                }
                self.read_more();
                continue;
            }
            match self.walk.on(&self.bytes[self.start..]) {
                Ok(extent) => {
                    let picture = picture::decode_picture(&self.ahead()[..extent.len]);
                    self.pass(extent.len);
                    return match picture {
                        Ok(picture) => Slot::Picture(picture.image, None),
                        Err(fault) => Slot::Bad(fault.to_string()),
                    };
                }
                Err(JpegFault::CutOff) if !self.ended && self.ahead().len() < MAX_FRAME => {
                    self.read_more();
                }
                Err(fault) => {
                    if self.resync() {
                        return Slot::Bad(fault.to_string());
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests;
