//! What an entry of the word lists means, parsed from its first field. The form is told in `catalogs/trade/words/README.txt`.

use rust_decimal::Decimal;

use super::reading::{RemarkKind, Unit};
use crate::read::schedule::Basis;
use crate::trade::attribute::{Attr, Value};
use crate::trade::category::Category;
use crate::trade::finish;
use crate::trade::table;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// A set of categories, one bit each.
pub type Categories = u64;

/// Every category.
pub const ANY: Categories = u64::MAX;

/// The set of one.
pub const fn only(category: Category) -> Categories {
    1 << (category as u64)
}

/// The members of a set, in order.
pub fn members(set: Categories) -> impl Iterator<Item = Category> {
    Category::ALL.iter().copied().filter(move |category| set & only(*category) != 0)
}

/// The one member of a set of one.
pub fn single(set: Categories) -> Option<Category> {
    // Bits are asked first: this is called for nearly every word.
    if set.count_ones() == 1 { members(set).next() } else { None }
}

/// A value of an attribute that an entry gives: several when the words leave it open among them.
#[derive(Debug, Clone, PartialEq)]
pub struct Sets {
    /// Which attribute.
    pub attribute: Attr,
    /// The value, or the candidates.
    pub values: Vec<Value>,
    /// The value is only usual: any other word about it prevails.
    pub usual: bool,
}

/// One meaning of an entry.
#[derive(Debug, Clone, PartialEq)]
pub struct Meaning {
    /// The goods it holds for.
    pub categories: Categories,
    /// Only such goods have it, so it tells the category.
    pub strong: bool,
    /// It names the good.
    pub noun: Option<Noun>,
    /// What it says of attributes.
    pub sets: Vec<Sets>,
    /// What else it is.
    pub special: Special,
    /// Of an ambiguous word: what decides for this meaning.
    pub deciders: Vec<Decider>,
}

/// A word that names a good.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Noun {
    /// The good, or the goods it may be.
    pub categories: Categories,
    /// It is a part of another good when it stands right behind its name: `mortise lock cylinder` is a cylinder.
    pub component: bool,
    /// It names every one of the goods, not one of them: a push and pull plate set.
    pub each: bool,
    /// Other hardware comes first among what it may be: an edge pull is hardly a pull of ours.
    pub rather_other: bool,
}

/// What joins words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Link {
    /// What follows comes with the good.
    With,
    /// What follows is what the good is for.
    For,
    /// Behind a good, that it is what the one beside it is prepared for: an electric strike prepped mullion.
    Prepared,
    /// What follows is a condition.
    When,
    /// What stands right before is refused: hold-open arms not permitted.
    Refused,
    /// And.
    And,
    /// Or.
    Or,
    /// What follows stands for what was said before: a second thought.
    Instead,
}

