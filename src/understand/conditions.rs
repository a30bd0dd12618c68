//! At which doors of its set a line holds: `(RATED DOORS ONLY)`, `@ pairs`, `where rated`, `except at ext drs`, `45 min doors only`. The words are
//! in `catalogs/trade/conditions.csv`; whether it holds at a door is for the room that knows the doors.

use super::assemble::Builder;
use super::claim::{Claim, Claims, What};
use super::meaning::Special;
use super::reading::{Condition, Heard, Remark, RemarkKind, Says};
use super::roles::Role;
use super::scope::Placed;
use super::token::Kind;
use crate::evidence::Evidence;
use crate::read::schedule::PartRole;
use crate::trade::attribute::{Attr, Value};
use crate::trade::condition::{Fact, Part, Test, words};

/// A condition as its words say it.
struct Said {
    /// All of one of these hold.
    any: Vec<Vec<Test>>,
    /// The line has none at those doors.
    denied: bool,
    /// Nothing but doors can be meant.
    firm: bool,
    /// The token behind it.
    next: usize,
}

/// What was met of the words that lead to the doors and stand behind the facts.
#[derive(Default)]
struct Met {
    lead: bool,
    when: bool,
    on: bool,
    of: bool,
    only: bool,
    denied: bool,
    many: bool,
    one: bool,
    frames: bool,
    /// A fact that may be a side of the door.
    side: bool,
    needs_doors: bool,
    /// The words of the last fact say it alone.
    alone: bool,
}

/// The words of one cell.
#[derive(Clone, Copy)]
struct Cell<'a, 'c> {
    claims: &'a Claims<'c>,
    part: u16,
}

/// The token behind the condition that begins at a token.
pub(super) fn condition(claims: &Claims, at: usize) -> Option<usize> {
    let first = claims.tokens.get(at)?;
    // Nearly no token begins one.
    if !first.is_number() && words().beginning(first.text(claims.text)).is_empty() {
        return None;
    }
    let cell = Cell::of(claims, at);
    cell.said(at).map(|said| said.next).or_else(|| cell.numbers(at))
}

/// Whether a list of numbers of doors with "only" begins at a token: `rooms 101, 112 only`.
pub(super) fn lists_numbers(claims: &Claims, at: usize) -> bool {
    Cell::of(claims, at).numbers(at).is_some()
}

impl<'a, 'c> Cell<'a, 'c> {
    /// That of a token.
    fn of(claims: &'a Claims<'c>, at: usize) -> Self {
        Cell { claims, part: claims.tokens.get(at).map_or(0, |token| token.part) }
    }

    /// The part that the words at a token have in a condition, and the token behind them.
    fn part(self, at: usize, fits: impl Fn(Part) -> bool) -> Option<(Part, usize)> {
        let here = |at: usize| self.claims.tokens.get(at).filter(|token| token.part == self.part);
        let phrases = words().beginning(here(at)?.text(self.claims.text));
        let end = |phrase: &[&str]| {
            let mut next = at + 1;
            for word in phrase.iter().skip(1) {
                // "non-rated", "fire-rated"
                next += usize::from(here(next)?.is('-') && *word != "-");
                if here(next)?.text(self.claims.text) != *word {
                    return None;
                }
                next += 1;
            }
            Some(next)
        };
        phrases.iter().filter(|(_, part)| fits(*part)).find_map(|(phrase, part)| Some((*part, end(phrase)?)))
    }

    fn said(self, at: usize) -> Option<Said> {
        let mut met = Met::default();
        let mut next = self.lead(at, &mut met);
        let mut any: Vec<Vec<Test>> = Vec::new();
        let mut all: Vec<Test> = Vec::new();
        loop {
            while let Some((test, behind)) = self.fact(next, &mut met) {
                all.push(test);
                next = behind;
            }
            if all.is_empty() {
                break;
            }
            next = self.doors(next, &mut met);
            if std::mem::take(&mut met.frames) {
                all.iter_mut().for_each(Test::of_frame);
            }
            any.push(std::mem::take(&mut all));
            let Some((_, behind)) = self.part(next, |part| part == Part::Joint) else { break };
            let behind = self.lead(behind, &mut Met::default());
            if self.fact(behind, &mut Met::default()).is_none() {
                break;
            }
            next = behind;
        }
        if any.is_empty() {
            return None;
        }
        if let Some((_, behind)) = self.part(next, |part| part == Part::Only) {
            (met.only, next) = (true, behind);
        }
        let firm = met.allows(self.claims, at..next)?;
        Some(Said { any, denied: met.denied, firm, next })
    }

