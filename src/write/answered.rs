//! Reads back what a person filled in: the cells that this room marked for it, found by the names of pages and the
//! headings of columns, so that moved columns and added rows do no harm. Cells left as they were say nothing.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::answered_rows::{is_exclude, is_out, row_good, unlike_rows};
use super::goods::{self, at};
use super::looks::CUT;
use super::questions;
use super::{answered_rates, beside_typed, told_page};
use crate::complete::Answers;
use crate::complete::told::{LineName, Scope, Told, Typed, What, plain_words, same_words};
use crate::place::column_letter;
use crate::read::Cells;
use crate::understand::reading::Unit;

/// What came back.
#[derive(Debug, Clone, Default)]
pub struct Back {
    /// What was told.
    pub answers: Answers,
    /// Whether the workbook is an estimate, which shows all that was told so far; else it only adds to it.
    pub is_whole: bool,
    /// The name of the job, where the title of a page has one.
    pub job: Option<String>,
}

/// Reads the sheets of a workbook.
///
/// # Errors
/// Every cell that cannot be an answer, each with its place and what to write instead; or that nothing in it is a page of
/// this program.
pub fn answers(sheets: &[Cells]) -> Result<Back, String> {
    let mut back = Back::default();
    let mut wrong = Vec::new();
    let mut known = false;
    back.job = sheets.iter().find_map(job_of);
    for sheet in sheets {
        if let Some(table) = Table::find(sheet, &[questions::ANSWER, questions::ID]) {
            known = true;
            asked(&table, &mut back.answers, &mut wrong);
        }
        if let Some(table) = Table::find(sheet, &PRICED) {
            known = true;
            back.is_whole = true;
            priced(&table, &mut back.answers, &mut wrong);
        }
        if let Some(table) = Table::find(sheet, &[told_page::HEADINGS[told_page::at::WITHDRAW]]) {
            known = true;
            told(&table, &mut back.answers, &mut wrong);
        }
        answered_rates::rates(sheet, &mut back.answers, &mut wrong);
    }
    let file = sheets.first().map(|sheet| sheet.file.clone()).unwrap_or_default();
    if !known {
        return Err(format!(
            "{file}: no page of an estimate or a list of questions is in it\n  \
             help: give the estimate.xlsx or questions.xlsx that `pintle quote` wrote, filled in and saved as xlsx or ods"
        ));
    }
    if !wrong.is_empty() {
        return Err(format!(
            "{file}: {} cannot be taken up; nothing was written\n  {}",
            super::words::counted(wrong.len(), "cell", "cells"),
            wrong.join("\n  ")
        ));
    }
    for table in sheets.iter().filter_map(|sheet| Table::find(sheet, &PRICED)) {
        passed_over(&table, &mut back.answers);
    }
    back.answers
        .typed
        .sort_by(|one, other| (one.what, &one.line, &one.good).cmp(&(other.what, &other.line, &other.good)));
    Ok(back)
}

/// Headings of the priced goods.
const PRICED: [&str; 2] = [goods::HEADINGS[at::OWN_PRICE], goods::HEADINGS[at::LINE]];

/// Tells the figures of priced goods that were typed over where nothing takes them up, when the rates are known.
fn passed_over(table: &Table, answers: &mut Answers) {
    for line in table.rows().filter(|line| !line.text(goods::HEADINGS[at::LINE]).is_empty()) {
        let text = |column: usize| line.text(goods::HEADINGS[column]).to_owned();
        for column in beside_typed::columns(&text, &answers.typed) {
            answers.beside.push(beside_typed::says(&line.place(goods::HEADINGS[column]), column, &text(column)));
        }
    }
}

/// The name of the job in the title of a page, which stands in one of its first cells.
fn job_of(sheet: &Cells) -> Option<String> {
    let title = sheet.rows.first()?.1.values().next()?.trim();
    let name = [super::bid::HEADED, super::asked::HEADED].iter().find_map(|before| title.strip_prefix(before))?;
    Some(name.strip_prefix(':')?.trim().to_owned()).filter(|name| !name.is_empty())
}

/// A table of a sheet: where each heading stands, and the rows under them.
pub(super) struct Table<'a> {
    sheet: &'a Cells,
    columns: BTreeMap<String, usize>,
    first: usize,
}

