//! What is no plain file of a fitting size, and what would steer a terminal: told in a line, whatever the command.

use crate::harness::program::{Place, Ran};

/// Told as a fault of what was given, in short lines that a terminal only shows.
fn is_told_briefly(ran: &Ran, code: i32) {
    assert_eq!(ran.code, Some(code), "{}", ran.stderr);
    for said in [&ran.stdout, &ran.stderr] {
        let steers = |c: char| c.is_control() && c != '\n' || c == '\u{202e}';
        assert!(!said.contains(steers), "{said:?}");
        assert!(said.lines().all(|line| line.len() < 1000), "{}", said.len());
    }
    assert!(!ran.stderr.is_empty());
}

#[cfg(unix)]
#[test]
fn devices_and_pipes_are_no_files_for_any_command() {
    let place = Place::new();
    let link = place.path().join("endless.json");
    std::os::unix::fs::symlink("/dev/zero", &link).expect("a link");
    let pipe = place.path().join("pipe.json");
    let made = std::process::Command::new("mkfifo").arg(&pipe).status();
    assert!(made.expect("mkfifo is there").success());
    place.file("1.png", "");
    for name in ["endless.json", "pipe.json"] {
        for words in [
            &["read", name][..],
            &["read", "--profile", name, "1.png"],
            &["inspect", "--net", name],
            &["advise", "--batch", name],
            &["journal", "--journal", name],
            &["coach", "--no-page", "--frames", name],
            &["drill", "--json", "--journal", name],
        ] {
            let ran = place.run(words);
            is_told_briefly(&ran, 2);
            assert!(
                ran.stderr.contains(": not a file"),
                "{words:?} {}",
                ran.stderr
            );
        }
    }
}

#[test]
fn files_larger_than_their_kind_may_be_are_not_read() {
    let place = Place::new();
    let large = std::fs::File::create(place.path().join("large.json")).expect("room");
    // Holes: it takes no room on the disk.
    large.set_len(1 << 40).expect("room");
    for words in [
        &["read", "large.json"][..],
        &["read", "--profile", "large.json", "large.json"],
        &["inspect", "--net", "large.json"],
        &["advise", "--batch", "large.json"],
    ] {
        let ran = place.run(words);
        is_told_briefly(&ran, 2);
        assert!(
            ran.stderr.contains("larger than"),
            "{words:?} {}",
            ran.stderr
        );
    }
}

#[test]
fn terminal_escapes_in_names_and_nets_are_spelt_out() {
    let place = Place::new();
    let name = "a\x1b]0;owned\x07\u{202e}.json";
    for words in [
        &["read", name][..],
        &["read", "--json", name],
        &["read", "--profile", name, "none.png"],
        &["inspect", "--net", name],
        &["inspect", "--scramble", name],
        &["journal", "--journal", name],
        &["coach", "--no-page", "--frames", name],
        &["drill", "--json", "--situation", name],
        &["inspect", "--cross", name, "--scramble", "R"],
        &[name],
    ] {
        is_told_briefly(&place.run(words), 2);
    }
    let net = r#"{"up":["ww\u001b[2J","www","www"],"left":["ooo","ooo","ooo"],"front":["ggg","ggg","ggg"],
        "right":["rrr","rrr","rrr"],"back":["bbb","bbb","bbb"],"down":["yyy","yyy","yyy"]}"#;
    place.file("net.json", net);
    let ran = place.run(&["inspect", "--net", "net.json"]);
    is_told_briefly(&ran, 2);
    assert!(ran.stderr.contains("\"\\u{1b}\""), "{}", ran.stderr);
}

#[test]
fn a_word_of_100_000_letters_is_told_in_a_line() {
    let place = Place::new();
    let long = "R".repeat(100_000);
    for words in [
        &["inspect", "--scramble", &long][..],
        &["inspect", "--scramble", &long, "--json"],
        &["drill", "--json", "--situation", &long],
        &["inspect", "--cross", &long, "--scramble", "R"],
        &["calibrate", &long, "--frames", "none"],
        &[&long],
    ] {
        let ran = place.run(words);
        assert_ne!(ran.code, Some(0));
        assert!(ran.stderr.len() < 2000, "{}", ran.stderr.len());
        assert!(ran.stdout.len() < 2000, "{}", ran.stdout.len());
    }
}

#[test]
fn a_line_that_is_no_text_costs_no_other_of_a_batch() {
    let place = Place::new();
    let net = r#"{"up":["www","www","www"],"left":["ooo","ooo","ooo"],"front":["ggg","ggg","ggg"],"right":["rrr","rrr","rrr"],"back":["bbb","bbb","bbb"],"down":["yyy","yyy","yyy"]}"#;
    let lines = [net.as_bytes(), b"\xff\xfe{", net.as_bytes(), b""].join(&b'\n');
    place.file("nets.txt", lines);
    let ran = place.run(&["advise", "--batch", "nets.txt"]);
    assert_eq!(ran.code, Some(2));
    let outcomes: Vec<_> = ran.lines().iter().map(|l| l["outcome"].clone()).collect();
    assert_eq!(outcomes, ["solved", "error", "solved"]);
    assert!(
        ran.stderr.contains("nets.txt line 2: not text"),
        "{}",
        ran.stderr
    );
}
