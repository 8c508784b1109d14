//! The journal on disk: what survives a killed process, and what is said of files that are no good.

use std::io::{BufRead, BufReader, Read, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::Barrier;
use std::time::Duration;

use pairsight::cube::Colour;
use pairsight::journal::{Attempt, Cause, Event, Journal, Placed, Situation, Start};
use pairsight::solve::Slot;
use rand::{Rng, SeedableRng};
use serde_json::Value;

use crate::harness::amount::amount;
use crate::harness::films::carried;
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

/// How many notes the events that were told stand for.
fn acknowledged(lines: &str) -> usize {
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

/// Coaches on a carried film, killed after `wait` or when that many bytes were told; gives what was told.
fn coached(place: &Place, film: &str, journal: &Path, kill: Option<(Duration, usize)>) -> String {
    let mut child = Command::new(env!("CARGO_BIN_EXE_pairsight"))
        .args(["coach", "--no-page", "--events", "--fps", "10", "--frames"])
        .arg(carried(film))
        .arg("--journal")
        .arg(journal)
        .current_dir(place.path())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program starts");
    let mut out = child.stdout.take().expect("piped");
    let mut told = Vec::new();
    if let Some((wait, bytes)) = kill {
        std::thread::sleep(wait);
        let mut first = vec![0; bytes];
        let got = out.read(&mut first).unwrap_or(0);
        told.extend(&first[..got]);
        child.kill().expect("ours");
    }
    out.read_to_end(&mut told).expect("its end");
    child.wait().expect("it ends");
    String::from_utf8(told).expect("text")
}

/// Of 103 runs that were killed seven lost an event that had been told. `PAIRSIGHT_KILLS=200` kills as many.
#[test]
fn whatever_was_told_when_the_coach_is_killed_is_in_the_journal() {
    let place = Place::new();
    let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(7);
    let clean: Vec<usize> = ["followed.mjpeg", "slip.mjpeg"]
        .map(|film| {
            let journal = place.path().join(format!("{film}.sqlite"));
            let told = coached(&place, film, &journal, None);
            let kept = count(&Journal::read(&journal).expect("a journal"));
            assert_eq!(acknowledged(&told), kept, "{film}");
            kept
        })
        .into();
    assert!(clean.iter().all(|notes| *notes >= 2), "{clean:?}");
    let (mut told_some, mut cut) = (0, 0);
    for run in 0..amount("PAIRSIGHT_KILLS", 12) {
        let which = run % 2;
        let journal = place.path().join(format!("{run}.sqlite"));
        // A run takes two seconds and more, the first second of it until something is told.
        let wait = Duration::from_millis(rng.random_range(0..2500));
        let told = coached(
            &place,
            ["followed.mjpeg", "slip.mjpeg"][which],
            &journal,
            Some((wait, rng.random_range(1..20_000))),
        );
        let notes = acknowledged(&told);
        // Killed before it made the file, it told nothing.
        let kept = match journal.exists() {
            true => count(&Journal::read(&journal).expect("a journal")),
            false => 0,
        };
        assert!(kept >= notes, "run {run}: told {notes}, kept {kept}");
        told_some += usize::from(notes > 0);
        cut += usize::from(notes < clean[which]);
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
    let journal = place.path().join("journal.sqlite");
    drop(Journal::open(&journal).expect("a journal"));
    let other = rusqlite::Connection::open(&journal).expect("a database");
    other.execute_batch("BEGIN IMMEDIATE").expect("a lock");
    let told = std::thread::scope(|scope| {
        let coached = scope.spawn(|| coached(&place, "slip.mjpeg", &journal, None));
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
    let journal = place.path().join("journal.sqlite");
    let newer = changed("PRAGMA user_version = 2");
    std::fs::write(&journal, &newer).expect("room");
    let told = coached(&place, "followed.mjpeg", &journal, None);
    assert!(
        told.contains("\"followed\"") && told.contains("\"not-kept\""),
        "{told}"
    );
    assert!(told.contains("a journal of version 2") && told.contains("use a newer version"));
    assert_eq!(std::fs::read(&journal).expect("still there"), newer);
}
