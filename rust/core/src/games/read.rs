//! Reading game files (PGN): split at game starts, then every token looked at and every move
//! validated.
//!
//! A fault stops one game, never the next: the file is cut wherever a line begins `[Event `
//! before anything is parsed, so an unclosed comment ends with its game. Tokens nobody knows are
//! faults, not noise.

mod columns;
mod movetext;
mod resolve;

use std::collections::HashSet;
use std::thread;

use memchr::{memchr_iter, memmem};

pub use columns::{GameColumns, Strings};
use movetext::Piece;

const START: &[u8] = b"[Event ";
const BOM: &[u8] = b"\xef\xbb\xbf";
/// Longest stretch without a game start that is held in memory before it is cut at a line end.
const LONGEST_PIECE: usize = 32 << 20;
const REMARKS_KEPT: usize = 1_000;

/// Something to tell the teacher about one place of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remark {
    /// Line of the place, from 1.
    pub line: u64,
    /// Line on which its game begins.
    pub game_line: u64,
    /// What is wrong, lower case, no full stop.
    pub reason: String,
}

/// What reading one stretch of a file gave.
#[derive(Debug, Default)]
pub struct Report {
    /// Games met, whatever became of them.
    pub games: u64,
    /// Games of other variants, left out.
    pub variants: u64,
    /// Games left out for a fault.
    pub refused: Vec<Remark>,
    /// Remarks about games that were taken; at most a thousand.
    pub warnings: Vec<Remark>,
    /// All remarks, the ones not kept included.
    pub warned: u64,
    /// Fingerprints and lines of games that were known already.
    pub duplicates: Vec<(i64, u64)>,
}

/// What one worker found in its part of a chunk.
#[derive(Debug, Default)]
struct Found {
    games: GameColumns,
    report: Report,
}

impl Found {
    fn warn(&mut self, remark: Remark) {
        self.report.warned += 1;
        if self.report.warnings.len() < REMARKS_KEPT {
            self.report.warnings.push(remark);
        }
    }
}

/// Reads a stream of PGN in chunks.
#[derive(Debug)]
pub struct Reader {
    keep_to_fault: bool,
    workers: usize,
    carry: Vec<u8>,
    line: u64,
    known: HashSet<i64>,
    games: GameColumns,
    report: Report,
}

impl Reader {
    /// A reader that recognises games by the fingerprints in `known` and leaves them out.
    ///
    /// With `keep_to_fault` a game with a fault is kept up to it.
    #[must_use]
    pub fn new(known: HashSet<i64>, keep_to_fault: bool, workers: usize) -> Self {
        Self {
            keep_to_fault,
            workers: workers.max(1),
            carry: Vec::new(),
            line: 1,
            known,
            games: GameColumns::default(),
            report: Report::default(),
        }
    }

    /// Takes the next bytes of the current file.
    pub fn feed(&mut self, chunk: &[u8]) {
        self.carry.extend_from_slice(chunk);
        if let Some(cut) = self.cut() {
            let rest = self.carry.split_off(cut);
            let whole = std::mem::replace(&mut self.carry, rest);
            self.read(&whole);
        }
    }

    /// Ends the current file; the next bytes begin another at line 1.
    pub fn finish(&mut self) {
        let whole = std::mem::take(&mut self.carry);
        self.read(&whole);
        self.line = 1;
    }

    /// Forgets the bytes held back: the file breaks off; the next begins at line 1.
    pub fn drop_rest(&mut self) {
        self.carry.clear();
        self.line = 1;
    }

    /// Games read and not yet taken away.
    #[must_use]
    pub fn waiting(&self) -> usize {
        self.games.len()
    }

    /// Bytes held back because their game may go on.
    #[must_use]
    pub fn held_back(&self) -> usize {
        self.carry.len()
    }

    /// Line on which the bytes held back begin.
    #[must_use]
    pub fn line(&self) -> u64 {
        self.line
    }

