//! How the page looks at laptop and projector size, light and dark: pictures for the eye, and what must fit.

use std::fs;
use std::path::PathBuf;

use pairsight::cube::Colour;
use pairsight::page::{
    BrowserCamera, Calibration, CameraName, Closest, Light, Options, Page, Shown, Swatch,
};
use serde_json::json;

use crate::browser::{Browser, with_browser};
use crate::scene;

/// Laptops (one with a browser's own bars), projectors, and a narrow window.
const LOOKS: [((u32, u32), &str); 6] = [
    ((1366, 768), "light"),
    ((1366, 768), "dark"),
    ((1366, 650), "light"),
    ((1920, 1080), "dark"),
    ((1024, 768), "light"),
    ((640, 900), "dark"),
];

pub fn screens() -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("screens");
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn asking() -> Shown {
    Shown {
        sentence: "Show me a corner of the cube, and hold it still.".into(),
        waiting: "Waiting for a cube in the picture.".into(),
        ..Shown::default()
    }
}

fn troubled() -> Shown {
    let mut shown = scene::hint();
    let light = shown.light.as_mut().unwrap();
    light.like_profile = false;
    light.distance = Some(7.4);
    shown.trouble = Some("Glare on the white face. Tilt the cube a little.".into());
    shown.sentence = "Show the corner where white, green and red meet.".into();
    shown.why = "Two states still fit what was seen.".into();
    shown.moves.clear();
    shown.rung = 0;
    shown.browser_camera = BrowserCamera::Offered;
    shown
}

fn paused() -> Shown {
    Shown {
        paused: true,
        found: None,
        ..scene::hint()
    }
}

pub fn calibrating() -> Shown {
    let swatch = |colour, rgb| Swatch { colour, rgb };
    Shown {
        calibration: Some(Calibration {
            ask: "All six faces are seen.".into(),
            swatches: vec![
                swatch(Colour::White, [214, 208, 190]),
                swatch(Colour::Yellow, [222, 190, 40]),
                swatch(Colour::Red, [170, 36, 34]),
                swatch(Colour::Orange, [206, 88, 40]),
                swatch(Colour::Green, [30, 120, 66]),
                swatch(Colour::Blue, [28, 62, 140]),
            ],
            closest: Some(Closest {
                a: Colour::Red,
                b: Colour::Orange,
                distance: 17.2,
            }),
            advice: "Turn the lamp away from the window, or close the blind.".into(),
            doubtful_before: Some(0.061),
            doubtful_after: Some(0.012),
            complete: true,
            name: "desk lamp, evening".into(),
        }),
        cameras: vec![CameraName {
            id: "0".into(),
            name: "Camera 0".into(),
            used: true,
        }],
        light: Some(Light {
            profile: "desk lamp".into(),
            like_profile: false,
            distance: Some(7.4),
            closest: None,
            advice: String::new(),
            ..Light::default()
        }),
        ..scene::hint()
    }
}

/// Nothing but a narrow window scrolls, and nothing stands out of its window.
async fn fits(browser: &Browser, size: (u32, u32), name: &str) {
    let root = "document.documentElement";
    let wide = browser
        .value(&format!("{root}.scrollWidth <= innerWidth"))
        .await;
    assert_eq!(wide, json!(true), "{name} at {size:?} is too wide");
    if size.0 > 760 {
        let high = browser
            .value(&format!("{root}.scrollHeight <= innerHeight"))
            .await;
        assert_eq!(high, json!(true), "{name} at {size:?} is too high");
        let cut = browser
            .value(
                "[...document.querySelectorAll('main *, header *, footer *')]
                 .filter((e) => e.checkVisibility() && !e.closest('.panel, .aside, #glass'))
                 .filter((e) => { const r = e.getBoundingClientRect();
                    return r.right > innerWidth + 1 || r.bottom > innerHeight + 1 || r.left < -1 || r.top < -1; })
                 .map((e) => e.id || e.tagName)",
            )
            .await;
        assert_eq!(cut, json!([]), "{name} at {size:?}: these are cut off");
        // Ten minutes of arc for a small letter (half an em), seen from two metres on a 31 cm wide laptop screen;
        // while a panel is open the learner sits before it.
        let least = if name == "calibrating" { 0.018 } else { 0.036 };
        let sentence = "parseFloat(getComputedStyle(document.getElementById('sentence')).fontSize)";
        let large = browser.value(&format!("{sentence} / innerWidth")).await;
        assert!(
            large.as_f64().unwrap() > least,
            "{name} at {size:?}: {large}"
        );
    }
}

/// Waits until nothing moves any more and what is due has been painted.
async fn settle(browser: &Browser) {
    let still = "document.getAnimations().length === 0";
    browser.expect(still, true).await;
    let script = "const done = arguments[0]; requestAnimationFrame(() => requestAnimationFrame(() => done()));";
    browser.driver.execute_async(script, vec![]).await.unwrap();
}

#[test]
fn every_screen_fits_at_every_size() {
    with_browser(&[], async |browser| {
        let page = Page::start(Options::default()).unwrap();
        page.image(scene::picture(0.0));
        browser.driver.goto(page.address()).await.unwrap();
        for (size, scheme) in LOOKS {
            browser.look(size, scheme).await;
            for (name, shown) in [
                ("asking", asking()),
                ("hint", scene::hint()),
                ("troubled", troubled()),
                ("paused", paused()),
                ("calibrating", calibrating()),
            ] {
                page.show(&shown);
                browser.expect_text("sentence", &shown.sentence).await;
                browser.expect_visible("keep", name == "calibrating").await;
                browser.expect_visible("no-picture", false).await;
                settle(&browser).await;
                let file = format!("{name}-{}x{}-{scheme}.png", size.0, size.1);
                browser.screenshot(&screens().join(file)).await;
                fits(&browser, size, name).await;
            }
            browser.click("open-light").await;
        }
        // The start screen goes when a cube is in sight, so it is looked at on a fresh page.
        page.show(&asking());
        browser.look(LOOKS[0].0, "light").await;
        browser.driver.refresh().await.unwrap();
        browser.expect_text("sentence", &asking().sentence).await;
        browser.expect_visible("start", true).await;
        browser
            .screenshot(&screens().join("start-1366x768-light.png"))
            .await;
    });
}
