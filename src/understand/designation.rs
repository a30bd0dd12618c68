//! Catalog numbers: runs of letters and digits that no list reads as a whole are left whole, so that no digit inside
//! becomes a size, a finish or a quantity.

use std::ops::Range;

use super::assemble::Builder;
use super::claim::{Claim, Claims, What, claim_all};
use super::meaning::{Categories, Special, members, only};
use super::reading::Heard;
use super::roles::Role;
use super::scope::Placed;
use super::sizes;
use super::token::Kind;
use crate::evidence::{By, Evidence};
use crate::read::schedule::PartRole;
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::inches::Inches;
use crate::trade::rule_words;

/// Takes back the claims inside catalog numbers and claims the numbers as designations.
pub fn leave_whole(claims: &mut Claims) {
    let mut at = 0;
    while at < claims.tokens.len() {
        let end = chunk_end(claims, at);
        if mixed(claims, at, end) && !explained(claims, at, end) {
            take_back(claims, at, end);
        }
        at = end;
    }
}

/// The token behind the chunk of a token.
fn chunk_end(claims: &Claims, at: usize) -> usize {
    let chunk = claims.tokens[at].chunk;
    at + claims.tokens[at..].iter().take_while(|token| token.chunk == chunk).count()
}

/// Whether a chunk has letters and digits.
fn mixed(claims: &Claims, from: usize, to: usize) -> bool {
    let chunk = &claims.tokens[from..to];
    let has = |kind: Kind| chunk.iter().any(|token| token.kind == kind);
    has(Kind::Number) && has(Kind::Word) && chunk.len() > 1
}

/// Whether claims read the chunk in a way that a catalog number would not be read by chance: one claim over all of it,
/// or claims over all of it with a size, or with a quantity and its unit, among them.
fn explained(claims: &Claims, from: usize, to: usize) -> bool {
    let inside: Vec<&Claim> = claims.list.iter().filter(|claim| claim.from < to && claim.to > from).collect();
    let covered = (from..to).all(|token| {
        inside.iter().any(|claim| claim.from <= token && token < claim.to)
            || matches!(claims.tokens[token].kind, Kind::Sign(_))
    });
    if !covered {
        return false;
    }
    if inside.len() < 2 {
        return !inside.first().is_some_and(|claim| is_grade_of_none(claims, claim));
    }
    if claims.role(from) == PartRole::CatalogNumber || inside.iter().any(|claim| is_number_by(claims, claim, to)) {
        return false;
    }
    if inside.iter().any(|claim| spelled_out(claims, claim)) {
        return true;
    }
    let doubtful = inside.iter().any(|claim| claim.entries(claims.lexicon).any(|entry| entry.ambiguous));
    let sure = inside.iter().any(|claim| match &claim.what {
        What::Size(dimensions) => dimensions[1].is_some() || dimensions[0].is_some_and(|one| one.measured.marked),
        What::Labelled { .. } => true,
        // "3clsr": a count is written together with nothing but the name of a good.
        What::Quantity(counted) => counted.unit.is_some() || counted.sure || claim.from == from,
        _ => {
            claim.to - claim.from > 1
                && claim
                    .entries(claims.lexicon)
                    .flat_map(|entry| &entry.meanings)
                    .any(|meaning| matches!(meaning.special, Special::FunctionNumber(_) | Special::TypeNumber(..)))
        }
    });
    // "3sil": a name of several meanings is asked, not taken for a number.
    let counted = inside.iter().any(|claim| claim.from == from && matches!(claim.what, What::Quantity(_)));
    sure && (!doubtful || counted)
}

/// The goods that a line names outside of a claim.
fn goods_beside(claims: &Claims, claim: &Claim) -> Categories {
    let others = claims.list.iter().filter(|other| other.to <= claim.from || other.from >= claim.to);
    let nouns = others.filter(|other| claims.tokens[other.to - 1].chunk != claims.tokens[claim.from].chunk);
    let meanings = nouns.flat_map(|other| other.entries(claims.lexicon)).filter(|entry| !entry.ambiguous);
    meanings.flat_map(|entry| &entry.meanings).filter_map(|one| one.noun).fold(0, |all, noun| all | noun.categories)
}

