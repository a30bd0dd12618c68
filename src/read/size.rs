//! Door sizes in every notation: feet and inches, inches, millimetres, metres, digit codes, pairs.
//! `3-0 x 7-0`, `3'-0" x 7'-0"`, `3070`, `PR 3070`, `36 x 84`, `915 x 2134`, `3-0/2-0 x 7-0`.

use rust_decimal::Decimal;

use crate::trade::inches::Inches;

use super::words::{self, plain};

/// Which side of a door a length is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Axis {
    /// Width of a leaf or opening.
    Width,
    /// Height.
    Height,
    /// Thickness.
    Thickness,
}

/// A length as written: settled, or a bare number whose unit its neighbours tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Length {
    /// Unit written or implied by the notation.
    Settled(Inches),
    /// A number without unit.
    Bare(Decimal),
}

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
}

/// Reads a cell that gives a whole size.
pub(crate) fn parse_size(text: &str) -> Option<Size> {
    let plain = plain(text);
    if plain.len() > 80 || !plain.bytes().any(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let (leaves, rest) = pair_words(&plain);
    let mut size = code(&rest).or_else(|| whole(&rest)).or_else(|| inside(&rest))?;
    size.leaves = size.leaves.or(leaves).or_else(|| size.second.map(|_| 2));
    Some(size)
}

/// Reads a cell that gives one length.
pub(crate) fn parse_length(text: &str, axis: Axis) -> Option<Length> {
    let plain = plain(text);
    if plain.is_empty() || plain.len() > 40 {
        return None;
    }
    let (_, rest) = pair_words(&plain);
    let (length, end) = length(&rest, 0, axis)?;
    let tail = rest[end..].trim().trim_matches(|letter: char| ".()*+-".contains(letter));
    (tail.is_empty() || matches!(tail, "W" | "H" | "WIDE" | "HIGH" | "NOM" | "NOMINAL" | "TYP" | "T" | "V I F" | "VIF"))
        .then_some(length)
}

/// Two lengths written into one width cell: `3-0/2-0`, `1200 + 1200`.
pub(crate) fn parse_two_widths(text: &str) -> Option<(Length, Length)> {
    let plain = plain(text);
    let (_, rest) = pair_words(&plain);
    let (first, end) = length(&rest, 0, Axis::Width)?;
    let (second, end) = second_width(&rest, end)?;
    rest[end..].trim().is_empty().then_some((first, second))
}

/// Whether the words of a cell say pair (2) or single (1), and the text without them.
fn pair_words(text: &str) -> (Option<u32>, String) {
    let mut leaves = None;
    let mut rest = text.to_string();
    for mark in ["(2)", "2 @ ", "2@", "(PR)", "(PAIR)", "(2X)", "2X ("] {
        if rest.contains(mark) {
            leaves = Some(2);
            rest = rest.replacen(mark, if mark == "2X (" { " (" } else { " " }, 1);
        }
    }
    // `2(3'-0")`: so many leaves of that width.
    if let Some(inner) = rest.strip_prefix("2(").or_else(|| rest.strip_prefix("2 (")) {
        leaves = Some(2);
        rest = inner.replacen(')', "", 1);
    }
    if let Some(word) = words::list("pair").find(&rest) {
        leaves = Some(2);
        rest = rest.replacen(&word.to_string(), " ", 1).replace(" OF ", " ");
    } else if let Some(word) = words::list("single").find(&rest) {
        leaves = leaves.or(Some(1));
        rest = rest.replacen(&word.to_string(), " ", 1);
    }
    (leaves, rest.trim().trim_start_matches([':', '-', ',']).trim().to_string())
}

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
            && width >= Inches::feet(1, 0)
            && !readings.contains(&(width, height))
        {
            readings.push((width, height));
        }
    }
    let (width, height) = *readings.first()?;
    let mut other = readings.get(1).copied();
    if digits == 4 {
        let (wide, high) = (figures[0] * 10 + figures[1], figures[2] * 10 + figures[3]);
        // Heights that are also sold in whole inches; a 90 in height is rare beside 9-0.
        if (18..=60).contains(&wide) && [78, 79, 80, 82, 84, 96].contains(&high) {
            other = Some((Inches::whole(wide), Inches::whole(high)));
        }
    }
    Some(Size { width: Some(width), height: Some(height), thickness, other, ..Size::default() })
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

/// A number at a position: its value and where it ends.
fn number(text: &str, at: usize) -> Option<(Decimal, usize)> {
    let bytes = &text.as_bytes()[at..];
    let digits = bytes.iter().take_while(|byte| byte.is_ascii_digit()).count();
    let mut end = digits;
    if bytes.get(digits) == Some(&b'.') {
        let decimals = bytes[digits + 1..].iter().take_while(|byte| byte.is_ascii_digit()).count();
        if decimals > 0 {
            end = digits + 1 + decimals;
        }
    }
    if end == 0 || end > 24 {
        return None;
    }
    let value = text[at..at + end].parse::<Decimal>().ok()?;
    Some((value, at + end))
}

