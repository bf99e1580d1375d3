//! From games to tally rows: every position a game passes, sorted and counted.
//!
//! Keys are spread over shards by their top bits (in signed order), each shard is sorted by key
//! and grouped by move, year and the mover's rating band. Games are replayed from their stored
//! bytes, so the same code builds an index, joins two, rebuilds a damaged shard and, with a sign
//! of -1, takes games out again.

use std::sync::Arc;
use std::thread;

use shakmaty::{Color, Position};

use super::moves::code;
use super::{GameText, Outcome, Replay};

/// Width of a rating band.
pub const BAND: i16 = 200;

/// One passage of a game through a position.
#[derive(Debug, Clone, Copy)]
struct Passage {
    key: i64,
    game: u32,
    code: u16,
    white: bool,
}

/// What the rows need to know of a game.
#[derive(Debug, Clone, Copy, Default)]
pub struct Head {
    /// Rating of White, 0 if unknown.
    pub white: i16,
    /// Rating of Black, 0 if unknown.
    pub black: i16,
    /// Year, 0 if unknown.
    pub year: i16,
    /// Stored [`Outcome`].
    pub result: u8,
}

/// Games handed to the index: parallel slices.
#[derive(Debug, Clone, Copy)]
pub struct Stretch<'a> {
    /// Moves end to end.
    pub moves: &'a [u8],
    /// One more offset than games.
    pub offsets: &'a [i32],
    /// Starts end to end, empty for the usual one.
    pub fens: &'a str,
    /// One more offset than games.
    pub fen_offsets: &'a [i32],
    /// What the rows need to know of each game.
    pub heads: &'a [Head],
    /// Games to pass over (a byte a game, not 0), or empty.
    pub skip: &'a [u8],
}

impl<'a> Stretch<'a> {
    /// The text of one game.
    #[must_use]
    pub fn game(&self, index: usize) -> GameText<'a> {
        let cut = |offsets: &[i32]| offsets[index] as usize..offsets[index + 1] as usize;
        GameText {
            fen: self.fens.get(cut(self.fen_offsets)).unwrap_or(""),
            moves: &self.moves[cut(self.offsets)],
        }
    }

    /// Whether a game is passed over.
    #[must_use]
    pub fn skipped(&self, index: usize) -> bool {
        self.skip.get(index).is_some_and(|&byte| byte != 0)
    }
}

/// Columns of the tally rows and of the passages of one shard, sorted by key.
///
/// A row's `wins` and `losses` are the mover's. `rated` counts games with both players rated;
/// `rating_sum` and `opposed_sum` add up the mover's and the opponent's ratings over them.
#[derive(Debug, Default, Clone)]
#[allow(missing_docs)]
pub struct Rows {
    pub key: Vec<i64>,
    pub code: Vec<i16>,
    pub year: Vec<i16>,
    pub band: Vec<i16>,
    pub games: Vec<i32>,
    pub wins: Vec<i32>,
    pub draws: Vec<i32>,
    pub losses: Vec<i32>,
    pub rated: Vec<i32>,
    pub rating_sum: Vec<i64>,
    pub opposed_sum: Vec<i64>,
    /// Key and game of positions that more than one game passes.
    pub shared_key: Vec<i64>,
    pub shared_game: Vec<i32>,
}

/// An index in the making.
#[derive(Debug)]
pub struct Indexer {
    plies: usize,
    bits: u32,
    shards: std::ops::Range<usize>,
    sign: i32,
    heads: Arc<Vec<Head>>,
    found: Vec<Vec<Vec<Passage>>>,
}

/// Sorts and counts shards; several may do so at once.
#[derive(Debug)]
pub struct Counter {
    sign: i32,
    heads: Arc<Vec<Head>>,
}

/// The shard of a key when there are 2^bits of them.
#[must_use]
pub fn shard_of(key: i64, bits: u32) -> usize {
    if bits == 0 {
        return 0;
    }
    ((key.cast_unsigned() ^ (1 << 63)) >> (64 - bits)) as usize
}

impl Indexer {
    /// An index of the first `plies` plies over the given shards of 2^bits.
    #[must_use]
    pub fn new(plies: usize, bits: u32, shards: std::ops::Range<usize>, sign: i32) -> Self {
        Self {
            plies,
            bits,
            found: shards.clone().map(|_| Vec::new()).collect(),
            shards,
            sign,
            heads: Arc::new(Vec::new()),
        }
    }

