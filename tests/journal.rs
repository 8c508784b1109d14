//! The journal on disk: what survives a killed process, and what is said of files that are no good.

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};

use pairsight::cube::Colour;
use pairsight::journal::{Attempt, Cause, Event, Journal, Placed, Situation, Start};
use pairsight::solve::Slot;

/// Names the journal to the child that writes until it is killed.
const CHILD: &str = "PAIRSIGHT_TEST_JOURNAL";

fn start(when: i64) -> Start {
    let placed = Placed::all().nth(when as usize % 41).expect("one of 41");
    Start {
        when,
        situation: Situation::Placed(placed),
        cross: Colour::Green,
        slot: Slot::ALL[when as usize % 4],
        best: 7,
        drill: when % 2 == 0,
    }
}

/// Writes attempts of four events each and says after every event how many are kept.
#[test]
#[ignore = "the child of another test"]
fn child() {
    let Some(path) = std::env::var_os(CHILD) else {
        return;
    };
    let journal = Journal::open(Path::new(&path)).expect("a journal");
    let mut kept = 0;
    let mut told = |what: &str| {
        kept += 1;
        let mut out = std::io::stdout().lock();
        writeln!(out, "kept {kept} {what}").expect("a parent");
        out.flush().expect("a parent");
    };
    for when in 0.. {
        let attempt = journal.begin(&start(when)).expect("room");
        told("begin");
        for event in events() {
            journal.note(attempt, 1.5, event).expect("room");
            told("event");
        }
    }
}

fn events() -> [Event; 3] {
    [
        Event::Rung(2),
        Event::Slip,
        Event::Solved { turns: Some(9) },
    ]
}

/// How many begins and events these attempts took.
fn count(attempts: &[Attempt]) -> usize {
    let of = |a: &Attempt| {
        1 + usize::from(a.rung > 1) + a.slips as usize + usize::from(a.ended.is_some())
    };
    attempts.iter().map(of).sum()
}

#[test]
fn a_killed_writer_loses_at_most_the_event_in_hand() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("journal.sqlite");
    let mut kept_before = 0;
    for lines in [3, 18, 41] {
        let mut child = Command::new(std::env::current_exe().expect("this test"))
            .args(["--exact", "journal::child", "--ignored", "--nocapture"])
            .env(CHILD, &path)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("a child");
        let mut out = BufReader::new(child.stdout.take().expect("piped")).lines();
        let mut told = 0;
        // Killed in the middle of writing; what it said until then is read to its end.
        while told < lines {
            told += usize::from(line(&mut out).expect("more to come").contains("kept "));
        }
        child.kill().expect("still running");
        child.wait().expect("killed");
        while let Some(line) = line(&mut out) {
            told += usize::from(line.contains("kept "));
        }
        let kept = count(&Journal::read(&path).expect("a whole journal")) - kept_before;
        // One more may have been kept but not told.
        assert!(kept == told || kept == told + 1, "{kept} kept, {told} told");
        // Writing goes on where it was cut.
        let journal = Journal::open(&path).expect("a whole journal");
        let attempt = journal.begin(&start(lines as i64)).expect("room");
        for event in events() {
            journal.note(attempt, 2.0, event).expect("room");
        }
        let attempts = journal.attempts().expect("a whole journal");
        assert_eq!(attempts.last().map(|a| a.start), Some(start(lines as i64)));
        kept_before = count(&attempts);
    }
}

fn line(lines: &mut impl Iterator<Item = std::io::Result<String>>) -> Option<String> {
    lines.next()?.ok()
}

#[test]
fn what_is_written_is_read_back_while_others_read_and_write() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("deep/er/journal.sqlite");
    let (one, two) = (Journal::open(&path), Journal::open(&path));
    let (one, two) = (one.expect("new"), two.expect("shared"));
    let writers = [one, two].map(|journal| {
        std::thread::spawn(move || {
            for when in 0..82 {
                let attempt = journal.begin(&start(when)).expect("room");
                for event in events() {
                    journal.note(attempt, 3.25, event).expect("room");
                }
            }
        })
    });
    let mut whole = 0;
    for _ in 0..20 {
        let attempts = Journal::read(&path).expect("a journal in use");
        // Each writer has one attempt in hand, and may wait with it while the other ends many.
        let open = attempts.iter().filter(|a| a.ended.is_none()).count();
        assert!(open <= 2, "{open} of {}", attempts.len());
        assert!(attempts.len() - open >= whole, "one was lost");
        whole = attempts.len() - open;
    }
    for writer in writers {
        writer.join().expect("no panic");
    }
    let attempts = Journal::read(&path).expect("a journal");
    assert_eq!(attempts.len(), 164);
    for when in 0..82 {
        let same: Vec<_> = attempts.iter().filter(|a| a.start == start(when)).collect();
        assert_eq!(same.len(), 2);
        for attempt in same {
            let ended = attempt.ended.expect("solved");
            assert_eq!((ended.turns, ended.seconds), (Some(9), 3.25));
            assert_eq!((attempt.rung, attempt.slips), (2, 1));
        }
    }
}

