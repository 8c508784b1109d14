//! The light on each face, fitted from stickers whose colours are supposed, and the evidence that results.

use super::association::Association;
use super::evidence::{Assignment, LookEvidence, STICKER_CAP, Table, rolled, transposed};
use super::frame::Frame;
use super::places::Arrangement;
use crate::colour::{LightEstimate, Model, Observation};
use crate::cube::Colour;
use crate::sight::{Look, Patch};

/// The roles of the colours that a face's nine stickers are taken to have, in picture order; `None` where nothing is supposed.
pub type Labels = [Option<usize>; 9];

/// The light of the room and, by look and face, of each face.
#[derive(Clone, Debug)]
pub struct Lights {
    room: LightEstimate,
    faces: Vec<Vec<LightEstimate>>,
    /// How expected such lights are (natural log).
    pub log_occam_factor: f64,
}

/// A face's stickers row by row.
pub fn patches(look: &Look, face: usize) -> [Patch; 9] {
    let rows = &look.faces[face].patches;
    std::array::from_fn(|i| rows[i / 3][i % 3])
}

/// The centres only, as supposed.
pub fn centre_labels(association: &Association) -> Vec<Vec<Labels>> {
    let label = |face: usize| std::array::from_fn(|i| (i == 4).then_some(face));
    association
        .assigned
        .iter()
        .map(|look| look.iter().map(|p| label(p.face.index())).collect())
        .collect()
}

/// The roll (quarter turns clockwise from picture to net) of every seen face that suits a state best.
pub fn best_rolls(
    state: &Arrangement,
    association: &Association,
    evidence: &[LookEvidence],
) -> Vec<Vec<u8>> {
    let colours = state.colours();
    let of_face = |(assignment, table): (&Assignment, &Table)| {
        let score = |roll: u8| -> f32 {
            let shown = shown(
                &colours,
                assignment.face.index(),
                roll,
                association.frame.mirrored,
            );
            table.iter().zip(shown).map(|(weights, c)| weights[c]).sum()
        };
        let better = |a: u8, b: u8| if score(b) > score(a) { b } else { a };
        assignment.roll.unwrap_or_else(|| (1..4).fold(0, better))
    };
    let of_look = |(assignments, look): (&Vec<Assignment>, &LookEvidence)| {
        assignments.iter().zip(&look.faces).map(of_face).collect()
    };
    association
        .assigned
        .iter()
        .zip(evidence)
        .map(of_look)
        .collect()
}

/// The roles of the colours that a state shows on every seen face at these rolls.
pub fn state_labels(
    state: &Arrangement,
    association: &Association,
    rolls: &[Vec<u8>],
) -> Vec<Vec<Labels>> {
    let colours = state.colours();
    let of_look = |(assignments, rolls): (&Vec<Assignment>, &Vec<u8>)| {
        let faces = assignments.iter().zip(rolls);
        faces
            .map(|(p, &roll)| {
                shown(&colours, p.face.index(), roll, association.frame.mirrored).map(Some)
            })
            .collect()
    };
    association
        .assigned
        .iter()
        .zip(rolls)
        .map(of_look)
        .collect()
}

/// A face of a net as a picture shows it.
fn shown(colours: &[usize; 54], face: usize, roll: u8, mirrored: bool) -> [usize; 9] {
    // The roll leads from the picture to the net; its inverse leads back.
    let face = rolled(&std::array::from_fn(|i| colours[9 * face + i]), 4 - roll);
    if mirrored { transposed(&face) } else { face }
}

impl Lights {
    /// Nothing known but that lights drift.
    pub fn unknown(looks: &[Look]) -> Lights {
        let room = LightEstimate::drift();
        let face = room.for_another_face();
        let faces = looks
            .iter()
            .map(|look| vec![face; look.faces.len()])
            .collect();
        Lights {
            room,
            faces,
            log_occam_factor: 0.0,
        }
    }

