//! Finishes: what a BHMA code says of look and base metal, and which code a look has on a base. The data is
//! `catalogs/trade/finishes.csv` and `looks.csv`; base metals usual for a category are in `categories.csv`.

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use super::category::Category;
use super::confidence::Confidence;
use super::{facts, table};

const FINISHES: &str = include_str!("../../catalogs/trade/finishes.csv");
const LOOKS: &str = include_str!("../../catalogs/trade/looks.csv");

/// File of the codes, as evidence names it.
pub const FILE: &str = "trade/finishes.csv";
/// File of the looks.
pub const LOOKS_FILE: &str = "trade/looks.csv";

/// One finish code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finish {
    /// BHMA code, `652`; or a trade code with its letter, `613E`.
    pub code: &'static str,
    /// Old US code, `US26D`; empty if none.
    pub us: &'static str,
    /// Slug of the look: `satin-chromium`.
    pub look: &'static str,
    /// Base metals it stands for: none for paint; two for the brass or bronze codes.
    pub bases: Vec<&'static str>,
    /// In words.
    pub description: &'static str,
    /// How sure the row is.
    pub confidence: Confidence,
    /// Where it was read.
    pub source: &'static str,
    /// Line of the table.
    pub line: u32,
    /// The code once more, to be shared: nearly every good of a job has one.
    pub shared: Arc<str>,
    /// On what metal it is, in words, to be shared: `652 is on steel`; empty where the code does not settle it.
    pub told: Arc<str>,
}

impl Finish {
    /// The base metal, when the code settles it.
    pub fn base(&self) -> Option<&'static str> {
        match self.bases.as_slice() {
            [base] => Some(base),
            _ => None,
        }
    }

    /// Whether the code exists on a base; brass and bronze count as one group.
    pub fn is_on(&self, base: &str) -> bool {
        self.bases.iter().any(|own| group(own) == group(base))
    }
}

/// One look.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Look {
    /// Slug: `satin-chromium`.
    pub slug: &'static str,
    /// Old US codes: `US26D`, the usual one first.
    pub us: Vec<&'static str>,
    /// Looks that pass for one another by eye share a group: `silver-satin`.
    pub group: &'static str,
    /// Code that stands for it on painted goods; empty if none.
    pub painted: &'static str,
    /// Code nearest to it on aluminum goods, where it is not the one of the same look; empty if none.
    pub aluminum: &'static str,
    /// On what it rests.
    pub source: &'static str,
    /// Line of the table.
    pub line: u32,
}

/// Brass and bronze are one group of base metals: one maker's brass is another's bronze under the same code.
fn group(base: &str) -> &str {
    if base == "bronze" { "brass" } else { base }
}

/// All codes, in order.
pub fn all() -> impl Iterator<Item = &'static Finish> {
    codes().values()
}

fn codes() -> &'static BTreeMap<&'static str, Finish> {
    static CODES: OnceLock<BTreeMap<&'static str, Finish>> = OnceLock::new();
    CODES.get_or_init(|| {
        table::rows(FINISHES)
            .iter()
            .map(|row| {
                let bases: Vec<&str> = row.get(3).split_whitespace().collect();
                let told = match bases.as_slice() {
                    [base] => format!("{} is on {base}", row.get(0)),
                    _ => String::new(),
                };
                let finish = Finish {
                    code: row.get(0),
                    us: row.get(1),
                    look: row.get(2),
                    bases,
                    description: row.get(4),
                    confidence: Confidence::of(row.get(5)),
                    source: row.get(6),
                    line: row.line,
                    shared: row.get(0).into(),
                    told: told.into(),
                };
                (finish.code, finish)
            })
            .collect()
    })
}

