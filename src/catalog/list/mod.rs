//! A flat price list: one row a good, its attributes in a column. Held small: the text of the file once, and for each row
//! where it begins, which attributes it has and what it costs; everything else of a row is read when it is wanted. An index
//! from attribute values to rows answers a request without a look at the other goods.

mod find;
pub(super) mod quick;
mod row;

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use rust_decimal::Decimal;

use crate::trade::attribute::{Attr, Attributes, Value};
use crate::trade::category::Category;

use super::book::{Book, Sold};
use super::good::{Entry, Per};
use super::source::SourceFile;
use super::value::shown;
pub(super) use find::{good, near, of_number, select};
use quick::QuickMap;

/// One row, as far as it is kept.
#[derive(Debug, Clone)]
pub(super) struct Row {
    /// Byte of the file at which it begins.
    pub(super) at: u32,
    /// Line of the file, from 1.
    pub(super) line: u32,
    /// Its attribute values: from, and how many, in `GoodsList::said`.
    pub(super) said: (u32, u8),
    /// Index of its family.
    pub(super) family: u32,
    /// `None`: to be asked for.
    pub(super) price: Option<Decimal>,
    /// Index of its discount group; the first is none.
    pub(super) group: u16,
    pub(super) per: Per,
}

/// The goods of one maker and category: what takes the place of a product line.
#[derive(Debug)]
pub(super) struct Family {
    /// `list northgate hinge`.
    pub(super) id: Arc<str>,
    pub(super) maker: Arc<str>,
    pub(super) category: Category,
    /// Rows, ascending.
    pub(super) rows: Vec<u32>,
    /// The values of each attribute, as indexes of `GoodsList::pairs`, in the order in which they were met.
    pub(super) values: BTreeMap<Attr, Vec<u32>>,
}

/// Where the columns of the file stand.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Columns {
    pub(super) number: Option<usize>,
    pub(super) maker: Option<usize>,
    pub(super) category: Option<usize>,
    pub(super) description: Option<usize>,
    pub(super) price: Option<usize>,
    pub(super) per: Option<usize>,
    pub(super) group: Option<usize>,
    pub(super) pack: Option<usize>,
    pub(super) minimum: Option<usize>,
    pub(super) weight: Option<usize>,
    pub(super) returnable: Option<usize>,
    pub(super) attributes: Option<usize>,
}

impl Columns {
    /// The columns, each looked for by its heading.
    pub(super) fn found(place: impl Fn(&str) -> Option<usize>) -> Columns {
        Columns {
            number: place("number"),
            maker: place("maker"),
            category: place("category"),
            description: place("description"),
            price: place("price"),
            per: place("per"),
            group: place("group"),
            pack: place("pack"),
            minimum: place("minimum"),
            weight: place("weight"),
            returnable: place("returnable"),
            attributes: place("attributes"),
        }
    }
}

/// A flat price list, checked and indexed.
#[derive(Debug)]
pub(super) struct GoodsList {
    pub(super) file: SourceFile,
    pub(super) columns: Columns,
    pub(super) rows: Vec<Row>,
    /// Every attribute value of the list once.
    pub(super) pairs: Vec<(Attr, Value)>,
    /// The pairs of all rows, one row after the other.
    pub(super) said: Vec<u32>,
    pub(super) families: Vec<Family>,
    /// Rows of a family that have a pair, ascending.
    pub(super) index: QuickMap<(u32, u32), Vec<u32>>,
    /// Hash of the number's letters and digits → row, in order.
    pub(super) numbers: Vec<(u64, u32)>,
    pub(super) groups: Vec<Arc<str>>,
    /// Its prices are net.
    pub(super) net: bool,
}

impl GoodsList {
    /// The attribute values of a row.
    pub(super) fn pairs_of(&self, row: &Row) -> impl Iterator<Item = (u32, &(Attr, Value))> {
        let from = row.said.0 as usize;
        let own = self.said.get(from..from + usize::from(row.said.1)).unwrap_or_default();
        own.iter().filter_map(|pair| Some((*pair, self.pairs.get(*pair as usize)?)))
    }

    /// The value that a row has of an attribute, as an index of `pairs`.
    pub(super) fn said_of(&self, row: &Row, attr: Attr) -> Option<u32> {
        self.pairs_of(row).find(|(_, (own, _))| *own == attr).map(|(pair, _)| pair)
    }

    /// The attributes of a row.
    pub(super) fn attributes(&self, row: &Row) -> Attributes {
        self.pairs_of(row).map(|(_, (attr, value))| (*attr, value.clone())).collect()
    }

    /// The value of a pair.
    pub(super) fn value(&self, pair: u32) -> Option<&Value> {
        self.pairs.get(pair as usize).map(|(_, value)| value)
    }

    /// Where a row stands.
    pub(super) fn entry(&self, row: &Row) -> Entry {
        Entry { file: self.file.name.clone(), line: row.line }
    }

    /// The discount group of a row.
    pub(super) fn group(&self, row: &Row) -> Option<&str> {
        self.groups.get(usize::from(row.group)).map(|group| &**group).filter(|group| !group.is_empty())
    }

    /// What a discount looks at.
    pub(super) fn sold<'a>(&'a self, family: &'a Family, row: &Row) -> Sold<'a> {
        Sold { line: &family.id, maker: &family.maker, category: family.category, group: self.group(row) }
    }

    /// The discount chain of a row; none where the list is net or no discount is for it.
    pub(super) fn discount<'a>(
        &self,
        book: &'a Book,
        family: &Family,
        row: &Row,
        class: Option<&str>,
    ) -> Option<&'a super::book::Discount> {
        if self.net { None } else { book.discount(&self.sold(family, row), class) }
    }

    /// What a family varies in: attribute and values in words.
    pub(super) fn varies(&self, family: &Family) -> Vec<(&'static str, String)> {
        let words =
            |pairs: &[u32]| super::source::listed(pairs.iter().filter_map(|p| self.value(*p)).map(|v| shown(Some(v))));
        family.values.iter().map(|(attr, pairs)| (attr.name(), words(pairs))).collect()
    }

    /// Discount groups without any discount, and how many goods each has.
    pub(super) fn without_discount(&self, book: &Book) -> Vec<(String, usize)> {
        let mut without: BTreeMap<String, usize> = BTreeMap::new();
        if self.net {
            return Vec::new();
        }
        let mut known: HashMap<(u32, u16), bool> = HashMap::new();
        for row in &self.rows {
            let Some(family) = self.families.get(row.family as usize) else { continue };
            let has = *known
                .entry((row.family, row.group))
                .or_insert_with(|| book.discount(&self.sold(family, row), None).is_some());
            if !has {
                *without.entry(self.group(row).unwrap_or("no group").to_owned()).or_default() += 1;
            }
        }
        without.into_iter().collect()
    }
}
