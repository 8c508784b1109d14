use std::path::PathBuf;
use std::time::Duration;

use image::RgbImage;

use super::*;
use crate::camera::TroubleKind;
use crate::coach::{english, words};
use crate::cube::{Colour, Moves, Net};
use crate::live::{Gathering, Impairment, PairColours, Part};
use crate::page::{Options, Request};
use crate::read::Reader;
use crate::sight::Finder;

fn scans() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("test_images/scans")
}

/// A picture as a camera in a live loop gives it.
fn picture(file: &Path) -> RgbImage {
    image::open(file)
        .unwrap_or_else(|error| panic!("{}: {error}", file.display()))
        .into_rgb8()
}

/// The picture with the light of each channel multiplied, in linear light (IEC 61966-2-1).
fn relit(mut image: RgbImage, gains: [f32; 3]) -> RgbImage {
    let tables = gains.map(|gain| {
        std::array::from_fn::<u8, 256, _>(|v| {
            let v = v as f32 / 255.0;
            let linear = if v <= 0.04045 {
                v / 12.92
            } else {
                ((v + 0.055) / 1.055).powf(2.4)
            };
            let lit = (gain * linear).min(1.0);
            let coded = if lit <= 0.003_130_8 {
                12.92 * lit
            } else {
                1.055 * lit.powf(1.0 / 2.4) - 0.055
            };
            (255.0 * coded).round() as u8
        })
    });
    for pixel in image.pixels_mut() {
        pixel.0 = [0, 1, 2].map(|c| tables[c][usize::from(pixel.0[c])]);
    }
    image
}

/// The profile of a solved cube's six pictures.
fn profile(folder: &Path) -> Profile {
    let (mut gathering, mut finder) = (Gathering::default(), Finder::new());
    for (face, t) in ["white", "red", "green", "yellow", "orange", "blue"]
        .into_iter()
        .zip(0..)
    {
        let look = finder.look(&picture(&folder.join(format!("{face}.jpg"))));
        gathering.see_file(f64::from(t), &look);
    }
    gathering.end();
    gathering.profile("lamp").expect("six clear faces")
}

/// A learner before the screen.
struct Stage {
    screen: Screen,
    session: Session,
    now: f64,
    finder: Finder,
    said: Vec<String>,
}

impl Stage {
    fn new(profile: Profile) -> Stage {
        let page = Page::start(Options::default()).expect("a free port");
        let session = Session::new(Reader::new(Some(&profile)), None);
        let options = DisplayOptions {
            replay: true,
            quiet: true,
            profile: Some(profile),
            profiles: PathBuf::from("nowhere"),
            asked: Default::default(),
            kept: None,
            journal: None,
        };
        let mut session = session;
        Stage {
            screen: Screen::new(page, options, SharedState::default(), &mut session),
            session,
            now: 0.0,
            finder: Finder::new(),
            said: Vec::new(),
        }
    }

    /// Holds a picture still for 0.8 s at ten frames a second.
    fn hold(&mut self, image: &RgbImage) {
        let look = self.finder.look(image);
        for _ in 0..8 {
            self.frame(image, &look);
        }
    }

    /// Takes the cube out of the picture for a second.
    fn take_away(&mut self) {
        let empty = RgbImage::from_pixel(640, 480, image::Rgb([120, 112, 104]));
        let look = self.finder.look(&empty);
        for _ in 0..10 {
            self.frame(&empty, &look);
        }
    }

    fn frame(&mut self, image: &RgbImage, look: &Look) {
        self.now += 0.1;
        let events = self.session.see(self.now, look);
        let frame = Frame {
            image: image.clone(),
            at: Duration::from_secs_f64(self.now),
            number: 0,
            name: None,
        };
        self.hear(Moment {
            seen: Some((frame, look.clone())),
            events,
            ..Moment::default()
        });
    }

    fn hear(&mut self, mut moment: Moment) {
        moment.now = self.now;
        self.screen
            .hear(&mut moment, &mut self.session)
            .expect("a screen shows");
        self.listen();
    }

    fn ask(&mut self, request: Request) {
        self.screen.obey(request, &mut self.session);
        self.listen();
    }

    fn listen(&mut self) {
        let text = self.screen.shown.say.text.to_string();
        if self.said.last() != Some(&text) && !text.is_empty() {
            self.said.push(text);
        }
    }

