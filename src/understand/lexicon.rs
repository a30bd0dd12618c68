//! The word lists, compiled once: words are numbered, phrases are a tree over the numbers, each phrase leads to its
//! entries. The embedded lists are joined by the finish codes, function numbers and type numbers of the trade tables,
//! and by the user's own files, which come last and prevail.

use std::collections::HashSet;
use std::path::PathBuf;
use std::sync::Arc;

use super::groups;
use super::meaning::{self, Meaning, Special};
use super::places::Places;
use super::roles::Roles;
use super::token::{self, Token};
pub(super) use super::tree::Gist;
use super::tree::{Map, Tree};
use super::variants::{Guess, Variants};
use super::walk::Walk;
use crate::evidence::By;
use crate::trade::category::Category;
use crate::trade::{finish, function, type_number};

/// The lists inside the program: name below `catalogs/`, text.
pub const LISTS: &[(&str, &str)] = &[
    ("trade/words/closing.txt", include_str!("../../catalogs/trade/words/closing.txt")),
    ("trade/words/electric.txt", include_str!("../../catalogs/trade/words/electric.txt")),
    ("trade/words/exit-device.txt", include_str!("../../catalogs/trade/words/exit-device.txt")),
    ("trade/words/general.txt", include_str!("../../catalogs/trade/words/general.txt")),
    ("trade/words/hinge.txt", include_str!("../../catalogs/trade/words/hinge.txt")),
    ("trade/words/joints.txt", include_str!("../../catalogs/trade/words/joints.txt")),
    ("trade/words/lock.txt", include_str!("../../catalogs/trade/words/lock.txt")),
    ("trade/words/nouns.txt", include_str!("../../catalogs/trade/words/nouns.txt")),
    ("trade/words/numbers.txt", include_str!("../../catalogs/trade/words/numbers.txt")),
    ("trade/words/plates.txt", include_str!("../../catalogs/trade/words/plates.txt")),
    ("trade/words/remarks.txt", include_str!("../../catalogs/trade/words/remarks.txt")),
    ("trade/words/seals.txt", include_str!("../../catalogs/trade/words/seals.txt")),
];

/// The list of abbreviations of single words.
pub const ABBREVIATIONS: (&str, &str) =
    ("trade/words/abbreviations.txt", include_str!("../../catalogs/trade/words/abbreviations.txt"));

/// The list of words with several meanings.
pub const AMBIGUOUS: (&str, &str) =
    ("trade/words/ambiguous.txt", include_str!("../../catalogs/trade/words/ambiguous.txt"));

/// A phrase found in a line.
#[derive(Debug, Clone, Copy)]
pub struct Found {
    /// Its node.
    pub node: u32,
    /// The token behind it.
    pub next: usize,
    /// The nodes of other phrases that the same words may stand for; 0: none.
    pub also: [u32; 2],
    /// A word of it was taken for misspelled.
    pub guessed: bool,
}

/// One entry.
#[derive(Debug)]
pub struct Entry {
    /// File below `catalogs/`, or the user's file.
    pub file: Arc<str>,
    /// Line in it.
    pub line: u32,
    /// What it means, as written.
    pub name: Arc<str>,
    /// What it means, parsed.
    pub meanings: Vec<Meaning>,
    /// It stands in the list of words with several meanings.
    pub ambiguous: bool,
    /// Of a word with several meanings: each as evidence shows it when it is settled.
    pub each: Vec<Arc<str>>,
}

impl Entry {
    /// The entry as evidence.
    pub fn by(&self) -> By {
        self.by_as(&self.name)
    }

    /// The entry as evidence, with what it means here.
    pub fn by_as(&self, name: &Arc<str>) -> By {
        By::Entry { file: self.file.clone(), line: self.line, entry: name.clone() }
    }
}

/// The compiled word lists.
#[derive(Debug, Default)]
pub struct Lexicon {
    words: Map<Box<str>, u32>,
    /// The numbers of the words of one plain letter or sign, by its byte, once the lists are read: a third of all tokens are such.
    single: Vec<u32>,
    pub(super) tree: Tree,
    entries: Vec<Entry>,
    /// While loading: whether a word stands only in nouns and attributes, so that a misspelling may stand for it.
    guessable: Map<u32, bool>,
    /// Abbreviations and misspellings.
    pub(super) variants: Variants,
    /// Words of places.
    pub(super) places: Places,
    /// What words do in a sentence.
    pub(super) roles: Roles,
}