impl<'a> Table<'a> {
    /// The table whose headings hold all of `wanted`.
    fn find(sheet: &'a Cells, wanted: &[&str]) -> Option<Self> {
        let first = sheet
            .rows
            .iter()
            .take(40)
            .position(|(_, row)| wanted.iter().all(|wanted| row.values().any(|text| same_words(text, wanted))))?;
        let columns = sheet.rows[first].1.iter().map(|(column, text)| (plain_words(text), *column)).collect();
        Some(Self { sheet, columns, first: first + 1 })
    }

    fn rows(&self) -> impl Iterator<Item = Line<'_>> {
        self.sheet.rows[self.first..].iter().map(|(number, cells)| Line { table: self, number: *number, cells })
    }
}

/// One row of a table.
pub(super) struct Line<'a> {
    table: &'a Table<'a>,
    pub(super) number: u32,
    cells: &'a BTreeMap<usize, String>,
}

impl Line<'_> {
    pub(super) fn text(&self, heading: &str) -> &str {
        let column = self.table.columns.get(&plain_words(heading));
        column.and_then(|column| self.cells.get(column)).map_or("", |text| text.trim())
    }

    /// `Priced goods!U12: `.
    pub(super) fn place(&self, heading: &str) -> String {
        let column = self.table.columns.get(&plain_words(heading)).copied().unwrap_or_default();
        format!("{}!{}{}", self.table.sheet.name, column_letter(column), self.number)
    }

    /// The name of the priced line that it is of.
    fn name(&self) -> LineName {
        let text = |column: usize| self.text(goods::HEADINGS[column]);
        let nth = text(at::NTH).parse().unwrap_or_default();
        LineName { set: text(at::SET).to_owned(), words: text(at::LINE).to_owned(), nth }
    }

    /// The answer of the row, with what tells to which question it was given.
    fn told(&self, answer: &str, wording: &str, wrong: &mut Vec<String>) -> Told {
        let text = |heading: &str| self.text(heading).to_owned();
        let doors = [questions::DOORS, questions::OPENINGS].map(|heading| self.text(heading));
        // Of a list that was cut it is not known which doors it names: none are told, and the answer is for all.
        let whole = doors.iter().all(|doors| !doors.ends_with(CUT.trim_start()));
        let doors = doors
            .iter()
            .filter(|_| whole)
            .flat_map(|doors| doors.split(','))
            .map(str::trim)
            .filter(|door| !door.is_empty());
        Told {
            answer: answer.to_owned(),
            scope: self.scope(wrong),
            code: text(questions::CODE),
            attribute: text(questions::ATTRIBUTE),
            wording: text(wording),
            by: text(questions::BY),
            on: text(questions::ON),
            doors: doors.map(str::to_owned).collect(),
        }
    }

    fn scope(&self, wrong: &mut Vec<String>) -> Scope {
        let text = self.text(questions::APPLIES);
        Scope::parse(text).unwrap_or_else(|| {
            let choices = Scope::ALL.map(Scope::word).join("; ");
            wrong.push(format!(
                "{}: \"{text}\" does not say how far it applies; write one of: {choices}",
                self.place(questions::APPLIES)
            ));
            Scope::This
        })
    }
}

/// A number as a person types it; a per cent becomes a fraction.
pub(super) fn number(text: &str) -> Option<Decimal> {
    let plain = crate::money::ungrouped(&text.trim().trim_start_matches('$').replace(' ', ""))?;
    let (plain, percent) = plain.strip_suffix('%').map_or((plain.as_str(), false), |rest| (rest, true));
    let number = Decimal::from_str_exact(plain).or_else(|_| Decimal::from_scientific(plain)).ok()?;
    Some(if percent { number / Decimal::ONE_HUNDRED } else { number }.normalize())
}

/// Answers on a page of questions.
fn asked(table: &Table, answers: &mut Answers, wrong: &mut Vec<String>) {
    for line in table.rows() {
        let id = line.text(questions::ID);
        if id.is_empty() {
            continue;
        }
        if let Some(number) = line.text(questions::NUMBER).parse::<u32>().ok().filter(|number| *number > 0) {
            answers.numbers.insert(id.to_owned(), number);
        }
        let answer = line.text(questions::ANSWER);
        if answer.is_empty() {
            continue;
        }
        let told = line.told(answer, questions::WORDING, wrong);
        answers.questions.insert(id.to_owned(), told);
    }
}