/// Meanings beside nouns and attributes.
#[derive(Debug, Clone, PartialEq)]
pub enum Special {
    /// None: nouns and attributes only.
    Plain,
    /// Carries no meaning.
    Nothing,
    /// An ordinary word: not a misspelling, and not understood.
    Ordinary,
    /// An ordinary word that, right behind the name of a good, names something that belongs to it: a cylinder guard is no
    /// cylinder.
    Belonging,
    /// Denies what follows.
    Not,
    /// Joins.
    Link(Link),
    /// A remark about the whole line.
    Remark(RemarkKind),
    /// A unit of quantity.
    Unit(Unit),
    /// What a quantity is per.
    Basis(Basis),
    /// A number in words.
    Number(Decimal),
    /// A label after its number.
    After(Attr),
    /// A label before its number.
    Before(Attr),
    /// A label beside a length.
    Dimension(Attr),
    /// A finish by its look.
    Look(&'static str),
    /// A finish code.
    Finish(&'static str),
    /// A trade name of a lock function.
    FunctionName(Box<str>),
    /// The number of a lock function.
    FunctionNumber(&'static str),
    /// A type number; the flag says whether its source lets it settle anything.
    TypeNumber(Box<str>, bool),
}

/// What decides for one meaning of an ambiguous word.
#[derive(Debug, Clone, PartialEq)]
pub enum Decider {
    /// A word of the line, its heading or its set's title.
    Word(Box<str>),
    /// The line is such a good by its other words.
    Is(Category),
    /// The line is some good by its other words, and no other meaning holds for it.
    Alone,
    /// The set already has such a good.
    SetHas(Category),
    /// The word stands in the finish column.
    FinishColumn,
}

/// Type of an attribute's value, from `attributes.csv`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    Text,
    Length,
    Number,
    Flag,
    List,
}

const ATTRIBUTES: &str = include_str!("../../catalogs/trade/attributes.csv");

fn form(attribute: &str) -> Form {
    static FORMS: OnceLock<BTreeMap<&'static str, Form>> = OnceLock::new();
    let forms = FORMS.get_or_init(|| {
        table::rows(ATTRIBUTES)
            .iter()
            .map(|row| {
                let form = match row.get(1) {
                    "length" => Form::Length,
                    "number" => Form::Number,
                    "flag" => Form::Flag,
                    "list" => Form::List,
                    _ => Form::Text,
                };
                (row.get(0), form)
            })
            .collect()
    });
    forms.get(attribute).copied().unwrap_or(Form::Text)
}

/// The value of an attribute, from its text in a data file or a column.
///
/// # Errors
/// What is wrong with the text.
pub fn value(attribute: &str, text: &str) -> Result<Value, String> {
    match form(attribute) {
        Form::Text => Ok(Value::text(text)),
        Form::Length => text.parse().map(Value::Length),
        Form::Number => {
            Decimal::from_str_exact(text).map(Value::Number).map_err(|_| format!("\"{text}\" is not a number"))
        }
        Form::Flag => match text {
            "true" => Ok(Value::Flag(true)),
            "false" => Ok(Value::Flag(false)),
            _ => Err(format!("\"{text}\" is neither true nor false")),
        },
        Form::List => Ok(Value::List(vec![text.into()])),
    }
}

/// What a user's own entry gets wrong though it can be parsed: an attribute that nobody knows, a word that is none of an
/// attribute's, a function that no lock has. The embedded lists are held by their tests.
///
/// # Errors
/// What is wrong, with what is near.
pub fn check(meanings: &[Meaning]) -> Result<(), String> {
    let rows = table::rows(ATTRIBUTES);
    let near = |word: &str, known: &[&str]| {
        let best = known.iter().map(|known| (strsim::damerau_levenshtein(word, known), *known)).min();
        best.filter(|(edits, _)| *edits <= 3).map_or(String::new(), |(_, known)| format!("; nearest is {known}"))
    };
    for set in meanings.iter().flat_map(|meaning| &meaning.sets) {
        let name = set.attribute.name();
        let Some(row) = rows.iter().find(|row| row.get(0) == name) else {
            let names: Vec<&str> = rows.iter().map(|row| row.get(0)).collect();
            return Err(format!("\"{name}\" is not an attribute{}", near(name, &names)));
        };
        let words: Vec<&str> = row.get(3).split_whitespace().collect();
        for value in &set.values {
            let said = value.to_string();
            if !words.is_empty() && !words.contains(&said.as_str()) {
                return Err(format!("{name} is never \"{said}\"; it is one of {}", words.join(", ")));
            }
        }
    }
    for meaning in meanings {
        if let Special::FunctionName(name) = &meaning.special {
            let known: Vec<&str> =
                crate::trade::function::all().iter().flat_map(|row| row.names.iter().copied()).collect();
            if !known.contains(&&**name) {
                return Err(format!("no lock function is called \"{name}\"{}", near(name, &known)));
            }
        }
        if meaning.noun.is_none() && meaning.sets.is_empty() && meaning.special == Special::Plain {
            return Err("nothing is said".to_owned());
        }
    }
    Ok(())
}

/// The meanings of an entry's first field.
///
/// # Errors
/// What is wrong with it.
pub fn meanings(text: &str) -> Result<Vec<Meaning>, String> {
    let mut meanings = Vec::new();
    let mut rest = text.trim();
    loop {
        let (mut categories, mut strong) = (ANY, false);
        if let Some(inner) = rest.strip_prefix('[') {
            let (names, after) = inner.split_once(']').ok_or("a bracket is not closed")?;
            let names = names.strip_prefix('!').inspect(|_| strong = true).unwrap_or(names);
            categories = self::categories(names, ',')?;
            rest = after.trim();
        }
        let end = rest.find('[').unwrap_or(rest.len());
        meanings.push(one(rest[..end].trim(), categories, strong)?);
        rest = rest[end..].trim();
        if rest.is_empty() {
            return Ok(meanings);
        }
    }
}

/// A meaning of an ambiguous word: `meaning ? decider, decider`.
///
/// # Errors
/// What is wrong with it.
pub fn ambiguous_meaning(text: &str) -> Result<Meaning, String> {
    let (meaning, deciders) = text.split_once(" ? ").unwrap_or((text, ""));
    let mut parsed = meanings(meaning)?;
    let mut meaning = parsed.pop().ok_or("no meaning")?;
    for decider in deciders.split(',').map(str::trim).filter(|decider| !decider.is_empty() && *decider != "never") {
        meaning.deciders.push(if decider == "@*" {
            Decider::Alone
        } else if let Some(category) = decider.strip_prefix('@') {
            Decider::Is(category.parse()?)
        } else if let Some(category) = decider.strip_prefix('^') {
            Decider::SetHas(category.parse()?)
        } else if decider == "#finish" {
            Decider::FinishColumn
        } else {
            Decider::Word(decider.into())
        });
    }
    Ok(meaning)
}

fn categories(names: &str, separator: char) -> Result<Categories, String> {
    let mut set = 0;
    for name in names.split(separator).map(str::trim) {
        set |= if name == "*" { ANY } else { only(name.parse()?) };
    }
    Ok(set)
}

/// One meaning, its brackets taken off.
fn one(text: &str, categories: Categories, strong: bool) -> Result<Meaning, String> {
    let mut meaning =
        Meaning { categories, strong, noun: None, sets: Vec::new(), special: Special::Plain, deciders: Vec::new() };
    for item in text.split(';').map(str::trim).filter(|item| !item.is_empty()) {
        let (name, word) = item.split_once('=').ok_or_else(|| format!("\"{item}\" is not name=value"))?;
        let usual = name.ends_with('~');
        let (name, word) = (name.trim_end_matches('~').trim(), word.trim());
        if name == "category" {
            let part = word.strip_prefix('+');
            let each = word.contains('&');
            let set = self::categories(part.unwrap_or(word), if each { '&' } else { '/' })?;
            meaning.noun = Some(Noun {
                categories: set,
                component: part.is_some(),
                each,
                rather_other: word.starts_with("other/"),
            });
            meaning.categories = set;
        } else if let Some(special) = special(name, word)? {
            meaning.special = special;
        } else {
            let values = word.split('?').map(|word| value(name, word)).collect::<Result<Vec<_>, _>>()?;
            meaning.sets.push(Sets { attribute: Attr::new(name), values, usual });
        }
    }
    if let Special::FunctionName(_) = meaning.special
        && meaning.categories == ANY
    {
        // Only goods with a latch have a function.
        meaning.categories = only(Category::MortiseLock)
            | only(Category::BoredLock)
            | only(Category::InterconnectedLock)
            | only(Category::ExitDevice);
        meaning.strong = true;
    }
    Ok(meaning)
}

/// The names that are not attributes.
fn special(name: &str, word: &str) -> Result<Option<Special>, String> {
    let unknown = || format!("{name}={word} is not known");
    Ok(Some(match name {
        "look" => Special::Look(finish::look(word).ok_or_else(unknown)?.slug),
        // Seals and silencers have colours where other goods have codes: a word without figures is one, a plain value.
        "finish" if word.chars().all(|letter| letter.is_ascii_lowercase()) => return Ok(None),
        "finish" => Special::Finish(finish::find(word).ok_or_else(unknown)?.code),
        "function_name" => Special::FunctionName(word.into()),
        "remark" => Special::Remark(remark(word).ok_or_else(unknown)?),
        "unit" => Special::Unit(unit(word).ok_or_else(unknown)?),
        "number" => Special::Number(Decimal::from_str_exact(word).map_err(|_| unknown())?),
        "after" => Special::After(Attr::new(word)),
        "before" => Special::Before(Attr::new(word)),
        "dimension" => Special::Dimension(Attr::new(word)),
        "basis" => Special::Basis(match word {
            "leaf" => Basis::Leaf,
            "opening" => Basis::Opening,
            "lot" => Basis::Lot,
            _ => return Err(unknown()),
        }),
        "link" => Special::Link(match word {
            "with" => Link::With,
            "for" => Link::For,
            "prepared" => Link::Prepared,
            "when" => Link::When,
            "refused" => Link::Refused,
            "and" => Link::And,
            "or" => Link::Or,
            "instead" => Link::Instead,
            _ => return Err(unknown()),
        }),
        "word" => match word {
            "nothing" => Special::Nothing,
            "plain" => Special::Ordinary,
            "belonging" => Special::Belonging,
            "not" => Special::Not,
            _ => return Err(unknown()),
        },
        _ => return Ok(None),
    }))
}

fn unit(word: &str) -> Option<Unit> {
    [Unit::Each, Unit::Pair, Unit::Set, Unit::Foot, Unit::Lot].into_iter().find(|unit| unit.word() == word)
}

fn remark(word: &str) -> Option<RemarkKind> {
    RemarkKind::ALL.into_iter().find(|kind| kind.word() == word)
}

/// `pa: arm=parallel, since what stands around it decides`.
pub(super) fn settled_as(word: &str, field: &str) -> String {
    let meaning = field.split(" ? ").next().unwrap_or(field).trim();
    let meaning = meaning.split_once(']').map_or(meaning, |(_, behind)| behind.trim());
    format!("{word} has several meanings, here {meaning}, by what stands around it")
}

/// Finish codes, units, numbers and type numbers are never taken from a misspelled word.
pub(super) fn may_be_guessed(meaning: &Meaning) -> bool {
    !matches!(
        meaning.special,
        Special::Finish(_)
            | Special::FunctionNumber(_)
            | Special::TypeNumber(..)
            | Special::Unit(_)
            | Special::Basis(_)
            | Special::Number(_)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn meanings_are_parsed() {
        let parsed = meanings("[!hinge] bearing=ball").unwrap();
        assert!(parsed[0].strong && parsed[0].categories == only(Category::Hinge));
        let parsed = meanings("[exit-device] type=rim [cylinder] kind=rim").unwrap();
        assert_eq!(parsed.len(), 2);
        let parsed = meanings("category=hinge; conductors=4?6").unwrap();
        assert_eq!(parsed[0].sets[0].values.len(), 2);
        assert!(meanings("hinge").is_err());
        assert!(meanings("[hinges] bearing=ball").is_err());
    }
}
