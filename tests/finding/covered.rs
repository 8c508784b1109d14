//! Scans whose cube a plain card covers: what is behind it, boards with few coloured squares among it, gives no face.

use image::{Rgb, RgbImage};
use imageproc::drawing::draw_polygon_mut;
use imageproc::geometry::convex_hull;
use imageproc::point::Point;

use super::shots::shots;
use super::{each, keep};

/// How much larger than the faces that the truth tells of the card is: others are seen from the side.
const LARGER: f64 = 1.35;

/// Puts a card over these points.
fn cover(picture: &mut RgbImage, points: &[[f64; 2]]) {
    let count = points.len() as f64;
    let middle = [0, 1].map(|k| points.iter().map(|p| p[k]).sum::<f64>() / count);
    let grown: Vec<Point<i32>> = points
        .iter()
        .map(|p| [0, 1].map(|k| (middle[k] + LARGER * (p[k] - middle[k])) as i32))
        .map(|[x, y]| Point::new(x, y))
        .collect();
    draw_polygon_mut(picture, &convex_hull(grown), Rgb([128, 126, 120]));
}

#[test]
fn no_face_is_found_behind_a_card() {
    let mut shots = shots();
    shots.retain(|shot| shot.lattices().next().is_some());
    let wrong = each(shots.len() as u64, |finder, number| {
        let shot = &shots[number as usize];
        let mut picture = image::open(&shot.path).expect("a picture").to_rgb8();
        cover(&mut picture, &shot.lattices().flatten().collect::<Vec<_>>());
        let look = finder.look(&picture);
        if !look.faces.is_empty() {
            keep(&format!("covered-{number}"), &picture, &look);
        }
        (!look.faces.is_empty()).then(|| shot.path.display().to_string())
    });
    let wrong: Vec<String> = wrong.into_iter().flatten().collect();
    println!("{} of {} with a face", wrong.len(), shots.len());
    assert!(wrong.is_empty(), "faces found behind a card: {wrong:#?}");
}
