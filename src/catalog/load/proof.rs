//! Checks that need the whole catalog: every line has a discount, kits and successors exist and run in no circle, the usual
//! good of each line can be built and priced, every adder is for goods that can be made and leaves a price, no two lines
//! share a designation.

use std::collections::BTreeMap;

use super::super::book::Book;
use super::super::good::Adds;
use super::super::line::{Base, Line, LineAdder, Varying};
use super::super::make::{Decided, complete_usual, designation, fill, good, objection};
use super::super::pattern::Piece;
use super::super::source::{Mistakes, SourceFile, nearest};
use super::super::value::Domain;
use super::fields::Shared;
use crate::money::Money;
use crate::trade::attribute::{Attr, Attributes, Value};

/// Options of an adder's condition tried together.
const MOST_TRIED: usize = 200;

/// Checks the book. `main` is the place for mistakes without a better one.
pub(super) fn check(book: &Book, main: &SourceFile, shared: &Shared<'_>, mistakes: &mut Mistakes) {
    let mut owners: BTreeMap<String, &Line> = BTreeMap::new();
    for line in &book.lines {
        let mut complain = |says: String, help: &str| complain_at(line, main, shared, mistakes, says, help);
        if !line.price.net && book.discount(&line.sold(), None).is_none() {
            complain(
                format!("line `{}` takes no discount chain", line.id),
                "add a [[discount]] for its maker or category, or net = true to its price",
            );
        }
        let parts_exist = line.kit.iter().all(|part| {
            let known = book.line(&part.line).is_some();
            if !known {
                let says = format!("the kit `{}` holds a line `{}`, which does not exist", line.id, part.line);
                complain(says, &near_id(book, &part.line));
            }
            known
        });
        if let Some((says, help)) = successor(book, line) {
            complain(says, &help);
        }
        let attributes = match complete_usual(line) {
            Ok(attributes) => attributes,
            Err(objection) => {
                let says = format!("line `{}` cannot be made with its usual values: {objection}", line.id);
                complain(says, "change a usual value or the rule");
                continue;
            }
        };
        match good(book, line, &attributes, None) {
            Err(why) if parts_exist => complain(
                format!("line `{}` cannot be priced with its usual values: {why}", line.id),
                "put right what is said, or take the part out of the kit",
            ),
            Ok(good) if !good.list.call_for_price && good.list.net() > good.list.list() => {
                let (net, list) = (good.list.net(), good.list.list());
                let says = format!("{} costs {net} net and {list} at list", good.designation);
                complain(says, "check the discount and the net adders: a list price is above the net cost");
            }
            _ => {}
        }
        for says in same_letters(line).into_iter().chain(unnamed(line)) {
            complain(says, "give each its own code in `codes`, and name it in the designation");
        }
        let mut shares = None;
        for text in designations(line, &attributes) {
            let key: String = text.chars().filter(|letter| letter.is_alphanumeric()).collect();
            match owners.get(&key.to_uppercase()) {
                Some(other) if other.id != line.id => shares = shares.or(Some((other.id.clone(), text))),
                Some(_) => {}
                None => drop(owners.insert(key.to_uppercase(), line)),
            }
        }
        if let Some((other, text)) = shares {
            let says = format!("lines `{other}` and `{}` share the designation {text}", line.id);
            complain(says, "change the letters of one designation pattern");
        }
        for (says, help) in line.adders.iter().filter_map(|adder| odd_adder(book, line, adder)) {
            complain(says, help);
        }
    }
}

/// The id nearest to one that does not exist.
fn near_id(book: &Book, id: &str) -> String {
    match nearest(id, book.lines.iter().map(|line| &*line.id)) {
        Some(near) => format!("a line with a similar id exists: `{near}`"),
        None => "name the id of a line of this edition".to_owned(),
    }
}

/// What is wrong with the successor of a discontinued line: it must be there, of the same category, and lead on to a line
/// that is made.
fn successor(book: &Book, line: &Line) -> Option<(String, String)> {
    let mut last = line;
    let mut passed = vec![&line.id];
    while let Some(next) = last.discontinued.as_ref().and_then(|gone| gone.successor.as_ref()) {
        let Some(found) = book.line(next) else {
            let own = last.id == line.id;
            return own.then(|| (format!("the successor `{next}` does not exist"), near_id(book, next)));
        };
        if found.category != line.category && last.id == line.id {
            let says = format!("the successor `{next}` is a {}, the line a {}", found.category, line.category);
            return Some((says, "name a line of the same category".to_owned()));
        }
        if passed.contains(&next) {
            let says = format!("the successors of `{}` run in a circle and none of them is made", line.id);
            return (*next == line.id).then(|| (says, "name a line that is still made".to_owned()));
        }
        passed.push(next);
        last = found;
    }
    None
}

/// The designations of the usual good and of each that differs from it in one value.
fn designations(line: &Line, usual: &Attributes) -> Vec<String> {
    let mut all = vec![designation(line, usual)];
    for varying in line.makes.iter().filter(|varying| matches!(varying.domain, Domain::OneOf(_))) {
        for option in varying.options().into_iter().skip(1) {
            let mut attributes = usual.clone();
            match option {
                Some(value) => attributes.insert(varying.attr, value),
                None => attributes.remove(&varying.attr),
            };
            if objection(line, &attributes).is_none() {
                all.push(designation(line, &attributes));
            }
        }
    }
    all
}

