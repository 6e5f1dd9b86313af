//! A field of the size that a weighing is made for, timed: fans made up by scaling those of the demo, times counts, burners, controls
//! and fillings, over all years of the bundled weather.
//!
//! `cargo run --release -p advice --example large_field -- [FANS] [THREADS]`; prints when the first useful answer stood and when all
//! was done, by the clock. Everything in it is invented.

use advice::weigh::{Asking, Field, News, Rules, weigh};
use ensemble::{Engine, Observer, Silent};
use equipment::{CurvePoint, Fan, FanCurve, Origin};
use job::catalogue::Catalogue;
use job::{Base, BuiltIn, Library as _, MemoryLibrary, Records};
use std::cell::Cell;
use std::sync::Arc;
use std::time::Instant;

const DEMO: &str = include_str!("../../job/data/demo.toml");
const CONTROLS: &str = r#"controls = [
    { kind = "continuous" },
    { kind = "humidity-window", high = "75 %" },
    { kind = "equilibrium-window", low = "13 %", high = "17 %", wet_override = "19 %" },
    { kind = "continuous", burner = { kind = "rise", rise = "2 K" } },
    { kind = "continuous", burner = { kind = "humidistat", humidity = "65 %" } },
    { kind = "humidity-window", high = "85 %", burner = { kind = "humidistat", humidity = "70 %" } },
]"#;

/// A fan of the demo made so many times as large, at the same pressures: two wheels side by side are one of twice the size.
fn scaled(fan: &Fan, factor: f64, id: String) -> Option<Fan> {
    let points: Vec<CurvePoint> = fan
        .curve
        .points()
        .map(|(point, _)| CurvePoint {
            airflow: factor * point.airflow,
            shaft_power: point.shaft_power.map(|power| factor * power),
            ..point
        })
        .collect();
    let curve = FanCurve::new(&points, equipment::STANDARD_DENSITY, fan.kind).ok()?;
    Fan::new(&id, fan.kind, Origin::Invented, curve, factor * fan.motor_power, fan.speed).ok()
}

fn main() {
    let mut arguments = std::env::args().skip(1);
    let mut number = |default: usize| arguments.next().and_then(|text| text.parse().ok()).unwrap_or(default);
    let (fans, threads) = (number(200), number(2));
    let built_in = BuiltIn::new();
    let mut made = Vec::new();
    let mut factor = 0.4;
    while made.len() < fans {
        for fan in built_in.fans() {
            let id = format!("{}-x{:03.0}", fan.id, 100.0 * factor);
            made.extend(scaled(fan, factor, id));
        }
        factor *= 1.04;
    }
    made.truncate(fans);
    let burner = built_in.burners()[0].clone();
    let burners: Vec<_> = (1..=2)
        .map(|k| {
            let capacity = f64::from(k) * 0.4 * burner.capacity;
            equipment::Burner { id: format!("made-up-burner-{k}"), capacity, ..burner.clone() }
        })
        .collect();
    let ids = |list: Vec<&str>| list.iter().map(|id| format!("{id:?}")).collect::<Vec<_>>().join(", ");
    let names = ids(made.iter().map(|fan| fan.id.as_str()).collect());
    let heaters = ids(burners.iter().map(|burner| burner.id.as_str()).collect());
    let prices: Vec<String> =
        made.iter().map(|fan| format!("{} = \"{:.0} $\"", fan.id, 900.0 + 0.55 * fan.motor_power)).collect();
    let prices = format!("{}, made-up-burner-1 = \"2500 $\", made-up-burner-2 = \"3600 $\"", prices.join(", "));
    let library = MemoryLibrary::new().with_catalogue(Catalogue { fans: made, burners });
    let choose = format!(
        "[bins.north.choose]\nfans = [{names}]\nmost_fans = 4\nburners = [{heaters}]\n{CONTROLS}\n\
         fillings = [{{ share = \"75 %\" }}, {{ days = 8 }}]\n"
    );
    let money = format!(
        "electricity = \"0.12 $/kWh\"\nfuel = \"1.90 $/usgal\"\ngrain = \"4.10 $/bu\"\n\
         ownership = {{ interest = \"6 %\", years = 20, repairs = \"3 %\" }}\nequipment = {{ {prices} }}\n\n[goal.remedy]\n\
         kind = \"custom-drying\"\ncharge_per_point = \"0.05 $/bu\"\nspoiled = \"2.00 $/bu\"\n"
    );
    let text = DEMO.replace("electricity = \"0.12 $/kWh\"\n", &money) + "\n" + &choose;
    let began = Instant::now();
    let base = Base::open(&Records::default(), &text, "large.toml", &library).unwrap_or_else(|wrong| panic!("{wrong}"));
    println!("{:6.2} s  site open", began.elapsed().as_secs_f64());
    let began = Instant::now();
    let field = Field::of(&base, 0, &library).unwrap_or_else(|wrong| panic!("{wrong}"));
    println!(
        "{:6.2} s  field of {} candidates in {} settings",
        began.elapsed().as_secs_f64(),
        field.candidates.len(),
        field.settings.len()
    );
    let first = Cell::new(true);
    let told = |news: News<'_>| match news {
        News::Sorted { left, excluded, .. } => {
            println!("{:6.2} s  {left} left, {} excluded", began.elapsed().as_secs_f64(), excluded.len());
        }
        News::Stands { points, seasons } => {
            let complete = points.iter().filter(|point| point.run == 28 || point.run == 29).count();
            println!(
                "{:6.2} s  {seasons} seasons, {} outfits have run, {complete} all years{}",
                began.elapsed().as_secs_f64(),
                points.len(),
                if first.replace(false) { "  <- first useful answer" } else { "" }
            );
        }
    };
    let observer: Arc<dyn Observer> = Arc::new(Silent);
    let asking = Asking { told: &told, ..Asking::quietly(Rules::Probable, &observer) };
    let answer = weigh(&Engine::new(threads), base.job(), &field, &asking);
    println!("{:6.2} s  done", began.elapsed().as_secs_f64());
    println!("{}", advice::weigh::says::headline(&answer).render(notice::UnitSystem::Us));
    println!(
        "front of {}, {} run, {} not run, {:?}",
        answer.front.len(),
        answer.outfits.len(),
        answer.not_run,
        answer.surface
    );
}
