//! Black-box tests of `drill`, `journal` and `guide`: setups that are right, practice that is kept, and clear refusals.

use std::path::Path;

use crate::harness::films::{carried, first_of};
use crate::harness::program::Place;
use pairsight::cube::{Colour, Cube, Face, Held, Hold, Moves, Net};
use pairsight::journal::{Placed, Situation};
use pairsight::solve::{Slot, cross_solved, pairs_solved};
use serde_json::{Value, json};

/// The moves of a drill, from its hold.
fn set_up(document: &Value, start: Cube) -> Held {
    let text = |value: &Value| value.as_str().expect("text").to_owned();
    let colour = |value: &Value| {
        let named = |c: &Colour| Some(c.name()) == value.as_str();
        Colour::ALL.into_iter().find(named).expect("a colour")
    };
    let hold = &document["hold"];
    let hold = Hold::new(colour(&hold["down"]), colour(&hold["front"])).expect("a hold");
    let moves: Moves = text(&document["setup"]).parse().expect("moves");
    assert_eq!(document["turns"], moves.len());
    Held { cube: start, hold }.after(&moves)
}

fn film(name: &str) -> String {
    let path = carried(&format!("{name}.mjpeg"));
    path.to_str().expect("the path is text").to_owned()
}

#[test]
fn every_situation_is_set_up_on_a_solved_cube() {
    let place = Place::new();
    let names = place.run(&["drill", "--list", "--json"]).document();
    let names = names["situations"].as_array().expect("a list").clone();
    assert_eq!(names.len(), 22);
    for name in names.iter().step_by(8) {
        let name = name.as_str().expect("text");
        let ran = place.run(&["drill", name, "--json", "--no-journal"]);
        assert_eq!((ran.code, ran.stderr.as_str()), (Some(0), ""));
        let document = ran.document();
        assert_eq!(
            (&document["schema"], &document["outcome"]),
            (&json!(1), &json!("drill"))
        );
        assert_eq!(document["situation"], name);
        let end = set_up(&document, Cube::solved());
        assert_eq!(
            document["net"],
            serde_json::to_value(Net::of(&end.cube)).expect("JSON")
        );
        let slot =
            Slot::named(document["slot"].as_str().expect("text"), Colour::White).expect("a slot");
        let lies = Situation::of(&end.cube, Colour::White, slot);
        assert_eq!(lies.map(|s| s.to_string()).as_deref(), Some(name));
        assert!(cross_solved(&end.cube, Colour::White));
        assert_eq!(pairs_solved(&end.cube, Colour::White).len(), 3);
        assert_eq!(end.hold.colour_at(Face::D), Colour::White);
    }
}

#[test]
fn a_cube_in_hand_keeps_its_pairs() {
    let place = Place::new();
    let moves = "R U R' F' U F L' U2 L U";
    let words = ["drill", "joined", "--cross", "yellow", "--scramble", moves];
    let document = place.run(&[&words[..], &["--json"]].concat()).document();
    let start = Cube::solved().after(&moves.parse::<Moves>().expect("moves"));
    let end = set_up(&document, start);
    let before = pairs_solved(&start, Colour::Yellow);
    assert!(cross_solved(&end.cube, Colour::Yellow));
    assert!(before.is_subset(pairs_solved(&end.cube, Colour::Yellow)));
    let kept: Vec<String> = before
        .iter()
        .map(|slot| slot.name(Colour::Yellow))
        .collect();
    assert_eq!(document["kept"], json!(kept));
    let text = document["say"].as_str().expect("text");
    assert!(
        text.contains("yellow down") && text.contains("joined"),
        "{text}"
    );
}

#[test]
fn bad_words_and_impossible_cubes_are_refused() {
    let place = Place::new();
    let ran = place.run(&["drill", "sidewards", "--json"]);
    assert_eq!(ran.code, Some(2));
    assert_eq!(ran.document()["outcome"], "error");
    assert!(
        ran.stderr.contains("\"sidewards\"") && ran.stderr.contains("--list"),
        "{}",
        ran.stderr
    );
    let solved = serde_json::to_string(&Net::of(&Cube::solved())).expect("JSON");
    let swapped = solved.replacen("www", "wwy", 1).replacen("yyy", "wyy", 1);
    let net = place.file("net.json", swapped);
    let ran = place.run(&["drill", "--net", net.to_str().expect("text"), "--json"]);
    assert_eq!(
        (ran.code, &ran.document()["outcome"]),
        (Some(4), &json!("impossible"))
    );
}

