//! Long hours at full speed: what is told wrongly in them, and whether memory or time for a frame grow.

use std::cell::RefCell;
use std::net::TcpStream;
use std::path::PathBuf;
use std::rc::Rc;
use std::sync::Arc;
use std::thread;

use image::RgbImage;
use pairsight::cube::{Cube, Held, Move, Turn};
use pairsight::live::steady::{ANNOUNCED, nearest};
use pairsight::live::{Event, Kind, Seen, Session, Timed};
use pairsight::page::{Found, FoundFace, Options, Page, Say, Shown};
use pairsight::read::Reader;
use pairsight::sight::{FaceView, Finder, Look};
use rand::seq::IndexedRandom;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use tungstenite::Message;
use tungstenite::client::IntoClientRequest;

use super::clutter::Room;
use super::process::{resident, worked_in_all};
use super::table::Table;
use super::turning::fiddling;
use crate::hands::{Act, Eye, Scene, eye, mid_solve};

#[derive(clap::Args)]
pub struct Args {
    /// Hours before the camera without a cube
    #[arg(long, default_value_t = 1.0)]
    clutter: f64,
    /// Frames a second of clutter, each of which is drawn and looked at
    #[arg(long, default_value_t = 5.0)]
    clutter_fps: f64,
    /// Seconds in each room
    #[arg(long, default_value_t = 20.0)]
    room: f64,
    /// Hours of hands that fiddle with a known cube
    #[arg(long, default_value_t = 1.0)]
    idle: f64,
    /// Hours of practice
    #[arg(long, default_value_t = 6.0)]
    practice: f64,
    /// Frames a second of idle hands and of practice
    #[arg(long, default_value_t = 15.0)]
    fps: f64,
    /// The first room's and learner's number
    #[arg(long, default_value_t = 0)]
    first: u64,
    /// Print what was told wrongly, and each face found in clutter
    #[arg(long)]
    verbose: bool,
    /// Keep pictures of clutter of which something was told in this folder
    #[arg(long)]
    keep: Option<PathBuf>,
}

/// Share of faces that are not found while a layer of them is on its way: see [`Eye::broken`]. Tests have it harder.
const BROKEN: f64 = 0.9;

/// A part's row of the table.
type Row = [String; 9];

/// What a part of the hours cost, a simulated minute at a time.
struct Costs {
    /// Frames, and milliseconds of work on them.
    minutes: Vec<(usize, f64)>,
    frames: usize,
    all: usize,
    since: f64,
    worked: f64,
    /// MiB at the end of the first minute, and the most since.
    memory: (f64, f64),
}

impl Costs {
    fn begin() -> Costs {
        Costs {
            minutes: Vec::new(),
            frames: 0,
            all: 0,
            since: 0.0,
            worked: worked_in_all().unwrap_or(0.0),
            memory: (0.0, 0.0),
        }
    }

    /// A frame was looked at, so many seconds into the stream.
    fn frame(&mut self, t: f64) {
        self.frames += 1;
        self.all += 1;
        if t - self.since < 60.0 {
            return;
        }
        let (now, memory) = (worked_in_all().unwrap_or(0.0), resident().unwrap_or(0.0));
        self.minutes.push((self.frames, now - self.worked));
        (self.frames, self.since, self.worked) = (0, t, now);
        self.memory = match self.minutes.len() {
            1 => (memory, memory),
            _ => (self.memory.0, self.memory.1.max(memory)),
        };
    }

    /// Frames, milliseconds a frame in the first tenth and the last, and memory.
    fn cells(&self) -> [String; 5] {
        let tenth = self.minutes.len().div_ceil(10);
        let mean = |minutes: &[(usize, f64)]| {
            let frames: usize = minutes.iter().map(|(frames, _)| frames).sum();
            let work: f64 = minutes.iter().map(|(_, work)| work).sum();
            format!("{:.2}", work / frames.max(1) as f64)
        };
        [
            self.all.to_string(),
            mean(&self.minutes[..tenth]),
            mean(&self.minutes[self.minutes.len() - tenth..]),
            format!("{:.1}", self.memory.0),
            format!("{:.1}", self.memory.1),
        ]
    }
}

fn count(told: &[Timed], is: impl Fn(&Event) -> bool) -> usize {
    told.iter().filter(|timed| is(&timed.event)).count()
}

