//! Values of attributes as a catalog writes them: their kinds, comparing what is asked with what is made, the sets of
//! values that a product line makes.

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use rust_decimal::Decimal;

use crate::trade::attribute::{Attr, Attributes, Value, names, title};
use crate::trade::inches::Inches;
use crate::trade::table;
use crate::trade::wording;

/// How a catalog writes that an attribute is absent: a hinge without conductors.
pub(super) const WITHOUT: &str = "-";

/// Kinds of attributes, from the table of the trade.
const ATTRIBUTES: &str = include_str!("../../catalogs/trade/attributes.csv");

/// What the values of an attribute are: `length`, `number`, `flag`, `list`; `text` when the table does not know it.
pub(super) fn kind(attr: Attr) -> &'static str {
    static KINDS: OnceLock<BTreeMap<&'static str, &'static str>> = OnceLock::new();
    let kinds = KINDS.get_or_init(|| table::rows(ATTRIBUTES).iter().map(|row| (row.get(0), row.get(1))).collect());
    match kinds.get(attr.name()) {
        Some(kind) => kind,
        // Currents and the like of electrified goods.
        None if attr.name().starts_with("draw_") => "number",
        None => "text",
    }
}

/// Whether the table of the trade knows an attribute.
pub(super) fn known(attr: Attr) -> bool {
    static NAMES: OnceLock<std::collections::BTreeSet<&'static str>> = OnceLock::new();
    NAMES.get_or_init(|| table::rows(ATTRIBUTES).iter().map(|row| row.get(0)).collect()).contains(attr.name())
}

/// Reads a value of an attribute as the catalog writes it; a length or number that is not one stays text.
pub(super) fn parse(attr: Attr, text: &str) -> Value {
    let text = text.trim();
    if text == "true" || text == "false" {
        return Value::Flag(text == "true");
    }
    match kind(attr) {
        "length" => text.parse::<Inches>().map_or_else(|_| Value::text(text), Value::Length),
        "number" => {
            Decimal::from_str_exact(text).map_or_else(|_| Value::text(text), |number| Value::Number(number.normalize()))
        }
        _ => Value::text(text),
    }
}

/// Whether the values of an attribute must be lengths or numbers and this text is none.
pub(super) fn is_misfit(attr: Attr, text: &str) -> bool {
    // A voltage may be a choice: `12/24`.
    let measured = matches!(kind(attr), "length" | "number") && attr != names::VOLTAGE;
    measured && text != WITHOUT && matches!(parse(attr, text), Value::Text(_))
}

/// Whether two values mean the same, whatever their kind: `Number(1)` and `Text("1")` do.
pub(super) fn same(one: &Value, other: &Value) -> bool {
    match (one, other) {
        (Value::Text(one), Value::Text(other)) => one.eq_ignore_ascii_case(other),
        (Value::List(words), Value::Text(word)) | (Value::Text(word), Value::List(words)) => {
            words.len() == 1 && words[0] == *word
        }
        _ => one == other || one.to_string() == other.to_string(),
    }
}

/// Whether a value says that the thing is not there.
pub(super) fn is_without(value: &Value) -> bool {
    match value {
        Value::Flag(flag) => !flag,
        Value::Text(text) => matches!(&**text, "" | "-" | "none" | "no" | "without"),
        Value::Number(number) => number.is_zero(),
        Value::List(words) => words.is_empty(),
        Value::Length(length) => *length == Inches::ZERO,
    }
}

/// A value as a person reads it: lengths in fractions, nothing as `none`.
pub(super) fn shown(value: Option<&Value>) -> String {
    match value {
        None => "none".to_owned(),
        Some(Value::Length(length)) => length.in_fractions(),
        Some(Value::Text(text)) => wording::words(text),
        Some(value) => value.to_string(),
    }
}

/// An attribute with its value as a person says it in a working: `fire listed`, `finish 630`.
pub(super) fn said(attr: Attr, value: &str) -> String {
    let name = title(attr);
    match value {
        "true" => name,
        "false" => format!("not {name}"),
        _ => format!("{name} {value}"),
    }
}

/// The values that a product line makes of one attribute.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Domain {
    /// One of these; `None` is without.
    OneOf(Vec<Option<Value>>),
    /// Any length from, to, in steps.
    Range(Inches, Inches, Inches),
    /// Any of these words together, or none: monitor switches.
    AnyOf(Vec<Arc<str>>),
    /// Any text: the wording of a sign.
    Free,
}

impl Domain {
    /// The value of the domain that meets an asked value, or `Err` with what is made instead, in words.
    pub(super) fn meet(&self, asked: &Value) -> Result<Option<Value>, String> {
        match self {
            Domain::OneOf(values) => values
                .iter()
                .find(|value| match value {
                    Some(value) => same(value, asked),
                    None => is_without(asked),
                })
                .cloned()
                .ok_or_else(|| self.words()),
            Domain::Range(from, to, step) => match asked {
                Value::Length(length) if from <= length && length <= to => {
                    let steps = (length.decimal() - from.decimal()).checked_div(step.decimal());
                    if steps.is_some_and(|steps| steps.fract().is_zero()) {
                        Ok(Some(asked.clone()))
                    } else {
                        Err(format!("{} in steps of {}", self.words(), step.in_fractions()))
                    }
                }
                _ => Err(self.words()),
            },
            Domain::AnyOf(words) => {
                let asked: Vec<Arc<str>> = match asked {
                    Value::List(list) => list.clone(),
                    Value::Text(word) if !is_without(asked) => vec![word.clone()],
                    _ if is_without(asked) => Vec::new(),
                    _ => return Err(self.words()),
                };
                match asked.iter().all(|word| words.contains(word)) {
                    true if asked.is_empty() => Ok(None),
                    true => Ok(Some(Value::List(asked))),
                    false => Err(self.words()),
                }
            }
            Domain::Free => Ok(Some(asked.clone()).filter(|value| !is_without(value))),
        }
    }

