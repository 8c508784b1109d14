//! Embedded colour profiles (ICC.1): from the picture's own colours to sRGB.

use image::DynamicImage;
use moxcms::{ColorProfile, DataColorSpace, Layout, RenderingIntent, TransformOptions};

/// Converts the picture from the colours of `profile` (the bytes of an ICC profile) to sRGB, relative colorimetric.
///
/// Transparency stays as it is. The error says in a few words why the profile cannot be used.
pub(super) fn to_srgb(picture: &DynamicImage, profile: &[u8]) -> Result<DynamicImage, String> {
    let source = ColorProfile::new_from_slice(profile).map_err(|e| e.to_string())?;
    let (layout, out) = match (source.color_space, picture.color().has_color()) {
        (DataColorSpace::Rgb, true) => (Layout::Rgba, Layout::Rgba),
        (DataColorSpace::Gray, false) => (Layout::GrayAlpha, Layout::Rgba),
        // Grey samples under an RGB profile are three equal ones.
        (DataColorSpace::Rgb, false) => (Layout::Rgba, Layout::Rgba),
        (other, _) => return Err(format!("it is for {other:?} pictures")),
    };
    let options = TransformOptions {
        rendering_intent: RenderingIntent::RelativeColorimetric,
        ..TransformOptions::default()
    };
    let srgb = ColorProfile::new_srgb();
    // 16 bits throughout: a linear profile has too few dark steps in 8.
    let transform = source
        .create_transform_16bit(layout, &srgb, out, options)
        .map_err(|e| e.to_string())?;
    let (width, height) = (picture.width(), picture.height());
    let samples = match layout {
        Layout::GrayAlpha => picture.to_luma_alpha16().into_raw(),
        _ => picture.to_rgba16().into_raw(),
    };
    let mut converted = image::ImageBuffer::new(width, height);
    transform
        .transform(&samples, &mut converted)
        .map_err(|e| e.to_string())?;
    Ok(DynamicImage::ImageRgba16(converted))
}
