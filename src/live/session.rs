//! The learner's session: looks in, events out.
//!
//! What is known is one state and the hint given for it. A new showing is compared with the few states that may follow
//! (along the route, slips, nothing done); only where none of them explains what is seen is the cube read anew. Nothing
//! is said of a state until it is sure, and then it is said once a showing.

use super::event::{Event, Holding, Kind, Seen, Timed};
use super::hindrance::{hindrance, unfound};
use super::known::{Candidate, Known, Meaning};
use super::labelled;
use super::photographs::Photographs;
use super::showing::Showing;
use super::steady::Steady;
use crate::colour::Model;
use crate::cube::{Colour, Cube, Held, Moves, Net};
use crate::read::{LookReading, Outcome, Reader, Reading};
use crate::sight::Look;
use crate::solve::Slot;

/// Seconds without any face after which the cube has left the picture. Shorter: a missed frame ends a showing and repeats
/// a hint; longer: a quick second showing is taken for the first.
const LEFT: f64 = 0.45;

/// Seconds between two frames in which nobody looked: the camera was gone or stood still. A stream whose frames always lie so
/// far apart is too slow for anything to hold still in it.
const UNWATCHED: f64 = 0.5;

/// Seconds unwatched after which what was seen of the cube before is forgotten: it may have been turned meanwhile.
const FORGOTTEN: f64 = 60.0;

/// Seconds since the last new view, without an answer, after which more is asked for: time to turn the cube over.
const PATIENCE: f64 = 2.5;

/// Seconds for which pictures must show no face, and the same kind of fault or another, before that is said.
const UNFOUND_FOR: f64 = 1.0;

/// Stickers of a still view that must contradict the known state before it counts as changed.
const CHANGED: usize = 3;

/// Follows one learner.
pub struct Session {
    reader: Reader,
    cross: Option<Colour>,
    steady: Steady,
    showing: Option<Showing>,
    known: Option<Known>,
    /// The last reading, whatever came of it: what the screen shows.
    reading: Option<Reading>,
    /// The last still view and what was read on it.
    view: Option<(Look, LookReading)>,
    /// Faces told of in this showing.
    saw: Vec<Colour>,
    mirror_told: bool,
    /// The reader goes by a profile, the user's or this session's own.
    calibrated: bool,
    photographs: Photographs,
    /// What the pictures show is not for this session at present.
    resting: bool,
    /// What was last said to make the cube hard to see.
    hindrance: Option<(Seen, &'static str)>,
    /// Since when pictures show faults instead of faces, seconds.
    unfound_since: Option<f64>,
    out: Vec<Timed>,
    now: f64,
    lesson: Option<Lesson>,
    /// How often what is practised was done.
    rounds: usize,
    /// What brings the cube into the situation to practise, while it does not lie so.
    set_up: Option<SetUp>,
}

/// What is to be done with a cube that was read, where something is to be practised.
pub enum Task {
    /// The pair of this slot on this cross is the one to do now.
    Pair(Colour, Slot),
    /// First the cube is to be brought into a situation; it is read anew after that.
    SetUp(SetUp),
}

/// What brings a cube into the situation to practise.
#[derive(Clone, Debug)]
pub struct SetUp {
    /// The cube as it lies now, in the hold from which the turns are made.
    pub held: Held,
    /// None where no turns lead there.
    pub moves: Moves,
    /// What to do, in one sentence.
    pub sentence: String,
    /// What for.
    pub why: String,
    /// All of it, the turns in words and in notation.
    pub text: String,
}

/// Says what is to be done with a cube that was read, where what is practised was done so often before.
pub type Lesson = Box<dyn Fn(&Cube, usize) -> Task>;

impl Session {
    /// A session that reads with `reader` and builds `cross`, or the cross that suits the cube.
    pub fn new(reader: Reader, cross: Option<Colour>) -> Self {
        let (_, calibrated) = reader.model();
        Session {
            reader,
            cross,
            steady: Steady::new(),
            showing: None,
            known: None,
            reading: None,
            view: None,
            saw: Vec::new(),
            mirror_told: false,
            calibrated,
            photographs: Photographs::default(),
            resting: false,
            hindrance: None,
            unfound_since: None,
            out: Vec::new(),
            now: 0.0,
            lesson: None,
            rounds: 0,
            set_up: None,
        }
    }

    /// The same session with something to practise, from a cube that lies as `set_up` says or as it will be read.
    pub fn with_lesson(self, lesson: Lesson, set_up: SetUp) -> Self {
        Session {
            lesson: Some(lesson),
            set_up: Some(set_up),
            ..self
        }
    }

    /// What brings the cube into the situation to practise, while it does not lie so.
    pub fn set_up(&self) -> Option<&SetUp> {
        self.set_up.as_ref()
    }

