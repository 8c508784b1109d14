//! Keeps what is practised while coaching goes on: turns the loop's events into a journal's.
//!
//! A journal that fails is told of once, on stderr; coaching goes on without it.

use std::io;
use std::path::PathBuf;

use super::args::KeepArgs;
use super::clock;
use super::outcome::print_aside;
use crate::cube::{Colour, Cube, Net, htm};
use crate::journal::{
    self, Attempt, AttemptId, Event as Noted, Journal, JournalError, Pace, Placed, Situation,
    Start, keep_pace, paces_of,
};
use crate::live::{Event, Known, Listener, Moment, Session, Stopwatch, Timed};
use crate::solve::{Slot, SlotSet, cross_solved, pairs_solved};

/// Follows the loop and keeps each pair that is practised.
pub struct Recorder {
    journal: Option<Journal>,
    /// What was set up, when a drill was.
    drill: Option<Placed>,
    open: Option<Open>,
    /// Those that came to an end, oldest first.
    ended: Vec<Attempt>,
    /// Times the solve, and where that is kept.
    stopwatch: Stopwatch,
    paces: Option<PathBuf>,
}

/// The pair in hand.
struct Open {
    /// None where it could not be written.
    id: Option<AttemptId>,
    attempt: Attempt,
    /// Seconds of the stream.
    since: f64,
    /// The pairs that were solved before.
    before: SlotSet,
    /// Where the routes that the coach knows end, with their turns.
    ends: Vec<(Cube, usize)>,
    /// Turns made wrongly, and back.
    astray: usize,
}

/// Where practice is kept: the file asked for, or the user's own; none where it is not to be kept or cannot be.
pub fn place(keep: &KeepArgs) -> Option<PathBuf> {
    match &keep.journal {
        _ if keep.no_journal => None,
        Some(path) => Some(path.clone()),
        None => journal::default_path(),
    }
}

impl Recorder {
    /// A recorder on the journal asked for; `drill` is the situation that was set up. A replay is nobody's practice: it is
    /// kept only in a journal that was named.
    pub fn open(keep: &KeepArgs, drill: Option<Placed>, replay: bool) -> Recorder {
        let mut recorder = Recorder {
            journal: None,
            drill,
            open: None,
            ended: Vec::new(),
            stopwatch: Stopwatch::new(clock::now()),
            paces: None,
        };
        if let Some(path) = place(keep).filter(|_| !replay || keep.journal.is_some()) {
            recorder.journal = Journal::open(&path).map_err(|error| tell(&error)).ok();
            recorder.paces = recorder.journal.is_some().then(|| paces_of(&path));
        }
        recorder
    }

    /// The drill's attempts in which the pair was solved, oldest first.
    pub fn drilled(&self) -> impl Iterator<Item = &Attempt> {
        self.ended
            .iter()
            .filter(|attempt| attempt.start.drill && attempt.ended.is_some())
    }

    /// Takes one event; `known` is what the loop knows after it.
    pub fn take(&mut self, timed: &Timed, known: Option<&Known>) {
        if let Some(pace) = self.stopwatch.take(timed, known.and_then(fewest)) {
            self.keep(&pace);
        }
        match &timed.event {
            Event::Hint { level, .. } => match &self.open {
                Some(open) if *level > open.attempt.rung => self.note(timed.t, Noted::Rung(*level)),
                Some(_) => {}
                None => self.begin(timed.t, known),
            },
            Event::Slip { undo, .. } => {
                if let Some(open) = &mut self.open {
                    open.astray += 2 * htm(undo);
                }
                self.note(timed.t, Noted::Slip);
            }
            Event::Followed { net, .. } | Event::Read { net, .. } => self.end(timed.t, net),
            _ => {}
        }
    }

    fn keep(&mut self, pace: &Pace) {
        let Some(file) = &self.paces else { return };
        if let Err(error) = keep_pace(file, pace) {
            print_aside(format_args!(
                "pairsight: {}: {error}\nthe times of this solve are not kept; coaching goes on",
                file.display()
            ));
            self.paces = None;
        }
    }

