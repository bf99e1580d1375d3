//! Zobrist numbers of the engine's board, drawn by a fixed published generator.

const fn mixed(state: u64) -> u64 {
    // Source: splitmix64 (Steele, Lea, Flood 2014).
    let mut z = state.wrapping_mul(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

const fn row<const N: usize>(first: u64) -> [u64; N] {
    let mut row = [0; N];
    let mut index = 0;
    while index < N {
        row[index] = mixed(first + index as u64 + 1);
        index += 1;
    }
    row
}

const fn pieces() -> [[u64; 64]; 12] {
    let mut table = [[0; 64]; 12];
    let mut code = 0;
    while code < 12 {
        table[code] = row(64 * code as u64);
        code += 1;
    }
    table
}

pub static PIECES: [[u64; 64]; 12] = pieces();
pub static EN_PASSANT: [u64; 8] = row(1000);
pub const BLACK_TO_MOVE: u64 = mixed(2000);

/// By the four rights as bits; no right is 0, so that a position without them keeps its key.
pub static CASTLING: [u64; 16] = {
    let mut table: [u64; 16] = row(1100);
    table[0] = 0;
    table
};
