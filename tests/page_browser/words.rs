//! What the page shows, and what keys, buttons and tabs do.

use std::time::{Duration, Instant};

use pairsight::page::{BrowserCamera, Drawing, Options, Page, Request, Requests, Shown, Turns};
use serde_json::json;
use thirtyfour::{Key, WindowHandle};

use super::browser::{Browser, with_browser};
use super::{looks, scene};

pub async fn open(browser: &Browser, shown: &Shown) -> Page {
    let page = Page::start(Options::default()).unwrap();
    page.show(shown);
    browser.driver.goto(page.address()).await.unwrap();
    browser.expect_text("sentence", &shown.sentence).await;
    page
}

pub async fn expect_request(requests: &Requests, expected: Request) {
    let began = Instant::now();
    loop {
        match requests.try_next() {
            Some(request) => return assert_eq!(request, expected),
            None => assert!(
                began.elapsed() < Duration::from_secs(20),
                "{expected:?} is due"
            ),
        }
        tokio::time::sleep(Duration::from_millis(5)).await;
    }
}

#[test]
fn the_page_shows_what_it_is_given() {
    with_browser(&[], async |browser| {
        let mut shown = scene::hint();
        let page = open(&browser, &shown).await;
        browser.expect_text("why", &shown.why).await;
        browser.expect_text("waiting", &shown.waiting).await;
        browser.expect_text("rung-words", "Help 4 of 4").await;
        browser
            .expect_text("light", "desk lamp: light as calibrated")
            .await;
        browser.expect_text("passed", &shown.passed).await;
        browser.expect_text("map-words", "3 of 4 pairs").await;
        browser.expect_text("turn-words", "Top to the right").await;
        let ideas = "[...document.querySelectorAll('#moves .idea > .name')].map((idea) => idea.textContent)";
        browser.expect(ideas, json!(["Make room", "Insert"])).await;
        let turns = "[...document.querySelectorAll('#moves .turn')].map((m) => [m.firstChild.textContent, m.className.trim(), m.ariaCurrent])";
        browser
            .expect(
                turns,
                json!([
                    ["U", "turn made", null],
                    ["R", "turn made", null],
                    ["U’", "turn now", "step"],
                    ["R’", "turn", null]
                ]),
            )
            .await;
        let seen = "[...document.querySelectorAll('#seen .seen')].map((s) => s.textContent)";
        browser
            .expect(seen, json!(["Wwhite: seen", "Rred: seen", "Ggreen: seen"]))
            .await;
        browser
            .expect("document.querySelectorAll('#seen .unseen').length", 3)
            .await;
        let drawn = "document.getElementById('cube').getAttribute('aria-label')";
        browser
            .expect(drawn, "Hold it with white down and green in front.")
            .await;
        for hidden in [
            "trouble",
            "light-changed",
            "camera-offer",
            "link",
            "start",
            "end",
            "clock",
        ] {
            browser.expect_visible(hidden, false).await;
        }

        shown.present = 4;
        shown.trouble = Some("It is dark. Turn on a lamp.".into());
        shown.browser_camera = BrowserCamera::Offered;
        shown.light.as_mut().unwrap().like_profile = false;
        shown.drawing = None;
        page.show(&shown);
        browser.expect_text("turn-words", "All turns made").await;
        browser
            .expect_text("trouble", "It is dark. Turn on a lamp.")
            .await;
        browser
            .expect_text("light", "desk lamp: the light has changed")
            .await;
        for there in ["trouble", "camera-offer"] {
            browser.expect_visible(there, true).await;
        }
        browser.expect_visible("cube", false).await;
        // One notice at a time, the gravest.
        browser.expect_visible("light-changed", false).await;

        page.show(&Shown::default());
        browser.expect_text("sentence", "").await;
        for gone in [
            "trouble",
            "light-changed",
            "camera-offer",
            "progress",
            "rung",
        ] {
            browser.expect_visible(gone, false).await;
        }
        assert_eq!(browser.complaints().await, [""; 0]);
        let outside = "performance.getEntriesByType('resource').map((r) => r.name).filter((n) => !n.startsWith(location.href) && !n.startsWith('blob:' + location.origin))";
        assert_eq!(browser.value(outside).await, json!([]));
        assert_eq!(page.tabs(), 1);
    });
}

