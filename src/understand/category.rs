//! Decides what kind of good a reading is about: by the noun that is not merely part of something else, by a type or
//! function number, by attributes that only one kind of good has, and last by the section heading.

use super::beside::{self, labels, touching};
use super::claim::{Claim, Claims, What};
use super::lexicon::{Entry, Gist};
use super::meaning::{ANY, Categories, Decider, Meaning, Noun, Special, members, only, single};
use super::narrow::{narrow, qualifies};
use super::reading::Heard;
use super::roles::Role;
use super::scope::{Joined, Placed, Relation, Scope};
use crate::evidence::Evidence;
use crate::read::schedule::PartRole;
use crate::trade::category::Category;

/// What was decided, and by which claims.
#[derive(Debug)]
pub struct Decided {
    /// The category for the reading.
    pub heard: Heard<Category>,
    /// The goods it may be; empty when nothing is known.
    pub set: Categories,
    /// Claims (by their first token) whose nouns speak of this good.
    pub nouns: Vec<usize>,
    /// Claims that name another good.
    pub others: Vec<usize>,
}

/// A noun of the reading.
pub(super) struct Named<'a> {
    /// Its claim in its relation.
    pub(super) placed: Placed<'a>,
    /// The entry that names it.
    pub(super) entry: &'a Entry,
    /// What it names.
    pub(super) noun: Noun,
}

/// Decides the category of a reading.
pub fn decide(scope: &Scope) -> Decided {
    let nouns = nouns(scope);
    let mut decided = match head(scope, &nouns) {
        Some(head) => beside::leading(scope, &nouns[head]).unwrap_or_else(|| by_noun(scope, &nouns, head)),
        None => by_attributes(scope),
    };
    beside::belongings(scope, &nouns, &mut decided);
    beside::elsewhere(scope, &nouns, &mut decided);
    if single(decided.set).is_none() {
        super::heading::narrows(scope, &mut decided);
        super::narrow::bored_first(scope, &mut decided);
    }
    decided
}

/// The nouns of the reading in order; those of the catalog number come after all others.
fn nouns<'a>(scope: &Scope<'a>) -> Vec<Named<'a>> {
    let mut nouns: Vec<Named<'a>> = Vec::new();
    let lexicon = scope.claims.lexicon;
    for placed in &scope.placed {
        if matches!(placed.role, PartRole::Quantity | PartRole::Unit | PartRole::Finish | PartRole::Maker) {
            continue;
        }
        // "ETW 8": the label of a number may name the good too.
        let label = match placed.claim.what {
            What::Labelled { label, .. } => label,
            _ => 0,
        };
        if !placed.claim.may_be(lexicon, Gist::NOUN) && !lexicon.may_be(label, Gist::NOUN) {
            continue;
        }
        let entries = placed.claim.entries(lexicon).chain(lexicon.entries(label));
        let labels = |noun: Noun| {
            let mut meanings = lexicon.entries(label).flat_map(|entry| &entry.meanings);
            // "50 hook" of a key cabinet is no coat hook.
            label == 0
                || meanings.any(|one| {
                    matches!(one.special, Special::After(_) | Special::Before(_) | Special::Dimension(_))
                        && one.categories & noun.categories != 0
                })
        };
        let mut named = entries.filter(|entry| !entry.ambiguous).filter_map(|entry| {
            let noun = entry.meanings.iter().find_map(noun_of).filter(|noun| labels(*noun))?;
            // Of goods that one name has together, the one that this reading is about.
            let noun = if noun.categories & scope.only != 0 {
                Noun { categories: noun.categories & scope.only, ..noun }
            } else {
                noun
            };
            Some(Named { placed: *placed, entry, noun })
        });
        // "Privacy lever cyl": of two goods that an abbreviation names, the one that can be what else is said.
        let Some(first) = named.next() else { continue };
        let suits = |one: &Named| said(scope, placed.claim).is_none_or(|said| said & one.noun.categories != 0);
        let better = if placed.claim.also[0] == 0 || suits(&first) { None } else { named.find(suits) };
        nouns.push(better.unwrap_or(first));
    }
    // "Mullion mount reader": where the good stands is not the good, when another is named.
    if nouns.iter().any(|named| !is_place(scope.claims, named.placed.claim)) {
        nouns.retain(|named| !is_place(scope.claims, named.placed.claim));
    }
    nouns.sort_by_key(|named| match named.placed.role {
        PartRole::CatalogNumber => 1,
        PartRole::Remarks => 2,
        _ => 0,
    });
    nouns
}

