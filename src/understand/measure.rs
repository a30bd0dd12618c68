//! Reads lengths in every notation of the trade: 4-1/2, 4 1/2, 4.5", 3'-0", 3' - 0 1/2", 3/4, 36 in, 900 mm, and the
//! bare numbers that only their surroundings make a length. Exact; nothing is rounded but millimetres.

use rust_decimal::Decimal;

use super::roles::{Role, Roles};
use super::token::{Kind, Token};
use crate::trade::inches::Inches;

/// A length as it was written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// The length.
    pub value: Inches,
    /// A sign or word says that it is a length: an inch or foot mark, in, ft, mm, or a fraction.
    pub marked: bool,
    /// The text has a fraction.
    pub fraction: bool,
    /// Written in millimetres and turned to inches.
    pub metric: bool,
}

impl Measured {
    fn bare(value: Decimal) -> Self {
        Measured { value: Inches::new(value), marked: false, fraction: false, metric: false }
    }

    fn of(value: Inches) -> Self {
        Measured { value, marked: true, fraction: false, metric: false }
    }
}

/// What begins with a number. Many grammars ask for it, so it is read once for every number of a line.
#[derive(Debug, Clone, Copy)]
pub struct Figures {
    /// The number with its fraction, whether it has one, and the token behind.
    pub number: (Decimal, bool, usize),
    /// The number as a length, and the token behind.
    pub length: (Measured, usize),
}

/// Reads what begins with a number at a token.
pub fn figures(roles: &Roles, text: &str, tokens: &[Token], at: usize) -> Option<Figures> {
    let number = with_comma(roles, text, tokens, at).or_else(|| mixed(text, tokens, at))?;
    let length = feet(text, tokens, number).unwrap_or_else(|| length(roles, tokens, &tokens[at], number));
    Some(Figures { number, length })
}

/// `125 x 12,5 mm`, `4,5 x 4,5`: a comma parts the decimals before a unit of length, or on both sides of a size.
fn with_comma(roles: &Roles, text: &str, tokens: &[Token], at: usize) -> Option<(Decimal, bool, usize)> {
    let (amount, next) = decimal_comma(text, tokens, at)?;
    let does = |at: usize, wanted: &[Role]| tokens.get(at).is_some_and(|token| roles.does_any(token, wanted));
    let unit = does(next, &[Role::Inch, Role::Millimetre]) || tokens.get(next).is_some_and(|token| token.is('"'));
    // "4 x 16,10 ctc": a comma behind one side alone parts the size from what follows.
    let before = at.checked_sub(4).and_then(|before| decimal_comma(text, tokens, before));
    let side = before.is_some_and(|(_, behind)| behind + 1 == at && does(behind, &[Role::Times]));
    let both = does(next, &[Role::Times]) && decimal_comma(text, tokens, next + 1).is_some();
    (unit || side || both).then_some((amount, false, next))
}

/// Reads the length that begins at a token; gives the token behind it.
pub fn measure(roles: &Roles, text: &str, tokens: &[Token], at: usize) -> Option<(Measured, usize)> {
    figures(roles, text, tokens, at).map(|figures| figures.length)
}

/// A number as a length, with the mark or word behind it; gives the token behind.
fn length(
    roles: &Roles,
    tokens: &[Token],
    first: &Token,
    (number, fraction, mut next): (Decimal, bool, usize),
) -> (Measured, usize) {
    let measured = Measured { fraction, marked: fraction, ..Measured::bare(number) };
    next += usize::from(hyphened(roles, tokens, next));
    let marked = Measured { marked: true, ..measured };
    let Some(behind) = tokens.get(next).filter(|token| token.part == first.part) else { return (measured, next) };
    if behind.is('"') {
        return (marked, next + 1);
    }
    if quotes(tokens, next) {
        return (marked, next + 2);
    }
    in_unit(roles, tokens, (number, fraction), next).unwrap_or((measured, next))
}

