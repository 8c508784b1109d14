//! What is to be said: the state that is known, the hint given for it, and what a new state means after it.
//!
//! A cube of any scheme is coached as the usual one whose pieces lie alike, and told in its own colours: each event is painted as it
//! is told, and what comes from outside, such as the cross to build, is named by its place first.

use super::english as said;
use super::event::{Event, Holding, PairColours, Part};
use super::known::{Known, Meaning, Plan, RUNGS};
use crate::coach::follow::Likely;
use crate::coach::{self, Text, english, words};
use crate::cube::{Colour, Cube, Held, Hold, Move, Moves, Net, Scheme, Turn, inverse, simplified};
use crate::solve::{Slot, cross_solved};

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
    /// What to do, in one sentence, in the cube's own colours as all words here.
    pub sentence: String,
    /// What for.
    pub why: String,
    /// All of it, the turns in words and in notation.
    pub text: String,
}

impl SetUp {
    /// With the words for a cube of a scheme in place of those for the usual one.
    pub fn painted(self, scheme: Scheme) -> SetUp {
        SetUp {
            sentence: scheme.in_words(&self.sentence),
            why: scheme.in_words(&self.why),
            text: scheme.in_words(&self.text),
            ..self
        }
    }
}

/// Says what is to be done with a cube of a scheme that was read, where what is practised was done so often before. Crosses are named
/// by their places in the usual scheme.
pub type Lesson = Box<dyn Fn(&Cube, Scheme, usize) -> Task>;

/// Seconds since a turn, half way of a half turn or one slip more, after which it is told how to go on or back.
const HALF_WAY_REST: f64 = 1.2;

/// Most turns that are told as a way back; after more the coach goes on from where the cube is.
const MOST_BACK: usize = 3;

/// Seconds since a turn after which the coach goes on from a state of the last layer that it did not foresee.
const OWN_WAY_REST: f64 = 1.2;

/// Keeps what was said, and says what comes next.
pub struct Prompter {
    /// The cross as it is asked for: in the cube's own colours.
    plan: Plan,
    scheme: Scheme,
    /// What is unusual about the scheme, until it is told.
    unlike: Option<String>,
    /// The rung that each new hint starts on.
    rung: u8,
    known: Option<Known>,
    /// The hold that the turns of the last hint start from.
    told_from: Hold,
    /// Turns (home orientation) since the last state on the route, where all are known.
    astray: Option<Vec<Turn>>,
    /// On the way, half of a half turn made.
    half_way: Option<Likely>,
    /// A slip after one that was told, to be told once the cube rests.
    later: Option<Likely>,
    lesson: Option<Lesson>,
    /// How often what is practised was done.
    rounds: usize,
    /// What brings the cube into the situation to practise, while it does not lie so.
    set_up: Option<SetUp>,
}

impl Prompter {
    pub fn new(cross: Option<Colour>) -> Prompter {
        Prompter {
            plan: Plan {
                cross,
                ..Plan::default()
            },
            scheme: Scheme::USUAL,
            unlike: None,
            rung: 0,
            known: None,
            told_from: Hold::HOME,
            astray: Some(Vec::new()),
            half_way: None,
            later: None,
            lesson: None,
            rounds: 0,
            set_up: None,
        }
    }

    /// The cube's scheme.
    pub fn scheme(&self) -> Scheme {
        self.scheme
    }

    /// Tells of a cube of this scheme from now on. One of another scheme is another cube.
    pub fn take_scheme(&mut self, scheme: Scheme) {
        if scheme == self.scheme {
            return;
        }
        self.forget();
        self.scheme = scheme;
        self.unlike = scheme.say();
    }

    /// The cross that is asked for, by its place in the usual scheme.
    fn cross(&self) -> Option<Colour> {
        self.plan.cross.map(|colour| self.scheme.usual(colour))
    }

    /// Tells something of the cube in its own colours.
    fn tell(&self, event: Event, out: &mut Vec<Event>) {
        out.push(event.in_scheme(self.scheme));
    }

    /// Each new hint starts on this rung.
    pub fn on_rung(self, rung: u8) -> Prompter {
        Prompter { rung, ..self }
    }

    /// What is coached.
    pub fn plan(&self) -> Plan {
        self.plan
    }

