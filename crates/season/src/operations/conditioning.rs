//! Conditioning: grain that is too dry takes up moisture from chosen air, up to a target and no further.

/// Rewetting of over-dry grain. The target of the programme is then reached from below.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditioning {
    /// The wettest tenth may not pass this, d.b.: it ends the conditioning whatever the mean is.
    pub most: f64,
}

/// Part by which a bed swells for each point of moisture it takes up, as a fraction of volume for a fraction of moisture
/// w.b.: the additive kernel volume of soybean gives 1.38 % a point (computed from a kernel density given from memory).
pub const SWELLING: f64 = 1.38;
