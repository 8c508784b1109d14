//! A face that is seen too much from the side is not given, but told of.

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::{each, pictures};
use crate::scene::{Scene, lone_face};

#[test]
fn a_lone_face_is_told_to_be_steep_only_where_it_is() {
    let count = pictures(40);
    let results = each(count, |finder, number| {
        let rng = &mut ChaCha8Rng::seed_from_u64(3_000_000 + super::first() + number);
        let steep = number % 2 == 0;
        let tilt = match steep {
            true => rng.random_range(47.0..60.0f64),
            false => rng.random_range(0.0..35.0),
        };
        let mut scene = Scene::new(640, 480, rng);
        lone_face(&mut scene, tilt.to_radians(), rng);
        let look = finder.look(&scene.draw(rng));
        assert!(!look.too_steep || look.faces.is_empty(), "picture {number}");
        (steep, look.too_steep, look.faces.len())
    });
    let told = |steep: bool| {
        let of = results.iter().filter(|(is, ..)| *is == steep);
        of.filter(|(_, told, _)| *told).count()
    };
    println!(
        "of {count} faces, every other one steep: {} told, {} wrongly",
        told(true),
        told(false)
    );
    assert_eq!(told(false), 0, "{results:?}");
    assert!(told(true) as u64 * 20 >= count / 2 * 19, "{results:?}");
}
