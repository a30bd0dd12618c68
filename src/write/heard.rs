//! Values, evidence and what was filled in, as the record writes them.

use rust_decimal::Decimal;
use serde_json::{Value as Json, json};

use crate::complete::spec::{From as Source, Grade, Spec};
use crate::evidence::Evidence;
use crate::read::schedule::plain;
use crate::trade::attribute::{Attributes, Value};
use crate::understand::reading::{Heard, Reading};

/// Attributes as an object, in order of name.
pub fn attributes_object(attributes: &Attributes) -> Json {
    Json::Object(attributes.iter().map(|(name, of)| (name.name().to_owned(), value(of))).collect())
}

/// A value as the record writes it: lengths as decimal text, whole counts as integers.
pub fn value(of: &Value) -> Json {
    match of {
        Value::Text(text) => json!(&**text),
        Value::Length(length) => json!(length.to_string()),
        Value::Flag(flag) => json!(flag),
        Value::Number(number) => whole(*number),
        Value::List(words) => words.iter().map(|word| json!(&**word)).collect(),
    }
}

fn whole(number: Decimal) -> Json {
    let text = plain(number);
    text.parse::<i64>().map_or_else(|_| json!(text), |whole| json!(whole))
}

/// Everything that the words of a line say, with the words.
pub fn evidence_of(reading: &Reading, text: &str) -> Vec<Json> {
    let mut all = Vec::new();
    let mut add = |name: &str, of: Json, evidence: &Evidence, settled: bool| {
        let start = characters(text, evidence.span.start);
        let end = characters(text, evidence.span.end);
        let mut object = json!({
            "attribute": name, "value": of, "words": slice(text, &evidence.span),
            "span": [start, end], "by": evidence.by.to_string(),
        });
        if !settled {
            object["ambiguous"] = json!(true);
        }
        all.push(object);
    };
    match &reading.category {
        Heard::Found(category, evidence) => add("category", json!(category.name()), evidence, true),
        Heard::Ambiguous(several) => {
            several.iter().for_each(|(category, evidence)| add("category", json!(category.name()), evidence, false));
        }
        Heard::Absent => {}
    }
    if let (Some(amount), Some(evidence)) = (reading.quantity.amount, &reading.quantity.evidence) {
        add("quantity", json!(plain(amount)), evidence, true);
    }
    for (name, heard) in &reading.attributes {
        match heard {
            Heard::Found(of, evidence) => add(name.name(), value(of), evidence, true),
            Heard::Ambiguous(several) => {
                several.iter().for_each(|(of, evidence)| add(name.name(), value(of), evidence, false));
            }
            Heard::Absent => {}
        }
    }
    all
}

/// What was filled in, and by what.
pub fn filled(spec: &Spec) -> Vec<Json> {
    let filled = spec.attributes.iter().filter_map(|(name, sourced)| {
        let (by, grade) = match &sourced.from {
            Source::Said(_) => return None,
            Source::Rule(code, grade) => (format!("rule {code}"), grade_word(*grade)),
            Source::Catalog(line) => (format!("catalog {line}"), "assumed"),
            Source::Answer(id) => (format!("answer {id}"), "answered"),
        };
        Some(json!({"attribute": name.name(), "value": value(&sourced.value), "by": by, "grade": grade}))
    });
    filled.collect()
}

/// The word for a grade.
pub fn grade_word(grade: Grade) -> &'static str {
    match grade {
        Grade::Certain => "certain",
        Grade::Assumed => "assumed",
        Grade::Ask => "ask",
    }
}

/// The words of a span; nothing if the span does not fit the text.
pub fn slice<'a>(text: &'a str, span: &std::ops::Range<usize>) -> &'a str {
    text.get(span.clone()).unwrap_or_default()
}

/// Characters before a byte of a text.
pub fn characters(text: &str, byte: usize) -> usize {
    text.char_indices().take_while(|(at, _)| *at < byte).count()
}
