//! Finding the cube: drawn cubes are found where they are, grids that are no cube are not, and a table over a folder of scans.

mod scene;

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::time::Instant;

use pairsight::sight::{Finder, Look};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use scene::{Colour, Plastic, Scene, Truth};

type Corners = [[f64; 2]; 4];

/// How many pictures a test draws: more with `PAIRSIGHT_PICTURES` set.
fn pictures(usual: u64) -> u64 {
    std::env::var("PAIRSIGHT_PICTURES")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(usual)
}

fn area(points: &[[f64; 2]]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points
        .iter()
        .zip(next)
        .map(|(a, b)| a[0] * b[1] - a[1] * b[0])
        .sum::<f64>()
        / 2.0
}

/// Shared area over united area of two convex outlines that run clockwise.
fn overlap(a: &Corners, b: &Corners) -> f64 {
    let mut shared = a.to_vec();
    for i in 0..4 {
        let (p, q) = (b[i], b[(i + 1) % 4]);
        let side = |r: [f64; 2]| (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
        let whole = std::mem::take(&mut shared);
        for (k, &from) in whole.iter().enumerate() {
            let to = whole[(k + 1) % whole.len()];
            let (s, t) = (side(from), side(to));
            if s >= 0.0 {
                shared.push(from);
            }
            if (s >= 0.0) != (t >= 0.0) {
                let part = s / (s - t);
                shared.push([
                    from[0] + part * (to[0] - from[0]),
                    from[1] + part * (to[1] - from[1]),
                ]);
            }
        }
    }
    let common = if shared.len() > 2 { area(&shared) } else { 0.0 };
    common / (area(a) + area(b) - common)
}

/// The outline of 16 lattice points, clockwise in the picture even if the picture is mirrored.
fn outline(lattice: &[[f64; 2]]) -> Corners {
    let corners = [lattice[0], lattice[3], lattice[15], lattice[12]];
    if area(&corners) < 0.0 {
        [corners[0], corners[3], corners[2], corners[1]]
    } else {
        corners
    }
}

fn outlines(look: &Look) -> Vec<Corners> {
    look.faces
        .iter()
        .map(|face| face.outline().map(|p| [f64::from(p.x), f64::from(p.y)]))
        .collect()
}

/// Best overlap of each true face, and how many found faces are no true face.
fn judge(look: &Look, truths: &[Corners]) -> (Vec<f64>, usize) {
    let found = outlines(look);
    let best = |one: &Corners, many: &[Corners]| {
        many.iter()
            .map(|other| overlap(one, other))
            .fold(0.0, f64::max)
    };
    let wrong = found.iter().filter(|face| best(face, truths) < 0.8).count();
    (
        truths.iter().map(|truth| best(truth, &found)).collect(),
        wrong,
    )
}

/// A cube of some kind, somewhere, in some light; what must be found comes first.
fn cube_scene(rng: &mut ChaCha8Rng) -> (Scene, Vec<Truth>, bool) {
    let (width, height) = [(640, 480), (1280, 720)][rng.random_range(0..2)];
    let mut scene = Scene::new(width, height, rng);
    scene.clutter(12, rng);
    let plastic = [Plastic::Black, Plastic::White, Plastic::Coloured][rng.random_range(0..3)];
    let corner = rng.random_bool(0.5);
    let size = rng.random_range(0.25..0.55) * f64::from(height);
    let tilt = rng.random_range(0.0..33.0f64).to_radians();
    let truths = scene.cube(plastic, size, corner, tilt, rng);
    scene.noise = rng.random_range(1.0..7.0);
    scene.blur = rng.random_range(0..2);
    scene.light = rng.random_range(0.6..1.0);
    (scene, truths, corner)
}

#[test]
fn drawn_cubes_are_found_in_place() {
    let mut finder = Finder::new();
    let (mut wanted, mut got, mut wrong) = (0, 0, 0);
    for seed in 0..pictures(60) {
        let rng = &mut ChaCha8Rng::seed_from_u64(seed);
        let (scene, truths, corner) = cube_scene(rng);
        let look = finder.look(&scene.draw(rng));
        let all: Vec<Corners> = truths.iter().map(|truth| outline(&truth.lattice)).collect();
        let (best, extra) = judge(&look, &all);
        for (truth, best) in truths.iter().zip(best) {
            if truth.tilt < if corner { 66.0 } else { 36.0 } {
                wanted += 1;
                got += u32::from(best > 0.8);
                if best <= 0.8 {
                    println!(
                        "missed: seed {seed}, tilt {:.0}, corner {corner}",
                        truth.tilt
                    );
                }
            }
        }
        if extra > 0 {
            println!("wrong: seed {seed}");
        }
        wrong += extra;
        for joint in &look.joints {
            assert!(
                joint.a.0 < look.faces.len()
                    && joint.b.0 < look.faces.len()
                    && joint.a.0 != joint.b.0
            );
        }
        if look.faces.len() == 3 {
            assert_eq!(
                look.joints.len(),
                3,
                "seed {seed}: three faces meet along three edges"
            );
        }
    }
    println!("{got} of {wanted} faces found, {wrong} wrong");
    assert_eq!(wrong, 0, "faces found where there are none");
    assert!(
        f64::from(got) >= 0.98 * f64::from(wanted),
        "{got} of {wanted} faces found"
    );
}

/// Grids that people have around them, none of them 3x3.
fn other_grids(rng: &mut ChaCha8Rng) -> Scene {
    let (width, height) = [(640, 480), (1280, 720)][rng.random_range(0..2)];
    let mut scene = Scene::new(width, height, rng);
    scene.clutter(10, rng);
    let loud: Vec<Colour> = (0..7)
        .map(|_| [0, 1, 2].map(|_| rng.random_range(10.0..245.0)))
        .collect();
    let (dark, pale): (Colour, Colour) = ([25.0; 3], [225.0; 3]);
    // One grid only: of a grid that another hides but for 3x3 cells nobody can tell.
    {
        let between = if rng.random_bool(0.5) { dark } else { pale };
        let frame = (rng.random_range(0.05..0.2), rng.random_range(0.0..0.4));
        match rng.random_range(0..6) {
            0 => scene.board((8, 8), &[dark, pale], dark, (0.0, 0.3), rng),
            1 => scene.board((4, 6), &loud, between, frame, rng),
            2 => scene.board((4, 12), &[[60.0; 3], [70.0; 3]], [15.0; 3], frame, rng),
            3 => scene.board((2, 4), &loud, between, frame, rng),
            4 => scene.board(
                (9, 9),
                &[pale, [205.0, 215.0, 220.0]],
                [150.0; 3],
                (0.06, 0.0),
                rng,
            ),
            _ => {
                let cells = [(4, 4), (5, 5), (2, 2), (2, 3), (3, 5), (4, 3), (1, 3)]
                    [rng.random_range(0..7)];
                scene.board(cells, &loud, between, frame, rng);
            }
        }
    }
    scene.noise = rng.random_range(1.0..7.0);
    scene.blur = rng.random_range(0..2);
    scene
}

#[test]
fn no_face_is_found_in_other_grids() {
    let mut finder = Finder::new();
    let mut wrong = Vec::new();
    for seed in 0..pictures(150) {
        let rng = &mut ChaCha8Rng::seed_from_u64(1_000_000 + seed);
        let picture = other_grids(rng).draw(rng);
        if !finder.look(&picture).faces.is_empty() {
            wrong.push(seed);
        }
    }
    assert!(
        wrong.is_empty(),
        "faces found in {} pictures without a cube: {wrong:?}",
        wrong.len()
    );
}

#[test]
fn a_look_depends_on_nothing_but_the_picture() {
    let rng = &mut ChaCha8Rng::seed_from_u64(77);
    let (scene, ..) = cube_scene(rng);
    let picture = scene.draw(rng);
    let other = other_grids(rng).draw(rng);
    let mut finder = Finder::new();
    let first = outlines(&finder.look(&picture));
    finder.look(&other);
    assert_eq!(first, outlines(&finder.look(&picture)));
    assert_eq!(first, outlines(&Finder::new().look(&picture)));
}

#[test]
fn small_and_odd_pictures_are_survived() {
    let mut finder = Finder::new();
    for (width, height) in [
        (0, 0),
        (1, 1),
        (2, 3),
        (1, 400),
        (400, 1),
        (37, 53),
        (641, 361),
        (5000, 16),
    ] {
        let picture = image::RgbImage::from_fn(width, height, |x, y| {
            image::Rgb([(x * 7) as u8, (y * 13) as u8, 90])
        });
        assert!(finder.look(&picture).faces.is_empty(), "{width} x {height}");
    }
}

/// The folder of scans that the table is about.
fn scans() -> Option<PathBuf> {
    let folder = std::env::var_os("PAIRSIGHT_SCANS").map_or_else(
        || PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("test_images/scans"),
        PathBuf::from,
    );
    folder.join("truth.json").is_file().then_some(folder)
}

#[derive(Default)]
struct Row {
    found: usize,
    faces: usize,
    wrong: usize,
    overlaps: Vec<f64>,
    times: Vec<f64>,
}

fn part(values: &mut [f64], share: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    values
        .get(((values.len().max(1) - 1) as f64 * share) as usize)
        .copied()
        .unwrap_or(0.0)
}

#[test]
fn scans_are_found() {
    let Some(folder) = scans() else { return };
    let text = std::fs::read_to_string(folder.join("truth.json")).expect("truth.json");
    let truth: serde_json::Value = serde_json::from_str(&text).expect("truth.json is JSON");
    let list = |value: &serde_json::Value| value.as_array().cloned().unwrap_or_default();
    let mut finder = Finder::new();
    let mut rows: BTreeMap<String, Row> = BTreeMap::new();
    for setup in list(&truth["setups"]) {
        let name = setup["setup"].as_str().unwrap_or_default();
        for (at, scan) in list(&setup["scans"]).iter().enumerate() {
            let scan_name = scan["scan"]
                .as_str()
                .map_or_else(|| format!("scan-{:02}", at + 1), str::to_owned);
            let mut labels: Vec<String> = list(&scan["conditions"])
                .iter()
                .filter_map(|c| c.as_str().map(str::to_owned))
                .collect();
            for label in [&scan["difficulty"], &setup["finish"]] {
                labels.extend(label.as_str().map(str::to_owned));
            }
            labels.push("all".to_owned());
            for shot in list(&scan["images"]) {
                let file = shot["file"].as_str().unwrap_or_default();
                let path = folder.join(name).join(&scan_name).join(file);
                let Ok(picture) = image::open(&path) else {
                    continue;
                };
                let picture = picture.to_rgb8();
                let start = Instant::now();
                let look = finder.look(&picture);
                let time = start.elapsed().as_secs_f64() * 1e3;
                let corners = |face: &serde_json::Value| {
                    let points: Vec<[f64; 2]> = list(&face["lattice"])
                        .iter()
                        .map(|p| [0, 1].map(|k| p[k].as_f64().unwrap_or(0.0) + 0.5))
                        .collect();
                    outline(&points)
                };
                let faces = list(&shot["faces"]);
                let (best, wrong) = judge(&look, &faces.iter().map(corners).collect::<Vec<_>>());
                let main: Vec<f64> = faces
                    .iter()
                    .zip(best)
                    .filter(|(face, _)| face["main"] == true)
                    .map(|(_, best)| best)
                    .collect();
                if wrong > 0 || main.iter().any(|&best| best <= 0.8) {
                    println!("{}: overlaps {main:.2?}, {wrong} wrong", path.display());
                }
                let view = shot["view"].as_str().unwrap_or_default().to_owned();
                for label in labels.iter().chain([&view]) {
                    let row = rows.entry(label.clone()).or_default();
                    row.faces += main.len();
                    row.found += main.iter().filter(|&&best| best > 0.8).count();
                    row.wrong += wrong;
                    row.overlaps.extend(&main);
                    row.times.push(time);
                }
            }
        }
    }
    println!(
        "{:14} {:>12} {:>7} {:>6} {:>8} {:>14}",
        "condition", "main faces", "found", "wrong", "overlap", "ms mid / 95 %"
    );
    for (label, row) in &mut rows {
        println!(
            "{label:14} {:>5} / {:>4} {:>6.1}% {:>6} {:>8.3} {:>6.1} / {:.1}",
            row.found,
            row.faces,
            100.0 * row.found as f64 / row.faces.max(1) as f64,
            row.wrong,
            part(&mut row.overlaps, 0.5),
            part(&mut row.times, 0.5),
            part(&mut row.times, 0.95)
        );
    }
    assert!(
        rows.contains_key("all"),
        "no pictures in {}",
        folder.display()
    );
    assert_eq!(rows["all"].wrong, 0, "faces found where there are none");
    for (label, least) in [("easy", 0.99), ("normal", 0.99), ("hard", 0.92)] {
        if let Some(row) = rows.get(label) {
            // One corner view may be missed in any set.
            let missed = (row.faces - row.found) as f64;
            assert!(
                missed <= (3.0f64).max((1.0 - least) * row.faces as f64),
                "{label}: {} of {} faces found",
                row.found,
                row.faces
            );
        }
    }
}
