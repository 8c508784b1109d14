//! Which cameras there are.

use std::sync::mpsc;
use std::thread;
use std::time::Duration;

use serde::Serialize;

use super::SystemDriver;
use super::choice::CameraFormat;
use super::worker::{Driver, Fault, trouble};
use crate::camera::source::{Trouble, TroubleKind};

/// Asking every camera for its formats takes a second or two; one that is stuck answers never.
const PATIENCE: Duration = Duration::from_secs(10);

/// A camera of this machine.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CameraInfo {
    /// The number to ask for it by.
    pub index: u32,
    pub name: String,
    /// Where the system keeps it, such as `/dev/video0`.
    pub node: String,
    pub state: CameraState,
    /// What it offers of what can be decoded here, largest last. Empty unless it is ready.
    pub formats: Vec<CameraFormat>,
}

/// Whether a camera can be used now.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum CameraState {
    Ready,
    /// Another program has it.
    Busy,
    /// The system does not let this program use it.
    Denied,
}

/// The cameras of this machine, by number. Nodes that give no pictures are left out.
///
/// No camera at all is an empty list. An error if cameras cannot be asked, or do not answer within ten seconds.
pub fn list_cameras() -> Result<Vec<CameraInfo>, Trouble> {
    list_by(SystemDriver)
}

pub(super) fn list_by(driver: impl Driver + 'static) -> Result<Vec<CameraInfo>, Trouble> {
    let (send, receive) = mpsc::channel();
    thread::spawn(move || {
        // Nobody may be waiting any more.
        let _ = send.send(list(&driver));
    });
    match receive.recv_timeout(PATIENCE) {
        Ok(list) => list.map_err(|fault| trouble(None, &fault)),
        Err(_) => Err(Trouble {
            kind: TroubleKind::NoAnswer,
            say: "a camera does not answer".into(),
            remedy: "unplug it and plug it in again".into(),
        }),
    }
}

fn list(driver: &dyn Driver) -> Result<Vec<CameraInfo>, Fault> {
    let mut cameras: Vec<CameraInfo> = Vec::new();
    for node in driver.nodes()? {
        let (state, formats) = match driver.formats(node.index) {
            Ok(mut formats) if !formats.is_empty() => {
                formats.sort();
                formats.dedup();
                (CameraState::Ready, formats)
            }
            Err(fault) if fault.kind == TroubleKind::Busy => (CameraState::Busy, Vec::new()),
            Err(fault) if fault.kind == TroubleKind::Denied => (CameraState::Denied, Vec::new()),
            _ => continue,
        };
        // A camera's node for metadata bears its name too; where neither can be asked, one is enough.
        let is_twin = |other: &CameraInfo| other.name == node.name;
        if state != CameraState::Ready && cameras.iter().any(is_twin) {
            continue;
        }
        cameras.push(CameraInfo {
            index: node.index,
            name: node.name,
            node: node.path,
            state,
            formats,
        });
    }
    Ok(cameras)
}
