//! Goes over the tokens of a line from left to right and claims each stretch for what reads most of it: a phrase of the
//! lists, a size, a quantity, a labelled number. Nothing is decided here; a claim may have several entries.

use std::ops::Range;

use rust_decimal::Decimal;

use super::lexicon::{Entry, Found, Gist, Lexicon};
use super::meaning::Special;
use super::measure::{Figures, Measured, figures};
use super::quantity::{self, Counted};
use super::roles::Role;
use super::token::{Kind, Token};
use super::{counts, sizes::size, trailing, turned, wired};
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
    /// At which doors of its set the line holds.
    Condition,
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
    /// Words of what stays beside what is supplied instead, in a clause of its own.
    pub kept: Range<usize>,
    /// Role of each part.
    pub roles: &'a [PartRole],
    /// The longest phrase that begins at each token: many grammars ask for it.
    phrases: Vec<Option<Found>>,
    /// What begins with a number at each token: so do they for this.
    figures: Vec<Option<Figures>>,
}

impl Claims<'_> {
    /// The longest phrase that begins at a token.
    pub fn phrase(&self, at: usize) -> Option<Found> {
        self.phrases.get(at).copied().flatten()
    }

    /// The claim that a token is part of.
    pub fn on(&self, at: usize) -> Option<&Claim> {
        let index = self.list.partition_point(|claim| claim.to <= at);
        self.list.get(index).filter(|claim| claim.from <= at)
    }

    /// The claim that ends before a token.
    pub fn ending(&self, to: usize) -> Option<&Claim> {
        self.on(to.checked_sub(1)?).filter(|claim| claim.to == to)
    }

    /// The number that begins at a token with its fraction, whether it has one, and the token behind.
    pub fn number(&self, at: usize) -> Option<(Decimal, bool, usize)> {
        self.figures.get(at)?.as_ref().map(|figures| figures.number)
    }

    /// The length that begins at a token, and the token behind it.
    pub fn length(&self, at: usize) -> Option<(Measured, usize)> {
        self.figures.get(at)?.as_ref().map(|figures| figures.length)
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

/// Room for the tokens of a line and what is found at them. It is used again for the next line: making it anew for each took
/// as long as a good part of the reading.
#[derive(Debug, Default)]
pub struct Room {
    /// The tokens.
    pub tokens: Vec<Token>,
    list: Vec<Claim>,
    phrases: Vec<Option<Found>>,
    figures: Vec<Option<Figures>>,
}

impl Room {
    /// The most tokens that room is kept for.
    const MOST: usize = 1_000;

    /// The room of claims that are no longer needed, emptied; that of an endless line is given up.
    pub fn of(claims: Claims) -> Room {
        let Claims { mut tokens, mut list, mut phrases, mut figures, .. } = claims;
        if tokens.capacity() > Self::MOST {
            return Room::default();
        }
        tokens.clear();
        list.clear();
        phrases.clear();
        figures.clear();
        Room { tokens, list, phrases, figures }
    }
}

/// Claims every stretch that something can read, from the tokens in a room.
pub fn claims<'a>(lexicon: &'a Lexicon, text: &'a str, room: Room, roles: &'a [PartRole]) -> Claims<'a> {
    let Room { mut tokens, list, mut phrases, figures: mut numbers } = room;
    super::makers::no_misspelled_names(&mut tokens, roles);
    for (at, token) in tokens.iter().enumerate() {
        phrases.push(lexicon.phrase(&tokens, at));
        numbers.push(if token.is_number() { figures(&lexicon.roles, text, &tokens, at) } else { None });
    }
    let figures = numbers;
    let mut claims = Claims { lexicon, text, tokens, list, old: 0..0, kept: 0..0, roles, phrases, figures };
    claim_all(&mut claims, 0, usize::MAX);
    super::designation::leave_whole(&mut claims);
    claims.old = super::replaced::old(&claims);
    claims.kept = super::replaced::kept_beside(&claims);
    claims
}