#[test]
fn what_coaching_sees_is_kept_and_shown() {
    let place = Place::new();
    let journal = place.path().join("kept").join("ana.sqlite");
    let journal = journal.to_str().expect("text");
    for name in ["followed", "slip"] {
        let ran = place.run(&[
            "coach",
            "--frames",
            &film(name),
            "--fps",
            "10",
            "--events",
            "--no-page",
            "--journal",
            journal,
        ]);
        assert_eq!((ran.code, ran.stderr.as_str()), (Some(0), ""));
    }
    let shown = place
        .run(&["journal", "--journal", journal, "--json"])
        .document();
    assert_eq!(shown["outcome"], "journal");
    let ana = &shown["learners"][0];
    assert_eq!(ana["name"], "ana");
    let rows = ana["situations"].as_array().expect("a list");
    let sum = |field: &str| {
        rows.iter()
            .filter_map(|row| row[field].as_u64())
            .sum::<u64>()
    };
    assert_eq!(
        (sum("solved"), sum("solved_without_help"), sum("slips")),
        (2, 1, 1),
        "{shown:#}"
    );
    for row in rows {
        let turns = &row["turns"];
        assert!(turns["made"].as_u64() >= turns["best"].as_u64(), "{row}");
    }
    // The file of another learner beside it, as text and as a page.
    let other = place.path().join("bo.sqlite");
    std::fs::copy(journal, &other).expect("room");
    let other = other.to_str().expect("text");
    let ran = place.run(&[
        "journal",
        "--journal",
        journal,
        other,
        "--html",
        "page.html",
    ]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(
        ran.stdout.contains("  ana: seen") && ran.stdout.contains("  bo: seen"),
        "{}",
        ran.stdout
    );
    let page = std::fs::read_to_string(place.path().join("page.html")).expect("a page");
    assert!(page.contains("<h2>ana</h2>") && page.contains("<h2>bo</h2>"));
    // What went worst is drilled.
    let drill = place
        .run(&["drill", "--worst", "--json", "--journal", journal])
        .document();
    assert_eq!(drill["situation"], ana["worst"]);
}

#[test]
fn a_drill_that_is_solved_on_film_ends_there_and_is_kept() {
    let place = Place::new();
    let placed = first_of("followed");
    let words = [
        "drill",
        &placed,
        "--frames",
        &film("followed"),
        "--fps",
        "10",
    ];
    let ran = place.run(
        &[
            &words[..],
            &["--cross", "white", "--json", "--journal", "me.sqlite"],
        ]
        .concat(),
    );
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let result = &ran.document()["result"];
    assert_eq!(
        (&result["without_help"], &result["slips"]),
        (&json!(true), &json!(0))
    );
    assert!(result["turns"].as_u64() >= result["best"].as_u64());
    let shown = place
        .run(&["journal", "--journal", "me.sqlite", "--json"])
        .document();
    assert_eq!(shown["learners"][0]["situations"][0]["drills"], 1);
}

#[test]
fn a_cube_that_lies_otherwise_is_told_the_way_to_what_is_practised() {
    let place = Place::new();
    let there = first_of("followed");
    let other = Placed::all()
        .map(|placed| placed.to_string())
        .find(|name| *name != there)
        .expect("another situation");
    let ran = place.run(&[
        "drill",
        &other,
        "--frames",
        &film("followed"),
        "--fps",
        "10",
        "--cross",
        "white",
        "--events",
        "--no-page",
        "--no-journal",
    ]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let events = ran.lines();
    let read = events.iter().find(|e| e["event"] == "read").expect("read");
    let text = read["text"].as_str().expect("text");
    // By number and name.
    assert!(text.contains(&other.replacen(' ', ": ", 1)), "{text}");
    // The turns that are told lead from what was read to the situation.
    let cube = Net::from_json(&read["net"]).expect("a net").to_cube();
    let cube = cube.expect("legal");
    let notation = text.rsplit_once('(').and_then(|(_, t)| t.split_once(')'));
    let moves: Moves = notation.expect("turns").0.parse().expect("moves");
    let mut ends = Colour::ALL.into_iter().filter_map(|front| {
        let hold = Hold::new(Colour::White, front)?;
        let named = text.contains(&format!("white down and {} in front", front.name()));
        named.then(|| Held { cube, hold }.after(&moves).cube)
    });
    let end = ends.next_back().expect("a hold");
    let lies = |slot| Situation::of(&end, Colour::White, slot).map(|s| s.to_string());
    assert!(
        Slot::ALL
            .into_iter()
            .any(|slot| lies(slot).as_ref() == Some(&other))
    );
    assert!(events.iter().all(|e| e["event"] != "hint"), "{events:#?}");
}

#[test]
fn a_pair_met_on_photographs_is_kept() {
    let place = Place::new();
    let scan = Path::new(env!("CARGO_MANIFEST_DIR")).join("test_images/scans/setup-08/scan-02");
    let ran = place.run(&[
        "coach",
        "--frames",
        scan.to_str().expect("text"),
        "--events",
        "--no-page",
        "--journal",
        "me.sqlite",
    ]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(ran.stdout.contains("\"hint\""), "{}", ran.stdout);
    let shown = place
        .run(&["journal", "--journal", "me.sqlite", "--json"])
        .document();
    let rows = &shown["learners"][0]["situations"];
    assert_eq!(
        (rows.as_array().map(Vec::len), &rows[0]["seen"]),
        (Some(1), &json!(1))
    );
}

#[test]
fn a_journal_that_is_none_stops_no_coaching_but_is_not_shown() {
    let place = Place::new();
    let file = place.file("notes.txt", "no journal");
    let file = file.to_str().expect("text");
    let ran = place.run(&[
        "coach",
        "--frames",
        &film("followed"),
        "--fps",
        "10",
        "--events",
        "--no-page",
        "--journal",
        file,
    ]);
    assert_eq!(ran.code, Some(0));
    assert!(ran.stdout.contains("\"followed\""));
    let told: Vec<_> = ran
        .lines()
        .into_iter()
        .filter(|event| event["kind"] == "not-kept")
        .collect();
    assert_eq!(told.len(), 1, "{}", ran.stdout);
    let text = told[0]["text"].as_str().expect("text");
    assert!(text.contains("notes.txt: not a journal"), "{text}");
    assert_eq!(
        std::fs::read_to_string(file).expect("still there"),
        "no journal"
    );
    let ran = place.run(&["journal", "--journal", file, "--json"]);
    assert_eq!(
        (ran.code, &ran.document()["outcome"]),
        (Some(2), &json!("error"))
    );
    let ran = place.run(&["journal", "--journal", "none.sqlite"]);
    assert_eq!(ran.code, Some(2));
    assert!(
        ran.stderr.starts_with("pairsight: none.sqlite: "),
        "{}",
        ran.stderr
    );
}

#[test]
fn nothing_practised_yet_is_no_fault() {
    let ran = Place::new().run(&["journal"]);
    assert_eq!((ran.code, ran.stderr.as_str()), (Some(0), ""));
    assert_eq!(ran.stdout.trim(), "you: nothing was practised yet.");
}

#[test]
fn the_guide_is_written_whole() {
    let place = Place::new();
    let ran = place.run(&["guide", "--out", "sheets/guide.html", "--cross", "blue"]);
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(0), ""));
    let html = std::fs::read_to_string(place.path().join("sheets/guide.html")).expect("a guide");
    assert!(html.contains("blue cross is down") && html.ends_with("</html>\n"));
    let printed = place.run(&["guide", "--cross", "b"]);
    assert_eq!(printed.stdout, html);
}

/// Seeing is practised without a camera; its run ends with its input, and a wrong or an unknown letter is no fault.
#[test]
fn seeing_is_practised_by_letters_until_the_input_ends() {
    let place = Place::new();
    let ran = place.run_with(&["drill", "--seeing"], "j\nwhat\nx\nr\n");
    assert_eq!((ran.code, ran.stderr.as_str()), (Some(0), ""));
    assert!(ran.stdout.contains("of two right"), "{}", ran.stdout);
    let all = place.run_with(&["drill", "--seeing", "--json"], &"A\n".repeat(40));
    assert_eq!(all.code, Some(0));
    let document = all.document();
    assert_eq!(
        (&document["schema"], &document["outcome"]),
        (&json!(1), &json!("seeing"))
    );
    assert_eq!(document["answered"], 12);
    let none = place.run_with(&["drill", "--seeing", "--json"], "");
    assert_eq!(none.document()["answered"], 0);
    let both = place.run(&["drill", "joined", "--seeing"]);
    assert_eq!(both.code, Some(2));
}
