//! Numbers that count goods by what stands around them: of hinges those that have wires, behind "with", in words.

use rust_decimal::Decimal;

use super::claim::{Claim, Claims, What};
use super::dimensions::may_measure;
use super::lexicon::Gist;
use super::meaning::{ANY, Categories, Link, Special, members, only};
use super::quantity::{Counted, bare_head, number_word, unit, with_unit};
use super::reading::Unit;
use super::roles::Role;
use super::split::{hinge_before, is_intermediate};
use super::token::{Kind, Token};
use crate::read::schedule::{Basis, PartRole};
use crate::trade::attribute::names;
use crate::trade::category::Category;
use crate::trade::facts;
use crate::trade::limits::{self, Counts};
use crate::trade::rule_words;

/// "Operator w/ 2 actuators": a number between "with" and the name of a good that is more than a part.
pub fn with_count(claims: &Claims, at: usize, next: usize) -> bool {
    let Some(with) = claims.list.last().filter(|claim| claim.to <= at).or(claims.list.iter().rfind(|c| c.to <= at))
    else {
        return false;
    };
    let meanings = |node: u32| claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
    let link = with.to == at
        && with.node().is_some_and(|node| meanings(node).any(|meaning| meaning.special == Special::Link(Link::With)));
    let keys = super::meaning::only(crate::trade::category::Category::Keying);
    let good = |node: u32| {
        meanings(node).any(|meaning| meaning.noun.is_some_and(|noun| !noun.component && noun.categories != keys))
    };
    // "Replace w/ 3 BB hinges"
    let replaces = with.from.checked_sub(1).is_some_and(|before| claims.does(before, Role::Replace));
    let small = claims.tokens[at].whole(claims.text).is_some_and(|whole| (1..100).contains(&whole));
    let word = claims.tokens.get(next).is_some_and(|token| token.gap && token.kind == Kind::Word);
    let size = claims.does(next, Role::Length);
    // "Continuous hinge w/ 8 wire transfer": so many wires of the hinge. Beside a lock the transfer is a good of its own.
    let hung = || hinge_before(claims, at).is_some();
    let several = |to: usize| claims.tokens[to - 1].singular != 0;
    let wires = |to: usize| {
        let first = claims.tokens.get(..=next).and_then(|tokens| claims.lexicon.longest(tokens, next));
        let of_wires = |node: u32| meanings(node).any(|meaning| meaning.special == Special::After(names::CONDUCTORS));
        to > next + 1 && !several(to) && first.is_some_and(|(node, _)| of_wires(node)) && hung()
    };
    let named = claims.longest(next).is_some_and(|(node, to)| good(node) && !wires(to));
    link && (named || replaces && small && word && !size)
}

/// "Keys - 6 change keys": what is counted behind the name of what the line is about, of keys, unless it is so many a lock.
pub(super) fn of_keys(claims: &Claims, at: usize, next: usize) -> bool {
    let keys = super::meaning::only(crate::trade::category::Category::Keying);
    let named = |node: u32| {
        let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
        meanings.any(|meaning| meaning.noun.is_some_and(|noun| noun.categories == keys))
    };
    let parted = at.checked_sub(1).is_some_and(|sign| claims.tokens[sign].is('-') || claims.tokens[sign].is(':'));
    let first = claims.list.last().filter(|_| claims.list.len() == 1);
    let heading = first.is_some_and(|claim| claim.to + 1 == at && claim.node().is_some_and(named));
    let Some((node, behind)) = claims.longest(next) else { return false };
    let each = claims.does(behind, Role::Per) || claims.tokens.get(behind).is_some_and(|token| token.is('/'));
    parted && heading && named(node) && !each
}

/// As many goods as a hyphen joins to any name: "2-kick plate", "3-ball bearing hinges".
const JOINED: u32 = 8;