fn look_table() -> &'static BTreeMap<&'static str, Look> {
    static TABLE: OnceLock<BTreeMap<&'static str, Look>> = OnceLock::new();
    TABLE.get_or_init(|| {
        table::rows(LOOKS)
            .iter()
            .map(|row| {
                let look = Look {
                    slug: row.get(0),
                    us: row.get(1).split_whitespace().collect(),
                    group: row.get(2),
                    painted: row.get(3),
                    aluminum: row.get(4),
                    source: row.get(5),
                    line: row.line,
                };
                (look.slug, look)
            })
            .collect()
    })
}

/// The codes of a look, in order.
pub fn of_look(slug: &str) -> &'static [&'static Finish] {
    static BY_LOOK: OnceLock<BTreeMap<&'static str, Vec<&'static Finish>>> = OnceLock::new();
    let by_look = BY_LOOK.get_or_init(|| {
        let mut all: BTreeMap<&'static str, Vec<&'static Finish>> = BTreeMap::new();
        for finish in codes().values() {
            all.entry(finish.look).or_default().push(finish);
        }
        all
    });
    by_look.get(slug).map_or(&[], Vec::as_slice)
}

/// All looks, in order.
pub fn looks() -> impl Iterator<Item = &'static Look> {
    look_table().values()
}

/// The look of that slug.
pub fn look(slug: &str) -> Option<&'static Look> {
    look_table().get(slug)
}

/// The finish of a BHMA code, or of a trade code such as `613E`. Suffixes that do not change look or base
/// (`626AM`: antimicrobial coat) are passed over.
pub fn find(code: &str) -> Option<&'static Finish> {
    let code = code.trim();
    let bare = code.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    if bare.len() == code.len() {
        return of_number(code);
    }
    codes().get(code).or_else(|| of_number(bare))
}

/// The finish of a code without letters. Every number of three figures in a schedule is asked for here, and most are none, so
/// the codes stand in the order of their numbers.
fn of_number(code: &str) -> Option<&'static Finish> {
    static NUMBERS: OnceLock<Vec<Option<&'static Finish>>> = OnceLock::new();
    let numbers = NUMBERS.get_or_init(|| {
        let mut numbers = vec![None; 1000];
        for finish in codes().values() {
            if let Some(place) = place_of(finish.code) {
                numbers[place] = Some(finish);
            }
        }
        numbers
    });
    match place_of(code) {
        Some(place) => numbers[place],
        None => codes().get(code),
    }
}

/// The number of a code of three figures.
fn place_of(code: &str) -> Option<usize> {
    let &[hundreds, tens, ones] = code.as_bytes() else { return None };
    let figure = |byte: u8| byte.is_ascii_digit().then(|| usize::from(byte - b'0'));
    Some(figure(hundreds)? * 100 + figure(tens)? * 10 + figure(ones)?)
}

/// The look that a US code names: `US26D`, `26D` and `C26D` are `satin-chromium`.
pub fn look_of_us(code: &str) -> Option<&'static Look> {
    let upper: String = code.chars().filter(char::is_ascii_alphanumeric).map(|c| c.to_ascii_uppercase()).collect();
    let bare = upper.strip_prefix("US").or_else(|| upper.strip_prefix('C')).unwrap_or(&upper);
    looks().find(|look| look.us.iter().any(|us| us.strip_prefix("US") == Some(bare)))
}

/// The look of a code of either system, or of a slug.
pub fn look_of(code: &str) -> Option<&'static str> {
    find(code)
        .map(|finish| finish.look)
        .or_else(|| look(code).map(|look| look.slug))
        .or_else(|| look_of_us(code).map(|look| look.slug))
}

/// The code of a look on a base metal (`brass` and `bronze` count as one; `painted` gives the paint's code).
/// `None` where the standard has none or the row is from weak memory.
pub fn resolve(look_slug: &str, base: &str) -> Option<&'static Finish> {
    if base == "painted" {
        return look(look_slug).filter(|look| !look.painted.is_empty()).and_then(|look| find(look.painted));
    }
    if base == "aluminum"
        && let Some(near) = look(look_slug).and_then(|look| find(look.aluminum))
    {
        return Some(near);
    }
    // Where two codes stand for one look and base (629 and 653), the lower is the usual one.
    of_look(look_slug).iter().copied().find(|finish| finish.is_on(base) && finish.confidence.settles())
}

