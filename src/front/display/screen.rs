//! What the loop tells, as the page shows and speaks it.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

mod events;
mod requests;

use super::DisplayOptions;
use super::calibrating::{self, Calibrating};
use super::course::Course;
use super::drawing;
use super::fault;
use super::found::found;
use super::lexicon::{self, lexicon};
use super::sources::SharedState;
use super::speaker::Speaker;
use super::tally::Tally;
use super::waiting::Waiting;
use crate::camera::Frame;
use crate::coach::{Outcome, english};
use crate::colour::{LightEstimate, LightReport, Profile};
use crate::cube::Scheme;
use crate::front::clock::milliseconds;
use crate::front::seeing::Seeing;
use crate::live::{Event, Kind, Known, Listener, Moment, Seen, Session, Timed};
use crate::page::{self, CueKind, Page, Scene, Shown, Turns};
use crate::sight::Look;

/// What is asked for while nothing is known.
const SHOW_A_CORNER: &str = "Show me a corner of your cube, and hold it still.";

/// The sentence at the end.
const SOLVED: &str = "The cube is solved.";

/// Seconds for which it is shown once a cause that the frame itself tells, such as darkness, is gone.
const GONE: f64 = 1.5;

/// What is said once when the light is found to differ from the profile's.
const LIGHT_CHANGED: &str = "The light is not as it was when the profile was made. Press R to take the colours from the cube as it is now.";

/// CIEDE2000 between two lights below which half of a cube does not tell that they differ: a lamp on one side, a window on
/// the other.
const FAR: f64 = 9.0;

/// Shows on a page.
pub struct Screen {
    page: Page,
    shown: Shown,
    /// Seconds of the stream, at the last frame.
    now: f64,
    /// The trouble on the screen goes when the next frame comes.
    trouble_until_frame: bool,
    /// When it goes in any case, seconds of the stream.
    trouble_until: f64,
    waiting: Waiting,
    tally: Tally,
    /// The turns that were given last.
    course: Course,
    /// What is shown is a cube that cannot be solved.
    fault_shown: bool,
    /// How good the light is without a profile was told.
    light_judged: bool,
    /// How many words were explained.
    explained: usize,
    /// It speaks what is said, where a browser asked for it.
    speaker: Option<Speaker>,
    /// The profile in use, if any.
    profile: Option<Profile>,
    /// The folder that holds profiles.
    profiles: PathBuf,
    /// Where choices are kept, and what was practised.
    kept: Option<PathBuf>,
    journal: Option<PathBuf>,
    shared: SharedState,
    calibrating: Option<Calibrating>,
    seeing: Option<Seeing>,
    /// The scheme that words are explained in.
    scheme: Scheme,
    /// The colours are to be taken from the cube, which has not been read for sure since.
    relighting: bool,
    /// The change of the light has been told.
    change_told: bool,
    /// How practice went, to be shown with what follows it.
    remark: Option<String>,
    /// What the frame before showed.
    before: Look,
}

impl Screen {
    /// A screen that has shown nothing yet.
    pub fn new(
        page: Page,
        options: DisplayOptions,
        shared: SharedState,
        session: &mut Session,
    ) -> Screen {
        let shown = Shown {
            lexicon: lexicon(session.scheme()),
            practising: session.set_up().is_some(),
            sentence: SHOW_A_CORNER.into(),
            drawing: Some(drawing::drawing_of_asked(&[], session.scheme())),
            waiting: "Waiting for the camera.".into(),
            quiet: options.quiet,
            ..Shown::default()
        };
        let mut screen = Screen {
            page,
            shown,
            now: 0.0,
            trouble_until_frame: false,
            trouble_until: f64::INFINITY,
            waiting: Waiting::default(),
            tally: Tally::default(),
            course: Course::default(),
            fault_shown: false,
            light_judged: false,
            explained: 0,
            speaker: None,
            profile: options.profile,
            profiles: options.profiles,
            kept: options.kept,
            journal: options.journal,
            shared,
            calibrating: None,
            seeing: None,
            scheme: session.scheme(),
            relighting: false,
            change_told: false,
            remark: None,
            before: Look::default(),
        };
        screen.begin_with(options.asked, session);
        screen.show_profile();
        screen.show_set_up(session);
        screen.page.show(&screen.shown);
        screen
    }

