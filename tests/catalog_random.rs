//! Random catalogs and orders: every price is done again from the figures that the catalog was written from, sums and views
//! tie, no loss goes unnoticed, the currency is the catalog's, and the order of lines changes nothing.

#[path = "price/bench.rs"]
mod bench;

use bench::{job, opening, spec};
use pintle::catalog::Catalog;
use pintle::complete::spec::Completed;
use pintle::count::count;
use pintle::money::Money;
use pintle::price::quote::Quote;
use pintle::price::{price, rounding, views};
use pintle::read::schedule::Basis;
use pintle::terms::Terms;
use pintle::trade::attribute::{Attributes, Value, names};
use pintle::trade::category::Category;
use proptest::prelude::*;
use rust_decimal::Decimal;

/// A product line: what each height costs, what each kind of adder adds, and its discount.
#[derive(Debug, Clone)]
struct DrawnLine {
    /// List price of each height, in cents.
    cents: Vec<u32>,
    /// An adder for the second finish: tenths of a per cent, cents at list, cents net.
    adders: (u16, u32, u32),
    chain: Vec<u8>,
    /// A chain for the customers of the class.
    of_class: Option<u8>,
    /// Priced for the pair.
    pair: bool,
    surcharge: Option<u8>,
}

/// One line of the order: which product line, height and finish, how many, in which set.
#[derive(Debug, Clone)]
struct Ordered {
    line: usize,
    height: usize,
    dear: bool,
    count: u32,
    set: usize,
}

#[derive(Debug, Clone)]
struct Drawn {
    lines: Vec<DrawnLine>,
    orders: Vec<Ordered>,
    currency: usize,
    rate: i32,
    markup: bool,
    class: bool,
    in_unit: bool,
}

fn drawn() -> impl Strategy<Value = Drawn> {
    let line = (
        prop::collection::vec(100u32..900_000, 1..4),
        (0u16..400, 0u32..9_000, 0u32..9_000),
        prop::collection::vec(0u8..60, 0..4),
        prop::option::of(1u8..60),
        any::<bool>(),
        prop::option::of(1u8..20),
    )
        .prop_map(|(cents, adders, chain, of_class, pair, surcharge)| DrawnLine {
            cents,
            adders,
            chain,
            of_class,
            pair,
            surcharge,
        });
    let ordered = (any::<prop::sample::Index>(), any::<prop::sample::Index>(), any::<bool>(), 1u32..40, 0usize..3);
    (
        prop::collection::vec(line, 1..5),
        prop::collection::vec(ordered, 0..25),
        0usize..3,
        -20i32..70,
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
    )
        .prop_map(|(lines, orders, currency, rate, markup, class, in_unit)| {
            let orders = orders
                .into_iter()
                .map(|(line, height, dear, count, set)| {
                    let line = line.index(lines.len());
                    Ordered { line, height: height.index(lines[line].cents.len()), dear, count, set }
                })
                .collect();
            Drawn { lines, orders, currency, rate, markup, class, in_unit }
        })
}

const CURRENCIES: [&str; 3] = ["USD", "CAD", "EUR"];

fn cents(cents: u32) -> Decimal {
    Decimal::new(i64::from(cents), 2)
}

fn tenths(tenths: u16) -> Decimal {
    Decimal::new(i64::from(tenths), 1)
}

