//! One tab: a socket over which words and pictures go out and requests come in.
//!
//! To the tab go JSON texts and JPEG pictures (binary); from it come JSON texts and, when its camera is in use, JPEG
//! pictures. Of each kind at most one message is under way: the next words are sent when the tab has shown the last,
//! the next picture when it has drawn the last. What came in between is skipped, so a slow tab costs nothing.

use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::Duration;

use axum::extract::ws::{CloseFrame, Message, WebSocket, close_code};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use tokio::sync::watch;

use super::choices::Choice;
use super::hub::Seat;
use super::inbox::Request;
use super::picture::Picture;

/// How long a tab may take to accept the closing message and to close.
const FAREWELL: Duration = Duration::from_millis(200);
/// A text from the tab is a short request; anything longer is not from our page.
const LONGEST_TEXT: usize = 4096;
const LONGEST_NAME: usize = 64;

/// A text from the tab.
#[derive(Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
enum FromTab {
    /// The last words are on the screen.
    Shown,
    /// The last picture is on the screen.
    Drawn,
    UseBrowserCamera,
    UseCamera {
        id: String,
    },
    BrowserCameraGone {
        why: String,
    },
    StartCalibration,
    StopCalibration,
    KeepProfile {
        name: String,
    },
    UseProfile {
        name: String,
    },
    Relight,
    SpeakHere,
    SpeakNoMore,
    Choose {
        choice: Choice,
    },
    MoreHelp,
    SkipPair,
    StartAgain,
    Practise {
        number: Option<u8>,
    },
    See,
    Answer {
        choice: u8,
    },
    NextSight,
    PractiseNoMore,
}

/// A text to the tab.
#[derive(Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
enum ToTab<'a> {
    /// Fields of [`Shown`](super::Shown) that differ from those sent before.
    Show {
        fields: BTreeMap<&'a str, &'a Value>,
    },
    /// The last frame of the tab's camera was taken; send another.
    FrameTaken,
    /// Another camera is in use now; stop this tab's.
    FilmedElsewhere,
}

/// Serves one tab until it goes away, misbehaves, or the page stops.
pub async fn run(mut socket: WebSocket, seat: Seat) {
    let mut stopping = seat.hub.stopping.subscribe();
    let end = {
        let mut tab = Tab::new(&mut socket, &seat);
        tokio::select! {
            end = tab.run() => end,
            _ = stopping.wait_for(|stop| *stop) => End::Stopped,
        }
    };
    let left = seat
        .hub
        .filming
        .send_if_modified(|filming| filming.take_if(|id| *id == seat.id).is_some());
    if left {
        let why = "the tab with the camera was closed".to_owned();
        seat.hub.inbox.put(Request::BrowserCameraGone(why));
    }
    let (code, reason) = match end {
        End::Gone => return,
        End::Stopped => (close_code::AWAY, "pairsight has ended"),
        End::Nonsense => (close_code::POLICY, "not a message of this page"),
    };
    let farewell = Message::Close(Some(CloseFrame {
        code,
        reason: reason.into(),
    }));
    let goodbye = async {
        // What the tab still sends is read: closing upon it would reset the connection, and the goodbye would be lost.
        if socket.send(farewell).await.is_ok() {
            while let Some(Ok(_)) = socket.recv().await {}
        }
    };
    let _ = tokio::time::timeout(FAREWELL, goodbye).await;
}

/// Why a tab is no longer served.
enum End {
    /// It closed, or its connection broke.
    Gone,
    /// The page stops.
    Stopped,
    /// It sent something that our page never sends.
    Nonsense,
}

struct Tab<'a> {
    socket: &'a mut WebSocket,
    seat: &'a Seat,
    shown: watch::Receiver<Arc<Map<String, Value>>>,
    picture: watch::Receiver<Arc<Picture>>,
    filming: watch::Receiver<Option<u64>>,
    taken: watch::Receiver<u64>,
    /// What the tab has been sent.
    sent: Arc<Map<String, Value>>,
    /// The tab has not yet shown the words, drawn the picture, or been told that its frame was taken.
    showing: bool,
    drawing: bool,
    frame_waits: bool,
    /// Frames come from this tab's camera.
    films: bool,
}

