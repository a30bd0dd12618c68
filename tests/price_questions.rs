//! What answers are worth, and what open questions can make of a total together.

#[path = "price/bench.rs"]
mod bench;

use bench::{dec, good, job, list_price, money, opening, spec};
use pintle::catalog::Catalog;
use pintle::catalog::good::{Request, Selection};
use pintle::complete::spec::{Addition, Completed, From, Grade, Sourced, Spec, Status};
use pintle::count::count;
use pintle::finding::{Answer, Effect, Finding, Kind, LineId, Weight};
use pintle::money::Money;
use pintle::price::price;
use pintle::price::quote::{Quote, Trouble};
use pintle::read::schedule::Basis;
use pintle::terms::Terms;
use pintle::trade::attribute::{Attributes, Value, names};
use pintle::trade::category::Category;
use pintle::understand::reading::Unit;
use proptest::prelude::*;

fn catalog() -> Catalog {
    static CATALOG: std::sync::OnceLock<Catalog> = std::sync::OnceLock::new();
    CATALOG.get_or_init(|| Catalog::embedded("2026-10-01").unwrap()).clone()
}

fn quoted(job: Completed, terms: &str) -> Quote {
    let (catalog, terms) = (catalog(), Terms::parse(terms, "job.toml").unwrap());
    let takeoff = count(&job, &catalog);
    price(job, takeoff, &catalog, &terms, "2026-10-01")
}

fn question(code: &'static str, answers: Vec<Answer>) -> Finding {
    Finding { answers, ..Finding::new(code, Kind::Question, Weight::Goods, "a question") }
}

const LINE: LineId = LineId { set: 0, line: 0 };

fn quantity(words: &str, number: &str) -> Answer {
    Answer::new(words, Effect::Quantity { line: LINE, quantity: dec(number) })
}

/// A line of hinges, 4-1/2 × 4-1/2, standard weight meanwhile.
fn hinges(catalog: &Catalog, weight: &str) -> Spec {
    let mut spec = spec(0, 0, Category::Hinge, "3", Basis::Leaf, None);
    let asked: Attributes = [
        (names::HEIGHT, Value::Length("4.5".parse().unwrap())),
        (names::WIDTH, Value::Length("4.5".parse().unwrap())),
        (names::BEARING, Value::text("ball")),
        (names::FINISH, Value::text("652")),
        (names::WEIGHT, Value::text(weight)),
    ]
    .into();
    spec.selection =
        catalog.select(&Request { category: Category::Hinge, attributes: asked.clone(), makers: Vec::new() }).into();
    assert!(!spec.selection.candidates.is_empty(), "the demo catalog sells 4-1/2 × 4-1/2 ball bearing hinges");
    spec.attributes = asked
        .into_iter()
        .map(|(name, value)| (name, Sourced { value, from: From::Rule("hinge-weight", Grade::Ask) }))
        .collect();
    spec.status = Status::Open;
    spec
}

fn hinge_job(doors: u32, findings: Vec<Finding>) -> Completed {
    let doors: Vec<_> = (0..doors).map(|index| opening(&format!("{}", 101 + index), 1, index + 2)).collect();
    let mut job = job(doors.clone(), vec![((0..doors.len()).collect(), vec![hinges(&catalog(), "standard")])]);
    job.findings = findings;
    job
}

fn weight(words: &str) -> Answer {
    Answer::new(words, Effect::Set { lines: vec![LINE], attribute: names::WEIGHT, value: Value::text(words) })
}

#[test]
fn an_answer_costs_the_difference_of_the_whole_total() {
    let ask = question("hinge-weight", vec![weight("standard"), weight("heavy")]);
    let terms = "[tax]\nrate = \"10%\"";
    let quote = quoted(hinge_job(4, vec![ask]), terms);
    let mut heavy = hinge_job(4, Vec::new());
    heavy.sets[0].specs[0] = hinges(&catalog(), "heavy");
    let dearer = quoted(heavy, terms).totals.total - quote.totals.total;
    assert!(dearer > Money::ZERO);
    let answers = &quote.job.findings[0].answers;
    assert_eq!(answers[0].effect, Some(Money::ZERO));
    assert_eq!(answers[1].effect, Some(dearer));
    assert_eq!(quote.totals.exposure_low, quote.totals.total);
    assert_eq!(quote.totals.exposure_high, quote.totals.total + dearer);
}

#[test]
fn a_quantity_asked_of_some_doors_changes_only_those() {
    let mut ask = question("hinge-count", vec![quantity("3", "3"), quantity("4", "4")]);
    ask.openings = vec!["102".into(), "104".into()];
    let quote = quoted(hinge_job(4, vec![ask]), "[price]\nsurcharges = \"in-unit\"");
    let unit = quote.items[0].working.as_ref().unwrap().sell;
    assert_eq!(quote.job.findings[0].answers[1].effect, unit.times(dec("2")));
}

