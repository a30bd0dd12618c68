//! Numbers that nothing labels and nothing else reads: the voltage of what has wires (strike 24 fail secure), the thickness of a
//! plate without its point (kick plate 10 x 34 050).

use std::sync::OnceLock;

use rust_decimal::Decimal;

use super::assemble::Builder;
use super::claim::{Claim, What};
use super::meaning::{Categories, only};
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::inches::Inches;
use crate::trade::rule_words;

/// Goods that have no other form than with wires, and plates that are ordered by their thickness.
fn goods() -> &'static (Categories, Categories) {
    static GOODS: OnceLock<(Categories, Categories)> = OnceLock::new();
    GOODS.get_or_init(|| {
        let named = |used: &str| {
            let categories = rule_words::of(used).iter().filter_map(|name| name.parse().ok());
            categories.fold(0, |all, category| all | only(category))
        };
        (named("wired-goods"), named("plates-by-thickness"))
    })
}

impl Builder<'_> {
    /// Reads such numbers.
    pub(super) fn bare_numbers(&mut self) {
        let Some(category) = self.category() else { return };
        let (wired, plates) = *goods();
        let wired = wired & only(category) != 0 || self.attributes.contains_key(&names::ELECTRIFIED);
        if !wired && plates & only(category) == 0 {
            return;
        }
        let claims = self.scope.claims;
        let said: Vec<Attr> = self.attributes.keys().copied().collect();
        for at in 0..claims.tokens.len() {
            let token = &claims.tokens[at];
            let next = claims.tokens.get(at + 1);
            let alone = (at == 0 || token.gap) && next.is_none_or(|next| next.gap || next.is(',') || next.is(';'));
            if !self.scope.mask[at] || self.used[at] || !token.is_number() || !alone {
                continue;
            }
            let text = token.text(claims.text);
            let read: Option<(Attr, Value)> = if wired {
                let number = text.parse().ok().filter(|_| rule_words::is("voltages", text));
                number.map(|number| (names::VOLTAGE, Value::Number(number)))
            } else {
                let mils = text.parse::<i64>().ok().filter(|_| text.len() == 3 && text.starts_with('0'));
                mils.map(|mils| (names::THICKNESS, Value::Length(Inches::new(Decimal::new(mils, 3)))))
            };
            let Some((attribute, value)) = read.filter(|(attribute, _)| !said.contains(attribute)) else { continue };
            let claim = Claim { from: at, to: at + 1, what: What::See, also: [0; 2] };
            let evidence = self.scope.by_grammar(&claim, "number without a label");
            // "12 or 24": both are heard.
            self.put(attribute, value, evidence);
            self.take(&claim);
        }
    }
}
