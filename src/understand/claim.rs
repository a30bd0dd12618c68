//! Goes over the tokens of a line from left to right and claims each stretch for what reads most of it: a phrase of the
//! lists, a size, a quantity, a labelled number. Nothing is decided here; a claim may have several entries.

use std::ops::Range;

use rust_decimal::Decimal;

use super::lexicon::{Entry, Lexicon};
use super::meaning::Special;
use super::measure::{Measured, feet_dash, measure, mixed};
use super::quantity::{self, Counted};
use super::token::{Kind, Token};
use crate::read::schedule::PartRole;
use crate::trade::attribute::Attr;

/// One dimension of a size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dimension {
    /// Its length.
    pub measured: Measured,
    /// What its label says it is, and the phrase of the label.
    pub label: Option<(Attr, u32)>,
}

/// What a stretch of tokens was claimed for.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// A phrase of the lists, by node.
    Phrase(u32),
    /// A phrase read from a misspelled word.
    Guess(u32),
    /// One to three dimensions.
    Size([Option<Dimension>; 3]),
    /// A number with the label behind it (8 wire) or before it (backset 2-3/4): the phrase of the label, the number,
    /// and the number behind a dash (size 1-6).
    Labelled {
        /// Node of the label.
        label: u32,
        /// The number.
        number: Decimal,
        /// The number as a length.
        measured: Measured,
        /// End of a range.
        to: Option<u32>,
        /// The label stands behind.
        after: bool,
    },
    /// A range of small whole numbers: 1-6.
    Range(u32, u32),
    /// A quantity.
    Quantity(Counted),
    /// A reference to elsewhere.
    See,
    /// A catalog number.
    Designation,
}

/// A claim on tokens.
#[derive(Debug, Clone, PartialEq)]
pub struct Claim {
    /// First token.
    pub from: usize,
    /// Token behind the last.
    pub to: usize,
    /// What for.
    pub what: What,
}

impl Claim {
    /// The phrase, for phrases and guesses.
    pub fn node(&self) -> Option<u32> {
        match self.what {
            What::Phrase(node) | What::Guess(node) => Some(node),
            _ => None,
        }
    }

    /// Its entries.
    pub fn entries<'a>(&self, lexicon: &'a Lexicon) -> impl Iterator<Item = &'a Entry> + use<'a> {
        self.node().into_iter().flat_map(move |node| lexicon.entries(node))
    }
}

/// A line cut into tokens and claimed.
#[derive(Debug)]
pub struct Claims<'a> {
    /// The lists.
    pub lexicon: &'a Lexicon,
    /// The uniform text.
    pub text: &'a str,
    /// Its tokens.
    pub tokens: Vec<Token>,
    /// The claims, in order.
    pub list: Vec<Claim>,
    /// Role of each part.
    pub roles: &'a [PartRole],
}

impl Claims<'_> {
    /// Role of the cell a token stands in.
    pub fn role(&self, token: usize) -> PartRole {
        let part = self.tokens.get(token).map_or(0, |token| token.part as usize);
        self.roles.get(part).copied().unwrap_or(PartRole::Free)
    }

    /// Bytes of a claim in the uniform text.
    pub fn span(&self, claim: &Claim) -> Range<usize> {
        let start = self.tokens.get(claim.from).map_or(0, |token| token.start as usize);
        let end = claim.to.checked_sub(1).and_then(|last| self.tokens.get(last)).map_or(start, |t| t.end as usize);
        start..end
    }
}

/// Claims every stretch that something can read.
pub fn claims<'a>(lexicon: &'a Lexicon, text: &'a str, tokens: Vec<Token>, roles: &'a [PartRole]) -> Claims<'a> {
    let mut claims = Claims { lexicon, text, tokens, list: Vec::new(), roles };
    let mut at = 0;
    while at < claims.tokens.len() {
        match next_claim(&claims, at) {
            Some(mut claim) => {
                close_point(&claims, &mut claim);
                at = claim.to;
                claims.list.push(claim);
            }
            None => at += 1,
        }
    }
    super::designation::leave_whole(&mut claims);
    claims
}

/// A point that ends an abbreviation belongs to it.
fn close_point(claims: &Claims, claim: &mut Claim) {
    if let Some(token) = claims.tokens.get(claim.to)
        && token.is('.')
        && !token.gap
        && claims.tokens.get(claim.to + 1).is_none_or(|next| next.gap || next.kind != Kind::Number)
    {
        claim.to += 1;
    }
}

