//! Job terms: the `job.toml` beside the schedule or given with `--job`. Every key has a default; what was defaulted is
//! said on the quote. Amounts and percentages are written in quotes (`"28%"`, `"1250.00"`), since a float can't hold them.

mod beside;
mod building;
mod change;
mod exact;

use std::collections::BTreeMap;
use std::path::Path;

use rust_decimal::Decimal;
use serde::Deserialize;

use crate::money::Money;
use crate::trade::category::Category;
use crate::trade::spelling::nearest;
pub use beside::{Allowance, Alternate, Phase, UnitPrice, is_number};

pub use change::ChangeTerms;
pub use exact::{Amount, Percent};

/// All terms of one job.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Terms {
    /// Who, what, when.
    pub job: Job,
    /// Our own letterhead.
    pub from: Letterhead,
    /// Markup, margin, rounding, policies.
    pub price: PriceTerms,
    /// Tax on the taxable part.
    pub tax: TaxTerms,
    /// Freight.
    pub freight: FreightTerms,
    /// Code basis and building facts that the schedule lacks.
    pub building: Building,
    /// Whose scope the electrical parts are, wire gauges, distances.
    pub electrical: Electrical,
    /// What the proposal says beside the figures.
    pub proposal: ProposalTerms,
    /// Rules switched off, or made stricter: code = "off" | "ask".
    pub rules: BTreeMap<String, String>,
    /// Makers acceptable per category, in order of preference.
    pub makers: BTreeMap<String, Vec<String>>,
    /// How to read sheets that the tool reads wrongly by itself.
    pub read: Vec<ReadTerms>,
    /// Alternates: priced apart, never folded in.
    pub alternates: Vec<Alternate>,
    /// Allowances and other sums in the base bid.
    pub allowances: Vec<Allowance>,
    /// Changes after the award.
    pub change: ChangeTerms,
    /// The job file as it was written: the record keeps it, so that a job can be priced again from its record alone.
    #[serde(skip)]
    pub source: String,
    /// Unit prices: what one more, or one less, of a good costs; never part of the total.
    pub unit_prices: Vec<UnitPrice>,
    /// Phases or buildings, each with its own sum.
    pub phases: Vec<Phase>,
}

/// Who, what, when.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
#[allow(missing_docs, reason = "the keys say what they are; the commented job.toml of `pintle init` explains each")]
pub struct Job {
    pub name: String,
    pub number: String,
    pub location: String,
    pub customer: String,
    pub attention: String,
    pub architect: String,
    /// ISO date; the catalog edition in force on it is used. Default: today.
    pub bid_date: Option<String>,
    /// ISO date printed on the letter. Default: the bid date, else today.
    pub date: Option<String>,
    /// ISO date of the first delivery.
    pub delivery: Option<String>,
    pub estimator: String,
    /// Addenda received, in words: `["1 (2026-10-02)"]`.
    pub addenda: Vec<String>,
    /// Class of the customer, for its discount column.
    pub customer_class: Option<String>,
}

/// Our own letterhead.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
#[allow(missing_docs, reason = "the keys say what they are")]
pub struct Letterhead {
    pub company: String,
    pub address: Vec<String>,
    pub phone: String,
    pub email: String,
    /// Picture file beside the job file, and its bytes, once found.
    pub logo: Option<String>,
    #[serde(skip)]
    pub picture: Vec<u8>,
}

/// Markup, margin, rounding, policies.
#[derive(Debug, Clone, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PriceTerms {
    /// `margin` (sell = net / (1 - rate)) or `markup` (sell = net × (1 + rate)).
    pub method: Method,
    /// The rate for everything not named below.
    pub rate: Percent,
    /// Rates by category name.
    pub by_category: BTreeMap<String, Percent>,
    /// Rates by maker.
    pub by_maker: BTreeMap<String, Percent>,
    /// Rates by product line, named by its id in the catalog.
    pub by_line: BTreeMap<String, Percent>,
    /// Rates of single lines, named by sheet and row: `"Hardware!42"`. The nearest rule wins: row, line, category, maker.
    pub by_row: BTreeMap<String, Percent>,
    /// Margin below which a line is warned about.
    pub floor_margin: Option<Percent>,
    /// Round each unit price (`unit`) or each extension (`extension`).
    pub round: RoundAt,
    /// What an open question is priced as: `dearest`, `likeliest`, `leave-out`.
    pub provisional: Provisional,
    /// Bond or fee as a percentage of goods, its own line.
    pub bond: Option<Percent>,
    /// Surcharges of the catalog as lines of their own, or inside the unit prices.
    pub surcharges: SurchargeAt,
    /// Round the total up to the next whole unit of currency; the difference is a line of its own.
    pub round_up_total: bool,
    /// Prices of an earlier quote that are held: key of the good (`held_key`) → price. Not read from the job file.
    #[serde(skip)]
    pub held: BTreeMap<String, Held>,
    #[serde(skip)]
    /// Rates typed over in the estimate, by `margin (hinge)`. Not read from the job file.
    pub typed: BTreeMap<String, Percent>,
    /// How the proposal shows prices: `lump-sum`, `by-set`, `by-opening`, `by-item`.
    pub show: Show,
}

