//! What a solve shows when it is looked at again: where its time went, part by part, and one thing to practise.

use image::RgbImage;

use crate::journal::{CROSS, Pace};

/// Seconds that a turn too many costs, and one of the whole cube; judgements, no source.
const TURN: f64 = 0.4;
const ROTATION: f64 = 0.6;

/// Seconds of looking that a pair may take, from common practice among those who have just learnt the method; no source.
const LOOK: f64 = 2.0;

/// A solve to be reviewed.
pub struct Review {
    pub parts: Vec<Pace>,
    /// The picture at the beginning of each part's longest look, where there is one.
    pub pictures: Vec<Option<RgbImage>>,
    /// All parts that are kept, this solve's among them, oldest first.
    pub history: Vec<Pace>,
}

impl Review {
    /// The part with the longest look. The cross is planned before the first turn, for up to 15 seconds (WCA Regulations, A3a), so that a
    /// long look there is none to practise.
    pub fn slowest(&self) -> Option<&Pace> {
        let after_cross = self
            .parts
            .iter()
            .filter(|pace| pace.watched && pace.part != CROSS);
        after_cross.max_by(|a, b| a.longest_look.total_cmp(&b.longest_look))
    }

    /// The one thing by which most time would be saved, in a sentence.
    pub fn practise(&self) -> Option<String> {
        let watched = || self.parts.iter().filter(|pace| pace.watched);
        let spare = |pace: &Pace| {
            pace.fewest
                .map_or(0, |fewest| pace.turns.saturating_sub(fewest))
        };
        let by_turns = watched().max_by_key(|pace| spare(pace))?;
        let by_rotations = watched().max_by_key(|pace| pace.rotations)?;
        let costs = [
            f64::from(spare(by_turns)) * TURN,
            self.slowest().map_or(0.0, |pace| pace.longest_look - LOOK),
            f64::from(by_rotations.rotations) * ROTATION,
        ];
        let most = (0..3).max_by(|a, b| costs[*a].total_cmp(&costs[*b]))?;
        if costs[most] <= 0.0 {
            return Some("Nothing stands out: go on like this, and look for the next pair while you place one.".into());
        }
        Some(match most {
            0 => format!(
                "Practise the {}: {} turns, where {} do. `pairsight drill --worst` sets such a pair up.",
                named(by_turns),
                by_turns.turns,
                by_turns.fewest.unwrap_or_default()
            ),
            1 => {
                let by_look = self.slowest()?;
                format!(
                    "Look ahead: before the {} you stood still for {:.1} s. While you place a pair, look for the next one's corner.",
                    named(by_look),
                    by_look.longest_look
                )
            }
            _ => format!(
                "Turn the whole cube less: {} times in the {}. Learn the same idea for the slots at the back.",
                by_rotations.rotations,
                named(by_rotations)
            ),
        })
    }

    /// All of it in words.
    pub fn say(&self) -> String {
        if self.parts.is_empty() {
            return "No part of a solve was seen from its beginning to its end. Show the cube by two opposite corners first, then solve it before the camera.".into();
        }
        let mut text =
            String::from("part                  looking  turning  turns  fewest  whole  pauses");
        for pace in &self.parts {
            let fewest = pace.fewest.map_or("-".into(), |fewest| fewest.to_string());
            let guess = if pace.watched {
                ""
            } else {
                "  (not all turns were seen)"
            };
            text.push_str(&format!(
                "\n{:20} {:6.1} s {:6.1} s {:6} {:>7} {:6} {:7}{guess}",
                pace.part,
                pace.looking,
                pace.turning,
                pace.turns,
                fewest,
                pace.rotations,
                pace.pauses
            ));
        }
        if let Some(slowest) = self.slowest() {
            text.push_str(&format!(
                "\nThe slowest look, {:.1} s, was in the {}.",
                slowest.longest_look,
                named(slowest)
            ));
        }
        if let Some(practise) = self.practise() {
            text.push('\n');
            text.push_str(&practise);
        }
        text
    }
}

/// A part as it is called in a sentence.
pub fn named(pace: &Pace) -> String {
    match pace.part.as_str() {
        part if part.contains('-') => format!("{part} pair"),
        part => part.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pace(part: &str, longest_look: f64) -> Pace {
        Pace {
            solve: 0,
            part: part.into(),
            looking: longest_look,
            turning: 2.0,
            turns: 7,
            fewest: Some(7),
            rotations: 0,
            pauses: 0,
            longest_look,
            looked_at: None,
            look_began: 0.0,
            watched: true,
        }
    }

    /// Ten seconds of planning the cross were told as standing still before it.
    #[test]
    fn planning_the_cross_is_no_look_to_practise() {
        let review = |parts: Vec<Pace>| Review {
            pictures: vec![None; parts.len()],
            history: parts.clone(),
            parts,
        };
        let two = review(vec![pace("cross", 10.0), pace("red-blue", 3.0)]);
        assert_eq!(two.slowest().map(|pace| &*pace.part), Some("red-blue"));
        let practise = two.practise().expect("something");
        assert!(practise.starts_with("Look ahead: before the red-blue pair"));
        let planned = review(vec![pace("cross", 10.0)]);
        assert!(planned.slowest().is_none());
        assert!(
            planned
                .practise()
                .expect("something")
                .starts_with("Nothing stands out")
        );
    }
}
