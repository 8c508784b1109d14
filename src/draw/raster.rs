//! From SVG to pixels.

use std::fmt;

use image::{RgbImage, RgbaImage};
use resvg::{tiny_skia, usvg};

/// Widest or tallest drawing that is turned into pixels.
const MOST_PIXELS: u32 = 16_384;

/// Why a drawing could not be turned into pixels.
#[derive(Debug)]
pub enum DrawError {
    /// Not an SVG document, or one outside what the renderer knows.
    Svg(usvg::Error),
    /// The result would be empty, wider or taller than 16,384 pixels, or not of the size of the picture under it.
    Size { width: f32, height: f32 },
    /// The PNG could not be encoded.
    Png(image::ImageError),
}

impl fmt::Display for DrawError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            DrawError::Svg(cause) => write!(f, "the drawing is not valid SVG: {cause}"),
            DrawError::Size { width, height } => {
                write!(f, "cannot draw {width} by {height} pixels")
            }
            DrawError::Png(cause) => write!(f, "cannot encode the drawing as PNG: {cause}"),
        }
    }
}

impl std::error::Error for DrawError {}

/// Renders a drawing at `scale` pixels for each of its units, on a transparent ground. Alpha is straight, not premultiplied.
pub fn raster(svg: &str, scale: f32) -> Result<RgbaImage, DrawError> {
    let tree = usvg::Tree::from_str(svg, &usvg::Options::default()).map_err(DrawError::Svg)?;
    let width = (tree.size().width() * scale).round();
    let height = (tree.size().height() * scale).round();
    let bad_size = || DrawError::Size { width, height };
    let fits = |v: f32| v >= 1.0 && v <= MOST_PIXELS as f32;
    if !fits(width) || !fits(height) {
        return Err(bad_size());
    }
    let mut pixels = tiny_skia::Pixmap::new(width as u32, height as u32).ok_or_else(bad_size)?;
    let transform = tiny_skia::Transform::from_scale(scale, scale);
    resvg::render(&tree, transform, &mut pixels.as_mut());
    let straight = pixels
        .pixels()
        .iter()
        .flat_map(|p| {
            let c = p.demultiply();
            [c.red(), c.green(), c.blue(), c.alpha()]
        })
        .collect();
    RgbaImage::from_raw(width as u32, height as u32, straight).ok_or_else(bad_size)
}

/// A drawing as the bytes of a PNG file.
pub fn to_png(svg: &str, scale: f32) -> Result<Vec<u8>, DrawError> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    raster(svg, scale)?
        .write_to(&mut bytes, image::ImageFormat::Png)
        .map_err(DrawError::Png)?;
    Ok(bytes.into_inner())
}

/// Lays a drawing over a picture of the very size of the drawing.
pub fn lay_over(picture: &mut RgbImage, svg: &str) -> Result<(), DrawError> {
    let drawing = raster(svg, 1.0)?;
    if drawing.dimensions() != picture.dimensions() {
        let (width, height) = drawing.dimensions();
        return Err(DrawError::Size {
            width: width as f32,
            height: height as f32,
        });
    }
    for (under, over) in picture.pixels_mut().zip(drawing.pixels()) {
        let alpha = u16::from(over[3]);
        for channel in 0..3 {
            let mixed =
                u16::from(over[channel]) * alpha + u16::from(under[channel]) * (255 - alpha);
            under[channel] = ((mixed + 127) / 255) as u8;
        }
    }
    Ok(())
}