    /// The turns that lead to what is practised, while the cube does not lie so.
    fn show_set_up(&mut self, session: &Session) {
        let Some(set_up) = session.set_up() else {
            return;
        };
        self.shown.sentence = set_up.sentence.clone();
        self.shown.why = set_up.why.clone();
        self.shown.rung = 0;
        self.shown.present = 0;
        self.shown.progress = None;
        self.shown.pieces.clear();
        self.shown.turns = drawing::turns(&set_up.moves);
        if !set_up.moves.is_empty() {
            self.shown.scene = Scene::Coaching;
            self.shown.drawing = Some(drawing::drawing_of_set_up(set_up, session.scheme()));
        }
    }

    /// The drawn cube and the turns that belong to what is known now.
    fn show_known(&mut self, session: &Session, news: bool, slipped: bool) {
        let (Some(known), scheme) = (session.known(), session.scheme()) else {
            return;
        };
        if std::mem::replace(&mut self.scheme, scheme) != scheme {
            self.shown.lexicon = lexicon(scheme);
        }
        let solved = known.advice().outcome == Outcome::Solved;
        (self.shown.turns, self.shown.present) = self.turns(known, scheme, slipped);
        let given = !self.shown.turns.is_empty();
        self.shown.scene = Scene::Coaching;
        let moves = known.moves();
        self.shown.drawing = Some(drawing::drawing(
            known,
            scheme,
            moves.first().filter(|_| given),
        ));
        // A slot that is opened for a few turns is not lost.
        let progress = self.shown.progress.take();
        self.shown.progress = Some(progress.unwrap_or_else(|| drawing::progress(known, scheme)));
        self.shown.pieces = drawing::pieces(known, scheme);
        if news {
            self.explain(known);
        }
        if solved {
            self.show_solved();
        } else {
            self.tally.hinted_at(known.slot().and_then(|slot| {
                let held = known.held();
                crate::journal::Situation::of(&held.cube, held.hold.down(), slot)
            }));
        }
    }

    /// The turns that are given now, and how many of them are made. `slipped`: a slip was told just now.
    fn turns(&mut self, known: &Known, scheme: Scheme, slipped: bool) -> (Vec<Turns>, usize) {
        let left = known.moves();
        if slipped || known.slipped() {
            let back = known.gives_turns().then(|| drawing::way_back(&left));
            return (back.unwrap_or_default(), 0);
        }
        if let Some(rung) = known.rung() {
            self.shown.sentence = english::text_of(&rung.sentence, scheme);
            self.shown.why = english::text_of(&rung.why, scheme);
            self.course = Course::new(&rung.turns, &left, scheme);
            return (drawing::grouped(&rung.turns, scheme), 0);
        }
        if !known.gives_turns() {
            return (Vec::new(), 0);
        }
        let under_way = self.course.after(&left);
        under_way.unwrap_or_else(|| (drawing::turns(&left), 0))
    }

    /// What a word means, with the first hints that use it.
    fn explain(&mut self, known: &Known) {
        let terms = [lexicon::PAIR, lexicon::SLOT];
        // The question asks for no more than to look.
        let is_used = known.slot().is_some() && known.level() > 0 && self.shown.turns.is_empty();
        let term = terms
            .get(self.explained)
            .filter(|_| is_used && self.shown.choices.terms);
        self.explained += usize::from(term.is_some());
        self.shown.term = term.map(|term| (*term).to_owned()).unwrap_or_default();
    }

    /// How the solve went, and what to practise.
    fn show_solved(&mut self) {
        self.shown.rung = 0;
        self.shown.term.clear();
        self.shown.sentence = SOLVED.into();
        if self.shown.cue.kind == CueKind::Right {
            self.shown.cue.kind = CueKind::Solved;
            self.shown.passed = "Well done!".into();
        }
        // One that was shown solved is no solve.
        self.shown.why = match self.shown.cue.kind {
            CueKind::Solved => self.tally.say(self.now),
            _ => "Mix it with some twenty turns, and show it again.".into(),
        };
        if let Some(clock) = &mut self.shown.clock {
            clock.ended.get_or_insert_with(milliseconds);
        }
        self.show_weakest();
    }

    /// What is asked for, drawn in place of the cube.
    fn show_asked(&mut self, session: &Session) {
        let read = session.reading().filter(|_| session.known().is_none());
        let scheme = read.map_or(session.scheme(), |reading| reading.scheme);
        self.shown.drawing = Some(drawing::drawing_of_asked(&self.shown.asked, scheme));
        self.shown.present = 0;
        self.shown.pieces.clear();
        self.shown.turns.clear();
    }