impl<'a> Tab<'a> {
    fn new(socket: &'a mut WebSocket, seat: &'a Seat) -> Tab<'a> {
        let hub = &seat.hub;
        let mut tab = Tab {
            socket,
            seat,
            shown: hub.shown.subscribe(),
            picture: hub.picture.subscribe(),
            filming: hub.filming.subscribe(),
            taken: hub.inbox.taken(),
            sent: Arc::default(),
            showing: false,
            drawing: false,
            frame_waits: false,
            films: false,
        };
        // What is there already is new to this tab.
        tab.shown.mark_changed();
        tab.picture.mark_changed();
        tab
    }

    async fn run(&mut self) -> End {
        loop {
            let sent = tokio::select! {
                message = self.socket.recv() => match message {
                    Some(Ok(message)) => match self.receive(message) {
                        Ok(()) => Ok(()),
                        Err(end) => return end,
                    },
                    _ => return End::Gone,
                },
                Ok(()) = self.shown.changed(), if !self.showing => self.send_shown().await,
                Ok(()) = self.picture.changed(), if !self.drawing => self.send_picture().await,
                Ok(()) = self.taken.changed(), if self.frame_waits => {
                    self.frame_waits = false;
                    self.send(&ToTab::FrameTaken).await
                }
                Ok(()) = self.filming.changed() => {
                    let films = *self.filming.borrow_and_update() == Some(self.seat.id);
                    let ended = std::mem::replace(&mut self.films, films) && !films;
                    if ended { self.send(&ToTab::FilmedElsewhere).await } else { Ok(()) }
                }
            };
            if sent.is_err() {
                return End::Gone;
            }
        }
    }

    async fn send_shown(&mut self) -> Result<(), axum::Error> {
        let now = Arc::clone(&self.shown.borrow_and_update());
        let before = std::mem::replace(&mut self.sent, Arc::clone(&now));
        let fields: BTreeMap<&str, &Value> = now
            .iter()
            .filter(|(name, value)| before.get(*name) != Some(value))
            .map(|(name, value)| (name.as_str(), value))
            .collect();
        if fields.is_empty() {
            return Ok(());
        }
        self.showing = true;
        self.send(&ToTab::Show { fields }).await
    }

    async fn send_picture(&mut self) -> Result<(), axum::Error> {
        let picture = Arc::clone(&self.picture.borrow_and_update());
        let jpeg = picture.jpeg();
        if jpeg.is_empty() {
            return Ok(());
        }
        self.drawing = true;
        self.socket.send(Message::Binary(jpeg)).await
    }

    async fn send(&mut self, message: &ToTab<'_>) -> Result<(), axum::Error> {
        let text = serde_json::to_string(message).map_err(axum::Error::new)?;
        self.socket.send(Message::Text(text.into())).await
    }

    fn receive(&mut self, message: Message) -> Result<(), End> {
        match message {
            Message::Text(text) if text.len() <= LONGEST_TEXT => {
                let request = serde_json::from_str(&text).map_err(|_| End::Nonsense)?;
                self.obey(request)
            }
            Message::Binary(jpeg) if jpeg.starts_with(&[0xff, 0xd8]) => {
                // One that was on its way when another tab took over is dropped.
                if *self.seat.hub.filming.borrow() == Some(self.seat.id) {
                    self.taken.mark_unchanged();
                    self.frame_waits = true;
                    self.put(Request::Frame(Arc::from(&jpeg[..])));
                }
                Ok(())
            }
            Message::Text(_) | Message::Binary(_) => Err(End::Nonsense),
            Message::Close(_) => Err(End::Gone),
            Message::Ping(_) | Message::Pong(_) => Ok(()),
        }
    }

    fn obey(&mut self, message: FromTab) -> Result<(), End> {
        let filming = &self.seat.hub.filming;
        match message {
            FromTab::Shown => self.showing = false,
            FromTab::Drawn => self.drawing = false,
            FromTab::UseBrowserCamera => {
                filming.send_replace(Some(self.seat.id));
                self.put(Request::UseBrowserCamera);
            }
            FromTab::UseCamera { id } => {
                filming.send_replace(None);
                self.put(Request::UseCamera(id));
            }
            FromTab::BrowserCameraGone { why } => {
                filming.send_if_modified(|now| now.take_if(|id| *id == self.seat.id).is_some());
                self.put(Request::BrowserCameraGone(why));
            }
            FromTab::StartCalibration => self.put(Request::StartCalibration),
            FromTab::StopCalibration => self.put(Request::StopCalibration),
            FromTab::KeepProfile { name } => self.put(Request::KeepProfile(checked_name(&name)?)),
            FromTab::UseProfile { name } => self.put(Request::UseProfile(checked_name(&name)?)),
            FromTab::Relight => self.put(Request::Relight),
            FromTab::SpeakHere => self.put(Request::SpeakHere),
            FromTab::SpeakNoMore => self.put(Request::SpeakNoMore),
            FromTab::Choose { choice } => self.put(Request::Choose(choice)),
            FromTab::MoreHelp => self.put(Request::MoreHelp),
            FromTab::SkipPair => self.put(Request::SkipPair),
            FromTab::StartAgain => self.put(Request::StartAgain),
            FromTab::Practise { number } => self.put(Request::Practise(number)),
            FromTab::See => self.put(Request::See),
            FromTab::Answer { choice } => self.put(Request::Answer(choice)),
            FromTab::NextSight => self.put(Request::NextSight),
            FromTab::PractiseNoMore => self.put(Request::PractiseNoMore),
        }
        Ok(())
    }

    fn put(&self, request: Request) {
        self.seat.hub.inbox.put(request);
    }
}

/// Checks what is understood of a text.
#[cfg(any(test, fuzzing))]
pub fn understand(text: &str) {
    let Ok(message) = serde_json::from_str::<FromTab>(text) else {
        return;
    };
    if let FromTab::KeepProfile { name } | FromTab::UseProfile { name } = message
        && let Ok(name) = checked_name(&name)
    {
        assert!(name.trim() == name && !name.is_empty());
        assert!(name.chars().count() <= LONGEST_NAME && !name.contains(char::is_control));
    }
}

/// A profile's name as the page lets it be typed; where it is kept, further rules may hold.
fn checked_name(name: &str) -> Result<String, End> {
    let name = name.trim();
    let fits = (1..=LONGEST_NAME).contains(&name.chars().count());
    if fits && !name.contains(char::is_control) {
        Ok(name.to_owned())
    } else {
        Err(End::Nonsense)
    }
}
