//! `cameras`: what this machine sees with, and in which sizes and rates.

use serde::Serialize;

use super::args::CamerasArgs;
use crate::camera::{CameraInfo, CameraState, Trouble, list_cameras};
use crate::front::outcome::{Ended, Exit, Failure, SCHEMA, print_document, print_prose};
use crate::input::printable;

#[derive(Serialize)]
struct CameraDocument<'a> {
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
        print_document(&CameraDocument {
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

/// Where there is no page, and so no browser's camera to turn to, a machine without any is told at once.
pub fn needs_camera() -> Result<(), Failure> {
    let cameras = list_cameras().map_err(|trouble| failure(&trouble))?;
    if cameras.is_empty() {
        return Err(Failure::failed("no camera was found")
            .remedy("plug one in, or give pictures with --frames"));
    }
    Ok(())
}

/// The number of the camera that is meant; none where any will do.
pub fn chosen(wanted: Option<&str>) -> Result<Option<u32>, Failure> {
    let Some(wanted) = wanted else {
        return Ok(None);
    };
    // A number is not looked up, so that a camera which is plugged in later can be waited for.
    if let Ok(index) = wanted.parse() {
        return Ok(Some(index));
    }
    let cameras = list_cameras().map_err(|trouble| failure(&trouble))?;
    named(&cameras, wanted).map(Some)
}

/// The number of the one camera whose name has `wanted` in it, in letters of either case.
fn named(cameras: &[CameraInfo], wanted: &str) -> Result<u32, Failure> {
    let part = wanted.to_lowercase();
    let wanted = printable(wanted);
    let is_meant = |camera: &&CameraInfo| camera.name.to_lowercase().contains(&part);
    let meant: Vec<&CameraInfo> = cameras.iter().filter(is_meant).collect();
    match meant[..] {
        [camera] => Ok(camera.index),
        [] => Err(
            Failure::failed(format!("no camera has “{wanted}” in its name")).remedy(prose(cameras)),
        ),
        _ => {
            let numbers: Vec<String> = meant
                .iter()
                .map(|camera| camera.index.to_string())
                .collect();
            Err(Failure::usage(format!(
                "{} cameras have “{wanted}” in their names",
                meant.len()
            ))
            .remedy(format!("give one's number: {}", numbers.join(", "))))
        }
    }
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
            camera.index,
            printable(&camera.name),
            camera.node
        ));
        for format in &camera.formats {
            text.push_str(&format!("   {format}\n"));
        }
    }
    text.pop();
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    fn camera(index: u32, name: &str) -> CameraInfo {
        CameraInfo {
            index,
            name: name.into(),
            node: format!("/dev/video{index}"),
            state: CameraState::Ready,
            formats: Vec::new(),
        }
    }

    #[test]
    fn a_part_of_one_name_is_enough_and_of_two_is_not() {
        let cameras = [camera(0, "Built-in Camera"), camera(2, "Desk Camera")];
        assert_eq!(named(&cameras, "desk"), Ok(2));
        let unclear = named(&cameras, "camera").expect_err("two have it");
        assert_eq!(unclear.exit, Exit::Usage);
        assert!(unclear.to_string().contains("0, 2"), "{unclear}");
        let unknown = named(&cameras, "ceiling").expect_err("none has it");
        assert!(unknown.to_string().contains("2: Desk Camera"), "{unknown}");
    }
}
