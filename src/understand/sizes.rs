//! Reads sizes: one to three lengths joined by x, each perhaps with its label (10" H x 2" LDW).

use super::claim::{Claim, Claims, Dimension, What};
use super::meaning::Special;
use super::meaning::{Categories, only};
use super::measure::{self, Measured, feet_dash, from_millimetres};
use super::quantity;
use super::roles::Role;
use super::token::{Kind, Token};
use super::trailing;
use crate::trade::attribute::{Attr, names};
use crate::trade::category::Category;
use crate::trade::finish;
use crate::trade::inches::Inches;

/// "Four and a half by four and a half": both sides in words. "Five inch", "eight foot", "four inch centers": one of them.
pub(super) fn in_words(claims: &Claims, at: usize) -> Option<(What, usize)> {
    let first = claims.tokens.get(at).filter(|token| token.kind == Kind::Word)?;
    let (one, joint) = quantity::number_word(claims, at)?;
    let next = claims.tokens.get(joint).filter(|token| token.part == first.part)?;
    if claims.does(joint, Role::Times) {
        let (two, behind) = quantity::number_word(claims, joint + 1)?;
        let side = |value| {
            let measured = Measured { value: Inches::new(value), marked: true, fraction: false, metric: false };
            Some(Dimension { measured, label: None })
        };
        return Some((What::Size([side(one), side(two), None]), behind));
    }
    // "One in each leaf", "one foot bolt": no measure.
    let hyphen = usize::from(next.is('-') && !next.gap);
    let unit =
        claims.tokens.get(joint + hyphen).filter(|unit| unit.end - unit.start > 2 || unit.text(claims.text) == "ft")?;
    let named = claims.phrase(joint + hyphen).is_some_and(|found| !found.guessed && found.next > joint + hyphen + 1);
    let same = unit.part == first.part && !named;
    let found = measure::in_unit(&claims.lexicon.roles, &claims.tokens, (one, false), joint + hyphen).filter(|_| same);
    let (measured, behind) = found?;
    let (found, behind) = with_label(claims, at, measured, behind, false);
    Some((What::Size([Some(found), None, None]), behind))
}

/// One length, or two or three joined by x, each perhaps with its label.
pub(super) fn size(claims: &Claims, at: usize) -> Option<(What, usize)> {
    let mut dimensions = [None; 3];
    let (first, mut next) = dimension(claims, at, false)?;
    dimensions[0] = Some(first);
    // "03 x 36": the number of a function, and a length by itself.
    if is_code(claims, at, at + 1) && next == at + 1 && claims.does(next, Role::Times) {
        return Some((What::Size(dimensions), next));
    }
    for nth in 1..dimensions.len() {
        let Some(joint) = claims.tokens.get(next) else { break };
        if joint.part != claims.tokens[at].part || !(joint.is('*') || claims.does(next, Role::Times)) {
            break;
        }
        let sides = match dimensions {
            [Some(one), Some(two), None] => Some([one.measured.value, two.measured.value]),
            _ => None,
        };
        if claims.tokens.get(next + 1).is_none_or(|token| token.part != joint.part)
            || trailing::behind_sides(claims, (at, next), sides)
        {
            break;
        }
        let Some((found, behind)) = dimension(claims, next + 1, true) else { break };
        if is_code(claims, next + 1, behind) || counts_wires(claims, next + 1) {
            break;
        }
        dimensions[nth] = Some(found);
        next = behind;
    }
    // "4-1/2 sq", "4 in square": both sides are the same.
    if let (Some(one), None) = (dimensions[0], dimensions[1])
        && one.label.is_none()
        && claims.does(next, Role::Square)
        && claims.tokens[next].part == claims.tokens[at].part
        && !claims.does(next + 1, Role::Length)
        && claims.phrase(next).is_none_or(|found| found.next <= next + 1)
    {
        dimensions[1] = Some(one);
        return Some((What::Size(dimensions), next + 1));
    }
    if let Some((slot, (less, behind))) =
        dimensions.iter_mut().skip(1).find(|slot| slot.is_none()).zip(deduction(claims, at, next))
    {
        *slot = Some(less);
        next = behind;
    }
    one_measure(&mut dimensions);
    if dimensions[1].is_some()
        && let Some((feet, behind)) = feet_size(claims, at)
    {
        return Some((What::Size(feet), behind));
    }
    if dimensions[1].is_none()
        && let Some((feet, behind)) = lone_feet(claims, at)
    {
        return Some((What::Size([Some(Dimension { measured: feet, label: None }), None, None]), behind));
    }
    Some((What::Size(dimensions), next))
}

