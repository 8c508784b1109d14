use super::*;
use proptest::prelude::*;

/// A usual cube; red and orange as close as in a poor light.
const COLOURS: [[f32; 3]; 6] = [
    [0.7, 0.65, 0.55],
    [0.5, 0.06, 0.06],
    [0.09, 0.33, 0.09],
    [0.72, 0.52, 0.04],
    [0.66, 0.15, 0.05],
    [0.05, 0.09, 0.36],
];

fn patch(rgb: [f32; 3]) -> Patch {
    let [red, green, blue] = rgb.map(|x| x.clamp(0.0, 1.0));
    Patch {
        rgb: LinSrgb::new(red, green, blue),
        spread: 0.02,
        clipped: if rgb.iter().any(|x| *x >= 1.0) {
            1.0
        } else {
            0.0
        },
        agreeing: 1.0,
        covered: 0.0,
    }
}

/// A sticker of this colour under these gains, at this level, with this much specular light.
fn sticker(colour: Colour, gains: [f32; 3], level: f32, specular: f32) -> Patch {
    let (own, white) = (COLOURS[colour.index()], COLOURS[0]);
    patch([0, 1, 2].map(|c| gains[c] * (level * own[c] + specular * white[c])))
}

fn model() -> Model {
    Model::from_profile(&profile())
}

/// Of a cube that was solved when it was calibrated.
fn profile() -> Profile {
    let patches: Vec<(Patch, Colour)> = Colour::ALL
        .into_iter()
        .map(|c| (patch(COLOURS[c.index()]), c))
        .flat_map(|p| [p; 9])
        .collect();
    Profile::from_labelled("test", &patches).unwrap()
}

fn observed(patch: Patch, colour: Colour) -> Observation {
    Observation { patch, colour }
}

fn chances(model: &Model, patch: &Patch, light: &LightEstimate) -> [f64; 6] {
    let l = model.log_likelihoods(patch, light);
    let top = l.into_iter().fold(f64::MIN, f64::max);
    let sum: f64 = l.iter().map(|x| (x - top).exp()).sum();
    l.map(|x| (x - top).exp() / sum)
}

fn likeliest(model: &Model, patch: &Patch, light: &LightEstimate) -> Colour {
    let l = model.log_likelihoods(patch, light);
    Colour::ALL
        .into_iter()
        .max_by(|a, b| l[a.index()].total_cmp(&l[b.index()]))
        .unwrap()
}

#[test]
fn the_density_is_that_of_a_student_distribution() {
    // scipy 1.17.1: multivariate_t(loc=[0,0,0], shape=[[.04,.01,0],[.01,.09,0],[0,0,.01]], df=8).pdf(x).
    let shape = Spread([[0.04, 0.01, 0.0], [0.01, 0.09, 0.0], [0.0, 0.0, 0.01]]);
    for (x, published) in [
        ([0.0, 0.0, 0.0], 11.703390725),
        ([0.3, -0.2, 0.15], 0.695993202),
    ] {
        let far = dot(&x, &shape.inverse().times(&x));
        let found = student(far, shape.determinant());
        assert!((found / published - 1.0).abs() < 1e-6, "{found}");
    }
}

proptest! {
    /// Whatever the light, the level and a little sheen: once the light is fitted from the centres, every colour is itself.
    #[test]
    fn colours_are_told_under_a_light_fitted_from_the_centres(
        red in 0.75..1.25f32,
        blue in 0.7..1.35f32,
        level in 0.5..1.2f32,
        specular in 0.0..0.02f32,
    ) {
        let (model, gains) = (model(), [red, 1.0, blue]);
        let centres: Vec<Observation> = Colour::ALL
            .into_iter()
            .map(|c| observed(sticker(c, gains, 0.9, 0.0), c))
            .collect();
        let light = model.fit_room(&centres, &LightEstimate::drift()).for_another_face();
        for colour in Colour::ALL {
            prop_assert_eq!(likeliest(&model, &sticker(colour, gains, level, specular), &light), colour);
        }
    }

    #[test]
    fn no_patch_gives_anything_but_finite_likelihoods(
        rgb in prop::array::uniform3(0.0..=1.0f32),
        spread in 0.0..2.0f32,
        clipped in 0.0..=1.0f32,
        agreeing in 0.0..=1.0f32,
    ) {
        let [red, green, blue] = rgb;
        let patch = Patch { rgb: LinSrgb::new(red, green, blue), spread, clipped, agreeing, covered: 0.0 };
        for model in [model(), Model::generic()] {
            let light = model.fit(&[observed(patch, Colour::Blue)], &LightEstimate::drift());
            prop_assert!(light.gains().into_iter().all(|g| g.is_finite() && g > 0.0));
            for light in [light, LightEstimate::none(), light.for_another_face()] {
                prop_assert!(model.log_likelihoods(&patch, &light).into_iter().all(f64::is_finite));
            }
        }
    }
}

