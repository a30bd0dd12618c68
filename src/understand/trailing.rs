//! Counts behind a sign, where nothing else counts: "closer PA 689 - 1", "deadbolt, double cylinder / 1", "REX, 1, 626", "hinges x 3,
//! BB", "wall bumper 630 x2", "BB hinges 4.5 x 4.5 (3) 652".

use rust_decimal::Decimal;

use super::claim::{Claim, Claims, What};
use super::counts::{counted_already, has_column, so_many};
use super::dimensions::{may_measure, rules};
use super::lexicon::Gist;
use super::meaning::{ANY, Categories, Meaning, Special, members, only};
use super::roles::Role;
use super::token::{Kind, Token};
use crate::read::schedule::PartRole;
use crate::trade::category::Category;
use crate::trade::facts;
use crate::trade::finish;
use crate::trade::inches::Inches;

/// Whether a number in brackets in the midst of what is said of goods counts them: what stands before it is understood, and a finish,
/// a size, a sign or the end follows. `at` is the bracket, `next` what is behind the closing one.
pub(super) fn in_brackets(claims: &Claims, at: usize, next: usize) -> bool {
    let said = said_before(claims, at).is_some_and(|before| plain(claims, before));
    let begins = |behind: &Token| {
        matches!(behind.kind, Kind::Sign(',' | ';' | '-'))
            || behind.is_number() && behind.gap && !labelled(claims, next + 1)
    };
    // "Closer 689 (2)": one for each leaf, as behind the sign for times.
    let closers = named(claims, at, claims.tokens[at].part) == only(Category::Closer);
    said && counts(claims, at, at + 1, closers) && behind(claims, at, next).is_none_or(begins)
}

/// Whether a number behind a sign (a hyphen, a stroke or a sign of equality with room around, a comma) counts what stands before it:
/// the end, a comma, a bracket or another hyphen follows.
pub(super) fn behind_sign(claims: &Claims, at: usize, next: usize) -> bool {
    let Some(sign) = at.checked_sub(1).filter(|sign| claims.tokens[*sign].part == claims.tokens[at].part) else {
        return false;
    };
    let (mark, number) = (&claims.tokens[sign], &claims.tokens[at]);
    let comma = mark.is(',') && number.gap;
    let apart = ['-', '/', '='].iter().any(|one| mark.is(*one)) && mark.gap;
    let ends = behind(claims, at, next).is_none_or(|behind| {
        matches!(behind.kind, Kind::Sign(',' | ';'))
            || matches!(behind.kind, Kind::Sign('(' | '-'))
                && behind.gap
                && claims.tokens.get(next + 1).is_some_and(|one| !one.is_number())
    });
    // "-1" joined to its hyphen is a count at the end alone: "-1 1/2" is a measure.
    let joined = !number.gap && behind(claims, at, next).is_some();
    (comma || apart && !joined)
        && ends
        && said_before(claims, sign).is_some_and(|before| plain(claims, before))
        && counts(claims, at, at, false)
}

/// Whether `x 3` or `x3` behind a name or a finish counts: nothing that could be the other side of a size stands before it.
pub(super) fn times(claims: &Claims, x: usize, at: usize, next: usize) -> bool {
    let glued = !claims.tokens[at].gap;
    let before = said_before(claims, x);
    let side = |claim: &Claim| matches!(claim.what, What::Size(_) | What::Labelled { .. });
    let follows = behind(claims, at, next).is_none_or(|behind| {
        matches!(behind.kind, Kind::Sign(',' | ';' | '(' | '@'))
            || behind.is('-') && behind.gap
            || glued && behind.kind == Kind::Word && behind.gap && behind.text(claims.text) != "x"
    });
    claims.tokens[x].gap
        && before.is_some_and(|before| match side(before) {
            true => at == x + 1 && ends_size(claims, before, x),
            false => follows && plain(claims, before),
        })
        && counts(claims, x, at, true)
}