/// "Kick plate 8 hi less 2": what is taken off the width of the door, behind the sizes of a plate and the last that is said of it.
fn deduction(claims: &Claims, at: usize, next: usize) -> Option<(Dimension, usize)> {
    let part = claims.tokens[at].part;
    let is_plate = |claim: &Claim| {
        let mut meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
        meanings.any(|meaning| meaning.noun.is_some_and(|noun| noun.categories == only(Category::ProtectionPlate)))
    };
    let less = claims.tokens.get(next).filter(|less| less.part == part && claims.does(next, Role::Deduct))?;
    let (measured, behind) = claims.length(next + 1)?;
    let ends = claims.tokens.get(behind).is_none_or(|token| {
        token.part != less.part || matches!(token.kind, Kind::Sign(',' | ';' | ')')) || token.is_number()
    });
    let named = claims.list.iter().any(is_plate);
    (named && ends).then_some((Dimension { measured, label: Some((names::WIDTH_LESS, 0)) }, behind))
}

/// `36" x 26D`, `48 x 08 lever`: behind the x stands a finish or the number of a function, no length.
fn is_code(claims: &Claims, at: usize, behind: usize) -> bool {
    let written = claims.tokens[at].text(claims.text);
    let function = written.len() == 2 && written.starts_with('0') && written != "00";
    let finish = |node: u32| {
        let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
        meanings.any(|meaning| matches!(meaning.special, Special::Look(_) | Special::Finish(_)))
    };
    function && behind == at + 1
        || claims.phrase(at).is_some_and(|found| !found.guessed && found.next > behind && finish(found.node))
}

/// `4.5 x 4.5 x 8 wire`: behind the last x stands how many wires the goods have, and no side.
fn counts_wires(claims: &Claims, at: usize) -> bool {
    let Some((What::Labelled { label, .. }, _)) = super::labels::labelled_after(claims, at) else { return false };
    let mut meanings = claims.lexicon.entries(label).flat_map(|entry| &entry.meanings);
    meanings.any(|one| one.special == Special::After(names::CONDUCTORS))
}

/// 7-0, 6-8: a length in feet and inches by itself. Other numbers with a dash are ranges, sizes or numbers of something.
fn lone_feet(claims: &Claims, at: usize) -> Option<(Measured, usize)> {
    let tokens = &claims.tokens;
    let (feet, behind) = feet_dash(claims.text, tokens, at)?;
    let goes_on =
        tokens.get(behind).is_some_and(|token| !token.gap && !token.is(',') && !token.is(';') && !token.is(')'));
    let whole = tokens[at + 2].text(claims.text) == "0" && tokens[at].text(claims.text) != "1";
    let tall = tokens[at].whole(claims.text).is_some_and(|feet| (6..=10).contains(&feet));
    let parted = tokens[at].gap || at == 0 || matches!(tokens[at - 1].kind, Kind::Sign(',' | ';' | '('));
    (parted && !goes_on && (whole || tall)).then_some((feet, behind))
}

/// 114 x 102 mm: the mark behind the last holds for those before it.
fn one_measure(dimensions: &mut [Option<Dimension>; 3]) {
    let metric = dimensions.iter().flatten().any(|one| one.measured.metric);
    let last = dimensions.iter().flatten().next_back().is_some_and(|last| last.measured.metric);
    // "250 mm high, less 50": what no such goods have in inches is measured as the rest.
    let many = Inches::whole(15);
    if metric {
        let unmarked = |one: &&mut Dimension| !one.measured.marked && !one.measured.metric;
        let all = dimensions.iter_mut().flatten().filter(unmarked);
        for one in all.filter(|one| last || one.measured.value >= many) {
            let value = from_millimetres(one.measured.value.decimal());
            one.measured = Measured { value, marked: true, metric: true, ..one.measured };
        }
    }
}

/// 3-0 x 7-0: both sides in feet and inches.
fn feet_size(claims: &Claims, at: usize) -> Option<([Option<Dimension>; 3], usize)> {
    let (one, joint) = feet_dash(claims.text, &claims.tokens, at)?;
    (claims.tokens.get(joint)?.text(claims.text) == "x").then_some(())?;
    let (two, behind) = feet_dash(claims.text, &claims.tokens, joint + 1)?;
    let plain = |measured| Some(Dimension { measured, label: None });
    Some(([plain(one), plain(two), None], behind))
}

