//! Which of a camera's formats to ask for.

use std::fmt;

use serde::Serialize;

/// How a camera codes its frames. Others than these are not decoded here.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "UPPERCASE")]
pub enum Coding {
    /// A JPEG picture a frame.
    Mjpg,
    /// Two bytes a pixel, chroma shared by two: BT.601, limited range.
    Yuyv,
}

/// A format that a camera offers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct CameraFormat {
    pub coding: Coding,
    /// Pixels.
    pub width: u32,
    pub height: u32,
    /// Frames a second.
    pub fps: u32,
}

impl fmt::Display for CameraFormat {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let coding = match self.coding {
            Coding::Mjpg => "MJPG",
            Coding::Yuyv => "YUYV",
        };
        let CameraFormat {
            width, height, fps, ..
        } = self;
        write!(f, "{coding} {width}x{height} at {fps}")
    }
}

/// The format nearest to Motion-JPEG of 1280 x 720 pixels at 30 a second: enough pixels on each sticker for a cube that
/// fills a sixth of the height, decoded in time, and within what USB 2 carries.
pub(super) fn best(formats: &[CameraFormat]) -> Option<CameraFormat> {
    let by_cost = |a: &&CameraFormat, b: &&CameraFormat| cost(a).total_cmp(&cost(b));
    formats
        .iter()
        .filter(|f| f.width > 0 && f.height > 0 && f.fps > 0)
        .min_by(by_cost)
        .copied()
}

/// How far a format is from the wanted one: halving or doubling the pixels costs 1, halving the rate 1. More frames than
/// wanted cost little, for they are dropped.
fn cost(format: &CameraFormat) -> f64 {
    let pixels = f64::from(format.width) * f64::from(format.height);
    let size = (pixels / (1280.0 * 720.0)).log2().abs();
    let rate = match (f64::from(format.fps) / 30.0).log2() {
        faster @ 0.0.. => 0.1 * faster,
        slower => -slower,
    };
    let coding = match format.coding {
        Coding::Mjpg => 0.0,
        // Twice the bytes to carry, and chroma is no better.
        Coding::Yuyv => 0.25,
    };
    size + rate + coding
}

#[cfg(test)]
mod tests {
    use super::*;

    fn format(coding: Coding, width: u32, height: u32, fps: u32) -> CameraFormat {
        CameraFormat {
            coding,
            width,
            height,
            fps,
        }
    }

    #[test]
    fn the_wanted_format_is_taken_where_offered_and_else_the_nearest() {
        use Coding::{Mjpg, Yuyv};
        let wanted = format(Mjpg, 1280, 720, 30);
        let cases = [
            // A usual webcam.
            (
                vec![
                    format(Yuyv, 640, 480, 30),
                    format(Yuyv, 1280, 720, 10),
                    format(Mjpg, 1920, 1080, 30),
                    wanted,
                    format(Mjpg, 640, 480, 30),
                ],
                wanted,
            ),
            // A slow mode is worse than a smaller picture.
            (
                vec![format(Yuyv, 1280, 720, 5), format(Yuyv, 640, 480, 30)],
                format(Yuyv, 640, 480, 30),
            ),
            (
                vec![format(Mjpg, 1280, 720, 60), format(Mjpg, 1280, 720, 15)],
                format(Mjpg, 1280, 720, 60),
            ),
            (
                vec![
                    format(Mjpg, 320, 240, 30),
                    format(Mjpg, 3840, 2160, 30),
                    format(Mjpg, 800, 600, 30),
                ],
                format(Mjpg, 800, 600, 30),
            ),
        ];
        for (offered, want) in cases {
            assert_eq!(best(&offered), Some(want), "{offered:?}");
            let reversed: Vec<_> = offered.into_iter().rev().collect();
            assert_eq!(best(&reversed), Some(want));
        }
        assert_eq!(best(&[]), None);
        assert_eq!(best(&[format(Mjpg, 0, 0, 0)]), None);
    }
}
