//! A job: a site resolved to cases, with all that is said about it.

use crate::choose::ChooseFacts;
use crate::costs::Remedy;
use crate::evidence::UsedRelation;
use crate::facts::{Filling, FiringFacts, FuelFacts, MonthDay, Place, PowerFacts, Prices, QuoteFacts, YardFacts};
use crate::farm::FarmJob;
use crate::survey::Survey;
use crate::way::Way;
use equipment::DataDate;
use notice::{Diagnostics, Remarks};
use physics::isotherm::IsothermForm;
use physics::kinetics::TwoCompartment;
use physics::sorption::SorptionHeat;
use season::CaseSpec;
use sha2::{Digest, Sha256};
use std::fmt::Write as _;
use std::sync::Arc;

/// Number of the model: raised whenever a golden result moves. Part of a run's identity.
pub const MODEL: u32 = 3;

/// A name and a kernel; `None` for equilibrium.
pub type Kernel = (String, Option<TwoCompartment>);

/// Another published moisture set of the crop.
#[derive(Debug, Clone)]
pub struct OtherSet {
    /// Name of the set.
    pub id: String,
    /// What it is, for readers.
    pub words: String,
    /// Form and constants.
    pub form: IsothermForm,
    /// Heat of sorption by that form.
    pub sorption: SorptionHeat,
}

/// What is uncertain about a bin.
#[derive(Debug, Clone, Default)]
pub struct JobUncertainty {
    /// Other published moisture sets.
    pub isotherms: Vec<OtherSet>,
    /// Other drying rates.
    pub kinetics: Vec<Kernel>,
    /// Factors on the resistance of the bed.
    pub packing: Vec<f64>,
    /// Factors on the unevenness of the air.
    pub air_spread: Vec<f64>,
    /// Gaps between drying and wetting branch, d.b.
    pub gaps: Vec<f64>,
}

/// A lot as it was in one year.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LotOfYear {
    /// First day of filling.
    pub from: MonthDay,
    /// Mean moisture, fraction w.b.
    pub moisture: f64,
    /// Temperature as filled, °C; `None` for the air at harvest and a little more.
    pub temperature: Option<f64>,
}

/// One bin, resolved.
#[derive(Debug, Clone)]
pub struct BinJob {
    /// Key in the site file.
    pub name: String,
    /// Crop id.
    pub crop_id: String,
    /// Crop in words.
    pub crop_name: String,
    /// Equilibrium set used.
    pub relation: String,
    /// Packing factor used.
    pub packing: f64,
    /// Face velocities for which the resistance law has evidence, m/s.
    pub velocity_range: Option<notice::Range>,
    /// Whether any equipment is invented.
    pub invented: bool,
    /// What the strict storage relations judge.
    pub judges: Vec<String>,
    /// Relations with their sources.
    pub sources: Vec<UsedRelation>,
    /// How it was filled.
    pub filling: Filling,
    /// Capacities; where lots differ from year to year, with their mean moisture.
    pub survey: Survey,
    /// The lots of each year, where they differ; empty where they are alike in every year.
    pub lots_of_years: Vec<(i32, Vec<LotOfYear>)>,
    /// How many burners the one of the case is, and how they switch.
    pub firing: FiringFacts,
    /// The case without loads and weather: for the air alone.
    pub template: Arc<CaseSpec>,
    /// Years with complete weather.
    pub years: Vec<(i32, Arc<CaseSpec>)>,
    /// Years left out, with reasons.
    pub left_out: Vec<(i32, String)>,
    /// The way of the air to the grain, item by item.
    pub way: Way,
    /// What is uncertain.
    pub uncertainty: JobUncertainty,
    /// Legal bushel of the crop, where it has one.
    pub bushel: Option<crops::Bushel>,
    /// What may be chosen in place of the outfit; `None` when nobody says.
    pub choose: Option<ChooseFacts>,
    /// What is to be said of the inputs.
    pub remarks: Remarks,
}