    /// Coaches otherwise from now on, the cube that is known first.
    pub fn coach(&mut self, plan: Plan, out: &mut Vec<Event>) {
        self.plan = plan;
        let Some(known) = &self.known else { return };
        let held = Held {
            cube: known.cube(),
            hold: known.hold_by_now(),
        };
        self.take_up(held.cube, Some(held.hold), self.cross());
        self.hint(out);
    }

    /// Another pair than the one that is hinted at is to be done now, where there is one.
    pub fn another_pair(&mut self, out: &mut Vec<Event>) {
        let Some(known) = &self.known else { return };
        let (plan, held) = (known.plan(), known.held());
        let Some(slot) = known.another_slot() else {
            return;
        };
        let another = Plan {
            cross: Some(held.hold.down()),
            slot: Some(slot),
            ..plan
        };
        let known = Known::planned(held.cube, Some(known.hold_by_now()), another);
        self.go_on_from(Some(known));
        self.hint(out);
    }

    /// Forgets what is known of the cube: it is to be shown anew.
    pub fn forget(&mut self) {
        self.go_on_from(None);
    }

    /// What was turned or said before counts no more.
    fn go_on_from(&mut self, known: Option<Known>) {
        self.known = known.map(|known| known.on_rung(self.rung));
        self.astray = Some(Vec::new());
        self.half_way = None;
        self.later = None;
    }