/// `Viewer | Two, at 43" and 60"`: a number that begins its cell, before a comma or a place, counts the goods that the cell
/// before it names, where such goods are counted so and nothing else counts them. `Closer | 4, 689` is a size.
pub(super) fn heads_cell(claims: &Claims, at: usize, next: usize, amount: Option<Decimal>) -> bool {
    let token = &claims.tokens[at];
    let free = |at: usize| matches!(claims.role(at), PartRole::Free | PartRole::Description);
    let begins = at.checked_sub(1).is_some_and(|before| claims.tokens[before].part != token.part);
    let parted = || {
        behind(claims, at, next).is_some_and(|behind| {
            matches!(behind.kind, Kind::Sign(',' | ';')) || behind.gap && claims.lexicon.places.leads(behind)
        })
    };
    if !begins || !free(at) || !parted() || counted_already(claims) || has_column(claims) {
        return false;
    }
    let before = |claim: &&Claim| claims.tokens[claim.from].part < token.part && free(claim.from);
    let goods = claims.list.iter().filter(before).fold(0, |goods, claim| goods | goods_of(claims, claim));
    let most = |category| facts::of(category).and_then(|facts| facts.most).unwrap_or(FEW);
    let few = |amount: Decimal| {
        let within = |whole: i64| so_many(goods, whole) && members(goods).all(|category| whole <= most(category));
        !may_measure(goods, amount) && amount.normalize().to_string().parse().is_ok_and(within)
    };
    goods != 0 && amount.is_some_and(few)
}

/// Whether what stands before `x6` is a size, of which the number is no further side.
fn ends_size(claims: &Claims, size: &Claim, x: usize) -> bool {
    match size.what {
        What::Size([Some(one), Some(two), None]) => {
            behind_sides(claims, (size.from, x), Some([one.measured.value, two.measured.value]))
        }
        What::Size(_) | What::Labelled { .. } => behind_sides(claims, (size.from, x), None),
        _ => false,
    }
}

/// `10x34 x1`, `4.5 X 4.5 x6 652`: behind a size an x that is set apart from it and joined to a few counts the goods. Written
/// together it may be of any goods; else it has two sides, the x between them stands otherwise, and the goods, named before it, have
/// no third side of that length. `10 x 34 x .050`, `10x34x1` go on with the size. `from` is where the size begins.
pub(super) fn behind_sides(claims: &Claims, (from, x): (usize, usize), sides: Option<[Inches; 2]>) -> bool {
    let (tokens, text) = (&claims.tokens, claims.text);
    let is_x = |at: usize| tokens[at].kind == Kind::Word && tokens[at].text(text) == "x";
    let joined_behind = |at: usize| tokens[at].gap && tokens.get(at + 1).is_some_and(|next| !next.gap);
    let part = tokens[from].part;
    let Some(third) = tokens.get(x + 1).filter(|third| third.part == part) else { return false };
    if !is_x(x) || !joined_behind(x) {
        return false;
    }
    let mut joints = (from..x).filter(|at| is_x(*at)).peekable();
    let together = joints.peek().is_some() && joints.all(|at| !tokens[at].gap);
    let same_form = (from..x).any(|at| is_x(at) && joined_behind(at));
    let more = |behind: &Token| {
        behind.gap && (together || !is_x(x + 2) && !labelled(claims, x + 2) && !claims.does(x + 2, Role::Measure))
    };
    let ends = behind(claims, x, x + 2).is_none_or(|behind| {
        matches!(behind.kind, Kind::Sign(',' | ';' | '(' | ')' | '@')) || behind.is('-') && behind.gap || more(behind)
    });
    let goods = named(claims, from, part);
    let no_side = |sides: [Inches; 2]| {
        third.value(text).is_some_and(|third| !may_have_third(goods, [sides[0], sides[1], Inches::new(third)]))
    };
    let counted = || !same_form && sides.is_some_and(no_side) && counts(claims, from, x + 1, true);
    let few = third.whole(text).is_some_and(|few| (1..10).contains(&few));
    ends && (together && few || counted())
}

