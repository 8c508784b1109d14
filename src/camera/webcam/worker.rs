//! The thread that makes all calls to a camera: opens, reads, and begins again when that fails.

use std::sync::Arc;
use std::thread;
use std::time::{Duration, Instant};

use super::InUse;
use super::choice::{self, CameraFormat};
use super::mailbox::{Mailbox, Phase};
use super::raw::{self, RawFrame};
use crate::camera::source::{Trouble, TroubleKind};

/// A node that may be a camera.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct DeviceNode {
    pub index: u32,
    pub name: String,
    /// Where the system keeps it, such as `/dev/video0`.
    pub path: String,
}

/// Why a camera call failed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Fault {
    /// `Unplugged` where the node is not there, or no longer; `NoCamera` where it gives no pictures, as one for metadata.
    pub kind: TroubleKind,
    /// What the system said.
    pub detail: String,
}

impl Fault {
    /// Of several nodes that fail, the one with the greatest weight is told of.
    fn weight(&self) -> u8 {
        match self.kind {
            TroubleKind::Busy => 3,
            TroubleKind::Denied => 2,
            TroubleKind::Unplugged | TroubleKind::NoCamera => 0,
            _ => 1,
        }
    }
}

/// Chooses one of the formats that a camera offers.
pub(super) type FormatChooser = fn(&[CameraFormat]) -> Option<CameraFormat>;

/// The system's cameras. Every call may take for ever.
pub(super) trait Driver: Send + Sync {
    /// All nodes, by number.
    fn nodes(&self) -> Result<Vec<DeviceNode>, Fault>;

    /// What a node offers that can be decoded here.
    fn formats(&self, index: u32) -> Result<Vec<CameraFormat>, Fault>;

    /// Starts a camera in the format that is chosen of those it offers.
    fn open(&self, index: u32, choose: FormatChooser) -> Result<Box<dyn Stream>, Fault>;
}

/// An open camera; closed when dropped. It stays on the thread that opened it.
pub(super) trait Stream {
    fn format(&self) -> CameraFormat;

    /// Waits for the next frame and hands its buffer to `take`.
    fn read(&mut self, take: &mut dyn FnMut(&[u8])) -> Result<(), Fault>;
}

/// Starts the thread. It ends when the mailbox is closed and no call holds it.
pub(super) fn spawn(
    driver: Arc<dyn Driver>,
    index: Option<u32>,
    mailbox: Arc<Mailbox>,
    retry: Duration,
) {
    let worker = Worker {
        driver,
        index,
        name: None,
        mailbox: mailbox.clone(),
        number: 0,
    };
    let work = move || {
        let goodbye = Goodbye(&worker.mailbox.clone());
        worker.run(retry);
        drop(goodbye);
    };
    let thread = thread::Builder::new().name("camera".into()).spawn(work);
    if let Err(e) = thread {
        mailbox.set_phase(Phase::Failed(ended(&e.to_string())));
    }
}

/// Leaves word if the thread dies of a panic inside a camera's driver.
struct Goodbye<'a>(&'a Mailbox);

impl Drop for Goodbye<'_> {
    fn drop(&mut self) {
        if thread::panicking() {
            let trouble = ended("its driver failed");
            self.0.set_phase(Phase::Failed(trouble));
        }
    }
}

fn ended(why: &str) -> Trouble {
    Trouble {
        kind: TroubleKind::Unusable,
        say: format!("the camera cannot be used ({why})"),
        remedy: "start the program again".into(),
    }
}

struct Worker {
    driver: Arc<dyn Driver>,
    /// The camera that was asked for.
    index: Option<u32>,
    /// The name of the camera that was opened first: after it was unplugged it may come back under another number.
    name: Option<String>,
    mailbox: Arc<Mailbox>,
    number: u64,
}

impl Worker {
    fn run(mut self, retry: Duration) {
        let mut pause = retry;
        while !self.mailbox.is_closed() {
            self.mailbox.set_phase(Phase::Opening {
                since: Instant::now(),
            });
            let trouble = match self.open() {
                Ok((node, stream)) => {
                    pause = retry;
                    // The stream is closed within: a camera still held open comes back under another number.
                    self.pass_on(&node, stream)
                }
                Err(trouble) => trouble,
            };
            if self.mailbox.is_closed() {
                return;
            }
            self.mailbox.set_phase(Phase::Failed(trouble));
            self.mailbox.sleep(pause);
            pause = (2 * pause).min(8 * retry);
        }
    }

