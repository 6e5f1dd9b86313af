//! One supply of propane for all burners: its level from day to day, orders and deliveries.

use job::facts::TankFacts;
use physics::propane_tank::EMPTY;

/// A delivery.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Delivery {
    /// Hour of the order.
    pub ordered: i64,
    /// Hour at which it came.
    pub came: i64,
    /// Liquid, m³.
    pub volume: f64,
}

/// Level at the end of a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    /// Hour at which the day ends.
    pub hour: i64,
    /// Liquid over the water capacity of all tanks.
    pub fill: f64,
}

/// The tanks through a year.
#[derive(Debug, Clone, PartialEq)]
pub struct TankYear {
    /// Water capacity of all tanks, m³.
    pub capacity: f64,
    /// Share at which they are reordered.
    pub reserve: f64,
    /// Level day by day.
    pub levels: Vec<Level>,
    /// Lowest share.
    pub lowest: f64,
    /// Days on which it was below the reserve.
    pub days_below: usize,
    /// Deliveries.
    pub deliveries: Vec<Delivery>,
    /// Liquid burnt, m³.
    pub burnt: f64,
    /// Hours in which burners were shut off because the tanks could not carry a further hour of full fire.
    pub hours_empty: usize,
}

/// The tanks while the farm runs.
pub(super) struct Tanks {
    facts: TankFacts,
    density: f64,
    /// Most liquid that all burners take in an hour, m³.
    hour_at_full: f64,
    level: f64,
    ordered: Option<i64>,
    below_today: bool,
    year: TankYear,
}

impl Tanks {
    /// Full tanks; `full` is the fuel of all burners at full fire, kg/s.
    pub fn new(facts: TankFacts, density: f64, full: f64) -> Self {
        let capacity = facts.count as f64 * facts.capacity;
        let year = TankYear {
            capacity,
            reserve: facts.lowest_fill,
            levels: Vec::new(),
            lowest: facts.filled_to,
            days_below: 0,
            deliveries: Vec::new(),
            burnt: 0.0,
            hours_empty: 0,
        };
        let hour_at_full = 3600.0 * full / density;
        Self {
            facts,
            density,
            hour_at_full,
            level: facts.filled_to * capacity,
            ordered: None,
            below_today: false,
            year,
        }
    }

    /// At the begin of an hour: takes a delivery that is due. True where the burners must be shut off.
    pub fn begin(&mut self, hour: i64) -> bool {
        let due = |ordered: i64| ordered + (self.facts.delivery / 3600.0).ceil() as i64;
        if let Some(ordered) = self.ordered.filter(|ordered| due(*ordered) <= hour) {
            let volume = self.facts.filled_to * self.year.capacity - self.level;
            self.level += volume;
            self.year.deliveries.push(Delivery { ordered, came: hour, volume });
            self.ordered = None;
        }
        self.level - EMPTY * self.year.capacity < self.hour_at_full
    }

    /// At the end of an hour: what it burnt, kg; whether the burners were shut off; whether a day ends.
    pub fn end(&mut self, hour: i64, burnt: f64, (cut, day_ends): (bool, bool)) {
        let volume = burnt / self.density;
        self.level -= volume;
        self.year.burnt += volume;
        self.year.hours_empty += usize::from(cut);
        let fill = self.level / self.year.capacity;
        self.year.lowest = self.year.lowest.min(fill);
        self.below_today |= fill < self.facts.lowest_fill;
        if fill <= self.facts.lowest_fill && self.ordered.is_none() {
            self.ordered = Some(hour + 1);
        }
        if day_ends {
            self.year.days_below += usize::from(std::mem::take(&mut self.below_today));
            self.year.levels.push(Level { hour: hour + 1, fill });
        }
    }

    pub fn finish(self) -> TankYear {
        self.year
    }
}
