//! Motion-JPEG: JPEG pictures one after the other in a file, as most webcams send them.

use std::fs::File;
use std::io::Read;

use super::jpeg::{self, JpegFault, MAGIC};
use super::picture;
use super::reel::{Reel, Slot};

/// Bytes read at a time.
const CHUNK: u64 = 1 << 20;

/// A picture with more bytes than this is given up as damaged.
const MAX_FRAME: usize = 64 << 20;

/// A Motion-JPEG film being read. A broken picture costs no other: the next one is found by its start marker.
pub(super) struct Mjpeg<R = File> {
    file: R,
    /// What has been read and not yet given out.
    bytes: Vec<u8>,
    ended: bool,
}

impl<R: Read> Mjpeg<R> {
    pub fn new(file: R) -> Self {
        Mjpeg {
            file,
            bytes: Vec::new(),
            ended: false,
        }
    }

    fn read_more(&mut self) {
        let got = self.file.by_ref().take(CHUNK).read_to_end(&mut self.bytes);
        // A file that cannot be read on is as good as ended there.
        self.ended = !matches!(got, Ok(1..));
    }

    /// Drops what cannot be a picture, up to the next start marker; says whether there was a picture in it: only
    /// pictures hold start and end markers, and the text between the parts of a stream does not.
    fn resync(&mut self) -> bool {
        let mut next = self.next_start(1);
        while next.is_none() && !self.ended && self.bytes.len() < MAX_FRAME {
            // The marker may lie astride the end of what has been read.
            let searched = self.bytes.len() - MAGIC.len();
            self.read_more();
            next = self.next_start(searched.max(1));
        }
        let end = next.unwrap_or(self.bytes.len());
        let dropped: Vec<u8> = self.bytes.drain(..end).collect();
        dropped.starts_with(&MAGIC) || dropped.windows(2).any(|w| w == [0xff, 0xd9])
    }

    fn next_start(&self, from: usize) -> Option<usize> {
        let is_start = |at: &usize| self.bytes[*at..].starts_with(&MAGIC);
        (from..self.bytes.len()).find(is_start)
    }
}

impl<R: Read + Send> Reel for Mjpeg<R> {
    fn next_slot(&mut self) -> Slot {
        loop {
            if self.bytes.len() < MAGIC.len() {
                if self.ended {
                    return Slot::End;
                }
                self.read_more();
                continue;
            }
            match jpeg::extent(&self.bytes) {
                Ok(extent) => {
                    let picture = picture::decode_picture(&self.bytes[..extent.len]);
                    self.bytes.drain(..extent.len);
                    return match picture {
                        Ok(picture) => Slot::Picture(picture.image, None),
                        Err(fault) => Slot::Bad(fault.to_string()),
                    };
                }
                Err(JpegFault::CutOff) if !self.ended && self.bytes.len() < MAX_FRAME => {
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
