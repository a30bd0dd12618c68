//! What nothing took: the words left unread, the words without meaning, so that no word of a line is lost.

use std::ops::Range;

use super::assemble::Builder;
use super::claim::{Claim, What};
use super::reading::{Heard, Quantity, Reading, Remark, RemarkKind};
use super::token::Kind;
use crate::evidence::By;
use crate::trade::category::Category;

impl Builder<'_> {
    /// Gathers what nothing took.
    pub fn finish(mut self, heard: Heard<Category>, mut quantity: Quantity) -> Reading {
        if let Some(span) = evidence_span(&heard) {
            self.cover(&span);
        }
        let claims = self.scope.claims;
        for (at, token) in claims.tokens.iter().enumerate() {
            if matches!(token.kind, Kind::Sign(_)) && !self.used[at] {
                self.ignored[at] = true;
            }
        }
        self.signs_between();
        self.joining_x();
        self.some_of_them(&mut quantity);
        let shown = self.shown(&heard, &quantity);
        let unread = self.ranges(|builder, at| !builder.used[at] && !builder.ignored[at] && !shown[at]);
        // Words that say again what is said already are understood, and add nothing.
        let ignored = self.ranges(|builder, at| (builder.used[at] || builder.ignored[at]) && !shown[at]);
        self.remarks.sort_by_key(|remark| remark.evidence.span.start);
        Reading {
            category: heard,
            quantity,
            attributes: self.attributes,
            remarks: self.remarks,
            conditions: self.conditions,
            unread,
            ignored,
            doubts: self.doubts,
        }
    }

    /// What a sign says stands in quotes and nothing reads it.
    pub(super) fn legend(&mut self) {
        let scope = self.scope;
        let tokens = &scope.claims.tokens;
        if self.category() != Some(Category::Sign) {
            return;
        }
        let quote = |at: &usize| {
            scope.mask[*at]
                && tokens[*at].is('"')
                && !tokens.get(at.wrapping_sub(1)).is_some_and(|t| t.is_number() && !tokens[*at].gap)
        };
        let quotes: Vec<usize> = (0..tokens.len()).filter(quote).collect();
        for pair in quotes.chunks_exact(2) {
            let claim = Claim { from: pair[0], to: pair[1] + 1, what: What::See, also: [0; 2] };
            let evidence = scope.by_grammar(&claim, "what the sign says");
            self.remarks.push(Remark { kind: RemarkKind::Other, evidence });
            self.take(&claim);
        }
    }

    /// The tokens whose words the reading shows as evidence.
    fn shown(&self, heard: &Heard<Category>, quantity: &Quantity) -> Vec<bool> {
        let mut spans: Vec<Range<usize>> = Vec::new();
        gather(heard, &mut spans);
        for value in self.attributes.values() {
            gather(value, &mut spans);
        }
        spans.extend(self.remarks.iter().map(|remark| remark.evidence.span.clone()));
        spans.extend(self.doubts.iter().map(|doubt| doubt.span.clone()));
        spans.extend(quantity.evidence.iter().map(|evidence| evidence.span.clone()));
        spans.extend(quantity.conflict.iter().map(|(_, evidence)| evidence.span.clone()));
        let mut shown = vec![false; self.used.len()];
        for span in spans {
            self.inside(&span).for_each(|at| shown[at] = true);
        }
        shown
    }

    /// The tokens that stand within a stretch of the original.
    pub(super) fn inside(&self, span: &Range<usize>) -> Range<usize> {
        let tokens = &self.scope.claims.tokens;
        let own = |token: &super::token::Token| self.scope.normal.original(token.span());
        let first = tokens.partition_point(|token| own(token).start < span.start);
        let count = tokens[first..].iter().take_while(|token| own(token).end <= span.end).count();
        first..first + count
    }

    /// A sign in the middle of what nothing reads (`4-7/8`) is no word by itself: the figures are shown as they stand.
    fn signs_between(&mut self) {
        let tokens = &self.scope.claims.tokens;
        for at in 1..tokens.len().saturating_sub(1) {
            let [before, sign, behind] = &tokens[at - 1..=at + 1] else { continue };
            if !matches!(sign.kind, Kind::Sign('-' | '/' | '.' | '\'')) || self.used[at] || sign.gap || behind.gap {
                continue;
            }
            let free = |at: usize| !self.used[at] && !self.ignored[at];
            if free(at - 1) && free(at + 1) && before.part == behind.part {
                self.ignored[at] = false;
            }
        }
    }

    /// The x between two words (`rim x lever`) joins and says nothing.
    fn joining_x(&mut self) {
        for (at, token) in self.scope.claims.tokens.iter().enumerate() {
            if token.kind == Kind::Word && token.text(self.scope.claims.text) == "x" && !self.used[at] {
                self.ignored[at] = true;
            }
        }
    }

    fn cover(&mut self, span: &Range<usize>) {
        if !span.is_empty() {
            let tokens = self.inside(span);
            self.used[tokens].fill(true);
        }
    }

    fn ranges(&self, fits: impl Fn(&Self, usize) -> bool) -> Vec<Range<usize>> {
        let mut ranges: Vec<Range<usize>> = Vec::new();
        let mut open = false;
        for (at, token) in self.scope.claims.tokens.iter().enumerate() {
            if !self.scope.mask[at] || !fits(self, at) {
                open = false;
                continue;
            }
            let span = self.scope.normal.original(token.span());
            match ranges.last_mut() {
                Some(last) if open => last.end = span.end.max(last.end),
                _ => ranges.push(span),
            }
            open = true;
        }
        ranges
    }
}

fn gather<T>(heard: &Heard<T>, spans: &mut Vec<Range<usize>>) {
    match heard {
        Heard::Found(_, evidence) => spans.push(evidence.span.clone()),
        Heard::Ambiguous(all) => spans.extend(all.iter().map(|(_, evidence)| evidence.span.clone())),
        Heard::Absent => {}
    }
}

fn evidence_span(heard: &Heard<Category>) -> Option<Range<usize>> {
    match heard {
        Heard::Found(_, evidence) if matches!(evidence.by, By::Context(_)) => None,
        Heard::Found(_, evidence) => Some(evidence.span.clone()),
        Heard::Ambiguous(all) => all.first().map(|(_, evidence)| evidence.span.clone()),
        Heard::Absent => None,
    }
}
