//! From looks to a reading: explains them, decides, and says what it means.

use super::ask::{ask, show_face};
use super::evidence::Weights;
use super::explain::{Explained, Explanation, explain};
use super::misfit::{Misfit, at_odds, faults_as_seen, misfits, strangers};
use super::reading::{Ask, FaceReading, Light, LookReading, Outcome, Reading};
use super::turned::turned_between;
use crate::colour::{Model, Profile};
use crate::cube::{Colour, Face, Fault, Net};
use crate::sight::{Look, Problem};

/// Margin (nats) from which a state counts as read.
pub const SURE: f64 = 7.0;

/// Reads a cube from looks that come one after another.
#[derive(Clone, Debug)]
pub struct Reader {
    model: Model,
    calibrated: bool,
    looks: Vec<Look>,
}

/// What was decided, before it is put into words and fields.
struct Decision {
    outcome: Outcome,
    say: String,
    ask: Option<Ask>,
    faults: Vec<Fault>,
}

impl Reader {
    /// A reader for a calibrated cube or, without a profile, for any cube of the usual colours.
    pub fn new(profile: Option<&Profile>) -> Reader {
        Reader {
            model: profile.map_or_else(Model::generic, Model::from_profile),
            calibrated: profile.is_some(),
            looks: Vec::new(),
        }
    }

    /// Adds a look at the same cube in the same state, in the order of showing.
    pub fn add(&mut self, look: Look) {
        self.looks.push(look);
    }

    /// Forgets all looks.
    pub fn clear(&mut self) {
        self.looks.clear();
    }

    /// The looks so far.
    pub fn looks(&self) -> &[Look] {
        &self.looks
    }

    /// The colours that looks are judged by, and whether they come from a profile.
    pub fn model(&self) -> (&Model, bool) {
        (&self.model, self.calibrated)
    }

    /// What the looks so far show.
    pub fn read(&self) -> Reading {
        let mut looks = self.looks.clone();
        let mut explained = explain(&self.model, !self.calibrated, &looks);
        let strangers = explained
            .explanations
            .first()
            .map(strangers)
            .unwrap_or_default();
        if !strangers.is_empty() {
            looks = without(looks, &strangers);
            explained = explain(&self.model, !self.calibrated, &looks);
        }
        let shown = looks.iter().any(|look| !look.faces.is_empty());
        match explained.explanations.first() {
            Some(best) if shown => self.tell(&looks, &explained, best),
            _ => self.nothing_seen(),
        }
    }

    fn nothing_seen(&self) -> Reading {
        let shown = self.looks.iter().any(|look| !look.faces.is_empty());
        let say = match (self.looks.is_empty(), shown) {
            (true, _) => "nothing was shown yet",
            (false, false) => "no cube was found in any picture",
            (false, true) => "the centres that were found belong to no cube that can be",
        };
        Reading {
            schema: 1,
            outcome: Outcome::Incomplete,
            say: say.into(),
            net: None,
            cubies: None,
            margin: 0.0,
            looks: self
                .looks
                .iter()
                .map(|look| look_reading(look, false, Vec::new()))
                .collect(),
            ask: Some(Ask {
                show: [Colour::White, Colour::Red, Colour::Green].into(),
                say: "show me any corner of the cube, with three faces at once".into(),
            }),
            missing: Colour::ALL.into(),
            faults: Vec::new(),
            light: None,
            cube: None,
        }
    }

    fn tell(&self, looks: &[Look], explained: &Explained, best: &Explanation) -> Reading {
        let missing = missing(best);
        let margin = margin(explained);
        let misfits = misfits(best);
        let decision = if at_odds(best) {
            self.decide_doubtful(looks, explained, &missing)
        } else if !misfits.is_empty() {
            decide_misfits(best, &misfits)
        } else if !best.flaw.none() && margin <= -SURE {
            Decision {
                outcome: Outcome::Impossible,
                say: String::new(),
                ask: None,
                faults: faults_as_seen(best, &[]),
            }
        } else if best.flaw.none() && margin >= SURE {
            Decision {
                outcome: Outcome::Read,
                say: String::new(),
                ask: None,
                faults: Vec::new(),
            }
        } else {
            undecided(explained, &missing)
        };
        let cube = (decision.outcome == Outcome::Read)
            .then(|| best.state.cube())
            .flatten();
        let mirrored = best.supposition.mirrored;
        Reading {
            schema: 1,
            outcome: decision.outcome,
            say: say(
                &decision,
                mirrored && decision.outcome != Outcome::Incomplete,
            ),
            net: cube.as_ref().map(Net::of),
            cubies: cube.as_ref().map(ToString::to_string),
            margin,
            looks: look_readings(looks, explained, best, decision.outcome),
            ask: decision.ask,
            missing,
            faults: decision.faults,
            light: self.calibrated.then(|| Light {
                like_profile: self.model.is_like(best.lights.room()),
                distance: self.model.light_distance(best.lights.room()),
            }),
            cube,
        }
    }

