//! Holds what was read against the cells of the rows that it claims to come from: every text of an opening, a set and a
//! line stands in its own row, or is of a kind named here that comes from elsewhere, and then it stands there.
#![allow(dead_code, reason = "each test uses a part of it")]

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use pintle::finding::Finding;
use pintle::place::Place;
use pintle::read::schedule::{Role, Schedule, loose_id};

/// The cells of every non-empty row of the files, by file, sheet and row; each with the rows that go on with it.
pub struct Rows {
    rows: BTreeMap<(String, String, u32), Vec<String>>,
    all: String,
}

/// Capitals, straight signs and single spaces: what a text is compared by.
fn squeezed(text: &str) -> String {
    let straight = |letter: char| match letter {
        '\u{2018}' | '\u{2019}' | '\u{2032}' | '\u{b4}' | '`' => '\'',
        '\u{201c}' | '\u{201d}' | '\u{2033}' => '"',
        '\u{2010}'..='\u{2015}' | '\u{2212}' => '-',
        '\u{d7}' => 'x',
        '\u{a0}' | '\u{200b}' | '\u{feff}' => ' ',
        other => other,
    };
    let text: String = text.chars().map(straight).collect();
    text.split_whitespace().map(str::to_uppercase).collect::<Vec<_>>().join(" ")
}

impl Rows {
    /// The rows of files as the reading library gives them.
    pub fn of(files: &[PathBuf]) -> Self {
        let mut rows = BTreeMap::new();
        let mut all = String::new();
        for sheet in files.iter().flat_map(|file| pintle::read::sheets(file).unwrap_or_default()) {
            for (number, cells) in sheet.rows {
                let cells: Vec<String> = cells.values().map(|cell| squeezed(cell)).collect();
                all.push_str(&cells.join(" | "));
                all.push_str(" || ");
                rows.insert((sheet.file.clone(), sheet.name.clone(), number), cells);
            }
            all.push_str(&squeezed(&sheet.name));
            all.push_str(" || ");
            all.push_str(&squeezed(&sheet.file));
            all.push_str(" || ");
        }
        Self { rows, all }
    }

    fn row(&self, place: &Place) -> Option<&Vec<String>> {
        self.rows.get(&(place.file.to_string(), place.sheet.to_string(), place.row))
    }

    /// The words of a row and of those that go on with it.
    fn text(&self, schedule: &Schedule, place: &Place) -> String {
        let mut text = self.row(place).map(|cells| cells.join(" | ")).unwrap_or_default();
        let at = schedule.ledger.iter().position(|row| same(&row.place, place));
        for row in at.map(|at| &schedule.ledger[at + 1..]).unwrap_or_default() {
            if !matches!(row.role, Role::Continuation | Role::Repeat | Role::Header) {
                break;
            }
            text.push_str(" | ");
            text.push_str(&self.row(&row.place).map(|cells| cells.join(" | ")).unwrap_or_default());
        }
        text
    }
}

impl Rows {
    /// The words of a row's sheet down to it, or of all of it: what a merged cell or a sign of repetition stands for is above.
    fn sheet(&self, place: &Place, to: u32) -> String {
        let own =
            |(file, sheet, row): &(String, String, u32)| *file == *place.file && *sheet == *place.sheet && *row <= to;
        let rows = self.rows.iter().filter(|(at, _)| own(at)).map(|(_, cells)| cells.join(" | "));
        rows.collect::<Vec<_>>().join(" || ")
    }

    /// Whether a cell of a row says that it is as the one above.
    fn says_ditto(&self, place: &Place) -> bool {
        let sign = |cell: &String| {
            let bare: String = cell.chars().filter(|sign| !" -.".contains(*sign)).collect();
            bare == "\u{3003}"
                || !bare.is_empty() && bare.chars().all(|sign| "\"'".contains(sign))
                || bare.starts_with("DITTO")
                || bare.starts_with("SAME")
                || ["DO", "ASABOVE"].contains(&bare.as_str())
        };
        self.row(place).is_some_and(|cells| cells.iter().any(sign))
    }

    /// The words of the few rows after one.
    fn below(&self, schedule: &Schedule, place: &Place) -> String {
        let at = schedule.ledger.iter().position(|row| same(&row.place, place)).map_or(0, |at| at + 1);
        let rows = schedule.ledger[at..].iter().take(12).filter_map(|row| self.row(&row.place));
        rows.map(|cells| cells.join(" | ")).collect::<Vec<_>>().join(" | ")
    }
}