/// A proper binary fraction `3/4` at a position.
fn fraction(text: &str, at: usize) -> Option<(Decimal, usize)> {
    let (top, end) = number(text, at)?;
    let rest = text.get(end..)?.strip_prefix('/')?;
    let (bottom, end) = number(text, text.len() - rest.len())?;
    let binary = [2, 4, 8, 16, 32, 64].iter().any(|known| Decimal::from(*known) == bottom);
    (binary && top < bottom && top > Decimal::ZERO && top.is_integer()).then(|| (top / bottom, end))
}

fn skip_spaces(text: &str, at: usize) -> usize {
    at + text[at..].bytes().take_while(|byte| *byte == b' ').count()
}

fn after_sign(text: &str, at: usize, signs: &[&str]) -> Option<usize> {
    let at = skip_spaces(text, at);
    signs.iter().find(|sign| text[at..].starts_with(**sign)).map(|sign| at + sign.len())
}

const FEET: &[&str] = &["'", "FT.", "FT", "FEET"];
const INCHES: &[&str] = &["\"", "''", "INCHES", "INCH", "IN.", "IN"];

/// One length at a position, and where it ends.
fn length(text: &str, at: usize, axis: Axis) -> Option<(Length, usize)> {
    let at = skip_spaces(text, at);
    let at = if text[at..].starts_with('(') { skip_spaces(text, at + 1) } else { at };
    if let Some((part, end)) = fraction(text, at)
        && axis == Axis::Thickness
    {
        let end = after_sign(text, end, INCHES).unwrap_or(end);
        return Some((Length::Settled(Inches::new(part)), end));
    }
    let (first, end) = number(text, at)?;
    if !text[end..].starts_with("''")
        && let Some(end) = after_sign(text, end, FEET)
    {
        return Some(feet_and_more(text, first, end));
    }
    if let Some(done) = metric(text, first, end) {
        return Some(done);
    }
    // `35-3/4`, `35 3/4`, `1-3/4"`
    for sign in ["-", " "] {
        if text[end..].starts_with(sign)
            && let Some((part, end)) = fraction(text, skip_spaces(text, end + 1))
            && !(sign == "-" && axis != Axis::Thickness && first < Decimal::from(10))
        {
            let end = after_sign(text, end, INCHES).unwrap_or(end);
            return Some((Length::Settled(Inches::new(first.checked_add(part)?)), end));
        }
    }
    if axis != Axis::Thickness
        && first.is_integer()
        && first <= Decimal::from(20)
        && let Some(done) = dash_feet(text, first, end)
    {
        return Some(done);
    }
    if let Some(end) = after_sign(text, end, INCHES) {
        return Some((Length::Settled(Inches::new(first)), end));
    }
    Some((Length::Bare(first), end))
}

/// After the feet sign: `-0"`, ` 8"`, `-8 1/2"`, or nothing.
fn feet_and_more(text: &str, feet: Decimal, end: usize) -> (Length, usize) {
    let mut inches = feet * Decimal::from(12);
    let from = end + text[end..].bytes().take_while(|byte| *byte == b' ' || *byte == b'-').count();
    let mut end = end;
    if let Some((part, after)) = fraction(text, from) {
        inches += part;
        end = after_sign(text, after, INCHES).unwrap_or(after);
    } else if let Some((more, after)) = number(text, from)
        && more < Decimal::from(12)
    {
        inches += more;
        end = after;
        let next = end + text[end..].bytes().take_while(|byte| *byte == b' ' || *byte == b'-').count();
        if next > end
            && let Some((part, after)) = fraction(text, next)
        {
            inches += part;
            end = after;
        }
        // A wrong mark after the inches (`6' 0'`) still closes them.
        end = after_sign(text, end, INCHES).or_else(|| text[end..].starts_with('\'').then_some(end + 1)).unwrap_or(end);
    }
    (Length::Settled(Inches::new(inches)), end)
}

