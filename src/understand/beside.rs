//! Names of goods that what stands beside them puts in doubt: a thing that only belongs to the good, a good for things of
//! another trade, a good behind one that the line has not, a word of several meanings that leads the line.

use super::category::{Decided, Named, decided_for, heard, is_attribute, is_own};
use super::claim::{Claim, Claims, Dimension, What};
use super::joined::comes_with;
use super::meaning::{Meaning, Special, only, single};
use super::reading::{Heard, RemarkKind};
use super::roles::Role;
use super::scope::{Placed, Relation, Scope};
use super::token::Kind;
use crate::read::schedule::PartRole;
use crate::trade::category::Category;

/// A good for things of another trade (a hinge for a locker), or named behind one that the line says it has not (no
/// silencers - gasketed frame): neither is sure.
pub(super) fn elsewhere(scope: &Scope, nouns: &[Named], decided: &mut Decided) {
    by_the_other_word(scope, decided);
    of_sliding_doors(scope, decided);
    if nouns.iter().any(|one| one.noun.rather_other && decided.nouns.contains(&one.placed.claim.from))
        && let Heard::Ambiguous(all) = &mut decided.heard
    {
        all.sort_by_key(|(category, _)| *category != Category::Other);
    }
    let Heard::Found(category, evidence) = &decided.heard else { return };
    let (category, evidence) = (*category, evidence.clone());
    let other = only(Category::Other);
    let foreign = nouns.iter().any(|one| one.placed.relation == Relation::For && one.noun.categories == other);
    if foreign && category != Category::Other {
        decided.set |= other;
        decided.heard = Heard::Ambiguous(vec![(category, evidence.clone()), (Category::Other, evidence)]);
        return;
    }
    let denied = nouns.first().is_some_and(|first| {
        let tokens = &scope.claims.tokens;
        let from = decided.nouns.first().copied().unwrap_or(0);
        let between = tokens.get(first.placed.claim.to..from).unwrap_or_default();
        first.placed.denied
            && first.noun.categories & decided.set == 0
            && between.iter().any(|token| matches!(token.kind, Kind::Sign('-' | ',' | ';')))
    });
    if denied {
        decided.heard = Heard::Ambiguous(vec![(category, evidence)]);
    }
}

/// "Continuous hinge ETW 8": a name that is the label of a number which the good before it has as well.
pub(super) fn labels(scope: &Scope, next: &Named, one: &Named) -> bool {
    let What::Labelled { label, .. } = next.placed.claim.what else { return false };
    let mut meanings = scope.claims.lexicon.entries(label).flat_map(|entry| &entry.meanings);
    meanings.any(|said| {
        matches!(said.special, Special::After(_) | Special::Before(_)) && said.categories & one.noun.categories != 0
    })
}

/// Whether one name stands right before another. Between the heading of a column and the name in its cell a count may stand,
/// and what is replaced: `LOCK | 2 exit devices`, `LOCK | replace w/ exit device`.
pub(super) fn touching(claims: &Claims, one: &Claim, other: &Claim) -> bool {
    // `HINGE | 3 | CONTINUOUS HINGE`: the column of the quantity may stand between the item's and that of the description.
    let counted = |at: usize| matches!(claims.role(at), PartRole::Quantity | PartRole::Unit);
    let apart = other.from >= one.to && claims.tokens[one.from].part != claims.tokens[other.from].part;
    let count = |at: usize| claims.on(at).is_some_and(|claim| matches!(claim.what, What::Quantity(_)));
    // `LOCK | 1 cylinder`: a part alone, or of the lock.
    let apart = apart && !comes_with(claims, one, other);
    let of_cell = |at: usize| apart && (count(at) || claims.old.contains(&at));
    let between = |at: usize| claims.tokens[at].is('-') || claims.does(at, Role::Mount) || counted(at) || of_cell(at);
    other.from >= one.to && (one.to..other.from).all(between) && !is_wiring_of_others(claims, one, other)
}

