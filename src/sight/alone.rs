//! What a cube's face shows and other things in rows and columns do not: grooves between the cells, and none of the grid around them.

use super::alike::alike_around;
use super::candidate::{Candidate, inside};
use super::cut::{AT_SIDE, is_near_rim};
use super::frame::framed;
use super::grooves::{
    Border, OUTWARD, View, abreast, apart, leading_away, measure, measure_cell, tap, units,
};
use super::plane::Homography;
use super::quads::Quad;
use super::seams::{light, lined, parted};
use super::verify::{ALL_INNER, Evidence, count_in_place, faintest, lies_there};

/// Largest distance between colours that are taken for one, 8-bit levels summed over the channels, where they are bright; less where it is dark.
const SAME: f32 = 40.0;

/// Clearest line that may run through most of its cells; see [`lined`].
const MOST_LINED: f32 = 50.0;

/// Fewest pairs of neighbouring cells of a face alone that meet as stickers do, of 12.
const PARTED: u32 = 8;

/// Most rims of a face alone beyond which its cells' colours go on, of 12; and of one that nothing else goes on around.
const MOST_DRAWN: u32 = 3;
const MOST_LIKE_WALL: u32 = 7;

/// Another face of the cube may be seen beyond a side if its tilt is less than this, degrees: a right angle, and what the pose may be out.
const HIDDEN: f64 = 93.0;

/// Share of lines that may seem to go on by chance, and what is taken from a face's score for all others together.
const BY_CHANCE: f64 = 0.45;
const GOING_ON: f64 = 14.0;

/// Largest share of lines that may seem to go on, whatever the score.
const MOST_GOING_ON: f64 = 0.9;

/// Signs of a board's frame that a face alone may show, and what each takes from its score; and fewer where it is turned away by more than this,
/// degrees, so that others of its cube should show beside it.
const MOST_FRAMED: u32 = 3;
const FRAMED: f64 = 3.5;
const MOST_FRAMED_ASIDE: u32 = 2;
const ASIDE: f64 = 25.0;

/// Fewest sides in place, of 36, of a face alone near the picture's rim, where what is cut may be a part of it.
const FEWEST_AT_RIM: u32 = 30;

/// Distance in which the colour changes at a small face's sides, in cells, from which they are so blurred that a frame hardly shows: any sign
/// of one tells.
const BLURRED: f32 = 0.1;

/// Signs of a larger grid beyond two sides, of 18, and rims with their cells' colours beyond, of 12, that a face alone may not show both:
/// each for itself may be chance.
const SIGNS: u32 = 5;
const RIMS: u32 = 2;

/// Cells of one colour of a face alone, of 9, around which something like more of its grid may be.
const MOSTLY_EVEN: u32 = 8;

/// The sides of cells beyond the face are looked for within so many steps of their places, of so many cells; least change of colour over two
/// steps, 8-bit levels summed over the channels; and so many sides of three cells abreast, of 12, whose colour changes fastest within a step of
/// its place, a face alone may not show, whatever is on the cells.
const STEPS: i32 = 5;
const STEP: f32 = 0.03;
const VISIBLE: f32 = 16.0;
const NEXT_ROW: usize = 9;

/// Largest distance of a line from its place for it to go on there, in cells.
const JUST_THERE: f32 = 0.04;

/// How far around a face cells of a larger grid are looked for, in cells from its middle.
const AROUND: i32 = 3;

/// Signs of such cells, by how many of a cell's sides are in place; signs of a shape like the face's cells that is near it; and how many
/// signs a face alone may show.
const SIGNS_OF_CELL: [u32; 5] = [0, 0, 1, 2, 6];
const SIGNS_OF_SHAPE: u32 = 2;
const MOST_SIGNS: u32 = 8;

/// Most signs of cells and shapes around a face that nothing goes on around, the largest share of its lines that seem to, and most signs of
/// a frame.
const FEW_SIGNS: u32 = 3;
const FEW_GOING_ON: f64 = 0.25;
const HARDLY_FRAMED: u32 = 1;

/// Lowest score of a face alone, less what speaks against it; and of a small one. Cubes that far away are sharp if they are to be seen at
/// all, and much else is as small and nearly as regular.
const LEAST_SCORE: f64 = 19.0;
const LEAST_SCORE_SMALL: f64 = 25.0;

/// Side of a cell under which a face is small, as a share of the picture's shorter side.
const SMALL: f64 = 0.06;

/// Largest mean distance of the sides of a face alone from their places, in cells. Cells that people and nature make differ more.
const MOST_UNEVEN: f32 = 0.028;

