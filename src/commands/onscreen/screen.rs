//! What the loop tells, as the page shows and speaks it.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::Manner;
use super::calibrating::{self, Calibrating};
use super::drawn;
use super::found::found;
use super::sources::Wishes;
use super::speaker::Speaker;
use super::tally::Tally;
use super::waiting::Waiting;
use super::words::{capital, first_sentence, in_one_line, spoken};
use crate::camera::{Frame, TroubleKind};
use crate::coach::Outcome;
use crate::coach::words;
use crate::colour::{LightReport, Profile, Relight};
use crate::live::{Event, Kept, Kind, Listener, Moment, RUNGS, Seen, Session, Timed};
use crate::page::{
    self, BrowserCamera, Cue, CueKind, Page, Request, Say, Scene, Shown, SpeakerState,
};
use crate::sight::Look;

/// What is asked for while nothing is known.
const SHOW_A_CORNER: &str = "Show me a corner of your cube, and hold it still.";

/// Seconds for which trouble with what is in the picture is shown: long enough to read it twice, and then its cause is likely
/// gone.
const TROUBLED: f64 = 6.0;

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
    /// It speaks what is said, where a browser asked for it.
    speaker: Option<Speaker>,
    /// The profile in use, if any.
    profile: Option<Profile>,
    /// The folder that holds profiles.
    profiles: PathBuf,
    wishes: Wishes,
    calibrating: Option<Calibrating>,
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
    pub fn new(page: Page, manner: Manner, wishes: Wishes, session: &Session) -> Screen {
        let shown = Shown {
            sentence: SHOW_A_CORNER.into(),
            drawing: Some(drawn::drawing_of_asked(&[])),
            waiting: "Waiting for the camera.".into(),
            quiet: manner.quiet,
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
            speaker: None,
            profile: manner.profile,
            profiles: manner.profiles,
            wishes,
            calibrating: None,
            relighting: false,
            change_told: false,
            remark: None,
            before: Look::default(),
        };
        screen.show_profile();
        screen.show_set_up(session);
        screen.page.show(&screen.shown);
        screen
    }

    fn tell(&mut self, event: &Event) -> Option<String> {
        match event {
            Event::Saw { .. } => {
                self.cue(CueKind::Seen);
                None
            }
            Event::Turn { .. } | Event::Rotated { .. } | Event::Still {} | Event::End {} => None,
            Event::Read { text, .. } => {
                self.answered();
                self.cue(CueKind::Read);
                self.tally = Tally::from(self.now);
                self.shown.shorter.clear();
                self.shown.progress = None;
                self.passed(text);
                Some(spoken(text, RUNGS))
            }
            Event::Followed { text, shorter, .. } => {
                self.answered();
                self.cue(CueKind::Right);
                let pair = |progress: &page::Progress| progress.slots.iter().any(|slot| slot.now);
                self.tally
                    .followed(self.shown.progress.as_ref().is_some_and(pair));
                self.shown.shorter = shorter.clone().unwrap_or_default();
                self.shown.progress = None;
                self.passed(text);
                // The next hint comes right after it: no more than that there is something to read.
                let told = spoken(&self.shown.shorter, RUNGS);
                Some(format!(
                    "{} {}",
                    spoken(text, RUNGS),
                    first_sentence(&told).0
                ))
            }
            Event::Hint {
                level, text, hold, ..
            } => {
                self.answered();
                self.tally.hinted(*level);
                self.shown.rung = *level;
                self.headline(text);
                let hold = match level {
                    1 => format!("{} ", words::hold(hold.down, hold.front)),
                    _ => String::new(),
                };
                Some(format!("{hold}{}", spoken(text, *level)))
            }
            Event::Slip { undo, text, .. } => {
                // The way back is what to do now; what went wrong is past.
                self.answered();
                self.cue(CueKind::Slip);
                self.tally.slipped();
                let (slip, rest) = first_sentence(text);
                self.passed(slip);
                if undo.is_empty() {
                    self.headline(rest);
                } else {
                    let back: Vec<String> = undo.iter().map(|m| words::turn(*m)).collect();
                    self.headline(&format!("Go back: {}.", back.join(", ")));
                }
                Some(spoken(text, RUNGS))
            }
            Event::Ask { show, text } => {
                self.shown.asked.clone_from(show);
                self.headline(text);
                Some(spoken(&capital(text), RUNGS))
            }
            Event::Trouble {
                kind: Kind::Seen(Seen::ImpossibleCube),
                text,
            } => {
                self.answered();
                self.headline(text);
                Some(spoken(&in_one_line(text), RUNGS))
            }
            Event::Trouble { kind, text } => {
                self.trouble(*kind, text);
                Some(in_one_line(text))
            }
        }
    }

    /// Sounds a tone.
    fn cue(&mut self, kind: CueKind) {
        let serial = self.shown.cue.serial + 1;
        self.shown.cue = Cue { serial, kind };
    }

    /// What was asked for or troubled is settled.
    fn answered(&mut self) {
        self.shown.trouble = None;
        self.shown.asked.clear();
    }

    /// What has just happened, in a line of its own.
    fn passed(&mut self, text: &str) {
        self.shown.passed = first_sentence(&capital(text)).0.into();
    }

    /// The first sentence in large letters, the rest below it.
    fn headline(&mut self, text: &str) {
        let text = capital(text);
        let (first, rest) = first_sentence(&text);
        self.shown.sentence = first.into();
        self.shown.why = rest.into();
    }

    fn trouble(&mut self, kind: Kind, text: &str) {
        if let Kind::Camera(_) = kind {
            self.trouble_until_frame = true;
            // What the last picture showed is not to be waited for now.
            self.shown.waiting = "Waiting for the camera.".into();
            self.shown.found = None;
        } else {
            self.trouble_until = self.now + TROUBLED;
        }
        let no_camera = matches!(
            kind,
            Kind::Camera(
                TroubleKind::Unsupported
                    | TroubleKind::NoCamera
                    | TroubleKind::Denied
                    | TroubleKind::Busy
                    | TroubleKind::NoAnswer
                    | TroubleKind::Unusable
                    | TroubleKind::Unplugged
            )
        );
        if no_camera && self.shown.browser_camera == BrowserCamera::Idle {
            self.shown.browser_camera = BrowserCamera::Offered;
        }
        // What is mended is spoken, and no trouble any more.
        let mended = kind == Kind::Kept(Kept::KeptNow);
        self.shown.trouble = (!mended).then(|| in_one_line(text));
    }

    /// What is told is spoken, all of one moment as one.
    fn say(&mut self, words: &[String]) {
        if !words.is_empty() {
            self.shown.say = Say {
                serial: self.shown.say.serial + 1,
                text: words.join(" ").into(),
            };
            if let Some(speaker) = &mut self.speaker {
                speaker.say(&self.shown.say.text);
            }
        }
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
        self.shown.turns = drawn::turns(&set_up.moves);
        if !set_up.moves.is_empty() {
            self.shown.scene = Scene::Coaching;
            self.shown.drawing = Some(drawn::drawing_of_set_up(set_up));
        }
    }

    /// The drawn cube and the turns that belong to what is known now.
    fn show_known(&mut self, session: &Session, slipped: bool) {
        let Some(known) = session.known() else { return };
        let moves = known.moves();
        let given = slipped || known.gives_turns();
        let solved = known.advice().outcome == Outcome::Solved;
        self.shown.scene = Scene::Coaching;
        self.shown.drawing = Some(drawn::drawing(known, moves.first().filter(|_| given)));
        // A slot that is opened for a few turns is not lost.
        let progress = self.shown.progress.take();
        self.shown.progress = Some(progress.unwrap_or_else(|| drawn::progress(known)));
        self.shown.pieces = drawn::pieces(known);
        self.shown.present = 0;
        self.shown.turns = match known.rung() {
            Some(rung) if !slipped => {
                self.shown.sentence.clone_from(&rung.sentence);
                self.shown.why.clone_from(&rung.why);
                drawn::grouped(&rung.turns)
            }
            _ if given => drawn::turns(&moves),
            _ => Vec::new(),
        };
        if solved {
            self.shown.rung = 0;
            self.shown.why = self.tally.say(self.now);
            if self.shown.cue.kind == CueKind::Right {
                self.shown.cue.kind = CueKind::Solved;
            }
        }
    }

    /// What is asked for, drawn in place of the cube.
    fn show_asked(&mut self) {
        self.shown.drawing = Some(drawn::drawing_of_asked(&self.shown.asked));
        self.shown.present = 0;
        self.shown.pieces.clear();
        self.shown.turns.clear();
    }

    /// How the light is, once the cube has been read under it; what is to be said of it.
    fn show_light(&mut self, session: &Session) -> Option<&'static str> {
        if self.relighting {
            return self.show_relit(session);
        }
        let reading = session.reading().filter(|_| session.settled())?;
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
        let report = session.colours().judge_light(&Relight::none());
        self.shown.light = Some(page::Light {
            relit: true,
            ..light(self.profile.as_ref()?, &report)
        });
        Some("The colours are taken from your cube as it is in this light.")
    }

    fn relight(&mut self, session: &mut Session) {
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

    fn obey(&mut self, request: Request, session: &mut Session) {
        match request {
            Request::UseProfile(name) => {
                let loaded =
                    Profile::path(&self.profiles, &name).and_then(|path| Profile::load(&path));
                match loaded {
                    Ok(profile) => self.use_profile(profile, session),
                    Err(error) => self.shown.trouble = Some(in_one_line(&error.to_string())),
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
                    Err(words) => self.shown.trouble = Some(in_one_line(&words)),
                }
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
        self.shown.speaker = if speaks {
            SpeakerState::Speaks
        } else {
            self.speaker = None;
            SpeakerState::Missing
        };
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
    fn show_profile(&mut self) {
        self.shown.profiles = names(&self.profiles);
        self.shown.light = self
            .profile
            .as_ref()
            .map(|profile| light(profile, &calibrating::report(profile)));
    }

    fn show_calibration(&mut self, calibrating: &Calibrating) {
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
        self.shown.calibration = Some(now);
    }

    /// Goes on where the calibration began: with the hint, if there was one.
    fn end_calibration(&mut self, words: &str, session: &Session) {
        self.calibrating = None;
        self.shown.calibration = None;
        let text = session.known().map(|known| known.text());
        self.headline(text.as_deref().unwrap_or(SHOW_A_CORNER));
        self.shown.passed = words.into();
        self.show_known(session, false);
        self.show_set_up(session);
        self.say(&[format!("{words} {}", self.shown.sentence)]);
    }

    fn show_coaching(&mut self, look: &Look, session: &Session, events: &[Timed]) {
        if look.frame.is_some() && self.shown.trouble.is_some() {
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
        let news = events.iter().any(|timed| is_news(&timed.event));
        if news {
            self.shown.passed.clear();
        }
        let mut words: Vec<String> = events
            .iter()
            .filter_map(|timed| self.tell(&timed.event))
            .collect();
        let remark = self.remark.take();
        words.extend(remark.clone());
        let of_the_light = self.show_light(session);
        words.extend(of_the_light.map(String::from));
        self.say(&words);
        let is_turned =
            |timed: &Timed| matches!(timed.event, Event::Turn { .. } | Event::Rotated { .. });
        if news || events.iter().any(is_turned) {
            let slip = |timed: &Timed| matches!(timed.event, Event::Slip { .. });
            self.show_known(session, events.iter().any(slip));
        }
        if events
            .iter()
            .any(|timed| matches!(timed.event, Event::Ask { .. }))
        {
            self.show_asked();
        }
        let is_read =
            |timed: &Timed| matches!(timed.event, Event::Read { .. } | Event::Followed { .. });
        if events.iter().any(is_read) {
            self.show_set_up(session);
        }
        if let Some(remark) = remark {
            self.shown.passed = remark;
        }
        if events.iter().any(|timed| is_impossible(&timed.event)) {
            self.show_fault(session);
        }
    }

    /// What is wrong with a cube that cannot be solved, and what to do about it.
    fn show_fault(&mut self, session: &Session) {
        let fault = session.reading().and_then(|reading| reading.faults.first());
        if let Some(fault) = fault {
            self.shown.passed = capital(&fault.say);
            self.headline(&fault.repair);
        }
    }

    fn show_waiting(&mut self, look: &Look, session: &Session) {
        let line = match (look.faces.is_empty(), session.settled(), session.known()) {
            (true, _, None) => "Waiting for the cube. Hold it as large as the dashed one.",
            (true, _, Some(known)) if known.gives_turns() => "Make the turns, then show the cube.",
            (true, _, Some(_)) => {
                "Show the cube when you have done it, or unchanged for more help."
            }
            (false, true, _) => "Seen. Take the cube away and turn.",
            (false, false, _) if session.saw().is_empty() => "Looking. Hold still.",
            (false, false, _) => "Now show the other sides.",
        };
        self.shown.waiting = self.waiting.hear(line, self.now).into();
    }
}

impl Screen {
    /// Does what was asked for on the page.
    fn serve(&mut self, session: &mut Session) {
        let cameras = self.wishes.cameras();
        if cameras != self.shown.cameras {
            self.shown.cameras = cameras;
            self.page.show(&self.shown);
        }
        while let Some(request) = self.wishes.next() {
            self.obey(request, session);
            self.page.show(&self.shown);
        }
        session.rest(self.calibrating.is_some());
    }

    fn frame(&mut self, frame: &Frame, look: &Look, session: &Session, events: &[Timed]) {
        if self.trouble_until_frame {
            self.trouble_until_frame = false;
            self.shown.trouble = None;
            self.waiting = Waiting::default();
        }
        self.shown.browser_camera = self.wishes.browser();
        if let Some(mut calibrating) = self.calibrating.take() {
            if calibrating.see(self.now, look) {
                self.show_calibration(&calibrating);
            }
            self.calibrating = Some(calibrating);
        } else {
            self.show_coaching(look, session, events);
        }
        let before = std::mem::replace(&mut self.before, look.clone());
        self.shown.found = Some(Arc::new(found(
            look,
            &before,
            session.view().map(|(_, reading)| reading),
        )));
        self.shown.mirrored_feed = session.view().is_some_and(|(_, reading)| reading.mirrored);
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
