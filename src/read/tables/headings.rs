//! Column headings: what each may mean, from `catalogs/trade/headings.csv`.

use std::collections::HashMap;
use std::sync::LazyLock;

pub(crate) use super::headingkey::key;
pub(crate) use super::headingkey::whole_key;
use super::headingwords;
use crate::read::memo::{self, Memo};
use crate::read::words;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Meaning {
    DoorNumber,
    Set,
    SecondSet,
    SetTitle,
    DoorsServed,
    Size,
    Width,
    LeafWidth,
    SecondWidth,
    Height,
    Thickness,
    Leaves,
    DoorMaterial,
    FrameMaterial,
    DoorType,
    FrameType,
    DoorFinish,
    FrameFinish,
    Finish,
    Rating,
    FrameRating,
    WallRating,
    Smoke,
    Hand,
    Room,
    RoomTo,
    RoomNumber,
    Level,
    Wall,
    Exterior,
    Remarks,
    Count,
    Quantity,
    Unit,
    Description,
    CatalogNumber,
    Maker,
    Furnisher,
    Code,
    Kind,
    TypeCount,
    CountPart,
    CountFactor,
    Price,
    Substitute,
    Foreign,
    Other,
}

use Meaning as M;

/// Why a column is passed over that says what was before another.
pub(crate) const BEFORE: &str = ": what was before";

/// The names of meanings, as job files and layouts write them.
const NAMES: &[(&str, Meaning)] = &[
    ("door number", M::DoorNumber),
    ("set", M::Set),
    ("second set", M::SecondSet),
    ("set title", M::SetTitle),
    ("doors served", M::DoorsServed),
    ("size", M::Size),
    ("width", M::Width),
    ("leaf width", M::LeafWidth),
    ("second leaf width", M::SecondWidth),
    ("height", M::Height),
    ("thickness", M::Thickness),
    ("leaves", M::Leaves),
    ("door material", M::DoorMaterial),
    ("frame material", M::FrameMaterial),
    ("door type", M::DoorType),
    ("frame type", M::FrameType),
    ("door finish", M::DoorFinish),
    ("frame finish", M::FrameFinish),
    ("finish", M::Finish),
    ("rating", M::Rating),
    ("frame rating", M::FrameRating),
    ("wall rating", M::WallRating),
    ("smoke", M::Smoke),
    ("hand", M::Hand),
    ("room", M::Room),
    ("room to", M::RoomTo),
    ("room number", M::RoomNumber),
    ("level", M::Level),
    ("wall", M::Wall),
    ("exterior", M::Exterior),
    ("remarks", M::Remarks),
    ("count", M::Count),
    ("quantity", M::Quantity),
    ("unit", M::Unit),
    ("description", M::Description),
    ("catalog number", M::CatalogNumber),
    ("maker", M::Maker),
    ("furnished by", M::Furnisher),
    ("code", M::Code),
    ("kind", M::Kind),
    ("count of a type", M::TypeCount),
    ("count of a part", M::CountPart),
    ("factor of a count", M::CountFactor),
    ("price", M::Price),
    ("substitute", M::Substitute),
    ("foreign", M::Foreign),
    ("other", M::Other),
];

impl Meaning {
    /// Its name.
    pub fn name(self) -> &'static str {
        NAMES.iter().find(|(_, meaning)| *meaning == self).map_or("other", |(name, _)| name)
    }

    /// The meaning of a name, as a job file gives it.
    pub fn named(name: &str) -> Option<Self> {
        let name = name.trim().to_lowercase().replace(['_', '-'], " ");
        if name == "ignore" {
            return Some(M::Other);
        }
        NAMES.iter().find(|(known, _)| *known == name).map(|(_, meaning)| *meaning)
    }

    /// All names.
    pub fn names() -> impl Iterator<Item = &'static str> {
        NAMES.iter().map(|(name, _)| *name)
    }
}

/// What a heading may mean before its neighbours are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Heard {
    /// One meaning.
    One(Meaning),
    /// `NO.`: which door, or how many.
    NumberOrQuantity,
    /// `HARDWARE`: the set, or the item.
    SetOrDescription,
    /// `MATERIAL`: of the door, the frame or the item.
    Material,
    /// `TYPE`.
    Type,
    /// `SMOKE SEAL`: a fact about the opening, or a kind of hardware of a matrix.
    SmokeOrKind,
    /// `CARD READER`: a remark, or a kind of hardware of a matrix.
    RemarksOrKind,
}