impl Lexicon {
    /// The embedded lists and the user's own files after them.
    ///
    /// # Errors
    /// A message with file and line when a user's list is broken.
    pub fn load(own: &[PathBuf]) -> Result<Lexicon, String> {
        let mut lexicon = Lexicon { tree: Tree::root(), ..Lexicon::default() };
        for (file, text) in LISTS {
            lexicon.add_list(file, text, false)?;
        }
        lexicon.add_ambiguous()?;
        lexicon.add_tables();
        lexicon.add_abbreviations()?;
        let words = &mut lexicon.words;
        let mut number = |word: &str| {
            let fresh = words.len() as u32 + 1;
            let number = *words.entry(word.into()).or_insert(fresh);
            (number, number == fresh)
        };
        lexicon.places = Places::load(&mut number)?;
        lexicon.roles = Roles::load(&mut number)?;
        for path in own {
            let text = std::fs::read_to_string(path).map_err(|error| {
                format!(
                    "cannot read the word list {}: {error}\n  help: check the path given for own words",
                    path.display()
                )
            })?;
            lexicon.add_list(&path.display().to_string(), &text, true)?;
        }
        lexicon.gather_spellings();
        Ok(lexicon)
    }

    /// The number of a word; 0 when no list has it.
    pub fn word(&self, word: &str) -> u32 {
        if let [letter] = word.as_bytes()
            && let Some(number) = self.single.get(usize::from(*letter))
        {
            return *number;
        }
        self.words.get(word).copied().unwrap_or(0)
    }

    /// An entry.
    pub fn entry(&self, index: u32) -> &Entry {
        &self.entries[index as usize]
    }

    /// The entries of a phrase.
    pub fn entries(&self, node: u32) -> impl Iterator<Item = &Entry> + Clone {
        self.tree.entries(node).iter().map(|index| &self.entries[*index as usize])
    }

    /// Whether an entry of a phrase may be of a kind: a quick no.
    pub(super) fn may_be(&self, node: u32, kind: Gist) -> bool {
        self.tree.may_be(node, kind)
    }

    /// The longest phrase that begins at a token: its node and the token behind it. Hyphens and points inside are passed over.
    pub fn longest(&self, tokens: &[Token], from: usize) -> Option<(u32, usize)> {
        self.phrase(tokens, from).map(|found| (found.node, found.next))
    }

    /// As `longest`, and whether a word of it was taken for misspelled. The words as written come before what they may
    /// stand for; among equally long phrases the first found is taken, but of two guesses neither.
    pub fn phrase(&self, tokens: &[Token], from: usize) -> Option<Found> {
        let mut walk = Walk { lexicon: self, tokens, from, best: None, also: [0; 2], tie: false, exact: None };
        walk.on(0, from, Guess::None, 0);
        // Of two guesses neither; what the words say without a guess still holds.
        let exact = || walk.exact.filter(|_| walk.tie).map(|(node, next)| (node, next, false));
        let (node, next, guessed) = walk.best.filter(|_| !walk.tie).or_else(exact)?;
        let plain = |node: u32| !self.may_be(node, Gist::AMBIGUOUS);
        let also =
            if plain(node) && !walk.tie { walk.also.map(|also| if plain(also) { also } else { 0 }) } else { [0; 2] };
        Some(Found { node, next, also, guessed })
    }

    /// The node behind another by a word.
    pub(super) fn step(&self, node: u32, word: u32) -> Option<u32> {
        self.tree.step(node, word)
    }

    /// Whether a word goes on from a node.
    pub(super) fn goes_on(&self, node: u32) -> bool {
        self.tree.goes_on(node)
    }

    /// Whether no phrase ends at a node.
    pub(super) fn is_empty_at(&self, node: u32) -> bool {
        self.tree.entries(node).is_empty()
    }

    /// Whether of two phrases one means all that the other means.
    pub(super) fn agree(&self, one: u32, other: u32) -> bool {
        let (one, other) = (self.tree.entries(one), self.tree.entries(other));
        let (few, many) = if one.len() < other.len() { (one, other) } else { (other, one) };
        few.iter().all(|entry| many.contains(entry))
    }

    /// Whether two phrases mean the same.
    pub(super) fn same_entries(&self, one: u32, other: u32) -> bool {
        self.tree.entries(one) == self.tree.entries(other)
    }

    /// Whether a word by itself is a phrase.
    pub fn is_phrase(&self, word: u32) -> bool {
        self.tree.step(0, word).is_some_and(|node| !self.is_empty_at(node))
    }

    /// What a phrase means by the lists, each with its file and line; empty when they do not have it.
    pub fn means(&self, phrase: &str) -> Vec<By> {
        let uniform = super::normal::normal(phrase);
        self.node(&uniform.text).map_or_else(Vec::new, |node| self.entries(node).map(Entry::by).collect())
    }

