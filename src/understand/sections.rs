//! "By Section 28 13 00", "furnished under 28 1300": the specification of another trade has the good, so that others supply it;
//! the section of door hardware is ours. A section that merely stands beside the good, or one of a whole division that hardware
//! is in, leaves open whose it is. MasterFormat: divisions 00 to 49, sections in pairs of figures.

use super::claim::{Claim, Claims, What};
use super::roles::Role;
use super::token::Kind;
use crate::read::{self, schedule::PartRole};
use crate::trade::rule_words;

/// How a text comes to speak of a section.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Lead {
    /// By, under, furnished in.
    Supplies,
    /// Per; or the section alone, behind a dash or in brackets.
    Beside,
}

/// Openings, of which door hardware is a part.
const OUR_DIVISION: &str = "08";

/// Every section of hardware: 08 71 to 08 79.
const OUR_HARDWARE: &str = "087";

/// The phrase that says whose a good is by the section that it stands in, and the token behind the number.
pub(super) fn of_trade(claims: &Claims, at: usize) -> Option<(u32, usize)> {
    let tokens = &claims.tokens;
    let part = tokens.get(at)?.part;
    let text =
        |at: usize| tokens.get(at).filter(|token| token.part == part).map_or("", |token| token.text(claims.text));
    let is = |list: &str, at: usize| rule_words::is(list, text(at));
    let told = matches!(claims.role(at), PartRole::Free | PartRole::Description | PartRole::Remarks);
    let (lead, mut next) = match at {
        _ if !told => return None,
        _ if is("section-has-goods", at) => (Lead::Supplies, at + 1),
        _ if is("section-in", at) && at > 0 && claims.does(at - 1, Role::Supply) => (Lead::Supplies, at + 1),
        _ if is("section-beside", at) => (Lead::Beside, at + 1),
        _ => (Lead::Beside, at),
    };
    next += usize::from(is("article", next));
    let (from, mut whole) = (next, false);
    while is("section-words", next)
        || is("section-of-division", next)
        || next > from && matches!(text(next), "." | "#" | ":")
    {
        whole |= is("section-of-division", next);
        next += 1;
    }
    let (named, number) = (next > from, next);
    let (digits, next) = figures(claims, number, named, whole)?;
    // A number by itself may be that of a model: the section is written in pairs.
    let apart = named || next > number + 2 && is_bracketed(claims, at);
    let begins = lead == Lead::Supplies || digits.len() >= 4 && (from > at || apart);
    if !begins || !is_said_of_good(claims, at, lead) {
        return None;
    }
    let division = digits.get(..2)?;
    // What goods are set in, fixed to or painted with has a section too.
    let whose = match lead {
        _ if read::is_section_of_hardware(&digits) => (lead == Lead::Supplies).then_some("us")?,
        // Hardware too, which the same supplier may have: access control hardware.
        _ if digits.starts_with(OUR_HARDWARE) => "mfr",
        _ if rule_words::is("divisions-of-the-building", division) => (lead == Lead::Supplies).then_some("mfr")?,
        _ if division == OUR_DIVISION && digits.len() < 4 => (lead == Lead::Supplies).then_some("mfr")?,
        Lead::Supplies => "others",
        Lead::Beside => "mfr",
    };
    let node = claims.lexicon.step(0, claims.lexicon.word("by"))?;
    Some((claims.lexicon.step(node, claims.lexicon.word(whose))?, next))
}

/// The figures of a section that begin at a token, and the token behind them. Without a word for it a number must be written out:
/// `28 13 00`, `281300`; a division has two figures.
fn figures(claims: &Claims, at: usize, named: bool, whole: bool) -> Option<(String, usize)> {
    let tokens = &claims.tokens;
    let part = tokens.get(at)?.part;
    let group = |at: usize| {
        let token = tokens.get(at).filter(|token| token.part == part && token.is_number())?;
        let text = token.text(claims.text);
        text.bytes().all(|byte| byte.is_ascii_digit()).then_some(text)
    };
    let (mut digits, mut next) = (String::new(), at);
    while let Some(figures) = group(next).filter(|figures| figures.len() % 2 == 0 || digits.is_empty()) {
        if digits.len() + figures.len() > 8 {
            break;
        }
        digits.push_str(figures);
        next += 1;
        let joint = usize::from(
            tokens.get(next).is_some_and(|token| token.is('-') || token.is('.')) && group(next + 1).is_some(),
        );
        next += joint;
    }
    if digits.len() == 1 && whole {
        digits.insert(0, '0');
    }
    let known = match digits.len() {
        2 => named,
        4 | 5 => named && !whole || whole && digits.len() == 4,
        6 | 8 => true,
        _ => false,
    };
    let division = digits.get(..2)?.parse::<u32>().is_ok_and(|number| number < 50);
    // "28 13 00A", `28 13 00"`: no section.
    let behind = tokens.get(next).filter(|token| token.part == part);
    let ends = behind.is_none_or(|token| match token.kind {
        Kind::Sign(sign) => {
            matches!(sign, ',' | ';' | ')' | ']' | '(' | '.' | ':')
                || sign == '-' && token.gap
                || token.gap && sign == '/'
        }
        _ => token.gap && !token.is_number() && !claims.does(next, Role::Times) && !claims.does(next, Role::Measure),
    });
    (known && division && ends).then_some((digits, next))
}

