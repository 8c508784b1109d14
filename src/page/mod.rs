//! The local page that a learner looks at: what it shows, the server that shows it, and what comes back from it.
//!
//! [`Page::start`] serves one page on the loopback address from a thread of its own. The loop hands over a [`Shown`]
//! whenever something changed and a picture for each frame; both are "latest wins", so neither call ever waits for a
//! browser. What learners do on the page comes back as [`Request`]s.
//!
//! The page knows nothing of how the loop works, and no picture that passes through here is stored.
//!
//! Every thing has its place on it: `page.css` gives rows and columns as shares of the window, and words are set as large as
//! their place allows (`fit.js`), so that no sentence moves the picture or the cube. The sentence says what to do now; what has
//! just happened is a line above it. The page is sent stickers and a move, and turns the cube itself: `cube.js` cuts it into layers that
//! stand and that turn, boxes between parallel planes, which hide one another in the order of their distance.

mod browser;
mod choices;
mod connections;
#[cfg(any(test, fuzzing))]
pub(crate) mod fuzzed;
mod guard;
mod hub;
mod inbox;
mod peer;
mod picture;
mod server;
mod shown;
mod tab;

use std::net::{Ipv4Addr, SocketAddr, TcpListener};
use std::sync::Arc;
use std::thread::{self, JoinHandle};
use std::{fmt, io};

use image::RgbImage;

pub use browser::open;
pub use choices::{Choice, Choices, LevelChoice, Pace};
pub use hub::{Paper, Papers};
pub use inbox::{Request, Requests};
pub use shown::{
    BrowserCamera, Calibration, CameraName, Clock, Closest, Cue, CueKind, Drawing, Exercise, Found,
    FoundFace, Light, Progress, Say, Scene, Seeing, Shown, SlotState, SpeakerState, Sticker,
    Swatch, Term, Turns,
};

use guard::{Guard, Token};
use hub::Hub;
use picture::Picture;

/// How to start a [`Page`].
#[derive(Clone, Copy, Debug, Default)]
pub struct Options {
    /// The port to listen on; `None` takes any free one.
    pub port: Option<u16>,
}

/// Why the page could not be served.
#[derive(Debug)]
pub enum PageError {
    /// Another program listens on the port.
    Taken(u16),
    /// The port cannot be listened on for another reason, such as a missing right; port 0 stands for "any".
    Listen(u16, io::Error),
    /// The server's thread or its runtime did not start.
    Start(io::Error),
    /// The system gave no random bytes for the address.
    Random(getrandom::Error),
}

impl fmt::Display for PageError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PageError::Taken(port) => write!(
                f,
                "port {port}: another program is using it\ngive another port, or none to take a free one"
            ),
            PageError::Listen(0, cause) => {
                write!(f, "no port of this machine can be listened on: {cause}")
            }
            PageError::Listen(port, cause) => write!(
                f,
                "port {port}: {cause}\ngive a port from 1024 to 65535, or none to take a free one"
            ),
            PageError::Start(cause) => write!(f, "the page's server did not start: {cause}"),
            PageError::Random(cause) => write!(
                f,
                "the system gave no random bytes for the page's address: {cause}"
            ),
        }
    }
}

impl std::error::Error for PageError {}

/// A page being served. Dropping it stops the server, as [`Page::stop`] does.
pub struct Page {
    /// Ends in the port.
    origin: String,
    address: String,
    hub: Arc<Hub>,
    thread: Option<JoinHandle<()>>,
}

impl Page {
    /// Starts serving on 127.0.0.1.
    ///
    /// # Errors
    /// [`PageError::Taken`] when the port given is in use; the others when the system refuses.
    pub fn start(options: Options) -> Result<Page, PageError> {
        let asked = options.port.unwrap_or(0);
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, asked)).map_err(|cause| {
            if cause.kind() == io::ErrorKind::AddrInUse {
                PageError::Taken(asked)
            } else {
                PageError::Listen(asked, cause)
            }
        })?;
        listener
            .set_nonblocking(true)
            .map_err(|cause| PageError::Listen(asked, cause))?;
        let at: SocketAddr = listener
            .local_addr()
            .map_err(|cause| PageError::Listen(asked, cause))?;
        let token = Token::random().map_err(PageError::Random)?;
        let origin = format!("http://{at}");
        let address = format!("{origin}{}", token.path());
        let hub = Arc::new(Hub::new(Guard::new(at.port(), token)));

        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .map_err(PageError::Start)?;
        let served = Arc::clone(&hub);
        let thread = thread::Builder::new()
            .name("page".into())
            .spawn(move || runtime.block_on(server::serve(listener, served)))
            .map_err(PageError::Start)?;
        Ok(Page {
            origin,
            address,
            hub,
            thread: Some(thread),
        })
    }

    /// The address to open, token included. Who has it can see the pictures, so it is for this learner only.
    pub fn address(&self) -> &str {
        &self.address
    }

    /// An address that leads to the page once, within a minute, for a browser's command line: every user of the machine can
    /// read that.
    ///
    /// # Errors
    /// When the system gives no random bytes.
    pub fn one_time_address(&self) -> io::Result<String> {
        let door = self.hub.guard.open_door().map_err(io::Error::other)?;
        Ok(format!("{}{door}", self.origin))
    }

    /// Shows this from now on. Never waits; tabs are sent only what differs from what they have.
    pub fn show(&self, shown: &Shown) {
        self.hub.show(shown);
    }

    /// Shows this JPEG picture from now on. Never waits; a tab that is still busy with an earlier one skips ahead later.
    pub fn picture(&self, jpeg: Arc<[u8]>) {
        self.hub.picture(Picture::of_jpeg(jpeg));
    }

    /// Shows this picture from now on, as [`Page::picture`] does. It is coded on the page's thread, and only if a tab is
    /// ready to draw it.
    pub fn image(&self, image: RgbImage) {
        self.hub.picture(Picture::of_image(image));
    }

    /// Has the documents that the page links to made by this from now on.
    pub fn keep_papers(&self, papers: Papers) {
        self.hub.keep_papers(papers);
    }

    /// What learners ask for. Handles share one inbox: each request is given out once.
    pub fn requests(&self) -> Requests {
        self.hub.requests()
    }

    /// How many tabs watch at this moment.
    pub fn tabs(&self) -> usize {
        self.hub.tabs()
    }

    /// Tells the tabs that it is over, closes them and the port, and waits until that is done (under a second).
    pub fn stop(mut self) {
        self.end();
    }

    fn end(&mut self) {
        self.hub.stop();
        if let Some(thread) = self.thread.take() {
            // A panic on that thread has been printed already, and there is nothing left to end.
            let _ = thread.join();
        }
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        self.end();
    }
}
