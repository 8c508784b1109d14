//! Drawn cubes under all conditions, as a table.

use std::collections::BTreeMap;

use image::RgbImage;
use pairsight::sight::{FaceView, Look, Patch};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::judge::{Corners, Tally, judge, outline, promise};
use super::{each, keep, pictures};
use crate::scene::{Cube, Finish, Lamp, Plastic, Scene, Truth, View};

/// A picture of a cube, with what is true of it.
pub struct Drawn {
    pub picture: RgbImage,
    pub truths: Vec<Truth>,
    /// Faces at a steeper angle than this need not be found, degrees.
    pub steepest: f64,
    /// What the table groups by.
    pub labels: Vec<String>,
}

/// What can make a cube hard to find. A picture has none, one or two of them.
const HARDSHIPS: [&str; 9] = [
    "blur",
    "motion",
    "noise",
    "dark",
    "glare",
    "fingers",
    "worn",
    "two lamps",
    "thin grooves",
];

impl Drawn {
    /// The same number gives the same picture.
    pub fn new(number: u64) -> Self {
        let rng = &mut ChaCha8Rng::seed_from_u64(number);
        let (width, height) = [(640, 480), (1280, 720)][rng.random_range(0..2)];
        let mut hard: Vec<&str> = (0..number % 3)
            .map(|_| HARDSHIPS[rng.random_range(0..HARDSHIPS.len())])
            .collect();
        hard.dedup();
        let is = |hardship: &str| hard.contains(&hardship);

        let plastic = match rng.random_range(0..3) {
            _ if is("thin grooves") => Plastic::Coloured(rng.random_range(0.02..0.04)),
            0 => Plastic::Black,
            1 => Plastic::White,
            _ => Plastic::Coloured(0.07),
        };
        let (view, steepest) = if rng.random_bool(0.5) {
            (View::Corner(rng.random_range(0.0..0.15)), 65.0)
        } else {
            (
                View::Face(rng.random_range(0.0..35.0f64).to_radians()),
                35.0,
            )
        };
        let share = rng.random_range(0.15..0.9);
        let lamp = |towards: [f64; 3], colour: [f64; 3]| {
            let long = towards.map(|v| v * v).iter().sum::<f64>().sqrt();
            Lamp {
                towards: towards.map(|v| v / long),
                colour,
            }
        };
        let aside = rng.random_range(-0.8..0.8);
        let lamps = if is("two lamps") {
            vec![
                lamp([-1.0, aside, -0.6], [0.62, 0.44, 0.24]),
                lamp([1.0, -aside, -0.6], [0.26, 0.4, 0.58]),
            ]
        } else {
            vec![lamp([aside, -0.7, -1.0], [0.5; 3])]
        };
        let cube = Cube {
            finish: Finish {
                plastic,
                worn: if is("worn") { 0.7 } else { 0.0 },
                glare: if is("glare") {
                    rng.random_range(0.4..1.2)
                } else {
                    0.0
                },
            },
            view,
            height: share,
            ambient: 0.5,
            lamps,
            fingers: if is("fingers") {
                rng.random_range(1..4)
            } else {
                0
            },
        };
        let mut scene = Scene::new(width, height, rng);
        scene.clutter(12, rng);
        let truths = scene.cube(&cube, rng);
        scene.light = if is("dark") {
            rng.random_range(0.15..0.45)
        } else {
            rng.random_range(0.5..1.0)
        };
        scene.noise = if is("noise") {
            rng.random_range(6.0..11.0)
        } else {
            rng.random_range(0.5..4.0)
        };
        scene.blur = if is("blur") {
            rng.random_range(2..5)
        } else {
            rng.random_range(0..2)
        };
        if is("motion") {
            // At most a seventh of a sticker: what holds nearly still.
            let far = share * f64::from(height) / 3.0 * rng.random_range(0.05..0.15);
            let (sin, cos) = rng.random_range(0.0..std::f64::consts::TAU).sin_cos();
            scene.motion = [cos * far, sin * far];
        }

        let mut labels: Vec<String> = hard.iter().map(|&h| h.to_owned()).collect();
        labels.push(["easy", "normal", "hard"][hard.len()].to_owned());
        labels.push(
            match plastic {
                Plastic::Black => "black plastic",
                Plastic::White => "white plastic",
                Plastic::Coloured(_) => "stickerless",
            }
            .to_owned(),
        );
        labels.push(if steepest > 40.0 { "corner" } else { "face" }.to_owned());
        labels.push(format!("{} lines high", height));
        let band = [0.15, 0.25, 0.4, 0.65, 0.9]
            .windows(2)
            .find(|band| share < band[1]);
        labels.extend(band.map(|band| {
            format!(
                "{:.0}-{:.0} % of the height",
                band[0] * 100.0,
                band[1] * 100.0
            )
        }));
        labels.push("all".to_owned());
        Self {
            picture: scene.draw(rng),
            truths,
            steepest,
            labels,
        }
    }
}

