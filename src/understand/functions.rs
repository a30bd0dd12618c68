//! Settles the function of a lock or exit device: by number, or by trade name where the name leads to one number.

use super::assemble::Builder;
use super::category;
use super::claim::{Claim, Claims};
use super::lexicon::Gist;
use super::meaning::{ANY, Categories, Special, members, only, single};
use super::reading::{Doubt, Heard, Remark, RemarkKind};
use super::roles::Role;
use super::scope::{Placed, Scope};
use super::token::Kind;
use crate::evidence::{By, Evidence};
use crate::read::schedule::PartRole;
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::finish;
use crate::trade::function::{self, Function, FunctionKind};
use crate::trade::rule_words;

/// What has no function of a lock: "dummy lever", by words that name no lock.
const IDLE: &str = "dummy";

/// The words by which a reading without a noun is of something that works nothing.
pub(super) fn dummy(scope: &Scope) -> Option<Evidence> {
    let own = scope.placed.iter().filter(|placed| category::is_own(placed));
    let mut idle = own.filter(|placed| {
        let mut meanings = placed.claim.entries(scope.claims.lexicon).flat_map(|entry| &entry.meanings);
        meanings.any(|one| matches!(&one.special, Special::FunctionName(name) if &**name == IDLE))
    });
    idle.next().map(|placed| category::evidence_of(scope, placed))
}

/// "Latchset cyl, privacy", "entry lock": what the name of a good implies, without a word of the function, gives way to the
/// word that says it.
fn leave_to_words(builder: &mut Builder) {
    if builder.function_names.len() < 2 {
        return;
    }
    let spans: Vec<_> = builder.named.iter().filter_map(|from| builder.scope.claims.on(*from)).collect();
    said_of_function(builder, &spans);
    // "Latchset, storeroom door", "latchset for office": where it stands; "latchset or privacy": one of two.
    let claims = builder.scope.claims;
    let place = |by: &Evidence| {
        let claim = claims.list.iter().find(|claim| builder.scope.span(claim) == by.span);
        claim.is_some_and(|claim| {
            let before = claim.from.checked_sub(1);
            claims.does(claim.to, Role::Door)
                || before.is_some_and(|at| [Role::For, Role::Where, Role::Or].iter().any(|role| claims.does(at, *role)))
        })
    };
    let kept: Vec<_> =
        builder.function_names.iter().filter(|(name, by)| !implied(builder, name, by)).cloned().collect();
    if !kept.is_empty() && !kept.iter().any(|(_, by)| place(by)) {
        builder.function_names = kept;
    }
}

/// Whether the name of a good implies a function without a word of it.
fn implied(builder: &Builder, name: &str, by: &Evidence) -> bool {
    let words = builder.scope.original.get(by.span.clone()).unwrap_or("").to_lowercase();
    let says = |word: &str| word.len() > 2 && name.starts_with(word);
    let claims = builder.scope.claims;
    let mut spans = builder.named.iter().filter_map(|from| claims.on(*from));
    let of_name = spans.any(|claim| builder.scope.span(claim) == by.span);
    of_name && !words.split(|letter: char| !letter.is_alphanumeric()).any(says)
}

/// "Mortise latch w/ deadbolt", "mortise latch w/ cylinder", "cylindrical latch, electrified", "tubular latch keyed", "mortise latch F04": the function
/// without key and bolt that the name implies gives way where a key, a bolt or another function is said; it is asked then.
fn leave_to_what_it_has_not(builder: &mut Builder, numbered: Option<&str>) {
    let claims = builder.scope.claims;
    let cylinder = builder.attributes.get(&names::CYLINDER).and_then(Heard::found).and_then(Value::as_text);
    let keyed = builder.attributes.contains_key(&names::ELECTRIFIED)
        || cylinder.is_some_and(|value| rule_words::is("cylinder-of-its-own", value))
        || claims.tokens.iter().any(|token| rule_words::is("keyed-locks", token.text(claims.text)));
    let gives_way = |name: &str| {
        let functions = candidates(builder, name);
        let has_not = |one: &&Function| {
            let has = |part: &str| one.behaviour.split(' ').any(|word| word.trim_end_matches(';') == part);
            let bolt = asks_deadbolt(builder) && !has("deadbolt");
            !has("key") && (keyed || bolt || numbered.is_some_and(|number| number != one.number))
        };
        !functions.is_empty() && functions.iter().all(has_not)
    };
    let out = |(name, by): &(String, Evidence)| implied(builder, name, by) && gives_way(name);
    let kept: Vec<_> = builder.function_names.iter().filter(|one| !out(one)).cloned().collect();
    builder.function_names = kept;
}

