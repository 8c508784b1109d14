//! The real program with its page, from frames to words on the screen and in the ear.

use std::io::{BufRead, BufReader, Read};
use std::path::Path;
use std::process::{Child, Command, Stdio};

use crate::browser::{Browser, with_browser};
use crate::looks::screens;
use crate::speech::{STUB, VOICES};

/// `pairsight coach` with its page, ended when dropped.
struct Coach {
    child: Child,
    address: String,
}

impl Drop for Coach {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn coach(arguments: &[&str]) -> Coach {
    let mut child = Command::new(env!("CARGO_BIN_EXE_pairsight"))
        .arg("coach")
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        // The program opens the usual browser; this one opens nothing.
        .env("BROWSER", "true")
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut said = BufReader::new(child.stderr.take().unwrap());
    let address = said
        .by_ref()
        .lines()
        .map_while(Result::ok)
        .find_map(|line| Some(line.strip_prefix("the page: ")?.to_owned()))
        .expect("the program prints the page's address");
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

async fn watch(browser: &Browser, coach: &Coach) {
    for script in [VOICES, STUB, NOTES] {
        browser.before_scripts(script).await;
    }
    browser.driver.goto(&coach.address).await.unwrap();
    browser.press("x").await;
}

/// A cube with one pair left is shown, the pair is solved out of the picture, and the cube is shown again.
#[test]
fn a_film_of_a_pair_is_coached_on_the_page() {
    with_browser(&[], async |browser| {
        let film = Path::new("test_images/films/followed.mjpeg");
        let coach = coach(&["--frames", film.to_str().unwrap(), "--fps", "10"]);
        watch(&browser, &coach).await;
        browser
            .expect("document.querySelectorAll('#seen .seen').length > 0", true)
            .await;
        browser.expect_visible("drawing", true).await;
        browser
            .expect(
                "document.getElementById('rung-words').textContent",
                "Help 1 of 4",
            )
            .await;
        browser
            .screenshot(&screens().join("coaching-hint.png"))
            .await;
        browser
            .expect(
                "sentences.concat(told).some((s) => s.startsWith('Well done'))",
                true,
            )
            .await;
        browser
            .screenshot(&screens().join("coaching-done.png"))
            .await;
        browser
            .expect("document.getElementById('link').checkVisibility()", true)
            .await;
        assert_eq!(browser.complaints().await, [""; 0]);
    });
}
