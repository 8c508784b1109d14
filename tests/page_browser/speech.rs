//! What the page gives the browser to speak. The browser's synthesis is replaced by one that writes down what it is
//! told, because a test machine has neither voices nor ears.

use std::sync::Arc;
use std::time::Duration;

use pairsight::page::{Cue, CueKind, Options, Page, Request, Say, Shown, SpeakerState};
use serde_json::json;

use super::browser::{Browser, with_browser};

/// `window.told` lists what was spoken or cancelled, in order; `window.voices` is what is installed.
pub const STUB: &str = "
    window.told = [];
    window.voices = window.voices ?? [];
    window.SpeechSynthesisUtterance = function (text) { this.text = text; };
    const stub = new EventTarget();
    stub.speaking = false;
    stub.getVoices = () => window.voices;
    stub.cancel = () => { if (stub.speaking) told.push('cancel'); stub.speaking = false; };
    stub.speak = (u) => {
        stub.speaking = true;
        told.push(u.text);
        window.lastVoice = u.voice?.name ?? '';
        setTimeout(() => u.onstart?.({}), 0);
    };
    Object.defineProperty(window, 'speechSynthesis', { value: stub });
";

pub const VOICES: &str = "window.voices = [
    { name: 'far', lang: 'en-GB', localService: false, default: true },
    { name: 'other tongue', lang: 'fr-FR', localService: true, default: false },
    { name: 'near', lang: 'en-US', localService: true, default: false },
];";

/// Longer than the page waits for voices.
const LATE: Duration = Duration::from_secs(20);

const INSTALL: &str =
    "document.getElementById('voice-note').textContent.includes('the package espeak-ng')";

/// Writes down the notes that sound.
const EARS: &str = "
    window.heard = [];
    const start = OscillatorNode.prototype.start;
    OscillatorNode.prototype.start = function (at) { heard.push(Math.round(this.frequency.value)); return start.call(this, at); };";

fn saying(serial: u64, text: &str) -> Shown {
    Shown {
        sentence: text.into(),
        say: Say {
            serial,
            text: Arc::from(text),
        },
        ..Shown::default()
    }
}

async fn say(browser: &Browser, page: &Page, serial: u64, text: &str) {
    page.show(&saying(serial, text));
    browser.expect_text("sentence", text).await;
}

async fn open(browser: &Browser, scripts: &[&str]) -> Page {
    for script in scripts {
        browser.before_scripts(script).await;
    }
    let page = Page::start(Options::default()).unwrap();
    browser.driver.goto(page.address()).await.unwrap();
    page
}

#[test]
fn words_are_spoken_once_each_newest_first_and_only_after_a_key() {
    with_browser(&[], async |browser| {
        let page = open(&browser, &[VOICES, STUB]).await;
        say(&browser, &page, 1, "Show a corner.").await;
        say(&browser, &page, 2, "Hold still.").await;
        assert_eq!(browser.value("told").await, json!([]), "no key yet");

        // Keys that are for the browser or for nothing start no voice.
        for key in ["x", "\u{e015}", "\u{e035}"] {
            browser.press(key).await;
        }
        say(&browser, &page, 2, "Hold still.").await;
        assert_eq!(browser.value("told").await, json!([]), "no start yet");
        browser.press(" ").await;
        browser.expect("told", json!(["Hold still."])).await;
        browser.expect("lastVoice", "near").await;
        browser.expect_visible("start", false).await;

        // The same words again, on an otherwise changed page, are not said again.
        page.show(&Shown {
            why: "A reason.".into(),
            ..saying(2, "Hold still.")
        });
        browser.expect_text("why", "A reason.").await;
        say(&browser, &page, 3, "Turn the top. Then look at the front.").await;
        let told = json!([
            "Hold still.",
            "cancel",
            "Turn the top.",
            "Then look at the front."
        ]);
        browser.expect("told", told).await;

        // Two in quick succession: the older may be cut off or left out, but never comes after the newer.
        browser.value("told.length = 0").await;
        page.show(&saying(4, "Older."));
        say(&browser, &page, 5, "Newer.").await;
        browser.expect("told.at(-1)", "Newer.").await;

        browser.value("told.length = 0").await;
        browser.press("s").await;
        browser.expect("told", json!(["cancel", "Newer."])).await;

        // Off means off, and on again says what holds now.
        browser.press("v").await;
        browser.expect_text("voice", "Voice: off").await;
        browser.value("told.length = 0").await;
        say(&browser, &page, 6, "Unheard.").await;
        assert_eq!(browser.value("told").await, json!([]));
        browser.click("voice").await;
        browser.expect("told", json!(["Unheard."])).await;

        // A loaded page is silent until the next key.
        browser.driver.refresh().await.unwrap();
        say(&browser, &page, 7, "After loading.").await;
        assert_eq!(browser.value("told").await, json!([]));
        browser.click("start-first").await;
        browser.expect("told", json!(["After loading."])).await;
    });
}

