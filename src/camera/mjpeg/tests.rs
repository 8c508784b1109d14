use std::io::Cursor;

use proptest::prelude::*;

use super::*;
use crate::camera::testing::{fixture, flat_jpeg, furthest};

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

/// How many broken pictures a film gives, and whether a whole one comes at its end.
fn ends_with_a_picture(film: Vec<u8>) -> (usize, bool) {
    let mut reel = Mjpeg::new(Cursor::new(film));
    let (mut broken, mut last) = (0, false);
    loop {
        match reel.next_slot() {
            Slot::Picture(..) => last = true,
            Slot::Bad(_) => (broken, last) = (broken + 1, false),
            Slot::NotNow(_) => panic!("it is in memory"),
            Slot::End => return (broken, last),
        }
    }
}

/// Each start is the first of a chain of segments that goes through all later ones: to walk from each to the end would take
/// some hours here, and took 15 s for a film that a camera could have made.
#[test]
fn starts_hidden_in_the_segments_of_others_cost_no_more_than_their_length() {
    let link = [&[0xff, 0xe0, 0, 5][..], &MAGIC].concat();
    let mut film = [&MAGIC[..2], &link.repeat(600_000)].concat();
    film.extend(flat_jpeg(RED));
    let (broken, last) = ends_with_a_picture(film);
    assert!(broken < 10_000 && last, "{broken}");
}

#[test]
fn many_headers_of_scans_before_one_long_scan_cost_no_more_than_their_length() {
    // Each of the starts has a scan whose data are the megabytes without a marker that come after all starts.
    let starts = 2_000;
    let mut film = Vec::new();
    for at in 0..starts {
        let rest = (starts - at) * 6 - 4;
        film.extend([0xff, 0xd8, 0xff, 0xda]);
        film.extend((rest as u16).to_be_bytes());
    }
    film.extend(vec![0x55; 8 << 20]);
    film.extend(flat_jpeg(RED));
    let (broken, last) = ends_with_a_picture(film);
    assert!(broken <= starts && last, "{broken}");
}

#[test]
fn frame_starts_without_frames_cost_no_more_than_their_length() {
    let mut film = MAGIC.repeat(1_000_000);
    film.extend(flat_jpeg(RED));
    assert!(ends_with_a_picture(film).1);
}

#[test]
fn zeros_behind_a_start_are_walked_over_once_however_they_are_read() {
    // To begin anew with each piece that is read would walk 2 GB.
    let mut film = fixture("baseline.jpg");
    film.truncate(film.len() - 2);
    film.extend(vec![0; 80 << 20]);
    film.extend(flat_jpeg(RED));
    assert_eq!(ends_with_a_picture(film), (1, true));
}

#[test]
fn seventeen_broken_pictures_in_one_segment_cost_no_whole_one_behind_it() {
    let cut = &flat_jpeg(GREEN)[..30];
    let inside = cut.repeat(40);
    let mut film = MAGIC.to_vec();
    film.push(0xe0);
    film.extend((inside.len() as u16 + 2).to_be_bytes());
    film.extend(inside);
    film.extend(flat_jpeg(RED));
    film.extend(flat_jpeg(BLUE));
    let told = slots(&film);
    assert!(told.ends_with("rb") && told.len() < 40, "{told}");
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
