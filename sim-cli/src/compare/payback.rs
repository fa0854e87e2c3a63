//! What layouts use up in a season, what that costs, and when a retrofit has paid for itself.

use super::letters::LETTERS;
use crate::columns::{Columns, signless_nothing};
use crate::results::Finished;
use crate::tables::Page;
use crate::words::PURGE_IS_UNCERTAIN;
use serde::Serialize;
use sim_core::findings::{Used, used};
use sim_core::scenario::Prices;
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// Seasons beyond which nobody waits.
const MOST_SEASONS: f64 = 100.0;

/// What layouts cost, and when retrofits have paid for themselves.
#[derive(Debug, Serialize)]
pub(crate) struct Payback {
    currency: String,
    fills: f64,
    costs: Vec<LayoutCosts>,
    #[serde(skip)]
    page: Page,
}

/// A layout's part of it; money in the currency of the prices.
#[derive(Debug, Serialize)]
struct LayoutCosts {
    letter: char,
    fill: Costs,
    season_money: f64,
    /// Against the first layout.
    season_saved: f64,
    retrofit_cost: Option<f64>,
    /// Seasons until the retrofit has paid for itself, if it ever does.
    paid_after_seasons: Option<f64>,
}

/// What a layout costs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
struct Costs {
    /// Product that does no work, volume at full strength.
    product_m3: f64,
    water_m3: f64,
    time_s: f64,
    /// Of a fill, in the currency of the prices.
    money: f64,
}

/// A row of the table: what it is called, and what it has of each layout.
type Entry = (String, Vec<String>);

/// What `prices` say of `runs`, whose files are called `names`.
///
/// # Errors
/// A sentence that says what is missing.
pub(crate) fn payback(
    prices: &Prices,
    runs: &[Finished],
    names: &[String],
) -> Result<Payback, String> {
    let used = runs.iter().zip(names).map(|(run, name)| used_by(run, name));
    let used: Vec<Used> = used.collect::<Result<_, _>>()?;
    let rate_m = runs[0].scenario().course.travel.and_then(|travel| travel.rate_m);
    let per_m3 = prices.product.per_m3(rate_m).ok_or_else(|| {
        format!(
            "the price of the product is that of an area, and {} wants no rate: add `rate` to its [travel], or give \
             the price of the mix, such as product = \"0.35 /L\"",
            names[0]
        )
    })?;
    let put_away = used.iter().any(|used| used.put_away);
    let costs: Vec<Costs> =
        used.iter().map(|used| Costs::of(used, put_away, per_m3, prices)).collect();
    let mut entries = of_fill(&costs, prices, runs[0].units);
    entries.extend(of_season(&costs, prices, names, runs[0].units));
    let mut columns = Columns::new().words("", |(words, _): &Entry| words.clone());
    for (layout, letter) in LETTERS[..runs.len()].iter().enumerate() {
        columns = columns.text(&letter.to_string(), move |(_, of)| of.get(layout).cloned()).or("");
    }
    let mut page = Page::default();
    page.table(columns.table("Payback", &entries, runs[0].units));
    page.paragraph(assumptions(put_away));
    if put_away && runs.iter().flat_map(|run| &run.findings).any(|found| found.purge.is_some()) {
        page.paragraph(format!("{PURGE_IS_UNCERTAIN} The money is as uncertain."));
    }
    let costs = (0..costs.len()).map(|i| LayoutCosts::of(i, &costs, prices, names)).collect();
    Ok(Payback { currency: prices.currency.clone(), fills: prices.fills, costs, page })
}

impl Payback {
    /// What is shown of it.
    pub(crate) fn page(&self) -> &Page {
        &self.page
    }
}

impl LayoutCosts {
    fn of(i: usize, costs: &[Costs], prices: &Prices, names: &[String]) -> Self {
        let season = |i: usize| prices.fills * costs[i].money;
        let season_saved = season(0) - season(i);
        let retrofit_cost = retrofit_cost(prices, &names[i]).filter(|_| i > 0);
        let seasons = retrofit_cost.map(|cost| if cost == 0.0 { 0.0 } else { cost / season_saved });
        Self {
            letter: LETTERS[i],
            fill: costs[i],
            season_money: season(i),
            season_saved,
            retrofit_cost,
            paid_after_seasons: seasons.filter(|seasons| seasons.is_finite() && *seasons >= 0.0),
        }
    }
}

