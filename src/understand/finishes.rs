//! Settles the finish: code written, or look written and base metal said or usual for the goods. A code that does not
//! suit the goods stays as written, with a doubt.

use std::sync::{Arc, OnceLock};

use super::assemble::Builder;
use super::claim::What;
use super::reading::{Doubt, Heard, Remark, RemarkKind};
use super::scope::Relation;
use crate::evidence::{By, Evidence};
use crate::read::schedule::PartRole;
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::facts;
use crate::trade::finish::{self, Finish};

/// Settles finish, look and base of a reading.
pub fn settle(builder: &mut Builder) {
    bare_codes(builder);
    super::makers::no_finish_of_numbers(builder);
    // "Maglock 600 24V": six hundred pounds, where a primed magnet makes no sense.
    if let Some(Heard::Found(_, force)) = builder.attributes.get(&names::HOLDING_FORCE) {
        let span = force.span.clone();
        builder.codes.retain(|(_, by)| by.span != span);
    }
    of_parts(builder);
    last_number(builder);
    colour_of_paint(builder);
    // "Aluminum" beside a code on aluminum names the metal, not a paint of its colour.
    let metal = |look: &str| {
        let mut metals = builder.codes.iter().filter_map(|(code, _)| finish::find(code)?.base());
        metals.any(|metal| look.strip_prefix(metal) == Some("-painted"))
    };
    builder.looks.retain(|(look, _)| !metal(look));
    let of_codes = builder.codes.iter().filter_map(|(code, _)| finish::find(code).map(|finish| finish.look));
    let mut looks = of_codes.chain(builder.looks.iter().map(|(look, _)| *look));
    let Some(first) = looks.next() else { return };
    if looks.any(|look| look != first) {
        contradictory(builder);
        return;
    }
    let evidence = builder.codes.first().or(builder.looks.first()).map(|(_, evidence)| evidence.clone());
    let Some(evidence) = evidence else { return };
    let said_base = said_base(builder);
    match chosen_code(builder) {
        Some(code) => by_code(builder, code, said_base.as_deref()),
        // A colour that the words settle for these goods (a black seal) is no plating: it stands.
        None if matches!(builder.attributes.get(&names::FINISH), Some(Heard::Found(..))) => {}
        None if builder.codes.is_empty() => by_look(builder, first, &evidence, said_base.as_deref()),
        None => {
            let all = builder.codes.iter().map(|(code, by)| (Value::text(code), by.clone())).collect();
            builder.put_open(names::FINISH, all);
        }
    }
    builder.attributes.insert(names::LOOK, Heard::Found(Value::text(first), evidence));
}

/// "Closer bronze", "closer aluminum or bronze": on goods that are painted the name of a metal is the colour of the paint, and
/// several may be meant.
fn colour_of_paint(builder: &mut Builder) {
    let Some(Heard::Found(Value::Text(metal), by)) = builder.attributes.get(&names::BASE) else { return };
    let Some(facts) = builder.category().and_then(facts::of).filter(|facts| facts.default_base == "painted") else {
        return;
    };
    let paints = |row: &&Finish| {
        row.bases.is_empty() && row.description.ends_with("painted") && row.description.contains(&**metal)
    };
    let mut all: Vec<(Value, Evidence)> =
        finish::all().filter(paints).map(|row| (Value::Text(row.shared.clone()), by.clone())).collect();
    if all.is_empty() || facts.other_bases.contains(&&**metal) {
        return;
    }
    builder.attributes.remove(&names::BASE);
    if !builder.codes.is_empty() {
        return;
    }
    for (look, by) in std::mem::take(&mut builder.looks) {
        all.extend(finish::resolve(look, "painted").map(|row| (Value::Text(row.shared.clone()), by.clone())));
    }
    match all.as_slice() {
        [(value, by)] => builder.put(names::FINISH, value.clone(), by.clone()),
        _ => builder.put_open(names::FINISH, all),
    }
}

