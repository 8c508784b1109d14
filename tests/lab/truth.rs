//! Whether all that is said of pairs, crosses and last layers is true: the checks of the tests over all ways that a pair can lie,
//! and over as many random cubes solved by the hints as are asked for.

use std::any::Any;
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind, set_hook};

use pairsight::coach::Level;

use super::said::kinds::{self, BONDS};
use super::said::{PairCase, Said, solve};
use super::table::Table;
use crate::harness::each::each;

#[derive(clap::Args)]
pub struct Args {
    /// Random cubes that are solved by the hints at each level
    #[arg(long, default_value_t = 1_000)]
    solves: u64,
    /// Only every so manieth placing, to try it out
    #[arg(long, default_value_t = 1)]
    every: usize,
}

/// A check panics at what is not so, and counts how often such a thing was said.
type Check = fn(&Said) -> usize;

/// What must never be said, each with its check.
const KINDS: [(&str, Check); 19] = [
    ("anything that the stickers do not show", kinds::read),
    (
        "over 15 words a sentence, over two sentences at once",
        kinds::heard,
    ),
    (
        "an idiom, or a second word for one thing",
        kinds::one_vocabulary,
    ),
    ("a colour that is not of the pair", kinds::own_colours),
    ("other turns than the route's next few", kinds::next_few),
    ("what a later rung is for", kinds::keeps_back),
    (
        "\"closing turns the corner\", and it ends as it was",
        kinds::turned,
    ),
    ("\"still\", just after it was put there", kinds::still),
    (
        "their side colours differ, where they agree",
        kinds::touching,
    ),
    ("fewest turns, where another pair has fewer", kinds::fewest),
    (
        "a reason that other pairs share, or that is not so yet",
        kinds::reason,
    ),
    ("the far side, for left or right", kinds::far_side),
    ("more looks than are left", kinds::looks_left),
    ("bring down an edge that is down", kinds::brought_down),
    (
        "twisted and flipped, where only one of them is",
        kinds::one_wrong,
    ),
    (
        "a shorter way without a name, or that saves too little",
        kinds::shorter,
    ),
    ("another hold, without a word", kinds::turn_of_the_cube),
    ("another next pair than the one that comes", kinds::ahead),
    ("other letters than the turns in words", kinds::letters),
];

/// How often something of each kind was said, how often falsely, and what was said so first.
#[derive(Clone, Default)]
struct Count {
    said: usize,
    wrong: usize,
    first: Option<String>,
}

/// What was counted over some of all.
#[derive(Default)]
struct Part {
    advices: usize,
    kinds: Vec<Count>,
    /// For each bond what a text led to, and how often.
    bonds: Vec<BTreeMap<String, BTreeMap<String, usize>>>,
}

impl Part {
    fn of(all: impl Iterator<Item = Said>) -> Part {
        let mut part = Part {
            advices: 0,
            kinds: vec![Count::default(); KINDS.len()],
            bonds: vec![BTreeMap::new(); BONDS.len()],
        };
        for said in all {
            part.advices += 1;
            for ((_, check), count) in KINDS.iter().zip(&mut part.kinds) {
                match catch_unwind(AssertUnwindSafe(|| check(&said))) {
                    Ok(times) => count.said += times,
                    Err(fault) => {
                        count.wrong += 1;
                        count.first.get_or_insert_with(|| text(&*fault));
                    }
                }
            }
            for (bond, known) in BONDS.iter().zip(&mut part.bonds) {
                for (text, moves) in (bond.pairs)(&said) {
                    *known.entry(text).or_default().entry(moves).or_default() += 1;
                }
            }
        }
        part
    }

    fn add(mut self, other: Part) -> Part {
        if self.kinds.is_empty() {
            return other;
        }
        self.advices += other.advices;
        for (count, more) in self.kinds.iter_mut().zip(other.kinds) {
            count.said += more.said;
            count.wrong += more.wrong;
            count.first = count.first.take().or(more.first);
        }
        for (known, more) in self.bonds.iter_mut().zip(other.bonds) {
            for (text, all) in more {
                for (moves, times) in all {
                    *known
                        .entry(text.clone())
                        .or_default()
                        .entry(moves)
                        .or_default() += times;
                }
            }
        }
        self
    }

    fn rows(&self, over: &str, table: &mut Table) {
        let named = KINDS.iter().map(|(never, _)| never).zip(&self.kinds);
        for (never, count) in named {
            table.row([
                (*never).to_owned(),
                over.into(),
                count.said.to_string(),
                count.wrong.to_string(),
            ]);
            if let Some(first) = &count.first {
                println!("{never}: {first}");
            }
        }
        for (bond, known) in BONDS.iter().zip(&self.bonds) {
            let shared: Vec<_> = known.iter().filter(|(_, all)| all.len() > 1).collect();
            if let Some((text, all)) = shared.first() {
                println!("{}: {text} {all:?}", bond.never);
            }
            table.row([
                bond.never.to_owned(),
                over.into(),
                format!("{} texts", known.len()),
                shared.len().to_string(),
            ]);
        }
    }
}

fn text(fault: &(dyn Any + Send)) -> String {
    let told = fault.downcast_ref::<String>().cloned();
    let told = told.or_else(|| fault.downcast_ref::<&str>().map(ToString::to_string));
    told.unwrap_or_default()
}

pub fn measure(args: &Args) -> Table {
    set_hook(Box::new(|_| {}));
    let cases: Vec<PairCase> = PairCase::all().into_iter().step_by(args.every).collect();
    let placed = each(
        cases.len() as u64,
        || (),
        |(), n| Part::of(cases[n as usize].said()),
    );
    let solved = each(
        args.solves * Level::ALL.len() as u64,
        || (),
        |(), n| {
            let level = Level::ALL[n as usize % Level::ALL.len()];
            Part::of(solve(n / Level::ALL.len() as u64, level).into_iter())
        },
    );
    let sum = |parts: Vec<Part>| parts.into_iter().fold(Part::default(), Part::add);
    let [placed, solved] = [placed, solved].map(sum);
    let mut table = Table::new(
        "truth",
        format!(
            "What must never be said of a cube, how often something of the kind was said and how often falsely: over every way that a \
             pair can lie, for each cross, slot, set of other solved pairs and level ({} advices), and over {} random cubes solved by \
             the hints at each level ({} advices).",
            placed.advices, args.solves, solved.advices
        ),
        &["never", "over", "said", "falsely"],
    );
    placed.rows("all placements", &mut table);
    solved.rows("whole solves", &mut table);
    let _ = std::panic::take_hook();
    table
}
