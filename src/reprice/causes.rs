//! Categories of cause, as the bridge from the old total to the new one adds them up, in the order of the bridge.

pub(super) const OPENING_ADDED: &str = "openings added";
pub(super) const OPENING_REMOVED: &str = "openings removed";
pub(super) const OPENING_MOVED: &str = "openings given another set";
pub(super) const IN_OR_OUT: &str = "openings taken into or out of the contract";
pub(super) const OPENING_CHANGED: &str = "openings changed";
pub(super) const SET: &str = "sets added or removed";
pub(super) const LINE_ADDED: &str = "lines added to sets";
pub(super) const LINE_REMOVED: &str = "lines removed from sets";
pub(super) const QUANTITY: &str = "quantities changed";
pub(super) const LINE_CHANGED: &str = "goods changed";
pub(super) const IMPLIED: &str = "implied by what changed";
pub(super) const ANSWERED: &str = "answers";
pub(super) const PRICE: &str = "prices";
pub(super) const CHARGE: &str = "freight, tax and other charges";
pub(super) const FINDING: &str = "questions";

/// All of them in order.
pub(super) const ALL: [&str; 15] = [
    OPENING_ADDED,
    OPENING_REMOVED,
    OPENING_MOVED,
    IN_OR_OUT,
    OPENING_CHANGED,
    SET,
    LINE_ADDED,
    LINE_REMOVED,
    QUANTITY,
    LINE_CHANGED,
    IMPLIED,
    ANSWERED,
    PRICE,
    CHARGE,
    FINDING,
];