/// Whether what begins at a token is said of a good that stands before, or of the whole cell.
fn is_said_of_good(claims: &Claims, at: usize, lead: Lead) -> bool {
    let tokens = &claims.tokens;
    let Some(before) = at.checked_sub(1).filter(|before| tokens[*before].part == tokens[at].part) else {
        return lead == Lead::Supplies || claims.role(at) == PartRole::Remarks;
    };
    let points = claims.does(before, Role::See) || claims.does(before, Role::Except) || claims.does(before, Role::From);
    // What leads to it said already whose it is.
    let led = ["section-has-goods", "section-in", "section-beside", "article"]
        .iter()
        .any(|list| rule_words::is(list, tokens[before].text(claims.text)));
    let denied = claims.lexicon.denies(tokens[before].id) || led;
    let size = claims.on(before).is_some_and(|claim| matches!(claim.what, What::Size(_) | What::See));
    // "24 by 28 13 00": a measure leads to another.
    let measures = lead == Lead::Supplies && (size || tokens[before].is_number() && claims.on(before).is_none());
    !points && !denied && !measures
}

/// Whether a dash, a bracket or a comma stands before a token, so that a clause of its own begins.
fn is_bracketed(claims: &Claims, at: usize) -> bool {
    at.checked_sub(1).is_some_and(|before| {
        let token = &claims.tokens[before];
        token.part != claims.tokens[at].part
            || matches!(token.kind, Kind::Sign('(' | '[' | ',' | ';'))
            || token.is('-') && token.gap
    })
}

/// Whether a remark that names a section or a division follows a thing that the trades of the building have, right before it:
/// blocking, sealant, paint. What stands there is no good of ours, and the good beside it stays.
pub(super) fn builds_in(claims: &Claims, claim: &Claim, named: &[usize]) -> bool {
    let tokens = &claims.tokens;
    let before = claim.from.checked_sub(1).filter(|before| tokens[*before].part == tokens[claim.from].part);
    let is_good = |at: usize| claims.on(at).is_some_and(|one| named.contains(&one.from));
    let builds = |at: usize| rule_words::is("things-of-the-building", tokens[at].text(claims.text)) && !is_good(at);
    names_one(claims, claim) && before.is_some_and(builds)
}

/// Whether nothing but the good stands before a remark that names a section or a division, so that it is said of the good. "Power
/// supply 24VDC, 120V input by Division 26" and "power transfer - wiring by Division 26" are not; other remarks are not asked.
pub(super) fn has_good_alone(claims: &Claims, claim: &Claim, named: &[usize]) -> bool {
    if !names_one(claims, claim) {
        return true;
    }
    let tokens = &claims.tokens;
    let part = tokens[claim.from].part;
    let supplies = |at: usize| claims.does(at, Role::Supply) && !claims.does(at, Role::Work);
    // "Furnished, installed and wired by Section 28 13 00" is one clause.
    let parts = |at: usize| {
        let token = &tokens[at];
        let dash = token.is('-') && token.gap && tokens.get(at + 1).is_some_and(|next| next.gap);
        let goes_on = token.is(',') && at > 0 && supplies(at - 1);
        token.part != part || dash || !goes_on && matches!(token.kind, Kind::Sign(',' | ';' | '(' | ')' | ':'))
    };
    let start = (0..claim.from).rev().find(|at| parts(*at)).map_or(0, |at| at + 1);
    let mut clause = start..claim.from;
    let goods = named.iter().filter(|from| clause.contains(*from));
    let Some(last) = goods.max().and_then(|from| claims.on(*from)) else {
        // A clause of its own: who furnishes, and nothing that it may be said of instead.
        let furnished = clause.clone().any(supplies);
        let furnishes = |at: usize| {
            let led = ["article", "passes-on", "section-has-goods", "section-in"];
            supplies(at)
                || furnished && claims.does(at, Role::Work)
                || claims.does(at, Role::And)
                || led.iter().any(|list| rule_words::is(list, tokens[at].text(claims.text)))
                || !matches!(tokens[at].kind, Kind::Word | Kind::Number)
        };
        return clause.all(furnishes);
    };
    let of_power = |at: usize| rule_words::is("words-of-power", tokens[at].text(claims.text));
    !(last.to..claim.from).any(of_power)
}

