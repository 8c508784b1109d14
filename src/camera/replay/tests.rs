use std::fs;

use proptest::prelude::*;

use super::*;
use crate::camera::testing::{fixture, flat_jpeg, furthest};

/// All that a source says, for as long as it says something.
fn all(source: &mut dyn FrameSource) -> (Vec<Frame>, Vec<Trouble>) {
    let (mut frames, mut troubles) = (Vec::new(), Vec::new());
    loop {
        match source.next(Duration::from_secs(5)) {
            Feed::Frame(frame) => frames.push(frame),
            Feed::Trouble(trouble) => troubles.push(trouble),
            Feed::Quiet => panic!("a file keeps nobody waiting"),
            Feed::End => return (frames, troubles),
        }
    }
}

fn open(path: &Path) -> Box<dyn FrameSource> {
    open_frames(path, 10.0, Pace::AsFast).unwrap()
}

#[test]
fn a_folder_plays_in_the_order_of_names_with_numbers_as_numbers() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["10.jpg", "9.JPG", "010.jpg", "b2.png", "b10.jpg", "a.jpg"] {
        fs::write(folder.path().join(name), flat_jpeg([90, 90, 90])).unwrap();
    }
    fs::write(folder.path().join("notes.txt"), "what was seen").unwrap();
    fs::write(folder.path().join(".hidden.jpg"), flat_jpeg([0, 0, 0])).unwrap();
    fs::create_dir(folder.path().join("z.jpg")).unwrap();
    let mut source = open(folder.path());
    let (frames, troubles) = all(source.as_mut());
    let names: Vec<_> = frames.iter().filter_map(|f| f.name.as_deref()).collect();
    assert_eq!(
        names,
        ["9.JPG", "010.jpg", "10.jpg", "a.jpg", "b2.png", "b10.jpg"]
    );
    assert_eq!(frames[5].number, 5);
    assert_eq!(frames[5].at, Duration::from_millis(500));
    assert!(troubles.is_empty());
    assert!(matches!(source.next(Duration::ZERO), Feed::End));
}

#[test]
fn a_broken_file_in_a_folder_is_named_and_keeps_its_place_in_time() {
    let folder = tempfile::tempdir().unwrap();
    let jpeg = flat_jpeg([90, 90, 90]);
    for (name, bytes) in [
        ("1.jpg", &b""[..]),
        ("2.jpg", &jpeg),
        ("3.jpg", &jpeg[..300]),
        ("4.jpg", &jpeg),
    ] {
        fs::write(folder.path().join(name), bytes).unwrap();
    }
    let mut source = open(folder.path());
    let (frames, troubles) = all(source.as_mut());
    let at: Vec<u128> = frames.iter().map(|f| f.at.as_millis()).collect();
    assert_eq!(at, [100, 300]);
    let says: Vec<&str> = troubles.iter().map(|t| t.say.as_str()).collect();
    assert!(says[0].ends_with("1.jpg: the file is empty"), "{says:?}");
    assert!(
        says[1].ends_with("3.jpg: the picture is cut off"),
        "{says:?}"
    );
    assert_eq!(says.len(), 2);
}

#[test]
fn films_and_single_pictures_are_told_apart() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    let jpeg = flat_jpeg([200, 30, 20]);
    // A telephone may hide a second picture behind the first.
    fs::write(path("two.jpg"), [&jpeg[..], &jpeg].concat()).unwrap();
    fs::write(path("film.MJPG"), [&jpeg[..], &jpeg[..99], &jpeg].concat()).unwrap();
    fs::write(
        path("any.name"),
        b"YUV4MPEG2 W2 H1 Cmono\nFRAME\nabFRAME\ncd",
    )
    .unwrap();
    let (frames, _) = all(open(&path("two.jpg")).as_mut());
    assert_eq!(frames.len(), 1);
    assert_eq!(frames[0].name.as_deref(), Some("two.jpg"));
    let mut film = open(&path("film.MJPG"));
    let (frames, troubles) = all(film.as_mut());
    assert_eq!(frames.iter().map(|f| f.number).collect::<Vec<_>>(), [0, 2]);
    assert!(frames.iter().all(|f| furthest(&f.image, [200, 30, 20]) < 8));
    assert!(troubles.is_empty());
    assert_eq!(all(open(&path("any.name")).as_mut()).0.len(), 2);
}

#[test]
fn a_path_with_nothing_to_see_is_an_error() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    fs::create_dir(path("empty")).unwrap();
    fs::create_dir(path("broken")).unwrap();
    fs::write(path("broken/1.jpg"), "text").unwrap();
    fs::write(path("none.mjpg"), "no pictures").unwrap();
    fs::write(path("nought.mjpg"), "").unwrap();
    fs::write(path("cut.jpg"), &fixture("baseline.jpg")[..900]).unwrap();
    fs::write(path("head.y4m"), b"YUV4MPEG2 W2 H2\n").unwrap();
    fs::write(path("deep.y4m"), b"YUV4MPEG2 W2 H2 C420p10\n").unwrap();
    for (name, cause) in [
        ("missing", "no such file or folder"),
        ("empty", "no pictures in this folder"),
        ("broken", "none of the pictures can be read"),
        ("none.mjpg", "none of the pictures can be read"),
        ("nought.mjpg", "the file is empty"),
        ("cut.jpg", "the picture is cut off"),
        ("head.y4m", "none of the pictures can be read"),
        (
            "deep.y4m",
            "films with samples laid out as \"420p10\" are not read",
        ),
    ] {
        let error = open_frames(&path(name), 15.0, Pace::AsFast).err().unwrap();
        let text = error.to_string();
        assert!(text.contains(cause), "{name}: {text}");
        assert!(text.contains('\n'), "{name} lacks a remedy: {text}");
    }
}

