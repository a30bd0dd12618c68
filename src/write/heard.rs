//! Values, evidence and what was filled in, as the record writes them: each goes straight into the text, because a tree of
//! all that a large job's lines say is hundreds of megabytes.

use std::fmt::{self, Display};

use rust_decimal::Decimal;
use serde::{Serialize, Serializer};

use crate::complete::spec::{From as Source, Grade, Spec};
use crate::evidence::{By, Evidence};
use crate::read::schedule::plain;
use crate::trade::attribute::{Attributes, Value};
use crate::understand::reading::{Heard, Reading};

/// What shows itself as text.
pub struct Said<T>(pub T);

impl<T: Display> Serialize for Said<T> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        out.collect_str(&self.0)
    }
}

/// A number as text, without zeros at its end.
pub fn number(of: Decimal) -> Said<Decimal> {
    Said(of.normalize())
}

/// A list whose members are made as they are written.
pub struct Each<F>(pub F);

impl<F: Fn() -> I, I: Iterator<Item: Serialize>> Serialize for Each<F> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        out.collect_seq((self.0)())
    }
}

/// Attributes as an object, in order of name.
pub struct Named<'a>(pub &'a Attributes);

impl Serialize for Named<'_> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        out.collect_map(self.0.iter().map(|(name, of)| (name.name(), Shown(of))))
    }
}

/// A value as the record writes it: lengths as decimal text, whole counts as integers.
pub struct Shown<'a>(pub &'a Value);

impl Serialize for Shown<'_> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        match self.0 {
            Value::Text(text) => out.serialize_str(text),
            Value::Length(length) => out.collect_str(length),
            Value::Flag(flag) => out.serialize_bool(*flag),
            Value::Number(number) => {
                let text = plain(*number);
                match text.parse() {
                    Ok(whole) => out.serialize_i64(whole),
                    Err(_) => out.serialize_str(&text),
                }
            }
            Value::List(words) => out.collect_seq(words.iter().map(|word| &**word)),
        }
    }
}

/// One thing that the words of a line say, with the words.
#[derive(Serialize)]
pub struct Piece<'a> {
    attribute: &'static str,
    value: Of<'a>,
    words: &'a str,
    span: (usize, usize),
    #[serde(serialize_with = "as_text")]
    by: &'a By,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    ambiguous: bool,
}

/// What a piece says.
#[derive(Serialize)]
#[serde(untagged)]
enum Of<'a> {
    Category(&'static str),
    Amount(Said<Decimal>),
    Attribute(Shown<'a>),
}

fn as_text<S: Serializer>(by: &&By, out: S) -> Result<S::Ok, S::Error> {
    out.collect_str(by)
}

/// As a note beside the words: attribute, value, words.
impl Display for Piece<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ", self.attribute)?;
        match &self.value {
            Of::Category(name) => f.write_str(name)?,
            Of::Amount(amount) => write!(f, "{}", amount.0)?,
            Of::Attribute(Shown(value)) => write!(f, "{value}")?,
        }
        write!(f, ": \"{}\"", self.words)
    }
}

/// Everything that the words of a line say, with the words.
pub fn evidence_of<'a>(reading: &'a Reading, text: &'a str) -> Vec<Piece<'a>> {
    let mut all = Vec::new();
    let mut add = |attribute: &'static str, value: Of<'a>, evidence: &'a Evidence, settled: bool| {
        let span = (characters(text, evidence.span.start), characters(text, evidence.span.end));
        let words = slice(text, &evidence.span);
        all.push(Piece { attribute, value, words, span, by: &evidence.by, ambiguous: !settled });
    };
    match &reading.category {
        Heard::Found(category, evidence) => add("category", Of::Category(category.name()), evidence, true),
        Heard::Ambiguous(several) => {
            several.iter().for_each(|(category, evidence)| {
                add("category", Of::Category(category.name()), evidence, false);
            });
        }
        Heard::Absent => {}
    }
    if let (Some(amount), Some(evidence)) = (reading.quantity.amount, &reading.quantity.evidence) {
        add("quantity", Of::Amount(number(amount)), evidence, true);
    }
    for (name, heard) in &reading.attributes {
        match heard {
            Heard::Found(of, evidence) => add(name.name(), Of::Attribute(Shown(of)), evidence, true),
            Heard::Ambiguous(several) => {
                several.iter().for_each(|(of, evidence)| {
                    add(name.name(), Of::Attribute(Shown(of)), evidence, false);
                });
            }
            Heard::Absent => {}
        }
    }
    all
}

/// One thing that was filled in, and by what.
#[derive(Serialize)]
pub struct Filled<'a> {
    attribute: &'static str,
    value: Shown<'a>,
    by: String,
    grade: &'static str,
}

/// What was filled in, and by what.
pub fn filled(spec: &Spec) -> impl Iterator<Item = Filled<'_>> {
    spec.attributes.iter().filter_map(|(name, sourced)| {
        let (by, grade) = match &sourced.from {
            Source::Said(_) => return None,
            Source::Rule(code, grade) => (format!("rule {code}"), grade_word(*grade)),
            Source::Catalog(line) => (format!("catalog {line}"), "assumed"),
            Source::Answer(id) => (format!("answer {id}"), "answered"),
        };
        Some(Filled { attribute: name.name(), value: Shown(&sourced.value), by, grade })
    })
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
