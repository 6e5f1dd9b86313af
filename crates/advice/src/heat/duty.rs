//! Duty of the burner: the design hour, the hours of all seasons, and what the customary factor would have said.

use super::point;
use equipment::{Burner, BurnerSide, Firing, FiringResult};
use job::BinJob;
use notice::{Kind, Phrase, Quantity, Remark, Remarks};
use numerics::quantile::{mean, quantile};
use physics::burner_duty::{CUSTOMARY_FACTOR, FactorParts, factor_parts};
use physics::combustion::heat_to_air;
use season::{CarryOver, CaseSpec};

/// Shares at which the duration of the heat wanted is shown.
pub const SHARES: [f64; 8] = [0.0, 0.10, 0.25, 0.50, 0.75, 0.90, 0.99, 1.0];
/// Hours of a week.
const WEEK: usize = 168;

/// What one hour of weather asks of the burner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hour {
    /// Hour since 1970-01-01T00:00Z.
    pub hour: i64,
    /// Outside air, °C.
    pub temperature: f64,
    /// Its humidity ratio, kg/kg.
    pub humidity_ratio: f64,
    /// Barometric pressure, Pa.
    pub pressure: f64,
    /// Airflow at the fan inlets, m³/s.
    pub airflow: f64,
    /// Dry air past the burner, kg/s.
    pub dry_air: f64,
    /// Rise by the fans, K.
    pub fan_heat: f64,
    /// Rise wanted of the burner, K.
    pub rise: f64,
    /// Heat wanted of it, W to the air.
    pub heat: f64,
}

impl Hour {
    /// Temperature of the air to the grain when the rise is met, °C.
    pub fn plenum(&self) -> f64 {
        self.temperature + self.fan_heat + self.rise
    }

    /// Heat for a rise of one K, W/K.
    pub fn per_kelvin(&self) -> f64 {
        heat_to_air(self.dry_air, self.humidity_ratio, 1.0)
    }

    /// What stands before the burner: outside air, warmed by the fans where it stands behind them, °C.
    pub fn before(&self, side: BurnerSide) -> f64 {
        match side {
            BurnerSide::Discharge => self.temperature + self.fan_heat,
            BurnerSide::Inlet => self.temperature,
        }
    }
}

/// What an hour of weather asks of a bin's burner, whatever it can give.
pub fn hour(bin: &BinJob, burner: &Burner, hour: i64, (t, w, p): (f64, f64, f64)) -> Hour {
    let command = bin.template.control.burner.command();
    let mut point_now = point(bin, (t, w, p), 0.0);
    let mut rise = 0.0;
    // The rise changes the airflow a little and the airflow the rise of the fans: twice round is well below a per mille.
    for _ in 0..2 {
        let before = if burner.side == BurnerSide::Inlet { t } else { t + point_now.fan_heat };
        rise = burner.needed_rise(command, before, w, p);
        if rise <= 0.0 {
            break;
        }
        point_now = point(bin, (t, w, p), rise);
    }
    let dry_air = point_now.fan_dry_air_flow;
    Hour {
        hour,
        temperature: t,
        humidity_ratio: w,
        pressure: p,
        airflow: point_now.fan_airflow,
        dry_air,
        fan_heat: point_now.fan_heat,
        rise,
        heat: heat_to_air(dry_air, w, rise),
    }
}

/// The design hour in full.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Design {
    /// Share of the hours that ask for no more.
    pub share: f64,
    /// The hour.
    pub hour: Hour,
    /// What the customary factor makes of the same airflow at the fan inlets and the same rise, W.
    pub customary: f64,
    /// Why it differs: the four parts of exact over customary.
    pub parts: FactorParts,
    /// The same factor on the airflow in the hot plenum, W: a frequent slip.
    pub customary_on_plenum: f64,
    /// Heat on the invoice, W; electricity where it is electric.
    pub invoiced: f64,
    /// Fuel, kg/s.
    pub fuel: Option<f64>,
    /// Fuel that the higher heating value would have said, kg/s.
    pub fuel_by_higher: Option<f64>,
    /// Fuel as a liquid, m³/s, where it is sold as one.
    pub liquid: Option<f64>,
    /// Fuel as a gas, m³/s at 60 °F and 30 in. of mercury.
    pub gas: Option<f64>,
    /// Water put into the air, kg/kg; zero for indirect and electric heat.
    pub water_added: f64,
    /// Carbon dioxide put into the air, volume fraction.
    pub carbon_dioxide_added: f64,
    /// Relative humidity outside.
    pub humidity_outside: f64,
    /// Relative humidity to the grain.
    pub humidity_plenum: f64,
    /// The same with as much dry heat.
    pub humidity_dry_heat: f64,
}

/// One year's hours between the first load and the day by which it is to be dry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct YearHeat {
    /// Calendar year of the first load.
    pub year: i32,
    /// Hours between the two days.
    pub hours: usize,
    /// Hours in which heat is wanted.
    pub lit: usize,
    /// Hours in which the burner cannot give what is wanted.
    pub short: usize,
    /// Hours in which the limit of the plenum holds the fire down or off.
    pub limited: usize,
    /// Mean heat given while it is wanted, W.
    pub mean: f64,
    /// Largest heat wanted in an hour, W.
    pub peak: f64,
    /// Heat given, J.
    pub heat: f64,
    /// Fuel for it, kg.
    pub fuel: f64,
    /// Electricity for it, J.
    pub electricity: f64,
}

