//! How one line was read, for the terminal: words and what they mean, what was filled in, the goods that fit, the price.

use std::ops::Range;

use crate::complete::spec::{From, Grade, Spec};
use crate::evidence::Evidence;
use crate::finding::Finding;
use crate::money::Money;
use crate::price::quote::{PricedItem, Working};
use crate::trade::attribute::{Attr, Value, names, title};
use crate::understand::reading::{Heard, RemarkKind};

use super::told_by::{good, told_by};

/// The story of one line.
pub fn story(spec: &Spec, findings: &[&Finding], item: Option<&PricedItem>) -> String {
    let text = &spec.wording.text;
    let mut out = format!("{}\n    {text}\n\n", spec.place);
    heard(&mut out, spec, text);
    filled(&mut out, spec);
    undecided(&mut out, spec);
    candidates(&mut out, spec);
    if let Some(item) = item {
        price(&mut out, item);
    }
    if !findings.is_empty() {
        out.push_str("\nfindings\n");
        for finding in findings {
            out.push_str(&format!("    {}[{}]: {}\n", finding.kind.word(), finding.code, finding.says));
            for answer in &finding.answers {
                let money = answer.effect.map_or_else(String::new, |money| {
                    format!(" ({}{money})", if money >= crate::money::Money::ZERO { "+" } else { "" })
                });
                out.push_str(&format!("        {}{money}\n", answer.value));
            }
        }
    }
    out
}

fn heard(out: &mut String, spec: &Spec, text: &str) {
    out.push_str("heard\n");
    let words = |span: &Range<usize>| format!("\"{}\"", text.get(span.clone()).unwrap_or_default());
    let mut row = |what: &str, value: &str, words: &str, by: &str| {
        let line = format!("    {what:<22} {value:<22} {words:<22} {by}");
        out.push_str(&format!("{}\n", line.trim_end()));
    };
    let said =
        |evidence: &Evidence, name: &str, value: &str| (words(&evidence.span), told_by(&evidence.by, name, value));
    match &spec.reading.category {
        Heard::Found(category, evidence) => {
            let (words, by) = said(evidence, "category", &good(*category));
            row("category", &good(*category), &words, &by);
        }
        Heard::Ambiguous(all) => {
            for (category, evidence) in all {
                let (words, by) = said(evidence, "category", &good(*category));
                row("category?", &good(*category), &words, &by);
            }
        }
        Heard::Absent => row("category", "not said", "", ""),
    }
    if let (Some(amount), Some(evidence)) = (spec.reading.quantity.amount, &spec.reading.quantity.evidence) {
        let value = format!("{} {}", amount.normalize(), spec.reading.quantity.unit.word());
        let (words, by) = said(evidence, "quantity", "");
        row("quantity", &value, &words, &by);
    }
    for (name, value) in &spec.reading.attributes {
        match value {
            Heard::Found(value, evidence) => {
                let (words, by) = said(evidence, name.name(), &value.to_string());
                row(&title(*name), &shown(value), &words, &by);
            }
            Heard::Ambiguous(all) => {
                for (value, evidence) in all {
                    let (words, by) = said(evidence, name.name(), &value.to_string());
                    row(&format!("{}?", title(*name)), &shown(value), &words, &by);
                }
            }
            Heard::Absent => {}
        }
    }
    for remark in &spec.reading.remarks {
        let (words, by) = said(&remark.evidence, "remark", "");
        let kind = if remark.kind == RemarkKind::Other { "kept as said" } else { remark.kind.word() };
        row("remark", &kind.replace('-', " "), &words, &by);
    }
    for span in &spec.reading.unread {
        row("not understood", "", &words(span), "");
    }
    // Words that change nothing are shown too, so that nobody wonders whether they were seen.
    let bare = |span: &Range<usize>| {
        let said = text.get(span.clone())?.trim_matches(|sign: char| !sign.is_alphanumeric() && sign != '"');
        // Words that only join are none that anybody misses.
        (said.chars().filter(|sign| sign.is_alphanumeric()).count() > 2).then(|| format!("\"{said}\""))
    };
    let aside: Vec<String> = spec.reading.ignored.iter().filter_map(bare).collect();
    if !aside.is_empty() {
        row("set aside", "", &aside.join(" "), "known, and changes nothing here");
    }
}

/// A value as it is said: lengths in fractions, yes and no.
fn shown(value: &Value) -> String {
    match value {
        Value::Flag(true) => "yes".to_owned(),
        Value::Text(text) if **text == *"true" => "yes".to_owned(),
        Value::Flag(false) => "no".to_owned(),
        Value::Length(length) => length.in_fractions(),
        value => value.to_string(),
    }
}

fn filled(out: &mut String, spec: &Spec) {
    let mut begun = false;
    for (name, sourced) in &spec.attributes {
        let why = match &sourced.from {
            From::Said(_) => continue,
            From::Rule(code, grade) => {
                let grade = match grade {
                    Grade::Certain => "follows",
                    Grade::Assumed => "assumed",
                    Grade::Ask => "taken meanwhile, and asked",
                };
                format!("{grade} (`pintle rules {code}` tells why)")
            }
            From::Catalog(line) => format!("usual for {line}"),
            From::Answer(answer) => format!("answered: {answer}"),
        };
        if !begun {
            out.push_str("\nfilled in\n");
            begun = true;
        }
        out.push_str(&format!("    {:<22} {:<22} {why}\n", title(*name), shown(&sourced.value)));
    }
}

