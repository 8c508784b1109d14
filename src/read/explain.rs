//! Explaining the looks: centres, light and state found together, by turns, and rivals weighed at their own best light.

use super::evidence::{
    Alternatives, LookEvidence, Placing, STICKER_CAP, alternatives, shared_weight,
};
use super::hypothesis::{Flaw, Hypothesis};
use super::places::Arrangement;
use super::relight::{Labels, Lights, best_rolls, centre_labels, state_labels};
use super::search::{Found, search, search_wide};
use super::suppose::{Supposition, placings_of, suppositions};
use crate::colour::Model;
use crate::sight::Look;

/// A mirrored feed, as log-odds (natural) against a straight one: about one in 20. A judgement, no source.
const MIRROR_PRIOR: f64 = -3.0;

/// Readings of the centres that are tried with the light fitted to them, and that are decoded.
const MOST_CENTRES: usize = 24;
const MOST_CENTRE_ROUNDS: usize = 4;
const MOST_DECODED: usize = 3;

/// Readings of the centres are searched widely that come so near (nats) to the best explanation of all.
const LIKELY: f64 = 20.0;

/// Times that light and state are fitted to each other at most.
const MOST_ROUNDS: usize = 5;

/// A state with all that goes with it.
#[derive(Clone, Debug)]
pub struct Explanation {
    pub state: Arrangement,
    pub flaw: Flaw,
    pub supposition: Supposition,
    /// Quarter turns clockwise that bring each seen face's rows to the net's.
    pub rolls: Vec<Vec<u8>>,
    /// The colours that the state shows, by look, face and sticker in picture order.
    pub labels: Vec<Vec<Labels>>,
    /// The evidence under the light fitted to the state.
    pub evidence: Vec<LookEvidence>,
    pub lights: Lights,
    /// How expected light and colours are (natural log).
    expectedness: f64,
    /// Log-likelihood (natural) of all that was seen, with the priors of light, mirroring and flaw.
    pub score: f64,
}

/// All explanations worth comparing.
#[derive(Clone, Debug)]
pub struct Explained {
    /// Different states, legal or flawed, the best first.
    pub explanations: Vec<Explanation>,
    /// What the search left undone may score this far (nats) below the best at most.
    pub searched: f64,
}

/// Explains the looks, all of one cube in one state.
pub fn explain(model: &Model, adapts: bool, looks: &[Look]) -> Explained {
    let mut all: Vec<Explanation> = Vec::new();
    let mut unexplored = f64::NEG_INFINITY;
    let mut tried: Vec<Supposition> = Vec::new();
    let mut settled = Vec::new();
    for supposition in likely_centres(model, looks) {
        let Some(one) = settle_all(model, adapts, looks, supposition, &mut tried) else {
            continue;
        };
        let best = weigh_found(model, adapts, looks, &one, &one.found, &mut all);
        let short = likeliest(&one.found).map_or(0.0, |h| h.score) - one.found.unexplored;
        unexplored = unexplored.max(best - f64::from(short));
        settled.push((best, one));
    }
    let likely = all
        .iter()
        .map(|e| e.score)
        .fold(f64::NEG_INFINITY, f64::max)
        - LIKELY;
    for (_, one) in settled.iter().filter(|(best, _)| *best > likely) {
        // A state's own light may make it likelier than one that leads at the leader's.
        let found = search_wide(&one.alternatives());
        weigh_found(model, adapts, looks, one, &found, &mut all);
    }
    all.sort_by(|a, b| b.score.total_cmp(&a.score));
    let searched = all.first().map_or(0.0, |best| best.score - unexplored);
    lend_lights(&mut all);
    Explained {
        explanations: all,
        searched,
    }
}

