//! Where a learner once was left alone: each was seen on a real run, and is tried with the real program or its page.

use pairsight::cube::Colour;
use pairsight::page::{Request, Seeing, Shown};
use serde_json::json;
use thirtyfour::Key;

use super::browser::with_browser;
use super::coaching::{FEW, expect_words, film_of, run_at, watch};
use super::looks::screens;
use super::scene;
use super::speech::{STUB, VOICES};
use super::words::{expect_request, open};

/// How long a file may take to be written.
const PATIENCE: std::time::Duration = std::time::Duration::from_secs(20);

pub fn text(id: &str) -> String {
    format!("document.getElementById('{id}').textContent")
}

/// A twisted corner had no sentence of its own: now it is named with what to do, and a piece is framed on the drawn cube.
#[test]
fn an_impossible_cube_has_a_sentence_and_a_drawing() {
    let folder = tempfile::tempdir().unwrap();
    let film = folder.path().join("film.y4m");
    film_of(
        &film,
        &[
            "setup-03/scan-03/c1",
            "setup-03/scan-03/c2",
            "setup-03/scan-03/c1",
            "setup-03/scan-03/c2",
        ],
    );
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
        watch(&browser, &coach).await;
        expect_words(&browser, "Twist ").await;
        browser
            .expect(&format!("{}.includes('twisted')", text("passed")), true)
            .await;
        browser
            .expect(&format!("{}.includes('framed')", text("hold")), true)
            .await;
        browser
            .expect("document.querySelectorAll('#cube .glow').length > 0", true)
            .await;
        // Only a cube that can be solved can be coached: the page says so, and what comes next.
        let plainly = format!(
            "{}.includes('As it is, no turns can solve it.')",
            text("why")
        );
        browser.expect(&plainly, true).await;
        browser
            .expect_text("waiting", "Show the cube when it is mended.")
            .await;
        for hidden in ["trouble", "rung", "turn-words"] {
            let shown = format!(
                "document.getElementById('{hidden}').checkVisibility() && {} !== ''",
                text(hidden)
            );
            browser.expect(&shown, false).await;
        }
        browser
            .screenshot(&screens().join("dead-end-impossible.png"))
            .await;
    });
}

/// At the end there was "Help 1 of 4", and nothing to go on with.
#[test]
fn the_end_has_one_thing_to_practise_and_no_help() {
    with_browser(&[], async |browser| {
        let shown = super::looks::solved();
        let page = open(&browser, &shown).await;
        let requests = page.requests();
        browser.expect_visible("rung", false).await;
        // Neither button nor key offers what nothing would come of.
        browser.press("m").await;
        browser.expect_visible("again-from-start", true).await;
        for dead in ["help", "skip", "key-help", "key-skip"] {
            browser.expect_visible(dead, false).await;
        }
        browser.press(Key::Escape).await;
        browser
            .expect_text(
                "practise-weakest",
                "Practise: different tops, colours touching",
            )
            .await;
        browser.expect_text("clock", "3:13").await;
        browser.click("practise-weakest").await;
        expect_request(&requests, Request::Practise(Some(10))).await;
        browser.click("another").await;
        expect_request(&requests, Request::StartAgain).await;
        let mut practising = shown.clone();
        practising.practising = true;
        page.show(&practising);
        browser.expect_visible("end", false).await;

        // With the program gone no button of the end is left.
        page.show(&shown);
        browser.expect_visible("end", true).await;
        drop(page);
        browser.expect_visible("link", true).await;
        let left = "[...document.querySelectorAll('button')].filter((b) => b.checkVisibility()).map((b) => b.id)";
        browser.expect(left, json!([])).await;
    });
}

/// What was asked for stood there ticked as seen.
#[test]
fn a_face_that_is_asked_for_is_not_ticked() {
    with_browser(&[], async |browser| {
        let mut shown = Shown {
            seen: vec![Colour::White, Colour::Green],
            asked: vec![Colour::White],
            sentence: "Show me the face with the white centre.".into(),
            ..scene::hint()
        };
        let page = open(&browser, &shown).await;
        let tokens = "[...document.querySelectorAll('#seen .token')].map((token) => [token.querySelector('.aside').textContent, token.classList.contains('seen')]).filter(([words]) => !words.endsWith('not seen yet'))";
        let asked = json!([["white: asked for", false], ["green: seen", true]]);
        browser.expect(tokens, asked).await;
        shown.asked.clear();
        page.show(&shown);
        let seen = json!([["white: seen", true], ["green: seen", true]]);
        browser.expect(tokens, seen).await;
    });
}

