//! Changes compiled once against a site: what they make other, value by value, applied to the site as it was read.
//!
//! For sliders and candidates, which ask the same site many times: the text is not read again, the weather of the place is
//! kept, and air that did not change is not compiled again. A changed site resolves to the same job as its changed text;
//! a test holds the two together. Leaves out changes that make another site of it (another place, other bins): those go
//! through the text.

use crate::change::{Change, apply};
use crate::facts::{
    Amount, BinFacts, FarmFacts, Filling, FiringFacts, FloorFacts, FuelFacts, Goal, Harvest, LotFacts, MonthDay,
    OutfitFacts, PowerFacts, Prices, QuoteFacts, RoofFacts, SiteFacts, WayFacts, YardFacts,
};
use crate::job::Job;
use crate::library::Library;
use crate::open::record;
use crate::records::{ReadyRecord, Records};
use crate::resolve::{Places, resolve_on};
use crate::site::{SiteRead, read_site};
use equipment::DataDate;
use equipment::{Arrangement, Burner, Control, Fan};
use notice::Diagnostics;
use season::CarryOver;
use std::sync::Arc;

/// A site against which changes are compiled: its text, what was read from it, its weather and its job.
#[derive(Debug)]
pub struct Base {
    text: String,
    file: String,
    site: SiteRead,
    record: Arc<ReadyRecord>,
    job: Arc<Job>,
}

/// Changes, compiled.
#[derive(Debug, Clone)]
pub struct Variation {
    means: Means,
    places: Places,
    warnings: Diagnostics,
}

#[derive(Debug, Clone)]
enum Means {
    /// Values of the site that become others.
    Typed(Vec<Edit>),
    /// A site that is another one: as read from the changed text.
    Other(Box<SiteRead>),
}

/// One value of a site that becomes another, in SI.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    /// Mean moisture wanted, fraction w.b.
    MeanMoisture(f64),
    /// Allowed excess of the wettest tenth, fraction w.b.
    WettestExcess(f64),
    /// Day by which it is to be dry.
    By(MonthDay),
    /// Storage life that may be used.
    LifeAllowed(f64),
    /// Wanted chance.
    Chance(f64),
    /// Share of the hours whose heat a burner must meet.
    DesignHour(f64),
    /// What happens when winter comes first.
    CarryOver(CarryOver),
    /// Day until which the grain is held.
    HoldUntil(MonthDay),
    /// Mean temperature to which dry grain is cooled, °C.
    CoolTo(f64),
    /// What is done with a year that failed.
    Remedy(Option<crate::costs::Remedy>),
    /// Prices.
    Prices(Option<Prices>),
    /// Supply and line of the gas.
    Fuel(Option<FuelFacts>),
    /// The electric supply.
    Power(Option<PowerFacts>),
    /// The yard.
    Yard(Option<YardFacts>),
    /// The bins as one farm.
    Farm(Option<FarmFacts>),
    /// What makes an offer of a proposal.
    Quote(Option<QuoteFacts>),
    /// A value of the bin of a number.
    Bin(usize, BinEdit),
}