/// Weighs what was found for one reading of the centres, as far as it is not known for that; the best score of it.
fn weigh_found(
    model: &Model,
    adapts: bool,
    looks: &[Look],
    settled: &Settled,
    found: &Found,
    all: &mut Vec<Explanation>,
) -> f64 {
    let Settled {
        supposition,
        evidence,
        ..
    } = settled;
    let mut best = f64::NEG_INFINITY;
    for hypothesis in found.legal.iter().chain(&found.flawed) {
        let known = all.iter_mut().find(|e| e.state == hypothesis.state);
        if known
            .as_ref()
            .is_some_and(|e| e.supposition.places_as(supposition))
        {
            continue;
        }
        let explanation = weigh(model, adapts, looks, supposition, hypothesis, evidence);
        best = best.max(explanation.score);
        match known {
            Some(known) if known.score >= explanation.score => {}
            Some(known) => *known = explanation,
            None => all.push(explanation),
        }
    }
    best
}

/// The readings of the centres that are worth decoding, straight and mirrored.
pub fn likely_centres(model: &Model, looks: &[Look]) -> Vec<Supposition> {
    let mut rated: Vec<(f64, Supposition)> = Vec::new();
    let mut evidence = Lights::unknown(looks).evidence(model, looks);
    // The light that the centres show tells more of the centres.
    for _ in 0..MOST_CENTRE_ROUNDS {
        let before = rated.len();
        for mirrored in [false, true] {
            for supposition in suppositions(&evidence, mirrored, MOST_CENTRES) {
                if !rated.iter().any(|(_, known)| known.places_as(&supposition)) {
                    rated.push((rate(model, looks, &supposition), supposition));
                }
            }
        }
        if rated.len() == before {
            break;
        }
        rated.sort_by(|a, b| b.0.total_cmp(&a.0));
        let labels = centre_labels(&rated[0].1);
        evidence = Lights::fit(model, looks, &labels).evidence(model, looks);
    }
    let best = rated.first().map_or(0.0, |r| r.0);
    let mut kept = [0; 2];
    rated.retain(|(score, supposition)| {
        let kept = &mut kept[usize::from(supposition.mirrored)];
        *kept += 1;
        *kept <= MOST_DECODED && *score > best - 12.0
    });
    rated.into_iter().map(|(_, s)| s).collect()
}

/// Light, and without a profile colours, fitted to labelled stickers.
pub struct Fit {
    pub lights: Lights,
    pub evidence: Vec<LookEvidence>,
    /// How expected light and colours are (natural log).
    expectedness: f64,
}

impl Fit {
    /// The fit to what is supposed of the stickers; without a profile (`adapts`) the colours move too.
    pub fn new(model: &Model, adapts: bool, looks: &[Look], labels: &[Vec<Labels>]) -> Fit {
        let mut lights = Lights::fit(model, looks, labels);
        let mut expectedness = 0.0;
        let mut adapted = None;
        if adapts {
            let moved = lights.adapt(model, looks, labels);
            lights = Lights::fit(&moved, looks, labels);
            expectedness += moved.expectedness(model);
            adapted = Some(moved);
        }
        let evidence = lights.evidence(adapted.as_ref().unwrap_or(model), looks);
        expectedness += lights.expectedness;
        Fit {
            lights,
            evidence,
            expectedness,
        }
    }
}

/// How well the centres alone fit a reading of them, at the light that suits it.
fn rate(model: &Model, looks: &[Look], supposition: &Supposition) -> f64 {
    let labels = centre_labels(supposition);
    let lights = Lights::fit(model, looks, &labels);
    lights.centres(model, looks, &labels) + lights.expectedness + f64::from(supposition.prior())
}

/// What was found for one reading of the centres, with the evidence it was found in.
struct Settled {
    supposition: Supposition,
    found: Found,
    evidence: Vec<LookEvidence>,
}

impl Settled {
    fn alternatives(&self) -> Alternatives {
        let Supposition {
            placed, mirrored, ..
        } = &self.supposition;
        alternatives(&self.evidence, placed, *mirrored)
    }
}

/// Nats by which another placing of a look must suit the state better to be tried.
const BETTER_PLACED: f32 = 4.0;

/// Times that looks are placed anew at most.
const MOST_PLACINGS: usize = 3;

