//! The journal on disk: an SQLite file that is never left half written, and that several readers may open at once.
//!
//! Each event is one transaction, written ahead and flushed before the call returns, so that a process killed at any
//! moment loses at most the event in hand (<https://sqlite.org/wal.html>, <https://sqlite.org/pragma.html#pragma_synchronous>).

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use rusqlite::{Connection, ErrorCode, OpenFlags, Transaction, TransactionBehavior, params};

use super::{Attempt, Event, Pace, Situation, Start};
use crate::coach::follow::SlipKind;
use crate::cube::Colour;
use crate::input::{self, Fault, printable_within, shown};
use crate::solve::Slot;

/// Version of the tables, in the file's `user_version`.
const VERSION: i32 = 2;

/// Marks the file as a journal, in its `application_id`: "pair".
const APPLICATION: i32 = 0x7061_6972;

/// How long to wait for another process's transaction.
const WAIT: Duration = Duration::from_secs(5);

/// The rest between two attempts to make a journal that others are making too.
const BREATH: Duration = Duration::from_millis(10);

/// The most characters of what is found in a damaged journal.
const MOST_QUOTED: usize = 160;

const TABLES: &str = "
    CREATE TABLE attempt (
        id INTEGER PRIMARY KEY,
        at INTEGER NOT NULL,
        situation TEXT NOT NULL,
        cross TEXT NOT NULL,
        slot TEXT NOT NULL,
        best INTEGER NOT NULL CHECK (best >= 0),
        drill INTEGER NOT NULL CHECK (drill IN (0, 1))
    ) STRICT;";

/// Since version 2: the first turn of an attempt and the kinds of slips are known, and where the time of each solve went.
const SINCE_2: &str = "
    CREATE TABLE event (
        id INTEGER PRIMARY KEY,
        attempt INTEGER NOT NULL REFERENCES attempt (id),
        seconds REAL NOT NULL,
        kind TEXT NOT NULL CHECK (kind IN ('rung', 'turned', 'slip', 'solved')),
        value INTEGER
    ) STRICT;
    CREATE INDEX event_of ON event (attempt);
    CREATE TABLE part (
        id INTEGER PRIMARY KEY,
        solve INTEGER NOT NULL,
        told TEXT NOT NULL
    ) STRICT;";

/// What a journal of version 1 becomes one of version 2 by.
const FROM_1: [&str; 3] = [
    "DROP INDEX event_of; ALTER TABLE event RENAME TO event_1;",
    SINCE_2,
    "INSERT INTO event SELECT id, attempt, seconds, kind, value FROM event_1; DROP TABLE event_1;",
];

/// A journal, open for writing.
#[derive(Debug)]
pub struct Journal {
    db: Connection,
    path: PathBuf,
}

/// An attempt that the journal knows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AttemptId(i64);

/// Why a journal cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JournalError {
    pub path: PathBuf,
    pub cause: Cause,
}

/// What is wrong with a journal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cause {
    /// A folder, a device, a pipe or the like.
    NotAFile,
    /// Another kind of file.
    NotAJournal,
    /// Damaged, or written by hand: what was found.
    Damaged(String),
    /// Written by a newer version of this program.
    Newer(i32),
    /// Another program is writing it.
    Locked,
    /// The disk is full.
    Full,
    /// It cannot be opened, read or written.
    Unusable(String),
}

/// The journal in the user's data folder; none where this system has no such folder.
pub fn default_path() -> Option<PathBuf> {
    let folders = directories::ProjectDirs::from("", "", "pairsight")?;
    Some(folders.data_dir().join("journal.sqlite"))
}

impl Journal {
    /// Opens a journal for writing; makes it, and its folder, where there is none. An empty file is a new journal.
    ///
    /// # Errors
    /// When the file is something else, damaged, newer than this program, or cannot be written.
    pub fn open(path: &Path) -> Result<Journal, JournalError> {
        Journal::open_within(path, WAIT)
    }

