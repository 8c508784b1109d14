//! One solve in figures, to be told at its end.

use crate::coach::words;
use crate::journal::{Placed, Situation};

/// What has been counted since the cube was first read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tally {
    /// Seconds of the stream.
    began: f64,
    pairs: usize,
    unaided: usize,
    helps: usize,
    slips: usize,
    /// Something was told of the present pair beyond which pieces it is.
    helped: bool,
    /// The situation of the present pair, and the rungs and slips that it took.
    now: Option<Placed>,
    cost: usize,
    /// The situation that took most so far.
    weakest: Option<(usize, Placed)>,
}

impl Tally {
    /// A solve that begins at a time in seconds.
    pub fn from(now: f64) -> Tally {
        Tally {
            began: now,
            ..Tally::default()
        }
    }

    /// A hint of a rung was given.
    pub fn hinted(&mut self, rung: u8) {
        if rung > 1 {
            self.helps += 1;
            self.cost += 1;
            self.helped = true;
        }
    }

    /// The pair that is hinted at lies so; what it was before its first turn counts.
    pub fn hinted_at(&mut self, situation: Option<Situation>) {
        if let (None, Some(Situation::Placed(placed))) = (self.now, situation) {
            self.now = Some(placed);
        }
    }

    /// The situation that took most help and slips; none where all went well.
    pub fn weakest(&self) -> Option<Placed> {
        self.weakest.map(|(_, placed)| placed)
    }

    /// Something else was done than was meant.
    pub fn slipped(&mut self) {
        self.slips += 1;
        // A slip weighs more than a hint that was asked for in time.
        self.cost += 2;
        self.helped = true;
    }

    /// What the hints were for is done; `pair` where that was a pair.
    pub fn followed(&mut self, pair: bool) {
        if pair {
            self.pairs += 1;
            self.unaided += usize::from(!self.helped);
        }
        let cost = std::mem::take(&mut self.cost);
        let most = self.weakest.map_or(0, |(most, _)| most);
        if let Some(placed) = self.now.take().filter(|_| cost > most) {
            self.weakest = Some((cost, placed));
        }
        self.helped = false;
    }

    /// All of it, in a sentence.
    pub fn say(&self, now: f64) -> String {
        let seconds = (now - self.began).max(0.0).round() as u64;
        let mut parts = vec![format!("{}:{:02} minutes", seconds / 60, seconds % 60)];
        if self.pairs > 0 {
            parts.push(format!(
                "{} of {} pairs without help",
                match self.unaided {
                    0 => "none".into(),
                    unaided => words::count(unaided),
                },
                words::count(self.pairs)
            ));
        }
        let counted = |count: usize, one: &str, many: &str| match count {
            0 => format!("no {one}"),
            1 => format!("one {one}"),
            n => format!("{} {many}", words::count(n)),
        };
        parts.push(counted(self.helps, "more hint", "more hints"));
        parts.push(counted(self.slips, "slip", "slips"));
        format!("{}.", words::list(&parts))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pair_with_more_help_or_a_slip_was_not_done_alone() {
        let mut tally = Tally::from(10.0);
        tally.hinted(1);
        tally.followed(true);
        tally.hinted(1);
        tally.hinted(2);
        tally.followed(true);
        tally.hinted(1);
        tally.slipped();
        tally.followed(true);
        tally.followed(false);
        assert_eq!(tally.weakest(), None, "no situation was told");
        assert_eq!(
            tally.say(203.4),
            "3:13 minutes, one of three pairs without help, one more hint and one slip."
        );
        assert_eq!(
            Tally::from(0.0).say(4.0),
            "0:04 minutes, no more hint and no slip."
        );
    }

    #[test]
    fn the_weakest_is_the_situation_that_took_most_as_it_lay_at_first() {
        let placed = |number| Placed::numbered(number).map(Situation::Placed);
        let mut tally = Tally::from(0.0);
        for (number, rungs, slips) in [(3, 2, 0), (7, 1, 1), (9, 1, 0)] {
            tally.hinted_at(placed(number));
            tally.hinted_at(placed(1));
            (1..=rungs).for_each(|rung| tally.hinted(rung));
            (0..slips).for_each(|_| tally.slipped());
            tally.followed(true);
        }
        assert_eq!(tally.weakest(), Placed::numbered(7));
    }
}
