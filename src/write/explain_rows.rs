//! How a row that is no item was read, for the terminal: the door it is and what that door gets; else what it was taken for.

use std::collections::BTreeMap;

use super::words::amount;
use crate::count::takeoff::From;
use crate::finding::{Finding, Kind};
use crate::money::Money;
use crate::price::quote::Quote;
use crate::read::schedule::{LedgerRow, Opening};
use crate::trade::inches::Inches;

/// The story of a door: its facts as they were read, the hardware it gets, what was found about it.
pub fn door(quote: &Quote, index: usize) -> String {
    let Some(opening) = quote.job.schedule.openings.get(index) else { return String::new() };
    let mut out = format!("{}\n    door {}\n\nread\n", opening.place, opening.number);
    for (what, value) in facts(opening) {
        out.push_str(&format!("    {what:<18} {value}\n"));
    }
    hardware(quote, index, &mut out);
    let about: Vec<&Finding> =
        quote.job.findings.iter().filter(|finding| finding.openings.contains(&opening.number)).collect();
    if !about.is_empty() {
        out.push_str("\nfindings\n");
    }
    for finding in about.iter().filter(|finding| finding.kind != Kind::Note) {
        out.push_str(&format!("    {}[{}]: {}\n", finding.kind.word(), finding.code, finding.says));
    }
    for finding in about.iter().filter(|finding| finding.kind == Kind::Note) {
        out.push_str(&format!("    note[{}]: {}\n", finding.code, finding.says));
    }
    out
}

/// What the row of a door says, and what it leaves open.
fn facts(opening: &Opening) -> Vec<(&'static str, String)> {
    const OPEN: &str = "not given";
    let length = |length: Option<Inches>| length.map_or_else(|| OPEN.to_owned(), |length| length.in_feet());
    let words = |words: Option<&String>| words.map_or_else(|| OPEN.to_owned(), |words| words.replace('-', " "));
    let rating = &opening.rating;
    let mut says = match (rating.minutes, rating.rated_unknown) {
        (Some(0), _) => "not rated".to_owned(),
        (Some(minutes), _) => format!("{minutes} minutes"),
        (None, true) => "rated, minutes not given".to_owned(),
        (None, false) => OPEN.to_owned(),
    };
    if rating.smoke == Some(true) {
        says.push_str(", smoke and draft");
    }
    if let Some(minutes) = rating.wall_minutes {
        says.push_str(&format!(", wall {minutes} minutes"));
    }
    if !rating.text.is_empty() {
        says.push_str(&format!("   \"{}\"", rating.text));
    }
    let mut facts = vec![
        ("leaves", opening.leaves.to_string()),
        ("width", length(opening.width)),
        ("height", length(opening.height)),
        ("thickness", opening.thickness.map_or_else(|| OPEN.to_owned(), |thick| format!("{}\"", thick.in_fractions()))),
        ("door", words(opening.door_material.as_ref())),
        ("frame", words(opening.frame_material.as_ref())),
        ("rating", says),
    ];
    if !opening.leaf_widths.is_empty() {
        let widths: Vec<String> = opening.leaf_widths.iter().map(|width| width.in_feet()).collect();
        facts.push(("leaf widths", widths.join(", ")));
    }
    if let Some(exterior) = opening.exterior {
        facts.push(("side", if exterior { "exterior" } else { "interior" }.to_owned()));
    }
    facts.extend(opening.wall.as_ref().map(|wall| ("wall", wall.clone())));
    facts.extend(opening.hand.as_ref().map(|hand| ("hand", hand.clone())));
    facts.push(("set", opening.set.clone().unwrap_or_else(|| "none".to_owned())));
    for (what, text) in [("room", &opening.room), ("remarks", &opening.remarks)] {
        if !text.is_empty() {
            facts.push((what, text.clone()));
        }
    }
    if opening.count > 1 {
        facts.push(("stands for", format!("{} such doors", opening.count)));
    }
    facts.extend(opening.excluded.as_ref().map(|why| ("not priced", why.clone())));
    facts
}

/// What the door gets: lines of its set, then what rules added, each with its count and money for one such door.
fn hardware(quote: &Quote, index: usize, out: &mut String) {
    let lines: BTreeMap<_, _> =
        quote.job.sets.iter().flat_map(|set| &set.specs).map(|spec| (spec.id, spec.wording.text.as_str())).collect();
    let mut sum = Money::ZERO;
    let mut begun = false;
    for priced in &quote.items {
        let Some((_, share)) = priced.item.shares.iter().find(|(opening, _)| *opening == index) else { continue };
        let words = match priced.item.from {
            From::Line(id) => lines.get(&id).copied().unwrap_or_default().to_owned(),
            From::Added(added) => quote
                .job
                .added
                .get(added)
                .map(|addition| format!("added {} (rule {})", addition.category.name(), addition.rule))
                .unwrap_or_default(),
        };
        if !begun {
            out.push_str("\nhardware of this door\n");
            begun = true;
        }
        let money = priced.working.as_ref().and_then(|working| working.sell.times(*share));
        let good = priced.item.candidate.as_ref().map_or("no good", |found| found.good.designation.as_ref());
        out.push_str(&format!(
            "    {:>6}  {words}\n            {good:<40} {:>12}\n",
            share.normalize().to_string(),
            money.map_or_else(|| "no price".to_owned(), amount)
        ));
        sum += money.unwrap_or_default();
    }
    if begun {
        out.push_str(&format!("            {:<40} {:>12}\n", "together, without freight, tax and lots", amount(sum)));
    } else {
        out.push_str("\nno hardware: its set is missing, empty or not priced\n");
    }
}

/// What a row was taken for that is neither item nor door.
pub fn row(found: &LedgerRow) -> String {
    format!("{}\n    {}\n\nread as {}\n", found.place, found.text, found.role.word().replace('-', " "))
}
