//! How well two colours can be told apart, as WCAG 2.2 defines it.

/// Relative luminance of an sRGB colour, 0 to 1 (WCAG 2.2, definition "relative luminance").
#[must_use]
pub fn luminance((r, g, b): (u8, u8, u8)) -> f64 {
    let linear = |c: u8| {
        let c = f64::from(c) / 255.0;
        if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b)
}

/// Contrast ratio of two colours, 1 to 21 (WCAG 2.2, definition "contrast ratio").
#[must_use]
pub fn contrast(a: (u8, u8, u8), b: (u8, u8, u8)) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ends_of_the_scale_are_those_of_the_standard() {
        // WCAG 2.2: ratios range from 1 to 21.
        assert!((contrast((0, 0, 0), (255, 255, 255)) - 21.0).abs() < 1e-9);
        assert!((contrast((9, 80, 200), (9, 80, 200)) - 1.0).abs() < 1e-9);
    }
}
