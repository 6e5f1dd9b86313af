//! The field: everything that may be chosen for a bin.
//!
//! A setting is what the season must know besides the fans (filling, burner, control, stirring), resolved as a site would be; a
//! candidate is a setting with fans. Fans alone do not change a setting, so that thousands of candidates rest on a few dozen.

use equipment::arrangement::MAX_FANS;
use equipment::{AirMap, AirSystem, Arrangement, Burner, BurnerRule, Control, Fan, Outfit, Rule};
use job::change::Change;
use job::choose::{ChooseFacts, FillChoice, Quiet, Supply};
use job::facts::BinFacts;
use job::outfit_text::{self, Written};
use job::{Base, BinJob, Library};
use notice::Diagnostics;
use season::{CaseSpec, Stirring};
use std::sync::Arc;

/// What the season must know besides the fans.
#[derive(Debug, Clone)]
pub struct Setting {
    /// How the bin is filled.
    pub filling: FillChoice,
    /// Burner.
    pub burner: Option<Burner>,
    /// Control of fans and burner.
    pub control: Control,
    /// Stirring machine.
    pub stirring: Option<Stirring>,
    /// The bin so set, with some fans; or why it cannot be.
    pub bin: Result<Arc<BinJob>, String>,
}

/// One outfit.
#[derive(Debug, Clone)]
pub struct Candidate {
    /// Number of its setting.
    pub setting: usize,
    /// Its fans.
    pub fans: Vec<Fan>,
    /// How they stand.
    pub arrangement: Arrangement,
    /// Whether it is what stands in the site file.
    pub present: bool,
}

/// Everything that may be chosen for one bin.
#[derive(Debug, Clone)]
pub struct Field {
    /// What is allowed; supply and quiet as the site has them, wherever it says so.
    pub allowed: ChooseFacts,
    /// The bin as it stands in the file.
    pub bin: BinFacts,
    /// Settings.
    pub settings: Vec<Setting>,
    /// Outfits, in a fixed order.
    pub candidates: Vec<Candidate>,
}

impl Field {
    /// The field of the bin of a number. Fans of an outfit are alike; the outfit that stands in the file is always among them.
    ///
    /// # Errors
    /// When the site itself does not resolve with its bin as filled.
    pub fn of(base: &Base, bin: usize, library: &dyn Library) -> Result<Self, Diagnostics> {
        let facts = &base.facts().bins[bin];
        let outfit = &facts.outfit;
        let mut allowed = facts.choose.clone().unwrap_or_else(|| default_choice(library));
        allowed.supply = Supply::of_bin(base.facts(), bin);
        allowed.quiet = Quiet::of_bin(base.facts(), bin);
        let mut controls: Vec<Control> = allowed.controls.iter().map(|choice| choice.control).collect();
        if controls.is_empty() {
            controls.push(outfit.control);
        }
        let mut burners: Vec<Option<Burner>> = vec![None];
        burners.extend(allowed.burners.iter().cloned().map(Some));
        let mut fillings = vec![FillChoice::AS_IT_STANDS];
        fillings.extend(allowed.fillings.iter().copied().filter(|f| *f != FillChoice::AS_IT_STANDS));
        let mut stirrings = vec![outfit.stirring];
        if allowed.stirring.is_some() && allowed.stirring != outfit.stirring {
            stirrings.push(allowed.stirring);
        }
        let mut settings = Vec::new();
        let mut add = |filling: FillChoice, burner: &Option<Burner>, control: Control, stirring: Option<Stirring>| {
            let mut site = base.facts().clone();
            let there = &mut site.bins[bin];
            filling.fill(there);
            there.outfit.burner.clone_from(burner);
            there.outfit.control =
                Control { fans: there.outfit.fans.len(), cooling: outfit.control.cooling, ..control };
            there.outfit.stirring = stirring;
            // The bins behind it stay out of it; those before keep the loads of this one what they are.
            site.bins.truncate(bin + 1);
            let resolved = base.resolve_facts(&site, library);
            let bin = match resolved {
                Ok(mut job) => job.bins.pop().map(Arc::new).ok_or_else(String::new),
                Err(wrong) => Err(wrong.0.first().map(|d| d.found.clone()).unwrap_or_default()),
            };
            settings.push(Setting { filling, burner: burner.clone(), control, stirring, bin });
        };
        // The present setting comes first.
        add(FillChoice::AS_IT_STANDS, &outfit.burner, outfit.control, outfit.stirring);
        for filling in &fillings {
            for burner in &burners {
                for control in &controls {
                    if burner.is_some() != (control.burner != BurnerRule::Off) {
                        continue;
                    }
                    for stirring in &stirrings {
                        let same = *filling == FillChoice::AS_IT_STANDS
                            && *burner == outfit.burner
                            && alike(control, &outfit.control)
                            && *stirring == outfit.stirring;
                        if !same {
                            add(*filling, burner, *control, *stirring);
                        }
                    }
                }
            }
        }
        let present =
            Candidate { setting: 0, fans: outfit.fans.clone(), arrangement: outfit.arrangement, present: true };
        let mut candidates = vec![present];
        for setting in 0..settings.len() {
            // The present setting may have a control or burner that nobody allows any more.
            let offered = setting > 0
                || (controls.iter().any(|control| alike(control, &outfit.control)) && burners.contains(&outfit.burner));
            for fan in allowed.fans.iter().filter(|_| offered) {
                for count in 1..=(allowed.most_fans as usize).min(MAX_FANS) {
                    for &arrangement in &allowed.arrangements {
                        let fans = vec![fan.clone(); count];
                        let first = &candidates[0];
                        let is_present = setting == 0 && first.fans == fans && first.arrangement == arrangement;
                        if is_present || (count == 1 && arrangement != allowed.arrangements[0]) {
                            continue;
                        }
                        candidates.push(Candidate { setting, fans, arrangement, present: false });
                    }
                }
            }
        }
        Ok(Self { allowed, bin: facts.clone(), settings, candidates })
    }

