//! Speech through this machine's own synthesizer, where the browser has no voice.

use std::env;
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};

/// Programs that speak the text given as their last argument, in the order of choice, with what comes before it. They end when
/// it is spoken, so to end one is to silence it.
const PROGRAMS: [(&str, &[&str]); 4] = [
    ("espeak-ng", &["-v", "en", "--"]),
    ("spd-say", &["--wait", "--language", "en", "--"]),
    ("espeak", &["-v", "en", "--"]),
    ("say", &["--"]),
];

/// A synthesizer of this machine.
pub struct Speaker {
    program: PathBuf,
    before: &'static [&'static str],
    speaking: Option<Child>,
}

impl Speaker {
    /// The first synthesizer that is installed.
    pub fn find() -> Option<Speaker> {
        let places = env::var_os("PATH")?;
        let places: Vec<PathBuf> = env::split_paths(&places).collect();
        PROGRAMS.into_iter().find_map(|(name, before)| {
            let program = places
                .iter()
                .map(|place| place.join(name))
                .find(|program| program.is_file())?;
            Some(Speaker {
                program,
                before,
                speaking: None,
            })
        })
    }

    /// Speaks this in place of what is being said; whether it could be begun.
    pub fn say(&mut self, text: &str) -> bool {
        self.silence();
        self.speaking = Command::new(&self.program)
            .args(self.before)
            .arg(text)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .ok();
        self.speaking.is_some()
    }

    /// Whether the newest words were not spoken to their end: without a sound card, say, the program gives up.
    pub fn has_failed(&mut self) -> bool {
        let ended = self
            .speaking
            .as_mut()
            .and_then(|child| child.try_wait().ok()?);
        ended.is_some_and(|status| !status.success())
    }

    /// Stops what is being said.
    pub fn silence(&mut self) {
        if let Some(mut child) = self.speaking.take() {
            // It may have ended by itself; either way nothing is left of it after the wait.
            let _ = child.kill();
            let _ = child.wait();
        }
    }
}

impl Drop for Speaker {
    fn drop(&mut self) {
        self.silence();
    }
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;
    use std::fs;
    use std::os::unix::fs::PermissionsExt;
    use std::time::{Duration, Instant};

    /// A program that could be begun, but not speak, was shown as a voice that is on.
    #[test]
    fn a_program_that_gives_up_has_failed_and_one_that_ends_well_has_not() {
        for (program, fails) in [("false", true), ("true", false)] {
            let mut speaker = Speaker {
                program: program.into(),
                before: &[],
                speaking: None,
            };
            assert!(speaker.say("Words."));
            let child = speaker.speaking.as_mut().expect("it was begun");
            child.wait().expect("it ends");
            assert_eq!(speaker.has_failed(), fails, "{program}");
        }
    }

    /// A newer text silences an older one, words are one argument whatever is in them, and no shell sees them.
    #[test]
    fn the_newest_words_are_spoken_as_they_are() {
        let folder = tempfile::tempdir().expect("a folder");
        let heard = folder.path().join("heard");
        let program = folder.path().join("synthesizer");
        let script = format!(
            "#!/bin/sh\nprintf '%s\\n' \"$#:$2\" >> {}\nexec sleep 60\n",
            heard.display()
        );
        fs::write(&program, script).expect("a script");
        fs::set_permissions(&program, fs::Permissions::from_mode(0o755)).expect("it may run");
        let mut speaker = Speaker {
            program,
            before: &["--"],
            speaking: None,
        };
        let began = Instant::now();
        for (n, words) in ["Older; rm -rf \"$HOME\"", "-newer"]
            .into_iter()
            .enumerate()
        {
            assert!(speaker.say(words));
            while fs::read_to_string(&heard)
                .unwrap_or_default()
                .lines()
                .count()
                <= n
            {
                assert!(
                    began.elapsed() < Duration::from_secs(20),
                    "nothing is heard"
                );
                std::thread::sleep(Duration::from_millis(5));
            }
        }
        drop(speaker);
        let heard = fs::read_to_string(&heard).expect("it was run");
        assert_eq!(heard, "2:Older; rm -rf \"$HOME\"\n2:-newer\n");
        assert!(began.elapsed() < Duration::from_secs(30), "it was ended");
    }
}
