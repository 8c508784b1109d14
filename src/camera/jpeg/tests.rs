use proptest::prelude::*;

use super::*;
use crate::camera::testing::{expected, fixture};

const KINDS: [&str; 6] = [
    "baseline.jpg",
    "full-chroma.jpg",
    "webcam-like.jpg",
    "progressive.jpg",
    "restarts.jpg",
    "grey.jpg",
];

/// Mean colours of a 4 x 3 grid of a 64 x 48 picture.
fn thumb(image: DynamicImage) -> Vec<[u8; 3]> {
    let image = image.into_rgb8();
    assert_eq!(image.dimensions(), (64, 48));
    let mut sums = [[0u32; 3]; 12];
    for (x, y, pixel) in image.enumerate_pixels() {
        let sum = &mut sums[(y / 16 * 4 + x / 16) as usize];
        (0..3).for_each(|c| sum[c] += u32::from(pixel[c]));
    }
    sums.map(|sum| sum.map(|s| ((s + 128) / 256) as u8))
        .to_vec()
}

fn close(got: &[[u8; 3]], want: &[[u8; 3]]) -> bool {
    let apart = |(a, b): (&u8, &u8)| a.abs_diff(*b);
    let pairs = got.as_flattened().iter().zip(want.as_flattened());
    got.len() == want.len() && pairs.map(apart).all(|d| d <= 2)
}

/// Where the first scan starts.
fn scan(bytes: &[u8]) -> usize {
    extent(bytes)
        .unwrap()
        .find(code::SCAN)
        .next()
        .unwrap()
        .start
}

#[test]
fn every_kind_decodes_as_libjpeg_turbo_does() {
    for name in KINDS {
        let got = thumb(decode(&fixture(name)).unwrap().image);
        assert!(close(&got, &expected(name)), "{name}: {got:?}");
    }
}

/// 64 megapixels in several passes without subsampling took 609 MiB; subsampled, or 48 of them, or in one pass, they fit.
#[test]
fn more_pixels_than_several_passes_can_hold_are_refused_before_decoding() {
    let sized = |name: &str, sides: [u16; 2], sampling: u8| {
        let mut bytes = fixture(name);
        let frames = extent(&bytes).unwrap().segments;
        let frame = frames.iter().find(|s| is_frame(s.code)).unwrap();
        let start = frame.content.start;
        bytes[start + 1..start + 3].copy_from_slice(&sides[1].to_be_bytes());
        bytes[start + 3..start + 5].copy_from_slice(&sides[0].to_be_bytes());
        bytes[start + 7] = sampling;
        bytes
    };
    let held = |bytes: &[u8]| held(bytes, &extent(bytes).unwrap()) >> 20;
    let large = sized("progressive.jpg", [8192, 8192], 0x11);
    assert_eq!(held(&large), 576);
    assert_eq!(decode(&large).err(), Some(JpegFault::TooBig(8192, 8192)));
    for (name, sides, sampling, least) in [
        ("progressive.jpg", [8192, 8192], 0x22, 384),
        ("progressive.jpg", [8000, 6000], 0x11, 411),
        ("full-chroma.jpg", [8192, 8192], 0x11, 192),
    ] {
        let bytes = sized(name, sides, sampling);
        assert_eq!(held(&bytes), least, "{name}");
        assert!(held(&bytes) << 20 <= MOST_HELD);
    }
}

#[test]
fn a_picture_cut_off_anywhere_is_refused() {
    for name in KINDS {
        let bytes = fixture(name);
        for len in 0..bytes.len() {
            assert!(decode(&bytes[..len]).is_err(), "{name} of {len} bytes");
        }
    }
}

#[test]
fn what_follows_the_picture_does_not_matter() {
    for name in KINDS {
        let bytes = fixture(name);
        let padded = [bytes.as_slice(), &[0; 700], &bytes].concat();
        assert_eq!(extent(&padded).unwrap().len, bytes.len());
        let got = thumb(decode(&padded).unwrap().image);
        assert!(close(&got, &expected(name)), "{name}");
    }
}

#[test]
fn a_piece_lost_from_the_middle_with_restart_markers_is_refused() {
    let bytes = fixture("restarts.jpg");
    let is_restart = |at: &usize| bytes[*at] == 0xff && (0xd0..=0xd7).contains(&bytes[at + 1]);
    let restarts: Vec<usize> = (scan(&bytes)..bytes.len() - 1).filter(is_restart).collect();
    // 48 rows of pixels in rows of 16: two marks between three.
    assert_eq!(restarts.len(), 2);
    let lost = [&bytes[..restarts[0]], &bytes[restarts[1]..]].concat();
    assert!(matches!(decode(&lost), Err(JpegFault::Damaged(_))));
}

#[test]
fn bytes_lost_from_the_middle_are_noticed_in_a_picture_coded_in_one_pass() {
    for name in KINDS.into_iter().filter(|n| *n != "progressive.jpg") {
        let bytes = fixture(name);
        let end = bytes.len() - 2;
        let (mut tried, mut missed) = (0, 0);
        // As much as a USB packet carries, and less. Of 100 bytes, some five blocks, a quarter goes unnoticed here: the
        // codes behind the gap fall into step again and the number of blocks comes out even by chance.
        for lost in [400, 600] {
            for from in scan(&bytes) + 20..end - lost {
                let picture = [&bytes[..from], &bytes[from + lost..]].concat();
                tried += 1;
                missed += usize::from(decode(&picture).is_ok());
            }
        }
        assert!(tried > 500);
        assert!(missed * 50 <= tried, "{name}: {missed} of {tried}");
    }
}

