//! Whose work a built-in record is and on what terms it may be passed on: said wherever its results are shown.

use crate::series::Series;

/// Origin and licence of a record, in sentences without a full stop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Origin {
    /// Where and when it was measured.
    pub place: &'static str,
    /// Who measured it and who made the hourly table.
    pub makers: &'static str,
    /// Terms.
    pub licence: &'static str,
    /// What to know before relying on it.
    pub caution: &'static str,
}

/// The record that is built in; `data/README.md` says the same at length.
const CHAMPAIGN: Origin = Origin {
    place: "Bondville (Champaign County), Illinois, 40.05 N 88.37 W, 230 m, 15 April 1995 to 31 December 2023",
    makers: "measured by the SURFRAD network of NOAA; hourly means by the BioCro authors (Lochocki and others 2022), data set \
             cmi_weather_data",
    licence: "measurements of the US federal government, public domain; hourly table MIT licence, Copyright (c) 2023 BioCro \
              authors",
    caution: "sensors 10 m above ground, so nights read warmer and drier than at a fan's inlet; missing hours were filled by \
              the table's makers from neighbouring days; pressure is the standard atmosphere",
};

/// Origin and licence of a record; `None` for one that the user brought, who knows them.
pub fn origin(series: &Series) -> Option<Origin> {
    // Records read from a file say in which form they were; one made in the program has none.
    (series.report.format.is_none() && series.name == "champaign").then_some(CHAMPAIGN)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_record_built_in_names_its_makers_and_one_from_a_file_does_not() {
        let mut series = crate::bundled("champaign").expect("it is built in");
        let known = origin(&series).expect("an origin");
        // The notice must be that of the licence text that goes with the data.
        assert!(include_str!("../data/README.md").contains("Copyright (c) 2023 BioCro authors"));
        assert!(known.licence.contains("Copyright (c) 2023 BioCro authors") && known.makers.contains("SURFRAD"));
        series.report.format = Some(crate::Format::Plain);
        assert_eq!(origin(&series), None, "a file of the same name");
    }
}