impl Default for PriceTerms {
    fn default() -> Self {
        Self {
            method: Method::Margin,
            rate: Percent::new(Decimal::from_parts(25, 0, 0, false, 0)),
            by_category: BTreeMap::new(),
            by_maker: BTreeMap::new(),
            by_line: BTreeMap::new(),
            by_row: BTreeMap::new(),
            floor_margin: None,
            round: RoundAt::Unit,
            provisional: Provisional::Likeliest,
            bond: None,
            surcharges: SurchargeAt::OwnLine,
            round_up_total: false,
            held: BTreeMap::new(),
            typed: BTreeMap::new(),
            show: Show::BySet,
        }
    }
}

/// A price of an earlier quote, held.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Held {
    /// Net cost of the unit then.
    pub net: Money,
    /// Selling price of the unit then.
    pub sell: Money,
    /// Date of that quote.
    pub since: String,
}

/// The key of a good whose price is held: what is ordered, in which unit, and its measures where it is cut to size.
pub fn held_key(maker: &str, designation: &str, unit: &str, length: &str, width: &str) -> String {
    [maker, designation, unit, length, width].join("\u{1f}")
}

macro_rules! choices { ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident),* $(,)? }) => {
    $(#[$doc])*
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    pub enum $name { $($(#[$vdoc])* $variant),* }
} }

choices! {
    /// How the sell price is made from net.
    Method {
        /// sell = net / (1 - rate)
        #[default] Margin,
        /// sell = net × (1 + rate)
        Markup,
    }
}
choices! {
    /// Where the half-up rounding to cents happens.
    RoundAt {
        /// Each unit price.
        #[default] Unit,
        /// Each extension.
        Extension,
    }
}
choices! {
    /// What an open question is priced as meanwhile.
    Provisional {
        /// The dearest answer.
        Dearest,
        /// The answer that the rule or the catalog calls usual.
        #[default] Likeliest,
        /// Nothing.
        LeaveOut,
    }
}
choices! {
    /// Where a surcharge of the catalog stands.
    SurchargeAt {
        /// A line of its own, with its name and percentage.
        #[default] OwnLine,
        /// A step of each unit price.
        InUnit,
    }
}
choices! {
    /// How the proposal shows prices.
    Show {
        /// One sum.
        LumpSum,
        /// A sum per set.
        #[default] BySet,
        /// A sum per opening.
        ByOpening,
        /// Every item.
        ByItem,
    }
}

/// Tax.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TaxTerms {
    /// Rate; none: tax excluded, and said so.
    pub rate: Option<Percent>,
    /// Whether freight is taxed.
    pub on_freight: bool,
    /// Categories that are not taxed.
    pub exempt: Vec<String>,
}

impl TaxTerms {
    /// Whether goods of a category, by its name, are taxed where there is a tax.
    pub fn is_due_on(&self, category: &str) -> bool {
        !self.exempt.iter().any(|name| name.trim().eq_ignore_ascii_case(category))
    }
}

/// Freight: the first rule that applies.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct FreightTerms {
    /// Percentage of goods.
    pub rate: Option<Percent>,
    /// A fixed sum.
    pub sum: Option<Amount>,
    /// Per pound of the goods' shipping weight.
    pub per_pound: Option<Amount>,
    /// Freight is free when the goods reach this sum.
    pub free_above: Option<Amount>,
    /// Words for the letter.
    pub words: String,
}

/// Code basis and building facts.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Building {
    /// Words such as `IBC 2021, A117.1-2017`.
    pub code_basis: String,
    /// Wall where the schedule is silent: `masonry`, `stud`, `concrete`.
    pub default_wall: Option<String>,
    /// Door thickness where the schedule is silent, inches as text.
    pub default_thickness: Option<String>,
    /// Finish where nothing else is said: `626` or `US26D`.
    pub default_finish: Option<String>,
    /// Occupancy letter, for egress questions.
    pub occupancy: Option<String>,
    /// Whether floor stops are unwanted.
    pub no_floor_stops: bool,
}

