//! What a row of free text under a set heading is by its form: an item with a quantity at either end, an item in a
//! numbered list, a sentence, goods that others supply, or words that go on from the row above.

pub(crate) use super::countsbehind::{
    counted_at_end, has_quantity_behind, is_count_alone, joined_at_end, left_out_alone, names_goods, names_others,
};
use crate::read::memo::{self, Memo};
use crate::read::schedule::Line;
use crate::read::sheet::Row;
use crate::read::words::{self, plain};
use crate::trade::finish;

/// A number of goods and nothing else: `3`, `1/2`, `1-1/2`, `3,000`.
pub(crate) fn is_count(text: &str) -> bool {
    text.starts_with(|sign: char| sign.is_ascii_digit() || "½¼¾".contains(sign))
        && text.chars().all(|sign| sign.is_ascii_digit() || "/-., ½¼¾".contains(sign))
}

/// `3 EA` alone: the count of goods whose name stands in the next row, and no door.
pub(crate) fn is_counted_unit(folded: &str) -> bool {
    folded.split_once(' ').is_some_and(|(count, unit)| is_count(count) && crate::read::tables::columns::is_unit(unit))
}

/// `3 | EA | HINGE | 4.5 x 4.5`, `3EA | HINGE`: a count and its unit, which no row of a door begins with.
pub(crate) fn counts_goods(row: &crate::read::sheet::Row) -> bool {
    let [first, rest @ ..] = &row.cells[..] else { return false };
    let folded = plain(&first.text);
    let unit = folded.trim_start_matches(|sign: char| sign.is_ascii_digit() || sign == '.' || sign == '/').trim();
    let glued = unit.len() < folded.len() && words::list("unit-glued").is(unit);
    let apart = || rest.first().is_some_and(|next| crate::read::tables::columns::is_unit(&plain(&next.text)));
    glued || is_count(&first.text) && apart()
}

/// `2 SETS | OFFSET PIVOTS`, `1EA | CLOSER`: a count with its unit in one cell, and goods beside it.
pub(crate) fn is_counted_good(row: &crate::read::sheet::Row) -> bool {
    let [first, rest @ ..] = &row.cells[..] else { return false };
    let unit = first.text.bytes().any(|sign| sign.is_ascii_alphabetic());
    if !unit || !first.text.starts_with(|sign: char| sign.is_ascii_digit()) || first.text.len() > 12 {
        return false;
    }
    let folded = plain(&first.text);
    let unit = folded.trim_start_matches(|sign: char| sign.is_ascii_digit() || "./- ".contains(sign));
    let counted = || unit.len() < folded.len() && words::list("units-of-goods").is(unit.trim_end_matches('.'));
    counted() && rest.iter().any(|cell| words::list("hardware").find(&plain(&cell.text)).is_some())
}

/// `3`, `3 EA`, `(3)`, `1-1/2 PR`, `3x`, `THREE`: whether a text begins with a quantity.
pub(crate) fn starts_with_quantity(folded: &str) -> bool {
    if let Some(rest) = folded.strip_prefix("QTY").filter(|rest| rest.starts_with(['.', ':', ' '])) {
        return rest.trim_start_matches(['.', ':', ' ']).starts_with(|letter: char| letter.is_ascii_digit());
    }
    let rest = folded;
    let rest = rest.trim_start_matches('(');
    let figures = rest.bytes().take_while(|byte| byte.is_ascii_digit() || b"-/.".contains(byte)).count();
    if figures == 0 {
        return words::list("as-many-as-needed").begins(rest).is_some()
            || words::list(words::NUMBERS).begins(rest).is_some_and(|number| rest.len() > number.len());
    }
    if figures > 5 || !rest.as_bytes()[0].is_ascii_digit() {
        return false;
    }
    // `9TH STREET`, `2ND FLOOR`
    let word = rest[figures..].split(' ').next().unwrap_or_default();
    if word.len() == 2 && words::list("ordinal-ends").is(word) {
        return false;
    }
    let tail = rest[figures..].trim_start_matches([')', 'X', ' ']);
    // `1. General note` and `4-1/2 x 4-1/2` are no quantities.
    let spaced = rest[figures..].starts_with([' ', ')', 'X'])
        || rest.len() == figures
        || rest[figures..].starts_with(|letter: char| letter.is_ascii_alphabetic());
    let dimension = [" X ", "\""].iter().any(|sign| rest[figures..].starts_with(sign));
    spaced && !dimension && !rest[..figures].ends_with('.') && !tail.starts_with("X ")
}