/// One value of a bin.
#[derive(Debug, Clone, PartialEq)]
pub enum BinEdit {
    /// Inner diameter, m.
    Diameter(f64),
    /// Height of the wall, m.
    Eave(f64),
    /// Where the air enters the grain.
    Floor(FloorFacts),
    /// Open fraction of the floor.
    FloorOpening(f64),
    /// Share of its holes plugged.
    FloorPlugged(f64),
    /// Height of the plenum, m.
    Plenum(Option<f64>),
    /// What stands between open air and plenum.
    Way(WayFacts),
    /// The roof.
    Roof(RoofFacts),
    /// Gaps, m².
    Gaps(Option<f64>),
    /// Free area of the roof vents, m².
    VentArea(Option<f64>),
    /// Loss coefficient of transition and duct, and its area, m².
    Transition(Option<(f64, f64)>),
    /// Fraction of the air that escapes.
    Leakage(f64),
    /// How it was filled.
    Filling(Filling),
    /// Factor for packing.
    Packing(Option<f64>),
    /// Fines, mass fraction.
    Fines(f64),
    /// Whether heat moves in rings while the air is still.
    Rings(bool),
    /// Whether a range is wanted where no law is published.
    RangeWanted(bool),
    /// Fans.
    Fans(Vec<Fan>),
    /// How they stand.
    Arrangement(Arrangement),
    /// Whether air is drawn down.
    Suction(bool),
    /// Burner.
    Burner(Option<Burner>),
    /// How many burners there are, and how they switch.
    Firing(FiringFacts),
    /// Control of fans and burner.
    Control(Control),
    /// What ± of its sensors means.
    Sensors(Option<season::operations::Band>),
    /// By which rule drying is stopped.
    Stop(season::StopRule),
    /// Stirring machine.
    Stirring(Option<season::Stirring>),
    /// Dry grain drawn from the floor.
    Counterflow(Option<season::Counterflow>),
    /// What may be chosen.
    Choose(Option<crate::choose::ChooseFacts>),
    /// Filling in layers.
    Layers(Option<crate::facts::LayersFacts>),
    /// What it is used for beside drying.
    Process(crate::facts::ProcessFacts),
    /// A value of the lot of a number.
    Lot(usize, LotEdit),
}

/// One value of a lot.
#[derive(Debug, Clone, PartialEq)]
pub enum LotEdit {
    /// Crop, by name.
    Crop(String),
    /// Equilibrium set.
    Relation(Option<String>),
    /// How much.
    Amount(Amount),
    /// Mean moisture, fraction w.b.
    Moisture(f64),
    /// Standard deviation between loads, fraction w.b.
    MoistureSd(Option<f64>),
    /// Temperature as filled, °C.
    Temperature(Option<f64>),
    /// First day of filling.
    From(MonthDay),
    /// How it goes with the years.
    Harvest(Harvest),
    /// Days of filling.
    Days(u32),
    /// Loads a day.
    LoadsPerDay(u32),
    /// Storage life used on arrival.
    LifeUsed(f64),
    /// Mechanically damaged kernels.
    Damage(f64),
    /// Measured test weight, kg/m³ at a moisture (w.b.).
    TestWeight(Option<(f64, f64)>),
}

impl Base {
    /// Opens a site, as [`crate::open_with()`] does, and keeps what changes of it need.
    ///
    /// # Errors
    /// As [`crate::open()`].
    pub fn open(records: &Records, text: &str, file: &str, library: &dyn Library) -> Result<Self, Diagnostics> {
        let site = read_site(text, file, library)?;
        let record = record(&site, file, records, library)?;
        let mut job = resolve_on(&site.facts, &site.places, &record, library.crops(), file, None)?;
        job.warnings.0.splice(0..0, site.warnings.0.clone());
        Ok(Self { text: text.into(), file: file.into(), site, record, job: Arc::new(job) })
    }

    /// The job of the site as it stands.
    pub fn job(&self) -> &Arc<Job> {
        &self.job
    }

    /// The text as it stands.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Compiles changes: they are made in the text once, read once, and kept as the values that became other.
    ///
    /// # Errors
    /// A change that cannot be made; all that is wrong with the changed text.
    pub fn compile(&self, changes: &[Change], library: &dyn Library) -> Result<Variation, Diagnostics> {
        let text = apply(&self.text, changes).map_err(|wrong| Diagnostics(vec![wrong.diagnostic(&self.file)]))?;
        let SiteRead { facts, places, warnings } = read_site(&text, &self.file, library)?;
        let means = match edits(&self.site.facts, &facts) {
            Some(edits) => Means::Typed(edits),
            None => {
                let site = SiteRead { facts, places: places.clone(), warnings: Diagnostics::default() };
                Means::Other(Box::new(site))
            }
        };
        Ok(Variation { means, places, warnings })
    }

    /// What the site says, in SI.
    pub fn facts(&self) -> &SiteFacts {
        &self.site.facts
    }

    /// The job of the site with other facts in place of its own, for those who change many of them and often: layers of lots,
    /// shares of a quantity. The place, its weather record and the bins' names must be those of the site.
    ///
    /// # Errors
    /// All that does not fit together, with places in the text as it stands.
    pub fn resolve_facts(&self, facts: &SiteFacts, library: &dyn Library) -> Result<Job, Diagnostics> {
        let earlier = Some(&*self.job);
        resolve_on(facts, &self.site.places, &self.record, library.crops(), &self.file, earlier)
    }

