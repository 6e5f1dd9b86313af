//! The crops that can be named: those compiled in and those of the user.

use crate::{crop::Crop, reading};
use notice::nearest;
use notice::{Diagnostic, Diagnostics, Phrase, Place, Remark};

/// All crops that can be named.
#[derive(Debug, Clone)]
pub struct Library {
    pub(crate) crops: Vec<Crop>,
    pub(crate) shared: reading::Shared,
}

impl Library {
    /// Returns the crops compiled in.
    ///
    /// # Panics
    /// When a compiled-in data file is faulty, which the tests of this crate exclude.
    pub fn built_in() -> Self {
        reading::built_in().expect("the compiled-in data files are read by a test")
    }

    /// Returns the library with a crop file of the user added; a crop of the same name is replaced.
    ///
    /// The file holds one crop: `id`, and either all of its rows or `based_on` with the rows that differ.
    ///
    /// # Errors
    /// All that is wrong with the file.
    pub fn with_user_file(mut self, name: &str, text: &str) -> Result<Self, Diagnostics> {
        let crop = reading::user_file(&self, name, text)?;
        self.crops.retain(|other| other.id != crop.id);
        self.crops.push(crop);
        Ok(self)
    }

    /// Returns all crops: compiled-in ones in alphabetical order, then those of the user.
    pub fn crops(&self) -> &[Crop] {
        &self.crops
    }

    /// Returns the bibliography: key and citation of every work that rows refer to.
    pub fn bibliography(&self) -> impl Iterator<Item = (&str, &str)> {
        self.shared.sources.iter().map(|(key, citation)| (key.as_str(), citation.as_str()))
    }

    /// Returns a crop by its name or an alias; an alias comes with a remark that says what it was taken for.
    ///
    /// # Errors
    /// When no crop has the name; the place is left empty for the caller to fill in.
    pub fn find(&self, name: &str) -> Result<(&Crop, Option<Remark>), Box<Diagnostic>> {
        let key = name.trim().to_lowercase().replace([' ', '_'], "-");
        if let Some(crop) = self.crops.iter().rev().find(|crop| crop.id == key) {
            return Ok((crop, None));
        }
        if let Some(crop) = self.crops.iter().rev().find(|crop| crop.aliases.contains(&key)) {
            let says = Phrase::new("crop {named} taken as {crop}").text("named", name).text("crop", &crop.id);
            return Ok((crop, Some(Remark::new("crop-alias", says))));
        }
        let ids: Vec<&str> = self.crops.iter().map(|crop| crop.id.as_str()).collect();
        let names = ids.iter().copied().chain(self.crops.iter().flat_map(|c| c.aliases.iter().map(String::as_str)));
        let mut diagnostic = Diagnostic::error("unknown-crop", format!("unknown crop {name:?}"), Place::default())
            .allowed(format!("must be one of {}", ids.join(", ")));
        if let Some(near) = nearest(&key, names) {
            diagnostic = diagnostic.help(format!("did you mean {near:?}?"));
        }
        Err(Box::new(diagnostic))
    }
}
