//! Explaining the looks: centres, light and state found together, by turns, and rivals weighed at their own best light.

use super::association::{Association, assignments_of, associations};
use super::evidence::{
    Alternatives, Assignment, LookEvidence, STICKER_CAP, alternatives, assignments, shared_weight,
};
use super::frame::{Frame, Known};
use super::hypothesis::{Flaw, Hypothesis};
use super::lights::{Labels, Lights, best_rolls, centre_labels, state_labels};
use super::places::Arrangement;
use super::search::{Found, search, search_above, search_wide};
use super::work::Work;
use crate::colour::Model;
use crate::cube::{Colour, Face};
use crate::sight::Look;

/// Readings of the centres that are tried with the light fitted to them, and that are decoded.
const MOST_CENTRES: usize = 24;
const MOST_CENTRE_ROUNDS: usize = 4;
const MOST_DECODED: usize = 3;

/// Readings of the centres are searched widely that come so near (nats) to the best explanation of all.
const LIKELY: f64 = 20.0;

/// Times that light and state are fitted to each other at most.
const MOST_ROUNDS: usize = 5;

/// Rival frames that are gone into in any case, those that seem likeliest at first sight.
const MOST_RIVALS: usize = 6;

/// Nats behind the likeliest of them within which all others are gone into, too: what is left out bounds the margin, and of six single
/// faces more frames than a few may seem near.
const NEAR_RIVALS: f64 = 10.0;

/// What looks are judged by.
#[derive(Clone, Debug)]
pub struct Judge {
    /// The colours.
    pub model: Model,
    /// Whether they move with what is seen, as where there is no profile.
    pub adapts: bool,
    pub known: Known,
}

/// A state with all that goes with it.
#[derive(Clone, Debug)]
pub struct Explanation {
    pub state: Arrangement,
    pub flaw: Flaw,
    pub association: Association,
    /// Quarter turns clockwise that bring each seen face's rows to the net's.
    pub rolls: Vec<Vec<u8>>,
    /// The colours that the state shows, by look, face and sticker in picture order.
    pub labels: Vec<Vec<Labels>>,
    /// The evidence under the light fitted to the state.
    pub evidence: Vec<LookEvidence>,
    pub lights: Lights,
    /// How expected light and colours are (natural log).
    log_occam_factor: f64,
    /// How likely such a cube, shown so, is before anything is seen (natural log).
    prior: f64,
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
    /// More was to be done than a reading may cost, so that nothing is sure.
    pub unfinished: bool,
}

impl Explained {
    /// Adds to every score.
    pub fn lessen(&mut self, by: f64) {
        self.explanations.iter_mut().for_each(|e| e.score += by);
    }

    /// Takes in what explains the same looks by other colours, as far as it is another cube or likelier.
    pub fn join(&mut self, other: Explained) {
        let best = |all: &[Explanation]| all.first().map_or(f64::NEG_INFINITY, |e| e.score);
        let unexplored = [&*self, &other].map(|e| best(&e.explanations) - e.searched);
        for explanation in other.explanations {
            let known = self.explanations.iter_mut().find(|known| {
                known.state == explanation.state
                    && known.is_same_cube_in(&explanation.association.frame)
            });
            match known {
                Some(known) if known.score >= explanation.score => {}
                Some(known) => *known = explanation,
                None => self.explanations.push(explanation),
            }
        }
        self.explanations
            .sort_by(|a, b| b.score.total_cmp(&a.score));
        self.searched = best(&self.explanations) - unexplored[0].max(unexplored[1]);
        self.unfinished |= other.unfinished;
    }
}

/// Explains the looks, all of one cube in one state, in the frames in which a cube is expected and in all others.
pub fn explain(judge: &Judge, looks: &[Look], work: &Work) -> Explained {
    Explaining::begin(judge, looks, work).with_rivals(judge, looks, work)
}

/// The same in the frames in which a cube is expected alone.
pub fn explain_as_expected(judge: &Judge, looks: &[Look], work: &Work) -> Explained {
    Explaining::begin(judge, looks, work).done(work)
}

