//! Catalog numbers: runs of letters and digits that no list reads as a whole are left whole, so that no digit inside
//! becomes a size, a finish or a quantity.

use std::ops::Range;

use super::assemble::Builder;
use super::claim::{Claim, Claims, What};
use super::meaning::Special;
use super::reading::Heard;
use super::scope::Placed;
use super::token::Kind;
use crate::evidence::{By, Evidence};
use crate::read::schedule::PartRole;
use crate::trade::attribute::{Value, names};

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
        return true;
    }
    if claims.role(from) == PartRole::CatalogNumber {
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
    claims.list.retain(|claim| claim.to <= start || claim.from >= end);
    let position = claims.list.partition_point(|claim| claim.from < start);
    claims.list.insert(position, Claim { from: start, to: end, what: What::Designation, also: [0; 2] });
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
