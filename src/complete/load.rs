//! What the electrified goods of an opening draw: amperes held and at the start, and the supply that is enough for them.

use rust_decimal::Decimal;

use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;
use crate::trade::wire;

use super::door::Door;
use super::job::Job;
use super::select::title;
use super::spec::Spec;

/// What one opening draws.
pub struct Load {
    /// Volts of the supply.
    pub volts: u32,
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

/// A device in words: `mortise lock`, `latch retraction`.
fn name_of(spec: &Spec) -> String {
    match kind_of(spec) {
        "lock" => title(spec.category.unwrap_or(Category::Other)),
        "exit-trim" => "electrified exit trim".to_owned(),
        "request-to-exit" => "request-to-exit device".to_owned(),
        kind => kind.replace('-', " "),
    }
}

/// The voltage that the words of a line give.
fn said_volts(spec: &Spec) -> Option<u32> {
    spec.value(names::VOLTAGE).and_then(Value::as_number).and_then(|volts| u32::try_from(volts).ok())
}

/// The voltage of a set: that of all its devices that give one, else of its supply, else the job's. Several at once are
/// another rule's matter.
fn volts_of(job: &Job, set: usize, devices: &[&Spec]) -> u32 {
    let mut said: Vec<u32> = devices.iter().filter_map(|spec| said_volts(spec)).collect();
    if said.is_empty() {
        said.extend(job.all_of(set, &[Category::PowerSupply]).into_iter().filter_map(said_volts));
    }
    said.sort_unstable();
    said.dedup();
    match said[..] {
        [one] => one,
        _ => job.terms.electrical.voltage.unwrap_or(24),
    }
}

/// Amperes of a device at a voltage, held and at the start: those of the good that is chosen, else the usual.
fn amps_of(job: &Job, spec: &Spec, volts: u32) -> Option<(Decimal, Decimal)> {
    let (hold, start) = wire::draw(kind_of(spec), volts)?;
    let mut asked = spec.asked();
    asked.entry(names::VOLTAGE).or_insert_with(|| Value::count(volts));
    let of_good = |attribute| {
        job.brings(spec, &asked, attribute).or_else(|| {
            // Goods that are made for one voltage do not say which; the usual one is 24 V.
            (volts == 24).then(|| job.brings(spec, &spec.asked(), attribute))?
        })
    };
    let hold = of_good("draw_amps").unwrap_or(hold);
    Some((hold, of_good("draw_inrush").unwrap_or(start).max(hold)))
}

/// The load of the set's hungriest opening: the one that asks for the largest supply, with each device as often as that opening
/// has it. What starts hardest at any of them is kept beside it, as each has the supply.
pub fn of(job: &Job, set: usize, devices: &[&Spec]) -> Load {
    let volts = volts_of(job, set, devices);
    let amps: Vec<(Decimal, Decimal)> =
        devices.iter().map(|spec| amps_of(job, spec, said_volts(spec).unwrap_or(volts)).unwrap_or_default()).collect();
    let at = |door: &Door| load_at(devices, &amps, volts, |spec| spec.count_at(door));
    let asks = |load: &Load| (load.rating().max(load.peak()), load.hold);
    let start = job.doors(set).map(at).map(|load| load.start).max();
    let hungriest = job.doors(set).map(at).max_by(|one, two| asks(one).cmp(&asks(two)));
    let mut load = hungriest.unwrap_or_else(|| load_at(devices, &amps, volts, |_| Decimal::ONE));
    load.start = load.start.max(start.unwrap_or_default());
    load
}

/// What devices draw together where each is there so many times.
fn load_at(devices: &[&Spec], amps: &[(Decimal, Decimal)], volts: u32, count: impl Fn(&Spec) -> Decimal) -> Load {
    let mut load = Load { volts, hold: Decimal::ZERO, start: Decimal::ZERO, rise: Decimal::ZERO, words: Vec::new() };
    for (spec, (hold, start)) in devices.iter().zip(amps) {
        let count = count(spec);
        if count.is_zero() {
            continue;
        }
        load.hold = load.hold.saturating_add(hold.saturating_mul(count));
        load.start = load.start.max(*start);
        load.rise = load.rise.max(start - hold);
        let times = if count == Decimal::ONE { String::new() } else { format!("{} x ", count.normalize()) };
        load.words.push(format!("{} {times}{} A", name_of(spec), hold.normalize()));
    }
    load
}

/// What brings the wires to a leaf.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    /// A hinge or pivot: thin conductors, whose currents are limited.
    Hinge,
    /// A transfer of its own: heavier conductors.
    Transfer,
}

