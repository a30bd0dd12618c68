//! Prints a book of pages as an xlsx workbook: the only file that knows the writing library. Numbers become floats
//! here and nowhere else, because the file format holds floats; each is the float nearest to the exact decimal.
#![allow(clippy::float_arithmetic, reason = "widths and picture sizes of the file format are floats")]

use std::collections::BTreeMap;

use rayon::prelude::*;
use rust_decimal::Decimal;
use rust_xlsxwriter::{
    Chart as BarChart, ChartAxisLabelPosition, ChartFont, ChartLegendPosition, ChartLine, ChartType, Color,
    ConditionalFormatFormula, DataValidation, DataValidationErrorStyle, DocProperties, ExcelDateTime, Format,
    FormatAlign, FormatBorder, FormatUnderline, Formula, Image, Note, Url, Workbook, Worksheet, XlsxError,
};

use super::looks::{LONGEST, is_bare, runs, shortened};
use super::page::{Answers, Area, Book, Cell, Chart, Choice, Content, Page, Picture, Stress};
use super::style::{Edge, Form, Ground, Ink, Side, Style};

/// How hard the parts of a workbook are squeezed: half the time of the usual 6 for an eighth more bytes.
const QUICK: u8 = 2;
/// Links that the format holds on a page.
const MOST_LINKS: usize = 60_000;
/// What is said when an answer is none offered, and where it may be in other words.
const ONLY: &str = "Pick one from the list.";
const OWN_WORDS: &str = "Pick one from the list, or keep your own words: they are kept as your answer.";
/// Breaks between printed sheets that the format holds on a page.
const MOST_BREAKS: usize = 1_023;
/// Letters used throughout, found on every system or replaced by one of the same widths.
const FONT: &str = "Arial";

/// The bytes of the workbook.
///
/// # Errors
/// What the writing library refuses, with the name of the page.
pub fn print(book: Book) -> Result<Vec<u8>, String> {
    let mut workbook = Workbook::new();
    workbook.set_zip_compression_level(QUICK);
    let properties = properties(&book).map_err(|error| format!("cannot write the date of the workbook: {error}"))?;
    workbook.set_properties(&properties);
    let (usual, high, wide) = usual();
    workbook
        .set_default_format(&usual, high, wide)
        .map_err(|error| format!("cannot set the usual letters of the workbook: {error}"))?;
    for (name, cell) in &book.names {
        workbook
            .define_name(name, &format!("={cell}"))
            .map_err(|error| format!("cannot define the name {name} in the workbook: {error}"))?;
    }
    // Pages of a large job hold hundreds of thousands of cells and know nothing of each other. Each is given up as soon as
    // the writing library holds its cells.
    let sheets: Vec<Worksheet> = book.pages.into_par_iter().map(|page| sheet(&page)).collect::<Result<_, String>>()?;
    for sheet in sheets {
        workbook.push_worksheet(sheet);
    }
    workbook.save_to_buffer().map_err(|error| format!("cannot finish the workbook: {error}"))
}

fn properties(book: &Book) -> Result<DocProperties, XlsxError> {
    Ok(DocProperties::new()
        .set_title(&book.title)
        .set_subject(&book.subject)
        .set_author(&book.company)
        .set_company(&book.company)
        .set_creation_datetime(&ExcelDateTime::parse_from_str(&book.date)?))
}

/// The usual letters of a workbook with the height of its rows and the width of its columns in pixels. Columns are measured
/// in digits of them: letters that not every system has would make columns and pictures wider in one program than another.
fn usual() -> (Format, u32, u32) {
    (Format::new().set_font_name(FONT).set_font_size(10), 20, 64)
}

/// Formats made once for each style.
#[derive(Default)]
struct Looks(BTreeMap<Style, Format>);

impl Looks {
    fn of(&mut self, style: Style) -> &Format {
        self.0.entry(style).or_insert_with(|| format(style))
    }
}

