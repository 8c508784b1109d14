//! From looks to a reading: explains them, decides, and says what it means.

use super::ask::{ask, show_face};
use super::describe::{look_reading, look_readings};
use super::explain::{Explained, Explanation, explain};
use super::margin::{SURE, margin};
use super::misfit::{Misfit, Suspect, at_odds, faults_as_seen, misfits, strangers, suspect};
use super::reading::{Ask, Light, Outcome, Reading};
use super::turned::turned_between;
use crate::colour::{Model, Profile};
use crate::cube::{Colour, Face, Fault, Net};
use crate::sight::Look;

/// What is said of pictures that show the cube as in a mirror.
pub const MIRRORED: &str = "the pictures are mirrored, which I have set right";

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

    /// What the looks so far show. A picture that is given twice counts once.
    pub fn read(&self) -> Reading {
        let all = &self.looks;
        let first = |i: usize| (0..i).find(|&j| is_same_picture(&all[j], &all[i]));
        let mut looks = all.clone();
        for (i, look) in looks.iter_mut().enumerate() {
            if first(i).is_some() {
                look.faces.clear();
                look.joints.clear();
            }
        }
        let mut reading = self.read_different(&looks);
        for i in 0..all.len() {
            if let Some(first) = first(i) {
                reading.looks[i] = reading.looks[first].clone();
            }
        }
        reading
    }

    fn read_different(&self, all: &[Look]) -> Reading {
        let mut looks = all.to_vec();
        let mut explained = explain(&self.model, !self.calibrated, &looks);
        if explained.explanations.is_empty() {
            // One picture's centres fit no cube, so something else was taken for a corner there.
            let contradicting = |i: &usize| {
                explain(&self.model, !self.calibrated, &all[*i..=*i])
                    .explanations
                    .is_empty()
            };
            let lone: Vec<usize> = (0..all.len()).filter(contradicting).collect();
            let left_out = if lone.is_empty() {
                (0..all.len()).map(|i| vec![i]).collect()
            } else {
                vec![lone]
            };
            for left_out in left_out {
                looks = all.to_vec();
                for i in left_out {
                    looks[i].faces.clear();
                    looks[i].joints.clear();
                }
                explained = explain(&self.model, !self.calibrated, &looks);
                if !explained.explanations.is_empty() {
                    break;
                }
            }
        }
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
        // Without a profile a colour is known by its centre: where that was not seen, a shade of another may pass for it.
        let known = self.calibrated || missing.is_empty();
        let decision = if at_odds(best) {
            self.decide_doubtful(looks, explained, &missing)
        } else if !known {
            undecided(explained, &missing)
        } else if !misfits.is_empty() {
            decide_misfits(best, &misfits, margin)
        } else if best.flaw.none() && margin >= SURE || !best.flaw.none() && margin <= -SURE {
            decide_sure(best)
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

/// Whether two looks come from one and the same picture.
fn is_same_picture(a: &Look, b: &Look) -> bool {
    let faces = || a.faces.iter().zip(&b.faces);
    let is_same = a.faces.len() == b.faces.len() && !a.faces.is_empty();
    is_same && faces().all(|(a, b)| a.lattice == b.lattice && a.patches == b.patches)
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

/// A few stickers contradict the best state. The cube is to blame only where nothing else comes near that state, and
/// each sticker was seen so twice.
fn decide_misfits(best: &Explanation, misfits: &[Misfit], margin: f64) -> Decision {
    let faults = faults_as_seen(best, misfits);
    let once = misfits.iter().find(|m| m.looks < 2);
    let sure = once.is_none() && margin.abs() >= SURE && !faults.is_empty();
    match once.or(misfits.first()) {
        Some(misfit) if !sure => {
            let face = Face::ALL[misfit.cell / 9].home_colour();
            let colour = Colour::ALL[misfit.seen].name();
            Decision {
                outcome: Outcome::Unsure,
                say: format!(
                    "a sticker on the {} face looks {colour}, and no cube with the rest as I see it has it so",
                    face.name()
                ),
                ask: Some(show_face(face)),
                faults: Vec::new(),
            }
        }
        // Looks from before and after a turn can show single stickers wrong, too (3 of 3,929 that were turned meanwhile).
        _ => Decision {
            outcome: Outcome::Impossible,
            say: "if a layer was turned while you showed it, that may be all; show it once more to be sure"
                .into(),
            ask: None,
            faults,
        },
    }
}

/// One state explains the looks better than any other, unless a sticker is another one than belongs there.
fn decide_sure(best: &Explanation) -> Decision {
    match suspect(best, SURE) {
        Some(suspect) => doubt(best, suspect),
        None if best.flaw.none() => Decision {
            outcome: Outcome::Read,
            say: String::new(),
            ask: None,
            faults: Vec::new(),
        },
        None => Decision {
            outcome: Outcome::Impossible,
            say: String::new(),
            ask: None,
            faults: faults_as_seen(best, &[]),
        },
    }
}

/// A sticker may be another one than belongs there.
fn doubt(best: &Explanation, suspect: Suspect) -> Decision {
    let face = Face::ALL[suspect.cell / 9].home_colour();
    let [own, seen] =
        [best.state.colours()[suspect.cell], suspect.seen].map(|c| Colour::ALL[c].name());
    Decision {
        outcome: Outcome::Unsure,
        say: format!(
            "a sticker on the {} face should be {own} by all the others, but may be {seen} as I see it",
            face.name()
        ),
        ask: Some(show_face(face)),
        faults: Vec::new(),
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
            parts.extend(Some(&decision.say).filter(|say| !say.is_empty()).cloned());
        }
        Outcome::Incomplete | Outcome::Unsure => {
            parts.push(decision.say.clone());
            parts.extend(decision.ask.as_ref().map(|a| a.say.clone()));
        }
    }
    if mirrored {
        parts.push(MIRRORED.into());
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
