//! Counting and pricing, from hand-made jobs.

#[path = "price/bench.rs"]
mod bench;

use bench::{dec, good, job, list_price, money, opening, spec};
use pintle::catalog::Catalog;
use pintle::catalog::good::{Adder, Adds, Entry, Per};
use pintle::complete::spec::{Completed, Status};
use pintle::count::count;
use pintle::money::Money;
use pintle::price::quote::{Quote, Trouble};
use pintle::price::{price, views};
use pintle::read::schedule::Basis;
use pintle::terms::{Percent, Terms};
use pintle::trade::category::Category;
use proptest::prelude::*;
use rust_decimal::Decimal;

fn quoted(job: Completed, terms: &str) -> Quote {
    let terms = Terms::parse(terms, "job.toml").unwrap();
    let catalog = Catalog::default();
    let takeoff = count(&job, &catalog);
    price(job, takeoff, &catalog, &terms, "2026-10-01")
}

fn one(base: &str, quantity: &str) -> Completed {
    let good = good("bb", "Arden", list_price(base, &["50", "10", "5"]));
    job(
        vec![opening("101", 1, 2)],
        vec![(vec![0], vec![spec(0, 0, Category::Hinge, quantity, Basis::Leaf, Some(good))])],
    )
}

/// Source: discount chains multiply (50/10/5 is 0.4275, published worked examples of trade discounts); margin 25 % is
/// net / 0.75; calculated by hand.
#[test]
fn a_chain_then_a_margin() {
    let quote = quoted(one("100.00", "3"), "[price]\nrate = \"25%\"");
    let working = quote.items[0].working.as_ref().unwrap();
    assert_eq!(working.multiplier, dec("0.4275"));
    assert_eq!(working.net, money("42.75"));
    assert_eq!(working.sell, money("57.00"));
    assert_eq!(quote.items[0].extended, money("171.00"));
    assert_eq!(quote.totals.total, money("171.00"));
}

/// Source: as above; 87.40 × 0.4275 is 37.3635, markup 25 % on the rounded net.
#[test]
fn a_chain_then_a_markup() {
    let quote = quoted(one("87.40", "1"), "[price]\nmethod = \"markup\"\nrate = \"25%\"");
    let working = quote.items[0].working.as_ref().unwrap();
    assert_eq!(working.net, money("37.36"));
    assert_eq!(working.sell, money("46.70"));
}

/// Source: published worked example of a trade discount: 40/15/15 is 0.4335.
#[test]
fn chains_multiply_and_never_add() {
    let chain = |steps: &[&str]| pintle::price::chain(&steps.iter().map(|step| dec(step)).collect::<Vec<_>>()).unwrap();
    assert_eq!(chain(&["40", "15", "15"]).normalize(), dec("0.4335"));
    assert_eq!(chain(&[]), Decimal::ONE);
}

/// Source: "Business Mathematics" (textbook), section 8-2, markup on selling price: exercises 1 and 2 of page 297, application
/// exercises 1, 2 and 5 of page 299, as solved on a public answers page; a calculator maker's guide for 29.99 at 25 % of cost,
/// whose exact price ends in half a cent and more. A markup on the selling price is what the job terms call a margin.
#[test]
fn margins_and_markups_are_those_of_a_published_textbook() {
    for (cost, method, rate, sell) in [
        ("21.00", "margin", "25%", "28.00"),
        ("18.60", "margin", "40%", "31.00"),
        ("41.88", "margin", "50%", "83.76"),
        ("1040.00", "markup", "53.8%", "1599.52"),
        ("132.00", "markup", "45%", "191.40"),
        ("29.99", "markup", "25%", "37.49"),
    ] {
        let good = good("bb", "Arden", list_price(cost, &[]));
        let specs = vec![spec(0, 0, Category::Hinge, "1", Basis::Opening, Some(good))];
        let job = job(vec![opening("101", 1, 2)], vec![(vec![0], specs)]);
        let quote = quoted(job, &format!("[price]\nmethod = \"{method}\"\nrate = \"{rate}\""));
        assert_eq!(quote.totals.total, money(sell), "{cost} at a {method} of {rate}");
    }
}

