//! The line of what is waited for: it changes seldom.

/// Seconds for which another line must hold before it takes the place of the one that is shown: a face that flickers in and out
/// of sight is nothing to read about.
const HOLDS: f64 = 1.0;

/// A line that is slow to change.
#[derive(Default)]
pub struct Waiting {
    shown: String,
    next: String,
    since: f64,
}

impl Waiting {
    /// Takes what holds at a time in seconds; gives what to show.
    pub fn hear(&mut self, line: &str, now: f64) -> &str {
        if line != self.next {
            self.next = line.into();
            self.since = now;
        }
        if self.shown.is_empty() || now - self.since >= HOLDS {
            self.shown.clone_from(&self.next);
        }
        &self.shown
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_that_holds_for_less_than_a_second_is_never_shown() {
        let mut waiting = Waiting::default();
        assert_eq!(waiting.hear("first", 0.0), "first");
        for tenth in 1..100 {
            let now = f64::from(tenth) / 10.0;
            let line = if tenth % 5 == 0 { "first" } else { "flicker" };
            assert_eq!(waiting.hear(line, now), "first", "{now}");
        }
        waiting.hear("second", 10.0);
        assert_eq!(waiting.hear("second", 11.1), "second");
    }
}
