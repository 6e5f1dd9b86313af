//! Invented fans and burners for demonstration: physically plausible, of no maker. Pages that show them are marked DEMO.
