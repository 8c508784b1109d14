//! What is asked for on the page.

use super::super::Asked;
use super::super::calibrating::{self, Calibrating};
use super::super::chosen;
use super::super::course::Course;
use super::super::seeing;
use super::super::speaker::Speaker;
use super::super::tally::Tally;
use super::{SHOW_A_CORNER, Screen, drawing, light, names};
use crate::coach::{Level, english};
use crate::colour::Profile;
use crate::cube::Colour;
use crate::front::clock::milliseconds;
use crate::front::exercise;
use crate::front::seeing::Seeing;
use crate::journal::{Attempt, Journal, Placed, worst};
use crate::live::{Known, Plan, Session};
use crate::page::{Choice, Choices, Exercise, Request, Scene, SpeakerState};

impl Screen {
    /// Takes up what was chosen before, but for what is asked for this time.
    pub(super) fn begin_with(&mut self, asked: Asked, session: &mut Session) {
        let mut choices = match &self.kept {
            Some(file) => chosen::kept(file),
            None => Choices::default(),
        };
        choices.cross = asked.cross.or(choices.cross);
        choices.level = asked.level.map(Level::number).or(choices.level);
        choices.mirrored = asked.mirrored.or(choices.mirrored);
        self.shown.levels = chosen::levels(&self.attempts());
        self.take_choices(choices, session);
    }

    fn take_choices(&mut self, choices: Choices, session: &mut Session) {
        let level = choices.level.and_then(Level::numbered);
        let plan = Plan {
            cross: choices.cross,
            level: level.unwrap_or_else(|| chosen::highest(&self.shown.levels)),
            ..session.plan()
        };
        if plan != session.plan() {
            session.coach(plan);
        }
        session.take_mirrored(choices.mirrored);
        self.shown.choices = choices;
    }

    fn choose(&mut self, choice: Choice, session: &mut Session) {
        let choices = self.shown.choices.with(choice);
        if let Some(Err(words)) = self.kept.as_ref().map(|file| chosen::keep(file, &choices)) {
            self.refuse(&words);
        }
        self.take_choices(choices, session);
    }

    /// What was practised so far; nothing where it is not kept, or cannot be read, of which the journal itself tells.
    fn attempts(&self) -> Vec<Attempt> {
        let journal = self.journal.as_ref().filter(|path| path.exists());
        journal
            .and_then(|path| Journal::read(path).ok())
            .unwrap_or_default()
    }

    /// The one thing to practise after a solve: what went worst in it, else what goes worst at all. Levels may have opened, too.
    pub(super) fn show_weakest(&mut self) {
        let attempts = self.attempts();
        self.shown.levels = chosen::levels(&attempts);
        let all: Vec<Placed> = Placed::all().collect();
        let weakest = self.tally.weakest().or_else(|| worst(&attempts, &all));
        let cross = self
            .shown
            .progress
            .as_ref()
            .map_or(Colour::White, |p| p.cross_colour);
        self.shown.weakest = weakest.map(|placed| Exercise {
            number: placed.number() as u8,
            name: placed.name(cross),
        });
    }

    /// Begins anew, and says so.
    fn begin_again(&mut self, session: &Session) {
        self.clear(session);
        let sentence = self.shown.sentence.clone();
        self.say(&[sentence]);
    }

    /// The page as it is before a cube is shown.
    pub(super) fn clear(&mut self, session: &Session) {
        self.tally = Tally::default();
        self.course = Course::default();
        self.fault_shown = false;
        let shown = &mut self.shown;
        shown.scene = Scene::Looking;
        shown.drawing = Some(drawing::drawing_of_asked(&[], session.scheme()));
        (shown.progress, shown.clock, shown.weakest) = (None, None, None);
        (shown.rung, shown.present) = (0, 0);
        shown.asked.clear();
        shown.turns.clear();
        shown.pieces.clear();
        for words in [&mut shown.passed, &mut shown.shorter, &mut shown.term] {
            words.clear();
        }
        self.headline(SHOW_A_CORNER);
        self.show_set_up(session);
    }

    /// The cross to practise on: the one that is chosen, else that of the cube in hand.
    fn cross(&self, session: &Session) -> Colour {
        let held = session.known().map(|known| known.held().hold.down());
        let held = held.map(|cross| session.scheme().colour(cross));
        self.shown.choices.cross.or(held).unwrap_or(Colour::White)
    }

    /// Practises seeing: the cube in hand rests.
    fn see(&mut self, session: &Session) {
        let cross = self.cross(session);
        self.seeing = Seeing::new(cross, session.scheme(), milliseconds());
        self.shown.practising = self.seeing.is_some();
        self.show_seeing();
    }

    fn show_seeing(&mut self) {
        let Some(seeing) = &self.seeing else { return };
        let shown = &mut self.shown;
        shown.asked.clear();
        shown.scene = Scene::Coaching;
        shown.sentence = seeing.sentence().into();
        shown.why = seeing.why();
        shown.waiting = seeing::waiting(seeing);
        shown.drawing = Some(seeing::drawing(seeing));
        shown.seeing = Some(seeing::answers(seeing));
        (shown.rung, shown.present) = (0, 0);
        shown.progress = None;
        shown.turns.clear();
        shown.pieces.clear();
        for words in [&mut shown.passed, &mut shown.shorter, &mut shown.term] {
            words.clear();
        }
        let words = format!("{} {}", shown.sentence, shown.why);
        self.say(&[words.trim().to_owned()]);
    }

