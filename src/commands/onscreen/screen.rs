//! What the loop tells, as the page shows and speaks it.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::Manner;
use super::found::found;
use super::sources::Wishes;
use crate::camera::{Frame, TroubleKind};
use crate::colour::{Model, Profile, Relight};
use crate::live::{Audience, Event, Kind, RUNGS, Session, Timed, drawing};
use crate::page::{self, BrowserCamera, Closest, Drawing, Page, Request, Say, Shown};
use crate::read::Reader;
use crate::sight::Look;

/// Seconds without a cube after which the coach is at rest. Shorter would call a few turns out of the picture a rest.
const AT_REST: f64 = 5.0;

/// Shows on a page.
pub struct Screen {
    page: Page,
    shown: Shown,
    /// When a face was last in the picture, seconds of the stream.
    last_face: f64,
    /// The trouble on the screen goes when the next frame comes.
    trouble_until_frame: bool,
    /// The profile in use, if any.
    profile: Option<Profile>,
    /// The folder that holds profiles.
    profiles: PathBuf,
    wishes: Wishes,
}

impl Screen {
    /// A screen that has shown nothing yet.
    pub fn new(page: Page, manner: Manner, wishes: Wishes) -> Screen {
        let shown = Shown {
            sentence: "Show me a corner of your cube, and hold it still.".into(),
            waiting: "Waiting for the camera.".into(),
            quiet: manner.quiet,
            profiles: names(&manner.profiles),
            ..Shown::default()
        };
        let mut screen = Screen {
            page,
            shown,
            last_face: 0.0,
            trouble_until_frame: false,
            profile: manner.profile,
            profiles: manner.profiles,
            wishes,
        };
        screen.show_profile();
        screen.page.show(&screen.shown);
        screen
    }

    fn tell(&mut self, event: &Event) -> Option<String> {
        match event {
            Event::Saw { .. } | Event::End {} => None,
            Event::Read { text, .. } | Event::Followed { text, .. } => {
                self.shown.trouble = None;
                self.headline(text);
                Some(text.clone())
            }
            Event::Hint {
                level, text, hold, ..
            } => {
                self.shown.trouble = None;
                self.shown.rung = *level;
                self.headline(text);
                let (down, front) = (hold.down.name(), hold.front.name());
                let hold = format!("Hold it with {down} down and {front} in front. ");
                let hold = if *level == 1 { hold.as_str() } else { "" };
                Some(format!("{hold}{}", spoken(text, *level)))
            }
            Event::Slip { text, .. } | Event::Ask { text, .. } => {
                self.headline(text);
                Some(capital(text))
            }
            Event::Trouble { kind, text } => {
                self.trouble(*kind, text);
                self.shown.trouble.clone()
            }
        }
    }

    /// The first sentence in large letters, the rest below it.
    fn headline(&mut self, text: &str) {
        let text = capital(text);
        let (first, rest) = first_sentence(&text);
        self.shown.sentence = first.into();
        self.shown.why = rest.into();
    }

    fn trouble(&mut self, kind: Kind, text: &str) {
        self.trouble_until_frame = matches!(kind, Kind::Camera(_));
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
        self.shown.trouble = Some(text.lines().map(capital).collect::<Vec<_>>().join(" "));
    }

    /// What is told is spoken, all of one moment as one.
    fn say(&mut self, words: &[String]) {
        if !words.is_empty() {
            self.shown.say = Say {
                serial: self.shown.say.serial + 1,
                text: words.join(" ").into(),
            };
        }
    }

    /// The drawn cube and the turns that belong to what is known now.
    fn show_known(&mut self, session: &Session, slipped: bool) {
        let Some(known) = session.known() else { return };
        let hold = known.held().hold;
        self.shown.drawing = Some(Drawing {
            svg: drawing(known).into(),
            description: format!(
                "The cube held with {} down and {} in front",
                hold.down().name(),
                hold.front().name()
            )
            .into(),
        });
        self.shown.present = 0;
        self.shown.moves = if slipped || known.gives_turns() {
            known.moves().iter().map(ToString::to_string).collect()
        } else {
            Vec::new()
        };
    }

    /// How the light is, once the cube has been seen under it.
    fn show_light(&mut self, session: &Session) {
        let seen = session.reading().and_then(|reading| reading.light.as_ref());
        if let (Some(light), Some(seen)) = (&mut self.shown.light, seen) {
            light.like_profile = seen.like_profile;
            light.distance = Some(seen.distance as f32);
        }
    }

    fn use_profile(&mut self, name: &str, session: &mut Session) {
        let loaded = Profile::path(&self.profiles, name).and_then(|path| Profile::load(&path));
        match loaded {
            Ok(profile) => {
                session.read_by(Reader::new(Some(&profile)));
                self.profile = Some(profile);
                self.show_profile();
            }
            Err(error) => {
                self.shown.trouble = Some(capital(&error.to_string().replace('\n', ". ")))
            }
        }
        self.page.show(&self.shown);
    }

    /// The profile in use, and how good its own light is.
    fn show_profile(&mut self) {
        let Some(profile) = &self.profile else { return };
        let report = Model::from_profile(profile).judge_light(&Relight::none());
        self.shown.light = Some(page::Light {
            profile: profile.name.clone(),
            like_profile: true,
            distance: None,
            closest: Some(Closest {
                a: report.closest.0,
                b: report.closest.1,
                distance: report.difference as f32,
            }),
            advice: report
                .remedies
                .iter()
                .map(|remedy| remedy.say())
                .collect::<Vec<_>>()
                .join(" "),
        });
    }

