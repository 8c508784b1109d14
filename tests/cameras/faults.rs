//! Cameras that behave badly: the carried films as such cameras would give them, through the live loop. What is told must
//! be what is told of the clean film, and nothing else between.

use std::sync::LazyLock;

use image::RgbImage;
use pairsight::cube::Net;
use pairsight::live::{Event, Impairment, Kind, Timed};

use super::film::{FPS, Film, film, heard};
use crate::harness::films::{carried, truth};

/// An event in short: what was told, less its time.
fn gist(timed: &Timed) -> String {
    let net = |net: &Net| serde_json::to_string(net).expect("a net");
    match &timed.event {
        Event::Read { net: n, .. } => format!("read {}", net(n)),
        Event::Hint { level, moves, .. } => format!("hint {level}: {moves}"),
        Event::Followed { net: n, .. } => format!("followed {}", net(n)),
        Event::Slip {
            did, meant, undo, ..
        } => format!("slip {did} for {meant}, back by {undo}"),
        other => format!("{other:?}"),
    }
}

pub fn gists(events: &[Timed]) -> Vec<String> {
    events.iter().map(gist).collect()
}

/// The films, and what is told of each.
pub static CLEAN: LazyLock<[(Film, Vec<String>); 2]> = LazyLock::new(|| {
    FILMS.map(|name| {
        let film = film(&carried(&format!("{name}.mjpeg")));
        let told = gists(&heard(film.clone()));
        (film, told)
    })
});

const FILMS: [&str; 2] = ["followed", "slip"];

/// What it says is amiss with the pictures, not with the cube.
fn impairment(timed: &Timed) -> Option<Impairment> {
    match &timed.event {
        Event::Trouble {
            kind: Kind::Impaired(impairment),
            ..
        } => Some(*impairment),
        _ => None,
    }
}

/// Runs the film with a slip, which has all that the other has, through a camera's fault; it must tell what it tells without it. A question is never a wrong word, nor is a
/// hindrance that the fault makes `true_of` the pictures.
fn told_the_same(true_of: &[Impairment], fault: impl Fn(Film) -> Film) {
    for (name, (clean, told)) in FILMS.iter().zip(&*CLEAN).skip(1) {
        let mut heard = heard(fault(clean.clone()));
        heard.retain(|timed| {
            let is_true = impairment(timed).is_some_and(|seen| true_of.contains(&seen));
            !is_true && !matches!(timed.event, Event::Ask { .. })
        });
        assert_eq!(gists(&heard), *told, "{name}");
    }
}

/// Runs the film with a slip through a fault that may cost whole showings; each state told must still be the true one of its time, and each
/// hindrance `true_of` the pictures.
fn told_nothing_wrong(true_of: &[Impairment], fault: impl Fn(Film) -> Film) {
    for (name, (clean, _)) in FILMS.iter().zip(&*CLEAN).skip(1) {
        let states = true_states(name);
        for timed in heard(fault(clean.clone())) {
            if let Some(seen) = impairment(&timed) {
                assert!(true_of.contains(&seen), "{name}: {timed:?}");
            }
            let Some(told) = state(&timed) else {
                continue;
            };
            let (_, state) = states
                .iter()
                .rfind(|(from, _)| *from <= timed.t)
                .expect("a cube was shown");
            assert_eq!(&told, state, "{name} at {} s", timed.t);
        }
    }
}

/// The picture with the light of each pixel multiplied, in linear light, by what `gain` says of its row; it clips as a
/// sensor does.
fn relit(image: &RgbImage, gain: impl Fn(u32) -> f32) -> RgbImage {
    // IEC 61966-2-1, the curve of sRGB.
    let linear = |v: u8| {
        let v = f32::from(v) / 255.0;
        if v <= 0.04045 {
            v / 12.92
        } else {
            ((v + 0.055) / 1.055).powf(2.4)
        }
    };
    let encoded = |l: f32| {
        let l = l.clamp(0.0, 1.0);
        let v = if l <= 0.003_130_8 {
            12.92 * l
        } else {
            1.055 * l.powf(1.0 / 2.4) - 0.055
        };
        (v * 255.0).round() as u8
    };
    let mut image = image.clone();
    let mut curve = (f32::NAN, [0; 256]);
    for (y, row) in image.rows_mut().enumerate() {
        let gain = gain(y as u32);
        if curve.0 != gain {
            curve = (
                gain,
                std::array::from_fn(|v| encoded(gain * linear(v as u8))),
            );
        }
        row.for_each(|pixel| pixel.0 = pixel.0.map(|v| curve.1[usize::from(v)]));
    }
    image
}

