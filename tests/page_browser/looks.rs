//! How the page looks at laptop and projector size, light and dark: pictures for the eye, and what must fit.

use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;

use pairsight::cube::{Colour, Cube, Net};
use pairsight::draw::{Stickers, marked_places};
use pairsight::page::{
    BrowserCamera, Calibration, CameraName, Choices, Clock, Closest, Drawing, Exercise,
    LevelChoice, Light, Options, Page, Scene, Seeing, Shown, Swatch,
};
use serde_json::{Value, json};

use super::browser::{Browser, with_browser};
use super::scene;

/// Laptops, projectors and a telephone held upright; then the same at 200 % zoom, which halves the window.
const SIZES: [(u32, u32); 11] = [
    (1280, 720),
    (1366, 768),
    (1920, 1080),
    (2560, 1440),
    (1024, 768),
    (390, 844),
    (640, 360),
    (683, 384),
    (960, 540),
    (512, 384),
    (195, 422),
];

/// A window that is lower than this scrolls.
const LOW: u32 = 420;

pub fn screens() -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("screens");
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn asking() -> Shown {
    Shown {
        sentence: "Show me a corner of the cube, and hold it still.".into(),
        drawing: Some(scene::any_corner()),
        waiting: "Waiting for the cube. Hold it as large as the dashed one.".into(),
        ..Shown::default()
    }
}

fn troubled() -> Shown {
    let mut shown = scene::hint();
    let light = shown.light.as_mut().unwrap();
    light.like_profile = false;
    light.distance = Some(7.4);
    shown.trouble = Some("Glare on the white face. Tilt the cube a little.".into());
    shown.sentence = "Show the corner where white, green and red meet.".into();
    shown.why = "Two states still fit what was seen.".into();
    shown.asked = vec![Colour::White, Colour::Green, Colour::Red];
    shown.turns.clear();
    shown.rung = 0;
    shown.browser_camera = BrowserCamera::Offered;
    shown
}

/// One face is seen, and nothing is known yet.
fn one_face() -> Shown {
    Shown {
        seen: vec![Colour::White],
        waiting: "Now show the other sides.".into(),
        found: Some(scene::found()),
        ..asking()
    }
}

/// The first rung, which gives no turns.
fn first_rung() -> Shown {
    Shown {
        sentence: "Look for the white-orange-green corner and the orange-green edge.".into(),
        why: "They belong together in the slot between orange and green, at the front right. Why this pair now: it is \
              the last one, and takes three turns."
            .into(),
        rung: 1,
        turns: Vec::new(),
        present: 0,
        waiting: "Show the cube when you have done it, or unchanged for more help.".into(),
        pieces: vec![
            vec![Colour::White, Colour::Orange, Colour::Green],
            vec![Colour::Orange, Colour::Green],
        ],
        term: "A pair: a corner with the cross colour, and the edge with its two other colours."
            .into(),
        ..scene::hint()
    }
}

/// The longest hint that turns up: a rung that explains.
fn explained() -> Shown {
    Shown {
        sentence: "First turn the corner round so that an insert fits, then insert with three turns that join the two \
                   on the way."
            .into(),
        why: "With the corner over its slot, blue looking sideways, and the edge on the far side, opening the slot \
              between white and red carries the corner to its edge."
            .into(),
        rung: 3,
        ..first_rung()
    }
}

/// The first rung for a pair, with what can be learnt from the one before.
fn after_a_pair() -> Shown {
    Shown {
        shorter: "That pair has a shorter way (L U' F2 L' F2, with white down and green in front). Five turns instead of \
                  seven: it works through a slot that is not solved yet, where nothing can be spoilt. Look for a corner \
                  on top with white looking left and its edge in a slot that is not its own, while another slot is still \
                  empty."
            .into(),
        ..first_rung()
    }
}

/// A drill's turns that lead to what is practised.
fn set_up() -> Shown {
    Shown {
        sentence: "From a solved cube make these seven turns, then show it.".into(),
        why: "To practise: apart, corner over its slot, cross colour looking up; edge on the left, front colour on top. \
              Then solve the green-red pair and keep the yellow cross and the other pairs."
            .into(),
        rung: 0,
        turns: vec![scene::turns("", "R U2 R' U' R U R'")],
        present: 0,
        progress: None,
        waiting: "Waiting for the cube.".into(),
        seen: Vec::new(),
        ..scene::hint()
    }
}

