//! The tree of phrases: a node for each beginning of a phrase, a step for each word that goes on. What the entries of a
//! phrase may be is kept beside it at a glance, as most questions that the grammars ask of a phrase are answered "no" by it.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

use super::lexicon::Entry;
use super::meaning::{ANY, Sets, Special, only};
use crate::trade::attribute::names;
use crate::trade::category::Category;

/// A table with short keys.
pub(super) type Map<K, V> = HashMap<K, V, BuildHasherDefault<Mix>>;

/// A quick hash for short keys; the lists are our own, so nobody can choose keys that collide.
#[derive(Debug, Default, Clone, Copy)]
pub(super) struct Mix(u64);

impl Hasher for Mix {
    fn finish(&self) -> u64 {
        self.0 ^ (self.0 >> 29)
    }
    fn write(&mut self, bytes: &[u8]) {
        for chunk in bytes.chunks(8) {
            let mut word = [0; 8];
            word[..chunk.len()].copy_from_slice(chunk);
            self.write_u64(u64::from_le_bytes(word));
        }
    }
    fn write_u64(&mut self, word: u64) {
        self.0 = (self.0.rotate_left(23) ^ word).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    }
    fn write_u32(&mut self, word: u32) {
        self.write_u64(u64::from(word));
    }
    fn write_u8(&mut self, byte: u8) {
        self.write_u64(u64::from(byte));
    }
}

/// What the entries of a phrase may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Gist(u16);

impl Gist {
    /// A unit of quantity.
    pub const UNIT: Gist = Gist(1);
    /// What a quantity is per.
    pub const BASIS: Gist = Gist(2);
    /// A number in words.
    pub const NUMBER: Gist = Gist(4);
    /// Denies what follows.
    pub const NOT: Gist = Gist(8);
    /// Joins, denies, or says nothing of any goods.
    pub const JOINT: Gist = Gist(16);
    /// Names goods, or is the number of their type.
    pub const NOUN: Gist = Gist(32);
    /// A label before its number, or beside a length.
    pub const LABEL: Gist = Gist(64);
    /// A label after its number.
    pub const AFTER: Gist = Gist(128);
    /// Names something that belongs to the goods before it.
    pub const BELONGING: Gist = Gist(256);
    /// A word with several meanings.
    pub const AMBIGUOUS: Gist = Gist(512);
    /// The number of a lock function.
    pub const FUNCTION: Gist = Gist(1024);
    /// A remark about the whole line.
    pub const REMARK: Gist = Gist(2048);
    /// A pivot between the top one and the bottom one.
    pub const INTERMEDIATE: Gist = Gist(4096);

    fn of(entry: &Entry) -> Gist {
        let mut all = if entry.ambiguous { Self::AMBIGUOUS.0 } else { 0 };
        for meaning in &entry.meanings {
            let special = match meaning.special {
                Special::Unit(_) => Self::UNIT,
                Special::Basis(_) => Self::BASIS,
                Special::Number(_) => Self::NUMBER,
                Special::Not => Gist(Self::NOT.0 | Self::JOINT.0),
                Special::Link(_) => Self::JOINT,
                Special::Nothing if meaning.categories == ANY => Self::JOINT,
                Special::Before(_) | Special::Dimension(_) => Self::LABEL,
                Special::After(_) => Self::AFTER,
                Special::Belonging => Self::BELONGING,
                Special::TypeNumber(_, true) => Self::NOUN,
                Special::FunctionNumber(_) => Self::FUNCTION,
                Special::Remark(_) => Self::REMARK,
                _ => Gist(0),
            };
            let sets = |set: &Sets| {
                set.attribute == names::TYPE && set.values.iter().any(|value| value.as_text() == Some("intermediate"))
            };
            let intermediate = meaning.categories == only(Category::Pivot) && meaning.sets.iter().any(sets);
            all |= special.0;
            all |= if meaning.noun.is_some() { Self::NOUN.0 } else { 0 };
            all |= if intermediate { Self::INTERMEDIATE.0 } else { 0 };
        }
        Gist(all)
    }
}

/// The tree. Node 0 is its root.
#[derive(Debug, Default)]
pub(super) struct Tree {
    steps: Map<(u32, u32), u32>,
    /// The node behind the root, by word; 0: none. Every token asks for it.
    first: Vec<u32>,
    /// Whether a word goes on from a node.
    goes_on: Vec<bool>,
    /// The entries of each node.
    entries: Vec<Vec<u32>>,
    gists: Vec<Gist>,
}

impl Tree {
    /// The root alone.
    pub fn root() -> Self {
        Tree { entries: vec![Vec::new()], goes_on: vec![false], gists: vec![Gist::default()], ..Tree::default() }
    }

    /// The node behind another by a word.
    pub fn step(&self, node: u32, word: u32) -> Option<u32> {
        match (node, word) {
            (_, 0) => None,
            (0, _) => self.first.get(word as usize).copied().filter(|node| *node != 0),
            _ if !self.goes_on[node as usize] => None,
            _ => self.steps.get(&(node, word)).copied(),
        }
    }

    /// Whether a word goes on from a node.
    pub fn goes_on(&self, node: u32) -> bool {
        self.goes_on[node as usize]
    }

    /// As `step`; the node is made when it is not there.
    pub fn grow(&mut self, node: u32, word: u32) -> u32 {
        if let Some(known) = self.step(node, word) {
            return known;
        }
        let fresh = self.entries.len() as u32;
        self.entries.push(Vec::new());
        self.goes_on.push(false);
        self.gists.push(Gist::default());
        self.goes_on[node as usize] = true;
        if node == 0 {
            let place = word as usize;
            if self.first.len() <= place {
                self.first.resize(place + 1, 0);
            }
            self.first[place] = fresh;
        } else {
            self.steps.insert((node, word), fresh);
        }
        fresh
    }

    /// The entries of a node.
    pub fn entries(&self, node: u32) -> &[u32] {
        &self.entries[node as usize]
    }

    /// The nodes that have entries.
    pub fn phrases(&self) -> impl Iterator<Item = &[u32]> {
        self.entries.iter().map(Vec::as_slice).filter(|entries| !entries.is_empty())
    }

    /// Gives a node one entry more.
    pub fn put(&mut self, node: u32, entry: u32, all: &[Entry]) {
        let entries = &mut self.entries[node as usize];
        if !entries.contains(&entry) {
            entries.push(entry);
            self.gists[node as usize].0 |= Gist::of(&all[entry as usize]).0;
        }
    }

    /// Keeps of the entries of a node those that fit.
    pub fn keep(&mut self, node: u32, all: &[Entry], fits: impl Fn(u32) -> bool) {
        let entries = &mut self.entries[node as usize];
        entries.retain(|entry| fits(*entry));
        self.gists[node as usize] =
            Gist(entries.iter().fold(0, |bits, entry| bits | Gist::of(&all[*entry as usize]).0));
    }

    /// Whether an entry of a node may be of a kind.
    pub fn may_be(&self, node: u32, kind: Gist) -> bool {
        self.gists[node as usize].0 & kind.0 != 0
    }
}
