//! The field: everything that may be chosen for a bin.
//!
//! A setting is what the season must know besides the fans (filling, burner, control, stirring), resolved as a site would be; a
//! candidate is a setting with fans. Fans alone do not change a setting, so that thousands of candidates rest on a few dozen.

use ensemble::{Observer, Silent, side_by_side};
use equipment::arrangement::MAX_FANS;
use equipment::{AirMap, AirSystem, Arrangement, Burner, BurnerRule, Control, Fan, Outfit, Rule};
use job::change::Change;
use job::choose::{ChooseFacts, FillChoice, Quiet, Supply};
use job::facts::BinFacts;
use job::outfit_text::{self, Written};
use job::{Base, BinJob, Library};
use notice::Diagnostics;
use physics::electric::Phases;
use physics::resistance::BedResistance;
use season::{CaseSpec, Stirring};
use std::collections::HashMap;
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
    /// Number of the first setting in which the same fans meet the same way, grain and depth: what is known of their air there
    /// holds here.
    pub air: usize,
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
        if base.facts().power.as_ref().is_some_and(|power| power.phases == Phases::Single) {
            // As the site's own fans and those it lets choose from: else the fan that stands there were another than its like.
            allowed.fans.iter_mut().for_each(Fan::on_one_phase);
        }
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
        // The bins behind it stay out of it; those before keep the loads of this one what they are. What may be chosen is known here.
        let mut plain = base.facts().clone();
        plain.bins.truncate(bin + 1);
        plain.bins.iter_mut().for_each(|bin| bin.choose = None);
        let mut add = |filling: FillChoice, burner: &Option<Burner>, control: Control, stirring: Option<Stirring>| {
            let mut site = plain.clone();
            let there = &mut site.bins[bin];
            filling.fill(there);
            there.outfit.burner.clone_from(burner);
            there.outfit.control =
                Control { fans: there.outfit.fans.len(), cooling: outfit.control.cooling, ..control };
            there.outfit.stirring = stirring;
            let resolved = base.resolve_facts(&site, library);
            let bin = match resolved {
                Ok(mut job) => job.bins.pop().map(Arc::new).ok_or_else(String::new),
                Err(wrong) => Err(wrong.0.first().map(|d| d.found.clone()).unwrap_or_default()),
            };
            let air = match &bin {
                Ok(bin) => settings.iter().position(|other: &Setting| same_air(other, bin)).unwrap_or(settings.len()),
                Err(_) => settings.len(),
            };
            settings.push(Setting { filling, burner: burner.clone(), control, stirring, bin, air });
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

    /// The fans of a candidate, as far as they are told apart in the air of its setting.
    pub(super) fn air_key(&self, candidate: &Candidate) -> AirKey {
        let ids = candidate.fans.iter().map(|fan| fan.id.clone()).collect();
        (self.setting(candidate).air, ids, candidate.arrangement == Arrangement::Series)
    }

    /// The air of a candidate, compiled.
    fn compiled(&self, candidate: &Candidate) -> Option<Compiled> {
        let bin = self.setting(candidate).bin.as_ref().ok()?;
        let system = self.system(candidate)?;
        let map = Arc::new(AirMap::new(&system, bin.template.grain.resistance, bin.velocity_range));
        Some((Arc::new(system), map))
    }

    /// The air of some candidates, compiled once for those that share it, on so many threads.
    pub(super) fn maps<'a>(&self, candidates: impl Iterator<Item = &'a Candidate>, threads: usize) -> Maps {
        let mut keys: Vec<AirKey> = Vec::new();
        let mut first: Vec<&Candidate> = Vec::new();
        for candidate in candidates {
            let key = self.air_key(candidate);
            if !keys.contains(&key) {
                keys.push(key);
                first.push(candidate);
            }
        }
        let silent: Arc<dyn Observer> = Arc::new(Silent);
        let made = side_by_side(threads, first.len(), &silent, |k| self.compiled(first[k]));
        keys.into_iter().zip(made).filter_map(|(key, made)| Some((key, made?))).collect()
    }

    /// The years of a candidate: those of its setting, with its fans.
    pub fn years(&self, candidate: &Candidate) -> Vec<(i32, Arc<CaseSpec>)> {
        self.years_on(candidate, &mut Maps::default())
    }

    /// The same with maps that were compiled before, for the same fans under another control.
    pub(super) fn years_on(&self, candidate: &Candidate, maps: &mut Maps) -> Vec<(i32, Arc<CaseSpec>)> {
        let Ok(bin) = &self.setting(candidate).bin else { return Vec::new() };
        let key = self.air_key(candidate);
        if !maps.contains_key(&key) {
            let Some(compiled) = self.compiled(candidate) else { return Vec::new() };
            maps.insert(key.clone(), compiled);
        }
        let (system, map) = &maps[&key];
        let with_fans = |(year, case): &(i32, Arc<CaseSpec>)| {
            let mut case = CaseSpec::clone(case);
            case.system = Arc::clone(system);
            case.air = Arc::clone(map);
            case.control.fans = candidate.fans.len();
            (*year, Arc::new(case))
        };
        bin.years.iter().map(with_fans).collect()
    }
}

/// Fans in the air of a setting: its number, their names, whether they stand in series.
pub(super) type AirKey = (usize, Vec<String>, bool);
/// Maps compiled for fans in the air of a setting.
pub(super) type Maps = HashMap<AirKey, Compiled>;
/// Air compiled: the system and its map.
type Compiled = (Arc<AirSystem>, Arc<AirMap<BedResistance>>);

/// Whether fans find the same way, grain and depth in a setting as in a bin.
fn same_air(setting: &Setting, bin: &BinJob) -> bool {
    let Ok(other) = &setting.bin else { return false };
    let (a, b) = (&other.template, &bin.template);
    a.system.budget == b.system.budget
        && a.system.bed_area == b.system.bed_area
        && a.system.direction == b.system.direction
        && a.grain.resistance == b.grain.resistance
        && other.survey.depth() == bin.survey.depth()
        && other.velocity_range == bin.velocity_range
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