/// The goods that have everything which only some goods have and which is said beside a claim.
fn said(scope: &Scope, beside: &Claim) -> Option<Categories> {
    let own = scope.placed.iter().filter(|placed| is_own(placed) && placed.claim.from != beside.from);
    let all = own.map(|placed| qualifies(scope, placed, true)).filter(|set| *set != 0);
    all.reduce(|one, other| one & other)
}

/// "Mullion mount", "jamb mounted".
fn is_place(claims: &Claims, claim: &Claim) -> bool {
    let hyphen = usize::from(claims.tokens.get(claim.to).is_some_and(|token| token.is('-')));
    let at = claim.to + hyphen;
    claims.tokens.get(at).is_some_and(|token| token.part == claims.tokens[claim.from].part)
        && claims.does(at, Role::Mount)
}

/// A type number names its good as a noun does.
fn noun_of(meaning: &Meaning) -> Option<Noun> {
    match meaning.special {
        Special::TypeNumber(_, true) => Some(Noun { categories: meaning.categories, ..Noun::default() }),
        _ => meaning.noun,
    }
}

/// Index of the noun that names the good.
fn head(scope: &Scope, nouns: &[Named]) -> Option<usize> {
    let own = |named: &Named| {
        named.placed.relation == Relation::Own && !named.placed.denied && named.placed.role != PartRole::Remarks
    };
    let mut head = nouns.iter().position(own)?;
    // "Rubber bumpers in frame (silencers)": a name alone in brackets says what the words before it mean.
    if single(nouns[head].noun.categories).is_none()
        && let Some(named) =
            nouns.iter().skip(head + 1).position(|named| own(named) && in_brackets(scope.claims, named.placed.claim))
        && let named = &nouns[head + 1 + named]
        && single(named.noun.categories).is_some()
        && !named.noun.component
    {
        return nouns.iter().position(|one| one.placed.claim.from == named.placed.claim.from);
    }
    // "mortise lock cylinder": a part right behind the name of the whole is the part. "overhead rain drip", "stop mounted
    // silencer": of two goods the last is meant, unless it can be something of the first ("closer stop"), or the first are
    // goods of another trade ("toilet partition hinge").
    while let Some(next) = nouns.get(head + 1)
        && own(next)
        && touching(scope.claims, nouns[head].placed.claim, next.placed.claim)
        && (next.noun.component && !of_component(scope, &nouns[head], next) || is_other(scope, &nouns[head], next))
        && nouns[head].noun.categories != only(Category::Other)
        // `SILENCERS | SL`: letters in the column of numbers name no other good than the words do.
        && (next.placed.role != PartRole::CatalogNumber || nouns[head].placed.role == PartRole::CatalogNumber)
        // "Wire harness hinge to lock": from where to where it runs.
        && nouns[head].noun.categories != only(Category::Wiring)
    {
        head += 1;
    }
    Some(head)
}

/// "Mortise cylinder interchangeable core": what can be said of a part is no other part.
fn of_component(scope: &Scope, one: &Named, next: &Named) -> bool {
    one.noun.component && is_attribute(scope, next.placed.claim.from, one.noun.categories)
}

/// Whether a claim stands in brackets with nothing beside it.
fn in_brackets(claims: &Claims, claim: &Claim) -> bool {
    let before = claim.from.checked_sub(1).and_then(|before| claims.tokens.get(before));
    before.is_some_and(|token| token.is('(')) && claims.tokens.get(claim.to).is_some_and(|token| token.is(')'))
}

/// Whether a noun names another good than the one before it.
fn is_other(scope: &Scope, one: &Named, next: &Named) -> bool {
    let apart = one.noun.categories & next.noun.categories == 0;
    let said =
        |next: &Named| is_attribute(scope, next.placed.claim.from, one.noun.categories) || labels(scope, next, one);
    apart && next.placed.joined.is_none() && !said(next)
}