/// "Power transfer - wiring by Division 26": behind a dash of its own, wiring that others have is not what the line buys.
fn is_wiring_of_others(claims: &Claims, one: &Claim, other: &Claim) -> bool {
    let meanings = |claim: &Claim, is: &dyn Fn(&Meaning) -> bool| {
        claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings).any(is)
    };
    let dash = |at: usize| {
        claims.tokens[at].is('-') && claims.tokens[at].gap && claims.tokens.get(at + 1).is_some_and(|next| next.gap)
    };
    let of_others = |claim: &Claim| {
        claim.from == other.to && meanings(claim, &|one| one.special == Special::Remark(RemarkKind::ByOthers))
    };
    (one.to..other.from).any(dash)
        && meanings(other, &|one| one.noun.is_some_and(|noun| noun.categories == only(Category::Wiring)))
        && claims.on(other.to).is_some_and(of_others)
}

/// "OH" under the heading STOP: of what a name leaves open, the one that a word with several meanings is beside it.
fn by_the_other_word(scope: &Scope, decided: &mut Decided) {
    if decided.set.count_ones() < 2 || !matches!(decided.heard, Heard::Ambiguous(_)) {
        return;
    }
    // "Stop or holder, OH or floor": one of two decides nothing.
    let alone = |placed: &&Placed| placed.joined.is_none() && !scope.or_behind(placed.claim);
    let named = |placed: &&Placed| decided.nouns.contains(&placed.claim.from);
    let others: Vec<&Placed> =
        scope.placed.iter().filter(|placed| is_own(placed) && !named(placed)).filter(alone).collect();
    for placed in others {
        let Some(entry) = placed.claim.entries(scope.claims.lexicon).find(|entry| entry.ambiguous) else { continue };
        let within = |meaning: &&Meaning| {
            meaning.noun.is_some_and(|noun| noun.categories & decided.set == noun.categories)
                && decided_for(scope, placed, meaning, 0)
        };
        let mut settled = entry.meanings.iter().filter(within).filter_map(|meaning| single(meaning.noun?.categories));
        if let (Some(category), None) = (settled.next(), settled.next()) {
            decided.set = only(category);
            decided.heard = Heard::Found(category, scope.by_entry(placed.claim, entry));
            decided.nouns.push(placed.claim.from);
            return;
        }
    }
}

/// "Pocket door privacy lock", "mortise lock for sliding glass door": locks and closers of doors that do not swing may be
/// other hardware; they are priced as named, and asked. A sliding arm is the closer's own.
fn of_sliding_doors(scope: &Scope, decided: &mut Decided) {
    const SWINGING: [Category; 4] = [Category::MortiseLock, Category::BoredLock, Category::Deadlock, Category::Closer];
    let other = only(Category::Other);
    let swinging = SWINGING.iter().fold(0, |set, category| set | only(*category));
    if decided.set & swinging == 0 || decided.set & !(swinging | other) != 0 {
        return;
    }
    let claims = scope.claims;
    let door =
        |at: usize| claims.does(at, Role::Door) || claims.does(at, Role::Built) && claims.does(at + 1, Role::Door);
    let slides = |at: usize| claims.does(at, Role::Slider) || claims.does(at, Role::Sliding) && door(at + 1);
    let said = |at: &usize| scope.mask.get(*at).copied().unwrap_or(false) && slides(*at);
    let Some(at) = (0..claims.tokens.len()).find(said) else { return };
    let placed = scope.placed.iter().find(|placed| (placed.claim.from..placed.claim.to).contains(&at));
    if placed.is_some_and(|placed| placed.denied || placed.relation == Relation::When) || excepted(claims, at) {
        return;
    }
    let mut all = match &decided.heard {
        Heard::Found(category, by) => vec![(*category, by.clone())],
        Heard::Ambiguous(all) => all.clone(),
        Heard::Absent => return,
    };
    let Some((_, by)) = all.first().cloned() else { return };
    if all.iter().all(|(category, _)| *category != Category::Other) {
        all.push((Category::Other, by));
    }
    // What is said of the good named is heard all the same.
    decided.heard = Heard::Ambiguous(all);
}

/// "Not for sliding door", "at all but sliding doors", "leaf adjacent sliding door": what the goods are not for, by a word
/// before it in the clause.
fn excepted(claims: &Claims, at: usize) -> bool {
    let part = claims.tokens[at].part;
    let clause = (0..at).rev().take_while(|before| {
        let token = &claims.tokens[*before];
        token.part == part && !matches!(token.kind, Kind::Sign(',' | ';' | '('))
    });
    clause
        .into_iter()
        .any(|before| claims.does(before, Role::Except) || claims.lexicon.denies(claims.tokens[before].id))
}

