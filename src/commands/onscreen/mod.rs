//! The loop with the page beside the terminal.

mod calibrating;
mod drawn;
mod found;
mod screen;
mod sources;
mod waiting;
mod words;

use std::io;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use screen::Screen;
use sources::Switching;

use super::outcome::print_aside;
use crate::camera::{Frame, FrameSource};
use crate::colour::Profile;
use crate::live::{Audience, Session, Timed, watch};
use crate::page::{self, Page};
use crate::sight::Look;

/// How long a replay waits for somebody to watch it.
const CURTAIN: Duration = Duration::from_secs(10);

/// How the page is shown.
pub struct Manner {
    /// The frames are files: they wait for a tab, and no camera takes their place.
    pub replay: bool,
    /// Never speak.
    pub quiet: bool,
    /// The profile in use, if any.
    pub profile: Option<Profile>,
    /// The folder that holds profiles.
    pub profiles: PathBuf,
}

/// Opens the page in the usual browser, and watches until the frames end or `stop` is set.
pub fn show<A: Audience>(
    page: Page,
    source: Box<dyn FrameSource>,
    mut session: Session,
    terminal: A,
    manner: Manner,
    stop: &AtomicBool,
) -> io::Result<()> {
    print_aside(format_args!("the page: {}", page.address()));
    // Where no browser can be opened the address is still there to be opened by hand.
    let _ = page::open(page.address());
    let began = Instant::now();
    while manner.replay
        && page.tabs() == 0
        && began.elapsed() < CURTAIN
        && !stop.load(Ordering::Relaxed)
    {
        thread::sleep(Duration::from_millis(20));
    }
    let mut source = Switching::new(source, manner.replay, page.requests());
    let mut both = Both {
        terminal,
        screen: Screen::new(page, manner, source.wishes(), &session),
    };
    watch(&mut source, &mut session, &mut both, stop)
}

/// The terminal and the page.
struct Both<A> {
    terminal: A,
    screen: Screen,
}

impl<A: Audience> Audience for Both<A> {
    fn between(&mut self, session: &mut Session) {
        self.screen.between(session);
    }

    fn frame(
        &mut self,
        frame: &Frame,
        look: &Look,
        session: &Session,
        events: &[Timed],
    ) -> io::Result<()> {
        if !self.screen.calibrating() {
            self.terminal.frame(frame, look, session, events)?;
            self.screen.hear(self.terminal.remark());
        }
        self.screen.frame(frame, look, session, events)
    }

    fn event(&mut self, event: &Timed) -> io::Result<()> {
        self.terminal.event(event)?;
        self.screen.event(event)
    }

    fn ended(&mut self, session: &Session, events: &[Timed]) -> io::Result<()> {
        self.terminal.ended(session, events)?;
        self.screen.hear(self.terminal.remark());
        self.screen.ended(session, events)
    }
}
