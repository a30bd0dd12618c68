//! Tables: which rows are headings, what each column means and why, and what becomes of the rows below.

pub(super) mod aside;
pub(super) mod bycells;
pub(super) mod columnpages;
pub(super) mod columns;
pub(super) mod headingkey;
pub(super) mod headingpath;
pub(super) mod headings;
pub(super) mod headingwords;
pub(super) mod headless;
pub(super) mod kinds;
pub(super) mod layout;
pub(super) mod loosely;
pub(super) mod notused;
pub(super) mod numbered;
pub(super) mod otherdoors;
pub(super) mod othertrade;
pub(super) mod parts;
pub(super) mod settled;
pub(super) mod table;
pub(super) mod tablerows;
pub(super) mod titleblock;
pub(super) mod twotongues;
pub(super) mod unheaded;
