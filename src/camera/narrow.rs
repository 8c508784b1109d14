//! From the samples of any picture file to opaque 8-bit sRGB, within the memory that the samples lie in.
//!
//! A photograph of 64 megapixels with 16 bits and opacity has half a gigabyte of samples; nothing of that size is made
//! beside it.

use image::ColorType;

use super::icc::ToSrgb;

/// What shows through transparent places, an sRGB value: mid-grey, as neither stickers nor plastic are.
const BEHIND: u8 = 128;

/// Pixels worked on at once.
const AT_ONCE: usize = 4096;

/// Three bytes a pixel from samples as the `image` library's decoders give them: `colour` says how, deep ones in the
/// machine's byte order. Transparent places are filled with mid-grey, mixing encoded values as browsers do.
///
/// The error says what is wrong with the samples or the conversion.
pub(super) fn narrow(
    mut samples: Vec<u8>,
    colour: ColorType,
    mut to_srgb: Option<&mut ToSrgb>,
) -> Result<Vec<u8>, String> {
    if colour == ColorType::Rgb8 && to_srgb.is_none() {
        return Ok(samples);
    }
    let width = usize::from(colour.bytes_per_pixel());
    let channels = usize::from(colour.channel_count());
    if width != channels && width != 2 * channels {
        return Err(format!("samples of the kind {colour:?}"));
    }
    let pixels = samples.len() / width;
    let room = if width < 3 { 3 * pixels } else { 0 };
    // Grey samples need more room than they have; all others are overwritten from the front.
    let mut wider = Vec::with_capacity(room);
    let mut deep: Vec<u16> = Vec::with_capacity(4 * AT_ONCE);
    for from in (0..pixels).step_by(AT_ONCE) {
        let to = pixels.min(from + AT_ONCE);
        let pieces = samples[from * width..to * width].chunks_exact(width);
        deep.clear();
        deep.extend(pieces.flat_map(|pixel| rgba(pixel, channels)));
        if let Some(to_srgb) = &mut to_srgb {
            to_srgb.convert(&mut deep)?;
        }
        let narrow = deep.chunks_exact(4).map(opaque);
        if width < 3 {
            wider.extend(narrow.flatten());
        } else {
            let places = samples[3 * from..3 * to].chunks_exact_mut(3);
            places
                .zip(narrow)
                .for_each(|(place, pixel)| place.copy_from_slice(&pixel));
        }
    }
    if width < 3 {
        return Ok(wider);
    }
    samples.truncate(3 * pixels);
    samples.shrink_to_fit();
    Ok(samples)
}

/// Red, green, blue and opacity, 0 to 65535.
fn rgba(pixel: &[u8], channels: usize) -> [u16; 4] {
    let deep = pixel.len() == 2 * channels;
    let sample = |at: usize| match deep {
        true => u16::from_ne_bytes([pixel[2 * at], pixel[2 * at + 1]]),
        false => u16::from(pixel[at]) * 257,
    };
    match channels {
        1 => [sample(0), sample(0), sample(0), u16::MAX],
        2 => [sample(0), sample(0), sample(0), sample(1)],
        3 => [sample(0), sample(1), sample(2), u16::MAX],
        _ => [sample(0), sample(1), sample(2), sample(3)],
    }
}

/// Rounds to 8 bits and fills with [`BEHIND`] what is transparent.
fn opaque(pixel: &[u16]) -> [u8; 3] {
    let byte = |sample: u16| (u32::from(sample) + 128) / 257;
    let alpha = byte(pixel[3]);
    let mix = |sample: u16| {
        ((byte(sample) * alpha + u32::from(BEHIND) * (255 - alpha) + 127) / 255) as u8
    };
    [mix(pixel[0]), mix(pixel[1]), mix(pixel[2])]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 64 megapixels of 16 bits and opacity took 777 MB, and with a colour profile 1.4 GB.
    #[test]
    fn samples_are_narrowed_where_they_lie() {
        for colour in [
            ColorType::Rgb8,
            ColorType::Rgba8,
            ColorType::Rgb16,
            ColorType::Rgba16,
        ] {
            let pixels = 3 * AT_ONCE + 17;
            let samples = vec![0x55; pixels * usize::from(colour.bytes_per_pixel())];
            let before = samples.as_ptr();
            let narrowed = narrow(samples, colour, None).unwrap();
            assert_eq!(narrowed.len(), 3 * pixels, "{colour:?}");
            // What remains of a smaller block may be moved by the system's own shrinking, never copied beside it by us.
            if colour == ColorType::Rgb8 {
                assert_eq!(narrowed.as_ptr(), before);
            }
            assert!(narrowed.capacity() <= 4 * pixels, "{colour:?}");
        }
    }

    #[test]
    fn every_layout_gives_the_same_pixel() {
        let grey = |byte: u8| [byte; 3];
        let deep = |values: &[u16]| -> Vec<u8> {
            values
                .iter()
                .flat_map(|v| (v * 257).to_ne_bytes())
                .collect()
        };
        let cases = [
            (ColorType::L8, vec![90], grey(90)),
            (ColorType::La8, vec![90, 255], grey(90)),
            (ColorType::Rgb8, vec![1, 2, 3], [1, 2, 3]),
            (ColorType::Rgba8, vec![1, 2, 3, 0], grey(BEHIND)),
            (ColorType::L16, deep(&[90]), grey(90)),
            (ColorType::La16, deep(&[90, 255]), grey(90)),
            (ColorType::Rgb16, deep(&[1, 2, 3]), [1, 2, 3]),
            (ColorType::Rgba16, deep(&[1, 2, 3, 255]), [1, 2, 3]),
        ];
        for (colour, pixel, wanted) in cases {
            for pixels in [1, AT_ONCE, AT_ONCE + 1, 2 * AT_ONCE + 5] {
                let narrowed = narrow(pixel.repeat(pixels), colour, None).unwrap();
                assert_eq!(narrowed, wanted.repeat(pixels), "{colour:?}");
            }
        }
        assert!(narrow(vec![0; 12], ColorType::Rgb32F, None).is_err());
    }
}