    /// The node of a phrase, if it is one.
    fn node(&self, phrase: &str) -> Option<u32> {
        let tokens = token::tokens(self, phrase, &|_| 0);
        let (node, next) = self.longest(&tokens, 0)?;
        (next == tokens.len()).then_some(node)
    }

    fn add_list(&mut self, file: &str, text: &str, own: bool) -> Result<(), String> {
        let file: Arc<str> = file.into();
        let groups = groups::groups(text);
        for (line, content) in (1u32..).zip(text.lines()) {
            let content = content.trim();
            if content.is_empty() || content.starts_with('#') {
                continue;
            }
            let wrong = |message: String| format!("{file}:{line}: {message}\n      {content}\n  help: {HELP}");
            let mut fields = content.split('|').map(str::trim);
            let name = fields.next().unwrap_or("");
            if groups::is_group(name) {
                continue;
            }
            let meanings = match meaning::meanings(name) {
                Ok(meanings) => meanings,
                Err(message) => self.known(name, own).ok_or_else(|| wrong(message))?,
            };
            if own {
                meaning::check(&meanings).map_err(&wrong)?;
            }
            let index = self.push(Entry {
                file: file.clone(),
                line,
                name: name.into(),
                meanings,
                ambiguous: false,
                each: Vec::new(),
            });
            let mut spelled = false;
            for phrase in fields.filter(|phrase| !phrase.is_empty()) {
                for phrase in groups::spelled(phrase, &groups).map_err(&wrong)? {
                    self.add_phrase(&phrase.to_lowercase(), index, own);
                }
                spelled = true;
            }
            if !spelled {
                return Err(wrong("the entry has no spelling".to_owned()));
            }
        }
        Ok(())
    }

    /// A user may say what a new spelling means by a word that is known already.
    fn known(&self, name: &str, own: bool) -> Option<Vec<Meaning>> {
        let node = self.node(&name.to_lowercase()).filter(|_| own)?;
        Some(self.entries(node).flat_map(|entry| entry.meanings.iter().cloned()).collect())
    }

    fn add_ambiguous(&mut self) -> Result<(), String> {
        let (file, text) = AMBIGUOUS;
        let file: Arc<str> = file.into();
        for (line, content) in (1u32..).zip(text.lines()) {
            if content.trim().is_empty() || content.starts_with('#') {
                continue;
            }
            let mut fields = content.split('|').map(str::trim);
            let word = fields.next().unwrap_or("");
            let fields: Vec<&str> = fields.collect();
            let each = fields.iter().map(|field| meaning::settled_as(word, field).into()).collect();
            let meanings: Result<Vec<Meaning>, String> = fields.into_iter().map(meaning::ambiguous_meaning).collect();
            let meanings = meanings.map_err(|message| format!("{file}:{line}: {message}\n      {content}"))?;
            let entry = Entry { file: file.clone(), line, name: word.into(), meanings, ambiguous: true, each };
            let index = self.push(entry);
            self.add_phrase(word, index, false);
        }
        Ok(())
    }

    /// Finish codes, function numbers and type numbers of the trade tables.
    fn add_tables(&mut self) {
        let codes: HashSet<String> = finish::all().map(|row| row.code.to_lowercase()).collect();
        for row in finish::all() {
            let code = row.code.to_lowercase();
            let name = format!("{} {}", row.code, row.description);
            let index = self.push_special(finish::FILE, row.line, &name, Special::Finish(row.code), meaning::ANY);
            self.add_phrase(&code, index, false);
            for suffix in ["am", "e"] {
                let longer = format!("{code}{suffix}");
                // 613E is a row of its own.
                if !codes.contains(&longer) {
                    self.add_phrase(&longer, index, false);
                }
            }
        }
        for look in finish::looks() {
            for us in &look.us {
                let name = format!("{us} {}", look.slug);
                let index =
                    self.push_special(finish::LOOKS_FILE, look.line, &name, Special::Look(look.slug), meaning::ANY);
                let bare = us.trim_start_matches("US").to_lowercase();
                self.add_phrase(&us.to_lowercase(), index, false);
                if bare.starts_with(|c: char| c.is_ascii_digit()) {
                    self.add_phrase(&format!("c{bare}"), index, false);
                    if bare.len() > 2 {
                        self.add_phrase(&bare, index, false);
                    }
                }
            }
        }
        for row in function::all() {
            let category = match row.kind {
                function::FunctionKind::Mortise if row.name == "deadlock" => Category::Deadlock,
                function::FunctionKind::Mortise => Category::MortiseLock,
                function::FunctionKind::Bored => Category::BoredLock,
                function::FunctionKind::Exit => continue,
            };
            let name = format!("{} {} ({})", row.number, row.behaviour, row.confidence.word());
            let special = Special::FunctionNumber(row.number);
            let index = self.push_special(function::FILE, row.line, &name, special, meaning::only(category));
            self.add_phrase(&row.number.to_lowercase(), index, false);
            self.add_phrase(&row.number.to_lowercase().replace("f0", "f"), index, false);
        }
        for row in type_number::all() {
            let name = format!("{} {} ({})", row.number, row.meaning, row.confidence.word());
            let special = Special::TypeNumber(row.number.as_str().into(), row.confidence.settles());
            let categories = meaning::only(row.category);
            let index = self.push_special(type_number::FILE, row.line, &name, special, categories);
            // The table's own test parses every row.
            let sets = meaning::meanings(&row.meaning).ok().and_then(|mut parsed| parsed.pop());
            self.entries[index as usize].meanings[0].sets = sets.map(|meaning| meaning.sets).unwrap_or_default();
            self.add_phrase(&row.number.to_lowercase(), index, false);
        }
    }

