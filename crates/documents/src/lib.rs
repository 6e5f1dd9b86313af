//! What the reader gets on paper and page: plots and drawings as SVG, and the report as one self-contained HTML page.
//! Input is plain data ([`report::ReportData`]); the crate computes no result, reads no clock and opens no network.
//!
//! The same input gives the same bytes. All text that comes from outside is escaped.

pub mod calendar;
pub mod colour;
pub mod compose;
pub mod fill;
pub mod html;
pub mod paper;
pub mod plot;
pub mod raster;
pub mod report;
pub mod scene;
pub mod section;
pub mod shown;
pub mod svg;
pub mod ticks;
pub mod weighing;
pub mod write;
