//! Words that several results share.

use notice::Status;

/// How well a figure is confirmed, in words for a reader.
pub fn status(status: Status) -> &'static str {
    match status {
        Status::Verified => "reproduces a published number",
        Status::Seen => "read in the source",
        Status::Memory => "recalled from the source, not read again",
        Status::Judgement => "our judgement",
        Status::CommonPractice => "common practice, no source",
        Status::Computed => "worked out from stated inputs",
    }
}

/// The range line of a text answer.
pub fn range(in_range: Option<bool>) -> &'static str {
    match in_range {
        Some(true) => "inside its evidence",
        Some(false) => "OUTSIDE its evidence",
        None => "no range stated by the source",
    }
}
