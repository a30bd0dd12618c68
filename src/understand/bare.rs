//! Numbers that nothing labels and nothing else reads: the voltage of what has wires (strike 24 fail secure), the thickness of a
//! plate without its point (kick plate 10 x 34 050).

use rust_decimal::Decimal;

use super::assemble::Builder;
use super::claim::{Claim, What};
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::inches::Inches;
use crate::trade::rule_words;

/// Goods that have no other form than with wires.
const WIRED: [Category; 4] =
    [Category::ElectricStrike, Category::ElectromagneticLock, Category::PowerSupply, Category::MagneticHolder];

/// Plates that are ordered by their thickness.
const PLATES: [Category; 2] = [Category::ProtectionPlate, Category::PushPlate];

impl Builder<'_> {
    /// Reads such numbers.
    pub(super) fn bare_numbers(&mut self) {
        let Some(category) = self.category() else { return };
        let wired = WIRED.contains(&category) || self.attributes.contains_key(&names::ELECTRIFIED);
        if !wired && !PLATES.contains(&category) {
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