/// Explanations as far as they are found.
#[derive(Clone)]
pub struct Explaining {
    all: Vec<Explanation>,
    /// What was not looked at scores no more than this.
    unexplored: f64,
}

impl Explaining {
    /// Those in the frames in which a cube is expected.
    pub fn begin(judge: &Judge, looks: &[Look], work: &Work) -> Explaining {
        let expected = Frame::expected(judge.known);
        explain_in(judge, looks, &expected, work)
    }

    /// The best score so far, of looks that fit no cube the lowest there is.
    pub fn best(&self) -> f64 {
        let scores = self.all.iter().map(|e| e.score);
        scores.fold(f64::MIN, f64::max)
    }

    /// With those in all other frames.
    pub fn with_rivals(mut self, judge: &Judge, looks: &[Look], work: &Work) -> Explained {
        add_rivals(judge, looks, work, &mut self);
        self.done(work)
    }

    /// Without any others.
    pub fn done(mut self, work: &Work) -> Explained {
        self.all.sort_by(|a, b| b.score.total_cmp(&a.score));
        let searched = self
            .all
            .first()
            .map_or(0.0, |best| best.score - self.unexplored);
        maximise_over_lights(&mut self.all);
        Explained {
            explanations: self.all,
            searched,
            unfinished: work.is_done(),
        }
    }
}

fn explain_in(judge: &Judge, looks: &[Look], frames: &[Frame], work: &Work) -> Explaining {
    let mut explaining = Explaining {
        all: Vec::new(),
        unexplored: f64::NEG_INFINITY,
    };
    let mut tried: Vec<Association> = Vec::new();
    let mut optima = Vec::new();
    for association in likely_centres(judge, looks, frames, work) {
        let Some(one) = fit_with_reassignment(judge, looks, association, work, &mut tried) else {
            continue;
        };
        let best = explaining.take(judge, looks, &one, work);
        optima.push((best, one));
    }
    let likely = explaining.best() - LIKELY;
    for (_, one) in optima.iter().filter(|(best, _)| *best > likely) {
        if work.is_done() {
            break;
        }
        // A state's own light may make it likelier than one that leads at the leader's.
        let found = search_wide(&one.alternatives(), work);
        weigh_found(judge, looks, one, &found, work, &mut explaining.all);
    }
    explaining
}

impl Explaining {
    /// Weighs what was found for one reading of the centres; its best score.
    fn take(&mut self, judge: &Judge, looks: &[Look], one: &LocalOptimum, work: &Work) -> f64 {
        let best = weigh_found(judge, looks, one, &one.found, work, &mut self.all);
        let short = likeliest(&one.found).map_or(0.0, |h| h.score) - one.found.unexplored;
        self.unexplored = self.unexplored.max(best - f64::from(short));
        best
    }
}

