//! Cubes that were never pictured, shown by stickers that were. Every sticker is a patch measured on one of its colour on
//! the same face, each taken once; where that has no more of the colour, one from elsewhere in the scan, relit.

use super::scans::{Scan, Setup, Taking, is_corner, load_carried, load_taken};
use pairsight::colour::{LightEstimate, Model, Observation, Profile};
use pairsight::cube::{Colour, Corner, Cube, Face, Held, Hold, Net, parse_moves};
use pairsight::read::{Judge, Known, Work, explain};
use pairsight::sight::{Look, Patch};
use rand::{Rng, seq::IndexedRandom, seq::SliceRandom};
use rand_chacha::ChaCha8Rng;
use std::path::Path;
use std::sync::LazyLock;

/// Colours (as indices) of the net, face by face and row by row.
pub type Colours = [usize; 54];

/// One scan: its lamp, camera and cube, and its pictures to put other stickers into.
#[derive(Clone)]
pub struct Stage {
    pub name: String,
    pub profile: Profile,
    mirrored: bool,
    pictures: Vec<Picture>,
}

/// One picture of a scan.
#[derive(Clone)]
struct Picture {
    is_corner: bool,
    look: Look,
    faces: Vec<StagedFace>,
}

/// A face of a picture.
#[derive(Clone)]
struct StagedFace {
    /// The cell of the net that each place of the picture shows.
    cells: [usize; 9],
    /// The light's gains against the profile's.
    gains: [f64; 3],
    /// What was measured here, by colour, the centre apart.
    patches: [Vec<Patch>; 6],
}

/// The stages of the scans that the project carries, from true outlines.
pub fn stages() -> &'static [Stage] {
    static STAGES: LazyLock<Vec<Stage>> = LazyLock::new(|| staged(load_carried()));
    &STAGES
}

/// Those of a folder of scans.
#[allow(dead_code, reason = "the laboratory takes any")]
pub fn stages_of(folder: &Path, taking: Taking) -> Vec<Stage> {
    staged(&load_taken(folder, taking))
}

fn staged(setups: &[Setup]) -> Vec<Stage> {
    let of_setup = |setup: &Setup| -> Vec<Stage> {
        setup.scans.iter().filter_map(|s| stage(setup, s)).collect()
    };
    setups.iter().flat_map(of_setup).collect()
}

fn stage(setup: &Setup, scan: &Scan) -> Option<Stage> {
    let profile = setup.profile.as_ref()?;
    let model = Model::from_profile(profile);
    let looks: Vec<Look> = scan.looks.iter().map(|(_, look)| look.clone()).collect();
    let judge = Judge {
        model: model.clone(),
        adapts: false,
        known: Known::default(),
    };
    let best = explain(&judge, &looks, &Work::new())
        .explanations
        .into_iter()
        .next()?;
    if best.state.colours() != colours(&scan.state) {
        return None;
    }
    let labelled = |look: usize, face: usize| -> Vec<Observation> {
        let patches = looks[look].faces[face].patches.as_flattened();
        let labels = best.labels[look][face].iter().flatten();
        let stickers = patches.iter().zip(labels);
        stickers
            .map(|(&patch, &colour)| Observation {
                patch,
                colour: Colour::ALL[colour],
            })
            .collect()
    };
    let faces = |look: usize| 0..looks[look].faces.len();
    let all: Vec<Observation> = (0..looks.len())
        .flat_map(|i| faces(i).flat_map(move |j| labelled(i, j)))
        .collect();
    let room = model
        .fit_room(&all, &LightEstimate::drift())
        .for_another_face();
    let staged = |i: usize, j: usize| {
        let stickers = labelled(i, j);
        let mut patches: [Vec<Patch>; 6] = Default::default();
        for (_, sticker) in stickers.iter().enumerate().filter(|(place, _)| *place != 4) {
            patches[sticker.colour.index()].push(sticker.patch);
        }
        let face = best.association.assigned[i][j].face.index();
        StagedFace {
            cells: cells(face, best.rolls[i][j], best.association.frame.mirrored),
            gains: model.fit(&stickers, &room).gains(),
            patches,
        }
    };
    Some(Stage {
        name: scan.name.clone(),
        profile: profile.clone(),
        mirrored: best.association.frame.mirrored,
        pictures: (0..looks.len())
            .map(|i| Picture {
                is_corner: is_corner(&scan.looks[i].0),
                look: looks[i].clone(),
                faces: faces(i).map(|j| staged(i, j)).collect(),
            })
            .collect(),
    })
}

/// The colours of a net.
pub fn colours(net: &Net) -> Colours {
    let faces = net.faces();
    let all: Vec<usize> = faces
        .as_flattened()
        .as_flattened()
        .iter()
        .map(|c| c.index())
        .collect();
    std::array::from_fn(|cell| all[cell])
}

/// Turns a face clockwise by quarters.
fn rolled(face: [usize; 9], quarters: u8) -> [usize; 9] {
    (0..quarters % 4).fold(face, |from, _| {
        std::array::from_fn(|i| from[(2 - i % 3) * 3 + i / 3])
    })
}

/// The net's cells in the order in which a picture shows them, when `roll` quarter turns bring the picture to the net.
fn cells(face: usize, roll: u8, mirrored: bool) -> [usize; 9] {
    let cells = rolled(std::array::from_fn(|i| 9 * face + i), 4 - roll % 4);
    match mirrored {
        true => std::array::from_fn(|i| cells[i % 3 * 3 + i / 3]),
        false => cells,
    }
}

impl Stage {
    /// The pictures of single faces, or those of corners, by number.
    pub fn pictures(&self, corners: bool) -> Vec<usize> {
        let wanted = |i: &usize| self.pictures[*i].is_corner == corners;
        (0..self.pictures.len()).filter(wanted).collect()
    }

