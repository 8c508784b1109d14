use super::*;
use crate::cube::{Amount, Turn, parse_moves};
use crate::sight::Point;

fn home() -> Stickers {
    Stickers::from_colours(|face, _| Some(face.home_colour()))
}

fn near(pixel: &image::Rgba<u8>, hex: &str) -> bool {
    (0..3).all(|i| {
        let want = u8::from_str_radix(&hex[1 + 2 * i..3 + 2 * i], 16).expect("hex colour");
        pixel[i].abs_diff(want) <= 6
    })
}

#[test]
fn net_shows_each_colour_where_the_unfolded_net_has_its_face() {
    let picture = raster(&net(&home()), 1.0).expect("valid drawing");
    // A point off the letter in each face's middle sticker.
    for (face, x, y) in [
        (Face::U, 1, 0),
        (Face::L, 0, 1),
        (Face::F, 1, 1),
        (Face::R, 2, 1),
        (Face::B, 3, 1),
        (Face::D, 1, 2),
    ] {
        let pixel = picture.get_pixel(8 + x * 128 + 46, 8 + y * 128 + 46);
        let fill = ink::fill(Some(face.home_colour()));
        assert!(near(pixel, fill), "{face:?}: {pixel:?} is not {fill}");
    }
}

#[test]
fn held_cube_shows_up_front_and_right_or_left() {
    for (from_left, side) in [(false, Face::R), (true, Face::L)] {
        let stickers = home();
        let svg = held(&Drawn {
            stickers: &stickers,
            arrow: None,
            from_left,
            far_faces: false,
        });
        let shown = [Face::U, Face::F, side];
        for face in Face::ALL {
            let fill = format!(
                "fill=\"{}\" stroke=\"{0}\"",
                ink::fill(Some(face.home_colour()))
            );
            let count = svg.matches(&fill).count();
            assert_eq!(count, if shown.contains(&face) { 9 } else { 0 }, "{face:?}");
        }
    }
}

#[test]
fn every_move_gets_an_arrow() {
    let stickers = home();
    for text in "U R F D L B Uw Rw Fw M E S x y z".split(' ') {
        for suffix in ["", "'", "2"] {
            let moves = parse_moves(&format!("{text}{suffix}")).expect("a move");
            let svg = held(&Drawn {
                stickers: &stickers,
                arrow: Some(moves[0]),
                from_left: false,
                far_faces: false,
            });
            assert!(svg.contains(ink::ARROW), "{text}{suffix}");
            raster(&svg, 0.5).expect("valid drawing");
        }
    }
}

#[test]
fn opposite_turns_have_opposite_arrows() {
    let stickers = home();
    let draw = |amount| {
        held(&Drawn {
            stickers: &stickers,
            arrow: Some(Turn::new(Face::R, amount).into()),
            from_left: false,
            far_faces: false,
        })
    };
    let start = |svg: &str| {
        let line = svg.split("<polyline points=\"").nth(1).expect("an arrow");
        let first = line.split([' ', '"']).next().expect("a point");
        let y = first.split(',').nth(1).expect("y");
        y.parse::<f32>().expect("a number")
    };
    // A clockwise turn of the right side carries the front up, so its arrow starts lower on the page.
    assert!(start(&draw(Amount::Quarter)) > start(&draw(Amount::Counter)));
}

fn marked(doubt: f32) -> String {
    let lattice = std::array::from_fn(|r| {
        std::array::from_fn(|c| Point {
            x: 10.0 + 30.0 * c as f32,
            y: 10.0 + 30.0 * r as f32,
        })
    });
    let colours = [[Some(Colour::Red); 3]; 3];
    let mut doubts = [[0.0; 3]; 3];
    doubts[1][2] = doubt;
    let face = MarkedFace {
        lattice,
        colours,
        doubt: doubts,
    };
    marks(120, 110, &[face])
}

#[test]
fn a_doubtful_sticker_is_marked_and_a_sure_one_is_not() {
    assert!(marked(0.2).contains("stroke-dasharray"));
    assert!(!marked(0.001).contains("stroke-dasharray"));
}

#[test]
fn marks_leave_the_picture_alone_where_nothing_was_found() {
    let grey = image::Rgb([90, 91, 92]);
    let mut picture = image::RgbImage::from_pixel(120, 110, grey);
    lay_over(&mut picture, &marked(0.0)).expect("same size");
    assert_eq!(*picture.get_pixel(115, 105), grey);
    assert!(picture.pixels().any(|p| *p != grey));
    let mut small = image::RgbImage::new(20, 20);
    assert!(matches!(
        lay_over(&mut small, &marked(0.0)),
        Err(DrawError::Size { .. })
    ));
}