/// "Entry lock, storeroom function": what is called a function is the function, whatever the lock is called.
fn said_of_function(builder: &mut Builder, names: &[&Claim]) {
    let scope = builder.scope;
    let claims = scope.claims;
    let of_name = |by: &Evidence| names.iter().any(|claim| scope.span(claim) == by.span);
    let called = |by: &Evidence| {
        let claim = claims.list.iter().find(|claim| scope.span(claim) == by.span);
        claim.is_some_and(|claim| {
            let word = (claim.from..=claim.to).find(|at| claims.does(*at, Role::Function));
            // "With passage function override", "storeroom function mode" say something else of the lock.
            let is = word.is_some_and(|word| ends_there(claims, word));
            let one_of_two = claim.from.checked_sub(1).is_some_and(|before| claims.does(before, Role::Or));
            is && !one_of_two && !claims.does(claim.to, Role::Or) && !claims.does(claim.to + 1, Role::Or)
        })
    };
    if builder.function_names.iter().any(|(_, by)| !of_name(by) && called(by)) {
        builder.function_names.retain(|(_, by)| !of_name(by) || called(by));
    }
}

/// Whether nothing but a sign, a number or a finish stands behind a word in its cell.
fn ends_there(claims: &Claims, word: usize) -> bool {
    let (Some(word), Some(next)) = (claims.tokens.get(word), claims.tokens.get(word + 1)) else { return true };
    let text = next.text(claims.text);
    next.part != word.part
        || matches!(next.kind, Kind::Sign(_))
        || text.starts_with(|first: char| first.is_ascii_digit())
        || finish::look_of(&text.to_uppercase()).is_some()
}

/// A room named in a remark is no function, unless it is called one, or trim: `passage trim`, `classroom function`.
pub(super) fn is_a_room(claims: &Claims, placed: &Placed) -> bool {
    let claim = placed.claim;
    let called = |at: usize| {
        let here = claims.tokens.get(at).filter(|token| token.part == claims.tokens[claim.from].part);
        here.is_some_and(|token| {
            claims.does(at, Role::Function) || rule_words::is("device-trim", token.text(claims.text))
        })
    };
    placed.role == PartRole::Remarks && !(claim.from..=claim.to).any(called)
}

/// Settles function and function name.
pub fn settle(builder: &mut Builder) {
    named_or_numbered(builder);
    no_key(builder);
}

/// "Passage set, no cylinder": of a lock that no key works nothing is left out.
fn no_key(builder: &mut Builder) {
    let without = |value: &Value| value.as_text().is_some_and(|value| rule_words::is("cylinder-left-out", value));
    let Some(Heard::Found(_, by)) =
        builder.attributes.get(&names::CYLINDER).filter(|one| one.found().is_some_and(without))
    else {
        return;
    };
    let keyless = |value: &Value| value.as_text().is_some_and(|number| rule_words::is("keyless-functions", number));
    let all = match builder.attributes.get(&names::FUNCTION) {
        Some(Heard::Found(number, _)) => keyless(number),
        Some(Heard::Ambiguous(all)) => !all.is_empty() && all.iter().all(|(number, _)| keyless(number)),
        _ => false,
    };
    // A number of a function beside it was written with a lock in mind that has a cylinder, and stays as it is said.
    if all && !builder.function_names.is_empty() {
        builder.remarks.push(Remark { kind: RemarkKind::Other, evidence: by.clone() });
        builder.attributes.remove(&names::CYLINDER);
    }
}