/// Source: m = g / (1 - g): a margin of 20 % is a markup of 25 %, 40 % is 66.67 %.
#[test]
fn margins_and_markups_are_not_confused() {
    for (margin, markup) in [("20%", "25%"), ("50%", "100%")] {
        let as_margin = quoted(one("1000.00", "1"), &format!("[price]\nrate = \"{margin}\""));
        let as_markup = quoted(one("1000.00", "1"), &format!("[price]\nmethod = \"markup\"\nrate = \"{markup}\""));
        assert_eq!(as_margin.totals.total, as_markup.totals.total);
    }
    assert!(Terms::parse("[price]\nrate = \"100%\"", "job.toml").unwrap_err().contains("markup"));
}

#[test]
fn adders_at_list_take_the_discount_and_net_adders_do_not() {
    let entry = Entry { file: "prices.csv".into(), line: 2 };
    let adder = |what: &str, adds| Adder { what: what.into(), adds, entry: entry.clone() };
    let mut list = list_price("100.00", &["50"]);
    list.adders = vec![
        adder("conductors 6", Adds::List(money("40.00"))),
        adder("finish 613", Adds::PercentOfList(dec("10"))),
        adder("label", Adds::Net(money("3.00"))),
    ];
    let specs = vec![spec(0, 0, Category::Hinge, "1", Basis::Opening, Some(good("bb", "Arden", list)))];
    let quote = quoted(job(vec![opening("101", 1, 2)], vec![(vec![0], specs)]), "");
    let working = quote.items[0].working.as_ref().unwrap();
    assert_eq!(working.list, money("150.00"));
    assert_eq!(working.net_adders, money("3.00"));
    assert_eq!(working.net, money("78.00"));
    assert_eq!(working.sell, money("104.00"));
}

#[test]
fn a_leaf_line_counts_leaves_and_a_lot_counts_once() {
    let each =
        |line, basis| spec(0, line, Category::Closer, "1", basis, Some(good("cl", "Arden", list_price("10.00", &[]))));
    let mut doors = vec![opening("101", 1, 2), opening("102", 2, 3), opening("103", 2, 4), opening("104", 1, 5)];
    doors[2].count = 3;
    doors[3].excluded = Some("N.I.C.".into());
    let mut at_one = each(3, Basis::Leaf);
    at_one.at.insert(1, dec("5"));
    let specs = vec![each(0, Basis::Leaf), each(1, Basis::Opening), each(2, Basis::Lot), at_one];
    let quote = quoted(job(doors, vec![(vec![0, 1, 2, 3], specs)]), "");
    let counts: Vec<String> = quote.items.iter().map(|item| item.item.count.normalize().to_string()).collect();
    assert_eq!(counts, ["9", "5", "1", "12"]);
}

#[test]
fn goods_sold_by_the_foot_or_the_pair_are_priced_in_the_unit_counted() {
    let mut foot = list_price("2.50", &[]);
    foot.per = Per::Foot;
    foot.length = Some("84".parse().unwrap());
    let mut pair = list_price("30.00", &[]);
    pair.per = Per::Pair;
    let specs = vec![
        spec(0, 0, Category::Gasketing, "1", Basis::Opening, Some(good("seal", "Arden", foot))),
        spec(0, 1, Category::Hinge, "3", Basis::Opening, Some(good("bb", "Arden", pair))),
    ];
    let quote = quoted(job(vec![opening("101", 1, 2)], vec![(vec![0], specs)]), "[price]\nrate = 0");
    assert_eq!(quote.items[0].extended, money("17.50"));
    assert_eq!(quote.items[1].extended, money("45.00"));
}

#[test]
fn a_good_without_a_price_is_no_price_and_a_price_too_large_is_no_panic() {
    let mut asked = list_price("0", &[]);
    asked.call_for_price = true;
    let huge = list_price("79000000000000000000000000000", &["50"]);
    let specs = vec![
        spec(0, 0, Category::Operator, "1", Basis::Opening, Some(good("op", "Arden", asked))),
        spec(0, 1, Category::Operator, "7", Basis::Opening, Some(good("big", "Arden", huge))),
        spec(0, 2, Category::Operator, "7", Basis::Opening, None),
    ];
    let quote = quoted(job(vec![opening("101", 1, 2)], vec![(vec![0], specs)]), "");
    assert_eq!(quote.items[0].trouble, Some(Trouble::CallForPrice));
    assert_eq!(quote.items[1].trouble, Some(Trouble::TooLarge));
    assert_eq!(quote.items[2].trouble, None);
    assert_eq!(quote.totals.total, Money::ZERO);
    assert_eq!(quote.job.sets[0].specs[2].status, Status::Unpriced);
}