    /// Reads by other colours from now on. What is known of the cube stays.
    pub fn read_by(&mut self, reader: Reader) {
        (_, self.calibrated) = reader.model();
        self.reader = reader;
    }

    /// Takes the colours of the cube as it is read now as those of this session, as if there were no profile; where it is
    /// not read for sure, of the next that is.
    pub fn relearn(&mut self) {
        self.calibrated = false;
        if let Some(showing) = self.showing.take() {
            self.learn_late(&showing);
            self.showing = Some(showing);
        }
    }

    /// Whether it reads by colours that are known: a profile's, or those of a cube that was read for sure.
    pub fn knows_colours(&self) -> bool {
        self.calibrated
    }

    /// The colours that it reads by.
    pub fn colours(&self) -> &Model {
        self.reader.model().0
    }

    /// Looks away from now on, or looks again: another cube may be shown meanwhile. What is known stays.
    pub fn rest(&mut self, resting: bool) {
        if resting && !self.resting {
            self.left();
            self.steady = Steady::new();
        }
        self.resting = resting;
    }

    /// The state and hint as they are known now.
    pub fn known(&self) -> Option<&Known> {
        self.known.as_ref()
    }

    /// The last reading of this showing.
    pub fn reading(&self) -> Option<&Reading> {
        self.reading.as_ref()
    }

    /// The last view that held still, with what was read on it.
    pub fn view(&self) -> Option<(&Look, &LookReading)> {
        self.view.as_ref().map(|(look, reading)| (look, reading))
    }

    /// The centres seen so far in this showing.
    pub fn saw(&self) -> &[Colour] {
        &self.saw
    }

    /// Whether the state has been told in this showing.
    pub fn settled(&self) -> bool {
        self.showing.as_ref().is_some_and(|showing| showing.settled)
    }

    /// Takes what one frame shows, `t` seconds into the stream, and gives what is to be told.
    pub fn see(&mut self, t: f64, look: &Look) -> Vec<Timed> {
        if self.resting {
            return Vec::new();
        }
        self.bridge(t - self.now);
        self.now = t;
        self.photographs.add(look);
        if let Some(still) = self.steady.step(t, look) {
            self.evidence(still);
        }
        match (&mut self.showing, look.faces.is_empty()) {
            (Some(showing), false) => showing.seen = t,
            (None, false) => self.showing = Some(Showing::from(t)),
            (Some(showing), true) if t - showing.seen > LEFT => self.left(),
            _ => {}
        }
        self.tell_unfound(look);
        self.patience();
        std::mem::take(&mut self.out)
    }

    /// While no frames come nobody sees whether the cube is taken away, so the showing goes on after them. Its clock stands.
    fn bridge(&mut self, seconds: f64) {
        if seconds > FORGOTTEN {
            self.left();
        } else if seconds > UNWATCHED
            && let Some(showing) = &mut self.showing
        {
            showing.interrupt(seconds);
        }
    }

    /// Ends the stream.
    pub fn end(&mut self) -> Vec<Timed> {
        self.read_photographs();
        self.left();
        self.tell(Event::End {});
        std::mem::take(&mut self.out)
    }

    /// At the end of the stream, reads the photographs where nothing ever held still.
    fn read_photographs(&mut self) {
        let looks = match self.photographs.take() {
            Ok(looks) if looks.is_empty() => return,
            Ok(looks) => looks,
            Err(too_many) => {
                return self.tell(Event::Ask {
                    show: Vec::new(),
                    text: too_many.say(),
                });
            }
        };
        let mut showing = Showing::from(self.now);
        let mut at = 0;
        for look in looks {
            at = showing.add(self.now, look);
        }
        self.settle(&mut showing, at);
    }

    fn tell(&mut self, event: Event) {
        self.out.push(Timed::new(self.now, event));
    }

    fn left(&mut self) {
        self.showing = None;
        self.saw.clear();
        self.reading = None;
    }

    fn evidence(&mut self, still: Look) {
        self.photographs.held_still();
        let now = self.now;
        let mut showing = self.showing.take().unwrap_or_else(|| Showing::from(now));
        let at = showing.add(now, still);
        if showing.settled {
            self.watch(&mut showing);
        }
        if showing.settled {
            self.learn_late(&showing);
        } else {
            self.settle(&mut showing, at);
        }
        self.showing = Some(showing);
    }

    /// After the state has been told: notices that it changed in view.
    fn watch(&mut self, showing: &mut Showing) {
        let (Some(known), Some(newest)) = (&self.known, showing.looks().last()) else {
            return;
        };
        let scores = self
            .reader
            .score_candidates(&[known.cube()], std::slice::from_ref(newest));
        if scores.iter().any(|score| score.contradictions >= CHANGED) {
            showing.restart(self.now);
        }
    }