static HEADINGS: LazyLock<HashMap<String, Heard>> = LazyLock::new(|| {
    let mut known = HashMap::new();
    for row in words::table(include_str!("../../../catalogs/trade/headings.csv")) {
        let [meaning, _, headings, ..] = &row[..] else { continue };
        let heard = match meaning.as_str() {
            "door number or quantity" => Heard::NumberOrQuantity,
            "set or description" => Heard::SetOrDescription,
            "material" => Heard::Material,
            "type" => Heard::Type,
            "smoke or kind" => Heard::SmokeOrKind,
            "remarks or kind" => Heard::RemarksOrKind,
            name => match Meaning::named(name) {
                Some(meaning) => Heard::One(meaning),
                None => continue,
            },
        };
        for heading in headings.split('|') {
            known.entry(heading.to_string()).or_insert(heard);
        }
    }
    known
});

/// The known headings with each word spelled out; those are left out that mean different things so.
static SPELLED_OUT: LazyLock<HashMap<String, Heard>> = LazyLock::new(|| {
    let mut known: HashMap<String, Option<Heard>> = HashMap::new();
    for (heading, heard) in HEADINGS.iter() {
        // A heading that stands in the table itself means what the table says.
        let Some(spelled) = headingwords::spelled_out(heading).filter(|spelled| !HEADINGS.contains_key(spelled)) else {
            continue;
        };
        let both = known.entry(spelled).or_insert(Some(*heard));
        if *both != Some(*heard) {
            *both = None;
        }
    }
    known.into_iter().filter_map(|(heading, heard)| Some((heading, heard?))).collect()
});

/// Meaning of a heading key, its words in whichever of their short forms.
pub(crate) fn exact(key: &str) -> Option<Heard> {
    if let Some(heard) = HEADINGS.get(key) {
        return Some(*heard);
    }
    if key.len() > LONGEST {
        return None;
    }
    let spelled = headingwords::spelled_out(key)?;
    HEADINGS.get(&spelled).or_else(|| SPELLED_OUT.get(&spelled)).copied()
}

thread_local! {
    static CELLS: Memo<Option<Heard>> = Memo::default();
}

/// Exact meaning of a cell, if it is a heading.
pub(crate) fn of_cell(text: &str) -> Option<Heard> {
    // A figure heads no column; door numbers all differ, and need not be remembered.
    if text.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    memo::once(&CELLS, text, |text| exact(&key(text)))
}

/// Whether a text in one cell is the headings of several columns and nothing else, as a pasted table leaves them:
/// `QTY DESCRIPTION CATALOG NUMBER FINISH MFR`.
pub(crate) fn only_headings(text: &str) -> bool {
    // `** Hardware by door supplier` is a footnote.
    let Some(found) = parted(text).filter(|_| !text.starts_with('*')) else { return false };
    // `Seals by door manufacturer` consists of words that head columns, and is a sentence.
    let said = |heading: &str| words::list("heading-in-prose").is(heading);
    if found.iter().any(|(heading, _)| said(heading)) || words::list("hardware-by").find(&words::plain(text)).is_some()
    {
        return false;
    }
    let has = |meaning: M| found.iter().any(|(_, heard)| *heard == Heard::One(meaning));
    let different = found.iter().enumerate().filter(|(at, (_, heard))| found[..*at].iter().all(|(_, of)| of != heard));
    different.count() >= 3 && (has(M::Quantity) || has(M::DoorNumber))
}

/// The headings that a text consists of, if it consists of nothing else.
pub(crate) fn parted(text: &str) -> Option<Vec<(String, Heard)>> {
    let key = key(text);
    let words: Vec<&str> = key.split(' ').collect();
    let mut found: Vec<(String, Heard)> = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let (length, heading, heard) = (1..=3.min(words.len() - at)).rev().find_map(|length| {
            let heading = words[at..at + length].join(" ");
            exact(&heading).map(|heard| (length, heading, heard))
        })?;
        at += length;
        found.push((heading, heard));
    }
    Some(found)
}

/// Longest text that can be a heading.
pub(crate) const LONGEST: usize = 60;

/// Meaning of a heading key, spelled a little differently or with more words around it, and how it was found.
pub(crate) fn near(key: &str) -> Option<(Heard, String)> {
    // `LOCK POWER` is no lock.
    let aside = || exact(key).is_none() && words::list("heading-ends-aside").ends(key).is_some();
    nearly(key).filter(|(heard, _)| *heard != Heard::One(M::Kind) || !aside())
}