    /// The setting of a candidate.
    pub fn setting(&self, candidate: &Candidate) -> &Setting {
        &self.settings[candidate.setting]
    }

    /// First cost of what is not owned; nothing when the price of a piece is not said.
    pub fn first_cost(&self, candidate: &Candidate, costs: &job::costs::Costs) -> Option<f64> {
        let mut owned = self.allowed.owned.clone();
        let mut price = |id: &str| match owned.iter().position(|own| own == id) {
            Some(place) => {
                owned.swap_remove(place);
                Some(0.0)
            }
            None => costs.of(id),
        };
        let setting = self.setting(candidate);
        let mut sum = 0.0;
        for fan in &candidate.fans {
            sum += price(&fan.id)?;
        }
        if let Some(burner) = &setting.burner {
            sum += price(&burner.id)?;
        }
        // A machine that stands in the site file is there already.
        let there = self.settings[0].stirring;
        if setting.stirring.is_some() && setting.stirring != there {
            sum += costs.stirring?;
        }
        Some(sum)
    }

    /// The candidate in words: fans, then what differs from the plainest outfit.
    pub fn name(&self, candidate: &Candidate) -> String {
        let setting = self.setting(candidate);
        let count = candidate.fans.len();
        let ids: Vec<&str> = candidate.fans.iter().map(|fan| fan.id.as_str()).collect();
        let alike = ids.windows(2).all(|pair| pair[0] == pair[1]);
        let mut name = match (alike, count) {
            (true, 1) => ids[0].to_string(),
            (true, _) => format!("{count} × {}", ids[0]),
            (false, _) => ids.join(" + "),
        };
        if count > 1 && candidate.arrangement == Arrangement::Series {
            name.push_str(" in series");
        }
        if let Some(burner) = &setting.burner {
            name.push_str(&format!(", {}", burner.id));
        }
        name.push_str(&format!(", {}", control_name(&setting.control)));
        let filling = setting.filling;
        if filling.share != 1.0 {
            name.push_str(&format!(", filled to {:.0} %", 100.0 * filling.share));
        }
        if let Some(days) = filling.days {
            name.push_str(&format!(" in {days} days"));
        }
        if filling.layers > 1 {
            name.push_str(&format!(", in {} layers", filling.layers));
        }
        if setting.stirring.is_some() {
            name.push_str(", stirred");
        }
        name
    }

