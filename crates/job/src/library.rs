//! What a site file calls by name: weather, fans, burners, crops. A folder beside the file, memory, or what is built in.
//!
//! Names are names, never paths: letters, digits, dot, hyphen and underscore, so that a file from elsewhere cannot reach
//! outside its folder.

use crate::catalogue::{Catalogue, read_catalogue};
use crate::parse::{QuantityError, shown};
use equipment::{Burner, Fan};
use notice::{Diagnostic, Diagnostics, Place};
use sheet::LARGEST_TEXT;
use std::collections::BTreeMap;
use std::io::{ErrorKind, Read as _};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use weather::{Hints, Series};

/// Largest file that is read from a folder, bytes.
const LARGEST_FILE: u64 = 256 << 20;

/// Where names lead.
pub trait Library {
    /// Names of all weather records, in order.
    fn weather_names(&self) -> Vec<String>;
    /// A weather record; `None` when no record has the name. The hints say what a file may leave out.
    fn weather(&self, name: &str, hints: &Hints) -> Option<Result<Series, Diagnostics>>;
    /// All fans.
    fn fans(&self) -> &[Fan];
    /// All burners.
    fn burners(&self) -> &[Burner];
    /// All crops.
    fn crops(&self) -> &crops::Library;
}

/// Refuses what is no plain name.
///
/// # Errors
/// When it is empty, longer than 80 characters, begins with a dot or holds anything but letters, digits, `.`, `-`, `_`.
pub fn check_name(name: &str) -> Result<(), QuantityError> {
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_');
    if (1..=80).contains(&name.len()) && !name.starts_with('.') && name.chars().all(plain) {
        return Ok(());
    }
    Err(QuantityError::new("not-a-name", format!("name {:?}", shown(name)))
        .allowed("must be 1 to 80 letters, digits, dots, hyphens and underscores, not beginning with a dot"))
}

fn built_in_crops() -> &'static crops::Library {
    static CROPS: OnceLock<crops::Library> = OnceLock::new();
    CROPS.get_or_init(crops::Library::built_in)
}

/// What is compiled in: the bundled weather, the invented demonstration catalogue, the published crops.
#[derive(Debug, Clone)]
pub struct BuiltIn {
    fans: Vec<Fan>,
    burners: Vec<Burner>,
}

impl BuiltIn {
    /// The library.
    pub fn new() -> Self {
        Self { fans: equipment::demo::demo_catalogue(), burners: equipment::demo::demo_burners() }
    }
}

impl Default for BuiltIn {
    fn default() -> Self {
        Self::new()
    }
}

impl Library for BuiltIn {
    fn weather_names(&self) -> Vec<String> {
        weather::BUNDLED.iter().map(|name| name.to_string()).collect()
    }

    fn weather(&self, name: &str, _: &Hints) -> Option<Result<Series, Diagnostics>> {
        weather::bundled(name).map(Ok)
    }

    fn fans(&self) -> &[Fan] {
        &self.fans
    }

    fn burners(&self) -> &[Burner] {
        &self.burners
    }

    fn crops(&self) -> &crops::Library {
        built_in_crops()
    }
}

/// Records, equipment and crops in memory, on top of what is built in; the last of a name counts.
#[derive(Debug, Clone)]
pub struct MemoryLibrary {
    /// Weather by name.
    pub weather: BTreeMap<String, Series>,
    fans: Vec<Fan>,
    burners: Vec<Burner>,
    crops: crops::Library,
}

impl MemoryLibrary {
    /// Only what is built in.
    pub fn new() -> Self {
        let built_in = BuiltIn::new();
        Self {
            weather: BTreeMap::new(),
            fans: built_in.fans,
            burners: built_in.burners,
            crops: built_in_crops().clone(),
        }
    }

    /// Adds a weather record.
    pub fn with_weather(mut self, name: &str, series: Series) -> Self {
        self.weather.insert(name.into(), series);
        self
    }

    /// Adds a catalogue.
    pub fn with_catalogue(mut self, catalogue: Catalogue) -> Self {
        self.fans.retain(|fan| catalogue.fans.iter().all(|other| other.id != fan.id));
        self.burners.retain(|burner| catalogue.burners.iter().all(|other| other.id != burner.id));
        self.fans.splice(0..0, catalogue.fans);
        self.burners.splice(0..0, catalogue.burners);
        self
    }

