//! In place of the system's cameras, in a program built without them.

use super::choice::CameraFormat;
use super::worker::{DeviceNode, Driver, Fault, FormatChooser, Stream};
use crate::camera::source::TroubleKind;

pub(super) struct SystemDriver;

fn unsupported() -> Fault {
    Fault {
        kind: TroubleKind::Unsupported,
        detail: "this program was built without webcam support".into(),
    }
}

impl Driver for SystemDriver {
    fn nodes(&self) -> Result<Vec<DeviceNode>, Fault> {
        Err(unsupported())
    }

    fn formats(&self, _: u32) -> Result<Vec<CameraFormat>, Fault> {
        Err(unsupported())
    }

    fn open(&self, _: u32, _: FormatChooser) -> Result<Box<dyn Stream>, Fault> {
        Err(unsupported())
    }
}
