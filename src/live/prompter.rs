//! What is to be said: the state that is known, the hint given for it, and what a new state means after it.

use super::event::{Event, Holding};
use super::known::{Known, Meaning, RUNGS};
use crate::coach::follow::{Likely, SlipKind};
use crate::cube::{Amount, Colour, Cube, Held, Hold, Move, Moves, Net, Turn, inverse, simplified};
use crate::solve::Slot;

/// What is to be done with a cube that was read, where something is to be practised.
pub enum Task {
    /// The pair of this slot on this cross is the one to do now.
    Pair(Colour, Slot),
    /// First the cube is to be brought into a situation; it is read anew after that.
    SetUp(SetUp),
}

/// What brings a cube into the situation to practise.
#[derive(Clone, Debug)]
pub struct SetUp {
    /// The cube as it lies now, in the hold from which the turns are made.
    pub held: Held,
    /// None where no turns lead there.
    pub moves: Moves,
    /// What to do, in one sentence.
    pub sentence: String,
    /// What for.
    pub why: String,
    /// All of it, the turns in words and in notation.
    pub text: String,
}

/// Says what is to be done with a cube that was read, where what is practised was done so often before.
pub type Lesson = Box<dyn Fn(&Cube, usize) -> Task>;

/// Seconds of rest half way of a half turn after which that is taken for a slip.
const HALF_WAY_REST: f64 = 1.2;

/// Most turns that are told as a way back; after more the coach goes on from where the cube is.
const MOST_BACK: usize = 3;

/// Keeps what was said, and says what comes next.
pub struct Prompter {
    cross: Option<Colour>,
    /// The rung that each new hint starts on.
    rung: u8,
    known: Option<Known>,
    /// Turns (home orientation) since the last state on the route, where all are known.
    astray: Option<Vec<Turn>>,
    /// A slip that may be half of a half turn.
    half_way: Option<Likely>,
    lesson: Option<Lesson>,
    /// How often what is practised was done.
    rounds: usize,
    /// What brings the cube into the situation to practise, while it does not lie so.
    set_up: Option<SetUp>,
}

impl Prompter {
    pub fn new(cross: Option<Colour>) -> Prompter {
        Prompter {
            cross,
            rung: 1,
            known: None,
            astray: Some(Vec::new()),
            half_way: None,
            lesson: None,
            rounds: 0,
            set_up: None,
        }
    }

    /// Each new hint starts on this rung.
    pub fn on_rung(self, rung: u8) -> Prompter {
        Prompter { rung, ..self }
    }

    /// Something is to be practised.
    pub fn with_lesson(self, lesson: Lesson, set_up: SetUp) -> Prompter {
        Prompter {
            lesson: Some(lesson),
            set_up: Some(set_up),
            ..self
        }
    }

    pub fn set_up(&self) -> Option<&SetUp> {
        self.set_up.as_ref()
    }

    pub fn known(&self) -> Option<&Known> {
        self.known.as_ref()
    }

    /// The whole cube was turned.
    pub fn turned_to(&mut self, hold: Hold) {
        if let Some(known) = &mut self.known {
            known.turned_to(hold);
        }
    }

    /// Tells a state that was read afresh, and the first hint for it.
    pub fn start(&mut self, cube: Cube, out: &mut Vec<Event>) {
        let mut text = String::from(match &self.known {
            None => "I know your cube now.",
            Some(_) => "The cube is in another state than I expected. I know it now.",
        });
        self.take_up(cube, self.cross);
        if let Some(set_up) = &self.set_up {
            text = format!("I know your cube now. {}", set_up.text);
        }
        out.push(Event::Read {
            net: Net::of(&cube),
            text,
        });
        self.hint(out);
    }

    /// More help is asked for.
    pub fn climb(&mut self, out: &mut Vec<Event>) {
        if let Some(known) = &mut self.known {
            known.climb();
            self.hint(out);
        }
    }

    /// Tells what a new state means, and the turns that led to it where they are known. A state that is `shown` is asked about; of
    /// others nothing is said below the top rung but that the goal is reached.
    pub fn turned(
        &mut self,
        cube: Cube,
        turns: &[Turn],
        seen: bool,
        shown: bool,
        out: &mut Vec<Event>,
    ) {
        let Some(known) = &mut self.known else { return };
        self.half_way = None;
        tick(known, cube, turns, seen, out);
        match &mut self.astray {
            Some(astray) if !turns.is_empty() => astray.extend(turns),
            unknown => *unknown = None,
        }
        let speaks = shown || known.level() == RUNGS || known.slipped();
        match known.meaning_of(&cube) {
            Some(Meaning::Done(cube)) => self.done(cube, out),
            Some(Meaning::OnTheWay(likely)) => {
                let was_told = known.slipped();
                self.astray = Some(Vec::new());
                known.moved_to(likely);
                if shown || was_told {
                    self.hint(out);
                }
            }
            Some(Meaning::Slip(likely)) if speaks => {
                if is_half_way(&likely) && !shown {
                    known.counted_to(cube);
                    self.half_way = Some(likely);
                } else {
                    self.slip(likely, out);
                }
            }
            None if speaks => match self.way_back() {
                Some(back) if !shown => self.back(cube, back, out),
                _ => self.start(cube, out),
            },
            _ => known.counted_to(cube),
        }
    }

