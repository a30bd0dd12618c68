//! One row of a door schedule into an opening: sizes, pairs, materials, rating, hand, set, remarks.

use std::sync::LazyLock;

use crate::finding::{Finding, Kind, Weight};
use crate::money::ungrouped;
use crate::trade::rating::Rating;

use super::{doorlist, openfacts};
use crate::read::addenda::revision;
use crate::read::counts::takeoff;
use crate::read::excluded::others::{self, Ours, Reasons};
use crate::read::excluded::{othersasked, outsaid};
use crate::read::goods::{doorgoods, itemtext};
use crate::read::memo::{self, Memo};
use crate::read::repairs::damage;
use crate::read::schedule::Opening;
use crate::read::sets::{section, setheading};
use crate::read::sheet::{Cell, Row, Sheet};
use crate::read::sizes::sizing::{self, sizes};
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::Table;
use crate::read::words::{self, plain};

thread_local! {
    static RATINGS: Memo<Rating> = Memo::default();
    static TOLD: Memo<Told> = Memo::default();
}

/// What the words of a cell say of a door, whichever column they stand in. Cells repeat, so each text is looked through once.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Told {
    /// Leaves that the words name.
    pub leaves: Option<u32>,
    /// No pair of swinging leaves, however wide.
    pub not_a_swing_pair: bool,
    exterior: bool,
    interior: bool,
    excluded: bool,
    hardware_by: bool,
    /// What it says of hardware in the contract, whoever supplies the door.
    ours: Ours,
}

impl Told {
    /// What a text says.
    pub fn of(text: &str) -> Self {
        if text.is_empty() {
            return Self::default();
        }
        memo::once(&TOLD, text, |text| {
            let text = plain(text);
            let says = |used: &str| words::list(used).find(&text).is_some();
            // `PR` inside a remark about something else is rare; a single letter code is not looked for.
            let pair = says_pair(&text);
            Self {
                leaves: if pair { Some(2) } else { says("single").then_some(1) },
                not_a_swing_pair: says("not-a-swing-pair"),
                exterior: says("exterior"),
                interior: says("interior"),
                excluded: says("excluded"),
                hardware_by: says("hardware-by"),
                ours: others::ours(&text),
            }
        })
    }
}

/// Whether words speak of two leaves. `Double acting`, `double rabbet` say something else.
fn says_pair(text: &str) -> bool {
    let mut text = text.to_string();
    while let Some(other) = words::list("double-not-pair").find(&text).map(str::to_string) {
        text = text.replace(&other, " ");
    }
    words::list("pair").find(&text).is_some() && !text.contains("PAIR OF ") || text.contains("PAIR OF DOORS")
}

fn rated(text: &str) -> Rating {
    memo::once(&RATINGS, text, Rating::parse)
}

/// `LH`, `RH`, `LHR`, `RHR` by the words of a cell.
pub(crate) fn hand(text: &str) -> Option<&'static str> {
    let plain = plain(text).replace(['.', '-', '/'], "");
    let of = |lists: &[(&'static str, &words::WordList)], word: &str| {
        lists.iter().find(|(_, list)| list.is(word)).map(|(hand, _)| *hand)
    };
    let last = || of(&LAST_OF_HANDS, plain.split([' ', '_']).next_back()?);
    of(&HANDS, &plain).or_else(last)
}

/// Hands with the words that say them, and with the words that do at the end of others: `INSWING LHR`.
static HANDS: LazyLock<Vec<(&'static str, &words::WordList)>> = LazyLock::new(|| words::uses("hand:"));
static LAST_OF_HANDS: LazyLock<Vec<(&'static str, &words::WordList)>> = LazyLock::new(|| words::uses("hand-last:"));

/// The hands of both leaves of a pair, `RHR/LHR`: that of the active leaf stands first.
fn hand_of_pair(text: &str) -> Option<&'static str> {
    let leaves: Option<Vec<&str>> = text.split(['/', '&', '+']).map(hand).collect();
    leaves.filter(|leaves| leaves.len() == 2).and_then(|leaves| hand(leaves[0]))
}

/// What gives the cells of one row by meaning.
pub(crate) struct Reader<'a> {
    /// The sheet.
    pub sheet: &'a Sheet,
    /// The row.
    pub row: &'a Row,
    /// The table it stands in.
    pub table: &'a Table,
}

