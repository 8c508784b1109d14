//! The real program with its page, from frames to words on the screen and in the ear.

use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use pairsight::camera::{Feed, Pace, open_frames};
use pairsight::cube::{Colour, Held, Hold, Moves};
use pairsight::journal::Situation;
use pairsight::solve::{Slot, cross_solved, pairs_solved};
use thirtyfour::Key;

use super::browser::{Browser, with_browser};
use super::camera::write_y4m;
use super::looks::screens;
use super::speech::{STUB, VOICES};
use crate::harness::films::{cube_of, first_of};
use crate::harness::running::page_address;

/// The program with its page, ended when dropped.
pub struct Coach {
    child: Child,
    pub address: String,
}

impl Drop for Coach {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn coach(arguments: &[&str]) -> Coach {
    run("coach", arguments)
}

/// A command that opens a page, with choices that outlive no test.
fn run(command: &str, arguments: &[&str]) -> Coach {
    run_at(&screens().join("no-home"), command, arguments)
}

/// The same with a home of its own.
pub fn run_at(home: &Path, command: &str, arguments: &[&str]) -> Coach {
    let mut child = Command::new(env!("CARGO_BIN_EXE_pairsight"))
        .arg(command)
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        // The program opens the usual browser; this one opens nothing.
        .env("BROWSER", "true")
        .env("XDG_CONFIG_HOME", home.join("config"))
        .env("XDG_DATA_HOME", home.join("data"))
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let (address, mut said) = page_address(&mut child);
    std::thread::spawn(move || std::io::copy(&mut said, &mut std::io::sink()));
    Coach { child, address }
}

/// Writes down each sentence that is shown, in order.
const NOTES: &str = "
    window.sentences = [];
    addEventListener('DOMContentLoaded', () => {
        const sentence = document.getElementById('sentence');
        new MutationObserver(() => sentences.push(sentence.textContent)).observe(sentence, { childList: true });
    });";

/// The text that an expression gives.
async fn text_of(browser: &Browser, expression: &str) -> String {
    let text = browser.value(expression).await;
    text.as_str().expect("text").to_owned()
}

pub async fn watch(browser: &Browser, coach: &Coach) {
    for script in [VOICES, STUB, NOTES] {
        browser.before_scripts(script).await;
    }
    browser.driver.goto(&coach.address).await.unwrap();
    browser.press(" ").await;
}

/// Waits for a sentence that was shown or said.
pub async fn expect_words(browser: &Browser, start: &str) {
    let heard = format!("sentences.concat(told).some((s) => s.startsWith('{start}'))");
    browser.expect(&heard, true).await;
}

/// A cube with one pair left is shown, the pair is solved out of the picture, and the cube is shown again.
#[test]
fn a_film_of_a_pair_is_coached_on_the_page() {
    with_browser(&[], async |browser| {
        let coach = coach(&[
            "--frames",
            "test_images/films/followed.mjpeg",
            "--fps",
            "10",
            "--rung",
            "1",
        ]);
        watch(&browser, &coach).await;
        let seen = "document.querySelectorAll('#seen .seen').length > 0";
        browser.expect(seen, true).await;
        browser.expect_visible("cube", true).await;
        browser.expect_text("rung-words", "Help 1 of 4").await;
        let hold = "Hold it with white down and green in front.";
        browser.expect_text("hold", hold).await;
        browser
            .screenshot(&screens().join("coaching-hint.png"))
            .await;
        expect_words(&browser, "Orange-green is in.").await;
        browser
            .screenshot(&screens().join("coaching-done.png"))
            .await;
        browser.expect_visible("link", true).await;
        // Buttons that nothing answers any more are gone.
        let dead = "[...document.querySelectorAll('button')].filter((b) => b.checkVisibility()).map((b) => b.textContent)";
        browser.expect(dead, serde_json::json!([])).await;
        // Words came in this order and no others between them.
        let told = browser.value("told.filter((w) => w !== 'cancel')").await;
        let told: Vec<&str> = told
            .as_array()
            .unwrap()
            .iter()
            .filter_map(|w| w.as_str())
            .collect();
        let at = |start: &str| told.iter().position(|w| w.starts_with(start)).unwrap();
        assert!(at("I know your cube now.") < at(hold), "{told:?}");
        assert!(
            at(hold) < at("Look for the white-orange-green corner"),
            "{told:?}"
        );
        assert!(
            at("Look for the white-orange-green corner") < at("Orange-green is in."),
            "{told:?}"
        );
        assert_eq!(browser.complaints().await, [""; 0]);
    });
}

/// A drill: the turns that lead to it are drawn, its pair is coached, how it went is said, and the next go is set up.
#[test]
fn a_drill_is_led_from_its_first_turns_to_the_next_go() {
    let folder = tempfile::tempdir().unwrap();
    let journal = folder.path().join("practice.sqlite");
    with_browser(&[], async move |browser| {
        let drill = run(
            "drill",
            &[
                &first_of("followed"),
                "--cross",
                "white",
                "--frames",
                "test_images/films/followed.mjpeg",
                "--fps",
                "10",
                "--journal",
                journal.to_str().unwrap(),
            ],
        );
        watch(&browser, &drill).await;
        expect_words(&browser, "From a solved cube make these").await;
        expect_words(&browser, "Which pair do you see?").await;
        expect_words(&browser, "Solved ").await;
        let passed = "document.getElementById('passed').textContent.includes(' is in. Solved ')";
        browser.expect(passed, true).await;
        browser.expect_visible("cube", true).await;
        // The turns that are listed lead from the cube on the film to the drilled situation, in the hold that is told.
        let hold = text_of(&browser, "document.getElementById('hold').textContent").await;
        let holds = Colour::ALL.map(|front| (front.name(), Hold::new(Colour::White, front)));
        let told = |front: &str| format!("Hold it with white down and {front} in front.");
        let hold = holds.iter().find(|(front, _)| hold == told(front));
        let hold = hold.and_then(|(_, hold)| *hold).expect("a hold is told");
        let cube = cube_of("followed", 1);
        let listed = "[...document.querySelectorAll('#moves .sign')].map((turn) => turn.textContent).join(' ')";
        let moves = text_of(&browser, listed).await.replace('’', "'");
        let moves: Moves = moves.parse().expect("turns are listed");
        let cube = Held { cube, hold }.after(&moves).cube;
        // The drilled slot is held at the front right, and the page names it.
        let drilled = |slot: &Slot| slot.hold(Colour::White) == hold;
        let slot = Slot::ALL.into_iter().find(drilled).expect("a slot");
        let lies = Situation::of(&cube, Colour::White, slot);
        let Some(Situation::Placed(placed)) = lies else {
            panic!("{lies:?}");
        };
        assert_eq!(placed.to_string(), first_of("followed"));
        let why = text_of(&browser, "document.getElementById('why').textContent").await;
        let name = slot.name(Colour::White);
        assert!(
            why.contains(&format!("solve the {name} pair and keep the white cross")),
            "{why}"
        );
        // The second go lets one of the other pairs go, so that they vary; the rest is kept.
        assert!(cross_solved(&cube, Colour::White), "{moves}");
        assert!(pairs_solved(&cube, Colour::White).len() >= 2, "{moves}");
        for (name, size) in [
            ("laptop", (1366, 768)),
            ("projector", (1920, 1080)),
            ("phone", (390, 844)),
        ] {
            for scheme in ["light", "dark"] {
                browser.look(size, scheme).await;
                let file = format!("drill-again-{name}-{scheme}.png");
                browser.screenshot(&screens().join(file)).await;
            }
        }
        assert_eq!(browser.complaints().await, [""; 0]);
    });
}

/// The third turn goes the wrong way: the page says so and shows the turns back.
#[test]
fn a_slip_is_named_with_the_way_back() {
    with_browser(&[], async |browser| {
        let film = "test_images/films/slip.mjpeg";
        let coach = coach(&["--frames", film, "--fps", "10", "--rung", "4"]);
        watch(&browser, &coach).await;
        let ideas = "[...document.querySelectorAll('#moves .name')].some((name) => name.textContent === 'Way back')";
        browser.expect(ideas, true).await;
        browser
            .screenshot(&screens().join("coaching-slip.png"))
            .await;
        browser.expect_visible("turns", true).await;
        expect_words(&browser, "Red-blue is in.").await;
    });
}

/// The flags that make a film the browser's camera.
fn filming(film: &Path) -> [String; 3] {
    [
        "--use-fake-device-for-media-stream".into(),
        "--use-fake-ui-for-media-stream".into(),
        format!("--use-file-for-fake-video-capture={}", film.display()),
    ]
}

/// Chooses the browser's camera on the page.
async fn use_browser_camera(browser: &Browser) {
    browser.press("k").await;
    browser.expect_visible("camera-panel", true).await;
    let row = "[...document.querySelectorAll('#cameras li')].findLast((row) => row.textContent.includes('through the browser'))";
    browser.expect(&format!("Boolean({row})"), true).await;
    browser
        .value(&format!("({row}.querySelector('button').click(), 1)"))
        .await;
    browser.expect_visible("no-picture", false).await;
    browser.press(Key::Escape).await;
}

/// No camera of the machine is used: the film runs in the browser's camera, and its frames are coached.
#[test]
fn the_browsers_camera_is_coached_through_the_page() {
    let folder = tempfile::tempdir().unwrap();
    let film = folder.path().join("film.y4m");
    let mut source = open_frames(
        Path::new("test_images/films/followed.mjpeg"),
        10.0,
        Pace::AsFast,
    )
    .unwrap();
    let mut frames = Vec::new();
    while let Feed::Frame(frame) = source.next(Duration::from_secs(1)) {
        frames.push(frame.image);
    }
    assert!(frames.len() > 100, "{}", frames.len());
    write_y4m(&film, 10, &frames);
    with_browser(&filming(&film), async |browser| {
        let coach = coach(&[]);
        watch(&browser, &coach).await;
        use_browser_camera(&browser).await;
        expect_words(&browser, "Which pair do you see?").await;
        browser
            .screenshot(&screens().join("coaching-browser-camera.png"))
            .await;
        expect_words(&browser, "Orange-green is in.").await;
    });
}

/// Frames a second of films that hold still: few, since each is looked at and drawn.
pub const FEW: u32 = 5;

/// A film of pictures in the test images, each held still for a second and a half.
pub fn film_of(file: &Path, pictures: &[&str]) {
    let mut frames = Vec::new();
    for picture in pictures {
        let file = format!("test_images/scans/{picture}.jpg");
        let picture = image::open(file).unwrap().thumbnail(800, 600).into_rgb8();
        frames.extend(std::iter::repeat_n(picture, FEW as usize * 3 / 2));
    }
    write_y4m(file, FEW, &frames);
}

/// Starts a calibration on the page and waits until the colours are known.
async fn calibrate(browser: &Browser) {
    browser.expect_visible("light-panel", false).await;
    browser.click("open-light").await;
    browser.expect_text("calibrate", "Calibrate").await;
    browser.click("calibrate").await;
    browser.expect_visible("keep", true).await;
    browser
        .expect_text("sentence", "All six colours are known.")
        .await;
    browser
        .expect("document.querySelectorAll('#swatches .unseen').length", 0)
        .await;
}

/// Types a name in place of the one offered.
async fn name(browser: &Browser, name: &str) {
    let all = "(document.getElementById('profile-name').select(), 1)";
    browser.value(all).await;
    browser.press(name).await;
}

/// Waits until this profile is in use.
async fn expect_profile(browser: &Browser, name: &str) {
    let light = format!("document.getElementById('light').textContent.startsWith('{name}: ')");
    browser.expect(&light, true).await;
    browser
        .expect("document.getElementById('profile').value", name)
        .await;
}

/// Two corners of a scrambled cube are shown to the browser's camera: profiles are made of it, kept under names, renewed,
/// and chosen among.
#[test]
fn profiles_are_made_of_a_scrambled_cube_on_the_page() {
    let folder = tempfile::tempdir().unwrap();
    let film = folder.path().join("film.y4m");
    film_of(&film, &["setup-01/scan-03/c1", "setup-01/scan-03/c2"]);
    let profiles = folder.path().join("profiles");
    with_browser(&filming(&film), async move |browser| {
        let coach = coach(&["--calibration-dir", profiles.to_str().unwrap()]);
        watch(&browser, &coach).await;
        use_browser_camera(&browser).await;
        browser.press("l").await;
        browser.click("calibrate").await;
        browser
            .expect("document.querySelectorAll('#swatches .unseen').length", 6)
            .await;
        let file = |name: &str| screens().join(format!("calibrating-{name}.png"));
        browser.screenshot(&file("begun")).await;
        browser
            .expect(
                "document.querySelectorAll('#swatches .unseen').length < 6",
                true,
            )
            .await;
        browser.screenshot(&file("under-way")).await;
        browser.click("calibrate").await;
        calibrate(&browser).await;
        browser.screenshot(&file("known")).await;
        let text = |id: &str| format!("document.getElementById('{id}').textContent");
        browser
            .expect(
                &format!("{}.includes(' apart here')", text("closest")),
                true,
            )
            .await;
        let doubtful = |before: &str| {
            format!(
                "(() => {{ const told = {}.match(/: ([0-9.]+) % {before}, ([0-9.]+) % by these colours\\./);
                    return told && Number(told[2]) < Number(told[1]); }})()",
                text("doubtful")
            )
        };
        browser.expect(&doubtful("without a profile"), true).await;
        assert!(!profiles.exists(), "nothing is kept before it is asked for");
        name(&browser, "kitchen").await;
        browser.press(Key::Enter).await;
        expect_profile(&browser, "kitchen").await;
        let kept = |name: &str| std::fs::read(profiles.join(format!("{name}.json"))).ok();
        let kitchen = kept("kitchen").expect("the profile is kept");
        browser.screenshot(&file("kept")).await;

