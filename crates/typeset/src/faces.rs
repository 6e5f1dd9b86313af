//! The typefaces, embedded, and which signs they hold.

use std::sync::LazyLock;
use typst::foundations::Bytes;
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;

/// Family of pictures, as their SVG names it.
pub const FAMILY: &str = "Source Sans 3, DejaVu Sans";

/// The files of the typefaces.
pub const FILES: [&[u8]; 4] = [
    include_bytes!("../fonts/SourceSans3-Regular.otf"),
    include_bytes!("../fonts/SourceSans3-Semibold.otf"),
    include_bytes!("../fonts/B612Mono-Regular.otf"),
    include_bytes!("../fonts/DejaVuSans.ttf"),
];

/// What stands for a sign that no face holds.
const ABSENT: char = '\u{25a1}';

/// All faces, read once.
pub static FACES: LazyLock<Vec<Font>> =
    LazyLock::new(|| FILES.into_iter().flat_map(|file| Font::iter(Bytes::new(file))).collect());

/// What the typesetter knows of them.
pub static BOOK: LazyLock<LazyHash<FontBook>> = LazyLock::new(|| LazyHash::new(FontBook::from_fonts(FACES.iter())));

/// The text with every sign that can be set: what no face holds becomes an empty square, what is not seen is left out.
pub fn settable(text: &str) -> String {
    text.chars()
        .filter_map(|sign| match sign {
            '\n' => Some('\n'),
            '\t' => Some(' '),
            // Signs of no width and marks of direction: the typesetter has its own.
            '\u{ad}'
            | '\u{200b}'..='\u{200f}'
            | '\u{202a}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}'
            | '\u{fe00}'..='\u{fe0f}'
            | '\u{feff}' => None,
            // Private use means another thing in each face.
            '\u{e000}'..='\u{f8ff}' | '\u{f0000}'.. => Some(ABSENT),
            sign if sign.is_control() => Some(ABSENT),
            sign if sign == ' ' || FACES.iter().any(|face| holds(face, sign)) => Some(sign),
            _ => Some(ABSENT),
        })
        .collect()
}

/// Signs of a text that no face holds, each once, in the order of the text.
pub fn lacking(text: &str) -> String {
    let mut lacking = String::new();
    for sign in text.chars() {
        let one = String::from(sign);
        if sign != ABSENT && settable(&one).starts_with(ABSENT) && !lacking.contains(sign) {
            lacking.push(sign);
        }
    }
    lacking
}

fn holds(face: &Font, sign: char) -> bool {
    face.info().coverage.contains(u32::from(sign))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn faces_are_there_and_what_they_lack_becomes_a_square() {
        assert_eq!(FACES.len(), 4);
        assert_eq!(settable("36 ft² · 12 °C × ½ – ≤ µ Δ"), "36 ft² · 12 °C × ½ – ≤ µ Δ");
        assert_eq!(settable("مخزن Зерно צריף"), "مخزن Зерно צריף");
        assert_eq!(settable("粮仓 \u{7}\u{200f}\u{e000}"), "□□ □□");
        assert_eq!((lacking("粮仓 粮 Зерно"), lacking("bin ’north’ − 5 °C")), ("粮仓".to_string(), String::new()));
    }
}