/// The head noun, narrowed by the other nouns and by what else is said.
fn by_noun(scope: &Scope, nouns: &[Named], head: usize) -> Decided {
    let named = &nouns[head];
    let mut set = named.noun.categories;
    let mut used = vec![named.placed.claim.from];
    let mut others = Vec::new();
    if let Some(decided) = two_named(scope, nouns, head) {
        return decided;
    }
    // "threshold gasket, saddle": what else is said may be for the good whose name stands right before.
    if let Some(before) = head.checked_sub(1).and_then(|before| nouns.get(before))
        && !named.noun.component
        && before.placed.relation == Relation::Own
        && touching(scope.claims, before.placed.claim, named.placed.claim)
    {
        let mut rest = nouns.iter().enumerate().filter(|(index, _)| *index > head).map(|(_, other)| other);
        let speaks = |set: Categories| move |other: &Named| other.noun.categories & set != 0;
        let first = before.noun.categories;
        if rest.any(speaks(first)) {
            set = first;
        }
    }
    for (index, other) in nouns.iter().enumerate() {
        if index == head || other.placed.denied || super::narrow::of_one_face(scope, named, other) {
            continue;
        }
        if other.placed.relation == Relation::Own && set & other.noun.categories != 0 {
            let or = other.placed.joined == Some(Joined::Or) && index == head + 1;
            if or && single(set).is_none() && single(other.noun.categories).is_none() {
                // "stop or holder": either may be meant.
                let evidence = scope.by_entry(named.placed.claim, named.entry);
                set |= other.noun.categories;
                let nouns = vec![named.placed.claim.from, other.placed.claim.from];
                return Decided { heard: heard(set, set, &evidence), set, nouns, others };
            }
            set &= other.noun.categories;
            used.push(other.placed.claim.from);
        } else if other.placed.relation == Relation::Own && index > head {
            others.push(other.placed.claim.from);
        }
    }
    let whole = set;
    if set & only(Category::Other) == 0 {
        narrow(scope, &mut set, true, named.placed.claim.from);
        narrow(scope, &mut set, false, named.placed.claim.from);
    }
    set = super::narrow::continuous(scope, set);
    let evidence = scope.by_entry(named.placed.claim, named.entry);
    others.retain(|from| !is_attribute(scope, *from, set));
    if let Some((other, by)) = super::functions::of_another_kind(scope, set, whole) {
        let all: Vec<_> = members(set).map(|category| (category, evidence.clone())).collect();
        let heard = Heard::Ambiguous(all.into_iter().chain([(other, by)]).collect());
        return Decided { heard, set: set | only(other), nouns: used, others };
    }
    let heard = heard(set, whole, &evidence);
    Decided { heard, set, nouns: used, others }
}

/// Whether a noun can also be read as an attribute of the good ("stop" of a closer).
pub(super) fn is_attribute(scope: &Scope, from: usize, set: Categories) -> bool {
    scope.placed.iter().filter(|placed| placed.claim.from == from).any(|placed| {
        placed
            .claim
            .entries(scope.claims.lexicon)
            .flat_map(|entry| &entry.meanings)
            .any(|meaning| meaning.noun.is_none() && meaning.categories != ANY && meaning.categories & set != 0)
    })
}

/// The category heard for a set of candidates.
pub(super) fn heard(set: Categories, whole: Categories, evidence: &Evidence) -> Heard<Category> {
    match single(set) {
        Some(category) => Heard::Found(category, evidence.clone()),
        None => {
            let set = if set == 0 { whole } else { set };
            let all: Vec<_> = members(set).map(|category| (category, evidence.clone())).collect();
            if all.is_empty() { Heard::Absent } else { Heard::Ambiguous(all) }
        }
    }
}