    fn push_special(&mut self, file: &str, line: u32, name: &str, special: Special, categories: u64) -> u32 {
        let meaning = Meaning {
            categories,
            strong: categories != meaning::ANY,
            noun: None,
            sets: Vec::new(),
            special,
            deciders: Vec::new(),
        };
        self.push(Entry {
            file: file.into(),
            line,
            name: name.trim().into(),
            meanings: vec![meaning],
            ambiguous: false,
            each: Vec::new(),
        })
    }

    fn push(&mut self, entry: Entry) -> u32 {
        self.entries.push(entry);
        (self.entries.len() - 1) as u32
    }

    /// Adds a spelling of an entry. The user's own spelling takes the place of what the words meant before.
    fn add_phrase(&mut self, phrase: &str, entry: u32, own: bool) {
        let uniform = super::normal::normal(phrase);
        let mut node = 0;
        let tokens = token::tokens(self, &uniform.text, &|_| 0);
        let guessable = self.entry(entry).meanings.iter().all(meaning::may_be_guessed);
        for token in &tokens {
            if token.is('-') || token.is('.') {
                continue;
            }
            // Looking the token up has found most words already.
            let word = if token.id == 0 { self.grow(token, &uniform.text) } else { token.id };
            *self.guessable.entry(word).or_insert(false) |= guessable;
            node = self.tree.grow(node, word);
        }
        if node == 0 {
            return;
        }
        let all = &self.entries;
        if own {
            self.tree.keep(node, all, |known| all[known as usize].file == all[entry as usize].file);
        }
        self.tree.put(node, entry, all);
    }

    /// The number of the word of a token; it is given one if it has none.
    fn grow(&mut self, token: &Token, text: &str) -> u32 {
        let text: String = token.text(text).chars().filter(|c| token.is_number() || *c != '.').collect();
        let fresh = self.words.len() as u32 + 1;
        *self.words.entry(text.into()).or_insert(fresh)
    }

    /// Abbreviations: the word, then what is written for it. The word must stand in a list.
    fn add_abbreviations(&mut self) -> Result<(), String> {
        let (file, text) = ABBREVIATIONS;
        for (line, content) in (1u32..).zip(text.lines()) {
            if content.trim().is_empty() || content.starts_with('#') {
                continue;
            }
            let mut fields = content.split('|').map(str::trim);
            let word = fields.next().unwrap_or("");
            let number = self.word(word);
            if number == 0 {
                return Err(format!("{file}:{line}: no list has the word \"{word}\"\n      {content}"));
            }
            for short in fields {
                let known = self.variants.abbreviations.entry(short.into()).or_default();
                if !known.contains(&number) {
                    known.push(number);
                }
            }
        }
        Ok(())
    }

    /// Words that a misspelling may stand for: words of nouns, attributes and functions, never of finishes or numbers.
    fn gather_spellings(&mut self) {
        let guessable = &self.guessable;
        let words = self.words.iter().filter(|(text, word)| {
            text.len() >= 3
                && text.chars().all(|c| c.is_ascii_alphabetic())
                && guessable.get(*word).copied() == Some(true)
        });
        self.variants.set_spellings(words.map(|(text, word)| (text.clone(), *word)));
        self.variants.mark_both(&self.words);
        let single = |byte: u8| self.words.get(char::from(byte).encode_utf8(&mut [0; 4])).copied().unwrap_or(0);
        self.single = (0..128).map(single).collect();
        self.guessable = Map::default();
    }
}

const HELP: &str = "an entry is what it means, then its spellings, parted by bars: weight=heavy|hvy duty butt";