/// "3-hgs", "1-closer", "2-kick plate", but not "36-sweep", "4-button keypad", "2-cylinder deadlock": a number with a hyphen counts
/// a few goods, unless a part of theirs follows, or more where the name is a plural or shortened. A sweep may be 36 inches long.
pub(super) fn hyphened(claims: &Claims, at: usize, count: u32) -> bool {
    let Some((node, next)) = claims.longest(at).filter(|_| count <= 24) else { return false };
    let names = |node: u32| claims.lexicon.entries(node).flat_map(|e| &e.meanings).any(|one| one.noun.is_some());
    if count == 1 {
        return true;
    }
    let part = claims.tokens[at].part;
    let more = claims.tokens.get(at + 1).is_some_and(|token| token.part == part)
        && claims.longest(at + 1).is_some_and(|(node, _)| names(node));
    if next == at + 1 && more && rule_words::is("parts-of-goods", claims.tokens[at].text(claims.text)) {
        return false;
    }
    let letters: u32 = claims.tokens[at..next].iter().map(|token| token.end - token.start).sum();
    count <= JOINED || names(node) && (claims.tokens[next - 1].singular != 0 || letters == 3)
}

/// "Three of them", "6 of these": so many of what the line is about, unless something counts that already.
pub(super) fn of_them(claims: &Claims, at: usize, next: usize) -> Option<usize> {
    let of = claims.tokens.get(next).filter(|of| of.part == claims.tokens[at].part && of.text(claims.text) == "of")?;
    let them = claims.tokens.get(next + 1).filter(|them| them.part == of.part)?;
    let whole = claims.does(next + 1, Role::Them) && !counted_already(claims);
    let word =
        |at: usize| claims.tokens.get(at).is_some_and(|token| token.part == them.part && token.kind == Kind::Word);
    (whole && (!word(next + 2) || ends_or_finish(claims, at, next + 2))).then_some(next + 2)
}

/// "4, no make that 6", "make it two": words of a second thought stand before the number.
pub(super) fn instead(claims: &Claims, at: usize) -> bool {
    let thought = |claim: &Claim| super::scope::joint(claims, claim) == Some(&Special::Link(Link::Instead));
    claims.list.last().is_some_and(|before| before.to == at && thought(before))
}

/// "36 rim device" beside a quantity in its own column: a number that large at the head of the words is a measure.
pub(super) fn measures_beside_column(claims: &Claims, amount: Decimal) -> bool {
    amount >= limits::counts().measures && has_column(claims)
}

/// "Surface bolts two, six inch": a number in words right behind the plural name of goods that nothing counts yet.
pub(super) fn behind_plural(claims: &Claims, at: usize, next: usize) -> bool {
    let before = claims.list.last().filter(|before| before.to == at && before.may_be(claims.lexicon, Gist::NOUN));
    let several = |claim: &Claim| claims.tokens[claim.to - 1].singular != 0;
    let part = claims.tokens[at].part;
    let parted = claims.tokens.get(next).is_none_or(|behind| behind.part != part || behind.is(',') || behind.is(';'));
    before.is_some_and(several) && parted && !counted_already(claims) && !has_column(claims)
}

/// ", eight,": a number in words by itself between separators, or before the end.
pub(super) fn alone(claims: &Claims, at: usize, next: usize) -> bool {
    let first = &claims.tokens[at];
    let sign = |at: usize| matches!(claims.tokens[at].kind, Kind::Sign(',' | ';'));
    let before = at.checked_sub(1).is_some_and(|before| claims.tokens[before].part == first.part && sign(before));
    let behind = claims.tokens.get(next).is_none_or(|token| token.part != first.part) || sign(next);
    // "One at the top".
    let stands = || claims.lexicon.places.leads(&claims.tokens[next]) && !counted_already(claims);
    first.kind == Kind::Word && before && (behind || stands())
}

