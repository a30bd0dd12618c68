//! Facts of doors in free words: in the heading of a set, `Gymnasium - Doors 140A, 140B - pairs, 90 min.`, in the rows under
//! it that name its doors, `1 PR DOORS #106 NAVE LHR/RHR`, and in a row that gives their size, `PR 3'0" x 7'0" x 1-3/4" HM
//! DOORS - HM FRAME - 90 MIN LABEL`. Doors that nothing else tells of have them as their facts.

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;
use crate::trade::rating::Rating;
use crate::trade::rule_words;

use super::setfacts::lend_all;
use super::{headasked, setheading};
use crate::read::openings::doormore;
use crate::read::openings::doors::{self, Reader, Told};
use crate::read::repairs::onecell;
use crate::read::schedule::{Basis, Note, Opening, Role};
use crate::read::sheet::{Cell, Row, Sheet, join};
use crate::read::sizes::size::pair_of;
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::{Column, Table};
use crate::read::walk::{Gathered, Walker};
use crate::read::words::{self, plain};

/// How many parts between commas name a door by its number and something of it besides: `101 LOBBY, 102 OFFICE`.
fn numbered_parts(text: &str) -> usize {
    let named = |part: &&str| {
        let mut words = part.split_whitespace();
        let number = words.next().is_some_and(|word| word.bytes().any(|byte| byte.is_ascii_digit()));
        number && words.next().is_some_and(|word| word.len() > 2 && word.bytes().all(|byte| byte.is_ascii_alphabetic()))
    };
    text.split([',', ';', '|']).flat_map(|part| part.split("  ")).filter(named).count()
}

/// Words that say a rating are no more than these.
const LONGEST: usize = 5;

/// What words say of doors, each with its meaning, and the words that say nothing of the kind.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Facts {
    told: Vec<(M, String)>,
    rest: Vec<String>,
}

impl Facts {
    /// Looks through words.
    pub fn of(text: &str) -> Self {
        let mut straight: String = text.chars().map(crate::trade::signs::straight).collect();
        // `IN PAIRS WITH SET 9` tells nothing of this set's doors for sure; it is asked.
        if let Some((_, at)) = headasked::with_set(&straight) {
            straight.replace_range(at, " ");
        }
        // Behind a list of doors four figures are a size; before one, or without, they may be anything.
        let beside = super::titledoors::beside_doors(&straight);
        let bare = beside.is_some();
        let straight = beside.unwrap_or(straight);
        let mut facts = Self::default();
        let (mut pair, mut single) = (false, false);
        let parts = straight.split([',', ';', '(', ')', '[', ']', '|']).flat_map(|part| part.split(" - "));
        for part in parts.flat_map(|part| part.split("  ")) {
            let mut words: Vec<&str> = part.split_whitespace().collect();
            if let Some(two) = counted_leaves(&mut words) {
                pair |= two;
            }
            let before = words.len();
            facts.size(&mut words, bare);
            let sized = words.len() < before;
            facts.rating(&mut words);
            facts.hand(&mut words);
            facts.materials(&mut words);
            let left = words.join(" ");
            // `PR DEPARTMENT`, `DOUBLE ROOM` are no doors: beside other words only what says so of doors is a pair.
            let folded = plain(&left);
            let of_doors = words::list("pair-in-title").find(&folded).is_some();
            let alone = sized || words::list("pair").is(folded.trim_matches(['.', ':', '-', ' ']));
            pair |= (of_doors || alone) && Told::of(&left).leaves == Some(2);
            single |= words::list("single").find(&plain(&left)).is_some();
            facts.rest.extend(words.into_iter().map(str::to_string));
        }
        // `101 LOBBY, 104 OFFICE NOT RATED, 105 STORAGE`: said of the one.
        let unrated =
            |text: &str| rule_words::of("without-rating").iter().any(|known| known.eq_ignore_ascii_case(text));
        if numbered_parts(text) > 1 {
            facts.told.retain(|(meaning, text)| *meaning != M::Rating || !unrated(text));
        }
        // `2 single doors RH / LH`: nobody says which is which.
        if single && !pair {
            facts.told.retain(|(meaning, text)| *meaning != M::Hand || !text.contains('/'));
        }
        // `Single and pair` tells nothing of either.
        if pair && !single {
            facts.push(M::Leaves, "2".into());
        }
        facts
    }