    /// Without a profile, how well the first cube's own colours are told apart in this light.
    fn judge_light(&mut self, session: &Session) {
        if self.profile.is_none() && session.knows_colours() && !self.light_judged {
            self.light_judged = true;
            let report = session.colours().judge_light(&LightEstimate::none());
            let said = calibrating::closest(&report).say;
            self.shown.passed = format!("{} {said}", self.shown.passed);
        }
    }

    /// How the light is, once the cube has been read under it; what is to be said of it.
    fn show_light(&mut self, session: &Session) -> Option<&'static str> {
        if self.relighting {
            return self.show_relit(session);
        }
        let reading = session.reading().filter(|_| session.has_told_state())?;
        let (light, seen) = (self.shown.light.as_mut()?, reading.light.as_ref()?);
        if reading.cube.is_none() && seen.distance < FAR {
            return None;
        }
        light.like_profile = seen.like_profile;
        light.distance = Some(seen.distance as f32);
        let news = !light.like_profile && !std::mem::replace(&mut self.change_told, true);
        news.then_some(LIGHT_CHANGED)
    }

    /// The colours as they were taken from the cube, once it has been read for sure.
    fn show_relit(&mut self, session: &Session) -> Option<&'static str> {
        if !session.knows_colours() {
            return None;
        }
        self.relighting = false;
        self.change_told = false;
        let report = session.colours().judge_light(&LightEstimate::none());
        self.shown.light = Some(page::Light {
            relit: true,
            ..light(self.profile.as_ref()?, &report)
        });
        Some("The colours are taken from your cube as it is in this light.")
    }

    fn show_coaching(&mut self, look: &Look, session: &Session, events: &[Timed]) {
        if session.is_impaired() && self.shown.trouble.is_some() {
            // Its cause is still to be seen.
            self.trouble_until = self.now + GONE;
        }
        if self.now > self.trouble_until {
            self.trouble_until = f64::INFINITY;
            self.shown.trouble = None;
        }
        self.show_told(session, events);
        self.shown.seen = session.saw().to_vec();
        self.show_waiting(look, session);
    }

    /// What is told at one moment, with how practice went and of the light.
    fn show_told(&mut self, session: &Session, events: &[Timed]) {
        let is_unknown = session.known().is_none() && session.set_up().is_none();
        if is_unknown && self.shown.progress.is_some() {
            // It was forgotten.
            self.clear(session);
        }
        let news = events.iter().any(|timed| is_news(&timed.event));
        if news {
            self.shown.passed.clear();
            self.fault_shown = false;
        }
        let mut words: Vec<String> = events
            .iter()
            .filter_map(|timed| self.tell(&timed.event))
            .collect();
        let remark = self.remark.take();
        words.extend(remark.clone());
        let of_the_light = self.show_light(session);
        words.extend(of_the_light.map(String::from));
        if events.iter().any(|timed| is_impossible(&timed.event)) {
            words.extend(self.show_fault(session));
        }
        self.say(&words);
        let is_turned =
            |timed: &Timed| matches!(timed.event, Event::Turn { .. } | Event::Rotated { .. });
        if news || events.iter().any(is_turned) {
            let is_slip = |timed: &Timed| matches!(timed.event, Event::Slip { .. });
            self.show_known(session, news, events.iter().any(is_slip));
        }
        if events
            .iter()
            .any(|timed| matches!(timed.event, Event::Ask { .. }))
        {
            self.show_asked(session);
        }
        let is_read =
            |timed: &Timed| matches!(timed.event, Event::Read { .. } | Event::Followed { .. });
        if events.iter().any(is_read) {
            self.show_set_up(session);
        }
        if events
            .iter()
            .any(|timed| matches!(timed.event, Event::Read { .. }))
        {
            self.judge_light(session);
        }
        if let Some(remark) = remark {
            let is_followed = |timed: &Timed| matches!(timed.event, Event::Followed { .. });
            self.shown.passed = match events.iter().any(is_followed) {
                true => format!("{} {remark}", self.shown.passed),
                false => remark,
            };
        }
    }

    /// What is wrong with a cube that cannot be solved, and what to do about it; in words, too.
    fn show_fault(&mut self, session: &Session) -> Option<String> {
        let told = session.reading().and_then(fault::told)?;
        self.passed(&told.passed);
        self.headline(&told.todo);
        self.fault_shown = true;
        if let Some(drawing) = told.drawing {
            self.shown.scene = Scene::Coaching;
            self.shown.drawing = Some(drawing);
            self.shown.rung = 0;
            self.shown.present = 0;
            self.shown.pieces.clear();
            self.shown.turns.clear();
            self.shown.term.clear();
        }
        Some(format!("{} {}", self.shown.passed, self.shown.sentence))
    }

    fn show_waiting(&mut self, look: &Look, session: &Session) {
        let line = match (
            look.faces.is_empty(),
            session.has_told_state(),
            session.known(),
        ) {
            _ if self.fault_shown => "Show the cube when it is mended.",
            _ if self
                .shown
                .progress
                .as_ref()
                .is_some_and(|progress| progress.last) =>
            {
                "Rest your hands. Show a mixed cube to go on."
            }
            (true, _, None) => "Waiting for the cube. Hold it as large as the dashed one.",
            (true, _, Some(known)) if known.gives_turns() => "Make the turns, then show the cube.",
            (true, _, Some(_)) => {
                "Show the cube when you have done it, or unchanged for more help."
            }
            (false, true, _) => "Seen. Turn when you are ready: I am watching.",
            (false, false, _) if session.saw().is_empty() => "Looking. Hold still.",
            (false, false, _) => "Now show the other sides.",
        };
        self.shown.waiting = self.waiting.hear(line, self.now).into();
    }
}

