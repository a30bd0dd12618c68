//! Finds the goods that fit a request: attributes decide, everything that is not asked stays at the line's usual value
//! and is listed as undecided where the answers differ.

use std::sync::Arc;

use crate::money::Money;
use crate::trade::attribute::{Attr, Attributes, Value, names};
use crate::trade::category::Category;
use crate::trade::wording;

use super::book::Book;
use super::finishes::{self, Finish};
use super::good::{Candidate, Good, Request, Selection, Undecided};
use super::line::{Line, Varying};
use super::list::{self, GoodsList};
use super::make::{Decided, called, fill, finished, good, objection};
use super::value::{Domain, Test, is_without, said, same, shown};

/// Misses shown when nothing fits.
const MOST_NEAR: usize = 6;

/// How a line meets a request.
#[derive(Default)]
struct Fit {
    decided: Decided,
    why: Vec<String>,
    against: Vec<String>,
    /// Liberties taken: a near finish, another maker than named.
    liberties: usize,
    maker_rank: usize,
}

/// The goods of a book that fit, best first.
pub(super) fn select(book: &Book, request: &Request, class: Option<&str>, date: &str) -> Selection {
    let mut ranked: Vec<((usize, usize, bool, Money), Candidate)> = Vec::new();
    let mut missed: Vec<(usize, Good, String)> = Vec::new();
    for line in book.of(request.category) {
        let mut fit = weigh(book, line, request, date);
        if fit.against.is_empty() {
            match candidate(book, line, &mut fit, request, class) {
                Ok(candidate) => {
                    let list = &candidate.good.list;
                    let rank = (fit.maker_rank, fit.liberties, list.call_for_price, list.net_of_one());
                    ranked.push((rank, candidate));
                    continue;
                }
                Err(objection) => fit.against.push(objection),
            }
        }
        let nearest = fill(line, &fit.decided).or_else(|_| fill(line, &Decided::new()));
        if let Ok(good) = nearest.and_then(|attributes| good(book, line, &attributes, class)) {
            missed.push((fit.against.len(), good, format!("{}: {}", called(line), fit.against.join("; "))));
        }
    }
    for (list, at) in of_lists(book, request.category) {
        let Some(family) = list.families.get(at) else { continue };
        let mut fit = Fit::default();
        weigh_maker(&family.maker, request, &mut fit);
        if let Some(asked) = request.attributes.get(&names::LINE) {
            weigh_line(&family.id, asked, &mut fit);
        }
        match list::select(list, at, book, request, class) {
            Some((liberties, mut candidate)) if fit.against.is_empty() => {
                candidate.why.splice(0..0, fit.why);
                let price = &candidate.good.list;
                let rank = (fit.maker_rank, fit.liberties + liberties, price.call_for_price, price.net_of_one());
                ranked.push((rank, candidate));
            }
            Some((_, candidate)) => missed.push((1, candidate.good, fit.against.join("; "))),
            None => {}
        }
    }
    // What is nearest is looked for only where nothing fits: a long list has many makers.
    if ranked.is_empty() {
        missed.extend(
            of_lists(book, request.category).filter_map(|(list, at)| list::near(list, at, book, request, class)),
        );
    }
    ranked.sort_by(|(one, a), (other, b)| {
        one.cmp(other)
            .then_with(|| a.good.designation.cmp(&b.good.designation))
            .then_with(|| a.good.line.cmp(&b.good.line))
    });
    let tied = ranked.iter().skip(1).take_while(|(rank, _)| *rank == ranked[0].0).count();
    let candidates: Vec<Arc<Candidate>> = ranked.into_iter().map(|(_, candidate)| Arc::new(candidate)).collect();
    let mut near = Vec::new();
    if candidates.is_empty() {
        missed.sort_by(|(one, a, _), (other, b, _)| {
            one.cmp(other).then_with(|| a.list.net_of_one().cmp(&b.list.net_of_one())).then_with(|| a.line.cmp(&b.line))
        });
        near = missed.into_iter().take(MOST_NEAR).map(|(_, good, why)| (good, why)).collect();
    }
    Selection { candidates, near, tied, makers: request.makers.clone() }
}

/// The families of flat lists that are of a category.
fn of_lists(book: &Book, category: Category) -> impl Iterator<Item = (&GoodsList, usize)> {
    book.lists.iter().flat_map(move |list| {
        let of_it = list.families.iter().enumerate().filter(move |(_, family)| family.category == category);
        of_it.map(move |(at, _)| (list, at))
    })
}

/// What is held against a line that is no longer made.
fn no_longer_made(from: &str, successor: Option<&str>) -> String {
    let successor = successor.map_or(String::new(), |successor| format!("; its successor is `{successor}`"));
    format!("discontinued from {from}{successor}")
}