#[test]
fn questions_on_one_line_are_combined_and_not_added() {
    let asks = vec![
        question("hinge-weight", vec![weight("standard"), weight("heavy")]),
        question("hinge-count", vec![quantity("3", "3"), quantity("4", "4")]),
    ];
    let quote = quoted(hinge_job(10, asks), "");
    let mut both = hinge_job(10, Vec::new());
    both.sets[0].specs[0] = hinges(&catalog(), "heavy");
    both.sets[0].specs[0].quantity = dec("4");
    assert_eq!(quote.totals.exposure_high, quoted(both, "").totals.total);
    let added: Money = quote.job.findings.iter().filter_map(|finding| finding.answers.get(1)?.effect).sum();
    assert!(quote.totals.exposure_high - quote.totals.total > added);
}

#[test]
fn an_answer_that_nothing_in_the_catalog_meets_has_no_money() {
    let quote = quoted(hinge_job(2, vec![question("hinge-weight", vec![weight("standard"), weight("feathery")])]), "");
    assert_eq!(quote.job.findings[0].answers[1].effect, None);
    assert_eq!(quote.totals.exposure_low, quote.totals.total);
    assert_eq!(quote.totals.exposure_high, quote.totals.total);
}

/// A successor is offered where nothing but the end of its line keeps a good from the job.
#[test]
fn a_successor_is_offered_for_what_it_replaces() {
    let catalog = catalog();
    let asked: Attributes = [
        (names::HEIGHT, Value::Length("4.5".parse().unwrap())),
        (names::BEARING, Value::text("plain")),
        (names::MOUNT, Value::text("strap")),
        (names::BASE, Value::text("steel")),
        (names::LOOK, Value::text("satin-chromium")),
        (names::WEIGHT, Value::text("standard")),
        (names::WIDTH, Value::Length("4.5".parse().unwrap())),
        (names::FINISH, Value::text("652")),
    ]
    .into();
    let strap = catalog.select(&Request { category: Category::Hinge, attributes: asked, makers: Vec::new() });
    assert!(strap.candidates.is_empty());
    let (good, why) = strap
        .near
        .iter()
        .find(|(good, _)| &*good.line == "brumthorn-hq")
        .unwrap_or_else(|| panic!("no miss of a line that is gone: {:?}", strap.near));
    let (gone, _) = why.split_once("; bearing").expect("another kind of hinge is held against it too");
    for (why, offered) in [(gone, true), (why.as_str(), false)] {
        let mut spec = hinges(&catalog, "standard");
        let near = vec![(good.clone(), why.to_owned())];
        spec.selection = Selection { candidates: Vec::new(), near, ..Selection::default() }.into();
        let quote = quoted(job(vec![opening("101", 1, 2)], vec![(vec![0], vec![spec])]), "");
        let told = quote.job.findings.iter().any(|finding| finding.code == "discontinued");
        assert_eq!(told, offered, "{why}");
    }
}

fn guard(openings: &[usize]) -> Addition {
    let candidate =
        spec(0, 0, Category::FrameGuard, "1", Basis::Opening, Some(good("g", "A", list_price("20.00", &[]))));
    Addition {
        category: Category::FrameGuard,
        attributes: Attributes::new(),
        unit: Unit::Each,
        shares: openings.iter().map(|opening| (*opening, dec("1"))).collect(),
        varies: Default::default(),
        rule: "frame-guard",
        why: "a guard behind the electrified hinge".into(),
        set: Some(0),
        ours: true,
        by: None,
        selection: candidate.selection,
    }
}

#[test]
fn additions_are_kept_taken_out_or_made() {
    let keep = |keep: bool| Answer::new(if keep { "yes" } else { "no" }, Effect::KeepAddition(keep));
    let mut ask = question("frame-guard", vec![keep(true), keep(false)]);
    ask.openings = vec!["101".into()];
    let closer = Effect::Add { category: Category::Closer, attributes: Attributes::new(), quantity: dec("2") };
    let more = question("fire-closer", vec![Answer::new("none", Effect::Nothing), Answer::new("closers", closer)]);
    let mut asked = hinge_job(3, vec![ask, more]);
    asked.added.push(guard(&[0, 1, 2]));
    let quote = quoted(asked.clone(), "[price]\nrate = 0");
    // By the order of showing the dearer question, the closers, stands first; the effects are those of the guard, the closers.
    let worth = |code: &str| {
        let asked = quote.job.findings.iter().find(|finding| finding.code == code && finding.kind == Kind::Question);
        asked.and_then(|finding| finding.answers[1].effect).unwrap()
    };
    let effects = [worth("frame-guard"), worth("fire-closer")];
    assert_eq!(effects[0], money("-20.00"));
    assert!(effects[1] > Money::ZERO);
    assert_eq!(quote.totals.exposure_low, quote.totals.total + effects[0]);
    assert_eq!(quote.totals.exposure_high, quote.totals.total + effects[1]);
    let dear = quoted(asked, "[price]\nrate = 0\nprovisional = \"dearest\"");
    assert_eq!(dear.totals.total, quote.totals.exposure_high);
    assert!(dear.job.added.iter().any(|added| added.rule == "fire-closer"));
    let closers = dear.job.findings.iter().find(|finding| finding.code == "fire-closer").unwrap();
    assert!(closers.priced_as.contains("closers"));
    let goods: Money = dear.items.iter().map(|item| item.extended).sum();
    assert_eq!(goods, dear.totals.goods);
}