/// Holds a look against what was drawn.
fn judge_drawn(look: &Look, truths: &[Truth]) -> (Vec<f64>, usize) {
    let all: Vec<Corners> = truths.iter().map(|t| outline(&t.lattice)).collect();
    judge(look, &all)
}

#[test]
fn drawn_cubes_are_found_in_place() {
    let results = each(pictures(90), |finder, number| {
        let drawn = Drawn::new(super::first() + number);
        let look = finder.look(&drawn.picture);
        let (best, wrong) = judge_drawn(&look, &drawn.truths);
        let wanted: Vec<bool> = drawn
            .truths
            .iter()
            .zip(best)
            .filter(|(truth, _)| truth.tilt <= drawn.steepest)
            .map(|(_, best)| best > 0.8)
            .collect();
        for joint in &look.joints {
            assert!(joint.a.0 < look.faces.len() && joint.b.0 < look.faces.len());
            assert_ne!(joint.a.0, joint.b.0);
        }
        if look.faces.len() == 3 && wrong == 0 {
            assert_eq!(
                look.joints.len(),
                3,
                "picture {number}: three faces meet along three edges"
            );
        }
        let found = wanted.iter().filter(|&&found| found).count();
        if found < wanted.len() || wrong > 0 {
            keep(&format!("cube-{number}"), &drawn.picture, &look);
            println!(
                "picture {number}: {found} of {} faces, {wrong} wrong: {}",
                wanted.len(),
                drawn.labels.join(", ")
            );
        }
        (drawn.labels, wanted.len(), found, wrong)
    });
    let mut rows: BTreeMap<String, Tally> = BTreeMap::new();
    for (labels, faces, found, wrong) in results {
        for label in labels {
            rows.entry(label).or_default().count(faces, found, wrong);
        }
    }
    println!(
        "{:24} {:>8} {:>6} {:>7} {:>6}",
        "condition", "pictures", "faces", "found", "wrong"
    );
    for (label, row) in &rows {
        println!(
            "{label:24} {:>8} {:>6} {:>6.1}% {:>6}",
            row.pictures,
            row.faces,
            row.share(),
            row.wrong
        );
    }
    assert_eq!(rows["all"].wrong, 0, "faces found where there are none");
    for label in ["easy", "normal", "hard"] {
        promise(label, rows[label].found, rows[label].faces);
    }
}

/// Faces without a neighbour that are found, of pictures that differ in nothing but chance; `dress` may paint the scene's wall.
fn found_alone(count: u64, dress: impl Fn(&mut Scene, &mut ChaCha8Rng) -> Finish + Sync) -> usize {
    let found = each(count, |finder, number| {
        let rng = &mut ChaCha8Rng::seed_from_u64(4_000_000 + super::first() + number);
        let mut scene = Scene::new(640, 480, rng);
        scene.clutter(6, rng);
        let cube = Cube {
            finish: dress(&mut scene, rng),
            view: View::Face(rng.random_range(0.0..30.0f64).to_radians()),
            height: rng.random_range(0.4..0.85),
            ambient: 0.5,
            lamps: vec![Lamp {
                towards: [0.1, -0.6, -0.8],
                colour: [0.5; 3],
            }],
            fingers: 0,
        };
        let truths = scene.cube(&cube, rng);
        scene.light = rng.random_range(0.3..0.8);
        let picture = scene.draw(rng);
        let look = finder.look(&picture);
        let (best, wrong) = judge_drawn(&look, &truths);
        assert_eq!(wrong, 0, "picture {number}");
        let front = truths
            .iter()
            .zip(best)
            .min_by(|a, b| a.0.tilt.total_cmp(&b.0.tilt));
        let found = front.is_some_and(|(_, best)| best > 0.8);
        if !found {
            keep(&format!("alone-{number}"), &picture, &look);
        }
        found
    });
    found.iter().filter(|&&found| found).count()
}

/// White stickers are hardly parted from white plastic; the others tell its colour.
#[test]
fn a_face_of_white_plastic_is_found() {
    let white = |_: &mut Scene, _: &mut ChaCha8Rng| Finish {
        plastic: Plastic::White,
        worn: 0.0,
        glare: 0.0,
    };
    let count = pictures(60);
    let found = found_alone(count, white);
    println!("{found} of {count} faces of white plastic found");
    promise("white plastic", found, count as usize);
}