/// Praise was spoken, and a learner without a voice read "And you found the turns yourself." and no more.
#[test]
fn praise_is_written_and_stays_with_the_next_hint() {
    with_browser(&[], async |browser| {
        let film = "test_images/films/followed.mjpeg";
        let folder = tempfile::tempdir().unwrap();
        let arguments = ["--frames", film, "--fps", "10", "--rung", "1", "--quiet"];
        let coach = run_at(folder.path(), "coach", &arguments);
        watch(&browser, &coach).await;
        browser
            .expect_text(
                "passed",
                "Orange-green is in. And you found the turns yourself.",
            )
            .await;
        browser
            .expect_text(
                "sentence",
                "Look at the four top edges: where is yellow on them?",
            )
            .await;
        browser.expect_visible("passed", true).await;
        assert_eq!(browser.value("told").await, json!([]), "nothing was spoken");
    });
}

/// "The voice failed" stood beside "Voice: on", and beside a ticked box.
#[test]
fn a_voice_that_fails_is_not_shown_as_on() {
    with_browser(&[], async |browser| {
        let fails = "window.failing = true;
            const speak = speechSynthesis.speak;
            speechSynthesis.speak = (u) => {
                if (!failing) return speak(u);
                setTimeout(() => u.onerror({ error: 'synthesis-failed' }), 0);
            };";
        for script in [VOICES, STUB, fails] {
            browser.before_scripts(script).await;
        }
        let mut shown = scene::hint();
        let page = open(&browser, &shown).await;
        browser.press("v").await;
        let note = format!("{}.startsWith('The voice failed.')", text("voice-note"));
        browser.expect(&note, true).await;
        browser.expect_text("voice", "Voice: unheard").await;
        browser
            .expect_text("voice-state", "a voice: it is not heard")
            .await;
        // The next words are heard again.
        browser.value("(failing = false, 1)").await;
        shown.say.serial += 1;
        page.show(&shown);
        browser.expect_text("voice", "Voice: on").await;
        browser.expect_text("voice-state", "a voice").await;
        browser.expect_visible("voice-note", false).await;
        // What was started without a voice offers none.
        shown.quiet = true;
        page.show(&shown);
        browser.expect_text("voice", "Voice: quiet").await;
        browser
            .expect("document.getElementById('voice-wanted').disabled", true)
            .await;
    });
}

/// What is chosen holds the next time; the words are shown by themselves the first time only; journal and guide open.
#[test]
fn choices_are_remembered_and_the_papers_open() {
    let home = tempfile::tempdir().unwrap();
    with_browser(&[], async move |browser| {
        let set = |id: &str, value: &str| {
            format!(
                "(() => {{ const e = document.getElementById('{id}'); e.value = '{value}'; e.dispatchEvent(new Event('change')); return 1; }})()"
            )
        };
        let coach = run_at(home.path(), "coach", &[]);
        watch(&browser, &coach).await;
        browser.expect_visible("words-panel", true).await;
        // On a busy machine the pages have turned by themselves.
        browser
            .expect(&format!("{} !== ''", text("word-name")), true)
            .await;
        browser.press(Key::Escape).await;
        browser.press("m").await;
        browser.expect_visible("choices-panel", true).await;
        // Levels that are closed say what opens them.
        let closed = "[...document.getElementById('level').options].map((o) => o.disabled)";
        browser
            .expect(closed, json!([false, false, true, true, true]))
            .await;
        browser
            .expect(
                &format!("{}.includes('opens after')", text("level-note")),
                true,
            )
            .await;
        // One at once after the other: an answer to the first took the second back.
        let kept = home.path().join("config/pairsight/choices.json");
        let expect_kept = async |words: &str| {
            let began = std::time::Instant::now();
            while !std::fs::read_to_string(&kept).is_ok_and(|text| text.contains(words)) {
                assert!(began.elapsed() < PATIENCE, "{words} is not kept");
                tokio::time::sleep(std::time::Duration::from_millis(20)).await;
            }
        };
        expect_kept("\"first\": false").await;
        for (id, value) in [("cross", "yellow"), ("pace", "calm")] {
            browser.value(&set(id, value)).await;
        }
        browser.click("timer").await;
        for words in [
            "\"cross\": \"yellow\"",
            "\"pace\": \"calm\"",
            "\"timer\": true",
        ] {
            expect_kept(words).await;
        }
        for paper in ["journal", "guide"] {
            let fetched = format!(
                "fetch('{paper}').then((r) => r.text()).then((t) => {{ window.{paper} = t; }}), 1"
            );
            browser.value(&fetched).await;
            browser
                .expect(
                    &format!("window.{paper}?.startsWith('<!DOCTYPE html>') ?? false"),
                    true,
                )
                .await;
        }
        drop(coach);

        let coach = run_at(home.path(), "coach", &[]);
        watch(&browser, &coach).await;
        browser
            .expect("document.getElementById('cross').value", "yellow")
            .await;
        browser
            .expect("document.getElementById('pace').value", "calm")
            .await;
        browser
            .expect("document.getElementById('timer').checked", true)
            .await;
        browser.expect_visible("words-panel", false).await;
    });
}