/// A number before a word of a unit of length, and the token behind that: "5 inch", "three ft.", "900 mm".
pub fn in_unit(
    roles: &Roles,
    tokens: &[Token],
    (number, fraction): (Decimal, bool),
    next: usize,
) -> Option<(Measured, usize)> {
    let word = tokens.get(next).filter(|token| token.kind == Kind::Word)?;
    if !roles.does_any(word, &[Role::Inch, Role::Foot, Role::Millimetre]) {
        return None;
    }
    let does = |role| roles.does(word, role);
    let measured = if does(Role::Inch) {
        Measured { fraction, ..Measured::of(Inches::new(number)) }
    } else if does(Role::Foot) {
        Measured::of(Inches::new(number * Decimal::from(12)))
    } else {
        return Some((Measured { metric: true, ..Measured::of(from_millimetres(number)) }, next + 1));
    };
    let point = tokens.get(next + 1).is_some_and(|token| token.is('.') && !token.gap);
    Some((measured, next + 1 + usize::from(point)))
}

/// 25.4 mm to the inch; a sixteenth is finer than any such size is meant.
pub fn from_millimetres(number: Decimal) -> Inches {
    Inches::new((number / Decimal::new(254, 1) * Decimal::from(16)).round() / Decimal::from(16))
}

/// 10-inch, 6-ft: a hyphen ties the number to the word of its measure.
fn hyphened(roles: &Roles, tokens: &[Token], at: usize) -> bool {
    let unit = |token: &Token| roles.does_any(token, &[Role::Inch, Role::Foot, Role::Millimetre]);
    tokens.get(at).is_some_and(|token| token.is('-') && !token.gap)
        && tokens.get(at + 1).is_some_and(|word| !word.gap && unit(word))
}

/// Two single quotes written for an inch mark.
fn quotes(tokens: &[Token], at: usize) -> bool {
    let sign = |index: usize| tokens.get(index).is_some_and(|token| token.is('\''));
    sign(at) && sign(at + 1) && !tokens[at + 1].gap
}

/// A whole number with or without a fraction, a fraction, or a decimal: the number, whether it has a fraction, what is behind.
pub fn mixed(text: &str, tokens: &[Token], at: usize) -> Option<(Decimal, bool, usize)> {
    let first = tokens.get(at)?;
    let number = first.value(text)?;
    if let Some((part, next)) = fraction(text, tokens, at) {
        return Some((part, true, next));
    }
    // 41/2 and 23/4: the dash before the fraction left out.
    if let Some((tens, top)) =
        first.whole(text).filter(|both| (11..100).contains(both)).map(|both| (both / 10, both % 10))
        && top % 2 == 1
        && let (Some(slash), Some(bottom)) = (tokens.get(at + 1), tokens.get(at + 2))
        && slash.is('/')
        && !slash.gap
        && !bottom.gap
        && let Some(bottom) = bottom.whole(text).filter(|bottom| top < *bottom && matches!(bottom, 2 | 4 | 8))
    {
        return Some((Decimal::from(tens) + part_of(top, bottom)?, true, at + 3));
    }
    let whole = first.whole(text).is_some();
    if whole && number < Decimal::from(1000) {
        // 4-1/2, 4 1/2, 4 - 1/2
        let dash = tokens.get(at + 1).is_some_and(|token| token.is('-') && token.part == first.part);
        let from = at + 1 + usize::from(dash);
        if let Some((part, next)) = fraction(text, tokens, from)
            && tokens[from].part == first.part
        {
            return Some((number + part, true, next));
        }
    }
    Some((number, false, at + 1))
}

/// `1,5` where a comma parts the decimals: the number and the token behind it.
pub fn decimal_comma(text: &str, tokens: &[Token], at: usize) -> Option<(Decimal, usize)> {
    let [whole, comma, part] = tokens.get(at..at + 3)? else { return None };
    let joined = comma.is(',') && !comma.gap && !part.gap && part.part == whole.part && whole.whole(text).is_some();
    let part = part.text(text);
    let figures = part.len() <= 2 && part.bytes().all(|byte| byte.is_ascii_digit());
    let amount = if joined && figures { format!("{}.{part}", whole.text(text)).parse().ok()? } else { return None };
    Some((amount, at + 3))
}

/// A proper fraction with a denominator of the trade.
fn fraction(text: &str, tokens: &[Token], at: usize) -> Option<(Decimal, usize)> {
    let top = tokens.get(at)?.whole(text)?;
    let slash = tokens.get(at + 1)?;
    let bottom = tokens.get(at + 2)?;
    if !slash.is('/') || slash.gap || bottom.gap {
        return None;
    }
    let bottom = bottom.whole(text)?;
    if top == 0 || top >= bottom {
        return None;
    }
    Some((part_of(top, bottom)?, at + 3))
}

