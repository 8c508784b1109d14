use std::fs;
use std::io::Write;

use image::{ImageBuffer, ImageEncoder, Luma, LumaA, Rgb, Rgba};
use proptest::prelude::*;

use super::*;
use crate::camera::testing::{expected, fixture, fixture_path};

fn encoded(image: impl Into<DynamicImage>, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    image.into().write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

fn fault(bytes: &[u8]) -> PictureFault {
    decode_picture(bytes).expect_err("it should not decode")
}

#[test]
fn lossless_formats_come_back_as_they_were() {
    let image = RgbImage::from_fn(7, 5, |x, y| Rgb([x as u8 * 30, y as u8 * 40, 99]));
    for format in [ImageFormat::Png, ImageFormat::WebP, ImageFormat::Bmp] {
        let picture = decode_picture(&encoded(image.clone(), format)).unwrap();
        assert_eq!(picture.image, image, "{format:?}");
        assert_eq!(picture.layout.stored_size(), (7, 5));
        assert_eq!(picture.layout.to_stored((2.5, 3.5)), (2.5, 3.5));
    }
}

#[test]
fn the_format_is_told_by_content_and_not_by_name() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("really-a-png.jpg");
    let image = RgbImage::from_pixel(3, 2, Rgb([9, 8, 7]));
    fs::write(&path, encoded(image.clone(), ImageFormat::Png)).unwrap();
    assert_eq!(load_picture(&path).unwrap().image, image);
}

#[test]
fn all_eight_exif_orientations_are_turned_upright() {
    // Four quarters; the script that made the files checked them with Pillow's exif_transpose.
    let quarters = [
        ((0, 0), [200, 30, 30]),
        ((16, 0), [30, 160, 40]),
        ((0, 8), [30, 50, 190]),
        ((16, 8), [230, 220, 60]),
    ];
    for kind in ["jpg", "webp"] {
        for orientation in 1..=8 {
            let name = format!("turned-{orientation}.{kind}");
            let picture = load_picture(&fixture_path(&name)).unwrap();
            assert_eq!(picture.image.dimensions(), (32, 16), "{name}");
            for ((x, y), colour) in quarters {
                let got = picture.image.get_pixel(x + 8, y + 4);
                let near = (0..3).all(|c| got[c].abs_diff(colour[c]) < 6);
                assert!(near, "{name}: {got:?} at {x}, {y}");
            }
            let (width, height) = picture.layout.stored_size();
            assert_eq!(width < height, orientation >= 5, "{name}");
        }
    }
}

#[test]
fn embedded_profiles_give_the_srgb_values_of_littlecms() {
    for name in [
        "profile-wide.png",
        "profile-wide.webp",
        "profile-wide.jpg",
        "profile-linear.png",
        "profile-linear.webp",
        "profile-grey.png",
    ] {
        let picture = load_picture(&fixture_path(name)).unwrap();
        assert_eq!(picture.profile_unused, None);
        let want = expected(name);
        assert_eq!(want.len(), 8);
        for (i, want) in want.into_iter().enumerate() {
            let got = picture.image.get_pixel(8 * i as u32 + 4, 4);
            let apart = (0..3).map(|c| got[c].abs_diff(want[c])).max().unwrap();
            // JPEG decoders may differ by one before the conversion, which steepens that.
            let allowed = if name.ends_with(".jpg") { 4 } else { 1 };
            assert!(apart <= allowed, "{name} {i}: {got:?}, not {want:?}");
        }
    }
}

#[test]
fn a_profile_that_is_none_is_reported_and_the_picture_kept() {
    let picture = load_picture(&fixture_path("profile-nonsense.png")).unwrap();
    assert!(picture.profile_unused.is_some());
    assert_eq!(picture.image.get_pixel(4, 4), &Rgb([180, 60, 50]));
}

