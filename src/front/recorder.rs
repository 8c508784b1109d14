//! Keeps what is practised while coaching goes on: turns the loop's events into a journal's.
//!
//! It listens before all others: an event is told and shown only when it is kept. Where the journal does not take it, the
//! event comes with the news of that, coaching goes on, and what waits is kept as soon as it can be.

use std::io;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use super::clock;
use super::outcome::print_aside;
use crate::coach::saying::PairName;
use crate::coach::{Doing, english};
use crate::cube::{Amount, Colour, Cube, Face, Move, Net, Scheme, Turn, htm};
use crate::journal::{
    Attempt, Event as Noted, JournalError, Keeper, Placed, Situation, Start, Ticket,
};
use crate::live::{Event, Kept, Kind, Known, Listener, Moment, Session, Stopwatch, Timed};
use crate::solve::{Slot, SlotSet, cross_solved, pairs_solved};

/// How long an event waits for another program's lock before it is told all the same. Nobody notices a tenth of a second;
/// a lock is mostly held for some thousandths.
const PATIENCE: Duration = Duration::from_millis(300);

/// How often what waits is tried again.
const AGAIN: Duration = Duration::from_secs(1);

/// How long the end of the program waits for the journal.
const LAST_PATIENCE: Duration = Duration::from_secs(10);

/// Follows the loop and keeps each pair that is practised.
pub struct Recorder {
    /// None where nothing is to be kept.
    keeper: Option<Keeper>,
    /// Why the journal did not take what it was given, and when that was last tried.
    behind: Option<(JournalError, Instant)>,
    /// What was found before anybody could be told.
    news: Option<Event>,
    /// What is set up in turn, when a drill is.
    drill: Vec<Placed>,
    open: Option<Open>,
    /// What was practised before, oldest first.
    before: Vec<Attempt>,
    /// The cube before it was brought into the situation to practise.
    set_up_from: Option<Cube>,
    /// Those that came to an end, oldest first.
    ended: Vec<Attempt>,
    /// Times the solve.
    stopwatch: Stopwatch,
    /// How the pair that was solved last was done.
    praise: Option<String>,
}

/// The pair in hand.
#[derive(Clone)]
struct Open {
    /// None where nothing is kept.
    ticket: Option<Ticket>,
    attempt: Attempt,
    /// Seconds of the stream.
    since: f64,
    /// The cube at the first hint, and the turns made since, as far as they were told.
    from: Cube,
    made: Vec<Turn>,
    /// The other pairs that may be solved in its place.
    others: Vec<Start>,
    /// The pairs that were solved before.
    before: SlotSet,
    /// Where the routes that the coach knows end, with their turns.
    ends: Vec<(Cube, usize)>,
    /// Turns made wrongly, and back.
    astray: usize,
}

impl Recorder {
    /// A recorder on the journal at `path`, or one that keeps nothing; `drill` are the situations that are set up, `before` is what was
    /// practised so far.
    pub fn open(path: Option<PathBuf>, drill: &[Placed], before: Vec<Attempt>) -> Recorder {
        let mut recorder = Recorder {
            keeper: path.map(Keeper::new),
            behind: None,
            news: None,
            drill: drill.to_vec(),
            open: None,
            before,
            set_up_from: None,
            ended: Vec::new(),
            stopwatch: Stopwatch::new(clock::now()),
            praise: None,
        };
        if !recorder.keep(PATIENCE) {
            recorder.news = recorder.not_kept(false);
        }
        recorder
    }

    /// Keeps what waits; says whether all is kept.
    fn keep(&mut self, patience: Duration) -> bool {
        let Some(keeper) = &mut self.keeper else {
            return true;
        };
        let kept = keeper.keep(patience);
        if let Err(error) = &kept
            && !error.may_pass()
        {
            self.keeper = None;
        }
        self.behind = kept.err().map(|error| (error, Instant::now()));
        self.behind.is_none()
    }

