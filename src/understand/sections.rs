//! "By Section 28 13 00", "furnished under 28 1300": the specification of another trade has the good, so that others supply it;
//! the section of door hardware is ours. A section that merely stands beside the good, or one of a whole division that hardware
//! is in, leaves open whose it is. MasterFormat: divisions 00 to 49, sections in pairs of figures.

use super::claim::{Claims, What};
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

#[cfg(test)]
mod tests {
    use crate::read::schedule::Wording;
    use crate::understand::lexicon::Lexicon;
    use crate::understand::reading::RemarkKind;
    use crate::understand::{Surroundings, understand};

    #[test]
    fn the_section_of_another_trade_is_others_and_one_beside_the_good_is_asked() {
        let lexicon = Lexicon::load(&[]).unwrap();
        let heard = |text: &str| {
            let reading = understand(&lexicon, &Wording::free(text), &Surroundings::default()).remove(0);
            let out = reading.remarks.iter().any(|remark| remark.kind == RemarkKind::ByOthers);
            (out, reading.doubts.iter().any(|doubt| doubt.code == "remark-of-whom"))
        };
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
}
