//! The part of a line that one reading is made from: its tokens, the claims on them, and in what relation each claim
//! stands to the good (with it, for it, under a condition, denied).

use super::claim::{Claim, Claims, What};
use super::lexicon::Entry;
use super::meaning::{Link, Special};
use super::normal::Normal;
use super::reading::Surroundings;
use super::token::Kind;
use crate::evidence::{By, Evidence};
use crate::read::schedule::{Part, PartRole, Wording};
use std::ops::Range;

/// How a claim stands to the good.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Relation {
    /// Of the good itself.
    Own,
    /// Behind "with".
    With,
    /// Behind "for".
    For,
    /// Behind "only when".
    When,
}

/// A claim in its relation.
#[derive(Debug, Clone, Copy)]
pub struct Placed<'a> {
    /// The claim.
    pub claim: &'a Claim,
    /// Its relation.
    pub relation: Relation,
    /// "no" or "less" stands right before it.
    pub denied: bool,
    /// The cell it stands in.
    pub role: PartRole,
}

/// What one reading is made from.
#[derive(Debug)]
pub struct Scope<'a> {
    /// The whole line.
    pub claims: &'a Claims<'a>,
    /// Its text, for places in the original.
    pub normal: &'a Normal,
    /// What stands around the line.
    pub around: &'a Surroundings,
    /// The text as written.
    pub original: &'a str,
    /// Its cells.
    pub parts: &'a [Part],
    /// Which tokens belong to this reading.
    pub mask: Vec<bool>,
    /// The claims of this reading, in order.
    pub placed: Vec<Placed<'a>>,
}

impl<'a> Scope<'a> {
    /// The claims on the tokens of a mask, in their relations.
    pub fn new(
        claims: &'a Claims<'a>,
        normal: &'a Normal,
        around: &'a Surroundings,
        wording: &'a Wording,
        mask: Vec<bool>,
    ) -> Self {
        let (original, parts) = (wording.text.as_str(), wording.parts.as_slice());
        let mut scope = Scope { claims, normal, around, original, parts, mask, placed: Vec::new() };
        scope.place();
        scope
    }

    fn place(&mut self) {
        let claims = self.claims;
        let (mut relation, mut denied, mut part) = (Relation::Own, false, u16::MAX);
        let mut next = claims.list.iter().peekable();
        let mut at = 0;
        while at < claims.tokens.len() {
            let token = &claims.tokens[at];
            if token.part != part {
                (part, relation, denied) = (token.part, Relation::Own, false);
            }
            let Some(claim) = next.next_if(|claim| claim.from == at) else {
                match token.kind {
                    Kind::Sign(',' | ';' | ')') if relation != Relation::When => {
                        (relation, denied) = (Relation::Own, false);
                    }
                    Kind::Word | Kind::Number => denied = false,
                    Kind::Sign(_) => {}
                }
                at += 1;
                continue;
            };
            at = claim.to.max(at + 1);
            if !self.mask.get(claim.from).copied().unwrap_or(false) {
                continue;
            }
            let role = claims.role(claim.from);
            self.placed.push(Placed { claim, relation, denied, role });
            match joint(claims, claim) {
                Some(Special::Not) => denied = true,
                Some(Special::Link(link)) => {
                    relation = match link {
                        Link::With if relation != Relation::When => Relation::With,
                        Link::For if relation != Relation::When => Relation::For,
                        Link::When => Relation::When,
                        _ => relation,
                    };
                    denied = false;
                }
                Some(_) => {}
                None => denied = false,
            }
        }
    }

    /// The words of a claim as evidence, read by an entry.
    pub fn by_entry(&self, claim: &Claim, entry: &Entry) -> Evidence {
        let by = match claim.what {
            What::Guess(_) => By::Entry {
                file: entry.file.clone(),
                line: entry.line,
                entry: format!("{}, taken for a misspelling", entry.name).into(),
            },
            _ => entry.by(),
        };
        Evidence { span: self.span(claim), by }
    }

    /// The words of a claim as evidence, read by a grammar.
    pub fn by_grammar(&self, claim: &Claim, grammar: &'static str) -> Evidence {
        Evidence { span: self.span(claim), by: By::Grammar(grammar) }
    }

    /// The bytes of a claim in the original text.
    pub fn span(&self, claim: &Claim) -> Range<usize> {
        self.normal.original(self.claims.span(claim))
    }

    /// Whether a word or short phrase stands in this reading's tokens, the section heading or the set's title, outside a claim.
    pub fn says(&self, words: &str, except: &Claim) -> bool {
        let text = self.claims.text;
        let tokens = &self.claims.tokens;
        let own = (0..tokens.len()).any(|at| {
            let outside = self.mask[at] && !(except.from <= at && at < except.to);
            // A decider may be several tokens (24vdc, flush bolt); compare without spaces.
            outside && starts_with(text, tokens, at, words)
        });
        own || [self.around.section.as_deref().unwrap_or(""), &self.around.set_title]
            .iter()
            .any(|heading| has_words(heading, words))
    }
}

/// The meaning of a claim that only joins or denies.
fn joint<'a>(claims: &Claims<'a>, claim: &Claim) -> Option<&'a Special> {
    claim.entries(claims.lexicon).filter(|entry| !entry.ambiguous).flat_map(|entry| &entry.meanings).find_map(
        |meaning| match meaning.special {
            Special::Not | Special::Link(_) | Special::Nothing => Some(&meaning.special),
            _ => None,
        },
    )
}

/// Whether the tokens from one on spell a phrase, spaces and hyphens aside, and end where a token ends.
fn starts_with(text: &str, tokens: &[super::token::Token], at: usize, phrase: &str) -> bool {
    let mut rest = phrase;
    for token in &tokens[at..] {
        if token.is('-') && !rest.starts_with('-') {
            continue;
        }
        match rest.strip_prefix(token.text(text)) {
            Some(after) => rest = after.trim_start(),
            None => return rest == "s",
        }
        if rest.is_empty() {
            return true;
        }
    }
    false
}

/// Whether a heading has a phrase as whole words.
fn has_words(heading: &str, words: &str) -> bool {
    if heading.is_empty() {
        return false;
    }
    let heading = heading.to_lowercase();
    let edge = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric());
    heading.match_indices(words).any(|(at, found)| {
        let behind = heading[at + found.len()..].chars().next();
        edge(heading[..at].chars().next_back()) && (edge(behind) || behind == Some('s'))
    })
}