/// Adds what explains the looks in other frames, as far as it comes near the best so far: a cube of another scheme, or one with two
/// centres exchanged, may look by its single faces like one of the usual kind.
fn add_rivals(judge: &Judge, looks: &[Look], work: &Work, explaining: &mut Explaining) {
    let best = explaining
        .all
        .iter()
        .max_by(|a, b| a.score.total_cmp(&b.score))
        .map(|best| best.association.clone());
    let mut named: Vec<Centres> = best.iter().map(colours_of_centres).collect();
    for free in free_centres(judge, looks, work) {
        if !named.contains(&free) {
            named.push(free);
        }
    }
    let mut rated: Vec<(f64, Association)> = Vec::new();
    for colours in &named {
        let Some(reference) = first_in(judge, looks, colours) else {
            continue;
        };
        // Labels are of centres alone, and their colours are the same in every frame.
        let fit = Fit::new(
            judge,
            looks,
            &centre_labels(&reference),
            &reference.frame,
            work,
        );
        let rating = |association: &Association, above: f64| -> Option<f64> {
            let prior = association.prior_in(judge.known);
            let evidence = fit.evidence_in(&reference.frame, &association.frame);
            let alternatives =
                alternatives(&evidence, &association.assigned, association.frame.mirrored);
            let found = search_above(&alternatives, (above - prior) as f32, work);
            likeliest(&found).map(|h| f64::from(h.score) + prior)
        };
        let mut most = f64::NEG_INFINITY;
        for frame in Frame::expected(judge.known) {
            let own = assigned_in(looks, colours, &frame);
            let rated = own.and_then(|own| rating(&own, most - LIKELY));
            most = most.max(rated.unwrap_or(most));
        }
        for frame in Frame::rivals(judge.known) {
            if work.is_done() {
                return;
            }
            let Some(association) = assigned_in(looks, colours, &frame) else {
                continue;
            };
            if let Some(score) = rating(&association, most - LIKELY) {
                most = most.max(score);
                rated.push((score, association));
            }
        }
        rated.retain(|(score, _)| *score > most - LIKELY);
    }
    rated.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut tried: Vec<Association> = Vec::new();
    let first = rated.first().map_or(0.0, |(score, _)| *score);
    let near = rated.partition_point(|(score, _)| *score > first - NEAR_RIVALS);
    let gone_into = near.max(MOST_RIVALS);
    let left_out = rated.get(gone_into).map(|(score, _)| *score);
    for (_, association) in rated.into_iter().take(gone_into) {
        if work.is_done() {
            return;
        }
        if let Some(one) = fit_with_reassignment(judge, looks, association, work, &mut tried) {
            explaining.take(judge, looks, &one, work);
        }
    }
    if let Some(left_out) = left_out {
        let nearest = explaining.best() - (first - left_out);
        explaining.unexplored = explaining.unexplored.max(nearest);
    }
}

/// The colours of the centres, by look and face.
type Centres = Vec<Vec<Colour>>;

fn colours_of_centres(association: &Association) -> Centres {
    let look = |look: &Vec<Assignment>| {
        let faces = look.iter();
        faces.map(|p| association.frame.centre(p.face)).collect()
    };
    association.assigned.iter().map(look).collect()
}

/// The likeliest colours of the centres where nothing is supposed of how they lie.
fn free_centres(judge: &Judge, looks: &[Look], work: &Work) -> Vec<Centres> {
    let untied: Vec<Look> = looks
        .iter()
        .map(|look| Look {
            joints: Vec::new(),
            ..look.clone()
        })
        .collect();
    let frame = [Frame::expected(judge.known)[0]];
    let likely = likely_centres(judge, &untied, &frame, work);
    likely.iter().take(2).map(colours_of_centres).collect()
}

/// The looks as centres of these colours lie in a frame; none where their joints are against it.
fn assigned_in(looks: &[Look], colours: &Centres, frame: &Frame) -> Option<Association> {
    let assigned = looks.iter().zip(colours).map(|(look, colours)| {
        let faces: Vec<Face> = colours.iter().map(|&c| frame.face_of(c)).collect();
        assignments(&look.joints, &faces, frame.mirrored)
    });
    Some(Association {
        assigned: assigned.collect::<Option<_>>()?,
        frame: *frame,
        score: 0.0,
    })
}

/// The first frame in which the looks can lie so.
fn first_in(judge: &Judge, looks: &[Look], colours: &Centres) -> Option<Association> {
    let frames = Frame::expected(judge.known).into_iter();
    let mut frames = frames.chain(Frame::rivals(judge.known));
    frames.find_map(|frame| assigned_in(looks, colours, &frame))
}

/// Weighs what was found for one reading of the centres, as far as it is not known for that; the best score of it.
fn weigh_found(
    judge: &Judge,
    looks: &[Look],
    optimum: &LocalOptimum,
    found: &Found,
    work: &Work,
    all: &mut Vec<Explanation>,
) -> f64 {
    let LocalOptimum {
        association,
        evidence,
        ..
    } = optimum;
    let mut best = f64::NEG_INFINITY;
    for hypothesis in found.legal.iter().chain(&found.flawed) {
        if best > f64::NEG_INFINITY && work.is_done() {
            break;
        }
        let known = all
            .iter_mut()
            .find(|e| e.state == hypothesis.state && e.is_same_cube_in(&association.frame));
        if known
            .as_ref()
            .is_some_and(|e| e.association.assigns_as(association))
        {
            continue;
        }
        let explanation = weigh(judge, looks, association, hypothesis, evidence, work);
        best = best.max(explanation.score);
        match known {
            Some(known) if known.score >= explanation.score => {}
            Some(known) => *known = explanation,
            None => all.push(explanation),
        }
    }
    best
}

