//! The part of a line that one reading is made from: its tokens, the claims on them, and in what relation each claim
//! stands to the good (with it, for it, under a condition, denied).

use super::claim::{Claim, Claims, What};
use super::lexicon::{Entry, Gist};
use super::meaning::{ANY, Categories, Link, Special, only};
use super::normal::Normal;
use super::reading::Surroundings;
use super::roles::Role;
use super::split::Good;
use super::token::{Kind, Token};
use crate::evidence::{By, Evidence};
use crate::read::schedule::{Part, PartRole, Wording};
use crate::trade::category::Category;
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
    /// "if required" stands right behind it.
    pub optional: bool,
    /// Joined to the claim before by "or" or a slash, or by "and".
    pub joined: Option<Joined>,
}

/// How a claim is joined to the one before it, with nothing but that between them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Joined {
    /// or, /, and/or
    Or,
    /// and, &
    And,
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
    /// Which of the goods that one name has together this reading is about.
    pub only: Categories,
    /// The tokens of its name that stand with another good; what they say besides gives way to its own words.
    pub borrowed: Range<usize>,
    /// The claims of this reading, in order.
    pub placed: Vec<Placed<'a>>,
    /// The tokens of its conditions, from "only when" to the end of the clause.
    pub conditions: Vec<Range<usize>>,
    /// The tokens of the words that refuse what stands before them.
    pub refusals: Vec<Range<usize>>,
    /// Claims that refuse, and nothing before them could be denied.
    pub unheard: Vec<&'a Claim>,
    /// Where second thoughts begin ("no make that"), in bytes of the original.
    pub thoughts: Vec<usize>,
}

impl<'a> Scope<'a> {
    /// The claims on the tokens of a mask, in their relations.
    pub fn new(
        claims: &'a Claims<'a>,
        normal: &'a Normal,
        around: &'a Surroundings,
        wording: &'a Wording,
        Good { mask, only, borrowed }: Good,
    ) -> Self {
        let (original, parts) = (wording.text.as_str(), wording.parts.as_slice());
        let placed = Vec::with_capacity(claims.list.len());
        let (conditions, refusals, unheard, thoughts) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        let mut scope = Scope {
            claims,
            normal,
            around,
            original,
            parts,
            mask,
            only,
            borrowed,
            placed,
            conditions,
            refusals,
            unheard,
            thoughts,
        };
        scope.place();
        scope.prepare();
        scope.join();
        scope
    }

