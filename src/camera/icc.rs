//! Embedded colour profiles (ICC.1): from the picture's own colours to sRGB.

use std::sync::Arc;

use moxcms::{
    ColorProfile, DataColorSpace, Layout, RenderingIntent, Transform16BitExecutor, TransformOptions,
};

/// The most bytes that a profile may have. Those of printers, the largest, have about 2 MiB; of cameras, some kilobytes.
pub(super) const MOST_BYTES: usize = 4 << 20;

/// Converts samples from the colours of a profile to sRGB, relative colorimetric.
pub(super) struct ToSrgb {
    transform: Arc<Transform16BitExecutor>,
    layout: Layout,
    samples: Vec<u16>,
}

impl ToSrgb {
    /// From the bytes of an ICC profile; `has_colour` says whether the picture is more than grey.
    ///
    /// The error says in a few words why the profile cannot be used.
    pub fn new(profile: &[u8], has_colour: bool) -> Result<ToSrgb, String> {
        if profile.len() > MOST_BYTES {
            return Err("it is too large".into());
        }
        let source = ColorProfile::new_from_slice(profile).map_err(|e| e.to_string())?;
        let layout = match (source.color_space, has_colour) {
            (DataColorSpace::Gray, false) => Layout::GrayAlpha,
            // Grey samples under an RGB profile are three equal ones.
            (DataColorSpace::Rgb, _) => Layout::Rgba,
            (other, _) => return Err(format!("it is for {other:?} pictures")),
        };
        let options = TransformOptions {
            rendering_intent: RenderingIntent::RelativeColorimetric,
            ..TransformOptions::default()
        };
        // 16 bits throughout: a linear profile has too few dark steps in 8.
        let transform = source
            .create_transform_16bit(layout, &ColorProfile::new_srgb(), Layout::Rgba, options)
            .map_err(|e| e.to_string())?;
        Ok(ToSrgb {
            transform,
            layout,
            samples: Vec::new(),
        })
    }

    /// Converts pixels of red, green, blue and opacity, 0 to 65535, in place. Opacity stays as it is.
    pub fn convert(&mut self, pixels: &mut [u16]) -> Result<(), String> {
        self.samples.clear();
        match self.layout {
            Layout::GrayAlpha => {
                let both = pixels.chunks_exact(4).flat_map(|p| [p[0], p[3]]);
                self.samples.extend(both);
            }
            _ => self.samples.extend_from_slice(pixels),
        }
        self.transform
            .transform(&self.samples, pixels)
            .map_err(|e| e.to_string())
    }
}
