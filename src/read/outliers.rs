//! Stickers that speak against the best state: something lies on them, or the cube is not what it is taken for.

use super::evidence::{
    LookEvidence, Table, Weights, log_ratios, rolled, shared_weight, transposed,
};
use super::explain::Explanation;
use super::lights::Labels;
use crate::cube::{Colour, Face, Fault, Net};

/// A sticker of the net that contradicts the state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outlier {
    /// As in `places`.
    pub cell: usize,
    /// The colour it seems to have.
    pub seen: usize,
    /// Looks of which each by itself says so.
    pub looks: usize,
}

/// Nats from which a sticker contradicts. Right readings of a hard scan reach 5 at times.
const CONTRADICTION: f32 = 7.5;

/// Contradicting stickers of one face of a look, and of all looks together, from which the looks do not show one
/// state. A turned layer changes three stickers of a face; a finger seldom hides so many altogether.
const FACE_AT_ODDS: usize = 3;
const LOOKS_AT_ODDS: usize = 6;

/// Whether some look shows something else than the state, be it outvoted or not.
pub fn at_odds(explanation: &Explanation) -> bool {
    let counts = contradictions(&explanation.evidence, &explanation.labels);
    counts.iter().any(|&n| n >= FACE_AT_ODDS) || counts.iter().sum::<usize>() >= LOOKS_AT_ODDS
}

/// For each seen face, how many stickers contradict their labels.
pub fn contradictions(evidence: &[LookEvidence], labels: &[Vec<Labels>]) -> Vec<usize> {
    let of_face = |(table, labels): (&Table, &Labels)| {
        let stickers = table.iter().zip(labels);
        stickers
            .filter(|(weights, label)| {
                label.is_some_and(|c| log_ratios(weights)[c] < -CONTRADICTION)
            })
            .count()
    };
    let looks = evidence.iter().zip(labels);
    looks
        .flat_map(|(look, labels)| look.faces.iter().zip(labels).map(of_face))
        .collect()
}

/// Nats by which the stickers, each by itself, look more like other colours than like those of the state.
pub fn against(explanation: &Explanation) -> f64 {
    let assigned = &explanation.association.assigned;
    let looks = explanation.evidence.iter().zip(&explanation.labels);
    let mut sum = 0.0;
    for ((look, labels), assignments) in looks.zip(assigned) {
        for ((table, labels), assignment) in look.faces.iter().zip(labels).zip(assignments) {
            let same = assigned
                .iter()
                .flatten()
                .filter(|p| p.face == assignment.face);
            let stickers = table.iter().zip(labels);
            let lost: f32 = stickers
                .filter_map(|(weights, label)| label.map(|c| -log_ratios(weights)[c]))
                .sum();
            sum += lost * shared_weight(same.count());
        }
    }
    f64::from(sum)
}

/// What each look says of every cell of the net.
fn net_weights(explanation: &Explanation) -> [Vec<Weights>; 54] {
    let mut said: [Vec<Weights>; 54] = std::array::from_fn(|_| Vec::new());
    let association = &explanation.association;
    let looks = explanation.evidence.iter().zip(&association.assigned);
    for ((look, assignments), rolls) in looks.zip(&explanation.rolls) {
        for ((table, assignment), &roll) in look.faces.iter().zip(assignments).zip(rolls) {
            let mut table = table.map(|w| log_ratios(&w));
            if association.frame.mirrored {
                table = transposed(&table);
            }
            let cells = &mut said[9 * assignment.face.index()..][..9];
            for (said, weights) in cells.iter_mut().zip(rolled(&table, roll)) {
                said.push(weights);
            }
        }
    }
    said
}

/// What all looks at one sticker say of it.
fn together(said: &[Weights]) -> Weights {
    let sum = |c| said.iter().map(|weights| weights[c]).sum::<f32>();
    std::array::from_fn(|c| sum(c) * shared_weight(said.len()))
}

/// How unlikely it is that some sticker of a cube is another one than belongs there, as log-odds (natural): about one cube
/// in 400. A judgement, no source.
const REPLACED: f64 = -6.0;

/// Stickers that may be replaced, and colours that each may get.
const REPLACEMENTS: f64 = 48.0 * 5.0;

/// A sticker that may be another one than the state has there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Suspect {
    /// As in `places`.
    pub cell: usize,
    /// The colour that it may have instead.
    pub seen: usize,
}

/// Share of another sticker's lean that is put down to a cause in common: a highlight, a shadow, the edge of a lamp's light. A
/// judgement: by as much again, three more of 1,120 stickers of a wrong colour are read away (`tests/reading/faulty.rs`).
const IN_COMMON: f32 = 0.25;