#[test]
fn voices_that_come_late_are_taken_up() {
    with_browser(&[], async |browser| {
        let page = open(&browser, &[STUB]).await;
        say(&browser, &page, 1, "Before.").await;
        browser.press(" ").await;
        browser
            .expect("[told, lastVoice]", json!([["Before."], ""]))
            .await;
        // Then the machine is asked to speak; where it cannot, the page says what to install.
        let requests = page.requests();
        assert_eq!(requests.next(LATE), Some(Request::SpeakHere));
        page.show(&Shown {
            speaker: SpeakerState::Missing,
            ..saying(1, "Before.")
        });
        browser.expect(INSTALL, true).await;
        browser.expect_text("voice", "Voice: unheard").await;
        let arrive = format!(
            "(() => {{ {VOICES} speechSynthesis.dispatchEvent(new Event('voiceschanged')); return 1; }})()"
        );
        browser.expect(&arrive, 1).await;
        browser.expect_visible("voice-note", false).await;
        browser.expect_text("voice", "Voice: on").await;
        assert_eq!(requests.next(LATE), Some(Request::SpeakNoMore));
        say(&browser, &page, 2, "After.").await;
        browser.expect("lastVoice", "near").await;
    });
}

#[test]
fn a_voice_that_never_answers_is_told_of_in_writing() {
    with_browser(&[], async |browser| {
        let mute = "speechSynthesis.speak = () => {};";
        let page = open(&browser, &[VOICES, STUB, mute]).await;
        say(&browser, &page, 1, "Words.").await;
        browser.press(" ").await;
        browser
            .expect(
                "document.getElementById('voice-note').textContent.includes('does not answer')",
                true,
            )
            .await;
        browser.expect_text("sentence", "Words.").await;
    });
}

#[test]
fn a_browser_without_speech_still_shows_the_words() {
    with_browser(&[], async |browser| {
        let none = "Object.defineProperty(window, 'speechSynthesis', { value: undefined });";
        let page = open(&browser, &[none]).await;
        say(&browser, &page, 1, "Words.").await;
        browser.press(" ").await;
        let requests = page.requests();
        assert_eq!(requests.next(LATE), Some(Request::SpeakHere));
        page.show(&Shown {
            speaker: SpeakerState::Speaks,
            ..saying(1, "Words.")
        });
        browser.expect_text("voice", "Voice: on").await;
        browser.expect_visible("voice-note", false).await;
        say(&browser, &page, 2, "More words.").await;
        browser.press("v").await;
        assert_eq!(requests.next(LATE), Some(Request::SpeakNoMore));
    });
}

#[test]
fn quiet_is_quiet_in_every_tab() {
    with_browser(&[], async |browser| {
        let page = open(&browser, &[VOICES, STUB]).await;
        page.show(&Shown {
            quiet: true,
            ..saying(1, "Silent words.")
        });
        browser.expect_text("voice", "Voice: quiet").await;
        browser.press(" ").await;
        browser.expect_visible("start", false).await;
        browser.press("v").await;
        page.show(&Shown {
            quiet: true,
            ..saying(2, "Still silent.")
        });
        browser.expect_text("sentence", "Still silent.").await;
        assert_eq!(browser.value("told").await, json!([]));
    });
}

/// Without any voice a learner still hears what happens: each tone once, none of before the start, and none when turned off.
#[test]
fn tones_tell_what_happens_without_a_voice() {
    with_browser(&[], async |browser| {
        let page = open(&browser, &[EARS]).await;
        let sound = |serial, kind| {
            page.show(&Shown {
                cue: Cue { serial, kind },
                ..saying(serial, &format!("Moment {serial}."))
            });
            format!("Moment {serial}.")
        };
        let before = sound(1, CueKind::Read);
        browser.expect_text("sentence", &before).await;
        browser.click("start-other").await;
        assert_eq!(browser.value("heard").await, json!([]));
        sound(2, CueKind::Seen);
        browser.expect("heard", json!([660])).await;
        sound(3, CueKind::Slip);
        browser.expect("heard", json!([660, 392, 294])).await;
        let same = Shown {
            cue: Cue {
                serial: 3,
                kind: CueKind::Slip,
            },
            ..saying(4, "The same.")
        };
        page.show(&same);
        browser.expect_text("sentence", "The same.").await;
        browser.press("m").await;
        browser.click("tones").await;
        let off = sound(5, CueKind::Solved);
        browser.expect_text("sentence", &off).await;
        assert_eq!(browser.value("heard").await, json!([660, 392, 294]));
    });
}
