//! What single words do in a sentence of the trade, whatever the goods: words for a door, words that ask for goods, that lead
//! to a quantity, that take something out. They are in `catalogs/trade/words/roles.txt`.

use super::claim::Claims;
use super::token::Token;

/// The list of the roles of words.
pub const ROLES: (&str, &str) = ("trade/words/roles.txt", include_str!("../../catalogs/trade/words/roles.txt"));

macro_rules! roles {
    ($($(#[$told:meta])* $role:ident = $name:literal,)*) => {
        /// What a word does.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum Role {
            $($(#[$told])* $role,)*
        }

        /// Every role with its name in the list.
        const ALL: &[(&str, Role)] = &[$(($name, Role::$role)),*];
    };
}

roles! {
    /// A door or its opening.
    Door = "door",
    /// What a width may be of.
    Leaf = "leaf",
    /// Leads to the mark of a door.
    Mark = "mark",
    /// Leads to the number of a room.
    Numbered = "numbered",
    /// Goods are bought so many in one.
    Pack = "pack",
    /// Behind a count it says that it comes on top.
    More = "more",
    /// Leads to the quantity.
    Quantity = "quantity",
    /// What is wanted stands behind or before it.
    Asks = "asks",
    /// Tells to supply what follows.
    Supply = "supply",
    /// Leads to what is new.
    Add = "add",
    /// Nothing else is wanted.
    Only = "only",
    /// Behind two digits it makes them a function.
    Lever = "lever",
    /// Behind a number it makes no count of it.
    Measure = "measure",
    /// Behind a number it makes it a length.
    Length = "length",
    /// A body whose standards are quoted.
    Standards = "standards",
    /// A body whose numbers stand bare.
    Codes = "codes",
    /// A time that fire is held.
    Rating = "rating",
    /// Another set is named by it.
    Set = "set",
    /// Points elsewhere.
    See = "see",
    /// What follows stays.
    Keep = "keep",
    /// Behind what stays.
    Stays = "stays",
    /// Something is taken out or left where it is.
    Out = "out",
    /// Something else takes its place.
    Replace = "replace",
    /// What follows is left out.
    Omit = "omit",
    /// What is taken off a measure stands behind it.
    Deduct = "deduct",
    /// What goods are made ready for stands before it.
    Ready = "ready",
    /// Where goods stand is before it.
    Mount = "mount",
    /// It joins two.
    And = "and",
    /// One of two.
    Or = "or",
    /// Between the ends of a range.
    Through = "through",
    /// Between the sides of a size.
    Times = "times",
    /// Leads to what a count is of.
    Per = "per",
    /// Leads to that of which there are so many, and to nothing else.
    Rate = "rate",
    /// Leads to what goods are for.
    For = "for",
    /// A condition begins.
    Condition = "condition",
    /// Some of the goods, nobody says how many.
    Some = "some",
    /// Between the number of some goods and what is said of them.
    OfSome = "of-some",
    /// Before a word for a leaf, that one of the two is meant.
    OneLeaf = "one-leaf",
    /// Leads to a number.
    NumberSign = "number-sign",
    /// A foot of length.
    Foot = "foot",
    /// An inch of length.
    Inch = "inch",
    /// A millimetre of length.
    Millimetre = "millimetre",
    /// Behind a number and "of": so many of what is spoken of.
    Them = "them",
    /// Leads to the mark of the door that goods are for.
    Where = "where",
    /// A door of one leaf.
    Single = "single",
    /// A door of two leaves.
    Pair = "pair",
    /// What a number of inches is of.
    Thick = "thick",
    /// Behind a length: as wide as high.
    Square = "square",
    /// One, before a half.
    One = "one",
    /// A half.
    Half = "half",
    /// Work on goods, which leaves open who supplies them.
    Work = "work",
    /// What of a lock or cylinder is keyed, whoever supplies the good.
    KeyedPart = "keyed-part",
    /// Leads to who supplies or does something.
    By = "by",
    /// Leads to where something stood before.
    From = "from",
    /// Before "with": whose maker brings the good stands behind it.
    Comes = "comes",
    /// A part of the opening, which may bring goods with it.
    PartOfOpening = "part-of-opening",
    /// Who supplies something.
    Supplier = "supplier",
    /// What an opening is built of, or is one: suppliers of it are others.
    Built = "built",
    /// What we supply.
    Hardware = "hardware",
    /// Before a word for a door: that it does not swing.
    Sliding = "sliding",
    /// A door that does not swing, or how it goes.
    Slider = "slider",
    /// What goods are not for stands behind it.
    Except = "except",
    /// Leads to a thing that stands there.
    Toward = "toward",
    /// The same as elsewhere.
    Same = "same",
    /// Behind it stands what something is like.
    As = "as",
    /// Behind the name of a lock's function: that it is one.
    Function = "function",
}

/// The roles of each word, by its number.
#[derive(Debug, Default)]
pub struct Roles(Vec<u128>);

/// A word that only this list has.
const ONLY: u128 = 1 << 127;

impl Roles {
    /// Reads the list; `number` gives the number of a word, and whether no other list has it.
    ///
    /// # Errors
    /// The line that is wrong.
    pub fn load(number: &mut dyn FnMut(&str) -> (u32, bool)) -> Result<Roles, String> {
        let (file, text) = ROLES;
        let mut roles = Roles::default();
        for (line, content) in (1u32..).zip(text.lines()) {
            if content.trim().is_empty() || content.starts_with('#') {
                continue;
            }
            let mut fields = content.split('|').map(str::trim);
            let name = fields.next().unwrap_or("");
            let role = ALL.iter().find(|(known, _)| *known == name).map(|(_, role)| *role);
            let role = role.ok_or_else(|| format!("{file}:{line}: \"{name}\" is no role of a word"))?;
            for word in fields {
                let (number, fresh) = number(word);
                let place = number as usize;
                if roles.0.len() <= place {
                    roles.0.resize(place + 1, 0);
                }
                roles.0[place] |= 1 << role as u128 | if fresh { ONLY } else { 0 };
            }
        }
        Ok(roles)
    }

    /// Whether a token is a word that does such a thing.
    pub fn does(&self, token: &Token, role: Role) -> bool {
        self.of(token.id) & (1 << role as u128) != 0
    }

    /// Whether a token is a word that does one of such things.
    pub fn does_any(&self, token: &Token, roles: &[Role]) -> bool {
        self.of(token.id) & roles.iter().fold(0, |all, role| all | 1 << *role as u128) != 0
    }

    fn of(&self, word: u32) -> u128 {
        self.0.get(word as usize).copied().unwrap_or(0)
    }

    /// Whether a word stands in no other list: it is no piece of words run together.
    pub fn only(&self, word: u32) -> bool {
        self.of(word) & ONLY != 0
    }
}

impl Claims<'_> {
    /// Whether a token is a word that does such a thing.
    pub(super) fn does(&self, at: usize, role: Role) -> bool {
        self.tokens.get(at).is_some_and(|token| self.lexicon.roles.does(token, role))
    }
}