#[test]
fn the_picture_is_mirrored_and_its_letters_are_not() {
    with_browser(&[], async |browser| {
        browser
            .before_scripts(
                "window.letters = {};
                 const fillText = CanvasRenderingContext2D.prototype.fillText;
                 CanvasRenderingContext2D.prototype.fillText = function (text, x, y) {
                     const t = this.getTransform();
                     (window.letters[text] ??= []).push([x / this.canvas.width, t.a > 0]);
                     return fillText.call(this, text, x, y);
                 };",
            )
            .await;
        let mut shown = scene::hint();
        let page = open(&browser, &shown).await;
        page.picture(scene::jpeg(&scene::picture(0.0)));
        browser.expect_visible("no-picture", false).await;
        // The one orange sticker is painted on the right of the picture, so a mirror shows it on the left.
        let orange = "letters.O?.every(([x, upright]) => upright && x > 0.25 && x < 0.4) ?? false";
        browser.expect(orange, true).await;
        let doubts = "[letters['Y?']?.length > 0, letters['?']?.length > 0]";
        browser.expect(doubts, json!([true, true])).await;
        let pixel = |x: f32, y: f32| {
            format!(
                "(() => {{ const c = document.getElementById('picture');
                 const [r, g, b] = c.getContext('2d').getImageData(c.width * {x}, c.height * {y}, 1, 1).data;
                 return r > 200 && g > 90 && g < 160 && b < 80; }})()"
            )
        };
        // Beside its plate shows the orange sticker itself.
        let (x, y) = (389.0 / 640.0, 143.0 / 480.0);
        browser.expect(&pixel(1.0 - x, y), true).await;

        shown.mirrored_feed = true;
        browser.value("(letters = {}, 1)").await;
        page.show(&shown);
        browser.expect(&pixel(x, y), true).await;
        browser
            .expect("letters.O?.at(-1)[0] > 0.6 && letters.O.at(-1)[1]", true)
            .await;
    });
}

#[test]
fn keys_and_buttons_ask_for_things() {
    with_browser(&[], async |browser| {
        let shown = looks::calibrating();
        let page = open(&browser, &shown).await;
        let requests = page.requests();
        // Calibrating opens its panel by itself; typing a name is typing, not commands.
        browser.expect_visible("light-panel", true).await;
        browser
            .expect(
                "document.getElementById('profile-name').value",
                "desk lamp, evening",
            )
            .await;
        browser.click("profile-name").await;
        browser.press(Key::End + " skvl").await;
        browser
            .expect(
                "document.getElementById('profile-name').value",
                "desk lamp, evening skvl",
            )
            .await;
        browser.press(Key::Enter).await;
        expect_request(
            &requests,
            Request::KeepProfile("desk-lamp-evening-skvl".into()),
        )
        .await;
        browser.click("calibrate").await;
        expect_request(&requests, Request::StopCalibration).await;

        let mut shown = scene::hint();
        shown.light.as_mut().unwrap().like_profile = false;
        page.show(&shown);
        browser.expect_visible("light-panel", false).await;
        browser.click("open-light").await;
        browser.expect_text("calibrate", "Calibrate").await;
        browser.click("calibrate").await;
        expect_request(&requests, Request::StartCalibration).await;
        browser
            .expect(
                "(() => { const p = document.getElementById('profile'); p.value = 'window';
                   p.dispatchEvent(new Event('change')); return p.value; })()",
                "window",
            )
            .await;
        expect_request(&requests, Request::UseProfile("window".into())).await;
        browser.click("relight").await;
        expect_request(&requests, Request::Relight).await;

        let focus = "document.activeElement.id";
        browser.press(Key::Escape).await;
        browser.expect_visible("light-panel", false).await;
        browser.expect(focus, "open-light").await;
        browser.press("l").await;
        browser.expect(focus, "light-panel").await;
        browser.press("k").await;
        browser.expect_visible("light-panel", false).await;
        browser.expect(focus, "camera-panel").await;
        browser.press(Key::Escape).await;
        // Single keys can be turned off, for those who dictate or lean on the keyboard.
        page.show(&scene::hint());
        browser.expect_visible("keys", true).await;
        browser.press("m").await;
        browser.click("keys-on").await;
        browser.click("open-light").await;
        browser.press(Key::Escape).await;
        browser.press("k").await;
        browser.expect_visible("camera-panel", false).await;
        assert_eq!(requests.try_next(), None);
    });
}