/// "Two with ETW", "three BB butts": a number in words, behind a separator or at the head, before the name of a good.
pub fn in_words(claims: &Claims, at: usize, next: usize) -> bool {
    let first = &claims.tokens[at];
    let half = number_word(claims, at).is_none_or(|(number, _)| number < Decimal::ONE);
    let told = at.checked_sub(1).is_some_and(|before| claims.does(before, Role::Supply));
    if told && !half {
        return true;
    }
    let begins = at.checked_sub(1).is_none_or(|before| claims.tokens[before].part != first.part) && !half;
    let inside = begins || at.checked_sub(1).is_some_and(|before| claims.tokens[before].part == first.part);
    let named = |at: usize| {
        let noun = |node: u32| {
            let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
            claims.lexicon.may_be(node, Gist::NOUN) && meanings.any(|meaning| meaning.noun.is_some())
                || is_intermediate(claims.lexicon, node)
        };
        claims.tokens.get(at).is_some_and(|token| token.part == first.part)
            && claims.longest(at).is_some_and(|(node, _)| noun(node))
    };
    first.kind == Kind::Word && inside && (next..next + 5).any(named)
}

/// "Electric strike fail secure one": a number in words at the end counts, unless a label stands before it or it is a share.
pub(super) fn at_end(claims: &Claims, at: usize, next: usize) -> bool {
    let last = claims.tokens.get(next).is_none_or(|behind| behind.part != claims.tokens[at].part);
    if !last || claims.tokens[at].kind != Kind::Word {
        return false;
    }
    // "26D - two", "fail secure (one)"
    let sign = at.checked_sub(1).is_some_and(|sign| claims.tokens[sign].is('-') && claims.tokens[sign].gap);
    let Some(before) = claims.list.last().filter(|claim| claim.to + usize::from(sign) == at) else { return false };
    let mut meanings = before.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
    let label = meanings.any(|meaning| {
        matches!(meaning.special, Special::Before(_) | Special::Dimension(_) | Special::Link(_) | Special::Not)
    });
    !label && (before.node().is_some() || matches!(before.what, What::Labelled { .. } | What::Size(_)))
}

/// "He wants one threshold", "needs 3 cylinders": words that nothing reads, a count, and right behind it the name of a good.
pub(super) fn leads(claims: &Claims, at: usize, next: usize) -> bool {
    let part = claims.tokens[at].part;
    let start = claims.tokens.partition_point(|token| token.part < part);
    let silent = |token: &Token| {
        let node = claims.lexicon.is_phrase(token.id).then(|| claims.lexicon.phrase(std::slice::from_ref(token), 0));
        let found = node.flatten().filter(|found| !found.guessed);
        let mut meanings =
            found.into_iter().flat_map(|found| claims.lexicon.entries(found.node)).flat_map(|e| &e.meanings);
        token.kind == Kind::Word
            && meanings.all(|one| matches!(one.special, Special::Nothing | Special::Ordinary | Special::Remark(_)))
    };
    let named = |at: usize| {
        claims.longest(at).is_some_and(|(node, _)| {
            claims.lexicon.entries(node).flat_map(|entry| &entry.meanings).any(|meaning| meaning.noun.is_some())
        })
    };
    start < at
        && at - start <= 5
        && claims.tokens[at].gap
        && claims.tokens.get(next).is_some_and(|token| token.part == part && token.gap)
        && (named(next) || claims.longest(next).is_some_and(|(_, behind)| behind > next && named(behind)))
        && claims.tokens[start..at].iter().all(silent)
}

/// Whether what is said ends, a sign parts it, or a finish or a remark follows.
pub(super) fn ends_or_finish(claims: &Claims, at: usize, behind: usize) -> bool {
    let Some(next) = claims.tokens.get(behind).filter(|next| next.part == claims.tokens[at].part) else { return true };
    let finish = |node: u32| {
        let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
        meanings.any(|meaning| matches!(meaning.special, Special::Look(_) | Special::Finish(_)))
    };
    matches!(next.kind, Kind::Sign(',' | ';' | ')'))
        || claims.longest(behind).is_some_and(|(node, _)| claims.lexicon.may_be(node, Gist::REMARK) || finish(node))
}