/// Claims what can be read from a token up to another, where the claims so far end.
pub(super) fn claim_all(claims: &mut Claims, from: usize, to: usize) {
    let mut at = from;
    while at < claims.tokens.len().min(to) {
        if super::heading::outline(claims, at) {
            claims.list.push(Claim { from: at, to: at + 2, what: What::Outline, also: [0; 2] });
            at += 2;
            continue;
        }
        match next_claim(claims, at).filter(|claim| claim.to <= to) {
            Some(mut claim) => {
                close_point(claims, &mut claim);
                at = claim.to;
                claims.list.push(claim);
            }
            None => at += 1,
        }
    }
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
    if let Some(next) = super::conditions::condition(claims, at).filter(|next| *next >= phrase_end) {
        return Some(claim(What::Condition, next));
    }
    if let Some((node, next)) = turned::inverted(claims, at, phrase_end)
        .or_else(|| turned::across(claims, at, phrase_end))
        .or_else(|| turned::elliptic(claims, at, phrase_end))
        .filter(|(node, next)| !super::replaced::option_refused(claims, *node, *next))
    {
        return Some(claim(What::Phrase(node), next));
    }
    if let Some((node, next)) = super::suppliers::moved(claims, at).filter(|(_, next)| *next > phrase_end) {
        return Some(claim(What::Phrase(node), next));
    }
    let whose = || {
        let of_trade = super::sections::of_trade(claims, at).or_else(|| super::suppliers::supplier(claims, at));
        of_trade.or_else(|| super::suppliers::with_opening(claims, at))
    };
    if let Some((node, next)) = whose().filter(|(_, next)| *next > phrase_end) {
        return Some(claim(What::Phrase(node), next));
    }
    if let Some(next) = super::places::of_door(claims, at).filter(|next| *next > phrase_end) {
        return Some(claim(What::Place, next));
    }
    if let Some((what, next)) = super::sizes::in_words(claims, at) {
        return Some(claim(what, next));
    }
    // A unit alone in its own cell is as long as the phrase that the lists have for it, and still a unit.
    let own_cell = matches!(claims.role(at), PartRole::Quantity | PartRole::Unit);
    if let Some((what, next)) = super::labels::labelled_in_words(claims, at)
        && next >= phrase_end
    {
        return Some(claim(what, next));
    }
    if let Some((what, next)) = wired::of_transfer(claims, at) {
        return Some(claim(what, next));
    }
    if let Some((counted, next)) = quantity::quantity(claims, at)
        && (next > phrase_end
            || (own_cell
                || counted.amount.is_none()
                || next > at + 1 && phrase.is_some_and(|(node, _)| claims.lexicon.may_be(node, Gist::NUMBER))
                || counts::in_words(claims, at, next)
                || counts::at_end(claims, at, next)
                || counts::of_kind(claims, at, next)
                || counts::behind_plural(claims, at, next)
                || counts::instead(claims, at)
                || wired::wired_words(claims, at, next)
                || trailing::heads_cell(claims, at, next, counted.amount)
                || counts::alone(claims, at, next))
                && next == phrase_end)
    {
        return Some(claim(What::Quantity(counted), next));
    }
    if let Some((what, next)) = super::labels::labelled_before(claims, at, phrase) {
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
    if let Some(next) = super::see::see(claims, at) {
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
    if found.next > at + 1 && super::suppliers::takes_from_good(claims, found.next, found.node) {
        return claims.lexicon.phrase(&claims.tokens[..found.next - 1], at);
    }
    if is_type_of_others(claims, at, &found) {
        return claims.lexicon.phrase(&claims.tokens[..=at], at);
    }
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
    if let Some(short) = super::oneleaf::without(claims, at, &found) {
        return Some(short);
    }
    let found = turned::shorter(claims, at, &found).unwrap_or(found);
    if let Some(refused) = super::replaced::refused(claims, at, &found) {
        return Some(refused);
    }
    Some(super::replaced::leaves_out(claims, at, &found).unwrap_or(found))
}

/// "Coat hooks type 2": `type 2` by itself is a number that many goods have; of goods that the standard does not number so it is
/// none of its own, unless the goods that it numbers follow.
fn is_type_of_others(claims: &Claims, at: usize, found: &Found) -> bool {
    if claims.tokens[at].text(claims.text) != "type" {
        return false;
    }
    let goods = |node: u32| {
        let meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
        meanings.filter_map(|meaning| meaning.noun).fold(0, |goods, noun| goods | noun.categories)
    };
    let meanings = claims.lexicon.entries(found.node).flat_map(|entry| &entry.meanings);
    let numbered = meanings.filter(|meaning| matches!(meaning.special, Special::TypeNumber(..)));
    let numbered = numbered.fold(0, |all, meaning| all | meaning.categories);
    let part = claims.tokens[at].part;
    let before = claims.list.iter().filter(|claim| claims.tokens[claim.from].part == part && claim.to <= at);
    let named = before.filter_map(Claim::node).fold(0, |named, node| named | goods(node));
    let behind = claims.longest(found.next).map_or(0, |(node, _)| goods(node));
    numbered != 0 && named != 0 && (named | behind) & numbered == 0
}

/// 1-6, 1 thru 6, 1 to 6: the end of a range of closer sizes that begins at a token, and the token behind.
pub(super) fn range(claims: &Claims, at: usize) -> Option<(u32, usize)> {
    let from = claims.tokens.get(at)?.whole(claims.text)?;
    let joint = claims.tokens.get(at + 1)?;
    let joined = joint.is('-') || claims.does(at + 1, Role::Through);
    let to = claims.tokens.get(at + 2)?.whole(claims.text)?;
    let behind = claims.tokens.get(at + 3);
    let goes_on = behind.is_some_and(|token| token.is('/') || (token.is('-') && !token.gap) || token.is('\''));
    (joined && !goes_on && from >= 1 && from < to && to <= 6).then_some((to, at + 3))
}

/// What begins with a number: a size, a number with its label behind it, a range, a single length.
fn numbers(claims: &Claims, at: usize) -> Option<(What, usize)> {
    let first = claims.tokens.get(at)?;
    if first.is('(') && claims.tokens.get(at + 2).is_some_and(|token| token.is(')')) {
        return super::labels::bracketed_label(claims, at);
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
    super::labels::labelled_after(claims, at).or(size)
}
