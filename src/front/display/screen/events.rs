//! What each event puts on the page, and what is said of it.

use super::super::tally::Tally;
use super::super::words::{capital, first_sentence, in_one_line, spoken};
use super::Screen;
use crate::camera::TroubleKind;
use crate::coach::words;
use crate::cube::{Colour, Cube, Net, Scheme};
use crate::front::clock::milliseconds;
use crate::live::{Event, Kept, Kind, Part, RUNGS, Seen};
use crate::page::{BrowserCamera, Clock, Cue, CueKind, Say, SpeakerState};
use crate::solve::cross_solved;

/// Seconds for which trouble with what is in the picture is shown: long enough to read it twice, and then its cause is likely
/// gone.
const TROUBLED: f64 = 6.0;

impl Screen {
    pub(super) fn tell(&mut self, event: &Event) -> Option<String> {
        match event {
            Event::Saw { .. } => {
                self.cue(CueKind::Seen);
                None
            }
            Event::Turn { .. } | Event::Rotated { .. } | Event::Still {} | Event::End {} => None,
            Event::Read { net, text } => {
                self.answered();
                self.cue(CueKind::Read);
                self.begin_solve(net);
                self.shown.shorter.clear();
                self.shown.progress = None;
                self.passed(text);
                Some(spoken(text, RUNGS))
            }
            Event::Followed {
                text,
                shorter,
                gained,
                ..
            } => {
                self.answered();
                self.cue(CueKind::Right);
                let is_pair = |part: &Part| matches!(part, Part::Pair(_));
                self.tally.followed(gained.iter().any(is_pair));
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
            Event::Hint { level, text, .. } => {
                self.answered();
                self.tally.hinted(*level);
                self.shown.rung = *level;
                self.headline(text);
                Some(spoken(text, *level))
            }
            Event::Slip {
                undo,
                way_back,
                text,
                ..
            } => {
                // The way back is what to do now; what went wrong is past.
                self.answered();
                self.cue(CueKind::Slip);
                self.tally.slipped();
                let (slip, rest) = first_sentence(text);
                self.passed(slip);
                if !way_back || undo.is_empty() {
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
            // What is to be done about it is not in the event.
            Event::Trouble {
                kind: Kind::Seen(Seen::ImpossibleCube),
                ..
            } => {
                self.answered();
                None
            }
            Event::Trouble { kind, text } => {
                self.trouble(*kind, text);
                Some(in_one_line(text))
            }
        }
    }

    /// A solve begins with a cube that was read, unless it is one that is under way.
    fn begin_solve(&mut self, net: &Net) {
        let has_cross = |cube: Cube| Colour::ALL.iter().any(|c| cross_solved(&cube, *c));
        let running = self.shown.clock.is_some_and(|clock| clock.ended.is_none());
        if running && Scheme::state(net).is_some_and(|(_, cube)| has_cross(cube)) {
            return;
        }
        self.tally = Tally::from(self.now);
        self.shown.weakest = None;
        self.shown.clock = Some(Clock {
            began: milliseconds(),
            ended: None,
        });
    }

    /// Sounds a tone.
    pub(super) fn cue(&mut self, kind: CueKind) {
        let serial = self.shown.cue.serial + 1;
        self.shown.cue = Cue { serial, kind };
    }

    /// What was asked for or troubled is past.
    pub(super) fn answered(&mut self) {
        self.shown.trouble = None;
        self.shown.asked.clear();
    }

    /// What has just happened, in a line of its own.
    pub(super) fn passed(&mut self, text: &str) {
        self.shown.passed = first_sentence(&capital(text)).0.into();
    }

    /// The first sentence in large letters, the rest below it.
    pub(super) fn headline(&mut self, text: &str) {
        let text = capital(text);
        let (first, rest) = first_sentence(&text);
        self.shown.sentence = first.into();
        self.shown.why = rest.into();
    }

    pub(super) fn trouble(&mut self, kind: Kind, text: &str) {
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

    /// What was asked for on the page cannot be done.
    pub(super) fn refuse(&mut self, why: &str) {
        self.shown.trouble = Some(in_one_line(why));
        self.trouble_until = self.now + TROUBLED;
    }

    /// This machine does not speak after all, and the page says so.
    pub(super) fn lose_voice(&mut self) {
        self.speaker = None;
        self.shown.speaker = SpeakerState::Missing;
    }

    /// What is told is spoken, all of one moment as one.
    pub(super) fn say(&mut self, words: &[String]) {
        if !words.is_empty() {
            self.shown.say = Say {
                serial: self.shown.say.serial + 1,
                text: words.join(" ").into(),
            };
            let text = &self.shown.say.text;
            if self
                .speaker
                .as_mut()
                .is_some_and(|speaker| !speaker.say(text))
            {
                self.lose_voice();
            }
        }
    }
}