    /// Opens the camera that is wanted, or the first that works.
    fn open(&mut self) -> Result<(DeviceNode, Box<dyn Stream>), Trouble> {
        let nodes = self.driver.nodes().map_err(|fault| trouble(None, &fault))?;
        let mut worst: Option<(DeviceNode, Fault)> = None;
        for node in self.wanted(nodes) {
            match self.driver.open(node.index, choice::best) {
                Ok(stream) => {
                    self.name = Some(node.name.clone());
                    return Ok((node, stream));
                }
                Err(fault) => {
                    if worst
                        .as_ref()
                        .is_none_or(|(_, w)| fault.weight() > w.weight())
                    {
                        worst = Some((node, fault));
                    }
                }
            }
        }
        match worst {
            Some((node, fault)) => Err(trouble(Some(&node), &fault)),
            None => Err(no_camera(self.index)),
        }
    }

    fn wanted(&self, nodes: Vec<DeviceNode>) -> Vec<DeviceNode> {
        let Some(index) = self.index else {
            return nodes;
        };
        let is_asked_for = |node: &DeviceNode| node.index == index;
        let is_known = |node: &DeviceNode| Some(&node.name) == self.name.as_ref();
        let (mut asked_for, others): (Vec<_>, Vec<_>) = nodes.into_iter().partition(is_asked_for);
        asked_for.extend(others.into_iter().filter(is_known));
        asked_for
    }

    /// Passes frames on until there are no more, or nobody wants them.
    fn pass_on(&mut self, node: &DeviceNode, mut stream: Box<dyn Stream>) -> Trouble {
        let format = stream.format();
        let opened = Instant::now();
        self.mailbox.set_phase(Phase::Streaming {
            camera: InUse {
                name: node.name.clone(),
                node: node.path.clone(),
                format,
            },
            last: opened,
        });
        loop {
            let mut bytes = Vec::new();
            let read = stream.read(&mut |buffer| bytes.extend(raw::used(buffer, &format)));
            if let Err(fault) = read {
                return lost(node, &fault);
            }
            if self.mailbox.is_closed() {
                return ended("nobody wants it any more");
            }
            self.mailbox.put(RawFrame {
                bytes,
                format,
                number: self.number,
                taken: Instant::now(),
                opened,
            });
            self.number += 1;
        }
    }
}

/// Reading failed.
fn lost(node: &DeviceNode, fault: &Fault) -> Trouble {
    match fault.kind {
        TroubleKind::Unplugged => Trouble {
            kind: TroubleKind::Unplugged,
            say: format!("{} ({}) was unplugged", node.name, node.path),
            remedy: "plug it in again; it is found by itself".into(),
        },
        _ => trouble(Some(node), fault),
    }
}

fn no_camera(index: Option<u32>) -> Trouble {
    let say = match index {
        Some(index) => format!("there is no camera number {index}"),
        None => "there is no camera".into(),
    };
    Trouble {
        kind: TroubleKind::NoCamera,
        say,
        remedy: "plug one in; or give pictures with --frames".into(),
    }
}

/// Opening failed.
pub(super) fn trouble(node: Option<&DeviceNode>, fault: &Fault) -> Trouble {
    let which = match node {
        Some(node) => format!("{} ({})", node.name, node.path),
        None => "the camera".into(),
    };
    let detail = &fault.detail;
    let (say, remedy) = match fault.kind {
        TroubleKind::Unplugged | TroubleKind::NoCamera => return no_camera(None),
        TroubleKind::Busy => (
            format!("{which} is in use by another program"),
            "close that program; a video call in a browser counts too",
        ),
        TroubleKind::Denied => (
            format!("this program may not use {which}"),
            "allow cameras in the system's privacy settings; on Linux, add yourself to the group \"video\" and log in again",
        ),
        TroubleKind::Unsupported => (
            detail.clone(),
            "give pictures with --frames, or build it with `--features webcam`",
        ),
        _ => (
            format!("{which} cannot be used ({detail})"),
            "try another camera; `pairsight cameras` lists them",
        ),
    };
    Trouble {
        kind: fault.kind,
        say,
        remedy: remedy.into(),
    }
}