fn slipped() -> Shown {
    Shown {
        passed: "The third turn went the wrong way: right side down instead of up.".into(),
        sentence: "Turn the right side half a turn, then go on.".into(),
        why: String::new(),
        turns: vec![scene::turns("Back", "R2"), scene::turns("Then", "U' R'")],
        present: 0,
        rung: 4,
        waiting: "Make the turns, then show the cube.".into(),
        ..scene::hint()
    }
}

/// The longest row of turns, seen from the left.
fn many_turns() -> Shown {
    let mut shown = scene::hint();
    shown.turns = vec![
        scene::turns("Turn the cube", "y'"),
        scene::turns("Free the corner", "L' U2 L U'"),
        scene::turns("Bring together", "R U R' U2"),
        scene::turns("Insert", "L' U' L"),
    ];
    shown.present = 1;
    shown.drawing.as_mut().unwrap().from_left = true;
    shown
}

/// Everything is solved.
pub fn solved() -> Shown {
    let mut progress = scene::progress();
    progress.last = true;
    for slot in &mut progress.slots {
        (slot.solved, slot.now) = (true, false);
    }
    Shown {
        passed: "The cube is solved. Well done!".into(),
        sentence: "The cube is solved.".into(),
        drawing: Some(Drawing {
            stickers: Stickers::of_net(&Net::of(&Cube::solved())),
            ..scene::drawing()
        }),
        why: "3:13 minutes, one of four pairs without help, three more hints and one slip.".into(),
        rung: 0,
        turns: Vec::new(),
        present: 0,
        progress: Some(progress),
        clock: Some(Clock {
            began: 0,
            ended: Some(193_000),
        }),
        choices: Choices {
            timer: true,
            ..Choices::default()
        },
        weakest: Some(Exercise {
            number: 10,
            name: "different tops, colours touching".into(),
        }),
        waiting: "Rest your hands. Show a mixed cube to go on.".into(),
        ..scene::hint()
    }
}

/// A cube with a twisted corner, the one to twist framed.
fn impossible() -> Shown {
    let twisted = marked_places(
        &Net::of(&Cube::random(7)),
        &[vec![Colour::White, Colour::Red, Colour::Green]],
    );
    Shown {
        scene: Scene::Coaching,
        passed: "A corner is twisted in its place, by a third of a turn clockwise.".into(),
        sentence: "Twist any one corner a third of a turn counter-clockwise, and the cube can be solved.".into(),
        why: "While it is mixed nobody can tell which corner it was; if the stickers may have been read wrongly, show them \
              again first. As it is, no turns can solve it. Keep loose parts from small children."
            .into(),
        seen: Colour::ALL.to_vec(),
        found: Some(scene::found()),
        drawing: Some(Drawing {
            stickers: twisted,
            from_left: false,
            description: "Hold it with yellow down and green in front. One that will do is framed.".into(),
        }),
        rung: 0,
        turns: Vec::new(),
        progress: None,
        waiting: "Show the cube when it is mended.".into(),
        ..scene::hint()
    }
}

/// A pair to be seen, answered wrongly.
fn seeing() -> Shown {
    Shown {
        sentence: "What are the two framed pieces to each other?".into(),
        why: "They are ready: they are apart, and one insert takes both in.".into(),
        seeing: Some(Seeing {
            answers: ["Joined", "Ready", "Apart", "Touching wrongly"],
            chosen: Some(2),
            right: Some(1),
        }),
        waiting: "One of two right, 1.5 seconds each.".into(),
        practising: true,
        passed: String::new(),
        progress: None,
        rung: 0,
        turns: Vec::new(),
        present: 0,
        ..scene::hint()
    }
}

fn camera_lost() -> Shown {
    Shown {
        trouble: Some("Camera 0 went away. Plug it in again; it is taken up by itself.".into()),
        browser_camera: BrowserCamera::Offered,
        found: None,
        ..first_rung()
    }
}