/// Electrical scope and data.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Electrical {
    /// `ours` or `others`; none: asked once.
    pub power_supplies: Option<String>,
    /// `ours` or `others`.
    pub readers: Option<String>,
    /// `ours` or `others`.
    pub wiring: Option<String>,
    /// System voltage.
    pub voltage: Option<u32>,
    /// `fail-safe` or `fail-secure` where nothing is said.
    pub fail_mode: Option<String>,
    /// Spare conductors per transfer.
    pub spare_conductors: Option<u32>,
    /// One-way feeder length, feet.
    pub feeder_feet: Option<u32>,
    /// Feeder gauge, AWG.
    pub feeder_gauge: Option<u32>,
    /// Gauge of the conductors in hinges, AWG.
    pub hinge_gauge: Option<u32>,
}

/// Words of the proposal.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ProposalTerms {
    /// Days that the prices hold; none: 30.
    pub valid_days: Option<u32>,
    /// Terms of payment.
    pub payment: String,
    /// Lead time in words.
    pub lead_time: String,
    /// More inclusions.
    pub inclusions: Vec<String>,
    /// More exclusions.
    pub exclusions: Vec<String>,
    /// More qualifications.
    pub qualifications: Vec<String>,
    /// `letter` or `a4`.
    pub paper: Option<String>,
}

/// How to read one sheet.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ReadTerms {
    /// File name; none: every file.
    pub file: Option<String>,
    /// Sheet name; none: every sheet.
    pub sheet: Option<String>,
    /// Row of the (last) column headings, counted from 1.
    pub header_row: Option<u32>,
    /// `doors`, `sets`, `items`, `matrix`, `ignore`.
    pub holds: Option<String>,
    /// Column letter = meaning (`door number`, `set`, `width` ...).
    pub columns: BTreeMap<String, String>,
    /// How many doors a set has, where no door is named: set id = count.
    pub doors: BTreeMap<String, u32>,
}

impl Terms {
    /// Reads a job file.
    ///
    /// # Errors
    /// A message with file, line and column, and what to do.
    pub fn load(path: &Path) -> Result<Terms, String> {
        let text = std::fs::read_to_string(path)
            .map_err(|error| format!("cannot read job terms {}: {error}\n  help: check the path, or run `pintle init` for a commented job file", path.display()))?;
        Terms::parse(&text, &path.display().to_string())
    }

    /// Reads job terms from text; `name` is for messages.
    ///
    /// # Errors
    /// As `load`.
    pub fn parse(text: &str, name: &str) -> Result<Terms, String> {
        let mut terms: Terms = toml::from_str(text).map_err(|error| {
            format!("job terms {name}: {}\n  help: {}", in_words(&error.to_string()), help_for(error.message()))
        })?;
        text.clone_into(&mut terms.source);
        terms.check().map_err(|mistake| format!("job terms {name}: {mistake}"))?;
        Ok(terms)
    }

    /// The makers that are acceptable for a category, in order of preference; none named: any.
    pub fn makers_of(&self, category: Category) -> Option<&Vec<String>> {
        let own = |name: &str| name.trim().eq_ignore_ascii_case(category.name());
        self.makers.iter().find(|(name, _)| own(name)).map(|(_, makers)| makers)
    }

    /// What the shape of the file cannot rule out.
    fn check(&mut self) -> Result<(), String> {
        self.change.check()?;
        self.check_words()?;
        let price = &self.price;
        let named = [&price.by_category, &price.by_maker, &price.by_line, &price.by_row];
        let rates = named.into_iter().flatten().map(|(name, rate)| (name.as_str(), *rate));
        for (name, rate) in rates.chain([("rate", price.rate)]) {
            if price.method == Method::Margin && rate.fraction() >= Decimal::ONE {
                return Err(format!(
                    "a margin of {rate} for \"{name}\" leaves no cost; a margin is part of the selling price and stays \
                     below 100%\n  help: write method = \"markup\" if the rate is meant on cost"
                ));
            }
            if rate.fraction() <= -Decimal::ONE {
                return Err(format!("a rate of {rate} for \"{name}\" gives the goods away"));
            }
        }
        Ok(())
    }
}

/// The message of the TOML library in the words of a job file.
fn in_words(message: &str) -> String {
    message.trim_end().replace("unknown field", "unknown key").replace("unknown variant", "unknown word")
}

/// What to do about a mistake in a job file.
fn help_for(message: &str) -> String {
    let every = "`pintle init` writes a job file in which every key stands with its meaning";
    let mut words = message.split('`').skip(1).step_by(2);
    if message.starts_with("unknown") {
        let wrong = words.next().unwrap_or_default();
        return match nearest(wrong, words) {
            Some(near) => format!("the nearest is `{near}`; {every}"),
            None => every.to_owned(),
        };
    }
    if message.contains("number") || message.contains("invalid type") {
        return format!("sums and percentages stand in quotes, such as \"28.5%\" or \"1250.00\"; {every}");
    }
    every.to_owned()
}
