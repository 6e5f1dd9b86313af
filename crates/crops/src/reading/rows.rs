//! Reads the rows that crops refer to by name, and the source that every row must state.

use crate::bulk::TypicalRange;
use crate::capability::Confidence;
use crate::evidence::{Banded, Evidence, Sourced};
use crate::isotherm::{IsothermSet, SetUse};
use crate::kinetics::CompartmentFit;
use crate::line::MoistureLine;
use crate::resistance::ResistanceRow;
use crate::storage::StorageRow;
use notice::{Diagnostic, Range, Source, Status, nearest};
use physics::grain::MoisturePolynomial;
use physics::isotherm::IsothermForm;
use physics::kinetics::{Arrhenius, ThinLayer, TwoCompartment};
use physics::resistance::LogLaw;
use physics::storability::StorageLaw;
use sheet::Node;
use std::collections::{BTreeMap, BTreeSet};

/// Temperatures a data file may speak of, °C.
const TEMPERATURE: (f64, f64) = (-60.0, 150.0);
/// Any finite number.
const ANY: (f64, f64) = (f64::MIN, f64::MAX);

const STATUS: [(&str, Status); 6] = [
    ("verified", Status::Verified),
    ("seen", Status::Seen),
    ("memory", Status::Memory),
    ("judgement", Status::Judgement),
    ("common-practice", Status::CommonPractice),
    ("computed", Status::Computed),
];

const CONFIDENCE: [(&str, Confidence); 3] =
    [("high", Confidence::High), ("medium", Confidence::Medium), ("low", Confidence::Low)];

/// Rows by name.
#[derive(Debug, Clone, Default)]
pub(crate) struct Shared {
    pub sources: BTreeMap<String, String>,
    pub isotherms: BTreeMap<String, IsothermSet>,
    pub resistance: BTreeMap<String, ResistanceRow>,
    pub fits: BTreeMap<String, CompartmentFit>,
    pub bulk_density: BTreeMap<String, MoistureLine>,
    pub kernel_density: BTreeMap<String, MoistureLine>,
    pub specific_heat: BTreeMap<String, MoistureLine>,
    pub conductivity: BTreeMap<String, MoistureLine>,
    pub storage: BTreeMap<String, StorageRow>,
    pub adsorption_offset: Option<Sourced<Banded>>,
    pub shrink: Option<Sourced<Banded>>,
    /// Rows that could not be read: what refers to them is not a second fault.
    pub faulty: BTreeSet<String>,
}

impl Shared {
    /// Adds the rows of one file.
    pub fn read(&mut self, top: &Node<'_, '_>) {
        for (id, row) in named(top, "sources") {
            if let Some(citation) = row.needed_text("citation", "Author, Title, year") {
                self.sources.insert(id, citation);
            }
            row.close();
        }
        if let Some(row) = top.table("adsorption_offset") {
            self.adsorption_offset = self.points(row);
        }
        if let Some(row) = top.table("shrink") {
            self.shrink = self.percent_of_depth(row);
        }
        read_into(&mut self.isotherms, &mut self.faulty, top, "isotherms", |id, row| isotherm(id, row, &self.sources));
        read_into(&mut self.resistance, &mut self.faulty, top, "resistance", |id, row| {
            resistance(id, row, &self.sources)
        });
        read_into(&mut self.fits, &mut self.faulty, top, "kinetics", |id, row| fit(id, row, &self.sources));
        read_into(&mut self.storage, &mut self.faulty, top, "storage", |id, row| storage(id, row, &self.sources));
        let lines = [
            ("bulk_density", "coefficients_kg_m3", &mut self.bulk_density),
            ("kernel_density", "coefficients_kg_m3", &mut self.kernel_density),
            ("specific_heat", "coefficients_j_kg_k", &mut self.specific_heat),
            ("conductivity", "coefficients_w_m_k", &mut self.conductivity),
        ];
        for (table, coefficients, rows) in lines {
            read_into(rows, &mut self.faulty, top, table, |id, row| line(id, row, coefficients, &self.sources));
        }
    }

    /// An offset in percentage points with its band, as fractions.
    pub fn points(&self, row: Node<'_, '_>) -> Option<Sourced<Banded>> {
        let value = row.needed_number("points_wb", 0.0, 10.0);
        let range = row.needed_range("range_points_wb", 0.0, 10.0);
        self.banded(row, value, range)
    }

