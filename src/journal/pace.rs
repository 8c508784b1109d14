//! Where the time of a solve went: for each part of it the seconds of looking and of turning.

use serde::{Deserialize, Serialize};

use crate::cube::Net;

/// One part of a solve: the cross, a pair, or the last layer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pace {
    /// When the solve began, seconds since 1970, UTC.
    pub solve: i64,
    /// `cross`, the slots by name, or `last layer`.
    pub part: String,
    /// Seconds from the part's beginning to its first turn, and of pauses between turns.
    pub looking: f64,
    /// Seconds of turning.
    pub turning: f64,
    pub turns: u32,
    /// The fewest that would do, where the coach knew.
    pub fewest: Option<u32>,
    /// Turns of the whole cube.
    pub rotations: u32,
    /// Pauses between turns.
    pub pauses: u32,
    /// The longest time without a turn, seconds, and the cube as it was then.
    pub longest_look: f64,
    pub looked_at: Option<Net>,
    /// When that look began, seconds of the stream.
    pub look_began: f64,
    /// Every turn was seen; else the parts of the time are a guess.
    pub watched: bool,
}

/// The name of the cross as a part.
pub const CROSS: &str = "cross";

impl Pace {
    /// Whether it is of a pair, each turn of which was seen.
    pub fn is_timed_pair(&self) -> bool {
        // A slot's name has two colours.
        self.watched && self.part.contains('-')
    }
}

/// The parts of the last solve.
pub fn last_solve(paces: &[Pace]) -> &[Pace] {
    let Some(last) = paces.last() else { return &[] };
    let first = paces.iter().rposition(|pace| pace.solve != last.solve);
    &paces[first.map_or(0, |at| at + 1)..]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::coach::follow::SlipKind;
    use crate::journal::testing::{attempt, placed};
    use crate::journal::{Event, Journal};

    fn pace(solve: i64, part: &str) -> Pace {
        Pace {
            solve,
            part: part.into(),
            looking: 2.5,
            turning: 3.0,
            turns: 7,
            fewest: Some(6),
            rotations: 1,
            pauses: 1,
            longest_look: 1.5,
            looked_at: None,
            look_began: 0.0,
            watched: true,
        }
    }

    #[test]
    fn a_journal_of_the_first_version_goes_on_with_times_and_kinds_of_slips() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("journal.sqlite");
        let start = attempt(placed(3), 1, &[]).start;
        let first = Journal::open(&path).expect("new");
        let before = first.begin(&start).expect("room");
        first.note(before, 2.0, Event::Slip(None)).expect("room");
        drop(first);
        // As the first version made it.
        let db = rusqlite::Connection::open(&path).expect("a database");
        db.execute_batch(
            "ALTER TABLE event RENAME TO new;
             CREATE TABLE event (id INTEGER PRIMARY KEY, attempt INTEGER NOT NULL REFERENCES attempt (id), seconds REAL NOT NULL,
                 kind TEXT NOT NULL CHECK (kind IN ('rung', 'slip', 'solved')), value INTEGER) STRICT;
             INSERT INTO event SELECT * FROM new; DROP TABLE new; CREATE INDEX event_of ON event (attempt);
             DROP TABLE part; PRAGMA user_version = 1;",
        )
        .expect("room");
        drop(db);
        assert_eq!(Journal::paces(&path).expect("older"), []);
        assert_eq!(Journal::read(&path).expect("older")[0].slips, 1);

        let journal = Journal::open(&path).expect("older");
        let after = journal.begin(&start).expect("room");
        let slip = Event::Slip(Some(SlipKind::Direction));
        for (seconds, event) in [(1.5, Event::Turned), (2.0, slip)] {
            journal.note(after, seconds, event).expect("room");
        }
        let all = [pace(1, "cross"), pace(2, "cross"), pace(2, "green-red")];
        all.iter().for_each(|one| journal.pace(one).expect("room"));
        let kept = Journal::read(&path).expect("a journal");
        assert_eq!((kept[0].slips, kept[0].slip), (1, None));
        assert_eq!(
            (kept[1].looked, kept[1].slip),
            (Some(1.5), Some(SlipKind::Direction))
        );
        let paces = Journal::paces(&path).expect("a journal");
        assert_eq!(paces, all);
        assert_eq!(last_solve(&paces), &all[1..]);
    }
}