    /// Keeps what came of a moment and what waited before; gives what is to be told of it.
    fn keep_moment(&mut self, new: bool, ended: bool) -> Option<Event> {
        self.keeper.as_ref()?;
        let tried = self.behind.as_ref().map(|(_, tried)| *tried);
        if !new && tried.is_none() {
            return None;
        }
        // Nobody is kept waiting twice by one lock.
        let patience = match (ended, tried) {
            (true, _) => LAST_PATIENCE,
            (false, None) => PATIENCE,
            (false, Some(_)) => Duration::ZERO,
        };
        if !ended && !new && tried.is_some_and(|tried| tried.elapsed() < AGAIN) {
            return None;
        }
        match (self.keep(patience), tried) {
            (true, Some(_)) => Some(Event::Trouble {
                kind: Kind::Kept(Kept::KeptNow),
                text: "What you practised is kept in the journal now.".into(),
            }),
            (true, None) => None,
            (false, _) if new || ended => self.not_kept(ended),
            (false, _) => None,
        }
    }

    /// The news that the journal does not take what was practised.
    fn not_kept(&self, ended: bool) -> Option<Event> {
        let (error, _) = self.behind.as_ref()?;
        let (kind, so) = match error.may_pass() && !ended {
            true => (
                Kept::NotKeptYet,
                "what you practise is not kept yet; it is tried again and again",
            ),
            false => (Kept::NotKept, "what you practise now is not kept"),
        };
        Some(Event::Trouble {
            kind: Kind::Kept(kind),
            text: format!("{error}\n{so}\n{}", error.remedy()),
        })
    }

    /// The drill's attempts in which the pair was solved, oldest first.
    pub fn drilled(&self) -> impl Iterator<Item = &Attempt> {
        self.ended
            .iter()
            .filter(|attempt| attempt.start.drill && attempt.ended.is_some())
    }

    /// Takes one event; `known` is what the loop knows after it.
    pub fn take(&mut self, timed: &Timed, known: Option<&Known>) {
        if let Some(pace) = self.stopwatch.take(timed, known.and_then(fewest))
            && let Some(keeper) = &mut self.keeper
        {
            keeper.pace(pace);
        }
        match &timed.event {
            Event::Hint { level, .. } => {
                if self.open.is_none() {
                    self.begin(timed.t, known);
                }
                let given = self.open.as_ref().map(|open| open.attempt.rung);
                if given.is_some_and(|given| *level > given) {
                    self.note(timed.t, Noted::Rung(*level));
                }
            }
            // Kept by places, whatever colours the cube has there.
            Event::Turn {
                made, layer, net, ..
            } => {
                let scheme = Scheme::state(net).map_or(Scheme::USUAL, |(scheme, _)| scheme);
                self.turned(timed.t, made, scheme.face_of(*layer));
            }
            Event::Slip { undo, .. } => {
                if let Some(open) = &mut self.open {
                    open.astray += 2 * htm(undo);
                }
                let kind = known.and_then(Known::slip_kind);
                self.note(timed.t, Noted::Slip(kind));
            }
            Event::Followed { net, .. } | Event::Read { net, .. } => {
                self.end(timed.t, net);
                if known.is_none() {
                    self.set_up_from = state(net);
                }
            }
            _ => {}
        }
    }

    fn turned(&mut self, t: f64, made: &[Move], face: Face) {
        let Some(open) = &mut self.open else { return };
        let is_first = open.made.is_empty();
        let turns = made.iter().map(|m| Turn::new(face, m.amount()));
        open.made.extend(turns);
        if is_first {
            self.note(t, Noted::Turned);
        }
    }

    /// Begins the pair that the first hint is about.
    fn begin(&mut self, t: f64, known: Option<&Known>) {
        let begun = known.and_then(|known| self.begun(t, known));
        self.open = begun.map(|open| self.kept(open));
    }

    fn kept(&mut self, open: Open) -> Open {
        let start = open.attempt.start;
        let ticket = self.keeper.as_mut().map(|keeper| keeper.begin(start));
        Open { ticket, ..open }
    }