    /// A share of the depth in percent with its band, as fractions.
    pub fn percent_of_depth(&self, row: Node<'_, '_>) -> Option<Sourced<Banded>> {
        let value = row.needed_number("percent_of_depth_per_point", 0.0, 10.0);
        let range = row.needed_range("range_percent", 0.0, 10.0);
        self.banded(row, value, range)
    }

    fn banded(&self, row: Node<'_, '_>, value: Option<f64>, range: Option<Range>) -> Option<Sourced<Banded>> {
        let evidence = self.evidence(&row);
        row.close();
        let (value, range) = (value?, range?);
        let value = Banded { value: value / 100.0, low: range.low / 100.0, high: range.high / 100.0 };
        Some(Sourced { value, evidence: evidence? })
    }

    /// The source, status and note that every row states.
    pub fn evidence(&self, row: &Node<'_, '_>) -> Option<Evidence> {
        evidence(row, &self.sources)
    }

    /// A typical range of air-dry grain.
    pub fn typical(&self, row: Node<'_, '_>, key: &'static str, high: f64) -> Option<TypicalRange> {
        let range = row.needed_range(key, 0.0, high);
        let evidence = self.evidence(&row);
        row.close();
        Some(TypicalRange { range: range?, evidence: evidence? })
    }
}

/// The rows of a table keyed by name.
fn named<'a, 'i>(top: &Node<'a, 'i>, key: &'static str) -> Vec<(String, Node<'a, 'i>)> {
    let Some(table) = top.table(key) else { return Vec::new() };
    table.names().into_iter().filter_map(|id| table.named(&id).map(|row| (id, row))).collect()
}

fn read_into<T>(
    rows: &mut BTreeMap<String, T>,
    faulty: &mut BTreeSet<String>,
    top: &Node<'_, '_>,
    key: &'static str,
    read: impl Fn(&str, &Node<'_, '_>) -> Option<T>,
) {
    for (id, row) in named(top, key) {
        match read(&id, &row) {
            Some(value) => {
                rows.insert(id, value);
            }
            None => {
                faulty.insert(id);
            }
        }
        row.close();
    }
}

fn evidence(row: &Node<'_, '_>, sources: &BTreeMap<String, String>) -> Option<Evidence> {
    let key = row.needed_text("source", "a key of the bibliography");
    if !row.has("status") {
        row.missing("status", "status = \"seen\"");
    }
    let status = row.choice("status", &STATUS);
    let note = row.text("note");
    let key = key?;
    let Some(citation) = sources.get(&key) else {
        unknown_source(row, &key, sources.keys().map(String::as_str));
        return None;
    };
    Some(Evidence { source: Source::new(citation.clone(), status?), key, lent_from: None, note })
}

/// Records a source that leads nowhere.
fn unknown_source<'w>(row: &Node<'_, '_>, key: &str, known: impl Iterator<Item = &'w str>) {
    let help = match nearest(key, known) {
        Some(near) => format!("did you mean {near:?}?"),
        None => format!("add the work: [sources.{key}] with citation = \"...\""),
    };
    let wrong = Diagnostic::error("unknown-source", format!("source is {key:?}"), row.place("source"));
    row.add(wrong.allowed("must be a key of the bibliography").help(help));
}

fn isotherm(id: &str, row: &Node<'_, '_>, sources: &BTreeMap<String, String>) -> Option<IsothermSet> {
    const FORMS: [&str; 6] = [
        "modified-henderson",
        "modified-chung-pfost",
        "modified-halsey",
        "modified-oswin",
        "henderson-thompson-fahrenheit",
        "cromarty",
    ];
    let form = row.needed_text("form", "modified-chung-pfost");
    let form = match form.as_deref() {
        None => None,
        // The oil content is the crop's own and is filled in where a crop uses the set.
        Some("cromarty") => Some(IsothermForm::Cromarty { oil: 0.0 }),
        Some("henderson-thompson-fahrenheit") => row.needed_number("a", 0.0, 1.0).map(IsothermForm::henderson_thompson),
        Some(form) if FORMS.contains(&form) => constants(form, row),
        Some(form) => {
            row.unknown_word("form", form, FORMS.into_iter());
            None
        }
    };
    let material = row.needed_text("material", "what was tested");
    let temperature = row.needed_range("temperature_c", TEMPERATURE.0, TEMPERATURE.1);
    let humidity = row.needed_range("relative_humidity", 0.0, 1.0);
    let use_as = row.choice(
        "use",
        &[
            ("primary", SetUse::Primary),
            ("alternative", SetUse::Alternative),
            ("caution", SetUse::Caution),
            ("fallback", SetUse::Fallback),
        ],
    );
    let verification = row.text("verification");
    let evidence = evidence(row, sources);
    Some(IsothermSet {
        id: id.into(),
        material: material?,
        form: form?,
        temperature: temperature?,
        humidity: humidity?,
        use_as: use_as.unwrap_or(SetUse::Alternative),
        verification,
        evidence: evidence?,
    })
}

