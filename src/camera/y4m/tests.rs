use std::io::Cursor;

use proptest::prelude::*;

use super::*;
use crate::camera::testing::{expected, fixture};

fn open(film: &[u8]) -> Result<Y4m<Cursor<&[u8]>>, HeaderFault> {
    Y4m::new(Cursor::new(film))
}

fn picture(slot: Slot) -> RgbImage {
    match slot {
        Slot::Picture(image, _) => image,
        Slot::Bad(why) | Slot::NotNow(why) => panic!("{why}"),
        Slot::End => panic!("no picture"),
    }
}

/// One frame with three rows of three pixels, black above and white below, chroma of a blue on the right.
fn film(layout: &str, u: &[u8], v: &[u8]) -> Vec<u8> {
    let luma = [16, 16, 16, 16, 16, 16, 235, 235, 235];
    let head = format!("YUV4MPEG2 W3 H3 F15:1 Ip A1:1 C{layout} XYSCSS=X\nFRAME Ix\n");
    [head.as_bytes(), &luma, u, v].concat()
}

#[test]
fn each_layout_puts_chroma_where_it_belongs() {
    // 4:2:0 has 2 x 2 chroma samples here, 4:2:2 2 x 3, 4:1:1 1 x 3, 4:4:4 3 x 3, mono none.
    let blue_right = |across: usize, down: usize| {
        let row = |x: usize| if x + 1 == across { 240 } else { 128 };
        (0..across * down)
            .map(|i| row(i % across))
            .collect::<Vec<u8>>()
    };
    for (layout, across, down) in [
        ("420", 2, 2),
        ("420jpeg", 2, 2),
        ("420mpeg2", 2, 2),
        ("420paldv", 2, 2),
        ("422", 2, 3),
        ("444", 3, 3),
    ] {
        let u = blue_right(across, down);
        let v = vec![128; across * down];
        let film = film(layout, &u, &v);
        let mut reel = open(&film).unwrap();
        let image = picture(reel.next_slot());
        assert_eq!(image.get_pixel(0, 0).0, [0, 0, 0], "{layout}");
        assert_eq!(image.get_pixel(0, 2).0, [255, 255, 255], "{layout}");
        // BT.601: black with U at its greatest is 1.772 / 2 of full blue, and takes green away.
        assert_eq!(image.get_pixel(2, 0).0, [0, 0, 226], "{layout}");
        assert_eq!(image.get_pixel(2, 2).0, [255, 211, 255], "{layout}");
        assert!(matches!(reel.next_slot(), Slot::End));
    }
    let mono = film("mono", &[], &[]);
    let image = picture(open(&mono).unwrap().next_slot());
    assert_eq!(image.get_pixel(1, 2).0, [255; 3]);
    let quarter = film("411", &[240; 3], &[128; 3]);
    let image = picture(open(&quarter).unwrap().next_slot());
    assert_eq!(image.get_pixel(0, 0).0, [0, 0, 226]);
}

#[test]
fn films_give_the_colours_that_ffmpeg_gives() {
    for layout in ["420p", "422p", "444p"] {
        let name = format!("patches-{layout}.y4m");
        let bytes = fixture(&name);
        let image = picture(open(&bytes).unwrap().next_slot());
        let want = expected(&name);
        assert_eq!(want.len(), 8);
        for (i, want) in want.into_iter().enumerate() {
            let got = image.get_pixel(8 * i as u32 + 4, 4);
            let apart = (0..3).map(|c| got[c].abs_diff(want[c])).max();
            // ffmpeg rounds its factors more coarsely.
            assert!(apart <= Some(1), "{name} {i}: {got:?}, not {want:?}");
        }
    }
}

#[test]
fn the_full_range_is_taken_where_the_film_says_so() {
    let bytes = b"YUV4MPEG2 W2 H1 Cmono XCOLORRANGE=FULL\nFRAME\n\x10\xeb";
    let image = picture(open(bytes).unwrap().next_slot());
    assert_eq!(image.get_pixel(0, 0).0, [16; 3]);
    assert_eq!(image.get_pixel(1, 0).0, [235; 3]);
}

#[test]
fn a_bad_first_line_says_what_is_wrong() {
    let cases: [(&[u8], HeaderFault); 7] = [
        (b"YUV4MPEG2 W2 H2", HeaderFault::NoHeader),
        (b"YUV4MPEG2 W2 \xff\xfe\n", HeaderFault::NoHeader),
        (
            b"YUV4MPEG2 W2\n",
            HeaderFault::NoSize("YUV4MPEG2 W2".into()),
        ),
        (
            b"YUV4MPEG2 W0 H2\n",
            HeaderFault::NoSize("YUV4MPEG2 W0 H2".into()),
        ),
        (
            b"YUV4MPEG2 W-3 H2\n",
            HeaderFault::NoSize("YUV4MPEG2 W-3 H2".into()),
        ),
        (
            b"YUV4MPEG2 W60000 H60000\n",
            HeaderFault::TooBig(60_000, 60_000),
        ),
        (
            b"YUV4MPEG2 W2 H2 C420p10\n",
            HeaderFault::Layout("420p10".into()),
        ),
    ];
    for (bytes, fault) in cases {
        assert_eq!(open(bytes).err(), Some(fault));
    }
}

#[test]
fn a_film_cut_off_gives_its_whole_frames() {
    let one = film("444", &[128; 9], &[128; 9]);
    let head = one.iter().position(|&b| b == b'\n').unwrap() + 1;
    let film = [&one[..], &one[head..]].concat();
    for len in one.len() + 1..film.len() {
        let mut reel = open(&film[..len]).unwrap();
        assert!(matches!(reel.next_slot(), Slot::Picture(..)), "{len}");
        assert!(matches!(reel.next_slot(), Slot::Bad(_)), "{len}");
        assert!(matches!(reel.next_slot(), Slot::End), "{len}");
    }
}

proptest! {
    #[test]
    fn any_first_line_and_any_planes_never_panic(
        words in prop::collection::vec("[WHCXFI][0-9a-zA-Z=:]{0,6}", 0..6),
        planes in prop::collection::vec(any::<u8>(), 0..200),
    ) {
        let head = format!("YUV4MPEG2 {}\nFRAME\n", words.join(" "));
        let bytes = [head.as_bytes(), &planes].concat();
        if let Ok(mut reel) = open(&bytes) {
            let _ = reel.next_slot();
            let _ = reel.next_slot();
        }
    }
}