#[test]
fn a_fit_finds_the_gains_and_grows_surer_with_more_patches() {
    let model = model();
    let gains = [1.2, 0.9, 0.7];
    let all: Vec<Observation> = Colour::ALL
        .into_iter()
        .map(|c| observed(sticker(c, gains, 1.0, 0.0), c))
        .collect();
    let light = model.fit(&all, &LightEstimate::drift());
    for (found, true_gain) in light.gains().into_iter().zip(gains) {
        assert!(
            (found / f64::from(true_gain) - 1.0).abs() < 0.06,
            "{found} for {true_gain}"
        );
    }
    let one = model.fit(&all[..1], &LightEstimate::drift());
    assert!(light.covariance.determinant() < 0.2 * one.covariance.determinant());
}

#[test]
fn one_wrong_label_moves_a_fit_little() {
    let model = model();
    let gains = [1.2, 0.9, 0.7];
    let mut all: Vec<Observation> = Colour::ALL
        .into_iter()
        .chain(Colour::ALL)
        .map(|c| observed(sticker(c, gains, 1.0, 0.0), c))
        .collect();
    all[0].colour = Colour::Blue;
    let light = model.fit(&all, &LightEstimate::drift());
    for (found, true_gain) in light.gains().into_iter().zip(gains) {
        assert!(
            (found / f64::from(true_gain) - 1.0).abs() < 0.12,
            "{found} for {true_gain}"
        );
    }
}

#[test]
fn a_patch_that_nothing_agrees_with_says_nothing() {
    let mut hidden = patch(COLOURS[2]);
    hidden.agreeing = 0.0;
    let l = model().log_likelihoods(&hidden, &LightEstimate::none());
    assert!(l.iter().all(|x| (x - l[0]).abs() < 1e-9), "{l:?}");
    hidden.agreeing = 0.4;
    let half = chances(&model(), &hidden, &LightEstimate::none())[2];
    let clear = chances(&model(), &patch(COLOURS[2]), &LightEstimate::none())[2];
    assert!(half < clear && half < 0.999);
}

#[test]
fn a_lamps_mirror_image_is_not_taken_for_white() {
    // White reads 0.7 here, so that an overexposed patch is more likely a highlight than a white sticker.
    let glare = |model: Model| {
        let light = model.fit(
            &Colour::ALL.map(|c| observed(patch(COLOURS[c.index()]), c)),
            &LightEstimate::drift(),
        );
        chances(&model, &patch([1.0, 1.0, 1.0]), &light)
    };
    let solved = Model::from_profile(&profile());
    let in_its_light = glare(solved.in_its_light());
    assert!(in_its_light[0] < 0.95, "{in_its_light:?}");
    // In another light it is known how bright white is beside the other colours once the cube is seen.
    let together = Model::from_profile(&profile().together(None));
    for model in [solved, together] {
        let seen = || {
            Colour::ALL
                .map(|c| observed(patch(COLOURS[c.index()]), c))
                .repeat(9)
        };
        let light = model.fit(&seen(), &LightEstimate::drift());
        let glare = glare(model.adapt(&[(light, seen())]));
        assert!(glare[0] < 0.955, "{glare:?}");
    }
}

#[test]
fn a_clipped_channel_may_lie_anywhere_above() {
    // Yellow under a light so strong that red and green clip: still yellow, as far as that can be known.
    let model = model();
    let gains = [2.0, 2.0, 2.0];
    let centres: Vec<Observation> = [Colour::Red, Colour::Green, Colour::Blue]
        .into_iter()
        .map(|c| observed(sticker(c, gains, 1.0, 0.0), c))
        .collect();
    let light = model.fit(&centres, &LightEstimate::drift());
    let yellow = sticker(Colour::Yellow, gains, 1.1, 0.0);
    assert_eq!((yellow.rgb.red, yellow.rgb.green), (1.0, 1.0));
    assert_eq!(likeliest(&model, &yellow, &light), Colour::Yellow);
}

#[test]
fn an_adapted_model_moves_to_the_cube_it_sees_and_no_further() {
    let generic = Model::generic();
    let seen = |c: Colour| {
        (0..6).map(move |i| observed(sticker(c, [1.0; 3], 0.85 + 0.05 * i as f32, 0.0), c))
    };
    let light = LightEstimate {
        mean: [0.0; 3],
        covariance: Spread::even(0.01 * 0.01),
    };
    let session: Vec<Observation> = Colour::ALL
        .into_iter()
        .filter(|c| *c != Colour::Green)
        .flat_map(seen)
        .collect();
    let adapted = generic.adapt(&[(light, session)]);
    let none = LightEstimate::none();
    for colour in Colour::ALL {
        let [red, green, blue] = COLOURS[colour.index()].map(f64::from);
        let truth = LinSrgb::new(red, green, blue);
        let before = super::super::hue_difference(generic.colour(colour, &none), truth);
        let after = super::super::hue_difference(adapted.colour(colour, &none), truth);
        if colour == Colour::Green {
            assert_eq!(before, after);
        } else {
            assert!(
                after < before.max(2.0) && after < 4.0,
                "{}: {before} to {after}",
                colour.name()
            );
        }
    }
}
