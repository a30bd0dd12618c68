//! How cells look, by name. Few colours, each beside words that say the same, legible in black and white.

/// The look of a cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Style {
    /// Size of the letters in points; 0: usual.
    pub size: u8,
    /// Bold.
    pub bold: bool,
    /// Slanted.
    pub slanted: bool,
    /// Breaks lines.
    pub wraps: bool,
    /// To which side.
    pub side: Side,
    /// Form of numbers.
    pub number: Form,
    /// Colour of the ground.
    pub ground: Ground,
    /// Colour of the letters.
    pub ink: Ink,
    /// Lines around it.
    pub edge: Edge,
    /// Steps of indent.
    pub indent: u8,
}

/// To which side a cell leans.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Side {
    /// Text left, numbers right.
    #[default]
    Usual,
    /// Left.
    Left,
    /// Middle.
    Middle,
    /// Right.
    Right,
}

/// Form of numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Form {
    /// As it comes.
    #[default]
    Plain,
    /// `1,234`, decimals where there are some.
    Count,
    /// `1,234.50`.
    Money,
    /// `1,234.50` with decimals of a cent.
    FineMoney,
    /// `+1,234.50`, `-1,234.50`.
    Difference,
    /// `0.4275`.
    Factor,
    /// `28.0%`.
    Percent,
    /// Text: what is typed stays as typed.
    Text,
}

/// Colour of the ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Ground {
    /// None.
    #[default]
    None,
    /// Column headings.
    Heading,
    /// Headings of sets and sections.
    Band,
    /// Cells to type in.
    Entry,
    /// Needs attention.
    Attention,
}

/// Colour of the letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Ink {
    /// Black.
    #[default]
    Black,
    /// The dark colour of titles.
    Title,
    /// White.
    White,
    /// Less important.
    Quiet,
    /// A link.
    Link,
}

/// Lines around a cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Edge {
    /// None.
    #[default]
    None,
    /// A hair line below.
    Below,
    /// A line above and a double one below: totals.
    Total,
    /// All around: cells to type in.
    Box,
    /// A heavy line below: under a letterhead.
    Rule,
    /// A line above: to sign on.
    Above,
}

impl Style {
    /// The usual look.
    pub const PLAIN: Style = Style {
        size: 0,
        bold: false,
        slanted: false,
        wraps: false,
        side: Side::Usual,
        number: Form::Plain,
        ground: Ground::None,
        ink: Ink::Black,
        edge: Edge::None,
        indent: 0,
    };

    /// Bold.
    pub const fn bold(self) -> Self {
        Self { bold: true, ..self }
    }
    /// Slanted.
    pub const fn slanted(self) -> Self {
        Self { slanted: true, ..self }
    }
    /// Breaking lines.
    pub const fn wraps(self) -> Self {
        Self { wraps: true, ..self }
    }
    /// Size.
    pub const fn size(self, size: u8) -> Self {
        Self { size, ..self }
    }
    /// Side.
    pub const fn side(self, side: Side) -> Self {
        Self { side, ..self }
    }
    /// Form of numbers.
    pub const fn form(self, number: Form) -> Self {
        Self { number, ..self }
    }
    /// Ground.
    pub const fn ground(self, ground: Ground) -> Self {
        Self { ground, ..self }
    }
    /// Ink.
    pub const fn ink(self, ink: Ink) -> Self {
        Self { ink, ..self }
    }
    /// Edge.
    pub const fn edge(self, edge: Edge) -> Self {
        Self { edge, ..self }
    }
    /// Indent.
    pub const fn indent(self, indent: u8) -> Self {
        Self { indent, ..self }
    }
}

/// Title of a page.
pub const TITLE: Style = Style::PLAIN.bold().size(18).ink(Ink::Title);
/// What stands under a title.
pub const SUBTITLE: Style = Style::PLAIN.ink(Ink::Quiet);
/// Heading of a section.
pub const SECTION: Style = Style::PLAIN.bold().size(12).ink(Ink::Title).edge(Edge::Rule);
/// Column heading.
pub const HEADING: Style = Style::PLAIN.bold().wraps().ink(Ink::White).ground(Ground::Heading).side(Side::Left);
/// Column heading over numbers.
pub const HEADING_RIGHT: Style = HEADING.side(Side::Right);
/// Band: a set, a group.
pub const BAND: Style = Style::PLAIN.bold().ground(Ground::Band);
/// Money in a band.
pub const BAND_MONEY: Style = BAND.form(Form::Money);
/// A cell of a table.
pub const CELL: Style = Style::PLAIN.edge(Edge::Below);
/// A cell of a table with long text.
pub const WORDS: Style = CELL.wraps();
/// Count in a table.
pub const COUNT: Style = CELL.form(Form::Count);
/// Money in a table.
pub const MONEY: Style = CELL.form(Form::Money);
/// Money with decimals of a cent.
pub const FINE: Style = CELL.form(Form::FineMoney);
/// Difference of money.
pub const DIFFERENCE: Style = CELL.form(Form::Difference);
/// Factor.
pub const FACTOR: Style = CELL.form(Form::Factor);
/// Percentage.
pub const PERCENT: Style = CELL.form(Form::Percent);
/// Less important text of a table.
pub const QUIET: Style = WORDS.ink(Ink::Quiet);
/// Needs attention; the words say why.
pub const ATTENTION: Style = WORDS.bold().ground(Ground::Attention);
/// A label before a figure.
pub const LABEL: Style = CELL;
/// A sum before the total.
pub const SUM: Style = Style::PLAIN.bold().edge(Edge::Above);
/// Total.
pub const TOTAL: Style = Style::PLAIN.bold().edge(Edge::Total);
/// Total of money.
pub const TOTAL_MONEY: Style = TOTAL.form(Form::Money);
/// Cell to type text in.
pub const ENTRY: Style = Style::PLAIN.ground(Ground::Entry).edge(Edge::Box).wraps();
/// Cell to type words in that stay as typed.
pub const ENTRY_TEXT: Style = ENTRY.form(Form::Text);
/// Cell to type a count in.
pub const ENTRY_COUNT: Style = ENTRY.form(Form::Count);
/// Cell to type money in.
pub const ENTRY_MONEY: Style = ENTRY.form(Form::Money);
/// Cell to type a percentage in.
pub const ENTRY_PERCENT: Style = ENTRY.form(Form::Percent);
/// A link.
pub const LINK: Style = CELL.ink(Ink::Link);
/// Running text.
pub const PROSE: Style = Style::PLAIN.wraps();
