//! Goes over the tokens of a line from left to right and claims each stretch for what reads most of it: a phrase of the
//! lists, a size, a quantity, a labelled number. Nothing is decided here; a claim may have several entries.

use std::ops::Range;

use rust_decimal::Decimal;

use super::lexicon::{Entry, Found, Gist, Lexicon};
use super::meaning::Special;
use super::measure::{Measured, measure, mixed};
use super::quantity::{self, Counted};
use super::token::{Kind, Token};
use super::{counts, sizes::size, turned};
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
        /// The other number of two: 4 or 8 conductor, 12/24 VDC.
        or: Option<Decimal>,
    },
    /// A range of small whole numbers: 1-6.
    Range(u32, u32),
    /// A quantity.
    Quantity(Counted),
    /// A reference to elsewhere.
    See,
    /// A catalog number.
    Designation,
    /// The letter of a paragraph.
    Outline,
    /// Where the goods go.
    Place,
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
    /// Nodes of other phrases that the same words may stand for; 0: none.
    pub also: [u32; 2],
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
    pub fn entries<'a>(&self, lexicon: &'a Lexicon) -> impl Iterator<Item = &'a Entry> + Clone + use<'a> {
        // The root has no entries, so that a place without a phrase adds nothing.
        let nodes = [self.node().unwrap_or(0), self.also[0], self.also[1]];
        // Hardly any words stand for more than one phrase.
        let others = if self.also == [0; 2] { 1..1 } else { 1..nodes.len() };
        lexicon.entries(nodes[0]).chain(others.flat_map(move |place| {
            let known = move |entry: &&Entry| {
                nodes[..place].iter().any(|node| lexicon.entries(*node).any(|first| std::ptr::eq(first, *entry)))
            };
            lexicon.entries(nodes[place]).filter(move |entry| !known(entry))
        }))
    }

    /// Whether an entry of it may be of a kind: a quick no.
    pub fn may_be(&self, lexicon: &Lexicon, kind: Gist) -> bool {
        self.node().is_some_and(|node| lexicon.may_be(node, kind))
            || self.also.iter().any(|node| lexicon.may_be(*node, kind))
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
    /// The tokens of what is taken out or stays: no good of the line.
    pub old: Range<usize>,
    /// Role of each part.
    pub roles: &'a [PartRole],
    /// The longest phrase that begins at each token: many grammars ask for it.
    phrases: Vec<Option<Found>>,
}

impl Claims<'_> {
    /// The longest phrase that begins at a token.
    pub fn phrase(&self, at: usize) -> Option<Found> {
        self.phrases.get(at).copied().flatten()
    }

    /// Its node, and the token behind it.
    pub fn longest(&self, at: usize) -> Option<(u32, usize)> {
        self.phrase(at).map(|found| (found.node, found.next))
    }

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
    let phrases = (0..tokens.len()).map(|at| lexicon.phrase(&tokens, at)).collect();
    let mut claims = Claims { lexicon, text, tokens, list: Vec::new(), old: 0..0, roles, phrases };
    let mut at = 0;
    while at < claims.tokens.len() {
        if super::heading::outline(&claims, at) {
            claims.list.push(Claim { from: at, to: at + 2, what: What::Outline, also: [0; 2] });
            at += 2;
            continue;
        }
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
    claims.old = super::replaced::old(&claims);
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
    let found = phrase(claims, at);
    let phrase = found.map(|found| (found.node, found.next));
    let phrase_end = phrase.map_or(at, |(_, next)| next);
    let claim = |what, to| Claim { from: at, to, what, also: [0; 2] };
    if let Some((node, next)) =
        turned::inverted(claims, at, phrase_end).or_else(|| turned::elliptic(claims, at, phrase_end))
    {
        return Some(claim(What::Phrase(node), next));
    }
    // A unit alone in its own cell is as long as the phrase that the lists have for it, and still a unit.
    let own_cell = matches!(claims.role(at), PartRole::Quantity | PartRole::Unit);
    if let Some((counted, next)) = quantity::quantity(claims, at)
        && (next > phrase_end
            || (own_cell || counted.amount.is_none() || counts::in_words(claims, at, next)) && next == phrase_end)
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
    if let Some(next) = super::places::place(claims, at, phrase) {
        return Some(claim(What::Place, next));
    }
    if let Some(next) = see(claims, at) {
        return Some(claim(What::See, next));
    }
    let Found { node, next, also, guessed } = found?;
    let what = if guessed { What::Guess(node) } else { What::Phrase(node) };
    Some(Claim { also, ..claim(what, next) })
}

/// The longest phrase at a token. Behind "non", a word that can be denied by itself is: of a non-electrified mortise
/// lock only "electrified" is denied.
fn phrase(claims: &Claims, at: usize) -> Option<Found> {
    let found = claims.phrase(at)?;
    let entries = |node: u32| claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
    let denied = claims.list.last().is_some_and(|before| {
        before.to <= at
            && claims.tokens[before.to..at].iter().all(|token| token.is('-'))
            && before.node().is_some_and(|node| claims.lexicon.may_be(node, Gist::NOT))
    });
    if denied && found.next > at + 1 && entries(found.node).any(|meaning| meaning.noun.is_some()) {
        let alone = claims.lexicon.phrase(&claims.tokens[..=at], at);
        let says = |one: &Found| entries(one.node).any(|meaning| meaning.noun.is_none() && !meaning.sets.is_empty());
        return alone.filter(says).or(Some(found));
    }
    Some(turned::shorter(claims, at, &found).unwrap_or(found))
}