/// `Astragal GR-1`, `weatherstrip G1`: such goods have no grade, and the letter with its figure is their number.
fn is_grade_of_none(claims: &Claims, claim: &Claim) -> bool {
    let word = &claims.tokens[claim.from];
    let mut sets = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings).flat_map(|meaning| &meaning.sets);
    let graded = |category: Category| !rule_words::is("goods-without-grade", category.name());
    let goods = || goods_beside(claims, claim);
    word.kind == Kind::Word
        && word.end - word.start <= 2
        && sets.any(|set| set.attribute == names::GRADE)
        && goods() != 0
        && !members(goods()).any(graded)
}

/// So long is the least length that follows the number of goods behind an x.
const LENGTH: Inches = Inches::whole(12);

/// `Door bottom DB4 x 36`, `astragal AS13 x 84`: letters that touch a whole number make it a number of such goods, and what follows
/// the x is their length. Not `hinge BB5 x 4.5` or `kick plate KP10 x 34`, whose sizes look so, nor letters that label a side.
fn is_number_by(claims: &Claims, claim: &Claim, to: usize) -> bool {
    let What::Size([Some(one), Some(other), None]) = claim.what else { return false };
    let Some(letters) = claim.from.checked_sub(1).map(|before| &claims.tokens[before]) else { return false };
    let first = &claims.tokens[claim.from];
    let touches = letters.kind == Kind::Word && !first.gap && letters.chunk == first.chunk && claim.to > to;
    let whole = !one.measured.marked && one.label.is_none() && first.whole(claims.text).is_some();
    let labels = |node: u32| {
        let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
        meanings.any(|one| matches!(one.special, Special::Before(_) | Special::Dimension(_)))
    };
    let goods = goods_beside(claims, claim);
    let by_number = touches && whole && other.measured.value >= LENGTH && goods & only(Category::Other) == 0;
    by_number
        && goods != 0
        && sizes::tells(one.measured.value, other.measured.value) & goods == 0
        && !claims.longest(claim.from - 1).is_some_and(|(node, _)| labels(node))
}

/// A claim that no catalog number has by chance: a good or a word of five letters and more, a size of two dimensions, a
/// number with its label of two letters and more.
fn spelled_out(claims: &Claims, claim: &Claim) -> bool {
    let letters = |from: usize, to: usize| {
        let words = claims.tokens[from..to].iter().filter(|token| token.kind == Kind::Word);
        words.map(|token| token.end - token.start).sum::<u32>()
    };
    match &claim.what {
        What::Phrase(_) => letters(claim.from, claim.to) >= 5,
        What::Size(dimensions) => dimensions[1].is_some(),
        What::Labelled { .. } => letters(claim.from, claim.to) >= 2,
        _ => false,
    }
}

/// Whether a claim stands behind the x that parts it from a number.
pub(super) fn is_behind(claims: &Claims, claim: &Claim) -> bool {
    claim.from.checked_sub(1).is_some_and(|x| claims.does(x, Role::Times) && claims.tokens[x].gap)
}

/// The whole chunk becomes one designation; claims that reach out of it are shortened away.
fn take_back(claims: &mut Claims, from: usize, to: usize) {
    // Brackets and quotes around a number do not belong to it.
    let (mut start, mut end) = (from, to);
    while start < end && matches!(claims.tokens[start].kind, Kind::Sign(_)) {
        start += 1;
    }
    while end > start && matches!(claims.tokens[end - 1].kind, Kind::Sign(_)) {
        end -= 1;
    }
    let beyond = claims.list.iter().filter(|claim| claim.from < end && claim.to > to && !is_plate(claims, claim));
    let beyond = beyond.filter(|claim| matches!(claim.what, What::Size(_))).map(|claim| claim.to).max();
    claims.list.retain(|claim| claim.to <= start || claim.from >= end);
    let position = claims.list.partition_point(|claim| claim.from < start);
    let rest = claims.list.split_off(position);
    claims.list.push(Claim { from: start, to: end, what: What::Designation, also: [0; 2] });
    // `GH-21 x 95"`: the number ends before the x, and what stood behind it is a measure by itself.
    if beyond.is_some() {
        let next = rest.first().map_or(claims.tokens.len(), |claim| claim.from);
        claim_all(claims, end, next);
    }
    claims.list.extend(rest);
}

