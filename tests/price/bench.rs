//! Hand-made jobs for the pricing tests: openings, one set after another, goods with a list price and a chain.
#![allow(dead_code, reason = "each file of tests uses a part of these")]

use std::sync::Arc;

use pintle::catalog::good::{Candidate, Entry, Good, ListPrice, Per, Selection};
use pintle::complete::spec::{Completed, CompletedSet, Spec, Status};
use pintle::finding::LineId;
use pintle::money::Money;
use pintle::place::Place;
use pintle::read::schedule::{Basis, Opening, Schedule, Wording};
use pintle::trade::category::Category;
use pintle::trade::rating::Rating;
use pintle::understand::reading::{Heard, Quantity, Reading, Unit};
use rust_decimal::Decimal;

pub fn dec(text: &str) -> Decimal {
    text.parse().unwrap()
}

pub fn money(text: &str) -> Money {
    text.parse().unwrap()
}

pub fn list_price(base: &str, chain: &[&str]) -> ListPrice {
    let entry = Entry { file: "prices.csv".into(), line: 1 };
    ListPrice {
        base: money(base),
        base_entry: entry.clone(),
        made_of: Vec::new(),
        adders: Vec::new(),
        per: Per::Each,
        chain: chain.iter().map(|step| dec(step)).collect(),
        chain_entry: entry,
        length: None,
        pieces: Vec::new(),
        surcharges: Vec::new(),
        pack: None,
        returnable: true,
        weight: Some(dec("1.5")),
        minimum: None,
        call_for_price: false,
        notes: Vec::new(),
    }
}

pub fn good(line: &str, maker: &str, list: ListPrice) -> Good {
    Good {
        line: line.into(),
        maker: maker.into(),
        designation: line.to_uppercase(),
        description: format!("good of {line}"),
        attributes: Default::default(),
        list,
        parts: Vec::new(),
    }
}

pub fn opening(number: &str, leaves: u32, row: u32) -> Opening {
    let (file, sheet): (Arc<str>, Arc<str>) = ("bid.xlsx".into(), "Doors".into());
    Opening {
        number: number.into(),
        leaves,
        width: None,
        height: None,
        thickness: None,
        leaf_widths: Vec::new(),
        door_material: None,
        frame_material: None,
        wall: None,
        rating: Rating::default(),
        exterior: None,
        hand: None,
        set: None,
        room: String::new(),
        remarks: String::new(),
        count: 1,
        excluded: None,
        place: Place::row(&file, &sheet, row),
    }
}

pub fn spec(set: usize, line: usize, category: Category, quantity: &str, basis: Basis, good: Option<Good>) -> Spec {
    let (file, sheet): (Arc<str>, Arc<str>) = ("bid.xlsx".into(), "Hardware".into());
    let candidates: Vec<Candidate> =
        good.into_iter().map(|good| Candidate { good, why: Vec::new(), undecided: Vec::new() }).collect();
    Spec {
        id: LineId { set, line },
        place: Place::row(&file, &sheet, (set * 100 + line + 1) as u32),
        wording: Wording::free("a line"),
        reading: Arc::new(Reading {
            category: Heard::Absent,
            quantity: Quantity::default(),
            attributes: Default::default(),
            remarks: Vec::new(),
            conditions: Vec::new(),
            unread: Vec::new(),
            ignored: Vec::new(),
            doubts: Vec::new(),
        }),
        category: Some(category),
        attributes: Default::default(),
        quantity: dec(quantity),
        unit: Unit::Each,
        basis,
        at: Default::default(),
        left_out: Default::default(),
        others: Default::default(),
        varies: Default::default(),
        status: if candidates.is_empty() { Status::Unpriced } else { Status::Settled },
        excluded: None,
        selection: Arc::new(Selection {
            candidates: candidates.into_iter().map(Arc::new).collect(),
            ..Selection::default()
        }),
        findings: Vec::new(),
    }
}

pub fn job(openings: Vec<Opening>, sets: Vec<(Vec<usize>, Vec<Spec>)>) -> Completed {
    let schedule = Schedule { openings, ..Schedule::default() };
    let place = Place::row(&"bid.xlsx".into(), &"Hardware".into(), 1);
    let sets = sets
        .into_iter()
        .enumerate()
        .map(|(index, (openings, specs))| CompletedSet {
            id: (index + 1).to_string(),
            title: String::new(),
            place: place.clone(),
            openings,
            specs,
        })
        .collect();
    Completed {
        schedule,
        sets,
        added: Vec::new(),
        findings: Vec::new(),
        preps: Vec::new(),
        typed: Vec::new(),
        names: Default::default(),
    }
}
