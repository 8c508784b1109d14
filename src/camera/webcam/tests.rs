use std::collections::VecDeque;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::thread;

use super::worker::{DeviceNode, Fault, FormatChooser, Stream};
use super::*;
use crate::camera::testing::{flat_jpeg, furthest};

const RED: [u8; 3] = [200, 30, 20];
const GREEN: [u8; 3] = [20, 150, 40];
const BLACK: [u8; 3] = [2, 2, 2];

const FORMAT: CameraFormat = CameraFormat {
    coding: Coding::Mjpg,
    width: 32,
    height: 16,
    fps: 30,
};

/// Half a second and less for what takes seconds in earnest. Whatever else takes its time waits for what was heard.
const SHORT: Patience = Patience {
    opening: Duration::from_millis(500),
    silence: Duration::from_millis(500),
    warming: Duration::from_millis(500),
    useless: Duration::from_millis(150),
    retry: Duration::from_millis(10),
};

/// What a camera does when it is opened.
enum Attempt {
    Fails(TroubleKind),
    Hangs,
    Panics,
    Streams(Vec<Step>),
}

/// What an open camera does next; after the last step it is frozen.
#[derive(Clone)]
enum Step {
    Frame(Vec<u8>),
    /// The same frame every 10 ms until so much was heard.
    FrameUntil(usize, Vec<u8>),
    /// Nothing until so much was heard.
    NothingUntil(usize),
    Fails(TroubleKind),
}

/// A driver that does what it is told, one attempt after the other; after the last one its cameras are gone.
struct Script {
    nodes: Vec<DeviceNode>,
    attempts: Mutex<VecDeque<Attempt>>,
    opened: Mutex<Vec<u32>>,
    cues: Arc<Cues>,
}

/// What keeps a script and its listener in step, however late the machine runs either.
#[derive(Default)]
struct Cues {
    /// How many words the listener has heard.
    heard: AtomicUsize,
    /// Whether an open camera has done its last step.
    is_over: AtomicBool,
}

impl Cues {
    fn has_heard(&self, words: usize) -> bool {
        self.heard.load(Ordering::SeqCst) >= words
    }
}

fn node(index: u32, name: &str) -> DeviceNode {
    DeviceNode {
        index,
        name: name.into(),
        path: format!("/dev/video{index}"),
    }
}

fn script(attempts: Vec<Attempt>) -> Arc<Script> {
    script_of(vec![node(0, "lens")], attempts)
}

fn script_of(nodes: Vec<DeviceNode>, attempts: Vec<Attempt>) -> Arc<Script> {
    Arc::new(Script {
        nodes,
        attempts: Mutex::new(attempts.into()),
        opened: Mutex::new(Vec::new()),
        cues: Arc::default(),
    })
}

fn fault(kind: TroubleKind) -> Fault {
    Fault {
        kind,
        detail: "as the script says".into(),
    }
}

fn hang() -> ! {
    loop {
        thread::park();
    }
}

impl Driver for Script {
    fn nodes(&self) -> Result<Vec<DeviceNode>, Fault> {
        Ok(self.nodes.clone())
    }

    fn formats(&self, _: u32) -> Result<Vec<CameraFormat>, Fault> {
        Ok(vec![FORMAT])
    }

    fn open(&self, index: u32, _: FormatChooser) -> Result<Box<dyn Stream>, Fault> {
        self.opened.lock().unwrap().push(index);
        let attempt = self.attempts.lock().unwrap().pop_front();
        match attempt {
            Some(Attempt::Fails(kind)) => Err(fault(kind)),
            Some(Attempt::Hangs) => hang(),
            Some(Attempt::Panics) => panic!("a driver's own fault"),
            Some(Attempt::Streams(steps)) => Ok(Box::new(Scripted {
                steps: steps.into(),
                cues: self.cues.clone(),
            })),
            None => Err(fault(TroubleKind::Unplugged)),
        }
    }
}

struct Scripted {
    steps: VecDeque<Step>,
    cues: Arc<Cues>,
}

impl Stream for Scripted {
    fn format(&self) -> CameraFormat {
        FORMAT
    }

    fn read(&mut self, take: &mut dyn FnMut(&[u8])) -> Result<(), Fault> {
        loop {
            thread::sleep(Duration::from_millis(10));
            match self.steps.front() {
                Some(Step::FrameUntil(words, bytes)) if !self.cues.has_heard(*words) => {
                    take(bytes);
                    return Ok(());
                }
                Some(Step::NothingUntil(words)) if !self.cues.has_heard(*words) => continue,
                _ => {}
            }
            match self.steps.pop_front() {
                Some(Step::Frame(bytes)) => {
                    take(&bytes);
                    return Ok(());
                }
                Some(Step::Fails(kind)) => return Err(fault(kind)),
                Some(Step::FrameUntil(..) | Step::NothingUntil(_)) => {}
                None => {
                    self.cues.is_over.store(true, Ordering::SeqCst);
                    hang()
                }
            }
        }
    }
}

