//! The source of frames, which learners may change on the page while the loop goes on.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use crate::camera::{Feed, Frame, FrameSource, Trouble, TroubleKind, Webcam, list_cameras};
use crate::page::{BrowserCamera, CameraName, Request, Requests};

/// What was asked for on the page and is not about cameras, and where frames come from; shared with the screen.
#[derive(Clone, Default)]
pub struct Wishes(Arc<Mutex<Wanted>>);

#[derive(Default)]
struct Wanted {
    waiting: VecDeque<Request>,
    browser: BrowserCamera,
    cameras: Vec<CameraName>,
}

impl Wishes {
    /// The next one.
    pub fn next(&self) -> Option<Request> {
        self.wanted().waiting.pop_front()
    }

    /// Whether frames come from the browser.
    pub fn browser(&self) -> BrowserCamera {
        self.wanted().browser
    }

    /// The cameras of this machine, once they are listed.
    pub fn cameras(&self) -> Vec<CameraName> {
        self.wanted().cameras.clone()
    }

    /// Lists the cameras on a thread of its own, since a busy one can take its time. `used` is the number of the one in use.
    fn list(&self, used: Option<u32>) {
        let wishes = self.clone();
        thread::spawn(move || {
            // Where cameras cannot be listed none is offered; the source itself says what is wrong.
            let cameras = list_cameras().unwrap_or_default();
            wishes.wanted().cameras = cameras
                .into_iter()
                .map(|camera| CameraName {
                    id: camera.index.to_string(),
                    used: used == Some(camera.index),
                    name: camera.name,
                })
                .collect();
        });
    }

    fn wanted(&self) -> std::sync::MutexGuard<'_, Wanted> {
        // Each change is one step, so it is whole even after a panic elsewhere.
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A source that changes as the page asks.
pub struct Switching {
    /// The camera or the files in its place; none while the browser's camera is used.
    source: Option<Box<dyn FrameSource>>,
    /// The source at the start is a replay: it ends the stream, and no camera takes its place.
    replay: bool,
    requests: Requests,
    wishes: Wishes,
    /// When the present source took over.
    began: Instant,
    /// The stream's time then; the source's own clock starts there.
    since: Duration,
    /// When the last frame was taken, in the stream's time: it never runs back.
    last: Duration,
    frames: u64,
    damaged: u64,
}

impl Switching {
    /// Starts with `source`.
    pub fn new(source: Box<dyn FrameSource>, replay: bool, requests: Requests) -> Switching {
        let wishes = Wishes::default();
        if !replay {
            wishes.list(None);
        }
        Switching {
            source: Some(source),
            replay,
            requests,
            wishes,
            began: Instant::now(),
            since: Duration::ZERO,
            last: Duration::ZERO,
            frames: 0,
            damaged: 0,
        }
    }

    /// What was asked for that is not about cameras.
    pub fn wishes(&self) -> Wishes {
        self.wishes.clone()
    }

    fn switch(&mut self, source: Option<Box<dyn FrameSource>>) {
        self.since = self.last.max(self.since + self.began.elapsed());
        self.began = Instant::now();
        self.replay = false;
        self.wishes.wanted().browser = match source {
            Some(_) => BrowserCamera::Idle,
            None => BrowserCamera::Used,
        };
        self.source = source;
    }

    /// Does what a request asks for; something to tell the loop, if it comes to that.
    fn obey(&mut self, request: Request) -> Option<Feed> {
        match request {
            Request::UseBrowserCamera => self.switch(None),
            Request::UseCamera(id) => {
                let index = id.parse().ok();
                self.wishes.list(index);
                let webcam = Webcam::open(index);
                self.switch(Some(Box::new(webcam)));
            }
            Request::Frame(jpeg) if self.source.is_none() => return self.posted(&jpeg),
            Request::Frame(_) => {}
            Request::BrowserCameraGone(why) if self.source.is_none() => {
                return Some(Feed::Trouble(Trouble {
                    kind: TroubleKind::Unplugged,
                    say: format!("the browser's camera is gone: {why}"),
                    remedy: "choose it again on the page, or another one".into(),
                }));
            }
            Request::BrowserCameraGone(_) => {}
            other => self.wishes.wanted().waiting.push_back(other),
        }
        None
    }

    fn posted(&mut self, jpeg: &[u8]) -> Option<Feed> {
        let at = self.since + self.began.elapsed();
        match Frame::from_jpeg(jpeg, at, self.frames) {
            Ok(frame) => {
                self.frames += 1;
                self.last = at;
                Some(Feed::Frame(frame))
            }
            Err(_) => {
                self.damaged += 1;
                None
            }
        }
    }
}

impl FrameSource for Switching {
    fn next(&mut self, wait: Duration) -> Feed {
        let deadline = Instant::now() + wait;
        loop {
            while let Some(request) = self.requests.try_next() {
                if let Some(feed) = self.obey(request) {
                    return feed;
                }
            }
            let left = deadline.saturating_duration_since(Instant::now());
            if let Some(source) = &mut self.source {
                return match source.next(left) {
                    Feed::Frame(frame) => {
                        self.last = self.since + frame.at;
                        Feed::Frame(Frame {
                            at: self.last,
                            ..frame
                        })
                    }
                    feed => feed,
                };
            }
            let Some(request) = self.requests.next(left) else {
                return Feed::Quiet;
            };
            if let Some(feed) = self.obey(request) {
                return feed;
            }
        }
    }

    fn damaged(&self) -> u64 {
        self.damaged + self.source.as_ref().map_or(0, |source| source.damaged())
    }
}