fn retrofit_cost(prices: &Prices, layout: &str) -> Option<f64> {
    prices.retrofits.iter().find(|one| one.layout == layout).map(|one| one.cost)
}

fn used_by(run: &Finished, name: &str) -> Result<Used, String> {
    let course = &run.scenario().course;
    used(run.plumbing(), course, &run.record, &run.findings).ok_or_else(|| {
        format!("no step of {name} lasts: nothing is used up. Say how long, with `for`")
    })
}

impl Costs {
    /// Of a fill that used up `used`; what is left in the lines counts if machines are `put_away` then.
    fn of(used: &Used, put_away: bool, product_per_m3: f64, prices: &Prices) -> Self {
        let left_m3 = if put_away { used.in_lines_product_m3 } else { 0.0 };
        let product_m3 = used.under_dosed_product_m3 + used.lost_product_m3 + left_m3;
        let (water_m3, time_s) = (used.water_m3, used.time_s);
        let money = product_m3 * product_per_m3
            + water_m3 * prices.water_per_m3
            + time_s * prices.time_per_s;
        Self { product_m3, water_m3, time_s, money }
    }
}

/// The rows of a fill.
fn of_fill(costs: &[Costs], prices: &Prices, units: UnitSystem) -> Vec<Entry> {
    let mut entries = vec![("A fill".to_owned(), Vec::new())];
    entries.extend(quantities(costs, 1.0, units));
    let money = |costs: &Costs| format!("{:.2} {}", costs.money, prices.currency);
    entries.push(("  money".to_owned(), costs.iter().map(money).collect()));
    entries
}

/// The rows of a season.
fn of_season(costs: &[Costs], prices: &Prices, names: &[String], units: UnitSystem) -> Vec<Entry> {
    let money =
        |amount: f64| format!("{} {}", signless_nothing(format!("{amount:.0}")), prices.currency);
    let row = |words: &str, cell: &dyn Fn(usize) -> String| {
        (words.to_owned(), (0..costs.len()).map(cell).collect())
    };
    let saved = |i: usize| prices.fills * (costs[0].money - costs[i].money);
    let cost = |i: usize| retrofit_cost(prices, &names[i]);
    let of_first = |i: usize, text: String| if i == 0 { String::new() } else { text };
    let mut entries = vec![(format!("A season of {} fills", prices.fills), Vec::new())];
    entries.extend(quantities(costs, prices.fills, units));
    entries.push(row("  money", &|i| money(prices.fills * costs[i].money)));
    entries.push(row("  saved against A", &|i| of_first(i, money(saved(i)))));
    entries.push(row("Retrofit", &|i| of_first(i, cost(i).map_or("no cost given".into(), money))));
    entries.push(row("  paid for after", &|i| {
        of_first(i, cost(i).map_or("-".into(), |cost| after(cost, saved(i))))
    }));
    entries
}

fn quantities(costs: &[Costs], fills: f64, units: UnitSystem) -> [Entry; 3] {
    let row = |words: &str, quantity: Q, of: fn(&Costs) -> f64| {
        let cells = costs.iter().map(|costs| show(fills * of(costs), quantity, units));
        (words.to_owned(), cells.collect())
    };
    [
        row("  product lost (as full-strength mix)", Q::Volume, |costs| costs.product_m3),
        row("  water", Q::Volume, |costs| costs.water_m3),
        row("  time", Q::Duration, |costs| costs.time_s),
    ]
}

/// When what costs `cost` has paid for itself, where `saved` is saved in a season.
fn after(cost: f64, saved: f64) -> String {
    if cost == 0.0 {
        return "at once".into();
    }
    match cost / saved {
        seasons if saved <= 0.0 || !seasons.is_finite() => "never".into(),
        seasons if seasons > MOST_SEASONS => format!("over {MOST_SEASONS:.0} seasons"),
        seasons => format!("{seasons:.1} seasons"),
    }
}