    /// Begins the pair that the first hint is about.
    fn begin(&mut self, t: f64, known: Option<&Known>) {
        let Some((start, open)) = known.and_then(|known| self.begun(t, known)) else {
            return;
        };
        let id = self.write(|journal| journal.begin(&start));
        self.open = Some(Open { id, ..open });
    }

    fn begun(&self, t: f64, known: &Known) -> Option<(Start, Open)> {
        let held = known.held();
        let (cross, slot) = (held.hold.down(), known.slot()?);
        let situation = Situation::of(&held.cube, cross, slot)?;
        let pairs = known.advice().pairs.iter().flatten();
        let routes = pairs
            .filter(|pair| pair.slot == slot.name(cross))
            .flat_map(|pair| &pair.routes);
        let ends: Vec<(Cube, usize)> = routes
            .map(|route| (held.after(&route.moves).cube, route.turns))
            .collect();
        let best = ends.iter().map(|(_, turns)| *turns).min()?;
        let start = Start {
            when: clock::now(),
            situation,
            cross,
            slot,
            best: best as u32,
            drill: self.drill.map(Situation::Placed) == Some(situation),
        };
        let open = Open {
            id: None,
            attempt: Attempt::new(start),
            since: t,
            before: pairs_solved(&held.cube, cross),
            ends,
            astray: 0,
        };
        Some((start, open))
    }

    fn note(&mut self, t: f64, event: Noted) {
        let Some(open) = &mut self.open else { return };
        let seconds = (t - open.since).max(0.0);
        open.attempt.take(seconds, event);
        if let Some(id) = open.id {
            self.write(|journal| journal.note(id, seconds, event));
        }
    }

    /// Ends the pair in hand with the state that was seen, solved or left.
    fn end(&mut self, t: f64, net: &Net) {
        if let (Some(open), Ok(cube)) = (&self.open, net.to_cube()) {
            let Start { cross, slot, .. } = open.attempt.start;
            if is_solved(&cube, cross, slot, open.before) {
                let by = open.ends.iter().filter(|(end, _)| *end == cube);
                let turns = by.map(|(_, turns)| (turns + open.astray) as u32).min();
                self.note(t, Noted::Solved { turns });
            }
        }
        self.ended.extend(self.open.take().map(|open| open.attempt));
    }

    /// Writes to the journal, while there is one.
    fn write<T>(&mut self, write: impl FnOnce(&Journal) -> Result<T, JournalError>) -> Option<T> {
        match write(self.journal.as_ref()?) {
            Ok(done) => Some(done),
            Err(error) => {
                tell(&error);
                self.journal = None;
                None
            }
        }
    }
}

/// The fewest turns of what is hinted at, as far as the coach knows.
pub fn fewest(known: &Known) -> Option<u32> {
    let routes = known.advice().routes().iter();
    routes.map(|route| route.turns as u32).min()
}

fn is_solved(cube: &Cube, cross: Colour, slot: Slot, before: SlotSet) -> bool {
    cross_solved(cube, cross) && before.with(slot).is_subset(pairs_solved(cube, cross))
}

fn tell(error: &JournalError) {
    print_aside(format_args!(
        "pairsight: {error}\nwhat is practised now is not kept; {}",
        error.remedy()
    ));
}