/// A length and its label, before it (`LDW 2`) or behind it (`2" LDW`, `10" H`).
fn dimension(claims: &Claims, at: usize, joined: bool) -> Option<(Dimension, usize)> {
    let first = claims.tokens.get(at)?;
    if first.is('(') && joined {
        // 10 x (DW-2), in brackets once.
        if claims.tokens.get(at + 1).is_none_or(|token| token.is('(')) {
            return None;
        }
        let (inner, behind) = dimension(claims, at + 1, true)?;
        return claims.tokens.get(behind).is_some_and(|token| token.is(')')).then_some((inner, behind + 1));
    }
    if first.kind == Kind::Word && joined {
        let (label, mut next) = claims.longest(at)?;
        let attribute = dimension_label(claims, label, true)?;
        while claims.tokens.get(next).is_some_and(|token| token.is('-') || token.is(':')) {
            next += 1;
        }
        let (measured, behind) = claims.length(next)?;
        return Some((Dimension { measured, label: Some((attribute, label)) }, behind));
    }
    // 1/4 x 4 x 3-0
    let feet =
        feet_dash(claims.text, &claims.tokens, at).filter(|_| joined && claims.tokens[at + 2].text(claims.text) == "0");
    let (measured, next) = feet.or_else(|| claims.length(at))?;
    let (measured, next) = without_label(claims, at, next).unwrap_or((measured, next));
    if !joined && (finish_before_label(claims, at) || trailing::finish_times(claims, at)) {
        return None;
    }
    Some(with_label(claims, at, measured, next, joined))
}

/// A length with the label behind it, if one stands there; `at` is its first token.
fn with_label(claims: &Claims, at: usize, measured: Measured, next: usize, joined: bool) -> (Dimension, usize) {
    let unlabelled = Dimension { measured, label: None };
    let behind = next + usize::from(claims.tokens.get(next).is_some_and(|token| token.is('-')));
    let same_part = claims.tokens.get(behind).is_some_and(|token| token.part == claims.tokens[at].part);
    let Some((label, end)) = claims.longest(behind).filter(|_| same_part) else {
        return (unlabelled, next);
    };
    let word = &claims.tokens[behind];
    // A single letter labels a length only when something shows that it is one: a mark, or the x of a size.
    let short = end == behind + 1 && word.end - word.start == 1;
    // HT behind a size of a hinge is its tip; behind a marked length alone it is a height.
    if claims.lexicon.entries(label).any(|entry| entry.ambiguous) && (joined || !measured.marked) {
        return (unlabelled, next);
    }
    // `4.5 x 4.5 CC8`: letters behind a space that touch a number belong to that.
    if word.gap && claims.tokens.get(end).is_some_and(|number| number.is_number() && !number.gap) {
        return (unlabelled, next);
    }
    let x_near = joined || claims.tokens.get(end).is_some_and(|token| token.text(claims.text) == "x");
    match dimension_label(claims, label, false) {
        Some(attribute) if !short || measured.marked || x_near => {
            (Dimension { measured, label: Some((attribute, label)) }, end)
        }
        _ => (unlabelled, next),
    }
}

/// "4x4 1/4rad": a fraction behind a space belongs to the phrase that begins with it, and not to the number before.
fn without_label(claims: &Claims, at: usize, next: usize) -> Option<(Measured, usize)> {
    let fraction = claims.tokens.get(at + 1).filter(|token| token.gap && token.is_number())?;
    let phrase = claims.phrase(at + 1).filter(|found| !found.guessed && found.next > next && next > at + 2)?;
    let labels = claims.lexicon.entries(phrase.node).flat_map(|entry| &entry.meanings).any(|one| !one.sets.is_empty());
    let value = Inches::new(claims.tokens[at].value(claims.text)?);
    let whole = Measured { value, marked: false, fraction: false, metric: false };
    (labels && fraction.part == claims.tokens[at].part).then_some((whole, at + 1))
}

/// `630 CTC 10`: a finish code before a label whose number stands behind it.
fn finish_before_label(claims: &Claims, at: usize) -> bool {
    let label = || claims.longest(at + 1).filter(|(node, _)| dimension_label(claims, *node, false).is_some());
    let number = claims.tokens[at].text(claims.text);
    number.len() == 3
        && finish::find(number).is_some()
        && label().is_some_and(|(_, end)| claims.tokens.get(end).is_some_and(Token::is_number))
}

/// The attribute that a label of a length names.
fn dimension_label(claims: &Claims, label: u32, before: bool) -> Option<Attr> {
    claims.lexicon.entries(label).flat_map(|entry| &entry.meanings).find_map(|meaning| match meaning.special {
        Special::Dimension(attribute) => Some(attribute),
        Special::Before(attribute) if before => Some(attribute),
        _ => None,
    })
}

/// Two dimensions alike, of a few inches, are a hinge's; a low and long one is a plate's, a narrow and tall one a push
/// plate's. Weak: never settles alone.
pub fn tells(one: Inches, other: Inches) -> Categories {
    let inches = |value: i64| Inches::whole(value);
    if one >= inches(3) && one <= inches(8) && other >= inches(3) && other <= inches(8) {
        only(Category::Hinge) | only(Category::SpringHinge)
    } else if one >= inches(4) && one <= inches(48) && other >= inches(22) && other <= inches(48) {
        only(Category::ProtectionPlate)
    } else if one >= inches(3) && one <= inches(8) && other >= inches(12) && other <= inches(20) {
        only(Category::PushPlate)
    } else {
        0
    }
}