/// `count` frames of one colour, 10 ms apart.
fn frames(colour: [u8; 3], count: usize) -> Vec<Step> {
    vec![Step::Frame(flat_jpeg(colour)); count]
}

fn steps(parts: &[Vec<Step>]) -> Attempt {
    Attempt::Streams(parts.concat())
}

/// What the webcam says until `enough` of it, runs of frames drawn together: `frames` or a trouble's kind.
fn hear(driver: Arc<Script>, index: Option<u32>, enough: usize) -> Vec<String> {
    let cues = driver.cues.clone();
    let mut webcam = Webcam::with_driver(driver, index, SHORT);
    let started = Instant::now();
    let mut heard: Vec<String> = Vec::new();
    while heard.len() < enough && started.elapsed() < Duration::from_secs(5) {
        let word = match webcam.next(Duration::from_millis(20)) {
            Feed::Frame(_) => "frames".into(),
            Feed::Trouble(trouble) => format!("{:?}", trouble.kind),
            Feed::Quiet => continue,
            Feed::End => panic!("a camera has no end"),
        };
        if word != "frames" || heard.last() != Some(&word) {
            heard.push(word);
            cues.heard.store(heard.len(), Ordering::SeqCst);
        }
    }
    heard
}

#[test]
fn the_newest_frame_wins() {
    let mut plan = frames(RED, 5);
    plan.push(Step::Frame(flat_jpeg(GREEN)));
    let script = script(vec![steps(&[plan])]);
    let cues = script.cues.clone();
    let mut webcam = Webcam::with_driver(script, None, PATIENCE);
    while !cues.is_over.load(Ordering::SeqCst) {
        thread::sleep(Duration::from_millis(1));
    }
    let Feed::Frame(frame) = webcam.next(Duration::from_millis(100)) else {
        panic!("no frame");
    };
    assert_eq!(frame.number, 5);
    assert!(furthest(&frame.image, GREEN) < 8);
    let in_use = webcam.in_use().unwrap();
    assert_eq!((in_use.name.as_str(), in_use.format), ("lens", FORMAT));
}

#[test]
fn nobody_waits_longer_than_told() {
    for attempts in [
        vec![Attempt::Hangs],
        vec![steps(&[])],
        vec![Attempt::Fails(TroubleKind::Busy)],
    ] {
        let mut webcam = Webcam::with_driver(script(attempts), None, PATIENCE);
        for _ in 0..3 {
            let started = Instant::now();
            webcam.next(Duration::from_millis(20));
            // Generous: the machine may be busy.
            assert!(started.elapsed() < Duration::from_secs(1));
        }
    }
}

#[test]
fn a_camera_that_hangs_while_opening_is_told_of_once() {
    assert_eq!(hear(script(vec![Attempt::Hangs]), None, 1), ["NoAnswer"]);
    let mut webcam = Webcam::with_driver(script(vec![Attempt::Hangs]), None, SHORT);
    let told = (0..30)
        .filter(|_| matches!(webcam.next(Duration::from_millis(20)), Feed::Trouble(_)))
        .count();
    assert_eq!(told, 1);
}

#[test]
fn a_busy_camera_is_taken_once_it_is_free() {
    let plan = vec![
        Attempt::Fails(TroubleKind::Busy),
        Attempt::Fails(TroubleKind::Busy),
        steps(&[frames(RED, 5)]),
    ];
    assert_eq!(hear(script(plan), None, 2), ["Busy", "frames"]);
}

#[test]
fn a_camera_that_was_unplugged_is_found_again() {
    let plan = vec![
        steps(&[frames(RED, 5), vec![Step::Fails(TroubleKind::Unplugged)]]),
        Attempt::Fails(TroubleKind::Unplugged),
        Attempt::Fails(TroubleKind::Unplugged),
        steps(&[frames(RED, 5)]),
    ];
    assert_eq!(
        hear(script(plan), None, 3),
        ["frames", "Unplugged", "frames"]
    );
}