/// The claim that begins at a token.
fn next_claim(claims: &Claims, at: usize) -> Option<Claim> {
    let phrase = claims.lexicon.longest(&claims.tokens, at);
    let phrase_end = phrase.map_or(at, |(_, next)| next);
    let claim = |what, to| Claim { from: at, to, what };
    // A unit alone in its own cell is as long as the phrase that the lists have for it, and still a unit.
    let own_cell = matches!(claims.role(at), PartRole::Quantity | PartRole::Unit);
    if let Some((counted, next)) = quantity::quantity(claims, at)
        && (next > phrase_end || own_cell && next == phrase_end)
    {
        return Some(claim(What::Quantity(counted), next));
    }
    if let Some((what, next)) = labelled_before(claims, at, phrase) {
        return Some(claim(what, next));
    }
    if let Some((what, next)) = numbers(claims, at)
        && (next > phrase_end || (next == phrase_end && matches!(what, What::Labelled { .. })))
    {
        return Some(claim(what, next));
    }
    if let Some(next) = see(claims, at) {
        return Some(claim(What::See, next));
    }
    if let Some((node, next)) = phrase {
        return Some(claim(What::Phrase(node), next));
    }
    let token = &claims.tokens[at];
    if token.kind == Kind::Word && token.id == 0 && token.singular == 0 {
        return guess(claims, at).map(|(node, next)| claim(What::Guess(node), next));
    }
    None
}

/// A misspelled word, alone or as the first word of a phrase.
fn guess(claims: &Claims, at: usize) -> Option<(u32, usize)> {
    let token = claims.tokens[at];
    let alone = |index: usize| claims.tokens.get(index).is_none_or(|next| next.gap || next.kind != Kind::Number);
    if !alone(at + 1) || (at > 0 && !token.gap && claims.tokens[at - 1].is_number()) {
        return None;
    }
    let word = super::spelling::nearest(claims.lexicon, token.text(claims.text))?;
    let mut tokens = claims.tokens[at..(at + 5).min(claims.tokens.len())].to_vec();
    tokens[0].id = word;
    claims.lexicon.longest(&tokens, 0).map(|(node, next)| (node, at + next))
}

/// `backset 2-3/4`, `size 1-6`, `gr 1`, `door width less 2`.
fn labelled_before(claims: &Claims, at: usize, phrase: Option<(u32, usize)>) -> Option<(What, usize)> {
    let (label, mut next) = phrase?;
    let first = claims.tokens.get(at)?;
    if first.kind != Kind::Word {
        return None;
    }
    let fits = |entry: &Entry| {
        entry.meanings.iter().any(|meaning| match meaning.special {
            Special::Before(_) => true,
            // A bare letter (h 10) is too little to label what follows.
            Special::Dimension(_) => first.end - first.start > 2,
            _ => false,
        })
    };
    if !claims.lexicon.entries(label).any(fits) {
        return None;
    }
    while claims.tokens.get(next).is_some_and(|t| t.is(':') || t.is('=') || t.is('#') || t.is('.') || t.is('-')) {
        next += 1;
    }
    let number = claims.tokens.get(next).filter(|token| token.part == first.part)?.value(claims.text)?;
    if let Some((to, behind)) = range(claims, next) {
        let measured = measure(claims.text, &claims.tokens, next)?.0;
        return Some((What::Labelled { label, number, measured, to: Some(to), after: false }, behind));
    }
    let (measured, behind) = measure(claims.text, &claims.tokens, next)?;
    // "backset 2-3/4 x ..." stays a label; "width 36 x 84" is a size that the size grammar reads.
    Some((What::Labelled { label, number: measured_or(number, measured), measured, to: None, after: false }, behind))
}

fn measured_or(number: Decimal, measured: Measured) -> Decimal {
    if measured.fraction { measured.value.decimal() } else { number }
}

/// 1-6, 1 thru 6, 1 to 6: the end of a range of closer sizes that begins at a token, and the token behind.
fn range(claims: &Claims, at: usize) -> Option<(u32, usize)> {
    let from = claims.tokens.get(at)?.whole(claims.text)?;
    let joint = claims.tokens.get(at + 1)?;
    let joined = joint.is('-') || matches!(joint.text(claims.text), "thru" | "to" | "through");
    let to = claims.tokens.get(at + 2)?.whole(claims.text)?;
    let behind = claims.tokens.get(at + 3);
    let goes_on = behind.is_some_and(|token| token.is('/') || (token.is('-') && !token.gap) || token.is('\''));
    (joined && !goes_on && from >= 1 && from < to && to <= 6).then_some((to, at + 3))
}

/// What begins with a number: a size, a number with its label behind it, a range, a single length.
fn numbers(claims: &Claims, at: usize) -> Option<(What, usize)> {
    let first = claims.tokens.get(at)?;
    if !first.is_number() {
        return None;
    }
    let size = size(claims, at);
    if let Some((What::Size([Some(_), Some(_), _]), _)) = size {
        return size;
    }
    if let Some((to, next)) = range(claims, at)
        && let Some(from) = first.whole(claims.text)
    {
        return Some((What::Range(from, to), next));
    }
    labelled_after(claims, at).or(size)
}

