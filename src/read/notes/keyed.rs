//! Remarks that are numbers of notes: `1, 3` beside a door, and `3. MAGNETIC HOLD OPEN` under the table. The words of the
//! note are added to the remark, so that what they ask for is seen, and what they say of the door itself is taken: `PAIR OF
//! DOORS`, `EXTERIOR DOOR, INSULATED`, `HARDWARE BY DOOR SUPPLIER`.

use std::collections::BTreeMap;

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;

use crate::read::excluded::others::{self, Ours};
use crate::read::excluded::othersasked;
use crate::read::openings::doors;
use crate::read::schedule::Opening;
use crate::read::sizes::size::pair_of;
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// A code such as `F1` is no longer than this.
const LONGEST: usize = 4;

/// Signs behind the number of a note.
const SIGNS: [char; 5] = [')', ']', '.', ':', '='];

/// The number of a note and its words: `1. PROVIDE CARD READER`, `NOTE 3: HOLD OPEN`, `(2) VERIFY`.
fn numbered(text: &str) -> Option<(String, &str)> {
    let text = text.trim().trim_start_matches(['(', '#', '[']);
    let text = words::list("note-number").leads(text).map_or(text, |lead| text[lead.len()..].trim_start());
    if let Some((number, rest)) = circled(text) {
        let words = rest.trim_start_matches([' ', '-', '.', ':', '=']);
        return (!words.is_empty()).then(|| (number.to_string(), words));
    }
    let figures = text.bytes().take_while(u8::is_ascii_digit).count();
    let (number, rest) = text.split_at(figures);
    let apart = |letter: char| SIGNS.contains(&letter) || letter == '-' || letter == ' ';
    let words = rest.trim_start_matches(apart);
    let told = rest.starts_with(apart) && words.starts_with(|letter: char| letter.is_alphabetic());
    let number: u32 = number.parse().ok().filter(|_| figures <= 2)?;
    (told && words.contains(' ')).then(|| (number.to_string(), words))
}

/// The code of a key and its words, `F1 = Office lock`, `A. PROVIDE CARD READER`; a letter or letters with figures.
fn coded(text: &str) -> Option<(String, &str)> {
    let text = text.trim().trim_start_matches(['(', '[']);
    let end = text.find(|letter: char| !letter.is_ascii_alphanumeric()).filter(|end| (1..=LONGEST).contains(end))?;
    let (code, rest) = text.split_at(end);
    let words = rest.trim_start_matches(|letter: char| SIGNS.contains(&letter) || letter == '-' || letter == ' ');
    let apart = rest.starts_with(SIGNS) || [" - ", " = ", " : ", "  "].iter().any(|sign| rest.starts_with(sign));
    (apart && is_code(code) && words.starts_with(|letter: char| letter.is_alphabetic()))
        .then(|| (code.to_string(), words))
}

/// `F1`, `A`: what a key may explain. Longer words without figures are marks, which the legend knows.
fn is_code(part: &str) -> bool {
    let known = part.len() <= LONGEST && part.bytes().all(|byte| byte.is_ascii_uppercase() || byte.is_ascii_digit());
    let letter = part.bytes().next().is_some_and(|byte| byte.is_ascii_uppercase());
    known && letter && (part.len() == 1 || part.bytes().any(|byte| byte.is_ascii_digit()))
}

/// A number in a circle at the head of a text, and what stands behind it.
fn circled(text: &str) -> Option<(u32, &str)> {
    let sign = text.chars().next()?;
    let firsts = ['\u{2460}', '\u{2776}', '\u{2780}', '\u{278a}', '\u{2474}'];
    let first = firsts.into_iter().filter(|first| *first <= sign).max()?;
    let most = if matches!(first, '\u{2460}' | '\u{2474}') { 20 } else { 10 };
    let number = u32::from(sign) - u32::from(first) + 1;
    (number <= most).then(|| (number, &text[sign.len_utf8()..]))
}