fn refused() -> Shown {
    Shown {
        trouble: Some(
            "No right to open the camera. Add your user to the group video (sudo usermod -aG video $USER), log in \
             again, and start pairsight again."
                .into(),
        ),
        browser_camera: BrowserCamera::Offered,
        ..asking()
    }
}

/// Two faces are seen of the six.
fn calibrating_begun() -> Shown {
    let all = calibrating().calibration.unwrap();
    Shown {
        sentence:
            "Show the cube corner by corner or face by face, and hold still; it need not be solved."
                .into(),
        why: "2 of 6 faces are seen.".into(),
        turns: Vec::new(),
        rung: 0,
        waiting: String::new(),
        seen: vec![Colour::White, Colour::Yellow],
        calibration: Some(Calibration {
            swatches: all.swatches[..2].to_vec(),
            closest: None,
            advice: String::new(),
            doubtful_before: None,
            doubtful_after: None,
            complete: false,
            ..all
        }),
        ..calibrating()
    }
}

pub fn calibrating() -> Shown {
    let swatch = |colour, rgb| Swatch { colour, rgb };
    Shown {
        calibration: Some(Calibration {
            ask: "All six faces are seen.".into(),
            swatches: vec![
                swatch(Colour::White, [214, 208, 190]),
                swatch(Colour::Yellow, [222, 190, 40]),
                swatch(Colour::Red, [170, 36, 34]),
                swatch(Colour::Orange, [206, 88, 40]),
                swatch(Colour::Green, [30, 120, 66]),
                swatch(Colour::Blue, [28, 62, 140]),
            ],
            closest: Some(Closest {
                a: Colour::Red,
                b: Colour::Orange,
                say: "Red and orange can be told apart here.".into(),
            }),
            advice: "Turn the lamp away from the window, or close the blind.".into(),
            doubtful_before: Some(0.061),
            doubtful_after: Some(0.012),
            complete: true,
            name: "desk lamp, evening".into(),
        }),
        cameras: vec![CameraName {
            id: "0".into(),
            name: "Camera 0".into(),
            used: true,
        }],
        light: Some(Light {
            profile: "desk lamp".into(),
            like_profile: false,
            distance: Some(7.4),
            closest: None,
            advice: String::new(),
            ..Light::default()
        }),
        ..scene::hint()
    }
}

/// Where everything is: the box of what can be seen of each thing that has a place of its own, and what stands out of its own
/// place. `places` are those of the large things, which no hint may move.
const BOXES: &str = "(() => {
    const seen = (e) => e && e.checkVisibility({ visibilityProperty: true });
    const box = ({ left, top, right, bottom }) => [left + scrollX, top + scrollY, right + scrollX, bottom + scrollY].map(Math.round);
    const textBox = (e) => {
        const range = document.createRange();
        range.selectNodeContents(e);
        return range.getBoundingClientRect();
    };
    // What is drawn of a cube while nothing turns, without the arrow around it.
    const cubeBox = (svg) => {
        const all = [...svg.querySelectorAll('polygon')].filter((p) => !p.closest('.arrow'))
            .map((p) => p.getBoundingClientRect()).filter((r) => r.width > 0);
        return { left: Math.min(...all.map((r) => r.left)), top: Math.min(...all.map((r) => r.top)),
            right: Math.max(...all.map((r) => r.right)), bottom: Math.max(...all.map((r) => r.bottom)) };
    };
    const texts = ['passed', 'sentence', 'why', 'hold', 'turn-words', 'shorter', 'waiting', 'trouble', 'rung', 'map-words'];
    const cubes = ['cube', 'behind-cube', 'after-cube'];
    const others = ['glass', 'map', 'light-panel', 'camera-panel', 'words-panel', 'choices-panel', 'start'];
    const boxes = {};
    const add = (name, e, rect) => { if (seen(e) && rect.right > rect.left) boxes[name] = box(rect); };
    for (const id of texts) { const e = document.getElementById(id); if (e.textContent) add(id, e, textBox(e)); }
    for (const id of cubes) { const e = document.getElementById(id); if (seen(e) && e.querySelector('polygon')) add(id, e, cubeBox(e)); }
    for (const id of others) { const e = document.getElementById(id); add(id, e, e.getBoundingClientRect()); }
    document.querySelectorAll('#moves .turn, .idea > .name, .token, header > h1, #clock, nav button, #end button, #answers button, footer > *, figcaption').forEach((e, n) => {
        if (e.textContent) add(`${e.tagName}.${e.className}.${e.id || n}`, e, e.getBoundingClientRect());
    });
    const cut = [...document.querySelectorAll('main p, main ol, nav button, footer > *')].filter(seen)
        .filter((e) => !e.closest('.panel, .aside') && (e.scrollHeight > e.clientHeight + 2 || e.scrollWidth > e.clientWidth + 2))
        .map((e) => e.id || e.className);
    const places = {};
    for (const id of ['sentence', 'why', 'glass', 'drawn', 'behind', 'turns', 'map', 'state']) {
        const e = document.getElementById(id);
        if (seen(e)) places[id] = box(e.getBoundingClientRect());
    }
    const least = Math.min(...texts.map((id) => document.getElementById(id)).filter((e) => seen(e) && e.textContent)
        .map((e) => parseFloat(getComputedStyle(e).fontSize)));
    const root = document.documentElement;
    return { boxes, cut, places, least, sentence: parseFloat(getComputedStyle(document.getElementById('sentence')).fontSize),
        page: [root.scrollWidth, root.scrollHeight], window: [root.clientWidth, innerHeight] };
})()";