/// Whether goods may have three such sides.
fn may_have_third(categories: Categories, sides: [Inches; 3]) -> bool {
    members(categories).any(|category| rules(category, sides.len()).iter().any(|rule| rule.fit(&sides).is_some()))
}

/// `630 x2`, `626 x 2`: the code of a finish times a count of a few, which is no size. Nor is `652 x 8` behind one name where the count
/// is not believed: no goods are so many inches, and a metric size has three figures on either side.
pub(super) fn finish_times(claims: &Claims, at: usize) -> bool {
    let code = claims.tokens[at].text(claims.text);
    let x = claims.tokens.get(at + 1);
    let times = x.is_some_and(|x| x.gap && x.text(claims.text) == "x");
    let number = claims.tokens.get(at + 2);
    let whole = number.is_some_and(Token::is_number);
    let small = || {
        let metric = claims.length(at + 2).is_some_and(|(length, _)| length.metric);
        number.is_some_and(|number| number.end - number.start < 3 && number.part == claims.tokens[at].part) && !metric
    };
    let ends = behind(claims, at, at + 3).is_none_or(|behind| {
        matches!(behind.kind, Kind::Sign(',' | ';' | '(' | '@'))
            || behind.kind == Kind::Word && behind.gap && behind.text(claims.text) != "x"
    });
    code.len() == 3
        && times
        && whole
        && ends
        && finish::find(code).is_some()
        && (counts(claims, at, at + 2, true) || small())
}

/// What is understood of the words that end before a token.
fn said_before<'a>(claims: &'a Claims, at: usize) -> Option<&'a Claim> {
    let part = claims.tokens[at].part;
    claims.list.last().filter(|before| before.to == at && claims.tokens[before.from].part == part)
}

/// The token behind a number, of the same cell.
fn behind<'a>(claims: &'a Claims, at: usize, next: usize) -> Option<&'a Token> {
    claims.tokens.get(next).filter(|behind| behind.part == claims.tokens[at].part)
}

/// The categories of goods that a claim names.
fn goods_of(claims: &Claims, claim: &Claim) -> Categories {
    let mut meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
    meanings.find_map(|meaning| meaning.noun).map_or(0, |noun| noun.categories)
}

/// Whether a claim says something of goods by itself: a label, a link or a word that denies waits for what comes next.
fn plain(claims: &Claims, claim: &Claim) -> bool {
    if matches!(claim.what, What::Size(_) | What::Labelled { .. }) {
        return true;
    }
    let meanings = || claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
    let says = |one: &Meaning| matches!(one.special, Special::Plain | Special::Look(_) | Special::Finish(_));
    let waits = |one: &Meaning| !says(one) && !matches!(one.special, Special::Nothing | Special::Ordinary);
    meanings().any(says) && !meanings().any(waits)
}

/// Whether the number at a token may belong to a label behind it, as wires and buttons do.
fn labelled(claims: &Claims, at: usize) -> bool {
    claims.longest(at).is_some_and(|(node, _)| {
        let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
        meanings.any(|one| matches!(one.special, Special::After(_) | Special::Dimension(_)))
    })
}

/// An opening has so many leaves at most.
const LEAVES: i64 = 2;

/// More goods whose name is no plural may be a size, pins or a number in a catalog.
const FEW: i64 = 4;

