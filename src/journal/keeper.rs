//! Practice on its way into a journal that may be locked by another program, on a full disk, or not there yet.
//!
//! What is noted is kept at once where that can be done. Where it cannot, it waits here, in order, and is kept together
//! with what follows as soon as the journal takes it: nothing is lost by a lock that ends before the run does.

use std::collections::HashMap;
use std::path::PathBuf;
use std::time::Duration;

use super::store::{AttemptId, Journal, JournalError};
use super::{Event, Pace, Start};

/// Keeps attempts in a journal, late where need be.
#[derive(Debug)]
pub struct Keeper {
    path: PathBuf,
    /// Open since it could be opened.
    journal: Option<Journal>,
    waiting: Vec<Entry>,
    begun: usize,
    /// Where attempts that are kept stand in the journal.
    rows: HashMap<Ticket, AttemptId>,
    /// The file can never be this program's journal, whatever is waited for.
    given_up: bool,
}

/// An attempt that was begun, kept or not.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Ticket(usize);

#[derive(Clone, Debug)]
enum Entry {
    Begun(Ticket, Start),
    Noted(Ticket, f64, Event),
    Paced(Pace),
}

impl Keeper {
    /// A keeper of the journal in this file. Nothing is opened or made before something is kept.
    pub fn new(path: PathBuf) -> Keeper {
        Keeper {
            path,
            journal: None,
            waiting: Vec::new(),
            begun: 0,
            rows: HashMap::new(),
            given_up: false,
        }
    }

    /// Notes that a pair is begun. [`Keeper::keep`] keeps it.
    pub fn begin(&mut self, start: Start) -> Ticket {
        self.begun += 1;
        let ticket = Ticket(self.begun);
        self.note_down(Entry::Begun(ticket, start));
        ticket
    }

    /// Notes what happened in an attempt, so many seconds after its start.
    pub fn note(&mut self, attempt: Ticket, seconds: f64, event: Event) {
        self.note_down(Entry::Noted(attempt, seconds, event));
    }

    /// Notes where the time of one part of a solve went.
    pub fn pace(&mut self, pace: Pace) {
        self.note_down(Entry::Paced(pace));
    }

    fn note_down(&mut self, entry: Entry) {
        if !self.given_up {
            self.waiting.push(entry);
        }
    }

    /// How many notes are not kept yet.
    pub fn waiting(&self) -> usize {
        self.waiting.len()
    }

    /// Keeps all that waits, or nothing of it, waiting for another program's lock for `patience`. Opens the journal where it is
    /// not open, so that it can be asked before the first note whether it can be.
    ///
    /// # Errors
    /// When it cannot be kept now. Where [`JournalError::may_pass`] says that it never will be, nothing waits any more.
    pub fn keep(&mut self, patience: Duration) -> Result<(), JournalError> {
        if self.given_up || (self.waiting.is_empty() && self.journal.is_some()) {
            return Ok(());
        }
        self.write(patience).inspect_err(|error| {
            if !error.may_pass() {
                self.given_up = true;
                self.waiting.clear();
            }
            if !error.is_lock() {
                // What was wrong may be with the open file; another may lie there by the next time.
                self.journal = None;
            }
        })
    }

