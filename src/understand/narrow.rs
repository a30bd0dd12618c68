//! What else is said of a good, and which goods have it: `less bottom rod` is an exit device's, a deduction a plate's.

use super::category::{Decided, Named};
use super::claim::{Dimension, What};
use super::meaning::{ANY, Categories, Meaning, Special, only, single};
use super::reading::Heard;
use super::scope::{Joined, Placed, Relation, Scope};
use super::token::Kind;
use crate::trade::attribute::names;
use crate::trade::category::Category;
use crate::trade::rule_words;

/// What stands on either face of a door.
const FACES: Categories = only(Category::PushPlate) | only(Category::Pull);

/// "Push/pull | bar x 10 in. pull": what the name has on both faces is told face by face behind it; a name at the head of
/// its cell says what the good is.
pub(super) fn of_one_face(scope: &Scope, head: &Named, other: &Named) -> bool {
    let tokens = &scope.claims.tokens;
    let from = other.placed.claim.from;
    let before = (0..from).rev().take_while(|at| tokens[*at].part == tokens[from].part);
    head.noun.categories & FACES == FACES
        && only(Category::Pull) == other.noun.categories
        && before
            .into_iter()
            .any(|at| tokens[at].kind == Kind::Word && !(head.placed.claim.from..head.placed.claim.to).contains(&at))
}

/// Narrows candidates by the attributes said: by those that only some goods have, then by any. Of two that "or" joins
/// either may hold. The name of the good itself does not narrow it.
pub(super) fn narrow(scope: &Scope, set: &mut Categories, strong: bool, head: usize) {
    for (index, placed) in scope.placed.iter().enumerate() {
        if single(*set).is_some() {
            return;
        }
        if placed.relation == Relation::When || placed.relation == Relation::For || placed.claim.from == head {
            continue;
        }
        let mut speaks = qualifies(scope, placed, strong);
        if speaks == 0 {
            // "Strike 12VDC": of the two kinds, the electric one.
            let strikes = only(Category::Strike) | only(Category::ElectricStrike);
            if *set & strikes == strikes && names_voltage(scope, placed) {
                *set &= !only(Category::Strike);
            }
            continue;
        }
        let or = |placed: &&Placed| placed.joined == Some(Joined::Or);
        let links = |placed: &&Placed| qualifies(scope, placed, false) != 0 || placed.joined.is_some();
        let next = scope.placed[index + 1..].iter().find(links).filter(or);
        let before = scope.placed[..index].iter().rev().find(links).filter(|_| placed.joined == Some(Joined::Or));
        for other in [next, before].into_iter().flatten() {
            // "Mort or cylindrical": what the other says may be said of several goods.
            speaks |= match qualifies(scope, other, strong) {
                0 => qualifies(scope, other, false),
                other => other,
            };
        }
        // "Push/pull plates 4x16": a size of the one takes nothing from what is meant on the other face of the door.
        if matches!(placed.claim.what, What::Size(_)) && *set & FACES == FACES && speaks & FACES != 0 {
            speaks |= FACES;
        }
        if *set & speaks != 0 {
            *set &= speaks;
        }
    }
}

/// "Hinge full mortise gear", "hinge, full mortise, geared": what is geared or continuous is a hinge of the whole height, whatever
/// stands between; two sides are those of a butt.
pub(super) fn continuous(scope: &Scope, set: Categories) -> Categories {
    let whole = only(Category::ContinuousHinge);
    let own =
        || scope.placed.iter().filter(|placed| super::category::is_own(placed) && placed.joined != Some(Joined::Or));
    let sided = |placed: &Placed| matches!(placed.claim.what, What::Size([Some(_), Some(_), _]));
    let told = |placed: &Placed| {
        let mut meanings = placed.claim.entries(scope.claims.lexicon).flat_map(|entry| &entry.meanings);
        meanings.any(|meaning| match meaning.noun {
            Some(noun) => noun.categories == whole,
            None => {
                let kind = meaning.sets.iter().any(|set| set.attribute == names::TYPE);
                meaning.strong && kind && meaning.categories == whole
            }
        })
    };
    if set == only(Category::Hinge) && own().any(told) && !own().any(sided) { whole } else { set }
}

