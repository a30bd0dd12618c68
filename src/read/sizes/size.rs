//! Door sizes in every notation: feet and inches, inches, millimetres, metres, digit codes, pairs.
//! `3-0 x 7-0`, `3'-0" x 7'-0"`, `3070`, `PR 3070`, `36 x 84`, `915 x 2134`, `3-0/2-0 x 7-0`.

use rust_decimal::Decimal;

use crate::trade::inches::Inches;

use super::leaves::{moved_up, pair_words};
use super::length::length;
pub(crate) use super::length::{Axis, Length, settle, settle_both};
use crate::read::memo::{self, Memo};
use crate::read::words::{self, plain};

/// What a size cell says.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Size {
    /// 2 when the cell says pair, 1 when it says single.
    pub leaves: Option<u32>,
    /// First dimension as written: of the leaf or of the opening.
    pub width: Option<Inches>,
    /// Second width of an unequal pair.
    pub second: Option<Inches>,
    /// Height.
    pub height: Option<Inches>,
    /// Thickness.
    pub thickness: Option<Inches>,
    /// The other reading of an unseparated code: `3680` as 36 x 80.
    pub other: Option<(Inches, Inches)>,
    /// A second width that may be no second leaf: nothing says pair.
    pub beside: Option<Beside>,
    /// Such a code was taken for inches: `3684`, since doors 8-4 high are not usual and those of 84 in are.
    pub by_inches: bool,
}

/// A width that is added to a size without a word for a pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Beside {
    /// To the width, `3'-0" + 1'-6" x 7'-0"`: a second leaf or a sidelight; `second` holds it.
    Width,
    /// Behind the height, `900 x 2100 + 300`: a transom, a sidelight or a second leaf.
    Behind(Inches),
}

/// Reads a cell that gives a whole size.
pub(crate) fn parse_size(text: &str) -> Option<Size> {
    memo::once(&SIZES, text, size_of)
}

thread_local! {
    static SIZES: Memo<Option<Size>> = Memo::default();
    static WIDTHS: Memo<Option<Length>> = Memo::default();
    static HEIGHTS: Memo<Option<Length>> = Memo::default();
    static THICKNESSES: Memo<Option<Length>> = Memo::default();
    static TWO: Memo<Option<(Length, Length)>> = Memo::default();
}