fn relit_film(film: Film, gain: impl Fn(f64, u32) -> f32) -> Film {
    film.into_iter()
        .map(|(at, image)| (at, relit(&image, |row| gain(at, row))))
        .collect()
}

/// The film with its first still frame held for so many seconds more, as a learner who waits for the camera.
fn held_first(film: Film, from: usize, seconds: f64) -> Film {
    let more = (seconds * FPS) as usize;
    let first = film[from].1.clone();
    let later = film.into_iter().skip(from).map(|(_, image)| image);
    timed(std::iter::repeat_n(first, more).chain(later))
}

/// Pictures as a film.
fn timed(images: impl Iterator<Item = RgbImage>) -> Film {
    (0..).map(|i| f64::from(i) / FPS).zip(images).collect()
}

/// The state that an event tells.
fn state(timed: &Timed) -> Option<serde_json::Value> {
    let (Event::Read { net, .. } | Event::Followed { net, .. } | Event::Slip { net, .. }) =
        &timed.event
    else {
        return None;
    };
    Some(serde_json::to_value(net).expect("a net"))
}

/// When each showing of a film begins, in seconds, and its state.
pub fn true_states(name: &str) -> Vec<(f64, serde_json::Value)> {
    let film = truth(&carried("truth.json"), name);
    let showings = film["showings"].as_array().expect("a list");
    let frames = film["frames"].as_array().expect("a list");
    (1..)
        .zip(showings)
        .map(|(number, showing)| {
            let first = frames.iter().position(|frame| frame["showing"] == number);
            (
                first.expect("it is shown") as f64 / FPS,
                showing["state"].clone(),
            )
        })
        .collect()
}

#[test]
fn first_frames_that_are_dark() {
    // The cube is there from the start; the exposure rises to its value within one second and a half.
    let from = |first: usize| {
        move |film| {
            relit_film(held_first(film, first, 1.0), |t, _| {
                (t / 1.5).powi(3).clamp(0.002, 1.0) as f32
            })
        }
    };
    told_the_same(&[Impairment::Dark], from(18));
    // Here one of the films has the cube on its way to the next corner: while it was still dark, one face was not seen, and
    // without a profile all six are needed. What is told later must be right.
    told_nothing_wrong(&[Impairment::Dark], |film| {
        let left_out = 24.0 / FPS - 1.0;
        let dark = from(24)(film).into_iter();
        dark.map(|(at, image)| (at + left_out, image)).collect()
    });
}

#[test]
fn exposure_that_hunts() {
    // Up and down by a stop each way, as an automatic exposure that overshoots.
    for period in [0.9, 2.3] {
        told_nothing_wrong(&[Impairment::Dark, Impairment::Bright], |film| {
            relit_film(film, |t, _| {
                ((t * std::f64::consts::TAU / period).sin() as f32).exp2()
            })
        });
    }
}

#[test]
fn flicker_of_the_mains() {
    // From frame to frame by a third of the light.
    told_the_same(&[], |film| {
        relit_film(film, |t, _| {
            if ((t * FPS).round() as u32).is_multiple_of(2) {
                1.0
            } else {
                0.67
            }
        })
    });
    // Bands of a rolling shutter that wander down the picture: 100 flashes a second, read in a thirtieth of a second.
    told_the_same(&[], |film| {
        relit_film(film, |t, row| {
            let phase = f64::from(row) / 480.0 * 3.3 + t * 7.3;
            1.0 - 0.2 * (1.0 + (phase * std::f64::consts::TAU).sin() as f32)
        })
    });
}

