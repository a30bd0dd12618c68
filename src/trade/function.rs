//! Lock and exit-device functions: numbers of the standards, their trade names, and which numbers a name can mean.
//! The data is `catalogs/trade/functions.csv`.

use std::sync::OnceLock;

use super::category::Category;
use super::confidence::Confidence;
use super::table;

const TABLE: &str = include_str!("../../catalogs/trade/functions.csv");

/// File of the table, as evidence names it.
pub const FILE: &str = "trade/functions.csv";

/// Which standard numbers the function.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FunctionKind {
    /// Mortise locks, A156.13.
    Mortise,
    /// Bored locks, A156.2.
    Bored,
    /// Exit devices, A156.3.
    Exit,
}

impl FunctionKind {
    /// The kind whose numbers a category uses.
    pub fn of(category: Category) -> Option<FunctionKind> {
        match category {
            Category::MortiseLock => Some(FunctionKind::Mortise),
            Category::BoredLock => Some(FunctionKind::Bored),
            Category::ExitDevice => Some(FunctionKind::Exit),
            _ => None,
        }
    }
}

/// One function.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Function {
    /// Whose numbers.
    pub kind: FunctionKind,
    /// Number in the record: `F07`, `08`.
    pub number: &'static str,
    /// The one trade name, `storeroom`; empty where the number has several or none.
    pub name: &'static str,
    /// Every name that leads to it.
    pub names: Vec<&'static str>,
    /// A word that must (or with `-` must not) stand beside the name.
    pub with: &'static str,
    /// What it does.
    pub behaviour: &'static str,
    /// How sure the row is.
    pub confidence: Confidence,
    /// Where it was read.
    pub source: &'static str,
    /// Line of the table.
    pub line: u32,
}

/// All functions, in the order of the table.
pub fn all() -> &'static [Function] {
    static ALL: OnceLock<Vec<Function>> = OnceLock::new();
    ALL.get_or_init(|| {
        table::rows(TABLE)
            .iter()
            .filter_map(|row| {
                let kind = match row.get(0) {
                    "mortise" => FunctionKind::Mortise,
                    "bored" => FunctionKind::Bored,
                    "exit" => FunctionKind::Exit,
                    _ => return None,
                };
                Some(Function {
                    kind,
                    number: row.get(1),
                    name: row.get(2),
                    names: row.get(3).split_whitespace().collect(),
                    with: row.get(4),
                    behaviour: row.get(5),
                    confidence: Confidence::of(row.get(6)),
                    source: row.get(7),
                    line: row.line,
                })
            })
            .collect()
    })
}

/// The function of a number.
pub fn find(kind: FunctionKind, number: &str) -> Option<&'static Function> {
    all().iter().find(|function| function.kind == kind && function.number.eq_ignore_ascii_case(number))
}

/// The functions that a trade name can mean for a kind, those of weak memory left out. `said` tells whether a word
/// (`deadbolt`, `push`, `thumb-piece`) stands beside the name.
pub fn candidates(kind: FunctionKind, name: &str, said: &dyn Fn(&str) -> bool) -> Vec<&'static Function> {
    let fits = |function: &&Function| {
        function.kind == kind && function.names.iter().any(|own| own.trim_end_matches('?') == name)
    };
    let (named, weak): (Vec<&Function>, Vec<&Function>) =
        all().iter().filter(fits).partition(|function| function.confidence.settles());
    if named.is_empty() {
        return named;
    }
    // A row that asks for a word which stands there is meant before all others.
    let asked: Vec<&Function> = named
        .iter()
        .copied()
        .filter(|function| !function.with.is_empty() && !function.with.starts_with('-') && said(function.with))
        .collect();
    if !asked.is_empty() {
        return asked;
    }
    let loose = |function: &Function| function.names.iter().any(|own| own.strip_suffix('?') == Some(name));
    let unsaid = |function: &Function| function.with.strip_prefix('-').is_some_and(|word| !said(word));
    let mut free: Vec<&Function> = named
        .iter()
        .copied()
        .filter(|function| function.with.is_empty() || loose(function) || unsaid(function))
        .collect();
    if free.is_empty() {
        free = named;
    }
    // Another number that is only remembered to have the name keeps one that has it from being sure.
    free.extend(weak);
    free
}

/// A function as a list of choices says it: `F07, storeroom`; with what it does where several have the name, or none has.
pub fn told(category: Category, number: &str) -> Option<String> {
    let found = FunctionKind::of(category).and_then(|kind| find(kind, number))?;
    let named = |other: &&Function| other.kind == found.kind && other.name == found.name;
    let (name, alone) = (found.name.replace('-', " "), all().iter().filter(named).count() == 1);
    Some(match (name.is_empty(), found.behaviour.is_empty()) {
        (true, true) => number.to_owned(),
        (true, false) => format!("{number}: {}", found.behaviour),
        (false, empty) if alone || empty => format!("{number}, {name}"),
        (false, _) => format!("{number}, {name}: {}", found.behaviour),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_lead_to_numbers_as_in_the_table_of_words() {
        let numbers = |kind, name: &str, said: &str| -> Vec<&str> {
            candidates(kind, name, &|word| word == said).iter().map(|function| function.number).collect()
        };
        // Function table of A156.13 and A156.2, from word to function.
        assert_eq!(numbers(FunctionKind::Mortise, "storeroom", ""), ["F07"]);
        assert_eq!(numbers(FunctionKind::Bored, "storeroom", ""), ["F86"]);
        assert_eq!(numbers(FunctionKind::Mortise, "office", ""), ["F04"]);
        assert_eq!(numbers(FunctionKind::Mortise, "office", "deadbolt"), ["F20"]);
        assert_eq!(numbers(FunctionKind::Mortise, "classroom-security", "deadbolt"), ["F34"]);
        assert_eq!(numbers(FunctionKind::Mortise, "privacy", ""), ["F02", "F19", "F22"]);
        assert_eq!(numbers(FunctionKind::Bored, "office", ""), ["F81", "F82", "F109"]);
        assert_eq!(numbers(FunctionKind::Exit, "classroom", ""), ["08"]);
        assert_eq!(numbers(FunctionKind::Exit, "classroom", "thumb-piece"), ["05"]);
    }

    #[test]
    fn weak_rows_lead_nowhere() {
        assert!(candidates(FunctionKind::Mortise, "patio", &|_| false).is_empty());
        assert_eq!(find(FunctionKind::Mortise, "f23").map(|function| function.confidence), Some(Confidence::MemoryLow));
    }
}