#[test]
fn sixteen_bits_are_rounded_to_eight() {
    // The nearest of 255 steps: 0x8000 is 127.504, 0x40bf 64.499, 0x3f3f 63.0, 0x00ff 0.99.
    let deep = load_picture(&fixture_path("deep.png")).unwrap().image;
    assert_eq!(deep.get_pixel(0, 0), &Rgb([255, 128, 0]));
    assert_eq!(deep.get_pixel(1, 0), &Rgb([64, 63, 1]));
    let alpha = load_picture(&fixture_path("deep-alpha.png")).unwrap().image;
    assert_eq!(alpha.get_pixel(0, 0), &Rgb([255, 128, 0]));
    assert_eq!(alpha.get_pixel(1, 0), &Rgb([128, 128, 128]));
}

#[test]
fn transparent_places_become_mid_grey() {
    let alphas = [0, 51, 128, 255];
    let want = [
        [128, 128, 128],
        [153, 102, 122],
        [192, 64, 114],
        [255, 0, 100],
    ];
    let image = image::RgbaImage::from_fn(4, 1, |x, _| Rgba([255, 0, 100, alphas[x as usize]]));
    for format in [ImageFormat::Png, ImageFormat::WebP, ImageFormat::Bmp] {
        let got = decode_picture(&encoded(image.clone(), format))
            .unwrap()
            .image;
        for (x, want) in want.into_iter().enumerate() {
            assert_eq!(got.get_pixel(x as u32, 0).0, want, "{format:?}");
        }
    }
}

#[test]
fn grey_pictures_become_equal_channels() {
    let grey = image::GrayImage::from_fn(3, 1, |x, _| Luma([x as u8 * 100]));
    let with_alpha = image::GrayAlphaImage::from_fn(1, 1, |_, _| LumaA([0, 0]));
    let deep: ImageBuffer<Luma<u16>, _> = ImageBuffer::from_pixel(1, 1, Luma([0x6464]));
    let decode = |image: DynamicImage| {
        decode_picture(&encoded(image, ImageFormat::Png))
            .unwrap()
            .image
    };
    assert_eq!(decode(grey.into()).get_pixel(2, 0), &Rgb([200; 3]));
    assert_eq!(decode(with_alpha.into()).get_pixel(0, 0), &Rgb([128; 3]));
    assert_eq!(decode(deep.into()).get_pixel(0, 0), &Rgb([100; 3]));
}

#[test]
fn a_picture_cut_off_anywhere_is_refused() {
    let image = RgbImage::from_fn(24, 24, |x, y| {
        Rgb([(x * 37 + y * 91) as u8, (x * y) as u8, ((x ^ y) * 9) as u8])
    });
    for format in [ImageFormat::Png, ImageFormat::WebP, ImageFormat::Bmp] {
        let bytes = encoded(image.clone(), format);
        for len in 0..bytes.len() {
            match decode_picture(&bytes[..len]) {
                Err(_) => {}
                // Nothing of the picture itself is lost with a PNG's closing chunk.
                Ok(picture) => assert!(picture.image == image, "{format:?} of {len} bytes"),
            }
        }
    }
}

#[test]
fn each_unusable_file_has_its_own_error_and_remedy() {
    let folder = tempfile::tempdir().unwrap();
    let file = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name);
        fs::File::create(&path).unwrap().write_all(bytes).unwrap();
        path
    };
    let cut = &fixture("baseline.jpg")[..1500];
    let cases = [
        (folder.path().join("none.jpg"), "no such file or folder"),
        (folder.path().to_owned(), "not a file"),
        (file("empty.jpg", b""), "the file is empty"),
        (
            file("text.jpg", b"dear diary"),
            "not a picture that can be read, but text",
        ),
        (
            file("film.jpg", b"\0\0\0\x18ftypmp42"),
            "not a picture that can be read, but a film",
        ),
        (
            file("still.png", b"\0\0\0\x18ftypheic"),
            "not a picture that can be read, but an HEIF picture",
        ),
        (file("noise.png", &[0, 200, 3, 0, 17]), "not a picture"),
        (file("cut.jpg", cut), "the picture is cut off"),
    ];
    for (path, cause) in cases {
        let error = load_picture(&path).expect_err(cause).to_string();
        let (what, remedy) = error.split_once('\n').unwrap();
        assert_eq!(what, format!("{}: {cause}", path.display()));
        assert!(!remedy.is_empty());
    }
}