/// Whether what stands behind a count is joined to the goods before it: `(1) WITH HOLD OPEN`, `2 OF EACH`.
pub(crate) fn goes_on(behind: &str) -> bool {
    words::list("joins-behind-count").begins(behind).is_some() || words::list("joins-glued").leads(behind).is_some()
}

/// Whether the cell of a quantity column is a quantity; a note or a section may begin in that column too.
pub(crate) fn is_quantity(folded: &str) -> bool {
    let worded = || {
        // A figure is neither `LOT` nor `THREE`.
        folded.starts_with(|letter: char| letter.is_ascii_alphabetic())
            && (words::list("count-of-all").is(folded) || words::list(words::NUMBERS).is(folded))
    };
    folded.len() <= 14 && (starts_with_quantity(folded) || worded())
        || folded.bytes().all(|byte| byte.is_ascii_digit() || b"./- ()".contains(&byte))
        || starts_with_quantity(folded) && !is_sentence(folded)
}

/// Bytes of the sign of a list before an item: `A. `, `1) `, `- `, `• `; 0 when there is none.
pub(crate) fn marker(text: &str) -> usize {
    let trimmed = text.trim_start();
    let lead = text.len() - trimmed.len();
    let bullet =
        trimmed.chars().next().filter(|letter| "-\u{2013}\u{2014}\u{2022}\u{b7}*\u{25aa}\u{25cf}".contains(*letter));
    if let Some(letter) = bullet {
        let rest = &trimmed[letter.len_utf8()..];
        return if rest.starts_with(' ') { text.len() - rest.trim_start().len() } else { 0 };
    }
    let label = trimmed.bytes().take_while(u8::is_ascii_alphanumeric).count();
    let figures = trimmed[..label].bytes().all(|byte| byte.is_ascii_digit());
    if label == 0 || label > 2 || !figures && label > 1 {
        return 0;
    }
    let rest = &trimmed[label..];
    let Some(after) = rest.strip_prefix(['.', ')']) else { return 0 };
    if after.starts_with(' ') { lead + label + 1 + (after.len() - after.trim_start().len()) } else { 0 }
}

/// Bytes of the sign of a list when what follows is an item, not a sentence.
pub(crate) fn listed_item(text: &str) -> Option<usize> {
    let sign = marker(text);
    let rest = plain(&text[sign..]);
    let short = rest.split(' ').count() <= 14 && !rest.ends_with('.');
    let goods = starts_with_quantity(&rest) || words::list("hardware").find(&rest).is_some();
    (sign > 0 && short && goods && words::list("note").begins(&rest).is_none()).then_some(sign)
}

/// `3.7 HARDWARE SETS`, `08 71 00`: the number of a section of a specification.
pub(crate) fn is_spec_heading(folded: &str) -> bool {
    let number = folded.split(' ').next().unwrap_or_default();
    let parts: Vec<&str> = number.split('.').collect();
    let figures = parts.iter().all(|part| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit()));
    (2..=3).contains(&parts.len())
        && figures
        && parts[1].len() <= 2
        && folded.split(' ').count() <= 6
        && folded.len() > number.len()
        && !folded[number.len()..].bytes().any(|byte| byte.is_ascii_digit())
        && (folded.contains("HARDWARE") || is_paragraph(&parts, folded[number.len()..].trim_start()))
        || folded.strip_prefix("PART ").is_some_and(|rest| {
            let rest = rest.trim_start_matches(|sign: char| sign.is_ascii_digit());
            rest.len() + 6 == folded.len() && ["", " -", " \u{2013}"].iter().any(|sign| rest.starts_with(sign))
        })
}