    /// The changes of the site file that make a candidate the bin's outfit; nothing where it must be written by hand.
    pub fn changes(&self, candidate: &Candidate) -> Option<Vec<Change>> {
        let setting = self.setting(candidate);
        let written = Written {
            fans: &candidate.fans,
            arrangement: candidate.arrangement,
            burner: setting.burner.as_ref(),
            control: &setting.control,
            stirring: setting.stirring.as_ref(),
            filling: setting.filling,
        };
        outfit_text::changes(&self.bin, &written)
    }

    /// The air system of a candidate on its setting's bin.
    pub fn system(&self, candidate: &Candidate) -> Option<AirSystem> {
        let bin = self.setting(candidate).bin.as_ref().ok()?;
        let there = &bin.template.system;
        let outfit = Outfit::new(candidate.fans.clone(), candidate.arrangement).ok()?;
        AirSystem::new(outfit, there.budget, there.bed_area, there.direction).ok()
    }

    /// The years of a candidate: those of its setting, with its fans.
    pub fn years(&self, candidate: &Candidate) -> Vec<(i32, Arc<CaseSpec>)> {
        let (Ok(bin), Some(system)) = (&self.setting(candidate).bin, self.system(candidate)) else { return Vec::new() };
        let map = Arc::new(AirMap::new(&system, bin.template.grain.resistance, bin.velocity_range));
        let system = Arc::new(system);
        let with_fans = |(year, case): &(i32, Arc<CaseSpec>)| {
            let mut case = CaseSpec::clone(case);
            case.system = Arc::clone(&system);
            case.air = Arc::clone(&map);
            case.control.fans = candidate.fans.len();
            (*year, Arc::new(case))
        };
        bin.years.iter().map(with_fans).collect()
    }
}

/// Whether two controls are the same but for the fans they count and their cooling.
fn alike(a: &Control, b: &Control) -> bool {
    Control { fans: 1, cooling: Rule::Off, ..*a } == Control { fans: 1, cooling: Rule::Off, ..*b }
}

/// What may be chosen when nobody says: every fan of the catalogue, at most two, with the burner and control that stand there.
fn default_choice(library: &dyn Library) -> ChooseFacts {
    ChooseFacts {
        fans: library.fans().to_vec(),
        most_fans: job::site::choose::MOST_FANS,
        arrangements: vec![Arrangement::Parallel],
        burners: Vec::new(),
        controls: Vec::new(),
        fillings: Vec::new(),
        stirring: None,
        owned: Vec::new(),
        supply: None,
        gas: true,
        quiet: None,
        budget: None,
        harvest_per_day: None,
    }
}

/// A control in a few words.
pub fn control_name(control: &Control) -> String {
    let rule = match control.drying {
        Rule::Off => "fans off".to_string(),
        Rule::Continuous => "continuous".into(),
        Rule::Clock { hours, .. } => format!("clock, {} h a day", hours.count_ones()),
        Rule::HumidityWindow { low, high, .. } => format!("humidity {:.0} to {:.0} %", 100.0 * low, 100.0 * high),
        Rule::EquilibriumWindow { low, high, .. } => format!(
            "equilibrium {:.1} to {:.1} %",
            100.0 * physics::grain::wet_basis(low),
            100.0 * physics::grain::wet_basis(high)
        ),
        Rule::TemperatureWindow { low, high, .. } | Rule::AerationWindow { low, high, .. } => {
            format!("air from {low:.0} to {high:.0} °C")
        }
    };
    let burner = match control.burner {
        BurnerRule::Off => String::new(),
        BurnerRule::FixedRise(rise) => format!(", heat of {rise:.1} K"),
        BurnerRule::Thermostat(set) => format!(", heat to {set:.0} °C"),
        BurnerRule::Humidistat(set) => format!(", heat to {:.0} % humidity", 100.0 * set),
        BurnerRule::HumidistatWithin { humidity, temperature } => {
            format!(", heat to {:.0} % humidity, at most {temperature:.0} °C", 100.0 * humidity)
        }
    };
    rule + &burner
}