    /// The same base as seen on a day: its job and those of its variations say which data are old by then.
    pub fn seen_on(mut self, today: DataDate) -> Self {
        self.job = Arc::new(Arc::unwrap_or_clone(self.job).seen_on(today));
        self
    }

    /// The job of the site with a variation.
    ///
    /// # Errors
    /// All that does not fit together, with places in the changed text.
    pub fn resolve(&self, variation: &Variation, records: &Records, library: &dyn Library) -> Result<Job, Diagnostics> {
        let (places, crops, earlier) = (&variation.places, library.crops(), Some(&*self.job));
        let mut job = match &variation.means {
            Means::Typed(edits) => {
                let mut facts = self.site.facts.clone();
                edits.iter().for_each(|edit| make(&mut facts, edit));
                for bin in &mut facts.bins {
                    // The control counts the fans there are.
                    bin.outfit.control.fans = bin.outfit.fans.len();
                }
                resolve_on(&facts, places, &self.record, crops, &self.file, earlier)?
            }
            Means::Other(site) => {
                let record = record(site, &self.file, records, library)?;
                resolve_on(&site.facts, places, &record, crops, &self.file, earlier)?
            }
        };
        job.warnings.0.splice(0..0, variation.warnings.0.clone());
        Ok(match self.job.seen_on {
            Some(today) => job.seen_on(today),
            None => job,
        })
    }
}

impl Variation {
    /// The values that become other; none when the changes make another site of it.
    pub fn edits(&self) -> Option<&[Edit]> {
        match &self.means {
            Means::Typed(edits) => Some(edits),
            Means::Other(_) => None,
        }
    }

    /// This variation and then another of the same base; where both say the same value, the later counts. None when one of
    /// them makes another site of it.
    ///
    /// What the reader checks between values of one text (lots in order, a burner with a rule) is not checked between the
    /// two: for that, compile the changes together.
    pub fn then(&self, later: &Self) -> Option<Self> {
        let edits = [self.edits()?, later.edits()?].concat();
        let mut places = self.places.clone();
        places.extend(later.places.clone());
        let mut warnings = self.warnings.clone();
        later.warnings.0.iter().filter(|w| !self.warnings.0.contains(w)).for_each(|w| warnings.add(w.clone()));
        Some(Self { means: Means::Typed(edits), places, warnings })
    }
}

/// Notes each of the values that differ.
macro_rules! differ {
    ($list:ident, $old:expr, $new:expr, $($field:ident => $edit:expr),* $(,)?) => {
        $(if $old.$field != $new.$field {
            $list.push($edit($new.$field.clone()));
        })*
    };
}

/// The values in which two sites differ; none when they are sites of different places or bins.
fn edits(old: &SiteFacts, new: &SiteFacts) -> Option<Vec<Edit>> {
    // Every field is named, so that one that is added later cannot be passed over.
    let SiteFacts { name, place, goal, prices, fuel, power, yard, farm, quote, bins } = new;
    if *name != old.name || *place != old.place || bins.len() != old.bins.len() {
        return None;
    }
    let mut list = Vec::new();
    let Goal {
        mean_moisture: _,
        wettest_excess: _,
        by: _,
        life_allowed: _,
        chance: _,
        design_hour: _,
        carry_over: _,
        hold_until: _,
        cool_to: _,
        remedy: _,
    } = goal;
    differ!(list, old.goal, goal,
        mean_moisture => Edit::MeanMoisture, wettest_excess => Edit::WettestExcess, by => Edit::By,
        life_allowed => Edit::LifeAllowed, chance => Edit::Chance, design_hour => Edit::DesignHour, carry_over => Edit::CarryOver,
        hold_until => Edit::HoldUntil, cool_to => Edit::CoolTo, remedy => Edit::Remedy,
    );
    if *prices != old.prices {
        list.push(Edit::Prices(prices.clone()));
    }
    if *fuel != old.fuel {
        list.push(Edit::Fuel(fuel.clone()));
    }
    if *power != old.power {
        list.push(Edit::Power(power.clone()));
    }
    if *farm != old.farm {
        list.push(Edit::Farm(farm.clone()));
    }
    if *yard != old.yard {
        list.push(Edit::Yard(yard.clone()));
    }
    if *quote != old.quote {
        list.push(Edit::Quote(quote.clone()));
    }
    for (k, (old, new)) in old.bins.iter().zip(bins).enumerate() {
        list.extend(bin_edits(old, new)?.into_iter().map(|edit| Edit::Bin(k, edit)));
    }
    Some(list)
}