/// `3.06 ADJUSTING AND CLEANING`, `2.03 LOCKS`: the parts of a section have the numbers 1 to 3. `1.50 PR HINGES` counts.
fn is_paragraph(number: &[&str], text: &str) -> bool {
    let [part, paragraph] = number else { return false };
    let numbered = matches!(*part, "1" | "2" | "3")
        && paragraph.len() == 2
        && *paragraph != "00"
        && paragraph.starts_with(['0', '1', '2']);
    let first = text.split(' ').next().unwrap_or_default().trim_end_matches('.');
    let unit = words::list("units-of-goods").is(first);
    numbered && !unit && text.starts_with(|first: char| first.is_ascii_alphabetic())
}

/// `FINISH 626 CLOSER`: one good behind its finish. `FINISH 626 CLOSERS` tells of all closers.
pub(crate) fn led_by_finish(folded: &str) -> bool {
    let Some(word) = words::list("finish-words").begins(folded) else { return false };
    let rest = folded[word.len()..].trim_start_matches([':', ' ', '-', '.']);
    let Some((code, goods)) = rest.split_once(' ') else { return false };
    let good = words::list("goods").begins(goods).is_some_and(|good| !good.ends_with('S'));
    codes(code) == 1 && codes(goods) == 0 && good
}

/// Whether words end in a joint, behind which more of them must follow: `MORTISE LOCK W/`, `CLOSER,`.
pub(crate) fn dangles(folded: &str) -> bool {
    let last = folded.rsplit(' ').next().unwrap_or_default();
    folded.ends_with(['-', ',', '/', '&', '+']) || words::list("dangling").is(last)
}

/// Goods that begin a line of their own although nothing counts them, unless the line before speaks of the same.
pub(crate) fn begins_goods(folded: &str, before: &str) -> bool {
    if added(folded).is_some() {
        return !dangles(before);
    }
    words::list("goods").begins(folded).is_some_and(|goods| {
        let stem = goods.trim_end_matches('S');
        !dangles(before) && !before.contains(stem)
    })
}

/// `Smoke seals`, `KICK PLATE 10 X 34`, `CLOSER, REGULAR ARM`: the name of goods that are no part of others, and behind it nothing or
/// what is said of such goods, a size, a finish, a type; the line before names none of their kind. `CLOSER BRACKET`, `THRESHOLD
/// MOUNTED`, `CLOSER FOR ABOVE` go on with it.
fn apart(folded: &str, before: &str) -> bool {
    let Some(goods) = words::list("goods-apart").begins(folded) else { return false };
    let last = goods.rsplit(' ').next().unwrap_or_default().trim_end_matches('S');
    let seals = |text: &str| words::list("goods-of-seals").find(text).is_some();
    let said = folded[goods.len()..].trim_matches(['.', ',', ':', '-', ' ']);
    let next = said.split([' ', ',']).next().unwrap_or_default();
    let told = next.is_empty()
        || next.starts_with(|sign: char| sign.is_ascii_digit())
        || finish::look_of(next).is_some()
        || ["said-of-goods-apart", "goods-material"].iter().any(|list| words::list(list).is(next));
    // A size is said of a part of the line before too, `HINGES 4.5 X 4.5 FOR ABOVE`.
    let joined = said.split([' ', ',']).any(|word| words::list("joins-behind-count").is(word));
    let both_seal = seals(goods) && seals(before);
    told && !joined && !both_seal && !before.contains(last)
}

/// `Closer | existing`, `Threshold - not required`: goods, and right behind them that they stay or go.
fn has_state(folded: &str) -> bool {
    let named = [words::list("goods"), words::list("hardware"), words::nouns()];
    let behind = |goods: &str| folded[goods.len()..].trim_start_matches([' ', '-', ':', ',', '(']);
    let state = |list: &&words::WordList| {
        let goods = list.begins(folded);
        goods.is_some_and(|goods| words::list("state-behind-goods").begins(behind(goods)).is_some())
    };
    named.iter().any(state) && words::list("goods-part").begins(folded).is_none()
}