/// Whether the line has a number in the quantity column, wherever that stands.
pub(super) fn has_column(claims: &Claims) -> bool {
    let counts = |at: usize| claims.tokens[at].is_number() && claims.role(at) == PartRole::Quantity;
    (0..claims.tokens.len()).any(counts)
}

/// Whether something counts the goods already.
pub(super) fn counted_already(claims: &Claims) -> bool {
    claims.list.iter().any(|claim| matches!(claim.what, What::Quantity(counted) if counted.amount.is_some()))
}

/// Whether so many of such goods may be counted by a bare number: "locksets 70", "exit device 99" name what a maker calls so.
pub(super) fn so_many(goods: Categories, whole: i64) -> bool {
    let few = |category: Category| {
        facts::of(category).is_some_and(|facts| {
            let Counts { behind_name, doors_behind, .. } = *limits::counts();
            let most = facts.most.map_or(behind_name, |most| most.saturating_mul(doors_behind).min(behind_name));
            facts.counted_behind && whole <= most
        })
    };
    members(goods).all(few)
}

/// "Int pivots 2, 626", "int pivots (2) US26D", "flush cup pulls 2", "floor stops, dome, 6": where nothing else counts, a bare
/// number right behind the plural name of goods, or at the end of what is said of several, or behind a comma, counts them,
/// unless such goods may be so large or a label follows. "Floor stop 6" may be its number in a catalog.
pub(super) fn behind_name(claims: &Claims, at: usize, next: usize) -> bool {
    let text = claims.text;
    let bracket = claims.tokens[at].is('(');
    let (token, number) = (&claims.tokens[at], &claims.tokens[at + usize::from(bracket)]);
    let written = number.text(text);
    let Some(whole) = number.whole(text).filter(|whole| *whole > 0) else { return false };
    let free = matches!(claims.role(at), PartRole::Free | PartRole::Description);
    if !free || at == 0 || !token.gap || written.starts_with('0') || counted_already(claims) || has_column(claims) {
        return false;
    }
    let meanings = |claim: &Claim| claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
    let named = |claim: &Claim| meanings(claim).find_map(|meaning| meaning.noun).map_or(0, |noun| noun.categories);
    let here =
        |claim: &&Claim| claims.tokens[claim.from].part == token.part && claim.may_be(claims.lexicon, Gist::NOUN);
    let goods = claims.list.iter().filter(here).fold(0, |goods, claim| goods | named(claim));
    // In brackets nothing else is likely, but the size of a closer, or a larger number that is a side of such goods.
    let sized = !bracket || i64::from(whole) > limits::counts().few_behind || goods & only(Category::Closer) != 0;
    let many =
        if bracket { i64::from(whole) <= limits::counts().behind_name } else { so_many(goods, i64::from(whole)) };
    if goods == 0 || !many || sized && may_measure(goods, Decimal::from(whole)) {
        return false;
    }
    let comma = claims.tokens[at - 1].is(',') || claims.tokens[at - 1].is(';');
    let Some(before) = claims.list.last().filter(|before| before.to + usize::from(comma) == at) else { return false };
    let last = claims.tokens.get(next).is_none_or(|behind| behind.part != token.part);
    let parted = last || [',', ';', '(', ')'].into_iter().any(|sign| claims.tokens[next].is(sign));
    let name = named(before) != 0;
    let several = |claim: &Claim| claims.tokens[claim.to - 1].singular != 0;
    let plural = name && several(before) && !comma;
    if plural && (parted || bracket || claims.tokens[next].gap && bare_head(claims, at, next)) {
        return true;
    }
    // "Pivot (2) 626": brackets right behind a name count it.
    if name && bracket && !comma && (ends_or_finish(claims, at, next) || tells(claims, next)) {
        return true;
    }
    let says = meanings(before).all(|meaning| match meaning.special {
        Special::Plain => meaning.categories != ANY || !meaning.sets.is_empty(),
        Special::Look(_) | Special::Finish(_) => true,
        _ => false,
    });
    let several = claims.list.iter().filter(here).any(several);
    last && before.node().is_some() && says && (several && whole > 1 || comma)
}

