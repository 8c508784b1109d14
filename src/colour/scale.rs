//! The scale that colours are judged on: the logarithm of each linear channel, flattened near black.

use palette::LinSrgb;

use super::gauss::Vector;
use crate::sight::Patch;

/// Linear level, relative to the camera's white, at which a channel's doubt turns from a share of its value into a
/// fixed amount. Below it live black level, stray light, gamut clipping and quantisation; well above it only ratios
/// count. Judged likelihoods change little from 0.05 to 0.2; cube roots, as in Oklab and CIELAB, bend about there too.
pub(super) const FLOOR: f64 = 0.08;

/// Channel value from which a channel may be clipped, and from which it certainly is.
const NEARLY_CLIPPED: f32 = 0.9;
const CLIPPED: f32 = 0.985;

/// Share of clipped pixels from which a nearly clipped channel counts as clipped.
const CLIPPED_SHARE: f32 = 0.25;

/// `ln(x + FLOOR)` of each linear channel: a gain is a shift on it, up to what the floor swallows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct LogRgb(pub Vector);

impl LogRgb {
    pub fn of(linear: LinSrgb<f64>) -> LogRgb {
        LogRgb(channels(linear).map(|x| (x.max(0.0) + FLOOR).ln()))
    }
}

/// A patch on the log scale, with what is known of its own doubt.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seen {
    at: LogRgb,
    /// Channels whose true value may lie anywhere above.
    clipped: [bool; 3],
    /// Standard deviation of the pixels, linear.
    pub noise: f64,
    /// Share of the sticker's pixels that show something else, 0 to 1, or the chance that all of them do.
    pub lost: f64,
}

impl Seen {
    pub fn new(patch: &Patch) -> Seen {
        let rgb = [patch.rgb.red, patch.rgb.green, patch.rgb.blue];
        let often = patch.clipped > CLIPPED_SHARE;
        let brightest = rgb.into_iter().fold(0.0, f32::max);
        Seen {
            at: LogRgb::of(patch.rgb.into_format()),
            clipped: rgb.map(|x| x > CLIPPED || (often && x > NEARLY_CLIPPED)),
            noise: f64::from(patch.spread.max(0.0) * brightest),
            lost: f64::from(1.0 - patch.agreeing * (1.0 - patch.covered)).clamp(0.0, 1.0),
        }
    }

    /// How far each channel lies from a prediction. A clipped channel misses nothing that lies above it.
    pub fn off(&self, predicted: &LogRgb) -> Vector {
        [0, 1, 2].map(|c| {
            let off = self.at.0[c] - predicted.0[c];
            if self.clipped[c] { off.max(0.0) } else { off }
        })
    }
}

/// The three channels of a linear colour.
pub(super) fn channels(linear: LinSrgb<f64>) -> Vector {
    [linear.red, linear.green, linear.blue]
}
