//! What the terminal shows: the summary of a quote, and findings in one shape: code, grade, place, the words with a line
//! under what is meant, what was found, what to do.

use std::fmt::Write as _;

use crate::complete::spec::Status;
use crate::count::takeoff::From;
use crate::finding::{Finding, Kind};
use crate::money::Money;
use crate::price::quote::Quote;
use crate::read::schedule::Role;

use super::words::{amount, counted, difference, questions};

/// How an answer in words is carried out.
const CARRY_OUT: &str = "in the schedule, or by figures typed over on Priced goods; Answers given lists them";
/// Code of the finding that a set is named and defined nowhere.
const SET_NOT_DEFINED: &str = "set-not-defined";
/// Sets whose sums are shown where no doors are.
const SETS_SHOWN: usize = 12;
/// Questions shown in the summary.
const SHOWN: usize = 5;

/// Colours words for a terminal; off, the words stand as they are.
#[derive(Debug, Clone, Copy)]
pub struct Paint(pub bool);

impl Paint {
    /// Bold.
    pub fn bold(self, text: &str) -> String {
        self.with("1", text)
    }
    /// A question.
    pub fn ask(self, text: &str) -> String {
        self.with("1;33", text)
    }
    /// Less important.
    pub fn quiet(self, text: &str) -> String {
        self.with("2", text)
    }
    fn with(self, code: &str, text: &str) -> String {
        if self.0 { format!("\u{1b}[{code}m{text}\u{1b}[0m") } else { text.to_owned() }
    }
}

/// The summary: what was read, what it comes to, what is open.
pub fn summary(quote: &Quote, colour: bool) -> String {
    let paint = Paint(colour);
    let mut text = read_words(quote);
    text.push_str(&told_words(quote, paint));
    text.push_str(&idle_terms(quote, paint));
    text.push_str(&totals_words(quote, paint));
    text.push_str(&open_words(quote, paint));
    text
}

fn read_words(quote: &Quote) -> String {
    let job = &quote.job;
    let specs = || job.sets.iter().flat_map(|set| &set.specs);
    let of = |status: Status| specs().filter(|spec| spec.status == status).count();
    let mut text = format!(
        "read      {}, {}, {} from {}; {}\n",
        counted(job.schedule.openings.len(), "opening", "openings"),
        counted(job.sets.len(), "set", "sets"),
        counted(specs().count(), "line", "lines"),
        counted(job.schedule.inputs.len(), "file", "files"),
        counted(job.schedule.ledger.len(), "row accounted for", "rows accounted for"),
    );
    let states: Vec<String> =
        [Status::Settled, Status::Assumed, Status::Open, Status::Unpriced, Status::Unread, Status::Excluded]
            .into_iter()
            .filter(|status| of(*status) > 0)
            .map(|status| format!("{} {}", of(status), status.word()))
            .collect();
    if !states.is_empty() {
        let bare = crate::price::without_good::added_bare(quote);
        let bare = if bare > 0 { format!(", {bare} of them without a price") } else { String::new() };
        let _ = writeln!(text, "lines     {}; {} added by rules{bare}", states.join(", "), job.added.len());
    }
    let unread = job.schedule.ledger.iter().filter(|row| row.role == Role::Unread).count();
    if unread > 0 {
        let _ = writeln!(text, "unread    {}; see the row ledger", counted(unread, "row", "rows"));
    }
    text
}

/// What was told, and what of it could not be taken up.
fn told_words(quote: &Quote, paint: Paint) -> String {
    let told = &quote.answers;
    if told.is_empty() {
        return String::new();
    }
    let mut text = format!(
        "told      {}, {}\n",
        counted(told.questions.len(), "answer", "answers"),
        counted(told.typed.len(), "figure typed over", "figures typed over")
    );
    const REFUSED: [&str; 6] = [
        "answer-not-offered",
        "answers-disagree",
        "typed-good-not-offered",
        "typed-over-stale",
        "typed-over-idle",
        "typed-over-beside",
    ];
    for finding in quote.job.findings.iter().filter(|finding| REFUSED.contains(&finding.code)) {
        let _ = writeln!(text, "  {} {}", paint.ask("not taken up:"), finding.says);
        let _ = writeln!(text, "    {}", paint.quiet(&finding.help));
    }
    for finding in quote.job.findings.iter().filter(|finding| finding.code == "typed-row-left-out") {
        let _ = writeln!(text, "  left out: {}", finding.says);
    }
    let in_words: Vec<&Finding> =
        quote.job.findings.iter().filter(|finding| finding.code == crate::complete::answers::IN_WORDS).collect();
    for finding in in_words.iter().take(SHOWN) {
        let _ = writeln!(text, "  {} {}", paint.ask("for you to carry out:"), finding.says);
    }
    if in_words.len() > SHOWN {
        let more = format!("and {} more in words; see Answers given in the estimate", in_words.len() - SHOWN);
        let _ = writeln!(text, "  {}", paint.quiet(&more));
    }
    if let Some(words) = super::letter::keying_words(quote) {
        let _ = writeln!(text, "  on keying: {words}");
    }
    text
}

