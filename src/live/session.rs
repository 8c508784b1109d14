//! The learner's session: looks in, events out.
//!
//! A cube is read from views that hold still until its state is sure. From then on a [`Follower`] says after each frame what it has
//! become; only where it cannot is the cube read anew. What is said of it is the [`Prompter`]'s.

use std::{iter, slice};

use super::acts::Acts;
use super::english;
use super::event::{Event, Kind, Seen, Timed};
use super::follower::{Follower, Verdict};
use super::impairment::{Impairment, Undetected, impairment, undetected};
use super::known::{Known, Plan};
use super::labelled;
use super::posture::Posture;
use super::prompter::{Lesson, Prompter, SetUp};
use super::steady::ANNOUNCED;
use super::views::Views;
use crate::coach::Level;
use crate::colour::{Model, Profile};
use crate::cube::{Colour, Cube, Face, Hold, Scheme, Turn};
use crate::read::{LookReading, Outcome, Reader, Reading};
use crate::sight::Look;

/// Seconds since a face was last seen for the first time after which more is asked for: time to turn the cube over. Views of the
/// same faces don't put that off. Judgement.
const PATIENCE: f64 = 2.5;

/// Seconds after which it is asked for again, where what was shown since did not do: time to hear it and to show it. Judgement.
const ASK_AGAIN: f64 = 6.0;

/// Seconds after which a cube in the state that is known is taken to rest between turns. Judgement.
const AT_REST: f64 = 0.3;

/// Follows one learner.
pub struct Session {
    reader: Reader,
    views: Views,
    follower: Option<Follower>,
    prompter: Prompter,
    acts: Acts,
    /// The last reading, whatever came of it: what the screen shows.
    reading: Option<Reading>,
    /// The last still view and what was read on it.
    view: Option<(Look, LookReading)>,
    /// Faces told of in this track.
    saw: Vec<Colour>,
    /// Whether the pictures are mirrored, once a cube was read for sure.
    mirrored: Option<bool>,
    /// The reader goes by a profile, the user's or this session's own.
    calibrated: bool,
    /// What the pictures show is not for this session at present.
    resting: bool,
    /// What was last said to make the cube hard to see.
    impairment: Option<Impairment>,
    /// What pictures show instead of a cube.
    undetected: Undetected,
    /// How the cube is held before the camera, and which hold of these was last told of.
    posture: Posture,
    shown: Option<Hold>,
    /// By how many quarter turns about the upright axis that differs from how the learner holds it.
    aside: Option<usize>,
    /// It has come to rest since it last moved.
    still: bool,
    /// When the last turn was seen, seconds.
    turned_at: f64,
    out: Vec<Timed>,
    now: f64,
}

impl Session {
    /// A session that reads with `reader` and builds `cross`, or the cross that suits the cube.
    pub fn new(reader: Reader, cross: Option<Colour>) -> Self {
        let (_, calibrated) = reader.model();
        let mut prompter = Prompter::new(cross);
        prompter.take_scheme(reader.scheme());
        Session {
            reader,
            views: Views::default(),
            follower: None,
            prompter,
            acts: Acts::default(),
            reading: None,
            view: None,
            saw: Vec::new(),
            mirrored: None,
            calibrated,
            resting: false,
            impairment: None,
            undetected: Undetected::default(),
            posture: Posture::default(),
            shown: None,
            aside: None,
            still: false,
            turned_at: 0.0,
            out: Vec::new(),
            now: 0.0,
        }
    }

    /// The same session with something to practise, from a cube that lies as `set_up` says or as it will be read.
    pub fn with_lesson(self, lesson: Lesson, set_up: SetUp) -> Self {
        Session {
            prompter: self.prompter.with_lesson(lesson, set_up),
            ..self
        }
    }

    /// The same session at a level of coaching.
    pub fn at_level(mut self, level: Level) -> Self {
        let plan = Plan {
            level,
            ..self.prompter.plan()
        };
        self.prompter.coach(plan, &mut Vec::new());
        self
    }

    /// How the colours lie on the cube that is coached: what is known of it names colours by their places in the usual scheme.
    pub fn scheme(&self) -> Scheme {
        self.prompter.scheme()
    }

    /// What is coached.
    pub fn plan(&self) -> Plan {
        self.prompter.plan()
    }

    /// Coaches otherwise from now on, the cube that is known first.
    pub fn coach(&mut self, plan: Plan) {
        self.tell_by(|prompter, out| prompter.coach(plan, out));
    }

    /// Another pair than the one that is hinted at is to be done now.
    pub fn another_pair(&mut self) {
        self.tell_by(Prompter::another_pair);
    }