#[test]
fn freight_bond_allowances_and_tax_stand_below_the_goods() {
    let terms = "allowances = [{ name = \"Keying allowance\", sum = \"250.00\" }]\n\
                 [price]\nrate = \"25%\"\nbond = \"1%\"\n[freight]\nrate = \"3%\"\n\
                 [tax]\nrate = \"8.25%\"\non_freight = true";
    let quote = quoted(one("100.00", "3"), terms);
    let totals = quote.totals;
    assert_eq!(totals.goods, money("171.00"));
    assert_eq!(totals.freight, money("5.13"));
    assert_eq!(totals.bond, money("1.71"));
    assert_eq!(totals.allowances, money("250.00"));
    // (171.00 + 5.13) × 0.0825 = 14.530725
    assert_eq!(totals.tax, money("14.53"));
    assert_eq!(totals.total, money("442.37"));
    let exempt = quoted(one("100.00", "3"), "[tax]\nrate = \"8%\"\nexempt = [\"hinge\"]");
    assert_eq!(exempt.totals.tax, Money::ZERO);
    let free = quoted(one("100.00", "3"), "[freight]\nrate = \"3%\"\nfree_above = \"171.00\"");
    assert_eq!(free.totals.freight, Money::ZERO);
    let weighed = quoted(one("100.00", "3"), "[freight]\nper_pound = \"0.50\"");
    assert_eq!(weighed.totals.freight, money("2.25"));
}

#[test]
fn tax_falls_on_the_taxed_part_with_its_surcharges_and_on_nothing_else() {
    let priced = |base: &str| {
        let mut list = list_price(base, &[]);
        list.surcharges = vec![("Metal".into(), dec("10"))];
        list
    };
    let specs = vec![
        spec(0, 0, Category::Hinge, "1", Basis::Opening, Some(good("bb", "Arden", priced("100.00")))),
        spec(0, 1, Category::Closer, "1", Basis::Opening, Some(good("cl", "Arden", priced("200.00")))),
    ];
    let job = || job(vec![opening("101", 1, 2)], vec![(vec![0], specs.clone())]);
    let base =
        "[price]\nrate = 0\nbond = \"5%\"\n[freight]\nsum = \"40.00\"\n[tax]\nrate = \"10%\"\nexempt = [\"closer\"]";
    let plain = quoted(job(), base);
    assert_eq!(plain.totals.goods, money("330.00"), "two goods and two surcharges");
    assert_eq!(plain.totals.tax, money("11.00"), "of 100.00 and its surcharge of 10.00");
    assert_eq!((plain.totals.bond, plain.totals.freight), (money("16.50"), money("40.00")));
    let freight = quoted(job(), &format!("{base}\non_freight = true"));
    assert_eq!(freight.totals.tax, money("15.00"));
    assert_eq!(freight.totals.total, money("401.50"));
}

#[test]
fn freight_is_free_from_the_sum_and_not_a_cent_below_it() {
    for (limit, freight) in [("171.00", "0.00"), ("171.01", "5.13")] {
        let terms = format!("[price]\nrate = \"25%\"\n[freight]\nrate = \"3%\"\nfree_above = \"{limit}\"");
        assert_eq!(quoted(one("100.00", "3"), &terms).totals.freight, money(freight), "free from {limit}");
    }
}

