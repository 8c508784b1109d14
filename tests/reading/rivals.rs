//! What may be taken for a usual cube and is none: other colour schemes, exchanged centres, things that are no face of the cube, other
//! cubes' profiles, two cubes at once. None is ever told as a cube that it is not. The laboratory draws more (`rivals`).

use super::scans::load_carried;
use super::stage::{Colours, Stage, any_cube, colours, stages};
use crate::harness::each::each;
use pairsight::colour::Profile;
use pairsight::cube::{Colour, Face, Net, Scheme};
use pairsight::read::{Outcome, Reader, Reading};
use pairsight::sight::{FaceView, Look, Patch, Point, Side};
use rand::{
    Rng, SeedableRng,
    seq::{IndexedRandom, SliceRandom},
};
use rand_chacha::ChaCha8Rng;
use std::path::Path;

/// The tests draw a few times so many of each kind: a sample of those whose counts the laboratory's table `rivals` keeps.
const SAMPLE: u64 = 4;

/// Readings that are right, that are wrong, and that ask.
#[derive(Clone, Copy, Debug, Default)]
pub struct Counts {
    pub right: usize,
    pub wrong: usize,
    pub asked: usize,
}

/// What all are worth together; wrong ones are printed.
pub fn summed(all: &[Verdict], what: &str) -> Counts {
    let mut counts = Counts::default();
    for verdict in all {
        match verdict {
            Verdict::Right => counts.right += 1,
            Verdict::Asked => counts.asked += 1,
            Verdict::Wrong(why) => {
                println!("wrong: {why}");
                counts.wrong += 1;
            }
        }
    }
    println!("{what}: {counts:?}");
    counts
}

/// What a reading is worth.
#[derive(Clone, Debug)]
pub enum Verdict {
    Right,
    Asked,
    Wrong(String),
}

/// What a reading is worth where the stickers, in the cube's own colours, are these; none where no legal cube is shown.
fn verdict(reading: &Reading, truth: Option<&Colours>, what: &str) -> Verdict {
    let told = reading.net.as_ref().map(colours);
    match (reading.outcome, truth) {
        (Outcome::Read, Some(truth)) if told.as_ref() == Some(truth) => Verdict::Right,
        (Outcome::Impossible, None) => Verdict::Right,
        (Outcome::Read | Outcome::Impossible, _) => {
            Verdict::Wrong(format!("{what}: {:.1} {}", reading.margin, reading.say))
        }
        _ => Verdict::Asked,
    }
}

fn pictures(stage: &Stage, rng: &mut ChaCha8Rng) -> Vec<usize> {
    let [faces, corners] = [false, true].map(|corners| stage.pictures(corners));
    match rng.random_range(0..4) {
        0 | 1 => faces,
        2 => corners,
        _ => [faces, corners].concat(),
    }
}

fn read(stage: &Stage, calibrated: bool, looks: &[Look]) -> Reading {
    read_told(stage, calibrated, None, looks)
}

/// The same where it may be known whether the pictures are mirrored.
fn read_told(stage: &Stage, calibrated: bool, mirrored: Option<bool>, looks: &[Look]) -> Reading {
    let mut reader = Reader::new(calibrated.then_some(&stage.profile));
    if let Some(mirrored) = mirrored {
        reader = reader.mirrored(mirrored);
    }
    looks.iter().for_each(|look| reader.add(look.clone()));
    reader.read()
}

/// A state in other colours: by role, the colour that pieces and centres show.
fn painted(cube: &Colours, pieces: &[Colour; 6], centres: &[Colour; 6]) -> Colours {
    std::array::from_fn(|cell| match cell % 9 {
        4 => centres[cube[cell]].index(),
        _ => pieces[cube[cell]].index(),
    })
}

/// Looks as a mirroring camera gives them.
fn mirrored(looks: &[Look]) -> Vec<Look> {
    let one = |look: &Look| {
        let mut look = look.clone();
        look.size = (1000, 1000);
        for face in &mut look.faces {
            for row in &mut face.lattice {
                row.reverse();
                row.iter_mut().for_each(|p| p.x = 1000.0 - p.x);
            }
            face.patches.iter_mut().for_each(|row| row.reverse());
        }
        let turned = |side: Side| match side {
            Side::Left => Side::Right,
            Side::Right => Side::Left,
            side => side,
        };
        for joint in &mut look.joints {
            joint.a.1 = turned(joint.a.1);
            joint.b.1 = turned(joint.b.1);
        }
        look
    };
    looks.iter().map(one).collect()
}