    fn show_waiting(&mut self, look: &Look, session: &Session, now: f64) {
        if !look.faces.is_empty() {
            self.last_face = now;
        }
        self.shown.paused = session.known().is_some() && now - self.last_face > AT_REST;
        let known = session.known();
        self.shown.waiting = match (look.faces.is_empty(), session.settled(), known) {
            (true, _, None) => "Waiting for the cube.",
            (true, _, Some(known)) if known.gives_turns() => "Make the turns, then show the cube.",
            (true, _, Some(_)) => {
                "Show the cube when you have done it, or unchanged for more help."
            }
            (false, true, _) => "Seen. Take the cube away and turn.",
            (false, false, _) if session.saw().is_empty() => "Looking. Hold still.",
            (false, false, _) => "Now show the other sides.",
        }
        .into();
    }
}

impl Audience for Screen {
    fn between(&mut self, session: &mut Session) {
        let cameras = self.wishes.cameras();
        if cameras != self.shown.cameras {
            self.shown.cameras = cameras;
            self.page.show(&self.shown);
        }
        while let Some(request) = self.wishes.next() {
            if let Request::UseProfile(name) = request {
                self.use_profile(&name, session);
            }
        }
    }

    fn frame(
        &mut self,
        frame: &Frame,
        look: &Look,
        session: &Session,
        events: &[Timed],
    ) -> io::Result<()> {
        if self.trouble_until_frame {
            self.trouble_until_frame = false;
            self.shown.trouble = None;
        }
        self.shown.browser_camera = self.wishes.browser();
        let words: Vec<String> = events
            .iter()
            .filter_map(|timed| self.tell(&timed.event))
            .collect();
        self.say(&words);
        let slipped = events
            .iter()
            .any(|timed| matches!(timed.event, Event::Slip { .. }));
        if !words.is_empty() {
            self.show_known(session, slipped);
        }
        self.shown.seen = session.saw().to_vec();
        self.shown.found = Some(Arc::new(found(
            look,
            session.view().map(|(_, reading)| reading),
        )));
        self.shown.mirrored_feed = session.view().is_some_and(|(_, reading)| reading.mirrored);
        self.show_light(session);
        self.show_waiting(look, session, frame.at.as_secs_f64());
        self.page.show(&self.shown);
        if self.page.tabs() > 0 {
            self.page.image(frame.image.clone());
        }
        Ok(())
    }

    fn event(&mut self, event: &Timed) -> io::Result<()> {
        let words = self.tell(&event.event);
        self.say(words.as_slice());
        self.page.show(&self.shown);
        Ok(())
    }
}

/// Cuts a text after its first sentence.
fn first_sentence(text: &str) -> (&str, &str) {
    let text = text.trim();
    text.match_indices(['.', '!', '?'])
        .map(|(at, _)| text.split_at(at + 1))
        .find(|(_, rest)| rest.is_empty() || rest.starts_with(char::is_whitespace))
        .map_or((text, ""), |(first, rest)| (first, rest.trim()))
}

/// A text that begins with a capital and ends with a stop.
fn capital(text: &str) -> String {
    let text = text.trim();
    let mut letters = text.chars();
    let first = letters
        .next()
        .map(|c| c.to_uppercase().to_string())
        .unwrap_or_default();
    let stop = if text.is_empty() || text.ends_with(['.', '!', '?']) {
        ""
    } else {
        "."
    };
    format!("{first}{}{stop}", letters.as_str())
}

/// What is spoken of a hint: no notation, and below the rung of the turns no more than two sentences, as the rest can be
/// read at leisure.
fn spoken(text: &str, level: u8) -> String {
    let mut words = String::new();
    let mut depth = 0;
    for letter in text.chars() {
        match letter {
            '(' => depth += 1,
            ')' => depth -= 1,
            _ if depth == 0 => words.push(letter),
            _ => {}
        }
    }
    let words = words
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .replace(" .", ".")
        .replace(" ,", ",");
    if level >= RUNGS {
        return words;
    }
    let (first, rest) = first_sentence(&words);
    let (second, _) = first_sentence(rest);
    format!("{first} {second}").trim().to_owned()
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
mod tests {
    use super::*;

    #[test]
    fn the_first_sentence_is_cut_off_and_nothing_is_lost() {
        for (text, first, rest) in [
            ("Turn it. Then look.", "Turn it.", "Then look."),
            ("Well done!", "Well done!", ""),
            ("no stop", "no stop", ""),
            ("", "", ""),
            ("About 1.5 turns. Go.", "About 1.5 turns.", "Go."),
        ] {
            assert_eq!(first_sentence(text), (first, rest));
        }
    }

    #[test]
    fn asked_for_in_lower_case_is_shown_as_a_sentence() {
        assert_eq!(capital("show me the red face"), "Show me the red face.");
        assert_eq!(capital("Is it?"), "Is it?");
        assert_eq!(capital(""), "");
    }

    #[test]
    fn notation_and_long_reasons_are_not_spoken() {
        let turns =
            "Top half way round (U2). Left side up, top to the right (L' U'). That is all. Done.";
        let all = "Top half way round. Left side up, top to the right. That is all. Done.";
        assert_eq!(spoken(turns, 4), all);
        assert_eq!(
            spoken(turns, 3),
            "Top half way round. Left side up, top to the right."
        );
        assert_eq!(spoken("One.", 1), "One.");
    }
}