#[test]
fn padding_before_the_end_marker_is_allowed() {
    let bytes = fixture("webcam-like.jpg");
    let (body, end) = bytes.split_at(bytes.len() - 2);
    for padding in [&[0; 1][..], &[0; 30], &[0xff; 5]] {
        let padded = [body, padding, end].concat();
        assert!(decode(&padded).is_ok(), "{padding:?}");
    }
}

/// The picture without its Huffman tables, as many webcams send it.
fn without_tables(bytes: &[u8]) -> Vec<u8> {
    let mut out = Vec::new();
    let mut at = 2;
    out.extend(&bytes[..2]);
    loop {
        assert_eq!(bytes[at], 0xff);
        if bytes[at + 1] == 0xda {
            out.extend(&bytes[at..]);
            return out;
        }
        let end = at + 2 + usize::from(u16::from_be_bytes([bytes[at + 2], bytes[at + 3]]));
        if bytes[at + 1] != 0xc4 {
            out.extend(&bytes[at..end]);
        }
        at = end;
    }
}

#[test]
fn tables_left_out_are_the_standard_ones() {
    for name in ["baseline.jpg", "webcam-like.jpg", "full-chroma.jpg"] {
        let bytes = fixture(name);
        let bare = without_tables(&bytes);
        assert!(bare.len() + 400 < bytes.len());
        assert_eq!(
            decode(&bare).unwrap().image,
            decode(&bytes).unwrap().image,
            "{name}"
        );
    }
}

#[test]
fn the_standard_tables_are_those_that_libjpeg_writes() {
    // libjpeg-turbo writes each table of Annex K.3 as a segment of its own, unless asked to optimise.
    let bytes = fixture("baseline.jpg");
    let ours = tables::segment();
    assert_eq!(ours.len(), 420);
    let mut rest = &ours[4..];
    for _ in 0..4 {
        let values: usize = rest[1..17].iter().map(|&n| usize::from(n)).sum();
        let (table, after) = rest.split_at(17 + values);
        assert!(bytes.windows(table.len()).any(|w| w == table));
        rest = after;
    }
    assert!(rest.is_empty());
}

#[test]
fn a_huge_declared_size_is_refused_before_decoding() {
    let mut bytes = fixture("baseline.jpg");
    let frame = bytes.windows(2).position(|w| w == [0xff, 0xc0]).unwrap();
    bytes[frame + 5..frame + 9].fill(0xff);
    assert_eq!(
        decode(&bytes).err(),
        Some(JpegFault::TooBig(0xffff, 0xffff))
    );
}

/// A progressive picture costs a pass over all its blocks for each scan, however short that is: a few kilobytes, a minute.
#[test]
fn a_picture_of_thousands_of_scans_is_refused() {
    let bytes = fixture("progressive.jpg");
    let extent = extent(&bytes).unwrap();
    let scans: Vec<&Segment> = extent.find(code::SCAN).collect();
    let last = scans[scans.len() - 1].start..bytes.len() - 2;
    let with = |more: usize| {
        let again = bytes[last.clone()].repeat(more);
        [&bytes[..last.end], &again, &bytes[last.end..]].concat()
    };
    let allowed = MOST_SCANS - scans.len();
    assert!(super::extent(&with(allowed)).is_ok());
    assert!(matches!(
        decode(&with(allowed + 1)),
        Err(JpegFault::Damaged(_))
    ));
}

#[test]
fn more_segments_than_any_picture_has_are_refused() {
    let bytes = fixture("baseline.jpg");
    let with = |more: usize| [&bytes[..2], &[0xff, 0xe0, 0, 2].repeat(more), &bytes[2..]].concat();
    assert!(decode(&with(1000)).is_ok());
    assert!(matches!(
        decode(&with(MOST_SEGMENTS)),
        Err(JpegFault::Damaged(_))
    ));
}

#[test]
fn a_walk_that_is_interrupted_anywhere_goes_on_as_if_it_were_not() {
    for name in KINDS {
        let bytes = fixture(name);
        let whole = extent(&bytes).unwrap();
        for step in [1, 7, 100] {
            let mut walk = Walk::default();
            let mut len = MAGIC.len();
            let found = loop {
                match walk.on(&bytes[..len]) {
                    Err(JpegFault::CutOff) => len = bytes.len().min(len + step),
                    ended => break ended.unwrap(),
                }
            };
            assert_eq!(found, whole, "{name} by {step}");
        }
    }
}

proptest! {
    #[test]
    fn damage_never_panics(
        kind in 0..KINDS.len(),
        hits in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..20),
    ) {
        let mut bytes = fixture(KINDS[kind]);
        for (place, value) in hits {
            let at = place.index(bytes.len());
            bytes[at] = value;
        }
        let _ = decode(&bytes);
    }

    #[test]
    fn anything_behind_a_start_marker_never_panics(tail in prop::collection::vec(any::<u8>(), 0..400)) {
        let bytes = [&MAGIC[..], &tail].concat();
        let _ = decode(&bytes);
    }
}
