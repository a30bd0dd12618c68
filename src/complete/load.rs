//! What the electrified goods of an opening draw: amperes held and at the start, and the supply that is enough for them.

use rust_decimal::Decimal;

use crate::trade::attribute::{Attributes, Value, names};
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
    /// What the largest takes at its start beyond what it holds.
    rise: Decimal,
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
        (_, "latch-retraction") if spec.word(names::DRIVE) == "motor" => "latch-retraction motor",
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
    let mut load = Load { hold: Decimal::ZERO, start: Decimal::ZERO, rise: Decimal::ZERO, words: Vec::new() };
    for spec in devices {
        let (hold, start) = wire::draw(kind_of(spec), volts).unwrap_or_default();
        let hold = job.brings(spec, "draw_amps").unwrap_or(hold);
        let start = job.brings(spec, "draw_inrush").unwrap_or(start);
        let count = job.doors(set).map(|door| spec.count_at(door)).max().unwrap_or(Decimal::ONE);
        load.hold += hold.saturating_mul(count);
        if count > Decimal::ZERO {
            load.start = load.start.max(start);
            load.rise = load.rise.max(start - hold);
        }
        let times = if count == Decimal::ONE { String::new() } else { format!("{} x ", count.normalize()) };
        load.words.push(format!("{} {times}{} A", kind_of(spec).replace('-', " "), hold.normalize()));
    }
    load
}

/// What the wires to one device on a leaf lose at its start, and whether the transfer bears its currents.
pub struct Drop {
    device: &'static str,
    /// Volts of the supply.
    pub volts: u32,
    hold: Decimal,
    start: Decimal,
    /// Length in feet and gauge: of hinge and leaf, of the feeder.
    runs: [(Decimal, u32); 2],
    /// Whether the job terms give the feeder's length or gauge.
    has_feeder: bool,
    /// What the job terms leave open, with what was taken.
    taken: Vec<String>,
}

impl Drop {
    /// Of a device on the leaf; `None` for one that draws nothing known.
    pub fn of(job: &Job, spec: &Spec) -> Option<Drop> {
        let terms = &job.terms.electrical;
        let of_words =
            spec.value(names::VOLTAGE).and_then(Value::as_number).and_then(|volts| u32::try_from(volts).ok());
        let volts = of_words.or(terms.voltage).unwrap_or(24);
        let (hold, start) = wire::draw(kind_of(spec), volts)?;
        let hold = job.brings(spec, "draw_amps").unwrap_or(hold);
        let start = job.brings(spec, "draw_inrush").unwrap_or(start).max(hold);
        let whole = |name: &str| u32::try_from(wire::limit(name)).unwrap_or_default();
        let mut taken = Vec::new();
        let mut or_usual = |given: Option<u32>, name: &str, unit: &str| {
            given.unwrap_or_else(|| {
                taken.push(format!("{name} {}{unit}", whole(name)));
                whole(name)
            })
        };
        let hinge_gauge = or_usual(terms.hinge_gauge, "hinge_gauge", " AWG");
        let feeder = or_usual(terms.feeder_feet, "feeder_feet", " ft");
        let feeder_gauge = or_usual(terms.feeder_gauge, "feeder_gauge", " AWG");
        let runs = [(wire::limit("hinge_feet"), hinge_gauge), (Decimal::from(feeder), feeder_gauge)];
        let has_feeder = terms.feeder_feet.is_some() || terms.feeder_gauge.is_some();
        Some(Drop { device: kind_of(spec), volts, hold, start, runs, has_feeder, taken })
    }

    fn lost(&self, (feet, gauge): (Decimal, u32)) -> Decimal {
        wire::drop(feet, self.start, gauge).unwrap_or_default()
    }

    fn allowed(&self) -> Decimal {
        wire::limit("drop_share") * Decimal::from(self.volts)
    }

    /// More than the transfer bears, or than the device stands. A feeder of which the job terms say nothing is nobody's
    /// mistake: it counts where they give it.
    pub fn is_over(&self) -> bool {
        let currents = self.hold > wire::limit("continuous_amps") || self.start > wire::limit("pulse_amps");
        let counted = if self.has_feeder { &self.runs[..] } else { &self.runs[..1] };
        currents || counted.iter().map(|run| self.lost(*run)).sum::<Decimal>() > self.allowed()
    }

