//! What the demo's page shows, over and over: a pair found with more and more help, a slip put right, and then the learner's turn.

use std::io;
use std::ops::Range;
use std::thread;
use std::time::{Duration, Instant};

use image::RgbImage;
use image::imageops::{FilterType, crop_imm, resize};

use crate::camera::{Feed, Frame, FrameSource};
use crate::live::{Event, Listener, Moment, Session, Timed};

/// A learner shows a cube with one pair left, makes the three turns out of the picture, and shows it again.
pub const FOLLOWED: &[u8] = include_bytes!("../../test_images/films/followed.mjpeg");
/// The same with another cube, the third turn made the wrong way, shown so, and put right.
const SLIP: &[u8] = include_bytes!("../../test_images/films/slip.mjpeg");

/// Frames a second of both films.
pub const FPS: f64 = 10.0;

/// Frames of a film, one after the other, so many times.
struct Shot {
    film: &'static [u8],
    frames: Range<usize>,
    times: usize,
    part: Part,
}

/// The part of its pictures that a shot shows, as large as the whole: a cube that comes back is not where it was.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Part {
    Whole,
    Left,
    Right,
}

/// Share of a picture's width and height in its left or right part.
const PART: f64 = 0.8;

impl Part {
    fn of(self, image: RgbImage) -> RgbImage {
        if self == Part::Whole {
            return image;
        }
        let (width, height) = image.dimensions();
        let [wide, high] = [width, height].map(|n| (f64::from(n) * PART) as u32);
        let left = if self == Part::Right { width - wide } else { 0 };
        let part = crop_imm(&image, left, (height - high) / 2, wide, high).to_image();
        resize(&part, width, height, FilterType::Triangle)
    }
}

/// A part of the story, which begins with a cube that nobody has seen.
struct Chapter {
    /// What is said at its beginning.
    say: &'static str,
    shots: Vec<Shot>,
}

fn story() -> [Chapter; 3] {
    let of = |film, frames| Shot {
        film,
        frames,
        times: 1,
        part: Part::Whole,
    };
    let aside = |film, frames, part| Shot {
        part,
        ..of(film, frames)
    };
    // The empty desk, long enough to read what was told.
    let read = || Shot {
        film: FOLLOWED,
        frames: 63..64,
        times: 38,
        part: Part::Whole,
    };
    let mut asks = vec![of(FOLLOWED, 0..59), read()];
    for part in [Part::Right, Part::Left, Part::Right, Part::Left] {
        asks.extend([aside(FOLLOWED, 12..59, part), read()]);
    }
    asks.extend([of(FOLLOWED, 66..121), read()]);
    let slips = vec![
        of(SLIP, 0..50),
        read(),
        of(SLIP, 55..100),
        read(),
        aside(SLIP, 57..98, Part::Left),
        read(),
        of(SLIP, 105..154),
        read(),
    ];
    [
        Chapter {
            say: "watch: a learner shows a cube with one pair left, and asks for help by showing it again",
            shots: asks,
        },
        Chapter {
            say: "watch: another cube, and one turn goes the wrong way",
            shots: slips,
        },
        Chapter {
            say: "now with your own cube. Press Ctrl-C in the terminal, and start: pairsight coach",
            shots: vec![read(), read()],
        },
    ]
}

