//! Chance that is the same on every run.

/// A stream of numbers from a seed (splitmix64, in the public domain; from memory).
pub struct Chance(u64);

impl Chance {
    pub fn of(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15))
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 up to 1.
    pub fn even(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.even()
    }

    /// A normal distribution around zero (Box and Muller).
    pub fn normal(&mut self, sd: f64) -> f64 {
        let radius = libm::sqrt(-2.0 * libm::log(1.0 - self.even()));
        sd * radius * libm::cos(core::f64::consts::TAU * self.even())
    }

    pub fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }

    pub fn sign(&mut self) -> f64 {
        if self.even() < 0.5 { -1.0 } else { 1.0 }
    }

    pub fn one_of<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.below(of.len())]
    }
}

#[test]
fn chance_is_even_and_normal_enough() {
    let mut chance = Chance::of(1);
    let (mut sum, mut square, mut inside) = (0.0, 0.0, 0);
    for _ in 0..20_000 {
        let x = chance.normal(1.0);
        sum += x;
        square += x * x;
        inside += i32::from(x.abs() < 1.0);
    }
    assert!((sum / 20_000.0).abs() < 0.03);
    assert!((square / 20_000.0 - 1.0).abs() < 0.04);
    assert!((f64::from(inside) / 20_000.0 - 0.6827).abs() < 0.01);
}
