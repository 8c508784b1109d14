//! One solve in figures, to be told at its end.

use crate::coach::words;

/// What has been counted since the cube was first read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tally {
    /// Seconds of the stream.
    began: f64,
    pairs: usize,
    alone: usize,
    helps: usize,
    slips: usize,
    /// Something was told of the present pair beyond which pieces it is.
    helped: bool,
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
            self.helped = true;
        }
    }

    /// Something else was done than was meant.
    pub fn slipped(&mut self) {
        self.slips += 1;
        self.helped = true;
    }

    /// What the hints were for is done; `pair` where that was a pair.
    pub fn followed(&mut self, pair: bool) {
        if pair {
            self.pairs += 1;
            self.alone += usize::from(!self.helped);
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
                match self.alone {
                    0 => "none".into(),
                    alone => words::count(alone),
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
        assert_eq!(
            tally.say(203.4),
            "3:13 minutes, one of three pairs without help, one more hint and one slip."
        );
        assert_eq!(
            Tally::from(0.0).say(4.0),
            "0:04 minutes, no more hint and no slip."
        );
    }
}
