//! What the loop's thread and all tabs share.

use std::sync::atomic::{AtomicU64, AtomicUsize, Ordering};
use std::sync::{Arc, OnceLock};

use axum::http::header::HeaderValue;
use serde_json::{Map, Value};
use tokio::sync::watch;

use super::guard::Guard;
use super::inbox::{Inbox, Requests};
use super::picture::Picture;
use super::shown::Shown;

/// More tabs than anybody watches; the next one is turned away so that memory stays bounded.
const MOST_TABS: usize = 16;

/// A document that the page links to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// What was practised.
    Journal,
    /// The guide to print.
    Guide,
}

/// Makes a document as a whole HTML file; why there is none, in words, where it cannot be made.
pub type Papers = Box<dyn Fn(Paper) -> Result<String, String> + Send + Sync>;

/// What the loop's thread hands to the tabs, and they to it. Everything is "latest wins" or bounded.
pub struct Hub {
    pub(super) guard: Guard,
    /// The page's content security policy.
    pub(super) policy: HeaderValue,
    pub(super) shown: watch::Sender<Arc<Map<String, Value>>>,
    pub(super) picture: watch::Sender<Arc<Picture>>,
    /// The tab whose camera is in use.
    pub(super) filming: watch::Sender<Option<u64>>,
    pub(super) stopping: watch::Sender<bool>,
    pub(super) inbox: Arc<Inbox>,
    papers: OnceLock<Papers>,
    tabs: AtomicUsize,
    last_tab: AtomicU64,
}

impl Hub {
    pub fn new(guard: Guard) -> Hub {
        // Nothing from outside, nothing inline, no framing. `blob:` images are the drawn cube.
        let policy = format!(
            "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self' {}; \
             base-uri 'none'; form-action 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'",
            guard.socket_sources()
        );
        Hub {
            // Hosts and digits only, so it is always a legal header.
            policy: HeaderValue::from_str(&policy)
                .unwrap_or(HeaderValue::from_static("default-src 'none'")),
            guard,
            shown: watch::channel(Arc::default()).0,
            picture: watch::channel(Arc::default()).0,
            filming: watch::channel(None).0,
            stopping: watch::channel(false).0,
            inbox: Arc::new(Inbox::new()),
            papers: OnceLock::new(),
            tabs: AtomicUsize::new(0),
            last_tab: AtomicU64::new(0),
        }
    }

    pub fn show(&self, shown: &Shown) {
        // Plain structs of numbers and strings always serialise to an object.
        if let Ok(Value::Object(fields)) = serde_json::to_value(shown) {
            self.shown.send_replace(Arc::new(fields));
        }
    }

    pub fn picture(&self, picture: Picture) {
        self.picture.send_replace(Arc::new(picture));
    }

    pub fn keep_papers(&self, papers: Papers) {
        // Those that were given first stay: a page has one session.
        let _ = self.papers.set(papers);
    }

    /// A document; none where nobody makes any.
    pub fn paper(&self, paper: Paper) -> Option<Result<String, String>> {
        self.papers.get().map(|papers| papers(paper))
    }

    pub fn requests(&self) -> Requests {
        Requests(Arc::clone(&self.inbox))
    }

    pub fn tabs(&self) -> usize {
        self.tabs.load(Ordering::Relaxed)
    }

    pub fn stop(&self) {
        self.stopping.send_replace(true);
    }

    /// A seat for one more tab, given back when it is dropped.
    pub fn seat(self: &Arc<Hub>) -> Option<Seat> {
        self.tabs
            .fetch_update(Ordering::Relaxed, Ordering::Relaxed, |n| {
                (n < MOST_TABS).then_some(n + 1)
            })
            .ok()?;
        Some(Seat {
            id: self.last_tab.fetch_add(1, Ordering::Relaxed) + 1,
            hub: Arc::clone(self),
        })
    }
}

/// One tab's place among those that watch.
pub struct Seat {
    pub id: u64,
    pub hub: Arc<Hub>,
}

impl Drop for Seat {
    fn drop(&mut self) {
        self.hub.tabs.fetch_sub(1, Ordering::Relaxed);
    }
}
