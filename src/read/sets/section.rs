//! Numbers of specification sections and divisions: `08 71 00`, `087100`, `Sect. 28 13`, `Div. 26`. Door hardware is section
//! 08 71 00 (MasterFormat: divisions 00 to 49, section numbers in pairs of figures; the edition of 1995 has five figures).

use crate::read::excluded::others;
use crate::read::openings::doors::Told;
use crate::read::words::{self, plain};

/// The figures of a text that is the number of a section, or of one with words behind it: `08 71 00 HARDWARE`.
pub(crate) fn number(text: &str) -> Option<String> {
    let folded = plain(text);
    let (rest, named) = lead(folded.trim_matches(['(', ')', '[', ']', ' ']));
    let (groups, behind) = groups(rest)?;
    let digits = groups.concat();
    let pairs = groups.len() >= 2 && groups.iter().all(|group| group.len() == 2);
    let alone = groups.len() == 1
        && match digits.len() {
            5 | 6 | 8 => true,
            4 => named || digits.starts_with('0'),
            _ => false,
        };
    let division = digits.get(..2).and_then(|division| division.parse::<u32>().ok()).is_some_and(|number| number < 50);
    let words = behind.bytes().all(|byte| !byte.is_ascii_digit());
    ((pairs || alone) && division && words).then_some(digits)
}

/// The figures of the first section that a text names as one: `overhead sectional, Sect. 083613`.
pub(crate) fn named(text: &str) -> Option<String> {
    let folded = plain(text);
    let mut starts = words::list("section-words").all(&folded).into_iter().map(|word| words::offset(&folded, word));
    starts.find_map(|start| {
        let (rest, _) = lead(&folded[start..]);
        let (groups, _) = groups(rest)?;
        number(&format!("SECTION {}", groups.join(" ")))
    })
}

/// The division that a text names and nothing else: `DIV. 26`, `Division 28 - security`.
pub(crate) fn division(text: &str) -> Option<u32> {
    let folded = plain(text);
    let rest = words::list("division-words").begins(&folded).map(|word| &folded[word.len()..])?;
    let rest = rest.trim_start_matches([' ', '.', '#']);
    let end = rest.find(|letter: char| !letter.is_ascii_digit()).unwrap_or(rest.len());
    let number = rest[..end].parse().ok().filter(|number| *number < 50)?;
    rest[end..].bytes().all(|byte| !byte.is_ascii_digit()).then_some(number)
}

/// Whether a section is that of door hardware, or of the hardware schedule.
pub(crate) fn is_ours(digits: &str) -> bool {
    let ours = words::list("sections-of-hardware");
    (4..=digits.len()).any(|end| digits.get(..end).is_some_and(|figures| ours.is(figures)))
}

