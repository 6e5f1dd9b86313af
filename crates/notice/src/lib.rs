//! What the tool says besides numbers: where a figure comes from, where it holds, what lies outside, what is wrong with
//! an input, and sentences that carry quantities. Three kinds never mix: [`Diagnostic`] (input unusable), [`Remark`]
//! (result outside its evidence) and an outcome (a result like any other, which has no type here).
//!
//! Leaves out parsing of text (crate `sheet`) and any printing.

pub mod diagnostic;
mod nearest;
pub mod phrase;
pub mod quantity;
pub mod range;
pub mod remark;
pub mod source;
mod years;

pub use diagnostic::{Diagnostic, Diagnostics, Place, Severity, plain, unseen};
pub use nearest::nearest;
pub use phrase::Phrase;
pub use quantity::{Kind, Quantity, UnitSystem};
pub use range::{OutOfRange, Range};
pub use remark::{Remark, Remarks};
pub use source::{Source, Status};