/// One week since the first load, over all years.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeekHeat {
    /// Days from the first load to its beginning.
    pub day: f64,
    /// Mean outside temperature, °C.
    pub outside: f64,
    /// Mean heat wanted, hours without any counted, W.
    pub mean: f64,
    /// Nine hours in ten want no more, W.
    pub ninetieth: f64,
    /// Largest, W.
    pub largest: f64,
}

/// The duty of a burner.
#[derive(Debug, Clone, PartialEq)]
pub struct Duty {
    /// The design hour.
    pub design: Design,
    /// The hour whose heat is the mean of those in which heat is wanted: the usual one.
    pub usual: Hour,
    /// Most heat the burner gives, W to the air.
    pub installed: f64,
    /// Heat wanted at [`SHARES`] of all hours, W.
    pub duration: [f64; 8],
    /// Years.
    pub years: Vec<YearHeat>,
    /// Weeks since the first load.
    pub weeks: Vec<WeekHeat>,
    /// All hours between first load and goal or winter, year by year.
    pub hours: Vec<Hour>,
}

/// Works out the duty of a bin's burner, its design hour at a share of the hours; nothing when it is never asked for heat.
pub fn of(bin: &BinJob, share: f64) -> Option<Duty> {
    let burner = bin.template.burner.as_ref()?;
    let mut all: Vec<Hour> = Vec::new();
    let mut years = Vec::new();
    let mut weeks: Vec<Vec<Hour>> = Vec::new();
    for (year, case) in &bin.years {
        let hours = window(bin, burner, case);
        for (i, hour) in hours.iter().enumerate() {
            if weeks.len() <= i / WEEK {
                weeks.push(Vec::new());
            }
            weeks[i / WEEK].push(*hour);
        }
        years.push(of_year(bin, burner, *year, &hours));
        all.extend(hours);
    }
    let hours = all.clone();
    all.sort_by(|a, b| a.heat.total_cmp(&b.heat).then(a.hour.cmp(&b.hour)));
    all.last().filter(|h| h.heat > 0.0)?;
    let rank = ((share * all.len() as f64).ceil() as usize).clamp(1, all.len()) - 1;
    let heats: Vec<f64> = all.iter().map(|h| h.heat).collect();
    let lit: Vec<f64> = heats.iter().copied().filter(|h| *h > 0.0).collect();
    let middle = mean(&lit)?;
    let usual = *all.iter().find(|h| h.heat >= middle)?;
    Some(Duty {
        design: design(burner, all[rank], share),
        usual,
        installed: burner.capacity,
        duration: SHARES.map(|share| quantile(&heats, share).unwrap_or(0.0)),
        years,
        hours,
        weeks: weeks.iter().enumerate().filter_map(|(k, hours)| of_week(k, hours)).collect(),
    })
}

/// All hours of a year's case from the first load to the day by which it is to be dry, or to the end of the week that
/// suspends drying for winter.
fn window(bin: &BinJob, burner: &Burner, case: &CaseSpec) -> Vec<Hour> {
    let weather = &case.weather;
    let by = (case.programme.by - weather.start).max(0) as usize;
    let winter = match case.programme.carry_over {
        CarryOver::CoolAndHold { stop_below, .. } => {
            weather.temperature.windows(WEEK).position(|week| mean(week).is_some_and(|t| t < stop_below))
        }
        CarryOver::Never => None,
    };
    let until = winter.map_or(by, |week| by.min(week + WEEK));
    let of = |i: usize| {
        let air = (weather.temperature[i], weather.humidity_ratio[i], weather.pressure[i]);
        hour(bin, burner, weather.start + i as i64, air)
    };
    (0..until.min(weather.temperature.len())).map(of).collect()
}

/// What the burner gives in an hour.
pub(super) fn given(bin: &BinJob, burner: &Burner, h: &Hour) -> FiringResult {
    let command = bin.template.control.burner.command();
    burner.fire(command, h.before(burner.side), h.humidity_ratio, h.pressure, h.dry_air)
}

fn of_year(bin: &BinJob, burner: &Burner, year: i32, hours: &[Hour]) -> YearHeat {
    const SECONDS: f64 = 3600.0;
    let (mut heat, mut fuel, mut electricity, mut short, mut limited) = (0.0, 0.0, 0.0, 0, 0);
    for h in hours {
        let fired = given(bin, burner, h);
        heat += fired.heat * SECONDS;
        fuel += fired.fuel * SECONDS;
        electricity += fired.electric_power * SECONDS;
        short += usize::from(fired.short);
        limited += usize::from(fired.limited);
    }
    let lit = hours.iter().filter(|h| h.heat > 0.0).count();
    YearHeat {
        year,
        hours: hours.len(),
        lit,
        short,
        limited,
        mean: if lit > 0 { heat / (lit as f64 * SECONDS) } else { 0.0 },
        peak: hours.iter().map(|h| h.heat).fold(0.0, f64::max),
        heat,
        fuel,
        electricity,
    }
}

