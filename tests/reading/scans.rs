//! A folder of scans with truth, as looks made from the true outlines.

use crate::harness::outlines::area;
use crate::harness::scan_folder::{carried, finish};
use crate::harness::shots::{Face, face};
use imageproc::filter::{filter_clamped, gaussian_blur_f32};
use imageproc::kernel::Kernel;
use pairsight::colour::Profile;
use pairsight::cube::Net;
use pairsight::live::Gathering;
use pairsight::read::{Reader, Reading};
use pairsight::sight::{FaceView, Finder, Joint, Look, Point, Side, sample};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::Value;
use std::path::Path;
use std::sync::LazyLock;

/// One scan: pictures of a cube in one state.
pub struct Scan {
    pub name: String,
    pub state: Net,
    pub legal: bool,
    #[allow(dead_code, reason = "the laboratory counts by it")]
    pub is_mirrored: bool,
    /// What the truth tells of the cube, the light and the pictures: a name and a value each.
    pub traits: Vec<(&'static str, String)>,
    /// File name and what it shows.
    pub looks: Vec<(String, Look)>,
    /// The faces that are truly in sight, by picture.
    #[allow(dead_code, reason = "the laboratory judges by them")]
    pub truths: Vec<Vec<Face>>,
}

impl Scan {
    /// The looks at corners, or those at single faces.
    pub fn shown(&self, corners: bool) -> impl Iterator<Item = Look> + Clone {
        let wanted = self
            .looks
            .iter()
            .filter(move |(file, _)| is_corner(file) == corners);
        wanted.map(|(_, look)| look.clone())
    }
}

/// Whether a file of a scan shows a corner of the cube; the others show a face.
pub fn is_corner(file: &str) -> bool {
    file.starts_with('c')
}

/// One cube in one room, calibrated as `pairsight calibrate` does by a folder of photographs.
pub struct Setup {
    /// None where calibrating gave up.
    pub profile: Option<Profile>,
    pub scans: Vec<Scan>,
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_default()
}

/// A way from picture to look.
pub type Seeing<'a> = &'a mut dyn FnMut(&image::RgbImage, &Value) -> Look;

/// Reads all setups, each picture seen by `finder`, those of scans spoilt.
pub fn load(root: &Path, spoil: Option<Spoil>, finder: Seeing) -> Vec<Setup> {
    let truth = std::fs::read_to_string(root.join("truth.json")).unwrap();
    let truth: Value = serde_json::from_str(&truth).unwrap();
    list(&truth["setups"])
        .iter()
        .map(|s| setup(root, s, spoil, finder))
        .collect()
}

fn open(path: &Path) -> image::RgbImage {
    image::open(path)
        .unwrap_or_else(|e| panic!("{}: {e}", path.display()))
        .to_rgb8()
}

/// Share of the strongest lamp's light from which another lamp of another colour counts.
const SECOND_LAMP: f64 = 0.3;

/// Wear, 0 to 1, from which a cube counts as worn.
const WORN: f64 = 0.5;

fn traits(setup: &Value, scan: &Value) -> Vec<(&'static str, String)> {
    let mut traits = vec![("difficulty", text(&scan["difficulty"]).to_owned())];
    let conditions = list(&scan["conditions"]).iter();
    traits.extend(conditions.map(|c| ("condition", text(c).to_owned())));
    if list(&scan["conditions"]).is_empty() {
        traits.push(("condition", "none".into()));
    }
    traits.push(("finish", finish(setup)));
    for name in ["shades", "gloss"] {
        traits.push((name, text(&setup[name]).to_owned()));
    }
    if setup["wear"].as_f64().is_some_and(|wear| wear >= WORN) {
        traits.push(("wear", "worn".into()));
    }
    let lamps = list(&setup["lamps"]).iter();
    let mut strong: Vec<&str> = lamps
        .filter(|lamp| lamp["weight"].as_f64().is_some_and(|w| w >= SECOND_LAMP))
        .map(|lamp| text(&lamp["spectrum"]))
        .collect();
    strong.dedup();
    traits.extend(strong.first().map(|main| ("main lamp", (*main).to_owned())));
    if strong.len() > 1 {
        traits.push(("main lamp", "two of unlike colour".into()));
    }
    traits
}

fn setup(root: &Path, setup: &Value, spoil: Option<Spoil>, finder: Seeing) -> Setup {
    let folder = root.join(text(&setup["setup"]));
    let mut gathered = Gathering::default();
    for (i, picture) in list(&setup["calibration"]).iter().enumerate() {
        let image = open(&folder.join("calibration").join(text(&picture["file"])));
        gathered.see_file(i as f64, &finder(&image, picture));
    }
    gathered.end();
    let profile = gathered
        .profile("scan")
        .or_else(|e| {
            gathered
                .partial("scan")
                .map(|(profile, _)| profile)
                .ok_or(e)
        })
        .map_err(|e| eprintln!("no profile of {}: {e}", folder.display()))
        .ok();
    let scans = list(&setup["scans"]).iter().map(|scan| {
        let folder = folder.join(text(&scan["scan"]));
        let looks = list(&scan["images"]).iter().map(|picture| {
            let mut image = open(&folder.join(text(&picture["file"])));
            if let Some(spoil) = spoil {
                image = spoil.picture(&image, picture);
            }
            (text(&picture["file"]).to_owned(), finder(&image, picture))
        });
        Scan {
            name: format!("{}/{}", text(&setup["setup"]), text(&scan["scan"])),
            state: serde_json::from_value(scan["state"].clone()).unwrap(),
            legal: scan["legal"] == true,
            is_mirrored: scan["mirrored"] == true,
            traits: traits(setup, scan),
            looks: looks.collect(),
            truths: list(&scan["images"])
                .iter()
                .map(|picture| list(&picture["faces"]).iter().map(face).collect())
                .collect(),
        }
    });
    let scans = scans.collect();
    Setup { profile, scans }
}

/// What is to be done with the pictures of a folder of scans.
#[derive(Clone, Copy, Debug, Default)]
pub struct Taking {
    /// Faces are as the finder sees them, and not the true ones.
    pub finds: bool,
    /// Each picture is balanced anew (see [`balanced`]).
    pub balances: bool,
    /// What was wrong while the scans were taken.
    pub spoil: Option<Spoil>,
}

/// What spoils a picture, as a share of the side of a sticker.
#[derive(Clone, Copy, Debug)]
pub enum Spoil {
    /// Out of focus: the standard deviation of a Gaussian.
    #[allow(dead_code, reason = "the laboratory spoils pictures")]
    Blurred(f32),
    /// Moved sideways while the shutter was open, by so much.
    #[allow(dead_code, reason = "the laboratory spoils pictures")]
    Smeared(f32),
}

impl Spoil {
    /// The picture, spoilt by a share of the largest sticker that the truth tells of it.
    fn picture(self, image: &image::RgbImage, truth: &Value) -> image::RgbImage {
        let faces = list(&truth["faces"]).iter().map(face);
        let largest = faces.map(|face| area(&face.outline)).fold(0.0, f64::max);
        let sticker = largest.sqrt() as f32 / 3.0;
        match self {
            _ if sticker == 0.0 => image.clone(),
            Spoil::Blurred(share) => gaussian_blur_f32(image, share * sticker),
            Spoil::Smeared(share) => {
                let pixels = ((share * sticker) as usize).max(1);
                let even = vec![1.0 / pixels as f32; pixels];
                filter_clamped(image, Kernel::new(&even, pixels as u32, 1))
            }
        }
    }
}

/// The scans that the project carries, from true outlines.
pub fn load_carried() -> &'static [Setup] {
    static CARRIED: LazyLock<Vec<Setup>> =
        LazyLock::new(|| load_taken(&carried(), Taking::default()));
    &CARRIED
}