/// The base metal to assume for a category when only a look is written: `steel`, `brass` (the brass and bronze group),
/// `painted`, `aluminum`; `None` where none is usual enough.
pub fn default_base(category: Category) -> Option<&'static str> {
    facts::of(category).map(|facts| facts.default_base).filter(|base| !base.is_empty())
}

/// Whether goods of a category are made in a code where nobody said the base metal: by the bases that are usual for them.
pub fn suits(category: Category, code: &Finish) -> bool {
    let others = facts::of(category).map(|facts| facts.other_bases.as_slice()).unwrap_or_default();
    let other = || others.iter().any(|other| code.is_on(other));
    match default_base(category) {
        Some("painted") => code.bases.is_empty() || code.code == "600" || other(),
        Some(base) => code.bases.is_empty() || code.is_on(base) || other(),
        None => true,
    }
}

/// Whether two codes or slugs are the same look, or looks taken for one another by eye (626, 652, 630, 689, 628).
pub fn same_family(a: &str, b: &str) -> bool {
    match (look_of(a).and_then(look), look_of(b).and_then(look)) {
        (Some(a), Some(b)) => a.slug == b.slug || a.group == b.group,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn families_follow_the_derivation_matrix() {
        // A156.18 derivation matrix and the worked examples beside it.
        for (look, base, code) in [
            ("satin-chromium", "steel", "652"),
            ("satin-chromium", "brass", "626"),
            ("satin-chromium", "bronze", "626"),
            ("satin-chromium", "zinc", "682"),
            ("satin-chromium", "painted", "689"),
            ("bright-brass", "steel", "632"),
            ("bright-brass", "brass", "605"),
            ("oil-rubbed-bronze", "steel", "640"),
            ("oil-rubbed-bronze", "brass", "613"),
            ("oil-rubbed-bronze", "zinc", "704"),
            ("oil-rubbed-bronze", "painted", "695"),
            ("satin-stainless", "stainless", "630"),
            ("bright-stainless", "stainless", "629"),
            ("satin-nickel", "steel", "646"),
            ("bright-chromium", "steel", "651"),
            ("flat-black", "brass", "622"),
            ("flat-black", "steel", "631"),
            ("primed", "steel", "600"),
        ] {
            assert_eq!(resolve(look, base).map(|finish| finish.code), Some(code), "{look} on {base}");
        }
        assert_eq!(resolve("satin-chromium", "stainless"), None);
    }

    #[test]
    fn codes_are_found_in_either_system() {
        assert_eq!(find("652").and_then(Finish::base), Some("steel"));
        assert_eq!(find("626").and_then(Finish::base), None);
        assert_eq!(find("626AM").map(|finish| finish.code), Some("626"));
        assert_eq!(find("613E").map(|finish| finish.code), Some("613E"));
        for code in ["US26D", "26D", "us 26 d", "C26D", "626", "652"] {
            assert_eq!(look_of(code), Some("satin-chromium"), "{code}");
        }
        assert!(same_family("626", "630"));
        assert!(!same_family("626", "613"));
    }

    #[test]
    fn every_row_names_a_known_look_and_base() {
        for finish in all() {
            assert!(look(finish.look).is_some(), "{}: look {}", finish.code, finish.look);
            for base in &finish.bases {
                let known = ["steel", "stainless", "brass", "bronze", "aluminum", "zinc", "plastic"];
                assert!(known.contains(base), "{}: base {base}", finish.code);
            }
        }
        for look in looks() {
            assert!(look.painted.is_empty() || find(look.painted).is_some(), "{}", look.slug);
        }
    }
}