/// Each of these keys does what the foot line and the panel say.
#[test]
fn help_another_pair_and_a_new_start_can_be_asked_for() {
    with_browser(&[], async |browser| {
        // Two pairs are left, so that there is another one.
        let mut hint = scene::hint();
        let left = hint.progress.as_mut().expect("it is known");
        left.slots[1].solved = false;
        let page = open(&browser, &hint).await;
        let requests = page.requests();
        browser.press("h").await;
        expect_request(&requests, Request::MoreHelp).await;
        browser.press("n").await;
        expect_request(&requests, Request::SkipPair).await;
        for (button, request) in [
            ("help", Request::MoreHelp),
            ("skip", Request::SkipPair),
            ("again-from-start", Request::StartAgain),
            ("practise-due", Request::Practise(None)),
        ] {
            browser.press("m").await;
            browser.click(button).await;
            expect_request(&requests, request).await;
            browser.expect_visible("choices-panel", false).await;
        }
        page.show(&Shown {
            practising: true,
            ..scene::hint()
        });
        browser.press("m").await;
        browser.expect_visible("practise-due", false).await;
        browser.click("stop-practice").await;
        expect_request(&requests, Request::PractiseNoMore).await;
    });
}

/// The demo's page begins with what it is about, and shows a cube.
#[test]
fn the_demo_says_what_is_to_be_seen() {
    let folder = tempfile::tempdir().unwrap();
    with_browser(&[], async move |browser| {
        let out = folder.path().join("out");
        let demo = run_at(
            folder.path(),
            "demo",
            &["--page", "--out", out.to_str().unwrap()],
        );
        watch(&browser, &demo).await;
        expect_words(&browser, "Watch: a learner shows a cube").await;
        expect_words(&browser, "I know your cube now").await;
        browser.expect_visible("cube", true).await;
        assert_eq!(browser.complaints().await, [""; 0]);
    });
}

/// Seeing is practised with the hands free: a pair is drawn, keys answer, and the right answer is marked.
#[test]
fn what_is_seen_is_said_by_keys() {
    with_browser(&[], async |browser| {
        let answers = ["Joined", "Ready", "Apart", "Touching wrongly"];
        let mut shown = Shown {
            sentence: "What are the two framed pieces to each other?".into(),
            turns: Vec::new(),
            rung: 0,
            practising: true,
            seeing: Some(Seeing {
                answers,
                chosen: None,
                right: None,
            }),
            ..scene::hint()
        };
        let page = open(&browser, &shown).await;
        let requests = page.requests();
        let buttons = "[...document.querySelectorAll('#answers button')].map((b) => [b.textContent, b.className, b.disabled])";
        let asked = json!([
            ["1: Joined", "", false],
            ["2: Ready", "", false],
            ["3: Apart", "", false],
            ["4: Touching wrongly", "", false]
        ]);
        browser.expect(buttons, asked).await;
        browser.press("3").await;
        expect_request(&requests, Request::Answer(2)).await;
        shown.seeing = Some(Seeing {
            answers,
            chosen: Some(2),
            right: Some(1),
        });
        page.show(&shown);
        let told = json!([
            ["1: Joined", "", true],
            ["2: Ready", "right", false],
            ["3: Apart", "", true],
            ["4: Touching wrongly", "", true],
            ["Next", "", false]
        ]);
        browser.expect(buttons, told).await;
        browser.press(" ").await;
        expect_request(&requests, Request::NextSight).await;
    });
}