    /// No one state fits: the cube was turned, or something is wrong with what was seen.
    fn decide_doubtful(
        &self,
        looks: &[Look],
        explained: &Explained,
        missing: &[Colour],
    ) -> Decision {
        let fault = turned_between(&self.model, !self.calibrated, looks);
        let sure = fault.is_some();
        Decision {
            outcome: if sure { Outcome::Impossible } else { Outcome::Unsure },
            say: match sure {
                true => String::new(),
                false => "what I saw does not fit one cube; it may have been turned in between, or glare or fingers hide \
                          too much"
                    .into(),
            },
            ask: Some(ask(explained, missing)),
            faults: fault.into_iter().collect(),
        }
    }
}

fn look_readings(
    looks: &[Look],
    explained: &Explained,
    best: &Explanation,
    outcome: Outcome,
) -> Vec<LookReading> {
    let read = outcome == Outcome::Read;
    let one = |(i, look): (usize, &Look)| {
        let face = |j: usize| face_reading(explained, best, look, (i, j), read);
        let faces = (0..look.faces.len()).map(face).collect();
        look_reading(look, best.supposition.mirrored, faces)
    };
    looks.iter().enumerate().map(one).collect()
}

/// The looks less some of their faces, named by indices of look and face.
fn without(mut looks: Vec<Look>, faces: &[(usize, usize)]) -> Vec<Look> {
    for &(i, j) in faces {
        let look = &mut looks[i];
        look.faces.remove(j);
        look.joints.retain(|joint| joint.a.0 != j && joint.b.0 != j);
        for end in look
            .joints
            .iter_mut()
            .flat_map(|joint| [&mut joint.a.0, &mut joint.b.0])
        {
            *end -= usize::from(*end > j);
        }
    }
    looks
}

/// Log-odds of the best legal state over all else.
pub fn margin(explained: &Explained) -> f64 {
    let all = &explained.explanations;
    let Some(legal) = all.iter().position(|e| e.flaw.none()) else {
        return -explained.searched;
    };
    let rival = all
        .iter()
        .enumerate()
        .find(|&(i, _)| i != legal)
        .map(|(_, e)| e.score);
    let margin = all[legal].score - rival.unwrap_or(f64::NEG_INFINITY);
    let unexplored = all[0].score - explained.searched;
    margin.min(all[legal].score - unexplored)
}

fn missing(best: &Explanation) -> Vec<Colour> {
    let seen = |face: &Face| {
        best.supposition
            .placed
            .iter()
            .flatten()
            .any(|p| p.face == *face)
    };
    Face::ALL
        .into_iter()
        .filter(|face| !seen(face))
        .map(Face::home_colour)
        .collect()
}

/// A few stickers contradict the best state.
fn decide_misfits(best: &Explanation, misfits: &[Misfit]) -> Decision {
    let colour = |misfit: &Misfit| Colour::ALL[misfit.seen].name();
    let face = |misfit: &Misfit| Face::ALL[misfit.cell / 9].home_colour();
    let doubted: Vec<&Misfit> = misfits.iter().filter(|m| m.looks < 2).collect();
    match doubted.first() {
        None => Decision {
            outcome: Outcome::Impossible,
            say: String::new(),
            ask: None,
            faults: faults_as_seen(best, misfits),
        },
        Some(misfit) => Decision {
            outcome: Outcome::Unsure,
            say: format!(
                "a sticker on the {} face looks {}, and no cube with the rest as I see it has it so",
                face(misfit).name(),
                colour(misfit)
            ),
            ask: Some(show_face(face(misfit))),
            faults: Vec::new(),
        },
    }
}

fn undecided(explained: &Explained, missing: &[Colour]) -> Decision {
    Decision {
        outcome: if missing.is_empty() {
            Outcome::Unsure
        } else {
            Outcome::Incomplete
        },
        say: match missing {
            [] => "more than one cube would look like this".into(),
            [one] => format!("the {} face is still missing", one.name()),
            more => {
                let names: Vec<&str> = more.iter().map(|c| c.name()).collect();
                format!("the faces {} are still missing", listed(&names))
            }
        },
        ask: Some(ask(explained, missing)),
        faults: Vec::new(),
    }
}