/// Answers in force, and figures kept aside.
fn told(table: &Table, answers: &mut Answers, wrong: &mut Vec<String>) {
    let heading = |column: usize| told_page::HEADINGS[column];
    for line in table.rows() {
        let id = line.text(questions::ID).to_owned();
        let number = line.text(questions::NUMBER).parse::<u32>();
        if let (Ok(number), false) = (number, id.is_empty()) {
            answers.numbers.insert(id.clone(), number);
        }
        let kind = line.text(heading(told_page::at::KIND));
        let answer = line.text(heading(told_page::at::ANSWER));
        if !line.text(heading(told_page::at::WITHDRAW)).is_empty() || answer.is_empty() {
            continue;
        }
        let told = line.told(answer, heading(told_page::at::WORDING), wrong);
        if kind == told_page::ANSWER && !id.is_empty() {
            answers.questions.entry(id).or_insert(told);
        } else if kind == told_page::TYPED {
            let word = line.text(heading(told_page::at::WHAT));
            let all = [What::Each, What::Quantity, What::Price, What::Good, What::LeaveOut];
            let Some(what) = all.into_iter().find(|what| what.word() == word) else { continue };
            let nth = line.text(heading(told_page::at::NTH)).parse().unwrap_or_default();
            answers.typed.push(Typed {
                what,
                line: LineName { set: line.text(heading(told_page::at::SET)).to_owned(), words: told.wording, nth },
                good: line.text(heading(told_page::at::GOOD)).to_owned(),
                value: answer.to_owned(),
                was: line.text(heading(told_page::at::WAS)).to_owned(),
                scope: told.scope,
                by: told.by,
                on: told.on,
            });
        }
    }
}

/// Figures typed over in priced lines.
fn priced(table: &Table, answers: &mut Answers, wrong: &mut Vec<String>) {
    let heading = |column: usize| goods::HEADINGS[column];
    let by_number: BTreeMap<u32, Line> = table.rows().map(|line| (line.number, line)).collect();
    let mut rows_of: BTreeMap<LineName, Vec<u32>> = BTreeMap::new();
    for (number, line) in &by_number {
        rows_of.entry(line.name()).or_default().push(*number);
    }
    for line in table.rows() {
        if line.text(heading(at::LINE)).is_empty() {
            continue;
        }
        let name = line.name();
        let rows = rows_of.get(&name).into_iter().flatten().filter_map(|number| by_number.get(number));
        let rows: Vec<&Line> = rows.collect();
        let row = row_good(&line, &rows);
        unlike_rows(&line, &rows, wrong);
        let applies = line.text(heading(at::APPLIES));
        // What only repeats another row says nothing of its own.
        let from = applies.strip_prefix(super::typed_cells::FROM_ROW).and_then(|row| row.trim().parse::<u32>().ok());
        let repeated = from.and_then(|row| by_number.get(&row));
        let repeats = |column: usize| {
            repeated.is_some_and(|other| {
                let (here, there) = (line.text(heading(column)), other.text(heading(column)));
                same_words(here, there) || (number(here).is_some() && number(here) == number(there))
            })
        };
        let scope = if from.is_some() { Scope::This } else { line.scope(wrong) };
        let mut cells = Entered { line: &line, name, row, scope, wrong, typed: Vec::new() };
        cells.each();
        if !repeats(at::OWN_QUANTITY) {
            cells.quantity();
        }
        if !repeats(at::OWN_PRICE) {
            cells.price();
        }
        if !repeats(at::OWN_GOOD) {
            cells.good();
        }
        if !repeats(at::LEAVE_OUT) {
            cells.leave_out();
        }
        for one in cells.typed {
            let is_known = |old: &Typed| {
                old.what == one.what
                    && old.line == one.line
                    && (!one.what.is_of_row() || old.good == one.good)
                    && (one.what != What::Quantity || old.was == one.was)
            };
            if !answers.typed.iter().any(is_known) {
                answers.typed.push(one);
            }
        }
    }
}

/// Said of a part of goods that come whole.
const PART: &str = "is no whole number, and the goods come whole; write a whole number, or your own price";

/// The filled-in cells of one row.
struct Entered<'a> {
    line: &'a Line<'a>,
    name: LineName,
    /// The good that a row left out names.
    row: String,
    scope: Scope,
    wrong: &'a mut Vec<String>,
    typed: Vec<Typed>,
}