fn constants(form: &str, row: &Node<'_, '_>) -> Option<IsothermForm> {
    let a = row.needed_number("a", ANY.0, ANY.1);
    let b = row.needed_number("b", ANY.0, ANY.1);
    let c = row.needed_number("c", ANY.0, ANY.1);
    let (a, b, c) = (a?, b?, c?);
    Some(match form {
        "modified-henderson" => IsothermForm::ModifiedHenderson { a, b, c },
        "modified-chung-pfost" => IsothermForm::ModifiedChungPfost { a, b, c },
        "modified-halsey" => IsothermForm::ModifiedHalsey { a, b, c },
        _ => IsothermForm::ModifiedOswin { a, b, c },
    })
}

fn resistance(id: &str, row: &Node<'_, '_>, sources: &BTreeMap<String, String>) -> Option<ResistanceRow> {
    let material = row.needed_text("material", "what was tested");
    let a = row.needed_number("a_pa_s2_m3", 1.0, 1e7);
    let b = row.needed_number("b_m2_s_m3", 0.01, 1e5);
    let velocity = row.needed_range("velocity_m_s", 0.0, 5.0);
    let low_airflow = row.flag("low_airflow").unwrap_or(false);
    let confidence = row.choice("confidence", &CONFIDENCE).unwrap_or(Confidence::Medium);
    let evidence = evidence(row, sources);
    Some(ResistanceRow {
        id: id.into(),
        material: material?,
        law: LogLaw { a: a?, b: b? },
        velocity: velocity?,
        low_airflow,
        confidence,
        evidence: evidence?,
    })
}

fn fit(id: &str, row: &Node<'_, '_>, sources: &BTreeMap<String, String>) -> Option<CompartmentFit> {
    let shell_share = row.needed_number("shell_share", 0.001, 0.999);
    let shell = arrhenius(row, "shell_ln_a", "shell_b_k");
    let core = arrhenius(row, "core_ln_a", "core_b_k");
    let fitted_to = row.needed_text("fitted_to", "TL-C1");
    if let Some(law) = fitted_to.as_deref().filter(|law| ThinLayer::from_id(law).is_none()) {
        row.unknown_word("fitted_to", law, ThinLayer::ALL.iter().map(|law| law.id()));
    }
    let rms_misfit = row.needed_number("rms_misfit", 0.0, 1.0);
    let max_misfit = row.needed_number("max_misfit", 0.0, 1.0);
    let temperature = row.needed_range("temperature_c", TEMPERATURE.0, TEMPERATURE.1);
    let evidence = evidence(row, sources);
    Some(CompartmentFit {
        id: id.into(),
        constants: TwoCompartment { shell_share: shell_share?, shell: shell?, core: core? },
        fitted_to: fitted_to?,
        rms_misfit: rms_misfit?,
        max_misfit: max_misfit?,
        temperature: temperature?,
        evidence: evidence?,
    })
}

fn arrhenius(row: &Node<'_, '_>, ln_a: &'static str, b: &'static str) -> Option<Arrhenius> {
    let ln_a = row.needed_number(ln_a, -100.0, 200.0);
    let b = row.needed_number(b, 0.0, 50_000.0);
    Some(Arrhenius { ln_a: ln_a?, b: b? })
}