    /// Tells the state where the looks settle it; `at` is the newest of them.
    fn settle(&mut self, showing: &mut Showing, mut at: usize) {
        let mut reading = self.read(showing.looks());
        if reading.outcome == Outcome::Impossible
            && let Some(forgotten) = showing.forget_before(self.now)
        {
            // It was turned while nobody looked.
            self.saw.clear();
            at -= forgotten;
            reading = self.read(showing.looks());
        }
        self.tell_seen(&reading);
        self.view = reading
            .looks
            .get(at)
            .map(|told| (showing.looks()[at].clone(), told.clone()));
        let state = match (self.candidate(showing.looks()), reading.cube) {
            // The candidates are few; a reading of all faces that says otherwise means that more must be seen.
            (Some(candidate), Some(cube)) if candidate.cube != cube => None,
            (Some(candidate), _) => Some((candidate.cube, Some(candidate.meaning))),
            (None, Some(cube)) => Some((
                cube,
                self.known
                    .as_ref()
                    .and_then(|known| known.meaning_of(&cube)),
            )),
            (None, None) => None,
        };
        if let Some((cube, meaning)) = state {
            showing.settled = true;
            self.hindrance = None;
            if let (None, Some(unlike), Some(net)) = (&meaning, reading.scheme.say(), reading.net) {
                // Hints speak of colours by their places in the usual scheme.
                self.tell(Event::Read {
                    net,
                    text: format!(
                        "I know your cube, but I can only coach cubes of the usual colours: {unlike}."
                    ),
                });
                self.reading = Some(reading);
                return;
            }
            if reading.cube == Some(cube) {
                self.learn(showing.looks(), &mut reading);
            }
            match meaning {
                Some(meaning) => self.met(meaning),
                None => self.start(cube),
            }
        } else if reading.outcome == Outcome::Impossible
            && showing.looks().len() >= 2
            && !showing.faulted
        {
            showing.faulted = true;
            self.tell(Event::Trouble {
                kind: Kind::Seen(Seen::ImpossibleCube),
                text: reading.say.clone(),
            });
        }
        self.reading = Some(reading);
    }

    fn read(&mut self, looks: &[Look]) -> Reading {
        self.reader.clear();
        looks.iter().for_each(|look| self.reader.add(look.clone()));
        self.reader.read()
    }

    /// Where the state was told before all of the cube was seen, takes the colours once it is.
    fn learn_late(&mut self, showing: &Showing) {
        if self.calibrated || !showing.settled {
            return;
        }
        let mut reading = self.read(showing.looks());
        self.tell_seen(&reading);
        if reading.cube.is_some() && reading.cube == self.known.as_ref().map(Known::cube) {
            self.learn(showing.looks(), &mut reading);
        }
        self.reading = Some(reading);
    }

    /// Without a profile, takes the colours of a cube that was read for sure as those of this session.
    fn learn(&mut self, looks: &[Look], reading: &mut Reading) {
        if self.calibrated {
            return;
        }
        if let Ok(profile) = labelled::profile("session", looks, reading, true) {
            self.reader = Reader::new(Some(&profile));
            self.calibrated = true;
            // It compares the light with colours that are no longer in use.
            reading.light = None;
        }
    }

    /// What the looks mean after the last hint, where they mean one thing for sure.
    fn candidate(&self, looks: &[Look]) -> Option<Candidate> {
        self.known.as_ref()?.seen(&self.reader, looks)
    }

    /// Tells what a state means after the last hint, and the next hint.
    fn met(&mut self, meaning: Meaning) {
        let Some(known) = &mut self.known else { return };
        match meaning {
            Meaning::Same(_) => known.climb(),
            Meaning::Done(cube) => {
                let (text, shorter) = (known.praise(&cube), known.shorter(&cube));
                let cross = known.held().hold.down();
                self.rounds += 1;
                self.take_up(cube, Some(cross));
                self.tell(Event::Followed {
                    net: Net::of(&cube),
                    text,
                    shorter,
                });
            }
            Meaning::OnTheWay(likely) => known.moved_to(likely),
            Meaning::Slip(likely) => {
                let slip = likely.slip.clone().map(|slip| (slip.did, slip.meant));
                let (did, meant) = slip.unwrap_or_default();
                let event = Event::Slip {
                    net: Net::of(&likely.cube),
                    did,
                    meant,
                    undo: likely.undo.clone(),
                    text: likely.say(),
                };
                known.moved_to(likely);
                return self.tell(event);
            }
        }
        self.hint();
    }

    /// Tells a state that was read afresh, and the first hint for it.
    fn start(&mut self, cube: Cube) {
        let mut text = String::from(match &self.known {
            None => "I know your cube now.",
            Some(_) => "The cube is in another state than I expected. I know it now.",
        });
        self.take_up(cube, self.cross);
        if let Some(set_up) = &self.set_up {
            text = format!("I know your cube now. {}", set_up.text);
        }
        self.tell(Event::Read {
            net: Net::of(&cube),
            text,
        });
        self.hint();
    }

