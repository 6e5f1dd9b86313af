//! Readings beside a running fan and what they mean; hours left without air.

pub mod commission;
pub mod diagnosis;
pub mod outage;
pub mod sheet;
pub mod words;

pub use commission::CommissionJson;
pub use diagnosis::DiagnosisJson;
pub use outage::{BinOutageJson, OutageJson};
pub use sheet::SheetJson;