/// Least side of a cell of a face alone, as a share of the picture's shorter side. A cube that is shown is nearer, and among what is smaller
/// too much looks alike.
const LEAST_CELL: f64 = 0.035;

/// Half the side of what the picture must show of a face alone, in cells: its rim and where it ends. A large one fills the picture, and
/// may touch the picture's rim; what is smaller and is cut there is more likely a part of something.
const WHOLE: f64 = 1.55;

/// Side of a cell from which a face is large, as a share of the picture's shorter side.
const LARGE: f64 = 0.11;

/// Whether a face can be believed without another face of the same cube. `quads` are all shapes in the picture that may be stickers.
pub fn stands_alone(view: &View, face: &Candidate, quads: &[Quad]) -> bool {
    let size = view.size();
    let cell = face.cell() / f64::from(size.0.min(size.1));
    let small = cell < SMALL;
    let least = if small {
        LEAST_SCORE_SMALL
    } else {
        LEAST_SCORE
    };
    // What costs nothing is asked first; the picture is looked at only for a face that passes.
    let regular = cell > LEAST_CELL
        && face.evidence.error < MOST_UNEVEN
        && face.score() > least
        && !is_written_on(&face.evidence)
        && (cell > LARGE || inside(&face.plane, WHOLE, size));
    if !regular {
        return false;
    }
    ends(face, going_on(view, face), least)
        && (face.evidence.inner + face.evidence.outer >= FEWEST_AT_RIM || !is_near_rim(view, face))
        && is_no_board(view, face, small)
        && parted(view, &face.plane) >= PARTED
        && lined(view, &face.plane) < MOST_LINED
        && is_no_larger_grid(view, face, quads)
}

/// Signs of more cells of the same grid, in the face's plane around it. Another face of the cube has its sides nearer to each other, and
/// what is behind the cube has some in place by chance, but hardly four.
pub fn cells_around(view: &View, face: &Candidate) -> u32 {
    let faintest = faintest(&measure(view, &face.plane));
    let plane = units(view, &face.plane);
    let around = || -AROUND..=AROUND;
    around()
        .flat_map(|y| around().map(move |x| (x, y)))
        .filter(|(x, y)| x.abs().max(y.abs()) > 1)
        .map(|(x, y)| {
            let cell = measure_cell(view, &plane, x as f32, y as f32);
            SIGNS_OF_CELL[count_in_place(&cell, faintest, face.margin as f32)]
        })
        .sum()
}

/// Whether more than one of its cells have something on them, as pictures in their mounts do. A hand before cells hides some of their sides, too.
fn is_written_on(evidence: &Evidence) -> bool {
    evidence.even < MOSTLY_EVEN && evidence.inner == ALL_INNER
}

/// Whether so few of its lines go on beyond it that its score still stands.
fn ends(face: &Candidate, going_on: f64, least: f64) -> bool {
    going_on < MOST_GOING_ON && face.score() - GOING_ON * (going_on - BY_CHANCE).max(0.0) > least
}

/// Whether there is no frame around it, or hardly one and its score still stands.
fn is_no_board(view: &View, face: &Candidate, small: bool) -> bool {
    let most = match face.pose.tilt() {
        _ if small && face.evidence.rise >= BLURRED => 0,
        tilt if tilt < ASIDE => MOST_FRAMED,
        _ => MOST_FRAMED_ASIDE,
    };
    let framed = framed(view, face);
    framed <= most && face.score() - FRAMED * f64::from(framed) > LEAST_SCORE
}

/// Whether it is no part of something with more such cells: none are around it, and it is not drawn on anything, as far as its rims tell.
/// Stickers whose colour goes on are like a wall behind the cube where nothing else of the grid does.
fn is_no_larger_grid(view: &View, face: &Candidate, quads: &[Quad]) -> bool {
    let drawn = drawn(view, &face.plane);
    let beyond = face.beyond[0] + face.beyond[1];
    if drawn > MOST_LIKE_WALL || beyond >= SIGNS && drawn >= RIMS {
        return false;
    }
    let few_speak_for_it = drawn > MOST_DRAWN || face.evidence.even < MOSTLY_EVEN;
    signs_around(view, face, quads) <= MOST_SIGNS
        && in_step_beyond(view, face) < NEXT_ROW
        && !all_go_on(view, face)
        && (!few_speak_for_it || ends_all_around(view, face, quads))
}

