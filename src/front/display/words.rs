//! Texts of the loop made ready for the screen and the voice.

use crate::live::RUNGS;

/// Cuts a text after its first sentence.
pub fn first_sentence(text: &str) -> (&str, &str) {
    let text = text.trim();
    text.match_indices(['.', '!', '?'])
        .map(|(at, _)| text.split_at(at + 1))
        .find(|(_, rest)| rest.is_empty() || rest.starts_with(char::is_whitespace))
        .map_or((text, ""), |(first, rest)| (first, rest.trim()))
}

/// A text that begins with a capital and ends with a stop.
pub fn capital(text: &str) -> String {
    let text = text.trim();
    let mut letters = text.chars();
    let first = letters
        .next()
        .map(|c| c.to_uppercase().to_string())
        .unwrap_or_default();
    let stop = if text.is_empty() || text.ends_with(['.', '!', '?']) {
        ""
    } else {
        "."
    };
    format!("{first}{}{stop}", letters.as_str())
}

/// Lines of a message, the cause and then the remedy, as sentences in one line.
pub fn in_one_line(text: &str) -> String {
    text.lines().map(capital).collect::<Vec<_>>().join(" ")
}

/// What is spoken of a hint: no notation, and below the rung of the turns no more than two sentences, as the rest can be
/// read at leisure.
pub fn spoken(text: &str, level: u8) -> String {
    let mut words = String::new();
    let mut depth = 0;
    for letter in text.chars() {
        match letter {
            '(' => depth += 1,
            ')' => depth -= 1,
            _ if depth == 0 => words.push(letter),
            _ => {}
        }
    }
    let words = words
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .replace(" .", ".")
        .replace(" ,", ",");
    if level >= RUNGS {
        return words;
    }
    let (first, rest) = first_sentence(&words);
    let (second, _) = first_sentence(rest);
    format!("{first} {second}").trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_sentence_is_cut_off_and_nothing_is_lost() {
        for (text, first, rest) in [
            ("Turn it. Then look.", "Turn it.", "Then look."),
            ("Well done!", "Well done!", ""),
            ("no stop", "no stop", ""),
            ("", "", ""),
            ("About 1.5 turns. Go.", "About 1.5 turns.", "Go."),
        ] {
            assert_eq!(first_sentence(text), (first, rest));
        }
    }

    #[test]
    fn asked_for_in_lower_case_is_shown_as_a_sentence() {
        assert_eq!(capital("show me the red face"), "Show me the red face.");
        assert_eq!(capital("Is it?"), "Is it?");
        assert_eq!(capital(""), "");
    }

    #[test]
    fn notation_and_long_reasons_are_not_spoken() {
        let turns =
            "Top half a turn (U2). Left side upwards, top to the right (L' U'). That is all. Done.";
        let all = "Top half a turn. Left side upwards, top to the right. That is all. Done.";
        assert_eq!(spoken(turns, 4), all);
        assert_eq!(
            spoken(turns, 3),
            "Top half a turn. Left side upwards, top to the right."
        );
        assert_eq!(spoken("One.", 1), "One.");
    }
}
