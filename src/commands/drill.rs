//! `drill`: chooses a situation, brings the cube in hand into it, and watches it being solved.

use std::io;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use serde::Serialize;

use super::args::DrillArgs;
use super::clock;
use super::coach;
use super::interrupt::stop_on_interrupt;
use super::journal::refused;
use super::outcome::{Ended, Exit, Failure, SCHEMA, Stop, print_document, print_prose};
use super::recorder::{self, Recorder};
use super::telling::Terminal;
use super::{profiles, state};
use crate::coach::{cross_colour, words};
use crate::cube::{Colour, Cube, Fault, Held, Hold, Move, Moves, Net};
use crate::journal::{Attempt, Journal, Placed, Situation, matching, next_due, worst};
use crate::live::{Listener, Moment, Session, SetUp, Task};
use crate::read::Reader;
use crate::solve::{Slot, SlotSet, pairs_solved, shortest_to};

/// What is printed with `--json`.
#[derive(Serialize)]
#[serde(untagged)]
enum Document<'a> {
    Drill {
        schema: u32,
        outcome: &'static str,
        say: String,
        situation: String,
        #[serde(flatten)]
        setup: &'a Setup,
        /// How it went, when frames were watched and the pair was solved.
        #[serde(skip_serializing_if = "Option::is_none")]
        result: Option<Outcome>,
    },
    Situations {
        schema: u32,
        outcome: &'static str,
        say: String,
        situations: Vec<String>,
    },
    Impossible {
        schema: u32,
        outcome: &'static str,
        say: String,
        faults: Vec<Fault>,
    },
}

/// How a cube in hand comes into the situation.
#[derive(Clone, Debug, PartialEq, Serialize)]
struct Setup {
    slot: String,
    /// The pairs that stay solved.
    kept: Vec<String>,
    /// From the hold; as few turns as can be.
    setup: Moves,
    turns: usize,
    hold: Hold,
    /// The cube after it.
    net: Net,
}

/// How a drill went.
#[derive(Serialize)]
struct Outcome {
    rung: u8,
    slips: u32,
    turns: Option<u32>,
    best: u32,
    seconds: f64,
    without_help: bool,
}

/// Sets a drill up, and watches where there is something to watch.
pub fn run(args: &DrillArgs) -> Ended {
    if args.list {
        return list(args.json);
    }
    let net = match (&args.net, &args.scramble) {
        (None, None) => Net::of(&Cube::solved()),
        (file, moves) => state::net(file.as_deref(), moves.as_deref())?,
    };
    let cube = match net.to_cube() {
        Ok(cube) => cube,
        Err(faults) => return impossible(faults, args.json),
    };
    let attempts = attempts(args)?;
    let placed = choose(args, &attempts)?;
    let cross = args
        .cross
        .unwrap_or_else(|| cross_colour(&cube, Colour::White));
    let drill = Drill {
        placed,
        cross,
        turn: attempts
            .iter()
            .filter(|a| a.start.situation == Situation::Placed(placed))
            .count(),
    };
    let setup = drill.setup(&cube, 0)?;
    let in_hand = args.net.is_some() || args.scramble.is_some();
    let from = if in_hand {
        ""
    } else {
        "Start from a solved cube; or show yours as it is, and the turns for it are told. "
    };
    let say = format!(
        "Practise this: {}. {from}{}",
        in_a_sentence(placed),
        setup.say(cross)
    );
    let mut opening = drill.set_up(&cube, &setup, in_hand);
    opening.why.insert_str(0, from);
    if !args.json && !args.events {
        print_prose(&say)?;
    }
    let result = match (&args.watch.frames, args.json) {
        (None, true) => None,
        _ => watched(args, drill, opening)?,
    };
    if args.json {
        print_document(&Document::Drill {
            schema: SCHEMA,
            outcome: "drill",
            say,
            situation: placed.to_string(),
            setup: &setup,
            result: result.as_ref().and_then(outcome),
        })?;
    }
    Ok(Exit::Done)
}

/// A situation's name without a colon of its own.
fn in_a_sentence(placed: Placed) -> String {
    placed.to_string().replacen(':', ",", 1)
}

fn list(json: bool) -> Ended {
    let situations: Vec<String> = Placed::all().map(|placed| placed.to_string()).collect();
    if json {
        print_document(&Document::Situations {
            schema: SCHEMA,
            outcome: "situations",
            say: format!("There are {} situations to practise.", situations.len()),
            situations,
        })?;
    } else {
        print_prose(&situations.join("\n"))?;
    }
    Ok(Exit::Done)
}