/// Two goods joined by "or", a slash or "and": neither is chosen.
fn two_named(scope: &Scope, nouns: &[Named], head: usize) -> Option<Decided> {
    let named = &nouns[head];
    let next = nouns.get(head + 1).filter(|next| {
        let joint = matches!(next.placed.joined, Some(Joined::Or | Joined::And));
        joint && next.placed.relation == Relation::Own && next.placed.role == named.placed.role
    })?;
    let apart = named.noun.categories & next.noun.categories == 0;
    let directly = scope.placed.iter().all(|placed| {
        let link = super::scope::joint(scope.claims, placed.claim).is_some();
        let between = placed.claim.from >= named.placed.claim.to && placed.claim.to <= next.placed.claim.from;
        !between || link
    });
    let own = is_attribute(scope, next.placed.claim.from, named.noun.categories);
    if !apart || own || !directly || next.placed.claim.from - named.placed.claim.to > 3 {
        return None;
    }
    let set = named.noun.categories | next.noun.categories;
    let mut all = Vec::new();
    for noun in [named, next] {
        let evidence = scope.by_entry(noun.placed.claim, noun.entry);
        all.extend(members(noun.noun.categories).map(|category| (category, evidence.clone())));
    }
    let nouns = vec![named.placed.claim.from, next.placed.claim.from];
    Some(Decided { heard: Heard::Ambiguous(all), set, nouns, others: Vec::new() })
}

/// Without a noun: attributes and numbers that only one kind of good has, ambiguous words, then two weak signs together.
fn by_attributes(scope: &Scope) -> Decided {
    let mut set = ANY;
    let mut evidence: Option<Evidence> = None;
    let mut strength = 0;
    let mut against: Vec<(Categories, &Placed)> = Vec::new();
    for strong in [true, false] {
        for placed in scope.placed.iter().filter(|placed| is_own(placed)) {
            let speaks = qualifies(scope, placed, strong);
            if speaks == 0 || set & speaks == 0 {
                if strong && speaks != 0 {
                    against.push((speaks, placed));
                }
                continue;
            }
            if set & speaks != set || evidence.is_none() {
                set &= speaks;
                evidence = Some(evidence_of(scope, placed));
            }
            strength += if strong { 2 } else { 1 };
        }
        if strong && let Some(decided) = by_ambiguous(scope, if strength > 0 { set } else { ANY }) {
            return decided;
        }
        if strong && let Some(decided) = disagree(scope, &evidence, set, &against) {
            return decided;
        }
        if strong && strength > 0 && single(set).is_some() {
            break;
        }
    }
    // A function by itself ("storeroom lever") is a lock's: exit devices and interconnected locks are called so.
    let locks = only(Category::MortiseLock) | only(Category::BoredLock);
    if set != ANY && set & locks != 0 {
        set &= !(only(Category::InterconnectedLock) | only(Category::ExitDevice));
    }
    let nothing = Decided { heard: Heard::Absent, set: 0, nouns: Vec::new(), others: Vec::new() };
    // "Dummy lever": a lever that works nothing is no lock.
    if set != ANY
        && set & locks != 0
        && let Some(evidence) = super::functions::dummy(scope)
    {
        return Decided { heard: Heard::Found(Category::Other, evidence), set: only(Category::Other), ..nothing };
    }
    match evidence {
        Some(evidence) if strength >= 2 && set.count_ones() <= 4 => {
            Decided { heard: heard(set, set, &evidence), set, ..nothing }
        }
        _ => nothing,
    }
}