/// The readings of the centres that are worth decoding in some frames of one scheme, straight and mirrored.
pub fn likely_centres(
    judge: &Judge,
    looks: &[Look],
    frames: &[Frame],
    work: &Work,
) -> Vec<Association> {
    let model = &judge.model;
    let mut rated: Vec<(f64, Association)> = Vec::new();
    let mut evidence = Lights::unknown(looks).evidence(model, looks, &frames[0]);
    // The light that the centres show tells more of the centres.
    for _ in 0..MOST_CENTRE_ROUNDS {
        let before = rated.len();
        for frame in frames {
            for association in associations(&evidence, frame, MOST_CENTRES) {
                let known = rated
                    .iter()
                    .any(|(_, known)| known.assigns_as(&association));
                if !known && (rated.is_empty() || !work.is_done()) {
                    rated.push((rate(judge, looks, &association, work), association));
                }
            }
        }
        if rated.len() == before {
            break;
        }
        rated.sort_by(|a, b| b.0.total_cmp(&a.0));
        let labels = centre_labels(&rated[0].1);
        let frame = &rated[0].1.frame;
        evidence = Lights::fit(model, looks, &labels, frame).evidence(model, looks, frame);
    }
    let best = rated.first().map_or(0.0, |r| r.0);
    let mut kept = [0; 2];
    rated.retain(|(score, association)| {
        let kept = &mut kept[usize::from(association.frame.mirrored)];
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
    log_occam_factor: f64,
}

impl Fit {
    /// The fit to what is supposed of the stickers; without a profile (`adapts`) the colours move too.
    pub fn new(
        judge: &Judge,
        looks: &[Look],
        labels: &[Vec<Labels>],
        frame: &Frame,
        work: &Work,
    ) -> Fit {
        let model = &judge.model;
        work.spend_fit(looks, judge.adapts);
        let mut lights = Lights::fit(model, looks, labels, frame);
        let mut log_occam_factor = 0.0;
        let mut adapted = None;
        if judge.adapts {
            let moved = lights.adapt(model, looks, labels, frame);
            lights = Lights::fit(&moved, looks, labels, frame);
            log_occam_factor += moved.log_occam_factor(model);
            adapted = Some(moved);
        }
        let evidence = lights.evidence(adapted.as_ref().unwrap_or(model), looks, frame);
        log_occam_factor += lights.log_occam_factor;
        Fit {
            lights,
            evidence,
            log_occam_factor,
        }
    }
}

impl Fit {
    /// The evidence that was fitted in one frame, by the roles of another.
    fn evidence_in(&self, own: &Frame, other: &Frame) -> Vec<LookEvidence> {
        let mut evidence = self.evidence.clone();
        for table in evidence.iter_mut().flat_map(|look| &mut look.faces) {
            *table = other.roles(&own.colours(table));
        }
        evidence
    }
}

/// How well the centres alone fit a reading of them, at the light that suits it.
fn rate(judge: &Judge, looks: &[Look], association: &Association, work: &Work) -> f64 {
    let (model, frame) = (&judge.model, &association.frame);
    work.spend_rate(looks);
    let labels = centre_labels(association);
    let lights = Lights::fit(model, looks, &labels, frame);
    let centres = lights.centres(model, looks, &labels, frame);
    centres + lights.log_occam_factor + f64::from(association.prior())
}

/// What was found for one reading of the centres, with the evidence it was found in.
struct LocalOptimum {
    association: Association,
    found: Found,
    evidence: Vec<LookEvidence>,
}

impl LocalOptimum {
    fn alternatives(&self) -> Alternatives {
        let Association {
            assigned, frame, ..
        } = &self.association;
        alternatives(&self.evidence, assigned, frame.mirrored)
    }
}

/// Nats by which another assignment of a look must suit the state better to be tried.
const BETTER_ASSIGNED: f64 = 4.0;

/// Times that looks are assigned anew at most.
const MOST_REASSIGNMENTS: usize = 3;

/// Fits state and light by turns, and assigns each look anew where the state shows that its centres were misjudged. None where
/// that leads to what was tried before.
fn fit_with_reassignment(
    judge: &Judge,
    looks: &[Look],
    mut association: Association,
    work: &Work,
    tried: &mut Vec<Association>,
) -> Option<LocalOptimum> {
    for round in 0.. {
        if tried.iter().any(|known| known.assigns_as(&association)) {
            return None;
        }
        tried.push(association.clone());
        let (found, evidence) = fit_state_and_light(judge, looks, &association, work)?;
        let state = likeliest(&found)?.state;
        match reassigned(judge, looks, &association, &state, &evidence) {
            Some(assigned) if round < MOST_REASSIGNMENTS && !work.is_done() => {
                association = assigned
            }
            _ => {
                return Some(LocalOptimum {
                    association,
                    found,
                    evidence,
                });
            }
        }
    }
    None
}

/// The association with the looks assigned where they suit a state best, when that differs.
fn reassigned(
    judge: &Judge,
    looks: &[Look],
    association: &Association,
    state: &Arrangement,
    evidence: &[LookEvidence],
) -> Option<Association> {
    let model = &judge.model;
    // The lights of faces that were misassigned are wrong; those of the room are not.
    let rolls = best_rolls(state, association, evidence);
    let frame = &association.frame;
    let labels = state_labels(state, association, &rolls);
    let mut lights = Lights::fit(model, looks, &labels, frame);
    let adapted = judge
        .adapts
        .then(|| lights.adapt(model, looks, &labels, frame));
    let model = adapted.as_ref().unwrap_or(model);
    if adapted.is_some() {
        lights = Lights::fit(model, looks, &labels, frame);
    }
    let evidence = lights.of_room_only().evidence(model, looks, frame);
    let mut changed = false;
    let mut anew = association.clone();
    for (i, look) in evidence.iter().enumerate() {
        let single = std::slice::from_ref(look);
        let laid = |assignment: &Vec<Assignment>, single: &[LookEvidence]| {
            let one = Association {
                assigned: vec![assignment.clone()],
                ..*association
            };
            let labels = state_labels(state, &one, &best_rolls(state, &one, single));
            (total(single, &labels, &one), labels)
        };
        // A face that is pale in strong light is white in its own light when it is taken for white: each assignment brings its own.
        let in_own_light = |assignment: &Vec<Assignment>, labels: &[Vec<Labels>]| -> f64 {
            let (lit, log_occam_factor) = lights.of_look(model, &looks[i], &labels[0], frame);
            laid(assignment, &[lit]).0 + log_occam_factor
        };
        let present = &association.assigned[i];
        let at_first_sight: Vec<_> = assignments_of(look, frame.mirrored)
            .map(|assignment| (laid(&assignment, single), assignment))
            .collect();
        let scores = at_first_sight.iter().map(|((score, _), _)| *score);
        let most = scores.fold(f64::NEG_INFINITY, f64::max);
        let others = at_first_sight
            .into_iter()
            .filter(|((score, _), assignment)| *score > most - LIKELY && assignment != present);
        let best = others
            .map(|((_, labels), assignment)| (in_own_light(&assignment, &labels), assignment))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((better, assignment)) = best
            && better > in_own_light(present, &laid(present, single).1) + BETTER_ASSIGNED
        {
            anew.assigned[i] = assignment;
            changed = true;
        }
    }
    changed.then_some(anew)
}

/// Fits light and state by turns until the state stays: what is found, and the evidence that it is found in.
fn fit_state_and_light(
    judge: &Judge,
    looks: &[Look],
    association: &Association,
    work: &Work,
) -> Option<(Found, Vec<LookEvidence>)> {
    let mut labels = centre_labels(association);
    let mut state = None;
    for round in 0.. {
        let frame = &association.frame;
        let Fit { evidence, .. } = Fit::new(judge, looks, &labels, frame, work);
        let alternatives = alternatives(&evidence, &association.assigned, frame.mirrored);
        let found = search(&alternatives, work);
        let likeliest = likeliest(&found)?.state;
        if state == Some(likeliest) || round == MOST_ROUNDS || work.is_done() {
            return Some((found, evidence));
        }
        state = Some(likeliest);
        let rolls = best_rolls(&likeliest, association, &evidence);
        labels = state_labels(&likeliest, association, &rolls);
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
    judge: &Judge,
    looks: &[Look],
    association: &Association,
    hypothesis: &Hypothesis,
    evidence: &[LookEvidence],
    work: &Work,
) -> Explanation {
    let state = &hypothesis.state;
    let mut rolls = best_rolls(state, association, evidence);
    let mut labels = state_labels(state, association, &rolls);
    let mut fit = Fit::new(judge, looks, &labels, &association.frame, work);
    let again = best_rolls(state, association, &fit.evidence);
    if again != rolls {
        labels = state_labels(state, association, &again);
        rolls = again;
        fit = Fit::new(judge, looks, &labels, &association.frame, work);
    }
    let prior = association.prior_in(judge.known) + f64::from(hypothesis.flaw.prior());
    let score = total(&fit.evidence, &labels, association) + fit.log_occam_factor + prior;
    Explanation {
        state: hypothesis.state,
        flaw: hypothesis.flaw,
        association: association.clone(),
        rolls,
        labels,
        evidence: fit.evidence,
        lights: fit.lights,
        log_occam_factor: fit.log_occam_factor,
        prior,
        score,
    }
}

impl Explanation {
    /// Whether it is of a cube coloured as one seen in a frame is.
    fn is_same_cube_in(&self, frame: &Frame) -> bool {
        self.association.frame.is_coloured_as(frame)
    }
}

/// Where the best state, which comes first, is a flawed one, scores the legal ones at the lights of all others, too. A fit may
/// stop short of the best light; a state for which another one's fit found a better light would else seem less likely than
/// it is, and a good cube be called impossible. That can bring it level with the best, but not ahead: what a borrowed
/// light shows may make a reading unsure, and never sure.
fn maximise_over_lights(all: &mut [Explanation]) {
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
            let scores = all.iter().map(|other| score_at_light_of(own, other));
            scores.fold(own.score, f64::max).min(most)
        })
        .collect();
    for (own, lent) in all.iter_mut().filter(|own| is_legal(own)).zip(lent) {
        own.score = lent;
    }
    all.sort_by(|a, b| b.score.total_cmp(&a.score));
}

/// The score of a state at the light of another one.
fn score_at_light_of(own: &Explanation, other: &Explanation) -> f64 {
    // Evidence is by the roles of colours, which differ from frame to frame.
    if !own.is_same_cube_in(&other.association.frame) {
        return f64::NEG_INFINITY;
    }
    let rolls = best_rolls(&own.state, &own.association, &other.evidence);
    let labels = state_labels(&own.state, &own.association, &rolls);
    total(&other.evidence, &labels, &own.association) + other.log_occam_factor + own.prior
}

/// Log-likelihood of the labelled stickers, none below the cap; several looks at one face share their errors.
pub fn total(evidence: &[LookEvidence], labels: &[Vec<Labels>], association: &Association) -> f64 {
    let mut sum = 0.0;
    for ((look, labels), assignments) in evidence.iter().zip(labels).zip(&association.assigned) {
        for ((table, labels), assignment) in look.faces.iter().zip(labels).zip(assignments) {
            let seen = association
                .assigned
                .iter()
                .flatten()
                .filter(|p| p.face == assignment.face)
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
        let judge = Judge {
            model: Model::generic(),
            adapts: true,
            known: Known::default(),
        };
        let all = explain(&judge, &looks, &Work::new()).explanations;
        assert!(!all[0].flaw.none());
        assert!(all.iter().any(|e| e.flaw.none()));
        for own in all.iter().filter(|e| e.flaw.none()) {
            for other in &all {
                assert!(own.score >= score_at_light_of(own, other).min(all[0].score) - 1e-6);
            }
        }
    }
}
