//! What the use of the grain allows: seed, malting, milling, feed.

/// Highest temperature of the air that enters the grain, °C, as published for a use. The grain itself stays below it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Protection {
    /// The limit, °C.
    pub air: f64,
}

/// Above the limit by less than this nothing is said: controls and sensors are not finer, K (judgement).
pub const LIMIT_TOLERANCE: f64 = 1.0;
