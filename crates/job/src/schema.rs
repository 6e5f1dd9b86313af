//! The JSON Schema of the site file, for editors that check while one writes.
//!
//! A form of the fields that the reader asks for, kept equal to it by a test. Leaves out what a schema cannot say: limits
//! of quantities in their units, names of a library, dates that contradict each other.

mod money;

use crate::site::FORMAT;
use notice::Kind;
use schemars::{Schema, json_schema};
use serde_json::{Map, Value, json};
use sheet::units;

/// A number, then something that is no digit: units have too many spellings for a pattern that an editor could show.
const QUANTITY: &str = r"^\s*[-+−]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?\s*[^\s\d,].*$";
/// A name of the library.
const NAME: &str = r"^[A-Za-z0-9_-][A-Za-z0-9._-]{0,79}$";

/// What may stand at a key.
enum Form {
    /// A text with a unit, and how it may look.
    Quantity(Kind, &'static [&'static str]),
    /// A text of a pattern, and how it may look.
    Pattern(&'static str, &'static [&'static str]),
    /// Any text.
    Text(&'static [&'static str]),
    /// One of a few words.
    Words(&'static [&'static str]),
    /// A bare number.
    Number(f64, f64),
    /// A bare whole number.
    Count(u32, u32),
    /// True or false.
    Flag,
    /// A list of so many texts with a unit.
    Texts(u32),
    /// A list of names.
    Names(u32, u32),
    /// A table.
    Table(&'static Fields),
    /// A list of tables.
    Tables(&'static Fields, bool),
    /// Tables keyed by name.
    Named(&'static Fields),
    /// A name, or a table in its place.
    NameOr(&'static Fields),
    /// Texts of a pattern, keyed by name.
    Priced(&'static str),
    /// Rows of two texts.
    Steps,
}

/// One key.
struct Field {
    key: &'static str,
    needed: bool,
    form: Form,
    says: &'static str,
}

type Fields = [Field];

const fn needs(key: &'static str, form: Form, says: &'static str) -> Field {
    Field { key, needed: true, form, says }
}

const fn may(key: &'static str, form: Form, says: &'static str) -> Field {
    Field { key, needed: false, form, says }
}

use Form::{Count, Flag, NameOr, Named, Names, Number, Pattern, Quantity, Table, Tables, Text, Texts, Words};

const DAY: Form = Pattern(r"^\s*\d{1,2}-\d{1,2}\s*$", &["10-10", "12-15"]);
const CLOCK: Form = Pattern(r"^\s*\d{1,2}:00\s*$", &["07:00", "21:00"]);
const MOISTURE: Form = Quantity(Kind::MoistureWetBasis, &["20 %", "25 % db"]);
const POINTS: Form = Pattern(QUANTITY, &["1.5 %", "1.5 points"]);
const HUMIDITY: Form = Quantity(Kind::RelativeHumidity, &["75 %"]);
const TEMPERATURE: Form = Quantity(Kind::Temperature, &["50 °F", "10 °C"]);
const DIFFERENCE: Form = Quantity(Kind::TemperatureDifference, &["3 K", "5 °F"]);
const TIME: Form = Quantity(Kind::Hours, &["2 h", "30 min"]);
const DAYS: Form = Quantity(Kind::Days, &["7 d", "24 h"]);
const PRICE: Form = Pattern(r"^.*\d.*/.*$", &["0.12 $/kWh", "12 c/kWh", "0.30 EUR/kWh"]);
const DATE: Form = Pattern(r"^\s*\d{4}-\d{2}-\d{2}\s*$", &["2026-11-26"]);
const DAY_COUNT: Form = Count(1, 120);
const SENSORS: Form = Words(&["ambient", "after-fan", "after-burner", "exhaust"]);

const SITE: &Fields = &[
    needs("binwright", Count(FORMAT, FORMAT), "Version of the format."),
    may("name", Text(&["home place"]), "Name of the site; the name of the file when left out."),
    needs("place", Table(PLACE), "Where the site is and which weather stands for it."),
    needs("goal", Table(GOAL), "What is wanted of every bin."),
    may("prices", Table(PRICES), "What energy costs."),
    may("fuel", Table(FUEL), "Supply and line of the gas that the burners burn."),
    may("power", Table(POWER), "Electric supply of the site."),
    may("yard", Table(YARD), "Where bins and dwellings stand, for the sound of the fans."),
    may("farm", Table(FARM), "The bins as one farm: what is harvested, and by which rule they take it."),
    may("quote", Table(QUOTE), "What makes an offer of a proposal."),
    needs("bins", Named(BIN), "The bins, by name."),
];

const PLACE: &Fields = &[
    may("elevation", Quantity(Kind::Length, &["213 m", "700 ft"]), "Elevation above sea level; this or pressure."),
    may(
        "pressure",
        Quantity(Kind::Barometric, &["98.8 kPa", "29.2 inHg"]),
        "Mean barometric pressure at the site, not reduced to sea level, in place of elevation.",
    ),
    needs(
        "utc_offset",
        Pattern(r"^\s*([-+−]\d{1,2}(:\d{1,2})?|[zZ]|[uU][tT][cC])\s*$", &["-06:00", "+05:30"]),
        "Standard time less UTC, all year.",
    ),
    may("time_zone", Text(&["America/Chicago"]), "IANA zone of wall clocks, for tariffs and clock controls."),
    needs("weather", Pattern(NAME, &["champaign"]), "Name of the weather record."),
    may("humidity_offset", HUMIDITY, "Added to the relative humidity of the record. Default 0 %."),
];

const GOAL: &Fields = &[
    needs("mean_moisture", MOISTURE, "Mean moisture to reach, wet basis unless it says db."),
    may("wettest_excess", POINTS, "How far the wettest tenth may lie above the mean wanted. Default 1.5 points."),
    needs("by", DAY, "Day by which it is to be dry, as MM-DD."),
    may("chance", Quantity(Kind::Fraction, &["90 %"]), "Wanted chance over the years. Default 90 %."),
    may(
        "design_hour",
        Quantity(Kind::Fraction, &["99 %"]),
        "Share of the hours between first load and by whose heat a burner must meet. Default 99 %.",
    ),
    may("storage_life", Quantity(Kind::Fraction, &["100 %"]), "Storage life that may be used. Default all of it."),
    may(
        "carry_over",
        Words(&["never", "cool-and-hold-then-spring"]),
        "What happens when winter comes before the grain is dry. Default never.",
    ),
    needs("hold_until", DAY, "Day until which the grain is held, as MM-DD."),
    may("cool_to", TEMPERATURE, "Mean temperature to which dry grain is cooled. Default 0 °C."),
    may("remedy", Table(money::REMEDY), "What is done with a year that failed, and what that costs."),
];

const PRICES: &Fields = &[
    may("currency", Pattern("^[A-Z]{3}$", &["USD"]), "Code of the currency; else the sign in electricity says it."),
    needs("electricity", PRICE, "Price of electricity outside the slots of the tariff."),
    may("fuel", Pattern(r"^.*\d.*/.*$", &["1.80 $/usgal", "0.55 $/L"]), "Price of the fuel that the burners burn."),
    may("tariff", Tables(SLOT, false), "Hours of the day with another price of electricity, at most seven slots."),
    may("demand", money::DEMAND, "Charge on the highest power of each month."),
    may("labour", money::WAGE, "What an hour of labour costs."),
    may("labour_hours", Number(0.0, 10_000.0), "Hours of labour in a season. Default 0."),
    may("grain", money::GRAIN, "Price of grain at base moisture."),
    may("grain_moisture", MOISTURE, "Base moisture of that price. Default that of the crop."),
    may("handling_loss", Quantity(Kind::Fraction, &["0.5 %"]), "Wet weight lost in handling. Default 0 %."),
    may("ownership", Table(money::OWNERSHIP), "What owning equipment costs each year."),
    may("equipment", money::PRICED, "Price of pieces of the catalogue by name, bought and put up."),
    may("stirring", money::AMOUNT, "Price of a stirring machine, bought and put up."),
    may("wet", Table(money::WET), "How a buyer takes wet grain."),
    may(
        "damage",
        money::DAMAGE_STEPS,
        "Discounts on damaged grain: rows of the share above which one holds, and the discount.",
    ),
];

const SLOT: &Fields = &[
    needs("from", CLOCK, "First hour by the wall clock."),
    needs("to", CLOCK, "Hour at which the slot ends; it may run over midnight."),
    needs("electricity", PRICE, "Price of electricity in the slot."),
];

const FUEL: &Fields = &[
    needs("kind", Words(&["propane", "natural-gas"]), "What it is; the burners of the file must burn it."),
    may(
        "feed",
        Words(&["vapor", "liquid", "main"]),
        "Vapor boiled off by tanks, liquid to a vaporizer, or a main. Default vapor for propane, main for natural gas.",
    ),
    may("tank", Table(TANK), "vapor and liquid: the tanks."),
    may("vaporizer", Table(VAPORIZER), "liquid: the vaporizer."),
    may("main", Table(MAIN), "main: what the main delivers."),
    needs("line", Tables(LINE, true), "Pieces of the line, from the supply to the burners."),
];

const TANK: &Fields = &[
    may("count", Count(1, 50), "Equal tanks side by side. Default 1."),
    needs("capacity", Quantity(Kind::LiquidVolume, &["1000 gal", "3800 L"]), "Water capacity of one."),
    may("diameter", Quantity(Kind::Length, &["41 in", "1.04 m"]), "Outside diameter; left out, from the capacity."),
    may("length", Quantity(Kind::Length, &["192 in", "4.9 m"]), "Length; left out, from the capacity."),
    may("lowest_fill", Quantity(Kind::Fraction, &["20 %"]), "Share at which they are refilled. Default 20 %."),
    may("filled_to", Quantity(Kind::Fraction, &["80 %"]), "Share to which they are filled. Default 80 %."),
    may("delivery", DAYS, "From the order to the delivery. Default 3 d."),
];

const VAPORIZER: &Fields = &[
    needs("capacity", Quantity(Kind::HeatRate, &["40000 Btu/h", "12 kW"]), "Heat it can give the fuel."),
    needs("pressure", Quantity(Kind::GasPressure, &["20 psi", "140 kPa"]), "Gauge pressure it delivers."),
];

const MAIN: &Fields = &[
    needs("pressure", Quantity(Kind::GasPressure, &["2 psi", "14 kPa"]), "Gauge pressure at the meter."),
    may("meter", Quantity(Kind::GasFlow, &["1500 ft3/h", "42 m3/h"]), "Most that the meter passes."),
];

const LINE: &Fields = &[
    may(
        "regulator",
        Quantity(Kind::GasPressure, &["10 psi", "11 in wc"]),
        "Outlet pressure of the regulator at its head; left out, the pipe only goes on.",
    ),
    may(
        "material",
        Words(&["steel", "copper", "polyethylene"]),
        "What the pipe is made of. Default steel, schedule 40.",
    ),
    may(
        "pipe",
        Pattern("^.+$", &["3/4", "1-1/4", "2"]),
        "Nominal size of a steel pipe in inches, ½ to 4. This or inside.",
    ),
    may("inside", Quantity(Kind::Bore, &["0.8 in", "21 mm"]), "Inside diameter, in place of the nominal size."),
    needs("length", Quantity(Kind::Length, &["80 ft", "25 m"]), "Length, with that of the fittings."),
];

const QUOTE: &Fields = &[
    needs("number", Text(&["2026-014"]), "Number of the quote."),
    may("date", DATE, "Its date; papers carry it in place of today's."),
    may("valid_until", DATE, "Last day on which it holds."),
    may(
        "substitution",
        Text(&["Equal or better equipment may take the place of what is named."]),
        "What may take the place of what.",
    ),
    may("from", Text(&["Example Grain Systems"]), "Who offers."),
    may("to", Text(&["Example Farm"]), "To whom."),
];

const POWER: &Fields = &[
    needs("phases", Words(&["single", "three"]), "Phases of the supply."),
    needs("volts", Quantity(Kind::Voltage, &["240 V", "460 V"]), "Volts between lines."),
    may("service", Quantity(Kind::Current, &["200 A"]), "Rated current of the service."),
    may("feeder", Table(FEEDER), "Feeder from the service to the bins, which carries all of them."),
    may("other", Quantity(Kind::ElectricPower, &["5 kW"]), "Other load that runs at the same time. Default none."),
    may("generator", Quantity(Kind::ElectricPower, &["60 kW"]), "Power of the stand-by generator there is."),
    may(
        "code_letter",
        Pattern(r"^\s*[A-HJ-NPR-Va-hj-npr-v]\s*$", &["G"]),
        "Code letter of the motors' locked rotors. Default the usual one by size.",
    ),
];

const FEEDER: &Fields = &[
    needs("length", Quantity(Kind::Length, &["250 ft"]), "Length one way."),
    needs("conductor", Text(&["4/0", "2"]), "Gauge of the conductor, American wire gauge."),
    may("metal", Words(&["copper", "aluminum"]), "Metal of the conductor. Default copper."),
];

const YARD: &Fields = &[
    may("ground", Words(&["hard", "soft"]), "Hard ground throws sound back. Default hard."),
    may("limit_day", LEVEL, "Limit at a dwelling by day, A-weighted."),
    may("limit_night", LEVEL, "Limit at a dwelling by night, A-weighted."),
    needs("bins", Named(YARD_BIN), "Places of the bins, by their names in the site."),
    may("dwellings", Tables(DWELLING, false), "Dwellings near by."),
];

const LEVEL: Form = Quantity(Kind::SoundLevel, &["55 dB"]);

const YARD_BIN: &Fields = &[
    may("east", Quantity(Kind::Length, &["0 m"]), "East of a point of one's own choice. Default 0."),
    may("north", Quantity(Kind::Length, &["30 m"]), "North of it. Default 0."),
    may("wall", Flag, "Whether a wall stands close behind the fans; the bin is one. Default true."),
    may("blades", Count(2, 100), "Blades of a wheel, for its tone."),
    may("sound_power", Texts(8), "Sound power of one fan by its maker, at 63 Hz to 8 kHz."),
];

const DWELLING: &Fields = &[
    may("name", Text(&["house"]), "Name. Default dwelling."),
    may("distance", Quantity(Kind::Length, &["400 ft"]), "Distance from every fan; or east and north."),
    may("east", Quantity(Kind::Length, &["120 m"]), "East, as of the bins."),
    may("north", Quantity(Kind::Length, &["40 m"]), "North, as of the bins."),
    may("height", Quantity(Kind::Length, &["3 m"]), "Height of the window above the fans. Default 0."),
];

const BIN: &Fields = &[
    needs("diameter", Quantity(Kind::Length, &["36 ft", "11 m"]), "Inner diameter."),
    needs("eave", Quantity(Kind::Length, &["24 ft", "7.3 m"]), "Height of the wall above the floor."),
    may("floor", Words(&["full", "pad", "ducts"]), "What is perforated of the floor. Default full."),
    may("pad", Table(PAD), "floor = \"pad\": perforated pad in the middle of a closed floor."),
    may("ducts", Table(DUCTS), "floor = \"ducts\": perforated ducts on a closed floor."),
    may(
        "floor_opening",
        Quantity(Kind::Fraction, &["10 %"]),
        "Open part of the sheet of the floor or of the ducts. Default 10 %.",
    ),
    may("floor_plugged", Quantity(Kind::Fraction, &["20 %"]), "Part of its holes plugged by fines. Default 0 %."),
    may(
        "plenum",
        Quantity(Kind::SmallLength, &["18 in"]),
        "Height of the plenum under the floor, for the velocity across it.",
    ),
    may("inlet", Table(INLET), "Inlet of each fan or its duct. Not beside transition_k."),
    may("duct", Table(SUPPLY_DUCT), "Duct between each fan and the plenum. Not beside transition_k."),
    may("transition", Table(TRANSITION), "Transition into the plenum. Not beside transition_k."),
    may("roof", Table(ROOF), "Vents of the roof and what it bears."),
    may(
        "gaps",
        Quantity(Kind::Area, &["30 in2", "200 cm2"]),
        "Gaps at doors, augers and floor edge through which air escapes, in place of leakage.",
    ),
    may(
        "vents",
        Quantity(Kind::Area, &["20 ft2", "2 m2"]),
        "Free area of the roof vents; left out, they lose nothing.",
    ),
    may(
        "transition_k",
        Number(0.0, 50.0),
        "Loss coefficient of transition and duct, on the velocity in transition_area.",
    ),
    may("transition_area", Quantity(Kind::Area, &["0.5 m2"]), "Area that transition_k refers to."),
    may("leakage", Quantity(Kind::Fraction, &["5 %"]), "Part of the air that escapes before the grain. Default 0 %."),
    may("uniform", Flag, "Said to be even: one column. Default false."),
    may("fill", Words(&["spout", "leveled"]), "How it was filled. Default spout."),
    may("cored", Flag, "Whether the core of fines was drawn. Default false."),
    may("packing", Number(0.3, 4.0), "Factor on the resistance of loose grain. Default the crop's customary factor."),
    may("fines", Quantity(Kind::Fraction, &["2 %"]), "Fines by mass. Default 0 %."),
    may(
        "still_air",
        Words(&["one-node", "rings"]),
        "How heat moves while the fan is off: through one node of the wall, or in rings by radius and height with sun. \
         Default one-node.",
    ),
    needs("lots", Tables(LOT, true), "What goes into it, in order of arrival."),
    may("choose", Table(money::CHOOSE), "What may be chosen in place of the outfit, for `weigh`."),
    may("layers", Table(LAYERS), "Filled in layers: each lot comes when what lies below it is dry enough."),
    may("aeration", Tables(STAGE, false), "Temperatures that dry grain is brought through, by stages."),
    may("batches", Table(BATCHES), "Dried in batches with heated air; the lots are one batch."),
    may("discharge", Table(DISCHARGE), "The lots come hot from a dryer and are tempered and cooled here."),
    may(
        "without_law",
        Words(&["refuse", "range"]),
        "Air above 30 °C over a crop without a published drying law: refuse it, or show a range without a verdict. Default refuse.",
    ),
    may(
        "use",
        Words(&["seed", "malting", "milling", "feed"]),
        "What the grain is for: sets the hottest air it may meet. Default not said, nothing judged.",
    ),
    may("conditioning", Table(CONDITIONING), "The grain is drier than the goal and is wetted to it."),
    needs("outfit", Table(OUTFIT), "Fans, burner and control."),
];

const STAGE: &Fields = &[
    needs("from", DAY, "Day from which it holds, until that of the next stage."),
    may("kind", Words(&["cool", "warm"]), "Which way the grain is to go. Default cool."),
    needs("to", TEMPERATURE, "Temperature of the grain to reach."),
    may("margin", DIFFERENCE, "How much colder (or warmer) than the grain the air must be. Default 3 K."),
    may("low", TEMPERATURE, "Coldest air to use. Default -20 °C."),
    may("high", TEMPERATURE, "Warmest air to use. Default the temperature to reach; 5 K above it when warming."),
    may("humidity", HUMIDITY, "Most humid air to use. Default 100 %."),
    may("sensor", SENSORS, "Where the air is measured. Default ambient."),
];

const BATCHES: &Fields = &[
    needs("count", Count(1, 400), "How many batches; each comes when the bin is empty."),
    may("fill", TIME, "From the first load of a batch to its last. Default 2 h."),
    may("cool", Flag, "Whether a batch is cooled in the bin. Default true."),
    may("cool_within", DIFFERENCE, "Cooled until its warmest grain is within this of the air outside. Default 5 K."),
    may("unload", TIME, "Time until the bin is empty. Default 2 h."),
    needs("to", Text(&["dry-bin"]), "Where the dry grain goes: a name to report it under."),
];

const DISCHARGE: &Fields = &[
    may("tempering", TIME, "Time without air after the last load. Default 0 h: cooled from the first load on."),
    may("hours_a_day", TIME, "Hours a day that the dryer runs, over which the loads of a day come. Default 24 h."),
];

const CONDITIONING: &Fields =
    &[may("most", MOISTURE, "Moisture of the wettest tenth that ends it. Default what the goal allows.")];

const WALL: Form = Words(&["smooth", "concrete", "corrugated"]);

const PAD: &Fields = &[
    may("diameter", Quantity(Kind::Length, &["24 ft"]), "Of a round pad; this or side."),
    may("side", Quantity(Kind::Length, &["20 ft"]), "Of a square pad."),
];

const DUCTS: &Fields = &[
    needs("count", Count(1, 100), "How many lie side by side, each fed at one end."),
    needs("diameter", Quantity(Kind::SmallLength, &["12 in", "300 mm"]), "Diameter of one."),
    may("shape", Words(&["round", "half-round"]), "Half-round ducts lie with their flat side down. Default round."),
    may("length", Quantity(Kind::Length, &["30 ft"]), "Mean length. Default the mean of chords across the bin."),
    may("wall", WALL, "What it is like inside. Default smooth."),
    may("regain", Number(0.0, 1.0), "Static regain factor. Default 0.7."),
];

const INLET: &Fields = &[
    may("form", Words(&["plain", "flush", "bell"]), "How it begins. Default plain, a pipe end standing free."),
    needs("area", Quantity(Kind::Area, &["4 ft2"]), "Area of the section behind it."),
    may("screen", Quantity(Kind::Fraction, &["60 %"]), "Open share of the screen before it. Default no screen."),
    may("screen_area", Quantity(Kind::Area, &["6 ft2"]), "Area of the screen. Default that of the inlet."),
];

const SUPPLY_DUCT: &Fields = &[
    may("diameter", Quantity(Kind::SmallLength, &["30 in"]), "Of a round duct; this or width and height."),
    may("width", Quantity(Kind::SmallLength, &["24 in"]), "Of a rectangular duct."),
    may("height", Quantity(Kind::SmallLength, &["30 in"]), "Of a rectangular duct."),
    needs("length", Quantity(Kind::Length, &["10 ft"]), "Length."),
    may("wall", WALL, "What it is like inside. Default smooth."),
    may("elbows", Count(0, 10), "Bends by a right angle. Default 0."),
    may("elbow", Words(&["round", "mitre", "vaned-mitre"]), "Their form. Default round."),
    may("elbow_radius", Number(0.5, 10.0), "round: radius of the centre line over the diameter. Default 1."),
];

const TRANSITION: &Fields = &[
    needs("from", Quantity(Kind::Area, &["4 ft2"]), "Area at the fan or duct."),
    needs("to", Quantity(Kind::Area, &["8 ft2"]), "Area at the plenum, where what is left of the jet is lost."),
    may("angle_degrees", Number(1.0, 180.0), "Total angle between its walls. Default it widens at once."),
];

const ROOF: &Fields = &[
    may("vents", Count(1, 500), "How many vents; the bin's own vents says their free area in one."),
    may("vent_area", Quantity(Kind::Area, &["2 ft2"]), "Free area of one, screens deducted."),
    may("discharge", Number(0.3, 0.95), "Discharge coefficient of the vents. Default 0.62."),
    may("bears", Quantity(Kind::Pressure, &["2 in wc"]), "Pressure from below that it bears, by its maker."),
];

const LOT: &Fields = &[
    needs("crop", Text(&["corn", "wheat", "soybean"]), "Crop, by name."),
    may("relation", Text(&["corn_mh_a"]), "Equilibrium set; the crop's default when left out."),
    may(
        "quantity",
        Pattern(QUANTITY, &["20000 bu", "500 t"]),
        "How much: legal bushels by weight as grain crosses the scale, or a mass as filled. Or give depth.",
    ),
    may("depth", Quantity(Kind::Length, &["18 ft", "5.5 m"]), "How deep it lies, in place of quantity."),
    may(
        "moisture",
        MOISTURE,
        "Mean moisture as filled, wet basis unless it says db. Needed, except where by_year or field says it.",
    ),
    may("moisture_sd", POINTS, "Standard deviation between loads. Default a tenth of the moisture."),
    may("temperature", TEMPERATURE, "Temperature as filled. Default the air at harvest and 2 K more."),
    may("from", DAY, "First day of filling, as MM-DD. Needed, except where by_year or field says it."),
    may(
        "by_year",
        Tables(LOT_YEAR, true),
        "The lot of single years. Others have moisture and from of the lot; without these they are left out.",
    ),
    may("field", Table(FIELD), "Dry-down in the field by the weather of each year, beside either from or moisture."),
    may("days", Count(1, 120), "Days of filling. Default 1."),
    may("loads_per_day", Count(1, 24), "Loads a day. Default 6."),
    may("life_used", Quantity(Kind::Fraction, &["10 %"]), "Storage life used on arrival. Default 0 %."),
    may("damage", Quantity(Kind::Fraction, &["30 %"]), "Mechanically damaged kernels by mass. Default 30 %."),
    may("test_weight", Quantity(Kind::BulkDensity, &["56 lb/bu", "72 kg/hL"]), "Measured test weight."),
    may("test_weight_moisture", MOISTURE, "Moisture at which it was measured. Default the lot's."),
];

const FARM: &Fields = &[
    may("order", Words(&["most-life", "as-listed"]), "Which bin takes a load when several may. Default most-life."),
    may(
        "most_life_used",
        Pattern(QUANTITY, &["50 %"]),
        "Storage life used by the grain of a bin at which it takes no further load. Default 50 %.",
    ),
    may("wait_days", Count(0, 120), "Days that a load waits in the field before it is sold wet. Default 10."),
    may("harvest", Tables(LOT, false), "What is harvested; the lots of the bins when left out."),
];

const LOT_YEAR: &Fields = &[
    needs("year", Count(1800, 2200), "Calendar year of the first load."),
    may("from", DAY, "First day of filling in that year. Default that of the lot."),
    may("moisture", MOISTURE, "Mean moisture as filled in that year. Default that of the lot."),
    may("temperature", TEMPERATURE, "Temperature as filled in that year. Default that of the lot."),
];

const FIELD: &Fields = &[
    needs("on", DAY, "Day of every year on which the field has the moisture."),
    needs("moisture", MOISTURE, "Moisture in the field on that day; for corn from 20 % to 30 % wet basis."),
    may("latest", DAY, "Beside a moisture to wait for: day on which it is harvested however wet it is."),
];

const OUTFIT: &Fields = &[
    needs("fans", Names(1, equipment::MAX_FANS as u32), "Fans of the catalogue, by name."),
    may("arrangement", Words(&["parallel", "series"]), "How the fans stand to each other. Default parallel."),
    may("draw", Words(&["up", "down"]), "Which way air passes the grain. Default up."),
    may("burner", NameOr(BURNER), "Burner of the catalogue by name, or a table that describes one."),
    may("firing", Table(FIRING), "How many burners there are, how they switch, and what their plate says of the gas."),
    may("control", Table(CONTROL), "When fans run while the bin is filled and dried. Default all the time."),
    may("cooling", Table(COOLING), "When fans run while dry grain is cooled and held."),
    may("sensors", NameOr(SENSOR_BAND), "Errors of its sensors, or \"ideal\" for none."),
    may("stop", Table(STOP), "By which rule drying is stopped. Default the ideal rule, which nobody can see."),
    may(
        "counterflow",
        Table(COUNTERFLOW),
        "Dry grain drawn from the floor, while the bin is filled and dried. Default none.",
    ),
    may("stirring", Table(STIRRING), "Stirring machine, while the bin is filled and dried. Default none."),
];

const SENSOR_BAND: &Fields = &[
    may("humidity", HUMIDITY, "Within this of what is there in 19 years of 20, at the start. Default 4 %."),
    may("temperature", DIFFERENCE, "The same of temperatures. Default 0.5 K."),
];

const STOP: &Fields = &[
    needs("kind", Words(&["ideal", "probe", "exhaust"]), "Rule; the other keys belong to some of the rules."),
    may("every", DAYS, "probe: time between two probings. Default 7 d."),
    may("depths", Count(1, 20), "probe: depths read in each part of the bin. Default 5."),
    may("over", DAYS, "exhaust: time of running fan over which entering and leaving air are compared. Default 7 d."),
];

const STIRRING: &Fields = &[
    may("every", TIME, "From the end of one round to the end of the next. Default 24 h."),
    may("round", TIME, "Time that a round takes. Default all of it."),
    may("clearance", Quantity(Kind::Length, &["4 in", "0.1 m"]), "Height left above the floor. Default 0.1 m."),
    needs("power", Quantity(Kind::ElectricPower, &["2 hp", "1.5 kW"]), "Electric power of its motors."),
    may("when", Words(&["always", "filling-then-front"]), "When it runs. Default always."),
    may(
        "front",
        Quantity(Kind::Length, &["2 ft"]),
        "filling-then-front: depth of the front at which it goes on. Default 0.6 m.",
    ),
];

const COUNTERFLOW: &Fields = &[
    may("moisture", MOISTURE, "Draw when the grain at the sensor is at or below it. Or give temperature."),
    may("temperature", TEMPERATURE, "Draw when the grain at the sensor is at or above it, in place of moisture."),
    may("height", Quantity(Kind::Length, &["1 ft", "0.3 m"]), "Height of the sensor above the floor. Default 0.3 m."),
    may("layer", Quantity(Kind::Length, &["4 in", "0.1 m"]), "Depth drawn at once. Default 0.1 m."),
    may(
        "keep",
        Quantity(Kind::Length, &["2 ft", "0.6 m"]),
        "Depth that stays and is dried where it lies. Default 0.6 m.",
    ),
    needs("to", Text(&["dry-bin"]), "Where the drawn grain goes: a name to report it under."),
];

const LAYERS: &Fields = &[may(
    "dry_enough",
    MOISTURE,
    "Reading of the wettest tenth at which the next lot may come. Default what the goal allows it.",
)];

const BURNER: &Fields = &[
    needs("capacity", Quantity(Kind::HeatRate, &["250000 Btu/h", "75 kW"]), "Heat to the air."),
    needs("fuel", Words(&["propane", "natural-gas", "electric"]), "What it burns."),
    may("side", Words(&["discharge", "inlet"]), "On which side of the fan it stands. Default discharge."),
    may("firing", Words(&["on-off", "high-low", "modulating"]), "How its fire is set. Default on-off."),
    may(
        "minimum_fire",
        Quantity(Kind::Fraction, &["25 %"]),
        "Lowest fire of high-low and modulating ones, or turndown.",
    ),
    may("turndown", Number(1.0, 100.0), "Full fire over lowest fire, in place of minimum_fire."),
    may("indirect_efficiency", Quantity(Kind::Fraction, &["80 %"]), "Only where flue gas stays out of the air."),
    may("temperature_limit", TEMPERATURE, "Limit of the air after it."),
    may("source", Text(&["plate of the burner"]), "Where its figures were taken from."),
    may("date", Pattern(r"^\s*\d{4}(-\d{2}){0,2}\s*$", &["2019", "2019-06-15"]), "Date of its figures."),
    may("rating", Text(&["input by the meter"]), "For which conditions they hold and how they were taken."),
];

const FIRING: &Fields = &[
    may(
        "burners",
        Count(1, equipment::MAX_FANS as u32),
        "Equal burners of the capacity named, each on its own fan. Default 1.",
    ),
    may(
        "sharing",
        Words(&["in-step", "in-sequence", "on-their-own"]),
        "All together, one after the other as needed, or each by its own thermostat. Default in-step.",
    ),
    may("dead_band", DIFFERENCE, "Dead band of a thermostat, whole width. Default 2 K."),
    may("humidity_band", HUMIDITY, "Dead band of a humidistat, whole width. Default 4 %."),
    may("ignition", Quantity(Kind::Hours, &["20 s"]), "From the call for heat until it burns. Default 20 s."),
    may(
        "steel",
        Quantity(Kind::Mass, &["3000 lb", "1400 kg"]),
        "Steel between flame and thermostat. Default 15 kg per m² of floor.",
    ),
    may("gas_pressure", Quantity(Kind::GasPressure, &["5 psi", "11 in wc"]), "At the orifice for full fire."),
    may("orifice", Quantity(Kind::Bore, &["0.25 in", "6.4 mm"]), "Diameter of the orifice of one burner."),
];

const CONTROL: &Fields = &[
    needs(
        "kind",
        Words(&["continuous", "clock", "humidity-window", "equilibrium-window", "off"]),
        "Rule of the fans; the other keys belong to some of the rules.",
    ),
    may("from", CLOCK, "clock: first hour by the wall clock."),
    may("to", CLOCK, "clock: hour at which the fans stop."),
    may("low", Pattern(QUANTITY, &["55 %"]), "Windows: low end, in humidity or in equilibrium moisture."),
    may("high", Pattern(QUANTITY, &["75 %"]), "Windows: high end."),
    may("sensor", SENSORS, "Windows: where the air is measured. Default ambient."),
    may("wet_override", MOISTURE, "clock and windows: fans run regardless while the wettest probe is above it."),
    may("dead_band", Pattern(QUANTITY, &["2 %"]), "Windows: how far inside the air must be to start. Default none."),
    may("averaging", TIME, "Time over which readings are averaged. Default none."),
    may("minimum_run", TIME, "Shortest run. Default none."),
    may("minimum_rest", TIME, "Shortest rest. Default none."),
    may("burner", Table(BURNER_RULE), "What the burner is asked. Default off."),
];

const BURNER_RULE: &Fields = &[
    needs("kind", Words(&["rise", "thermostat", "humidistat", "both", "off"]), "Rule of the burner."),
    may("rise", DIFFERENCE, "rise: warming of the air."),
    may("temperature", TEMPERATURE, "thermostat and both: temperature of the plenum."),
    may("humidity", HUMIDITY, "humidistat and both: relative humidity of the plenum."),
];

const COOLING: &Fields = &[
    needs("kind", Words(&["temperature-window", "continuous", "off"]), "Rule of the fans."),
    may("colder_by", DIFFERENCE, "How much colder than the mean of the grain the air must be. Default 3 K."),
    may("low", TEMPERATURE, "Coldest air to use. Default -20 °C."),
    may("high", TEMPERATURE, "Warmest air to use. Default 10 °C."),
    may("sensor", SENSORS, "Where the air is measured. Default ambient."),
];

/// Returns the JSON Schema (draft 2020-12) of the site file.
///
/// Quantities are texts with a unit; the description of each lists the units that are understood.
pub fn site_schema() -> Schema {
    let mut schema = json_schema!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Site file of Binwright",
        "description": "A place, a goal, prices and bins with what goes into them. Written as TOML.",
    });
    if let Value::Object(top) = table(SITE) {
        top.into_iter().for_each(|(key, value)| {
            schema.insert(key, value);
        });
    }
    schema
}

fn table(fields: &Fields) -> Value {
    let properties: Map<String, Value> = fields.iter().map(|field| (field.key.to_string(), property(field))).collect();
    let needed: Vec<&str> = fields.iter().filter(|field| field.needed).map(|field| field.key).collect();
    json!({ "type": "object", "properties": properties, "required": needed, "additionalProperties": false })
}

fn property(field: &Field) -> Value {
    let mut schema = match &field.form {
        Quantity(_, examples) => json!({ "type": "string", "pattern": QUANTITY, "examples": examples }),
        Pattern(pattern, examples) => json!({ "type": "string", "pattern": pattern, "examples": examples }),
        Text(examples) => json!({ "type": "string", "minLength": 1, "examples": examples }),
        Words(words) => json!({ "type": "string", "enum": words }),
        Number(low, high) => json!({ "type": "number", "minimum": low, "maximum": high }),
        Count(low, high) => json!({ "type": "integer", "minimum": low, "maximum": high }),
        Flag => json!({ "type": "boolean" }),
        Texts(count) => {
            json!({ "type": "array", "items": { "type": "string", "pattern": QUANTITY }, "minItems": count, "maxItems": count })
        }
        Names(low, high) => {
            json!({ "type": "array", "items": { "type": "string", "pattern": NAME }, "minItems": low, "maxItems": high })
        }
        Table(fields) => table(fields),
        Tables(fields, needed) => json!({ "type": "array", "items": table(fields), "minItems": u8::from(*needed) }),
        Named(fields) => json!({
            "type": "object",
            "patternProperties": { (NAME): table(fields) },
            "additionalProperties": false,
            "minProperties": 1,
        }),
        Form::Priced(pattern) => json!({
            "type": "object",
            "patternProperties": { (NAME): { "type": "string", "pattern": pattern } },
            "additionalProperties": false,
        }),
        Form::Steps => json!({
            "type": "array",
            "items": { "type": "array", "items": { "type": "string" }, "minItems": 2, "maxItems": 2 },
            "minItems": 1,
        }),
        NameOr(fields) => json!({ "oneOf": [{ "type": "string", "pattern": NAME }, table(fields)] }),
    };
    let mut says = field.says.to_string();
    if let Quantity(kind, _) = field.form {
        let names = units::units(kind).iter().filter_map(|unit| unit.names.first());
        let names: Vec<&str> = names.copied().filter(|name| !name.is_empty()).collect();
        let bases = if kind == Kind::MoistureWetBasis { ", % db" } else { "" };
        says.push_str(&format!(" Units: {}{bases}.", names.join(", ")));
    }
    if let Value::Object(map) = &mut schema {
        map.insert("description".into(), says.into());
    }
    schema
}

#[cfg(test)]
#[path = "schema_tests.rs"]
mod tests;
