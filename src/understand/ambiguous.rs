//! Words with several meanings: settled by what stands around them, or doubted; never settled alone.

use super::assemble::Builder;
use super::category;
use super::lexicon::Entry;
use super::meaning::{ANY, Decider, Meaning, Special, single};
use super::reading::Doubt;
use super::scope::Placed;
use crate::read::schedule::PartRole;

fn finishes(meaning: &Meaning) -> bool {
    meaning.deciders.contains(&Decider::FinishColumn)
}

impl Builder<'_> {
    /// A word with several meanings: settled by what decides for one, or doubted.
    pub fn ambiguous(&mut self, placed: &Placed, entry: &Entry, nouns: &[usize]) -> bool {
        let named = nouns.contains(&placed.claim.from);
        let fits = |meaning: &&Meaning| match meaning.noun {
            // Another word may have named the same good already.
            Some(noun) => noun.categories & self.set != 0 && (named || single(self.set).is_some()),
            None => self.holds(meaning),
        };
        let mut fitting: Vec<&Meaning> = entry.meanings.iter().filter(fits).collect();
        // In the finish column a word is a finish, whatever else it is elsewhere.
        if placed.role == PartRole::Finish && fitting.iter().any(|meaning| finishes(meaning)) {
            fitting.retain(|meaning| finishes(meaning));
        }
        let settled: Vec<&Meaning> = fitting
            .iter()
            .copied()
            .filter(|meaning| category::decided_for(self.scope, placed, meaning, self.set))
            .collect();
        // In the finish column of an astragal PC is prime coat, though of most goods it is polished chrome.
        let mut own = settled.iter().copied().filter(|one| one.categories != ANY && placed.role == PartRole::Finish);
        let own = own.next().filter(|_| single(self.set).is_some() && own.next().is_none());
        let chosen = match (settled.as_slice(), fitting.as_slice()) {
            ([one], _) => Some(*one),
            _ if own.is_some() => own,
            // The only meaning that such goods can have.
            ([], [one]) if one.noun.is_some() => Some(*one),
            ([], [one]) if one.categories != ANY && single(self.set).is_some() && one.noun.is_none() => Some(*one),
            ([], [one]) if one.deciders.contains(&Decider::Alone) && single(self.set).is_some() => Some(*one),
            _ => None,
        };
        if let Some(meaning) = chosen {
            let place = entry.meanings.iter().position(|one| std::ptr::eq(one, meaning));
            let name = place.and_then(|place| entry.each.get(place)).unwrap_or(&entry.name).clone();
            let as_settled = Entry {
                file: entry.file.clone(),
                line: entry.line,
                name,
                meanings: Vec::new(),
                ambiguous: true,
                each: Vec::new(),
            };
            if meaning.noun.is_some() {
                self.apply_sets(placed, &as_settled, meaning);
                return true;
            }
            return self.meaning(placed, &as_settled, meaning);
        }
        // A noun that can name the good which other words name already says it again.
        let again = entry.meanings.iter().find(|m| m.noun.is_some_and(|noun| noun.categories & self.set != 0));
        if (named || again.is_some() && fitting.is_empty()) && self.category().is_some() {
            if let Some(meaning) = again {
                self.apply_sets(placed, entry, meaning);
            }
            return true;
        }
        let span = self.scope.span(placed.claim);
        let says = format!("\"{}\" has several meanings", self.original(span.clone()));
        let candidates: Vec<&Meaning> = if settled.is_empty() { fitting } else { settled };
        // What goes with each reading goes with it when it is taken: WS taken for a stop is a wall stop.
        for (set, meaning) in
            candidates.iter().filter(|m| m.noun.is_some()).flat_map(|m| m.sets.iter().map(move |s| (s, m)))
        {
            let evidence = self.scope.by_entry(placed.claim, entry);
            if meaning.noun.is_some_and(|noun| noun.categories & self.set != 0) {
                self.put_open(set.attribute, vec![(set.values[0].clone(), evidence)]);
            }
        }
        let mut attribute = None;
        if let [first, ..] = candidates.as_slice()
            && let [set] = first.sets.as_slice()
            && candidates.iter().all(|m| m.noun.is_none() && m.sets.len() == 1 && m.sets[0].attribute == set.attribute)
            && matches!(first.special, Special::Plain)
        {
            let evidence = self.scope.by_entry(placed.claim, entry);
            let all: Vec<_> =
                candidates.iter().map(|meaning| (meaning.sets[0].values[0].clone(), evidence.clone())).collect();
            attribute = Some(set.attribute);
            self.put_open(set.attribute, all);
        }
        self.doubts.push(Doubt { code: "ambiguous-word", says, span, attribute });
        true
    }
}
