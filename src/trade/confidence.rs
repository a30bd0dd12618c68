//! How sure a fact of the trade is, by where it was read.

/// The marks of the tables in `catalogs/trade/`, surest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Confidence {
    /// Read in the standard's own text or a government document.
    Standard,
    /// Read in a table that cites the standard.
    Cited,
    /// Read in two independent places.
    Twice,
    /// Read in one place.
    Once,
    /// Common practice.
    Practice,
    /// From memory, high confidence.
    MemoryHigh,
    /// From memory, medium confidence.
    MemoryMedium,
    /// From memory, low confidence: shown, settles nothing alone.
    MemoryLow,
}

impl Confidence {
    /// The mark of a table; an unknown mark counts as the lowest.
    pub fn of(mark: &str) -> Confidence {
        match mark {
            "A" => Confidence::Standard,
            "A-" => Confidence::Cited,
            "B" => Confidence::Twice,
            "C" => Confidence::Once,
            "CP" => Confidence::Practice,
            "M+" => Confidence::MemoryHigh,
            "M" => Confidence::MemoryMedium,
            _ => Confidence::MemoryLow,
        }
    }

    /// Whether a fact of this confidence may settle something by itself.
    pub fn settles(self) -> bool {
        self != Confidence::MemoryLow
    }

    /// In words, for evidence.
    pub fn word(self) -> &'static str {
        match self {
            Confidence::Standard | Confidence::Cited | Confidence::Twice | Confidence::Once => "read",
            Confidence::Practice => "common practice",
            Confidence::MemoryHigh => "from memory",
            Confidence::MemoryMedium => "from memory, unverified",
            Confidence::MemoryLow => "from memory, low confidence",
        }
    }
}
