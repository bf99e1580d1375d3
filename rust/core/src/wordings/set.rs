//! Sets of small numbers, a bit for each.

/// Numbers below a size that is known beforehand.
#[derive(Clone)]
pub struct Set(Vec<u64>);

impl Set {
    pub fn below(size: usize) -> Self {
        Set(vec![0; size.div_ceil(64)])
    }

    pub fn add(&mut self, number: usize) {
        self.0[number / 64] |= 1 << (number % 64);
    }

    pub fn has(&self, number: usize) -> bool {
        self.0[number / 64] >> (number % 64) & 1 == 1
    }

    /// Takes in the numbers of another set of the same size.
    pub fn join(&mut self, other: &Set) {
        for (mine, theirs) in self.0.iter_mut().zip(&other.0) {
            *mine |= theirs;
        }
    }

    /// Keeps the numbers that another set has too.
    pub fn meet(&mut self, other: &Set) {
        for (mine, theirs) in self.0.iter_mut().zip(&other.0) {
            *mine &= theirs;
        }
    }

    /// The numbers, from the least.
    pub fn numbers(&self) -> impl Iterator<Item = usize> + '_ {
        self.0.iter().enumerate().flat_map(|(place, &bits)| {
            let rests = std::iter::successors(Some(bits), |rest| Some(rest & rest.wrapping_sub(1)));
            rests
                .take_while(|&rest| rest != 0)
                .map(move |rest| 64 * place + rest.trailing_zeros() as usize)
        })
    }
}