    /// The lights that labelled stickers show.
    pub fn fit(model: &Model, looks: &[Look], labels: &[Vec<Labels>], frame: &Frame) -> Lights {
        let observed: Vec<Vec<Vec<Observation>>> = looks
            .iter()
            .zip(labels)
            .map(|(look, labels)| {
                labels
                    .iter()
                    .enumerate()
                    .map(|(i, labels)| observations(look, i, labels, frame))
                    .collect()
            })
            .collect();
        let all: Vec<Observation> = observed.iter().flatten().flatten().copied().collect();
        let drift = LightEstimate::drift();
        let room = model.fit_room(&all, &drift);
        let prior = room.for_another_face();
        let mut log_occam_factor = room.log_occam_factor(&drift);
        let faces = observed
            .iter()
            .map(|look| {
                look.iter()
                    .map(|face| {
                        let light = model.fit(face, &prior);
                        log_occam_factor += light.log_occam_factor(&prior);
                        light
                    })
                    .collect()
            })
            .collect();
        Lights {
            room,
            faces,
            log_occam_factor,
        }
    }

    /// The same room, with nothing known of the single faces.
    pub fn of_room_only(&self) -> Lights {
        let face = self.room.for_another_face();
        Lights {
            faces: self
                .faces
                .iter()
                .map(|look| vec![face; look.len()])
                .collect(),
            ..self.clone()
        }
    }

    /// What one look says at the lights of its own that its labelled stickers show in this room, and how expected those are
    /// (natural log).
    pub fn of_look(
        &self,
        model: &Model,
        look: &Look,
        labels: &[Labels],
        frame: &Frame,
    ) -> (LookEvidence, f64) {
        let prior = self.room.for_another_face();
        let faces = labels.iter().enumerate();
        let faces: Vec<LightEstimate> = faces
            .map(|(i, labels)| model.fit(&observations(look, i, labels, frame), &prior))
            .collect();
        let log_occam_factor = faces
            .iter()
            .map(|light| light.log_occam_factor(&prior))
            .sum();
        let lights = Lights {
            faces: vec![faces],
            ..self.clone()
        };
        let evidence = lights.evidence(model, std::slice::from_ref(look), frame);
        (
            evidence.into_iter().next().unwrap_or_default(),
            log_occam_factor,
        )
    }

    /// The room's light.
    pub fn room(&self) -> &LightEstimate {
        &self.room
    }

    /// Log-likelihood (natural) of the labelled centres alone.
    pub fn centres(
        &self,
        model: &Model,
        looks: &[Look],
        labels: &[Vec<Labels>],
        frame: &Frame,
    ) -> f64 {
        let mut sum = 0.0;
        for ((look, lights), labels) in looks.iter().zip(&self.faces).zip(labels) {
            for ((face, light), labels) in look.faces.iter().zip(lights).zip(labels) {
                if let Some(role) = labels[4] {
                    let colour = frame.shows(role, true);
                    let weights = model.log_likelihoods(&face.patches[1][1], light);
                    let most = weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                    sum += weights[colour].max(most - f64::from(STICKER_CAP));
                }
            }
        }
        sum
    }

    /// What the looks say under these lights, by the roles of colours.
    pub fn evidence(&self, model: &Model, looks: &[Look], frame: &Frame) -> Vec<LookEvidence> {
        looks
            .iter()
            .zip(&self.faces)
            .map(|(look, lights)| LookEvidence {
                faces: lights
                    .iter()
                    .enumerate()
                    .map(|(i, light)| {
                        let likelihoods = model.under(light).log_likelihoods(&patches(look, i));
                        frame.roles(&likelihoods.map(|six| six.map(|l| l as f32)))
                    })
                    .collect(),
                joints: look.joints.clone(),
            })
            .collect()
    }

    /// The model's colours moved to what labelled stickers show under these lights.
    pub fn adapt(
        &self,
        model: &Model,
        looks: &[Look],
        labels: &[Vec<Labels>],
        frame: &Frame,
    ) -> Model {
        let mut faces = Vec::new();
        for ((look, lights), labels) in looks.iter().zip(&self.faces).zip(labels) {
            for (i, (light, labels)) in lights.iter().zip(labels).enumerate() {
                faces.push((*light, observations(look, i, labels, frame)));
            }
        }
        model.adapt(&faces)
    }
}

fn observations(look: &Look, face: usize, labels: &Labels, frame: &Frame) -> Vec<Observation> {
    let patches = patches(look, face);
    let known = patches.iter().zip(labels).enumerate();
    known
        .filter_map(|(i, (&patch, &label))| {
            label.map(|role| Observation {
                patch,
                colour: Colour::ALL[frame.shows(role, i == 4)],
            })
        })
        .collect()
}