fn same(one: &Place, other: &Place) -> bool {
    one.row == other.row && one.sheet == other.sheet && one.file == other.file
}

impl Rows {
    /// The words of a door's row and of its card: after the goods that a card lists it may tell more of its door.
    fn card(&self, schedule: &Schedule, place: &Place) -> String {
        let mut text = self.text(schedule, place);
        let carded =
            schedule.layout.iter().any(|note| note.what.starts_with("cards") && note.place.sheet == place.sheet);
        let at = schedule.ledger.iter().position(|row| same(&row.place, place)).filter(|_| carded);
        let rows = at.map(|at| &schedule.ledger[at + 1..]).unwrap_or_default();
        let own = rows.iter().take_while(|row| row.place.sheet == place.sheet && row.role != Role::Opening);
        for row in own.filter(|row| row.role == Role::Continuation) {
            text.push_str(" | ");
            text.push_str(&self.row(&row.place).map(|cells| cells.join(" | ")).unwrap_or_default());
        }
        text
    }
}

/// Whether a word is made of pieces that a text has between its spaces and hyphens.
fn parted(word: &str, text: &str) -> bool {
    let signs = [' ', '|', '-'];
    let rest = word.trim_start_matches(signs);
    let mut pieces = text.split(signs).filter(|piece| !piece.is_empty());
    rest.is_empty() || pieces.any(|piece| rest.strip_prefix(piece).is_some_and(|rest| parted(rest, text)))
}

/// Figures as in a date turned back into what was typed.
fn is_typed(word: &str) -> bool {
    word.len() <= 8 && word.bytes().all(|byte| byte.is_ascii_digit() || b"-/".contains(&byte))
}

/// Whether words stand in pieces of several words or cells, one behind the other: a text that goes on below its own column.
fn goes_on(said: &str, text: &str) -> bool {
    let words: Vec<&str> = said.split(' ').collect();
    let (mut from, mut rest) = (0, text);
    while from < words.len() {
        let longest = (from + 1..=words.len()).rev().find_map(|to| {
            let piece = words[from..to].join(" ");
            let whole = |at: &usize| {
                let (before, behind) = (&rest[..*at], &rest[at + piece.len()..]);
                before.is_empty() || before.ends_with("| ") || behind.is_empty() || behind.starts_with(" |")
            };
            let at = rest.match_indices(&piece).map(|(at, _)| at).find(whole)?;
            Some((to, at + piece.len()))
        });
        let Some((to, end)) = longest else { return false };
        (from, rest) = (to, &rest[end..]);
    }
    true
}

/// Whether words go on before the finish of a text, `HINGE, BALL BEARING 652` of `HINGE, BALL 652` and `BEARING`, and perhaps
/// behind it in the rows after that.
fn before_finish(said: &str, text: &str, along: &str) -> bool {
    let ends = said.match_indices(' ').map(|(at, _)| at).chain([said.len()]);
    let below = along.replace(" | ", " ");
    ends.into_iter().any(|end| before_last(&said[..end], text, along) && below.contains(said[end..].trim_start()))
}

/// The same of a text whose last word is the finish: `HINGE, BALL BEARING 652` of `HINGE, BALL 652` and `BEARING`.
/// Whole cells below may follow it: `HINGE, BALL BEARING 652 3'-0"`.
fn before_last(said: &str, text: &str, along: &str) -> bool {
    let Some((front, last)) = said.rsplit_once(' ') else { return false };
    let parted = |(at, _): (usize, &str)| {
        let (own, more) = (&front[..at], &front[at + 1..]);
        let begun = more.split(' ').next().unwrap_or_default();
        text.contains(&format!("{own} {last}"))
            && along.contains(&format!("| {begun}"))
            && (along.replace(" | ", " ").contains(more) || goes_on(more, along))
    };
    let follows = |(at, _): (usize, &str)| {
        let (own, cell) = (&said[..at], &said[at + 1..]);
        let at = along.rfind(&format!(" | {cell}"));
        at.is_some_and(|at| before_last(own, text, &along[..at]))
    };
    front.match_indices(' ').any(parted) || said.match_indices(' ').any(follows)
}

