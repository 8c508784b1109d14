//! The source of frames, which learners may change on the page while the loop goes on.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use crate::camera::{
    CameraInfo, Feed, Frame, FrameSource, Trouble, TroubleKind, Webcam, list_cameras,
};
use crate::page::{BrowserCamera, CameraName, Request, Requests};

/// What was asked for on the page and is not about cameras, and where frames come from; shared with the screen.
#[derive(Clone, Default)]
pub struct SharedState(Arc<Mutex<State>>);

#[derive(Default)]
struct State {
    waiting: VecDeque<Request>,
    browser: BrowserCamera,
    cameras: Vec<CameraInfo>,
    /// Where the system keeps the camera that frames come from.
    node: Option<String>,
}

impl SharedState {
    /// The next one.
    pub fn next(&self) -> Option<Request> {
        self.state().waiting.pop_front()
    }

    /// Whether frames come from the browser.
    pub fn browser(&self) -> BrowserCamera {
        self.state().browser
    }

    /// The cameras of this machine, once they are listed.
    pub fn cameras(&self) -> Vec<CameraName> {
        let state = self.state();
        let name = |camera: &CameraInfo| CameraName {
            id: camera.index.to_string(),
            name: camera.name.clone(),
            used: state.node.as_ref() == Some(&camera.node),
        };
        state.cameras.iter().map(name).collect()
    }

    /// Lists the cameras on a thread of its own, since a busy one can take its time.
    fn list(&self) {
        let shared = self.clone();
        thread::spawn(move || {
            // Where cameras cannot be listed none is offered; the source itself says what is wrong.
            shared.state().cameras = list_cameras().unwrap_or_default();
        });
    }

    fn state(&self) -> std::sync::MutexGuard<'_, State> {
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
    shared: SharedState,
    /// When the present source took over.
    began: Instant,
    /// The stream's time then; the source's own clock starts there.
    since: Duration,
    /// When the last frame was taken, in the stream's time: it never runs back.
    last: Duration,
    frames: u64,
}

impl Switching {
    /// Starts with `source`.
    pub fn new(source: Box<dyn FrameSource>, replay: bool, requests: Requests) -> Switching {
        let shared = SharedState::default();
        if !replay {
            shared.list();
        }
        Switching {
            source: Some(source),
            replay,
            requests,
            shared,
            began: Instant::now(),
            since: Duration::ZERO,
            last: Duration::ZERO,
            frames: 0,
        }
    }

    /// What was asked for that is not about cameras.
    pub fn shared(&self) -> SharedState {
        self.shared.clone()
    }

    fn switch(&mut self, source: Option<Box<dyn FrameSource>>) {
        self.since = self.last.max(self.since + self.began.elapsed());
        self.began = Instant::now();
        self.replay = false;
        let mut state = self.shared.state();
        state.node = None;
        state.browser = match source {
            Some(_) => BrowserCamera::Idle,
            None => BrowserCamera::Used,
        };
        drop(state);
        self.source = source;
    }

    /// Does what a request asks for; something to tell the loop, if it comes to that.
    fn obey(&mut self, request: Request) -> Option<Feed> {
        match request {
            Request::UseBrowserCamera => self.switch(None),
            Request::UseCamera(id) => {
                self.shared.list();
                let webcam = Webcam::open(id.parse().ok());
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
            other => self.shared.state().waiting.push_back(other),
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
            Err(_) => None,
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
                let feed = source.next(left);
                self.shared.state().node = source.node();
                return match feed {
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
}

#[cfg(test)]
mod tests {
    use image::RgbImage;

    use super::*;
    use crate::camera::CameraState;
    use crate::page::{Options, Page};

    /// A camera that sends a frame each time it is asked, timed by a clock of its own that starts at nought.
    struct Ticking {
        node: &'static str,
        ticks: u64,
    }

    impl FrameSource for Ticking {
        fn next(&mut self, _: Duration) -> Feed {
            self.ticks += 1;
            Feed::Frame(Frame {
                image: RgbImage::new(16, 16),
                at: Duration::from_millis(100 * self.ticks),
                number: self.ticks,
                name: None,
            })
        }

        fn node(&self) -> Option<String> {
            Some(self.node.into())
        }
    }

    fn ticking(node: &'static str) -> Box<Ticking> {
        Box::new(Ticking { node, ticks: 0 })
    }

    fn at(source: &mut Switching) -> Duration {
        match source.next(Duration::ZERO) {
            Feed::Frame(frame) => frame.at,
            feed => panic!("no frame: {feed:?}"),
        }
    }

    /// Watching what `source` sends, with a page on which nobody asks for anything.
    fn watching(source: Box<dyn FrameSource>) -> (Page, Switching) {
        let page = Page::start(Options::default()).expect("a page");
        let requests = page.requests();
        (page, Switching::new(source, true, requests))
    }

    #[test]
    fn the_streams_time_goes_on_when_the_camera_changes() {
        let (_page, mut source) = watching(ticking("/dev/video0"));
        let first: Vec<Duration> = (0..3).map(|_| at(&mut source)).collect();
        assert_eq!(first, [1, 2, 3].map(|n| Duration::from_millis(100 * n)));
        source.switch(Some(ticking("/dev/video2")));
        let after = at(&mut source);
        assert!(after > first[2], "{after:?}");
        source.switch(None);
        let jpeg = {
            let mut bytes = Vec::new();
            image::codecs::jpeg::JpegEncoder::new(&mut bytes)
                .encode_image(&RgbImage::new(16, 16))
                .expect("a picture");
            bytes
        };
        let Some(Feed::Frame(posted)) = source.posted(&jpeg) else {
            panic!("the browser's picture is lost");
        };
        assert!(posted.at >= after, "{:?}", posted.at);
    }

    #[test]
    fn the_camera_in_use_is_marked() {
        let (_page, mut source) = watching(ticking("/dev/video0"));
        let shared = source.shared();
        let camera = |index: u32, name: &str| CameraInfo {
            index,
            name: name.into(),
            node: format!("/dev/video{index}"),
            state: CameraState::Ready,
            formats: Vec::new(),
        };
        // Two of the same make.
        shared.state().cameras = vec![camera(0, "Webcam"), camera(2, "Webcam")];
        let used = || shared.cameras().iter().map(|c| c.used).collect::<Vec<_>>();
        assert_eq!(used(), [false, false]);
        at(&mut source);
        assert_eq!(used(), [true, false]);
        source.switch(Some(ticking("/dev/video2")));
        assert_eq!(used(), [false, false]);
        at(&mut source);
        assert_eq!(used(), [false, true]);
        source.switch(None);
        assert_eq!(used(), [false, false]);
    }
}