    /// Adds games; they are numbered on from the ones before.
    pub fn feed(&mut self, stretch: &Stretch<'_>, workers: usize) {
        let games = stretch.heads.len();
        let first = self.heads.len();
        Arc::make_mut(&mut self.heads).extend_from_slice(stretch.heads);
        let share = games.div_ceil(workers.max(1)).max(1);
        let this = &*self;
        let parts: Vec<Vec<Vec<Passage>>> = thread::scope(|scope| {
            let running: Vec<_> = (0..games)
                .step_by(share)
                .map(|from| {
                    let range = from..(from + share).min(games);
                    scope.spawn(move || this.passages(stretch, range, first))
                })
                .collect();
            running
                .into_iter()
                .map(|worker| worker.join().expect("an indexing worker does not panic"))
                .collect()
        });
        for part in parts {
            for (shard, found) in part.into_iter().enumerate() {
                self.found[shard].push(found);
            }
        }
    }

    fn passages(
        &self,
        stretch: &Stretch<'_>,
        range: std::ops::Range<usize>,
        first: usize,
    ) -> Vec<Vec<Passage>> {
        let expected = range.len() * self.plies.min(40) / (1usize << self.bits);
        let mut out: Vec<Vec<Passage>> = self
            .shards
            .clone()
            .map(|_| Vec::with_capacity(expected + expected / 8))
            .collect();
        let mut line = Vec::with_capacity(self.plies);
        for index in range {
            if stretch.skipped(index) {
                continue;
            }
            self.walk(
                stretch.game(index),
                (first + index) as u32,
                &mut line,
                &mut out,
            );
        }
        out.iter_mut().for_each(Vec::shrink_to_fit);
        out
    }

    fn walk(
        &self,
        text: GameText<'_>,
        game: u32,
        line: &mut Vec<(i64, u16)>,
        out: &mut [Vec<Passage>],
    ) {
        line.clear();
        let Some(mut replay) = Replay::new(text) else {
            return;
        };
        while line.len() < self.plies {
            let Some(played) = replay.peek() else { break };
            let code = code(played);
            if !repeated(line, replay.position.halfmoves(), (replay.key, code)) {
                let shard = shard_of(replay.key, self.bits);
                if self.shards.contains(&shard) {
                    out[shard - self.shards.start].push(Passage {
                        key: replay.key,
                        game,
                        code,
                        white: replay.position.turn() == Color::White,
                    });
                }
            }
            line.push((replay.key, code));
            replay.play(played);
        }
    }

    /// Takes a shard's passages out, still unsorted; its number counts from the first shard here.
    #[must_use]
    pub fn take(&mut self, shard: usize) -> Unsorted {
        Unsorted(std::mem::take(&mut self.found[shard]).concat())
    }

    /// What sorts and counts the shards taken.
    #[must_use]
    pub fn counter(&self) -> Counter {
        Counter {
            sign: self.sign,
            heads: Arc::clone(&self.heads),
        }
    }
}

impl Counter {
    /// Sorts and counts what [`Indexer::take`] gave.
    #[must_use]
    pub fn rows(&self, unsorted: Unsorted) -> Rows {
        let mut passages = unsorted.0;
        passages.sort_unstable_by_key(|passage| passage.key);
        let mut rows = Rows::default();
        for group in passages.chunk_by_mut(|a, b| a.key == b.key) {
            self.count(group, &mut rows);
        }
        rows
    }

    fn count(&self, group: &mut [Passage], rows: &mut Rows) {
        if group.len() > 1 {
            group.sort_unstable_by_key(|passage| (self.column(passage), passage.game));
            self.share(group, rows);
        }
        for row in group.chunk_by(|a, b| self.column(a) == self.column(b)) {
            self.add(row, rows);
        }
    }

    fn share(&self, group: &[Passage], rows: &mut Rows) {
        if self.sign < 0 {
            return;
        }
        let mut games: Vec<i32> = group.iter().map(|passage| passage.game as i32).collect();
        games.sort_unstable();
        games.dedup();
        if games.len() > 1 {
            rows.shared_key
                .extend(std::iter::repeat_n(group[0].key, games.len()));
            rows.shared_game.extend(games);
        }
    }

    fn column(&self, passage: &Passage) -> u64 {
        let head = self.heads[passage.game as usize];
        let band = band_of(if passage.white {
            head.white
        } else {
            head.black
        });
        u64::from(passage.code) << 32 | (head.year as u64) << 16 | band as u64
    }

