//! Explaining the looks: centres, light and state found together, by turns, and rivals weighed at their own best light.

use super::evidence::{
    Alternatives, LookEvidence, Placing, STICKER_CAP, alternatives, placings, shared_weight,
};
use super::frame::{Frame, Known};
use super::hypothesis::{Flaw, Hypothesis};
use super::places::Arrangement;
use super::relight::{Labels, Lights, best_rolls, centre_labels, state_labels};
use super::search::{Found, search, search_above, search_wide};
use super::suppose::{Supposition, placings_of, suppositions};
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
                    && known.is_same_cube_in(&explanation.supposition.frame)
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
        lend_lights(&mut self.all);
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
    let mut tried: Vec<Supposition> = Vec::new();
    let mut settled = Vec::new();
    for supposition in likely_centres(judge, looks, frames, work) {
        let Some(one) = settle_all(judge, looks, supposition, work, &mut tried) else {
            continue;
        };
        let best = explaining.take(judge, looks, &one, work);
        settled.push((best, one));
    }
    let likely = explaining.best() - LIKELY;
    for (_, one) in settled.iter().filter(|(best, _)| *best > likely) {
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
    fn take(&mut self, judge: &Judge, looks: &[Look], one: &Settled, work: &Work) -> f64 {
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
        .map(|best| best.supposition.clone());
    let mut named: Vec<Centres> = best.iter().map(colours_of_centres).collect();
    for free in free_centres(judge, looks, work) {
        if !named.contains(&free) {
            named.push(free);
        }
    }
    let mut rated: Vec<(f64, Supposition)> = Vec::new();
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
        let rating = |supposition: &Supposition, above: f64| -> Option<f64> {
            let prior = supposition.prior_in(judge.known);
            let evidence = fit.evidence_in(&reference.frame, &supposition.frame);
            let alternatives =
                alternatives(&evidence, &supposition.placed, supposition.frame.mirrored);
            let found = search_above(&alternatives, (above - prior) as f32, work);
            likeliest(&found).map(|h| f64::from(h.score) + prior)
        };
        let mut most = f64::NEG_INFINITY;
        for frame in Frame::expected(judge.known) {
            let own = placed_in(looks, colours, &frame);
            let rated = own.and_then(|own| rating(&own, most - LIKELY));
            most = most.max(rated.unwrap_or(most));
        }
        for frame in Frame::rivals(judge.known) {
            if work.is_done() {
                return;
            }
            let Some(supposition) = placed_in(looks, colours, &frame) else {
                continue;
            };
            if let Some(score) = rating(&supposition, most - LIKELY) {
                most = most.max(score);
                rated.push((score, supposition));
            }
        }
        rated.retain(|(score, _)| *score > most - LIKELY);
    }
    rated.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut tried: Vec<Supposition> = Vec::new();
    let first = rated.first().map_or(0.0, |(score, _)| *score);
    let near = rated.partition_point(|(score, _)| *score > first - NEAR_RIVALS);
    let gone_into = near.max(MOST_RIVALS);
    let left_out = rated.get(gone_into).map(|(score, _)| *score);
    for (_, supposition) in rated.into_iter().take(gone_into) {
        if work.is_done() {
            return;
        }
        if let Some(one) = settle_all(judge, looks, supposition, work, &mut tried) {
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

fn colours_of_centres(supposition: &Supposition) -> Centres {
    let look = |look: &Vec<Placing>| {
        let faces = look.iter();
        faces.map(|p| supposition.frame.centre(p.face)).collect()
    };
    supposition.placed.iter().map(look).collect()
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
fn placed_in(looks: &[Look], colours: &Centres, frame: &Frame) -> Option<Supposition> {
    let placed = looks.iter().zip(colours).map(|(look, colours)| {
        let faces: Vec<Face> = colours.iter().map(|&c| frame.face_of(c)).collect();
        placings(&look.joints, &faces, frame.mirrored)
    });
    Some(Supposition {
        placed: placed.collect::<Option<_>>()?,
        frame: *frame,
        score: 0.0,
    })
}

/// The first frame in which the looks can lie so.
fn first_in(judge: &Judge, looks: &[Look], colours: &Centres) -> Option<Supposition> {
    let frames = Frame::expected(judge.known).into_iter();
    let mut frames = frames.chain(Frame::rivals(judge.known));
    frames.find_map(|frame| placed_in(looks, colours, &frame))
}

/// Weighs what was found for one reading of the centres, as far as it is not known for that; the best score of it.
fn weigh_found(
    judge: &Judge,
    looks: &[Look],
    settled: &Settled,
    found: &Found,
    work: &Work,
    all: &mut Vec<Explanation>,
) -> f64 {
    let Settled {
        supposition,
        evidence,
        ..
    } = settled;
    let mut best = f64::NEG_INFINITY;
    for hypothesis in found.legal.iter().chain(&found.flawed) {
        if best > f64::NEG_INFINITY && work.is_done() {
            break;
        }
        let known = all
            .iter_mut()
            .find(|e| e.state == hypothesis.state && e.is_same_cube_in(&supposition.frame));
        if known
            .as_ref()
            .is_some_and(|e| e.supposition.places_as(supposition))
        {
            continue;
        }
        let explanation = weigh(judge, looks, supposition, hypothesis, evidence, work);
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
) -> Vec<Supposition> {
    let model = &judge.model;
    let mut rated: Vec<(f64, Supposition)> = Vec::new();
    let mut evidence = Lights::unknown(looks).evidence(model, looks, &frames[0]);
    // The light that the centres show tells more of the centres.
    for _ in 0..MOST_CENTRE_ROUNDS {
        let before = rated.len();
        for frame in frames {
            for supposition in suppositions(&evidence, frame, MOST_CENTRES) {
                let known = rated.iter().any(|(_, known)| known.places_as(&supposition));
                if !known && (rated.is_empty() || !work.is_done()) {
                    rated.push((rate(judge, looks, &supposition, work), supposition));
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
    rated.retain(|(score, supposition)| {
        let kept = &mut kept[usize::from(supposition.frame.mirrored)];
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
        let mut expectedness = 0.0;
        let mut adapted = None;
        if judge.adapts {
            let moved = lights.adapt(model, looks, labels, frame);
            lights = Lights::fit(&moved, looks, labels, frame);
            expectedness += moved.expectedness(model);
            adapted = Some(moved);
        }
        let evidence = lights.evidence(adapted.as_ref().unwrap_or(model), looks, frame);
        expectedness += lights.expectedness;
        Fit {
            lights,
            evidence,
            expectedness,
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
fn rate(judge: &Judge, looks: &[Look], supposition: &Supposition, work: &Work) -> f64 {
    let (model, frame) = (&judge.model, &supposition.frame);
    work.spend_rate(looks);
    let labels = centre_labels(supposition);
    let lights = Lights::fit(model, looks, &labels, frame);
    let centres = lights.centres(model, looks, &labels, frame);
    centres + lights.expectedness + f64::from(supposition.prior())
}

/// What was found for one reading of the centres, with the evidence it was found in.
struct Settled {
    supposition: Supposition,
    found: Found,
    evidence: Vec<LookEvidence>,
}

impl Settled {
    fn alternatives(&self) -> Alternatives {
        let Supposition { placed, frame, .. } = &self.supposition;
        alternatives(&self.evidence, placed, frame.mirrored)
    }
}

/// Nats by which another placing of a look must suit the state better to be tried.
const BETTER_PLACED: f64 = 4.0;

/// Times that looks are placed anew at most.
const MOST_PLACINGS: usize = 3;

/// Settles light and state, and places each look anew where the state shows that its centres were misjudged. None where
/// that leads to what was tried before.
fn settle_all(
    judge: &Judge,
    looks: &[Look],
    mut supposition: Supposition,
    work: &Work,
    tried: &mut Vec<Supposition>,
) -> Option<Settled> {
    for placings in 0.. {
        if tried.iter().any(|known| known.places_as(&supposition)) {
            return None;
        }
        tried.push(supposition.clone());
        let (found, evidence) = settle(judge, looks, &supposition, work)?;
        let state = likeliest(&found)?.state;
        match placed_anew(judge, looks, &supposition, &state, &evidence) {
            Some(placed) if placings < MOST_PLACINGS && !work.is_done() => supposition = placed,
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
    judge: &Judge,
    looks: &[Look],
    supposition: &Supposition,
    state: &Arrangement,
    evidence: &[LookEvidence],
) -> Option<Supposition> {
    let model = &judge.model;
    // The lights of faces that were misplaced are wrong; those of the room are not.
    let rolls = best_rolls(state, supposition, evidence);
    let frame = &supposition.frame;
    let labels = state_labels(state, supposition, &rolls);
    let mut lights = Lights::fit(model, looks, &labels, frame);
    let adapted = judge
        .adapts
        .then(|| lights.adapt(model, looks, &labels, frame));
    let model = adapted.as_ref().unwrap_or(model);
    if adapted.is_some() {
        lights = Lights::fit(model, looks, &labels, frame);
    }
    let evidence = lights.of_room_alone().evidence(model, looks, frame);
    let mut changed = false;
    let mut anew = supposition.clone();
    for (i, look) in evidence.iter().enumerate() {
        let alone = std::slice::from_ref(look);
        let laid = |placing: &Vec<Placing>, alone: &[LookEvidence]| {
            let one = Supposition {
                placed: vec![placing.clone()],
                ..*supposition
            };
            let labels = state_labels(state, &one, &best_rolls(state, &one, alone));
            (total(alone, &labels, &one), labels)
        };
        // A face that is pale in strong light is white in its own light when it is taken for white: each placing brings its own.
        let in_own_light = |placing: &Vec<Placing>, labels: &[Vec<Labels>]| -> f64 {
            let (lit, expectedness) = lights.of_look(model, &looks[i], &labels[0], frame);
            laid(placing, &[lit]).0 + expectedness
        };
        let present = &supposition.placed[i];
        let at_first_sight: Vec<_> = placings_of(look, frame.mirrored)
            .map(|placing| (laid(&placing, alone), placing))
            .collect();
        let scores = at_first_sight.iter().map(|((score, _), _)| *score);
        let most = scores.fold(f64::NEG_INFINITY, f64::max);
        let others = at_first_sight
            .into_iter()
            .filter(|((score, _), placing)| *score > most - LIKELY && placing != present);
        let best = others
            .map(|((_, labels), placing)| (in_own_light(&placing, &labels), placing))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((better, placing)) = best
            && better > in_own_light(present, &laid(present, alone).1) + BETTER_PLACED
        {
            anew.placed[i] = placing;
            changed = true;
        }
    }
    changed.then_some(anew)
}

/// Fits light and state by turns until the state stays: what is found, and the evidence that it is found in.
fn settle(
    judge: &Judge,
    looks: &[Look],
    supposition: &Supposition,
    work: &Work,
) -> Option<(Found, Vec<LookEvidence>)> {
    let mut labels = centre_labels(supposition);
    let mut state = None;
    for round in 0.. {
        let frame = &supposition.frame;
        let Fit { evidence, .. } = Fit::new(judge, looks, &labels, frame, work);
        let alternatives = alternatives(&evidence, &supposition.placed, frame.mirrored);
        let found = search(&alternatives, work);
        let likeliest = likeliest(&found)?.state;
        if state == Some(likeliest) || round == MOST_ROUNDS || work.is_done() {
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
    judge: &Judge,
    looks: &[Look],
    supposition: &Supposition,
    hypothesis: &Hypothesis,
    evidence: &[LookEvidence],
    work: &Work,
) -> Explanation {
    let state = &hypothesis.state;
    let mut rolls = best_rolls(state, supposition, evidence);
    let mut labels = state_labels(state, supposition, &rolls);
    let mut fit = Fit::new(judge, looks, &labels, &supposition.frame, work);
    let again = best_rolls(state, supposition, &fit.evidence);
    if again != rolls {
        labels = state_labels(state, supposition, &again);
        rolls = again;
        fit = Fit::new(judge, looks, &labels, &supposition.frame, work);
    }
    let prior = supposition.prior_in(judge.known) + f64::from(hypothesis.flaw.prior());
    let score = total(&fit.evidence, &labels, supposition) + fit.expectedness + prior;
    Explanation {
        state: hypothesis.state,
        flaw: hypothesis.flaw,
        supposition: supposition.clone(),
        rolls,
        labels,
        evidence: fit.evidence,
        lights: fit.lights,
        expectedness: fit.expectedness,
        prior,
        score,
    }
}

impl Explanation {
    /// Whether it is of a cube coloured as one seen in a frame is.
    fn is_same_cube_in(&self, frame: &Frame) -> bool {
        self.supposition.frame.is_coloured_as(frame)
    }
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
    // Evidence is by the roles of colours, which differ from frame to frame.
    if !own.is_same_cube_in(&other.supposition.frame) {
        return f64::NEG_INFINITY;
    }
    let rolls = best_rolls(&own.state, &own.supposition, &other.evidence);
    let labels = state_labels(&own.state, &own.supposition, &rolls);
    total(&other.evidence, &labels, &own.supposition) + other.expectedness + own.prior
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
                assert!(own.score >= score_lit_by(own, other).min(all[0].score) - 1e-6);
            }
        }
    }
}