/// `8-wire`, `24 VDC`, `1200 lb`.
fn labelled_after(claims: &Claims, at: usize) -> Option<(What, usize)> {
    let (number, _, behind) = mixed(claims.text, &claims.tokens, at)?;
    let mut next = behind;
    while claims.tokens.get(next).is_some_and(|token| token.is('-')) {
        next += 1;
    }
    let (label, end) = claims.lexicon.longest(&claims.tokens, next)?;
    if claims.tokens[next].part != claims.tokens[at].part {
        return None;
    }
    let after = |entry: &Entry| entry.meanings.iter().any(|meaning| matches!(meaning.special, Special::After(_)));
    if !claims.lexicon.entries(label).any(after) {
        return None;
    }
    let measured = measure(claims.text, &claims.tokens, at)?.0;
    Some((What::Labelled { label, number, measured, to: None, after: true }, end))
}

/// One length, or two or three joined by x, each perhaps with its label.
fn size(claims: &Claims, at: usize) -> Option<(What, usize)> {
    let mut dimensions = [None; 3];
    let (first, mut next) = dimension(claims, at, false)?;
    dimensions[0] = Some(first);
    for slot in dimensions.iter_mut().skip(1) {
        let Some(joint) = claims.tokens.get(next) else { break };
        if joint.part != claims.tokens[at].part || !matches!(joint.text(claims.text), "x" | "by" | "*") {
            break;
        }
        let Some((found, behind)) = dimension(claims, next + 1, true) else { break };
        *slot = Some(found);
        next = behind;
    }
    if dimensions[1].is_some()
        && let Some((feet, behind)) = feet_size(claims, at)
    {
        return Some((What::Size(feet), behind));
    }
    Some((What::Size(dimensions), next))
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
    if first.kind == Kind::Word && joined {
        let (label, mut next) = claims.lexicon.longest(&claims.tokens, at)?;
        let attribute = dimension_label(claims, label, true)?;
        while claims.tokens.get(next).is_some_and(|token| token.is('-') || token.is(':')) {
            next += 1;
        }
        let (measured, behind) = measure(claims.text, &claims.tokens, next)?;
        return Some((Dimension { measured, label: Some((attribute, label)) }, behind));
    }
    let (measured, next) = measure(claims.text, &claims.tokens, at)?;
    let unlabelled = Dimension { measured, label: None };
    let behind = next + usize::from(claims.tokens.get(next).is_some_and(|token| token.is('-')));
    let same_part = claims.tokens.get(behind).is_some_and(|token| token.part == first.part);
    let Some((label, end)) = claims.lexicon.longest(&claims.tokens, behind).filter(|_| same_part) else {
        return Some((unlabelled, next));
    };
    let word = &claims.tokens[behind];
    // A single letter labels a length only when something shows that it is one: a mark, or the x of a size.
    let short = end == behind + 1 && word.end - word.start == 1;
    // HT behind a size of a hinge is its tip; behind a marked length alone it is a height.
    if claims.lexicon.entries(label).any(|entry| entry.ambiguous) && (joined || !measured.marked) {
        return Some((unlabelled, next));
    }
    let x_near = joined || claims.tokens.get(end).is_some_and(|token| token.text(claims.text) == "x");
    match dimension_label(claims, label, false) {
        Some(attribute) if !short || measured.marked || x_near => {
            Some((Dimension { measured, label: Some((attribute, label)) }, end))
        }
        _ => Some((unlabelled, next)),
    }
}

/// The attribute that a label of a length names.
fn dimension_label(claims: &Claims, label: u32, before: bool) -> Option<Attr> {
    claims.lexicon.entries(label).flat_map(|entry| &entry.meanings).find_map(|meaning| match meaning.special {
        Special::Dimension(attribute) => Some(attribute),
        Special::Before(attribute) if before => Some(attribute),
        _ => None,
    })
}

/// `see note 4`, `see 28 31 00`: up to the next separator.
fn see(claims: &Claims, at: usize) -> Option<usize> {
    let first = claims.tokens.get(at)?;
    if first.kind != Kind::Word || !matches!(first.text(claims.text), "see" | "refer" | "ref") {
        return None;
    }
    let ends =
        |token: &Token| token.part != first.part || matches!(token.kind, Kind::Sign(',' | ';' | ')')) || token.line;
    let mut end = at + 1;
    while claims.tokens.get(end).is_some_and(|token| !ends(token)) {
        end += 1;
    }
    Some(end)
}