impl Entered<'_> {
    fn text(&self, column: usize) -> &str {
        self.line.text(goods::HEADINGS[column])
    }

    fn refuse(&mut self, column: usize, why: &str) {
        let text = self.text(column).to_owned();
        self.wrong.push(format!("{}: \"{text}\" {why}", self.line.place(goods::HEADINGS[column])));
    }

    fn push(&mut self, what: What, column: usize, value: String, was: String) {
        if self.scope == Scope::Job && !matches!(what, What::Price | What::Good) {
            self.refuse(
                column,
                "cannot apply to the whole job; only a price or a good can. Write: same wording; this one",
            );
            return;
        }
        let picked = self.text(at::OWN_GOOD);
        let is_of_good = matches!(what, What::Price | What::Quantity) && !picked.is_empty();
        let good = match what {
            What::Each | What::Rate => "",
            What::LeaveOut => &self.row,
            _ if is_of_good => picked,
            _ => self.text(at::WAS_GOOD),
        }
        .to_owned();
        let by = self.text(at::BY).to_owned();
        let on = self.text(at::ON).to_owned();
        self.typed.push(Typed { what, line: self.name.clone(), good, value, was, scope: self.scope, by, on });
    }

    /// Whether a quantity takes a part of goods that come whole.
    fn is_part(&self, quantity: Decimal) -> bool {
        let unit = self.line.text(goods::HEADINGS[at::UNIT]);
        !quantity.fract().is_zero() && [Unit::Each, Unit::Set].iter().any(|whole| whole.word() == unit)
    }

    /// A quantity for each leaf or opening that is not as it was read.
    fn each(&mut self) {
        let (now, was) = (number(self.text(at::EACH)), number(self.text(at::WAS_EACH)));
        match (now, was) {
            (Some(now), Some(was)) if now != was => {
                if now < Decimal::ZERO {
                    self.refuse(at::EACH, "is no quantity");
                } else if self.is_part(now) {
                    self.refuse(at::EACH, PART);
                } else {
                    self.push(What::Each, at::EACH, now.to_string(), was.to_string());
                }
            }
            (None, Some(_)) if !self.text(at::EACH).is_empty() => {
                self.word_or_refuse(at::EACH, "is no quantity; write a number, or x in Leave out");
            }
            _ => {}
        }
    }

    fn quantity(&mut self) {
        match number(self.text(at::OWN_QUANTITY)) {
            Some(quantity) if self.is_part(quantity) => self.refuse(at::OWN_QUANTITY, PART),
            Some(quantity) if quantity >= Decimal::ZERO => {
                let was = number(self.text(at::WAS_QUANTITY)).unwrap_or_default();
                self.push(What::Quantity, at::OWN_QUANTITY, quantity.to_string(), was.to_string());
            }
            None if self.text(at::OWN_QUANTITY).is_empty() => {}
            _ => self.word_or_refuse(at::OWN_QUANTITY, "is no quantity; write a number, or x in Leave out"),
        }
    }

    fn price(&mut self) {
        match number(self.text(at::OWN_PRICE)) {
            Some(price) if price >= Decimal::ZERO => {
                self.push(What::Price, at::OWN_PRICE, price.to_string(), String::new());
            }
            None if self.text(at::OWN_PRICE).is_empty() => {}
            _ => self.word_or_refuse(at::OWN_PRICE, "is no price; write an amount such as 1234.50, or x in Leave out"),
        }
    }

    /// `exclude` typed over a figure leaves the line out; any other word is refused.
    fn word_or_refuse(&mut self, column: usize, why: &str) {
        if is_exclude(self.text(column)) {
            self.push(What::LeaveOut, column, "x".to_owned(), String::new());
        } else {
            self.refuse(column, why);
        }
    }

    fn good(&mut self) {
        let good = self.text(at::OWN_GOOD).to_owned();
        if is_exclude(&good) {
            self.push(What::LeaveOut, at::OWN_GOOD, "x".to_owned(), String::new());
        } else if !good.is_empty() {
            self.push(What::Good, at::OWN_GOOD, good, String::new());
        }
    }

    fn leave_out(&mut self) {
        let text = self.text(at::LEAVE_OUT).to_lowercase();
        if is_out(&text) {
            self.push(What::LeaveOut, at::LEAVE_OUT, "x".to_owned(), String::new());
        } else if !text.is_empty() && !["no", "n", "0", "keep", "false"].contains(&text.as_str()) {
            self.refuse(at::LEAVE_OUT, "is neither x nor empty");
        }
    }
}