fn is_impairment(event: &Event) -> bool {
    matches!(
        event,
        Event::Trouble {
            kind: Kind::Impaired(_) | Kind::Seen(Seen::Mirrored),
            ..
        }
    )
}

/// Rooms without a cube, each frame drawn and looked at.
fn clutter(args: &Args) -> Row {
    let mut finder = Finder::new();
    let mut session = Session::new(Reader::new(None), None);
    let mut costs = Costs::begin();
    let (mut false_faces, mut outlined, mut announced, mut hindrances, mut other) = (0, 0, 0, 0, 0);
    let mut before = Look::default();
    let mut room = Room::new(args.first);
    let mut number = args.first;
    for frame in 0..(args.clutter * 3600.0 * args.clutter_fps) as u64 {
        let t = frame as f64 / args.clutter_fps;
        let now = args.first + (t / args.room) as u64;
        if now != number {
            (room, number) = (Room::new(now), now);
        }
        let picture = room.picture(t);
        let look = finder.look(&picture);
        let told = session.see(t, &look);
        false_faces += usize::from(!look.faces.is_empty());
        let is_drawn = |face: &FaceView| face.score >= ANNOUNCED && nearest(face, &before) < 0.7;
        outlined += usize::from(look.faces.iter().any(is_drawn));
        announced += count(&told, |event| matches!(event, Event::Saw { .. }));
        hindrances += count(&told, is_impairment);
        other += count(&told, |event| {
            !is_impairment(event) && !matches!(event, Event::Saw { .. })
        });
        if args.verbose && !(told.is_empty() && look.faces.is_empty()) {
            let scores = look.faces.iter().map(|face| face.score);
            let scores: Vec<f32> = scores.collect();
            println!("room {number}, {t:.1} s: {scores:.1?} {told:?}");
        }
        if let Some(folder) = args.keep.as_ref().filter(|_| !told.is_empty()) {
            let path = folder.join(format!("room-{number}-{frame}.png"));
            picture.save(path).expect("a folder with room");
        }
        before = look;
        costs.frame(t);
    }
    let about = format!(
        "a face found in {false_faces} frames, outlined in {outlined}; {hindrances} hindrances told"
    );
    row("clutter", args.clutter, &costs, announced + other, about)
}

fn row(name: &str, hours: f64, costs: &Costs, wrong: usize, about: String) -> Row {
    let [frames, first, last, memory, most] = costs.cells();
    let hours = format!("{hours}");
    let wrong = wrong.to_string();
    [
        name.to_owned(),
        hours,
        frames,
        wrong,
        about,
        first,
        last,
        memory,
        most,
    ]
}

/// Seconds after which a state is told of wrongly, in any case.
const FORGOTTEN: f64 = 4.0;

/// A learner for hours, whose words are looked at and forgotten.
struct Learner {
    scene: Scene,
    wrong: usize,
    told: [usize; 3],
    verbose: bool,
}

impl Learner {
    /// Looks at what was told since it was last looked at.
    fn check(&mut self) {
        let faults = self.scene.told.iter().filter(|timed| {
            let kind = |event: &Event| match event {
                Event::Trouble { kind, .. } => Some(*kind),
                _ => None,
            };
            matches!(kind(&timed.event), Some(Kind::Impaired(_) | Kind::Seen(_)))
        });
        let mut wrong = self.scene.wrong();
        wrong.extend(faults.map(|timed| format!("{timed:?}")));
        if self.verbose {
            wrong.iter().for_each(|told| println!("{told}"));
        }
        self.wrong += wrong.len();
        let told = &self.scene.told;
        self.told[0] += count(told, |e| matches!(e, Event::Turn { .. }));
        self.told[1] += count(told, |e| matches!(e, Event::Followed { .. }));
        self.told[2] += count(told, |e| matches!(e, Event::Slip { .. }));
        self.forget();
    }

    /// Forgets what was told so far, and states that nothing told from now on can be about.
    fn forget(&mut self) {
        let scene = &mut self.scene;
        scene.told.clear();
        scene.turns.clear();
        scene.passed.clear();
        let past = scene.hands.now() - FORGOTTEN;
        let over = scene.states.windows(2).take_while(|pair| pair[1].0 < past);
        let over = over.count();
        scene.states.drain(..over);
    }

    /// Whether the session knows the cube as it is.
    fn is_known(&self) -> bool {
        let known = self.scene.session.known();
        known.is_some_and(|known| known.cube() == self.scene.hands.held.cube)
    }

