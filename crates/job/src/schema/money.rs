//! Forms of what things cost beside energy, of remedies, and of what may be chosen.

use super::Form::{Count, Flag, Names, Number, Pattern, Priced, Quantity, Steps, Table, Tables, Words};
use super::{CONTROL, DAY_COUNT, Fields, Form, MOISTURE, STIRRING, may, needs};
use notice::Kind;

const MONEY: &str = r"^.*\d.*$";
const RATE: &str = r"^.*\d.*/.*$";

pub(super) const GRAIN: Form = Pattern(RATE, &["4.10 $/bu", "190 EUR/t"]);
pub(super) const DEMAND: Form = Pattern(RATE, &["9.50 $/kW"]);
pub(super) const WAGE: Form = Pattern(RATE, &["22 $/h"]);
pub(super) const AMOUNT: Form = Pattern(MONEY, &["5200 $"]);
pub(super) const PRICED: Form = Priced(MONEY);
pub(super) const DAMAGE_STEPS: Form = Steps;
const FRACTION: Form = Quantity(Kind::Fraction, &["1 %"]);

pub(super) const REMEDY: &Fields = &[
    needs("kind", Words(&["custom-drying", "sale-wet", "spring-finish"]), "What is done with sound grain that is wet."),
    may("charge_per_point", GRAIN, "custom-drying: charge for each point on a measure of wet grain."),
    may("charge", GRAIN, "spring-finish: what it costs for a measure of wet grain."),
    may("hauling", GRAIN, "Hauling of a measure of wet grain. Default nothing."),
    may("spoiled", GRAIN, "What spoiled grain still brings, for a measure at base moisture."),
    may("damage", FRACTION, "Damaged kernels of grain that used up its storage life, for the table of prices.damage."),
];

pub(super) const OWNERSHIP: &Fields = &[
    may(
        "form",
        Words(&["capital-recovery", "straight-line"]),
        "How the price is spread. Default capital-recovery, exact.",
    ),
    needs("interest", FRACTION, "Interest a year; the real one where prices stay."),
    needs("years", Count(1, 60), "Years of life."),
    may("salvage", FRACTION, "Worth at the end, share of the price. Default 0 %."),
    may("taxes", FRACTION, "Taxes a year, share of the price. Default 0 %."),
    may("insurance", FRACTION, "Insurance a year, share of the price. Default 0 %."),
    may("repairs", FRACTION, "Repairs a year, share of the price. Default 0 %."),
    may("grant", FRACTION, "Share of the price that a grant pays. Default 0 %."),
];

pub(super) const WET: &Fields = &[
    needs("base", MOISTURE, "Base moisture of the buyer."),
    may("shrink_percent_per_point", Number(0.0, 10.0), "Weight taken off a point, %. Default the exact shrink."),
    may("discount_percent_per_point", Number(0.0, 10.0), "Price taken off a point on wet grain, %. Default none."),
    may("charges", Steps, "Stepped charges: rows of the moisture above which one holds, and the charge on wet grain."),
];

pub(super) const CHOOSE: &Fields = &[
    may("fans", Names(1, 1000), "Fans to choose from. Default every fan of the catalogue."),
    may("most_fans", Count(1, equipment::MAX_FANS as u32), "Most fans of an outfit. Default 2."),
    may("arrangements", Names(1, 2), "How they may stand: parallel, series. Default parallel."),
    may("burners", Names(0, 1000), "Burners to choose from beside none. Default that of the outfit."),
    may("controls", Tables(CONTROL, false), "Controls to choose from. Default that of the outfit."),
    may("fillings", Tables(FILLING, false), "Ways of filling beside that of the lots."),
    may("stirring", Table(STIRRING), "Stirring machine that may be chosen beside none."),
    may("owned", Names(0, 1000), "Equipment that is owned already, named as often as there are pieces."),
    may("supply", Table(SUPPLY), "Supply for this bin. Default no limit."),
    may("gas", Flag, "Whether there is fuel. Default true."),
    may("quiet", Table(QUIET), "Most sound at the house. Default no limit."),
    may("budget", AMOUNT, "Most money for what is not owned. Default no limit."),
    may(
        "harvest_per_day",
        Pattern(super::QUANTITY, &["5000 bu", "120 t"]),
        "What comes from the field a day and cannot wait.",
    ),
];

pub(super) const FILLING: &Fields = &[
    may("share", Quantity(Kind::Fraction, &["75 %"]), "Share of the quantity of every lot. Default all of it."),
    may("days", DAY_COUNT, "Days of filling of every lot. Default as it stands."),
    may("layers", Count(1, 12), "Filled in layers, so many of equal size. Default 1: none."),
];

pub(super) const SUPPLY: &Fields = &[
    needs("phases", Words(&["single", "three"]), "Phases."),
    needs("volts", Number(100.0, 1000.0), "Voltage, V."),
    needs("amps", Number(1.0, 10_000.0), "Current that may be drawn for this bin, A."),
];

pub(super) const QUIET: &Fields = &[
    needs("dba", Number(20.0, 120.0), "Most sound, dB(A)."),
    needs("distance", Quantity(Kind::Length, &["200 ft", "60 m"]), "Distance from the fans."),
];
