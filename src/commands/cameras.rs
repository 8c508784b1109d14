//! `cameras`: what this machine sees with, and in which sizes and rates.

use serde::Serialize;

use super::args::CamerasArgs;
use super::outcome::{Ended, Exit, Failure, SCHEMA, print_document, print_prose};
use crate::camera::{CameraInfo, CameraState, Trouble, list_cameras};

#[derive(Serialize)]
struct Document<'a> {
    schema: u32,
    outcome: &'static str,
    say: &'a str,
    cameras: &'a [CameraInfo],
}

/// Lists the cameras. A machine without one is an answer too.
pub fn run(args: &CamerasArgs) -> Ended {
    let cameras = list_cameras().map_err(|trouble| failure(&trouble))?;
    let say = prose(&cameras);
    if args.json {
        print_document(&Document {
            schema: SCHEMA,
            outcome: "listed",
            say: &say,
            cameras: &cameras,
        })?;
    } else {
        print_prose(&say)?;
    }
    Ok(Exit::Done)
}

/// A camera's trouble as a command's failure.
pub fn failure(trouble: &Trouble) -> Failure {
    Failure::failed(&trouble.say).remedy(&trouble.remedy)
}

fn prose(cameras: &[CameraInfo]) -> String {
    if cameras.is_empty() {
        return "No camera was found. Plug one in, or give pictures with --frames.".into();
    }
    let mut text = String::new();
    for camera in cameras {
        let state = match camera.state {
            CameraState::Ready => "",
            CameraState::Busy => " - in use by another program",
            CameraState::Denied => " - this user may not open it",
        };
        text.push_str(&format!(
            "{}: {} ({}){state}\n",
            camera.index, camera.name, camera.node
        ));
        for format in &camera.formats {
            text.push_str(&format!("   {format}\n"));
        }
    }
    text.pop();
    text
}
