//! `drill`: chooses a situation, brings the cube in hand into it, and watches it being solved.

use std::io;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use serde::Serialize;

use super::args::DrillArgs;
use super::coach;
use super::journal::refused;
use super::keeping::{place_of, practised};
use super::state::{self, Given, print_in};
use super::{profiles, seeing};
use crate::coach::{cross_colour, words};
use crate::colour::Profile;
use crate::cube::{Colour, Cube, Fault, Net};
use crate::front::clock;
use crate::front::display::Asked;
use crate::front::exercise::{Drill, FROM_SOLVED, SetupMoves, in_a_sentence, in_turn};
use crate::front::interrupt::stop_on_interrupt;
use crate::front::outcome::{
    Ended, Exit, Failure, SCHEMA, Stop, print_aside, print_document, print_prose,
};
use crate::front::recorder::Recorder;
use crate::front::terminal::Terminal;
use crate::input::printable;
use crate::journal::{Attempt, Card, Placed, cards, matching, worst};
use crate::live::{Event, Kind, Listener, Moment, Session, SetUp};

/// What is printed with `--json`.
#[derive(Serialize)]
#[serde(untagged)]
enum DrillDocument<'a> {
    Drill {
        schema: u32,
        outcome: &'static str,
        say: String,
        situation: String,
        /// The situations that come in turn, this one first.
        run: Vec<String>,
        #[serde(flatten)]
        setup: &'a SetupMoves,
        /// How it went, when frames were watched and the pair was solved.
        #[serde(skip_serializing_if = "Option::is_none")]
        result: Option<Outcome>,
    },
    Situations {
        schema: u32,
        outcome: &'static str,
        say: String,
        situations: Vec<String>,
        /// For each of them when it is due, in seconds since 1970, UTC; none where it was not practised yet.
        due: Vec<Option<i64>>,
    },
    Impossible {
        schema: u32,
        outcome: &'static str,
        say: String,
        faults: Vec<Fault>,
    },
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
    if args.seeing {
        let profile = profiles::load(&args.profile)?;
        let cross = args.cross.unwrap_or(Colour::White);
        return seeing::run(cross, profiles::scheme(profile.as_ref()), args.json);
    }
    let attempts = practised(&args.keep).map_err(|error| refused(&error))?;
    if args.list {
        return list(&attempts, args.json);
    }
    let profile = profiles::load(&args.profile)?;
    let Given { net, scheme } = match (&args.net, &args.scramble) {
        (None, None) => Given {
            net: Net::of(&Cube::solved()),
            scheme: profiles::scheme(profile.as_ref()),
        },
        (file, moves) => state::given(file.as_deref(), moves.as_deref())?,
    };
    let cube = match net.to_cube() {
        Ok(cube) => cube,
        Err(faults) => return impossible(faults, args.json),
    };
    let placed = choose(args, &attempts)?;
    let cross = args
        .cross
        .unwrap_or_else(|| scheme.colour(cross_colour(&cube, Colour::White)));
    let drill = Drill {
        placed: placed.clone(),
        cross,
        turn: attempts.len(),
    };
    let by_place = drill.of_scheme(scheme);
    let setup = by_place.setup(&cube, 0)?;
    let in_hand = args.net.is_some() || args.scramble.is_some();
    let from = if in_hand { "" } else { FROM_SOLVED };
    let say = format!(
        "Practise {}. {from}{}",
        in_a_sentence(placed[0], by_place.cross),
        setup.say(by_place.cross)
    );
    let mut opening = by_place.set_up(&cube, &setup, 0, in_hand).painted(scheme);
    opening.why.insert_str(0, from);
    if !args.json && !args.events {
        print_prose(&scheme.in_words(&say))?;
    }
    let result = match (&args.watch.frames, args.json) {
        (None, true) => None,
        _ => watched(args, profile, drill, opening, attempts)?,
    };
    if args.json {
        let document = DrillDocument::Drill {
            schema: SCHEMA,
            outcome: "drill",
            say,
            situation: placed[0].to_string(),
            run: placed.iter().map(|placed| placed.to_string()).collect(),
            setup: &setup,
            result: result.as_ref().and_then(outcome),
        };
        print_in(scheme, &document)?;
    }
    Ok(Exit::Done)
}

fn list(attempts: &[Attempt], json: bool) -> Ended {
    let cards = cards(attempts);
    let due: Vec<Option<i64>> = Placed::all()
        .map(|placed| cards.get(&placed).map(Card::due))
        .collect();
    let situations: Vec<String> = Placed::all().map(|placed| placed.to_string()).collect();
    if json {
        print_document(&DrillDocument::Situations {
            schema: SCHEMA,
            outcome: "situations",
            say: format!("There are {} situations to practise.", situations.len()),
            situations,
            due,
        })?;
    } else {
        let now = clock::now();
        let line = |(name, due): (&String, &Option<i64>)| format!("{name:<38}{}", when(*due, now));
        let lines: Vec<String> = situations.iter().zip(&due).map(line).collect();
        print_prose(lines.join("\n").trim_end())?;
    }
    Ok(Exit::Done)
}