fn of_week(index: usize, hours: &[Hour]) -> Option<WeekHeat> {
    let heats: Vec<f64> = hours.iter().map(|h| h.heat).collect();
    let outside: Vec<f64> = hours.iter().map(|h| h.temperature).collect();
    Some(WeekHeat {
        day: 7.0 * index as f64,
        outside: mean(&outside)?,
        mean: mean(&heats)?,
        ninetieth: quantile(&heats, 0.9)?,
        largest: quantile(&heats, 1.0)?,
    })
}

fn design(burner: &Burner, hour: Hour, share: f64) -> Design {
    let Hour { temperature: t, humidity_ratio: w, pressure, rise, heat, .. } = hour;
    // The factor goes with the air where the airflow is counted: at the fan inlets, behind a burner that stands before them.
    let at_inlet = |water: f64| match burner.side {
        BurnerSide::Discharge => (t, w),
        BurnerSide::Inlet => (t + rise, w + water),
    };
    let direct = burner.indirect_efficiency.is_none();
    let efficiency = burner.indirect_efficiency.unwrap_or(1.0);
    let fuel = burner.fuel.combustion();
    let invoiced = fuel.map_or(heat / efficiency, |f| f.invoiced_heat(heat, efficiency));
    let flow = fuel.map(|f| f.direct_use(heat / efficiency));
    let water_added = burner.water_per_joule() * heat / hour.dry_air.max(f64::MIN_POSITIVE);
    let plenum = hour.plenum();
    let humidity = |w: f64, t: f64| physics::air::vapour_pressure(pressure, w) / physics::air::saturation_pressure(t);
    let hot = physics::air::specific_volume(plenum, w + water_added, pressure);
    Design {
        share,
        hour,
        customary: CUSTOMARY_FACTOR * hour.airflow * rise,
        parts: {
            let (t, w) = at_inlet(water_added);
            factor_parts(t, w, pressure)
        },
        customary_on_plenum: CUSTOMARY_FACTOR * hour.dry_air * hot * rise,
        invoiced,
        fuel: flow,
        fuel_by_higher: fuel.map(|f| heat / efficiency / f.higher_heating_value),
        liquid: fuel.and_then(|f| Some(flow? / f.liquid_density?)),
        gas: fuel.map(|f| f.gas_volume(invoiced)),
        water_added,
        carbon_dioxide_added: fuel.filter(|_| direct).map_or(0.0, |f| f.carbon_dioxide_added(w, rise)),
        humidity_outside: humidity(w, t),
        humidity_plenum: humidity(w + water_added, plenum),
        humidity_dry_heat: humidity(w, plenum),
    }
}

/// What the duty gives cause to say.
pub(super) fn remark(duty: &Duty, burner: &Burner, remarks: &mut Remarks) {
    let heat = |v: f64| Quantity::new(v, Kind::HeatRate);
    let short: usize = duty.years.iter().map(|y| y.short).sum();
    if duty.design.hour.heat > burner.capacity * (1.0 + 1e-9) {
        remarks.add(Remark::new(
            "burner-short",
            Phrase::new(
                "the burner gives {have} of the {need} that the design hour asks: the plenum stays colder then, and in {hours} h of \
                 {of} h",
            )
            .with("have", heat(burner.capacity))
            .with("need", heat(duty.design.hour.heat))
            .count("hours", short)
            .count("of", duty.hours.len()),
        ));
    }
    let limited: usize = duty.years.iter().map(|y| y.limited).sum();
    if let Some(limit) = burner.temperature_limit.filter(|_| limited > 0) {
        let least =
            if burner.firing == Firing::OnOff { burner.capacity } else { burner.minimum_fire * burner.capacity };
        let usual = duty.usual;
        let rise = least / usual.per_kelvin();
        let hours = |says: Phrase| says.count("hours", limited).count("of", duty.hours.len());
        let temperature = |v: f64| Quantity::new(v, Kind::Temperature);
        let says = if usual.before(burner.side) + rise > limit {
            Phrase::new(
                "the least fire of {least} would warm the air of the usual hour by {rise}, past the limit of the plenum of {limit}: counted as never lit in \
                 {hours} h of {of} h. In the field the limit trips and somebody resets it by hand, again and again: a smaller burner, or one \
                 that turns down further",
            )
            .with("least", heat(least))
            .with("rise", Quantity::new(rise, Kind::TemperatureDifference))
        } else {
            Phrase::new("the limit of the plenum of {limit} holds the fire down or off in {hours} h of {of} h")
        };
        remarks.add(Remark::new("burner-limited", hours(says).with("limit", temperature(limit))));
    }
    if burner.water_per_joule() > 0.0 {
        let says =
            Phrase::new("a direct flame raises carbon dioxide in the bin: no reading for spoilage while it burns");
        remarks.add(Remark::new("carbon-dioxide-readings", says));
    }
}