/// `3-0`, `3/0`, `2-11 3/4`.
fn dash_feet(text: &str, feet: Decimal, end: usize) -> Option<(Length, usize)> {
    let from = match text.as_bytes().get(end)? {
        b'-' | b'/' => end + 1,
        b' ' if text[end..].starts_with(" - ") => end + 3,
        _ => return None,
    };
    // `4-1/2` is four and a half inches, the size of a hinge; `3-0/2-0` is two leaves.
    if fraction(text, from).is_some_and(|(_, end)| !text[end..].starts_with('-')) {
        return None;
    }
    let (inches, mut end) = number(text, from)?;
    if inches > Decimal::from(11) || feet.is_zero() {
        return None;
    }
    let mut total = feet * Decimal::from(12) + inches;
    if text[end..].starts_with([' ', '-'])
        && let Some((part, after)) = fraction(text, end + 1)
    {
        total += part;
        end = after;
    }
    let end = after_sign(text, end, INCHES).unwrap_or(end);
    Some((Length::Settled(Inches::new(total)), end))
}

fn metric(text: &str, value: Decimal, end: usize) -> Option<(Length, usize)> {
    for (sign, millimetres) in [("MM", 1), ("CM", 10), ("M", 1000)] {
        if let Some(after) = after_sign(text, end, &[sign])
            && !text[after..].starts_with(|letter: char| letter.is_alphanumeric())
        {
            return Some((Length::Settled(from_millimetres(value.checked_mul(Decimal::from(millimetres))?)), after));
        }
    }
    None
}

/// Millimetres as nominal inches: the nearest inch when within 2 mm of it (915 is 36, 2134 and 2135 are 84).
fn from_millimetres(millimetres: Decimal) -> Inches {
    let exact = millimetres / Decimal::new(254, 1);
    let whole = exact.round();
    let off = (exact - whole).abs();
    if off * Decimal::new(254, 1) <= Decimal::from(2) && millimetres >= Decimal::from(300) {
        Inches::new(whole)
    } else {
        Inches::new(exact.round_dp(4))
    }
}

/// A bare number by what it can be alone.
pub(crate) fn settle(length: Length, axis: Axis) -> Option<Inches> {
    let value = match length {
        Length::Settled(inches) => return Some(inches),
        Length::Bare(value) => value,
    };
    let between = |low: i64, high: i64| value >= Decimal::from(low) && value <= Decimal::from(high);
    match axis {
        Axis::Thickness if value <= Decimal::from(4) && value > Decimal::ZERO => Some(Inches::new(value)),
        // 44 and 45 mm are the 1-3/4 in door, 35 mm the 1-3/8 in one.
        Axis::Thickness if between(43, 46) => Some(Inches::new(Decimal::new(175, 2))),
        Axis::Thickness if between(34, 36) => Some(Inches::new(Decimal::new(1375, 3))),
        Axis::Thickness if between(16, 120) => Some(from_millimetres(value)),
        Axis::Thickness => None,
        _ if between(500, 9999) => Some(from_millimetres(value)),
        Axis::Width if between(16, 240) => Some(Inches::new(value)),
        Axis::Height if between(48, 240) => Some(Inches::new(value)),
        Axis::Width if value >= Decimal::new(15, 1) && value < Decimal::from(16) => Some(from_feet(value)),
        Axis::Width if value >= Decimal::new(4, 1) && value < Decimal::new(15, 1) => Some(from_metres(value)),
        Axis::Height if between(5, 14) => Some(from_feet(value)),
        Axis::Height if value >= Decimal::new(15, 1) && value < Decimal::from(5) => Some(from_metres(value)),
        _ => None,
    }
}

fn from_feet(feet: Decimal) -> Inches {
    // 6.66666666666667 feet are 80 inches: a float's tail is cut at a thousandth.
    Inches::new((feet * Decimal::from(12)).round_dp(3))
}

fn from_metres(metres: Decimal) -> Inches {
    from_millimetres(metres * Decimal::from(1000))
}

/// Width and height together: the height tells the unit of the width.
pub(crate) fn settle_both(width: Length, height: Length) -> Option<(Inches, Inches)> {
    let high = settle(height, Axis::Height)?;
    let wide = match (width, height) {
        // Beside a height in millimetres a narrow leaf of 300 is millimetres too.
        (Length::Bare(value), Length::Bare(tall)) if tall >= Decimal::from(500) && value >= Decimal::from(150) => {
            from_millimetres(value)
        }
        (Length::Bare(value), Length::Bare(tall)) if value < Decimal::from(16) && tall < Decimal::from(5) => {
            from_metres(value)
        }
        (Length::Bare(value), Length::Bare(tall)) if value < Decimal::from(16) && tall < Decimal::from(16) => {
            from_feet(value)
        }
        _ => settle(width, Axis::Width)?,
    };
    Some((wide, high))
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
        for (text, other) in [("3680", (36, 80)), ("3684", (36, 84)), ("3080", (30, 80)), ("4296", (42, 96))] {
            assert_eq!(
                parse_size(text).unwrap().other,
                Some((Inches::whole(other.0), Inches::whole(other.1))),
                "{text}"
            );
        }
        for text in ["3070", "3068", "2868", "3090"] {
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