    /// Takes a state as the one to go on from, with `cross` where there is no lesson.
    fn take_up(&mut self, cube: Cube, cross: Option<Colour>) {
        let task = self
            .lesson
            .as_ref()
            .map(|lesson| lesson(&cube, self.rounds));
        (self.known, self.set_up) = match task {
            None => (Some(Known::new(cube, cross)), None),
            Some(Task::Pair(cross, slot)) => (Some(Known::practising(cube, cross, slot)), None),
            Some(Task::SetUp(set_up)) => (None, Some(set_up)),
        };
    }

    fn hint(&mut self) {
        let Some(known) = &self.known else { return };
        let hold = known.held().hold;
        let event = Event::Hint {
            level: known.level(),
            text: known.text(),
            moves: known.moves(),
            slot: known.advice().next.clone(),
            hold: Holding {
                down: hold.down(),
                front: hold.front(),
            },
        };
        self.tell(event);
    }

    fn tell_seen(&mut self, reading: &Reading) {
        let before = self.saw.len();
        for face in reading.looks.iter().flat_map(|look| &look.faces) {
            if !self.saw.contains(&face.centre) {
                self.saw.push(face.centre);
            }
        }
        if self.saw.len() > before {
            self.tell(Event::Saw {
                faces: self.saw.clone(),
            });
        }
        if reading.looks.iter().any(|look| look.mirrored) && !self.mirror_told {
            self.mirror_told = true;
            self.tell(Event::Trouble {
                kind: Kind::Seen(Seen::Mirrored),
                text: "The camera's picture is mirrored. I read it the right way round.".into(),
            });
        }
    }

    /// Says what pictures show instead of a cube, when they have shown it for a while.
    fn tell_unfound(&mut self, look: &Look) {
        let Some(fault) = look.frame else {
            self.unfound_since = None;
            return;
        };
        let since = *self.unfound_since.get_or_insert(self.now);
        if self.now - since >= UNFOUND_FOR {
            self.tell_hindrance(Some(unfound(fault)));
        }
    }

    /// Says what makes the cube hard to see, where that is not what was last said.
    fn tell_hindrance(&mut self, hindrance: Option<(Seen, &'static str)>) {
        if hindrance == self.hindrance {
            return;
        }
        self.hindrance = hindrance;
        if let Some((kind, text)) = hindrance {
            self.tell(Event::Trouble {
                kind: Kind::Seen(kind),
                text: text.into(),
            });
        }
    }

    /// Asks for more where what was seen does not settle the state, once for each new view, and says what makes it hard.
    fn patience(&mut self) {
        let now = self.now;
        let Some(showing) = &mut self.showing else {
            return;
        };
        if showing.settled
            || showing.asked_at >= showing.new_view_at
            || showing.looks().is_empty()
            || now - showing.new_view_at < PATIENCE
        {
            return;
        }
        // What tells the few states apart that may follow the hint, else what the whole cube needs.
        let follows = |known: &Known| known.ask(&self.reader, showing.looks(), &self.saw);
        let reads = || {
            self.reading
                .as_ref()
                .and_then(|reading| reading.ask.clone())
        };
        let Some(ask) = self.known.as_ref().and_then(follows).or_else(reads) else {
            return;
        };
        showing.asked_at = now;
        let hindrance = hindrance(showing.looks());
        let event = Event::Ask {
            show: ask.show,
            text: ask.say,
        };
        self.tell(event);
        self.tell_hindrance(hindrance);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sight::FrameFault;

    /// The times at which a frame's fault is told of, of looks ten a second that show it or nothing.
    fn told(looks: impl Iterator<Item = bool>) -> Vec<f64> {
        let mut session = Session::new(Reader::new(None), None);
        let mut told = Vec::new();
        for (frame, is_dark) in looks.enumerate() {
            let look = Look {
                size: (640, 480),
                frame: is_dark.then_some(FrameFault::Dark),
                ..Look::default()
            };
            for Timed { t, event } in session.see(frame as f64 / 10.0, &look) {
                match event {
                    Event::Trouble { kind, .. } => {
                        assert_eq!(kind, Kind::Seen(Seen::Dark));
                        told.push(t);
                    }
                    other => panic!("{other:?}"),
                }
            }
        }
        told
    }

    #[test]
    fn a_frame_that_shows_nothing_for_a_while_is_told_of_once_and_a_short_fault_is_not() {
        assert_eq!(told([true; 40].into_iter()), [1.0]);
        assert_eq!(told((0..40).map(|frame| frame % 9 != 8)), [0.0; 0]);
        assert_eq!(told([false; 40].into_iter()), [0.0; 0]);
    }
}
