//! How long grain keeps: published relations as rates of storage life used.