fn catalog(drawn: &Drawn) -> Catalog {
    let currency = CURRENCIES[drawn.currency];
    let head = format!(
        "name = \"Drawn\"\ncurrency = \"{currency}\"\nclasses = [\"friend\"]\n[[edition]]\neffective = \"2026-01-01\"\nfolder = \"one\"\n"
    );
    let mut text = String::new();
    for (at, line) in drawn.lines.iter().enumerate() {
        let rows: Vec<String> = line
            .cents
            .iter()
            .enumerate()
            .map(|(height, price)| format!("[{}, {}]", height + 3, cents(*price)))
            .collect();
        let heights: Vec<String> = (0..line.cents.len()).map(|height| (height + 3).to_string()).collect();
        let per = if line.pair { "pair" } else { "each" };
        let (percent, list, net) = line.adders;
        let chain: Vec<String> = line.chain.iter().map(ToString::to_string).collect();
        text.push_str(&format!(
            "[[line]]\nid = \"line{at}\"\nmaker = \"Maker {at}\"\ncategory = \"hinge\"\ndesignation = \"L{at}-{{height}} {{finish}}\"\n\
             describe = \"Hinge {at}, {{height}}, {{finish}}\"\nis = {{ base = \"steel\" }}\n\
             price = {{ per = \"{per}\", by = [\"height\"], rows = [{}] }}\nmakes.height = {{ values = [{}], usual = 3 }}\n\
             makes.finish = {{ values = [\"652\", \"640\"], percent = [0, {}], list = [0, {}], net = [0, {}] }}\n\
             [[discount]]\nline = \"line{at}\"\nchain = [{}]\n",
            rows.join(", "),
            heights.join(", "),
            tenths(percent),
            cents(list),
            cents(net),
            chain.join(", ")
        ));
        if let Some(step) = line.of_class {
            text.push_str(&format!("[[discount]]\nline = \"line{at}\"\nclass = \"friend\"\nchain = [{step}]\n"));
        }
        if let Some(percent) = line.surcharge {
            text.push_str(&format!("[[surcharge]]\nname = \"S{at}\"\npercent = {percent}\nmaker = \"Maker {at}\"\n"));
        }
    }
    let catalog = Catalog::from_texts(&[("catalog.toml", &head), ("one/goods.toml", &text)], "2026-06-01");
    let catalog = catalog.unwrap_or_else(|report| panic!("{report}\n{text}"));
    catalog.for_class(drawn.class.then_some("friend")).unwrap()
}

fn ordered(drawn: &Drawn, catalog: &Catalog, reversed: bool) -> Completed {
    let doors: Vec<_> = (0..6).map(|index| opening(&format!("{}", 100 + index), 1, index + 2)).collect();
    let mut sets: Vec<(Vec<usize>, Vec<_>)> = (0..3).map(|set| (vec![set * 2, set * 2 + 1], Vec::new())).collect();
    let mut orders: Vec<&Ordered> = drawn.orders.iter().collect();
    if reversed {
        orders.reverse();
    }
    for order in orders {
        let attributes: Attributes = [
            (names::HEIGHT, Value::Length((order.height + 3).to_string().parse().unwrap())),
            (names::FINISH, Value::text(if order.dear { "640" } else { "652" })),
        ]
        .into();
        let good = catalog.good(&format!("line{}", order.line).as_str().into(), &attributes).unwrap();
        let at = sets[order.set].1.len();
        let spec = spec(order.set, at, Category::Hinge, &order.count.to_string(), Basis::Opening, Some(good));
        sets[order.set].1.push(spec);
    }
    job(doors, sets)
}

fn terms(drawn: &Drawn) -> Terms {
    let method = if drawn.markup { "markup" } else { "margin" };
    let surcharges = if drawn.in_unit { "in-unit" } else { "own-line" };
    let text = format!(
        "[price]\nmethod = \"{method}\"\nrate = \"{}%\"\nfloor_margin = \"10%\"\nsurcharges = \"{surcharges}\"\n\
         [tax]\nrate = \"7.25%\"\n[freight]\nrate = \"3%\"\n[[phases]]\nname = \"A\"\nopenings = [\"100\", \"103\"]",
        drawn.rate
    );
    Terms::parse(&text, "job.toml").unwrap()
}

fn quoted(drawn: &Drawn, reversed: bool) -> Quote {
    let (catalog, terms) = (catalog(drawn), terms(drawn));
    let job = ordered(drawn, &catalog, reversed);
    let takeoff = count(&job, &catalog);
    price(job, takeoff, &catalog, &terms, "2026-06-01")
}

fn half_up(exact: Decimal) -> Decimal {
    exact.round_dp_with_strategy(2, rust_decimal::RoundingStrategy::MidpointAwayFromZero)
}

