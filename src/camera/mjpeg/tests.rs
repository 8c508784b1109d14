use std::io::Cursor;

use proptest::prelude::*;

use super::*;
use crate::camera::testing::{flat_jpeg, furthest};

const RED: [u8; 3] = [200, 30, 20];
const GREEN: [u8; 3] = [20, 150, 40];
const BLUE: [u8; 3] = [30, 40, 180];

/// What a film gives, one letter a slot: the colour, or `x` for a broken picture.
fn slots(film: &[u8]) -> String {
    let mut reel = Mjpeg::new(Cursor::new(film));
    let mut out = String::new();
    loop {
        out.push(match reel.next_slot() {
            Slot::Picture(image, _) => {
                let is = |colour| furthest(&image, colour) < 8;
                let colours = [(RED, 'r'), (GREEN, 'g'), (BLUE, 'b')];
                colours.into_iter().find(|(c, _)| is(*c)).unwrap().1
            }
            Slot::Bad(_) => 'x',
            Slot::NotNow(_) => panic!("it is in memory"),
            Slot::End => return out,
        });
        assert!(out.len() < 100, "no end to it: {out}");
    }
}

fn film(frames: &[&[u8]]) -> Vec<u8> {
    frames.concat()
}

#[test]
fn pictures_come_in_order() {
    let (r, g, b) = (flat_jpeg(RED), flat_jpeg(GREEN), flat_jpeg(BLUE));
    assert_eq!(slots(&film(&[&r, &g, &b, &r])), "rgbr");
}

#[test]
fn a_broken_picture_costs_no_other() {
    let (r, g, b) = (flat_jpeg(RED), flat_jpeg(GREEN), flat_jpeg(BLUE));
    for cut in [4, 30, 200, r.len() / 2, r.len() - 1] {
        // Its end is missing.
        assert_eq!(slots(&film(&[&r[..cut], &g, &b])), "xgb", "first, {cut}");
        assert_eq!(slots(&film(&[&g, &r[..cut], &b])), "gxb", "middle, {cut}");
        assert_eq!(slots(&film(&[&g, &b, &r[..cut]])), "gbx", "last, {cut}");
        // Its start is missing.
        let cut = cut.min(r.len() - 2);
        assert_eq!(slots(&film(&[&r[cut..], &g, &b])), "xgb", "first, {cut}");
        assert_eq!(slots(&film(&[&g, &r[cut..], &b])), "gxb", "middle, {cut}");
    }
}

#[test]
fn text_between_the_parts_of_a_recorded_stream_is_passed_over() {
    let (r, g) = (flat_jpeg(RED), flat_jpeg(GREEN));
    let part: &[u8] = b"\r\n--frame\r\nContent-Type: image/jpeg\r\n\r\n";
    assert_eq!(slots(&film(&[part, &r, part, &g, b"\r\n--frame--"])), "rg");
}

#[test]
fn pictures_astride_the_chunks_that_are_read_are_whole() {
    let r = flat_jpeg(RED);
    // An application segment of a length that no chunk is a multiple of makes the picture large.
    let mut large = r[..2].to_vec();
    for _ in 0..5 {
        large.extend([0xff, 0xe9, 0xea, 0x61]);
        large.extend([7; 0xea61 - 2]);
    }
    large.extend(&r[2..]);
    let frames: Vec<&[u8]> = vec![&large; 12];
    assert!(large.len() * 12 > 3 * CHUNK as usize);
    assert_eq!(slots(&film(&frames)), "r".repeat(12));
}

#[test]
fn nothing_to_see_is_no_slot() {
    assert_eq!(slots(b""), "");
    assert_eq!(slots(b"\xff"), "");
    assert_eq!(slots(b"no pictures at all"), "");
}

proptest! {
    #[test]
    fn noise_ends_without_panic(bytes in prop::collection::vec(prop_oneof![any::<u8>(), Just(0xff), Just(0xd8)], 0..600)) {
        let mut reel = Mjpeg::new(Cursor::new(bytes));
        let mut slots = 0;
        while !matches!(reel.next_slot(), Slot::End) {
            slots += 1;
            prop_assert!(slots < 600);
        }
    }
}