    /// More help is asked for.
    pub fn climb(&mut self) {
        self.tell_by(Prompter::climb);
    }

    /// Begins again with whatever cube is shown next.
    pub fn start_again(&mut self) {
        self.prompter.forget();
        self.follower = None;
        self.posture = Posture::default();
        (self.shown, self.aside) = (None, None);
        self.views.look_away();
        self.left();
    }

    /// Has something practised from now on, or nothing any more; the cube is shown anew.
    pub fn practise(&mut self, lesson: Option<(Lesson, SetUp)>) {
        self.start_again();
        self.prompter.practise(lesson);
    }

    /// The same session, each hint of which starts on this rung of the ladder, 0 to 4.
    pub fn on_rung(self, rung: u8) -> Self {
        Session {
            prompter: self.prompter.on_rung(rung),
            ..self
        }
    }

    /// What brings the cube into the situation to practise, while it does not lie so.
    pub fn set_up(&self) -> Option<&SetUp> {
        self.prompter.set_up()
    }

    /// Reads by a profile's colours from now on. What is known of the cube and the camera stays.
    pub fn read_by(&mut self, profile: &Profile) {
        self.reader = self.reader.by_profile(profile);
        if self.known().is_some() {
            self.take_scheme(self.scheme());
        }
        self.calibrated = true;
    }

    /// What is known of the camera: whether its pictures are mirrored.
    pub fn mirrors(&self) -> Option<bool> {
        self.reader.judge().known.mirrored
    }

    /// The learner has said whether the pictures are mirrored, or takes it back. The cube is read anew.
    pub fn take_mirrored(&mut self, mirrored: Option<bool>) {
        if mirrored == self.mirrors() {
            return;
        }
        self.reader.take_mirrored(mirrored);
        self.mirrored = None;
        self.start_again();
    }

    /// Reads and tells cubes of this scheme.
    fn take_scheme(&mut self, scheme: Scheme) {
        self.reader.take_scheme(scheme);
        self.prompter.take_scheme(scheme);
    }