    fn begun(&self, t: f64, known: &Known) -> Option<Open> {
        let held = known.held();
        let (cross, own) = (held.hold.down(), known.slot()?);
        let (start, ends) = self.about(known, own)?;
        let others = Slot::ALL.into_iter().filter(|slot| *slot != own);
        Some(Open {
            ticket: None,
            attempt: Attempt::new(start),
            since: t,
            from: held.cube,
            made: Vec::new(),
            others: others
                .filter_map(|slot| Some(self.about(known, slot)?.0))
                .collect(),
            before: pairs_solved(&held.cube, cross),
            ends,
            astray: 0,
        })
    }

    /// How an attempt at the pair of a slot begins, and where the routes for it end; none where it is solved.
    fn about(&self, known: &Known, slot: Slot) -> Option<(Start, Vec<(Cube, usize)>)> {
        let held = known.held();
        let cross = held.hold.down();
        let situation = Situation::of(&held.cube, cross, slot)?;
        let pairs = known.advice().pairs.iter().flatten();
        let routes = pairs
            .filter(|pair| pair.slot == PairName { slot, cross })
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
            drill: self
                .drill
                .iter()
                .any(|placed| Situation::Placed(*placed) == situation),
        };
        Some((start, ends))
    }

    fn note(&mut self, t: f64, event: Noted) {
        let Some(open) = &mut self.open else { return };
        let seconds = (t - open.since).max(0.0);
        open.attempt.take(seconds, event);
        if let (Some(keeper), Some(ticket)) = (&mut self.keeper, open.ticket) {
            keeper.note(ticket, seconds, event);
        }
    }

    /// Ends the pair in hand with the state that was seen, solved or left. One that undoes the set-up is no attempt. Where another pair was solved in its place, that one was
    /// practised, without help: what was told is of the first.
    fn end(&mut self, t: f64, net: &Net) {
        let Some(open) = &self.open else { return };
        if let Some(cube) = state(net) {
            let Start { cross, slot, .. } = open.attempt.start;
            let is_solved = |slot| is_solved(&cube, cross, slot, open.before);
            if self.set_up_from == Some(cube) {
                self.open = None;
            } else if is_solved(slot) {
                let turns = open.turns_to(&cube);
                self.note(t, Noted::Solved { turns });
            } else if let Some(start) = open.others.iter().find(|start| is_solved(start.slot)) {
                self.end_other(t, *start, &cube);
            }
        }
        let Some(open) = self.open.take() else { return };
        self.praise = self.praise_of(&open.attempt);
        self.ended.push(open.attempt);
    }

    fn end_other(&mut self, t: f64, start: Start, cube: &Cube) {
        let Some(left) = self.open.take() else { return };
        let (since, looked) = (left.since, left.attempt.looked);
        let turns = left.turns_over(cube);
        let other = Open {
            attempt: Attempt::new(start),
            ..left.clone()
        };
        self.ended.push(left.attempt);
        self.open = Some(self.kept(other));
        if let Some(looked) = looked {
            self.note(since + looked, Noted::Turned);
        }
        self.note(t, Noted::Solved { turns });
    }

    /// What is good about how a pair was done; nothing where it was left.
    fn praise_of(&self, attempt: &Attempt) -> Option<String> {
        let turns = attempt.ended?.turns;
        let earlier = self.before.iter().chain(&self.ended).rev();
        let last_time = earlier
            .filter(|one| one.start.situation == attempt.start.situation)
            .find_map(|one| one.ended?.turns);
        let doing = Doing {
            rung: attempt.rung,
            slips: attempt.slips,
            turns,
            last_time,
        };
        let praise = doing.praise()?;
        Some(english::sentence(&praise.into()))
    }
}

impl Open {
    /// Turns made to a state, where every one of them was told.
    fn turns_over(&self, cube: &Cube) -> Option<u32> {
        let reached = self.made.iter().fold(self.from, |at, turn| at.apply(*turn));
        // Two quarters of one layer the same way are a half turn.
        let is_half = |pair: &&[Turn]| pair[0] == pair[1] && pair[0].amount != Amount::Half;
        let halves = self.made.windows(2).filter(is_half);
        (reached == *cube).then(|| (self.made.len() - halves.count()) as u32)
    }