    /// Shows the cube until it is known; how often that took.
    fn show_until_known(&mut self) -> usize {
        for times in 0..5 {
            if self.is_known() {
                return times;
            }
            self.scene.act(Act::Rest(1.0));
            if !self.is_known() {
                self.scene.show();
            }
        }
        5
    }

    /// Another cube, out of sight and back.
    fn take(&mut self, cube: Cube) {
        let held = self.scene.hands.held;
        self.scene.act(Act::Away(held.hold, 0.7));
        let now = self.scene.hands.now();
        self.scene.hands.held = Held { cube, ..held };
        self.scene.states.push((now, cube));
        self.scene.show();
    }
}

fn learner(args: &Args, rung: u8, rng: &mut ChaCha8Rng) -> (Learner, Rc<RefCell<Costs>>) {
    let costs = Rc::new(RefCell::new(Costs::begin()));
    let cube = mid_solve(rng);
    let eye = Eye {
        broken: BROKEN,
        ..eye(rng)
    };
    let scene = Scene::new(cube, eye, args.fps, rung, args.first);
    let learner = Learner {
        scene,
        wrong: 0,
        told: [0; 3],
        verbose: args.verbose,
    };
    (learner, costs)
}

/// Anything but a turn that ends.
fn fiddle(scene: &mut Scene, rng: &mut ChaCha8Rng) {
    let hold = scene.hands.held.hold;
    scene.act(match rng.random_range(0..6) {
        0 => Act::Away(hold, rng.random_range(0.3..3.0)),
        1 => Act::Close(rng.random_range(0.2..1.5)),
        _ => fiddling(rng),
    });
    scene.act(Act::Rest(rng.random_range(0.2..1.0)));
}

/// Hands that fiddle with a cube that is known, and never turn it.
fn idle(args: &Args) -> Row {
    let rng = &mut ChaCha8Rng::seed_from_u64(args.first);
    let (mut learner, costs) = learner(args, 1, rng);
    let counted = Rc::clone(&costs);
    let fps = args.fps;
    let mut frame = 0.0;
    learner.scene.watcher = Some(Box::new(move |_, _, _| {
        frame += 1.0;
        counted.borrow_mut().frame(frame / fps);
    }));
    let mut turns = 0;
    while learner.scene.hands.now() < args.idle * 3600.0 {
        fiddle(&mut learner.scene, rng);
        turns += count(&learner.scene.told, |event| {
            matches!(event, Event::Turn { .. })
        });
        learner.check();
    }
    let known = if learner.is_known() {
        "known"
    } else {
        "not known"
    };
    let about = format!("{turns} turns told where none was made; the cube is {known} at the end");
    row(
        "idle hands",
        args.idle,
        &costs.borrow(),
        learner.wrong + turns,
        about,
    )
}

/// Practice with the page open: hints followed, slips taken back, new cubes, fiddling between.
fn practice(args: &Args) -> Row {
    let rng = &mut ChaCha8Rng::seed_from_u64(args.first + 1);
    let (mut learner, costs) = learner(args, 4, rng);
    let page = Page::start(Options::default()).expect("a page");
    let tab = open_tab(&page);
    let mut shower = Shower::new(page);
    let counted = Rc::clone(&costs);
    let fps = args.fps;
    let mut frame = 0.0;
    learner.scene.watcher = Some(Box::new(move |session, look, told| {
        frame += 1.0;
        shower.show(session, look, told);
        counted.borrow_mut().frame(frame / fps);
    }));
    let (mut made, mut cubes, mut shown, mut lost) = (0, 1, 0, 0);
    while learner.scene.hands.now() < args.practice * 3600.0 {
        let times = learner.show_until_known();
        shown += times;
        let known = learner.scene.session.known();
        let Some((hold, moves)) = known
            .filter(|known| times < 5 && !known.moves().is_empty())
            .map(|known| (known.held().hold, known.moves()))
        else {
            lost += usize::from(times == 5);
            cubes += 1;
            learner.take(mid_solve(rng));
            learner.check();
            continue;
        };
        let scene = &mut learner.scene;
        if scene.hands.held.hold != hold {
            scene.act(Act::Away(hold, 0.5));
            scene.act(Act::Rest(0.6));
        }
        let moves: Vec<Move> = match rng.random_range(0..10) {
            0 => vec![(*Turn::ALL.choose(rng).expect("a turn")).into()],
            1 => {
                fiddle(scene, rng);
                Vec::new()
            }
            _ => moves.to_vec(),
        };
        made += moves.iter().filter(|m| m.htm() > 0).count();
        scene.make(
            &moves,
            rng.random_range(0.25..0.6),
            rng.random_range(0.3..1.0),
        );
        scene.act(Act::Rest(1.0));
        learner.check();
    }
    let [turns, followed, slips] = learner.told;
    let wrong = learner.wrong;
    // The page ends with the one who shows on it, and the tab with the page.
    drop(learner);
    let pictures = tab.join().expect("the tab reads to the end");
    let about = format!(
        "{cubes} cubes, {made} turns made, {turns} told, {followed} hints followed, {slips} slips told, shown again {shown} times, \
         {lost} not known again; {pictures} pictures drawn by the tab"
    );
    row("practice", args.practice, &costs.borrow(), wrong, about)
}