    /// Times that something was said with these words in it.
    fn heard(&self, words: &str) -> usize {
        self.said.iter().filter(|said| said.contains(words)).count()
    }

    fn light(&self) -> &page::Light {
        self.screen.shown.light.as_ref().expect("a profile is used")
    }

    fn state(&self) -> Option<Net> {
        self.session.known().map(|known| Net::of(&known.cube()))
    }
}

/// What became of practice is on the page and spoken, also where it ends with the last picture.
#[test]
fn how_practice_went_is_shown_at_the_end_of_the_frames() {
    let setup = scans().join("setup-04");
    let mut stage = Stage::new(profile(&setup.join("calibration")));
    let events = stage.session.end();
    stage.hear(Moment {
        events,
        remark: Some("Solved in 7 turns.".into()),
        ended: true,
        ..Moment::default()
    });
    assert_eq!(stage.screen.shown.passed, "Solved in 7 turns.");
    assert_eq!(stage.heard("Solved in 7 turns."), 1, "{:?}", stage.said);
}

/// While the camera is gone the page says so and waits for it; the sentence stays, and with the next picture the trouble goes.
#[test]
fn a_camera_that_is_gone_leaves_the_sentence_alone() {
    let setup = scans().join("setup-04");
    let corners = ["c1.jpg", "c2.jpg"].map(|corner| picture(&setup.join("scan-02").join(corner)));
    let mut stage = Stage::new(profile(&setup.join("calibration")));
    corners.iter().for_each(|corner| stage.hold(corner));
    let sentence = stage.screen.shown.sentence.clone();
    let trouble = Event::Trouble {
        kind: Kind::Camera(TroubleKind::Unplugged),
        text: "the lens was unplugged\nplug it in again".into(),
    };
    stage.hear(Moment {
        events: vec![Timed::new(stage.now, trouble)],
        ..Moment::default()
    });
    let shown = &stage.screen.shown;
    assert!(shown.trouble.is_some() && shown.found.is_none());
    assert_eq!(shown.waiting, "Waiting for the camera.");
    assert_eq!(shown.sentence, sentence);

    stage.now += 8.0;
    stage.hold(&corners[1]);
    let shown = &stage.screen.shown;
    assert_eq!(shown.trouble, None);
    assert_eq!(shown.sentence, sentence);
    assert_ne!(shown.waiting, "Waiting for the camera.");
}

/// What happens to the cube while a profile is made is told once that is over.
#[test]
fn nothing_is_told_or_lost_while_the_page_calibrates() {
    let setup = scans().join("setup-04");
    let corners = ["c1.jpg", "c2.jpg"].map(|corner| picture(&setup.join("scan-02").join(corner)));
    let mut stage = Stage::new(profile(&setup.join("calibration")));
    stage.ask(Request::StartCalibration);
    // As the loop does at its next moment.
    stage.screen.serve(&mut stage.session);
    corners.iter().for_each(|corner| stage.hold(corner));
    assert!(stage.screen.shown.calibration.is_some());
    assert_eq!(stage.state(), None, "the session moved on unheard");
    stage.ask(Request::StopCalibration);
    stage.screen.serve(&mut stage.session);
    corners.iter().for_each(|corner| stage.hold(corner));
    assert!(stage.state().is_some());
    assert_eq!(stage.heard("I know your cube now"), 1, "{:?}", stage.said);
}

/// Both corners of a scan, held up.
fn shown(setup: &str, scan: &str) -> Stage {
    let setup = scans().join(setup);
    let mut stage = Stage::new(profile(&setup.join("calibration")));
    for corner in ["c1.jpg", "c2.jpg"] {
        stage.hold(&picture(&setup.join(scan).join(corner)));
    }
    stage
}

fn told(stage: &mut Stage, event: Event) {
    let events = vec![Timed::new(stage.now, event)];
    stage.hear(Moment {
        events,
        ..Moment::default()
    });
}

