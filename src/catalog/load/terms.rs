//! Reads discount chains and surcharges of an edition.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::super::book::{Discount, Surcharge};
use super::super::list::GoodsList;
use super::super::source::{Mistakes, nearest};
use super::super::tree::{Node, Tree};
use super::book::category;
use super::fields::{self, Shared, condition, number};

/// All discounts, and the surcharges in force on `date`.
pub(super) fn all(
    trees: &[Tree<'_>],
    classes: &[Arc<str>],
    date: &str,
    shared: &Shared<'_>,
    lists: &[GoodsList],
    mistakes: &mut Mistakes,
) -> (Vec<Discount>, Vec<Surcharge>) {
    let names = Names::of(shared, lists);
    let mut discounts = Vec::new();
    let mut surcharges = Vec::new();
    for tree in trees {
        for entry in tree.get("discount").map_or(Vec::new(), |node| node.trees(mistakes)) {
            let Some(discount) = discount(entry, classes, &names, mistakes) else { continue };
            if let Some(twin) = discounts.iter().find(|other: &&Discount| other.is_for_the_same(&discount)) {
                let says = format!("a discount for the same stands in {}, line {}", twin.entry.file, twin.entry.line);
                entry.complain(mistakes, says, "leave one of them; only one chain can hold");
            }
            discounts.push(discount);
        }
        for entry in tree.get("surcharge").map_or(Vec::new(), |node| node.trees(mistakes)) {
            let Some(surcharge) = surcharge(entry, date, &names, mistakes) else { continue };
            if surcharges.contains(&surcharge) {
                let says = format!("the surcharge \"{}\" stands twice and would be added twice", surcharge.name);
                entry.complain(mistakes, says, "leave one of them, or let the days of one end before the other begins");
            }
            surcharges.push(surcharge);
        }
    }
    (discounts, surcharges)
}

/// Ids and makers as the files write them, whether or not their lines are whole: one mistake is told once.
struct Names {
    ids: Vec<String>,
    makers: Vec<String>,
    groups: Vec<String>,
}

impl Names {
    fn of(shared: &Shared<'_>, lists: &[GoodsList]) -> Names {
        let all = |key: &str| shared.lines.iter().filter_map(|line| line.get(key)?.plain()).collect();
        let families = || lists.iter().flat_map(|list| &list.families);
        let (mut ids, mut makers): (Vec<String>, Vec<String>) = (all("id"), all("maker"));
        ids.extend(families().map(|family| family.id.to_string()));
        makers.extend(families().map(|family| family.maker.to_string()));
        let groups = lists.iter().flat_map(|list| &list.groups).map(ToString::to_string).collect();
        Names { ids, makers, groups }
    }
}

fn discount(tree: Tree<'_>, classes: &[Arc<str>], names: &Names, mistakes: &mut Mistakes) -> Option<Discount> {
    tree.only(&["line", "maker", "category", "class", "group", "chain", "multiplier"], mistakes);
    let chain = chain(tree, mistakes)?;
    Some(Discount {
        line: named(tree.get("line"), "line", names.ids.iter().map(String::as_str), mistakes),
        maker: named(tree.get("maker"), "maker", names.makers.iter().map(String::as_str), mistakes),
        category: tree.get("category").and_then(|node| category(&node.scalar(mistakes)?, node, mistakes)),
        class: named(tree.get("class"), "customer class", classes.iter().map(|class| &**class), mistakes),
        group: named(tree.get("group"), "discount group", names.groups.iter().map(String::as_str), mistakes),
        chain,
        entry: tree.entry(),
    })
}

fn chain(tree: Tree<'_>, mistakes: &mut Mistakes) -> Option<Vec<Decimal>> {
    if let Some(node) = tree.get("multiplier") {
        let multiplier = number(node, mistakes)?;
        if multiplier <= Decimal::ZERO || multiplier > Decimal::ONE {
            node.complain(
                mistakes,
                format!("the multiplier {multiplier} is not between 0 and 1"),
                "net = list × multiplier, such as 0.4275",
            );
            return None;
        }
        return Some(vec![(Decimal::ONE - multiplier) * Decimal::ONE_HUNDRED]);
    }
    let Some(node) = tree.get("chain") else {
        tree.complain(mistakes, "the discount has no chain", "add chain = [50, 10, 5] or multiplier = 0.4275");
        return None;
    };
    let mut chain = Vec::new();
    for item in node.items() {
        let step = number(item, mistakes)?;
        if step < Decimal::ZERO || step >= Decimal::ONE_HUNDRED {
            item.complain(
                mistakes,
                format!("a step of {step} per cent is not between 0 and 100"),
                "50 means 50 per cent off; net stays above zero",
            );
            return None;
        }
        // Half a per cent and half the price are written alike by different hands: money is not guessed.
        if !step.is_zero() && step < Decimal::ONE {
            let hundredfold = (step * Decimal::ONE_HUNDRED).normalize();
            let says = format!("a step of {step} is less than one per cent off: {step} per cent, or {hundredfold}?");
            let help = format!(
                "write {hundredfold} for {hundredfold} per cent off; a chain with less than one per cent is written as a \
                 multiplier, such as 0.995"
            );
            item.complain(mistakes, says, help);
            return None;
        }
        chain.push(step);
    }
    Some(chain)
}

/// A name that must be one of the known ones.
fn named<'a>(
    node: Option<Node<'_>>,
    what: &str,
    known: impl Iterator<Item = &'a str> + Clone,
    mistakes: &mut Mistakes,
) -> Option<Arc<str>> {
    let node = node?;
    let name = node.scalar(mistakes)?;
    if !known.clone().any(|one| one == name) {
        let help = match nearest(&name, known) {
            Some(near) => format!("a {what} with a similar name exists: \"{near}\""),
            None => format!("name a {what} of this catalog"),
        };
        node.complain(mistakes, format!("there is no {what} \"{name}\""), help);
    }
    Some(name.into())
}

fn surcharge(tree: Tree<'_>, date: &str, names: &Names, mistakes: &mut Mistakes) -> Option<Surcharge> {
    tree.only(&["name", "percent", "from", "until", "maker", "category", "when"], mistakes);
    let mut day = |key: &str| tree.get(key).and_then(|node| fields::day(node, key, mistakes));
    let from = day("from");
    let until = day("until");
    if let (Some(from), Some(until), Some(node)) = (&from, &until, tree.get("until"))
        && until < from
    {
        node.complain(mistakes, format!("the surcharge ends on {until} and begins on {from}"), "exchange the two days");
    }
    let name = tree.get("name").and_then(|node| node.scalar(mistakes)).unwrap_or_else(|| "surcharge".to_owned());
    let Some(node) = tree.get("percent") else {
        tree.complain(mistakes, "the surcharge has no per cent", "add percent = 3.5");
        return None;
    };
    let percent = number(node, mistakes)?;
    if percent <= -Decimal::ONE_HUNDRED {
        let says = format!("a surcharge of {percent} per cent leaves nothing of the price");
        node.complain(mistakes, says, "write 3.5 for three and a half per cent on top");
    }
    let surcharge = Surcharge {
        name: name.into(),
        percent,
        maker: named(tree.get("maker"), "maker", names.makers.iter().map(String::as_str), mistakes),
        category: tree.get("category").and_then(|node| category(&node.scalar(mistakes)?, node, mistakes)),
        when: condition(tree.get("when"), mistakes),
    };
    let begun = from.is_none_or(|from| from.as_str() <= date);
    let over = until.is_some_and(|until| until.as_str() < date);
    (begun && !over).then_some(surcharge)
}
