//! Black-box tests of `inspect` and `advise`: what they print, and their exit codes.

use crate::harness::program::Place;
use serde_json::{Value, json};

const SOLVED: &str = r#"{"up":["www","www","www"],"left":["ooo","ooo","ooo"],"front":["ggg","ggg","ggg"],
    "right":["rrr","rrr","rrr"],"back":["bbb","bbb","bbb"],"down":["yyy","yyy","yyy"]}"#;

fn net(change: impl Fn(&mut Value)) -> String {
    let mut net: Value = serde_json::from_str(SOLVED).expect("the solved net is JSON");
    change(&mut net);
    net.to_string()
}

#[test]
fn a_solved_cube_is_told_to_be_one() {
    let place = Place::new();
    place.file("net.json", SOLVED);
    let ran = place.run(&["inspect", "--net", "net.json", "--json"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let document = ran.document();
    assert_eq!(document["schema"], 1);
    assert_eq!(document["outcome"], "legal");
    assert_eq!(document["stage"], "solved");
    assert_eq!(
        document["net"],
        serde_json::from_str::<Value>(SOLVED).unwrap()
    );
    for colour in ["white", "red", "green", "yellow", "orange", "blue"] {
        assert_eq!(
            document["cross"][colour],
            json!({"solved": true, "turns": 0}),
            "{colour}"
        );
    }
}

#[test]
fn a_net_may_come_in_any_hold_in_capitals_and_on_standard_input() {
    // The same cube held yellow up, green in front.
    let turned = r#"{"up":["YYY","YYY","YYY"],"left":["RRR","RRR","RRR"],"front":["GGG","GGG","GGG"],
        "right":["OOO","OOO","OOO"],"back":["BBB","BBB","BBB"],"down":["WWW","WWW","WWW"]}"#;
    let ran = Place::new().run_with(&["inspect", "--net", "-", "--json"], turned);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert_eq!(ran.document()["net"]["up"], json!(["www", "www", "www"]));
}

#[test]
fn what_read_prints_can_be_advised_on() {
    let place = Place::new();
    place.file("read.json", json!({"schema": 1, "outcome": "read", "net": serde_json::from_str::<Value>(SOLVED).unwrap()}).to_string());
    let ran = place.run(&["advise", "--net", "read.json", "--json"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert_eq!(ran.document()["outcome"], "solved");
}

#[test]
fn every_malformed_net_is_refused_with_its_place_and_a_remedy() {
    let cases: [(&str, String, &[&str]); 9] = [
        ("not JSON", "{".into(), &["net.json", "JSON"]),
        ("empty", String::new(), &["net.json", "JSON"]),
        ("a list", "[1,2]".into(), &["net.json"]),
        (
            "a face missing",
            net(|n| drop(n.as_object_mut().unwrap().remove("back"))),
            &["net.json", "back"],
        ),
        (
            "a row too long",
            net(|n| n["up"][1] = json!("wwww")),
            &["up", "row 2", "wwww"],
        ),
        (
            "a row missing",
            net(|n| n["up"] = json!(["www", "www"])),
            &["up"],
        ),
        (
            "an unknown letter",
            net(|n| n["left"][0] = json!("oxo")),
            &["left", "row 1", "x"],
        ),
        ("a number", net(|n| n["down"][2] = json!(3)), &["down"]),
        (
            "two faces with one centre",
            net(|n| n["down"][1] = json!("ywy")),
            &["centre", "white"],
        ),
    ];
    for (what, text, words) in cases {
        let place = Place::new();
        place.file("net.json", &text);
        for command in ["inspect", "advise"] {
            let ran = place.run(&[command, "--net", "net.json", "--json"]);
            assert_eq!(ran.code, Some(2), "{command}, {what}: {}", ran.stderr);
            let document = ran.document();
            assert_eq!(document["outcome"], "error", "{command}, {what}");
            let say = document["say"].as_str().expect("an error says something");
            for word in words {
                assert!(
                    say.contains(word),
                    "{command}, {what}: \"{say}\" lacks \"{word}\""
                );
                assert!(
                    ran.stderr.contains(word),
                    "{command}, {what}: stderr lacks \"{word}\""
                );
            }
        }
    }
}

#[test]
fn a_net_that_cannot_be_is_an_answer_with_faults() {
    let place = Place::new();
    // The white-green-red corner twisted in its place.
    place.file(
        "net.json",
        net(|n| {
            n["up"][2] = json!("wwr");
            n["front"][0] = json!("ggw");
            n["right"][0] = json!("grr");
        }),
    );
    for command in ["inspect", "advise"] {
        let ran = place.run(&[command, "--net", "net.json", "--json"]);
        assert_eq!(ran.code, Some(4), "{command}: {}", ran.stderr);
        let document = ran.document();
        assert_eq!(document["outcome"], "impossible");
        assert_eq!(
            document["faults"][0]["kind"], "twisted corner",
            "{document}"
        );
        let say = document["faults"][0]["say"].as_str().unwrap();
        assert!(
            ["white", "green", "red"]
                .iter()
                .all(|colour| say.contains(colour)),
            "{say}"
        );
    }
}

#[test]
fn wrong_colour_counts_are_impossible_not_malformed() {
    let place = Place::new();
    place.file("net.json", net(|n| n["up"][0] = json!("wwy")));
    let ran = place.run(&["inspect", "--net", "net.json", "--json"]);
    assert_eq!(ran.code, Some(4), "{}", ran.stderr);
    let faults = ran.document()["faults"].clone();
    assert!(
        faults
            .as_array()
            .unwrap()
            .iter()
            .any(|f| f["kind"] == "colour count"),
        "{faults}"
    );
}

#[test]
fn a_bad_move_is_pointed_at() {
    let ran = Place::new().run(&["advise", "--scramble", "R U Q' F", "--json"]);
    assert_eq!(ran.code, Some(2));
    let say = ran.document()["say"].as_str().unwrap().to_owned();
    assert!(say.contains("\"Q'\"") && say.contains("column 5"), "{say}");
}

#[test]
fn bad_usage_still_gives_one_document() {
    for words in [
        &["advise", "--json"][..],
        &["advise", "--net", "a", "--scramble", "R", "--json"],
        &["inspect", "--scramble", "R", "--cross", "purple", "--json"],
        &["inspect", "--net", "no-such-file.json", "--json"],
        &["advise", "--batch", "no-such-file.txt", "--json"],
        &["read", "--json"],
    ] {
        let ran = Place::new().run(words);
        assert_eq!(ran.code, Some(2), "{words:?}");
        assert_eq!(ran.document()["outcome"], "error", "{words:?}");
        assert!(!ran.stderr.is_empty(), "{words:?}");
    }
}

#[test]
fn a_batch_goes_on_after_a_bad_line() {
    let place = Place::new();
    let good = net(|_| {});
    place.file("nets.txt", format!("{good}\n{{\"up\":1}}\n\n{good}\n"));
    let ran = place.run(&["advise", "--batch", "nets.txt", "--json"]);
    assert_eq!(ran.code, Some(2));
    let outcomes: Vec<Value> = ran.lines().iter().map(|d| d["outcome"].clone()).collect();
    assert_eq!(outcomes, ["solved", "error", "solved"]);
    assert!(ran.stderr.contains("nets.txt line 2"), "{}", ran.stderr);
}

#[test]
fn advice_for_a_pair_holds_what_it_promises() {
    let ran = Place::new().run(&["advise", "--scramble", "R U R' U' L' U L", "--json"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let advice = ran.document();
    assert_eq!(advice["stage"], "pairs");
    assert_eq!(advice["hold"]["down"], "yellow");
    assert_eq!(advice["hints"].as_array().unwrap().len(), 4);
    let pairs = advice["pairs"].as_array().unwrap();
    assert_eq!(pairs.len(), 4);
    let next = pairs
        .iter()
        .find(|p| p["slot"] == advice["next"])
        .expect("the next pair is one of the four");
    let route = &next["routes"][0];
    let joined: Vec<&str> = route["steps"]
        .as_array()
        .unwrap()
        .iter()
        .map(|s| s["moves"].as_str().unwrap())
        .collect();
    assert_eq!(json!(joined.join(" ").trim()), route["moves"]);
}