fn impossible(faults: Vec<Fault>, json: bool) -> Ended {
    let say = state::told(&faults);
    if json {
        print_document(&Document::Impossible {
            schema: SCHEMA,
            outcome: "impossible",
            say,
            faults,
        })?;
    } else {
        print_prose(&say)?;
    }
    Ok(Exit::Impossible)
}

/// What was practised before; nothing where there is no journal yet.
fn attempts(args: &DrillArgs) -> Result<Vec<Attempt>, Failure> {
    let path = recorder::place(&args.keep).filter(|path| path.exists());
    path.map_or_else(|| Ok(Vec::new()), |path| Journal::read(&path))
        .map_err(|error| refused(&error))
}

/// The situation asked for; of several, the one that went worst or the one that is due.
fn choose(args: &DrillArgs, attempts: &[Attempt]) -> Result<Placed, Failure> {
    let among: Vec<Placed> = match &args.situation {
        Some(words) => matching(words),
        None => Placed::all().collect(),
    };
    let due = next_due(attempts, &among, clock::now());
    let worst = args.worst.then(|| worst(attempts, &among)).flatten();
    worst.or(due).ok_or_else(|| {
        let words = args.situation.as_deref().unwrap_or_default();
        Failure::usage(format!("--situation: no situation is called \"{words}\""))
            .remedy("list the names with `pairsight drill --list`; any of their words will do")
    })
}

/// What is to be practised.
#[derive(Clone, Copy)]
struct Drill {
    placed: Placed,
    cross: Colour,
    /// How often it was practised before: with all pairs solved each time takes another slot.
    turn: usize,
}

impl Drill {
    /// The fewest turns that bring a cube into the situation: in a slot that is not solved where there is one, whichever
    /// is nearest. `rounds`: how often it was practised since.
    fn setup(&self, cube: &Cube, rounds: usize) -> Result<Setup, Failure> {
        let cross = self.cross;
        let solved = pairs_solved(cube, cross);
        let open: Vec<Slot> = match solved {
            SlotSet::ALL => vec![Slot::ALL[(self.turn + rounds) % 4]],
            _ => Slot::ALL
                .into_iter()
                .filter(|s| !solved.contains(*s))
                .collect(),
        };
        let to = |slot: Slot| {
            let goals = self.placed.states(cross, slot);
            let turns = shortest_to(cube, cross, slot, &goals, solved.without(slot))?;
            Some((slot, turns))
        };
        let nearest = open
            .into_iter()
            .filter_map(to)
            .min_by_key(|(_, turns)| turns.len());
        let (slot, turns) =
            nearest.ok_or_else(|| Failure::failed("no turns lead to this situation"))?;
        let hold = slot.hold(cross);
        let moves = turns
            .iter()
            .map(|turn| Move::from(hold.turn_in_hand(*turn)));
        let kept = solved.without(slot);
        Ok(Setup {
            slot: slot.name(cross),
            kept: kept.iter().map(|slot| slot.name(cross)).collect(),
            setup: Moves(moves.collect()),
            turns: turns.len(),
            hold,
            net: Net::of(&turns.iter().fold(*cube, |cube, turn| cube.apply(*turn))),
        })
    }

    /// A setup as it is told. `in_hand`: whether the cube lies so now, or would when solved.
    fn set_up(&self, cube: &Cube, setup: &Setup, in_hand: bool) -> SetUp {
        SetUp {
            held: Held {
                cube: *cube,
                hold: setup.hold,
            },
            moves: setup.setup.clone(),
            sentence: setup.sentence(in_hand),
            why: format!(
                "To practise: {}. Then {}.",
                in_a_sentence(self.placed),
                setup.goal(self.cross)
            ),
            text: format!(
                "To practise this: {}. {}",
                in_a_sentence(self.placed),
                setup.say(self.cross)
            ),
        }
    }

    /// What to do with a cube that is shown: solve the pair that lies as it is to be practised, or first come there.
    fn task(&self, cube: &Cube, rounds: usize) -> Task {
        let wanted = Some(Situation::Placed(self.placed));
        let lies = |slot: &Slot| Situation::of(cube, self.cross, *slot) == wanted;
        if let Some(slot) = Slot::ALL.into_iter().find(lies) {
            return Task::Pair(self.cross, slot);
        }
        Task::SetUp(match self.setup(cube, rounds) {
            Ok(setup) => self.set_up(cube, &setup, true),
            Err(_) => {
                let sentence = "Solve the cube, and show it again.";
                let why = format!(
                    "It cannot be brought to this: {}.",
                    in_a_sentence(self.placed)
                );
                SetUp {
                    held: Held::home(*cube),
                    moves: Moves::default(),
                    text: format!("{why} {sentence}"),
                    sentence: sentence.into(),
                    why,
                }
            }
        })
    }
}