#[test]
fn five_frames_a_second() {
    for first in [0, 1] {
        told_the_same(&[], |film| {
            film.into_iter().skip(first).step_by(2).collect()
        });
    }
}

#[test]
fn a_driver_that_gives_each_frame_three_times() {
    told_the_same(&[], |film| {
        film.into_iter()
            .flat_map(|(at, image)| {
                (0..3).map(move |k| (at + f64::from(k) / (3.0 * FPS), image.clone()))
            })
            .collect()
    });
}

#[test]
fn a_picture_that_stands_still_for_two_seconds() {
    // In every phase: coming, held, turned over, going.
    for at in [15, 35] {
        told_the_same(&[], |film| {
            film.into_iter()
                .enumerate()
                .flat_map(|(i, (t, image))| {
                    let later = if i > at { 2.0 } else { 0.0 };
                    let times = if i == at { 1 + (2.0 * FPS) as u32 } else { 1 };
                    (0..times).map(move |k| (t + later + f64::from(k) / FPS, image.clone()))
                })
                .collect()
        });
    }
}

#[test]
fn half_a_frame() {
    // Every seventh frame: its lower half is that of the frame before, or was never sent. A slip may then go unnamed.
    for old in [true, false] {
        told_nothing_wrong(&[Impairment::Hidden, Impairment::CutOff], |film| {
            let mut torn = film.clone();
            for i in (7..film.len()).step_by(7) {
                let (image, before) = (&mut torn[i].1, &film[i - 1].1);
                for y in image.height() / 2..image.height() {
                    for x in 0..image.width() {
                        let lower = if old {
                            *before.get_pixel(x, y)
                        } else {
                            image::Rgb([128; 3])
                        };
                        image.put_pixel(x, y, lower);
                    }
                }
            }
            torn
        });
    }
}

#[test]
fn frames_that_are_lost() {
    // Two in five, in an order that repeats only after the film.
    told_the_same(&[], |film| {
        film.into_iter()
            .enumerate()
            .filter(|(i, _)| (i * i / 7 + i) % 5 < 3)
            .map(|(_, frame)| frame)
            .collect()
    });
}

#[test]
fn exposure_beyond_all_use() {
    for stops in [1.8, 3.0] {
        told_nothing_wrong(&[Impairment::Dark, Impairment::Bright], |film| {
            relit_film(film, |t, _| ((t * 2.0).sin() as f32 * stops).exp2())
        });
    }
    // Half of each picture in deep shade that wanders.
    told_nothing_wrong(&[Impairment::Dark], |film| {
        relit_film(film, |t, row| {
            if (f64::from(row) / 480.0 + t) % 1.0 < 0.5 {
                1.0
            } else {
                0.2
            }
        })
    });
}

/// One corner is seen in a showing, the cube goes, is turned, and comes back with the other corner: what the two showed is
/// not taken for one cube, nor for a faulty one. Frames by number: to where the first corner has been held, the time away, and from
/// where the second corner of the next showing comes.
#[test]
fn half_a_showing_is_not_joined_to_the_next() {
    let cuts = [(28, 59..69, 96, None), (21, 47..57, 81, Some(2))];
    for ((name, (clean, _)), (until, away, from, last)) in FILMS.iter().zip(&*CLEAN).zip(cuts) {
        let kept = (0..until).chain(away).chain(from..clean.len());
        let heard = heard(timed(kept.map(|i| clean[i].1.clone())));
        let is_trouble = |timed: &Timed| matches!(timed.event, Event::Trouble { .. });
        assert!(!heard.iter().any(is_trouble), "{name}: {:?}", gists(&heard));
        let states: Vec<_> = heard.iter().filter_map(state).collect();
        // Only a later showing, from both corners, may tell a state.
        let later: Vec<_> = last
            .map(|at: usize| true_states(name)[at].1.clone())
            .into_iter()
            .collect();
        assert_eq!(states, later, "{name}: {:?}", gists(&heard));
    }
}