/// Whether a row without a count below a line is a row of its own: goods that stay or go, `Existing hinges to remain`, or in a
/// table goods that are no part of others, `Smoke seals` below `Wall stop`.
pub(crate) fn is_own(tabled: bool, row: &Row, folded: &str, before: Option<&Line>) -> bool {
    let Some(before) = before.map(|line| plain(&line.wording.text)).filter(|before| !dangles(before)) else {
        return false;
    };
    let lower = row.cells.first().is_some_and(|cell| cell.text.starts_with(char::is_lowercase));
    let named = |text: &str| words::list("hardware").find(text).is_some();
    !lower
        && (words::list("state-of-goods").begins(folded).is_some() && named(folded)
            || has_state(folded)
            || tabled && named(&before) && apart(folded, &before) && begins_goods(folded, &before))
}

/// `Hardware by storefront supplier`, `NIC`: an item that others supply, never a continuation or a note.
pub(crate) fn by_others(folded: &str) -> bool {
    words::list("excluded").find(folded).or_else(|| words::list("hardware-by").find(folded)).is_some()
        || by_whom(folded).is_some()
}

/// A text with a comma for each word of a list: `CLOSER AND STOP` is `CLOSER , STOP`.
pub(crate) fn with_commas(folded: &str, joints: &str) -> String {
    let (mut parted, mut from) = (String::with_capacity(folded.len()), 0);
    for joint in words::list(joints).all(folded) {
        let at = words::offset(folded, joint);
        if at >= from {
            parted.push_str(&folded[from..at]);
            parted.push(',');
            from = at + joint.len();
        }
    }
    parted.push_str(&folded[from..]);
    parted
}

/// Where the word stands that says by whom, in words that say so: `BY OTHERS` of `HARDWARE BY OTHERS`.
pub(crate) fn by_at(said: &str) -> Option<usize> {
    words::list("by").find(said).map(|by| words::offset(said, by))
}
/// `BY DIV 11 DETENTION EQUIP. CONTRACTOR`: so many words say who it is, at most.
const MOST_BEFORE_WHOM: usize = 6;

/// `BY FRAME MANUFACTURER`, `BY SECURITY CONTRACTOR`: who else supplies the goods.
pub(crate) fn by_whom(folded: &str) -> Option<&str> {
    let at = folded.rfind(" BY ")? + 1;
    let words: Vec<&str> = folded[at + 3..].split(' ').collect();
    let last = words
        .iter()
        .take(MOST_BEFORE_WHOM)
        .position(|word| words::list("by-whom").is(word.trim_matches([',', '.', ')', ';'])))?;
    let end = at + 2 + words[..=last].iter().map(|word| word.len() + 1).sum::<usize>();
    Some(folded[at..end].trim_end_matches([',', '.', ')', ';']))
}

/// `ALL HARDWARE US26D U.N.O.`, `Typical finish: 626`: what finish goods have that name none; never an item. `Finish: 626`
/// right below goods may be theirs. `CLOSER 689 UNLESS NOTED` is a closer: a note names hardware or its finish first, and
/// gives each of the goods that it names besides a finish of their own, `ALL HARDWARE 626 EXCEPT CLOSERS 689`.
pub(crate) fn is_finish_note(folded: &str, below_goods: bool) -> bool {
    let codes = codes(folded);
    if codes == 0 || starts_with_quantity(folded) || led_by_finish(folded) {
        return false;
    }
    let of_all = words::list("finish-of-all");
    let named = words::list("hardware").all(folded);
    let general = || {
        let first = words::list("finish-words").find(folded).or_else(|| of_all.find(folded));
        let goods: Vec<usize> =
            named.iter().filter(|name| !of_all.is(name)).map(|name| words::offset(folded, name)).collect();
        let leads = |first: &str| goods.iter().all(|at| *at > words::offset(folded, first));
        words::list("finish-general").find(folded).is_some() && first.is_some_and(leads) && codes > goods.len()
    };
    words::list("finish-words").begins(folded).is_some() && !below_goods || general()
}

