//! The webcam: its own thread, a mailbox for one frame, and a watchdog that tells what is wrong.
//!
//! A camera call may never return: opening a busy camera, reading from a frozen one. So only the thread in `worker` makes
//! them. It copies each frame, as the camera coded it, over the one before: whoever is slow sees the newest, not the
//! oldest. [`Webcam::next`] decodes what it takes and watches the clock; it waits no longer than it was told to.
//! `driver` is the one place that knows nokhwa.

use std::sync::Arc;
use std::time::{Duration, Instant};

use image::RgbImage;

use super::source::{Feed, Frame, FrameSource, Trouble, TroubleKind};

mod choice;
#[cfg(feature = "webcam")]
mod driver;
// Tested in every build, so that the program without a webcam need not be built only to be tested.
#[cfg(any(test, not(feature = "webcam")))]
mod driver_absent;
mod listing;
mod mailbox;
mod raw;
mod worker;

pub use choice::{CameraFormat, Coding};
pub use listing::{CameraInfo, CameraState, list_cameras};

#[cfg(feature = "webcam")]
use driver::SystemDriver;
#[cfg(not(feature = "webcam"))]
use driver_absent::SystemDriver;
use mailbox::{Mailbox, Phase};
use raw::RawFrame;
use worker::Driver;

/// How long to put up with what, before a person is told.
#[derive(Clone, Copy, Debug)]
struct Patience {
    /// Opening a camera takes up to two seconds (common practice, no source).
    opening: Duration,
    /// Without a new frame. Cameras slow down to 5 frames a second in the dark.
    silence: Duration,
    /// Dark frames after opening are left out for so long: the exposure is still settling.
    warming: Duration,
    /// Dark, or damaged, all the time.
    useless: Duration,
    /// Between attempts to open at first, and doubled each time up to eight times that.
    retry: Duration,
}

const PATIENCE: Patience = Patience {
    opening: Duration::from_secs(8),
    silence: Duration::from_secs(3),
    warming: Duration::from_millis(1500),
    useless: Duration::from_secs(4),
    retry: Duration::from_millis(250),
};

/// Mean of the samples, 0 to 255, under which a frame shows nothing: a covered lens gives 0 to 5.
const DARK: u32 = 8;

/// A live camera. Opening goes on behind the scenes: ask [`FrameSource::next`] what has become of it.
///
/// After any trouble it goes on trying, as long as someone asks: a camera that is plugged in, freed or woken is found by
/// itself. Dropping it ends its thread, unless a camera call holds that up for ever; then the thread is left behind.
pub struct Webcam {
    mailbox: Arc<Mailbox>,
    patience: Patience,
    started: Instant,
    /// What was said last, until a good frame comes.
    told: Option<TroubleKind>,
    /// When the frames began to be of no use, and why.
    useless: Option<(TroubleKind, Instant)>,
}

/// The camera and the format that frames come in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InUse {
    pub name: String,
    /// Where the system keeps it, such as `/dev/video0`.
    pub node: String,
    pub format: CameraFormat,
}

impl Webcam {
    /// Begins to open the camera with this number, as [`list_cameras`] gives it; or else the first that works.
    pub fn open(index: Option<u32>) -> Webcam {
        Webcam::with_driver(Arc::new(SystemDriver), index, PATIENCE)
    }

    fn with_driver(driver: Arc<dyn Driver>, index: Option<u32>, patience: Patience) -> Webcam {
        let mailbox = Arc::new(Mailbox::new());
        worker::spawn(driver, index, mailbox.clone(), patience.retry);
        Webcam {
            mailbox,
            patience,
            started: Instant::now(),
            told: None,
            useless: None,
        }
    }

    /// The camera that frames come from, once one is open.
    pub fn in_use(&self) -> Option<InUse> {
        match self.mailbox.phase() {
            Phase::Streaming { camera, .. } => Some(camera),
            _ => None,
        }
    }