    /// [`Journal::open`], waiting for other programs' locks for `patience`.
    ///
    /// # Errors
    /// Those of [`Journal::open`].
    pub fn open_within(path: &Path, patience: Duration) -> Result<Journal, JournalError> {
        let told = |cause: Cause| JournalError {
            path: path.to_owned(),
            cause,
        };
        make_place(path).map_err(told)?;
        let failed = |error: rusqlite::Error| told(Cause::of(&error));
        let mut db = Connection::open_with_flags(
            path,
            OpenFlags::SQLITE_OPEN_READ_WRITE
                | OpenFlags::SQLITE_OPEN_CREATE
                | OpenFlags::SQLITE_OPEN_NO_MUTEX,
        )
        .map_err(failed)?;
        db.busy_timeout(patience).map_err(failed)?;
        let began = Instant::now();
        // SQLite does not wait where two programs that read both want to write next, as two that make a journal do.
        while let Err(cause) = prepare(&mut db) {
            if cause != Cause::Locked || began.elapsed() >= patience {
                return Err(told(cause));
            }
            std::thread::sleep(BREATH);
        }
        Ok(Journal {
            db,
            path: path.to_owned(),
        })
    }

    /// Does what `write` does in one transaction: all of it or nothing. Waits for another program's transaction for `patience`.
    ///
    /// # Errors
    /// When it cannot be begun or ended, and those of `write`.
    pub fn together<T>(
        &self,
        patience: Duration,
        write: impl FnOnce(&Journal) -> Result<T, JournalError>,
    ) -> Result<T, JournalError> {
        let failed = |error: rusqlite::Error| self.failed(&error);
        self.db.busy_timeout(patience).map_err(failed)?;
        let transaction = Transaction::new_unchecked(&self.db, TransactionBehavior::Immediate);
        let transaction = transaction.map_err(failed)?;
        let done = write(self)?;
        transaction.commit().map_err(failed)?;
        Ok(done)
    }

    /// Notes that a pair is begun.
    ///
    /// # Errors
    /// When it cannot be written.
    pub fn begin(&self, start: &Start) -> Result<AttemptId, JournalError> {
        self.db
            .execute(
                "INSERT INTO attempt (at, situation, cross, slot, best, drill) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                params![
                    start.when,
                    start.situation.to_string(),
                    start.cross.name(),
                    start.slot.name(start.cross),
                    start.best,
                    start.drill
                ],
            )
            .map_err(|error| self.failed(&error))?;
        Ok(AttemptId(self.db.last_insert_rowid()))
    }

    /// Notes what happened in an attempt, so many seconds after its start.
    ///
    /// # Errors
    /// When it cannot be written.
    pub fn note(&self, attempt: AttemptId, seconds: f64, event: Event) -> Result<(), JournalError> {
        let (kind, value) = match event {
            Event::Rung(rung) => ("rung", Some(u32::from(rung))),
            Event::Turned => ("turned", None),
            Event::Slip(kind) => ("slip", kind.map(slip_number)),
            Event::Solved { turns } => ("solved", turns),
        };
        self.db
            .execute(
                "INSERT INTO event (attempt, seconds, kind, value) VALUES (?1, ?2, ?3, ?4)",
                params![attempt.0, seconds, kind, value],
            )
            .map_err(|error| self.failed(&error))?;
        Ok(())
    }

    /// All attempts, oldest first.
    ///
    /// # Errors
    /// When they cannot be read.
    pub fn attempts(&self) -> Result<Vec<Attempt>, JournalError> {
        attempts(&self.db).map_err(|cause| JournalError {
            path: self.path.clone(),
            cause,
        })
    }

    /// Notes where the time of one part of a solve went.
    ///
    /// # Errors
    /// When it cannot be written.
    pub fn pace(&self, pace: &Pace) -> Result<(), JournalError> {
        let told = serde_json::to_string(pace).map_err(|error| JournalError {
            path: self.path.clone(),
            cause: Cause::Unusable(error.to_string()),
        })?;
        self.db
            .execute(
                "INSERT INTO part (solve, told) VALUES (?1, ?2)",
                params![pace.solve, told],
            )
            .map_err(|error| self.failed(&error))?;
        Ok(())
    }

    /// All attempts of a journal that is only read, oldest first. It may be open elsewhere, or in a folder that cannot be
    /// written.
    ///
    /// # Errors
    /// When there is no such file, or it is no journal, damaged or newer than this program.
    pub fn read(path: &Path) -> Result<Vec<Attempt>, JournalError> {
        Journal::read_only(path, attempts)
    }

    /// Where the time of all solves went, part by part, oldest first.
    ///
    /// # Errors
    /// Those of [`Journal::read`].
    pub fn paces(path: &Path) -> Result<Vec<Pace>, JournalError> {
        Journal::read_only(path, paces)
    }

    fn read_only<T>(
        path: &Path,
        what: impl Fn(&Connection) -> Result<Vec<T>, Cause>,
    ) -> Result<Vec<T>, JournalError> {
        let told = |cause: Cause| JournalError {
            path: path.to_owned(),
            cause,
        };
        input::open(path).map_err(|fault| told(fault.into()))?;
        let read = |db: Result<Connection, rusqlite::Error>| {
            let db = db.map_err(|error| Cause::of(&error))?;
            let of = |error: rusqlite::Error| Cause::of(&error);
            db.busy_timeout(WAIT).map_err(of)?;
            match whose(&db)? {
                Whose::New => Ok(Vec::new()),
                Whose::Ours => {
                    check(&db)?;
                    what(&db)
                }
            }
        };
        let found = read(Connection::open_with_flags(
            path,
            OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX,
        ));
        match found {
            // A folder that cannot be written has no room for the shared memory of a journal written ahead. Where
            // nothing waits beside the file, nobody is writing it either.
            Err(Cause::Unusable(_)) if !beside(path, "-wal").exists() => {
                let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI;
                read(Connection::open_with_flags(unchanging(path), flags)).map_err(told)
            }
            found => found.map_err(told),
        }
    }

    /// Lets the file grow by so many pages and no more, as a full disk does; gives how many it may have.
    #[cfg(test)]
    pub(super) fn limit_pages(&self, more: i64) -> i64 {
        let pages: i64 = self
            .db
            .pragma_query_value(None, "page_count", |row| row.get(0))
            .expect("a count");
        self.db
            .pragma_update_and_check(None, "max_page_count", pages + more, |row| row.get(0))
            .expect("a limit")
    }

    fn failed(&self, error: &rusqlite::Error) -> JournalError {
        JournalError {
            path: self.path.clone(),
            cause: Cause::of(error),
        }
    }
}