    /// "(door 102 only)", "102, 104 only": the numbers of doors without a word that leads to them. Those behind "at" are a place.
    fn numbers(self, at: usize) -> Option<usize> {
        let mut met = Met::default();
        let mut next = self.lead(at, &mut met);
        next = self.doors(next, &mut met);
        let named = met.one || met.many;
        // "Only at 103": what leads to a place leads to a door.
        let led = next.checked_sub(1).filter(|before| *before >= at).and_then(|before| self.claims.tokens.get(before));
        let led = led.is_some_and(|token| self.claims.lexicon.places.leads(token));
        loop {
            next = super::places::mark(self.claims, next, named)?;
            let joined = self.part(next, |part| part == Part::Joint).map(|(_, behind)| behind);
            let token = self.claims.tokens.get(next).filter(|token| token.part == self.part);
            let joins =
                token.is_some_and(|token| token.is(',') || token.is('-')) || self.claims.does(next, Role::Through);
            let Some(behind) = joined.or(joins.then_some(next + 1)) else { break };
            if super::places::mark(self.claims, behind, named).is_none() {
                break;
            }
            next = behind;
        }
        let only = self.part(next, |part| part == Part::Only);
        next = only.map_or(next, |(_, behind)| behind);
        let told = only.is_some() || met.only && (named || led);
        (told && (named || next - at > 1)).then_some(next)
    }

    /// The words that lead to the doors.
    fn lead(self, at: usize, met: &mut Met) -> usize {
        let mut next = at;
        loop {
            let leads = |part: Part| {
                matches!(part, Part::Lead | Part::If | Part::On | Part::For | Part::Only | Part::Not)
                    || part == Part::Fill && next > at
            };
            let Some((part, behind)) = self.part(next, leads) else { return next };
            match part {
                Part::Lead => met.lead = true,
                Part::If => met.when = true,
                Part::On => met.on = true,
                Part::For => met.of = true,
                Part::Only => met.only = true,
                Part::Not => met.denied = true,
                _ => {}
            }
            next = behind;
        }
    }

    /// A fact at a token, and the token behind it.
    fn fact(self, at: usize, met: &mut Met) -> Option<(Test, usize)> {
        if let Some(found) = self.minutes(at) {
            met.alone = false;
            return Some(found);
        }
        let facts = |part: Part| matches!(part, Part::Fact(_) | Part::Either(_) | Part::OfDoors(_));
        let (part, next) = self.part(at, facts)?;
        let said: Vec<&str> =
            self.claims.tokens.get(at..next)?.iter().map(|token| token.text(self.claims.text)).collect();
        met.alone = words().alone(&said);
        match part {
            Part::Fact(test) => Some((test, next)),
            Part::Either(test) => {
                met.side = true;
                Some((test, next))
            }
            Part::OfDoors(test) => {
                met.needs_doors = true;
                Some((test, next))
            }
            _ => None,
        }
    }

    /// "45 min", "1-1/2 hr", "90 minute rated".
    fn minutes(self, at: usize) -> Option<(Test, usize)> {
        let claims = self.claims;
        let (number, _, next) = claims.number(at)?;
        let next = next + usize::from(claims.tokens.get(next).is_some_and(|token| token.is('-')));
        let unit = claims.tokens.get(next).filter(|unit| claims.does(next, Role::Rating) && unit.part == self.part)?;
        let times = if unit.text(claims.text).starts_with('h') { 60 } else { 1 };
        let minutes = number.checked_mul(rust_decimal::Decimal::from(times))?;
        let minutes: u32 = minutes.normalize().to_string().parse().ok()?;
        let rated = self.part(next + 1, |part| part == Part::Fact(Test { fact: Fact::Rated, holds: true }));
        Some((Test { fact: Fact::Minutes(minutes), holds: true }, rated.map_or(next + 1, |(_, behind)| behind)))
    }

    /// The words for doors behind the facts.
    fn doors(self, at: usize, met: &mut Met) -> usize {
        let mut next = at;
        let doors = |part: Part| matches!(part, Part::Doors | Part::Door | Part::Frames);
        while let Some((part, behind)) = self.part(next, doors) {
            match part {
                Part::Doors => met.many = true,
                Part::Frames => (met.frames, met.many) = (true, true),
                _ => met.one = true,
            }
            next = behind;
        }
        next
    }
}