    /// Takes the colours of the cube as it is read now as those of this session, as if there were no profile; where it is
    /// not read for sure, of the next that is.
    pub fn relearn(&mut self) {
        self.calibrated = false;
        self.learn_late();
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
            self.views.look_away();
            self.left();
        }
        self.resting = resting;
    }

    /// The state and hint as they are known now.
    pub fn known(&self) -> Option<&Known> {
        self.prompter.known()
    }

    /// The last reading of this track.
    pub fn reading(&self) -> Option<&Reading> {
        self.reading.as_ref()
    }

    /// The last view that held still, with what was read on it.
    pub fn view(&self) -> Option<(&Look, &LookReading)> {
        self.view.as_ref().map(|(look, reading)| (look, reading))
    }

    /// Whether something in the newest picture makes the cube hard to see, be it told or not.
    pub fn is_impaired(&self) -> bool {
        self.undetected.is_impaired()
    }

    /// The centres seen so far in this track.
    pub fn saw(&self) -> &[Colour] {
        &self.saw
    }

    /// Whether the state has been told in this track.
    pub fn has_told_state(&self) -> bool {
        self.views.track().is_some_and(|track| track.told)
    }

    /// Takes what one frame shows, `t` seconds into the stream, and gives what is to be told.
    pub fn see(&mut self, t: f64, look: &Look) -> Vec<Timed> {
        if self.resting {
            return Vec::new();
        }
        self.now = t;
        self.turned_at = self.turned_at.min(t);
        let gathered = self.views.see(t, look);
        if gathered.left {
            self.left();
        }
        self.acts.step(t, look);
        self.follow(look);
        if let Some(view) = gathered.view {
            self.take_view(view);
        }
        self.tell_unfound(look);
        self.patience();
        std::mem::take(&mut self.out)
    }

    /// Ends the stream.
    pub fn end(&mut self) -> Vec<Timed> {
        match self.views.end() {
            Ok(true) => self.read_view(self.views.looks().len() - 1),
            Ok(false) => {}
            Err(too_many) => self.tell(Event::Ask {
                show: Vec::new(),
                text: too_many.say(),
            }),
        }
        self.left();
        self.tell(Event::End {});
        std::mem::take(&mut self.out)
    }

    fn tell(&mut self, event: Event) {
        self.out.push(Timed::new(self.now, event));
    }

    fn tell_by(&mut self, say: impl FnOnce(&mut Prompter, &mut Vec<Event>)) {
        let mut events = Vec::new();
        say(&mut self.prompter, &mut events);
        self.tell_all(events);
    }

    fn tell_all(&mut self, events: Vec<Event>) {
        events.into_iter().for_each(|event| self.tell(event));
    }

    fn left(&mut self) {
        self.saw.clear();
        self.reading = None;
    }

    /// Follows a cube whose state is known.
    fn follow(&mut self, look: &Look) {
        let (Some(follower), Some(known)) = (&mut self.follower, self.prompter.known()) else {
            return;
        };
        let tendency = |cube: &Cube| known.tendency(cube);
        let foreseen = || known.foreseen();
        let verdict = follower.step(self.now, look, &self.reader, &tendency, &foreseen);
        let rested = follower.rested();
        if let Verdict::Same | Verdict::Turned { .. } = verdict
            && let Some((faces, placed)) = follower.placed()
        {
            let mirrored = self.mirrored.unwrap_or(false);
            self.posture.see(faces, placed, mirrored);
        }
        let mut events = Vec::new();
        match verdict {
            Verdict::Unclear => {}
            Verdict::Strange => {
                if let Some(track) = self.views.track_mut() {
                    track.told = false;
                }
            }
            Verdict::Same => {
                self.known_now();
                if self.acts.asks_for_more(rested) {
                    self.prompter.climb(&mut events);
                }
                // A frame in which no face was found ends a rest, but no hesitation.
                if rested > AT_REST {
                    self.prompter.rests(self.now - self.turned_at, &mut events);
                }
            }
            Verdict::Turned { cube, turns, seen } => {
                let shown = self.acts.is_shown();
                self.acts.answered();
                self.turned(cube, &turns, seen, shown, &mut events);
            }
        }
        self.tell_posture(rested, &mut events);
        self.tell_all(events);
    }

    /// The state is known in this track.
    fn known_now(&mut self) {
        self.impairment = None;
        if let Some(track) = self.views.track_mut() {
            track.told = true;
        }
    }

    fn turned(
        &mut self,
        cube: Cube,
        turns: &[Turn],
        seen: bool,
        shown: bool,
        events: &mut Vec<Event>,
    ) {
        if let Some(track) = self.views.track_mut() {
            track.clear(self.now);
        }
        self.reading = None;
        self.view = None;
        self.turned_at = self.now;
        self.known_now();
        self.learn_aside(&cube);
        self.prompter.turned(cube, turns, seen, shown, events);
        if self.prompter.known().is_none() {
            self.follower = None;
        }
    }

    /// Where the first right turn was made the cube is held as the route has it: so it is known which side the learner looks at.
    fn learn_aside(&mut self, cube: &Cube) {
        let (Some(known), Some(seen), None) =
            (self.prompter.known(), self.posture.hold(), self.aside)
        else {
            return;
        };
        if let Some(hold) = known.hold_on_route(cube) {
            self.aside = (0..4).find(|quarters| seen.rotated(Face::U, *quarters) == hold);
            self.prompter.turned_to(hold);
        }
    }

    /// Tells that the cube came to rest, and how it is held, where that has changed.
    fn tell_posture(&mut self, rested: f64, events: &mut Vec<Event>) {
        let is_still = rested > 0.0;
        if is_still && !self.still {
            events.push(Event::Still {});
        }
        self.still = is_still;
        let posture = self.posture.hold();
        if !is_still || posture.is_none() || posture == self.shown {
            return;
        }
        let first = self.shown.is_none();
        self.shown = posture;
        let (Some(seen), Some(aside)) = (posture, self.aside) else {
            return;
        };
        let hold = seen.rotated(Face::U, aside);
        if !first
            && self
                .prompter
                .known()
                .is_some_and(|known| known.held().hold != hold)
        {
            self.prompter.rotated_to(hold, events);
        }
    }

    /// Takes a view that held still: reads the cube, where its state is not known.
    fn take_view(&mut self, at: usize) {
        if self.has_told_state() && self.follower.is_some() {
            return self.look_over(at);
        }
        self.read_view(at);
    }

    /// Where the state is known: shows how the view was read, and learns colours once all of the cube was seen.
    fn look_over(&mut self, at: usize) {
        if !self.calibrated {
            return self.learn_late();
        }
        let newest = self
            .views
            .track()
            .is_some_and(|track| track.new_view_at == self.now);
        if self.view.is_none() || newest {
            let reading = self.read();
            self.take_reading(reading, at);
        }
    }

    /// Tells the state where the looks settle it; `at` is the newest of them.
    fn read_view(&mut self, mut at: usize) {
        let mut reading = self.read();
        let now = self.now;
        if reading.outcome == Outcome::Impossible
            && let Some(forgotten) = self
                .views
                .track_mut()
                .and_then(|track| track.forget_before(now))
        {
            // It was turned while nobody looked.
            self.saw.clear();
            at -= forgotten;
            reading = self.read();
        }
        self.tell_seen(&reading);
        let is_mirrored = reading.looks.iter().any(|look| look.mirrored);
        let fits = self.mirrored.is_none_or(|mirrored| mirrored == is_mirrored);
        // One view may tell which of the few states it is that may follow a hint.
        let foreseen = || {
            let known = self.known()?;
            let candidate = known.seen(&self.reader, self.views.looks())?;
            Some(candidate.cube)
        };
        let cube = match (reading.cube.filter(|_| fits), foreseen()) {
            (Some(read), Some(foreseen)) if read != foreseen => None,
            (read, foreseen) => read.or(foreseen),
        };
        if let Some(cube) = cube {
            let is_mirrored = self.mirrored.unwrap_or(is_mirrored);
            self.know(cube, is_mirrored, &mut reading);
        } else if reading.outcome == Outcome::Impossible {
            self.tell_fault(&reading);
        }
        self.take_reading(reading, at);
    }

    fn take_reading(&mut self, reading: Reading, at: usize) {
        self.view = reading
            .looks
            .get(at)
            .map(|told| (self.views.looks()[at].clone(), told.clone()));
        self.reading = Some(reading);
    }

    /// A state was read for sure.
    fn know(&mut self, cube: Cube, mirrored: bool, reading: &mut Reading) {
        self.known_now();
        self.tell_mirrored(mirrored);
        if reading.cube == Some(cube) {
            self.take_scheme(reading.scheme);
            self.learn(reading);
        }
        let mut events = Vec::new();
        let shown = self.acts.is_shown();
        match self.prompter.known() {
            // Shown again unchanged it asks for more help once it rests: that is not answered yet.
            Some(known) if known.cube() == cube => {}
            Some(known) if known.meaning_of(&cube).is_some() => {
                self.acts.answered();
                self.prompter.turned(cube, &[], false, shown, &mut events);
            }
            _ => {
                self.acts.answered();
                self.prompter.start(cube, &mut events);
            }
        }
        self.tell_all(events);
        self.follower = self
            .prompter
            .known()
            .map(|known| Follower::new(known.cube(), mirrored, self.now));
    }

    fn tell_fault(&mut self, reading: &Reading) {
        let Some(track) = self.views.track_mut() else {
            return;
        };
        if track.looks().len() < 2 || track.faulted {
            return;
        }
        track.faulted = true;
        self.tell(Event::Trouble {
            kind: Kind::Seen(Seen::ImpossibleCube),
            text: reading.say.clone(),
        });
    }

    fn read(&mut self) -> Reading {
        self.reader.clear();
        for look in self.views.looks() {
            self.reader.add(look.clone());
        }
        self.reader.read()
    }

    /// Where the state was told before all of the cube was seen, takes the colours once it is.
    fn learn_late(&mut self) {
        if self.calibrated || !self.has_told_state() {
            return;
        }
        let mut reading = self.read();
        self.tell_seen(&reading);
        if reading.cube.is_some() && reading.cube == self.known().map(Known::cube) {
            self.learn(&mut reading);
        }
        self.reading = Some(reading);
    }

    /// Without a profile, takes the colours of a cube that was read for sure as those of this session.
    fn learn(&mut self, reading: &mut Reading) {
        if self.calibrated {
            return;
        }
        if let Ok(profile) = labelled::profile("session", self.views.looks(), reading, true) {
            self.read_by(&profile);
            // It compares the light with colours that are no longer in use.
            reading.light = None;
        }
    }

    fn tell_seen(&mut self, reading: &Reading) {
        let before = self.saw.len();
        let views = iter::zip(self.views.looks(), self.views.odds());
        for ((look, odds), read) in iter::zip(views, &reading.looks) {
            for face in &read.faces {
                let mut seen = iter::zip(&look.faces, odds);
                let is_likely = reading.cube.is_some()
                    || seen.any(|(seen, odds)| *odds >= ANNOUNCED && face.is_of(seen));
                if is_likely && !self.saw.contains(&face.centre) {
                    self.saw.push(face.centre);
                }
            }
        }
        if self.saw.len() > before {
            let now = self.now;
            if let Some(track) = self.views.track_mut() {
                track.gained_at = now;
            }
            self.tell(Event::Saw {
                faces: self.saw.clone(),
            });
        }
    }

    /// Tells of a mirrored picture once, with the first cube that is read for sure.
    fn tell_mirrored(&mut self, mirrored: bool) {
        if self.mirrored.replace(mirrored).is_none() && mirrored {
            self.tell(Event::Trouble {
                kind: Kind::Seen(Seen::Mirrored),
                text: english::MIRRORED.into(),
            });
        }
    }

    /// Says what pictures show instead of a cube, or what makes it too hard to see to say so much as that there is one, when they have
    /// shown it for a while.
    fn tell_unfound(&mut self, look: &Look) {
        let impairment = match look.frame {
            Some(fault) => Some(undetected(fault)),
            None if self.follower.is_none() => impairment(slice::from_ref(look))
                // A face can be known for one though it is too blurred to be read.
                .filter(|kind| self.saw.is_empty() || *kind == Impairment::Blur),
            None => None,
        };
        if let Some(impairment) = self.undetected.see(impairment, self.now) {
            self.impairment = None;
            self.tell_impairment(Some(impairment));
        }
    }

    /// Says what makes the cube hard to see, where that is not what was last said.
    fn tell_impairment(&mut self, impairment: Option<Impairment>) {
        if impairment == self.impairment {
            return;
        }
        self.impairment = impairment;
        if let Some(impairment) = impairment {
            self.tell(Event::Trouble {
                kind: Kind::Impaired(impairment),
                text: english::impairment(impairment).into(),
            });
        }
    }

    /// Asks for more where what was seen does not settle the state, again only after a new view, and says what makes it hard.
    fn patience(&mut self) {
        let Some(track) = self.views.track() else {
            return;
        };
        // Hands that turn a cube that is followed show it from ever new sides: they are to rest first.
        let since = match self.follower {
            Some(_) => track.new_view_at,
            None => track.gained_at,
        };
        // Where no face was announced there may be no cube.
        if track.told
            || self.saw.is_empty()
            || track.asked_at >= track.new_view_at
            || track.looks().is_empty()
            || self.now - since < PATIENCE
            || self.now - track.asked_at < ASK_AGAIN
        {
            return;
        }
        // What tells the few states apart that may follow the hint, else what the whole cube needs.
        let scheme = self.scheme();
        let follows = |known: &Known| {
            let seen: Vec<Colour> = self.saw.iter().map(|c| scheme.usual(*c)).collect();
            let ask = known.ask(&self.reader, track.looks(), &seen)?;
            Some(ask.in_scheme(scheme))
        };
        let reads = || {
            self.reading
                .as_ref()
                .and_then(|reading| reading.ask.clone())
        };
        let Some(ask) = self.known().and_then(follows).or_else(reads) else {
            return;
        };
        let impairment = impairment(track.looks());
        let now = self.now;
        if let Some(track) = self.views.track_mut() {
            track.asked_at = now;
        }
        if self.follower.is_some() {
            self.tell(Event::Ask {
                show: ask.show,
                text: english::line_up(&ask.say),
            });
            return;
        }
        self.tell(Event::Ask {
            show: ask.show,
            text: ask.say,
        });
        self.tell_impairment(impairment);
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
                        assert_eq!(kind, Kind::Impaired(Impairment::Dark));
                        told.push(t);
                    }
                    other => panic!("{other:?}"),
                }
            }
        }
        told
    }

    /// In rooms full of squares a face was announced, and more of the cube asked for, where there was none.
    #[test]
    fn a_thing_that_is_hardly_a_face_is_neither_announced_nor_asked_about() {
        for (score, told) in [(1.0, false), (5.0, true)] {
            let mut session = Session::new(Reader::new(None), None);
            let mut look = crate::live::testing::look(100.0, 0);
            look.faces[0].score = score;
            let frames = 0..40;
            let heard = frames.flat_map(|frame| session.see(f64::from(frame) / 10.0, &look));
            let heard: Vec<Event> = heard.map(|timed| timed.event).collect();
            let is_told = |is: fn(&Event) -> bool| heard.iter().any(is);
            assert_eq!(
                is_told(|e| matches!(e, Event::Saw { .. })),
                told,
                "{heard:?}"
            );
            assert_eq!(
                is_told(|e| matches!(e, Event::Ask { .. })),
                told,
                "{heard:?}"
            );
        }
    }

    #[test]
    fn a_frame_that_shows_nothing_for_a_while_is_told_of_once_and_a_short_fault_is_not() {
        assert_eq!(told([true; 60].into_iter()), [3.0]);
        assert_eq!(told((0..90).map(|frame| frame % 29 != 28)), [0.0; 0]);
        assert_eq!(told([false; 40].into_iter()), [0.0; 0]);
    }
}