    /// Words that stand behind a door as its remark.
    pub fn of_remark(text: &str) -> Self {
        let mut facts = Self::of(text);
        facts.push(M::Remarks, text.to_string());
        facts
    }

    fn push(&mut self, meaning: M, text: String) {
        if !self.told.iter().any(|(known, _)| *known == meaning) {
            self.told.push((meaning, text));
        }
    }

    fn has(&self, meaning: M) -> bool {
        self.told.iter().any(|(known, _)| *known == meaning)
    }

    /// A size has a sign between its figures; `bare`: four figures alone are one too.
    fn size(&mut self, words: &mut Vec<&str>, bare: bool) {
        let Some((from, to)) = onecell::sized(words, 0) else { return };
        if bare || words[from..to].join(" ").to_ascii_uppercase().contains('X') {
            let size: Vec<&str> = words.drain(from..to).collect();
            self.push(M::Size, size.join(" "));
        }
    }

    fn rating(&mut self, words: &mut Vec<&str>) {
        let digits = |word: &str| word.bytes().all(|byte| byte.is_ascii_digit());
        let says = |run: &[&str]| {
            let text = run.join(" ");
            let (figure, upper) = (text.bytes().any(|byte| byte.is_ascii_digit()), plain(&text));
            let unit = words::list("units-of-time").is_within(&upper);
            // `ROOM 2 90 MINUTE`: one figure alone, then that of the time; `1 1/2 HR` is one.
            let two = matches!(run, [first, second, ..] if digits(first) && second.starts_with(|sign: char| sign.is_ascii_digit()) && !second.contains('/'));
            !two && (figure && unit || words::list("rated-in-title").find(&upper).is_some())
                && Rating::looks_like(&text)
        };
        let runs =
            (0..words.len()).flat_map(|from| (from + 1..=words.len().min(from + LONGEST)).map(move |to| (from, to)));
        let longest = runs.filter(|(from, to)| says(&words[*from..*to])).max_by_key(|(from, to)| to - from);
        if let Some((from, to)) = longest {
            let rating: Vec<&str> = words.drain(from..to).collect();
            self.push(M::Rating, rating.join(" ").trim_end_matches(['.', ':']).to_string());
        }
    }

    fn hand(&mut self, words: &mut Vec<&str>) {
        let hand =
            |word: &str| word.len() >= 2 && word.split('/').all(|one| one.len() >= 2 && doors::hand(one).is_some());
        if let Some(at) = words.iter().position(|word| hand(word)) {
            let mut hands = words.remove(at).to_string();
            // `RHR / LHR`: one behind the other.
            while words.get(at) == Some(&"/") && words.get(at + 1).is_some_and(|word| hand(word)) {
                words.remove(at);
                hands = format!("{hands}/{}", words.remove(at));
            }
            self.push(M::Hand, hands);
            // `RHR 90°`: how far it opens.
            if words.get(at).is_some_and(|word| word.ends_with('\u{b0}')) {
                words.remove(at);
            }
        }
    }

    /// `HM DOOR`, `WD DOORS`, `HM FRAME`, `(aluminum)`.
    fn materials(&mut self, words: &mut Vec<&str>) {
        self.both_materials(words);
        let material = |word: &str| words::leaf_material(word).is_some();
        if let [alone] = words[..]
            && material(alone)
        {
            self.push(M::DoorMaterial, alone.to_string());
            words.clear();
            return;
        }
        let mut at = 1;
        while let Some(word) = words.get(at) {
            let upper = word.to_ascii_uppercase();
            let said = upper.trim_end_matches(['S', '.']);
            let meaning = [("door-made-of", M::DoorMaterial), ("frame-made-of", M::FrameMaterial)];
            let meaning = meaning.into_iter().find(|(list, _)| words::list(list).is(said));
            let meaning = meaning.map_or(M::Other, |(_, meaning)| meaning);
            if meaning != M::Other && material(words[at - 1]) {
                self.push(meaning, words[at - 1].to_string());
                words.drain(at - 1..=at);
            } else {
                at += 1;
            }
        }
    }