    fn add(&self, row: &[Passage], rows: &mut Rows) {
        let first = row[0];
        let head = self.heads[first.game as usize];
        let (mut wins, mut draws, mut losses, mut rated) = (0, 0, 0, 0);
        let (mut rating_sum, mut opposed_sum) = (0i64, 0i64);
        for passage in row {
            let head = self.heads[passage.game as usize];
            match (Outcome::from_byte(head.result), passage.white) {
                (Outcome::White, true) | (Outcome::Black, false) => wins += 1,
                (Outcome::White, false) | (Outcome::Black, true) => losses += 1,
                (Outcome::Draw, _) => draws += 1,
                (Outcome::Unknown, _) => {}
            }
            if head.white > 0 && head.black > 0 {
                let (mine, theirs) = if passage.white {
                    (head.white, head.black)
                } else {
                    (head.black, head.white)
                };
                rated += 1;
                rating_sum += i64::from(mine);
                opposed_sum += i64::from(theirs);
            }
        }
        rows.key.push(first.key);
        rows.code.push(first.code as i16);
        rows.year.push(head.year);
        rows.band
            .push(band_of(if first.white { head.white } else { head.black }));
        rows.games.push(self.sign * row.len() as i32);
        rows.wins.push(self.sign * wins);
        rows.draws.push(self.sign * draws);
        rows.losses.push(self.sign * losses);
        rows.rated.push(self.sign * rated);
        rows.rating_sum.push(i64::from(self.sign) * rating_sum);
        rows.opposed_sum.push(i64::from(self.sign) * opposed_sum);
    }
}

/// Passages of one shard before sorting.
#[derive(Debug)]
pub struct Unsorted(Vec<Passage>);

/// The band of a rating: its lower end, 0 for the unrated.
#[must_use]
pub const fn band_of(rating: i16) -> i16 {
    rating / BAND * BAND
}

/// Whether this game already played this move in this position.
///
/// A position can only come back within moves that took nothing and moved no pawn.
fn repeated(line: &[(i64, u16)], halfmoves: u32, now: (i64, u16)) -> bool {
    let back = line.len().min(halfmoves as usize);
    (4..=back).step_by(2).any(|n| line[line.len() - n] == now)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::games::read::Reader;
    use crate::key::key_of_fen;
    use std::collections::HashSet;

    fn rows_of(pgn: &str, bits: u32, sign: i32) -> Rows {
        let mut reader = Reader::new(HashSet::new(), false, 2);
        reader.feed(pgn.as_bytes());
        reader.finish();
        let games = reader.take_games();
        let heads: Vec<Head> = (0..games.len())
            .map(|i| Head {
                white: games.white_rating[i],
                black: games.black_rating[i],
                year: games.year[i],
                result: games.result[i],
            })
            .collect();
        let stretch = Stretch {
            moves: &games.moves.data,
            offsets: &games.moves.offsets,
            fens: std::str::from_utf8(&games.fen.data).unwrap(),
            fen_offsets: &games.fen.offsets,
            heads: &heads,
            skip: &[],
        };
        let mut indexer = Indexer::new(60, bits, 0..1 << bits, sign);
        indexer.feed(&stretch, 2);
        let mut all = Rows::default();
        for shard in 0..1 << bits {
            let unsorted = indexer.take(shard);
            let rows = indexer.counter().rows(unsorted);
            all.key.extend(rows.key);
            all.games.extend(rows.games);
            all.wins.extend(rows.wins);
            all.band.extend(rows.band);
            all.shared_game.extend(rows.shared_game);
        }
        all
    }

    const TWO: &str = "[Event \"A\"]\n[Date \"2001.1.1\"]\n[WhiteElo \"1500\"]\n[BlackElo \"1700\"]\n\n1.d4 d5 2.c4 1-0\n\n[Event \"B\"]\n[Date \"2001.1.1\"]\n[WhiteElo \"1500\"]\n[BlackElo \"1710\"]\n\n1.c4 d5 2.d4 0-1\n";

    #[test]
    fn transpositions_share_a_key_and_rows_come_sorted() {
        for bits in [0, 3] {
            let rows = rows_of(TWO, bits, 1);
            assert!(rows.key.is_sorted());
            assert_eq!(rows.games.iter().sum::<i32>(), 6);
            assert_eq!(
                rows.key.len(),
                6,
                "the two games part at move one and no move is shared"
            );
            assert_eq!(
                rows.shared_game,
                [0, 1],
                "only the start is shared before the last move"
            );
        }
    }

    #[test]
    fn a_move_repeated_in_one_game_counts_once() {
        let rows = rows_of("1.Nf3 Nf6 2.Ng1 Ng8 3.Nf3 Nf6 4.Ng1 Ng8 5.e4 *", 0, 1);
        let start = key_of_fen("rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1").unwrap();
        let here: Vec<i32> = (0..rows.key.len())
            .filter(|&i| rows.key[i] == start)
            .map(|i| rows.games[i])
            .collect();
        assert_eq!(here, [1, 1], "Nf3 once and e4 once");
    }

    #[test]
    fn the_sign_takes_games_out_again() {
        let (plus, minus) = (rows_of(TWO, 2, 1), rows_of(TWO, 2, -1));
        assert_eq!(plus.key, minus.key);
        assert!(plus.games.iter().zip(&minus.games).all(|(a, b)| a + b == 0));
        assert!(minus.shared_game.is_empty());
    }
}