    /// What is made, in words: `4, 4-1/2 and 5`.
    pub(super) fn words(&self) -> String {
        match self {
            Domain::OneOf(values) => {
                // The usual value stands first in the table; numbers are told in their order.
                let mut values: Vec<Option<&Value>> = values.iter().map(Option::as_ref).collect();
                if values.iter().all(|value| value.is_none_or(|value| number(value).is_some())) {
                    values.sort_by_key(|value| value.and_then(number));
                }
                super::source::listed(values.into_iter().map(shown))
            }
            Domain::Range(from, to, _) => format!("{} to {}", from.in_fractions(), to.in_fractions()),
            Domain::AnyOf(words) => format!("any of {}", super::source::listed(words)),
            Domain::Free => "any wording".to_owned(),
        }
    }
}

/// The number of a number or a length.
fn number(value: &Value) -> Option<Decimal> {
    match value {
        Value::Number(number) => Some(*number),
        Value::Length(length) => Some(length.decimal()),
        _ => None,
    }
}

/// A test of one attribute in a condition.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Test {
    /// Is one of these; `None` is without. Of a list: contains one of them.
    OneOf(Vec<Option<Value>>),
    /// Is there, whatever it is.
    Present,
    /// A length over the first, up to and with the second.
    Within(Option<Inches>, Option<Inches>),
}

impl Test {
    /// Whether the value passes.
    pub(super) fn passes(&self, value: Option<&Value>) -> bool {
        match self {
            Test::Present => value.is_some_and(|value| !is_without(value)),
            Test::OneOf(options) => options.iter().any(|option| match (option, value) {
                (None, None) => true,
                (None, Some(value)) => is_without(value),
                (Some(option), None) => is_without(option),
                (Some(Value::Text(word)), Some(Value::List(words))) => words.contains(word),
                (Some(option), Some(value)) => same(option, value),
            }),
            Test::Within(over, to) => value
                .and_then(Value::as_length)
                .is_some_and(|length| over.is_none_or(|over| length > over) && to.is_none_or(|to| length <= to)),
        }
    }

    /// In words.
    pub(super) fn words(&self) -> String {
        match self {
            Test::Present => "any".to_owned(),
            Test::OneOf(options) => {
                let words: Vec<String> = options.iter().map(|option| shown(option.as_ref())).collect();
                words.join(" or ")
            }
            Test::Within(over, to) => {
                let over = over.map(|over| format!("over {}", over.in_fractions()));
                let to = to.map(|to| format!("up to {}", to.in_fractions()));
                over.into_iter().chain(to).collect::<Vec<_>>().join(" ")
            }
        }
    }
}

/// Tests that must all pass.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Condition(pub(super) Vec<(Attr, Test)>);

impl Condition {
    /// Whether the attributes pass every test.
    pub(super) fn holds(&self, attributes: &Attributes) -> bool {
        self.0.iter().all(|(attr, test)| test.passes(attributes.get(attr)))
    }

    /// What it is for, as an adder is called: `fire listed`, `conductors any`.
    pub(super) fn said(&self) -> String {
        self.0.iter().map(|(attr, test)| said(*attr, &test.words())).collect::<Vec<_>>().join(", ")
    }

    /// In words: `conductors any, height 3-1/2`.
    pub(super) fn words(&self) -> String {
        let one = |(attr, test): &(Attr, Test)| match test {
            Test::OneOf(options) => match options.as_slice() {
                [Some(value)] => wording::said(*attr, value),
                [None] => format!("no {}", title(*attr)),
                _ => format!("{} {}", title(*attr), test.words()),
            },
            Test::Present => format!("any {}", title(*attr)),
            Test::Within(..) => format!("{} {}", title(*attr), test.words()),
        };
        self.0.iter().map(one).collect::<Vec<_>>().join(", ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_of_different_kinds_that_mean_the_same_meet() {
        assert!(same(&Value::count(1), &Value::text("1")));
        assert!(!same(&Value::text("standard"), &Value::text("heavy")));
        let domain = Domain::OneOf(vec![None, Some(Value::count(4))]);
        assert_eq!(domain.meet(&Value::Flag(false)), Ok(None));
        assert_eq!(domain.meet(&Value::count(5)), Err("none and 4".to_owned()));
    }

    #[test]
    fn a_range_takes_only_its_steps() {
        let quarter = Inches::fraction(0, 1, 4).unwrap();
        let domain = Domain::Range(Inches::whole(6), Inches::whole(48), quarter);
        let ask = |text: &str| domain.meet(&Value::Length(text.parse().unwrap()));
        assert!(ask("34.25").is_ok());
        assert_eq!(ask("34.3"), Err("6 to 48 in steps of 1/4".to_owned()));
        assert_eq!(ask("50"), Err("6 to 48".to_owned()));
    }
}