/// Sides of the three cells beyond a side that are in step with the face's, of 12, where most are. Cells of the same grid may be faint or written
/// on.
fn in_step_beyond(view: &View, face: &Candidate) -> usize {
    let plane = units(view, &face.plane);
    // As far as the side of the next cell, but without it.
    let last = ((2.0 * face.margin as f32 / STEP) as i32 - 1).clamp(1, STEPS);
    let in_step = |&(cell, direction): &((f32, f32), (f32, f32))| {
        let colour = |step: i32| {
            let depth = 0.5 - face.margin as f32 + STEP * step as f32;
            tap(view, &plane, cell, direction, depth)
        };
        let change = |step: i32| Some(apart(colour(step - 1)?, colour(step + 1)?));
        let fastest = (-STEPS..=last)
            .filter_map(|step| Some((step, change(step)?)))
            .max_by(|a, b| a.1.total_cmp(&b.1));
        fastest.is_some_and(|(step, change)| step.abs() <= 1 && change > VISIBLE)
    };
    let beyond = OUTWARD.into_iter().map(|outward| {
        let cells = abreast(outward, 2.0).into_iter();
        let sides = cells.flat_map(|cell| OUTWARD.map(|direction| (cell, direction)));
        sides.filter(in_step).count()
    });
    beyond.max().unwrap_or(0)
}

/// Whether hardly anything around a face is like more of it: no cells, shapes or lines, and no frame.
pub fn ends_all_around(view: &View, face: &Candidate, quads: &[Quad]) -> bool {
    signs_around(view, face, quads) <= FEW_SIGNS
        && going_on(view, face) <= FEW_GOING_ON
        && framed(view, face) <= HARDLY_FRAMED
}

/// Signs of more cells like the face's, of its grid or near it.
fn signs_around(view: &View, face: &Candidate, quads: &[Quad]) -> u32 {
    cells_around(view, face) + SIGNS_OF_SHAPE * alike_around(face, &[face], quads)
}

/// Share of the face's lines that go on beyond sides at which no other face of its cube can be seen. What goes on there is a larger grid.
fn going_on(view: &View, face: &Candidate) -> f64 {
    let (plane, margin) = (units(view, &face.plane), face.margin as f32);
    let lines: Vec<Option<Border>> = (0..4)
        .filter(|&side| ends_the_cube(face, side))
        .flat_map(|side| leading_away(view, &plane, side, 2.0))
        .collect();
    let on = lines.iter().flatten();
    let on = on.filter(|line| lies_there(line, 0.0, margin));
    on.count() as f64 / lines.len().max(1) as f64
}

/// Whether beyond one of those sides all lines go on right at it. Something may be in front of the rest of the cells there.
fn all_go_on(view: &View, face: &Candidate) -> bool {
    let plane = units(view, &face.plane);
    (0..4)
        .filter(|&side| ends_the_cube(face, side))
        .any(|side| {
            leading_away(view, &plane, side, AT_SIDE)
                .all(|line| line.is_some_and(|line| is_just_there(&line, face)))
        })
}

/// Whether no other face of the cube can be seen beyond a side.
fn ends_the_cube(face: &Candidate, side: usize) -> bool {
    face.pose.face(side).tilt() >= HIDDEN
}

/// Whether a side is just where that of a cell of the same grid would be, however faint.
fn is_just_there(border: &Border, face: &Candidate) -> bool {
    border.change > 0.0 && (border.offset + face.margin as f32).abs() < JUST_THERE
}

/// Outer sides beyond whose rim the cell's own colour goes on, of 12: a grid is drawn there on something; a cube ends.
fn drawn(view: &View, plane: &Homography) -> u32 {
    let plane = units(view, plane);
    let mut count = 0;
    for direction in OUTWARD {
        for cell in abreast(direction, 1.0) {
            let colour = |depth: f32| tap(view, &plane, cell, direction, depth);
            let (Some(inside), Some(outside)) = (colour(0.3), colour(0.8)) else {
                continue;
            };
            count += u32::from(apart(inside, outside) < SAME * light(inside, outside));
        }
    }
    count
}

#[cfg(test)]
mod tests {
    use super::super::testing::{BLACK, BLUE, Front, MARGIN, RED, WHITE};
    use super::*;

    fn rims_going_on(front: &Front) -> u32 {
        drawn(&front.view(), &front.plane)
    }

    fn is_alone(front: &Front) -> bool {
        let (view, face) = (front.view(), front.face(MARGIN));
        is_no_larger_grid(&view, &face, &[])
    }

    fn nothing_is_around(front: &Front) -> bool {
        ends_all_around(&front.view(), &front.face(MARGIN), &[])
    }