fn say(decision: &Decision, mirrored: bool) -> String {
    let mut parts = Vec::new();
    match decision.outcome {
        Outcome::Read => {
            parts.push("the cube is read: one legal state fits all that was seen".to_owned())
        }
        Outcome::Impossible => {
            let faults: Vec<&str> = decision.faults.iter().map(|f| f.say.as_str()).collect();
            parts.push(format!(
                "this cannot be a legal cube: {}",
                faults.join("; ")
            ));
        }
        Outcome::Incomplete | Outcome::Unsure => {
            parts.push(decision.say.clone());
            parts.extend(decision.ask.as_ref().map(|a| a.say.clone()));
        }
    }
    if mirrored {
        parts.push("the pictures are mirrored, which I have set right".into());
    }
    parts
        .iter()
        .map(|part| sentence(part))
        .collect::<Vec<_>>()
        .join(" ")
}

fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => format!("{}{}.", first.to_uppercase(), letters.as_str()),
        None => String::new(),
    }
}

fn listed(names: &[&str]) -> String {
    match names {
        [rest @ .., last] if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => names.concat(),
    }
}

fn look_reading(look: &Look, mirrored: bool, faces: Vec<FaceReading>) -> LookReading {
    let mut problems: Vec<&'static str> = Vec::new();
    for problem in look
        .problems
        .iter()
        .chain(look.faces.iter().flat_map(|f| &f.problems))
    {
        let word = problem_word(*problem);
        if !problems.contains(&word) {
            problems.push(word);
        }
    }
    LookReading {
        image: None,
        problems,
        mirrored,
        faces,
    }
}

fn problem_word(problem: Problem) -> &'static str {
    match problem {
        Problem::Glare => "glare",
        Problem::Blur => "blur",
        Problem::Dark => "dark",
        Problem::Bright => "bright",
        Problem::Hidden => "hidden",
        Problem::Small => "small",
        Problem::CutOff => "cut off",
    }
}

fn face_reading(
    explained: &Explained,
    best: &Explanation,
    look: &Look,
    (i, j): (usize, usize),
    read: bool,
) -> FaceReading {
    let mirrored = best.supposition.mirrored;
    // A mirrored picture shows the transposed face, its outline the other way round.
    let cell = |row: usize, column: usize| {
        if mirrored {
            3 * column + row
        } else {
            3 * row + column
        }
    };
    let label = |k: usize| best.labels[i][j][k].unwrap_or(0);
    let doubt = |k: usize| {
        let joint = joint_doubt(explained, (i, j, k));
        match read {
            true => joint,
            false => joint.max(own_doubt(&best.evidence[i].faces[j][k], label(k))),
        }
    };
    let mut outline = look.faces[j].outline().map(|p| [p.x, p.y]);
    if mirrored {
        outline.swap(1, 3);
    }
    FaceReading {
        centre: best.supposition.placed[i][j].face.home_colour(),
        outline,
        stickers: [0, 1, 2].map(|r| {
            (0..3)
                .map(|c| Colour::ALL[label(cell(r, c))].letter())
                .collect()
        }),
        doubt: [0, 1, 2].map(|r| [0, 1, 2].map(|c| doubt(cell(r, c)) as f32)),
    }
}

/// Chance that a sticker is not what the best state makes it, by the rivals that show another colour there.
fn joint_doubt(explained: &Explained, (i, j, k): (usize, usize, usize)) -> f64 {
    let all = &explained.explanations;
    let weight = |e: &Explanation| (e.score - all[0].score).clamp(-60.0, 0.0).exp();
    let label = |e: &Explanation| e.labels[i][j][k];
    let others: f64 = all
        .iter()
        .filter(|e| label(e) != label(&all[0]))
        .map(weight)
        .sum();
    (others / all.iter().map(weight).sum::<f64>()).max((-explained.searched.max(0.0)).exp())
}

/// Chance that a sticker is wrong, by its own colour alone.
fn own_doubt(weights: &Weights, label: usize) -> f64 {
    let most = weights.iter().copied().fold(f32::NEG_INFINITY, f32::max);
    let odds = weights.map(|w| f64::from(w - most).exp());
    1.0 - odds[label] / odds.iter().sum::<f64>()
}