/// The way of a set's wires, by its lines and by what the rules added.
fn way_of(job: &Job, set: usize) -> Way {
    let listed = super::devices::transfers(job, set);
    let added = || {
        let door = job.doors(set).next();
        door.map(|door| super::devices::added_transfers(job, door, "")).unwrap_or_default()
    };
    let own = |category: Option<Category>| category == Some(Category::PowerTransfer);
    let any = if listed.is_empty() {
        added().iter().map(|added| Some(added.category)).collect::<Vec<_>>()
    } else {
        listed.iter().map(|spec| spec.category).collect()
    };
    if !any.is_empty() && any.into_iter().all(own) { Way::Transfer } else { Way::Hinge }
}

/// What the wires to one device on a leaf lose at its start, and whether the transfer bears its currents.
pub struct Drop {
    device: String,
    way: Way,
    /// Volts of the supply.
    pub volts: u32,
    hold: Decimal,
    start: Decimal,
    /// Length in feet and gauge: through the transfer and the leaf, of the feeder.
    runs: [(Decimal, u32); 2],
    /// Whether the job terms give the feeder's length or gauge.
    has_feeder: bool,
    /// What the job terms leave open, with what was taken.
    taken: Vec<String>,
}

impl Drop {
    /// Of a device on the leaf; `None` for one that draws nothing known.
    pub fn of(job: &Job, set: usize, spec: &Spec) -> Option<Drop> {
        let terms = &job.terms.electrical;
        let volts = said_volts(spec).unwrap_or_else(|| volts_of(job, set, &devices(job, set)));
        let (hold, start) = amps_of(job, spec, volts)?;
        let whole = |name: &str| u32::try_from(wire::limit(name)).unwrap_or_default();
        let mut taken = Vec::new();
        let mut or_usual = |given: Option<u32>, name: &str, words: &dyn Fn(u32) -> String| {
            given.unwrap_or_else(|| {
                taken.push(words(whole(name)));
                whole(name)
            })
        };
        let way = way_of(job, set);
        let gauge = match way {
            Way::Hinge => or_usual(terms.hinge_gauge, "hinge_gauge", &|gauge| format!("{gauge} AWG in the hinge")),
            Way::Transfer => or_usual(None, "transfer_gauge", &|gauge| format!("{gauge} AWG in the transfer")),
        };
        let feeder = or_usual(terms.feeder_feet, "feeder_feet", &|feet| format!("a feeder of {feet} ft"));
        let feeder_gauge = or_usual(terms.feeder_gauge, "feeder_gauge", &|gauge| format!("{gauge} AWG for the feeder"));
        let runs = [(wire::limit("hinge_feet"), gauge), (Decimal::from(feeder), feeder_gauge)];
        let has_feeder = terms.feeder_feet.is_some() || terms.feeder_gauge.is_some();
        Some(Drop { device: name_of(spec), way, volts, hold, start, runs, has_feeder, taken })
    }

    fn lost(&self, (feet, gauge): (Decimal, u32)) -> Decimal {
        wire::drop(feet, self.start, gauge).unwrap_or_default()
    }

    fn allowed(&self) -> Decimal {
        wire::limit("drop_share") * Decimal::from(self.volts)
    }