#[test]
fn terms_that_name_what_is_not_there_are_said_with_the_nearest() {
    let terms = "[price.by_category]\nhinges = \"30%\"\n[tax]\nexempt = [\"hinge\", \"gasketting\"]\n[price.by_row]\n\"Hardware!99\" = \"1%\"\n\
                 [[phases]]\nname = \"A\"\nopenings = [\"1*\", \"9*\"]\n[[alternates]]\nname = \"B\"\ndrop_sets = [\"7\"]";
    let quote = quoted(one("100.00", "3"), terms);
    let found: Vec<String> = quote
        .job
        .findings
        .iter()
        .filter(|finding| finding.code == "term-names-nothing")
        .map(|finding| format!("{} {}", finding.says, finding.help))
        .collect();
    for wanted in
        ["\"hinges\"", "write \"hinge\"", "\"gasketting\"", "write \"gasketing\"", "Hardware!99", "\"9*\"", "\"7\""]
    {
        assert!(found.iter().any(|said| said.contains(wanted)), "{wanted} in {found:#?}");
    }
    assert_eq!(found.len(), 5, "{found:#?}");
    assert_eq!(quote.alternates[0].delta, None, "an alternate that changes nothing is no alternate of 0.00");
}

#[test]
fn a_surcharge_is_a_line_of_its_own_or_a_step_of_the_unit_price() {
    let surcharged = || {
        let mut list = list_price("100.00", &["50"]);
        list.surcharges = vec![("Steel surcharge".into(), dec("4"))];
        let specs = vec![spec(0, 0, Category::Hinge, "3", Basis::Opening, Some(good("bb", "Arden", list)))];
        job(vec![opening("101", 1, 2)], vec![(vec![0], specs)])
    };
    let own = quoted(surcharged(), "[price]\nrate = \"20%\"");
    assert_eq!(own.items[0].working.as_ref().unwrap().sell, money("62.50"));
    assert_eq!(own.job.added[0].rule, "surcharge");
    assert_eq!(own.items[1].extended, money("7.50"));
    assert_eq!(own.totals.goods, money("195.00"));
    let inside = quoted(surcharged(), "[price]\nrate = \"20%\"\nsurcharges = \"in-unit\"");
    assert_eq!(inside.items[0].working.as_ref().unwrap().net, money("52.00"));
    assert_eq!(inside.totals.goods, money("195.00"));
}

/// The rate for everything else may be no rate though every good has one of its own.
#[test]
fn a_surcharge_without_a_rate_is_not_sold_at_cost() {
    let mut list = list_price("100.00", &["50"]);
    list.surcharges = vec![("Steel surcharge".into(), dec("4"))];
    let specs = vec![spec(0, 0, Category::Hinge, "3", Basis::Opening, Some(good("bb", "Arden", list)))];
    let job = job(vec![opening("101", 1, 2)], vec![(vec![0], specs)]);
    let mut terms = Terms::parse("[price]\nrate = \"20%\"", "job.toml").unwrap();
    terms.price.by_category.insert("hinge".into(), terms.price.rate);
    terms.price.rate = Percent::new(dec("100"));
    let catalog = Catalog::default();
    let takeoff = count(&job, &catalog);
    let quote = price(job, takeoff, &catalog, &terms, "2026-10-01");
    assert_eq!(quote.items[0].working.as_ref().unwrap().sell, money("62.50"));
    assert_eq!((quote.items[1].extended, quote.items[1].trouble), (Money::ZERO, Some(Trouble::Rate)));
    assert_eq!(quote.totals.goods, money("187.50"));
    let said = quote.job.findings.iter().find(|finding| finding.code == "no-such-price").expect("it is said");
    assert!(said.says.contains("Steel surcharge"), "{}", said.says);
}

#[test]
fn rounding_each_extension_is_a_line_that_says_so() {
    let quote = quoted(one("100.01", "7"), "[price]\nrate = \"30%\"\nround = \"extension\"");
    let item = &quote.items[0];
    let working = item.working.as_ref().unwrap();
    // 100.01 × 0.4275 = 42.754275 → 42.7543; / 0.7 = 61.07757… → 61.0776; × 7 = 427.5432
    assert_eq!(working.sell, money("61.0776"));
    assert_eq!(item.extended, money("427.5432"));
    assert_eq!(quote.totals.rounding, money("-0.0032"));
    assert_eq!(quote.totals.total, money("427.54"));
}

/// A good as the property tests draw it: list in cents, chain, category, count, surcharge, feet with decimals.
#[derive(Debug, Clone)]
struct Drawn {
    cents: u32,
    chain: Vec<u8>,
    category: usize,
    quantity: u32,
    tenths: bool,
    set: usize,
    lot: bool,
}

