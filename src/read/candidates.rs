//! Which of a few likely states a look or two show: for following along.

use super::evidence::{LookEvidence, Weights, log_ratios};
use super::explain::{Explanation, Fit, explain_as_expected, likely_centres, total, weigh};
use super::frame::Frame;
use super::hypothesis::{Flaw, Hypothesis};
use super::lights::{Labels, best_rolls, centre_labels, state_labels};
use super::outliers::contradictions;
use super::places::Arrangement;
use super::reader::Reader;
use super::work::Work;
use crate::cube::Cube;
use crate::sight::Look;

/// How well one state explains some looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CandidateScore {
    /// Natural logarithm of the likelihood of all that was seen, at the centres, rolls and light that suit the state
    /// best. Only differences between states scored together mean something.
    pub log_likelihood: f64,
    /// Stickers that clearly show another colour than the state has there: with more than one or two, it is some
    /// other state.
    pub contradictions: usize,
    /// Nats by which all stickers together would be explained better if each had its likeliest colour: a highlight costs
    /// some, another state costs many.
    pub shortfall: f64,
}

fn scored(
    log_likelihood: f64,
    evidence: &[LookEvidence],
    labels: &[Vec<Labels>],
) -> CandidateScore {
    let faces = evidence.iter().flat_map(|look| &look.faces);
    let stickers = faces.flatten().zip(labels.iter().flatten().flatten());
    let loss = |(weights, label): (&Weights, &Option<usize>)| {
        label.map_or(0.0, |c| -f64::from(log_ratios(weights)[c]))
    };
    CandidateScore {
        log_likelihood,
        contradictions: contradictions(evidence, labels).iter().sum(),
        shortfall: stickers.map(loss).sum(),
    }
}

/// States this far (nats) below the best are not weighed at a light of their own.
const FAR: f64 = 25.0;

impl Reader {
    /// How well each of some states explains looks at a cube whose centres and rolls are not known: other looks than
    /// those added to the reader, one or two are usually enough. In the order of the states; empty when the looks show
    /// no face.
    pub fn score_candidates(&self, states: &[Cube], looks: &[Look]) -> Vec<CandidateScore> {
        let (judge, work) = (self.judge(), Work::new());
        let mut views = Vec::new();
        let frames = Frame::expected(judge.known);
        for association in likely_centres(judge, looks, &frames, &work) {
            let labels = centre_labels(&association);
            if labels.iter().all(Vec::is_empty) {
                continue;
            }
            let evidence = Fit::new(judge, looks, &labels, &association.frame, &work).evidence;
            let quick: Vec<CandidateScore> = states
                .iter()
                .map(|cube| {
                    let state = Arrangement::of(cube);
                    let rolls = best_rolls(&state, &association, &evidence);
                    let labels = state_labels(&state, &association, &rolls);
                    scored(total(&evidence, &labels, &association), &evidence, &labels)
                })
                .collect();
            let likelihoods = quick.iter().map(|q| q.log_likelihood);
            let most = likelihoods.fold(f64::NEG_INFINITY, f64::max);
            views.push((association, evidence, quick, most));
        }
        let most_of_all = views
            .iter()
            .map(|(.., most)| *most)
            .fold(f64::NEG_INFINITY, f64::max);
        // Centres taken otherwise that explain no state nearly as well need no light of their own.
        views.retain(|(.., most)| *most >= most_of_all - FAR);
        let mut best: Vec<Option<CandidateScore>> = vec![None; states.len()];
        for (association, evidence, quick, most) in views {
            let likelihoods = quick.iter().map(|q| q.log_likelihood);
            let weighed = |cube: &Cube| -> Explanation {
                let state = Arrangement::of(cube);
                let hypothesis = Hypothesis {
                    state,
                    flaw: Flaw::default(),
                    score: 0.0,
                };
                weigh(judge, looks, &association, &hypothesis, &evidence, &work)
            };
            let Some(leader) = { likelihoods }.position(|l| l >= most) else {
                continue;
            };
            let leading = weighed(&states[leader]).score;
            for ((cube, quick), best) in states.iter().zip(&quick).zip(&mut best) {
                let score = if quick.log_likelihood < most - FAR {
                    CandidateScore {
                        log_likelihood: leading - (most - quick.log_likelihood),
                        ..*quick
                    }
                } else {
                    let e = weighed(cube);
                    scored(e.score, &e.evidence, &e.labels)
                };
                if best.is_none_or(|b| score.log_likelihood > b.log_likelihood) {
                    *best = Some(score);
                }
            }
        }
        best.into_iter().flatten().collect()
    }

    /// Natural logarithm of the likelihood of all that was seen, for whichever legal state explains the looks best; to be
    /// compared with [`CandidateScore::log_likelihood`] of states scored with the same looks.
    pub fn best_log_likelihood(&self, looks: &[Look]) -> f64 {
        let explained = explain_as_expected(self.judge(), looks, &Work::new());
        let legal = explained.explanations.iter().filter(|e| e.flaw.none());
        legal.map(|e| e.score).fold(f64::NEG_INFINITY, f64::max)
    }
}
