//! Amounts, days, offsets and hours as they may be written.

use super::*;

#[test]
fn amounts_days_offsets_and_hours() {
    assert_eq!(amount("20000 bu"), Ok(Amount::Bushels(20000.0)));
    assert_eq!(amount("500 t"), Ok(Amount::WetMass(500_000.0)));
    assert_eq!(amount("6 m"), Ok(Amount::Depth(6.0)));
    assert_eq!(amount("0 bu").unwrap_err().code, "not-positive");
    assert_eq!(amount("20000").unwrap_err().code, "missing-unit");
    assert_eq!(amount("500 tons").unwrap_err().code, "unknown-unit");
    assert_eq!(month_day("10-10"), Ok(MonthDay { month: 10, day: 10 }));
    assert_eq!(month_day("02-29"), Ok(MonthDay { month: 2, day: 29 }));
    for wrong in ["13-40", "2-30", "2009-10-10", "Oct 10", "15-10", "-", "10-10-10", "é-é"] {
        assert_eq!(month_day(wrong).unwrap_err().code, "not-a-day", "{wrong}");
    }
    assert!(month_day("15-10").unwrap_err().help.unwrap().contains("10-15"));
    assert_eq!(utc_offset("-06:00"), Ok(-21600));
    assert_eq!(utc_offset("+05:30"), Ok(19800));
    assert_eq!(utc_offset("−6"), Ok(-21600));
    assert_eq!(utc_offset("Z"), Ok(0));
    for wrong in ["06:00", "-15:00", "-06:60", "", "-", "-é:00"] {
        assert_eq!(utc_offset(wrong).unwrap_err().code, "not-an-offset", "{wrong}");
    }
    assert_eq!(clock_hour("07:00"), Ok(7));
    assert_eq!(clock_hour("24:00"), Ok(24));
    for wrong in ["07:30", "25:00", "7", "é:00", "24:30"] {
        assert_eq!(clock_hour(wrong).unwrap_err().code, "not-an-hour", "{wrong}");
    }
}