/// Makes the folder of a journal. What lies where the journal should must be a plain file.
fn make_place(path: &Path) -> Result<(), Cause> {
    if let Some(folder) = path.parent().filter(|f| !f.as_os_str().is_empty()) {
        std::fs::create_dir_all(folder).map_err(|error| Cause::from(Fault::Io(error)))?;
    }
    match std::fs::metadata(path) {
        Ok(about) if !about.is_file() => Err(Cause::NotAFile),
        _ => Ok(()),
    }
}

/// Looks at a file before anything is written, as another program's is left as it is; then makes it ready.
fn prepare(db: &mut Connection) -> Result<(), Cause> {
    let of = |error: rusqlite::Error| Cause::of(&error);
    if whose(db)? == Whose::Ours {
        check(db)?;
    }
    db.pragma_update_and_check(None, "journal_mode", "wal", |row| row.get::<_, String>(0))
        .map_err(of)?;
    db.pragma_update(None, "synchronous", "full").map_err(of)?;
    db.pragma_update(None, "foreign_keys", true).map_err(of)?;
    make(db)
}

/// What a database is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Whose {
    /// Without any table: an empty file, or one that another program is making a journal of.
    New,
    /// A journal.
    Ours,
}

fn whose(db: &Connection) -> Result<Whose, Cause> {
    let of = |error: rusqlite::Error| Cause::of(&error);
    // In one look, as another program may be making it.
    let look = Transaction::new_unchecked(db, TransactionBehavior::Deferred).map_err(of)?;
    let application: i32 = look
        .pragma_query_value(None, "application_id", |row| row.get(0))
        .map_err(of)?;
    let is_empty = is_empty(&look).map_err(of)?;
    match (application, is_empty) {
        (APPLICATION, false) => Ok(Whose::Ours),
        (0 | APPLICATION, true) => Ok(Whose::New),
        _ => Err(Cause::NotAJournal),
    }
}

fn is_empty(db: &Connection) -> rusqlite::Result<bool> {
    db.query_row("SELECT count(*) = 0 FROM sqlite_schema", [], |row| {
        row.get(0)
    })
}

fn version(db: &Connection) -> rusqlite::Result<i32> {
    db.pragma_query_value(None, "user_version", |row| row.get(0))
}

fn set_version(db: &Connection) -> rusqlite::Result<()> {
    db.pragma_update(None, "user_version", VERSION)
}

