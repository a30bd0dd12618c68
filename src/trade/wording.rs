//! Attributes and values as a person says them in a sentence: `function F04`, `2 outputs`, `concealed vertical rod`,
//! `removable by key`. The words are in `catalogs/trade/attributes.csv`, the hyphens that stay in
//! `catalogs/trade/rule_words.csv`.

use super::attribute::{Attr, Value, title};
use super::rule_words;
use super::table;

const TABLE: &str = include_str!("../../catalogs/trade/attributes.csv");

/// A value alone: words without the hyphens that only the tables need, lengths in fractions, flags as yes or no.
pub fn value(value: &Value) -> String {
    match value {
        Value::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
        Value::Length(length) => length.in_fractions(),
        Value::Text(text) => words(text),
        Value::List(all) => all.iter().map(|word| words(word)).collect::<Vec<_>>().join(" and "),
        Value::Number(_) => value.to_string(),
    }
}

/// A word of the tables as it is written in a sentence: `concealed vertical rod`, but `fail-secure`.
pub fn words(text: &str) -> String {
    let plain = text.contains('-') && text.chars().all(|letter| letter.is_ascii_lowercase() || letter == '-');
    if plain && !rule_words::is("hyphened", text) { text.replace('-', " ") } else { text.to_owned() }
}

/// An attribute with its value.
pub fn said(attribute: Attr, of: &Value) -> String {
    let row = table::rows(TABLE).iter().find(|row| row.get(0) == attribute.name());
    let pattern = row.map_or("", |row| row.get(5));
    match (of, pattern.split_once('|')) {
        (Value::Flag(flag), Some((yes, no))) => if *flag { yes } else { no }.to_owned(),
        (Value::Flag(true), _) => title(attribute),
        (Value::Flag(false), _) => format!("not {}", title(attribute)),
        // What is not there has no kind, no count and no measure.
        (Value::Text(text), _) if &**text == "none" => format!("no {}", title(attribute)),
        _ if pattern.is_empty() => format!("{} {}", title(attribute), value(of)),
        _ => {
            let said = pattern.replace("{}", &value(of));
            if value(of) == "1" { said.strip_suffix('s').map(str::to_owned).unwrap_or(said) } else { said }
        }
    }
}

/// Words with `a` or `an` before them, as they sound.
pub fn with_article(words: &str) -> String {
    let first = words.split([' ', '-']).next().unwrap_or("").to_lowercase();
    let vowel = first.starts_with(['a', 'e', 'i', 'o', 'u', '8']) || rule_words::is("sounds-like-a-vowel", &first);
    let other = rule_words::of("sounds-like-a-consonant").iter().any(|start| first.starts_with(start));
    format!("{} {words}", if vowel && !other { "an" } else { "a" })
}

/// Several words as one speaks: `a, b and c`.
pub fn list(words: &[String], last: &str) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [rest @ .., end] => format!("{} {last} {end}", rest.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::attribute::names;

    #[test]
    fn values_are_said_as_a_person_says_them() {
        assert_eq!(said(names::OUTPUTS, &Value::count(2)), "2 outputs");
        assert_eq!(said(names::OUTPUTS, &Value::count(1)), "1 output");
        assert_eq!(said(names::FUNCTION, &Value::text("F04")), "function F04");
        assert_eq!(said(Attr::new("key_removable"), &Value::Flag(false)), "not removable by key");
        assert_eq!(said(names::TYPE, &Value::text("concealed-vertical-rod")), "concealed vertical rod");
        assert_eq!(said(names::PIN, &Value::text("non-removable")), "non-removable pin");
        assert_eq!(said(names::DOGGING, &Value::text("none")), "no dogging");
    }

    #[test]
    fn the_article_follows_the_sound() {
        let articles = ["exit device", "armor plate", "closer", "hour", "unit", "one-way viewer", "8 wire hinge"];
        let said: Vec<String> = articles.into_iter().map(with_article).collect();
        assert_eq!(
            said,
            [
                "an exit device",
                "an armor plate",
                "a closer",
                "an hour",
                "a unit",
                "a one-way viewer",
                "an 8 wire hinge"
            ]
        );
    }
}