    /// Goes on at a later line, for a file whose beginning was read before.
    pub fn start_at_line(&mut self, line: u64) {
        self.line = line;
    }

    /// Takes away the games read so far.
    pub fn take_games(&mut self) -> GameColumns {
        std::mem::take(&mut self.games)
    }

    /// Takes away the report so far.
    pub fn take_report(&mut self) -> Report {
        std::mem::take(&mut self.report)
    }

    fn cut(&self) -> Option<usize> {
        let found = last_start(&self.carry).filter(|&at| at > 0);
        if found.is_some() || self.carry.len() < LONGEST_PIECE {
            return found;
        }
        memmem::rfind(&self.carry, b"\n\n")
            .map(|at| at + 2)
            .or_else(|| memchr::memrchr(b'\n', &self.carry).map(|at| at + 1))
            .or(Some(self.carry.len()))
    }

    fn read(&mut self, whole: &[u8]) {
        if whole.is_empty() {
            return;
        }
        let parts = split(whole, self.workers);
        let keep = self.keep_to_fault;
        let found: Vec<(Found, u64)> = thread::scope(|scope| {
            let running: Vec<_> = parts
                .iter()
                .map(|part| scope.spawn(move || read_part(part, keep)))
                .collect();
            running
                .into_iter()
                .map(|worker| worker.join().expect("a reading worker does not panic"))
                .collect()
        });
        for (part, lines) in found {
            self.merge(part);
            self.line += lines;
        }
    }

    fn merge(&mut self, found: Found) {
        let before = self.line - 1;
        let shift = |mut remark: Remark| {
            remark.line += before;
            remark.game_line += before;
            remark
        };
        self.report.games += found.report.games;
        self.report.variants += found.report.variants;
        self.report.warned += found.report.warned;
        self.report
            .refused
            .extend(found.report.refused.into_iter().map(shift));
        let room = REMARKS_KEPT.saturating_sub(self.report.warnings.len());
        self.report
            .warnings
            .extend(found.report.warnings.into_iter().take(room).map(shift));
        for index in 0..found.games.len() {
            let fingerprint = found.games.fingerprint[index];
            if self.known.insert(fingerprint) {
                self.games.push_from(&found.games, index, before);
            } else {
                let line = u64::from(found.games.line[index]) + before;
                self.report.duplicates.push((fingerprint, line));
            }
        }
    }
}

fn is_start(text: &[u8], at: usize) -> bool {
    let before = &text[..at];
    let before = before.strip_suffix(BOM).unwrap_or(before);
    before
        .last()
        .is_none_or(|&byte| byte == b'\n' || byte == b'\r')
}

fn last_start(text: &[u8]) -> Option<usize> {
    let mut end = text.len();
    while let Some(at) = memmem::rfind(&text[..end], START) {
        if is_start(text, at) {
            return Some(at);
        }
        end = at;
    }
    None
}

fn next_start(text: &[u8], from: usize) -> Option<usize> {
    memmem::find_iter(&text[from..], START)
        .map(|at| at + from)
        .find(|&at| is_start(text, at))
}

fn split(text: &[u8], workers: usize) -> Vec<&[u8]> {
    let mut parts = Vec::new();
    let mut from = 0;
    for worker in 1..workers {
        let wanted = (text.len() / workers * worker).max(from);
        match next_start(text, wanted) {
            Some(at) if at > from => {
                parts.push(&text[from..at]);
                from = at;
            }
            _ => {}
        }
    }
    parts.push(&text[from..]);
    parts
}

fn read_part(text: &[u8], keep_to_fault: bool) -> (Found, u64) {
    let mut found = Found::default();
    let mut line = 1;
    let mut from = 0;
    while from < text.len() {
        let end = next_start(text, from + 1).unwrap_or(text.len());
        let piece = &text[from..end];
        Piece::new(piece, line, keep_to_fault).read(&mut found);
        line += memchr_iter(b'\n', piece).count() as u64;
        from = end;
    }
    (found, line - 1)
}

#[cfg(test)]
mod tests;
