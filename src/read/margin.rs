//! How sure a reading is.

use super::explain::Explained;
use super::outliers::against;

/// Margin (nats) from which a state counts as read.
///
/// Of 28,000 simulated cubes shown by measured stickers (`tests/reading/margin.rs`), half of them read without a profile, the best state
/// of six was a wrong one of 2 to 4 nats, and of none above. A threshold of 7 would tell up to three readings in a hundred more; what no
/// simulation shows is held against the same number.
pub const SURE: f64 = 8.0;

/// Share of what speaks against the best explanation by which the margin is lessened. Where stickers have to be
/// explained away, their faults have often one cause, and are not as rare together as each by itself.
const EXPLAINED_AWAY: f64 = 0.1;

/// Log-odds of the best legal state over all else, less an allowance for what has to be explained away.
pub fn margin(explained: &Explained) -> f64 {
    if explained.unfinished {
        return 0.0;
    }
    let all = &explained.explanations;
    let allowance = all
        .first()
        .map_or(0.0, |best| EXPLAINED_AWAY * against(best));
    let Some(legal) = all.iter().position(|e| e.flaw.none()) else {
        return -(explained.searched - allowance).max(0.0);
    };
    let rival = all
        .iter()
        .enumerate()
        .find(|&(i, _)| i != legal)
        .map(|(_, e)| e.score);
    let margin = all[legal].score - rival.unwrap_or(f64::NEG_INFINITY);
    let unexplored = all[0].score - explained.searched;
    let margin = margin.min(all[legal].score - unexplored);
    margin.signum() * (margin.abs() - allowance).max(0.0)
}