/// `backset 2-3/4`, `size 1-6`, `gr 1`, `door width less 2`.
fn labelled_before(claims: &Claims, at: usize, phrase: Option<(u32, usize)>) -> Option<(What, usize)> {
    let (label, mut next) = phrase?;
    let first = claims.tokens.get(at)?;
    if first.kind != Kind::Word {
        return None;
    }
    if !claims.lexicon.may_be(label, Gist::LABEL) {
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
        return Some((What::Labelled { label, number, measured, to: Some(to), or: None }, behind));
    }
    let (measured, behind) = measure(claims.text, &claims.tokens, next)?;
    // "backset 2-3/4 x ..." stays a label; "width 36 x 84" is a size that the size grammar reads.
    let or = claims.tokens.get(behind).filter(|token| token.text(claims.text) == "or");
    let other = or.and_then(|_| claims.tokens.get(behind + 1)).and_then(|token| token.value(claims.text));
    let mut behind = behind + 2 * usize::from(other.is_some());
    // ETW 4 wire: a label behind the number says the same again.
    let attribute = |node: u32| {
        claims.lexicon.entries(node).flat_map(|entry| &entry.meanings).find_map(|meaning| match meaning.special {
            Special::Before(attribute) | Special::After(attribute) => Some(attribute),
            _ => None,
        })
    };
    if let Some((node, next)) = claims.longest(behind)
        && claims.tokens[behind].part == first.part
        && attribute(node).is_some_and(|again| attribute(label) == Some(again))
    {
        behind = next;
    }
    Some((What::Labelled { label, number: measured_or(number, measured), measured, to: None, or: other }, behind))
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
    if first.is('(') && claims.tokens.get(at + 2).is_some_and(|token| token.is(')')) {
        return bracketed_label(claims, at);
    }
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

/// `(8) conductors`: a number in brackets before its label.
fn bracketed_label(claims: &Claims, at: usize) -> Option<(What, usize)> {
    let number = claims.tokens.get(at + 1)?.value(claims.text)?;
    let measured = measure(claims.text, &claims.tokens[..=at + 1], at + 1)?.0;
    let (label, end) = claims.longest(at + 3)?;
    let mut meanings = claims.lexicon.entries(label).flat_map(|entry| &entry.meanings);
    let labels = meanings.any(|meaning| matches!(meaning.special, Special::After(_)));
    let letters = claims.tokens[at + 3].end - claims.tokens[at + 3].start;
    (labels && letters > 1 && claims.tokens[at + 3].part == claims.tokens[at].part)
        .then_some((What::Labelled { label, number, measured, to: None, or: None }, end))
}

/// `8-wire`, `24 VDC`, `1200 lb`.
fn labelled_after(claims: &Claims, at: usize) -> Option<(What, usize)> {
    let (mut number, _, mut behind) = mixed(claims.text, &claims.tokens, at)?;
    let other = other_number(claims, at);
    if let Some((_, end)) = other {
        (number, behind) = (claims.tokens[at].value(claims.text)?, end);
    }
    let mut next = behind;
    while claims.tokens.get(next).is_some_and(|token| token.is('-')) {
        next += 1;
    }
    let (mut label, mut end) = claims.longest(next)?;
    if claims.tokens[next].part != claims.tokens[at].part {
        return None;
    }
    // "8-wire hinge": the name of the good begins with the label.
    let after = |node: u32| {
        claims.lexicon.entries(node).flat_map(|entry| &entry.meanings).any(|m| matches!(m.special, Special::After(_)))
    };
    if end > next + 1
        && !after(label)
        && let Some(alone) = claims.lexicon.phrase(&claims.tokens[..=next], next)
        && !alone.guessed
        && after(alone.node)
        && claims.tokens[next].end - claims.tokens[next].start > 2
        && claims.phrase(next + 1).is_some_and(|behind| behind.next >= end)
    {
        (label, end) = (alone.node, alone.next);
    }
    let labels = |entry: &Entry| {
        entry.meanings.iter().any(|meaning| match meaning.special {
            Special::After(_) => true,
            Special::Dimension(_) => other.is_some(),
            _ => false,
        })
    };
    if !claims.lexicon.entries(label).any(labels) {
        return None;
    }
    // 8W, 4A: a single letter labels a number only when it touches it, and is not the head of w/.
    let word = &claims.tokens[next];
    let letter = word.kind == Kind::Word && word.end - word.start == 1 && end == next + 1;
    if letter && (word.gap || claims.tokens.get(end).is_some_and(|token| token.is('/'))) {
        return None;
    }
    let measured = match other {
        Some(_) => Measured { marked: true, ..measure(claims.text, &claims.tokens[..=at], at)?.0 },
        None => measure(claims.text, &claims.tokens, at)?.0,
    };
    Some((What::Labelled { label, number, measured, to: None, or: other.map(|(number, _)| number) }, end))
}

/// The second of two whole numbers that a line leaves open: `4 or 8`, `12/24`; a slash only where it makes no fraction
/// of an inch that a label of a length follows.
fn other_number(claims: &Claims, at: usize) -> Option<(Decimal, usize)> {
    let text = claims.text;
    let joint = claims.tokens.get(at + 1)?;
    let second = claims.tokens.get(at + 2)?;
    if claims.tokens[at].part != second.part {
        return None;
    }
    let (one, two) = (claims.tokens[at].value(text)?, second.value(text)?);
    if joint.text(text) == "or" {
        return Some((two, at + 3));
    }
    let touches = !joint.gap && !second.gap;
    let (label, _) = claims.longest(at + 3)?;
    let counted =
        claims.lexicon.entries(label).flat_map(|entry| &entry.meanings).any(|meaning| match meaning.special {
            Special::After(attribute) => {
                matches!(attribute.name(), "conductors" | "voltage" | "holding_force" | "outputs")
            }
            _ => false,
        });
    (joint.is('/') && touches && counted && one != two).then_some((two, at + 3))
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