/// Whether nothing but that stands against a miss.
pub(super) fn is_only_gone(why: &str, from: &str, successor: Option<&str>) -> bool {
    why.ends_with(&format!(": {}", no_longer_made(from, successor)))
}

/// Weighs every asked attribute against a line.
fn weigh(book: &Book, line: &Line, request: &Request, date: &str) -> Fit {
    let mut fit = Fit::default();
    weigh_maker(&line.maker, request, &mut fit);
    if let Some(gone) = line.discontinued.as_ref().filter(|gone| date.is_empty() || &*gone.from <= date) {
        fit.against.push(no_longer_made(&gone.from, gone.successor.as_deref()));
    }
    for (attr, asked) in &request.attributes {
        match *attr {
            names::FINISH | names::LOOK | names::BASE | names::MAKER | names::DESIGNATION => {}
            names::LINE => weigh_line(&line.id, asked, &mut fit),
            attr => weigh_one(book, line, attr, &line.meaning(attr, asked), &mut fit),
        }
    }
    weigh_finish(book, line, &request.attributes, &mut fit);
    fit
}

fn weigh_maker(maker: &str, request: &Request, fit: &mut Fit) {
    if !request.makers.is_empty() {
        match request.makers.iter().position(|named| named.eq_ignore_ascii_case(maker)) {
            Some(rank) => fit.maker_rank = rank,
            None => fit.against.push(format!("{maker} is not among the acceptable makers")),
        }
    }
    if let Some(Value::Text(named)) = request.attributes.get(&names::MAKER) {
        if named.eq_ignore_ascii_case(maker) {
            fit.why.push(format!("maker {named}: as asked"));
        } else {
            fit.why.push(format!("maker {named}: {maker} is a substitution to be approved"));
            fit.liberties += 100;
        }
    }
}

/// The product line that the schedule's number, or a cross reference, names.
fn weigh_line(id: &str, asked: &Value, fit: &mut Fit) {
    if asked.as_text() == Some(id) {
        fit.why.push(format!("product line {id}: as numbered"));
    } else {
        fit.why.push(format!("product line {}: this is another", shown(Some(asked))));
        fit.liberties += 50;
    }
}

/// What a line says to one asked attribute.
fn weigh_one(book: &Book, line: &Line, attr: Attr, asked: &Value, fit: &mut Fit) {
    let asked_for = || shown(Some(asked));
    if let Some(varying) = line.makes.iter().find(|varying| varying.attr == attr) {
        return weigh_varying(book, line, varying, asked, fit);
    }
    if let Some(own) = line.is.get(&attr) {
        if same(own, asked) || (is_without(own) && is_without(asked)) {
            fit.why.push(format!("{}: as asked", said(attr, &asked_for())));
        } else if better(book, attr, own, asked) {
            fit.why.push(format!("{}: {} serves", said(attr, &asked_for()), shown(Some(own))));
        } else {
            fit.against.push(format!("{}: this line is {}", said(attr, &asked_for()), shown(Some(own))));
        }
        return;
    }
    let giving: Vec<_> = line.gives.iter().filter(|(_, gives)| gives.contains_key(&attr)).collect();
    if !giving.is_empty() {
        let meeting = giving.iter().find(|(when, gives)| {
            gives.get(&attr).is_some_and(|own| meets(attr, own, asked)) && agrees(line, when, &fit.decided)
        });
        match meeting {
            Some((when, _)) => {
                for (attr, test) in &when.0 {
                    let only = match test {
                        Test::OneOf(values) => values.first(),
                        _ => None,
                    };
                    if let (Some(only), true) = (only, line.makes.iter().any(|varying| varying.attr == *attr)) {
                        fit.decided.entry(*attr).or_insert_with(|| only.clone());
                    }
                }
                fit.why.push(format!("{}: follows from the rest", said(attr, &asked_for())));
            }
            None if book.policy.descriptive.contains(&attr) => {
                fit.why.push(format!("{}: not compared", said(attr, &asked_for())))
            }
            None => fit.against.push(format!("{}: this line has none such", said(attr, &asked_for()))),
        }
        return;
    }
    if is_without(asked) {
        fit.why.push(format!("{}: this line has none", said(attr, &asked_for())));
    } else if book.policy.descriptive.contains(&attr) {
        fit.why.push(format!("{}: this line does not distinguish it", said(attr, &asked_for())));
    } else {
        fit.against.push(format!("{}: this line has no such choice", wording::said(attr, asked)));
    }
}

