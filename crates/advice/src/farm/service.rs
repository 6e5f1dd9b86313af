//! What all bins draw from one service, hour by hour.

use job::facts::PowerFacts;
use physics::electric::{self, Phases};
use season::Draw;

const HOUR: f64 = 3600.0;

/// Hours of a farm and what each bin drew in them.
pub(super) struct Meter {
    start: i64,
    /// Highest power of each bin in each hour, W.
    highest: Vec<Vec<f64>>,
    /// Energy of all bins in each hour, J.
    energy: Vec<f64>,
    /// Fuel in each hour, kg.
    fuel: Vec<f64>,
}

impl Meter {
    pub fn new(start: i64, hours: usize, bins: usize) -> Self {
        Self { start, highest: vec![vec![0.0; hours]; bins], energy: vec![0.0; hours], fuel: vec![0.0; hours] }
    }

    /// Counts a tick of a bin in the hours it lies in.
    pub fn count(&mut self, bin: usize, draw: &Draw) {
        let from = draw.second as f64 / HOUR - self.start as f64;
        let to = from + draw.seconds / HOUR;
        let last = self.energy.len();
        for hour in (from.floor().max(0.0) as usize)..(to.ceil().max(0.0) as usize).min(last) {
            let within = (to.min(hour as f64 + 1.0) - from.max(hour as f64)).max(0.0) * HOUR;
            self.highest[bin][hour] = self.highest[bin][hour].max(draw.electric);
            self.energy[hour] += draw.electric * within;
            self.fuel[hour] += draw.fuel * within;
        }
    }

    /// Fuel of an hour so far, kg.
    pub fn fuel(&self, hour: i64) -> f64 {
        usize::try_from(hour - self.start).ok().and_then(|i| self.fuel.get(i)).copied().unwrap_or(0.0)
    }

    /// What the service saw. `month` gives the month (1 to 12) of an hour of the axis.
    pub fn service(&self, supply: Option<&PowerFacts>, month: impl Fn(usize) -> usize) -> Service {
        let other = supply.map_or(0.0, |supply| supply.other);
        let mut monthly_peak = [0.0f64; 12];
        let (mut peak, mut at, mut over, mut apart) = (0.0f64, self.start, 0, 0.0);
        let service = supply.and_then(|supply| supply.service);
        let mut hours = Vec::with_capacity(self.energy.len());
        for i in 0..self.energy.len() {
            let highest: f64 = self.highest.iter().map(|bin| bin[i]).sum();
            let of_month = &mut monthly_peak[month(i).clamp(1, 12) - 1];
            *of_month = of_month.max(highest);
            if highest > peak {
                (peak, at) = (highest, self.start + i as i64);
            }
            let amps = supply.map(|supply| current(highest + other, supply));
            if amps.zip(service).is_some_and(|(amps, service)| amps > service) {
                over += 1;
            }
            hours.push(ServiceHour { hour: self.start + i as i64, mean: self.energy[i] / HOUR, highest });
        }
        for bin in &self.highest {
            apart += bin.iter().copied().fold(0.0, f64::max);
        }
        Service {
            peak,
            peak_at: at,
            peak_current: supply.map(|supply| current(peak + other, supply)),
            service,
            other,
            hours_over: over,
            apart,
            monthly_peak,
            hours,
        }
    }
}

/// Current of a power at the usual power factor of fan motors near full load, A.
fn current(power: f64, supply: &PowerFacts) -> f64 {
    let factor = match supply.phases {
        Phases::Three => equipment::motor_load::THREE_PHASE_POWER_FACTOR,
        Phases::Single => equipment::motor_load::SINGLE_PHASE_POWER_FACTOR,
    };
    electric::current(power, supply.volts, factor, supply.phases)
}

/// One hour of the service.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ServiceHour {
    /// Hours since 1970-01-01T00:00Z.
    pub hour: i64,
    /// Mean power of all bins, W.
    pub mean: f64,
    /// Sum of the highest power of each bin in the hour, W.
    pub highest: f64,
}

/// All bins at one service.
#[derive(Debug, Clone, PartialEq)]
pub struct Service {
    /// Highest power of all bins together, W.
    pub peak: f64,
    /// Its hour.
    pub peak_at: i64,
    /// Current then with the other load, at the usual power factor of motors, A; `None` where nothing is said of the supply.
    pub peak_current: Option<f64>,
    /// Rated current of the service, A.
    pub service: Option<f64>,
    /// Other load that runs at the same time, W.
    pub other: f64,
    /// Hours in which the current would pass the rating.
    pub hours_over: usize,
    /// Sum of the highest power of each bin on its own, W.
    pub apart: f64,
    /// Highest power by month, the other load left out, W.
    pub monthly_peak: [f64; 12],
    /// Hour by hour.
    pub hours: Vec<ServiceHour>,
}