    /// Replaces the crops.
    pub fn with_crops(mut self, crops: crops::Library) -> Self {
        self.crops = crops;
        self
    }
}

impl Default for MemoryLibrary {
    fn default() -> Self {
        Self::new()
    }
}

impl Library for MemoryLibrary {
    fn weather_names(&self) -> Vec<String> {
        let built_in = weather::BUNDLED.iter().map(|name| name.to_string());
        let mut names: Vec<String> = self.weather.keys().cloned().chain(built_in).collect();
        names.sort();
        names.dedup();
        names
    }

    fn weather(&self, name: &str, _: &Hints) -> Option<Result<Series, Diagnostics>> {
        self.weather.get(name).cloned().or_else(|| weather::bundled(name)).map(Ok)
    }

    fn fans(&self) -> &[Fan] {
        &self.fans
    }

    fn burners(&self) -> &[Burner] {
        &self.burners
    }

    fn crops(&self) -> &crops::Library {
        &self.crops
    }
}

/// A folder beside the site file, on top of what is built in:
///
/// * `weather/NAME.csv`, `.epw`, `.gz` and whatever else, one file a record; or `weather/NAME/` with one file a station-year,
///   joined;
/// * `catalogue.toml`: fans and burners;
/// * `crops/NAME.toml`: crops and varieties of the user's own.
#[derive(Debug, Clone)]
pub struct FolderLibrary {
    records: BTreeMap<String, PathBuf>,
    rest: MemoryLibrary,
}

impl FolderLibrary {
    /// Opens a folder. Parts that are not there are left out; weather is read when it is asked for.
    ///
    /// # Errors
    /// All that is wrong with the catalogue and the crop files.
    pub fn open(folder: &Path) -> Result<Self, Diagnostics> {
        let mut wrong = Diagnostics::default();
        let mut rest = MemoryLibrary::new();
        let catalogue = folder.join("catalogue.toml");
        // Whatever bears the name is read, so that a folder or a dead link is said and not passed over.
        if std::fs::symlink_metadata(&catalogue).is_ok() {
            match text(&catalogue).and_then(|text| read_catalogue(&text, &shown_path(&catalogue))) {
                Ok(catalogue) => rest = rest.with_catalogue(catalogue),
                Err(found) => wrong.0.extend(found.0),
            }
        }
        let mut crops = rest.crops.clone();
        let is_toml = |path: &PathBuf| path.extension().is_some_and(|ending| ending == "toml");
        for path in entries(&folder.join("crops")).into_iter().filter(is_toml) {
            let added = text(&path).and_then(|text| crops.clone().with_user_file(&shown_path(&path), &text));
            match added {
                Ok(more) => crops = more,
                Err(found) => wrong.0.extend(found.0),
            }
        }
        if wrong.stop() {
            return Err(wrong);
        }
        let mut records = BTreeMap::new();
        for path in entries(&folder.join("weather")) {
            let Some(file) = path.file_name().and_then(|name| name.to_str()) else { continue };
            // NAME.csv.gz: the name is what stands before the known endings.
            let mut name = file;
            if path.is_file() {
                name = name.strip_suffix(".gz").unwrap_or(name);
                name = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
            }
            if check_name(name).is_ok() {
                records.entry(name.to_string()).or_insert(path);
            }
        }
        Ok(Self { records, rest: rest.with_crops(crops) })
    }
}

impl Library for FolderLibrary {
    fn weather_names(&self) -> Vec<String> {
        let mut names: Vec<String> = self.records.keys().cloned().chain(self.rest.weather_names()).collect();
        names.sort();
        names.dedup();
        names
    }

    fn weather(&self, name: &str, hints: &Hints) -> Option<Result<Series, Diagnostics>> {
        let Some(path) = self.records.get(name) else { return self.rest.weather(name, hints) };
        let read = |path: &Path| bytes(path).and_then(|bytes| weather::read(&shown_path(path), &bytes, hints));
        let series = if path.is_dir() {
            let mut wrong = Diagnostics::default();
            let mut parts = Vec::new();
            for part in entries(path).iter().filter(|part| part.is_file()) {
                match read(part) {
                    Ok(part) => parts.push(part),
                    Err(found) => wrong.0.extend(found.0),
                }
            }
            if parts.is_empty() && !wrong.stop() {
                let at = Place::file(shown_path(path));
                wrong.add(
                    Diagnostic::error("empty-folder", "weather folder without a file", at)
                        .help("put the station's files in it, one a station-year"),
                );
            }
            if wrong.stop() { Err(wrong) } else { weather::join(parts) }
        } else {
            read(path)
        };
        Some(series.map(|mut series| {
            series.name = name.to_string();
            series
        }))
    }