/// `KP10 x 34` of a kick plate: half of its size says nothing.
fn is_plate(claims: &Claims, claim: &Claim) -> bool {
    let What::Size([Some(one), Some(other), _]) = claim.what else { return false };
    sizes::tells(one.measured.value, other.measured.value) & goods_beside(claims, claim) != 0
}

/// Where a catalog number begins in the cell of a maker: a word of four signs and more with a figure in it.
fn number_behind(text: &str) -> Option<usize> {
    let is_number = |word: &str| word.len() >= 4 && word.bytes().any(|byte| byte.is_ascii_digit());
    text.split_whitespace().find(|word| is_number(word)).map(|word| word.as_ptr() as usize - text.as_ptr() as usize)
}

impl Builder<'_> {
    /// Cells that are values by themselves: maker and catalog number.
    pub(super) fn parts(&mut self) {
        let tokens = &self.scope.claims.tokens;
        let numbered = self.scope.parts.iter().any(|part| part.role == PartRole::CatalogNumber);
        for (index, part) in self.scope.parts.iter().enumerate() {
            let attribute = match part.role {
                PartRole::Maker => names::MAKER,
                PartRole::CatalogNumber => names::DESIGNATION,
                _ => continue,
            };
            let inside: Vec<usize> = (0..tokens.len()).filter(|at| tokens[*at].part as usize == index).collect();
            if inside.is_empty() || inside.iter().all(|at| !matches!(tokens[*at].kind, Kind::Word | Kind::Number)) {
                continue;
            }
            let remark = self.remarks.iter().any(|remark| {
                remark.evidence.span.start >= part.span.start && remark.evidence.span.end <= part.span.end
            });
            if remark {
                continue;
            }
            let written = self.original(part.span.clone());
            let mut keep = |attribute, within: Range<usize>, by: &'static str| {
                let text = written[within.clone()].trim();
                if !text.is_empty() {
                    let span = part.span.start + within.start..part.span.start + within.end;
                    let evidence = Evidence { span, by: By::Context(by.into()) };
                    self.attributes.insert(attribute, Heard::Found(Value::text(text), evidence));
                }
            };
            match part.role {
                // `MFR / CAT`: the number stands behind the name, or alone.
                PartRole::Maker => match number_behind(&written).filter(|_| !numbered) {
                    Some(at) => {
                        let end = written[..at].trim_end().len();
                        keep(names::MAKER, 0..end, "maker column");
                        keep(names::DESIGNATION, at..written.len(), "number in the maker column");
                    }
                    None => keep(attribute, 0..written.len(), "maker column"),
                },
                _ => keep(attribute, 0..written.len(), "catalog number column"),
            }
            for at in inside {
                self.used[at] = true;
            }
        }
    }
}

impl Builder<'_> {
    /// A catalog number inside a text.
    pub(super) fn designation(&mut self, placed: &Placed) {
        if placed.role != PartRole::CatalogNumber && !self.attributes.contains_key(&names::DESIGNATION) {
            let evidence = self.scope.by_grammar(placed.claim, "catalog number");
            let written = self.original(evidence.span.clone());
            let attribute = if is_type_number(&written) { names::STANDARD } else { names::DESIGNATION };
            self.put(attribute, Value::text(&written), evidence);
            self.take(placed.claim);
        }
    }
}

/// E09211A, L02141: a letter, a nought and four figures, and perhaps a letter, number a type of an ANSI/BHMA A156 standard.
fn is_type_number(written: &str) -> bool {
    let bytes = written.as_bytes();
    let figures = bytes.get(1..6).is_some_and(|figures| figures[0] == b'0' && figures.iter().all(u8::is_ascii_digit));
    figures && bytes[0].is_ascii_uppercase() && matches!(bytes.get(6..), Some([] | [b'A'..=b'Z']))
}