/// Job terms that name what is not there: the sums below stand without them.
fn idle_terms(quote: &Quote, paint: Paint) -> String {
    let idle: Vec<&Finding> =
        quote.job.findings.iter().filter(|finding| finding.code == "term-names-nothing").collect();
    let mut text: String = idle
        .iter()
        .take(SHOWN)
        .map(|finding| format!("  {} {} {}\n", paint.ask("without effect:"), finding.says, finding.help))
        .collect();
    if idle.len() > SHOWN {
        let _ = writeln!(text, "  {}", paint.quiet(&format!("and {} more such job terms", idle.len() - SHOWN)));
    }
    text
}

fn totals_words(quote: &Quote, paint: Paint) -> String {
    let totals = &quote.totals;
    let mut text = String::new();
    let mut line = |label: &str, money: Money, strong: bool| {
        let figure = format!("{label:<28}{:>16}", amount(money));
        let _ = writeln!(text, "  {}", if strong { paint.bold(&figure) } else { figure });
    };
    line("goods", totals.goods, false);
    for charge in &quote.charges {
        line(&charge.words, charge.amount, false);
    }
    line(format!("total {}", quote.catalog.currency).trim_end(), totals.total, true);
    if totals.exposure_low != totals.exposure_high {
        line("if all goes the cheap way", totals.exposure_low, false);
        line("if all goes the dear way", totals.exposure_high, false);
        let left = in_neither(quote);
        if !left.is_empty() {
            let _ = writeln!(text, "  {}", paint.quiet(&format!("in neither: {left}")));
        }
    }
    if quote.catalog.invented {
        let book = "its makers and prices are invented; bring your own price book before you send anything";
        let _ = writeln!(text, "  {}", paint.ask(&format!("{}: {book}", quote.catalog.name)));
    }
    if quote.job.schedule.openings.is_empty() {
        text.push_str(&each_set_words(quote));
    }
    text
}

/// Jobs without doors: what each set comes to for one opening, as its lines are written.
fn each_set_words(quote: &Quote) -> String {
    let mut sums: Vec<(&str, Money)> = Vec::new();
    for (at, set) in quote.job.sets.iter().enumerate() {
        let lines = quote.items.iter().filter_map(|item| match item.item.from {
            From::Line(id) if id.set == at => set.specs.get(id.line).zip(item.working.as_ref()),
            _ => None,
        });
        let sum = lines.filter_map(|(spec, working)| working.sell.times(spec.quantity)).fold(Money::ZERO, |a, b| a + b);
        if !sum.is_zero() {
            sums.push((&set.id, sum));
        }
    }
    let mut text = String::new();
    for (id, sum) in sums.iter().take(SETS_SHOWN) {
        let label = format!("set {id}, for one opening");
        let _ = writeln!(text, "  {label:<28}{:>16}", amount(*sum));
    }
    if sums.len() > SETS_SHOWN {
        let more = counted(sums.len() - SETS_SHOWN, "set", "sets");
        let _ = writeln!(text, "  and {more} more; unit prices stand on Priced goods of the estimate");
    }
    text
}

/// What no sum holds, since nothing tells its price: a range that is silent on it would pass for a bound.
fn in_neither(quote: &Quote) -> String {
    let specs = || quote.job.sets.iter().flat_map(|set| &set.specs);
    let bare = specs().filter(|spec| matches!(spec.status, Status::Unpriced | Status::Unread)).count()
        + crate::price::without_good::added_bare(quote);
    let unknown = |finding: &&Finding| {
        finding.code == SET_NOT_DEFINED && finding.answers.iter().all(|answer| answer.effect.is_none())
    };
    let undefined = quote.job.findings.iter().filter(unknown).count();
    let parts = [
        (bare, "line without a price", "lines without a price"),
        (undefined, "set that is defined nowhere", "sets that are defined nowhere"),
    ];
    let told = parts.into_iter().filter(|(count, ..)| *count > 0).map(|(count, one, many)| counted(count, one, many));
    told.collect::<Vec<_>>().join(", ")
}