/// Whether a bare number may count the goods that are named before `from`: nothing else does; of more than one there are so many for
/// the doors of a set of goods that are counted so, and they have no such measure. `Flush bolt, 12` may be its rod.
fn counts(claims: &Claims, from: usize, number: usize, times: bool) -> bool {
    let (token, text) = (&claims.tokens[number], claims.text);
    let Some(whole) = token.whole(text).filter(|whole| *whole > 0) else { return false };
    let free = matches!(claims.role(number), PartRole::Free | PartRole::Description);
    if !free || token.text(text).starts_with('0') || counted_already(claims) || has_column(claims) {
        return false;
    }
    let part = token.part;
    let here = |claim: &&Claim| {
        claim.to <= from && claims.tokens[claim.from].part == part && claim.may_be(claims.lexicon, Gist::NOUN)
    };
    let plural = claims.list.iter().filter(here).any(|claim| claims.tokens[claim.to - 1].singular != 0);
    let goods = named(claims, from, part);
    let most = |category| {
        let most = facts::of(category).and_then(|facts| facts.most).unwrap_or(FEW);
        if plural { most.max(LEAVES) } else { most.clamp(LEAVES, FEW) }
    };
    let within = || members(goods).all(|category| i64::from(whole) <= most(category));
    // "Closer 689 x 2": behind its finish no size of a closer stands, and a sign of times leads to none.
    let of_leaves = times && from < number && i64::from(whole) <= LEAVES && goods == only(Category::Closer);
    let several = || {
        let many = times && plural || within();
        // Behind its size nothing else of it is measured.
        let sized = claims.list.last().is_some_and(|size| size.to == from && ends_size(claims, size, from));
        let measure = || !of_leaves && may_measure(goods, Decimal::from(whole));
        so_many(goods, i64::from(whole)) && many && (plural || sized || !measure())
    };
    goods != 0 && (whole == 1 || several())
}

/// The goods that are named before a token, or of which something is said there.
fn named(claims: &Claims, from: usize, part: u16) -> Categories {
    let here = |claim: &&Claim| {
        claim.to <= from && claims.tokens[claim.from].part == part && claim.may_be(claims.lexicon, Gist::NOUN)
    };
    let named = claims.list.iter().filter(here).fold(0, |goods, claim| goods | goods_of(claims, claim));
    if named == 0 { said_of(claims, from, part) } else { named }
}

/// The one category of which something is said before a token, though no name of goods is: "SVR, LBR".
fn said_of(claims: &Claims, from: usize, part: u16) -> Categories {
    let before = |claim: &&Claim| claim.to <= from && claims.tokens[claim.from].part == part;
    let meanings =
        claims.list.iter().filter(before).flat_map(|claim| claim.entries(claims.lexicon)).flat_map(|e| &e.meanings);
    let narrow = |meaning: &&Meaning| meaning.special == Special::Plain && meaning.categories != ANY;
    let goods = meanings.filter(narrow).fold(ANY, |goods, meaning| goods & meaning.categories);
    if goods.count_ones() == 1 { goods } else { 0 }
}

#[cfg(test)]
mod tests {
    use rust_decimal::Decimal;

    use crate::read::schedule::{PartRole, Wording};
    use crate::trade::attribute::names;
    use crate::understand::lexicon::Lexicon;
    use crate::understand::{Surroundings, understand};

    /// The count that is read of a description, beside what the column of quantities says.
    fn counted(quantity: &str, text: &str) -> Option<Decimal> {
        let lexicon = Lexicon::load(&[]).unwrap();
        let mut wording = Wording::default();
        if !quantity.is_empty() {
            wording.push(PartRole::Quantity, quantity, None);
        }
        wording.push(PartRole::Description, text, None);
        understand(&lexicon, &wording, &Surroundings::default())[0].quantity.amount
    }

    #[test]
    fn counts_behind_signs_names_and_finishes() {
        for (text, amount) in [
            ("Surface closer, parallel arm, 689 - 1", 1),
            ("Deadbolt grade 1 double cyl / 1", 1),
            ("Wall stop concave 626 -1", 1),
            ("BB hinges x 3, 4-1/2 x 4-1/2", 3),
            ("Wall stop convex 630 x2", 2),
            ("Hinges BB 4.5 x 4.5 (3) 652", 3),
            ("Electric strike rim, 12V, fail safe - 1 - verify voltage", 1),
            ("Construction cores x 24 (return)", 24),
            ("Closer 689 x 2", 2),
            ("Surface closer 689 (2)", 2),
            ("Butt hinges 4.5 X 4.5 x6", 6),
            ("Butt hinges 4-1/2x4-1/2 x6, 652", 6),
            ("Kick plate 10 X 34 x2", 2),
            ("Butt hinges 4.5 X 4.5 x6 652", 6),
            ("Kick plate 10 X 34 x2 stainless", 2),
        ] {
            assert_eq!(counted("", text), Some(Decimal::from(amount)), "{text}");
        }
    }

