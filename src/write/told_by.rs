//! Who read the words of a line, as a person of the trade says it: what the entry of a list means for this one attribute,
//! without the signs of the lists, and the file and line to edit.

use std::str::FromStr;

use crate::evidence::By;
use crate::trade::attribute::{Attr, title};
use crate::trade::category::Category;
use crate::trade::facts;

/// The reader of a value of an attribute; `category` for the good itself, `remark` for a remark.
pub fn told_by(by: &By, attribute: &str, value: &str) -> String {
    let By::Entry { file, line, entry } = by else { return by.to_string() };
    if file.ends_with(".csv") {
        return by.to_string();
    }
    let (entry, slip) = match entry.strip_suffix(", taken for a misspelling") {
        Some(entry) => (entry, "; taken for a misspelling"),
        None => (&**entry, ""),
    };
    let at = format!("({file}:{line})");
    // "rx has several meanings, here monitor=request-to-exit, by what stands around it"
    if let Some((word, here)) = entry.split_once(" has several meanings, here ") {
        let meaning = here.strip_suffix(", by what stands around it").unwrap_or(here);
        let means = means(meaning, attribute, value);
        return format!("one of the meanings of \"{word}\": {means}, by what stands around it {at}");
    }
    if file.ends_with("ambiguous.txt") && !entry.contains('=') {
        return format!("\"{entry}\" has several meanings {at}");
    }
    if attribute == "category" && !entry.contains("category=") {
        let goods = all_goods(entry);
        return if goods.is_empty() { format!("known words {at}") } else { format!("said of {goods} only{slip} {at}") };
    }
    let said = means(entry, attribute, value);
    if said.is_empty() || attribute == "remark" {
        format!("known words{slip} {at}")
    } else {
        format!("means {said}{slip} {at}")
    }
}

/// The goods in the brackets of an entry.
fn all_goods(entry: &str) -> String {
    let mut all: Vec<&str> = Vec::new();
    for inside in entry.split('[').filter_map(|part| part.split_once(']')).map(|(inside, _)| inside) {
        for name in inside.trim_start_matches('!').split(',') {
            let known = Category::from_str(name.trim()).ok().and_then(facts::of);
            if let Some(facts) = known.filter(|facts| !all.contains(&facts.titles)) {
                all.push(facts.titles);
            }
        }
    }
    all.join(", ").to_lowercase()
}

/// What an entry means for one attribute; of several values the one that was taken.
fn means(entry: &str, attribute: &str, value: &str) -> String {
    let mut own: Vec<String> = Vec::new();
    let mut all: Vec<String> = Vec::new();
    for meaning in entry.split('[').filter(|part| !part.trim().is_empty()) {
        let said = meaning.split_once(']').map_or(meaning, |(_, said)| said);
        for item in said.split(';').map(str::trim) {
            let Some((name, value)) = item.split_once('=') else { continue };
            let usual = name.ends_with('~');
            let name = name.trim_end_matches('~');
            let words = words(name, value);
            let words = if usual { format!("{words}, where nothing else is said") } else { words };
            let named = name == attribute || matches!(name, "after" | "before" | "dimension") && value == attribute;
            let list = if named { &mut own } else { &mut all };
            if !words.is_empty() && !list.contains(&words) {
                list.push(words);
            }
        }
    }
    let taken = |words: &&String| words.split(',').next() == Some(value);
    match own.iter().find(taken) {
        Some(taken) => taken.clone(),
        None if !own.is_empty() => own.join(" or "),
        None => all.join(", "),
    }
}

/// One item of an entry in words.
fn words(name: &str, value: &str) -> String {
    match name {
        "category" => {
            let goods = value.trim_start_matches('+').split('/');
            let titles = goods.map(|name| Category::from_str(name).map_or_else(|_| name.to_owned(), good));
            titles.collect::<Vec<_>>().join(" or ")
        }
        "after" | "before" | "dimension" => format!("that the number beside it is the {}", title(Attr::new(value))),
        "link" | "word" => String::new(),
        _ if value == "true" => title(Attr::new(name)),
        _ if value == "false" => format!("no {}", title(Attr::new(name))),
        _ => value.replace('?', " or "),
    }
}

/// Title of a category in lower case.
pub fn good(category: Category) -> String {
    facts::of(category).map_or_else(|| category.name().to_owned(), |facts| facts.title.to_lowercase())
}

#[cfg(test)]
mod tests {
    use super::told_by;
    use crate::evidence::By;

    #[test]
    fn an_entry_says_what_it_means_for_the_attribute() {
        let told = |entry: &str, attribute: &str| {
            let by = By::Entry { file: "trade/words/lock.txt".into(), line: 7, entry: entry.into() };
            told_by(&by, attribute, "fail-secure")
        };
        let both = "[mortise-lock] electrified=fail-secure [exit-device] electrified=trim-fail-secure";
        assert_eq!(told(both, "electrified"), "means fail-secure (trade/words/lock.txt:7)");
        assert_eq!(
            told("[!exit-device] type=concealed-vertical-rod", "category"),
            "said of exit devices only (trade/words/lock.txt:7)"
        );
        let secure = "[mortise-lock] electrified=fail-secure [electric-strike] fail=secure";
        assert_eq!(told(secure, "electrified"), "means fail-secure (trade/words/lock.txt:7)");
        assert_eq!(told(secure, "fail"), "means secure (trade/words/lock.txt:7)");
        let noun = "category=exit-device; type=rim";
        assert_eq!(told(noun, "category"), "means exit device (trade/words/lock.txt:7)");
        assert_eq!(told(noun, "type"), "means rim (trade/words/lock.txt:7)");
        assert_eq!(
            told("[hinge] after=conductors", "conductors"),
            "means that the number beside it is the conductors (trade/words/lock.txt:7)"
        );
        assert_eq!(told("trim~=lever", "trim"), "means lever, where nothing else is said (trade/words/lock.txt:7)");
    }
}