impl Met {
    /// Whether the words make a condition at all, and whether nothing but doors can be meant.
    fn allows(&self, claims: &Claims, span: std::ops::Range<usize>) -> Option<bool> {
        let doors = self.many || self.one;
        let end = ends(claims, span.end) || doors || self.only;
        let by_itself = self.alone_there(claims, &span);
        let led = self.lead
            || self.when
            || self.denied
            || self.only
            || self.on && doors
            || self.of && self.many && !self.needs_doors
            || by_itself && !self.needs_doors;
        let told = end && led && (doors || !self.needs_doors);
        let one_good = self.of && self.one && !self.only && !self.many;
        let several = self.many || self.alone && !self.side;
        let strong = several || self.only && (doors || !self.side) || self.denied && (doors || !self.side) || self.when;
        let strong = strong && (!self.of || self.only || self.denied);
        (told && !one_good).then_some(strong)
    }

    /// `(PAIRS)`, `- EXTERIOR`, a cell of remarks that says nothing else.
    fn alone_there(&self, claims: &Claims, span: &std::ops::Range<usize>) -> bool {
        if self.lead || self.when || self.on || self.of || !(self.many || self.alone) {
            return false;
        }
        let before = span.start.checked_sub(1).and_then(|before| claims.tokens.get(before));
        let behind = claims.tokens.get(span.end);
        let first = &claims.tokens[span.start];
        let begins = before.is_none_or(|before| before.part != first.part);
        let stops = behind.is_none_or(|behind| behind.part != first.part);
        let bracket = before.is_some_and(|token| token.is('(') || token.is('['));
        let dash = first.gap && before.is_some_and(|token| token.is('-') || token.is(','));
        let remark = begins && stops && claims.role(span.start) == PartRole::Remarks;
        let closed = behind.is_some_and(|token| token.is(')') || token.is(']') || token.is(','));
        bracket && closed || dash && (stops || closed) || remark
    }
}

/// Whether a clause ends before a token.
fn ends(claims: &Claims, at: usize) -> bool {
    let Some(behind) = claims.tokens.get(at) else { return true };
    let dash = behind.is('-') && behind.gap;
    behind.part != claims.tokens[at - 1].part
        || behind.line
        || dash
        || matches!(behind.kind, Kind::Sign(')' | ']' | ',' | ';' | '.' | ':'))
}