/// What does not hold of one screen; the places of the large things are put into `places` or compared with those there.
fn layout_faults(
    at: &Value,
    size: (u32, u32),
    name: &str,
    shown: &Shown,
    places: &mut BTreeMap<String, Value>,
) -> Vec<String> {
    let mut faults = Vec::new();
    let mut check = |holds: bool, what: String| {
        if !holds {
            faults.push(format!("{name} at {size:?}: {what}"));
        }
    };
    let boxes: Vec<(&String, [i64; 4])> = at["boxes"]
        .as_object()
        .unwrap()
        .iter()
        .map(|(id, b)| (id, std::array::from_fn(|i| b[i].as_i64().unwrap())))
        .collect();
    for (i, (a, p)) in boxes.iter().enumerate() {
        for (b, q) in &boxes[i + 1..] {
            let wide = p[2].min(q[2]) - p[0].max(q[0]);
            let high = p[3].min(q[3]) - p[1].max(q[1]);
            check(
                wide <= 1 || high <= 1,
                format!("{a} lies over {b} by {wide}x{high}"),
            );
        }
    }
    check(at["cut"] == json!([]), format!("{} cut off", at["cut"]));
    let number = |v: &Value| v.as_f64().unwrap();
    let (width, height) = (number(&at["window"][0]), number(&at["window"][1]));
    check(number(&at["page"][0]) <= width, "too wide".into());
    if size.1 > LOW && size.0 > 300 {
        check(number(&at["page"][1]) <= height, "too high".into());
        check(
            number(&at["least"]) >= 8.0,
            format!("letters of {} px", at["least"]),
        );
    }
    for (id, b) in &boxes {
        check(
            b[0] >= -1 && b[2] as f64 <= width + 1.0,
            format!("{id} out of the window"),
        );
    }
    if shown.scene == Scene::Coaching && shown.calibration.is_none() {
        for (id, place) in at["places"].as_object().unwrap() {
            let before = places.entry(id.clone()).or_insert_with(|| place.clone());
            check(
                before == place,
                format!("{id} has moved from {before} to {place}"),
            );
        }
        let cube = &at["boxes"]["cube"];
        let high = number(&cube[3]) - number(&cube[1]);
        let wide = number(&cube[2]) - number(&cube[0]);
        // In an upright window the width is what there is to take.
        let large = if size.0 < size.1 {
            wide >= 0.8 * width
        } else {
            high >= 0.6 * height
        };
        check(large, format!("a cube of {wide}x{high}"));
    }
    faults
}