/// Whether a remark names a section or a division.
fn names_one(claims: &Claims, claim: &Claim) -> bool {
    (claim.from..claim.to).any(|at| claims.tokens[at].is_number())
}

#[cfg(test)]
mod tests {
    use crate::understand::lexicon::Lexicon;
    use crate::understand::suppliers::tests::whose;

    #[test]
    fn the_section_of_another_trade_is_others_and_one_beside_the_good_is_asked() {
        let lexicon = Lexicon::load(&[]).unwrap();
        let heard = |text: &str| whose(&lexicon, text);
        for text in [
            "Credential reader (by Section 28 13 00)",
            "Credential reader by Section 281300",
            "Credential reader by Section 28",
            "Credential reader by 28 13 00",
            "Credential reader furnished under Section 28 13 00",
            "Card reader by Sect. 28 1300",
            "Card reader furnished in Section 28 13 00",
            "Power supply by Spec. Section 26-05-00",
            "Card reader under Division 28",
            "Closer by Section 08 42 29",
            "Electric strike by Section 16700",
        ] {
            assert_eq!(heard(text), (true, false), "{text}");
        }
        for text in [
            "Door position switch - Section 28 13 00",
            "Wall stop (Section 10 28 00)",
            "Credential reader (28 13 00)",
            "Power supply per 28 05 00",
            "Closer by Section 08",
            "Kick plate by Section 05 50 00",
        ] {
            assert_eq!(heard(text), (false, true), "{text}");
        }
        for text in [
            "Kick plate by Section 08 71 00",
            "Closer, per Section 08 71 00",
            "Threshold, set in sealant, Section 07 92 00",
            "Kick plate 10 by 34",
            "Closer 689, 28 13 00 mm",
            "Hinge section 28",
            "Keyed section 28 mortise cylinder",
            "Closer not by Section 28 13 00",
            "Electric strike, wired by Section 26 05 00",
        ] {
            assert_eq!(heard(text), (false, false), "{text}");
        }
    }

    #[test]
    fn a_section_said_of_what_stands_beside_the_good_leaves_the_good() {
        let lexicon = Lexicon::load(&[]).unwrap();
        let heard = |text: &str| whose(&lexicon, text);
        for text in [
            "Power supply 24VDC 2A 120V input by Section 26 05 00",
            "Power supply 24VDC 2A, 120V by Section 26 05 00",
            "Power supply 24VDC 2A (fire alarm release by Section 28 46 00)",
            "Power supply 24VDC 2A - 120V input by Division 26",
            "Power supply furnished and installed, wired by Division 26",
            "Magnetic holder 24V, tie to fire alarm by Section 28 31 00",
            "Electric strike 24V furnished under 08 71 00, wired under 28 13 00",
            "Electric strike 24V furnished under 08 71 00, installed under 28 13 00",
            "Mortise lock F07 by Section 08 74 00",
        ] {
            assert_eq!(heard(text), (false, true), "{text}");
        }
        for text in [
            "Wall stop, blocking by Section 06 10 00",
            "Threshold, sealant by Section 07 92 00",
            "Closer 689, painted by Section 09 91 00",
            "Power supply, line voltage by Div 26",
            "Electric strike, card reader by Div 28",
            "Power transfer - wiring by Division 26",
        ] {
            assert_eq!(heard(text), (false, false), "{text}");
        }
        for text in [
            "Power supply by Division 26",
            "Power supply 24VDC 2A, by Division 26",
            "Power supply (furnished and installed by Division 28)",
            "Card reader, furnished, installed and wired by Section 28 13 00",
            "Card reader, black, by Division 28",
            "Kick plate 10 x 34 630 by Section 10 26 00",
            "Fire alarm power supply by Division 28",
            "Electric strike 24V, by Section 28 13 00",
            "Card reader Div 28",
            "Wiring by Division 26",
            "Wiring - by Division 26",
        ] {
            assert_eq!(heard(text), (true, false), "{text}");
        }
    }
}