impl Listener for Recorder {
    fn hear(&mut self, moment: &mut Moment, session: &mut Session) -> io::Result<()> {
        for event in &moment.events {
            self.take(event, session.known());
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cube::{Moves, parse_moves};
    use crate::live::Holding;

    fn keep(path: Option<PathBuf>) -> KeepArgs {
        KeepArgs {
            no_journal: path.is_none(),
            journal: path,
        }
    }

    /// A cube on a yellow cross with one pair out, and what is known of it.
    fn known() -> Known {
        let moves = parse_moves("L' U L U2").expect("a legal sequence");
        Known::new(Cube::solved().after(&moves), Some(Colour::Yellow))
    }

    fn hint(known: &Known) -> Event {
        let hold = known.held().hold;
        Event::Hint {
            level: known.level(),
            text: String::new(),
            moves: Moves::default(),
            slot: None,
            hold: Holding {
                down: hold.down(),
                front: hold.front(),
            },
        }
    }

    fn slip(undo: &str) -> Event {
        Event::Slip {
            net: Net::of(&Cube::solved()),
            did: Moves::default(),
            meant: Moves::default(),
            undo: parse_moves(undo).map(Moves).expect("turns"),
            text: String::new(),
        }
    }

    fn followed(cube: &Cube) -> Event {
        Event::Followed {
            net: Net::of(cube),
            gained: Vec::new(),
            lost: Vec::new(),
            text: String::new(),
            shorter: None,
        }
    }

    fn heard(events: &[(f64, Event)], known: &Known, path: Option<PathBuf>) -> Recorder {
        let mut recorder = Recorder::open(&keep(path), None, false);
        for (t, event) in events {
            recorder.take(&Timed::new(*t, event.clone()), Some(known));
        }
        recorder
    }

    #[test]
    fn a_pair_that_is_followed_is_kept_with_rungs_slips_and_turns() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("journal.sqlite");
        let mut known = known();
        let goal = known.held().after(&known.moves()).cube;
        let turns = htm(&known.moves()) as u32;
        let first = (2.0, hint(&known));
        known.climb();
        let second = (5.0, hint(&known));
        let events = [first, second, (7.0, slip("U R2")), (9.5, followed(&goal))];
        let recorder = heard(&events, &known, Some(path.clone()));
        let kept = Journal::read(&path).expect("a journal");
        assert_eq!(kept, recorder.ended);
        let [attempt] = kept[..] else {
            panic!("{kept:?}")
        };
        assert_eq!(
            (attempt.rung, attempt.slips, attempt.start.drill),
            (2, 1, false)
        );
        let ended = attempt.ended.expect("solved");
        assert_eq!((ended.turns, ended.seconds), (Some(turns + 4), 7.5));
        assert!(attempt.start.best <= turns);
        assert_eq!(attempt.start.cross, Colour::Yellow);
    }

    #[test]
    fn a_pair_solved_in_another_way_counts_with_turns_unknown_and_another_state_leaves_it() {
        let known = known();
        let goal = known.held().after(&known.moves()).cube;
        let top = parse_moves("D").expect("a legal sequence");
        let read = |cube: &Cube| Event::Read {
            net: Net::of(cube),
            text: String::new(),
        };
        // The last layer, white, turned once more than any route turns it.
        let other = Cube::solved().after(&parse_moves("U").expect("a legal sequence"));
        let solved = heard(&[(0.0, hint(&known)), (4.0, read(&other))], &known, None);
        let ended = solved.ended[0].ended.expect("solved");
        assert_eq!(ended.turns, known_turns(&known, &other));
        let left = heard(
            &[(0.0, hint(&known)), (4.0, read(&goal.after(&top)))],
            &known,
            None,
        );
        assert_eq!(left.ended.len(), 1);
        assert_eq!(left.ended[0].ended, None);
    }

    fn known_turns(known: &Known, end: &Cube) -> Option<u32> {
        let pairs = known.advice().pairs.iter().flatten();
        let routes = pairs.flat_map(|pair| &pair.routes);
        let ends = routes.filter(|r| known.held().after(&r.moves).cube == *end);
        ends.map(|r| r.turns as u32).min()
    }

    #[test]
    fn a_journal_that_cannot_be_opened_stops_nothing() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("journal.sqlite");
        std::fs::write(&path, "no database").expect("room");
        let known = known();
        let goal = known.held().after(&known.moves()).cube;
        let recorder = heard(
            &[(0.0, hint(&known)), (1.0, followed(&goal))],
            &known,
            Some(path),
        );
        assert!(recorder.journal.is_none());
        assert!(recorder.ended[0].unhelped());
    }
}
