//! Runs the real program in a fresh folder and keeps all that it said.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

/// A fresh folder to run the program in.
pub struct Place {
    folder: TempDir,
}

/// What one run of the program left behind.
pub struct Ran {
    pub code: Option<i32>,
    pub stdout: String,
    pub stderr: String,
}

impl Place {
    pub fn new() -> Self {
        Place {
            folder: tempfile::tempdir().expect("a temporary folder"),
        }
    }

    pub fn path(&self) -> &Path {
        self.folder.path()
    }

    /// Writes a file in the folder and gives its name back.
    pub fn file(&self, name: &str, content: impl AsRef<[u8]>) -> PathBuf {
        let path = self.folder.path().join(name);
        std::fs::write(&path, content).expect("a file in the temporary folder");
        path
    }

    /// Runs the program with a scrubbed environment.
    pub fn run(&self, words: &[&str]) -> Ran {
        self.run_with(words, "")
    }

    /// The same, with text on standard input.
    pub fn run_with(&self, words: &[&str], stdin: &str) -> Ran {
        use std::io::Write;
        let mut child = Command::new(env!("CARGO_BIN_EXE_pairsight"))
            .args(words)
            .current_dir(self.folder.path())
            .env_clear()
            .env("HOME", self.folder.path())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        // A program that stops before it reads all of its input is no fault of the test.
        let _ = child
            .stdin
            .take()
            .expect("stdin is piped")
            .write_all(stdin.as_bytes());
        let Output {
            status,
            stdout,
            stderr,
        } = child.wait_with_output().expect("the program ends");
        Ran {
            code: status.code(),
            stdout: String::from_utf8(stdout).expect("stdout is UTF-8"),
            stderr: String::from_utf8(stderr).expect("stderr is UTF-8"),
        }
    }
}

impl Ran {
    /// The one JSON document that stdout holds.
    pub fn document(&self) -> Value {
        serde_json::from_str(&self.stdout).unwrap_or_else(|e| {
            panic!(
                "stdout is not one document: {e}\n{}\n{}",
                self.stdout, self.stderr
            )
        })
    }

    /// The JSON documents that stdout holds, one a line.
    pub fn lines(&self) -> Vec<Value> {
        self.stdout
            .lines()
            .map(|line| {
                serde_json::from_str(line).unwrap_or_else(|e| panic!("not JSON: {e}\n{line}"))
            })
            .collect()
    }
}
