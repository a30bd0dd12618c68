//! How a page stands on paper: how high its rows must be for their words, and which rows begin a new sheet so that what
//! belongs together stays together. No program reckons either by itself in a finished file.

use std::borrow::Cow;

use super::page::{Content, Page, Row};

impl Page {
    /// Height of a row in points, from its texts: no program sets the height of rows by itself in a finished file.
    pub fn height(&self, row: &Row) -> u32 {
        if let Some(height) = row.height {
            return height;
        }
        let mut highest = 0;
        let mut tallest = 10;
        for (column, cell) in row.cells.iter().enumerate() {
            let size = u32::from(if cell.style.size == 0 { 10 } else { cell.style.size });
            let text: Cow<str> = match &cell.content {
                Content::Text(text) | Content::Link { text, .. } => Cow::Borrowed(text),
                Content::Marked(parts) => parts.iter().map(|(text, _)| text.as_str()).collect(),
                _ => continue,
            };
            tallest = tallest.max(size);
            if cell.style.wraps {
                let tenths: u32 = self
                    .widths
                    .get(column..(column + usize::from(cell.across.max(1))).min(self.widths.len()))
                    .map_or(0, |widths| widths.iter().sum());
                let tenths = tenths + u32::from(cell.across.saturating_sub(1)) * 7;
                let indent = u32::from(cell.style.indent) * 13;
                // An em of 10 points has 13.3 pixels, a column seven for each digit; bold letters are wider.
                let bold = if cell.style.bold { 11 } else { 10 };
                let lines = lines_in(&text, (tenths.saturating_sub(indent) * 51 * 100 / (size * bold)).max(1_000));
                highest = highest.max(lines.min(MOST_LINES) * (size + 3));
            }
        }
        highest.max(tallest + 3) + 2
    }
}

impl Page {
    /// Points that the rows of one sheet may take, printed at the page's own scale.
    pub fn room(&self) -> u32 {
        self.paper().1
    }

    /// The scale in per cent at which the page is as wide as the paper at most, and the points that its rows may take.
    fn paper(&self) -> (u32, u32) {
        // Points between the margins; the last hundredths are kept back, for rows are rounded to pixels.
        let (wide, high) = match (self.print.landscape, self.print.a4) {
            (false, false) => (525, 684),
            (false, true) => (509, 733),
            (true, false) => (705, 508),
            (true, true) => (755, 491),
        };
        let columns = self.print.last_column.map_or(self.widths.len(), |last| last + 1);
        // Seven pixels for each digit and five beside them; a digit that is not rounded to pixels is 6 % wider.
        let pixels: u32 = self.widths.iter().take(columns).map(|tenths| tenths * 7 / 10 + 5).sum();
        let points = pixels * 3 * 106 / 400;
        let scale = (wide * 100 / points.max(1)).clamp(10, 100);
        (scale, high * 100 / scale)
    }

    /// Breaks the page for print so that rows that belong together stay together: those that keep to the next, on one
    /// sheet. A page whose rows are wider than the paper is made smaller.
    pub fn break_for_print(&mut self) {
        let (scale, room) = self.paper();
        self.print.scale = u16::try_from(scale).ok();
        let heights: Vec<u32> = self.rows.iter().map(|row| self.height(row)).collect();
        let repeated: u32 =
            self.print.repeat.map_or(0, |(first, last)| heights.iter().skip(first).take(last + 1 - first).sum());
        let mut used = 0;
        let mut row = 0;
        while row < self.rows.len() {
            let mut end = row;
            while self.rows[end].keeps && end + 1 < self.rows.len() {
                end += 1;
            }
            let high: u32 = heights[row..=end].iter().sum();
            if self.rows[row].new_page || (used > 0 && used + high > room) {
                self.rows[row].new_page = row > 0;
                used = repeated;
            }
            used += high;
            row = end + 1;
        }
    }

    /// The rows from one to the last but one keep to each other and to the last.
    pub fn keep_from(&mut self, first: usize) {
        let last = self.rows.len().saturating_sub(1);
        self.rows.iter_mut().take(last).skip(first).for_each(|row| row.keeps = true);
    }
}

/// Lines of a cell that are shown; the rest is there when the cell is opened. The format ends at 409 points.
const MOST_LINES: u32 = 24;

/// How many lines a text takes, broken between words, in a width given in thousandths of the letters' size.
pub fn lines_in(text: &str, width: u32) -> u32 {
    let mut lines = 0;
    for paragraph in text.split('\n') {
        let mut column = 0;
        lines += 1;
        for word in paragraph.split(' ') {
            let length: u32 = word.chars().map(letter_width).sum();
            if column > 0 && column + letter_width(' ') + length > width {
                lines += 1;
                column = 0;
            }
            column += length + if column > 0 { letter_width(' ') } else { 0 };
            lines += column.saturating_sub(1) / width;
            column = if column > width { column % width } else { column };
        }
    }
    lines
}

/// Width of a letter in thousandths of its size, as the usual letters without serifs have it.
fn letter_width(letter: char) -> u32 {
    match letter {
        'i' | 'j' | 'l' | '\'' | '|' => 222,
        ' ' | '!' | '.' | ',' | ':' | ';' | '/' | 'f' | 't' | 'I' | '[' | ']' => 278,
        '(' | ')' | '-' | 'r' | '"' => 340,
        'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' | 'J' => 500,
        'm' | 'M' => 833,
        'w' | 'C' | 'D' | 'H' | 'N' | 'R' | 'U' => 722,
        'A' | 'B' | 'E' | 'K' | 'P' | 'S' | 'V' | 'X' | 'Y' | '&' => 667,
        'F' | 'T' | 'Z' => 611,
        'G' | 'O' | 'Q' => 778,
        'W' | '@' => 944,
        '%' => 889,
        letter if letter.is_ascii() => 556,
        // Letters of other scripts may be as wide as high.
        _ => 900,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::write::page::Cell;

    #[test]
    fn text_is_broken_between_words() {
        assert_eq!(lines_in("one two three", 4_000), 2);
        assert_eq!(lines_in("one", 4_000), 1);
        assert_eq!(lines_in("a\nb", 4_000), 2);
        assert_eq!(lines_in("aaaaaaaaaaaaaaaa", 4_500), 2);
    }

    #[test]
    fn rows_that_keep_together_are_not_parted_by_the_end_of_the_paper() {
        let mut page = Page::new("A", &[80]);
        for group in 0..12 {
            let head = page.next();
            for _ in 0..7 {
                page.push_high(15, vec![Cell::none()]);
            }
            page.keep_from(head);
            assert_eq!(head, group * 7);
        }
        page.break_for_print();
        // 684 points hold 45 rows of 15, which is six groups of seven.
        let breaks: Vec<usize> = (0..page.rows.len()).filter(|row| page.rows[*row].new_page).collect();
        assert_eq!((breaks, page.print.scale), (vec![42], Some(100)));
        let mut wide = Page::new("B", &[200]);
        wide.push(vec![Cell::none()]);
        wide.break_for_print();
        assert_eq!(wide.print.scale, Some(47));
    }
}