#[test]
fn huge_declared_sizes_are_refused_before_decoding() {
    // A PNG head alone: 60,000 pixels square, nothing behind it.
    let mut png = encoded(RgbImage::new(1, 1), ImageFormat::Png);
    png[16..24].copy_from_slice(&[0, 0, 0xea, 0x60, 0, 0, 0xea, 0x60]);
    let head: [u8; 17] = png[12..29].try_into().unwrap();
    png[29..33].copy_from_slice(&crc32(&head).to_be_bytes());
    assert!(matches!(
        fault(&png),
        PictureFault::TooManyPixels(60_000, 60_000)
    ));
    let mut bmp = encoded(RgbImage::new(1, 1), ImageFormat::Bmp);
    bmp[18..22].copy_from_slice(&60_000u32.to_le_bytes());
    bmp[22..26].copy_from_slice(&60_000u32.to_le_bytes());
    assert!(matches!(
        fault(&bmp),
        PictureFault::TooManyPixels(60_000, 60_000)
    ));
}

/// A colour profile that unpacks to 100 MB of zeros is not unpacked, and the picture is kept.
#[test]
fn a_colour_profile_of_zeros_takes_no_memory() {
    let image = RgbImage::from_pixel(8, 8, Rgb([9, 8, 7]));
    let mut bytes = Vec::new();
    let mut encoder = image::codecs::png::PngEncoder::new(&mut bytes);
    encoder.set_icc_profile(vec![0; 100 << 20]).unwrap();
    encoder
        .write_image(&image, 8, 8, image::ExtendedColorType::Rgb8)
        .unwrap();
    assert!(bytes.len() < 1 << 20, "{}", bytes.len());
    let picture = decode_picture(&bytes).unwrap();
    assert_eq!(picture.image, image);
    // It was left out, and nobody was told.
    let why = picture.profile_unused;
    assert_eq!(why.as_deref(), Some("it is too large or damaged"));
    assert_eq!(
        decode_picture(&encoded(image, ImageFormat::Png))
            .unwrap()
            .profile_unused,
        None
    );
}

#[test]
fn a_colour_profile_larger_than_any_is_not_used() {
    let why = ToSrgb::new(&vec![0; super::super::icc::MOST_BYTES + 1], true).err();
    assert_eq!(why.as_deref(), Some("it is too large"));
}

/// PNG (W3C, third edition), annex D.
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0, |crc, &byte| {
        (0..8).fold(crc ^ u32::from(byte), |c, _| {
            (c >> 1) ^ (0xedb8_8320 & (c & 1).wrapping_neg())
        })
    })
}

proptest! {
    #[test]
    fn damage_never_panics(
        kind in 0..5usize,
        hits in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..20),
        keep in any::<prop::sample::Index>(),
    ) {
        let names = ["profile-wide.png", "turned-6.webp", "profile-linear.webp", "deep-alpha.png", "turned-5.jpg"];
        let mut bytes = fixture(names[kind]);
        for (place, value) in hits {
            let at = place.index(bytes.len());
            bytes[at] = value;
        }
        let _ = decode_picture(&bytes);
        let _ = decode_picture(&bytes[..keep.index(bytes.len())]);
    }

    #[test]
    fn anything_behind_a_magic_number_never_panics(
        kind in 0..4usize,
        tail in prop::collection::vec(any::<u8>(), 0..300),
    ) {
        let magic: [&[u8]; 4] = [b"\x89PNG\r\n\x1a\n", b"RIFF\x40\0\0\0WEBPVP8X", b"BM", b"\xff\xd8\xff"];
        let _ = decode_picture(&[magic[kind], &tail].concat());
    }
}
