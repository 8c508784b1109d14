//! What the camera's thread and everyone else share: one frame, and how the camera is doing.

use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use super::InUse;
use super::raw::RawFrame;
use crate::camera::source::Trouble;

/// How the camera is doing.
#[derive(Clone, Debug)]
pub(super) enum Phase {
    /// Being looked for or opened; a call of the system may be under way.
    Opening { since: Instant },
    /// Open. `last` is when the last frame came, or when it was opened.
    Streaming { camera: InUse, last: Instant },
    /// It does not work; there will be another attempt.
    Failed(Trouble),
}

struct Inside {
    phase: Phase,
    /// Whether anyone has looked at this phase.
    noticed: bool,
    frame: Option<RawFrame>,
    closed: bool,
}

/// Holds one frame; a new one replaces it.
pub(super) struct Mailbox {
    inside: Mutex<Inside>,
    changed: Condvar,
}

impl Mailbox {
    pub fn new() -> Self {
        Mailbox {
            inside: Mutex::new(Inside {
                phase: Phase::Opening {
                    since: Instant::now(),
                },
                noticed: false,
                frame: None,
                closed: false,
            }),
            changed: Condvar::new(),
        }
    }

    /// A panic of the camera's thread leaves nothing half done in here.
    fn lock(&self) -> MutexGuard<'_, Inside> {
        self.inside.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub fn put(&self, frame: RawFrame) {
        let mut inside = self.lock();
        if let Phase::Streaming { last, .. } = &mut inside.phase {
            *last = frame.taken;
        }
        inside.frame = Some(frame);
        self.changed.notify_all();
    }

    pub fn take(&self) -> Option<RawFrame> {
        self.lock().frame.take()
    }

    pub fn set_phase(&self, phase: Phase) {
        let mut inside = self.lock();
        inside.phase = phase;
        inside.noticed = false;
        self.changed.notify_all();
    }

    pub fn phase(&self) -> Phase {
        self.lock().phase.clone()
    }

    /// The phase, which then counts as noticed.
    pub fn notice(&self) -> Phase {
        let mut inside = self.lock();
        inside.noticed = true;
        self.changed.notify_all();
        inside.phase.clone()
    }

    /// Waits till something may have changed, `at_most` so long; not at all while a frame lies here.
    pub fn wait(&self, at_most: Duration) {
        let inside = self.lock();
        if inside.frame.is_none() && !inside.closed {
            let woken = self.changed.wait_timeout(inside, at_most);
            drop(woken.unwrap_or_else(PoisonError::into_inner));
        }
    }

    /// Nobody wants frames any more.
    pub fn close(&self) {
        self.lock().closed = true;
        self.changed.notify_all();
    }

    /// Whether that is so.
    pub fn is_closed(&self) -> bool {
        self.lock().closed
    }

    /// Sleeps so long, and then until the phase has been noticed: a failure is not overwritten before it was told of. Ends
    /// as soon as nobody wants frames any more.
    pub fn sleep(&self, time: Duration) {
        let inside = self.lock();
        let wanted = |inside: &mut Inside| !inside.closed;
        let slept = self.changed.wait_timeout_while(inside, time, wanted);
        let (inside, _) = slept.unwrap_or_else(PoisonError::into_inner);
        let untold = |inside: &mut Inside| !inside.closed && !inside.noticed;
        drop(self.changed.wait_while(inside, untold));
    }
}