fn bin_edits(old: &BinFacts, new: &BinFacts) -> Option<Vec<BinEdit>> {
    let BinFacts {
        name,
        diameter: _,
        eave: _,
        floor: _,
        floor_opening: _,
        floor_plugged: _,
        plenum: _,
        way: _,
        roof: _,
        gaps: _,
        vent_area: _,
        transition: _,
        leakage: _,
        filling: _,
        packing: _,
        fines: _,
        rings: _,
        range_wanted: _,
        lots,
        layers: _,
        process: _,
        outfit,
        choose: _,
    } = new;
    let OutfitFacts {
        fans: _,
        arrangement: _,
        suction: _,
        burner: _,
        firing: _,
        control: _,
        sensors: _,
        stop: _,
        stirring: _,
        counterflow: _,
    } = outfit;
    if *name != old.name || lots.len() != old.lots.len() {
        return None;
    }
    let mut list = Vec::new();
    differ!(list, old, new,
        diameter => BinEdit::Diameter, eave => BinEdit::Eave, floor_opening => BinEdit::FloorOpening,
        floor => BinEdit::Floor, floor_plugged => BinEdit::FloorPlugged, plenum => BinEdit::Plenum,
        way => BinEdit::Way, roof => BinEdit::Roof, gaps => BinEdit::Gaps,
        vent_area => BinEdit::VentArea, transition => BinEdit::Transition, leakage => BinEdit::Leakage,
        filling => BinEdit::Filling, packing => BinEdit::Packing, fines => BinEdit::Fines, rings => BinEdit::Rings, range_wanted => BinEdit::RangeWanted,
        layers => BinEdit::Layers, choose => BinEdit::Choose,
        process => BinEdit::Process,
    );
    differ!(list, old.outfit, outfit,
        fans => BinEdit::Fans, arrangement => BinEdit::Arrangement, suction => BinEdit::Suction,
        burner => BinEdit::Burner, firing => BinEdit::Firing, control => BinEdit::Control, sensors => BinEdit::Sensors, stop => BinEdit::Stop,
        stirring => BinEdit::Stirring, counterflow => BinEdit::Counterflow,
    );
    for (k, (old, new)) in old.lots.iter().zip(lots).enumerate() {
        list.extend(lot_edits(old, new).into_iter().map(|edit| BinEdit::Lot(k, edit)));
    }
    Some(list)
}

fn lot_edits(old: &LotFacts, new: &LotFacts) -> Vec<LotEdit> {
    let LotFacts {
        crop: _,
        relation: _,
        amount: _,
        moisture: _,
        moisture_sd: _,
        temperature: _,
        from: _,
        harvest: _,
        days: _,
        loads_per_day: _,
        life_used: _,
        damage: _,
        test_weight: _,
    } = new;
    let mut list = Vec::new();
    differ!(list, old, new,
        crop => LotEdit::Crop, relation => LotEdit::Relation, amount => LotEdit::Amount, moisture => LotEdit::Moisture,
        moisture_sd => LotEdit::MoistureSd, temperature => LotEdit::Temperature, from => LotEdit::From,
        harvest => LotEdit::Harvest, days => LotEdit::Days, loads_per_day => LotEdit::LoadsPerDay,
        life_used => LotEdit::LifeUsed, damage => LotEdit::Damage, test_weight => LotEdit::TestWeight,
    );
    list
}

