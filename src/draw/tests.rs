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
    // A point off the letter in each face's centre sticker.
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
        let svg = held(&HeldCube {
            stickers: &stickers,
            arrow: None,
            from_left,
            behind: false,
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
            let svg = held(&HeldCube {
                stickers: &stickers,
                arrow: Some(moves[0]),
                from_left: false,
                behind: false,
            });
            assert!(svg.contains("<polyline"), "{text}{suffix}");
            raster(&svg, 0.5).expect("valid drawing");
        }
    }
}

#[test]
fn opposite_turns_have_opposite_arrows() {
    let stickers = home();
    let draw = |amount| {
        held(&HeldCube {
            stickers: &stickers,
            arrow: Some(Turn::new(Face::R, amount).into()),
            from_left: false,
            behind: false,
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

#[test]
fn the_small_view_shows_from_behind_what_the_large_one_hides() {
    let stickers = home();
    for (from_left, hidden) in [(false, Face::L), (true, Face::R)] {
        let svg = held(&HeldCube {
            stickers: &stickers,
            arrow: None,
            from_left,
            behind: true,
        });
        for face in [hidden, Face::B] {
            let fill = format!(
                "fill=\"{}\" stroke=\"{0}\"",
                ink::fill(Some(face.home_colour()))
            );
            assert_eq!(svg.matches(&fill).count(), 9, "{face:?}");
        }
        raster(&svg, 0.5).expect("valid drawing");
    }
}

/// Sides of cells that the light lines around what is marked go along, in a drawing without letters.
fn lines(svg: &str) -> usize {
    let light = format!("stroke=\"{}\"", ink::PAPER);
    svg.split("<path d=\"")
        .skip(1)
        .filter(|path| path.contains(&light))
        .map(|path| path.matches('M').count())
        .sum()
}

#[test]
fn a_line_goes_around_each_whole_piece_and_around_the_slot() {
    let blank = Sticker {
        blank: true,
        ..Sticker::default()
    };
    let draw = |marks: &[(Face, usize)], slot: bool| {
        let mut stickers = Stickers(Face::ALL.map(|_| [blank; 9]));
        for (face, i) in marks {
            let sticker = stickers.at_mut(*face, *i);
            (sticker.pair, sticker.slot) = (!slot, slot);
        }
        lines(&held(&HeldCube {
            stickers: &stickers,
            arrow: None,
            from_left: false,
            behind: false,
        }))
    };
    let corner = [(Face::U, 8), (Face::F, 2), (Face::R, 0)];
    assert_eq!(
        draw(&corner, false),
        6,
        "three cells, three sides between them"
    );
    // The edge beside it is a piece of its own; in a slot the two are one place.
    let edge = [(Face::F, 5), (Face::R, 3)];
    let both = [&corner[..], &edge].concat();
    assert_eq!(draw(&both, false), 6 + 6);
    assert_eq!(draw(&both, true), 6 + 6 - 4);
    // Its sides that are out of view leave the line open nowhere.
    assert_eq!(draw(&[(Face::U, 0), (Face::L, 0), (Face::B, 2)], false), 4);
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