fn line(
    id: &str,
    row: &Node<'_, '_>,
    coefficients: &'static str,
    sources: &BTreeMap<String, String>,
) -> Option<MoistureLine> {
    if !row.has("moisture") {
        row.missing("moisture", "moisture = \"fraction-wb\"");
    }
    let percent = row.choice("moisture", &[("fraction-wb", false), ("percent-wb", true)]);
    if !row.has(coefficients) {
        row.missing(coefficients, &format!("{coefficients} = [numbers]"));
    }
    let values = row.numbers(coefficients);
    let range = row.needed_range("range", 0.0, 99.0);
    let evidence = evidence(row, sources);
    let (percent, values, range) = (percent?, values?, range?);
    if values.is_empty() || values.len() > 4 {
        let found = format!("{coefficients} has {} numbers", values.len());
        row.fault(coefficients, "not-a-line", found, "must have 1 to 4: constant, linear, quadratic, cubic");
        return None;
    }
    let scale = if percent { 100.0 } else { 1.0 };
    let range = Range::new(range.low / scale, range.high / scale);
    let mut c = [0.0; 4];
    c[..values.len()].copy_from_slice(&values);
    let polynomial =
        if percent { MoisturePolynomial::for_percent(c, range) } else { MoisturePolynomial::new(c, range) };
    let line = MoistureLine { id: id.into(), polynomial, evidence: evidence? };
    let positive = (0..=20).all(|i| line.at(range.low + f64::from(i) / 20.0 * (range.high - range.low)) > 0.0);
    if range.high >= 1.0 || !positive {
        row.fault(coefficients, "not-a-line", "the line is not positive over its range", "must be above zero");
        return None;
    }
    Some(line)
}

fn storage(id: &str, row: &Node<'_, '_>, sources: &BTreeMap<String, String>) -> Option<StorageRow> {
    const LAWS: [&str; 5] =
        ["corn-dry-matter-loss", "cereal-table", "wheat-germination", "rice-dry-matter-loss", "viability"];
    let percent = |key| row.needed_number(key, 0.01, 50.0).map(|p| p / 100.0);
    let law = match row.needed_text("law", "cereal-table").as_deref() {
        None => None,
        Some("corn-dry-matter-loss") => {
            let loss = percent("loss_percent");
            let damage = row.needed_number("damage_percent", 0.0, 100.0);
            loss.zip(damage).map(|(loss, d)| StorageLaw::CornDryMatterLoss { loss, damage: d / 100.0 })
        }
        Some("cereal-table") => {
            let shift = row.needed_number("moisture_shift_points", -10.0, 20.0);
            shift.map(|s| StorageLaw::CerealTable { moisture_shift: s / 100.0 })
        }
        Some("wheat-germination") => {
            row.needed_number("divide_time_by", 0.1, 10.0).map(|divide| StorageLaw::WheatGermination { divide })
        }
        Some("rice-dry-matter-loss") => {
            let a = row.needed_number("a", 0.0, 1.0);
            let c = row.needed_number("c", 0.01, 2.0);
            let d = row.needed_number("d_per_f", 0.0, 1.0);
            let e = row.needed_number("e", 0.0, 200.0);
            let loss = percent("loss_percent");
            match (a, c, d, e, loss) {
                (Some(a), Some(c), Some(d), Some(e), Some(loss)) => {
                    Some(StorageLaw::RiceDryMatterLoss { a, c, d, e, loss })
                }
                _ => None,
            }
        }
        Some("viability") => {
            let k_e = row.needed_number("k_e", 0.0, 30.0);
            let c_w = row.needed_number("c_w", 0.0, 20.0);
            let c_h = row.needed_number("c_h", 0.0, 1.0);
            let c_q = row.needed_number("c_q", 0.0, 0.1);
            let probits = row.needed_number("probits", 0.01, 5.0);
            match (k_e, c_w, c_h, c_q, probits) {
                (Some(k_e), Some(c_w), Some(c_h), Some(c_q), Some(probits)) => {
                    Some(StorageLaw::Viability { k_e, c_w, c_h, c_q, probits })
                }
                _ => None,
            }
        }
        Some(law) => {
            row.unknown_word("law", law, LAWS.into_iter());
            None
        }
    };
    let judges = row.needed_text("judges", "mould to be seen");
    let confidence = row.choice("confidence", &CONFIDENCE).unwrap_or(Confidence::Medium);
    let evidence = evidence(row, sources);
    Some(StorageRow { id: id.into(), law: law?, judges: judges?, confidence, evidence: evidence? })
}