/// Makes one value of a site another. A bin or lot that is not there was not in the base either.
fn make(facts: &mut SiteFacts, edit: &Edit) {
    let goal = &mut facts.goal;
    match edit.clone() {
        Edit::MeanMoisture(value) => goal.mean_moisture = value,
        Edit::WettestExcess(value) => goal.wettest_excess = value,
        Edit::By(value) => goal.by = value,
        Edit::LifeAllowed(value) => goal.life_allowed = value,
        Edit::Chance(value) => goal.chance = value,
        Edit::DesignHour(value) => goal.design_hour = value,
        Edit::CarryOver(value) => goal.carry_over = value,
        Edit::HoldUntil(value) => goal.hold_until = value,
        Edit::CoolTo(value) => goal.cool_to = value,
        Edit::Remedy(value) => goal.remedy = value,
        Edit::Prices(value) => facts.prices = value,
        Edit::Fuel(value) => facts.fuel = value,
        Edit::Power(value) => facts.power = value,
        Edit::Yard(value) => facts.yard = value,
        Edit::Farm(value) => facts.farm = value,
        Edit::Quote(value) => facts.quote = value,
        Edit::Bin(k, edit) => {
            if let Some(bin) = facts.bins.get_mut(k) {
                make_in_bin(bin, edit);
            }
        }
    }
}

fn make_in_bin(bin: &mut BinFacts, edit: BinEdit) {
    match edit {
        BinEdit::Diameter(value) => bin.diameter = value,
        BinEdit::Eave(value) => bin.eave = value,
        BinEdit::FloorOpening(value) => bin.floor_opening = value,
        BinEdit::VentArea(value) => bin.vent_area = value,
        BinEdit::Floor(value) => bin.floor = value,
        BinEdit::FloorPlugged(value) => bin.floor_plugged = value,
        BinEdit::Plenum(value) => bin.plenum = value,
        BinEdit::Way(value) => bin.way = value,
        BinEdit::Roof(value) => bin.roof = value,
        BinEdit::Gaps(value) => bin.gaps = value,
        BinEdit::Transition(value) => bin.transition = value,
        BinEdit::Leakage(value) => bin.leakage = value,
        BinEdit::Filling(value) => bin.filling = value,
        BinEdit::Packing(value) => bin.packing = value,
        BinEdit::Fines(value) => bin.fines = value,
        BinEdit::Rings(value) => bin.rings = value,
        BinEdit::RangeWanted(value) => bin.range_wanted = value,
        BinEdit::Fans(value) => bin.outfit.fans = value,
        BinEdit::Arrangement(value) => bin.outfit.arrangement = value,
        BinEdit::Suction(value) => bin.outfit.suction = value,
        BinEdit::Burner(value) => bin.outfit.burner = value,
        BinEdit::Firing(value) => bin.outfit.firing = value,
        BinEdit::Control(value) => bin.outfit.control = value,
        BinEdit::Sensors(value) => bin.outfit.sensors = value,
        BinEdit::Stop(value) => bin.outfit.stop = value,
        BinEdit::Stirring(value) => bin.outfit.stirring = value,
        BinEdit::Layers(value) => bin.layers = value,
        BinEdit::Choose(value) => bin.choose = value,
        BinEdit::Process(value) => bin.process = value,
        BinEdit::Counterflow(value) => bin.outfit.counterflow = value,
        BinEdit::Lot(k, edit) => {
            if let Some(lot) = bin.lots.get_mut(k) {
                make_in_lot(lot, edit);
            }
        }
    }
}

fn make_in_lot(lot: &mut LotFacts, edit: LotEdit) {
    match edit {
        LotEdit::Crop(value) => lot.crop = value,
        LotEdit::Relation(value) => lot.relation = value,
        LotEdit::Amount(value) => lot.amount = value,
        LotEdit::Moisture(value) => lot.moisture = value,
        LotEdit::MoistureSd(value) => lot.moisture_sd = value,
        LotEdit::Temperature(value) => lot.temperature = value,
        LotEdit::From(value) => lot.from = value,
        LotEdit::Harvest(value) => lot.harvest = value,
        LotEdit::Days(value) => lot.days = value,
        LotEdit::LoadsPerDay(value) => lot.loads_per_day = value,
        LotEdit::LifeUsed(value) => lot.life_used = value,
        LotEdit::Damage(value) => lot.damage = value,
        LotEdit::TestWeight(value) => lot.test_weight = value,
    }
}