    #[test]
    fn a_wall_like_some_stickers_is_no_larger_grid() {
        let wall = Front::three_colours(BLACK, |_, _| WHITE);
        assert_eq!(rims_going_on(&wall), 5);
        assert!(is_alone(&wall) && nothing_is_around(&wall));
        // The same with the grid's lines in it is one.
        let lined = |u: f64, v: f64| {
            let on_line = |t: f64| (t.rem_euclid(1.0) - 0.5).abs() < MARGIN;
            if on_line(u) || on_line(v) {
                BLACK
            } else {
                WHITE
            }
        };
        let lined = Front::three_colours(BLACK, lined);
        assert!(!is_alone(&lined) && !nothing_is_around(&lined));
    }

    #[test]
    fn a_board_has_its_frame_around_it() {
        let board = |half: f64| {
            Front::three_colours(BLACK, move |u, v| {
                if u.abs().max(v.abs()) < half {
                    BLACK
                } else {
                    WHITE
                }
            })
        };
        assert!(nothing_is_around(&board(1.5)));
        assert!(!nothing_is_around(&board(1.8)));
    }

    #[test]
    fn a_blurred_small_face_shows_no_sign_of_a_frame() {
        // Beyond the upper side only.
        let frame = |u: f64, v: f64| v < -1.5 && v > -1.8 && u < 0.7;
        let front = Front::three_colours(BLACK, |u, v| if frame(u, v) { BLACK } else { WHITE });
        let sharp = front.face(MARGIN);
        let mut blurred = sharp;
        blurred.evidence.rise = BLURRED;
        let is_no_board = |face: &Candidate, small: bool| is_no_board(&front.view(), face, small);
        assert!(is_no_board(&sharp, true) && is_no_board(&blurred, false));
        assert!(!is_no_board(&blurred, true));
    }

    #[test]
    fn one_cell_may_have_something_on_it_but_not_two() {
        // One half of each of these cells is of another colour.
        let pictures = |on: &'static [(f64, f64)]| {
            let plain = Front::three_colours(BLACK, |_, _| [90, 80, 70]);
            let half = 0.5 - MARGIN;
            let is_on = move |u: f64, v: f64| {
                let mut cells = on.iter();
                cells.any(|(x, y)| (0.0..half).contains(&(u - x)) && (v - y).abs() < half)
            };
            Front::painted(|u, v| if is_on(u, v) { WHITE } else { plain.at(u, v) })
        };
        let written = |front: &Front| is_written_on(&front.face(MARGIN).evidence);
        assert!(!written(&pictures(&[(0.0, 0.0)])));
        assert!(written(&pictures(&[(0.0, 0.0), (1.0, 1.0)])));
    }

    #[test]
    fn faint_cells_with_something_on_them_are_in_step() {
        let keys = |bright: u8| {
            Front::three_colours(BLACK, move |u, v| {
                let (x, y) = (u - u.round(), v - v.round());
                match x.abs().max(y.abs()) {
                    _ if (u - 2.0).abs() > 0.5 || v.abs() > 1.5 => BLACK,
                    out if out > 0.5 - MARGIN => BLACK,
                    out if out < 0.2 && x.abs().min(y.abs()) < 0.06 => WHITE,
                    _ => [bright; 3],
                }
            })
        };
        let in_step = |front: &Front| in_step_beyond(&front.view(), &front.face(MARGIN));
        assert_eq!(in_step(&keys(40)), 12);
        assert_eq!(in_step(&keys(20)), 0);
    }

    #[test]
    fn lines_that_go_on_right_at_a_side_tell_a_larger_grid() {
        // A fourth column, of which something hides all but a part.
        let column = |shown: f64| {
            Front::three_colours(BLACK, move |u, v| match (v + 1.5).rem_euclid(1.0) {
                _ if u < 1.5 || u > 1.5 + shown || v.abs() > 1.5 => [150, 140, 120],
                at if (at - 0.5).abs() > 0.5 - MARGIN => BLACK,
                _ => RED,
            })
        };
        let goes_on = |front: &Front| all_go_on(&front.view(), &front.face(MARGIN));
        assert!(goes_on(&column(0.55)));
        assert!(!goes_on(&column(0.0)));
    }

    #[test]
    fn cells_that_go_on_are_counted() {
        // The grid goes on to the left and the right, over all of the picture.
        let on = |u: f64, v: f64| match v {
            _ if v.abs() > 1.5 => BLUE,
            _ if u < 0.0 => WHITE,
            _ if v.abs() < 0.5 => RED,
            _ => BLUE,
        };
        // Beyond the right side, and above and below the blue cells.
        assert_eq!(rims_going_on(&Front::three_colours(BLACK, on)), 3 + 3 + 4);
    }
}