fn size_of(text: &str) -> Option<Size> {
    let plain = plain(text);
    if plain.len() > 80 || !plain.bytes().any(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let (leaves, rest) = pair_words(&plain);
    let pair = leaves == Some(2);
    // What is added to a size may be a transom or a second leaf; without a word for a pair that is asked.
    let added = moved_up(&rest);
    let behind = added.is_some();
    let rest = added.unwrap_or(rest);
    let mut size = code(&rest).or_else(|| two_codes(&rest)).or_else(|| whole(&rest)).or_else(|| inside(&rest))?;
    if let Some(second) = size.second.filter(|_| !pair) {
        // `3070 & 3070` may be two doors of that size, `3-0/2-0` is the usual way to write a pair.
        let codes = size.width == size.second && !rest.contains('X');
        if behind || codes {
            (size.second, size.beside) = (None, Some(Beside::Behind(second)));
        } else if size.width != size.second && rest.contains(['+', '&']) {
            size.beside = Some(Beside::Width);
        }
    }
    size.leaves = size.leaves.or(leaves).or_else(|| size.second.map(|_| 2));
    Some(size)
}

/// Reads a cell that gives one length.
pub(crate) fn parse_length(text: &str, axis: Axis) -> Option<Length> {
    let memo = match axis {
        Axis::Width => &WIDTHS,
        Axis::Height => &HEIGHTS,
        Axis::Thickness => &THICKNESSES,
    };
    memo::once(memo, text, |text| length_of(text, axis))
}

fn length_of(text: &str, axis: Axis) -> Option<Length> {
    let plain = plain(text);
    if plain.is_empty() || plain.len() > 40 {
        return None;
    }
    let (_, rest) = pair_words(&plain);
    let (length, end) = length(&rest, 0, axis)?;
    let tail = rest[end..].trim().trim_matches(|letter: char| ".()*+-".contains(letter));
    // `3'-0" x`: the height stands in the next column.
    let crossed = tail == "X" && axis == Axis::Width;
    (tail.is_empty() || crossed || words::list("behind-a-length").is(tail)).then_some(length)
}

/// Two lengths written into one width cell: `3-0/2-0`, `1200 + 1200`.
pub(crate) fn parse_two_widths(text: &str) -> Option<(Length, Length)> {
    memo::once(&TWO, text, two_widths)
}

fn two_widths(text: &str) -> Option<(Length, Length)> {
    let plain = plain(text);
    let (_, rest) = pair_words(&plain);
    let (first, end) = length(&rest, 0, Axis::Width)?;
    let (second, end) = second_width(&rest, end)?;
    rest[end..].trim().is_empty().then_some((first, second))
}

/// Wider openings are not written in bare figures: `21070` is no door of 21 ft.
const WIDEST_OF_CODE: Inches = Inches::whole(144);

/// Unseparated digits: `3070`, `21070`, `30710`, `210710`, perhaps with a thickness after them.
fn code(text: &str) -> Option<Size> {
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    if !(4..=6).contains(&digits) {
        return None;
    }
    let rest = text[digits..].trim();
    let thickness = match rest.strip_prefix(['X', '-']) {
        Some(more) => {
            let (length, end) = length(more, 0, Axis::Thickness)?;
            if !more[end..].trim().is_empty() {
                return None;
            }
            Some(settle(length, Axis::Thickness)?)
        }
        None if rest.is_empty() => None,
        None => return None,
    };
    let figures: Vec<i64> = text[..digits].bytes().map(|byte| i64::from(byte - b'0')).collect();
    let mut readings = Vec::new();
    for (a, b, c, d) in
        [(1, 1, 1, 1), (1, 2, 1, 1), (1, 1, 1, 2), (1, 1, 2, 1), (2, 1, 1, 1), (1, 2, 1, 2), (1, 2, 2, 1), (2, 1, 2, 1)]
    {
        if a + b + c + d == digits
            && let (Some(width), Some(height)) = (
                feet_inches(&figures[..a], &figures[a..a + b]),
                feet_inches(&figures[a + b..a + b + c], &figures[a + b + c..]),
            )
            && (Inches::feet(6, 0)..=Inches::feet(10, 0)).contains(&height)
            && (Inches::feet(1, 0)..=WIDEST_OF_CODE).contains(&width)
            && !readings.contains(&(width, height))
        {
            readings.push((width, height));
        }
    }
    let (mut width, mut height) = *readings.first()?;
    let mut other = readings.get(1).copied();
    let mut by_inches = false;
    if digits == 4 {
        let (wide, high) = (figures[0] * 10 + figures[1], figures[2] * 10 + figures[3]);
        // Heights that are also sold in whole inches; a 90 in height is rare beside 9-0.
        if (18..=60).contains(&wide) && [78, 79, 80, 82, 84, 96].contains(&high) {
            other = Some((Inches::whole(wide), Inches::whole(high)));
            // Of these 80 alone is a usual height in feet and inches too: 8-0.
            by_inches = high != 80;
        }
        if let (true, Some(inches)) = (by_inches, other) {
            other = Some((width, height));
            (width, height) = inches;
        }
    }
    Some(Size { width: Some(width), height: Some(height), thickness, other, by_inches, ..Size::default() })
}

/// `3070 + 1070`: two leaves of one height.
fn two_codes(text: &str) -> Option<Size> {
    let (first, second) = text.split_once(['+', '&'])?;
    let (first, second) = (code(first.trim())?, code(second.trim())?);
    (first.height == second.height && second.width.is_some()).then_some(Size { second: second.width, ..first })
}

fn feet_inches(feet: &[i64], inches: &[i64]) -> Option<Inches> {
    let number = |figures: &[i64]| figures.iter().fold(0, |sum, figure| sum * 10 + figure);
    let (feet_value, inches_value) = (number(feet), number(inches));
    let two_feet = feet.len() == 2 && feet_value < 10;
    let two_inches = inches.len() == 2 && !(10..=11).contains(&inches_value);
    (!two_feet && !two_inches && inches_value <= 11).then(|| Inches::feet(feet_value, inches_value))
}

/// The whole text is width x height, perhaps x thickness.
fn whole(text: &str) -> Option<Size> {
    let (size, end) = dimensions(text, 0)?;
    let tail = text[end..].trim().trim_matches(|letter: char| ".()*,-;".contains(letter)).trim();
    // A word or two after the size (`NOM`, `TYP.`, `DUTCH`) says nothing against it; more figures do.
    (!tail.bytes().any(|byte| byte.is_ascii_digit()) && tail.len() <= 24).then_some(size)
}

/// A size inside a name or sentence: `DT12_1010x2185_RH`, `Single-Flush: 36" x 84"`.
fn inside(text: &str) -> Option<Size> {
    let bytes = text.as_bytes();
    (1..bytes.len())
        .filter(|at| bytes[*at].is_ascii_digit() && !matches!(bytes[at - 1], b'0'..=b'9' | b'.' | b'/' | b'-' | b'\''))
        .find_map(|at| dimensions(text, at).map(|(size, _)| size))
        .filter(|size| size.height.is_some_and(|height| height >= Inches::whole(48)))
}

/// Width x height x thickness from a position on.
fn dimensions(text: &str, at: usize) -> Option<(Size, usize)> {
    let (first, mut end) = length(text, at, Axis::Width)?;
    let mut second = None;
    if let Some((length, after)) = second_width(text, end) {
        second = Some(length);
        end = after;
    }
    let after = cross(text, end)?;
    let (high, mut end) = length(text, after, Axis::Height)?;
    let mut thickness = None;
    if let Some(after) = cross(text, end)
        && let Some((length, after)) = length(text, after, Axis::Thickness)
    {
        thickness = settle(length, Axis::Thickness);
        end = after;
    }
    let (width, height) = settle_both(first, high)?;
    let second = match second {
        Some(length) => Some(settle_both(length, high)?.0),
        None => None,
    };
    Some((Size { width: Some(width), height: Some(height), second, thickness, ..Size::default() }, end))
}

/// `+ 2-0`, `/2-0`, `& 2-0`: the second leaf.
fn second_width(text: &str, at: usize) -> Option<(Length, usize)> {
    let rest = &text[at..];
    let trimmed = rest.trim_start();
    let after = trimmed.strip_prefix(['+', '/', '&'])?;
    length(text, at + (rest.len() - after.len()), Axis::Width)
}

/// The sign between two dimensions.
fn cross(text: &str, at: usize) -> Option<usize> {
    let rest = &text[at..];
    let trimmed = rest.trim_start_matches([' ', 'W', '(', ')', ','].as_slice());
    let after = trimmed.strip_prefix(['X', '*']).or_else(|| trimmed.strip_prefix("BY "))?;
    Some(at + rest.len() - after.len())
}

/// What a width means on a pair: the whole opening, and each leaf.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Pair {
    /// Width of the opening.
    pub opening: Inches,
    /// The leaves, active first.
    pub leaves: Vec<Inches>,
    /// The width may mean two unequal leaves, or may be read the other way.
    pub doubtful: bool,
}

