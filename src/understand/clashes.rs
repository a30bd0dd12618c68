//! Spellings of the lists that mean two things which a line cannot tell apart; the test of the lists shows them.

use super::lexicon::{Entry, Lexicon};
use super::meaning::{Meaning, Special};

impl Lexicon {
    /// Spellings that stand in two entries which a line cannot tell apart; the test of the lists shows them.
    pub fn clashes(&self) -> Vec<String> {
        let mut clashes = Vec::new();
        for here in self.tree.phrases() {
            for (position, one) in here.iter().enumerate() {
                for other in &here[position + 1..] {
                    let (one, other) = (self.entry(*one), self.entry(*other));
                    if clash(one, other) {
                        clashes.push(format!(
                            "{}:{} {} | {}:{} {}",
                            one.file, one.line, one.name, other.file, other.line, other.name
                        ));
                    }
                }
            }
        }
        clashes.sort();
        clashes
    }
}

/// Two meanings quarrel when both can hold for one good and say different things.
fn clash(one: &Entry, other: &Entry) -> bool {
    let label = |entry: &Entry| {
        entry.meanings.iter().all(|m| matches!(m.special, Special::After(_) | Special::Unit(_) | Special::Basis(_)))
    };
    if one.ambiguous || other.ambiguous {
        return !label(one) && !label(other);
    }
    one.meanings.iter().any(|a| {
        other.meanings.iter().any(|b| {
            if a.noun.is_some() || b.noun.is_some() {
                return a.noun.is_some() && b.noun.is_some();
            }
            // A label has its meaning only beside a number.
            let label = |m: &Meaning| {
                matches!(
                    m.special,
                    Special::After(_)
                        | Special::Before(_)
                        | Special::Dimension(_)
                        | Special::Unit(_)
                        | Special::Number(_)
                )
            };
            let ordinary = |m: &Meaning| m.special == Special::Ordinary;
            let differ =
                a.sets.iter().any(|a| b.sets.iter().any(|b| a.attribute == b.attribute && a.values != b.values));
            let plain = |m: &Meaning| m.special == Special::Plain;
            a.categories & b.categories != 0
                && !label(a)
                && !label(b)
                && (differ || ordinary(a) != ordinary(b) || (!plain(a) && !plain(b) && a.special != b.special))
        })
    })
}
