//! Output that nobody reads, or that cannot be written, is a way to end and never a panic.

#![cfg(unix)]

use std::fs::{File, OpenOptions};
use std::io;
use std::path::Path;
use std::process::{Command, Stdio};

use tempfile::TempDir;

/// Every command that writes without a camera or a person at hand, and something for it to write about.
fn lines(folder: &Path) -> Vec<Vec<String>> {
    let nets = folder.join("nets");
    std::fs::write(&nets, "{}\n".repeat(2_000)).expect("a file of nets");
    let carried = Path::new(env!("CARGO_MANIFEST_DIR")).join("test_images");
    let film = carried.join("films/followed.mjpeg");
    let picture = carried.join("scans/setup-01/calibration/red.jpg");
    assert!(picture.exists(), "{} moved", picture.display());
    let text = |path: &Path| path.to_str().expect("the path is text").to_owned();
    let words = |line: &str| line.split(' ').map(str::to_owned).collect::<Vec<_>>();
    let with = |line: &str, path: &Path| {
        let mut words = words(line);
        words.push(text(path));
        words
    };
    vec![
        words("inspect --scramble R"),
        words("inspect --scramble R --json"),
        words("advise --scramble R --whole"),
        with("advise --batch", &nets),
        with("read", &picture),
        with("read --json", &picture),
        with("coach --no-page --no-journal --events --frames", &film),
        with("coach --no-page --no-journal --frames", &film),
        words("guide"),
        words("journal"),
        words("cameras"),
        words("no-such-command"),
        words("--help"),
    ]
}

/// Runs a line with the given ends of its output: the exit code, which a panic or a signal would not be among.
fn code(folder: &Path, line: &[String], stdout: Stdio, stderr: Stdio) -> i32 {
    let status = Command::new(env!("CARGO_BIN_EXE_pairsight"))
        .args(line)
        .current_dir(folder)
        .env_clear()
        .env("HOME", folder)
        .stdin(Stdio::null())
        .stdout(stdout)
        .stderr(stderr)
        .status()
        .expect("the program starts");
    status
        .code()
        .unwrap_or_else(|| panic!("{line:?} ended by a signal: {status}"))
}

/// The writing end of a pipe that has no reader any more.
fn unread() -> Stdio {
    let (reader, writer) = io::pipe().expect("a pipe");
    drop(reader);
    writer.into()
}

#[test]
fn a_reader_that_had_enough_is_no_failure() {
    let place = TempDir::new().expect("a temporary folder");
    for line in lines(place.path()) {
        let said = File::create(place.path().join("said")).expect("a file");
        let code = code(place.path(), &line, unread(), said.into());
        let said = std::fs::read_to_string(place.path().join("said")).expect("what was said");
        assert!(code <= 4, "{line:?}: {code}, {said}");
        assert!(!said.contains("Broken pipe"), "{line:?}: {said}");
        if line[0] == "guide" || line[0] == "advise" {
            assert_eq!(code, 0, "{line:?}: {said}");
        }
    }
}

#[test]
fn nothing_panics_where_nobody_hears() {
    let place = TempDir::new().expect("a temporary folder");
    for line in lines(place.path()) {
        let code = code(place.path(), &line, unread(), unread());
        assert!(code <= 4, "{line:?}: {code}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_told() {
    let place = TempDir::new().expect("a temporary folder");
    let full = || {
        OpenOptions::new()
            .write(true)
            .open("/dev/full")
            .expect("/dev/full")
    };
    for line in lines(place.path()) {
        let said = File::create(place.path().join("said")).expect("a file");
        let code = code(place.path(), &line, full().into(), said.into());
        let said = std::fs::read_to_string(place.path().join("said")).expect("what was said");
        match line[0].as_str() {
            "--help" | "no-such-command" => {}
            _ => {
                assert_eq!(code, 1, "{line:?}: {said}");
                assert!(
                    said.contains("standard output: No space left"),
                    "{line:?}: {said}"
                );
            }
        }
        assert!(code <= 4, "{line:?}: {code}");
    }
}
