//! The transposition table: what earlier searches found, shared between threads.

use std::sync::atomic::{AtomicU64, Ordering::Relaxed};

use super::moves::Move;
use super::score::MATE_BOUND;

/// How a remembered score bounds the true one.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Bound {
    None,
    AtMost,
    AtLeast,
    Exact,
}

impl Bound {
    /// How a score found with the window's upper end at `beta` bounds the true one.
    pub fn of(score: i32, beta: i32, inside: bool) -> Bound {
        match (score >= beta, inside) {
            (true, _) => Bound::AtLeast,
            (false, true) => Bound::Exact,
            (false, false) => Bound::AtMost,
        }
    }
}

/// What the table says of a position.
#[derive(Clone, Copy, Debug)]
pub struct Found {
    pub best: Move,
    pub score: i32,
    pub eval: i32,
    pub depth: i32,
    pub bound: Bound,
    /// Whether the position once stood on a principal variation.
    pub principal: bool,
}

/// Two words an entry: the second holds the data, the first the key exclusive-or the data, so
/// that an entry torn by two writers matches no key.
#[derive(Default)]
#[repr(align(64))]
struct Cluster([AtomicU64; 8]);

const ENTRIES: usize = 4;

/// The table.
pub struct Table {
    clusters: Vec<Cluster>,
    age: u8,
}

/// A hash table that does not fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TooLarge {
    /// What was asked for.
    pub asked_mb: usize,
    /// What could be had.
    pub most_mb: usize,
}

/// Memory that can be had without swapping, in MB; unknown systems are taken to have 4 GB.
fn free_mb() -> usize {
    let text = std::fs::read_to_string("/proc/meminfo").unwrap_or_default();
    text.lines()
        .find_map(|line| line.strip_prefix("MemAvailable:"))
        .and_then(|rest| rest.trim().strip_suffix("kB")?.trim().parse::<usize>().ok())
        .map_or(4096, |kb| kb / 1024)
}

impl Table {
    /// A table of about `mb` megabytes, at least one.
    ///
    /// # Errors
    /// [`TooLarge`] if that is more than three quarters of the memory that is free.
    pub fn new(mb: usize) -> Result<Table, TooLarge> {
        let most_mb = free_mb() / 4 * 3;
        let refused = TooLarge {
            asked_mb: mb,
            most_mb,
        };
        if mb > most_mb {
            return Err(refused);
        }
        let count = mb.max(1) * (1 << 20) / size_of::<Cluster>();
        let mut clusters = Vec::new();
        clusters.try_reserve_exact(count).map_err(|_| refused)?;
        linewright_memory::in_large_pages(&mut clusters);
        clusters.resize_with(count, Cluster::default);
        Ok(Table { clusters, age: 0 })
    }

    /// Forgets everything.
    pub fn clear(&mut self) {
        for cluster in &mut self.clusters {
            *cluster = Cluster::default();
        }
        self.age = 0;
    }

    /// Begins a new search: entries of earlier ones are the first to be replaced.
    pub fn grow_older(&mut self) {
        self.age = self.age.wrapping_add(1) & 31;
    }

    #[inline]
    fn cluster(&self, key: u64) -> &Cluster {
        let index = (u128::from(key) * self.clusters.len() as u128) >> 64;
        &self.clusters[index as usize]
    }

    /// Has the entries of a position fetched, because they will be asked for soon.
    #[inline]
    pub fn expect(&self, key: u64) {
        linewright_memory::will_read(self.cluster(key));
    }

    /// What is remembered of a position; mate scores counted from `ply`.
    #[inline]
    pub fn find(&self, key: u64, ply: usize) -> Option<Found> {
        let Cluster(words) = self.cluster(key);
        for entry in 0..ENTRIES {
            let data = words[2 * entry + 1].load(Relaxed);
            if words[2 * entry].load(Relaxed) ^ data == key && data != 0 {
                return Some(unpacked(data, ply));
            }
        }
        None
    }