#[test]
fn a_rate_that_is_none_is_an_error() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("1.jpg"), flat_jpeg([1, 2, 3])).unwrap();
    for rate in [0.0, -1.0, 1e-9, 1e9, f64::NAN, f64::INFINITY] {
        let error = open_frames(folder.path(), rate, Pace::AsFast).err();
        assert!(matches!(error, Some(ReplayError::Rate(_))), "{rate}");
    }
}

#[test]
fn in_real_time_no_frame_comes_early_and_none_is_left_out() {
    let folder = tempfile::tempdir().unwrap();
    for i in 0..5 {
        let name = folder.path().join(format!("{i}.jpg"));
        fs::write(name, flat_jpeg([i * 40, 0, 0])).unwrap();
    }
    let mut source = open_frames(folder.path(), 50.0, Pace::RealTime).unwrap();
    let started = Instant::now();
    let mut numbers = Vec::new();
    let mut quiet = 0;
    loop {
        match source.next(Duration::from_millis(3)) {
            Feed::Frame(frame) => {
                assert!(started.elapsed() >= frame.at, "{}", frame.number);
                numbers.push(frame.number);
            }
            Feed::Quiet => quiet += 1,
            Feed::Trouble(trouble) => panic!("{trouble}"),
            Feed::End => break,
        }
    }
    assert_eq!(numbers, [0, 1, 2, 3, 4]);
    assert!(quiet > 0);
}

/// A folder that the system gives no handles for, for a while.
struct Short {
    refusals: usize,
    pictures: usize,
}

impl Reel for Short {
    fn next_slot(&mut self) -> Slot {
        if let Some(left) = self.refusals.checked_sub(1) {
            self.refusals = left;
            return Slot::NotNow("2.jpg: too many files are open at the moment".into());
        }
        match self.pictures.checked_sub(1) {
            Some(left) => {
                self.pictures = left;
                Slot::Picture(RgbImage::new(4, 4), None)
            }
            None => Slot::End,
        }
    }

    fn tells_of_bad_slots(&self) -> bool {
        true
    }
}

#[test]
fn a_frame_that_no_handle_is_left_for_is_waited_for_and_not_left_out() {
    let mut replay = Replay {
        reel: Box::new(Short {
            refusals: 5,
            pictures: 3,
        }),
        ahead: None,
        to_tell: VecDeque::new(),
        fps: 10.0,
        pace: Pace::AsFast,
        started: None,
        number: 0,
        short: false,
    };
    let mut told = Vec::new();
    let mut numbers = Vec::new();
    loop {
        match replay.next(Duration::from_millis(1)) {
            Feed::Frame(frame) => numbers.push(frame.number),
            Feed::Trouble(trouble) => told.push(trouble),
            Feed::Quiet => {}
            Feed::End => break,
        }
    }
    assert_eq!(numbers, [0, 1, 2]);
    assert_eq!(told.len(), 1);
    assert_eq!(told[0].kind, TroubleKind::NoHandles);
}

#[test]
fn the_first_pictures_of_a_folder_are_told_when_they_are_broken() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("1.jpg"), b"no picture").unwrap();
    fs::write(folder.path().join("2.jpg"), flat_jpeg([90, 90, 90])).unwrap();
    let mut source = open(folder.path());
    let (frames, troubles) = all(source.as_mut());
    assert_eq!((frames[0].number, troubles.len()), (1, 1));
}

#[cfg(unix)]
#[test]
fn a_pipe_in_place_of_a_film_or_a_picture_keeps_nobody_waiting() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["film.mjpeg", "picture.jpg"] {
        let path = folder.path().join(name);
        let made = std::process::Command::new("mkfifo").arg(&path).status();
        assert!(made.unwrap().success());
        let error = open_frames(&path, 10.0, Pace::AsFast).err().unwrap();
        assert!(error.to_string().contains("not a file"), "{error}");
    }
    // Beside pictures it is passed over.
    fs::write(folder.path().join("1.png"), b"").unwrap();
    let error = open_frames(folder.path(), 10.0, Pace::AsFast).err();
    assert!(matches!(error, Some(ReplayError::NothingReadable(..))));
}

proptest! {
    #[test]
    fn the_order_of_names_is_an_order(names in prop::collection::vec("[ab0-2]{0,5}", 3)) {
        let [a, b, c] = [&names[0], &names[1], &names[2]];
        let order = |x: &str, y: &str| natural_order(x, y);
        prop_assert_eq!(order(a, b), order(b, a).reverse());
        prop_assert_eq!(order(a, b).is_eq(), a == b);
        if order(a, b).is_le() && order(b, c).is_le() {
            prop_assert!(order(a, c).is_le());
        }
    }
}