    /// The cube rests in the state that is known, for so many seconds.
    pub fn rests(&mut self, seconds: f64, out: &mut Vec<Event>) {
        if seconds > HALF_WAY_REST
            && let Some(likely) = self.half_way.take()
        {
            self.slip(likely, out);
        }
    }

    fn done(&mut self, cube: Cube, out: &mut Vec<Event>) {
        let Some(known) = &self.known else { return };
        let (text, shorter) = (known.praise(&cube), known.shorter(&cube));
        let (gained, lost) = known.changed(&cube);
        let cross = known.hint_hold().down();
        self.rounds += 1;
        self.take_up(cube, Some(cross));
        out.push(Event::Followed {
            net: Net::of(&cube),
            gained,
            lost,
            text,
            shorter,
        });
        self.hint(out);
    }

    fn slip(&mut self, likely: Likely, out: &mut Vec<Event>) {
        let Some(known) = &mut self.known else { return };
        let slip = likely.slip.clone().map(|slip| (slip.did, slip.meant));
        let (did, meant) = slip.unwrap_or_default();
        out.push(Event::Slip {
            net: Net::of(&likely.cube),
            did,
            meant,
            undo: likely.undo.clone(),
            text: likely.say(),
        });
        known.moved_to(likely);
    }

    /// The turns back to the last state on the route, in the home orientation, where they are few.
    fn way_back(&self) -> Option<Vec<Move>> {
        let made: Vec<Move> = self.astray.iter().flatten().map(|t| (*t).into()).collect();
        let back = simplified(&inverse(&made));
        (1..=MOST_BACK).contains(&back.len()).then_some(back)
    }

    /// Turns were made that are neither the route's nor a likely slip: they are told with the way back.
    fn back(&mut self, cube: Cube, back: Vec<Move>, out: &mut Vec<Event>) {
        let Some(known) = &mut self.known else { return };
        let hold = known.hint_hold();
        let in_hand = |moves: &[Move]| -> Moves {
            let (turns, _) = Hold::HOME.follow(moves);
            Moves(
                turns
                    .into_iter()
                    .map(|t| hold.turn_in_hand(t).into())
                    .collect(),
            )
        };
        let undo = in_hand(&back);
        let did = in_hand(&simplified(&inverse(&back)));
        let likely = known.astray_by(cube, did, undo);
        self.slip(likely, out);
    }

    /// Takes a state as the one to go on from, with `cross` where there is no lesson.
    fn take_up(&mut self, cube: Cube, cross: Option<Colour>) {
        self.astray = Some(Vec::new());
        self.half_way = None;
        let task = self
            .lesson
            .as_ref()
            .map(|lesson| lesson(&cube, self.rounds));
        let known = |known: Known| Some(known.on_rung(self.rung));
        (self.known, self.set_up) = match task {
            None => (known(Known::new(cube, cross)), None),
            Some(Task::Pair(cross, slot)) => (known(Known::practising(cube, cross, slot)), None),
            Some(Task::SetUp(set_up)) => (None, Some(set_up)),
        };
    }

    fn hint(&self, out: &mut Vec<Event>) {
        let Some(known) = &self.known else { return };
        out.push(Event::Hint {
            level: known.level(),
            text: known.text(),
            moves: known.moves(),
            slot: known.advice().next.clone(),
            hold: known.held().hold.into(),
        });
    }
}

/// Whether a slip is the first half of the half turn that is meant.
fn is_half_way(likely: &Likely) -> bool {
    likely.slip.as_ref().is_some_and(|slip| {
        slip.kind == SlipKind::Amount
            && slip
                .meant
                .first()
                .is_some_and(|m| m.amount() == Amount::Half)
            && likely.made.len() == slip.at
    })
}

/// Each turn by itself. Of several at once nobody saw the states between.
fn tick(known: &Known, cube: Cube, turns: &[Turn], seen: bool, out: &mut Vec<Event>) {
    out.extend(turns.iter().map(|turn| Event::Turn {
        made: Moves(vec![known.hint_hold().turn_in_hand(*turn).into()]),
        layer: turn.face.home_colour(),
        sure: seen,
        net: Net::of(&cube),
    }));
}

/// How the cube is held now.
pub fn rotated(hold: Hold) -> Event {
    Event::Rotated {
        hold: Holding::from(hold),
    }
}