/// "Privacy bath 2-3/8 15": a bare US number of two figures that ends the text of a lock without any other finish.
fn last_number(builder: &mut Builder) {
    let locks = [Category::MortiseLock, Category::BoredLock, Category::Deadlock, Category::InterconnectedLock];
    if !builder.codes.is_empty()
        || !builder.looks.is_empty()
        || !builder.category().is_some_and(|one| locks.contains(&one))
    {
        return;
    }
    let scope = builder.scope;
    let Some(last) = scope.placed.last().filter(|placed| matches!(placed.role, PartRole::Free | PartRole::Description))
    else {
        return;
    };
    let ends = last.claim.to == scope.claims.tokens.len() && last.claim.to == last.claim.from + 1;
    let written = &scope.claims.text[scope.claims.span(last.claim)];
    let bare =
        matches!(last.claim.what, What::Size([Some(one), None, None]) if !one.measured.marked && one.label.is_none());
    // Behind anything but a size it may as well be a count.
    let behind_size = scope.placed.iter().rev().nth(1).is_some_and(|placed| matches!(placed.claim.what, What::Size(_)));
    if !ends || !bare || !behind_size || written.len() != 2 || builder.used[last.claim.from] {
        return;
    }
    let Some(look) = finish::look_of_us(written) else { return };
    let entry = format!("{} {}", look.us[0], look.slug).into();
    let by = By::Entry { file: finish::LOOKS_FILE.into(), line: look.line, entry };
    builder.looks.push((look.slug, Evidence { span: scope.span(last.claim), by }));
    builder.take(last.claim);
}

/// "Mortise lock 626, ANSI strike 630", "630 w/ cylinder 626": beside another finish, the one right behind the name of a part is
/// the part's.
fn of_parts(builder: &mut Builder) {
    if builder.codes.len() + builder.looks.len() < 2 {
        return;
    }
    let (scope, set) = (builder.scope, builder.set);
    let parts: Vec<usize> = scope
        .placed
        .iter()
        .filter(|placed| {
            let mut meanings = placed.claim.entries(scope.claims.lexicon).flat_map(|entry| &entry.meanings);
            if meanings.any(|meaning| meaning.sets.iter().any(|set| set.attribute == names::CYLINDER)) {
                return true;
            }
            let mut nouns =
                placed.claim.entries(scope.claims.lexicon).flat_map(|entry| &entry.meanings).filter_map(|m| m.noun);
            nouns.any(|noun| noun.categories & set == 0 && (noun.component || placed.relation == Relation::With))
        })
        .map(|placed| scope.span(placed.claim).end)
        .collect();
    let behind = |by: &Evidence| {
        let gap = |end: &usize| scope.original.get(*end..by.span.start).is_some_and(|gap| gap.trim().is_empty());
        parts.iter().any(gap)
    };
    let all = builder.codes.iter().map(|(_, by)| by).chain(builder.looks.iter().map(|(_, by)| by));
    let of_parts: Vec<Evidence> = all.filter(|by| behind(by)).cloned().collect();
    if of_parts.is_empty() || of_parts.len() == builder.codes.len() + builder.looks.len() {
        return;
    }
    builder.codes.retain(|(_, by)| !of_parts.contains(by));
    builder.looks.retain(|(_, by)| !of_parts.contains(by));
    builder.remarks.extend(of_parts.into_iter().map(|evidence| Remark { kind: RemarkKind::Other, evidence }));
}

/// The base metal that the words name.
fn said_base(builder: &Builder) -> Option<String> {
    match builder.attributes.get(&names::BASE) {
        Some(Heard::Found(Value::Text(base), _)) => Some(base.to_string()),
        _ => None,
    }
}

/// In the finish column a number without letters can be a US code: 26 is US26.
fn bare_codes(builder: &mut Builder) {
    for placed in &builder.scope.placed {
        if placed.role != PartRole::Finish || !matches!(placed.claim.what, What::Size([Some(_), None, None])) {
            continue;
        }
        let written = &builder.scope.claims.text[builder.scope.claims.span(placed.claim)];
        let Some(look) = finish::look_of_us(written.trim_start_matches('0')) else { continue };
        let entry = format!("{} {}", look.us[0], look.slug).into();
        let by = By::Entry { file: finish::LOOKS_FILE.into(), line: look.line, entry };
        builder.looks.push((look.slug, Evidence { span: builder.scope.span(placed.claim), by }));
        builder.take(placed.claim);
    }
}