/// Calibrating on the page once took the first hint away for good.
#[test]
fn the_hint_is_back_after_a_calibration() {
    let mut stage = shown("setup-04", "scan-02");
    let before = stage.screen.shown.clone();
    assert_eq!(before.scene, Scene::Coaching);
    stage.ask(Request::StartCalibration);
    assert_ne!(stage.screen.shown.sentence, before.sentence);
    stage.ask(Request::StopCalibration);
    let after = &stage.screen.shown;
    assert_eq!(after.sentence, before.sentence);
    assert_eq!((&after.drawing, after.rung), (&before.drawing, before.rung));
    assert_eq!((&after.why, &after.turns), (&before.why, &before.turns));
}

/// White was ticked or not by what was asked for before the calibration.
#[test]
fn a_calibration_asks_for_its_own_faces() {
    let mut stage = shown("setup-04", "scan-02");
    let ask = Event::Ask {
        show: vec![Colour::White],
        text: "show me the face with the white centre".into(),
    };
    told(&mut stage, ask);
    assert_eq!(stage.screen.shown.asked, [Colour::White]);
    stage.ask(Request::StartCalibration);
    assert_eq!(stage.screen.shown.asked, []);
    stage.ask(Request::StopCalibration);
    assert_eq!(stage.screen.shown.asked, []);
}

/// What could not be done stood there until the next hint, in place of what was waited for.
#[test]
fn what_cannot_be_done_is_told_and_goes_by_itself() {
    let mut stage = shown("setup-04", "scan-02");
    stage.ask(Request::UseProfile("no such profile".into()));
    assert!(stage.screen.shown.trouble.is_some());
    for _ in 0..8 {
        stage.take_away();
    }
    assert_eq!(stage.screen.shown.trouble, None);
}

/// How practice went stood in the place of the praise, which was only spoken.
#[test]
fn praise_stands_above_the_hint_that_follows_it() {
    let mut stage = shown("setup-04", "scan-02");
    let hint = english::text(&stage.session.known().expect("it is read").text());
    let followed = Event::Followed {
        net: stage.state().expect("it is read"),
        gained: vec![Part::Pair(PairColours([Colour::Green, Colour::Red]))],
        lost: Vec::new(),
        text: "Green-red is in. Well seen.".into(),
        shorter: None,
    };
    let next = Event::Hint {
        level: 0,
        text: hint,
        moves: Default::default(),
        slot: None,
        hold: crate::cube::Hold::HOME.into(),
    };
    let events = [followed, next].map(|event| Timed::new(stage.now, event));
    stage.hear(Moment {
        events: events.into(),
        remark: Some("And you found the turns yourself.".into()),
        ..Moment::default()
    });
    let written = "Green-red is in. And you found the turns yourself.";
    assert_eq!(stage.screen.shown.passed, written);
    assert_eq!(stage.heard("Green-red is in. Well seen."), 1);
}

/// "Too dark" and the like once stood there long after the lamp was on.
#[test]
fn trouble_with_the_picture_goes_by_itself() {
    let mut stage = shown("setup-04", "scan-02");
    let glare = Event::Trouble {
        kind: Kind::Impaired(Impairment::Glare),
        text: "tilt the cube".into(),
    };
    told(&mut stage, glare);
    let sentence = stage.screen.shown.sentence.clone();
    stage.take_away();
    assert_eq!(
        stage.screen.shown.trouble.as_deref(),
        Some("Tilt the cube.")
    );
    for _ in 0..6 {
        stage.take_away();
    }
    assert_eq!(stage.screen.shown.trouble, None);
    assert_eq!(stage.screen.shown.sentence, sentence);
}

/// The way back is the sentence, what went wrong a line above it; the map does not lose the slot that stands open.
#[test]
fn a_slip_is_past_and_the_way_back_is_the_sentence() {
    let mut stage = shown("setup-04", "scan-02");
    let progress = stage.screen.shown.progress.clone();
    assert!(progress.is_some());
    let slip = Event::Slip {
        net: stage.state().expect("it is read"),
        did: Default::default(),
        meant: Default::default(),
        undo: "R' U".parse().expect("turns"),
        way_back: true,
        text: "The third turn went the wrong way. You made another one. Go back.".into(),
    };
    told(&mut stage, slip);
    let shown = &stage.screen.shown;
    assert_eq!(shown.passed, "The third turn went the wrong way.");
    let back = ["R'", "U"].map(|m| words::turn(m.parse::<Moves>().expect("a turn")[0]));
    assert_eq!(
        shown.sentence,
        format!("Go back: {}, {}.", back[0], back[1])
    );
    assert_eq!(shown.progress, progress);
    assert_eq!(shown.cue.kind, CueKind::Slip);
}

