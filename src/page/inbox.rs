//! What learners ask for on the page, handed from the server's thread to the loop.

use std::collections::VecDeque;
use std::sync::{Arc, Condvar, Mutex, MutexGuard};
use std::time::{Duration, Instant};

use tokio::sync::watch;

use super::choices::Choice;

/// More unanswered requests than a person makes; further ones are dropped.
const MOST_WAITING: usize = 64;

/// Something asked for on the page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Request {
    /// Take pictures from the browser's camera; [`Request::Frame`]s follow.
    UseBrowserCamera,
    /// Take pictures from this machine's camera of that [`CameraName::id`](super::CameraName::id).
    UseCamera(String),
    /// One JPEG picture of the browser's camera, as long as it is the chosen one.
    Frame(Arc<[u8]>),
    /// The browser's camera was refused, unplugged, or its tab closed; the cause in words.
    BrowserCameraGone(String),
    StartCalibration,
    StopCalibration,
    /// Keep the finished calibration under this name: 1 to 64 characters, no control characters.
    KeepProfile(String),
    /// Use the profile of this name.
    UseProfile(String),
    /// Take the colours from the cube itself in the present light.
    Relight,
    /// Say the newest words and those to come on this machine, as the browser has no voice.
    SpeakHere,
    /// No longer.
    SpeakNoMore,
    /// These are the choices from now on.
    Choose(Choice),
    /// The next step of help.
    MoreHelp,
    /// Another pair than the one that is hinted at.
    SkipPair,
    /// Forget the cube: it is shown anew.
    StartAgain,
    /// Practise the situation of this number, 1 to 22; what is due where none is given.
    Practise(Option<u8>),
    /// Practise seeing, without turning.
    See,
    /// The pair that is drawn is so: the place of an answer in [`Seeing`](super::Seeing).
    Answer(u8),
    /// The next pair to see.
    NextSight,
    /// Back to solving whole cubes.
    PractiseNoMore,
}

/// Takes requests out. Handles share one inbox: each request is given out once.
#[derive(Clone)]
pub struct Requests(pub(super) Arc<Inbox>);

impl Requests {
    /// The next request, if there is one now.
    pub fn try_next(&self) -> Option<Request> {
        self.0.take(&mut self.0.lock())
    }

    /// The next request, waiting up to `patience` for one.
    pub fn next(&self, patience: Duration) -> Option<Request> {
        let until = Instant::now() + patience;
        let mut waiting = self.0.lock();
        loop {
            if let Some(request) = self.0.take(&mut waiting) {
                return Some(request);
            }
            let left = until.checked_duration_since(Instant::now())?;
            waiting = match self.0.arrived.wait_timeout(waiting, left) {
                Ok((guard, _)) => guard,
                Err(poisoned) => poisoned.into_inner().0,
            };
        }
    }
}

/// Bounded: a short queue of requests, and of frames only the newest.
pub(super) struct Inbox {
    waiting: Mutex<Waiting>,
    arrived: Condvar,
    /// Counts the frames taken out, so that the tab which sent one knows when to send the next.
    taken: watch::Sender<u64>,
}

#[derive(Default)]
struct Waiting {
    requests: VecDeque<Request>,
    frame: Option<Arc<[u8]>>,
}

impl Inbox {
    pub fn new() -> Inbox {
        Inbox {
            waiting: Mutex::default(),
            arrived: Condvar::new(),
            taken: watch::channel(0).0,
        }
    }

    /// Puts a request in; a frame takes the place of one that nobody has taken yet.
    pub fn put(&self, request: Request) {
        let mut waiting = self.lock();
        match request {
            Request::Frame(jpeg) => waiting.frame = Some(jpeg),
            other if waiting.requests.len() < MOST_WAITING => waiting.requests.push_back(other),
            _ => return,
        }
        self.arrived.notify_one();
    }

    /// Changes each time a frame has been taken out.
    pub fn taken(&self) -> watch::Receiver<u64> {
        self.taken.subscribe()
    }

    fn take(&self, waiting: &mut Waiting) -> Option<Request> {
        if let Some(request) = waiting.requests.pop_front() {
            return Some(request);
        }
        let jpeg = waiting.frame.take()?;
        self.taken.send_modify(|count| *count += 1);
        Some(Request::Frame(jpeg))
    }

    fn lock(&self) -> MutexGuard<'_, Waiting> {
        // Every change to the queue is one step, so it is whole even after a panic elsewhere.
        self.waiting.lock().unwrap_or_else(|e| e.into_inner())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_frames_only_the_newest_waits() {
        let inbox = Arc::new(Inbox::new());
        let requests = Requests(Arc::clone(&inbox));
        for n in 0..1000_u32 {
            inbox.put(Request::Frame(n.to_be_bytes().into()));
        }
        inbox.put(Request::Relight);
        assert_eq!(requests.try_next(), Some(Request::Relight));
        assert_eq!(
            requests.try_next(),
            Some(Request::Frame(999_u32.to_be_bytes().into()))
        );
        assert_eq!(requests.try_next(), None);
        assert_eq!(*inbox.taken().borrow(), 1);
    }

    #[test]
    fn the_queue_is_bounded_and_keeps_its_order() {
        let inbox = Arc::new(Inbox::new());
        let requests = Requests(Arc::clone(&inbox));
        for n in 0..10 * MOST_WAITING {
            inbox.put(Request::UseProfile(n.to_string()));
        }
        let got: Vec<_> = std::iter::from_fn(|| requests.try_next()).collect();
        let expected: Vec<_> = (0..MOST_WAITING)
            .map(|n| Request::UseProfile(n.to_string()))
            .collect();
        assert_eq!(got, expected);
    }

    #[test]
    fn waiting_ends_when_something_arrives_and_when_patience_does() {
        let inbox = Arc::new(Inbox::new());
        let requests = Requests(Arc::clone(&inbox));
        assert_eq!(requests.next(Duration::from_millis(1)), None);
        let sender = std::thread::spawn(move || inbox.put(Request::Relight));
        assert_eq!(
            requests.next(Duration::from_secs(20)),
            Some(Request::Relight)
        );
        sender.join().unwrap();
    }
}