#[test]
fn a_screen_reader_and_a_keyboard_reach_everything() {
    with_browser(&[], async |browser| {
        let page = open(&browser, &looks::calibrating()).await;
        let live = "['sentence', 'trouble', 'passed', 'light-changed', 'link'].map((id) => {
            const e = document.getElementById(id); return e.getAttribute('aria-live') ?? e.getAttribute('role'); })";
        browser
            .expect(
                live,
                json!(["polite", "alert", "status", "status", "alert"]),
            )
            .await;
        browser.expect("document.documentElement.lang", "en").await;

        // The browser's own tree for screen readers: every control and image has a name.
        let tree = browser
            .devtools("Accessibility.getFullAXTree", json!({}))
            .await;
        let mut controls = 0;
        for node in tree["nodes"].as_array().unwrap() {
            let role = node["role"]["value"].as_str().unwrap_or("");
            let named = [
                "button", "image", "img", "textbox", "combobox", "checkbox", "list", "region",
            ];
            if node["ignored"] != json!(true) && named.contains(&role) {
                controls += 1;
                assert_ne!(node["name"]["value"].as_str().unwrap_or(""), "", "{node}");
            }
        }
        assert!(controls > 12, "{controls}");

        // Tab walks through every control that is to be seen, and each shows where the focus is.
        let count = "[...document.querySelectorAll('button, input, select')].filter((e) => e.checkVisibility() && !e.disabled).length";
        let count = browser.value(count).await.as_u64().unwrap();
        let mut reached = std::collections::BTreeSet::new();
        browser.value("document.activeElement.blur()").await;
        for _ in 0..count + 4 {
            browser.press(Key::Tab).await;
            let at = "(() => { const e = document.activeElement; if (!e.matches('button, input, select')) return '';
                return [...document.querySelectorAll('button, input, select')].indexOf(e) + ' ' + getComputedStyle(e).outlineStyle; })()";
            let at = browser.value(at).await;
            if at != json!("") {
                assert!(at.as_str().unwrap().ends_with("solid"), "no outline: {at}");
                reached.insert(at.to_string());
            }
        }
        assert_eq!(reached.len() as u64, count);
        drop(page);
    });
}

#[test]
fn words_and_drawings_cannot_reach_the_page() {
    with_browser(&[], async |browser| {
        let evil = "<img src=x onerror='window.reached = 1'><script>window.reached = 1</script>";
        let shown = Shown {
            sentence: evil.into(),
            why: evil.into(),
            waiting: evil.into(),
            trouble: Some(evil.into()),
            passed: evil.into(),
            shorter: evil.into(),
            turns: vec![Turns {
                idea: evil.into(),
                moves: vec![evil.into()],
                words: vec![evil.into()],
            }],
            present: 0,
            profiles: vec![evil.into()],
            drawing: Some(Drawing {
                description: evil.into(),
                ..scene::drawing()
            }),
            ..scene::hint()
        };
        let _page = open(&browser, &shown).await;
        tokio::time::sleep(Duration::from_millis(200)).await;
        assert_eq!(
            browser.value("typeof window.reached").await,
            json!("undefined")
        );
        assert_eq!(
            browser
                .value("document.querySelectorAll('main script, main img').length")
                .await,
            json!(0)
        );
    });
}

#[test]
fn tabs_come_and_go_and_the_page_goes_on() {
    with_browser(&[], async |browser| {
        let mut shown = scene::hint();
        let page = open(&browser, &shown).await;
        let mut tabs: Vec<WindowHandle> = vec![browser.driver.window().await.unwrap()];
        for n in 0..20 {
            page.picture(scene::jpeg(&scene::picture(n as f32)));
            if n % 5 == 0 {
                let tab = browser.driver.new_tab().await.unwrap();
                browser.driver.switch_to_window(tab.clone()).await.unwrap();
                browser.driver.goto(page.address()).await.unwrap();
                tabs.push(tab);
            } else {
                browser.driver.refresh().await.unwrap();
            }
            shown.sentence = format!("Sentence {n}.");
            page.show(&shown);
            browser.expect_text("sentence", &shown.sentence).await;
            browser.expect_visible("no-picture", false).await;
        }
        assert_eq!(tabs.len(), 5);
        expect_tabs(&page, 5).await;
        // Those in the background have kept up, too.
        for tab in &tabs {
            browser.driver.switch_to_window(tab.clone()).await.unwrap();
            browser.expect_text("sentence", "Sentence 19.").await;
        }
        for _ in 0..4 {
            browser.driver.close_window().await.unwrap();
            tabs.pop();
            browser
                .driver
                .switch_to_window(tabs[0].clone())
                .await
                .unwrap();
            if tabs.len() > 1 {
                let last = tabs.last().unwrap().clone();
                browser.driver.switch_to_window(last).await.unwrap();
            }
        }
        expect_tabs(&page, 1).await;
        browser.driver.goto("about:blank").await.unwrap();
        expect_tabs(&page, 0).await;
        shown.sentence = "Still here.".into();
        page.show(&shown);
        browser.driver.goto(page.address()).await.unwrap();
        browser.expect_text("sentence", "Still here.").await;

        page.stop();
        browser
            .expect(
                "document.getElementById('link').textContent.startsWith('Pairsight has ended.')",
                true,
            )
            .await;
        browser.expect_visible("link", true).await;
    });
}

async fn expect_tabs(page: &Page, count: usize) {
    let began = Instant::now();
    while page.tabs() != count {
        assert!(
            began.elapsed() < Duration::from_secs(20),
            "{} tabs, not {count}",
            page.tabs()
        );
        tokio::time::sleep(Duration::from_millis(10)).await;
    }
}
