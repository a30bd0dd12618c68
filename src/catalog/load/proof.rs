//! Checks that need the whole catalog: every line has a discount, kits and successors exist, the usual good of each line
//! can be built, no two lines share a designation.

use std::collections::BTreeMap;

use super::super::book::Book;
use super::super::line::Line;
use super::super::make::{complete_usual, designation};
use super::super::source::{Mistakes, SourceFile};
use super::fields::Shared;

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

fn complain_at(line: &Line, main: &SourceFile, shared: &Shared<'_>, mistakes: &mut Mistakes, says: String, help: &str) {
    let tree =
        shared.lines.iter().find(|tree| tree.get("id").and_then(|node| node.plain()).as_deref() == Some(&*line.id));
    match tree {
        Some(tree) => tree.complain(mistakes, says, help),
        None => mistakes.add(main, 0, says, help),
    }
}
