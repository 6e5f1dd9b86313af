//! Airflows recommended for natural air beside what `limit` finds in the bundled autumns: which airflow does a moisture ask for the
//! wanted chance.
//!
//! Nothing is tuned to the tables. They were made for other regions and say neither chance nor day; the climate here is Champaign,
//! Illinois. What is compared is the direction and the size.

use crate::page::{Against, Row as Line, Section, Verdict, not_run, row};
use advice::limit::{Asked, Map, map};
use ensemble::{Engine, Observer, Silent};
use job::{Base, BuiltIn, Records};
use std::sync::Arc;

/// 1/s for 1 cfm over a volume bushel.
const CFM_BU: f64 = 0.000471947443 / 0.03523907;

/// A recommendation: moisture w.b., least airflow, cfm/bu.
type Recommended = (f64, f64);

/// A crop as it comes to a bin.
struct Crop {
    id: &'static str,
    name: &'static str,
    /// Goal, % w.b.
    goal: f64,
    /// First day of filling, and the day by which it is to be dry.
    days: (&'static str, &'static str),
    /// What is recommended, and by whom.
    asks: &'static [Recommended],
    source: &'static str,
}

const CROPS: [Crop; 3] = [
    Crop {
        id: "corn",
        name: "corn, natural air",
        goal: 15.5,
        days: ("10-10", "12-15"),
        asks: &[(0.20, 1.0), (0.22, 1.0), (0.23, 2.0), (0.25, 3.0)],
        source: "Bertomeu 2020; Hellevang 2010: at least 1 cfm/bu to 20 %",
    },
    Crop {
        id: "soybean",
        name: "soybeans, natural air",
        goal: 13.0,
        days: ("09-25", "12-01"),
        asks: &[(0.16, 1.0), (0.18, 1.5)],
        source: "Hellevang 2020",
    },
    Crop {
        id: "wheat-hard",
        name: "wheat, natural air",
        goal: 13.5,
        days: ("08-20", "10-31"),
        asks: &[(0.17, 0.75), (0.18, 1.0)],
        source: "Hellevang 2020; Top Crop Manager",
    },
];

/// The map of a crop: its bin at many depths, continuous fans, day and moisture apart.
fn drawn(crop: &Crop, fans: usize) -> Result<Map, String> {
    let fan = "\"demo-centrifugal-10hp\"";
    let text = format!(
        "binwright = 1\nname = \"validation\"\n[place]\nelevation = \"213 m\"\nutc_offset = \"-06:00\"\nweather = \"champaign\"\n[goal]\n\
         mean_moisture = \"{} %\"\nwettest_excess = \"1.5 %\"\nby = \"{}\"\nchance = \"90 %\"\nhold_until = \"12-31\"\n[bins.a]\n\
         diameter = \"36 ft\"\neave = \"24 ft\"\nuniform = true\n[[bins.a.lots]]\ncrop = \"{}\"\ndepth = \"14 ft\"\nmoisture = \"{} %\"\nfrom = \"{}\"\n\
         days = 4\n[bins.a.outfit]\nfans = [{}]\narrangement = \"parallel\"\ncontrol = {{ kind = \"continuous\" }}\n",
        crop.goal,
        crop.days.1,
        crop.id,
        crop.goal + 4.0,
        crop.days.0,
        vec![fan; fans].join(", ")
    );
    let base = Base::open(&Records::default(), &text, "site", &BuiltIn::new())
        .map_err(|d| d.0.iter().map(|d| d.render().replace('\n', " ")).collect::<Vec<_>>().join("; "))?;
    let observer: Arc<dyn Observer> = Arc::new(Silent);
    Ok(map(&Engine::on_all_processors(), &base, 0, &BuiltIn::new(), (Asked::Depth, false), &observer))
}

/// Airflow and chance of the cells of a map at a moisture: between rows linear, each depth by itself.
fn cells_at(map: &Map, moisture: f64) -> Vec<(f64, f64)> {
    let above = map.rows.iter().position(|row| row.moisture >= moisture - 1e-9);
    let Some(above) = above else { return Vec::new() };
    let below = above.saturating_sub(1);
    let (a, b) = (map.rows[below].moisture, map.rows[above].moisture);
    let share = if b > a { ((moisture - a) / (b - a)).clamp(0.0, 1.0) } else { 1.0 };
    let between = |d: usize| {
        let (low, high) = (map.cells[below][d]?, map.cells[above][d]?);
        Some((high.specific_airflow / CFM_BU, (1.0 - share) * low.chance() + share * high.chance()))
    };
    (0..map.depths.len()).filter_map(between).collect()
}