fn sheet(page: &Page) -> Result<Worksheet, String> {
    let mut sheet = Worksheet::new();
    fill(&mut sheet, page, &mut Looks::default())
        .map_err(|error| format!("cannot write page \"{}\": {error}", page.name))?;
    Ok(sheet)
}

fn fill(sheet: &mut Worksheet, page: &Page, looks: &mut Looks) -> Result<(), XlsxError> {
    let (usual, high, wide) = usual();
    sheet.set_default_format(&usual, high, wide)?;
    sheet.set_name(&page.name)?;
    sheet.set_screen_gridlines(page.grid);
    for (column, tenths) in page.widths.iter().enumerate() {
        sheet.set_column_width(short(column), f64::from(*tenths) / f64::from(10))?;
    }
    let mut links = 0;
    for (row, line) in page.rows.iter().enumerate() {
        for (column, cell) in line.cells.iter().enumerate() {
            put(sheet, (row, column), cell, looks, &mut links)?;
        }
        sheet.set_row_height(long(row), page.height(line))?;
    }
    dress(sheet, page, looks)?;
    fold(sheet, page)?;
    for choice in &page.choices {
        sheet.add_data_validation(
            long(choice.area.top),
            short(choice.area.left),
            long(choice.area.bottom),
            short(choice.area.right),
            &validation(choice)?,
        )?;
    }
    for mark in &page.marks {
        let look = Format::new().set_bold().set_background_color(ground(Ground::Attention).unwrap_or(Color::White));
        let rule = ConditionalFormatFormula::new().set_rule(mark.when.as_str()).set_format(look);
        let Area { top, left, bottom, right } = mark.area;
        sheet.add_conditional_format(long(top), short(left), long(bottom), short(right), &rule)?;
    }
    for picture in &page.pictures {
        insert(sheet, picture)?;
    }
    for chart in &page.charts {
        sheet.insert_chart(long(chart.row), short(chart.column), &bars(chart))?;
    }
    if page.freeze != (0, 0) {
        sheet.set_freeze_panes(long(page.freeze.0), short(page.freeze.1))?;
    }
    if let Some(Area { top, left, bottom, right }) = page.filter {
        sheet.autofilter(long(top), short(left), long(bottom), short(right))?;
    }
    print_setup(sheet, page)
}

/// Gives the cells that were written bare their looks, run by run: the library weighs all of a format each time it is named,
/// which costs more than the cell itself.
fn dress(sheet: &mut Worksheet, page: &Page, looks: &mut Looks) -> Result<(), XlsxError> {
    for run in runs(page) {
        let look = looks.of(run.style);
        let column = short(run.column);
        sheet.set_range_format(long(run.first), column, long(run.last), column, look)?;
        // Looks alone do not count as used cells, but the last row and column may hold nothing else.
        if run.is_edge {
            sheet.set_cell_format(long(run.last), column, look)?;
        }
    }
    Ok(())
}

/// Writes one cell, with its look unless [`is_bare`]. Text goes in as text whatever it begins with.
fn put(
    sheet: &mut Worksheet,
    (row, column): (usize, usize),
    cell: &Cell,
    looks: &mut Looks,
    links: &mut usize,
) -> Result<(), XlsxError> {
    let look = looks.of(cell.style);
    let (at, of) = (long(row), short(column));
    let is_wide = cell.across > 1;
    if is_wide {
        sheet.merge_range(at, of, at, short(column + usize::from(cell.across) - 1), "", look)?;
    }
    let mut is_dressed = false;
    match &cell.content {
        Content::Blank => is_dressed = true,
        Content::Text(text) => {
            sheet.write_string(at, of, shortened(text))?;
        }
        Content::Number(number) => {
            sheet.write_number(at, of, float(*number))?;
        }
        Content::Formula(formula, gives) => {
            sheet.write_formula(at, of, Formula::new(formula).set_result(float(*gives).to_string()))?;
        }
        Content::TextFormula(formula, gives) => {
            sheet.write_formula(at, of, Formula::new(formula).set_result(shortened(gives)))?;
        }
        Content::Marked(parts) => is_dressed = write_marked(sheet, (at, of), parts, look)?,
        Content::Link { to, text } => {
            *links += 1;
            is_dressed = *links <= MOST_LINKS && to.len() <= 2_000 && text.chars().count() <= 250;
            if is_dressed {
                sheet.write_url_with_format(at, of, Url::new(&**to).set_text(&**text), look)?;
            } else {
                sheet.write_string(at, of, shortened(text))?;
            }
        }
    }
    if !is_dressed && !is_bare(cell) {
        sheet.set_cell_format(at, of, look)?;
    }
    if let Some(note) = &cell.note {
        let note = Note::new(shortened(note)).add_author_prefix(false).set_width(320).set_height(180);
        sheet.insert_note(at, of, &note)?;
    }
    Ok(())
}

