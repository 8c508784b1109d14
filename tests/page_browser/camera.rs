//! The browser's own camera, fed from a file of our own frames.

use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::Path;
use std::time::{Duration, Instant};

use image::RgbImage;
use pairsight::page::{BrowserCamera, CameraName, Options, Page, Request, Requests, Shown};

use super::browser::with_browser;
use super::scene;

const PATIENCE: Duration = Duration::from_secs(30);

/// Writes frames as Y4M of so many frames a second, 4:2:0, BT.601 limited range, which is what the fake camera takes for granted.
pub fn write_y4m(file: &Path, fps: u32, frames: &[RgbImage]) {
    let (width, height) = frames[0].dimensions();
    let mut out = BufWriter::new(File::create(file).unwrap());
    writeln!(
        out,
        "YUV4MPEG2 W{width} H{height} F{fps}:1 Ip A1:1 C420jpeg"
    )
    .unwrap();
    for frame in frames {
        let yuv = |x: u32, y: u32| {
            let [r, g, b] = frame.get_pixel(x, y).0.map(f32::from);
            [
                16.0 + 0.257 * r + 0.504 * g + 0.098 * b,
                128.0 - 0.148 * r - 0.291 * g + 0.439 * b,
                128.0 + 0.439 * r - 0.368 * g - 0.071 * b,
            ]
            .map(|v| v.round() as u8)
        };
        out.write_all(b"FRAME\n").unwrap();
        for (plane, step) in [(0, 1), (1, 2), (2, 2)] {
            for y in (0..height).step_by(step) {
                let row: Vec<u8> = (0..width).step_by(step).map(|x| yuv(x, y)[plane]).collect();
                out.write_all(&row).unwrap();
            }
        }
    }
    out.flush().unwrap();
}

fn offered() -> Shown {
    Shown {
        sentence: "No camera yet.".into(),
        browser_camera: BrowserCamera::Offered,
        cameras: vec![CameraName {
            id: "desk".into(),
            name: "Desk camera".into(),
            used: false,
        }],
        ..Shown::default()
    }
}

/// Waits for a request while the browser's driver goes on.
async fn next(requests: &Requests) -> Request {
    let began = Instant::now();
    loop {
        if let Some(request) = requests.try_next() {
            return request;
        }
        assert!(began.elapsed() < PATIENCE, "no request came");
        tokio::time::sleep(Duration::from_millis(2)).await;
    }
}

#[test]
fn frames_of_the_browsers_camera_arrive_one_at_a_time() {
    let folder = tempfile::tempdir().unwrap();
    let film = folder.path().join("film.y4m");
    write_y4m(&film, 15, &[scene::picture(0.0), scene::picture(3.0)]);
    let arguments = [
        "--use-fake-device-for-media-stream".into(),
        "--use-fake-ui-for-media-stream".into(),
        format!("--use-file-for-fake-video-capture={}", film.display()),
    ];
    with_browser(&arguments, async |browser| {
        let page = Page::start(Options::default()).unwrap();
        let requests = page.requests();
        page.show(&offered());
        browser.driver.goto(page.address()).await.unwrap();
        browser.expect_visible("camera-offer", true).await;
        browser.click("use-offer").await;
        assert_eq!(next(&requests).await, Request::UseBrowserCamera);
        browser.expect_visible("camera-offer", false).await;

        // The picture is the one filmed: unmirrored, with the painted colours where they were painted.
        let Request::Frame(jpeg) = next(&requests).await else {
            panic!("a frame was due");
        };
        let frame = image::load_from_memory(&jpeg).unwrap().to_rgb8();
        assert_eq!(frame.dimensions(), scene::SIZE);
        for (x, y) in [(320, 215), (410, 118), (240, 250), (430, 240), (30, 400)] {
            let is = frame.get_pixel(x, y).0;
            let near = [0.0, 3.0].into_iter().any(|shift| {
                let painted = scene::picture(shift).get_pixel(x, y).0;
                (0..3).all(|i| is[i].abs_diff(painted[i]) < 30)
            });
            assert!(near, "at {x}, {y}: {is:?}");
        }

        // Untaken, only one waits; taken, they keep coming, ten a second at most.
        tokio::time::sleep(Duration::from_millis(600)).await;
        let waiting = std::iter::from_fn(|| requests.try_next()).count();
        assert_eq!(waiting, 1);
        let began = Instant::now();
        for _ in 0..15 {
            assert!(matches!(next(&requests).await, Request::Frame(_)));
        }
        assert!(
            began.elapsed() > Duration::from_millis(1250),
            "{:?}",
            began.elapsed()
        );

        // What the loop shows of it comes back to the screen.
        page.picture(jpeg);
        browser.expect_visible("no-picture", false).await;

        // A camera of the machine is chosen instead: no more frames.
        browser.press("k").await;
        browser.expect_visible("camera-panel", true).await;
        browser
            .expect(
                "document.querySelector('#cameras button.chosen').textContent.includes('in use')",
                true,
            )
            .await;
        browser
            .expect("(document.querySelector('#cameras button').click(), 1)", 1)
            .await;
        loop {
            match next(&requests).await {
                Request::Frame(_) => {}
                other => break assert_eq!(other, Request::UseCamera("desk".into())),
            }
        }
        tokio::time::sleep(Duration::from_millis(400)).await;
        assert!(std::iter::from_fn(|| requests.try_next()).count() <= 1);
        tokio::time::sleep(Duration::from_millis(400)).await;
        assert_eq!(requests.try_next(), None);
    });
}

#[test]
fn closing_the_tab_with_the_camera_is_told() {
    let arguments = [
        "--use-fake-device-for-media-stream".into(),
        "--use-fake-ui-for-media-stream".into(),
    ];
    with_browser(&arguments, async |browser| {
        let page = Page::start(Options::default()).unwrap();
        let requests = page.requests();
        page.show(&offered());
        browser.driver.goto(page.address()).await.unwrap();
        browser.expect_visible("camera-offer", true).await;
        browser.click("use-offer").await;
        assert_eq!(next(&requests).await, Request::UseBrowserCamera);
        browser.driver.goto("about:blank").await.unwrap();
        loop {
            match next(&requests).await {
                Request::Frame(_) => {}
                Request::BrowserCameraGone(why) => break assert!(why.contains("closed"), "{why}"),
                other => panic!("{other:?}"),
            }
        }
    });
}

#[test]
fn a_refused_camera_is_explained() {
    let arguments = [
        "--use-fake-device-for-media-stream".into(),
        "--deny-permission-prompts".into(),
    ];
    with_browser(&arguments, async |browser| {
        let page = Page::start(Options::default()).unwrap();
        let requests = page.requests();
        page.show(&offered());
        browser.driver.goto(page.address()).await.unwrap();
        browser.expect_visible("camera-offer", true).await;
        browser.click("use-offer").await;
        let Request::BrowserCameraGone(why) = next(&requests).await else {
            panic!("the refusal was due");
        };
        assert!(
            why.contains("not allowed") && why.contains("group “video”"),
            "{why}"
        );
        browser.expect_visible("camera-panel", true).await;
        browser.expect_text("camera-words", &why).await;
        // It can be tried again.
        browser.expect_visible("camera-offer", true).await;
    });
}
