//! Embedded colour profiles (ICC.1): from the picture's own colours to sRGB.

use std::io::{self, Read, Seek, SeekFrom};
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

/// Whether a PNG has a colour profile, to tell one that a decoder left out as too large or damaged from none. Chunks before the
/// pixels are stepped over (PNG, third edition, 5.3 and 5.6); the file is left at its start.
pub(super) fn is_in_png(file: &mut (impl Read + Seek)) -> io::Result<bool> {
    const SIGNATURE: u64 = 8;
    /// More than any picture has before its pixels.
    const MOST_CHUNKS: usize = 64;
    file.seek(SeekFrom::Start(SIGNATURE))?;
    let mut found = false;
    for _ in 0..MOST_CHUNKS {
        let mut head = [0; 8];
        if file.read_exact(&mut head).is_err() || &head[4..] == b"IDAT" {
            break;
        }
        found |= &head[4..] == b"iCCP";
        let length = u32::from_be_bytes([head[0], head[1], head[2], head[3]]);
        // Its content and its check.
        file.seek(SeekFrom::Current(i64::from(length) + 4))?;
    }
    file.rewind()?;
    Ok(found)
}