/// How many words are codes of finishes, `626`, `US26D/626`.
pub(crate) fn codes(folded: &str) -> usize {
    let code = |word: &str| {
        let word = word.trim_matches(|sign: char| !sign.is_ascii_alphanumeric());
        word.len() > 2 && word.bytes().any(|byte| byte.is_ascii_digit()) && finish::look_of(word).is_some()
    };
    folded.split(' ').filter(|word| word.split('/').any(code)).count()
}

/// `ADD CLOSER PARALLEL ARM 689`: an item with its finish that was put to a set, without the word that says so. Where doors
/// are named it is none of the others'.
fn added(folded: &str) -> Option<&str> {
    let word = words::list("item-added").begins(folded)?;
    let rest = folded[word.len()..].trim_start_matches([' ', ':', '-']);
    let goods = words::list("goods").begins(rest).is_some()
        || starts_with_quantity(rest) && words::list("hardware").find(rest).is_some();
    (goods && codes(rest) > 0 && words::list("doors").find(rest).is_none()).then_some(rest)
}

/// `7 SETS`, `21 DOORS` alone: a sum at the end, no goods.
pub(crate) fn is_count_of_sets(folded: &str) -> bool {
    let counted = folded.trim_start_matches(|sign: char| sign.is_ascii_digit());
    let what = counted.trim_matches([' ', '.', ':']);
    counted.len() < folded.len()
        && (words::list("sets-counted").is(what) || words::list("doors").is(what) && what.ends_with('S'))
}

/// Whether a text says by whom and nothing else, `BY TILE CONTR`, and that it is not us.
pub(crate) fn is_by_whom(text: &str) -> bool {
    // The id of a set, as most cells that are asked about hold.
    text.len() > 3 && memo::once(&BY_WHOM, text, says_by_whom)
}

thread_local! {
    static BY_WHOM: Memo<bool> = Memo::default();
}

fn says_by_whom(text: &str) -> bool {
    let padded = format!(" {}", plain(text).trim_end_matches(['.', ')']).trim_start_matches('('));
    let whole = |words: &str| words.len() + 1 == padded.len();
    by_whom(&padded).is_some_and(whole) && words::list("by-us").find(&padded).is_none()
}

/// `OMIT KICK PLATE AT DOOR 111`, `SET ADDED BY ADDENDUM 2`, `NO SILENCERS REQUIRED`: rows under the goods of a set that say
/// something of the set, and go on from none of them.
pub(crate) fn is_set_note(folded: &str) -> bool {
    let behind = || {
        let last = folded.trim_end_matches(['.', ' ']).rsplit(' ').next().unwrap_or_default();
        words::list("denies-first").begins(folded).is_some() && words::list("set-note-behind").is(last)
    };
    // `Existing doors, frames and hardware to remain. Provide new:` leads to the goods that are new.
    let leads = || {
        let said = folded.trim_end_matches([':', '.', ' ']);
        words::list("state-of-goods").begins(said).is_some()
            && words::list("leads-to-new").ends(said).is_some()
            && words::list("doors").find(said).is_some()
            && words::list("goods").find(said).is_none()
    };
    let begun = words::list("set-note").begins(folded).is_some_and(|word| {
        let behind = &folded[word.len()..];
        behind.len() > 2 && !(words::list("set-note-verify").is(word) && super::setremark::gives_facts(behind))
    });
    !starts_with_quantity(folded) && (begun || behind() || leads()) && added(folded).is_none()
}