impl Screen {
    /// Does what was asked for on the page.
    fn serve(&mut self, session: &mut Session) {
        let cameras = self.shared.cameras();
        if cameras != self.shown.cameras {
            self.shown.cameras = cameras;
            self.page.show(&self.shown);
        }
        while let Some(request) = self.shared.next() {
            self.obey(request, session);
            self.page.show(&self.shown);
        }
        session.rest(self.calibrating.is_some() || self.seeing.is_some());
    }

    fn frame(&mut self, frame: &Frame, look: &Look, session: &Session, events: &[Timed]) {
        if self.trouble_until_frame {
            self.trouble_until_frame = false;
            self.shown.trouble = None;
            self.waiting = Waiting::default();
        }
        if self.speaker.as_mut().is_some_and(Speaker::has_failed) {
            self.lose_voice();
        }
        self.shown.browser_camera = self.shared.browser();
        if let Some(mut calibrating) = self.calibrating.take() {
            if calibrating.see(self.now, look) {
                self.show_calibration(&calibrating);
            }
            self.calibrating = Some(calibrating);
        } else if self.seeing.is_none() {
            self.show_coaching(look, session, events);
        }
        let before = std::mem::replace(&mut self.before, look.clone());
        self.shown.found = Some(Arc::new(found(
            look,
            &before,
            session.view().map(|(_, reading)| reading),
        )));
        let seen = || session.view().is_some_and(|(_, reading)| reading.mirrored);
        self.shown.mirrored_feed = session.mirrors().unwrap_or_else(seen);
        if self.page.tabs() > 0 {
            self.page.image(frame.image.clone());
        }
    }
}

impl Listener for Screen {
    fn hear(&mut self, moment: &mut Moment, session: &mut Session) -> io::Result<()> {
        self.now = moment.now;
        self.remark = moment.remark.take();
        match &moment.seen {
            Some((frame, look)) => self.frame(frame, look, session, &moment.events),
            None => self.show_told(session, &moment.events),
        }
        self.page.show(&self.shown);
        self.serve(session);
        Ok(())
    }
}

fn is_impossible(event: &Event) -> bool {
    let kind = Kind::Seen(Seen::ImpossibleCube);
    matches!(event, Event::Trouble { kind: told, .. } if *told == kind)
}

/// Whether something is known that was not before, so that what passed earlier is of no interest.
fn is_news(event: &Event) -> bool {
    matches!(
        event,
        Event::Read { .. } | Event::Followed { .. } | Event::Hint { .. } | Event::Slip { .. }
    )
}

/// The light that a profile's colours are in now.
fn light(profile: &Profile, report: &LightReport) -> page::Light {
    page::Light {
        profile: profile.name.clone(),
        like_profile: true,
        relit: false,
        distance: None,
        closest: Some(calibrating::closest(report)),
        advice: calibrating::advice(report),
        doubtful_after: Some(report.doubtful as f32),
    }
}

/// Names of the profiles in a folder, in order; none where there is no such folder.
fn names(folder: &Path) -> Vec<String> {
    let files = folder.read_dir().into_iter().flatten().flatten();
    let mut names: Vec<String> = files
        .map(|file| file.path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "json"))
        .filter_map(|path| Some(path.file_stem()?.to_str()?.to_owned()))
        .collect();
    names.sort();
    names
}

#[cfg(test)]
mod tests;