    /// How long the feeder may be at its gauge, where the one that was taken is too long.
    fn longest(&self) -> String {
        let [hinge, (feet, gauge)] = self.runs;
        let left = self.allowed() - self.lost(hinge);
        let of_foot = wire::drop(Decimal::ONE, self.start, gauge).unwrap_or_default();
        match left.checked_div(of_foot).map(|longest| longest.floor()) {
            Some(longest) if longest >= Decimal::ONE && longest < feet => {
                format!(" At {gauge} AWG the feeder may be {longest} ft long; a longer one takes heavier wire.")
            }
            _ => String::new(),
        }
    }

    /// The sums in words: `2 x 3 ft x 0.5 A x 25.67 ohm / 1000 ft = 0.08 V`.
    pub fn words(&self) -> String {
        let run = |(name, run): (&str, (Decimal, u32))| {
            format!(
                "{name}: 2 x {} ft x {} A x {} ohm / 1000 ft ({} AWG) = {} V",
                run.0.normalize(),
                self.start.normalize(),
                wire::resistance(run.1).unwrap_or_default().round_dp(3).normalize(),
                run.1,
                self.lost(run).round_dp(2).normalize()
            )
        };
        let runs: Vec<String> = ["hinge and leaf", "feeder"].into_iter().zip(self.runs).map(run).collect();
        let taken = if self.taken.is_empty() {
            String::new()
        } else {
            let verb = if self.taken.len() == 1 { "that was" } else { "these were" };
            format!(" The job terms do not give {}; {verb} taken.", self.taken.join(", "))
        };
        format!(
            "{}: {} A held, {} A at the start at {} V; an electrified hinge bears {} A and {} A. Lost at the start: {}; {} V allowed.{}{taken}",
            self.device.replace('-', " "),
            self.hold.normalize(),
            self.start.normalize(),
            self.volts,
            wire::limit("continuous_amps").normalize(),
            wire::limit("pulse_amps").normalize(),
            runs.join("; "),
            self.allowed().normalize(),
            self.longest(),
        )
    }
}

/// `2 A`, or what a supply for a high current at the start is called.
pub fn supply_words(supply: &Attributes) -> String {
    let amps = |name| supply.get(&name).and_then(Value::as_number).map(|amps| amps.normalize());
    match (amps(names::AMPS), amps(names::INRUSH_AMPS)) {
        (_, Some(start)) => format!("one that stands {start} A at the start"),
        (Some(amps), None) => format!("{amps} A"),
        (None, None) => String::new(),
    }
}

/// What is said of a supply that is no limited source any more; empty for one that is.
pub fn class_two(amps: Decimal, volts: u32) -> &'static str {
    let power = amps.saturating_mul(Decimal::from(volts));
    if power > wire::limit("class_2_va") || Decimal::from(volts) > wire::limit("class_2_volts") {
        " Above 100 VA or 30 V its circuits are no Class 2 wiring unless its outputs are limited one by one."
    } else {
        ""
    }
}

impl Load {
    /// What a supply must be rated for: what is held, with the margin.
    pub fn rating(&self) -> Decimal {
        self.hold.saturating_mul(wire::limit("supply_margin"))
    }

    /// What a supply must give for a moment: what the others hold, and the largest at its start.
    pub fn peak(&self) -> Decimal {
        self.hold + self.rise
    }

    /// The supply that is enough for both, as attributes to ask the catalog for: by amperes, where supplies of so many are
    /// made; else one that says it stands the current at the start; else the largest made. A supply that says nothing of
    /// starts is taken to give no more than its rating.
    pub fn supply(&self, job: &Job) -> Attributes {
        let volts = (names::VOLTAGE, Value::count(job.terms.electrical.voltage.unwrap_or(24)));
        if let Some(made) = wire::supply_made(self.rating().max(self.peak())) {
            return Attributes::from([volts, (names::AMPS, Value::Number(made))]);
        }
        let special = Attributes::from([volts.clone(), (names::INRUSH_AMPS, Value::Number(self.start))]);
        let amps = |attributes: &Attributes| attributes.get(&names::AMPS).and_then(Value::as_number);
        let enough = job
            .select(Category::PowerSupply, special.clone())
            .candidates
            .iter()
            .any(|candidate| amps(&candidate.good.attributes).is_none_or(|amps| amps >= self.rating()));
        if enough { special } else { Attributes::from([volts, (names::AMPS, Value::Number(wire::largest_supply()))]) }
    }

    /// The sum in words.
    pub fn sum(&self) -> String {
        format!(
            "{} = {} A held, x {} = {} A; {} A for a moment, the largest at its start",
            self.words.join(" + "),
            self.hold.normalize(),
            wire::limit("supply_margin").normalize(),
            self.rating().normalize(),
            self.peak().normalize()
        )
    }
}