/// A site, resolved.
#[derive(Debug, Clone)]
pub struct Job {
    /// Name of the site.
    pub name: String,
    /// Where it is.
    pub place: Place,
    /// Prices.
    pub prices: Option<Prices>,
    /// Supply and line of the gas, where they are described.
    pub fuel: Option<FuelFacts>,
    /// What is done with a year that failed.
    pub remedy: Option<Remedy>,
    /// The electric supply.
    pub power: Option<PowerFacts>,
    /// The yard.
    pub yard: Option<YardFacts>,
    /// The bins as one farm.
    pub farm: FarmJob,
    /// What makes an offer of a proposal.
    pub quote: Option<QuoteFacts>,
    /// Wanted chance.
    pub chance: f64,
    /// Share of the hours between first load and goal whose heat a burner must meet.
    pub design_hour: f64,
    /// Name of the weather record.
    pub weather_name: String,
    /// Where the site file names that record.
    pub weather_place: notice::Place,
    /// Whose work that record is and its terms, where it is built in.
    pub weather_origin: Option<weather::Origin>,
    /// Whether that record is a typical year: then nothing can be proven.
    pub typical: bool,
    /// Bins in the order of the file.
    pub bins: Vec<BinJob>,
    /// The day on which it is seen, where one is known: see [`Job::seen_on`].
    pub seen_on: Option<DataDate>,
    /// Warnings that did not stop anything.
    pub warnings: Diagnostics,
}

/// Identity of a site text: SHA-256 over its bytes, in hexadecimal.
pub fn text_identity(text: &str) -> String {
    hex(Sha256::digest(text.as_bytes()))
}

fn hex(bytes: impl IntoIterator<Item = u8>) -> String {
    bytes.into_iter().fold(String::with_capacity(64), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

impl BinJob {
    /// How many times the surveyed lots go through the bin in a season: the number of its batches, 1 without any.
    pub fn rounds(&self) -> f64 {
        let of = |case: &CaseSpec| {
            let each = case.operations.batches.as_ref().map(|batches| batches.loads_each.max(1));
            each.map(|each| case.loads.len() as f64 / each as f64)
        };
        self.years.first().and_then(|(_, case)| of(case)).unwrap_or(1.0)
    }

    /// Legal bushels at base moisture that go through the bin in a season, where the crop has a base.
    pub fn base_bushels(&self) -> Option<f64> {
        self.survey.base_bushels().map(|bushels| self.rounds() * bushels)
    }

    /// Identity of a run: SHA-256 over the resolved cases (weather included), the model number, accuracy and seed.
    pub fn identity(&self, accuracy: &str) -> String {
        let mut hash = Sha256::new();
        hash.update(format!("model {MODEL} accuracy {accuracy} seed {}\n", crate::loads::SEED));
        let t = &self.template;
        hash.update(format!(
            "{:?}{:?}{:?}{:?}{:?}{:?}{:?}{}",
            t.bin, t.grain, t.system, t.burner, t.control, t.programme, t.operations, t.tick_seconds
        ));
        for (year, case) in &self.years {
            hash.update(year.to_le_bytes());
            hash.update(format!("{:?}{:?}{:?}", case.loads, case.programme, case.operations.sensors));
            // The bed of a year is that of the bin unless its lots are its own.
            if case.grain != t.grain {
                hash.update(format!("{:?}", case.grain));
            }
            let w = &case.weather;
            hash.update(w.start.to_le_bytes());
            for column in [&w.temperature, &w.humidity_ratio, &w.relative_humidity, &w.pressure] {
                column.iter().for_each(|v| hash.update(v.to_le_bytes()));
            }
            // Wall clocks rule clock controls, slots and months what is tallied.
            for column in [&w.tariff_slot, &w.wall_hour, &w.month] {
                hash.update(column);
            }
        }
        hex(hash.finalize())
    }

    /// The case of a year.
    pub fn year(&self, year: i32) -> Option<&Arc<CaseSpec>> {
        self.years.iter().find(|(y, _)| *y == year).map(|(_, case)| case)
    }
}

impl Job {
    /// A bin by name, or the only one.
    pub fn bin(&self, name: Option<&str>) -> Option<&BinJob> {
        match name {
            Some(name) => self.bins.iter().find(|b| b.name == name),
            None => self.bins.first(),
        }
    }
}