/// Whole sentences are notes: many words and a full stop, or a numbered note.
pub(crate) fn is_sentence(folded: &str) -> bool {
    let words = folded.split(' ').count();
    // `A. Finishes are …`, `1) …`
    let numbered = folded.split_once(['.', ')']).is_some_and(|(number, rest)| {
        number.len() <= 2
            && (number.bytes().all(|byte| byte.is_ascii_digit()) || number.len() == 1)
            && !number.is_empty()
            && rest.starts_with(' ')
    });
    words >= 6 && folded.ends_with('.')
        || numbered && words >= 4
        || words >= 16
        || folded.starts_with('*') && words >= 4
}

/// The sentences of a part: the dot of `ALUM. DOOR` ends none.
pub(crate) fn sentences(part: &str) -> Vec<&str> {
    let (mut found, mut from) = (Vec::new(), 0);
    for (at, _) in part.match_indices(". ") {
        let last = part[from..at].rsplit([' ', '(', '/', '&']).next().unwrap_or_default();
        if !words::list("abbreviated").is(last) {
            found.push(&part[from..at]);
            from = at + 2;
        }
    }
    found.push(&part[from..]);
    found
}

/// `KEYING: see specification`: a label of what is no good, with no good behind it.
pub(crate) fn is_labelled_note(folded: &str) -> bool {
    let label = words::list("set-note-label").begins(folded);
    let rest = label.and_then(|label| folded[label.len()..].strip_prefix(':'));
    // `HARDWARE BY TENANT: CARD ACCESS AND SIGNAGE`
    let whose = words::list("whose-label").begins(folded).map(|label| &folded[label.len()..]);
    rest.is_some_and(|rest| words::list("hardware").find(rest).is_none())
        || whose.is_some_and(|rest| rest.starts_with(':') && rest.len() > 2)
}

/// `3.06 ADJUSTING AND CLEANING` ends the sets; `1.01 | Hinges` is a good with its running number.
pub(crate) fn ends_sets(folded: &str) -> bool {
    is_spec_heading(folded) && (folded.contains("HARDWARE") || words::list("hardware").find(folded).is_none())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_of_lists_are_told_from_quantities_and_sentences() {
        for (text, sign) in [
            ("A. 3 Hinges", 3),
            ("1. Hinges (3)", 3),
            ("- 3 hinges", 2),
            ("\u{2022} wall stop", 4),
            ("12) Closer", 4),
            ("3 EA hinge", 0),
            ("1- LOCKSET", 0),
            ("4.5 x 4.5 hinge", 0),
            ("3.7 HARDWARE SETS", 0),
        ] {
            assert_eq!(marker(text), sign, "{text}");
        }
        assert_eq!(listed_item("A. Finishes are 626 unless noted."), None);
        assert_eq!(listed_item("2. Storeroom lock F86 (1), 626"), Some(3));
        for text in ["3.7 HARDWARE SETS", "3.06 ADJUSTING AND CLEANING", "2.03 LOCKS", "PART 3 - EXECUTION", "PART 2"] {
            assert!(is_spec_heading(text), "{text}");
        }
        for text in ["3 EA HINGE", "1.50 PR HINGES", "1.10 EACH CLOSER", "2.00 HINGES", "PART NO. 4", "PARTITION"] {
            assert!(!is_spec_heading(text), "{text}");
        }
        assert!(led_by_finish("FINISH 626 CLOSER") && led_by_finish("FIN: 630 KICK PLATE 10 X 34"));
        assert!(!led_by_finish("FINISH 626 CLOSERS") && !led_by_finish("FINISH: 626"));
    }

    #[test]
    fn quantities_in_words_are_seen() {
        for text in ["FIVE SILENCERS", "SEVEN HINGES", "TWELVE (12) SILENCERS", "A DOZEN SILENCERS"] {
            assert!(starts_with_quantity(text), "{text}");
        }
        for text in ["HALF MORTISE HINGE", "ELEVEN", "TENON PLATE"] {
            assert!(!starts_with_quantity(text), "{text}");
        }
        assert!(is_quantity("ELEVEN") && is_quantity("TEN"));
        assert!(is_quantity("3") && is_quantity("1-1/2 PR") && !is_quantity("NOTE: VERIFY") && !is_quantity("HINGES"));
    }
}
