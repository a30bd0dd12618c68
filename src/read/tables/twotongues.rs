//! Headings written twice, in two languages: `Porte n° / Door No.`, a line break in the place of the stroke, `Groupe /
//! Group Q1`. What one half says counts where nothing is known of the other.

use super::headings::{self, Heard};
use crate::read::words::{self, plain};

/// A longer text is no heading of two halves.
const LONGEST: usize = 120;

/// The key of the half of a heading that is known, where the halves that are known mean the same.
pub(crate) fn known_half(text: &str, folded: impl Fn(&str) -> String) -> Option<String> {
    if text.len() > LONGEST || !text.contains(['/', '\n']) {
        return None;
    }
    let stroke = text.contains('/');
    let halves: Vec<String> = parts(text).map(folded).filter(|half| !half.is_empty()).collect();
    let mut known: Option<(&String, Heard)> = None;
    for half in &halves {
        // `W/ CLOSER`: letters alone are no words.
        let Some(heard) = headings::exact(half).filter(|_| half.len() >= 3 || half == "NO") else { continue };
        if known.is_some_and(|(_, before)| before != heard) {
            return None;
        }
        known = known.or(Some((half, heard)));
    }
    let (half, _) = known?;
    // A line break alone wraps one heading more often than it parts two: `DOOR` over `UNDERCUT`.
    (halves.len() > 1 && (stroke || half.contains(' ') || !text.is_ascii())).then(|| half.clone())
}

/// Whether a heading is known by one of its halves only.
pub(crate) fn is_half(text: &str) -> bool {
    known_half(text, headings::whole_key).is_some_and(|half| half != headings::whole_key(text))
}

/// The parts of a text between strokes, or between lines where there are none; what stands in brackets is left whole.
fn parts(text: &str) -> impl Iterator<Item = &str> {
    let sign = if text.contains('/') { '/' } else { '\n' };
    let mut depth = 0usize;
    text.split(move |letter: char| {
        match letter {
            '(' | '[' => depth += 1,
            ')' | ']' => depth = depth.saturating_sub(1),
            _ => {}
        }
        depth == 0 && letter == sign
    })
}

/// `Groupe / Group Q1`, `Group / Groupe Q1`: the heading of a set without the word of the other language.
pub(crate) fn set_heading<T>(text: &str, read: impl Fn(&str) -> Option<T>) -> Option<T> {
    // `C/W GROUP 1`, `IN PAIRS W/ SET 2`: no blank stands on both sides of the stroke.
    let (first, rest) = text.split_once(" / ").filter(|_| text.len() <= LONGEST)?;
    let (first, rest) = (first.trim(), rest.trim_start());
    let (second, behind) = rest.split_once([' ', '\u{a0}', '.', ':', '#'])?;
    let word = |word: &str| !word.is_empty() && word.len() <= 30 && !word.contains(|sign: char| sign.is_ascii_digit());
    let of_doors = || words::list("doors").is(&plain(second));
    if !word(first) || first.split(' ').count() > 3 || !word(second) || of_doors() {
        return None;
    }
    read(rest).or_else(|| read(&format!("{first} {behind}")))
}

/// `ch. / ea`: a unit in two languages.
pub(crate) fn unit(text: &str, is_unit: impl Fn(&str) -> bool) -> bool {
    text.len() <= 24 && text.contains('/') && text.split('/').any(|half| is_unit(half.trim()))
}
