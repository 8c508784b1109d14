//! The line of what is waited for: it changes seldom, and says why no cube is found where the frame itself tells.

use image::RgbImage;

/// Seconds for which another line must hold before it takes the place of the one that is shown: a face that flickers in and out
/// of sight is nothing to read about.
const HOLDS: f64 = 1.0;

/// Seconds without a face after which the frame is asked why.
const UNSEEN: f64 = 3.0;

/// Mean of a frame's brightness (0 to 255, as coded) below which nothing can be told apart, and above which all is washed out.
const DARK: f64 = 32.0;
const BRIGHT: f64 = 225.0;

/// Mean difference of neighbouring pixels, as a share of the frame's spread of brightness, below which all is out of focus.
const BLURRED: f64 = 0.012;

/// A line that is slow to change.
#[derive(Default)]
pub struct Waiting {
    shown: String,
    next: String,
    since: f64,
}

impl Waiting {
    /// Takes what holds at a time in seconds; gives what to show.
    pub fn hear(&mut self, line: &str, now: f64) -> &str {
        if line != self.next {
            self.next = line.into();
            self.since = now;
        }
        if self.shown.is_empty() || now - self.since >= HOLDS {
            self.shown.clone_from(&self.next);
        }
        &self.shown
    }
}

/// Why no cube has been found in a frame for so many seconds; none where it is not known or too early to say.
pub fn unseen(frame: &RgbImage, seconds: f64) -> Option<&'static str> {
    if seconds < UNSEEN {
        return None;
    }
    let light = Brightness::of(frame)?;
    if light.mean < DARK {
        Some("It is too dark to see the cube. Turn on a lamp.")
    } else if light.mean > BRIGHT {
        Some("The picture is too bright. Turn the lamp away from the camera.")
    } else if light.step < BLURRED * light.spread {
        Some("The picture is blurred. Wipe the lens, or hold the cube farther away.")
    } else {
        None
    }
}

/// How bright a frame is.
struct Brightness {
    mean: f64,
    /// Standard deviation.
    spread: f64,
    /// Mean difference between pixels side by side.
    step: f64,
}

impl Brightness {
    /// Of one pixel in 64 and the one beside it; none of an empty frame.
    fn of(frame: &RgbImage) -> Option<Brightness> {
        let green = |x: u32, y: u32| f64::from(frame.get_pixel(x, y).0[1]);
        let (width, height) = frame.dimensions();
        let (mut count, mut sum, mut squares, mut steps) = (0.0, 0.0, 0.0, 0.0);
        for y in (0..height).step_by(8) {
            for x in (0..width.saturating_sub(1)).step_by(8) {
                let here = green(x, y);
                count += 1.0;
                sum += here;
                squares += here * here;
                steps += (here - green(x + 1, y)).abs();
            }
        }
        if count == 0.0 {
            return None;
        }
        let mean = sum / count;
        Some(Brightness {
            mean,
            spread: (squares / count - mean * mean).max(0.0).sqrt(),
            step: steps / count,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{Rgb, imageops};

    fn room() -> RgbImage {
        image::open(concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/test_images/scans/setup-01/scan-03/c1.jpg"
        ))
        .expect("a picture")
        .into_rgb8()
    }

    fn lit(mut frame: RgbImage, by: f32) -> RgbImage {
        for Rgb(pixel) in frame.pixels_mut() {
            *pixel = pixel.map(|v| (f32::from(v) * by).min(255.0) as u8);
        }
        frame
    }

    #[test]
    fn a_frame_tells_that_it_is_dark_bright_or_blurred_after_three_seconds() {
        let room = room();
        assert_eq!(unseen(&room, 9.0), None);
        for (frame, word) in [
            (lit(room.clone(), 0.12), "dark"),
            (lit(room.clone(), 9.0), "bright"),
            (imageops::fast_blur(&room, 24.0), "blurred"),
        ] {
            assert!(
                unseen(&frame, 3.1).is_some_and(|said| said.contains(word)),
                "{word}"
            );
            assert_eq!(unseen(&frame, 2.9), None);
        }
        assert_eq!(unseen(&RgbImage::new(0, 0), 9.0), None);
    }

    #[test]
    fn a_line_that_holds_for_less_than_a_second_is_never_shown() {
        let mut waiting = Waiting::default();
        assert_eq!(waiting.hear("first", 0.0), "first");
        for tenth in 1..100 {
            let now = f64::from(tenth) / 10.0;
            let line = if tenth % 5 == 0 { "first" } else { "flicker" };
            assert_eq!(waiting.hear(line, now), "first", "{now}");
        }
        waiting.hear("second", 10.0);
        assert_eq!(waiting.hear("second", 11.1), "second");
    }
}
