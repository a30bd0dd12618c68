//! What the electrified goods of an opening draw: amperes held and at the start, and the supply that is enough for them.

use rust_decimal::Decimal;

use crate::trade::attribute::names;
use crate::trade::category::Category;
use crate::trade::wire;

use super::job::Job;
use super::spec::Spec;

/// What one opening draws.
pub struct Load {
    /// Amperes held by all devices.
    pub hold: Decimal,
    /// Amperes of the largest at the start.
    pub start: Decimal,
    /// The devices, each with its share, in words.
    words: Vec<String>,
}

/// The current-drawing goods of a set, whoever supplies them. A motion sensor alone asks for no supply of ours.
pub fn devices<'j>(job: &'j Job, set: usize) -> Vec<&'j Spec> {
    let mut devices: Vec<&Spec> =
        super::devices::on_leaf(job, set).into_iter().filter(|spec| !kind_of(spec).is_empty()).collect();
    devices.extend(job.all_of(set, &[Category::ElectricStrike, Category::ElectromagneticLock]));
    if !devices.is_empty() {
        devices.extend(job.all_of(set, &[Category::RequestToExit]));
    }
    devices
}

/// Which row of the table of currents a line is; empty: it draws none.
pub fn kind_of(spec: &Spec) -> &'static str {
    match (spec.category, spec.word(names::ELECTRIFIED)) {
        (Some(Category::ElectricStrike), _) => "electric-strike",
        (Some(Category::ElectromagneticLock), _) => "electromagnetic-lock",
        (Some(Category::RequestToExit), _) => "request-to-exit",
        (_, "latch-retraction") => "latch-retraction",
        (_, "delayed-egress") => "delayed-egress",
        (_, "" | "none" | "no") => "",
        (Some(Category::ExitDevice), _) => "exit-trim",
        _ => "lock",
    }
}

/// The load of the set's hungriest opening: each device as often as the opening has it.
pub fn of(job: &Job, set: usize, devices: &[&Spec]) -> Load {
    let volts = job.terms.electrical.voltage.unwrap_or(24);
    let mut load = Load { hold: Decimal::ZERO, start: Decimal::ZERO, words: Vec::new() };
    for spec in devices {
        let (hold, start) = wire::draw(kind_of(spec), volts).unwrap_or_default();
        let hold = job.brings(spec, "draw_amps").unwrap_or(hold);
        let start = job.brings(spec, "draw_inrush").unwrap_or(start);
        let count = job.doors(set).map(|door| spec.count_at(door)).max().unwrap_or(Decimal::ONE);
        load.hold += hold.saturating_mul(count);
        load.start = load.start.max(start);
        let times = if count == Decimal::ONE { String::new() } else { format!("{} x ", count.normalize()) };
        load.words.push(format!("{} {times}{} A", kind_of(spec).replace('-', " "), hold.normalize()));
    }
    load
}

impl Load {
    /// What a supply must be rated for: what is held, with the margin.
    pub fn rating(&self) -> Decimal {
        self.hold.saturating_mul(wire::limit("supply_margin"))
    }

    /// The next supply made; the largest if none is enough.
    pub fn made(&self) -> Decimal {
        wire::supply_made(self.rating()).unwrap_or(Decimal::TEN)
    }

    /// The sum in words.
    pub fn sum(&self) -> String {
        format!(
            "{} = {} A held, x {} = {} A; {} A at the start of the largest",
            self.words.join(" + "),
            self.hold.normalize(),
            wire::limit("supply_margin").normalize(),
            self.rating().normalize(),
            self.start.normalize()
        )
    }
}