/// Whether a value is the one asked for; brass and bronze are one group of base metals, told apart by the finish.
fn meets(attr: Attr, own: &Value, asked: &Value) -> bool {
    let bases = || own.as_text().zip(asked.as_text());
    same(own, asked) || attr == names::BASE && bases().is_some_and(|(own, asked)| finishes::same_base(own, asked))
}

/// Whether a condition can hold beside what is decided.
fn agrees(line: &Line, when: &super::value::Condition, decided: &Decided) -> bool {
    when.0.iter().all(|(attr, test)| match (decided.get(attr), line.is.get(attr)) {
        (Some(value), _) => test.passes(value.as_ref()),
        (None, Some(value)) => test.passes(Some(value)),
        (None, None) => true,
    })
}

fn weigh_varying(book: &Book, line: &Line, varying: &Varying, asked: &Value, fit: &mut Fit) {
    let attr = varying.attr;
    if let (Some(rule), Value::Length(length)) = (line.length.as_ref().filter(|rule| rule.attr == attr), asked) {
        // A length between stock lengths is cut; whether it is too long is told with the price.
        if *length > rule.longest && !rule.joined && !rule.within {
            fit.against.push(format!(
                "{}: the longest made is {}",
                said(attr, &length.in_fractions()),
                rule.longest.in_fractions()
            ));
        } else {
            let how = if rule.within { "the longest stock within it, and a filler" } else { "cut from stock" };
            fit.why.push(format!("{}: {how}", said(attr, &length.in_fractions())));
            fit.decided.insert(attr, Some(asked.clone()));
        }
        return;
    }
    match varying.domain.meet(asked) {
        Ok(value) => {
            fit.why.push(format!("{}: as asked", said(attr, &shown(Some(asked)))));
            fit.decided.insert(attr, value);
        }
        Err(made) => match &varying.domain {
            Domain::OneOf(values) => {
                let serving = values
                    .iter()
                    .flatten()
                    .filter(|own| better(book, attr, own, asked))
                    .min_by_key(|own| rank(book, attr, own, asked));
                match serving {
                    Some(own) => {
                        fit.liberties += 1;
                        fit.why.push(format!("{}: {} serves", said(attr, &shown(Some(asked))), shown(Some(own))));
                        fit.decided.insert(attr, Some(own.clone()));
                    }
                    None => fit.against.push(format!("{}: this line makes {made}", said(attr, &shown(Some(asked))))),
                }
            }
            _ => fit.against.push(format!("{}: this line makes {made}", said(attr, &shown(Some(asked))))),
        },
    }
}

/// Whether `own` is as good as `asked` or better, where the catalog ranks the values.
fn better(book: &Book, attr: Attr, own: &Value, asked: &Value) -> bool {
    rank(book, attr, own, asked).is_some()
}

/// How much better `own` is than `asked`. A number between two that the catalog ranks is met by the next greater; a range of
/// sizes by one that holds it.
pub(super) fn rank(book: &Book, attr: Attr, own: &Value, asked: &Value) -> Option<usize> {
    if let Some(wider) = wider(own, asked) {
        return Some(wider);
    }
    let order = book.policy.at_least.get(&attr)?;
    let place = |value: &Value| order.iter().position(|one| same(one, value));
    let own = place(own)?;
    if let Some(asked) = place(asked) {
        return asked.checked_sub(own);
    }
    let Value::Number(asked) = asked else { return None };
    let greater = order.iter().take_while(|one| matches!(one, Value::Number(one) if one > asked)).count();
    greater.checked_sub(own + 1)
}

/// By how many sizes a range is wider than the one that it holds: 1-6 than 3-6.
fn wider(own: &Value, asked: &Value) -> Option<usize> {
    let range = |value: &Value| -> Option<(usize, usize)> {
        let (from, to) = value.as_text()?.split_once('-')?;
        Some((from.parse().ok()?, to.parse().ok()?))
    };
    let ((from, to), (least, most)) = (range(own)?, range(asked)?);
    (from <= least && most <= to).then(|| least - from + to - most)
}

