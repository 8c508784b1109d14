//! A stopwatch for a solve: what time goes into looking, what into turning, part by part, from the loop's events alone.

use super::event::{Event, Part, Timed};
use crate::cube::{Cube, Net, Scheme};
use crate::journal::{CROSS, Pace};

/// Seconds between two turns from which the time between is a pause, less what a turn takes.
const PAUSE: f64 = 0.8;

/// Seconds that a turn takes, about. Common practice, no source.
const TURN: f64 = 0.3;

/// Times one solve.
#[derive(Debug, Default)]
pub struct Stopwatch {
    /// When the solve began, seconds since 1970, UTC.
    solve: i64,
    part: Option<Running>,
}

/// The part under way.
#[derive(Debug)]
struct Running {
    /// Since when nothing was turned, seconds of the stream.
    idle_since: f64,
    state: Option<Net>,
    pace: Pace,
}

impl Stopwatch {
    /// For a solve that begins now, seconds since 1970.
    pub fn new(solve: i64) -> Stopwatch {
        Stopwatch { solve, part: None }
    }

    /// Takes one event; `fewest`: the turns that the part needs, as far as the coach knows after it. The part that came to its end by it.
    pub fn take(&mut self, timed: &Timed, fewest: Option<u32>) -> Option<Pace> {
        let t = timed.t;
        match &timed.event {
            Event::Read { net, .. } => {
                self.begin(t, *net);
                None
            }
            Event::Hint { .. } => {
                let part = self.part.as_mut()?;
                part.pace.fewest = part.pace.fewest.or(fewest);
                None
            }
            Event::Turn { sure, net, .. } => {
                let part = self.part.as_mut()?;
                part.turned(t, *sure, *net);
                None
            }
            Event::Rotated { .. } => {
                self.part.as_mut()?.pace.rotations += 1;
                None
            }
            Event::Followed { net, gained, .. } => {
                let done = self.part.take().map(|part| part.done(t, gained));
                self.begin(t, *net);
                done
            }
            _ => None,
        }
    }

    /// Whether a look may begin with an event.
    pub fn begins_a_look(event: &Event) -> bool {
        matches!(
            event,
            Event::Read { .. } | Event::Turn { .. } | Event::Followed { .. }
        )
    }

    fn begin(&mut self, t: f64, net: Net) {
        let is_solved = Scheme::state(&net).is_some_and(|(_, cube)| cube == Cube::solved());
        self.part = (!is_solved).then(|| Running {
            idle_since: t,
            state: Some(net),
            pace: Pace {
                solve: self.solve,
                part: String::new(),
                looking: 0.0,
                turning: 0.0,
                turns: 0,
                fewest: None,
                rotations: 0,
                pauses: 0,
                longest_look: 0.0,
                looked_at: None,
                look_began: t,
                watched: true,
            },
        });
    }
}

impl Running {
    fn turned(&mut self, t: f64, sure: bool, net: Net) {
        let gap = (t - self.idle_since).max(0.0);
        let pace = &mut self.pace;
        let is_first = pace.turns == 0;
        pace.turns += 1;
        pace.watched &= sure;
        if is_first || gap > PAUSE {
            let turning = gap.min(TURN);
            pace.turning += turning;
            pace.looking += gap - turning;
            pace.pauses += u32::from(!is_first);
            if gap - turning > pace.longest_look {
                pace.longest_look = gap - turning;
                pace.look_began = self.idle_since;
                pace.looked_at = self.state;
            }
        } else {
            pace.turning += gap;
        }
        self.idle_since = t;
        self.state = Some(net);
    }

    fn done(mut self, t: f64, gained: &[Part]) -> Pace {
        if self.pace.turns == 0 {
            // What was done out of sight: nobody knows how its time was spent.
            self.pace.watched = false;
            self.pace.turning = (t - self.idle_since).max(0.0);
        }
        let pairs = gained.iter().filter(|part| matches!(part, Part::Pair(_)));
        let pairs: Vec<String> = pairs.map(Part::to_string).collect();
        self.pace.part = match (gained.is_empty(), pairs.is_empty()) {
            (true, _) => "last layer".into(),
            (false, true) => CROSS.into(),
            (false, false) => pairs.join(", "),
        };
        self.pace
    }
}

#[cfg(test)]
mod tests {
    use super::super::event::PairColours;
    use super::*;
    use crate::cube::{Colour, Moves};

    fn net(moves: &str) -> Net {
        let moves: Moves = moves.parse().expect("moves");
        Net::of(&Cube::solved().after(&moves))
    }

    fn turn(t: f64) -> Timed {
        let event = Event::Turn {
            made: Moves::default(),
            layer: Colour::Red,
            sure: true,
            net: net("R"),
        };
        Timed::new(t, event)
    }

    #[test]
    fn looking_turning_and_pauses_add_up_to_the_time() {
        let mut watch = Stopwatch::new(7);
        let read = Event::Read {
            net: net("R U R' U'"),
            text: String::new(),
        };
        assert_eq!(watch.take(&Timed::new(1.0, read), Some(4)), None);
        for t in [4.0, 4.5, 5.0, 8.0] {
            assert_eq!(watch.take(&turn(t), None), None);
        }
        let followed = Event::Followed {
            net: net(""),
            gained: vec![
                Part::Cross(Colour::White),
                Part::Pair(PairColours([Colour::Green, Colour::Red])),
            ],
            lost: Vec::new(),
            text: String::new(),
            shorter: None,
        };
        let pace = watch
            .take(&Timed::new(8.0, followed), None)
            .expect("a part");
        assert_eq!(
            (pace.solve, pace.part.as_str(), pace.turns, pace.pauses),
            (7, "green-red", 4, 1)
        );
        assert!(
            (pace.looking - 5.4).abs() < 1e-9 && (pace.turning - 1.6).abs() < 1e-9,
            "{pace:?}"
        );
        assert!((pace.longest_look - 2.7).abs() < 1e-9 && pace.watched);
        // A solved cube needs no more.
        assert_eq!(watch.take(&turn(9.0), None), None);
    }
}