#[test]
fn left_out_lines_have_no_price_and_their_answers_give_it_back() {
    let ask = question("hinge-weight", vec![weight("standard"), weight("heavy")]);
    let likeliest = quoted(hinge_job(2, vec![ask.clone()]), "");
    let quote = quoted(hinge_job(2, vec![ask]), "[price]\nprovisional = \"leave-out\"");
    assert_eq!(quote.totals.total, Money::ZERO);
    assert_eq!(quote.items[0].trouble, Some(Trouble::LeftOut));
    assert_eq!(quote.job.findings[0].answers[0].effect, Some(likeliest.totals.total));
    assert_eq!(quote.totals.exposure_high, likeliest.totals.exposure_high);
    assert!(quote.job.findings[0].priced_as.contains("left out"));
}

/// Questions as the property test draws them: on which of four lines, and what.
#[derive(Debug, Clone)]
enum Ask {
    Quantity(usize, Vec<u32>),
    Out(usize),
    Weight(Vec<usize>),
}

fn ask() -> impl Strategy<Value = Ask> {
    prop_oneof![
        (0usize..4, prop::collection::vec(0u32..6, 1..4)).prop_map(|(line, numbers)| Ask::Quantity(line, numbers)),
        (0usize..4).prop_map(Ask::Out),
        prop::collection::btree_set(0usize..4, 1..4).prop_map(|lines| Ask::Weight(lines.into_iter().collect())),
    ]
}

fn id(line: usize) -> LineId {
    LineId { set: 0, line }
}

fn asked(ask: &Ask) -> Finding {
    let answers = match ask {
        Ask::Quantity(line, numbers) => numbers
            .iter()
            .map(|number| {
                Answer::new(number.to_string(), Effect::Quantity { line: id(*line), quantity: (*number).into() })
            })
            .collect(),
        Ask::Out(line) => {
            vec![Answer::new("in", Effect::Nothing), Answer::new("out", Effect::Exclude { lines: vec![id(*line)] })]
        }
        Ask::Weight(lines) => ["standard", "heavy"]
            .iter()
            .map(|weight| {
                let lines = lines.iter().map(|line| id(*line)).collect();
                Answer::new(*weight, Effect::Set { lines, attribute: names::WEIGHT, value: Value::text(weight) })
            })
            .collect(),
    };
    question("drawn", answers)
}

/// The job with every question settled by hand: choice 0 leaves it as it is.
fn settled(base: &Completed, asks: &[Ask], choices: &[usize], catalog: &Catalog) -> Completed {
    let mut job = base.clone();
    job.findings.clear();
    for (ask, choice) in asks.iter().zip(choices) {
        match (ask, choice.checked_sub(1)) {
            (Ask::Quantity(line, numbers), Some(answer)) => job.sets[0].specs[*line].quantity = numbers[answer].into(),
            (Ask::Weight(lines), Some(answer)) => {
                for line in lines {
                    let quantity = job.sets[0].specs[*line].quantity;
                    let status = job.sets[0].specs[*line].status;
                    let weight = ["standard", "heavy"][answer];
                    job.sets[0].specs[*line] = Spec { id: id(*line), quantity, status, ..hinges(catalog, weight) };
                }
            }
            (Ask::Out(line), Some(1)) => job.sets[0].specs[*line].status = Status::Excluded,
            _ => {}
        }
    }
    job
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]
    #[test]
    fn exposure_is_what_trying_everything_finds(asks in prop::collection::vec(ask(), 0..5), terms in 0usize..3) {
        let terms = ["", "[price]\nprovisional = \"dearest\"\n[tax]\nrate = \"7%\"", "[price]\nmethod = \"markup\"\n[freight]\nrate = \"4%\""][terms];
        let catalog = catalog();
        let lines = (0..4).map(|line| Spec { id: id(line), ..hinges(&catalog, ["standard", "heavy"][line % 2]) }).collect();
        let mut base = job(vec![opening("101", 1, 2), opening("102", 2, 3)], vec![(vec![0, 1], lines)]);
        base.findings = asks.iter().map(asked).collect();
        let quote = quoted(base.clone(), terms);
        let mut choices = vec![0; asks.len()];
        let (mut low, mut high) = (quote.totals.total, quote.totals.total);
        loop {
            let total = quoted(settled(&base, &asks, &choices, &catalog), terms).totals.total;
            (low, high) = (low.min(total), high.max(total));
            let Some(at) = (0..asks.len()).find(|at| choices[*at] < base.findings[*at].answers.len()) else { break };
            choices[at] += 1;
            choices[..at].fill(0);
        }
        prop_assert_eq!(quote.totals.exposure_low, low);
        prop_assert_eq!(quote.totals.exposure_high, high);
    }
}
