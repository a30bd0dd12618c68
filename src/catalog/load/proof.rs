//! Checks that need the whole catalog: every line has a discount, kits and successors exist, the usual good of each line
//! can be built, no two lines share a designation.

use std::collections::BTreeMap;

use super::super::book::Book;
use super::super::line::{Base, Line, Varying};
use super::super::make::{complete_usual, designation, good};
use super::super::pattern::Piece;
use super::super::source::{Mistakes, SourceFile};
use super::super::value::Domain;
use super::fields::Shared;
use crate::trade::attribute::{Attr, Attributes};

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
        for part in &line.kit {
            if book.line(&part.line).is_none() {
                complain(
                    format!("the kit `{}` holds a line `{}`, which does not exist", line.id, part.line),
                    "name the id of a line of this edition",
                );
            }
        }
        if let Some(successor) = line.discontinued.as_ref().and_then(|gone| gone.successor.as_ref())
            && book.line(successor).is_none()
        {
            complain(format!("the successor `{successor}` does not exist"), "name the id of a line of this edition");
        }
        match complete_usual(line) {
            Err(objection) => complain(
                format!("line `{}` cannot be made with its usual values: {objection}", line.id),
                "change a usual value or the rule",
            ),
            Ok(attributes) => {
                let text = designation(line, &attributes);
                if let Some(says) = dearer_than_list(book, line, &attributes) {
                    complain(says, "check the discount and the net adders: a list price is above the net cost");
                }
                for says in same_letters(line).into_iter().chain(unnamed(line)) {
                    complain(says, "give each its own code in `codes`, and name it in the designation");
                }
                let key: String = text.chars().filter(|letter| letter.is_alphanumeric()).collect();
                if let Some(other) = owners.insert(key.to_uppercase(), line) {
                    complain(
                        format!("lines `{}` and `{}` share the designation {text}", other.id, line.id),
                        "change the letters of one designation pattern",
                    );
                }
            }
        }
    }
}

/// The usual good of a line that costs more net than at list.
fn dearer_than_list(book: &Book, line: &Line, attributes: &Attributes) -> Option<String> {
    let good = good(book, line, attributes, None).ok()?;
    let (net, list) = (good.list.net(), good.list.list());
    (net > list).then(|| format!("{} costs {net} net and {list} at list", good.designation))
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