/// A cube of another scheme, by a mirroring camera or not, which is said of half of them. A profile of a cube of the usual scheme is
/// another cube's.
pub fn scheme(stages: &[Stage], n: u64) -> Verdict {
    let mut rng = ChaCha8Rng::seed_from_u64(n);
    let stage = straight(stages, n);
    let schemes: Vec<Scheme> = Scheme::all().filter(|s| !s.is_usual()).collect();
    let scheme = *schemes.choose(&mut rng).expect("there are schemes");
    let own = scheme.colours();
    let truth = painted(&colours(&Net::of(&any_cube(&mut rng))), &own, &own);
    let mut looks: Vec<Look> = pictures(stage, &mut rng)
        .into_iter()
        .map(|picture| stage.show(&truth, picture, &mut rng))
        .collect();
    let is_mirrored = rng.random_bool(0.5);
    if is_mirrored {
        looks = mirrored(&looks);
    }
    let calibrated = rng.random_bool(0.3);
    // A common cube in a mirror looks like one that runs the other way round, which is so rare that it is not thought of.
    let told = (rng.random_bool(0.5) || scheme.mirrored().is_common()).then_some(is_mirrored);
    let reading = read_told(stage, calibrated, told, &looks);
    let what = format!(
        "{n} {}, {scheme}, profile {calibrated}, mirrored {is_mirrored}, told {told:?}, {} pictures",
        stage.name,
        looks.len()
    );
    verdict(&reading, Some(&truth), &what)
}

/// One of the stages whose pictures are not mirrored.
fn straight(stages: &[Stage], n: u64) -> &Stage {
    let straight: Vec<&Stage> = stages.iter().filter(|stage| !stage.is_mirrored()).collect();
    straight[n as usize % straight.len()]
}

#[test]
fn no_other_scheme_is_read_as_another_one_straight_or_mirrored() {
    let stages = stages();
    let counts = summed(
        &each(5 * SAMPLE, || (), |(), n| scheme(stages, n)),
        "another scheme",
    );
    assert_eq!(counts.wrong, 0);
    assert!(counts.right * 4 > counts.asked);
}

/// A cube of the usual scheme with two centres exchanged.
pub fn centres(stages: &[Stage], n: u64) -> Verdict {
    let mut rng = ChaCha8Rng::seed_from_u64(n << 8);
    let stage = &stages[n as usize % stages.len()];
    let own = Scheme::USUAL.colours();
    let mut centres = own;
    let a = rng.random_range(0..6);
    centres.swap(a, (a + rng.random_range(1..6)) % 6);
    let truth = painted(&colours(&Net::of(&any_cube(&mut rng))), &own, &centres);
    let looks: Vec<Look> = pictures(stage, &mut rng)
        .into_iter()
        .map(|picture| stage.show(&truth, picture, &mut rng))
        .collect();
    let calibrated = rng.random_bool(0.5);
    let reading = read(stage, calibrated, &looks);
    let what = format!(
        "{n} {}, centres {centres:?}, profile {calibrated}",
        stage.name
    );
    verdict(&reading, None, &what)
}

#[test]
fn exchanged_centres_are_not_read_away() {
    let stages = stages();
    let all = each(3 * SAMPLE, || (), |(), n| centres(stages, n));
    assert_eq!(summed(&all, "exchanged centres").wrong, 0);
}

/// A thing in rows and columns: of one colour, of a few, of many, or of those of a cube; a score as the finder might give it.
fn no_face(stage: &Stage, rng: &mut ChaCha8Rng) -> FaceView {
    let any = |rng: &mut ChaCha8Rng| -> [f32; 3] {
        let hue: [f32; 3] = rng.random();
        hue.map(|x| x.powi(2))
    };
    let of_cube = stage.any_face(rng);
    let few = [any(rng), any(rng), any(rng)];
    let kind = rng.random_range(0..5);
    let patch = |rng: &mut ChaCha8Rng| {
        let rgb = match kind {
            0 => few[0],
            1 => few[rng.random_range(0..2)],
            2 => few[rng.random_range(0..3)],
            3 => any(rng),
            _ => {
                let rgb = of_cube[rng.random_range(0..of_cube.len())].rgb;
                [rgb.red, rgb.green, rgb.blue]
            }
        };
        let noise = 1.0 + rng.random_range(-0.08..0.08f32);
        Patch {
            rgb: rgb.map(|x| (x * noise).min(1.0)).into(),
            ..of_cube[0]
        }
    };
    FaceView {
        lattice: [[Point::default(); 4]; 4],
        patches: std::array::from_fn(|_| std::array::from_fn(|_| patch(rng))),
        score: rng.random_range(-3.0..6.0),
        problems: Vec::new(),
    }
}