/// Settles light and state, and places each look anew where the state shows that its centres were misjudged. None where
/// that leads to what was tried before.
fn settle_all(
    model: &Model,
    adapts: bool,
    looks: &[Look],
    mut supposition: Supposition,
    tried: &mut Vec<Supposition>,
) -> Option<Settled> {
    for placings in 0.. {
        if tried.iter().any(|known| known.places_as(&supposition)) {
            return None;
        }
        tried.push(supposition.clone());
        let (found, evidence) = settle(model, adapts, looks, &supposition)?;
        let state = likeliest(&found)?.state;
        match placed_anew(model, looks, &supposition, &state, &evidence) {
            Some(placed) if placings < MOST_PLACINGS => supposition = placed,
            _ => {
                return Some(Settled {
                    supposition,
                    found,
                    evidence,
                });
            }
        }
    }
    None
}

/// The supposition with the looks placed where they suit a state best, when that differs.
fn placed_anew(
    model: &Model,
    looks: &[Look],
    supposition: &Supposition,
    state: &Arrangement,
    evidence: &[LookEvidence],
) -> Option<Supposition> {
    // The lights of faces that were misplaced are wrong; those of the room are not.
    let rolls = best_rolls(state, supposition, evidence);
    let lights = Lights::fit(model, looks, &state_labels(state, supposition, &rolls));
    let evidence = lights.of_room_alone().evidence(model, looks);
    let mut changed = false;
    let mut anew = supposition.clone();
    for (i, look) in evidence.iter().enumerate() {
        let alone = std::slice::from_ref(look);
        let score = |placing: &Vec<Placing>| -> f32 {
            let one = Supposition {
                placed: vec![placing.clone()],
                ..*supposition
            };
            let labels = state_labels(state, &one, &best_rolls(state, &one, alone));
            total(alone, &labels, &one) as f32
        };
        let now = score(&supposition.placed[i]);
        let best = placings_of(look, supposition.mirrored)
            .map(|placing| (score(&placing), placing))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((score, placing)) = best
            && score > now + BETTER_PLACED
        {
            anew.placed[i] = placing;
            changed = true;
        }
    }
    changed.then_some(anew)
}

/// Fits light and state by turns until the state stays: what is found, and the evidence that it is found in.
fn settle(
    model: &Model,
    adapts: bool,
    looks: &[Look],
    supposition: &Supposition,
) -> Option<(Found, Vec<LookEvidence>)> {
    let mut labels = centre_labels(supposition);
    let mut state = None;
    for round in 0.. {
        let Fit { evidence, .. } = Fit::new(model, adapts, looks, &labels);
        let found = search(&alternatives(
            &evidence,
            &supposition.placed,
            supposition.mirrored,
        ));
        let likeliest = likeliest(&found)?.state;
        if state == Some(likeliest) || round == MOST_ROUNDS {
            return Some((found, evidence));
        }
        state = Some(likeliest);
        let rolls = best_rolls(&likeliest, supposition, &evidence);
        labels = state_labels(&likeliest, supposition, &rolls);
    }
    None
}

fn likeliest(found: &Found) -> Option<&Hypothesis> {
    found
        .legal
        .iter()
        .chain(&found.flawed)
        .max_by(|a, b| a.score.total_cmp(&b.score))
}

/// Weighs a state at the light that suits it best.
pub fn weigh(
    model: &Model,
    adapts: bool,
    looks: &[Look],
    supposition: &Supposition,
    hypothesis: &Hypothesis,
    evidence: &[LookEvidence],
) -> Explanation {
    let state = &hypothesis.state;
    let mut rolls = best_rolls(state, supposition, evidence);
    let mut labels = state_labels(state, supposition, &rolls);
    let mut fit = Fit::new(model, adapts, looks, &labels);
    let again = best_rolls(state, supposition, &fit.evidence);
    if again != rolls {
        labels = state_labels(state, supposition, &again);
        rolls = again;
        fit = Fit::new(model, adapts, looks, &labels);
    }
    let score = total(&fit.evidence, &labels, supposition)
        + fit.expectedness
        + prior(supposition, hypothesis.flaw);
    Explanation {
        state: hypothesis.state,
        flaw: hypothesis.flaw,
        supposition: supposition.clone(),
        rolls,
        labels,
        evidence: fit.evidence,
        lights: fit.lights,
        expectedness: fit.expectedness,
        score,
    }
}