/// Writes a text of which some words stand out, with its look if it can. The format allows no empty part, and no single one.
fn write_marked(
    sheet: &mut Worksheet,
    (row, column): (u32, u16),
    parts: &[(String, Stress)],
    look: &Format,
) -> Result<bool, XlsxError> {
    let base = Format::new().set_font_name(FONT).set_font_size(10);
    let stressed = |stress: Stress| match stress {
        Stress::Plain => base.clone(),
        Stress::New => base.clone().set_bold().set_underline(FormatUnderline::Single),
        Stress::Gone => base.clone().set_font_strikethrough(),
    };
    let formats: Vec<Format> = parts.iter().map(|(_, stress)| stressed(*stress)).collect();
    let mut segments: Vec<(&Format, &str)> = formats
        .iter()
        .zip(parts)
        .filter(|(_, (text, _))| !text.is_empty())
        .map(|(format, (text, _))| (format, text.as_str()))
        .collect();
    let length: usize = segments.iter().map(|(_, text)| text.len()).sum();
    if length > LONGEST || segments.is_empty() {
        let text: String = parts.iter().map(|(text, _)| text.as_str()).collect();
        sheet.write_string(row, column, shortened(&text))?;
        return Ok(false);
    }
    if segments.len() == 1 {
        segments.push((&base, " "));
    }
    sheet.write_rich_string_with_format(row, column, &segments, look)?;
    Ok(true)
}

/// Rows that fold under the row above, and columns of workings.
fn fold(sheet: &mut Worksheet, page: &Page) -> Result<(), XlsxError> {
    sheet.group_symbols_above(true);
    let mut first = None;
    for row in 0..=page.rows.len() {
        let folds = page.rows.get(row).is_some_and(|row| row.folds);
        match (first, folds) {
            (None, true) => first = Some(row),
            (Some(from), false) => {
                sheet.group_rows(long(from), long(row - 1))?;
                first = None;
            }
            _ => {}
        }
    }
    if let Some((from, to)) = page.folded {
        sheet.group_columns_collapsed(short(from), short(to))?;
    }
    Ok(())
}

fn validation(choice: &Choice) -> Result<DataValidation, XlsxError> {
    let list = match &choice.from {
        Answers::Cells(cells) => DataValidation::new().allow_list_formula(format!("={cells}").as_str().into()),
        Answers::Words(words) => DataValidation::new().allow_list_strings(words)?,
    };
    let (title, words) = &choice.hint;
    let title: String = title.chars().take(32).collect();
    let words: String = words.chars().take(250).collect();
    let style = if choice.only { DataValidationErrorStyle::Stop } else { DataValidationErrorStyle::Information };
    let wrong = if choice.only { ONLY } else { OWN_WORDS };
    list.set_error_style(style)
        .set_input_title(title)?
        .set_input_message(words)?
        .set_error_title("Not among the answers offered")?
        .set_error_message(wrong)
}