/// Whether the rival that no legal state stands for, the best state with any one sticker of another colour, comes nearer
/// to it than `sure` nats, and if so, which sticker mostly makes it so. Every colour of every sticker that was seen counts
/// by its likelihood, so that one of which nothing can be seen counts, too.
pub fn suspect(explanation: &Explanation, sure: f64) -> Option<Suspect> {
    let colours = explanation.state.colours();
    let said = less_common_causes(&net_weights(explanation), &colours);
    let mut all = 0.0;
    let mut most = (f64::NEG_INFINITY, None);
    for (cell, said) in said.iter().enumerate() {
        if cell % 9 == 4 || said.is_empty() {
            continue;
        }
        let own = colours[cell];
        let together = together(said);
        for seen in (0..6).filter(|&seen| seen != own) {
            let better = f64::from(together[seen] - together[own]);
            all += better.exp();
            if better > most.0 {
                most = (better, Some(Suspect { cell, seen }));
            }
        }
    }
    let odds = REPLACED + (all / REPLACEMENTS).ln();
    most.1.filter(|_| odds > -sure)
}

/// What is said of each sticker, less what it leans to other colours for a cause that it has in common with another one of its
/// colour on its face, as far as that leans there more than is usual for the colour. One sticker may be replaced; two that look
/// wrong alike rather lie in the same highlight.
fn less_common_causes(said: &[Vec<Weights>; 54], colours: &[usize; 54]) -> [Vec<Weights>; 54] {
    let mut less = said.clone();
    for own in 0..6 {
        let of_colour: Vec<usize> = (0..54).filter(|&cell| colours[cell] == own).collect();
        for seen in (0..6).filter(|&seen| seen != own) {
            let lean = |weights: &Weights| weights[seen] - weights[own];
            let mut leans: Vec<f32> = of_colour.iter().flat_map(|&c| &said[c]).map(lean).collect();
            leans.sort_by(f32::total_cmp);
            let Some(&usual) = leans.get(leans.len() / 2) else {
                continue;
            };
            for &cell in &of_colour {
                for look in 0..said[cell].len() {
                    let beside = of_colour
                        .iter()
                        .filter(|&&other| other != cell && other / 9 == cell / 9)
                        .map(|&other| lean(&said[other][look]))
                        .fold(usual, f32::max);
                    less[cell][look][seen] -= IN_COMMON * (beside - usual);
                }
            }
        }
    }
    less
}

/// All stickers of the net that, over all looks, contradict the state.
pub fn outliers(explanation: &Explanation) -> Vec<Outlier> {
    let colours = explanation.state.colours();
    let said = net_weights(explanation);
    let mut found = Vec::new();
    for (cell, (said, &colour)) in said.iter().zip(&colours).enumerate() {
        let together = together(said);
        let better = |best, c| {
            if together[c] > together[best] {
                c
            } else {
                best
            }
        };
        let seen = (0..6).fold(0, better);
        let loss = |weights: &Weights| weights[seen] - weights[colour];
        if together[seen] - together[colour] > CONTRADICTION {
            let looks = said.iter().filter(|w| loss(w) > CONTRADICTION).count();
            found.push(Outlier { cell, seen, looks });
        }
    }
    found
}

/// What the stickers show when those that contradict are taken at their word.
pub fn faults_as_seen(explanation: &Explanation, outliers: &[Outlier]) -> Vec<Fault> {
    let net = net_as_seen(explanation, outliers);
    net.and_then(|net| net.to_cube().err()).unwrap_or_default()
}

/// The stickers themselves; none where they are no net.
pub fn net_as_seen(explanation: &Explanation, outliers: &[Outlier]) -> Option<Net> {
    let mut colours = explanation.state.colours();
    for outlier in outliers {
        colours[outlier.cell] = outlier.seen;
    }
    Net::new(Face::ALL.map(|face| {
        std::array::from_fn(|r| {
            std::array::from_fn(|c| Colour::ALL[colours[9 * face.index() + 3 * r + c]])
        })
    }))
    .ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cube::Cube;
    use crate::read::places::Arrangement;

    /// The solved cube as one look sees it, but for some stickers that lean towards the first colour, by so many nats.
    fn seen(leaning: &[(usize, f32)]) -> ([Vec<Weights>; 54], [usize; 54]) {
        let colours = Arrangement::of(&Cube::solved()).colours();
        let said = std::array::from_fn(|cell| {
            let lean = leaning.iter().find(|(leaning, _)| *leaning == cell);
            let mut weights = [-9.0; 6];
            weights[colours[cell]] = 0.0;
            if let Some((_, lean)) = lean {
                weights[0] = *lean;
            }
            vec![weights]
        });
        (said, colours)
    }

    #[test]
    fn one_sticker_that_looks_wrong_is_taken_at_its_word() {
        let (said, colours) = seen(&[(9, 4.0)]);
        assert_eq!(less_common_causes(&said, &colours)[9], said[9]);
    }

    #[test]
    fn two_that_look_wrong_alike_are_believed_less() {
        let (said, colours) = seen(&[(9, 4.0), (10, 1.0)]);
        let less = less_common_causes(&said, &colours);
        assert_eq!(less[9][0][0], 4.0 - IN_COMMON * (1.0 + 9.0));
        // Others of their face are held against the one that leans most; what they say of other colours stays.
        assert!(less[11][0][0] < said[11][0][0]);
        assert_eq!(less[9][0][1..], said[9][0][1..]);
        // Other faces know nothing of it.
        assert_eq!(less[20], said[20]);
    }
}