/// Makes the tables of a new file, and what an older one lacks, all or nothing, even where several programs come at once.
fn make(db: &mut Connection) -> Result<(), Cause> {
    let of = |error: rusqlite::Error| Cause::of(&error);
    let transaction = db
        .transaction_with_behavior(TransactionBehavior::Immediate)
        .map_err(of)?;
    if is_empty(&transaction).map_err(of)? {
        transaction.execute_batch(TABLES).map_err(of)?;
        transaction.execute_batch(SINCE_2).map_err(of)?;
        transaction
            .pragma_update(None, "application_id", APPLICATION)
            .map_err(of)?;
        set_version(&transaction).map_err(of)?;
    } else if version(&transaction).map_err(of)? == 1 {
        for step in FROM_1 {
            transaction.execute_batch(step).map_err(of)?;
        }
        set_version(&transaction).map_err(of)?;
    }
    transaction.commit().map_err(of)
}

/// The version and the file's own structure.
fn check(db: &Connection) -> Result<(), Cause> {
    let of = |error: rusqlite::Error| Cause::of(&error);
    let version = version(db).map_err(of)?;
    if version > VERSION {
        return Err(Cause::Newer(version));
    }
    let found: String = db
        .query_row("PRAGMA quick_check(1)", [], |row| row.get(0))
        .map_err(of)?;
    match found.as_str() {
        "ok" => Ok(()),
        fault => Err(Cause::Damaged(fault.to_owned())),
    }
}

fn attempts(db: &Connection) -> Result<Vec<Attempt>, Cause> {
    let of = |error: rusqlite::Error| Cause::of(&error);
    // One statement, so that what another process writes meanwhile does not come in half way.
    let mut rows = db
        .prepare(
            "SELECT a.id, a.at, a.situation, a.cross, a.slot, a.best, a.drill, e.seconds, e.kind, e.value \
             FROM attempt a LEFT JOIN event e ON e.attempt = a.id ORDER BY a.id, e.id",
        )
        .map_err(of)?;
    let mut rows = rows.query([]).map_err(of)?;
    let mut all: Vec<Attempt> = Vec::new();
    let mut last = None;
    while let Some(row) = rows.next().map_err(of)? {
        let id: i64 = row.get(0).map_err(of)?;
        if last != Some(id) {
            last = Some(id);
            all.push(Attempt::new(start(row, id)?));
        }
        let kind: Option<String> = row.get(8).map_err(of)?;
        if let (Some(attempt), Some(kind)) = (all.last_mut(), kind) {
            let value: Option<u32> = row.get(9).map_err(of)?;
            let event = match (kind.as_str(), value) {
                ("rung", Some(rung)) => {
                    Event::Rung(rung.min(u32::from(super::attempt::RUNGS)) as u8)
                }
                ("turned", _) => Event::Turned,
                ("slip", number) => Event::Slip(number.and_then(slip_numbered)),
                ("solved", turns) => Event::Solved { turns },
                _ => {
                    return Err(Cause::Damaged(format!(
                        "attempt {id}: unknown event \"{kind}\""
                    )));
                }
            };
            attempt.take(row.get(7).map_err(of)?, event);
        }
    }
    Ok(all)
}

/// A part that a later program wrote otherwise is left out.
fn paces(db: &Connection) -> Result<Vec<Pace>, Cause> {
    let of = |error: rusqlite::Error| Cause::of(&error);
    if version(db).map_err(of)? < 2 {
        return Ok(Vec::new());
    }
    let mut rows = db
        .prepare("SELECT told FROM part ORDER BY id")
        .map_err(of)?;
    let all = rows
        .query_map([], |row| row.get::<_, String>(0))
        .map_err(of)?
        .collect::<rusqlite::Result<Vec<String>>>()
        .map_err(of)?;
    let paces = all.iter().map(|told| serde_json::from_str(told));
    Ok(paces.filter_map(Result::ok).collect())
}

/// The number by which a kind of slip is written.
fn slip_number(kind: SlipKind) -> u32 {
    let at = SlipKind::ALL.iter().position(|one| *one == kind);
    at.unwrap_or_default() as u32
}

fn slip_numbered(number: u32) -> Option<SlipKind> {
    SlipKind::ALL.get(number as usize).copied()
}

fn start(row: &rusqlite::Row<'_>, id: i64) -> Result<Start, Cause> {
    let of = |error: rusqlite::Error| Cause::of(&error);
    let text = |column: usize| row.get::<_, String>(column).map_err(of);
    let (situation, cross, slot) = (text(2)?, text(3)?, text(4)?);
    let unknown =
        |what: &str, name: &str| Cause::Damaged(format!("attempt {id}: unknown {what} \"{name}\""));
    let colour = Colour::ALL.into_iter().find(|c| c.name() == cross);
    let cross = colour.ok_or_else(|| unknown("colour", &cross))?;
    Ok(Start {
        when: row.get(1).map_err(of)?,
        situation: Situation::named(&situation).ok_or_else(|| unknown("situation", &situation))?,
        cross,
        slot: Slot::named(&slot, cross).ok_or_else(|| unknown("slot", &slot))?,
        best: row.get(5).map_err(of)?,
        drill: row.get(6).map_err(of)?,
    })
}

fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}

/// A file that nobody writes, as SQLite's URI names it.
fn unchanging(path: &Path) -> String {
    let full = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
    let name = full.to_string_lossy().replace('\\', "/");
    let name = name
        .replace('%', "%25")
        .replace('?', "%3f")
        .replace('#', "%23");
    let root = if name.starts_with('/') { "" } else { "/" };
    format!("file:{root}{name}?immutable=1")
}

impl Cause {
    fn of(error: &rusqlite::Error) -> Cause {
        // The memory that programs share lies in a file, which a full disk keeps from growing.
        if error.sqlite_extended_error_code() == Some(rusqlite::ffi::SQLITE_IOERR_SHMSIZE) {
            return Cause::Full;
        }
        match error.sqlite_error_code() {
            Some(ErrorCode::NotADatabase) => Cause::NotAJournal,
            Some(ErrorCode::DatabaseCorrupt) => Cause::Damaged(error.to_string()),
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Cause::Locked,
            Some(ErrorCode::DiskFull) => Cause::Full,
            Some(ErrorCode::CannotOpen) => {
                Cause::Unusable("it cannot be opened, or made there".into())
            }
            Some(ErrorCode::ReadOnly) => Cause::Unusable("it cannot be written".into()),
            Some(_) => Cause::Unusable(error.to_string()),
            None => Cause::Damaged(error.to_string()),
        }
    }
}

impl From<Fault> for Cause {
    fn from(fault: Fault) -> Cause {
        match fault {
            Fault::NotAFile => Cause::NotAFile,
            Fault::Io(error) if error.kind() == io::ErrorKind::StorageFull => Cause::Full,
            fault => Cause::Unusable(fault.to_string()),
        }
    }
}

impl JournalError {
    /// What to do next.
    pub fn remedy(&self) -> &'static str {
        match self.cause {
            Cause::NotAFile | Cause::NotAJournal => {
                "give a journal of this program, or the name of a new file"
            }
            Cause::Damaged(_) => "put it aside and begin a new one, or bring back a copy of it",
            Cause::Newer(_) => "use a newer version of this program, or another file",
            Cause::Locked => "end the other program that uses it",
            Cause::Full => "make room on the disk",
            Cause::Unusable(_) => "give a file that can be read and written with --journal FILE",
        }
    }

    /// What is wrong may end while the program runs, so that it is worth trying again.
    pub fn may_pass(&self) -> bool {
        matches!(self.cause, Cause::Locked | Cause::Full | Cause::Unusable(_))
    }

    pub(super) fn is_lock(&self) -> bool {
        self.cause == Cause::Locked
    }
}

impl fmt::Display for JournalError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let path = shown(&self.path);
        match &self.cause {
            Cause::NotAFile => write!(f, "{path}: not a file"),
            Cause::NotAJournal => write!(f, "{path}: not a journal"),
            Cause::Damaged(how) => write!(
                f,
                "{path}: a damaged journal: {}",
                printable_within(how, MOST_QUOTED)
            ),
            Cause::Newer(version) => {
                write!(
                    f,
                    "{path}: a journal of version {version}; this program knows {VERSION}"
                )
            }
            Cause::Locked => write!(f, "{path}: another program is writing it"),
            Cause::Full => write!(f, "{path}: the disk is full"),
            Cause::Unusable(why) => write!(f, "{path}: {why}"),
        }
    }
}

impl std::error::Error for JournalError {}

#[cfg(test)]
mod tests {
    use rusqlite::ffi;

    use super::*;

    /// A journal on a full disk was told of as "disk I/O error", with the advice to name another file.
    #[test]
    fn a_full_disk_is_told_as_such_whatever_it_keeps_from_growing() {
        for code in [ffi::SQLITE_FULL, ffi::SQLITE_IOERR_SHMSIZE] {
            let error = rusqlite::Error::SqliteFailure(ffi::Error::new(code), None);
            assert_eq!(Cause::of(&error), Cause::Full, "{code}");
        }
        let other = rusqlite::Error::SqliteFailure(ffi::Error::new(ffi::SQLITE_IOERR_READ), None);
        assert_ne!(Cause::of(&other), Cause::Full);
    }
}
