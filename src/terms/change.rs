//! Terms of changes after the award: what a change may earn, and what a credit is reduced by.

use rust_decimal::Decimal;
use serde::Deserialize;

use super::Percent;

/// Changes after the award. Without `awarded` a change is a re-issued bid and these have no effect.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ChangeTerms {
    /// The job is ours: `reprice` writes a change request beside the revised quote.
    pub awarded: bool,
    /// Margin or markup (as `price.method` says) on goods that a change adds; none: the rate that the goods have anyway.
    pub rate: Option<Percent>,
    /// Categories of goods that are ordered already; `all` for everything.
    pub ordered: Vec<String>,
    /// What the makers keep of the net cost of ordered goods that come back.
    pub restocking: Percent,
}

impl ChangeTerms {
    /// Whether goods of a category are ordered.
    pub fn is_ordered(&self, category: &str) -> bool {
        self.ordered.iter().any(|ordered| ordered == "all" || ordered == category)
    }

    /// What cannot be meant.
    pub(super) fn check(&self) -> Result<(), String> {
        let known = |name: &str| {
            name == "all" || crate::trade::category::Category::ALL.iter().any(|category| category.name() == name)
        };
        if let Some(unknown) = self.ordered.iter().find(|name| !known(name)) {
            return Err(format!(
                "[change] ordered: \"{unknown}\" is no category\n  help: write \"all\", or categories such as \"hinge\" \
                 (`pintle catalog list` shows them)"
            ));
        }
        if self.restocking.fraction() < Decimal::ZERO || self.restocking.fraction() > Decimal::ONE {
            return Err(format!("[change] restocking: {} is not between 0% and 100%", self.restocking));
        }
        Ok(())
    }
}