impl Reader<'_> {
    /// The cell of a meaning, unless struck.
    pub fn cell(&self, meaning: M) -> Option<&Cell> {
        let column = self.table.column(meaning)?;
        self.row.cell(column.index).filter(|cell| !cell.struck)
    }

    /// Its text, mended where a date stands for a size.
    pub fn text(&self, meaning: M) -> &str {
        self.cell(meaning).map(|cell| cell.text.as_str()).unwrap_or_default()
    }

    /// All texts of a meaning that may stand in several columns, joined.
    pub fn all(&self, meaning: M) -> String {
        let texts: Vec<&str> = self
            .table
            .columns
            .iter()
            .filter(|column| column.meaning == meaning)
            .filter_map(|column| self.row.cell(column.index))
            .filter(|cell| !cell.struck)
            .map(|cell| cell.text.as_str())
            .collect();
        texts.join("; ")
    }
}

/// Reads the row as a door. `number` is its door number.
pub(crate) fn opening(reader: &Reader<'_>, number: &str, findings: &mut Vec<Finding>) -> Opening {
    let place = reader.sheet.place(reader.row.number);
    let mut remarks = reader.all(M::Remarks);
    let room = room(reader);
    // Where the goods themselves stand, each says for itself whose it is.
    let set_cell = Some(reader.text(M::Set)).filter(|cell| !doorgoods::lists_ours(cell)).unwrap_or_default();
    let set = set_text(reader, &mut remarks, findings);
    // `By the door supplier` where others list goods.
    let beside =
        reader.cell(M::Description).filter(|cell| reader.table.has(M::Set) && itemtext::is_by_whom(&cell.text));
    if let Some(cell) = beside {
        let comma = if remarks.is_empty() { "" } else { "; " };
        remarks.push_str(&format!("{comma}{}", cell.text));
    }
    let kinds = reader.table.columns.iter().filter(|column| column.meaning == M::Kind && reader.table.has(M::Set));
    for column in kinds {
        if let Some(cell) = reader.row.cell(column.index).filter(|cell| !words::list("falsy").is(&plain(&cell.text))) {
            if !remarks.is_empty() {
                remarks.push_str("; ");
            }
            remarks.push_str(&format!("{}: {}", column.heading, cell.text));
        }
    }
    let (mut door_material, mut frame_material) =
        (reader.text(M::DoorMaterial).to_string(), reader.text(M::FrameMaterial).to_string());
    swapped(reader, &mut door_material, M::DoorFinish, findings);
    swapped(reader, &mut frame_material, M::FrameFinish, findings);
    if !reader.table.has(M::FrameMaterial)
        && let Some((door, frame)) = door_and_frame(&door_material)
    {
        (door_material, frame_material) = (door, frame);
    }
    let mut rating = rated(reader.text(M::Rating));
    let of_frame = rated(reader.text(M::FrameRating));
    if rating.text.is_empty() {
        rating = of_frame;
    } else {
        rating.frame_minutes = of_frame.minutes;
    }
    if rating.wall_minutes.is_none() {
        rating.wall_minutes = rated(reader.text(M::WallRating)).minutes.filter(|minutes| *minutes > 0);
    }
    let smoke = plain(reader.text(M::Smoke));
    if !smoke.is_empty() && !openfacts::is_open(&smoke) {
        rating.smoke = rating.smoke.or(Some(!words::list("falsy").is(&smoke)));
    }
    let revised = !reader.table.revisions.is_empty();
    let gone = if revised { revision::gone(reader.table, reader.row) } else { None };
    // `DELETE CLOSER` under REV speaks as a remark does.
    if revised && let Some(part) = revision::takes_a_part(reader.table, reader.row).filter(|_| gone.is_none()) {
        let comma = if remarks.is_empty() { "" } else { "; " };
        remarks.push_str(&format!("{comma}{part}"));
    }
    let exterior = exterior(&plain(reader.text(M::Exterior)), &room, &remarks);
    let said = [&*remarks, set_cell, &*door_material, &*frame_material, reader.text(M::Hand)];
    let tells = said.map(Told::of);
    let find = |used: &str, told: fn(Told) -> bool| {
        let text = said.iter().zip(&tells).find(|(_, tells)| told(**tells)).map(|(text, _)| text)?;
        Some(words::list(used).find(&plain(text)).unwrap_or_default().to_string())
    };
    let ours = tells[0].ours;
    let out_of =
        said.iter().zip(&tells).filter(|(_, tells)| tells.excluded).find_map(|(text, _)| outsaid::reason(text));
    let mut reasons = Reasons::of(out_of, &remarks, ours, &said);
    findings.extend(gone.as_ref().map(|words| revision::tell(number, words, set.is_some(), place.clone())));
    // What stays, or is said of something else, beside a set: the set is meant for it.
    let spared = set.is_some().then(|| reasons.excluded.take_if(|_| outsaid::spares_sets(&said))).flatten();
    let mut excluded = gone.or(reasons.excluded.take()).or_else(|| deleted(&remarks));
    let no_door = others::no_door([&remarks, &room, reader.text(M::DoorType), reader.text(M::DoorMaterial)]);
    let whole = reasons.whole.take().or(no_door);
    // What a remark says of others may be about a part of the goods; another cell speaks of the door.
    let mut beside = said.iter().zip(&tells).skip(1).filter(|(_, tells)| tells.hardware_by);
    let mut beside = beside.find_map(|(text, _)| words::list("hardware-by").find(&plain(text)).map(str::to_string));
    if itemtext::is_by_whom(set_cell) || others::gives_nothing(set_cell) {
        beside = beside.or_else(|| Some(plain(set_cell)));
    }
    if ours != Ours::Unsaid {
        beside = beside.filter(|words| words::list("words-for-hardware").find(words).is_some());
    }
    match &set {
        _ if excluded.is_some() || ours != Ours::Unsaid && whole.is_none() && beside.is_none() => {}
        None => excluded = beside.or(whole).or_else(|| section::of_another_trade(&remarks)),
        Some(set) => {
            let by = find("hardware-by", |told| told.hardware_by);
            let of_goods = || beside.is_none() && others::of_goods(&remarks);
            let of_door =
                by.filter(|_| !of_goods()).or(whole).or(spared).or_else(|| section::later_or_of_another(&remarks));
            let of_door = of_door.map(|words| (words, remarks.clone()));
            // `STORAGE N.I.C.` under ROOM: what holds the door may not be ours.
            let of_room = || Told::of(&room).excluded.then(|| outsaid::reason_of_room(&room)).flatten();
            if let Some((words, from)) = of_door.or_else(|| Some((of_room()?, room.clone()))) {
                findings.push(othersasked::with_set(number, set, &words, place.clone(), from));
            }
        }
    }
    findings.extend(reasons.tell(number, excluded.as_deref(), &place, &remarks));
    let hand = hand(reader.text(M::Hand)).or_else(|| hand(reader.text(M::DoorType))).map(str::to_string);
    let material = |text: String| {
        let text = text.trim().to_string();
        (!text.is_empty()).then(|| words::leaf_material(&text).map_or(text, str::to_string))
    };
    let wall = reader.text(M::Wall);
    let remarks = openfacts::with_special(remarks, [("door", &door_material), ("frame", &frame_material)]);
    let mut opening = Opening {
        number: doorlist::in_one_word(unrevised(number)),
        leaves: 1,
        width: None,
        height: None,
        thickness: None,
        leaf_widths: Vec::new(),
        door_material: material(door_material),
        frame_material: material(frame_material),
        wall: (!wall.is_empty()).then(|| words::wall(wall).unwrap_or(wall).to_string()),
        rating,
        exterior,
        hand,
        set,
        room,
        remarks,
        count: alike(reader, number, findings),
        excluded,
        place,
    };
    // How the door moves is told by nothing else.
    let kind = match reader.text(M::DoorType) {
        // `SECTIONAL OH` among materials is none.
        "" => reader.text(M::DoorMaterial).trim(),
        kind => kind,
    };
    let unknown = reader.cell(M::DoorType).is_some() || opening.door_material.as_deref() == Some(kind);
    if unknown && moves(kind) && !opening.remarks.contains(kind) {
        let comma = if opening.remarks.is_empty() { "" } else { "; " };
        opening.remarks.push_str(&format!("{comma}{kind}"));
    }
    let told = findings.len();
    sizes(reader, &mut opening, findings);
    if opening.excluded.is_some() {
        let own = findings.split_off(told);
        findings.extend(own.into_iter().filter(|finding| !sizing::OF_SIZES.contains(&finding.code)));
    }
    if opening.leaves == 2 && opening.hand.is_none() {
        opening.hand = hand_of_pair(reader.text(M::Hand)).map(str::to_string);
    }
    opening
}