fn insert(sheet: &mut Worksheet, picture: &Picture) -> Result<(), XlsxError> {
    let pixels = |points: u32| f64::from(points) * f64::from(96) / f64::from(72);
    let (width, height) = (pixels(picture.size.0), pixels(picture.size.1));
    let image = Image::new_from_buffer(&picture.bytes)?.set_alt_text(&picture.words);
    let image = image.set_scale_to_size(width, height, true);
    sheet.insert_image(long(picture.row), short(picture.column), &image)?;
    Ok(())
}

fn bars(chart: &Chart) -> BarChart {
    let area = |(page, area): &(String, Area)| {
        (page.clone(), long(area.top), short(area.left), long(area.bottom), short(area.right))
    };
    let mut bars = BarChart::new(ChartType::Bar);
    let (page, top, left, bottom, right) = area(&chart.labels);
    for (index, (name, numbers)) in chart.numbers.iter().enumerate() {
        let series = bars.add_series();
        series
            .set_name(name.as_str())
            .set_categories((page.as_str(), top, left, bottom, right))
            .set_values((
                page.as_str(),
                long(numbers.top),
                short(numbers.left),
                long(numbers.bottom),
                short(numbers.right),
            ))
            .set_gap(60)
            .set_overlap(100);
        let shade = if index == 0 { Color::RGB(DARK) } else { Color::RGB(0x00B9_8A3E) };
        series.set_format(
            rust_xlsxwriter::ChartFormat::new().set_solid_fill(rust_xlsxwriter::ChartSolidFill::new().set_color(shade)),
        );
    }
    let letters = |size: u8, is_bold: bool| {
        let mut font = ChartFont::new();
        font.set_name(FONT).set_size(size);
        match is_bold {
            true => font.set_bold(),
            false => font.unset_bold(),
        };
        font
    };
    bars.title().set_name(&chart.title).set_font(&letters(10, true));
    if chart.numbers.len() < 2 {
        bars.legend().set_hidden();
    } else {
        bars.legend().set_position(ChartLegendPosition::Bottom).set_font(&letters(8, false));
    }
    // Names stand at the edge, not across the bars of what is below nothing.
    bars.y_axis().set_reverse().set_label_position(ChartAxisLabelPosition::Low).set_font(&letters(8, false));
    let mut lines = ChartLine::new();
    lines.set_color(Color::RGB(0x00D5_DBD8));
    bars.x_axis()
        .set_num_format("#,##0")
        .set_font(&letters(8, false))
        .set_major_gridlines_line(&lines)
        .set_label_position(ChartAxisLabelPosition::High);
    bars.set_width(chart.size.0).set_height(chart.size.1);
    bars
}

fn print_setup(sheet: &mut Worksheet, page: &Page) -> Result<(), XlsxError> {
    let print = &page.print;
    // 9 is A4, 1 is letter.
    sheet.set_paper_size(if print.a4 { 9 } else { 1 });
    if print.landscape {
        sheet.set_landscape();
    }
    match print.scale {
        Some(scale) => sheet.set_print_scale(scale),
        None => sheet.set_print_fit_to_pages(1, 0),
    };
    let inch = |hundredths: u32| f64::from(hundredths) / f64::from(100);
    sheet.set_margins(inch(60), inch(60), inch(60), inch(70), inch(30), inch(35));
    if let Some((first, last)) = print.repeat {
        sheet.set_repeat_rows(long(first), long(last))?;
    }
    if let Some(column) = print.last_column.filter(|_| !page.rows.is_empty()) {
        sheet.set_print_area(0, 0, long(page.rows.len() - 1), short(column))?;
    }
    // What lies further down is broken where the program that prints it does.
    let new_pages = (1..page.rows.len()).filter(|at| page.rows[*at].new_page);
    let breaks: Vec<u32> = new_pages.take(MOST_BREAKS).map(long).collect();
    if !breaks.is_empty() {
        sheet.set_page_breaks(&breaks)?;
    }
    // `&` begins a code in footers and is doubled to stand for itself; the format holds 255 characters.
    let words: String = print.footer.replace('&', "&&").chars().take(150).collect();
    sheet.set_footer(format!("&L&8{words}&R&8Page &P of &N"));
    Ok(())
}

