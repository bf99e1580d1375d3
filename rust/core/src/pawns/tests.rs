//! Tables against a solver that shares nothing with them, and against published endings.

use shakmaty::CastlingMode;
use shakmaty::fen::Fen;

use super::*;

fn position(fen: &str) -> shakmaty::Chess {
    let fen: Fen = fen.parse().unwrap();
    fen.into_position(CastlingMode::Standard).unwrap()
}

/// King and pawn against king on files and ranks alone: no bit masks, no library.
mod plain {
    pub const UNKNOWN: u8 = 0;
    pub const WIN: u8 = 1;
    pub const ILLEGAL: u8 = 2;

    fn near(a: usize, b: usize) -> bool {
        (a % 8).abs_diff(b % 8) <= 1 && (a / 8).abs_diff(b / 8) <= 1
    }

    fn guards(pawn: usize, square: usize) -> bool {
        square / 8 == pawn / 8 + 1 && (square % 8).abs_diff(pawn % 8) == 1
    }

    fn steps(from: usize) -> impl Iterator<Item = usize> {
        (0..64).filter(move |&to| to != from && near(from, to))
    }

    pub fn index(pawn: usize, black_to_move: usize, white: usize, black: usize) -> usize {
        ((pawn * 2 + black_to_move) * 64 + white) * 64 + black
    }

    fn queen_sees(queen: usize, white: usize, black: usize) -> bool {
        let (dx, dy) = (
            (black % 8) as i32 - (queen % 8) as i32,
            (black / 8) as i32 - (queen / 8) as i32,
        );
        if !(dx == 0 || dy == 0 || dx.abs() == dy.abs()) {
            return false;
        }
        let (sx, sy) = (dx.signum(), dy.signum());
        let mut at = (queen % 8) as i32 + 8 * (queen / 8) as i32;
        loop {
            at += sx + 8 * sy;
            if at == black as i32 {
                return true;
            }
            if at == white as i32 {
                return false;
            }
        }
    }

    /// A new queen or rook wins unless it is lost at once or Black is stalemated.
    fn promotion_wins(at: usize, white: usize, black: usize) -> bool {
        if at == white || at == black {
            return false;
        }
        if near(black, at) && !near(white, at) {
            return false;
        }
        let sees = |square: usize, straight_only: bool| {
            square != at
                && (!straight_only || square % 8 == at % 8 || square / 8 == at / 8)
                && queen_sees(at, white, square)
        };
        let stuck = |rook: bool| {
            !sees(black, rook)
                && steps(black).all(|to| near(to, white) || to == at || sees(to, rook))
        };
        !stuck(false) || !stuck(true)
    }

    pub fn solve() -> Vec<u8> {
        let mut table = vec![UNKNOWN; 64 * 2 * 64 * 64];
        for pawn in 0..64 {
            for white in 0..64 {
                for black in 0..64 {
                    let bad = !(8..56).contains(&pawn)
                        || near(white, black)
                        || white == pawn
                        || black == pawn;
                    if bad || guards(pawn, black) {
                        table[index(pawn, 0, white, black)] = ILLEGAL;
                    }
                    if bad {
                        table[index(pawn, 1, white, black)] = ILLEGAL;
                    }
                }
            }
        }
        while sweep(&mut table) {}
        table
    }

    fn sweep(table: &mut [u8]) -> bool {
        let mut changed = false;
        for pawn in (8..56).rev() {
            for white in 0..64 {
                for black in 0..64 {
                    for side in [1, 0] {
                        let here = index(pawn, side, white, black);
                        if table[here] != UNKNOWN {
                            continue;
                        }
                        let won = if side == 0 {
                            white_wins(table, pawn, white, black)
                        } else {
                            black_loses(table, pawn, white, black)
                        };
                        if won {
                            table[here] = WIN;
                            changed = true;
                        }
                    }
                }
            }
        }
        changed
    }

    fn white_wins(table: &[u8], pawn: usize, white: usize, black: usize) -> bool {
        let king = steps(white).any(|to| table[index(pawn, 1, to, black)] == WIN);
        let one = pawn + 8;
        let free = |square: usize| square != white && square != black;
        let push = free(one)
            && if one >= 56 {
                promotion_wins(one, white, black)
            } else {
                table[index(one, 1, white, black)] == WIN
                    || (pawn < 16 && free(one + 8) && table[index(one + 8, 1, white, black)] == WIN)
            };
        king || push
    }

    fn black_loses(table: &[u8], pawn: usize, white: usize, black: usize) -> bool {
        let mut moves = 0;
        for to in steps(black) {
            if to == pawn && !near(white, pawn) {
                return false;
            }
            match table[index(pawn, 0, white, to)] {
                ILLEGAL => {}
                WIN => moves += 1,
                _ => return false,
            }
        }
        moves > 0 || guards(pawn, black)
    }
}

#[test]
fn king_and_pawn_against_king_agrees_everywhere_with_a_plain_solver() {
    let plain = plain::solve();
    let mut tables = Tables::new(100);
    let (mut compared, mut won) = (0, 0);
    for pawn in 8..56 {
        for (side, white, black, value) in tables.all_of_one_pawn(pawn) {
            let expected = plain[plain::index(pawn, side, white, black)];
            assert_ne!(expected, plain::ILLEGAL, "{pawn} {side} {white} {black}");
            let won_here = i8::from(expected == plain::WIN);
            assert_eq!(
                value,
                Bracket::of(won_here),
                "{pawn} {side} {white} {black}"
            );
            compared += 1;
            won += usize::from(won_here == 1);
        }
    }
    let legal = plain
        .iter()
        .filter(|&&value| value != plain::ILLEGAL)
        .count();
    assert_eq!(compared, legal);
    assert!(won > 200_000, "{won}");
}

/// Source: trebuchet, a handbook position; whoever moves loses.
#[test]
fn mutual_zugzwang() {
    let mut tables = Tables::new(1000);
    let white = tables.prove(&position("8/8/8/4pK2/3kP3/8/8/8 w - - 0 1"), 0);
    let black = tables.prove(&position("8/8/8/4pK2/3kP3/8/8/8 b - - 0 1"), 0);
    assert_eq!((white, black), (Ok(Bracket::of(-1)), Ok(Bracket::of(1))));
}

/// Computed by hand: after 1.b4 Black's only way not to lose is to take in passing.
#[test]
fn en_passant_is_counted() {
    let mut tables = Tables::new(1000);
    let free = position("8/8/8/8/p1k5/8/1P6/3K4 w - - 0 1");
    let moves = tables.moves(&free).unwrap();
    let double = moves
        .iter()
        .find(|item| item.played.to() == shakmaty::Square::B4)
        .unwrap();
    let after = position("8/8/8/8/pPk5/8/8/3K4 b - b3 0 1");
    let without = position("8/8/8/8/pPk5/8/8/3K4 b - - 0 1");
    assert_eq!(tables.bracket(&after), Ok(double.after));
    assert!(tables.bracket(&after).unwrap().high <= tables.bracket(&without).unwrap().high);
}

#[test]
fn other_men_and_too_many_pawns_are_refused() {
    let mut tables = Tables::new(1000);
    let queen = position("Q7/8/8/4pK2/3kP3/8/8/8 w - - 0 1");
    assert_eq!(tables.bracket(&queen), Err(NoTable::OtherMen));
    let all = position("4k3/pppppppp/8/8/8/8/PPPPPPPP/4K3 w - - 0 1");
    assert_eq!(tables.bracket(&all), Err(NoTable::TooMany));
}