/// "LVR F08 HEX DOG": what only one kind of good has stands beside what only another has; which is meant is asked. Where
/// more words speak for the other, it comes first.
fn disagree(
    scope: &Scope,
    evidence: &Option<Evidence>,
    set: Categories,
    against: &[(Categories, &Placed)],
) -> Option<Decided> {
    let (evidence, one) = (evidence.clone()?, single(set)?);
    let (others, placed) = against.first()?;
    // Exit devices are ordered by the numbers that locks of such functions have.
    let numbered = |placed: &Placed| {
        let mut meanings = placed.claim.entries(scope.claims.lexicon).flat_map(|entry| &entry.meanings);
        meanings.any(
            |one| matches!(one.special, Special::FunctionNumber(number) if super::functions::of_exit(number).is_some()),
        )
    };
    let device = only(Category::ExitDevice);
    let speak = |set: Categories| {
        let mut own =
            scope.placed.iter().filter(|placed| is_own(placed)).filter(|one| qualifies(scope, one, true) == set);
        own.clone().next().is_some() && own.all(numbered)
    };
    if against.iter().any(|(speaks, _)| *speaks == device) && speak(set) {
        let (_, placed) = against.iter().find(|(speaks, _)| *speaks == device)?;
        let heard = Heard::Found(Category::ExitDevice, evidence_of(scope, placed));
        return Some(Decided { heard, set: device, nouns: Vec::new(), others: Vec::new() });
    }
    if set == device && against.iter().all(|(_, placed)| numbered(placed)) {
        return None;
    }
    let others = against.iter().fold(*others, |all, (speaks, _)| if all & speaks != 0 { all & speaks } else { all });
    let other = single(others)?;
    let mut all = vec![(one, evidence), (other, evidence_of(scope, placed))];
    if against.len() > 1 {
        all.reverse();
    }
    Some(Decided { heard: Heard::Ambiguous(all), set: set | others, nouns: Vec::new(), others: Vec::new() })
}

pub(super) fn is_own(placed: &Placed) -> bool {
    placed.relation == Relation::Own
        && !placed.denied
        && !matches!(placed.role, PartRole::Remarks | PartRole::Finish | PartRole::Maker)
}

pub(super) fn evidence_of(scope: &Scope, placed: &Placed) -> Evidence {
    match placed.claim.entries(scope.claims.lexicon).next() {
        Some(entry) => scope.by_entry(placed.claim, entry),
        None => scope.by_grammar(placed.claim, "only such goods have it"),
    }
}

/// A word with several meanings, when nothing else names the good.
fn by_ambiguous(scope: &Scope, within: Categories) -> Option<Decided> {
    let mut open: Option<Decided> = None;
    for placed in scope.placed.iter().filter(|placed| is_own(placed)) {
        let Some(entry) = placed.claim.entries(scope.claims.lexicon).find(|entry| entry.ambiguous) else { continue };
        let named: Vec<(&Meaning, Noun)> = entry
            .meanings
            .iter()
            .filter_map(|meaning| meaning.noun.map(|noun| (meaning, noun)))
            .filter(|(_, noun)| noun.categories & within != 0)
            .collect();
        if named.is_empty() {
            continue;
        }
        let settled: Vec<&(&Meaning, Noun)> =
            named.iter().filter(|(meaning, _)| decided_for(scope, placed, meaning, 0)).collect();
        let evidence = scope.by_entry(placed.claim, entry);
        let nouns = vec![placed.claim.from];
        // What else is said leaves but one of the meanings.
        let only_one = if within != ANY && named.len() == 1 { named.first() } else { None };
        let settled = match settled.as_slice() {
            [one] => Some(*one),
            _ => only_one,
        };
        if let Some((meaning, noun)) = settled {
            let set = noun.categories & within;
            let place = entry.meanings.iter().position(|one| std::ptr::eq(one, *meaning));
            let evidence = match place.and_then(|place| entry.each.get(place)) {
                Some(name) => Evidence { by: entry.by_as(name), ..evidence },
                None => evidence,
            };
            return Some(Decided { heard: heard(set, set, &evidence), set, nouns, others: Vec::new() });
        }
        let set = named.iter().fold(0, |set, (_, noun)| set | noun.categories);
        // One meaning only, and nothing that decides for it: still not settled.
        let all = members(set).map(|category| (category, evidence.clone())).collect();
        open.get_or_insert(Decided { heard: Heard::Ambiguous(all), set, nouns, others: Vec::new() });
    }
    open
}

/// Whether something decides for a meaning of an ambiguous word.
pub fn decided_for(scope: &Scope, placed: &Placed, meaning: &Meaning, set: Categories) -> bool {
    meaning.deciders.iter().any(|decider| match decider {
        Decider::Word(word) => scope.says(word, placed.claim),
        Decider::Is(category) => set == only(*category),
        Decider::SetHas(category) => scope.around.others.contains(category),
        Decider::FinishColumn => placed.role == PartRole::Finish,
        // Asked where all meanings are known.
        Decider::Alone => false,
    })
}