const DARK: u32 = 0x0023_4A46;

fn ground(ground: Ground) -> Option<Color> {
    match ground {
        Ground::None => None,
        Ground::Heading => Some(Color::RGB(DARK)),
        Ground::Band => Some(Color::RGB(0x00E3_EBE7)),
        Ground::Entry => Some(Color::RGB(0x00FB_F6E3)),
        Ground::Attention => Some(Color::RGB(0x00F7_E4D6)),
    }
}

fn format(style: Style) -> Format {
    let size = if style.size == 0 { 10 } else { style.size };
    let mut look = Format::new().set_font_name(FONT).set_font_size(size).set_align(FormatAlign::Top);
    if style.bold {
        look = look.set_bold();
    }
    if style.slanted {
        look = look.set_italic();
    }
    if style.wraps {
        look = look.set_text_wrap();
    }
    if style.indent > 0 {
        look = look.set_indent(style.indent);
    }
    look = match style.side {
        // Not every program indents where no side is said.
        Side::Usual if style.indent > 0 => look.set_align(FormatAlign::Left),
        Side::Usual => look,
        Side::Left => look.set_align(FormatAlign::Left),
        Side::Middle => look.set_align(FormatAlign::Center),
        Side::Right => look.set_align(FormatAlign::Right),
    };
    look = match style.number {
        Form::Plain => look,
        Form::Count => look.set_num_format("#,##0.###;-#,##0.###;0"),
        Form::Money => look.set_num_format("#,##0.00;-#,##0.00"),
        Form::FineMoney => look.set_num_format("#,##0.00##;-#,##0.00##"),
        Form::Difference => look.set_num_format("+#,##0.00;-#,##0.00;0.00"),
        Form::Factor => look.set_num_format("0.0000##"),
        Form::Percent => look.set_num_format("0.0#%"),
        Form::Text => look.set_num_format("@"),
    };
    if let Some(colour) = ground(style.ground) {
        look = look.set_background_color(colour);
    }
    look = match style.ink {
        Ink::Black => look,
        Ink::Title => look.set_font_color(Color::RGB(DARK)),
        Ink::White => look.set_font_color(Color::White),
        Ink::Quiet => look.set_font_color(Color::RGB(0x0059_6360)),
        Ink::Link => look.set_font_color(Color::RGB(0x001F_4E79)).set_underline(FormatUnderline::Single),
    };
    edged(look, style.edge)
}

fn edged(look: Format, edge: Edge) -> Format {
    let quiet = Color::RGB(0x00C3_CCC8);
    match edge {
        Edge::None => look,
        Edge::Below => look.set_border_bottom(FormatBorder::Hair).set_border_bottom_color(quiet),
        Edge::Total => look.set_border_top(FormatBorder::Thin).set_border_bottom(FormatBorder::Double),
        Edge::Box => look.set_border(FormatBorder::Thin).set_border_color(Color::RGB(0x00B0_A268)),
        Edge::Rule => look.set_border_bottom(FormatBorder::Medium).set_border_bottom_color(Color::RGB(DARK)),
        Edge::Above => look.set_border_top(FormatBorder::Thin),
    }
}

/// The float nearest to a decimal: by way of its digits, which every float reader rounds correctly.
fn float(number: Decimal) -> f64 {
    // A decimal's digits are always a number; 0 stands for the case that cannot happen.
    number.to_string().parse().unwrap_or_default()
}

/// Rows and columns of a page are far below these limits; the library says so itself if they are not.
fn long(row: usize) -> u32 {
    u32::try_from(row).unwrap_or(u32::MAX)
}

fn short(column: usize) -> u16 {
    u16::try_from(column).unwrap_or(u16::MAX)
}