/// What is said of a file that holds these bytes, by a reader and a writer, which leave it as it is.
fn refused(bytes: &[u8]) -> [Cause; 2] {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("a file?#.sqlite");
    std::fs::write(&path, bytes).expect("room");
    let read = Journal::read(&path).expect_err("no good");
    let open = Journal::open(&path).map(drop).expect_err("no good");
    assert_eq!(std::fs::read(&path).expect("still there"), bytes);
    assert!(read.to_string().contains("a file?#.sqlite: "), "{read}");
    [read.cause, open.cause]
}

/// The bytes of a whole journal after some change to it.
fn changed(sql: &str) -> Vec<u8> {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("journal.sqlite");
    let journal = Journal::open(&path).expect("new");
    for when in 0..200 {
        journal.begin(&start(when)).expect("room");
    }
    drop(journal);
    let db = rusqlite::Connection::open(&path).expect("a database");
    db.execute_batch(sql).expect("a change");
    db.close().expect("closed");
    std::fs::read(&path).expect("a file")
}

#[test]
fn other_files_are_refused_and_left_alone() {
    assert_eq!(
        refused(b"no database at all"),
        [Cause::NotAJournal, Cause::NotAJournal]
    );
    // Another program's database.
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("other.sqlite");
    let db = rusqlite::Connection::open(&path).expect("a database");
    db.execute_batch("CREATE TABLE recipe (name TEXT)")
        .expect("a table");
    db.close().expect("closed");
    let other = std::fs::read(&path).expect("a file");
    assert_eq!(refused(&other), [Cause::NotAJournal, Cause::NotAJournal]);
}

#[test]
fn a_newer_journal_is_refused_and_left_alone() {
    let newer = changed("PRAGMA user_version = 2");
    assert_eq!(refused(&newer), [Cause::Newer(2), Cause::Newer(2)]);
}

#[test]
fn a_damaged_journal_is_told_as_such() {
    let mut torn = changed("");
    let size = torn.len();
    assert!(size > 3 * 4096);
    torn[4096..size - 512].fill(0xa5);
    assert!(
        refused(&torn)
            .iter()
            .all(|c| matches!(c, Cause::Damaged(_)))
    );
    let mut short = changed("");
    short.truncate(size / 2);
    assert!(
        refused(&short)
            .iter()
            .all(|c| matches!(c, Cause::Damaged(_)))
    );
}

#[test]
fn a_situation_written_by_hand_is_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("journal.sqlite");
    std::fs::write(
        &path,
        changed("UPDATE attempt SET situation = 'sideways' WHERE id = 7"),
    )
    .expect("room");
    let error = Journal::read(&path).expect_err("no good").to_string();
    assert!(
        error.contains("attempt 7: unknown situation \"sideways\""),
        "{error}"
    );
}

#[test]
fn a_missing_journal_is_not_made_by_reading() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("none.sqlite");
    assert!(matches!(
        Journal::read(&path).expect_err("none").cause,
        Cause::Unusable(_)
    ));
    assert!(!path.exists());
}

#[cfg(unix)]
#[test]
fn a_journal_is_read_where_nothing_can_be_written() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("50 % done?#1.sqlite");
    let journal = Journal::open(&path).expect("new");
    journal.begin(&start(3)).expect("room");
    drop(journal);
    let allow = |mode| std::fs::set_permissions(folder.path(), PermissionsExt::from_mode(mode));
    allow(0o555).expect("own folder");
    let attempts = Journal::read(&path);
    allow(0o755).expect("own folder");
    assert_eq!(attempts.expect("readable").len(), 1);
}
