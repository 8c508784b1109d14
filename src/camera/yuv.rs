//! Luma and chroma to RGB: ITU-R BT.601, in limited range (16 to 235, 16 to 240) or full range (0 to 255).

/// Which sample values stand for black and white.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Range {
    Limited,
    Full,
}

/// Fractional bits of the fixed-point factors below.
const BITS: i32 = 16;

/// Factors of BT.601 in fixed point: luma's offset and scale, then V to red, U and V to green, U to blue.
struct Factors {
    black: i32,
    luma: i32,
    red_v: i32,
    green_u: i32,
    green_v: i32,
    blue_u: i32,
}

/// `factor`, times 2 to the power of [`BITS`], rounded.
const fn fixed(factor: f64) -> i32 {
    (factor * (1 << BITS) as f64 + 0.5) as i32
}

/// From the luma weights 0.299, 0.587 and 0.114: `2 (1 - Kr)`, `2 (1 - Kb) Kb / Kg`, `2 (1 - Kr) Kr / Kg`, `2 (1 - Kb)`.
const fn factors(black: i32, luma: f64, chroma: f64) -> Factors {
    Factors {
        black,
        luma: fixed(luma),
        red_v: fixed(chroma * 1.402),
        green_u: fixed(chroma * (1.772 * 0.114 / 0.587)),
        green_v: fixed(chroma * (1.402 * 0.299 / 0.587)),
        blue_u: fixed(chroma * 1.772),
    }
}

const LIMITED: Factors = factors(16, 255.0 / 219.0, 255.0 / 224.0);
const FULL: Factors = factors(0, 1.0, 1.0);

/// One pixel, sRGB-encoded, rounded to nearest.
#[inline]
pub(super) fn to_rgb(y: u8, u: u8, v: u8, range: Range) -> [u8; 3] {
    let f = match range {
        Range::Limited => &LIMITED,
        Range::Full => &FULL,
    };
    let (u, v) = (i32::from(u) - 128, i32::from(v) - 128);
    let light = (i32::from(y) - f.black) * f.luma + (1 << (BITS - 1));
    let byte = |value: i32| (value >> BITS).clamp(0, 255) as u8;
    [
        byte(light + f.red_v * v),
        byte(light - f.green_u * u - f.green_v * v),
        byte(light + f.blue_u * u),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The equations of ITU-R BT.601-7, 2.5.1 and 2.5.2, turned round, in floating point.
    fn reference(y: u8, u: u8, v: u8, range: Range) -> [f64; 3] {
        let (black, luma, chroma) = match range {
            Range::Limited => (16.0, 219.0, 224.0),
            Range::Full => (0.0, 255.0, 255.0),
        };
        let y = (f64::from(y) - black) / luma;
        let (cb, cr) = (
            (f64::from(u) - 128.0) / chroma,
            (f64::from(v) - 128.0) / chroma,
        );
        let (r, b) = (y + 1.402 * cr, y + 1.772 * cb);
        let g = (y - 0.299 * r - 0.114 * b) / 0.587;
        [r, g, b].map(|c| (c * 255.0).clamp(0.0, 255.0))
    }

    #[test]
    fn every_sample_is_within_rounding_of_the_standards_equations() {
        for range in [Range::Limited, Range::Full] {
            for y in 0..=255 {
                for u in (0..=255).step_by(3) {
                    for v in (0..=255).step_by(3) {
                        let got = to_rgb(y, u, v, range);
                        let want = reference(y, u, v, range);
                        for (got, want) in got.into_iter().zip(want) {
                            assert!(
                                (f64::from(got) - want).abs() < 0.51,
                                "{y} {u} {v} {range:?}"
                            );
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn bars_at_three_quarters_have_the_published_codes() {
        // 75 % colour bars in 8-bit BT.601 codes; the values are from memory of ITU-R BT.471 bars.
        let bars = [
            ((180, 128, 128), [191, 191, 191]),
            ((162, 44, 142), [191, 191, 0]),
            ((131, 156, 44), [0, 191, 191]),
            ((112, 72, 58), [0, 191, 0]),
            ((84, 184, 198), [191, 0, 191]),
            ((65, 100, 212), [191, 0, 0]),
            ((35, 212, 114), [0, 0, 191]),
        ];
        for ((y, u, v), want) in bars {
            let got = to_rgb(y, u, v, Range::Limited);
            for (got, want) in got.into_iter().zip(want) {
                assert!(got.abs_diff(want) <= 1, "{got} instead of {want}");
            }
        }
    }
}
