//! Words from outside, as they may be said.

use std::borrow::Cow;
use std::path::Path;

/// The most characters of a stranger's words that are said at once.
pub const MOST_SAID: usize = 80;

/// Words from outside for a message: in one line, nothing in them that a terminal obeys, at most [`MOST_SAID`] characters.
/// Of longer ones the middle is left out, since a path's end tells most and a word's start.
pub fn printable(words: &str) -> String {
    printable_within(words, MOST_SAID)
}

/// [`printable`] with another limit, for sentences of a library that quote what they read.
pub fn printable_within(words: &str, most: usize) -> String {
    let mut start: Vec<char> = visible(words).take(most + 1).collect();
    if start.len() <= most {
        return start.into_iter().collect();
    }
    let behind = most / 2;
    start.truncate(most - behind - 1);
    let mut end: Vec<char> = visible_from_end(words).take(behind).collect();
    end.reverse();
    start.into_iter().chain(['…']).chain(end).collect()
}

/// A path for a message.
pub fn shown(path: &Path) -> String {
    printable(&path.to_string_lossy())
}

/// A whole text as it may be written to a terminal: lines stay lines, and what else a terminal would obey is spelt out.
/// What is said is printable already; this is the last door, for what was forgotten.
pub fn harmless(text: &str) -> Cow<'_, str> {
    if !text.chars().any(|c| steers(c) && c != '\n') {
        return Cow::Borrowed(text);
    }
    let spelt = text.chars().flat_map(|c| match c {
        '\n' => Spelt::Plain(Some(c)),
        c => spell(c),
    });
    Cow::Owned(spelt.collect())
}

/// Whether a terminal obeys a character instead of showing it: controls of C0 and C1, line and paragraph separators, and marks that turn the direction of writing, by which a name can
/// look like another one (Unicode Standard Annex 9, table 3).
pub fn steers(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{61c}'
                | '\u{200e}'
                | '\u{200f}'
                | '\u{2028}'..='\u{202e}'
                | '\u{2066}'..='\u{2069}'
                | '\u{feff}'
        )
}

/// One character as it is said.
enum Spelt {
    Plain(Option<char>),
    Escaped(std::char::EscapeUnicode),
}

fn spell(c: char) -> Spelt {
    if steers(c) {
        Spelt::Escaped(c.escape_unicode())
    } else {
        Spelt::Plain(Some(c))
    }
}

impl Iterator for Spelt {
    type Item = char;

    fn next(&mut self) -> Option<char> {
        match self {
            Spelt::Plain(c) => c.take(),
            Spelt::Escaped(escape) => escape.next(),
        }
    }
}

fn visible(words: &str) -> impl Iterator<Item = char> {
    words.chars().flat_map(spell)
}

fn visible_from_end(words: &str) -> impl Iterator<Item = char> {
    words.chars().rev().flat_map(|c| {
        let mut spelt: Vec<char> = spell(c).collect();
        spelt.reverse();
        spelt
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn terminal_escapes_in_a_name_are_spelt_out() {
        assert_eq!(printable("a\x1b[31mb.jpg"), "a\\u{1b}[31mb.jpg");
        assert_eq!(printable("two\nlines\r"), "two\\u{a}lines\\u{d}");
        assert_eq!(printable("\u{9b}2J"), "\\u{9b}2J");
        assert_eq!(printable("gpj.\u{202e}exe"), "gpj.\\u{202e}exe");
        assert_eq!(printable("Würfel 方块 🟥.jpg"), "Würfel 方块 🟥.jpg");
    }

    #[test]
    fn a_word_of_100_000_letters_is_said_in_80() {
        let long = format!("start{}end.json", "x".repeat(100_000));
        let said = printable(&long);
        assert_eq!(said.chars().count(), MOST_SAID);
        assert!(said.starts_with("startx") && said.ends_with("xend.json") && said.contains('…'));
        assert_eq!(printable(&"y".repeat(80)), "y".repeat(80));
    }

    #[test]
    fn a_whole_text_keeps_its_lines_only() {
        assert_eq!(harmless("one\ntwo"), "one\ntwo");
        assert_eq!(
            harmless("one\n\x1b]0;title\x07two"),
            "one\n\\u{1b}]0;title\\u{7}two"
        );
    }

    proptest! {
        #[test]
        fn nothing_said_steers_a_terminal_or_fills_it(words in any::<String>(), most in 3..200usize) {
            let said = printable_within(&words, most);
            prop_assert!(said.chars().count() <= most);
            prop_assert!(!said.contains(steers));
            let whole = harmless(&words).into_owned();
            prop_assert!(!whole.contains(|c| steers(c) && c != '\n'));
        }
    }
}