/// Net and sell of one piece of an order, from the figures drawn and nothing else.
fn by_hand(drawn: &Drawn, order: &Ordered) -> (Decimal, Decimal) {
    let line = &drawn.lines[order.line];
    let hundred = Decimal::ONE_HUNDRED;
    // Prices of a pair are halved: the job counts pieces.
    let of_piece = |figure: Decimal| if line.pair { figure / Decimal::TWO } else { figure };
    let base = of_piece(cents(line.cents[order.height]));
    let (mut list, mut net_added) = (base, Decimal::ZERO);
    if order.dear {
        let (percent, at_list, net) = line.adders;
        list += base * tenths(percent) / hundred + of_piece(cents(at_list));
        net_added = of_piece(cents(net));
    }
    let chain: Vec<u8> = match (drawn.class, line.of_class) {
        (true, Some(step)) => vec![step],
        _ => line.chain.clone(),
    };
    let mut exact = list;
    for step in chain {
        exact = exact * (hundred - Decimal::from(step)) / hundred;
    }
    exact += net_added;
    if let (true, Some(percent)) = (drawn.in_unit, line.surcharge) {
        exact += exact * Decimal::from(percent) / hundred;
    }
    let net = half_up(exact);
    let rate = Decimal::from(drawn.rate) / hundred;
    let sell = if drawn.markup { net * (Decimal::ONE + rate) } else { net / (Decimal::ONE - rate) };
    (net, half_up(sell))
}

proptest! {
    #[test]
    fn every_price_is_the_one_done_by_hand(drawn in drawn()) {
        let quote = quoted(&drawn, false);
        // Two openings of each set.
        let mut goods = Decimal::ZERO;
        let mut nth = [0usize; 3];
        for order in &drawn.orders {
            let (net, sell) = by_hand(&drawn, order);
            let line = nth[order.set];
            nth[order.set] += 1;
            let id = pintle::finding::LineId { set: order.set, line };
            let item = quote.items.iter().find(|item| item.item.from == pintle::count::takeoff::From::Line(id)).unwrap();
            let working = item.working.as_ref().unwrap();
            prop_assert_eq!(working.net.decimal(), net);
            prop_assert_eq!(working.sell.decimal(), sell);
            prop_assert_eq!(item.extended.decimal(), sell * Decimal::from(order.count * 2));
            goods += item.extended.decimal();
        }
        let surcharges: Money =
            quote.items.iter().filter(|item| item.item.candidate.is_none()).map(|item| item.extended).sum();
        prop_assert_eq!(quote.totals.goods.decimal(), goods + surcharges.decimal());
        prop_assert_eq!(quote.totals.freight, rounding::charge(quote.totals.goods.decimal() * Decimal::new(3, 2)));
        prop_assert_eq!(quote.totals.tax, rounding::charge(quote.totals.goods.decimal() * Decimal::new(725, 4)));
    }

    #[test]
    fn views_and_phases_tie_and_the_currency_is_the_catalogs(drawn in drawn()) {
        let quote = quoted(&drawn, false);
        for view in [views::by_set, views::by_opening, views::by_item, views::by_category, views::by_maker, views::by_phase] {
            let rows = view(&quote);
            prop_assert_eq!(rows.iter().map(|row| row.sum).sum::<Money>(), views::lump(&quote));
        }
        let currency = CURRENCIES[drawn.currency];
        prop_assert_eq!(&quote.catalog.currency, currency);
        let record: serde_json::Value = serde_json::from_str(&pintle::write::record(&quote)).unwrap();
        prop_assert_eq!(&record["catalog"]["currency"], currency);
        for other in CURRENCIES.iter().filter(|other| **other != currency) {
            prop_assert!(!record.to_string().contains(*other), "{} in a quote of {}", other, currency);
        }
    }

    #[test]
    fn no_loss_and_no_thin_margin_goes_unnoticed(drawn in drawn()) {
        let quote = quoted(&drawn, false);
        let said = |code: &str, id| {
            quote.job.findings.iter().any(|finding| finding.code == code && finding.lines.contains(&id))
        };
        for item in &quote.items {
            let (Some(working), pintle::count::takeoff::From::Line(id)) = (&item.working, item.item.from) else { continue };
            let loss = working.sell < working.net;
            let thin = working.sell.decimal() * Decimal::new(9, 1) < working.net.decimal();
            prop_assert_eq!(said("below-cost", id), loss);
            prop_assert_eq!(said("below-floor-margin", id), thin && !loss);
        }
    }

    #[test]
    fn the_order_of_lines_changes_no_sum(drawn in drawn()) {
        let (forward, backward) = (quoted(&drawn, false), quoted(&drawn, true));
        prop_assert_eq!(forward.totals, backward.totals);
        prop_assert_eq!(views::by_item(&forward), views::by_item(&backward));
        prop_assert_eq!(views::by_opening(&forward), views::by_opening(&backward));
    }
}
