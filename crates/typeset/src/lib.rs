//! Documents on paper: the content that `documents` makes, set in type and written as PDF.