/// Whether a claim gives a voltage.
fn names_voltage(scope: &Scope, placed: &Placed) -> bool {
    let lexicon = scope.claims.lexicon;
    let labels = |label: u32| {
        let mut meanings = lexicon.entries(label).flat_map(|entry| &entry.meanings);
        meanings.any(|meaning| meaning.special == Special::After(names::VOLTAGE))
    };
    match placed.claim.what {
        What::Labelled { label, .. } => labels(label),
        _ => {
            let mut meanings = placed.claim.entries(lexicon).flat_map(|entry| &entry.meanings);
            meanings.any(|meaning| meaning.sets.iter().any(|set| set.attribute == names::VOLTAGE))
        }
    }
}

/// The goods that a claim's attributes can belong to; 0 when it says nothing of that.
pub(super) fn qualifies(scope: &Scope, placed: &Placed, strong: bool) -> Categories {
    let mut set = 0;
    for entry in placed.claim.entries(scope.claims.lexicon).filter(|entry| !entry.ambiguous) {
        for meaning in &entry.meanings {
            let label = matches!(meaning.special, Special::After(_) | Special::Before(_) | Special::Dimension(_));
            if meaning.noun.is_some() || meaning.categories == ANY || label {
                continue;
            }
            if matches!(meaning.special, Special::TypeNumber(_, false)) || (strong && !meaning.strong) {
                continue;
            }
            set |= meaning.categories;
        }
    }
    if set == 0 { by_measures(scope, placed, strong) } else { set }
}

/// What sizes and labelled numbers tell.
fn by_measures(scope: &Scope, placed: &Placed, strong: bool) -> Categories {
    let lexicon = scope.claims.lexicon;
    match &placed.claim.what {
        What::Size(dimensions) => {
            let deducted = dimensions
                .iter()
                .flatten()
                .any(|one| one.label.is_some_and(|(attribute, _)| attribute.name() == "width_less"));
            if deducted {
                return only(Category::ProtectionPlate);
            }
            let lip = |one: &Dimension| one.label.is_some_and(|(attribute, _)| attribute.name() == "lip");
            if dimensions.iter().flatten().any(lip) && !strong {
                return with_lip();
            }
            match (dimensions, strong) {
                ([Some(one), Some(other), None], false) if one.label.is_none() && other.label.is_none() => {
                    super::sizes::tells(one.measured.value, other.measured.value)
                }
                _ => 0,
            }
        }
        What::Labelled { label, .. } if !strong => {
            let told = |meaning: &Meaning| match meaning.special {
                Special::After(_) | Special::Before(_) if meaning.categories != ANY => meaning.categories,
                Special::Dimension(attribute) if attribute.name() == "lip" => with_lip(),
                _ => 0,
            };
            lexicon.entries(*label).flat_map(|entry| &entry.meanings).fold(0, |set, meaning| set | told(meaning))
        }
        _ => 0,
    }
}

/// Goods whose lip has a length; electric strikes have none.
fn with_lip() -> Categories {
    only(Category::Strike) | only(Category::MortiseLock) | only(Category::BoredLock)
}

/// "Privacy set, lever, Gr 2": of locks that may be mortise or bored, those of the lesser grades are bored first.
pub(super) fn bored_first(scope: &Scope, decided: &mut Decided) {
    let locks = only(Category::MortiseLock) | only(Category::BoredLock);
    let Heard::Ambiguous(all) = &mut decided.heard else { return };
    if decided.set & locks != locks {
        return;
    }
    let lesser = |meaning: &Meaning| {
        let mut graded = meaning.sets.iter().filter(|set| set.attribute == names::GRADE);
        graded.any(|set| set.values.iter().any(|value| rule_words::is("grades-of-bored", &value.to_string())))
    };
    let mut own = scope.placed.iter().filter(|placed| placed.relation == Relation::Own && !placed.denied);
    if own.any(|placed| placed.claim.entries(scope.claims.lexicon).flat_map(|entry| &entry.meanings).any(lesser)) {
        all.sort_by_key(|(category, _)| *category != Category::BoredLock);
    }
}
