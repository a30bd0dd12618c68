//! First page of the estimate: what the bid comes to, the rates and charges that may be changed, and what it all stands
//! on: questions, lines without a price, assumptions, what was left out, catalog, inputs.

use rust_decimal::Decimal;

use super::goods::{Goods, at};
use super::page::{Cell, Page, address, fixed, quoted};
use super::questions::{BY, ON};
use super::rates::Rates;
use super::style::{
    CELL, COUNT, DIFFERENCE, ENTRY_MONEY, ENTRY_PERCENT, ENTRY_TEXT, Ink, LABEL, LINK, MONEY, PERCENT, PROSE, QUIET,
    SECTION, SUBTITLE, Side, Style, TITLE, TOTAL, TOTAL_MONEY, WORDS,
};
use super::words::{command, counted, long_date, questions, rounding, sentence};
use crate::complete::spec::{Spec, Status};
use crate::complete::told::What;
use crate::finding::Kind;
use crate::price::quote::{Charge, ChargeKind, Quote};
use crate::price::views;

/// Name of the page.
pub const NAME: &str = "The bid";
/// What its title begins with; the name of the job follows.
pub const HEADED: &str = "Estimate";

/// Heading of the rates; the rows under it are read again, by these words.
pub const RATES: &str = "Rates: change them here and the whole workbook follows, and so does the next run";
/// Columns of who typed a rate over, and when.
pub const BY_COLUMN: usize = 4;
/// See `BY_COLUMN`.
pub const ON_COLUMN: usize = 5;
/// The rates and sums that have one name whatever the job.
pub const NAMED: [(&str, &str); 7] = [
    (FREIGHT_RATE, "freight_rate"),
    (TAX_RATE, "tax_rate"),
    (BOND_RATE, "bond_rate"),
    (FLOOR_MARGIN, "floor_margin"),
    (FREIGHT_SUM, "freight_sum"),
    (FREIGHT_PER_POUND, "freight_per_pound"),
    (FREIGHT_FREE_ABOVE, "freight_free_above"),
];
/// Those of them that are sums of money.
pub const SUMS: [&str; 3] = ["freight_sum", "freight_per_pound", "freight_free_above"];
const FREIGHT_RATE: &str = "Freight, of goods";
const TAX_RATE: &str = "Tax, of the taxed part";
const BOND_RATE: &str = "Bond or fee, of goods";
const FLOOR_MARGIN: &str = "Lowest margin, warned about below";
const FREIGHT_SUM: &str = "Freight, fixed sum";
const FREIGHT_PER_POUND: &str = "Freight, a pound";
const FREIGHT_FREE_ABOVE: &str = "Freight is free from this sum of goods";

/// Shown only where there are some.
const IN_WORDS: &str = "Answers in words, to carry out: in the schedule, or typed over on Priced goods";
/// Questions and lines shown of each kind; all of them are on their own pages.
const SHOWN: usize = 8;

/// The page under construction, and the names it gives.
struct Bid<'a> {
    quote: &'a Quote,
    goods: &'a Goods,
    page: Page,
    names: Vec<(String, String)>,
}

/// The page and the defined names.
pub fn page(quote: &Quote, rates: &Rates, goods: &Goods, answered: Option<String>) -> (Page, Vec<(String, String)>) {
    let mut bid = Bid { quote, goods, page: Page::new(NAME, &[60, 14, 15, 23, 12, 11]), names: Vec::new() };
    bid.head();
    bid.figures(answered);
    bid.rates(rates);
    bid.questions();
    bid.unpriced();
    bid.standing();
    bid.page.print.last_column = Some(5);
    bid.page.print.footer = "Internal: not for the customer".to_owned();
    (bid.page, bid.names)
}

