//! Whether what was taken for a face is one of the cube's: how likely the picture makes it, and how well its stickers go with the
//! cube that the others make.
//!
//! A view may be the face that the explanation makes of it, a face of the cube in another state (it was turned meanwhile), or
//! no face of it at all: something else in rows and columns, or another cube. The last two say nothing of the state.

use super::association::Association;
use super::evidence::{LookEvidence, Table, alternatives, log_ratios};
use super::explain::{Explanation, Judge, weigh};
use super::hypothesis::Hypothesis;
use super::lights::Labels;
use super::outliers::against;
use super::search::search;
use super::work::Work;
use crate::cube::Face;
use crate::sight::Look;

/// A view: index of the look, and of the face in it.
pub type View = (usize, usize);

/// Share of things taken for a face that are of one colour all over, as tiles and windows are; of the others each cell may have any
/// colour. A judgement.
const EVEN: f64 = 0.5;

/// A cube that is turned while it is shown, as log-odds (natural) for each view: one in 50. A judgement.
const TURNED: f64 = -4.0;

/// Share of a face's stickers that turns of other layers change.
const CHANGED: f64 = 1.0 / 3.0;

/// No picture tells more than this (nats), by itself, of whether something is a face.
const MOST_TOLD: f64 = 12.0;

/// Ways in which what is no face might still go with the other five: four rolls, and the orders of the four edges around it.
/// Its corners are known from their other two stickers.
const WAYS: f64 = 4.0 * 24.0;

/// What a view is, as log-odds (natural) against its being no face of the cube.
#[derive(Clone, Copy, Debug)]
pub struct Standing {
    /// That it is the face that the explanation makes of it.
    pub own: f64,
    /// That it is a face of the same cube in another state.
    pub turned: f64,
}

/// How a view stands in an explanation.
pub fn standing(explanation: &Explanation, looks: &[Look], (i, j): View) -> Standing {
    let score = f64::from(looks[i].faces[j].score).clamp(-MOST_TOLD, MOST_TOLD);
    let table = &explanation.evidence[i].faces[j];
    let Fitting { own, turned } = fitting(table, &explanation.labels[i][j]);
    Standing {
        own: score + own,
        turned: score + turned + TURNED,
    }
}

/// How much better (nats) nine stickers go with labels than with what is no face, and with most of the labels.
struct Fitting {
    own: f64,
    turned: f64,
}

fn fitting(table: &Table, labels: &Labels) -> Fitting {
    let mut any = 0.0;
    let mut even = [0.0; 6];
    let (mut own, mut turned) = (0.0, 0.0);
    for (weights, label) in table.iter().zip(labels) {
        let weights = log_ratios(weights).map(f64::from);
        let mean = weights.iter().map(|w| w.exp()).sum::<f64>() / weights.len() as f64;
        any += mean.ln();
        for (sum, weight) in even.iter_mut().zip(&weights) {
            *sum += weight;
        }
        let label = label.map_or(mean.ln(), |role| weights[role]);
        own += label;
        turned += ((1.0 - CHANGED) * label.exp() + CHANGED * mean).ln();
    }
    let even = even.iter().map(|e| e.exp()).sum::<f64>() / even.len() as f64;
    let nothing = ((1.0 - EVEN) * any.exp() + EVEN * even).ln();
    Fitting {
        own: own - nothing,
        turned: turned - nothing,
    }
}

/// All views of an explanation.
fn views(explanation: &Explanation) -> impl Iterator<Item = View> {
    let looks = explanation.labels.iter().enumerate();
    looks.flat_map(|(i, faces)| (0..faces.len()).map(move |j| (i, j)))
}

/// The views that are rather no face of the cube, the least likely face first.
pub fn clutter(explanation: &Explanation, looks: &[Look]) -> Vec<View> {
    let mut clutter: Vec<(f64, View)> = views(explanation)
        .map(|view| (standing(explanation, looks, view), view))
        .filter(|(standing, _)| standing.own < 0.0 && standing.turned < 0.0)
        .map(|(standing, view)| (standing.own, view))
        .collect();
    clutter.sort_by(|a, b| a.0.total_cmp(&b.0));
    clutter.into_iter().map(|(_, view)| view).collect()
}

/// The views of one face of the cube, of which it is not sure enough that any is of the cube at all: something seen in several
/// pictures is one thing.
#[derive(Clone, Debug)]
pub struct Unconfirmed {
    pub views: Vec<View>,
    /// Natural log-odds that it is a face of the cube.
    pub odds: f64,
}

/// That what is shown is not one cube at all, whatever else may be: two cubes, a cube that was turned, one put together in a way that is not
/// thought of. Log-odds (natural), a judgement. It keeps from leaving out views until some cube fits the rest.
const NO_ONE_CUBE: f64 = -12.0;

/// Density of what is in no colour of the cube, even over the scale on which colours are judged (see `colour::model`).
const ANY_COLOUR: f64 = 1.0 / 17.6;

/// Log-odds (natural) that a view is a face of some cube with these colours, by its score and by whether its stickers are of them.
pub fn of_some_cube(explanation: &Explanation, looks: &[Look], (i, j): View) -> f64 {
    let sticker = |weights: &[f32; 6]| {
        let all: f64 = weights.iter().map(|&w| f64::from(w).exp()).sum();
        (all / weights.len() as f64 / ANY_COLOUR).ln()
    };
    let colours: f64 = explanation.evidence[i].faces[j].iter().map(sticker).sum();
    f64::from(looks[i].faces[j].score) + colours.min(0.0)
}

