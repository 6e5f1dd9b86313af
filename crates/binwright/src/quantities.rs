//! Quantities typed on the command line. One door: a switch of the parser is a change here alone.
