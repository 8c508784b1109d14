//! Films with truth, and the live loop run on them.

use std::collections::{HashMap, VecDeque};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::io;
use std::path::Path;
use std::sync::atomic::AtomicBool;
use std::sync::{LazyLock, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use image::RgbImage;
use pairsight::camera::{Feed, Frame, FrameSource, Pace, Trouble, TroubleKind, open_frames};
use pairsight::live::{Album, Event, Gaze, Kind, Listener, Moment, Session, Timed, Watch};
use pairsight::read::Reader;
use pairsight::sight::Look;

/// Frames a second of the films.
pub const FPS: f64 = 10.0;

/// A film in memory: each picture with its time in seconds.
pub type Film = Vec<(f64, RgbImage)>;

/// All frames of a film or a folder.
pub fn film(path: &Path) -> Film {
    let mut source = open_frames(path, FPS, Pace::AsFast).expect("the film is there");
    std::iter::from_fn(|| match source.next(Duration::ZERO) {
        Feed::Frame(frame) => Some((frame.at.as_secs_f64(), frame.image)),
        _ => None,
    })
    .collect()
}

/// A source that gives what it was told to.
struct Scripted {
    film: VecDeque<(f64, RgbImage)>,
    /// Before the first frame after this time the camera is unplugged.
    unplugged: Option<f64>,
    /// When it was asked, each time.
    asked: Vec<Instant>,
}

impl Scripted {
    fn whole(film: Film) -> Scripted {
        Scripted {
            film: film.into(),
            unplugged: None,
            asked: Vec::new(),
        }
    }
}

impl FrameSource for Scripted {
    fn next(&mut self, _: Duration) -> Feed {
        let due = self.film.front().map(|(at, _)| *at);
        if self
            .unplugged
            .is_some_and(|at| due.is_some_and(|due| due > at))
        {
            self.unplugged = None;
            return Feed::Trouble(Trouble {
                kind: TroubleKind::Unplugged,
                say: "the camera was unplugged".into(),
                remedy: "plug it in again".into(),
            });
        }
        self.asked.push(Instant::now());
        match self.film.pop_front() {
            Some((at, image)) => Feed::Frame(Frame {
                image,
                at: Duration::from_secs_f64(at),
                number: 0,
                name: None,
            }),
            None => Feed::End,
        }
    }
}

/// What was told, frame by frame, but for what is not said to the learner.
#[derive(Default)]
struct Heard {
    frames: Vec<Vec<Timed>>,
    at_the_end: Vec<Timed>,
}

impl Listener for Heard {
    fn hear(&mut self, moment: &mut Moment, _: &mut Session) -> io::Result<()> {
        let told = |timed: &Timed| {
            let is_silent = matches!(
                timed.event,
                Event::Saw { .. } | Event::Still {} | Event::Turn { .. } | Event::Rotated { .. }
            );
            !is_silent
        };
        let events: Vec<Timed> = moment.events.drain(..).filter(told).collect();
        match moment.seen {
            Some(_) => self.frames.push(events),
            None => self.at_the_end.extend(events),
        }
        Ok(())
    }
}

/// What a frame led to.
pub struct Answer {
    /// What was told of it.
    pub told: Vec<Timed>,
    /// How long the loop worked on it.
    pub worked: Duration,
}

/// Runs the loop on a film, frame by frame, each looked at by it alone; what was told at the end stands apart.
pub fn watched(film: Film) -> (Vec<Answer>, Vec<Timed>) {
    watched_from(Scripted::whole(film), Gaze::default())
}

/// All that is told of what a source gives.
pub fn heard_from(mut source: impl FrameSource) -> Vec<Timed> {
    let heard = hear(&mut source, Gaze::with(Box::new(Shared)));
    let told = heard.frames.into_iter().flatten();
    told.chain(heard.at_the_end).collect()
}

fn hear(source: &mut dyn FrameSource, gaze: Gaze) -> Heard {
    let mut heard = Heard::default();
    Watch::with(source, gaze)
        .run(
            &mut Session::new(Reader::new(None), None),
            &mut [&mut heard],
            &AtomicBool::new(false),
        )
        .expect("nothing fails");
    heard
}

/// Most of what a faulty camera gives are pictures of the clean film: each is looked at once, for all tests together.
#[derive(Debug)]
struct Shared;

/// What pictures showed, by a hash of all that is in them.
static LOOKS: LazyLock<Mutex<HashMap<u64, Look>>> = LazyLock::new(Mutex::default);

fn looks() -> MutexGuard<'static, HashMap<u64, Look>> {
    LOOKS.lock().unwrap_or_else(PoisonError::into_inner)
}

fn hash(picture: &RgbImage) -> u64 {
    let mut hasher = DefaultHasher::new();
    (picture.dimensions(), picture.as_raw()).hash(&mut hasher);
    hasher.finish()
}

impl Album for Shared {
    fn find(&self, picture: &RgbImage) -> Option<Look> {
        looks().get(&hash(picture)).cloned()
    }

    fn keep(&mut self, picture: &RgbImage, look: &Look) {
        looks().insert(hash(picture), look.clone());
    }
}

fn watched_from(mut source: Scripted, gaze: Gaze) -> (Vec<Answer>, Vec<Timed>) {
    let heard = hear(&mut source, gaze);
    let moments = heard
        .frames
        .into_iter()
        .zip(source.asked.windows(2))
        .map(|(told, asked)| Answer {
            told,
            worked: asked[1] - asked[0],
        })
        .collect();
    (moments, heard.at_the_end)
}

/// All that is told of a film.
pub fn heard(film: Film) -> Vec<Timed> {
    heard_from(Scripted::whole(film))
}

/// All that is told of a film whose camera is unplugged after a time, but for the news of that, which is told once.
pub fn heard_unplugged(film: Film, after: f64) -> Vec<Timed> {
    let mut told = heard_from(Scripted {
        unplugged: Some(after),
        ..Scripted::whole(film)
    });
    let before = told.len();
    told.retain(
        |timed| !matches!(timed.event, Event::Trouble { kind, .. } if kind == Kind::Camera(TroubleKind::Unplugged)),
    );
    assert_eq!(before - told.len(), 1);
    told
}
