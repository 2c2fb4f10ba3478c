//! How far a colour stands out from another one, for tests of what is drawn.

/// Contrast ratio, WCAG 2.2, "contrast ratio" in its glossary, from 1 to 21, of two colours in sRGB.
pub(crate) fn contrast(a: [u8; 3], b: [u8; 3]) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// Relative luminance, WCAG 2.2, "relative luminance" in its glossary
/// (https://www.w3.org/TR/WCAG22/#dfn-relative-luminance).
fn luminance(rgb: [u8; 3]) -> f64 {
    let [r, g, b] = rgb.map(|it| {
        let share = f64::from(it) / 255.0;
        if share <= 0.04045 {
            share / 12.92
        } else {
            ((share + 0.055) / 1.055).powf(2.4)
        }
    });
    0.2126 * r + 0.7152 * g + 0.0722 * b
}