/// Text whose contrast with what is behind it is below 4.5 to 1 (WCAG 2.2, success criterion 1.4.3).
async fn faint(browser: &Browser) -> Vec<String> {
    let faint = browser
        .value(
            "(() => {
                const numbers = (colour) => colour.match(/[0-9.]+/g).map(Number);
                const luminance = (rgb) => {
                    const [r, g, b] = rgb.map((n) => (n / 255 <= 0.04045 ? n / 255 / 12.92 : ((n / 255 + 0.055) / 1.055) ** 2.4));
                    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
                };
                const ground = (e) => {
                    for (; e; e = e.parentElement) {
                        const [r, g, b, a = 1] = numbers(getComputedStyle(e).backgroundColor);
                        if (a > 0.8) return [r, g, b];
                    }
                    return [255, 255, 255];
                };
                const says = (e) => [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim());
                return [...document.querySelectorAll('body *')]
                    .filter((e) => e.checkVisibility() && says(e) && !e.closest('.aside, noscript, option'))
                    .map((e) => {
                        const style = getComputedStyle(e);
                        const behind = ground(e);
                        const ink = numbers(style.color).slice(0, 3)
                            .map((n, i) => n * style.opacity + behind[i] * (1 - style.opacity));
                        const [low, high] = [luminance(ink), luminance(behind)].sort((a, b) => a - b);
                        return [`${e.id || e.className || e.tagName}: ${e.textContent.slice(0, 20)}`, (high + 0.05) / (low + 0.05)];
                    })
                    .filter(([, contrast]) => contrast < 4.5);
            })()",
        )
        .await;
    let faint = faint.as_array().expect("a list");
    faint
        .iter()
        .map(|text| format!("{text} too faint"))
        .collect()
}

/// Waits until what is due has been painted; nothing moves, as reduced motion is asked for.
async fn laid_out(browser: &Browser) {
    let script = "const done = arguments[0]; requestAnimationFrame(() => requestAnimationFrame(() => done()));";
    browser.driver.execute_async(script, vec![]).await.unwrap();
}

/// At every size: no two things overlap, nothing is cut, the cube is large, and from hint to hint nothing changes its place.
#[test]
fn every_screen_fits_at_every_size() {
    screens_fit(false);
}

/// Pictures of all of them at every size, for the eye: `cargo test --test all -- --ignored for_the_eye`.
#[test]
#[ignore = "draws for the eye what other tests measure"]
fn every_screen_and_panel_for_the_eye() {
    screens_fit(true);
    panels_fit(true);
}

fn screens_fit(drawn: bool) {
    with_browser(&[], async move |browser| {
        let page = Page::start(Options::default()).unwrap();
        page.image(scene::picture(0.0));
        browser.driver.goto(page.address()).await.unwrap();
        browser.click("start-other").await;
        let mut faults: Vec<String> = Vec::new();
        for (n, size) in SIZES.into_iter().enumerate() {
            let scheme = ["light", "dark"][n % 2];
            browser.look(size, scheme).await;
            let mut places = BTreeMap::new();
            for (name, shown) in [
                ("asking", asking()),
                ("one-face", one_face()),
                ("refused", refused()),
                ("impossible", impossible()),
                ("first-rung", first_rung()),
                ("explained", explained()),
                ("after-a-pair", after_a_pair()),
                ("set-up", set_up()),
                ("slipped", slipped()),
                ("camera-lost", camera_lost()),
                ("hint", scene::hint()),
                ("many-turns", many_turns()),
                ("troubled", troubled()),
                ("solved", solved()),
                ("seeing", seeing()),
                ("calibrating-begun", calibrating_begun()),
                ("calibrating", calibrating()),
            ] {
                page.show(&shown);
                browser.expect_text("sentence", &shown.sentence).await;
                browser.expect_visible("keep", name == "calibrating").await;
                browser.expect_visible("no-picture", false).await;
                if drawn {
                    laid_out(&browser).await;
                    let file = format!("{name}-{}x{}-{scheme}.png", size.0, size.1);
                    browser.screenshot(&screens().join(file)).await;
                }
                let at = browser.value(BOXES).await;
                faults.extend(layout_faults(&at, size, name, &shown, &mut places));
                if n < 2 {
                    let faint = faint(&browser).await;
                    faults.extend(faint.iter().map(|text| format!("{name}, {scheme}: {text}")));
                }
            }
        }
        assert!(faults.is_empty(), "{}", faults.join("\n"));
    });
}