fn drawn() -> impl Strategy<Value = Drawn> {
    (0u32..5_000_000, prop::collection::vec(0u8..90, 0..4), 0usize..8, 1u32..9, any::<bool>(), 0usize..4, any::<bool>())
        .prop_map(|(cents, chain, category, quantity, tenths, set, lot)| Drawn {
            cents,
            chain,
            category,
            quantity,
            tenths,
            set,
            lot,
        })
}

fn build(drawn: &[Drawn], reversed: bool) -> Completed {
    let doors: Vec<_> = (0..12).map(|index| opening(&format!("{}", 100 + index), 1 + index % 2, index + 2)).collect();
    let mut sets: Vec<(Vec<usize>, Vec<_>)> =
        (0..4).map(|set| ((set * 3..set * 3 + 3).collect(), Vec::new())).collect();
    let mut order: Vec<&Drawn> = drawn.iter().collect();
    if reversed {
        order.reverse();
    }
    for one in order {
        let mut list = list_price("0", &[]);
        list.base = Money::new(Decimal::new(i64::from(one.cents), 2));
        list.chain = one.chain.iter().map(|step| Decimal::from(*step)).collect();
        if one.cents % 3 == 0 {
            list.surcharges = vec![("Metal".into(), dec("2.5"))];
        }
        let quantity = if one.tenths { Decimal::new(i64::from(one.quantity), 1) } else { one.quantity.into() };
        let basis = if one.lot { Basis::Lot } else { Basis::Leaf };
        let line = sets[one.set].1.len();
        let maker = ["Arden", "Bryony", "Cobb"][one.category % 3];
        let good = good(&format!("line{}", one.cents % 7), maker, list);
        let category = Category::ALL[one.category];
        let mut spec = spec(one.set, line, category, "1", basis, Some(good));
        spec.quantity = quantity;
        sets[one.set].1.push(spec);
    }
    job(doors, sets)
}

const TERMS: [&str; 3] = [
    "[price]\nrate = \"27.5%\"\n[tax]\nrate = \"7.125%\"\n[freight]\nrate = \"2%\"",
    "[price]\nrate = \"35%\"\nmethod = \"markup\"\nround = \"extension\"\nbond = \"1.5%\"\n[price.by_maker]\nCobb = \"10%\"",
    "[price]\nround_up_total = true\nsurcharges = \"in-unit\"\n[price.by_category]\nhinge = \"40%\"\n[freight]\nper_pound = \"0.37\"",
];

proptest! {
    #[test]
    fn lines_add_up_and_every_view_ties(goods in prop::collection::vec(drawn(), 0..40), terms in 0usize..3) {
        let quote = quoted(build(&goods, false), TERMS[terms]);
        let totals = quote.totals;
        prop_assert_eq!(quote.items.iter().map(|item| item.extended).sum::<Money>(), totals.goods);
        for item in &quote.items {
            let unit = item.working.as_ref().unwrap().sell;
            prop_assert_eq!(unit.times(item.item.count).unwrap(), item.extended);
        }
        let charges: Money = quote.charges.iter().map(|charge| charge.amount).sum();
        prop_assert_eq!(totals.goods + charges, totals.total);
        prop_assert!(totals.total.decimal().normalize().scale() <= 2);
        for view in [views::by_set, views::by_opening, views::by_item, views::by_category, views::by_maker] {
            let rows = view(&quote);
            prop_assert_eq!(rows.iter().map(|row| row.sum).sum::<Money>(), views::lump(&quote));
            prop_assert!(rows.iter().all(|row| row.sum.decimal().normalize().scale() <= 2));
        }
    }

    #[test]
    fn the_total_does_not_depend_on_the_order_of_lines(goods in prop::collection::vec(drawn(), 0..20), terms in 0usize..3) {
        let forward = quoted(build(&goods, false), TERMS[terms]);
        let backward = quoted(build(&goods, true), TERMS[terms]);
        prop_assert_eq!(forward.totals, backward.totals);
        prop_assert_eq!(views::by_item(&forward), views::by_item(&backward));
    }
}
