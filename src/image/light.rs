//! sRGB bytes and linear light (IEC 61966-2-1).

/// Linear light of sRGB bytes in 16 bits, and back. There and back is the same byte.
pub struct Light {
    linear: [u16; 256],
    /// Of each byte but the last: the least light that is nearer to the next one.
    steps: [u16; 255],
}

impl Default for Light {
    fn default() -> Light {
        let coded = |v: f64| {
            let v = v / 255.0;
            if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
        };
        let whole = |v: f64| (coded(v) * 65535.0).round() as u16;
        Light {
            linear: std::array::from_fn(|v| whole(v as f64)),
            steps: std::array::from_fn(|v| whole(v as f64 + 0.5)),
        }
    }
}

impl Light {
    /// The light of a byte, 0 to 65535.
    pub fn of(&self, byte: u8) -> u16 {
        self.linear[usize::from(byte)]
    }

    /// The byte that is nearest to a light, in sRGB.
    pub fn byte(&self, light: u16) -> u8 {
        self.steps.partition_point(|step| *step <= light) as u8
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back_is_the_same_byte() {
        let light = Light::default();
        for v in 0..=255 {
            assert_eq!(light.byte(light.of(v)), v);
        }
        // IEC 61966-2-1: 0.5 of the light is 0.735 of the range.
        assert_eq!((light.of(0), light.of(255), light.byte(32768)), (0, 65535, 188));
    }
}