    /// The faces of the net that a picture shows.
    fn faces(&self, picture: usize) -> impl Iterator<Item = Face> {
        let faces = self.pictures[picture].faces.iter();
        faces.map(|face| Face::ALL[face.cells[4] / 9])
    }

    /// Whether a picture shows all faces of a corner, so that any corner can be shown as it does.
    pub fn has_corners(&self) -> bool {
        self.whole_corners().next().is_some()
    }

    fn whole_corners(&self) -> impl Iterator<Item = usize> {
        (0..self.pictures.len()).filter(|&picture| self.faces(picture).count() == 3)
    }

    /// A corner of a cube as any picture of a corner would show it, in any of three ways up; none without [`Stage::has_corners`].
    pub fn show_corner(&self, cube: &Cube, corner: Corner, rng: &mut ChaCha8Rng) -> Option<Look> {
        let pictures: Vec<usize> = self.whole_corners().collect();
        let picture = *pictures.choose(rng)?;
        let shown: Vec<Face> = self.faces(picture).collect();
        let turned_there = |hold: &Hold| {
            let in_hand = corner.faces().map(|home| hold.face_in_hand(home));
            in_hand.iter().all(|face| shown.contains(face))
        };
        let holds: Vec<Hold> = Hold::all().filter(turned_there).collect();
        let hold = *holds.choose(rng)?;
        let held = Held { cube: *cube, hold };
        Some(self.show(&colours(&Net::of_held(&held)), picture, rng))
    }

    /// A cube as one picture of this stage would show it, single faces any way up. Centres that are as in the picture stay.
    pub fn show(&self, cube: &Colours, picture: usize, rng: &mut ChaCha8Rng) -> Look {
        self.show_told(cube, picture, rng).0
    }

    /// The same, with the colours of each face's stickers in picture order.
    pub fn show_told(
        &self,
        cube: &Colours,
        picture: usize,
        rng: &mut ChaCha8Rng,
    ) -> (Look, Vec<[usize; 9]>) {
        let mut truth = Vec::new();
        let Picture { look, faces, .. } = &self.pictures[picture];
        let mut look = look.clone();
        let alone = faces.len() == 1;
        for (face, staged) in look.faces.iter_mut().zip(faces) {
            let roll = if alone { rng.random_range(0..4) } else { 0 };
            let cells = rolled(staged.cells, roll);
            let mut left = staged.patches.clone();
            left.iter_mut().for_each(|patches| patches.shuffle(rng));
            truth.push(cells.map(|cell| cube[cell]));
            let centre_stays = cube[cells[4]] == cells[4] / 9;
            for (place, cell) in cells
                .into_iter()
                .enumerate()
                .filter(|(place, _)| *place != 4 || !centre_stays)
            {
                let own = left[cube[cell]].pop();
                face.patches[place / 3][place % 3] =
                    own.unwrap_or_else(|| self.borrowed(staged, cube[cell], rng));
            }
        }
        (look, truth)
    }

    /// Whether its pictures are mirrored.
    pub fn is_mirrored(&self) -> bool {
        self.mirrored
    }

    /// The stickers of any face of any picture.
    pub fn any_face(&self, rng: &mut ChaCha8Rng) -> Vec<Patch> {
        let picture = self.pictures.choose(rng).expect("a scan has pictures");
        let face = picture
            .look
            .faces
            .choose(rng)
            .or(self.pictures[0].look.faces.first());
        face.map(|face| face.patches.as_flattened().to_vec())
            .unwrap_or_default()
    }

    /// A patch of a colour from any picture, under the light of a face.
    fn borrowed(&self, face: &StagedFace, colour: usize, rng: &mut ChaCha8Rng) -> Patch {
        let faces = self.pictures.iter().flat_map(|picture| &picture.faces);
        let all: Vec<(&StagedFace, &Patch)> = faces
            .flat_map(|from| from.patches[colour].iter().map(move |patch| (from, patch)))
            .collect();
        let (from, patch) = all.choose(rng).expect("a scan shows every colour");
        relit(patch, &from.gains, &face.gains)
    }
}

/// A patch as it would be under other gains.
fn relit(patch: &Patch, from: &[f64; 3], to: &[f64; 3]) -> Patch {
    let mut lit = *patch;
    let [red, green, blue] = [0, 1, 2].map(|c| (to[c] / from[c]) as f32);
    lit.rgb.red = (lit.rgb.red * red).min(1.0);
    lit.rgb.green = (lit.rgb.green * green).min(1.0);
    lit.rgb.blue = (lit.rgb.blue * blue).min(1.0);
    if [lit.rgb.red, lit.rgb.green, lit.rgb.blue].contains(&1.0) {
        lit.clipped = 1.0;
    }
    lit
}

/// Turns that take a pair out of its slot or put one in, and keep the cross that is down.
const LIFTS: [&str; 8] = [
    "R U R'", "R U' R'", "F' U F", "F' U2 F", "L' U L", "L U2 L'", "B U' B'", "B' U B",
];

/// Any cube or, every other time, one in the middle of a solve.
pub fn any_cube(rng: &mut ChaCha8Rng) -> Cube {
    match rng.random_bool(0.5) {
        true => Cube::random(rng.random()),
        false => mid_solve(rng),
    }
}

/// A cube on a yellow cross with some pairs out.
pub fn mid_solve(rng: &mut ChaCha8Rng) -> Cube {
    (0..rng.random_range(2..7)).fold(Cube::solved(), |cube, _| {
        let lift = LIFTS.choose(rng).expect("there are lifts");
        let top = ["", "U", "U'", "U2"].choose(rng).expect("there are turns");
        cube.after(&parse_moves(&format!("{lift} {top}")).expect("they are moves"))
    })
}
