//! One length in every notation, and what a number without a unit can be: feet and inches, inches, millimetres, metres.

use rust_decimal::Decimal;

use crate::trade::inches::Inches;

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

/// A number at a position: its value and where it ends.
pub(crate) fn number(text: &str, at: usize) -> Option<(Decimal, usize)> {
    let bytes = &text.as_bytes()[at..];
    let digits = bytes.iter().take_while(|byte| byte.is_ascii_digit()).count();
    let mut end = digits;
    if bytes.get(digits) == Some(&b'.') {
        let decimals = bytes[digits + 1..].iter().take_while(|byte| byte.is_ascii_digit()).count();
        if decimals > 0 {
            end = digits + 1 + decimals;
        }
    }
    // `44,5`, `926,5`: one figure behind a comma, and nothing that goes on with it, are decimals.
    if end == digits && digits >= 2 && bytes.get(digits) == Some(&b',') {
        let figures = bytes[digits + 1..].iter().take_while(|byte| byte.is_ascii_digit()).count();
        end += usize::from(figures == 1) * 2;
    }
    if end == 0 || end > 24 {
        return None;
    }
    let value = text[at..at + end].replace(',', ".").parse::<Decimal>().ok()?;
    Some((value, at + end))
}

/// A proper binary fraction `3/4` at a position.
pub(crate) fn fraction(text: &str, at: usize) -> Option<(Decimal, usize)> {
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
pub(crate) fn length(text: &str, at: usize, axis: Axis) -> Option<(Length, usize)> {
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
        // Beside a height in millimetres a narrow leaf of 300 is millimetres too, and 91 is 915 with a digit lost.
        (Length::Bare(value), Length::Bare(tall)) if tall >= Decimal::from(500) && value >= Decimal::from(16) => {
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
