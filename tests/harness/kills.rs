//! Practice on the carried films that is killed in the middle: whether all that was told is in the journal.

use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

use pairsight::journal::{Attempt, Journal};
use rand::Rng;
use rand_chacha::ChaCha8Rng;
use serde_json::Value;

use super::films::{carried, first_of};

/// One kind of practice, with the program and the folder that it runs in.
#[derive(Clone, Debug)]
pub struct Practice {
    program: PathBuf,
    folder: PathBuf,
    /// The carried film, without its ending.
    film: &'static str,
    drill: bool,
    /// Where it is kept.
    pub journal: PathBuf,
}

/// When to kill: once so many bytes were told, and so long after that.
#[derive(Clone, Copy, Debug)]
pub struct Kill {
    pub bytes: usize,
    pub wait: Duration,
}

/// What came of a practice: notes that were told of, and notes in the journal that were not there before.
#[derive(Clone, Copy, Debug)]
pub struct Came {
    pub told: usize,
    pub kept: usize,
}

impl Practice {
    /// Coaching on both films and a drill of what the first of them shows, each with a journal of its own in `folder`.
    pub fn all(program: &Path, folder: &Path) -> [Practice; 3] {
        [("followed", false), ("slip", false), ("followed", true)].map(|(film, drill)| Practice {
            program: program.to_owned(),
            folder: folder.to_owned(),
            film,
            drill,
            journal: folder.join(format!("{film}-{drill}.sqlite")),
        })
    }

    pub fn name(&self) -> String {
        let what = if self.drill { "drill" } else { "coach" };
        format!("{what}, film \"{}\"", self.film)
    }

    /// Practises; gives what was told, a JSON object a line.
    pub fn run(&self, kill: Option<Kill>) -> String {
        let mut command = Command::new(&self.program);
        match self.drill {
            true => command.args(["drill", &first_of(self.film), "--cross", "white"]),
            false => command.arg("coach"),
        };
        let mut child = command
            .args(["--no-page", "--events", "--fps", "10", "--frames"])
            .arg(carried(&format!("{}.mjpeg", self.film)))
            .arg("--journal")
            .arg(&self.journal)
            .current_dir(&self.folder)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        let mut out = child.stdout.take().expect("piped");
        let mut told = Vec::new();
        if let Some(kill) = kill {
            let mut first = out.by_ref().take(kill.bytes as u64);
            first.read_to_end(&mut told).expect("a pipe");
            std::thread::sleep(kill.wait);
            child.kill().expect("ours");
        }
        out.read_to_end(&mut told).expect("its end");
        child.wait().expect("it ends");
        String::from_utf8(told).expect("text")
    }

    /// Practises to the end, and how many bytes that told.
    pub fn undisturbed(&self) -> (Came, usize) {
        let mut length = 0;
        let came = self.came(|practice| {
            let told = practice.run(None);
            length = told.len();
            told
        });
        (came, length)
    }

    /// Practises and is killed at a random moment of a run that would tell so many bytes: how fast the machine is does not matter.
    pub fn killed(&self, length: usize, rng: &mut ChaCha8Rng) -> Came {
        let kill = Kill {
            bytes: rng.random_range(0..length),
            wait: Duration::from_millis(rng.random_range(0..100)),
        };
        self.came(|practice| practice.run(Some(kill)))
    }

    fn came(&self, mut run: impl FnMut(&Practice) -> String) -> Came {
        let before = self.kept();
        let told = acknowledged(&run(self));
        Came {
            told,
            kept: self.kept() - before,
        }
    }

    /// Notes in the journal.
    fn kept(&self) -> usize {
        // Killed before it made the file, it told nothing.
        match self.journal.exists() {
            true => count(&Journal::read(&self.journal).expect("a journal")),
            false => 0,
        }
    }
}

/// How many begins and events these attempts took.
pub fn count(attempts: &[Attempt]) -> usize {
    let of = |a: &Attempt| {
        1 + usize::from(a.rung > 1) + a.slips as usize + usize::from(a.ended.is_some())
    };
    attempts.iter().map(of).sum()
}

/// How many notes the events that were told stand for.
pub fn acknowledged(lines: &str) -> usize {
    let (mut notes, mut rung) = (0, None);
    // A line without its end was cut off, and told nobody anything.
    for line in lines.split_inclusive('\n').filter(|l| l.ends_with('\n')) {
        let event: Value = serde_json::from_str(line).expect("an event");
        let level = event["level"].as_u64();
        match (event["event"].as_str(), rung) {
            // A hint of cross or last layer is about no pair.
            (Some("hint"), None) if event["slot"].is_string() => {
                (notes, rung) = (notes + 1, level);
            }
            (Some("hint"), Some(_)) if level > rung => (notes, rung) = (notes + 1, level),
            (Some("slip"), Some(_)) => notes += 1,
            // In these films the pair in hand is solved when the hint was followed.
            (Some("followed"), Some(_)) => (notes, rung) = (notes + 1, None),
            _ => {}
        }
    }
    notes
}