    /// What the frame is worth: a picture to give out, or nothing, or something to say.
    fn look_at(&mut self, raw: RawFrame) -> Option<Feed> {
        let now = Instant::now();
        let image = match raw.decode() {
            Ok(image) => image,
            Err(_) => return self.of_no_use(TroubleKind::Damaged, now),
        };
        if is_dark(&image) {
            if raw.taken < raw.opened + self.patience.warming {
                return None;
            }
            if let Some(trouble) = self.of_no_use(TroubleKind::Dark, now) {
                return Some(trouble);
            }
            // The next picture that shows something ends the trouble; these do not.
            if self.told == Some(TroubleKind::Dark) {
                return None;
            }
        } else {
            self.useless = None;
            self.told = None;
        }
        Some(Feed::Frame(Frame {
            image,
            at: raw.taken.duration_since(self.started),
            number: raw.number,
            name: None,
        }))
    }

    /// Notes another useless frame; something to say if there were only such for long.
    fn of_no_use(&mut self, kind: TroubleKind, now: Instant) -> Option<Feed> {
        let since = match self.useless {
            Some((same, since)) if same == kind => since,
            _ => now,
        };
        self.useless = Some((kind, since));
        let trouble = match kind {
            TroubleKind::Dark => Trouble {
                kind,
                say: "the camera's pictures are black".into(),
                remedy: "open its cover, and turn on a light".into(),
            },
            _ => Trouble {
                kind,
                say: "the camera's pictures arrive damaged".into(),
                remedy: "plug it in elsewhere, without a hub or a long cable".into(),
            },
        };
        (now - since >= self.patience.useless)
            .then(|| self.tell(trouble))
            .flatten()
    }

    /// The trouble, unless it has just been told.
    fn tell(&mut self, trouble: Trouble) -> Option<Feed> {
        let is_known = match self.told {
            // That a camera which was pulled out is missing is no news.
            Some(TroubleKind::Unplugged) if trouble.kind == TroubleKind::NoCamera => true,
            told => told == Some(trouble.kind),
        };
        if is_known {
            return None;
        }
        self.told = Some(trouble.kind);
        Some(Feed::Trouble(trouble))
    }

    /// What the state of the camera gives to say, and otherwise when to look at it again.
    fn watch(&mut self, phase: Phase, now: Instant) -> Result<Feed, Option<Instant>> {
        let (limit, trouble) = match phase {
            Phase::Failed(trouble) => return self.tell(trouble).ok_or(None),
            Phase::Opening { since } => (
                since + self.patience.opening,
                Trouble {
                    kind: TroubleKind::NoAnswer,
                    say: "the camera does not answer".into(),
                    remedy: "close other programs that use it, or unplug it and plug it in again"
                        .into(),
                },
            ),
            Phase::Streaming { camera, last } => (
                last + self.patience.silence,
                Trouble {
                    kind: TroubleKind::Frozen,
                    say: format!("{} ({}) sends no more pictures", camera.name, camera.node),
                    remedy: "unplug it and plug it in again".into(),
                },
            ),
        };
        if now < limit {
            return Err(Some(limit));
        }
        self.tell(trouble).ok_or(None)
    }
}

impl FrameSource for Webcam {
    fn next(&mut self, wait: Duration) -> Feed {
        let deadline = Instant::now() + wait;
        loop {
            if let Some(raw) = self.mailbox.take()
                && let Some(feed) = self.look_at(raw)
            {
                return feed;
            }
            let now = Instant::now();
            let look_again = match self.watch(self.mailbox.notice(), now) {
                Ok(feed) => return feed,
                Err(look_again) => look_again,
            };
            if now >= deadline {
                return Feed::Quiet;
            }
            let until = look_again.map_or(deadline, |at| at.min(deadline));
            self.mailbox.wait(until - now);
        }
    }

    fn node(&self) -> Option<String> {
        Some(self.in_use()?.node)
    }
}

impl Drop for Webcam {
    fn drop(&mut self) {
        self.mailbox.close();
    }
}

/// Whether the picture shows nothing at all; every 16th row and column is looked at.
fn is_dark(image: &RgbImage) -> bool {
    let (mut sum, mut count) = (0, 0);
    for y in (0..image.height()).step_by(16) {
        for x in (0..image.width()).step_by(16) {
            sum += image.get_pixel(x, y).0.map(u32::from).iter().sum::<u32>();
            count += 3;
        }
    }
    sum < DARK * count
}

#[cfg(test)]
mod tests;
