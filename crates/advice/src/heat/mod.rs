//! The heat of a bin: what the burner is asked in the site's own weather, how ways of firing meet it, and what stands behind.
//!
//! Everything holds for all lots in and all fans running, in the hours between the first load and the day by which the grain is
//! to be dry. What a season then makes of it (fans resting, grain dry early) is the business of the season.

mod control;
pub mod duty;
pub mod firing;
pub mod place;
pub mod power;
pub mod sound;
pub mod train;

use equipment::{BurnerRule, Heat, HeatAmount, MapPoint, MapQuery};
use job::{BinJob, Job};
use notice::{Phrase, Remark, Remarks};
use season::CaseSpec;

/// The heat of one bin.
#[derive(Debug, Clone)]
pub struct BinHeat {
    /// Mean barometric pressure of the place, Pa.
    pub barometric: f64,
    /// Duty of the burner; none without a burner that is asked, or without weather.
    pub duty: Option<duty::Duty>,
    /// The burner on either side of the fan in the design hour; none where there is no duty, or with suction.
    pub place: Option<[place::Placed; 3]>,
    /// Ways of firing compared; none where there is no duty.
    pub firing: Option<firing::Compared>,
    /// Motors over the hours of all seasons; none without weather.
    pub power: Option<power::BinPower>,
    /// What was assumed, and what does not suit.
    pub remarks: Remarks,
}

/// The heat of a site: its bins in the order of the file, and what they share.
#[derive(Debug, Clone)]
pub struct SiteHeat {
    /// Bins.
    pub bins: Vec<BinHeat>,
    /// Supply and line of the fuel; none where the site says nothing of it.
    pub train: Option<train::Train>,
    /// What is to be said of the train.
    pub remarks: Remarks,
    /// Electricity and sound of all bins together.
    pub common: Common,
}

/// Electricity and sound of all bins together.
#[derive(Debug, Clone)]
pub struct Common {
    /// Electricity with everything on; none where nothing is said of the supply.
    pub power: Option<power::SitePower>,
    /// Largest power by month.
    pub demand: power::Demand,
    /// Sound in the yard; none where nothing is said of it.
    pub sound: Option<sound::SiteSound>,
    /// What was assumed, and what does not suit.
    pub remarks: Remarks,
}

/// Works out the heat of a site.
pub fn of_site(job: &Job) -> SiteHeat {
    let bins: Vec<BinHeat> = job.bins.iter().map(|bin| of(job, bin)).collect();
    let every: Vec<(&BinJob, &BinHeat)> = job.bins.iter().zip(&bins).collect();
    let mut remarks = Remarks::default();
    let train = train::of(job, &every, &mut remarks);
    let common = common(job, &bins);
    SiteHeat { bins, train, remarks, common }
}

fn common(job: &Job, bins: &[BinHeat]) -> Common {
    let mut remarks = Remarks::default();
    let powers: Vec<&power::BinPower> = bins.iter().filter_map(|bin| bin.power.as_ref()).collect();
    let demand = power::demand(job, &powers);
    let power = power::site(job, &powers, &mut remarks);
    let sound = sound::of(job, &mut remarks);
    Common { power, demand, sound, remarks }
}

/// Works out the heat of a bin.
pub fn of(job: &Job, bin: &BinJob) -> BinHeat {
    let mut remarks = Remarks::default();
    let barometric = barometric(job);
    let duty = duty::of(bin, job.design_hour);
    if duty.is_none() {
        remarks.add(Remark::new("no-duty", why_none(bin)));
    }
    let firing = duty.as_ref().and_then(|duty| firing::compare(bin, duty, &mut remarks));
    if let (Some(duty), Some(burner)) = (&duty, &bin.template.burner) {
        duty::remark(duty, burner, &mut remarks);
        control::remark(bin, duty, burner, &mut remarks);
    }
    let place = duty.as_ref().and_then(|duty| place::compare(bin, &duty.design.hour));
    let power = power::of(job, bin, &mut remarks);
    BinHeat { barometric, duty, place, firing, power, remarks }
}

/// Mean barometric pressure of the place, Pa.
pub(crate) fn barometric(job: &Job) -> f64 {
    job.place.pressure.unwrap_or_else(|| physics::air::standard_pressure(job.place.elevation))
}

/// Why nothing can be said of a burner.
fn why_none(bin: &BinJob) -> Phrase {
    Phrase::new(match (&bin.template.burner, bin.template.control.burner) {
        (None, _) => "the outfit has no burner",
        (Some(_), BurnerRule::Off) => "the control never asks the burner",
        _ if bin.years.is_empty() => "no season has complete weather, so there is no hour to judge the burner by",
        _ => "the control never needs heat in this weather, or no air moves that it could warm",
    })
}

/// The working point of a bin with all lots in and all fans running, for outside air (°C, kg/kg, Pa) and a rise of the burner (K).
pub(crate) fn point(bin: &BinJob, (t, w, p): (f64, f64, f64), rise: f64) -> MapPoint {
    let case: &CaseSpec = &bin.template;
    let depth = bin.survey.depth();
    let fans = case.control.fans;
    let query = match case.system.direction {
        // The state of the leaving air hangs on the grain; outside air stands in.
        equipment::Direction::Suction => MapQuery::suction(t, w, p, (t, w), depth, fans),
        equipment::Direction::Pressure => MapQuery::new(t, w, p, rise, &heat(case), depth, fans),
    };
    case.air.at(&query)
}

/// Side and water of the burner of a case.
pub(crate) fn heat(case: &CaseSpec) -> Heat {
    case.burner.as_ref().map_or(Heat::NONE, |b| Heat {
        amount: HeatAmount::None,
        side: b.side,
        water_per_joule: b.water_per_joule(),
    })
}