/// "Two SVR panics and one rim": behind "and", a number in words before what kind of goods it counts.
pub(super) fn of_kind(claims: &Claims, at: usize, next: usize) -> bool {
    let word = claims.tokens[at].kind == Kind::Word;
    let joined = at.checked_sub(1).is_some_and(|before| {
        claims.does(before, Role::And) || claims.tokens[before].is('&') || claims.tokens[before].is('+')
    });
    word && joined && tells(claims, next)
}

/// Whether a word that says something of goods, and names or labels none, stands at a token.
fn tells(claims: &Claims, at: usize) -> bool {
    let says = |node: u32| {
        let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
        meanings.all(|one| one.special == Special::Plain && one.noun.is_none() && !one.sets.is_empty())
    };
    claims.longest(at).is_some_and(|(node, _)| says(node))
}

/// "1 bag of 100", "2 boxes of 50", "box of 100": so many in each of so many.
pub(super) fn packed(claims: &Claims, amount: Decimal, next: usize) -> Option<(Counted, usize)> {
    if !claims.does(next, Role::Pack) {
        return None;
    }
    let of = claims.tokens.get(next + 1).filter(|token| token.text(claims.text) == "of" || token.is('/'))?;
    let many = claims.tokens.get(next + 2).filter(|many| many.is_number() && many.part == of.part)?;
    let many = many.whole(claims.text).filter(|many| (2..=1000).contains(many))?;
    let amount = Some(amount * Decimal::from(many));
    Some((Counted { amount, sure: true, ..Counted::default() }, next + 3))
}

/// "and a half", "and one half", "& 1/2" behind a number or a pair.
pub(super) fn and_half(claims: &Claims, at: usize) -> Option<usize> {
    let word = |at: usize| claims.tokens.get(at).map_or("", |token| token.text(claims.text));
    if word(at) != "&" && !claims.does(at, Role::And) {
        return None;
    }
    if word(at + 1) == "1" && word(at + 2) == "/" && word(at + 3) == "2" {
        return Some(at + 4);
    }
    let half = at + 1 + usize::from(claims.does(at + 1, Role::One));
    claims.does(half, Role::Half).then_some(half + 1)
}

/// `3 per single door, 4 per pair`: the amounts for singles and pairs, from behind the first number on.
pub(super) fn per_door(claims: &Claims, single: Decimal, next: usize) -> Option<(Counted, usize)> {
    let word = |at: usize| claims.tokens.get(at).map_or("", |token| token.text(claims.text));
    let per = |at: usize, role: Role| claims.does(at, Role::Per) && claims.does(at + 1, role);
    let mut at = next;
    if !per(at, Role::Single) {
        return None;
    }
    at += 2;
    at += usize::from(claims.does(at, Role::Leaf));
    while matches!(word(at), "," | ";" | "/" | "&") || claims.does(at, Role::And) {
        at += 1;
    }
    let pair = claims.tokens.get(at)?.value(claims.text)?;
    let (_, mut end) = with_unit(claims, at, pair, at + 1, true);
    if !per(end, Role::Pair) {
        return None;
    }
    end += 2;
    end += usize::from(word(end) == "of");
    end += usize::from(claims.does(end, Role::Leaf));
    let counted = Counted { amount: Some(single), by_leaves: Some((single, pair)), sure: true, ..Counted::default() };
    Some((counted, end))
}