/// A cube with things beside it that are no face, some of them found in photographs, or, to compare, without any.
pub fn false_faces(stages: &[Stage], n: u64, beside: Option<&[FaceView]>) -> Verdict {
    let mixed_in = |stage: &Stage, looks: &mut Vec<Look>, rng: &mut ChaCha8Rng| {
        let Some(found) = beside else { return };
        for _ in 0..rng.random_range(1..4) {
            let face = match found.choose(rng) {
                Some(found) if rng.random_bool(0.5) => found.clone(),
                _ => no_face(stage, rng),
            };
            put(face, rng.random_bool(0.5), looks, rng);
        }
    };
    with_false(stages, n, mixed_in)
}

/// Puts a face in a look of its own, or beside another.
pub fn put(face: FaceView, alone: bool, looks: &mut Vec<Look>, rng: &mut ChaCha8Rng) {
    match alone {
        true => looks.push(Look {
            faces: vec![face],
            ..Look::default()
        }),
        false => {
            let at = rng.random_range(0..looks.len());
            looks[at].faces.push(face);
        }
    }
}

/// A cube with something mixed into its looks.
pub fn with_false(
    stages: &[Stage],
    n: u64,
    mixed_in: impl Fn(&Stage, &mut Vec<Look>, &mut ChaCha8Rng),
) -> Verdict {
    let mut rng = ChaCha8Rng::seed_from_u64(n << 16);
    let stage = &stages[n as usize % stages.len()];
    let truth = colours(&Net::of(&any_cube(&mut rng)));
    let mut looks: Vec<Look> = pictures(stage, &mut rng)
        .into_iter()
        .map(|picture| stage.show(&truth, picture, &mut rng))
        .collect();
    let calibrated = rng.random_bool(0.5);
    if rng.random_bool(0.3) {
        looks.shuffle(&mut rng);
        looks.truncate(looks.len() - 1);
    }
    mixed_in(stage, &mut looks, &mut rng);
    looks.shuffle(&mut rng);
    let reading = read(stage, calibrated, &looks);
    let what = format!(
        "{n} {}, profile {calibrated}, {} pictures",
        stage.name,
        looks.len()
    );
    verdict(&reading, Some(&truth), &what)
}

#[test]
fn what_is_no_face_makes_no_wrong_reading() {
    let stages = stages();
    let [with, clean] = [Some(&[][..]), None].map(|beside| {
        let all = each(2 * SAMPLE, || (), |(), n| false_faces(stages, n, beside));
        summed(&all, "with false faces or without")
    });
    assert_eq!(with.wrong, 0);
    let share = |counts: Counts| counts.right as f64 / (counts.right + counts.asked) as f64;
    assert!(share(with) > share(clean) - 0.3);
}

/// A cube by the profile of some cube of another scan.
pub fn foreign_profile(stages: &[Stage], n: u64) -> Verdict {
    let mut rng = ChaCha8Rng::seed_from_u64(n << 24);
    let other = stages.choose(&mut rng).expect("there are stages");
    by_profile(stages, n, &other.profile, &mut rng)
}

/// A cube by a profile of which some bytes were changed; none where it is refused. With the sum that it is known by, nearly all are, so
/// that is left out, as of a file made by hand.
pub fn changed_profile(stages: &[Stage], n: u64) -> Option<Verdict> {
    let mut rng = ChaCha8Rng::seed_from_u64(n << 32);
    let stage = &stages[n as usize % stages.len()];
    let mut bytes = serde_json::to_vec(&stage.profile).expect("a profile is JSON");
    for _ in 0..rng.random_range(1..4) {
        let at = rng.random_range(0..bytes.len());
        bytes[at] = match rng.random_bool(0.7) {
            true => *b"0123456789.,-e[]"
                .choose(&mut rng)
                .expect("there are some"),
            false => rng.random(),
        };
    }
    let text = String::from_utf8(bytes).ok()?;
    let profile = Profile::parse(&text, Path::new("changed.json")).ok()?;
    Some(by_profile(stages, n, &profile, &mut rng))
}

fn by_profile(stages: &[Stage], n: u64, profile: &Profile, rng: &mut ChaCha8Rng) -> Verdict {
    let stage = &stages[n as usize % stages.len()];
    let truth = colours(&Net::of(&any_cube(rng)));
    let mut reader = Reader::new(Some(profile));
    for picture in pictures(stage, rng) {
        reader.add(stage.show(&truth, picture, rng));
    }
    let what = format!("{n} {} by the profile {}", stage.name, profile.name);
    verdict(&reader.read(), Some(&truth), &what)
}

