//! How a command ends: exit codes, failures, and the one JSON document that stdout holds.

use std::borrow::Cow;
use std::fmt;
use std::io::{self, Write};

use serde::Serialize;

use crate::input::{harmless, steers};

/// The version of every JSON document this program prints.
pub const SCHEMA: u32 = 1;

/// A process's exit code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// What was asked is done.
    Done = 0,
    /// Something else went wrong.
    Failed = 1,
    /// Bad usage, or a file that is unreadable or malformed.
    Usage = 2,
    /// Not enough was seen, or not sure enough, to say.
    Unsure = 3,
    /// A well-formed net or reading that cannot be a legal cube.
    Impossible = 4,
}

impl From<Exit> for std::process::ExitCode {
    fn from(exit: Exit) -> Self {
        std::process::ExitCode::from(exit as u8)
    }
}

/// Why a command could not do its work: `what: cause`, and what to do next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Failure {
    pub exit: Exit,
    /// What and where, lower case, no full stop.
    pub cause: String,
    /// What to do next.
    pub remedy: Option<String>,
}

impl Failure {
    /// A malformed input or usage: exit code 2.
    pub fn usage(cause: impl Into<String>) -> Self {
        Failure {
            exit: Exit::Usage,
            cause: cause.into(),
            remedy: None,
        }
    }

    /// Anything else: exit code 1.
    pub fn failed(cause: impl Into<String>) -> Self {
        Failure {
            exit: Exit::Failed,
            cause: cause.into(),
            remedy: None,
        }
    }

    /// The same failure, with what to do next.
    pub fn remedy(mut self, remedy: impl Into<String>) -> Self {
        self.remedy = Some(remedy.into());
        self
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.cause)?;
        match &self.remedy {
            Some(remedy) => write!(f, "\n{remedy}"),
            None => Ok(()),
        }
    }
}

/// Why a command stopped before its end.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stop {
    /// It could not do its work.
    Failed(Failure),
    /// Whoever read its output had enough, as `head` has: no failure, and nobody left to tell.
    Unread,
}

impl From<Failure> for Stop {
    fn from(failure: Failure) -> Self {
        Stop::Failed(failure)
    }
}

/// What went wrong while writing. What the system did not refuse itself says what it was.
impl From<io::Error> for Stop {
    fn from(error: io::Error) -> Self {
        if error.kind() == io::ErrorKind::BrokenPipe {
            return Stop::Unread;
        }
        Stop::Failed(Failure::failed(match error.raw_os_error() {
            Some(_) => format!("standard output: {error}"),
            None => error.to_string(),
        }))
    }
}

/// What a command returns.
pub type Ended = Result<Exit, Stop>;

/// A failure as a JSON document.
#[derive(Serialize)]
pub struct ErrorDocument {
    schema: u32,
    outcome: &'static str,
    say: String,
}

impl From<&Failure> for ErrorDocument {
    fn from(failure: &Failure) -> Self {
        ErrorDocument {
            schema: SCHEMA,
            outcome: "error",
            say: failure.to_string(),
        }
    }
}

/// Writes one document on one line of stdout.
pub fn print_document(document: &impl Serialize) -> io::Result<()> {
    let mut out = io::stdout().lock();
    write_document(&mut out, document)?;
    out.flush()
}

/// Writes one document on one line.
pub fn write_document(out: &mut impl Write, document: &impl Serialize) -> io::Result<()> {
    writeln!(out, "{}", escaped(&serde_json::to_string(document)?))
}

/// The same JSON document with what a terminal would obey written as JSON's escapes. Such characters stand in strings only, and
/// what those below U+0020 are is escaped already.
fn escaped(json: &str) -> Cow<'_, str> {
    if !json.chars().any(steers) {
        return Cow::Borrowed(json);
    }
    let mut text = String::with_capacity(json.len() + 8);
    for c in json.chars() {
        if steers(c) {
            // All of them lie in the basic plane.
            text.push_str(&format!("\\u{:04x}", u32::from(c)));
        } else {
            text.push(c);
        }
    }
    Cow::Owned(text)
}

/// Writes prose and a line end on stdout.
pub fn print_prose(text: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    writeln!(out, "{}", harmless(text))?;
    out.flush()
}

/// Writes a line beside the output, on stderr. Where even that cannot be written, nobody is there to read it.
pub fn print_aside(line: impl fmt::Display) {
    let _ = writeln!(io::stderr(), "{}", harmless(&line.to_string()));
}