/// Settles the function by its number or its names.
fn named_or_numbered(builder: &mut Builder) {
    let numbered = by_number(builder);
    exit_only(builder);
    leave_to_words(builder);
    leave_to_what_it_has_not(builder, numbered.as_deref());
    let Some((name, evidence)) = builder.function_names.first().cloned() else { return };
    builder.put(names::FUNCTION_NAME, Value::text(&name), evidence.clone());
    for (other, by) in builder.function_names.clone().into_iter().skip(1) {
        builder.put(names::FUNCTION_NAME, Value::text(&other), by);
    }
    if builder.function_names.iter().any(|(other, _)| *other != name) {
        if numbered.is_none() {
            one_of_those_named(builder);
        }
        return;
    }
    let candidates = candidates(builder, &name);
    if let Some(number) = numbered {
        let named = candidates.iter().find(|function| function.number == number);
        if let Some(function) = named.filter(|function| denies(function, builder)) {
            let says = format!("function {} has no deadbolt by the table, and one is asked for", function.number);
            let attribute = Some(names::FUNCTION);
            builder.doubts.push(Doubt { code: "function-conflict", says, span: evidence.span, attribute });
            return;
        }
        if named.is_none() && !candidates.is_empty() {
            let says = format!("function {number} is not what \"{name}\" usually means");
            let attribute = Some(names::FUNCTION);
            builder.doubts.push(Doubt { code: "function-conflict", says, span: evidence.span, attribute });
        }
        return;
    }
    let by = |function: &Function| by_table(function, &name, &evidence);
    match candidates.as_slice() {
        [] => {}
        [one] if denies(one, builder) => {
            let says = format!(
                "{} \"{name}\" has no deadbolt by the table of functions; which function is meant is asked",
                one.number
            );
            let doubt = Doubt { code: "function-conflict", says, span: evidence.span.clone(), attribute: None };
            builder.doubts.push(doubt);
            builder.put_open(names::FUNCTION, vec![(Value::text(one.number), by(one))]);
        }
        [one] => {
            builder.put(names::FUNCTION, Value::text(one.number), by(one));
            no_trim(builder);
        }
        several => {
            let all = several.iter().map(|function| (Value::text(function.number), by(function))).collect();
            builder.put_open(names::FUNCTION, all);
        }
    }
}

/// "Passage latch, single dummy opposite": of several functions named, one is meant, and none that nobody named.
fn one_of_those_named(builder: &mut Builder) {
    let mut all: Vec<(Value, Evidence)> = Vec::new();
    for (name, evidence) in builder.function_names.clone() {
        for function in candidates(builder, &name) {
            let value = Value::text(function.number);
            if all.iter().all(|(known, _)| *known != value) {
                all.push((value, by_table(function, &name, &evidence)));
            }
        }
    }
    if !all.is_empty() {
        builder.put_open(names::FUNCTION, all);
    }
}

/// That the table of functions gives a name this number.
fn by_table(function: &Function, name: &str, evidence: &Evidence) -> Evidence {
    let entry = format!("{name} is {} ({})", function.number, function.confidence.word()).into();
    let by = By::Entry { file: function::FILE.into(), line: function.line, entry };
    Evidence { span: evidence.span.clone(), by }
}

/// Another kind of lock that the line speaks of beside the one it is taken for, with the words: a function's number of bored
/// locks on a lock called mortise, or "mortise" beside the number of a bored lock's function. Which one holds is asked.
pub(super) fn of_another_kind(scope: &Scope, set: Categories, whole: Categories) -> Option<(Category, Evidence)> {
    let locks = only(Category::MortiseLock) | only(Category::BoredLock);
    let kind = single(set).filter(|_| set & locks != 0)?;
    let other = single(locks & !set)?;
    let numbered = |placed: &Placed| {
        if !placed.claim.may_be(scope.claims.lexicon, Gist::FUNCTION) {
            return None;
        }
        let mut meanings = placed.claim.entries(scope.claims.lexicon).flat_map(|entry| &entry.meanings);
        meanings.find_map(|meaning| match meaning.special {
            Special::FunctionNumber(_) if meaning.categories & locks != 0 => Some(meaning.categories & locks),
            _ => None,
        })
    };
    let own = || scope.placed.iter().filter(|placed| category::is_own(placed));
    let number = own().find_map(|placed| Some((numbered(placed)?, placed)));
    match number? {
        (told, placed) if told == only(other) => Some((other, category::evidence_of(scope, placed))),
        // The number narrowed the name of the good, and another word speaks against it.
        (told, _) if told == only(kind) && whole & only(other) != 0 => {
            let against = own().find(|placed| speaks_of(scope, placed) & locks == only(other));
            against.map(|placed| (other, category::evidence_of(scope, placed)))
        }
        _ => None,
    }
}

/// The goods that words which name none are said of.
fn speaks_of(scope: &Scope, placed: &Placed) -> Categories {
    let meanings = || placed.claim.entries(scope.claims.lexicon).flat_map(|entry| &entry.meanings);
    if meanings().any(|meaning| meaning.noun.is_some()) {
        return 0;
    }
    meanings().filter(|meaning| meaning.categories != ANY).fold(0, |all, meaning| all | meaning.categories)
}

/// The function of exit devices that a number such as F08 stands for: theirs have two digits.
pub(super) fn of_exit(number: &str) -> Option<&'static Function> {
    function::find(FunctionKind::Exit, number.trim_start_matches('F'))
}