    /// The same, or else those of the routes that end there, with what was made wrongly and taken back.
    fn turns_to(&self, cube: &Cube) -> Option<u32> {
        let by = self.ends.iter().filter(|(end, _)| end == cube);
        let by_route = by.map(|(_, turns)| (turns + self.astray) as u32).min();
        self.turns_over(cube).or(by_route)
    }
}

/// The fewest turns of what is hinted at, as far as the coach knows.
pub fn fewest(known: &Known) -> Option<u32> {
    let routes = known.advice().routes().iter();
    routes.map(|route| route.turns as u32).min()
}

fn state(net: &Net) -> Option<Cube> {
    Scheme::state(net).map(|(_, cube)| cube)
}

fn is_solved(cube: &Cube, cross: Colour, slot: Slot, before: SlotSet) -> bool {
    cross_solved(cube, cross) && before.with(slot).is_subset(pairs_solved(cube, cross))
}

impl Listener for Recorder {
    fn hear(&mut self, moment: &mut Moment, session: &mut Session) -> io::Result<()> {
        let waiting = |recorder: &Recorder| recorder.keeper.as_ref().map_or(0, Keeper::waiting);
        let before = waiting(self);
        for event in &moment.events {
            self.take(event, session.known());
        }
        let new = waiting(self) > before;
        moment.remark = self.praise.take();
        let kept = self.keep_moment(new, moment.ended);
        for news in self.news.take().into_iter().chain(kept) {
            // The end is told last.
            let events = &mut moment.events;
            let end = events.iter().position(|told| told.event == Event::End {});
            let at = end.unwrap_or(events.len());
            events.insert(at, Timed::new(moment.now, news));
        }
        Ok(())
    }
}

impl Drop for Recorder {
    /// A run that ends in the middle, as when nobody reads what it tells, keeps what it can.
    fn drop(&mut self) {
        if self
            .keeper
            .as_ref()
            .is_some_and(|keeper| keeper.waiting() > 0)
            && !self.keep(PATIENCE)
            && let Some((error, _)) = &self.behind
        {
            print_aside(format_args!(
                "pairsight: {error}\nwhat was practised last is not kept; {}",
                error.remedy()
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cube::{Moves, parse_moves};
    use crate::journal::Journal;
    use crate::live::Holding;

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
            way_back: true,
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
        let mut recorder = Recorder::open(path, &[], Vec::new());
        for (t, event) in events {
            recorder.take(&Timed::new(*t, event.clone()), Some(known));
            recorder.keep(Duration::ZERO);
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

    /// What is practised is kept by places: the same on cubes of all schemes.
    #[test]
    fn cubes_of_all_schemes_are_kept_alike() {
        let known = known();
        let (goal, moves) = (known.held().after(&known.moves()).cube, known.moves());
        let turned = known.held().hold.follow(&moves).0.into_iter();
        let ticks = turned.map(|turn| {
            let event = Event::Turn {
                made: Moves(vec![turn.into()]),
                layer: turn.face.home_colour(),
                sure: true,
                net: Net::of(&goal),
            };
            (3.0, event)
        });
        let events: Vec<(f64, Event)> = [(0.0, hint(&known))]
            .into_iter()
            .chain(ticks)
            .chain([(4.0, followed(&goal))])
            .collect();
        let kept = |scheme: Scheme| {
            let painted = events.iter().cloned();
            let painted = painted.map(|(t, event)| (t, event.in_scheme(scheme)));
            let recorder = heard(&painted.collect::<Vec<_>>(), &known, None);
            let [attempt] = recorder.ended[..] else {
                panic!("{:?}", recorder.ended)
            };
            (attempt.start.situation, attempt.ended, attempt.looked)
        };
        let usual = kept(Scheme::USUAL);
        assert!(
            usual
                .1
                .is_some_and(|ended| ended.turns == Some(htm(&moves) as u32))
        );
        for scheme in Scheme::all() {
            assert_eq!(kept(scheme), usual, "{scheme}");
        }
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
        assert!(recorder.keeper.is_none());
        let told = recorder.news.as_ref().map(|news| format!("{news:?}"));
        assert!(told.is_some_and(|told| told.contains("not a journal")));
        assert!(recorder.ended[0].unhelped());
    }
}
