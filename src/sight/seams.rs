//! How cells meet, and whether they are of one piece: stickers have grooves between them, and no lines of a finer grid or of writing within.

use super::grooves::{OUTWARD, View, apart, middle, neighbours, sum, tap, units};
use super::plane::Homography;

/// Least distance of a groove's colour from every mixture of its neighbours', 8-bit levels summed over the channels, where the neighbours
/// are as bright as [`BRIGHT`]; in proportion where they are darker, but not less than the noise of cameras makes.
const GROOVE: f32 = 20.0;

/// Sum of the channels, in 8-bit levels, of stickers under a lamp.
const BRIGHT: f32 = 330.0;

/// Least share of a distance that is asked for where it is dark.
const DARKEST: f32 = 0.3;

/// Fewest grooves that tell the colour of all.
const FEWEST_GROOVES: usize = 4;

/// Largest distance of a sticker's colour from the plastic's, if it is of the same, likewise, once they are as bright; and how much brighter one
/// of them may be. White ones differ a little, and grooves lie in shadow.
const PLASTIC: f32 = 60.0;
const BRIGHTER: f32 = 1.25;

/// What lines within cells are looked for: so far from a cell's middle, this far apart, and narrower than twice this; in cells.
const WITHIN: i32 = 6;
const STEP: f32 = 0.03;
const NARROW: f32 = 0.1;

/// Pairs of neighbouring cells that meet as stickers do, of 12: between them a groove was seen, a colour that is no mixture of theirs, or one
/// of them has the colour of the grooves between the others, as white stickers on white plastic have. Cells that meet without one, as
/// those of a chess board or of woven cloth do, are no stickers.
pub fn parted(view: &View, plane: &Homography) -> u32 {
    let plane = units(view, plane);
    let (mut grooves, mut others) = (Vec::new(), Vec::new());
    for (at, direction) in neighbours() {
        let colour = |depth: f32| tap(view, &plane, at, direction, depth);
        let (Some(one), Some(two)) = (colour(0.25), colour(0.75)) else {
            continue;
        };
        let furthest = (0..11)
            .filter_map(|i| colour(0.35 + 0.03 * i as f32))
            .map(|colour| (off_mixture(colour, one, two), colour))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        match furthest {
            Some((off, colour)) if off > GROOVE * light(one, two) => grooves.push(colour),
            _ => others.push([one, two]),
        }
    }
    if grooves.len() < FEWEST_GROOVES {
        return grooves.len() as u32;
    }
    let groove = middle(&grooves);
    let alike = |colour: [f32; 3]| {
        let share = (sum(groove) / sum(colour).max(1.0)).clamp(1.0 / BRIGHTER, BRIGHTER);
        apart(colour.map(|c| share * c), groove) < PLASTIC * light(colour, groove)
    };
    let hidden = others.iter().filter(|pair| pair.iter().any(|&c| alike(c)));
    (grooves.len() + hidden.count()) as u32
}

/// How much of a distance between colours is left where the brighter of two is as dark as it is.
pub fn light(one: [f32; 3], two: [f32; 3]) -> f32 {
    (sum(one).max(sum(two)) / BRIGHT).clamp(DARKEST, 1.0)
}

/// How far a colour is from the nearest mixture of two others, 8-bit levels summed over the channels.
fn off_mixture(colour: [f32; 3], one: [f32; 3], two: [f32; 3]) -> f32 {
    let way: [f32; 3] = std::array::from_fn(|k| two[k] - one[k]);
    let long: f32 = way.iter().map(|w| w * w).sum();
    let along: f32 = (0..3).map(|k| (colour[k] - one[k]) * way[k]).sum();
    let share = (along / long.max(1.0)).clamp(0.0, 1.0);
    (0..3)
        .map(|k| (colour[k] - one[k] - share * way[k]).abs())
        .sum()
}

/// How clearly a line runs through most cells at one place, as those of a finer grid and of writing do: distance of its colour from every mixture
/// of those on both sides, 8-bit levels summed over the channels, in proportion to the light. Stickers have none; a logo is on one, and wear lies
/// anywhere.
pub fn lined(view: &View, plane: &Homography) -> f32 {
    let plane = units(view, plane);
    let places = (-WITHIN..=WITHIN).map(|step| STEP * step as f32);
    let ways = [OUTWARD[0], OUTWARD[1]];
    places
        .flat_map(|place| ways.map(|direction| (place, direction)))
        .map(|(place, direction)| {
            let mut lines: Vec<f32> = (0..9)
                .filter_map(|cell| {
                    let at = ((cell % 3 - 1) as f32, (cell / 3 - 1) as f32);
                    let colour = |depth: f32| tap(view, &plane, at, direction, depth);
                    let (one, two) = (colour(place - NARROW)?, colour(place + NARROW)?);
                    Some(off_mixture(colour(place)?, one, two) / light(one, two))
                })
                .collect();
            lines.sort_by(f32::total_cmp);
            lines.get(lines.len() / 2).copied().unwrap_or(0.0)
        })
        .fold(0.0, f32::max)
}

#[cfg(test)]
mod tests {
    use super::super::testing::{BLACK, BLUE, Front, WHITE};
    use super::*;

    #[test]
    fn white_stickers_are_parted_from_white_plastic_where_they_are_a_little_brighter() {
        let parted_on = |plastic: u8| {
            let front = Front::three_colours([plastic; 3], |_, _| [90, 80, 70]);
            parted(&front.view(), &front.plane)
        };
        assert_eq!(parted_on(196), 12);
        // Cells that meet without anything of another colour between them are none.
        let cloth = Front::painted(|u, _| if u < -0.5 { WHITE } else { BLUE });
        assert_eq!(parted(&cloth.view(), &cloth.plane), 0);
    }

    #[test]
    fn lines_run_through_the_cells_of_a_finer_grid() {
        let face = |line: [u8; 3], on: fn(f64, f64) -> bool| {
            let plain = Front::three_colours(BLACK, |_, _| [90, 80, 70]);
            let written = Front::painted(|u, v| match on(u, v) {
                true => line,
                false => plain.at(u, v),
            });
            lined(&written.view(), &written.plane)
        };
        let nowhere = |_: f64, _: f64| false;
        // Cells of two by two.
        let halved = |u: f64, _: f64| (u.abs() % 1.0) < 0.04 || (u.abs() % 1.0) > 0.96;
        let logo = |u: f64, v: f64| u.abs().max(v.abs()) < 0.3 && u.abs() < 0.05;
        assert!(face(BLACK, nowhere) < 5.0);
        assert!(face(BLACK, halved) > 100.0);
        assert!(face(BLACK, logo) < 5.0);
    }
}
