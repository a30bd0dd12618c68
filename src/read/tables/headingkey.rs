//! The form in which column headings are compared: whatever signs, brackets and spellings of a number stand in them.

use super::headings::exact;
use super::{headingwords, twotongues};
use crate::read::words;

/// The form in which headings are compared: upper case words, `#` as `NO`, no punctuation, nothing in brackets.
pub(crate) fn key(text: &str) -> String {
    let whole = whole_key(text);
    let half = || twotongues::known_half(text, whole_key);
    if text.contains(['/', '\n']) && exact(&whole).is_none() { half().unwrap_or(whole) } else { whole }
}

/// The key of a heading whose halves are not looked at alone.
pub(crate) fn whole_key(text: &str) -> String {
    // `NominalWidth` is two words, `WxH` is a heading only as it stands.
    let parted = folded(&headingwords::uncamel(text));
    if exact(&parted).is_some() {
        return parted;
    }
    let whole = folded(text);
    if exact(&whole).is_some() {
        return whole;
    }
    // `WIDTH MM`: the unit is told by the cells.
    // `HARDWARE - EACH OPENING`: what counts are per, where nothing else is meant anyway.
    let behind = [" MM", " CM", " IN", " INCHES", " FT", " EACH OPENING", " PER OPENING", " EACH DOOR", " PER DOOR"];
    let unit = behind.iter().find_map(|unit| parted.strip_suffix(unit));
    match unit.filter(|rest| exact(rest).is_some()) {
        Some(rest) => rest.to_string(),
        None => parted,
    }
}

fn folded(text: &str) -> String {
    let plain = words::plain(text);
    let mut out = String::with_capacity(plain.len());
    let mut depth = 0usize;
    for letter in plain.chars() {
        match letter {
            '(' | '[' => depth += 1,
            ')' | ']' => depth = depth.saturating_sub(1),
            _ if depth > 0 => {}
            // `Nº`, `N°`, `№`
            '\u{BA}' | '\u{B0}' if out.ends_with('N') => out.push('O'),
            '\u{2116}' => out.push_str(" NO "),
            '.' | '\'' | '"' | ':' | '*' | '?' | '\u{B0}' => {}
            '#' => out.push_str(" NO "),
            letter if letter.is_alphanumeric() => out.push(letter),
            _ => out.push(' '),
        }
    }
    let mut tidy = String::with_capacity(out.len());
    for word in out.split_whitespace() {
        if !tidy.is_empty() {
            tidy.push(' ');
        }
        tidy.push_str(word);
    }
    tidy
}