/// The numbers of notes that a remark names: all of it is numbers, or they stand behind a word for notes, or in circles.
fn references(text: &str) -> Vec<String> {
    let alone = |text: &str| {
        let parts = text.split([',', ';', '&', ' ', '/', '#', '(', ')', '.']).filter(|part| !part.is_empty());
        let mut found = parts.map(|part| part.parse().ok().filter(|number: &u32| *number < 100)).peekable();
        let led = found.peek().is_some_and(Option::is_some);
        let numbers: Vec<Option<u32>> = found.collect();
        (led, numbers)
    };
    if !text.is_ascii() {
        let signs = text.char_indices().filter_map(|(at, _)| circled(&text[at..]));
        let numbers: Vec<String> = signs.map(|(number, _)| number.to_string()).collect();
        if !numbers.is_empty() {
            return numbers;
        }
    }
    if !text.bytes().any(|byte| byte.is_ascii_digit()) {
        return Vec::new();
    }
    let folded = plain(text);
    let lead = words::list("note-number").find(&folded);
    let behind = lead.map_or(&*folded, |lead| &folded[words::offset(&folded, lead) + lead.len()..]);
    let (led, numbers) = alone(behind);
    let whole = numbers.iter().all(Option::is_some);
    let numbers = numbers.into_iter().map_while(|number| number).map(|number| number.to_string());
    if whole || led && lead.is_some() { numbers.collect() } else { Vec::new() }
}

/// The codes that a remark consists of.
fn codes(text: &str) -> Vec<String> {
    if text.len() > 4 * LONGEST || !text.starts_with(|letter: char| letter.is_ascii_uppercase()) {
        return Vec::new();
    }
    let parts = || text.split([',', ';', '&', ' ', '/']).filter(|part| !part.is_empty());
    if parts().all(is_code) { parts().map(str::to_string).collect() } else { Vec::new() }
}

/// The words of notes by the sheet on which they stand and their number or code.
type Known<'n> = BTreeMap<(Place, String), &'n str>;

fn sheet_of(place: &Place) -> Place {
    Place { row: 0, column: None, ..place.clone() }
}

/// What a door's codes mean: by its own sheet, else by the one sheet of the file that explains them; all or none.
fn explained<'n>(known: &Known<'n>, place: &Place, codes: &[String]) -> Vec<&'n str> {
    let of = |code: &String| {
        let own = known.get(&(sheet_of(place), code.clone()));
        let mut others = known.iter().filter(|((at, of), _)| of == code && at.file == place.file && code.len() > 1);
        own.or_else(|| others.next().filter(|_| others.next().is_none()).map(|(_, words)| words)).copied()
    };
    let all: Option<Vec<&str>> = codes.iter().map(of).collect();
    all.unwrap_or_default()
}

/// Adds the words of notes to the remarks that name their numbers or their codes.
pub(crate) fn join(out: &mut Gathered) {
    let (mut known, mut keys) = (Known::new(), Known::new());
    let of_sets = out.schedule.sets.iter().flat_map(|set| &set.notes);
    for note in out.schedule.notes.iter().chain(of_sets) {
        if let Some((number, words)) = numbered(&note.text) {
            known.entry((sheet_of(&note.place), number)).or_insert(words);
        } else if let Some((code, words)) =
            coded(&note.text).filter(|(code, _)| out.legend.of(code, &note.place).is_none())
        {
            keys.entry((sheet_of(&note.place), code)).or_insert(words);
        }
    }
    if known.is_empty() && keys.is_empty() {
        return;
    }
    let mut findings = Vec::new();
    for opening in out.schedule.openings.iter_mut().filter(|opening| !opening.remarks.is_empty()) {
        let numbers = if known.is_empty() { Vec::new() } else { references(&opening.remarks) };
        let sheet = sheet_of(&opening.place);
        let by_number = numbers.into_iter().filter_map(|number| {
            let words = known.get(&(sheet.clone(), number.clone()))?;
            Some((number, *words))
        });
        let mut said: Vec<(String, &str)> = by_number.collect();
        if said.is_empty() && !keys.is_empty() {
            let codes = codes(&opening.remarks);
            let meant = explained(&keys, &opening.place, &codes);
            said.extend(codes.into_iter().zip(meant));
        }
        for (number, words) in said {
            opening.remarks.push_str("; ");
            opening.remarks.push_str(words);
            findings.extend(of_door(opening, &number, words));
        }
    }
    out.schedule.findings.append(&mut findings);
}

