//! Hardware sets: their headings in every form, the doors that they serve, and what is settled about them at the end.

pub(super) mod assigned;
pub(super) mod bareheads;
pub(super) mod emptysets;
pub(super) mod flatsets;
pub(super) mod headasked;
pub(super) mod headfacts;
pub(super) mod headforms;
pub(super) mod listapart;
pub(super) mod listsabove;
pub(super) mod oldsets;
pub(super) mod ratedset;
pub(super) mod saidofset;
pub(super) mod sameas;
pub(super) mod sameless;
pub(super) mod secondset;
pub(super) mod section;
pub(super) mod setcells;
pub(super) mod setcolumn;
pub(super) mod setfacts;
pub(super) mod setheading;
pub(super) mod setids;
pub(super) mod setline;
pub(super) mod setpages;
pub(super) mod titledoors;
pub(super) mod together;
pub(super) mod typeheads;