    /// Remembers what was found.
    #[inline]
    pub fn store(&self, key: u64, ply: usize, mut found: Found) {
        let Cluster(words) = self.cluster(key);
        let (mut worst, mut worst_worth) = (0, i32::MAX);
        for entry in 0..ENTRIES {
            let data = words[2 * entry + 1].load(Relaxed);
            if words[2 * entry].load(Relaxed) ^ data == key {
                if found.best.is_none() {
                    found.best = Move(data as u16);
                }
                let kept = unpacked(data, ply);
                let fresh = (data >> 59) as u8 == self.age;
                if fresh && found.bound != Bound::Exact && found.depth + 4 < kept.depth {
                    return;
                }
                worst = entry;
                break;
            }
            let older = i32::from(self.age.wrapping_sub((data >> 59) as u8) & 31);
            let worth = (data >> 48 & 0xff) as i32 - 8 * older;
            let worth = if data == 0 { i32::MIN } else { worth };
            if worth < worst_worth {
                (worst, worst_worth) = (entry, worth);
            }
        }
        let data = self.packed(found, ply);
        words[2 * worst].store(key ^ data, Relaxed);
        words[2 * worst + 1].store(data, Relaxed);
    }

    #[inline]
    fn packed(&self, found: Found, ply: usize) -> u64 {
        let score = match found.score {
            win if win >= MATE_BOUND => win + ply as i32,
            loss if loss <= -MATE_BOUND => loss - ply as i32,
            score => score,
        };
        let depth = found.depth.clamp(0, 255) as u64;
        u64::from(found.best.0)
            | u64::from(score as i16 as u16) << 16
            | u64::from(found.eval as i16 as u16) << 32
            | depth << 48
            | (found.bound as u64) << 56
            | u64::from(found.principal) << 58
            | u64::from(self.age) << 59
    }

    /// Entries of this search in a thousand.
    pub fn filled(&self) -> usize {
        let sample = self.clusters.len().min(250);
        let fresh = self.clusters[..sample]
            .iter()
            .flat_map(|Cluster(words)| words.iter().skip(1).step_by(2))
            .filter(|word| {
                let data = word.load(Relaxed);
                data != 0 && (data >> 59) as u8 == self.age
            })
            .count();
        fresh * 1000 / (sample * ENTRIES).max(1)
    }
}

#[inline]
fn unpacked(data: u64, ply: usize) -> Found {
    let score = match i32::from((data >> 16) as u16 as i16) {
        win if win >= MATE_BOUND => win - ply as i32,
        loss if loss <= -MATE_BOUND => loss + ply as i32,
        score => score,
    };
    Found {
        best: Move(data as u16),
        score,
        eval: i32::from((data >> 32) as u16 as i16),
        depth: (data >> 48 & 0xff) as i32,
        bound: [Bound::None, Bound::AtMost, Bound::AtLeast, Bound::Exact]
            [(data >> 56 & 3) as usize],
        principal: data >> 58 & 1 == 1,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_stored_is_found() {
        let table = Table::new(1).unwrap();
        let found = Found {
            best: Move(1234),
            score: -31_990,
            eval: -77,
            depth: 9,
            bound: Bound::Exact,
            principal: true,
        };
        table.store(42, 3, found);
        let again = table.find(42, 3).unwrap();
        assert_eq!(
            (again.best, again.score, again.eval),
            (found.best, found.score, found.eval)
        );
        assert_eq!(
            (again.depth, again.bound, again.principal),
            (9, Bound::Exact, true)
        );
        assert_eq!(table.find(42, 5).unwrap().score, -31_988);
        assert!(table.find(43, 3).is_none());
    }

    #[test]
    fn a_table_beyond_memory_is_refused() {
        let refused = Table::new(1 << 40).err().unwrap();
        assert!(refused.asked_mb > refused.most_mb);
    }
}