    /// `WD X HM`, `HM/HM`: the material of the door, then that of the frame.
    fn both_materials(&mut self, words: &mut Vec<&str>) {
        let material = |word: &str| words::leaf_material(word).is_some();
        for at in 0..words.len() {
            let crossed = words.get(at + 1).is_some_and(|sign| matches!(*sign, "X" | "x" | "/"));
            let (door, frame, length) = match (words[at].split_once('/'), words.get(at + 2)) {
                (Some((door, frame)), _) => (door, frame, 1),
                (None, Some(frame)) if crossed => (words[at], *frame, 3),
                _ => continue,
            };
            if material(door) && material(frame) {
                self.push(M::DoorMaterial, door.to_string());
                self.push(M::FrameMaterial, frame.to_string());
                words.drain(at..at + length);
                return;
            }
        }
    }

    /// What they say as the facts of a door.
    pub fn opening(&self, place: &Place, findings: &mut Vec<Finding>) -> Option<Opening> {
        if self.told.is_empty() {
            return None;
        }
        let sheet = Sheet::new(&place.file, &place.sheet);
        let column = |index, meaning| Column { index, heading: String::new(), meaning, why: String::new() };
        let mut columns = vec![column(0, M::DoorNumber)];
        columns.extend(self.told.iter().enumerate().map(|(at, (meaning, _))| column(at + 1, *meaning)));
        let cells = self.told.iter().enumerate().map(|(at, (_, text))| Cell::text(at + 1, text)).collect();
        let table = Table::of_doors(columns);
        let row = Row { number: place.row, cells, hidden: false };
        let reader = Reader { sheet: &sheet, row: &row, table: &table };
        let from = findings.len();
        let told = doors::opening(&reader, "", findings);
        for finding in &mut findings[from..] {
            // Which doors have these words is known later; an answer could not be given to them.
            finding.openings.clear();
            finding.answers.clear();
            finding.place = Some(place.clone());
        }
        Some(told)
    }
}

/// `2 / 3'0" x 7'0"`: how many leaves of that size; whether two. The count goes from the words.
fn counted_leaves(words: &mut Vec<&str>) -> Option<bool> {
    let [count @ ("1" | "2"), "/", ..] = words[..] else { return None };
    onecell::sized(words, 2).filter(|(from, _)| *from == 2)?;
    words.drain(..2);
    Some(count == "2")
}

impl Walker<'_> {
    /// Reads a row under a set's heading that gives the size of its doors, and nothing else but facts of doors. It is of the
    /// doors that the rows above it name; where they name none, of all doors of the set.
    pub(crate) fn size_row(&self, set: usize, row: &Row, out: &mut Gathered) -> Option<Role> {
        if row.cells.len() > 4 || !out.schedule.sets[set].lines.is_empty() {
            return None;
        }
        let text = join(&row.cells);
        let facts = Facts::of(&text);
        let idle = |word: &String| {
            let folded = plain(word);
            let word = folded.trim_matches(|sign: char| !sign.is_ascii_alphanumeric());
            word.is_empty() || ["beside-size", "pair", "single"].iter().any(|list| words::list(list).is(word))
        };
        if !facts.has(M::Size) || !facts.rest.iter().all(idle) {
            return None;
        }
        let place = self.sheet.place(row.number);
        let told = facts.opening(&place, &mut out.schedule.findings)?;
        out.schedule.sets[set].notes.push(Note { text, place });
        of_doors_above(set, told, out);
        Some(Role::Note)
    }

    /// `EACH LEAF 3'-0" X 7'-0" TO HAVE:`: a row of a size that says as well what the quantities below it multiply by.
    pub(crate) fn each_leaf(&mut self, lane: usize, folded: &str) {
        if words::list("basis-leaf").begins(folded).is_some() && words::list("has-goods").is_within(folded) {
            self.lanes[lane].basis = Some(Basis::Leaf);
        }
    }

    /// `EACH PAIR TO HAVE`: the doors above it are pairs, unless the set speaks of single doors too.
    pub(crate) fn each_pair(&self, set: usize, row: &Row, out: &mut Gathered) {
        let of_pairs = |text: &str| {
            let folded = plain(text);
            let single = words::list("single").find(&folded).is_some();
            words::list("each-pair").find(&folded).is_some() && !single
        };
        let place = self.sheet.place(row.number);
        let from = self.sheet.index_of(row.number);
        let below = self.sheet.rows.get(from + 1..).unwrap_or_default().iter().map(Row::joined);
        let mut below = below.take_while(|text| setheading::heading(text).is_none());
        let other = |text: &String| setheading::basis(text, true).is_some() && !of_pairs(text);
        let before = out.schedule.sets[set].lines.is_empty();
        if before && of_pairs(&row.joined()) && !below.any(|text| other(&text)) {
            of_doors_above(set, Opening { leaves: 2, set: None, ..Opening::bare("", "", place) }, out);
        }
    }
}