    /// Something else is to be practised, or nothing any more.
    pub fn practise(&mut self, lesson: Option<(Lesson, SetUp)>) {
        self.rounds = 0;
        (self.lesson, self.set_up) = lesson.unzip();
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

    /// Tells that the whole cube was turned.
    pub fn rotated_to(&mut self, hold: Hold, out: &mut Vec<Event>) {
        self.turned_to(hold);
        let hold = Holding::from(hold);
        self.tell(Event::Rotated { hold }, out);
    }

    /// Tells a state that was read afresh, and the first hint for it.
    pub fn start(&mut self, cube: Cube, out: &mut Vec<Event>) {
        let (text, cross) = match &self.known {
            None => (self.greeting(), None),
            Some(known) => {
                let changed = known.progress(&cube).say(known.slot());
                let going_on = match changed.is_nothing() {
                    true => said::GOING_ON.into(),
                    false => english::text_of(&changed, self.scheme),
                };
                (going_on, Some(known.hint_hold().down()))
            }
        };
        let cross = cross.map(|usual| coach::cross_colour(&cube, usual));
        self.take_up(cube, None, self.cross().or(cross));
        let text = match (&self.set_up, &self.known) {
            (Some(set_up), _) => format!("{} {}", said::KNOWN, set_up.text),
            (None, Some(known)) => {
                let hold = known.held().hold;
                let [down, front] = [hold.down(), hold.front()].map(|c| self.scheme.colour(c));
                format!("{text} {}", words::hold(down, front))
            }
            _ => text,
        };
        out.push(Event::Read {
            net: self.scheme.painted(&Net::of(&cube)),
            text,
        });
        self.hint(out);
    }

    /// What is said first of a cube, in its own colours: once, how they lie, where that is unusual.
    fn greeting(&mut self) -> String {
        match self.unlike.take() {
            Some(unlike) => said::unlike(&unlike),
            None => said::KNOWN.into(),
        }
    }

    /// More help is asked for: first an answer to what was turned since, where nothing was said of it yet.
    pub fn climb(&mut self, out: &mut Vec<Event>) {
        let untold = self.known.as_ref().filter(|known| known.is_untold());
        if let Some(cube) = untold.map(Known::cube) {
            return self.answer(cube, true, out);
        }
        if let Some(known) = &mut self.known {
            known.climb();
        }
        self.hint(out);
    }

    /// Tells what a new state means, and the turns that led to it where they are known. A state that is `shown` is asked about; of
    /// others nothing is said while no turns are told but that something is done.
    pub fn turned(
        &mut self,
        cube: Cube,
        turns: &[Turn],
        seen: bool,
        shown: bool,
        out: &mut Vec<Event>,
    ) {
        if self.known.is_none() {
            return;
        }
        self.half_way = None;
        self.later = None;
        let ticks = tick(self.told_from, cube, turns, seen);
        ticks.for_each(|tick| self.tell(tick, out));
        match &mut self.astray {
            Some(astray) if !turns.is_empty() => astray.extend(turns),
            unknown => *unknown = None,
        }
        self.answer(cube, shown, out);
    }

    /// Tells what a state means after the last that was told.
    fn answer(&mut self, cube: Cube, shown: bool, out: &mut Vec<Event>) {
        let way_back = self.way_back();
        let Some(known) = &mut self.known else { return };
        let speaks = shown || known.gives_turns();
        let is_whole = cross_solved(&cube, known.hint_hold().down());
        match known.meaning_of(&cube) {
            Some(Meaning::Done(cube)) => self.done(cube, out),
            Some(Meaning::OnTheWay(likely)) => match way_back {
                // A turn that was seen to be right is as wrong as any other when it is turned back.
                Some(back) if speaks && !shown && known.was_taken_back(&likely) => {
                    self.back(cube, back, shown, out)
                }
                _ => self.on_the_way(likely, shown, out),
            },
            Some(Meaning::Slip(likely)) if speaks => {
                let was_past = known.was_past(&likely);
                match (likely.half_way(), way_back) {
                    // That turn was seen to be right, so those since then are not.
                    (_, Some(back)) if was_past => self.back(cube, back, shown, out),
                    (Some(half_way), _) if !shown => {
                        known.counted_to(cube);
                        self.half_way = Some(half_way);
                    }
                    _ => self.slip(likely, shown, out),
                }
            }
            Some(Meaning::Same(_)) if shown => {
                known.counted_to(cube);
                self.hint(out);
            }
            // Where the cross is whole the coach can go on from there.
            None if speaks => match (way_back, is_whole) {
                (Some(back), whole) if !shown || !whole => self.back(cube, back, shown, out),
                _ => self.start(cube, out),
            },
            _ => known.counted_to(cube),
        }
    }

    /// The cube rests in the state that is known, so many seconds after the last turn.
    pub fn rests(&mut self, seconds: f64, out: &mut Vec<Event>) {
        if seconds > HALF_WAY_REST
            && let Some(likely) = self.half_way.take()
            && let Some(known) = &mut self.known
        {
            known.moved_to(likely);
            self.hint(out);
        }
        if seconds > HALF_WAY_REST
            && let Some(likely) = self.later.take()
        {
            self.tell_slip(likely, false, out);
        }
        let Some(known) = &self.known else { return };
        if seconds > OWN_WAY_REST && known.is_elsewhere_on_top() {
            let held = known.held();
            self.take_up(held.cube, Some(held.hold), Some(held.hold.down()));
            self.hint(out);
        }
    }

    /// A right turn. It ticks; in words it is answered where it was shown or a slip is put right, and on the top rung once the turns
    /// that were told are made.
    fn on_the_way(&mut self, likely: Likely, shown: bool, out: &mut Vec<Event>) {
        let Some(known) = &mut self.known else { return };
        let was_astray = known.slipped();
        self.astray = Some(Vec::new());
        known.moved_to(likely);
        let (is_top, text) = (known.level() == RUNGS, known.text());
        let more_is_due = known.has_made_what_was_told();
        if more_is_due {
            known.look_again();
        }
        if is_top && more_is_due {
            self.hint(out);
        } else if shown || was_astray {
            if let Some(known) = &mut self.known {
                known.confirm();
            }
            self.hint_with(text, out);
        }
    }

    fn done(&mut self, cube: Cube, out: &mut Vec<Event>) {
        let Some(known) = &mut self.known else { return };
        let (text, shorter) = (known.done(&cube), known.shorter(&cube));
        let progress = known.progress(&cube);
        known.counted_to(cube);
        let hold = known.hold_by_now();
        self.rounds += 1;
        self.take_up(cube, Some(hold), Some(hold.down()));
        let cross = progress.cross;
        let followed = Event::Followed {
            net: Net::of(&cube),
            gained: Part::all(cross, progress.cross_gained, progress.gained),
            lost: Part::all(cross, progress.cross_lost, progress.lost),
            text: english::text_of(&text, self.scheme),
            shorter: shorter.map(|text| english::text_of(&text, self.scheme)),
        };
        self.tell(followed, out);
        self.hint(out);
    }

    /// Another turn than was meant. Below the top rung the first word on it only says what is different. On the way back nothing is said.
    fn slip(&mut self, likely: Likely, shown: bool, out: &mut Vec<Event>) {
        let Some(known) = &mut self.known else { return };
        if !shown && known.goes_back(&likely.undo) {
            return known.moved_to(likely);
        }
        if !shown && known.slipped() {
            // Whoever turns on is not told of each turn.
            known.moved_to(likely.clone());
            self.later = Some(likely);
            return;
        }
        self.tell_slip(likely, shown, out);
    }

    fn tell_slip(&mut self, likely: Likely, shown: bool, out: &mut Vec<Event>) {
        let Some(known) = &mut self.known else { return };
        if !shown || known.level() == RUNGS {
            known.tell_back();
        }
        known.moved_to(likely.clone());
        let told = |moves: &Moves| in_hold(known.hint_hold(), self.told_from, moves);
        let slip = likely.slip.as_ref();
        let slip = Event::Slip {
            net: Net::of(&likely.cube),
            did: slip.map_or_else(Moves::default, |slip| told(&slip.did)),
            meant: slip.map_or_else(Moves::default, |slip| told(&slip.meant)),
            undo: told(&likely.undo),
            way_back: known.gives_turns(),
            text: english::text_of(&known.slip_text(), self.scheme),
        };
        self.tell(slip, out);
    }

    /// The turns back to the last state on the route, in the home orientation, where they are few.
    fn way_back(&self) -> Option<Vec<Move>> {
        let made: Vec<Move> = self.astray.iter().flatten().map(|t| (*t).into()).collect();
        let back = simplified(&inverse(&made));
        (1..=MOST_BACK).contains(&back.len()).then_some(back)
    }

    /// Turns were made that are neither the route's nor a likely slip: they are told with the way back.
    fn back(&mut self, cube: Cube, back: Vec<Move>, shown: bool, out: &mut Vec<Event>) {
        let Some(known) = &self.known else { return };
        let in_hand = |moves: &[Move]| in_hold(Hold::HOME, known.hint_hold(), moves);
        let undo = in_hand(&back);
        let did = in_hand(&simplified(&inverse(&back)));
        let likely = known.astray_by(cube, did, undo);
        self.slip(likely, shown, out);
    }

    /// Takes a state as the one to go on from, in the learner's hold where that is known, with `cross` where there is no lesson.
    fn take_up(&mut self, cube: Cube, hold: Option<Hold>, cross: Option<Colour>) {
        let task = self
            .lesson
            .as_ref()
            .map(|lesson| lesson(&cube, self.scheme, self.rounds));
        let hold = hold.or(self.set_up.as_ref().map(|set_up| set_up.held.hold));
        let known = |hold, plan| Some(Known::planned(cube, hold, plan));
        let plan = Plan { cross, ..self.plan };
        let (known, set_up) = match task {
            None => (known(hold, plan), None),
            Some(Task::Pair(cross, slot)) => {
                let plan = Plan {
                    cross: Some(cross),
                    slot: Some(slot),
                    ..plan
                };
                (known(hold, plan), None)
            }
            Some(Task::SetUp(set_up)) => (None, Some(set_up)),
        };
        self.set_up = set_up;
        self.go_on_from(known);
    }

    fn hint(&mut self, out: &mut Vec<Event>) {
        if let Some(known) = &self.known {
            self.hint_with(known.text(), out);
        }
    }

    fn hint_with(&mut self, text: Text, out: &mut Vec<Event>) {
        let Some(known) = &self.known else { return };
        let hold = known.held().hold;
        self.told_from = hold;
        let next = known.advice().next;
        let hint = Event::Hint {
            level: known.level(),
            text: english::text_of(&text, self.scheme),
            moves: known.moves(),
            slot: next.map(|pair| PairColours::of(pair.slot, pair.cross)),
            hold: hold.into(),
        };
        self.tell(hint, out);
    }
}

/// Turns made from one hold, as turns from another.
fn in_hold(from: Hold, to: Hold, moves: &[Move]) -> Moves {
    let (turns, _) = from.follow(moves);
    let in_hand = turns.into_iter().map(|turn| to.turn_in_hand(turn).into());
    Moves(in_hand.collect())
}

/// Each turn by itself, in the hold that was told. Of several at once nobody saw the states between.
fn tick(hold: Hold, cube: Cube, turns: &[Turn], seen: bool) -> impl Iterator<Item = Event> {
    turns.iter().map(move |turn| Event::Turn {
        made: Moves(vec![hold.turn_in_hand(*turn).into()]),
        layer: turn.face.home_colour(),
        sure: seen,
        net: Net::of(&cube),
    })
}