/// The scans of a folder.
pub fn load_taken(folder: &Path, taking: Taking) -> Vec<Setup> {
    let mut finder = Finder::new();
    let mut rng = ChaCha8Rng::seed_from_u64(5);
    load(folder, taking.spoil, &mut |image, picture| {
        let look = match taking.finds {
            true => finder.look(image),
            false => true_look(image, picture),
        };
        match taking.balances {
            true => balanced(look, &mut rng),
            false => look,
        }
    })
}

/// Share of a picture's cast and of its brightness, against a middling grey, that a webcam's automatics take away when a cube is shown.
const BALANCE: f32 = 0.3;
const EXPOSURE: f32 = 0.4;

/// The look as a webcam gives it that sets white balance and exposure anew for each picture, by what it shows: a face of one colour
/// comes out paler, a dark one brighter.
pub fn balanced(mut look: Look, rng: &mut ChaCha8Rng) -> Look {
    let patches = || {
        look.faces
            .iter()
            .flat_map(|face| face.patches.as_flattened())
    };
    let count = patches().count().max(1) as f32;
    let sum = patches().fold([0.0; 3], |sum, p| {
        [
            sum[0] + p.rgb.red,
            sum[1] + p.rgb.green,
            sum[2] + p.rgb.blue,
        ]
    });
    let mean = sum.map(|x| (x / count + 0.02).ln());
    let level = mean.iter().sum::<f32>() / 3.0;
    let exposure = -EXPOSURE * (level - 0.3f32.ln()) + rng.random_range(-0.15..0.15);
    let gains = mean.map(|x| {
        let balance = -BALANCE * (x - level) + rng.random_range(-0.05..0.05f32);
        (balance + exposure).exp()
    });
    for patch in look
        .faces
        .iter_mut()
        .flat_map(|face| face.patches.as_flattened_mut())
    {
        let rgb = [patch.rgb.red, patch.rgb.green, patch.rgb.blue];
        let lit = [0, 1, 2].map(|c| (rgb[c] * gains[c]).min(1.0));
        if lit.contains(&1.0) {
            patch.clipped = 1.0;
        }
        patch.rgb = lit.into();
    }
    look
}

