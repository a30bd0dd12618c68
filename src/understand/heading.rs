//! Section headings: they narrow what the words of a line leave open, and name the good where the words are silent. The letters
//! of paragraphs.

use super::category::{Decided, is_own};
use super::claim::{Claims, What};
use super::lexicon::Lexicon;
use super::meaning::{Categories, single};
use super::reading::Heard;
use super::scope::Scope;
use super::token::{Kind, Token};
use crate::evidence::{By, Evidence};

/// The section heading narrows what the words leave open, and names the good where they are silent.
pub(super) fn narrows(scope: &Scope, decided: &mut Decided) {
    let Some(section) = scope.around.section.as_deref().filter(|section| !section.is_empty()) else { return };
    let speaks = nouns_in(scope.claims.lexicon, section);
    let narrowed = if decided.set == 0 { speaks } else { decided.set & speaks };
    let Some(category) = single(narrowed) else { return };
    let words = scope.placed.iter().any(|placed| is_own(placed) && !matches!(placed.claim.what, What::Quantity(_)));
    if !words {
        return;
    }
    let first = scope.placed.iter().find(|placed| is_own(placed)).map_or(0..0, |placed| scope.span(placed.claim));
    let by = By::Context(format!("section heading \"{section}\"").into());
    decided.set = narrowed;
    decided.heard = Heard::Found(category, Evidence { span: first, by });
}

/// The goods that a heading names.
pub fn nouns_in(lexicon: &Lexicon, heading: &str) -> Categories {
    let uniform = super::normal::normal(heading);
    let tokens = super::token::tokens(lexicon, &uniform.text, &|_| 0);
    let mut set = 0;
    let mut at = 0;
    while at < tokens.len() {
        let Some((node, next)) = lexicon.longest(&tokens, at).filter(|_| tokens[at].kind != Kind::Number) else {
            at += 1;
            continue;
        };
        let mut meanings = lexicon.entries(node).filter(|entry| !entry.ambiguous).flat_map(|entry| &entry.meanings);
        if let Some(noun) = meanings.find_map(|meaning| meaning.noun) {
            set |= noun.categories;
        }
        at = next;
    }
    set
}

/// "W. Louvers: ...": the letter of a paragraph whose title ends with a colon.
pub(super) fn outline(claims: &Claims, at: usize) -> bool {
    let [letter, point, title, ..] = &claims.tokens[at..] else { return false };
    let own = |token: &Token| token.part == letter.part;
    let single = letter.kind == Kind::Word && letter.end - letter.start == 1 && letter.line;
    single
        && point.is('.')
        && title.gap
        && own(title)
        && claims.tokens[at + 2..].iter().take(6).take_while(|token| own(token)).any(|token| token.is(':'))
}
