//! How soon a cube that holds still is answered; `-- --nocapture` prints where the time goes.

use std::path::PathBuf;
use std::time::Duration;

use serde_json::Value;

use super::film::{FPS, film, watched};
use crate::harness::films::{carried, truth};

/// Seconds from the first frame in which the cube holds still to the hint, on the camera's clock. What the program
/// itself works on a frame comes on top; a learner notices both as one.
const SOON: f64 = 0.5;

#[test]
fn a_still_cube_is_answered_quickly() {
    for (path, truth) in films() {
        let (moments, _) = watched(film(&path));
        println!("{}", path.display());
        let frames = truth["frames"].as_array().expect("a list");
        let told = (0..moments.len()).filter(|&at| !moments[at].told.is_empty());
        for at in told {
            let first =
                first_still(frames, at).expect("only of a cube that holds still is anything told");
            let waited = (at - first) as f64 / FPS;
            let what: Vec<Value> = moments[at]
                .told
                .iter()
                .map(|timed| serde_json::to_value(timed).expect("an event")["event"].take())
                .collect();
            println!(
                "  at {:4.1} s, {:3.1} s after the first still frame, {:5.1} ms for this frame: {}",
                at as f64 / FPS,
                waited,
                moments[at].worked.as_secs_f64() * 1e3,
                Value::from(what),
            );
            assert!(waited <= SOON, "{waited} s in {}", path.display());
        }
        let mean = |kind: fn(&Value) -> bool| {
            let all: Vec<Duration> = frames
                .iter()
                .zip(&moments)
                .filter(|(frame, moment)| kind(frame) && moment.told.is_empty())
                .map(|(_, moment)| moment.worked)
                .collect();
            all.iter().sum::<Duration>().as_secs_f64() * 1e3 / all.len().max(1) as f64
        };
        println!(
            "  other frames, on average: {:.1} ms with a cube, {:.1} ms without",
            mean(|frame| frame["in_picture"] != "out"),
            mean(|frame| frame["in_picture"] == "out"),
        );
    }
}

/// The first frame of the hold that frame `at` belongs to.
fn first_still(frames: &[Value], at: usize) -> Option<usize> {
    let held =
        |i: usize| frames[i]["phase"] == "hold" && frames[i]["corner"] == frames[at]["corner"];
    held(at).then(|| (0..at).rev().take_while(|i| held(*i)).last().unwrap_or(at))
}

fn films() -> Vec<(PathBuf, Value)> {
    let all = carried("truth.json");
    ["followed", "slip"]
        .map(|name| (carried(&format!("{name}.mjpeg")), truth(&all, name)))
        .into()
}