/// Gives facts to the doors that the rows above name; where they name none, to all doors of the set.
pub(crate) fn of_doors_above(set: usize, told: Opening, out: &mut Gathered) {
    let own = out.served.iter().filter(|(of, ..)| *of == set).map(|(.., at)| at.clone());
    let bare: Vec<Place> = own.filter(|at| !out.line_facts.contains_key(at)).collect();
    match out.set_facts.get_mut(&set) {
        _ if !bare.is_empty() => out.line_facts.extend(bare.into_iter().map(|at| (at, told.clone()))),
        Some(known) => lend_all(&told, known),
        None => drop(out.set_facts.insert(set, told)),
    }
}

/// The facts of the doors that a row under the heading of a set names, or the heading itself: what the row says, what stands
/// below it of their size, what the heading says of all of them.
pub(crate) fn of_row(set: usize, place: &Place, out: &mut Gathered) -> Option<Opening> {
    let head = out.schedule.sets[set].place.clone();
    let mut told: Option<Opening> = None;
    let mut take = |facts: Option<&Opening>| {
        let Some(facts) = facts else { return };
        match &mut told {
            Some(known) => lend_all(facts, known),
            None => told = Some(facts.clone()),
        }
    };
    let mut findings = Vec::new();
    let mut words = |at: &Place| -> Option<(Facts, Opening)> {
        let row = out.schedule.ledger.iter().find(|row| row.place.same_row(at))?;
        let facts = matches!(row.role, Role::Set | Role::SetOpenings).then(|| {
            // A size goes with what says of how many leaves it is.
            let own = doormore::without_own_pairs(&row.text);
            Some(Facts::of(&own)).filter(|facts| !facts.has(M::Size)).unwrap_or_else(|| Facts::of(&row.text))
        })?;
        let opening = facts.opening(at, &mut findings)?;
        Some((facts, opening))
    };
    let own = words(place);
    // Where several sets stand side by side, whose the words of their row are is not told.
    let beside = out.schedule.sets.iter().filter(|set| set.place.same_row(&head)).count() > 1;
    let of_head = if head.same_row(place) || beside { None } else { words(&head) };
    take(own.as_ref().map(|own| &own.1));
    take(out.line_facts.get(place));
    take(of_head.as_ref().map(|head| &head.1));
    take(out.set_facts.get(&set));
    // `1 PR DOORS #106` above `3'-0" x 7'-0" HM DOORS`: the words of two rows say pair and its size.
    if let Some(door) = &mut told
        && door.leaves == 2
        && door.leaf_widths.is_empty()
        && let Some(width) = door.width
    {
        let pair = pair_of(width);
        (door.width, door.leaf_widths) = (Some(pair.opening), pair.leaves);
    }
    told
}

/// Whether a door's row says nothing but its number and its set.
pub(crate) fn is_bare(door: &Opening) -> bool {
    let sized = door.width.is_some() || door.height.is_some() || door.leaves != 1;
    !sized && door.rating.text.is_empty() && door.door_material.is_none() && door.frame_material.is_none()
}

/// What the words of headings gave to doors, told once for each row of them.
pub(crate) fn finding(set: &str, doors: Vec<String>, facts: &Opening, place: &Place) -> Option<Finding> {
    finding_of("at the heading of", set, doors, facts, place)
}