/// `WD/HM` where nothing else tells of the frame: the door's material and the frame's. Glass is a part of the door.
pub(crate) fn door_and_frame(text: &str) -> Option<(String, String)> {
    let (door, frame) = text.split_once('/').map(|(door, frame)| (door.trim(), frame.trim()))?;
    let known = |part: &str| words::leaf_material(part).is_some_and(|found| !matches!(found, "none" | "glass"));
    (known(door) && known(frame)).then(|| (door.to_string(), frame.to_string()))
}

/// `DELETED`, `Rev C: deleted`, `VOID PER ADDENDUM 2`: a remark that says nothing else takes the door out.
fn deleted(remarks: &str) -> Option<String> {
    let gone = words::list("deleted");
    let around = |word: &str| {
        word.is_empty()
            || word.len() <= 2
            || word.bytes().any(|byte| byte.is_ascii_digit())
            || words::list("revision").is(word)
    };
    remarks.split([';', '\n']).map(str::trim).find_map(|part| {
        let folded = plain(part);
        let mut words = folded.split(|letter: char| !letter.is_ascii_alphanumeric());
        let named = words.clone().any(|word| gone.is(word));
        (named && words.all(|word| gone.is(word) || around(word))).then(|| part.to_string())
    })
}

/// Whether the type of a door says that it does not swing: `OHD`, `SL`, `BF`.
pub(crate) fn moves(kind: &str) -> bool {
    words::list("operation").is(&plain(kind)) || Told::of(kind).not_a_swing_pair
}

