//! A quick hash for small keys that nobody outside can choose.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

/// A map by small keys.
pub type QuickMap<K, V> = HashMap<K, V, BuildHasherDefault<Quick>>;

/// Multiplies and turns each word of the key; the constant is 2^64 over the golden ratio.
#[derive(Clone, Copy, Default)]
pub struct Quick(u64);

impl Quick {
    fn add(&mut self, word: u64) {
        self.0 = (self.0.rotate_left(26) ^ word).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    }
}

impl Hasher for Quick {
    fn write(&mut self, bytes: &[u8]) {
        for chunk in bytes.chunks(8) {
            let mut word = [0; 8];
            word[..chunk.len()].copy_from_slice(chunk);
            self.add(u64::from_le_bytes(word));
        }
    }

    fn write_u8(&mut self, word: u8) {
        self.add(u64::from(word));
    }

    fn write_u32(&mut self, word: u32) {
        self.add(u64::from(word));
    }

    fn write_u64(&mut self, word: u64) {
        self.add(word);
    }

    fn write_usize(&mut self, word: usize) {
        self.add(word as u64);
    }

    fn write_isize(&mut self, word: isize) {
        self.add(word as u64);
    }

    fn finish(&self) -> u64 {
        self.0 ^ (self.0 >> 32)
    }
}