/// An adder for goods that the rules of its line forbid, or one that leaves no price.
fn odd_adder(book: &Book, line: &Line, adder: &LineAdder) -> Option<(String, &'static str)> {
    let mut tried: Vec<Decided> = vec![Decided::new()];
    let mut whole = true;
    for (attr, test) in &adder.when.0 {
        let Some(varying) = line.makes.iter().find(|varying| varying.attr == *attr) else { continue };
        let passing: Vec<Option<Value>> = match &varying.domain {
            Domain::OneOf(values) => values.iter().filter(|value| test.passes(value.as_ref())).cloned().collect(),
            // Of lengths and words, any may be meant.
            _ => {
                whole = false;
                continue;
            }
        };
        let with = |decided: &Decided, value: &Option<Value>| {
            let mut more = decided.clone();
            more.insert(*attr, value.clone());
            more
        };
        tried = tried.iter().flat_map(|decided| passing.iter().map(move |value| with(decided, value))).collect();
        tried.truncate(MOST_TRIED);
    }
    whole &= tried.len() < MOST_TRIED;
    let of_adder = || format!("the adder for {} of line `{}`", adder.what, line.id);
    if whole && !tried.is_empty() && tried.iter().all(|decided| forbidden(line, decided)) {
        let says = format!("{} is for goods that its rules do not allow", of_adder());
        return Some((says, "take it out, or change the rule"));
    }
    let lowers = match adder.adds {
        Adds::List(money) | Adds::Net(money) => money < Money::ZERO,
        Adds::PercentOfList(percent) => percent.is_sign_negative(),
    };
    if !lowers {
        return None;
    }
    let made = tried.iter().filter_map(|decided| good(book, line, &fill(line, decided).ok()?, None).ok());
    let free = made.into_iter().find(|good| !good.list.call_for_price && good.list.net() <= Money::ZERO)?;
    let says = format!("{} leaves {} at {} net", of_adder(), free.designation, free.list.net());
    Some((says, "a price stays above zero; check the sign and the sum"))
}

/// Whether a rule forbids what is decided, whatever the rest is.
fn forbidden(line: &Line, decided: &Decided) -> bool {
    let mut attributes = line.is.clone();
    attributes.extend(decided.iter().filter_map(|(attr, value)| Some((*attr, value.clone()?))));
    let known = |attr: Attr| decided.contains_key(&attr) || line.is.contains_key(&attr);
    let mut speaking = line.rules.iter().filter(|rule| rule.attrs().all(known));
    speaking.any(|rule| rule.objection(&attributes).is_some())
}

/// Two values of neighbouring attributes whose codes run together to the same letters: `1` + `10` and `11` + `0`.
fn same_letters(line: &Line) -> Option<String> {
    let slots: Vec<Option<&Varying>> = line
        .designation
        .0
        .iter()
        .map(|piece| match piece {
            Piece::Slot(attr) => line.makes.iter().find(|varying| varying.attr == *attr),
            Piece::Literal(_) => None,
        })
        .collect();
    let together = slots.windows(2).filter_map(|pair| pair[0].zip(pair[1]));
    for (one, other) in together {
        let mut seen: BTreeMap<String, (&str, &str)> = BTreeMap::new();
        for ((_, first), (_, second)) in one.codes.iter().flat_map(|a| other.codes.iter().map(move |b| (a, b))) {
            let key = format!("{first}{second}").to_uppercase();
            if let Some((a, b)) = seen.insert(key, (first, second)) {
                return Some(format!(
                    "{} \"{a}\" with {} \"{b}\" and \"{first}\" with \"{second}\" make the same designation",
                    one.attr, other.attr
                ));
            }
        }
    }
    None
}

/// An attribute that changes the price and is not in the designation: two goods at two prices would share it.
fn unnamed(line: &Line) -> Option<String> {
    let named: Vec<Attr> = line.designation.slots().collect();
    let cut = line.length.as_ref().map(|rule| rule.attr);
    let unnamed = |attr: &Attr| !named.contains(attr) && cut != Some(*attr);
    let varies = line.makes.iter().filter(|varying| matches!(varying.domain, Domain::OneOf(_)));
    let by_table: Vec<Attr> = match &line.price.from {
        Base::Table(table) => table.attrs().collect(),
        _ => Vec::new(),
    };
    let adds = |attr: Attr| line.adders.iter().any(|adder| adder.when.0.iter().any(|(own, _)| *own == attr));
    let attr =
        varies.map(|varying| varying.attr).filter(unnamed).find(|attr| by_table.contains(attr) || adds(*attr))?;
    Some(format!("line `{}` makes {attr} at several prices and its designation does not name it", line.id))
}

fn complain_at(line: &Line, main: &SourceFile, shared: &Shared<'_>, mistakes: &mut Mistakes, says: String, help: &str) {
    let tree =
        shared.lines.iter().find(|tree| tree.get("id").and_then(|node| node.plain()).as_deref() == Some(&*line.id));
    match tree {
        Some(tree) => tree.complain(mistakes, says, help),
        None => mistakes.add(main, 0, says, help),
    }
}
