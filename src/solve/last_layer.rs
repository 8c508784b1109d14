//! The last layer by known sequences: in two looks of orientation and two of permutation, or in one of each.

use super::top::{Book, Execution, LookGoal, Ready, Top, executions, turn_top};
use crate::cube::{Held, Move};
use serde::{Deserialize, Serialize};
use std::sync::OnceLock;

/// What kind of route it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Style {
    /// Reasoned step by step; nothing to learn by heart. Of a last layer: four looks of few cases each, sixteen sequences in
    /// all.
    Plain,
    /// Fewest turns. Of a last layer: one look of orientation and one of permutation, of such pairs of sequences the one of
    /// fewest turns.
    Short,
}

/// One look: what it brings about, the case's name, and the moves, which may start with turning the layer or the cube.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LookStep {
    pub look: LookGoal,
    /// The trade's name for the case; empty for [`LookGoal::Aligned`].
    pub case: &'static str,
    pub moves: Vec<Move>,
}

/// The steps that solve the last layer from this hold, without those that have nothing to do; none unless the cross is
/// down and the first two layers are solved.
pub fn last_layer(held: &Held, style: Style) -> Option<Vec<LookStep>> {
    let mut top = Top::of(held)?;
    let mut angle = 0;
    let mut steps = Vec::new();
    let chosen = match style {
        Style::Plain => four_looks(top),
        Style::Short => two_looks(top),
    };
    for (look, execution) in chosen {
        steps.push(LookStep {
            look,
            case: execution.sequence.name,
            moves: execution.moves(),
        });
        (top, angle) = execution.applied(top, angle);
    }
    if let Some(turn) = turn_top(top.quarters_off()) {
        steps.push(LookStep {
            look: LookGoal::Aligned,
            case: "",
            moves: vec![turn],
        });
    }
    Some(steps)
}

fn four_looks(mut top: Top) -> Vec<(LookGoal, Execution)> {
    let mut angle = 0;
    let mut chosen = Vec::new();
    for (look, sequences) in &Book::get().looks {
        let fitting = ways(top, angle, *look, sequences);
        // Turning the layer is easier than turning the cube, so it is chosen where both will do.
        if let Some(execution) = fitting.min_by_key(|c| (c.turns() + c.rotations(), c.rotations()))
        {
            chosen.push((*look, execution));
            (top, angle) = execution.applied(top, angle);
        }
    }
    chosen
}

fn two_looks(top: Top) -> Vec<(LookGoal, Execution)> {
    let book = Book::get();
    let firsts = or_nothing(ways(top, 0, LookGoal::CornersTurned, &book.turn_all));
    let both = firsts.into_iter().flat_map(|first| {
        let (then, angle) = first.map_or((top, 0), |execution| execution.applied(top, 0));
        let seconds = or_nothing(ways(then, angle, LookGoal::EdgesPlaced, &book.place_all));
        seconds.into_iter().map(move |second| {
            let end = second.map_or(then, |execution| execution.applied(then, angle).0);
            ([first, second], usize::from(end.quarters_off() != 0))
        })
    });
    let cost = |(both, align): &([Option<Execution>; 2], usize)| {
        let turns = both.iter().flatten().map(|c| c.turns()).sum::<usize>() + align;
        let rotations: usize = both.iter().flatten().map(|c| c.rotations()).sum();
        (turns, rotations)
    };
    let best = both.min_by_key(cost).map_or([None; 2], |(both, _)| both);
    let looks = [LookGoal::CornersTurned, LookGoal::EdgesPlaced];
    let chosen = looks.into_iter().zip(best);
    chosen
        .filter_map(|(look, execution)| Some((look, execution?)))
        .collect()
}

/// The executions that bring a look about; none when it is so already.
fn ways(
    top: Top,
    angle: usize,
    look: LookGoal,
    sequences: &'static [Ready],
) -> impl Iterator<Item = Execution> {
    let sequences = if top.has(look) { &[] } else { sequences };
    executions(sequences).filter(move |execution| execution.applied(top, angle).0.has(look))
}

fn or_nothing(ways: impl Iterator<Item = Execution>) -> Vec<Option<Execution>> {
    let some: Vec<Option<Execution>> = ways.map(Some).collect();
    if some.is_empty() { vec![None] } else { some }
}

/// What the shortest two looks cost, in tables.
struct Costs {
    /// By [`Top::turning`]: the executions that turn the top up.
    turning: Vec<Vec<Execution>>,
    /// By [`Top::order`], once all is turned up: turns until the last layer is solved.
    placing: Vec<u8>,
}

/// The fewest turns in which [`Style::Short`] solves the last layer; none unless only that is left.
pub(super) fn short_turns(held: &Held) -> Option<usize> {
    let top = Top::of(held)?;
    let costs = Costs::get();
    let placing = |top: Top| usize::from(costs.placing[top.order()]);
    if top.has(LookGoal::CornersTurned) {
        return Some(placing(top));
    }
    let ways = costs.turning[top.turning()].iter();
    ways.map(|execution| execution.turns() + placing(execution.applied(top, 0).0))
        .min()
}

impl Costs {
    fn get() -> &'static Costs {
        static COSTS: OnceLock<Costs> = OnceLock::new();
        COSTS.get_or_init(|| {
            let book = Book::get();
            let mut turning = vec![Vec::new(); Top::TURNINGS];
            for execution in executions(&book.turn_all) {
                for top in Top::all_placed() {
                    if execution.applied(top, 0).0.has(LookGoal::CornersTurned) {
                        turning[top.turning()].push(execution);
                    }
                }
            }
            let mut placing = vec![0; Top::ORDERS];
            for top in Top::all_turned() {
                let align = |top: Top| usize::from(top.quarters_off() != 0);
                let ways = ways(top, 0, LookGoal::EdgesPlaced, &book.place_all);
                let least = ways
                    .map(|execution| execution.turns() + align(execution.applied(top, 0).0))
                    .min();
                placing[top.order()] = least.unwrap_or(align(top)) as u8;
            }
            Costs { turning, placing }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cube::{Cube, Hold, htm};

    /// Mixes the last layer by known sequences after turns of the layer or the cube, and compares the tables' count
    /// with the moves that are really given.
    #[test]
    fn the_tables_count_what_the_short_looks_take() {
        let all: Vec<Execution> = executions(&Book::get().turn_all)
            .chain(executions(&Book::get().place_all))
            .collect();
        for start in 0..400 {
            let mixing = [start, 7 * start + 3, 31 * start + 5].map(|i| all[i % all.len()].moves());
            let cube = Held::home(Cube::solved()).after(&mixing.concat()).cube;
            let held = Held {
                cube,
                hold: Hold::HOME,
            };
            let steps = last_layer(&held, Style::Short).unwrap();
            let turns: usize = steps.iter().map(|step| htm(&step.moves)).sum();
            assert_eq!(short_turns(&held), Some(turns), "{cube}");
        }
        assert_eq!(short_turns(&Held::home(Cube::random(1))), None);
    }
}