/// A fraction with a denominator of the trade, exact: every halving of an inch takes one decimal more. A table rather than a
/// division, as every size of a schedule passes here several times.
fn part_of(top: u32, bottom: u32) -> Option<Decimal> {
    let (fives, decimals) = match bottom {
        2 => (5, 1),
        4 => (25, 2),
        8 => (125, 3),
        16 => (625, 4),
        32 => (3_125, 5),
        64 => (15_625, 6),
        _ => return None,
    };
    let part = Decimal::new(i64::from(top) * fives, decimals);
    Some(if top.is_multiple_of(2) { part.normalize() } else { part })
}

/// 3'-0", 3' 0 1/2", 7'.
fn feet(text: &str, tokens: &[Token], (feet, split, mut next): (Decimal, bool, usize)) -> Option<(Measured, usize)> {
    if split || !tokens.get(next)?.is('\'') || quotes(tokens, next) {
        return None;
    }
    next += 1;
    let total = Inches::new(feet * Decimal::from(12));
    let dash = tokens.get(next).is_some_and(|token| token.is('-'));
    let from = next + usize::from(dash);
    let inches = mixed(text, tokens, from).filter(|(inches, ..)| *inches < Decimal::from(12));
    let Some((inches, _, behind)) = inches else {
        return Some((Measured::of(total), next));
    };
    let marked = tokens.get(behind).is_some_and(|token| token.is('"'));
    // Without dash or inch mark, a number behind a foot mark is a number of its own unless it touches it.
    if !dash && !marked && tokens[from].gap && !quotes(tokens, behind) {
        return Some((Measured::of(total), next));
    }
    let behind = behind + if marked { 1 } else { 2 * usize::from(quotes(tokens, behind)) };
    Some((Measured::of(total + Inches::new(inches)), behind))
}

/// 3-0, 7/0: feet and inches parted by a dash, or by a slash before a nought.
pub fn feet_dash(text: &str, tokens: &[Token], at: usize) -> Option<(Measured, usize)> {
    let feet = tokens.get(at)?.whole(text)?;
    let dash = tokens.get(at + 1)?;
    let inches = tokens.get(at + 2)?;
    let nought = dash.is('/') && inches.text(text) == "0";
    if !(dash.is('-') || nought) || dash.gap || inches.gap || fraction(text, tokens, at + 2).is_some() {
        return None;
    }
    let inches = inches.whole(text).filter(|inches| *inches < 12)?;
    (1..=12).contains(&feet).then(|| (Measured::of(Inches::feet(i64::from(feet), i64::from(inches))), at + 3))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::understand::lexicon::Lexicon;
    use crate::understand::normal::normal;
    use crate::understand::token;

    #[test]
    fn every_notation_is_exact() {
        let lexicon = Lexicon::load(&[]).unwrap();
        for (written, inches) in [
            ("4-1/2", "4.5"),
            ("4 1/2\"", "4.5"),
            ("4½", "4.5"),
            ("4.5", "4.5"),
            ("41/2", "4.5"),
            ("23/4\"", "2.75"),
            ("3/4\"", "0.75"),
            ("3'-0\"", "36"),
            ("3' - 0 1/2\"", "36.5"),
            ("6’8”", "80"),
            ("7'", "84"),
            ("36 in.", "36"),
            (".050", "0.05"),
            ("10''", "10"),
            ("2 ft", "24"),
            ("10-inch", "10"),
            ("4-1/2-in.", "4.5"),
            ("3-ft", "36"),
            ("900 mm", "35.4375"),
            ("12,5 mm", "0.5"),
            ("4,5\"", "4.5"),
        ] {
            let uniform = normal(written);
            let tokens = token::tokens(&lexicon, &uniform.text, &|_| 0);
            let (measured, next) =
                measure(&lexicon.roles, &uniform.text, &tokens, 0).unwrap_or_else(|| panic!("{written}"));
            assert_eq!((measured.value.to_string().as_str(), next), (inches, tokens.len()), "{written}");
        }
    }
}