impl Bid<'_> {
    fn name(&mut self, name: &str, row: usize) {
        self.names.push((name.to_owned(), format!("{}!{}", quoted(NAME), fixed(row, 1))));
    }

    fn section(&mut self, words: &str) {
        self.page.skip();
        self.page.push(vec![Cell::text(words, SECTION).across(6)]);
    }

    fn head(&mut self) {
        let job = &self.quote.terms.job;
        let title = if job.name.is_empty() { HEADED.to_owned() } else { format!("{HEADED}: {}", job.name) };
        self.page.push(vec![Cell::text(title, TITLE).across(6)]);
        let mut words = vec![format!("Internal, shows cost. {}", long_date(&self.quote.date))];
        for (label, of) in [("number", &job.number), ("customer", &job.customer), ("estimator", &job.estimator)] {
            if !of.is_empty() {
                words.push(format!("{label} {of}"));
            }
        }
        self.page.push(vec![Cell::text(words.join(" · "), SUBTITLE).across(6)]);
        let next = format!(
            "Answer on Questions, change boxed cells here and on Priced goods, save, close, and run: {}",
            command(self.quote)
        );
        self.page.push(vec![Cell::text(next, PROSE).across(6)]);
    }

    fn figures(&mut self, answered: Option<String>) {
        self.section("What the bid comes to");
        let totals = &self.quote.totals;
        let sum = format!("=SUM({})", self.goods.column(at::EXTENDED));
        let whole = views::lump(self.quote);
        let words = "Goods: lines and additions";
        let goods = self.page.push(vec![Cell::text(words, LABEL), Cell::formula(sum, whole.decimal(), MONEY)]);
        self.name("goods_total", goods);
        let mut below = goods;
        for charge in self.quote.charges.iter().filter(|charge| charge.kind != ChargeKind::Rounding) {
            let formula = self.charge(charge, (goods, below));
            let amount = match formula {
                Some(formula) => Cell::formula(formula, charge.amount.decimal(), MONEY),
                // An allowance is changed in the job terms: it has no cell that the next run takes up.
                None => Cell::money(charge.amount, MONEY),
            };
            below = self.page.push(vec![Cell::text(charge.words.as_str(), LABEL), amount]);
            if charge.kind == ChargeKind::Freight {
                self.name("freight_total", below);
            }
        }
        let sum = format!("=SUM({}:{})", address(goods, 1), address(below, 1));
        let words = format!("Total {}", self.quote.catalog.currency);
        let total = self
            .page
            .push(vec![Cell::text(words.trim_end(), TOTAL), Cell::formula(sum, totals.total.decimal(), TOTAL_MONEY)]);
        self.name("bid_total", total);
        for (words, exposure) in [
            ("If every open question goes the cheap way", totals.exposure_low),
            ("If every open question goes the dear way", totals.exposure_high),
        ] {
            let formula = format!("=bid_total+({})", (exposure - totals.total).decimal());
            self.page.push(vec![Cell::text(words, LABEL), Cell::formula(formula, exposure.decimal(), MONEY)]);
        }
        if let Some(effects) = answered {
            let words = "With the answers picked so far on Questions";
            let formula = format!("=bid_total+SUM({effects})");
            self.page.push(vec![
                Cell::text(words, LABEL),
                Cell::formula(formula, totals.total.decimal(), MONEY),
                Cell::text("near enough; the next run reckons it exactly", QUIET.indent(1)).across(4),
            ]);
        }
        let cost = format!("=SUM({})", self.goods.column(at::COST));
        let row = self
            .page
            .push(vec![Cell::text("Net cost of the goods", LABEL), Cell::formula(cost, totals.cost.decimal(), MONEY)]);
        let margin = (whole - totals.cost).decimal().checked_div(whole.decimal()).unwrap_or_default();
        self.page.push(vec![
            Cell::text("Margin on the goods", LABEL),
            Cell::formula(format!("=IF(goods_total=0,0,1-{}/goods_total)", address(row, 1)), margin, PERCENT),
        ]);
    }

    /// The formula of a charge; `None` where it is a sum that may be typed over.
    fn charge(&self, charge: &Charge, (goods, below): (usize, usize)) -> Option<String> {
        let terms = &self.quote.terms;
        match charge.kind {
            ChargeKind::Freight => {
                let freight = &terms.freight;
                let plain = if freight.rate.is_some() {
                    "ROUND(goods_total*freight_rate,2)".to_owned()
                } else if freight.sum.is_some() {
                    "freight_sum".to_owned()
                } else if freight.per_pound.is_some() {
                    let (used, weight) = (self.goods.column(at::USED), self.goods.column(at::WEIGHT));
                    format!("ROUND(SUMPRODUCT({used},{weight})*freight_per_pound,2)")
                } else {
                    "0".to_owned()
                };
                Some(match freight.free_above {
                    Some(_) => format!("=IF(goods_total>=freight_free_above,0,{plain})"),
                    None => format!("={plain}"),
                })
            }
            ChargeKind::Bond => Some("=ROUND(goods_total*bond_rate,2)".to_owned()),
            ChargeKind::Tax => {
                let (taxed, sum) = (self.goods.column(at::TAXED), self.goods.column(at::EXTENDED));
                let has_freight = self.names.iter().any(|(name, _)| name == "freight_total");
                let freight = if terms.tax.on_freight && has_freight { "+freight_total" } else { "" };
                Some(format!("=ROUND((SUMIF({taxed},\"yes\",{sum}){freight})*tax_rate,2)"))
            }
            ChargeKind::RoundUp => {
                let sum = format!("SUM({}:{})", address(goods, 1), address(below, 1));
                Some(format!("=ROUND(ROUNDUP(ROUND({sum},2),0)-{sum},2)"))
            }
            ChargeKind::Allowance | ChargeKind::Rounding => None,
        }
    }

    fn rates(&mut self, rates: &Rates) {
        self.section(RATES);
        let right = QUIET.side(Side::Right);
        let titles =
            [("", QUIET), ("Rate or sum", right), ("In the job terms", right), ("", QUIET), (BY, QUIET), (ON, QUIET)];
        self.page.push(titles.map(|(words, style)| Cell::text(words, style)).into());
        for (name, words, rate, is_margin) in rates.each() {
            let how = if is_margin { "sell = net / (1 - rate)" } else { "sell = net x (1 + rate)" };
            let key = super::rates::key(words);
            self.rate(&name, words, &key, (rate, ENTRY_PERCENT, PERCENT), how);
        }
        let terms = self.quote.terms.clone();
        for (name, words, rate) in [
            ("freight_rate", FREIGHT_RATE, terms.freight.rate),
            ("tax_rate", TAX_RATE, terms.tax.rate),
            ("bond_rate", BOND_RATE, terms.price.bond),
            ("floor_margin", FLOOR_MARGIN, terms.price.floor_margin),
        ] {
            if let Some(rate) = rate {
                self.rate(name, words, name, (rate.fraction(), ENTRY_PERCENT, PERCENT), "");
            }
        }
        for (name, words, amount) in [
            ("freight_sum", FREIGHT_SUM, terms.freight.sum),
            ("freight_per_pound", FREIGHT_PER_POUND, terms.freight.per_pound),
            ("freight_free_above", FREIGHT_FREE_ABOVE, terms.freight.free_above),
        ] {
            if let Some(amount) = amount {
                self.rate(name, words, name, (amount.0, ENTRY_MONEY, MONEY), "");
            }
        }
    }

    fn rate(&mut self, name: &str, words: &str, key: &str, (now, entry, plain): (Decimal, Style, Style), how: &str) {
        let mut typed = self.quote.answers.typed.iter().rev();
        let told = typed.find(|one| one.what == What::Rate && one.line.words == key);
        let was = told.and_then(|one| one.was.parse().ok());
        let entry_text = |words: &str| {
            if words.is_empty() { Cell::blank(ENTRY_TEXT) } else { Cell::text(words, ENTRY_TEXT) }
        };
        let row = self.page.push(vec![
            Cell::text(words, LABEL),
            Cell::number(now, entry),
            Cell::number(was.unwrap_or(now), plain.ink(Ink::Quiet)),
            Cell::text(how, QUIET.indent(1)),
            entry_text(told.map_or("", |one| &one.by)),
            entry_text(told.map_or("", |one| &one.on)),
        ]);
        self.name(name, row);
    }

    fn questions(&mut self) {
        let questions = questions(&self.quote.job.findings);
        if questions.is_empty() {
            return;
        }
        self.section("Open questions, life safety first, then by money: cheapest and dearest answer");
        for finding in questions.iter().take(SHOWN) {
            let (low, high) = finding.extremes();
            let set = finding.set.as_ref().map(|set| format!("Set {set}: ")).unwrap_or_default();
            self.page.push(vec![
                Cell::text(format!("{set}{}", sentence(&finding.says)), WORDS),
                Cell::money(low, DIFFERENCE),
                Cell::money(high, DIFFERENCE),
                Cell::text(
                    format!("priced as: {}", if finding.priced_as.is_empty() { "nothing" } else { &finding.priced_as }),
                    QUIET.indent(1),
                )
                .across(3),
            ]);
        }
        let words = format!("All {} are on the page Questions", questions.len());
        self.page.push(vec![Cell::link("Questions", 0, 0, words)]);
    }

    fn unpriced(&mut self) {
        let quote = self.quote;
        let without: Vec<(&str, &Spec)> = quote
            .job
            .sets
            .iter()
            .flat_map(|set| set.specs.iter().map(|spec| (set.id.as_str(), spec)))
            .filter(|(_, spec)| matches!(spec.status, Status::Unpriced | Status::Unread))
            .collect();
        let added = super::unpriced::added(quote);
        if without.is_empty() && added.is_empty() {
            return;
        }
        self.section("Lines without a price, not in the total");
        for (set, spec) in without.iter().take(SHOWN) {
            let doors = super::unpriced::doors_alone(quote, spec);
            let alone = doors.map_or(String::new(), |doors| format!(" (at {doors} alone; it has a price elsewhere)"));
            let words = format!("Set {set}: {}{alone}", spec.wording.text);
            let near =
                spec.selection.near.first().map(|(good, against)| format!("nearest: {}; {against}", good.description));
            self.page.push(vec![
                Cell::text(words, WORDS),
                Cell::text(near.map_or(spec.status.word().to_owned(), |near| sentence(&near)), QUIET).across(5),
            ]);
        }
        if without.len() > SHOWN {
            let words = format!("and {} more on the page Priced goods", without.len() - SHOWN);
            self.page.push(vec![Cell::text(words, LINK)]);
        }
        for (words, near) in added {
            self.page.push(vec![Cell::text(words, WORDS), Cell::text(near, QUIET).across(5)]);
        }
    }

    /// Counts, catalog, inputs.
    fn standing(&mut self) {
        let quote = self.quote;
        let job = &quote.job;
        self.section("What it stands on");
        let of =
            |status: Status| job.sets.iter().flat_map(|set| &set.specs).filter(|spec| spec.status == status).count();
        let kinds = |kind: Kind| job.findings.iter().filter(|finding| finding.kind == kind).count();
        let told = quote.answers.questions.len() + quote.answers.typed.len();
        let left_out = job.schedule.openings.iter().filter(|opening| opening.excluded.is_some()).count();
        let waiting = super::words::in_words(&job.findings);
        for (words, number, page) in [
            ("Open questions", kinds(Kind::Question), "Questions"),
            ("Assumptions", kinds(Kind::Assumption), "Assumptions and notes"),
            ("Answers given, figures typed over", told, super::told_page::NAME),
            (IN_WORDS, waiting, super::told_page::NAME),
            ("Items added that the schedule implies", job.added.len(), "Added"),
            ("Lines left out: by others, existing, not in contract", of(Status::Excluded), super::goods::NAME),
            ("Openings left out: by others, existing, not in contract", left_out, "Openings"),
            ("Rows of the files, each with its role", job.schedule.ledger.len(), "Rows read"),
        ] {
            if words == IN_WORDS && number == 0 {
                continue;
            }
            self.page.push(vec![
                Cell::text(words, WORDS),
                Cell::number(Decimal::from(number), COUNT),
                Cell::link(page, 0, 0, page).indented().across(4),
            ]);
        }
        let catalog = format!("{}, prices of {}", quote.catalog.name, quote.catalog.effective);
        self.page.push(vec![Cell::text("Catalog", LABEL), Cell::text(catalog, CELL).across(5)]);
        self.page
            .push(vec![Cell::text("Rounding", LABEL), Cell::text(rounding(quote.terms.price.round), CELL).across(5)]);
        let addenda = if quote.terms.job.addenda.is_empty() {
            "none received".to_owned()
        } else {
            quote.terms.job.addenda.join(", ")
        };
        self.page.push(vec![Cell::text("Addenda", LABEL), Cell::text(addenda, CELL).across(5)]);
        for input in &job.schedule.inputs {
            self.page.push(vec![
                Cell::text(format!("Read from {}", input.file), LABEL),
                Cell::text(format!("SHA-256 {}", input.sha256), CELL.ink(Ink::Quiet).size(8)).across(5),
            ]);
        }
        let read = format!(
            "{}, {}",
            counted(job.schedule.openings.len(), "opening", "openings"),
            counted(job.sets.len(), "set", "sets")
        );
        self.page.push(vec![Cell::text("Read", LABEL), Cell::text(read, CELL).across(5)]);
        self.page.skip();
        self.page.push(vec![
            Cell::text(
                "Fire, egress, accessibility and low-voltage findings are flags, not certificates: the authority having jurisdiction, the listing and licensed practice decide.",
                QUIET,
            )
            .across(6),
        ]);
    }
}
