//! The compiled working point.