/// The function written as a number; puts it, and its name where it has one.
fn by_number(builder: &mut Builder) -> Option<String> {
    for (number, evidence) in builder.function_numbers.clone() {
        let number = match builder.category() {
            Some(Category::ExitDevice) => match of_exit(number) {
                Some(found) => found.number,
                None => {
                    let says = format!("{number} is a function of locks and none of exit devices");
                    let span = evidence.span.clone();
                    let attribute = Some(names::FUNCTION);
                    builder.doubts.push(Doubt { code: "function-conflict", says, span, attribute });
                    continue;
                }
            },
            _ => number,
        };
        builder.put(names::FUNCTION, Value::text(number), evidence.clone());
    }
    no_trim(builder);
    let Some(Heard::Found(Value::Text(number), evidence)) = builder.attributes.get(&names::FUNCTION).cloned() else {
        return None;
    };
    let kind = builder.category().and_then(FunctionKind::of).unwrap_or(FunctionKind::Mortise);
    if let Some(found) = function::find(kind, &number)
        && !found.name.is_empty()
        && found.confidence.settles()
        && builder.function_names.is_empty()
    {
        builder.put(names::FUNCTION_NAME, Value::text(found.name), evidence);
    }
    Some(number.to_string())
}

/// An exit device of a function without trim has none.
fn no_trim(builder: &mut Builder) {
    if builder.category() != Some(Category::ExitDevice) || builder.attributes.contains_key(&names::TRIM) {
        return;
    }
    let Some(Heard::Found(Value::Text(number), evidence)) = builder.attributes.get(&names::FUNCTION).cloned() else {
        return;
    };
    let Some(row) = function::find(FunctionKind::Exit, &number).filter(|row| row.behaviour.ends_with("no trim")) else {
        return;
    };
    let entry = format!("{} {} ({})", row.number, row.behaviour, row.confidence.word()).into();
    let by = By::Entry { file: function::FILE.into(), line: row.line, entry };
    builder.put(names::TRIM, Value::text("none"), Evidence { span: evidence.span, by });
}

/// An exit device without trim has the function of one that only lets out.
fn exit_only(builder: &mut Builder) {
    if builder.category() != Some(Category::ExitDevice)
        || builder.attributes.contains_key(&names::FUNCTION)
        || !builder.function_names.is_empty()
    {
        return;
    }
    let Some(Heard::Found(Value::Text(trim), evidence)) = builder.attributes.get(&names::TRIM).cloned() else { return };
    let without = |row: &&&Function| {
        row.kind == FunctionKind::Exit && row.behaviour.ends_with("no trim") && row.confidence.settles()
    };
    let mut rows = function::all().iter().collect::<Vec<_>>();
    rows.retain(|row| without(&row));
    if let ("none", [row]) = (&*trim, rows.as_slice()) {
        let entry = format!("{} {} ({})", row.number, row.behaviour, row.confidence.word()).into();
        let by = By::Entry { file: function::FILE.into(), line: row.line, entry };
        builder.put(names::FUNCTION, Value::text(row.number), Evidence { span: evidence.span, by });
    }
}

/// Whether a function has no deadbolt while the line asks for one.
fn denies(function: &Function, builder: &Builder) -> bool {
    function.with == "-deadbolt" && asks_deadbolt(builder)
}

fn asks_deadbolt(builder: &Builder) -> bool {
    builder.attributes.get(&Attr::of("deadbolt")).and_then(Heard::found).is_some_and(Value::is_true)
}

/// The functions that a name can mean for the goods the reading may be about.
fn candidates(builder: &Builder, name: &str) -> Vec<&'static Function> {
    let deadbolt = asks_deadbolt(builder);
    let thumb = builder.attributes.get(&names::TRIM).and_then(Heard::found).and_then(Value::as_text);
    let text = builder.scope.claims.text;
    let said = |word: &str| match word {
        "deadbolt" => deadbolt,
        "thumb-piece" => thumb == Some("thumb-piece"),
        "push" => text.contains("push") && !text.contains("turn"),
        "turn" => text.contains("turn") && !text.contains("push"),
        "push-and-turn" => text.contains("push") && text.contains("turn"),
        _ => false,
    };
    let mut all: Vec<&Function> = members(builder.set)
        .filter_map(FunctionKind::of)
        .flat_map(|kind| function::candidates(kind, name, &said))
        .collect();
    // Those of the kind of goods named first, the surest before the others: the first is taken until the question is answered.
    let first = members(builder.set).find_map(FunctionKind::of);
    all.sort_by_key(|function| (Some(function.kind) != first, function.confidence));
    all
}