/// Shows on a page what the session tells, and a picture for each frame.
struct Shower {
    page: Page,
    shown: Shown,
    picture: RgbImage,
}

impl Shower {
    fn new(page: Page) -> Shower {
        Shower {
            page,
            shown: Shown::default(),
            picture: Room::new(0).picture(0.0),
        }
    }

    fn show(&mut self, session: &Session, look: &Look, told: &[Timed]) {
        for timed in told {
            if let Event::Hint { text, level, .. } = &timed.event {
                self.shown.sentence.clone_from(text);
                self.shown.rung = *level;
                self.shown.say = Say {
                    serial: self.shown.say.serial + 1,
                    text: text.as_str().into(),
                };
            }
        }
        self.shown.seen = session.saw().to_vec();
        let faces = look.faces.iter().map(|face| FoundFace {
            outline: face.outline().map(|point| [point.x, point.y]),
            stickers: None,
        });
        self.shown.found = Some(Arc::new(Found {
            size: look.size,
            faces: faces.collect(),
        }));
        self.page.show(&self.shown);
        self.page.image(self.picture.clone());
    }
}

/// A tab that shows words and draws pictures until the page ends; it gives how many pictures it drew.
fn open_tab(page: &Page) -> thread::JoinHandle<usize> {
    let address = page.address().trim_start_matches("http://").to_owned();
    let host = address.split('/').next().unwrap_or_default().to_owned();
    let request = format!("ws://{address}socket").into_client_request();
    let mut request = request.expect("an address");
    let origin = format!("http://{host}").parse().expect("a header");
    request.headers_mut().insert("origin", origin);
    let stream = TcpStream::connect(&host).expect("the page listens");
    let (mut socket, _) = tungstenite::client(request, stream).expect("a socket");
    thread::spawn(move || {
        let mut pictures = 0;
        while let Ok(message) = socket.read() {
            let kind = match message {
                Message::Binary(_) => {
                    pictures += 1;
                    "drawn"
                }
                Message::Text(_) => "shown",
                _ => continue,
            };
            let answer = format!("{{\"kind\":\"{kind}\"}}");
            if socket.send(Message::text(answer)).is_err() {
                break;
            }
        }
        pictures
    })
}

pub fn measure(args: &Args) -> Table {
    let about = format!(
        "Hours at full speed. Clutter: drawn rooms without a cube, another one each {} s, each frame drawn and looked at with the real eye; \
         false words are faces announced and whatever else is told but hindrances. Idle hands and practice: simulated looks without pictures, one session each; \
         false words are states told that the cube was not in, turns told of a cube that was not turned, and hindrances. In practice a tab is \
         open that is sent words and a picture for each frame. Milliseconds of work for a frame, drawing and simulation included, in the first \
         tenth of the minutes and the last; MiB resident after the first simulated minute and at most after it.",
        args.room
    );
    let mut table = Table::new(
        "hours",
        about,
        &[
            "part",
            "hours",
            "frames",
            "false words",
            "what was told",
            "ms, first tenth",
            "ms, last tenth",
            "MiB at first",
            "MiB at most",
        ],
    );
    if args.clutter > 0.0 {
        table.row(clutter(args));
    }
    if args.idle > 0.0 {
        table.row(idle(args));
    }
    if args.practice > 0.0 {
        table.row(practice(args));
    }
    table
}