/// A good that only belongs to the one named: a cylinder guard, a reader interface. Without another name for it the line
/// may be either.
pub(super) fn belongings(scope: &Scope, nouns: &[Named], decided: &mut Decided) {
    let Some(category) = single(decided.set) else { return };
    let tokens = &scope.claims.tokens;
    for named in nouns.iter().filter(|named| decided.nouns.contains(&named.placed.claim.from)) {
        // A word that nothing read may stand between: hinge reinforcement guard.
        let to = named.placed.claim.to;
        let known = |at: usize| scope.placed.iter().find(|placed| placed.claim.from == at);
        let skip = usize::from(known(to).is_none() && tokens.get(to).is_some_and(|token| token.kind == Kind::Word));
        let belonging = known(to + skip).and_then(|placed| {
            let entry = placed.claim.entries(scope.claims.lexicon).next()?;
            let belongs = entry.meanings.iter().any(|meaning| meaning.special == Special::Belonging);
            (belongs && placed.role == named.placed.role).then(|| scope.by_entry(placed.claim, entry))
        });
        let Some(evidence) = belonging else { continue };
        let later = nouns.iter().find(|other| {
            other.placed.claim.from > to
                && tokens[to..other.placed.claim.from].iter().any(|token| token.is(',') || token.is(';'))
                && other.placed.relation == Relation::Own
                && single(other.noun.categories).is_some_and(|other| other != category)
        });
        if let Some(other) = later.filter(|other| decided.others.contains(&other.placed.claim.from)) {
            let evidence = scope.by_entry(other.placed.claim, other.entry);
            decided.others.retain(|from| *from != other.placed.claim.from);
            decided.nouns = vec![other.placed.claim.from];
            decided.set = other.noun.categories;
            decided.heard = heard(decided.set, decided.set, &evidence);
            return;
        }
        decided.set |= only(Category::Other);
        decided.heard = Heard::Ambiguous(vec![(category, evidence.clone()), (Category::Other, evidence)]);
        return;
    }
}

/// "ES 12 or 24V, cyl lock": a word with several meanings that begins the text, names a good by what stands around it, and
/// is parted from the first good that is spelled out. What that good has by such a word names nothing: `PA, size 4 closer`.
pub(super) fn leading(scope: &Scope, head: &Named) -> Option<Decided> {
    let first = scope.placed.iter().find(|placed| {
        let text = matches!(placed.role, PartRole::Free | PartRole::Description);
        text && !matches!(placed.claim.what, What::Quantity(_))
    })?;
    if first.claim.from >= head.placed.claim.from || !is_own(first) {
        return None;
    }
    let entry = first.claim.entries(scope.claims.lexicon).find(|entry| entry.ambiguous)?;
    let goods = head.noun.categories;
    if entry.meanings.iter().any(|meaning| meaning.categories & goods != 0) {
        return None;
    }
    let mut between = scope.claims.tokens[first.claim.to..head.placed.claim.from].iter();
    if !between.any(|token| token.is(',') || token.is(';')) {
        return None;
    }
    let whole = |meaning: &&Meaning| meaning.noun.is_some_and(|noun| !noun.component);
    let mut settled = entry.meanings.iter().filter(whole).filter(|meaning| decided_for(scope, first, meaning, 0));
    let (meaning, None) = (settled.next()?, settled.next()) else { return None };
    let set = meaning.noun.map(|noun| noun.categories)?;
    let evidence = scope.by_entry(first.claim, entry);
    let mut others = vec![head.placed.claim.from];
    others.retain(|from| !is_attribute(scope, *from, set));
    Some(Decided { heard: heard(set, set, &evidence), set, nouns: vec![first.claim.from], others })
}

/// "Rim device for 36 inch door": goods that are as long as the door is wide are that long.
pub(super) fn is_of_door(claims: &Claims, placed: &Placed, all: &[Dimension]) -> bool {
    let behind = placed.claim.to;
    let is_door = claims.does(behind, Role::Door) || claims.does(behind, Role::Leaf);
    is_door && matches!(all, [one] if one.measured.marked && one.label.is_none())
}