/// A single width given for a pair: `6070 PR` is the opening, `PR 3070` a leaf. The opening when it is at least 5-0 and a
/// leaf would be wider than 4-0.
pub(crate) fn pair_of(width: Inches) -> Pair {
    let half = |whole: Inches| Inches::new(whole.decimal() / Decimal::from(2));
    if width > Inches::feet(4, 0) {
        // 5-0 is two leaves of 2-6, or as often 3-0 and 2-0; below 5-0 neither reading is usual.
        let doubtful = width <= Inches::feet(5, 0);
        return Pair { opening: width, leaves: vec![half(width), half(width)], doubtful };
    }
    Pair { opening: width * 2, leaves: vec![width, width], doubtful: false }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inches(text: &str) -> Option<(String, String)> {
        parse_size(text).map(|size| (size.width.unwrap().to_string(), size.height.unwrap().to_string()))
    }

    /// The notations of door sizes in trade use: digit pairs, feet and inches, inches, millimetres, metres.
    #[test]
    fn every_notation_of_a_single_is_read() {
        for text in [
            "3070",
            "3-0 x 7-0",
            "3'-0\" x 7'-0\"",
            "3/0 x 7/0",
            "3'0 X 7'0",
            "36 x 84",
            "36\" x 84\"",
            "36X84",
            "915 x 2134",
            "915 x 2135",
            "0.915 x 2.134",
            "3' - 0\" x 7' - 0\"",
            "3\u{2018} 0\u{201c} x 7\u{2019}0\u{201d}",
            "3' x 7'",
            "36 in. x 84 in.",
            "Single-Flush: 36\" x 84\"",
            "3'-0\"W x 7'-0\"H",
            "3-0x7-0x1-3/4",
            "3070 x 1-3/4",
            "3.0 x 7.0",
            "915mm x 2134mm",
            "SGL 3070",
            "1 SGL 3070 x 1-3/4",
            "3'-0\u{201d} \u{d7} 7'-0\u{201d}",
        ] {
            assert_eq!(inches(text), Some(("36".into(), "84".into())), "{text}");
        }
        assert_eq!(inches("21070"), Some(("34".into(), "84".into())));
        assert_eq!(inches("30710"), Some(("36".into(), "94".into())));
        assert_eq!(inches("210710"), Some(("34".into(), "94".into())));
        assert_eq!(inches("30100"), Some(("36".into(), "120".into())));
        assert_eq!(inches("6' 0\" x 6'8\""), Some(("72".into(), "80".into())));
        assert_eq!(inches("4' - 4 25/32\" x 7'-2\""), Some(("52.78125".into(), "86".into())));
        assert_eq!(inches("DT12_1010x2185_RH").map(|size| size.1), Some("86".into()));
        assert_eq!(inches("926,5 x 2134"), inches("926.5 x 2134"), "a comma parts the decimals");
        assert_eq!(inches("2/8 x 6/8"), Some(("32".into(), "80".into())));
        assert_eq!(inches("3/4 x 7/0"), Some(("40".into(), "84".into())));
        for text in ["SEE PLAN", "F1", "HM-1", "2134", "90 MIN", "A", "", "5-1/2 x"] {
            assert_eq!(inches(text), None, "{text}");
        }
    }

    #[test]
    fn pairs_are_openings_or_leaves_by_their_width() {
        for (text, opening) in [
            ("6070 PR", 72),
            ("PR 3070", 72),
            ("(2) 3070", 72),
            ("3070 PR", 72),
            ("PAIR 3-0 x 7-0", 72),
            ("2(3'-0\") x 7'-0\"", 72),
            ("8080 PR", 96),
            ("1 PR 3070", 72),
            ("1 PR 3070 x 1-3/4", 72),
            ("2/3070", 72),
            ("2-3070", 72),
            ("2 - 3'-0 x 7'-0", 72),
        ] {
            let size = parse_size(text).unwrap();
            assert_eq!(size.leaves, Some(2), "{text}");
            assert_eq!(pair_of(size.width.unwrap()).opening, Inches::whole(opening), "{text}");
        }
        for text in ["3-0/2-0 x 7-0", "3-0 + 2-0 x 7-0"] {
            let size = parse_size(text).unwrap();
            assert_eq!(
                (size.width, size.second, size.leaves),
                (Some(Inches::whole(36)), Some(Inches::whole(24)), Some(2)),
                "{text}"
            );
        }
        let metric = parse_size("900 + 300 x 2100").unwrap();
        assert!(metric.second.is_some() && metric.leaves == Some(2));
        assert!(pair_of(Inches::whole(60)).doubtful);
    }

    #[test]
    fn unseparated_codes_that_may_be_inches_keep_both_readings() {
        for (text, other) in [("3680", (36, 80)), ("3684", (42, 100)), ("3080", (30, 80)), ("4296", (50, 114))] {
            assert_eq!(
                parse_size(text).unwrap().other,
                Some((Inches::whole(other.0), Inches::whole(other.1))),
                "{text}"
            );
        }
        assert_eq!(parse_size("3684").unwrap().height, Some(Inches::whole(84)));
        for text in ["3070", "3068", "2868", "3090", "21070", "30710"] {
            assert_eq!(parse_size(text).unwrap().other, None, "{text}");
        }
    }

    #[test]
    fn single_lengths_are_read_by_their_axis() {
        let one = |text, axis| {
            parse_length(text, axis).and_then(|length| settle(length, axis)).map(|inches| inches.to_string())
        };
        for (text, value) in [
            ("3'-0\"", "36"),
            ("3-0", "36"),
            ("36", "36"),
            ("36\"", "36"),
            ("0.9", "35.4331"),
            ("915", "36"),
            ("3.0", "36"),
            ("35 3/4\"", "35.75"),
            ("2-11 3/4", "35.75"),
            ("3/4", "40"),
        ] {
            assert_eq!(one(text, Axis::Width).as_deref(), Some(value), "{text}");
        }
        for (text, value) in [
            ("6.66666666666667", "80"),
            ("7'-0\"", "84"),
            ("84", "84"),
            ("2134", "84"),
            ("2.1", "82.6772"),
            ("7", "84"),
        ] {
            assert_eq!(one(text, Axis::Height).as_deref(), Some(value), "{text}");
        }
        for (text, value) in [
            ("1-3/4", "1.75"),
            ("1 3/4\"", "1.75"),
            ("1\u{be}\"", "1.75"),
            ("44", "1.75"),
            ("45mm", "1.7717"),
            ("3/4\"", "0.75"),
            ("1.75", "1.75"),
        ] {
            assert_eq!(one(text, Axis::Thickness).as_deref(), Some(value), "{text}");
        }
    }
}
