//! The light on each face, fitted from stickers whose colours are supposed, and the evidence that results.

use super::evidence::{LookEvidence, Table, rolled, transposed};
use super::places::Arrangement;
use super::suppose::Supposition;
use crate::colour::{Model, Observation, Relight};
use crate::cube::Colour;
use crate::sight::{Look, Patch};

/// The colours that a face's nine stickers are taken to have, in picture order; `None` where nothing is supposed.
pub type Labels = [Option<usize>; 9];

/// The light of the room and, by look and face, of each face.
#[derive(Clone, Debug)]
pub struct Lights {
    room: Relight,
    faces: Vec<Vec<Relight>>,
    /// How expected such lights are (natural log).
    pub expectedness: f64,
}

/// A face's stickers row by row.
pub fn patches(look: &Look, face: usize) -> [Patch; 9] {
    let rows = &look.faces[face].patches;
    std::array::from_fn(|i| rows[i / 3][i % 3])
}

/// The centres only, as supposed.
pub fn centre_labels(supposition: &Supposition) -> Vec<Vec<Labels>> {
    let label = |face: usize| std::array::from_fn(|i| (i == 4).then_some(face));
    supposition
        .placed
        .iter()
        .map(|look| look.iter().map(|p| label(p.face.index())).collect())
        .collect()
}

/// The colours that a state shows on every seen face, each at the roll that suits the evidence best.
pub fn state_labels(
    state: &Arrangement,
    supposition: &Supposition,
    evidence: &[LookEvidence],
) -> Vec<Vec<Labels>> {
    let colours = state.colours();
    let of_look = |(placings, look): (&Vec<_>, &LookEvidence)| {
        let label = |(placing, table): (&super::Placing, &Table)| {
            let face: [usize; 9] = std::array::from_fn(|i| colours[9 * placing.face.index() + i]);
            let shown = |roll: u8| {
                // The roll leads from the picture to the net; its inverse leads back.
                let face = rolled(&face, 4 - roll);
                if supposition.mirrored { transposed(&face) } else { face }
            };
            let score = |face: &[usize; 9]| (0..9).map(|i| table[i][face[i]]).sum::<f32>();
            let best = match placing.roll {
                Some(roll) => shown(roll),
                None => (1..4).map(shown).fold(shown(0), |best, other| {
                    if score(&other) > score(&best) { other } else { best }
                }),
            };
            best.map(Some)
        };
        placings.iter().zip(&look.faces).map(label).collect()
    };
    supposition.placed.iter().zip(evidence).map(of_look).collect()
}

impl Lights {
    /// Nothing known but that lights drift.
    pub fn unknown(looks: &[Look]) -> Lights {
        let room = Relight::drift();
        let face = room.for_another_face();
        let faces = looks.iter().map(|look| vec![face; look.faces.len()]).collect();
        Lights { room, faces, expectedness: 0.0 }
    }

    /// The lights that labelled stickers show.
    pub fn fit(model: &Model, looks: &[Look], labels: &[Vec<Labels>]) -> Lights {
        let observed: Vec<Vec<Vec<Observation>>> = looks
            .iter()
            .zip(labels)
            .map(|(look, labels)| {
                labels.iter().enumerate().map(|(i, labels)| observations(look, i, labels)).collect()
            })
            .collect();
        let all: Vec<Observation> = observed.iter().flatten().flatten().copied().collect();
        let drift = Relight::drift();
        let room = model.fit_room(&all, &drift);
        let prior = room.for_another_face();
        let mut expectedness = room.expectedness(&drift);
        let faces = observed
            .iter()
            .map(|look| {
                look.iter()
                    .map(|face| {
                        let light = model.fit(face, &prior);
                        expectedness += light.expectedness(&prior);
                        light
                    })
                    .collect()
            })
            .collect();
        Lights { room, faces, expectedness }
    }

    /// The room's light.
    pub fn room(&self) -> &Relight {
        &self.room
    }

    /// What the looks say under these lights.
    pub fn evidence(&self, model: &Model, looks: &[Look]) -> Vec<LookEvidence> {
        looks
            .iter()
            .zip(&self.faces)
            .map(|(look, lights)| LookEvidence {
                faces: lights
                    .iter()
                    .enumerate()
                    .map(|(i, light)| {
                        patches(look, i).map(|p| model.log_likelihoods(&p, light).map(|l| l as f32))
                    })
                    .collect(),
                joints: look.joints.clone(),
            })
            .collect()
    }

    /// The model's colours moved to what labelled stickers show under these lights.
    pub fn adapt(&self, model: &Model, looks: &[Look], labels: &[Vec<Labels>]) -> Model {
        let mut faces = Vec::new();
        for ((look, lights), labels) in looks.iter().zip(&self.faces).zip(labels) {
            for (i, (light, labels)) in lights.iter().zip(labels).enumerate() {
                faces.push((*light, observations(look, i, labels)));
            }
        }
        model.adapt(&faces)
    }
}

fn observations(look: &Look, face: usize, labels: &Labels) -> Vec<Observation> {
    let patches = patches(look, face);
    let known = patches.iter().zip(labels);
    known
        .filter_map(|(&patch, &label)| {
            label.map(|c| Observation { patch, colour: Colour::ALL[c], weight: 1.0 })
        })
        .collect()
}