    fn place(&mut self) {
        let claims = self.claims;
        let (mut relation, mut denied, mut part) = (Relation::Own, false, u16::MAX);
        let mut next = claims.list.iter().peekable();
        let mut at = 0;
        while at < claims.tokens.len() {
            let token = &claims.tokens[at];
            if token.part != part || (token.line && relation == Relation::When) {
                (part, relation, denied) = (token.part, Relation::Own, false);
            }
            if relation == Relation::When && super::clause::resumes(claims, at) {
                (relation, denied) = (Relation::Own, false);
            }
            if relation == Relation::When {
                match self.conditions.last_mut().filter(|_| !matches!(token.kind, Kind::Sign(';' | ')'))) {
                    Some(condition) => condition.end = at + 1,
                    None => (relation, denied) = (Relation::Own, false),
                }
            }
            let Some(claim) = next.next_if(|claim| claim.from == at) else {
                match token.kind {
                    Kind::Sign(';' | ')') => (relation, denied) = (Relation::Own, false),
                    Kind::Sign(',') if relation != Relation::When => (relation, denied) = (Relation::Own, false),
                    Kind::Word | Kind::Number => denied = false,
                    Kind::Sign(_) => {}
                }
                at += 1;
                if relation == Relation::For && (ends_for(claims, at) || self.sentence_ends(at)) {
                    relation = Relation::Own;
                }
                continue;
            };
            let gone = claims.old.contains(&at) || claims.kept.contains(&at);
            at = claim.to.max(at + 1);
            if !self.mask.get(claim.from).copied().unwrap_or(false) {
                continue;
            }
            let role = claims.role(claim.from);
            let joint = joint(claims, claim);
            if gone {
                let relation = Relation::When;
                self.placed.push(Placed { claim, relation, denied: false, role, optional: false, joined: None });
                continue;
            }
            if let Some(Special::Link(Link::When)) = joint
                && relation != Relation::When
            {
                self.conditions.push(claim.from..claim.to);
                self.optional(claim);
            }
            let refused = joint == Some(&Special::Link(Link::Refused));
            if refused || super::refusals::not_used(claims, claim) {
                let heard = self.refuse(claim, refused);
                denied &= !heard;
                if refused && !heard {
                    self.unheard.push(claim);
                    continue;
                }
                if !refused && heard {
                    self.refusals.push(claim.from..claim.to);
                    continue;
                }
            }
            let placed = Placed { claim, relation, denied, role, optional: false, joined: None };
            self.placed.push(placed);
            match joint {
                Some(Special::Not) => denied = true,
                Some(Special::Link(link)) => {
                    if *link == Link::Instead {
                        self.thoughts.push(self.span(claim).start);
                    }
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
            if relation == Relation::For && (ends_for(claims, at) || self.sentence_ends(at)) {
                relation = Relation::Own;
            }
        }
    }

    /// "For the storefront door. Right hand": a point behind small letters, and a capital behind it, part two sentences.
    fn sentence_ends(&self, at: usize) -> bool {
        let tokens = &self.claims.tokens;
        let (Some(next), Some(point)) = (tokens.get(at), at.checked_sub(1).and_then(|point| tokens.get(point))) else {
            return false;
        };
        let first = |token: &Token| {
            let from = self.normal.original(token.span()).start;
            self.original.get(from..).and_then(|text| text.chars().next())
        };
        let before = at.checked_sub(2).and_then(|before| tokens.get(before));
        point.is('.')
            && next.gap
            && first(next).is_some_and(char::is_uppercase)
            && before.and_then(first).is_some_and(char::is_lowercase)
    }

    /// "Electric strike prepped mullion": of two goods that such a word joins, one is what the other is prepared for. A
    /// mullion is the other, else the last.
    fn prepare(&mut self) {
        let claims = self.claims;
        let noun = |placed: &Placed| {
            let mut nouns =
                placed.claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings).filter_map(|m| m.noun);
            (placed.relation == Relation::Own).then(|| nouns.next()).flatten()
        };
        for index in 1..self.placed.len() {
            if joint(claims, self.placed[index].claim) != Some(&Special::Link(Link::Prepared)) {
                continue;
            }
            let (before, word) = (&self.placed[index - 1], &self.placed[index]);
            let close = |one: &Placed, next: &Placed| {
                claims.tokens[one.claim.to..next.claim.from].iter().all(|token| token.is('-'))
            };
            let Some(first) = noun(before).filter(|_| close(before, word)) else { continue };
            let behind = self.placed.get(index + 1).filter(|behind| noun(behind).is_some() && close(word, behind));
            let mullion = first.categories == only(Category::Mullion);
            match behind {
                Some(_) => self.placed[if mullion { index + 1 } else { index - 1 }].relation = Relation::For,
                // "Mullion, electric strike prep": the mullion has it.
                None if !mullion && self.placed[..index - 1].iter().any(|other| noun(other).is_some()) => {
                    self.placed[index - 1].relation = Relation::For;
                }
                None => {}
            }
        }
    }

    /// "HO if required": what stands right before the condition may be there or not.
    fn optional(&mut self, when: &Claim) {
        let words = self.claims.does(when.from, Role::Condition);
        let mut next = when.from;
        for placed in self.placed.iter_mut().rev().filter(|placed| words && placed.claim.to <= when.from) {
            // "Hold-open arm where directed": a word that says nothing parts nothing.
            let mut meanings = placed.claim.entries(self.claims.lexicon).flat_map(|entry| &entry.meanings);
            let is_silent = placed.claim.node().is_some() && meanings.any(|one| one.special == Special::Nothing);
            if placed.claim.to != next {
                break;
            }
            placed.optional = !is_silent && joint(self.claims, placed.claim).is_none();
            if !is_silent {
                break;
            }
            next = placed.claim.from;
        }
    }

    /// Whether another word stands behind a claim, joined to it by "or" or a slash.
    pub fn or_behind(&self, claim: &Claim) -> bool {
        let mut behind = self.placed.iter().filter(|placed| {
            placed.claim.from >= claim.to && (placed.joined.is_some() || joint(self.claims, placed.claim).is_none())
        });
        behind.next().is_some_and(|placed| placed.joined == Some(Joined::Or))
    }

    /// Finds the claims that nothing but "or", a slash or "and" joins to the one before.
    fn join(&mut self) {
        let claims = self.claims;
        let links = |claim: &Claim| match joint(claims, claim) {
            Some(Special::Link(Link::Or)) => Some(Joined::Or),
            Some(Special::Link(Link::And)) => Some(Joined::And),
            _ => None,
        };
        let mut before: Option<usize> = None;
        for index in 0..self.placed.len() {
            let claim = self.placed[index].claim;
            // "A closer", "the door": an article parts nothing.
            let parts = |one: &Special| matches!(one, Special::Nothing | Special::Link(Link::Or | Link::And));
            if joint(claims, claim).is_some_and(parts) {
                continue;
            }
            if let Some(before) = before.replace(index) {
                let behind = self.placed[before].claim.to;
                let between = &claims.tokens[behind.min(claim.from)..claim.from];
                let linked = self.placed[before + 1..index].iter().filter_map(|placed| links(placed.claim));
                let slash = between.iter().any(|token| token.is('/'));
                let all: Vec<Joined> = linked.collect();
                let or = slash || all.contains(&Joined::Or);
                // ", or": the comma before it parts nothing either.
                let sign = |token: &&Token| token.is('/') || token.is('&') || token.is(',') && or && !slash;
                let words = between.iter().filter(|token| !sign(token)).count();
                let count: usize = self.placed[before + 1..index].iter().map(|p| p.claim.to - p.claim.from).sum();
                let only = words <= count && between.len() <= 3 && !between.is_empty();
                self.placed[index].joined = match (only, or, all.is_empty()) {
                    (true, true, _) => Some(Joined::Or),
                    (true, false, false) => Some(Joined::And),
                    _ => None,
                };
            }
        }
    }

    /// Whether a second thought stands between what was said before and what is said then.
    pub fn thought_again(&self, before: &Evidence, then: &Evidence) -> bool {
        self.thoughts.iter().any(|at| before.span.end <= *at && *at <= then.span.start)
    }

    /// Of things said, those behind the last second thought, where there are any.
    pub fn last_thought<T>(&self, said: &mut Vec<(T, Evidence)>) {
        if let Some(last) = self.thoughts.last()
            && said.iter().any(|(_, by)| by.span.start >= *last)
        {
            said.retain(|(_, by)| by.span.start >= *last);
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

/// "For labeled openings 4.5x4.5 BB": what the goods are for ends with the door it leads to, where a size of two sides or a
/// word that says something of goods follows. "For doors over 90", "for door 36 wide" go on.
fn ends_for(claims: &Claims, at: usize) -> bool {
    let door = at.checked_sub(1).is_some_and(|last| claims.does(last, Role::Door));
    let Some(next) = claims.tokens.get(at).filter(|next| door && next.part == claims.tokens[at - 1].part) else {
        return false;
    };
    let Some(behind) = claims.on(at).filter(|behind| behind.from == at) else { return false };
    match behind.what {
        What::Size([Some(_), two, _]) => two.is_some(),
        What::Phrase(_) => next.gap && joint(claims, behind).is_none() && !claims.does(at, Role::Toward),
        _ => false,
    }
}

/// The meaning of a claim that only joins or denies.
pub(super) fn joint<'a>(claims: &Claims<'a>, claim: &Claim) -> Option<&'a Special> {
    if !claim.may_be(claims.lexicon, Gist::JOINT) {
        return None;
    }
    claim.entries(claims.lexicon).filter(|entry| !entry.ambiguous).flat_map(|entry| &entry.meanings).find_map(
        |meaning| match meaning.special {
            Special::Not | Special::Link(_) => Some(&meaning.special),
            // What says nothing of some goods only may say something of others.
            Special::Nothing if meaning.categories == ANY => Some(&meaning.special),
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
