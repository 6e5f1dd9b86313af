//! What site texts may name: what is built in, and the user's contents in the store. No path is ever opened.

use crate::problem::Problem;
use job::{Library, MemoryLibrary};
use notice::{Diagnostic, Diagnostics, Place};
use std::io::Read as _;
use std::sync::{Arc, Mutex, PoisonError};
use store::{ContentName, Store, StoreError};
use weather::{Hints, Series};

/// Kind of content under which weather files are kept.
pub const WEATHER: &str = "weather";
/// Kind of content under which catalogues of fans and burners are kept.
pub const CATALOGUE: &str = "catalogue";
/// Kind of content under which crop files are kept.
pub const CROPS: &str = "crops";

/// Largest weather file unpacked, bytes: thirty years of the widest hourly format.
const LARGEST_UNPACKED: u64 = 128 << 20;
/// One weather file is unpacked at a time, whoever asks: a packed one grows a thousandfold.
static UNPACKING: Mutex<()> = Mutex::new(());

/// Reads a weather file within the memory that one may take.
///
/// # Errors
/// What is wrong with it, its size unpacked included.
pub fn read_weather(name: &str, bytes: &[u8], hints: &Hints) -> Result<Series, Diagnostics> {
    let _alone = UNPACKING.lock().unwrap_or_else(PoisonError::into_inner);
    if bytes.starts_with(&[0x1f, 0x8b]) {
        // Counted before it is kept; what cannot be unpacked to its end is told by the reader.
        let mut unpacked = flate2::read::MultiGzDecoder::new(bytes).take(LARGEST_UNPACKED + 1);
        if std::io::copy(&mut unpacked, &mut std::io::sink()).is_ok_and(|size| size > LARGEST_UNPACKED) {
            let found = format!("packed file of more than {} MB unpacked", LARGEST_UNPACKED >> 20);
            let wrong = Diagnostic::error("weather-file-too-large", found, Place::file(name));
            return Err(Diagnostics(vec![wrong.help("split it into years and bring in those that are needed")]));
        }
    }
    weather::read(name, bytes, hints)
}

/// The library of all sites of a store.
pub struct StoreLibrary {
    store: Arc<dyn Store>,
    rest: MemoryLibrary,
    weather: Vec<String>,
}

impl StoreLibrary {
    /// Reads catalogues and crops of the store; weather is read when it is asked for.
    ///
    /// # Errors
    /// What the store says, or all that is wrong with a catalogue or crop file.
    pub fn open(store: Arc<dyn Store>) -> Result<Self, Problem> {
        let mut rest = MemoryLibrary::new();
        for line in store.contents(CATALOGUE)? {
            rest = rest.with_catalogue(job::read_catalogue(&text(&*store, &line.name)?, &line.name.name)?);
        }
        let mut crops = rest.crops().clone();
        for line in store.contents(CROPS)? {
            crops = crops.with_user_file(&line.name.name, &text(&*store, &line.name)?)?;
        }
        let weather = store.contents(WEATHER)?.into_iter().map(|line| line.name.name).collect();
        Ok(Self { store, rest: rest.with_crops(crops), weather })
    }

    /// Names of the user's own records.
    pub fn own_weather(&self) -> &[String] {
        &self.weather
    }
}

/// A content as text.
fn text(store: &dyn Store, name: &ContentName) -> Result<String, Problem> {
    let (_, bytes) = store.named_content(name)?;
    String::from_utf8(bytes)
        .map_err(|_| Problem::bad("not-utf8", format!("{} {:?} that is no UTF-8 text", name.kind, name.name)))
}

impl Library for StoreLibrary {
    fn weather_names(&self) -> Vec<String> {
        let mut names: Vec<String> = self.weather.iter().cloned().chain(self.rest.weather_names()).collect();
        names.sort();
        names.dedup();
        names
    }

    fn weather(&self, name: &str, hints: &Hints) -> Option<Result<Series, Diagnostics>> {
        match self.store.named_content(&ContentName::new(WEATHER, name)) {
            Ok((_, bytes)) => Some(read_weather(name, &bytes, hints).map(|mut series| {
                series.name = name.to_string();
                series
            })),
            Err(StoreError::NotFound { .. } | StoreError::BadName { .. }) => self.rest.weather(name, hints),
            Err(error) => Some(Err(Diagnostics(vec![error.diagnostic()]))),
        }
    }

    fn fans(&self) -> &[equipment::Fan] {
        self.rest.fans()
    }

    fn burners(&self) -> &[equipment::Burner] {
        self.rest.burners()
    }

    fn crops(&self) -> &crops::Library {
        self.rest.crops()
    }
}