fn open_words(quote: &Quote, paint: Paint) -> String {
    let questions = questions(&quote.job.findings);
    let waiting = super::words::in_words(&quote.job.findings);
    let waiting = if waiting > 0 {
        let many = counted(waiting, "answer in words waits", "answers in words wait");
        format!("{many} for you to carry out: {CARRY_OUT}\n")
    } else {
        String::new()
    };
    if questions.is_empty() {
        return format!("nothing to ask\n{waiting}");
    }
    let mut text =
        format!("{}, life safety first, then by money:\n", counted(questions.len(), "question", "questions"));
    // What is said alike of several sets is said once, so that it does not hide the others.
    let mut alike: Vec<(String, Vec<&Finding>)> = Vec::new();
    for finding in &questions {
        let range = range(finding);
        match alike.iter_mut().find(|(known, group)| *known == range && group[0].says == finding.says) {
            Some((_, group)) => group.push(finding),
            None => alike.push((range, vec![finding])),
        }
    }
    for (range, group) in alike.iter().take(SHOWN) {
        // The money is that of one of them.
        let each = if group.len() > 1 && range != "[no price]" { "each of " } else { "" };
        let (sets, says) = (sets_of(group), &group[0].says);
        let _ = writeln!(text, "  {} {each}{sets}{says}{}", paint.ask(range), wordings_of(group));
    }
    let shown: usize = alike.iter().take(SHOWN).map(|(_, group)| group.len()).sum();
    if questions.len() > shown {
        let _ = writeln!(text, "  {}", paint.quiet(&format!("and {} more", questions.len() - shown)));
    }
    text.push_str(&waiting);
    text
}

/// `set 2: `, `sets 2, 5 and 3 more: `.
fn sets_of(group: &[&Finding]) -> String {
    let mut sets: Vec<&str> = group.iter().filter_map(|finding| finding.set.as_deref()).collect();
    sets.dedup();
    match sets.as_slice() {
        [] => String::new(),
        [set] => format!("set {set}: "),
        sets => format!("sets {}: ", some_of(sets)),
    }
}

/// The words of lines that were not understood: without them nobody knows what is asked.
fn wordings_of(group: &[&Finding]) -> String {
    let words: Vec<String> = group
        .iter()
        .filter(|finding| finding.code == crate::complete::doubts::NOT_READ && !finding.excerpt.is_empty())
        .map(|finding| format!("\"{}\"", finding.excerpt.split_whitespace().collect::<Vec<_>>().join(" ")))
        .collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    if words.is_empty() { String::new() } else { format!(" {}", some_of(&words)) }
}

/// The first of several, and how many more.
fn some_of(all: &[&str]) -> String {
    let more = all.len().saturating_sub(SHOWN);
    let first = all.iter().take(SHOWN).copied().collect::<Vec<_>>().join(", ");
    if more > 0 { format!("{first} and {more} more") } else { first }
}

/// `-120.00 … +340.00`, `+340.00` of one answer or of like ones, or `no price`.
fn range(finding: &Finding) -> String {
    let effects: Vec<Money> = finding.answers.iter().filter_map(|answer| answer.effect).collect();
    match (effects.iter().min(), effects.iter().max()) {
        (Some(low), Some(high)) if low != high => format!("[{} … {}]", difference(*low), difference(*high)),
        (Some(same), _) => format!("[{}]", difference(*same)),
        _ => "[no price]".to_owned(),
    }
}

/// Findings in the house shape.
pub fn findings_text(findings: &[&Finding], colour: bool) -> String {
    let paint = Paint(colour);
    let mut text: String = findings.iter().map(|finding| one(finding, paint) + "\n").collect();
    if text.is_empty() {
        text.push_str("nothing found to ask or to say\n");
    }
    text
}

fn one(finding: &Finding, paint: Paint) -> String {
    let grade = finding.kind.word();
    let grade = if finding.kind == Kind::Question { paint.ask(grade) } else { paint.bold(grade) };
    let mut text = format!("{grade}[{}]: {}\n", finding.code, finding.says);
    let mut about = finding.place.as_ref().map(ToString::to_string).unwrap_or_default();
    if let Some(set) = &finding.set {
        let _ = write!(about, "{}set {set}", if about.is_empty() { "" } else { "; " });
    }
    if !finding.openings.is_empty() {
        let shown: Vec<&str> = finding.openings.iter().take(8).map(String::as_str).collect();
        let more = finding.openings.len().saturating_sub(8);
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        let _ = write!(about, "{}openings {}{more}", if about.is_empty() { "" } else { "; " }, shown.join(", "));
    }
    if !about.is_empty() {
        let _ = writeln!(text, "  {}", paint.quiet(&about));
    }
    if !finding.excerpt.is_empty() {
        let excerpt = finding.excerpt.replace(['\n', '\t'], " ");
        let width = excerpt.chars().count().min(110);
        let _ = writeln!(text, "      {excerpt}\n      {}", paint.quiet(&"─".repeat(width)));
    }
    for answer in &finding.answers {
        let effect = answer.effect.map(|money| format!("  {}", difference(money))).unwrap_or_default();
        let _ = writeln!(text, "    - {}{effect}", answer.value);
    }
    for (label, words) in [("priced as", &finding.priced_as), ("help", &finding.help)] {
        if !words.is_empty() {
            let _ = writeln!(text, "  {label}: {words}");
        }
    }
    if finding.kind != Kind::Note {
        let _ = writeln!(text, "  rests on: {}", finding.source);
    }
    text
}
