//! The one generator of random numbers: SplitMix64 with a tree of seeds.
//!
//! # Source
//! Steele, Lea, Flood 2014, "Fast splittable pseudorandom number generators".

const STEP: u64 = 0x9E37_79B9_7F4A_7C15;

/// A stream of random numbers that is the same on every machine.
#[derive(Clone, Debug)]
pub struct Rng(u64);

impl Rng {
    /// A stream that depends on the seed alone.
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 bits.
    pub fn next_u64(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(STEP);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number from 0 up to, but not including, 1.
    pub fn unit(&mut self) -> f64 {
        (self.next_u64() >> 11) as f64 * (1.0 / 9_007_199_254_740_992.0)
    }

    /// A number from `low` to `high`.
    pub fn range(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// A whole number under `n` (0 when `n` is 0), each equally likely.
    pub fn below(&mut self, n: usize) -> usize {
        if n == 0 {
            return 0;
        }
        // Rejection keeps every value equally likely.
        let n = n as u64;
        let limit = u64::MAX - u64::MAX % n;
        loop {
            let x = self.next_u64();
            if x < limit {
                return (x % n) as usize;
            }
        }
    }

    /// A number near 0 with standard deviation 1, as the scaled sum of four uniform ones.
    pub fn normal(&mut self) -> f64 {
        let sum: f64 = (0..4).map(|_| self.unit()).sum();
        (sum - 2.0) * 1.732_050_807_568_877_2
    }

    /// Puts a list into random order.
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for i in (1..list.len()).rev() {
            list.swap(i, self.below(i + 1));
        }
    }
}

/// The first output of the generator at this state.
pub fn mix(x: u64) -> u64 {
    Rng::new(x).next_u64()
}

/// The seed of a child: adding a child never changes another one.
pub fn child_seed(parent: u64, name: &str) -> u64 {
    mix(parent ^ fnv1a64(name))
}

/// A stream for element `i` of a recipe: order and count of the others do not matter.
pub fn element(seed: u64, i: u64) -> Rng {
    Rng::new(mix(seed ^ i.wrapping_mul(STEP)))
}

fn fnv1a64(text: &str) -> u64 {
    text.bytes()
        .fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0000_0100_0000_01b3))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// First outputs of SplitMix64 for seed 0, as published with the reference code.
    #[test]
    fn the_stream_is_frozen() {
        let mut rng = Rng::new(0);
        assert_eq!(
            [0; 4].map(|_: i32| rng.next_u64()),
            [
                0xE220_A839_7B1D_CDAF,
                0x6E78_9E6A_A1B9_65F4,
                0x06C4_5D18_8009_454F,
                0xF88B_B8A8_724C_81EC,
            ]
        );
        assert_eq!(mix(48_151_623), 0x28DC_737F_C3D3_275C);
    }

    #[test]
    fn every_value_below_n_comes_up() {
        let mut rng = Rng::new(7);
        let mut seen = [0u32; 5];
        for _ in 0..5000 {
            seen[rng.below(5)] += 1;
        }
        assert!(seen.iter().all(|n| (850..1150).contains(n)), "{seen:?}");
    }
}