impl Setup {
    /// What is to be practised.
    fn goal(&self, cross: Colour) -> String {
        format!(
            "solve the {} pair and keep the {} cross{}",
            self.slot,
            cross.name(),
            match self.kept.len() {
                0 => "",
                1 => " and the other pair",
                _ => " and the other pairs",
            }
        )
    }

    /// The turns to make, in one sentence that stands beside them.
    fn sentence(&self, in_hand: bool) -> String {
        let these = match self.turns {
            0 => return "The cube lies as it should: show it.".into(),
            1 => "this turn".into(),
            turns => format!("these {}", words::turn_count(turns)),
        };
        if in_hand {
            format!("Make {these}, then show the cube.")
        } else {
            format!("From a solved cube make {these}, then show it.")
        }
    }

    fn say(&self, cross: Colour) -> String {
        let solve = self.goal(cross);
        let hold = format!(
            "Hold the cube with {} down and {} in front",
            self.hold.down().name(),
            self.hold.front().name()
        );
        if self.setup.is_empty() {
            return format!("{hold}. The cube lies so already: {solve}.");
        }
        format!(
            "{hold}, and make {}: {}. Then show it, and {solve}.",
            words::turn_count(self.turns),
            words::turns(&self.setup)
        )
    }
}

impl Outcome {
    fn say(&self) -> String {
        let how = match (self.without_help, self.slips) {
            (true, _) => "without help".to_owned(),
            (false, 0) => format!("on rung {} of the hints", self.rung),
            (false, 1) => format!("on rung {} of the hints, after one slip", self.rung),
            (false, slips) => format!("on rung {} of the hints, after {slips} slips", self.rung),
        };
        let turns = self.turns.map_or_else(String::new, |turns| {
            format!(
                " in {}; the fewest are {}",
                words::turn_count(turns as usize),
                words::count(self.best as usize)
            )
        });
        format!("Solved {how}{turns}.")
    }
}

fn outcome(attempt: &Attempt) -> Option<Outcome> {
    let ended = attempt.ended?;
    Some(Outcome {
        rung: attempt.rung,
        slips: attempt.slips,
        turns: ended.turns,
        best: attempt.start.best,
        seconds: (ended.seconds * 100.0).round() / 100.0,
        without_help: attempt.unhelped(),
    })
}

/// Watches until the pair is solved, the frames end, or the person stops it; gives the attempt when it was solved.
fn watched(args: &DrillArgs, drill: Drill, opening: SetUp) -> Result<Option<Attempt>, Stop> {
    let profile = profiles::load(&args.profile)?;
    let with_page = !args.json && !args.screen.no_page;
    let source = coach::source(&args.watch, with_page)?;
    let lesson = move |cube: &Cube, rounds| drill.task(cube, rounds);
    let session = Session::new(Reader::new(profile.as_ref()), Some(drill.cross))
        .with_lesson(Box::new(lesson), opening);
    let stop = stop_on_interrupt()?;
    let mut terminal = (!args.json).then(|| Terminal::new(args.events));
    let mut practice = Practice {
        recorder: Recorder::open(&args.keep, Some(drill.placed), args.watch.frames.is_some()),
        ends: !with_page,
        prints: !args.json && !args.events,
        counted: 0,
        stop: Arc::clone(&stop),
    };
    let mut listeners: Vec<&mut dyn Listener> = Vec::new();
    if let Some(terminal) = &mut terminal {
        listeners.push(terminal);
    }
    listeners.push(&mut practice);
    let page = match with_page {
        true => coach::page(&args.screen, &args.watch, &args.profile, profile)?,
        false => None,
    };
    coach::observe(source, page, session, listeners, &stop)?;
    Ok(practice.recorder.drilled().next().copied())
}

/// Keeps a drill, and says how it went.
struct Practice {
    recorder: Recorder,
    /// The watching ends once the pair is solved. Where there is a page it goes on, so that the last words can be read.
    ends: bool,
    /// How it went is told in the terminal as well.
    prints: bool,
    /// How many times it was solved.
    counted: usize,
    stop: Arc<AtomicBool>,
}

impl Practice {
    /// How it went, once the pair is solved.
    fn done(&mut self) -> io::Result<Option<String>> {
        let mut done = self.recorder.drilled().skip(self.counted);
        let Some(outcome) = done.next().and_then(outcome) else {
            return Ok(None);
        };
        self.counted += 1;
        if self.ends {
            self.stop.store(true, Ordering::Relaxed);
        }
        if self.prints {
            print_prose(&outcome.say())?;
        }
        Ok(Some(outcome.say()))
    }
}

impl Listener for Practice {
    fn hear(&mut self, moment: &mut Moment, session: &mut Session) -> io::Result<()> {
        self.recorder.hear(moment, session)?;
        moment.remark = self.done()?;
        Ok(())
    }
}