impl Builder<'_> {
    /// What stands behind "only when" is a condition; it is kept as a remark and settles nothing.
    pub(super) fn conditions(&mut self) {
        for old in [&self.scope.claims.old, &self.scope.claims.kept] {
            if !self.scope.mask.get(old.start).copied().unwrap_or(false) || old.is_empty() {
                continue;
            }
            let claim = Claim { from: old.start, to: old.end, what: What::See, also: [0; 2] };
            let evidence = self.scope.by_grammar(&claim, "what is taken out or stays");
            self.remarks.push(Remark { kind: RemarkKind::Other, evidence });
            self.take(&claim);
        }
        for condition in &self.scope.conditions {
            let claim = Claim { from: condition.start, to: condition.end, what: What::See, also: [0; 2] };
            let evidence = self.scope.by_grammar(&claim, "condition");
            self.remarks.push(Remark { kind: RemarkKind::Other, evidence });
            self.take(&claim);
        }
    }

    /// Hears a condition that facts of a door decide.
    pub(super) fn condition(&mut self, claim: &Claim) {
        let evidence = self.scope.by_grammar(claim, "condition: at which doors");
        self.take(claim);
        let cell = Cell::of(self.scope.claims, claim.from);
        let Some(said) = cell.said(claim.from) else { return self.placed(claim, &evidence, true) };
        let denied = said.denied || self.left_out_before(claim);
        if self.unless_before(claim) {
            let (span, says) = (evidence.span.clone(), Says::Unclear);
            self.conditions.push(Condition { span, says, denied: false, firm: false, of: None });
            self.remarks.push(Remark { kind: RemarkKind::Other, evidence });
            return;
        }
        let of = self.option_before(claim);
        let (span, firm) = (evidence.span.clone(), said.firm || denied);
        self.conditions.push(Condition { span, says: Says::Facts(said.any), denied, firm, of });
        self.remarks.push(Remark { kind: RemarkKind::Other, evidence });
    }

    /// Hears that goods go to some place: the room that knows the doors tells whether it is a door's number.
    pub(super) fn placed(&mut self, claim: &Claim, evidence: &Evidence, mut firm: bool) {
        let (claims, cell) = (self.scope.claims, Cell::of(self.scope.claims, claim.from));
        let before = (claim.from.saturating_sub(3)..=claim.from).filter(|at| claims.tokens[*at].part == cell.part);
        let not = |from: usize| cell.part(from, |part| part == Part::Not).filter(|(_, next)| *next >= claim.from);
        let denied = before.filter_map(|from| Some((from, not(from)?))).next();
        if let Some((from, _)) = denied {
            self.used[from..claim.from].fill(true);
        }
        firm |= (claim.from..claim.to).any(|at| cell.part(at, |part| part == Part::Only).is_some());
        // "At stair doors only"
        let doors = cell.doors(claim.to, &mut Met::default());
        if let Some((_, behind)) = cell.part(doors, |part| part == Part::Only) {
            firm = true;
            self.used[claim.to..behind].fill(true);
        }
        if self.left_out_before(claim) {
            return;
        }
        if self.unless_before(claim) {
            let (span, says) = (evidence.span.clone(), Says::Unclear);
            self.conditions.push(Condition { span, says, denied: false, firm: false, of: None });
            return;
        }
        let (denied, of) = (denied.is_some(), self.option_before(claim));
        let (span, firm) = (evidence.span.clone(), firm || denied);
        self.conditions.push(Condition { span, says: Says::Place, denied, firm, of });
    }

    /// Hears conditions that no fact of a door decides: `where noted`. What may be there or not is asked of the words themselves.
    pub(super) fn unclear_conditions(&mut self) {
        let claims = self.scope.claims;
        for range in &self.scope.conditions {
            let optional =
                self.scope.placed.iter().any(|one| one.optional && one.claim.to == range.start && self.is_open(one));
            let cell = Cell::of(claims, range.start);
            let begins = cell.part(range.start, |part| matches!(part, Part::If | Part::Not)).is_some();
            if optional || !begins {
                continue;
            }
            let claim = Claim { from: range.start, to: range.end, what: What::See, also: [0; 2] };
            let (span, of) = (self.scope.span(&claim), self.option_before(&claim));
            self.conditions.push(Condition { span, says: Says::Unclear, denied: false, firm: false, of });
        }
    }

    /// Whether what a claim says of the goods was left open.
    fn is_open(&self, placed: &Placed) -> bool {
        let span = self.scope.span(placed.claim);
        let open =
            |heard: &Heard<Value>| matches!(heard, Heard::Ambiguous(all) if all.iter().any(|(_, by)| by.span == span));
        self.attributes.values().any(open)
    }

    /// `UNLESS NOTED OTHERWISE AT 101`: what holds there instead nobody says.
    fn unless_before(&self, claim: &Claim) -> bool {
        let claims = self.scope.claims;
        let cell = Cell::of(claims, claim.from);
        claims.ending(claim.from).is_some_and(|before| {
            let mut meanings = before.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
            let remark = meanings.any(|one| matches!(&one.special, Special::Remark(RemarkKind::Other)));
            remark && cell.part(before.from, |part| matches!(part, Part::Not | Part::If)).is_some()
        })
    }

    /// Whether a remark that leaves goods out stands right before: `BY OTHERS AT RATED DOORS`.
    fn left_out_before(&self, claim: &Claim) -> bool {
        let claims = self.scope.claims;
        let leaves_out = |kind: &RemarkKind| {
            use RemarkKind::{ByOthers, Existing, NotInContract, NotUsed};
            matches!(kind, ByOthers | NotInContract | Existing | NotUsed)
        };
        claims.ending(claim.from).is_some_and(|before| {
            let mut meanings = before.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
            meanings.any(|meaning| matches!(&meaning.special, Special::Remark(kind) if leaves_out(kind)))
        })
    }

    /// The attribute that words right before a condition gave, where such a condition is one of that alone: `NRP @ EXT DRS`.
    fn option_before(&self, claim: &Claim) -> Option<Attr> {
        let claims = self.scope.claims;
        let mut to = claim.from;
        while to > 0 && matches!(claims.tokens[to - 1].kind, Kind::Sign('(' | '-' | ',')) {
            to -= 1;
        }
        let before =
            claims.ending(to).filter(|before| claims.tokens[before.from].part == claims.tokens[claim.from].part)?;
        if !matches!(before.what, What::Phrase(_)) {
            return None;
        }
        let span = self.scope.span(before);
        let heard = |heard: &Heard<Value>| match heard {
            Heard::Found(value, by) if by.span == span => Some(value.to_string()),
            _ => None,
        };
        self.attributes.iter().find_map(|(attribute, value)| {
            let value = heard(value)?;
            words().is_option(attribute.name(), &value).then_some(*attribute)
        })
    }
}