fn room(reader: &Reader<'_>) -> String {
    let mut parts: Vec<String> = Vec::new();
    for text in [reader.all(M::RoomNumber), reader.all(M::Room), reader.all(M::RoomTo)] {
        if !text.is_empty() && !parts.contains(&text) {
            parts.push(text);
        }
    }
    parts.join(" / ")
}

fn set_text(reader: &Reader<'_>, remarks: &mut String, findings: &mut Vec<Finding>) -> Option<String> {
    let cell = reader.cell(M::Set)?;
    let text = match damage::id_from_exponent(cell) {
        Some(id) => {
            findings.push(damage::exponent(reader.sheet.at(reader.row.number, cell.column), cell, &id));
            id
        }
        None => cell.text.clone(),
    };
    // Most ids have figures.
    let is_open = |text: &str| !text.bytes().any(|byte| byte.is_ascii_digit()) && openfacts::is_open(text);
    let by_others = Told::of(&text).hardware_by || itemtext::is_by_whom(&text) || is_open(&text);
    let lists = doorgoods::lists_ours(&text);
    if cell.kind == crate::read::sheet::CellKind::Error || by_others && !lists {
        return None;
    }
    // `1 (no closer)` says a set first, whatever goods its bracket names.
    let bare =
        text.split_once(" (").is_some_and(|(id, _)| id.len() <= 4 && id.bytes().all(|byte| byte.is_ascii_digit()));
    // What they stand for is settled when all sets and doors are read.
    if !bare && (lists || doorgoods::lists_goods(&text)) || setheading::same_as(&text).is_some() {
        return Some(text);
    }
    // `4 (modified)` is set 4 with a remark.
    let told = text.split_once(" (").filter(|(id, _)| id.len() <= 10 && id.bytes().any(|byte| byte.is_ascii_digit()));
    if let Some((id, remark)) = told {
        let comma = if remarks.is_empty() { "" } else { "; " };
        remarks.push_str(&format!("{comma}{}", remark.trim_end().trim_end_matches(')')));
        return setheading::id_of_cell(id);
    }
    setheading::id_of_cell(&text)
}

