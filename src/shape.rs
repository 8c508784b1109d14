//! The shape of the program, read from its own sources: data flows one way, and so does what knows what.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// A file's path below `src` in parts, less its ending, and its code without comments and tests.
type Source = (Vec<String>, String);

fn sources() -> Vec<Source> {
    let mut all = Vec::new();
    gather(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("src"),
        &[],
        &mut all,
    );
    all.retain(|(parts, _)| parts[0] != "shape");
    all
}

fn gather(folder: &Path, above: &[String], all: &mut Vec<Source>) {
    for entry in fs::read_dir(folder).expect("a folder of sources") {
        let path = entry.expect("an entry").path();
        let name = path.file_stem().unwrap_or_default().to_string_lossy();
        let parts = [above, &[name.into_owned()]].concat();
        if path.is_dir() {
            gather(&path, &parts, all);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            let text = fs::read_to_string(&path).expect("a source");
            let code = text.split("#[cfg(test)]\nmod tests").next().unwrap_or("");
            let lines = code.lines().filter(|l| !l.trim_start().starts_with("//"));
            all.push((parts, lines.collect::<Vec<_>>().join("\n")));
        }
    }
}

/// The names that follow `prefix`, one, or several in braces, as in `crate::cube` and `super::{cross, words::told}`.
fn named<'a>(code: &'a str, prefix: &str) -> Vec<&'a str> {
    let mut names = Vec::new();
    let start = |word: &'a str| {
        let is_end = |c: char| !(c.is_alphanumeric() || c == '_');
        word.trim_start().split(is_end).next()
    };
    for rest in code.split(prefix).skip(1) {
        let Some(list) = rest.strip_prefix('{') else {
            names.extend(start(rest));
            continue;
        };
        let mut depth = 1;
        for word in list.split_inclusive(['{', '}', ',']) {
            if depth == 1 {
                names.extend(start(word).filter(|name| !name.is_empty()));
            }
            depth += i32::from(word.ends_with('{')) - i32::from(word.ends_with('}'));
            if depth == 0 {
                break;
            }
        }
    }
    names
}

#[test]
fn a_module_knows_only_those_above_it_in_lib() {
    let declared = include_str!("lib.rs").lines();
    let order: Vec<&str> = declared
        .filter_map(|line| Some(line.strip_suffix(';')?.split_once("mod ")?.1))
        .collect();
    let place = |module: &str| order.iter().position(|m| *m == module);
    for (parts, code) in sources() {
        for known in named(&code, "crate::") {
            assert!(
                place(known) <= place(&parts[0]) && place(known).is_some(),
                "{} knows {known}",
                parts.join("/")
            );
        }
    }
}

#[test]
fn what_stands_between_picture_and_words_knows_no_file_clock_thread_or_chance() {
    let core = ["cube", "solve", "coach", "sight", "colour", "read"];
    // Profiles load and save themselves; stages of seeing are timed where somebody asks for it.
    let apart = ["colour/profile", "sight/trace"];
    let outside = "std::fs std::net std::env std::thread std::process Instant SystemTime rand:: println! eprintln!";
    for (parts, code) in sources() {
        let file = parts.join("/");
        if core.contains(&parts[0].as_str())
            && !apart.contains(&file.as_str())
            && !parts.contains(&"tests".into())
        {
            for word in outside.split(' ') {
                assert!(!code.contains(word), "{file} knows {word}");
            }
        }
    }
}

#[test]
fn no_files_of_a_module_know_each_other_in_a_circle() {
    // For each module, what each of its files and folders knows of the others.
    let mut modules: BTreeMap<String, BTreeMap<String, Vec<String>>> = BTreeMap::new();
    for (parts, code) in sources() {
        let is_root = parts.last().is_some_and(|name| name == "mod");
        let depth = parts.len() - 1 - usize::from(is_root);
        let [module, file, ..] = &parts[..] else {
            continue;
        };
        if depth == 0 || file == "tests" || file == "testing" {
            continue;
        }
        let up = "super::".repeat(depth);
        let known = [
            named(&code, &up),
            named(&code, &format!("crate::{module}::")),
        ];
        let files = modules.entry(module.clone()).or_default();
        let known = known.concat().into_iter().filter(|k| k != file);
        files
            .entry(file.clone())
            .or_default()
            .extend(known.map(str::to_owned));
    }
    for (module, mut files) in modules {
        // What knows no other is taken away until nothing changes; what is left then goes round.
        let mut before = usize::MAX;
        while files.len() < before {
            before = files.len();
            let left: Vec<String> = files.keys().cloned().collect();
            files.retain(|_, known| known.iter().any(|k| left.contains(k)));
        }
        assert!(files.is_empty(), "{module}: {:?}", files.keys());
    }
}

#[test]
fn every_test_that_is_named_in_the_papers_is_there() {
    fn read(at: &Path, all: &mut String) {
        for entry in fs::read_dir(at).expect("a folder of sources") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                read(&path, all);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                all.push_str(&fs::read_to_string(&path).expect("a source"));
            }
        }
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut code = String::new();
    read(&root.join("src"), &mut code);
    read(&root.join("tests"), &mut code);
    let papers = fs::read_to_string(root.join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let is_test = |word: &&str| word.matches('_').count() > 2 && !word.contains([' ', '/', '.']);
    let named: Vec<&str> = papers
        .split('`')
        .skip(1)
        .step_by(2)
        .filter(is_test)
        .collect();
    assert!(named.len() > 9, "{named:?}");
    for name in named {
        assert!(code.contains(&format!("fn {name}(")), "{name}");
    }
}
