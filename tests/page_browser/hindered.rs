//! What hides the cube from the camera, as the page tells it: films on which a cube is held badly, and then as it should be.

use std::path::Path;

use image::RgbImage;
use image::imageops::{FilterType, blur, crop_imm, overlay, resize};

use super::browser::with_browser;
use super::camera::write_y4m;
use super::coaching::{FEW, expect_words, run_at, watch};
use super::dead_ends::text;

/// Counts how often each line that is not asked for changes.
const COUNTS: &str = "
    window.changes = {};
    addEventListener('DOMContentLoaded', () => {
        for (const id of ['waiting', 'passed', 'trouble']) {
            changes[id] = [];
            const line = document.getElementById(id);
            new MutationObserver(() => changes[id].push(line.textContent)).observe(line, { childList: true });
        }
    });";

/// Seconds: long enough for a hindrance to be told, and to be forgotten once the cube is taken away.
const HINDERED: u32 = 5;
const AWAY: u32 = 3;

/// What a camera sees that is held so, and the beginning of what is to be said of it.
struct Hindered {
    picture: RgbImage,
    says: &'static str,
}

fn corner(name: &str) -> RgbImage {
    let file = format!("test_images/scans/setup-01/scan-03/{name}.jpg");
    let picture = image::open(file).expect("a picture");
    picture
        .resize_exact(800, 600, FilterType::Triangle)
        .into_rgb8()
}

fn wall() -> RgbImage {
    RgbImage::from_pixel(800, 600, *corner("c1").get_pixel(4, 4))
}

/// A corner of the cube in too little light, and from too far.
fn dark_and_far() -> [Hindered; 2] {
    let clear = corner("c1");
    let mut dark = clear.clone();
    for pixel in dark.pixels_mut() {
        pixel.0 = pixel.0.map(|value| value / 12);
    }
    let mut far = wall();
    let small = resize(&clear, 280, 210, FilterType::Triangle);
    overlay(&mut far, &small, 260, 200);
    [
        Hindered {
            picture: dark,
            says: "It is too dark",
        },
        Hindered {
            picture: far,
            says: "The cube is small in the picture",
        },
    ]
}

/// The same cube so near that no side of it is whole, out of focus, and moved while the shutter is open.
fn near_and_unsharp() -> [Hindered; 3] {
    let clear = corner("c1");
    let near = crop_imm(&clear, 470, 325, 200, 150).to_image();
    let mut moved = clear.clone();
    for (x, y, pixel) in moved.enumerate_pixels_mut() {
        let along = |k: usize| {
            let sum: u32 = (0..MOVED)
                .map(|by| u32::from(clear.get_pixel(x, (y + by).min(599)).0[k]))
                .sum();
            (sum / MOVED) as u8
        };
        pixel.0 = [0, 1, 2].map(along);
    }
    [
        Hindered {
            picture: resize(&near, 800, 600, FilterType::Triangle),
            says: "The cube is too near",
        },
        Hindered {
            picture: blur(&clear, 12.0),
            says: "The cube is blurred",
        },
        // So little moved it is found all the same, and rested elbows help it, too.
        Hindered {
            picture: moved,
            says: "The cube is blurred",
        },
    ]
}

/// How far the cube sinks meanwhile, in pixels.
const MOVED: u32 = 38;

/// All that hinders, one after the other, with the cube taken away between, and then the cube as it should be.
fn film_hindered(file: &Path, hindered: &[Hindered]) {
    let held = |picture, seconds| std::iter::repeat_n(picture, (seconds * FEW) as usize);
    let mut frames = Vec::new();
    for hindered in hindered {
        frames.extend(held(hindered.picture.clone(), HINDERED));
        frames.extend(held(wall(), AWAY));
    }
    for name in ["c1", "c2"] {
        frames.extend(held(corner(name), 4));
    }
    write_y4m(file, FEW, &frames);
}

/// A cube that was seen, but too dark or too far to tell its colours, got no word, or a word that stayed for good. Lines that nobody asked about
/// changed all the time.
#[test]
fn what_hides_the_cube_is_told_and_forgotten_and_no_line_flickers() {
    is_told_and_forgotten(&dark_and_far());
}

/// Of a cube that was cut off by the picture's edge, or blurred, nothing was said at all.
#[test]
fn a_cube_too_near_or_unsharp_is_told_and_forgotten() {
    is_told_and_forgotten(&near_and_unsharp());
}

fn is_told_and_forgotten(hindered: &[Hindered]) {
    let folder = tempfile::tempdir().unwrap();
    let film = folder.path().join("film.y4m");
    film_hindered(&film, hindered);
    let words: Vec<&str> = hindered.iter().map(|one| one.says).collect();
    with_browser(&[], async move |browser| {
        let coach = run_at(
            folder.path(),
            "coach",
            &[
                "--frames",
                film.to_str().unwrap(),
                "--fps",
                &FEW.to_string(),
            ],
        );
        browser.before_scripts(COUNTS).await;
        watch(&browser, &coach).await;
        for begins in words {
            let says = format!("{}.startsWith('{begins}')", text("trouble"));
            browser.expect(&says, true).await;
            browser.expect_visible("trouble", true).await;
            browser.expect_visible("trouble", false).await;
        }
        expect_words(&browser, "I know your cube now").await;
        browser.expect_visible("trouble", false).await;
        browser.expect_visible("link", true).await;
        for id in ["waiting", "passed", "trouble"] {
            let changes = browser.value(&format!("changes.{id}")).await;
            assert!(changes.as_array().unwrap().len() <= 12, "{id}: {changes}");
        }
        assert_eq!(browser.complaints().await, [""; 0]);
    });
}
