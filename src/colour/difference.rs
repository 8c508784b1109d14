//! How different two colours look.

use palette::color_difference::Ciede2000;
use palette::white_point::D65;
use palette::{IntoColor, Lab, LinSrgb};

/// CIEDE2000 between two linear colours, each relative to the camera's white; values outside 0 to 1 are clipped, as the
/// camera would. 1 is about the least that an eye sees side by side; above 20 the figure says only "very".
pub fn difference(a: LinSrgb<f64>, b: LinSrgb<f64>) -> f64 {
    lab(a).difference(lab(b))
}

/// CIEDE2000 between two linear colours after the brighter one is dimmed to the other's luminance: the same sticker
/// under less of the same light differs by nothing.
pub fn hue_difference(a: LinSrgb<f64>, b: LinSrgb<f64>) -> f64 {
    // Weights of IEC 61966-2-1 (sRGB).
    let luminance =
        |c: LinSrgb<f64>| (0.2126 * c.red + 0.7152 * c.green + 0.0722 * c.blue).max(1e-6);
    let level = luminance(a).min(luminance(b));
    difference(a * (level / luminance(a)), b * (level / luminance(b)))
}

/// CIELAB of a linear colour relative to the camera's white.
fn lab(linear: LinSrgb<f64>) -> Lab<D65, f64> {
    let clip = |x: f64| x.clamp(0.0, 1.0);
    LinSrgb::new(clip(linear.red), clip(linear.green), clip(linear.blue)).into_color()
}

#[cfg(test)]
mod tests {
    use super::*;
    use palette::{FromColor, Srgb, Xyz};

    /// Two CIELAB colours and their CIEDE2000 difference: table 1 of Sharma, Wu, Dalal, "The CIEDE2000 color-difference
    /// formula: implementation notes, supplementary test data, and mathematical observations", Color Research and
    /// Application 30 (2005), taken from the tests of colour-science 0.4.7.
    #[rustfmt::skip]
    const PUBLISHED: [([f64; 3], [f64; 3], f64); 34] = [
        ([50.0000, 2.6772, -79.7751], [50.0000, 0.0000, -82.7485], 2.0425),
        ([50.0000, 3.1571, -77.2803], [50.0000, 0.0000, -82.7485], 2.8615),
        ([50.0000, 2.8361, -74.0200], [50.0000, 0.0000, -82.7485], 3.4412),
        ([50.0000, -1.3802, -84.2814], [50.0000, 0.0000, -82.7485], 1.0000),
        ([50.0000, -1.1848, -84.8006], [50.0000, 0.0000, -82.7485], 1.0000),
        ([50.0000, -0.9009, -85.5211], [50.0000, 0.0000, -82.7485], 1.0000),
        ([50.0000, 0.0000, 0.0000], [50.0000, -1.0000, 2.0000], 2.3669),
        ([50.0000, -1.0000, 2.0000], [50.0000, 0.0000, 0.0000], 2.3669),
        ([50.0000, 2.4900, -0.0010], [50.0000, -2.4900, 0.0009], 7.1792),
        ([50.0000, 2.4900, -0.0010], [50.0000, -2.4900, 0.0010], 7.1792),
        ([50.0000, 2.4900, -0.0010], [50.0000, -2.4900, 0.0011], 7.2195),
        ([50.0000, 2.4900, -0.0010], [50.0000, -2.4900, 0.0012], 7.2195),
        ([50.0000, -0.0010, 2.4900], [50.0000, 0.0009, -2.4900], 4.8045),
        ([50.0000, -0.0010, 2.4900], [50.0000, 0.0010, -2.4900], 4.8045),
        ([50.0000, -0.0010, 2.4900], [50.0000, 0.0011, -2.4900], 4.7461),
        ([50.0000, 2.5000, 0.0000], [50.0000, 0.0000, -2.5000], 4.3065),
        ([50.0000, 2.5000, 0.0000], [73.0000, 25.0000, -18.0000], 27.1492),
        ([50.0000, 2.5000, 0.0000], [61.0000, -5.0000, 29.0000], 22.8977),
        ([50.0000, 2.5000, 0.0000], [56.0000, -27.0000, -3.0000], 31.9030),
        ([50.0000, 2.5000, 0.0000], [58.0000, 24.0000, 15.0000], 19.4535),
        ([50.0000, 2.5000, 0.0000], [50.0000, 3.1736, 0.5854], 1.0000),
        ([50.0000, 2.5000, 0.0000], [50.0000, 3.2972, 0.0000], 1.0000),
        ([50.0000, 2.5000, 0.0000], [50.0000, 1.8634, 0.5757], 1.0000),
        ([50.0000, 2.5000, 0.0000], [50.0000, 3.2592, 0.3350], 1.0000),
        ([60.2574, -34.0099, 36.2677], [60.4626, -34.1751, 39.4387], 1.2644),
        ([63.0109, -31.0961, -5.8663], [62.8187, -29.7946, -4.0864], 1.2630),
        ([61.2901, 3.7196, -5.3901], [61.4292, 2.2480, -4.9620], 1.8731),
        ([35.0831, -44.1164, 3.7933], [35.0232, -40.0716, 1.5901], 1.8645),
        ([22.7233, 20.0904, -46.6940], [23.0331, 14.9730, -42.5619], 2.0373),
        ([36.4612, 47.8580, 18.3852], [36.2715, 50.5065, 21.2231], 1.4146),
        ([90.8027, -2.0831, 1.4410], [91.1528, -1.6435, 0.0447], 1.4441),
        ([90.9257, -0.5406, -0.9208], [88.6381, -0.8985, -0.7239], 1.5381),
        ([6.7747, -0.2908, -2.4247], [5.8714, -0.0985, -2.2286], 0.6377),
        ([2.0776, 0.0795, -1.1350], [0.9033, -0.0636, -0.5514], 0.9082),
    ];