/// Whether a number of pieces, pairs or sets stands further on in the cell.
pub(super) fn pieces_behind(claims: &Claims, amount: Decimal, from: usize) -> bool {
    if amount < limits::counts().measures {
        return false;
    }
    let part = claims.tokens[from - 1].part;
    let here = |at: &usize| claims.tokens[*at].part == part;
    (from + 1..claims.tokens.len()).take_while(here).any(|at| {
        let counted =
            claims.tokens[at - 1].is_number() || number_word(claims, at - 1).is_some_and(|(_, next)| next == at);
        // "48 hinges, 3 ea door", "40 locksets w/ 2 ea keys": so many of something, and the first number is the count.
        let ends = |behind: usize| ends_or_finish(claims, at - 1, behind);
        let unit = unit(claims, at).filter(|(unit, _)| matches!(unit, Unit::Each | Unit::Pair | Unit::Set));
        counted && unit.is_some_and(|(_, behind)| ends(behind))
    })
}

/// What a count is per, by the words that stand at a token.
pub(super) fn basis(claims: &Claims, at: usize) -> Option<(Basis, usize)> {
    let (node, behind) = claims.longest(at).filter(|(node, _)| claims.lexicon.may_be(*node, Gist::BASIS))?;
    let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
    meanings.find_map(|meaning| match meaning.special {
        Special::Basis(basis) => Some((basis, behind)),
        _ => None,
    })
}

/// `Wall stop, each leaf`: what the count at the head of the line is per, said behind the name. Not `2 screws per leaf`,
/// which counts something else.
pub(super) fn basis_behind(claims: &Claims, at: usize) -> Option<(Counted, usize)> {
    let tokens = &claims.tokens;
    let (found, next) = basis(claims, at).filter(|(_, next)| *next > at + 1)?;
    let separates = |token: &Token| matches!(token.kind, Kind::Sign(',' | ';' | '(' | ')' | '-')) && token.gap;
    // "1 closer each leaf 689": the finish of the goods ends the line as well.
    let ends = ends_or_finish(claims, at, next)
        || tokens.get(next).is_some_and(|behind| behind.kind == Kind::Sign('.') || separates(behind));
    let part = |place: &usize| tokens[*place].part == tokens[at].part;
    let before: Vec<usize> = (0..at).rev().take_while(|place| part(place) && !separates(&tokens[*place])).collect();
    // Neither a part of a size nor of a fraction.
    let alone = |place: usize| {
        let ahead = place.checked_sub(1).map(|ahead| &tokens[ahead]);
        tokens[place].gap
            && ahead.is_some_and(|ahead| {
                part(&(place - 1))
                    && !matches!(ahead.kind, Kind::Sign('-' | '/' | '('))
                    && ahead.text(claims.text) != "x"
            })
    };
    let counts_another = before.iter().any(|place| {
        let behind = &tokens[place + 1];
        let word = behind.kind == Kind::Word && behind.gap && behind.text(claims.text) != "x";
        tokens[*place].is_number() && alone(*place) && word && place + 1 < at
    });
    let behind_words = at.checked_sub(1).is_some_and(|place| part(&place));
    (ends && behind_words && !counts_another)
        .then_some((Counted { basis: Some(found), sure: true, ..Counted::default() }, next))
}

#[cfg(test)]
mod tests {
    use crate::read::schedule::{Basis, PartRole, Wording};
    use crate::understand::lexicon::Lexicon;
    use crate::understand::{Surroundings, understand};

    #[test]
    fn each_leaf_behind_the_name_is_what_the_count_is_per() {
        let lexicon = Lexicon::load(&[]).unwrap();
        let basis = |text: &str| {
            let mut wording = Wording::default();
            wording.push(PartRole::Quantity, "3", None);
            wording.push(PartRole::Description, text, None);
            understand(&lexicon, &wording, &Surroundings::default())[0].quantity.basis
        };
        assert_eq!(basis("Hinge 4-1/2 x 4-1/2 BB std wt, each leaf"), Some(Basis::Leaf));
        assert_eq!(basis("Kick plate 10 x 34 per leaf"), Some(Basis::Leaf));
        assert_eq!(basis("Hinge 4-1/2 x 4-1/2 BB, 2 screws per leaf"), None);
    }
}
