//! The loop with the page beside the terminal.

mod calibrating;
mod chosen;
mod course;
mod drawing;
mod fault;
mod found;
mod lexicon;
mod screen;
mod seeing;
mod sources;
mod speaker;
mod tally;
mod waiting;
mod words;

use std::io;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::{Duration, Instant};

pub use chosen::place as place_of_choices;
use screen::Screen;
use sources::Switching;

use super::outcome::print_aside;
use crate::camera::FrameSource;
use crate::coach::Level;
use crate::colour::Profile;
use crate::cube::Colour;
use crate::live::{Listener, Session, watch};
use crate::page::{self, Page};

/// How long a replay waits for somebody to watch it.
const CURTAIN: Duration = Duration::from_secs(10);

/// What is asked for this time, whatever was chosen before.
#[derive(Clone, Copy, Debug, Default)]
pub struct Asked {
    pub cross: Option<Colour>,
    pub level: Option<Level>,
    pub mirrored: Option<bool>,
}

/// How the page is shown.
pub struct DisplayOptions {
    /// The frames are files: they wait for a tab, and no camera takes their place.
    pub replay: bool,
    /// Never speak.
    pub quiet: bool,
    /// The profile in use, if any.
    pub profile: Option<Profile>,
    /// The folder that holds profiles.
    pub profiles: PathBuf,
    pub asked: Asked,
    /// Where what is chosen on the page is kept.
    pub kept: Option<PathBuf>,
    /// Where what was practised is kept.
    pub journal: Option<PathBuf>,
}

/// Opens the page in the usual browser, and watches until the frames end or `stop` is set; the page listens last.
pub fn show(
    page: Page,
    source: Box<dyn FrameSource>,
    mut session: Session,
    listeners: Vec<&mut dyn Listener>,
    options: DisplayOptions,
    stop: &AtomicBool,
) -> io::Result<()> {
    print_aside(format_args!("the page: {}", page.address()));
    // Where no browser can be opened the address is still there to be opened by hand.
    let _ = page.one_time_address().and_then(|door| page::open(&door));
    let began = Instant::now();
    while options.replay
        && page.tabs() == 0
        && began.elapsed() < CURTAIN
        && !stop.load(Ordering::Relaxed)
    {
        thread::sleep(Duration::from_millis(20));
    }
    let mut source = Switching::new(source, options.replay, page.requests());
    let mut screen = Screen::new(page, options, source.shared(), &mut session);
    let mut all: Vec<&mut dyn Listener> = Vec::new();
    for listener in listeners {
        all.push(listener);
    }
    all.push(&mut screen);
    watch(&mut source, &mut session, &mut all, stop)
}
