//! Games as columns, ready to be stored.

use crate::games::Outcome;
use crate::games::tags::Tags;

/// A column of texts: all of them end to end, and where each ends.
#[derive(Debug, Clone)]
pub struct Strings {
    /// The texts end to end.
    pub data: Vec<u8>,
    /// One more offset than texts, the first is 0.
    pub offsets: Vec<i32>,
}

impl Default for Strings {
    fn default() -> Self {
        Self {
            data: Vec::new(),
            offsets: vec![0],
        }
    }
}

impl Strings {
    fn push(&mut self, text: &[u8]) {
        self.data.extend_from_slice(text);
        self.offsets.push(self.data.len() as i32);
    }

    /// The bytes of one text.
    #[must_use]
    pub fn get(&self, index: usize) -> &[u8] {
        &self.data[self.offsets[index] as usize..self.offsets[index + 1] as usize]
    }
}

/// Games side by side, one vector a field.
#[derive(Debug, Clone, Default)]
#[allow(missing_docs)]
pub struct GameColumns {
    pub event: Strings,
    pub site: Strings,
    pub date: Strings,
    pub round: Strings,
    pub white: Strings,
    pub black: Strings,
    pub fen: Strings,
    pub rest: Strings,
    pub moves: Strings,
    pub white_rating: Vec<i16>,
    pub black_rating: Vec<i16>,
    pub year: Vec<i16>,
    pub result: Vec<u8>,
    pub plies: Vec<i16>,
    pub line: Vec<u32>,
    pub cut: Vec<u8>,
    pub fingerprint: Vec<i64>,
}

/// What the movetext of a game came to.
#[derive(Debug, Default)]
pub(super) struct Played {
    pub moves: Vec<u8>,
    pub plies: usize,
    pub outcome: Outcome,
    pub line: u32,
    pub cut: bool,
}

impl GameColumns {
    /// How many games.
    #[must_use]
    pub fn len(&self) -> usize {
        self.year.len()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.year.is_empty()
    }

    pub(super) fn push(&mut self, tags: &Tags, played: &Played) {
        for (column, text) in [
            (&mut self.event, tags.event.as_str()),
            (&mut self.site, &tags.site),
            (&mut self.date, &tags.date),
            (&mut self.round, &tags.round),
            (&mut self.white, &tags.white),
            (&mut self.black, &tags.black),
            (&mut self.fen, &tags.fen),
            (&mut self.rest, &tags.rest),
        ] {
            column.push(text.as_bytes());
        }
        self.moves.push(&played.moves);
        self.white_rating.push(tags.white_rating);
        self.black_rating.push(tags.black_rating);
        self.year.push(tags.year);
        self.result.push(played.outcome as u8);
        self.plies
            .push(i16::try_from(played.plies).unwrap_or(i16::MAX));
        self.line.push(played.line);
        self.cut.push(u8::from(played.cut));
        self.fingerprint.push(fingerprint(tags, &played.moves));
    }

    pub(super) fn push_from(&mut self, other: &Self, index: usize, lines: u64) {
        for (mine, theirs) in [
            (&mut self.event, &other.event),
            (&mut self.site, &other.site),
            (&mut self.date, &other.date),
            (&mut self.round, &other.round),
            (&mut self.white, &other.white),
            (&mut self.black, &other.black),
            (&mut self.fen, &other.fen),
            (&mut self.rest, &other.rest),
            (&mut self.moves, &other.moves),
        ] {
            mine.push(theirs.get(index));
        }
        self.white_rating.push(other.white_rating[index]);
        self.black_rating.push(other.black_rating[index]);
        self.year.push(other.year[index]);
        self.result.push(other.result[index]);
        self.plies.push(other.plies[index]);
        let line = u64::from(other.line[index]) + lines;
        self.line.push(u32::try_from(line).unwrap_or(u32::MAX));
        self.cut.push(other.cut[index]);
        self.fingerprint.push(other.fingerprint[index]);
    }
}

/// A number that two copies of a game share: players (case and spaces aside), date, start, moves.
///
/// FNV-1a over those fields, its bits mixed at the end; stable for ever, because it is stored.
/// Among a million games two different ones share a number with a chance of about 3 in 10^8.
fn fingerprint(tags: &Tags, moves: &[u8]) -> i64 {
    const PRIME: u64 = 0x0100_0000_01b3;
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    let mut take = |byte: u8| hash = (hash ^ u64::from(byte)).wrapping_mul(PRIME);
    for name in [&tags.white, &tags.black] {
        for word in name.split_whitespace() {
            word.chars()
                .flat_map(char::to_lowercase)
                .for_each(|letter| {
                    let mut buffer = [0; 4];
                    letter.encode_utf8(&mut buffer).bytes().for_each(&mut take);
                });
            take(b' ');
        }
        take(0);
    }
    tags.date.bytes().for_each(&mut take);
    take(0);
    tags.fen.bytes().for_each(&mut take);
    take(0);
    moves.iter().copied().for_each(&mut take);
    hash ^= hash >> 33;
    hash = hash.wrapping_mul(0xff51_afd7_ed55_8ccd);
    (hash ^ (hash >> 33)).cast_signed()
}