/// The same of words that stand elsewhere.
pub(crate) fn finding_of(at: &str, set: &str, doors: Vec<String>, facts: &Opening, place: &Place) -> Option<Finding> {
    let mut said: Vec<String> = Vec::new();
    if facts.leaves == 2 {
        said.push("two leaves".into());
    }
    if let (Some(width), Some(height)) = (facts.width, facts.height) {
        said.push(format!("{} x {}", width.in_feet(), height.in_feet()));
    }
    if !facts.rating.text.is_empty() {
        said.push(format!("rating {}", facts.rating.text));
    }
    for (what, material) in [("doors", &facts.door_material), ("frames", &facts.frame_material)] {
        said.extend(material.iter().map(|material| format!("{what} of {material}")));
    }
    said.extend(facts.hand.iter().map(|hand| format!("hand {hand}")));
    if said.is_empty() {
        return None;
    }
    let says = format!("what is written {at} set {set} gives its doors {}", said.join(", "));
    Some(
        Finding {
            openings: doors,
            set: Some(set.to_string()),
            ..Finding::new("facts-from-heading", Kind::Assumption, Weight::Goods, says)
        }
        .at(place.clone(), "")
        .help("check it against the door schedule or the plans"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_at_headings_tell_of_doors() {
        let told = |text: &str| {
            let mut told: Vec<String> =
                Facts::of(text).told.into_iter().map(|(meaning, text)| format!("{meaning:?} {text}")).collect();
            told.sort();
            told.join("; ")
        };
        for (text, expected) in [
            ("SET #4 - Gymnasium - Doors 140A, 140B - pairs, 90 min.", "Leaves 2; Rating 90 min"),
            ("HW-1   Main entrance pair", "Leaves 2"),
            ("HW-5 Warehouse/office separation - 90 minute", "Rating 90 minute"),
            ("1 PR DOORS #106  NAVE FROM NARTHEX   LHR/RHR 90\u{b0}", "Hand LHR/RHR; Leaves 2"),
            (
                "3'0\" x 7'0\" x 1-3/4\" HM DOOR - HM FRAME - 90 MIN LABEL",
                "DoorMaterial HM; FrameMaterial HM; Rating 90 MIN LABEL; Size 3'0\" x 7'0\" x 1-3/4\"",
            ),
            ("SET #7 - Exterior - Doors EX1 through EX4 (aluminum)", "DoorMaterial aluminum"),
            ("Single doors and pairs - Doors 101, 102", ""),
            ("Doors 3070, 3080", ""),
            ("1 SINGLE DOOR # 104   3070   HM/HM", "DoorMaterial HM; FrameMaterial HM; Size 3070"),
            ("SET 3 - DOORS 1101, 1102, 3070", ""),
            ("Double acting doors 12", ""),
            ("Conference rooms", ""),
            ("STC RATED MUSIC ROOM - HURRICANE RATED", ""),
            ("Corridor - FIRE RATED", "Rating FIRE RATED"),
            ("PR DEPARTMENT - DOUBLE ROOM - DOUBLE DUTY CLOSET - LOBBY DOUBLE SIDED READERS", ""),
            ("PR 3'0\" x 7'0\" HM DOORS", "DoorMaterial HM; Size PR 3'0\" x 7'0\""),
            ("6 SGL. DOORS 102, 103   3-0 X 7-0   WD X HM", "DoorMaterial WD; FrameMaterial HM; Size 3-0 X 7-0"),
            ("1 PR. DOORS 104   HM/HM   45 MIN", "DoorMaterial HM; FrameMaterial HM; Leaves 2; Rating 45 MIN"),
            ("2 Single Doors  107, 108   Corridor to Toilet        RH / LH", ""),
            ("2 Single Doors  107, 108   Corridor to Toilet        RH", "Hand RH"),
            ("1 Pair Doors  109   RHR / LHR", "Hand RHR/LHR; Leaves 2"),
            ("101, 102 CONFERENCE, 104 OFFICE NOT RATED, 105 STORAGE", ""),
            ("101 LOBBY, 102 OFFICE, 90 MIN", "Rating 90 MIN"),
            ("Doors: 101  102 CONFERENCE  104 OFFICE NOT RATED  105 STORAGE", ""),
            ("101, 102 NOT RATED", "Rating NOT RATED"),
            ("Stair (PR)", "Leaves 2"),
            ("1 PR exterior doors 12", "Leaves 2"),
        ] {
            assert_eq!(told(text), expected, "{text}");
        }
    }
}