/// How sure (nats) it is that views which were left out were no faces, rather than that the looks are not of one cube.
pub fn sure_of_clutter(odds: &[f64]) -> f64 {
    -NO_ONE_CUBE - odds.iter().map(|odds| odds.max(0.0)).sum::<f64>()
}

/// What another state may gain (nats) by a light of its own, at most, where a face is left out. A judgement.
const OWN_LIGHT: f64 = 6.0;

/// What must be left out to see whether the reading hangs on it.
pub fn unconfirmed(
    explanation: &Explanation,
    looks: &[Look],
    sure: f64,
    work: &Work,
) -> Vec<Unconfirmed> {
    // Without those views another state may gain what the best one has to explain away.
    let gained = against(explanation);
    let of_face = |face: Face| {
        let assigned = &explanation.association.assigned;
        let views: Vec<View> = views(explanation)
            .filter(|&(i, j)| assigned[i][j].face == face)
            .collect();
        let odds = views
            .iter()
            .map(|&view| standing(explanation, looks, view).own);
        let odds = odds.fold(f64::NEG_INFINITY, f64::max);
        (!views.is_empty()).then_some(Unconfirmed { views, odds })
    };
    let faces = Face::ALL.into_iter().filter_map(of_face);
    faces
        .filter(|unconfirmed| sure_without(unconfirmed, -gained) < sure)
        .filter(|unconfirmed| {
            let lead = lead_at_its_light(explanation, &unconfirmed.views, work);
            sure_without(unconfirmed, lead - OWN_LIGHT) < sure
        })
        .collect()
}

/// How far (nats) the state leads all others where some views are left out, all in the light that suits this state.
fn lead_at_its_light(explanation: &Explanation, views: &[View], work: &Work) -> f64 {
    let (association, evidence) = less(explanation, views);
    let mirrored = association.frame.mirrored;
    let alternatives = alternatives(&evidence, &association.assigned, mirrored);
    let colours = explanation.state.colours();
    let of_face = |(face, tables): (usize, &Vec<Table>)| {
        let score = |table: &Table| -> f32 {
            let stickers = table.iter().enumerate();
            stickers
                .map(|(i, weights)| weights[colours[9 * face + i]])
                .sum()
        };
        tables.iter().map(score).fold(f32::NEG_INFINITY, f32::max)
    };
    let own: f32 = alternatives.iter().enumerate().map(of_face).sum();
    let found = search(&alternatives, work);
    let others = found.legal.iter().chain(&found.flawed);
    let others = others.filter(|h| h.state != explanation.state);
    let own = own + explanation.flaw.prior();
    f64::from(own - others.fold(found.unexplored, |most, h| most.max(h.score)))
}

/// How sure (nats) a state is that leads by so much where unconfirmed views, all of their face, are left out.
pub fn sure_without(unconfirmed: &Unconfirmed, lead: f64) -> f64 {
    unconfirmed.odds - WAYS.ln() + lead
}

/// The looks less some of their faces.
pub fn without(looks: &[Look], views: &[View]) -> Vec<Look> {
    let mut looks = looks.to_vec();
    let mut views = views.to_vec();
    views.sort();
    for &(i, j) in views.iter().rev() {
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

/// An explanation's state weighed by the looks less some views alone, taken as the explanation takes them.
pub fn weighed_without(
    judge: &Judge,
    explanation: &Explanation,
    less_looks: &[Look],
    views: &[View],
    work: &Work,
) -> Explanation {
    let (association, evidence) = less(explanation, views);
    let hypothesis = Hypothesis {
        state: explanation.state,
        flaw: explanation.flaw,
        score: 0.0,
    };
    weigh(
        judge,
        less_looks,
        &association,
        &hypothesis,
        &evidence,
        work,
    )
}

/// What an explanation makes of the looks less some views.
fn less(explanation: &Explanation, views: &[View]) -> (Association, Vec<LookEvidence>) {
    let mut association = explanation.association.clone();
    let mut evidence = explanation.evidence.clone();
    let mut views = views.to_vec();
    views.sort();
    for &(i, j) in views.iter().rev() {
        association.assigned[i].remove(j);
        evidence[i].faces.remove(j);
    }
    (association, evidence)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::evidence::Weights;

    const UNSEEN: Weights = [0.0; 6];

    fn clear(role: usize) -> Weights {
        std::array::from_fn(|c| if c == role { 0.0 } else { -9.0 })
    }

    /// A face of all six colours of which so many stickers are as they should be, so many others of another colour, and the
    /// rest unseen.
    fn face(right: usize, wrong: usize) -> Fitting {
        let labels: Labels = std::array::from_fn(|i| Some(i % 6));
        let table = std::array::from_fn(|i| match i {
            i if i < right => clear(i % 6),
            i if i < right + wrong => clear((i + 1) % 6),
            _ => UNSEEN,
        });
        fitting(&table, &labels)
    }

    #[test]
    fn a_face_goes_with_its_cube_by_most_of_its_stickers() {
        // Each sticker that could as well have been of five other colours tells ln 6.
        assert!((face(9, 0).own - 9.0 * 6f64.ln()).abs() < 1.0);
        assert!(face(8, 1).own > 0.0 && face(6, 3).own < 0.0 && face(3, 6).own < -20.0);
        assert!(face(0, 0).own.abs() < 1e-6);
        // A layer beside it was turned: six of nine are as they were.
        assert!(face(6, 3).turned + TURNED > 0.0);
        assert!(face(2, 7).turned + TURNED < 0.0);
    }

    #[test]
    fn an_even_face_tells_little() {
        let table = [clear(3); 9];
        let own = fitting(&table, &[Some(3); 9]).own;
        assert!(own > 0.0 && own < 3.0, "{own}");
    }
}