/// How likely a state with a flaw, placed so, is before anything is seen (natural log).
fn prior(supposition: &Supposition, flaw: Flaw) -> f64 {
    let mirror = if supposition.mirrored {
        MIRROR_PRIOR
    } else {
        0.0
    };
    f64::from(supposition.prior()) + mirror + f64::from(flaw.prior())
}

/// Where the best state, which comes first, is a flawed one, scores the legal ones at the lights of all others, too. A fit may
/// stop short of the best light; a state for which another one's fit found a better light would else seem less likely than
/// it is, and a good cube be called impossible. That can bring it level with the best, but not ahead: what a borrowed
/// light shows may make a reading unsure, and never sure.
fn lend_lights(all: &mut [Explanation]) {
    let Some(most) = all
        .first()
        .filter(|best| !best.flaw.none())
        .map(|best| best.score)
    else {
        return;
    };
    let is_legal = |e: &Explanation| e.flaw.none();
    let lent: Vec<f64> = all
        .iter()
        .filter(|own| is_legal(own))
        .map(|own| {
            let scores = all.iter().map(|other| score_lit_by(own, other));
            scores.fold(own.score, f64::max).min(most)
        })
        .collect();
    for (own, lent) in all.iter_mut().filter(|own| is_legal(own)).zip(lent) {
        own.score = lent;
    }
    all.sort_by(|a, b| b.score.total_cmp(&a.score));
}

/// The score of a state at the light of another one.
fn score_lit_by(own: &Explanation, other: &Explanation) -> f64 {
    let rolls = best_rolls(&own.state, &own.supposition, &other.evidence);
    let labels = state_labels(&own.state, &own.supposition, &rolls);
    total(&other.evidence, &labels, &own.supposition)
        + other.expectedness
        + prior(&own.supposition, own.flaw)
}

/// Log-likelihood of the labelled stickers, none below the cap; several looks at one face share their errors.
pub fn total(evidence: &[LookEvidence], labels: &[Vec<Labels>], supposition: &Supposition) -> f64 {
    let mut sum = 0.0;
    for ((look, labels), placings) in evidence.iter().zip(labels).zip(&supposition.placed) {
        for ((table, labels), placing) in look.faces.iter().zip(labels).zip(placings) {
            let seen = supposition
                .placed
                .iter()
                .flatten()
                .filter(|p| p.face == placing.face)
                .count();
            let stickers = table.iter().zip(labels).filter_map(|(weights, label)| {
                let most = weights.iter().copied().fold(f32::NEG_INFINITY, f32::max);
                label.map(|c| f64::from(weights[c].max(most - STICKER_CAP)))
            });
            sum += stickers.sum::<f64>() * f64::from(shared_weight(seen));
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sight::Finder;

    /// A cube with a twisted corner: legal states, too, are judged at the best light that any fit found.
    #[test]
    fn no_legal_state_is_called_less_likely_for_want_of_light() {
        let scan = concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/test_images/scans/setup-03/scan-03"
        );
        let mut finder = Finder::new();
        let looks: Vec<Look> = (1..=6)
            .map(|number| {
                let picture = image::open(format!("{scan}/0{number}.jpg"));
                finder.look(&picture.expect("it is carried").to_rgb8())
            })
            .collect();
        let all = explain(&Model::generic(), true, &looks).explanations;
        assert!(!all[0].flaw.none());
        assert!(all.iter().any(|e| e.flaw.none()));
        for own in all.iter().filter(|e| e.flaw.none()) {
            for other in &all {
                assert!(own.score >= score_lit_by(own, other).min(all[0].score) - 1e-6);
            }
        }
    }
}