/// What may be chosen, each level but the first closed.
fn choosing() -> Shown {
    let level = |number, name, opens: &str| LevelChoice {
        number,
        name,
        opens: opens.into(),
    };
    let opens = "opens after 8 of ten pairs and 8 of 22 sights without help";
    Shown {
        levels: vec![
            level(1, "the method in front", ""),
            level(2, "without turning the cube", opens),
            level(3, "shorter ways", opens),
            level(4, "looking ahead", opens),
        ],
        ..first_rung()
    }
}

/// Panels take the large place: nothing of them overlaps or is cut, and the words' cube is large.
#[test]
fn every_panel_fits_at_every_size() {
    panels_fit(false);
}

fn panels_fit(drawn: bool) {
    with_browser(&[], async move |browser| {
        let page = Page::start(Options::default()).unwrap();
        page.image(scene::picture(0.0));
        let shown = Shown {
            lexicon: scene::lexicon(),
            ..choosing()
        };
        page.show(&shown);
        browser.driver.goto(page.address()).await.unwrap();
        browser.expect_text("sentence", &shown.sentence).await;
        browser.expect_visible("no-picture", false).await;
        let mut faults: Vec<String> = Vec::new();
        for (n, size) in SIZES.into_iter().enumerate() {
            let scheme = ["light", "dark"][n % 2];
            browser.look(size, scheme).await;
            for name in ["words", "choices", "camera", "light"] {
                browser.click(&format!("open-{name}")).await;
                browser.expect_visible(&format!("{name}-panel"), true).await;
                if drawn {
                    laid_out(&browser).await;
                    let file = format!("panel-{name}-{}x{}-{scheme}.png", size.0, size.1);
                    browser.screenshot(&screens().join(file)).await;
                }
                let at = browser.value(BOXES).await;
                let apart = Shown {
                    scene: Scene::Looking,
                    ..shown.clone()
                };
                faults.extend(layout_faults(&at, size, name, &apart, &mut BTreeMap::new()));
                if n < 2 {
                    let faint = faint(&browser).await;
                    faults.extend(faint.iter().map(|text| format!("{name}, {scheme}: {text}")));
                }
                if name == "words" && size.0 > 600 {
                    let cube = "document.getElementById('word-cube').getBoundingClientRect().height / innerHeight";
                    let share = browser.value(cube).await.as_f64().unwrap();
                    if share < 0.3 {
                        faults.push(format!("words at {size:?}: a cube of {share}"));
                    }
                }
            }
            browser.press(thirtyfour::Key::Escape).await;
        }
        assert!(faults.is_empty(), "{}", faults.join("\n"));
    });
}

/// The start screen goes when a cube is in sight, so it is looked at on a fresh page.
#[test]
fn the_start_fits_at_every_size() {
    with_browser(&[], async |browser| {
        let page = Page::start(Options::default()).unwrap();
        page.show(&asking());
        let mut faults: Vec<String> = Vec::new();
        for size in SIZES {
            browser.look(size, "light").await;
            browser.driver.goto(page.address()).await.unwrap();
            browser.expect_text("sentence", &asking().sentence).await;
            browser.expect_visible("start", true).await;
            laid_out(&browser).await;
            let at = browser.value(BOXES).await;
            let mut at = at.clone();
            // The start lies on the empty picture.
            at["boxes"].as_object_mut().unwrap().remove("glass");
            faults.extend(layout_faults(
                &at,
                size,
                "asking",
                &asking(),
                &mut BTreeMap::new(),
            ));
            if [1280, 390].contains(&size.0) {
                let file = format!("start-{}x{}-light.png", size.0, size.1);
                browser.screenshot(&screens().join(file)).await;
            }
        }
        assert!(faults.is_empty(), "{}", faults.join("\n"));
    });
}
