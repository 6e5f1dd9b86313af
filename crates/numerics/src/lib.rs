//! Numbers for the rest of the workspace: the `Real` trait that lets one text of an equation serve a single value and
//! many scenarios at once, elementary functions whose bits do not depend on the processor, roots, monotone
//! interpolation, quantiles, a seeded random stream, binomial intervals and tails of distributions.
//!
//! Leaves out linear algebra (the bed needs only a tridiagonal sweep, kept here too) and anything that knows units.

pub mod chi_squared;
pub mod interpolate;
pub mod interval;
pub mod lanes;
mod pair;
pub mod quantile;
pub mod random;
pub mod real;
pub mod root;
pub mod student;
pub mod tridiagonal;

pub use lanes::{BlockKernel, InstructionSet, Kernel, LANES, WIDTH, dispatch, dispatch_block};
pub use real::{Mask, Real};