/// White was once asked for while white was ticked.
#[test]
fn what_is_asked_for_is_drawn_and_marked() {
    let mut stage = shown("setup-04", "scan-02");
    let ask = Event::Ask {
        show: vec![Colour::White],
        text: "show me the face with the white centre".into(),
    };
    told(&mut stage, ask);
    let shown = &stage.screen.shown;
    assert_eq!(shown.asked, [Colour::White]);
    assert_eq!(shown.sentence, "Show me the face with the white centre.");
    let drawing = shown.drawing.as_ref().expect("it is drawn");
    assert_eq!(&*drawing.description, "The face with the white centre.");
}

/// A twisted corner has a sentence of its own that says what to do, and what is wrong stands above it.
#[test]
fn a_cube_that_cannot_be_solved_is_told_with_what_to_do() {
    let mut stage = shown("setup-03", "scan-03");
    for _ in 0..3 {
        let again = picture(&scans().join("setup-03/scan-03/c1.jpg"));
        stage.hold(&again);
    }
    let shown = &stage.screen.shown;
    assert!(shown.passed.contains("twisted"), "{shown:?}");
    assert!(
        shown.sentence.to_lowercase().contains("twist"),
        "{}",
        shown.sentence
    );
    assert_eq!(shown.trouble, None);
}

const CHANGED: &str = "not as it was";
const TAKEN: &str = "colours are taken from your cube";

/// Warmer than the profile's light: as from daylight to a lamp that the camera balances half.
const WARM: [f32; 3] = [1.0, 0.8, 0.5];

#[test]
fn a_changed_light_is_told_once_and_the_colours_are_taken_from_the_cube() {
    let setup = scans().join("setup-01");
    let corners = ["c1.jpg", "c2.jpg"].map(|corner| picture(&setup.join("scan-02").join(corner)));
    let warm = corners.clone().map(|corner| relit(corner, WARM));
    let mut stage = Stage::new(profile(&setup.join("calibration")));

    corners.iter().for_each(|corner| stage.hold(corner));
    let state = stage.state().expect("it is read");
    assert!(stage.light().like_profile, "{:?}", stage.light());
    assert_eq!(stage.heard(CHANGED), 0);

    for _ in 0..2 {
        stage.take_away();
        warm.iter().for_each(|corner| stage.hold(corner));
        assert!(!stage.light().like_profile, "{:?}", stage.light());
        assert!(stage.light().distance > Some(6.0));
        assert_eq!(stage.heard(CHANGED), 1, "{:?}", stage.said);
        assert_eq!(stage.state().as_ref(), Some(&state));
    }

    // The cube is in sight and read: its colours are taken at once.
    stage.ask(Request::Relight);
    let light = stage.light().clone();
    assert_eq!(stage.heard(TAKEN), 1, "{:?}", stage.said);
    assert!(light.like_profile && light.relit && light.distance.is_none());
    let doubtful = light.doubtful_after.expect("it is judged");
    assert!((0.001..0.15).contains(&doubtful), "{doubtful}");

    // The light that the colours were taken in is their own now.
    stage.take_away();
    warm.iter().for_each(|corner| stage.hold(corner));
    assert!(stage.light().like_profile, "{:?}", stage.light());
    assert_eq!(stage.heard(CHANGED), 1);
    assert_eq!(stage.state(), Some(state));
}

#[test]
fn colours_are_asked_for_where_the_cube_is_not_in_sight() {
    let setup = scans().join("setup-01");
    let warm = ["c1.jpg", "c2.jpg"]
        .map(|corner| relit(picture(&setup.join("scan-02").join(corner)), WARM));
    let mut stage = Stage::new(profile(&setup.join("calibration")));
    stage.ask(Request::Relight);
    assert_eq!(stage.heard("two opposite corners"), 1);
    stage.hold(&warm[0]);
    assert_eq!(stage.heard(TAKEN), 0, "half a cube is not enough");
    assert!(!stage.light().relit);
    stage.hold(&warm[1]);
    assert_eq!(stage.heard(TAKEN), 1, "{:?}", stage.said);
    assert_eq!(stage.heard(CHANGED), 0);
    assert!(stage.light().relit && stage.light().like_profile);
}