/// The JPEG pictures of a Motion-JPEG film. In our own films an end marker beside a start marker is nothing else.
fn pictures(film: &'static [u8]) -> Vec<&'static [u8]> {
    let seam = b"\xff\xd9\xff\xd8";
    let mut starts = vec![0];
    starts.extend(
        (0..film.len() - 3)
            .filter(|at| &film[*at..*at + 4] == seam)
            .map(|at| at + 2),
    );
    let ends = starts.iter().skip(1).copied().chain([film.len()]);
    starts
        .iter()
        .zip(ends)
        .map(|(start, end)| &film[*start..end])
        .collect()
}

/// Plays the story over and over at the pace at which its films were taken. Each frame's name is what its chapter says.
pub struct Story {
    frames: Vec<(&'static str, Part, &'static [u8])>,
    began: Instant,
    given: usize,
}

impl Story {
    pub fn new() -> Story {
        let mut frames = Vec::new();
        for chapter in story() {
            for shot in chapter.shots {
                let film = pictures(shot.film);
                let shown = shot.frames.filter_map(|frame| film.get(frame).copied());
                let shown: Vec<_> = shown.map(|jpeg| (chapter.say, shot.part, jpeg)).collect();
                frames.extend(shown.repeat(shot.times));
            }
        }
        Story {
            frames,
            began: Instant::now(),
            given: 0,
        }
    }

    /// When the next frame was taken.
    fn due(&self) -> Duration {
        Duration::from_secs_f64(self.given as f64 / FPS)
    }

    /// The next frame, without waiting for its time.
    fn next_frame(&mut self) -> Option<Frame> {
        let at = self.due();
        let (say, part, jpeg) = self.frames[self.given % self.frames.len()];
        self.given += 1;
        let frame = Frame::from_jpeg(jpeg, at, self.given as u64).ok()?;
        Some(Frame {
            name: Some(say.into()),
            image: part.of(frame.image),
            ..frame
        })
    }
}

impl FrameSource for Story {
    fn next(&mut self, wait: Duration) -> Feed {
        let early = self.due().saturating_sub(self.began.elapsed());
        thread::sleep(early.min(wait));
        if early > wait {
            return Feed::Quiet;
        }
        self.next_frame().map_or(Feed::Quiet, Feed::Frame)
    }
}

/// Says at the beginning of each chapter what it is about. It listens before all others.
#[derive(Default)]
pub struct Narrator {
    chapter: Option<String>,
}

impl Listener for Narrator {
    fn hear(&mut self, moment: &mut Moment, session: &mut Session) -> io::Result<()> {
        let Some((frame, _)) = &moment.seen else {
            return Ok(());
        };
        if frame.name == self.chapter {
            return Ok(());
        }
        self.chapter.clone_from(&frame.name);
        session.start_again();
        let text = frame.name.clone().unwrap_or_default();
        let ask = Event::Ask {
            show: Vec::new(),
            text,
        };
        moment.events = vec![Timed::new(moment.now, ask)];
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::live::{Gaze, RUNGS};
    use crate::read::Reader;

    /// The demo's page once ended in a void: its film ran out.
    #[test]
    fn the_story_runs_again_and_its_time_goes_on() {
        assert_eq!(pictures(FOLLOWED).len(), 121);
        assert_eq!(pictures(SLIP).len(), 154);
        let mut story = Story::new();
        let first = story.next_frame().expect("a frame");
        story.given = story.frames.len();
        let again = story.next_frame().expect("a frame");
        assert_eq!((first.name, first.image), (again.name, again.image));
        assert!(again.at > Duration::from_secs(60), "{:?}", again.at);
    }

    /// All that the coach can do is seen: every rung, a slip with its way back, and both pairs done.
    #[test]
    fn the_story_tells_all_rungs_a_slip_and_its_way_back() {
        let mut story = Story::new();
        let (mut session, mut gaze) = (Session::new(Reader::new(None), None), Gaze::default());
        let mut narrator = Narrator::default();
        let (mut rungs, mut slips, mut backs, mut followed, mut asked) =
            ([false; RUNGS as usize + 1], 0, 0, 0, 0);
        for _ in 0..story.frames.len() {
            let frame = story.next_frame().expect("a frame");
            let now = frame.at.as_secs_f64();
            let look = gaze.look(now, &frame.image);
            let mut moment = Moment {
                now,
                events: session.see(now, &look),
                seen: Some((frame, look)),
                ..Moment::default()
            };
            narrator.hear(&mut moment, &mut session).expect("it tells");
            for told in moment.events {
                match told.event {
                    Event::Hint { level, .. } => rungs[usize::from(level)] = true,
                    Event::Slip { way_back, .. } => {
                        slips += 1;
                        backs += usize::from(way_back);
                    }
                    Event::Followed { .. } => followed += 1,
                    Event::Ask { .. } => asked += 1,
                    _ => {}
                }
            }
        }
        assert_eq!(rungs, [true; RUNGS as usize + 1]);
        assert!(
            slips >= 1 && followed == 2 && asked == 3,
            "{slips} {backs} {followed} {asked}"
        );
    }
}