/// `106` of `106\u{25b3}1`: the mark of a revision behind a number is no part of it.
fn unrevised(number: &str) -> &str {
    let marked = number.split_once(['\u{25b3}', '\u{25b2}', '\u{394}', '\u{2206}']);
    let figures = |mark: &str| mark.len() <= 2 && mark.bytes().all(|byte| byte.is_ascii_digit());
    marked.filter(|(door, mark)| !door.trim().is_empty() && figures(mark)).map_or(number, |(door, _)| door.trim_end())
}

/// Material and finish swapped in one row.
fn swapped(reader: &Reader<'_>, material: &mut String, finish: M, findings: &mut Vec<Finding>) {
    let other = reader.text(finish);
    if !material.is_empty()
        && words::leaf_material(material).is_none()
        && words::leaf_material(other).is_some_and(|found| found != "none")
    {
        findings.push(
            Finding::new(
                "swapped-columns",
                Kind::Assumption,
                Weight::Reading,
                format!(
                    "material \"{material}\" and finish \"{other}\" stand in each other's column; they were exchanged"
                ),
            )
            .at(reader.sheet.place(reader.row.number), reader.row.joined())
            .help("check the row in the schedule"),
        );
        *material = other.to_string();
    }
}

fn exterior(column: &str, room: &str, remarks: &str) -> Option<bool> {
    if !column.is_empty() {
        let (out, inside) = (words::list("exterior"), words::list("interior"));
        if out.find(column).is_some() || words::list("truthy").is(column) {
            return Some(true);
        }
        if inside.find(column).is_some() || words::list("falsy").is(column) {
            return Some(false);
        }
    }
    let (room, remarks) = (Told::of(room), Told::of(remarks));
    if room.exterior || remarks.exterior {
        return Some(true);
    }
    remarks.interior.then_some(false)
}

/// Doors that one row may stand for.
pub(crate) const MOST_ALIKE: u32 = 20_000;

/// How many doors the row stands for. A cell that says nothing, or says leaves, means one; what is no count is asked about.
fn alike(reader: &Reader<'_>, number: &str, findings: &mut Vec<Finding>) -> u32 {
    if let Some(count) = takeoff::count(reader, number, findings) {
        return count;
    }
    let Some(cell) = reader.cell(M::Count) else { return 1 };
    let folded = plain(&cell.text);
    if let Some(count) = whole_count(&cell.text).filter(|count| (1..=MOST_ALIKE).contains(count)) {
        return count;
    }
    let blank = folded.bytes().all(|byte| byte == b'-' || byte == b'.') || Told::of(&cell.text).leaves.is_some();
    if !blank && !words::list("truthy").is(&folded) {
        let says = format!("\"{}\" is no count of doors; door {number} was counted once", cell.text);
        findings.push(
            Finding {
                openings: vec![number.to_string()],
                priced_as: "one door".into(),
                ..Finding::new("count-not-read", Kind::Question, Weight::Goods, says)
            }
            .at(reader.sheet.at(reader.row.number, cell.column), reader.row.joined())
            .help("ask how many such doors there are, and write the number"),
        );
    }
    1
}

/// How many a cell says: `2`, `2.0`, `(2)`, `2 EA`, `1,200`.
pub(crate) fn whole_count(text: &str) -> Option<u32> {
    let text = text.trim().trim_start_matches('(').trim_end_matches(')').trim();
    let figures = text.find(|letter: char| !letter.is_ascii_digit() && letter != ',').unwrap_or(text.len());
    let (number, rest) = text.split_at(figures);
    let number = ungrouped(number)?;
    let rest = rest.strip_prefix('.').map_or(rest, |decimals| decimals.trim_start_matches('0')).trim();
    let unit = rest.is_empty() || rest.bytes().all(|byte| byte.is_ascii_alphabetic() || byte == b'.');
    unit.then(|| number.parse().ok()).flatten()
}