fn assumptions(put_away: bool) -> String {
    let left = if put_away {
        "and is in the lines after the pump when the run ends, for some layout is put away then"
    } else {
        "; what is in the lines when the run ends is used on"
    };
    format!(
        "Assumed: each fill goes once through the steps of its scenario. Product lost is what is sprayed below full strength \
         or leaves tips in a purge{}{left}. Water is what tanks without product give. Time is that of steps in which no tip \
         sprays or a rinse does, and of spraying until every tip has full strength. Prices stay as they are; interest, \
         upkeep and what a poor strip yields are left out.",
        if put_away { ", " } else { "" }
    )
}

#[cfg(test)]
mod tests {
    use super::{Costs, after, of_fill, of_season};
    use sim_core::findings::Used;
    use sim_core::scenario::read_prices;
    use sim_core::units::UnitSystem;

    /// By hand: 10 L at 0.35 /L are 3.50, 100 L of water at 2 /m3 are 0.20, 2 min at 60 /h are 2.00: 5.70 a fill. 2 L are
    /// 0.70, 40 L are 0.08, 1 min is 1.00: 1.78. A season of 100 fills: 570 and 178, 392 saved; 980 / 392 = 2.5.
    #[test]
    fn money_of_fill_and_season_and_payback_are_those_worked_by_hand() {
        let prices = "currency = \"EUR\"\nfills = 100\nproduct = \"0.35 /L\"\nwater = \"2 /m3\"\nhour = \"60 /h\"\n\
                      [[retrofit]]\nlayout = \"new\"\ncost = 980\n";
        let prices = read_prices(prices).unwrap();
        let used = |product: f64, water: f64, time_s: f64| Used {
            under_dosed_product_m3: 0.5e-3 * product,
            lost_product_m3: 0.2e-3 * product,
            in_lines_product_m3: 0.3e-3 * product,
            water_m3: 1e-3 * water,
            time_s,
            put_away: true,
        };
        let per_m3 = prices.product.per_m3(None).unwrap();
        let costs = [used(10.0, 100.0, 120.0), used(2.0, 40.0, 60.0)]
            .map(|used| Costs::of(&used, true, per_m3, &prices));
        let fill = of_fill(&costs, &prices, UnitSystem::Si);
        assert_eq!(fill.last().unwrap().1, ["5.70 EUR", "1.78 EUR"]);
        assert_eq!(fill[1].1, ["10.0 L", "2.0 L"]);
        let names = ["old", "new"].map(str::to_owned);
        let season = of_season(&costs, &prices, &names, UnitSystem::Si);
        let rows: Vec<_> =
            season.iter().map(|(words, cells)| (words.trim(), cells.join("|"))).collect();
        assert_eq!(
            rows[1..4],
            [
                ("product lost (as full-strength mix)", "1000.0 L|200.0 L".to_owned()),
                ("water", "10000.0 L|4000.0 L".into()),
                ("time", "3.3 h|100.0 min".into()),
            ]
        );
        assert_eq!(
            rows[4..],
            [
                ("money", "570 EUR|178 EUR".to_owned()),
                ("saved against A", "|392 EUR".into()),
                ("Retrofit", "|980 EUR".into()),
                ("paid for after", "|2.5 seasons".into()),
            ]
        );
        // What is in the lines at the end is used on where machines go on.
        assert!(
            (Costs::of(&used(10.0, 0.0, 0.0), false, per_m3, &prices).product_m3 - 7e-3).abs()
                < 1e-12
        );
    }

    /// 70 /ha at 200 L/ha are 0.35 /L.
    #[test]
    fn a_price_of_an_area_is_one_of_the_mix_at_the_rate_wanted() {
        let prices = "fills = 1\nproduct = \"70 /ha\"\nwater = \"0 /L\"\nhour = \"0 /h\"\n";
        let product = read_prices(prices).unwrap().product;
        assert!((product.per_m3(Some(200e-3 / 1e4)).unwrap() - 350.0).abs() < 1e-9);
        assert_eq!(product.per_m3(None), None);
    }

    #[test]
    fn a_retrofit_that_saves_nothing_never_pays() {
        assert_eq!(
            [(100.0, 0.0), (100.0, -5.0), (0.0, 1.0), (100.0, 0.5), (90.0, 60.0)]
                .map(|(c, s)| after(c, s)),
            ["never", "never", "at once", "over 100 seasons", "1.5 seasons"]
        );
    }
}