/// Finish, look and base together.
fn weigh_finish(book: &Book, line: &Line, asked: &Attributes, fit: &mut Fit) {
    let text = |attr: Attr| asked.get(&attr).and_then(Value::as_text);
    let (finish, look, base) = (text(names::FINISH), text(names::LOOK), text(names::BASE));
    let own_base = line.is.get(&names::BASE).and_then(Value::as_text);
    if let (Some(base), Some(own)) = (base, own_base) {
        if finishes::same_base(base, own) {
            fit.why.push(format!("base {base}: as asked"));
        } else {
            fit.against.push(format!("base metal {base}: this line is {own}"));
        }
    }
    let made: Vec<&str> = match line.makes.iter().find(|varying| varying.attr == names::FINISH) {
        Some(Varying { domain: Domain::OneOf(values), .. }) => {
            values.iter().flatten().filter_map(Value::as_text).collect()
        }
        _ => line.is.get(&names::FINISH).and_then(Value::as_text).into_iter().collect(),
    };
    if finish.is_none() && look.is_none() && base.is_none() {
        return;
    }
    if made.is_empty() {
        if let Some(words) = finish.or(look) {
            fit.why.push(format!("finish {words}: this line has no finish to choose"));
        } else if let (Some(base), None) = (base, own_base) {
            fit.why.push(format!("base {base}: this line does not distinguish it"));
        }
        return;
    }
    let near_allowed = book.policy.nearest_finish.contains(&line.category);
    match finishes::choose(&made, finish, look, base, own_base, near_allowed) {
        Finish::Asked(code, why) => decide_finish(line, code, why, fit),
        Finish::Near(code, why) => {
            fit.liberties += 1;
            decide_finish(line, code, why, fit);
        }
        Finish::Open => {}
        Finish::None => {
            let words = [finish.or(look), base].into_iter().flatten().collect::<Vec<_>>().join(" on ");
            fit.against.push(format!(
                "finish {}: this line makes {}",
                wording::words(&words),
                super::source::listed(made)
            ));
        }
    }
}

fn decide_finish(line: &Line, code: &str, why: String, fit: &mut Fit) {
    fit.why.push(why);
    if line.makes.iter().any(|varying| varying.attr == names::FINISH) {
        fit.decided.insert(names::FINISH, Some(Value::text(code)));
    }
}

/// The candidate of a line, its undecided attributes listed.
fn candidate(
    book: &Book,
    line: &Line,
    fit: &mut Fit,
    request: &Request,
    class: Option<&str>,
) -> Result<Candidate, String> {
    let attributes = fill(line, &fit.decided)?;
    let all = finished(line, &attributes);
    for (attr, asked) in &request.attributes {
        let follows = line.gives.iter().any(|(_, gives)| gives.contains_key(attr));
        let own = all.get(attr);
        if follows && !book.policy.descriptive.contains(attr) && !own.is_some_and(|own| meets(*attr, own, asked)) {
            return Err(format!("{}: this combination is {}", said(*attr, &shown(Some(asked))), shown(own)));
        }
    }
    let good = good(book, line, &attributes, class)?;
    let undecided = line
        .makes
        .iter()
        .filter(|varying| {
            // An extra that the rules moved off its usual value is told like any other choice.
            let moved = attributes.get(&varying.attr) != varying.usual.as_ref();
            (moved || !varying.extra) && !fit.decided.contains_key(&varying.attr)
        })
        .filter_map(|varying| undecided((book, line, &fit.decided), varying, &attributes, &good, request, class))
        .collect();
    Ok(Candidate { good, why: std::mem::take(&mut fit.why), undecided })
}

fn undecided(
    (book, line, decided): (&Book, &Line, &Decided),
    varying: &Varying,
    attributes: &Attributes,
    taken: &Good,
    request: &Request,
    class: Option<&str>,
) -> Option<Undecided> {
    let attr = varying.attr;
    let now = attributes.get(&attr);
    let mut options: Vec<(Value, Money)> = Vec::new();
    let base = request.attributes.get(&names::BASE).and_then(Value::as_text).filter(|_| attr == names::FINISH);
    let mut in_order: Vec<Option<Value>> = varying.options();
    in_order.sort_by_key(|option| option.as_ref() != now);
    for option in in_order {
        let code = option.as_ref().and_then(Value::as_text);
        if let (Some(base), Some(code)) = (base, code)
            && finishes::base_of(code).is_some_and(|own| !finishes::same_base(base, own))
        {
            continue;
        }
        let mut other = attributes.clone();
        match &option {
            Some(value) => other.insert(attr, value.clone()),
            None => other.remove(&attr),
        };
        if objection(line, &other).is_some() {
            // What a person must choose may take other things with it that nobody asked for: a function its trim.
            let mut with = decided.clone();
            with.insert(attr, option.clone());
            match fill(line, &with) {
                Ok(all) if varying.matters => other = all,
                _ => continue,
            }
        }
        let Ok(good) = good(book, line, &other, class) else { continue };
        options.push((option.unwrap_or_else(|| Value::text("none")), good.list.list() - taken.list.list()));
    }
    let taken = now.cloned().unwrap_or_else(|| Value::text("none"));
    (options.len() > 1).then_some(Undecided { attribute: attr, taken, options, matters: varying.matters })
}