/// The least airflow that reaches the wanted chance, from cells of all maps in order of airflow: the first from which on none falls
/// below; between cells linear. Says also the highest airflow looked at.
fn least(mut cells: Vec<(f64, f64)>, wanted: f64) -> (Option<f64>, f64, f64) {
    cells.sort_by(|a, b| a.0.total_cmp(&b.0));
    let ends = (cells.first().map_or(f64::NAN, |c| c.0), cells.last().map_or(f64::NAN, |c| c.0));
    let last_bad = cells.iter().rposition(|cell| cell.1 < wanted - 1e-12);
    let found = match last_bad {
        None => cells.first().map(|cell| cell.0),
        Some(bad) => cells.get(bad + 1).map(|good| {
            let bad = cells[bad];
            bad.0 + (good.0 - bad.0) * (wanted - bad.1) / (good.1 - bad.1)
        }),
    };
    (found, ends.0, ends.1)
}

fn of(crop: &Crop, lines: &mut Vec<Line>) {
    let mut maps = Vec::new();
    for fans in [1, 2] {
        match drawn(crop, fans) {
            Ok(map) => maps.push(map),
            Err(why) => return lines.push(not_run(crop.name, "", why)),
        }
    }
    let mut needs = Vec::new();
    for &(moisture, asks) in crop.asks {
        let cells: Vec<(f64, f64)> = maps.iter().flat_map(|map| cells_at(map, moisture)).collect();
        let (found, low, high) = least(cells.clone(), 0.9);
        needs.push(found.unwrap_or(f64::INFINITY));
        // What the recommended airflow itself brings: the cell nearest to it.
        let nearest = cells.iter().min_by(|a, b| (a.0 / asks).ln().abs().total_cmp(&(b.0 / asks).ln().abs()));
        let there = nearest
            .map_or(String::new(), |(q, chance)| format!("; at {q:.2} cfm/bu {:.0} % of the years", 100.0 * chance));
        let says = format!("at least {asks:.2} cfm/bu");
        let line = match found {
            Some(q) if q <= low * (1.0 + 1e-9) => row(
                format!("{} at {:.0} %", crop.name, 100.0 * moisture),
                says,
                format!("less than {low:.2} cfm/bu for 90 % of the years{there}"),
            ),
            Some(q) => row(
                format!("{} at {:.0} %", crop.name, 100.0 * moisture),
                says,
                format!("{q:.2} cfm/bu for 90 % of the years{there}"),
            )
            .off(format!("{:+.0} %", 100.0 * (q / asks - 1.0))),
            None => row(
                format!("{} at {:.0} %", crop.name, 100.0 * moisture),
                says,
                format!("more than {high:.2} cfm/bu for 90 % of the years{there}"),
            ),
        };
        lines.push(line.is(Verdict::Band).because(format!(
            "{}; own run: Champaign, Illinois, filled from {}, to {} % by {}, one or two invented fans at depths from 7 to 24 ft, cells of `limit`",
            crop.source, crop.days.0, crop.goal, crop.days.1
        )));
    }
    let rises = needs.windows(2).all(|pair| pair[0] <= pair[1]);
    lines.push(
        row(
            format!("{}: wetter grain asks more air", crop.name),
            "the table rises with moisture",
            if rises { "rises" } else { "does not rise" },
        )
        .is(if rises { Verdict::Agrees } else { Verdict::Differs })
        .because("direction alone"),
    );
}

/// The section.
pub fn section() -> Section {
    let mut section = Section::new(
        "Recommended airflow",
        Against::Published,
        "Tables of airflow name a moisture and no chance, and were made for other places; `limit` names the airflow for nine years in ten in \
         the autumns of Champaign, Illinois. Each is shown beside the other, the size is never judged: who plans for the tables' places \
         brings their weather. More is asked here throughout. Likely reasons, not told apart: autumn in Illinois is warmer than where \
         the tables come from, so that grain keeps for less time (wheat binned in August most of all); a year counts only when the \
         wettest tenth is within 1.5 points of the goal by the day and the strict reading of storage life holds in the wettest of \
         loads that differ by a tenth, where tables speak of a mean.",
    );
    for crop in &CROPS {
        of(crop, &mut section.rows);
    }
    section.sources([
        "Bertomeu 2020, table of airflows by moisture",
        "Hellevang, North Dakota State University Extension, 2010 and 2020",
        "Top Crop Manager, farm press on natural-air drying of cereals",
    ]);
    section
}

#[cfg(test)]
mod tests {
    use super::least;

    #[test]
    fn the_least_airflow_is_that_above_which_nothing_fails() {
        let cells = vec![(1.0, 1.0), (0.5, 0.2), (0.8, 0.8)];
        let (found, low, high) = least(cells, 0.9);
        assert!((found.unwrap() - 0.9).abs() < 1e-12);
        assert_eq!((low, high), (0.5, 1.0));
        assert_eq!(least(vec![(1.0, 0.5)], 0.9).0, None);
        assert_eq!(least(vec![(1.0, 0.95)], 0.9).0, Some(1.0));
    }
}