    /// More volts than a conductor of a transfer is made for: wiring of another kind.
    pub fn is_line_voltage(&self) -> bool {
        Decimal::from(self.volts) > wire::limit("volts")
    }

    /// Whether the wires cross by a hinge, whose currents are limited.
    pub fn by_hinge(&self) -> bool {
        self.way == Way::Hinge
    }

    /// More than the transfer bears, or than the device stands. A feeder of which the job terms say nothing is nobody's
    /// mistake: it counts where they give it.
    pub fn is_over(&self) -> bool {
        let currents = self.hold > wire::limit("continuous_amps") || self.start > wire::limit("pulse_amps");
        let counted = if self.has_feeder { &self.runs[..] } else { &self.runs[..1] };
        self.is_line_voltage()
            || self.by_hinge() && currents
            || counted.iter().map(|run| self.lost(*run)).sum::<Decimal>() > self.allowed()
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
        let device = capital(&self.device);
        if self.is_line_voltage() {
            return format!(
                "{device} of {} V: a conductor of a hinge or transfer is made for {} V at most, and wiring at that voltage is the electrician's.",
                self.volts,
                wire::limit("volts").normalize()
            );
        }
        let run = |(name, run): (&str, (Decimal, u32))| {
            format!(
                "{name} 2 x {} ft x {} A x {} ohm / 1000 ft ({} AWG) = {} V",
                run.0.normalize(),
                self.start.normalize(),
                wire::resistance(run.1).unwrap_or_default().round_dp(3).normalize(),
                run.1,
                self.lost(run).round_dp(3).normalize()
            )
        };
        let (through, bears) = match self.way {
            Way::Hinge => (
                "hinge and leaf",
                format!(
                    "; a conductor of an electrified hinge bears {} A and {} A",
                    wire::limit("continuous_amps").normalize(),
                    wire::limit("pulse_amps").normalize()
                ),
            ),
            Way::Transfer => ("transfer and leaf", ", through a power transfer".to_owned()),
        };
        let runs: Vec<String> = [through, "feeder"].into_iter().zip(self.runs).map(run).collect();
        let all: Decimal = self.runs.iter().map(|run| self.lost(*run)).sum();
        let taken = if self.taken.is_empty() {
            String::new()
        } else {
            format!(" Taken, since the job terms do not say: {}.", self.taken.join(", "))
        };
        format!(
            "{device}, {} V: {} A held, {} A at the start{bears}. Lost at the start: {}; together {} V, and {} V may be lost.{}{taken}",
            self.volts,
            self.hold.normalize(),
            self.start.normalize(),
            runs.join(", "),
            all.round_dp(3).normalize(),
            self.allowed().normalize(),
            self.longest(),
        )
    }
}

/// With a capital at its beginning.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// `2 A`, or what a supply for a high current at the start is called.
pub fn supply_words(supply: &Attributes) -> String {
    let amps = |name| supply.get(&name).and_then(Value::as_number).map(|amps| amps.normalize());
    match (amps(names::AMPS), amps(names::INRUSH_AMPS)) {
        (_, Some(start)) => format!("one made for {start} A at the start"),
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
        let volts = (names::VOLTAGE, Value::count(self.volts));
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

    /// The sum in words: `mortise lock 0.3 A held, x 1.25 = 0.375 A; 0.5 A at its start`.
    pub fn sum(&self) -> String {
        let (each, total) = (self.words.join(" + "), self.hold.normalize().to_string());
        // Of one device there is nothing to add up.
        let held = if each.ends_with(&format!(" {total} A")) && self.words.len() == 1 {
            format!("{each} held")
        } else {
            format!("{each} = {total} A held")
        };
        format!(
            "{held}, x {} = {} A; {} A for a moment, while the largest starts",
            wire::limit("supply_margin").normalize(),
            self.rating().normalize(),
            self.peak().normalize()
        )
    }
}