/// What stands nowhere where it claims to come from.
pub fn complaints(name: &str, schedule: &Schedule, rows: &Rows) -> Vec<String> {
    let mut wrong = Vec::new();
    // Findings name what was mended: a zero given back, a date turned back, a merged cell, doors spelled out.
    let mended: BTreeSet<(&str, u32)> =
        schedule.findings.iter().filter_map(|finding| Some((finding.code, finding.place.as_ref()?.row))).collect();
    let codes: BTreeSet<&str> = schedule.findings.iter().map(|finding| finding.code).collect();
    // `1E2` stands nowhere where the cell says 1E+02; that it was mended is told.
    let was_exponent = |id: &str| {
        // Of two equal rows of a door one is told of.
        let said = |says: &str| says.contains(&format!("\"{id}\"")) || says.ends_with(&format!("read as {id}"));
        let says = |finding: &&Finding| finding.code == "set-as-exponent" && said(&finding.says);
        schedule.findings.iter().any(|finding| says(&finding))
    };
    let lends = schedule.layout.iter().any(|note| note.why.contains("lends"));
    for row in &schedule.ledger {
        if rows.row(&row.place).is_none() {
            wrong.push(format!("{name}: {} is in the ledger and nowhere else", row.place));
        }
    }
    for opening in &schedule.openings {
        let text = rows.card(schedule, &opening.place);
        let at = |code: &str| mended.contains(&(code, opening.place.row));
        let (above, sheet) = (rows.sheet(&opening.place, opening.place.row), rows.sheet(&opening.place, u32::MAX));
        let mut need = |what: &str, part: &str, elsewhere: &str| {
            let part = squeezed(part);
            // `101 A` is the door 101A.
            let apart = || what == "the number" && text.replace(' ', "").contains(&part);
            let found = text.contains(&part) || text.replace(" | ", " ").contains(&part) || apart();
            if !(part.is_empty() || found || elsewhere.contains(&part)) {
                wrong.push(format!(
                    "{name}: {what} \"{part}\" of door {} is not in {}: {text}",
                    opening.number, opening.place
                ));
            }
        };
        let served =
            schedule.ledger.iter().any(|row| row.role == Role::SetOpenings && same(&row.place, &opening.place));
        let derived = ["lost-zero", "doors-in-one-row", "door-without-number", "doors-without-numbers"]
            .iter()
            .any(|code| at(code))
            || codes.contains("doors-without-numbers")
            // A zero that all numbers of its kind have.
            || codes.contains("lost-zero") && text.contains(opening.number.trim_start_matches('0'))
            // A range under a heading, or in a sentence that gives doors their set, is counted through.
            || served
            || schedule.sets.iter().any(|set| set.openings.contains(&opening.number));
        if !derived {
            // Doors of several buildings are told apart by theirs.
            let building = schedule.buildings.get(&opening.place).filter(|_| codes.contains("doors-by-building"));
            let own = building.and_then(|name| opening.number.strip_prefix(name.as_str())?.strip_prefix('-'));
            need("the number", own.unwrap_or(&opening.number), "");
        }
        // A type lends what it says wherever it stands; merged cells and signs of repetition, what stands above.
        let lent = if lends { rows.all.as_str() } else { "" };
        let carries =
            codes.contains("merged-cells") || codes.contains("ditto-cells") && rows.says_ditto(&opening.place);
        let carried = if carries && !lends { above.as_str() } else { lent };
        // What stands under the heading that names the door is kept as a note of the set, or in its title.
        let headed = |part: &str| {
            let own = schedule.sets.iter().filter(|set| set.openings.contains(&opening.number));
            // The first of two headings of one set tells of its doors too.
            let at_head = own.clone().any(|set| rows.text(schedule, &set.place).contains(&squeezed(part)));
            // A second list that names the door lends it what it says.
            let listed = || {
                let lists = schedule.ledger.iter().filter(|row| row.role == Role::SetOpenings);
                let mut lists = lists.filter_map(|row| rows.row(&row.place));
                lists.any(|cells| cells.join(" | ").contains(&squeezed(part)))
            };
            at_head
                || own.clone().next().is_some() && listed()
                || own
                    .flat_map(|set| set.notes.iter().map(|note| &note.text).chain([&set.title]))
                    .any(|text| squeezed(text).contains(&squeezed(part)))
        };
        // A row that names the door again lends it what it has not; that is told with its doors.
        let told = |part: &str| {
            let lent =
                |finding: &&Finding| finding.code == "facts-from-heading" && finding.openings.contains(&opening.number);
            schedule.findings.iter().filter(lent).any(|finding| squeezed(&finding.says).contains(&squeezed(part)))
        };
        for part in opening.room.split([';', '/']) {
            need("the room", part, if headed(part) { &rows.all } else { carried });
        }
        if !opening.rating.text.is_empty() {
            let rating = opening.rating.text.as_str();
            need("the rating", rating, if headed(rating) || told(rating) { &rows.all } else { carried });
        }
        // A remark may go on in the rows below, a column of ticks lends its heading, a set cell its words in brackets; a
        // stroke parts the words of such a heading.
        for word in opening.remarks.split([';', ':', ' ', '\n']).filter(|word| *word != "/") {
            need("the remark", word, if lends { lent } else { &sheet });
        }
        // The goods of a card whose number is lost are the set of that door, and called as it is.
        let by_row = at("door-without-number") && opening.set.as_ref() == Some(&opening.number);
        if let Some(set) = opening.set.as_ref().filter(|_| !by_row) {
            let matrix = schedule.sets.iter().any(|of| of.id == *set && of.title.starts_with("as door "));
            // A set that is defined as the same number.
            let same_number = |finding: &Finding| {
                finding.code == "lost-zero"
                    && finding.set.as_ref() == Some(set)
                    && finding.openings.contains(&opening.number)
            };
            let told =
                ["set-as-exponent", "set-as-another", "set-or-set"].iter().any(|code| at(code)) || was_exponent(set);
            if matrix || told || schedule.findings.iter().any(same_number) {
                continue;
            }
            // Its heading names the door or counts it, or stands above it among the doors.
            let headed = schedule.sets.iter().filter(|of| loose_id(&of.id) == loose_id(set)).any(|of| {
                let over = of.place.row < opening.place.row && of.place.sheet == opening.place.sheet;
                over && of.place.file == opening.place.file || of.openings.contains(&opening.number)
            });
            // Another table has a row of the door with its set.
            let listed = schedule.ledger.iter().filter(|row| row.role == Role::SetOpenings).any(|row| {
                let cells = rows.row(&row.place).map(Vec::as_slice).unwrap_or_default();
                cells.contains(&squeezed(&opening.number)) && cells.contains(&squeezed(set))
            });
            if listed && codes.contains("set-from-heading") {
                continue;
            }
            // `2-Mar` was turned back to 3-2, which is told once of all its doors.
            let dated = |finding: &Finding| {
                finding.code == "set-as-exponent"
                    && finding.set.as_ref() == Some(set)
                    && finding.openings.contains(&opening.number)
            };
            if schedule.findings.iter().any(dated) {
                continue;
            }
            // The sets of several columns stand in cells of their own.
            let parts = set.split(" + ").filter(|_| codes.contains("several-sets"));
            // A second list of the goods of one door is told apart by a count, and doors that follow share it: `201 (2)`.
            let again = set.strip_suffix(')').and_then(|id| id.split_once(" (")).map(|(id, _)| id);
            let whole = again.filter(|id| schedule.sets.iter().any(|other| other.id == **id)).unwrap_or(set);
            for part in parts.chain((!codes.contains("several-sets")).then_some(whole)) {
                need("the set", part, if headed || served { &rows.all } else { carried });
            }
        }
    }
    for set in &schedule.sets {
        let matrix = set.title.starts_with("as door ") && (set.id.starts_with('M') || set.id.contains(" ("));
        let several = codes.contains("several-sets");
        if !matrix {
            let text = rows.text(schedule, &set.place);
            // A second list of the goods of one door is told apart by a count: `201 (2)`.
            let again = set.id.strip_suffix(')').and_then(|id| id.split_once(" ("));
            let again = again.filter(|(id, _)| schedule.sets.iter().any(|other| other.id == *id));
            let id = squeezed(again.map_or(&set.id, |(id, _)| id));
            let given = text.contains(&id)
                || was_exponent(&set.id)
                || mended.contains(&("door-without-number", set.place.row))
                    && set.id == format!("row {}", set.place.row)
                || several && id.split(" + ").all(|part| rows.all.contains(part))
                || rows.all.contains(&id)
                    && (squeezed(&set.place.sheet).contains(&id) || codes.contains("items-without-set"));
            // A range in the heading stands for it, a door names it, and it is told.
            let is_named = |finding: &Finding| {
                finding.code == "set-as-another"
                    && finding.set.as_deref() == Some(&set.id)
                    && finding.place.as_ref().is_some_and(|place| place.row == set.place.row)
            };
            let in_range = rows.all.contains(&id) && schedule.findings.iter().any(is_named);
            // `HARDWARE SET FOUR`
            let in_words = id.parse().is_ok_and(|number: usize| {
                let words = ["ONE", "TWO", "THREE", "FOUR", "FIVE", "SIX", "SEVEN", "EIGHT", "NINE", "TEN"];
                let word = number.checked_sub(1).and_then(|at| words.get(at));
                word.is_some_and(|word| text.to_uppercase().split(' ').any(|said| said == *word))
            });
            if !given && !in_range && !in_words {
                wrong.push(format!("{name}: the id of set {} is not in {}: {text}", set.id, set.place));
            }
            // Doors with the same goods and no set share one that is called by the first of them.
            let by_door = |title: &str| {
                title.strip_prefix("as door ").is_some_and(|door| schedule.openings.iter().any(|of| of.number == door))
            };
            for part in set
                .title
                .split(" + ")
                .filter(|title| !by_door(title))
                .flat_map(|part| part.split(" (").flat_map(|part| part.split("; ")))
            {
                let part = squeezed(part.trim_end_matches(')'));
                // A title may lose the list of doors out of its middle.
                let sheet = rows.sheet(&set.place, u32::MAX);
                let words = part.split(' ').all(|word| sheet.contains(word));
                if !part.is_empty() && !text.contains(&part) && !words {
                    wrong.push(format!("{name}: the title \"{part}\" of set {} is nowhere", set.id));
                }
            }
        }
        // A set that is a row of its own against kinds of goods has their headings for nouns.
        let told = |what: &str| schedule.layout.iter().any(|note| note.what.contains(what));
        // The key of items that stand against sets lends its words.
        let matrix = matrix || told("sets against kinds of hardware") || told("key of items");
        for line in &set.lines {
            let text = rows.text(schedule, &line.place);
            let below = rows.below(schedule, &line.place);
            let sheet = if matrix { rows.all.clone() } else { rows.sheet(&line.place, u32::MAX) };
            for (at, part) in line.wording.parts.iter().enumerate() {
                let said = squeezed(&line.wording.text[part.span.clone()]);
                let mended = matrix
                    || (0..9).any(|more| mended.contains(&("date-for-size", line.place.row + more)))
                    || mended.contains(&("struck-through", line.place.row))
                    || mended.contains(&("row-mended", line.place.row));
                let along = format!("{text} | {below}");
                let found = text.contains(&said)
                    // A word that a hyphen parts at the end of its row.
                    || text.replace("- | ", "").contains(&said)
                    || text.replace("- | ", "-").contains(&said)
                    // Beside another table the row that goes on with this one may be a line there.
                    || at > 0 && below.contains(&said)
                    // A text goes on behind its own column, with a cell of the row below.
                    || said.match_indices(' ').any(|(at, _)| {
                        text.contains(&said[..at]) && below.split(" | ").any(|cell| cell == &said[at + 1..])
                    })
                    // The heading of a matrix's column, the words of its key, a tick that counts as one.
                    || matrix && (rows.all.contains(&said) || said == "1")
                    // A date turned back into what was typed has no cell that says so, but a finding.
                    || mended && said.split(' ').all(|word| sheet.contains(word) || is_typed(word))
                    || goes_on(&said, &along)
                    || before_finish(&said, &text, &along)
                    || goes_on(&said, &along.replace("- | ", ""))
                    || goes_on(&said, &along.replace("- | ", "-"))
                    // What a sign of repetition stands for, which is told.
                    || codes.contains("ditto-cells") && rows.says_ditto(&line.place) && sheet.contains(&said)
                    // A list in a door's cell: what stood on lines of its own goes on behind a comma.
                    || text.replace(',', "").contains(&said.replace(',', ""))
                    || text.contains("- | ") && said.split(' ').all(|word| parted(word, &text));
                if !found {
                    wrong.push(format!(
                        "{name}: \"{said}\" of a line of set {} is not in {}: {text}",
                        set.id, line.place
                    ));
                }
            }
        }
        for note in &set.notes {
            let text = rows.text(schedule, &note.place);
            let said = squeezed(&note.text);
            if !said.split(' ').all(|word| text.contains(word)) {
                wrong.push(format!("{name}: the note \"{said}\" of set {} is not in {}: {text}", set.id, note.place));
            }
        }
    }
    wrong
}