/// When something is due, in days from now.
fn when(due: Option<i64>, now: i64) -> String {
    const DAY: i64 = 24 * 60 * 60;
    match due.map(|due| (due - now).div_euclid(DAY)) {
        None => "new".into(),
        Some(..0) => "due".into(),
        Some(0) => "due today".into(),
        Some(1) => "due tomorrow".into(),
        Some(days) => format!("due in {days} days"),
    }
}

fn impossible(faults: Vec<Fault>, json: bool) -> Ended {
    let say = state::told(&faults);
    if json {
        print_document(&DrillDocument::Impossible {
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

/// The situations to practise in turn, the first one first: those asked for, or those that are due, filled up with new ones;
/// of many those that are due first.
fn choose(args: &DrillArgs, attempts: &[Attempt]) -> Result<Vec<Placed>, Failure> {
    let among = asked_for(&args.situations)?;
    if let Some(worst) = args.worst.then(|| worst(attempts, &among)).flatten() {
        return Ok(vec![worst]);
    }
    Ok(in_turn(among, attempts, !args.situations.is_empty()))
}

/// The situations that words or numbers speak of; all without any.
fn asked_for(words: &[String]) -> Result<Vec<Placed>, Failure> {
    if words.is_empty() {
        return Ok(Placed::all().collect());
    }
    let together = matching(&words.join(" "));
    if !together.is_empty() {
        return Ok(together);
    }
    let mut all = Vec::new();
    for word in words {
        let found = matching(word);
        if found.is_empty() {
            let told = Failure::usage(format!("no situation is called \"{}\"", printable(word)));
            return Err(told.remedy(
                "give a number from 1 to 22 or words of a name; `pairsight drill --list` prints all",
            ));
        }
        all.extend(
            found
                .into_iter()
                .filter(|placed| !all.contains(placed))
                .collect::<Vec<_>>(),
        );
    }
    Ok(all)
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
fn watched(
    args: &DrillArgs,
    profile: Option<Profile>,
    drill: Drill,
    opening: SetUp,
    before: Vec<Attempt>,
) -> Result<Option<Attempt>, Stop> {
    let with_page = !args.json && !args.screen.no_page;
    let source = coach::source(&args.watch, with_page)?;
    let (cross, placed) = (drill.cross, drill.placed.clone());
    let lesson = move |cube: &Cube, scheme, rounds| drill.task(cube, scheme, rounds);
    let reader = profiles::reader(&args.profile, profile.as_ref());
    let session = Session::new(reader, Some(cross)).with_lesson(Box::new(lesson), opening);
    let stop = stop_on_interrupt()?;
    let mut practice = Practice {
        terminal: (!args.json).then(|| Terminal::new(args.events)),
        recorder: Recorder::open(
            place_of(&args.keep, args.watch.frames.is_some()),
            &placed,
            before,
        ),
        ends: !with_page,
        counted: 0,
        stop: Arc::clone(&stop),
    };
    let asked = Asked {
        cross: Some(cross),
        level: None,
        mirrored: args.profile.mirrored,
    };
    let page = match with_page {
        true => coach::page(
            &args.screen,
            &args.watch,
            &args.profile,
            &args.keep,
            asked,
            profile,
        )?,
        false => None,
    };
    coach::observe(source, page, session, vec![&mut practice], &stop)?;
    Ok(practice.recorder.drilled().next().copied())
}

/// Keeps a drill, tells it, and says how it went.
struct Practice {
    recorder: Recorder,
    /// None where only the result is printed.
    terminal: Option<Terminal>,
    /// The watching ends once the pair is solved. Where there is a page it goes on, so that the last words can be read.
    ends: bool,
    /// How many times it was solved.
    counted: usize,
    stop: Arc<AtomicBool>,
}

impl Practice {
    /// How it went, once the pair is solved.
    fn done(&mut self) -> Option<String> {
        let mut done = self.recorder.drilled().skip(self.counted);
        let outcome = done.next().and_then(outcome)?;
        self.counted += 1;
        if self.ends {
            self.stop.store(true, Ordering::Relaxed);
        }
        Some(outcome.say())
    }
}

/// Where nothing else is told, the journal's troubles are.
fn tell_of_the_journal(moment: &Moment) {
    for told in &moment.events {
        if let Event::Trouble {
            kind: Kind::Kept(_),
            text,
        } = &told.event
        {
            print_aside(format_args!("pairsight: {text}"));
        }
    }
}

impl Listener for Practice {
    fn hear(&mut self, moment: &mut Moment, session: &mut Session) -> io::Result<()> {
        self.recorder.hear(moment, session)?;
        moment.remark = self.done().or(moment.remark.take());
        match &mut self.terminal {
            Some(terminal) => terminal.hear(moment, session)?,
            None => tell_of_the_journal(moment),
        }
        Ok(())
    }
}
