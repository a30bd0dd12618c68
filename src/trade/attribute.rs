//! Attributes of goods and their values. Names are those of the record; a product line may bring a name of its own
//! without a change here, so names are interned text, not an enum.

use std::collections::{BTreeMap, HashSet};
use std::fmt;
use std::sync::{Arc, Mutex, OnceLock};

use rust_decimal::Decimal;

use super::inches::Inches;

/// The name of an attribute, interned: cheap to copy and compare.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Attr {
    /// The first eight bytes of the name as a number, which orders as they do. Attributes are looked up in ordered maps
    /// millions of times for a large job, and hardly two names begin alike.
    start: u64,
    name: &'static str,
}

impl Attr {
    /// The attribute of that name. Names are interned for the life of the program; there are a few hundred.
    pub fn new(name: &str) -> Attr {
        static NAMES: OnceLock<Mutex<HashSet<&'static str>>> = OnceLock::new();
        let mut names = NAMES
            .get_or_init(Default::default)
            .lock()
            // A poisoned lock means another thread died while inserting a name; the set itself is still whole.
            .unwrap_or_else(std::sync::PoisonError::into_inner);
        if let Some(known) = names.get(name) {
            return Attr::of(known);
        }
        let kept: &'static str = Box::leak(name.to_owned().into_boxed_str());
        names.insert(kept);
        Attr::of(kept)
    }

    /// An attribute known when the program was written.
    pub const fn of(name: &'static str) -> Attr {
        let bytes = name.as_bytes();
        let (mut start, mut at) = (0, 0);
        while at < 8 {
            start = (start << 8) | if at < bytes.len() { bytes[at] as u64 } else { 0 };
            at += 1;
        }
        Attr { start, name }
    }

    /// The name, as in the record.
    pub fn name(self) -> &'static str {
        self.name
    }
}

impl fmt::Display for Attr {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name)
    }
}

const TABLE: &str = include_str!("../../catalogs/trade/attributes.csv");

/// The name of an attribute in words, as the trade says it: `center to center`.
pub fn title(attribute: Attr) -> String {
    static TITLES: OnceLock<BTreeMap<&'static str, &'static str>> = OnceLock::new();
    let titles = TITLES.get_or_init(|| {
        let rows = super::table::rows(TABLE).iter().filter(|row| !row.get(4).is_empty());
        rows.map(|row| (row.get(0), row.get(4))).collect()
    });
    titles.get(attribute.name()).map_or_else(|| attribute.name().replace('_', " "), |title| (*title).to_owned())
}

/// Names that the rules and grammars mention. The full list, with units and values, is `catalogs/trade/attributes.csv`.
pub mod names {
    use super::Attr;
    macro_rules! names { ($($constant:ident $name:literal),* $(,)?) => { $(
        #[doc = concat!("`", $name, "`")]
        pub const $constant: Attr = Attr::of($name);
    )* } }
    names! {
        ACTION "action", AMPS "amps", ARM "arm", BACKCHECK "backcheck", BACKSET "backset", BASE "base", BEARING "bearing",
        CENTER_TO_CENTER "center_to_center", CONDUCTORS "conductors", CORE "core", CORNERS "corners", CYLINDER "cylinder",
        DELAYED_ACTION "delayed_action", DESIGNATION "designation", DOGGING "dogging", DOOR "door", DRIVE "drive", DUTY "duty",
        ELECTRIFIED "electrified", FAIL "fail", FINISH "finish", FIRE_ALARM_RELAY "fire_alarm_relay", FIRE_LISTED "fire_listed",
        FOR "for", FORM "form", FUSIBLE_LINK "fusible_link", FUNCTION "function", FUNCTION_NAME "function_name", GRADE "grade", HAND "hand", HEIGHT "height",
        HOLDING_FORCE "holding_force", HOLD_OPEN "hold_open", INRUSH_AMPS "inrush_amps", KEYED "keyed", KIND "kind", KNUCKLES "knuckles", LENGTH "length",
        LESS_BOTTOM_ROD "less_bottom_rod", LINE "line", LOOK "look", MAKER "maker", MATERIAL "material", MONITOR "monitor", MOUNT "mount", MOUNTING_HEIGHT "mounting_height",
        MOUNTING "mounting", OUTPUTS "outputs", PIECES "pieces", PIN "pin", PROJECTION "projection", ROD_LENGTH "rod_length",
        SHAPE "shape", SIZE "size", STANDARD "standard", STOP "stop", SWING_CLEAR "swing_clear", THICKNESS "thickness", TIP "tip",
        TRIM "trim", TYPE "type", VOLTAGE "voltage", WEIGHT "weight", WIDTH "width", WIDTH_LESS "width_less",
    }
}

/// The value of an attribute.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Value {
    /// A word of the attribute's list, or free text: `heavy`, `652`, `F07`.
    Text(Arc<str>),
    /// A length.
    Length(Inches),
    /// Yes or no.
    Flag(bool),
    /// A count or another plain number: conductors, volts, amperes, pounds.
    Number(Decimal),
    /// Several words, sorted: the monitor switches of a lock.
    List(Vec<Arc<str>>),
}

impl Value {
    /// A word.
    pub fn text(text: &str) -> Value {
        Value::Text(text.into())
    }

    /// A whole number.
    pub fn count(count: u32) -> Value {
        Value::Number(Decimal::from(count))
    }

    /// The word, if it is one.
    pub fn as_text(&self) -> Option<&str> {
        match self {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The length, if it is one.
    pub fn as_length(&self) -> Option<Inches> {
        match self {
            Value::Length(length) => Some(*length),
            _ => None,
        }
    }

    /// The number, if it is one.
    pub fn as_number(&self) -> Option<Decimal> {
        match self {
            Value::Number(number) => Some(*number),
            _ => None,
        }
    }

    /// Whether it is `true`.
    pub fn is_true(&self) -> bool {
        matches!(self, Value::Flag(true))
    }
}

/// Plain text as in the record: `4.5`, `heavy`, `true`, `a, b`.
impl fmt::Display for Value {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Value::Text(text) => f.write_str(text),
            Value::Length(length) => length.fmt(f),
            Value::Flag(flag) => flag.fmt(f),
            Value::Number(number) => number.normalize().fmt(f),
            Value::List(words) => f.write_str(&words.join(", ")),
        }
    }
}

/// Attributes with their values, in order of name.
pub type Attributes = BTreeMap<Attr, Value>;