/// Whether a note stands among the remarks of doors that name its number.
pub(crate) fn is_joined(note: &str, openings: &[Opening]) -> bool {
    let Some((_, words)) = numbered(note).or_else(|| coded(note)) else { return false };
    openings.iter().any(|door| {
        door.remarks.strip_suffix(words).is_some_and(|lead| lead.ends_with("; "))
            || door.remarks.contains(&format!("; {words}; "))
    })
}

/// Takes what a note says of a door whose row does not say it. A note that begins otherwise speaks of doors in general:
/// `COORDINATOR AT PAIRS`.
fn of_door(opening: &mut Opening, number: &str, note: &str) -> Option<Finding> {
    let folded = plain(note);
    // `PAIRS TO HAVE COORDINATORS` says of all pairs what they get.
    let general = |part: &str| words::list("said-in-general").find(part).is_some();
    let begins = |list: &str| {
        let mut parts = folded.split([',', ';', '.']).map(str::trim);
        parts.any(|part| words::list(list).begins(part).is_some() && !general(part))
    };
    let mut said: Vec<String> = Vec::new();
    if opening.leaves == 1 && opening.leaf_widths.is_empty() && begins("pair") && !doors::moves(note) {
        opening.leaves = 2;
        if let Some(width) = opening.width {
            let pair = pair_of(width);
            (opening.width, opening.leaf_widths) = (Some(pair.opening), pair.leaves);
        }
        said.push("two leaves".into());
    }
    if opening.exterior.is_none() && begins("exterior") {
        opening.exterior = Some(true);
        said.push("exterior".into());
    }
    if let Some(words) = others::supplier(note, Ours::Unsaid).filter(|_| opening.excluded.is_none()) {
        match &opening.set {
            Some(set) => {
                let (place, remarks) = (opening.place.clone(), opening.remarks.clone());
                return Some(othersasked::with_set(&opening.number, set, &words, place, remarks));
            }
            None => {
                said.push(format!("left out, {words}"));
                opening.excluded = Some(words);
            }
        }
    }
    if said.is_empty() {
        return None;
    }
    let says = format!("note {number} beside door {} says of it: {}", opening.number, said.join(", "));
    let finding = Finding::new("note-of-door", Kind::Assumption, Weight::Goods, says);
    Some(
        Finding { openings: vec![opening.number.clone()], set: opening.set.clone(), ..finding }
            .at(opening.place.clone(), note.to_string())
            .help("check that the note is the one that the row means"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_and_their_numbers_are_told_from_other_texts() {
        let note = |number: &str, words| Some((number.to_string(), words));
        assert_eq!(numbered("1. PROVIDE CARD READER."), note("1", "PROVIDE CARD READER."));
        assert_eq!(numbered("NOTE 12: hold open"), note("12", "hold open"));
        assert_eq!(numbered("\u{2461} Provide kick plate"), note("2", "Provide kick plate"));
        assert_eq!(numbered("101 LOBBY"), None);
        assert_eq!(coded("F1 = Office lock"), note("F1", "Office lock"));
        assert_eq!(coded("A. PROVIDE CARD READER"), note("A", "PROVIDE CARD READER"));
        for other in ["A door with glass", "NIC = not in contract", "F1", "WALL STOP", "626 - satin chrome"] {
            assert_eq!(coded(other), None, "{other}");
        }
        for (remark, numbers) in [
            ("1, 3", vec!["1", "3"]),
            ("SEE NOTE 4", vec!["4"]),
            ("Card reader, see notes 2 & 5", vec!["2", "5"]),
            ("HM \u{2460}\u{2462}", vec!["1", "3"]),
            ("KEYNOTE 7", vec!["7"]),
            ("2 HOUR", vec![]),
            ("2 kick plates", vec![]),
            ("NOTE 200 lb leaf", vec![]),
            ("", vec![]),
        ] {
            assert_eq!(references(remark), numbers, "{remark}");
        }
        assert_eq!(codes("F1, F2"), ["F1", "F2"]);
        assert!(codes("NIC").is_empty() && codes("Alarmed").is_empty() && codes("PAIR").is_empty());
    }
}
