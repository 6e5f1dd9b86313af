//! Cells as a PNG image inside a data address, for maps with more cells than vector drawing bears.

use crate::colour::Rgb;

/// Returns a PNG of `width` × `height` cells, rows from the top, as a data address; cells without colour are clear.
/// None when the number of cells does not fit or there are none.
pub fn data_address(width: usize, height: usize, cells: &[Option<Rgb>]) -> Option<String> {
    if width == 0 || height == 0 || width.checked_mul(height)? != cells.len() {
        return None;
    }
    let mut bytes = Vec::with_capacity(cells.len() * 4);
    for cell in cells {
        bytes.extend(cell.map_or([0, 0, 0, 0], |Rgb(r, g, b)| [r, g, b, 255]));
    }
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, u32::try_from(width).ok()?, u32::try_from(height).ok()?);
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::High);
    let mut writer = encoder.write_header().ok()?;
    writer.write_image_data(&bytes).ok()?;
    writer.finish().ok()?;
    Some(format!("data:image/png;base64,{}", base64(&file)))
}

/// Base 64 with padding (RFC 4648, section 4).
fn base64(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for group in bytes.chunks(3) {
        let part = |i: usize| u32::from(group.get(i).copied().unwrap_or(0));
        let all = part(0) << 16 | part(1) << 8 | part(2);
        for i in 0..4 {
            if i <= group.len() {
                out.push(char::from(DIGITS[(all >> (18 - 6 * i) & 63) as usize]));
            } else {
                out.push('=');
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The test vectors of RFC 4648, section 10.
    #[test]
    fn base64_agrees_with_the_standard() {
        for (text, coded) in
            [("", ""), ("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foob", "Zm9vYg=="), ("foobar", "Zm9vYmFy")]
        {
            assert_eq!(base64(text.as_bytes()), coded);
        }
    }

    #[test]
    fn makes_an_image_only_of_matching_cells() {
        let red = Some(Rgb(200, 0, 0));
        let address = data_address(2, 1, &[red, None]).unwrap_or_default();
        assert!(address.starts_with("data:image/png;base64,iVBORw0KGgo"));
        assert_eq!(data_address(2, 2, &[red]), None);
        assert_eq!(data_address(0, 0, &[]), None);
    }
}
