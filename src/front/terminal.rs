//! How the loop's events are told in the terminal: as JSON lines, or as sentences.

use std::io::{self, IsTerminal, Write};

use super::outcome::{print_document, print_prose};
use crate::cube::Colour;
use crate::live::{Event, Listener, Moment, Session, Timed};

/// Tells events on stdout, and progress on stderr where a person watches.
pub struct Terminal {
    json: bool,
    progress: bool,
    /// The last progress line, so that it is written once.
    line: String,
}

impl Terminal {
    /// As JSON, one object a line, or else as sentences.
    pub fn new(json: bool) -> Self {
        Terminal {
            json,
            progress: !json && io::stderr().is_terminal(),
            line: String::new(),
        }
    }

    fn progress(&mut self, line: String) -> io::Result<()> {
        if self.progress && line != self.line {
            // Over the line before it, and clear what that had more.
            write!(io::stderr(), "\r{line}\x1b[K")?;
            io::stderr().flush()?;
            self.line = line;
        }
        Ok(())
    }
}

impl Terminal {
    fn event(&mut self, timed: &Timed) -> io::Result<()> {
        if self.json {
            return print_document(timed);
        }
        let Some(text) = sentence(&timed.event) else {
            return Ok(());
        };
        self.progress(String::new())?;
        print_prose(&text)
    }
}

impl Listener for Terminal {
    fn hear(&mut self, moment: &mut Moment, session: &mut Session) -> io::Result<()> {
        for event in &moment.events {
            self.event(event)?;
        }
        if let Some(remark) = moment.remark.as_ref().filter(|_| !self.json) {
            print_prose(remark)?;
        }
        let Some((_, look)) = &moment.seen else {
            return Ok(());
        };
        let seen = names(session.saw());
        let doing = match (look.faces.len(), session.has_told_state()) {
            (0, _) => "waiting for the cube".to_owned(),
            (_, true) => "seen; turn it here, or hold it close for more help".to_owned(),
            (_, false) if seen.is_empty() => "looking; hold still".to_owned(),
            (_, false) => format!("looking; seen so far: {seen}"),
        };
        self.progress(doing)
    }
}

/// What a person is told of an event; nothing for what only scripts need.
pub fn sentence(event: &Event) -> Option<String> {
    match event {
        Event::Saw { .. } | Event::Turn { .. } | Event::Rotated { .. } | Event::Still {} => None,
        Event::Read { text, .. } => Some(format!("\n{text}")),
        Event::Followed { text, shorter, .. } => Some(match shorter {
            Some(shorter) => format!("\n{text}\n{shorter}"),
            None => format!("\n{text}"),
        }),
        Event::Hint { text, .. } => Some(text.clone()),
        Event::Slip { text, .. } => Some(format!("\n{text}")),
        Event::Ask { text, .. } => Some(text.clone()),
        Event::Trouble { text, .. } => Some(format!("! {text}")),
        Event::End {} => None,
    }
}

/// Colours by name, as in "white, red".
pub fn names(colours: &[Colour]) -> String {
    colours
        .iter()
        .map(|colour| colour.name())
        .collect::<Vec<_>>()
        .join(", ")
}