    /// Practises one situation, or what is due.
    fn practise(&mut self, number: Option<u8>, session: &mut Session) {
        let attempts = self.attempts();
        let one = number.and_then(|number| Placed::numbered(number.into()));
        let placed = one.map_or_else(|| exercise::due(&attempts), |one| vec![one]);
        let cross = self.cross(session);
        match exercise::lesson(placed, cross, session.scheme(), attempts.len()) {
            Ok(lesson) => {
                session.practise(Some(lesson));
                self.shown.practising = true;
                self.begin_again(session);
            }
            Err(failure) => self.refuse(&failure.to_string()),
        }
    }

    pub(super) fn relight(&mut self, session: &mut Session) {
        session.relearn();
        self.relighting = true;
        let words = self.show_relit(session).unwrap_or(
            "Show me two opposite corners of your cube. I take the colours from all six faces.",
        );
        if self.relighting {
            self.headline(words);
        }
        self.say(&[words.to_owned()]);
    }

    pub(super) fn obey(&mut self, request: Request, session: &mut Session) {
        match request {
            Request::UseProfile(name) => {
                let loaded =
                    Profile::path(&self.profiles, &name).and_then(|path| Profile::load(&path));
                match loaded {
                    Ok(profile) => self.use_profile(profile, session),
                    Err(error) => self.refuse(&error.to_string()),
                }
            }
            Request::Relight => self.relight(session),
            Request::SpeakHere => self.speak_here(),
            Request::SpeakNoMore => {
                self.speaker = None;
                self.shown.speaker = SpeakerState::Idle;
            }
            Request::StartCalibration => {
                let calibrating = Calibrating::new(self.profile.as_ref());
                self.show_calibration(&calibrating);
                self.calibrating = Some(calibrating);
            }
            Request::StopCalibration => self.end_calibration("", session),
            Request::KeepProfile(name) => {
                let Some(calibrating) = &self.calibrating else {
                    return;
                };
                match calibrating.keep(&name, &self.profiles) {
                    Ok(profile) => {
                        self.use_profile(profile, session);
                        let kept = format!("The profile “{name}” is kept.");
                        self.end_calibration(&kept, session);
                    }
                    Err(words) => self.refuse(&words),
                }
            }
            Request::Choose(choice) => self.choose(choice, session),
            Request::MoreHelp => session.climb(),
            Request::SkipPair => session.another_pair(),
            Request::StartAgain => {
                session.start_again();
                self.begin_again(session);
            }
            Request::Practise(number) => self.practise(number, session),
            Request::See => self.see(session),
            Request::Answer(choice) => {
                if let Some(seeing) = &mut self.seeing {
                    seeing.answer(choice.into(), milliseconds());
                    self.show_seeing();
                }
            }
            Request::NextSight => {
                if let Some(seeing) = &mut self.seeing {
                    seeing.next(milliseconds());
                    self.show_seeing();
                }
            }
            Request::PractiseNoMore if self.seeing.take().is_some() => {
                self.shown.seeing = None;
                self.shown.practising = session.set_up().is_some();
                self.go_on("", session);
            }
            Request::PractiseNoMore => {
                session.practise(None);
                self.shown.practising = false;
                self.begin_again(session);
            }
            // Cameras are the source's work.
            Request::UseBrowserCamera
            | Request::UseCamera(_)
            | Request::Frame(_)
            | Request::BrowserCameraGone(_) => {}
        }
    }

    /// Speaks on this machine from now on, the newest words first.
    fn speak_here(&mut self) {
        if self.shown.quiet {
            return;
        }
        self.speaker = self.speaker.take().or_else(Speaker::find);
        let text = &self.shown.say.text;
        let speaks = self
            .speaker
            .as_mut()
            .is_some_and(|speaker| speaker.say(text));
        self.shown.speaker = SpeakerState::Speaks;
        if !speaks {
            self.lose_voice();
        }
    }

    fn use_profile(&mut self, profile: Profile, session: &mut Session) {
        session.read_by(&profile);
        self.profile = Some(profile);
        self.relighting = false;
        self.change_told = false;
        self.shown.trouble = None;
        self.show_profile();
    }

    /// The profile in use, how good its own light is, and what else there is to choose.
    pub(super) fn show_profile(&mut self) {
        self.shown.profiles = names(&self.profiles);
        self.shown.light = self
            .profile
            .as_ref()
            .map(|profile| light(profile, &calibrating::report(profile)));
    }

    pub(super) fn show_calibration(&mut self, calibrating: &Calibrating) {
        let now = calibrating.shown();
        let asked = self
            .shown
            .calibration
            .as_ref()
            .map(|before| before.ask.as_str());
        if asked != Some(&now.ask) {
            self.headline(&now.ask);
            self.say(std::slice::from_ref(&now.ask));
        }
        self.shown.waiting.clear();
        self.shown.seen = calibrating.seen();
        self.shown.asked = calibrating.asked();
        self.shown.calibration = Some(now);
    }

    /// Goes on where the calibration began: with the hint, if there was one.
    pub(super) fn end_calibration(&mut self, words: &str, session: &Session) {
        self.calibrating = None;
        self.shown.calibration = None;
        self.go_on(words, session);
    }

    /// Goes on where something else began: with the hint, if there was one.
    fn go_on(&mut self, words: &str, session: &Session) {
        if session.known().is_none() {
            self.clear(session);
        }
        self.shown.asked.clear();
        self.shown.rung = session.known().map_or(0, Known::level);
        let known = session.known();
        let text = known.map(|known| english::text_of(&known.text(), session.scheme()));
        self.headline(text.as_deref().unwrap_or(SHOW_A_CORNER));
        self.shown.passed = words.into();
        self.show_known(session, true, false);
        self.show_set_up(session);
        self.say(&[format!("{words} {}", self.shown.sentence)]);
    }
}
