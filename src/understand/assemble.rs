//! Makes a reading of a scope: applies every claim that holds for the category, and keeps what nothing took.

use crate::trade::by_attribute::ByAttr;
use std::ops::Range;

use super::category::{self, Decided};
use super::claim::{Claim, What};
use super::lexicon::Entry;
use super::meaning::{ANY, Categories, Meaning, Special, single};
use super::measure::Measured;
use super::reading::{Condition, Doubt, Heard, Reading, Remark, RemarkKind};
use super::scope::{Joined, Placed, Relation, Scope};
use crate::evidence::Evidence;
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::inches::Inches;

/// A reading in the making.
#[derive(Debug)]
pub struct Builder<'a> {
    /// What it is made from.
    pub scope: &'a Scope<'a>,
    /// The goods it may be.
    pub set: Categories,
    /// The first tokens of the claims that name the good.
    pub named: Vec<usize>,
    /// Attributes so far.
    pub attributes: ByAttr<Heard<Value>>,
    /// Finish codes written.
    pub codes: Vec<(&'static str, Evidence)>,
    /// Looks written, by US code or in words.
    pub looks: Vec<(&'static str, Evidence)>,
    /// Names of functions.
    pub function_names: Vec<(String, Evidence)>,
    /// Numbers of functions.
    pub function_numbers: Vec<(&'static str, Evidence)>,
    /// Names of functions that hold unless another is said.
    pub usual_functions: Vec<(String, Evidence)>,
    /// Values that hold unless something else is said.
    pub usual: Vec<(Attr, Value, Evidence)>,
    /// The same, of the name of another good: what the good has of its own goes before it.
    pub lent: Vec<(Attr, Value, Evidence)>,
    /// Remarks.
    pub remarks: Vec<Remark>,
    /// At which doors it holds.
    pub conditions: Vec<Condition>,
    /// Doubts.
    pub doubts: Vec<Doubt>,
    /// "Or" joins what is being heard to what was heard before it.
    pub or: bool,
    /// Where something was denied that no attribute can hold, and the attribute it would have been.
    pub denied_at: Vec<(usize, Attr)>,
    /// The first tokens of what is there already, beside the good that is bought.
    pub there: Vec<usize>,
    /// Tokens that were understood.
    pub used: Vec<bool>,
    /// Tokens without meaning.
    pub ignored: Vec<bool>,
}

/// Makes the reading of a scope.
pub fn reading(scope: &Scope) -> Reading {
    let Decided { heard, set, nouns, others } = category::decide(scope);
    let count = scope.claims.tokens.len();
    let mut builder = Builder {
        scope,
        set,
        named: nouns.clone(),
        attributes: ByAttr::default(),
        codes: Vec::new(),
        looks: Vec::new(),
        function_names: Vec::new(),
        function_numbers: Vec::new(),
        usual_functions: Vec::new(),
        usual: Vec::new(),
        lent: Vec::new(),
        remarks: Vec::new(),
        conditions: Vec::new(),
        doubts: Vec::new(),
        or: false,
        denied_at: Vec::new(),
        there: Vec::new(),
        used: vec![false; count],
        ignored: vec![false; count],
    };
    builder.conditions();
    scope.refusals.iter().for_each(|refusal| builder.ignored[refusal.clone()].fill(true));
    for placed in &scope.placed {
        builder.apply(placed, &nouns);
    }
    builder.refused();
    builder.unclear_conditions();
    if builder.function_names.is_empty() {
        builder.function_names = std::mem::take(&mut builder.usual_functions);
    }
    for from in others {
        builder.second_good(from);
    }
    let lent = std::mem::take(&mut builder.lent);
    for (attribute, value, evidence) in std::mem::take(&mut builder.usual).into_iter().chain(lent) {
        builder.attributes.insert_new(attribute, Heard::Found(value, evidence));
    }
    scope.last_thought(&mut builder.codes);
    scope.last_thought(&mut builder.looks);
    scope.last_thought(&mut builder.function_names);
    scope.last_thought(&mut builder.function_numbers);
    builder.parts();
    builder.legend();
    builder.bare_numbers();
    super::finishes::settle(&mut builder);
    super::gauge::settle(&mut builder);
    super::functions::settle(&mut builder);
    let quantity = super::amount::quantity(&mut builder);
    builder.finish(heard, quantity)
}

impl Builder<'_> {
    /// The one category, if it is settled.
    pub fn category(&self) -> Option<Category> {
        single(self.set)
    }

    /// Marks the tokens of a claim as understood.
    pub fn take(&mut self, claim: &Claim) {
        self.used[claim.from..claim.to].fill(true);
    }

    /// Hears a value; a second, different one makes both doubtful.
    pub fn put(&mut self, attribute: Attr, value: Value, evidence: Evidence) {
        let heard = match self.attributes.remove(&attribute) {
            None | Some(Heard::Absent) => Heard::Found(value, evidence),
            // "RH, no make that LH"
            Some(Heard::Found(_, by)) if self.scope.thought_again(&by, &evidence) => Heard::Found(value, evidence),
            Some(Heard::Found(known, by)) if known == value => Heard::Found(known, by),
            Some(Heard::Found(Value::List(mut words), by)) => {
                if let Value::List(more) = value {
                    words.extend(more);
                    words.sort();
                    words.dedup();
                }
                Heard::Found(Value::List(words), by)
            }
            Some(Heard::Found(known, by)) => Heard::Ambiguous(vec![(known, by), (value, evidence)]),
            // What was open among several is settled by a word that names one of them, unless "or" joins them; one value
            // that holds only under a condition stands beside another.
            Some(Heard::Ambiguous(all))
                if !self.or && all.len() > 1 && all.iter().all(|(_, by)| by.span == all[0].1.span) =>
            {
                Heard::Found(value, evidence)
            }
            Some(Heard::Ambiguous(mut all)) => {
                all.push((value, evidence));
                Heard::Ambiguous(all)
            }
        };
        self.attributes.insert(attribute, heard);
    }

    /// Hears several candidates of one word.
    pub fn put_open(&mut self, attribute: Attr, values: Vec<(Value, Evidence)>) {
        // "Rim or vert rod": both stay open.
        if let (true, Some(Heard::Found(known, by))) = (self.or, self.attributes.get(&attribute)) {
            let mut all = vec![(known.clone(), by.clone())];
            all.extend(values);
            self.attributes.insert(attribute, Heard::Ambiguous(all));
            return;
        }
        self.attributes.insert_new(attribute, Heard::Ambiguous(values));
    }

    fn apply(&mut self, placed: &Placed, nouns: &[usize]) {
        let claim = placed.claim;
        if placed.relation == Relation::When {
            return;
        }
        if self.there.contains(&claim.from) {
            return self.ignored[claim.from..claim.to].fill(true);
        }
        match &claim.what {
            What::Phrase(_) | What::Guess(_) => self.phrase(placed, nouns),
            What::Size(dimensions) => super::dimensions::size(self, placed, dimensions),
            What::Labelled { label, number, measured, to, or } => {
                super::dimensions::labelled(self, placed, *label, (*number, *measured), *to);
                if let Some(other) = or {
                    let measured = Measured { value: Inches::new(*other), ..*measured };
                    super::dimensions::labelled(self, placed, *label, (*other, measured), None);
                }
            }
            What::Range(from, to) => {
                if self.category() == Some(Category::Closer) {
                    let evidence = self.scope.by_grammar(claim, "closer sizes");
                    self.put(names::SIZE, Value::text(&format!("{from}-{to}")), evidence);
                    self.take(claim);
                }
            }
            What::Quantity(_) => self.take(claim),
            What::Outline => self.ignored[claim.from..claim.to].fill(true),
            What::See => {
                let evidence = self.scope.by_grammar(claim, "reference");
                self.remarks.push(Remark { kind: super::see::kind(self.scope.claims, claim), evidence });
                self.take(claim);
            }
            What::Place => {
                let evidence = self.scope.by_grammar(claim, "place: where the goods go");
                self.placed(claim, &evidence, false);
                self.remarks.push(Remark { kind: RemarkKind::Other, evidence });
                self.take(claim);
            }
            What::Condition => self.condition(claim),
            What::Designation => self.designation(placed),
        }
    }

    /// The original words of a span, in capitals as they were.
    pub fn original(&self, span: Range<usize>) -> String {
        self.scope.original.get(span).unwrap_or("").to_owned()
    }

    fn phrase(&mut self, placed: &Placed, nouns: &[usize]) {
        let claim = placed.claim;
        self.or = placed.joined == Some(Joined::Or);
        let lexicon = self.scope.claims.lexicon;
        let mut taken = false;
        let named = |claim: &Claim| claim.entries(lexicon).flat_map(|entry| &entry.meanings).any(|m| m.noun.is_some());
        for entry in claim.entries(lexicon) {
            if entry.ambiguous {
                // "DPS for FB": a good that this one is for, whichever it is.
                let goods = |meaning: &Meaning| meaning.noun.is_some();
                if placed.relation == Relation::For
                    && self.category().is_some()
                    && entry.meanings.iter().any(goods)
                    && !entry
                        .meanings
                        .iter()
                        .any(|meaning| !goods(meaning) && self.holds(meaning) && meaning.categories != ANY)
                {
                    self.ignored[claim.from..claim.to].fill(true);
                    continue;
                }
                taken |= self.ambiguous(placed, entry, nouns);
                continue;
            }
            for meaning in &entry.meanings {
                if meaning.noun.is_some() {
                    if nouns.contains(&claim.from) {
                        self.apply_sets(placed, entry, meaning);
                        taken = true;
                    } else if placed.relation == Relation::For {
                        // What the good is for says nothing of the good itself.
                        self.ignored[claim.from..claim.to].fill(true);
                    } else if placed.denied {
                        self.without(placed, entry);
                        taken = true;
                    }
                } else if self.holds(meaning) {
                    let known = |set: &super::meaning::Sets| self.attributes.contains_key(&set.attribute);
                    let accessory = placed.relation == Relation::With && named(claim);
                    if accessory && meaning.sets.iter().any(known) {
                        // The core of a mortise cylinder does not change what the cylinder is.
                        taken = true;
                        continue;
                    }
                    taken |= self.meaning(placed, entry, meaning);
                }
            }
        }
        if !taken && claim.to > claim.from + 1 && !claim.entries(lexicon).any(|entry| self.says(entry)) {
            self.inner(placed, nouns);
            self.of_others(placed);
        }
        if taken {
            self.take(claim);
            if let What::Guess(_) = claim.what {
                let span = self.scope.span(claim);
                let says = format!("\"{}\" is taken for a misspelling", self.original(span.clone()));
                self.doubts.push(Doubt { code: "misspelled-word", says, span, attribute: None });
            }
        }
    }

    /// Whether an entry names goods, or says something of the goods that the reading may be about.
    fn says(&self, entry: &Entry) -> bool {
        entry.ambiguous || entry.meanings.iter().any(|meaning| meaning.noun.is_some() || self.holds(meaning))
    }

    /// A phrase that holds for other goods only (w/ DPS, of a magnetic lock): the phrases inside it.
    fn inner(&mut self, placed: &Placed, nouns: &[usize]) {
        let Claim { from, to, .. } = *placed.claim;
        let mut at = from;
        while at < to {
            let claims = self.scope.claims;
            // The phrase itself is none of those inside it; a shorter one may begin where it begins.
            let shorter = |end: usize| {
                let found = claims.lexicon.phrase(&claims.tokens[..end], at)?;
                (!found.guessed && found.next - at < to - from).then_some(found)
            };
            match (at + 1..=to).rev().find_map(shorter) {
                Some(found) => {
                    let claim = Claim { from: at, to: found.next, what: What::Phrase(found.node), also: found.also };
                    self.phrase(&Placed { claim: &claim, ..*placed }, nouns);
                    at = found.next;
                }
                None => at += 1,
            }
        }
    }

    /// Whether a meaning holds for the goods that the reading may be about.
    pub fn holds(&self, meaning: &Meaning) -> bool {
        if meaning.categories == ANY {
            return true;
        }
        if let (Special::FunctionNumber(_), Some(Category::ExitDevice | Category::Deadlock)) =
            (&meaning.special, self.category())
        {
            return true;
        }
        // A number that puts the kind of lock in doubt is said all the same.
        if matches!(meaning.special, Special::FunctionNumber(_)) && self.set & meaning.categories != 0 {
            return true;
        }
        self.set != 0 && self.set & !meaning.categories == 0
    }

    /// Applies one meaning; says whether it took the words.
    pub fn meaning(&mut self, placed: &Placed, entry: &Entry, meaning: &Meaning) -> bool {
        let claim = placed.claim;
        let evidence = self.scope.by_entry(claim, entry);
        match &meaning.special {
            Special::Nothing | Special::Link(_) | Special::Not => {
                self.ignored[claim.from..claim.to].fill(true);
                return false;
            }
            Special::Ordinary
            | Special::Belonging
            | Special::After(_)
            | Special::Before(_)
            | Special::Dimension(_)
            | Special::Unit(_)
            | Special::Basis(_)
            | Special::Number(_) => return false,
            Special::Remark(kind) => {
                let kind = self.whose(self.said_of(*kind, placed, meaning), claim, &evidence);
                self.remarks.push(Remark { kind, evidence });
            }
            Special::FunctionName(_) if super::functions::is_a_room(self.scope.claims, placed) => return false,
            _ if placed.denied => return self.denied(placed, entry, meaning),
            Special::Look(look) => self.looks.push((look, evidence)),
            Special::Finish(code) => self.codes.push((code, evidence)),
            Special::FunctionName(name) => self.name_function(placed, name, evidence),
            Special::FunctionNumber(number) => self.function_numbers.push((number, evidence)),
            Special::TypeNumber(number, settles) => {
                self.put(names::STANDARD, Value::text(number), evidence.clone());
                if *settles {
                    self.apply_sets(placed, entry, meaning);
                } else {
                    for set in &meaning.sets {
                        let all = set.values.iter().map(|value| (value.clone(), evidence.clone())).collect();
                        self.put_open(set.attribute, all);
                    }
                }
            }
            Special::Plain => {
                // "For fire rated door": the good is listed as the door is.
                let rated = |set: &super::meaning::Sets| set.attribute == names::FIRE_LISTED && set.values[0].is_true();
                if placed.relation == Relation::For && meaning.categories == ANY && !meaning.sets.iter().any(rated) {
                    return false;
                }
                self.apply_sets(placed, entry, meaning);
            }
        }
        true
    }

    /// "no hold open": a flag is turned, any other value denied is a remark.
    fn denied(&mut self, placed: &Placed, entry: &Entry, meaning: &Meaning) -> bool {
        let evidence = self.scope.by_entry(placed.claim, entry);
        let mut taken = false;
        for set in &meaning.sets {
            if let [Value::Flag(flag)] = set.values.as_slice() {
                self.put(set.attribute, Value::Flag(!flag), evidence.clone());
                taken = true;
            }
        }
        if !taken && !meaning.sets.is_empty() {
            self.without(placed, entry);
            return true;
        }
        taken
    }

    /// What a line says it has not, where no attribute can hold that.
    fn without(&mut self, placed: &Placed, entry: &Entry) {
        let first = entry.meanings.iter().flat_map(|meaning| &meaning.sets).next();
        self.denied_at.extend(first.map(|set| (placed.claim.from, set.attribute)));
        let evidence = self.scope.by_entry(placed.claim, entry);
        self.remarks.push(Remark { kind: RemarkKind::Other, evidence });
    }

    pub fn apply_sets(&mut self, placed: &Placed, entry: &Entry, meaning: &Meaning) {
        if placed.denied {
            return;
        }
        let evidence = self.scope.by_entry(placed.claim, entry);
        if let Special::FunctionName(name) = &meaning.special
            && meaning.noun.is_some()
        {
            self.name_function(placed, name, evidence.clone());
        }
        let borrowed = self.scope.borrowed.contains(&placed.claim.from);
        for set in &meaning.sets {
            match set.values.as_slice() {
                [value] if placed.optional => {
                    let mut all = vec![(value.clone(), evidence.clone())];
                    if let Value::Flag(flag) = value {
                        all.push((Value::Flag(!flag), evidence.clone()));
                    }
                    self.put_open(set.attribute, all);
                }
                // "SS or plastic": of two materials neither is chosen.
                [value] if set.attribute == names::MATERIAL && placed.joined == Some(Joined::Or) => {
                    let base = self.attributes.get(&names::BASE).and_then(Heard::found).cloned();
                    let all = base.into_iter().chain([value.clone()]).map(|value| (value, evidence.clone()));
                    self.put_open(set.attribute, all.collect());
                }
                [value] if borrowed => self.lent.push((set.attribute, value.clone(), evidence.clone())),
                [value] if set.usual && placed.joined != Some(Joined::Or) && !self.scope.or_behind(placed.claim) => {
                    self.usual.push((set.attribute, value.clone(), evidence.clone()))
                }
                [value] => self.put(set.attribute, value.clone(), evidence.clone()),
                values => {
                    let all = values.iter().map(|value| (value.clone(), evidence.clone())).collect();
                    self.put_open(set.attribute, all);
                }
            }
        }
    }

    /// Hears the name of a function; one that stands with the name of another good holds unless its own is said.
    fn name_function(&mut self, placed: &Placed, name: &str, evidence: Evidence) {
        let borrowed = self.scope.borrowed.contains(&placed.claim.from);
        let names = if borrowed { &mut self.usual_functions } else { &mut self.function_names };
        names.push((name.to_owned(), evidence));
    }
}