fn nearly(key: &str) -> Option<(Heard, String)> {
    if key.len() > LONGEST || key.is_empty() {
        return None;
    }
    if let Some(heard) = exact(key) {
        return Some((heard, format!("heading \"{key}\"")));
    }
    // `OLD SET`, `PREVIOUS NO.`: what no longer counts.
    if let Some((first, _)) = key.split_once(' ')
        && words::list("heading-old").is(first)
    {
        return Some((Heard::One(M::Other), format!("heading \"{key}\"{BEFORE}")));
    }
    if key.len() >= 5 && key.chars().all(|letter| letter.is_ascii_alphabetic() || letter == ' ') {
        // Ties go to the alphabetically first heading, so that the outcome does not depend on the map's order.
        let best = HEADINGS
            .iter()
            .filter(|(known, heard)| {
                // A slip of the pen makes no table another trade's.
                **heard != Heard::One(M::Foreign) && known.len() >= 5 && known.len().abs_diff(key.len()) <= 2
            })
            .map(|(known, heard)| (strsim::normalized_damerau_levenshtein(known, key), known, heard))
            .filter(|(like, ..)| *like >= 0.8)
            .max_by(|a, b| a.0.total_cmp(&b.0).then_with(|| b.1.cmp(a.1)));
        if let Some((_, known, heard)) = best {
            return Some((*heard, format!("heading \"{key}\" spelled like \"{known}\"")));
        }
    }
    // `DOOR WIDTH NOMINAL`, `HARDWARE SET SEE SPEC`: the longest known heading at its beginning or end.
    let words: Vec<&str> = key.split(' ').collect();
    if !(2..=6).contains(&words.len()) {
        return None;
    }
    for length in (1..words.len()).rev() {
        for piece in [words[..length].join(" "), words[words.len() - length..].join(" ")] {
            if (length >= 2 || words.len() == 2 && piece.len() >= 3)
                && let Some(heard) = exact(&piece)
            {
                return Some((heard, format!("heading \"{key}\" holds \"{piece}\"")));
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_are_compared_without_their_punctuation() {
        assert_eq!(key("DR #"), "DR NO");
        assert_eq!(key("HwSet#"), "HW SET NO");
        assert_eq!(key("NominalWidth"), "NOMINAL WIDTH");
        assert_eq!(key("DR MAT'L"), "DR MATL");
        assert_eq!(key("Hardware > Set No."), "HARDWARE SET NO");
        assert_eq!(key("W (IN)"), "W");
    }

    #[test]
    fn the_synonyms_of_the_layouts_page_are_known() {
        for (heading, meaning) in [
            ("DOOR NO.", M::DoorNumber),
            ("Mark", M::DoorNumber),
            ("RM/DOOR NUMBER", M::DoorNumber),
            ("Tag", M::DoorNumber),
            ("HW SET", M::Set),
            ("HDWR", M::Set),
            ("HDW SET", M::Set),
            ("H.W. NO.", M::Set),
            ("Set No.", M::Set),
            ("Leaf width", M::LeafWidth),
            ("THK", M::Thickness),
            ("DOOR MATL", M::DoorMaterial),
            ("CONSTRUCTION", M::DoorMaterial),
            ("FRAME MATL", M::FrameMaterial),
            ("FR TYPE", M::FrameType),
            ("LABEL", M::Rating),
            ("FIRE RTG", M::Rating),
            ("Fire/Smoke", M::Rating),
            ("SWING", M::Hand),
            ("QTY.", M::Quantity),
            ("U/M", M::Unit),
            ("UOM", M::Unit),
            ("CAT #", M::CatalogNumber),
            ("PRODUCT ID", M::CatalogNumber),
            ("FIN.", M::Finish),
            ("US/BHMA", M::Finish),
            ("MFR.", M::Maker),
            ("COMMENTS", M::Remarks),
            ("Rough Width", M::Other),
        ] {
            assert_eq!(near(&key(heading)).map(|(heard, _)| heard), Some(Heard::One(meaning)), "{heading}");
        }
        assert_eq!(near(&key("HARDWEAR SET")).map(|(heard, _)| heard), Some(Heard::One(M::Set)));
        for (heading, meaning) in [
            ("Door Nbr.", M::DoorNumber),
            ("OPN'G NR", M::DoorNumber),
            ("HWE. SET #", M::Set),
            ("Hrdwr Grp Nr", M::Set),
            ("DR. LABL", M::Rating),
            ("Fr. Mtrl", M::FrameMaterial),
            ("LEAF WDTH", M::LeafWidth),
            ("Manf'r", M::Maker),
            ("Rmrks", M::Remarks),
            ("ITEM DESCR.", M::Description),
            ("CTLG NBR", M::CatalogNumber),
        ] {
            assert_eq!(near(&key(heading)).map(|(heard, _)| heard), Some(Heard::One(meaning)), "{heading}");
        }
        assert_eq!(exact("NR"), Some(Heard::NumberOrQuantity));
        assert!(only_headings("QTY DESCRIPTION CATALOG NUMBER FINISH MFR"));
        assert!(!only_headings("Seals by door manufacturer."));
    }

    #[test]
    fn every_row_of_the_table_has_a_meaning() {
        for row in words::table(include_str!("../../../catalogs/trade/headings.csv")) {
            let special = [
                "door number or quantity",
                "set or description",
                "material",
                "type",
                "smoke or kind",
                "remarks or kind",
            ];
            assert!(special.contains(&row[0].as_str()) || Meaning::named(&row[0]).is_some(), "{}", row[0]);
            for heading in row[2].split('|') {
                assert_eq!(key(heading), heading, "headings stand in the form they are compared in");
            }
        }
    }
}