fn undecided(out: &mut String, spec: &Spec) {
    let Some(first) = spec.selection.candidates.first() else { return };
    let known = |attribute: Attr| spec.attributes.contains_key(&attribute);
    let open: Vec<_> = first.undecided.iter().filter(|undecided| !known(undecided.attribute)).collect();
    if open.is_empty() {
        return;
    }
    out.push_str("\nnot decided (list price differences)\n");
    for undecided in open {
        let options: Vec<String> = undecided
            .options
            .iter()
            .map(|(value, money)| if money.is_zero() { value.to_string() } else { format!("{value} {money}") })
            .collect();
        out.push_str(&format!(
            "    {:<22} taken: {:<14} makes: {}\n",
            title(undecided.attribute),
            undecided.taken.to_string(),
            options.join(", ")
        ));
    }
}

/// How the catalog says that a good has what was asked.
const MET: &str = ": as asked";

fn candidates(out: &mut String, spec: &Spec) {
    if spec.selection.candidates.is_empty() {
        for (good, why) in spec.selection.near.iter().take(3) {
            out.push_str(&format!("\nnearest: {} {}: {why}\n", good.maker, good.designation));
        }
        return;
    }
    out.push_str("\ngoods that fit\n");
    for candidate in spec.selection.candidates.iter().take(5) {
        out.push_str(&format!(
            "    {:<14} {:<24} {}\n",
            candidate.good.maker, candidate.good.designation, candidate.good.description
        ));
        // What is as asked is said in one breath; what differs has a line of its own.
        // What a plate is less than the door has become its width.
        let wide = format!("{} ", title(names::WIDTH));
        let has_width = candidate.why.iter().any(|why| why.starts_with(&wide));
        let derived = if has_width { title(names::WIDTH_LESS) } else { String::new() };
        let (met, other): (Vec<&str>, Vec<&str>) = candidate
            .why
            .iter()
            .map(AsRef::as_ref)
            .filter(|why: &&str| derived.is_empty() || !why.starts_with(&derived))
            .partition(|why: &&str| why.ends_with(MET));
        if !met.is_empty() {
            let met: Vec<&str> = met.iter().map(|why| why.trim_end_matches(MET)).collect();
            out.push_str(&format!("        as asked: {}\n", met.join(", ")));
        }
        for why in other {
            out.push_str(&format!("        {why}\n"));
        }
    }
    let more = spec.selection.candidates.len().saturating_sub(5);
    if more > 0 {
        out.push_str(&format!("    and {more} more\n"));
    }
}

fn price(out: &mut String, item: &PricedItem) {
    let (Some(working), Some(candidate)) = (&item.working, &item.item.candidate) else {
        out.push_str("\nprice\n    none\n");
        return;
    };
    let list = &candidate.good.list;
    out.push_str(&format!(
        "\nprice of one {}: {} {}\n",
        item.item.unit.word(),
        candidate.good.maker,
        candidate.good.designation
    ));
    row(
        out,
        "base list",
        &working.base.to_string(),
        &format!("{}:{} {}", list.base_entry.file, list.base_entry.line, working.unit_words),
    );
    for portion in &working.made_of {
        let each = format!("{} × {}", portion.count, portion.what);
        out.push_str(&format!("        of it {each:<40} {} each\n", portion.each));
    }
    for extra in working.adders.iter().filter(|extra| !extra.is_net()) {
        row(out, &format!("+ {}", extra.what), &extra.money.to_string(), &extra.how());
    }
    row(out, "list", &in_short(working.list), "");
    build_up(out, working, &format!("{}:{}", list.chain_entry.file, list.chain_entry.line));
    let count = item.item.count.normalize();
    row(out, "extension", &item.sum().to_string(), &format!("{count} {} × {}", item.item.unit.word(), working.sell));
}

/// Money with four decimals at most; a longer figure, which nothing rounds, goes on.
fn in_short(money: Money) -> String {
    let exact = money.to_string();
    match exact.split_once('.') {
        Some((whole, parts)) if parts.len() > 4 => format!("{whole}.{}…", &parts[..4]),
        _ => exact,
    }
}

fn build_up(out: &mut String, working: &Working, chain_at: &str) {
    let chain: Vec<String> = working.chain.iter().map(|step| step.normalize().to_string()).collect();
    row(
        out,
        "x factor",
        &working.multiplier.normalize().to_string(),
        &format!(
            "{} {chain_at}",
            if chain.is_empty() { "net priced".to_owned() } else { format!("less {}", chain.join("/")) }
        ),
    );
    for extra in working.adders.iter().filter(|extra| extra.is_net()) {
        row(out, &format!("+ {}", extra.what), &extra.money.to_string(), &extra.how());
    }
    for (name, percent, money) in &working.surcharges {
        row(out, &format!("+ {name} {}%", percent.normalize()), &money.to_string(), "");
    }
    let rounded = if working.decimals > 2 { "half up to a hundredth of a cent" } else { "half up to the cent" };
    row(out, "net, rounded", &working.net.to_string(), rounded);
    row(out, "sell, rounded", &working.sell.to_string(), &working.rate_words);
}

fn row(out: &mut String, what: &str, value: &str, why: &str) {
    out.push_str(&format!("    {what:<34} {value:>12}  {}\n", why.trim()));
}