        // A second lamp: the page says what becomes of the name.
        calibrate(&browser).await;
        let told = format!("{}.includes('% by the profile')", text("doubtful"));
        browser.expect(&told, true).await;
        browser.expect_text("keep-button", "Replace").await;
        browser
            .expect_text(
                "name-note",
                "This takes the place of the profile “kitchen”.",
            )
            .await;
        name(&browser, "desk: lamp & window").await;
        browser.expect_text("keep-button", "Keep").await;
        browser
            .expect_text("name-note", "Kept as “desk-lamp-window”.")
            .await;
        browser.screenshot(&file("named")).await;
        browser.press(Key::Enter).await;
        expect_profile(&browser, "desk-lamp-window").await;
        let options = "[...document.getElementById('profile').options].map((o) => o.value)";
        browser
            .expect(options, serde_json::json!(["desk-lamp-window", "kitchen"]))
            .await;
        assert_eq!(kept("kitchen").as_ref(), Some(&kitchen));

        // No letter, no profile; the calibration goes on.
        calibrate(&browser).await;
        name(&browser, "../").await;
        browser.press(Key::Enter).await;
        let refused = "document.getElementById('profile-name').validationMessage";
        browser.expect(refused, "Use letters or digits.").await;
        // Renewed under its own name, the old file is replaced.
        name(&browser, "kitchen").await;
        browser.expect_text("keep-button", "Replace").await;
        browser.press(Key::Enter).await;
        expect_profile(&browser, "kitchen").await;
        assert_ne!(kept("kitchen").expect("still there").len(), 0);
        assert_eq!(std::fs::read_dir(&profiles).unwrap().count(), 2);
        assert_eq!(browser.complaints().await, [""; 0]);
    });
}

/// The same with the six faces of the cube solved.
#[test]
fn a_profile_is_made_of_a_solved_cube_on_the_page() {
    let folder = tempfile::tempdir().unwrap();
    let film = folder.path().join("film.y4m");
    let faces = ["white", "red", "green", "yellow", "orange", "blue"]
        .map(|face| format!("setup-01/calibration/{face}"));
    film_of(&film, &faces.each_ref().map(String::as_str));
    let profiles = folder.path().join("profiles");
    with_browser(&filming(&film), async move |browser| {
        let coach = coach(&["--calibration-dir", profiles.to_str().unwrap()]);
        watch(&browser, &coach).await;
        use_browser_camera(&browser).await;
        calibrate(&browser).await;
        name(&browser, "kitchen").await;
        browser.press(Key::Enter).await;
        expect_profile(&browser, "kitchen").await;
        assert!(profiles.join("kitchen.json").is_file());
    });
}