/// The one code written; of two codes of one look, the one whose base is usual for the goods.
fn chosen_code(builder: &Builder) -> Option<(&'static Finish, Evidence)> {
    if let [(code, by)] = builder.codes.as_slice() {
        return finish::find(code).map(|finish| (finish, by.clone()));
    }
    let mut codes: Vec<(&'static Finish, Evidence)> =
        builder.codes.iter().filter_map(|(code, by)| finish::find(code).map(|finish| (finish, by.clone()))).collect();
    codes.dedup_by_key(|(finish, _)| finish.code);
    if codes.iter().all(|(finish, _)| finish.code == codes[0].0.code) {
        return codes.into_iter().next();
    }
    let base = builder.category().and_then(finish::default_base)?;
    codes.retain(|(finish, _)| finish.is_on(base));
    if codes.len() == 1 { codes.pop() } else { None }
}

fn by_code(builder: &mut Builder, (code, evidence): (&'static Finish, Evidence), said: Option<&str>) {
    let written = builder.scope.original.get(evidence.span.clone()).unwrap_or("").trim();
    // 613E is another process than 613: kept as written.
    let kept = match written.strip_prefix(code.code) {
        Some(suffix) if suffix.eq_ignore_ascii_case("e") => Value::text(&written.to_uppercase()),
        _ => Value::Text(code.shared.clone()),
    };
    builder.attributes.insert(names::FINISH, Heard::Found(kept.clone(), evidence.clone()));
    let usual = builder.category().and_then(finish::default_base);
    let suits = suits(builder, code, said);
    if let (Some(base), None, true) = (code.base(), said, suits) {
        let by = By::Entry { file: codes_file(), line: code.line, entry: code.told.clone() };
        builder.put(names::BASE, Value::text(base), Evidence { span: evidence.span.clone(), by });
    }
    if !suits {
        let painted = usual.filter(|usual| *usual == "painted");
        let on = painted.or(said).or(usual).unwrap_or("another base");
        let same = finish::resolve(code.look, on);
        let written = format!("{} ({})", code.code, code.description);
        let says = match (same, on) {
            (Some(same), "painted") if said.is_some() => {
                format!(
                    "finish {written} and the metal stand in the line, and these goods are painted; the nearest look painted is {}",
                    same.code
                )
            }
            (Some(same), "painted") => {
                format!(
                    "finish {written} is a plating and these goods are painted; the nearest look painted is {}",
                    same.code
                )
            }
            (Some(same), on) => format!("finish {written} does not go with {on}; on {on} that look is {}", same.code),
            (None, on) => format!("finish {written} does not go with {on}"),
        };
        if let (Some(same), None, true) = (same, said, on != "painted") {
            // Nobody said the base metal: either the code is meant, or the look on what such goods are usually made of.
            let why = format!("{} on {on}, usual for the goods", code.look);
            let by = table_row(finish::FILE, same.line, &why);
            let proposed = (Value::Text(same.shared.clone()), Evidence { span: evidence.span.clone(), by });
            let both = vec![proposed, (kept, evidence.clone())];
            builder.attributes.insert(names::FINISH, Heard::Ambiguous(both));
        }
        // A metal that such goods are not made of is asked about: others of the trade may make them of it.
        let of_metal = painted.is_some() && said.is_some() && builder.attributes.remove(&names::BASE).is_some();
        let attribute = Some(if of_metal { names::BASE } else { names::FINISH });
        builder.doubts.push(Doubt { code: "finish-base-conflict", says, span: evidence.span, attribute });
    }
}

/// Whether goods of the reading can have a code: by the base metal said, or by those usual for them.
fn suits(builder: &Builder, code: &Finish, said: Option<&str>) -> bool {
    let Some(category) = builder.category() else { return true };
    match (said, finish::default_base(category)) {
        // Goods that are painted are made of no other metal because a line says so.
        (Some(said), Some(usual)) if usual != "painted" => code.bases.is_empty() || code.is_on(said),
        _ => finish::suits(category, code),
    }
}

/// The file of the codes, as evidence shares it.
fn codes_file() -> Arc<str> {
    static FILE: OnceLock<Arc<str>> = OnceLock::new();
    FILE.get_or_init(|| finish::FILE.into()).clone()
}

fn table_row(file: &'static str, line: u32, entry: &str) -> By {
    By::Entry { file: file.into(), line, entry: entry.into() }
}

/// A look alone: its code follows from the base metal said, or usual for the goods, or the only one it exists on.
fn by_look(builder: &mut Builder, look: &'static str, evidence: &Evidence, said: Option<&str>) {
    let rows: Vec<&Finish> = finish::of_look(look).iter().copied().filter(|row| row.confidence.settles()).collect();
    let mut own: Vec<&str> = rows.iter().flat_map(|row| row.bases.iter().copied()).collect();
    own.sort_unstable();
    own.dedup();
    let usual = builder.category().and_then(finish::default_base);
    let base = match (said, own.as_slice()) {
        (Some(said), _) => said,
        // Stainless and anodized looks exist on one metal; painted goods imitate them.
        (None, [only]) if usual != Some("painted") || also_on(builder, only) => only,
        (None, _) => match (usual, rows.as_slice()) {
            (Some(usual), _) => usual,
            // A look that has one code only has it on any base.
            (None, [row]) => row.base().unwrap_or_default(),
            // Satin brass is brass, where the goods have no base of their own.
            (None, _) if look.ends_with("-brass") => "brass",
            (None, _) if look.ends_with("-bronze") => "bronze",
            // Primed for paint is 600 unless zinc is said.
            (None, _) if look == "primed" => "steel",
            (None, _) => return,
        },
    };
    let others = builder.category().and_then(facts::of).map_or(&[][..], |facts| &facts.other_bases);
    let other = |said: Option<&str>| match said {
        Some(_) => None,
        None => others.iter().find_map(|base| finish::resolve(look, base)),
    };
    let Some(found) = finish::resolve(look, base).or_else(|| other(said)).or_else(|| {
        // A look of paint has one code whatever is below it.
        rows.first().copied().filter(|row| row.bases.is_empty())
    }) else {
        if let Some(said) = said {
            let says = format!("the look {look} is not made on {said}");
            let span = evidence.span.clone();
            builder.doubts.push(Doubt { code: "finish-base-conflict", says, span, attribute: Some(names::FINISH) });
        }
        return;
    };
    let why = match said {
        Some(said) => format!("{look} on {said}"),
        None if own.len() == 1 => look.to_string(),
        None => format!("{look}, {base} usual for the goods"),
    };
    let by = By::Entry { file: codes_file(), line: found.line, entry: why.as_str().into() };
    builder.put(names::FINISH, Value::Text(found.shared.clone()), Evidence { span: evidence.span.clone(), by });
    if said.is_none()
        && let Some(base) = found.base()
        && !matches!(base, "brass" | "bronze")
    {
        let by = match builder.category().and_then(facts::of) {
            Some(facts) if facts.default_base == base => {
                table_row(facts::FILE, facts.line, &format!("{base} is usual: {}", facts.source))
            }
            _ => table_row(finish::FILE, found.line, &why),
        };
        builder.put(names::BASE, Value::text(base), Evidence { span: evidence.span.clone(), by });
    }
}

/// Whether goods that are usually painted are made of a metal too: an overhead stop in US32D is of stainless steel.
fn also_on(builder: &Builder, base: &str) -> bool {
    let facts = builder.category().and_then(facts::of);
    facts.is_some_and(|facts| facts.other_bases.contains(&base))
}

/// Two different looks in one line.
fn contradictory(builder: &mut Builder) {
    let category: Option<Category> = builder.category();
    let usual = category.and_then(finish::default_base).unwrap_or("brass");
    let mut all: Vec<(Value, Evidence)> =
        builder.codes.iter().map(|(code, by)| (Value::text(code), by.clone())).collect();
    let mut looks: Vec<(Value, Evidence)> = Vec::new();
    for (look, by) in &builder.looks {
        let own = finish::resolve(look, usual).or_else(|| finish::resolve(look, "stainless"));
        if let Some(code) = own {
            all.push((Value::text(code.code), by.clone()));
        }
        looks.push((Value::text(look), by.clone()));
    }
    for (code, by) in &builder.codes {
        if let Some(row) = finish::find(code) {
            looks.push((Value::text(row.look), by.clone()));
        }
    }
    builder.put_open(names::FINISH, all);
    builder.put_open(names::LOOK, looks);
}
