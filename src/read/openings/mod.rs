//! Doors: rows of door schedules, lists of door numbers, cards, and what words say of them.

pub(super) mod ahead;
pub(super) mod asotherdoor;
pub(super) mod buildings;
pub(super) mod cardgoods;
pub(super) mod cardparts;
pub(super) mod cards;
pub(super) mod doorcells;
pub(super) mod doorlabels;
pub(super) mod doorlead;
pub(super) mod doorlist;
pub(super) mod doormore;
pub(super) mod doors;
pub(super) mod doorsbeside;
pub(super) mod leftalone;
pub(super) mod openfacts;
pub(super) mod saidmaterial;