    #[test]
    fn ciede2000_gives_the_published_differences() {
        for (i, (one, other, published)) in PUBLISHED.into_iter().enumerate() {
            let [one, other] = [one, other].map(|[l, a, b]| Lab::<D65, f64>::new(l, a, b));
            for found in [one.difference(other), other.difference(one)] {
                assert!(
                    (found - published).abs() < 1e-4,
                    "pair {}: {found}, published {published}",
                    i + 1
                );
            }
        }
    }

    /// Values of colour-science, with the script that made them beside them.
    #[derive(serde::Deserialize)]
    struct Golden {
        samples: Vec<Sample>,
        differences: Vec<Pair>,
    }

    #[derive(serde::Deserialize)]
    struct Sample {
        srgb8: [u8; 3],
        linear: [f64; 3],
        xyz: [f64; 3],
        lab: [f64; 3],
    }

    #[derive(serde::Deserialize)]
    struct Pair {
        a: [u8; 3],
        b: [u8; 3],
        ciede2000: f64,
    }

    fn golden() -> Golden {
        serde_json::from_str(include_str!("../../tests/fixtures/colours.json")).unwrap()
    }

    fn linear([red, green, blue]: [u8; 3]) -> LinSrgb<f64> {
        Srgb::new(red, green, blue).into_linear()
    }

    fn furthest(found: [f64; 3], published: [f64; 3]) -> f64 {
        let off = found.into_iter().zip(published).map(|(a, b)| (a - b).abs());
        off.fold(0.0, f64::max)
    }

    #[test]
    fn conversions_are_those_of_colour_science() {
        for sample in golden().samples {
            let own = linear(sample.srgb8);
            let light = [own.red, own.green, own.blue];
            assert!(furthest(light, sample.linear) < 1e-6, "{:?}", sample.srgb8);
            let Xyz { x, y, z, .. } = Xyz::<D65, f64>::from_color(own);
            assert!(furthest([x, y, z], sample.xyz) < 3e-4, "{:?}", sample.srgb8);
            let Lab { l, a, b, .. } = lab(own);
            assert!(furthest([l, a, b], sample.lab) < 0.03, "{:?}", sample.srgb8);
        }
    }

    #[test]
    fn differences_are_those_of_colour_science() {
        for Pair { a, b, ciede2000 } in golden().differences {
            let found = difference(linear(a), linear(b));
            assert!((found - ciede2000).abs() < 0.01, "{a:?} {b:?}: {found}");
        }
    }
}
