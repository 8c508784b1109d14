//! Second stage: the finder net's map read out. It gives, for each place of a coarse grid, how likely a face's centre is there, and
//! an outline about it.
//!
//! The outline must not depend on which corner is called the first, for no face says so, and a net cannot learn what is arbitrary.
//! So it is given by the Fourier coefficients of its corners, with the first corner's share divided out. With the corners as
//! complex numbers `c_k` about the place, `C_m = 1/4 sum_k c_k i^(-mk)`; calling the next corner the first multiplies `C_m` by
//! `i^m`. `C0`, `C1^4/|C1|^3`, `C2 conj(C1)^2/|C1|^2` and `C3 C1/|C1|` stay as they are, and tell the corners but for quarter turns.

use num_complex::Complex32;

use super::look::Point;
use super::quad::Quad;

/// Pixels of the net's input to one place of the map, along each side.
pub const STRIDE: usize = 4;

/// The map gives lengths in units of so many pixels of the net's input.
const UNIT: f32 = 16.0;

/// Log-odds from which a place is looked at by the judge. Lower costs time in cluttered pictures, higher loses faces that the
/// finder hardly sees.
const LEAST: f32 = -2.5;

/// Outlines nearer to each other than this, in cells, lead the judge to the same face.
const SAME: f32 = 0.3;

/// A place where a face may be.
#[derive(Clone, Copy, Debug)]
pub struct Peak {
    /// Log-odds, as the net gives them.
    pub heat: f32,
    pub quad: Quad,
}

/// The peaks of a map of `width` by `height` places, hottest first and at most `most`, in pixels of the net's input. The map has
/// nine planes: the log-odds of a centre, and the four complex numbers of the outline.
pub fn peaks(map: &[f32], width: usize, height: usize, most: usize) -> Vec<Peak> {
    let plane = width * height;
    let heat = |x: usize, y: usize| map[y * width + x];
    let is_top = |x: usize, y: usize| {
        let here = heat(x, y);
        let around = |at: usize, length: usize| at.saturating_sub(1)..(at + 2).min(length);
        here >= LEAST
            && around(y, height).all(|v| {
                // Of equal neighbours the first in reading order is the top.
                around(x, width)
                    .all(|u| here > heat(u, v) || (here == heat(u, v) && (v, u) >= (y, x)))
            })
    };
    let mut tops: Vec<(usize, usize)> = (0..height)
        .flat_map(|y| (0..width).map(move |x| (x, y)))
        .filter(|&(x, y)| is_top(x, y))
        .collect();
    tops.sort_by(|a, b| heat(b.0, b.1).total_cmp(&heat(a.0, a.1)));
    let mut found: Vec<Peak> = Vec::new();
    for (x, y) in tops {
        if found.len() == most {
            break;
        }
        let channel = |k: usize| map[k * plane + y * width + x] * UNIT;
        let invariants = [1, 3, 5, 7].map(|k| Complex32::new(channel(k), channel(k + 1)));
        let centre = |at: usize| (at as f32 + 0.5) * STRIDE as f32;
        let quad = decode(invariants, Complex32::new(centre(x), centre(y)));
        if quad.is_outline() && found.iter().all(|other| other.quad.apart(&quad) > SAME) {
            found.push(Peak {
                heat: heat(x, y),
                quad,
            });
        }
    }
    found
}

/// The corners about a place from their invariants.
fn decode([c0, d1, d2, d3]: [Complex32; 4], about: Complex32) -> Quad {
    let (length, angle) = d1.to_polar();
    // Any of the four fourth roots will do: they call different corners the first.
    let turn = Complex32::from_polar(1.0, angle / 4.0);
    let (c1, c2, c3) = (turn * length, d2 * turn * turn, d3 * turn.conj());
    Quad(std::array::from_fn(|k| {
        let c = about + c0 + c1 * power(k) + c2 * power(2 * k) + c3 * power(3 * k);
        Point { x: c.re, y: c.im }
    }))
}

/// `i` to the power of `n`.
fn power(n: usize) -> Complex32 {
    [
        Complex32::new(1.0, 0.0),
        Complex32::new(0.0, 1.0),
        Complex32::new(-1.0, 0.0),
        Complex32::new(0.0, -1.0),
    ][n % 4]
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The invariants of corners about a place.
    fn encode(quad: &Quad, about: Complex32) -> [Complex32; 4] {
        let coefficient = |m: usize| -> Complex32 {
            let turned =
                |k: usize| (Complex32::new(quad.0[k].x, quad.0[k].y) - about) * power((4 - m) * k);
            (0..4).map(turned).sum::<Complex32>() / 4.0
        };
        let [c0, c1, c2, c3] = [0, 1, 2, 3].map(coefficient);
        let unit = c1 / c1.norm();
        [c0, c1 * unit.powu(3), c2 * unit.conj().powu(2), c3 * unit]
    }

    /// Outlines as faces show them, with corners in pixels of the net's input.
    fn any_outline() -> impl Strategy<Value = Quad> {
        let corner = || (-0.35..0.35f32, -0.35..0.35f32);
        let place = (20.0..230.0f32, 20.0..170.0f32);
        (
            place,
            0.0..6.3f32,
            6.0..60.0f32,
            prop::array::uniform4(corner()),
        )
            .prop_map(|((x, y), roll, radius, moves)| {
                Quad(std::array::from_fn(|k| {
                    let (sin, cos) = (roll + k as f32 * std::f32::consts::FRAC_PI_2).sin_cos();
                    Point {
                        x: x + radius * (cos + moves[k].0),
                        y: y + radius * (sin + moves[k].1),
                    }
                }))
            })
            .prop_filter("no outline", Quad::is_outline)
    }

    proptest! {
        #[test]
        fn an_outline_comes_back_whichever_corner_is_the_first(quad in any_outline(), turn in 0usize..4) {
            let about = Complex32::new(quad.centre().x + 3.0, quad.centre().y - 2.0);
            let own = encode(&quad, about);
            let turned = encode(&quad.turned(turn), about);
            for (a, b) in own.iter().zip(turned) {
                prop_assert!((a - b).norm() < 1e-3 * (1.0 + a.norm()), "{} {}", a, b);
            }
            let back = decode(own, about);
            prop_assert!(back.apart(&quad) < 1e-3);
        }

        #[test]
        fn a_face_on_the_map_is_read_where_it_is(quad in any_outline(), heat in -2.4..9.0f32) {
            let (width, height) = (64, 48);
            let at = quad.centre();
            prop_assume!(at.x > 4.0 && at.y > 4.0 && at.x < 250.0 && at.y < 186.0);
            let (x, y) = ((at.x / 4.0) as usize, (at.y / 4.0) as usize);
            let mut map = vec![-9.0; 9 * width * height];
            map[y * width + x] = heat;
            let about = Complex32::new((x as f32 + 0.5) * 4.0, (y as f32 + 0.5) * 4.0);
            for (m, c) in encode(&quad, about).into_iter().enumerate() {
                map[(1 + 2 * m) * width * height + y * width + x] = c.re / UNIT;
                map[(2 + 2 * m) * width * height + y * width + x] = c.im / UNIT;
            }
            let found = peaks(&map, width, height, 8);
            prop_assert_eq!(found.len(), 1);
            prop_assert_eq!(found[0].heat, heat);
            prop_assert!(found[0].quad.apart(&quad) < 1e-3);
        }
    }
}