/// The words of a remark that leave the whole of a door to the section of another trade: `overhead sectional, Sect. 083613`,
/// `detention door and hardware - see Section 11 19 00`. Sections of swinging doors say nothing of their hardware.
pub(crate) fn of_another_trade(remarks: &str) -> Option<String> {
    // Nearly no remark names a section.
    if !remarks.bytes().any(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let folded = plain(remarks);
    let word = words::list("section-words").find(&folded)?;
    let digits = named(&folded)?;
    let doors = words::list("sections-of-doors");
    if is_ours(&digits) || (4..=digits.len()).any(|end| digits.get(..end).is_some_and(|figures| doors.is(figures))) {
        return None;
    }
    let before = &folded[..words::offset(&folded, word)];
    let lead = words::list("leads-to-section");
    let said = before.split([' ', ',', ';', ':', '-', '(']).filter(|word| !word.is_empty() && !lead.is(word));
    let said: Vec<&str> = said.collect();
    (said.is_empty() || others::is_whole(&said) || Told::of(before).not_a_swing_pair)
        .then(|| remarks.trim().to_string())
}

/// The words of a remark of a door with a set by which it is not hung in this job, or another section has it: `Future`, `By
/// Section 08 33 23`, `Door and hardware by 11 19 00`. `See Section 08 71 00`, `Door by Section 08 14 16`, `Card reader by Section
/// 28 13 00` say nothing of its hardware.
pub(crate) fn later_or_of_another(remarks: &str) -> Option<String> {
    let folded = plain(remarks);
    let bare = folded.trim_matches(['.', ' ', '*']);
    if words::list("future-door").is(bare) {
        return Some(bare.to_string());
    }
    if !folded.bytes().any(|byte| byte.is_ascii_digit()) {
        return None;
    }
    folded.split([',', ';', '\n']).find_map(|part| {
        let by = words::list("by").find(part)?;
        let at = words::offset(part, by);
        let digits = number(part[at + by.len()..].trim_matches([' ', '.']))?;
        let doors = words::list("sections-of-doors");
        let of_doors = (4..=digits.len()).any(|end| digits.get(..end).is_some_and(|figures| doors.is(figures)));
        let said = others::subject(&part[..at]);
        let hardware = said.iter().any(|word| words::list("words-for-hardware").is(word));
        let whole = said.is_empty() || others::is_whole(&said);
        (whole && !is_ours(&digits) && (hardware || !of_doors)).then(|| part.trim().to_string())
    })
}

/// A text behind the words for a section, and whether any stood there.
fn lead(text: &str) -> (&str, bool) {
    let mut rest = text;
    while let Some(word) = words::list("section-words").begins(rest) {
        rest = rest[word.len()..].trim_start_matches([' ', '.', ':', '#']);
    }
    (rest, rest.len() < text.len())
}

/// The groups of figures at the beginning of a text, and what stands behind them.
fn groups(text: &str) -> Option<(Vec<&str>, &str)> {
    let end = text.find(|letter: char| !(letter.is_ascii_digit() || " -.".contains(letter))).unwrap_or(text.len());
    let (figures, behind) = text.split_at(end);
    let groups: Vec<&str> = figures.split([' ', '-', '.']).filter(|group| !group.is_empty()).collect();
    let parted =
        behind.is_empty() || figures.ends_with([' ', '-', '.']) || behind.starts_with([',', ';', ')', ':', '/']);
    (!groups.is_empty() && groups.len() <= 4 && parted).then_some((groups, behind))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn doors_of_other_sections_and_of_later_are_heard() {
        for text in [
            "Future",
            "By Section 08 33 23",
            "Door and hardware by Section 08 33 23",
            "By 08 33 23",
            "Door & frame by Section 11 19 00",
        ] {
            assert!(later_or_of_another(text).is_some(), "{text}");
        }
        for text in [
            "See Section 08 33 23",
            "By Section 08 71 00",
            "Door by Section 08 14 16",
            "Card reader by Section 28 13 00",
            "Future card reader",
            "By owner",
            "Undercut by 3/4",
        ] {
            assert_eq!(later_or_of_another(text), None, "{text}");
        }
    }

    #[test]
    fn sections_are_told_from_measures_and_counts() {
        for (text, digits) in [
            ("08 71 00", Some("087100")),
            ("08 71", Some("0871")),
            ("087100", Some("087100")),
            ("08710", Some("08710")),
            ("0871", Some("0871")),
            ("SECTION 08 71 00", Some("087100")),
            ("Sect. 28 10", Some("2810")),
            ("SPEC SECTION 281300", Some("281300")),
            ("08 71 11.13", Some("08711113")),
            ("26 05 19 - ELECTRICAL", Some("260519")),
            ("71", None),
            ("2810", None),
            ("95 20", None),
            ("8 x 34", None),
            ("3070", None),
            ("OWNER", None),
            ("08 71 00A", None),
        ] {
            assert_eq!(number(text).as_deref(), digits, "{text}");
        }
        assert_eq!(named("overhead sectional, Sect. 083613").as_deref(), Some("083613"));
        assert_eq!(named("see section 08 36 13 for door").as_deref(), Some("083613"));
        assert_eq!(named("see section A-A"), None);
        assert_eq!(named("3 sections wide"), None);
        for (text, number) in [
            ("DIV. 26", Some(26)),
            ("Div 28", Some(28)),
            ("DIVISION 8", Some(8)),
            ("DIVIDER 8", None),
            ("DIV 99", None),
        ] {
            assert_eq!(division(text), number, "{text}");
        }
        assert!(is_ours("0871") && is_ours("08710") && is_ours("087100") && !is_ours("084113") && !is_ours("2810"));
    }
}