/// What looks in one room show, with the room's profile or without, where it may be known whether they are mirrored.
pub fn read(
    setup: &Setup,
    calibrated: bool,
    mirrored: Option<bool>,
    looks: impl Iterator<Item = Look>,
) -> Reading {
    let profile = setup.profile.as_ref().filter(|_| calibrated);
    let mut reader = Reader::new(profile);
    if let Some(mirrored) = mirrored {
        reader = reader.mirrored(mirrored);
    }
    looks.for_each(|look| reader.add(look));
    reader.read()
}

/// What a perfect finder sees in a picture.
pub fn true_look(image: &image::RgbImage, picture: &Value) -> Look {
    let main = list(&picture["faces"]).iter().filter(|f| f["main"] == true);
    let faces: Vec<FaceView> = main.map(|face| true_face(image, face)).collect();
    let mut joints = Vec::new();
    for i in 0..faces.len() {
        for j in 0..i {
            joints.extend(joint(&faces, j, i));
        }
    }
    Look {
        size: image.dimensions(),
        faces,
        joints,
        frame: None,
    }
}

fn true_face(image: &image::RgbImage, face: &Value) -> FaceView {
    let point = |i: usize| Point {
        x: face["lattice"][i][0].as_f64().unwrap() as f32 + 0.5,
        y: face["lattice"][i][1].as_f64().unwrap() as f32 + 0.5,
    };
    let (a, b, d) = (point(0), point(3), point(12));
    let clockwise = (b.x - a.x) * (d.y - a.y) - (b.y - a.y) * (d.x - a.x) > 0.0;
    let lattice = std::array::from_fn(|r| {
        std::array::from_fn(|c| point(if clockwise { 4 * r + c } else { 4 * c + r }))
    });
    FaceView {
        lattice,
        patches: sample(image, &lattice),
        score: 9.0,
        problems: Vec::new(),
    }
}

/// The sides of two faces that run along the same edge, in opposite directions.
fn joint(faces: &[FaceView], a: usize, b: usize) -> Option<Joint> {
    let sides = [Side::Top, Side::Right, Side::Bottom, Side::Left];
    let near = |p: Point, q: Point| (p.x - q.x).hypot(p.y - q.y) < 3.0;
    let (p, q) = (faces[a].outline(), faces[b].outline());
    (0..16).map(|k| (k / 4, k % 4)).find_map(|(i, j)| {
        let touch = near(p[i], q[(j + 1) % 4]) && near(p[(i + 1) % 4], q[j]);
        touch.then(|| Joint {
            a: (a, sides[i]),
            b: (b, sides[j]),
        })
    })
}