    #[test]
    fn a_number_that_begins_its_cell_counts_the_goods_of_the_cell_before() {
        let lexicon = Lexicon::load(&[]).unwrap();
        let counted = |name: &str, text: &str| {
            let mut wording = Wording::default();
            wording.push(PartRole::Description, name, None);
            wording.push(PartRole::Description, text, None);
            understand(&lexicon, &wording, &Surroundings::default())[0].quantity.amount
        };
        assert_eq!(counted("Viewer", "Two, at 43\" and 60\""), Some(Decimal::from(2)));
        assert_eq!(counted("Viewer", "2 at 43\" and 60\""), Some(Decimal::from(2)));
        assert_eq!(counted("Viewer", "190 deg, 626"), None);
        assert_eq!(counted("Closer", "4, 689"), None);
        assert_eq!(counted("Hinge", "5, 652"), None);
    }

    #[test]
    fn a_finish_holds_where_the_count_behind_it_is_not_believed() {
        let lexicon = Lexicon::load(&[]).unwrap();
        let finish = |text: &str| {
            let reading = understand(&lexicon, &Wording::free(text), &Surroundings::default()).remove(0);
            reading.attributes.get(&names::FINISH).and_then(|heard| Some(heard.found()?.as_text()?.to_owned()))
        };
        for (text, code) in [("Hinge 652 x 8", "652"), ("Kick plate 630 x 8", "630"), ("Kick plate 630 x 36", "630")] {
            assert_eq!(finish(text).as_deref(), Some(code), "{text}");
        }
        for text in ["Kick plate 613 x 203", "Kick plate 613 x 90 mm"] {
            assert_eq!(finish(text), None, "{text}");
        }
    }

    #[test]
    fn sizes_labels_and_codes_count_nothing() {
        for text in [
            "Closer, 4",
            "Closer - 4",
            "Surface closer size 1 - 6",
            "Hinge 4-1/2 x 4-1/2",
            "Kick plate 10 x 34",
            "Kick plate, 630, 10 x 34",
            "Kick plate 10 x34 x2",
            "Electric hinge 4.5 X 4.5 x4 wire",
            "Hinge 4.5 X 4.5 x6 in",
            "Kick plate 10 x 34 x.050",
            "Threshold 5 x 1/2 x36",
            "Hinge 4.5 x4.5",
            "Door sweep - 36",
            "Threshold per detail - 3",
            "Mortise lock - 08 lever",
            "Electric hinge (4 wire)",
            "Hinges 652 x 4-1/2",
            "Keypad lock, type - 2",
            "Exit device 630 x 36",
            "Electric strike, 12, 630",
            "Electric strike 630 - 12",
            "Flush bolt, 12, 626",
            "Flush bolt manual - 12",
            "Flush bolt x 12",
            "Closer 689 - 4",
            "Closer (4) 689",
            "Closer x 4",
            "Exit device rim 3, 4",
            "Kick plate 630 - 8",
            "Kick plate 630 x 8",
            "Kick plate (8) 34",
            "Pull 630 - 10",
            "Pull x 10, 630",
            "Threshold alum - 5",
            "Threshold 628 x 4",
            "Power transfer - 8",
            "Power transfer, 8",
            "Mortise lock - 7",
            "Push plate, 4, 16, 630",
            "Mullion, 8",
            "Rim cylinder, 7, 626",
            "Mortise cylinder - 6",
        ] {
            assert_eq!(counted("", text), None, "{text}");
        }
        assert_eq!(counted("2", "Surface closer 689 - 1"), Some(Decimal::TWO));
    }
}