    fn write(&mut self, patience: Duration) -> Result<(), JournalError> {
        let journal = match self.journal.take() {
            Some(journal) => journal,
            None => Journal::open_within(&self.path, patience)?,
        };
        let journal = self.journal.insert(journal);
        let rows = journal.together(patience, |journal| {
            let mut rows = self.rows.clone();
            for entry in &self.waiting {
                match entry {
                    Entry::Begun(ticket, start) => {
                        rows.insert(*ticket, journal.begin(start)?);
                    }
                    Entry::Noted(ticket, seconds, event) => {
                        // An attempt whose beginning was given up has no row.
                        if let Some(row) = rows.get(ticket) {
                            journal.note(*row, *seconds, *event)?;
                        }
                    }
                    Entry::Paced(pace) => journal.pace(pace)?,
                }
            }
            Ok(rows)
        })?;
        self.rows = rows;
        self.waiting.clear();
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use rusqlite::Connection;

    use super::*;
    use crate::journal::testing::placed;
    use crate::journal::{Attempt, Cause, Situation};

    fn start(when: i64) -> Start {
        Start {
            when,
            situation: Situation::Placed(placed(3)),
            ..crate::journal::testing::attempt(placed(3), when, &[]).start
        }
    }

    fn solved(keeper: &mut Keeper, when: i64) {
        let ticket = keeper.begin(start(when));
        keeper.note(ticket, 2.0, Event::Slip(None));
        keeper.note(ticket, 4.0, Event::Solved { turns: Some(7) });
    }

    fn kept(path: &std::path::Path) -> Vec<Attempt> {
        Journal::read(path).expect("a journal")
    }

    #[test]
    fn a_lock_held_for_long_delays_the_keeping_and_does_not_end_it() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("journal.sqlite");
        let mut keeper = Keeper::new(path.clone());
        solved(&mut keeper, 1);
        keeper.keep(Duration::ZERO).expect("nobody else is there");
        let other = Connection::open(&path).expect("a database");
        other.execute_batch("BEGIN IMMEDIATE").expect("a lock");
        for when in 2..5 {
            solved(&mut keeper, when);
            let error = keeper.keep(Duration::from_millis(20)).expect_err("locked");
            assert_eq!(error.cause, Cause::Locked);
            assert!(error.may_pass() && error.remedy().contains("other program"));
        }
        assert_eq!((keeper.waiting(), kept(&path).len()), (9, 1));
        other.execute_batch("ROLLBACK").expect("the lock ends");
        keeper.keep(Duration::ZERO).expect("free again");
        let whens: Vec<i64> = kept(&path).iter().map(|a| a.start.when).collect();
        assert_eq!((keeper.waiting(), whens), (0, vec![1, 2, 3, 4]));
        assert!(
            kept(&path)
                .iter()
                .all(|a| a.slips == 1 && a.ended.is_some())
        );
    }

    #[test]
    fn a_disk_that_was_full_takes_later_what_was_practised() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("journal.sqlite");
        let mut keeper = Keeper::new(path.clone());
        solved(&mut keeper, 1);
        keeper.keep(Duration::ZERO).expect("room");
        // SQLite's own limit on the size of a file stands for a full disk: it gives the same error.
        let journal = keeper.journal.as_ref().expect("open");
        let pages = journal.limit_pages(0);
        for when in 2..400 {
            solved(&mut keeper, when);
        }
        let error = keeper.keep(Duration::ZERO).expect_err("full");
        assert_eq!(error.cause, Cause::Full);
        assert!(error.remedy().contains("make room"), "{}", error.remedy());
        assert!(pages > 0 && kept(&path).len() == 1);
        // The limit went with the connection, as a full disk's may with other files.
        keeper.keep(Duration::ZERO).expect("room again");
        assert_eq!(kept(&path).len(), 399);
    }

    #[test]
    fn a_folder_that_comes_to_be_writable_is_tried_again() {
        let folder = tempfile::tempdir().expect("a folder");
        // A file where the folder should be.
        let place = folder.path().join("place");
        std::fs::write(&place, "").expect("room");
        let path = place.join("journal.sqlite");
        let mut keeper = Keeper::new(path.clone());
        solved(&mut keeper, 1);
        assert!(
            keeper
                .keep(Duration::ZERO)
                .expect_err("no folder")
                .may_pass()
        );
        std::fs::remove_file(&place).expect("own");
        keeper.keep(Duration::ZERO).expect("a folder is made");
        assert_eq!(kept(&path).len(), 1);
    }

    #[test]
    fn what_can_never_be_kept_is_told_once_and_does_not_pile_up() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("journal.sqlite");
        std::fs::write(&path, "no database, but a letter to a friend").expect("room");
        let mut keeper = Keeper::new(path.clone());
        solved(&mut keeper, 1);
        let error = keeper.keep(Duration::ZERO).expect_err("no journal");
        assert_eq!(error.cause, Cause::NotAJournal);
        assert!(!error.may_pass());
        solved(&mut keeper, 2);
        assert_eq!(keeper.waiting(), 0);
        keeper.keep(Duration::ZERO).expect("told already");
        assert!(
            std::fs::read_to_string(&path)
                .expect("still there")
                .contains("letter")
        );
    }
}