/// A highlight changes a sticker's colour more than its side does, but slowly.
#[test]
fn a_face_with_a_highlight_on_it_is_found() {
    let count = pictures(60);
    let found = found_alone(count, |_, rng| Finish {
        plastic: Plastic::Black,
        worn: 0.0,
        glare: rng.random_range(0.4..1.2),
    });
    println!("{found} of {count} faces with a highlight found");
    promise("hard", found, count as usize);
}

/// White stickers go on into a white wall, as cells drawn on one would.
#[test]
fn a_face_before_a_white_wall_is_found() {
    let count = pictures(60);
    let found = found_alone(count, |scene, rng| {
        scene.wall = [rng.random_range(140.0..230.0); 3];
        Finish {
            plastic: Plastic::Coloured(0.07),
            worn: 0.0,
            glare: 0.0,
        }
    });
    println!("{found} of {count} faces before a white wall found");
    promise("white wall", found, count as usize);
}

/// The middles of a face's cells in the picture.
fn middles(face: &FaceView) -> [[f32; 2]; 9] {
    let l = &face.lattice;
    std::array::from_fn(|cell| {
        let (row, column) = (cell / 3, cell % 3);
        let corners = [(0, 0), (0, 1), (1, 1), (1, 0)].map(|(r, c)| l[row + r][column + c]);
        [
            corners.iter().map(|p| p.x).sum::<f32>() / 4.0,
            corners.iter().map(|p| p.y).sum::<f32>() / 4.0,
        ]
    })
}

/// Where fingers hide a part of a face, its other faces show where it is. What is told of it are its stickers, not the fingers.
#[test]
fn a_corner_behind_fingers_is_found_without_them() {
    let count = pictures(60);
    let results = each(count, |finder, number| {
        let mut shown = |fingers: usize| {
            let rng = &mut ChaCha8Rng::seed_from_u64(6_000_000 + super::first() + number);
            let mut scene = Scene::new(640, 480, rng);
            scene.clutter(6, rng);
            let cube = Cube {
                finish: Finish {
                    plastic: [Plastic::Black, Plastic::Coloured(0.07)][number as usize % 2],
                    worn: 0.0,
                    glare: 0.0,
                },
                view: View::Corner(0.05),
                height: rng.random_range(0.4..0.85),
                ambient: 0.5,
                lamps: vec![Lamp {
                    towards: [0.1, -0.6, -0.8],
                    colour: [0.5; 3],
                }],
                fingers,
            };
            let truths = scene.cube(&cube, rng);
            let picture = scene.draw(rng);
            let look = finder.look(&picture);
            (picture, look, truths)
        };
        let (picture, look, mut truths) = shown(3);
        let (_, bare, _) = shown(0);
        truths.retain(|truth| truth.tilt < 65.0);
        let (best, _) = judge_drawn(&look, &truths);
        let found = best.iter().filter(|&&best| best > 0.8).count();
        if found < truths.len() {
            keep(&format!("fingers-{number}"), &picture, &look);
        }
        let bare: Vec<([f32; 2], Patch)> = bare
            .faces
            .iter()
            .flat_map(|face| {
                middles(face)
                    .into_iter()
                    .zip(face.patches.into_iter().flatten())
            })
            .collect();
        let (mut stickers, mut others) = (0, 0);
        for face in &look.faces {
            let patches = face.patches.as_flattened();
            if patches.iter().all(|patch| patch.agreeing > 0.0) {
                continue;
            }
            for (at, patch) in middles(face).into_iter().zip(patches) {
                let far = |to: [f32; 2]| (to[0] - at[0]).hypot(to[1] - at[1]);
                let own = bare.iter().min_by(|a, b| far(a.0).total_cmp(&far(b.0)));
                if let Some((_, own)) = own.filter(|(to, _)| patch.agreeing > 0.0 && far(*to) < 5.0)
                {
                    let (a, b) = (patch.rgb, own.rgb);
                    let off = (a.red - b.red)
                        .abs()
                        .max((a.green - b.green).abs())
                        .max((a.blue - b.blue).abs());
                    stickers += 1;
                    others += usize::from(off > 0.08);
                }
            }
        }
        (truths.len(), found, stickers, others)
    });
    let sum =
        |of: fn(&(usize, usize, usize, usize)) -> usize| results.iter().map(of).sum::<usize>();
    let (faces, found) = (sum(|r| r.0), sum(|r| r.1));
    let (stickers, others) = (sum(|r| r.2), sum(|r| r.3));
    println!(
        "{found} of {faces} faces behind fingers found; of {stickers} stickers beside hidden ones {others} of another colour"
    );
    promise("hard", found, faces);
    assert!(
        stickers > 0 && others * 100 <= stickers,
        "{others} of {stickers}"
    );
}
