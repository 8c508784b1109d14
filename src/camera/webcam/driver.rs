//! The system's cameras through nokhwa, which only delivers: formats are chosen and frames decoded by ourselves.

use nokhwa::utils::{
    ApiBackend, CameraFormat as NokhwaFormat, CameraIndex, FrameFormat, RequestedFormat,
    RequestedFormatType,
};
use nokhwa::{Camera, NokhwaError};

use super::choice::{CameraFormat, Coding};
use super::worker::{DeviceNode, Driver, Fault, FormatChooser, Stream};
use crate::camera::source::TroubleKind;

/// What can be decoded here.
const DECODED: [FrameFormat; 2] = [FrameFormat::MJPEG, FrameFormat::YUYV];

pub(super) struct SystemDriver;

impl Driver for SystemDriver {
    fn nodes(&self) -> Result<Vec<DeviceNode>, Fault> {
        let found = nokhwa::query(ApiBackend::Auto).map_err(fault)?;
        let node = |info: nokhwa::utils::CameraInfo| {
            let index = info.index().as_index().ok()?;
            // On Linux: `Video4Linux Device @ /dev/video0`.
            let about = info.description();
            let path = about.rsplit_once("@ ").map_or(about, |(_, path)| path);
            Some(DeviceNode {
                index,
                name: info.human_name(),
                path: path.to_owned(),
            })
        };
        let mut nodes: Vec<DeviceNode> = found.into_iter().filter_map(node).collect();
        nodes.sort_by_key(|node| node.index);
        Ok(nodes)
    }

    fn formats(&self, index: u32) -> Result<Vec<CameraFormat>, Fault> {
        let mut camera = camera(index)?;
        let offered = formats(&mut camera)?;
        // Asking for buffers is what a camera in use refuses; it does not start the camera yet.
        camera.open_stream().map_err(fault)?;
        Ok(offered)
    }

    fn open(&self, index: u32, choose: FormatChooser) -> Result<Box<dyn Stream>, Fault> {
        let mut camera = camera(index)?;
        let offered = formats(&mut camera)?;
        let format = choose(&offered).ok_or_else(|| Fault {
            kind: TroubleKind::Unusable,
            detail: "it offers neither MJPG nor YUYV".into(),
        })?;
        if from_nokhwa(&camera.camera_format()) != Some(format) {
            let wanted = to_nokhwa(&format);
            let exact = RequestedFormatType::Exact(wanted);
            let decoded = [wanted.format()];
            camera
                .set_camera_requset(RequestedFormat::with_formats(exact, &decoded))
                .map_err(fault)?;
        }
        camera.open_stream().map_err(fault)?;
        Ok(Box::new(OpenCamera { camera, format }))
    }
}

struct OpenCamera {
    camera: Camera,
    format: CameraFormat,
}

impl Stream for OpenCamera {
    fn format(&self) -> CameraFormat {
        self.format
    }

    fn read(&mut self, take: &mut dyn FnMut(&[u8])) -> Result<(), Fault> {
        let buffer = self.camera.frame_raw().map_err(fault)?;
        take(&buffer);
        Ok(())
    }
}

/// Opens a node in any format that can be decoded.
fn camera(index: u32) -> Result<Camera, Fault> {
    let any = RequestedFormat::with_formats(RequestedFormatType::None, &DECODED);
    Camera::new(CameraIndex::Index(index), any).map_err(fault)
}

fn formats(camera: &mut Camera) -> Result<Vec<CameraFormat>, Fault> {
    let offered = camera.compatible_camera_formats().map_err(fault)?;
    Ok(offered.iter().filter_map(from_nokhwa).collect())
}

fn from_nokhwa(format: &NokhwaFormat) -> Option<CameraFormat> {
    let coding = match format.format() {
        FrameFormat::MJPEG => Coding::Mjpg,
        FrameFormat::YUYV => Coding::Yuyv,
        _ => return None,
    };
    Some(CameraFormat {
        coding,
        width: format.width(),
        height: format.height(),
        fps: format.frame_rate(),
    })
}

fn to_nokhwa(format: &CameraFormat) -> NokhwaFormat {
    let coding = match format.coding {
        Coding::Mjpg => FrameFormat::MJPEG,
        Coding::Yuyv => FrameFormat::YUYV,
    };
    NokhwaFormat::new_from(format.width, format.height, coding, format.fps)
}

/// nokhwa passes the system's errors on as text only. The numbers are those of Linux (`errno.h`); elsewhere most
/// failures come out as [`TroubleKind::Unusable`], with that text.
fn fault(error: NokhwaError) -> Fault {
    let detail = error.to_string();
    let is = |number: u32| detail.contains(&format!("os error {number})"));
    let kind = if is(16) {
        TroubleKind::Busy
    } else if is(13) || is(1) {
        TroubleKind::Denied
    } else if is(2) || is(6) || is(19) {
        TroubleKind::Unplugged
    } else if detail.contains("Failed to Fufill") {
        // None of the node's formats is one of ours, as with a node for metadata.
        TroubleKind::NoCamera
    } else {
        TroubleKind::Unusable
    };
    Fault { kind, detail }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn failures_seen_on_linux_are_told_apart() {
        // As nokhwa 0.10.11 was seen to word them.
        let read = |text: &str| NokhwaError::ReadFrameError(text.into());
        let open = |text: &str| NokhwaError::OpenDeviceError("0".into(), text.into());
        for (error, kind) in [
            (read("No such device (os error 19)"), TroubleKind::Unplugged),
            (
                open("V4L2 Error: No such file or directory (os error 2)"),
                TroubleKind::Unplugged,
            ),
            (
                open("V4L2 Error: Permission denied (os error 13)"),
                TroubleKind::Denied,
            ),
            (
                NokhwaError::OpenStreamError("Device or resource busy (os error 16)".into()),
                TroubleKind::Busy,
            ),
            (
                read("Input/output error (os error 5)"),
                TroubleKind::Unusable,
            ),
        ] {
            assert_eq!(fault(error).kind, kind);
        }
    }
}