#[test]
fn a_camera_asked_for_is_found_under_its_new_number_by_its_name() {
    let nodes = vec![node(0, "other"), node(1, "lens"), node(2, "lens")];
    let plan = vec![
        steps(&[frames(RED, 3), vec![Step::Fails(TroubleKind::Unplugged)]]),
        Attempt::Fails(TroubleKind::Unplugged),
        steps(&[frames(RED, 3)]),
    ];
    let driver = script_of(nodes, plan);
    assert_eq!(
        hear(driver.clone(), Some(1), 3),
        ["frames", "Unplugged", "frames"]
    );
    assert_eq!(*driver.opened.lock().unwrap(), [1, 1, 2]);
}

#[test]
fn nodes_that_are_no_cameras_are_passed_over_and_the_worst_failure_is_told() {
    let nodes = || vec![node(0, "a"), node(1, "b"), node(2, "c")];
    let plan = vec![
        Attempt::Fails(TroubleKind::NoCamera),
        Attempt::Fails(TroubleKind::Unusable),
        steps(&[frames(RED, 3)]),
    ];
    assert_eq!(hear(script_of(nodes(), plan), None, 1), ["frames"]);
    let plan = vec![
        Attempt::Fails(TroubleKind::NoCamera),
        Attempt::Fails(TroubleKind::Denied),
        Attempt::Fails(TroubleKind::Unplugged),
    ];
    assert_eq!(hear(script_of(nodes(), plan), None, 1), ["Denied"]);
    assert_eq!(
        hear(script_of(Vec::new(), Vec::new()), None, 1),
        ["NoCamera"]
    );
    assert_eq!(hear(script(vec![]), Some(7), 1), ["NoCamera"]);
}

#[test]
fn a_frozen_camera_is_told_of_and_goes_on_by_itself() {
    let plan = steps(&[frames(RED, 3), vec![Step::NothingUntil(2)], frames(RED, 3)]);
    assert_eq!(
        hear(script(vec![plan]), None, 3),
        ["frames", "Frozen", "frames"]
    );
}

#[test]
fn damaged_frames_are_left_out_and_told_of_only_when_there_are_no_others() {
    let jpeg = flat_jpeg(RED);
    let bad = &jpeg[200..];
    let mixed: Vec<Step> = (0..10)
        .flat_map(|_| [frames(RED, 2), vec![Step::Frame(bad.into()); 2]].concat())
        .collect();
    let only_bad = vec![Step::FrameUntil(2, bad.into())];
    let plan = steps(&[
        mixed,
        vec![Step::FrameUntil(1, jpeg)],
        only_bad,
        frames(RED, 3),
    ]);
    assert_eq!(
        hear(script(vec![plan]), None, 3),
        ["frames", "Damaged", "frames"]
    );
}

#[test]
fn the_dark_frames_of_a_camera_that_wakes_are_left_out() {
    let plan = steps(&[frames(BLACK, 5), frames(RED, 5)]);
    let mut webcam = Webcam::with_driver(script(vec![plan]), None, SHORT);
    let feed = webcam.next(Duration::from_secs(2));
    let Feed::Frame(frame) = feed else {
        panic!("{feed:?}");
    };
    assert!(furthest(&frame.image, RED) < 8);
}

#[test]
fn a_covered_lens_is_told_of_once() {
    let until = |words, colour| vec![Step::FrameUntil(words, flat_jpeg(colour))];
    let plan = steps(&[until(1, RED), until(2, BLACK), until(3, RED)]);
    let heard = hear(script(vec![plan]), None, 3);
    assert_eq!(heard, ["frames", "Dark", "frames"]);
}

#[test]
fn a_driver_that_panics_is_told_of() {
    // Printing the panic's backtrace takes its time, before the thread ends.
    let mut webcam = Webcam::with_driver(script(vec![Attempt::Panics]), None, PATIENCE);
    let feed = webcam.next(Duration::from_secs(5));
    let is_told = matches!(&feed, Feed::Trouble(t) if t.kind == TroubleKind::Unusable);
    assert!(is_told, "{feed:?}");
}

#[test]
fn every_trouble_has_words_and_a_remedy() {
    for (kind, is_there) in [
        (TroubleKind::Unplugged, false),
        (TroubleKind::NoCamera, false),
        (TroubleKind::Unusable, true),
        (TroubleKind::Denied, true),
        (TroubleKind::Busy, true),
    ] {
        let trouble = worker::trouble(Some(&node(3, "lens")), &fault(kind));
        assert!(!trouble.say.is_empty() && !trouble.remedy.is_empty());
        assert_eq!(trouble.say.contains("/dev/video3"), is_there, "{kind:?}");
    }
}

#[test]
fn a_program_built_without_webcams_says_so() {
    let trouble = listing::list_by(driver_absent::SystemDriver).unwrap_err();
    assert_eq!(trouble.kind, TroubleKind::Unsupported);
    assert!(trouble.say.contains("built without webcam support"));
}