    fn fans(&self) -> &[Fan] {
        self.rest.fans()
    }

    fn burners(&self) -> &[Burner] {
        self.rest.burners()
    }

    fn crops(&self) -> &crops::Library {
        self.rest.crops()
    }
}

/// What a folder holds, sorted, hidden files left out; nothing when it cannot be listed.
fn entries(folder: &Path) -> Vec<PathBuf> {
    let Ok(listing) = std::fs::read_dir(folder) else { return Vec::new() };
    let visible = |path: &PathBuf| path.file_name().and_then(|n| n.to_str()).is_some_and(|n| !n.starts_with('.'));
    let mut paths: Vec<PathBuf> = listing.flatten().map(|entry| entry.path()).filter(visible).collect();
    paths.sort();
    paths
}

/// Folder and file, enough to find it again in a message.
fn shown_path(path: &Path) -> String {
    path.display().to_string()
}

fn bytes(path: &Path) -> Result<Vec<u8>, Diagnostics> {
    let fail =
        |found: String| Diagnostics(vec![Diagnostic::error("file-unreadable", found, Place::file(shown_path(path)))]);
    let known = std::fs::metadata(path).map_err(|error| fail(format!("file that cannot be read: {error}")))?;
    if !known.is_file() {
        return Err(fail(format!("{} in place of a file", other(&known))));
    }
    let size = known.len();
    if size > LARGEST_FILE {
        return Err(fail(format!("file of {size} bytes, at most {LARGEST_FILE} are read")));
    }
    std::fs::read(path).map_err(|error| fail(format!("file that cannot be read: {error}")))
}

fn text(path: &Path) -> Result<String, Diagnostics> {
    read_text(path, &shown_path(path)).map_err(|wrong| Diagnostics(vec![*wrong]))
}

/// What stands where a file is expected.
fn other(known: &std::fs::Metadata) -> &'static str {
    if known.is_dir() { "a folder" } else { "a pipe or device" }
}

/// Reads a text file a user names; `file` is its name for messages. Never more than 4 MiB.
///
/// # Errors
/// When it cannot be read, is no regular file (a pipe would keep the program waiting for ever), is larger or is no UTF-8
/// text.
pub fn read_text(path: &Path, file: &str) -> Result<String, Box<Diagnostic>> {
    let at = || Place::file(file);
    if let Ok(known) = std::fs::metadata(path)
        && !known.is_file()
    {
        let found = format!("{} in place of a file", other(&known));
        let wrong =
            Diagnostic::error("cannot-read", found, at()).allowed("must be a file, not a folder, pipe or device");
        return Err(Box::new(wrong.help("write what comes through a pipe to a file first")));
    }
    let mut bytes = Vec::new();
    let opened =
        std::fs::File::open(path).and_then(|opened| opened.take(LARGEST_TEXT as u64 + 1).read_to_end(&mut bytes));
    if let Err(error) = opened {
        let wrong = Diagnostic::error("cannot-read", format!("file that cannot be read: {error}"), at());
        return Err(Box::new(match error.kind() {
            ErrorKind::NotFound => wrong.help("check the name and the folder"),
            ErrorKind::PermissionDenied => wrong.help("allow reading it, or copy it to a folder of your own"),
            _ => wrong,
        }));
    }
    if bytes.len() > LARGEST_TEXT {
        let found = format!("file of more than {LARGEST_TEXT} bytes");
        return Err(Box::new(
            Diagnostic::error("text-too-large", found, at()).allowed("must be a text file of a few pages"),
        ));
    }
    String::from_utf8(bytes).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let line = 1 + error.as_bytes().iter().take(good).filter(|byte| **byte == b'\n').count();
        Box::new(Diagnostic::error("not-utf8", "file that is no UTF-8 text", Place::line(file, line)).help(
            "save it with the encoding UTF-8; letters with accents and the degree sign are what usually goes wrong",
        ))
    })
}
