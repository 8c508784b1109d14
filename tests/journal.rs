//! The journal on disk: what survives a killed process, and what is said of files that are no good.

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::Barrier;
use std::time::Duration;

use pairsight::cube::Colour;
use pairsight::journal::{Cause, Event, Journal, Placed, Situation, Start};
use pairsight::solve::Slot;
use rand::SeedableRng;
use serde_json::Value;

use crate::harness::kills::{Practice, acknowledged, count};
use crate::harness::program::Place;

/// Names the journal to the child that writes until it is killed.
const CHILD: &str = "PAIRSIGHT_TEST_JOURNAL";

fn start(when: i64) -> Start {
    let placed = Placed::all().nth(when as usize % 22).expect("one of 22");
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
        Event::Slip(None),
        Event::Solved { turns: Some(9) },
    ]
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
    let newer = changed("PRAGMA user_version = 3");
    assert_eq!(refused(&newer), [Cause::Newer(3), Cause::Newer(3)]);
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

/// What SQLite says of a folder that takes no files named the path once more and nothing to do.
#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_takes_no_files_is_told_in_one_sentence_with_what_to_do() {
    // Nobody makes files there, whatever their rights.
    let error = Journal::open(Path::new("/proc/journal.sqlite")).map(drop);
    let error = error.expect_err("no place for files");
    let said = "/proc/journal.sqlite: it cannot be opened, or made there";
    assert_eq!(error.to_string(), said);
    assert!(error.may_pass() && error.remedy().contains("--journal FILE"));
}

#[test]
fn an_empty_file_is_a_new_journal() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("journal.sqlite");
    // As `touch` makes it, and as a full disk leaves it.
    std::fs::write(&path, "").expect("room");
    assert_eq!(Journal::read(&path), Ok(Vec::new()));
    let journal = Journal::open(&path).expect("a new journal");
    journal.begin(&start(5)).expect("room");
    assert_eq!(Journal::read(&path).expect("a journal").len(), 1);
}

/// One of four was refused, and what it noted lost.
#[test]
fn programs_that_start_at_once_on_a_new_journal_all_keep_their_rows() {
    for round in 0..8 {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("journal.sqlite");
        if round % 2 == 1 {
            std::fs::write(&path, "").expect("room");
        }
        let together = Barrier::new(4);
        std::thread::scope(|scope| {
            for program in 0..4 {
                let (path, together) = (&path, &together);
                scope.spawn(move || {
                    together.wait();
                    let journal = Journal::open(path).expect("a journal");
                    for event in 0..3 {
                        journal.begin(&start(program * 10 + event)).expect("room");
                    }
                    // A reader in the middle of it finds whole attempts, or none yet.
                    assert!(Journal::read(path).expect("a journal").len() >= 3);
                });
            }
        });
        assert_eq!(Journal::read(&path).expect("a journal").len(), 12);
    }
}

#[cfg(unix)]
#[test]
fn a_pipe_or_a_device_in_place_of_a_journal_keeps_nobody_waiting() {
    let folder = tempfile::tempdir().expect("a folder");
    let pipe = folder.path().join("pipe");
    let made = Command::new("mkfifo").arg(&pipe).status();
    assert!(made.expect("mkfifo is there").success());
    for path in [&pipe, Path::new("/dev/zero")] {
        assert_eq!(
            Journal::read(path).expect_err("none").cause,
            Cause::NotAFile
        );
        let open = Journal::open(path).map(drop).expect_err("none");
        assert_eq!(open.cause, Cause::NotAFile);
    }
}

fn program() -> &'static Path {
    Path::new(env!("CARGO_BIN_EXE_pairsight"))
}

/// Of 103 runs that were killed seven lost an event that had been told. The laboratory's `kills` kills more.
#[test]
fn whatever_was_told_when_the_coach_is_killed_is_in_the_journal() {
    let place = Place::new();
    let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(7);
    let (mut told_some, mut cut) = (0, 0);
    let [_, slip, drill] = Practice::all(program(), place.path());
    for practice in [slip, drill] {
        let (clean, length) = practice.undisturbed();
        assert_eq!(clean.told, clean.kept, "{practice:?}");
        assert!(clean.told >= 2, "{practice:?}: {clean:?}");
        for run in 0..2 {
            let came = practice.killed(length, &mut rng);
            assert!(came.kept >= came.told, "{practice:?}, {run}: {came:?}");
            told_some += usize::from(came.told > 0);
            cut += usize::from(came.told < clean.told);
        }
    }
    assert!(
        told_some > 0 && cut > 0,
        "{told_some} told something, {cut} were cut"
    );
}

/// A lock that another program holds for long ended the keeping for the whole run, and only stderr said so.
#[test]
fn what_a_lock_keeps_out_is_told_and_kept_when_the_lock_ends() {
    let place = Place::new();
    let [_, practice, _] = Practice::all(program(), place.path());
    let journal = practice.journal.clone();
    drop(Journal::open(&journal).expect("a journal"));
    let other = rusqlite::Connection::open(&journal).expect("a database");
    other.execute_batch("BEGIN IMMEDIATE").expect("a lock");
    let told = std::thread::scope(|scope| {
        let coached = scope.spawn(|| practice.run(None));
        // Longer than the film takes, and than the program waits for one event.
        std::thread::sleep(Duration::from_secs(5));
        other.execute_batch("ROLLBACK").expect("the lock ends");
        coached.join().expect("it ends")
    });
    let kept = count(&Journal::read(&journal).expect("a journal"));
    assert!(kept > 0);
    assert_eq!(acknowledged(&told), kept, "{told}");
    let of = |kind: &str| {
        let lines: Vec<Value> = told
            .lines()
            .map(|l| serde_json::from_str(l).expect("JSON"))
            .collect();
        lines.iter().position(|event| event["kind"] == kind)
    };
    let (not_yet, now) = (of("not-kept-yet"), of("kept-now"));
    assert!(not_yet.is_some() && not_yet < now, "{told}");
    assert_eq!(of("not-kept"), None);
}

/// A newer program's journal is neither written nor forgotten about: the coach goes on and says so.
#[test]
fn a_newer_journal_stops_no_coaching_and_is_left_alone() {
    let place = Place::new();
    let [practice, ..] = Practice::all(program(), place.path());
    let journal = &practice.journal;
    let newer = changed("PRAGMA user_version = 3");
    std::fs::write(journal, &newer).expect("room");
    let told = practice.run(None);
    assert!(
        told.contains("\"followed\"") && told.contains("\"not-kept\""),
        "{told}"
    );
    assert!(told.contains("a journal of version 3") && told.contains("use a newer version"));
    assert_eq!(std::fs::read(journal).expect("still there"), newer);
}