#[test]
fn another_cubes_profile_makes_no_wrong_reading() {
    let stages = stages();
    let all = each(2 * SAMPLE, || (), |(), n| foreign_profile(stages, n));
    let counts = summed(&all, "another cube's profile");
    assert_eq!(counts.wrong, 0);
    assert!(counts.right > counts.asked);
}

#[test]
fn a_changed_profile_makes_no_wrong_reading() {
    let stages = stages();
    let all = each(10 * SAMPLE, || (), |(), n| changed_profile(stages, n));
    let read: Vec<Verdict> = all.into_iter().flatten().collect();
    assert!(!read.is_empty());
    assert_eq!(summed(&read, "changed profiles").wrong, 0);
}

#[test]
fn pictures_of_many_cubes_end_in_time_and_unsure() {
    let setups = load_carried();
    let scans: Vec<_> = setups.iter().flat_map(|setup| &setup.scans).collect();
    for count in [8, 96, 240] {
        let mut rng = ChaCha8Rng::seed_from_u64(count);
        let mut reader = Reader::new(None);
        for _ in 0..count {
            let scan = scans[rng.random_range(0..scans.len().min(4))];
            reader.add(scan.looks.choose(&mut rng).expect("it has looks").1.clone());
        }
        let start = std::time::Instant::now();
        let reading = reader.read();
        println!(
            "{count} pictures of four cubes: {:?}, {}",
            start.elapsed(),
            reading.say
        );
        assert_ne!(reading.outcome, Outcome::Read);
        assert_eq!(reading.looks.len(), count as usize);
    }
}

/// Histogram equalisation of each channel, as of the picture's stickers.
fn equalised(mut look: Look) -> Look {
    let all: Vec<Patch> = look
        .faces
        .iter()
        .flat_map(|f| f.patches.as_flattened())
        .copied()
        .collect();
    let rank = |x: f32, channel: fn(&Patch) -> f32| {
        let below = all.iter().filter(|p| channel(p) <= x).count();
        (below as f32 / all.len() as f32).powf(2.2)
    };
    for patch in look
        .faces
        .iter_mut()
        .flat_map(|f| f.patches.as_flattened_mut())
    {
        let rgb = patch.rgb;
        patch.rgb.red = rank(rgb.red, |p| p.rgb.red);
        patch.rgb.green = rank(rgb.green, |p| p.rgb.green);
        patch.rgb.blue = rank(rgb.blue, |p| p.rgb.blue);
    }
    look
}

#[test]
fn equalised_pictures_are_not_read_wrong() {
    let setups = load_carried();
    let mut all = Vec::new();
    for setup in setups {
        for scan in &setup.scans {
            let truth = scan.legal.then(|| colours(&scan.state));
            for (corners, both) in [(false, false), (true, false), (true, true)] {
                let mut reader = Reader::new(setup.profile.as_ref().filter(|_| both));
                scan.shown(corners)
                    .for_each(|look| reader.add(equalised(look)));
                if both {
                    scan.shown(false)
                        .for_each(|look| reader.add(equalised(look)));
                }
                all.push(verdict(&reader.read(), truth.as_ref(), &scan.name));
            }
        }
    }
    assert_eq!(summed(&all, "equalised").wrong, 0);
}

#[test]
fn a_common_scheme_that_a_corner_shows_is_told() {
    let stages = stages();
    let mut rng = ChaCha8Rng::seed_from_u64(3);
    let stage = stages
        .iter()
        .find(|stage| stage.has_corners())
        .expect("a stage with corners");
    let blue_below = Scheme::BLUE_BELOW;
    let own = blue_below.colours();
    let truth = painted(&colours(&Net::of(&any_cube(&mut rng))), &own, &own);
    let all = [stage.pictures(false), stage.pictures(true)].concat();
    let looks: Vec<Look> = all
        .into_iter()
        .map(|p| stage.show(&truth, p, &mut rng))
        .collect();
    let reading = read(stage, false, &looks);
    assert_eq!(reading.outcome, Outcome::Read, "{}", reading.say);
    assert_eq!(reading.scheme, blue_below);
    assert!(
        reading.say.contains("blue opposite white"),
        "{}",
        reading.say
    );
    let net = reading.net.expect("it is read");
    assert_eq!(net.face(Face::U)[1][1], Colour::White);
    assert_eq!(net.face(Face::D)[1][1], Colour::Blue);
    // Face by face it is not taken for granted.
    let faces: Vec<Look> = looks
        .into_iter()
        .filter(|look| look.faces.len() == 1)
        .collect();
    let reading = read(stage, false, &faces);
    assert!(
        reading.outcome != Outcome::Read || reading.net == Some(net),
        "{}",
        reading.say
    );
}
